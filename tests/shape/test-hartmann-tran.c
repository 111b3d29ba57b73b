/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/shape/hartmann-tran-private.h"
#include "faint/shape/voigt.h"

#include <math.h>
#include <string.h>

#include "faint-test.h"
#include "hartmann-integral.h"

static const char *promised = "the header's promise";

static const FaintHartmannTranKernel *kernels[2];
static guint n_kernels;

static FaintComplex
value (const FaintHartmannTranKernel *kernel, FaintHartmannTran line, double nu)
{
  FaintComplex p;
  FaintHartmannTranOut out = { .re = &p.re, .im = &p.im };

  kernel->value (&line, &nu, 1, &out);
  return p;
}

static void
assert_same (FaintComplex got, FaintComplex want, double tolerance, const char *why)
{
  faint_assert_near (got.re, want.re, tolerance, why);
  faint_assert_near (got.im, want.im, tolerance, why);
}

static double
size (FaintComplex p)
{
  return hypot (p.re, p.im);
}

/* Every instruction set of this machine. */
static void
check_value (FaintHartmannTran line, double nu, FaintComplex want, double tolerance,
             const char *why)
{
  for (guint i = 0; i < n_kernels; i++)
    assert_same (value (kernels[i], line, nu), want, tolerance * size (want), why);
}

static FaintComplex
integral (FaintHartmannTran line, double nu)
{
  long double complex p = hartmann_integral (line, nu);

  return (FaintComplex){ (double)creall (p), (double)cimagl (p) };
}

/* tests/reference/profiles_htp.csv; its rows also test the integral used below. */
static void
test_table (void)
{
  FaintTestTable *table = faint_test_table_read ("profiles_htp.csv");

  g_assert_cmpuint (table->rows->len, ==, 35);
  for (guint i = 0; i < table->rows->len; i++)
    {
      FaintHartmannTran line = {
        .doppler = faint_test_table_number (table, i, "GammaD_hwhm"),
        .lorentz = faint_test_table_number (table, i, "Gamma0"),
        .lorentz_2 = faint_test_table_number (table, i, "Gamma2"),
        .shift = faint_test_table_number (table, i, "Delta0"),
        .shift_2 = faint_test_table_number (table, i, "Delta2"),
        .velocity_changing = faint_test_table_number (table, i, "nuVC"),
        .correlation = faint_test_table_number (table, i, "eta"),
      };
      double nu = faint_test_table_number (table, i, "nu_minus_nu0");
      FaintComplex want = { faint_test_table_number (table, i, "re_profile"),
                            faint_test_table_number (table, i, "im_profile") };
      assert_same (faint_hartmann_tran (line, nu), want, 1e-14 * size (want),
                   "w to 1e-15 of itself and a dozen operations");
      check_value (line, nu, want, 1e-14, "w to 1e-15 of itself and a dozen operations");
      assert_same (integral (line, nu), want, 1e-15 * size (want), "long double, rounded");
    }
  faint_test_table_free (table);
}

/* 10 to a power between the two. */
static double
some_power (GRand *rand, double low, double high)
{
  return pow (10.0, g_rand_double_range (rand, low, high));
}

/* Gamma_0 from 1e-5 to 30 Gamma_D, every other parameter also 0 at times. */
static FaintHartmannTran
some_line (GRand *rand)
{
  FaintHartmannTran line = { .position = 0.25, .doppler = some_power (rand, -3.0, -1.0) };
  int kind = g_rand_int_range (rand, 0, 4);

  line.lorentz = line.doppler * some_power (rand, -5.0, 1.5);
  line.shift = line.lorentz * g_rand_double_range (rand, -0.3, 0.3);
  if (kind != 0)
    line.lorentz_2
        = line.lorentz * (kind == 1 ? some_power (rand, -12.0, -0.5) : g_rand_double (rand) / 3.0);
  if (kind != 1)
    line.shift_2 = line.lorentz * g_rand_double_range (rand, -0.2, 0.2);
  if (g_rand_boolean (rand))
    line.velocity_changing = line.doppler * some_power (rand, -2.0, 1.0);
  if (g_rand_boolean (rand))
    line.correlation = g_rand_int_range (rand, 0, 4) == 0 ? 1.0 : g_rand_double (rand);
  return line;
}

/* A detuning somewhere in the line, on its flanks or far out. */
static double
some_detuning (GRand *rand, FaintHartmannTran line)
{
  double width = line.doppler + line.lorentz;

  switch (g_rand_int_range (rand, 0, 4))
    {
    case 0:
      return 0.0;
    case 1:
      return width * some_power (rand, 0.5, 3.0);
    default:
      return width * g_rand_double_range (rand, -4.0, 4.0);
    }
}

static void
test_integral (void)
{
  GRand *rand = g_rand_new_with_seed (20131);

  for (int i = 0; i < 200; i++)
    {
      FaintHartmannTran line = some_line (rand);
      for (int j = 0; j < 4; j++)
        {
          double nu = line.position + some_detuning (rand, line);
          check_value (line, nu, integral (line, nu), 1e-12, promised);
        }
    }
  g_rand_free (rand);
}

/* C2 from nothing to 1e4 Gamma_D: published programs change formulas on the way. The small values
 * with a fixed Gamma_0, the large ones with Gamma_0 = 3 Gamma_2. */
static void
test_speed_dependence (void)
{
  for (int which = 0; which < 3; which++)
    for (double ratio = 1e-15; ratio < 1e4; ratio *= 9.1)
      for (double offset = 0.0; offset < 300.0; offset = 1.9 * offset + 0.3)
        {
          FaintHartmannTran line = { .doppler = 0.01, .lorentz = 0.01 * MAX (0.2, 3.0 * ratio) };
          double nu = offset * (line.doppler + line.lorentz);

          line.lorentz_2 = which == 1 ? 0.0 : 0.01 * ratio;
          line.shift_2 = which == 0 ? 0.0 : which == 1 ? 0.01 * ratio : -0.004 * ratio;
          line.velocity_changing = which == 2 ? 0.004 : 0.0;
          line.correlation = which == 2 ? 0.3 : 0.0;
          check_value (line, nu, integral (line, nu), 1e-12, promised);
          check_value (line, -nu, integral (line, -nu), 1e-12, promised);
        }
}

/* Shifts that depend far more on the speed than widths do: the root of 1/4 + a c takes either
 * sign. */
static void
test_large_shift (void)
{
  for (double ratio = 0.03; ratio < 30.0; ratio *= 1.7)
    for (double offset = -30.0; offset < 30.0; offset += 1.73)
      {
        FaintHartmannTran line
            = { .doppler = 0.01, .lorentz = 2e-4, .lorentz_2 = 5e-5, .shift_2 = 0.01 * ratio };
        double nu = 0.01 * offset;
        check_value (line, nu, integral (line, nu), 1e-12, promised);
        line.shift_2 = -line.shift_2;
        check_value (line, nu, integral (line, nu), 1e-12, promised);
      }
}

/* Velocity-changing collisions up to a thousand Doppler widths: A nu_VC is 1 but for 1e-6. */
static void
test_narrowing (void)
{
  for (double nu_vc = 1.0; nu_vc < 1e3; nu_vc *= 2.9)
    for (double offset = 0.0; offset < 1e3; offset = 1.7 * offset + 0.01)
      {
        FaintHartmannTran line = { .doppler = 1.0,
                                   .lorentz = 1e-3,
                                   .lorentz_2 = 2e-4,
                                   .shift = 1e-4,
                                   .shift_2 = -1e-4,
                                   .velocity_changing = nu_vc,
                                   .correlation = 0.1 };
        check_value (line, offset, integral (line, offset), 1e-12, promised);
      }
}

/* Far out the real part is the smaller by Gamma/(nu - nu0) and keeps its own digits. */
static void
test_far_wing (void)
{
  for (double offset = 30.0; offset < 3e5; offset *= 3.0)
    for (double correlation = 0.0; correlation < 1.0; correlation += 0.4)
      {
        FaintHartmannTran line = { .doppler = 1.0,
                                   .lorentz = 0.3,
                                   .lorentz_2 = 0.06,
                                   .shift = 0.02,
                                   .shift_2 = -0.03,
                                   .velocity_changing = 0.2,
                                   .correlation = correlation };
        for (guint i = 0; i < n_kernels; i++)
          faint_assert_close (value (kernels[i], line, offset).re, integral (line, offset).re,
                              1e-12, "nothing of the size of the imaginary part is taken away");
      }
}

/* At Gamma_2 = Delta_2 = 0 the profile is w/(1 - sqrt(pi) (nu_VC/delta) w), the hard-collision
 * (Rautian and Sobel'man, Sov. Phys. Usp. 9, 701 (1967)) profile; w to 1e-14 is known from its own
 * tests. */
static void
test_hard_collision (void)
{
  for (double nu_vc = 0.0; nu_vc < 0.1; nu_vc = 2.3 * nu_vc + 0.001)
    for (double nu = -0.2; nu < 0.2; nu += 0.0037)
      {
        FaintHartmannTran line = { .doppler = 0.01, .lorentz = 0.003, .velocity_changing = nu_vc };
        FaintComplex v = faint_voigt ((FaintVoigt){ 0.0, 0.01, 0.003 + nu_vc }, nu);
        double complex p = v.re + I * v.im;
        p /= 1.0 - G_PI * nu_vc * p;
        check_value (line, nu, (FaintComplex){ creal (p), cimag (p) }, 1e-12,
                     "the quotient loses nu_vc/width = 30");
      }
}

/* Area 1, the same for all parameters: nu = width tan(theta) makes the integrand smooth and
 * periodic; the trapezoidal rule then converges faster than any power of the step. */
static void
test_area (void)
{
  GRand *rand = g_rand_new_with_seed (7);

  for (int i = 0; i < 40; i++)
    {
      FaintHartmannTran line = some_line (rand);
      line.lorentz += 0.2 * line.doppler;
      line.velocity_changing = MIN (line.velocity_changing, 2.0 * line.doppler);
      double width = line.doppler + line.lorentz, sum = 0.0;
      const int n = 1000;
      for (int k = 1; k < n; k++)
        {
          double theta = G_PI * ((double)k / n - 0.5), nu = width * tan (theta);
          double slope = width / (cos (theta) * cos (theta));
          sum += faint_hartmann_tran (line, line.position + nu).re * slope * G_PI / n;
        }
      /* At theta = -pi/2 the Lorentzian wing, Gamma_0/(pi nu^2), is left. */
      sum += line.lorentz / width / n;
      faint_assert_close (sum, 1.0, 1e-9, "position 0.25 rounds nu; strips of width/300");
    }
  g_rand_free (rand);
}

typedef struct
{
  FaintComplex p, d[FAINT_HARTMANN_TRAN_N];
} Gradient;

static Gradient
gradient (const FaintHartmannTranKernel *kernel, FaintHartmannTran line, double nu)
{
  Gradient g;
  double *d_re[FAINT_HARTMANN_TRAN_N], *d_im[FAINT_HARTMANN_TRAN_N];
  FaintHartmannTranOut out = { &g.p.re, &g.p.im, d_re, d_im };

  for (int i = 0; i < FAINT_HARTMANN_TRAN_N; i++)
    {
      d_re[i] = &g.d[i].re;
      d_im[i] = &g.d[i].im;
    }
  kernel->gradient (&line, &nu, 1, &out);
  return g;
}

static double *
parameter (FaintHartmannTran *line, int which)
{
  double *const all[]
      = { &line->position, &line->doppler, &line->lorentz,           &line->lorentz_2,
          &line->shift,    &line->shift_2, &line->velocity_changing, &line->correlation };
  return all[which];
}

/* Central difference of the integral with the sixth order, error h^6/140 of the seventh
 * derivative. */
static FaintComplex
difference (FaintHartmannTran line, double nu, int which, double h)
{
  static const long double weights[] = { 45.0L / 60, -9.0L / 60, 1.0L / 60 };
  long double complex sum = 0.0L;

  for (int k = 1; k <= 3; k++)
    {
      FaintHartmannTran up = line, down = line;
      *parameter (&up, which) += k * h;
      *parameter (&down, which) -= k * h;
      /* the step as it is after rounding */
      long double step
          = ((long double)*parameter (&up, which) - *parameter (&down, which)) / (2 * k);
      sum += weights[k - 1] * (hartmann_integral (up, nu) - hartmann_integral (down, nu)) / step;
    }
  return (FaintComplex){ (double)creall (sum), (double)cimagl (sum) };
}

/* The unit in which a parameter's change counts. */
static double
unit_of (FaintHartmannTran line, int which)
{
  return which == FAINT_HARTMANN_TRAN_CORRELATION ? 1.0
         : which == FAINT_HARTMANN_TRAN_DOPPLER   ? line.doppler
                                                  : MAX (line.doppler, line.lorentz);
}

static void
check_gradient (FaintHartmannTran line, double nu)
{
  for (int which = 0; which < FAINT_HARTMANN_TRAN_N; which++)
    {
      double unit = unit_of (line, which);
      FaintComplex want = difference (line, nu, which, 1e-3 * unit);
      for (guint i = 0; i < n_kernels; i++)
        {
          Gradient g = gradient (kernels[i], line, nu);
          FaintComplex p = value (kernels[i], line, nu);
          assert_same (g.p, p, 4e-16 * size (p), "the same operations");
          assert_same (g.d[which], want, 1e-10 * size (p) / unit,
                       "the header's promise; the difference errs by (1e-3)^6 7!/140 = 4e-17 and "
                       "by 1e-18/1e-3 from rounding");
        }
    }
}

/* Gamma_0 of 0.3 widths or more, so that no step reaches a negative width at a speed. */
static void
test_gradient (void)
{
  GRand *rand = g_rand_new_with_seed (2014);

  for (int i = 0; i < 25; i++)
    {
      FaintHartmannTran line = some_line (rand);
      line.lorentz = MAX (line.lorentz, 0.3 * line.doppler);
      line.correlation *= 0.9;
      line.velocity_changing = MAX (line.velocity_changing, 0.01 * line.doppler);
      check_gradient (line, line.position + some_detuning (rand, line));
    }
  g_rand_free (rand);
}

/* Where Gamma_2 is far above Gamma_D the two terms of the closed form nearly cancel. */
static void
test_gradient_of_wide_lines (void)
{
  for (double ratio = 10.0; ratio < 1e6; ratio *= 23.0)
    for (double offset = -0.4; offset < 1e3; offset = 3.0 * fabs (offset) + 0.1)
      {
        FaintHartmannTran line = { .doppler = 0.01,
                                   .lorentz = 0.01 * ratio,
                                   .lorentz_2 = 0.0011 * ratio,
                                   .shift = 0.0003 * ratio,
                                   .shift_2 = -0.0006 * ratio,
                                   .velocity_changing = 0.0004 * ratio,
                                   .correlation = 0.2 };
        check_gradient (line, offset * line.lorentz);
      }
}

/* With Gamma_2 = 0 all derivatives exist and those that the Voigt profile has are its own. */
static void
test_gradient_of_voigt (void)
{
  for (double ratio = 0.01; ratio < 100.0; ratio *= 9.0)
    for (double offset = 0.0; offset < 60.0; offset = 1.6 * offset + 0.2)
      {
        FaintHartmannTran line = { .doppler = 0.01, .lorentz = 0.01 * ratio };
        double nu = offset * (line.doppler + line.lorentz);
        FaintVoigt voigt = { 0.0, line.doppler, line.lorentz };
        FaintComplex p, position, lorentz, doppler;
        FaintVoigtGradient out = { &p.re,       &p.im,       &position.re, &position.im,
                                   &lorentz.re, &lorentz.im, &doppler.re,  &doppler.im };
        const char *why = "both to a few 1e-13 of w'";

        faint_voigt_gradient (voigt, &nu, 1, &out);
        for (guint i = 0; i < n_kernels; i++)
          {
            Gradient g = gradient (kernels[i], line, nu);
            double scale = size (p) / MAX (line.doppler, line.lorentz);
            assert_same (g.p, p, 1e-13 * size (p), why);
            assert_same (g.d[FAINT_HARTMANN_TRAN_POSITION], position, 1e-12 * scale, why);
            assert_same (g.d[FAINT_HARTMANN_TRAN_SHIFT], position, 1e-12 * scale, why);
            assert_same (g.d[FAINT_HARTMANN_TRAN_LORENTZ], lorentz, 1e-12 * scale, why);
            assert_same (g.d[FAINT_HARTMANN_TRAN_DOPPLER], doppler, 1e-12 * size (p) / line.doppler,
                         why);
          }
        if (ratio > 0.3)
          {
            line.velocity_changing = 0.01 * line.doppler;
            for (int which = 2; which < 4; which++)
              {
                double unit = unit_of (line, which);
                Gradient g = gradient (kernels[0], line, nu);
                assert_same (g.d[which], difference (line, nu, which, 1e-3 * unit),
                             1e-10 * size (p) / unit, promised);
              }
          }
      }
}

/* Arrays of every tail length against one point at a time; nothing beyond the end is written;
 * rows that are not wanted stay out. */
static void
test_lengths (void)
{
  FaintHartmannTran line = { 0.5, 1.0, 0.4, 0.1, 0.05, -0.03, 0.2, 0.3 };
  double nu[9], r[18][10];

  for (int i = 0; i < 9; i++)
    nu[i] = -4.0 + 1.9 * i;
  for (gsize n = 0; n <= 9; n++)
    for (int wanted = 0; wanted <= FAINT_HARTMANN_TRAN_N; wanted++)
      {
        double *d_re[FAINT_HARTMANN_TRAN_N], *d_im[FAINT_HARTMANN_TRAN_N];

        for (int k = 0; k < 18; k++)
          for (int i = 0; i < 10; i++)
            r[k][i] = 17.0;
        for (int k = 0; k < FAINT_HARTMANN_TRAN_N; k++)
          {
            d_re[k] = k < wanted ? r[2 + 2 * k] : NULL;
            d_im[k] = k < wanted ? r[3 + 2 * k] : NULL;
          }
        faint_hartmann_tran_gradient (line, nu, n, r[0], r[1], d_re, d_im);
        for (gsize i = 0; i < n; i++)
          {
            Gradient g = gradient (kernels[0], line, nu[i]);
            const char *why = "its neighbours may take more terms of a series: 1e-16 each";
            assert_same ((FaintComplex){ r[0][i], r[1][i] }, g.p, 1e-14 * size (g.p), why);
            for (int k = 0; k < wanted; k++)
              assert_same ((FaintComplex){ r[2 + 2 * k][i], r[3 + 2 * k][i] }, g.d[k],
                           1e-11 * size (g.p), why);
          }
        for (int k = 0; k < 18; k++)
          g_assert_true (r[k][k < 2 + 2 * wanted ? n : 0] == 17.0);
      }
}

/* Not a number in any place gives no number. */
static void
test_nan (void)
{
  for (int which = 0; which <= FAINT_HARTMANN_TRAN_N; which++)
    for (guint i = 0; i < n_kernels; i++)
      {
        FaintHartmannTran line = { 0.5, 1.0, 0.4, 0.1, 0.05, -0.03, 0.2, 0.3 };
        double nu = 0.7;
        if (which < FAINT_HARTMANN_TRAN_N)
          *parameter (&line, which) = NAN;
        else
          nu = NAN;
        FaintComplex p = value (kernels[i], line, nu);
        g_assert_true (isnan (p.re) && isnan (p.im));
        Gradient g = gradient (kernels[i], line, nu);
        g_assert_true (isnan (g.d[0].re) && isnan (g.d[0].im));
      }
}

/* A slightly negative Gamma_2, as a fit may try, is continued: the profile stays on the line
 * through its neighbours. */
static void
test_through_zero (void)
{
  for (double nu = -0.05; nu < 0.05; nu += 0.0021)
    {
      FaintHartmannTran line = { .doppler = 0.01, .lorentz = 0.01 };
      Gradient g = gradient (kernels[0], line, nu);
      for (double step = 1e-9; step < 2e-6; step *= 10.0)
        {
          line.lorentz_2 = -step;
          FaintComplex down = value (kernels[0], line, nu);
          line.lorentz_2 = step;
          FaintComplex up = value (kernels[0], line, nu);
          FaintComplex slope
              = { (up.re - down.re) / (2.0 * step), (up.im - down.im) / (2.0 * step) };
          assert_same (slope, g.d[FAINT_HARTMANN_TRAN_LORENTZ_2],
                       size (g.p) / 0.01 * (1e-16 * 0.01 / step * 10.0 + 10.0 * step * step / 1e-4),
                       "rounding of p by ten units, and the third derivative");
        }
    }
}

int
main (int argc, char **argv)
{
  kernels[n_kernels++] = &faint_hartmann_tran_baseline;
#ifdef FAINT_FADDEEVA_X86
  if (faint_faddeeva_kernel () == &faint_faddeeva_avx2)
    kernels[n_kernels++] = &faint_hartmann_tran_avx2;
#endif
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/shape/hartmann-tran/table", test_table);
  g_test_add_func ("/shape/hartmann-tran/integral", test_integral);
  g_test_add_func ("/shape/hartmann-tran/speed-dependence", test_speed_dependence);
  g_test_add_func ("/shape/hartmann-tran/large-shift", test_large_shift);
  g_test_add_func ("/shape/hartmann-tran/narrowing", test_narrowing);
  g_test_add_func ("/shape/hartmann-tran/far-wing", test_far_wing);
  g_test_add_func ("/shape/hartmann-tran/hard-collision", test_hard_collision);
  g_test_add_func ("/shape/hartmann-tran/area", test_area);
  g_test_add_func ("/shape/hartmann-tran/gradient", test_gradient);
  g_test_add_func ("/shape/hartmann-tran/gradient-of-wide-lines", test_gradient_of_wide_lines);
  g_test_add_func ("/shape/hartmann-tran/gradient-of-voigt", test_gradient_of_voigt);
  g_test_add_func ("/shape/hartmann-tran/lengths", test_lengths);
  g_test_add_func ("/shape/hartmann-tran/nan", test_nan);
  g_test_add_func ("/shape/hartmann-tran/through-zero", test_through_zero);
  return g_test_run ();
}
