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
  FaintRange range;  /* being drawn with the pointer, to zoom to; not valid: none */
  FaintRange marked; /* marked, for what the menu does with it; not valid: none */
  double line;       /* cm-1 of the selected line; NAN: none */
  double line_from;  /* while it is dragged: where it was; NAN */
  double half;       /* its half width, cm-1; NAN: no handles for it */
  double half_at;    /* value of the measurement at half depth; NAN: not known */
  gboolean focus;    /* the plot has the keyboard */
} FaintMarks;
FaintMarks faint_marks_none (void);

/* Lies over @area and shows marks where its lanes are. @marks are copied. */
GtkWidget *faint_plot_marks_new (FaintPlotArea *area);
void faint_plot_marks_set (FaintPlotMarks *self, const FaintMarks *marks);
const FaintMarks *faint_plot_marks_get (FaintPlotMarks *self);

/* Lines selected together besides the one in hand: @n wavenumbers, rising, copied. A bracket above
 * the measurement and above the sticks marks each, whatever its colour. */
void faint_plot_marks_set_several (FaintPlotMarks *self, const double *wavenumber, gsize n);
const double *faint_plot_marks_get_several (FaintPlotMarks *self, gsize *n);

/* A curve over the measurement: the model as an edit under way would make it. @x in cm-1, rising,
 * both copied; several stretches make one curve, with NAN between them. @n 0: none. */
void faint_plot_marks_set_preview (FaintPlotMarks *self, const double *x, const double *y, gsize n);

/* Handles of the selected line. */
typedef enum
{
  FAINT_HANDLE_NONE,
  FAINT_HANDLE_CENTRE,
  FAINT_HANDLE_WIDTH, /* at half maximum, on either side */
} FaintHandle;
/* The one under (@x, @y). */
FaintHandle faint_plot_marks_handle_at (FaintPlotMarks *self, double x, double y);
/* Where the handle of the width stands, above the line's centre; FALSE while it is not shown. */
gboolean faint_plot_marks_width_place (FaintPlotMarks *self, double *x, double *y);
