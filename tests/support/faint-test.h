/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the tests share: comparing numbers with a reason, reading reference tables, temporary
 * folders.
 */
#pragma once

#include <glib.h>

/* Fails unless |got - want| <= rel |want| (or, for want = 0, got = 0). @why: the reason for the
 * tolerance. Prints both numbers and their difference in units of the tolerance. */
#define faint_assert_close(got, want, rel, why)                                                    \
  faint_test_close (G_STRLOC, #got, (got), (want), (rel), FALSE, (why))
/* The same with an absolute tolerance, for values near zero. */
#define faint_assert_near(got, want, tol, why)                                                     \
  faint_test_close (G_STRLOC, #got, (got), (want), (tol), TRUE, (why))
void faint_test_close (const char *where, const char *what, double got, double want,
                       double tolerance, gboolean absolute, const char *why);

/* Fails unless @error is set, of @domain, and its message holds @words; then clears it. */
#define faint_assert_error_says(error, domain, words)                                              \
  faint_test_error_says (G_STRLOC, &(error), (domain), (words))
void faint_test_error_says (const char *where, GError **error, GQuark domain, const char *words);

/* A CSV of tests/reference: first line (after '#' lines) the head, comma separated. */
typedef struct
{
  char **heads;
  GPtrArray *rows; /* char ** */
} FaintTestTable;
FaintTestTable *faint_test_table_read (const char *name);
void faint_test_table_free (FaintTestTable *self);
const char *faint_test_table_text (const FaintTestTable *self, guint row, const char *column);
double faint_test_table_number (const FaintTestTable *self, guint row, const char *column);

/* A fresh folder, and its removal with all that is in it. */
char *faint_test_folder_new (void);
void faint_test_folder_remove (char *folder);
/* Writes @text to a file @name in @folder; returns its path, to be freed. */
char *faint_test_file (const char *folder, const char *name, const char *text);
