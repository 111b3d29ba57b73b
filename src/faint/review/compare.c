/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/review/compare.h"

#include <math.h>

#include "faint/lines/parameters.h"
#include "faint/review/common-rows.h"
#include "faint/review/match.h"
#include "faint/shape/voigt.h"
#include "faint/spectrum/rank.h"
#include "faint/base/words.h"

#define STRENGTH_SCALE 1.5
/* As of a review: shifts are looked for within so many half widths in places this wide. */
#define SHIFT_REACH 15.0
#define SHIFT_WIDTH 0.5
#define USUAL_WIDTH 1e-6    /* half width over position */
#define MAD_TO_SIGMA 1.4826 /* of a normal distribution: 1/0.67449 */
#define COMMON_N 4          /* position, strength, Lorentz and Doppler width */

void
faint_compare_options_init (FaintCompareOptions *options)
{
  *options = (FaintCompareOptions){ .coverage = 2.0, .confidence = 0.95, .reach = 3.0 };
}

static void
line_free (gpointer data)
{
  FaintComparedLine *line = data;

  g_array_unref (line->values);
  g_free (line);
}

static double
half_width (const FaintComparison *self, const FaintLine *line)
{
  double doppler = line->doppler.value, lorentz = line->lorentz.value;

  if (!(doppler > 0.0))
    doppler = self->options.half_width > 0.0 ? self->options.half_width
                                             : USUAL_WIDTH * line->position.value;
  return faint_voigt_hwhm (doppler, lorentz > 0.0 ? lorentz : 0.0);
}

static gboolean
all_at_296 (const FaintLineList *list)
{
  gsize n = 0;

  for (gsize i = 0; i < faint_line_list_get_n (list); i++)
    {
      const FaintLine *line = faint_line_list_get (list, i);

      if (isnan (line->strength_296) && !isnan (line->strength.value))
        return FALSE;
      n += !isnan (line->strength_296);
    }
  return n > 0;
}

/* The line with the strength that counts. */
static FaintLine
line_at (const FaintComparison *self, guint side, gsize i)
{
  FaintLine line = *faint_line_list_get (self->list[side], i);

  if (self->at_296)
    {
      line.strength.value = line.strength_296;
      line.strength.u = line.u_strength_296;
      line.strength.u_noise = NAN;
    }
  return line;
}

static GArray *
match_lines_of (const FaintComparison *self, guint side, double shift)
{
  GArray *out = g_array_new (FALSE, FALSE, sizeof (FaintMatchLine));

  for (gsize i = 0; i < faint_line_list_get_n (self->list[side]); i++)
    {
      FaintLine line = line_at (self, side, i);
      FaintMatchLine it
          = { line.position.value - shift, line.strength.value, half_width (self, &line) };

      g_array_append_val (out, it);
    }
  return out;
}

static const FaintMatchLine *
match_data (const GArray *lines)
{
  return (const FaintMatchLine *)(const void *)lines->data;
}

static void
find_shift (FaintComparison *self)
{
  g_autoptr (GArray) first = match_lines_of (self, 0, 0.0), second = match_lines_of (self, 1, 0.0);
  double width;

  if (first->len == 0 || second->len == 0)
    return;
  width = match_data (first)[first->len / 2].half_width;
  self->shift = faint_match_shift (match_data (second), second->len, match_data (first), first->len,
                                   SHIFT_REACH * width, SHIFT_WIDTH * width);
}

/* Two neighbours as one: position and strength alone. */
static FaintLine
sum_of (const FaintLine *a, const FaintLine *b)
{
  FaintLine sum = faint_line_unknown ();
  double share = a->strength.value / (a->strength.value + b->strength.value);
  double apart = a->position.value - b->position.value;
  double relative = hypot (a->strength.u / a->strength.value, b->strength.u / b->strength.value);

  sum.strength.value = a->strength.value + b->strength.value;
  sum.strength.u = hypot (a->strength.u, b->strength.u);
  sum.position.value = b->position.value + share * apart;
  sum.position.u = hypot (share * a->position.u, (1.0 - share) * b->position.u);
  if (isfinite (relative))
    sum.position.u = hypot (sum.position.u, apart * share * (1.0 - share) * relative);
  return sum;
}

static void
add_value (const FaintComparison *self, FaintComparedLine *line, const FaintLine *sides, guint k)
{
  FaintComparedValue value = { .parameter = k, .u_difference = NAN, .en = NAN };
  gboolean both;

  for (guint side = 0; side < 2; side++)
    {
      const FaintParameter *it = faint_line_peek_nth_parameter (&sides[side], k);

      value.value[side] = it->value;
      value.u[side] = it->u;
    }
  if (isnan (value.value[0]) || isnan (value.value[1]))
    return;
  value.difference = value.value[1] - value.value[0];
  both = isfinite (value.u[0]) && isfinite (value.u[1]);
  if (isfinite (value.u[0]) || isfinite (value.u[1]))
    value.u_difference
        = hypot (isnan (value.u[0]) ? 0.0 : value.u[0], isnan (value.u[1]) ? 0.0 : value.u[1]);
  if (both && value.u_difference > 0.0)
    value.en = value.difference / (self->options.coverage * value.u_difference);
  g_array_append_val (line->values, value);
}

/* What both lists say of a group, and where the two lines that are one each side stand: @sides. */
static FaintComparedLine *
line_of (FaintComparison *self, const FaintMatch *match, FaintLine *sides)
{
  FaintComparedLine *line = g_new0 (FaintComparedLine, 1);

  line->values = g_array_new (FALSE, FALSE, sizeof (FaintComparedValue));
  for (guint side = 0; side < 2; side++)
    {
      if (match->n[side] == 0)
        continue;
      sides[side] = line_at (self, side, match->first[side]);
      line->id[side] = sides[side].id;
      if (match->n[side] == 2)
        {
          FaintLine other = line_at (self, side, match->first[side] + 1);

          line->second[side] = other.id;
          sides[side] = sum_of (&sides[side], &other);
        }
      if (line->position == 0.0)
        line->position = sides[side].position.value;
    }
  for (guint k = 0; k < FAINT_PARAMETER_N && match->n[0] > 0 && match->n[1] > 0; k++)
    add_value (self, line, sides, k);
  return line;
}

static void
count (FaintComparison *self, const FaintMatch *match)
{
  if (match->n[0] > 0 && match->n[1] > 0)
    {
      self->n_pairs++;
      self->n_blends += match->n[0] + match->n[1] > 2;
    }
  else
    self->n_alone[match->n[0] > 0 ? 0 : 1]++;
}

static void
match (FaintComparison *self, FaintCommonRows *rows)
{
  const FaintMatchOptions options = { .reach = self->options.reach, .scale = STRENGTH_SCALE };
  g_autoptr (GArray) first = match_lines_of (self, 0, 0.0);
  g_autoptr (GArray) second = match_lines_of (self, 1, self->shift);
  g_autoptr (GArray) groups = faint_match_lines (match_data (first), first->len,
                                                 match_data (second), second->len, &options);

  for (guint i = 0; i < groups->len; i++)
    {
      const FaintMatch *it = &g_array_index (groups, FaintMatch, i);
      FaintLine sides[2];

      g_ptr_array_add (self->lines, line_of (self, it, sides));
      count (self, it);
      if (it->n[0] == 1 && it->n[1] == 1)
        for (guint k = 0; k < COMMON_N; k++)
          {
            const double x[FAINT_SYSTEMATIC_N]
                = { 0.0, sides[0].position.value,
                    isnan (sides[0].peak) ? sides[1].peak : sides[0].peak,
                    isnan (sides[0].lower_energy) ? sides[1].lower_energy : sides[0].lower_energy };
            faint_common_rows_add (&rows[k], k, &sides[1], &sides[0], x);
          }
    }
}

static double
median_of (GArray *array)
{
  double *x = (double *)(void *)array->data;
  gsize n = array->len;
  double high = faint_rank_select (x, n, n / 2);

  return n % 2 == 1 ? high : 0.5 * (high + faint_rank_select (x, n, n / 2 - 1));
}

static void
summarise (FaintComparison *self, guint parameter)
{
  g_autoptr (GArray) all = g_array_new (FALSE, FALSE, sizeof (double));
  FaintComparedSummary out = { .parameter = parameter };

  for (guint i = 0; i < self->lines->len; i++)
    {
      const FaintComparedLine *line = g_ptr_array_index (self->lines, i);

      for (guint k = 0; k < line->values->len; k++)
        {
          const FaintComparedValue *value = &g_array_index (line->values, FaintComparedValue, k);
          double d = parameter == FAINT_PLACE_POSITION ? value->difference
                                                       : value->value[1] / value->value[0];

          if (value->parameter != parameter || !isfinite (d))
            continue;
          g_array_append_val (all, d);
          out.n_en += isfinite (value->en);
          out.n_beyond += fabs (value->en) > 1.0;
        }
    }
  out.n = all->len;
  if (out.n == 0)
    return;
  out.median = median_of (all);
  for (guint i = 0; i < all->len; i++)
    g_array_index (all, double, i) = fabs (g_array_index (all, double, i) - out.median);
  out.scatter = MAD_TO_SIGMA * median_of (all);
  g_array_append_val (self->summaries, out);
}

static void
find_common (FaintComparison *self, FaintCommonRows *rows)
{
  double level = (1.0 - self->options.confidence) / COMMON_N;

  for (guint k = 0; k < COMMON_N; k++)
    {
      gboolean strength = k == FAINT_PLACE_STRENGTH;
      FaintSystematicInput input = faint_common_rows_input (&rows[k], TRUE, strength, strength);
      gsize tests = 0;
      FaintSystematic *finding = faint_systematic_find (&input, level, &tests);

      if (finding == NULL)
        continue;
      finding->parameter = k;
      finding->beyond = finding->probability_stated < level;
      finding->words
          = faint_systematic_describe (finding, N_ ("in the second list"), N_ ("the first"));
      g_ptr_array_add (self->systematic, finding);
    }
}

FaintComparison *
faint_compare_lists (FaintLineList *first, FaintLineList *second,
                     const FaintCompareOptions *options)
{
  FaintComparison *self = g_new0 (FaintComparison, 1);
  FaintCommonRows rows[COMMON_N];

  self->options = *options;
  self->list[0] = faint_line_list_ref (first);
  self->list[1] = faint_line_list_ref (second);
  self->lines = g_ptr_array_new_with_free_func (line_free);
  self->summaries = g_array_new (FALSE, FALSE, sizeof (FaintComparedSummary));
  self->systematic
      = g_ptr_array_new_with_free_func ((GDestroyNotify)(void (*) (void))faint_systematic_free);
  self->at_296 = all_at_296 (first) && all_at_296 (second);
  for (guint k = 0; k < COMMON_N; k++)
    faint_common_rows_init (&rows[k]);
  find_shift (self);
  match (self, rows);
  for (guint k = 0; k < FAINT_PARAMETER_N; k++)
    summarise (self, k);
  find_common (self, rows);
  for (guint k = 0; k < COMMON_N; k++)
    faint_common_rows_clear (&rows[k]);
  return self;
}

void
faint_comparison_free (FaintComparison *self)
{
  if (self == NULL)
    return;
  faint_line_list_unref (self->list[0]);
  faint_line_list_unref (self->list[1]);
  g_ptr_array_unref (self->lines);
  g_array_unref (self->summaries);
  g_ptr_array_unref (self->systematic);
  g_free (self);
}
