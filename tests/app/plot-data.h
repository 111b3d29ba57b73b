/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Invented data for tests of the plots: lines of 0.02 cm-1 half width between 7760 and 7830 cm-1
 * in power transmission, noise of 0.0005, and a "fit" that is the curve the noise was added to.
 */
#pragma once

#include "figure/figure-data.h"

#define PLOT_DATA_LOWER 7760.0
#define PLOT_DATA_UPPER 7830.0
#define PLOT_DATA_HALF_WIDTH 0.02 /* Lorentz, cm-1; no Doppler width */

/* @n_lines lie in the middle of as many equal parts of the span; ids from 1 upwards. */
double plot_data_position (guint n_lines, guint id);
FaintFigureData *plot_data_new (gsize n_samples, guint n_lines, gboolean with_fit);
