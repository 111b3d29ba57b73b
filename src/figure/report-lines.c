/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The table of lines, and where the uncertainty of the strongest comes from.
 */
#include "figure/report-private.h"

#include "faint/strength/budget.h"

#include <math.h>
#include <string.h>

static const struct
{
  guint flag;
  const char *letter, *meaning;
} marks[] = {
  { FAINT_LINE_POSITION_FIXED, "p", "position fixed" },
  { FAINT_LINE_STRENGTH_FIXED, "s", "strength fixed" },
  { FAINT_LINE_LORENTZ_FIXED, "l", "Lorentz width fixed" },
  { FAINT_LINE_DOPPLER_FIXED, "d", "Doppler width fixed" },
  { FAINT_LINE_LORENTZ_AT_LIMIT, "0", "Lorentz width held at zero" },
  { FAINT_LINE_WIDTH_SHARED, "w", "width rests mostly on the other lines" },
  { FAINT_LINE_WIDTH_UNUSUAL, "u", "far wider than the others" },
  { FAINT_LINE_BLENDED, "b", "blended" },
  { FAINT_LINE_NOT_DETERMINED, "N", "not determined" },
  { FAINT_LINE_SATURATED, "S", "peak absorption above one half" },
  { FAINT_LINE_AT_EDGE, "e", "at the edge of the span" },
  { FAINT_LINE_NOT_CONVERGED, "C", "not converged" },
  { FAINT_LINE_EXCLUDED, "X", "excluded from the model" },
  { FAINT_LINE_POSITION_TIED | FAINT_LINE_STRENGTH_TIED | FAINT_LINE_LORENTZ_TIED
        | FAINT_LINE_DOPPLER_TIED,
    "t", "a parameter tied to another line's" },
  { FAINT_LINE_ENERGY_FITTED, "E", "lower-state energy from several temperatures" },
};

static char *
marks_of (guint flags)
{
  GString *text = g_string_new (NULL);
  for (guint i = 0; i < G_N_ELEMENTS (marks); i++)
    if (flags & marks[i].flag)
      g_string_append (text, marks[i].letter);
  return g_string_free (text, FALSE);
}

/* Explains the letters that occur. */
static void
add_legend (FaintReport *self, guint flags)
{
  GString *text = g_string_new ("Marks:");

  for (guint i = 0; i < G_N_ELEMENTS (marks); i++)
    if (flags & marks[i].flag)
      g_string_append_printf (text, "  <b>%s</b> %s;", marks[i].letter, marks[i].meaning);
  if (flags == 0)
    g_string_append (text, " none");
  else
    g_string_truncate (text, text->len - 1);
  g_string_append_c (text, '.');
  g_autofree char *legend = g_string_free (text, FALSE);
  faint_paper_note (self->paper, legend);
}

static char *
parameter_text (FaintParameter parameter)
{
  return faint_report_number (parameter.value,
                              parameter.state == FAINT_STATE_FIXED ? NAN : parameter.u);
}

static char *
assignment_text (const FaintLine *line)
{
  if (line->upper[0] == '\0' && line->lower[0] == '\0')
    return g_strdup ("");
  return g_strdup_printf ("%s ← %s", line->upper, line->lower);
}

static char *
decimal (double value, const char *format)
{
  char digits[G_ASCII_DTOSTR_BUF_SIZE];
  if (!isfinite (value))
    return g_strdup ("–");
  return g_strdup (g_ascii_formatd (digits, sizeof digits, format, value));
}

static const FaintPaperColumn plain_columns[] = {
  { "no.", 0.7, 1.0 },
  { "position/cm⁻¹", 2.3, 1.0 },
  { "strength/(cm/molecule)", 2.8, 1.0 },
  { "γ<sub>L</sub>/cm⁻¹", 2.2, 1.0 },
  { "γ<sub>D</sub>/cm⁻¹", 2.2, 1.0 },
  { "S/N", 0.9, 1.0 },
  { "χ²<sub>red</sub>", 0.8, 1.0 },
  { "marks", 1.0, 0.0 },
};
static const FaintPaperColumn assigned_columns[] = {
  { "no.", 0.7, 1.0 },
  { "position/cm⁻¹", 2.2, 1.0 },
  { "strength/(cm/molecule)", 2.6, 1.0 },
  { "γ<sub>L</sub>/cm⁻¹", 2.0, 1.0 },
  { "S/N", 0.9, 1.0 },
  { "χ²<sub>red</sub>", 0.8, 1.0 },
  { "marks", 0.9, 0.0 },
  { "assignment", 2.6, 0.0 },
};

static void
add_row (FaintReport *self, gsize number, const FaintLine *line, gboolean assigned)
{
  char **cells = g_new0 (char *, G_N_ELEMENTS (plain_columns));
  guint i = 0;

  cells[i++] = g_strdup_printf ("%zu", number);
  cells[i++] = parameter_text (line->position);
  cells[i++] = parameter_text (line->strength);
  cells[i++] = parameter_text (line->lorentz);
  if (!assigned)
    cells[i++] = parameter_text (line->doppler);
  cells[i++] = decimal (line->snr, "%.1f");
  cells[i++] = decimal (line->chi2_reduced, "%.2f");
  cells[i++] = marks_of (line->flags);
  if (assigned)
    cells[i++] = assignment_text (line);
  faint_paper_row (self->paper, cells);
}

void
faint_report_lines (FaintReport *self)
{
  gsize n = faint_line_list_get_n (self->lines);
  gboolean assigned = FALSE;
  guint flags = 0;

  G_STATIC_ASSERT (G_N_ELEMENTS (plain_columns) == G_N_ELEMENTS (assigned_columns));
  if (n == 0)
    return;
  for (gsize i = 0; i < n; i++)
    {
      const FaintLine *line = faint_line_list_get (self->lines, i);
      flags |= line->flags;
      assigned = assigned || line->upper[0] != '\0' || line->lower[0] != '\0';
    }
  faint_paper_break (self->paper);
  faint_paper_heading (self->paper, "Lines");
  faint_paper_note (self->paper,
                    faint_analysis_get_n_spectra (self->analysis) > 1
                        ? "Values hold under the conditions of spectrum 1, uncertainties come from "
                          "all spectra. A value without parentheses was not fitted."
                        : "Strengths hold at the temperature of the measurement. A value without "
                          "parentheses was not fitted.");
  add_legend (self, flags);
  faint_paper_space (self->paper, 3.0);
  faint_paper_table (self->paper, assigned ? assigned_columns : plain_columns,
                     G_N_ELEMENTS (plain_columns));
  for (gsize i = 0; i < n; i++)
    add_row (self, i + 1, faint_line_list_get (self->lines, i), assigned);
  faint_paper_table_end (self->paper);
}

static const FaintLine *
strongest_line (const FaintLineList *lines)
{
  const FaintLine *strongest = NULL;

  for (gsize i = 0; i < faint_line_list_get_n (lines); i++)
    {
      const FaintLine *line = faint_line_list_get (lines, i);
      if (line->flags & FAINT_LINE_EXCLUDED || !(line->strength.value > 0.0))
        continue;
      if (strongest == NULL || line->strength.value > strongest->strength.value)
        strongest = line;
    }
  return strongest;
}

#define BAR_HEIGHT 13.0

typedef struct
{
  double share[FAINT_SOURCE_N]; /* |contribution| over the combined uncertainty */
  char *name[FAINT_SOURCE_N], *value[FAINT_SOURCE_N];
} Bars;

static void
bars_free (gpointer data)
{
  Bars *bars = data;
  for (int i = 0; i < FAINT_SOURCE_N; i++)
    {
      g_free (bars->name[i]);
      g_free (bars->value[i]);
    }
  g_free (bars);
}

static void
bars_draw (const FaintCanvas *canvas, FaintRect place, gpointer data)
{
  const Bars *bars = data;
  double left = place.x + 0.22 * place.width, most = 0.5 * place.width, y = place.y;

  for (int i = 0; i < FAINT_SOURCE_N; i++)
    {
      if (bars->name[i] == NULL)
        continue;
      double length = most * MIN (bars->share[i], 1.0), middle = y + 0.5 * BAR_HEIGHT;
      faint_canvas_text (canvas, FAINT_PART_TEXT, bars->name[i], left - 6.0, middle, 1.0, 0.5);
      faint_canvas_fill (canvas, FAINT_PART_RESIDUAL,
                         (FaintRect){ left, y + 3.0, MAX (length, 0.4), BAR_HEIGHT - 6.0 });
      faint_canvas_text (canvas, FAINT_PART_TEXT, bars->value[i], left + length + 5.0, middle, 0.0,
                         0.5);
      y += BAR_HEIGHT;
    }
  faint_canvas_pen (canvas, FAINT_PART_AXIS);
  cairo_move_to (canvas->cr, left, place.y);
  cairo_line_to (canvas->cr, left, y);
  cairo_stroke (canvas->cr);
}

static void
add_budget_of (FaintReport *self, const char *name, const char *unit, FaintParameter parameter,
               const double *from)
{
  g_autofree Bars *bars = g_new0 (Bars, 1);
  guint n = 0;

  for (int i = 0; i < FAINT_SOURCE_N; i++)
    {
      /* What adds less than a millionth is not worth a row. */
      bars->share[i] = fabs (from[i]) / parameter.u;
      if (!(bars->share[i] > 1e-6))
        continue;
      g_autofree char *size = faint_report_plain (from[i], 2);
      bars->name[i] = g_strdelimit (g_strdup (faint_uncertainty_source_name (i)), "_", ' ');
      bars->value[i] = g_strdup_printf ("%s %s", size, unit);
      n++;
    }
  if (!(parameter.u > 0.0) || n == 0)
    {
      bars_free (g_steal_pointer (&bars));
      return;
    }
  double level = 0.9545, factor = faint_coverage_factor (level, self->fit->dof);
  g_autofree char *value = faint_report_number (parameter.value, parameter.u);
  g_autofree char *u = faint_report_plain (parameter.u, 2);
  g_autofree char *expanded = faint_report_plain (factor * parameter.u, 2);
  g_autofree char *words
      = g_strdup_printf ("<b>%s</b>  %s %s;  combined standard uncertainty %s %s, expanded "
                         "uncertainty %s %s (coverage "
                         "factor %.2f, %.2f %%)",
                         name, value, unit, u, unit, expanded, unit, factor, 100.0 * level);
  faint_paper_need (self->paper, BAR_HEIGHT * n + 40.0);
  faint_paper_paragraph (self->paper, words);
  faint_paper_drawing (self->paper, BAR_HEIGHT * n, bars_draw, g_steal_pointer (&bars), bars_free);
  faint_paper_space (self->paper, 8.0);
}

void
faint_report_budget (FaintReport *self)
{
  const FaintLine *line = strongest_line (self->lines);

  if (self->fit == NULL || line == NULL)
    return;
  faint_paper_need (self->paper, 150.0);
  g_autofree char *position = faint_report_number (line->position.value, line->position.u);
  g_autofree char *heading
      = g_strdup_printf ("Uncertainty budget of the strongest line, %s cm⁻¹", position);
  faint_paper_heading (self->paper, heading);
  faint_paper_note (
      self->paper, "Signed contributions of each source to the standard uncertainty; a bar's "
                   "length is its size over the combined uncertainty. Sources below a millionth of "
                   "it are left out. Noise is independent from "
                   "line to line; every other source is common to all lines.");
  add_budget_of (self, "strength", "cm/molecule", line->strength, line->strength_from);
  add_budget_of (self, "position", "cm⁻¹", line->position, line->position_from);
  add_budget_of (self, "Lorentz half width", "cm⁻¹", line->lorentz, line->lorentz_from);
}
