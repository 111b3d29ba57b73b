/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/merge.h"

#include <math.h>
#include <string.h>

#include "faint/base/words.h"
#include "faint/spectrum/spectrum-private.h"

/* Values that differ by less are the same number written twice. */
#define SAME 1e-12

/* What may differ between records of one sample. */
static const char *const may_differ[]
    = { "title", "repetition_rate", "offset_frequency", "recording_time", "excluded", NULL };

/* A sample of a field with its covariance in real and imaginary part; of power or amplitude xx
 * alone counts. */
typedef struct
{
  double frequency, value, value_im, xx, xy, yy;
} Sample;

static gboolean
same_value (const FaintSetup *a, const FaintSetup *b, const FaintSetupKey *key)
{
  g_autofree char *text_a = faint_setup_get (a, key->key);
  g_autofree char *text_b = faint_setup_get (b, key->key);
  FaintQuantity x, y;

  if (g_strcmp0 (text_a, text_b) == 0)
    return TRUE;
  if (text_a == NULL || text_b == NULL || key->kind != FAINT_SETUP_KIND_QUANTITY
      || !faint_quantity_parse (text_a, key->dimension, &x, NULL)
      || !faint_quantity_parse (text_b, key->dimension, &y, NULL))
    return FALSE;
  return fabs (x.value - y.value) <= SAME * fabs (x.value);
}

/* @a of the first and @b of record @number, from 0, do not agree; NULL where it is not stated. */
static gboolean
refuse_key (const char *key, const char *a, const char *b, gsize number, GError **error)
{
  if (a == NULL)
    g_set_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_VALUE,
                 _ ("The records cannot be put together: %s is not stated in the first and %s in "
                    "record %zu. Records that are interleaved must be of one sample in one cavity; "
                    "fit others side by side."),
                 key, b, number + 1);
  else if (b == NULL)
    g_set_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_VALUE,
                 _ ("The records cannot be put together: %s is %s in the first and not stated in "
                    "record %zu. Records that are interleaved must be of one sample in one cavity; "
                    "fit others side by side."),
                 key, a, number + 1);
  else
    g_set_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_VALUE,
                 _ ("The records cannot be put together: %s is %s in the first and %s in record "
                    "%zu. Records that are interleaved must be of one sample in one cavity; fit "
                    "others side by side."),
                 key, a, b, number + 1);
  return FALSE;
}

static gboolean
check_setups (const FaintSpectrum *first, const FaintSpectrum *other, gsize number, GError **error)
{
  gsize n;
  const FaintSetupKey *keys = faint_setup_keys (&n);

  for (gsize i = 0; i < n; i++)
    {
      g_autofree char *a = NULL, *b = NULL;

      if (g_strv_contains (may_differ, keys[i].key)
          || same_value (first->setup, other->setup, &keys[i]))
        continue;
      a = faint_setup_get (first->setup, keys[i].key);
      b = faint_setup_get (other->setup, keys[i].key);
      return refuse_key (keys[i].key, a, b, number, error);
    }
  if (first->polar == other->polar || first->u_estimated || other->u_estimated)
    return TRUE;
  if (first->polar)
    g_set_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_VALUE,
                 _ ("The records cannot be put together: the first states uncertainties of "
                    "amplitude and phase, record %zu of the other kind."),
                 number + 1);
  else
    g_set_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_VALUE,
                 _ ("The records cannot be put together: the first states uncertainties of real "
                    "and imaginary part, record %zu of the other kind."),
                 number + 1);
  return FALSE;
}

gboolean
faint_spectrum_may_merge (const FaintSpectrum *first, const FaintSpectrum *other)
{
  return check_setups (first, other, 1, NULL);
}

/* The direction of the field, from which u and u_im are counted where they are along and across. */
static void
direction (gboolean polar, double re, double im, double *c, double *s)
{
  double size = hypot (re, im);

  *c = polar && size > 0.0 ? re / size : 1.0;
  *s = polar && size > 0.0 ? im / size : 0.0;
}

static Sample
sample_at (const FaintSpectrum *self, gsize i)
{
  Sample sample = { .frequency = self->frequency[i], .value = self->value[i] };
  double along = self->u[i] * self->u[i], across, c, s;

  sample.xx = along;
  if (self->value_im == NULL)
    return sample;
  sample.value_im = self->value_im[i];
  across = self->u_im[i] * self->u_im[i];
  direction (self->polar, sample.value, sample.value_im, &c, &s);
  sample.xx = c * c * along + s * s * across;
  sample.xy = c * s * (along - across);
  sample.yy = s * s * along + c * c * across;
  return sample;
}

static void
invert (double *xx, double *xy, double *yy)
{
  double determinant = *xx * *yy - *xy * *xy, kept = *xx;

  *xx = *yy / determinant;
  *xy = -*xy / determinant;
  *yy = kept / determinant;
}

/* Weighted mean of two measurements of one tooth, and its variance (GUM H.1.3 gives the scalar
 * case; a field has a covariance matrix in the place of the variance). */
static Sample
average (Sample a, Sample b, gboolean field)
{
  Sample mean = a;
  double re, im;

  if (!field)
    {
      mean.xx = 1.0 / (1.0 / a.xx + 1.0 / b.xx);
      mean.value = mean.xx * (a.value / a.xx + b.value / b.xx);
      return mean;
    }
  invert (&a.xx, &a.xy, &a.yy);
  invert (&b.xx, &b.xy, &b.yy);
  re = a.xx * a.value + a.xy * a.value_im + b.xx * b.value + b.xy * b.value_im;
  im = a.xy * a.value + a.yy * a.value_im + b.xy * b.value + b.yy * b.value_im;
  mean.xx = a.xx + b.xx;
  mean.xy = a.xy + b.xy;
  mean.yy = a.yy + b.yy;
  invert (&mean.xx, &mean.xy, &mean.yy);
  mean.value = mean.xx * re + mean.xy * im;
  mean.value_im = mean.xy * re + mean.yy * im;
  return mean;
}

static void
put_sample (FaintSpectrum *self, gsize i, Sample sample)
{
  double c, s;

  self->frequency[i] = sample.frequency;
  self->value[i] = sample.value;
  if (self->value_im == NULL)
    {
      self->u[i] = sqrt (sample.xx);
      return;
    }
  self->value_im[i] = sample.value_im;
  direction (self->polar, sample.value, sample.value_im, &c, &s);
  self->u[i] = sqrt (c * c * sample.xx + 2.0 * c * s * sample.xy + s * s * sample.yy);
  self->u_im[i] = sqrt (s * s * sample.xx - 2.0 * c * s * sample.xy + c * c * sample.yy);
}

/* Which record has the lowest frequency next; n where all are used up. */
static gsize
next_record (FaintSpectrum *const *spectra, gsize n, const gsize *place)
{
  gsize next = n;

  for (gsize k = 0; k < n; k++)
    if (place[k] < spectra[k]->n
        && (next == n || spectra[k]->frequency[place[k]] < spectra[next]->frequency[place[next]]))
      next = k;
  return next;
}

/* Fills @merged and returns how many samples there are: fewer than all where some coincide. */
static gsize
interleave (FaintSpectrum *const *spectra, gsize n, FaintSpectrum *merged)
{
  g_autofree gsize *place = g_new0 (gsize, n);
  gboolean field = merged->value_im != NULL;
  gsize filled = 0;
  Sample last = { 0 };

  for (gsize k = next_record (spectra, n, place); k < n; k = next_record (spectra, n, place))
    {
      Sample sample = sample_at (spectra[k], place[k]++);

      if (filled > 0 && sample.frequency == last.frequency)
        last = average (last, sample, field);
      else
        {
          filled++;
          last = sample;
        }
      put_sample (merged, filled - 1, last);
    }
  return filled;
}

static gboolean
same_comb (FaintSpectrum *const *spectra, gsize n)
{
  const FaintSetup *first = spectra[0]->setup;

  for (gsize k = 0; k < n; k++)
    {
      const FaintSetup *setup = spectra[k]->setup;

      if (spectra[k]->axis != FAINT_AXIS_TOOTH
          || setup->repetition_rate.value != first->repetition_rate.value
          || setup->offset_frequency.value != first->offset_frequency.value)
        return FALSE;
    }
  return TRUE;
}

/* What a record excludes, the merged one does. */
static void
add_excluded (const FaintSetup *from, FaintSetup *to)
{
  g_autofree char *one = faint_setup_get (from, "excluded");
  g_autofree char *other = faint_setup_get (to, "excluded");
  g_autofree char *both = NULL;

  if (one == NULL)
    return;
  if (other != NULL)
    {
      other[strlen (other) - strlen (" cm-1")] = '\0';
      both = g_strconcat (other, ", ", one, NULL);
    }
  faint_setup_set (to, "excluded", both != NULL ? both : one, NULL, NULL);
}

/* The setup of the first, with the time of all records where each states its own. */
static FaintSetup *
merged_setup (FaintSpectrum *const *spectra, gsize n)
{
  FaintSetup *setup = faint_setup_copy (spectra[0]->setup);

  for (gsize k = 1; k < n; k++)
    {
      add_excluded (spectra[k]->setup, setup);
      setup->recording_time.value += spectra[k]->setup->recording_time.value;
      setup->recording_time.u
          = hypot (setup->recording_time.u, spectra[k]->setup->recording_time.u);
    }
  if (!faint_quantity_is_known (setup->recording_time))
    setup->recording_time = FAINT_QUANTITY_UNKNOWN;
  return setup;
}

/* Uncertainties that were all estimated are estimated again, from all samples together. */
static void
settle_uncertainties (FaintSpectrum *const *spectra, gsize n, FaintSpectrum *merged)
{
  gboolean all = TRUE;

  for (gsize k = 0; k < n; k++)
    {
      all &= spectra[k]->u_estimated;
      faint_spectrum_copy_reading_warnings (spectra[k], merged);
    }
  if (!all)
    return;
  memset (merged->u, 0, merged->n * sizeof *merged->u);
  if (merged->u_im != NULL)
    memset (merged->u_im, 0, merged->n * sizeof *merged->u_im);
}

FaintSpectrum *
faint_spectrum_merge (FaintSpectrum *const *spectra, gsize n, GError **error)
{
  g_autoptr (FaintSetup) setup = NULL;
  g_autoptr (FaintSpectrum) merged = NULL;
  gsize total = 0;

  g_return_val_if_fail (n > 0, NULL);
  for (gsize k = 0; k < n; k++)
    {
      if (!check_setups (spectra[0], spectra[k], k, error))
        return NULL;
      total += spectra[k]->n;
    }
  setup = merged_setup (spectra, n);
  merged = faint_spectrum_new (total, setup);
  merged->axis = same_comb (spectra, n) ? FAINT_AXIS_TOOTH : FAINT_AXIS_FREQUENCY;
  for (gsize k = 0; k < n; k++)
    merged->polar |= spectra[k]->polar;
  merged->n = interleave (spectra, n, merged);
  settle_uncertainties (spectra, n, merged);
  if (!faint_spectrum_finish (merged, error))
    return NULL;
  return g_steal_pointer (&merged);
}
