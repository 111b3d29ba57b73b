/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/samples.h"

#include <math.h>

#include "faint/base/words.h"
#include "faint/spectrum/comb.h"
#include "faint/spectrum/spectrum-private.h"

static FaintColumn
axis_column (const FaintRows *rows)
{
  for (FaintColumn column = FAINT_COLUMN_TOOTH; column <= FAINT_COLUMN_WAVELENGTH; column++)
    if (rows->cell[column] != NULL)
      return column;
  return FAINT_COLUMN_IGNORED;
}

static const char *
column_name (const FaintColumns *columns, FaintColumn meaning)
{
  for (guint i = 0; i < columns->n; i++)
    if (columns->meaning[i] == meaning)
      return columns->names[i];
  return "";
}

/* What the numbers of a column were multiplied with. */
static double
column_scale (const FaintColumns *columns, FaintColumn meaning)
{
  for (guint i = 0; i < columns->n; i++)
    if (columns->meaning[i] == meaning)
      return columns->scale[i];
  return 1.0;
}

gboolean
faint_samples_check_axis (const FaintRows *rows, const FaintText *text,
                          const FaintRowsLayout *layout, GError **error)
{
  FaintColumn column = axis_column (rows);
  const double *x = rows->cell[column], axis_scale = column_scale (layout->columns, column);
  /* A table of frequencies may run downwards throughout; teeth are counted upwards. */
  gboolean falls = rows->n > 1 && column != FAINT_COLUMN_TOOTH && x[rows->n - 1] < x[0];

  for (gsize i = 0; i < rows->n; i++)
    {
      const char *sentence = NULL;

      if (column != FAINT_COLUMN_TOOTH && x[i] <= 0.0)
        sentence = N_ ("'%s' of %s is not above 0.");
      else if (i > 0 && x[i] == x[i - 1])
        sentence = N_ ("'%s' of %s stands there twice. Every sample needs a place of its own.");
      else if (i > 0 && (x[i] < x[i - 1]) != falls)
        sentence = falls ? N_ ("'%s' of %s is larger than the one before it, but the axis falls "
                               "over the file as a whole. Sort the rows.")
                         : N_ ("'%s' of %s is smaller than the one before it. The axis must rise; "
                               "sort the rows.");
      if (sentence == NULL)
        continue;
      faint_text_error (error, FAINT_TEXT_ERROR_SYNTAX, text->path,
                        faint_rows_line (text, layout, i), 0, _ (sentence),
                        column_name (layout->columns, column),
                        FAINT_NUMBER ("%.17g", x[i] / axis_scale));
      return FALSE;
    }
  return TRUE;
}

static gboolean
fill_axis (FaintSpectrum *self, const FaintRows *rows, GError **error)
{
  FaintColumn column = axis_column (rows);
  const double *x = rows->cell[column];

  if (column == FAINT_COLUMN_TOOTH && self->tooth == NULL)
    {
      g_set_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_MISSING,
                   _ ("The axis is in tooth numbers, which needs repetition_rate and "
                      "offset_frequency. State both, like 'repetition_rate = 250 MHz'."));
      return FALSE;
    }
  self->axis = column == FAINT_COLUMN_TOOTH        ? FAINT_AXIS_TOOTH
               : column == FAINT_COLUMN_FREQUENCY  ? FAINT_AXIS_FREQUENCY
               : column == FAINT_COLUMN_WAVENUMBER ? FAINT_AXIS_WAVENUMBER
                                                   : FAINT_AXIS_WAVELENGTH;
  for (gsize i = 0; i < rows->n; i++)
    if (column == FAINT_COLUMN_TOOTH)
      self->tooth[i] = (gint64)x[i];
    else
      self->frequency[i] = faint_frequency_from_axis (self->axis, x[i]);
  return TRUE;
}

double
faint_frequency_from_axis (FaintAxis axis, double x)
{
  if (axis == FAINT_AXIS_WAVELENGTH)
    x = faint_comb_wavenumber_from_wavelength (x);
  return axis == FAINT_AXIS_FREQUENCY ? x : faint_comb_frequency_from_wavenumber (x);
}

/* Ratio of sample to reference, and its standard uncertainty (GUM 5.1.2): the two are measured
 * apart. A ratio that is already taken is itself. */
static void
fill_ratio (FaintSpectrum *self, const FaintRows *rows)
{
  const double *signal = rows->cell[FAINT_COLUMN_SIGNAL];
  const double *reference = rows->cell[FAINT_COLUMN_REFERENCE];
  const double *u_signal = rows->cell[FAINT_COLUMN_U_SIGNAL];
  const double *u_reference = rows->cell[FAINT_COLUMN_U_REFERENCE];

  if (signal == NULL)
    {
      signal = rows->cell[FAINT_COLUMN_TRANSMISSION];
      u_signal = rows->cell[FAINT_COLUMN_U_TRANSMISSION];
    }
  for (gsize i = 0; i < self->n; i++)
    {
      double r = reference != NULL ? reference[i] : 1.0;
      double u_r = u_reference != NULL ? u_reference[i] : 0.0;

      self->value[i] = signal[i] / r;
      if (u_signal != NULL)
        self->u[i]
            = u_r > 0.0 ? hypot (u_signal[i] / r, signal[i] * u_r / (r * r)) : u_signal[i] / r;
    }
}

/* T = exp(-A), u(T) = T u(A) (GUM 5.1.2). */
static void
fill_absorbance (FaintSpectrum *self, const FaintRows *rows)
{
  const double *absorbance = rows->cell[FAINT_COLUMN_ABSORBANCE];
  const double *u = rows->cell[FAINT_COLUMN_U_ABSORBANCE];

  for (gsize i = 0; i < self->n; i++)
    {
      self->value[i] = exp (-absorbance[i]);
      if (u != NULL)
        self->u[i] = self->value[i] * u[i];
    }
  faint_warnings_add (self->warnings, "from-absorbance",
                      N_ ("The file holds absorbance; the transmission that it means was used."));
}

/* From amplitude (already in value, u) and phase. Across the observed direction the uncertainty is
 * that of the phase times the amplitude; at amplitude 0 there is no direction. */
static void
fill_polar (FaintSpectrum *self, const FaintRows *rows)
{
  const double *phase = rows->cell[FAINT_COLUMN_PHASE];
  const double *u_phase = rows->cell[FAINT_COLUMN_U_PHASE];

  self->polar = TRUE;
  for (gsize i = 0; i < self->n; i++)
    {
      double amplitude = self->value[i];

      self->value[i] = amplitude * cos (phase[i]);
      self->value_im[i] = amplitude * sin (phase[i]);
      self->u_im[i]
          = u_phase != NULL && amplitude != 0.0 ? fabs (amplitude) * u_phase[i] : self->u[i];
    }
  if (u_phase == NULL && self->u[0] > 0.0)
    faint_warnings_add (
        self->warnings, "phase-uncertainty-assumed",
        N_ ("The file states no uncertainty of the phase. The noise across the field was "
            "taken to be that along it."));
}

static void
fill_parts (FaintSpectrum *self, const FaintRows *rows)
{
  gboolean polar = rows->cell[FAINT_COLUMN_U_ALONG] != NULL;
  const double *u = rows->cell[polar ? FAINT_COLUMN_U_ALONG : FAINT_COLUMN_U_REAL];
  const double *u_im = rows->cell[polar ? FAINT_COLUMN_U_ACROSS : FAINT_COLUMN_U_IMAG];

  self->polar = polar;
  if (u == NULL)
    u = u_im;
  if (u_im == NULL)
    u_im = u;
  for (gsize i = 0; i < self->n; i++)
    {
      self->value[i] = rows->cell[FAINT_COLUMN_REAL][i];
      self->value_im[i] = rows->cell[FAINT_COLUMN_IMAG][i];
      if (u != NULL)
        {
          self->u[i] = u[i];
          self->u_im[i] = u_im[i];
        }
    }
}

static void
reverse (double *x, gsize n)
{
  for (gsize i = 0; x != NULL && i < n / 2; i++)
    {
      double kept = x[i];

      x[i] = x[n - 1 - i];
      x[n - 1 - i] = kept;
    }
}

static void
let_axis_rise (FaintSpectrum *self)
{
  if (self->axis == FAINT_AXIS_TOOTH || self->n < 2 || self->frequency[0] < self->frequency[1])
    return;
  reverse (self->frequency, self->n);
  reverse (self->value, self->n);
  reverse (self->value_im, self->n);
  reverse (self->u, self->n);
  reverse (self->u_im, self->n);
}

FaintSpectrum *
faint_samples_new (const FaintRows *rows, FaintSetup *setup, GError **error)
{
  g_autoptr (FaintSpectrum) self = faint_spectrum_new (rows->n, setup);

  if (rows->n > 0 && !fill_axis (self, rows, error))
    return NULL;
  if (rows->n > 0 && rows->cell[FAINT_COLUMN_REAL] != NULL)
    fill_parts (self, rows);
  else if (rows->n > 0 && rows->cell[FAINT_COLUMN_ABSORBANCE] != NULL)
    fill_absorbance (self, rows);
  else if (rows->n > 0)
    {
      fill_ratio (self, rows);
      if (self->value_im != NULL)
        fill_polar (self, rows);
    }
  let_axis_rise (self);
  return g_steal_pointer (&self);
}
