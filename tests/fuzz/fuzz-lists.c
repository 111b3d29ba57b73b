/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Any bytes as a line list: they are read or refused with a message that names the file. What was
 * read is written in every format, and is read again with as many lines.
 */
#include "faint/base/text.h"
#include "faint/lines/list-file.h"
#include "fuzz-file.h"

#include <string.h>

static void
check_format (const FaintListFile *file, FaintListFormat format)
{
  FaintLineListAbout about = { .title = NULL, .chi2_reduced = NAN };
  g_autoptr (GPtrArray) notes = g_ptr_array_new ();
  g_autofree char *text = NULL;
  g_autoptr (FaintText) checked = NULL;
  g_autoptr (FaintListFile) back = NULL;
  g_autoptr (GError) error = NULL;

  for (guint i = 0; i < file->notes->len; i++)
    g_ptr_array_add (notes, g_ptr_array_index (file->notes, i));
  g_ptr_array_add (notes, NULL);
  about.notes = (const char *const *)notes->pdata;
  text = faint_line_list_to_text (file->lines, &about, format, NULL, NULL);
  if (*text == '\0') /* a list without lines as records */
    return;
  checked = faint_text_from_bytes (text, strlen (text), "written", &error);
  if (checked != NULL)
    back = faint_list_file_parse (checked->bytes, checked->length, "written", &error);
  if (back == NULL)
    faint_fuzz_fail ("%s was written and cannot be read: %s", faint_list_format_name (format),
                     error->message);
  if (back->format != format)
    faint_fuzz_fail ("%s was written and read as %s", faint_list_format_name (format),
                     faint_list_format_name (back->format));
  if (format != FAINT_LIST_RECORD
      && faint_line_list_get_n (back->lines) != faint_line_list_get_n (file->lines))
    faint_fuzz_fail ("%s lost lines", faint_list_format_name (format));
}

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintText) text = faint_text_from_bytes ((const char *)data, size, "input", &error);
  g_autoptr (FaintListFile) file
      = text != NULL ? faint_list_file_parse (text->bytes, text->length, "input", &error) : NULL;

  if (file == NULL)
    {
      if (error == NULL || !g_str_has_prefix (error->message, "input")
          || !g_utf8_validate (error->message, -1, NULL))
        faint_fuzz_fail ("refused without naming the file: %s",
                         error != NULL ? error->message : "nothing");
      return 0;
    }
  for (guint i = 0; i < FAINT_LIST_N; i++)
    check_format (file, (FaintListFormat)i);
  return 0;
}
