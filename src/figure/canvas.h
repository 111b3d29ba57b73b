/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where and with what a figure is drawn: the same drawing serves screen, picture and paper.
 */
#pragma once

#include "figure/palette.h"
#include "figure/view.h"
#include <pango/pangocairo.h>

typedef struct
{
  cairo_t *cr;
  const FaintPalette *palette;
  /* Text of ticks and labels. An absolute size is in user units; a size in points counts 96 to 72
   * user units. NULL: "Sans", 9 pt. */
  const PangoFontDescription *font;
  double scale;  /* user units of a stroke of width 1: 1 on the screen, about 0.5 on paper */
  double column; /* width of a column of least and greatest values, user units: one device pixel on
                    the screen (1 / scale factor), about 0.3 on paper */
  gboolean snap; /* put axes and columns onto the pixel grid: on the screen and in PNG */
  /* The reader's language for names of quantities; NULL: English, as in every file. */
  const char *(*translate) (const char *words);
} FaintCanvas;

/* For a screen or picture of @device_scale device pixels a user unit. */
FaintCanvas faint_canvas_for_screen (cairo_t *cr, const FaintPalette *palette,
                                     const PangoFontDescription *font, double device_scale);
/* For paper, where a user unit is a point (1/72 inch). */
FaintCanvas faint_canvas_for_paper (cairo_t *cr, const PangoFontDescription *font);

/* Sets colour, width and dash of @part. */
void faint_canvas_pen (const FaintCanvas *self, FaintPart part);
/* Fills @rect with the colour of @part. */
void faint_canvas_fill (const FaintCanvas *self, FaintPart part, FaintRect rect);
/* Saves the state and limits drawing to @rect, until cairo_restore(). */
void faint_canvas_clip (const FaintCanvas *self, FaintRect rect);
/* The nearest middle of a pixel, when snapping, for crisp hairlines; else @at. */
double faint_canvas_snap (const FaintCanvas *self, double at);

/* @words, a static text in English, in the reader's language. Static. */
const char *faint_canvas_words (const FaintCanvas *self, const char *words);
/* A layout with the canvas' font and tabular figures. g_object_unref it. */
PangoLayout *faint_canvas_layout (const FaintCanvas *self, const char *text);
/* Height of a line of text, user units. */
double faint_canvas_text_height (const FaintCanvas *self);
double faint_canvas_text_width (const FaintCanvas *self, const char *text);
/* Draws @text in the colour of @part; (@x, @y) is the point of its box at shares @align_x (0 left,
 * 1 right) and @align_y (0 top, 1 bottom). */
void faint_canvas_text (const FaintCanvas *self, FaintPart part, const char *text, double x,
                        double y, double align_x, double align_y);
/* The same, turned to read upwards, about (@x, @y). */
void faint_canvas_text_upwards (const FaintCanvas *self, FaintPart part, const char *text, double x,
                                double y);
