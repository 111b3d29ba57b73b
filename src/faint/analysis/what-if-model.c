/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The model under other conditions: that of the fit, piece by piece.
 */
#include "faint/analysis/what-if-private.h"

#include <math.h>
#include <string.h>

#include "faint/base/words.h"
#include "faint/fit/model.h"
#include "faint/shape/voigt.h"

/* Teeth between two looks at whether the work shall stop. */
#define PIECE_TEETH 200000

/* Where the windows are, and what else a model takes from a fit. */
typedef struct
{
  const FaintWhatIf *what;
  guint threads;
  FaintSpectrum spectrum; /* the same samples under the changed setup; borrows them */
  FaintFitOptions options;
  FaintFitInstrument instrument;
  FaintLine *lines;
  gsize n_lines;
  FaintFitWindow *windows;
  gsize n_windows;
} Plan;

/* Widths typical enough to cut windows for lines that no fit has seen. */
static double
typical_width (const Plan *plan)
{
  double widest = faint_spectrum_spacing (&plan->spectrum);

  for (gsize i = 0; i < plan->n_lines; i++)
    widest = MAX (widest,
                  faint_voigt_hwhm (plan->lines[i].doppler.value, plan->lines[i].lorentz.value));
  return widest;
}

static void
cut_windows (Plan *plan)
{
  g_autoptr (FaintLayout) layout = NULL;

  plan->options.baseline_degree = 0;
  layout = faint_layout_new (&plan->spectrum, plan->lines, plan->n_lines, &plan->options,
                             typical_width (plan));
  plan->n_windows = layout->n_windows;
  plan->windows = g_new0 (FaintFitWindow, MAX (layout->n_windows, 1));
  for (gsize k = 0; k < layout->n_windows; k++)
    {
      plan->windows[k].first = layout->windows[k].first;
      plan->windows[k].n = layout->windows[k].n;
      plan->windows[k].lower = plan->spectrum.wavenumber[plan->windows[k].first];
      plan->windows[k].upper
          = plan->spectrum.wavenumber[plan->windows[k].first + plan->windows[k].n - 1];
    }
}

/* The setup of the model: as asked for, and what the fit found of the teeth. */
static FaintSetup *
model_setup (const FaintWhatIf *self, const FaintWhatIfValues *values)
{
  FaintSetup *setup = faint_what_if_setup (self, values, NULL);

  if (!isnan (self->stated.value[FAINT_WHAT_IF_DETUNING]))
    setup->tooth_detuning
        = faint_quantity (FAINT_DIMENSION_FREQUENCY, values->value[FAINT_WHAT_IF_DETUNING], NAN);
  if (self->fit != NULL && isfinite (self->fit->instrument.detuning_slope))
    setup->tooth_detuning_slope
        = faint_quantity (FAINT_DIMENSION_NUMBER, self->fit->instrument.detuning_slope, NAN);
  return setup;
}

static void
plan_init (Plan *plan, const FaintWhatIf *self, const FaintWhatIfValues *values,
           const FaintLineList *lines)
{
  const FaintFit *fit = self->fit;

  *plan = (Plan){ .what = self,
                  .spectrum = *self->spectrum,
                  .instrument = FAINT_FIT_INSTRUMENT_NONE,
                  .n_lines = faint_line_list_get_n (lines) };
  plan->spectrum.setup = model_setup (self, values);
  g_atomic_ref_count_init (&plan->spectrum.refs);
  plan->lines = g_new (FaintLine, MAX (plan->n_lines, 1));
  for (gsize i = 0; i < plan->n_lines; i++)
    plan->lines[i] = *faint_line_list_get (lines, i);
  faint_fit_options_init (&plan->options);
  if (fit == NULL)
    {
      cut_windows (plan);
      return;
    }
  plan->options.fringes = fit->options.fringes;
  plan->instrument.n_fringes = fit->instrument.n_fringes;
  memcpy (plan->instrument.fringe, fit->instrument.fringe, sizeof fit->instrument.fringe);
  plan->n_windows = fit->n_windows;
  plan->windows = g_memdup2 (fit->windows, fit->n_windows * sizeof (FaintFitWindow));
}

static void
plan_clear (Plan *plan)
{
  faint_setup_unref (plan->spectrum.setup);
  g_free (plan->lines);
  g_free (plan->windows);
}

static void
take_baseline (FaintModel *model, const FaintFit *fit, const FaintFitWindow *windows)
{
  const FaintLayout *layout = model->layout;

  for (gsize k = 0; k < layout->n_windows; k++)
    memcpy (model->theta + layout->windows[k].coefficient,
            fit->baseline_coefficients + windows[k].first_coefficient,
            faint_layout_coefficients (layout, &layout->windows[k]) * sizeof (double));
}

/* Fringes count from the middle of the fitted range, not of this piece. */
static double
fringe_origin (const Plan *plan)
{
  const FaintFitWindow *last = &plan->windows[plan->n_windows - 1];

  return 0.5
         * (plan->spectrum.wavenumber[plan->windows[0].first]
            + plan->spectrum.wavenumber[last->first + last->n - 1]);
}

/* Windows [from, end) into @out. */
static gboolean
fill_piece (Plan *plan, gsize from, gsize end, const FaintModelArrays *out, GError **error)
{
  const FaintFitWindow *windows = plan->windows + from;
  FaintLayout *layout = faint_layout_new_for (&plan->spectrum, plan->lines, plan->n_lines, windows,
                                              end - from, &plan->options);
  g_autoptr (FaintModel) model
      = faint_model_new (&plan->spectrum, layout, plan->lines, plan->threads, error);

  if (model == NULL)
    return FALSE;
  if (plan->what->fit != NULL)
    {
      take_baseline (model, plan->what->fit, windows);
      model->fringe_origin = fringe_origin (plan);
      faint_model_set_instrument (model, &plan->instrument);
    }
  if (faint_model_fill (model, out))
    return TRUE;
  g_set_error_literal (error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_NUMERIC,
                       _ ("The model has no finite value under these conditions."));
  return FALSE;
}

/* Windows that reach into the range: [*from, *end). */
static void
find_windows (const Plan *plan, double lower, double upper, gsize *from, gsize *end)
{
  *from = 0;
  *end = plan->n_windows;
  while (*from + 1 < *end && plan->windows[*from].upper < lower)
    (*from)++;
  while (*end > *from + 1 && plan->windows[*end - 1].lower > upper)
    (*end)--;
}

static FaintWhatIfModel *
model_new (const FaintWhatIf *self)
{
  FaintWhatIfModel *model = g_new0 (FaintWhatIfModel, 1);
  gsize n = self->spectrum->n;

  g_atomic_ref_count_init (&model->refs);
  model->spectrum = faint_spectrum_ref (self->spectrum);
  model->model = g_new (double, n);
  model->residual = g_new (double, n);
  if (self->spectrum->value_im != NULL)
    {
      model->model_im = g_new (double, n);
      model->residual_im = g_new (double, n);
    }
  return model;
}

static double
sum_of_squares (const double *values, gsize n)
{
  double sum = 0.0;

  for (gsize i = 0; values != NULL && i < n; i++)
    sum += values[i] * values[i];
  return sum;
}

static void
judge (FaintWhatIfModel *model, const Plan *plan, gsize from, gsize end)
{
  const FaintFit *fit = plan->what->fit;

  model->chi2 = sum_of_squares (model->residual + model->first, model->n);
  if (model->residual_im != NULL)
    model->chi2 += sum_of_squares (model->residual_im + model->first, model->n);
  model->dof = (double)model->n * (model->residual_im != NULL ? 2.0 : 1.0);
  model->chi2_fitted = NAN;
  if (fit == NULL)
    return;
  model->chi2_fitted = model->dof = 0.0;
  for (gsize k = from; k < end; k++)
    {
      model->chi2_fitted += fit->windows[k].chi2;
      model->dof += fit->windows[k].dof;
    }
  if (end - from == fit->n_windows)
    model->dof = fit->dof;
}

static gboolean
fill (Plan *plan, FaintWhatIfModel *model, gsize from, gsize end, const FaintProgress *progress,
      GError **error)
{
  const FaintModelArrays out = { .model = model->model,
                                 .model_im = model->model_im,
                                 .residual = model->residual,
                                 .residual_im = model->residual_im };

  model->first = plan->windows[from].first;
  for (gsize k = from; k < end;)
    {
      gsize piece = k, teeth = 0;

      while (piece < end && (piece == k || teeth + plan->windows[piece].n <= PIECE_TEETH))
        teeth += plan->windows[piece++].n;
      if (!faint_progress_step (progress, (double)(k - from) / (double)(end - from), "what if",
                                error)
          || !fill_piece (plan, k, piece, &out, error))
        return FALSE;
      model->n += teeth;
      k = piece;
    }
  return TRUE;
}

FaintWhatIfModel *
faint_what_if_model (const FaintWhatIf *self, const FaintWhatIfValues *values, double lower,
                     double upper, guint threads, const FaintProgress *progress, GError **error)
{
  g_autoptr (FaintLineList) lines = NULL;
  g_autoptr (FaintWhatIfModel) model = NULL;
  gsize from, end;
  gboolean filled;
  Plan plan;

  if (!faint_what_if_check (self, values, error))
    return NULL;
  lines = faint_what_if_lines (self, values, NULL);
  plan_init (&plan, self, values, lines);
  plan.threads = threads;
  find_windows (&plan, lower, upper, &from, &end);
  model = model_new (self);
  filled = plan.n_windows > 0 && fill (&plan, model, from, end, progress, error);
  if (filled)
    judge (model, &plan, from, end);
  else if (plan.n_windows == 0)
    g_set_error_literal (error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_TOO_FEW_TEETH,
                         _ ("The spectrum has too few teeth for a model."));
  plan_clear (&plan);
  return filled ? g_steal_pointer (&model) : NULL;
}

FaintWhatIfModel *
faint_what_if_model_ref (FaintWhatIfModel *self)
{
  g_atomic_ref_count_inc (&self->refs);
  return self;
}

void
faint_what_if_model_unref (FaintWhatIfModel *self)
{
  if (self == NULL || !g_atomic_ref_count_dec (&self->refs))
    return;
  faint_spectrum_unref (self->spectrum);
  g_free (self->model);
  g_free (self->model_im);
  g_free (self->residual);
  g_free (self->residual_im);
  g_free (self);
}
