/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Review of a claimed line list against a spectrum.
 *
 * The claims alone make a model: every claimed parameter is held, only what the list does not
 * state, the baselines and what the analysis asks of the instrument are fitted. Beside it stands a
 * refit, which begins with the claimed lines, all free, and looks for more. Its lines are matched
 * with the claims (match.h), what a whole list has in common is found first (systematic.h), and
 * each claimed parameter gets a normalised error
 *   E_n = (claimed - refitted) / U,  U = k sqrt(u_claimed^2 + u_refitted^2)
 * (ISO/IEC 17043:2010, annex B; ISO 13528:2015, 9.7), k the coverage factor. |E_n| > 1 is no fault
 * in itself: at k = 2 one honest claim in 22 has it. Verdicts hold for all values together at one
 * confidence C: 1 - C is shared in equal parts by the tests for what the list has in common, the
 * values of single lines (Holm, Scand. J. Stat. 6, 65 (1979)) and the lines seen but not claimed.
 *
 * Claims are taken as independent of the spectrum. Where the list says that it comes from this very
 * spectrum, noise and inputs are common to both, E_n is too small, and the result says so.
 */
#pragma once

#include "faint/analysis/analysis.h"
#include "faint/review/systematic.h"

#define FAINT_REVIEW_ERROR (faint_review_error_quark ())
GQuark faint_review_error_quark (void);
typedef enum
{
  FAINT_REVIEW_ERROR_EMPTY, /* no claimed line lies in the span */
  FAINT_REVIEW_ERROR_OPTION,
} FaintReviewError;

typedef enum
{
  FAINT_REVIEW_AGREES,
  FAINT_REVIEW_DIFFERS,      /* at the confidence of the review */
  FAINT_REVIEW_NOT_SEEN,     /* claimed, and the spectrum excludes it */
  FAINT_REVIEW_NOT_CLAIMED,  /* seen, and not in the list */
  FAINT_REVIEW_UNDECIDED,    /* the spectrum cannot tell; the reason says why */
  FAINT_REVIEW_NOT_EXAMINED, /* outside the span, or not a number that can be compared */
  FAINT_REVIEW_VERDICT_N
} FaintReviewVerdict;
/* "agrees", "differs", "not-seen", "not-claimed", "undecided", "not-examined". */
const char *faint_review_verdict_name (FaintReviewVerdict verdict);
/* What is said of @n lines with that verdict: "agrees" of one, "agree" of several, "not seen". */
const char *faint_review_verdict_words (FaintReviewVerdict verdict, gsize n);

typedef struct
{
  double confidence; /* of all verdicts together, 0.5 to 0.999999; default 0.95 */
  double coverage;   /* k of the expanded uncertainties, 1 to 4; default 2 */
  gboolean partial;  /* the list claims some lines only: what it lacks is told but is no fault */
  double temperature, pressure; /* K, Pa: those that the claims hold at; NAN: those of the input */
} FaintReviewOptions;
void faint_review_options_init (FaintReviewOptions *options);

/* One difference and what is thought of it. */
typedef struct
{
  double difference, u; /* claimed less refitted, and its standard uncertainty */
  double en;            /* normalised error */
  double probability;   /* of as much or more by chance */
  FaintReviewVerdict verdict;
} FaintReviewJudgement;

/* One parameter of one claimed line. */
typedef struct
{
  guint parameter;           /* of review/compared.h   */
  double claimed, u_claimed; /* library unit, at the conditions of the input; u NAN: not stated */
  double refitted, u_refitted;
  double own_claimed, own_refitted; /* parts of the uncertainties that are the line's own; all of it
                                       where the list does not tell them from what is common */
  FaintReviewJudgement stated;      /* as claimed */
  FaintReviewJudgement corrected;   /* once what the whole list has in common is taken off; the same
                                       as stated where nothing is */
  gboolean relative; /* nothing was found in common, but what the inputs leave open is common to all
                        lines and so much larger than the line's own uncertainty that it is judged
                        against the mean of the others: by corrected */
  FaintReviewVerdict verdict; /* the line's own part in it: of corrected where the list has
                                 something in common or relative is set, else of stated */
  char *reason;               /* a clause in words */
} FaintReviewValue;

typedef struct
{
  guint claimed_id; /* in claimed; 0: none. The first of them where several are one here */
  guint
      refitted_id; /* in the lines of the refit; 0: none. The first of them where seen as several */
  GArray *claimed; /* guint, ids; several are judged together, by the sum of their strengths and
                      its centre: claimed as a blend, or not told apart by the spectrum */
  GArray *refitted;           /* the same of the refit */
  double position;            /* cm-1, claimed or else seen */
  double snr;                 /* of the refit, of their sum where several; NAN without */
  double limit;               /* of strength, cm/molecule, at the confidence (one-sided), where not
                                 seen; NAN else */
  FaintReviewVerdict verdict; /* worst of its values */
  GArray *values;             /* FaintReviewValue */
  char *words;                /* a sentence */
} FaintReviewLine;

typedef struct
{
  gsize spectrum;                                         /* of a series, from 0 */
  gsize first, n;                                         /* teeth */
  double lower, upper;                                    /* cm-1 */
  gsize claimed, refitted;                                /* lines in it */
  double chi2_claimed, dof_claimed, chi2_reduced_claimed; /* of the claims' model */
  double chi2_refitted, dof_refitted, chi2_reduced_refitted;
  double largest_claimed, largest_refitted; /* |normalised residual| */
} FaintReviewWindow;

typedef struct
{
  FaintReviewOptions options;
  FaintLineList *claimed;  /* as given */
  FaintLineList *compared; /* the same at the conditions of the input; ids as in claimed */
  FaintAnalysis *model;    /* claims held: its fits hold model and residuals */
  FaintAnalysis *refit;    /* its lines and fits */
  GPtrArray *lines;        /* FaintReviewLine, rising position */
  GPtrArray *systematic;   /* FaintSystematic, those that were seen at the confidence */
  GArray *windows;         /* FaintReviewWindow */
  gsize counts[FAINT_REVIEW_VERDICT_N]; /* lines with each verdict */
  gsize n_values;                       /* compared */
  gsize n_beyond;                       /* of them with |E_n| > 1 as claimed */
  double beyond_expected;               /* what honest claims would have: n erfc(k/sqrt 2) */
  double chi2_claimed, dof_claimed, chi2_refitted, dof_refitted;
  gboolean same_spectrum; /* the list says that it comes from an input of this analysis */
  gboolean passed;        /* nothing differs beyond doubt, in common or line by line, and the
                             refit converged */
  GPtrArray *faults;      /* char *, what fails it, one sentence each */
  GPtrArray *warnings;    /* FaintWarning */
  gatomicrefcount refs;
} FaintReview;

/* Reviews @claimed against the spectrum or series of @analysis (its lines are not used; its setup
 * and options are). @sources: hashes of the files that the claims came from, hexadecimal,
 * NULL-terminated, as in the preamble of their list; may be NULL. Deterministic, cancellable, safe
 * in any thread. */
FaintReview *
faint_review_run (const FaintAnalysis *analysis, FaintLineList *claimed, const char *const *sources,
                  const FaintReviewOptions *options, const FaintProgress *progress, GError **error);
FaintReview *faint_review_ref (FaintReview *self);
void faint_review_unref (FaintReview *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintReview, faint_review_unref)

/* The line of the review that a claimed, or a refitted, line belongs to; NULL: none. Borrowed. */
const FaintReviewLine *faint_review_find_claimed (const FaintReview *self, guint id);
const FaintReviewLine *faint_review_find_refitted (const FaintReview *self, guint id);

/* What a claim and a refit of the same quantity say: E_n = difference/(k u) and the two-sided
 * probability of a normal deviate. */
FaintReviewJudgement faint_review_compare (double claimed, double u_claimed, double refitted,
                                           double u_refitted, double coverage);

/* "76 agree, 3 differ, 1 not seen". @seen_only: put behind the number of lines not claimed; NULL:
 * nothing. Free with g_free. */
char *faint_review_counts_words (const FaintReview *self, const char *seen_only);
/* "all its strengths differ together; lines that differ: 3." What fails it in one breath; "" when
 * nothing does. Free with g_free. */
char *faint_review_faults_words (const FaintReview *self);

/* review.csv: a row for every compared parameter, and for every line without one. Free with
 * g_free, as all of these. */
char *faint_review_to_csv (const FaintReview *self);
/* windows.csv: how well both models fit, window by window. */
char *faint_review_windows_csv (const FaintReview *self);
/* residuals.csv: tooth by tooth, observed, both models and their normalised residuals. */
char *faint_review_residuals_csv (const FaintReview *self);
/* summary.json. @claimed_path, @claimed_sha256: of the list; NULL: not known. */
char *faint_review_summary_json (const FaintReview *self, const char *claimed_path,
                                 const char *claimed_sha256, double seconds);
