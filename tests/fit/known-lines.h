/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A spectrum of eight known lines, and the comparison of a fit of it with what was put in.
 */
#pragma once

#include "faint/fit/fit.h"
#include "synthetic.h"
#include "faint-test.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_errno.h>

#define N_LINES 8
#define N_TEETH 2200

/* Peaks from 0.1 % to 95 %, widths of 0.15 to 1 Doppler width; one pair two half widths apart. */
static const struct
{
  double tooth, peak, lorentz;
} placed[N_LINES] = {
  { 90.3, 0.001, 0.002 },  { 400.1, 0.95, 0.003 },    { 700.6, 0.01, 0.0011 },
  { 960.0, 0.3, 0.0015 },  { 967.7, 0.08, 0.0015 },   { 1270.0, 0.7, 0.006 },
  { 1605.2, 0.1, 0.0012 }, { 1950.8, 0.003, 0.0025 },
};

static inline void
make_lines (const FaintSetup *setup, FaintLine *lines)
{
  for (int i = 0; i < N_LINES; i++)
    lines[i] = synthetic_line (setup, synthetic_wavenumber (placed[i].tooth), placed[i].peak,
                               placed[i].lorentz);
}

static const SyntheticRecord quiet = {
  .n = N_TEETH,
  .u = 1e-6,
  .baseline = { 0.9, 0.02, -0.01 },
  .baseline_im = { 0.2, -0.03, 0.01 },
};

static inline FaintFitOptions
options_without_finding (void)
{
  FaintFitOptions options;

  faint_fit_options_init (&options);
  options.find_rounds = 0;
  options.width_shared = FALSE;
  return options;
}

static inline FaintFit *
run (FaintSpectrum *spectrum, const FaintLine *start, gsize n, const FaintFitOptions *options)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintLineList) list = start != NULL ? faint_line_list_new (start, n) : NULL;
  FaintFit *fit = faint_fit_run (spectrum, list, options, NULL, &error);

  if (fit == NULL)
    g_error ("%s", error->message);
  return fit;
}
static const char *const at_optimum
    = "the fit ends within 1e-3 standard uncertainty of the optimum, which is the truth";

/* Within what the fit promises whatever the noise. */
static inline void
compare_within_u (const FaintParameter *got, const FaintParameter *want)
{
  faint_assert_near (got->value, want->value, 1e-3 * got->u_noise, at_optimum);
}

static inline void
compare_line (const FaintLine *got, const FaintLine *want)
{
  compare_within_u (&got->position, &want->position);
  compare_within_u (&got->strength, &want->strength);
  compare_within_u (&got->lorentz, &want->lorentz);
  faint_assert_close (got->doppler.value, want->doppler.value, 1e-9,
                      "from temperature and mass, with constants of the SI");
  g_assert_cmpfloat (got->strength.u, >, 0.0);
  g_assert_cmpfloat (got->position.u, >, 0.0);
}
