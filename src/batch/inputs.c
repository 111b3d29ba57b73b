/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "inputs.h"

#include <string.h>

gboolean
faint_check_date (const char *verb, const char *date)
{
  g_autoptr (GTimeZone) utc = g_time_zone_new_utc ();
  g_autofree char *full
      = date != NULL && strlen (date) == 10 ? g_strconcat (date, "T00:00:00Z", NULL) : NULL;
  g_autoptr (GDateTime) time = NULL;

  if (date == NULL)
    return TRUE;
  time = g_date_time_new_from_iso8601 (full != NULL ? full : date, utc);
  if (time == NULL)
    faint_wrong_use (verb, "--date '%s': expected a date such as 2024-05-17.", date);
  return time != NULL;
}

gboolean
faint_check_settings (const char *verb, char **settings)
{
  g_autoptr (FaintSetup) setup = faint_setup_new ();
  g_autoptr (GError) error = NULL;
  FaintReadOptions options = { .settings = (const char *const *)settings };

  if (faint_setup_apply (setup, &options, &error))
    return TRUE;
  faint_wrong_use (verb, "--set: %s", error->message);
  return FALSE;
}

gboolean
faint_set_fit_option (const char *verb, FaintFitOptions *options, const char *name, const char *key,
                      const char *value)
{
  g_autoptr (GError) error = NULL;
  gboolean known = FALSE;

  if (faint_fit_options_set (options, key, value, &known, &error))
    return TRUE;
  if (known)
    faint_wrong_use (verb, "%s: %s", name, error->message);
  else
    faint_wrong_use (verb, "%s: the fit has no option '%s'.", name, key);
  return FALSE;
}

gboolean
faint_apply_fit_options (const char *verb, const char *threads, char **fit_options,
                         FaintFitOptions *options)
{
  guint64 n = 0; /* one for each processor */

  if (!faint_parse_count (verb, "--threads", threads, 1, 256, &n))
    return FALSE;
  options->threads = (guint)n;
  for (char **option = fit_options; option != NULL && *option != NULL; option++)
    {
      g_auto (GStrv) parts = g_strsplit (*option, "=", 2);

      if (g_strv_length (parts) != 2)
        {
          faint_wrong_use (verb, "--option '%s': expected KEY=VALUE.", *option);
          return FALSE;
        }
      if (!faint_set_fit_option (verb, options, "--option", g_strstrip (parts[0]),
                                 g_strstrip (parts[1])))
        return FALSE;
    }
  return TRUE;
}

FaintAnalysis *
faint_apply_settings (FaintAnalysis *analysis, const FaintReadOptions *read, GError **error)
{
  gsize n = faint_analysis_get_n_spectra (analysis);

  if (read->with == NULL && read->settings == NULL)
    return analysis;
  for (gsize i = 0; analysis != NULL && i < n; i++)
    {
      g_autoptr (FaintSetup) setup
          = faint_setup_copy (faint_analysis_get_spectrum_at (analysis, i)->setup);
      FaintAnalysis *next = faint_setup_apply (setup, read, error)
                                ? faint_analysis_with_setup_at (analysis, i, setup, error)
                                : NULL;

      faint_analysis_unref (analysis);
      analysis = next;
    }
  return analysis;
}
