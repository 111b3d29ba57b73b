/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The joint problem of several spectra: one model for each, whose parameters follow those of the
 * lines (conditions.h) and its own baselines and instrument.
 *
 * All models are cut at the same wavenumbers. Parameters stand stretch by stretch: the baselines of
 * every spectrum there, then those of the lines in it; behind the band what each spectrum's
 * instrument has.
 */
#pragma once

#include "faint/fit/conditions.h"
#include "faint/fit/fit-private.h"
#include "faint/fit/joint.h"

typedef struct
{
  FaintLine line; /* who it is, and its states; its values are those below */
  double value[FAINT_JOINT_N];
  gboolean free[FAINT_JOINT_N];
  gssize place[FAINT_JOINT_N]; /* in theta; -1: not fitted */
  gsize root[FAINT_PLACE_N];   /* line whose parameter it follows; itself if none */
  double factor[FAINT_PLACE_N], offset[FAINT_PLACE_N];
  gboolean shared; /* followed from far away: what it has stands in the border */
  gboolean found;  /* by us, so we may take it out again */
  double found_at;
} FaintJointLine;

typedef struct
{
  gsize n;
  FaintSpectrum **spectra;
  FaintConditions *conditions;
  FaintFitOptions options;
  GArray *lines;       /* FaintJointLine, by rising position */
  FaintModel **models; /* of each spectrum */
  FaintTerms **terms;  /* of each parameter of each model */
  gsize **stretch;     /* of each window of each model: its stretch between common cuts */
  gsize n_stretches;
  gsize n_parameters, n_band, n_border, bandwidth;
  guint n_groups;
  guint *group;
  double *theta;
  double mean[FAINT_JOINT_N], spread[FAINT_JOINT_N]; /* known beforehand; NAN: nothing */
  FaintNormalFactor *factor;                         /* of the last solution */
  FaintNormal *inverse;
  double *gradient;
  guint iterations;
  FaintLeastSquaresVerdict verdict;
  double distance, noise_scale;
  double scale; /* of variances, where the spectra state no uncertainties */
  gatomicrefcount refs;
} FaintJoint;

static inline FaintJointLine *
faint_joint_line (const FaintJoint *self, gsize i)
{
  return &g_array_index (self->lines, FaintJointLine, i);
}

FaintJoint *faint_joint_new (FaintSpectrum *const *spectra, gsize n, FaintConditions *conditions,
                             const FaintFitOptions *options);
FaintJoint *faint_joint_ref (FaintJoint *self);
void faint_joint_unref (FaintJoint *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintJoint, faint_joint_unref)

/* joint-layout.c: cuts the spectra around the present lines, makes the models (baselines and
 * instrument go over from those that were) and gives every parameter its place. */
gboolean faint_joint_rebuild (FaintJoint *self, GError **error);
/* The lines' values into all models, and the terms' factors. */
void faint_joint_set_theta (FaintJoint *self, const double *theta);

/* joint-solve.c: the callback of FaintLeastSquares, and a whole solution. */
gboolean faint_joint_evaluate (const double *theta, double *chi2, double *gradient,
                               FaintNormal *normal, gpointer data);
gboolean faint_joint_solve (FaintJoint *self, double tolerance, guint max_iterations,
                            const FaintProgress *progress, GError **error);

/* A line's parameter in a spectrum, maybe by the line that it follows: value and slopes by the
 * joint parameters of line *@owner. */
FaintJointValue faint_joint_follow (const FaintJoint *self, gsize spectrum, gsize line,
                                    FaintPlace place, gsize *owner);

/* Value of a line's parameter in a spectrum, and its variance by the last solution, NAN where
 * nothing of it is fitted. */
double faint_joint_value (const FaintJoint *self, gsize spectrum, gsize line, FaintPlace place,
                          double *variance);
