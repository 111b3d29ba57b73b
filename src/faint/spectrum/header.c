/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/header.h"

#include <string.h>

#include "faint/base/words.h"
#include "faint/spectrum/setup-private.h"

#define MAGIC "comb-table"
#define VERSION "1"

typedef struct
{
  guint64 line;
  char *text;
  double value; /* of a quantity, library unit; else NAN */
} Said;

struct _FaintHeader
{
  FaintSetup *setup;
  char *path, *folder;
  GHashTable *said; /* key to Said */
  char *columns;
  guint64 columns_line;
  char *mirror_key; /* the way in which the mirrors are described */
  GString *unknown;
};

static void
said_free (gpointer data)
{
  Said *said = data;

  g_free (said->text);
  g_free (said);
}

FaintHeader *
faint_header_new (FaintSetup *setup, const char *path)
{
  FaintHeader *self = g_new0 (FaintHeader, 1);

  self->setup = faint_setup_ref (setup);
  self->path = g_strdup (path);
  self->folder = g_path_get_dirname (path);
  self->said = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, said_free);
  self->unknown = g_string_new (NULL);
  return self;
}

void
faint_header_free (FaintHeader *self)
{
  if (self == NULL)
    return;
  faint_setup_unref (self->setup);
  g_free (self->path);
  g_free (self->folder);
  g_hash_table_unref (self->said);
  g_free (self->columns);
  g_free (self->mirror_key);
  g_string_free (self->unknown, TRUE);
  g_free (self);
}

const char *
faint_header_columns (const FaintHeader *self, guint64 *line)
{
  *line = self->columns_line;
  return self->columns;
}

const char *
faint_header_unknown (const FaintHeader *self)
{
  return self->unknown->len > 0 ? self->unknown->str : NULL;
}

/* Remembers what @key says, or refuses when it said something else before. */
static gboolean
remember (FaintHeader *self, const char *key, const char *text, double value, guint64 line,
          GError **error)
{
  Said *before = g_hash_table_lookup (self->said, key);

  if (before == NULL)
    {
      Said *now = g_new (Said, 1);

      *now = (Said){ .line = line, .text = g_strdup (text), .value = value };
      g_hash_table_insert (self->said, g_strdup (key), now);
      return TRUE;
    }
  if (g_str_equal (before->text, text) || before->value == value)
    return TRUE;
  g_set_error (
      error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_VALUE,
      _ ("%s is given twice with two values: '%s' here and '%s' in line %zu. Leave one out."), key,
      text, before->text, (gsize)before->line);
  return FALSE;
}

/* A quantity and its uncertainty are remembered apart, wherever the uncertainty stands. */
static gboolean
remember_quantity (FaintHeader *self, const FaintSetupKey *key, gboolean is_u, const char *text,
                   guint64 line, GError **error)
{
  FaintQuantity quantity = FAINT_QUANTITY_UNKNOWN;
  g_autofree char *u_key = g_strdup_printf ("u(%s)", key->key);

  if (is_u)
    return !faint_quantity_parse_u (text, key->dimension, &quantity, NULL)
           || remember (self, u_key, text, quantity.u, line, error);
  if (!faint_quantity_parse (text, key->dimension, &quantity, NULL))
    return TRUE; /* faint_setup_set() has the words */
  return remember (self, key->key, text, quantity.value, line, error)
         && (quantity.u != quantity.u || remember (self, u_key, text, quantity.u, line, error));
}

static gboolean
one_way_to_mirrors (FaintHeader *self, const FaintSetupKey *key, GError **error)
{
  if (faint_setup_detail (key)->mirror_kind == FAINT_MIRROR_UNKNOWN)
    return TRUE;
  if (self->mirror_key == NULL)
    self->mirror_key = g_strdup (key->key);
  if (g_str_equal (self->mirror_key, key->key))
    return TRUE;
  g_set_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_VALUE,
               _ ("The mirrors are described twice, by %s and by %s. Leave one out."),
               self->mirror_key, key->key);
  return FALSE;
}

static gboolean
take_known (FaintHeader *self, const FaintSetupKey *known, gboolean is_u, const char *key,
            const char *value, guint64 line, GError **error)
{
  gboolean consistent;

  if (*value == '\0')
    {
      g_set_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_VALUE,
                   _ ("%s has no value. Leave the line out where it is not known."), key);
      return FALSE;
    }
  consistent = known->kind == FAINT_SETUP_KIND_QUANTITY
                   ? remember_quantity (self, known, is_u, value, line, error)
                   : remember (self, key, value, NAN, line, error);
  return consistent && one_way_to_mirrors (self, known, error)
         && faint_setup_set (self->setup, key, value, self->folder, error);
}

static gboolean
take (FaintHeader *self, const char *key, const char *value, guint64 line, GError **error)
{
  gboolean is_u;
  const FaintSetupKey *known = faint_setup_key_parse (key, &is_u);

  if (known != NULL)
    return take_known (self, known, is_u, key, value, line, error);
  if (!remember (self, key, value, NAN, line, error))
    return FALSE;
  if (g_str_equal (key, "columns"))
    {
      g_free (self->columns);
      self->columns = g_strdup (value);
      self->columns_line = line;
      return TRUE;
    }
  g_ptr_array_add (self->setup->other_keys, g_strdup_printf ("%s = %s", key, value));
  g_string_append_printf (self->unknown, "%s%s", self->unknown->len > 0 ? ", " : "", key);
  return TRUE;
}

gboolean
faint_header_take_line (FaintHeader *self, const FaintLines *lines, GError **error)
{
  g_autofree char *key = NULL, *value = NULL;
  guint64 column;

  if (!faint_setup_split_line (lines->line, lines->length, &key, &value, &column)
      || take (self, key, value, lines->number, error))
    return TRUE;
  g_prefix_error (error, _ ("%s, line %zu, column %zu: "), self->path, (gsize)lines->number,
                  (gsize)column);
  return FALSE;
}

gboolean
faint_header_is_comb_table (const FaintText *text, gboolean *is_table, GError **error)
{
  FaintLines lines = { .text = text };
  g_autofree char *first = NULL;
  const char *p;

  *is_table = FALSE;
  if (!faint_text_next_line (&lines))
    return TRUE;
  first = g_strchomp (g_strndup (lines.line, lines.length));
  for (p = first; *p == '#' || *p == ' ' || *p == '\t'; p++)
    ;
  if (*first != '#' || !g_str_has_prefix (p, MAGIC))
    return TRUE;
  *is_table = TRUE;
  p += strlen (MAGIC);
  if (g_str_equal (p + strspn (p, " \t"), VERSION))
    return TRUE;
  faint_text_error (error, FAINT_TEXT_ERROR_SYNTAX, text->path, 1, 0,
                    _ ("the comb table is of version '%s'; this program reads version %s, which "
                       "begins with '# %s %s'."),
                    p + strspn (p, " \t"), VERSION, MAGIC, VERSION);
  return FALSE;
}
