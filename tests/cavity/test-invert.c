/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From value to absorption: back to where the forward response came from, and the closed forms.
 */
#include "one-tooth.h"

static double complex
inverted (const FaintResponse *response, double loss, double phase, double complex value)
{
  double re = creal (value), im = cimag (value), u = 0.0, kappa_re, kappa_im;
  FaintCavityTeeth teeth = { 1, &loss, &u, &phase };

  faint_response_invert (response, &teeth, 0, 1, &re, &im, &kappa_re, &kappa_im);
  return complex_of (kappa_re, kappa_im);
}

/* A value is rounded to 1e-16 of itself, which moves kappa by that over the logarithmic slope. */
static void
check_return (const FaintResponse *response, double loss, double phase, double complex kappa)
{
  OneTooth tooth = one_tooth (response, loss, phase, kappa);
  double complex got = inverted (response, loss, phase, tooth.value);
  double rounding = cabs (tooth.value) / cabs (tooth.slope);

  faint_assert_near (cabs (got - kappa), 0.0, 1e-12 * cabs (kappa) + 1e-15 * rounding,
                     "1e-12 of kappa, and the rounding of the value given");
}

static void
test_there_and_back (void)
{
  const double shares[] = { 0.5, 0.8, 1.0 };
  int checked = 0;

  for (int k = 0; k < 18; k++)
    for (double loss = 0.3; loss > 1e-9; loss *= 0.1)
      for (double strength = 1e-8; strength < 1e6; strength *= 10.0)
        for (int phase = -1; phase <= 2; phase++)
          {
            FaintObservable observable = k / 3 % 3;
            FaintResponse response = response_of (observable, FAINT_GEOMETRY_RING,
                                                  k / 9 ? SWEPT : LOCKED, shares[k % 3]);
            double complex kappa = strength * loss;

            if (k / 9 && observable == FIELD)
              continue;
            if (observable == FIELD)
              kappa *= complex_of (1.0, strength * loss < 1.0 ? 0.7 : 0.0);
            if (creal (kappa) > 30.0)
              continue;
            check_return (&response, loss, phase * loss, kappa);
            checked++;
          }
  g_assert_cmpint (checked, >, 3000);
}

static void
test_single_pass (void)
{
  for (double strength = 1e-12; strength < 30.0; strength *= 10.0)
    for (FaintObservable observable = POWER; observable <= FIELD; observable++)
      {
        FaintResponse response = response_of (observable, FAINT_GEOMETRY_NONE, LOCKED, 1.0);
        double phase = observable == FIELD && strength < 3.0 ? -0.5 * strength : 0.0;

        check_return (&response, 1.0, 0.0, complex_of (strength, phase));
        check_return (&response, 1.0, 0.0, -complex_of (strength, phase));
      }
}

/* A cavity with gain up to nine tenths of its loss: noise above 1 in a record. */
static void
test_negative_absorption (void)
{
  for (int k = 0; k < 12; k++)
    for (double loss = 0.1; loss > 1e-8; loss *= 0.1)
      for (double share = 0.1; share <= 0.9; share += 0.1)
        {
          FaintObservable observable = k % 3;
          FaintCoupling coupling = k / 3 % 2 ? SWEPT : LOCKED;
          FaintResponse response
              = response_of (observable, FAINT_GEOMETRY_RING, coupling, k / 6 ? 0.5 : 0.9);

          if (coupling == SWEPT && observable == FIELD)
            continue;
          check_return (&response, loss, 0.0, -share * loss);
          check_return (&response, loss, 0.3 * loss, -share * loss);
        }
}

/* The exact inverse of a standing wave, as it stands in the trade: with sqrt(T) = t,
 * x = (-(1-R) + sqrt((1-R)^2 + 4 R t^2))/(2 R t), alpha L = -2 ln x; here with a plain case where
 * the textbook form loses nothing. Foltynowicz et al., Appl. Phys. B 110, 163 (2013), solved. */
static void
test_closed_form (void)
{
  const double r = 0.9, t = 0.6, swept = 0.7;
  FaintResponse response = response_of (AMPLITUDE, FAINT_GEOMETRY_STANDING_WAVE, LOCKED, 0.5);
  double x = (-(1.0 - r) + sqrt ((1.0 - r) * (1.0 - r) + 4.0 * r * t * t)) / (2.0 * r * t);
  double c = 1.0 - r * r;

  faint_assert_close (creal (inverted (&response, 1.0 - r, 0.0, t)), -2.0 * log (x), 1e-13,
                      "rounding of the textbook form");
  response = response_of (POWER, FAINT_GEOMETRY_STANDING_WAVE, SWEPT, 0.5);
  x = (-c + sqrt (c * c + 4.0 * r * r * swept * swept)) / (2.0 * r * r * swept);
  faint_assert_close (creal (inverted (&response, 1.0 - r, 0.0, swept)), -log (x), 1e-13,
                      "rounding of the textbook form");
}

/* What no absorption and no gain below the threshold gives is not a number, and never a crash. */
static void
test_no_answer (void)
{
  const double bad[] = { 0.0, -0.1, NAN, INFINITY };
  const double shares[] = { 0.5, 0.8 };

  for (int k = 0; k < 12; k++)
    for (gsize i = 0; i < G_N_ELEMENTS (bad); i++)
      {
        FaintObservable observable = k % 3;
        FaintCoupling coupling = k / 3 % 2 ? SWEPT : LOCKED;
        FaintResponse response
            = response_of (observable, FAINT_GEOMETRY_RING, coupling, shares[k / 6]);

        if ((coupling == SWEPT && observable == FIELD) || (observable == FIELD && bad[i] < 0.0))
          continue;
        g_assert_true (isnan (creal (inverted (&response, 0.01, 0.0, bad[i]))));
      }
  /* With no absorber behind the input coupler the power never falls below the leak, loss^2. */
  for (int k = 0; k < 2; k++)
    {
      FaintResponse response = response_of (POWER, FAINT_GEOMETRY_RING, LOCKED, 0.0);
      double value = k ? 0.99e-4 : 1.01e-4;

      g_assert_true (isnan (creal (inverted (&response, 0.01, 0.0, value))) == k);
    }
  /* One line width off its mode, gain helps by 1 + (Phi/loss)^2 = 2 in power and no further,
   * times exp(2 f ln(1/s)). */
  for (int k = 0; k < 2; k++)
    {
      FaintResponse response = response_of (POWER, FAINT_GEOMETRY_RING, LOCKED, shares[k]);

      g_assert_true (isfinite (creal (inverted (&response, 1e-4, 1e-4, 1.99))));
      g_assert_true (isnan (creal (inverted (&response, 1e-4, 1e-4, 2.01))));
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/cavity/invert/there-and-back", test_there_and_back);
  g_test_add_func ("/cavity/invert/single-pass", test_single_pass);
  g_test_add_func ("/cavity/invert/negative", test_negative_absorption);
  g_test_add_func ("/cavity/invert/closed-form", test_closed_form);
  g_test_add_func ("/cavity/invert/no-answer", test_no_answer);
  return g_test_run ();
}
