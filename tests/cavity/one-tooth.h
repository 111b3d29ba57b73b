/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The response of a single tooth, for tests that walk over many cavities.
 */
#pragma once

#include "faint/cavity/response.h"
#include "faint-test.h"

#include <complex.h>
#include <math.h>

#define POWER FAINT_OBSERVABLE_POWER
#define AMPLITUDE FAINT_OBSERVABLE_AMPLITUDE
#define FIELD FAINT_OBSERVABLE_FIELD
#define LOCKED FAINT_COUPLING_LOCKED
#define SWEPT FAINT_COUPLING_SWEPT

/* The CMPLX of C11, which not every compiler's headers have. */
static inline long double complex
complex_of (long double re, long double im)
{
  return re + im * I;
}

typedef struct
{
  double complex value, slope; /* slope of a real value: slope_re + i slope_im */
  double complex by_loss, by_phase;
} OneTooth;

static inline FaintResponse
response_of (FaintObservable observable, FaintGeometry geometry, FaintCoupling coupling,
             double share)
{
  return (FaintResponse){ observable, geometry, coupling, share };
}

static inline OneTooth
one_tooth (const FaintResponse *response, double loss, double phase, double complex kappa)
{
  double re = creal (kappa), im = cimag (kappa), u_loss = 0.0, got[8] = { 0 };
  gboolean field = response->observable == FIELD;
  FaintCavityTeeth teeth = { 1, &loss, &u_loss, &phase };
  FaintResponseValues out
      = { got, field ? got + 1 : NULL, got + 2, got + 3, got + 4, got + 5, got + 6, got + 7 };

  faint_response_fill (response, &teeth, 0, 1, &re, &im, &out);
  return (OneTooth){ complex_of (got[0], got[1]), complex_of (got[2], got[3]),
                     complex_of (got[4], got[5]), complex_of (got[6], got[7]) };
}

/* 1 - R for a reflectivity printed as a decimal, without the rounding of R to a double. */
static inline double
loss_of_decimal (const char *reflectivity)
{
  return round ((1.0 - g_ascii_strtod (reflectivity, NULL)) * 1e9) / 1e9;
}
