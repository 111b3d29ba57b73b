/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The complex Voigt profile p = sqrt(ln2/pi)/gamma_D w(z), z = sqrt(ln2)/gamma_D ((nu-nu0) + i
 * gamma_L). Re p is the absorption profile (unit area, cm), Im p its dispersion partner.
 * Wavenumbers and widths in cm-1; every width is a half width at half maximum.
 * gamma_D = 0 gives the Lorentzian i/(pi ((nu-nu0) + i gamma_L)), gamma_L = 0 the Gaussian with
 * its Dawson partner; both limits are reached smoothly.
 */
#pragma once

#include "faint/shape/faddeeva.h"

typedef struct
{
  double position; /* nu0 */
  double doppler;  /* gamma_D >= 0 */
  double lorentz;  /* gamma_L >= 0; not zero together with gamma_D */
} FaintVoigt;

FaintComplex faint_voigt (FaintVoigt line, double wavenumber);

/* Profile at @n wavenumbers (any order): @re, @im of length n. */
void faint_voigt_fill (FaintVoigt line, const double *wavenumber, gsize n, double *re, double *im);

/* Derivatives of p at each point, all complex, arrays of length n. */
typedef struct
{
  double *re, *im;                   /* p */
  double *position_re, *position_im; /* dp/dnu0 */
  double *lorentz_re, *lorentz_im;   /* dp/dgamma_L = i dp/dnu = -i dp/dnu0; both NULL when not
                                        wanted, which needs doppler NULL too */
  double *doppler_re, *doppler_im;   /* dp/dgamma_D; both NULL when not wanted */
} FaintVoigtGradient;
/* Needs doppler > 0. Derivatives follow from w' = -2 z w + 2i/sqrt(pi). */
void faint_voigt_gradient (FaintVoigt line, const double *wavenumber, gsize n,
                           const FaintVoigtGradient *out);

/* Half width at half maximum of the Voigt profile itself, exact to 1e-10 (solved, not the
 * usual approximation). */
double faint_voigt_hwhm (double doppler, double lorentz);

/* Peak value Re p(nu0), cm. */
double faint_voigt_peak (double doppler, double lorentz);
