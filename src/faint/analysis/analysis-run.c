/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The fit of the analysis: of its spectrum, or of its series.
 */
#include "faint/analysis/analysis-private.h"
#include "faint/base/units.h"
#include "faint/base/words.h"
#include "faint/fit/fit-private.h"
#include "faint/strength/budget.h"

/* Lines to begin with. While nobody touched what the last fit gave, the same kind of fit begins
 * where that one began, so that it gives the same again. */
static FaintLineList *
start_of (const FaintAnalysis *self, gboolean find)
{
  if (self->fitted != NULL && self->lines == self->fitted && find == self->found)
    return self->start;
  return faint_line_list_get_n (self->lines) > 0 ? self->lines : NULL;
}

/* Lines are given unless they are to be found. */
static FaintFitOptions
options_for (const FaintAnalysis *self, gboolean find)
{
  FaintFitOptions options = self->options;

  if (!find)
    options.find_rounds = 0;
  return options;
}

FaintFit *
faint_analysis_run (const FaintAnalysis *self, gboolean find, const FaintProgress *progress,
                    GError **error)
{
  FaintSpectrum *spectrum = self->parts[0].spectrum;
  g_autoptr (FaintPartition) partition = NULL;
  g_autoptr (FaintFit) fit = NULL;
  g_autoptr (FaintFit) labelled = NULL;
  FaintLineList *start = start_of (self, find);
  FaintFitOptions options = options_for (self, find);

  g_return_val_if_fail (self->n_parts == 1, NULL);
  if (!faint_setup_check (spectrum->setup, error))
    return NULL;
  if (spectrum->setup->partition_sums != NULL)
    {
      partition = faint_partition_read (spectrum->setup->partition_sums, error);
      if (partition == NULL)
        return NULL;
    }
  fit = faint_fit_run (spectrum, start, &options, progress, error);
  if (fit == NULL)
    return NULL;
  labelled = faint_fit_with_lines (fit, faint_analysis_carry_labels (self, start, fit->lines));
  return faint_budget_apply (labelled, partition, error);
}

/* Says of which spectrum @error tells. */
static void
prefix_spectrum (const FaintAnalysis *self, gsize i, GError **error)
{
  g_autofree char *name = NULL;

  for (gsize k = self->n_inputs; k-- > 0;)
    if (self->inputs[k].spectrum == i)
      {
        g_free (name);
        name = g_path_get_basename (self->inputs[k].path);
      }
  g_prefix_error (error, _ ("Spectrum %zu (%s): "), i + 1, name != NULL ? name : "-");
}

/* What Q(T) is at the temperature of each spectrum and at 296 K. */
typedef struct
{
  FaintPartition *partition; /* the first that is stated, or NULL */
  double *sums;              /* NULL unless all are known */
} Sums;

static void
sums_clear (Sums *self)
{
  g_clear_pointer (&self->partition, faint_partition_free);
  g_clear_pointer (&self->sums, g_free);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Sums, sums_clear)

/* The sum of spectrum @i from its own file, or from the first one stated. FALSE on an error. */
static gboolean
add_sum (Sums *self, const FaintAnalysis *analysis, gsize i, GError **error)
{
  const FaintSetup *setup = analysis->parts[i].spectrum->setup;
  g_autoptr (FaintPartition) own = NULL;
  double reference, own_reference;

  if (setup->partition_sums != NULL)
    {
      own = faint_partition_read (setup->partition_sums, error);
      if (own == NULL
          || !faint_partition_sum (own, FAINT_REFERENCE_TEMPERATURE_K, &own_reference, error)
          || !faint_partition_sum (self->partition, FAINT_REFERENCE_TEMPERATURE_K, &reference,
                                   error))
        return FALSE;
      if (fabs (own_reference - reference) > 1e-9 * reference)
        {
          g_set_error (error, FAINT_ANALYSIS_ERROR, FAINT_ANALYSIS_ERROR_INPUT,
                       _ ("%s gives another Q(296 K), %s, than the first partition sums of the "
                          "series, %s. State one file for all spectra."),
                       setup->partition_sums, FAINT_NUMBER ("%g", own_reference),
                       FAINT_NUMBER ("%g", reference));
          return FALSE;
        }
    }
  return faint_partition_sum (own != NULL ? own : self->partition, setup->temperature.value,
                              &self->sums[i], error);
}

static gboolean
gather_sums (Sums *self, const FaintAnalysis *analysis, GError **error)
{
  const char *path = NULL;
  gsize n = analysis->n_parts;

  for (gsize i = 0; path == NULL && i < n; i++)
    path = analysis->parts[i].spectrum->setup->partition_sums;
  if (path == NULL)
    return TRUE;
  self->partition = faint_partition_read (path, error);
  if (self->partition == NULL)
    return FALSE;
  self->sums = g_new (double, n + 1);
  for (gsize i = 0; i < n; i++)
    if (!add_sum (self, analysis, i, error))
      {
        prefix_spectrum (analysis, i, error);
        return FALSE;
      }
  return faint_partition_sum (self->partition, FAINT_REFERENCE_TEMPERATURE_K, &self->sums[n],
                              error);
}

FaintJointFit *
faint_analysis_run_joint (const FaintAnalysis *self, gboolean find, const FaintProgress *progress,
                          GError **error)
{
  g_autofree FaintSpectrum **spectra = g_new (FaintSpectrum *, self->n_parts);
  g_auto (Sums) sums = { NULL };
  g_autoptr (FaintJointFit) joint = NULL;
  g_autoptr (FaintJointFit) labelled = NULL;
  FaintLineList *start = start_of (self, find);
  FaintFitOptions options = options_for (self, find);

  g_return_val_if_fail (self->n_parts > 1, NULL);
  for (gsize i = 0; i < self->n_parts; i++)
    {
      spectra[i] = self->parts[i].spectrum;
      if (!faint_setup_check (spectra[i]->setup, error))
        {
          prefix_spectrum (self, i, error);
          return NULL;
        }
    }
  if (!gather_sums (&sums, self, error))
    return NULL;
  joint = faint_joint_fit_run (spectra, self->n_parts, start, &options, sums.sums, progress, error);
  if (joint == NULL)
    return NULL;
  labelled
      = faint_joint_fit_with_lines (joint, faint_analysis_carry_labels (self, start, joint->lines));
  return faint_joint_budget_apply (labelled, sums.partition, error);
}

FaintAnalysis *
faint_analysis_compute (const FaintAnalysis *self, gboolean find, const FaintProgress *progress,
                        GError **error)
{
  g_autoptr (FaintFit) fit = NULL;
  g_autoptr (FaintJointFit) joint = NULL;

  if (self->n_parts > 1)
    {
      joint = faint_analysis_run_joint (self, find, progress, error);
      return joint != NULL ? faint_analysis_with_joint (self, joint) : NULL;
    }
  fit = faint_analysis_run (self, find, progress, error);
  return fit != NULL ? faint_analysis_with_fit (self, fit) : NULL;
}
