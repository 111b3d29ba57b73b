/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From the theme of a widget to the palette and the font of a figure.
 */
#pragma once

#include "figure/canvas.h"
#include <gtk/gtk.h>

/* Dark where the text is light; of high contrast where the theme says so in its name. */
FaintPaletteKind faint_plot_theme_palette (GtkWidget *widget);

/* The widget's font, a little smaller, for ticks and labels. Free it. */
PangoFontDescription *faint_plot_theme_font (GtkWidget *widget);

/* To draw a figure on @widget with @cr: its palette, font and language. Free @font afterwards. */
FaintCanvas faint_plot_theme_canvas (GtkWidget *widget, cairo_t *cr, PangoFontDescription **font);

/* A colour of the palette for colour nodes. */
GdkRGBA faint_plot_rgba (const FaintPalette *palette, FaintPart part);
