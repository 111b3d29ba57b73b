/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "faint/fit/band.h"
#include "faint/base/words.h"
#include "faint/fit/joint-private.h"
#include "faint/fit/quality.h"

/* Parts of the diagonal that rounding may have taken from it. */
#define LEAST_RAISE 1e-13
#define MOST_RAISE 1e-4

G_DEFINE_QUARK (faint_fit_error_quark, faint_fit_error)

const char *
faint_verdict_name (FaintVerdict verdict)
{
  switch (verdict)
    {
    case FAINT_VERDICT_CONVERGED:
      return N_ ("converged");
    case FAINT_VERDICT_STALLED:
      return N_ ("stalled");
    default:
      return N_ ("iteration limit");
    }
}

double
faint_fit_fringe_amplitude (const FaintFitFringe *fringe)
{
  return hypot (fringe->cosine, fringe->sine);
}

/* Factors @normal; where rounding has spoilt it, for a direction that the data do not determine,
 * with the least that has to be added to its diagonal: that direction's uncertainty is then large,
 * as it should be. */
static gboolean
factor_normal (FaintNormalFactor *factor, const FaintNormal *normal)
{
  g_autoptr (FaintNormal) raised = NULL;

  if (faint_normal_factor (factor, normal))
    return TRUE;
  raised = faint_normal_duplicate (normal);
  for (double part = LEAST_RAISE; part < MOST_RAISE; part *= 100.0)
    {
      for (gsize j = 0; j < raised->n; j++)
        *faint_normal_at (raised, j, j) = (1.0 + part) * faint_normal_get (normal, j, j);
      if (faint_normal_factor (factor, raised))
        return TRUE;
    }
  return FALSE;
}

FaintFitWork *
faint_fit_work_new (FaintModel *model, const FaintNormal *normal)
{
  FaintFitWork *self = g_new0 (FaintFitWork, 1);

  g_atomic_ref_count_init (&self->refs);
  self->model = model;
  self->factor = faint_normal_factor_new (normal);
  if (!factor_normal (self->factor, normal))
    {
      faint_fit_work_unref (self);
      return NULL;
    }
  self->inverse = faint_normal_inverse (self->factor);
  return self;
}

double
faint_fit_work_variance (const FaintFitWork *self, gssize place)
{
  return faint_normal_get (self->inverse, (gsize)place, (gsize)place);
}

double
faint_fit_work_line_variance (const FaintFitWork *self, gsize line, FaintPlace place)
{
  gssize at = self->model->layout->place[line][place];
  double factor = self->model->layout->factor[line][place];

  return at >= 0 ? factor * factor * faint_fit_work_variance (self, at) : NAN;
}

FaintFitWork *
faint_fit_work_ref (FaintFitWork *self)
{
  g_atomic_ref_count_inc (&self->refs);
  return self;
}

void
faint_fit_work_unref (FaintFitWork *self)
{
  if (self == NULL || !g_atomic_ref_count_dec (&self->refs))
    return;
  if (self->joint != NULL)
    faint_joint_unref (self->joint);
  else
    faint_model_free (self->model);
  faint_normal_factor_free (self->factor);
  faint_normal_free (self->inverse);
  g_free (self);
}

FaintFit *
faint_fit_new_empty (FaintSpectrum *spectrum, const FaintFitOptions *options, FaintLineList *start)
{
  FaintFit *self = g_new0 (FaintFit, 1);

  g_atomic_ref_count_init (&self->refs);
  self->spectrum = faint_spectrum_ref (spectrum);
  self->options = *options;
  self->start = start != NULL ? faint_line_list_ref (start) : NULL;
  self->warnings = faint_warnings_new ();
  self->distance = NAN;
  self->width_mean = self->width_spread = NAN;
  self->noise_equivalent_absorption = self->noise_equivalent_absorption_root = NAN;
  self->false_finds_expected = NAN;
  self->instrument = FAINT_FIT_INSTRUMENT_NONE;
  return self;
}

FaintFit *
faint_fit_ref (FaintFit *self)
{
  g_atomic_ref_count_inc (&self->refs);
  return self;
}

void
faint_fit_unref (FaintFit *self)
{
  if (self == NULL || !g_atomic_ref_count_dec (&self->refs))
    return;
  faint_spectrum_unref (self->spectrum);
  g_clear_pointer (&self->start, faint_line_list_unref);
  g_clear_pointer (&self->lines, faint_line_list_unref);
  g_free (self->windows);
  g_free (self->baseline_coefficients);
  g_free (self->model);
  g_free (self->model_im);
  g_free (self->baseline);
  g_free (self->baseline_im);
  g_free (self->residual);
  g_free (self->residual_im);
  g_ptr_array_unref (self->warnings);
  faint_fit_work_unref (self->work);
  g_free (self);
}

static double *
copy_array (const double *source, gsize n)
{
  return source != NULL ? g_memdup2 (source, n * sizeof (double)) : NULL;
}

gsize
faint_fit_count_coefficients (const FaintFit *self)
{
  gsize n = 0;

  for (gsize k = 0; k < self->n_windows; k++)
    n += (self->windows[k].degree + 1) * (self->spectrum->value_im != NULL ? 2 : 1);
  return n;
}

FaintFit *
faint_fit_with_lines (FaintFit *self, FaintLineList *lines)
{
  gsize n = self->spectrum->n;
  FaintFit *copy = g_memdup2 (self, sizeof (FaintFit));

  g_atomic_ref_count_init (&copy->refs);
  copy->spectrum = faint_spectrum_ref (self->spectrum);
  copy->start = self->start != NULL ? faint_line_list_ref (self->start) : NULL;
  copy->lines = lines;
  copy->windows = g_memdup2 (self->windows, self->n_windows * sizeof (FaintFitWindow));
  copy->baseline_coefficients
      = copy_array (self->baseline_coefficients, faint_fit_count_coefficients (self));
  copy->model = copy_array (self->model, n);
  copy->model_im = copy_array (self->model_im, n);
  copy->baseline = copy_array (self->baseline, n);
  copy->baseline_im = copy_array (self->baseline_im, n);
  copy->residual = copy_array (self->residual, n);
  copy->residual_im = copy_array (self->residual_im, n);
  copy->warnings = faint_warnings_copy (self->warnings);
  copy->work = self->work != NULL ? faint_fit_work_ref (self->work) : NULL;
  return copy;
}

double
faint_fit_variance_scale (const FaintFit *self)
{
  return self->spectrum->u_estimated && isfinite (self->chi2_reduced) && self->chi2_reduced > 0.0
             ? self->chi2_reduced
             : 1.0;
}

/* How much of a parameter what is known beforehand determines, 0 to 1: not a parameter of the data.
 */
static double
known_share (const FaintFitWork *work, gsize line)
{
  const FaintModel *model = work->model;
  gssize at = model->layout->place[line][FAINT_PLACE_LORENTZ];

  if (at < 0 || at >= (gssize)model->layout->n_band || !isfinite (model->width_mean)
      || model->lines[line].lorentz.state != FAINT_STATE_FREE)
    return 0.0;
  return CLAMP (faint_fit_work_line_variance (work, line, FAINT_PLACE_LORENTZ)
                    / (model->width_spread * model->width_spread),
                0.0, 1.0);
}

static double *
new_nan_array (gsize n)
{
  double *array = g_new (double, n);

  for (gsize i = 0; i < n; i++)
    array[i] = NAN;
  return array;
}

static void
forget_excluded (const FaintSpectrum *spectrum, double *residual)
{
  for (gsize i = 0; spectrum->excluded != NULL && residual != NULL && i < spectrum->n; i++)
    if (spectrum->excluded[i])
      residual[i] = NAN;
}

/* Of the teeth of @window that are used, as if there were no others. */
static FaintQuality
quality_of (const FaintSpectrum *spectrum, const FaintLayoutWindow *window, const double *residual)
{
  g_autofree double *used = NULL;
  gsize n = 0;

  if (spectrum->excluded == NULL)
    return faint_quality (residual + window->first, window->n);
  used = g_new (double, window->n);
  for (gsize t = window->first; t < window->first + window->n; t++)
    if (!spectrum->excluded[t])
      used[n++] = residual[t];
  return faint_quality (used, n);
}

static void
judge_window (FaintFit *self, const FaintFitWork *work, gsize k)
{
  const FaintModel *model = work->model;
  const FaintLayoutWindow *window = &model->layout->windows[k];
  FaintFitWindow *out = &self->windows[k];
  FaintQuality quality = quality_of (self->spectrum, window, self->residual);
  gsize n_rows = out->n_used * model->layout->channels;
  double known = 0.0;

  out->n_lines = window->n_lines;
  out->n_parameters = (k + 1 < self->n_windows ? window[1].coefficient : model->layout->n_band)
                      - window->coefficient;
  for (gsize i = window->line_first; i < window->line_first + window->n_lines; i++)
    known += known_share (work, i);
  out->chi2 = quality.chi2;
  out->lag1 = quality.lag1;
  out->runs_z = quality.runs_z;
  out->largest = quality.largest;
  if (model->layout->channels == 2)
    {
      FaintQuality other = quality_of (self->spectrum, window, self->residual_im);
      out->chi2 += other.chi2;
      out->lag1 = fabs (other.lag1) > fabs (out->lag1) ? other.lag1 : out->lag1;
      out->runs_z = fabs (other.runs_z) > fabs (out->runs_z) ? other.runs_z : out->runs_z;
      out->largest = MAX (out->largest, other.largest);
    }
  out->dof = (double)n_rows - (double)out->n_parameters + known;
  out->chi2_reduced = out->dof > 0.0 ? out->chi2 / out->dof : NAN;
}

static void
take_windows (FaintFit *self, const FaintFitWork *work)
{
  const FaintModel *model = work->model;
  const FaintLayout *layout = model->layout;
  gsize used = 0;

  self->n_windows = layout->n_windows;
  self->windows = g_new0 (FaintFitWindow, MAX (layout->n_windows, 1));
  for (gsize k = 0; k < layout->n_windows; k++)
    {
      const FaintLayoutWindow *window = &layout->windows[k];
      FaintFitWindow *out = &self->windows[k];

      out->first = window->first;
      out->n = window->n;
      out->n_used = faint_spectrum_count_used (self->spectrum, window->first, window->n);
      out->lower = self->spectrum->wavenumber[window->first];
      out->upper = self->spectrum->wavenumber[window->first + window->n - 1];
      out->degree = window->degree;
      out->first_coefficient = used;
      used += faint_layout_coefficients (layout, window);
    }
  self->baseline_coefficients = g_new (double, MAX (used, 1));
  for (gsize k = 0; k < layout->n_windows; k++)
    memcpy (self->baseline_coefficients + self->windows[k].first_coefficient,
            model->theta + layout->windows[k].coefficient,
            faint_layout_coefficients (layout, &layout->windows[k]) * sizeof (double));
}

gboolean
faint_fit_take_model (FaintFit *self, FaintFitWork *work, GError **error)
{
  gsize n = self->spectrum->n;
  gboolean field = work->model->layout->channels == 2;

  self->work = faint_fit_work_ref (work);
  take_windows (self, work);
  self->model = new_nan_array (n);
  self->baseline = new_nan_array (n);
  self->residual = new_nan_array (n);
  if (field)
    {
      self->model_im = new_nan_array (n);
      self->baseline_im = new_nan_array (n);
      self->residual_im = new_nan_array (n);
    }
  if (!faint_model_fill (work->model, &(FaintModelArrays){
                                          .model = self->model,
                                          .model_im = self->model_im,
                                          .baseline = self->baseline,
                                          .baseline_im = self->baseline_im,
                                          .residual = self->residual,
                                          .residual_im = self->residual_im,
                                      }))
    {
      g_set_error (error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_NUMERIC,
                   _ ("The model has no finite value with these lines and this cavity. Check the "
                      "strengths and widths of the start lines, the finesse and the pressure."));
      return FALSE;
    }
  forget_excluded (self->spectrum, self->residual);
  forget_excluded (self->spectrum, self->residual_im);
  self->chi2 = self->dof = 0.0;
  for (gsize k = 0; k < self->n_windows; k++)
    {
      judge_window (self, work, k);
      self->chi2 += self->windows[k].chi2;
      self->dof += self->windows[k].dof;
    }
  /* What all windows share belongs to none. */
  self->dof -= (double)work->model->layout->n_border;
  self->chi2_reduced = self->dof > 0.0 ? self->chi2 / self->dof : NAN;
  return TRUE;
}

double *
faint_fit_correlation (const FaintFit *self, gsize window, char ***names, gsize *n)
{
  static const char *const words[FAINT_PLACE_N]
      = { "position",    "strength",    "Lorentz width",     "Doppler width",
          "speed width", "speed shift", "velocity changing", "correlation" };
  const FaintFitWork *work = self->work;
  const FaintLayoutWindow *w = &work->model->layout->windows[window];
  g_autoptr (GArray) at = g_array_new (FALSE, FALSE, sizeof (gsize));
  g_autoptr (GPtrArray) text = g_ptr_array_new ();
  double *matrix;

  *n = 0;
  if (work->partial)
    return NULL;
  for (gsize i = w->line_first; i < w->line_first + w->n_lines; i++)
    for (int p = 0; p < FAINT_PLACE_N; p++)
      if (work->model->layout->place[i][p] >= 0)
        {
          gsize place = (gsize)work->model->layout->place[i][p];
          g_array_append_val (at, place);
          g_ptr_array_add (
              text, g_strdup_printf ("%.3f %s", work->model->lines[i].position.value, words[p]));
        }
  *n = at->len;
  if (at->len == 0)
    return NULL;
  g_ptr_array_add (text, NULL);
  *names = (char **)g_ptr_array_free (g_steal_pointer (&text), FALSE);
  matrix = g_new0 (double, (gsize)at->len * at->len);
  for (guint a = 0; a < at->len; a++)
    for (guint b = 0; b < at->len; b++)
      {
        gsize i = g_array_index (at, gsize, a), j = g_array_index (at, gsize, b);
        double product
            = faint_normal_get (work->inverse, i, i) * faint_normal_get (work->inverse, j, j);

        matrix[a * at->len + b] = faint_normal_get (work->inverse, i, j) / sqrt (product);
      }
  return matrix;
}

/* Index in the model of the line with @id, or of none: it stands exactly where the list says. */
static gsize
index_in_model (const FaintFit *self, guint id)
{
  const FaintFitWork *work = self->work;
  const FaintLine *line = faint_line_list_find (self->lines, id);
  gsize i = 0;

  while (line != NULL && i < work->model->layout->n_lines
         && work->model->lines[i].position.value != line->position.value)
    i++;
  return line != NULL ? i : work->model->layout->n_lines;
}

double
faint_fit_covariance (const FaintFit *self, guint id_a, FaintPlace place_a, guint id_b,
                      FaintPlace place_b)
{
  const FaintFitWork *work = self->work;
  const FaintLayout *layout = work->model->layout;
  gsize a = index_in_model (self, id_a), b = index_in_model (self, id_b);
  gssize at_a, at_b;

  if (work->partial || a == layout->n_lines || b == layout->n_lines)
    return NAN;
  at_a = layout->place[a][place_a];
  at_b = layout->place[b][place_b];
  if (at_a < 0 || at_b < 0)
    return NAN;
  if (isinf (faint_fit_work_variance (work, at_a)) || isinf (faint_fit_work_variance (work, at_b)))
    return INFINITY;
  return faint_fit_variance_scale (self) * layout->factor[a][place_a] * layout->factor[b][place_b]
         * faint_normal_get (work->inverse, (gsize)at_a, (gsize)at_b);
}
