/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The stacked plots of a spectrum on one axis, with pointer, keyboard and read-out.
 *
 * Everything the pointer can do is an action too (a widget action, "plot.…"), with a key:
 *   pan (d, share of the view)    Left, Right      zoom (d, factor)          plus, minus
 *   go-start, go-end              Home, End        page (i, views)           Page Up, Page Down
 *   show-all                      0, Ctrl+0        view-back                 Backspace, Alt+Left
 *   view-forward                  Alt+Right
 *   next-line, previous-line      N, Shift+N       fit-line                  F
 *   cursor (i, samples)           Shift+Left/Right activate (as a click)     Return, Space
 *   move-line (i, pixels)         Ctrl+Left/Right  menu                      Shift+F10, Menu
 *   widen-line (i, pixels)        Ctrl+Up/Down     mark (begin, then end)    M
 *   exclude-teeth                 X                take-teeth-back           Shift+X
 *   fit-range, select-lines, zoom-range (of the marked range; the first two act on it alone)
 *   cancel (a drag, a mark)       Escape           add-line (at the cursor)  Insert
 * and, on or off: show-absorption, show-phase, show-residual, show-sticks, error-bars, baseline,
 * windows, grid (properties of the same names).
 */
#pragma once

#include "app/document/session.h"
#include "figure/spectrum-figure.h"
#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_PLOT (faint_plot_get_type ())
G_DECLARE_FINAL_TYPE (FaintPlot, faint_plot, FAINT, PLOT, GtkWidget)

/* What a range is chosen for. */
typedef enum
{
  FAINT_RANGE_EXCLUDE,
  FAINT_RANGE_TAKE_BACK,
  FAINT_RANGE_FIT,
  FAINT_RANGE_SELECT,
} FaintRangeUse;

/* Signals:
 *   "line-activated" (guint id)                double click, or Return on a selected line
 *   "add-line" (double wavenumber)             a click in FAINT_MODE_ADD
 *   "line-moved" (guint id, double wavenumber) at the end of a drag
 *   "line-widened" (guint id, double lorentz)  so; the Lorentz half width, cm-1
 *   "line-toggled" (guint id)                  Ctrl and a click: in or out of those selected
 *   "range-chosen" (guint FaintRangeUse, double lower, double upper)
 * The plot changes no line itself. */
GtkWidget *faint_plot_new (FaintSession *session);

/* Refs @data and tells the session its span; NULL: nothing to show. */
void faint_plot_set_data (FaintPlot *self, FaintFigureData *data);
FaintFigureData *faint_plot_get_data (FaintPlot *self);
/* Further sticks, refs; NULL: none. */
void faint_plot_set_given (FaintPlot *self, FaintLineList *lines);
void faint_plot_set_predicted (FaintPlot *self, FaintLineList *lines);

/* Sticks that a review marks: claimed but not seen, seen but not claimed; refs; NULL: none. */
void faint_plot_set_verdicts (FaintPlot *self, FaintLineList *not_seen, FaintLineList *not_claimed);
/* TRUE: lines are shown and selected, but have no handles and keys to move them. */
void faint_plot_set_fixed (FaintPlot *self, gboolean fixed);
/* What the legend calls the two models, static texts; NULL: fitted and what if. */
void faint_plot_set_words (FaintPlot *self, const char *fitted, const char *other);
/* Another model over the fitted one, with its residuals, refs; NULL: none. Of the same spectrum as
 * the data. */
void faint_plot_set_other (FaintPlot *self, FaintOtherTrace *other);

/* What the menu offers for the selected lines; refs. */
void faint_plot_set_line_menu (FaintPlot *self, GMenuModel *menu);

/* Shows @wavenumber in the middle, no wider than a tenth of the span, with the cursor there. FALSE:
 * it does not lie in the data. */
gboolean faint_plot_go_to (FaintPlot *self, double wavenumber);

/* What is shown and where, for export: draw it with faint_spectrum_figure_draw(). Lists are
 * borrowed. */
void faint_plot_get_figure (FaintPlot *self, FaintSpectrumFigure *figure);
/* Lanes on the screen, in units of the child that the pointer acts on; NULL while empty. Borrowed.
 */
const FaintFigureLayout *faint_plot_get_layout (FaintPlot *self);
/* The unit of the axis that the session chose, for these data. A tooth number needs a repetition
 * rate; without one the axis shows wavenumbers. @data may be NULL. */
FaintAxisUnit faint_plot_axis_unit (FaintSession *session, const FaintFigureData *data);

G_END_DECLS
