/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The model under other conditions, from the pane of stage Cavity to the plot. With the stage its
 * sliders are out of sight, and so is its trace.
 */
#include "app/window/window-private.h"

#include "app/cavity/cavity-pane.h"
#include "app/what-if/what-if-box.h"

void
_faint_window_update_what_if (FaintWindow *self)
{
  gboolean shown = faint_session_get_stage (self->session) == FAINT_STAGE_CAVITY;

  if (self->plot == NULL)
    return;
  faint_plot_set_other (FAINT_PLOT (self->plot),
                        shown ? faint_what_if_box_get_trace (FAINT_WHAT_IF_BOX (self->what_if))
                              : NULL);
}

/* Escape ends it from wherever the focus is, after modes and what runs (window-actions.c). */
static gboolean
on_escape (GtkWidget *widget, GVariant *arguments, gpointer data)
{
  FaintWindow *self = FAINT_WINDOW (widget);
  FaintWhatIfBox *box = FAINT_WHAT_IF_BOX (self->what_if);

  if (faint_session_get_mode (self->session) != FAINT_MODE_INSPECT
      || faint_document_get_job (self->document)
      || faint_session_get_stage (self->session) != FAINT_STAGE_CAVITY
      || !faint_what_if_box_get_open (box))
    return GDK_EVENT_PROPAGATE;
  faint_what_if_box_set_open (box, FALSE);
  return GDK_EVENT_STOP;
}

static void
add_escape (FaintWindow *self)
{
  GtkEventController *controller = gtk_shortcut_controller_new ();

  gtk_shortcut_controller_add_shortcut (
      GTK_SHORTCUT_CONTROLLER (controller),
      gtk_shortcut_new (gtk_keyval_trigger_new (GDK_KEY_Escape, 0),
                        gtk_callback_action_new (on_escape, NULL, NULL)));
  gtk_widget_add_controller (GTK_WIDGET (self), controller);
}

void
_faint_window_add_what_if (FaintWindow *self, GtkWidget *pane)
{
  add_escape (self);
  self->what_if = faint_cavity_pane_get_what_if (FAINT_CAVITY_PANE (pane));
  g_signal_connect_object (self->what_if, "trace-changed",
                           G_CALLBACK (_faint_window_update_what_if), self, G_CONNECT_SWAPPED);
}

void
_faint_window_what_if (FaintWindow *self)
{
  faint_session_set_stage (self->session, FAINT_STAGE_CAVITY);
  faint_what_if_box_set_open (FAINT_WHAT_IF_BOX (self->what_if), TRUE);
}
