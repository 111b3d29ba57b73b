/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The comb table (.comb): reader and writer. The format is described in docs/formats.md.
 */
#pragma once

#include "faint/base/progress.h"
#include "faint/spectrum/spectrum.h"

/* Settings that complete or replace what a file says. */
typedef struct
{
  const char *with;            /* file of "key = value" lines (with or without '#'), or NULL */
  const char *const *settings; /* NULL-terminated "key=value" strings, or NULL; they win */
  const char *columns;         /* column map for delimited text (delimited.h) or a JCAMP-DX file
                                  (jcamp.h), or NULL */
} FaintReadOptions;

/* Reads @path, whatever it is: a comb table when its first line says so, a JCAMP-DX file when it
 * begins with a labelled record (jcamp.h), otherwise delimited text
 * for which @options->columns must be given (or a header row that itself names columns in the
 * way of the comb table). Errors name file, line, column and what was expected. */
FaintSpectrum *faint_spectrum_read (const char *path, const FaintReadOptions *options,
                                    const FaintProgress *progress, GError **error);

/* The whole text of a comb table; free with g_free. Reading it gives the same doubles again
 * (shortest decimals). The axis column is the one the spectrum came with, or frequency/Hz where its
 * unit cannot give every frequency again. Uncertainties that were estimated are left out, and are
 * estimated the same again. @length may be NULL. */
char *faint_comb_table_to_text (const FaintSpectrum *spectrum, gsize *length);

/* Writes it, whole or not at all. */
gboolean faint_comb_table_write (const FaintSpectrum *spectrum, const char *path, GError **error);

/* Applies "key = value" lines of a file, then "key=value" settings, to @setup.
 * For the readers, the scene and the analysis. */
gboolean faint_setup_apply (FaintSetup *setup, const FaintReadOptions *options, GError **error);
