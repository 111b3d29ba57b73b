/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * GSettings, or a table of variants.
 */
#include "app/document/settings.h"

#define SCHEMA "org.faintline.Faintline"

struct _FaintSettings
{
  GSettings *settings; /* NULL: the schema is not installed */
  GHashTable *memory;  /* char *, GVariant *; then in use */
};

/* As in the schema. */
static const struct
{
  const char *key, *value;
} defaults[] = {
  { "window-width", "1400" },      { "window-height", "860" }, { "window-maximized", "false" },
  { "pane-width", "340" },         { "table-height", "230" },  { "table-shown", "true" },
  { "axis-unit", "'wavenumber'" }, { "last-folder", "''" },    { "table-columns", "''" },
  { "record-options", "''" },      { "copy-delay", "10" },
};

static void
fill_memory (FaintSettings *self)
{
  self->memory
      = g_hash_table_new_full (g_str_hash, g_str_equal, NULL, (GDestroyNotify)g_variant_unref);
  for (guint i = 0; i < G_N_ELEMENTS (defaults); i++)
    g_hash_table_insert (self->memory, (gpointer)defaults[i].key,
                         g_variant_ref_sink (g_variant_new_parsed (defaults[i].value)));
}

static GVariant *
get (FaintSettings *self, const char *key)
{
  GVariant *value;

  if (self->settings)
    return g_settings_get_value (self->settings, key);
  value = g_hash_table_lookup (self->memory, key);
  g_return_val_if_fail (value != NULL, NULL);
  return g_variant_ref (value);
}

/* A value outside the schema's range is refused by GSettings: the old one stays. */
static void
set (FaintSettings *self, const char *key, GVariant *value)
{
  gpointer known = NULL;

  if (self->settings)
    {
      g_settings_set_value (self->settings, key, value);
      return;
    }
  g_variant_ref_sink (value);
  if (g_hash_table_lookup_extended (self->memory, key, &known, NULL))
    g_hash_table_insert (self->memory, known, value);
  else
    g_variant_unref (value);
}

FaintSettings *
faint_settings_new (void)
{
  FaintSettings *self = g_new0 (FaintSettings, 1);
  GSettingsSchemaSource *source = g_settings_schema_source_get_default ();
  g_autoptr (GSettingsSchema) schema
      = source ? g_settings_schema_source_lookup (source, SCHEMA, TRUE) : NULL;

  if (schema)
    self->settings = g_settings_new_full (schema, NULL, NULL);
  else
    {
      g_debug ("schema %s is not installed, settings are kept in memory", SCHEMA);
      fill_memory (self);
    }
  return self;
}

void
faint_settings_free (FaintSettings *self)
{
  if (self == NULL)
    return;
  g_clear_object (&self->settings);
  g_clear_pointer (&self->memory, g_hash_table_unref);
  g_free (self);
}

int
faint_settings_get_int (FaintSettings *self, const char *key)
{
  g_autoptr (GVariant) value = get (self, key);

  return value ? g_variant_get_int32 (value) : 0;
}

void
faint_settings_set_int (FaintSettings *self, const char *key, int value)
{
  set (self, key, g_variant_new_int32 (value));
}

gboolean
faint_settings_get_boolean (FaintSettings *self, const char *key)
{
  g_autoptr (GVariant) value = get (self, key);

  return value ? g_variant_get_boolean (value) : FALSE;
}

void
faint_settings_set_boolean (FaintSettings *self, const char *key, gboolean value)
{
  set (self, key, g_variant_new_boolean (value));
}

char *
faint_settings_get_string (FaintSettings *self, const char *key)
{
  g_autoptr (GVariant) value = get (self, key);

  return value ? g_variant_dup_string (value, NULL) : g_strdup ("");
}

void
faint_settings_set_string (FaintSettings *self, const char *key, const char *value)
{
  set (self, key, g_variant_new_string (value));
}
