/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/columns.h"

#include <string.h>

#include "faint/base/text.h"
#include "faint/base/words.h"
#include "faint/spectrum/delimited.h"

static const char *const meanings[] = {
  "tooth",
  "frequency/THz",
  "frequency/GHz",
  "frequency/MHz",
  "frequency/Hz",
  "wavenumber/cm-1",
  "wavelength/nm",
  "wavelength/um",
  "transmission",
  "signal",
  "reference",
  "phase/rad",
  "real",
  "imag",
  "u(transmission)",
  "u(signal)",
  "u(reference)",
  "u(phase)/rad",
  "u(real)",
  "u(imag)",
  "u(along)",
  "u(across)",
  "transmission/percent",
  "decadic_absorbance",
  "napierian_absorbance",
  "u(transmission)/percent",
  "u(decadic_absorbance)",
  "u(napierian_absorbance)",
  NULL,
};

/* In the order of the names. */
static const struct
{
  FaintColumn meaning;
  double scale;
} known[] = {
  { FAINT_COLUMN_TOOTH, 1.0 },
  { FAINT_COLUMN_FREQUENCY, 1e12 },
  { FAINT_COLUMN_FREQUENCY, 1e9 },
  { FAINT_COLUMN_FREQUENCY, 1e6 },
  { FAINT_COLUMN_FREQUENCY, 1.0 },
  { FAINT_COLUMN_WAVENUMBER, 1.0 },
  { FAINT_COLUMN_WAVELENGTH, 1.0 },
  { FAINT_COLUMN_WAVELENGTH, 1e3 },
  { FAINT_COLUMN_TRANSMISSION, 1.0 },
  { FAINT_COLUMN_SIGNAL, 1.0 },
  { FAINT_COLUMN_REFERENCE, 1.0 },
  { FAINT_COLUMN_PHASE, 1.0 },
  { FAINT_COLUMN_REAL, 1.0 },
  { FAINT_COLUMN_IMAG, 1.0 },
  { FAINT_COLUMN_U_TRANSMISSION, 1.0 },
  { FAINT_COLUMN_U_SIGNAL, 1.0 },
  { FAINT_COLUMN_U_REFERENCE, 1.0 },
  { FAINT_COLUMN_U_PHASE, 1.0 },
  { FAINT_COLUMN_U_REAL, 1.0 },
  { FAINT_COLUMN_U_IMAG, 1.0 },
  { FAINT_COLUMN_U_ALONG, 1.0 },
  { FAINT_COLUMN_U_ACROSS, 1.0 },
  { FAINT_COLUMN_TRANSMISSION, 0.01 },
  { FAINT_COLUMN_ABSORBANCE, G_LN10 },
  { FAINT_COLUMN_ABSORBANCE, 1.0 },
  { FAINT_COLUMN_U_TRANSMISSION, 0.01 },
  { FAINT_COLUMN_U_ABSORBANCE, G_LN10 },
  { FAINT_COLUMN_U_ABSORBANCE, 1.0 },
};

const char *const *
faint_column_meanings (void)
{
  return meanings;
}

static gboolean refuse (GError **error, const char *format, ...) G_GNUC_PRINTF (2, 3);

static gboolean
refuse (GError **error, const char *format, ...)
{
  g_autofree char *message = NULL;
  va_list arguments;

  va_start (arguments, format);
  message = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error_literal (error, FAINT_TEXT_ERROR, FAINT_TEXT_ERROR_SYNTAX, message);
  return FALSE;
}

/* Length of the quantity's symbol, without "/unit". */
static gsize
symbol_length (const char *name)
{
  return strcspn (name, "/");
}

/* A known quantity with a unit that is not: never taken for a column of somebody else's. */
static gboolean
check_unit (const char *name, GError **error)
{
  gsize length = symbol_length (name);
  g_autoptr (GString) names = g_string_new (NULL);

  for (gsize i = 0; meanings[i] != NULL; i++)
    if (symbol_length (meanings[i]) == length && strncmp (meanings[i], name, length) == 0)
      g_string_append_printf (names, "%s%s", names->len > 0 ? ", " : "", meanings[i]);
  if (names->len == 0)
    return TRUE;
  if (name[length] == '\0')
    return refuse (error, _ ("the column '%s' has no unit; %s was expected."), name, names->str);
  return refuse (error, _ ("the column '%s' has a unit that is not known here; %s was expected."),
                 name, names->str);
}

static gboolean
find_meaning (FaintColumns *self, guint i, gboolean extra, GError **error)
{
  const char *name = self->names[i];

  self->meaning[i] = FAINT_COLUMN_IGNORED;
  self->scale[i] = 1.0;
  if (g_str_equal (name, "-"))
    return TRUE;
  for (gsize k = 0; meanings[k] != NULL; k++)
    if (g_str_equal (meanings[k], name))
      {
        if (self->has[known[k].meaning])
          return refuse (error, _ ("the column '%s' is named twice, or in two units."), name);
        self->meaning[i] = known[k].meaning;
        self->scale[i] = known[k].scale;
        self->has[known[k].meaning] = TRUE;
        return TRUE;
      }
  if (!check_unit (name, error))
    return FALSE;
  if (!extra)
    {
      g_autofree char *all = g_strjoinv (", ", (char **)meanings);

      return refuse (
          error, _ ("'%s' is no meaning of a column; one of %s, or - to skip it, was expected."),
          name, all);
    }
  return TRUE;
}

FaintColumns *
faint_columns_new (const char *const *names, gboolean extra, GError **error)
{
  g_autoptr (FaintColumns) self = g_new0 (FaintColumns, 1);

  self->names = g_strdupv ((char **)names);
  self->n = g_strv_length (self->names);
  self->meaning = g_new0 (FaintColumn, self->n);
  self->scale = g_new0 (double, self->n);
  for (guint i = 0; i < self->n; i++)
    if (!find_meaning (self, i, extra, error))
      return NULL;
  return g_steal_pointer (&self);
}

void
faint_columns_free (FaintColumns *self)
{
  if (self == NULL)
    return;
  g_strfreev (self->names);
  g_free (self->meaning);
  g_free (self->scale);
  g_free (self);
}

static gboolean
check_axis (const FaintColumns *self, GError **error)
{
  int n = self->has[FAINT_COLUMN_TOOTH] + self->has[FAINT_COLUMN_FREQUENCY]
          + self->has[FAINT_COLUMN_WAVENUMBER] + self->has[FAINT_COLUMN_WAVELENGTH];

  if (n == 1)
    return TRUE;
  if (n == 0)
    return refuse (error, _ ("no column holds the axis; one of tooth, frequency/THz (or GHz, MHz, "
                             "Hz), wavenumber/cm-1 and wavelength/nm (or um) was expected."));
  return refuse (error,
                 _ ("more than one column holds the axis; one of tooth, frequency/THz (or "
                    "GHz, MHz, Hz), wavenumber/cm-1 and wavelength/nm (or um) was expected."));
}

static gboolean
check_magnitude (const FaintColumns *self, GError **error)
{
  const gboolean *has = self->has;

  if (has[FAINT_COLUMN_ABSORBANCE]
      && (has[FAINT_COLUMN_TRANSMISSION] || has[FAINT_COLUMN_SIGNAL]
          || has[FAINT_COLUMN_REFERENCE]))
    return refuse (error, _ ("there are both an absorbance and transmission, signal or reference; "
                             "leave one out."));
  if (has[FAINT_COLUMN_ABSORBANCE])
    return TRUE;
  if (has[FAINT_COLUMN_TRANSMISSION] && (has[FAINT_COLUMN_SIGNAL] || has[FAINT_COLUMN_REFERENCE]))
    return refuse (error,
                   _ ("there are both transmission and signal or reference; leave one out."));
  if (has[FAINT_COLUMN_SIGNAL] != has[FAINT_COLUMN_REFERENCE])
    return refuse (error, _ ("signal and reference belong together; where the ratio is already "
                             "taken, name the column transmission."));
  if (!has[FAINT_COLUMN_TRANSMISSION] && !has[FAINT_COLUMN_SIGNAL])
    return refuse (
        error,
        _ ("no column holds the samples; transmission, or signal and reference, was expected."));
  return TRUE;
}

static gboolean
check_parts (const FaintColumns *self, GError **error)
{
  const gboolean *has = self->has;

  if (!has[FAINT_COLUMN_REAL] || !has[FAINT_COLUMN_IMAG])
    return refuse (error, _ ("real and imag belong together."));
  if (has[FAINT_COLUMN_TRANSMISSION] || has[FAINT_COLUMN_SIGNAL] || has[FAINT_COLUMN_REFERENCE]
      || has[FAINT_COLUMN_PHASE] || has[FAINT_COLUMN_ABSORBANCE])
    return refuse (error,
                   _ ("there are both real, imag and an amplitude or phase; leave one out."));
  return TRUE;
}

/* An uncertainty needs its quantity, and a ratio that of its numerator. */
static gboolean
check_uncertainties (const FaintColumns *self, GError **error)
{
  static const struct
  {
    FaintColumn u, of;
    const char *name, *need;
  } pairs[] = {
    { FAINT_COLUMN_U_TRANSMISSION, FAINT_COLUMN_TRANSMISSION, "u(transmission)", "transmission" },
    { FAINT_COLUMN_U_SIGNAL, FAINT_COLUMN_SIGNAL, "u(signal)", "signal" },
    { FAINT_COLUMN_U_REFERENCE, FAINT_COLUMN_U_SIGNAL, "u(reference)", "u(signal)" },
    { FAINT_COLUMN_U_PHASE, FAINT_COLUMN_PHASE, "u(phase)", "phase" },
    { FAINT_COLUMN_U_REAL, FAINT_COLUMN_REAL, "u(real)", "real" },
    { FAINT_COLUMN_U_IMAG, FAINT_COLUMN_IMAG, "u(imag)", "imag" },
    { FAINT_COLUMN_U_ALONG, FAINT_COLUMN_REAL, "u(along)", "real" },
    { FAINT_COLUMN_U_ALONG, FAINT_COLUMN_U_ACROSS, "u(along)", "u(across)" },
    { FAINT_COLUMN_U_ACROSS, FAINT_COLUMN_U_ALONG, "u(across)", "u(along)" },
    { FAINT_COLUMN_U_ABSORBANCE, FAINT_COLUMN_ABSORBANCE, "u(absorbance)", "absorbance" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (pairs); i++)
    if (self->has[pairs[i].u] && !self->has[pairs[i].of])
      return refuse (error, _ ("there is a column %s, but none for %s."), pairs[i].name,
                     pairs[i].need);
  if (self->has[FAINT_COLUMN_U_ALONG]
      && (self->has[FAINT_COLUMN_U_REAL] || self->has[FAINT_COLUMN_U_IMAG]))
    return refuse (error, _ ("there are both u(along) and u(real) or u(imag); leave one out."));
  if (self->has[FAINT_COLUMN_U_PHASE] && !self->has[FAINT_COLUMN_U_SIGNAL]
      && !self->has[FAINT_COLUMN_U_TRANSMISSION])
    return refuse (
        error, _ ("there is a column u(phase), but none for the uncertainty of the amplitude."));
  return TRUE;
}

/* The scale that a quantity and its uncertainty are read with is one: their numbers are in one
 * unit, or of one kind of absorbance. */
static gboolean
check_scales (const FaintColumns *self, FaintColumn quantity, FaintColumn u, GError **error)
{
  guint of = self->n, with = self->n;

  for (guint i = 0; i < self->n; i++)
    {
      of = self->meaning[i] == quantity ? i : of;
      with = self->meaning[i] == u ? i : with;
    }
  if (of == self->n || with == self->n || self->scale[of] == self->scale[with])
    return TRUE;
  return refuse (error, _ ("'%s' and '%s' are not in one unit."), self->names[of],
                 self->names[with]);
}

static void
ignore (FaintColumns *self, FaintColumn meaning)
{
  for (guint i = 0; i < self->n; i++)
    if (self->meaning[i] == meaning)
      self->meaning[i] = FAINT_COLUMN_IGNORED;
  self->has[meaning] = FALSE;
}

gboolean
faint_columns_check (FaintColumns *self, FaintObservable observable, GError **error)
{
  gboolean parts = self->has[FAINT_COLUMN_REAL] || self->has[FAINT_COLUMN_IMAG];

  if (!check_axis (self, error))
    return FALSE;
  if (observable != FAINT_OBSERVABLE_FIELD)
    {
      if (parts)
        return refuse (error,
                       _ ("real and imag are parts of a field; state 'observable = field'."));
      ignore (self, FAINT_COLUMN_PHASE);
      ignore (self, FAINT_COLUMN_U_PHASE);
    }
  if (parts ? !check_parts (self, error) : !check_magnitude (self, error))
    return FALSE;
  if (self->has[FAINT_COLUMN_ABSORBANCE] && observable != FAINT_OBSERVABLE_POWER)
    return refuse (error, _ ("an absorbance is one of the power; state 'observable = power'."));
  if (!check_scales (self, FAINT_COLUMN_TRANSMISSION, FAINT_COLUMN_U_TRANSMISSION, error)
      || !check_scales (self, FAINT_COLUMN_ABSORBANCE, FAINT_COLUMN_U_ABSORBANCE, error))
    return FALSE;
  if (observable == FAINT_OBSERVABLE_FIELD && !parts && !self->has[FAINT_COLUMN_PHASE])
    return refuse (
        error,
        _ ("the observable is a field, but there is no column phase/rad, nor real and imag."));
  return check_uncertainties (self, error);
}

char *
faint_columns_ignored (const FaintColumns *self)
{
  GString *names = g_string_new (NULL);

  for (guint i = 0; i < self->n; i++)
    if (self->meaning[i] == FAINT_COLUMN_IGNORED && !g_str_equal (self->names[i], "-"))
      g_string_append_printf (names, "%s%s", names->len > 0 ? ", " : "", self->names[i]);
  return g_string_free (names, names->len == 0);
}
