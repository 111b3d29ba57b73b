/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/window-rows-private.h"

#include <math.h>
#include <string.h>

#include "faint/fit/far.h"
#include "faint/shape/hartmann-tran.h"
#include "faint/shape/voigt.h"

/* Room for what Voigt profiles do not have. */
static void
add_beyond_voigt (FaintModelWorkspace *w)
{
  gsize block = w->teeth * w->near;
  double *next = g_new (double, 2 * (1 + FAINT_PLACE_N - FAINT_PLACE_SPEED_WIDTH) * block);

  w->beyond_voigt = TRUE;
  w->lorentz_re = next;
  w->lorentz_im = next + block;
  for (int p = FAINT_PLACE_SPEED_WIDTH; p < FAINT_PLACE_N; p++)
    {
      next += 2 * block;
      w->further_re[p] = next;
      w->further_im[p] = next + block;
    }
}

static void
add_fringes (FaintModelWorkspace *w, guint n_fringes)
{
  double *next = g_new (double, w->teeth *(1 + n_fringes * FAINT_FRINGE_PARAMETERS));

  w->fringe = next;
  for (guint k = 0; k < n_fringes; k++)
    for (int j = 0; j < FAINT_FRINGE_PARAMETERS; j++)
      w->by_fringe[k][j] = next += w->teeth;
}

/* Room for Jacobian rows, those that stand for smooth lines among them. */
static void
add_rows (FaintModelWorkspace *w, guint channels)
{
  w->jacobian = g_new (
      double, channels * w->teeth
                  * (w->parameters + (w->near < FAINT_SMOOTH_LEAST_LINES ? 0 : FAINT_SMOOTH_ROWS)));
  w->smooth = g_new0 (gboolean, w->near);
  w->row_slot = g_new (gsize, 2 * w->parameters);
  w->smooth_slot = w->row_slot + w->parameters;
  w->smooth_kappa = g_new (FaintKappaRow, w->parameters);
}

FaintModelWorkspace *
faint_model_workspace_new (const FaintLayout *layout, gboolean beyond_voigt)
{
  FaintModelWorkspace *w = g_new0 (FaintModelWorkspace, 1);
  gsize t;

  w->kernel = faint_fit_kernel ();
  w->teeth = w->near = w->degree = 1;
  for (gsize k = 0; k < layout->n_windows; k++)
    {
      const FaintLayoutWindow *window = &layout->windows[k];
      w->teeth = MAX (w->teeth, window->n);
      w->near = MAX (w->near, window->n_near);
      w->degree = MAX (w->degree, window->degree);
    }
  w->parameters = (beyond_voigt ? FAINT_PLACE_N : FAINT_PLACE_SPEED_WIDTH) * w->near
                  + 2 * (w->degree + 1) + layout->n_border;
  t = w->teeth;
  w->x = g_new (double, t);
  w->legendre = g_new (double, t *(w->degree + 1));
  w->near_re = g_new (double, 6 * t * w->near);
  w->near_im = w->near_re + t * w->near;
  w->position_re = w->near_im + t * w->near;
  w->position_im = w->position_re + t * w->near;
  w->doppler_re = w->position_im + t * w->near;
  w->doppler_im = w->doppler_re + t * w->near;
  w->kappa_re = g_new0 (double, 28 * t);
  w->kappa_im = w->kappa_re + t;
  w->value = w->kappa_im + t;
  w->value_im = w->value + t;
  w->slope_re = w->value_im + t;
  w->slope_im = w->slope_re + t;
  w->by_loss = w->slope_im + t;
  w->by_loss_im = w->by_loss + t;
  w->by_phase = w->by_loss_im + t;
  w->by_phase_im = w->by_phase + t;
  w->baseline = w->by_phase_im + t;
  w->baseline_im = w->baseline + t;
  w->cos_phase = w->baseline_im + t;
  w->sin_phase = w->cos_phase + t;
  for (int c = 0; c < 2; c++)
    {
      w->row_re[c] = w->sin_phase + (1 + 4 * c) * t;
      w->row_im[c] = w->row_re[c] + t;
      w->residual[c] = w->row_im[c] + t;
      w->input[c] = w->residual[c] + t;
    }
  w->weight_re = w->input[1] + t;
  w->weight_im = w->weight_re + t;
  w->turned_re = w->weight_im + t;
  w->turned_im = w->turned_re + t;
  w->place = w->turned_im + t;
  w->inverse_u = w->place + t;
  add_rows (w, layout->channels);
  if (beyond_voigt)
    add_beyond_voigt (w);
  if (layout->n_fringes > 0)
    add_fringes (w, layout->n_fringes);
  return w;
}

void
faint_model_workspace_free (FaintModelWorkspace *w)
{
  g_free (w->x);
  g_free (w->legendre);
  g_free (w->near_re);
  g_free (w->kappa_re);
  g_free (w->jacobian);
  g_free (w->smooth);
  g_free (w->row_slot);
  g_free (w->smooth_kappa);
  g_free (w->gathered);
  g_free (w->lorentz_re);
  g_free (w->fringe);
  g_free (w);
}

/* Places in the window and the Legendre polynomials there. */
static void
compute_places (FaintModelWorkspace *w, const FaintSpectrum *spectrum,
                const FaintLayoutWindow *window)
{
  const double *wavenumber = spectrum->wavenumber + window->first;
  double *restrict x = w->x, inverse = 1.0 / window->half;

  for (gsize t = 0; t < window->n; t++)
    {
      x[t] = (wavenumber[t] - window->centre) * inverse;
      w->legendre[t] = 1.0;
    }
  for (guint d = 1; d <= window->degree; d++)
    {
      double *restrict next = w->legendre + d * w->teeth;
      const double *now = next - w->teeth, *before = d > 1 ? now - w->teeth : now;
      double up = (2.0 * d - 1.0) / d, down = d > 1 ? (d - 1.0) / d : 0.0;

      for (gsize t = 0; t < window->n; t++)
        next[t] = up * x[t] * now[t] - down * before[t];
    }
}

/* Where a profile is wanted. */
typedef struct
{
  const double *wavenumber;
  gsize n;
} Places;

static gboolean
doppler_wanted (const FaintModel *self, gsize line, gboolean with_inputs)
{
  return self->layout->place[line][FAINT_PLACE_DOPPLER] >= 0
         || (with_inputs && self->lines[line].doppler.state == FAINT_STATE_DERIVED);
}

static void
compute_voigt (const FaintModel *self, FaintModelWorkspace *w, Places places, gsize line_index,
               gsize at, gboolean with_inputs)
{
  const FaintLine *line = &self->lines[line_index];
  gboolean doppler = doppler_wanted (self, line_index, with_inputs);
  FaintVoigt shape = { line->position.value, line->doppler.value, line->lorentz.value };

  faint_voigt_gradient (shape, places.wavenumber, places.n,
                        &(FaintVoigtGradient){
                            .re = w->near_re + at,
                            .im = w->near_im + at,
                            .position_re = w->position_re + at,
                            .position_im = w->position_im + at,
                            .lorentz_re = doppler ? w->turned_re : NULL,
                            .lorentz_im = doppler ? w->turned_im : NULL,
                            .doppler_re = doppler ? w->doppler_re + at : NULL,
                            .doppler_im = doppler ? w->doppler_im + at : NULL,
                        });
}

static void
compute_hartmann_tran (const FaintModel *self, FaintModelWorkspace *w, Places places,
                       gsize line_index, gsize at)
{
  static const int derivative[FAINT_PLACE_N] = {
    [FAINT_PLACE_SPEED_WIDTH] = FAINT_HARTMANN_TRAN_LORENTZ_2,
    [FAINT_PLACE_SPEED_SHIFT] = FAINT_HARTMANN_TRAN_SHIFT_2,
    [FAINT_PLACE_VELOCITY_CHANGING] = FAINT_HARTMANN_TRAN_VELOCITY_CHANGING,
    [FAINT_PLACE_CORRELATION] = FAINT_HARTMANN_TRAN_CORRELATION,
  };
  const FaintLine *line = &self->lines[line_index];
  double *d_re[FAINT_HARTMANN_TRAN_N] = { NULL }, *d_im[FAINT_HARTMANN_TRAN_N] = { NULL };

  d_re[FAINT_HARTMANN_TRAN_POSITION] = w->position_re + at;
  d_im[FAINT_HARTMANN_TRAN_POSITION] = w->position_im + at;
  d_re[FAINT_HARTMANN_TRAN_DOPPLER] = w->doppler_re + at;
  d_im[FAINT_HARTMANN_TRAN_DOPPLER] = w->doppler_im + at;
  d_re[FAINT_HARTMANN_TRAN_LORENTZ] = w->lorentz_re + at;
  d_im[FAINT_HARTMANN_TRAN_LORENTZ] = w->lorentz_im + at;
  for (FaintPlace p = FAINT_PLACE_SPEED_WIDTH; p < FAINT_PLACE_N; p++)
    if (self->layout->place[line_index][p] >= 0)
      {
        d_re[derivative[p]] = w->further_re[p] + at;
        d_im[derivative[p]] = w->further_im[p] + at;
      }
  faint_hartmann_tran_gradient (faint_model_hartmann_tran (line), places.wavenumber, places.n,
                                w->near_re + at, w->near_im + at, d_re, d_im);
}

/* Near lines into kappa: tooth by tooth, or, where a line is smooth, at Chebyshev's places, whose
 * sum is interpolated. */
static void
compute_kappa (const FaintModel *self, FaintModelWorkspace *w, const FaintLayoutWindow *window,
               gsize index, gboolean with_inputs)
{
  const FaintFarTable *table = faint_far_get_table (self->far);
  Places teeth = { self->spectrum->wavenumber + window->first, window->n };
  Places nodes = { w->node, FAINT_FAR_NODES };
  double re[FAINT_FAR_NODES] = { 0.0 }, im[FAINT_FAR_NODES] = { 0.0 };
  gboolean any_smooth = FALSE;

  memset (w->kappa_re, 0, window->n * sizeof (double));
  memset (w->kappa_im, 0, window->n * sizeof (double));
  faint_far_add (self->far, index, w->x, window->n, self->column, w->kappa_re, w->kappa_im);
  for (gsize j = 0; j < window->n_near; j++)
    {
      const FaintLine *line = &self->lines[window->near_first + j];
      gboolean smooth = w->smooth[j];
      Places places = smooth ? nodes : teeth;
      gsize at = j * w->teeth;
      double factor = self->column * line->strength.value;

      if ((line->flags & FAINT_LINE_EXCLUDED) != 0)
        continue;
      if (line->profile == FAINT_PROFILE_VOIGT)
        compute_voigt (self, w, places, window->near_first + j, at, with_inputs);
      else
        compute_hartmann_tran (self, w, places, window->near_first + j, at);
      w->kernel->rows_add (places.n, factor, w->near_re + at, smooth ? re : w->kappa_re);
      w->kernel->rows_add (places.n, factor, w->near_im + at, smooth ? im : w->kappa_im);
      any_smooth = any_smooth || smooth;
    }
  if (any_smooth)
    w->kernel->far_interpolate (table, re, im, w->place, window->n, 1.0, w->kappa_re, w->kappa_im);
}

/* Factors of the fringes, and what their parameters change of it, relative to the whole. */
static void
compute_fringes (const FaintModel *self, FaintModelWorkspace *w, const FaintLayoutWindow *window)
{
  for (gsize t = 0; t < window->n; t++)
    {
      double x = self->spectrum->wavenumber[window->first + t] - self->fringe_origin;

      w->fringe[t] = 1.0;
      for (guint k = 0; k < self->layout->n_fringes; k++)
        {
          const FaintFitFringe *fringe = &self->fringe[k];
          double angle = 2.0 * G_PI * x / fringe->period;
          double c = cos (angle), s = sin (angle);
          double factor = 1.0 + fringe->cosine * c + fringe->sine * s;

          w->by_fringe[k][0][t] = c / factor;
          w->by_fringe[k][1][t] = s / factor;
          w->by_fringe[k][2][t] = self->held_fringe[k] ? 0.0
                                                       : (fringe->cosine * s - fringe->sine * c)
                                                             * angle / (fringe->period * factor);
          w->fringe[t] *= factor;
        }
    }
}

static void
compute_baseline (const FaintModel *self, FaintModelWorkspace *w, const FaintLayoutWindow *window)
{
  const double *coefficient = self->theta + window->coefficient;
  gsize terms = window->degree + 1;

  if (self->layout->n_fringes > 0)
    compute_fringes (self, w, window);
  memset (w->baseline, 0, window->n * sizeof (double));
  memset (w->baseline_im, 0, window->n * sizeof (double));
  for (gsize d = 0; d < terms; d++)
    w->kernel->rows_add (window->n, coefficient[d], w->legendre + d * w->teeth, w->baseline);
  if (self->layout->channels == 2)
    for (gsize d = 0; d < terms; d++)
      w->kernel->rows_add (window->n, coefficient[terms + d], w->legendre + d * w->teeth,
                           w->baseline_im);
  if (w->fringe == NULL)
    return;
  for (gsize t = 0; t < window->n; t++)
    {
      w->baseline[t] *= w->fringe[t];
      w->baseline_im[t] *= w->fringe[t];
    }
}

static void
compute_rows_real (const FaintModel *self, FaintModelWorkspace *w, const FaintLayoutWindow *window)
{
  const double *observed = self->spectrum->value + window->first;
  const double *u = self->spectrum->fit_u + window->first;

  const double *baseline = w->baseline, *value = w->value;
  const double *slope_re = w->slope_re, *slope_im = w->slope_im;
  double *restrict row_re = w->row_re[0], *restrict row_im = w->row_im[0];
  double *restrict residual = w->residual[0], *restrict inverse_u = w->inverse_u;

  for (gsize t = 0; t < window->n; t++)
    {
      double inverse = 1.0 / u[t], scale = baseline[t] * inverse;

      inverse_u[t] = inverse;
      row_re[t] = scale * slope_re[t];
      row_im[t] = scale * slope_im[t];
      residual[t] = (observed[t] - baseline[t] * value[t]) * inverse;
    }
}

static void
compute_rows_field (const FaintModel *self, FaintModelWorkspace *w, const FaintLayoutWindow *window)
{
  const FaintSpectrum *s = self->spectrum;
  const double *u = s->fit_u + window->first, *u_im = s->fit_u_im + window->first;

  for (gsize t = 0; t < window->n; t++)
    {
      double re = s->value[window->first + t], im = s->value_im[window->first + t];
      double size = hypot (re, im), br = w->baseline[t], bi = w->baseline_im[t];
      double qr = br * w->slope_re[t] - bi * w->slope_im[t];
      double qi = br * w->slope_im[t] + bi * w->slope_re[t];

      w->cos_phase[t] = s->polar && size > 0.0 ? re / size : 1.0;
      w->sin_phase[t] = s->polar && size > 0.0 ? im / size : 0.0;
      whiten (w, u, u_im, t, re - (br * w->value[t] - bi * w->value_im[t]),
              im - (br * w->value_im[t] + bi * w->value[t]), &w->residual[0][t],
              &w->residual[1][t]);
      whiten (w, u, u_im, t, qr, qi, &w->row_re[0][t], &w->row_re[1][t]);
      whiten (w, u, u_im, t, -qi, qr, &w->row_im[0][t], &w->row_im[1][t]);
    }
}

void
_faint_window_stretch_compute (const FaintModel *self, FaintModelWorkspace *w, gsize index,
                               const FaintLayoutWindow *window, gboolean with_inputs)
{
  gboolean by_phase
      = with_inputs || self->layout->detuning >= 0 || self->layout->detuning_slope >= 0;
  FaintResponseValues values = {
    .value = w->value,
    .value_im = w->value_im,
    .slope_re = w->slope_re,
    .slope_im = w->slope_im,
    .by_loss = with_inputs ? w->by_loss : NULL,
    .by_loss_im = with_inputs ? w->by_loss_im : NULL,
    .by_phase = by_phase ? w->by_phase : NULL,
    .by_phase_im = by_phase ? w->by_phase_im : NULL,
  };

  compute_places (w, self->spectrum, window);
  compute_kappa (self, w, window, index, with_inputs);
  compute_baseline (self, w, window);
  faint_response_fill (&self->response, self->teeth, window->first, window->n, w->kappa_re,
                       w->kappa_im, &values);
  if (self->layout->channels == 2)
    compute_rows_field (self, w, window);
  else
    compute_rows_real (self, w, window);
}

void
faint_window_rows_compute (const FaintModel *self, FaintModelWorkspace *w, gsize index,
                           gboolean with_inputs)
{
  const FaintLayoutWindow *window = &self->layout->windows[index];

  memset (w->smooth, 0, window->n_near * sizeof (gboolean));
  _faint_window_stretch_compute (self, w, index, window, with_inputs);
}

double
faint_window_rows_chi2 (const FaintModel *self, const FaintModelWorkspace *w, gsize index)
{
  const FaintLayoutWindow *window = &self->layout->windows[index];
  double sum = 0.0;

  for (guint c = 0; c < self->layout->channels; c++)
    w->kernel->rows_project (w->residual[c], 1, window->n, window->n, w->residual[c], &sum);
  return sum;
}

/* Change of kappa when every derived Doppler width grows by the relative amount @relative. */
static void
doppler_change (const FaintModel *self, FaintModelWorkspace *w, const FaintLayoutWindow *window,
                double relative, double *re, double *im)
{
  memset (re, 0, window->n * sizeof (double));
  memset (im, 0, window->n * sizeof (double));
  for (gsize j = 0; j < window->n_near; j++)
    {
      const FaintLine *line = &self->lines[window->near_first + j];
      double factor = self->column * line->strength.value * relative * line->doppler.value;

      if (line->doppler.state != FAINT_STATE_DERIVED || (line->flags & FAINT_LINE_EXCLUDED) != 0)
        continue;
      for (gsize t = 0; t < window->n; t++)
        {
          re[t] += factor * w->doppler_re[j * w->teeth + t];
          im[t] += factor * w->doppler_im[j * w->teeth + t];
        }
    }
}

void
_faint_window_stretch_weigh (const FaintModel *self, const FaintModelWorkspace *w,
                             const FaintLayoutWindow *window, const double *by, const double *by_im,
                             const double *weight, double *along, double *across)
{
  const double *u = self->spectrum->fit_u + window->first;

  for (gsize t = 0; t < window->n; t++)
    {
      double br = w->baseline[t], bi = w->baseline_im[t];

      if (self->layout->channels == 1)
        along[t] = weight[t] * br * by[t] / u[t];
      else
        whiten (w, u, self->spectrum->fit_u_im + window->first, t,
                weight[t] * (br * by[t] - bi * by_im[t]), weight[t] * (br * by_im[t] + bi * by[t]),
                &along[t], &across[t]);
    }
}

void
faint_window_rows_input (const FaintModel *self, FaintModelWorkspace *w, gsize index,
                         FaintModelInput input, const double *weight)
{
  const FaintLayoutWindow *window = &self->layout->windows[index];
  const double *by = input == FAINT_INPUT_LOSS ? w->by_loss : w->by_phase;
  const double *by_im = input == FAINT_INPUT_LOSS ? w->by_loss_im : w->by_phase_im;

  if (input == FAINT_INPUT_DOPPLER || input == FAINT_INPUT_COLUMN)
    {
      if (input == FAINT_INPUT_DOPPLER)
        doppler_change (self, w, window, weight[0], w->weight_re, w->weight_im);
      for (gsize t = 0; t < window->n && input == FAINT_INPUT_COLUMN; t++)
        {
          w->weight_re[t] = weight[0] * w->kappa_re[t];
          w->weight_im[t] = weight[0] * w->kappa_im[t];
        }
      for (guint c = 0; c < self->layout->channels; c++)
        for (gsize t = 0; t < window->n; t++)
          w->input[c][t] = w->row_re[c][t] * w->weight_re[t] + w->row_im[c][t] * w->weight_im[t];
      return;
    }
  _faint_window_stretch_weigh (self, w, window, by, by_im, weight + window->first, w->input[0],
                               w->input[1]);
}

static void
copy_to (double *target, const double *source, const FaintLayoutWindow *window)
{
  if (target != NULL)
    memcpy (target + window->first, source, window->n * sizeof (double));
}

void
faint_window_rows_baseline (const FaintModel *self, FaintModelWorkspace *w, gsize index,
                            const FaintModelArrays *out)
{
  const FaintLayoutWindow *window = &self->layout->windows[index];

  compute_places (w, self->spectrum, window);
  compute_baseline (self, w, window);
  copy_to (out->baseline, w->baseline, window);
  copy_to (self->layout->channels == 2 ? out->baseline_im : NULL, w->baseline_im, window);
}

void
faint_window_rows_copy (const FaintModel *self, const FaintModelWorkspace *w, gsize index,
                        const FaintModelArrays *out)
{
  const FaintLayoutWindow *window = &self->layout->windows[index];
  gboolean field = self->layout->channels == 2;

  copy_to (out->baseline, w->baseline, window);
  copy_to (field ? out->baseline_im : NULL, w->baseline_im, window);
  copy_to (out->residual, w->residual[0], window);
  copy_to (field ? out->residual_im : NULL, w->residual[1], window);
  copy_to (out->slope_re, w->row_re[0], window);
  copy_to (out->slope_im, w->row_im[0], window);
  copy_to (field ? out->slope2_re : NULL, w->row_re[1], window);
  copy_to (field ? out->slope2_im : NULL, w->row_im[1], window);
  for (gsize t = 0; t < window->n; t++)
    {
      double br = w->baseline[t], bi = field ? w->baseline_im[t] : 0.0;
      double vi = field ? w->value_im[t] : 0.0;

      if (out->model != NULL)
        out->model[window->first + t] = br * w->value[t] - bi * vi;
      if (out->model_im != NULL && field)
        out->model_im[window->first + t] = br * vi + bi * w->value[t];
    }
}
