/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/base/text.h"

#include <math.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "faint-test.h"

static guint64
bits (double value)
{
  guint64 word;

  memcpy (&word, &value, sizeof word);
  return word;
}

/* The C library's reader is the outside source: every bit must agree. */
static void
same_as_strtod (const char *text)
{
  const char *end = text + strlen (text), *after = NULL;
  char *stop;
  double value, want = g_ascii_strtod (text, &stop);

  g_assert_true (faint_text_number (text, end, &value, &after));
  g_assert_true (after == stop);
  if (bits (value) != bits (want))
    g_error ("'%s' reads %.17g, strtod reads %.17g", text, value, want);
}

static char *
random_digits (GRand *random, int most)
{
  int n = g_rand_int_range (random, 1, most + 1);
  char *text = g_malloc ((gsize)n + 1);

  for (int i = 0; i < n; i++)
    text[i] = (char)('0' + g_rand_int_range (random, 0, 10));
  text[n] = '\0';
  return text;
}

static char *
random_decimal (GRand *random, int i)
{
  static const int most[] = { 1, 3, 7, 10, 17, 21, 40 };
  static const int powers[] = { 5, 25, 45, 330 };
  g_autofree char *whole = random_digits (random, most[i % 7]);
  g_autofree char *part = random_digits (random, most[(i / 7) % 7]);
  const char *sign = i % 5 == 0 ? "-" : i % 11 == 0 ? "+" : "";
  int largest = powers[(i / 49) % 4], power = g_rand_int_range (random, -largest, largest + 1);

  switch (i % 6)
    {
    case 0:
      return g_strdup_printf ("%s%s", sign, whole);
    case 1:
      return g_strdup_printf ("%s%s.%s", sign, whole, part);
    case 2:
      return g_strdup_printf ("%s.%s", sign, part);
    case 3:
      return g_strdup_printf ("%s%s.%se%d", sign, whole, part, power);
    case 4:
      return g_strdup_printf ("%s%sE%+d", sign, whole, power);
    default:
      return g_strdup_printf ("%s0.%0*d%s", sign, power < 0 ? -power % 20 + 1 : 1, 0, part);
    }
}

static void
test_same_as_strtod (void)
{
  static const char *const special[] = { "0",
                                         "-0.0",
                                         "1.",
                                         ".5",
                                         "9007199254740993", /* 2^53 + 1: a tie */
                                         "9007199254740993.0000001",
                                         "1e23", /* the nearest double lies below */
                                         "8.5e22",
                                         "2.2250738585072011e-308", /* largest subnormal number */
                                         "4.9e-324",
                                         "2.4703282292062327e-324",
                                         "1.7976931348623157e308",
                                         "1.7976931348623159e308",
                                         "18446744073709551615",
                                         "18446744073709551616",
                                         "9999999999999999999e27",
                                         "1e-27",
                                         "9999999999999999999e-27",
                                         "1e99999999999999999999",
                                         "0e99999999999999999999",
                                         "1e-99999999999999999999",
                                         "123456789012345678901234567890e-30",
                                         "0.1e",
                                         "5e+",
                                         "7eK" };
  GRand *random = g_rand_new_with_seed (20);

  for (gsize i = 0; i < G_N_ELEMENTS (special); i++)
    same_as_strtod (special[i]);
  for (int i = 0; i < 200000; i++)
    {
      g_autofree char *text = random_decimal (random, i);

      same_as_strtod (text);
    }
  g_rand_free (random);
}

/* Shortest decimals of doubles and decimals halfway between two doubles are the hard cases. */
static void
test_hard_decimals (void)
{
  GRand *random = g_rand_new_with_seed (21);

  for (int i = 0; i < 100000; i++)
    {
      double value = exp (g_rand_double_range (random, -40, 40));
      double next = nextafter (value, INFINITY);
      g_autofree char *text = g_strdup_printf ("%.17g", value);
      g_autofree char *half = g_strdup_printf ("%.19Lg", ((long double)value + next) / 2);

      same_as_strtod (text);
      same_as_strtod (half);
    }
  g_rand_free (random);
}

static void
test_no_number (void)
{
  static const char *const texts[]
      = { "", "-", "+", ".", "-.", "e5", "x", ",5", "--1", "in", "na" };
  const char *after = "untouched";
  double value;

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      g_assert_false (faint_text_number (texts[i], texts[i] + strlen (texts[i]), &value, &after));
      g_assert_cmpstr (after, ==, "untouched");
    }
}

static void
test_end_is_respected (void)
{
  const char text[] = "123.456e7";
  static const double want[] = { 1, 12, 123, 123, 123.4, 123.45, 123.456, 123.456, 123.456e7 };
  static const int used[] = { 1, 2, 3, 4, 5, 6, 7, 7, 9 };

  for (int n = 1; n <= 9; n++)
    {
      const char *after;
      double value;

      g_assert_true (faint_text_number (text, text + n, &value, &after));
      g_assert_cmpfloat (value, ==, want[n - 1]);
      g_assert_cmpint (after - text, ==, used[n - 1]);
    }
}

static void
test_not_finite (void)
{
  static const char *const texts[] = { "inf", "-Infinity", "NaN", "nan" };

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      const char *end = texts[i] + strlen (texts[i]), *after;
      double value;

      g_assert_true (faint_text_number (texts[i], end, &value, &after));
      g_assert_false (isfinite (value));
      g_assert_true (after == end);
    }
}

static FaintText *
read_bytes (const char *folder, const char *bytes, gssize length, GError **error)
{
  g_autofree char *path = g_build_filename (folder, "file", NULL);

  g_assert_true (g_file_set_contents (path, bytes, length, NULL));
  return faint_text_read (path, error);
}

static void
refuses (const char *folder, const char *bytes, gssize length, int code, const char *words)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintText) text = read_bytes (folder, bytes, length, &error);

  g_assert_null (text);
  g_assert_error (error, FAINT_TEXT_ERROR, code);
  faint_assert_error_says (error, FAINT_TEXT_ERROR, words);
}

static void
test_refusals (void)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *missing = g_build_filename (folder, "missing", NULL);
  g_autoptr (GError) error = NULL;

  refuses (folder, "", 0, FAINT_TEXT_ERROR_EMPTY, "is empty");
  refuses (folder, "\xef\xbb\xbf", 3, FAINT_TEXT_ERROR_EMPTY, "is empty");
  refuses (folder, "\xff\xfe#\0 \0", 6, FAINT_TEXT_ERROR_ENCODING, "UTF-16");
  refuses (folder, "\xfe\xff\0#\0 ", 6, FAINT_TEXT_ERROR_ENCODING, "UTF-16");
  refuses (folder, "#\0 \0a\0b\0", 8, FAINT_TEXT_ERROR_ENCODING, "UTF-16");
  refuses (folder, "\0#\0 \0a\0b", 8, FAINT_TEXT_ERROR_ENCODING, "UTF-16");
  refuses (folder,
           "\x7f"
           "ELF\x02\x01\x01\0\0\0",
           10, FAINT_TEXT_ERROR_ENCODING, "binary");
  refuses (folder,
           "one\ntwo \xb0"
           "C",
           -1, FAINT_TEXT_ERROR_ENCODING, "line 2, column 5: the byte 0xB0 is not UTF-8");
  g_assert_null (faint_text_read (missing, &error));
  faint_assert_error_says (error, FAINT_TEXT_ERROR, "cannot be read: No such file");
  g_assert_null (faint_text_read (folder, &error));
  faint_assert_error_says (error, FAINT_TEXT_ERROR, "it is a folder");
  g_assert_null (faint_text_read ("/dev/zero", &error));
  faint_assert_error_says (error, FAINT_TEXT_ERROR, "it is a device");
  if (geteuid () != 0)
    {
      g_autofree char *closed = faint_test_file (folder, "closed", "1\n");

      g_assert_cmpint (chmod (closed, 0), ==, 0);
      g_assert_null (faint_text_read (closed, &error));
      faint_assert_error_says (error, FAINT_TEXT_ERROR, "Permission denied");
    }
  faint_test_folder_remove (folder);
}

static gboolean
is_old (const FaintText *text)
{
  return g_str_has_prefix (text->bytes, "old");
}

/* ISO 8859-1 (ISO/IEC 8859-1:1998): every byte is the character of Unicode of that number. */
static void
test_old_encoding (void)
{
  char *folder = faint_test_folder_new ();
  g_autoptr (GError) error = NULL;
  GString *all = g_string_new ("old\n");

  for (guint byte = 0x80; byte <= 0xff; byte++)
    g_string_append_c (all, (char)byte);
  g_autofree char *path = faint_test_file (folder, "all", all->str);
  g_autoptr (FaintText) text = faint_text_read_old (path, is_old, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (text->latin_1_line, ==, 2);
  g_assert_cmpuint (text->length, ==, strlen (text->bytes));
  const char *p = text->bytes + 4;
  for (gunichar letter = 0x80; letter <= 0xff; letter++, p = g_utf8_next_char (p))
    g_assert_cmpuint (g_utf8_get_char (p), ==, letter);
  g_assert_true (*p == '\0');

  /* What is UTF-8 stays so, and other files are refused as ever. */
  g_autofree char *newer = faint_test_file (folder, "newer", "old \u00b5\n");
  g_autoptr (FaintText) utf8 = faint_text_read_old (newer, is_old, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (utf8->latin_1_line, ==, 0);
  g_assert_cmpstr (utf8->bytes, ==, "old \u00b5\n");
  g_autofree char *other = faint_test_file (folder, "other", "new \xb5\n");
  g_assert_null (faint_text_read_old (other, is_old, &error));
  faint_assert_error_says (error, FAINT_TEXT_ERROR, "0xB5 is not UTF-8");
  g_string_free (all, TRUE);
  faint_test_folder_remove (folder);
}

/* How a file begins, packed or not, with a mark or not. */
static void
test_begins_with (void)
{
  /* "hello\n" as the program gzip 1.12 packs it with -n */
  static const char packed[]
      = "\x1f\x8b\x08\x00\x00\x00\x00\x00\x00\x03\xcb\x48\xcd\xc9\xc9\xe7\x02\x00"
        "\x20\x30\x3a\x36\x06\x00\x00\x00";
  char *folder = faint_test_folder_new ();
  g_autofree char *plain = faint_test_file (folder, "plain", "hello\n");
  g_autofree char *marked = faint_test_file (folder, "marked", "\xef\xbb\xbfhello\n");
  g_autofree char *gz = g_build_filename (folder, "gz", NULL);
  const char *const paths[] = { plain, marked, gz };

  g_assert_true (g_file_set_contents (gz, packed, 26, NULL));
  for (gsize i = 0; i < G_N_ELEMENTS (paths); i++)
    {
      g_assert_true (faint_text_begins_with (paths[i], "hello"));
      g_assert_false (faint_text_begins_with (paths[i], "hellas"));
      g_assert_false (faint_text_begins_with (paths[i], "hello\nhello"));
    }
  g_assert_true (faint_text_is_packed (gz));
  g_assert_false (faint_text_is_packed (plain));
  g_assert_false (faint_text_begins_with (folder, "hello"));
  g_assert_false (faint_text_begins_with ("/nowhere/file", "hello"));
  faint_test_folder_remove (folder);
}

/* Text as messages quote it. */
static void
test_quote (void)
{
  static const struct
  {
    const char *text;
    gssize length;
    guint most;
    const char *quoted;
  } cases[] = {
    { "abc", -1, 3, "abc" },
    { "abcd", -1, 3, "abc\u2026" },
    { "abcd", 2, 3, "ab" },
    { "", -1, 3, "" },
    { "\u00b5\u00b5\u00b5", -1, 2, "\u00b5\u00b5\u2026" },
    { "\u00b5\u00b5", 3, 9, "\u00b5\\xC2" }, /* the length ends within a character */
    { "a\tb\r\n", -1, 9, "a\\tb\\r\\n" },
    { "\x1b[31m", -1, 9, "\\x1B[31m" },
    { "a\0b", 3, 9, "a\\x00b" },
    { "\xb5m", -1, 9, "\\xB5m" },
    { "\xc2\x85\u202e\u2028\ufeff", -1, 9, "\\x85\\u202E\\u2028\\uFEFF" },
    { "e\u0301", -1, 9, "e\u0301" }, /* an accent is a character by itself */
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *quoted = faint_text_quote (cases[i].text, cases[i].length, cases[i].most);

      g_assert_true (g_utf8_validate (quoted, -1, NULL));
      g_assert_cmpstr (quoted, ==, cases[i].quoted);
    }
}

/* FIPS 180-4 example: SHA-256 of the three bytes "abc". */
static void
test_sum (void)
{
  char *folder = faint_test_folder_new ();
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintText) text = read_bytes (folder, "abc", 3, &error);

  g_assert_no_error (error);
  g_assert_cmpstr (text->sha256, ==,
                   "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  faint_test_folder_remove (folder);
}

static void
test_sum_of_long_files (void)
{
  char *folder = faint_test_folder_new ();

  /* Around the ends of blocks, where padding spills into a block of its own. */
  for (gsize length = 1; length < 300; length += length < 40 ? 13 : 1)
    {
      g_autofree char *bytes = g_malloc (length);
      g_autofree char *want = NULL;
      g_autoptr (FaintText) text = NULL;

      for (gsize i = 0; i < length; i++)
        bytes[i] = (char)('a' + (i * 7 + length) % 26);
      want = g_compute_checksum_for_data (G_CHECKSUM_SHA256, (guchar *)bytes, length);
      text = read_bytes (folder, bytes, (gssize)length, NULL);
      g_assert_cmpstr (text->sha256, ==, want);
    }
  faint_test_folder_remove (folder);
}

static void
lines_are (const char *folder, const char *bytes, const char *joined)
{
  g_autoptr (FaintText) text = read_bytes (folder, bytes, -1, NULL);
  g_autoptr (GString) got = g_string_new (NULL);
  FaintLines lines = { .text = text };

  while (faint_text_next_line (&lines))
    {
      g_string_append_printf (got, "%" G_GUINT64_FORMAT ":", lines.number);
      g_string_append_len (got, lines.line, (gssize)lines.length);
      g_string_append_c (got, '|');
    }
  g_assert_cmpstr (got->str, ==, joined);
}

static void
test_lines (void)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *longer = g_strnfill (1000, 'x');
  g_autofree char *text = g_strdup_printf ("%s\r%s\n", longer, longer);
  g_autofree char *want = g_strdup_printf ("1:%s|2:%s|", longer, longer);

  lines_are (folder, "a\nb\n", "1:a|2:b|");
  lines_are (folder, "a\nb", "1:a|2:b|");
  lines_are (folder, "a\r\nb\r\n", "1:a|2:b|");
  lines_are (folder, "a\rb\r", "1:a|2:b|");
  lines_are (folder, "a\n\nb\n", "1:a|2:|3:b|");
  lines_are (folder,
             "\xef\xbb\xbf"
             "a\n",
             "1:a|");
  lines_are (folder, "\n", "1:|");
  lines_are (folder, text, want);
  faint_test_folder_remove (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/text/number/same-as-strtod", test_same_as_strtod);
  g_test_add_func ("/text/number/hard-decimals", test_hard_decimals);
  g_test_add_func ("/text/number/none", test_no_number);
  g_test_add_func ("/text/number/end-is-respected", test_end_is_respected);
  g_test_add_func ("/text/number/not-finite", test_not_finite);
  g_test_add_func ("/text/refusals", test_refusals);
  g_test_add_func ("/text/old-encoding", test_old_encoding);
  g_test_add_func ("/text/begins-with", test_begins_with);
  g_test_add_func ("/text/quote", test_quote);
  g_test_add_func ("/text/sum", test_sum);
  g_test_add_func ("/text/sum-of-long-files", test_sum_of_long_files);
  g_test_add_func ("/text/lines", test_lines);
  return g_test_run ();
}
