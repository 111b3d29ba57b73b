/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Text files: reading one whole, walking its lines and fields with their place, and numbers.
 * Everything is in the C locale.
 */
#pragma once

#include <glib.h>

#define FAINT_TEXT_ERROR (faint_text_error_quark ())
GQuark faint_text_error_quark (void);
typedef enum
{
  FAINT_TEXT_ERROR_OPEN,     /* not there, no read right, a directory */
  FAINT_TEXT_ERROR_ENCODING, /* UTF-16, binary, not UTF-8 */
  FAINT_TEXT_ERROR_EMPTY,
  FAINT_TEXT_ERROR_SYNTAX, /* the content is not what the format says */
} FaintTextError;

typedef struct
{
  char *path;  /* as given */
  char *bytes; /* NUL-terminated, without byte-order mark */
  gsize length;
  char sha256[65];      /* of the file's bytes as they are on disk, hexadecimal */
  guint64 latin_1_line; /* the first with a character of ISO 8859-1, where it is taken; else 0 */
} FaintText;

/* Reads @path whole. Refuses, in words: a path that cannot be opened (says why), a directory, an
 * empty file, UTF-16 (by its mark or by zero bytes), binary content, bytes that are not UTF-8
 * (with line and column). What gzip has packed is unpacked (gzip.h, with its errors). Ends of line
 * may be LF, CRLF or CR. Free with faint_text_free. */
FaintText *faint_text_read (const char *path, GError **error);
/* The same of bytes in memory, which are copied; @path for messages. */
FaintText *
faint_text_from_bytes (const char *bytes, gsize length, const char *path, GError **error);
/* The same of a file whose format may be older than UTF-8: where bytes are not UTF-8 and @is_old
 * says of the text, in its bytes as yet, that it is of that format, all of them are taken as ISO
 * 8859-1, in which every byte is a character, and @latin_1_line says so. */
FaintText *
faint_text_read_old (const char *path, gboolean (*is_old) (const FaintText *text), GError **error);
/* TRUE if the text that faint_text_read() would give of the file begins with @start, of 64 bytes at
 * most; reads no more of it than that needs. FALSE for what is no plain file: a pipe is read once.
 */
gboolean faint_text_begins_with (const char *path, const char *start);
/* TRUE if gzip has packed the file. */
gboolean faint_text_is_packed (const char *path);
void faint_text_free (FaintText *text);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintText, faint_text_free)

/* A cursor over lines. Start with { .text = text }; after faint_text_next_line() returned TRUE,
 * @line..@line+@length is the line without its end, @number counts from 1. */
typedef struct
{
  const FaintText *text;
  gsize offset; /* where the next line begins */
  const char *line;
  gsize length;
  guint64 number;
} FaintLines;
gboolean faint_text_next_line (FaintLines *lines);

/* Reads a number at @start, not past @end, and moves *@after behind it. Exactly what strtod would
 * give (correctly rounded), several times faster. Returns FALSE, *@after untouched, where no number
 * stands. Decimals alone, no hexadecimal ones. Accepts inf and nan in the usual spellings, which
 * the caller refuses with its own words. */
gboolean faint_text_number (const char *start, const char *end, double *value, const char **after);

/* Sets FAINT_TEXT_ERROR with @code and "path, line N, column M: message" (column 0: no column). */
void faint_text_error (GError **error, FaintTextError code, const char *path, guint64 line,
                       guint64 column, const char *format, ...) G_GNUC_PRINTF (6, 7);

/* Text of a file as a message quotes it, of @length bytes (-1: to its zero): at most @most
 * characters with "..." (one character) behind where it is cut; control characters, those that turn
 * the direction of writing, and bytes that are not UTF-8 are written \n, \t, \u202E, \xB5. The
 * marks of quotation are the caller's. Free with g_free. */
char *faint_text_quote (const char *text, gssize length, guint most);
