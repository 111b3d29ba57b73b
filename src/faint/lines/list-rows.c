/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/lines/list-rows-private.h"

#include <string.h>

#include "faint/base/text.h"
#include "faint/base/units.h"
#include "faint/base/warnings.h"
#include "faint/base/words.h"
#include "faint/lines/ties.h"

/* What a column of the file holds. */
typedef struct
{
  const FaintCsvColumn *column; /* NULL: not known to us */
  double scale;                 /* library unit over the unit written */
  gboolean inverse;
  char *head;
} FileColumn;

/* What a row holds beside the members of a line. A frequency counts only where no position stands.
 */
typedef struct
{
  double frequency, u_frequency; /* Hz */
  double unused;                 /* what follows from other columns */
  FaintListCell ties;            /* text NULL: none */
} Row;

struct _FaintListRows
{
  const char *path;
  GArray *columns;   /* FileColumn */
  GHashTable *heads; /* head: index + 1 */
  GArray *lines;     /* FaintLine, texts in @texts */
  GStringChunk *texts;
  GHashTable *ids;
  GPtrArray *warnings;
  FaintLine line; /* of the present row */
  Row row;
};

static void
clear_column (gpointer data)
{
  g_free (((FileColumn *)data)->head);
}

FaintListRows *
faint_list_rows_new (const char *path, GPtrArray *warnings)
{
  FaintListRows *self = g_new0 (FaintListRows, 1);

  self->path = path;
  self->columns = g_array_new (FALSE, FALSE, sizeof (FileColumn));
  g_array_set_clear_func (self->columns, clear_column);
  self->heads = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  self->lines = g_array_new (FALSE, FALSE, sizeof (FaintLine));
  self->texts = g_string_chunk_new (1024);
  self->ids = g_hash_table_new (NULL, NULL);
  self->warnings = warnings;
  return self;
}

void
faint_list_rows_free (FaintListRows *self)
{
  if (self == NULL)
    return;
  g_array_unref (self->columns);
  g_hash_table_unref (self->heads);
  g_array_unref (self->lines);
  g_string_chunk_free (self->texts);
  g_hash_table_unref (self->ids);
  g_free (self->row.ties.text);
  g_free (self);
}

gboolean
faint_list_rows_refuse (const FaintListRows *self, const FaintListCell *at, FaintLinesError code,
                        GError **error, const char *format, ...)
{
  g_autofree char *words = NULL;
  va_list arguments;

  va_start (arguments, format);
  words = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error (error, FAINT_LINES_ERROR, code, _ ("%s, line %zu, column %zu: %s"), self->path,
               (gsize)at->line, (gsize)at->column, words);
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
units_accepted (FaintCsvUnit kind) /* NULL: none */
{
  switch (kind)
    {
    case FAINT_CSV_UNIT_WAVENUMBER:
      return "cm-1, MHz, GHz, THz";
    case FAINT_CSV_UNIT_FREQUENCY:
      return "MHz, GHz, THz";
    case FAINT_CSV_UNIT_STRENGTH:
      return "(cm/molecule)";
    case FAINT_CSV_UNIT_COEFFICIENT:
      return "(cm-1/atm)";
    case FAINT_CSV_UNIT_NONE:
    default:
      return NULL;
    }
}

gboolean
faint_list_rows_add_column (FaintListRows *self, const FaintListCell *head,
                            const FaintCsvColumn *known, double scale, gboolean inverse,
                            GError **error)
{
  FileColumn column = { known, scale, inverse, g_strstrip (g_strdup (head->text)) };

  for (guint i = 0; known != NULL && i < self->columns->len; i++)
    if (g_array_index (self->columns, FileColumn, i).column == known)
      {
        g_free (column.head);
        return faint_list_rows_refuse (self, head, FAINT_LINES_ERROR_COLUMN, error,
                                       _ ("the column '%s' stands here a second time"),
                                       known->name);
      }
  if (known == NULL && self->warnings != NULL)
    faint_warnings_add (self->warnings, "column-ignored",
                        N_ ("%s: the column '%s' is not known and was ignored."), self->path,
                        column.head);
  g_array_append_val (self->columns, column);
  g_hash_table_insert (self->heads, g_strdup (column.head), GUINT_TO_POINTER (self->columns->len));
  return TRUE;
}

/* The head @text of the column @name has a unit that is not understood, or none. */
static gboolean
refuse_unit (const FaintListRows *self, const FaintListCell *head, const char *text,
             const char *name, const char *accepted, gboolean has_unit, GError **error)
{
  if (!has_unit)
    return faint_list_rows_refuse (self, head, FAINT_LINES_ERROR_COLUMN, error,
                                   _ ("the head '%s' has no unit; write '%s' with a unit: %s"),
                                   text, name, accepted);
  if (accepted == NULL)
    return faint_list_rows_refuse (
        self, head, FAINT_LINES_ERROR_COLUMN, error,
        _ ("the head '%s' has a unit that is not understood; write '%s' without a unit"), text,
        name);
  return faint_list_rows_refuse (
      self, head, FAINT_LINES_ERROR_COLUMN, error,
      _ ("the head '%s' has a unit that is not understood; write '%s' with a unit: %s"), text, name,
      accepted);
}

gboolean
faint_list_rows_add_head (FaintListRows *self, const FaintListCell *head, GError **error)
{
  g_autofree char *text = g_strstrip (g_strdup (head->text));
  const char *slash = strchr (text, '/');
  const char *unit = slash != NULL ? slash + 1 : "";
  g_autofree char *name = g_strndup (text, slash != NULL ? (gsize)(slash - text) : strlen (text));
  const FaintCsvColumn *column = faint_csv_column_find (name);
  double scale = column != NULL ? unit_scale (column->unit, unit) : 1.0;

  if (scale == 0.0)
    return refuse_unit (self, head, text, name, units_accepted (column->unit), unit[0] != '\0',
                        error);
  return faint_list_rows_add_column (self, head, column, scale, FALSE, error);
}

guint
faint_list_rows_get_n_columns (const FaintListRows *self)
{
  return self->columns->len;
}

const FaintCsvColumn *
faint_list_rows_get_column (const FaintListRows *self, guint k)
{
  return g_array_index (self->columns, FileColumn, k).column;
}

guint
faint_list_rows_find_head (const FaintListRows *self, const char *head)
{
  return GPOINTER_TO_UINT (g_hash_table_lookup (self->heads, head)) - 1u;
}

gboolean
faint_list_rows_has_position (const FaintListRows *self)
{
  for (guint i = 0; i < self->columns->len; i++)
    {
      const FaintCsvColumn *column = faint_list_rows_get_column (self, i);
      if (column != NULL
          && (strcmp (column->name, "position") == 0 || strcmp (column->name, "frequency") == 0))
        return TRUE;
    }
  return FALSE;
}

/* @format has places for what was found and the head under which it stands. */
static gboolean
refuse_cell (const FaintListRows *self, const FaintListCell *field, const char *text,
             const char *head, const char *format, GError **error)
{
  g_autofree char *found = faint_text_quote (text, -1, 40);
  g_autofree char *sentence = g_strdup_printf (format, found, head);

  return faint_list_rows_refuse (self, field, FAINT_LINES_ERROR_VALUE, error, "%s", sentence);
}

static gboolean
read_number (const FaintListRows *self, const FaintListCell *field, const FileColumn *file_column,
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
    return refuse_cell (self, field, start, file_column->head,
                        _ ("found '%s' under '%s', expected a number or an empty cell"), error);
  if ((limit == FAINT_CSV_POSITIVE && !(*value > 0.0))
      || (limit == FAINT_CSV_NOT_NEGATIVE && *value < 0.0))
    return refuse_cell (self, field, start, file_column->head,
                        limit == FAINT_CSV_POSITIVE
                            ? _ ("found '%s' under '%s', which must be above 0")
                            : _ ("found '%s' under '%s', which must not be negative"),
                        error);
  if (file_column->inverse)
    *value = file_column->scale / *value;
  else if (file_column->scale != 1.0)
    *value *= file_column->scale;
  if (!isfinite (*value) && file_column->column->kind == FAINT_CSV_NUMBER)
    return refuse_cell (self, field, start, file_column->head,
                        _ ("found '%s' under '%s', which is too large in library units"), error);
  return TRUE;
}

static gboolean
read_count (const FaintListRows *self, const FaintListCell *field, const FileColumn *file_column,
            guint *count, GError **error)
{
  double value;

  *count = 0;
  if (!read_number (self, field, file_column, &value, error))
    return FALSE;
  if (isnan (value))
    return TRUE;
  if (value != floor (value) || value > G_MAXINT)
    return refuse_cell (self, field, field->text, file_column->head,
                        _ ("found '%s' under '%s', expected a whole number from 1 to 2147483647"),
                        error);
  *count = (guint)value;
  return TRUE;
}

static gboolean
read_id (FaintListRows *self, const FaintListCell *field, const FileColumn *file_column,
         FaintLine *line, GError **error)
{
  if (!read_count (self, field, file_column, &line->id, error))
    return FALSE;
  if (line->id == 0 || g_hash_table_add (self->ids, GUINT_TO_POINTER (line->id)))
    return TRUE;
  return faint_list_rows_refuse (
      self, field, FAINT_LINES_ERROR_VALUE, error,
      _ ("the id %u stands here a second time; ids must differ (or be empty)"), line->id);
}

static gboolean
read_profile (const FaintListRows *self, const FaintListCell *field, FaintLine *line,
              GError **error)
{
  if (field->text[0] == '\0' || faint_profile_from_name (field->text, &line->profile))
    return TRUE;
  return refuse_cell (
      self, field, field->text, "profile",
      _ ("found '%s' under '%s', expected voigt, speed-dependent-voigt or hartmann-tran"), error);
}

/* After all other cells: a tie wins over what the flags say. */
static gboolean
read_ties (const FaintListRows *self, const FaintListCell *field, FaintLine *line, GError **error)
{
  g_autofree char *bad = faint_csv_ties_read (field->text, line);

  if (bad == NULL)
    return TRUE;
  return refuse_cell (
      self, field, bad, "ties",
      _ ("found '%s' under '%s', expected ties such as 'lorentz=12*1' or 'position=12*1+0.05' (a "
         "parameter, the id of another line, a factor, an offset), separated by blanks"),
      error);
}

static gboolean
read_cell (FaintListRows *self, const FaintListCell *field, const FileColumn *file_column,
           GError **error)
{
  FaintLine *line = &self->line;
  Row *row = &self->row;
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
      g_clear_pointer (&row->ties.text, g_free);
      row->ties = (FaintListCell){ g_strdup (field->text), field->line, field->column };
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

void
faint_list_rows_begin (FaintListRows *self)
{
  self->line = faint_line_unknown ();
  g_clear_pointer (&self->row.ties.text, g_free);
  self->row = (Row){ .frequency = NAN, .u_frequency = NAN, .unused = NAN };
}

gboolean
faint_list_rows_cell (FaintListRows *self, guint k, const FaintListCell *cell, GError **error)
{
  const FileColumn *column = &g_array_index (self->columns, FileColumn, k);

  return column->column == NULL || read_cell (self, cell, column, error);
}

gboolean
faint_list_rows_end (FaintListRows *self, const FaintListCell *at, GError **error)
{
  FaintLine *line = &self->line;

  if (self->row.ties.text != NULL && !read_ties (self, &self->row.ties, line, error))
    return FALSE;
  if (isnan (line->position.value))
    line->position.value = self->row.frequency / FAINT_SPEED_OF_LIGHT_CM_S;
  if (isnan (line->position.u))
    line->position.u = self->row.u_frequency / FAINT_SPEED_OF_LIGHT_CM_S;
  if (isnan (line->position.value))
    return faint_list_rows_refuse (self, at, FAINT_LINES_ERROR_VALUE, error,
                                   _ ("the line has no position"));
  g_array_append_val (self->lines, *line);
  return TRUE;
}

/* A list lets go of ties that cannot hold; that is said. */
static void
warn_of_ties (const FaintListRows *self, const FaintLineList *list)
{
  gsize n = faint_line_list_get_n (list);
  gsize read = faint_ties_count ((const FaintLine *)(void *)self->lines->data, n);
  gsize held = n > 0 ? faint_ties_count (faint_line_list_get (list, 0), n) : 0;

  if (held < read && self->warnings != NULL)
    faint_warnings_add (self->warnings, "ties-ignored",
                        N_ ("%s: %zu of %zu ties lead to no line of the list or round in a circle; "
                            "these parameters "
                            "are free."),
                        self->path, read - held, read);
}

FaintLineList *
faint_list_rows_finish (FaintListRows *self)
{
  FaintLineList *list
      = faint_line_list_new ((const FaintLine *)(void *)self->lines->data, self->lines->len);

  warn_of_ties (self, list);
  return list;
}
