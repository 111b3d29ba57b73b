/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/assign/evidence.h"

#include <math.h>
#include <stdlib.h>

#define NEIGHBOURS 6        /* on either side, for the local density */
#define STRENGTH_TRUST 0.15 /* of ln S: Herman-Wallis factor, blends */
#define STRENGTH_WRONG 0.05 /* share of strengths that tell nothing */
#define ENERGY_WRONG 0.02   /* of energies */
#define ENERGY_RANGE 2000.0 /* cm-1: a line of chance has some energy below that */

void
faint_assign_options_init (FaintAssignOptions *options)
{
  *options = (FaintAssignOptions){
    .coverage = 4.0,
    .change_b = 0.05,
    .roughness = 5e-4,
    .displacement = 0.1,
    .temperature = 296.0,
    .least_odds = 8.0,
    .margin = 4.0,
    .u_position = 1e-3,
    .longest_gap = 5,
    .attempts = 4000,
  };
}

/* The noise alone differs between lines of one spectrum; a common part cancels in differences. */
static double
position_u (const FaintLine *line, const FaintAssignOptions *options)
{
  if (isfinite (line->position.u_noise) && line->position.u_noise > 0.0)
    return line->position.u_noise;
  if (isfinite (line->position.u) && line->position.u > 0.0)
    return line->position.u;
  return options->u_position;
}

static void
take_line (FaintObserved *self, const FaintLine *line, const FaintAssignOptions *options)
{
  gsize i = self->n++;
  double s = line->strength.value, u = line->strength.u;

  self->id[i] = line->id;
  self->nu[i] = line->position.value;
  self->u[i] = position_u (line, options);
  self->n_without_u += !(line->position.u > 0.0) && !(line->position.u_noise > 0.0);
  self->u_most = fmax (self->u_most, self->u[i]);
  self->log_strength[i] = s > 0.0 && isfinite (s) ? log (s) : NAN;
  self->u_log[i] = s > 0.0 && isfinite (u) ? u / s : 0.0;
  self->energy[i] = self->u_energy[i] = NAN;
  if ((line->flags & FAINT_LINE_ENERGY_FITTED) && isfinite (line->lower_energy)
      && line->u_lower_energy > 0.0)
    {
      self->energy[i] = line->lower_energy;
      self->u_energy[i] = line->u_lower_energy;
    }
}

static void
find_density (FaintObserved *self)
{
  for (gsize i = 0; i < self->n; i++)
    {
      gsize from = i > NEIGHBOURS ? i - NEIGHBOURS : 0, to = MIN (i + NEIGHBOURS, self->n - 1);
      double span = self->nu[to] - self->nu[from];

      self->density[i] = to > from ? (double)(to - from) / fmax (span, 1e-12) : 1.0;
    }
}

static int
compare (const void *a, const void *b)
{
  double x = *(const double *)a, y = *(const double *)b;

  return (x > y) - (x < y);
}

static void
describe_strengths (FaintObserved *self)
{
  g_autofree double *known = g_new (double, self->n + 1);
  double sum = 0.0, square = 0.0;
  gsize n = 0;

  for (gsize i = 0; i < self->n; i++)
    if (isfinite (self->log_strength[i]))
      known[n++] = self->log_strength[i];
  self->mean_log = self->spread_log = self->limit_log = NAN;
  if (n < 3)
    return;
  for (gsize i = 0; i < n; i++)
    sum += known[i];
  self->mean_log = sum / (double)n;
  for (gsize i = 0; i < n; i++)
    square += (known[i] - self->mean_log) * (known[i] - self->mean_log);
  self->spread_log = fmax (sqrt (square / (double)(n - 1)), 0.3);
  qsort (known, n, sizeof *known, compare);
  self->limit_log = known[n / 20];
}

FaintObserved *
faint_observed_new (const FaintLineList *list, const FaintAssignOptions *options)
{
  FaintObserved *self = g_new0 (FaintObserved, 1);
  gsize n = faint_line_list_get_n (list);

  self->id = g_new (guint, n + 1);
  self->nu = g_new (double, n + 1);
  self->u = g_new (double, n + 1);
  self->log_strength = g_new (double, n + 1);
  self->u_log = g_new (double, n + 1);
  self->energy = g_new (double, n + 1);
  self->u_energy = g_new (double, n + 1);
  self->density = g_new (double, n + 1);
  for (gsize i = 0; i < n; i++)
    {
      const FaintLine *line = faint_line_list_get (list, i);

      if (!(line->flags & FAINT_LINE_EXCLUDED) && isfinite (line->position.value))
        take_line (self, line, options);
    }
  find_density (self);
  describe_strengths (self);
  return self;
}

void
faint_observed_free (FaintObserved *self)
{
  if (self == NULL)
    return;
  g_free (self->id);
  g_free (self->nu);
  g_free (self->u);
  g_free (self->log_strength);
  g_free (self->u_log);
  g_free (self->energy);
  g_free (self->u_energy);
  g_free (self->density);
  g_free (self);
}

gsize
faint_observed_from (const FaintObserved *self, double nu)
{
  gsize low = 0, high = self->n;

  while (low < high)
    {
      gsize middle = low + (high - low) / 2;

      if (self->nu[middle] < nu)
        low = middle + 1;
      else
        high = middle;
    }
  return low;
}

double
faint_evidence_position (const FaintObserved *self, gsize i, double r, double variance)
{
  return -0.5 * r * r / variance - log (self->density[i] * sqrt (2.0 * G_PI * variance));
}

static double
normal (double r, double s)
{
  return exp (-0.5 * r * r / (s * s)) / (s * sqrt (2.0 * G_PI));
}

double
faint_evidence_strength (const FaintObserved *self, gsize i, double expected)
{
  double s = hypot (self->u_log[i], STRENGTH_TRUST), here = self->log_strength[i], chance;

  if (!isfinite (expected) || !isfinite (here) || !isfinite (self->spread_log))
    return 0.0;
  chance = normal (here - self->mean_log, self->spread_log);
  chance = fmax (chance, 0.01 / self->spread_log);
  return log (STRENGTH_WRONG + (1.0 - STRENGTH_WRONG) * normal (here - expected, s) / chance);
}

double
faint_evidence_ratio (const FaintObserved *self, gsize i, gsize k, double difference)
{
  double here = self->log_strength[i] - self->log_strength[k];
  double s = sqrt (self->u_log[i] * self->u_log[i] + self->u_log[k] * self->u_log[k]
                   + 2.0 * STRENGTH_TRUST * STRENGTH_TRUST);
  double spread = G_SQRT2 * self->spread_log;

  if (!isfinite (here) || !isfinite (difference) || !isfinite (spread))
    return 0.0;
  return log (STRENGTH_WRONG
              + (1.0 - STRENGTH_WRONG) * normal (here - difference, s)
                    / fmax (normal (here, spread), 0.01 / spread));
}

double
faint_evidence_energy (const FaintObserved *self, gsize i, double energy)
{
  double u = self->u_energy[i];

  if (!isfinite (u))
    return 0.0;
  return log (ENERGY_WRONG
              + (1.0 - ENERGY_WRONG) * normal (self->energy[i] - energy, u) * ENERGY_RANGE);
}
