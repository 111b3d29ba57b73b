/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Line lists in JSON (RFC 8259):
 * {"content": "line list", "version": 1, "about": {key: value, ...}, "lines": [{head: value}, ...]}
 * with the heads of CSV as names.
 */
#pragma once

#include "faint/lines/line-list.h"

char *faint_line_list_to_json (const FaintLineList *self, const FaintLineListAbout *about);
/* Notes of "about" are added to @notes. */
FaintLineList *faint_line_list_parse_json (const char *text, gsize length, const char *path,
                                           GPtrArray *notes, GPtrArray *warnings, GError **error);
