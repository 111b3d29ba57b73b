/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fuzz-spectrum.h"

#include <string.h>

#include "faint/spectrum/comb-table.h"
#include "fuzz-file.h"

void
faint_fuzz_check_spectrum (const FaintSpectrum *spectrum)
{
  g_autoptr (GError) error = NULL;
  gsize length;
  g_autofree char *text = faint_comb_table_to_text (spectrum, &length);
  g_autofree char *path = g_build_filename (faint_fuzz_folder (), "written.comb", NULL);
  g_autoptr (FaintSpectrum) again = NULL;

  faint_fuzz_write (path, text, length);
  again = faint_spectrum_read (path, NULL, NULL, &error);
  if (again == NULL)
    faint_fuzz_fail ("what was written cannot be read: %s", error->message);
  if (again->n != spectrum->n
      || memcmp (again->value, spectrum->value, spectrum->n * sizeof (double)) != 0)
    faint_fuzz_fail ("what was written is read as something else");
}
