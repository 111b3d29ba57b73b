/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/base/units.h"
#include "faint/base/words.h"
#include "faint/strength/partition-private.h"

#include <gsl/gsl_errno.h>
#include <math.h>

/* Levels above this exponent of Boltzmann's factor are left out: exp(-50) of the sum. */
#define LAST_EXPONENT 50.0
/* Constants whose levels stop rising below this exponent are not good for the temperature: what is
 * missing is exp(-20), 2e-9 of the sum. */
#define LEAST_EXPONENT 20.0
/* A molecule so heavy and hot that B/(kT) is less would need more than 200 000 levels. */
#define LEAST_QUANTUM 1e-9

GQuark
faint_partition_error_quark (void)
{
  return g_quark_from_static_string ("faint-partition-error-quark");
}

FaintPartition *
faint_partition_new_empty (const char *name)
{
  FaintPartition *self = g_new0 (FaintPartition, 1);

  self->name = g_strdup (name);
  self->weight_even = self->weight_odd = 1.0;
  self->vibrations = g_array_new (FALSE, FALSE, sizeof (FaintVibration));
  return self;
}

FaintPartition *
faint_partition_new_linear (double b, double d, double weight_even, double weight_odd,
                            const double *vibrations, const guint *degeneracies, gsize n)
{
  FaintPartition *self = faint_partition_new_empty ("linear molecule");

  self->b = b;
  self->d = d;
  self->weight_even = weight_even;
  self->weight_odd = weight_odd;
  for (gsize i = 0; i < n; i++)
    {
      FaintVibration vibration = { vibrations[i], degeneracies[i] };

      g_array_append_val (self->vibrations, vibration);
    }
  return self;
}

/* A natural cubic: ln Q is close to a straight line over ln T, and a table of Q is computed, so
 * there is no scatter to swing on. */
gboolean
faint_partition_set_table (FaintPartition *self, const double *temperature, const double *q,
                           gsize n)
{
  g_autofree double *x = g_new (double, n);
  g_autofree double *y = g_new (double, n);

  for (gsize i = 0; i < n; i++)
    {
      x[i] = log (temperature[i]);
      y[i] = log (q[i]);
    }
  self->coldest = temperature[0];
  self->hottest = temperature[n - 1];
  self->spline = gsl_spline_alloc (n > 2 ? gsl_interp_cspline : gsl_interp_linear, n);
  return self->spline != NULL && gsl_spline_init (self->spline, x, y, n) == GSL_SUCCESS;
}

void
faint_partition_free (FaintPartition *self)
{
  if (self == NULL)
    return;
  if (self->spline != NULL)
    gsl_spline_free (self->spline);
  g_array_unref (self->vibrations);
  g_free (self->name);
  g_free (self);
}

static gboolean
sum_of_table (const FaintPartition *self, double temperature, double *q, GError **error)
{
  double logarithm;

  if (!(temperature >= self->coldest && temperature <= self->hottest))
    {
      g_set_error (error, FAINT_PARTITION_ERROR, FAINT_PARTITION_ERROR_RANGE,
                   _ ("%s gives partition sums from %s K to %s K, but one is needed at %s K: "
                      "extend the table."),
                   self->name, FAINT_NUMBER ("%g", self->coldest),
                   FAINT_NUMBER ("%g", self->hottest), FAINT_NUMBER ("%g", temperature));
      return FALSE;
    }
  /* Rounding of the logarithm must not leave the table at its own ends. */
  logarithm = CLAMP (log (temperature), self->spline->interp->xmin, self->spline->interp->xmax);
  *q = exp (gsl_spline_eval (self->spline, logarithm, NULL));
  return TRUE;
}

/* Sum of g (2J+1) exp(-c2 F/T), F = B J(J+1) - D (J(J+1))^2, until the levels do not matter.
 * NAN where they stop rising before. */
static double
rotational_sum (const FaintPartition *self, double temperature)
{
  const double factor = FAINT_C2_CM_K / temperature;
  double sum = 0.0, exponent = 0.0;

  if (!(factor * self->b >= LEAST_QUANTUM))
    return NAN;
  for (guint j = 0;; j++)
    {
      double product = (double)j * (j + 1.0);
      double now = factor * product * (self->b - self->d * product);

      if (j > 0 && !(now > exponent))
        return exponent > LEAST_EXPONENT ? sum : NAN;
      exponent = now;
      if (exponent > LAST_EXPONENT)
        return sum;
      sum += (j % 2 == 0 ? self->weight_even : self->weight_odd) * (2.0 * j + 1.0)
             * exp (-exponent);
    }
}

/* Product of (1 - exp(-c2 nu/T))^-d: harmonic vibrations that do not change the rotation
 * (Herzberg, Molecular Spectra and Molecular Structure II (1945), ch. V). */
static double
vibrational_factor (const FaintPartition *self, double temperature)
{
  double product = 1.0;

  for (guint i = 0; i < self->vibrations->len; i++)
    {
      FaintVibration vibration = g_array_index (self->vibrations, FaintVibration, i);

      product *= pow (-expm1 (-FAINT_C2_CM_K * vibration.wavenumber / temperature),
                      -(double)vibration.degeneracy);
    }
  return product;
}

gboolean
faint_partition_sum (const FaintPartition *self, double temperature, double *q, GError **error)
{
  double sum = NAN;

  if (self->spline != NULL)
    return sum_of_table (self, temperature, q, error);
  if (temperature > 0.0 && isfinite (temperature))
    sum = rotational_sum (self, temperature);
  if (isnan (sum))
    {
      g_set_error (
          error, FAINT_PARTITION_ERROR, FAINT_PARTITION_ERROR_RANGE,
          _ ("%s: the constants B = %s cm-1 and D = %s cm-1 give no partition sum at %s K; "
             "expected a temperature above 0 at which the levels that matter still rise."),
          self->name, FAINT_NUMBER ("%g", self->b), FAINT_NUMBER ("%g", self->d),
          FAINT_NUMBER ("%g", temperature));
      return FALSE;
    }
  *q = sum * vibrational_factor (self, temperature);
  return TRUE;
}
