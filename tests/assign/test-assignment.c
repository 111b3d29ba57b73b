/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Whole assignments: simulated bands whose truth is known, published lines, and what the data do
 * not decide.
 */
#include "band-scene.h"
#include "published-lines.h"

#include "faint-test.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <string.h>

static FaintAssignment *
assign (const FaintLineList *list, FaintLevels *levels)
{
  FaintAssignmentOptions options;
  GError *error = NULL;
  FaintAssignment *assignment;

  faint_assignment_options_init (&options, levels);
  assignment = faint_assignment_run (list, levels, &options, NULL, &error);
  g_assert_no_error (error);
  return assignment;
}

/* Adds up the scores of @n bands of different seeds. */
static BandScore
score_of (BandScene *scene, const FaintConstants *constants, guint n)
{
  g_autoptr (FaintLevels) levels = faint_levels_new (constants, NULL);
  BandScore sum = { 0 };

  for (guint i = 0; i < n; i++)
    {
      g_autoptr (FaintLineList) list = NULL;
      g_autoptr (FaintAssignment) assignment = NULL;
      BandScore one;

      scene->seed = i + 1;
      list = band_scene_lines (scene, levels);
      assignment = assign (list, levels);
      one = band_score (list, assignment);
      sum.present += one.present;
      sum.right += one.right;
      sum.wrong += one.wrong;
      sum.spurious += one.spurious;
      sum.spurious_taken += one.spurious_taken;
    }
  g_test_message ("%u lines present: %.2f %% right, %.2f %% wrong; %u of %u spurious taken",
                  sum.present, 100.0 * sum.right / sum.present, 100.0 * sum.wrong / sum.present,
                  sum.spurious_taken, sum.spurious);
  return sum;
}

static void
assert_rates (BandScore score, double right, double wrong)
{
  g_assert_cmpfloat (score.right, >=, right * score.present);
  g_assert_cmpfloat (score.wrong, <=, wrong * score.present);
}

/* The demo molecule, 30 % of the lines missing, 20 % spurious ones, noise of 1e-4 cm-1, nothing
 * known but the lower levels: at least 95 % right, at most 1 % wrong. */
static void
test_linear (void)
{
  g_autoptr (FaintConstants) constants = band_nitrous_oxide ();
  BandScene scene;

  band_scene_init (&scene);
  scene.shift[FAINT_CONSTANT_B] = -0.0069;
  scene.shift[FAINT_CONSTANT_D] = 1e-9;
  assert_rates (score_of (&scene, constants, 20), 0.95, 0.01);
  scene.strengths = FALSE;
  assert_rates (score_of (&scene, constants, 20), 0.95, 0.01);
}

/* The same from a level with l = 1: e and f levels, Q lines. */
static void
test_doubling (void)
{
  g_autoptr (FaintConstants) constants = band_nitrous_oxide ();
  BandScene scene;

  constants->l = constants->upper_l = 1;
  constants->value[0][FAINT_CONSTANT_B] = 0.41957;
  constants->value[0][FAINT_CONSTANT_Q] = 7.92e-4;
  band_scene_init (&scene);
  scene.shift[FAINT_CONSTANT_B] = -0.0034;
  scene.shift[FAINT_CONSTANT_Q] = 5e-5;
  scene.weakest = 2e-3;
  assert_rates (score_of (&scene, constants, 10), 0.95, 0.01);
}

/* A top whose K structure overlaps: at least 90 % right, at most 2 % wrong. */
static void
test_top (void)
{
  g_autoptr (FaintConstants) constants = band_invented_top ();
  BandScene scene;

  band_scene_init (&scene);
  scene.origin = 6000.0;
  scene.j_max = 35;
  scene.weakest = 0.01;
  scene.shift[FAINT_CONSTANT_B] = -0.004;
  scene.shift[FAINT_CONSTANT_AXIS] = -0.02;
  scene.shift[FAINT_CONSTANT_D] = 1e-8;
  assert_rates (score_of (&scene, constants, 5), 0.90, 0.02);
}

/* Misfit of @one from the others of its upper level; the weighted mean and its variance are those
 * of gsl_stats_wmean() and of the sum of weights (general-purpose library). */
static double
misfit_by_gsl (const FaintAssignment *assignment, FaintLevels *levels, const FaintAssigned *one,
               guint *n)
{
  double terms[8], weights[8], sum = 0.0;
  double own = one->line.nu + faint_levels_find (levels, one->lower)->energy;

  *n = 0;
  for (guint i = 0; i < assignment->lines->len; i++)
    {
      const FaintAssigned *it = &g_array_index (assignment->lines, FaintAssigned, i);

      if (it == one || !g_str_equal (it->upper, one->upper))
        continue;
      g_assert_cmpuint (*n, <, G_N_ELEMENTS (terms));
      terms[*n] = it->line.nu + faint_levels_find (levels, it->lower)->energy;
      weights[*n] = 1.0 / (it->line.u * it->line.u);
      sum += weights[(*n)++];
    }
  return (own - gsl_stats_wmean (weights, 1, terms, 1, *n))
         / sqrt (one->line.u * one->line.u + 1.0 / sum);
}

/* What speaks for a line is the same whether a search found its level or the list has it as a
 * label: the partners and how far they are off. */
static void
test_partners_of_given (void)
{
  g_autoptr (FaintConstants) constants = band_nitrous_oxide ();
  g_autoptr (FaintLevels) levels = NULL;
  g_autoptr (FaintLineList) list = NULL, labelled = NULL;
  g_autoptr (FaintAssignment) searched = NULL, given = NULL;
  FaintAssignmentOptions options;
  GError *error = NULL;
  BandScene scene;
  guint most = 0;

  constants->l = constants->upper_l = 1;
  constants->value[0][FAINT_CONSTANT_Q] = 7.92e-4;
  levels = faint_levels_new (constants, NULL);
  band_scene_init (&scene);
  scene.shift[FAINT_CONSTANT_B] = -0.0034;
  scene.weakest = 2e-3;
  list = band_scene_lines (&scene, levels);
  searched = assign (list, levels);
  labelled = faint_assignment_label (searched, list);
  faint_assignment_options_init (&options, levels);
  options.given = TRUE;
  given = faint_assignment_run (labelled, levels, &options, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (given->lines->len, ==, searched->lines->len);
  g_assert_cmpuint (given->lines->len, >, 50);
  for (guint i = 0; i < given->lines->len; i++)
    {
      const FaintAssigned *it = &g_array_index (given->lines, FaintAssigned, i);
      const FaintAssigned *found = faint_assignment_find (searched, it->id);
      guint n;
      double misfit = misfit_by_gsl (given, levels, it, &n);

      g_assert_cmpuint (it->partners, ==, n);
      g_assert_cmpuint (found->partners, ==, n);
      most = MAX (most, n);
      if (n == 0)
        g_assert_true (isnan (it->misfit) && isnan (found->misfit));
      else
        {
          faint_assert_near (it->misfit, misfit, 1e-6, "rounding of 7800 cm-1 over 1e-4 cm-1");
          faint_assert_near (found->misfit, misfit, 1e-6, "rounding of 7800 cm-1 over 1e-4 cm-1");
        }
    }
  g_assert_cmpuint (most, >=, 2);
}

/* Lines at random have no assignment. */
static void
test_nothing (void)
{
  g_autoptr (FaintConstants) constants = band_nitrous_oxide ();
  g_autoptr (FaintLevels) levels = faint_levels_new (constants, NULL);
  g_autoptr (GRand) random = g_rand_new_with_seed (7);
  double found = 0.0, chance = 0.0;

  for (guint round = 0; round < 30; round++)
    {
      FaintLine lines[150];
      g_autoptr (FaintLineList) list = NULL;
      g_autoptr (FaintAssignment) assignment = NULL;

      for (guint i = 0; i < G_N_ELEMENTS (lines); i++)
        {
          lines[i] = faint_line_unknown ();
          lines[i].position.value = g_rand_double_range (random, 7750.0, 7830.0);
          lines[i].position.u = 1e-4;
        }
      list = faint_line_list_new (lines, G_N_ELEMENTS (lines));
      assignment = assign (list, levels);
      g_assert_cmpuint (assignment->lines->len, ==, 0);
      g_assert_true (faint_warnings_has (assignment->warnings, "nothing-assigned"));
      found += assignment->n_candidates;
      chance += assignment->chance;
    }
  faint_assert_near (found, chance, 4.0 * sqrt (chance) + 0.1 * chance,
                     "4 sigma of a Poisson number; local densities are rough to a tenth");
}

/* Where B' = B'' and D = 0 the differences of one J fit every other J as well, so that without
 * strengths the band cannot be numbered: no label may be given. */
static void
test_undecided (void)
{
  g_autoptr (FaintConstants) constants = band_nitrous_oxide ();
  g_autoptr (FaintLevels) levels = NULL;
  BandScene scene;
  g_autoptr (FaintLineList) list = NULL;
  g_autoptr (FaintAssignment) assignment = NULL;
  BandScore score;

  constants->value[0][FAINT_CONSTANT_D] = 0.0;
  levels = faint_levels_new (constants, NULL);
  band_scene_init (&scene);
  scene.strengths = FALSE;
  scene.missing = 0.0;
  scene.spurious = 0.0;
  list = band_scene_lines (&scene, levels);
  assignment = assign (list, levels);
  score = band_score (list, assignment);
  g_assert_cmpuint (score.right + score.wrong, ==, 0);
  g_assert_cmpuint (assignment->undecided->len, ==, 1);
  g_assert_true (faint_warnings_has (assignment->warnings, "undecided"));
}

/* 12C2H2 and 13C2H2 of the published tables from the lower constants alone: no line wrong, nearly
 * all found, though the upper state of 13C2H2 is perturbed. */
static void
assert_right (const char *set, const PublishedLines *lines, FaintLevels *levels, double share)
{
  g_autoptr (FaintLineList) list = published_list (lines);
  g_autoptr (FaintAssignment) assignment = assign (list, levels);

  for (guint i = 0; i < assignment->lines->len; i++)
    {
      const FaintAssigned *it = &g_array_index (assignment->lines, FaintAssigned, i);
      g_autofree char *found = g_strdup_printf ("%c %d", faint_branch_letter (it->line.branch),
                                                faint_branch_lower_j (it->line.branch, it->line.j));

      g_assert_cmpstr (found, ==, faint_line_list_find (list, it->id)->remark);
    }
  g_test_message ("%s: %u of %u", set, assignment->lines->len, (guint)lines->n);
  g_assert_cmpfloat (assignment->lines->len, >=, share * lines->n);
}

static void
assert_published (const char *set, FaintConstants *constants, double share)
{
  PublishedLines lines = published_lines (set, 40, NAN);
  g_autoptr (FaintLevels) levels = faint_levels_new (constants, NULL);

  assert_right (set, &lines, levels, share);
  faint_constants_free (constants);
}

static void
test_published (void)
{
  assert_published ("BIPM-T1", published_acetylene_13 (), 0.95);
  assert_published ("BIPM-T2", published_acetylene_13 (), 0.95);
  assert_published ("BIPM-T3", published_acetylene_12 (), 0.95);
}

/* Other published bands, with lower constants as they are printed and no more: rounded, without H,
 * or from another experiment. What is labelled is labelled right. 12C2H2: Kabbadj et al., J. Mol.
 * Spectrosc. 150, 535 (1991), from memory; CO: Farrenq et al., J. Mol. Spectrosc. 149, 375 (1991);
 * CO2: Rothman and Young, JQSRT 25, 505 (1981); H13C14N: the microwave B against certified
 * wavelengths that carry pressure shifts beyond their uncertainties. */
static void
test_rounded (void)
{
  const struct
  {
    const char *set, *constants;
    double u, share;
  } bands[] = {
    { "BIPM-T3", "# molecule = linear\n# B = 1.1766464 cm-1\n# D = 1.627e-6 cm-1\n", NAN, 0.6 },
    { "CRC-CO", "# molecule = linear\n# B = 1.922528966 cm-1\n# D = 6.1211435e-6 cm-1\n", 2e-6,
      1.0 },
    { "CO2-30012",
      "# molecule = linear\n# B = 0.39021894 cm-1\n# D = 1.33373e-7 cm-1\n# spin_weight_odd = 0\n",
      5e-6, 1.0 },
    { "SRM2519a", "# molecule = linear\n# B = 43170.127 MHz\n# D = 87 kHz\n", NAN, 0.7 },
  };
  char *folder = faint_test_folder_new ();

  for (guint i = 0; i < G_N_ELEMENTS (bands); i++)
    {
      g_autofree char *path = faint_test_file (folder, "lower.constants", bands[i].constants);
      g_autoptr (FaintLevels) levels = faint_levels_read (path, NULL);
      PublishedLines lines = published_lines (bands[i].set, 40, bands[i].u);

      g_assert_nonnull (levels);
      assert_right (bands[i].set, &lines, levels, bands[i].share);
    }
  faint_test_folder_remove (folder);
}

/* As printed, with the two misprints of the document (test-band-constants.c): neither may carry a
 * label, and their true places are foretold as missing. */
static void
assert_misprint (const char *set, FaintConstants *constants, FaintBranch branch, int j,
                 double printed)
{
  PublishedLines lines = published_lines (set, 40, NAN);
  gsize wrong = published_find (&lines, branch, j);
  double true_place = lines.line[wrong].nu, nearest = G_MAXDOUBLE;
  g_autoptr (FaintLevels) levels = faint_levels_new (constants, NULL);
  g_autoptr (FaintLineList) list = NULL;
  g_autoptr (FaintAssignment) assignment = NULL;

  lines.line[wrong].nu = printed;
  list = published_list (&lines);
  assignment = assign (list, levels);
  g_assert_null (faint_assignment_find (assignment, lines.line[wrong].id));
  for (guint i = 0; i < assignment->predicted->len; i++)
    {
      const FaintPredicted *it = &g_array_index (assignment->predicted, FaintPredicted, i);

      if (it->branch == branch && it->j == lines.line[wrong].j)
        nearest = fabs (it->position - true_place);
    }
  g_assert_cmpfloat (nearest, <, 0.01);
  faint_constants_free (constants);
}

static void
test_misprints (void)
{
  const double khz = 1e3 / 29979245800.0;

  assert_misprint ("BIPM-T1", published_acetylene_13 (), FAINT_BRANCH_P, 21,
                   (194369569384.0 - 3954028867.0) * khz);
  assert_misprint ("BIPM-T3", published_acetylene_12 (), FAINT_BRANCH_R, 0, 196487319562.0 * khz);
}

/* The entry of a record: how many, by which file, how sure, and which options are others. */
static void
test_described (void)
{
  g_autoptr (FaintConstants) constants = band_nitrous_oxide ();
  g_autoptr (FaintLevels) levels = faint_levels_new (constants, NULL);
  g_autoptr (FaintLineList) list = NULL;
  g_autoptr (FaintAssignment) assignment = NULL;
  g_autofree char *usual = NULL, *other = NULL, *begin = NULL;
  BandScene scene;

  band_scene_init (&scene);
  scene.shift[FAINT_CONSTANT_B] = -0.0069;
  scene.seed = 1;
  list = band_scene_lines (&scene, levels);
  assignment = assign (list, levels);
  usual = faint_assignment_describe (assignment, "/somewhere/ground.constants", "0123abcd");
  begin = g_strdup_printf ("%u of %zu lines assigned automatically, 1 band, with the levels of "
                           "ground.constants, SHA-256 0123abcd; %u combination differences, ",
                           assignment->lines->len, faint_line_list_get_n (list),
                           assignment->n_candidates);
  g_assert_cmpuint (assignment->lines->len, >, 20);
  g_assert_cmpstr (usual, !=, NULL);
  g_assert_true (g_str_has_prefix (usual, begin));
  g_assert_nonnull (strstr (usual, " expected by chance; "));
  g_assert_true (g_str_has_suffix (usual, "; options: the usual"));
  assignment->options.search.coverage += 1.0;
  assignment->options.band.lower[FAINT_CONSTANT_B] = TRUE;
  other = faint_assignment_describe (assignment, NULL, NULL);
  g_assert_nonnull (strstr (other, "with the levels of no file; "));
  g_assert_nonnull (strstr (other, "; options: coverage = "));
  g_assert_true (g_str_has_suffix (other, ", lower B = free instead of held"));
}

/* One upper level pushed away by 0.02 cm-1, its neighbours by less: found by its differences and
 * shown as perturbed. */
static double
push (guint ladder, int j, gpointer data)
{
  return j == 20 ? 0.02 : j == 19 || j == 21 ? 0.005 : 0.0;
}

static void
test_perturbed (void)
{
  g_autoptr (FaintConstants) constants = band_nitrous_oxide ();
  g_autoptr (FaintLevels) levels = faint_levels_new (constants, NULL);
  BandScene scene;
  g_autoptr (FaintLineList) list = NULL;
  g_autoptr (FaintAssignment) assignment = NULL;
  guint found = 0;

  band_scene_init (&scene);
  scene.shift[FAINT_CONSTANT_B] = -0.0069;
  scene.missing = 0.0;
  scene.displace = push;
  list = band_scene_lines (&scene, levels);
  assignment = assign (list, levels);
  for (guint i = 0; i < assignment->lines->len; i++)
    {
      const FaintAssigned *it = &g_array_index (assignment->lines, FaintAssigned, i);

      if (it->line.j < 19 || it->line.j > 21)
        {
          g_assert_cmpint (it->verdict, ==, FAINT_BAND_FITTED);
          continue;
        }
      found++;
      g_assert_cmpint (it->verdict, ==, FAINT_BAND_PERTURBED);
      faint_assert_near (it->shift, push (0, it->line.j, NULL), 3e-4,
                         "noise of 1e-4 cm-1, 3 sigma");
    }
  g_assert_cmpuint (found, ==, 6);
  g_assert_true (faint_warnings_has (assignment->warnings, "perturbed"));
  assert_rates (band_score (list, assignment), 0.95, 0.01);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  g_test_add_func ("/assign/whole/linear", test_linear);
  g_test_add_func ("/assign/whole/doubling", test_doubling);
  g_test_add_func ("/assign/whole/top", test_top);
  g_test_add_func ("/assign/whole/partners-of-given", test_partners_of_given);
  g_test_add_func ("/assign/whole/nothing", test_nothing);
  g_test_add_func ("/assign/whole/undecided", test_undecided);
  g_test_add_func ("/assign/whole/published", test_published);
  g_test_add_func ("/assign/whole/rounded", test_rounded);
  g_test_add_func ("/assign/whole/misprints", test_misprints);
  g_test_add_func ("/assign/whole/perturbed", test_perturbed);
  g_test_add_func ("/assign/whole/described", test_described);
  return g_test_run ();
}
