/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/preview.h"

#include <math.h>
#include <string.h>

#include "faint/fit/model.h"

struct _FaintFitPreview
{
  FaintFit *fit;
  FaintLine *lines; /* in rising order */
  gsize n_lines;
  FaintCavityTeeth *teeth; /* of all teeth, with the detuning of the fit once evaluated */
  gboolean detuned;
  double *model, *model_im; /* of all teeth; the latest stretch is filled */
};

FaintFitPreview *
faint_fit_preview_new (FaintFit *fit, const FaintLineList *lines)
{
  FaintFitPreview *self = g_new0 (FaintFitPreview, 1);

  self->fit = faint_fit_ref (fit);
  self->n_lines = faint_line_list_get_n (lines);
  self->lines = g_new (FaintLine, MAX (self->n_lines, 1));
  for (gsize i = 0; i < self->n_lines; i++)
    self->lines[i] = *faint_line_list_get (lines, i);
  self->teeth = faint_cavity_teeth_new (fit->spectrum, NULL);
  self->model = g_new (double, fit->spectrum->n);
  if (fit->spectrum->value_im != NULL)
    self->model_im = g_new (double, fit->spectrum->n);
  return self;
}

void
faint_fit_preview_free (FaintFitPreview *self)
{
  if (self == NULL)
    return;
  faint_cavity_teeth_free (self->teeth);
  faint_fit_unref (self->fit);
  g_free (self->lines);
  g_free (self->model);
  g_free (self->model_im);
  g_free (self);
}

/* Puts @line in the place of the line of its id, which may be another place now. */
static gboolean
put_line (FaintFitPreview *self, const FaintLine *line)
{
  FaintLine *lines = self->lines;
  gsize at = 0;

  while (at < self->n_lines && lines[at].id != line->id)
    at++;
  if (at == self->n_lines)
    return FALSE;
  for (; at > 0 && lines[at - 1].position.value > line->position.value; at--)
    lines[at] = lines[at - 1];
  for (; at + 1 < self->n_lines && lines[at + 1].position.value < line->position.value; at++)
    lines[at] = lines[at + 1];
  lines[at] = *line;
  return TRUE;
}

/* Windows [*from, *end) that touch the range. */
static gboolean
windows_at (const FaintFit *fit, double lower, double upper, gsize *from, gsize *end)
{
  gsize k = 0;

  while (k < fit->n_windows && fit->windows[k].upper < lower)
    k++;
  *from = k;
  while (k < fit->n_windows && fit->windows[k].lower <= upper)
    k++;
  *end = k;
  return *end > *from;
}

static void
set_baselines (FaintModel *model, const FaintFit *fit, gsize from)
{
  for (gsize k = 0; k < model->layout->n_windows; k++)
    {
      const FaintLayoutWindow *window = &model->layout->windows[k];

      memcpy (model->theta + window->coefficient,
              fit->baseline_coefficients + fit->windows[from + k].first_coefficient,
              faint_layout_coefficients (model->layout, window) * sizeof (double));
    }
}

/* Fringes count from the middle of all that was fitted, and detuning acts on all teeth once. */
static void
set_instrument (FaintFitPreview *self, FaintModel *model)
{
  const FaintFit *fit = self->fit;
  FaintFitInstrument instrument = fit->instrument;

  model->fringe_origin = 0.5 * (fit->windows[0].lower + fit->windows[fit->n_windows - 1].upper);
  if (self->detuned)
    {
      if (isfinite (instrument.detuning))
        model->detuning = instrument.detuning;
      if (isfinite (instrument.detuning_slope))
        model->detuning_slope = instrument.detuning_slope;
    }
  faint_model_set_instrument (model, &instrument);
  self->detuned = TRUE;
}

gboolean
faint_fit_preview_evaluate (FaintFitPreview *self, const FaintLine *line, double lower,
                            double upper, FaintFitStretch *stretch)
{
  FaintSpectrum *spectrum = self->fit->spectrum;
  gsize from, end;
  FaintLayout *layout;
  FaintModel *model;
  gboolean finite;

  if (self->teeth == NULL || !put_line (self, line)
      || !windows_at (self->fit, lower, upper, &from, &end))
    return FALSE;
  layout = faint_layout_new_for (spectrum, self->lines, self->n_lines, self->fit->windows + from,
                                 end - from, &self->fit->options);
  model
      = faint_model_new_of_teeth (spectrum, layout, self->lines, 1, g_steal_pointer (&self->teeth));
  set_baselines (model, self->fit, from);
  set_instrument (self, model);
  finite = faint_model_fill (
      model, &(FaintModelArrays){ .model = self->model, .model_im = self->model_im });
  stretch->first = layout->first;
  stretch->n = layout->n_teeth;
  stretch->model = self->model + layout->first;
  stretch->model_im = self->model_im != NULL ? self->model_im + layout->first : NULL;
  self->teeth = g_steal_pointer (&model->teeth);
  faint_model_free (model);
  return finite;
}
