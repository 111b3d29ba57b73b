/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A spectrum: one sample a tooth on a rising frequency axis, relative to the empty cavity.
 * Constant once made and shared by counted references, so threads need no lock.
 */
#pragma once

#include "faint/base/warnings.h"
#include "faint/spectrum/setup.h"

#define FAINT_SPECTRUM_ERROR (faint_spectrum_error_quark ())
GQuark faint_spectrum_error_quark (void);
typedef enum
{
  FAINT_SPECTRUM_ERROR_AXIS,   /* falls, twice the same, not finite, not positive */
  FAINT_SPECTRUM_ERROR_SIGNAL, /* not finite, reference not positive, uncertainty not positive */
  FAINT_SPECTRUM_ERROR_SIZE,   /* too few or too many teeth */
} FaintSpectrumError;

/* Which column held the axis; how the axis is written again. */
typedef enum
{
  FAINT_AXIS_TOOTH,
  FAINT_AXIS_FREQUENCY,
  FAINT_AXIS_WAVENUMBER,
  FAINT_AXIS_WAVELENGTH,
} FaintAxis;

typedef struct
{
  gsize n;
  double *frequency;  /* Hz, strictly rising */
  double *wavenumber; /* cm-1, the same axis */
  gint64 *tooth;      /* tooth numbers, or NULL where no comb is stated */
  /* Ratio of sample to reference. Power and amplitude: value alone. Field: value + i value_im,
   * fields going as exp(-i omega t), so a phase lag is positive. */
  double *value;
  double *value_im; /* NULL unless a field */
  /* Standard uncertainties. Power, amplitude: of value. Field: of the component along the
   * observed direction of E/E0 and of the one across it (see polar). */
  double *u;
  double *u_im;         /* NULL unless a field */
  gboolean polar;       /* field: u along and across the observed phase (data came as amplitude and
                           phase); FALSE: u of real and imaginary part */
  gboolean u_estimated; /* u was not in the file but estimated from the scatter */
  /* Teeth that setup->excluded leaves out of every fit, 1 at theirs; NULL: none. They stay in the
   * record. */
  guint8 *excluded;
  gsize n_excluded;
  /* What a sample weighs in a fit: u and u_im, but INFINITY at excluded teeth. The same arrays as u
   * and u_im where none is excluded. */
  double *fit_u, *fit_u_im;
  FaintAxis axis;
  FaintSetup *setup;
  char *path;          /* where it was read, or NULL */
  char sha256[65];     /* of that file, or "" */
  GPtrArray *warnings; /* FaintWarning */
  gatomicrefcount refs;
} FaintSpectrum;

/* Allocates the arrays for @n teeth, all zero; @setup is referenced; the arrays fit
 * setup->observable. The caller fills them and then calls faint_spectrum_finish(). */
FaintSpectrum *faint_spectrum_new (gsize n, FaintSetup *setup);

/* Checks the arrays (axis strictly rising, finite, u > 0 or all zero = absent), marks the teeth
 * that the setup excludes, fills wavenumber from frequency and tooth numbers where the comb is
 * stated, estimates absent uncertainties (noise.h), adds warnings on gaps and on too few teeth.
 * After this the spectrum is constant. On an error returns FALSE; the caller unrefs. Messages count
 * samples from 1. */
gboolean faint_spectrum_finish (FaintSpectrum *self, GError **error);

FaintSpectrum *faint_spectrum_ref (FaintSpectrum *self);
void faint_spectrum_unref (FaintSpectrum *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintSpectrum, faint_spectrum_unref)

/* The same samples under another setup (conditions or cavity edited by hand). Shares nothing that
 * could change; costs one copy of the arrays. The observable must not differ. A changed comb moves
 * the axis where it came from tooth numbers. */
FaintSpectrum *
faint_spectrum_with_setup (const FaintSpectrum *self, FaintSetup *setup, GError **error);

/* Index of the first sample at or above @wavenumber, cm-1 (n if none). */
gsize faint_spectrum_index (const FaintSpectrum *self, double wavenumber);
/* Teeth among the @n from @first that a fit uses. */
gsize faint_spectrum_count_used (const FaintSpectrum *self, gsize first, gsize n);
/* The ranges of the key excluded, after the teeth from @lower to @upper (cm-1) were left out too
 * (@exclude), or taken back. Their borders lie midway between teeth. *n_changed: how many teeth
 * were not so before. Free with g_array_unref. */
GArray *faint_spectrum_excluding (const FaintSpectrum *self, double lower, double upper,
                                  gboolean exclude, gsize *n_changed);
/* Frequency, Hz, in the middle of the span: where tooth_detuning holds. */
double faint_spectrum_centre_frequency (const FaintSpectrum *self);
/* Median distance of neighbouring samples, cm-1. */
double faint_spectrum_spacing (const FaintSpectrum *self);
/* Standard uncertainty, cm-1, that the comb gives to a position at @wavenumber: of f_rep and f_0
 * separately; 0 where they are not stated. */
void faint_spectrum_axis_u (const FaintSpectrum *self, double wavenumber, double *u_repetition_rate,
                            double *u_offset_frequency);
