/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/plot/columns.h"

#include <math.h>

/* Below this many samples a column a polyline shows more and costs little. */
#define DENSE 2.0

static gsize
count_columns (const FaintView *view, double device)
{
  return MAX (1, (gsize)floor (view->place.width * device + 0.5));
}

gboolean
faint_columns_suit (const FaintView *view, const FaintPyramid *samples, double device)
{
  return faint_pyramid_density (samples, view->across, count_columns (view, device)) > DENSE;
}

gboolean
faint_columns_span (FaintRange up, double height, double least, double greatest, int thickness,
                    int *top, int *bottom)
{
  double scale = height / faint_range_width (up);
  double from = (up.upper - greatest) * scale, to = (up.upper - least) * scale;
  int rows = (int)height, first, end;

  if (!(to > -thickness && from < height + thickness))
    return FALSE;
  first = (int)floor (CLAMP (from, -1e6, 1e6) - 0.5 * thickness + 0.5);
  end = (int)floor (CLAMP (to, -1e6, 1e6) + 0.5 * thickness + 0.5);
  if (end - first < thickness)
    end = first + thickness;
  *top = MAX (first, 0);
  *bottom = MIN (end, rows);
  return *top < *bottom;
}

/* Values of column @i, stretched half way to the neighbours it does not touch. */
static FaintRange
joined (const FaintColumn *columns, gsize n, gsize i)
{
  FaintRange range = { columns[i].min, columns[i].max };

  if (i > 0 && !isnan (columns[i - 1].right) && !isnan (columns[i].left))
    {
      double middle = 0.5 * (columns[i - 1].right + columns[i].left);
      range.lower = MIN (range.lower, middle);
      range.upper = MAX (range.upper, middle);
    }
  if (i + 1 < n && !isnan (columns[i + 1].left) && !isnan (columns[i].right))
    {
      double middle = 0.5 * (columns[i].right + columns[i + 1].left);
      range.lower = MIN (range.lower, middle);
      range.upper = MAX (range.upper, middle);
    }
  return range;
}

/* Whether the dash pattern of @pen is "on" at @x, units from the left. */
static gboolean
dash_is_on (const FaintPen *pen, double x)
{
  double period = 0, at;

  for (int i = 0; i < pen->n_dash; i++)
    period += pen->dash[i];
  if (!(period > 0))
    return TRUE;
  at = fmod (x, period);
  for (int i = 0; i < pen->n_dash; i++)
    {
      if (at < pen->dash[i])
        return i % 2 == 0;
      at -= pen->dash[i];
    }
  return TRUE;
}

/* A run of neighbouring columns with the same rectangle becomes one node. */
typedef struct
{
  GtkSnapshot *snapshot;
  GdkRGBA colour;
  FaintRect place;
  double device;
  gsize from, end; /* columns; empty: none yet */
  int top, bottom;
} Run;

static void
run_flush (Run *self)
{
  if (self->from < self->end)
    gtk_snapshot_append_color (self->snapshot, &self->colour,
                               &GRAPHENE_RECT_INIT (self->place.x + self->from / self->device,
                                                    self->place.y + self->top / self->device,
                                                    (self->end - self->from) / self->device,
                                                    (self->bottom - self->top) / self->device));
  self->from = self->end = 0;
}

static void
run_add (Run *self, gsize column, int top, int bottom)
{
  if (self->from < self->end && self->end == column && self->top == top && self->bottom == bottom)
    {
      self->end++;
      return;
    }
  run_flush (self);
  self->from = column;
  self->end = column + 1;
  self->top = top;
  self->bottom = bottom;
}

void
faint_columns_append (GtkSnapshot *snapshot, const FaintView *view, const FaintPyramid *samples,
                      const FaintPen *pen, double device, gboolean join)
{
  gsize n = count_columns (view, device);
  g_autofree FaintColumn *columns = g_new (FaintColumn, n);
  int thickness = MAX (1, (int)floor (pen->width * device + 0.5));
  Run run = { .snapshot = snapshot,
              .colour = { pen->colour.red, pen->colour.green, pen->colour.blue, pen->colour.alpha },
              .place = view->place,
              .device = device };

  faint_pyramid_columns (samples, view->across, n, columns);
  for (gsize i = 0; i < n; i++)
    {
      FaintRange range = { columns[i].min, columns[i].max };
      int top, bottom;

      if (isnan (range.lower))
        continue;
      if (join)
        range = joined (columns, n, i);
      /* A gap of the dashes may lie in what runs level; in one that is all of a line it would make
       * the line vanish. */
      if (faint_columns_span (view->up, floor (view->place.height * device), range.lower,
                              range.upper, thickness, &top, &bottom)
          && (bottom - top > 2 * thickness || dash_is_on (pen, i / device)))
        run_add (&run, i, top, bottom);
    }
  run_flush (&run);
}
