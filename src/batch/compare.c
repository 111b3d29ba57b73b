/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * compare: two line lists side by side.
 */
#include "common.h"

#include "faint/base/files.h"
#include "faint/lines/list-file.h"
#include "faint/review/compare.h"
#include "figure/comparison-figure.h"
#include "figure/surface.h"

#include <stdio.h>
#include <string.h>

typedef struct
{
  char *out, *figure, *confidence, *coverage, *reach, *half_width;
  char **inputs;
} Choices;

static void
choices_clear (Choices *self)
{
  g_free (self->out);
  g_free (self->figure);
  g_free (self->confidence);
  g_free (self->coverage);
  g_free (self->reach);
  g_free (self->half_width);
  g_strfreev (self->inputs);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Choices, choices_clear)

static const char description[]
    = "Lists may be CSV, records of 160 columns, VOTable or JSON. Lines are matched after a "
      "common\n"
      "shift is taken off, one against two where one list resolves what the other does not.\n"
      "Differences are second less first. Nothing is a fault here: the exit status is 0.";

static gboolean
parse_arguments (Choices *self, char **arguments)
{
  const GOptionEntry entries[] = {
    { "out", 'o', 0, G_OPTION_ARG_FILENAME, &self->out, "Write every pair into FILE (CSV)",
      "FILE" },
    { "figure", 'f', 0, G_OPTION_ARG_FILENAME, &self->figure,
      "Draw the differences into FILE (.svg, .pdf or .png)", "FILE" },
    { "coverage", 0, 0, G_OPTION_ARG_FILENAME, &self->coverage,
      "Coverage factor k of the expanded uncertainties, 1 to 4; 2 when not given", "K" },
    { "confidence", 0, 0, G_OPTION_ARG_FILENAME, &self->confidence,
      "For what the lists have in common, 0.5 to 0.999999; 0.95 when not given", "C" },
    { "reach", 0, 0, G_OPTION_ARG_FILENAME, &self->reach,
      "Half widths within which lines may be the same, 0.1 to 100; 3 when not given", "N" },
    { "half-width", 0, 0, G_OPTION_ARG_FILENAME, &self->half_width,
      "Of lines that state no Doppler width, cm-1; 1e-6 of the position when not given", "X" },
    G_OPTION_ENTRY_NULL,
  };

  return faint_parse_arguments (&faint_verb_compare, "LIST LIST", description, entries, arguments,
                                &self->inputs);
}

static gboolean
check_arguments (const Choices *self, FaintCompareOptions *options)
{
  const char *verb = faint_verb_compare.name;
  guint n = self->inputs != NULL ? g_strv_length (self->inputs) : 0;
  g_autoptr (GError) error = NULL;
  FaintSurfaceFormat format;

  if (n != 2)
    faint_wrong_use (verb, "Two line lists are needed, found %u.", n);
  else if (self->figure != NULL && !faint_surface_format_of (self->figure, &format, &error))
    faint_wrong_use (verb, "--figure: %s", error->message);
  else
    return faint_parse_number (verb, "--coverage", self->coverage, 1.0, 4.0, &options->coverage)
           && faint_parse_number (verb, "--confidence", self->confidence, 0.5, 0.999999,
                                  &options->confidence)
           && faint_parse_number (verb, "--reach", self->reach, 0.1, 100.0, &options->reach)
           && faint_parse_number (verb, "--half-width", self->half_width, 1e-9, 100.0,
                                  &options->half_width);
  return FALSE;
}

static gboolean
write_results (const Choices *self, const FaintComparison *comparison, GError **error)
{
  if (self->figure != NULL && !faint_comparison_figure_write (comparison, self->figure, error))
    return FALSE;
  if (self->out != NULL)
    {
      g_autofree char *text = faint_comparison_to_csv (comparison);
      return faint_files_write (self->out, text, strlen (text), error);
    }
  return TRUE;
}

static int
compare (char **arguments)
{
  g_auto (Choices) choices = { 0 };
  g_autoptr (FaintListFile) first = NULL, second = NULL;
  g_autoptr (FaintComparison) comparison = NULL;
  g_auto (GStrv) words = NULL;
  FaintCompareOptions options;
  GError *error = NULL;

  faint_compare_options_init (&options);
  if (!parse_arguments (&choices, arguments) || !check_arguments (&choices, &options))
    return FAINT_EXIT_WRONG_USE;
  first = faint_list_file_read (choices.inputs[0], &error);
  second = first != NULL ? faint_list_file_read (choices.inputs[1], &error) : NULL;
  if (second == NULL)
    return faint_fail (error);
  faint_say_warnings (first->warnings);
  faint_say_warnings (second->warnings);
  comparison = faint_compare_lists (first->lines, second->lines, &options);
  if (!write_results (&choices, comparison, &error))
    return faint_fail (error);
  words = faint_comparison_describe (comparison);
  for (char **line = words; *line != NULL; line++)
    printf ("%s\n", *line);
  return FAINT_EXIT_DONE;
}

const FaintVerb faint_verb_compare = {
  .name = "compare",
  .purpose = "Hold two line lists against each other",
  .run = compare,
};
