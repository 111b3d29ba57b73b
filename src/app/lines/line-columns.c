/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/lines/line-columns.h"

struct _FaintLineColumns
{
  GObject parent;

  GSimpleActionGroup *actions; /* one for each column, of its name; on or off */
  GMenu *menu;
};

G_DEFINE_FINAL_TYPE (FaintLineColumns, faint_line_columns, G_TYPE_OBJECT)

static guint changed;

static GSimpleAction *
action_of (FaintLineColumns *self, FaintLineColumn column)
{
  return G_SIMPLE_ACTION (
      g_action_map_lookup_action (G_ACTION_MAP (self->actions), faint_line_column_name (column)));
}

gboolean
faint_line_columns_is_chosen (FaintLineColumns *self, FaintLineColumn column)
{
  g_autoptr (GVariant) state = g_action_get_state (G_ACTION (action_of (self, column)));

  return g_variant_get_boolean (state);
}

static guint
count_chosen (FaintLineColumns *self)
{
  guint n = 0;

  for (guint column = 0; column < FAINT_N_LINE_COLUMNS; column++)
    n += faint_line_columns_is_chosen (self, column);
  return n;
}

/* A table without columns would have no head to bring them back with. */
static void
on_change_state (GSimpleAction *action, GVariant *state, FaintLineColumns *self)
{
  if (!g_variant_get_boolean (state) && count_chosen (self) == 1)
    return;
  g_simple_action_set_state (action, state);
  g_signal_emit (self, changed, 0);
}

void
faint_line_columns_set_text (FaintLineColumns *self, const char *names)
{
  g_auto (GStrv) listed = g_strsplit (names, ",", -1);
  gboolean chosen[FAINT_N_LINE_COLUMNS], any = FALSE;

  for (guint column = 0; column < FAINT_N_LINE_COLUMNS; column++)
    {
      chosen[column]
          = g_strv_contains ((const char *const *)listed, faint_line_column_name (column));
      any = any || chosen[column];
    }
  for (guint column = 0; any && column < FAINT_N_LINE_COLUMNS; column++)
    g_simple_action_set_state (action_of (self, column), g_variant_new_boolean (chosen[column]));
  g_signal_emit (self, changed, 0);
}

char *
faint_line_columns_get_text (FaintLineColumns *self)
{
  GString *text = g_string_new (NULL);

  for (guint column = 0; column < FAINT_N_LINE_COLUMNS; column++)
    if (faint_line_columns_is_chosen (self, column))
      g_string_append_printf (text, "%s%s", text->len > 0 ? "," : "",
                              faint_line_column_name (column));
  return g_string_free (text, FALSE);
}

GActionGroup *
faint_line_columns_get_actions (FaintLineColumns *self)
{
  return G_ACTION_GROUP (self->actions);
}

GMenuModel *
faint_line_columns_get_menu (FaintLineColumns *self)
{
  return G_MENU_MODEL (self->menu);
}

static void
faint_line_columns_finalize (GObject *object)
{
  FaintLineColumns *self = FAINT_LINE_COLUMNS (object);

  for (guint column = 0; column < FAINT_N_LINE_COLUMNS; column++)
    g_signal_handlers_disconnect_by_data (action_of (self, column), self);
  g_clear_object (&self->actions);
  g_clear_object (&self->menu);
  G_OBJECT_CLASS (faint_line_columns_parent_class)->finalize (object);
}

static void
faint_line_columns_class_init (FaintLineColumnsClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = faint_line_columns_finalize;
  changed = g_signal_new ("changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                          NULL, G_TYPE_NONE, 0);
}

/* Chosen until a person chooses. */
static gboolean
is_usual (FaintLineColumn column)
{
  switch (column)
    {
    case FAINT_LINE_COLUMN_FREQUENCY:
    case FAINT_LINE_COLUMN_STRENGTH_296:
    case FAINT_LINE_COLUMN_LOWER_ENERGY:
    case FAINT_LINE_COLUMN_WINDOW:
    case FAINT_LINE_COLUMN_REMARK:
      return FALSE;
    default:
      return TRUE;
    }
}

static void
faint_line_columns_init (FaintLineColumns *self)
{
  self->actions = g_simple_action_group_new ();
  self->menu = g_menu_new ();
  for (guint column = 0; column < FAINT_N_LINE_COLUMNS; column++)
    {
      const char *name = faint_line_column_name (column);
      g_autoptr (GSimpleAction) action
          = g_simple_action_new_stateful (name, NULL, g_variant_new_boolean (is_usual (column)));
      g_autofree char *detailed = g_strdup_printf ("columns.%s", name);

      g_signal_connect (action, "change-state", G_CALLBACK (on_change_state), self);
      g_action_map_add_action (G_ACTION_MAP (self->actions), G_ACTION (action));
      g_menu_append (self->menu, faint_line_column_title (column), detailed);
    }
}

FaintLineColumns *
faint_line_columns_new (void)
{
  return g_object_new (FAINT_TYPE_LINE_COLUMNS, NULL);
}
