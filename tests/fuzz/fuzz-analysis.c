/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Any bytes as an analysis, beside an input 'input.comb' that it may name.
 */
#include "faint/analysis/analysis.h"
#include "fuzz-file.h"

#include <stdio.h>

/* 48 teeth with one line, invented. */
static void
write_input (void)
{
  static gboolean written;
  g_autofree char *path = g_build_filename (faint_fuzz_folder (), "input.comb", NULL);
  FILE *file;

  if (written)
    return;
  file = fopen (path, "w");
  if (file == NULL)
    faint_fuzz_fail ("%s cannot be written", path);
  fputs ("# comb-table 1\n# repetition_rate = 250 MHz\n# offset_frequency = 20 MHz\n"
         "# temperature = 296 K\n# pressure = 1.3 hPa\n# mole_fraction = 1\n"
         "# molar_mass = 44.0011 g/mol\n# cavity = standing-wave\n# cavity_length = 60 cm\n"
         "# finesse = 12000\n# columns = tooth transmission u(transmission)\n",
         file);
  for (int i = 0; i < 48; i++)
    fprintf (file, "%d %.6f 0.001\n", 933900 + i, 1.0 - 0.3 / (1.0 + (i - 24) * (i - 24) / 4.0));
  written = fclose (file) == 0;
}

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintAnalysis) analysis = NULL;

  write_input ();
  analysis = faint_analysis_load (faint_fuzz_file (data, size), NULL, &error);
  faint_fuzz_check (analysis, error);
  return 0;
}
