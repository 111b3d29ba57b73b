/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the data say of a parameter of the instrument that a fit held as stated: Rao's score test
 * (Proc. Camb. Phil. Soc. 44, 50 (1948)), also known as that of Lagrange's multiplier. It computes
 * the step that a Gauss-Newton iteration from the optimum would take if the parameter were free
 * together with all that were fitted, and changes nothing.
 */
#pragma once

#include "faint/fit/fit.h"

/* A parameter as the data have it, and its standard uncertainty from noise; where the fit would
 * stay poor, times the square root of the reduced chi-square it would have. NAN: it was not held,
 * or the data say nothing of it. */
typedef struct
{
  double value, u;
  double chi2_reduced; /* of the spectrum, with that value */
  gboolean settled;    /* the value is that of the optimum, not of one step towards it */
} FaintScore;
#define FAINT_SCORE_NONE ((FaintScore){ NAN, NAN, NAN, FALSE })

/* Of the teeth's detuning (Hz, at the centre of the spectrum), freed by itself, and of its slope
 * (Hz/Hz), freed by itself: of each of the @n @parts of a joint fit, all spectra freed at once; or
 * of one fit, @n = 1. Results of this run of the program. FALSE if nothing could have been free
 * that was held. */
gboolean
faint_score_detuning (FaintFit *const *parts, gsize n, FaintScore *detuning, FaintScore *slope);

/* One step is not the whole way where the model bends on it: the same after a few more, those that
 * the fit would take with the parameter free. Of one spectrum, not of part of a joint fit. */
FaintScore faint_score_refine_detuning (const FaintFit *fit, gboolean slope);

/* Adds "detuning-not-as-stated" to @warnings, one for each spectrum whose data contradict what was
 * stated, by more than 3 standard uncertainties of both together, or tell a value of their own (5
 * standard uncertainties from the stated one) three times better than it was stated; where no
 * uncertainty is stated, if they tell a value of their own. Found by one step, the value of a
 * single spectrum is made good by a few more. The slope is judged only where the detuning is not at
 * fault: free that first. */
void faint_score_warn (FaintFit *const *parts, gsize n, GPtrArray *warnings);
