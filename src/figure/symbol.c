/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/symbol.h"

#include <glib.h>
#include <math.h>

#define MOST_CORNERS 24

/* Corners about the centre, for a disc of radius 1. Triangle and diamond are drawn larger, for they
 * have less area than a disc. */
static int
corners_of (FaintSymbol symbol, double radius, double *x, double *y)
{
  static const double diamond[][2] = { { 1.25, 0 }, { 0, 1.25 }, { -1.25, 0 }, { 0, -1.25 } };
  static const double triangle[][2] = { { 1.45, 0 }, { -0.8, 1.2 }, { -0.8, -1.2 } };
  int n;

  if (symbol == FAINT_SYMBOL_DISC)
    {
      n = (int)CLAMP (6 + 2 * radius, 8, MOST_CORNERS);
      for (int i = 0; i < n; i++)
        {
          x[i] = cos (2 * G_PI * i / n);
          y[i] = sin (2 * G_PI * i / n);
        }
      return n;
    }
  n = symbol == FAINT_SYMBOL_DIAMOND ? 4 : 3;
  for (int i = 0; i < n; i++)
    {
      const double *corner = symbol == FAINT_SYMBOL_DIAMOND ? diamond[i] : triangle[i];

      /* mirrored, the corners go round the same way */
      x[i] = symbol == FAINT_SYMBOL_LEFT ? -triangle[n - 1 - i][0] : corner[0];
      y[i] = symbol == FAINT_SYMBOL_LEFT ? triangle[n - 1 - i][1] : corner[1];
    }
  return n;
}

void
faint_symbol_add (cairo_t *cr, FaintSymbol symbol, double x, double y, double radius, double rim)
{
  double across[MOST_CORNERS], down[MOST_CORNERS];
  int n = corners_of (symbol, radius, across, down);
  /* the corners of a polygon stand off further than its sides */
  double inner = radius - (symbol == FAINT_SYMBOL_DISC ? rim : 1.6 * rim);

  for (int i = 0; i < n; i++)
    cairo_line_to (cr, x + radius * across[i], y + radius * down[i]);
  cairo_close_path (cr);
  cairo_new_sub_path (cr);
  if (!(rim > 0) || !(inner > 0))
    return;
  for (int i = n - 1; i >= 0; i--)
    cairo_line_to (cr, x + inner * across[i], y + inner * down[i]);
  cairo_close_path (cr);
  cairo_new_sub_path (cr);
}
