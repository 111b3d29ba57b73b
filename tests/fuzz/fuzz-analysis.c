/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Any bytes as an analysis, beside two inputs, 'input.comb' and 'input-2.comb', a file of
 * levels, 'band.constants', and a list, 'claimed.csv', that it may name.
 */
#include "faint/analysis/analysis.h"
#include "fuzz-file.h"

#include <string.h>

static void
write_file (const char *name, const char *text)
{
  g_autofree char *path = g_build_filename (faint_fuzz_folder (), name, NULL);

  faint_fuzz_write (path, text, strlen (text));
}

/* 48 teeth with one line, invented. */
static void
write_input (const char *name, const char *pressure)
{
  g_autoptr (GString) text = g_string_new (NULL);

  g_string_printf (
      text,
      "# comb-table 1\n# repetition_rate = 250 MHz\n# offset_frequency = 20 MHz\n"
      "# temperature = 296 K\n# pressure = %s\n# mole_fraction = 1\n"
      "# molar_mass = 44.0011 g/mol\n# cavity = standing-wave\n# cavity_length = 60 cm\n"
      "# finesse = 12000\n# columns = tooth transmission u(transmission)\n",
      pressure);
  for (int i = 0; i < 48; i++)
    g_string_append_printf (text, "%d %.6f 0.001\n", 933900 + i,
                            1.0 - 0.3 / (1.0 + (i - 24) * (i - 24) / 4.0));
  write_file (name, text->str);
}

static void
write_inputs (void)
{
  static gboolean written;

  if (written)
    return;
  written = TRUE;
  write_input ("input.comb", "1.3 hPa");
  write_input ("input-2.comb", "2.6 hPa");
  write_file ("band.constants", "# molecule = linear\n# state = ground\n# l = 0\n"
                                "# B = 0.419011 cm-1\n# D = 1.76e-7 cm-1\n");
  write_file ("claimed.csv", "position/cm-1,strength/(cm/molecule)\n7788.0885,1e-24\n");
}

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintAnalysis) analysis = NULL;

  write_inputs ();
  analysis = faint_analysis_load (faint_fuzz_file (data, size), NULL, &error);
  faint_fuzz_check (analysis, error);
  return 0;
}
