/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The one file of the library that uses GIO, which is part of GLib: for its decompressor.
 */
#include "faint/base/gzip.h"

#include <gio/gio.h>
#include <string.h>

#include "faint/base/words.h"

G_DEFINE_QUARK (faint_gzip_error_quark, faint_gzip_error)

#define FREE_LENGTH ((gsize)16 << 20) /* not held against the ratio */

typedef struct
{
  const char *path;
  const char *in;
  gsize in_length, in_at;
  char *out;
  gsize size, length, limit;
} Unpacking;

static gboolean
refuse (const Unpacking *self, FaintGzipError code, GError **error, const char *format)
{
  g_autofree char *sentence = g_strdup_printf (format, self->path);

  g_set_error_literal (error, FAINT_GZIP_ERROR, (int)code, sentence);
  return FALSE;
}

/* Room for more, up to the limit and one byte that tells that it is passed. */
static gboolean
grow (Unpacking *self, GError **error)
{
  gsize size = MIN (MAX (self->size * 2, 65536), self->limit + 1);
  char *grown;

  if (self->length > self->limit)
    {
      g_set_error (error, FAINT_GZIP_ERROR, FAINT_GZIP_ERROR_SIZE,
                   _ ("%s is compressed (gzip) and unpacks to more than %zu bytes, the limit for "
                      "its size. Unpack it first if it is what it should be."),
                   self->path, self->limit);
      return FALSE;
    }
  if (self->length < self->size)
    return TRUE;
  grown = g_try_realloc (self->out, size + 1);
  if (grown == NULL)
    return refuse (
        self, FAINT_GZIP_ERROR_SIZE, error,
        _ ("%s is compressed (gzip) and does not fit into the memory of this computer."));
  self->out = grown;
  self->size = size;
  return TRUE;
}

static gboolean
told (const Unpacking *self, GError *inner, GError **error)
{
  gboolean truncated = g_error_matches (inner, G_IO_ERROR, G_IO_ERROR_PARTIAL_INPUT);

  g_error_free (inner);
  return truncated
             ? refuse (self, FAINT_GZIP_ERROR_TRUNCATED, error,
                       _ ("%s is compressed (gzip) and ends too early: a part of it is missing."))
             : refuse (self, FAINT_GZIP_ERROR_DAMAGED, error,
                       _ ("%s is compressed (gzip) and damaged: it cannot be unpacked."));
}

/* One member. */
static gboolean
unpack_member (Unpacking *self, GConverter *converter, GError **error)
{
  for (;;)
    {
      gsize taken = 0, given = 0;
      GError *inner = NULL;
      GConverterResult result;

      if (!grow (self, error))
        return FALSE;
      result
          = g_converter_convert (converter, self->in + self->in_at, self->in_length - self->in_at,
                                 self->out + self->length, self->size - self->length,
                                 G_CONVERTER_INPUT_AT_END, &taken, &given, &inner);
      if (result == G_CONVERTER_ERROR)
        return told (self, inner, error);
      self->in_at += taken;
      self->length += given;
      if (result == G_CONVERTER_FINISHED)
        return self->length <= self->limit || grow (self, error);
    }
}

/* The bytes that are left are zeros, as some devices fill up. */
static gboolean
only_zeros (const Unpacking *self)
{
  for (gsize i = self->in_at; i < self->in_length; i++)
    if (self->in[i] != '\0')
      return FALSE;
  return TRUE;
}

static gboolean
unpack (Unpacking *self, GError **error)
{
  g_autoptr (GZlibDecompressor) decompressor
      = g_zlib_decompressor_new (G_ZLIB_COMPRESSOR_FORMAT_GZIP);

  do
    {
      g_converter_reset (G_CONVERTER (decompressor));
      if (!unpack_member (self, G_CONVERTER (decompressor), error))
        return FALSE;
    }
  while (faint_gzip_recognise (self->in + self->in_at, self->in_length - self->in_at));
  return only_zeros (self)
         || refuse (
             self, FAINT_GZIP_ERROR_DAMAGED, error,
             _ ("%s is compressed (gzip), and something else stands behind the compressed data."));
}

gboolean
faint_gzip_recognise (const char *bytes, gsize length)
{
  return length >= 2 && memcmp (bytes, "\x1f\x8b", 2) == 0;
}

gsize
faint_gzip_unpack_start (const char *bytes, gsize length, char *start, gsize n)
{
  g_autoptr (GZlibDecompressor) decompressor
      = g_zlib_decompressor_new (G_ZLIB_COMPRESSOR_FORMAT_GZIP);
  gsize at = 0, done = 0;
  GConverterResult result = G_CONVERTER_CONVERTED;

  while (result == G_CONVERTER_CONVERTED && at < length && done < n)
    {
      gsize taken = 0, given = 0;

      result
          = g_converter_convert (G_CONVERTER (decompressor), bytes + at, length - at, start + done,
                                 n - done, G_CONVERTER_NO_FLAGS, &taken, &given, NULL);
      at += taken;
      done += given;
    }
  return done;
}

char *
faint_gzip_unpack (const char *bytes, gsize length, const char *path, gsize *unpacked,
                   GError **error)
{
  gsize by_ratio = length > FAINT_GZIP_MAX_LENGTH / FAINT_GZIP_MAX_RATIO
                       ? FAINT_GZIP_MAX_LENGTH
                       : MAX (length * FAINT_GZIP_MAX_RATIO, FREE_LENGTH);
  Unpacking self = {
    .path = path, .in = bytes, .in_length = length, .limit = MIN (by_ratio, FAINT_GZIP_MAX_LENGTH)
  };

  if (!unpack (&self, error))
    {
      g_free (self.out);
      return NULL;
    }
  self.out[self.length] = '\0';
  *unpacked = self.length;
  return self.out;
}
