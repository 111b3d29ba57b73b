/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Several spectra: a section for each further one, and what they tell of the lines together.
 */
#include "figure/report-private.h"

#include <math.h>

void
faint_report_spectrum_head (FaintReport *self)
{
  const FaintFit *fit = self->fit;
  g_autofree char *words = faint_analysis_describe_spectrum (self->analysis, self->i);
  g_autofree char *text = g_strdup_printf ("Spectrum %zu of %zu: %s", self->i + 1,
                                           faint_analysis_get_n_spectra (self->analysis), words);
  g_autofree char *heading = faint_paper_escape (text);
  gsize n;
  const FaintAnalysisInput *inputs = faint_analysis_get_inputs (self->analysis, &n);

  faint_paper_heading (self->paper, heading);
  for (gsize k = 0; k < n; k++)
    if (inputs[k].spectrum == self->i)
      {
        g_autofree char *name = g_path_get_basename (inputs[k].path);
        faint_report_pair (self, "input", "%s", name);
      }
  if (fit == NULL)
    return;
  g_autofree char *chi2 = faint_report_plain (fit->chi2_reduced, 5);
  faint_report_pair (self, "reduced chi-square", "%s, %zu windows", chi2, fit->n_windows);
  faint_report_noise (self);
}

void
faint_report_series (FaintReport *self)
{
  for (gsize i = 1; i < faint_analysis_get_n_spectra (self->analysis); i++)
    {
      FaintReport part = *self;
      FaintSpectrum *spectrum = faint_analysis_get_spectrum_at (self->analysis, i);
      FaintFit *fit = faint_analysis_get_fit_at (self->analysis, i);

      part.i = i;
      part.spectrum = spectrum;
      part.setup = spectrum->setup;
      part.fit = fit;
      part.data = faint_figure_data_new (spectrum, fit, faint_analysis_get_lines (self->analysis));
      faint_paper_break (part.paper);
      faint_report_spectrum_head (&part);
      faint_report_spectrum (&part);
      faint_report_header (&part);
      if (faint_range_is_valid (part.data->across))
        faint_report_overview (&part);
      faint_figure_data_unref (part.data);
    }
}

/* The columns of the table; those without a value in any line are left out. */
typedef enum
{
  COLUMN_NUMBER,
  COLUMN_POSITION,
  COLUMN_COEFFICIENT,
  COLUMN_ENERGY,
  COLUMN_STRENGTH_296,
} ColumnKind;

static const struct
{
  FaintPaperColumn paper;
  ColumnKind kind;
  FaintCoefficient which;
} all_columns[] = {
  { { "id", 0.6, FAINT_PAPER_RIGHT }, COLUMN_NUMBER, 0 },
  { { "position/cm⁻¹", 2.3, FAINT_PAPER_POINT }, COLUMN_POSITION, 0 },
  { { "γ<sub>self</sub>", 1.5, FAINT_PAPER_POINT },
    COLUMN_COEFFICIENT,
    FAINT_COEFFICIENT_BROADENING_SELF },
  { { "γ<sub>foreign</sub>", 1.5, FAINT_PAPER_POINT },
    COLUMN_COEFFICIENT,
    FAINT_COEFFICIENT_BROADENING_FOREIGN },
  { { "γ<sub>mixture</sub>", 1.6, FAINT_PAPER_POINT },
    COLUMN_COEFFICIENT,
    FAINT_COEFFICIENT_BROADENING_MIXTURE },
  { { "δ<sub>self</sub>", 1.6, FAINT_PAPER_POINT },
    COLUMN_COEFFICIENT,
    FAINT_COEFFICIENT_SHIFT_SELF },
  { { "δ<sub>foreign</sub>", 1.6, FAINT_PAPER_POINT },
    COLUMN_COEFFICIENT,
    FAINT_COEFFICIENT_SHIFT_FOREIGN },
  { { "δ<sub>mixture</sub>", 1.7, FAINT_PAPER_POINT },
    COLUMN_COEFFICIENT,
    FAINT_COEFFICIENT_SHIFT_MIXTURE },
  { { "n", 1.2, FAINT_PAPER_POINT }, COLUMN_COEFFICIENT, FAINT_COEFFICIENT_WIDTH_EXPONENT },
  { { "E″/cm⁻¹", 1.5, FAINT_PAPER_POINT }, COLUMN_ENERGY, 0 },
  { { "S(296 K)", 2.2, FAINT_PAPER_POINT }, COLUMN_STRENGTH_296, 0 },
};
#define N_COLUMNS G_N_ELEMENTS (all_columns)
G_STATIC_ASSERT (N_COLUMNS <= FAINT_REPORT_COLUMNS);

static char *
cell_of (gsize column, const FaintLine *line)
{
  const FaintParameter *coefficient;

  switch (all_columns[column].kind)
    {
    case COLUMN_NUMBER:
      return g_strdup_printf ("%u", line->id);
    case COLUMN_POSITION:
      return faint_report_number (line->position.value, line->position.u);
    case COLUMN_COEFFICIENT:
      coefficient = &line->coefficient[all_columns[column].which];
      return faint_report_number (coefficient->value, coefficient->u);
    case COLUMN_ENERGY:
      return faint_report_number (line->lower_energy, line->u_lower_energy);
    case COLUMN_STRENGTH_296:
    default:
      return faint_report_number (line->strength_296, line->u_strength_296);
    }
}

static gboolean
is_known (gsize column, const FaintLine *line)
{
  switch (all_columns[column].kind)
    {
    case COLUMN_COEFFICIENT:
      return isfinite (line->coefficient[all_columns[column].which].value);
    case COLUMN_ENERGY:
      return isfinite (line->lower_energy);
    case COLUMN_STRENGTH_296:
      return isfinite (line->strength_296);
    case COLUMN_NUMBER:
    case COLUMN_POSITION:
    default:
      return TRUE;
    }
}

static gboolean
has_coefficient (const FaintLine *line)
{
  for (guint k = 0; k < FAINT_COEFFICIENT_N; k++)
    if (isfinite (line->coefficient[k].value))
      return TRUE;
  return (line->flags & FAINT_LINE_ENERGY_FITTED) != 0;
}

/* Indices into all_columns. */
static guint
choose_columns (const FaintLineList *lines, gsize *chosen)
{
  guint n_chosen = 0;

  for (gsize c = 0; c < N_COLUMNS; c++)
    for (gsize i = 0; i < faint_line_list_get_n (lines); i++)
      if (is_known (c, faint_line_list_get (lines, i)))
        {
          chosen[n_chosen++] = c;
          break;
        }
  return n_chosen;
}

static void
add_rows (FaintReport *self, const gsize *chosen, guint n_chosen)
{
  for (gsize i = 0; i < faint_line_list_get_n (self->lines); i++)
    {
      char **cells = g_new0 (char *, n_chosen);
      for (guint c = 0; c < n_chosen; c++)
        cells[c] = cell_of (chosen[c], faint_line_list_get (self->lines, i));
      faint_paper_row (self->paper, cells);
    }
}

void
faint_report_coefficients (FaintReport *self)
{
  gsize chosen[N_COLUMNS];
  gboolean any = FALSE;
  guint n_chosen;

  for (gsize i = 0; i < faint_line_list_get_n (self->lines); i++)
    any = any || has_coefficient (faint_line_list_get (self->lines, i));
  if (!any)
    return;
  n_chosen = choose_columns (self->lines, chosen);
  for (guint c = 0; c < n_chosen; c++)
    self->columns[c] = all_columns[chosen[c]].paper;
  faint_paper_break (self->paper);
  faint_paper_heading (self->paper, "Coefficients");
  faint_paper_note (
      self->paper,
      "Half widths γ and shifts δ in cm⁻¹/atm at 296 K, by the partial pressure of the absorber "
      "(self), of all else (foreign), or by the total pressure of the mixture; n: the width goes "
      "as "
      "(296 K/T)ⁿ; lower-state energy E″; strength at 296 K in cm/molecule.");
  faint_paper_space (self->paper, 3.0);
  faint_paper_table (self->paper, self->columns, n_chosen);
  add_rows (self, chosen, n_chosen);
  faint_paper_table_end (self->paper);
}
