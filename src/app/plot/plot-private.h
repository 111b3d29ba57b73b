/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Shared by the files of FaintPlot: plot.c (data and session), actions.c (keys and menu),
 * gestures.c (pointer).
 */
#pragma once

#include "app/plot/area.h"
#include "app/plot/marks.h"
#include "app/plot/plot.h"
#include "app/plot/readout.h"
#include "app/plot/view-history.h"
#include "faint/fit/preview.h"

typedef enum
{
  FAINT_DRAG_NONE,
  FAINT_DRAG_PENDING, /* pressed, not yet moved far enough */
  FAINT_DRAG_RANGE,
  FAINT_DRAG_PAN,
  FAINT_DRAG_MARK,
  FAINT_DRAG_LINE,
  FAINT_DRAG_WIDTH,
} FaintDragKind;

typedef struct
{
  FaintDragKind kind;
  FaintDragKind wanted; /* what it becomes when it moves */
  double x, y;          /* units, where it began */
  double from;          /* cm-1 there */
  double at;            /* cm-1 under the pointer, or of the dragged line */
  double grip;          /* cm-1 from the line to the pointer */
  guint line;           /* id */
  double lorentz;       /* of a line whose width is dragged, cm-1 */
} FaintDrag;

struct _FaintPlot
{
  GtkWidget parent;

  FaintSession *session;
  FaintFigureData *data;
  FaintSpectrumFigure figure; /* owns given, predicted and other */
  FaintViewHistory *history;
  gboolean fixed; /* lines are shown, not edited */

  GtkWidget *overlay, *area, *marks, *readout, *menu, *range_menu;
  GMenuModel *line_menu; /* for the selected lines; or NULL */

  GtkEventController *click;   /* of the first button; borrowed */
  double pointer_x, pointer_y; /* units; NAN: outside, or the cursor is led by keys */
  double menu_at;              /* cm-1 where the menu was opened; NAN */
  FaintDrag drag;
  FaintRange marked;        /* cm-1; not valid: none */
  double mark_from;         /* where marking by keys began; NAN */
  FaintFitPreview *preview; /* while a line is shaped; or NULL */
  double
      usual_half_width; /* cm-1, of a line of unknown widths in these data; NAN: not sought yet */
  double scale_before;  /* of a pinch */
  guint describe_id;    /* source: the accessible text follows when the view rests */
};

enum
{
  FAINT_PLOT_LINE_ACTIVATED,
  FAINT_PLOT_ADD_LINE,
  FAINT_PLOT_LINE_MOVED,
  FAINT_PLOT_LINE_WIDENED,
  FAINT_PLOT_LINE_TOGGLED,
  FAINT_PLOT_RANGE_CHOSEN,
  FAINT_PLOT_N_SIGNALS
};
extern guint faint_plot_signals[FAINT_PLOT_N_SIGNALS];

void faint_plot_class_install_actions (GtkWidgetClass *widget_class);
void faint_plot_update_actions (FaintPlot *self);
void faint_plot_popup_menu (FaintPlot *self, double x, double y);
void faint_plot_add_gestures (FaintPlot *self);
void faint_plot_drag_cancel (FaintPlot *self);
/* The next click is a first one, however soon it comes and wherever. */
void faint_plot_forget_clicks (FaintPlot *self);

/* A view that any lane shares, to map wavenumbers; FALSE while empty. */
gboolean faint_plot_shared_view (FaintPlot *self, FaintView *view);
/* cm-1 of a device pixel. */
double faint_plot_pixel (FaintPlot *self);
/* Changes the view in one step that can be taken back. */
void faint_plot_jump (FaintPlot *self, FaintRange view);
/* Cross-hair, range and handle anew. */
void faint_plot_refresh_marks (FaintPlot *self);
/* What a click at @wavenumber does: selects the line there, or adds one. */
void faint_plot_click (FaintPlot *self, double wavenumber);
/* Ctrl and a click: the line there goes in or out of those selected. */
void faint_plot_toggle (FaintPlot *self, double wavenumber);
/* A menu opened on a line is for that line. */
void faint_plot_select_for_menu (FaintPlot *self, double wavenumber);
/* Selects and shows by itself the line nearest to @wavenumber. */
void faint_plot_fit_line_at (FaintPlot *self, double wavenumber);
/* Where an action without a place acts: pointer or cursor, else the selected line, else the middle.
 */
double faint_plot_focus_wavenumber (FaintPlot *self);
/* Half width, cm-1, taken for a line of unknown widths. */
double faint_plot_usual_half_width (FaintPlot *self);
/* The selected line, borrowed; NULL: none, or not in these data. */
const FaintLine *faint_plot_selected_line (FaintPlot *self);
/* The accessible name and description; public for tests through the widget. */
void faint_plot_describe (FaintPlot *self);

/* pointed.c: what lies under the pointer. */
/* The sample nearest to @wavenumber, G_MAXSIZE: none; the line meant there, borrowed, NULL: none.
 */
gsize faint_plot_sample_at (FaintPlot *self, double wavenumber);
const FaintLine *faint_plot_line_at (FaintPlot *self, double wavenumber);
void faint_plot_refresh_readout (FaintPlot *self);

/* several.c */
/* Marks of the lines selected with the one in hand, which has its own. */
void faint_plot_show_several (FaintPlot *self);

/* shaping.c: the selected line in the hand. */
/* Shows the model with @line in the place of the line of its id, until faint_plot_preview_end(). */
void faint_plot_preview_line (FaintPlot *self, const FaintLine *line);
void faint_plot_preview_end (FaintPlot *self);
/* FALSE if there is no line to drag by @handle. */
gboolean faint_plot_shape_begin (FaintPlot *self, FaintHandle handle);
void faint_plot_shape_update (FaintPlot *self, double wavenumber);
void faint_plot_shape_end (FaintPlot *self, const FaintDrag *drag);
/* Line and handles. */
void faint_plot_shape_marks (FaintPlot *self, FaintMarks *marks);
void faint_plot_act_move_line (GtkWidget *widget, const char *name, GVariant *pixels);
void faint_plot_act_widen_line (GtkWidget *widget, const char *name, GVariant *pixels);

/* marking.c: a range on the axis, for what is done with it. */
gboolean faint_plot_is_marked (FaintPlot *self);
void faint_plot_set_marked (FaintPlot *self, FaintRange range);
void faint_plot_unmark (FaintPlot *self);
/* The end of a range that keys mark goes with the cursor. */
void faint_plot_follow_mark (FaintPlot *self);
/* Whether teeth of the marked range, or of all without one, are excluded. */
gboolean faint_plot_has_excluded (FaintPlot *self);
void faint_plot_popup_range_menu (FaintPlot *self, double x, double y);
void faint_plot_act_mark (GtkWidget *widget, const char *name, GVariant *none);
void faint_plot_act_exclude (GtkWidget *widget, const char *name, GVariant *none);
void faint_plot_act_take_back (GtkWidget *widget, const char *name, GVariant *none);
void faint_plot_act_fit_range (GtkWidget *widget, const char *name, GVariant *none);
void faint_plot_act_select_lines (GtkWidget *widget, const char *name, GVariant *none);
void faint_plot_act_zoom_range (GtkWidget *widget, const char *name, GVariant *none);
