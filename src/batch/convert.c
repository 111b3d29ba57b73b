/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * convert: a line list from any format to any other, and a spectrum to a comb table.
 */
#include "inputs.h"

#include "faint/base/files.h"
#include "faint/base/text.h"
#include "faint/lines/list-file.h"
#include "faint/lines/list-notes.h"
#include "faint/spectrum/rows.h"
#include "faint/strength/budget.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct
{
  char *to, *out, *with, *columns, *number;
  char **settings, **inputs;
  gboolean spectrum; /* --to comb */
  guint64 wanted;    /* of a series, from 1; 0: not told */
  FaintListFormat format;
  FaintRecordOptions record;
  char *partition_sums;
  FaintPartition *sums; /* of that file */
  FaintQuantity temperature;
} Choices;

static void
choices_clear (Choices *self)
{
  g_free (self->to);
  g_free (self->out);
  g_free (self->with);
  g_free (self->columns);
  g_free (self->number);
  g_strfreev (self->settings);
  g_strfreev (self->inputs);
  g_free (self->partition_sums);
  g_clear_pointer (&self->sums, faint_partition_free);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Choices, choices_clear)

static char *
describe (void)
{
  GString *text = g_string_new (
      "INPUT is recognised by its content: a line list as CSV, records of 160 columns, VOTable or\n"
      "JSON; an analysis, whose lines are taken; with --to comb a spectrum in any form that is "
      "read,\nor that of an analysis.\n"
      "What the format cannot hold is left out and said.\n\nKeys of --set for records:\n");

  for (const char *const *key = faint_record_option_keys (); *key != NULL; key++)
    g_string_append_printf (text, "  %-19s %s\n", *key, faint_record_option_meaning (*key));
  g_string_append (text,
                   "  partition_sums      file of Q(T), of which Q(296 K) is taken; strengths at "
                   "296 K that a list\n"
                   "                      lacks are computed where it has lower-state energies\n"
                   "  temperature         of the strengths, where the list does not state it\n"
                   "\nWith --to comb, --set takes the keys of a comb table.\n");
  return g_string_free (text, FALSE);
}

static gboolean
parse_arguments (Choices *self, char **arguments)
{
  const GOptionEntry entries[] = {
    { "to", 't', 0, G_OPTION_ARG_FILENAME, &self->to,
      "Format to write: csv, record, votable or json; or comb", "FORMAT" },
    { "out", 'o', 0, G_OPTION_ARG_FILENAME, &self->out, "Write FILE", "FILE" },
    { "set", 's', 0, G_OPTION_ARG_FILENAME_ARRAY, &self->settings,
      "State what the input does not say (below); repeatable", "KEY=VALUE" },
    { "with", 'w', 0, G_OPTION_ARG_FILENAME, &self->with,
      "With --to comb: take what the input does not say from FILE", "FILE" },
    { "columns", 'c', 0, G_OPTION_ARG_FILENAME, &self->columns,
      "With --to comb: meaning of each column of foreign text", "MAP" },
    { "spectrum", 'n', 0, G_OPTION_ARG_STRING, &self->number,
      "With --to comb: which spectrum of an analysis of several, from 1", "NUMBER" },
    G_OPTION_ENTRY_NULL,
  };
  g_autofree char *description = describe ();

  return faint_parse_arguments (&faint_verb_convert, "INPUT", description, entries, arguments,
                                &self->inputs);
}

/* A key of a record, or of what its strengths need. */
static gboolean
set_record (Choices *self, const char *key, const char *value, GError **error)
{
  FaintQuantity quantity;

  if (strcmp (key, "partition_sums") == 0)
    {
      g_free (self->partition_sums);
      self->partition_sums = g_strdup (value);
      return TRUE;
    }
  if (strcmp (key, "temperature") == 0)
    {
      if (!faint_quantity_parse (value, FAINT_DIMENSION_TEMPERATURE, &quantity, error))
        return FALSE;
      self->record.temperature = quantity.value;
      self->temperature = quantity;
      return TRUE;
    }
  return faint_record_options_set (&self->record, key, value, error);
}

static gboolean
check_settings (Choices *self)
{
  g_autoptr (GError) error = NULL;
  const char *verb = faint_verb_convert.name;

  if (self->spectrum)
    return faint_check_settings (verb, self->settings)
           && faint_parse_count (verb, "--spectrum", self->number, 1, G_MAXUINT16, &self->wanted);
  for (char **setting = self->settings; setting != NULL && *setting != NULL; setting++)
    {
      g_auto (GStrv) parts = g_strsplit (*setting, "=", 2);

      if (parts[0] != NULL && parts[1] != NULL
          && set_record (self, g_strstrip (parts[0]), g_strstrip (parts[1]), &error))
        continue;
      faint_wrong_use (verb, "--set %s: %s", *setting,
                       error != NULL ? error->message : "expected KEY=VALUE.");
      return FALSE;
    }
  return TRUE;
}

static gboolean
check_arguments (Choices *self)
{
  const char *verb = faint_verb_convert.name;

  faint_record_options_init (&self->record);
  self->temperature = FAINT_QUANTITY_UNKNOWN;
  if (self->inputs == NULL || self->inputs[1] != NULL)
    faint_wrong_use (verb, "One input is needed, found %u.",
                     self->inputs != NULL ? g_strv_length (self->inputs) : 0);
  else if (self->to == NULL)
    faint_wrong_use (verb, "--to FORMAT is needed: csv, record, votable, json or comb.");
  else if (!(self->spectrum = strcmp (self->to, "comb") == 0)
           && !faint_list_format_from_name (self->to, &self->format))
    faint_wrong_use (verb, "--to '%s': expected csv, record, votable, json or comb.", self->to);
  else if (self->out == NULL)
    faint_wrong_use (verb, "--out FILE is needed: what is written.");
  else if (!self->spectrum && (self->with != NULL || self->columns != NULL || self->number != NULL))
    faint_wrong_use (verb, "--with, --columns and --spectrum are for --to comb.");
  else if (self->spectrum && self->columns != NULL && faint_analysis_is_file (self->inputs[0]))
    faint_wrong_use (verb, "--columns: an analysis holds its own map of columns.");
  else if (self->number != NULL && !faint_analysis_is_file (self->inputs[0]))
    faint_wrong_use (verb, "--spectrum is for an analysis; of a JCAMP-DX file --columns block=N "
                           "tells which spectrum is meant.");
  else
    return check_settings (self);
  return FALSE;
}

static void
say_losses (const Choices *self, const GPtrArray *losses)
{
  for (guint i = 0; i < losses->len; i++)
    {
      const FaintWarning *loss = g_ptr_array_index (losses, i);
      faint_say ("%s: %s", self->out, loss->text);
    }
}

/* Q(296 K) of the file that --set names. */
static gboolean
read_partition (Choices *self, GError **error)
{
  if (self->partition_sums == NULL)
    return TRUE;
  self->sums = faint_partition_read (self->partition_sums, error);
  return self->sums != NULL
         && faint_partition_sum (self->sums, FAINT_REFERENCE_TEMPERATURE_K,
                                 &self->record.partition_sum, error);
}

/* Where Q(T) was given: strengths at 296 K of lines that got their lower-state energy since they
 * were fitted. */
static FaintLineList *
complete_strengths (const Choices *self, const FaintListFile *file, GError **error)
{
  g_autofree char *stated = faint_list_notes_get (file->notes, "temperature");
  FaintQuantity temperature = self->temperature;
  GError *inner = NULL;

  if (isnan (temperature.value) && stated != NULL
      && !faint_quantity_parse (stated, FAINT_DIMENSION_TEMPERATURE, &temperature, &inner))
    {
      g_propagate_prefixed_error (error, inner, "%s, temperature '%s': ", file->path, stated);
      return NULL;
    }
  if (self->sums == NULL || !(temperature.value > 0.0))
    return faint_line_list_ref (file->lines);
  return faint_budget_complete_list (temperature, self->sums, file->lines, error);
}

static char *
list_text (const Choices *self, GPtrArray *losses, gsize *n, GError **error)
{
  g_autoptr (FaintListFile) file = faint_list_file_read (self->inputs[0], error);
  g_autoptr (FaintLineList) lines = NULL;
  FaintLineListAbout about = { .chi2_reduced = NAN };

  if (file == NULL
      && (faint_text_begins_with (self->inputs[0], "# comb-table")
          || faint_text_begins_with (self->inputs[0], "##")))
    {
      g_clear_error (error);
      g_set_error (error, FAINT_TEXT_ERROR, FAINT_TEXT_ERROR_SYNTAX,
                   "%s is a spectrum and no line list. 'faintline-batch fit' finds its lines; --to "
                   "comb writes it as a comb table.",
                   self->inputs[0]);
    }
  if (file == NULL)
    return NULL;
  faint_say_warnings (file->warnings);
  lines = complete_strengths (self, file, error);
  if (lines == NULL)
    return NULL;
  *n = faint_line_list_get_n (file->lines);
  g_ptr_array_add (file->notes, NULL);
  about.notes = (const char *const *)file->notes->pdata;
  return faint_line_list_to_text (lines, &about, self->format, &self->record, losses);
}

static char *
analysis_text (const Choices *self, GPtrArray *losses, gsize *n, GError **error)
{
  g_autoptr (FaintAnalysis) analysis
      = faint_analysis_load (self->inputs[0], faint_terminal_progress (), error);

  if (analysis == NULL)
    return NULL;
  faint_say_warnings (faint_analysis_get_warnings (analysis));
  *n = faint_line_list_get_n (faint_analysis_get_lines (analysis));
  return faint_analysis_lines_text (analysis, NULL, self->format, &self->record, losses);
}

/* The spectrum of an analysis, under its conditions as they were edited. */
static FaintSpectrum *
analysis_spectrum (const Choices *self, const FaintReadOptions *options, GError **error)
{
  g_autoptr (FaintAnalysis) analysis
      = faint_analysis_load (self->inputs[0], faint_terminal_progress (), error);
  gsize n;

  if (analysis != NULL)
    analysis = faint_apply_settings (g_steal_pointer (&analysis), options, error);
  if (analysis == NULL)
    return NULL;
  n = faint_analysis_get_n_spectra (analysis);
  if (self->wanted > n || (self->wanted == 0 && n > 1))
    {
      g_set_error (error, FAINT_ANALYSIS_ERROR, FAINT_ANALYSIS_ERROR_SYNTAX,
                   "%s holds %" G_GSIZE_FORMAT " %s; a number from 1 to %" G_GSIZE_FORMAT
                   " is needed, like --spectrum 1.",
                   self->inputs[0], n, n == 1 ? "spectrum" : "spectra", n);
      return NULL;
    }
  faint_say_warnings (faint_analysis_get_warnings (analysis));
  faint_say ("%s: A comb table has no place for lines, fit and the record of changes.", self->out);
  return faint_spectrum_ref (faint_analysis_get_spectrum_at (analysis, MAX (self->wanted, 1) - 1));
}

/* What was meant for a spectrum may be a line list: then the reader's words on columns do not help.
 */
static FaintSpectrum *
file_spectrum (const Choices *self, const FaintReadOptions *options, GError **error)
{
  GError *inner = NULL;
  FaintSpectrum *spectrum
      = faint_spectrum_read (self->inputs[0], options, faint_terminal_progress (), &inner);
  g_autoptr (FaintListFile) list = NULL;

  if (spectrum != NULL)
    return spectrum;
  if (inner->domain == FAINT_TEXT_ERROR && inner->code == FAINT_TEXT_ERROR_SYNTAX
      && self->columns == NULL)
    list = faint_list_file_read (self->inputs[0], NULL);
  if (list == NULL)
    {
      g_propagate_error (error, inner);
      return NULL;
    }
  g_error_free (inner);
  g_set_error (error, FAINT_TEXT_ERROR, FAINT_TEXT_ERROR_SYNTAX,
               "%s is a line list and no spectrum. 'faintline-batch simulate' makes a spectrum of "
               "lines, from a scene.",
               self->inputs[0]);
  return NULL;
}

/* Remarks above the rows of a comb table, which are not written again. */
static void
say_remarks (const Choices *self)
{
  g_autoptr (FaintText) text = faint_text_begins_with (self->inputs[0], "# comb-table")
                                   ? faint_text_read (self->inputs[0], NULL)
                                   : NULL;
  FaintLines lines = { .text = text };
  guint n = 0;

  while (text != NULL && faint_text_next_line (&lines) && !faint_rows_is_row (&lines))
    if (lines.number > 1 && memchr (lines.line, '=', lines.length) == NULL)
      for (gsize i = 0; i < lines.length; i++)
        if (lines.line[i] != '#' && !g_ascii_isspace (lines.line[i]))
          {
            n++;
            break;
          }
  if (n > 0)
    faint_say ("%s: %u %s of remarks, without '=', %s left out.", self->out, n,
               n == 1 ? "line" : "lines", n == 1 ? "was" : "were");
}

/* A spectrum, or 0 in *n and FALSE. */
static gboolean
convert_spectrum (const Choices *self, gsize *n, GError **error)
{
  FaintReadOptions options = { .with = self->with,
                               .settings = (const char *const *)self->settings,
                               .columns = self->columns };
  g_autoptr (FaintSpectrum) spectrum = faint_analysis_is_file (self->inputs[0])
                                           ? analysis_spectrum (self, &options, error)
                                           : file_spectrum (self, &options, error);

  if (spectrum == NULL)
    return FALSE;
  faint_say_warnings (spectrum->warnings);
  say_remarks (self);
  *n = spectrum->n;
  return faint_comb_table_write (spectrum, self->out, error);
}

static gboolean
convert_list (Choices *self, gsize *n, GError **error)
{
  g_autoptr (GPtrArray) losses = faint_warnings_new ();
  g_autofree char *text = NULL;

  if (!read_partition (self, error))
    return FALSE;
  text = faint_analysis_is_file (self->inputs[0]) ? analysis_text (self, losses, n, error)
                                                  : list_text (self, losses, n, error);
  if (text == NULL || !faint_files_write (self->out, text, strlen (text), error))
    return FALSE;
  say_losses (self, losses);
  return TRUE;
}

static int
convert (char **arguments)
{
  g_auto (Choices) choices = { 0 };
  GError *error = NULL;
  gsize n = 0;

  if (!parse_arguments (&choices, arguments) || !check_arguments (&choices))
    return FAINT_EXIT_WRONG_USE;
  if (!(choices.spectrum ? convert_spectrum (&choices, &n, &error)
                         : convert_list (&choices, &n, &error)))
    return faint_fail (error);
  faint_progress_stage (1.0, 1.0);
  printf ("%s: %" G_GSIZE_FORMAT " %s, %s\n", choices.out, n,
          choices.spectrum ? "teeth" : (n == 1 ? "line" : "lines"), choices.to);
  return FAINT_EXIT_DONE;
}

const FaintVerb faint_verb_convert = {
  .name = "convert",
  .purpose = "Write a line list in another format, or a spectrum as a comb table",
  .run = convert,
};
