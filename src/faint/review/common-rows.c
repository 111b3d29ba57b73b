/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/review/common-rows.h"

#include <math.h>

#include "faint/base/quantity.h"
#include "faint/review/compared.h"

#define GOOD_RELATIVE 0.3

void
faint_common_rows_init (FaintCommonRows *self)
{
  self->d = g_array_new (FALSE, FALSE, sizeof (double));
  self->u = g_array_new (FALSE, FALSE, sizeof (double));
  self->bound = g_array_new (FALSE, FALSE, sizeof (double));
  for (guint i = 0; i < FAINT_SYSTEMATIC_N; i++)
    self->x[i] = g_array_new (FALSE, FALSE, sizeof (double));
  for (guint i = 0; i < FAINT_COMMON_INPUTS; i++)
    self->common[i] = g_array_new (FALSE, FALSE, sizeof (double));
}

void
faint_common_rows_clear (FaintCommonRows *self)
{
  g_array_unref (self->d);
  g_array_unref (self->u);
  g_array_unref (self->bound);
  for (guint i = 0; i < FAINT_SYSTEMATIC_N; i++)
    g_array_unref (self->x[i]);
  for (guint i = 0; i < FAINT_COMMON_INPUTS; i++)
    g_array_unref (self->common[i]);
}

gboolean
faint_common_is_scale (guint parameter)
{
  guint coefficient = parameter - FAINT_PLACE_N;

  if (parameter < FAINT_PLACE_N)
    return parameter != FAINT_PLACE_POSITION;
  return parameter == FAINT_COMPARED_STRENGTH_296
         || coefficient <= FAINT_COEFFICIENT_BROADENING_MIXTURE;
}

const double *
faint_common_sources (const FaintLine *line, guint parameter)
{
  switch (parameter)
    {
    case FAINT_PLACE_POSITION:
      return line->position_from;
    case FAINT_PLACE_STRENGTH:
      return line->strength_from;
    case FAINT_PLACE_LORENTZ:
      return line->lorentz_from;
    default:
      return NULL;
    }
}

static void
append (GArray *array, double value)
{
  g_array_append_val (array, value);
}

/* A side in units of its value (scale) or of its own (shift). */
typedef struct
{
  double unit, own, shared, bound; /* shared: known to be common, of no source */
  const double *from;              /* NULL: sources are not told */
} Side;

static Side
side_of (const FaintLine *line, guint parameter)
{
  const FaintParameter it = faint_compared_get (line, parameter);
  const double *from = faint_common_sources (line, parameter);
  double u = isnan (it.u) ? 0.0 : it.u;
  gboolean split = isfinite (it.u_noise), told = FALSE;
  Side side = { .unit = faint_common_is_scale (parameter) ? it.value : 1.0 };

  for (guint s = 0; s < FAINT_SOURCE_N && from != NULL; s++)
    told |= s != FAINT_SOURCE_NOISE && isfinite (from[s]);
  side.from = told && split ? from : NULL;
  side.own = (split ? it.u_noise : u) / side.unit;
  if (split && !told)
    side.shared = sqrt (MAX (u * u - it.u_noise * it.u_noise, 0.0)) / side.unit;
  if (!split)
    side.bound = u / side.unit;
  return side;
}

static void
append_common (FaintCommonRows *self, const Side *side, guint first)
{
  for (guint s = 0; s < FAINT_SOURCE_N; s++)
    append (self->common[first + s],
            s != FAINT_SOURCE_NOISE && side->from != NULL && isfinite (side->from[s])
                ? side->from[s] / side->unit
                : 0.0);
  append (self->common[first + FAINT_SOURCE_N], side->shared);
}

void
faint_common_rows_add (FaintCommonRows *self, guint parameter, const FaintLine *first,
                       const FaintLine *second, const double *x)
{
  double a = faint_compared_get (first, parameter).value;
  double b = faint_compared_get (second, parameter).value;
  gboolean scale = faint_common_is_scale (parameter);
  Side of_a = side_of (first, parameter), of_b = side_of (second, parameter);
  double u = hypot (of_a.own, of_b.own);

  if (!(u > 0.0) || !isfinite (u) || !isfinite (a - b)
      || (scale && !(a > 0.0 && b > 0.0 && of_a.own < GOOD_RELATIVE && of_b.own < GOOD_RELATIVE)))
    return;
  /* The mean of a logarithm lies half its variance too low. */
  append (self->d, scale ? log (a / b) + 0.5 * (of_a.own * of_a.own - of_b.own * of_b.own) : a - b);
  append (self->u, u);
  append (self->bound, hypot (of_a.bound, of_b.bound));
  for (guint form = 0; form < FAINT_SYSTEMATIC_N; form++)
    append (self->x[form], x[form]);
  append_common (self, &of_a, 0);
  append_common (self, &of_b, FAINT_SOURCE_N + 1);
}

static const double *
numbers (const GArray *array)
{
  return (const double *)(const void *)array->data;
}

FaintSystematicInput
faint_common_rows_input (FaintCommonRows *self, gboolean with_position, gboolean with_depth,
                         gboolean with_energy)
{
  FaintSystematicInput input = { .n = self->d->len,
                                 .d = numbers (self->d),
                                 .u = numbers (self->u),
                                 .common = self->rows,
                                 .n_common = FAINT_COMMON_INPUTS,
                                 .bound = numbers (self->bound) };

  for (guint s = 0; s < FAINT_COMMON_INPUTS; s++)
    self->rows[s] = numbers (self->common[s]);
  if (with_position)
    input.x[FAINT_SYSTEMATIC_POSITION] = numbers (self->x[FAINT_SYSTEMATIC_POSITION]);
  if (with_depth)
    input.x[FAINT_SYSTEMATIC_DEPTH] = numbers (self->x[FAINT_SYSTEMATIC_DEPTH]);
  if (with_energy)
    input.x[FAINT_SYSTEMATIC_ENERGY] = numbers (self->x[FAINT_SYSTEMATIC_ENERGY]);
  return input;
}

const char *
faint_common_unit (guint parameter)
{
  if (parameter == FAINT_PLACE_STRENGTH || parameter == FAINT_COMPARED_STRENGTH_296)
    return "cm/molecule";
  if (parameter == FAINT_COMPARED_LOWER_ENERGY)
    return "cm-1";
  if (parameter == FAINT_PLACE_CORRELATION
      || parameter == FAINT_PLACE_N + FAINT_COEFFICIENT_WIDTH_EXPONENT)
    return "1";
  if (parameter >= FAINT_PLACE_N && parameter != FAINT_PLACE_N + FAINT_COEFFICIENT_POSITION_ZERO)
    return "cm-1/atm";
  return "cm-1";
}
