/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A line and what is known of it. A value type, but for its texts, which belong to the list
 * that holds it. NAN means not known.
 */
#pragma once

#include <math.h>
#include <glib.h>

typedef enum
{
  FAINT_STATE_FREE,
  FAINT_STATE_FIXED,   /* not fitted; u is empty in every list */
  FAINT_STATE_DERIVED, /* follows from other quantities: a Doppler width from T and mass; its u is
                          propagated */
} FaintParameterState;

typedef struct
{
  double value;   /* library unit */
  double u;       /* combined standard uncertainty */
  double u_noise; /* the part from noise, independent from line to line */
  FaintParameterState state;
} FaintParameter;

/* Where uncertainty comes from (JCGM 100:2008). Noise differs from line to line; all others
 * are common to the lines of a spectrum. */
typedef enum
{
  FAINT_SOURCE_NOISE,
  FAINT_SOURCE_TEMPERATURE,
  FAINT_SOURCE_PRESSURE,
  FAINT_SOURCE_MOLE_FRACTION, /* and isotopic abundance */
  FAINT_SOURCE_LENGTH,        /* absorber and cavity length */
  FAINT_SOURCE_CAVITY,        /* finesse by whichever face */
  FAINT_SOURCE_DETUNING,      /* tooth detuning and its slope */
  FAINT_SOURCE_MASS,
  FAINT_SOURCE_REPETITION_RATE,
  FAINT_SOURCE_OFFSET_FREQUENCY,
  FAINT_SOURCE_N
} FaintUncertaintySource;
/* "noise", "temperature", ... static. */
const char *faint_uncertainty_source_name (FaintUncertaintySource source);

/* Flags; faint_line_flags_to_text() gives their words, joined by blanks, as written in lists. */
typedef enum
{
  FAINT_LINE_POSITION_FIXED = 1 << 0,
  FAINT_LINE_STRENGTH_FIXED = 1 << 1,
  FAINT_LINE_LORENTZ_FIXED = 1 << 2,
  FAINT_LINE_DOPPLER_FIXED = 1 << 3,    /* by hand; a width from T and mass is DERIVED */
  FAINT_LINE_LORENTZ_AT_LIMIT = 1 << 4, /* the fit wanted a negative width; held at 0 */
  FAINT_LINE_WIDTH_SHARED = 1 << 5, /* the width rests more on the other lines' widths than on this
                                       line's own data */
  FAINT_LINE_BLENDED = 1 << 6,      /* a neighbour is nearer than its width */
  FAINT_LINE_NOT_DETERMINED = 1 << 7, /* some parameter has no finite uncertainty */
  FAINT_LINE_SATURATED = 1 << 8,      /* peak absorption above one half */
  FAINT_LINE_AT_EDGE = 1 << 9,        /* the profile runs out of the recorded span */
  FAINT_LINE_NOT_CONVERGED = 1 << 10,
  FAINT_LINE_EXCLUDED = 1 << 11, /* kept in the list, not in the model */
} FaintLineFlags;

typedef struct
{
  guint id;                             /* unique in a list, above 0, kept through edits */
  FaintParameter position;              /* cm-1, vacuum, at the pressure of the measurement */
  FaintParameter strength;              /* cm/molecule at the temperature of the measurement */
  FaintParameter lorentz;               /* half width, cm-1 */
  FaintParameter doppler;               /* half width, cm-1 */
  double strength_296, u_strength_296;  /* at 296 K; NAN without lower-state energy or Q(T) */
  double lower_energy, u_lower_energy;  /* cm-1 */
  double position_from[FAINT_SOURCE_N]; /* signed contributions to u(position), cm-1; NAN unknown */
  double strength_from[FAINT_SOURCE_N]; /* signed contributions to u(strength) */
  double lorentz_from[FAINT_SOURCE_N];  /* signed contributions to u(lorentz), cm-1 */
  double snr;                           /* strength over its noise uncertainty */
  double peak;         /* peak absorption that the line alone causes: 1 - value at its centre */
  int window;          /* of the fit, from 1; 0: none */
  double chi2_reduced; /* of that window */
  guint flags;         /* FaintLineFlags */
  const char *upper, *lower, *remark; /* "" when empty, never NULL in a list */
} FaintLine;

/* A line with nothing known: all NAN, states free, texts "". */
FaintLine faint_line_unknown (void);

/* Frequency and its uncertainty, MHz, of a position in cm-1. */
double faint_line_frequency_mhz (double wavenumber);

char *faint_line_flags_to_text (guint flags);
/* Unknown words are skipped. */
guint faint_line_flags_from_text (const char *text);
