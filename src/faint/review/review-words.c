/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Verdicts in words, and what fails a review.
 */
#include "faint/review/review-private.h"

#include "faint/fit/doubt.h"
#include "faint/review/common-rows.h"

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
    return "centre";
  return is_blend (line) && parameter == FAINT_PLACE_STRENGTH ? "sum of strengths"
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
                   const FaintReviewJudgement *it, const char *but)
{
  const char *unit = faint_common_unit (value->parameter);
  const char *blank = strcmp (unit, "1") == 0 ? "" : " ";
  const char *sign
      = is_shift (value->parameter) && value->claimed * value->refitted < 0.0
                && fabs (value->claimed + value->refitted) <= self->options.coverage * it->u
            ? " has the wrong sign:"
            : "";
  g_autofree char *off = faint_format_concise (it->difference, it->u);

  return g_strdup_printf ("%s%s off by %s%s%s%s (E_n %.2f)",
                          faint_compared_words (value->parameter), sign, off, blank,
                          *blank != '\0' ? unit : "", but, it->en);
}

static char *
describe_difference (const FaintReview *self, const FaintReviewLine *line,
                     const FaintReviewValue *value)
{
  const FaintReviewJudgement *it = decided_by (self, value);
  const char *but = it == &value->corrected ? " beside what all lines share" : "";

  if (value->parameter == FAINT_PLACE_POSITION)
    {
      g_autofree char *shift = faint_format_concise (it->difference, it->u);
      return g_strdup_printf ("%s shifted by %s cm-1%s (E_n %.2f)",
                              words_of (line, value->parameter), shift, but, it->en);
    }
  if (!faint_common_is_scale (value->parameter))
    return describe_distance (self, value, it, but);
  if (value->refitted > 0.0)
    {
      double refitted = value->claimed - it->difference; /* as it would be claimed */
      g_autofree char *factor
          = faint_format_concise (value->claimed / refitted, it->u / fabs (refitted));
      return g_strdup_printf ("%s %s times the refitted one%s (E_n %.2f)",
                              words_of (line, value->parameter), factor, but, it->en);
    }
  return g_strdup_printf ("%s differs%s (E_n %.2f)", words_of (line, value->parameter), but,
                          it->en);
}

static char *
describe_agreement (const FaintReview *self, const FaintReviewValue *value)
{
  const FaintReviewJudgement *it = decided_by (self, value);
  const char *stated = isnan (value->u_claimed) ? "; the claim states no uncertainty" : "";

  if (it == &value->corrected && value->stated.verdict == FAINT_REVIEW_DIFFERS)
    return g_strdup_printf ("agrees but for what all lines share%s", stated);
  if (fabs (it->en) > 1.0)
    return g_strdup_printf ("|E_n| above 1, as one in %.0f honest values has%s",
                            1.0 / erfc (self->options.coverage / G_SQRT2), stated);
  return g_strdup (*stated != '\0' ? stated + 2 : "");
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
                                  ? "the spectrum excludes it"
                                  : "the line does not stand out of the noise");
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
    return g_strdup_printf ("Claimed but not seen: strength %s cm/molecule claimed, at most %.2g "
                            "there.",
                            strength, line->limit);
  if (other != NULL)
    return g_strdup_printf (
        "Undecided: blended with the line at %.5f cm-1, and the spectrum does not "
        "tell their parts (strength uncertain by %.2g cm/molecule).",
        other->position.value, seen->strength.u);
  if (isnan (line->limit))
    return g_strdup ("Undecided: not seen, and the spectrum sets no limit.");
  return g_strdup_printf ("Undecided: too faint for this spectrum, which would not show a strength "
                          "below about %.2g cm/molecule.",
                          line->limit);
}

/* "; not examined: ..." or "". */
static char *
name_unexamined (const FaintReviewLine *line)
{
  g_autoptr (GString) text = g_string_new (NULL);

  for (guint k = 0; k < line->values->len; k++)
    {
      const FaintReviewValue *value = &g_array_index (line->values, FaintReviewValue, k);

      if (value->verdict == FAINT_REVIEW_NOT_EXAMINED)
        g_string_append_printf (text, "%s%s", text->len > 0 ? ", " : "; not examined: ",
                                faint_compared_words (value->parameter));
    }
  return g_string_free (g_steal_pointer (&text), FALSE);
}

static const char *
number_of (guint n)
{
  static const char *const names[]
      = { "none", "one", "two", "three", "four", "five", "six", "seven", "eight" };

  return n < G_N_ELEMENTS (names) ? names[n] : "many";
}

static char *
describe_blend (const FaintReviewLine *line)
{
  guint claimed = line->claimed->len, refitted = line->refitted->len;

  if (claimed == 1 && refitted == 1)
    return g_strdup ("");
  if (refitted == 1)
    return g_strdup_printf (" (claimed as %s, seen as one)", number_of (claimed));
  if (claimed == 1)
    return g_strdup_printf (" (claimed as one, seen as %s)", number_of (refitted));
  return g_strdup_printf (" (%s claimed lines that the spectrum does not tell apart, judged by the "
                          "sum of their strengths and its centre)",
                          number_of (claimed));
}

static char *
describe_line (const FaintReview *self, const FaintReviewLine *line)
{
  const FaintLine *claim = faint_line_list_find (self->compared, line->claimed_id);
  const FaintLine *seen
      = faint_line_list_find (faint_analysis_get_lines (self->refit), line->refitted_id);
  g_autofree char *blend = describe_blend (line);
  g_autofree char *reasons = NULL, *rest = NULL;

  if (claim == NULL)
    {
      g_autofree char *position = faint_format_concise (seen->position.value, seen->position.u);
      g_autofree char *strength = faint_format_concise (seen->strength.value, seen->strength.u);

      return g_strdup_printf (line->verdict == FAINT_REVIEW_NOT_CLAIMED
                                  ? "Seen but not claimed: position %s cm-1, strength %s "
                                    "cm/molecule, %.1f times its noise."
                                  : "Undecided: perhaps a line that is not claimed, position %s "
                                    "cm-1, strength %s cm/molecule, %.1f times its noise, which "
                                    "noise alone may show somewhere in the span.",
                              position, strength, seen->snr);
    }
  if (seen == NULL)
    return g_strdup ("Not examined: outside the span of the spectrum.");
  if (!(line->snr >= SEEN))
    {
      FaintLine claims = faint_review_line_claimed (self, line);
      FaintLine sum = faint_review_line_seen (self, line);

      return describe_unseen (self, line, &claims, &sum);
    }
  if (line->verdict == FAINT_REVIEW_DIFFERS)
    {
      reasons = join_reasons (line, FAINT_REVIEW_DIFFERS, FALSE);
      return g_strdup_printf ("Differs%s: %s.", blend, reasons);
    }
  if (line->verdict == FAINT_REVIEW_UNDECIDED)
    {
      reasons = join_reasons (line, FAINT_REVIEW_UNDECIDED, TRUE);
      return g_strdup_printf ("Undecided%s: %s.", blend,
                              *reasons != '\0' ? reasons : "nothing claimed can be compared");
    }
  reasons = join_reasons (line, FAINT_REVIEW_AGREES, TRUE);
  rest = name_unexamined (line);
  return g_strdup_printf ("Agrees%s%s%s%s.", blend, *reasons != '\0' ? "; " : "", reasons, rest);
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
  static const char *const along[] = { "", ", and with the position", ", and with the depth",
                                       ", and with the lower-state energy" };
  gboolean scale = faint_common_is_scale (it->parameter);
  double factor = exp (it->constant);
  g_autofree char *number = scale ? faint_format_concise (factor, factor * it->u_constant)
                                  : faint_format_concise (it->constant, it->u_constant);

  add_fault (self, "all its %s differ together, by %s%s%s%s%s.",
             faint_systematic_name (it->parameter), scale ? "the factor " : "", number,
             scale ? "" : " ", scale ? "" : faint_common_unit (it->parameter), along[it->form]);
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
    add_fault (self, "lines that differ: %" G_GSIZE_FORMAT ".", self->counts[FAINT_REVIEW_DIFFERS]);
  if (self->counts[FAINT_REVIEW_NOT_SEEN] > 0)
    add_fault (self, "lines claimed but not seen: %" G_GSIZE_FORMAT ".",
               self->counts[FAINT_REVIEW_NOT_SEEN]);
  if (self->counts[FAINT_REVIEW_NOT_CLAIMED] > 0 && !self->options.partial)
    add_fault (self, "lines seen but not claimed: %" G_GSIZE_FORMAT ".",
               self->counts[FAINT_REVIEW_NOT_CLAIMED]);
  if (faint_analysis_get_result (self->refit, &result) && result.verdict != FAINT_VERDICT_CONVERGED)
    add_fault (self, "the refit did not converge (%s), so nothing is certain.",
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
                          "%" G_GSIZE_FORMAT " claimed %s are not examined: %s.", n[k],
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
    faint_warnings_add (self->warnings, "same-spectrum",
                        "The claimed list comes from this very spectrum. Noise and inputs are "
                        "common to both sides, so normalised errors come out too small: agreement "
                        "says that the analysis can be repeated, not that it is right.");
  if (without > 0)
    faint_warnings_add (self->warnings, "claims-without-uncertainty",
                        "%" G_GSIZE_FORMAT " claimed values state no uncertainty; they are judged "
                        "by that of the refit alone.",
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
