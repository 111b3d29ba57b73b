/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "faint/base/text.h"
#include "faint/base/units.h"
#include "faint/base/warnings.h"
#include "faint/lines/csv-private.h"
#include "faint/lines/csv-records-private.h"
#include "faint/lines/ties.h"

/* What a column of the file holds. */
typedef struct
{
  const FaintCsvColumn *column; /* NULL: not known to us */
  double scale;                 /* library unit over the unit written */
  char *head;
} FileColumn;

typedef struct
{
  const char *path;
  GArray *columns; /* FileColumn */
  GArray *lines;   /* FaintLine, texts in @texts */
  GStringChunk *texts;
  GHashTable *ids;
  GPtrArray *warnings;
} Reader;

static void
clear_column (gpointer data)
{
  g_free (((FileColumn *)data)->head);
}

static gboolean refuse (const Reader *self, const FaintCsvField *field, FaintLinesError code,
                        GError **error, const char *format, ...) G_GNUC_PRINTF (5, 6);
static gboolean
refuse (const Reader *self, const FaintCsvField *field, FaintLinesError code, GError **error,
        const char *format, ...)
{
  g_autofree char *words = NULL;
  va_list arguments;

  va_start (arguments, format);
  words = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error (error, FAINT_LINES_ERROR, code,
               "%s, line %" G_GUINT64_FORMAT ", column %" G_GUINT64_FORMAT ": %s", self->path,
               field->line, field->column, words);
  return FALSE;
}

/* Scale from the unit @text to the library's; 0 when it is none of the kind. */
static double
unit_scale (FaintCsvUnit kind, const char *text)
{
  const FaintUnit *unit = NULL;

  switch (kind)
    {
    case FAINT_CSV_UNIT_WAVENUMBER:
      unit = text[0] != '\0' ? faint_unit_find (FAINT_DIMENSION_WAVENUMBER, text) : NULL;
      return unit != NULL ? unit->scale : 0.0;
    case FAINT_CSV_UNIT_FREQUENCY:
      /* The frequency dimension knows cm-1 too, which would be an odd frequency. */
      unit = g_str_has_suffix (text, "Hz") ? faint_unit_find (FAINT_DIMENSION_FREQUENCY, text)
                                           : NULL;
      return unit != NULL ? unit->scale : 0.0;
    case FAINT_CSV_UNIT_STRENGTH:
      return strcmp (text, "(cm/molecule)") == 0 || strcmp (text, "cm/molecule") == 0 ? 1.0 : 0.0;
    case FAINT_CSV_UNIT_COEFFICIENT:
      return strcmp (text, "(cm-1/atm)") == 0 || strcmp (text, "cm-1/atm") == 0 ? 1.0 : 0.0;
    case FAINT_CSV_UNIT_NONE:
    default:
      return text[0] == '\0' || strcmp (text, "1") == 0 ? 1.0 : 0.0;
    }
}

static const char *
units_accepted (FaintCsvUnit kind)
{
  switch (kind)
    {
    case FAINT_CSV_UNIT_WAVENUMBER:
      return "cm-1 (or MHz, GHz, THz)";
    case FAINT_CSV_UNIT_FREQUENCY:
      return "MHz, GHz or THz";
    case FAINT_CSV_UNIT_STRENGTH:
      return "(cm/molecule)";
    case FAINT_CSV_UNIT_COEFFICIENT:
      return "(cm-1/atm)";
    case FAINT_CSV_UNIT_NONE:
    default:
      return "no unit";
    }
}

static gboolean
understand_head (Reader *self, const FaintCsvField *field, GError **error)
{
  FileColumn column = { NULL, 1.0, g_strstrip (g_strdup (field->text)) };
  const char *slash = strchr (column.head, '/');
  const char *unit = slash != NULL ? slash + 1 : "";
  g_autofree char *name = g_strndup (column.head, slash != NULL ? (gsize)(slash - column.head)
                                                                : strlen (column.head));

  g_array_append_val (self->columns, column);
  column.column = faint_csv_column_find (name);
  if (column.column == NULL)
    {
      if (self->warnings != NULL)
        faint_warnings_add (self->warnings, "column-ignored",
                            "%s: the column '%s' is not known and was ignored.", self->path,
                            column.head);
      return TRUE;
    }
  for (guint i = 0; i + 1 < self->columns->len; i++)
    if (g_array_index (self->columns, FileColumn, i).column == column.column)
      return refuse (self, field, FAINT_LINES_ERROR_COLUMN, error,
                     "the column '%s' stands here a second time", name);
  column.scale = unit_scale (column.column->unit, unit);
  if (column.scale == 0.0)
    return refuse (self, field, FAINT_LINES_ERROR_COLUMN, error,
                   "the head '%s' has %s; write '%s' with %s", column.head,
                   unit[0] != '\0' ? "a unit that is not understood" : "no unit", name,
                   units_accepted (column.column->unit));
  g_array_index (self->columns, FileColumn, self->columns->len - 1) = column;
  return TRUE;
}

static gboolean
has_column (const Reader *self, const char *name)
{
  for (guint i = 0; i < self->columns->len; i++)
    {
      const FaintCsvColumn *column = g_array_index (self->columns, FileColumn, i).column;
      if (column != NULL && strcmp (column->name, name) == 0)
        return TRUE;
    }
  return FALSE;
}

static gboolean
understand_heads (Reader *self, const GArray *fields, GError **error)
{
  const FaintCsvField *first = &g_array_index (fields, FaintCsvField, 0);

  if (fields->len == 1 && strpbrk (first->text, ";\t") != NULL)
    return refuse (self, first, FAINT_LINES_ERROR_SYNTAX, error,
                   "the heads are separated by semicolons or tabs; a line list has "
                   "comma-separated fields and a decimal point");
  for (guint i = 0; i < fields->len; i++)
    if (!understand_head (self, &g_array_index (fields, FaintCsvField, i), error))
      return FALSE;
  if (has_column (self, "position") || has_column (self, "frequency"))
    return TRUE;
  return refuse (self, first, FAINT_LINES_ERROR_COLUMN, error,
                 "the head row names no position; expected a column 'position/cm-1' or "
                 "'frequency/MHz' among comma-separated heads, found '%.60s%s'",
                 first->text, fields->len > 1 ? ", ..." : "");
}

static gboolean
read_number (const Reader *self, const FaintCsvField *field, const FileColumn *file_column,
             double *value, GError **error)
{
  const char *start = field->text, *end, *after;
  FaintCsvLimit limit = file_column->column->limit;

  while (g_ascii_isspace (*start))
    start++;
  end = start + strlen (start);
  while (end > start && g_ascii_isspace (end[-1]))
    end--;
  *value = NAN;
  if (start == end)
    return TRUE;
  if (!faint_text_number (start, end, value, &after) || after != end || !isfinite (*value))
    return refuse (self, field, FAINT_LINES_ERROR_VALUE, error,
                   "found '%.40s' under '%s', expected a number or an empty cell", start,
                   file_column->head);
  if ((limit == FAINT_CSV_POSITIVE && !(*value > 0.0))
      || (limit == FAINT_CSV_NOT_NEGATIVE && *value < 0.0))
    return refuse (self, field, FAINT_LINES_ERROR_VALUE, error,
                   "found %.40s under '%s', which must %s", start, file_column->head,
                   limit == FAINT_CSV_POSITIVE ? "be above 0" : "not be negative");
  if (file_column->scale != 1.0)
    *value *= file_column->scale;
  return TRUE;
}

static gboolean
read_count (const Reader *self, const FaintCsvField *field, const FileColumn *file_column,
            guint *count, GError **error)
{
  double value;

  *count = 0;
  if (!read_number (self, field, file_column, &value, error))
    return FALSE;
  if (isnan (value))
    return TRUE;
  if (value != floor (value) || value > G_MAXINT)
    return refuse (self, field, FAINT_LINES_ERROR_VALUE, error,
                   "found '%.40s' under '%s', expected a whole number from 1 to %d", field->text,
                   file_column->head, G_MAXINT);
  *count = (guint)value;
  return TRUE;
}

static gboolean
read_id (Reader *self, const FaintCsvField *field, const FileColumn *file_column, FaintLine *line,
         GError **error)
{
  if (!read_count (self, field, file_column, &line->id, error))
    return FALSE;
  if (line->id == 0 || g_hash_table_add (self->ids, GUINT_TO_POINTER (line->id)))
    return TRUE;
  return refuse (self, field, FAINT_LINES_ERROR_VALUE, error,
                 "the id %u stands here a second time; ids must differ (or be empty)", line->id);
}

static gboolean
read_profile (const Reader *self, const FaintCsvField *field, FaintLine *line, GError **error)
{
  if (field->text[0] == '\0' || faint_profile_from_name (field->text, &line->profile))
    return TRUE;
  return refuse (self, field, FAINT_LINES_ERROR_VALUE, error,
                 "found '%.40s' under 'profile', expected voigt, speed-dependent-voigt or "
                 "hartmann-tran",
                 field->text);
}

/* After all other cells: a tie wins over what the flags say. */
static gboolean
read_ties (const Reader *self, const FaintCsvField *field, FaintLine *line, GError **error)
{
  g_autofree char *bad = faint_csv_ties_read (field->text, line);

  if (bad == NULL)
    return TRUE;
  return refuse (self, field, FAINT_LINES_ERROR_VALUE, error,
                 "found '%.60s' under 'ties', expected ties such as 'lorentz=12*1' or "
                 "'position=12*1+0.05' (a parameter, the id of another line, a factor, an offset), "
                 "separated by blanks",
                 bad);
}

/* What a row holds beside the members of a line. A frequency counts only where no position stands.
 */
typedef struct
{
  double frequency, u_frequency; /* Hz */
  double unused;                 /* what follows from other columns */
  const FaintCsvField *ties;     /* NULL: none */
} Row;

static gboolean
read_cell (Reader *self, const FaintCsvField *field, const FileColumn *file_column, FaintLine *line,
           Row *row, GError **error)
{
  char *member = (char *)line + file_column->column->offset;
  guint window;

  switch (file_column->column->kind)
    {
    case FAINT_CSV_ID:
      return read_id (self, field, file_column, line, error);
    case FAINT_CSV_NUMBER:
      return read_number (self, field, file_column, (double *)member, error);
    case FAINT_CSV_FREQUENCY:
      return read_number (self, field, file_column, &row->frequency, error);
    case FAINT_CSV_FREQUENCY_U:
      return read_number (self, field, file_column, &row->u_frequency, error);
    case FAINT_CSV_WINDOW:
      if (!read_count (self, field, file_column, &window, error))
        return FALSE;
      line->window = (int)window;
      return TRUE;
    case FAINT_CSV_FLAGS:
      line->flags = faint_line_flags_from_text (field->text);
      faint_csv_states_read (field->text, line);
      return TRUE;
    case FAINT_CSV_PROFILE:
      return read_profile (self, field, line, error);
    case FAINT_CSV_TIES:
      row->ties = field;
      return TRUE;
    case FAINT_CSV_COMMON:
    case FAINT_CSV_EXPANDED:
      return read_number (self, field, file_column, &row->unused, error);
    case FAINT_CSV_TEXT:
    default:
      *(const char **)member = g_string_chunk_insert_const (self->texts, field->text);
      return TRUE;
    }
}

static gboolean
read_row (Reader *self, const GArray *fields, GError **error)
{
  FaintLine line = faint_line_unknown ();
  Row row = { NAN, NAN, NAN, NULL };
  const FaintCsvField *first = &g_array_index (fields, FaintCsvField, 0);

  if (fields->len != self->columns->len)
    return refuse (self, first, FAINT_LINES_ERROR_SYNTAX, error,
                   "found %u fields, expected %u as in the head row", fields->len,
                   self->columns->len);
  for (guint i = 0; i < fields->len; i++)
    {
      const FileColumn *column = &g_array_index (self->columns, FileColumn, i);
      if (column->column != NULL
          && !read_cell (self, &g_array_index (fields, FaintCsvField, i), column, &line, &row,
                         error))
        return FALSE;
    }
  if (row.ties != NULL && !read_ties (self, row.ties, &line, error))
    return FALSE;
  if (isnan (line.position.value))
    line.position.value = row.frequency / FAINT_SPEED_OF_LIGHT_CM_S;
  if (isnan (line.position.u))
    line.position.u = row.u_frequency / FAINT_SPEED_OF_LIGHT_CM_S;
  if (isnan (line.position.value))
    return refuse (self, first, FAINT_LINES_ERROR_VALUE, error, "the line has no position");
  g_array_append_val (self->lines, line);
  return TRUE;
}

static gboolean
read_all (Reader *self, const char *text, gsize length, GError **error)
{
  FaintCsvRecords records;
  g_autoptr (GArray) fields = faint_csv_fields_new ();
  GError *inner = NULL;

  faint_csv_records_init (&records, self->path, text, length);
  if (!faint_csv_records_next (&records, fields, &inner))
    {
      if (inner == NULL)
        g_set_error (&inner, FAINT_LINES_ERROR, FAINT_LINES_ERROR_SYNTAX,
                     "%s: there is no head row; expected comma-separated heads such as "
                     "'position/cm-1,strength/(cm/molecule)'",
                     self->path);
      g_propagate_error (error, inner);
      return FALSE;
    }
  if (!understand_heads (self, fields, error))
    return FALSE;
  while (faint_csv_records_next (&records, fields, &inner))
    if (!read_row (self, fields, error))
      return FALSE;
  if (inner != NULL)
    g_propagate_error (error, inner);
  return inner == NULL;
}

/* A list lets go of ties that cannot hold; that is said. */
static void
warn_of_ties (const Reader *self, const FaintLineList *list)
{
  gsize n = faint_line_list_get_n (list);
  gsize read = faint_ties_count ((const FaintLine *)(void *)self->lines->data, n);
  gsize held = n > 0 ? faint_ties_count (faint_line_list_get (list, 0), n) : 0;

  if (held < read && self->warnings != NULL)
    faint_warnings_add (self->warnings, "ties-ignored",
                        "%s: %" G_GSIZE_FORMAT " of %" G_GSIZE_FORMAT
                        " ties lead to no line of the list or round in a circle; these parameters "
                        "are free.",
                        self->path, read - held, read);
}

static FaintLineList *
parse (const char *text, gsize length, const char *path, GPtrArray *warnings, GError **error)
{
  Reader reader = {
    .path = path,
    .columns = g_array_new (FALSE, FALSE, sizeof (FileColumn)),
    .lines = g_array_new (FALSE, FALSE, sizeof (FaintLine)),
    .texts = g_string_chunk_new (1024),
    .ids = g_hash_table_new (NULL, NULL),
    .warnings = warnings,
  };
  FaintLineList *list = NULL;

  g_array_set_clear_func (reader.columns, clear_column);
  if (read_all (&reader, text, length, error))
    {
      list = faint_line_list_new ((const FaintLine *)(void *)reader.lines->data, reader.lines->len);
      warn_of_ties (&reader, list);
    }
  g_array_unref (reader.columns);
  g_array_unref (reader.lines);
  g_string_chunk_free (reader.texts);
  g_hash_table_unref (reader.ids);
  return list;
}

FaintLineList *
faint_line_list_parse_csv (const char *text, const char *path_for_messages, GPtrArray *warnings,
                           GError **error)
{
  return parse (text, strlen (text), path_for_messages, warnings, error);
}

FaintLineList *
faint_line_list_read_csv (const char *path, GPtrArray *warnings, GError **error)
{
  g_autoptr (FaintText) text = faint_text_read (path, error);

  if (text == NULL)
    return NULL;
  return parse (text->bytes, text->length, path, warnings, error);
}
