/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/lines/filter-box.h"

#include <glib/gi18n.h>

#include "app/lines/line-filter.h"
#include "app/parts/pane.h"

struct _FaintFilterBox
{
  GtkBox parent;

  FaintLineTable *table;
  GtkWidget *error, *entry, *button;
  /* of the popover */
  GtkWidget *column, *face, *lower, *upper, *upper_label, *wrong, *in_view;
  GArray *columns; /* FaintLineColumn in the list of the popover */
};

enum
{
  CHANGED,
  LEAVE,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintFilterBox, faint_filter_box, GTK_TYPE_BOX)

static void
name (GtkWidget *widget, const char *label)
{
  gtk_accessible_update_property (GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_PROPERTY_LABEL, label,
                                  -1);
}

static void
show_error (FaintFilterBox *self, const char *message)
{
  gtk_widget_set_tooltip_text (self->error, message);
  faint_pane_show_error (self->error, self->entry, message);
}

static void
apply (FaintFilterBox *self)
{
  g_autoptr (GError) error = NULL;

  if (self->table == NULL)
    return;
  faint_line_table_set_filter (self->table, gtk_editable_get_text (GTK_EDITABLE (self->entry)),
                               &error);
  show_error (self, error ? error->message : NULL);
  g_signal_emit (self, signals[CHANGED], 0);
}

static void
on_rows (FaintLineTable *table, FaintFilterBox *self)
{
  g_signal_emit (self, signals[CHANGED], 0);
}

static void
on_in_view (GtkCheckButton *check, FaintFilterBox *self)
{
  faint_line_table_set_only_in_view (self->table, gtk_check_button_get_active (check));
}

static void
on_stop (GtkSearchEntry *entry, FaintFilterBox *self)
{
  faint_filter_box_set_text (self, "");
  g_signal_emit (self, signals[LEAVE], 0);
}

/* In a filter they undo what was typed, and never a step of the analysis. */
static gboolean
on_undo_key (GtkWidget *entry, GVariant *arguments, gpointer data)
{
  return GDK_EVENT_STOP;
}

static void
keep_undo (GtkWidget *entry)
{
  GtkEventController *keys = gtk_shortcut_controller_new ();
  static const char *const triggers[] = { "<Control>z", "<Control><Shift>z" };

  for (guint i = 0; i < G_N_ELEMENTS (triggers); i++)
    gtk_shortcut_controller_add_shortcut (
        GTK_SHORTCUT_CONTROLLER (keys),
        gtk_shortcut_new (gtk_shortcut_trigger_parse_string (triggers[i]),
                          gtk_callback_action_new (on_undo_key, NULL, NULL)));
  gtk_widget_add_controller (entry, keys);
}

static FaintLineColumn
chosen_column (FaintFilterBox *self)
{
  guint position = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->column));

  return position < self->columns->len ? g_array_index (self->columns, FaintLineColumn, position)
                                       : FAINT_LINE_COLUMN_POSITION;
}

/* Columns without an uncertainty of their own. */
static gboolean
has_uncertainty (FaintLineColumn column)
{
  switch (column)
    {
    case FAINT_LINE_COLUMN_POSITION:
    case FAINT_LINE_COLUMN_STRENGTH:
    case FAINT_LINE_COLUMN_LORENTZ:
    case FAINT_LINE_COLUMN_DOPPLER:
    case FAINT_LINE_COLUMN_FREQUENCY:
    case FAINT_LINE_COLUMN_STRENGTH_296:
    case FAINT_LINE_COLUMN_LOWER_ENERGY:
    case FAINT_LINE_COLUMN_DIFFERENCE:
      return TRUE;
    default:
      return FALSE;
    }
}

static void
on_column (GtkDropDown *drop_down, GParamSpec *pspec, FaintFilterBox *self)
{
  FaintLineColumn column = chosen_column (self);
  gboolean is_text = faint_line_filter_is_text (column);

  gtk_widget_set_sensitive (self->face, has_uncertainty (column));
  if (!has_uncertainty (column))
    gtk_drop_down_set_selected (GTK_DROP_DOWN (self->face), 0);
  gtk_widget_set_visible (self->upper, !is_text);
  gtk_widget_set_visible (self->upper_label, !is_text);
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->lower), is_text ? _ ("text in it") : NULL);
}

/* Those that the table shows. */
static void
on_popover (GtkPopover *popover, FaintFilterBox *self)
{
  g_autoptr (GtkStringList) names = gtk_string_list_new (NULL);
  FaintLineColumn before = chosen_column (self);
  guint selected = 0;

  g_array_set_size (self->columns, 0);
  for (FaintLineColumn column = 0; column < FAINT_N_LINE_COLUMNS; column++)
    if (faint_line_table_shows (self->table, column))
      {
        g_autofree char *head
            = faint_line_column_head (column, faint_line_table_get_axis (self->table));

        if (column == before)
          selected = self->columns->len;
        g_array_append_val (self->columns, column);
        gtk_string_list_append (names, head);
      }
  gtk_drop_down_set_model (GTK_DROP_DOWN (self->column), G_LIST_MODEL (names));
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->column), selected);
  gtk_label_set_text (GTK_LABEL (self->wrong), "");
  gtk_widget_set_visible (self->wrong, FALSE);
}

static char *
condition_text (FaintLineColumn column, guint face, const char *lower, const char *upper)
{
  const char *plain = faint_line_filter_name (column), *unit = face == 2 ? " %" : "";
  g_autofree char *symbol = face > 0 ? g_strdup_printf ("u(%s)", plain) : g_strdup (plain);

  if (faint_line_filter_is_text (column))
    return g_strconcat (symbol, *lower ? " " : "", lower, NULL);
  if (*lower && *upper)
    return g_strconcat (symbol, " ", lower, "..", upper, unit, NULL);
  if (*lower)
    return g_strconcat (symbol, " >= ", lower, unit, NULL);
  if (*upper)
    return g_strconcat (symbol, " <= ", upper, unit, NULL);
  return g_strconcat ("known ", symbol, NULL);
}

gboolean
faint_filter_box_add (FaintFilterBox *self, FaintLineColumn column, guint face, const char *lower,
                      const char *upper)
{
  g_autofree char *condition = NULL, *text = NULL;
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintLineFilter) filter = NULL;
  const char *before;

  g_return_val_if_fail (FAINT_IS_FILTER_BOX (self), FALSE);
  condition = condition_text (column, face, lower, upper);
  filter = faint_line_filter_new (condition, faint_line_table_get_axis (self->table), &error);
  gtk_label_set_text (GTK_LABEL (self->wrong), error ? error->message : "");
  gtk_widget_set_visible (self->wrong, error != NULL);
  if (filter == NULL)
    return FALSE;
  before = gtk_editable_get_text (GTK_EDITABLE (self->entry));
  text = *before ? g_strconcat (before, "; ", condition, NULL) : g_strdup (condition);
  faint_filter_box_set_text (self, text);
  return TRUE;
}

static void
on_add (GtkWidget *widget, FaintFilterBox *self)
{
  g_autofree char *lower
      = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->lower))));
  g_autofree char *upper
      = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->upper))));

  if (!faint_filter_box_add (self, chosen_column (self),
                             gtk_drop_down_get_selected (GTK_DROP_DOWN (self->face)), lower, upper))
    return;
  gtk_editable_set_text (GTK_EDITABLE (self->lower), "");
  gtk_editable_set_text (GTK_EDITABLE (self->upper), "");
  gtk_menu_button_popdown (GTK_MENU_BUTTON (self->button));
}

static GtkWidget *
number_entry (FaintFilterBox *self, const char *label)
{
  GtkWidget *entry = gtk_entry_new ();

  gtk_widget_add_css_class (entry, "numeric");
  name (entry, label);
  g_signal_connect (entry, "activate", G_CALLBACK (on_add), self);
  return entry;
}

static void
build_controls (FaintFilterBox *self, GtkWidget *grid)
{
  const char *const faces[]
      = { _ ("Value"), _ ("Standard uncertainty"), _ ("Relative uncertainty/%"), NULL };
  GtkWidget *add = faint_pane_button (_ ("_Add Condition"), NULL);

  self->column = gtk_drop_down_new (NULL, NULL);
  name (self->column, _ ("Column of the condition"));
  g_signal_connect (self->column, "notify::selected", G_CALLBACK (on_column), self);
  faint_pane_row (grid, _ ("Column"), self->column);
  self->face = gtk_drop_down_new_from_strings (faces);
  name (self->face, _ ("Value or uncertainty"));
  faint_pane_row (grid, _ ("Of its"), self->face);
  self->lower = number_entry (self, _ ("Condition from"));
  faint_pane_row (grid, _ ("From"), self->lower);
  self->upper = number_entry (self, _ ("Condition to"));
  self->upper_label = faint_pane_row (grid, _ ("To"), self->upper);
  self->wrong = faint_pane_note (grid, "");
  gtk_widget_add_css_class (self->wrong, "error");
  g_signal_connect (add, "clicked", G_CALLBACK (on_add), self);
  faint_pane_wide (grid, add);
}

static GtkWidget *
popover_new (FaintFilterBox *self)
{
  GtkWidget *popover = gtk_popover_new ();
  GtkWidget *box = faint_pane_box_new ();
  GtkWidget *grid, *examples;

  self->in_view = gtk_check_button_new_with_mnemonic (_ ("_Only lines in view"));
  name (self->in_view, _ ("Only lines in view"));
  gtk_widget_set_tooltip_text (self->in_view,
                               _ ("Rows follow the visible range of the plots as it is zoomed"));
  g_signal_connect (self->in_view, "toggled", G_CALLBACK (on_in_view), self);
  gtk_box_append (GTK_BOX (box), self->in_view);
  build_controls (self, faint_pane_section (box, _ ("Condition")));
  grid = faint_pane_section (box, _ ("In the entry"));
  /* the language of conditions is one for all languages */
  examples = faint_pane_note (grid, "S > 1e-25; width 0.01..0.02; E 100..\n"
                                    "S/N >= 10; u(S) < 5 %; known E\n"
                                    "flag blended; not flag blended; upper J9");
  gtk_widget_add_css_class (examples, "monospace");
  faint_pane_note (
      grid,
      _ ("A semicolon joins conditions, and a line must meet them all. Numbers are in the "
         "unit of the column, or in one that you write: width > 300 MHz. Other text is looked "
         "for in position, remarks, labels and note; in quotation marks it is never taken for "
         "a condition."));
  gtk_popover_set_child (GTK_POPOVER (popover), box);
  g_signal_connect (popover, "map", G_CALLBACK (on_popover), self);
  return popover;
}

static void
faint_filter_box_dispose (GObject *object)
{
  g_clear_object (&FAINT_FILTER_BOX (object)->table);
  g_clear_pointer (&FAINT_FILTER_BOX (object)->columns, g_array_unref);
  G_OBJECT_CLASS (faint_filter_box_parent_class)->dispose (object);
}

static void
faint_filter_box_class_init (FaintFilterBoxClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_filter_box_dispose;
  signals[CHANGED] = g_signal_new ("changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                   NULL, NULL, G_TYPE_NONE, 0);
  signals[LEAVE] = g_signal_new ("leave", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                 NULL, NULL, G_TYPE_NONE, 0);
}

static void
faint_filter_box_init (FaintFilterBox *self)
{
  self->columns = g_array_new (FALSE, FALSE, sizeof (FaintLineColumn));
  gtk_box_set_spacing (GTK_BOX (self), 6);
  self->error = gtk_label_new (NULL);
  gtk_label_set_xalign (GTK_LABEL (self->error), 1);
  gtk_label_set_ellipsize (GTK_LABEL (self->error), PANGO_ELLIPSIZE_END);
  gtk_widget_add_css_class (self->error, "error");
  gtk_widget_set_hexpand (self->error, TRUE);
  gtk_widget_set_visible (self->error, FALSE);
  gtk_box_append (GTK_BOX (self), self->error);

  self->entry = gtk_search_entry_new ();
  gtk_editable_set_width_chars (GTK_EDITABLE (self->entry), 28);
  g_object_set (self->entry, "placeholder-text", _ ("blended, or S > 1e-25; S/N > 10"), NULL);
  name (self->entry, _ ("Filter of the table"));
  g_signal_connect_swapped (self->entry, "search-changed", G_CALLBACK (apply), self);
  g_signal_connect (self->entry, "stop-search", G_CALLBACK (on_stop), self);
  keep_undo (self->entry);
  gtk_box_append (GTK_BOX (self), self->entry);

  self->button = gtk_menu_button_new ();
  gtk_menu_button_set_icon_name (GTK_MENU_BUTTON (self->button), "list-add-symbolic");
  gtk_widget_set_tooltip_text (self->button, _ ("Add a condition to the filter"));
  name (self->button, _ ("Add a condition to the filter"));
  gtk_widget_add_css_class (self->button, "flat");
  gtk_menu_button_set_popover (GTK_MENU_BUTTON (self->button), popover_new (self));
  gtk_box_append (GTK_BOX (self), self->button);
}

void
faint_filter_box_set_table (FaintFilterBox *self, FaintLineTable *table)
{
  g_return_if_fail (FAINT_IS_FILTER_BOX (self));
  g_set_object (&self->table, table);
  g_signal_connect_object (table, "axis-changed", G_CALLBACK (apply), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (table, "rows-changed", G_CALLBACK (on_rows), self, 0);
}

void
faint_filter_box_set_only_in_view (FaintFilterBox *self, gboolean only)
{
  g_return_if_fail (FAINT_IS_FILTER_BOX (self));
  gtk_check_button_set_active (GTK_CHECK_BUTTON (self->in_view), only);
}

GtkWidget *
faint_filter_box_get_entry (FaintFilterBox *self)
{
  g_return_val_if_fail (FAINT_IS_FILTER_BOX (self), NULL);
  return self->entry;
}

void
faint_filter_box_set_text (FaintFilterBox *self, const char *text)
{
  g_return_if_fail (FAINT_IS_FILTER_BOX (self));
  gtk_editable_set_text (GTK_EDITABLE (self->entry), text);
  apply (self);
}

const char *
faint_filter_box_get_error (FaintFilterBox *self)
{
  g_return_val_if_fail (FAINT_IS_FILTER_BOX (self), NULL);
  return gtk_widget_get_visible (self->error) ? gtk_label_get_text (GTK_LABEL (self->error)) : NULL;
}
