/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/window-rows-private.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_cblas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>

#include "faint/fit/far.h"

/* Takes out of @rows what the window's own baseline can take up. Over a window a far wing is nearly
 * a polynomial, and the normal matrix knows nothing of wing and baseline together: left in, both
 * would answer for the same residual, and beside strong lines the steps would hardly converge. At
 * the optimum, where the baseline has nothing left to take, this changes nothing. The Jacobian rows
 * begin with the baseline's. */
static void
project_baseline_out (FaintModel *self, FaintModelWorkspace *w, const FaintLayoutWindow *window,
                      const FaintWindowSums *sums, double *const *rows)
{
  gsize terms = faint_layout_coefficients (self->layout, window);
  gsize n = self->layout->channels * window->n;
  gsl_matrix *products = gsl_matrix_alloc (terms, terms);
  g_autofree double *amount = g_memdup2 (sums->projection, terms * sizeof (double));
  gsl_vector_view solved = gsl_vector_view_array (amount, terms);

  w->kernel->rows_products (w->jacobian, terms, n, products->data);
  if (gsl_linalg_cholesky_decomp1 (products) == GSL_SUCCESS
      && gsl_linalg_cholesky_svx (products, &solved.vector) == GSL_SUCCESS)
    for (gsize a = 0; a < terms; a++)
      for (guint c = 0; c < self->layout->channels; c++)
        cblas_daxpy ((int)window->n, -amount[a], w->jacobian + a * n + c * window->n, 1, rows[c],
                     1);
  gsl_matrix_free (products);
}

/* What the window's teeth say to the lines far away. */
static void
gather_far (FaintModel *self, FaintModelWorkspace *w, gsize index, double *const *rows)
{
  const FaintLayoutWindow *window = &self->layout->windows[index];

  for (gsize t = 0; t < window->n; t++)
    {
      w->weight_re[t] = rows[0][t] * w->row_re[0][t];
      w->weight_im[t] = rows[0][t] * w->row_im[0][t];
    }
  if (self->layout->channels == 2)
    for (gsize t = 0; t < window->n; t++)
      {
        w->weight_re[t] += rows[1][t] * w->row_re[1][t];
        w->weight_im[t] += rows[1][t] * w->row_im[1][t];
      }
  faint_far_gather (self->far, index, w->x, window->n, w->weight_re, w->weight_im);
}

/* Rows of a change of theta, from the Jacobian's. */
static void
fill_direction (const FaintModel *self, FaintModelWorkspace *w, const FaintLayoutWindow *window,
                const FaintWindowSums *sums, const double *direction)
{
  gsize rows = self->layout->channels * window->n;

  for (guint c = 0; c < self->layout->channels; c++)
    {
      memset (w->input[c], 0, window->n * sizeof (double));
      for (gsize a = 0; a < sums->used; a++)
        cblas_daxpy ((int)window->n, direction[sums->index[a]],
                     w->jacobian + a * rows + c * window->n, 1, w->input[c], 1);
    }
}

void
_faint_window_far_fill (FaintModel *self, FaintModelWorkspace *w, gsize index,
                        const FaintWindowSums *sums, double *const *rows)
{
  const FaintLayoutWindow *window = &self->layout->windows[index];

  if (window->n_near == self->layout->n_lines)
    return;
  project_baseline_out (self, w, window, sums, rows);
  gather_far (self, w, index, rows);
}

void
faint_window_rows_sum (FaintModel *self, FaintModelWorkspace *w, gsize index, FaintRows rows,
                       FaintWindowSums *sums)
{
  const FaintLayoutWindow *window = &self->layout->windows[index];

  _faint_window_jacobian_fill (self, w, window, sums);
  if (rows == FAINT_ROWS_DIRECTION)
    fill_direction (self, w, window, sums, self->direction);
  memset (sums->projection, 0, sums->used * sizeof (double));
  for (guint c = 0; c < self->layout->channels; c++)
    w->kernel->rows_project (w->jacobian + c * window->n, sums->used,
                             self->layout->channels * window->n, window->n, w->input[c],
                             sums->projection);
  _faint_window_far_fill (self, w, index, sums, w->input);
}

/* Windows of more parameters are always computed. */
#define MAX_SETTLED 512
/* Far wings may move by this part of a tooth's uncertainty. */
#define FAR_SETTLED 3e-4

void
faint_window_sums_remember (const FaintModel *self, const FaintModelWorkspace *w, gsize index,
                            double chi2)
{
  const FaintLayoutWindow *window = &self->layout->windows[index];
  FaintWindowSums *sums = &self->sums[index];
  double worth = 0.0;

  for (guint c = 0; c < self->layout->channels; c++)
    for (gsize t = 0; t < window->n; t++)
      worth = MAX (worth, fabs (w->row_re[c][t]) + fabs (w->row_im[c][t]));
  sums->known = TRUE;
  sums->chi2 = chi2;
  sums->worth = self->column * worth;
  for (gsize a = 0; a < sums->used; a++)
    sums->theta[a] = self->theta[sums->index[a]];
  memcpy (sums->slope, sums->projection, sums->used * sizeof (double));
  faint_far_peek (self->far, index, sums->far_re, sums->far_im);
}

/* Distances from where the window was last computed; FALSE if one is too large. */
static gboolean
is_settled (const FaintModel *self, gsize index, double settled, double *distance)
{
  const FaintWindowSums *sums = &self->sums[index];
  double re[FAINT_FAR_NODES], im[FAINT_FAR_NODES];

  for (gsize a = 0; a < sums->used; a++)
    {
      distance[a] = self->theta[sums->index[a]] - sums->theta[a];
      if (distance[a] * distance[a] * sums->products[a * sums->used + a] > settled * settled)
        return FALSE;
    }
  faint_far_peek (self->far, index, re, im);
  for (int j = 0; j < FAINT_FAR_NODES; j++)
    if ((fabs (re[j] - sums->far_re[j]) + fabs (im[j] - sums->far_im[j])) * sums->worth
        > FAR_SETTLED)
      return FALSE;
  return TRUE;
}

gboolean
faint_window_sums_predict (const FaintModel *self, gsize index, double settled, double *chi2)
{
  FaintWindowSums *sums = &self->sums[index];
  gsize used = sums->used;
  double distance[MAX_SETTLED];

  if (!sums->known || used > MAX_SETTLED || !is_settled (self, index, settled, distance))
    return FALSE;
  *chi2 = sums->chi2;
  for (gsize a = 0; a < used; a++)
    {
      double bend = 0.0;

      for (gsize b = 0; b < used; b++)
        bend += sums->products[MAX (a, b) * used + MIN (a, b)] * distance[b];
      sums->projection[a] = sums->slope[a] - bend;
      *chi2 += distance[a] * (bend - 2.0 * sums->slope[a]);
    }
  return TRUE;
}

void
faint_window_sums_add (const FaintWindowSums *sums, double *gradient)
{
  for (gsize a = 0; a < sums->used; a++)
    gradient[sums->index[a]] += sums->projection[a];
}

/* A product of two parameters, each of which may follow several of the larger problem. */
static void
add_product (const FaintTerms *a, const FaintTerms *b, gboolean same, double product,
             FaintNormal *normal)
{
  for (guint i = 0; i < a->n; i++)
    for (guint j = 0; j < (same ? i + 1 : b->n); j++)
      {
        double part = a->factor[i] * b->factor[j] * product;

        /* Off the diagonal of the small matrix a pair stands twice: on the diagonal of the large
         * one both meet. */
        if ((!same || i != j) && a->index[i] == b->index[j])
          part *= 2.0;
        *faint_normal_at (normal, a->index[i], b->index[j]) += part;
      }
}

void
faint_window_sums_add_products (const FaintWindowSums *sums, const FaintTerms *terms,
                                FaintNormal *normal)
{
  gsize used = sums->used;

  for (gsize a = 0; a < used; a++)
    for (gsize b = 0; b <= a; b++)
      {
        double product = sums->products[a * used + b];

        if (terms != NULL)
          {
            add_product (&terms[sums->index[a]], &terms[sums->index[b]], a == b, product, normal);
            continue;
          }
        /* Two rows of one parameter (tied lines) meet twice. */
        if (a != b && sums->index[a] == sums->index[b])
          product *= 2.0;
        *faint_normal_at (normal, sums->index[a], sums->index[b]) += product;
      }
}

/* Parameters that the teeth of a window know. */
static gsize
count_parameters (const FaintLayout *layout, const FaintLayoutWindow *window)
{
  gsize n = faint_layout_coefficients (layout, window);

  for (gsize i = window->near_first; i < window->near_first + window->n_near; i++)
    for (int p = 0; p < FAINT_PLACE_N; p++)
      n += layout->place[i][p] >= 0;
  n += layout->detuning >= 0;
  n += layout->detuning_slope >= 0;
  return n + (gsize)layout->n_fringes * FAINT_FRINGE_PARAMETERS;
}

FaintWindowSums *
faint_window_sums_new (const FaintLayout *layout)
{
  FaintWindowSums *sums = g_new0 (FaintWindowSums, MAX (layout->n_windows, 1));

  for (gsize k = 0; k < layout->n_windows; k++)
    {
      gsize n = count_parameters (layout, &layout->windows[k]);

      sums[k].most = n;
      sums[k].index = g_new (gsize, n);
      sums[k].projection = g_new (double, 3 * n);
      sums[k].theta = sums[k].projection + n;
      sums[k].slope = sums[k].theta + n;
      sums[k].products = g_new (double, n *n);
    }
  return sums;
}

void
faint_window_sums_free (FaintWindowSums *sums, const FaintLayout *layout)
{
  for (gsize k = 0; k < layout->n_windows; k++)
    {
      g_free (sums[k].index);
      g_free (sums[k].projection);
      g_free (sums[k].products);
    }
  g_free (sums);
}
