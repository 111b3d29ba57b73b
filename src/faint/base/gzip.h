/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Unpacking of what gzip (RFC 1952) has packed, whole and in memory, with a limit: a few bytes can
 * stand for very many.
 */
#pragma once

#include <glib.h>

#define FAINT_GZIP_ERROR (faint_gzip_error_quark ())
GQuark faint_gzip_error_quark (void);
typedef enum
{
  FAINT_GZIP_ERROR_TRUNCATED, /* ends early */
  FAINT_GZIP_ERROR_DAMAGED,   /* no gzip, or its check sum is another one */
  FAINT_GZIP_ERROR_SIZE,      /* beyond the limit */
} FaintGzipError;

/* No more than so many bytes are unpacked, 1 GiB. */
#define FAINT_GZIP_MAX_LENGTH ((gsize)1 << 30)
/* And no more than so many for each packed byte, beyond the first 16 MiB: numbers as text pack to a
 * half or a tenth. */
#define FAINT_GZIP_MAX_RATIO 250

/* Do the bytes begin as gzip has them begin? */
gboolean faint_gzip_recognise (const char *bytes, gsize length);

/* Unpacks the first bytes, @n at most, from @length bytes of which more may follow, and returns how
 * many they are: 0 where nothing can be unpacked. */
gsize faint_gzip_unpack_start (const char *bytes, gsize length, char *start, gsize n);

/* Unpacks all members of @bytes; zeros behind the last one are passed over. Returns the bytes with
 * a zero behind them and their number in *unpacked, to be freed with g_free; NULL on an error,
 * whose message begins with @path. */
char *faint_gzip_unpack (const char *bytes, gsize length, const char *path, gsize *unpacked,
                         GError **error);
