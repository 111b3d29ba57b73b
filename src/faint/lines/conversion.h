/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The strength of a line at another temperature, and the lower-state energy that strengths at two
 * temperatures tell.
 */
#pragma once

#include <glib.h>

/* S(to)/S(from) of a line at @wavenumber with @lower_energy (cm-1); @q_ratio = Q(from)/Q(to)
 * (Rothman et al., JQSRT 60, 665 (1998), appendix A). */
double faint_strength_ratio (double wavenumber, double lower_energy, double from, double to,
                             double q_ratio);

/* Lower-state energy, cm-1, from strengths s1 at t1 and s2 at t2, @q_ratio = Q(t1)/Q(t2); its
 * standard uncertainty from u1, u2 and u(t1), u(t2), all independent, in *u (may be NULL). A wrong
 * temperature also spoils the Q that was taken there: Q is held to go as the power of T that
 * @q_ratio shows. Not finite where the temperatures are equal or a strength is not above 0. */
double faint_lower_energy_from_two (double wavenumber, double s1, double u1, double t1, double u_t1,
                                    double s2, double u2, double t2, double u_t2,
                                    double q_ratio, double *u);
