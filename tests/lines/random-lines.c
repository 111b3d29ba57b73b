/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "random-lines.h"

#include <float.h>

#include "faint/lines/parameters.h"

static double
random_number (GRand *random, gboolean positive)
{
  static const double extreme[] = { DBL_MIN, DBL_MAX, 4.9406564584124654e-324, 1e-25, 0.1,
                                    3.0,     1e300,   2.2250738585072011e-308 };
  double value;

  switch (g_rand_int_range (random, 0, 4))
    {
    case 0:
      return NAN;
    case 1:
      return extreme[g_rand_int_range (random, 0, G_N_ELEMENTS (extreme))];
    default:
      value = exp (g_rand_double_range (random, -80.0, 20.0));
      return positive || g_rand_boolean (random) ? value : -value;
    }
}

static FaintParameter
random_parameter (GRand *random, gboolean positive)
{
  FaintParameter parameter = { random_number (random, positive), random_number (random, TRUE), NAN,
                               (FaintParameterState)g_rand_int_range (random, 0, 3) };

  return parameter;
}

/* Of the parameters and coefficients that a line need not have: none, or some. */
void
faint_test_random_extras (GRand *random, FaintLine *line)
{
  line->profile = g_rand_int_range (random, 0, FAINT_PROFILE_N);
  for (guint k = FAINT_PLACE_SPEED_WIDTH; k < FAINT_PARAMETER_N; k++)
    *faint_line_nth_parameter (line, k) = random_parameter (random, FALSE);
}

/* Ties @line to one with an id below @n, which may be itself or tied to it. */
void
faint_test_random_ties (GRand *random, FaintLine *line, guint n)
{
  for (guint k = 0; k < FAINT_PARAMETER_N; k++)
    {
      FaintParameter *parameter = faint_line_nth_parameter (line, k);
      if (g_rand_int_range (random, 0, 4) > 0)
        continue;
      parameter->state = FAINT_STATE_TIED;
      parameter->tied_to = (guint)g_rand_int_range (random, 1, (gint)n + 2);
      parameter->tie_factor = g_rand_boolean (random) ? 1.0 : exp (g_rand_double (random));
      parameter->tie_offset = g_rand_boolean (random) ? 0.0 : g_rand_double (random);
    }
}

FaintLine
faint_test_random_line (GRand *random)
{
  static const char *const texts[] = { "",
                                       "ν₁+2ν₂",
                                       "a,b",
                                       "\"",
                                       "two\r\nlines",
                                       " blanks ",
                                       "#first",
                                       "ü\n",
                                       "P(12)e",
                                       "10_0:J12e",
                                       "J7",
                                       "<&>\"'",
                                       "Ω² of a state with a name longer than fifteen letters" };
  FaintLine line = faint_line_unknown ();

  line.position = random_parameter (random, TRUE);
  line.position.value = g_rand_double_range (random, 1.0, 30000.0);
  line.position.u_noise = random_number (random, TRUE);
  line.strength = random_parameter (random, FALSE);
  line.strength.u_noise = random_number (random, TRUE);
  line.lorentz = random_parameter (random, TRUE);
  line.lorentz.u_noise = random_number (random, TRUE);
  line.doppler = random_parameter (random, TRUE);
  line.strength_296 = random_number (random, FALSE);
  line.u_strength_296 = random_number (random, TRUE);
  line.lower_energy = random_number (random, FALSE);
  line.u_lower_energy = random_number (random, TRUE);
  line.snr = random_number (random, FALSE);
  line.peak = random_number (random, FALSE);
  line.window = g_rand_int_range (random, 0, 5);
  line.chi2_reduced = random_number (random, TRUE);
  line.flags = g_rand_int_range (random, 0, 1 << 12);
  line.upper = texts[g_rand_int_range (random, 0, G_N_ELEMENTS (texts))];
  line.lower = texts[g_rand_int_range (random, 0, G_N_ELEMENTS (texts))];
  line.remark = texts[g_rand_int_range (random, 0, G_N_ELEMENTS (texts))];
  return line;
}

static void
assert_same (double got, double want)
{
  if (!(got == want || (isnan (got) && isnan (want))))
    g_error ("read back %.17g, written %.17g", got, want);
}

static void
assert_same_parameter (const FaintParameter *got, const FaintParameter *want)
{
  assert_same (got->value, want->value);
  assert_same (got->u, want->u);
  assert_same (got->u_noise, want->u_noise);
  g_assert_cmpint (got->state, ==, want->state);
  g_assert_cmpuint (got->tied_to, ==, want->tied_to);
  assert_same (got->tie_factor, want->tie_factor);
  assert_same (got->tie_offset, want->tie_offset);
}

void
faint_test_same_line (const FaintLine *got, const FaintLine *want)
{
  g_assert_cmpuint (got->id, ==, want->id);
  g_assert_cmpint (got->profile, ==, want->profile);
  for (guint k = 0; k < FAINT_PARAMETER_N; k++)
    assert_same_parameter (faint_line_peek_nth_parameter (got, k),
                           faint_line_peek_nth_parameter (want, k));
  assert_same (got->strength_296, want->strength_296);
  assert_same (got->u_strength_296, want->u_strength_296);
  assert_same (got->lower_energy, want->lower_energy);
  assert_same (got->u_lower_energy, want->u_lower_energy);
  assert_same (got->snr, want->snr);
  assert_same (got->peak, want->peak);
  assert_same (got->chi2_reduced, want->chi2_reduced);
  g_assert_cmpint (got->window, ==, want->window);
  g_assert_cmpuint (got->flags, ==, want->flags);
  g_assert_cmpstr (got->upper, ==, want->upper);
  g_assert_cmpstr (got->lower, ==, want->lower);
  g_assert_cmpstr (got->remark, ==, want->remark);
}
