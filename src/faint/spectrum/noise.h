/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Noise from the data alone: the scatter of neighbouring samples.
 */
#pragma once

#include <glib.h>

/* Standard deviation of the noise around each of the @n samples of @value (equidistant or not), by
 * the robust spread (median absolute deviation) of third differences in a sliding window of
 * about @window samples, so that baselines and lines that are wide against the spacing leave
 * little in it and line cores are outvoted. @sigma (length n) is smooth and above 0 wherever the
 * data scatter at all. The factor 1/sqrt(20) of a third difference and 1.4826 of the MAD are those
 * of white normal noise. Common practice, no source. */
void faint_noise_estimate (const double *value, gsize n, gsize window, double *sigma);
