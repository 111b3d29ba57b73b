/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * assign: a line list and the levels of a lower state to labels, constants and evidence.
 */
#include "assign-results.h"

#include "faint/lines/list-notes.h"

#include <string.h>

typedef struct
{
  char *out, *levels, *constants, *free_constants, *temperature, *branch;
  char **settings, **inputs;
  gboolean given, unlabelled, lower;
} Choices;

static void
choices_clear (Choices *self)
{
  g_free (self->out);
  g_free (self->levels);
  g_free (self->constants);
  g_free (self->free_constants);
  g_free (self->temperature);
  g_free (self->branch);
  g_strfreev (self->settings);
  g_strfreev (self->inputs);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Choices, choices_clear)

/* The keys of --option with their defaults, for --help. */
static char *
describe_options (void)
{
  GString *text = g_string_new ("Keys of --option and what they are when not given:\n");
  g_autoptr (FaintConstants) constants = faint_constants_new ();
  FaintAssignmentOptions options;

  faint_assign_options_init (&options.search);
  faint_band_options_init (&options.band, constants);
  for (const char *const *key = faint_assignment_option_keys (); *key != NULL; key++)
    {
      g_autofree char *value = faint_assignment_options_get (&options, *key);

      g_string_append_printf (text, "  %-19s %s\n", *key, value);
    }
  g_string_append (text, "\nThe folder gets lines.csv, assignment.csv, constants.csv, "
                         "predictions.csv and summary.json,\nall or none. docs/formats.md "
                         "describes them and the files of constants and levels.\n");
  return g_string_free (text, FALSE);
}

static gboolean
parse_arguments (Choices *self, char **arguments)
{
  const GOptionEntry entries[] = {
    { "out", 'o', 0, G_OPTION_ARG_FILENAME, &self->out, "Write the results into FOLDER", "FOLDER" },
    { "constants", 'c', 0, G_OPTION_ARG_FILENAME, &self->constants,
      "Lower levels from the constants in FILE", "FILE" },
    { "levels", 'l', 0, G_OPTION_ARG_FILENAME, &self->levels, "Lower levels from the table in FILE",
      "FILE" },
    { "branch", 'b', 0, G_OPTION_ARG_FILENAME, &self->branch,
      "Without levels: follow the branch of these lines, 'ID:M,ID:M', by its polynomial in m",
      "POINTS" },
    { "given", 'g', 0, G_OPTION_ARG_NONE, &self->given,
      "Take the labels that the list has, instead of a search, and check them", NULL },
    { "unlabelled", 'u', 0, G_OPTION_ARG_NONE, &self->unlabelled,
      "Leave the lines alone that have a label, as from an earlier run", NULL },
    { "free", 'f', 0, G_OPTION_ARG_FILENAME, &self->free_constants,
      "Constants to fit: origin,B,D,H,axis,D_JK,D_K,axis_zeta,q,q_D, and 'lower B' and so on",
      "LIST" },
    { "lower-constants", 0, 0, G_OPTION_ARG_NONE, &self->lower,
      "Fit those of the lower state from combination differences too", NULL },
    { "temperature", 't', 0, G_OPTION_ARG_FILENAME, &self->temperature,
      "Of the strengths, 'VALUE UNIT'; else that of the list, else 296 K", "T" },
    { "option", 0, 0, G_OPTION_ARG_FILENAME_ARRAY, &self->settings,
      "Set an option of the search (below); repeatable", "KEY=VALUE" },
    G_OPTION_ENTRY_NULL,
  };
  g_autofree char *description = describe_options ();

  return faint_parse_arguments (&faint_verb_assign, "LIST", description, entries, arguments,
                                &self->inputs);
}

static gboolean
check_arguments (const Choices *self)
{
  const char *verb = faint_verb_assign.name;

  if (self->inputs == NULL || self->inputs[1] != NULL)
    faint_wrong_use (verb, "One line list is needed, found %u.",
                     self->inputs != NULL ? g_strv_length (self->inputs) : 0);
  else if (self->branch != NULL
           && (self->levels != NULL || self->constants != NULL || self->given || self->unlabelled))
    faint_wrong_use (verb, "--branch follows a branch without levels; leave --constants, --levels, "
                           "--given and --unlabelled.");
  else if (self->branch == NULL && (self->levels == NULL) == (self->constants == NULL))
    faint_wrong_use (verb, "One of --constants FILE and --levels FILE is needed, what the lower "
                           "levels are; or --branch POINTS, to follow a branch without them.");
  else if (self->given && self->unlabelled)
    faint_wrong_use (verb, "--given takes the labels that --unlabelled leaves alone; give one of "
                           "the two.");
  else if (self->out == NULL)
    faint_wrong_use (verb, "--out FOLDER is needed: where the results are written.");
  else
    return TRUE;
  return FALSE;
}

static gboolean
set_free (const Choices *self, FaintAssignmentOptions *options)
{
  g_autofree char *word = NULL;

  if (self->free_constants == NULL
      || faint_band_options_parse (&options->band, self->free_constants, &word))
    return TRUE;
  faint_wrong_use (faint_verb_assign.name,
                   "--free: '%s' is no constant; expected some of origin, B, D, H, axis, D_JK, "
                   "D_K, axis_zeta, q, q_D, and with 'lower ' before it all but origin.",
                   word);
  return FALSE;
}

static gboolean
set_temperature (const Choices *self, const FaintListFile *file, FaintAssignmentOptions *options)
{
  g_autofree char *stated = faint_list_notes_get (file->notes, "temperature");
  const char *text = self->temperature != NULL ? self->temperature : stated;
  g_autoptr (GError) error = NULL;
  FaintQuantity quantity;

  if (text == NULL)
    return TRUE;
  if (faint_quantity_parse (text, FAINT_DIMENSION_TEMPERATURE, &quantity, &error)
      && quantity.value > 0.0)
    {
      options->search.temperature = quantity.value;
      return TRUE;
    }
  faint_wrong_use (faint_verb_assign.name, "%s '%s': %s",
                   self->temperature != NULL ? "--temperature" : "The list's temperature", text,
                   error != NULL ? error->message : "expected above 0 K.");
  return FALSE;
}

static gboolean
set_options (const Choices *self, const FaintListFile *file, FaintAssignmentOptions *options)
{
  options->given = self->given;
  options->unlabelled = self->unlabelled;
  options->lower_constants = self->lower;
  if (!set_temperature (self, file, options) || !set_free (self, options))
    return FALSE;
  for (char **setting = self->settings; setting != NULL && *setting != NULL; setting++)
    {
      g_auto (GStrv) parts = g_strsplit (*setting, "=", 2);
      g_autoptr (GError) error = NULL;

      if (parts[0] != NULL && parts[1] != NULL
          && faint_assignment_options_set (options, g_strstrip (parts[0]), g_strstrip (parts[1]),
                                           &error))
        continue;
      faint_wrong_use (faint_verb_assign.name, "--option %s: %s", *setting,
                       error != NULL ? error->message : "expected KEY=VALUE.");
      return FALSE;
    }
  return TRUE;
}

/* A table where a table was named, constants where constants were. */
static FaintLevels *
read_levels (const Choices *self, GError **error)
{
  const char *path = self->levels != NULL ? self->levels : self->constants;
  g_autoptr (FaintLevels) levels = faint_levels_read (path, error);
  gboolean table;

  if (levels == NULL)
    return NULL;
  table = faint_levels_get_constants (levels)->molecule == FAINT_MOLECULE_TABLE;
  if (table == (self->levels != NULL))
    return g_steal_pointer (&levels);
  g_set_error (
      error, FAINT_LEVELS_ERROR, FAINT_LEVELS_ERROR_FILE, "%s holds %s; give it with --%s.", path,
      table ? "a table of levels" : "constants of a molecule", table ? "levels" : "constants");
  return NULL;
}

static int
work (const Choices *choices, const FaintListFile *file, FaintLevels *levels)
{
  gint64 began = g_get_monotonic_time ();
  const char *path = choices->levels != NULL ? choices->levels : choices->constants;
  g_autoptr (FaintAssignment) assignment = NULL;
  FaintAssignmentOptions options;
  GError *error = NULL;

  faint_assignment_options_init (&options, levels);
  if (!set_options (choices, file, &options))
    return FAINT_EXIT_WRONG_USE;
  assignment
      = faint_assignment_run (file->lines, levels, &options, faint_terminal_progress (), &error);
  if (assignment == NULL
      || !faint_assign_results_write (assignment, file, path, choices->out, began, &error))
    return faint_fail (error);
  faint_progress_stage (1.0, 1.0);
  return faint_assign_results_print (assignment, choices->out);
}

/* Options of the search that a branch has too. */
static int
follow_branch (const Choices *choices, const FaintListFile *file)
{
  g_autoptr (FaintConstants) none = faint_constants_new ();
  FaintAssignmentOptions options;

  faint_assign_options_init (&options.search);
  faint_band_options_init (&options.band, none);
  if (!set_options (choices, file, &options))
    return FAINT_EXIT_WRONG_USE;
  return faint_assign_branch (file, choices->branch, &options.search, choices->out);
}

static int
assign (char **arguments)
{
  g_auto (Choices) choices = { 0 };
  g_autoptr (FaintListFile) file = NULL;
  g_autoptr (FaintLevels) levels = NULL;
  GError *error = NULL;

  if (!parse_arguments (&choices, arguments) || !check_arguments (&choices))
    return FAINT_EXIT_WRONG_USE;
  file = faint_list_file_read (choices.inputs[0], &error);
  if (file != NULL && choices.branch != NULL)
    {
      faint_say_warnings (file->warnings);
      return follow_branch (&choices, file);
    }
  if (file != NULL)
    levels = read_levels (&choices, &error);
  if (levels == NULL)
    return faint_fail (error);
  faint_say_warnings (file->warnings);
  return work (&choices, file, levels);
}

const FaintVerb faint_verb_assign = {
  .name = "assign",
  .purpose = "Assign the lines of a list from the levels of their lower state",
  .run = assign,
};
