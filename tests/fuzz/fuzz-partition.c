/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Any bytes as a partition sum.
 */
#include "faint/strength/partition.h"
#include "fuzz-file.h"

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintPartition) result = faint_partition_read (faint_fuzz_file (data, size), &error);

  faint_fuzz_check (result, error);
  return 0;
}
