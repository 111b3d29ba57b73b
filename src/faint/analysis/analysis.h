/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The document: inputs, choices, lines and results. A constant snapshot with counted references:
 * an edit makes a new one, so undo is a list of them and a thread needs no lock.
 */
#pragma once

#include "faint/fit/fit.h"
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
} FaintAnalysisInput;

typedef struct _FaintAnalysis FaintAnalysis;

/* From one or several inputs (comb tables or foreign text): several are interleaved records of one
 * measurement and are merged. @options may be NULL. */
FaintAnalysis *faint_analysis_new (const char *const *paths, gsize n, const FaintReadOptions *options,
                                   const FaintProgress *progress, GError **error);
/* From a spectrum already in memory. */
FaintAnalysis *faint_analysis_new_for_spectrum (FaintSpectrum *spectrum);
/* From a .faintline file: reads its inputs again (relative to it), restores choices, lines and the
 * last results. An input whose content changed is marked and warned about. */
FaintAnalysis *faint_analysis_load (const char *path, const FaintProgress *progress, GError **error);
/* TRUE if the file's first bytes say that it is an analysis. */
gboolean faint_analysis_is_file (const char *path);

FaintAnalysis *faint_analysis_ref (FaintAnalysis *self);
void faint_analysis_unref (FaintAnalysis *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintAnalysis, faint_analysis_unref)

/* Borrowed. */
FaintSpectrum *faint_analysis_get_spectrum (const FaintAnalysis *self);
FaintSetup *faint_analysis_get_setup (const FaintAnalysis *self); /* the spectrum's, as edited */
FaintLineList *faint_analysis_get_lines (const FaintAnalysis *self); /* current lines, maybe empty, never NULL */
FaintFit *faint_analysis_get_fit (const FaintAnalysis *self);     /* last result or NULL */
/* TRUE if the fit belongs to the current lines, setup and options. */
gboolean faint_analysis_fit_is_current (const FaintAnalysis *self);
const FaintFitOptions *faint_analysis_get_options (const FaintAnalysis *self);
const FaintAnalysisInput *faint_analysis_get_inputs (const FaintAnalysis *self, gsize *n);
const char *faint_analysis_get_title (const FaintAnalysis *self); /* setup's title or a file name */
/* Of reading and loading; FaintWarning. */
const GPtrArray *faint_analysis_get_warnings (const FaintAnalysis *self);

/* New snapshots. */
FaintAnalysis *faint_analysis_with_setup (const FaintAnalysis *self, FaintSetup *setup, GError **error);
FaintAnalysis *faint_analysis_with_lines (const FaintAnalysis *self, FaintLineList *lines);
FaintAnalysis *faint_analysis_with_options (const FaintAnalysis *self, const FaintFitOptions *options);
/* Takes the result: lines become the fitted ones. */
FaintAnalysis *faint_analysis_with_fit (const FaintAnalysis *self, FaintFit *fit);

/* Computes: finds lines (only if @find) and fits, applies the uncertainty budget. Without @find
 * the current lines are the start. While the lines are those that the last run of the same kind gave,
 * it begins where that one began, and so gives the same again; an edited list is its own start. Needs a
 * complete setup (faint_setup_check). */
FaintFit *faint_analysis_run (const FaintAnalysis *self, gboolean find, const FaintProgress *progress,
                              GError **error);
/* How the last result was computed, so that a run from the file gives the same bits: the list it began
 * with, and whether lines were found. */
gboolean faint_analysis_get_found (const FaintAnalysis *self);

/* Writes the .faintline file, whole or not at all; paths of inputs relative to it. */
gboolean faint_analysis_save (const FaintAnalysis *self, const char *path, GError **error);
/* Its text, as saved at @path: for a folder of results that is written elsewhere and moved. Free
 * with g_free. */
char *faint_analysis_to_text (const FaintAnalysis *self, const char *path, GError **error);

/* summary.json of the headless command. @seconds: of the run. Free with g_free. */
char *faint_analysis_summary_json (const FaintAnalysis *self, double seconds);
/* lines.csv, with the preamble about inputs and conditions. @date ISO 8601 or NULL. */
char *faint_analysis_lines_csv (const FaintAnalysis *self, const char *date);
