/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Parameters of lines in the unit of the axis. Lines are kept in cm-1 and shown in what the axis
 * counts: positions in its unit, widths and distances in MHz where it counts frequencies, else in
 * cm-1. Needs no display.
 */
#pragma once

#include "faint/base/quantity.h"
#include "faint/lines/line-list.h"
#include "faint/lines/parameters.h"
#include "figure/axis-unit.h"

G_BEGIN_DECLS

/* What the entry of a parameter takes: of a position on an axis in nm or teeth a number without
 * unit, else @otherwise, its own, which for positions and widths is a wavenumber that may be
 * written as a frequency. */
FaintDimension
faint_line_axis_dimension (const FaintAxisUnit *axis, FaintPlace place, FaintDimension otherwise);
/* @parameter as the entry shows it, in its unit: of a position from the origin of the axis the
 * distance from there. */
FaintQuantity faint_line_axis_quantity (const FaintAxisUnit *axis, FaintPlace place,
                                        const FaintParameter *parameter, FaintDimension otherwise);
/* The value of the parameter, cm-1, that was entered. On an axis from an origin MHz and GHz count
 * from there, while a position in cm-1 or THz is the whole one. */
double faint_line_axis_value (const FaintAxisUnit *axis, FaintPlace place, FaintQuantity entered);
/* What stands over the entry of the position, translated: "Position", "Vacuum wavelength/nm",
 * "Position from 7790 cm⁻¹", "Tooth number". Free with g_free. */
char *faint_line_axis_name (const FaintAxisUnit *axis);
/* A distance, cm-1, in the unit of widths. */
FaintQuantity faint_line_axis_distance (const FaintAxisUnit *axis, double distance);

G_END_DECLS
