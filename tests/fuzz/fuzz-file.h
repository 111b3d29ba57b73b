/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What fuzzed readers of files share: the bytes as a file, and what every refusal must be.
 */
#pragma once

#include "fuzz.h"

#include <glib.h>

/* Writes the bytes to a file of a temporary folder, the same one at every call, and returns its
 * path. The folder goes when the program ends. */
const char *faint_fuzz_file (const uint8_t *data, size_t size);
/* The folder, for further files. */
const char *faint_fuzz_folder (void);

/* Writes another file. */
void faint_fuzz_write (const char *to, const void *data, size_t size);

/* Prints the message and aborts: libFuzzer keeps the input of an abort, but not of g_error(). */
void faint_fuzz_fail (const char *format, ...) G_GNUC_PRINTF (1, 2) G_GNUC_NORETURN;

/* Ends the program unless exactly one of @result and @error is there and the error is a sentence
 * in UTF-8 that names the file. */
void faint_fuzz_check (gconstpointer result, const GError *error);
