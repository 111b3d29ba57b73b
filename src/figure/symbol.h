/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Symbols of points: shapes that are told apart without colour, full or hollow. They are polygons,
 * so that thousands of them make one path that is filled at once.
 */
#pragma once

#include <cairo.h>

typedef enum
{
  FAINT_SYMBOL_DISC,
  FAINT_SYMBOL_LEFT,    /* a triangle to the left: P branch, towards lower wavenumber */
  FAINT_SYMBOL_DIAMOND, /* Q branch */
  FAINT_SYMBOL_RIGHT,   /* a triangle to the right: R branch */
} FaintSymbol;

/* Adds a symbol about (@x, @y), as large as a disc of @radius, to the path. @rim above 0: hollow,
 * with a rim that wide. Fill the path with the rule of windings. */
void
faint_symbol_add (cairo_t *cr, FaintSymbol symbol, double x, double y, double radius, double rim);
