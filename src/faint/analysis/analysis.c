/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "faint/analysis/analysis-private.h"
#include "faint/spectrum/merge.h"

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
  const char *title = self->spectrum->setup->title;

  g_free (self->title);
  if (title != NULL && title[0] != '\0')
    self->title = g_strdup (title);
  else if (self->n_inputs > 0)
    self->title = g_path_get_basename (self->inputs[0].path);
  else
    self->title = g_strdup ("");
}

/* Takes the references of @as_read. */
static FaintAnalysis *
new_for (FaintSpectrum *as_read, gsize n_inputs)
{
  FaintAnalysis *self = g_new0 (FaintAnalysis, 1);

  g_atomic_ref_count_init (&self->refs);
  self->as_read = as_read;
  self->spectrum = faint_spectrum_ref (as_read);
  self->lines = faint_line_list_new (NULL, 0);
  self->inputs = g_new0 (FaintAnalysisInput, n_inputs);
  self->n_inputs = n_inputs;
  self->warnings = faint_warnings_copy (as_read->warnings);
  self->foreign = faint_analysis_foreign_new ();
  faint_fit_options_init (&self->options);
  return self;
}

static void
fill_input (FaintAnalysisInput *input, const FaintSpectrum *spectrum, const char *columns)
{
  input->path = g_canonicalize_filename (spectrum->path, NULL);
  g_strlcpy (input->sha256, spectrum->sha256, sizeof input->sha256);
  input->columns = g_strdup (columns);
}

static void
unref_spectra (FaintSpectrum **spectra, gsize n)
{
  for (gsize i = 0; i < n; i++)
    faint_spectrum_unref (spectra[i]);
}

/* Part @i of @n parts of a progress. */
typedef struct
{
  const FaintProgress *whole;
  gsize i, n;
} Part;

static void
report_part (double fraction, const char *step, gpointer data)
{
  const Part *part = data;

  if (part->whole->report != NULL)
    part->whole->report (((double)part->i + MAX (fraction, 0.0)) / (double)part->n, step,
                         part->whole->data);
}

static gboolean
part_is_cancelled (gpointer data)
{
  const Part *part = data;

  return part->whole->is_cancelled != NULL && part->whole->is_cancelled (part->whole->data);
}

static gboolean
read_spectra (const char *const *paths, const char *const *columns, gsize n,
              const FaintReadOptions *options, const FaintProgress *progress,
              FaintSpectrum **spectra, GError **error)
{
  for (gsize i = 0; i < n; i++)
    {
      Part part = { progress, i, n };
      const FaintProgress mine = { report_part, part_is_cancelled, &part };
      FaintReadOptions one = options != NULL ? *options : (FaintReadOptions){ NULL };

      if (columns != NULL)
        one.columns = columns[i];
      spectra[i] = faint_spectrum_read (paths[i], &one, progress != NULL ? &mine : NULL, error);
      if (spectra[i] == NULL)
        {
          unref_spectra (spectra, i);
          return FALSE;
        }
    }
  return TRUE;
}

FaintAnalysis *
faint_analysis_read_inputs (const char *const *paths, const char *const *columns, gsize n,
                            const FaintReadOptions *options, const FaintProgress *progress,
                            GError **error)
{
  g_autofree FaintSpectrum **spectra = g_new0 (FaintSpectrum *, n);
  FaintAnalysis *self = NULL;
  FaintSpectrum *merged;

  if (!read_spectra (paths, columns, n, options, progress, spectra, error))
    return NULL;
  merged = n == 1 ? faint_spectrum_ref (spectra[0]) : faint_spectrum_merge (spectra, n, error);
  if (merged != NULL)
    {
      self = new_for (merged, n);
      for (gsize i = 0; i < n; i++)
        {
          const char *map = columns != NULL   ? columns[i]
                            : options != NULL ? options->columns
                                              : NULL;
          fill_input (&self->inputs[i], spectra[i], map);
          for (guint k = 0; n > 1 && k < spectra[i]->warnings->len; k++)
            {
              const FaintWarning *warning = g_ptr_array_index (spectra[i]->warnings, k);
              g_autofree char *name = g_path_get_basename (paths[i]);
              faint_warnings_add (self->warnings, warning->code, "%s: %s", name, warning->text);
            }
        }
    }
  unref_spectra (spectra, n);
  return self;
}

FaintAnalysis *
faint_analysis_new (const char *const *paths, gsize n, const FaintReadOptions *options,
                    const FaintProgress *progress, GError **error)
{
  FaintAnalysis *self;

  g_return_val_if_fail (n > 0, NULL);
  self = faint_analysis_read_inputs (paths, NULL, n, options, progress, error);
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
  FaintAnalysis *self = new_for (faint_spectrum_ref (spectrum), has_file ? 1 : 0);

  if (has_file)
    fill_input (&self->inputs[0], spectrum, NULL);
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
  faint_spectrum_ref (copy->as_read);
  faint_spectrum_ref (copy->spectrum);
  faint_line_list_ref (copy->lines);
  if (copy->settings != NULL)
    faint_setup_ref (copy->settings);
  if (copy->fit != NULL)
    faint_fit_ref (copy->fit);
  if (copy->start != NULL)
    faint_line_list_ref (copy->start);
  if (copy->fitted != NULL)
    faint_line_list_ref (copy->fitted);
  copy->title = g_strdup (self->title);
  copy->warnings = faint_warnings_copy (self->warnings);
  g_ptr_array_ref (copy->foreign);
  return copy;
}

FaintAnalysis *
faint_analysis_ref (FaintAnalysis *self)
{
  g_atomic_ref_count_inc (&self->refs);
  return self;
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
  faint_spectrum_unref (self->as_read);
  faint_spectrum_unref (self->spectrum);
  g_clear_pointer (&self->settings, faint_setup_unref);
  faint_line_list_unref (self->lines);
  faint_line_list_unref (self->start);
  faint_line_list_unref (self->fitted);
  g_clear_pointer (&self->fit, faint_fit_unref);
  g_free (self->title);
  g_ptr_array_unref (self->warnings);
  g_ptr_array_unref (self->foreign);
  g_free (self);
}

FaintSpectrum *
faint_analysis_get_spectrum (const FaintAnalysis *self)
{
  return self->spectrum;
}

FaintSetup *
faint_analysis_get_setup (const FaintAnalysis *self)
{
  return self->spectrum->setup;
}

FaintLineList *
faint_analysis_get_lines (const FaintAnalysis *self)
{
  return self->lines;
}

FaintFit *
faint_analysis_get_fit (const FaintAnalysis *self)
{
  return self->fit;
}

const FaintFitOptions *
faint_analysis_get_options (const FaintAnalysis *self)
{
  return &self->options;
}

const FaintAnalysisInput *
faint_analysis_get_inputs (const FaintAnalysis *self, gsize *n)
{
  if (n != NULL)
    *n = self->n_inputs;
  return self->inputs;
}

const char *
faint_analysis_get_title (const FaintAnalysis *self)
{
  return self->title;
}

const GPtrArray *
faint_analysis_get_warnings (const FaintAnalysis *self)
{
  return self->warnings;
}

gboolean
faint_analysis_get_found (const FaintAnalysis *self)
{
  return self->found;
}

/* The number of rounds is set aside: a fit of given lines has none, whatever the choice. */
static gboolean
same_options (const FaintFitOptions *a, const FaintFitOptions *b)
{
  for (const char *const *key = faint_fit_option_keys (); *key != NULL; key++)
    {
      g_autofree char *in_a = faint_fit_options_get (a, *key);
      g_autofree char *in_b = faint_fit_options_get (b, *key);
      if (strcmp (*key, "find_rounds") != 0 && g_strcmp0 (in_a, in_b) != 0)
        return FALSE;
    }
  return TRUE;
}

gboolean
faint_analysis_fit_is_current (const FaintAnalysis *self)
{
  return self->fit != NULL && self->fit->spectrum == self->spectrum
         && self->fit->lines == self->lines && same_options (&self->fit->options, &self->options)
         && (!self->found || self->fit->options.find_rounds == self->options.find_rounds);
}

FaintAnalysis *
faint_analysis_with_setup (const FaintAnalysis *self, FaintSetup *setup, GError **error)
{
  FaintSpectrum *spectrum = faint_spectrum_with_setup (self->as_read, setup, error);
  FaintAnalysis *copy;

  if (spectrum == NULL)
    return NULL;
  copy = faint_analysis_copy (self);
  faint_spectrum_unref (copy->spectrum);
  copy->spectrum = spectrum;
  faint_analysis_settle_title (copy);
  return copy;
}

FaintAnalysis *
faint_analysis_with_lines (const FaintAnalysis *self, FaintLineList *lines)
{
  FaintAnalysis *copy = faint_analysis_copy (self);

  faint_analysis_set_lines (&copy->lines, faint_line_list_ref (lines));
  return copy;
}

FaintAnalysis *
faint_analysis_with_options (const FaintAnalysis *self, const FaintFitOptions *options)
{
  FaintAnalysis *copy = faint_analysis_copy (self);

  copy->options = *options;
  return copy;
}

FaintAnalysis *
faint_analysis_with_fit (const FaintAnalysis *self, FaintFit *fit)
{
  FaintAnalysis *copy = faint_analysis_copy (self);

  g_clear_pointer (&copy->fit, faint_fit_unref);
  copy->fit = faint_fit_ref (fit);
  copy->found = fit->options.find_rounds > 0;
  faint_analysis_set_lines (&copy->start,
                            fit->start != NULL ? faint_line_list_ref (fit->start) : NULL);
  faint_analysis_set_lines (&copy->fitted, faint_line_list_ref (fit->lines));
  faint_analysis_set_lines (&copy->lines, faint_line_list_ref (fit->lines));
  return copy;
}
