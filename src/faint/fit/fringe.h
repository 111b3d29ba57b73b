/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Etalon fringes to start from, out of the record itself.
 */
#pragma once

#include "faint/fit/model.h"

/* A fringe counts from this many standard uncertainties of its amplitude on. */
#define FAINT_FRINGE_SEEN 4.0

/* Sets the fringes of @model (as many as its layout has): period, cosine and sine of the strongest
 * one, then of the strongest in what is left. @period: where to look for each, cm-1, within a
 * factor 1.3; 0: anywhere between four teeth and the narrowest window, for what is slower the
 * baseline takes up. Lines are cut off at a few robust standard deviations; a fringe weaker than
 * what is left of their wings is found only when its period is given. The period that a
 * discrete Fourier transform shows is refined by linear least squares of cosine and sine
 * (Lomb, Astrophys. Space Sci. 39, 447 (1976)). */
void faint_fringes_start (FaintModel *model, const double *period);
