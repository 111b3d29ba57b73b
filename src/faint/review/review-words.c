/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Verdicts in words, and what fails a review.
 */
#include "faint/review/review-private.h"

#include "faint/fit/doubt.h"
#include "faint/review/common-rows.h"
#include "faint/base/words.h"

#include <string.h>

#define SEEN 3.0

/* The judgement that decided. */
static const FaintReviewJudgement *
decided_by (const FaintReview *self, const FaintReviewValue *value)
{
  return value->relative || faint_review_common_of (self, value->parameter) != NULL
             ? &value->corrected
             : &value->stated;
}

static gboolean
is_blend (const FaintReviewLine *line)
{
  return line->claimed->len > 1 || line->refitted->len > 1;
}

static const char *
words_of (const FaintReviewLine *line, guint parameter)
{
  if (is_blend (line) && parameter == FAINT_PLACE_POSITION)
    return N_ ("centre");
  return is_blend (line) && parameter == FAINT_PLACE_STRENGTH ? N_ ("sum of strengths")
                                                              : faint_compared_words (parameter);
}

static gboolean
is_shift (guint parameter)
{
  guint coefficient = parameter - FAINT_PLACE_N;

  return parameter >= FAINT_PLACE_N && coefficient >= FAINT_COEFFICIENT_SHIFT_SELF
         && coefficient <= FAINT_COEFFICIENT_SHIFT_MIXTURE;
}

/* What may have any sign, or whose zero is none of its own. */
static char *
describe_distance (const FaintReview *self, const FaintReviewValue *value,
                   const FaintReviewJudgement *it)
{
  const char *unit = faint_common_unit (value->parameter);
  gboolean wrong = is_shift (value->parameter) && value->claimed * value->refitted < 0.0
                   && fabs (value->claimed + value->refitted) <= self->options.coverage * it->u;
  g_autofree char *number = faint_format_concise (it->difference, it->u);
  g_autofree char *off
      = strcmp (unit, "1") == 0 ? g_strdup (number) : g_strconcat (number, " ", unit, NULL);

  return g_strdup_printf (wrong ? N_ ("%s has the wrong sign: off by %s") : N_ ("%s off by %s"),
                          faint_compared_words (value->parameter), off);
}

/* "strength 1.0714(11) times the refitted one". */
static char *
describe_amount (const FaintReview *self, const FaintReviewLine *line,
                 const FaintReviewValue *value, const FaintReviewJudgement *it)
{
  const char *name = words_of (line, value->parameter);

  if (value->parameter == FAINT_PLACE_POSITION)
    {
      g_autofree char *shift = faint_format_concise (it->difference, it->u);
      return g_strdup_printf (N_ ("%s shifted by %s cm-1"), name, shift);
    }
  if (!faint_common_is_scale (value->parameter))
    return describe_distance (self, value, it);
  if (value->refitted > 0.0)
    {
      double refitted = value->claimed - it->difference; /* as it would be claimed */
      g_autofree char *factor
          = faint_format_concise (value->claimed / refitted, it->u / fabs (refitted));
      return g_strdup_printf (N_ ("%s %s times the refitted one"), name, factor);
    }
  return g_strdup_printf (N_ ("%s differs"), name);
}

static char *
describe_difference (const FaintReview *self, const FaintReviewLine *line,
                     const FaintReviewValue *value)
{
  const FaintReviewJudgement *it = decided_by (self, value);
  g_autofree char *amount = describe_amount (self, line, value, it);

  return g_strdup_printf (it == &value->corrected ? N_ ("%s beside what all lines share (E_n %.2f)")
                                                  : N_ ("%s (E_n %.2f)"),
                          amount, it->en);
}

static char *
describe_agreement (const FaintReview *self, const FaintReviewValue *value)
{
  const FaintReviewJudgement *it = decided_by (self, value);
  const char *stated = isnan (value->u_claimed) ? N_ ("the claim states no uncertainty") : NULL;
  g_autofree char *agreement = NULL;

  if (it == &value->corrected && value->stated.verdict == FAINT_REVIEW_DIFFERS)
    agreement = g_strdup (N_ ("agrees but for what all lines share"));
  else if (fabs (it->en) > 1.0)
    agreement = g_strdup_printf (N_ ("|E_n| above 1, as one in %.0f honest values has"),
                                 1.0 / erfc (self->options.coverage / G_SQRT2));
  if (agreement != NULL && stated != NULL)
    return g_strdup_printf (N_ ("%s; %s"), agreement, stated);
  return agreement != NULL ? g_steal_pointer (&agreement) : g_strdup (stated != NULL ? stated : "");
}

static void
give_reason (const FaintReview *self, const FaintReviewLine *line, FaintReviewValue *value)
{
  if (value->reason != NULL)
    return;
  if (value->verdict == FAINT_REVIEW_DIFFERS)
    value->reason = describe_difference (self, line, value);
  else if (value->verdict == FAINT_REVIEW_AGREES)
    value->reason = describe_agreement (self, value);
  else
    value->reason = g_strdup (value->verdict == FAINT_REVIEW_NOT_SEEN
                                  ? N_ ("the spectrum excludes it")
                                  : N_ ("the line does not stand out of the noise"));
}

/* Reasons of the values with @verdict, joined. */
static char *
join_reasons (const FaintReviewLine *line, FaintReviewVerdict verdict, gboolean names)
{
  g_autoptr (GString) text = g_string_new (NULL);

  for (guint k = 0; k < line->values->len; k++)
    {
      const FaintReviewValue *value = &g_array_index (line->values, FaintReviewValue, k);

      if (value->verdict != verdict || *value->reason == '\0')
        continue;
      if (text->len > 0)
        g_string_append (text, "; ");
      if (names)
        g_string_append_printf (text, "%s: ", words_of (line, value->parameter));
      g_string_append (text, value->reason);
    }
  return g_string_free (g_steal_pointer (&text), FALSE);
}

/* The line nearest to @line in the refit, if the two cannot be told apart. */
static const FaintLine *
blended_with (const FaintReview *self, const FaintLine *line)
{
  const FaintLineList *lines = faint_analysis_get_lines (self->refit);
  const FaintSetup *setup = faint_analysis_get_setup (self->refit);
  const FaintLine *nearest = NULL;
  double least = faint_review_half_width (line, setup);

  for (gsize i = 0; i < faint_line_list_get_n (lines); i++)
    {
      const FaintLine *it = faint_line_list_get (lines, i);
      double apart = fabs (it->position.value - line->position.value);

      if (it->id != line->id && apart < least)
        {
          nearest = it;
          least = apart;
        }
    }
  return nearest;
}

static char *
describe_unseen (const FaintReview *self, const FaintReviewLine *line, const FaintLine *claim,
                 const FaintLine *seen)
{
  g_autofree char *strength = faint_format_concise (claim->strength.value, claim->strength.u);
  const FaintLine *other = blended_with (self, seen);

  if (line->verdict == FAINT_REVIEW_NOT_SEEN)
    return g_strdup_printf (
        N_ ("Claimed but not seen: strength %s cm/molecule claimed, at most %.2g "
            "there."),
        strength, line->limit);
  if (other != NULL)
    return g_strdup_printf (
        N_ ("Undecided: blended with the line at %.5f cm-1, and the spectrum does not "
            "tell their parts (strength uncertain by %.2g cm/molecule)."),
        other->position.value, seen->strength.u);
  if (isnan (line->limit))
    return g_strdup (N_ ("Undecided: not seen, and the spectrum sets no limit."));
  return g_strdup_printf (
      N_ ("Undecided: too faint for this spectrum, which would not show a strength "
          "below about %.2g cm/molecule."),
      line->limit);
}

/* "not examined: ..." or NULL. */
static char *
name_unexamined (const FaintReviewLine *line)
{
  g_autoptr (GString) text = g_string_new (NULL);

  for (guint k = 0; k < line->values->len; k++)
    {
      const FaintReviewValue *value = &g_array_index (line->values, FaintReviewValue, k);

      if (value->verdict == FAINT_REVIEW_NOT_EXAMINED)
        g_string_append_printf (text, "%s%s", text->len > 0 ? ", " : "",
                                faint_compared_words (value->parameter));
    }
  return text->len > 0 ? g_strdup_printf (N_ ("not examined: %s"), text->str) : NULL;
}

static const char *
number_of (guint n)
{
  static const char *const names[]
      = { N_ ("none"), N_ ("one"), N_ ("two"),   N_ ("three"), N_ ("four"),
          N_ ("five"), N_ ("six"), N_ ("seven"), N_ ("eight") };

  return n < G_N_ELEMENTS (names) ? names[n] : N_ ("many");
}

/* NULL: one of each. */
static char *
describe_blend (const FaintReviewLine *line)
{
  guint claimed = line->claimed->len, refitted = line->refitted->len;

  if (claimed == 1 && refitted == 1)
    return NULL;
  if (refitted == 1)
    return g_strdup_printf (N_ ("claimed as %s, seen as one"), number_of (claimed));
  if (claimed == 1)
    return g_strdup_printf (N_ ("claimed as one, seen as %s"), number_of (refitted));
  return g_strdup_printf (
      N_ ("%s claimed lines that the spectrum does not tell apart, judged by the "
          "sum of their strengths and its centre"),
      number_of (claimed));
}

/* One that is seen but not claimed. */
static char *
describe_unclaimed (const FaintReviewLine *line, const FaintLine *seen)
{
  g_autofree char *position = faint_format_concise (seen->position.value, seen->position.u);
  g_autofree char *strength = faint_format_concise (seen->strength.value, seen->strength.u);

  return g_strdup_printf (line->verdict == FAINT_REVIEW_NOT_CLAIMED
                              ? N_ ("Seen but not claimed: position %s cm-1, strength %s "
                                    "cm/molecule, %.1f times its noise.")
                              : N_ ("Undecided: perhaps a line that is not claimed, position %s "
                                    "cm-1, strength %s cm/molecule, %.1f times its noise, which "
                                    "noise alone may show somewhere in the span."),
                          position, strength, seen->snr);
}

static char *
describe_agreeing (const FaintReviewLine *line, const char *blend)
{
  g_autofree char *reasons = join_reasons (line, FAINT_REVIEW_AGREES, TRUE);
  g_autofree char *unexamined = name_unexamined (line);
  g_autofree char *rest = unexamined == NULL ? g_strdup (reasons)
                          : *reasons == '\0' ? g_strdup (unexamined)
                                             : g_strdup_printf (N_ ("%s; %s"), reasons, unexamined);

  if (*rest == '\0')
    return blend != NULL ? g_strdup_printf (N_ ("Agrees (%s)."), blend) : g_strdup (N_ ("Agrees."));
  return blend != NULL ? g_strdup_printf (N_ ("Agrees (%s); %s."), blend, rest)
                       : g_strdup_printf (N_ ("Agrees; %s."), rest);
}

static char *
describe_line (const FaintReview *self, const FaintReviewLine *line)
{
  const FaintLine *claim = faint_line_list_find (self->compared, line->claimed_id);
  const FaintLine *seen
      = faint_line_list_find (faint_analysis_get_lines (self->refit), line->refitted_id);
  g_autofree char *blend = NULL, *reasons = NULL;

  if (claim == NULL)
    return describe_unclaimed (line, seen);
  if (seen == NULL)
    return g_strdup (N_ ("Not examined: outside the span of the spectrum."));
  if (!(line->snr >= SEEN))
    {
      FaintLine claims = faint_review_line_claimed (self, line);
      FaintLine sum = faint_review_line_seen (self, line);

      return describe_unseen (self, line, &claims, &sum);
    }
  blend = describe_blend (line);
  if (line->verdict != FAINT_REVIEW_DIFFERS && line->verdict != FAINT_REVIEW_UNDECIDED)
    return describe_agreeing (line, blend);
  reasons = join_reasons (line, line->verdict, line->verdict == FAINT_REVIEW_UNDECIDED);
  if (line->verdict == FAINT_REVIEW_DIFFERS)
    return blend != NULL ? g_strdup_printf (N_ ("Differs (%s): %s."), blend, reasons)
                         : g_strdup_printf (N_ ("Differs: %s."), reasons);
  if (*reasons == '\0')
    {
      g_free (reasons);
      reasons = g_strdup (N_ ("nothing claimed can be compared"));
    }
  return blend != NULL ? g_strdup_printf (N_ ("Undecided (%s): %s."), blend, reasons)
                       : g_strdup_printf (N_ ("Undecided: %s."), reasons);
}

static void add_fault (FaintReview *self, const char *format, ...) G_GNUC_PRINTF (2, 3);

static void
add_fault (FaintReview *self, const char *format, ...)
{
  va_list arguments;

  va_start (arguments, format);
  g_ptr_array_add (self->faults, g_strdup_vprintf (format, arguments));
  va_end (arguments);
}

char *
faint_review_faults_words (const FaintReview *self)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < self->faults->len; i++)
    {
      if (text->len > 0) /* the stop of the one before */
        g_string_truncate (text, text->len - 1);
      g_string_append_printf (text, "%s%s", text->len > 0 ? "; " : "",
                              (const char *)g_ptr_array_index (self->faults, i));
    }
  return g_string_free (text, FALSE);
}

/* "all its strengths differ together, by the factor 1.0714(11)." */
static void
add_common_fault (FaintReview *self, const FaintSystematic *it)
{
  static const char *const words[] = {
    N_ ("all its %s differ together, by %s."),
    N_ ("all its %s differ together, by %s, and with the position."),
    N_ ("all its %s differ together, by %s, and with the depth."),
    N_ ("all its %s differ together, by %s, and with the lower-state energy."),
  };
  double factor = exp (it->constant);
  gboolean scale = faint_common_is_scale (it->parameter);
  g_autofree char *number = scale ? faint_format_concise (factor, factor * it->u_constant)
                                  : faint_format_concise (it->constant, it->u_constant);
  g_autofree char *by = scale
                            ? g_strdup_printf (N_ ("the factor %s"), number)
                            : g_strdup_printf ("%s %s", number, faint_common_unit (it->parameter));

  add_fault (self, words[it->form], faint_systematic_name (it->parameter), by);
}

static void
find_faults (FaintReview *self)
{
  FaintAnalysisResult result;

  for (guint i = 0; i < self->systematic->len; i++)
    {
      const FaintSystematic *it = g_ptr_array_index (self->systematic, i);

      if (it->beyond)
        add_common_fault (self, it);
    }
  if (self->counts[FAINT_REVIEW_DIFFERS] > 0)
    add_fault (self, N_ ("lines that differ: %zu."), self->counts[FAINT_REVIEW_DIFFERS]);
  if (self->counts[FAINT_REVIEW_NOT_SEEN] > 0)
    add_fault (self, N_ ("lines claimed but not seen: %zu."), self->counts[FAINT_REVIEW_NOT_SEEN]);
  if (self->counts[FAINT_REVIEW_NOT_CLAIMED] > 0 && !self->options.partial)
    add_fault (self, N_ ("lines seen but not claimed: %zu."),
               self->counts[FAINT_REVIEW_NOT_CLAIMED]);
  if (faint_analysis_get_result (self->refit, &result) && result.verdict != FAINT_VERDICT_CONVERGED)
    add_fault (self, N_ ("the refit did not converge (%s), so nothing is certain."),
               faint_verdict_name (result.verdict));
  self->passed = self->faults->len == 0;
}

/* Claims of which the spectrum says nothing are no agreement: for each parameter with how many it
 * is so, and why. */
static void
warn_unexamined (FaintReview *self)
{
  gsize n[FAINT_COMPARED_N] = { 0 };
  const char *why[FAINT_COMPARED_N] = { NULL };

  for (guint i = 0; i < self->lines->len; i++)
    {
      const FaintReviewLine *line = g_ptr_array_index (self->lines, i);

      for (guint k = 0; k < line->values->len; k++)
        {
          const FaintReviewValue *it = &g_array_index (line->values, FaintReviewValue, k);

          if (it->verdict != FAINT_REVIEW_NOT_EXAMINED)
            continue;
          n[it->parameter]++;
          why[it->parameter] = it->reason;
        }
    }
  for (guint k = 0; k < FAINT_COMPARED_N; k++)
    if (n[k] > 0)
      faint_warnings_add (self->warnings, "not-examined",
                          N_ ("%zu claimed %s are not examined: %s."), n[k],
                          faint_systematic_name (k), why[k]);
}

static gsize
count_without_u (const FaintReview *self)
{
  gsize n = 0;

  for (guint i = 0; i < self->lines->len; i++)
    {
      const FaintReviewLine *line = g_ptr_array_index (self->lines, i);

      for (guint k = 0; k < line->values->len; k++)
        {
          const FaintReviewValue *it = &g_array_index (line->values, FaintReviewValue, k);

          n += isnan (it->u_claimed) && it->verdict != FAINT_REVIEW_NOT_EXAMINED;
        }
    }
  return n;
}

/* What the refit found. A reviewer changes neither the claims nor the fit, so what advises to is
 * left out. */
static void
extend_by_fit (FaintReview *self)
{
  const GPtrArray *warnings = faint_analysis_get_fit_warnings (self->refit);

  for (guint i = 0; warnings != NULL && i < warnings->len; i++)
    {
      const FaintWarning *warning = g_ptr_array_index (warnings, i);
      g_autofree char *text = faint_doubt_without_advice (warning);

      faint_warnings_add (self->warnings, warning->code, "%s", text);
    }
}

static void
warn (FaintReview *self)
{
  gsize without = count_without_u (self);

  if (self->same_spectrum)
    faint_warnings_add (
        self->warnings, "same-spectrum",
        N_ ("The claimed list comes from this very spectrum. Noise and inputs are "
            "common to both sides, so normalised errors come out too small: agreement "
            "says that the analysis can be repeated, not that it is right."));
  if (without > 0)
    faint_warnings_add (self->warnings, "claims-without-uncertainty",
                        N_ ("%zu claimed values state no uncertainty; they are judged "
                            "by that of the refit alone."),
                        without);
  warn_unexamined (self);
  extend_by_fit (self);
}

void
faint_review_describe (FaintReview *self)
{
  for (guint i = 0; i < self->lines->len; i++)
    {
      FaintReviewLine *line = g_ptr_array_index (self->lines, i);

      for (guint k = 0; k < line->values->len; k++)
        give_reason (self, line, &g_array_index (line->values, FaintReviewValue, k));
      line->words = describe_line (self, line);
    }
  warn (self);
  find_faults (self);
}
