/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/lines/list-file.h"

#include <string.h>

#include "faint/base/files.h"
#include "faint/base/text.h"
#include "faint/lines/csv-private.h"
#include "faint/lines/json-private.h"
#include "faint/lines/list-notes.h"
#include "faint/lines/record-private.h"
#include "faint/lines/votable-private.h"
#include "faint/base/words.h"

static const struct
{
  const char *name, *suffix;
} formats[FAINT_LIST_N] = {
  [FAINT_LIST_CSV] = { "csv", "csv" },
  [FAINT_LIST_RECORD] = { "record", "record" },
  [FAINT_LIST_VOTABLE] = { "votable", "vot" },
  [FAINT_LIST_JSON] = { "json", "json" },
};

const char *
faint_list_format_name (FaintListFormat format)
{
  g_return_val_if_fail ((guint)format < FAINT_LIST_N, "");
  return formats[format].name;
}

const char *
faint_list_format_suffix (FaintListFormat format)
{
  g_return_val_if_fail ((guint)format < FAINT_LIST_N, "");
  return formats[format].suffix;
}

gboolean
faint_list_format_from_name (const char *name, FaintListFormat *format)
{
  for (guint i = 0; i < FAINT_LIST_N; i++)
    if (strcmp (formats[i].name, name) == 0)
      {
        *format = (FaintListFormat)i;
        return TRUE;
      }
  return FALSE;
}

FaintListFormat
faint_list_format_recognise (const char *text, gsize length)
{
  const char *end = text + length, *row = text;

  while (text < end && g_ascii_isspace (*text))
    {
      row = *text == '\n' || *text == '\r' ? text + 1 : row;
      text++;
    }
  if (text < end && *text == '<')
    return FAINT_LIST_VOTABLE;
  if (text < end && (*text == '{' || *text == '['))
    return FAINT_LIST_JSON;
  return faint_record_recognise (row, (gsize)(end - row)) ? FAINT_LIST_RECORD : FAINT_LIST_CSV;
}

/* The preamble of a CSV: the lines before the heads that begin with '#'. */
static void
take_preamble (GPtrArray *notes, const char *text, gsize length)
{
  const FaintText whole = { .bytes = (char *)text, .length = length };
  FaintLines lines = { .text = &whole };

  while (faint_text_next_line (&lines) && (lines.length == 0 || *lines.line == '#'))
    {
      g_autofree char *line
          = lines.length > 0 ? g_strndup (lines.line + 1, lines.length - 1) : NULL;
      g_autofree char *key = NULL, *value = NULL;

      if (line != NULL && faint_list_note_split (line, &key, &value))
        faint_list_notes_take (notes, key, value);
    }
}

FaintListFile *
faint_list_file_parse (const char *text, gsize length, const char *path, GError **error)
{
  g_autoptr (FaintListFile) self = g_new0 (FaintListFile, 1);

  self->path = g_strdup (path);
  self->notes = g_ptr_array_new_with_free_func (g_free);
  self->warnings = faint_warnings_new ();
  self->format = faint_list_format_recognise (text, length);
  switch (self->format)
    {
    case FAINT_LIST_RECORD:
      self->lines
          = faint_line_list_parse_record (text, length, path, self->notes, self->warnings, error);
      break;
    case FAINT_LIST_VOTABLE:
      self->lines
          = faint_line_list_parse_votable (text, length, path, self->notes, self->warnings, error);
      break;
    case FAINT_LIST_JSON:
      self->lines
          = faint_line_list_parse_json (text, length, path, self->notes, self->warnings, error);
      break;
    case FAINT_LIST_CSV:
    default:
      take_preamble (self->notes, text, length);
      self->lines = faint_line_list_parse_csv (text, path, self->warnings, error);
      break;
    }
  return self->lines != NULL ? g_steal_pointer (&self) : NULL;
}

FaintListFile *
faint_list_file_read (const char *path, GError **error)
{
  g_autoptr (FaintText) text = faint_text_read (path, error);
  FaintListFile *self
      = text != NULL ? faint_list_file_parse (text->bytes, text->length, path, error) : NULL;

  if (self != NULL)
    memcpy (self->sha256, text->sha256, sizeof self->sha256);
  return self;
}

void
faint_list_file_free (FaintListFile *self)
{
  if (self == NULL)
    return;
  faint_line_list_unref (self->lines);
  g_free (self->path);
  g_ptr_array_unref (self->notes);
  g_ptr_array_unref (self->warnings);
  g_free (self);
}

char **
faint_list_file_sources (const FaintListFile *self)
{
  g_autoptr (GStrvBuilder) sources = g_strv_builder_new ();

  for (guint i = 0; i < self->notes->len; i++)
    {
      const char *note = g_ptr_array_index (self->notes, i), *word = strrchr (note, ' ');

      word = word != NULL ? word + 1 : note;
      if (strlen (word) == 64 && strspn (word, "0123456789abcdef") == 64)
        g_strv_builder_add (sources, word);
    }
  return g_strv_builder_end (sources);
}

static gboolean
has_contributions (const FaintLine *line)
{
  for (guint i = 0; i < FAINT_SOURCE_N; i++)
    if (isfinite (line->position_from[i]) || isfinite (line->strength_from[i])
        || isfinite (line->lorentz_from[i]))
      return TRUE;
  return FALSE;
}

static gboolean
has_control (const char *text)
{
  while (*text != '\0' && !faint_csv_is_control (*text))
    text++;
  return *text != '\0';
}

static void
say_of_letters (const FaintLineList *self, GPtrArray *losses)
{
  gsize n = 0;

  for (gsize i = 0; i < faint_line_list_get_n (self); i++)
    {
      const FaintLine *line = faint_line_list_get (self, i);
      n += has_control (line->upper) || has_control (line->lower) || has_control (line->remark);
    }
  if (n > 0)
    faint_warnings_add (
        losses, "csv-letters",
        n == 1 ? N_ (
            "%zu line: control characters in texts were replaced, as a text file cannot hold them.")
               : N_ ("%zu lines: control characters in texts were replaced, as a "
                     "text file cannot hold them."),
        n);
}

/* What the columns of CSV, JSON and VOTable do not hold. */
static void
say_of_columns (const FaintLineList *self, GPtrArray *losses)
{
  gsize n = 0;

  for (gsize i = 0; i < faint_line_list_get_n (self); i++)
    n += has_contributions (faint_line_list_get (self, i));
  if (n > 0)
    faint_warnings_add (losses, "contributions",
                        n == 1 ? N_ ("%zu line: what each source contributes to the uncertainties "
                                     "was left out; their common part was written.")
                               : N_ ("%zu lines: what each source contributes to the uncertainties "
                                     "was left out; their common part was written."),
                        n);
}

/* Does a record hold this column, or what follows from it? */
static gboolean
record_holds (const FaintCsvColumn *column)
{
  static const char *const held[] = {
    "id",
    "position",
    "frequency",
    "strength",
    "strength_296K",
    "lower_energy",
    "upper",
    "lower",
    "broadening_self",
    "broadening_foreign",
    "shift_foreign",
    "width_exponent",
    "position_zero",
    "u(frequency)",
    "U(position)",
    "U(strength)",
  };

  for (gsize i = 0; i < G_N_ELEMENTS (held); i++)
    if (strcmp (held[i], column->name) == 0)
      return TRUE;
  return FALSE;
}

static gboolean
some_line_has (const FaintLineList *self, const FaintCsvColumn *column)
{
  for (gsize i = 0; i < faint_line_list_get_n (self); i++)
    {
      g_autoptr (GString) cell = g_string_new (NULL);

      faint_csv_cell_append (cell, column, faint_line_list_get (self, i), 2.0);
      if (cell->len > 0)
        return TRUE;
    }
  return FALSE;
}

/* The columns in which something is lost: widths, flags, remarks, and uncertainties beyond a code.
 */
static void
say_of_record (const FaintLineList *self, GPtrArray *losses)
{
  g_autoptr (GPtrArray) columns = faint_csv_columns_of (self);
  g_autoptr (GString) names = g_string_new (NULL), coded = g_string_new (NULL);

  for (guint k = 0; k < columns->len; k++)
    {
      const FaintCsvColumn *column = g_ptr_array_index (columns, k);
      gboolean u = strncmp (column->name, "u(", 2) == 0;
      g_autofree char *of = u ? g_strndup (column->name + 2, strlen (column->name) - 3) : NULL;
      const FaintCsvColumn *whole = of != NULL ? faint_csv_column_find (of) : NULL;
      gboolean code = whole != NULL && record_holds (whole) && strcmp (of, "lower_energy") != 0;
      GString *into = code ? coded : names;

      if (record_holds (column) || !some_line_has (self, column))
        continue;
      g_string_append_printf (into, "%s%s", into->len > 0 ? ", " : "", column->name);
    }
  if (coded->len > 0)
    faint_warnings_add (losses, "record-uncertainties",
                        N_ ("Of the uncertainties %s the record holds the order of magnitude as a "
                            "code."),
                        coded->str);
  if (names->len > 0)
    faint_warnings_add (losses, "record-columns",
                        N_ ("The record has no place for: %s. They were left out."), names->str);
}

static char *
to_record (const FaintLineList *self, const FaintLineListAbout *about,
           const FaintRecordOptions *options, GPtrArray *losses)
{
  g_autoptr (GPtrArray) notes = faint_list_notes_new (about);
  FaintRecordOptions all;

  faint_record_options_init (&all);
  faint_record_options_take_notes (&all, notes);
  if (options != NULL)
    {
      all.molecule = options->molecule > 0 ? options->molecule : all.molecule;
      all.isotopologue = options->isotopologue > 0 ? options->isotopologue : all.isotopologue;
      all.abundance = isnan (options->abundance) ? all.abundance : options->abundance;
      all.partition_sum
          = isnan (options->partition_sum) ? all.partition_sum : options->partition_sum;
      all.degeneracy_factor
          = isnan (options->degeneracy_factor) ? all.degeneracy_factor : options->degeneracy_factor;
      all.temperature = isnan (options->temperature) ? all.temperature : options->temperature;
      all.foreign_is_air = options->foreign_is_air || all.foreign_is_air;
      all.pure = options->pure || all.pure;
    }
  say_of_record (self, losses);
  faint_warnings_add (
      losses, "record-about",
      N_ ("The record has no place for conditions, inputs and what else the list says "
          "of itself."));
  return faint_line_list_to_record (self, &all, losses);
}

char *
faint_line_list_to_text (const FaintLineList *self, const FaintLineListAbout *about,
                         FaintListFormat format, const FaintRecordOptions *options,
                         GPtrArray *losses)
{
  g_autoptr (GPtrArray) unheard = faint_warnings_new ();

  losses = losses != NULL ? losses : unheard;
  if (format == FAINT_LIST_RECORD)
    return to_record (self, about, options, losses);
  say_of_columns (self, losses);
  if (format == FAINT_LIST_VOTABLE)
    return faint_line_list_to_votable (self, about, losses);
  if (format == FAINT_LIST_JSON)
    return faint_line_list_to_json (self, about);
  say_of_letters (self, losses);
  return faint_line_list_to_csv (self, about);
}

gboolean
faint_list_file_write (const FaintLineList *self, const FaintLineListAbout *about, const char *path,
                       FaintListFormat format, const FaintRecordOptions *options, GPtrArray *losses,
                       GError **error)
{
  g_autofree char *text = faint_line_list_to_text (self, about, format, options, losses);

  return faint_files_write (path, text, strlen (text), error);
}
