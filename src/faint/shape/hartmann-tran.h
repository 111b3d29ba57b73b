/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The Hartmann-Tran profile, the partially correlated quadratic speed-dependent hard-collision
 * profile that IUPAC recommends (Tennyson et al., Pure Appl. Chem. 86, 1931 (2014); closed form:
 * Tran, Ngo, Hartmann, JQSRT 129, 199 (2013)), complex: real part absorption (unit area), imaginary
 * part dispersion with the sign of Im w (positive above the centre).
 *
 * Its limits: gamma_2 = shift_2 = velocity_changing = correlation = 0 is the Voigt profile;
 * with gamma_2 and shift_2 alone the quadratic speed-dependent Voigt profile; with
 * velocity_changing alone the hard-collision (Rautian) profile.
 * Wavenumbers and widths in cm-1, half widths at half maximum.
 */
#pragma once

#include "faint/shape/faddeeva.h"

typedef struct
{
  double position;          /* nu0 */
  double doppler;           /* Gamma_D > 0 */
  double lorentz;           /* Gamma_0, speed-averaged half width >= 0 */
  double lorentz_2;         /* Gamma_2, quadratic speed dependence of the width */
  double shift;             /* Delta_0, speed-averaged shift */
  double shift_2;           /* Delta_2, quadratic speed dependence of the shift */
  double velocity_changing; /* nu_VC >= 0, frequency of velocity-changing collisions */
  double correlation;       /* eta, 0 to 1 */
} FaintHartmannTran;

FaintComplex faint_hartmann_tran (FaintHartmannTran line, double wavenumber);

/* Profile at @n wavenumbers; @re, @im of length n. Relative error at most 1e-12 of |p| against the
 * defining integral, for every ratio of the parameters, the small ones too, up to a
 * velocity_changing of a thousand Doppler widths. At velocity_changing = 0 and
 * correlation = 0 the width at every speed, Gamma_0 + Gamma_2 (t^2 - 3/2), is to be >= 0, which
 * 0 <= Gamma_2 <= 2/3 Gamma_0 ensures; a small negative Gamma_2, as a fit may try, is continued
 * smoothly as long as no speed that occurs has a negative width. */
void faint_hartmann_tran_fill (FaintHartmannTran line, const double *wavenumber, gsize n,
                               double *re, double *im);

/* Which derivatives are wanted, in the order in which faint_hartmann_tran_gradient() gives them. */
typedef enum
{
  FAINT_HARTMANN_TRAN_POSITION,
  FAINT_HARTMANN_TRAN_DOPPLER,
  FAINT_HARTMANN_TRAN_LORENTZ,
  FAINT_HARTMANN_TRAN_LORENTZ_2,
  FAINT_HARTMANN_TRAN_SHIFT, /* equals that of the position where correlation = 0 */
  FAINT_HARTMANN_TRAN_SHIFT_2,
  FAINT_HARTMANN_TRAN_VELOCITY_CHANGING,
  FAINT_HARTMANN_TRAN_CORRELATION,
  FAINT_HARTMANN_TRAN_N
} FaintHartmannTranParameter;

/* Profile and analytic derivatives: @d_re[k], @d_im[k] of length n for each parameter k, or NULL
 * where not wanted. The derivatives go smoothly over to those of the Voigt profile. Error at most
 * 1e-10 of |p| over the larger of doppler and lorentz; of |p| over doppler for that by doppler, of
 * |p| for that by correlation. */
void
faint_hartmann_tran_gradient (FaintHartmannTran line, const double *wavenumber, gsize n, double *re,
                              double *im, double *const d_re[FAINT_HARTMANN_TRAN_N],
                              double *const d_im[FAINT_HARTMANN_TRAN_N]);
