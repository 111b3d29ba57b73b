/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Labels in the real window: by click, drag and key in the plot of Loomis and Wood, undone by name,
 * saved and exported; and the constants that follow from them, held against those that the headless
 * command gives for the same list.
 */
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "app/assignment/assignment-pane.h"
#include "app/assignment/assignment-plots.h"
#include "app/assignment/free-constants.h"
#include "assignment-demo.h"
#include "faint-test.h"

static FaintLoomisWoodView *
plot_of (FaintWindow *window)
{
  return faint_assignment_plots_get_view (FAINT_ASSIGNMENT_PLOTS (window->assignment_plots));
}

static guint
id_of (FaintWindow *window, const char *upper, const char *lower)
{
  for (gsize i = 0; i < N_LINES; i++)
    if (g_str_equal (demo_truth[i][0], upper) && g_str_equal (demo_truth[i][1], lower))
      return window_test_line (window, i)->id;
  g_assert_not_reached ();
}

static const FaintLine *
line_of (FaintWindow *window, guint id)
{
  return faint_document_get_line (window->document, id);
}

#define assert_undo(window, label)                                                                 \
  g_assert_cmpstr (faint_document_get_undo_label ((window)->document), ==, label)

static gboolean
has_label (GtkWidget *widget, gconstpointer text)
{
  GtkWidget *child = GTK_IS_BUTTON (widget) ? gtk_button_get_child (GTK_BUTTON (widget)) : NULL;

  return GTK_IS_LABEL (child) && g_strcmp0 (gtk_label_get_text (GTK_LABEL (child)), text) == 0;
}

/* Levels that come with the program are one click away, and the click is a step of the history. */
static void
test_sample_levels (void)
{
  g_autofree char *before = g_strdup (g_getenv ("FAINTLINE_DATA"));
  FaintWindow *window;
  GtkWidget *button;

  g_setenv ("FAINTLINE_DATA", g_getenv ("FAINT_TEST_DATA"), TRUE);
  window = demo_open (FALSE);
  g_setenv ("FAINTLINE_DATA", before, TRUE);
  button
      = window_test_find (GTK_WIDGET (window), has_label, "Sample: 14N2 16O, ground state 00 0 0");
  g_assert_nonnull (button);
  g_signal_emit_by_name (button, "clicked");
  g_assert_nonnull (faint_assigner_get_levels (demo_assigner (window)));
  assert_undo (window, "Open Levels nitrous-oxide-ground.constants");
  window_test_act (window, "undo");
  g_assert_null (faint_assigner_get_levels (demo_assigner (window)));
  g_assert_false (g_action_group_get_action_enabled (G_ACTION_GROUP (window), "assign"));
  window_test_act (window, "redo");
  g_assert_nonnull (faint_assigner_get_levels (demo_assigner (window)));
  window_test_close (window);
}

/* Runs faintline-batch on the demo's list; the text of a file of its folder. Free with g_free. */
static char *
batch (const char *name, const char *free_constants)
{
  g_autofree char *list = demo_make_list (), *levels = demo_levels_path ();
  g_autofree char *folder = window_test_path ("batch"), *path = NULL;
  char *text = NULL;
  const char *arguments[] = { g_getenv ("FAINT_TEST_BATCH"),
                              "assign",
                              list,
                              "--constants",
                              levels,
                              "--out",
                              folder,
                              "--temperature",
                              "296 K",
                              "--free",
                              free_constants,
                              NULL };
  g_autoptr (GError) error = NULL;
  int status;

  g_assert_nonnull (arguments[0]);
  g_spawn_sync (NULL, (char **)arguments, NULL, G_SPAWN_STDOUT_TO_DEV_NULL, NULL, NULL, NULL, NULL,
                &status, &error);
  g_assert_no_error (error);
  g_assert_true (g_spawn_check_wait_status (status, &error));
  path = g_build_filename (folder, name, NULL);
  g_assert_true (g_file_get_contents (path, &text, NULL, NULL));
  return text;
}

/* The value in column @column (from 0) of the row of @constant. */
static double
cell (const char *csv, const char *constant, guint column)
{
  g_autofree char *begin = g_strdup_printf ("\n1,%s,", constant);
  const char *row = strstr (csv, begin);
  g_auto (GStrv) cells = NULL;

  g_assert_nonnull (row);
  cells = g_strsplit (row + 1, ",", 6);
  return g_ascii_strtod (cells[column], NULL);
}

static void
assert_as_batch (FaintWindow *window, const char *csv, guint n)
{
  const FaintAssignment *result = faint_assigner_get_result (demo_assigner (window));
  const FaintAssignedBand *band;

  g_assert_cmpuint (result->bands->len, ==, 1);
  band = &g_array_index (result->bands, FaintAssignedBand, 0);
  g_assert_cmpuint (band->band->constants->len, ==, n);
  for (guint i = 0; i < n; i++)
    {
      const FaintBandConstant *it = &g_array_index (band->band->constants, FaintBandConstant, i);

      double u = cell (csv, it->name, 3);

      faint_assert_near (it->value, cell (csv, it->name, 2), 1e-6 * u,
                         "a search and a check of labels add up in another order");
      faint_assert_close (it->u, u, 1e-6, "a search and a check of labels add up in another order");
    }
}

static gboolean
shows (GtkWidget *widget, gconstpointer text)
{
  return GTK_IS_LABEL (widget) && strstr (gtk_label_get_text (GTK_LABEL (widget)), text) != NULL
         && gtk_widget_get_mapped (widget);
}

/* What the pane shows is what the headless command writes, also with another choice of free
 * constants. */
static void
test_as_batch (void)
{
  g_autofree char *plain = batch ("constants.csv", "origin,B,D");
  g_autofree char *more = batch ("constants.csv", "origin,B,D,H");
  FaintWindow *window = demo_open (TRUE);
  FaintFreeConstants *box = demo_part (window, FAINT_TYPE_FREE_CONSTANTS);
  GtkCheckButton *h = faint_free_constants_find (box, FAINT_CONSTANT_H, FALSE);
  FaintBandOptions options;

  demo_search (window);
  assert_as_batch (window, plain, 3);
  {
    g_auto (GStrv) rows = g_strsplit (strstr (plain, "\n1,B',"), ",", 7);

    g_assert_nonnull (window_test_find (GTK_WIDGET (window), shows, rows[5]));
  }
  gtk_check_button_set_active (h, TRUE);
  assert_undo (window, "Choose Free Constants");
  window_test_wait (window, demo_has_result, "the constants are fitted again");
  assert_as_batch (window, more, 4);
  g_assert_cmpuint (demo_n_labelled (window), ==, N_LABELLED);
  window_test_act (window, "undo");
  g_assert_false (gtk_check_button_get_active (h));
  window_test_wait (window, demo_has_result, "the constants are as they were");
  assert_as_batch (window, plain, 3);
  /* none at all is not a choice */
  gtk_check_button_set_active (faint_free_constants_find (box, FAINT_CONSTANT_B, FALSE), FALSE);
  gtk_check_button_set_active (faint_free_constants_find (box, FAINT_CONSTANT_D, FALSE), FALSE);
  gtk_check_button_set_active (faint_free_constants_find (box, FAINT_CONSTANT_ORIGIN, FALSE),
                               FALSE);
  g_assert_true (faint_assigner_get_free (demo_assigner (window), &options));
  g_assert_true (options.upper[FAINT_CONSTANT_ORIGIN]);
  window_test_close (window);
}

static int
row_of (FaintWindow *window, guint id)
{
  double offset;
  int row = 0;

  g_assert_true (
      faint_loomis_wood_place (faint_loomis_wood_view_get (plot_of (window)), id, &row, &offset));
  return row;
}

/* A line that lost its labels gets them back by a click in its row; one that has labels, and one
 * whose row is taken, does not. */
static void
test_click (void)
{
  FaintWindow *window = demo_open (TRUE);
  FaintLoomisWoodView *view = plot_of (window);
  guint r14, stranger;

  demo_search (window);
  r14 = id_of (window, "J15e", "J14e");
  stranger = id_of (window, "", "");
  faint_session_set_selected (window->session, r14);
  g_signal_emit_by_name (view, "clear"); /* Delete */
  assert_undo (window, "Unassign R(14)");
  g_assert_cmpstr (line_of (window, r14)->upper, ==, "");
  window_test_wait (window, demo_has_result, "the rest is judged");
  g_signal_emit_by_name (view, "line-clicked", r14, row_of (window, r14));
  assert_undo (window, "Assign R(14)");
  g_assert_cmpstr (line_of (window, r14)->upper, ==, "J15e");
  window_test_wait (window, demo_has_result, "all are judged");
  g_signal_emit_by_name (view, "line-clicked", stranger, 15);
  g_assert_cmpstr (line_of (window, stranger)->upper, ==, "");
  assert_undo (window, "Assign R(14)");
  window_test_act (window, "undo");
  g_assert_cmpstr (faint_document_get_redo_label (window->document), ==, "Assign R(14)");
  window_test_act (window, "undo");
  g_assert_cmpuint (demo_n_labelled (window), ==, N_LABELLED);
  window_test_close (window);
}

/* Enter gives the selected line what its row says, and takes it from the line that had it. */
static void
test_enter (void)
{
  FaintWindow *window = demo_open (TRUE);
  FaintLoomisWoodView *view = plot_of (window);
  guint stranger;
  int row;
  char *words;

  demo_search (window);
  stranger = id_of (window, "", "");
  faint_session_set_selected (window->session, stranger);
  g_assert_true (faint_loomis_wood_view_get_row (view, &row));
  g_signal_emit_by_name (view, "assign");
  g_assert_cmpstr (line_of (window, stranger)->lower, !=, "");
  g_assert_cmpuint (demo_n_labelled (window), ==, N_LABELLED);
  words = g_strdup_printf (row < 0 ? "Assign P(%d)" : "Assign R(%d)", row < 0 ? -row : row - 1);
  assert_undo (window, words);
  g_free (words);
  window_test_act (window, "undo");
  g_assert_cmpstr (line_of (window, stranger)->lower, ==, "");
  g_assert_cmpuint (demo_n_labelled (window), ==, N_LABELLED);
  window_test_close (window);
}

/* From three lines the constants follow, and with them the rows, in which the others are found. */
static void
test_rows_follow (void)
{
  FaintWindow *window = demo_open (TRUE);
  FaintLoomisWoodView *view = plot_of (window);
  FaintTransition first[6];
  char label[2][16];
  g_autoptr (GError) error = NULL;
  double offset;
  guint id;
  int row;

  for (int i = 0; i < 6; i++)
    {
      g_snprintf (label[0], sizeof label[0], "J%de", i + 11);
      g_snprintf (label[1], sizeof label[1], "J%de", i + 10);
      first[i] = (FaintTransition){ id_of (window, label[0], label[1]), 0, FAINT_BRANCH_R, i + 11,
                                    NULL };
    }
  g_assert_true (faint_assigner_label (demo_assigner (window), first, 6, &error));
  g_assert_no_error (error);
  assert_undo (window, "Assign R(10) to R(15)");
  window_test_wait (window, demo_has_result, "six lines are judged");
  id = id_of (window, "J17e", "J16e"); /* R(16), the next */
  g_assert_true (faint_loomis_wood_place (faint_loomis_wood_view_get (view), id, &row, &offset));
  g_assert_cmpint (row, ==, 17);
  g_assert_cmpfloat (fabs (offset), <, 0.02); /* two lines further is 0.7 cm-1 away */
  g_signal_emit_by_name (view, "line-clicked", id, row);
  assert_undo (window, "Assign R(16)");
  window_test_close (window);
}

/* An assignment that cannot be is marked in the table. */
static void
test_outlier (void)
{
  FaintWindow *window = demo_open (TRUE);
  g_autofree char *table = NULL;
  FaintTransition wrong = { 0, 0, FAINT_BRANCH_R, 15, NULL };
  g_autoptr (GError) error = NULL;

  demo_search (window);
  wrong.id = id_of (window, "", "");
  g_assert_true (faint_assigner_label (demo_assigner (window), &wrong, 1, &error));
  window_test_wait (window, demo_has_result, "the wrong one is judged");
  table = faint_line_table_to_text (FAINT_LINE_TABLE (window->table));
  g_assert_nonnull (strstr (table, "Obs − calc/cm⁻¹"));
  g_assert_nonnull (strstr (table, "\t† "));
  window_test_act (window, "undo");
  window_test_wait (window, demo_has_result, "and taken back");
  g_clear_pointer (&table, g_free);
  table = faint_line_table_to_text (FAINT_LINE_TABLE (window->table));
  g_assert_null (strstr (table, "†"));
  window_test_close (window);
}

static void
on_exported (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (GError) error = NULL;

  faint_document_export_finish (FAINT_DOCUMENT (source), result, &error);
  g_assert_no_error (error);
  *(gboolean *)data = TRUE;
}

static void export(FaintWindow *window, FaintExport what, const char *path)
{
  gboolean done = FALSE;

  faint_document_export_async (window->document, what, path, on_exported, &done);
  while (!done)
    g_main_context_iteration (NULL, TRUE);
}

/* Levels, free constants and labels are in the file, and the labels in what is exported. */
static void
test_saved (void)
{
  FaintWindow *window = demo_open (TRUE), *again;
  g_autofree char *saved = window_test_path ("levels.faintline"), *text = NULL;
  g_autofree char *csv = window_test_path ("labels.csv"), *report = window_test_path ("labels.pdf");
  const char *const paths[] = { saved, NULL };
  FaintBandOptions options;

  demo_search (window);
  g_assert_true (faint_assigner_get_free (demo_assigner (window), &options));
  options.lower[FAINT_CONSTANT_B] = TRUE;
  faint_assigner_set_free (demo_assigner (window), &options);
  demo_save (window, saved);
  export(window, FAINT_EXPORT_LINES, csv);
  export(window, FAINT_EXPORT_REPORT, report);
  g_assert_true (g_file_get_contents (csv, &text, NULL, NULL));
  g_assert_nonnull (strstr (text, ",J15e,J14e,"));
  g_assert_nonnull (strstr (text, ",J55e,J56e,"));
  window_test_close (window);

  again = window_test_new ();
  faint_window_open (again, paths);
  window_test_wait (again, demo_has_lines, "the analysis is loaded");
  g_assert_nonnull (faint_assigner_get_levels (demo_assigner (again)));
  g_assert_true (faint_assigner_get_free (demo_assigner (again), &options));
  g_assert_true (options.lower[FAINT_CONSTANT_B]);
  g_assert_true (options.upper[FAINT_CONSTANT_D]);
  g_assert_cmpuint (demo_n_labelled (again), ==, N_LABELLED);
  window_test_wait (again, demo_has_result, "the labels are judged");
  g_assert_nonnull (faint_band_constant (
      g_array_index (faint_assigner_get_result (demo_assigner (again))->bands, FaintAssignedBand, 0)
          .band,
      "B''"));
  window_test_close (again);
}

/* Real input: what xdotool does to the display. */
static void
xdotool (const char *command)
{
  g_autofree char *line = g_strdup_printf ("xdotool %s", command);
  g_autoptr (GError) error = NULL;
  int status;

  g_spawn_command_line_sync (line, NULL, NULL, &status, &error);
  g_assert_no_error (error);
  g_assert_cmpint (status, ==, 0);
  window_test_linger (50);
}

/* It takes its time through the display; five seconds at most. */
static void
wait_undo (FaintWindow *window, const char *label)
{
  for (guint i = 0;
       i < 100 && g_strcmp0 (faint_document_get_undo_label (window->document), label) != 0; i++)
    window_test_linger (50);
  assert_undo (window, label);
}

static void
wait_selected (FaintWindow *window, guint id)
{
  for (guint i = 0; i < 100 && faint_session_get_selected (window->session) != id; i++)
    window_test_linger (50);
  g_assert_cmpuint (faint_session_get_selected (window->session), ==, id);
}

/* Where the plot stands once the window has settled. */
static FaintView
settled (FaintLoomisWoodView *view)
{
  FaintView shown = faint_loomis_wood_view_get_view (view), before;
  guint still = 0;

  for (guint i = 0; i < 200 && still < 10; i++)
    {
      before = shown;
      window_test_linger (50);
      shown = faint_loomis_wood_view_get_view (view);
      still = shown.place.height == before.place.height && shown.place.width == before.place.width
                  ? still + 1
                  : 0;
    }
  return shown;
}

static void
click_on (FaintWindow *window, guint id)
{
  FaintLoomisWoodView *view = plot_of (window);
  FaintView shown = settled (view);
  g_autofree char *command = NULL;
  double offset, x, y, left, top;
  int row;

  g_assert_true (faint_loomis_wood_place (faint_loomis_wood_view_get (view), id, &row, &offset));
  g_assert_true (gtk_widget_translate_coordinates (GTK_WIDGET (view), GTK_WIDGET (window),
                                                   faint_view_x (&shown, offset),
                                                   faint_view_y (&shown, row), &x, &y));
  gtk_native_get_surface_transform (GTK_NATIVE (window), &left, &top);
  command = g_strdup_printf ("mousemove %d %d", (int)lrint (x + left), (int)lrint (y + top));
  xdotool (command);
  xdotool ("click 1");
}

/* With pointer and keys: a click selects and assigns, Delete takes the labels away, Shift and the
 * arrow keys choose a trace, Enter assigns it. */
static void
test_pointer_and_keys (void)
{
  g_autofree char *program = g_find_program_in_path ("xdotool");
  FaintWindow *window;
  guint r14, r15;

  if (program == NULL)
    {
      g_test_skip ("xdotool is not there");
      return;
    }
  window = demo_open (TRUE);
  demo_search (window);
  /* rows as high as a finger */
  faint_loomis_wood_view_set_view (plot_of (window), (FaintRange){ -0.2, 0.2 },
                                   (FaintRange){ 10, 20 });
  window_test_linger (500);
  r14 = id_of (window, "J15e", "J14e");
  r15 = id_of (window, "J16e", "J15e");
  click_on (window, r14);
  wait_selected (window, r14);
  xdotool ("key Delete");
  wait_undo (window, "Unassign R(14)");
  window_test_wait (window, demo_has_result, "the rest is judged");
  click_on (window, r14);
  wait_undo (window, "Assign R(14)");
  window_test_wait (window, demo_has_result, "all are judged");
  xdotool ("key shift+Up");
  wait_selected (window, r15);
  g_assert_cmpuint (faint_loomis_wood_view_get_trace (plot_of (window))->len, ==, 2);
  xdotool ("key Delete");
  wait_undo (window, "Unassign 2 Lines");
  g_assert_cmpuint (demo_n_labelled (window), ==, N_LABELLED - 2);
  window_test_wait (window, demo_has_result, "the rest is judged");
  xdotool ("key Return");
  wait_undo (window, "Assign R(14) and R(15)");
  g_assert_cmpuint (demo_n_labelled (window), ==, N_LABELLED);
  for (gsize i = 0; i < N_LINES; i++)
    demo_assert_truth (window, i);
  xdotool ("key Up");
  wait_selected (window, id_of (window, "J17e", "J16e"));
  window_test_close (window);
}

int
main (int argc, char **argv)
{
  int failed;

  gtk_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  window_test_begin ();
  /* first: with no window manager the first window alone has the focus */
  g_test_add_func ("/window/labels/pointer-and-keys", test_pointer_and_keys);
  g_test_add_func ("/window/labels/sample-levels", test_sample_levels);
  g_test_add_func ("/window/labels/as-batch", test_as_batch);
  g_test_add_func ("/window/labels/click", test_click);
  g_test_add_func ("/window/labels/enter", test_enter);
  g_test_add_func ("/window/labels/rows-follow", test_rows_follow);
  g_test_add_func ("/window/labels/outlier", test_outlier);
  g_test_add_func ("/window/labels/saved", test_saved);
  failed = g_test_run ();
  window_test_end ();
  return failed;
}
