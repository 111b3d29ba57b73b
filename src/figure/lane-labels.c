/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Names of assigned lines beside their sticks, the strongest first, where there is room.
 */
#include "figure/lane.h"

#include <math.h>

#include "figure/lane-private.h"
#include "figure/transition-name.h"

#define BESIDE 4.5        /* from the middle of a stick, times the canvas' scale */
#define NARROWEST 14.0    /* of a label, times the canvas' scale: a bound before it is measured */
#define MOST_MEASURED 400 /* labels; more would not have room on any screen */

typedef struct
{
  gsize index;
  double strength;
} Candidate;

static int
by_strength (gconstpointer a, gconstpointer b)
{
  const Candidate *x = a, *y = b;

  return (x->strength < y->strength) - (x->strength > y->strength);
}

/* Does @place hide a stick or a label? */
static gboolean
is_free (const FaintView *view, const FaintLineList *lines, gsize index, FaintRect place,
         const GArray *taken)
{
  double right = place.x + place.width;

  for (gsize i = index + 1; i < faint_line_list_get_n (lines); i++)
    {
      const FaintLine *line = faint_line_list_get (lines, i);

      if (faint_view_x (view, line->position.value) > right)
        break;
      if (faint_lane_stick_top (view, line) < place.y + place.height)
        return FALSE;
    }
  for (guint i = 0; i < taken->len; i++)
    {
      const FaintRect *other = &g_array_index (taken, FaintRect, i);

      if (place.x < other->x + other->width && other->x < right
          && place.y < other->y + other->height && other->y < place.y + place.height)
        return FALSE;
    }
  return TRUE;
}

/* Returns whether the label had to be measured. */
static gboolean
draw_label (const FaintCanvas *canvas, const FaintView *view, const FaintLineList *lines,
            gsize index, GArray *taken)
{
  const FaintLine *line = faint_line_list_get (lines, index);
  double height = faint_canvas_text_height (canvas), lane = view->place.y + view->place.height;
  double middle = CLAMP (faint_lane_stick_top (view, line), view->place.y + height / 2,
                         MAX (lane - height / 2, view->place.y + height / 2));
  FaintRect place = { faint_view_x (view, line->position.value) + BESIDE * canvas->scale,
                      middle - height / 2, NARROWEST * canvas->scale, height };
  g_autofree char *name = faint_transition_name (line);

  if (name == NULL || !is_free (view, lines, index, place, taken))
    return FALSE;
  place.width = faint_canvas_text_width (canvas, name);
  if (place.x + place.width <= view->place.x + view->place.width
      && is_free (view, lines, index, place, taken))
    {
      faint_canvas_text (canvas, FAINT_PART_TEXT, name, place.x, middle, 0, 0.5);
      g_array_append_val (taken, place);
    }
  return TRUE;
}

void
faint_lane_stick_labels (const FaintCanvas *canvas, const FaintView *view,
                         const FaintLineList *lines)
{
  gsize first = faint_lane_line_index (lines, view->across.lower);
  gsize end = faint_lane_line_index (lines, nextafter (view->across.upper, INFINITY));
  g_autoptr (GArray) candidates = g_array_new (FALSE, FALSE, sizeof (Candidate));
  g_autoptr (GArray) taken = g_array_new (FALSE, FALSE, sizeof (FaintRect));
  guint measured = 0;

  for (gsize i = first; i < end; i++)
    {
      const FaintLine *line = faint_line_list_get (lines, i);
      Candidate it = { i, line->strength.value > 0 ? line->strength.value : 0 };

      if (*line->upper || *line->lower)
        g_array_append_val (candidates, it);
    }
  g_array_sort (candidates, by_strength);
  faint_canvas_clip (canvas, view->place);
  for (guint i = 0; i < candidates->len && measured < MOST_MEASURED; i++)
    measured
        += draw_label (canvas, view, lines, g_array_index (candidates, Candidate, i).index, taken);
  cairo_restore (canvas->cr);
}
