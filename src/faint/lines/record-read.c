/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "faint/base/text.h"
#include "faint/base/warnings.h"
#include "faint/base/words.h"
#include "faint/lines/list-notes.h"
#include "faint/lines/record-private.h"

typedef struct
{
  const char *path;
  guint64 number; /* of the present line */
  char record[FAINT_RECORD_LENGTH + 1];
  GArray *lines;
  GStringChunk *texts;
  int molecule, isotopologue; /* of all so far; 0 not known, -1 they differ */
  gsize codes, einstein, weights, short_lines, references;
} Reader;

static gboolean refuse (const Reader *self, guint column, GError **error, const char *format, ...)
    G_GNUC_PRINTF (4, 5);
static gboolean
refuse (const Reader *self, guint column, GError **error, const char *format, ...)
{
  g_autofree char *words = NULL;
  va_list arguments;

  va_start (arguments, format);
  words = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error (error, FAINT_LINES_ERROR, FAINT_LINES_ERROR_VALUE,
               _ ("%s, line %zu, column %zu: %s"), self->path, (gsize)self->number, (gsize)column,
               words);
  return FALSE;
}

/* What stands in @width columns from @column (from 1) on, for which @format has a place. */
static gboolean
refuse_text (const Reader *self, guint column, guint width, GError **error, const char *format)
{
  g_autofree char *found = faint_text_quote (self->record + column - 1, width, width);
  g_autofree char *sentence = g_strdup_printf (format, found);

  return refuse (self, column, error, "%s", sentence);
}

/* NAN where the field is blank. */
static gboolean
read_number (const Reader *self, FaintRecordPlace place, double *value, GError **error)
{
  const FaintRecordField *field = faint_record_field (place);
  const char *start = self->record + field->start, *end = start + field->width, *after;

  *value = NAN;
  while (start < end && *start == ' ')
    start++;
  while (end > start && end[-1] == ' ')
    end--;
  if (start == end)
    return TRUE;
  if (faint_text_number (start, end, value, &after) && after == end && isfinite (*value))
    return TRUE;
  g_autofree char *found = faint_text_quote (start, end - start, 40);
  return refuse (
      self, field->start + 1, error,
      _ ("found '%s' in the field '%s', expected a number in columns %u to %u or blanks"), found,
      field->name, field->start + 1, field->start + field->width);
}

/* Of a quantity that is never 0, which stands for not known there. */
static gboolean
read_present (const Reader *self, FaintRecordPlace place, double *value, GError **error)
{
  if (!read_number (self, place, value, error))
    return FALSE;
  if (*value == 0.0)
    *value = NAN;
  return TRUE;
}

static gboolean
read_identity (Reader *self, GError **error)
{
  double molecule;
  char letter = self->record[2];
  int isotopologue = g_ascii_isdigit (letter) ? letter - '0' : 0;

  if (!read_number (self, FAINT_RECORD_MOLECULE, &molecule, error))
    return FALSE;
  if (molecule < 0.0 || (!isnan (molecule) && molecule != floor (molecule)))
    return refuse_text (self, 1, 2, error,
                        _ ("found '%s' as the molecule number, expected a whole number"));
  if (letter != ' ' && !g_ascii_isalnum (letter))
    return refuse_text (
        self, 3, 1, error,
        _ ("found '%s' as the isotopologue number, expected a digit, a letter or a blank"));
  molecule = isnan (molecule) ? 0.0 : molecule;
  if (self->lines->len == 0)
    {
      self->molecule = (int)molecule;
      self->isotopologue = isotopologue;
    }
  if (self->molecule != (int)molecule)
    self->molecule = -1;
  if (self->isotopologue != isotopologue)
    self->isotopologue = -1;
  return TRUE;
}

static gboolean
read_coefficients (const Reader *self, FaintLine *line, GError **error)
{
  FaintParameter *c = line->coefficient;

  return read_present (self, FAINT_RECORD_WIDTH_AIR, &c[FAINT_COEFFICIENT_BROADENING_FOREIGN].value,
                       error)
         && read_present (self, FAINT_RECORD_WIDTH_SELF,
                          &c[FAINT_COEFFICIENT_BROADENING_SELF].value, error)
         && read_present (self, FAINT_RECORD_EXPONENT, &c[FAINT_COEFFICIENT_WIDTH_EXPONENT].value,
                          error)
         && read_present (self, FAINT_RECORD_SHIFT, &c[FAINT_COEFFICIENT_SHIFT_FOREIGN].value,
                          error);
}

static gboolean
read_values (Reader *self, FaintLine *line, GError **error)
{
  double a, upper, lower;

  if (!read_number (self, FAINT_RECORD_POSITION, &line->position.value, error)
      || !read_number (self, FAINT_RECORD_STRENGTH, &line->strength_296, error)
      || !read_present (self, FAINT_RECORD_EINSTEIN_A, &a, error)
      || !read_coefficients (self, line, error)
      || !read_number (self, FAINT_RECORD_LOWER_ENERGY, &line->lower_energy, error)
      || !read_present (self, FAINT_RECORD_UPPER_WEIGHT, &upper, error)
      || !read_present (self, FAINT_RECORD_LOWER_WEIGHT, &lower, error))
    return FALSE;
  if (!(line->position.value > 0.0))
    return refuse_text (self, 4, 12, error,
                        _ ("found '%s' as the wavenumber, expected a number above 0"));
  if (line->lower_energy == -1.0) /* of lines that are not assigned; common practice, no source */
    line->lower_energy = NAN;
  line->strength.value = line->strength_296;
  self->einstein += !isnan (a);
  self->weights += !isnan (upper) || !isnan (lower);
  return TRUE;
}

static gboolean
read_codes (Reader *self, FaintLine *line, GError **error)
{
  const FaintRecordField *field = faint_record_field (FAINT_RECORD_CODES);
  const char *codes = self->record + field->start;
  FaintParameter *c = line->coefficient;
  const struct
  {
    FaintParameter *parameter;
    guint code;
  } relative[] = {
    { &line->strength, 1 },
    { &c[FAINT_COEFFICIENT_BROADENING_FOREIGN], 2 },
    { &c[FAINT_COEFFICIENT_BROADENING_SELF], 3 },
    { &c[FAINT_COEFFICIENT_WIDTH_EXPONENT], 4 },
  };

  for (guint i = 0; i < field->width; i++)
    if (!g_ascii_isdigit (codes[i]) && codes[i] != ' ')
      return refuse_text (self, field->start + i + 1, 1, error,
                          _ ("found '%s' as a code of uncertainty, expected a digit or a blank"));
  line->position.u = faint_record_u_absolute (codes[0]);
  c[FAINT_COEFFICIENT_SHIFT_FOREIGN].u = isnan (c[FAINT_COEFFICIENT_SHIFT_FOREIGN].value)
                                             ? (double)NAN
                                             : faint_record_u_absolute (codes[5]);
  for (gsize i = 0; i < G_N_ELEMENTS (relative); i++)
    relative[i].parameter->u
        = faint_record_u_relative (codes[relative[i].code]) * fabs (relative[i].parameter->value);
  line->u_strength_296 = line->strength.u;
  self->codes += strspn (codes, "0 ") < field->width;
  return TRUE;
}

static void
read_labels (Reader *self, FaintLine *line)
{
  g_autofree char *upper = NULL, *lower = NULL;

  faint_record_get_labels (self->record, &upper, &lower);
  line->upper = g_string_chunk_insert_const (self->texts, upper);
  line->lower = g_string_chunk_insert_const (self->texts, lower);
}

/* A line of the file into the 160 columns. */
static gboolean
take (Reader *self, const FaintLines *lines, GError **error)
{
  self->number = lines->number;
  if (lines->length > FAINT_RECORD_LENGTH || lines->length < FAINT_RECORD_LEAST_LENGTH)
    return refuse (self, (guint)MIN (lines->length, FAINT_RECORD_LENGTH) + 1, error,
                   _ ("a record has %d columns (%d at the least, where blanks at its end were "
                      "cut); found %zu"),
                   FAINT_RECORD_LENGTH, FAINT_RECORD_LEAST_LENGTH, lines->length);
  for (gsize i = 0; i < lines->length; i++)
    if (lines->line[i] < 0x20 || lines->line[i] > 0x7e)
      return refuse (self, (guint)i + 1, error,
                     _ ("the byte 0x%02X stands here; a record is of printable ASCII"),
                     (guchar)lines->line[i]);
  memset (self->record, ' ', FAINT_RECORD_LENGTH);
  memcpy (self->record, lines->line, lines->length);
  self->short_lines += lines->length < FAINT_RECORD_LENGTH;
  return TRUE;
}

static gboolean
read_line (Reader *self, GError **error)
{
  const FaintRecordField *references = faint_record_field (FAINT_RECORD_REFERENCES);
  FaintLine line = faint_line_unknown ();

  if (!read_identity (self, error) || !read_values (self, &line, error)
      || !read_codes (self, &line, error))
    return FALSE;
  read_labels (self, &line);
  self->references += strspn (self->record + references->start, "0 ") < references->width;
  g_array_append_val (self->lines, line);
  return TRUE;
}

static void
note_count (GPtrArray *notes, const char *key, int count)
{
  g_autofree char *text = g_strdup_printf ("%d", count);

  if (count > 0)
    faint_list_notes_take (notes, key, text);
}

static void
say (const Reader *self, GPtrArray *notes, GPtrArray *warnings)
{
  note_count (notes, "molecule_number", self->molecule);
  note_count (notes, "isotopologue_number", self->isotopologue);
  faint_list_notes_take (notes, "temperature", "296 K");
  faint_list_notes_take (notes, "foreign_gas", "air");
  if (warnings == NULL)
    return;
  if (self->codes > 0)
    faint_warnings_add (
        warnings, "record-codes",
        N_ ("%s: uncertainties are stated as ranges; the largest one of each range was "
            "taken."),
        self->path);
  if (self->molecule < 0 || self->isotopologue < 0)
    faint_warnings_add (
        warnings, "record-molecules",
        N_ ("%s: the records are of several molecules or isotopologues; a line list "
            "does not tell them apart."),
        self->path);
  if (self->einstein > 0 || self->weights > 0 || self->references > 0)
    faint_warnings_add (
        warnings, "record-ignored",
        N_ ("%s: Einstein coefficients, statistical weights, references and flags are "
            "not part of a line list and were ignored."),
        self->path);
}

static gboolean
read_all (Reader *self, const FaintText *text, GError **error)
{
  FaintLines lines = { .text = text };

  while (faint_text_next_line (&lines))
    if (lines.length > 0 && (!take (self, &lines, error) || !read_line (self, error)))
      return FALSE;
  return TRUE;
}

FaintLineList *
faint_line_list_parse_record (const char *text, gsize length, const char *path, GPtrArray *notes,
                              GPtrArray *warnings, GError **error)
{
  const FaintText whole = { .bytes = (char *)text, .length = length };
  Reader reader = { .path = path,
                    .lines = g_array_new (FALSE, FALSE, sizeof (FaintLine)),
                    .texts = g_string_chunk_new (1024) };
  FaintLineList *list = NULL;

  if (read_all (&reader, &whole, error))
    {
      list = faint_line_list_new ((const FaintLine *)(void *)reader.lines->data, reader.lines->len);
      say (&reader, notes, warnings);
    }
  g_array_unref (reader.lines);
  g_string_chunk_free (reader.texts);
  return list;
}

gboolean
faint_record_recognise (const char *text, gsize length)
{
  const FaintRecordField *field = faint_record_field (FAINT_RECORD_POSITION);
  const char *start = text + field->start, *end = start + field->width, *after;
  double value;

  if (length < 67 || (text[2] != ' ' && !g_ascii_isalnum (text[2])))
    return FALSE;
  for (guint i = 0; i < field->start + field->width; i++)
    if (text[i] < 0x20 || strchr (",;\t", text[i]) != NULL)
      return FALSE;
  while (start < end && *start == ' ')
    start++;
  return memchr (start, '.', (gsize)(end - start)) != NULL
         && faint_text_number (start, end, &value, &after) && after == end;
}
