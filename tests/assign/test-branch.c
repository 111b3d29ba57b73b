/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Branches followed without levels: published lines, simulated ones, and whether the stated
 * uncertainty of a prediction is what it is off by.
 */
#include "band-scene.h"
#include "published-lines.h"

#include "faint/assign/branch.h"
#include "faint-test.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>

static FaintObserved *
observe (const FaintLineList *list)
{
  FaintAssignOptions options;

  faint_assign_options_init (&options);
  return faint_observed_new (list, &options);
}

static int
m_of (const FaintBandLine *line)
{
  return faint_branch_m (line->branch, faint_branch_lower_j (line->branch, line->j));
}

static const FaintBandLine *
line_of (const PublishedLines *lines, guint id)
{
  for (gsize i = 0; i < lines->n; i++)
    if (lines->line[i].id == id)
      return &lines->line[i];
  g_assert_not_reached ();
}

/* 12C2H2 nu1+nu3, recommended frequencies (the source stands in metrology_lines.csv): from R(5),
 * R(6), R(7) alone the P and R lines up to J = 20, each with its own m, across the gap at m = 0,
 * whose place is the band origin: 6556.464783181 cm-1, fitted to these lines apart from this
 * program. */
static void
test_published (void)
{
  PublishedLines lines = published_lines ("BIPM-T3", 20, NAN);
  g_autoptr (FaintLineList) list = published_list (&lines);
  g_autoptr (FaintObserved) observed = observe (list);
  FaintBranchPoint points[3];
  FaintBranchOptions options;
  g_autoptr (FaintBranchTrace) trace = NULL;
  guint found = 0;
  double u;

  for (int i = 0; i < 3; i++)
    points[i] = (FaintBranchPoint){ lines.line[published_find (&lines, FAINT_BRANCH_R, 5 + i)].id,
                                    6 + i };
  faint_branch_options_init (&options);
  options.degree = 6;
  trace = faint_branch_follow (observed, points, 3, &options, NULL);
  g_assert_nonnull (trace);
  for (guint i = 0; i < trace->places->len; i++)
    {
      const FaintBranchPlace *place = &g_array_index (trace->places, FaintBranchPlace, i);

      if (place->line == G_MAXSIZE)
        {
          g_assert_cmpint (place->m, ==, 0);
          continue;
        }
      found++;
      g_assert_cmpint (m_of (line_of (&lines, observed->id[place->line])), ==, place->m);
    }
  g_assert_cmpuint (found, ==, lines.n);
  faint_assert_near (faint_branch_trace_at (trace, 0.0, &u), 6556.464783181, fmax (4.0 * u, 1e-6),
                     "4 sigma; the polynomial ends at the sixth power, whose next term is 1e-7");
}

/* The P branch of a simulated band, 30 % missing, spurious lines, noise 1e-4 cm-1. */
static FaintLineList *
p_branch (guint32 seed, gboolean spurious)
{
  g_autoptr (FaintConstants) constants = band_nitrous_oxide ();
  g_autoptr (FaintLevels) levels = faint_levels_new (constants, NULL);
  BandScene scene;

  band_scene_init (&scene);
  scene.seed = seed;
  scene.shift[FAINT_CONSTANT_B] = -0.0036;
  scene.spurious = spurious ? 0.2 : 0.0;
  return band_scene_lines (&scene, levels);
}

/* m of a simulated line, FALSE of a spurious one: its remark is "ladder j branch". */
static gboolean
m_of_remark (const char *remark, int *m)
{
  guint ladder;
  int j, branch;

  if (sscanf (remark, "%u %d %d", &ladder, &j, &branch) != 3)
    return FALSE;
  *m = faint_branch_m (branch, faint_branch_lower_j (branch, j));
  return TRUE;
}

/* From four lines of the R branch at its middle. */
static FaintBranchTrace *
follow (const FaintLineList *list, const FaintObserved *observed)
{
  FaintBranchPoint points[4];
  FaintBranchOptions options;
  gsize n = 0;

  for (gsize i = 0; i < faint_line_list_get_n (list) && n < G_N_ELEMENTS (points); i++)
    {
      const FaintLine *line = faint_line_list_get (list, i);
      int m;

      if (m_of_remark (line->remark, &m) && m >= 10)
        points[n++] = (FaintBranchPoint){ line->id, m };
    }
  faint_branch_options_init (&options);
  return faint_branch_follow (observed, points, n, &options, NULL);
}

static void
test_simulated (void)
{
  guint right = 0, wrong = 0, present = 0, within = 0, places = 0;
  const guint bands = 20;

  for (guint32 seed = 1; seed <= bands; seed++)
    {
      g_autoptr (FaintLineList) list = p_branch (seed, TRUE);
      g_autoptr (FaintObserved) observed = observe (list);
      g_autoptr (FaintBranchTrace) trace = follow (list, observed);
      int m;

      g_assert_nonnull (trace);
      for (gsize i = 0; i < faint_line_list_get_n (list); i++)
        present += m_of_remark (faint_line_list_get (list, i)->remark, &m);
      for (guint i = 0; i < trace->places->len; i++)
        {
          const FaintBranchPlace *place = &g_array_index (trace->places, FaintBranchPlace, i);
          const FaintLine *line;

          if (place->line == G_MAXSIZE)
            continue;
          line = faint_line_list_find (list, observed->id[place->line]);
          if (!m_of_remark (line->remark, &m) || m != place->m)
            {
              wrong++;
              continue;
            }
          right++;
          places++;
          within += fabs (observed->nu[place->line] - place->expected)
                    <= 2.0 * hypot (place->u_expected, observed->u[place->line]);
        }
    }
  g_test_message ("%u of %u lines followed, %u wrong; %.1f %% within two standard uncertainties of "
                  "their prediction",
                  right, present, wrong, 100.0 * within / places);
  g_assert_cmpuint (right, >=, present * 95 / 100);
  g_assert_cmpuint (wrong, <=, present / 100);
  /* of a normal error 95.4 %; the prior roughness makes short branches more careful */
  g_assert_cmpuint (within, >=, places * 93 / 100);
}

/* The interval of the polynomial, against the truth where lines are missing: two standard
 * uncertainties hold 95 %. */
static void
test_interval (void)
{
  const double b1 = 0.419011035 - 0.0036, b2 = 0.419011035, d = 1.761485e-7;
  guint within = 0, n = 0;

  for (guint32 seed = 101; seed <= 140; seed++)
    {
      g_autoptr (FaintLineList) list = p_branch (seed, FALSE);
      g_autoptr (FaintObserved) observed = observe (list);
      g_autoptr (FaintBranchTrace) trace = follow (list, observed);

      for (int m = -40; m <= 40; m += 20)
        {
          double j = m > 0 ? m - 1 : -m, k = m > 0 ? j + 1 : j - 1, x = j * (j + 1),
                 y = k * (k + 1);
          double truth = 7808.35 + b1 * y - d * y * y - b2 * x + d * x * x, u;
          double value = faint_branch_trace_at (trace, m == 0 ? 1 : m, &u);

          if (m == 0)
            truth = 7808.35 + 2.0 * b1 - 4.0 * d;
          within += fabs (value - truth) <= 2.0 * u;
          n++;
        }
    }
  g_test_message ("%u of %u predictions within two standard uncertainties", within, n);
  g_assert_cmpuint (within, >=, n * 91 / 100); /* 95.4 %, three standard deviations of 200 less */
  g_assert_cmpuint (within, <=, n * 995 / 1000);
}

static void
test_errors (void)
{
  g_autoptr (FaintLineList) list = p_branch (1, FALSE);
  g_autoptr (FaintObserved) observed = observe (list);
  FaintBranchPoint points[] = { { 1, 5 }, { 100000, 6 } }, twice[] = { { 1, 5 }, { 1, 6 } };
  FaintBranchOptions options;
  GError *error = NULL;

  faint_branch_options_init (&options);
  g_assert_null (faint_branch_follow (observed, points, 2, &options, &error));
  faint_assert_error_says (error, FAINT_FIT_CONSTANTS_ERROR, "100000");
  g_assert_null (faint_branch_follow (observed, points, 1, &options, &error));
  faint_assert_error_says (error, FAINT_FIT_CONSTANTS_ERROR, "two or more");
  g_assert_null (faint_branch_follow (observed, twice, 2, &options, &error));
  faint_assert_error_says (error, FAINT_FIT_CONSTANTS_ERROR, "chosen twice");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  g_test_add_func ("/assign/branch/published", test_published);
  g_test_add_func ("/assign/branch/simulated", test_simulated);
  g_test_add_func ("/assign/branch/interval", test_interval);
  g_test_add_func ("/assign/branch/errors", test_errors);
  return g_test_run ();
}
