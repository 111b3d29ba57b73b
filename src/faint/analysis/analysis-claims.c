/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/analysis/analysis-claims.h"

#include <math.h>
#include <string.h>

#include "faint/analysis/analysis-private.h"
#include "faint/base/paths.h"
#include "faint/base/text.h"
#include "faint/base/words.h"

#define GROUP "review"

void
faint_analysis_claims_clear (FaintAnalysisClaims *self)
{
  g_free (self->path);
  *self = (FaintAnalysisClaims){ NULL };
}

void
faint_analysis_claims_copy (FaintAnalysisClaims *self, const FaintAnalysisClaims *from)
{
  *self = *from;
  self->path = g_strdup (from->path);
}

const FaintAnalysisClaims *
faint_analysis_get_claims (const FaintAnalysis *self)
{
  return &self->claims;
}

FaintAnalysis *
faint_analysis_with_claims (const FaintAnalysis *self, const FaintAnalysisClaims *claims)
{
  FaintAnalysis *copy = faint_analysis_copy (self);

  faint_analysis_claims_clear (&copy->claims);
  faint_analysis_claims_copy (&copy->claims, claims);
  return copy;
}

gboolean
faint_analysis_is_claims_key (const char *key)
{
  static const char *const keys[] = { "claimed", "sha256",        "confidence",  "coverage",
                                      "partial", "temperature/K", "pressure/Pa", NULL };

  return g_strv_contains (keys, key);
}

void
faint_analysis_file_set_claims (FaintAnalysisFile *file, const FaintAnalysisClaims *claims)
{
  g_autofree char *path = NULL;

  if (claims->path == NULL)
    return;
  path = faint_path_relative (claims->path, file->folder);
  faint_analysis_file_set_text (file, GROUP, "claimed", path);
  faint_analysis_file_set_text (file, GROUP, "sha256", claims->sha256);
  faint_analysis_file_set_number (file, GROUP, "confidence", claims->confidence);
  faint_analysis_file_set_number (file, GROUP, "coverage", claims->coverage);
  faint_analysis_file_set_count (file, GROUP, "partial", claims->partial ? 1 : 0);
  faint_analysis_file_set_number (file, GROUP, "temperature/K", claims->temperature);
  faint_analysis_file_set_number (file, GROUP, "pressure/Pa", claims->pressure);
}

/* Is the list still what it was? */
static void
look (FaintAnalysisClaims *self, GPtrArray *warnings)
{
  g_autofree char *name = g_path_get_basename (self->path);
  g_autoptr (FaintText) text = faint_text_read (self->path, NULL);

  self->changed = text == NULL || strcmp (text->sha256, self->sha256) != 0;
  if (text == NULL)
    faint_warnings_add (
        warnings, "claims-missing",
        N_ ("%s, the claimed list of the review, cannot be read. Open it again to review "
            "it."),
        name);
  else if (self->changed)
    faint_warnings_add (
        warnings, "claims-changed",
        N_ ("%s, the claimed list of the review, has changed since this analysis was "
            "saved. A review now is one of another list."),
        name);
}

static gboolean
check_range (const FaintAnalysisFile *file, const char *key, double *value, double lowest,
             double highest, double otherwise, GError **error)
{
  if (!faint_analysis_file_number (file, GROUP, key, value, error))
    return FALSE;
  if (isnan (*value))
    *value = otherwise;
  if (isnan (*value) || (*value >= lowest && *value <= highest))
    return TRUE;
  return faint_analysis_file_refuse (file, GROUP, key, error, _ ("%s; expected %s to %s"),
                                     FAINT_NUMBER ("%g", *value), FAINT_NUMBER ("%g", lowest),
                                     FAINT_NUMBER ("%g", highest));
}

gboolean
faint_analysis_file_claims (const FaintAnalysisFile *file, FaintAnalysisClaims *claims,
                            GPtrArray *warnings, GError **error)
{
  g_autofree char *path = faint_analysis_file_text (file, GROUP, "claimed", error);
  g_autofree char *sum
      = path != NULL ? faint_analysis_file_text (file, GROUP, "sha256", error) : NULL;
  guint64 partial = 0;

  if (sum == NULL
      || !check_range (file, "confidence", &claims->confidence, 0.5, 0.999999, 0.95, error)
      || !check_range (file, "coverage", &claims->coverage, 1.0, 4.0, 2.0, error)
      || !check_range (file, "temperature/K", &claims->temperature, 1e-3, 1e5, NAN, error)
      || !check_range (file, "pressure/Pa", &claims->pressure, 1e-9, 1e12, NAN, error)
      || !faint_analysis_file_count (file, GROUP, "partial", &partial, error))
    return FALSE;
  claims->partial = partial != 0;
  if (path[0] == '\0')
    return TRUE;
  claims->path = g_canonicalize_filename (path, file->folder);
  g_strlcpy (claims->sha256, sum, sizeof claims->sha256);
  look (claims, warnings);
  return TRUE;
}
