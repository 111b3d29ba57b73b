/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the library says to the user in a GError, in the language of the program. For .c files of
 * src/faint alone; what is written to a file or decides anything (warnings, heads of columns,
 * verdicts, keys) stays as it is.
 *
 * The library sets no locale and binds no catalogue: the program does, with bindtextdomain() of
 * FAINT_WORDS_DOMAIN, before the first message. Without a locale, as in the headless command,
 * gettext gives back the English it was asked for.
 */
#pragma once

#include <glib.h>

#define FAINT_WORDS_DOMAIN "faintline"

/* @text in the user's language. A message is one whole sentence with placeholders, which a
 * translation may put into another order (%2$s). */
#define _(text) g_dgettext (FAINT_WORDS_DOMAIN, text)
/* Marks @text for the catalogues where it is not to be translated: in a table, or as a format of what
 * is kept in English, which the window reads and translates, see app/parts/kept-words.h. Such a
 * format is a whole sentence, a whole clause or a term, with text between any two conversions that
 * are not always together. */
#define N_(text) (text)

/* @value by @format, "%g" or "%.6f", with a decimal point in every locale; lives as long as the
 * block in which it stands. */
#define FAINT_NUMBER(format, value)                                                                \
  g_ascii_formatd ((char[FAINT_NUMBER_SIZE]){ 0 }, FAINT_NUMBER_SIZE, format, value)
#define FAINT_NUMBER_SIZE 400 /* %.17f of the largest double has 327 characters */
