/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "faint/analysis/analysis-end.h"
#include "faint/analysis/analysis-file.h"
#include "faint/analysis/analysis-private.h"
#include "faint/base/files.h"
#include "faint/base/paths.h"
#include "faint/base/words.h"

static void
set_inputs (FaintAnalysisFile *file, const FaintAnalysis *self)
{
  for (gsize i = 0; i < self->n_inputs; i++)
    {
      g_autofree char *group = g_strdup_printf ("input %" G_GSIZE_FORMAT, i + 1);
      g_autofree char *path = faint_path_relative (self->inputs[i].path, file->folder);

      faint_analysis_file_set_text (file, group, "path", path);
      faint_analysis_file_set_text (file, group, "sha256", self->inputs[i].sha256);
      faint_analysis_file_set_text (file, group, "columns", self->inputs[i].columns);
      if (self->n_parts > 1)
        faint_analysis_file_set_count (file, group, "spectrum", self->inputs[i].spectrum + 1);
    }
}

/* What was edited of the setup of spectrum @i. */
static void
set_setup (FaintAnalysisFile *file, const FaintAnalysis *self, gsize i)
{
  const FaintAnalysisPart *part = &self->parts[i];
  g_autofree char *prefix = faint_analysis_file_prefix (i);
  g_autofree char *setup = g_strconcat (prefix, "setup", NULL);

  faint_analysis_file_set_setup (file, setup, part->spectrum->setup, part->as_read->setup, NULL);
}

/* The result of spectrum @i and the setup that it belongs to. The lines of the first are those of
 * the list. */
static void
set_part (FaintAnalysisFile *file, const FaintAnalysis *self, gsize i)
{
  const FaintAnalysisPart *part = &self->parts[i];
  g_autofree char *prefix = faint_analysis_file_prefix (i);
  g_autofree char *fit = g_strconcat (prefix, "fit", NULL);
  g_autofree char *fit_setup = g_strconcat (prefix, "fit setup", NULL);
  g_autofree char *line = g_strconcat (prefix, "line", NULL);

  if (part->fit == NULL)
    return;
  faint_analysis_file_set_fit (file, prefix, part->fit);
  if (i > 0)
    faint_analysis_file_set_lines (file, line, part->fit->lines);
  if (part->fit->spectrum == part->spectrum)
    return;
  g_key_file_set_value (file->keys, fit, "own_setup", "yes");
  faint_analysis_file_set_setup (file, fit_setup, part->fit->spectrum->setup, part->as_read->setup,
                                 NULL);
}

static void
set_results (FaintAnalysisFile *file, const FaintAnalysis *self)
{
  if (self->fitted != NULL)
    {
      g_key_file_set_value (file->keys, "fit", "found", self->found ? "yes" : "no");
      g_key_file_set_value (file->keys, "fit", "began_with_lines",
                            self->start != NULL ? "yes" : "no");
      g_key_file_set_value (file->keys, "fit", "result",
                            self->fitted == self->lines ? "line" : "fitted");
    }
  for (gsize i = 0; i < self->n_parts; i++)
    set_part (file, self, i);
  if (self->whole.warnings != NULL)
    faint_analysis_file_set_joint (file, &self->whole.numbers, self->whole.warnings);
  faint_analysis_file_set_lines (file, "line", self->lines);
  if (self->fitted != NULL && self->fitted != self->lines)
    faint_analysis_file_set_lines (file, "fitted", self->fitted);
  if (self->start != NULL)
    faint_analysis_file_set_lines (file, "start", self->start);
}

static void
set_changes (FaintAnalysisFile *file, const FaintAnalysis *self)
{
  for (guint i = 0; i < self->changes->len; i++)
    {
      const FaintAnalysisChange *change = g_ptr_array_index (self->changes, i);
      g_autofree char *group = g_strdup_printf ("change %u", i + 1);

      if (change->time[0] != '\0')
        faint_analysis_file_set_text (file, group, "time", change->time);
      faint_analysis_file_set_text (file, group, "text", change->text);
    }
}

/* Keys of a newer version, those of the last group, which are @of_end, after all others. One of a
 * line, window or input that is gone goes with it. */
static void
set_foreign (FaintAnalysisFile *file, const FaintAnalysis *self, gboolean of_end)
{
  for (guint i = 0; i < self->foreign->len; i++)
    {
      const FaintAnalysisForeign *foreign = g_ptr_array_index (self->foreign, i);
      const char *kind = foreign->group + faint_analysis_file_prefix_of (foreign->group);
      gboolean numbered = g_str_has_prefix (kind, "line ") || g_str_has_prefix (kind, "fitted ")
                          || g_str_has_prefix (kind, "start ") || g_str_has_prefix (kind, "window ")
                          || g_str_has_prefix (kind, "input ")
                          || g_str_has_prefix (kind, "change ");

      if ((strcmp (foreign->group, "end") == 0) == of_end
          && (!numbered || g_key_file_has_group (file->keys, foreign->group)))
        g_key_file_set_value (file->keys, foreign->group, foreign->key, foreign->value);
    }
}

static char *
to_text (FaintAnalysisFile *file, const FaintAnalysis *self)
{
  g_autofree char *keys = NULL;

  faint_analysis_file_set_promise (file);
  faint_analysis_file_set_count (file, "faintline", "format", FAINT_ANALYSIS_FORMAT);
  g_key_file_set_string (file->keys, "faintline", "program", FAINT_VERSION);
  set_inputs (file, self);
  if (self->settings != NULL)
    faint_analysis_file_set_setup (file, "read", self->settings, NULL, self->settings);
  for (gsize i = 0; i < self->n_parts; i++)
    set_setup (file, self, i);
  faint_analysis_file_set_options (file, "options", &self->options);
  faint_analysis_file_set_levels (file, &self->levels);
  faint_analysis_file_set_claims (file, &self->claims);
  set_results (file, self);
  set_changes (file, self);
  set_foreign (file, self, FALSE);
  set_foreign (file, self, TRUE);
  faint_analysis_file_set_end (file);
  keys = g_key_file_to_data (file->keys, NULL, NULL);
  return g_strconcat (FAINT_ANALYSIS_FIRST_LINE "\n", keys, NULL);
}

char *
faint_analysis_to_text (const FaintAnalysis *self, const char *path, GError **error)
{
  g_autofree char *absolute = g_canonicalize_filename (path, NULL);
  g_autofree char *folder = g_path_get_dirname (absolute);
  g_autoptr (GKeyFile) keys = g_key_file_new ();
  FaintAnalysisFile file = { keys, path, "", folder };

  if (self->n_inputs == 0)
    {
      g_set_error (error, FAINT_ANALYSIS_ERROR, FAINT_ANALYSIS_ERROR_INPUT,
                   _ ("%s: the spectrum was not read from a file, so an analysis cannot point to "
                      "it. Save the spectrum as a comb table and open that first."),
                   path);
      return NULL;
    }
  return to_text (&file, self);
}

gboolean
faint_analysis_save (const FaintAnalysis *self, const char *path, GError **error)
{
  g_autofree char *text = faint_analysis_to_text (self, path, error);

  return text != NULL && faint_files_write (path, text, strlen (text), error);
}
