/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The Hartmann-Tran kernel in the instruction set that the whole program is built for.
 */
#include <glib.h>
#include <math.h>
#include <string.h>

#include "faint/shape/hartmann-tran-kernel-private.h"

const FaintHartmannTranKernel faint_hartmann_tran_baseline = HARTMANN_TABLE;
