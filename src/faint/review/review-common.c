/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the whole list has in common, before single lines are thought of.
 */
#include "faint/review/review-private.h"

#include "faint/lines/parameters.h"
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

      if (line->claimed_second != 0 || line->refitted_second != 0)
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

static FaintSystematic *
find_in (const FaintReview *self, guint parameter)
{
  gboolean strength = parameter == FAINT_PLACE_STRENGTH;
  g_auto (FaintCommonRows) rows;
  FaintSystematicInput input;
  gsize tests = 0;

  faint_common_rows_init (&rows);
  gather (self, parameter, &rows);
  input = faint_common_rows_input (&rows, TRUE, strength, strength);
  return faint_systematic_find (
      &input, (1.0 - self->options.confidence) / 3.0 / FAINT_REVIEW_COMMON_N, &tests);
}

/* The difference without what is common: against the refitted value as it would have been claimed.
 */
static void
correct (const FaintReview *self, const FaintSystematic *common, const FaintReviewLine *line,
         FaintReviewValue *value)
{
  double u_shift, x = faint_review_common_x (self, line, common->form);
  double shift = faint_systematic_at (common, x, &u_shift);
  double factor = faint_common_is_scale (common->parameter) ? exp (shift) : 1.0;
  double moved = faint_common_is_scale (common->parameter) ? factor * value->refitted
                                                           : value->refitted + shift;
  double u_moved = faint_common_is_scale (common->parameter) ? moved * u_shift : u_shift;

  if (isnan (value->stated.probability))
    return;
  value->corrected = faint_review_compare (value->claimed, value->own_claimed, moved,
                                           hypot (factor * value->own_refitted, u_moved),
                                           self->options.coverage);
}

void
faint_review_find_common (FaintReview *self)
{
  double level = (1.0 - self->options.confidence) / 3.0 / FAINT_REVIEW_COMMON_N;

  for (guint k = 0; k < FAINT_REVIEW_COMMON_N; k++)
    {
      FaintSystematic *finding = find_in (self, k);

      if (finding == NULL)
        continue;
      finding->parameter = k;
      finding->beyond = finding->probability_stated < level;
      g_ptr_array_add (self->systematic, finding);
    }
  for (guint i = 0; i < self->lines->len; i++)
    {
      FaintReviewLine *line = g_ptr_array_index (self->lines, i);

      for (guint k = 0; k < line->values->len; k++)
        {
          FaintReviewValue *value = &g_array_index (line->values, FaintReviewValue, k);
          const FaintSystematic *common = faint_review_common_of (self, value->parameter);

          if (common != NULL)
            correct (self, common, line, value);
        }
    }
  for (guint i = 0; i < self->systematic->len; i++)
    faint_review_explain (self, g_ptr_array_index (self->systematic, i));
}
