/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Escape gives up what is begun: a drag, a marked range, a popover, typing, a mode. One press gives
 * up one thing, the innermost; with nothing begun nothing changes.
 */
#include <gsl/gsl_errno.h>
#include <string.h>

#include "app/data/excluded-list.h"
#include "app/lines/options-box.h"
#include "app/plot/plot-private.h"
#include "app/parts/quantity-entry.h"
#include "app/data/setup-field.h"
#include "app/what-if/what-if-box.h"
#include "faint-test.h"
#include "hand.h"
#include "window-test.h"

/* A point of the plots, at @share of the visible range. */
static void
place_in_plot (FaintWindow *window, double share, int *x, int *y)
{
  FaintPlot *plot = FAINT_PLOT (window->plot);
  FaintView view;

  g_assert_true (faint_plot_shared_view (plot, &view));
  hand_place_of (plot->overlay, view.place.x + share * view.place.width,
                 view.place.y + view.place.height / 2, x, y);
}

/* Presses in the plot and moves on without letting go. */
static void
drag (FaintWindow *window, const char *modifier, double from, double to)
{
  g_autofree char *command = NULL;
  int x, y, to_x;

  place_in_plot (window, to, &to_x, &y);
  place_in_plot (window, from, &x, &y);
  command = g_strdup_printf ("xdotool mousemove %d %d %s %s mousedown 1 mousemove %d %d "
                             "mousemove %d %d",
                             x, y, modifier ? "keydown" : "sleep", modifier ? modifier : "0",
                             (x + to_x) / 2, y, to_x, y);
  hand (command);
}

static void
let_go (const char *modifier)
{
  g_autofree char *command = g_strdup_printf (
      "xdotool mouseup 1 %s %s", modifier ? "keyup" : "sleep", modifier ? modifier : "0");

  hand (command);
}

static gboolean
view_is (FaintWindow *window, double lower, double upper)
{
  double now_lower, now_upper;

  faint_session_get_view (window->session, &now_lower, &now_upper);
  return now_lower == lower && now_upper == upper;
}

/* A range to zoom to, drawn and given up; the same drag without Escape zooms. */
static void
test_drag (void)
{
  FaintWindow *window;
  double lower, upper;

  if (!hand_is_there ())
    return;
  window = window_test_fitted ();
  window_test_linger (300);
  faint_session_get_view (window->session, &lower, &upper);
  drag (window, NULL, 0.3, 0.5);
  g_assert_cmpint (FAINT_PLOT (window->plot)->drag.kind, ==, FAINT_DRAG_RANGE);
  hand ("xdotool key Escape");
  g_assert_cmpint (FAINT_PLOT (window->plot)->drag.kind, ==, FAINT_DRAG_NONE);
  let_go (NULL);
  g_assert_true (view_is (window, lower, upper));
  drag (window, NULL, 0.3, 0.5);
  let_go (NULL);
  g_assert_false (view_is (window, lower, upper));
  window_test_close (window);
}

/* A range in the midst of being marked; and a marked one, whose menu goes first. */
static void
test_mark (void)
{
  FaintWindow *window;
  FaintPlot *plot;

  if (!hand_is_there ())
    return;
  window = window_test_fitted ();
  plot = FAINT_PLOT (window->plot);
  window_test_linger (300);
  drag (window, "ctrl", 0.3, 0.5);
  g_assert_cmpint (plot->drag.kind, ==, FAINT_DRAG_MARK);
  hand ("xdotool key Escape");
  let_go ("ctrl");
  g_assert_false (faint_plot_is_marked (plot));
  drag (window, "ctrl", 0.3, 0.5);
  let_go ("ctrl");
  g_assert_true (faint_plot_is_marked (plot));
  hand ("xdotool key Escape");
  g_assert_true (faint_plot_is_marked (plot));
  hand ("xdotool key Escape");
  g_assert_false (faint_plot_is_marked (plot));
  window_test_close (window);
}

static gboolean
is_popover (GtkWidget *widget, gconstpointer data)
{
  return GTK_IS_POPOVER (widget) && gtk_widget_get_mapped (widget);
}

/* The popover that asks for a position, and the one of conditions. */
static void
test_popovers (void)
{
  FaintWindow *window;
  double lower, upper;

  if (!hand_is_there ())
    return;
  window = window_test_fitted ();
  window_test_linger (300);
  faint_session_set_mode (window->session, FAINT_MODE_ADD);
  faint_session_get_view (window->session, &lower, &upper);
  gtk_widget_grab_focus (window->plot);
  hand ("xdotool key ctrl+g");
  g_assert_nonnull (window_test_find (GTK_WIDGET (window), is_popover, NULL));
  hand ("xdotool type --delay 30 7798");
  hand ("xdotool key Escape");
  g_assert_null (window_test_find (GTK_WIDGET (window), is_popover, NULL));
  g_assert_true (view_is (window, lower, upper));
  /* the popover alone was given up */
  g_assert_cmpint (faint_session_get_mode (window->session), ==, FAINT_MODE_ADD);
  gtk_menu_button_popup (GTK_MENU_BUTTON (window->menu_button));
  window_test_linger (300);
  g_assert_nonnull (window_test_find (GTK_WIDGET (window), is_popover, NULL));
  hand ("xdotool key Escape");
  g_assert_null (window_test_find (GTK_WIDGET (window), is_popover, NULL));
  window_test_close (window);
}

static gboolean
is_field (GtkWidget *widget, gconstpointer key)
{
  return FAINT_IS_SETUP_FIELD (widget)
         && g_str_equal (faint_setup_field_get_key (FAINT_SETUP_FIELD (widget)), key);
}

static gboolean
is_excluded (GtkWidget *widget, gconstpointer data)
{
  return FAINT_IS_EXCLUDED_LIST (widget);
}

static gboolean
is_entry (GtkWidget *widget, gconstpointer data)
{
  return GTK_IS_ENTRY (widget);
}

static gboolean
is_options (GtkWidget *widget, gconstpointer data)
{
  return FAINT_IS_OPTIONS_BOX (widget);
}

static GtkWidget *
entry_below (FaintWindow *window, WidgetMatch match, gconstpointer data)
{
  GtkWidget *part = window_test_find (window->panes, match, data);

  g_assert_nonnull (part);
  return window_test_find (part, is_entry, NULL);
}

/* What was typed into an entry is taken back, nothing is edited, and a mode waits for the next
 * press. */
static void
give_up_typing (FaintWindow *window, GtkWidget *entry)
{
  g_autofree char *before = g_strdup (gtk_editable_get_text (GTK_EDITABLE (entry)));

  faint_session_set_mode (window->session, FAINT_MODE_ADD);
  gtk_widget_grab_focus (entry);
  window_test_linger (100);
  hand ("xdotool key ctrl+a");
  hand ("xdotool type --delay 30 99.5x");
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (entry)), ==, "99.5x");
  hand ("xdotool key Escape");
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (entry)), ==, before);
  g_assert_cmpint (faint_session_get_mode (window->session), ==, FAINT_MODE_ADD);
  hand ("xdotool key Escape");
  g_assert_cmpint (faint_session_get_mode (window->session), ==, FAINT_MODE_INSPECT);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (entry)), ==, before);
}

static void
test_typing (void)
{
  FaintWindow *window;
  FaintAnalysis *before;

  if (!hand_is_there ())
    return;
  window = window_test_open ();
  window_test_linger (300);
  before = faint_document_get_analysis (window->document);
  faint_session_set_stage (window->session, FAINT_STAGE_DATA);
  window_test_linger (200);
  give_up_typing (window, entry_below (window, is_field, "pressure"));
  give_up_typing (window, entry_below (window, is_field, "title"));
  give_up_typing (window, entry_below (window, is_excluded, NULL));
  faint_session_set_stage (window->session, FAINT_STAGE_LINES);
  window_test_linger (200);
  give_up_typing (window, faint_options_box_find (FAINT_OPTIONS_BOX (window_test_find (
                                                      window->panes, is_options, NULL)),
                                                  "threshold"));
  gtk_widget_grab_focus (window->plot);
  window_test_linger (100);
  g_assert_true (faint_document_get_analysis (window->document) == before);
  window_test_close (window);
}

/* Modes of the pointer and What If end from the plot; a fit that runs goes first. */
static void
test_modes (void)
{
  FaintWindow *window;
  FaintWhatIfBox *what_if;

  if (!hand_is_there ())
    return;
  window = window_test_fitted ();
  what_if = FAINT_WHAT_IF_BOX (window->what_if);
  window_test_linger (300);
  gtk_widget_grab_focus (window->plot);
  hand ("xdotool key ctrl+l");
  g_assert_cmpint (faint_session_get_mode (window->session), ==, FAINT_MODE_ADD);
  hand ("xdotool key Escape");
  g_assert_cmpint (faint_session_get_mode (window->session), ==, FAINT_MODE_INSPECT);
  hand ("xdotool key ctrl+r");
  g_assert_cmpint (faint_session_get_mode (window->session), ==, FAINT_MODE_MARK);
  hand ("xdotool key Escape");
  g_assert_cmpint (faint_session_get_mode (window->session), ==, FAINT_MODE_INSPECT);

  window_test_act (window, "what-if");
  g_assert_true (faint_what_if_box_get_open (what_if));
  gtk_widget_grab_focus (window->plot);
  hand ("xdotool key ctrl+l");
  hand ("xdotool key Escape");
  g_assert_true (faint_what_if_box_get_open (what_if));
  hand ("xdotool key Escape");
  g_assert_false (faint_what_if_box_get_open (what_if));
  /* and from its own sliders */
  window_test_act (window, "what-if");
  hand ("xdotool key Escape");
  g_assert_false (faint_what_if_box_get_open (what_if));
  /* with nothing begun nothing happens */
  gtk_widget_grab_focus (window->plot);
  hand ("xdotool key Escape");
  g_assert_true (gtk_window_get_focus (GTK_WINDOW (window)) == window->plot);
  g_assert_true (window_test_is_current (window));
  window_test_close (window);
}

int
main (int argc, char **argv)
{
  int status;

  gtk_test_init (&argc, &argv);
  gsl_set_error_handler_off ();
  window_test_begin ();
  g_test_add_func ("/window/escape/drag", test_drag);
  g_test_add_func ("/window/escape/mark", test_mark);
  g_test_add_func ("/window/escape/popovers", test_popovers);
  g_test_add_func ("/window/escape/typing", test_typing);
  g_test_add_func ("/window/escape/modes", test_modes);
  status = g_test_run ();
  window_test_end ();
  return status;
}
