/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/report-review.h"

#include <math.h>

#include "faint/review/compared.h"
#include "figure/report-private.h"
#include "figure/review-figures.h"

#define PANEL_HEIGHT 150.0
#define PANELS_MOST 4
#define RESIDUALS_HEIGHT 300.0

typedef struct
{
  FaintReport report; /* of the refit */
  FaintReview *review;
  const FaintReviewReportOptions *options;
} Work;

static void
add_title (Work *self)
{
  g_autofree char *title = faint_paper_escape (faint_analysis_get_title (self->review->refit));
  g_autofree char *line
      = g_strdup_printf ("Review of a claimed line list against this spectrum%s%s",
                         self->options->date != NULL ? ", " : "",
                         self->options->date != NULL ? self->options->date : "");

  faint_paper_title (self->report.paper, title);
  faint_paper_paragraph (self->report.paper, line);
}

static void
add_claims (Work *self)
{
  const FaintReviewReportOptions *options = self->options;
  g_autofree char *base
      = options->claimed_path != NULL ? g_path_get_basename (options->claimed_path) : NULL;
  g_autofree char *name = base != NULL ? faint_paper_escape (base) : g_strdup ("from no file");
  g_autofree char *value = g_strdup_printf (
      "%s, %zu lines%s%s%s", name, faint_line_list_get_n (self->review->claimed),
      options->claimed_sha256 != NULL ? "\n<span font_family=\"monospace\" size=\"82%\">SHA-256 "
                                      : "",
      options->claimed_sha256 != NULL ? options->claimed_sha256 : "",
      options->claimed_sha256 != NULL ? "</span>" : "");

  faint_paper_pair (self->report.paper, "claimed list", value);
}

/* Takes @value. */
static void
add_option (GPtrArray *words, const char *option, char *value)
{
  g_ptr_array_add (words, g_strdup (option));
  g_ptr_array_add (words, value);
}

/* NAN: neither command nor list stated it. */
static void
add_condition (GPtrArray *words, const char *option, double value, const char *unit)
{
  g_autofree char *number = faint_format_double (value);

  if (isfinite (value))
    add_option (words, option, g_strconcat (number, " ", unit, NULL));
}

/* The command that does the same review again. Free with g_free. */
static char *
command_new (const FaintReview *review, const FaintReviewReportOptions *options)
{
  static const char *const unnamed[] = { "ANALYSIS", NULL };
  g_autoptr (GPtrArray) words = g_ptr_array_new_with_free_func (g_free);

  g_ptr_array_add (words, g_strdup ("review"));
  for (const char *const *it = options->inputs != NULL ? options->inputs : unnamed; *it != NULL;
       it++)
    g_ptr_array_add (words, g_strdup (*it));
  add_option (words, "--claimed",
              options->claimed_path != NULL ? g_path_get_basename (options->claimed_path)
                                            : g_strdup ("LIST"));
  add_option (words, "--confidence", faint_format_double (review->options.confidence));
  add_option (words, "--coverage", faint_format_double (review->options.coverage));
  if (review->options.partial)
    g_ptr_array_add (words, g_strdup ("--partial"));
  add_condition (words, "--temperature", review->options.temperature, "K");
  add_condition (words, "--pressure", review->options.pressure, "Pa");
  add_option (words, "--out", g_strdup ("FOLDER"));
  g_ptr_array_add (words, NULL);
  return faint_report_command ((const char *const *)words->pdata);
}

static void
add_verdict (Work *self)
{
  const FaintReview *review = self->review;
  g_autofree char *counts = faint_review_counts_words (review, NULL);

  faint_paper_heading (self->report.paper, "Result");
  add_claims (self);
  faint_report_pair (&self->report, "verdict", "%s",
                     review->passed ? "the list passes" : "the list fails");
  for (guint i = 0; i < review->faults->len; i++)
    faint_report_pair (&self->report, i == 0 ? "for" : "", "%s",
                       (const char *)g_ptr_array_index (review->faults, i));
  faint_report_pair (
      &self->report, "lines", "%s%s", counts,
      review->systematic->len > 0 ? "; judged without what the whole list has in common" : "");
  faint_report_pair (&self->report, "normalised errors",
                     "%zu compared, %zu beyond 1 with k = %g, %.1f expected of honest claims whose "
                     "errors are independent",
                     review->n_values, review->n_beyond, review->options.coverage,
                     review->beyond_expected);
  faint_report_pair (&self->report, "confidence", "%g %% for all verdicts together",
                     100.0 * review->options.confidence);
  faint_report_pair (&self->report, "reduced chi-square", "%.4g with the claims, %.4g refitted",
                     review->chi2_claimed / review->dof_claimed,
                     review->chi2_refitted / review->dof_refitted);
}

static void
add_item (Work *self, const char *text)
{
  g_autofree char *escaped = faint_paper_escape (text);
  g_autofree char *markup = g_strdup_printf ("•  %s", escaped);

  faint_paper_paragraph (self->report.paper, markup);
}

static void
add_systematic (Work *self)
{
  const FaintReview *review = self->review;

  faint_paper_heading (self->report.paper, "What the whole list has in common");
  if (review->systematic->len == 0)
    faint_paper_paragraph (self->report.paper,
                           "Nothing that stands out at the confidence of the review: no shift of "
                           "positions, no scale of strengths or widths, and none that runs with "
                           "position, depth or lower-state energy.");
  for (guint i = 0; i < review->systematic->len; i++)
    {
      const FaintSystematic *it = g_ptr_array_index (review->systematic, i);
      g_autofree char *words = faint_paper_escape (it->words);

      faint_paper_paragraph (self->report.paper, words);
      for (guint k = 0; k < it->causes->len; k++)
        add_item (self, ((FaintSystematicCause *)g_ptr_array_index (it->causes, k))->words);
    }
  if (review->systematic->len > 0)
    faint_paper_note (
        self->report.paper,
        "Each input is the one that would have to be wrong if it alone were to explain "
        "the difference; the review cannot tell whether claims or input are. Single "
        "lines are judged without what the list has in common.");
}

static void
add_lines_of_note (Work *self)
{
  guint n = 0;

  faint_paper_heading (self->report.paper, "Lines that do not simply agree");
  for (guint i = 0; i < self->review->lines->len; i++)
    {
      const FaintReviewLine *line = g_ptr_array_index (self->review->lines, i);
      g_autofree char *text = g_strdup_printf ("%.5f cm⁻¹: %s", line->position, line->words);

      if (line->verdict == FAINT_REVIEW_AGREES)
        continue;
      add_item (self, text);
      n++;
    }
  if (n == 0)
    faint_paper_paragraph (self->report.paper, "None.");
}

static void
add_method (Work *self)
{
  FaintPaper *paper = self->report.paper;
  g_autofree char *confidence = g_strdup_printf (
      "Verdicts hold for all values together at %g %%: the rest to 100 %% is shared in equal parts "
      "by the tests for what the list has in common, the values of single lines (step-down test of "
      "Holm, Scand. J. Stat. 6, 65 (1979)) and the lines seen but not claimed. A normalised error "
      "beyond 1 is no fault in itself. A difference counts against a line only where the spectrum "
      "around it is described worse by the claims than by the refit.",
      100.0 * self->review->options.confidence);

  faint_paper_heading (paper, "Method");
  faint_paper_paragraph (
      paper,
      "The claims alone make a model: stated parameters are held, and only baselines and what "
      "the list does not state are fitted. A refit begins with the claimed lines, all free, "
      "and looks for more. With the coverage factor <i>k</i>, every claimed parameter has "
      "the normalised error (ISO/IEC 17043; ISO 13528:2015, 9.7)");
  faint_paper_equation (paper, "E_{n} = \\frac{x_{\\mathrm{claimed}} − x_{\\mathrm{refitted}}}{k "
                               "\\sqrt{u_{\\mathrm{claimed}}^2 + "
                               "u_{\\mathrm{refitted}}^2}}");
  faint_paper_paragraph (paper, confidence);
}

static const FaintPaperColumn value_columns[] = {
  { "position/cm⁻¹", 1.2, FAINT_PAPER_LEFT },  { "parameter", 2.1, FAINT_PAPER_LEFT },
  { "claimed", 1.7, FAINT_PAPER_RIGHT },       { "refitted", 1.7, FAINT_PAPER_RIGHT },
  { "E<sub>n</sub>", 0.8, FAINT_PAPER_POINT }, { "corrected", 0.9, FAINT_PAPER_POINT },
  { "verdict", 1.2, FAINT_PAPER_LEFT },
};

static char *
two_decimals (double value)
{
  return isfinite (value) ? g_strdup_printf ("%s%.2f", value < 0.0 ? "−" : "", fabs (value))
                          : g_strdup ("–");
}

static void
add_value (Work *self, const FaintReviewLine *line, const FaintReviewValue *value, gboolean first)
{
  char **cells = g_new0 (char *, G_N_ELEMENTS (value_columns));

  cells[0] = first ? g_strdup_printf ("%.5f", line->position) : g_strdup ("");
  cells[1] = g_strdup (line->claimed->len + line->refitted->len <= 2
                           ? faint_compared_words (value->parameter)
                       : value->parameter == FAINT_PLACE_STRENGTH ? "sum of strengths"
                                                                  : "centre of the blend");
  cells[2] = faint_report_number (value->claimed, value->u_claimed);
  cells[3] = faint_report_number (value->refitted, value->u_refitted);
  cells[4] = two_decimals (value->stated.en);
  cells[5] = two_decimals (value->corrected.en);
  cells[6] = g_strdup (faint_review_verdict_name (value->verdict));
  faint_paper_row (self->report.paper, cells);
}

static guint
count_examined (const FaintReviewLine *line)
{
  guint n = 0;

  for (guint k = 0; k < line->values->len; k++)
    n += g_array_index (line->values, FaintReviewValue, k).verdict != FAINT_REVIEW_NOT_EXAMINED;
  return n;
}

static void
add_values (Work *self)
{
  faint_paper_break (self->report.paper);
  faint_paper_heading (self->report.paper, "Values");
  faint_paper_note (
      self->report.paper,
      "Positions and widths in cm⁻¹, strengths in cm/molecule, coefficients in "
      "cm⁻¹/atm, at the conditions of the spectrum. Corrected: without what the whole "
      "list has in common. An undecided value is one that the spectrum does not "
      "determine; review.csv has the reason of each, and the claimed numbers that were "
      "not examined (see Warnings).");
  faint_paper_table (self->report.paper, value_columns, G_N_ELEMENTS (value_columns));
  for (guint i = 0; i < self->review->lines->len; i++)
    {
      const FaintReviewLine *line = g_ptr_array_index (self->review->lines, i);
      guint examined = count_examined (line);
      gboolean first = TRUE;

      if (examined > 0)
        faint_paper_rows_together (self->report.paper, examined);
      for (guint k = 0; k < line->values->len; k++)
        {
          const FaintReviewValue *value = &g_array_index (line->values, FaintReviewValue, k);

          if (value->verdict == FAINT_REVIEW_NOT_EXAMINED)
            continue;
          add_value (self, line, value, first);
          first = FALSE;
        }
    }
  faint_paper_table_end (self->report.paper);
}

/* Panels of the normalised errors that stand on one page. */
typedef struct
{
  FaintReview *review;
  guint first, n;
} Errors;

static void
draw_errors (const FaintCanvas *canvas, FaintRect place, gpointer data)
{
  const Errors *errors = data;

  faint_review_errors_draw_panels (errors->review, canvas, place, errors->first, errors->n);
}

static void
release_errors (gpointer data)
{
  faint_review_unref (((Errors *)data)->review);
  g_free (data);
}

static void
add_errors (Work *self)
{
  guint n = faint_review_errors_panels (self->review, NULL);

  faint_paper_break (self->report.paper);
  faint_paper_heading (self->report.paper, "Normalised errors");
  for (guint first = 0; first < n; first += PANELS_MOST)
    {
      Errors *errors = g_new (Errors, 1);

      *errors = (Errors){ faint_review_ref (self->review), first, MIN (PANELS_MOST, n - first) };
      faint_paper_drawing (self->report.paper, errors->n * PANEL_HEIGHT, draw_errors, errors,
                           release_errors);
    }
  faint_paper_note (self->report.paper,
                    "As claimed. Full symbols differ at the confidence of the review; hollow "
                    "ones do not. Guides at ±1. What lies beyond the range stands at the "
                    "border.");
}

static void
draw_residuals (const FaintCanvas *canvas, FaintRect place, gpointer data)
{
  faint_review_residuals_draw (data, canvas, place);
}

static void
add_figures (Work *self)
{
  FaintPaper *paper = self->report.paper;
  gboolean series = faint_analysis_get_n_spectra (self->review->refit) > 1;

  add_errors (self);
  for (gsize k = 0; k < faint_analysis_get_n_spectra (self->review->refit); k++)
    {
      FaintReviewResiduals *residuals = faint_review_residuals_new (self->review, k);
      g_autofree char *where = faint_analysis_describe_spectrum (self->review->refit, k);
      g_autofree char *heading
          = series ? g_strdup_printf ("Residuals of spectrum %zu: %s", k + 1, where)
                   : g_strdup ("Residuals");

      faint_paper_need (paper, RESIDUALS_HEIGHT + 60.0);
      faint_paper_heading (paper, heading);
      faint_paper_drawing (paper, RESIDUALS_HEIGHT, draw_residuals, residuals,
                           faint_review_residuals_free);
      faint_paper_note (paper, "Normalised residuals with the claims held (above) and refitted "
                               "(below).");
    }
}

static gboolean
is_given (const char *text)
{
  return text != NULL && *text != '\0';
}

/* Who answers for it, and room to sign. */
static void
add_signature (Work *self)
{
  const FaintReviewReportOptions *options = self->options;

  faint_paper_need (self->report.paper, 90.0);
  faint_paper_heading (self->report.paper, "Signed off");
  if (is_given (options->reviewer))
    faint_report_pair (&self->report, "reviewer", "%s", options->reviewer);
  if (is_given (options->remark))
    faint_report_pair (&self->report, "remark", "%s", options->remark);
  faint_paper_space (self->report.paper, 26.0);
  if (is_given (options->reviewer))
    {
      faint_paper_paragraph (self->report.paper,
                             "Date  ________________      Signature  ______________________");
      return;
    }
  faint_paper_paragraph (self->report.paper,
                         "Name  ______________________________      Date  ________________      "
                         "Signature  ______________________");
}

static void
add_warnings (Work *self)
{
  faint_paper_heading (self->report.paper, "Warnings");
  for (guint i = 0; i < self->review->warnings->len; i++)
    add_item (self, ((FaintWarning *)g_ptr_array_index (self->review->warnings, i))->text);
  if (self->review->warnings->len == 0)
    faint_paper_paragraph (self->report.paper, "None.");
}

static void
fill (Work *self)
{
  add_title (self);
  add_verdict (self);
  faint_paper_contents (self->report.paper, self->report.contents);
  add_systematic (self);
  add_lines_of_note (self);
  add_signature (self);
  add_method (self);
  add_warnings (self);
  faint_report_spectrum (&self->report);
  faint_report_provenance (&self->report);
  add_figures (self);
  add_values (self);
}

static FaintPaper *
paper_new (FaintReview *review, const FaintReviewReportOptions *options, FaintFigureData *data,
           FaintPaperColumn *columns, guint contents)
{
  FaintPaper *paper = faint_paper_new (faint_analysis_get_title (review->refit),
                                       "Faintline " FAINT_VERSION, options->date);
  g_autofree char *repeat = command_new (review, options);
  Work work = { .review = review,
                .options = options,
                .report = { .analysis = review->refit,
                            .spectrum = faint_analysis_get_spectrum (review->refit),
                            .setup = faint_analysis_get_setup (review->refit),
                            .fit = faint_analysis_get_fit (review->refit),
                            .lines = faint_analysis_get_lines (review->refit),
                            .data = data,
                            .date = options->date,
                            .start = "the claimed lines, all free; the refit sought more, by the "
                                     "threshold among the settings",
                            .repeat = repeat,
                            .contents = contents,
                            .columns = columns,
                            .paper = paper } };

  fill (&work);
  return paper;
}

gboolean
faint_review_report_write (FaintReview *review, const FaintReviewReportOptions *options,
                           const char *path, GError **error)
{
  FaintPaperColumn columns[2 * FAINT_REPORT_COLUMNS];
  const char *title = faint_analysis_get_title (review->refit);
  FaintFigureData *data = faint_figure_data_new (faint_analysis_get_spectrum (review->refit),
                                                 faint_analysis_get_fit (review->refit),
                                                 faint_analysis_get_lines (review->refit));
  g_autoptr (FaintPaper) first = paper_new (review, options, data, columns, 0);
  g_autoptr (FaintPaper) paper = NULL;
  guint headings;
  FaintSurfaceJob job = { .format = FAINT_SURFACE_PDF,
                          .scale = 1.0,
                          .title = title,
                          .subject = "Review of a line list against a cavity-enhanced spectrum",
                          .keywords = "absorption spectroscopy, frequency comb, line list, review, "
                                      "normalised error",
                          .author = options->reviewer,
                          .creator = "Faintline " FAINT_VERSION,
                          .date = options->date,
                          .draw = faint_paper_draw_tagged };

  faint_paper_marks (first, &headings);
  paper = paper_new (review, options, data, columns, headings);
  faint_figure_data_unref (data);
  job.width = faint_paper_width (paper);
  job.height = faint_paper_height (paper);
  job.data = paper;
  job.pages = faint_paper_count_pages (paper);
  job.marks = faint_paper_marks (paper, &job.n_marks);
  return faint_surface_write (&job, path, error);
}
