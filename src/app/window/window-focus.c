/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The keyboard after a menu or another popover. GTK leaves the focus in a submenu that is closed,
 * and keys that go to what is not on the screen come to nothing: what had the focus before gets it
 * back.
 */
#include "app/window/window-private.h"

#define FOLLOWED_KEY "faint-followed"

/* The outermost popover around @widget, or NULL. */
static GtkWidget *
popover_around (GtkWidget *widget)
{
  GtkWidget *popover = NULL;

  for (; widget != NULL; widget = gtk_widget_get_parent (widget))
    if (GTK_IS_POPOVER (widget))
      popover = widget;
  return popover;
}

/* An action may have given the focus to something else already: that keeps it. */
static void
on_popover_gone (FaintWindow *self, GtkWidget *popover)
{
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (self));

  if (self->plot == NULL || (focus != NULL && popover_around (focus) != popover))
    return;
  if (self->focus_outside == NULL || !gtk_widget_get_mapped (self->focus_outside)
      || !gtk_widget_grab_focus (self->focus_outside))
    gtk_widget_grab_focus (self->plot);
}

static void
on_focus (FaintWindow *self)
{
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (self));
  GtkWidget *popover = popover_around (focus);

  if (focus == NULL)
    return;
  if (popover == NULL)
    {
      g_set_weak_pointer (&self->focus_outside, focus);
      return;
    }
  if (g_object_get_data (G_OBJECT (popover), FOLLOWED_KEY) != NULL)
    return;
  g_object_set_data (G_OBJECT (popover), FOLLOWED_KEY, self);
  g_signal_connect_object (popover, "unmap", G_CALLBACK (on_popover_gone), self,
                           G_CONNECT_SWAPPED | G_CONNECT_AFTER);
}

void
_faint_window_follow_focus (FaintWindow *self)
{
  g_signal_connect (self, "notify::focus-widget", G_CALLBACK (on_focus), NULL);
}
