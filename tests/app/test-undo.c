/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Undo: every kind of change of the document is one step with a name, undone to the very bytes that
 * would have been saved before it, and redone to those after it; and any sequence of changes is.
 */
#include <gsl/gsl_errno.h>
#include <string.h>

#include "app/document/document-private.h"
#include "app/lines/line-merge.h"
#include "app/lines/line-shape.h"
#include "app/lines/line-ties.h"
#include "faint-test.h"
#include "faint/simulate/scene.h"
#include "faint/spectrum/comb-table.h"

/* Invented values: an imagined gas, not a measurement. */
static const char scene_text[]
    = "# scene 1\n"
      "# repetition_rate = 250 MHz\n"
      "# offset_frequency = 20 MHz\n"
      "# observable = power\n"
      "# temperature = 296 K\n"
      "# pressure = 12 mbar\n"
      "# mole_fraction = 0.25\n"
      "# molar_mass = 44.0011 g/mol\n"
      "# cavity = ring\n"
      "# coupling = swept\n"
      "# cavity_length = 119.92 cm\n"
      "# ring_down_time = 9.2 us\n"
      "# first_tooth = 934972\n"
      "# teeth = 240\n"
      "# noise = 8e-4\n"
      "# columns = position/cm-1 strength/(cm/molecule) lorentz_hwhm/cm-1\n"
      "7797.320929 4.3720e-25 9.2489e-03\n"
      "7797.900677 4.2088e-25 9.2607e-03\n"
      "7797.947289 4.0019e-25 9.2732e-03\n"
      "7798.300000 3.0019e-25 9.2732e-03\n";
#define LOWER 7796.9
#define UPPER 7798.7

static char *folder;
static char *sample;
static char *list; /* of lines, to be read */

static void
make_files (void)
{
  g_autofree char *scene_path = faint_test_file (folder, "undo.scene", scene_text);
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintScene) scene = faint_scene_read (scene_path, &error);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintLineList) truth = NULL;
  g_autofree char *csv = NULL;

  g_assert_no_error (error);
  spectrum = faint_scene_simulate (scene, 1, NULL, &error);
  g_assert_no_error (error);
  sample = g_build_filename (folder, "undo.comb", NULL);
  faint_comb_table_write (spectrum, sample, &error);
  g_assert_no_error (error);
  truth = faint_scene_truth (scene);
  csv = faint_line_list_to_csv (truth, NULL);
  list = faint_test_file (folder, "undo.csv", csv);
}

/* The bytes that saving would write. */
static char *
bytes (FaintDocument *document)
{
  g_autofree char *path = g_build_filename (folder, "undo.faintline", NULL);
  g_autoptr (GError) error = NULL;
  char *text = faint_analysis_to_text (faint_document_get_analysis (document), path, &error);

  g_assert_no_error (error);
  return text;
}

/* Until neither work runs nor a fit waits that follows an edit. */
static void
settle (FaintDocument *document)
{
  while (document->job || document->follow_source)
    g_main_context_iteration (NULL, TRUE);
}

static void
on_done (GObject *source, GAsyncResult *result, gpointer done)
{
  g_autoptr (GError) error = NULL;

  if (g_task_get_source_tag (G_TASK (result)) == faint_document_open_async)
    faint_document_open_finish (FAINT_DOCUMENT (source), result, &error);
  else if (g_task_get_source_tag (G_TASK (result)) == faint_document_run_async)
    faint_document_run_finish (FAINT_DOCUMENT (source), result, &error);
  else
    faint_document_read_lines_finish (FAINT_DOCUMENT (source), result, &error);
  g_assert_no_error (error);
  *(gboolean *)done = TRUE;
}

static void
wait_for (const gboolean *done)
{
  while (!*done)
    g_main_context_iteration (NULL, TRUE);
}

static void
read_list (FaintDocument *document)
{
  gboolean done = FALSE;

  faint_document_read_lines_async (document, list, on_done, &done);
  wait_for (&done);
}

/* With lines and without a fit, which no fit follows. */
static FaintDocument *
open_with_lines (void)
{
  FaintDocument *document = faint_document_new ();
  const char *const paths[] = { sample, NULL };
  gboolean done = FALSE;

  faint_document_open_async (document, paths, NULL, on_done, &done);
  wait_for (&done);
  read_list (document);
  return document;
}

static double
somewhere (GRand *rand)
{
  return g_rand_double_range (rand, LOWER, UPPER);
}

/* One of the lines; there is always one, see remove_line (). */
static const FaintLine *
some_line (FaintDocument *document, GRand *rand)
{
  FaintLineList *lines = faint_document_get_lines (document);

  return faint_line_list_get (
      lines, (gsize)g_rand_int_range (rand, 0, (gint32)faint_line_list_get_n (lines)));
}

/* Ids of all lines. Free with g_free. */
static guint *
all_ids (FaintDocument *document, gsize *n)
{
  FaintLineList *lines = faint_document_get_lines (document);
  guint *ids = g_new (guint, faint_line_list_get_n (lines));

  *n = faint_line_list_get_n (lines);
  for (gsize i = 0; i < *n; i++)
    ids[i] = faint_line_list_get (lines, i)->id;
  return ids;
}

static void
edit_setup (FaintDocument *document, GRand *rand)
{
  g_autoptr (FaintSetup) setup = faint_document_copy_setup (document);
  g_autofree char *text = g_strdup_printf ("%d Pa", g_rand_int_range (rand, 900, 1500));
  g_autoptr (GError) error = NULL;

  faint_setup_set (setup, "pressure", text, NULL, &error);
  g_assert_no_error (error);
  faint_document_edit_setup (document, setup, "Edit Pressure", &error);
  g_assert_no_error (error);
}

static void
set_option (FaintDocument *document, GRand *rand)
{
  g_autofree char *text = g_strdup_printf ("%d", g_rand_int_range (rand, 5, 40));
  g_autoptr (GError) error = NULL;

  faint_document_set_option (document, "threshold", text, "Edit Threshold/σ", &error);
  g_assert_no_error (error);
}

/* Something else first, or there is nothing to take back. */
static void
reset_options (FaintDocument *document, GRand *rand)
{
  faint_document_reset_options (document, "Reset Options");
}

static void
add_line (FaintDocument *document, GRand *rand)
{
  faint_document_add_line (document, somewhere (rand));
}

static void
move_line (FaintDocument *document, GRand *rand)
{
  faint_document_move_line (document, some_line (document, rand)->id, somewhere (rand));
}

static void
set_width (FaintDocument *document, GRand *rand)
{
  faint_document_set_width (document, some_line (document, rand)->id,
                            g_rand_double_range (rand, 1e-3, 2e-2));
}

static void
exclude (FaintDocument *document, GRand *rand)
{
  double lower = somewhere (rand);

  faint_document_exclude_teeth (document, lower, lower + 0.1, TRUE);
}

static void
take_back (FaintDocument *document, GRand *rand)
{
  faint_document_exclude_teeth (document, LOWER, somewhere (rand), FALSE);
}

static void
set_range (FaintDocument *document, GRand *rand)
{
  faint_document_set_range (document, LOWER, somewhere (rand));
}

static void
remove_line (FaintDocument *document, GRand *rand)
{
  guint id = some_line (document, rand)->id;

  if (faint_line_list_get_n (faint_document_get_lines (document)) > 1)
    faint_document_remove_lines (document, &id, 1);
}

static void
remove_lines (FaintDocument *document, GRand *rand)
{
  gsize n;
  g_autofree guint *ids = all_ids (document, &n);

  if (n > 3)
    faint_document_remove_lines (document, ids, 2);
}

static void
tie (FaintDocument *document, GRand *rand)
{
  gsize n;
  g_autofree guint *ids = all_ids (document, &n);
  g_autoptr (FaintLineList) tied = faint_line_ties_tie (faint_document_get_lines (document), ids,
                                                        MIN (n, 2), FAINT_PLACE_LORENTZ, NULL);

  if (n > 1 && tied)
    faint_document_replace_lines (document, tied, "Tie Lorentz Widths");
}

static void
split (FaintDocument *document, GRand *rand)
{
  guint second;
  g_autoptr (FaintLineList) lines = faint_line_ties_split (
      faint_document_get_lines (document), some_line (document, rand)->id, &second, NULL);

  if (lines)
    faint_document_replace_lines (document, lines, "Split Line");
}

static void
merge (FaintDocument *document, GRand *rand)
{
  gsize n;
  guint merged;
  g_autofree guint *ids = all_ids (document, &n);
  g_autoptr (FaintLineList) lines
      = n > 2 ? faint_lines_merge (faint_document_get_lines (document), ids + 1, 2, &merged, NULL)
              : NULL;

  if (lines)
    faint_document_replace_lines (document, lines, "Merge 2 Lines");
}

static void
fix (FaintDocument *document, GRand *rand)
{
  gsize n;
  g_autofree guint *ids = all_ids (document, &n);
  g_autoptr (FaintLineList) lines = faint_lines_with_parameter (
      faint_document_get_lines (document), ids, n, FAINT_PLACE_STRENGTH, FAINT_STATE_FIXED, NAN);

  faint_document_replace_lines (document, lines, "Fix Strength");
}

static void
edit_line (FaintDocument *document, GRand *rand)
{
  FaintLine line = *some_line (document, rand);

  line.lower_energy = g_rand_double_range (rand, 0, 2000);
  faint_document_edit_line (document, &line, "Edit Lower-State Energy");
}

static void
label_lines (FaintDocument *document, GRand *rand)
{
  FaintLine line = *some_line (document, rand);
  g_autofree char *upper = g_strdup_printf ("J%de", g_rand_int_range (rand, 0, 60));
  g_autoptr (FaintLineList) lines = NULL;

  line.upper = upper;
  lines = faint_line_list_with_replaced (faint_document_get_lines (document), &line);
  faint_document_label_lines (document, lines, "Assign Line", NULL);
}

static void
set_levels (FaintDocument *document, GRand *rand)
{
  FaintAnalysisLevels levels = { .path = g_build_filename (folder, "gone.csv", NULL) };

  levels.free_constants = g_strdup (g_rand_boolean (rand) ? "origin,B" : "origin,B,D");
  faint_document_set_levels (document, &levels, "Choose Free Constants", NULL);
  faint_analysis_levels_clear (&levels);
}

static void
set_claims (FaintDocument *document, GRand *rand)
{
  FaintAnalysisClaims claims = { .path = g_strdup (list),
                                 .confidence = g_rand_double_range (rand, 0.5, 0.99),
                                 .coverage = 2,
                                 .temperature = NAN,
                                 .pressure = NAN };

  faint_document_set_claims (document, &claims, "Edit Confidence", NULL);
  faint_analysis_claims_clear (&claims);
}

static void
read_lines (FaintDocument *document, GRand *rand)
{
  read_list (document);
}

/* All that changes a document but opening and fitting; @before makes sure that there is something
 * to be done. The beginning of the step's name as the menu shows it. */
static const struct
{
  const char *name;
  void (*act) (FaintDocument *document, GRand *rand);
  void (*before) (FaintDocument *document, GRand *rand);
  const char *label;
} deeds[] = {
  { "edit-setup", edit_setup, NULL, "Edit Pressure" },
  { "set-option", set_option, NULL, "Edit Threshold" },
  { "reset-options", reset_options, set_option, "Reset Options" },
  { "add-line", add_line, NULL, "Add Line 779" },
  { "move-line", move_line, NULL, "Move Line 779" },
  { "set-width", set_width, NULL, "Change Width of Line 779" },
  { "exclude", exclude, NULL, "Exclude " },
  { "take-back", take_back, exclude, "Take Back " },
  { "set-range", set_range, NULL, "Edit Range of the Fit" },
  { "remove-line", remove_line, NULL, "Remove Line 779" },
  { "remove-lines", remove_lines, NULL, "Remove 2 Lines" },
  { "tie", tie, NULL, "Tie Lorentz Widths" },
  { "split", split, NULL, "Split Line" },
  { "merge", merge, NULL, "Merge 2 Lines" },
  { "fix", fix, NULL, "Fix Strength" },
  { "edit-line", edit_line, NULL, "Edit Lower-State Energy" },
  { "label-lines", label_lines, NULL, "Assign Line" },
  { "set-levels", set_levels, NULL, "Choose Free Constants" },
  { "set-claims", set_claims, NULL, "Edit Confidence" },
  { "read-lines", read_lines, remove_line, "Read " },
};

/* Each kind of change: one step with its name, back and forth to the same bytes. */
static void
test_each (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (1);

  for (guint i = 0; i < G_N_ELEMENTS (deeds); i++)
    {
      g_autoptr (FaintDocument) document = open_with_lines ();
      g_autofree char *before = NULL, *after = NULL, *undone = NULL, *redone = NULL, *step = NULL;

      if (deeds[i].before == exclude)
        faint_document_exclude_teeth (document, LOWER, LOWER + 0.1, TRUE);
      else if (deeds[i].before)
        deeds[i].before (document, rand);
      before = bytes (document);
      step = g_strdup (faint_document_get_undo_label (document));
      deeds[i].act (document, rand);
      after = bytes (document);
      g_test_message ("%s: %s", deeds[i].name, faint_document_get_undo_label (document));
      g_assert_cmpstr (after, !=, before);
      g_assert_true (g_str_has_prefix (faint_document_get_undo_label (document), deeds[i].label));
      g_assert_null (faint_document_get_redo_label (document));

      faint_document_undo (document);
      undone = bytes (document);
      g_assert_cmpstr (undone, ==, before);
      g_assert_cmpstr (faint_document_get_undo_label (document), ==, step);
      g_assert_true (g_str_has_prefix (faint_document_get_redo_label (document), deeds[i].label));

      faint_document_redo (document);
      redone = bytes (document);
      g_assert_cmpstr (redone, ==, after);
    }
}

/* Undoes all that can be undone, or redoes it; how many steps. */
static guint
go_all (FaintDocument *document, gboolean back)
{
  guint n = 0;

  while (back ? faint_document_get_undo_label (document) : faint_document_get_redo_label (document))
    {
      if (back)
        faint_document_undo (document);
      else
        faint_document_redo (document);
      n++;
    }
  return n;
}

/* Any forty changes, here and there with a step back and forth among them. */
static void
test_any_sequence (void)
{
  for (guint seed = 1; seed <= 12; seed++)
    {
      g_autoptr (GRand) rand = g_rand_new_with_seed (seed);
      g_autoptr (FaintDocument) document = open_with_lines ();
      g_autofree char *before = NULL, *after = NULL, *undone = NULL, *redone = NULL;
      guint n;

      g_assert_cmpuint (go_all (document, TRUE), ==, 1);
      before = bytes (document);
      go_all (document, FALSE);
      for (guint i = 0; i < 40; i++)
        {
          deeds[g_rand_int_range (rand, 0, G_N_ELEMENTS (deeds))].act (document, rand);
          if (g_rand_int_range (rand, 0, 6) == 0)
            faint_document_undo (document);
          if (g_rand_int_range (rand, 0, 6) == 0)
            faint_document_redo (document);
        }
      g_assert_cmpuint (faint_line_list_get_n (faint_document_get_lines (document)), >, 0);
      go_all (document, FALSE);
      after = bytes (document);
      n = go_all (document, TRUE);
      g_assert_cmpuint (n, >, 15);
      undone = bytes (document);
      g_assert_cmpstr (undone, ==, before);
      g_assert_cmpuint (go_all (document, FALSE), ==, n);
      redone = bytes (document);
      g_assert_cmpstr (redone, ==, after);
    }
}

static void
run (FaintDocument *document, gboolean find)
{
  gboolean done = FALSE;

  faint_document_run_async (document, find, on_done, &done);
  wait_for (&done);
}

/* With a fit that follows edits: what was fitted comes back with its results. */
static void
test_fitted (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (7);
  g_autoptr (FaintDocument) document = open_with_lines ();
  g_autofree char *before = NULL, *after = NULL, *undone = NULL, *redone = NULL;
  static void (*const acts[]) (FaintDocument *, GRand *)
      = { edit_setup, exclude, label_lines, edit_line, set_option, add_line };

  run (document, FALSE);
  g_assert_cmpstr (faint_document_get_undo_label (document), ==, "Fit");
  before = bytes (document);
  for (guint i = 0; i < G_N_ELEMENTS (acts); i++)
    {
      acts[i](document, rand);
      if (i % 2 == 0)
        settle (document);
    }
  run (document, TRUE);
  g_assert_cmpstr (faint_document_get_undo_label (document), ==, "Find and Fit");
  after = bytes (document);
  for (guint i = 0; i <= G_N_ELEMENTS (acts); i++)
    faint_document_undo (document);
  settle (document);
  g_assert_cmpstr (faint_document_get_undo_label (document), ==, "Fit");
  undone = bytes (document);
  g_assert_cmpstr (undone, ==, before);
  go_all (document, FALSE);
  settle (document);
  redone = bytes (document);
  g_assert_cmpstr (redone, ==, after);
}

int
main (int argc, char **argv)
{
  int status;

  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  folder = faint_test_folder_new ();
  /* not the time of the day makes a difference */
  g_setenv ("SOURCE_DATE_EPOCH", "1800000000", TRUE);
  make_files ();
  g_test_add_func ("/app/undo/each", test_each);
  g_test_add_func ("/app/undo/any-sequence", test_any_sequence);
  g_test_add_func ("/app/undo/fitted", test_fitted);
  status = g_test_run ();
  g_free (sample);
  g_free (list);
  faint_test_folder_remove (folder);
  return status;
}
