/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The table of lines.
 */
#include "figure/report-private.h"

#include "faint/strength/budget.h"

#include <math.h>

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
  { FAINT_LINE_NOT_DETERMINED, "N",
    "not determined: a parameter, or of a blend the line's own strength" },
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
marks_of (guint flags, FaintProfile profile)
{
  GString *text = g_string_new (profile == FAINT_PROFILE_VOIGT                   ? ""
                                : profile == FAINT_PROFILE_SPEED_DEPENDENT_VOIGT ? "V"
                                                                                 : "H");
  for (guint i = 0; i < G_N_ELEMENTS (marks); i++)
    if (flags & marks[i].flag)
      g_string_append (text, marks[i].letter);
  return g_string_free (text, FALSE);
}

/* Explains the letters that occur. */
static void
add_legend (FaintReport *self, guint flags, const gboolean *profiles)
{
  GString *text = g_string_new ("Marks:");

  for (guint i = 0; i < G_N_ELEMENTS (marks); i++)
    if (flags & marks[i].flag)
      g_string_append_printf (text, "  <b>%s</b> %s;", marks[i].letter, marks[i].meaning);
  if (profiles[FAINT_PROFILE_SPEED_DEPENDENT_VOIGT])
    g_string_append (text, "  <b>V</b> speed-dependent Voigt profile;");
  if (profiles[FAINT_PROFILE_HARTMANN_TRAN])
    g_string_append (text, "  <b>H</b> Hartmann–Tran profile;");
  if (g_str_has_suffix (text->str, ":"))
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
  { "id", 0.7, 1.0 },
  { "position/cm⁻¹", 2.3, FAINT_PAPER_POINT },
  { "strength/(cm/molecule)", 2.8, FAINT_PAPER_POINT },
  { "γ<sub>L</sub>/cm⁻¹", 2.2, FAINT_PAPER_POINT },
  { "γ<sub>D</sub>/cm⁻¹", 2.2, FAINT_PAPER_POINT },
  { "S/N", 0.9, FAINT_PAPER_POINT },
  { "χ²<sub>red</sub>", 0.8, FAINT_PAPER_POINT },
  { "marks", 1.0, 0.0 },
};
static const FaintPaperColumn assigned_columns[] = {
  { "id", 0.7, 1.0 },
  { "position/cm⁻¹", 2.2, FAINT_PAPER_POINT },
  { "strength/(cm/molecule)", 2.6, FAINT_PAPER_POINT },
  { "γ<sub>L</sub>/cm⁻¹", 2.0, FAINT_PAPER_POINT },
  { "S/N", 0.9, FAINT_PAPER_POINT },
  { "χ²<sub>red</sub>", 0.8, FAINT_PAPER_POINT },
  { "marks", 0.9, 0.0 },
  { "assignment", 2.6, 0.0 },
};

static void
add_row (FaintReport *self, const FaintLine *line, gboolean assigned)
{
  char **cells = g_new0 (char *, G_N_ELEMENTS (plain_columns));
  guint i = 0;

  cells[i++] = g_strdup_printf ("%u", line->id);
  cells[i++] = parameter_text (line->position);
  cells[i++] = parameter_text (line->strength);
  cells[i++] = parameter_text (line->lorentz);
  if (!assigned)
    cells[i++] = parameter_text (line->doppler);
  cells[i++] = decimal (line->snr, "%.1f");
  cells[i++] = decimal (line->chi2_reduced, "%.2f");
  cells[i++] = marks_of (line->flags, line->profile);
  if (assigned)
    cells[i++] = assignment_text (line);
  faint_paper_row (self->paper, cells);
}

static const FaintPaperColumn reference_columns[] = {
  { "id", 0.7, 1.0 },
  { "position/cm⁻¹", 1.8, FAINT_PAPER_POINT },
  { "S(296 K)/(cm/molecule)", 2.6, FAINT_PAPER_POINT },
  { "E″/cm⁻¹", 1.8, FAINT_PAPER_POINT },
  { "γ<sub>D</sub>/cm⁻¹", 2.0, FAINT_PAPER_POINT },
  { "assignment", 2.6, 0.0 },
};

/* What lower-state energies add to the lines of a single spectrum; a series has a table of its own.
 */
static void
add_reference_strengths (FaintReport *self)
{
  gsize n = faint_line_list_get_n (self->lines), known = 0;

  for (gsize i = 0; i < n; i++)
    known += isfinite (faint_line_list_get (self->lines, i)->lower_energy);
  if (known == 0 || faint_analysis_get_n_spectra (self->analysis) > 1)
    return;
  faint_paper_heading (self->paper, "Strengths at 296 K");
  faint_paper_note (
      self->paper, "Of the lines whose lower-state energy is known, by the equation under Method.");
  faint_paper_table (self->paper, reference_columns, G_N_ELEMENTS (reference_columns));
  for (gsize i = 0; i < n; i++)
    {
      const FaintLine *line = faint_line_list_get (self->lines, i);
      char **cells;

      if (!isfinite (line->lower_energy))
        continue;
      cells = g_new0 (char *, G_N_ELEMENTS (reference_columns));
      cells[0] = g_strdup_printf ("%u", line->id);
      cells[1] = decimal (line->position.value, "%.4f");
      cells[2] = faint_report_number (line->strength_296, line->u_strength_296);
      cells[3] = isfinite (line->u_lower_energy)
                     ? faint_report_number (line->lower_energy, line->u_lower_energy)
                     : decimal (line->lower_energy, "%.4f");
      cells[4] = isfinite (line->doppler.u) ? parameter_text (line->doppler)
                                            : decimal (line->doppler.value, "%.6f");
      cells[5] = assignment_text (line);
      faint_paper_row (self->paper, cells);
    }
  faint_paper_table_end (self->paper);
}

void
faint_report_lines (FaintReport *self)
{
  gsize n = faint_line_list_get_n (self->lines);
  gboolean assigned = FALSE, profiles[FAINT_PROFILE_N] = { FALSE };
  guint flags = 0;

  G_STATIC_ASSERT (G_N_ELEMENTS (plain_columns) == G_N_ELEMENTS (assigned_columns));
  if (n == 0)
    {
      faint_paper_heading (self->paper, "Lines");
      faint_paper_paragraph (self->paper, "The list of lines is empty.");
      return;
    }
  for (gsize i = 0; i < n; i++)
    {
      const FaintLine *line = faint_line_list_get (self->lines, i);
      flags |= line->flags;
      profiles[line->profile] = TRUE;
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
  if (self->fit != NULL)
    {
      g_autofree char *factor
          = faint_report_plain (faint_coverage_factor (FAINT_REPORT_LEVEL, self->fit->dof), 3);
      g_autofree char *words = g_strdup_printf (
          "Uncertainties are combined standard uncertainties; times the coverage factor %s they "
          "are "
          "expanded uncertainties that hold with a probability of %.2f %% (JCGM 100:2008, 6.2 and "
          "annex G).",
          factor, 100.0 * FAINT_REPORT_LEVEL);
      faint_paper_note (self->paper, words);
    }
  add_legend (self, flags, profiles);
  faint_paper_space (self->paper, 3.0);
  faint_paper_table (self->paper, assigned ? assigned_columns : plain_columns,
                     G_N_ELEMENTS (plain_columns));
  for (gsize i = 0; i < n; i++)
    add_row (self, faint_line_list_get (self->lines, i), assigned);
  faint_paper_table_end (self->paper);
  add_reference_strengths (self);
}
