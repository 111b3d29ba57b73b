/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Chains in lists of lines that stand where chance put them. A chain with odds e^x to one over
 * chance, all beginnings that were tried counted, may come from chance in a share e^-x of the
 * lists (Markov's inequality for a ratio of likelihoods), whatever the list is: sparse, dense, with
 * strengths, for a linear molecule or for a top. FAINTLINE_LISTS in the environment sets how many
 * lists of each kind are drawn.
 */
#include "band-scene.h"

#include "faint-test.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>

typedef struct
{
  guint n;
  gboolean strengths, top;
  guint lists;
} Kind;

static FaintLineList *
random_list (GRand *random, const Kind *kind)
{
  g_autofree FaintLine *lines = g_new (FaintLine, kind->n);

  for (guint i = 0; i < kind->n; i++)
    {
      lines[i] = faint_line_unknown ();
      lines[i].id = i + 1;
      lines[i].position.value = g_rand_double_range (random, 7750.0, 7830.0);
      lines[i].position.u = lines[i].position.u_noise = 1e-4;
      if (!kind->strengths)
        continue;
      lines[i].strength.value = 1e-24 * pow (10.0, g_rand_double_range (random, -2.0, 0.0));
      lines[i].strength.u = 0.03 * lines[i].strength.value;
    }
  return faint_line_list_new (lines, kind->n);
}

/* The best odds of a chain in the list; below 0 where there is none. */
static double
best_odds (const FaintLineList *list, const FaintLevels *levels)
{
  g_autoptr (GPtrArray) ladders = faint_ladders_new (levels);
  g_autoptr (FaintObserved) observed = NULL;
  g_autoptr (GPtrArray) chains = NULL;
  FaintAssignOptions options;
  double best = -1.0;

  faint_assign_options_init (&options);
  options.least_odds = 0.0;
  observed = faint_observed_new (list, &options);
  chains = faint_chains_find (observed, levels, ladders, &options, NULL, NULL);
  for (guint i = 0; i < chains->len; i++)
    best = fmax (best, ((const FaintChain *)g_ptr_array_index (chains, i))->odds);
  return best;
}

static void
test_share (void)
{
  static const Kind kinds[]
      = { { 60, FALSE, FALSE, 60 },  { 500, TRUE, FALSE, 40 }, { 1500, FALSE, FALSE, 30 },
          { 1500, TRUE, FALSE, 30 }, { 500, FALSE, TRUE, 10 }, { 500, TRUE, TRUE, 10 } };
  static const double limits[] = { 0.0, 2.0, 4.0, 6.0, 8.0, 12.0 };
  g_autoptr (FaintConstants) linear = band_nitrous_oxide ();
  g_autoptr (FaintConstants) top = band_invented_top ();
  FaintLevels *levels[] = { faint_levels_new (linear, NULL), faint_levels_new (top, NULL) };
  const char *more = g_getenv ("FAINTLINE_LISTS");
  guint above[G_N_ELEMENTS (limits)] = { 0 }, lists = 0;

  for (guint k = 0; k < G_N_ELEMENTS (kinds); k++)
    {
      g_autoptr (GRand) random = g_rand_new_with_seed (7 + k);
      guint n = more != NULL ? (guint)atoi (more) : kinds[k].lists;
      double most = -1.0;

      for (guint i = 0; i < n; i++)
        {
          g_autoptr (FaintLineList) list = random_list (random, &kinds[k]);
          double best = best_odds (list, levels[kinds[k].top ? 1 : 0]);

          lists++;
          most = fmax (most, best);
          for (guint x = 0; x < G_N_ELEMENTS (limits); x++)
            above[x] += best > limits[x];
        }
      g_test_message ("%u lists of %u lines%s, %s: the best odds are e^%.1f", n, kinds[k].n,
                      kinds[k].strengths ? " with strengths" : "", kinds[k].top ? "top" : "linear",
                      most);
    }
  for (guint x = 0; x < G_N_ELEMENTS (limits); x++)
    {
      double stated = lists * exp (-limits[x]);

      g_test_message ("odds above e^%g: %u of %u lists, %.2g stated as the most", limits[x],
                      above[x], lists, stated);
      /* three standard deviations of a Poisson number */
      g_assert_cmpfloat (above[x], <=, stated + 3.0 * sqrt (stated));
    }
  for (guint i = 0; i < G_N_ELEMENTS (levels); i++)
    g_clear_pointer (&levels[i], faint_levels_unref);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  g_test_add_func ("/assign/chance/share", test_share);
  return g_test_run ();
}
