/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Between loomis-wood-view.c (drawing, state) and loomis-wood-input.c (pointer and keys).
 */
#pragma once

#include "app/assignment/loomis-wood-view.h"

typedef enum
{
  DRAG_NONE,
  DRAG_PENDING_TRACE,
  DRAG_PENDING_PAN,
  DRAG_TRACE,
  DRAG_PAN,
} FaintLoomisWoodDrag;

struct _FaintLoomisWoodView
{
  GtkWidget parent;

  FaintLoomisWood *plot; /* may be NULL */
  FaintRange across, up; /* shown */
  guint selected;
  FaintLoomisWoodPick hover; /* under the pointer; id 0: none */
  char *words;               /* of the selected line, for a screen reader; or NULL */
  int row;                   /* of the selected line that keys start from */
  GArray *trace;             /* FaintLoomisWoodPick */
  GArray *path;              /* double[2], of the drag */
  FaintLoomisWoodDrag drag;
  FaintRange drag_across, drag_up; /* when a pan began */
  double pointer_x, pointer_y;     /* NAN: outside */
  GskRenderNode *node;             /* NULL: to be drawn anew */
  guint drawn;
};

enum
{
  FAINT_LOOMIS_WOOD_LINE_CHOSEN,
  FAINT_LOOMIS_WOOD_TRACE_CHANGED,
  FAINT_LOOMIS_WOOD_TRACE_DONE,
  FAINT_LOOMIS_WOOD_LINE_CLICKED,
  FAINT_LOOMIS_WOOD_HOVER_CHANGED,
  FAINT_LOOMIS_WOOD_ASSIGN,
  FAINT_LOOMIS_WOOD_CLEAR,
  FAINT_LOOMIS_WOOD_N_SIGNALS
};
extern guint _faint_loomis_wood_signals[FAINT_LOOMIS_WOOD_N_SIGNALS];

/* The plot's place on the screen with the ranges shown. */
FaintView _faint_loomis_wood_view_place (FaintLoomisWoodView *self);
void _faint_loomis_wood_view_add_input (FaintLoomisWoodView *self);
void _faint_loomis_wood_view_add_keys (GtkWidgetClass *widget_class);
/* A line was chosen by the user, in the row of @pick. */
void _faint_loomis_wood_view_choose (FaintLoomisWoodView *self, FaintLoomisWoodPick pick);
