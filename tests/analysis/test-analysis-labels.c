/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is known of the lines stays with them through fits: labels, lower-state energies, ties; and
 * strengths at 296 K follow a lower-state energy.
 */
#include "faint/analysis/analysis.h"
#include "scene.h"

#include <gsl/gsl_errno.h>
#include <string.h>

#define ENERGY 250.0

typedef struct
{
  char *folder, *sums;
  FaintAnalysis *fitted; /* lines found */
} Fixture;

static FaintAnalysis *
run (const FaintAnalysis *analysis, gboolean find)
{
  g_autoptr (GError) error = NULL;
  FaintAnalysis *done = faint_analysis_compute (analysis, find, NULL, &error);

  g_assert_no_error (error);
  return done;
}

static void
set_up (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintAnalysis) read = NULL;
  g_autofree char *head = NULL, *text = NULL, *table = NULL;
  g_autoptr (GString) sums = g_string_new ("# columns = temperature/K Q\n# title = rotor\n");
  const char *path;

  self->folder = faint_test_folder_new ();
  /* Q(T) = T^(3/2), of a rotor in three dimensions without anything else */
  for (int t = 200; t <= 400; t += 4)
    g_string_append_printf (sums, "%d %.12g\n", t, pow (t, 1.5));
  self->sums = faint_test_file (self->folder, "sums.txt", sums->str);
  head = g_strdup_printf ("%s# partition_sums = %s\n", TABLE_HEAD, self->sums);
  text = table_text (head, 0, 1, 1e-3, 1);
  table = faint_test_file (self->folder, "run.comb", text);
  path = table;
  read = faint_analysis_new (&path, 1, NULL, NULL, &error);
  g_assert_no_error (error);
  self->fitted = run (read, TRUE);
}

static void
tear_down (Fixture *self, gconstpointer data)
{
  faint_analysis_unref (self->fitted);
  faint_test_folder_remove (self->folder);
  g_free (self->sums);
}

static FaintAnalysis *
label (const FaintAnalysis *analysis, GError **missing)
{
  FaintLineList *lines = faint_analysis_get_lines (analysis);
  FaintLine line = *faint_line_list_get (lines, 0);
  g_autoptr (FaintLineList) labelled = NULL;

  line.upper = "00 0 1:J20e";
  line.lower = "J21e";
  line.lower_energy = ENERGY;
  labelled = faint_line_list_with_replaced (lines, &line);
  return faint_analysis_with_labels (analysis, labelled, missing);
}

static const FaintLine *
first (const FaintAnalysis *analysis)
{
  return faint_line_list_get (faint_analysis_get_lines (analysis), 0);
}

static void
assert_labelled (const FaintAnalysis *analysis)
{
  const FaintLine *line = first (analysis);

  g_assert_cmpstr (line->upper, ==, "00 0 1:J20e");
  g_assert_cmpstr (line->lower, ==, "J21e");
  g_assert_true (line->lower_energy == ENERGY);
  g_assert_true (isfinite (line->strength_296) && isfinite (line->u_strength_296));
}

/* S(296)/S(T) = Q(T)/Q(296) exp(-c2 E (1/296 - 1/T)) (1 - exp(-c2 nu/296)) / (1 - exp(-c2 nu/T)),
 * as in the published conversion of line lists (Rothman et al., J. Quant. Spectrosc. Radiat.
 * Transfer 60, 665 (1998), eq. A11); c2 = 1.438776877 cm K (CODATA 2018). */
static void
test_strength (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) missing = NULL;
  g_autoptr (FaintAnalysis) labelled = label (self->fitted, &missing);
  const FaintLine *line = first (labelled);
  const double c2 = 1.438776877, t = 296.15, nu = line->position.value;
  double ratio = pow (t / 296.0, 1.5) * exp (-c2 * ENERGY * (1.0 / 296.0 - 1.0 / t))
                 * (1.0 - exp (-c2 * nu / 296.0)) / (1.0 - exp (-c2 * nu / t));

  g_assert_no_error (missing);
  g_assert_true (isnan (first (self->fitted)->strength_296));
  assert_labelled (labelled);
  g_assert_true (faint_analysis_fit_is_current (labelled));
  faint_assert_close (line->strength_296 / line->strength.value, ratio, 1e-8,
                      "interpolated between sums 4 K apart");
  g_assert_true (
      isnan (faint_line_list_get (faint_analysis_get_lines (labelled), 1)->strength_296));
}

static void
test_refit (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) labelled = label (self->fitted, NULL);
  g_autoptr (FaintAnalysis) given = run (labelled, FALSE);
  g_autoptr (FaintAnalysis) labelled_after = label (given, NULL);
  g_autoptr (FaintAnalysis) same = run (labelled_after, FALSE);
  g_autoptr (FaintAnalysis) found = run (labelled, TRUE);
  g_autoptr (FaintAnalysis) bare = run (self->fitted, FALSE), late = label (bare, NULL);
  g_autoptr (FaintAnalysis) again = run (late, FALSE);

  assert_labelled (given);
  assert_labelled (same);
  assert_labelled (found);
  /* began without labels, got them afterwards, computed again from where it began */
  assert_labelled (again);
  g_assert_true (first (again)->position.value == first (bare)->position.value);
  g_assert_true (first (again)->strength_296 == first (late)->strength_296);
}

/* A label taken away does not come back from the lines that the fit began with. */
static void
test_taken_away (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) labelled = label (self->fitted, NULL);
  g_autoptr (FaintAnalysis) given = run (labelled, FALSE), bare = NULL, again = NULL;
  FaintLine line = *first (given);
  g_autoptr (FaintLineList) lines = NULL;

  line.upper = line.lower = "";
  line.lower_energy = NAN;
  lines = faint_line_list_with_replaced (faint_analysis_get_lines (given), &line);
  bare = faint_analysis_with_labels (given, lines, NULL);
  g_assert_true (isnan (first (bare)->strength_296));
  again = run (bare, FALSE);
  g_assert_cmpstr (first (again)->upper, ==, "");
  g_assert_true (isnan (first (again)->lower_energy) && isnan (first (again)->strength_296));
}

static void
test_no_sums (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) missing = NULL;
  g_autoptr (FaintAnalysis) labelled = NULL;

  g_assert_true (g_file_set_contents (self->sums, "nothing", -1, NULL));
  labelled = label (self->fitted, &missing);
  g_assert_nonnull (missing);
  g_assert_nonnull (strstr (missing->message, "sums.txt"));
  g_assert_cmpstr (first (labelled)->lower, ==, "J21e");
  g_assert_true (isnan (first (labelled)->strength_296));
}

/* A line where there is only noise, its width tied to that of another: its position is not in the
 * data and is held where it was put, the tie stays what it is. */
static void
test_tie_stays (Fixture *self, gconstpointer data)
{
  FaintLineList *found = faint_analysis_get_lines (self->fitted);
  gsize n = faint_line_list_get_n (found);
  g_autofree FaintLine *lines = g_new (FaintLine, n + 1);
  g_autoptr (FaintLineList) list = NULL;
  g_autoptr (FaintAnalysis) tied = NULL, done = NULL;
  const FaintLine *line, *root;

  for (gsize i = 0; i < n; i++)
    lines[i] = *faint_line_list_get (found, i);
  lines[n] = lines[0];
  lines[n].id = 77;
  lines[n].position.value = 7790.43;
  lines[n].strength.value *= 1e-4;
  lines[n].lorentz.state = FAINT_STATE_TIED;
  lines[n].lorentz.tied_to = lines[n - 1].id;
  lines[n].lorentz.tie_factor = 1.5;
  list = faint_line_list_new (lines, n + 1);
  tied = faint_analysis_with_lines (self->fitted, list);
  done = run (tied, FALSE);
  line = faint_line_list_find (faint_analysis_get_lines (done), 77);
  root = faint_line_list_find (faint_analysis_get_lines (done), lines[n - 1].id);
  g_assert_cmpint (line->lorentz.state, ==, FAINT_STATE_TIED);
  g_assert_true (line->position.value == 7790.43);
  faint_assert_close (line->lorentz.value, 1.5 * root->lorentz.value, 1e-14, "the tie");
}

#define ADD(name, function)                                                                        \
  g_test_add ("/analysis/labels/" name, Fixture, NULL, set_up, function, tear_down)

int
main (int argc, char **argv)
{
  gsl_set_error_handler_off ();
  g_test_init (&argc, &argv, NULL);
  ADD ("strength-follows", test_strength);
  ADD ("refit", test_refit);
  ADD ("taken-away", test_taken_away);
  ADD ("no-partition-sums", test_no_sums);
  ADD ("tie-stays", test_tie_stays);
  return g_test_run ();
}
