/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where uncertainty comes from: of the strongest line as bars, of all strengths as a table.
 */
#include "figure/report-private.h"

#include "faint/strength/budget.h"

#include <math.h>

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
  double level = FAINT_REPORT_LEVEL, factor = faint_coverage_factor (level, self->fit->dof);
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

static gboolean
source_matters (const FaintLineList *lines, int source)
{
  for (gsize i = 0; i < faint_line_list_get_n (lines); i++)
    {
      const FaintLine *line = faint_line_list_get (lines, i);
      if (fabs (line->strength_from[source]) > 1e-6 * line->strength.u)
        return TRUE;
    }
  return FALSE;
}

/* A row: number, position, relative combined uncertainty, and what each source adds to it. */
static void
add_strength_row (FaintReport *self, gsize i, const int *sources, guint n)
{
  const FaintLine *line = faint_line_list_get (self->lines, i);
  char **cells = g_new0 (char *, n + 3);

  cells[0] = g_strdup_printf ("%u", line->id);
  cells[1] = faint_report_number (line->position.value, line->position.u);
  for (guint k = 0; k < n + 1; k++)
    {
      double u = k == 0 ? line->strength.u : line->strength_from[sources[k - 1]];
      double share = 100.0 * u / line->strength.value;
      char digits[G_ASCII_DTOSTR_BUF_SIZE];

      cells[2 + k] = isfinite (share)
                         ? g_strdup (g_ascii_formatd (digits, sizeof digits, "%.3f", share))
                         : g_strdup ("–");
      if (cells[2 + k][0] == '-')
        {
          g_autofree char *plain = cells[2 + k];
          gboolean zero = g_ascii_strtod (plain, NULL) == 0.0;
          cells[2 + k] = g_strconcat (zero ? "" : "−", plain + 1, NULL);
        }
    }
  faint_paper_row (self->paper, cells);
}

static const char *const source_heads[FAINT_SOURCE_N] = {
  "noise",  "temp.",    "pressure", "fraction",  "length",
  "cavity", "detuning", "mass",     "rep. rate", "offset",
};

/* Of all lines, the strengths: noise alone differs from line to line. */
static void
add_strengths (FaintReport *self)
{
  int sources[FAINT_SOURCE_N];
  guint n = 0;
  FaintPaperColumn *columns = self->columns + FAINT_REPORT_COLUMNS;

  for (int source = 0; source < FAINT_SOURCE_N; source++)
    if (source_matters (self->lines, source))
      sources[n++] = source;
  if (n == 0)
    return;
  columns[0] = (FaintPaperColumn){ "id", 0.6, FAINT_PAPER_RIGHT };
  columns[1] = (FaintPaperColumn){ "position/cm⁻¹", 1.8, FAINT_PAPER_POINT };
  columns[2] = (FaintPaperColumn){ "combined", 1.1, FAINT_PAPER_POINT };
  for (guint k = 0; k < n; k++)
    columns[3 + k] = (FaintPaperColumn){ source_heads[sources[k]], 1.15, FAINT_PAPER_POINT };
  faint_paper_heading (self->paper, "Uncertainty budget of the strengths");
  faint_paper_note (
      self->paper, "Signed contributions to the standard uncertainty, in per cent of the strength. "
                   "Sources below a millionth of the uncertainty of every line are left out.");
  faint_paper_table (self->paper, columns, n + 3);
  for (gsize i = 0; i < faint_line_list_get_n (self->lines); i++)
    if (!(faint_line_list_get (self->lines, i)->flags & FAINT_LINE_EXCLUDED))
      add_strength_row (self, i, sources, n);
  faint_paper_table_end (self->paper);
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
  add_strengths (self);
}
