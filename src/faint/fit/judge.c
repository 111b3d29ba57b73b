/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which lines of a search stay, and what of them the data can determine.
 */
#include "faint/fit/search.h"

#include <math.h>

#include "faint/shape/voigt.h"

/* A found line stays if its strength is this part of the threshold above its uncertainty. */
#define STAY 0.75
/* ... if it did not run away further than this many half widths from where it was found ... */
#define STRAY 1.5
/* ... is not this many times as wide as is usual here, when it is a bend of the baseline ... */
#define TOO_WIDE 6.0
/* ... and no stronger one stands within this many half widths. */
#define MERGED 0.3
/* Lines within this many half widths, and this many in the list, are one blend. */
#define BLEND 4.0
#define BLEND_LINES 4
/* Position and width of a given line whose strength is less than this many times its uncertainty
 * are not in the data: left free they wander without end. */
#define DETERMINED 3.0

double
faint_search_half_width (const FaintLine *line)
{
  return faint_voigt_hwhm (line->doppler.value, line->lorentz.value);
}

/* Does another line stand within its blend? */
static gboolean
is_blended (const FaintSearch *self, guint i)
{
  const FaintLine *line = &g_array_index (self->lines, FaintSearchLine, i).line;

  for (guint j = i > 0 ? i - 1 : 0; j < MIN (i + 2, self->lines->len); j++)
    {
      const FaintLine *other = &g_array_index (self->lines, FaintSearchLine, j).line;
      double reach = BLEND * MAX (faint_search_half_width (line), faint_search_half_width (other));

      if (j != i && fabs (other->position.value - line->position.value) < reach)
        return TRUE;
    }
  return FALSE;
}

/* Significance of a found line's strength, or 0 when the line is no line: strength not above 0, run
 * away, too wide, or merged with a stronger one. */
static double
significance (const FaintSearch *self, guint i, double widest)
{
  const FaintSearchLine *search = &g_array_index (self->lines, FaintSearchLine, i);
  gssize at = self->model->layout->place[i][FAINT_PLACE_STRENGTH];
  double strength = search->line.strength.value, hwhm = faint_search_half_width (&search->line);

  if (at < 0 || !(strength > 0.0) || hwhm > widest
      || fabs (search->line.position.value - search->found_at) > STRAY * hwhm)
    return 0.0;
  if (search->needed && is_blended (self, i))
    return INFINITY;
  for (guint j = i > 0 ? i - 1 : 0; j < MIN (i + 2, self->lines->len); j++)
    {
      const FaintSearchLine *other = &g_array_index (self->lines, FaintSearchLine, j);
      if (j != i && fabs (other->line.position.value - search->line.position.value) < MERGED * hwhm
          && (!other->found || other->line.strength.value > strength))
        return 0.0;
    }
  return strength / (sqrt (faint_fit_work_variance (self->work, at)) * self->noise_scale);
}

/* Is a neighbour in the same blend a worse case? Lines of a blend that all fail may do so because
 * of one of them: only the worst goes, and the others are judged again after the next fit. */
static gboolean
has_worse_neighbour (const FaintSearch *self, const double *worth, guint i, double least)
{
  const FaintSearchLine *search = &g_array_index (self->lines, FaintSearchLine, i);
  double reach = BLEND * faint_search_half_width (&search->line);

  for (guint j = i > BLEND_LINES ? i - BLEND_LINES : 0;
       j <= i + BLEND_LINES && j < self->lines->len; j++)
    {
      const FaintSearchLine *other = &g_array_index (self->lines, FaintSearchLine, j);
      if (j != i && worth[j] < least
          && fabs (other->line.position.value - search->line.position.value) < reach
          && (worth[j] < worth[i]
              || (worth[j] == worth[i]
                  && other->line.strength.value < search->line.strength.value)))
        return TRUE;
    }
  return FALSE;
}

/* Wider than this is no line: many times as wide as the others, or wider than the pressure makes
 * lines and a blend of them together. */
static double
widest_half_width (const FaintSearch *self)
{
  double doppler = self->doppler_per_wavenumber * self->spectrum->wavenumber[self->spectrum->n / 2];
  double most = TOO_WIDE * faint_search_typical_half_width (self);

  return isfinite (self->widest_ratio)
             ? MIN (most, 2.0 * faint_voigt_hwhm (doppler, self->widest_ratio * doppler)
                              + (TOO_WIDE - 2.0) * doppler)
             : most;
}

/* Takes out found lines that do not stay; returns how many. */
guint
faint_search_prune (FaintSearch *self)
{
  g_autoptr (GArray) kept = g_array_new (FALSE, FALSE, sizeof (FaintSearchLine));
  g_autofree double *worth = g_new (double, MAX (self->lines->len, 1));
  double widest = widest_half_width (self), least = STAY * self->options->threshold;
  guint dropped;

  for (guint i = 0; i < self->lines->len; i++)
    worth[i] = g_array_index (self->lines, FaintSearchLine, i).found
                   ? significance (self, i, widest)
                   : INFINITY;
  for (guint i = 0; i < self->lines->len; i++)
    if (worth[i] >= least || has_worse_neighbour (self, worth, i, least))
      {
        FaintSearchLine search = g_array_index (self->lines, FaintSearchLine, i);
        if (search.found)
          search.found_at = search.line.position.value;
        g_array_append_val (kept, search);
      }
    else if (self->finishing)
      g_array_append_val (self->refused, g_array_index (self->lines, FaintSearchLine, i).found_at);
  dropped = self->lines->len - kept->len;
  g_array_set_size (self->lines, 0);
  g_array_append_vals (self->lines, kept->data, kept->len);
  return dropped;
}

/* Strength of a given line that is not held yet, over its uncertainty; INFINITY for all others. */
static double
standing (const FaintSearch *self, guint i)
{
  const FaintSearchLine *search = &g_array_index (self->lines, FaintSearchLine, i);
  gssize at = self->model->layout->place[i][FAINT_PLACE_STRENGTH];

  return search->found || search->held || at < 0
             ? INFINITY
             : fabs (search->line.strength.value) / sqrt (faint_fit_work_variance (self->work, at));
}

guint
faint_search_hold_undetermined (FaintSearch *self)
{
  g_autofree double *worth = g_new (double, MAX (self->lines->len, 1));
  guint held = 0;

  for (guint i = 0; i < self->lines->len; i++)
    worth[i] = standing (self, i);
  for (guint i = 0; i < self->lines->len; i++)
    {
      FaintSearchLine *search = &g_array_index (self->lines, FaintSearchLine, i);
      FaintLine *line = &search->line;

      /* Two halves of one line each look undetermined beside the other: one of a blend at a time.
       */
      if (worth[i] >= DETERMINED || has_worse_neighbour (self, worth, i, DETERMINED))
        continue;
      search->held = TRUE;
      search->free_position = line->position.state == FAINT_STATE_FREE;
      search->free_lorentz = line->lorentz.state == FAINT_STATE_FREE;
      if (!search->free_position && !search->free_lorentz)
        continue;
      if (search->free_position)
        {
          line->position.value = search->found_at;
          line->position.state = FAINT_STATE_FIXED;
        }
      /* a tie stays: it may be what the data need */
      if (search->free_lorentz)
        {
          line->lorentz.value
              = self->lorentz_ratio * self->doppler_per_wavenumber * line->position.value;
          line->lorentz.state = FAINT_STATE_FIXED;
        }
      held++;
    }
  return held;
}
