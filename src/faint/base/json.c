/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/base/json.h"

#include <string.h>

#include "faint/base/text.h"
#include "faint/base/words.h"

G_DEFINE_QUARK (faint_json_error_quark, faint_json_error)

typedef struct
{
  FaintJson root; /* first, so that a pointer to it frees all */
  GStringChunk *texts;
} Document;

typedef struct
{
  const char *path;
  const char *at, *end, *line_start;
  const char *counted; /* up to here the letters of the line are counted: a file may be one line */
  guint line, depth, letters;
  GStringChunk *texts;
  GString *buffer;
} Reader;

static gboolean read_value (Reader *self, FaintJson *value, GError **error);

/* Refuses what stands at @place of the present line. */
static gboolean refuse (const Reader *self, const char *place, GError **error, const char *format,
                        ...) G_GNUC_PRINTF (4, 5);
static gboolean
refuse (const Reader *self, const char *place, GError **error, const char *format, ...)
{
  g_autofree char *words = NULL;
  va_list arguments;

  va_start (arguments, format);
  words = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error (error, FAINT_JSON_ERROR, FAINT_JSON_ERROR_SYNTAX, _ ("%s, line %zu, column %zu: %s"),
               self->path, (gsize)self->line,
               (gsize)g_utf8_strlen (self->line_start, place - self->line_start) + 1, words);
  return FALSE;
}

/* What was expected, by what stands there instead. */
typedef enum
{
  EXPECTED_DIGIT,
  EXPECTED_DECIMAL,
  EXPECTED_EXPONENT,
  EXPECTED_VALUE,
  EXPECTED_NAME,
  EXPECTED_COLON,
  EXPECTED_MEMBER_END,
  EXPECTED_ELEMENT_END,
  EXPECTED_NOTHING,
} Expected;

static const struct
{
  const char *end, *byte, *found; /* the file ends; a byte that cannot be shown; '%s' */
} expectations[] = {
  [EXPECTED_DIGIT]
  = { N_ ("the file ends here; expected a digit"), N_ ("found the byte 0x%02X, expected a digit"),
      N_ ("found '%s', expected a digit") },
  [EXPECTED_DECIMAL] = { N_ ("the file ends here; expected a digit after the decimal point"),
                         N_ ("found the byte 0x%02X, expected a digit after the decimal point"),
                         N_ ("found '%s', expected a digit after the decimal point") },
  [EXPECTED_EXPONENT] = { N_ ("the file ends here; expected a digit of the exponent"),
                          N_ ("found the byte 0x%02X, expected a digit of the exponent"),
                          N_ ("found '%s', expected a digit of the exponent") },
  [EXPECTED_VALUE] = { N_ ("the file ends here; expected a value: a string in double quotes, a "
                           "number, an object, an array, true, false or null"),
                       N_ ("found the byte 0x%02X, expected a value: a string in double quotes, a "
                           "number, an object, an array, true, false or null"),
                       N_ ("found '%s', expected a value: a string in double quotes, a number, an "
                           "object, an array, true, false or null") },
  [EXPECTED_NAME] = { N_ ("the file ends here; expected a name in double quotes"),
                      N_ ("found the byte 0x%02X, expected a name in double quotes"),
                      N_ ("found '%s', expected a name in double quotes") },
  [EXPECTED_COLON] = { N_ ("the file ends here; expected a colon after the name"),
                       N_ ("found the byte 0x%02X, expected a colon after the name"),
                       N_ ("found '%s', expected a colon after the name") },
  [EXPECTED_MEMBER_END]
  = { N_ ("the file ends here; expected a comma or the end of the object, }"),
      N_ ("found the byte 0x%02X, expected a comma or the end of the object, }"),
      N_ ("found '%s', expected a comma or the end of the object, }") },
  [EXPECTED_ELEMENT_END]
  = { N_ ("the file ends here; expected a comma or the end of the array, ]"),
      N_ ("found the byte 0x%02X, expected a comma or the end of the array, ]"),
      N_ ("found '%s', expected a comma or the end of the array, ]") },
  [EXPECTED_NOTHING] = { N_ ("the file ends here; expected nothing after the value"),
                         N_ ("found the byte 0x%02X, expected nothing after the value"),
                         N_ ("found '%s', expected nothing after the value") },
};

static gboolean
refuse_here (const Reader *self, GError **error, Expected expected)
{
  gunichar letter;

  if (self->at >= self->end)
    return refuse (self, self->at, error, "%s", _ (expectations[expected].end));
  letter = g_utf8_get_char_validated (self->at, self->end - self->at);
  if (letter >= 0x80000000u || !g_unichar_isprint (letter))
    return refuse (self, self->at, error, _ (expectations[expected].byte), (guchar)*self->at);
  g_autofree char *found = faint_text_quote (self->at, g_utf8_next_char (self->at) - self->at, 1);
  return refuse (self, self->at, error, _ (expectations[expected].found), found);
}

/* Section 2: blank, tab, LF, CR. */
static void
pass_space (Reader *self)
{
  for (; self->at < self->end; self->at++)
    {
      gboolean crlf = *self->at == '\r' && self->at + 1 < self->end && self->at[1] == '\n';

      if (*self->at == '\n' || (*self->at == '\r' && !crlf))
        {
          self->line++;
          self->line_start = self->at + 1;
        }
      else if (*self->at != ' ' && *self->at != '\t' && !crlf)
        return;
    }
}

/* Four hexadecimal digits; -1 where they are not there. */
static int
read_hex (Reader *self)
{
  int value = 0;

  if (self->end - self->at < 4)
    return -1;
  for (int i = 0; i < 4; i++)
    {
      int digit = g_ascii_xdigit_value (self->at[i]);
      if (digit < 0)
        return -1;
      value = value * 16 + digit;
    }
  self->at += 4;
  return value;
}

/* Behind "\u": one code point, of two escapes where it is beyond the basic plane. */
static gboolean
read_unicode (Reader *self, const char *start, GError **error)
{
  int high = read_hex (self), low;
  gunichar letter = (gunichar)high;

  if (high < 0)
    return refuse (self, start, error, _ ("expected four hexadecimal digits after \\u"));
  if (high == 0)
    return refuse (self, start, error,
                   _ ("\\u0000 stands in a string; no text has a zero character"));
  if (high >= 0xdc00 && high <= 0xdfff)
    return refuse (self, start, error, _ ("the second half of a surrogate pair stands alone"));
  if (high >= 0xd800 && high <= 0xdbff)
    {
      gboolean follows = self->end - self->at >= 6 && self->at[0] == '\\' && self->at[1] == 'u';

      self->at += follows ? 2 : 0;
      low = follows ? read_hex (self) : -1;
      if (low < 0xdc00 || low > 0xdfff)
        return refuse (self, start, error, _ ("the second half of this surrogate pair is missing"));
      letter = 0x10000u + (((guint)high - 0xd800u) << 10) + ((guint)low - 0xdc00u);
    }
  g_string_append_unichar (self->buffer, letter);
  return TRUE;
}

static gboolean
read_escape (Reader *self, GError **error)
{
  static const char letters[] = "\"\\/bfnrt", meant[] = "\"\\/\b\f\n\r\t";
  const char *start = self->at++, *found;

  if (self->at >= self->end)
    return refuse (self, start, error, _ ("the file ends in an escape"));
  if (*self->at == 'u')
    {
      self->at++;
      return read_unicode (self, start, error);
    }
  found = *self->at != '\0' ? strchr (letters, *self->at) : NULL;
  if (found == NULL)
    return refuse (self, start, error,
                   _ ("a backslash may be followed by one of \" \\ / b f n r t and u alone"));
  g_string_append_c (self->buffer, meant[found - letters]);
  self->at++;
  return TRUE;
}

static gboolean
read_string (Reader *self, const char **text, GError **error)
{
  const char *start = self->at++;

  g_string_truncate (self->buffer, 0);
  while (self->at < self->end && *self->at != '"')
    {
      const char *run = self->at;

      if (*self->at == '\\')
        {
          if (!read_escape (self, error))
            return FALSE;
          continue;
        }
      while (self->at < self->end && *self->at != '"' && *self->at != '\\'
             && (guchar)*self->at >= 0x20)
        self->at++;
      if (self->at == run)
        return refuse (self, self->at, error,
                       _ ("the control character 0x%02X stands in a string; write it as \\u%04x"),
                       (guchar)*self->at, (guchar)*self->at);
      g_string_append_len (self->buffer, run, self->at - run);
    }
  if (self->at >= self->end)
    return refuse (self, start, error, _ ("the string that begins here is never closed"));
  self->at++;
  *text = g_string_chunk_insert_len (self->texts, self->buffer->str, (gssize)self->buffer->len);
  return TRUE;
}

static gboolean
pass_digits (Reader *self)
{
  const char *start = self->at;

  while (self->at < self->end && g_ascii_isdigit (*self->at))
    self->at++;
  return self->at > start;
}

static gboolean
pass (Reader *self, const char *letters)
{
  if (self->at >= self->end || *self->at == '\0' || strchr (letters, *self->at) == NULL)
    return FALSE;
  self->at++;
  return TRUE;
}

/* Section 6: a minus, no leading zeros, digits on both sides of the point. */
static gboolean
read_number (Reader *self, FaintJson *value, GError **error)
{
  const char *start = self->at;

  pass (self, "-");
  if (pass (self, "0"))
    {
      if (self->at < self->end && g_ascii_isdigit (*self->at))
        return refuse (self, start, error, _ ("a number must not begin with a needless 0"));
    }
  else if (!pass_digits (self))
    return refuse_here (self, error, EXPECTED_DIGIT);
  if (pass (self, ".") && !pass_digits (self))
    return refuse_here (self, error, EXPECTED_DECIMAL);
  if (pass (self, "eE"))
    {
      pass (self, "+-");
      if (!pass_digits (self))
        return refuse_here (self, error, EXPECTED_EXPONENT);
    }
  value->kind = FAINT_JSON_NUMBER;
  value->text = g_string_chunk_insert_len (self->texts, start, self->at - start);
  return TRUE;
}

static gboolean
read_word (Reader *self, FaintJson *value, const char *word, FaintJsonKind kind, GError **error)
{
  gsize length = strlen (word);

  if ((gsize)(self->end - self->at) < length || strncmp (self->at, word, length) != 0)
    return refuse_here (self, error, EXPECTED_VALUE);
  self->at += length;
  value->kind = kind;
  return TRUE;
}

static void
clear_value (gpointer data)
{
  g_clear_pointer (&((FaintJson *)data)->items, g_array_unref);
}

static gboolean
read_name (Reader *self, GHashTable *names, FaintJson *value, GError **error)
{
  const char *start = self->at;

  if (self->at >= self->end || *self->at != '"')
    return refuse_here (self, error, EXPECTED_NAME);
  if (!read_string (self, &value->name, error))
    return FALSE;
  if (!g_hash_table_add (names, (gpointer)value->name))
    {
      g_autofree char *name = faint_text_quote (value->name, -1, 60);

      return refuse (self, start, error, _ ("the name '%s' stands in this object a second time"),
                     name);
    }
  pass_space (self);
  if (!pass (self, ":"))
    return refuse_here (self, error, EXPECTED_COLON);
  return TRUE;
}

/* Members or elements, after the opening bracket. */
static gboolean
read_items (Reader *self, FaintJson *value, gboolean object, GError **error)
{
  g_autoptr (GHashTable) names = object ? g_hash_table_new (g_str_hash, g_str_equal) : NULL;
  const char *close = object ? "}" : "]";

  if (pass_space (self), pass (self, close))
    return TRUE;
  for (;;)
    {
      FaintJson item = { .text = "" };
      gboolean read;

      pass_space (self);
      if (object && !read_name (self, names, &item, error))
        return FALSE;
      read = read_value (self, &item, error);
      g_array_append_val (value->items, item);
      if (!read)
        return FALSE;
      pass_space (self);
      if (pass (self, close))
        return TRUE;
      if (!pass (self, ","))
        return refuse_here (self, error, object ? EXPECTED_MEMBER_END : EXPECTED_ELEMENT_END);
    }
}

static gboolean
read_nested (Reader *self, FaintJson *value, gboolean object, GError **error)
{
  gboolean read;

  if (++self->depth > FAINT_JSON_MAX_DEPTH)
    return refuse (self, self->at, error, _ ("more than %d arrays and objects stand in each other"),
                   FAINT_JSON_MAX_DEPTH);
  self->at++;
  value->kind = object ? FAINT_JSON_OBJECT : FAINT_JSON_ARRAY;
  value->items = g_array_new (FALSE, FALSE, sizeof (FaintJson));
  g_array_set_clear_func (value->items, clear_value);
  read = read_items (self, value, object, error);
  self->depth--;
  return read;
}

/* Column of the present place, from 1. */
static guint
count_column (Reader *self)
{
  if (self->counted < self->line_start)
    {
      self->counted = self->line_start;
      self->letters = 0;
    }
  self->letters += (guint)g_utf8_strlen (self->counted, self->at - self->counted);
  self->counted = self->at;
  return self->letters + 1;
}

static gboolean
read_value (Reader *self, FaintJson *value, GError **error)
{
  pass_space (self);
  value->line = self->line;
  value->column = count_column (self);
  switch (self->at < self->end ? *self->at : '\0')
    {
    case '{':
      return read_nested (self, value, TRUE, error);
    case '[':
      return read_nested (self, value, FALSE, error);
    case '"':
      value->kind = FAINT_JSON_STRING;
      return read_string (self, &value->text, error);
    case 't':
      return read_word (self, value, "true", FAINT_JSON_TRUE, error);
    case 'f':
      return read_word (self, value, "false", FAINT_JSON_FALSE, error);
    case '-':
    case '0' ... '9':
      return read_number (self, value, error);
    default:
      return read_word (self, value, "null", FAINT_JSON_NULL, error);
    }
}

FaintJson *
faint_json_parse (const char *text, gsize length, const char *path, GError **error)
{
  Document *document = g_new0 (Document, 1);
  Reader reader = { .path = path,
                    .at = text,
                    .end = text + length,
                    .line_start = text,
                    .counted = text,
                    .line = 1,
                    .buffer = g_string_new (NULL) };
  gboolean read;

  document->texts = reader.texts = g_string_chunk_new (4096);
  document->root.text = "";
  read = read_value (&reader, &document->root, error);
  if (read)
    {
      pass_space (&reader);
      read = reader.at == reader.end || refuse_here (&reader, error, EXPECTED_NOTHING);
    }
  g_string_free (reader.buffer, TRUE);
  if (read)
    return &document->root;
  faint_json_free (&document->root);
  return NULL;
}

void
faint_json_free (FaintJson *root)
{
  Document *document = (Document *)root;

  if (root == NULL)
    return;
  clear_value (root);
  g_string_chunk_free (document->texts);
  g_free (document);
}

const FaintJson *
faint_json_member (const FaintJson *value, const char *name)
{
  for (guint i = 0; value->kind == FAINT_JSON_OBJECT && i < value->items->len; i++)
    {
      const FaintJson *item = &g_array_index (value->items, FaintJson, i);
      if (strcmp (item->name, name) == 0)
        return item;
    }
  return NULL;
}

const char *
faint_json_kind_name (FaintJsonKind kind)
{
  static const char *const names[]
      = { "null", "false", "true", "a number", "a string", "an array", "an object" };

  return (guint)kind < G_N_ELEMENTS (names) ? names[kind] : "";
}

const char *
faint_json_type_name (FaintJsonKind kind)
{
  static const char *const names[]
      = { "null", "false", "true", "number", "string", "array", "object" };

  return (guint)kind < G_N_ELEMENTS (names) ? names[kind] : "";
}

void
faint_json_append_string (GString *out, const char *text)
{
  g_autofree char *valid = g_utf8_make_valid (text, -1);

  g_string_append_c (out, '"');
  for (const char *c = valid; *c != '\0'; c++)
    if (*c == '"' || *c == '\\')
      g_string_append_printf (out, "\\%c", *c);
    else if ((guchar)*c < 0x20)
      g_string_append_printf (out, "\\u%04x", *c);
    else
      g_string_append_c (out, *c);
  g_string_append_c (out, '"');
}
