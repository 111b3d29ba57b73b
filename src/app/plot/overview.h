/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The whole span at a glance: envelope of the measurement, where the fit is poor, where lines lie,
 * and the visible range as a frame that can be dragged (body: moves, edges: resizes; a click beside
 * it brings it there).
 *
 * Actions: overview.pan (d, share of the view; Left, Right), overview.page (i; Page Up, Page Down),
 * overview.zoom (d; plus, minus, Up, Down), overview.go-start, overview.go-end (Home, End),
 * overview.show-all (0).
 */
#pragma once

#include "app/document/session.h"
#include "figure/figure-data.h"
#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_OVERVIEW_POOR 2.0 /* reduced chi-square above this is marked */

#define FAINT_TYPE_OVERVIEW (faint_overview_get_type ())
G_DECLARE_FINAL_TYPE (FaintOverview, faint_overview, FAINT, OVERVIEW, GtkWidget)

GtkWidget *faint_overview_new (FaintSession *session);
/* Refs @data; NULL: nothing to show. */
void faint_overview_set_data (FaintOverview *self, FaintFigureData *data);

/* What a press at @x of a strip @width wide takes hold of when the frame covers [@from, @to]. */
typedef enum
{
  FAINT_GRIP_LEFT,
  FAINT_GRIP_RIGHT,
  FAINT_GRIP_BODY,
  FAINT_GRIP_BESIDE,
} FaintGrip;
FaintGrip faint_overview_grip (double from, double to, double x);

G_END_DECLS
