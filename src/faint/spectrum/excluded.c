/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Teeth that the setup leaves out of every fit.
 */
#include "faint/spectrum/spectrum-private.h"

#include <string.h>

static double *
without (const double *u, const guint8 *excluded, gsize n)
{
  double *left = g_memdup2 (u, n * sizeof (double));

  for (gsize i = 0; i < n; i++)
    if (excluded[i])
      left[i] = INFINITY;
  return left;
}

static void
mark (guint8 *excluded, const FaintSpectrum *self, const GArray *ranges)
{
  for (guint k = 0; k < ranges->len; k++)
    {
      const FaintSetupRange *range = &g_array_index (ranges, FaintSetupRange, k);

      for (gsize i = faint_spectrum_index (self, range->lower);
           i < self->n && self->wavenumber[i] <= range->upper; i++)
        excluded[i] = 1;
    }
}

void
faint_spectrum_mark_excluded (FaintSpectrum *self)
{
  g_autofree guint8 *excluded = NULL;

  self->fit_u = self->u;
  self->fit_u_im = self->u_im;
  if (self->setup->excluded == NULL)
    return;
  excluded = g_new0 (guint8, self->n);
  mark (excluded, self, self->setup->excluded);
  for (gsize i = 0; i < self->n; i++)
    self->n_excluded += excluded[i];
  if (self->n_excluded == 0)
    return;
  self->excluded = g_steal_pointer (&excluded);
  self->fit_u = without (self->u, self->excluded, self->n);
  if (self->u_im != NULL)
    self->fit_u_im = without (self->u_im, self->excluded, self->n);
}

void
faint_spectrum_clear_excluded (FaintSpectrum *self)
{
  if (self->fit_u != self->u)
    g_free (self->fit_u);
  if (self->fit_u_im != self->u_im)
    g_free (self->fit_u_im);
  g_clear_pointer (&self->excluded, g_free);
}

gsize
faint_spectrum_count_used (const FaintSpectrum *self, gsize first, gsize n)
{
  gsize used = n;

  for (gsize i = first; self->excluded != NULL && i < first + n; i++)
    used -= self->excluded[i];
  return used;
}

/* Midway between teeth @i - 1 and @i, of no more digits than it takes; beyond the ends as far. */
static double
border (const FaintSpectrum *self, gsize i)
{
  gsize upper = CLAMP (i, 1, self->n - 1);
  double gap = self->wavenumber[upper] - self->wavenumber[upper - 1];
  double middle = self->wavenumber[upper - 1] + (0.5 + (double)i - (double)upper) * gap;
  double step = pow (10.0, floor (log10 (gap)) - 2.0);

  return round (middle / step) * step;
}

static GArray *
ranges_of (const FaintSpectrum *self, const guint8 *excluded)
{
  GArray *ranges = g_array_new (FALSE, FALSE, sizeof (FaintSetupRange));

  for (gsize i = 0; i < self->n;)
    {
      FaintSetupRange range;

      if (!excluded[i])
        {
          i++;
          continue;
        }
      range.lower = border (self, i);
      while (i < self->n && excluded[i])
        i++;
      range.upper = border (self, i);
      g_array_append_val (ranges, range);
    }
  return ranges;
}

GArray *
faint_spectrum_excluding (const FaintSpectrum *self, double lower, double upper, gboolean exclude,
                          gsize *n_changed)
{
  g_autofree guint8 *excluded
      = self->excluded != NULL ? g_memdup2 (self->excluded, self->n) : g_new0 (guint8, self->n);

  *n_changed = 0;
  for (gsize i = faint_spectrum_index (self, lower); i < self->n && self->wavenumber[i] <= upper;
       i++)
    {
      *n_changed += excluded[i] != (guint8)exclude;
      excluded[i] = (guint8)exclude;
    }
  return ranges_of (self, excluded);
}
