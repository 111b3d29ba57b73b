/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The units in which an axis may be shown. Views and data stay in vacuum wavenumbers, cm-1; only
 * ticks, labels and read-outs change.
 */
#pragma once

#include <glib.h>

typedef enum
{
  FAINT_AXIS_UNIT_WAVENUMBER, /* cm-1 */
  FAINT_AXIS_UNIT_THZ,
  FAINT_AXIS_UNIT_GHZ,        /* from the origin */
  FAINT_AXIS_UNIT_MHZ,        /* from the origin */
  FAINT_AXIS_UNIT_WAVELENGTH, /* nm, vacuum; falls where the wavenumber rises */
  FAINT_AXIS_UNIT_TOOTH,      /* (f - f_0)/f_rep */
  FAINT_AXIS_UNIT_N
} FaintAxisUnitKind;

typedef struct
{
  FaintAxisUnitKind kind;
  double origin;           /* cm-1, subtracted for GHz and MHz; 0: none */
  double repetition_rate;  /* Hz, for TOOTH */
  double offset_frequency; /* Hz, for TOOTH */
} FaintAxisUnit;

/* Wavenumbers, the default. */
#define FAINT_AXIS_UNIT_DEFAULT ((FaintAxisUnit){ .kind = FAINT_AXIS_UNIT_WAVENUMBER })

/* "wavenumber", "thz", "ghz", "mhz", "wavelength", "tooth": for settings. The other way NULL or
 * an unknown name gives FAINT_AXIS_UNIT_N. */
const char *faint_axis_unit_name (FaintAxisUnitKind kind);
FaintAxisUnitKind faint_axis_unit_from_name (const char *name);
/* "cm⁻¹", "THz", ..., "nm", "" (tooth) as printed beside a value. Static. */
const char *faint_axis_unit_symbol (FaintAxisUnitKind kind);

/* Displayed value of a wavenumber (cm-1), and back. */
double faint_axis_unit_value (const FaintAxisUnit *unit, double wavenumber);
double faint_axis_unit_wavenumber (const FaintAxisUnit *unit, double value);

/* Standard uncertainty of the displayed value of @wavenumber, whose own is @u (both cm-1): u times
 * the slope, for a vacuum wavelength u(lambda) = lambda^2 u(nu). NAN where @u is. Also any other
 * small distance. */
double faint_axis_unit_uncertainty (const FaintAxisUnit *unit, double wavenumber, double u);
/* Unit of widths and other differences beside this axis: "THz" to "MHz" have them in MHz, every
 * other in cm⁻¹. A difference in cm-1 times *@scale is one in the unit returned. Static. */
const char *faint_axis_unit_of_differences (FaintAxisUnitKind kind, double *scale);
/* Equal kind, origin and comb. */
gboolean faint_axis_unit_same (const FaintAxisUnit *a, const FaintAxisUnit *b);
/* TRUE where larger values lie at lower wavenumbers. */
gboolean faint_axis_unit_falls (FaintAxisUnitKind kind);

/* What is counted along the axis: "wavenumber", "frequency", "vacuum wavelength", "tooth number".
 * Static, English. */
const char *faint_axis_unit_quantity (FaintAxisUnitKind kind);
/* Label of the axis in quantity calculus: "wavenumber/cm⁻¹", "(frequency − c·7790 cm⁻¹)/MHz",
 * "vacuum wavelength/nm", "tooth number"; @quantity is what is counted in another language, or
 * NULL. Free with g_free. */
char *faint_axis_unit_label (const FaintAxisUnit *unit, const char *quantity);

/* "7790.2203(12)" in the displayed unit, without it: the value with its uncertainty in the trade's
 * short notation (faint_format_concise) and a true minus sign. Without one (@u NAN or 0) as many
 * digits as tell two places @distance apart. Free with g_free. */
char *
faint_axis_unit_concise (const FaintAxisUnit *unit, double wavenumber, double u, double distance);

/* Displayed value of @wavenumber with the digits that tell two places apart that lie @distance
 * (cm-1, above 0) from each other, and its unit: "7790.2203 cm⁻¹". Give the width of a pixel.
 * C locale; a true minus sign. Free with g_free. */
char *faint_axis_unit_format (const FaintAxisUnit *unit, double wavenumber, double distance);
