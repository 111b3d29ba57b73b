/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Commands on lines in the real window: ties, splitting, profiles. What is expected follows from
 * the fitted values before the command.
 */
#include <gsl/gsl_errno.h>
#include <string.h>

#include "faint-test.h"
#include "window-test.h"

static gboolean
is_enabled (FaintWindow *window, const char *action)
{
  return g_action_group_get_action_enabled (G_ACTION_GROUP (window), action);
}

static const FaintLine *
find (FaintWindow *window, guint id)
{
  return faint_document_get_line (window->document, id);
}

static guint
strongest (FaintWindow *window)
{
  guint best = 0;

  for (gsize i = 1; i < window_test_n_lines (window); i++)
    if (window_test_line (window, i)->strength.value
        > window_test_line (window, best)->strength.value)
      best = (guint)i;
  return window_test_line (window, best)->id;
}

static void
test_tie_widths (void)
{
  FaintWindow *window = window_test_fitted ();
  guint reference = strongest (window), n_tied = 0;
  double width = find (window, reference)->lorentz.value;
  FaintLineList *before = faint_document_get_lines (window->document);

  faint_session_set_selected (window->session, window_test_line (window, 0)->id);
  g_assert_false (is_enabled (window, "tie-widths"));
  g_assert_false (is_enabled (window, "release-ties"));
  faint_line_table_select_all (FAINT_LINE_TABLE (window->table));
  g_assert_true (is_enabled (window, "tie-widths"));
  window_test_act (window, "tie-widths");
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Tie Lorentz Widths");
  g_assert_cmpint (find (window, reference)->lorentz.state, ==, FAINT_STATE_FREE);
  for (gsize i = 0; i < window_test_n_lines (window); i++)
    {
      const FaintLine *line = window_test_line (window, i);

      if (line->id == reference)
        continue;
      g_assert_cmpint (line->lorentz.state, ==, FAINT_STATE_TIED);
      g_assert_cmpuint (line->lorentz.tied_to, ==, reference);
      g_assert_cmpfloat (line->lorentz.value, ==, width);
      n_tied++;
    }
  g_assert_cmpuint (n_tied, ==, window_test_n_lines (window) - 1);
  g_assert_true (is_enabled (window, "release-ties"));

  window_test_act (window, "release-ties");
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Release Ties");
  for (gsize i = 0; i < window_test_n_lines (window); i++)
    g_assert_cmpint (window_test_line (window, i)->lorentz.state, ==, FAINT_STATE_FREE);
  window_test_act (window, "undo");
  window_test_act (window, "undo");
  g_assert_true (faint_document_get_lines (window->document) == before);
  window_test_close (window);
}

static void
test_tie_strengths_and_positions (void)
{
  FaintWindow *window = window_test_fitted ();
  guint reference = strongest (window);
  const FaintLine *first = window_test_line (window, 0);
  guint id = first->id == reference ? window_test_line (window, 1)->id : first->id;
  double ratio = find (window, id)->strength.value / find (window, reference)->strength.value;
  double distance = find (window, id)->position.value - find (window, reference)->position.value;

  faint_line_table_select_all (FAINT_LINE_TABLE (window->table));
  window_test_act (window, "tie-strengths");
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Tie Strengths");
  g_assert_cmpuint (find (window, id)->strength.tied_to, ==, reference);
  g_assert_cmpfloat (find (window, id)->strength.tie_factor, ==, ratio);
  window_test_act (window, "tie-positions");
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Tie Positions");
  g_assert_cmpuint (find (window, id)->position.tied_to, ==, reference);
  g_assert_cmpfloat (find (window, id)->position.tie_offset, ==, distance);
  window_test_close (window);
}

static void
test_split (void)
{
  FaintWindow *window = window_test_fitted ();
  gsize n = window_test_n_lines (window);
  FaintLine line = *window_test_line (window, 1);
  g_autofree char *label = g_strdup_printf ("Split Line %.3f", line.position.value);
  guint second = 0;

  faint_session_set_selected (window->session, line.id);
  window_test_act (window, "split-line");
  g_assert_cmpuint (window_test_n_lines (window), ==, n + 1);
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, label);
  for (gsize i = 0; i < n + 1; i++)
    second = MAX (second, window_test_line (window, i)->id);
  g_assert_cmpfloat (find (window, line.id)->strength.value, ==, line.strength.value / 2);
  g_assert_cmpfloat (find (window, second)->strength.value, ==, line.strength.value / 2);
  faint_assert_near (
      (find (window, line.id)->position.value + find (window, second)->position.value) / 2,
      line.position.value, 2e-12, "sums of doubles near 7800");
  g_assert_cmpuint (faint_session_get_selected (window->session), ==, line.id);
  window_test_act (window, "undo");
  g_assert_cmpuint (window_test_n_lines (window), ==, n);
  g_assert_cmpfloat (find (window, line.id)->strength.value, ==, line.strength.value);
  window_test_close (window);
}

static void
test_editor_ties (void)
{
  FaintWindow *window = window_test_fitted ();
  FaintParameterRow *row = window_test_row (window, FAINT_PLACE_LORENTZ);
  const FaintLine *last = window_test_line (window, window_test_n_lines (window) - 1);
  guint id = window_test_line (window, 0)->id, neighbour = window_test_line (window, 1)->id;
  guint far = last->id;
  g_autofree char *label
      = g_strdup_printf ("Tie Lorentz Width of Line %.3f", find (window, id)->position.value);

  faint_session_set_selected (window->session, id);
  faint_parameter_row_choose (row, FAINT_STATE_TIED);
  g_assert_null (faint_parameter_row_get_error (row));
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, label);
  g_assert_cmpuint (find (window, id)->lorentz.tied_to, ==, neighbour);
  g_assert_cmpfloat (find (window, id)->lorentz.value, ==, find (window, neighbour)->lorentz.value);
  faint_parameter_row_choose_line (row, (guint)window_test_n_lines (window));
  g_assert_cmpuint (find (window, id)->lorentz.tied_to, ==, far);
  /* not to itself: that is said, and the tie stays */
  faint_parameter_row_choose_line (row, 1);
  g_assert_nonnull (faint_parameter_row_get_error (row));
  g_assert_cmpuint (find (window, id)->lorentz.tied_to, ==, far);
  faint_parameter_row_choose (row, FAINT_STATE_FREE);
  g_assert_cmpint (find (window, id)->lorentz.state, ==, FAINT_STATE_FREE);
  window_test_act (window, "undo");
  g_assert_cmpint (faint_parameter_row_get_state (row), ==, FAINT_STATE_TIED);
  window_test_act (window, "undo");
  window_test_act (window, "undo");
  g_assert_cmpint (faint_parameter_row_get_state (row), ==, FAINT_STATE_FREE);
  window_test_close (window);
}

static void
test_profile (void)
{
  FaintWindow *window = window_test_fitted ();
  GtkWidget *row = GTK_WIDGET (window_test_row (window, FAINT_PLACE_SPEED_WIDTH));
  guint id = window_test_line (window, 0)->id;

  faint_session_set_selected (window->session, id);
  g_assert_false (gtk_widget_get_visible (row));
  faint_line_table_select_all (FAINT_LINE_TABLE (window->table));
  g_action_group_activate_action (G_ACTION_GROUP (window), "profile",
                                  g_variant_new_string ("speed-dependent-voigt"));
  g_assert_true (gtk_widget_get_visible (row));
  g_assert_false (
      gtk_widget_get_visible (GTK_WIDGET (window_test_row (window, FAINT_PLACE_CORRELATION))));
  for (gsize i = 0; i < window_test_n_lines (window); i++)
    g_assert_cmpint (window_test_line (window, i)->profile, ==,
                     FAINT_PROFILE_SPEED_DEPENDENT_VOIGT);
  window_test_act (window, "undo");
  g_assert_cmpint (find (window, id)->profile, ==, FAINT_PROFILE_VOIGT);
  g_assert_false (gtk_widget_get_visible (row));
  window_test_close (window);
}

int
main (int argc, char **argv)
{
  int status;

  gsl_set_error_handler_off ();
  gtk_test_init (&argc, &argv, NULL);
  window_test_begin ();
  g_test_add_func ("/window-lines/tie-widths", test_tie_widths);
  g_test_add_func ("/window-lines/tie-strengths-and-positions", test_tie_strengths_and_positions);
  g_test_add_func ("/window-lines/split", test_split);
  g_test_add_func ("/window-lines/editor-ties", test_editor_ties);
  g_test_add_func ("/window-lines/profile", test_profile);
  status = g_test_run ();
  window_test_end ();
  return status;
}
