/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Any bytes as a spectrum that says itself what its columns are: a comb table, or text with such
 * heads. What was read is written, and is read again the same.
 */
#include "faint/spectrum/comb-table.h"
#include "fuzz-file.h"
#include "fuzz-spectrum.h"

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintSpectrum) spectrum = NULL;

  if (size > 1 && data[0] == '#' && data[1] == '#') /* fuzz-jcamp.c */
    return -1;
  spectrum = faint_spectrum_read (faint_fuzz_file (data, size), NULL, NULL, &error);
  faint_fuzz_check (spectrum, error);
  if (spectrum != NULL)
    faint_fuzz_check_spectrum (spectrum);
  return 0;
}
