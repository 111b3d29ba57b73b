/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a list says about itself, as entries "key = value" in the order in which they are written:
 * the one content of the preamble of a CSV, of "about" in JSON and of the PARAMs of a VOTable.
 */
#pragma once

#include "faint/lines/line-list.h"

/* Entries (char *, in an array that frees them) that say what @about (may be NULL) holds: program,
 * reference temperature, date, title, inputs, conditions and cavity, chi2, further notes, and the
 * coverage factor of expanded uncertainties. Without an end of line in any of them. */
GPtrArray *faint_list_notes_new (const FaintLineListAbout *about);

/* Key and value of @note, trimmed; free both. FALSE, with the whole text as the value and the key
 * "remark", where there is no '='. */
gboolean faint_list_note_split (const char *note, char **key, char **value);

/* The value of the first entry of this key, to be freed, or NULL. @notes may be NULL. */
char *faint_list_notes_get (const GPtrArray *notes, const char *key);

/* Adds "@key = @value" unless it is an entry that a writer makes itself, as "program". */
void faint_list_notes_take (GPtrArray *notes, const char *key, const char *value);

/* Coverage factor of the expanded uncertainties that a list of @about (may be NULL) holds. */
double faint_list_coverage_factor (const FaintLineListAbout *about);
