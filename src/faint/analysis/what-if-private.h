/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is prepared once for all values that are asked for.
 */
#pragma once

#include "faint/analysis/what-if.h"
#include "faint/strength/partition.h"

struct _FaintWhatIf
{
  FaintSpectrum *spectrum;
  FaintFit *fit; /* or NULL */
  FaintLineList *lines;
  FaintPartition *partition; /* or NULL */
  FaintWhatIfValues stated;
  gatomicrefcount refs;
};
