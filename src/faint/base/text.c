/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/base/text.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "faint/base/gzip.h"
#include "faint/base/sha256.h"
#include "faint/base/words.h"

G_DEFINE_QUARK (faint_text_error_quark, faint_text_error)

/* Content is called binary when one of so many first bytes is a control character. */
#define BINARY_PROBE 4096
/* One read at most: the kernel's own limit is just below 2 GiB. */
#define READ_CHUNK (1u << 30)
#define MOST_PEEKED 64
/* The byte-order mark in UTF-8. */
#define MARK "\xef\xbb\xbf"

typedef gboolean (*IsOld) (const FaintText *text);

/* The system's own reason, in the language in which it gives it. */
static gboolean
refuse_open (const char *path, int number, GError **error)
{
  g_set_error (error, FAINT_TEXT_ERROR, FAINT_TEXT_ERROR_OPEN, _ ("%s cannot be read: %s."), path,
               g_strerror (number));
  return FALSE;
}

static gboolean
refuse_content (const char *path, FaintTextError code, const char *format, GError **error)
{
  g_autofree char *sentence = g_strdup_printf (format, path);

  g_set_error_literal (error, FAINT_TEXT_ERROR, (int)code, sentence);
  return FALSE;
}

/* Reads to the end, whatever @expected says: the file may grow, a pipe has no size. */
static gboolean
read_all (int fd, gsize expected, FaintText *text, GError **error)
{
  gsize size = expected + 1; /* so that a file of the expected size ends without growing */

  text->bytes = g_try_malloc (size + 1);
  for (;;)
    {
      gssize got;

      if (text->bytes == NULL)
        return refuse_content (
            text->path, FAINT_TEXT_ERROR_OPEN,
            _ ("%s cannot be read: it does not fit into the memory of this computer."), error);
      got = read (fd, text->bytes + text->length, MIN (size - text->length, READ_CHUNK));
      if (got < 0 && errno == EINTR)
        continue;
      if (got < 0)
        return refuse_open (text->path, errno, error);
      if (got == 0)
        break;
      text->length += (gsize)got;
      if (text->length == size)
        {
          char *grown = g_try_realloc (text->bytes, size * 2 + 1);

          if (grown == NULL)
            g_clear_pointer (&text->bytes, g_free);
          else
            text->bytes = grown;
          size *= 2;
        }
    }
  text->bytes[text->length] = '\0';
  return TRUE;
}

static gboolean
read_file (FaintText *text, GError **error)
{
  struct stat status;
  gboolean ok;
  int fd = open (text->path, O_RDONLY | O_CLOEXEC);

  if (fd < 0)
    return refuse_open (text->path, errno, error);
  if (fstat (fd, &status) != 0)
    ok = refuse_open (text->path, errno, error);
  else if (S_ISDIR (status.st_mode))
    ok = refuse_content (text->path, FAINT_TEXT_ERROR_OPEN,
                         _ ("%s cannot be read: it is a folder, and a file was expected."), error);
  else if (!S_ISREG (status.st_mode) && !S_ISFIFO (status.st_mode))
    ok = refuse_content (text->path, FAINT_TEXT_ERROR_OPEN,
                         _ ("%s cannot be read: it is a device, and a file was expected."), error);
  else
    ok = read_all (fd, S_ISREG (status.st_mode) ? (gsize)status.st_size : 65536, text, error);
  close (fd);
  return ok;
}

/* Latin letters in UTF-16 without a mark have a zero in every second byte. */
static gboolean
looks_like_utf16 (const char *bytes, gsize length)
{
  gsize n = MIN (length, BINARY_PROBE) & ~(gsize)1, zeros[2] = { 0, 0 };

  for (gsize i = 0; i < n; i++)
    zeros[i & 1] += bytes[i] == '\0';
  return n >= 4 && MAX (zeros[0], zeros[1]) > n / 3 && MIN (zeros[0], zeros[1]) <= n / 50;
}

static gboolean
is_binary (const char *bytes, gsize length)
{
  for (gsize i = 0; i < MIN (length, BINARY_PROBE); i++)
    if ((guchar)bytes[i] < 0x20 && !g_ascii_isspace (bytes[i]))
      return TRUE;
  return FALSE;
}

/* Length of the leading part that is plain ASCII without zeros, eight bytes at a time. */
static gsize
ascii_length (const char *bytes, gsize length)
{
  const guint64 high = 0x8080808080808080ull, low = 0x0101010101010101ull;
  gsize i = 0;

  for (; i + 8 <= length; i += 8)
    {
      guint64 word;

      memcpy (&word, bytes + i, 8);
      if ((word & high) != 0 || ((word - low) & ~word & high) != 0)
        break;
    }
  for (; i < length && bytes[i] > 0; i++)
    ;
  return i;
}

static void
place_of (const FaintText *text, gsize offset, guint64 *line, guint64 *column)
{
  FaintLines lines = { .text = text };

  while (faint_text_next_line (&lines) && lines.offset <= offset)
    ;
  *line = lines.number;
  *column = (guint64)g_utf8_strlen (lines.line, text->bytes + offset - lines.line) + 1;
}

/* ISO 8859-1 is the first 256 characters of Unicode. */
static void
take_as_latin_1 (FaintText *text)
{
  gsize more = 0, length = 0;
  char *bytes;

  for (gsize i = 0; i < text->length; i++)
    more += (guchar)text->bytes[i] >= 0x80;
  bytes = g_malloc (text->length + more + 1);
  for (gsize i = 0; i < text->length; i++)
    length += (gsize)g_unichar_to_utf8 ((guchar)text->bytes[i], bytes + length);
  bytes[length] = '\0';
  g_free (text->bytes);
  text->bytes = bytes;
  text->length = length;
}

static gboolean
check_encoding (FaintText *text, IsOld is_old, GError **error)
{
  gsize length = ascii_length (text->bytes, text->length);
  const char *bad;
  guint64 line, column;

  if (g_utf8_validate_len (text->bytes + length, text->length - length, &bad))
    return TRUE;
  place_of (text, (gsize)(bad - text->bytes), &line, &column);
  if (is_old != NULL && memchr (text->bytes, '\0', text->length) == NULL && is_old (text))
    {
      place_of (text, length, &text->latin_1_line, &column);
      take_as_latin_1 (text);
      return TRUE;
    }
  if (*bad == '\0')
    faint_text_error (error, FAINT_TEXT_ERROR_ENCODING, text->path, line, column,
                      _ ("a zero byte stands here. The file is damaged or no text."));
  else
    faint_text_error (error, FAINT_TEXT_ERROR_ENCODING, text->path, line, column,
                      _ ("the byte 0x%02X is not UTF-8. Save the file as UTF-8 text."),
                      (guchar)*bad);
  return FALSE;
}

static gboolean
check_content (FaintText *text, IsOld is_old, GError **error)
{
  const char *bytes = text->bytes;

  if (text->length == 0)
    return refuse_content (text->path, FAINT_TEXT_ERROR_EMPTY, _ ("%s is empty."), error);
  if (text->length >= 2
      && (memcmp (bytes, "\xff\xfe", 2) == 0 || memcmp (bytes, "\xfe\xff", 2) == 0
          || looks_like_utf16 (bytes, text->length)))
    return refuse_content (text->path, FAINT_TEXT_ERROR_ENCODING,
                           _ ("%s is written in UTF-16. Save it as UTF-8 text."), error);
  if (faint_gzip_recognise (bytes, text->length))
    return refuse_content (text->path, FAINT_TEXT_ERROR_ENCODING,
                           _ ("%s is compressed (gzip) twice. Unpack it first."), error);
  if (is_binary (bytes, text->length))
    return refuse_content (text->path, FAINT_TEXT_ERROR_ENCODING,
                           _ ("%s is binary; a text file was expected."), error);
  if (text->length >= 3 && memcmp (bytes, MARK, 3) == 0)
    {
      text->length -= 3;
      memmove (text->bytes, text->bytes + 3, text->length + 1);
      if (text->length == 0)
        return refuse_content (text->path, FAINT_TEXT_ERROR_EMPTY, _ ("%s is empty."), error);
    }
  return check_encoding (text, is_old, error);
}

static gboolean
unpack (FaintText *text, GError **error)
{
  gsize length;
  char *bytes = faint_gzip_unpack (text->bytes, text->length, text->path, &length, error);

  if (bytes == NULL)
    return FALSE;
  g_free (text->bytes);
  text->bytes = bytes;
  text->length = length;
  return TRUE;
}

/* The bytes as they are on disk become the text. */
static gboolean
understand (FaintText *text, IsOld is_old, GError **error)
{
  faint_sha256 (text->bytes, text->length, text->sha256);
  if (faint_gzip_recognise (text->bytes, text->length) && !unpack (text, error))
    return FALSE;
  return check_content (text, is_old, error);
}

/* The first bytes of a plain file, @n at most, as they are on disk. */
static gsize
read_start (const char *path, char *bytes, gsize n)
{
  int fd = open (path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
  struct stat status;
  gssize got = 0;

  if (fd < 0)
    return 0;
  if (fstat (fd, &status) == 0 && S_ISREG (status.st_mode))
    do
      got = read (fd, bytes, n);
    while (got < 0 && errno == EINTR);
  close (fd);
  return (gsize)MAX (got, 0);
}

gboolean
faint_text_is_packed (const char *path)
{
  char bytes[2];

  return faint_gzip_recognise (bytes, read_start (path, bytes, sizeof bytes));
}

gboolean
faint_text_begins_with (const char *path, const char *start)
{
  /* of a packed file so much that a name in its head and the first block's codes have room */
  char disk[4096], unpacked[3 + MOST_PEEKED];
  gsize length = read_start (path, disk, sizeof disk), wanted = strlen (start);
  const char *bytes = disk;

  g_return_val_if_fail (wanted <= MOST_PEEKED, FALSE);
  if (faint_gzip_recognise (disk, length))
    {
      length = faint_gzip_unpack_start (disk, length, unpacked, sizeof unpacked);
      bytes = unpacked;
    }
  if (length >= 3 && memcmp (bytes, MARK, 3) == 0)
    {
      bytes += 3;
      length -= 3;
    }
  return length >= wanted && memcmp (bytes, start, wanted) == 0;
}

FaintText *
faint_text_read_old (const char *path, gboolean (*is_old) (const FaintText *text), GError **error)
{
  g_autoptr (FaintText) text = g_new0 (FaintText, 1);

  text->path = g_strdup (path);
  if (!read_file (text, error) || !understand (text, is_old, error))
    return NULL;
  return g_steal_pointer (&text);
}

FaintText *
faint_text_read (const char *path, GError **error)
{
  return faint_text_read_old (path, NULL, error);
}

FaintText *
faint_text_from_bytes (const char *bytes, gsize length, const char *path, GError **error)
{
  g_autoptr (FaintText) text = g_new0 (FaintText, 1);

  text->path = g_strdup (path);
  text->bytes = g_malloc (length + 1);
  text->length = length;
  if (length > 0)
    memcpy (text->bytes, bytes, length);
  text->bytes[length] = '\0';
  return understand (text, NULL, error) ? g_steal_pointer (&text) : NULL;
}

void
faint_text_free (FaintText *text)
{
  if (text == NULL)
    return;
  g_free (text->path);
  g_free (text->bytes);
  g_free (text);
}

/* The first CR or LF, or @end. Searched in short pieces, so that a file with CR alone is not
 * searched for LF to its end at every line. */
static const char *
end_of_line (const char *start, const char *end)
{
  const gsize piece = 256;

  while (start < end)
    {
      gsize n = MIN ((gsize)(end - start), piece);
      const char *lf = memchr (start, '\n', n);
      const char *cr = memchr (start, '\r', lf != NULL ? (gsize)(lf - start) : n);

      if (cr != NULL)
        return cr;
      if (lf != NULL)
        return lf;
      start += n;
    }
  return end;
}

gboolean
faint_text_next_line (FaintLines *lines)
{
  const char *end = lines->text->bytes + lines->text->length;
  const char *start = lines->text->bytes + lines->offset, *stop;

  if (start >= end)
    return FALSE;
  stop = end_of_line (start, end);
  lines->line = start;
  lines->length = (gsize)(stop - start);
  lines->number++;
  if (stop < end)
    stop += stop[0] == '\r' && stop[1] == '\n' ? 2 : 1; /* the text ends with a zero */
  lines->offset = (gsize)(stop - lines->text->bytes);
  return TRUE;
}

void
faint_text_error (GError **error, FaintTextError code, const char *path, guint64 line,
                  guint64 column, const char *format, ...)
{
  g_autofree char *message = NULL;
  va_list arguments;

  va_start (arguments, format);
  message = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  if (column == 0)
    g_set_error (error, FAINT_TEXT_ERROR, (int)code, _ ("%s, line %zu: %s"), path, (gsize)line,
                 message);
  else
    g_set_error (error, FAINT_TEXT_ERROR, (int)code, _ ("%s, line %zu, column %zu: %s"), path,
                 (gsize)line, (gsize)column, message);
}

/* Characters that would not be seen, or would change how the message around them is seen. */
static gboolean
is_hidden (gunichar letter)
{
  return !g_unichar_isprint (letter) || g_unichar_type (letter) == G_UNICODE_FORMAT
         || g_unichar_type (letter) == G_UNICODE_LINE_SEPARATOR
         || g_unichar_type (letter) == G_UNICODE_PARAGRAPH_SEPARATOR;
}

/* The length of what was quoted. */
static gsize
quote_letter (const char *at, gsize length, GString *quoted)
{
  gunichar letter = g_utf8_get_char_validated (at, (gssize)length);
  const char *name = g_ascii_iscntrl (*at) && *at != '\0' ? strchr ("\nn\tt\rr", *at) : NULL;

  if (letter >= 0x80000000u || *at == '\0')
    {
      g_string_append_printf (quoted, "\\x%02X", (guchar)*at);
      return 1;
    }
  if (name != NULL)
    g_string_append_printf (quoted, "\\%c", name[1]);
  else if (!is_hidden (letter))
    g_string_append_unichar (quoted, letter);
  else
    g_string_append_printf (quoted, letter < 0x100 ? "\\x%02X" : "\\u%04X", letter);
  return (gsize)g_unichar_to_utf8 (letter, NULL);
}

char *
faint_text_quote (const char *text, gssize length, guint most)
{
  gsize n = length < 0 ? strlen (text) : (gsize)length;
  GString *quoted = g_string_new (NULL);

  for (gsize i = 0; i < n;)
    {
      if (most-- == 0)
        {
          g_string_append (quoted, "\u2026");
          break;
        }
      i += quote_letter (text + i, n - i, quoted);
    }
  return g_string_free (quoted, FALSE);
}
