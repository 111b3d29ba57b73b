/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Claimed and refitted values of every line, and whether they can be compared.
 */
#include "faint/review/review-private.h"

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

/* Two neighbours as one: what is common adds, what is their own adds in squares. */
static FaintParameter
sum_of (FaintParameter a, FaintParameter b, double weight_a, double weight_b)
{
  double own_a = isnan (a.u_noise) ? a.u : a.u_noise, own_b = isnan (b.u_noise) ? b.u : b.u_noise;
  double common_a = sqrt (MAX (a.u * a.u - own_a * own_a, 0.0));
  double common_b = sqrt (MAX (b.u * b.u - own_b * own_b, 0.0));
  FaintParameter sum = { .value = weight_a * a.value + weight_b * b.value,
                         .u_noise = hypot (weight_a * own_a, weight_b * own_b),
                         .state = MAX (a.state, b.state) };

  sum.u = hypot (sum.u_noise, weight_a * common_a + weight_b * common_b);
  return sum;
}

/* The line that @id and @second are together: position and strength alone. */
static FaintLine
line_of (const FaintLineList *list, guint id, guint second)
{
  FaintLine line = *faint_line_list_find (list, id), blend = faint_line_unknown ();
  const FaintLine *other = second != 0 ? faint_line_list_find (list, second) : NULL;
  double share;

  if (other == NULL)
    return line;
  share = line.strength.value / (line.strength.value + other->strength.value);
  blend.position = sum_of (line.position, other->position, share, 1.0 - share);
  /* How the light is shared between the two moves the mean too. */
  if (isfinite (line.strength.u) && isfinite (other->strength.u))
    {
      double apart = line.position.value - other->position.value;
      double relative = hypot (line.strength.u / line.strength.value,
                               other->strength.u / other->strength.value);

      blend.position.u = hypot (blend.position.u, apart * share * (1.0 - share) * relative);
      blend.position.u_noise
          = hypot (blend.position.u_noise, apart * share * (1.0 - share) * relative);
    }
  blend.strength = sum_of (line.strength, other->strength, 1.0, 1.0);
  blend.flags = line.flags | other->flags;
  return blend;
}

/* Why the refit's @k, @it, cannot be compared, or NULL. */
static const char *
why_not (const FaintLine *seen, guint k, const FaintParameter *it)
{
  if ((seen->flags & FAINT_LINE_NOT_CONVERGED) != 0)
    return "the refit of this line did not converge";
  if ((seen->flags & FAINT_LINE_AT_EDGE) != 0)
    return "the line runs out of the recorded span";
  if (it->state != FAINT_STATE_FREE)
    return k == FAINT_PLACE_STRENGTH ? "the refit holds it"
                                     : "the line is too faint to determine it";
  if (k == FAINT_PLACE_LORENTZ && (seen->flags & FAINT_LINE_WIDTH_SHARED) != 0)
    return "the refitted width rests on the other lines more than on this one";
  if (k == FAINT_PLACE_LORENTZ && (seen->flags & FAINT_LINE_LORENTZ_AT_LIMIT) != 0)
    return "the refitted width is at its limit 0";
  if (!(isfinite (it->value) && isfinite (it->u) && it->u > 0.0))
    return "the spectrum does not determine it";
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
    untold = "claimed at another temperature, and its lower-state energy or Q(T) is not known";
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
  const FaintLineList *refitted = faint_analysis_get_lines (self->refit);

  for (guint i = 0; i < self->lines->len; i++)
    {
      Work work = { .review = self, .line = g_ptr_array_index (self->lines, i) };
      const FaintReviewLine *line = work.line;

      if (line->claimed_id == 0 || line->refitted_id == 0)
        continue;
      work.original = line_of (self->claimed, line->claimed_id, line->claimed_second);
      work.claim = line_of (self->compared, line->claimed_id, line->claimed_second);
      work.seen = line_of (refitted, line->refitted_id, line->refitted_second);
      if (line->claimed_second == 0 && line->refitted_second == 0)
        faint_review_bring (self, &work.original, &work.seen, &work.claim);
      for (guint k = 0; k < FAINT_COMPARED_N; k++)
        fill_value (&work, k);
    }
}
