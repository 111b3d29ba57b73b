/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What an analysis shows of itself, and the edits that make a new one.
 */
#include <string.h>

#include "faint/analysis/analysis-private.h"

FaintSpectrum *
faint_analysis_get_spectrum (const FaintAnalysis *self)
{
  return self->parts[0].spectrum;
}

gsize
faint_analysis_get_n_spectra (const FaintAnalysis *self)
{
  return self->n_parts;
}

FaintSpectrum *
faint_analysis_get_spectrum_at (const FaintAnalysis *self, gsize i)
{
  g_return_val_if_fail (i < self->n_parts, NULL);
  return self->parts[i].spectrum;
}

FaintFit *
faint_analysis_get_fit_at (const FaintAnalysis *self, gsize i)
{
  g_return_val_if_fail (i < self->n_parts, NULL);
  return self->parts[i].fit;
}

FaintJointFit *
faint_analysis_get_joint (const FaintAnalysis *self)
{
  return self->joint;
}

gboolean
faint_analysis_get_result (const FaintAnalysis *self, FaintAnalysisResult *result)
{
  const FaintFit *fit = self->parts[0].fit;

  *result = (FaintAnalysisResult){ .distance = NAN, .chi2 = NAN, .dof = NAN, .chi2_reduced = NAN };
  if (fit == NULL)
    return FALSE;
  if (self->whole.warnings != NULL)
    *result = self->whole.numbers;
  else
    *result = (FaintAnalysisResult){ .verdict = fit->verdict,
                                     .iterations = fit->iterations,
                                     .distance = fit->distance,
                                     .chi2 = fit->chi2,
                                     .dof = fit->dof,
                                     .chi2_reduced = fit->chi2_reduced };
  return TRUE;
}

const GPtrArray *
faint_analysis_get_fit_warnings (const FaintAnalysis *self)
{
  if (self->whole.warnings != NULL)
    return self->whole.warnings;
  return self->parts[0].fit != NULL ? self->parts[0].fit->warnings : NULL;
}

/* Is @key stated alike in all spectra? */
static gboolean
is_common (const FaintAnalysis *self, const char *key)
{
  g_autofree char *first = faint_setup_get (self->parts[0].spectrum->setup, key);

  for (gsize i = 1; i < self->n_parts; i++)
    {
      g_autofree char *other = faint_setup_get (self->parts[i].spectrum->setup, key);
      if (g_strcmp0 (first, other) != 0)
        return FALSE;
    }
  return TRUE;
}

double
faint_analysis_fringe_u (const FaintFitFringe *fringe)
{
  return hypot (fringe->cosine * fringe->u_cosine, fringe->sine * fringe->u_sine)
         / faint_fit_fringe_amplitude (fringe);
}

char *
faint_analysis_describe_spectrum (const FaintAnalysis *self, gsize i)
{
  static const char *const keys[]
      = { "pressure", "temperature", "mole_fraction", "cavity_length", "observable" };
  const FaintSetup *setup;
  GString *text;

  g_return_val_if_fail (i < self->n_parts, NULL);
  setup = self->parts[i].spectrum->setup;
  text = g_string_new (NULL);
  for (gsize k = 0; k < G_N_ELEMENTS (keys); k++)
    {
      g_autofree char *value = faint_setup_get (setup, keys[k]);

      if (value != NULL && (k < 2 || !is_common (self, keys[k])))
        g_string_append_printf (text, "%s%s%s", text->len > 0 ? ", " : "",
                                k == 2 ? "mole fraction " : "", value);
    }
  return g_string_free (text, FALSE);
}

FaintSetup *
faint_analysis_get_setup (const FaintAnalysis *self)
{
  return self->parts[0].spectrum->setup;
}

FaintLineList *
faint_analysis_get_lines (const FaintAnalysis *self)
{
  return self->lines;
}

FaintFit *
faint_analysis_get_fit (const FaintAnalysis *self)
{
  return self->parts[0].fit;
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
  const FaintFit *fit = self->parts[0].fit;

  for (gsize i = 0; i < self->n_parts; i++)
    if (self->parts[i].fit == NULL || self->parts[i].fit->spectrum != self->parts[i].spectrum)
      return FALSE;
  return self->fitted == self->lines && same_options (&fit->options, &self->options)
         && (!self->found || fit->options.find_rounds == self->options.find_rounds);
}

FaintAnalysis *
faint_analysis_with_setup (const FaintAnalysis *self, FaintSetup *setup, GError **error)
{
  return faint_analysis_with_setup_at (self, 0, setup, error);
}

FaintAnalysis *
faint_analysis_with_setup_at (const FaintAnalysis *self, gsize i, FaintSetup *setup, GError **error)
{
  FaintSpectrum *spectrum;
  FaintAnalysis *copy;

  g_return_val_if_fail (i < self->n_parts, NULL);
  spectrum = faint_spectrum_with_setup (self->parts[i].as_read, setup, error);
  if (spectrum == NULL)
    return NULL;
  copy = faint_analysis_copy (self);
  faint_spectrum_unref (copy->parts[i].spectrum);
  copy->parts[i].spectrum = spectrum;
  faint_analysis_settle_title (copy);
  return copy;
}

FaintAnalysis *
faint_analysis_with_lines (const FaintAnalysis *self, FaintLineList *lines)
{
  FaintAnalysis *copy = faint_analysis_copy (self);

  faint_analysis_set_lines (&copy->lines, faint_analysis_settle_lines (self, lines));
  return copy;
}

FaintAnalysis *
faint_analysis_with_options (const FaintAnalysis *self, const FaintFitOptions *options)
{
  FaintAnalysis *copy = faint_analysis_copy (self);

  copy->options = *options;
  return copy;
}

/* How a result came, and its lines. */
static void
take_lines (FaintAnalysis *self, FaintLineList *start, FaintLineList *lines, gboolean found)
{
  self->found = found;
  faint_analysis_set_lines (&self->start, start != NULL ? faint_line_list_ref (start) : NULL);
  faint_analysis_set_lines (&self->fitted, faint_line_list_ref (lines));
  faint_analysis_set_lines (&self->lines, faint_line_list_ref (lines));
}

FaintAnalysis *
faint_analysis_with_fit (const FaintAnalysis *self, FaintFit *fit)
{
  FaintAnalysis *copy;

  g_return_val_if_fail (self->n_parts == 1, NULL);
  copy = faint_analysis_copy (self);
  faint_analysis_drop_result (copy);
  copy->parts[0].fit = faint_fit_ref (fit);
  take_lines (copy, fit->start, fit->lines, fit->options.find_rounds > 0);
  return copy;
}

FaintAnalysis *
faint_analysis_with_joint (const FaintAnalysis *self, FaintJointFit *joint)
{
  FaintAnalysis *copy;
  FaintAnalysisResult *numbers;

  g_return_val_if_fail (self->n_parts == joint->n, NULL);
  copy = faint_analysis_copy (self);
  faint_analysis_drop_result (copy);
  for (gsize i = 0; i < joint->n; i++)
    copy->parts[i].fit = faint_fit_ref (joint->parts[i]);
  copy->joint = faint_joint_fit_ref (joint);
  copy->whole.warnings = faint_warnings_copy (joint->warnings);
  numbers = &copy->whole.numbers;
  *numbers = (FaintAnalysisResult){ .verdict = joint->verdict,
                                    .iterations = joint->iterations,
                                    .distance = joint->distance,
                                    .chi2 = joint->chi2,
                                    .dof = joint->dof,
                                    .chi2_reduced = joint->chi2_reduced,
                                    .energies = joint->energies };
  memcpy (numbers->determined, joint->determined, sizeof numbers->determined);
  take_lines (copy, joint->start, joint->lines, joint->options.find_rounds > 0);
  return copy;
}
