/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * convert: a line list from any format to any other, and a spectrum to a comb table.
 */
#include "common.h"

#include "faint/analysis/analysis.h"
#include "faint/base/files.h"
#include "faint/lines/list-file.h"
#include "faint/strength/partition.h"

#include <stdio.h>
#include <string.h>

typedef struct
{
  char *to, *out, *with, *columns;
  char **settings, **inputs;
  gboolean spectrum; /* --to comb */
  FaintListFormat format;
  FaintRecordOptions record;
  char *partition_sums;
} Choices;

static void
choices_clear (Choices *self)
{
  g_free (self->to);
  g_free (self->out);
  g_free (self->with);
  g_free (self->columns);
  g_strfreev (self->settings);
  g_strfreev (self->inputs);
  g_free (self->partition_sums);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Choices, choices_clear)

static char *
describe (void)
{
  GString *text = g_string_new (
      "INPUT is recognised by its content: a line list as CSV, records of 160 columns, VOTable or\n"
      "JSON; an analysis, whose lines are taken; with --to comb a spectrum in any form that is "
      "read.\n"
      "What the format cannot hold is left out and said.\n\nKeys of --set for records:\n");

  for (const char *const *key = faint_record_option_keys (); *key != NULL; key++)
    g_string_append_printf (text, "  %-19s %s\n", *key, faint_record_option_meaning (*key));
  g_string_append (text,
                   "  partition_sums      file of Q(T), of which Q(296 K) is taken\n"
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
    {
      g_autoptr (FaintSetup) setup = faint_setup_new ();
      FaintReadOptions options = { .settings = (const char *const *)self->settings };

      if (faint_setup_apply (setup, &options, &error))
        return TRUE;
      faint_wrong_use (verb, "--set: %s", error->message);
      return FALSE;
    }
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
  else if (!self->spectrum && (self->with != NULL || self->columns != NULL))
    faint_wrong_use (verb, "--with and --columns are for --to comb.");
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
  g_autoptr (FaintPartition) sums = NULL;

  if (self->partition_sums == NULL)
    return TRUE;
  sums = faint_partition_read (self->partition_sums, error);
  return sums != NULL
         && faint_partition_sum (sums, FAINT_REFERENCE_TEMPERATURE_K, &self->record.partition_sum,
                                 error);
}

static char *
list_text (const Choices *self, GPtrArray *losses, gsize *n, GError **error)
{
  g_autoptr (FaintListFile) file = faint_list_file_read (self->inputs[0], error);
  FaintLineListAbout about = { .chi2_reduced = NAN };

  if (file == NULL)
    return NULL;
  faint_say_warnings (file->warnings);
  *n = faint_line_list_get_n (file->lines);
  g_ptr_array_add (file->notes, NULL);
  about.notes = (const char *const *)file->notes->pdata;
  return faint_line_list_to_text (file->lines, &about, self->format, &self->record, losses);
}

static char *
analysis_text (const Choices *self, GPtrArray *losses, gsize *n, GError **error)
{
  g_autoptr (FaintAnalysis) analysis
      = faint_analysis_load (self->inputs[0], faint_terminal_progress (), error);

  if (analysis == NULL)
    return NULL;
  *n = faint_line_list_get_n (faint_analysis_get_lines (analysis));
  return faint_analysis_lines_text (analysis, NULL, self->format, &self->record, losses);
}

/* A spectrum, or 0 in *n and FALSE. */
static gboolean
convert_spectrum (const Choices *self, gsize *n, GError **error)
{
  FaintReadOptions options = { .with = self->with,
                               .settings = (const char *const *)self->settings,
                               .columns = self->columns };
  g_autoptr (FaintSpectrum) spectrum
      = faint_spectrum_read (self->inputs[0], &options, faint_terminal_progress (), error);

  if (spectrum == NULL)
    return FALSE;
  faint_say_warnings (spectrum->warnings);
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
