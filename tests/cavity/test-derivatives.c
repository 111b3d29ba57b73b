/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Every derivative of the response against central differences of the eighth order (Fornberg,
 * Math. Comp. 51, 699 (1988), table 1).
 */
#include "one-tooth.h"

typedef enum
{
  BY_KAPPA_RE,
  BY_KAPPA_IM,
  BY_LOSS,
  BY_PHASE,
} Variable;

typedef struct
{
  FaintResponse response;
  double loss, phase;
  double complex kappa;
} Place;

static double complex
value_at (Place place, Variable variable, double shift)
{
  switch (variable)
    {
    case BY_KAPPA_RE:
      place.kappa += shift;
      break;
    case BY_KAPPA_IM:
      place.kappa += complex_of (0.0, shift);
      break;
    case BY_LOSS:
      place.loss += shift;
      break;
    case BY_PHASE:
      place.phase += shift;
      break;
    }
  return one_tooth (&place.response, place.loss, place.phase, place.kappa).value;
}

static double complex
difference (const Place *place, Variable variable, double step)
{
  static const double weights[] = { 4.0 / 5.0, -1.0 / 5.0, 4.0 / 105.0, -1.0 / 280.0 };
  double complex sum = 0.0;

  for (int k = 1; k <= 4; k++)
    sum += weights[k - 1]
           * (value_at (*place, variable, k * step) - value_at (*place, variable, -k * step));
  return sum / step;
}

static double complex
derivative (const Place *place, Variable variable)
{
  OneTooth tooth = one_tooth (&place->response, place->loss, place->phase, place->kappa);
  gboolean field = place->response.observable == FIELD;

  switch (variable)
    {
    case BY_KAPPA_RE:
      return field ? tooth.slope : creal (tooth.slope);
    case BY_KAPPA_IM:
      return field ? tooth.slope * complex_of (0.0, 1.0) : cimag (tooth.slope);
    case BY_LOSS:
      return tooth.by_loss;
    case BY_PHASE:
    default:
      return tooth.by_phase;
    }
}

static void
check (const Place *place)
{
  for (Variable variable = BY_KAPPA_RE; variable <= BY_PHASE; variable++)
    {
      /* The values change on the scale of the loss, at worst as 1/(1 + x)^2, whose ninth
       * derivative is 10!: a step of 0.005 leaves 10! 0.005^8/630 = 2e-15 of truncation, and a few
       * 1e-16/0.005 of rounding. A single pass changes on the scale of 1. */
      gboolean single = place->response.geometry == FAINT_GEOMETRY_NONE;
      double scale = single && variable < BY_LOSS ? 1.0 : place->loss;
      double complex numeric = difference (place, variable, 0.005 * scale);
      double complex exact = derivative (place, variable);

      faint_assert_near (cabs (numeric - exact) * scale, 0.0, 3e-13,
                         "truncation 2e-15, and ten roundings of 1e-16 over 0.005");
    }
}

static void
test_all (void)
{
  const FaintGeometry geometries[]
      = { FAINT_GEOMETRY_STANDING_WAVE, FAINT_GEOMETRY_RING, FAINT_GEOMETRY_NONE };
  int checked = 0;

  for (int k = 0; k < 18; k++)
    for (double loss = 0.2; loss > 1e-8; loss *= 0.02)
      for (double strength = 1e-6; strength < 5.0; strength *= 10.0)
        for (int phase = -1; phase <= 2; phase++)
          {
            FaintGeometry geometry = geometries[k % 3];
            FaintObservable observable = k / 3 % 3;
            double share = geometry == FAINT_GEOMETRY_RING ? 0.7 : 0.5;
            FaintCoupling coupling = k / 9 ? SWEPT : LOCKED;
            Place place = { response_of (observable, geometry, coupling, share), loss, phase * loss,
                            loss * strength * complex_of (1.0, 0.6 * (phase - 1)) };

            if (coupling == SWEPT && observable == FIELD)
              continue;
            check (&place);
            checked++;
          }
  g_assert_cmpint (checked, >, 1000);
}

/* Larger exponents leave the short series of exp, sin and cos: on either side of each switch. */
static void
test_switches (void)
{
  const double at[] = { 0x1p-6, 0x1p-5, 2.0 * 0x1p-5, 0.6 };

  for (gsize i = 0; i < G_N_ELEMENTS (at); i++)
    for (int side = -1; side <= 1; side += 2)
      for (FaintObservable observable = POWER; observable <= FIELD; observable++)
        {
          double value = at[i] * (1.0 + side * 1e-9);
          FaintResponse response
              = response_of (observable, FAINT_GEOMETRY_STANDING_WAVE, LOCKED, 0.5);
          Place place = { response, 0.2, value, complex_of (value, value) };

          check (&place);
        }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/cavity/derivatives/all", test_all);
  g_test_add_func ("/cavity/derivatives/switches", test_switches);
  return g_test_run ();
}
