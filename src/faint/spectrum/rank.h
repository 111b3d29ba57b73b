/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

/* The element of rank @k (from 0) of the @n > 0 numbers @x, which are reordered: smaller ones come
 * before it. O(n), the same result every time. */
double faint_rank_select (double *x, gsize n, gsize k);
