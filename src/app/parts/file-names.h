/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Names of files that a person typed, and what their endings say.
 */
#pragma once

#include <gio/gio.h>

#include "faint/lines/list-file.h"

/* What was meant by @path: a file dialog selects a name without its ending, and whoever types
 * "lines.json" over it leaves "lines.json.csv". Where the last two endings are both of @endings
 * (NULL-terminated, without dots), the last one is dropped. Free with g_free. */
char *faint_file_name_typed (const char *path, const char *const *endings);

/* @path with @ending ("csv") unless it has one: letters and digits, not beginning with a digit,
 * behind the last dot of its name, so that "run-1.3hPa" gets one. An ending that stands there
 * twice, as when "lines.csv" is typed before a ".csv" that was left, is written once. Free with
 * g_free. */
char *faint_file_name_with_ending (const char *path, const char *ending);

/* Whether the name of @path has what may be an ending: "a.svg" and "sample.N2O", not "run-1.3hPa".
 */
gboolean faint_file_name_has_ending (const char *path);

/* Format of a line list by the ending of @path (that of list-file.h, and ".xml" for a VOTable);
 * @otherwise where it is none of them. */
FaintListFormat faint_file_name_list_format (const char *path, FaintListFormat otherwise);

/* Where a file that has one of several formats is to be written: @path with the ending @chosen
 * where its name has none. An ending that is one of @endings (NULL-terminated, without dots) stays
 * and says the format, whatever was chosen. NULL with G_IO_ERROR_INVALID_FILENAME in words,
 * translated, where the name has another one. Free with g_free. */
char *faint_file_name_in_format (const char *path, const char *const *endings, const char *chosen,
                                 GError **error);
