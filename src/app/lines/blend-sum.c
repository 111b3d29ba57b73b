/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A chain of neighbours, then a sum over its covariances.
 */
#include "app/lines/blend-sum.h"

#include <math.h>

#define AGAINST -0.5 /* correlation of the strengths of lines that share their absorption */
#define LINES_MOST 8

static double
covariance (const FaintFit *fit, gsize i, gsize k)
{
  return faint_fit_covariance (fit, faint_line_list_get (fit->lines, i)->id, FAINT_PLACE_STRENGTH,
                               faint_line_list_get (fit->lines, k)->id, FAINT_PLACE_STRENGTH);
}

static gboolean
go_against (const FaintFit *fit, gsize i, gsize k)
{
  double both = covariance (fit, i, k);
  double scale = sqrt (covariance (fit, i, i) * covariance (fit, k, k));

  return isfinite (both) && isfinite (scale) && both < AGAINST * scale;
}

/* What all sources but noise make of a strength; they move all strengths together. */
static double
common_part (const FaintLine *line)
{
  double squared
      = line->strength.u * line->strength.u - line->strength.u_noise * line->strength.u_noise;

  return squared > 0 ? sqrt (squared) : 0;
}

gboolean
faint_blend_sum (const FaintFit *fit, const FaintLine *line, FaintBlendSum *sum)
{
  gsize n = faint_line_list_get_n (fit->lines);
  gsize first = faint_line_list_index_of (fit->lines, line->id), last = first;
  double noise = 0, common = 0;

  if (first == G_MAXSIZE)
    return FALSE;
  while (first > 0 && last - first + 1 < LINES_MOST && go_against (fit, first - 1, first))
    first--;
  while (last + 1 < n && last - first + 1 < LINES_MOST && go_against (fit, last, last + 1))
    last++;
  if (first == last)
    return FALSE;
  *sum = (FaintBlendSum){ .n = (guint)(last - first + 1) };
  for (gsize i = first; i <= last; i++)
    {
      const FaintLine *member = faint_line_list_get (fit->lines, i);

      sum->value += member->strength.value;
      common += common_part (member);
      for (gsize k = first; k <= last; k++)
        noise += covariance (fit, i, k);
    }
  sum->u = sqrt (MAX (noise, 0) + common * common);
  return isfinite (sum->u);
}
