/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The Hartmann-Tran profile by its definition, apart from the library: the averages over
 * molecular speeds A = <1/d> and B = <t^2/d> (Ngo, Lisak, Tran, Hartmann, JQSRT 129, 89 (2013)),
 * integrated in long double by the tanh-sinh rule on panels that end at the resonant speeds.
 */
#pragma once

#include "faint/shape/hartmann-tran.h"

#include <complex.h>

/* Needs a positive width at every speed. Good to 1e-15. */
long double complex hartmann_integral (FaintHartmannTran line, double wavenumber);
