/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Combined standard uncertainties after JCGM 100:2008 (GUM): for every line and every input with
 * u > 0 the sensitivity of all fitted parameters at the solution,
 *   d theta/d q = -(J^T W J)^-1 J^T W (d model/d q) + explicit dependence,
 * times u(q). Contributions keep their sign; those of one input are fully correlated between lines.
 */
#pragma once

#include "faint/fit/joint.h"
#include "faint/strength/partition.h"

/* A new fit result whose lines carry position_from, strength_from, lorentz_from, combined u and,
 * where lower-state energy and Q(T) are known, strength at 296 K. @partition may be NULL.
 * Shares all else with @fit. */
FaintFit *faint_budget_apply (FaintFit *fit, const FaintPartition *partition, GError **error);

/* @lines, whose strengths and contributions are those of a fit under @setup, with the strengths at
 * 296 K anew: for lines that got another lower-state energy since. NAN where energy or Q(T) is not
 * known. */
FaintLineList *faint_budget_convert_list (const FaintSetup *setup, const FaintPartition *partition,
                                          FaintLineList *lines, GError **error);

/* @lines of a list that only states the @temperature of its strengths: strengths at 296 K where they
 * are missing and lower-state energy and Q(T) are known. What the temperature contributed to the
 * strengths themselves is not known then, and u(T) counts for the conversion alone. */
FaintLineList *faint_budget_complete_list (FaintQuantity temperature,
                                           const FaintPartition *partition, FaintLineList *lines,
                                           GError **error);

/* As faint_budget_apply(), for several spectra: each of their inputs acts on its own record alone, through the
 * joint equations; those of one kind are taken as common to all spectra (one gauge, one
 * thermometer, one cavity) and add with their signs. Coefficients, lower-state energies and
 * strengths at 296 K get their combined uncertainty too. */
FaintJointFit *
faint_joint_budget_apply (FaintJointFit *fit, const FaintPartition *partition, GError **error);

/* Coverage factor for a level (0.9545 gives 2.00) with @dof degrees of freedom; INFINITY for many
 * (GUM annex G; Student's t by GSL). */
double faint_coverage_factor (double level, double dof);
