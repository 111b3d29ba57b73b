/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A series of spectra of one invented band under several conditions, by the formulas as they stand
 * in the literature (Rothman et al., JQSRT 60, 665 (1998), appendix A).
 */
#pragma once

#include "synthetic.h"

#include <math.h>

#define MOST_LINES 40
#define SERIES_TEETH 2600
#define C2 1.438776877 /* cm K, CODATA 2018 */

/* Invented lines of an invented band. */
typedef struct
{
  double position, strength_296, energy, self, foreign, shift_self, shift_foreign, exponent;
} Truth;

/* Conditions of one spectrum. */
typedef struct
{
  const char *pressure, *temperature, *mole_fraction, *finesse;
} Conditions;

/* Q(T) of a linear molecule without vibration: about T. */
static inline double
partition_sum (double t)
{
  return 1.66 * t;
}

static inline void
make_truth (Truth *truth, int n)
{
  for (int i = 0; i < n; i++)
    truth[i] = (Truth){
      .position = synthetic_wavenumber (60.0 + i * (SERIES_TEETH - 120.0) / n + (i % 3) * 2.7),
      .strength_296 = 1e-26 * (1.0 + 4.0 * (i % 5)),
      .energy = 40.0 + 90.0 * i,
      .self = 0.12 - 0.0012 * i,
      .foreign = 0.085 - 0.001 * i,
      .shift_self = -0.004 - 0.0002 * (i % 7),
      .shift_foreign = -0.002 - 0.0001 * (i % 5),
      .exponent = 0.65 + 0.01 * (i % 10),
    };
}

static inline double
number (const FaintQuantity quantity)
{
  return quantity.value;
}

/* Lines as they are under @setup. */
static inline void
lines_under (const FaintSetup *setup, const Truth *truth, int n, FaintLine *lines)
{
  double t = number (setup->temperature), x = number (setup->mole_fraction);
  double atm = number (setup->pressure) / 101325.0;

  for (int i = 0; i < n; i++)
    {
      const Truth *at = &truth[i];
      double emission
          = (1.0 - exp (-C2 * at->position / t)) / (1.0 - exp (-C2 * at->position / 296.0));

      lines[i] = faint_line_unknown ();
      lines[i].position.value
          = at->position + atm * (x * at->shift_self + (1.0 - x) * at->shift_foreign);
      lines[i].lorentz.value
          = pow (296.0 / t, at->exponent) * atm * (x * at->self + (1.0 - x) * at->foreign);
      lines[i].strength.value = at->strength_296 * partition_sum (296.0) / partition_sum (t)
                                * exp (C2 * at->energy * (1.0 / 296.0 - 1.0 / t)) * emission;
      lines[i].doppler.value = synthetic_doppler (setup, lines[i].position.value);
      lines[i].doppler.state = FAINT_STATE_DERIVED;
    }
}

static inline FaintSpectrum *
spectrum_under (const Conditions *conditions, const Truth *truth, int n, guint32 seed, double noise)
{
  const char *pairs[] = { "pressure",
                          conditions->pressure,
                          "temperature",
                          conditions->temperature,
                          "mole_fraction",
                          conditions->mole_fraction,
                          "finesse",
                          conditions->finesse,
                          NULL };
  g_autoptr (FaintSetup) setup = synthetic_setup (pairs);
  FaintLine lines[MOST_LINES];

  lines_under (setup, truth, n, lines);
  return synthetic_record (setup, lines, (gsize)n,
                           &(SyntheticRecord){ .n = SERIES_TEETH,
                                               .u = noise > 0.0 ? noise : 1e-5,
                                               .noise = noise,
                                               .seed = seed,
                                               .baseline = { 0.9, 0.02, -0.01 } });
}
