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
  FAINT_STATE_TIED,    /* follows the same parameter of another line */
} FaintParameterState;

typedef struct
{
  double value;   /* library unit */
  double u;       /* combined standard uncertainty */
  double u_noise; /* the part from noise, independent from line to line */
  FaintParameterState state;
  /* Only where TIED: value = tie_factor * (value of the same parameter of line tied_to) +
   * tie_offset
   */
  guint tied_to; /* id */
  double tie_factor, tie_offset;
} FaintParameter;

/* A parameter with nothing known, free. */
#define FAINT_PARAMETER_UNKNOWN ((FaintParameter){ NAN, NAN, NAN, FAINT_STATE_FREE, 0, 1.0, 0.0 })

/* Shape of a line; each has the limits of those before it (shape/hartmann-tran.h). */
typedef enum
{
  FAINT_PROFILE_VOIGT,
  FAINT_PROFILE_SPEED_DEPENDENT_VOIGT,
  FAINT_PROFILE_HARTMANN_TRAN,
  FAINT_PROFILE_N
} FaintProfile;
/* "voigt", "speed-dependent-voigt", "hartmann-tran". */
const char *faint_profile_name (FaintProfile profile);
/* FALSE if @name is none of them. */
gboolean faint_profile_from_name (const char *name, FaintProfile *profile);

/* The parameters of a line that a spectrum can tell, in the order in which they are fitted. */
typedef enum
{
  FAINT_PLACE_POSITION,
  FAINT_PLACE_STRENGTH,
  FAINT_PLACE_LORENTZ,
  FAINT_PLACE_DOPPLER,
  FAINT_PLACE_SPEED_WIDTH, /* from here on not in a Voigt profile */
  FAINT_PLACE_SPEED_SHIFT,
  FAINT_PLACE_VELOCITY_CHANGING, /* from here on in the Hartmann-Tran profile alone */
  FAINT_PLACE_CORRELATION,
  FAINT_PLACE_N
} FaintPlace;
/* "position", "strength", "lorentz", "doppler", "speed_width", "speed_shift", "velocity_changing",
 * "correlation". */
const char *faint_place_name (FaintPlace place);
/* Does a profile have this parameter? */
gboolean faint_profile_has (FaintProfile profile, FaintPlace place);

/* What several spectra of different pressure, composition and temperature tell of a line. */
typedef enum
{
  FAINT_COEFFICIENT_BROADENING_SELF,    /* half width by partial pressure at 296 K, cm-1/atm */
  FAINT_COEFFICIENT_BROADENING_FOREIGN, /* by the pressure of all else */
  FAINT_COEFFICIENT_BROADENING_MIXTURE, /* by total pressure, of the one composition measured */
  FAINT_COEFFICIENT_SHIFT_SELF,         /* of the position, cm-1/atm */
  FAINT_COEFFICIENT_SHIFT_FOREIGN,
  FAINT_COEFFICIENT_SHIFT_MIXTURE,
  FAINT_COEFFICIENT_WIDTH_EXPONENT, /* n: width goes as (296 K/T)^n at constant pressure */
  FAINT_COEFFICIENT_POSITION_ZERO,  /* position at zero pressure, cm-1 */
  FAINT_COEFFICIENT_N
} FaintCoefficient;
/* "broadening_self", ..., "width_exponent", "position_zero". */
const char *faint_coefficient_name (FaintCoefficient coefficient);

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
  FAINT_LINE_POSITION_TIED = 1 << 12,
  FAINT_LINE_STRENGTH_TIED = 1 << 13,
  FAINT_LINE_LORENTZ_TIED = 1 << 14,
  FAINT_LINE_DOPPLER_TIED = 1 << 15,
  FAINT_LINE_ENERGY_FITTED
  = 1 << 16, /* lower_energy comes from strengths at several temperatures */
  FAINT_LINE_WIDTH_UNUSUAL = 1 << 17, /* much wider than the others, and no pair fits better:
                                         perhaps a blend that the data do not resolve */
} FaintLineFlags;

typedef struct
{
  guint id;                /* unique in a list, above 0, kept through edits */
  FaintParameter position; /* cm-1, vacuum, at the pressure of the measurement */
  FaintParameter strength; /* cm/molecule at the temperature of the measurement */
  FaintParameter lorentz;  /* half width, cm-1 */
  FaintParameter doppler;  /* half width, cm-1 */
  FaintProfile profile;
  FaintParameter speed_width;       /* Gamma_2, quadratic speed dependence of the width, cm-1 */
  FaintParameter speed_shift;       /* Delta_2, of the shift, cm-1 */
  FaintParameter velocity_changing; /* rate of velocity-changing collisions, cm-1 */
  FaintParameter correlation;       /* eta, 0 to 1 */
  FaintParameter coefficient[FAINT_COEFFICIENT_N]; /* NAN: not known */
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

/* A line with nothing known: all NAN, states free, texts "", a Voigt profile. */
FaintLine faint_line_unknown (void);

/* The parameter at @place of @line. */
FaintParameter *faint_line_parameter (FaintLine *line, FaintPlace place);
const FaintParameter *faint_line_peek_parameter (const FaintLine *line, FaintPlace place);

/* Frequency and its uncertainty, MHz, of a position in cm-1. */
double faint_line_frequency_mhz (double wavenumber);

char *faint_line_flags_to_text (guint flags);
/* Unknown words are skipped. */
guint faint_line_flags_from_text (const char *text);
