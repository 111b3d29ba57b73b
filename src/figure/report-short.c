/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The short form: one page to hand round.
 */
#include "figure/report-private.h"

#include "figure/spectrum-figure.h"

#include <math.h>

#define FIGURE_HEIGHT 285.0
/* Of a row of the table, and of what stands below the table. */
#define ROW 10.2
#define FOOT 92.0
#define MOST_ROWS 24

static void
append_quantity (GString *text, const char *name, FaintQuantity quantity)
{
  g_autofree char *value = faint_report_quantity (quantity, NULL);
  g_autofree char *end = NULL;
  char *remark;

  if (value == NULL)
    return;
  remark = g_strstr_len (value, -1, "   (");
  if (remark != NULL)
    *remark = '\0';
  g_string_append_printf (text, "%s%s %s", text->len > 0 ? ";  " : "", name, value);
}

static void
add_conditions (FaintReport *self)
{
  static const char *const mirrors[] = {
    [FAINT_MIRROR_UNKNOWN] = "mirrors",           [FAINT_MIRROR_FINESSE] = "finesse",
    [FAINT_MIRROR_REFLECTIVITY] = "reflectivity", [FAINT_MIRROR_RING_DOWN_TIME] = "ring-down time",
    [FAINT_MIRROR_LINEWIDTH] = "mode width",      [FAINT_MIRROR_TABLE] = "finesse"
  };
  const FaintSetup *setup = self->setup;
  GString *gas = g_string_new (NULL), *cavity = g_string_new (NULL);

  append_quantity (gas, "temperature", setup->temperature);
  append_quantity (gas, "pressure", setup->pressure);
  append_quantity (gas, "mole fraction", setup->mole_fraction);
  append_quantity (cavity, "length", setup->cavity_length);
  if (setup->mirror_kind == FAINT_MIRROR_TABLE)
    g_string_append (cavity, ";  finesse from a table");
  else
    append_quantity (cavity, mirrors[setup->mirror_kind], setup->mirror);
  append_quantity (cavity, "repetition rate", setup->repetition_rate);
  if (gas->len > 0)
    faint_report_pair (self, "conditions", "%s", gas->str);
  if (cavity->len > 0)
    faint_report_pair (self, "cavity and comb", "%s", cavity->str);
  if (self->spectrum->n > 0)
    faint_report_pair (self, "spectrum", "%zu samples, %.4f cm⁻¹ to %.4f cm⁻¹", self->spectrum->n,
                       self->spectrum->wavenumber[0],
                       self->spectrum->wavenumber[self->spectrum->n - 1]);
  g_string_free (gas, TRUE);
  g_string_free (cavity, TRUE);
}

static void
add_result (FaintReport *self)
{
  FaintAnalysisResult result;
  gsize warnings = faint_analysis_get_warnings (self->analysis)->len;
  const GPtrArray *of_fit = faint_analysis_get_fit_warnings (self->analysis);

  if (!faint_analysis_get_result (self->analysis, &result))
    {
      faint_report_pair (self, "result", "nothing was fitted");
      return;
    }
  warnings += of_fit != NULL ? of_fit->len : 0;
  g_autofree char *chi2 = faint_report_plain (result.chi2_reduced, 4);
  g_autofree char *noise = faint_report_plain (self->fit->noise_equivalent_absorption, 3);
  faint_report_pair (self, "result",
                     "%zu lines, %s; reduced chi-square %s with %.0f degrees of freedom; "
                     "noise-equivalent absorption %s cm⁻¹ a tooth; warnings: %zu%s",
                     faint_line_list_get_n (self->lines), faint_verdict_name (result.verdict), chi2,
                     result.dof, noise, warnings,
                     faint_analysis_fit_is_current (self->analysis)
                         ? ""
                         : "; changed after the fit, so that numbers do not belong together");
}

typedef struct
{
  FaintFigureData *data;
} Whole;

static void
whole_free (gpointer data)
{
  faint_figure_data_unref (((Whole *)data)->data);
  g_free (data);
}

static void
whole_draw (const FaintCanvas *canvas, FaintRect place, gpointer data)
{
  const Whole *whole = data;
  FaintSpectrumFigure figure;

  faint_spectrum_figure_init (&figure);
  figure.show[FAINT_LANE_ABSORPTION] = FALSE;
  faint_spectrum_figure_draw (&figure, canvas, place, whole->data, whole->data->across);
}

static const FaintPaperColumn columns[] = {
  { "id", 0.6, FAINT_PAPER_RIGHT },
  { "position/cm⁻¹", 2.0, FAINT_PAPER_POINT },
  { "strength/(cm/molecule)", 2.6, FAINT_PAPER_POINT },
  { "γ<sub>L</sub>/cm⁻¹", 2.0, FAINT_PAPER_POINT },
  { "S/N", 0.9, FAINT_PAPER_POINT },
  { "assignment", 2.6, FAINT_PAPER_LEFT },
};

static void
add_row (FaintReport *self, gsize i)
{
  const FaintLine *line = faint_line_list_get (self->lines, i);
  char **cells = g_new0 (char *, G_N_ELEMENTS (columns));
  gboolean assigned = line->upper[0] != '\0' || line->lower[0] != '\0';
  char *label = assigned ? g_strdup_printf ("%s ← %s", line->upper, line->lower) : g_strdup ("");

  /* one line, whatever the length: the page is one */
  if (g_utf8_strlen (label, -1) > 38)
    {
      g_autofree char *whole = label;
      g_autofree char *begin = g_utf8_substring (whole, 0, 37);
      label = g_strconcat (begin, "…", NULL);
    }
  cells[0] = g_strdup_printf ("%u", line->id);
  cells[1] = faint_report_number (line->position.value, line->position.u);
  cells[2] = faint_report_number (line->strength.value, line->strength.u);
  cells[3] = faint_report_number (line->lorentz.value, line->lorentz.u);
  cells[4] = isfinite (line->snr) ? g_strdup_printf ("%.0f", line->snr) : g_strdup ("–");
  cells[5] = label;
  faint_paper_row (self->paper, cells);
}

/* The @n strongest, TRUE at their places. */
static void
choose_lines (const FaintLineList *lines, guint n, gboolean *chosen)
{
  for (guint pass = 0; pass < n; pass++)
    {
      gsize best = G_MAXSIZE;
      for (gsize i = 0; i < faint_line_list_get_n (lines); i++)
        if (!chosen[i]
            && (best == G_MAXSIZE
                || faint_line_list_get (lines, i)->strength.value
                       > faint_line_list_get (lines, best)->strength.value))
          best = i;
      if (best != G_MAXSIZE)
        chosen[best] = TRUE;
    }
}

static void
add_lines (FaintReport *self)
{
  gsize n = faint_line_list_get_n (self->lines);
  double room = faint_paper_left (self->paper) - FOOT - 4.0 * ROW - 20.0;
  guint most = (guint)CLAMP (room / ROW, 1.0, MOST_ROWS);
  g_autofree gboolean *chosen = g_new0 (gboolean, n);
  g_autofree char *heading
      = n > most ? g_strdup_printf ("The %u strongest of %zu lines", most, n) : g_strdup ("Lines");

  faint_paper_heading (self->paper, heading);
  if (n == 0)
    {
      faint_paper_paragraph (self->paper, "The list of lines is empty.");
      return;
    }
  choose_lines (self->lines, most, chosen);
  faint_paper_table (self->paper, columns, G_N_ELEMENTS (columns));
  for (gsize i = 0; i < n; i++)
    if (chosen[i])
      add_row (self, i);
  faint_paper_table_end (self->paper);
}

/* One checksum of all inputs' checksums where they are several: the page has no room for a list. */
static void
add_provenance (FaintReport *self)
{
  gsize n;
  const FaintAnalysisInput *inputs = faint_analysis_get_inputs (self->analysis, &n);
  GString *sums = g_string_new (NULL);

  for (gsize i = 0; i < n; i++)
    g_string_append_printf (sums, "%s\n", inputs[i].sha256);
  if (n == 1)
    {
      g_autofree char *base = g_path_get_basename (inputs[0].path);
      g_autofree char *name = faint_paper_escape (base);
      g_autofree char *value = g_strdup_printf (
          "Faintline " FAINT_VERSION " from %s%s\n<span font_family=\"monospace\" "
          "size=\"82%%\">SHA-256 %s</span>",
          name, inputs[0].changed ? " (its content has changed)" : "", inputs[0].sha256);
      faint_paper_pair (self->paper, "provenance", value);
    }
  else
    {
      g_autofree char *sum = g_compute_checksum_for_string (G_CHECKSUM_SHA256, sums->str, -1);
      g_autofree char *value = g_strdup_printf (
          "Faintline " FAINT_VERSION " from %zu inputs; of the list of their SHA-256\n<span "
          "font_family=\"monospace\" size=\"82%%\">SHA-256 %s</span>",
          n, sum);
      faint_paper_pair (self->paper, "provenance", value);
    }
  g_string_free (sums, TRUE);
}

void
faint_report_short (FaintReport *self)
{
  /* a title of many lines would push the rest off the page */
  g_autofree char *title = NULL;
  const char *whole = faint_analysis_get_title (self->analysis);
  g_autofree char *begin = g_utf8_strlen (whole, -1) > 90 ? g_utf8_substring (whole, 0, 89) : NULL;
  g_autofree char *cut = begin != NULL ? g_strconcat (begin, "…", NULL) : g_strdup (whole);

  title = faint_paper_escape (cut);
  faint_paper_title (self->paper, title);
  faint_paper_paragraph (self->paper,
                         self->date != NULL ? self->date : "Line analysis, short form");
  add_conditions (self);
  add_result (self);
  faint_report_constants (self);
  if (faint_range_is_valid (self->data->across))
    {
      Whole *figure = g_new0 (Whole, 1);
      figure->data = faint_figure_data_ref (self->data);
      faint_paper_space (self->paper, 6.0);
      faint_paper_drawing (self->paper, FIGURE_HEIGHT, whole_draw, figure, whole_free);
    }
  add_lines (self);
  add_provenance (self);
  faint_paper_note (
      self->paper,
      "A number in parentheses is the standard uncertainty in units of the last digits "
      "shown. The full report has conditions, method, budget and record.");
}
