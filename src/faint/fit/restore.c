/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "faint/fit/fit-private.h"

#include "faint/base/words.h"

static FaintLine *
copy_lines (const FaintLineList *list)
{
  gsize n = faint_line_list_get_n (list);
  FaintLine *lines = g_new (FaintLine, MAX (n, 1));

  for (gsize i = 0; i < n; i++)
    lines[i] = *faint_line_list_get (list, i);
  return lines;
}

/* What was held for want of data has no uncertainty. */
static FaintLine *
lines_as_fitted (const FaintLineList *list)
{
  FaintLine *lines = copy_lines (list);

  for (gsize i = 0; i < faint_line_list_get_n (list); i++)
    for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
      {
        FaintParameter *it = faint_line_parameter (&lines[i], p);

        if (it->state == FAINT_STATE_FREE && isnan (it->u_noise))
          it->state = FAINT_STATE_FIXED;
      }
  return lines;
}

/* The period of a fringe that was held has no uncertainty either. */
static void
set_instrument (FaintModel *model, const FaintFitInstrument *instrument)
{
  faint_model_set_instrument (model, instrument);
  for (guint k = 0; k < G_N_ELEMENTS (model->held_fringe); k++)
    model->held_fringe[k] = !isfinite (instrument->fringe[k].u_period);
}

static void
set_coefficients (FaintModel *model, const double *coefficients)
{
  gsize used = 0;

  for (gsize k = 0; k < model->layout->n_windows; k++)
    {
      const FaintLayoutWindow *window = &model->layout->windows[k];
      gsize n = faint_layout_coefficients (model->layout, window);

      memcpy (model->theta + window->coefficient, coefficients + used, n * sizeof (double));
      used += n;
    }
}

static gboolean
windows_fit (const FaintSpectrum *spectrum, const FaintFitWindow *windows, gsize n)
{
  for (gsize k = 0; k < n; k++)
    if (windows[k].n == 0 || windows[k].n > spectrum->n
        || windows[k].first > spectrum->n - windows[k].n || windows[k].degree > 8
        || (k > 0 && windows[k].first != windows[k - 1].first + windows[k - 1].n))
      return FALSE;
  return n > 0;
}

FaintFit *
faint_fit_restore (FaintSpectrum *spectrum, FaintLineList *start, FaintLineList *lines,
                   const FaintFitOptions *options, const FaintFitWindow *windows, gsize n_windows,
                   const double *baseline_coefficients, const FaintFitInstrument *instrument,
                   double width_mean, double width_spread, GError **error)
{
  g_autoptr (FaintFit) fit = NULL;
  g_autofree FaintLine *plain = lines_as_fitted (lines);
  g_autofree double *chi2 = g_new0 (double, n_windows + 1);
  g_autofree double *gradient = NULL;
  FaintLayout *layout;
  FaintModel *model;
  FaintFitWork *work = NULL;
  FaintNormal *normal;
  gboolean finite;

  if (!windows_fit (spectrum, windows, n_windows))
    {
      g_set_error (error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_NUMERIC,
                   _ ("The stored windows do not divide this spectrum of %zu teeth."), spectrum->n);
      return NULL;
    }
  layout = faint_layout_new_for (spectrum, plain, faint_line_list_get_n (lines), windows, n_windows,
                                 options);
  model = faint_model_new (spectrum, layout, plain, options->threads, error);
  if (model == NULL)
    return NULL;
  set_coefficients (model, baseline_coefficients);
  gradient = g_new (double, layout->n_parameters);
  model->width_mean = width_mean;
  model->width_spread = width_spread;
  if (instrument != NULL)
    set_instrument (model, instrument);
  normal = faint_model_normal_new (model);
  finite = faint_model_evaluate_rows (model->theta, chi2, gradient, normal, model);
  if (finite)
    work = faint_fit_work_new (model, normal);
  else
    faint_model_free (model);
  faint_normal_free (normal);
  if (work == NULL)
    {
      g_set_error (error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_NUMERIC,
                   _ ("The stored lines give no finite model of this spectrum."));
      return NULL;
    }
  fit = faint_fit_new_empty (spectrum, options, start);
  fit->lines = faint_line_list_ref (lines);
  if (instrument != NULL)
    fit->instrument = *instrument;
  finite = faint_fit_take_model (fit, work, error);
  faint_fit_work_unref (work);
  return finite ? g_steal_pointer (&fit) : NULL;
}

void
faint_fit_set_part_of_series (FaintFit *self)
{
  ((FaintFitWork *)self->work)->partial = TRUE;
}

gboolean
faint_model_evaluate (const FaintSpectrum *spectrum, const FaintLineList *lines,
                      const FaintFit *fit, double *model, double *model_im, GError **error)
{
  g_autofree FaintLine *plain = copy_lines (lines);
  g_autoptr (FaintModel) evaluated = NULL;
  FaintFitOptions options;
  FaintLayout *layout;
  double hwhm = 0.0;

  if (!faint_setup_check (spectrum->setup, error))
    return FALSE;
  for (gsize i = 0; i < faint_line_list_get_n (lines); i++)
    hwhm = MAX (hwhm, plain[i].doppler.value + plain[i].lorentz.value);
  faint_fit_options_init (&options);
  if (fit != NULL && fit->n_windows > 0)
    layout = faint_layout_new_for (spectrum, plain, faint_line_list_get_n (lines), fit->windows,
                                   fit->n_windows, &fit->options);
  else
    layout = faint_layout_new (spectrum, plain, faint_line_list_get_n (lines), &options,
                               MAX (hwhm, faint_spectrum_spacing (spectrum)));
  evaluated = faint_model_new ((FaintSpectrum *)spectrum, layout, plain, 0, error);
  if (evaluated == NULL)
    return FALSE;
  if (fit != NULL && fit->n_windows > 0)
    {
      set_coefficients (evaluated, fit->baseline_coefficients);
      faint_model_set_instrument (evaluated, &fit->instrument);
    }
  for (gsize t = 0; t < spectrum->n; t++)
    {
      model[t] = NAN;
      if (model_im != NULL)
        model_im[t] = NAN;
    }
  faint_model_fill (evaluated, &(FaintModelArrays){ .model = model, .model_im = model_im });
  return TRUE;
}
