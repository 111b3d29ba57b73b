/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * F6 goes round the areas of the window: bar, plots, pane, table. An area gets its focus back where
 * it had it.
 */
#include "app/window/window-private.h"

#define FOCUS_KEY "faint-focus" /* of an area: what had the focus in it last */

enum
{
  AREA_BAR,
  AREA_PLOTS,
  AREA_PANE,
  AREA_TABLE,
  N_AREAS
};

/* NULL where the area is not shown. */
static GtkWidget *
area_of (FaintWindow *self, guint area)
{
  GtkWidget *found = NULL;

  switch (area)
    {
    case AREA_BAR:
      found = gtk_window_get_titlebar (GTK_WINDOW (self));
      break;
    case AREA_PLOTS:
      found = self->plots;
      break;
    case AREA_PANE:
      found = gtk_stack_get_visible_child (GTK_STACK (self->panes));
      break;
    case AREA_TABLE:
      found = self->table_box;
      break;
    }
  return found && gtk_widget_get_mapped (found) ? found : NULL;
}

static void
forget (gpointer data)
{
  gpointer *weak = data;

  g_clear_weak_pointer (weak);
  g_free (weak);
}

static void
remember (GtkWidget *area, GtkWidget *focus)
{
  gpointer *weak = g_new0 (gpointer, 1);

  g_set_weak_pointer (weak, focus);
  g_object_set_data_full (G_OBJECT (area), FOCUS_KEY, weak, forget);
}

/* Where a first visit begins: the work rather than what stands before it. */
static GtkWidget *
beginning_of (FaintWindow *self, guint area)
{
  if (area == AREA_PLOTS)
    return self->plot;
  if (area == AREA_TABLE && gtk_widget_get_visible (self->tables))
    return gtk_stack_get_visible_child (GTK_STACK (self->tables));
  return NULL;
}

static gboolean
enter (FaintWindow *self, guint area)
{
  GtkWidget *widget = area_of (self, area), *begin;
  gpointer *weak;

  if (widget == NULL)
    return FALSE;
  weak = g_object_get_data (G_OBJECT (widget), FOCUS_KEY);
  /* a row's widget may have got another line since; the table knows which had the focus */
  if (weak && *weak && gtk_widget_is_ancestor (*weak, self->table)
      && gtk_widget_get_mapped (self->table) && gtk_widget_grab_focus (self->table))
    return TRUE;
  if (weak && *weak && gtk_widget_is_ancestor (*weak, widget) && gtk_widget_get_mapped (*weak)
      && gtk_widget_grab_focus (*weak))
    return TRUE;
  begin = beginning_of (self, area);
  if (begin
      && (gtk_widget_grab_focus (begin) || gtk_widget_child_focus (begin, GTK_DIR_TAB_FORWARD)))
    return TRUE;
  return gtk_widget_child_focus (widget, GTK_DIR_TAB_FORWARD);
}

static void
go (FaintWindow *self, guint step)
{
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (self));
  guint from = AREA_BAR;

  for (guint area = 0; focus && area < N_AREAS; area++)
    {
      GtkWidget *widget = area_of (self, area);

      if (widget && gtk_widget_is_ancestor (focus, widget))
        {
          from = area;
          remember (widget, focus);
        }
    }
  for (guint i = 1; i < N_AREAS; i++)
    if (enter (self, (from + i * step) % N_AREAS))
      break;
  gtk_window_set_focus_visible (GTK_WINDOW (self), TRUE);
}

void
_faint_window_next_area (FaintWindow *self)
{
  go (self, 1);
}

void
_faint_window_previous_area (FaintWindow *self)
{
  go (self, N_AREAS - 1);
}
