/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the whole list has in common, before single lines are thought of.
 */
#include "faint/review/review-private.h"

#include "faint/review/common-rows.h"

const FaintSystematic *
faint_review_common_of (const FaintReview *self, guint parameter)
{
  for (guint i = 0; i < self->systematic->len; i++)
    {
      const FaintSystematic *it = g_ptr_array_index (self->systematic, i);

      if (it->parameter == parameter)
        return it;
    }
  return NULL;
}

double
faint_review_common_x (const FaintReview *self, const FaintReviewLine *line,
                       FaintSystematicForm form)
{
  const FaintLine *claim = faint_line_list_find (self->compared, line->claimed_id);
  const FaintLine *seen
      = faint_line_list_find (faint_analysis_get_lines (self->refit), line->refitted_id);

  switch (form)
    {
    case FAINT_SYSTEMATIC_POSITION:
      return line->position;
    case FAINT_SYSTEMATIC_DEPTH:
      return seen != NULL ? seen->peak : (double)NAN;
    case FAINT_SYSTEMATIC_ENERGY:
      return claim != NULL ? claim->lower_energy : (double)NAN;
    default:
      return 0.0;
    }
}

static void
gather (const FaintReview *self, guint parameter, FaintCommonRows *rows)
{
  const FaintLineList *refitted = faint_analysis_get_lines (self->refit);

  for (guint i = 0; i < self->lines->len; i++)
    {
      const FaintReviewLine *line = g_ptr_array_index (self->lines, i);
      double x[FAINT_SYSTEMATIC_N];

      if (line->claimed->len > 1 || line->refitted->len > 1)
        continue;
      for (guint form = 0; form < FAINT_SYSTEMATIC_N; form++)
        x[form] = faint_review_common_x (self, line, (FaintSystematicForm)form);
      for (guint k = 0; k < line->values->len; k++)
        {
          const FaintReviewValue *value = &g_array_index (line->values, FaintReviewValue, k);

          if (value->parameter == parameter && isfinite (value->stated.probability))
            faint_common_rows_add (rows, parameter,
                                   faint_line_list_find (self->compared, line->claimed_id),
                                   faint_line_list_find (refitted, line->refitted_id), x);
        }
    }
}

/* A line's own uncertainty below this part of the whole. */
#define OUTWEIGHED 0.7

/* What a list may have in common. */
static const guint common[] = {
  FAINT_PLACE_POSITION,
  FAINT_PLACE_STRENGTH,
  FAINT_PLACE_LORENTZ,
  FAINT_PLACE_DOPPLER,
  FAINT_PLACE_N + FAINT_COEFFICIENT_BROADENING_SELF,
  FAINT_PLACE_N + FAINT_COEFFICIENT_BROADENING_FOREIGN,
  FAINT_PLACE_N + FAINT_COEFFICIENT_BROADENING_MIXTURE,
  FAINT_PLACE_N + FAINT_COEFFICIENT_SHIFT_SELF,
  FAINT_PLACE_N + FAINT_COEFFICIENT_SHIFT_FOREIGN,
  FAINT_PLACE_N + FAINT_COEFFICIENT_SHIFT_MIXTURE,
  FAINT_PLACE_N + FAINT_COEFFICIENT_WIDTH_EXPONENT,
  FAINT_PLACE_N + FAINT_COEFFICIENT_POSITION_ZERO,
  FAINT_COMPARED_STRENGTH_296,
  FAINT_COMPARED_LOWER_ENERGY,
};

/* The share of each in what may be found by chance: by what the spectra can tell, not by what the
 * list says. */
static double
level_of_each (const FaintReview *self)
{
  guint n = 0;

  for (guint i = 0; i < G_N_ELEMENTS (common); i++)
    n += faint_review_why_untold (self, common[i]) == NULL;
  return (1.0 - self->options.confidence) / 3.0 / MAX (n, 1);
}

static FaintSystematic *
find_in (const FaintReview *self, guint parameter, double level)
{
  gboolean strength = parameter == FAINT_PLACE_STRENGTH || parameter == FAINT_COMPARED_STRENGTH_296;
  g_auto (FaintCommonRows) rows;
  FaintSystematicInput input;
  gsize tests = 0;

  faint_common_rows_init (&rows);
  gather (self, parameter, &rows);
  input = faint_common_rows_input (&rows, TRUE, strength,
                                   strength || parameter == FAINT_COMPARED_LOWER_ENERGY);
  return faint_systematic_find (&input, level, &tests);
}

/* The difference without what is common: against the refitted value as it would have been claimed.
 */
static void
correct (const FaintReview *self, const FaintSystematic *finding, const FaintReviewLine *line,
         FaintReviewValue *value)
{
  double u_shift, x = faint_review_common_x (self, line, finding->form);
  double shift = faint_systematic_at (finding, x, &u_shift);
  gboolean scale = faint_common_is_scale (finding->parameter);
  double factor = scale ? exp (shift) : 1.0;
  double moved = scale ? factor * value->refitted : value->refitted + shift;
  double u_moved = scale ? moved * u_shift : u_shift;

  if (isnan (value->stated.probability))
    return;
  value->corrected = faint_review_compare (value->claimed, value->own_claimed, moved,
                                           hypot (factor * value->own_refitted, u_moved),
                                           self->options.coverage);
}

/* What may be common to all lines by the stated uncertainties, where it outweighs what is a line's
 * own, would hide a line that stands apart from the others: such a line is judged against their
 * mean. Chosen by uncertainties alone. */
static void
judge_relative (FaintReview *self, guint parameter)
{
  g_auto (FaintCommonRows) rows;
  g_autoptr (FaintSystematic) mean = faint_systematic_new ();
  FaintSystematicInput input;

  faint_common_rows_init (&rows);
  gather (self, parameter, &rows);
  input = faint_common_rows_input (&rows, FALSE, FALSE, FALSE);
  if (!faint_systematic_fit (&input, FAINT_SYSTEMATIC_CONSTANT, mean))
    return;
  mean->parameter = parameter;
  for (guint i = 0; i < self->lines->len; i++)
    {
      FaintReviewLine *line = g_ptr_array_index (self->lines, i);

      for (guint k = 0; k < line->values->len; k++)
        {
          FaintReviewValue *value = &g_array_index (line->values, FaintReviewValue, k);
          double own = hypot (value->own_claimed, value->own_refitted);

          if (value->parameter != parameter || isnan (value->stated.probability)
              || !(own < OUTWEIGHED * value->stated.u))
            continue;
          correct (self, mean, line, value);
          value->relative = TRUE;
        }
    }
}

void
faint_review_find_common (FaintReview *self)
{
  double level = level_of_each (self);

  for (guint i = 0; i < G_N_ELEMENTS (common); i++)
    {
      FaintSystematic *finding = find_in (self, common[i], level);

      if (finding == NULL)
        {
          judge_relative (self, common[i]);
          continue;
        }
      finding->parameter = common[i];
      finding->beyond = finding->probability_stated < level;
      g_ptr_array_add (self->systematic, finding);
    }
  for (guint i = 0; i < self->lines->len; i++)
    {
      FaintReviewLine *line = g_ptr_array_index (self->lines, i);

      for (guint k = 0; k < line->values->len; k++)
        {
          FaintReviewValue *value = &g_array_index (line->values, FaintReviewValue, k);
          const FaintSystematic *finding = faint_review_common_of (self, value->parameter);

          if (finding != NULL)
            correct (self, finding, line, value);
        }
    }
  for (guint i = 0; i < self->systematic->len; i++)
    faint_review_explain (self, g_ptr_array_index (self->systematic, i));
  faint_review_join_causes (self);
}
