/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/review/review-private.h"

#include <string.h>

#include "faint/base/words.h"
#include "faint/review/match.h"

/* Claims shifted by more than this part of a half width together are fitted again from where they
 * belong; looked for within so many half widths, in places this wide. */
#define SHIFT_LEAST 0.25
#define SHIFT_REACH 15.0
#define SHIFT_WIDTH 0.5
#define SEEN 3.0

G_DEFINE_QUARK (faint_review_error_quark, faint_review_error)

const char *
faint_review_verdict_words (FaintReviewVerdict verdict, gsize n)
{
  static const char *const words[FAINT_REVIEW_VERDICT_N][2]
      = { { "agrees", "agree" },        { "differs", "differ" },
          { "not seen", "not seen" },   { "not claimed", "not claimed" },
          { "undecided", "undecided" }, { "not examined", "not examined" } };

  g_return_val_if_fail (verdict < FAINT_REVIEW_VERDICT_N, "");
  return words[verdict][n != 1];
}

char *
faint_review_counts_words (const FaintReview *self, const char *seen_only)
{
  GString *text = g_string_new (NULL);

  for (guint k = 0; k < FAINT_REVIEW_VERDICT_N; k++)
    if (self->counts[k] > 0)
      g_string_append_printf (text, "%s%" G_GSIZE_FORMAT " %s%s", text->len > 0 ? ", " : "",
                              self->counts[k],
                              faint_review_verdict_words ((FaintReviewVerdict)k, self->counts[k]),
                              k == FAINT_REVIEW_NOT_CLAIMED && seen_only != NULL ? seen_only : "");
  return g_string_free (text, FALSE);
}

const char *
faint_review_verdict_name (FaintReviewVerdict verdict)
{
  static const char *const names[]
      = { "agrees", "differs", "not-seen", "not-claimed", "undecided", "not-examined" };

  return names[verdict];
}

void
faint_review_options_init (FaintReviewOptions *options)
{
  *options = (FaintReviewOptions){
    .confidence = 0.95, .coverage = 2.0, .temperature = NAN, .pressure = NAN
  };
}

static void
line_free (gpointer data)
{
  FaintReviewLine *line = data;

  g_array_unref (line->claimed);
  g_array_unref (line->refitted);
  g_array_unref (line->values);
  g_free (line->words);
  g_free (line);
}

static FaintReview *
review_new (const FaintAnalysis *analysis, FaintLineList *claimed,
            const FaintReviewOptions *options)
{
  FaintReview *self = g_new0 (FaintReview, 1);
  g_autoptr (FaintLineList) none = faint_line_list_new (NULL, 0);

  g_atomic_ref_count_init (&self->refs);
  self->options = *options;
  self->claimed = faint_line_list_ref (claimed);
  self->refit = faint_analysis_with_lines (analysis, none);
  self->lines = g_ptr_array_new_with_free_func (line_free);
  self->systematic
      = g_ptr_array_new_with_free_func ((GDestroyNotify)(void (*) (void))faint_systematic_free);
  self->windows = g_array_new (FALSE, TRUE, sizeof (FaintReviewWindow));
  self->faults = g_ptr_array_new_with_free_func (g_free);
  self->warnings = faint_warnings_new ();
  return self;
}

FaintReview *
faint_review_ref (FaintReview *self)
{
  g_atomic_ref_count_inc (&self->refs);
  return self;
}

void
faint_review_unref (FaintReview *self)
{
  if (self == NULL || !g_atomic_ref_count_dec (&self->refs))
    return;
  g_clear_pointer (&self->claimed, faint_line_list_unref);
  g_clear_pointer (&self->compared, faint_line_list_unref);
  g_clear_pointer (&self->model, faint_analysis_unref);
  g_clear_pointer (&self->refit, faint_analysis_unref);
  g_ptr_array_unref (self->lines);
  g_ptr_array_unref (self->systematic);
  g_array_unref (self->windows);
  g_ptr_array_unref (self->faults);
  g_ptr_array_unref (self->warnings);
  g_free (self);
}

static gboolean
check (const FaintReviewOptions *options, GError **error)
{
  if (!(options->confidence >= 0.5 && options->confidence <= 0.999999))
    g_set_error (error, FAINT_REVIEW_ERROR, FAINT_REVIEW_ERROR_OPTION,
                 _ ("The confidence is %s; expected 0.5 to 0.999999."),
                 FAINT_NUMBER ("%g", options->confidence));
  else if (!(options->coverage >= 1.0 && options->coverage <= 4.0))
    g_set_error (error, FAINT_REVIEW_ERROR, FAINT_REVIEW_ERROR_OPTION,
                 _ ("The coverage factor is %s; expected 1 to 4."),
                 FAINT_NUMBER ("%g", options->coverage));
  else if (!(isnan (options->temperature) || options->temperature > 0.0)
           || !(isnan (options->pressure) || options->pressure > 0.0))
    g_set_error (error, FAINT_REVIEW_ERROR, FAINT_REVIEW_ERROR_OPTION,
                 _ ("Temperature and pressure of the claims must be above 0."));
  else
    return TRUE;
  return FALSE;
}

static gboolean
convert_claims (FaintReview *self, GError **error)
{
  const FaintSetup *setup = faint_analysis_get_setup (self->refit);
  g_autoptr (FaintPartition) partition = NULL;

  if (!faint_setup_check (setup, error))
    return FALSE;
  if (setup->partition_sums != NULL)
    {
      partition = faint_partition_read (setup->partition_sums, error);
      if (partition == NULL)
        return FALSE;
    }
  self->compared = faint_review_claims_at (self->claimed, &self->options, setup, partition,
                                           faint_review_is_series (self), self->warnings);
  for (gsize i = 0; i < faint_line_list_get_n (self->compared); i++)
    if (faint_review_is_in_span (self, faint_line_list_get (self->compared, i)->position.value))
      return TRUE;
  g_set_error (error, FAINT_REVIEW_ERROR, FAINT_REVIEW_ERROR_EMPTY,
               _ ("None of the %zu claimed lines lies in the span of the spectrum."),
               faint_line_list_get_n (self->claimed));
  return FALSE;
}

/* The analysis with @start, computed. */
static FaintAnalysis *
compute (const FaintReview *self, FaintLineList *start, gboolean find, double from, double to,
         const FaintProgress *progress, GError **error)
{
  g_autoptr (FaintLineList) none = faint_line_list_new (NULL, 0);
  g_autoptr (FaintAnalysis) empty = faint_analysis_with_lines (self->refit, none);
  g_autoptr (FaintAnalysis) begin = faint_analysis_with_lines (empty, start);
  FaintProgressPart part;

  return faint_analysis_compute (begin, find, faint_progress_part (&part, progress, from, to),
                                 error);
}

static gboolean
replace_refit (FaintReview *self, FaintAnalysis *refit)
{
  if (refit == NULL)
    return FALSE;
  faint_analysis_unref (self->refit);
  self->refit = refit;
  return TRUE;
}

static GArray *
match_lines_of (const FaintReview *self, const FaintLineList *lines, double least_snr)
{
  GArray *out = g_array_new (FALSE, FALSE, sizeof (FaintMatchLine));

  for (gsize i = 0; i < faint_line_list_get_n (lines); i++)
    {
      const FaintLine *line = faint_line_list_get (lines, i);
      FaintMatchLine it
          = { line->position.value, line->strength.value,
              faint_review_half_width (line, faint_analysis_get_setup (self->refit)) };

      if (least_snr == 0.0 || line->snr >= least_snr)
        g_array_append_val (out, it);
    }
  return out;
}

/* By how much the claims lie above the lines seen, together; 0 where that is little. */
static double
find_shift (const FaintReview *self)
{
  g_autoptr (GArray) claims = match_lines_of (self, self->compared, 0.0);
  g_autoptr (GArray) seen = match_lines_of (self, faint_analysis_get_lines (self->refit), SEEN);
  double width, shift;

  if (claims->len == 0 || seen->len == 0)
    return 0.0;
  width = g_array_index (seen, FaintMatchLine, seen->len / 2).half_width;
  shift = faint_match_shift ((const FaintMatchLine *)(void *)claims->data, claims->len,
                             (const FaintMatchLine *)(void *)seen->data, seen->len,
                             SHIFT_REACH * width, SHIFT_WIDTH * width);
  return fabs (shift) > SHIFT_LEAST * width ? shift : 0.0;
}

/* Fits again with the claims of @lost held where they were claimed, so that there is a strength to
 * compare. */
static gboolean
test_lost (FaintReview *self, const GArray *lost, double shift, const FaintProgress *progress,
           GError **error)
{
  const FaintLineList *refitted = faint_analysis_get_lines (self->refit);
  gsize n = faint_line_list_get_n (refitted);
  g_autofree FaintLine *lines = g_new (FaintLine, n + lost->len);
  g_autoptr (FaintLineList) start = NULL;

  for (gsize i = 0; i < n; i++)
    {
      lines[i] = *faint_line_list_get (refitted, i);
      for (guint k = 0; k < lost->len; k++)
        if (lines[i].id == g_array_index (lost, guint, k))
          lines[i].id = 0;
    }
  for (guint k = 0; k < lost->len; k++)
    {
      FaintLine line = *faint_line_list_find (self->compared, g_array_index (lost, guint, k));

      line.flags = 0;
      line.position.value -= shift;
      line.position.state = line.lorentz.state = FAINT_STATE_FIXED;
      line.doppler.state = FAINT_STATE_DERIVED;
      line.strength = (FaintParameter){ 0.0, NAN, NAN, FAINT_STATE_FREE };
      if (isnan (line.lorentz.value))
        line.lorentz.state = FAINT_STATE_FREE;
      lines[n + k] = line;
    }
  start = faint_line_list_new (lines, n + lost->len);
  return replace_refit (self, compute (self, start, FALSE, 0.8, 0.9, progress, error));
}

static gboolean
refit (FaintReview *self, const FaintProgress *progress, double *shift, GError **error)
{
  g_autoptr (FaintLineList) start = faint_review_start (self, FALSE, 0.0);
  g_autoptr (FaintLineList) moved = NULL;

  if (!replace_refit (self, compute (self, start, TRUE, 0.0, 0.5, progress, error)))
    return FALSE;
  *shift = find_shift (self);
  if (*shift == 0.0)
    return TRUE;
  moved = faint_review_start (self, FALSE, *shift);
  return replace_refit (self, compute (self, moved, TRUE, 0.5, 0.8, progress, error));
}

static gboolean
match (FaintReview *self, double shift, const FaintProgress *progress, GError **error)
{
  g_autoptr (GArray) lost = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (GArray) still = g_array_new (FALSE, FALSE, sizeof (guint));

  faint_review_match (self, shift, lost);
  if (lost->len == 0)
    return TRUE;
  if (!test_lost (self, lost, shift, progress, error))
    return FALSE;
  faint_review_match (self, shift, still);
  return TRUE;
}

/* The claims' model. It comes after the refit, for of a series that tells what a list leaves out.
 */
static gboolean
hold_claims (FaintReview *self, const FaintProgress *progress, GError **error)
{
  g_autoptr (FaintLineList) held = faint_review_start (self, TRUE, 0.0);

  self->model = compute (self, held, FALSE, 0.9, 1.0, progress, error);
  return self->model != NULL;
}

static gboolean
comes_from (const FaintAnalysis *analysis, const char *const *sources)
{
  gsize n;
  const FaintAnalysisInput *inputs = faint_analysis_get_inputs (analysis, &n);

  for (gsize i = 0; sources != NULL && i < n; i++)
    if (inputs[i].sha256[0] != '\0' && g_strv_contains (sources, inputs[i].sha256))
      return TRUE;
  return FALSE;
}

static void
sum_up (FaintReview *self)
{
  for (guint i = 0; i < self->windows->len; i++)
    {
      const FaintReviewWindow *it = &g_array_index (self->windows, FaintReviewWindow, i);

      self->chi2_claimed += it->chi2_claimed;
      self->dof_claimed += it->dof_claimed;
      self->chi2_refitted += it->chi2_refitted;
      self->dof_refitted += it->dof_refitted;
    }
}

FaintReview *
faint_review_run (const FaintAnalysis *analysis, FaintLineList *claimed, const char *const *sources,
                  const FaintReviewOptions *options, const FaintProgress *progress, GError **error)
{
  g_autoptr (FaintReview) self = NULL;
  double shift;

  if (!check (options, error))
    return NULL;
  self = review_new (analysis, claimed, options);
  self->same_spectrum = comes_from (analysis, sources);
  if (!convert_claims (self, error) || !refit (self, progress, &shift, error)
      || !match (self, shift, progress, error) || !hold_claims (self, progress, error))
    return NULL;
  faint_review_fill_values (self);
  faint_review_find_common (self);
  faint_review_judge (self);
  faint_review_fill_windows (self);
  sum_up (self);
  faint_review_describe (self);
  if (!faint_progress_step (progress, 1.0, "review", error))
    return NULL;
  return g_steal_pointer (&self);
}

static gboolean
has_id (const GArray *ids, guint id)
{
  for (guint i = 0; i < ids->len; i++)
    if (g_array_index (ids, guint, i) == id)
      return TRUE;
  return FALSE;
}

const FaintReviewLine *
faint_review_find_claimed (const FaintReview *self, guint id)
{
  for (guint i = 0; id != 0 && i < self->lines->len; i++)
    {
      const FaintReviewLine *it = g_ptr_array_index (self->lines, i);

      if (has_id (it->claimed, id))
        return it;
    }
  return NULL;
}

const FaintReviewLine *
faint_review_find_refitted (const FaintReview *self, guint id)
{
  for (guint i = 0; id != 0 && i < self->lines->len; i++)
    {
      const FaintReviewLine *it = g_ptr_array_index (self->lines, i);

      if (has_id (it->refitted, id))
        return it;
    }
  return NULL;
}
