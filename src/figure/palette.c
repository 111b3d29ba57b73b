/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/palette.h"

#include <math.h>

/* Okabe and Ito, "Color universal design" (2008). */
#define BLACK 0x000000
#define ORANGE 0xe69f00
#define SKY_BLUE 0x56b4e9
#define BLUISH_GREEN 0x009e73
#define YELLOW 0xf0e442
#define BLUE 0x0072b2
#define VERMILLION 0xd55e00
#define REDDISH_PURPLE 0xcc79a7
/* The same hue, dark enough for a thin stroke on white. */
#define DARK_PURPLE 0x9c4a77

#define WHITE 0xffffff

#define RGBA(rgb, a)                                                                               \
  {                                                                                                \
    ((rgb) >> 16 & 0xff) / 255.0, ((rgb) >> 8 & 0xff) / 255.0, ((rgb)&0xff) / 255.0, (a)           \
  }
#define SOLID(rgb, a, w)                                                                           \
  {                                                                                                \
    .colour = RGBA (rgb, a), .width = (w)                                                          \
  }
#define DASHED(rgb, a, w, on, off)                                                                 \
  {                                                                                                \
    .colour = RGBA (rgb, a), .width = (w), .dash = { on, off }, .n_dash = 2                        \
  }
#define MARKED(rgb, w, m)                                                                          \
  {                                                                                                \
    .colour = RGBA (rgb, 1.0), .width = (w), .marker = FAINT_MARKER_##m                            \
  }

/* Parts of one palette; @w is the width of a quiet line. */
#define PALETTE(background, text, dim, axis, grid, observed, model, other, baseline, residual,     \
                fitted, given, predicted, selection, poor, w)                                      \
  {                                                                                                \
    .pen                                                                                           \
        = { [FAINT_PART_BACKGROUND] = SOLID (background, 1.0, w),                                  \
            [FAINT_PART_TEXT] = SOLID (text, 1.0, w),                                              \
            [FAINT_PART_TEXT_DIM] = SOLID (dim, 1.0, w),                                           \
            [FAINT_PART_AXIS] = SOLID (axis, 1.0, w),                                              \
            [FAINT_PART_GRID] = SOLID (grid, 1.0, w),                                              \
            [FAINT_PART_OBSERVED] = MARKED (observed, w, DISC),                                    \
            [FAINT_PART_EXCLUDED] = MARKED (dim, w, RING),                                         \
            [FAINT_PART_MODEL] = SOLID (model, 1.0, 1.5 * (w)),                                    \
            [FAINT_PART_OTHER_MODEL] = { .colour = RGBA (other, 1.0),                              \
                                         .width = 2.0 * (w),                                       \
                                         .dash = { 4, 2 },                                         \
                                         .n_dash = 2,                                              \
                                         .marker = FAINT_MARKER_RING },                            \
            [FAINT_PART_BASELINE] = DASHED (baseline, 1.0, 1.2 * (w), 6, 3),                       \
            [FAINT_PART_RESIDUAL] = MARKED (residual, w, DISC),                                    \
            [FAINT_PART_RESIDUAL_ACROSS] = MARKED (baseline, w, RING),                             \
            [FAINT_PART_GUIDE] = DASHED (axis, 1.0, w, 2, 3),                                      \
            [FAINT_PART_DISTRIBUTION] = SOLID (residual, 0.45, w),                                 \
            [FAINT_PART_NORMAL] = SOLID (model, 1.0, 1.2 * (w)),                                   \
            [FAINT_PART_ABSORPTION] = MARKED (observed, w, DISC),                                  \
            [FAINT_PART_PHASE] = MARKED (observed, w, DISC),                                       \
            [FAINT_PART_FITTED] = MARKED (fitted, 1.2 * (w), DISC),                                \
            [FAINT_PART_GIVEN] = MARKED (given, 1.2 * (w), RING),                                  \
            [FAINT_PART_PREDICTED] = { .colour = RGBA (predicted, 1.0),                            \
                                       .width = 1.2 * (w),                                         \
                                       .dash = { 3, 2 },                                           \
                                       .n_dash = 2,                                                \
                                       .marker = FAINT_MARKER_TRIANGLE },                          \
            [FAINT_PART_NOT_SEEN] = MARKED (other, 2.0 * (w), CROSS),                              \
            [FAINT_PART_NOT_CLAIMED] = MARKED (other, 2.0 * (w), SQUARE),                          \
            [FAINT_PART_SELECTION] = SOLID (selection, 1.0, 1.5 * (w)),                            \
            [FAINT_PART_WINDOW] = DASHED (dim, 1.0, w, 1, 4),                                      \
            [FAINT_PART_POOR] = SOLID (poor, 1.0, w),                                              \
          }                                                                                        \
  }

static const FaintPalette palettes[FAINT_PALETTE_N] = {
  [FAINT_PALETTE_LIGHT]
  = PALETTE (WHITE, 0x2a2a2a, 0x666666, 0x767676, 0xe8e8e8, BLACK, VERMILLION, DARK_PURPLE,
             BLUISH_GREEN, BLUE, VERMILLION, BLUE, BLUISH_GREEN, REDDISH_PURPLE, ORANGE, 1.0),
  [FAINT_PALETTE_DARK] = PALETTE (0x1e1e1e, 0xe4e4e4, 0xaaaaaa, 0x8c8c8c, 0x343434, WHITE, ORANGE,
                                  REDDISH_PURPLE, BLUISH_GREEN, SKY_BLUE, ORANGE, SKY_BLUE,
                                  BLUISH_GREEN, REDDISH_PURPLE, VERMILLION, 1.0),
  [FAINT_PALETTE_HIGH_CONTRAST]
  = PALETTE (WHITE, BLACK, BLACK, BLACK, 0xbbbbbb, BLACK, BLUE, VERMILLION, BLACK, BLACK, BLUE,
             BLACK, BLACK, BLUE, BLACK, 1.5),
  [FAINT_PALETTE_HIGH_CONTRAST_DARK]
  = PALETTE (BLACK, WHITE, WHITE, WHITE, 0x555555, WHITE, YELLOW, REDDISH_PURPLE, SKY_BLUE,
             SKY_BLUE, YELLOW, SKY_BLUE, WHITE, ORANGE, ORANGE, 1.5),
  [FAINT_PALETTE_PRINT]
  = PALETTE (WHITE, BLACK, 0x555555, 0x444444, 0xe4e4e4, BLACK, VERMILLION, DARK_PURPLE,
             BLUISH_GREEN, BLUE, VERMILLION, BLUE, BLUISH_GREEN, REDDISH_PURPLE, ORANGE, 1.0),
};

static const char *const names[FAINT_PALETTE_N] = {
  [FAINT_PALETTE_LIGHT] = "light",
  [FAINT_PALETTE_DARK] = "dark",
  [FAINT_PALETTE_HIGH_CONTRAST] = "high-contrast",
  [FAINT_PALETTE_HIGH_CONTRAST_DARK] = "high-contrast-dark",
  [FAINT_PALETTE_PRINT] = "print",
};

const FaintPalette *
faint_palette_get (FaintPaletteKind kind)
{
  return &palettes[kind < FAINT_PALETTE_N ? kind : FAINT_PALETTE_LIGHT];
}

const char *
faint_palette_name (FaintPaletteKind kind)
{
  return names[kind < FAINT_PALETTE_N ? kind : FAINT_PALETTE_LIGHT];
}

FaintPaletteKind
faint_palette_from_name (const char *name)
{
  for (int kind = 0; kind < FAINT_PALETTE_N; kind++)
    if (g_strcmp0 (name, names[kind]) == 0)
      return kind;
  return FAINT_PALETTE_LIGHT;
}

/* WCAG 2.1, definition of relative luminance. */
static double
linear (double channel)
{
  return channel <= 0.03928 ? channel / 12.92 : pow ((channel + 0.055) / 1.055, 2.4);
}

double
faint_colour_luminance (FaintColour colour)
{
  return 0.2126 * linear (colour.red) + 0.7152 * linear (colour.green)
         + 0.0722 * linear (colour.blue);
}

double
faint_colour_contrast (FaintColour a, FaintColour b)
{
  double first = faint_colour_luminance (a) + 0.05, second = faint_colour_luminance (b) + 0.05;
  return MAX (first, second) / MIN (first, second);
}

void
faint_colour_set (cairo_t *cr, FaintColour colour)
{
  cairo_set_source_rgba (cr, colour.red, colour.green, colour.blue, colour.alpha);
}
