/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "faint/base/warnings.h"
#include "faint/lines/list-notes.h"
#include "faint/lines/votable-private.h"
#include "faint/base/words.h"

typedef struct
{
  GString *out;
  gsize replaced; /* letters that XML cannot hold */
} Writer;

/* Text of an element or of an attribute; line ends as references, which no reader changes. */
static void
append_text (Writer *self, const char *text)
{
  g_autofree char *valid = g_utf8_make_valid (text, -1);

  for (const char *c = valid; *c != '\0'; c = g_utf8_next_char (c))
    {
      gunichar letter = g_utf8_get_char (c);

      if (letter == '&' || letter == '<' || letter == '>' || letter == '"')
        g_string_append (self->out, letter == '&'   ? "&amp;"
                                    : letter == '<' ? "&lt;"
                                    : letter == '>' ? "&gt;"
                                                    : "&quot;");
      else if (letter == '\t' || letter == '\n' || letter == '\r')
        g_string_append_printf (self->out, "&#%u;", letter);
      else if (letter < 0x20 || letter == 0xfffe || letter == 0xffff)
        {
          g_string_append_unichar (self->out, 0xfffd);
          self->replaced++;
        }
      else
        g_string_append_unichar (self->out, letter);
    }
}

static void
append_attribute (Writer *self, const char *name, const char *value)
{
  if (value == NULL)
    return;
  g_string_append_printf (self->out, " %s=\"", name);
  append_text (self, value);
  g_string_append_c (self->out, '"');
}

/* A char of VOTable 1.4 is ASCII; all else is unicodeChar. */
static const char *
char_type (const char *text)
{
  return g_str_is_ascii (text) ? "char" : "unicodeChar";
}

static void
append_note (Writer *self, const char *note, guint n)
{
  g_autofree char *id = g_strdup_printf ("about_%u", n + 1); /* names may stand twice */
  g_autofree char *key = NULL, *value = NULL, *number = NULL, *unit = NULL;
  gboolean quantity;

  faint_list_note_split (note, &key, &value);
  quantity = faint_votable_note_quantity (key, value, &number, &unit);
  g_string_append (self->out, "      <PARAM");
  append_attribute (self, "ID", id);
  append_attribute (self, "name", key);
  append_attribute (self, "datatype", quantity ? "double" : char_type (value));
  if (!quantity)
    append_attribute (self, "arraysize", "*");
  if (quantity && *unit != '\0')
    append_attribute (self, "unit", unit);
  append_attribute (self, "ucd", faint_votable_note_ucd (key));
  append_attribute (self, "value", quantity ? number : value);
  g_string_append (self->out, "/>\n");
}

static const char *
text_of (const FaintCsvColumn *column, const FaintLine *line)
{
  return *(const char *const *)(const void *)((const char *)line + column->offset);
}

static const char *
data_type (const FaintCsvColumn *column, const FaintLineList *list)
{
  switch (column->kind)
    {
    case FAINT_CSV_ID:
    case FAINT_CSV_WINDOW:
      return "int";
    case FAINT_CSV_TEXT:
      for (gsize i = 0; i < faint_line_list_get_n (list); i++)
        if (!g_str_is_ascii (text_of (column, faint_line_list_get (list, i))))
          return "unicodeChar";
      return "char";
    case FAINT_CSV_FLAGS:
    case FAINT_CSV_PROFILE:
    case FAINT_CSV_TIES:
      return "char";
    default:
      return "double";
    }
}

static void
append_field (Writer *self, const FaintCsvColumn *column, const FaintLineList *list)
{
  const FaintVotableColumn *meaning = faint_votable_column (column->name);
  const char *type = data_type (column, list);
  gboolean text = strcmp (type, "double") != 0 && strcmp (type, "int") != 0;
  g_autofree char *id = g_strdup (column->name); /* "u_position", as an ID has no parentheses */
  double scale;

  g_strdelimit (id, "()", '_');
  g_strdelimit (id + strlen (id) - 1, "_", '\0');
  g_string_append (self->out, "      <FIELD");
  append_attribute (self, "ID", id);
  append_attribute (self, "name", column->name);
  append_attribute (self, "datatype", type);
  append_attribute (self, "arraysize", text ? "*" : NULL);
  append_attribute (self, "unit", faint_votable_unit (column->unit, &scale));
  append_attribute (self, "ucd", meaning->ucd);
  g_string_append (self->out, ">\n        <DESCRIPTION>");
  append_text (self, meaning->description);
  g_string_append (self->out, "</DESCRIPTION>\n      </FIELD>\n");
}

static void
append_row (Writer *self, const GPtrArray *columns, const FaintLine *line, double coverage)
{
  g_autoptr (GString) cell = g_string_new (NULL);
  double scale;

  g_string_append (self->out, "          <TR>");
  for (guint k = 0; k < columns->len; k++)
    {
      const FaintCsvColumn *column = g_ptr_array_index (columns, k);

      g_string_truncate (cell, 0);
      faint_csv_cell_append (cell, column, line, coverage);
      faint_votable_unit (column->unit, &scale);
      if (scale != 1.0 && cell->len > 0)
        {
          char text[FAINT_DOUBLE_TEXT_SIZE];
          g_string_assign (cell,
                           faint_format_double_to (g_ascii_strtod (cell->str, NULL) / scale, text));
        }
      g_string_append (self->out, "<TD>");
      append_text (self, cell->str);
      g_string_append (self->out, "</TD>");
    }
  g_string_append (self->out, "</TR>\n");
}

char *
faint_line_list_to_votable (const FaintLineList *self, const FaintLineListAbout *about,
                            GPtrArray *losses)
{
  gsize n = faint_line_list_get_n (self);
  Writer writer = { .out = g_string_sized_new (8192 + 900 * n) };
  g_autoptr (GPtrArray) notes = faint_list_notes_new (about);
  g_autoptr (GPtrArray) columns = faint_csv_columns_of (self);
  double coverage = faint_list_coverage_factor (about);

  g_string_append (writer.out,
                   "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                   "<VOTABLE version=\"1.4\" xmlns=\"http://www.ivoa.net/xml/VOTable/v1.3\">\n"
                   "  <RESOURCE type=\"results\">\n"
                   "    <TABLE name=\"lines\">\n"
                   "      <DESCRIPTION>Line list; positions in vacuum, strengths at the "
                   "temperature of the measurement unless a column says otherwise. An empty cell "
                   "is what is not known.</DESCRIPTION>\n");
  for (guint k = 0; k < columns->len; k++)
    append_field (&writer, g_ptr_array_index (columns, k), self);
  for (guint i = 0; i < notes->len; i++)
    append_note (&writer, g_ptr_array_index (notes, i), i);
  g_string_append (writer.out, "      <DATA>\n        <TABLEDATA>\n");
  for (gsize i = 0; i < n; i++)
    append_row (&writer, columns, faint_line_list_get (self, i), coverage);
  g_string_append (writer.out, "        </TABLEDATA>\n      </DATA>\n    </TABLE>\n"
                               "  </RESOURCE>\n</VOTABLE>\n");
  if (writer.replaced > 0)
    faint_warnings_add (losses, "votable-letters",
                        N_ ("%zu control characters in texts were replaced, as XML "
                            "cannot hold them."),
                        writer.replaced);
  return g_string_free (writer.out, FALSE);
}
