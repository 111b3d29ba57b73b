/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From inputs to spectra: those of equal conditions in one cavity are merged, others make a series.
 */
#include <string.h>

#include "faint/analysis/analysis-private.h"
#include "faint/base/words.h"
#include "faint/spectrum/merge.h"

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

/* What all spectra of a series have in common; not stated is not another. */
static gboolean
check_molecule (const FaintSpectrum *first, const FaintSpectrum *other, gsize number,
                GError **error)
{
  static const char *const keys[] = { "molar_mass", "isotopic_abundance" };
  const FaintSetup *a = first->setup, *b = other->setup;
  const FaintQuantity pairs[][2]
      = { { a->molar_mass, b->molar_mass }, { a->abundance, b->abundance } };

  for (gsize i = 0; i < G_N_ELEMENTS (keys); i++)
    {
      g_autofree char *one = faint_setup_get (a, keys[i]);
      g_autofree char *another = faint_setup_get (b, keys[i]);

      if (one == NULL || another == NULL
          || fabs (pairs[i][0].value - pairs[i][1].value) <= 1e-12 * pairs[i][0].value)
        continue;
      g_set_error (error, FAINT_ANALYSIS_ERROR, FAINT_ANALYSIS_ERROR_INPUT,
                   _ ("The inputs cannot be fitted together: %s is %s in the first and %s in input "
                      "%zu. A series is of one molecule under several conditions; fit other "
                      "molecules by themselves."),
                   keys[i], one, another, number + 1);
      return FALSE;
    }
  return TRUE;
}

/* Fills @parts: each input goes to the first spectrum whose first input it may be merged with.
 * Returns their number, 0 on an error. */
static gsize
group (FaintSpectrum *const *spectra, gsize n, gsize *parts, GError **error)
{
  g_autofree gsize *first = g_new (gsize, n);
  gsize n_parts = 0;

  for (gsize i = 0; i < n; i++)
    {
      gsize k = 0;

      if (!check_molecule (spectra[0], spectra[i], i, error))
        return 0;
      while (k < n_parts && !faint_spectrum_may_merge (spectra[first[k]], spectra[i]))
        k++;
      if (k == n_parts)
        first[n_parts++] = i;
      parts[i] = k;
    }
  return n_parts;
}

static gsize
count (const gsize *parts, gsize n)
{
  gsize n_parts = 0;

  for (gsize i = 0; i < n; i++)
    n_parts = MAX (n_parts, parts[i] + 1);
  return n_parts;
}

/* Spectrum @k: its only input, or its inputs merged. */
static FaintSpectrum *
part_of (FaintSpectrum *const *spectra, const gsize *parts, gsize n, gsize k, GError **error)
{
  g_autofree FaintSpectrum **mine = g_new (FaintSpectrum *, n);
  gsize n_mine = 0;

  for (gsize i = 0; i < n; i++)
    if (parts[i] == k)
      mine[n_mine++] = spectra[i];
  return n_mine == 1 ? faint_spectrum_ref (mine[0]) : faint_spectrum_merge (mine, n_mine, error);
}

static FaintAnalysis *
make_parts (FaintSpectrum *const *spectra, const gsize *parts, gsize n, gsize n_parts,
            GError **error)
{
  g_autofree FaintSpectrum **made = g_new0 (FaintSpectrum *, n_parts);

  for (gsize k = 0; k < n_parts; k++)
    {
      made[k] = part_of (spectra, parts, n, k, error);
      if (made[k] == NULL)
        {
          unref_spectra (made, k);
          return NULL;
        }
    }
  return faint_analysis_new_of_parts (made, n_parts, n);
}

static void
add_named (GPtrArray *warnings, const char *path, const GPtrArray *more)
{
  g_autofree char *name = g_path_get_basename (path);

  for (guint k = 0; k < more->len; k++)
    {
      const FaintWarning *warning = g_ptr_array_index (more, k);
      faint_warnings_add (warnings, warning->code, N_ ("%s: %s"), name, warning->text);
    }
}

/* What reading and merging say, each input by its name where there are several. */
static void
gather_warnings (FaintAnalysis *self, FaintSpectrum *const *spectra)
{
  if (self->n_parts == 1)
    faint_warnings_extend (self->warnings, self->parts[0].as_read->warnings);
  for (gsize i = 0; self->n_inputs > 1 && i < self->n_inputs; i++)
    add_named (self->warnings, self->inputs[i].path, spectra[i]->warnings);
}

FaintAnalysis *
faint_analysis_read_inputs (const char *const *paths, const char *const *columns,
                            const gsize *parts, gsize n, const FaintReadOptions *options,
                            const FaintProgress *progress, GError **error)
{
  g_autofree FaintSpectrum **spectra = g_new0 (FaintSpectrum *, n);
  g_autofree gsize *grouped = g_new0 (gsize, n);
  FaintAnalysis *self = NULL;
  gsize n_parts;

  if (!read_spectra (paths, columns, n, options, progress, spectra, error))
    return NULL;
  if (parts != NULL)
    memcpy (grouped, parts, n * sizeof *parts);
  n_parts = parts != NULL ? count (grouped, n) : group (spectra, n, grouped, error);
  if (n_parts > 0)
    self = make_parts (spectra, grouped, n, n_parts, error);
  for (gsize i = 0; self != NULL && i < n; i++)
    {
      const char *map = columns != NULL ? columns[i] : options != NULL ? options->columns : NULL;
      faint_analysis_fill_input (&self->inputs[i], spectra[i], map, grouped[i]);
    }
  if (self != NULL)
    gather_warnings (self, spectra);
  unref_spectra (spectra, n);
  return self;
}
