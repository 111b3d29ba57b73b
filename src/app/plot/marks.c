/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/plot/marks.h"
#include "app/plot/theme.h"

#include <math.h>
#include <string.h>

#define HANDLE 7.0     /* half the width of the triangle, units */
#define RING 4.5       /* radius about a sample */
#define GRIP 5.0       /* half the side of a handle of the width */
#define BRACKET 3.5    /* half the width of the mark of a line selected with others */
#define FOOT 7.0       /* its height */
#define LEAST_HALF 8.0 /* units: handles of a narrower line would lie on one another */

struct _FaintPlotMarks
{
  GtkWidget parent;

  FaintPlotArea *area;
  FaintFigureLayout layout; /* of the area, as of the last synchronise() */
  const FaintPalette *palette;
  FaintMarks marks;
  double *preview_x, *preview_y; /* one block */
  gsize n_preview;
  GArray *several; /* double, cm-1 */
};

G_DEFINE_FINAL_TYPE (FaintPlotMarks, faint_plot_marks, GTK_TYPE_WIDGET)

FaintMarks
faint_marks_none (void)
{
  return (FaintMarks){ .cross = NAN,
                       .cross_y = NAN,
                       .sample = NAN,
                       .sample_value = NAN,
                       .range = { NAN, NAN },
                       .marked = { NAN, NAN },
                       .half = NAN,
                       .half_at = NAN,
                       .line = NAN,
                       .line_from = NAN };
}

/* Takes over where the lanes lie; FALSE while there are none. */
static gboolean
synchronise (FaintPlotMarks *self)
{
  const FaintFigureLayout *layout = faint_plot_area_get_layout (self->area);

  self->palette = faint_plot_area_get_palette (self->area);
  if (layout != NULL)
    self->layout = *layout;
  return layout != NULL;
}

/* The first lane that is shown gives the mapping of wavenumbers, which all share. */
static const FaintView *
shared_view (FaintPlotMarks *self)
{
  for (int i = 0; i < FAINT_LANE_N; i++)
    if (self->layout.visible[i])
      return &self->layout.view[i];
  return NULL;
}

static gboolean
x_of (FaintPlotMarks *self, double wavenumber, double *x)
{
  const FaintView *view = shared_view (self);

  if (view == NULL || isnan (wavenumber) || !faint_range_contains (view->across, wavenumber))
    return FALSE;
  *x = floor (faint_view_x (view, wavenumber)) + 0.5;
  return TRUE;
}

static void
fill (GtkSnapshot *snapshot, GdkRGBA colour, double x, double y, double width, double height)
{
  gtk_snapshot_append_color (snapshot, &colour, &GRAPHENE_RECT_INIT (x, y, width, height));
}

static GdkRGBA
faded (GdkRGBA colour, double alpha)
{
  colour.alpha *= alpha;
  return colour;
}

static void
vertical (FaintPlotMarks *self, GtkSnapshot *snapshot, double x, GdkRGBA colour)
{
  for (int i = 0; i < FAINT_LANE_N; i++)
    if (self->layout.visible[i])
      {
        FaintRect place = self->layout.view[i].place;
        fill (snapshot, colour, x - 0.5, place.y, 1, place.height);
      }
}

static void
draw_cross (FaintPlotMarks *self, GtkSnapshot *snapshot)
{
  GdkRGBA colour = faded (faint_plot_rgba (self->palette, FAINT_PART_TEXT), 0.55);
  double x, y = self->marks.cross_y;

  if (x_of (self, self->marks.cross, &x))
    vertical (self, snapshot, x, colour);
  for (int i = 0; i < FAINT_LANE_N && !isnan (y); i++)
    if (self->layout.visible[i] && y >= self->layout.view[i].place.y
        && y < self->layout.view[i].place.y + self->layout.view[i].place.height)
      {
        FaintRect place = self->layout.view[i].place;
        fill (snapshot, colour, place.x, floor (y), place.width, 1);
      }
}

static void
draw_band (FaintPlotMarks *self, GtkSnapshot *snapshot, FaintRange range, GdkRGBA colour)
{
  const FaintView *view = shared_view (self);
  double from, to;

  if (view == NULL || !faint_range_is_valid (range))
    return;
  from = MAX (faint_view_x (view, range.lower), view->place.x);
  to = MIN (faint_view_x (view, range.upper), view->place.x + view->place.width);
  if (!(from < to))
    return;
  for (int i = 0; i < FAINT_LANE_N; i++)
    if (self->layout.visible[i])
      {
        FaintRect place = self->layout.view[i].place;
        fill (snapshot, faded (colour, 0.18), from, place.y, to - from, place.height);
        fill (snapshot, colour, floor (from), place.y, 1, place.height);
        fill (snapshot, colour, floor (to), place.y, 1, place.height);
      }
}

/* A range to zoom to has the colour of the selection, a marked one that of text. */
static void
draw_ranges (FaintPlotMarks *self, GtkSnapshot *snapshot)
{
  draw_band (self, snapshot, self->marks.range,
             faint_plot_rgba (self->palette, FAINT_PART_SELECTION));
  draw_band (self, snapshot, self->marks.marked,
             faint_plot_rgba (self->palette, FAINT_PART_TEXT_DIM));
}

/* A triangle that points down, at the top of the measurement. */
static void
draw_handle (FaintPlotMarks *self, GtkSnapshot *snapshot, double x)
{
  FaintRect place = self->layout.view[FAINT_LANE_MEASUREMENT].place;
  cairo_t *cr = gtk_snapshot_append_cairo (
      snapshot, &GRAPHENE_RECT_INIT (x - HANDLE - 1, place.y, 2 * HANDLE + 2, 2 * HANDLE));

  cairo_move_to (cr, x - HANDLE, place.y + 0.5);
  cairo_line_to (cr, x + HANDLE, place.y + 0.5);
  cairo_line_to (cr, x, place.y + 1.6 * HANDLE);
  cairo_close_path (cr);
  faint_colour_set (cr, self->palette->pen[FAINT_PART_SELECTION].colour);
  cairo_fill_preserve (cr);
  faint_colour_set (cr, self->palette->pen[FAINT_PART_BACKGROUND].colour);
  cairo_set_line_width (cr, 1);
  cairo_stroke (cr);
  cairo_destroy (cr);
}

/* Of the two sides, left -1 and right 1. */
static gboolean
width_place (FaintPlotMarks *self, int side, double *x, double *y)
{
  const FaintView *view = &self->layout.view[FAINT_LANE_MEASUREMENT];
  double half, at;

  if (!self->layout.visible[FAINT_LANE_MEASUREMENT] || isnan (self->marks.line)
      || !(self->marks.half > 0))
    return FALSE;
  half = self->marks.half / faint_view_unit_width (view);
  *x = faint_view_x (view, self->marks.line) + side * half;
  at = isnan (self->marks.half_at) ? NAN : faint_view_y (view, self->marks.half_at);
  if (isnan (at))
    at = view->place.y + view->place.height / 2;
  *y = CLAMP (at, view->place.y + 4 * GRIP, view->place.y + view->place.height - 2 * GRIP);
  return half >= LEAST_HALF && *x >= view->place.x && *x <= view->place.x + view->place.width;
}

/* A square on either side, and the width between them. */
static void
draw_width (FaintPlotMarks *self, GtkSnapshot *snapshot)
{
  GdkRGBA colour = faint_plot_rgba (self->palette, FAINT_PART_SELECTION);
  GdkRGBA edge = faint_plot_rgba (self->palette, FAINT_PART_BACKGROUND);

  for (int side = -1; side <= 1; side += 2)
    {
      double x, y;

      if (!width_place (self, side, &x, &y))
        continue;
      x = floor (x) + 0.5;
      y = floor (y) + 0.5;
      fill (snapshot, faded (colour, 0.8),
            MIN (x, x - side * self->marks.half / faint_view_unit_width (shared_view (self))),
            y - 0.5, self->marks.half / faint_view_unit_width (shared_view (self)), 1);
      fill (snapshot, edge, x - GRIP, y - GRIP, 2 * GRIP, 2 * GRIP);
      fill (snapshot, colour, x - GRIP + 1, y - GRIP + 1, 2 * GRIP - 2, 2 * GRIP - 2);
    }
}

/* Dashed, over the model that still stands. */
static void
draw_preview (FaintPlotMarks *self, GtkSnapshot *snapshot)
{
  const FaintView *view = &self->layout.view[FAINT_LANE_MEASUREMENT];
  gboolean joined = FALSE;
  cairo_t *cr;

  if (self->n_preview == 0 || !self->layout.visible[FAINT_LANE_MEASUREMENT])
    return;
  cr = gtk_snapshot_append_cairo (
      snapshot,
      &GRAPHENE_RECT_INIT (view->place.x, view->place.y, view->place.width, view->place.height));
  cairo_rectangle (cr, view->place.x, view->place.y, view->place.width, view->place.height);
  cairo_clip (cr);
  for (gsize i = 0; i < self->n_preview; i++)
    {
      double x = faint_view_x (view, self->preview_x[i]);
      double y = faint_view_y (view, self->preview_y[i]);

      if (isnan (y) || x < view->place.x - view->place.width
          || x > view->place.x + 2 * view->place.width)
        joined = FALSE;
      else if (joined)
        cairo_line_to (cr, x, y);
      else
        {
          cairo_move_to (cr, x, y);
          joined = TRUE;
        }
    }
  cairo_set_antialias (cr, CAIRO_ANTIALIAS_FAST);
  cairo_set_line_width (cr, 2);
  faint_colour_set (cr, self->palette->pen[FAINT_PART_SELECTION].colour);
  cairo_stroke (cr);
  cairo_destroy (cr);
}

static void
draw_line (FaintPlotMarks *self, GtkSnapshot *snapshot)
{
  GdkRGBA colour = faint_plot_rgba (self->palette, FAINT_PART_SELECTION);
  double x;

  if (x_of (self, self->marks.line_from, &x))
    vertical (self, snapshot, x, faded (colour, 0.35));
  if (!x_of (self, self->marks.line, &x))
    return;
  vertical (self, snapshot, x, faded (colour, 0.8));
  if (self->layout.visible[FAINT_LANE_MEASUREMENT])
    draw_handle (self, snapshot, x);
}

/* A bar with a foot below it; bars that touch are one, and a foot needs room. */
static void
draw_brackets (FaintPlotMarks *self, GtkSnapshot *snapshot, const FaintView *view)
{
  GdkRGBA colour = faint_plot_rgba (self->palette, FAINT_PART_SELECTION);
  double from = NAN, to = NAN, foot = -INFINITY, x;

  for (guint i = 0; i < self->several->len; i++)
    {
      if (!x_of (self, g_array_index (self->several, double, i), &x))
        continue;
      if (!(x - BRACKET <= to))
        {
          if (!isnan (from))
            fill (snapshot, colour, from, view->place.y, to - from, 2);
          from = x - BRACKET;
        }
      to = x + BRACKET;
      if (x - foot < 3)
        continue;
      fill (snapshot, colour, x - 0.5, view->place.y, 1, FOOT);
      foot = x;
    }
  if (!isnan (from))
    fill (snapshot, colour, from, view->place.y, to - from, 2);
}

static void
draw_several (FaintPlotMarks *self, GtkSnapshot *snapshot)
{
  static const int lanes[] = { FAINT_LANE_MEASUREMENT, FAINT_LANE_STICKS };

  for (guint i = 0; self->several->len > 0 && i < G_N_ELEMENTS (lanes); i++)
    if (self->layout.visible[lanes[i]])
      draw_brackets (self, snapshot, &self->layout.view[lanes[i]]);
}

static void
draw_sample (FaintPlotMarks *self, GtkSnapshot *snapshot)
{
  const FaintView *view = &self->layout.view[FAINT_LANE_MEASUREMENT];
  double x, y;
  cairo_t *cr;

  if (!self->layout.visible[FAINT_LANE_MEASUREMENT] || isnan (self->marks.sample)
      || isnan (self->marks.sample_value))
    return;
  x = faint_view_x (view, self->marks.sample);
  y = faint_view_y (view, self->marks.sample_value);
  if (!faint_rect_contains (view->place, x, y))
    return;
  cr = gtk_snapshot_append_cairo (
      snapshot,
      &GRAPHENE_RECT_INIT (floor (x - RING - 2), floor (y - RING - 2), 2 * RING + 5, 2 * RING + 5));
  cairo_arc (cr, x, y, RING, 0, 2 * G_PI);
  faint_colour_set (cr, self->palette->pen[FAINT_PART_TEXT].colour);
  cairo_set_line_width (cr, 1.2);
  cairo_stroke (cr);
  cairo_destroy (cr);
}

/* A frame of its own, since the theme draws none about a custom widget. */
static void
draw_focus (FaintPlotMarks *self, GtkSnapshot *snapshot)
{
  GdkRGBA colour = faint_plot_rgba (self->palette, FAINT_PART_SELECTION);
  int width = gtk_widget_get_width (GTK_WIDGET (self));
  int height = gtk_widget_get_height (GTK_WIDGET (self));

  fill (snapshot, colour, 0, 0, width, 2);
  fill (snapshot, colour, 0, height - 2, width, 2);
  fill (snapshot, colour, 0, 2, 2, height - 4);
  fill (snapshot, colour, width - 2, 2, 2, height - 4);
}

static void
faint_plot_marks_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  FaintPlotMarks *self = FAINT_PLOT_MARKS (widget);

  if (synchronise (self))
    {
      draw_several (self, snapshot);
      draw_line (self, snapshot);
      draw_preview (self, snapshot);
      draw_width (self, snapshot);
      draw_ranges (self, snapshot);
      draw_cross (self, snapshot);
      draw_sample (self, snapshot);
    }
  if (self->marks.focus)
    draw_focus (self, snapshot);
}

static void
faint_plot_marks_dispose (GObject *object)
{
  g_clear_object (&FAINT_PLOT_MARKS (object)->area);
  g_clear_pointer (&FAINT_PLOT_MARKS (object)->preview_x, g_free);
  g_clear_pointer (&FAINT_PLOT_MARKS (object)->several, g_array_unref);
  G_OBJECT_CLASS (faint_plot_marks_parent_class)->dispose (object);
}

static void
faint_plot_marks_class_init (FaintPlotMarksClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = faint_plot_marks_dispose;
  widget_class->snapshot = faint_plot_marks_snapshot;
  gtk_widget_class_set_css_name (widget_class, "plotmarks");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_PRESENTATION);
}

static void
faint_plot_marks_init (FaintPlotMarks *self)
{
  self->marks = faint_marks_none ();
  self->several = g_array_new (FALSE, FALSE, sizeof (double));
  gtk_widget_set_can_target (GTK_WIDGET (self), FALSE);
}

GtkWidget *
faint_plot_marks_new (FaintPlotArea *area)
{
  FaintPlotMarks *self = g_object_new (FAINT_TYPE_PLOT_MARKS, NULL);

  self->area = g_object_ref (area);
  g_signal_connect_object (area, "laid-out", G_CALLBACK (gtk_widget_queue_draw), self,
                           G_CONNECT_SWAPPED);
  return GTK_WIDGET (self);
}

static gboolean
same (double a, double b)
{
  return a == b || (isnan (a) && isnan (b));
}

void
faint_plot_marks_set (FaintPlotMarks *self, const FaintMarks *marks)
{
  const FaintMarks *old = &self->marks;

  if (same (old->cross, marks->cross) && same (old->cross_y, marks->cross_y)
      && same (old->sample, marks->sample) && same (old->sample_value, marks->sample_value)
      && same (old->range.lower, marks->range.lower) && same (old->range.upper, marks->range.upper)
      && same (old->marked.lower, marks->marked.lower)
      && same (old->marked.upper, marks->marked.upper) && same (old->half, marks->half)
      && same (old->half_at, marks->half_at) && same (old->line, marks->line)
      && same (old->line_from, marks->line_from) && old->focus == marks->focus)
    return;
  self->marks = *marks;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

const FaintMarks *
faint_plot_marks_get (FaintPlotMarks *self)
{
  return &self->marks;
}

void
faint_plot_marks_set_several (FaintPlotMarks *self, const double *wavenumber, gsize n)
{
  if (n == 0 && self->several->len == 0)
    return;
  g_array_set_size (self->several, 0);
  if (n > 0)
    g_array_append_vals (self->several, wavenumber, (guint)n);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

const double *
faint_plot_marks_get_several (FaintPlotMarks *self, gsize *n)
{
  *n = self->several->len;
  return (const double *)(void *)self->several->data;
}

void
faint_plot_marks_set_preview (FaintPlotMarks *self, const double *x, const double *y, gsize n)
{
  if (n == 0 && self->n_preview == 0)
    return;
  g_clear_pointer (&self->preview_x, g_free);
  self->n_preview = n;
  if (n > 0)
    {
      self->preview_x = g_new (double, 2 * n);
      self->preview_y = self->preview_x + n;
      memcpy (self->preview_x, x, n * sizeof (double));
      memcpy (self->preview_y, y, n * sizeof (double));
    }
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static gboolean
on_centre (FaintPlotMarks *self, double x, double y)
{
  FaintRect place;
  double at;

  if (!self->layout.visible[FAINT_LANE_MEASUREMENT] || !x_of (self, self->marks.line, &at))
    return FALSE;
  place = self->layout.view[FAINT_LANE_MEASUREMENT].place;
  return fabs (x - at) <= HANDLE + 2 && y >= place.y - 2 && y <= place.y + 2 * HANDLE;
}

FaintHandle
faint_plot_marks_handle_at (FaintPlotMarks *self, double x, double y)
{
  if (!synchronise (self))
    return FAINT_HANDLE_NONE;
  if (on_centre (self, x, y))
    return FAINT_HANDLE_CENTRE;
  for (int side = -1; side <= 1; side += 2)
    {
      double at_x, at_y;

      if (width_place (self, side, &at_x, &at_y) && fabs (x - at_x) <= GRIP + 2
          && fabs (y - at_y) <= GRIP + 2)
        return FAINT_HANDLE_WIDTH;
    }
  return FAINT_HANDLE_NONE;
}

gboolean
faint_plot_marks_width_place (FaintPlotMarks *self, double *x, double *y)
{
  return synchronise (self) && width_place (self, 1, x, y);
}
