/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Claimed and refitted values of every line, and whether they can be compared.
 */
#include "faint/review/review-private.h"
#include "faint/base/words.h"

FaintReviewJudgement
faint_review_compare (double claimed, double u_claimed, double refitted, double u_refitted,
                      double coverage)
{
  FaintReviewJudgement self = { .difference = claimed - refitted,
                                .u = isnan (u_claimed) ? u_refitted : hypot (u_claimed, u_refitted),
                                .verdict = FAINT_REVIEW_UNDECIDED };

  self.en = self.difference / (coverage * self.u);
  self.probability = erfc (fabs (self.difference / self.u) / G_SQRT2);
  return self;
}

/* Why the refit's @k, @it, cannot be compared, or NULL. */
static const char *
why_not (const FaintLine *seen, guint k, const FaintParameter *it)
{
  if ((seen->flags & FAINT_LINE_NOT_CONVERGED) != 0)
    return N_ ("the refit of this line did not converge");
  if ((seen->flags & FAINT_LINE_AT_EDGE) != 0)
    return N_ ("the line runs out of the recorded span");
  if (it->state != FAINT_STATE_FREE)
    return k == FAINT_PLACE_STRENGTH ? N_ ("the refit holds it")
                                     : N_ ("the line is too faint to determine it");
  if (k == FAINT_PLACE_LORENTZ && (seen->flags & FAINT_LINE_WIDTH_SHARED) != 0)
    return N_ ("the refitted width rests on the other lines more than on this one");
  if (k == FAINT_PLACE_LORENTZ && (seen->flags & FAINT_LINE_LORENTZ_AT_LIMIT) != 0)
    return N_ ("the refitted width is at its limit 0");
  if (!(isfinite (it->value) && isfinite (it->u) && it->u > 0.0))
    return N_ ("the spectrum does not determine it");
  return NULL;
}

static void
add_value (const FaintReview *self, FaintReviewLine *line, const FaintLine *claim,
           const FaintLine *seen, guint k)
{
  const FaintParameter claimed = faint_compared_get (claim, k);
  const FaintParameter refitted = faint_compared_get (seen, k);
  const char *why = why_not (seen, k, &refitted);
  FaintReviewValue value = {
    .parameter = k,
    .claimed = claimed.value,
    .u_claimed = claimed.u,
    .refitted = refitted.value,
    .u_refitted = refitted.u,
    .own_claimed = isnan (claimed.u_noise) ? claimed.u : claimed.u_noise,
    .own_refitted = isnan (refitted.u_noise) ? refitted.u : refitted.u_noise,
    .verdict = FAINT_REVIEW_UNDECIDED,
  };

  value.stated = faint_review_compare (claimed.value, claimed.u, refitted.value, refitted.u,
                                       self->options.coverage);
  if (why != NULL)
    {
      value.stated.en = value.stated.probability = NAN;
      value.reason = g_strdup (why);
    }
  value.corrected = value.stated;
  g_array_append_val (line->values, value);
}

/* A claimed number that the spectrum, or the conversion, has no answer to. */
static void
add_unexamined (FaintReviewLine *line, FaintParameter claimed, guint k, const char *why)
{
  const FaintReviewJudgement none = { NAN, NAN, NAN, NAN, FAINT_REVIEW_NOT_EXAMINED };
  FaintReviewValue value = {
    .parameter = k,
    .claimed = claimed.value,
    .u_claimed = claimed.u,
    .refitted = NAN,
    .u_refitted = NAN,
    .own_claimed = NAN,
    .own_refitted = NAN,
    .stated = none,
    .corrected = none,
    .verdict = FAINT_REVIEW_NOT_EXAMINED,
    .reason = g_strdup (why),
  };

  g_array_append_val (line->values, value);
}

typedef struct
{
  const FaintReview *review;
  FaintReviewLine *line;
  FaintLine original, claim, seen; /* as claimed, at the conditions of the input, as refitted */
} Work;

/* A number that only follows from others of the claim that are compared themselves. */
static gboolean
is_derived (const Work *self, guint k)
{
  if (k == FAINT_PLACE_STRENGTH)
    return isnan (self->original.strength.value) && isfinite (self->original.strength_296)
           && faint_review_why_untold (self->review, FAINT_COMPARED_STRENGTH_296) == NULL;
  for (guint c = 0; k == FAINT_PLACE_LORENTZ && isnan (self->original.lorentz.value) && c < 3; c++)
    if (isfinite (self->claim.coefficient[FAINT_COEFFICIENT_BROADENING_SELF + c].value)
        && faint_review_why_untold (self->review,
                                    FAINT_PLACE_N + FAINT_COEFFICIENT_BROADENING_SELF + c)
               == NULL)
      return TRUE;
  return FALSE;
}

static void
fill_value (const Work *self, guint k)
{
  const FaintParameter stated = faint_compared_get (&self->original, k);
  const FaintParameter claimed = faint_compared_get (&self->claim, k);
  const FaintParameter refitted = faint_compared_get (&self->seen, k);
  const char *untold = faint_review_why_untold (self->review, k);

  if (k == FAINT_PLACE_STRENGTH && isnan (claimed.value) && isfinite (stated.value))
    untold = N_ ("claimed at another temperature, and its lower-state energy or Q(T) is not known");
  if (untold != NULL)
    {
      /* A strength at 296 K is judged as that at the temperature of the spectrum. */
      if (isfinite (stated.value) && k != FAINT_COMPARED_STRENGTH_296)
        add_unexamined (self->line, stated, k, untold);
      return;
    }
  /* What follows from the conditions is no finding of the spectrum. */
  if (isnan (claimed.value) || isnan (refitted.value)
      || (k >= FAINT_PLACE_DOPPLER && k < FAINT_PLACE_N && refitted.state != FAINT_STATE_FREE)
      || is_derived (self, k))
    return;
  add_value (self->review, self->line, &self->claim, &self->seen, k);
}

void
faint_review_fill_values (FaintReview *self)
{
  for (guint i = 0; i < self->lines->len; i++)
    {
      Work work = { .review = self, .line = g_ptr_array_index (self->lines, i) };
      const FaintReviewLine *line = work.line;

      if (line->claimed_id == 0 || line->refitted_id == 0)
        continue;
      work.original
          = faint_review_blend (self->claimed, (const guint *)(const void *)line->claimed->data,
                                line->claimed->len, NULL);
      work.claim = faint_review_line_claimed (self, line);
      work.seen = faint_review_line_seen (self, line);
      if (line->claimed->len == 1 && line->refitted->len == 1)
        faint_review_bring (self, &work.original, &work.seen, &work.claim);
      for (guint k = 0; k < FAINT_COMPARED_N; k++)
        fill_value (&work, k);
    }
}
