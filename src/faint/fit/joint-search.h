/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Lines of a joint fit: where they begin, and the rounds of finding, fitting and judging.
 */
#pragma once

#include "faint/fit/find.h"
#include "faint/fit/joint-private.h"

/* Puts together what the fits of the single spectra found: lines nearer than 0.7 half widths are
 * one; coefficients, energies and strengths by linear regression over the conditions. */
void faint_joint_begin_found (FaintJoint *self, FaintFit *const *fits);
/* The lines of a list, whose widths and strengths hold for the first spectrum unless it gives
 * coefficients, energies or strengths at 296 K. */
void faint_joint_begin_given (FaintJoint *self, const FaintLineList *start);
/* One more line, that the residuals of spectrum @s ask for. */
void faint_joint_begin_candidate (FaintJoint *self, gsize s, const FaintCandidate *candidate);

/* Median of a parameter over the lines; NAN without lines. */
double faint_joint_typical (const FaintJoint *self, FaintJointPlace p);

/* Fits the lines that are there, takes out found ones that do not stay, and looks for more in the
 * residuals unless the options say not to. */
gboolean faint_joint_search (FaintJoint *self, const FaintProgress *progress, GError **error);
