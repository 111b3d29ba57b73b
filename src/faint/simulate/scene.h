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
 *   detected_noise          'constant' (default) or 'shot' (grows as the root of the signal)
 *   baseline                Legendre coefficients over the whole span, "1 0.01 -0.005"
 *   baseline_phase          of a field: Legendre coefficients of its phase over the span, rad
 *   fringe                  "amplitude period/cm-1 phase/rad"
 *   reference_level         level of the reference column (default 1)
 *   axis                    tooth (default), frequency/MHz, wavenumber/cm-1
 *   write                   'signal reference' (default) or 'transmission'; a field always writes
 *                           'real imag' or 'signal reference phase/rad'
 *   lines                   file of lines (CSV as line lists), or rows in the scene itself
 * and rows under "# columns = " with heads of a line list (docs/formats.md): position/cm-1 and
 * - strength/(cm/molecule) at the scene's temperature, or strength_296K/(cm/molecule), which with
 *   lower_energy/cm-1 and partition_sums gives it;
 * - lorentz_hwhm/cm-1 at the scene's pressure, or coefficients: then the width is
 *   (296 K/T)^width_exponent (broadening_self x P + broadening_foreign (1 - x) P
 *   + broadening_mixture P), and position/cm-1, that without pressure, moves by the shift_...
 *   coefficients times the same pressures, in atm (cm-1/atm);
 * - doppler_hwhm/cm-1, which otherwise follows from temperature and mass;
 * - profile (default voigt) with speed_width/cm-1, speed_shift/cm-1, velocity_changing/cm-1,
 *   correlation, each 0 where not given. The position holds the whole shift: Delta_0 of the
 *   Hartmann-Tran profile is 0;
 * - upper, lower.
 * In a file of lines a stated strength or Lorentz width is taken, whatever else stands there; so a
 * truth can be simulated again. With coefficients alone its position_zero goes before its position.
 * A Doppler width that was derived is derived again. Labels hold no blank; '-' stands for what is
 * not known. A key that is neither of these nor of a comb table is an error; a '#' line without
 * "key =" is a remark.
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
  FAINT_SCENE_ERROR_SETTING, /* one of the settings given besides the file */
} FaintSceneError;

typedef struct _FaintScene FaintScene;
FaintScene *faint_scene_read (const char *path, GError **error);
/* With "key=value" @settings (NULL-terminated, may be NULL) over what the file says: every key but
 * columns. One that is wrong is FAINT_SCENE_ERROR_SETTING. */
FaintScene *faint_scene_read_with (const char *path, const char *const *settings, GError **error);
void faint_scene_free (FaintScene *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintScene, faint_scene_free)

/* The noisy spectrum, its u the standard deviation of the noise put in (absent with noise 0); noise
 * from GSL's Mersenne twister seeded with @seed. Same seed, same bits. */
FaintSpectrum *faint_scene_simulate (const FaintScene *self, guint64 seed,
                                     const FaintProgress *progress, GError **error);
/* The lines as they were simulated, at the scene's conditions: exact values, no uncertainties, and
 * each one's peak absorption. */
FaintLineList *faint_scene_truth (const FaintScene *self);

/* The comb table of a simulated @spectrum in the columns that the scene asks for (write,
 * reference_level); files that its header names as seen from @folder (NULL: the current one). Free
 * with g_free; @length may be NULL. */
char *faint_scene_comb_table (const FaintScene *self, const FaintSpectrum *spectrum,
                              const char *folder, gsize *length);
/* Writes it, whole or not at all. */
gboolean faint_scene_write (const FaintScene *self, const FaintSpectrum *spectrum, const char *path,
                            GError **error);
