/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The drawing of the stacked plots, and nothing but the drawing: it is made anew only when data,
 * view, size, settings or theme change. What moves with the pointer is drawn by marks.h above it.
 */
#pragma once

#include "figure/spectrum-figure.h"
#include <gtk/gtk.h>

#define FAINT_TYPE_PLOT_AREA (faint_plot_area_get_type ())
G_DECLARE_FINAL_TYPE (FaintPlotArea, faint_plot_area, FAINT, PLOT_AREA, GtkWidget)

/* Signal "laid-out": the lanes lie elsewhere or show another range. */
GtkWidget *faint_plot_area_new (void);

/* Refs @data; NULL: nothing to draw. */
void faint_plot_area_set_data (FaintPlotArea *self, FaintFigureData *data);
void faint_plot_area_set_across (FaintPlotArea *self, FaintRange across);
/* Copies the settings, refs the lists in it. A range of values that is not valid is chosen from the
 * data in view, and then kept while panning until it no longer fits. */
void faint_plot_area_set_figure (FaintPlotArea *self, const FaintSpectrumFigure *figure);

const FaintSpectrumFigure *faint_plot_area_get_figure (FaintPlotArea *self);
FaintRange faint_plot_area_get_across (FaintPlotArea *self);
/* Where the lanes lie now; NULL while there is nothing to draw. Borrowed. */
const FaintFigureLayout *faint_plot_area_get_layout (FaintPlotArea *self);
const FaintPalette *faint_plot_area_get_palette (FaintPlotArea *self);
/* How often the drawing was made anew, for tests and benchmarks. */
guint faint_plot_area_get_drawn (FaintPlotArea *self);

/* Of two ranges of values, @held is kept while it holds @wanted and is not much wider, so that the
 * curves stand still while panning. */
FaintRange faint_plot_area_steady (FaintRange held, FaintRange wanted);
