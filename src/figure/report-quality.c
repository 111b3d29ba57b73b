/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How well the model fits window by window, and which parameters the data tell apart badly.
 */
#include "figure/report-private.h"

#include <math.h>
#include <stdlib.h>

/* Pairs correlated less than this are not collected; those printed are the largest. */
#define LEAST_CORRELATION 0.2
#define MOST_CORRELATIONS 40

static const FaintPaperColumn window_columns[] = {
  { "window", 0.8, FAINT_PAPER_RIGHT },        { "from/cm⁻¹", 1.3, FAINT_PAPER_POINT },
  { "to/cm⁻¹", 1.3, FAINT_PAPER_POINT },       { "samples", 0.9, FAINT_PAPER_RIGHT },
  { "lines", 0.7, FAINT_PAPER_RIGHT },         { "χ²<sub>red</sub>", 0.8, FAINT_PAPER_POINT },
  { "lag-1 corr.", 1.1, FAINT_PAPER_POINT },   { "runs test, z", 1.2, FAINT_PAPER_POINT },
  { "largest |r|/σ", 1.4, FAINT_PAPER_POINT },
};

static char *
decimal (double value)
{
  g_autofree char *text = g_strdup_printf ("%.2f", fabs (value));

  if (!isfinite (value))
    return g_strdup ("–");
  return g_strconcat (value < 0.0 && g_ascii_strtod (text, NULL) > 0.0 ? "−" : "", text, NULL);
}

static void
add_window (FaintReport *self, gsize k)
{
  const FaintFitWindow *window = &self->fit->windows[k];
  char **cells = g_new0 (char *, G_N_ELEMENTS (window_columns));

  cells[0] = g_strdup_printf ("%zu", k + 1);
  cells[1] = g_strdup_printf ("%.4f", window->lower);
  cells[2] = g_strdup_printf ("%.4f", window->upper);
  cells[3] = g_strdup_printf ("%zu", window->n_used);
  cells[4] = g_strdup_printf ("%zu", window->n_lines);
  cells[5] = g_strdup_printf ("%.3f", window->chi2_reduced);
  cells[6] = decimal (window->lag1);
  cells[7] = decimal (window->runs_z);
  cells[8] = decimal (window->largest);
  faint_paper_row (self->paper, cells);
}

static void
add_quality_of (FaintReport *self)
{
  if (faint_analysis_get_n_spectra (self->analysis) > 1)
    {
      g_autofree char *words = g_strdup_printf ("Spectrum %zu:", self->i + 1);
      faint_paper_paragraph (self->paper, words);
    }
  faint_paper_table (self->paper, window_columns, G_N_ELEMENTS (window_columns));
  for (gsize k = 0; k < self->fit->n_windows; k++)
    add_window (self, k);
  faint_paper_table_end (self->paper);
}

void
faint_report_quality (FaintReport *self)
{
  if (self->fit == NULL || self->fit->n_windows == 0)
    return;
  faint_paper_break (self->paper);
  faint_paper_heading (self->paper, "Quality by window");
  faint_paper_note (
      self->paper,
      "Residuals r are divided by the standard uncertainty σ of their sample; lag-1 corr.: "
      "autocorrelation "
      "of neighbours. Where the model is right the "
      "reduced chi-square is near 1, the autocorrelation near 0 (within two of one over the root "
      "of "
      "the number of samples), and z of the runs test is a standard normal number.");
  for (gsize i = 0; i < faint_analysis_get_n_spectra (self->analysis); i++)
    {
      FaintReport part = *self;
      part.i = i;
      part.fit = faint_analysis_get_fit_at (self->analysis, i);
      if (part.fit != NULL)
        add_quality_of (&part);
    }
}

typedef struct
{
  gsize spectrum, window;
  char *first, *second;
  double value;
} Pair;

static void
pair_clear (gpointer data)
{
  Pair *pair = data;
  g_free (pair->first);
  g_free (pair->second);
}

/* The largest first; pairs equally large in the order of the windows. */
static int
compare_pairs (gconstpointer a, gconstpointer b)
{
  const Pair *one = a, *other = b;
  double x = fabs (one->value), y = fabs (other->value);

  if (x != y)
    return x < y ? 1 : -1;
  return (one->window > other->window) - (one->window < other->window);
}

static void
collect (GArray *pairs, const FaintFit *fit, gsize spectrum, gsize window)
{
  char **names = NULL;
  gsize n = 0;
  g_autofree double *matrix = faint_fit_correlation (fit, window, &names, &n);
  g_auto (GStrv) owned = names;

  for (gsize a = 0; matrix != NULL && a < n; a++)
    for (gsize b = 0; b < a; b++)
      if (fabs (matrix[a * n + b]) >= LEAST_CORRELATION)
        {
          Pair pair
              = { spectrum, window, g_strdup (owned[b]), g_strdup (owned[a]), matrix[a * n + b] };
          g_array_append_val (pairs, pair);
        }
}

static const FaintPaperColumn pair_columns[] = {
  { "window", 0.8, FAINT_PAPER_RIGHT },
  { "parameter", 2.4, FAINT_PAPER_LEFT },
  { "parameter", 2.4, FAINT_PAPER_LEFT },
  { "correlation", 1.0, FAINT_PAPER_POINT },
};

static void
add_pair (FaintReport *self, const Pair *pair)
{
  char **cells = g_new0 (char *, G_N_ELEMENTS (pair_columns));

  cells[0] = faint_analysis_get_n_spectra (self->analysis) > 1
                 ? g_strdup_printf ("%zu:%zu", pair->spectrum + 1, pair->window + 1)
                 : g_strdup_printf ("%zu", pair->window + 1);
  cells[1] = g_strdup (pair->first);
  cells[2] = g_strdup (pair->second);
  cells[3] = g_strdup_printf ("%s%.3f", pair->value < 0.0 ? "−" : "", fabs (pair->value));
  faint_paper_row (self->paper, cells);
}

void
faint_report_correlations (FaintReport *self)
{
  g_autoptr (GArray) pairs = g_array_new (FALSE, FALSE, sizeof (Pair));
  guint n;

  if (self->fit == NULL)
    return;
  g_array_set_clear_func (pairs, pair_clear);
  for (gsize i = 0; i < faint_analysis_get_n_spectra (self->analysis); i++)
    {
      const FaintFit *fit = faint_analysis_get_fit_at (self->analysis, i);
      for (gsize k = 0; fit != NULL && k < fit->n_windows; k++)
        collect (pairs, fit, i, k);
    }
  faint_paper_heading (self->paper, "Larger correlations");
  if (pairs->len == 0)
    {
      faint_paper_paragraph (
          self->paper,
          faint_analysis_get_n_spectra (self->analysis) > 1
                  && faint_analysis_get_joint (self->analysis) == NULL
              ? "This result of several spectra was read from a file, which does not hold their "
                "covariance: a fit, which gives the same numbers again, gives it too."
              : "No two parameters of a window are correlated by 0.2 or more.");
      return;
    }
  g_array_sort (pairs, compare_pairs);
  n = MIN (pairs->len, MOST_CORRELATIONS);
  g_autofree char *words = g_strdup_printf (
      "%u pairs of parameters in a window are correlated by 0.2 or more by noise; "
      "%s%u, the largest first.",
      pairs->len, n < pairs->len ? "these are the largest " : "these ", n);
  faint_paper_note (self->paper, words);
  faint_paper_table (self->paper, pair_columns, G_N_ELEMENTS (pair_columns));
  for (guint i = 0; i < n; i++)
    add_pair (self, &g_array_index (pairs, Pair, i));
  faint_paper_table_end (self->paper);
}
