/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Files that gzip has packed: whole ones come back, others are refused in words, and a few bytes
 * that stand for very many do no harm.
 */
#include "faint/base/gzip.h"
#include "faint/base/text.h"
#include "faint-test.h"

#include <gio/gio.h>
#include <string.h>

/* "hello\n" as the program gzip 1.12 packs it with -n. */
static const char hello[]
    = "\x1f\x8b\x08\x00\x00\x00\x00\x00\x00\x03\xcb\x48\xcd\xc9\xc9\xe7\x02\x00"
      "\x20\x30\x3a\x36\x06\x00\x00\x00";
#define HELLO_LENGTH 26

static char *
pack (const char *bytes, gsize length, gsize *packed)
{
  g_autoptr (GConverter) converter
      = G_CONVERTER (g_zlib_compressor_new (G_ZLIB_COMPRESSOR_FORMAT_GZIP, 6));
  gsize size = length + 1000, taken;
  char *out = g_malloc (size);
  g_autoptr (GError) error = NULL;

  g_assert_cmpint (g_converter_convert (converter, bytes, length, out, size,
                                        G_CONVERTER_INPUT_AT_END, &taken, packed, &error),
                   ==, G_CONVERTER_FINISHED);
  return out;
}

static void
test_hello (void)
{
  g_autoptr (GError) error = NULL;
  gsize length;
  g_autofree char *text = faint_gzip_unpack (hello, HELLO_LENGTH, "file", &length, &error);

  g_assert_no_error (error);
  g_assert_cmpstr (text, ==, "hello\n");
  g_assert_cmpuint (length, ==, 6);
}

/* The beginning alone, of a part of the packed bytes. */
static void
test_start (void)
{
  char start[4] = "";
  gsize n = 200000, packed;
  g_autofree char *text = g_malloc (n), *bytes = NULL;
  char long_start[64];
  guint32 random = 1;

  g_assert_cmpuint (faint_gzip_unpack_start (hello, HELLO_LENGTH, start, 3), ==, 3);
  g_assert_cmpstr (start, ==, "hel");
  g_assert_cmpuint (faint_gzip_unpack_start (hello, 5, start, 3), ==, 0);
  g_assert_cmpuint (faint_gzip_unpack_start ("hello", 5, start, 3), ==, 0);
  for (gsize i = 0; i < n; i++)
    {
      random = random * 1664525u + 1013904223u; /* Numerical Recipes, from memory */
      text[i] = (char)('a' + (random >> 16) % 26);
    }
  bytes = pack (text, n, &packed);
  g_assert_cmpuint (packed, >, 4096);
  g_assert_cmpuint (faint_gzip_unpack_start (bytes, 4096, long_start, sizeof long_start), ==,
                    sizeof long_start);
  g_assert_cmpmem (long_start, sizeof long_start, text, sizeof long_start);
}

/* Several members after another are one text (RFC 1952, section 2.2); zeros may follow. */
static void
test_members (void)
{
  g_autoptr (GError) error = NULL;
  gsize length;
  char two[2 * HELLO_LENGTH + 512] = { 0 };
  g_autofree char *text = NULL;

  memcpy (two, hello, HELLO_LENGTH);
  memcpy (two + HELLO_LENGTH, hello, HELLO_LENGTH);
  text = faint_gzip_unpack (two, sizeof two, "file", &length, &error);
  g_assert_no_error (error);
  g_assert_cmpstr (text, ==, "hello\nhello\n");
  two[sizeof two - 1] = 'x';
  g_assert_null (faint_gzip_unpack (two, sizeof two, "file", &length, &error));
  faint_assert_error_says (error, FAINT_GZIP_ERROR, "something else stands behind");
}

/* Every beginning of a file is told to be a part, and a changed byte of content or sum is found. */
static void
test_damaged (void)
{
  gsize length;

  for (gsize n = 2; n < HELLO_LENGTH; n++)
    {
      g_autoptr (GError) error = NULL;
      g_assert_null (faint_gzip_unpack (hello, n, "a file", &length, &error));
      g_assert_error (error, FAINT_GZIP_ERROR, FAINT_GZIP_ERROR_TRUNCATED);
      g_assert_true (g_str_has_prefix (error->message, "a file "));
    }
  for (gsize n = 18; n < HELLO_LENGTH; n++)
    {
      g_autoptr (GError) error = NULL;
      char bad[HELLO_LENGTH];
      memcpy (bad, hello, HELLO_LENGTH);
      bad[n] ^= 1;
      g_assert_null (faint_gzip_unpack (bad, HELLO_LENGTH, "file", &length, &error));
      g_assert_error (error, FAINT_GZIP_ERROR, FAINT_GZIP_ERROR_DAMAGED);
    }
}

/* Random bytes go through in many steps; zeros that pack to a thousandth stop at the limit. */
static void
test_large (void)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (5);
  gsize n = 3000001, packed, length;
  g_autofree char *bytes = g_malloc (n), *small = NULL, *back = NULL, *zeros = NULL, *bomb = NULL;
  g_autoptr (GError) error = NULL;

  for (gsize i = 0; i < n; i++)
    bytes[i] = (char)g_rand_int_range (random, 0, 64);
  small = pack (bytes, n, &packed);
  back = faint_gzip_unpack (small, packed, "file", &length, &error);
  g_assert_no_error (error);
  g_assert_cmpmem (back, length, bytes, n);
  n = 16 << 20;
  zeros = g_malloc0 (n + 1);
  bomb = pack (zeros, n + 1, &packed);
  g_assert_cmpuint (packed * FAINT_GZIP_MAX_RATIO, <, n); /* so that 16 MiB are the limit */
  g_assert_null (faint_gzip_unpack (bomb, packed, "file", &length, &error));
  g_assert_error (error, FAINT_GZIP_ERROR, FAINT_GZIP_ERROR_SIZE);
  g_assert_nonnull (strstr (error->message, "more than 16777216 bytes"));
  g_free (bomb);
  bomb = pack (zeros, n, &packed);
  g_free (back);
  back = faint_gzip_unpack (bomb, packed, "file", &length, NULL);
  g_assert_nonnull (back);
  g_assert_cmpuint (length, ==, n);
}

/* A file is known by its own bytes, packed as they are. */
static void
test_text (void)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *path = g_build_filename (folder, "file", NULL);
  g_autofree char *sum
      = g_compute_checksum_for_data (G_CHECKSUM_SHA256, (const guchar *)hello, HELLO_LENGTH);
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintText) text = NULL;
  g_autofree char *twice = NULL;
  gsize packed;

  g_assert_true (g_file_set_contents (path, hello, HELLO_LENGTH, NULL));
  text = faint_text_read (path, &error);
  g_assert_no_error (error);
  g_assert_cmpstr (text->bytes, ==, "hello\n");
  g_assert_cmpstr (text->sha256, ==, sum);
  twice = pack (hello, HELLO_LENGTH, &packed);
  g_assert_true (g_file_set_contents (path, twice, (gssize)packed, NULL));
  g_assert_null (faint_text_read (path, &error));
  faint_assert_error_says (error, FAINT_TEXT_ERROR, "is compressed (gzip) twice");
  faint_test_folder_remove (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/base/gzip/hello", test_hello);
  g_test_add_func ("/base/gzip/start", test_start);
  g_test_add_func ("/base/gzip/members", test_members);
  g_test_add_func ("/base/gzip/damaged", test_damaged);
  g_test_add_func ("/base/gzip/large", test_large);
  g_test_add_func ("/base/gzip/text", test_text);
  return g_test_run ();
}
