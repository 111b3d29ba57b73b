/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a result says of itself window by window, as tables.
 */
#include "faint/analysis/analysis-private.h"

#include <math.h>

/* Correlations below this size are left out: they change no sum of two parameters by more than a
 * fifth. */
#define LEAST_CORRELATION 0.2

static void
append (GString *out, double value)
{
  g_autofree char *text = isfinite (value) ? faint_format_double (value) : g_strdup ("");

  g_string_append_c (out, ',');
  g_string_append (out, text);
}

static void
append_window (GString *out, gsize spectrum, gsize k, const FaintFitWindow *window)
{
  g_string_append_printf (out, "%" G_GSIZE_FORMAT ",%" G_GSIZE_FORMAT, spectrum + 1, k + 1);
  append (out, window->lower);
  append (out, window->upper);
  g_string_append_printf (out, ",%" G_GSIZE_FORMAT ",%" G_GSIZE_FORMAT ",%" G_GSIZE_FORMAT,
                          window->n_used, window->n_lines, window->n_parameters);
  append (out, window->chi2);
  append (out, window->dof);
  append (out, window->chi2_reduced);
  append (out, window->lag1);
  append (out, window->runs_z);
  append (out, window->largest);
  g_string_append_c (out, '\n');
}

char *
faint_analysis_windows_csv (const FaintAnalysis *self)
{
  GString *out = g_string_new ("spectrum,window,lower/cm-1,upper/cm-1,teeth,lines,parameters,chi2,"
                               "degrees_of_freedom,chi2_reduced,lag1_autocorrelation,runs_z,"
                               "largest_residual\n");

  for (gsize i = 0; i < self->n_parts; i++)
    for (gsize k = 0; self->parts[i].fit != NULL && k < self->parts[i].fit->n_windows; k++)
      append_window (out, i, k, &self->parts[i].fit->windows[k]);
  return g_string_free (out, FALSE);
}

/* The larger correlations of the parameters in one window. */
static void
append_correlations (GString *out, const FaintFit *fit, gsize spectrum, gsize k)
{
  g_auto (GStrv) names = NULL;
  gsize n = 0;
  g_autofree double *matrix = faint_fit_correlation (fit, k, &names, &n);

  for (gsize a = 0; matrix != NULL && a < n; a++)
    for (gsize b = 0; b < a; b++)
      if (fabs (matrix[a * n + b]) >= LEAST_CORRELATION)
        {
          g_string_append_printf (out, "%" G_GSIZE_FORMAT ",%" G_GSIZE_FORMAT ",%s,%s",
                                  spectrum + 1, k + 1, names[b], names[a]);
          append (out, matrix[a * n + b]);
          g_string_append_c (out, '\n');
        }
}

char *
faint_analysis_correlations_csv (const FaintAnalysis *self)
{
  GString *out = g_string_new ("spectrum,window,parameter,parameter,correlation\n");

  for (gsize i = 0; i < self->n_parts; i++)
    for (gsize k = 0; self->parts[i].fit != NULL && k < self->parts[i].fit->n_windows; k++)
      append_correlations (out, self->parts[i].fit, i, k);
  return g_string_free (out, FALSE);
}
