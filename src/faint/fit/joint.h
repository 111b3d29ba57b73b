/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Several spectra at once: records of one gas at other pressures, compositions or temperatures, or
 * in another cavity, fitted jointly to one line list. Each spectrum keeps its own cavity, detuning,
 * fringes and baselines; the lines are the same in all:
 *
 *   position_j = position_zero + shift_self p_self,j + shift_foreign p_foreign,j
 *   lorentz_j  = (296 K/T_j)^n (broadening_self p_self,j + broadening_foreign p_foreign,j)
 *   strength_j = strength_296 Q(296 K)/Q(T_j) x Boltzmann and emission factors with lower_energy
 *   doppler_j  from T_j and the mass
 *
 * p_self = mole fraction times pressure, p_foreign the rest. What the conditions cannot tell apart
 * is not asked: with one composition the coefficients are those of the mixture and count the total
 * pressure; with one pressure there is no shift; with one temperature neither n nor lower-state
 * energy, and the coefficients hold at that temperature.
 */
#pragma once

#include "faint/fit/fit.h"

typedef struct
{
  gsize n;              /* spectra */
  FaintFit **parts;     /* of each spectrum in the order given: its model, residuals, baselines,
                           windows,     instrument, and its lines as they are under its conditions, with
                           the     uncertainties that all spectra together leave them */
  FaintLineList *lines; /* the one line list: values under the conditions of the first spectrum,
                           and in each line the coefficients, lower-state energy and strength at
                           296 K that the conditions allow to determine */
  FaintLineList *start; /* NULL when lines were found */
  FaintFitOptions options;
  FaintVerdict verdict;
  guint iterations;
  double distance; /* to the optimum, standard uncertainties */
  double chi2, dof, chi2_reduced;
  gboolean determined[FAINT_COEFFICIENT_N]; /* asked of the conditions */
  gboolean energies;                        /* lower-state energies were fitted */
  GPtrArray *warnings;
  gpointer work; /* fit/joint-private.h: the normal equations of all */
  gatomicrefcount refs;
} FaintJointFit;

/* Finds (unless options->find_rounds is 0) in each spectrum and in what the joint fit leaves, and
 * fits all jointly. @n >= 2 spectra of the same molecule (molar mass and abundance must agree);
 * their ranges may differ. @start as in faint_fit_run(): where a line has no coefficients its
 * widths and strengths are taken to hold for the first spectrum. @partition_sums: Q at the
 * temperature of each spectrum and, last, at 296 K; NULL where not known: then spectra of
 * temperatures that differ by more than 1 % are refused in words. Deterministic, safe in any
 * thread, cancellable. */
FaintJointFit *faint_joint_fit_run (FaintSpectrum *const *spectra, gsize n, FaintLineList *start,
                                    const FaintFitOptions *options, const double *partition_sums,
                                    const FaintProgress *progress, GError **error);
/* A result that shares all with @fit but has other lines (taken). */
FaintJointFit *faint_joint_fit_with_lines (FaintJointFit *fit, FaintLineList *lines);
FaintJointFit *faint_joint_fit_ref (FaintJointFit *self);
void faint_joint_fit_unref (FaintJointFit *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintJointFit, faint_joint_fit_unref)
