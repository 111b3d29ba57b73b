/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The simulator: a scene (setup, comb, noise, baseline, lines) becomes a comb table and its truth.
 *
 * A scene is text: first line "# scene 1"; then "# key = value" lines with every key of a comb
 * table and, besides,
 *   first_tooth, teeth      integers: the span, in teeth of the repetition rate
 *   interleave              number of records, offset in turn by f_rep/interleave (default 1); more
 *                           than 1 writes a frequency axis
 *   noise                   standard deviation of one sample, relative to the empty cavity
 *   detected_noise          'constant' (default) or 'shot' (grows with the square root of the
 * signal) baseline                Legendre coefficients over the whole span, "1 0.01 -0.005"
 *   baseline_phase          of a field: Legendre coefficients of its phase over the span, rad
 *   fringe                  "amplitude period/cm-1 phase/rad"
 *   reference_level         level of the reference column (default 1)
 *   axis                    tooth (default), frequency/MHz, wavenumber/cm-1
 *   write                   'signal reference' (default) or 'transmission'; a field always writes
 *                           'real imag' or 'signal reference phase/rad'
 *   lines                   file of lines (CSV as line lists), or rows in the scene itself
 * and rows under "# columns = position/cm-1 strength/(cm/molecule) lorentz_hwhm/cm-1
 * [doppler_hwhm/cm-1] [lower_energy/cm-1] [upper] [lower]". A Doppler width that is not given
 * follows from temperature and mass. Labels hold no blank; '-' stands for what is not known. A key
 * that is neither of these nor of a comb table is an error; a '#' line without "key =" is a remark.
 */
#pragma once

#include "faint/base/progress.h"
#include "faint/lines/line-list.h"
#include "faint/spectrum/spectrum.h"

#define FAINT_SCENE_ERROR (faint_scene_error_quark ())
GQuark faint_scene_error_quark (void);
typedef enum
{
  FAINT_SCENE_ERROR_SYNTAX,
  FAINT_SCENE_ERROR_VALUE,
} FaintSceneError;

typedef struct _FaintScene FaintScene;
FaintScene *faint_scene_read (const char *path, GError **error);
void faint_scene_free (FaintScene *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintScene, faint_scene_free)

/* The noisy spectrum, its u the standard deviation of the noise put in (absent with noise 0); noise
 * from GSL's Mersenne twister seeded with @seed. Same seed, same bits. */
FaintSpectrum *faint_scene_simulate (const FaintScene *self, guint64 seed,
                                     const FaintProgress *progress, GError **error);
/* The lines as put in: exact values, no uncertainties, and each one's peak absorption. */
FaintLineList *faint_scene_truth (const FaintScene *self);

/* The comb table of a simulated @spectrum in the columns that the scene asks for (write,
 * reference_level); files that its header names as seen from @folder (NULL: the current one). Free
 * with g_free; @length may be NULL. */
char *faint_scene_comb_table (const FaintScene *self, const FaintSpectrum *spectrum,
                              const char *folder, gsize *length);
/* Writes it, whole or not at all. */
gboolean faint_scene_write (const FaintScene *self, const FaintSpectrum *spectrum, const char *path,
                            GError **error);
