/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Any bytes as foreign text: the first line is the map of columns, the rest the file. It is laid
 * out for a preview too.
 */
#include "faint/spectrum/delimited.h"
#include "fuzz-file.h"

#include <string.h>

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  static const char *const settings[] = { "temperature=296 K", NULL };
  const uint8_t *end = size > 0 ? memchr (data, '\n', size) : NULL;
  size_t length = end != NULL ? (size_t)(end - data) : 0, skip = end != NULL ? length + 1 : 0;
  g_autofree char *map = g_strndup (size > 0 ? (const char *)data : "", length);
  FaintReadOptions options = { .settings = settings, .columns = map };
  g_autoptr (GError) error = NULL, preview_error = NULL;
  const char *path = faint_fuzz_file (data + skip, size - skip);
  g_autoptr (FaintDelimitedPreview) preview = faint_delimited_preview (path, 20, &preview_error);
  g_autoptr (FaintSpectrum) spectrum = NULL;

  faint_fuzz_check (preview, preview_error);
  if (preview != NULL)
    g_free (faint_delimited_suggest (preview));
  if (!g_utf8_validate (map, -1, NULL)) /* the command line and the window hand on UTF-8 alone */
    return 0;
  spectrum = faint_spectrum_read (path, &options, NULL, &error);
  faint_fuzz_check (spectrum, error);
  return 0;
}
