/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Edits of the lines of a series. A joint fit begins with coefficients where a line has them; those
 * that stood beside a value that was edited no longer say what the editor means.
 */
#include <math.h>

#include "faint/analysis/analysis-private.h"

static gboolean
is_same (double a, double b)
{
  return a == b || (isnan (a) && isnan (b));
}

/* Forgets @coefficient of @line unless it was edited too. Returns TRUE if there was one. */
static gboolean
forget (const FaintLine *before, FaintLine *line, FaintCoefficient which)
{
  FaintParameter *coefficient = &line->coefficient[which];

  if (isnan (coefficient->value) || !is_same (coefficient->value, before->coefficient[which].value))
    return FALSE;
  coefficient->value = coefficient->u = coefficient->u_noise = NAN;
  return TRUE;
}

static gboolean
forget_strength (const FaintLine *before, FaintLine *line)
{
  if (isnan (line->strength_296) || !is_same (line->strength_296, before->strength_296))
    return FALSE;
  line->strength_296 = line->u_strength_296 = NAN;
  return TRUE;
}

/* Returns TRUE if something of @line was forgotten. */
static gboolean
settle (const FaintLine *before, FaintLine *line)
{
  gboolean any = FALSE;

  if (!is_same (line->position.value, before->position.value))
    any = forget (before, line, FAINT_COEFFICIENT_POSITION_ZERO);
  if (!is_same (line->lorentz.value, before->lorentz.value))
    for (FaintCoefficient k = FAINT_COEFFICIENT_BROADENING_SELF;
         k <= FAINT_COEFFICIENT_BROADENING_MIXTURE; k++)
      any = forget (before, line, k) || any;
  if (!is_same (line->strength.value, before->strength.value)
      || !is_same (line->lower_energy, before->lower_energy))
    any = forget_strength (before, line) || any;
  return any;
}

FaintLineList *
faint_analysis_settle_lines (const FaintAnalysis *self, FaintLineList *lines)
{
  gsize n = faint_line_list_get_n (lines);
  g_autofree FaintLine *settled = g_new (FaintLine, MAX (n, 1));
  gboolean any = FALSE;

  for (gsize i = 0; i < n; i++)
    {
      const FaintLine *before;

      settled[i] = *faint_line_list_get (lines, i);
      before = self->n_parts > 1 ? faint_line_list_find (self->lines, settled[i].id) : NULL;
      if (before != NULL)
        any = settle (before, &settled[i]) || any;
    }
  return any ? faint_line_list_new (settled, n) : faint_line_list_ref (lines);
}
