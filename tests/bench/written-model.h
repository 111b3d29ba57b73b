/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The model of a FitProblem written out as one would for a general-purpose solver: whitened
 * residuals (model - observed)/u and their Jacobian, from the formulas of the cavity
 * (Foltynowicz et al., Appl. Phys. B 110, 163 (2013)) with w(z) of libcerf or of this library.
 *
 * Parameters: three Legendre coefficients; then for each line its position in Doppler widths from
 * its start, and strength, Lorentz and Doppler width over their starts.
 */
#pragma once

#include "fit-problem.h"

G_BEGIN_DECLS

typedef struct _WrittenModel WrittenModel;

/* The values of w and w' at z = @x + i @y. */
typedef void (*WrittenFaddeeva) (const double *x, gsize n, double y, double *re, double *im,
                                 double *d_re, double *d_im);

/* @keep: profiles are kept between residuals and Jacobian at the same place; otherwise each
 * computes them anew, as a solver's two callbacks do when nothing is done about it. */
WrittenModel *
written_model_new (const FitProblem *problem, WrittenFaddeeva faddeeva, gboolean keep);
void written_model_free (WrittenModel *self);

void written_model_start (const WrittenModel *self, double *theta);

/* Residuals at @theta. */
void written_model_residuals (WrittenModel *self, const double *theta, double *residual);

/* The Jacobian at @theta, element (tooth, parameter) at tooth * @by_tooth + parameter *
 * @by_parameter. */
void written_model_jacobian (WrittenModel *self, const double *theta, double *jacobian,
                             gsize by_tooth, gsize by_parameter);

/* |J (theta - optimum)| with J at @optimum: the distance in standard uncertainties. */
double written_model_distance (WrittenModel *self, const double *theta, const double *optimum);

G_END_DECLS
