/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Setup and options in the file.
 */
#include <string.h>

#include "faint/analysis/analysis-file.h"
#include "faint/base/paths.h"
#include "faint/base/words.h"

/* "u(temperature)" gives "temperature", others themselves. */
static char *
plain_key (const char *key)
{
  gsize length = strlen (key);

  if (g_str_has_prefix (key, "u(") && key[length - 1] == ')')
    return g_strndup (key + 2, length - 3);
  return g_strdup (key);
}

gboolean
faint_analysis_is_setup_key (const char *key)
{
  g_autofree char *plain = plain_key (key);

  return faint_setup_key_find (plain) != NULL;
}

static void
set_key (FaintAnalysisFile *file, const char *group, const FaintSetupKey *known, const char *key,
         const char *text)
{
  g_autofree char *relative = NULL;

  if (known->kind == FAINT_SETUP_KIND_FILE && text != NULL)
    relative = faint_path_relative (text, file->folder);
  if (relative != NULL)
    text = relative;
  g_key_file_set_string (file->keys, group, key, text != NULL ? text : "");
}

static void
set_key_where_needed (FaintAnalysisFile *file, const char *group, const FaintSetupKey *known,
                      const char *key, const FaintSetup *const setups[3])
{
  g_autofree char *text = faint_setup_get (setups[0], key);
  g_autofree char *base = setups[1] != NULL ? faint_setup_get (setups[1], key) : NULL;
  g_autofree char *which = setups[2] != NULL ? faint_setup_get (setups[2], key) : NULL;

  if ((setups[1] != NULL && g_strcmp0 (text, base) != 0) || (which != NULL && text != NULL))
    set_key (file, group, known, key, text);
}

void
faint_analysis_file_set_setup (FaintAnalysisFile *file, const char *group, const FaintSetup *setup,
                               const FaintSetup *base, const FaintSetup *which)
{
  const FaintSetup *const setups[3] = { setup, base, which };
  gsize n;
  const FaintSetupKey *keys = faint_setup_keys (&n);

  for (gsize i = 0; i < n; i++)
    {
      g_autofree char *u = g_strdup_printf ("u(%s)", keys[i].key);
      set_key_where_needed (file, group, &keys[i], keys[i].key, setups);
      if (keys[i].kind == FAINT_SETUP_KIND_QUANTITY)
        set_key_where_needed (file, group, &keys[i], u, setups);
    }
}

/* Keys taken back come first: a new description of the mirrors replaces the old one. */
static gboolean
apply_keys (const FaintAnalysisFile *file, const char *group, char **keys, gboolean empty,
            FaintSetup *setup, GError **error)
{
  for (char **key = keys; *key != NULL; key++)
    {
      g_autofree char *text = NULL;
      GError *inner = NULL;

      if (!faint_analysis_is_setup_key (*key))
        continue;
      text = faint_analysis_file_text (file, group, *key, error);
      if (text == NULL)
        return FALSE;
      if ((text[0] == '\0') != empty)
        continue;
      if (!faint_setup_set (setup, *key, text, file->folder, &inner))
        {
          faint_analysis_file_refuse (file, group, *key, error, "%s", inner->message);
          g_error_free (inner);
          return FALSE;
        }
    }
  return TRUE;
}

gboolean
faint_analysis_file_setup (const FaintAnalysisFile *file, const char *group, FaintSetup *setup,
                           GError **error)
{
  g_auto (GStrv) keys = g_key_file_get_keys (file->keys, group, NULL, NULL);

  if (keys == NULL)
    return TRUE;
  return apply_keys (file, group, keys, TRUE, setup, error)
         && apply_keys (file, group, keys, FALSE, setup, error);
}

gboolean
faint_analysis_is_option_key (const char *key)
{
  return g_strv_contains (faint_fit_option_keys (), key);
}

void
faint_analysis_file_set_options (FaintAnalysisFile *file, const char *group,
                                 const FaintFitOptions *options)
{
  for (const char *const *key = faint_fit_option_keys (); *key != NULL; key++)
    {
      g_autofree char *text = faint_fit_options_get (options, *key);
      g_key_file_set_string (file->keys, group, *key, text != NULL ? text : "");
    }
}

gboolean
faint_analysis_file_options (const FaintAnalysisFile *file, const char *group,
                             FaintFitOptions *options, GError **error)
{
  faint_fit_options_init (options);
  for (const char *const *key = faint_fit_option_keys (); *key != NULL; key++)
    {
      g_autofree char *text = faint_analysis_file_text (file, group, *key, error);
      gboolean known;
      GError *inner = NULL;

      if (text == NULL)
        return FALSE;
      if (text[0] == '\0' || faint_fit_options_set (options, *key, text, &known, &inner))
        continue;
      faint_analysis_file_refuse (file, group, *key, error, "%s",
                                  inner != NULL ? inner->message : _ ("not understood"));
      g_clear_error (&inner);
      return FALSE;
    }
  return TRUE;
}
