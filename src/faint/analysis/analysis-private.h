/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What an analysis holds.
 */
#pragma once

#include "faint/analysis/analysis-claims.h"
#include "faint/analysis/analysis-file.h"
#include "faint/analysis/analysis-levels.h"

/* A key of the file that this version does not know, kept as it was written. */
typedef struct
{
  char *group, *key, *value;
} FaintAnalysisForeign;

/* One of a series, or the only one. */
typedef struct
{
  FaintSpectrum *as_read;  /* its inputs, under the setup that they state */
  FaintSpectrum *spectrum; /* the same samples under the setup as edited */
  FaintFit *fit;           /* of the last result, or NULL */
} FaintAnalysisPart;

/* What the last fit of a series says of all spectra; of a single one its FaintFit says it. */
typedef struct
{
  FaintAnalysisResult numbers;
  GPtrArray *warnings; /* NULL: no series was fitted */
} FaintAnalysisWhole;

struct _FaintAnalysis
{
  FaintAnalysisInput *inputs;
  gsize n_inputs;
  FaintSetup *settings; /* what was given besides, for reading them; NULL: nothing */
  FaintAnalysisPart *parts;
  gsize n_parts;
  FaintFitOptions options;
  FaintLineList *lines;
  FaintAnalysisWhole whole;
  FaintJointFit *joint; /* last result of a series in this process, or NULL */
  /* How the last result was computed; kept although a changed input may forbid the result itself.
   */
  gboolean found;
  FaintLineList *start;  /* NULL: none */
  FaintLineList *fitted; /* the lines that came out; NULL before the first fit */
  FaintAnalysisLevels levels;
  FaintAnalysisClaims claims;
  char *title;
  GPtrArray *warnings;
  GPtrArray *foreign; /* FaintAnalysisForeign */
  GPtrArray *changes; /* FaintAnalysisChange; constant once it is seen */
  gatomicrefcount refs;
};

/* A copy that shares all, to be changed before anyone sees it. */
FaintAnalysis *faint_analysis_copy (const FaintAnalysis *self);
/* Puts @new_value (a new reference or NULL) in the place of a line list. */
void faint_analysis_set_lines (FaintLineList **place, FaintLineList *new_value);
/* Fills the title from setup and inputs. */
void faint_analysis_settle_title (FaintAnalysis *self);

/* @lines (a new reference), of a series without what an edit has made untrue of coefficients. */
FaintLineList *faint_analysis_settle_lines (const FaintAnalysis *self, FaintLineList *lines);
/* @lines, which a fit that began with @start (or NULL) gave, with the labels and lower-state energies
 * that the present lines have: by id where the fit began with the line, else by position. */
FaintLineList *faint_analysis_carry_labels (const FaintAnalysis *self, const FaintLineList *start,
                                            const FaintLineList *lines);
/* Drops the last result, but not how it came. */
void faint_analysis_drop_result (FaintAnalysis *self);

/* Reads the inputs (@columns may be NULL or hold NULLs). @parts: to which spectrum each belongs,
 * from 0; NULL groups those that may be merged. */
FaintAnalysis *
faint_analysis_read_inputs (const char *const *paths, const char *const *columns,
                            const gsize *parts, gsize n, const FaintReadOptions *options,
                            const FaintProgress *progress, GError **error);
/* Takes the spectra (references) of @n_parts parts. */
FaintAnalysis *
faint_analysis_new_of_parts (FaintSpectrum *const *as_read, gsize n_parts, gsize n_inputs);
void faint_analysis_fill_input (FaintAnalysisInput *input, const FaintSpectrum *spectrum,
                                const char *columns, gsize part);

/* The group [assignment] of a file. */
void faint_analysis_file_set_levels (FaintAnalysisFile *file, const FaintAnalysisLevels *levels);
gboolean faint_analysis_file_levels (const FaintAnalysisFile *file, FaintAnalysisLevels *levels,
                                     GPtrArray *warnings, GError **error);
gboolean faint_analysis_is_levels_key (const char *key);

/* The group [review] of a file. */
void faint_analysis_file_set_claims (FaintAnalysisFile *file, const FaintAnalysisClaims *claims);
gboolean faint_analysis_file_claims (const FaintAnalysisFile *file, FaintAnalysisClaims *claims,
                                     GPtrArray *warnings, GError **error);
gboolean faint_analysis_is_claims_key (const char *key);

GPtrArray *faint_analysis_foreign_new (void);
GPtrArray *faint_analysis_changes_new (void);
void faint_analysis_changes_add (GPtrArray *changes, const char *time, const char *text);
