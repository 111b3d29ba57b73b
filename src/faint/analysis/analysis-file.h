/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The .faintline file: its groups and keys, read and written one value at a time.
 *
 *   [faintline]    last_group, format, program
 *   [input N]      path (relative to the file), sha256, columns; spectrum, of a series, 1 if not
 *                  stated
 *   [read]         settings that complete the inputs when they are read
 *   [setup]        what was edited afterwards; an empty value takes a key back
 *   [options]      of the fit, as chosen now
 *   [assignment]   levels (path relative to the file), sha256, free: see analysis-levels.h
 *   [review]       claimed (path relative to the file), sha256 and how: see analysis-claims.h
 *   [fit]          the last result; [fit options], [fit setup], [window N] belong to it
 *   [start N]      lines that the last fit began with, N their id
 *   [line N]       the lines as they are now; [fitted N] those of the result where they differ
 *   [change N]     what was done by hand: time, text
 *   [end]          that this is the whole file: see analysis-end.h
 * Of a series, [joint] says what the last result was as a whole; [setup], [fit], [fit options],
 * [fit setup] and [window N] belong to the first spectrum, [spectrum 2 setup] and so on to the
 * second, whose [spectrum 2 line N] are the lines as they were under its conditions.
 * Numbers are shortest decimals that read back the same; a key that is absent, or '-', is not
 * known.
 */
#pragma once

#include "faint/analysis/analysis.h"

#define FAINT_ANALYSIS_FIRST_LINE "# faintline analysis"
#define FAINT_ANALYSIS_FORMAT 1

typedef struct
{
  GKeyFile *keys;
  const char *path;  /* for messages */
  const char *bytes; /* the text, for the places in messages */
  char *folder;      /* that relative paths start from */
} FaintAnalysisFile;

/* Line of @key in @group (of the group's head when @key is NULL or not there); 0 if not found. */
guint64
faint_analysis_file_line_of (const FaintAnalysisFile *file, const char *group, const char *key);
/* FALSE with "path, line N, [group] key: words". */
gboolean
faint_analysis_file_refuse (const FaintAnalysisFile *file, const char *group, const char *key,
                            GError **error, const char *format, ...) G_GNUC_PRINTF (5, 6);

/* Absent: NAN, 0, "" and TRUE. */
gboolean faint_analysis_file_number (const FaintAnalysisFile *file, const char *group,
                                     const char *key, double *value, GError **error);
gboolean faint_analysis_file_count (const FaintAnalysisFile *file, const char *group,
                                    const char *key, guint64 *value, GError **error);
char *faint_analysis_file_text (const FaintAnalysisFile *file, const char *group, const char *key,
                                GError **error);
/* One number or '-'. */
gboolean faint_analysis_parse_number (const char *text, double *value);

/* What is not known is not written. */
void faint_analysis_file_set_number (FaintAnalysisFile *file, const char *group, const char *key,
                                     double value);
void faint_analysis_file_set_count (FaintAnalysisFile *file, const char *group, const char *key,
                                    guint64 value);
void faint_analysis_file_set_text (FaintAnalysisFile *file, const char *group, const char *key,
                                   const char *text);

/* Lines in groups "[name id]". The list is NULL on an error, empty when there is no such group. */
void faint_analysis_file_set_lines (FaintAnalysisFile *file, const char *name,
                                    const FaintLineList *lines);
FaintLineList *
faint_analysis_file_lines (const FaintAnalysisFile *file, const char *name, GError **error);
/* TRUE if a line's group has @key in this version. */
gboolean faint_analysis_is_line_key (const char *key);

/* Keys of @setup: where they differ from @base, or (for @which not NULL) those that @which states.
 * Paths relative to the file. */
void
faint_analysis_file_set_setup (FaintAnalysisFile *file, const char *group, const FaintSetup *setup,
                               const FaintSetup *base, const FaintSetup *which);
/* Changes @setup by the keys of @group, unknown ones left alone. */
gboolean faint_analysis_file_setup (const FaintAnalysisFile *file, const char *group,
                                    FaintSetup *setup, GError **error);
gboolean faint_analysis_is_setup_key (const char *key);

void faint_analysis_file_set_options (FaintAnalysisFile *file, const char *group,
                                      const FaintFitOptions *options);
gboolean faint_analysis_file_options (const FaintAnalysisFile *file, const char *group,
                                      FaintFitOptions *options, GError **error);
gboolean faint_analysis_is_option_key (const char *key);

/* "" for the first spectrum, "spectrum 2 " for the next; free with g_free. */
char *faint_analysis_file_prefix (gsize part);
/* The length of the prefix that @group begins with, 0 for none. */
gsize faint_analysis_file_prefix_of (const char *group);

/* The last result of the spectrum with @prefix. faint_analysis_file_fit() gives NULL without an
 * error when there is none. */
void faint_analysis_file_set_fit (FaintAnalysisFile *file, const char *prefix, const FaintFit *fit);
FaintFit *
faint_analysis_file_fit (const FaintAnalysisFile *file, const char *prefix, FaintSpectrum *spectrum,
                         FaintLineList *start, FaintLineList *lines, GError **error);
void faint_analysis_file_set_warnings (FaintAnalysisFile *file, const char *group,
                                       const GPtrArray *warnings);
gboolean faint_analysis_file_warnings (const FaintAnalysisFile *file, const char *group,
                                       GPtrArray *warnings, GError **error);
gboolean faint_analysis_file_verdict (const FaintAnalysisFile *file, const char *group,
                                      FaintVerdict *verdict, GError **error);

/* The last result of a series as a whole; *found is FALSE without an error when there is none. */
void faint_analysis_file_set_joint (FaintAnalysisFile *file, const FaintAnalysisResult *result,
                                    const GPtrArray *warnings);
gboolean faint_analysis_file_joint (const FaintAnalysisFile *file, FaintAnalysisResult *result,
                                    GPtrArray *warnings, gboolean *found, GError **error);
gboolean faint_analysis_is_joint_key (const char *key);
gboolean faint_analysis_is_fit_key (const char *key);
gboolean faint_analysis_is_window_key (const char *key);
