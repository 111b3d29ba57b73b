/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/comb-table.h"

#include <string.h>

#include "faint/base/words.h"
#include "faint/spectrum/delimited-private.h"
#include "faint/spectrum/header.h"
#include "faint/spectrum/jcamp.h"
#include "faint/spectrum/samples.h"
#include "faint/spectrum/setup-private.h"

/* What is known before the rows are read. */
typedef struct
{
  FaintText *text;
  FaintSetup *setup;
  FaintColumns *columns;
  GPtrArray *warnings;
  FaintRowsLayout layout;
} Table;

static void
table_clear (Table *table)
{
  faint_text_free (table->text);
  faint_setup_unref (table->setup);
  faint_columns_free (table->columns);
  g_ptr_array_unref (table->warnings);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Table, table_clear)

static gboolean
refuse_no_columns (const FaintText *text, GError **error)
{
  g_set_error (error, FAINT_TEXT_ERROR, FAINT_TEXT_ERROR_SYNTAX,
               _ ("%s has no line that names its columns. One like '# columns = tooth signal "
                  "reference u(signal)' was expected above the first row."),
               text->path);
  return FALSE;
}

static gboolean
name_columns (Table *table, const FaintHeader *header, GError **error)
{
  guint64 line;
  const char *value = faint_header_columns (header, &line);
  g_auto (GStrv) words = NULL;
  g_autoptr (GPtrArray) names = g_ptr_array_new ();

  if (value == NULL)
    return refuse_no_columns (table->text, error);
  words = g_strsplit_set (value, " \t", -1);
  for (char **word = words; *word != NULL; word++)
    if (**word != '\0')
      g_ptr_array_add (names, *word);
  g_ptr_array_add (names, NULL);
  table->columns = faint_columns_new ((const char *const *)names->pdata, TRUE, error);
  if (table->columns != NULL
      && faint_columns_check (table->columns, table->setup->observable, error))
    return TRUE;
  g_prefix_error (error, _ ("%s, line %zu: "), table->text->path, (gsize)line);
  return FALSE;
}

static void
warn_unused (const Table *table, const char *unknown_keys)
{
  g_autofree char *ignored = faint_columns_ignored (table->columns);

  if (ignored != NULL)
    faint_warnings_add (table->warnings, "extra-column",
                        N_ ("These columns have no use here and were ignored: %s."), ignored);
  if (unknown_keys != NULL)
    faint_warnings_add (
        table->warnings, "unknown-key",
        N_ ("These keys are not known here; they were kept, but have no effect: %s."),
        unknown_keys);
}

static gboolean
read_header (Table *table, const FaintReadOptions *options, GError **error)
{
  g_autoptr (FaintHeader) header = faint_header_new (table->setup, table->text->path);
  FaintLines lines = { .text = table->text };

  while (faint_text_next_line (&lines) && !faint_rows_is_row (&lines))
    if (!faint_header_take_line (header, &lines, error))
      return FALSE;
  if (!faint_setup_apply (table->setup, options, error) || !name_columns (table, header, error))
    return FALSE;
  table->layout
      = (FaintRowsLayout){ .columns = table->columns, .separator = ' ', .keys_above = TRUE };
  if (options != NULL && options->columns != NULL)
    faint_warnings_add (
        table->warnings, "columns-not-used",
        N_ ("A comb table names its columns itself; the given column map was not used."));
  warn_unused (table, faint_header_unknown (header));
  return TRUE;
}

static gboolean
read_foreign_header (Table *table, const FaintReadOptions *options, GError **error)
{
  if (!faint_setup_apply (table->setup, options, error))
    return FALSE;
  table->columns = faint_delimited_layout (table->text, options != NULL ? options->columns : NULL,
                                           table->setup->observable, &table->layout, error);
  if (table->columns == NULL)
    return FALSE;
  warn_unused (table, NULL);
  return TRUE;
}

static gboolean
finish (FaintSpectrum *spectrum, const char *path, GError **error)
{
  if (faint_spectrum_finish (spectrum, error))
    return TRUE;
  g_prefix_error (error, "%s: ", path);
  return FALSE;
}

/* The rows of a table, when they are in order. */
static FaintRows *
read_rows (const Table *table, const FaintProgress *progress, GError **error)
{
  g_autoptr (FaintRows) rows = faint_rows_read (table->text, &table->layout, progress, error);

  if (rows == NULL
      || (rows->n > 0 && !faint_samples_check_axis (rows, table->text, &table->layout, error)))
    return NULL;
  return g_steal_pointer (&rows);
}

/* A file of labelled records states its own conditions, which the options complete. */
static FaintRows *
read_jcamp (const Table *table, const FaintReadOptions *options, GError **error)
{
  g_autoptr (FaintJcamp) file
      = faint_jcamp_new (table->text, options != NULL ? options->columns : NULL, error);

  if (file == NULL)
    return NULL;
  if (table->text->latin_1_line > 0)
    faint_warnings_add (
        table->warnings, "latin-1",
        N_ ("The file is no UTF-8 (the standard knows ASCII alone); it was read as ISO "
            "8859-1, of which the first character stands in line %zu."),
        (gsize)table->text->latin_1_line);
  faint_jcamp_fill_setup (file, table->setup, table->warnings);
  if (!faint_setup_apply (table->setup, options, error))
    return NULL;
  if (table->setup->observable == FAINT_OBSERVABLE_FIELD)
    {
      g_set_error (error, FAINT_TEXT_ERROR, FAINT_TEXT_ERROR_SYNTAX,
                   _ ("%s holds one ordinate a point; a field needs two. Its observable can be "
                      "power or amplitude."),
                   table->text->path);
      return NULL;
    }
  return faint_jcamp_rows (file, table->warnings, error);
}

/* The samples; the text is let go first, so that a large file is not held twice. */
static FaintSpectrum *
take_samples (Table *table, FaintRows *taken, GError **error)
{
  g_autoptr (FaintRows) rows = taken;
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autofree char *path = g_strdup (table->text->path);
  char sha256[sizeof table->text->sha256];

  memcpy (sha256, table->text->sha256, sizeof sha256);
  g_clear_pointer (&table->text, faint_text_free);
  spectrum = faint_samples_new (rows, table->setup, error);
  if (spectrum == NULL)
    {
      g_prefix_error (error, "%s: ", path);
      return NULL;
    }
  g_clear_pointer (&rows, faint_rows_free);
  memcpy (spectrum->sha256, sha256, sizeof sha256);
  faint_warnings_extend (spectrum->warnings, table->warnings);
  if (!finish (spectrum, path, error))
    return NULL;
  spectrum->path = g_steal_pointer (&path);
  return g_steal_pointer (&spectrum);
}

FaintSpectrum *
faint_spectrum_read (const char *path, const FaintReadOptions *options,
                     const FaintProgress *progress, GError **error)
{
  g_auto (Table) table = { .warnings = faint_warnings_new (), .setup = faint_setup_new () };
  FaintRows *rows;
  gboolean is_table;

  if (!faint_progress_step (progress, 0.0, "reading", error))
    return NULL;
  table.text = faint_text_read_old (path, faint_jcamp_is, error);
  if (table.text == NULL || !faint_header_is_comb_table (table.text, &is_table, error))
    return NULL;
  if (!is_table && faint_jcamp_is (table.text))
    rows = read_jcamp (&table, options, error);
  else if (is_table ? read_header (&table, options, error)
                    : read_foreign_header (&table, options, error))
    rows = read_rows (&table, progress, error);
  else
    return NULL;
  return rows != NULL ? take_samples (&table, rows, error) : NULL;
}

/* The keys of a file of conditions. Of a comb table its header counts alone. */
static gboolean
apply_file (FaintSetup *setup, const char *path, GError **error)
{
  g_autoptr (FaintText) text = faint_text_read (path, error);
  g_autoptr (FaintHeader) header = faint_header_new (setup, path);
  FaintLines lines = { .text = text };
  gboolean is_table;
  guint64 line;

  if (text == NULL || !faint_header_is_comb_table (text, &is_table, error))
    return FALSE;
  while (faint_text_next_line (&lines))
    {
      gboolean is_row = faint_rows_is_row (&lines);

      if (is_row && is_table)
        break;
      if (is_row && memchr (lines.line, '=', lines.length) == NULL)
        {
          faint_text_error (error, FAINT_TEXT_ERROR_SYNTAX, path, lines.number, 0,
                            _ ("a line like 'temperature = 296.15 K' was expected."));
          return FALSE;
        }
      if (!faint_header_take_line (header, &lines, error))
        return FALSE;
    }
  if (is_table)
    return TRUE;
  if (faint_header_columns (header, &line) != NULL)
    {
      faint_text_error (error, FAINT_TEXT_ERROR_SYNTAX, path, line, 0,
                        _ ("columns are named in the table itself or beside it, not here."));
      return FALSE;
    }
  if (faint_header_unknown (header) == NULL)
    return TRUE;
  g_set_error (
      error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_KEY,
      _ ("%s holds keys that are not known here: %s. See the list of keys for their names."), path,
      faint_header_unknown (header));
  return FALSE;
}

static gboolean
apply_setting (FaintSetup *setup, const char *setting, GError **error)
{
  g_autofree char *key = NULL, *value = NULL;
  guint64 column;

  if (faint_setup_split_line (setting, strlen (setting), &key, &value, &column))
    return faint_setup_set (setup, key, value, NULL, error);
  g_set_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_VALUE,
               _ ("The setting '%s' has no '='; one like 'temperature=296.15 K' was expected."),
               setting);
  return FALSE;
}

gboolean
faint_setup_apply (FaintSetup *setup, const FaintReadOptions *options, GError **error)
{
  if (options == NULL)
    return TRUE;
  if (options->with != NULL && !apply_file (setup, options->with, error))
    return FALSE;
  for (const char *const *setting = options->settings; setting != NULL && *setting != NULL;
       setting++)
    if (!apply_setting (setup, *setting, error))
      return FALSE;
  return TRUE;
}
