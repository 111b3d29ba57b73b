/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What moves over the plots: cross-hair, the sample under it, a range being drawn, the selected
 * line with its handle. A layer of its own, so that moving the pointer leaves the curves alone.
 */
#pragma once

#include "app/plot/area.h"

#define FAINT_TYPE_PLOT_MARKS (faint_plot_marks_get_type ())
G_DECLARE_FINAL_TYPE (FaintPlotMarks, faint_plot_marks, FAINT, PLOT_MARKS, GtkWidget)

typedef struct
{
  double cross;   /* cm-1 of the vertical hair; NAN: none */
  double cross_y; /* units; NAN: no horizontal hair */
  double sample;  /* cm-1 and value of a sample of the measurement to ring; NAN: none */
  double sample_value;
  FaintRange range; /* being drawn with the pointer; not valid: none */
  double line;      /* cm-1 of the selected line; NAN: none */
  double line_from; /* while it is dragged: where it was; NAN */
  gboolean focus;   /* the plot has the keyboard */
} FaintMarks;
FaintMarks faint_marks_none (void);

/* Lies over @area and shows marks where its lanes are. @marks are copied. */
GtkWidget *faint_plot_marks_new (FaintPlotArea *area);
void faint_plot_marks_set (FaintPlotMarks *self, const FaintMarks *marks);
const FaintMarks *faint_plot_marks_get (FaintPlotMarks *self);

/* The handle of the line: TRUE if (@x, @y) lies on it. */
gboolean faint_plot_marks_on_handle (FaintPlotMarks *self, double x, double y);
