/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "faint/base/warnings.h"
#include "faint/base/words.h"
#include "faint/lines/list-notes.h"
#include "faint/lines/list-rows-private.h"
#include "faint/lines/votable-private.h"

/* A FIELD as stated. */
typedef struct
{
  char *name, *ucd, *unit, *type, *size, *null;
  FaintListCell at; /* text is @name */
} Field;

typedef struct
{
  const char *path;
  GPtrArray *notes, *warnings;
  FaintListRows *rows;  /* of the table that is read; NULL before it */
  GArray *fields;       /* Field, of the present table */
  GPtrArray *own;       /* notes of the present table */
  GString *text;        /* content of the present TD */
  guint64 line, column; /* where the present piece begins, which is a tag with what follows it */
  FaintListCell row_at, cell_at;
  guint depth, cell; /* open elements; TD of the present row */
  gboolean root, in_table, in_field, reading, in_row, in_cell, done;
  gsize others; /* tables that were not read */
} Reader;

static void
clear_field (gpointer data)
{
  Field *field = data;

  g_free (field->name);
  g_free (field->ucd);
  g_free (field->unit);
  g_free (field->type);
  g_free (field->size);
  g_free (field->null);
}

static FaintListCell
place (const Reader *self)
{
  return (FaintListCell){ (char *)"", self->line, self->column };
}

static void refuse (const Reader *self, FaintLinesError code, GError **error, const char *format,
                    ...) G_GNUC_PRINTF (4, 5);
static void
refuse (const Reader *self, FaintLinesError code, GError **error, const char *format, ...)
{
  FaintListCell at = place (self);
  g_autofree char *words = NULL;
  va_list arguments;

  va_start (arguments, format);
  words = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error (error, FAINT_LINES_ERROR, code, _ ("%s, line %zu, column %zu: %s"), self->path,
               (gsize)at.line, (gsize)at.column, words);
}

/* The value of an attribute, or "". */
static const char *
attribute (const char *name, const char **names, const char **values)
{
  for (gsize i = 0; names[i] != NULL; i++)
    if (strcmp (names[i], name) == 0)
      return values[i];
  return "";
}

static void
begin_field (Reader *self, const char **names, const char **values)
{
  Field field = { 0 };
  const char *name = attribute ("name", names, values);

  field.name = g_strdup (*name != '\0' ? name : attribute ("ID", names, values));
  field.ucd = g_strdup (attribute ("ucd", names, values));
  field.unit = g_strstrip (g_strdup (attribute ("unit", names, values)));
  field.type = g_strdup (attribute ("datatype", names, values));
  field.size = g_strdup (attribute ("arraysize", names, values));
  field.at = place (self);
  field.at.text = field.name;
  g_array_append_val (self->fields, field);
}

/* Also those outside of tables say what holds for the list. */
static void
take_param (Reader *self, const char **names, const char **values)
{
  const char *name = attribute ("name", names, values), *value = attribute ("value", names, values);
  g_autofree char *unit = faint_votable_unit_text (attribute ("unit", names, values));
  g_autofree char *text = g_strconcat (value, *unit != '\0' ? " " : "", unit, NULL);

  if (*name != '\0' && *value != '\0')
    faint_list_notes_take (self->in_table ? self->own : self->notes, name, text);
}

/* Is the type one that fits the column: text for text, a scalar number for a number? */
static gboolean
type_fits (const Field *field, const FaintCsvColumn *column)
{
  static const char *const numbers[]
      = { "double", "float", "int", "long", "short", "unsignedByte" };
  gboolean text = column->kind == FAINT_CSV_TEXT || column->kind == FAINT_CSV_FLAGS
                  || column->kind == FAINT_CSV_PROFILE || column->kind == FAINT_CSV_TIES;

  if (text)
    return strcmp (field->type, "char") == 0 || strcmp (field->type, "unicodeChar") == 0;
  if (*field->size != '\0' && strcmp (field->size, "1") != 0)
    return FALSE;
  for (gsize i = 0; i < G_N_ELEMENTS (numbers); i++)
    if (strcmp (field->type, numbers[i]) == 0)
      return TRUE;
  return FALSE;
}

static gboolean
is_taken (const FaintListRows *rows, const FaintCsvColumn *column)
{
  for (guint k = 0; k < faint_list_rows_get_n_columns (rows); k++)
    if (faint_list_rows_get_column (rows, k) == column)
      return TRUE;
  return FALSE;
}

/* By name, else by meaning where no FIELD has the name. */
static const FaintCsvColumn *
column_of (const Reader *self, const Field *field)
{
  const FaintCsvColumn *column = faint_csv_column_find (field->name);

  if (column != NULL)
    return column;
  column = faint_votable_column_of_ucd (field->ucd);
  for (guint i = 0; column != NULL && i < self->fields->len; i++)
    if (strcmp (g_array_index (self->fields, Field, i).name, column->name) == 0)
      return NULL;
  return column != NULL && !is_taken (self->rows, column) ? column : NULL;
}

static gboolean
add_column (Reader *self, const Field *field, GError **error)
{
  const FaintCsvColumn *column = column_of (self, field);
  gboolean inverse = FALSE;
  double scale = 1.0;

  if (column != NULL && !type_fits (field, column))
    column = NULL;
  if (column != NULL)
    scale = faint_votable_scale (column->unit, field->unit, &inverse);
  if (inverse && column->limit != FAINT_CSV_POSITIVE)
    scale = 0.0; /* an uncertainty of a wavelength is not one over it */
  if (column != NULL && scale == 0.0)
    {
      g_autofree char *sentence
          = faint_votable_unit_refusal (column->unit, field->name, field->unit);

      return faint_list_rows_refuse (self->rows, &field->at, FAINT_LINES_ERROR_COLUMN, error, "%s",
                                     sentence);
    }
  if (inverse && self->warnings != NULL)
    faint_warnings_add (
        self->warnings, "votable-wavelength",
        N_ ("%s: the FIELD '%s' holds wavelengths, which were taken as those in vacuum."),
        self->path, field->name);
  return faint_list_rows_add_column (self->rows, &field->at, column, scale, inverse, error);
}

/* FALSE without an error: no list. */
static gboolean
table_has_positions (const Reader *self)
{
  for (guint i = 0; i < self->fields->len; i++)
    {
      const Field *field = &g_array_index (self->fields, Field, i);
      const FaintCsvColumn *column = faint_csv_column_find (field->name);

      if (column == NULL)
        column = faint_votable_column_of_ucd (field->ucd);
      if (column != NULL && type_fits (field, column)
          && (strcmp (column->name, "position") == 0 || strcmp (column->name, "frequency") == 0))
        return TRUE;
    }
  return FALSE;
}

static void
begin_data (Reader *self, GError **error)
{
  GError *inner = NULL;

  if (self->done || !table_has_positions (self))
    {
      self->others++;
      return;
    }
  self->reading = self->done = TRUE;
  self->rows = faint_list_rows_new (self->path, self->warnings);
  for (guint i = 0; inner == NULL && i < self->fields->len; i++)
    add_column (self, &g_array_index (self->fields, Field, i), &inner);
  for (guint i = 0; i < self->own->len; i++)
    g_ptr_array_add (self->notes, g_strdup (g_ptr_array_index (self->own, i)));
  if (inner != NULL)
    g_propagate_error (error, inner);
}

static void
begin_cell (Reader *self, const char **names, const char **values, GError **error)
{
  if (*attribute ("encoding", names, values) != '\0')
    refuse (self, FAINT_LINES_ERROR_SYNTAX, error,
            _ ("a TD with an encoding is not read; expected plain text"));
  else if (self->cell >= self->fields->len)
    refuse (self, FAINT_LINES_ERROR_SYNTAX, error,
            _ ("the row has more cells than the %u FIELDs of the table"), self->fields->len);
  self->in_cell = TRUE;
  self->cell_at = place (self);
  g_string_truncate (self->text, 0);
}

static void
end_cell (Reader *self, GError **error)
{
  const Field *field = &g_array_index (self->fields, Field, self->cell);
  FaintListCell cell = self->cell_at;
  const FaintCsvColumn *column = faint_list_rows_get_column (self->rows, self->cell);

  cell.text = self->text->str;
  self->in_cell = FALSE;
  if (column != NULL && column->kind != FAINT_CSV_TEXT)
    {
      g_strstrip (self->text->str);
      /* NaN and the null value of the FIELD are what is not known. */
      if (g_ascii_strcasecmp (cell.text, "nan") == 0
          || (field->null != NULL && strcmp (cell.text, field->null) == 0))
        cell.text = (char *)"";
    }
  faint_list_rows_cell (self->rows, self->cell++, &cell, error);
}

static void
end_row (Reader *self, GError **error)
{
  self->in_row = FALSE;
  if (self->cell != self->fields->len)
    faint_list_rows_refuse (self->rows, &self->row_at, FAINT_LINES_ERROR_SYNTAX, error,
                            _ ("the row has %u cells, expected %u as there are FIELDs"), self->cell,
                            self->fields->len);
  else
    faint_list_rows_end (self->rows, &self->row_at, error);
}

/* The name without the prefix of a namespace. */
static const char *
local_name (const char *name)
{
  const char *colon = strrchr (name, ':');

  return colon != NULL ? colon + 1 : name;
}

static void
begin_table (Reader *self)
{
  self->in_table = TRUE;
  g_array_set_size (self->fields, 0);
  g_ptr_array_set_size (self->own, 0);
}

static void
begin_in_table (Reader *self, const char *name, const char **names, const char **values,
                GError **error)
{
  if (strcmp (name, "FIELD") == 0)
    {
      begin_field (self, names, values);
      self->in_field = TRUE;
    }
  else if (strcmp (name, "VALUES") == 0 && self->in_field && self->fields->len > 0)
    {
      Field *field = &g_array_index (self->fields, Field, self->fields->len - 1);
      const char *null = attribute ("null", names, values);

      g_free (field->null);
      field->null = *null != '\0' ? g_strdup (null) : NULL;
    }
  else if (strcmp (name, "TABLEDATA") == 0)
    begin_data (self, error);
  else if (strcmp (name, "BINARY") == 0 || strcmp (name, "BINARY2") == 0
           || strcmp (name, "FITS") == 0)
    refuse (self, FAINT_LINES_ERROR_SYNTAX, error,
            _ ("the table is in %s, which is not read; save it as TABLEDATA"), name);
  else if (strcmp (name, "TR") == 0 && self->reading)
    {
      self->in_row = TRUE;
      self->row_at = place (self);
      self->cell = 0;
      faint_list_rows_begin (self->rows);
    }
  else if (strcmp (name, "TD") == 0 && self->reading)
    begin_cell (self, names, values, error);
}

static void
start_element (GMarkupParseContext *context, const char *full_name, const char **names,
               const char **values, gpointer data, GError **error)
{
  Reader *self = data;
  const char *name = local_name (full_name);

  self->depth++;
  if (self->depth == 1 && strcmp (name, "VOTABLE") != 0)
    refuse (self, FAINT_LINES_ERROR_SYNTAX, error,
            _ ("the document begins with '%s', expected VOTABLE"), name);
  else if (self->in_cell)
    refuse (self, FAINT_LINES_ERROR_SYNTAX, error, _ ("the element %s stands inside of a TD"),
            name);
  else if (self->reading && self->in_row && strcmp (name, "TD") != 0)
    refuse (self, FAINT_LINES_ERROR_SYNTAX, error,
            _ ("the element %s stands inside of a row TR; expected TD"), name);
  else if (self->reading && !self->in_row && strcmp (name, "TR") != 0)
    refuse (self, FAINT_LINES_ERROR_SYNTAX, error,
            _ ("the element %s stands inside of TABLEDATA; expected TR"), name);
  else if (strcmp (name, "TABLE") == 0)
    begin_table (self);
  else if (strcmp (name, "PARAM") == 0)
    take_param (self, names, values);
  else if (self->in_table)
    begin_in_table (self, name, names, values, error);
}

static void
end_element (GMarkupParseContext *context, const char *full_name, gpointer data, GError **error)
{
  Reader *self = data;
  const char *name = local_name (full_name);

  self->depth--;
  if (strcmp (name, "TABLE") == 0)
    self->in_table = FALSE;
  else if (strcmp (name, "FIELD") == 0)
    self->in_field = FALSE;
  else if (strcmp (name, "TABLEDATA") == 0)
    self->reading = FALSE;
  else if (strcmp (name, "TR") == 0 && self->in_row)
    end_row (self, error);
  else if (strcmp (name, "TD") == 0 && self->in_cell)
    end_cell (self, error);
}

static void
take_text (GMarkupParseContext *context, const char *text, gsize length, gpointer data,
           GError **error)
{
  Reader *self = data;

  if (self->in_cell)
    g_string_append_len (self->text, text, (gssize)length);
}

/* GMarkup tells a place of its own first, in the language of the program: it is left out. */
static void
place_error (const Reader *self, GError **error)
{
  GError *inner = *error;
  const char *words = inner->message, *behind = strstr (words, ": ");

  if (inner->domain != G_MARKUP_ERROR)
    return;
  if (behind != NULL && behind > words && g_ascii_isdigit (behind[-1]))
    words = behind + 2;
  *error = NULL;
  refuse (self, FAINT_LINES_ERROR_SYNTAX, error, _ ("this is no well-formed XML: %s"), words);
  g_error_free (inner);
}

/* Lines and columns that @piece goes on. */
static void
count (Reader *self, const char *piece, gsize length)
{
  for (gsize i = 0; i < length; i++)
    if (piece[i] == '\n' || (piece[i] == '\r' && piece[i + 1] != '\n'))
      {
        self->line++;
        self->column = 1;
      }
    else
      self->column += ((guchar)piece[i] & 0xc0) != 0x80;
}

/* A tag with the text behind it at a time, so that what is told has the place of its tag. @text
 * ends with a zero. */
static gboolean
parse_pieces (Reader *self, GMarkupParseContext *context, const char *text, gsize length,
              GError **error)
{
  const char *end = text + length;

  while (text < end)
    {
      const char *next = memchr (text + 1, '<', (gsize)(end - text - 1));
      gsize piece = (gsize)((next != NULL ? next : end) - text);

      if (!g_markup_parse_context_parse (context, text, (gssize)piece, error))
        return FALSE;
      count (self, text, piece);
      text += piece;
    }
  return g_markup_parse_context_end_parse (context, error);
}

static FaintLineList *
finish (Reader *self, GError **error)
{
  if (self->rows == NULL)
    {
      refuse (self, FAINT_LINES_ERROR_COLUMN, error,
              _ ("no TABLE with TABLEDATA has a FIELD of positions; expected one named 'position' "
                 "or 'frequency', or with the ucd em.wavenumber, em.freq or em.wl"));
      return NULL;
    }
  if (self->others > 0 && self->warnings != NULL)
    faint_warnings_add (self->warnings, "votable-tables",
                        N_ ("%s: the first table of lines was read; %zu others were left aside."),
                        self->path, self->others);
  return faint_list_rows_finish (self->rows);
}

FaintLineList *
faint_line_list_parse_votable (const char *text, gsize length, const char *path, GPtrArray *notes,
                               GPtrArray *warnings, GError **error)
{
  const GMarkupParser parser
      = { .start_element = start_element, .end_element = end_element, .text = take_text };
  GMarkupParseContext *context;
  Reader reader = { .path = path,
                    .line = 1,
                    .column = 1,
                    .notes = notes,
                    .warnings = warnings,
                    .fields = g_array_new (FALSE, FALSE, sizeof (Field)),
                    .own = g_ptr_array_new_with_free_func (g_free),
                    .text = g_string_new (NULL) };
  FaintLineList *list = NULL;
  GError *inner = NULL;

  g_array_set_clear_func (reader.fields, clear_field);
  context = g_markup_parse_context_new (&parser, G_MARKUP_TREAT_CDATA_AS_TEXT, &reader, NULL);
  if (parse_pieces (&reader, context, text, length, &inner))
    list = finish (&reader, &inner);
  if (inner != NULL)
    {
      place_error (&reader, &inner);
      g_propagate_error (error, inner);
    }
  g_markup_parse_context_free (context);
  faint_list_rows_free (reader.rows);
  g_array_unref (reader.fields);
  g_ptr_array_unref (reader.own);
  g_string_free (reader.text, TRUE);
  return list;
}
