/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Teeth of a comb, their frequencies and wavenumbers.
 * f_n = n f_rep + f_0 (Cundiff & Ye, Rev. Mod. Phys. 75, 325 (2003)); nu = f/c, vacuum.
 */
#pragma once

#include <glib.h>

/* Optical frequency of tooth @n, Hz. */
double faint_comb_frequency (gint64 n, double repetition_rate, double offset_frequency);
/* Its standard uncertainty, Hz: sqrt(n^2 u_rep^2 + u_0^2). */
double faint_comb_frequency_u (gint64 n, double u_repetition_rate, double u_offset_frequency);
/* The nearest tooth to @frequency. */
gint64 faint_comb_tooth (double frequency, double repetition_rate, double offset_frequency);

double faint_comb_wavenumber_from_frequency (double frequency);      /* Hz to cm-1 */
double faint_comb_frequency_from_wavenumber (double wavenumber);     /* cm-1 to Hz */
double faint_comb_wavenumber_from_wavelength (double wavelength_nm); /* vacuum nm to cm-1 */
double faint_comb_wavelength_from_wavenumber (double wavenumber);    /* cm-1 to vacuum nm */

/* Two combs that beat: compression f_rep/|Df| and alias-free optical span f_rep^2/(2 |Df|), Hz
 * (Coddington, Newbury, Swann, Optica 3, 414 (2016)). */
double faint_comb_compression (double repetition_rate, double difference);
double faint_comb_alias_free_span (double repetition_rate, double difference);
