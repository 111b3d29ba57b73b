/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What results and files say in English, in the user's language.
 *
 * Warnings, reasons of a review and the record of changes are kept in files and compared by
 * programs, so they are English with decimal points whatever the locale, see faint/base/warnings.h.
 * The window alone translates them, from the text as it stands, be it of this run or of a file:
 * every one was made of templates that are marked for the catalogues where they are used, "%zu
 * lines are far wider than the others: %s.". The text is read as that nest of templates of which
 * most letters stand in it; each is translated by the catalogue, and what stood at its conversions
 * is put into it as it is, or translated likewise.
 */
#pragma once

#include <glib.h>

/* @english in the user's language. What no template reads stays as it is, and so does what stands
 * between quotes in one. Free with g_free. */
char *faint_kept_words (const char *english);
/* The same as it is shown: cm⁻¹ and Eₙ in the place of the cm-1 and E_n of files. Free with g_free.
 */
char *faint_shown_words (const char *english);

/* The texts of @warnings (may be NULL) one below the other. Free with g_free. */
char *faint_kept_warnings (const GPtrArray *warnings);

/* The templates, ended by NULL. */
const char *const *faint_kept_words_templates (void);
