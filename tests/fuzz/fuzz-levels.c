/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Any bytes as constants of a band or a table of levels.
 */
#include "faint/assign/levels.h"
#include "fuzz-file.h"

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintLevels) result = faint_levels_read (faint_fuzz_file (data, size), &error);

  faint_fuzz_check (result, error);
  return 0;
}
