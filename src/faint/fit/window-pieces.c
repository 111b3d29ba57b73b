/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A window for a step of the fit. Where that is less work its teeth are taken in pieces: over a
 * piece a line that stands well outside it is smooth, known from its values at Chebyshev's places,
 * and all such lines together take no more Jacobian rows than those places times two (for the
 * slopes along the real and the imaginary part of kappa). The error is that of interpolation, 7e-10
 * of a smooth line's part in model and gradient, as with lines outside the window (far.h), and 1e-7
 * in the normal matrix, which leads to the optimum but does not say where it is.
 *
 * Straight to the BLAS, not through GSL's wrappers: so the program itself needs the fast BLAS it is
 * linked with, and GSL's own calls bind to that one too.
 */
#include "faint/fit/window-rows-private.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_cblas.h>

#define NODES FAINT_FAR_NODES
/* Of the normal matrix. */
#define COARSE 12
#define COARSE_ROWS (2 * COARSE)
/* A line is smooth from this many of the piece's half widths from its centre on, if that is also
 * this many Doppler widths beyond its border. */
#define SMOOTH_HALF_WIDTHS 2.0
#define SMOOTH_DOPPLER_WIDTHS 6.0
#define PIECE_LEAST 48
/* Work in multiplications: a profile with its derivatives at a tooth; filling one tooth of a row.
 */
#define WORK_PROFILE 100.0
#define WORK_FILL 10.0
/* What pieces must save to be worth it. */
#define WORTH 0.85

/* Teeth [from, end) of piece @i. */
static FaintLayoutWindow
piece_of (const FaintLayoutWindow *window, gsize i, gsize n_pieces)
{
  FaintLayoutWindow piece = *window;
  gsize from = i * window->n / n_pieces;

  piece.first = window->first + from;
  piece.n = (i + 1) * window->n / n_pieces - from;
  return piece;
}

/* By where lines stood when the layout was made: what is smooth does not change during a fit. */
static gboolean
is_smooth (const FaintModel *self, const FaintLayoutWindow *piece, gsize near)
{
  const double *wavenumber = self->spectrum->wavenumber + piece->first;
  double half = 0.5 * fabs (wavenumber[piece->n - 1] - wavenumber[0]);
  double reach
      = MAX (SMOOTH_HALF_WIDTHS * half, half + SMOOTH_DOPPLER_WIDTHS * self->layout->widest);

  return fabs (self->layout->position[piece->near_first + near]
               - 0.5 * (wavenumber[0] + wavenumber[piece->n - 1]))
         >= reach;
}

/* Multiplications for the window in @n_pieces pieces. */
static double
work_of (const FaintModel *self, const FaintLayoutWindow *window, gsize parameters, gsize n_pieces)
{
  double per_line
      = (double)(parameters - faint_layout_coefficients (self->layout, window)) / window->n_near;
  double channels = self->layout->channels, work = 0.0;

  for (gsize i = 0; i < n_pieces; i++)
    {
      FaintLayoutWindow piece = piece_of (window, i, n_pieces);
      double lines = 0.0, smooth, rows, n = (double)piece.n;

      for (gsize j = 0; j < window->n_near && n_pieces > 1; j++)
        lines += is_smooth (self, &piece, j);
      smooth = lines * per_line;
      rows = (double)parameters - smooth + (lines > 0.0 ? COARSE_ROWS : 0.0);
      work += n * (((double)window->n_near - lines) * WORK_PROFILE)
              + n * channels * (rows * WORK_FILL + 0.5 * rows * rows);
      work += lines * NODES * WORK_PROFILE
              + smooth * COARSE_ROWS * (rows + 0.5 * smooth + 2.0 * NODES);
    }
  return work;
}

static gsize
choose_pieces (const FaintModel *self, const FaintLayoutWindow *window, gsize parameters)
{
  gsize best = 1;
  double least;

  if (window->n_near < FAINT_SMOOTH_LEAST_LINES)
    return 1;
  least = WORTH * work_of (self, window, parameters, 1);
  for (gsize n = 2; window->n / n >= PIECE_LEAST; n += (n + 2) / 3)
    {
      double work = work_of (self, window, parameters, n);

      if (work < least)
        {
          least = work;
          best = n;
        }
    }
  return best;
}

/* The workspace from tooth @from of the window on. */
static FaintModelWorkspace
workspace_from (const FaintModelWorkspace *w, gsize from)
{
  FaintModelWorkspace v = *w;
  double **arrays[]
      = { &v.x,           &v.legendre,    &v.kappa_re,  &v.kappa_im,    &v.value,
          &v.value_im,    &v.slope_re,    &v.slope_im,  &v.by_loss,     &v.by_loss_im,
          &v.by_phase,    &v.by_phase_im, &v.baseline,  &v.baseline_im, &v.cos_phase,
          &v.sin_phase,   &v.row_re[0],   &v.row_re[1], &v.row_im[0],   &v.row_im[1],
          &v.residual[0], &v.residual[1], &v.input[0],  &v.input[1],    &v.weight_re,
          &v.weight_im,   &v.turned_re,   &v.turned_im, &v.place,       &v.inverse_u };

  for (gsize i = 0; i < G_N_ELEMENTS (arrays); i++)
    *arrays[i] += from;
  if (v.fringe != NULL)
    v.fringe += from;
  for (int k = 0; k < FAINT_FRINGES_MOST; k++)
    for (int j = 0; j < FAINT_FRINGE_PARAMETERS; j++)
      if (v.by_fringe[k][j] != NULL)
        v.by_fringe[k][j] += from;
  return v;
}

static void
choose_smooth (const FaintModel *self, FaintModelWorkspace *v, const FaintLayoutWindow *piece)
{
  const FaintFarTable *table = faint_far_get_table (self->far);
  const double *wavenumber = self->spectrum->wavenumber + piece->first;
  double centre = 0.5 * (wavenumber[0] + wavenumber[piece->n - 1]);
  double half = 0.5 * (wavenumber[piece->n - 1] - wavenumber[0]);

  for (gsize j = 0; j < piece->n_near; j++)
    v->smooth[j] = is_smooth (self, piece, j);
  for (int k = 0; k < NODES; k++)
    v->node[k] = centre + half * table->place[k];
  for (gsize t = 0; t < piece->n; t++)
    v->place[t] = (wavenumber[t] - centre) / half;
}

/* Chebyshev's polynomials times @by, of degrees 0 .. NODES - 1: the first COARSE from @coarse on,
 * the others from @fine on, rows @stride apart. */
static void
fill_polynomials (const double *place, const double *by, gsize n, gsize stride, double *coarse,
                  double *fine)
{
  const double *before = NULL, *now = NULL;

  for (int m = 0; m < NODES; m++)
    {
      double *restrict row
          = m < COARSE ? coarse + (gsize)m * stride : fine + (gsize)(m - COARSE) * stride;

      for (gsize t = 0; t < n; t++)
        row[t] = m == 0 ? by[t] : m == 1 ? place[t] * by[t] : 2.0 * place[t] * now[t] - before[t];
      before = now;
      now = row;
    }
}

/* The rows that stand for smooth lines, behind the others: along re, across im to COARSE, then the
 * rest of both. */
static void
fill_smooth_rows (const FaintModel *self, FaintModelWorkspace *v, const FaintLayoutWindow *piece)
{
  gsize rows = self->layout->channels * piece->n;
  double *first = v->jacobian + v->n_rows * rows;

  for (guint c = 0; c < self->layout->channels; c++)
    {
      double *at = first + c * piece->n;

      fill_polynomials (v->place, v->row_re[c], piece->n, rows, at, at + COARSE_ROWS * rows);
      fill_polynomials (v->place, v->row_im[c], piece->n, rows, at + COARSE * rows,
                        at + (COARSE_ROWS + NODES - COARSE) * rows);
    }
}

/* Room for what follows, in w->gathered. */
typedef struct
{
  double *projection, *products, *values, *spectra, *amount, *spread, *block;
} Room;

static Room
room_of (FaintModelWorkspace *w)
{
  gsize p = w->parameters, rows = p + FAINT_SMOOTH_ROWS;
  Room room;

  if (w->gathered == NULL)
    w->gathered
        = g_new (double, rows + rows * rows + (3 * FAINT_SMOOTH_ROWS + COARSE_ROWS + p) * p);
  room.projection = w->gathered;
  room.products = room.projection + rows;
  room.values = room.products + rows * rows;
  room.spectra = room.values + FAINT_SMOOTH_ROWS * p;
  room.amount = room.spectra + FAINT_SMOOTH_ROWS * p;
  room.spread = room.amount + FAINT_SMOOTH_ROWS * p;
  room.block = room.spread + COARSE_ROWS * p;
  return room;
}

/* How much of each smooth row a parameter has: FAINT_SMOOTH_ROWS amounts each. */
static void
fill_amounts (const FaintModel *self, const FaintModelWorkspace *v, const Room *room)
{
  const FaintFarTable *table = faint_far_get_table (self->far);
  gsize fine = NODES - COARSE;

  for (gsize i = 0; i < v->n_smooth; i++)
    for (int k = 0; k < NODES; k++)
      {
        room->values[2 * i * NODES + k] = v->smooth_kappa[i].along * v->smooth_kappa[i].re[k];
        room->values[(2 * i + 1) * NODES + k]
            = v->smooth_kappa[i].across * v->smooth_kappa[i].im[k];
      }
  cblas_dgemm (CblasRowMajor, CblasNoTrans, CblasNoTrans, 2 * (int)v->n_smooth, NODES, NODES, 1.0,
               room->values, NODES, &table->transposed[0][0], NODES, 0.0, room->spectra, NODES);
  for (gsize i = 0; i < v->n_smooth; i++)
    {
      const double *along = room->spectra + 2 * i * NODES, *across = along + NODES;
      double *amount = room->amount + i * FAINT_SMOOTH_ROWS;

      memcpy (amount, along, COARSE * sizeof (double));
      memcpy (amount + COARSE, across, COARSE * sizeof (double));
      memcpy (amount + COARSE_ROWS, along + COARSE, fine * sizeof (double));
      memcpy (amount + COARSE_ROWS + fine, across + COARSE, fine * sizeof (double));
    }
}

static void
add_projection (const FaintModel *self, const FaintModelWorkspace *v,
                const FaintLayoutWindow *piece, const Room *room, FaintWindowSums *sums)
{
  gsize rows = v->n_rows + (v->n_smooth > 0 ? FAINT_SMOOTH_ROWS : 0);

  memset (room->projection, 0, rows * sizeof (double));
  for (guint c = 0; c < self->layout->channels; c++)
    v->kernel->rows_project (v->jacobian + c * piece->n, rows, self->layout->channels * piece->n,
                             piece->n, v->residual[c], room->projection);
  for (gsize i = 0; i < v->n_rows; i++)
    sums->projection[v->row_slot[i]] += room->projection[i];
  for (gsize i = 0; i < v->n_smooth; i++)
    sums->projection[v->smooth_slot[i]]
        += cblas_ddot (FAINT_SMOOTH_ROWS, room->amount + i * FAINT_SMOOTH_ROWS, 1,
                       room->projection + v->n_rows, 1);
}

/* Adds products of the parameters @a, n_a of them, with @b; with themselves where they are the
 * same. */
static void
add_block (FaintWindowSums *sums, const gsize *a, gsize n_a, const gsize *b, gsize n_b,
           const double *products, gsize stride)
{
  for (gsize i = 0; i < n_a; i++)
    for (gsize j = 0; j < (a == b ? i + 1 : n_b); j++)
      sums->products[MAX (a[i], b[j]) * sums->used + MIN (a[i], b[j])] += products[i * stride + j];
}

static void
add_products (const FaintModel *self, const FaintModelWorkspace *v, const FaintLayoutWindow *piece,
              const Room *room, FaintWindowSums *sums)
{
  gsize sharp = v->n_rows, smooth = v->n_smooth, rows = sharp + (smooth > 0 ? COARSE_ROWS : 0);
  gsize length = self->layout->channels * piece->n;
  const double *mixed = room->products + sharp * rows; /* COARSE_ROWS x sharp */

  if (rows <= FAINT_FIT_KERNEL_ROWS)
    v->kernel->rows_products (v->jacobian, rows, length, room->products);
  else
    cblas_dsyrk (CblasRowMajor, CblasLower, CblasNoTrans, (int)rows, (int)length, 1.0, v->jacobian,
                 (int)length, 0.0, room->products, (int)rows);
  add_block (sums, v->row_slot, sharp, v->row_slot, sharp, room->products, rows);
  if (smooth == 0)
    return;
  cblas_dgemm (CblasRowMajor, CblasNoTrans, CblasNoTrans, (int)smooth, (int)sharp, COARSE_ROWS, 1.0,
               room->amount, FAINT_SMOOTH_ROWS, mixed, (int)rows, 0.0, room->block, (int)sharp);
  add_block (sums, v->smooth_slot, smooth, v->row_slot, sharp, room->block, sharp);
  cblas_dsymm (CblasRowMajor, CblasRight, CblasLower, (int)smooth, COARSE_ROWS, 1.0, mixed + sharp,
               (int)rows, room->amount, FAINT_SMOOTH_ROWS, 0.0, room->spread, COARSE_ROWS);
  cblas_dgemm (CblasRowMajor, CblasNoTrans, CblasTrans, (int)smooth, (int)smooth, COARSE_ROWS, 1.0,
               room->spread, COARSE_ROWS, room->amount, FAINT_SMOOTH_ROWS, 0.0, room->block,
               (int)smooth);
  add_block (sums, v->smooth_slot, smooth, v->smooth_slot, smooth, room->block, smooth);
}

static void
evaluate_piece (const FaintModel *self, const FaintModelWorkspace *w, gsize index,
                const FaintLayoutWindow *piece, const Room *room, FaintWindowSums *sums)
{
  FaintModelWorkspace v = workspace_from (w, piece->first - self->layout->windows[index].first);

  choose_smooth (self, &v, piece);
  _faint_window_stretch_compute (self, &v, index, piece, FALSE);
  _faint_window_jacobian_fill (self, &v, piece, sums);
  if (v.n_smooth > 0)
    {
      fill_smooth_rows (self, &v, piece);
      fill_amounts (self, &v, room);
    }
  add_projection (self, &v, piece, room, sums);
  add_products (self, &v, piece, room, sums);
}

static void
evaluate_pieces (FaintModel *self, FaintModelWorkspace *w, gsize index, FaintWindowSums *sums)
{
  const FaintLayoutWindow *window = &self->layout->windows[index];
  gsize rows = self->layout->channels * window->n, terms = window->degree + 1;
  Room room = room_of (w);

  memset (sums->projection, 0, sums->most * sizeof (double));
  memset (sums->products, 0, sums->most * sums->most * sizeof (double));
  for (gsize i = 0; i < sums->n_pieces; i++)
    {
      FaintLayoutWindow piece = piece_of (window, i, sums->n_pieces);

      evaluate_piece (self, w, index, &piece, &room, sums);
    }
  for (gsize c = 0; c < self->layout->channels; c++)
    for (gsize d = 0; d < terms; d++)
      _faint_window_baseline_row (self, w, window, d, c == 1, w->jacobian + (c * terms + d) * rows);
}

static void
evaluate_whole (FaintModel *self, FaintModelWorkspace *w, gsize index, FaintWindowSums *sums)
{
  const FaintLayoutWindow *window = &self->layout->windows[index];
  gsize length = self->layout->channels * window->n;

  faint_window_rows_compute (self, w, index, FALSE);
  _faint_window_jacobian_fill (self, w, window, sums);
  memset (sums->projection, 0, sums->used * sizeof (double));
  for (guint c = 0; c < self->layout->channels; c++)
    w->kernel->rows_project (w->jacobian + c * window->n, sums->used, length, window->n,
                             w->residual[c], sums->projection);
  if (sums->used <= FAINT_FIT_KERNEL_ROWS)
    w->kernel->rows_products (w->jacobian, sums->used, length, sums->products);
  else
    cblas_dsyrk (CblasRowMajor, CblasLower, CblasNoTrans, (int)sums->used, (int)length, 1.0,
                 w->jacobian, (int)length, 0.0, sums->products, (int)sums->used);
}

void
faint_window_evaluate (FaintModel *self, FaintModelWorkspace *w, gsize index, FaintWindowSums *sums,
                       double *chi2)
{
  if (sums->n_pieces == 0)
    sums->n_pieces = choose_pieces (self, &self->layout->windows[index], sums->most);
  if (sums->n_pieces == 1)
    evaluate_whole (self, w, index, sums);
  else
    evaluate_pieces (self, w, index, sums);
  *chi2 = faint_window_rows_chi2 (self, w, index);
  _faint_window_far_fill (self, w, index, sums, w->residual);
}
