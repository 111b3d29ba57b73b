/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Windows of a review, and its tables as CSV.
 */
#include "faint/review/review-private.h"

#include "faint/review/common-rows.h"
#include "faint/review/compared.h"
#include "faint/review/csv-cells-private.h"

static gsize
count_between (const FaintLineList *lines, double lower, double upper)
{
  gsize n = 0;

  for (gsize i = 0; i < faint_line_list_get_n (lines); i++)
    {
      double at = faint_line_list_get (lines, i)->position.value;
      n += at >= lower && at <= upper;
    }
  return n;
}

/* Sum of squares of the residuals of @fit over teeth first to first + n; the largest too. */
static double
chi2_over (const FaintFit *fit, gsize first, gsize n, double *largest)
{
  double sum = 0.0;

  *largest = 0.0;
  for (gsize t = first; t < first + n; t++)
    {
      double re = fit->residual[t], im = fit->residual_im != NULL ? fit->residual_im[t] : 0.0;

      if (!isfinite (re) || !isfinite (im))
        continue;
      sum += re * re + im * im;
      *largest = MAX (*largest, MAX (fabs (re), fabs (im)));
    }
  return sum;
}

static void
fill_window (const FaintReview *self, FaintReviewWindow *out, const FaintFit *claims,
             const FaintFit *refit, const FaintFitWindow *window)
{
  gsize channels = refit->residual_im != NULL ? 2 : 1;

  out->first = window->first;
  out->n = window->n;
  out->lower = window->lower;
  out->upper = window->upper;
  out->claimed = count_between (self->compared, window->lower, window->upper);
  out->refitted = window->n_lines;
  out->chi2_claimed = chi2_over (claims, window->first, window->n, &out->largest_claimed);
  out->dof_claimed = (double)(channels * window->n) - (double)(channels * (window->degree + 1));
  out->chi2_reduced_claimed = out->chi2_claimed / out->dof_claimed;
  out->chi2_refitted = window->chi2;
  out->dof_refitted = window->dof;
  out->chi2_reduced_refitted = window->chi2_reduced;
  out->largest_refitted = window->largest;
}

void
faint_review_fill_windows (FaintReview *self)
{
  for (gsize k = 0; k < faint_analysis_get_n_spectra (self->refit); k++)
    {
      const FaintFit *refit = faint_analysis_get_fit_at (self->refit, k);

      for (gsize i = 0; i < refit->n_windows; i++)
        {
          FaintReviewWindow window = { .spectrum = k };

          fill_window (self, &window, faint_analysis_get_fit_at (self->model, k), refit,
                       &refit->windows[i]);
          g_array_append_val (self->windows, window);
        }
    }
}

/* The first in a cell, the others in the one behind it, apart by blanks. */
static void
add_ids (GString *out, const GArray *ids)
{
  faint_cell_id (out, ids->len > 0 ? g_array_index (ids, guint, 0) : 0);
  for (guint i = 1; i < ids->len; i++)
    g_string_append_printf (out, "%s%u", i > 1 ? " " : "", g_array_index (ids, guint, i));
  g_string_append_c (out, ',');
}

static void
add_line_cells (GString *out, const FaintReviewLine *line)
{
  add_ids (out, line->claimed);
  add_ids (out, line->refitted);
  faint_cell_number (out, line->position);
  faint_cell_number (out, line->snr);
  faint_cell_number (out, line->limit);
  g_string_append_printf (out, "%s,", faint_review_verdict_name (line->verdict));
}

static void
add_judgement (GString *out, const FaintReviewJudgement *it)
{
  faint_cell_number (out, it->difference);
  faint_cell_number (out, it->u);
  faint_cell_number (out, it->en);
  faint_cell_number (out, it->probability);
}

static void
add_value_row (GString *out, const FaintReviewLine *line, const FaintReviewValue *value)
{
  add_line_cells (out, line);
  g_string_append_printf (out, "%s,%s,", faint_compared_name (value->parameter),
                          faint_common_unit (value->parameter));
  faint_cell_number (out, value->claimed);
  faint_cell_number (out, value->u_claimed);
  faint_cell_number (out, value->refitted);
  faint_cell_number (out, value->u_refitted);
  add_judgement (out, &value->stated);
  g_string_append_printf (out, "%s,", faint_review_verdict_name (value->stated.verdict));
  add_judgement (out, &value->corrected);
  g_string_append_printf (out, "%s,", faint_review_verdict_name (value->corrected.verdict));
  g_string_append_printf (out, "%s,", faint_review_verdict_name (value->verdict));
  faint_cell_text (out, value->reason);
  faint_cell_end (out);
}

char *
faint_review_to_csv (const FaintReview *self)
{
  GString *out = g_string_new (NULL);

  g_string_append_printf (
      out,
      "# faintline review, program %s\n# confidence = %g\n# coverage_factor = %g\n"
      "# E_n = difference / (coverage_factor u(difference)); corrected: without what the whole "
      "list has in common\n"
      "claimed_id,claimed_second,refitted_id,refitted_second,position/cm-1,snr,"
      "strength_limit/(cm/molecule),line_verdict,parameter,unit,claimed,u(claimed),refitted,"
      "u(refitted),difference,u(difference),E_n,probability,verdict_stated,corrected_difference,"
      "u(corrected_difference),corrected_E_n,corrected_probability,verdict_corrected,verdict,"
      "reason\n",
      FAINT_VERSION, self->options.confidence, self->options.coverage);
  for (guint i = 0; i < self->lines->len; i++)
    {
      const FaintReviewLine *line = g_ptr_array_index (self->lines, i);

      for (guint k = 0; k < line->values->len; k++)
        add_value_row (out, line, &g_array_index (line->values, FaintReviewValue, k));
      if (line->values->len > 0)
        continue;
      add_line_cells (out, line);
      g_string_append_printf (out, ",,,,,,,,,,,,,,,,%s,",
                              faint_review_verdict_name (line->verdict));
      faint_cell_text (out, line->words);
      faint_cell_end (out);
    }
  return g_string_free (out, FALSE);
}

char *
faint_review_windows_csv (const FaintReview *self)
{
  GString *out = g_string_new (
      "spectrum,window,lower/cm-1,upper/cm-1,teeth,lines_claimed,lines_refitted,chi2_claimed,"
      "chi2_reduced_claimed,largest_claimed,chi2_refitted,chi2_reduced_refitted,"
      "largest_refitted\n");

  for (guint i = 0; i < self->windows->len; i++)
    {
      const FaintReviewWindow *it = &g_array_index (self->windows, FaintReviewWindow, i);

      g_string_append_printf (out, "%" G_GSIZE_FORMAT ",%u,", it->spectrum + 1, i + 1);
      faint_cell_number (out, it->lower);
      faint_cell_number (out, it->upper);
      g_string_append_printf (out, "%" G_GSIZE_FORMAT ",%" G_GSIZE_FORMAT ",%" G_GSIZE_FORMAT ",",
                              it->n, it->claimed, it->refitted);
      faint_cell_number (out, it->chi2_claimed);
      faint_cell_number (out, it->chi2_reduced_claimed);
      faint_cell_number (out, it->largest_claimed);
      faint_cell_number (out, it->chi2_refitted);
      faint_cell_number (out, it->chi2_reduced_refitted);
      faint_cell_number (out, it->largest_refitted);
      faint_cell_end (out);
    }
  return g_string_free (out, FALSE);
}

static gboolean
has_imaginary (const FaintReview *self)
{
  for (gsize k = 0; k < faint_analysis_get_n_spectra (self->refit); k++)
    if (faint_analysis_get_spectrum_at (self->refit, k)->value_im != NULL)
      return TRUE;
  return FALSE;
}

/* @imaginary: the table has columns for it, empty where this spectrum has none. */
static void
add_teeth (GString *out, gsize spectrum, const FaintFit *claims, const FaintFit *refit,
           gboolean imaginary)
{
  const FaintSpectrum *s = refit->spectrum;

  for (gsize t = 0; t < s->n; t++)
    {
      g_string_append_printf (out, "%" G_GSIZE_FORMAT ",", spectrum + 1);
      faint_cell_number (out, s->wavenumber[t]);
      faint_cell_number (out, s->value[t]);
      faint_cell_number (out, claims->model[t]);
      faint_cell_number (out, claims->residual[t]);
      faint_cell_number (out, refit->model[t]);
      faint_cell_number (out, refit->residual[t]);
      if (s->value_im != NULL)
        {
          faint_cell_number (out, s->value_im[t]);
          faint_cell_number (out, claims->model_im[t]);
          faint_cell_number (out, claims->residual_im[t]);
          faint_cell_number (out, refit->model_im[t]);
          faint_cell_number (out, refit->residual_im[t]);
        }
      else if (imaginary)
        g_string_append (out, ",,,,,");
      faint_cell_end (out);
    }
}

char *
faint_review_residuals_csv (const FaintReview *self)
{
  GString *out = g_string_new ("spectrum,wavenumber/cm-1,observed,claims,claims_residual,refit,"
                               "refit_residual");
  gboolean imaginary = has_imaginary (self);

  if (imaginary)
    g_string_append (out, ",observed_im,claims_im,claims_residual_im,refit_im,refit_residual_im");
  g_string_append_c (out, '\n');
  for (gsize k = 0; k < faint_analysis_get_n_spectra (self->refit); k++)
    add_teeth (out, k, faint_analysis_get_fit_at (self->model, k),
               faint_analysis_get_fit_at (self->refit, k), imaginary);
  return g_string_free (out, FALSE);
}
