/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Physical constants and the units that may be written in a file.
 *
 * Inside the library every value stands in the library unit of its dimension:
 * wavenumber cm-1 (vacuum), length cm, temperature K, pressure Pa, time s,
 * frequency Hz, molar mass g/mol, angle rad, number 1. Widths are half widths
 * at half maximum.
 */
#pragma once

#include <glib.h>

/* Exact values of the SI (SI Brochure, 9th edition, 2019, table 1). */
#define FAINT_SPEED_OF_LIGHT_CM_S 29979245800.0 /* c, cm/s */
#define FAINT_PLANCK_J_S 6.62607015e-34         /* h, J s */
#define FAINT_BOLTZMANN_J_K 1.380649e-23        /* k, J/K */
#define FAINT_AVOGADRO_MOL 6.02214076e23        /* N_A, 1/mol */

/* Second radiation constant hc/k, cm K; exact in the SI, 17 digits. */
#define FAINT_C2_CM_K 1.4387768775039338
/* Reference temperature of line lists, K (Rothman et al., JQSRT 60, 665 (1998)). */
#define FAINT_REFERENCE_TEMPERATURE_K 296.0

#define FAINT_LN2 0.69314718055994530942
#define FAINT_SQRT_LN2 0.83255461115769775635
#define FAINT_SQRT_PI 1.77245385090551602730

typedef enum
{
  FAINT_DIMENSION_NUMBER,      /* 1 */
  FAINT_DIMENSION_TEMPERATURE, /* K */
  FAINT_DIMENSION_PRESSURE,    /* Pa */
  FAINT_DIMENSION_LENGTH,      /* cm */
  FAINT_DIMENSION_TIME,        /* s */
  FAINT_DIMENSION_FREQUENCY,   /* Hz; a wavenumber unit is taken times c */
  FAINT_DIMENSION_WAVENUMBER,  /* cm-1; a frequency unit is taken over c */
  FAINT_DIMENSION_MOLAR_MASS,  /* g/mol; u counts as g/mol */
  FAINT_DIMENSION_ANGLE,       /* rad */
} FaintDimension;

/* A unit of one dimension: library value = scale * written value + offset. */
typedef struct
{
  const char *name; /* as written, "hPa" */
  FaintDimension dimension;
  double scale;
  double offset; /* not zero for degC alone; an uncertainty has no offset */
} FaintUnit;

/* The unit of @dimension written as @name, or NULL. "1" and "" name the number's unit. Static. */
const FaintUnit *faint_unit_find (FaintDimension dimension, const char *name);

/* The library's own unit of @dimension. Static, never NULL. */
const FaintUnit *faint_unit_library (FaintDimension dimension);

/* Names of all units of @dimension, "K, degC", for messages. Free with g_free. */
char *faint_unit_names (FaintDimension dimension);

/* All units of @dimension in the order of the table, for a list to choose from:
 * writes up to @max pointers into @units and returns how many there are. */
gsize faint_units_of (FaintDimension dimension, const FaintUnit **units, gsize max);

/* Doppler half width at half maximum, cm-1, of a line at @wavenumber (cm-1) for molecules of
 * @molar_mass (g/mol) at @temperature (K): nu sqrt(2 ln2 k T N_A / (M c^2)). */
double faint_doppler_hwhm (double wavenumber, double temperature, double molar_mass);

/* Number density, molecules/cm3, of an ideal gas at @pressure (Pa) and @temperature (K): P/(kT). */
double faint_number_density (double pressure, double temperature);
