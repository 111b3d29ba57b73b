/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Any bytes as a spectrum that says itself what its columns are: a comb table, or text with such
 * heads. What was read is written, and is read again the same.
 */
#include "faint/spectrum/comb-table.h"
#include "fuzz-file.h"

#include <string.h>

static void
check_again (const FaintSpectrum *spectrum)
{
  g_autoptr (GError) error = NULL;
  gsize length;
  g_autofree char *text = faint_comb_table_to_text (spectrum, &length);
  const char *path = faint_fuzz_file ((const uint8_t *)text, length);
  g_autoptr (FaintSpectrum) again = faint_spectrum_read (path, NULL, NULL, &error);

  if (again == NULL)
    faint_fuzz_fail ("what was written cannot be read: %s", error->message);
  if (again->n != spectrum->n
      || memcmp (again->value, spectrum->value, spectrum->n * sizeof (double)) != 0)
    faint_fuzz_fail ("what was written is read as something else");
}

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintSpectrum) spectrum
      = faint_spectrum_read (faint_fuzz_file (data, size), NULL, NULL, &error);

  faint_fuzz_check (spectrum, error);
  if (spectrum != NULL)
    check_again (spectrum);
  return 0;
}
