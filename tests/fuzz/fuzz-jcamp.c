/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Any bytes as a JCAMP-DX file, as it says itself and, where it is refused so, each of its first
 * blocks with checks that fail told alone. What was read is written as a comb table, and is read
 * again the same.
 */
#include "faint/spectrum/comb-table.h"
#include "fuzz-file.h"
#include "fuzz-spectrum.h"

/* A count of repeats is digits behind its letter: with more a few bytes are thousands of points,
 * which is right, but slow. */
#define MOST_DIGITS 3

static gboolean
is_slow (const uint8_t *data, size_t size)
{
  int digits = 0;

  for (size_t i = 0; i < size; i++)
    {
      if (g_ascii_isdigit (data[i]) && digits > 0)
        digits++;
      else
        digits = (data[i] >= 'S' && data[i] <= 'Z') || data[i] == 's';
      if (digits > MOST_DIGITS)
        return TRUE;
    }
  return FALSE;
}

static gboolean
read_as (const char *path, const char *map)
{
  FaintReadOptions options = { .columns = map };
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintSpectrum) spectrum = faint_spectrum_read (path, &options, NULL, &error);

  faint_fuzz_check (spectrum, error);
  if (spectrum == NULL)
    return FALSE;
  faint_fuzz_check_spectrum (spectrum);
  return TRUE;
}

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  const char *path;

  if (size < 2 || data[0] != '#' || data[1] != '#' || is_slow (data, size))
    return -1;
  path = faint_fuzz_file (data, size);
  if (!read_as (path, NULL) && read_as (path, "block=1,unchecked,transmission"))
    read_as (path, "block=2,unchecked,absorbance");
  return 0;
}
