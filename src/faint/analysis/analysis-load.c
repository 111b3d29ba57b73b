/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "faint/analysis/analysis-end.h"
#include "faint/analysis/analysis-file.h"
#include "faint/analysis/analysis-private.h"
#include "faint/base/text.h"
#include "faint/base/words.h"

gboolean
faint_analysis_is_file (const char *path)
{
  return faint_text_begins_with (path, FAINT_ANALYSIS_FIRST_LINE);
}

static gboolean
check_format (const FaintAnalysisFile *file, GError **error)
{
  guint64 format;

  if (!faint_analysis_file_count (file, "faintline", "format", &format, error))
    return FALSE;
  if (format == FAINT_ANALYSIS_FORMAT)
    return TRUE;
  if (format == 0)
    g_set_error (error, FAINT_ANALYSIS_ERROR, FAINT_ANALYSIS_ERROR_SYNTAX,
                 _ ("%s, line %zu: the key 'format' of [faintline] is missing; this is not an "
                    "analysis, or not the whole of one"),
                 file->path, (gsize)MAX (faint_analysis_file_line_of (file, "faintline", NULL), 1));
  else
    g_set_error (error, FAINT_ANALYSIS_ERROR, FAINT_ANALYSIS_ERROR_VERSION,
                 _ ("%s: the file has format %zu; this version reads format %d. A newer Faintline "
                    "is needed."),
                 file->path, (gsize)format, FAINT_ANALYSIS_FORMAT);
  return FALSE;
}

/* "key=value" strings of [read], files with absolute paths. */
static char **
read_settings (const FaintAnalysisFile *file, GError **error)
{
  g_auto (GStrv) keys = g_key_file_get_keys (file->keys, "read", NULL, NULL);
  g_autoptr (GPtrArray) settings = g_ptr_array_new_with_free_func (g_free);

  for (char **key = keys; key != NULL && *key != NULL; key++)
    {
      const FaintSetupKey *known = faint_setup_key_find (*key);
      g_autofree char *text = NULL;

      if (!faint_analysis_is_setup_key (*key))
        continue;
      text = faint_analysis_file_text (file, "read", *key, error);
      if (text == NULL)
        return NULL;
      if (known != NULL && known->kind == FAINT_SETUP_KIND_FILE)
        {
          g_autofree char *absolute = g_canonicalize_filename (text, file->folder);
          g_ptr_array_add (settings, g_strdup_printf ("%s=%s", *key, absolute));
        }
      else
        g_ptr_array_add (settings, g_strdup_printf ("%s=%s", *key, text));
    }
  g_ptr_array_add (settings, NULL);
  return (char **)g_ptr_array_free (g_steal_pointer (&settings), FALSE);
}

/* Paths (absolute), column maps and checksums of the inputs, and the spectra they belong to. */
typedef struct
{
  GPtrArray *paths, *columns, *sums;
  GArray *parts; /* gsize */
} Inputs;

static void
inputs_clear (Inputs *self)
{
  g_clear_pointer (&self->paths, g_ptr_array_unref);
  g_clear_pointer (&self->columns, g_ptr_array_unref);
  g_clear_pointer (&self->sums, g_ptr_array_unref);
  g_clear_pointer (&self->parts, g_array_unref);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Inputs, inputs_clear)

static gboolean
list_input (const FaintAnalysisFile *file, const char *group, Inputs *inputs, GError **error)
{
  g_autofree char *path = faint_analysis_file_text (file, group, "path", error);
  g_autofree char *sum
      = path != NULL ? faint_analysis_file_text (file, group, "sha256", error) : NULL;
  g_autofree char *columns
      = sum != NULL ? faint_analysis_file_text (file, group, "columns", error) : NULL;
  g_autofree char *absolute = NULL;
  guint64 number;
  gsize part, most = 0;

  if (columns == NULL || !faint_analysis_file_count (file, group, "spectrum", &number, error))
    return FALSE;
  part = number > 0 ? number - 1 : 0;
  for (guint i = 0; i < inputs->parts->len; i++)
    most = MAX (most, g_array_index (inputs->parts, gsize, i) + 1);
  if (part > most)
    return faint_analysis_file_refuse (file, group, "spectrum", error,
                                       _ ("found %zu, but the inputs before it make %zu spectra"),
                                       part + 1, most);
  if (path[0] == '\0')
    return faint_analysis_file_refuse (file, group, "path", error, _ ("the path is missing"));
  absolute = g_canonicalize_filename (path, file->folder);
  if (!g_file_test (absolute, G_FILE_TEST_EXISTS))
    {
      g_set_error (
          error, FAINT_ANALYSIS_ERROR, FAINT_ANALYSIS_ERROR_INPUT,
          _ ("%s: its input %s is not there. Put the file back, or correct 'path' in [%s]."),
          file->path, absolute, group);
      return FALSE;
    }
  g_ptr_array_add (inputs->paths, g_steal_pointer (&absolute));
  g_ptr_array_add (inputs->columns, columns[0] != '\0' ? g_steal_pointer (&columns) : NULL);
  g_ptr_array_add (inputs->sums, g_steal_pointer (&sum));
  g_array_append_val (inputs->parts, part);
  return TRUE;
}

static gboolean
list_inputs (const FaintAnalysisFile *file, Inputs *inputs, GError **error)
{
  inputs->paths = g_ptr_array_new_with_free_func (g_free);
  inputs->columns = g_ptr_array_new_with_free_func (g_free);
  inputs->sums = g_ptr_array_new_with_free_func (g_free);
  inputs->parts = g_array_new (FALSE, FALSE, sizeof (gsize));
  for (guint i = 1;; i++)
    {
      g_autofree char *group = g_strdup_printf ("input %u", i);
      if (!g_key_file_has_group (file->keys, group))
        break;
      if (!list_input (file, group, inputs, error))
        return FALSE;
    }
  if (inputs->paths->len > 0)
    return TRUE;
  g_set_error (error, FAINT_ANALYSIS_ERROR, FAINT_ANALYSIS_ERROR_INPUT,
               _ ("%s, line %zu: the analysis names no input; expected a group [input 1]"),
               file->path, (gsize)MAX (faint_analysis_file_line_of (file, "faintline", NULL), 1));
  return FALSE;
}

static void
mark_changes (FaintAnalysis *self, const Inputs *inputs)
{
  for (gsize i = 0; i < self->n_inputs; i++)
    {
      g_autofree char *name = g_path_get_basename (self->inputs[i].path);
      self->inputs[i].changed
          = strcmp (self->inputs[i].sha256, g_ptr_array_index (inputs->sums, i)) != 0;
      if (self->inputs[i].changed)
        faint_warnings_add (
            self->warnings, "input-changed",
            N_ ("%s has changed since this analysis was saved. The lines are those of "
                "the old content; fit again."),
            name);
    }
}

static FaintAnalysis *
load_inputs (const FaintAnalysisFile *file, const FaintProgress *progress, GError **error)
{
  GError *inner = NULL;
  g_auto (Inputs) inputs = { NULL };
  g_auto (GStrv) settings = read_settings (file, error);
  FaintReadOptions options = { .settings = (const char *const *)settings };
  FaintAnalysis *self;

  if (settings == NULL || !list_inputs (file, &inputs, error))
    return NULL;
  self = faint_analysis_read_inputs ((const char *const *)inputs.paths->pdata,
                                     (const char *const *)inputs.columns->pdata,
                                     (const gsize *)(const void *)inputs.parts->data,
                                     inputs.paths->len, &options, progress, &inner);
  if (self == NULL)
    {
      if (inner->domain == FAINT_SETUP_ERROR)
        g_propagate_prefixed_error (error, inner, "%s: ", file->path);
      else
        g_propagate_error (error, inner);
      return NULL;
    }
  mark_changes (self, &inputs);
  if (settings[0] != NULL)
    {
      self->settings = faint_setup_new ();
      if (!faint_analysis_file_setup (file, "read", self->settings, error))
        g_clear_pointer (&self, faint_analysis_unref);
    }
  return self;
}

/* The inputs' samples under their setup changed by @group; the inputs themselves where nothing is
 * changed. */
static FaintSpectrum *
load_edited (const FaintAnalysisFile *file, const char *group, FaintSpectrum *as_read,
             GError **error)
{
  g_autoptr (FaintSetup) setup = NULL;

  if (!g_key_file_has_group (file->keys, group))
    return faint_spectrum_ref (as_read);
  setup = faint_setup_copy (as_read->setup);
  if (!faint_analysis_file_setup (file, group, setup, error))
    return NULL;
  return faint_spectrum_with_setup (as_read, setup, error);
}

/* The spectra under their setups as edited. */
static gboolean
load_setups (const FaintAnalysisFile *file, FaintAnalysis *self, GError **error)
{
  for (gsize i = 0; i < self->n_parts; i++)
    {
      g_autofree char *prefix = faint_analysis_file_prefix (i);
      g_autofree char *group = g_strconcat (prefix, "setup", NULL);
      FaintSpectrum *spectrum = load_edited (file, group, self->parts[i].as_read, error);

      if (spectrum == NULL)
        return FALSE;
      faint_spectrum_unref (self->parts[i].spectrum);
      self->parts[i].spectrum = spectrum;
    }
  return TRUE;
}

static gboolean
load_yes (const FaintAnalysisFile *file, const char *group, const char *key)
{
  g_autofree char *text = g_key_file_get_value (file->keys, group, key, NULL);
  return g_strcmp0 (text, "yes") == 0;
}

static gboolean
load_lines (const FaintAnalysisFile *file, FaintAnalysis *self, GError **error)
{
  FaintLineList *lines = faint_analysis_file_lines (file, "line", error);
  g_autofree char *result = NULL;

  if (lines == NULL)
    return FALSE;
  faint_analysis_set_lines (&self->lines, lines);
  result = faint_analysis_file_text (file, "fit", "result", error);
  if (result == NULL)
    return FALSE;
  if (result[0] == '\0')
    return TRUE;
  self->found = load_yes (file, "fit", "found");
  self->fitted = strcmp (result, "fitted") == 0 ? faint_analysis_file_lines (file, "fitted", error)
                                                : faint_line_list_ref (self->lines);
  if (self->fitted == NULL || !load_yes (file, "fit", "began_with_lines"))
    return self->fitted != NULL;
  self->start = faint_analysis_file_lines (file, "start", error);
  return self->start != NULL;
}

/* The lines of the result under the conditions of spectrum @i. */
static FaintLineList *
load_part_lines (const FaintAnalysisFile *file, const FaintAnalysis *self, const char *prefix,
                 GError **error)
{
  g_autofree char *name = g_strconcat (prefix, "line", NULL);

  return prefix[0] == '\0' ? faint_line_list_ref (self->fitted)
                           : faint_analysis_file_lines (file, name, error);
}

static gboolean
load_part (const FaintAnalysisFile *file, FaintAnalysis *self, gsize i, GError **error)
{
  FaintAnalysisPart *part = &self->parts[i];
  g_autofree char *prefix = faint_analysis_file_prefix (i);
  g_autofree char *group = g_strconcat (prefix, "fit", NULL);
  g_autofree char *setup = g_strconcat (prefix, "fit setup", NULL);
  g_autoptr (FaintLineList) lines = load_part_lines (file, self, prefix, error);
  g_autoptr (FaintSpectrum) fitted_under = NULL;
  GError *inner = NULL;

  if (lines == NULL)
    return FALSE;
  fitted_under = load_yes (file, group, "own_setup")
                     ? load_edited (file, setup, part->as_read, error)
                     : faint_spectrum_ref (part->spectrum);
  if (fitted_under == NULL)
    return FALSE;
  part->fit = faint_analysis_file_fit (file, prefix, fitted_under, self->start, lines, &inner);
  if (inner != NULL && inner->domain == FAINT_FIT_ERROR)
    g_propagate_prefixed_error (error, inner, "%s: ", file->path);
  else if (inner != NULL)
    g_propagate_error (error, inner);
  if (part->fit != NULL && self->n_parts > 1)
    faint_fit_set_part_of_series (part->fit);
  return inner == NULL;
}

static gboolean
load_whole (const FaintAnalysisFile *file, FaintAnalysis *self, GError **error)
{
  g_autoptr (GPtrArray) warnings = faint_warnings_new ();
  gboolean found;

  if (!faint_analysis_file_joint (file, &self->whole.numbers, warnings, &found, error))
    return FALSE;
  if (found)
    self->whole.warnings = g_steal_pointer (&warnings);
  return TRUE;
}

/* Every spectrum has its part of the result, and a series the whole. */
static gboolean
is_complete (const FaintAnalysis *self)
{
  for (gsize i = 0; i < self->n_parts; i++)
    if (self->parts[i].fit == NULL)
      return FALSE;
  return self->n_parts == 1 || self->whole.warnings != NULL;
}

static gboolean
load_result (const FaintAnalysisFile *file, FaintAnalysis *self, GError **error)
{
  for (gsize i = 0; i < self->n_inputs; i++)
    if (self->inputs[i].changed)
      return TRUE;
  if (self->fitted == NULL)
    return TRUE;
  for (gsize i = 0; i < self->n_parts; i++)
    if (!load_part (file, self, i, error))
      return FALSE;
  if (self->n_parts > 1 && !load_whole (file, self, error))
    return FALSE;
  if (!is_complete (self))
    faint_analysis_drop_result (self);
  return TRUE;
}

static gboolean
load_changes (const FaintAnalysisFile *file, FaintAnalysis *self, GError **error)
{
  for (guint i = 1;; i++)
    {
      g_autofree char *group = g_strdup_printf ("change %u", i);
      g_autofree char *time = NULL, *text = NULL;

      if (!g_key_file_has_group (file->keys, group))
        return TRUE;
      time = faint_analysis_file_text (file, group, "time", error);
      text = time != NULL ? faint_analysis_file_text (file, group, "text", error) : NULL;
      if (text == NULL)
        return FALSE;
      faint_analysis_changes_add (self->changes, time, text);
    }
}

static gboolean
is_known (const char *group, const char *key)
{
  static const char *const input_keys[] = { "path", "sha256", "columns", "spectrum", NULL };

  group += faint_analysis_file_prefix_of (group);
  if (faint_analysis_is_end_key (group, key))
    return TRUE;
  if (strcmp (group, "faintline") == 0)
    return strcmp (key, "format") == 0 || strcmp (key, "program") == 0;
  if (g_str_has_prefix (group, "input "))
    return g_strv_contains (input_keys, key);
  if (strcmp (group, "read") == 0 || strcmp (group, "setup") == 0
      || strcmp (group, "fit setup") == 0)
    return faint_analysis_is_setup_key (key);
  if (g_str_has_prefix (group, "change "))
    return strcmp (key, "time") == 0 || strcmp (key, "text") == 0;
  if (strcmp (group, "options") == 0 || strcmp (group, "fit options") == 0)
    return faint_analysis_is_option_key (key);
  if (strcmp (group, "assignment") == 0)
    return faint_analysis_is_levels_key (key);
  if (strcmp (group, "review") == 0)
    return faint_analysis_is_claims_key (key);
  if (strcmp (group, "fit") == 0)
    return faint_analysis_is_fit_key (key);
  if (strcmp (group, "joint") == 0)
    return faint_analysis_is_joint_key (key);
  if (g_str_has_prefix (group, "window "))
    return faint_analysis_is_window_key (key);
  if (g_str_has_prefix (group, "line ") || g_str_has_prefix (group, "start ")
      || g_str_has_prefix (group, "fitted "))
    return faint_analysis_is_line_key (key);
  return FALSE;
}

static void
keep_foreign (const FaintAnalysisFile *file, FaintAnalysis *self)
{
  g_auto (GStrv) groups = g_key_file_get_groups (file->keys, NULL);

  for (char **group = groups; *group != NULL; group++)
    {
      g_auto (GStrv) keys = g_key_file_get_keys (file->keys, *group, NULL, NULL);
      for (char **key = keys; *key != NULL; key++)
        if (!is_known (*group, *key))
          {
            FaintAnalysisForeign *foreign = g_new (FaintAnalysisForeign, 1);
            foreign->group = g_strdup (*group);
            foreign->key = g_strdup (*key);
            foreign->value = g_key_file_get_value (file->keys, *group, *key, NULL);
            g_ptr_array_add (self->foreign, foreign);
          }
    }
}

static FaintAnalysis *
load_all (const FaintAnalysisFile *file, const FaintProgress *progress, GError **error)
{
  g_autoptr (FaintAnalysis) self = NULL;

  if (!check_format (file, error))
    return NULL;
  self = load_inputs (file, progress, error);
  if (self == NULL || !faint_analysis_file_options (file, "options", &self->options, error))
    return NULL;
  if (!load_setups (file, self, error) || !load_lines (file, self, error)
      || !load_result (file, self, error) || !load_changes (file, self, error)
      || !faint_analysis_file_levels (file, &self->levels, self->warnings, error)
      || !faint_analysis_file_claims (file, &self->claims, self->warnings, error))
    return NULL;
  keep_foreign (file, self);
  faint_analysis_settle_title (self);
  return g_steal_pointer (&self);
}

FaintAnalysis *
faint_analysis_load (const char *path, const FaintProgress *progress, GError **error)
{
  g_autoptr (FaintText) text = faint_text_read (path, error);
  g_autoptr (GKeyFile) keys = g_key_file_new ();
  g_autofree char *absolute = g_canonicalize_filename (path, NULL);
  g_autofree char *folder = g_path_get_dirname (absolute);
  g_autoptr (GError) inner = NULL;
  FaintAnalysisFile file = { keys, path, NULL, folder };

  if (text == NULL || !faint_analysis_check_end (text, error))
    return NULL;
  file.bytes = text->bytes;
  if (!g_key_file_load_from_data (keys, text->bytes, text->length, G_KEY_FILE_NONE, &inner))
    {
      g_set_error (error, FAINT_ANALYSIS_ERROR, FAINT_ANALYSIS_ERROR_SYNTAX,
                   _ ("%s: this is not an analysis: %s"), path, inner->message);
      return NULL;
    }
  return load_all (&file, progress, error);
}
