/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Equations, typeset with pango: fractions, roots, superscripts and subscripts, sums.
 *
 * They are written in the usual notation of mathematical typesetting, of which this is known:
 * {group}, a^b, a_b (both may follow one base), \frac{a}{b}, \sqrt{a}, \sum_{a} (with what is
 * below), \big{a} and \abs{a} (the group in round
 * brackets, or between bars, as high as it is), \mathrm{upright words}, \, \; and
 * \quad for space. Letters are italic, digits and the names of functions upright; Greek letters and
 * signs are written as themselves. Signs of relation and operation stand in space.
 */
#pragma once

#include "figure/canvas.h"

typedef struct _FaintFormula FaintFormula;

/* @size: of its letters, user units. Never fails: what is not closed ends with the text. */
FaintFormula *faint_formula_new (PangoContext *context, const char *text, double size);
void faint_formula_free (FaintFormula *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintFormula, faint_formula_free)

/* Extents about the line that the letters stand on. */
double faint_formula_width (const FaintFormula *self);
double faint_formula_ascent (const FaintFormula *self);
double faint_formula_descent (const FaintFormula *self);

/* Draws it in the current colour, its line's beginning at (@x, @y). */
void faint_formula_draw (const FaintFormula *self, cairo_t *cr, double x, double y);
