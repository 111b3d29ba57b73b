/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review-results.h"

#include "faint/analysis/analysis-claims.h"
#include "faint/base/files.h"
#include "figure/report-review.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define PRINTED_MOST 40

/* Takes @text. */
static gboolean
write_text (FaintFilesFolder *folder, const char *name, char *text, GError **error)
{
  g_autofree char *path = faint_files_folder_path (folder, name);
  g_autofree char *owned = text;

  return owned != NULL && faint_files_write (path, owned, strlen (owned), error);
}

/* The refit, that names the list it was made for: opened in the window it brings the review back.
 */
static FaintAnalysis *
with_claims (const FaintReview *review, const FaintListFile *claims)
{
  g_auto (FaintAnalysisClaims) named = { .path = g_canonicalize_filename (claims->path, NULL),
                                         .confidence = review->options.confidence,
                                         .coverage = review->options.coverage,
                                         .partial = review->options.partial,
                                         .temperature = review->options.temperature,
                                         .pressure = review->options.pressure };

  g_strlcpy (named.sha256, claims->sha256, sizeof named.sha256);
  return faint_analysis_with_claims (review->refit, &named);
}

gboolean
faint_review_results_write (FaintReview *review, const FaintListFile *claims, const char *folder,
                            const char *const *inputs, const char *date, gint64 began,
                            GError **error)
{
  g_autoptr (FaintFilesFolder) files = faint_files_folder_begin (folder, error);
  g_autofree char *stored = g_build_filename (folder, "analysis.faintline", NULL);
  g_autofree char *report = NULL;
  g_autoptr (FaintAnalysis) analysis = with_claims (review, claims);
  const FaintReviewReportOptions options = {
    .claimed_path = claims->path, .claimed_sha256 = claims->sha256, .inputs = inputs, .date = date
  };

  if (files == NULL)
    return FALSE;
  report = faint_files_folder_path (files, "report.pdf");
  return faint_review_report_write (review, &options, report, error)
         && write_text (files, "review.csv", faint_review_to_csv (review), error)
         && write_text (files, "windows.csv", faint_review_windows_csv (review), error)
         && write_text (files, "residuals.csv", faint_review_residuals_csv (review), error)
         && write_text (files, "lines.csv", faint_analysis_lines_csv (review->refit, date), error)
         && write_text (files, "analysis.faintline",
                        faint_analysis_to_text (analysis, stored, error), error)
         && write_text (
             files, "summary.json",
             faint_review_summary_json (review, claims->path, claims->sha256,
                                        (double)(g_get_monotonic_time () - began) / G_USEC_PER_SEC),
             error)
         && faint_progress_step (faint_terminal_progress (), 1.0, "writing", error)
         && faint_files_folder_commit (files, error);
}

static void
print_systematic (const FaintReview *review)
{
  for (guint i = 0; i < review->systematic->len; i++)
    {
      const FaintSystematic *it = g_ptr_array_index (review->systematic, i);

      printf ("%s\n", it->words);
      for (guint k = 0; k < it->causes->len; k++)
        printf ("  - %s\n", ((FaintSystematicCause *)g_ptr_array_index (it->causes, k))->words);
    }
  if (review->systematic->len > 0)
    printf ("\n");
}

static void
print_lines (const FaintReview *review)
{
  guint printed = 0, left = 0;

  for (guint i = 0; i < review->lines->len; i++)
    {
      const FaintReviewLine *line = g_ptr_array_index (review->lines, i);

      if (line->verdict == FAINT_REVIEW_AGREES || line->verdict == FAINT_REVIEW_NOT_EXAMINED)
        continue;
      if (printed++ < PRINTED_MOST)
        printf ("%12.5f  %s\n", line->position, line->words);
      else
        left++;
    }
  if (left > 0)
    printf ("and %u more in review.csv\n", left);
  if (printed > 0)
    printf ("\n");
}

static void
print_counts (const FaintReview *review)
{
  g_autofree char *counts = faint_review_counts_words (review, " (seen only)");

  printf ("%" G_GSIZE_FORMAT " claimed lines: %s%s.\nReduced chi-square %.4g with the claims, %.4g "
          "refitted. %" G_GSIZE_FORMAT " values compared, %" G_GSIZE_FORMAT
          " with |E_n| > 1 (k = %g), %.1f expected of honest "
          "claims; verdicts hold together at %g %%.\n",
          faint_line_list_get_n (review->claimed), counts,
          review->systematic->len > 0 ? "; judged without what the whole list has in common" : "",
          review->chi2_claimed / review->dof_claimed, review->chi2_refitted / review->dof_refitted,
          review->n_values, review->n_beyond, review->options.coverage, review->beyond_expected,
          100.0 * review->options.confidence);
}

int
faint_review_results_print (const FaintReview *review, const char *folder)
{
  g_autofree char *faults = faint_review_faults_words (review);

  print_systematic (review);
  print_lines (review);
  print_counts (review);
  printf ("The list %s%s\nResults in %s\n", review->passed ? "passes." : "fails: ", faults, folder);
  faint_say_warnings (faint_analysis_get_warnings (review->refit));
  faint_say_warnings (review->warnings);
  for (guint i = 0; i < review->faults->len; i++)
    faint_say ("The list fails: %s", (const char *)g_ptr_array_index (review->faults, i));
  return review->passed ? FAINT_EXIT_DONE : FAINT_EXIT_NOT_CONVERGED;
}
