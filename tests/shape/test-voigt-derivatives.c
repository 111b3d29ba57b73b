/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/shape/voigt.h"

#include <math.h>

#include "faint-test.h"

typedef struct
{
  FaintComplex p, position, lorentz, doppler;
} Derivatives;

static Derivatives
derivatives (FaintVoigt line, double nu)
{
  Derivatives d;
  FaintVoigtGradient out = { &d.p.re,       &d.p.im,       &d.position.re, &d.position.im,
                             &d.lorentz.re, &d.lorentz.im, &d.doppler.re,  &d.doppler.im };

  faint_voigt_gradient (line, &nu, 1, &out);
  return d;
}

/* The line with its parameter @which moved by @by. */
static FaintVoigt
moved (FaintVoigt line, int which, double by)
{
  if (which == 0)
    line.position += by;
  else if (which == 1)
    line.lorentz += by;
  else
    line.doppler += by;
  return line;
}

/* Central difference of the fourth order, error h^4/30 of the fifth derivative. */
static FaintComplex
difference (FaintVoigt line, double nu, int which, double h)
{
  FaintComplex a = faint_voigt (moved (line, which, h), nu);
  FaintComplex b = faint_voigt (moved (line, which, -h), nu);
  FaintComplex c = faint_voigt (moved (line, which, 2 * h), nu);
  FaintComplex d = faint_voigt (moved (line, which, -2 * h), nu);

  return (FaintComplex){ (8 * (a.re - b.re) - (c.re - d.re)) / (12 * h),
                         (8 * (a.im - b.im) - (c.im - d.im)) / (12 * h) };
}

static void
assert_same (FaintComplex got, FaintComplex want, double tolerance, const char *why)
{
  faint_assert_near (got.re, want.re, tolerance, why);
  faint_assert_near (got.im, want.im, tolerance, why);
}

/* With h = 1e-3 of a width, the truncation is about 1e-12 and the rounding 1e-15/h = 1e-12 of
 * peak over width. */
static void
check_differences (FaintVoigt line, double offset)
{
  double width = MAX (line.doppler, line.lorentz);
  double nu = line.position + offset;
  double scale = faint_voigt_peak (line.doppler, line.lorentz) / width;
  Derivatives d = derivatives (line, nu);
  const char *why = "truncation and rounding of the differences";

  assert_same (d.position, difference (line, nu, 0, 1e-3 * width), 2e-11 * scale, why);
  if (line.lorentz > 3e-3 * width)
    assert_same (d.lorentz, difference (line, nu, 1, 1e-3 * width), 2e-11 * scale, why);
  assert_same (d.doppler, difference (line, nu, 2, 1e-3 * line.doppler),
               2e-11 * scale * width / line.doppler, why);
}

static void
test_differences (void)
{
  static const double ratios[] = { 0.0, 0.01, 0.3, 1.0, 8.0, 500.0, 2e4 };
  static const double offsets[] = { 0.0, 0.4, -1.1, 3.0, 5.5, 9.0, 40.0 };

  for (guint i = 0; i < G_N_ELEMENTS (ratios); i++)
    for (guint j = 0; j < G_N_ELEMENTS (offsets); j++)
      {
        FaintVoigt line = { 0.125, 1.0, ratios[i] };
        check_differences (line, offsets[j] * MAX (1.0, ratios[i]));
      }
}

/* p is homogeneous of degree -1 in (nu - nu0, gamma_L, gamma_D): Euler's relation, and the
 * profile is analytic: dp/dgamma_L = -i dp/dnu0. */
static void
test_relations (void)
{
  for (double ratio = 1e-9; ratio < 1e9; ratio *= 30.0)
    for (double offset = 0.01; offset < 1e7; offset *= 5.0)
      {
        FaintVoigt line = { 0.0, 0.006, 0.006 * ratio };
        double delta = 0.006 * offset;
        Derivatives d = derivatives (line, delta);
        double re = d.p.re - delta * d.position.re + line.lorentz * d.lorentz.re
                    + line.doppler * d.doppler.re;
        double im = d.p.im - delta * d.position.im + line.lorentz * d.lorentz.im
                    + line.doppler * d.doppler.im;
        double size = hypot (d.p.re, d.p.im)
                      + hypot (delta, line.lorentz) * hypot (d.position.re, d.position.im);

        faint_assert_near (re, 0.0, 1e-12 * size, "w' to 1e-13 of itself, |z| up to 7 near");
        faint_assert_near (im, 0.0, 1e-12 * size, "w' to 1e-13 of itself, |z| up to 7 near");
        faint_assert_close (d.lorentz.re, d.position.im, 4e-16, "the same number turned");
        faint_assert_close (d.lorentz.im, -d.position.re, 4e-16, "the same number turned");
      }
}

/* Far out p = i/(pi Z) (1 + v/2 + 3/4 v^2 ...), v = gamma_D^2/(ln2 Z^2): dp/dgamma_D =
 * i/(pi Z) v/gamma_D (1 + 3 v ...), which must not drown in the rounding of p. */
static void
test_far_wing (void)
{
  for (double offset = 1e4; offset < 1e7; offset *= 7.0)
    {
      double s = offset / 0.83255461115769776;
      Derivatives d = derivatives ((FaintVoigt){ 0.0, 1.0, 0.0 }, offset);

      faint_assert_close (d.position.im, 1.0 / (G_PI * offset * offset), 3e-8,
                          "3/2 v = 2.2e-8 is left out");
      faint_assert_close (d.doppler.im,
                          1.0 / (G_PI * offset) / (0.69314718055994531 * offset * offset),
                          10.0 / (s * s), "3 v is left out");
    }
}

/* The two forms meet at gamma_L = 1e4 gamma_D. What is computed there is exact to 1e-13; the width
 * differs by 1e-12. */
static void
test_forms_meet (void)
{
  for (double offset = 0.0; offset < 1e6; offset = 2.0 * offset + 17.0)
    {
      Derivatives a = derivatives ((FaintVoigt){ 0.0, 1.0, 1e4 * (1.0 - 1e-12) }, offset);
      Derivatives b = derivatives ((FaintVoigt){ 0.0, 1.0, 1e4 * (1.0 + 1e-12) }, offset);
      const char *why = "the width differs by 2e-12, the third power at most";

      assert_same (a.position, b.position, 1e-11 * hypot (b.position.re, b.position.im), why);
      assert_same (a.lorentz, b.lorentz, 1e-11 * hypot (b.lorentz.re, b.lorentz.im), why);
      assert_same (a.doppler, b.doppler, 1e-11 * hypot (b.doppler.re, b.doppler.im), why);
    }
}

/* Arrays of every tail length against one point at a time, with and without the Doppler part. */
static void
test_lengths (void)
{
  static const double ratios[] = { 0.2, 3e4 };
  double nu[9], r[8][10];

  for (int i = 0; i < 9; i++)
    nu[i] = -4.0 + 1.9 * i;
  for (guint j = 0; j < G_N_ELEMENTS (ratios); j++)
    for (gsize n = 0; n <= 9; n++)
      for (int doppler = 0; doppler < 2; doppler++)
        {
          FaintVoigt line = { 0.5, 1.0, ratios[j] };
          FaintVoigtGradient out = {
            r[0], r[1], r[2], r[3], r[4], r[5], doppler ? r[6] : NULL, doppler ? r[7] : NULL
          };

          for (int k = 0; k < 8; k++)
            for (int i = 0; i < 10; i++)
              r[k][i] = 17.0;
          faint_voigt_gradient (line, nu, n, &out);
          for (gsize i = 0; i < n; i++)
            {
              Derivatives d = derivatives (line, nu[i]);
              const char *why = "w' to 1e-13 either way";

              faint_assert_close (r[0][i], d.p.re, 1e-13, why);
              faint_assert_close (r[1][i], d.p.im, 1e-13, why);
              assert_same ((FaintComplex){ r[2][i], r[3][i] }, d.position,
                           2e-13 * hypot (d.position.re, d.position.im), why);
              assert_same ((FaintComplex){ r[4][i], r[5][i] }, d.lorentz,
                           2e-13 * hypot (d.lorentz.re, d.lorentz.im), why);
              if (doppler)
                assert_same ((FaintComplex){ r[6][i], r[7][i] }, d.doppler,
                             1e-11 * hypot (d.doppler.re, d.doppler.im),
                             "w + z w' is smaller than its terms by |z|^2 < 45");
            }
          for (int k = 0; k < 8; k++)
            g_assert_true (r[k][k < 6 || doppler ? n : 0] == 17.0);
        }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/shape/voigt-derivatives/differences", test_differences);
  g_test_add_func ("/shape/voigt-derivatives/relations", test_relations);
  g_test_add_func ("/shape/voigt-derivatives/far-wing", test_far_wing);
  g_test_add_func ("/shape/voigt-derivatives/forms-meet", test_forms_meet);
  g_test_add_func ("/shape/voigt-derivatives/lengths", test_lengths);
  return g_test_run ();
}
