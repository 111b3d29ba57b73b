/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "faint/analysis/analysis-private.h"

G_DEFINE_QUARK (faint_analysis_error_quark, faint_analysis_error)

static void
foreign_free (gpointer data)
{
  FaintAnalysisForeign *foreign = data;

  g_free (foreign->group);
  g_free (foreign->key);
  g_free (foreign->value);
  g_free (foreign);
}

GPtrArray *
faint_analysis_foreign_new (void)
{
  return g_ptr_array_new_with_free_func (foreign_free);
}

void
faint_analysis_set_lines (FaintLineList **place, FaintLineList *new_value)
{
  faint_line_list_unref (*place);
  *place = new_value;
}

void
faint_analysis_settle_title (FaintAnalysis *self)
{
  const char *title = self->parts[0].spectrum->setup->title;

  g_free (self->title);
  if (title != NULL && title[0] != '\0')
    self->title = g_strdup (title);
  else if (self->n_inputs > 0)
    self->title = g_path_get_basename (self->inputs[0].path);
  else
    self->title = g_strdup ("");
}

FaintAnalysis *
faint_analysis_new_of_parts (FaintSpectrum *const *as_read, gsize n_parts, gsize n_inputs)
{
  FaintAnalysis *self = g_new0 (FaintAnalysis, 1);

  g_atomic_ref_count_init (&self->refs);
  self->parts = g_new0 (FaintAnalysisPart, n_parts);
  self->n_parts = n_parts;
  for (gsize i = 0; i < n_parts; i++)
    {
      self->parts[i].as_read = as_read[i];
      self->parts[i].spectrum = faint_spectrum_ref (as_read[i]);
    }
  self->lines = faint_line_list_new (NULL, 0);
  self->inputs = g_new0 (FaintAnalysisInput, n_inputs);
  self->n_inputs = n_inputs;
  self->warnings = faint_warnings_new ();
  self->foreign = faint_analysis_foreign_new ();
  self->changes = faint_analysis_changes_new ();
  faint_fit_options_init (&self->options);
  return self;
}

void
faint_analysis_fill_input (FaintAnalysisInput *input, const FaintSpectrum *spectrum,
                           const char *columns, gsize part)
{
  input->path = g_canonicalize_filename (spectrum->path, NULL);
  g_strlcpy (input->sha256, spectrum->sha256, sizeof input->sha256);
  input->columns = g_strdup (columns);
  input->spectrum = part;
}

FaintAnalysis *
faint_analysis_new (const char *const *paths, gsize n, const FaintReadOptions *options,
                    const FaintProgress *progress, GError **error)
{
  FaintAnalysis *self;

  g_return_val_if_fail (n > 0, NULL);
  self = faint_analysis_read_inputs (paths, NULL, NULL, n, options, progress, error);
  if (self == NULL)
    return NULL;
  if (options != NULL && (options->with != NULL || options->settings != NULL))
    {
      self->settings = faint_setup_new ();
      if (!faint_setup_apply (self->settings, options, error))
        {
          faint_analysis_unref (self);
          return NULL;
        }
    }
  faint_analysis_settle_title (self);
  return self;
}

FaintAnalysis *
faint_analysis_new_for_spectrum (FaintSpectrum *spectrum)
{
  gboolean has_file = spectrum->path != NULL && spectrum->sha256[0] != '\0';
  FaintAnalysis *self;

  faint_spectrum_ref (spectrum);
  self = faint_analysis_new_of_parts (&spectrum, 1, has_file ? 1 : 0);
  faint_warnings_extend (self->warnings, spectrum->warnings);
  if (has_file)
    faint_analysis_fill_input (&self->inputs[0], spectrum, NULL, 0);
  faint_analysis_settle_title (self);
  return self;
}

FaintAnalysis *
faint_analysis_copy (const FaintAnalysis *self)
{
  FaintAnalysis *copy = g_new (FaintAnalysis, 1);

  *copy = *self;
  g_atomic_ref_count_init (&copy->refs);
  copy->inputs = g_new0 (FaintAnalysisInput, self->n_inputs);
  for (gsize i = 0; i < self->n_inputs; i++)
    {
      copy->inputs[i] = self->inputs[i];
      copy->inputs[i].path = g_strdup (self->inputs[i].path);
      copy->inputs[i].columns = g_strdup (self->inputs[i].columns);
    }
  copy->parts = g_memdup2 (self->parts, self->n_parts * sizeof *self->parts);
  for (gsize i = 0; i < self->n_parts; i++)
    {
      faint_spectrum_ref (copy->parts[i].as_read);
      faint_spectrum_ref (copy->parts[i].spectrum);
      if (copy->parts[i].fit != NULL)
        faint_fit_ref (copy->parts[i].fit);
    }
  faint_line_list_ref (copy->lines);
  if (copy->settings != NULL)
    faint_setup_ref (copy->settings);
  if (copy->joint != NULL)
    faint_joint_fit_ref (copy->joint);
  if (copy->whole.warnings != NULL)
    g_ptr_array_ref (copy->whole.warnings);
  if (copy->start != NULL)
    faint_line_list_ref (copy->start);
  if (copy->fitted != NULL)
    faint_line_list_ref (copy->fitted);
  faint_analysis_levels_copy (&copy->levels, &self->levels);
  faint_analysis_claims_copy (&copy->claims, &self->claims);
  copy->title = g_strdup (self->title);
  copy->warnings = faint_warnings_copy (self->warnings);
  g_ptr_array_ref (copy->foreign);
  g_ptr_array_ref (copy->changes);
  return copy;
}

FaintAnalysis *
faint_analysis_ref (FaintAnalysis *self)
{
  g_atomic_ref_count_inc (&self->refs);
  return self;
}

void
faint_analysis_drop_result (FaintAnalysis *self)
{
  for (gsize i = 0; i < self->n_parts; i++)
    g_clear_pointer (&self->parts[i].fit, faint_fit_unref);
  g_clear_pointer (&self->joint, faint_joint_fit_unref);
  g_clear_pointer (&self->whole.warnings, g_ptr_array_unref);
}

void
faint_analysis_unref (FaintAnalysis *self)
{
  if (self == NULL || !g_atomic_ref_count_dec (&self->refs))
    return;
  for (gsize i = 0; i < self->n_inputs; i++)
    {
      g_free (self->inputs[i].path);
      g_free (self->inputs[i].columns);
    }
  g_free (self->inputs);
  faint_analysis_drop_result (self);
  for (gsize i = 0; i < self->n_parts; i++)
    {
      faint_spectrum_unref (self->parts[i].as_read);
      faint_spectrum_unref (self->parts[i].spectrum);
    }
  g_free (self->parts);
  g_clear_pointer (&self->settings, faint_setup_unref);
  faint_line_list_unref (self->lines);
  faint_line_list_unref (self->start);
  faint_line_list_unref (self->fitted);
  faint_analysis_levels_clear (&self->levels);
  faint_analysis_claims_clear (&self->claims);
  g_free (self->title);
  g_ptr_array_unref (self->warnings);
  g_ptr_array_unref (self->foreign);
  g_ptr_array_unref (self->changes);
  g_free (self);
}
