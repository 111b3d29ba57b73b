/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/spectrum-figure.h"

#include <math.h>

/* Residuals always show the guides at +-3. */
#define RESIDUAL_LEAST 4.0
/* Of the width, and at most this many heights of text. */
#define DISTRIBUTION_SHARE 0.09
#define DISTRIBUTION_MOST 6.0

void
faint_spectrum_figure_init (FaintSpectrumFigure *self)
{
  static const double share[FAINT_LANE_N] = { 4.0, 3.0, 2.0, 2.0, 2.0 };

  *self = (FaintSpectrumFigure){
    .unit = FAINT_AXIS_UNIT_DEFAULT,
    .error_bars = TRUE,
    .baseline = TRUE,
    .distribution = TRUE,
    .frame_labels = TRUE,
    .range = { NAN, NAN },
  };
  for (int lane = 0; lane < FAINT_LANE_N; lane++)
    {
      self->show[lane] = TRUE;
      self->share[lane] = share[lane];
      self->up[lane] = (FaintRange){ NAN, NAN };
    }
}

static gboolean
has_sticks (const FaintSpectrumFigure *self, const FaintFigureData *data)
{
  const FaintLineList *lists[] = { data->lines, self->given, self->predicted };
  for (guint i = 0; i < G_N_ELEMENTS (lists); i++)
    if (lists[i] != NULL && faint_line_list_get_n (lists[i]) > 0)
      return TRUE;
  return FALSE;
}

static gboolean
is_visible (const FaintSpectrumFigure *self, const FaintFigureData *data, FaintLaneKind lane)
{
  const gboolean has_data[FAINT_LANE_N] = {
    [FAINT_LANE_MEASUREMENT] = TRUE,
    [FAINT_LANE_ABSORPTION] = data->absorption != NULL,
    [FAINT_LANE_PHASE] = data->phase != NULL,
    [FAINT_LANE_RESIDUAL] = data->residual != NULL || self->other != NULL,
    [FAINT_LANE_STICKS] = has_sticks (self, data),
  };
  return self->show[lane] && has_data[lane];
}

/* What @samples reach in view, or, where none lies in it, those on either side of it. */
static gboolean
extent_of (const FaintPyramid *samples, FaintRange across, FaintRange *reach)
{
  if (samples == NULL)
    return FALSE;
  if (faint_pyramid_extent_across (samples, across, reach))
    return TRUE;
  gsize at = faint_pyramid_index (samples, across.lower);
  return faint_pyramid_extent (samples, at > 0 ? at - 1 : 0, at + 1, reach);
}

static FaintRange
reach_of (const FaintPyramid *samples, const FaintPyramid *curve, const FaintPyramid *other,
          FaintRange across)
{
  const FaintPyramid *all[] = { samples, curve, other };
  FaintRange reach = { NAN, NAN }, one;

  for (guint i = 0; i < G_N_ELEMENTS (all); i++)
    if (extent_of (all[i], across, &one))
      {
        reach.lower = fmin (reach.lower, one.lower);
        reach.upper = fmax (reach.upper, one.upper);
      }
  if (isnan (reach.lower))
    return (FaintRange){ 0.0, 1.0 };
  return faint_range_padded (reach, 0.06);
}

static FaintRange
residual_reach (const FaintFigureData *data, const FaintOtherTrace *other, FaintRange across)
{
  const FaintPyramid *parts[]
      = { data->residual, data->residual_across, other != NULL ? other->residual : NULL,
          other != NULL ? other->residual_across : NULL };
  FaintRange reach;
  double most = RESIDUAL_LEAST;

  for (guint i = 0; i < G_N_ELEMENTS (parts); i++)
    if (parts[i] != NULL && faint_pyramid_extent_across (parts[i], across, &reach))
      most = MAX (most, 1.1 * MAX (fabs (reach.lower), fabs (reach.upper)));
  return (FaintRange){ -most, most };
}

/* Over the whole lists, so that a stick keeps its height when the view moves. */
static FaintRange
sticks_reach (const FaintSpectrumFigure *self, const FaintFigureData *data)
{
  const FaintLineList *lists[] = { data->lines, self->given, self->predicted };
  FaintRange reach = { NAN, NAN }, one;

  for (guint i = 0; i < G_N_ELEMENTS (lists); i++)
    if (faint_lane_sticks_range (lists[i], &one))
      reach = faint_range_union (reach, one);
  return faint_range_is_valid (reach) ? reach : (FaintRange){ -28.0, -22.0 };
}

static FaintRange
range_up (const FaintSpectrumFigure *self, const FaintFigureData *data, FaintRange across,
          FaintLaneKind lane)
{
  const FaintOtherTrace none = { NULL }, *other = self->other != NULL ? self->other : &none;

  if (faint_range_is_valid (self->up[lane]))
    return self->up[lane];
  switch (lane)
    {
    case FAINT_LANE_MEASUREMENT:
      return reach_of (data->used, data->model, other->model, across);
    case FAINT_LANE_ABSORPTION:
      return reach_of (data->absorption, data->absorption_model, other->absorption, across);
    case FAINT_LANE_PHASE:
      return reach_of (data->phase, data->phase_model, other->phase, across);
    case FAINT_LANE_RESIDUAL:
      return residual_reach (data, self->other, across);
    case FAINT_LANE_STICKS:
    case FAINT_LANE_N:
      break;
    }
  return sticks_reach (self, data);
}

/* The part of @place that all lanes share, on the pixel grid where there is one. */
static FaintRect
plots_of (const FaintSpectrumFigure *self, const FaintCanvas *canvas, FaintRect place,
          gboolean distribution)
{
  double text = faint_canvas_text_height (canvas);
  double left = self->frame_labels ? faint_frame_left (canvas) : 0.25 * text;
  double bottom = self->frame_labels ? faint_frame_bottom (canvas) : 0.25 * text;
  double right = self->frame_labels ? faint_frame_right (canvas) : 0.25 * text;
  FaintRect plots = { place.x + left, place.y + 0.5 * text, 0.0, 0.0 };

  if (distribution)
    right = MAX (right, MIN (DISTRIBUTION_SHARE * place.width, DISTRIBUTION_MOST * text));
  plots.width = place.x + place.width - right - plots.x;
  plots.height = place.y + place.height - bottom - plots.y;
  if (canvas->snap)
    plots
        = (FaintRect){ ceil (plots.x), ceil (plots.y), floor (plots.width), floor (plots.height) };
  plots.width = MAX (plots.width, 1.0);
  plots.height = MAX (plots.height, 1.0);
  return plots;
}

void
faint_spectrum_figure_layout (const FaintSpectrumFigure *self, const FaintCanvas *canvas,
                              FaintRect place, const FaintFigureData *data, FaintRange across,
                              FaintFigureLayout *layout)
{
  double total = 0.0, lanes = 0.0, space = 0.5 * faint_canvas_text_height (canvas);

  *layout = (FaintFigureLayout){ 0 };
  for (int lane = 0; lane < FAINT_LANE_N; lane++)
    {
      layout->visible[lane] = is_visible (self, data, lane);
      total += layout->visible[lane] ? self->share[lane] : 0.0;
      lanes += layout->visible[lane];
    }
  gboolean distribution = self->distribution && layout->visible[FAINT_LANE_RESIDUAL];
  FaintRect plots = plots_of (self, canvas, place, distribution);
  double height = plots.height - (lanes - 1.0) * space, top = plots.y;

  layout->plots = plots;
  for (int lane = 0; lane < FAINT_LANE_N; lane++)
    {
      if (!layout->visible[lane])
        continue;
      double bottom = top + MAX (height * self->share[lane] / total, 1.0);
      FaintRect at = { plots.x, top, plots.width, bottom - top };
      if (canvas->snap)
        {
          at.y = floor (top);
          at.height = MAX (floor (bottom) - at.y, 1.0);
        }
      layout->view[lane] = (FaintView){ across, range_up (self, data, across, lane), at };
      top = bottom + space;
    }
  if (distribution)
    {
      FaintRect at = layout->view[FAINT_LANE_RESIDUAL].place;
      double right = place.x + place.width - 1.0;
      layout->distribution = (FaintRect){ at.x + at.width + 1.0, at.y,
                                          MAX (right - at.x - at.width - 1.0, 0.0), at.height };
    }
}

const FaintPyramid *
faint_spectrum_figure_other (const FaintSpectrumFigure *self, FaintLaneKind lane)
{
  const FaintOtherTrace *other = self->other;

  if (other == NULL)
    return NULL;
  switch (lane)
    {
    case FAINT_LANE_MEASUREMENT:
      return other->model;
    case FAINT_LANE_ABSORPTION:
      return other->absorption;
    case FAINT_LANE_PHASE:
      return other->phase;
    case FAINT_LANE_RESIDUAL:
    case FAINT_LANE_STICKS:
    case FAINT_LANE_N:
      break;
    }
  return NULL;
}

guint
faint_spectrum_figure_legend (const FaintSpectrumFigure *self, const FaintFigureData *data,
                              FaintLegendEntry *entries)
{
  guint n = 0;

  if (self->other == NULL)
    return 0;
  if (data->model != NULL)
    entries[n++] = (FaintLegendEntry){ FAINT_PART_MODEL,
                                       self->fitted_words != NULL ? self->fitted_words : "fitted" };
  entries[n++] = (FaintLegendEntry){ FAINT_PART_OTHER_MODEL,
                                     self->other_words != NULL ? self->other_words : "what if" };
  return n;
}

FaintLaneKind
faint_figure_layout_lane_at (const FaintFigureLayout *self, double x, double y)
{
  for (int lane = 0; lane < FAINT_LANE_N; lane++)
    if (self->visible[lane] && faint_rect_contains (self->view[lane].place, x, y))
      return lane;
  return FAINT_LANE_N;
}

static const char *
measurement_label (const FaintFigureData *data)
{
  switch (data->spectrum->setup->observable)
    {
    case FAINT_OBSERVABLE_POWER:
      return "power transmission";
    case FAINT_OBSERVABLE_AMPLITUDE:
    case FAINT_OBSERVABLE_FIELD:
      break;
    }
  return "field amplitude";
}

const char *
faint_spectrum_figure_symbol (const FaintFigureData *data, FaintLaneKind lane)
{
  static const char *const symbols[FAINT_LANE_N] = {
    [FAINT_LANE_MEASUREMENT] = "T", [FAINT_LANE_ABSORPTION] = "α", [FAINT_LANE_PHASE] = "φ",
    [FAINT_LANE_RESIDUAL] = "r/σ",  [FAINT_LANE_STICKS] = "S",
  };

  if (lane == FAINT_LANE_MEASUREMENT && data->spectrum->setup->observable != FAINT_OBSERVABLE_POWER)
    return "|E/E₀|";
  return lane < FAINT_LANE_N ? symbols[lane] : NULL;
}

static FaintFrame
frame_of (const FaintSpectrumFigure *self, const FaintFigureData *data, FaintLaneKind lane,
          gboolean is_last)
{
  const char *const labels[FAINT_LANE_N] = {
    [FAINT_LANE_MEASUREMENT] = measurement_label (data),
    [FAINT_LANE_ABSORPTION] = "absorption",
    [FAINT_LANE_PHASE] = "phase",
    [FAINT_LANE_RESIDUAL] = "residual/σ",
    [FAINT_LANE_STICKS] = "strength",
  };
  static const char *const symbols[FAINT_LANE_N] = {
    [FAINT_LANE_ABSORPTION] = "cm⁻¹",
    [FAINT_LANE_PHASE] = "rad",
    [FAINT_LANE_STICKS] = "(cm/molecule)",
  };
  return (FaintFrame){
    .unit = self->unit,
    .ticks_across = is_last,
    .label = labels[lane],
    .brief = faint_spectrum_figure_symbol (data, lane),
    .symbol = symbols[lane],
    .logarithmic = lane == FAINT_LANE_STICKS,
    .grid = self->grid,
  };
}

/* Samples with their model, and what else runs with it. */
static void
draw_modelled (const FaintCanvas *canvas, const FaintView *view, const FaintFigureData *data,
               const FaintPyramid *samples, const double *u, FaintPart part,
               const FaintPyramid *baseline, const FaintPyramid *model)
{
  gboolean over = faint_lane_samples_apart (canvas, view, samples);

  if (!over)
    faint_lane_samples (canvas, view, samples, u, part);
  if (baseline != NULL)
    faint_lane_curve (canvas, view, baseline, data->gap, FAINT_PART_BASELINE);
  if (model != NULL)
    faint_lane_curve (canvas, view, model, data->gap, FAINT_PART_MODEL);
  if (over)
    faint_lane_samples (canvas, view, samples, u, part);
}

static void
draw_measurement (const FaintSpectrumFigure *self, const FaintCanvas *canvas, const FaintView *view,
                  const FaintFigureData *data)
{
  const double *u = self->error_bars ? data->spectrum->u : NULL;

  if (data->excluded != NULL)
    faint_lane_samples (canvas, view, data->excluded, NULL, FAINT_PART_EXCLUDED);
  draw_modelled (canvas, view, data, data->used, u, FAINT_PART_OBSERVED,
                 self->baseline ? data->baseline : NULL, data->model);
}

static void
draw_residual (const FaintSpectrumFigure *self, const FaintCanvas *canvas, const FaintView *view,
               const FaintFigureData *data)
{
  const FaintOtherTrace *other = self->other;

  if (data->residual_across != NULL)
    faint_lane_samples (canvas, view, data->residual_across, NULL, FAINT_PART_RESIDUAL_ACROSS);
  if (data->residual != NULL)
    faint_lane_samples (canvas, view, data->residual, NULL, FAINT_PART_RESIDUAL);
  if (other != NULL && other->residual_across != NULL)
    faint_lane_samples (canvas, view, other->residual_across, NULL, FAINT_PART_OTHER_MODEL);
  if (other != NULL)
    faint_lane_samples (canvas, view, other->residual, NULL, FAINT_PART_OTHER_MODEL);
  faint_lane_guides (canvas, view);
}

static void
draw_sticks (const FaintSpectrumFigure *self, const FaintCanvas *canvas, const FaintView *view,
             const FaintFigureData *data)
{
  if (self->predicted != NULL)
    faint_lane_sticks (canvas, view, self->predicted, FAINT_PART_PREDICTED);
  if (self->given != NULL)
    faint_lane_sticks (canvas, view, self->given, FAINT_PART_GIVEN);
  if (data->lines != NULL)
    {
      faint_lane_sticks (canvas, view, data->lines, FAINT_PART_FITTED);
      faint_lane_stick_labels (canvas, view, data->lines);
    }
  if (self->not_seen != NULL)
    faint_lane_sticks (canvas, view, self->not_seen, FAINT_PART_NOT_SEEN);
  if (self->not_claimed != NULL)
    faint_lane_sticks (canvas, view, self->not_claimed, FAINT_PART_NOT_CLAIMED);
}

/* The other model over the fitted one, dashed. */
static void
draw_other (const FaintSpectrumFigure *self, const FaintCanvas *canvas, const FaintView *view,
            const FaintFigureData *data, FaintLaneKind lane)
{
  const FaintPyramid *curve = faint_spectrum_figure_other (self, lane);
  FaintLegendEntry entries[2];
  guint n = faint_spectrum_figure_legend (self, data, entries);
  const FaintPyramid *const traces[] = { data->used, data->model, curve };
  FaintRect place;

  if (curve != NULL)
    faint_lane_curve (canvas, view, curve, data->gap, FAINT_PART_OTHER_MODEL);
  if (lane == FAINT_LANE_MEASUREMENT
      && faint_legend_place (canvas, view, traces, G_N_ELEMENTS (traces), entries, n, &place))
    faint_legend_draw (canvas, place, entries, n);
}

static void
draw_content (const FaintSpectrumFigure *self, const FaintCanvas *canvas, const FaintView *view,
              const FaintFigureData *data, FaintLaneKind lane)
{
  switch (lane)
    {
    case FAINT_LANE_MEASUREMENT:
      draw_measurement (self, canvas, view, data);
      break;
    case FAINT_LANE_ABSORPTION:
      draw_modelled (canvas, view, data, data->absorption,
                     self->error_bars ? data->absorption_u : NULL, FAINT_PART_ABSORPTION, NULL,
                     data->absorption_model);
      break;
    case FAINT_LANE_PHASE:
      draw_modelled (canvas, view, data, data->phase, NULL, FAINT_PART_PHASE, NULL,
                     data->phase_model);
      break;
    case FAINT_LANE_RESIDUAL:
      draw_residual (self, canvas, view, data);
      break;
    case FAINT_LANE_STICKS:
      draw_sticks (self, canvas, view, data);
      break;
    case FAINT_LANE_N:
      break;
    }
}

static void
draw_lane (const FaintSpectrumFigure *self, const FaintCanvas *canvas, const FaintView *view,
           const FaintFigureData *data, FaintLaneKind lane, gboolean is_last)
{
  FaintFrame frame = frame_of (self, data, lane, is_last);
  const FaintLine *selected
      = data->lines != NULL ? faint_line_list_find (data->lines, self->selected) : NULL;

  faint_lane_background (canvas, view, &frame);
  if (faint_range_is_valid (self->range))
    faint_lane_range (canvas, view, self->range);
  if (selected != NULL)
    faint_lane_mark (canvas, view, selected->position.value);
  if (self->windows && data->fit != NULL)
    faint_lane_windows (canvas, view, data->fit);
  draw_content (self, canvas, view, data, lane);
  draw_other (self, canvas, view, data, lane);
  if (self->frame_labels)
    faint_lane_frame (canvas, view, &frame);
}

void
faint_spectrum_figure_draw (const FaintSpectrumFigure *self, const FaintCanvas *canvas,
                            FaintRect place, const FaintFigureData *data, FaintRange across)
{
  FaintFigureLayout layout;
  int last = 0;

  if (!faint_range_is_valid (across))
    return;
  faint_spectrum_figure_layout (self, canvas, place, data, across, &layout);
  faint_canvas_clip (canvas, place);
  for (int lane = 0; lane < FAINT_LANE_N; lane++)
    last = layout.visible[lane] ? lane : last;
  for (int lane = 0; lane < FAINT_LANE_N; lane++)
    if (layout.visible[lane])
      draw_lane (self, canvas, &layout.view[lane], data, lane, lane == last);
  if (layout.distribution.width > 4.0)
    faint_lane_distribution (canvas, layout.distribution, layout.view[FAINT_LANE_RESIDUAL].up,
                             &data->residual_distribution);
  cairo_restore (canvas->cr);
}
