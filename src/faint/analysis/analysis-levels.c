/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/analysis/analysis-levels.h"

#include <string.h>

#include "faint/analysis/analysis-private.h"
#include "faint/assign/band-constants.h"
#include "faint/base/paths.h"
#include "faint/base/text.h"
#include "faint/base/words.h"

#define GROUP "assignment"

void
faint_analysis_levels_clear (FaintAnalysisLevels *self)
{
  g_clear_pointer (&self->levels, faint_levels_unref);
  g_clear_pointer (&self->path, g_free);
  g_clear_pointer (&self->free_constants, g_free);
  self->sha256[0] = '\0';
}

void
faint_analysis_levels_copy (FaintAnalysisLevels *self, const FaintAnalysisLevels *from)
{
  *self = *from;
  if (from->levels != NULL)
    faint_levels_ref (from->levels);
  self->path = g_strdup (from->path);
  self->free_constants = g_strdup (from->free_constants);
}

gboolean
faint_analysis_levels_read (FaintAnalysisLevels *self, const char *path, GError **error)
{
  g_autoptr (FaintText) text = faint_text_read (path, error);

  *self = (FaintAnalysisLevels){ NULL };
  if (text == NULL)
    return FALSE;
  self->levels = faint_levels_read (path, error);
  if (self->levels == NULL)
    return FALSE;
  self->path = g_canonicalize_filename (path, NULL);
  memcpy (self->sha256, text->sha256, sizeof self->sha256);
  return TRUE;
}

const FaintAnalysisLevels *
faint_analysis_get_levels (const FaintAnalysis *self)
{
  return &self->levels;
}

FaintAnalysis *
faint_analysis_with_levels (const FaintAnalysis *self, const FaintAnalysisLevels *levels)
{
  FaintAnalysis *copy = faint_analysis_copy (self);

  faint_analysis_levels_clear (&copy->levels);
  faint_analysis_levels_copy (&copy->levels, levels);
  return copy;
}

gboolean
faint_analysis_is_levels_key (const char *key)
{
  static const char *const keys[] = { "levels", "sha256", "free", NULL };

  return g_strv_contains (keys, key);
}

void
faint_analysis_file_set_levels (FaintAnalysisFile *file, const FaintAnalysisLevels *levels)
{
  g_autofree char *path = NULL;

  if (levels->path == NULL)
    return;
  path = faint_path_relative (levels->path, file->folder);
  faint_analysis_file_set_text (file, GROUP, "levels", path);
  faint_analysis_file_set_text (file, GROUP, "sha256", levels->sha256);
  faint_analysis_file_set_text (file, GROUP, "free", levels->free_constants);
}

/* Levels that are not what they were are told of; the labels stay. */
static void
read_again (FaintAnalysisLevels *self, const char *sum, GPtrArray *warnings)
{
  g_autofree char *name = g_path_get_basename (self->path);
  g_auto (FaintAnalysisLevels) now = { NULL };

  if (!faint_analysis_levels_read (&now, self->path, NULL))
    {
      faint_warnings_add (
          warnings, "levels-missing",
          N_ ("The levels of the lower state, %s, cannot be read. The labels are kept; "
              "open the levels again to judge them."),
          name);
      return;
    }
  if (strcmp (now.sha256, sum) != 0)
    faint_warnings_add (
        warnings, "levels-changed",
        N_ ("%s has changed since this analysis was saved. The labels are those of the "
            "old content; assign again."),
        name);
  self->levels = faint_levels_ref (now.levels);
  memcpy (self->sha256, now.sha256, sizeof self->sha256);
}

gboolean
faint_analysis_file_levels (const FaintAnalysisFile *file, FaintAnalysisLevels *levels,
                            GPtrArray *warnings, GError **error)
{
  g_autofree char *path = faint_analysis_file_text (file, GROUP, "levels", error);
  g_autofree char *sum
      = path != NULL ? faint_analysis_file_text (file, GROUP, "sha256", error) : NULL;
  g_autofree char *free_constants
      = sum != NULL ? faint_analysis_file_text (file, GROUP, "free", error) : NULL;
  g_autofree char *word = NULL;
  FaintBandOptions options;

  if (free_constants == NULL)
    return FALSE;
  if (free_constants[0] != '\0' && !faint_band_options_parse (&options, free_constants, &word))
    return faint_analysis_file_refuse (file, GROUP, "free", error,
                                       _ ("'%s' is no constant of a band"), word);
  if (path[0] == '\0')
    return TRUE;
  levels->path = g_canonicalize_filename (path, file->folder);
  g_strlcpy (levels->sha256, sum, sizeof levels->sha256);
  levels->free_constants = free_constants[0] != '\0' ? g_steal_pointer (&free_constants) : NULL;
  read_again (levels, sum, warnings);
  return TRUE;
}
