/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The numbers under the pointer, in labels that a screen reader can read; while it is elsewhere,
 * the visible range and the selected line.
 */
#pragma once

#include "figure/figure-data.h"
#include <gtk/gtk.h>

#define FAINT_TYPE_PLOT_READOUT (faint_plot_readout_get_type ())
G_DECLARE_FINAL_TYPE (FaintPlotReadout, faint_plot_readout, FAINT, PLOT_READOUT, GtkWidget)

typedef struct
{
  FaintFigureData *data; /* borrowed; NULL: nothing */
  FaintAxisUnit unit;
  double wavenumber;          /* cm-1; NAN: the pointer is elsewhere */
  double pixel;               /* cm-1 of a device pixel: as many digits as it deserves */
  gsize sample;               /* the nearest; G_MAXSIZE: none */
  const FaintLine *line;      /* under the pointer, borrowed; or NULL */
  FaintRange view;            /* read out while the pointer is elsewhere, with the selected line */
  const FaintLine *selected;  /* borrowed; or NULL */
  const FaintLine *predicted; /* dashed stick under it, read out in the place of @line; or NULL */
} FaintReadout;

GtkWidget *faint_plot_readout_new (void);
void faint_plot_readout_show (FaintPlotReadout *self, const FaintReadout *what);

/* The texts, for tests: position, signal, model, residual, line. Borrowed. */
typedef enum
{
  FAINT_READOUT_POSITION,
  FAINT_READOUT_SIGNAL,
  FAINT_READOUT_MODEL,
  FAINT_READOUT_RESIDUAL,
  FAINT_READOUT_LINE,
  FAINT_READOUT_N
} FaintReadoutField;
const char *faint_plot_readout_get (FaintPlotReadout *self, FaintReadoutField field);
