/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The document: inputs, choices, lines and results. A constant snapshot with counted references:
 * an edit makes a new one, so undo is a list of them and a thread needs no lock.
 *
 * Inputs of equal conditions in one cavity are merged into one spectrum. Those of other pressure,
 * temperature, mole fraction, cavity or observable are further spectra: the analysis is a series,
 * fitted jointly to one list of lines.
 */
#pragma once

#include "faint/fit/joint.h"
#include "faint/lines/list-file.h"
#include "faint/spectrum/comb-table.h"
#include "faint/strength/partition.h"

#define FAINT_ANALYSIS_ERROR (faint_analysis_error_quark ())
GQuark faint_analysis_error_quark (void);
typedef enum
{
  FAINT_ANALYSIS_ERROR_SYNTAX,
  FAINT_ANALYSIS_ERROR_VERSION,
  FAINT_ANALYSIS_ERROR_INPUT, /* an input is missing */
} FaintAnalysisError;

typedef struct
{
  char *path;       /* absolute where known */
  char sha256[65];  /* of the file when it was read for this analysis */
  char *columns;    /* column map for foreign text, or NULL */
  gboolean changed; /* the file on disk is not the one the results came from */
  gsize spectrum;   /* of the analysis that it belongs to, from 0 */
} FaintAnalysisInput;

/* Something that was done by hand. */
typedef struct
{
  char *time; /* "2026-05-17T09:30:00Z", ISO 8601, UTC; "" not known */
  char *text; /* "line 12 at 7790.2203 cm-1 moved from 7790.2203 to 7790.2210 cm-1" */
} FaintAnalysisChange;

/* What the last run says as a whole. */
typedef struct
{
  FaintVerdict verdict;
  guint iterations;
  double distance; /* to the optimum, standard uncertainties */
  double chi2, dof, chi2_reduced;
  gboolean determined[FAINT_COEFFICIENT_N]; /* asked of the conditions of a series */
  gboolean energies;                        /* lower-state energies were */
} FaintAnalysisResult;

typedef struct _FaintAnalysis FaintAnalysis;

/* From one or several inputs (comb tables or foreign text), merged into spectra as told above;
 * other molecules are refused. @options complete every input and may be NULL. */
FaintAnalysis *
faint_analysis_new (const char *const *paths, gsize n, const FaintReadOptions *options,
                    const FaintProgress *progress, GError **error);
/* From a spectrum already in memory. */
FaintAnalysis *faint_analysis_new_for_spectrum (FaintSpectrum *spectrum);
/* From a .faintline file: reads its inputs again (relative to it), restores choices, lines and the
 * last results. An input whose content changed is marked and warned about. */
FaintAnalysis *
faint_analysis_load (const char *path, const FaintProgress *progress, GError **error);
/* TRUE if the file's first bytes, unpacked where gzip has packed it, say that it is an analysis. */
gboolean faint_analysis_is_file (const char *path);

FaintAnalysis *faint_analysis_ref (FaintAnalysis *self);
void faint_analysis_unref (FaintAnalysis *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintAnalysis, faint_analysis_unref)

/* Borrowed. The spectrum is the first of a series; so setup and fit. */
FaintSpectrum *faint_analysis_get_spectrum (const FaintAnalysis *self);
FaintSetup *faint_analysis_get_setup (const FaintAnalysis *self); /* the spectrum's, as edited */
FaintLineList *
faint_analysis_get_lines (const FaintAnalysis *self); /* current lines, maybe empty, never NULL */
FaintFit *faint_analysis_get_fit (const FaintAnalysis *self);   /* last result or NULL */
gsize faint_analysis_get_n_spectra (const FaintAnalysis *self); /* 1 or more; above 1: a series */
FaintSpectrum *faint_analysis_get_spectrum_at (const FaintAnalysis *self, gsize i);
/* Of the last result: model, residuals, baselines, windows and instrument of spectrum @i, and its
 * lines under its conditions; NULL when there is none. */
FaintFit *faint_analysis_get_fit_at (const FaintAnalysis *self, gsize i);
/* The last result of a series in this process; NULL after loading, where the parts remain. */
FaintJointFit *faint_analysis_get_joint (const FaintAnalysis *self);
/* FALSE when there is no result. */
gboolean faint_analysis_get_result (const FaintAnalysis *self, FaintAnalysisResult *result);
/* Of the last run as a whole, or NULL. */
const GPtrArray *faint_analysis_get_fit_warnings (const FaintAnalysis *self);
/* "1.30 hPa, 296.0 K": what tells spectrum @i from the others; "" where nothing is stated. Free
 * with g_free. */
char *faint_analysis_describe_spectrum (const FaintAnalysis *self, gsize i);
/* TRUE if the fit belongs to the current lines, setup and options. */
gboolean faint_analysis_fit_is_current (const FaintAnalysis *self);
const FaintFitOptions *faint_analysis_get_options (const FaintAnalysis *self);
const FaintAnalysisInput *faint_analysis_get_inputs (const FaintAnalysis *self, gsize *n);
const char *faint_analysis_get_title (const FaintAnalysis *self); /* setup's title or a file name */
/* Of reading and loading; FaintWarning. */
const GPtrArray *faint_analysis_get_warnings (const FaintAnalysis *self);

/* New snapshots. */
FaintAnalysis *
faint_analysis_with_setup (const FaintAnalysis *self, FaintSetup *setup, GError **error);
FaintAnalysis *faint_analysis_with_setup_at (const FaintAnalysis *self, gsize i, FaintSetup *setup,
                                             GError **error);
/* Of a series, a line whose width or strength was edited loses the coefficients that came with the
 * former value, so that a fit begins with the edit. */
FaintAnalysis *faint_analysis_with_lines (const FaintAnalysis *self, FaintLineList *lines);
/* @lines are the present ones with other labels and lower-state energies: a fit that is current stays
 * so, and its strengths at 296 K follow. Where the partition sums cannot be read there are none, and
 * @missing says why. */
FaintAnalysis *faint_analysis_with_labels (const FaintAnalysis *self, FaintLineList *lines,
                                           GError **missing);
FaintAnalysis *
faint_analysis_with_options (const FaintAnalysis *self, const FaintFitOptions *options);
/* Takes the result: lines become the fitted ones. */
FaintAnalysis *faint_analysis_with_fit (const FaintAnalysis *self, FaintFit *fit);
FaintAnalysis *faint_analysis_with_joint (const FaintAnalysis *self, FaintJointFit *joint);

/* The record of what was done by hand, in its order. It belongs to the state: a step that is undone
 * takes its entry along. */
guint faint_analysis_count_changes (const FaintAnalysis *self);
const FaintAnalysisChange *faint_analysis_get_change (const FaintAnalysis *self, guint i);
/* @self with the record of @before (@self itself, where nothing is to be taken back) and one entry
 * more, unless @text is empty. @time may be NULL. */
FaintAnalysis *faint_analysis_with_change (const FaintAnalysis *self, const FaintAnalysis *before,
                                           const char *time, const char *text);
/* What differs between @before and @after of conditions, options and lines, in words, the first six
 * differences one by one; "" when nothing. Of several small steps that count as one, @origin is
 * where they began, for "from ... to ..."; else it is @before. Free with g_free. */
char *faint_analysis_describe_change (const FaintAnalysis *origin, const FaintAnalysis *before,
                                      const FaintAnalysis *after);

/* Computes: finds lines (only if @find) and fits, applies the uncertainty budget. Without @find
 * the current lines are the start. While the lines are those that the last run of the same kind
 * gave, it begins where that one began, and so gives the same again; an edited list is its own
 * start. Labels and lower-state energies of the current lines stay with them in either case, those
 * that are found again at the same place too. Needs a complete setup (faint_setup_check). */
FaintFit *faint_analysis_run (const FaintAnalysis *self, gboolean find,
                              const FaintProgress *progress, GError **error);
/* The same of a series; faint_analysis_run() is for a single spectrum. */
FaintJointFit *faint_analysis_run_joint (const FaintAnalysis *self, gboolean find,
                                         const FaintProgress *progress, GError **error);
/* Runs what fits, and gives the analysis with the result. */
FaintAnalysis *faint_analysis_compute (const FaintAnalysis *self, gboolean find,
                                       const FaintProgress *progress, GError **error);
/* How the last result was computed, so that a run from the file gives the same bits: the list it
 * began with, and whether lines were found. */
gboolean faint_analysis_get_found (const FaintAnalysis *self);

/* Writes the .faintline file, whole or not at all; paths of inputs relative to it. */
gboolean faint_analysis_save (const FaintAnalysis *self, const char *path, GError **error);
/* Its text, as saved at @path: for a folder of results that is written elsewhere and moved. Free
 * with g_free. */
char *faint_analysis_to_text (const FaintAnalysis *self, const char *path, GError **error);

/* summary.json of the headless command. @seconds: of the run. Free with g_free. */
char *faint_analysis_summary_json (const FaintAnalysis *self, double seconds);
/* windows.csv: goodness window by window, of every spectrum. Free with g_free. */
char *faint_analysis_windows_csv (const FaintAnalysis *self);
/* correlations.csv: pairs of parameters in a window that are correlated by 0.2 or more. */
char *faint_analysis_correlations_csv (const FaintAnalysis *self);
/* lines.csv, with the preamble about inputs and conditions. @date ISO 8601 or NULL. */
char *faint_analysis_lines_csv (const FaintAnalysis *self, const char *date);
/* The same in another format; what that cannot hold goes to @losses (lines/list-file.h). */
char *faint_analysis_lines_text (const FaintAnalysis *self, const char *date,
                                 FaintListFormat format, const FaintRecordOptions *options,
                                 GPtrArray *losses);

/* Standard uncertainty of a fringe's amplitude, cosine and sine held to be independent. */
double faint_analysis_fringe_u (const FaintFitFringe *fringe);
