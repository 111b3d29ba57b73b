/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/loomis-wood-private.h"

#include <math.h>
#include <stdlib.h>

#define MOST_ROWS 10000

FaintLoomisWood *
faint_loomis_wood_new (const FaintLoomisWoodRow *rows, gsize n, double half, const char *name)
{
  FaintLoomisWood *self;

  if (n == 0 || n > MOST_ROWS || !(half > 0) || !isfinite (half))
    return NULL;
  self = g_new0 (FaintLoomisWood, 1);
  self->rows = g_memdup2 (rows, n * sizeof *rows);
  self->n_rows = n;
  self->half = half;
  self->name = g_strdup (name);
  self->branches = g_ptr_array_new_with_free_func ((GDestroyNotify)g_array_unref);
  return self;
}

FaintLoomisWood *
faint_loomis_wood_new_periodic (double origin, double period, FaintRange span)
{
  double first = floor ((span.lower - origin) / period + 0.5);
  double last = floor ((span.upper - origin) / period + 0.5);
  g_autofree FaintLoomisWoodRow *rows = NULL;
  FaintLoomisWood *self;
  gsize n;

  if (!(period > 0) || !(last >= first) || last - first >= MOST_ROWS || !(fabs (first) < 1e8))
    return NULL;
  n = (gsize)(last - first) + 1;
  rows = g_new (FaintLoomisWoodRow, n);
  for (gsize i = 0; i < n; i++)
    rows[i] = (FaintLoomisWoodRow){ (int)first + (int)i, origin + (first + (double)i) * period };
  self = faint_loomis_wood_new (rows, n, period / 2, "row");
  if (self)
    self->periodic = TRUE;
  return self;
}

void
faint_loomis_wood_free (FaintLoomisWood *self)
{
  if (self == NULL)
    return;
  g_free (self->rows);
  g_free (self->lines);
  g_free (self->name);
  g_ptr_array_unref (self->branches);
  g_free (self);
}

static int
compare (const void *a, const void *b)
{
  const FaintLoomisWoodLine *x = a, *y = b;

  if (x->position != y->position)
    return x->position < y->position ? -1 : 1;
  return (x->id > y->id) - (x->id < y->id);
}

void
faint_loomis_wood_set_lines (FaintLoomisWood *self, const FaintLoomisWoodLine *lines, gsize n)
{
  g_free (self->lines);
  self->lines = g_new (FaintLoomisWoodLine, MAX (n, 1));
  self->n_lines = 0;
  for (gsize i = 0; i < n; i++)
    if (isfinite (lines[i].position))
      self->lines[self->n_lines++] = lines[i];
  qsort (self->lines, self->n_lines, sizeof *self->lines, compare);
}

void
faint_loomis_wood_add_branch (FaintLoomisWood *self, const double *positions, gsize n)
{
  GArray *branch = g_array_sized_new (FALSE, FALSE, sizeof (double), (guint)n);

  g_array_append_vals (branch, positions, (guint)n);
  g_ptr_array_add (self->branches, branch);
}

gsize
faint_loomis_wood_get_n_rows (const FaintLoomisWood *self)
{
  return self->n_rows;
}

gsize
faint_loomis_wood_get_n_lines (const FaintLoomisWood *self)
{
  return self->n_lines;
}

int
faint_loomis_wood_row (const FaintLoomisWood *self, int number)
{
  gsize first = 0, end = self->n_rows;

  while (first < end)
    {
      gsize middle = (first + end) / 2;

      if (self->rows[middle].number < number)
        first = middle + 1;
      else
        end = middle;
    }
  return first < self->n_rows && self->rows[first].number == number ? (int)first : -1;
}

double
faint_loomis_wood_centre (const FaintLoomisWood *self, int number)
{
  int row = faint_loomis_wood_row (self, number);

  return row >= 0 ? self->rows[row].centre : NAN;
}

gsize
_faint_loomis_wood_from (const FaintLoomisWood *self, double position)
{
  gsize first = 0, end = self->n_lines;

  while (first < end)
    {
      gsize middle = (first + end) / 2;

      if (self->lines[middle].position < position)
        first = middle + 1;
      else
        end = middle;
    }
  return first;
}

void
_faint_loomis_wood_lines (const FaintLoomisWood *self, gsize row, FaintRange across, gsize *first,
                          gsize *end)
{
  double centre = self->rows[row].centre;
  double lower = MAX (across.lower, -self->half), upper = MIN (across.upper, self->half);

  *first = _faint_loomis_wood_from (self, centre + lower);
  /* a line on the border of two periods stands in the upper one alone */
  *end = self->periodic && upper >= self->half
             ? _faint_loomis_wood_from (self, centre + self->half)
             : _faint_loomis_wood_from (self, nextafter (centre + upper, INFINITY));
  *end = MAX (*first, *end);
}

void
_faint_loomis_wood_rows (const FaintLoomisWood *self, FaintRange up, gsize *first, gsize *end)
{
  *first = 0;
  *end = self->n_rows;
  while (*first < *end && self->rows[*first].number < up.lower - 0.5)
    (*first)++;
  while (*end > *first && self->rows[*end - 1].number > up.upper + 0.5)
    (*end)--;
}

/* The line with @id, or NULL. */
static const FaintLoomisWoodLine *
find (const FaintLoomisWood *self, guint id)
{
  for (gsize i = 0; i < self->n_lines; i++)
    if (self->lines[i].id == id)
      return &self->lines[i];
  return NULL;
}

gboolean
faint_loomis_wood_place (const FaintLoomisWood *self, guint id, int *number, double *offset)
{
  const FaintLoomisWoodLine *line = find (self, id);
  double best = INFINITY;

  for (gsize i = 0; line && i < self->n_rows; i++)
    {
      double here = line->position - self->rows[i].centre;

      if (fabs (here) <= self->half && fabs (here) < fabs (best))
        {
          best = here;
          *number = self->rows[i].number;
          *offset = here;
        }
    }
  return isfinite (best);
}

gboolean
faint_loomis_wood_place_in (const FaintLoomisWood *self, guint id, int number, double *offset)
{
  const FaintLoomisWoodLine *line = find (self, id);
  double here;

  if (line == NULL || faint_loomis_wood_row (self, number) < 0)
    return FALSE;
  here = line->position - faint_loomis_wood_centre (self, number);
  if (!(fabs (here) <= self->half))
    return FALSE;
  *offset = here;
  return TRUE;
}

FaintView
faint_loomis_wood_all (const FaintLoomisWood *self)
{
  return (FaintView){ .across = { -1.02 * self->half, 1.02 * self->half },
                      .up
                      = { self->rows[0].number - 0.8, self->rows[self->n_rows - 1].number + 0.8 } };
}

FaintLoomisWoodPick
faint_loomis_wood_at (const FaintLoomisWood *self, const FaintView *view, double x, double y,
                      double reach)
{
  FaintLoomisWoodPick best = { 0, 0 };
  double least = reach, value = faint_view_value (view, y);
  double rows = reach * faint_range_width (view->up) / view->place.height;
  double offset = faint_view_wavenumber (view, x), side = reach * faint_view_unit_width (view);
  gsize first, end;

  _faint_loomis_wood_rows (self, (FaintRange){ value - rows, value + rows }, &first, &end);
  for (gsize row = first; row < end; row++)
    {
      double down = faint_view_y (view, self->rows[row].number) - y;
      gsize from, to;

      _faint_loomis_wood_lines (self, row, (FaintRange){ offset - side, offset + side }, &from,
                                &to);
      for (gsize i = from; i < to; i++)
        {
          double across = faint_view_x (view, self->lines[i].position - self->rows[row].centre) - x;
          double distance = hypot (across, down);

          if (distance <= least)
            {
              least = distance;
              best = (FaintLoomisWoodPick){ self->rows[row].number, self->lines[i].id };
            }
        }
    }
  return best;
}

/* Where the path first crosses the height of a row; FALSE if it does not. */
static gboolean
crossing (const double (*path)[2], gsize n, double y, double *x)
{
  for (gsize i = 0; i + 1 < n; i++)
    {
      double y0 = path[i][1], y1 = path[i + 1][1];

      if ((y0 - y) * (y1 - y) > 0)
        continue;
      *x = y1 == y0 ? path[i][0]
                    : path[i][0] + (y - y0) / (y1 - y0) * (path[i + 1][0] - path[i][0]);
      return TRUE;
    }
  return FALSE;
}

static void
pick_in_row (const FaintLoomisWood *self, const FaintView *view, gsize row, double x, double reach,
             GArray *picks)
{
  double offset = faint_view_wavenumber (view, x), side = reach * faint_view_unit_width (view);
  FaintLoomisWoodPick pick = { self->rows[row].number, 0 };
  double least = INFINITY;
  gsize from, to;

  _faint_loomis_wood_lines (self, row, (FaintRange){ offset - side, offset + side }, &from, &to);
  for (gsize i = from; i < to; i++)
    {
      double distance = fabs (self->lines[i].position - self->rows[row].centre - offset);

      if (distance < least)
        {
          least = distance;
          pick.id = self->lines[i].id;
        }
    }
  if (pick.id)
    g_array_append_val (picks, pick);
}

GArray *
faint_loomis_wood_trace (const FaintLoomisWood *self, const FaintView *view,
                         const double (*path)[2], gsize n, double reach)
{
  GArray *picks = g_array_new (FALSE, FALSE, sizeof (FaintLoomisWoodPick));
  gboolean upwards = n > 1 && path[n - 1][1] <= path[0][1];
  double most = -INFINITY, least = INFINITY;
  gsize first, end;

  for (gsize i = 0; i < n; i++)
    {
      most = MAX (most, faint_view_value (view, path[i][1]));
      least = MIN (least, faint_view_value (view, path[i][1]));
    }
  if (n < 2)
    return picks;
  _faint_loomis_wood_rows (self, (FaintRange){ least, most }, &first, &end);
  for (gsize i = first; i < end; i++)
    {
      gsize row = upwards ? i : end - 1 - (i - first);
      double y = faint_view_y (view, self->rows[row].number), x;
      /* an end of the path that lies within half a row of one means that one */
      double ends[2] = { CLAMP (self->rows[row].number, least, most), 0 };

      ends[1] = fabs (ends[0] - self->rows[row].number) <= 0.5 ? faint_view_y (view, ends[0]) : y;
      if (crossing (path, n, ends[1], &x))
        pick_in_row (self, view, row, x, reach, picks);
    }
  return picks;
}

static FaintLoomisWoodPick
step_aside (const FaintLoomisWood *self, int row, guint id, int lines)
{
  FaintLoomisWoodPick pick = { self->rows[row].number, 0 };
  gsize first, end;

  _faint_loomis_wood_lines (self, (gsize)row, (FaintRange){ -INFINITY, INFINITY }, &first, &end);
  for (gsize i = first; i < end; i++)
    if (self->lines[i].id == id)
      {
        if (lines > 0 && i + 1 < end)
          pick.id = self->lines[i + 1].id;
        else if (lines < 0 && i > first)
          pick.id = self->lines[i - 1].id;
      }
  return pick;
}

FaintLoomisWoodPick
faint_loomis_wood_step (const FaintLoomisWood *self, FaintLoomisWoodPick from, int rows, int lines)
{
  int row = faint_loomis_wood_row (self, from.number);
  const FaintLoomisWoodLine *line = find (self, from.id);

  if (row < 0 || line == NULL)
    return (FaintLoomisWoodPick){ 0, 0 };
  if (rows == 0)
    return step_aside (self, row, from.id, lines);
  for (int next = row + rows; next >= 0 && next < (int)self->n_rows; next += rows)
    {
      FaintLoomisWoodPick pick = { self->rows[next].number, 0 };
      double offset = line->position - self->rows[row].centre, least = INFINITY;
      gsize first, end;

      _faint_loomis_wood_lines (self, (gsize)next, (FaintRange){ -INFINITY, INFINITY }, &first,
                                &end);
      for (gsize i = first; i < end; i++)
        {
          double distance = fabs (self->lines[i].position - self->rows[next].centre - offset);

          if (distance < least)
            {
              least = distance;
              pick.id = self->lines[i].id;
            }
        }
      if (pick.id)
        return pick;
    }
  return (FaintLoomisWoodPick){ 0, 0 };
}
