/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The selected line in the hand: its centre and its width, with the model following.
 */
#include "app/plot/hit.h"
#include "app/plot/plot-private.h"

#include <math.h>
#include <string.h>

/* The model is shown anew this many half widths around the line. */
#define REACH 12.0
/* Narrower than this many units a width cannot be set with the pointer. */
#define LEAST_UNITS 1.0

/* A curve that grows stretch by stretch. */
typedef struct
{
  GArray *x, *y; /* double */
} Curve;

static void
append_stretch (FaintPlot *self, Curve *curve, const FaintFitStretch *stretch)
{
  const double nan = NAN;

  if (curve->x->len > 0)
    {
      g_array_append_val (curve->x, nan);
      g_array_append_val (curve->y, nan);
    }
  g_array_append_vals (curve->x, self->data->spectrum->wavenumber + stretch->first,
                       (guint)stretch->n);
  for (gsize t = 0; t < stretch->n; t++)
    {
      double value = stretch->model_im != NULL ? hypot (stretch->model[t], stretch->model_im[t])
                                               : stretch->model[t];

      g_array_append_val (curve->y, value);
    }
}

static FaintRange
around (const FaintLine *line, double usual)
{
  double reach = REACH * faint_hit_half_width (line, usual);

  return (FaintRange){ line->position.value - reach, line->position.value + reach };
}

static gboolean
append_around (FaintPlot *self, Curve *curve, const FaintLine *line, FaintRange range)
{
  FaintFitStretch stretch;

  if (!faint_fit_preview_evaluate (self->preview, line, range.lower, range.upper, &stretch))
    return FALSE;
  append_stretch (self, curve, &stretch);
  return TRUE;
}

void
faint_plot_preview_line (FaintPlot *self, const FaintLine *line)
{
  const FaintLine *before = faint_line_list_find (self->data->lines, line->id);
  Curve curve;
  FaintRange now, then;

  if (self->data->fit == NULL || before == NULL || isnan (line->doppler.value))
    return;
  if (self->preview == NULL)
    self->preview = faint_fit_preview_new (self->data->fit, self->data->lines);
  curve.x = g_array_new (FALSE, FALSE, sizeof (double));
  curve.y = g_array_new (FALSE, FALSE, sizeof (double));
  now = around (line, faint_plot_usual_half_width (self));
  then = around (before, faint_plot_usual_half_width (self));
  if (then.lower <= now.upper && now.lower <= then.upper)
    append_around (self, &curve, line, faint_range_union (now, then));
  else
    {
      append_around (self, &curve, line, then);
      append_around (self, &curve, line, now);
    }
  faint_plot_marks_set_preview (FAINT_PLOT_MARKS (self->marks),
                                (const double *)(void *)curve.x->data,
                                (const double *)(void *)curve.y->data, curve.x->len);
  g_array_unref (curve.x);
  g_array_unref (curve.y);
}

void
faint_plot_preview_end (FaintPlot *self)
{
  g_clear_pointer (&self->preview, faint_fit_preview_free);
  faint_plot_marks_set_preview (FAINT_PLOT_MARKS (self->marks), NULL, NULL, 0);
}

/* The dragged line as it would be. */
static gboolean
edited_line (FaintPlot *self, FaintLine *line)
{
  const FaintLine *found = faint_line_list_find (self->data->lines, self->drag.line);

  if (found == NULL)
    return FALSE;
  *line = *found;
  if (self->drag.kind == FAINT_DRAG_WIDTH)
    {
      line->lorentz.value = self->drag.lorentz;
      line->lorentz.u = line->lorentz.u_noise = NAN; /* that of another value */
      line->lorentz.state = FAINT_STATE_FREE;
    }
  else
    {
      line->position.value = self->drag.at;
      line->position.u = line->position.u_noise = NAN;
      line->position.state = FAINT_STATE_FREE;
    }
  return TRUE;
}

gboolean
faint_plot_shape_begin (FaintPlot *self, FaintHandle handle)
{
  const FaintLine *line = faint_plot_selected_line (self);

  if (line == NULL || self->fixed || handle == FAINT_HANDLE_NONE)
    return FALSE;
  self->drag.wanted = handle == FAINT_HANDLE_WIDTH ? FAINT_DRAG_WIDTH : FAINT_DRAG_LINE;
  self->drag.line = line->id;
  self->drag.lorentz = line->lorentz.value;
  self->drag.grip = self->drag.from - line->position.value;
  return TRUE;
}

void
faint_plot_shape_update (FaintPlot *self, double wavenumber)
{
  FaintLine line;

  if (self->drag.kind == FAINT_DRAG_WIDTH)
    {
      const FaintLine *found = faint_line_list_find (self->data->lines, self->drag.line);
      double least = LEAST_UNITS * faint_plot_pixel (self);

      if (found == NULL)
        return;
      self->drag.at = wavenumber;
      self->drag.lorentz
          = faint_hit_lorentz (found, MAX (fabs (wavenumber - found->position.value), least));
    }
  else
    {
      self->drag.at = CLAMP (wavenumber - self->drag.grip, self->data->across.lower,
                             self->data->across.upper);
      faint_session_set_pointer (self->session, self->drag.at);
    }
  if (!edited_line (self, &line))
    return;
  faint_plot_preview_line (self, &line);
  faint_session_set_dragged (self->session, &line);
}

void
faint_plot_shape_end (FaintPlot *self, const FaintDrag *drag)
{
  faint_session_set_dragged (self->session, NULL);
  if (drag->kind == FAINT_DRAG_WIDTH)
    g_signal_emit (self, faint_plot_signals[FAINT_PLOT_LINE_WIDENED], 0, drag->line, drag->lorentz);
  else
    g_signal_emit (self, faint_plot_signals[FAINT_PLOT_LINE_MOVED], 0, drag->line, drag->at);
}

/* Of the model at half depth of @line: where the handles of its width are sought. */
static double
half_depth (FaintPlot *self, const FaintLine *line)
{
  gsize at, n;
  const double *model, *baseline;

  if (self->data->model == NULL || self->data->baseline == NULL)
    return NAN;
  at = faint_pyramid_nearest (self->data->model, line->position.value);
  if (at == G_MAXSIZE)
    return NAN;
  model = faint_pyramid_get_y (self->data->model, &n);
  baseline = faint_pyramid_get_y (self->data->baseline, &n);
  return 0.5 * (model[at] + baseline[at]);
}

void
faint_plot_shape_marks (FaintPlot *self, FaintMarks *marks)
{
  const FaintLine *line = faint_plot_selected_line (self);
  FaintLine edited;

  if (line == NULL)
    return;
  marks->line = line->position.value;
  if (self->fixed)
    return;
  marks->half = faint_hit_half_width (line, NAN);
  marks->half_at = half_depth (self, line);
  if ((self->drag.kind != FAINT_DRAG_LINE && self->drag.kind != FAINT_DRAG_WIDTH)
      || !edited_line (self, &edited))
    return;
  if (self->drag.kind == FAINT_DRAG_LINE)
    {
      marks->line_from = marks->line;
      marks->line = self->drag.at;
    }
  marks->half = faint_hit_half_width (&edited, NAN);
  marks->cross = marks->cross_y = NAN;
}

/* A step in half widths at most, so that no step carries a line away where all is in view. */
#define KEY_STEP 0.1

/* Keys do what a drag by so many pixels would, one step each. */
static const FaintLine *
line_for_keys (FaintPlot *self)
{
  if (self->fixed || !(faint_plot_pixel (self) > 0))
    return NULL;
  return faint_plot_selected_line (self);
}

static double
key_step (FaintPlot *self, const FaintLine *line)
{
  return MIN (faint_plot_pixel (self),
              KEY_STEP * faint_hit_half_width (line, faint_plot_usual_half_width (self)));
}

void
faint_plot_act_move_line (GtkWidget *widget, const char *name, GVariant *pixels)
{
  FaintPlot *self = FAINT_PLOT (widget);
  const FaintLine *found = line_for_keys (self);
  FaintLine line;

  if (found == NULL)
    return;
  line = *found;
  line.position.value
      = CLAMP (line.position.value + g_variant_get_int32 (pixels) * key_step (self, found),
               self->data->across.lower, self->data->across.upper);
  line.position.state = FAINT_STATE_FREE;
  faint_plot_preview_line (self, &line);
  g_signal_emit (self, faint_plot_signals[FAINT_PLOT_LINE_MOVED], 0, line.id, line.position.value);
}

void
faint_plot_act_widen_line (GtkWidget *widget, const char *name, GVariant *pixels)
{
  FaintPlot *self = FAINT_PLOT (widget);
  const FaintLine *found = line_for_keys (self);
  double half;
  FaintLine line;

  if (found == NULL)
    return;
  line = *found;
  half = faint_hit_half_width (found, faint_plot_usual_half_width (self))
         + g_variant_get_int32 (pixels) * key_step (self, found);
  line.lorentz.value = faint_hit_lorentz (found, MAX (half, key_step (self, found)));
  line.lorentz.state = FAINT_STATE_FREE;
  faint_plot_preview_line (self, &line);
  g_signal_emit (self, faint_plot_signals[FAINT_PLOT_LINE_WIDENED], 0, line.id, line.lorentz.value);
}
