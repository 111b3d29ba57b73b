/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What an analysis holds.
 */
#pragma once

#include "faint/analysis/analysis.h"

/* A key of the file that this version does not know, kept as it was written. */
typedef struct
{
  char *group, *key, *value;
} FaintAnalysisForeign;

struct _FaintAnalysis
{
  FaintAnalysisInput *inputs;
  gsize n_inputs;
  FaintSpectrum *as_read;  /* the inputs, under the setup that they state */
  FaintSetup *settings;    /* what was given besides, for reading them; NULL: nothing */
  FaintSpectrum *spectrum; /* the same samples under the setup as edited */
  FaintFitOptions options;
  FaintLineList *lines;
  FaintFit *fit; /* last result, or NULL */
  /* How the last result was computed; kept although a changed input may forbid the result itself.
   */
  gboolean found;
  FaintLineList *start;  /* NULL: none */
  FaintLineList *fitted; /* the lines that came out; NULL before the first fit */
  char *title;
  GPtrArray *warnings;
  GPtrArray *foreign; /* FaintAnalysisForeign */
  gatomicrefcount refs;
};

/* A copy that shares all, to be changed before anyone sees it. */
FaintAnalysis *faint_analysis_copy (const FaintAnalysis *self);
/* Puts @new_value (a new reference or NULL) in the place of a line list. */
void faint_analysis_set_lines (FaintLineList **place, FaintLineList *new_value);
/* Fills the title from setup and inputs. */
void faint_analysis_settle_title (FaintAnalysis *self);

/* Reads the inputs (@columns may be NULL or hold NULLs) and merges them. */
FaintAnalysis *faint_analysis_read_inputs (const char *const *paths, const char *const *columns,
                                           gsize n, const FaintReadOptions *options,
                                           const FaintProgress *progress, GError **error);

GPtrArray *faint_analysis_foreign_new (void);
