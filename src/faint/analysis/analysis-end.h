/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The mark of the end of an analysis, by which a file that was cut short is known:
 *
 *   [faintline]   begins with last_group=end: the last group is [end]
 *   ...
 *   [end]         the last group; its last key is whole=yes
 *
 * The promise stands before all that can be lost, so no cut keeps it from being missed. Older files
 * promise nothing and are read as they are.
 */
#pragma once

#include "faint/analysis/analysis-file.h"
#include "faint/base/text.h"

/* TRUE if @text is made of groups and keys throughout and keeps its promise, if it makes one.
 * Otherwise FALSE with the path and the line where it breaks off. */
gboolean faint_analysis_check_end (const FaintText *text, GError **error);

/* The promise: before all else of a file that is written. */
void faint_analysis_file_set_promise (FaintAnalysisFile *file);
/* The mark: after all else. */
void faint_analysis_file_set_end (FaintAnalysisFile *file);

/* TRUE for the keys of the promise and of the mark. */
gboolean faint_analysis_is_end_key (const char *group, const char *key);
