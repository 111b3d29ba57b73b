/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/setup-private.h"

#include <string.h>
#include <unistd.h>

#include "faint/base/text.h"
#include "faint/base/words.h"

G_DEFINE_QUARK (faint_setup_error_quark, faint_setup_error)

FaintSetup *
faint_setup_new (void)
{
  FaintSetup *self = g_new0 (FaintSetup, 1);
  gsize n;
  const FaintSetupKey *keys = faint_setup_keys (&n);

  for (gsize i = 0; i < n; i++)
    if (keys[i].kind == FAINT_SETUP_KIND_QUANTITY)
      G_STRUCT_MEMBER (FaintQuantity, self, faint_setup_detail (&keys[i])->offset)
          = FAINT_QUANTITY_UNKNOWN;
  self->other_keys = g_ptr_array_new_with_free_func (g_free);
  g_atomic_ref_count_init (&self->refs);
  return self;
}

static GArray *
share (GArray *array)
{
  return array != NULL ? g_array_ref (array) : NULL;
}

FaintSetup *
faint_setup_copy (const FaintSetup *self)
{
  FaintSetup *copy = g_new (FaintSetup, 1);

  *copy = *self;
  copy->title = g_strdup (self->title);
  copy->partition_sums = g_strdup (self->partition_sums);
  copy->finesse_table = g_strdup (self->finesse_table);
  /* The arrays are replaced, never changed. */
  copy->table_wavenumber = share (self->table_wavenumber);
  copy->table_finesse = share (self->table_finesse);
  copy->table_u = share (self->table_u);
  copy->excluded = share (self->excluded);
  copy->other_keys = g_ptr_array_new_with_free_func (g_free);
  for (guint i = 0; i < self->other_keys->len; i++)
    g_ptr_array_add (copy->other_keys, g_strdup (g_ptr_array_index (self->other_keys, i)));
  g_atomic_ref_count_init (&copy->refs);
  return copy;
}

FaintSetup *
faint_setup_ref (FaintSetup *self)
{
  g_atomic_ref_count_inc (&self->refs);
  return self;
}

static void
forget_table (FaintSetup *self)
{
  g_clear_pointer (&self->finesse_table, g_free);
  g_clear_pointer (&self->table_wavenumber, g_array_unref);
  g_clear_pointer (&self->table_finesse, g_array_unref);
  g_clear_pointer (&self->table_u, g_array_unref);
}

void
faint_setup_unref (FaintSetup *self)
{
  if (self == NULL || !g_atomic_ref_count_dec (&self->refs))
    return;
  forget_table (self);
  g_free (self->title);
  g_free (self->partition_sums);
  g_clear_pointer (&self->excluded, g_array_unref);
  g_ptr_array_unref (self->other_keys);
  g_free (self);
}

static gboolean
set_choice (FaintSetup *self, const FaintSetupKey *key, const char *text, GError **error)
{
  g_auto (GStrv) choices = g_strsplit (key->choices, "|", -1);
  int *member = G_STRUCT_MEMBER_P (self, faint_setup_detail (key)->offset);
  g_autofree char *listed = NULL;

  G_STATIC_ASSERT (sizeof (FaintObservable) == sizeof (int));
  for (int i = 0; choices[i] != NULL; i++)
    if (g_str_equal (choices[i], text) || (*text == '\0' && i == 0))
      {
        *member = i;
        if (g_str_equal (key->key, "cavity"))
          self->geometry_stated = *text != '\0';
        return TRUE;
      }
  listed = g_strjoinv (", ", choices);
  g_set_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_VALUE,
               _ ("%s: '%s' is not possible; one of %s was expected."), key->key, text, listed);
  return FALSE;
}

/* A new way to describe the mirrors takes the place of the old one. */
static void
choose_mirror (FaintSetup *self, FaintMirrorKind kind)
{
  if (kind == FAINT_MIRROR_UNKNOWN || kind == self->mirror_kind)
    return;
  forget_table (self);
  self->mirror = FAINT_QUANTITY_UNKNOWN;
  self->mirror_kind = kind;
}

static void
unset_quantity (FaintSetup *self, const FaintSetupKey *key, gboolean is_u)
{
  const FaintSetupDetail *detail = faint_setup_detail (key);
  FaintQuantity *quantity = G_STRUCT_MEMBER_P (self, detail->offset);

  if (detail->mirror_kind != self->mirror_kind && detail->mirror_kind != FAINT_MIRROR_UNKNOWN)
    return;
  if (is_u)
    quantity->u = NAN;
  else
    {
      *quantity = FAINT_QUANTITY_UNKNOWN;
      if (detail->mirror_kind != FAINT_MIRROR_UNKNOWN)
        self->mirror_kind = FAINT_MIRROR_UNKNOWN;
    }
}

static gboolean
in_range (const FaintSetupDetail *detail, double value)
{
  return (detail->least_is_open ? value > detail->least : value >= detail->least)
         && (detail->most_is_open ? value < detail->most : value <= detail->most);
}

/* Puts the key before the reader's words and turns them into an error of this module. */
static gboolean
refuse_value (const FaintSetupKey *key, gboolean is_u, GError *cause, GError **error)
{
  g_set_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_VALUE, is_u ? "u(%s): %s" : "%s: %s",
               key->key, cause->message);
  g_error_free (cause);
  return FALSE;
}

static gboolean
set_quantity (FaintSetup *self, const FaintSetupKey *key, gboolean is_u, const char *text,
              GError **error)
{
  const FaintSetupDetail *detail = faint_setup_detail (key);
  FaintQuantity *member = G_STRUCT_MEMBER_P (self, detail->offset);
  FaintQuantity read = FAINT_QUANTITY_UNKNOWN;
  GError *cause = NULL;

  if (is_u ? !faint_quantity_parse_u (text, key->dimension, &read, &cause)
           : !faint_quantity_parse (text, key->dimension, &read, &cause))
    return refuse_value (key, is_u, cause, error);
  if (!is_u && !in_range (detail, read.value))
    {
      g_set_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_VALUE, _ (detail->refusal), key->key,
                   text);
      return FALSE;
    }
  choose_mirror (self, detail->mirror_kind);
  if (is_u)
    member->u = read.u;
  else
    {
      if (read.u != read.u)
        read.u = member->u; /* stated on a line of its own, before or earlier */
      *member = read;
    }
  return TRUE;
}

static gboolean
set_file (FaintSetup *self, const FaintSetupKey *key, const char *text, const char *folder,
          GError **error)
{
  const FaintSetupDetail *detail = faint_setup_detail (key);
  gboolean is_table = detail->mirror_kind == FAINT_MIRROR_TABLE;
  g_autofree char *whole = folder != NULL ? g_canonicalize_filename (folder, NULL) : NULL;
  g_autofree char *path = *text != '\0' ? g_canonicalize_filename (text, whole) : NULL;

  if (path == NULL)
    {
      if (!is_table)
        g_clear_pointer (&self->partition_sums, g_free);
      else if (self->mirror_kind == FAINT_MIRROR_TABLE)
        {
          forget_table (self);
          self->mirror_kind = FAINT_MIRROR_UNKNOWN;
        }
      return TRUE;
    }
  if (is_table)
    {
      g_autoptr (FaintSetup) read = faint_setup_new ();

      if (!faint_setup_read_finesse_table (read, path, error))
        {
          g_prefix_error (error, "%s: ", key->key);
          return FALSE;
        }
      self->mirror_kind = FAINT_MIRROR_UNKNOWN;
      choose_mirror (self, FAINT_MIRROR_TABLE);
      self->table_wavenumber = g_steal_pointer (&read->table_wavenumber);
      self->table_finesse = g_steal_pointer (&read->table_finesse);
      self->table_u = g_steal_pointer (&read->table_u);
      self->finesse_table = g_steal_pointer (&path);
      return TRUE;
    }
  if (!g_file_test (path, G_FILE_TEST_IS_REGULAR) || access (path, R_OK) != 0)
    {
      g_set_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_VALUE,
                   _ ("%s: the file %s is not there or cannot be read."), key->key, path);
      return FALSE;
    }
  g_free (self->partition_sums);
  self->partition_sums = g_steal_pointer (&path);
  return TRUE;
}

static gboolean
set_ranges (FaintSetup *self, const FaintSetupKey *key, const char *text, GError **error)
{
  GArray *ranges = faint_setup_ranges_parse (text, error);

  if (ranges == NULL)
    {
      g_prefix_error (error, "%s: ", key->key);
      return FALSE;
    }
  g_clear_pointer (&self->excluded, g_array_unref);
  if (ranges->len > 0)
    self->excluded = ranges;
  else
    g_array_unref (ranges);
  return TRUE;
}

static gboolean
refuse_key (const char *text, GError **error)
{
  gsize n;
  const FaintSetupKey *keys = faint_setup_keys (&n);
  g_autoptr (GString) names = g_string_new (NULL);

  for (gsize i = 0; i < n; i++)
    g_string_append_printf (names, "%s%s", i > 0 ? ", " : "", keys[i].key);
  g_set_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_KEY,
               _ ("'%s' is no key known here. Known are %s, and u(...) of each quantity."), text,
               names->str);
  return FALSE;
}

gboolean
faint_setup_set (FaintSetup *self, const char *key, const char *text, const char *folder,
                 GError **error)
{
  gboolean is_u;
  const FaintSetupKey *known = faint_setup_key_parse (key, &is_u);
  g_autofree char *trimmed = g_strstrip (g_strdup (text));

  if (known == NULL)
    return refuse_key (key, error);
  switch (known->kind)
    {
    case FAINT_SETUP_KIND_CHOICE:
      return set_choice (self, known, trimmed, error);
    case FAINT_SETUP_KIND_FILE:
      return set_file (self, known, trimmed, folder, error);
    case FAINT_SETUP_KIND_RANGES:
      return set_ranges (self, known, trimmed, error);
    case FAINT_SETUP_KIND_TEXT:
      g_free (self->title);
      /* A title is one line wherever it is written again. */
      self->title = *trimmed != '\0' ? g_strdup (g_strdelimit (trimmed, "\r\n", ' ')) : NULL;
      return TRUE;
    case FAINT_SETUP_KIND_QUANTITY:
    default:
      if (*trimmed != '\0')
        return set_quantity (self, known, is_u, trimmed, error);
      unset_quantity (self, known, is_u);
      return TRUE;
    }
}

static char *
get_choice (const FaintSetup *self, const FaintSetupKey *key)
{
  g_auto (GStrv) choices = g_strsplit (key->choices, "|", -1);
  int choice = G_STRUCT_MEMBER (int, self, faint_setup_detail (key)->offset);

  if (g_str_equal (key->key, "cavity") && !self->geometry_stated)
    return NULL;
  return g_strdup (choices[choice]);
}

static char *
get_quantity (const FaintSetup *self, const FaintSetupKey *key, gboolean is_u)
{
  const FaintSetupDetail *detail = faint_setup_detail (key);
  FaintQuantity quantity = G_STRUCT_MEMBER (FaintQuantity, self, detail->offset);
  g_autofree char *text = NULL;

  if (detail->mirror_kind != FAINT_MIRROR_UNKNOWN && detail->mirror_kind != self->mirror_kind)
    return NULL;
  if (quantity.unit == NULL)
    quantity.unit = faint_unit_library (key->dimension);
  text = is_u ? faint_quantity_u_to_text (quantity) : faint_quantity_to_text (quantity);
  return *text != '\0' ? g_steal_pointer (&text) : NULL;
}

char *
faint_setup_get (const FaintSetup *self, const char *key)
{
  gboolean is_u;
  const FaintSetupKey *known = faint_setup_key_parse (key, &is_u);

  if (known == NULL)
    return NULL;
  if (known->kind == FAINT_SETUP_KIND_CHOICE)
    return get_choice (self, known);
  if (known->kind == FAINT_SETUP_KIND_QUANTITY)
    return get_quantity (self, known, is_u);
  if (known->kind == FAINT_SETUP_KIND_RANGES)
    return self->excluded != NULL ? faint_setup_ranges_to_text (self->excluded) : NULL;
  return g_strdup (G_STRUCT_MEMBER (char *, self, faint_setup_detail (known)->offset));
}
