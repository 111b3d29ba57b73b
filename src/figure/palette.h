/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Colours and strokes of every part of a figure. The hues are those of Okabe and Ito, "Color
 * universal design" (2008), safe for colour-blind eyes; parts that appear together differ in
 * lightness too, and in dash or marker as a second cue.
 */
#pragma once

#include <cairo.h>
#include <glib.h>

typedef enum
{
  FAINT_PALETTE_LIGHT,
  FAINT_PALETTE_DARK,
  FAINT_PALETTE_HIGH_CONTRAST,
  FAINT_PALETTE_HIGH_CONTRAST_DARK,
  FAINT_PALETTE_PRINT,
  FAINT_PALETTE_N
} FaintPaletteKind;

typedef enum
{
  FAINT_PART_BACKGROUND,
  FAINT_PART_TEXT,
  FAINT_PART_TEXT_DIM,
  FAINT_PART_AXIS,
  FAINT_PART_GRID,
  FAINT_PART_OBSERVED,
  FAINT_PART_EXCLUDED, /* teeth that no fit uses */
  FAINT_PART_MODEL,
  FAINT_PART_OTHER_MODEL, /* beside the fitted one: under other conditions; and its residuals */
  FAINT_PART_BASELINE,
  FAINT_PART_RESIDUAL,
  FAINT_PART_RESIDUAL_ACROSS, /* of a field, the component across the observed phase */
  FAINT_PART_GUIDE,           /* +-1 and +-3 of the residuals */
  FAINT_PART_DISTRIBUTION,
  FAINT_PART_NORMAL, /* the normal distribution over it */
  FAINT_PART_ABSORPTION,
  FAINT_PART_PHASE,
  FAINT_PART_FITTED, /* sticks */
  FAINT_PART_GIVEN,
  FAINT_PART_PREDICTED,
  FAINT_PART_NOT_SEEN,    /* claimed, and the spectrum excludes it */
  FAINT_PART_NOT_CLAIMED, /* seen, and not in the list */
  FAINT_PART_SELECTION,   /* selected line and range */
  FAINT_PART_WINDOW,      /* border between windows of the fit */
  FAINT_PART_POOR,        /* where a fit is poor */
  FAINT_PART_N
} FaintPart;

typedef enum
{
  FAINT_MARKER_NONE,
  FAINT_MARKER_DISC,
  FAINT_MARKER_RING,
  FAINT_MARKER_TRIANGLE,
  FAINT_MARKER_SQUARE,
  FAINT_MARKER_CROSS,
} FaintMarker;

typedef struct
{
  double red, green, blue, alpha;
} FaintColour;

typedef struct
{
  FaintColour colour;
  double width;   /* of a stroke; times the canvas' scale */
  double dash[4]; /* lengths on, off, ...; times the canvas' scale */
  int n_dash;     /* 0: solid */
  FaintMarker marker;
} FaintPen;

typedef struct
{
  FaintPen pen[FAINT_PART_N];
} FaintPalette;

/* Static. */
const FaintPalette *faint_palette_get (FaintPaletteKind kind);
/* "light", "dark", "high-contrast", "high-contrast-dark", "print"; unknown gives LIGHT. */
const char *faint_palette_name (FaintPaletteKind kind);
FaintPaletteKind faint_palette_from_name (const char *name);

/* Relative luminance, 0 to 1, and contrast ratio, 1 to 21, as WCAG 2.1 defines them. */
double faint_colour_luminance (FaintColour colour);
double faint_colour_contrast (FaintColour a, FaintColour b);

void faint_colour_set (cairo_t *cr, FaintColour colour);
