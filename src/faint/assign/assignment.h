/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which line is which: from a line list and the levels of a lower state to labels, constants of the
 * upper state, what is missing and what does not fit, each line with its evidence.
 *
 * The steps: combination differences (combination.h); chains of upper levels (chains.h); chains
 * that belong to one band are put together; constants (band-constants.h) and strengths
 * (intensities.h) of each band; lines that the constants predict and no chain took, where only one
 * line is meant; the fits again. With options->given the labels that the list already has are taken
 * instead of a search, and checked.
 */
#pragma once

#include "faint/assign/chains.h"
#include "faint/assign/intensities.h"
#include "faint/base/warnings.h"

typedef enum
{
  FAINT_ASSIGNED_BY_DIFFERENCE, /* with another line of the same upper level */
  FAINT_ASSIGNED_BY_CHAIN,      /* alone in its level, whose neighbours foretell it */
  FAINT_ASSIGNED_BY_CONSTANTS,  /* foretold by the constants of its band */
  FAINT_ASSIGNED_AS_GIVEN,      /* by the labels of the list */
} FaintAssignedBy;
/* "difference", "chain", "constants", "given". */
const char *faint_assigned_by_name (FaintAssignedBy by);

/* A line and what speaks for its assignment. */
typedef struct
{
  guint id;   /* of the line */
  guint band; /* index */
  FaintBandLine line;
  char *upper, *lower; /* labels */
  FaintAssignedBy by;
  double odds; /* ln of the odds over chance, of all lines of its upper level; NAN of given ones */
  double margin;  /* ln, over the best other choice of lines; NAN where there was none */
  guint partners; /* other lines of its upper level */
  double misfit;  /* of them to this one, in combined uncertainties; NAN without */
  double expected,
      u_expected;        /* position from its neighbours or the constants, cm-1; NAN of given */
  double calculated;     /* position from the band's constants */
  double strength_ratio; /* measured over calculated; NAN where not known */
  double
      energy_misfit; /* of a fitted lower-state energy, in its uncertainties; NAN where not known */
  gboolean fitted;   /* took part in the fit of the constants */
  FaintBandVerdict verdict;
  double shift; /* of a perturbed upper level; else NAN */
} FaintAssigned;

/* A line that a band should have and no line of the list is. */
typedef struct
{
  guint band, ladder;
  int j;
  FaintBranch branch;
  double position, u; /* cm-1 */
  double strength, u_strength;
  double over_limit; /* strength over the weakest of the list; NAN */
  gboolean inside;   /* between the first and the last line of the list */
} FaintPredicted;

typedef struct
{
  char *name; /* of the upper state: before the labels */
  guint8 *uses_ladder;
  FaintBand *band;
  FaintIntensities intensities;
  FaintBand *lower; /* lower constants from differences, where asked and determined; or NULL */
  double odds;      /* ln, over chance, of the chain it began with; NAN of given labels */
  double u_common;  /* of the positions, common to all: part of u(origin), not of the others */
  guint n_lines;
} FaintAssignedBand;

/* A chain that the data do not tell from its rival: its lines stay without labels. */
typedef struct
{
  char *text; /* "J' 3 to 17 of e with 23 lines: ..." */
  guint n_lines;
} FaintUndecided;

typedef struct
{
  FaintAssignOptions search;
  FaintBandOptions band;
  gboolean given;           /* take the labels of the list instead of a search */
  gboolean unlabelled;      /* leave lines alone that have a label */
  gboolean lower_constants; /* fit those of the lower state from combination differences too */
} FaintAssignmentOptions;
void faint_assignment_options_init (FaintAssignmentOptions *options, const FaintLevels *levels);

/* Keys of the options, for a command line or a file; NULL-terminated: "coverage", "change_b",
 * "roughness", "displacement", "temperature", "least_odds", "margin", "u_position", "longest_gap",
 * "attempts", "outlier_limit". */
const char *const *faint_assignment_option_keys (void);
/* The value of @key; NULL when it is none. Free with g_free. */
char *faint_assignment_options_get (const FaintAssignmentOptions *options, const char *key);
/* FALSE with FAINT_FIT_CONSTANTS_ERROR_OPTION when @key is none of them or @text no value for it.
 */
gboolean faint_assignment_options_set (FaintAssignmentOptions *options, const char *key,
                                       const char *text, GError **error);

typedef struct
{
  FaintLevels *levels;
  GPtrArray *ladders; /* FaintLadder */
  FaintAssignmentOptions options;
  GArray *lines;       /* FaintAssigned, by position */
  GArray *bands;       /* FaintAssignedBand */
  GArray *predicted;   /* FaintPredicted, by position */
  GArray *undecided;   /* FaintUndecided */
  gsize n_observed;    /* lines searched */
  guint n_candidates;  /* combination differences found */
  double chance;       /* and as many would be by chance */
  double limit;        /* weakest strengths of the list; NAN */
  GPtrArray *warnings; /* FaintWarning */
} FaintAssignment;

/* NULL when cancelled, or with FAINT_FIT_CONSTANTS_ERROR_TOO_FEW when the list is empty. That
 * nothing could be assigned is a result, with a warning. */
FaintAssignment *faint_assignment_run (const FaintLineList *list, FaintLevels *levels,
                                       const FaintAssignmentOptions *options,
                                       const FaintProgress *progress, GError **error);
void faint_assignment_free (FaintAssignment *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintAssignment, faint_assignment_free)

/* @list with the labels of the assigned lines; those of others stay as they are. */
FaintLineList *faint_assignment_label (const FaintAssignment *self, const FaintLineList *list);
/* What was done, for a record of changes: how many lines, by which file of levels, how many
 * combination differences and how many chance would give, the options that are not the usual ones.
 * @levels_path, @levels_sha256: NULL where the levels come from no file. Free with g_free. */
char *faint_assignment_describe (const FaintAssignment *self, const char *levels_path,
                                 const char *levels_sha256);
/* The assignment of a line, or NULL. */
const FaintAssigned *faint_assignment_find (const FaintAssignment *self, guint id);
/* Label of an upper level, with the name of its band for state: "b:J12e". Free with g_free. */
char *faint_assignment_upper_label (const FaintAssignment *self, guint band, guint ladder, int j);
