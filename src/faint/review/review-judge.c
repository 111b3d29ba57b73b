/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Verdicts that hold together: Holm's step-down test over all values (S. Holm, Scand. J. Stat. 6,
 * 65 (1979)), which needs no independence, and which lines nobody claims.
 */
#include "faint/review/review-private.h"
#include "faint/base/words.h"

#include <gsl/gsl_cdf.h>
#include <stdlib.h>

#define SEEN 3.0
/* Half widths around a line in which both models are held against the spectrum. */
#define AROUND 3.0

typedef struct
{
  FaintReviewLine *line;
  FaintReviewValue *value;
  FaintReviewJudgement *judgement;
} Case;

static int
least_first (gconstpointer a, gconstpointer b)
{
  double x = ((const Case *)a)->judgement->probability;
  double y = ((const Case *)b)->judgement->probability;

  return x < y ? -1 : x > y ? 1 : 0;
}

static GArray *
gather (FaintReview *self, gboolean final)
{
  GArray *cases = g_array_new (FALSE, FALSE, sizeof (Case));

  for (guint i = 0; i < self->lines->len; i++)
    {
      FaintReviewLine *line = g_ptr_array_index (self->lines, i);

      for (guint k = 0; k < line->values->len; k++)
        {
          FaintReviewValue *value = &g_array_index (line->values, FaintReviewValue, k);
          gboolean common
              = value->relative || faint_review_common_of (self, value->parameter) != NULL;
          Case it = { line, value, final && common ? &value->corrected : &value->stated };

          if (isfinite (it.judgement->probability))
            g_array_append_val (cases, it);
        }
    }
  g_array_sort (cases, least_first);
  return cases;
}

/* Sets the verdicts of the judgements at @level for all together. */
static void
step_down (GArray *cases, double level)
{
  gboolean rejecting = TRUE;

  for (guint i = 0; i < cases->len; i++)
    {
      FaintReviewJudgement *it = g_array_index (cases, Case, i).judgement;

      rejecting = rejecting && it->probability * (double)(cases->len - i) < level;
      it->verdict = rejecting ? FAINT_REVIEW_DIFFERS : FAINT_REVIEW_AGREES;
    }
}

static double
square_at (const FaintFit *fit, gsize t)
{
  double sum = fit->residual[t] * fit->residual[t];

  return fit->residual_im != NULL ? sum + fit->residual_im[t] * fit->residual_im[t] : sum;
}

/* By how much the spectrum around @position fits the refit better than the claims. */
static double
fall_around (const FaintReview *self, double position, double half_width)
{
  double fall = 0.0;

  for (gsize k = 0; k < faint_analysis_get_n_spectra (self->refit); k++)
    {
      const FaintFit *claims = faint_analysis_get_fit_at (self->model, k);
      const FaintFit *refit = faint_analysis_get_fit_at (self->refit, k);
      const FaintSpectrum *spectrum = refit->spectrum;
      gsize t = faint_spectrum_index (spectrum, position - AROUND * half_width);

      for (; t < spectrum->n && spectrum->wavenumber[t] <= position + AROUND * half_width; t++)
        if (isfinite (refit->residual[t]) && isfinite (claims->residual[t]))
          fall += square_at (claims, t) - square_at (refit, t);
    }
  return fall;
}

/* A difference that leaves the spectrum as well described as the refit does is one of how a blend
 * is shared out, or of a minimum beside another: nothing to accuse a line of. @least: fall of
 * chi-square that backs an accusation. */
static gboolean
is_backed (const FaintReview *self, const Case *it, double least)
{
  const FaintSetup *setup = faint_analysis_get_setup (self->refit);
  const FaintLineList *refitted = faint_analysis_get_lines (self->refit);
  const FaintLine *claim = faint_line_list_find (self->compared, it->line->claimed_id);
  const FaintLine *seen = faint_line_list_find (refitted, it->line->refitted_id);
  double fall = fall_around (self, claim->position.value, faint_review_half_width (claim, setup));

  if (fabs (claim->position.value - seen->position.value) > 0.0)
    fall = MAX (fall,
                fall_around (self, seen->position.value, faint_review_half_width (seen, setup)));
  return fall >= least;
}

static void
settle_values (FaintReview *self, GArray *cases, double level)
{
  double z = gsl_cdf_ugaussian_Qinv (0.5 * level / (double)MAX (cases->len, 1));

  for (guint i = 0; i < cases->len; i++)
    {
      Case *it = &g_array_index (cases, Case, i);

      it->value->verdict = it->judgement->verdict;
      if (it->value->verdict == FAINT_REVIEW_DIFFERS && !is_backed (self, it, z * z))
        {
          it->value->verdict = FAINT_REVIEW_UNDECIDED;
          it->value->reason
              = g_strdup (N_ ("the claims describe the spectrum here as well as the refit does"));
        }
    }
}

static void
judge_seen (FaintReviewLine *line)
{
  gboolean agrees = FALSE, differs = FALSE, doubtful = FALSE;

  for (guint k = 0; k < line->values->len; k++)
    {
      const FaintReviewValue *value = &g_array_index (line->values, FaintReviewValue, k);

      differs |= value->verdict == FAINT_REVIEW_DIFFERS;
      agrees |= value->verdict == FAINT_REVIEW_AGREES;
      doubtful |= value->verdict == FAINT_REVIEW_UNDECIDED && isfinite (value->stated.probability);
    }
  line->verdict = differs               ? FAINT_REVIEW_DIFFERS
                  : agrees && !doubtful ? FAINT_REVIEW_AGREES
                                        : FAINT_REVIEW_UNDECIDED;
}

/* The refit has a strength in its place that is none. */
static void
judge_unseen (const FaintReview *self, FaintReviewLine *line, const FaintLine *seen)
{
  double z = gsl_cdf_ugaussian_Pinv (self->options.confidence);

  line->verdict = FAINT_REVIEW_UNDECIDED;
  if (isfinite (seen->strength.u))
    line->limit = MAX (seen->strength.value, 0.0) + z * seen->strength.u;
  for (guint k = 0; k < line->values->len; k++)
    {
      FaintReviewValue *value = &g_array_index (line->values, FaintReviewValue, k);

      if (value->parameter == FAINT_PLACE_STRENGTH && value->verdict == FAINT_REVIEW_DIFFERS
          && value->claimed > value->refitted)
        line->verdict = value->verdict = FAINT_REVIEW_NOT_SEEN;
      else if (value->verdict == FAINT_REVIEW_AGREES)
        value->verdict = FAINT_REVIEW_UNDECIDED;
    }
}

/* Expected false finds in the whole span that stand out as much. */
static double
false_finds (const FaintReview *self, double snr)
{
  double threshold = faint_analysis_get_options (self->refit)->threshold, sum = 0.0;

  for (gsize k = 0; k < faint_analysis_get_n_spectra (self->refit); k++)
    {
      double expected = faint_analysis_get_fit_at (self->refit, k)->false_finds_expected;

      sum += isfinite (expected) ? expected : 0.0;
    }
  return sum * exp (0.5 * (threshold * threshold - snr * snr));
}

static void
judge_line (FaintReview *self, FaintReviewLine *line)
{
  const FaintLine *seen
      = faint_line_list_find (faint_analysis_get_lines (self->refit), line->refitted_id);

  if (line->claimed_id == 0)
    line->verdict = -expm1 (-false_finds (self, line->snr)) < (1.0 - self->options.confidence) / 3.0
                        ? FAINT_REVIEW_NOT_CLAIMED
                        : FAINT_REVIEW_UNDECIDED;
  else if (seen == NULL)
    line->verdict = FAINT_REVIEW_NOT_EXAMINED;
  else if (!(line->snr >= SEEN))
    {
      FaintLine sum = faint_review_line_seen (self, line);

      judge_unseen (self, line, &sum);
    }
  else
    judge_seen (line);
}

static void
count (FaintReview *self, const GArray *cases)
{
  for (guint i = 0; i < self->lines->len; i++)
    self->counts[((FaintReviewLine *)g_ptr_array_index (self->lines, i))->verdict]++;
  self->n_values = cases->len;
  for (guint i = 0; i < cases->len; i++)
    self->n_beyond += fabs (g_array_index (cases, Case, i).value->stated.en) > 1.0;
  self->beyond_expected = (double)cases->len * erfc (self->options.coverage / G_SQRT2);
}

void
faint_review_judge (FaintReview *self)
{
  double level = (1.0 - self->options.confidence) / 3.0;
  g_autoptr (GArray) stated = gather (self, FALSE);
  g_autoptr (GArray) final = NULL;

  step_down (stated, level);
  final = gather (self, TRUE);
  step_down (final, level);
  settle_values (self, final, level);
  for (guint i = 0; i < self->lines->len; i++)
    {
      FaintReviewLine *line = g_ptr_array_index (self->lines, i);

      for (guint k = 0; k < line->values->len; k++)
        {
          FaintReviewValue *value = &g_array_index (line->values, FaintReviewValue, k);

          if (!value->relative && faint_review_common_of (self, value->parameter) == NULL)
            value->corrected = value->stated;
        }
      judge_line (self, line);
    }
  count (self, final);
}
