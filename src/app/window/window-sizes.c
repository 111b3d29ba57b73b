/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where the borders between plots, pane and table stand, and the table that can be folded away.
 */
#include "app/window/window-private.h"

/* In a low window the table leaves the plots most of the height. */
#define TABLE_SHARE 0.35

/* The sizes of pane and table hold from the other side of their borders. */
static gboolean
place_borders (gpointer data)
{
  g_autoptr (FaintWindow) self = data;
  int height;

  if (self->plot == NULL)
    return G_SOURCE_REMOVE;
  gtk_paned_set_position (GTK_PANED (self->outer),
                          gtk_widget_get_width (self->outer)
                              - faint_settings_get_int (self->settings, "pane-width"));
  height = gtk_widget_get_height (self->inner);
  if (gtk_widget_get_visible (self->tables))
    gtk_paned_set_position (GTK_PANED (self->inner),
                            height
                                - MIN (faint_settings_get_int (self->settings, "table-height"),
                                       (int)(TABLE_SHARE * height)));
  return G_SOURCE_REMOVE;
}

void
_faint_window_on_max_position (GtkPaned *paned, GParamSpec *pspec, FaintWindow *self)
{
  if (self->placed || gtk_widget_get_width (self->outer) == 0)
    return;
  self->placed = TRUE;
  g_idle_add (place_borders, g_object_ref (self));
}

static void
keep_table_height (FaintWindow *self)
{
  if (self->placed && gtk_widget_get_visible (self->tables))
    faint_settings_set_int (self->settings, "table-height",
                            gtk_widget_get_height (self->inner)
                                - gtk_paned_get_position (GTK_PANED (self->inner)));
}

void
_faint_window_fold_table (FaintWindow *self, gboolean shown)
{
  GAction *action = g_action_map_lookup_action (G_ACTION_MAP (self), "table-shown");

  if (shown == gtk_widget_get_visible (self->tables))
    return;
  keep_table_height (self);
  gtk_widget_set_visible (self->tables, shown);
  gtk_button_set_icon_name (GTK_BUTTON (self->fold_button),
                            shown ? "pan-down-symbolic" : "pan-up-symbolic");
  gtk_widget_set_visible (self->filter_box, shown && !_faint_window_shows_review (self));
  if (shown && self->placed)
    g_idle_add (place_borders, g_object_ref (self));
  else
    gtk_paned_set_position (GTK_PANED (self->inner), G_MAXINT);
  faint_settings_set_boolean (self->settings, "table-shown", shown);
  g_simple_action_set_state (G_SIMPLE_ACTION (action), g_variant_new_boolean (shown));
}

void
_faint_window_keep_sizes (FaintWindow *self)
{
  int width, height;

  gtk_window_get_default_size (GTK_WINDOW (self), &width, &height);
  if (width > 0 && height > 0)
    {
      faint_settings_set_int (self->settings, "window-width", width);
      faint_settings_set_int (self->settings, "window-height", height);
    }
  faint_settings_set_boolean (self->settings, "window-maximized",
                              gtk_window_is_maximized (GTK_WINDOW (self)));
  keep_table_height (self);
  if (self->placed)
    faint_settings_set_int (self->settings, "pane-width",
                            gtk_widget_get_width (self->outer)
                                - gtk_paned_get_position (GTK_PANED (self->outer)));
}
