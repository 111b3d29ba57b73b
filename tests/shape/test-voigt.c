/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/base/units.h"
#include "faint/shape/voigt.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#include <gsl/gsl_sf_dawson.h>
#include <math.h>

#include "faint-test.h"

/* w(z) to 5e-14 and the rounding of z: x p'/p is at most 2 x^2 ln2, 50 here. */
#define TOLERANCE 1e-13
#define WHY "w(z) to 5e-14, the argument rounded"

static double
half_width_of_sigma (double sigma)
{
  return sigma * sqrt (2.0 * FAINT_LN2);
}

static void
test_values (void)
{
  FaintTestTable *table = faint_test_table_read ("voigt_values.csv");

  for (guint i = 0; i < table->rows->len; i++)
    {
      FaintVoigt line
          = { .doppler = half_width_of_sigma (faint_test_table_number (table, i, "sigma")),
              .lorentz = faint_test_table_number (table, i, "gamma") };
      double x = faint_test_table_number (table, i, "x");

      faint_assert_close (faint_voigt (line, x).re, faint_test_table_number (table, i, "value"),
                          TOLERANCE, WHY);
      faint_assert_close (faint_voigt (line, -x).re, faint_test_table_number (table, i, "value"),
                          TOLERANCE, WHY);
    }
  faint_test_table_free (table);
}

/* U(x,t) + i V(x,t) is the Voigt profile and its partner for gamma_L = 1, sigma^2 = 2t, times pi.
 */
static void
test_voigt_functions (void)
{
  FaintTestTable *table = faint_test_table_read ("voigt_functions.csv");

  for (guint i = 0; i < table->rows->len; i++)
    {
      double t = faint_test_table_number (table, i, "t");
      FaintVoigt line = { .doppler = half_width_of_sigma (sqrt (2.0 * t)), .lorentz = 1.0 };
      FaintComplex p = faint_voigt (line, faint_test_table_number (table, i, "x"));

      faint_assert_close (G_PI * p.re, faint_test_table_number (table, i, "u"), 2e-15,
                          "15 printed digits");
      faint_assert_near (G_PI * p.im, faint_test_table_number (table, i, "v"), 1e-15,
                         "15 printed digits");
    }
  faint_test_table_free (table);
  /* H(a, u) of DLMF 7.19.4 at a = 0.5, u = 1: gamma_D = sqrt(ln2) makes z = u + i a. */
  faint_assert_close (faint_voigt ((FaintVoigt){ 0.0, FAINT_SQRT_LN2, 0.5 }, 1.0).re
                          * FAINT_SQRT_PI,
                      0.354900332867578, 2e-15, "15 printed digits");
}

/* Exact widths and peaks, and the published formula within its error: 0.024 % over all ratios. */
static void
test_widths (void)
{
  FaintTestTable *table = faint_test_table_read ("voigt_widths.csv");

  for (guint i = 0; i < table->rows->len; i++)
    {
      double lorentz = faint_test_table_number (table, i, "lorentz");
      double exact = faint_test_table_number (table, i, "exact");
      double width = 2.0 * faint_voigt_hwhm (0.5, 0.5 * lorentz);
      double formula = 0.5346 * lorentz + sqrt (0.2166 * lorentz * lorentz + 1.0);

      faint_assert_close (width, exact, 3e-15, "16 printed digits");
      faint_assert_close (faint_voigt_peak (0.5, 0.5 * lorentz),
                          faint_test_table_number (table, i, "peak"), 6e-15,
                          "half of the 15th printed digit");
      faint_assert_close (formula, faint_test_table_number (table, i, "formula"), 1e-11,
                          "12 printed digits");
      faint_assert_close (formula, width, 2.4e-4, "Olivero and Longbothum (1977), rounded up");
    }
  faint_test_table_free (table);
}

/* Over twenty orders of the ratio: half the peak stands at the width, and the width scales. */
static void
test_width_is_half (void)
{
  for (double lorentz = 1e-10; lorentz < 1e10; lorentz *= 3.0)
    {
      double width = faint_voigt_hwhm (0.006, 0.006 * lorentz);
      FaintVoigt line = { 0.0, 0.006, 0.006 * lorentz };

      faint_assert_close (faint_voigt (line, width).re,
                          0.5 * faint_voigt_peak (line.doppler, line.lorentz), 1e-10,
                          "voigt.h: exact to 1e-10; the slope there is about 1");
      faint_assert_close (faint_voigt_hwhm (6e-9, 6e-9 * lorentz), 1e-6 * width, 2e-10,
                          "voigt.h: exact to 1e-10");
    }
  g_assert_true (faint_voigt_hwhm (0.3, 0.0) == 0.3);
  g_assert_true (faint_voigt_hwhm (0.0, 0.3) == 0.3);
  faint_assert_close (faint_voigt_hwhm (1e-300, 1.0), 1.0, 1e-15, "the Lorentzian alone");
  g_assert_true (isnan (faint_voigt_hwhm (NAN, 0.3)));
}

/* gamma_L = 0: the Gaussian of half width gamma_D, and Dawson's function (DLMF 7.5.1). */
static void
test_gauss_limit (void)
{
  FaintVoigt line = { 6500.0, 0.0075, 0.0 };

  for (double offset = -0.03; offset <= 0.03; offset += 0.0011)
    {
      double nu = 6500.0 + offset;
      double x = FAINT_SQRT_LN2 / 0.0075 * (nu - 6500.0);
      double height = FAINT_SQRT_LN2 / (FAINT_SQRT_PI * 0.0075);
      FaintComplex p = faint_voigt (line, nu);

      faint_assert_close (p.re, height * exp (-x * x), TOLERANCE, WHY);
      faint_assert_close (p.im, height * 2.0 / FAINT_SQRT_PI * gsl_sf_dawson (x), TOLERANCE, WHY);
    }
  /* and gamma_L -> 0 goes there: the change is about 2/sqrt(pi) y */
  faint_assert_close (faint_voigt_peak (0.0075, 1e-16), FAINT_SQRT_LN2 / (FAINT_SQRT_PI * 0.0075),
                      1e-13, "y = 1e-14");
}

/* gamma_D -> 0: i/(pi (nu - nu0 + i gamma_L)); what is left is v/2, v = gamma_D^2/(ln2 |Z|^2). */
static void
test_lorentz_limit (void)
{
  static const double dopplers[] = { 0.0, 1e-300, 1e-160, 1e-20, 1e-12, 1e-9 };

  for (guint i = 0; i < G_N_ELEMENTS (dopplers); i++)
    for (double offset = -3.0; offset <= 3.0; offset += 0.13)
      {
        FaintVoigt line = { 0.0, dopplers[i], 0.02 };
        double r2 = offset * offset + 0.02 * 0.02;
        FaintComplex p = faint_voigt (line, offset);

        faint_assert_close (p.re, 0.02 / (G_PI * r2), 1e-14, "v < 4e-15, a few roundings");
        faint_assert_close (p.im, offset / (G_PI * r2), 1e-14, "v < 4e-15, a few roundings");
      }
  /* Far outside a Gaussian of no width worth mentioning. */
  faint_assert_close (faint_voigt ((FaintVoigt){ 0.0, 1e-200, 0.0 }, 2.0).im, 0.5 / G_PI, 1e-14,
                      "1/(pi (nu - nu0))");
  faint_assert_close (faint_voigt ((FaintVoigt){ 0.0, 1e-30, 1e-30 }, 1e3).re, 1e-30 / (G_PI * 1e6),
                      1e-14, "the far wing gamma_L/(pi x^2)");
}

/* The two forms used for wide lines and others meet: v^3 15/8 is 2e-24 there. */
static void
test_forms_meet (void)
{
  for (double offset = 0.0; offset < 1e6; offset = 2.0 * offset + 17.0)
    {
      FaintComplex below = faint_voigt ((FaintVoigt){ 0.0, 1.0, 1e4 * (1.0 - 1e-15) }, offset);
      FaintComplex above = faint_voigt ((FaintVoigt){ 0.0, 1.0, 1e4 * (1.0 + 1e-15) }, offset);

      faint_assert_close (above.re, below.re, TOLERANCE, WHY);
      faint_assert_close (above.im, below.im, TOLERANCE, WHY);
    }
}

typedef struct
{
  FaintVoigt line;
  double nu;
} Integrand;

static double
profile (double nu, void *data)
{
  return faint_voigt (((Integrand *)data)->line, nu).re;
}

/* Gaussian at @t times Lorentzian at nu - t, from their definitions. */
static double
product (double t, void *data)
{
  Integrand *it = data;
  double sigma = it->line.doppler / sqrt (2.0 * FAINT_LN2);
  double d = it->nu - t;

  return exp (-0.5 * t * t / (sigma * sigma)) / (sigma * sqrt (2.0 * G_PI)) * it->line.lorentz
         / (G_PI * (d * d + it->line.lorentz * it->line.lorentz));
}

static double
integral (double (*function) (double, void *), Integrand *it)
{
  gsl_function f = { function, it };
  gsl_integration_workspace *space = gsl_integration_workspace_alloc (1000);
  double result, error;
  int status = gsl_integration_qagi (&f, 1e-13, 1e-11, 1000, space, &result, &error);

  g_assert_cmpint (status, ==, GSL_SUCCESS);
  gsl_integration_workspace_free (space);
  return result;
}

/* Unit area, and the profile is the convolution that defines it. */
static void
test_integrals (void)
{
  static const double lorentz[] = { 0.05, 0.3, 1.0, 4.0 };

  for (guint i = 0; i < G_N_ELEMENTS (lorentz); i++)
    {
      Integrand it = { { 0.0, 1.0, lorentz[i] }, 0.0 };

      faint_assert_close (integral (profile, &it), 1.0, 1e-10, "the quadrature stops at 1e-11");
      for (it.nu = 0.0; it.nu < 8.0; it.nu += 1.7)
        faint_assert_close (integral (product, &it), faint_voigt (it.line, it.nu).re, 1e-9,
                            "the quadrature stops at 1e-11 or 1e-13 absolute, p is above 4e-4");
    }
}

static void
test_fill (void)
{
  FaintVoigt lines[] = { { 6500.2, 0.006, 0.002 }, { 6500.0, 0.0, 0.01 }, { 6500.1, 0.005, 0.0 } };
  double nu[9], re[10], im[10];

  for (int i = 0; i < 9; i++)
    nu[i] = 6500.0 + 0.031 * ((i * 5) % 9);
  for (guint j = 0; j < G_N_ELEMENTS (lines); j++)
    for (gsize n = 0; n <= 9; n++)
      {
        re[n] = im[n] = 17.0;
        faint_voigt_fill (lines[j], nu, n, re, im);
        g_assert_true (re[n] == 17.0 && im[n] == 17.0);
        for (gsize i = 0; i < n; i++)
          {
            FaintComplex p = faint_voigt (lines[j], nu[i]);
            faint_assert_close (re[i], p.re, TOLERANCE, WHY);
            faint_assert_close (im[i], p.im, TOLERANCE, WHY);
          }
      }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  g_test_add_func ("/shape/voigt/values", test_values);
  g_test_add_func ("/shape/voigt/functions", test_voigt_functions);
  g_test_add_func ("/shape/voigt/widths", test_widths);
  g_test_add_func ("/shape/voigt/width-is-half", test_width_is_half);
  g_test_add_func ("/shape/voigt/gauss-limit", test_gauss_limit);
  g_test_add_func ("/shape/voigt/lorentz-limit", test_lorentz_limit);
  g_test_add_func ("/shape/voigt/forms-meet", test_forms_meet);
  g_test_add_func ("/shape/voigt/integrals", test_integrals);
  g_test_add_func ("/shape/voigt/fill", test_fill);
  return g_test_run ();
}
