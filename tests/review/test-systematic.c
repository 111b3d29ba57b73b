/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What lists have in common: a straight line against a worked example of the GUM, planted effects
 * with wrong lines among them, and how often chance is taken for an effect.
 */
#include <math.h>

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>

#include "faint-test.h"
#include "faint/review/systematic.h"

#define N 80

/* JCGM 100:2008, H.3: readings of a thermometer, table H.6; b = y1 + y2 (t - 20 degC), y1 =
 * -0.1712(29), y2 = 0.00218(67), s = 0.0035 (from memory: s), recomputed by an independent program
 * to y1 = -0.17120379, y2 = 0.00218270, u(y2) = 0.00066794, and at the mean 24.0085 degC -0.162455
 * with u = 0.00105456. All weights are equal, and the uncertainty comes from the scatter: given as
 * too small, it must be raised to it. */
static void
test_thermometer (void)
{
  static const double t[]
      = { 21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511 };
  static const double b[]
      = { -0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160 };
  double u[11];
  FaintSystematicInput input = { .n = 11, .d = b, .u = u };
  g_autoptr (FaintSystematic) line = faint_systematic_new ();
  double u_30;

  for (guint i = 0; i < 11; i++)
    u[i] = 0.0034;
  input.x[FAINT_SYSTEMATIC_POSITION] = t;
  g_assert_true (faint_systematic_fit (&input, FAINT_SYSTEMATIC_POSITION, line));
  g_assert_cmpuint (line->n, ==, 11);
  faint_assert_close (line->x_mean, 24.0085, 1e-5, "six digits");
  faint_assert_close (line->constant, -0.162455, 1e-5, "six digits");
  faint_assert_close (line->u_constant, 0.00105456, 1e-5, "six digits");
  faint_assert_close (line->slope, 0.00218270, 1e-5, "six digits");
  faint_assert_close (line->u_slope, 0.00066794, 1e-5, "five digits");
  faint_assert_close (line->birge, 0.00349756 / 0.0034, 1e-5, "six digits of s");
  /* b(30 degC) = -0.1494(41) in the Guide, recomputed -0.14937681(413860). */
  faint_assert_close (faint_systematic_at (line, 30.0, &u_30), -0.14937681, 1e-6, "eight digits");
  faint_assert_close (u_30, 0.00413860, 1e-5, "six digits");
}

typedef struct
{
  double d[N], u[N], x[N], one[N];
  const double *common[1];
  FaintSystematicInput input;
} Case;

static void
make (Case *self, gsl_rng *random, double constant, double slope, guint n_wrong)
{
  for (guint i = 0; i < N; i++)
    {
      self->x[i] = 7750.0 + i;
      self->u[i] = 0.5 + gsl_rng_uniform (random);
      self->d[i] = constant + slope * (i - 39.5) + gsl_ran_gaussian (random, self->u[i]);
      if (i % 10 == 3 && n_wrong > 0)
        {
          self->d[i] += 100.0;
          n_wrong--;
        }
      self->one[i] = 1.0;
    }
  self->common[0] = self->one;
  self->input = (FaintSystematicInput){ .n = N, .d = self->d, .u = self->u };
  self->input.x[FAINT_SYSTEMATIC_POSITION] = self->x;
}

/* A tenth of the lines wrong by a hundred uncertainties must not pull. */
static void
test_planted (void)
{
  gsl_rng *random = gsl_rng_alloc (gsl_rng_mt19937);
  Case it;
  gsize tests = 0;
  g_autoptr (FaintSystematic) constant = NULL, sloped = NULL;

  make (&it, random, 2.0, 0.0, 8);
  constant = faint_systematic_find (&it.input, 0.01, &tests);
  g_assert_nonnull (constant);
  g_assert_cmpint (constant->form, ==, FAINT_SYSTEMATIC_CONSTANT);
  g_assert_cmpuint (constant->n_left_out, ==, 8);
  faint_assert_near (constant->constant, 2.0, 4.0 * constant->u_constant, "four uncertainties");
  g_assert_cmpfloat (constant->u_constant, <, 0.2);
  g_assert_cmpuint (tests, ==, 2);
  make (&it, random, 2.0, 0.2, 8);
  sloped = faint_systematic_find (&it.input, 0.01, &tests);
  g_assert_nonnull (sloped);
  g_assert_cmpint (sloped->form, ==, FAINT_SYSTEMATIC_POSITION);
  g_assert_cmpuint (sloped->n_left_out, ==, 8);
  faint_assert_near (sloped->slope, 0.2, 4.0 * sloped->u_slope, "four uncertainties");
  gsl_rng_free (random);
}

/* What is common as stated goes through whole, whatever the number of lines. */
static void
test_common (void)
{
  gsl_rng *random = gsl_rng_alloc (gsl_rng_mt19937);
  g_autoptr (FaintSystematic) known = faint_systematic_new (), bound = faint_systematic_new ();
  Case it;

  make (&it, random, 2.0, 0.0, 0);
  it.input.common = it.common;
  it.input.n_common = 1;
  g_assert_true (faint_systematic_fit (&it.input, FAINT_SYSTEMATIC_CONSTANT, known));
  faint_assert_close (known->u_common_constant, 1.0, 1e-12, "a sum of weights");
  faint_assert_close (known->effects[0], 1.0, 1e-12, "the same");
  g_assert_cmpfloat (known->probability, <, 1e-6);
  g_assert_cmpfloat (known->probability_stated, >, 0.01); /* 2.0 over 1.0 and a little */
  it.input.n_common = 0;
  it.input.bound = it.one;
  g_assert_true (faint_systematic_fit (&it.input, FAINT_SYSTEMATIC_CONSTANT, bound));
  faint_assert_close (bound->u_common_constant, 1.0, 1e-12, "all may be one error");
  gsl_rng_free (random);
}

/* Nothing in common: found as often as the level says, or less, for the tests share it. 2000 lists
 * at 0.05: 100 expected, standard deviation 9.7. */
static void
test_false (void)
{
  gsl_rng *random = gsl_rng_alloc (gsl_rng_mt19937);
  Case it;
  gsize tests = 0;
  guint found = 0;

  for (guint i = 0; i < 2000; i++)
    {
      g_autoptr (FaintSystematic) finding = NULL;

      make (&it, random, 0.0, 0.0, 0);
      finding = faint_systematic_find (&it.input, 0.05, &tests);
      found += finding != NULL;
    }
  g_assert_cmpuint (found, <, 129);
  g_assert_cmpuint (found, >, 60); /* the Birge ratio makes it cautious */
  gsl_rng_free (random);
}

static void
test_too_few (void)
{
  const double d[] = { 1, 1, 1, 1 }, u[] = { 1, 1, 1, 1 };
  FaintSystematicInput input = { .n = 4, .d = d, .u = u };
  g_autoptr (FaintSystematic) it = faint_systematic_new ();

  g_assert_false (faint_systematic_fit (&input, FAINT_SYSTEMATIC_CONSTANT, it));
  input.n = 0;
  g_assert_false (faint_systematic_fit (&input, FAINT_SYSTEMATIC_CONSTANT, it));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/review/systematic/thermometer", test_thermometer);
  g_test_add_func ("/review/systematic/planted", test_planted);
  g_test_add_func ("/review/systematic/common", test_common);
  g_test_add_func ("/review/systematic/false", test_false);
  g_test_add_func ("/review/systematic/too-few", test_too_few);
  return g_test_run ();
}
