/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The levels of the lower state that an analysis assigns its lines with, as read from a file, and
 * which constants of the band are free. A file of levels that is gone or cannot be read any more
 * is no reason not to open the analysis: a warning says so, "levels-missing" or "levels-changed",
 * and where the file was stays known.
 *
 * In the .faintline file, [assignment]: levels (path relative to the file), sha256, free.
 */
#pragma once

#include "faint/analysis/analysis.h"
#include "faint/assign/levels.h"

typedef struct
{
  FaintLevels *levels;  /* NULL: none, or not there any more */
  char *path;           /* absolute; NULL: none were chosen */
  char sha256[65];      /* of the file as read */
  char *free_constants; /* "origin,B,D,lower B" as faint_band_options_parse() reads it; NULL: those
                           that are free unless told otherwise */
} FaintAnalysisLevels;
void faint_analysis_levels_clear (FaintAnalysisLevels *self);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (FaintAnalysisLevels, faint_analysis_levels_clear)

/* Fills @self, which must be cleared, from the file at @path, with no choice of free constants. */
gboolean faint_analysis_levels_read (FaintAnalysisLevels *self, const char *path, GError **error);
/* Fills @self with a copy. */
void faint_analysis_levels_copy (FaintAnalysisLevels *self, const FaintAnalysisLevels *from);

/* Borrowed, never NULL. */
const FaintAnalysisLevels *faint_analysis_get_levels (const FaintAnalysis *self);
/* A new snapshot with a copy of @levels; a fit that is current stays so. */
FaintAnalysis *
faint_analysis_with_levels (const FaintAnalysis *self, const FaintAnalysisLevels *levels);
