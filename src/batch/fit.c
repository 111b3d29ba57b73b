/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * fit: inputs to a folder with line list, analysis, figure, report and summary.
 */
#include "fit-results.h"
#include "inputs.h"

#include "faint/base/date.h"
#include "figure/surface.h"

#include <math.h>
#include <string.h>

typedef struct
{
  char *out, *with, *lines, *columns, *threshold, *threads, *date, *report, *view;
  char **settings, **fit_options, **figures, **inputs;
} Choices;

static void
choices_clear (Choices *self)
{
  g_free (self->out);
  g_free (self->with);
  g_free (self->lines);
  g_free (self->columns);
  g_free (self->threshold);
  g_free (self->threads);
  g_free (self->date);
  g_free (self->report);
  g_free (self->view);
  g_strfreev (self->figures);
  g_strfreev (self->settings);
  g_strfreev (self->fit_options);
  g_strfreev (self->inputs);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Choices, choices_clear)

/* The keys of --option with their defaults, for --help. */
static char *
describe_options (void)
{
  GString *text = g_string_new ("Keys of --option and what they are when not given:\n");
  FaintFitOptions options;

  faint_fit_options_init (&options);
  for (const char *const *key = faint_fit_option_keys (); *key != NULL; key++)
    {
      g_autofree char *value = faint_fit_options_get (&options, *key);
      g_string_append_printf (text, "  %-19s %s\n", *key, value);
    }
  g_string_append (text,
                   "\nInputs of equal conditions in one cavity are records of one measurement and "
                   "are merged.\nOthers make a series of spectra, fitted jointly to one line "
                   "list.\n\nThe folder gets lines.csv, windows.csv, "
                   "correlations.csv,\nanalysis.faintline, figure.svg, "
                   "report.pdf and summary.json,\nand of a series figure-2.svg and so on, all or "
                   "none.\n");
  return g_string_free (text, FALSE);
}

static gboolean
parse_arguments (Choices *self, char **arguments)
{
  const GOptionEntry entries[] = {
    { "out", 'o', 0, G_OPTION_ARG_FILENAME, &self->out, "Write the results into FOLDER", "FOLDER" },
    { "with", 'w', 0, G_OPTION_ARG_FILENAME, &self->with,
      "Take what the inputs do not say from FILE, lines of 'key = value unit'", "FILE" },
    { "set", 's', 0, G_OPTION_ARG_FILENAME_ARRAY, &self->settings,
      "State or replace a quantity, --set pressure='1.30 hPa'; repeatable", "KEY=VALUE" },
    { "lines", 'l', 0, G_OPTION_ARG_FILENAME, &self->lines,
      "Begin with the lines of LIST (any format) instead of finding them", "LIST" },
    { "columns", 'c', 0, G_OPTION_ARG_FILENAME, &self->columns,
      "Meaning of each column of foreign text: frequency/GHz,-,signal,reference", "MAP" },
    { "threshold", 0, 0, G_OPTION_ARG_FILENAME, &self->threshold,
      "Find lines above X standard deviations", "X" },
    { "option", 0, 0, G_OPTION_ARG_FILENAME_ARRAY, &self->fit_options,
      "Set an option of the fit (below); repeatable", "KEY=VALUE" },
    { "threads", 0, 0, G_OPTION_ARG_FILENAME, &self->threads,
      "Use at most N cores, 1 to 256; all when not given", "N" },
    { "report", 0, 0, G_OPTION_ARG_FILENAME, &self->report,
      "Write the 'full' report, the 'short' one of a single page, or 'none'; full when not given",
      "FORM" },
    { "figure", 0, 0, G_OPTION_ARG_FILENAME_ARRAY, &self->figures,
      "Write a figure to FILE too, by its ending .svg, .pdf or .png; repeatable", "FILE" },
    { "view", 0, 0, G_OPTION_ARG_FILENAME, &self->view,
      "Show LOWER:UPPER, in cm-1, in the figures of --figure; all when not given", "LOWER:UPPER" },
    { "date", 0, 0, G_OPTION_ARG_FILENAME, &self->date,
      "Write DATE (ISO 8601) into line list, report and record; without it, the one of "
      "SOURCE_DATE_EPOCH, or none",
      "DATE" },
    G_OPTION_ENTRY_NULL,
  };
  g_autofree char *description = describe_options ();

  return faint_parse_arguments (&faint_verb_fit, "INPUT...", description, entries, arguments,
                                &self->inputs);
}

static gboolean
parse_report (const char *text, FaintFitReport *report)
{
  static const char *const names[] = { "full", "short", "none" };

  *report = FAINT_FIT_REPORT_FULL;
  for (guint i = 0; text != NULL && i < G_N_ELEMENTS (names); i++)
    if (g_str_equal (text, names[i]))
      {
        *report = (FaintFitReport)i;
        return TRUE;
      }
  return text == NULL;
}

/* "7790:7791.5"; not valid when not given. */
static gboolean
parse_view (const char *text, FaintRange *view)
{
  char *end;

  *view = (FaintRange){ NAN, NAN };
  if (text == NULL)
    return TRUE;
  view->lower = g_ascii_strtod (text, &end);
  if (end == text || *end != ':')
    return FALSE;
  text = end + 1;
  view->upper = g_ascii_strtod (text, &end);
  return end > text && *end == '\0' && isfinite (view->lower) && view->lower < view->upper
         && isfinite (view->upper);
}

static gboolean
check_pictures (const Choices *self)
{
  FaintFitReport report;
  FaintRange view;
  FaintSurfaceFormat format;

  for (char **figure = self->figures; figure != NULL && *figure != NULL; figure++)
    {
      g_autoptr (GError) error = NULL;
      if (!faint_surface_format_of (*figure, &format, &error))
        {
          faint_wrong_use ("fit", "--figure: %s", error->message);
          return FALSE;
        }
    }
  if (!parse_report (self->report, &report))
    faint_wrong_use ("fit", "--report '%s': expected full, short or none.", self->report);
  else if (!parse_view (self->view, &view))
    faint_wrong_use ("fit", "--view '%s': expected LOWER:UPPER in cm-1, such as 7790:7791.5.",
                     self->view);
  else if (self->view != NULL && self->figures == NULL)
    faint_wrong_use ("fit", "--view: it says what --figure shows, which is not given.");
  else
    return TRUE;
  return FALSE;
}

static gboolean
check_arguments (const Choices *self)
{
  guint64 threads = 1;
  guint n = self->inputs != NULL ? g_strv_length (self->inputs) : 0;

  if (n == 0)
    faint_wrong_use ("fit", "An input is needed: a comb table, an analysis or foreign text.");
  else if (self->out == NULL)
    faint_wrong_use ("fit", "--out FOLDER is needed: where the results are written.");
  else
    return faint_parse_count ("fit", "--threads", self->threads, 1, 256, &threads)
           && faint_check_date ("fit", self->date) && faint_check_settings ("fit", self->settings)
           && check_pictures (self);
  return FALSE;
}

/* What the command line says of the fit, over @options. */
static gboolean
apply_fit_options (const Choices *self, FaintFitOptions *options)
{
  return (self->threshold == NULL
          || faint_set_fit_option ("fit", options, "--threshold", "threshold", self->threshold))
         && faint_apply_fit_options ("fit", self->threads, self->fit_options, options);
}

static FaintAnalysis *
load_analysis (const Choices *self, FaintAnalysis **stored, GError **error)
{
  g_autoptr (FaintAnalysis) analysis
      = faint_analysis_load (self->inputs[0], faint_terminal_progress (), error);
  FaintReadOptions read = { .with = self->with, .settings = (const char *const *)self->settings };

  if (analysis == NULL)
    return NULL;
  *stored = faint_analysis_ref (analysis);
  return faint_apply_settings (g_steal_pointer (&analysis), &read, error);
}

static FaintAnalysis *
read_inputs (const Choices *self, GError **error)
{
  FaintReadOptions read = { .with = self->with,
                            .settings = (const char *const *)self->settings,
                            .columns = self->columns };

  return faint_analysis_new ((const char *const *)self->inputs, g_strv_length (self->inputs), &read,
                             faint_terminal_progress (), error);
}

/* The list in the place of the lines; of a stored analysis that is a change by hand. */
static FaintAnalysis *
with_lines (const Choices *self, FaintAnalysis *analysis, FaintLineList *lines)
{
  g_autoptr (FaintAnalysis) done = faint_analysis_with_lines (analysis, lines);
  g_autofree char *name = g_path_get_basename (self->lines);
  g_autofree char *text = g_strdup_printf ("lines replaced by those of %s", name);

  return faint_analysis_is_file (self->inputs[0])
             ? faint_analysis_with_change (done, analysis, self->date, text)
             : g_steal_pointer (&done);
}

/* The analysis with the lines it begins with; *find says whether lines are to be found. One that
 * has a current result is computed the way that result was, and so gives the same numbers again. */
static FaintAnalysis *
begin_run (const Choices *self, FaintAnalysis *analysis, gboolean *find, GError **error)
{
  if (self->lines != NULL)
    {
      g_autoptr (FaintListFile) list = faint_list_file_read (self->lines, error);

      *find = FALSE;
      if (list == NULL)
        return NULL;
      faint_say_warnings (list->warnings);
      return with_lines (self, analysis, list->lines);
    }
  *find = faint_analysis_fit_is_current (analysis)
              ? faint_analysis_get_found (analysis)
              : faint_line_list_get_n (faint_analysis_get_lines (analysis)) == 0;
  return faint_analysis_ref (analysis);
}

static FaintAnalysis *
run (const Choices *self, FaintAnalysis *analysis, GError **error)
{
  gboolean find;
  g_autoptr (FaintAnalysis) start = begin_run (self, analysis, &find, error);

  return start != NULL ? faint_analysis_compute (start, find, faint_terminal_progress (), error)
                       : NULL;
}

/* What the command line changed of a stored analysis goes into its record. */
static FaintAnalysis *
with_record (const FaintAnalysis *analysis, const FaintAnalysis *stored, const char *date)
{
  g_autofree char *text = faint_analysis_describe_change (stored, stored, analysis);

  return faint_analysis_with_change (analysis, stored, date, text);
}

/* The analysis to run, with the options of the command line; NULL with *status set, having said
 * why. */
static FaintAnalysis *
prepare (const Choices *self, int *status)
{
  g_autoptr (FaintAnalysis) analysis = NULL;
  g_autoptr (FaintAnalysis) stored = NULL;
  gboolean is_stored = faint_analysis_is_file (self->inputs[0]);
  FaintFitOptions options;
  GError *error = NULL;

  faint_fit_options_init (&options);
  *status = FAINT_EXIT_WRONG_USE;
  if (!apply_fit_options (self, &options))
    return NULL;
  for (char **input = self->inputs; self->inputs[1] != NULL && *input != NULL; input++)
    if (faint_analysis_is_file (*input))
      {
        faint_wrong_use ("fit", "%s is an analysis, which is fitted alone.", *input);
        return NULL;
      }
  if (is_stored && self->columns != NULL)
    {
      faint_wrong_use ("fit", "--columns: an analysis holds its own map of columns.");
      return NULL;
    }
  faint_progress_stage (0.0, 0.05);
  analysis = is_stored ? load_analysis (self, &stored, &error) : read_inputs (self, &error);
  if (analysis == NULL)
    {
      *status = faint_fail (error);
      return NULL;
    }
  if (self->threshold != NULL || self->fit_options != NULL || self->threads != NULL)
    {
      g_autoptr (FaintAnalysis) before = g_steal_pointer (&analysis);
      options = *faint_analysis_get_options (before);
      apply_fit_options (self, &options);
      analysis = faint_analysis_with_options (before, &options);
    }
  return stored != NULL ? with_record (analysis, stored, self->date) : g_steal_pointer (&analysis);
}

/* --date, else that of the environment, else none. */
static void
settle_date (Choices *self)
{
  if (self->date == NULL)
    self->date = faint_date_stated ();
}

static int
fit (char **arguments)
{
  gint64 began = g_get_monotonic_time ();
  g_auto (Choices) choices = { 0 };
  g_autoptr (FaintAnalysis) start = NULL;
  g_autoptr (FaintAnalysis) done = NULL;
  FaintFitOutputs outputs;
  GError *error = NULL;
  int status = FAINT_EXIT_WRONG_USE;

  if (!parse_arguments (&choices, arguments) || !check_arguments (&choices))
    return status;
  settle_date (&choices);
  start = prepare (&choices, &status);
  if (start == NULL)
    return status;
  faint_progress_stage (0.05, 0.95);
  done = run (&choices, start, &error);
  faint_progress_stage (0.95, 1.0);
  outputs = (FaintFitOutputs){ .date = choices.date,
                               .figures = (const char *const *)choices.figures,
                               .began = began };
  parse_report (choices.report, &outputs.report);
  parse_view (choices.view, &outputs.view);
  if (done == NULL || !faint_fit_results_write (done, choices.out, &outputs, &error))
    return faint_fail (error);
  faint_progress_stage (1.0, 1.0);
  return faint_fit_results_print (done, choices.out);
}

const FaintVerb faint_verb_fit = {
  .name = "fit",
  .purpose = "Find and fit the lines of one or several records; write the results to a folder",
  .run = fit,
};
