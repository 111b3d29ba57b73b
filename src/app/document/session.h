/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a window shows of its document: the visible range, the selected line, the unit of the axis,
 * what a click in the plot means and the stage of the work. Plots, table and panes bind to it; none
 * knows another. Setting a thing to its old value does nothing and notifies nobody.
 * Wavenumbers are in cm-1, whatever unit the axis shows.
 */
#pragma once

#include <glib-object.h>

G_BEGIN_DECLS

/* What a click, or a drag, in the plot does. */
typedef enum
{
  FAINT_MODE_INSPECT, /* selects the nearest line */
  FAINT_MODE_ADD,     /* adds a line there */
  FAINT_MODE_MARK,    /* as INSPECT; a drag marks a range instead of zooming to it */
} FaintMode;

typedef enum
{
  FAINT_STAGE_DATA,
  FAINT_STAGE_CAVITY,
  FAINT_STAGE_LINES,
  FAINT_STAGE_STRENGTHS,
  FAINT_STAGE_ASSIGNMENT,
  FAINT_STAGE_REVIEW,
} FaintStage;
#define FAINT_N_STAGES 6

#define FAINT_TYPE_SESSION (faint_session_get_type ())
G_DECLARE_FINAL_TYPE (FaintSession, faint_session, FAINT, SESSION, GObject)

/* Properties, all read and write, all notify:
 *   selected-id  guint, 0: none      axis-unit  guint, a FaintAxisUnit of figure/axis-unit.h
 *   mode         guint, FaintMode    stage      guint, FaintStage
 *   pointer      double, cm-1 under the pointer, NAN: outside the plots
 *   origin       double, cm-1, zero of an axis in MHz from an origin, NAN: the middle of the span
 * Signals: "view-changed" (visible range or limits), "selection-changed", "several-changed",
 * "line-dragged" (gpointer). */
FaintSession *faint_session_new (void);

/* The whole span of the data. The visible range is kept where it lies within, else shows all. */
void faint_session_set_limits (FaintSession *self, double lower, double upper);
void faint_session_get_limits (FaintSession *self, double *lower, double *upper);
/* FALSE while there are no data. */
gboolean faint_session_has_limits (FaintSession *self);
/* No data: no limits, no selection. */
void faint_session_clear (FaintSession *self);

/* The visible range, moved and cut to lie within the limits; empty or not finite: ignored. */
void faint_session_set_view (FaintSession *self, double lower, double upper);
void faint_session_get_view (FaintSession *self, double *lower, double *upper);
/* Zooms by @factor (above 1: in) so that @at keeps its place. */
void faint_session_zoom_at (FaintSession *self, double at, double factor);
/* Moves by @share of the visible width (positive: to higher wavenumber). */
void faint_session_pan (FaintSession *self, double share);
/* Moves, without zooming, so that @at is visible, in the middle if it was not. */
void faint_session_reveal (FaintSession *self, double at);
void faint_session_show_all (FaintSession *self);

guint faint_session_get_selected (FaintSession *self);
void faint_session_set_selected (FaintSession *self, guint id);

/* Lines selected together, for edits of all of them; n 0 or 1 where there is only the selected one.
 * Borrowed until they change. */
const guint *faint_session_get_several (FaintSession *self, gsize *n);
void faint_session_set_several (FaintSession *self, const guint *ids, gsize n);

/* A line that is in the hand, as it is there now (a FaintLine); NULL: it was let go. Signal
 * "line-dragged" with it. */
void faint_session_set_dragged (FaintSession *self, gconstpointer line);

guint faint_session_get_axis_unit (FaintSession *self);
void faint_session_set_axis_unit (FaintSession *self, guint unit);
FaintMode faint_session_get_mode (FaintSession *self);
void faint_session_set_mode (FaintSession *self, FaintMode mode);
FaintStage faint_session_get_stage (FaintSession *self);
void faint_session_set_stage (FaintSession *self, FaintStage stage);
double faint_session_get_pointer (FaintSession *self);
void faint_session_set_pointer (FaintSession *self, double wavenumber);
double faint_session_get_origin (FaintSession *self);
void faint_session_set_origin (FaintSession *self, double wavenumber);

G_END_DECLS
