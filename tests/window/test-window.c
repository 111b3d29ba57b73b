/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The window as a person uses it: find and fit, look, edit, undo. What is expected comes from the
 * library called directly, or from the scene's physics.
 */
#include <gsl/gsl_errno.h>
#include <string.h>
#include <time.h>

#include "app/window/help-window.h"
#include "app/data/setup-field.h"
#include "faint-test.h"
#include "window-test.h"

static gboolean
is_field (GtkWidget *widget, gconstpointer key)
{
  return FAINT_IS_SETUP_FIELD (widget)
         && g_strcmp0 (faint_setup_field_get_key (FAINT_SETUP_FIELD (widget)), key) == 0;
}

static FaintSetupField *
field (FaintWindow *window, const char *key)
{
  GtkWidget *found = window_test_find (window->panes, is_field, key);

  g_assert_nonnull (found);
  return FAINT_SETUP_FIELD (found);
}

static void
test_find_and_fit (void)
{
  FaintWindow *window = window_test_fitted ();
  const char *const paths[] = { window_test_sample () };
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintAnalysis) analysis = faint_analysis_new (paths, 1, NULL, NULL, &error);
  g_autoptr (FaintFit) fit = NULL;

  g_assert_no_error (error);
  fit = faint_analysis_run (analysis, TRUE, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (faint_line_list_get_n (fit->lines), >, 0);
  g_assert_cmpuint (window_test_n_lines (window), ==, faint_line_list_get_n (fit->lines));
  for (gsize i = 0; i < window_test_n_lines (window); i++)
    {
      const FaintLine *want = faint_line_list_get (fit->lines, i);

      /* same inputs, same bits */
      g_assert_cmpfloat (window_test_line (window, i)->position.value, ==, want->position.value);
      g_assert_cmpfloat (window_test_line (window, i)->strength.value, ==, want->strength.value);
    }
  g_assert_nonnull (faint_plot_get_data (FAINT_PLOT (window->plot))->fit);
  g_assert_cmpuint (faint_line_table_get_n_shown (FAINT_LINE_TABLE (window->table)), ==,
                    faint_line_list_get_n (fit->lines));
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Find and Fit");
  window_test_close (window);
}

static void
test_cancel (void)
{
  FaintWindow *window = window_test_open ();

  window_test_act (window, "find-and-fit");
  g_assert_false (window_test_is_idle (window));
  window_test_act (window, "cancel");
  g_assert_true (window_test_is_idle (window));
  window_test_linger (1500);
  /* a normal ending: nothing changed, nothing said */
  g_assert_cmpuint (window_test_n_lines (window), ==, 0);
  g_assert_false (window_test_message_is_shown (window));
  g_assert_null (faint_document_get_undo_label (window->document));
  window_test_close (window);
}

static void
test_table_and_plot_are_linked (void)
{
  FaintWindow *window = window_test_fitted ();
  FaintLineTable *table = FAINT_LINE_TABLE (window->table);
  g_autoptr (GArray) selected = NULL;
  const FaintLine *line = window_test_line (window, 2);
  double lower, upper;

  faint_line_table_select_row (table, 2);
  g_assert_cmpuint (faint_session_get_selected (window->session), ==, line->id);

  faint_session_set_view (window->session, line->position.value - 0.01,
                          line->position.value + 0.01);
  faint_session_set_selected (window->session, window_test_line (window, 0)->id);
  selected = faint_line_table_get_selected (table);
  g_assert_cmpuint (selected->len, ==, 1);
  g_assert_cmpuint (g_array_index (selected, guint, 0), ==, window_test_line (window, 0)->id);
  /* the plot shows what is selected, at the same zoom */
  faint_session_get_view (window->session, &lower, &upper);
  g_assert_cmpfloat (window_test_line (window, 0)->position.value, >=, lower);
  g_assert_cmpfloat (window_test_line (window, 0)->position.value, <=, upper);
  faint_assert_near (upper - lower, 0.02, 1e-9, "sums of a few doubles near 7800");

  window_test_act (window, "next-line");
  g_assert_cmpuint (faint_session_get_selected (window->session), ==,
                    window_test_line (window, 1)->id);

  /* rows stay selected when the lines under them change, as after a fit */
  faint_line_table_select_all (table);
  g_signal_emit_by_name (window->plot, "line-moved", window_test_line (window, 1)->id,
                         window_test_line (window, 1)->position.value + 1e-4);
  g_clear_pointer (&selected, g_array_unref);
  selected = faint_line_table_get_selected (table);
  g_assert_cmpuint (selected->len, ==, window_test_n_lines (window));
  g_assert_cmpuint (faint_session_get_selected (window->session), ==,
                    window_test_line (window, 1)->id);
  window_test_close (window);
}

static void
test_table_sorts_and_filters (void)
{
  FaintWindow *window = window_test_fitted ();
  FaintLineTable *table = FAINT_LINE_TABLE (window->table);
  const FaintLine *first = window_test_line (window, 0);
  g_autofree char *range
      = g_strdup_printf ("%.4f..%.4f", first->position.value - 1e-3, first->position.value + 1e-3);
  double last = INFINITY;
  g_autofree char *text = NULL;
  g_auto (GStrv) rows = NULL;

  faint_line_table_sort_by (table, FAINT_LINE_COLUMN_STRENGTH, GTK_SORT_DESCENDING);
  for (guint row = 0; row < faint_line_table_get_n_shown (table); row++)
    {
      const FaintLine *line
          = faint_document_get_line (window->document, faint_line_table_get_id (table, row));

      g_assert_cmpfloat (line->strength.value, <=, last);
      last = line->strength.value;
    }
  faint_filter_box_set_text (FAINT_FILTER_BOX (window->filter_box), range);
  g_assert_cmpuint (faint_line_table_get_n_shown (table), ==, 1);
  g_assert_cmpuint (faint_line_table_get_id (table, 0), ==, first->id);
  text = faint_line_table_to_text (table);
  rows = g_strsplit (text, "\n", -1);
  g_assert_cmpuint (g_strv_length (rows), ==, 3); /* heads, the row, and what follows its end */
  g_assert_nonnull (strstr (rows[1], "\t"));
  window_test_close (window);
}

/* Conditions from the entry and from its popover; what cannot be read is told and filters nothing.
 */
static void
test_filter_conditions (void)
{
  FaintWindow *window = window_test_fitted ();
  FaintFilterBox *box = FAINT_FILTER_BOX (window->filter_box);
  FaintLineTable *table = FAINT_LINE_TABLE (window->table);
  guint n = faint_line_table_get_n_shown (table);
  double strength = INFINITY;
  char number[G_ASCII_DTOSTR_BUF_SIZE];
  gsize n_several;

  /* all but the weakest are stronger than this */
  for (gsize i = 0; i < window_test_n_lines (window); i++)
    strength = MIN (strength, 1.001 * window_test_line (window, i)->strength.value);

  g_ascii_formatd (number, sizeof number, "%.6e", strength);
  g_assert_true (faint_filter_box_add (box, FAINT_LINE_COLUMN_STRENGTH, 0, number, ""));
  g_assert_null (faint_filter_box_get_error (box));
  g_assert_cmpuint (n, >, 2);
  g_assert_cmpuint (faint_line_table_get_n_shown (table), ==, n - 1);
  for (guint row = 0; row < faint_line_table_get_n_shown (table); row++)
    g_assert_cmpfloat (
        faint_document_get_line (window->document, faint_line_table_get_id (table, row))
            ->strength.value,
        >=, strength * (1 - 1e-6));
  g_assert_true (faint_filter_box_add (box, FAINT_LINE_COLUMN_STRENGTH, 2, "", "1e-9"));
  g_assert_cmpuint (faint_line_table_get_n_shown (table), ==, 0);
  g_assert_false (faint_filter_box_add (box, FAINT_LINE_COLUMN_SNR, 0, "many", ""));
  faint_filter_box_set_text (box, "colour > 3");
  g_assert_nonnull (strstr (faint_filter_box_get_error (box), "colour"));
  g_assert_cmpuint (faint_line_table_get_n_shown (table), ==, n);
  g_assert_true (gtk_widget_has_css_class (faint_filter_box_get_entry (box), "error"));
  faint_filter_box_set_text (box, "");
  g_assert_null (faint_filter_box_get_error (box));

  /* what is hidden is not selected any more, so that no edit of all selected lines reaches it */
  faint_line_table_select_all (table);
  faint_session_get_several (window->session, &n_several);
  g_assert_cmpuint (n_several, ==, n);
  g_assert_true (faint_filter_box_add (box, FAINT_LINE_COLUMN_STRENGTH, 0, number, ""));
  faint_session_get_several (window->session, &n_several);
  g_assert_cmpuint (n_several, ==, n - 1);
  window_test_close (window);
}

static void
test_edit_pressure (void)
{
  FaintWindow *window = window_test_fitted ();
  double pressure
      = faint_analysis_get_setup (faint_document_get_analysis (window->document))->pressure.value;
  FaintParameter before = window_test_line (window, 3)->strength, after;
  g_autofree char *text = g_strdup_printf ("%.17g Pa", 2 * pressure);

  g_assert_true (faint_setup_field_enter (field (window, "pressure"), text));
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Edit Pressure");
  g_assert_false (window_test_is_current (window));
  window_test_wait (window, window_test_is_current, "the fit follows the edit");
  after = window_test_line (window, 3)->strength;
  /* the model knows strength times number density only, and that doubles with the pressure; both
   * fits end within a thousandth of u of the optimum. A line in the middle: the outer windows are
   * cut anew by the widths that a fit begins with, and a tooth more or less there is 0.02 u */
  faint_assert_near (after.value, before.value / 2, 4e-3 * before.u_noise, "two fits' convergence");
  /* the fit belongs to the edit */
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Edit Pressure");

  window_test_act (window, "undo");
  g_assert_cmpfloat (window_test_line (window, 3)->strength.value, ==, before.value);
  g_assert_true (window_test_is_current (window));
  g_assert_cmpstr (faint_document_get_redo_label (window->document), ==, "Edit Pressure");
  window_test_act (window, "redo");
  g_assert_cmpfloat (window_test_line (window, 3)->strength.value, ==, after.value);
  window_test_close (window);
}

static void
test_wrong_entry_is_said_beside_it (void)
{
  FaintWindow *window = window_test_open ();
  FaintAnalysis *before = faint_document_get_analysis (window->document);
  FaintSetupField *pressure = field (window, "pressure");

  g_assert_false (faint_setup_field_enter (pressure, "fast"));
  g_assert_nonnull (strstr (faint_setup_field_get_error (pressure), "fast"));
  g_assert_false (faint_setup_field_enter (pressure, "-1 hPa"));
  g_assert_nonnull (faint_setup_field_get_error (pressure));
  g_assert_true (faint_document_get_analysis (window->document) == before);
  g_assert_true (faint_setup_field_enter (pressure, "1.30(1) hPa"));
  g_assert_null (faint_setup_field_get_error (pressure));
  window_test_close (window);
}

static void
test_add_move_remove (void)
{
  FaintWindow *window = window_test_fitted ();
  gsize n = window_test_n_lines (window);
  double lower, upper, at;
  guint id;
  g_autofree char *label = NULL;

  faint_session_get_limits (window->session, &lower, &upper);
  at = lower + 0.37 * (upper - lower);
  g_signal_emit_by_name (window->plot, "add-line", at);
  g_assert_cmpuint (window_test_n_lines (window), ==, n + 1);
  id = faint_session_get_selected (window->session);
  g_assert_cmpfloat (faint_document_get_line (window->document, id)->position.value, ==, at);
  label = g_strdup_printf ("Add Line %.3f", at);
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, label);

  g_signal_emit_by_name (window->plot, "line-moved", id, at + 0.01);
  g_assert_cmpfloat (faint_document_get_line (window->document, id)->position.value, ==, at + 0.01);

  window_test_act (window, "remove-lines");
  g_assert_cmpuint (window_test_n_lines (window), ==, n);
  g_assert_null (faint_document_get_line (window->document, id));

  window_test_act (window, "undo");
  window_test_act (window, "undo");
  window_test_act (window, "undo");
  g_assert_cmpuint (window_test_n_lines (window), ==, n);
  g_assert_true (window_test_is_current (window));
  window_test_close (window);
}

static void
test_fix_position (void)
{
  FaintWindow *window = window_test_fitted ();
  FaintParameterRow *row = window_test_row (window, FAINT_PLACE_POSITION);
  guint id = window_test_line (window, 1)->id;
  double position = window_test_line (window, 1)->position.value;

  faint_session_set_selected (window->session, id);
  faint_parameter_row_choose (row, FAINT_STATE_FIXED);
  window_test_wait (window, window_test_is_current, "the fit follows");
  g_assert_cmpint (faint_document_get_line (window->document, id)->position.state, ==,
                   FAINT_STATE_FIXED);
  g_assert_cmpfloat (faint_document_get_line (window->document, id)->position.value, ==, position);
  g_assert_true (faint_document_get_line (window->document, id)->flags & FAINT_LINE_POSITION_FIXED);
  window_test_act (window, "undo");
  g_assert_cmpint (faint_document_get_line (window->document, id)->position.state, ==,
                   FAINT_STATE_FREE);
  g_assert_cmpint (faint_parameter_row_get_state (row), ==, FAINT_STATE_FREE);
  window_test_close (window);
}

typedef struct
{
  gint64 last, longest; /* processor time of the main thread between two turns of its loop, us */
} Beat;

static gint64
processor_time (clockid_t clock)
{
  struct timespec now;

  clock_gettime (clock, &now);
  return (gint64)now.tv_sec * G_USEC_PER_SEC + now.tv_nsec / 1000;
}

static gboolean
on_beat (gpointer data)
{
  Beat *beat = data;
  gint64 now = processor_time (CLOCK_THREAD_CPUTIME_ID);

  beat->longest = MAX (beat->longest, now - beat->last);
  beat->last = now;
  return G_SOURCE_CONTINUE;
}

static void
test_lower_energy_gives_strength_at_296 (void)
{
  FaintWindow *window = window_test_new ();
  g_autofree char *path
      = g_build_filename (g_getenv ("FAINT_TEST_DATA"), "demo", "nitrous-oxide.comb", NULL);
  const char *const paths[] = { path, NULL };
  FaintLine line;

  faint_window_open (window, paths);
  window_test_wait (window, window_test_work_is_shown, "the demo opens");
  window_test_act (window, "find-and-fit");
  window_test_wait (window, window_test_is_current, "lines are found and fitted");
  line = *window_test_line (window, 20);
  g_assert_true (isnan (line.strength_296));
  line.lower_energy = 500;
  faint_document_edit_line (window->document, &line, "Edit Lower-State Energy");
  window_test_wait (window, window_test_is_current, "the fit follows");
  /* 0.15 K from the reference: Q changes by 0.05 %, the Boltzmann factor of 500 cm-1 by 0.12 % */
  faint_assert_close (window_test_line (window, 20)->strength_296,
                      window_test_line (window, 20)->strength.value, 5e-3, "0.15 K apart");
  window_test_close (window);
}

/* A fit in the main thread would be one stretch of work as long as itself; drawing and filling the
 * table take a small part of that. In processor time, so that a loaded machine does not matter. */
static void
test_never_blocks (void)
{
  FaintWindow *window = window_test_new ();
  g_autofree char *path
      = g_build_filename (g_getenv ("FAINT_TEST_DATA"), "samples", "crowded.comb", NULL);
  const char *const paths[] = { path, NULL };
  Beat beat = { .last = processor_time (CLOCK_THREAD_CPUTIME_ID) };
  guint source = g_timeout_add_full (G_PRIORITY_HIGH, 5, on_beat, &beat, NULL);
  gint64 begin, took;

  faint_window_open (window, paths);
  window_test_wait (window, window_test_work_is_shown, "the sample opens");
  begin = processor_time (CLOCK_PROCESS_CPUTIME_ID);
  window_test_act (window, "find-and-fit");
  window_test_wait (window, window_test_is_current, "lines are found and fitted");
  took = processor_time (CLOCK_PROCESS_CPUTIME_ID) - begin;
  window_test_linger (200);
  g_source_remove (source);
  g_test_message ("fit %.0f ms, longest stretch in the main loop %.0f ms", (double)took / 1000,
                  (double)beat.longest / 1000);
  g_assert_cmpint (beat.longest, <, took / 2);
  window_test_close (window);
}

static void
test_stages (void)
{
  FaintWindow *window = window_test_open ();
  static const char *const names[] = { "data", "cavity", "lines", "strengths" };

  for (guint i = 0; i < G_N_ELEMENTS (names); i++)
    {
      g_action_group_change_action_state (G_ACTION_GROUP (window), "stage",
                                          g_variant_new_string (names[i]));
      g_assert_cmpint (faint_session_get_stage (window->session), ==, i);
      g_assert_cmpstr (gtk_stack_get_visible_child_name (GTK_STACK (window->panes)), ==, names[i]);
      window_test_linger (100);
    }
  window_test_close (window);
}

static void
test_fold_table (void)
{
  FaintWindow *window = window_test_open ();

  g_action_group_activate_action (G_ACTION_GROUP (window), "table-shown", NULL);
  g_assert_false (gtk_widget_get_visible (window->tables));
  window_test_linger (100);
  window_test_act (window, "filter");
  g_assert_true (gtk_widget_get_visible (window->tables));
  window_test_linger (100);
  window_test_close (window);
}

static void
test_manual (void)
{
  FaintWindow *window = window_test_open ();
  GtkWidget *manual = faint_help_window_new (GTK_WINDOW (window), FAINT_STAGE_CAVITY);
  g_autofree char *text = faint_help_window_get_text (FAINT_HELP_WINDOW (manual));
  static const char *const headings[] = { "Safety", "Data", "Cavity", "Lines", "Strengths" };
  static const char *const cautions[] = { "Laser light", "toxic", "Vacuum", "High voltage" };

  gtk_window_present (GTK_WINDOW (manual));
  for (guint i = 0; i < G_N_ELEMENTS (headings); i++)
    g_assert_true (faint_help_window_show_section (FAINT_HELP_WINDOW (manual), headings[i]));
  for (guint i = 0; i < G_N_ELEMENTS (cautions); i++)
    g_assert_nonnull (strstr (text, cautions[i]));
  window_test_linger (100);
  window_test_act (window, "shortcuts");
  window_test_linger (200);
  window_test_close (window);
}

static void
test_controls_have_names (void)
{
  FaintWindow *window = window_test_fitted ();

  window_test_assert_named (GTK_WIDGET (window));
  window_test_close (window);
}

static void
test_close_while_it_works (void)
{
  FaintWindow *window = window_test_open ();

  window_test_act (window, "find-and-fit");
  window_test_linger (50);
  window_test_close (window);
  window_test_linger (500);
}

int
main (int argc, char **argv)
{
  int status;

  gsl_set_error_handler_off ();
  gtk_test_init (&argc, &argv, NULL);
  window_test_begin ();

  g_test_add_func ("/window/find-and-fit", test_find_and_fit);
  g_test_add_func ("/window/cancel", test_cancel);
  g_test_add_func ("/window/table/linked", test_table_and_plot_are_linked);
  g_test_add_func ("/window/table/sorts-and-filters", test_table_sorts_and_filters);
  g_test_add_func ("/window/table/conditions", test_filter_conditions);
  g_test_add_func ("/window/edit/pressure", test_edit_pressure);
  g_test_add_func ("/window/edit/wrong-entry", test_wrong_entry_is_said_beside_it);
  g_test_add_func ("/window/edit/add-move-remove", test_add_move_remove);
  g_test_add_func ("/window/edit/fix-position", test_fix_position);
  g_test_add_func ("/window/edit/lower-state-energy", test_lower_energy_gives_strength_at_296);
  g_test_add_func ("/window/never-blocks", test_never_blocks);
  g_test_add_func ("/window/stages", test_stages);
  g_test_add_func ("/window/fold-table", test_fold_table);
  g_test_add_func ("/window/manual", test_manual);
  g_test_add_func ("/window/controls-have-names", test_controls_have_names);
  g_test_add_func ("/window/close/while-it-works", test_close_while_it_works);
  status = g_test_run ();
  window_test_end ();
  return status;
}
