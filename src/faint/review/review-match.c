/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which claimed line is which of those that the refit sees.
 */
#include "faint/review/review-private.h"

#include "faint/review/match.h"

/* Strength over its noise from which on a line is there. */
#define SEEN 3.0
#define REACH 3.0      /* half widths */
#define FAR_REACH 12.0 /* of a claim that nothing answers, to a line that nobody claims */
#define STRENGTH_SCALE 1.5
#define SAME_STRENGTH 4.0 /* combined standard uncertainties */

typedef struct
{
  FaintReview *review;
  const FaintLineList *refitted;
  GArray *claims, *seen;      /* FaintMatchLine */
  GArray *claim_at, *seen_at; /* gsize, in compared and refitted */
} Work;

static void
add_line (GArray *lines, GArray *places, const FaintLine *line, gsize at, double shift,
          const FaintSetup *setup)
{
  FaintMatchLine it = { .position = line->position.value - shift,
                        .strength = line->strength.value,
                        .half_width = faint_review_half_width (line, setup) };

  g_array_append_val (lines, it);
  g_array_append_val (places, at);
}

static void
work_clear (Work *self)
{
  g_array_unref (self->claims);
  g_array_unref (self->seen);
  g_array_unref (self->claim_at);
  g_array_unref (self->seen_at);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Work, work_clear)

static void
value_clear (gpointer data)
{
  g_free (((FaintReviewValue *)data)->reason);
}

FaintReviewLine *
faint_review_line_new (void)
{
  FaintReviewLine *self = g_new0 (FaintReviewLine, 1);

  self->snr = self->limit = NAN;
  self->verdict = FAINT_REVIEW_NOT_EXAMINED;
  self->claimed = g_array_new (FALSE, FALSE, sizeof (guint));
  self->refitted = g_array_new (FALSE, FALSE, sizeof (guint));
  self->values = g_array_new (FALSE, TRUE, sizeof (FaintReviewValue));
  g_array_set_clear_func (self->values, value_clear);
  return self;
}

static const FaintLine *
claim_at (const Work *self, gsize i)
{
  return faint_line_list_get (self->review->compared, g_array_index (self->claim_at, gsize, i));
}

static const FaintLine *
seen_at (const Work *self, gsize i)
{
  return faint_line_list_get (self->refitted, g_array_index (self->seen_at, gsize, i));
}

static void
gather (Work *self, double shift)
{
  const FaintSetup *setup = faint_analysis_get_setup (self->review->refit);
  const FaintLineList *compared = self->review->compared;

  self->claims = g_array_new (FALSE, FALSE, sizeof (FaintMatchLine));
  self->seen = g_array_new (FALSE, FALSE, sizeof (FaintMatchLine));
  self->claim_at = g_array_new (FALSE, FALSE, sizeof (gsize));
  self->seen_at = g_array_new (FALSE, FALSE, sizeof (gsize));
  for (gsize i = 0; i < faint_line_list_get_n (compared); i++)
    {
      const FaintLine *line = faint_line_list_get (compared, i);

      if (faint_review_is_in_span (self->review, line->position.value - shift)
          && (line->flags & FAINT_LINE_EXCLUDED) == 0)
        add_line (self->claims, self->claim_at, line, i, shift, setup);
    }
  for (gsize i = 0; i < faint_line_list_get_n (self->refitted); i++)
    {
      const FaintLine *line = faint_line_list_get (self->refitted, i);

      if (line->snr >= SEEN)
        add_line (self->seen, self->seen_at, line, i, 0.0, setup);
    }
}

static guint
first_of (const GArray *ids)
{
  return ids->len > 0 ? g_array_index (ids, guint, 0) : 0;
}

static void
name_first (FaintReviewLine *line)
{
  line->claimed_id = first_of (line->claimed);
  line->refitted_id = first_of (line->refitted);
}

static void
take_group (const Work *self, const FaintMatch *match)
{
  FaintReviewLine *line = faint_review_line_new ();

  for (guint k = 0; k < match->n[0]; k++)
    g_array_append_val (line->claimed, claim_at (self, match->first[0] + k)->id);
  for (guint k = 0; k < match->n[1]; k++)
    g_array_append_val (line->refitted, seen_at (self, match->first[1] + k)->id);
  name_first (line);
  g_ptr_array_add (self->review->lines, line);
}

static gboolean
same_strength (const FaintLine *claim, const FaintLine *seen)
{
  double u = hypot (isnan (claim->strength.u) ? 0.0 : claim->strength.u, seen->strength.u);

  return fabs (claim->strength.value - seen->strength.value) <= SAME_STRENGTH * u;
}

/* A claim that nothing answers and the nearest line of its strength that nobody claims. */
static void
join_far (const Work *self, FaintReviewLine *claim)
{
  const FaintSetup *setup = faint_analysis_get_setup (self->review->refit);
  const FaintLine *line = faint_line_list_find (self->review->compared, claim->claimed_id);
  double least = FAR_REACH * faint_review_half_width (line, setup);
  FaintReviewLine *best = NULL;

  for (guint i = 0; i < self->review->lines->len; i++)
    {
      FaintReviewLine *it = g_ptr_array_index (self->review->lines, i);
      const FaintLine *seen;

      if (it->claimed_id != 0 || it->refitted_id == 0)
        continue;
      seen = faint_line_list_find (self->refitted, it->refitted_id);
      if (fabs (seen->position.value - line->position.value) < least && same_strength (line, seen))
        {
          least = fabs (seen->position.value - line->position.value);
          best = it;
        }
    }
  if (best == NULL)
    return;
  g_array_append_vals (claim->refitted, best->refitted->data, best->refitted->len);
  name_first (claim);
  g_ptr_array_remove (self->review->lines, best);
}

static gboolean
is_taken (const FaintReview *self, guint id)
{
  return faint_review_find_refitted (self, id) != NULL;
}

/* A claim that nothing answers: what the refit has in its place tells how much could be there. */
static void
settle_unseen (const Work *self, FaintReviewLine *claim, GArray *lost)
{
  const FaintLine *own = faint_line_list_find (self->refitted, claim->claimed_id);

  if (own != NULL && !(own->snr >= SEEN) && !is_taken (self->review, own->id))
    {
      g_array_append_val (claim->refitted, own->id);
      name_first (claim);
    }
  else
    g_array_append_vals (lost, claim->claimed->data, claim->claimed->len);
}

static void
add_outside (const Work *self, double shift)
{
  const FaintLineList *compared = self->review->compared;

  for (gsize i = 0; i < faint_line_list_get_n (compared); i++)
    {
      const FaintLine *it = faint_line_list_get (compared, i);

      if (!faint_review_is_in_span (self->review, it->position.value - shift)
          || (it->flags & FAINT_LINE_EXCLUDED) != 0)
        {
          FaintReviewLine *line = faint_review_line_new ();

          g_array_append_val (line->claimed, it->id);
          name_first (line);
          g_ptr_array_add (self->review->lines, line);
        }
    }
}

static void
place (const Work *self, FaintReviewLine *line)
{
  const FaintLine *claim, *seen;

  name_first (line);
  claim = faint_line_list_find (self->review->compared, line->claimed_id);
  seen = faint_line_list_find (self->refitted, line->refitted_id);
  line->position = claim != NULL ? claim->position.value : seen->position.value;
  if (seen != NULL)
    line->snr = faint_review_line_seen (self->review, line).snr;
}

static int
by_position (gconstpointer a, gconstpointer b)
{
  double x = (*(FaintReviewLine *const *)a)->position, y = (*(FaintReviewLine *const *)b)->position;

  return x < y ? -1 : x > y ? 1 : 0;
}

void
faint_review_match (FaintReview *self, double shift, GArray *lost)
{
  g_auto (Work) work = { .review = self, .refitted = faint_analysis_get_lines (self->refit) };
  const FaintMatchOptions options = { .reach = REACH, .scale = STRENGTH_SCALE };
  g_autoptr (GArray) matches = NULL;
  g_autoptr (GPtrArray) alone = g_ptr_array_new ();

  gather (&work, shift);
  matches = faint_match_lines ((const FaintMatchLine *)(void *)work.claims->data, work.claims->len,
                               (const FaintMatchLine *)(void *)work.seen->data, work.seen->len,
                               &options);
  g_ptr_array_set_size (self->lines, 0);
  for (guint i = 0; i < matches->len; i++)
    take_group (&work, &g_array_index (matches, FaintMatch, i));
  for (guint i = 0; i < self->lines->len; i++)
    if (((FaintReviewLine *)g_ptr_array_index (self->lines, i))->refitted_id == 0)
      g_ptr_array_add (alone, g_ptr_array_index (self->lines, i));
  for (guint i = 0; i < alone->len; i++)
    join_far (&work, g_ptr_array_index (alone, i));
  for (guint i = 0; i < alone->len; i++)
    if (((FaintReviewLine *)g_ptr_array_index (alone, i))->refitted_id == 0)
      settle_unseen (&work, g_ptr_array_index (alone, i), lost);
  add_outside (&work, shift);
  faint_review_join_blends (self);
  for (guint i = 0; i < self->lines->len; i++)
    place (&work, g_ptr_array_index (self->lines, i));
  g_ptr_array_sort (self->lines, by_position);
}
