/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the verbs of faintline-batch share: exit statuses, messages, arguments, progress on a
 * terminal, being stopped by a signal.
 */
#pragma once

#include "faint/base/progress.h"
#include "faint/base/warnings.h"

typedef enum
{
  FAINT_EXIT_DONE = 0,
  FAINT_EXIT_NOT_CONVERGED = 1, /* done and written, but something did not converge: said which */
  FAINT_EXIT_WRONG_USE = 2,
  FAINT_EXIT_BAD_INPUT = 3, /* an input or a place to write to is no good: nothing written */
  FAINT_EXIT_SIGNAL = 128,  /* plus the number of the signal: nothing written */
} FaintExit;

typedef struct
{
  const char *name, *purpose;
  int (*run) (char **arguments); /* NULL-terminated, without program and verb; an exit status */
} FaintVerb;
extern const FaintVerb faint_verb_simulate, faint_verb_fit, faint_verb_assign, faint_verb_convert,
    faint_verb_review, faint_verb_compare;

/* "faintline-batch: ..." and an end of line on stderr, after clearing the line of progress. */
void faint_say (const char *format, ...) G_GNUC_PRINTF (1, 2);
void faint_say_warnings (const GPtrArray *warnings);

/* Says what @error says and gives the status that belongs to it; frees it. */
int faint_fail (GError *error);
/* Says how the verb is used wrongly. */
int faint_wrong_use (const char *verb, const char *format, ...) G_GNUC_PRINTF (2, 3);

/* Parses @arguments against @entries with GLib's option parser; what is left over is in *rest
 * (free with g_strfreev). FALSE after it said what is wrong. --help prints and ends the program. */
gboolean
faint_parse_arguments (const FaintVerb *verb, const char *parameters, const char *description,
                       const GOptionEntry *entries, char **arguments, char ***rest);
/* A whole number in the range; FALSE after it said what is wrong. @text NULL leaves *value. */
gboolean faint_parse_count (const char *verb, const char *option, const char *text, guint64 lowest,
                            guint64 highest, guint64 *value);

/* A number in the range; FALSE after it said what is wrong. @text NULL leaves *value. */
gboolean faint_parse_number (const char *verb, const char *option, const char *text, double lowest,
                             double highest, double *value);

/* From now on SIGINT and SIGTERM stop the work at its next report; a second one kills. */
void faint_catch_signals (void);
/* The work's progress: one line on stderr, rewritten, when that is a terminal. Shares its state,
 * as a program has only one terminal. */
const FaintProgress *faint_terminal_progress (void);
/* The fractions that follow count from @from to @to of the whole. */
void faint_progress_stage (double from, double to);
/* TRUE once a signal asked the program to stop. */
gboolean faint_is_stopped (void);
