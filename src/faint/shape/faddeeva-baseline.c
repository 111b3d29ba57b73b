/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The kernel in the instruction set that the whole program is built for.
 */
#include "faint/shape/faddeeva-grid-private.h"

const FaintFaddeevaKernel faint_faddeeva_baseline = KERNEL_TABLE;
