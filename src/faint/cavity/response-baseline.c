/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The inner loop in the instruction set that the whole program is built for.
 */
#include "faint/cavity/response-kernel-private.h"

const FaintResponseWeak faint_response_weak_baseline = weak_real;
