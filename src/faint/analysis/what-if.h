/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What if: the model of a measurement under other conditions than those that its setup states, with
 * the same lines and the same baseline. Nothing is fitted and nothing of the analysis changes.
 *
 * How lines, as they are under the stated conditions, follow (' marks what is asked for):
 * - The column of absorber goes as x P/T (ideal gas, at the pressure as asked for).
 * - A Lorentz width goes as the pressure. Where its broadening by the own gas and by the others are
 *   both known it goes as their sum, broadening_self x P + broadening_foreign (1 - x) P, else a
 *   change of x alone leaves it. With temperature it goes as (T/T')^n where the exponent n of the
 *   line is known, else it stays. What else collisions do to a profile (speed dependence, velocity
 *   changes) goes as the width.
 * - A Doppler width goes as sqrt(T'/T).
 * - A position moves by its shift coefficients, where they are known, times the change of the
 *   pressures that they count; else it stays.
 * - A strength goes to T' by lower-state energy and partition sums (lines/conversion.h) where both
 *   are known, else it stays.
 * - The finesse changes the loss of the round trip, and with it enhancement and saturation. One
 *   that is given over the span is multiplied as a whole.
 * - The detuning of the teeth changes their round-trip phase.
 * How many lines stay for want of a coefficient is told in FaintWhatIfKept.
 */
#pragma once

#include "faint/fit/fit.h"

typedef enum
{
  FAINT_WHAT_IF_FINESSE,       /* in the middle of the span */
  FAINT_WHAT_IF_DETUNING,      /* Hz, tooth minus mode in the middle of the span */
  FAINT_WHAT_IF_PRESSURE,      /* Pa */
  FAINT_WHAT_IF_TEMPERATURE,   /* K */
  FAINT_WHAT_IF_MOLE_FRACTION, /* 1 */
  FAINT_WHAT_IF_N
} FaintWhatIfQuantity;

/* NAN: the measurement has no such quantity (a single pass has no finesse, a swept coupling no
 * detuning). */
typedef struct
{
  double value[FAINT_WHAT_IF_N];
} FaintWhatIfValues;

typedef struct _FaintWhatIf FaintWhatIf;

/* @lines under the conditions of @spectrum; @fit (may be NULL) gives baseline and windows, and the
 * detuning where it was fitted. All are referenced. Needs a complete setup (faint_setup_check).
 * Reads the setup's partition sums; where that fails, strengths stay and the reason is in *warning
 * (may be NULL; free with g_free; NULL: none). */
FaintWhatIf *faint_what_if_new (FaintSpectrum *spectrum, FaintFit *fit, FaintLineList *lines,
                                char **warning, GError **error);
FaintWhatIf *faint_what_if_ref (FaintWhatIf *self);
void faint_what_if_unref (FaintWhatIf *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintWhatIf, faint_what_if_unref)

/* Borrowed. */
FaintSpectrum *faint_what_if_get_spectrum (const FaintWhatIf *self);
FaintFit *faint_what_if_get_fit (const FaintWhatIf *self);
/* The values that setup and fit state. */
FaintWhatIfValues faint_what_if_stated (const FaintWhatIf *self);

/* FALSE with the reason if a value is impossible: pressure, temperature and finesse as in a setup
 * (spectrum/setup.h), mole fraction in (0, 1], detuning within half a free spectral range. */
gboolean
faint_what_if_check (const FaintWhatIf *self, const FaintWhatIfValues *values, GError **error);

/* A copy of the setup with what differs from the stated values: the finesse by whichever face was
 * measured. FALSE in *exact (may be NULL): a finesse over the span was multiplied, which no file of
 * a setup holds. */
FaintSetup *
faint_what_if_setup (const FaintWhatIf *self, const FaintWhatIfValues *values, gboolean *exact);

/* Lines that stay although the change would move them, because it is not known how. */
typedef struct
{
  gsize lines;             /* in the model */
  gsize strength;          /* of another temperature: energy or partition sums not known */
  gsize width_temperature; /* exponent not known */
  gsize width_composition; /* self and foreign broadening not known */
  gsize position;          /* no shift coefficient */
  gboolean sums_range;     /* the partition sums do not reach to this temperature */
} FaintWhatIfKept;

/* The lines under the changed conditions, for a model: all that a fit could move is fixed. @kept
 * may be NULL. */
FaintLineList *faint_what_if_lines (const FaintWhatIf *self, const FaintWhatIfValues *values,
                                    FaintWhatIfKept *kept);

/* Teeth [first, first + n) of the spectrum; arrays of spectrum->n, of which only those teeth are
 * filled; _im NULL unless a field. */
typedef struct
{
  FaintSpectrum *spectrum; /* as measured; referenced */
  gsize first, n;
  double *model, *model_im;       /* times the baseline */
  double *residual, *residual_im; /* (observed - model)/u, as in FaintFit */
  double chi2;                    /* of these teeth */
  double chi2_fitted;             /* of them in the fit; NAN without one */
  double dof;                     /* that the fit has there; without one, the number of data */
  gatomicrefcount refs;
} FaintWhatIfModel;

/* The model under the changed conditions, of all teeth in windows of the fit that reach into
 * @lower to @upper (cm-1; NAN: everything). Cancellable between pieces of some hundred thousand
 * teeth. On @threads threads (0: one for each processor), which does not change a bit. */
FaintWhatIfModel *
faint_what_if_model (const FaintWhatIf *self, const FaintWhatIfValues *values, double lower,
                     double upper, guint threads, const FaintProgress *progress, GError **error);
FaintWhatIfModel *faint_what_if_model_ref (FaintWhatIfModel *self);
void faint_what_if_model_unref (FaintWhatIfModel *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintWhatIfModel, faint_what_if_model_unref)
