/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where the lines of a joint fit begin: from what each spectrum says of them, or a list.
 */
#include "faint/fit/joint-search.h"

#include <math.h>

#include "faint/base/units.h"
#include "faint/lines/conversion.h"
#include "faint/shape/voigt.h"
#include "faint/spectrum/rank.h"

/* Lines of two spectra this many half widths apart are one. */
#define SAME 0.7
/* Before the lines have told: exponent of the width's temperature dependence (common practice, no
 * source), and lower-state energy, cm-1. */
#define USUAL_EXPONENT 0.7
#define USUAL_ENERGY 500.0

static double
half_width (const FaintLine *line)
{
  return faint_voigt_hwhm (line->doppler.value, line->lorentz.value);
}

/* What one spectrum says of a line. */
typedef struct
{
  gsize spectrum;
  double position, strength, u_strength, lorentz, u_lorentz, doppler;
} Sighting;

/* Lower-state energy and strength at the reference from strengths at several temperatures: a
 * straight line of ln(S/S at zero energy) over c2 (1/T_ref - 1/T), weighted. */
static void
begin_strength (const FaintConditions *c, const GArray *seen, double energy, double *value)
{
  double sw = 0.0, sx = 0.0, sy = 0.0, sxx = 0.0, sxy = 0.0, slope, determinant;

  for (guint k = 0; k < seen->len; k++)
    {
      const Sighting *at = &g_array_index (seen, Sighting, k);
      double t = c->temperature[at->spectrum], x, y, weight;

      if (!(at->strength > 0.0))
        continue;
      x = FAINT_C2_CM_K * (1.0 / c->reference_temperature - 1.0 / t);
      y = log (at->strength
               / faint_strength_ratio (at->position, 0.0, c->reference_temperature, t,
                                       c->reference_q / c->q[at->spectrum]));
      weight = at->u_strength > 0.0 ? pow (at->strength / at->u_strength, 2.0) : 1.0;
      sw += weight;
      sx += weight * x;
      sy += weight * y;
      sxx += weight * x * x;
      sxy += weight * x * y;
    }
  determinant = sw * sxx - sx * sx;
  slope
      = c->energies && determinant > 1e-6 * sw * sxx ? (sw * sxy - sx * sy) / determinant : energy;
  value[FAINT_JOINT_ENERGY] = CLAMP (slope, 0.0, 5e3);
  value[FAINT_JOINT_STRENGTH] = sw > 0.0 ? exp ((sy - value[FAINT_JOINT_ENERGY] * sx) / sw) : NAN;
}

/* One common coefficient from the widths: weighted mean of width over counted pressure. */
static void
begin_widths (const FaintConditions *c, const GArray *seen, double *value)
{
  double sum = 0.0, weights = 0.0;

  value[FAINT_JOINT_EXPONENT] = USUAL_EXPONENT;
  for (guint k = 0; k < seen->len; k++)
    {
      const Sighting *at = &g_array_index (seen, Sighting, k);
      double factor
          = c->energies
                ? pow (FAINT_REFERENCE_TEMPERATURE_K / c->temperature[at->spectrum], USUAL_EXPONENT)
                : 1.0;
      double pressure = factor * (c->part[0][at->spectrum] + c->part[1][at->spectrum]);
      double weight = at->u_lorentz > 0.0 ? 1.0 / (at->u_lorentz * at->u_lorentz) : 1.0;

      sum += weight * pressure * at->lorentz;
      weights += weight * pressure * pressure;
    }
  value[FAINT_JOINT_BROADENING_A] = value[FAINT_JOINT_BROADENING_B]
      = weights > 0.0 ? sum / weights : 0.0;
}

/* Joint values from what the spectra say of the line. */
static void
begin_line (const FaintJoint *self, const GArray *seen, FaintJointLine *line)
{
  const FaintConditions *c = self->conditions;
  const Sighting *best = &g_array_index (seen, Sighting, 0);

  for (guint k = 1; k < seen->len; k++)
    {
      const Sighting *at = &g_array_index (seen, Sighting, k);
      if (at->strength / at->u_strength > best->strength / best->u_strength)
        best = at;
    }
  line->value[FAINT_JOINT_POSITION] = best->position;
  line->value[FAINT_JOINT_SHIFT_A] = line->value[FAINT_JOINT_SHIFT_B] = 0.0;
  begin_strength (c, seen, USUAL_ENERGY, line->value);
  begin_widths (c, seen, line->value);
  line->value[FAINT_JOINT_DOPPLER]
      = best->doppler * sqrt (c->reference_temperature / c->temperature[best->spectrum]);
  for (FaintJointPlace p = FAINT_JOINT_FURTHER; p < FAINT_JOINT_N; p++)
    line->value[p] = 0.0;
}

static Sighting
sighting_of (gsize spectrum, const FaintLine *line)
{
  return (Sighting){ spectrum,
                     line->position.value,
                     line->strength.value,
                     line->strength.u_noise,
                     line->lorentz.value,
                     line->lorentz.u_noise,
                     line->doppler.value };
}

/* The line of the joint list that @line is, or none. */
static gsize
same_line (const FaintJoint *self, const GPtrArray *seen, const FaintLine *line)
{
  gsize nearest = self->lines->len;
  double distance = SAME * half_width (line);

  for (gsize i = 0; i < self->lines->len; i++)
    {
      const Sighting *first = &g_array_index ((GArray *)g_ptr_array_index (seen, i), Sighting, 0);
      double apart = fabs (first->position - line->position.value);

      if (apart < distance)
        {
          distance = apart;
          nearest = i;
        }
    }
  return nearest;
}

static int
narrower_first (gconstpointer a, gconstpointer b, gpointer data)
{
  const double *width = data;
  double x = width[*(const gsize *)a], y = width[*(const gsize *)b];

  return x < y ? -1 : x > y ? 1 : 0;
}

/* Spectra by the typical width of their lines: the narrow ones tell lines apart. */
static gsize *
by_width (FaintFit *const *fits, gsize n)
{
  gsize *order = g_new (gsize, n);
  g_autofree double *width = g_new0 (double, n);

  for (gsize s = 0; s < n; s++)
    {
      gsize lines = faint_line_list_get_n (fits[s]->lines);
      g_autofree double *widths = g_new (double, lines + 1);

      order[s] = s;
      for (gsize i = 0; i < lines; i++)
        widths[i] = half_width (faint_line_list_get (fits[s]->lines, i));
      width[s] = lines > 0 ? faint_rank_select (widths, lines, lines / 2) : INFINITY;
    }
  g_qsort_with_data (order, (int)n, sizeof *order, narrower_first, width);
  return order;
}

void
faint_joint_begin_found (FaintJoint *self, FaintFit *const *fits)
{
  g_autofree gsize *order = by_width (fits, self->n);
  g_autoptr (GPtrArray) seen = g_ptr_array_new_with_free_func ((GDestroyNotify)g_array_unref);

  for (gsize k = 0; k < self->n; k++)
    for (gsize i = 0; i < faint_line_list_get_n (fits[order[k]]->lines); i++)
      {
        const FaintLine *line = faint_line_list_get (fits[order[k]]->lines, i);
        Sighting sighting = sighting_of (order[k], line);
        gsize same = same_line (self, seen, line);

        if (same == self->lines->len)
          {
            FaintJointLine joint = { .line = faint_line_unknown (), .found = TRUE };

            joint.line.doppler.state
                = self->options.doppler_free ? FAINT_STATE_FREE : FAINT_STATE_DERIVED;
            g_array_append_val (self->lines, joint);
            g_ptr_array_add (seen, g_array_new (FALSE, FALSE, sizeof (Sighting)));
          }
        g_array_append_val ((GArray *)g_ptr_array_index (seen, same), sighting);
      }
  for (gsize i = 0; i < self->lines->len; i++)
    {
      begin_line (self, g_ptr_array_index (seen, i), faint_joint_line (self, i));
      faint_joint_line (self, i)->found_at
          = faint_joint_line (self, i)->value[FAINT_JOINT_POSITION];
    }
}

static void
take_known (const FaintLine *line, FaintCoefficient coefficient, double *value)
{
  if (isfinite (line->coefficient[coefficient].value))
    *value = line->coefficient[coefficient].value;
}

/* What the list itself says of coefficients and energies has the first word. */
static void
take_coefficients (const FaintConditions *c, FaintJointLine *line)
{
  const FaintLine *given = &line->line;

  for (guint k = 0; k < c->n_broadening; k++)
    take_known (given, c->broadening[k], &line->value[FAINT_JOINT_BROADENING_A + k]);
  for (guint k = 0; k < c->n_shift; k++)
    {
      take_known (given, c->shift[k], &line->value[FAINT_JOINT_SHIFT_A + k]);
      line->value[FAINT_JOINT_POSITION]
          -= line->value[FAINT_JOINT_SHIFT_A + k] * c->part[c->shifting[k]][0];
    }
  take_known (given, FAINT_COEFFICIENT_WIDTH_EXPONENT, &line->value[FAINT_JOINT_EXPONENT]);
  if (!c->energies)
    return;
  if (isfinite (given->lower_energy))
    {
      line->value[FAINT_JOINT_ENERGY] = given->lower_energy;
      line->value[FAINT_JOINT_STRENGTH]
          = given->strength.value
            / faint_strength_ratio (given->position.value, given->lower_energy,
                                    c->reference_temperature, c->temperature[0],
                                    c->reference_q / c->q[0]);
    }
  if (isfinite (given->strength_296))
    line->value[FAINT_JOINT_STRENGTH] = given->strength_296;
}

void
faint_joint_begin_given (FaintJoint *self, const FaintLineList *start)
{
  const FaintSetup *setup = self->spectra[0]->setup;
  const FaintConditions *c = self->conditions;
  double doppler = faint_doppler_hwhm (1.0, setup->temperature.value, setup->molar_mass.value);

  for (gsize i = 0; i < faint_line_list_get_n (start); i++)
    {
      FaintJointLine joint = { .line = *faint_line_list_get (start, i) };
      g_autoptr (GArray) seen = g_array_new (FALSE, FALSE, sizeof (Sighting));
      Sighting sighting;

      if (!(joint.line.doppler.value > 0.0))
        joint.line.doppler.value = doppler * joint.line.position.value;
      if (joint.line.doppler.state == FAINT_STATE_FREE && !self->options.doppler_free)
        joint.line.doppler.state = FAINT_STATE_DERIVED;
      if (joint.line.doppler.state == FAINT_STATE_DERIVED && self->options.doppler_free)
        joint.line.doppler.state = FAINT_STATE_FREE;
      if (!(joint.line.lorentz.value >= 0.0))
        joint.line.lorentz.value = 0.15 * joint.line.doppler.value;
      sighting = sighting_of (0, &joint.line);
      sighting.u_strength = sighting.u_lorentz = 1.0;
      g_array_append_val (seen, sighting);
      begin_line (self, seen, &joint);
      for (FaintPlace p = FAINT_PLACE_SPEED_WIDTH; p < FAINT_PLACE_N; p++)
        {
          double value = faint_line_peek_parameter (&joint.line, p)->value;
          joint.value[FAINT_JOINT_FURTHER + p - FAINT_PLACE_SPEED_WIDTH]
              = isfinite (value) ? value : 0.0;
        }
      take_coefficients (c, &joint);
      joint.found_at = joint.value[FAINT_JOINT_POSITION];
      g_array_append_val (self->lines, joint);
    }
}

double
faint_joint_typical (const FaintJoint *self, FaintJointPlace p)
{
  g_autofree double *x = g_new (double, MAX (self->lines->len, 1));

  for (gsize i = 0; i < self->lines->len; i++)
    x[i] = faint_joint_line (self, i)->value[p];
  return self->lines->len > 0 ? faint_rank_select (x, self->lines->len, self->lines->len / 2) : NAN;
}

void
faint_joint_begin_candidate (FaintJoint *self, gsize s, const FaintCandidate *candidate)
{
  FaintJointLine line = { .line = faint_line_unknown (), .found = TRUE };
  g_autoptr (GArray) seen = g_array_new (FALSE, FALSE, sizeof (Sighting));
  const FaintSetup *setup = self->spectra[s]->setup;
  Sighting sighting = { s,
                        candidate->position,
                        candidate->strength,
                        candidate->strength / candidate->snr,
                        0.0,
                        1.0,
                        faint_doppler_hwhm (candidate->position, setup->temperature.value,
                                            setup->molar_mass.value) };

  line.line.doppler.state = self->options.doppler_free ? FAINT_STATE_FREE : FAINT_STATE_DERIVED;
  g_array_append_val (seen, sighting);
  begin_line (self, seen, &line);
  begin_strength (self->conditions, seen,
                  isfinite (faint_joint_typical (self, FAINT_JOINT_ENERGY))
                      ? faint_joint_typical (self, FAINT_JOINT_ENERGY)
                      : USUAL_ENERGY,
                  line.value);
  for (guint k = 0; k < 2; k++)
    line.value[FAINT_JOINT_BROADENING_A + k]
        = faint_joint_typical (self, FAINT_JOINT_BROADENING_A + k);
  line.found_at = candidate->position;
  g_array_append_val (self->lines, line);
}
