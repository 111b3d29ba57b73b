/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "peers.h"

#include <string.h>

#include <gsl/gsl_cblas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_multifit_nlinear.h>
#include <gsl/gsl_multilarge_nlinear.h>

#define MOST_STEPS 200

static int
multifit_residuals (const gsl_vector *theta, void *data, gsl_vector *out)
{
  written_model_residuals (data, theta->data, out->data);
  return GSL_SUCCESS;
}

static int
multifit_jacobian (const gsl_vector *theta, void *data, gsl_matrix *out)
{
  written_model_jacobian (data, theta->data, out->data, out->tda, 1);
  return GSL_SUCCESS;
}

guint
peer_gsl_multifit (WrittenModel *model, const FitProblem *problem, double tolerance, double *theta)
{
  gsl_multifit_nlinear_parameters parameters = gsl_multifit_nlinear_default_parameters ();
  gsl_multifit_nlinear_fdf fdf = { .f = multifit_residuals,
                                   .df = multifit_jacobian,
                                   .n = problem->n_teeth,
                                   .p = problem->n_parameters,
                                   .params = model };
  gsl_multifit_nlinear_workspace *work;
  gsl_vector_view start = gsl_vector_view_array (theta, fdf.p);
  guint steps;
  int info = 0;

  parameters.trs = gsl_multifit_nlinear_trs_lm;
  parameters.solver = gsl_multifit_nlinear_solver_cholesky;
  work = gsl_multifit_nlinear_alloc (gsl_multifit_nlinear_trust, &parameters, fdf.n, fdf.p);
  written_model_start (model, theta);
  gsl_multifit_nlinear_init (&start.vector, &fdf, work);
  gsl_multifit_nlinear_driver (MOST_STEPS, tolerance, tolerance, 0.0, NULL, NULL, &info, work);
  steps = (guint)gsl_multifit_nlinear_niter (work);
  memcpy (theta, work->x->data, fdf.p * sizeof (double));
  gsl_multifit_nlinear_free (work);
  return info == 0 ? 0 : steps;
}

typedef struct
{
  WrittenModel *model;
  gsize n, p;
  double *theta, *jacobian; /* p rows of teeth, at theta */
  double *products;
} Large;

static int
large_residuals (const gsl_vector *theta, void *data, gsl_vector *out)
{
  written_model_residuals (((Large *)data)->model, theta->data, out->data);
  return GSL_SUCCESS;
}

/* Asked for J^T J, J^T u and J u apart: the Jacobian and its products are kept. */
static int
large_products (CBLAS_TRANSPOSE_t transpose, const gsl_vector *theta, const gsl_vector *u,
                void *data, gsl_vector *out, gsl_matrix *products)
{
  Large *self = data;
  int n = (int)self->n, p = (int)self->p;

  if (memcmp (self->theta, theta->data, self->p * sizeof (double)) != 0)
    {
      memcpy (self->theta, theta->data, self->p * sizeof (double));
      written_model_jacobian (self->model, theta->data, self->jacobian, 1, self->n);
      cblas_dsyrk (CblasRowMajor, CblasLower, CblasNoTrans, p, n, 1.0, self->jacobian, n, 0.0,
                   self->products, p);
    }
  if (out != NULL)
    cblas_dgemv (CblasRowMajor, transpose == CblasTrans ? CblasNoTrans : CblasTrans, p, n, 1.0,
                 self->jacobian, n, u->data, (int)u->stride, 0.0, out->data, (int)out->stride);
  if (products != NULL)
    for (gsize a = 0; a < self->p; a++)
      memcpy (products->data + a * products->tda, self->products + a * self->p,
              (a + 1) * sizeof (double));
  return GSL_SUCCESS;
}

guint
peer_gsl_multilarge (WrittenModel *model, const FitProblem *problem, double tolerance,
                     double *theta)
{
  gsl_multilarge_nlinear_parameters parameters = gsl_multilarge_nlinear_default_parameters ();
  gsize n = problem->n_teeth, p = problem->n_parameters;
  Large large = { model, n, p, g_new0 (double, p), g_new (double, n *p), g_new (double, p *p) };
  gsl_multilarge_nlinear_fdf fdf
      = { .f = large_residuals, .df = large_products, .n = n, .p = p, .params = &large };
  gsl_multilarge_nlinear_workspace *work;
  gsl_vector_view start = gsl_vector_view_array (theta, p);
  guint steps;
  int info = 0;

  parameters.trs = gsl_multilarge_nlinear_trs_lm;
  parameters.solver = gsl_multilarge_nlinear_solver_cholesky;
  work = gsl_multilarge_nlinear_alloc (gsl_multilarge_nlinear_trust, &parameters, n, p);
  written_model_start (model, theta);
  gsl_multilarge_nlinear_init (&start.vector, &fdf, work);
  gsl_multilarge_nlinear_driver (MOST_STEPS, tolerance, tolerance, 0.0, NULL, NULL, &info, work);
  steps = (guint)gsl_multilarge_nlinear_niter (work);
  memcpy (theta, work->x->data, p * sizeof (double));
  gsl_multilarge_nlinear_free (work);
  g_free (large.theta);
  g_free (large.jacobian);
  g_free (large.products);
  return info == 0 ? 0 : steps;
}
