/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * review: a claimed line list held against a spectrum.
 */
#include "inputs.h"
#include "review-results.h"

#include "faint/lines/list-notes.h"

#include <math.h>
#include <string.h>

typedef struct
{
  char *out, *claimed, *with, *columns, *threads, *date, *confidence, *coverage, *temperature,
      *pressure;
  char **settings, **fit_options, **inputs;
  gboolean partial;
} Choices;

static void
choices_clear (Choices *self)
{
  g_free (self->out);
  g_free (self->claimed);
  g_free (self->with);
  g_free (self->columns);
  g_free (self->threads);
  g_free (self->date);
  g_free (self->confidence);
  g_free (self->coverage);
  g_free (self->temperature);
  g_free (self->pressure);
  g_strfreev (self->settings);
  g_strfreev (self->fit_options);
  g_strfreev (self->inputs);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Choices, choices_clear)

static const char description[]
    = "The folder gets review.csv, windows.csv, residuals.csv, lines.csv, analysis.faintline,\n"
      "report.pdf and summary.json, all or none. The keys of --option are those of 'fit'.\n\n"
      "Exit status 1: the list fails, and it is said by what.";

static gboolean
parse_arguments (Choices *self, char **arguments)
{
  const GOptionEntry entries[] = {
    { "claimed", 'l', 0, G_OPTION_ARG_FILENAME, &self->claimed, "The line list under review",
      "LIST" },
    { "out", 'o', 0, G_OPTION_ARG_FILENAME, &self->out, "Write the results into FOLDER", "FOLDER" },
    { "confidence", 0, 0, G_OPTION_ARG_FILENAME, &self->confidence,
      "Confidence of all verdicts together, 0.5 to 0.999999; 0.95 when not given", "C" },
    { "coverage", 0, 0, G_OPTION_ARG_FILENAME, &self->coverage,
      "Coverage factor k of the expanded uncertainties, 1 to 4; 2 when not given", "K" },
    { "partial", 0, 0, G_OPTION_ARG_NONE, &self->partial,
      "The list claims some lines only: what it lacks is told and is no fault", NULL },
    { "temperature", 't', 0, G_OPTION_ARG_FILENAME, &self->temperature,
      "Of the claimed strengths, 'VALUE UNIT'; else that of the list, else the input's", "T" },
    { "pressure", 'p', 0, G_OPTION_ARG_FILENAME, &self->pressure,
      "Of the claimed widths, 'VALUE UNIT'; else that of the list, else the input's", "P" },
    { "with", 'w', 0, G_OPTION_ARG_FILENAME, &self->with,
      "Take what the input does not say from FILE, lines of 'key = value unit'", "FILE" },
    { "set", 's', 0, G_OPTION_ARG_FILENAME_ARRAY, &self->settings,
      "State or replace a quantity, --set pressure='1.30 hPa'; repeatable", "KEY=VALUE" },
    { "columns", 'c', 0, G_OPTION_ARG_FILENAME, &self->columns,
      "Meaning of each column of foreign text: frequency/GHz,-,signal,reference", "MAP" },
    { "option", 0, 0, G_OPTION_ARG_FILENAME_ARRAY, &self->fit_options,
      "Set an option of the fit; repeatable", "KEY=VALUE" },
    { "threads", 0, 0, G_OPTION_ARG_FILENAME, &self->threads,
      "Use at most N cores, 1 to 256; all when not given", "N" },
    { "date", 0, 0, G_OPTION_ARG_FILENAME, &self->date,
      "Write DATE (ISO 8601) into line list and report; without it they hold none", "DATE" },
    G_OPTION_ENTRY_NULL,
  };

  return faint_parse_arguments (&faint_verb_review, "INPUT...", description, entries, arguments,
                                &self->inputs);
}

/* From the command line (wrong use), or as the list states it (FALSE with *status bad input). */
static gboolean
parse_condition (const char *option, const char *given, const char *listed,
                 FaintDimension dimension, double *value, int *status)
{
  const char *text = given != NULL ? given : listed;
  g_autoptr (GError) error = NULL;
  FaintQuantity quantity;

  if (text == NULL)
    return TRUE;
  if (faint_quantity_parse (text, dimension, &quantity, &error) && quantity.value > 0.0)
    {
      *value = quantity.value;
      return TRUE;
    }
  if (given != NULL)
    *status = faint_wrong_use (faint_verb_review.name, "%s '%s': %s", option, text,
                               error != NULL ? error->message : "expected above 0.");
  else
    {
      faint_say ("The list's %s '%s': %s", option + 2, text,
                 error != NULL ? error->message : "expected above 0.");
      *status = FAINT_EXIT_BAD_INPUT;
    }
  return FALSE;
}

static gboolean
check_arguments (const Choices *self, FaintReviewOptions *options)
{
  const char *verb = faint_verb_review.name;

  if (self->inputs == NULL)
    faint_wrong_use (verb, "An input is needed: a comb table, an analysis or foreign text.");
  else if (self->claimed == NULL)
    faint_wrong_use (verb, "--claimed LIST is needed: the line list under review.");
  else if (self->out == NULL)
    faint_wrong_use (verb, "--out FOLDER is needed: where the results are written.");
  else
    {
      options->partial = self->partial;
      return faint_parse_number (verb, "--confidence", self->confidence, 0.5, 0.999999,
                                 &options->confidence)
             && faint_parse_number (verb, "--coverage", self->coverage, 1.0, 4.0,
                                    &options->coverage)
             && faint_check_date (verb, self->date) && faint_check_settings (verb, self->settings);
    }
  return FALSE;
}

/* A stored analysis, with what --with and --set say. */
static FaintAnalysis *
load_analysis (const Choices *self, const FaintReadOptions *read, GError **error)
{
  FaintAnalysis *analysis
      = faint_analysis_load (self->inputs[0], faint_terminal_progress (), error);

  return analysis != NULL ? faint_apply_settings (analysis, read, error) : NULL;
}

static FaintAnalysis *
read_analysis (const Choices *self, int *status)
{
  FaintReadOptions read = { .with = self->with,
                            .settings = (const char *const *)self->settings,
                            .columns = self->columns };
  gboolean stored = faint_analysis_is_file (self->inputs[0]);
  g_autoptr (FaintAnalysis) analysis = NULL;
  FaintFitOptions options;
  GError *error = NULL;

  *status = FAINT_EXIT_WRONG_USE;
  for (char **input = self->inputs; self->inputs[1] != NULL && *input != NULL; input++)
    if (faint_analysis_is_file (*input))
      {
        faint_wrong_use (faint_verb_review.name, "%s is an analysis, which is taken alone.",
                         *input);
        return NULL;
      }
  analysis = stored ? load_analysis (self, &read, &error)
                    : faint_analysis_new ((const char *const *)self->inputs,
                                          g_strv_length (self->inputs), &read,
                                          faint_terminal_progress (), &error);
  if (analysis == NULL)
    {
      *status = faint_fail (error);
      return NULL;
    }
  options = *faint_analysis_get_options (analysis);
  if (!faint_apply_fit_options (faint_verb_review.name, self->threads, self->fit_options, &options))
    return NULL;
  return faint_analysis_with_options (analysis, &options);
}

/* Each of @values with @option before it. */
static void
add_each (GPtrArray *words, const char *option, char **values)
{
  for (; values != NULL && *values != NULL; values++)
    {
      g_ptr_array_add (words, g_strdup (option));
      g_ptr_array_add (words, g_strdup (*values));
    }
}

static void
add_one (GPtrArray *words, const char *option, const char *value, gboolean is_file)
{
  if (value == NULL)
    return;
  g_ptr_array_add (words, g_strdup (option));
  g_ptr_array_add (words, is_file ? g_path_get_basename (value) : g_strdup (value));
}

/* The inputs by their names and what they were read with. */
static GPtrArray *
words_of_inputs (const Choices *self)
{
  GPtrArray *words = g_ptr_array_new_with_free_func (g_free);

  for (char **input = self->inputs; *input != NULL; input++)
    g_ptr_array_add (words, g_path_get_basename (*input));
  add_one (words, "--with", self->with, TRUE);
  add_one (words, "--columns", self->columns, FALSE);
  add_each (words, "--set", self->settings);
  add_each (words, "--option", self->fit_options);
  add_one (words, "--date", self->date, FALSE);
  g_ptr_array_add (words, NULL);
  return words;
}

static int
run (const Choices *choices, const FaintListFile *claims, const FaintReviewOptions *options,
     gint64 began)
{
  g_autoptr (FaintAnalysis) analysis = NULL;
  g_autoptr (FaintReview) done = NULL;
  g_autoptr (GPtrArray) inputs = words_of_inputs (choices);
  g_auto (GStrv) sources = faint_list_file_sources (claims);
  GError *error = NULL;
  int status;

  faint_progress_stage (0.0, 0.05);
  analysis = read_analysis (choices, &status);
  if (analysis == NULL)
    return status;
  faint_progress_stage (0.05, 0.95);
  done = faint_review_run (analysis, claims->lines, (const char *const *)sources, options,
                           faint_terminal_progress (), &error);
  faint_progress_stage (0.95, 1.0);
  if (done == NULL
      || !faint_review_results_write (done, claims, choices->out,
                                      (const char *const *)inputs->pdata, choices->date, began,
                                      &error))
    return faint_fail (error);
  faint_progress_stage (1.0, 1.0);
  return faint_review_results_print (done, choices->out);
}

static int
review (char **arguments)
{
  gint64 began = g_get_monotonic_time ();
  g_auto (Choices) choices = { 0 };
  g_autoptr (FaintListFile) claims = NULL;
  g_autofree char *temperature = NULL, *pressure = NULL;
  FaintReviewOptions options;
  GError *error = NULL;
  int status = FAINT_EXIT_WRONG_USE;

  faint_review_options_init (&options);
  if (!parse_arguments (&choices, arguments) || !check_arguments (&choices, &options))
    return status;
  claims = faint_list_file_read (choices.claimed, &error);
  if (claims == NULL)
    return faint_fail (error);
  temperature = faint_list_notes_get (claims->notes, "temperature");
  pressure = faint_list_notes_get (claims->notes, "pressure");
  if (!parse_condition ("--temperature", choices.temperature, temperature,
                        FAINT_DIMENSION_TEMPERATURE, &options.temperature, &status)
      || !parse_condition ("--pressure", choices.pressure, pressure, FAINT_DIMENSION_PRESSURE,
                           &options.pressure, &status))
    return status;
  faint_say_warnings (claims->warnings);
  return run (&choices, claims, &options, began);
}

const FaintVerb faint_verb_review = {
  .name = "review",
  .purpose = "Hold a claimed line list against a spectrum: verdicts line by line",
  .run = review,
};
