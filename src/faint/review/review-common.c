/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the whole list has in common, before single lines are thought of.
 */
#include "faint/review/review-private.h"

#include "faint/lines/parameters.h"

/* A scale rests on lines whose values are known to this relative uncertainty, a shift on all. */
#define GOOD_RELATIVE 0.3

gboolean
faint_review_is_scale (guint parameter)
{
  return parameter != FAINT_PLACE_POSITION;
}

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

/* Contributions of the refit's inputs to a parameter; NULL: not told apart. */
static const double *
sources_of (const FaintLine *line, guint parameter)
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

#define N_SOURCES ((guint)FAINT_SOURCE_N + 1) /* inputs of the refit, and what the claims share */

typedef struct
{
  GArray *d, *u, *bound, *x[FAINT_SYSTEMATIC_N], *common[N_SOURCES];
} Rows;

static void
rows_init (Rows *self)
{
  self->d = g_array_new (FALSE, FALSE, sizeof (double));
  self->u = g_array_new (FALSE, FALSE, sizeof (double));
  self->bound = g_array_new (FALSE, FALSE, sizeof (double));
  for (guint i = 0; i < FAINT_SYSTEMATIC_N; i++)
    self->x[i] = g_array_new (FALSE, FALSE, sizeof (double));
  for (guint i = 0; i < N_SOURCES; i++)
    self->common[i] = g_array_new (FALSE, FALSE, sizeof (double));
}

static void
rows_clear (Rows *self)
{
  g_array_unref (self->d);
  g_array_unref (self->u);
  g_array_unref (self->bound);
  for (guint i = 0; i < FAINT_SYSTEMATIC_N; i++)
    g_array_unref (self->x[i]);
  for (guint i = 0; i < N_SOURCES; i++)
    g_array_unref (self->common[i]);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Rows, rows_clear)

static void
append (GArray *array, double value)
{
  g_array_append_val (array, value);
}

/* The claim's uncertainty that is common to the list, and the one of which nobody says. */
static void
append_claim (Rows *rows, const FaintReviewValue *value, gboolean split, double unit)
{
  double u = isnan (value->u_claimed) ? 0.0 : value->u_claimed;
  double own = isnan (value->own_claimed) ? 0.0 : value->own_claimed;

  append (rows->common[FAINT_SOURCE_N], split ? sqrt (MAX (u * u - own * own, 0.0)) / unit : 0.0);
  append (rows->bound, split ? 0.0 : u / unit);
}

static void
append_value (const FaintReview *self, Rows *rows, const FaintReviewLine *line,
              const FaintReviewValue *value)
{
  gboolean scale = faint_review_is_scale (value->parameter);
  double own = isnan (value->own_claimed) ? 0.0 : value->own_claimed, seen = value->own_refitted;
  double by_claim = scale ? value->claimed : 1.0, by_seen = scale ? value->refitted : 1.0;
  const FaintLine *refitted
      = faint_line_list_find (faint_analysis_get_lines (self->refit), line->refitted_id);
  const FaintLine *claim = faint_line_list_find (self->compared, line->claimed_id);
  const double *from = sources_of (refitted, value->parameter);

  own /= by_claim;
  seen /= by_seen;
  if (scale && !(own >= 0.0 && own < GOOD_RELATIVE && seen > 0.0 && seen < GOOD_RELATIVE))
    return;
  /* The mean of a logarithm lies half its variance too low. */
  append (rows->d, scale ? log (value->claimed / value->refitted) + 0.5 * (own * own - seen * seen)
                         : value->stated.difference);
  append (rows->u, hypot (own, seen));
  for (guint form = 0; form < FAINT_SYSTEMATIC_N; form++)
    append (rows->x[form], faint_review_common_x (self, line, (FaintSystematicForm)form));
  for (guint s = 0; s < FAINT_SOURCE_N; s++)
    append (rows->common[s], s != FAINT_SOURCE_NOISE && from != NULL && isfinite (from[s])
                                 ? from[s] / by_seen
                                 : 0.0);
  append_claim (rows, value,
                isfinite (faint_line_peek_nth_parameter (claim, value->parameter)->u_noise),
                by_claim);
}

static void
gather (const FaintReview *self, guint parameter, Rows *rows)
{
  for (guint i = 0; i < self->lines->len; i++)
    {
      const FaintReviewLine *line = g_ptr_array_index (self->lines, i);

      if (line->claimed_second != 0 || line->refitted_second != 0)
        continue;
      for (guint k = 0; k < line->values->len; k++)
        {
          const FaintReviewValue *value = &g_array_index (line->values, FaintReviewValue, k);

          if (value->parameter == parameter && isfinite (value->stated.probability))
            append_value (self, rows, line, value);
        }
    }
}

static const double *
numbers (const GArray *array)
{
  return (const double *)(const void *)array->data;
}

static FaintSystematic *
find_in (const FaintReview *self, guint parameter, gsize *tests)
{
  g_auto (Rows) rows;
  const double *common[N_SOURCES];
  FaintSystematicInput input = { 0 };

  rows_init (&rows);
  gather (self, parameter, &rows);
  for (guint s = 0; s < N_SOURCES; s++)
    common[s] = numbers (rows.common[s]);
  input = (FaintSystematicInput){ .n = rows.d->len,
                                  .d = numbers (rows.d),
                                  .u = numbers (rows.u),
                                  .common = common,
                                  .n_common = N_SOURCES,
                                  .bound = numbers (rows.bound) };
  input.x[FAINT_SYSTEMATIC_POSITION] = numbers (rows.x[FAINT_SYSTEMATIC_POSITION]);
  if (parameter == FAINT_PLACE_STRENGTH)
    {
      input.x[FAINT_SYSTEMATIC_DEPTH] = numbers (rows.x[FAINT_SYSTEMATIC_DEPTH]);
      input.x[FAINT_SYSTEMATIC_ENERGY] = numbers (rows.x[FAINT_SYSTEMATIC_ENERGY]);
    }
  return faint_systematic_find (
      &input, (1.0 - self->options.confidence) / 3.0 / FAINT_REVIEW_COMMON_N, tests);
}

/* The difference without what is common: against the refitted value as it would have been claimed.
 */
static void
correct (const FaintReview *self, const FaintSystematic *common, const FaintReviewLine *line,
         FaintReviewValue *value)
{
  double u_shift, x = faint_review_common_x (self, line, common->form);
  double shift = faint_systematic_at (common, x, &u_shift);
  double factor = faint_review_is_scale (common->parameter) ? exp (shift) : 1.0;
  double moved = faint_review_is_scale (common->parameter) ? factor * value->refitted
                                                           : value->refitted + shift;
  double u_moved = faint_review_is_scale (common->parameter) ? moved * u_shift : u_shift;

  if (isnan (value->stated.probability))
    return;
  value->corrected = faint_review_compare (value->claimed, value->own_claimed, moved,
                                           hypot (factor * value->own_refitted, u_moved),
                                           self->options.coverage);
}

void
faint_review_find_common (FaintReview *self)
{
  gsize tests = 0;
  double level = (1.0 - self->options.confidence) / 3.0 / FAINT_REVIEW_COMMON_N;

  for (guint k = 0; k < FAINT_REVIEW_COMMON_N; k++)
    {
      FaintSystematic *finding = find_in (self, k, &tests);

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
