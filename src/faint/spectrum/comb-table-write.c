/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/comb-table.h"

#include <math.h>
#include <string.h>

#include "faint/base/files.h"
#include "faint/base/paths.h"
#include "faint/spectrum/comb.h"
#include "faint/spectrum/spectrum-private.h"

/* A path is written as seen from @folder, so that both can be moved together; as it is where the
 * table goes into no folder, or the path itself is none from the root. */
static char *
path_from (const char *path, const char *folder)
{
  return folder != NULL && g_path_is_absolute (path) ? faint_path_relative (path, folder)
                                                     : g_strdup (path);
}

static void
append_key (GString *text, const FaintSetup *setup, const FaintSetupKey *key, const char *folder)
{
  g_autofree char *u_key = g_strdup_printf ("u(%s)", key->key);
  g_autofree char *value = faint_setup_get (setup, key->key);
  g_autofree char *written = value != NULL && key->kind == FAINT_SETUP_KIND_FILE
                                 ? path_from (value, folder)
                                 : g_strdup (value);
  g_autofree char *u
      = key->kind == FAINT_SETUP_KIND_QUANTITY ? faint_setup_get (setup, u_key) : NULL;

  if (value != NULL)
    g_string_append_printf (text, "# %s = %s\n", key->key, written);
  if (u != NULL)
    g_string_append_printf (text, "# %s = %s\n", u_key, u);
}

static double
axis_from_frequency (FaintAxis axis, double frequency)
{
  double wavenumber = faint_comb_wavenumber_from_frequency (frequency);

  return axis == FAINT_AXIS_WAVENUMBER   ? wavenumber
         : axis == FAINT_AXIS_WAVELENGTH ? faint_comb_wavelength_from_wavenumber (wavenumber)
                                         : frequency;
}

/* A number that is read back as this very frequency; FALSE where rounding leaves none. */
static gboolean
axis_number (FaintAxis axis, double frequency, double *number)
{
  double centre = axis_from_frequency (axis, frequency), below = centre, above = centre;

  for (int step = 0; step < 4; step++)
    {
      *number = below;
      if (faint_frequency_from_axis (axis, below) == frequency)
        return TRUE;
      *number = above;
      if (faint_frequency_from_axis (axis, above) == frequency)
        return TRUE;
      below = nextafter (below, 0.0);
      above = nextafter (above, INFINITY);
    }
  return FALSE;
}

/* The axis as it came, or frequencies where its unit could not give every double again. */
static FaintAxis
writable_axis (const FaintSpectrum *self)
{
  double number;

  if (self->axis == FAINT_AXIS_TOOTH)
    return self->tooth != NULL ? FAINT_AXIS_TOOTH : FAINT_AXIS_FREQUENCY;
  for (gsize i = 0; i < self->n; i++)
    if (!axis_number (self->axis, self->frequency[i], &number))
      return FAINT_AXIS_FREQUENCY;
  return self->axis;
}

static const char *
sample_columns (const FaintSpectrum *self)
{
  if (self->value_im == NULL)
    return self->u_estimated ? "transmission" : "transmission u(transmission)";
  if (self->u_estimated)
    return "real imag";
  return self->polar ? "real imag u(along) u(across)" : "real imag u(real) u(imag)";
}

static void
append_header (GString *text, const FaintSpectrum *self, FaintAxis axis, const char *folder)
{
  static const char *const axes[] = { "tooth", "frequency/Hz", "wavenumber/cm-1", "wavelength/nm" };
  gsize n;
  const FaintSetupKey *keys = faint_setup_keys (&n);

  g_string_append (text, "# comb-table 1\n");
  for (gsize i = 0; i < n; i++)
    append_key (text, self->setup, &keys[i], folder);
  for (guint i = 0; i < self->setup->other_keys->len; i++)
    g_string_append_printf (text, "# %s\n", (char *)g_ptr_array_index (self->setup->other_keys, i));
  g_string_append_printf (text, "# columns = %s %s\n", axes[axis], sample_columns (self));
}

static void
append_number (GString *text, double number)
{
  char buffer[FAINT_DOUBLE_TEXT_SIZE];

  g_string_append_c (text, ' ');
  g_string_append (text, faint_format_double_to (number, buffer));
}

static void
append_row (GString *text, const FaintSpectrum *self, FaintAxis axis, gsize i)
{
  if (axis == FAINT_AXIS_TOOTH)
    g_string_append_printf (text, "%" G_GINT64_FORMAT, self->tooth[i]);
  else
    {
      char buffer[FAINT_DOUBLE_TEXT_SIZE];
      double number;

      (void)axis_number (axis, self->frequency[i], &number); /* writable_axis() has tried it */
      g_string_append (text, faint_format_double_to (number, buffer));
    }
  append_number (text, self->value[i]);
  if (self->value_im != NULL)
    append_number (text, self->value_im[i]);
  if (!self->u_estimated)
    append_number (text, self->u[i]);
  if (!self->u_estimated && self->value_im != NULL)
    append_number (text, self->u_im[i]);
  g_string_append_c (text, '\n');
}

static GString *
table_text (const FaintSpectrum *self, const char *folder)
{
  GString *text = g_string_sized_new (self->n * 48 + 2048);
  FaintAxis axis = writable_axis (self);

  append_header (text, self, axis, folder);
  for (gsize i = 0; i < self->n; i++)
    append_row (text, self, axis, i);
  return text;
}

char *
faint_comb_table_to_text (const FaintSpectrum *spectrum, gsize *length)
{
  GString *text = table_text (spectrum, NULL);

  if (length != NULL)
    *length = text->len;
  return g_string_free (text, FALSE);
}

gboolean
faint_comb_table_write (const FaintSpectrum *spectrum, const char *path, GError **error)
{
  g_autofree char *whole = g_canonicalize_filename (path, NULL);
  g_autofree char *folder = g_path_get_dirname (whole);
  GString *text = table_text (spectrum, folder);
  gboolean ok = faint_files_write (path, text->str, text->len, error);

  g_string_free (text, TRUE);
  return ok;
}
