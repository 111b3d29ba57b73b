/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/plot/draw.h"
#include "app/plot/columns.h"
#include "app/plot/sticks.h"
#include "app/plot/theme.h"

#include <glib/gi18n.h>
#include <math.h>

static graphene_rect_t
bounds_of (FaintRect rect)
{
  return GRAPHENE_RECT_INIT (rect.x, rect.y, rect.width, rect.height);
}

/* The canvas with a context of its own over @rect; end it with cairo_destroy(). */
static FaintCanvas
begin_cairo (FaintDrawing *self, FaintRect rect)
{
  FaintCanvas canvas = self->canvas;
  graphene_rect_t bounds = bounds_of (rect);

  canvas.cr = gtk_snapshot_append_cairo (self->snapshot, &bounds);
  return canvas;
}

static const FaintPen *
pen_of (FaintDrawing *self, FaintPart part)
{
  return &self->canvas.palette->pen[part];
}

static void
append_samples (FaintDrawing *self, const FaintView *view, const FaintPyramid *samples,
                const double *u, FaintPart part)
{
  FaintCanvas canvas;

  if (samples == NULL)
    return;
  if (faint_columns_suit (view, samples, self->device))
    {
      faint_columns_append (self->snapshot, view, samples, pen_of (self, part), self->device,
                            FALSE);
      return;
    }
  canvas = begin_cairo (self, view->place);
  faint_lane_samples (&canvas, view, samples, u, part);
  cairo_destroy (canvas.cr);
}

static void
append_curve (FaintDrawing *self, const FaintView *view, const FaintPyramid *curve, FaintPart part)
{
  FaintCanvas canvas;

  if (curve == NULL)
    return;
  if (faint_columns_suit (view, curve, self->device))
    {
      faint_columns_append (self->snapshot, view, curve, pen_of (self, part), self->device, TRUE);
      return;
    }
  canvas = begin_cairo (self, view->place);
  cairo_set_antialias (canvas.cr, CAIRO_ANTIALIAS_FAST);
  faint_lane_curve (&canvas, view, curve, self->data->gap, part);
  cairo_destroy (canvas.cr);
}

/* Samples with their model, and what else runs with it. */
static void
append_modelled (FaintDrawing *self, const FaintView *view, const FaintPyramid *samples,
                 const double *u, FaintPart part, const FaintPyramid *baseline,
                 const FaintPyramid *model)
{
  gboolean over = samples != NULL && faint_lane_samples_apart (&self->measure, view, samples);

  if (!over)
    append_samples (self, view, samples, u, part);
  append_curve (self, view, baseline, FAINT_PART_BASELINE);
  append_curve (self, view, model, FAINT_PART_MODEL);
  if (over)
    append_samples (self, view, samples, u, part);
}

static void
append_list (FaintDrawing *self, const FaintView *view, const FaintLineList *lines, FaintPart part)
{
  FaintCanvas canvas;

  if (lines == NULL)
    return;
  if (faint_sticks_suit (view, lines, pen_of (self, part)))
    {
      faint_sticks_append (self->snapshot, view, lines, pen_of (self, part), self->device);
      return;
    }
  canvas = begin_cairo (self, view->place);
  faint_lane_sticks (&canvas, view, lines, part);
  cairo_destroy (canvas.cr);
}

static void
append_sticks (FaintDrawing *self, const FaintView *view)
{
  append_list (self, view, self->figure->predicted, FAINT_PART_PREDICTED);
  append_list (self, view, self->figure->given, FAINT_PART_GIVEN);
  append_list (self, view, self->data->lines, FAINT_PART_FITTED);
  append_list (self, view, self->figure->not_seen, FAINT_PART_NOT_SEEN);
  append_list (self, view, self->figure->not_claimed, FAINT_PART_NOT_CLAIMED);
  if (self->data->lines != NULL)
    {
      FaintCanvas canvas = begin_cairo (self, view->place);

      faint_lane_stick_labels (&canvas, view, self->data->lines);
      cairo_destroy (canvas.cr);
    }
}

static void
append_guides (FaintDrawing *self, const FaintView *view)
{
  FaintCanvas canvas = begin_cairo (self, view->place);

  faint_lane_guides (&canvas, view);
  cairo_destroy (canvas.cr);
}

static void
append_other_residual (FaintDrawing *self, const FaintView *view)
{
  const FaintOtherTrace *other = self->figure->other;

  if (other == NULL)
    return;
  append_samples (self, view, other->residual_across, NULL, FAINT_PART_OTHER_MODEL);
  append_samples (self, view, other->residual, NULL, FAINT_PART_OTHER_MODEL);
}

/* Another model, dashed, and which is which. */
static void
append_other (FaintDrawing *self, FaintLaneKind lane)
{
  const FaintView *view = &self->layout->view[lane];
  FaintSpectrumFigure figure = *self->figure;
  FaintLegendEntry entries[2];
  const FaintPyramid *const traces[]
      = { self->data->used, self->data->model, faint_spectrum_figure_other (&figure, lane) };
  FaintRect place;
  guint n;

  if (figure.fitted_words == NULL)
    figure.fitted_words = _ ("fitted");
  if (figure.other_words == NULL)
    figure.other_words = _ ("what if");
  n = faint_spectrum_figure_legend (&figure, self->data, entries);
  append_curve (self, view, faint_spectrum_figure_other (&figure, lane), FAINT_PART_OTHER_MODEL);
  if (lane == FAINT_LANE_MEASUREMENT
      && faint_legend_place (&self->measure, view, traces, G_N_ELEMENTS (traces), entries, n,
                             &place))
    {
      FaintCanvas canvas = begin_cairo (self, place);

      faint_legend_draw (&canvas, place, entries, n);
      cairo_destroy (canvas.cr);
    }
}

static void
append_lane (FaintDrawing *self, FaintLaneKind lane)
{
  const FaintView *view = &self->layout->view[lane];
  const FaintFigureData *data = self->data;
  const double *u = self->figure->error_bars ? data->spectrum->u : NULL;

  switch (lane)
    {
    case FAINT_LANE_MEASUREMENT:
      append_samples (self, view, data->excluded, NULL, FAINT_PART_EXCLUDED);
      append_modelled (self, view, data->used, u, FAINT_PART_OBSERVED,
                       self->figure->baseline ? data->baseline : NULL, data->model);
      break;
    case FAINT_LANE_ABSORPTION:
      append_modelled (self, view, data->absorption,
                       self->figure->error_bars ? data->absorption_u : NULL, FAINT_PART_ABSORPTION,
                       NULL, data->absorption_model);
      break;
    case FAINT_LANE_PHASE:
      append_modelled (self, view, data->phase, NULL, FAINT_PART_PHASE, NULL, data->phase_model);
      break;
    case FAINT_LANE_RESIDUAL:
      append_samples (self, view, data->residual_across, NULL, FAINT_PART_RESIDUAL_ACROSS);
      append_samples (self, view, data->residual, NULL, FAINT_PART_RESIDUAL);
      append_other_residual (self, view);
      append_guides (self, view);
      break;
    case FAINT_LANE_STICKS:
      append_sticks (self, view);
      break;
    case FAINT_LANE_N:
      break;
    }
}

/* Quantity and unit of the values of a lane. */
static const char *
label_of (const FaintFigureData *data, FaintLaneKind lane, const char **symbol)
{
  *symbol = NULL;
  switch (lane)
    {
    case FAINT_LANE_MEASUREMENT:
      if (data->spectrum->setup->observable == FAINT_OBSERVABLE_POWER)
        return _ ("power transmission");
      return _ ("field amplitude");
    case FAINT_LANE_ABSORPTION:
      *symbol = "cm⁻¹";
      return _ ("absorption");
    case FAINT_LANE_PHASE:
      *symbol = "rad";
      return _ ("phase");
    case FAINT_LANE_RESIDUAL:
      return _ ("residual/σ");
    case FAINT_LANE_STICKS:
      *symbol = _ ("(cm/molecule)");
      return _ ("strength");
    case FAINT_LANE_N:
      break;
    }
  return NULL;
}

/* Ticks are labelled below the last lane only: the axis is shared. */
static FaintLaneKind
last_lane (const FaintFigureLayout *layout)
{
  for (int i = FAINT_LANE_N - 1; i >= 0; i--)
    if (layout->visible[i])
      return i;
  return FAINT_LANE_N;
}

/* What faint_axis_unit_quantity() says, for the catalogues. */
static G_GNUC_UNUSED const char *const quantities[]
    = { N_ ("wavenumber"), N_ ("frequency"), N_ ("vacuum wavelength"), N_ ("tooth number") };

static FaintFrame
frame_of (FaintDrawing *self, FaintLaneKind lane)
{
  const char *symbol, *label = label_of (self->data, lane, &symbol);

  return (FaintFrame){
    .unit = self->figure->unit,
    .across = _ (faint_axis_unit_quantity (self->figure->unit.kind)),
    .ticks_across = lane == last_lane (self->layout),
    .label = label,
    .brief = faint_spectrum_figure_symbol (self->data, lane),
    .symbol = symbol,
    .logarithmic = lane == FAINT_LANE_STICKS,
    .grid = self->figure->grid,
  };
}

/* Plain colour where that is all; the background of a lane is that of the whole. */
static void
append_backgrounds (FaintDrawing *self)
{
  gboolean windows = self->figure->windows && self->data->fit != NULL;

  for (int lane = 0; lane < FAINT_LANE_N && (windows || self->figure->grid); lane++)
    if (self->layout->visible[lane])
      {
        const FaintView *view = &self->layout->view[lane];
        FaintFrame frame = frame_of (self, lane);
        FaintCanvas canvas = begin_cairo (self, view->place);

        faint_lane_background (&canvas, view, &frame);
        if (windows)
          faint_lane_windows (&canvas, view, self->data->fit);
        cairo_destroy (canvas.cr);
      }
}

static void
append_frame_part (FaintDrawing *self, FaintLaneKind lane, FaintRect part)
{
  FaintCanvas canvas = begin_cairo (self, part);
  FaintFrame frame = frame_of (self, lane);

  faint_lane_frame (&canvas, &self->layout->view[lane], &frame);
  cairo_destroy (canvas.cr);
}

/* The strips left of a lane and below it, since a drawing with cairo costs its area. They meet
 * without overlap, on whole pixels. */
static void
append_frame (FaintDrawing *self, FaintLaneKind lane)
{
  FaintRect at = self->layout->view[lane].place, all = self->place;
  double beside = ceil (0.5 * faint_canvas_text_height (&self->measure)); /* half of a label */
  double bottom = at.y + at.height, left = at.x + 1, right = all.x + all.width;

  if (lane == last_lane (self->layout))
    {
      append_frame_part (self, lane, (FaintRect){ all.x, at.y - beside, left - all.x, at.height });
      append_frame_part (
          self, lane,
          (FaintRect){ all.x, bottom - beside, all.width, all.y + all.height - bottom + beside });
    }
  else
    {
      append_frame_part (self, lane,
                         (FaintRect){ all.x, at.y - beside, left - all.x, at.height + 2 * beside });
      append_frame_part (self, lane,
                         (FaintRect){ left, bottom - beside, right - left, beside + 1 });
    }
}

/* What of a frame stands inside its lane. */
static void
append_corner (FaintDrawing *self, FaintLaneKind lane)
{
  FaintFrame frame = frame_of (self, lane);
  FaintRect corner;

  if (faint_lane_corner (&self->measure, &self->layout->view[lane], &frame, &corner))
    append_frame_part (self, lane, corner);
}

static void
append_distribution (FaintDrawing *self)
{
  FaintRect place = self->layout->distribution;
  FaintCanvas canvas;

  if (!(place.width > 4))
    return;
  canvas = begin_cairo (self, place);
  faint_lane_distribution (&canvas, place, self->layout->view[FAINT_LANE_RESIDUAL].up,
                           &self->data->residual_distribution);
  cairo_destroy (canvas.cr);
}

void
faint_drawing_append (FaintDrawing *self)
{
  GdkRGBA background = faint_plot_rgba (self->canvas.palette, FAINT_PART_BACKGROUND);
  graphene_rect_t bounds = bounds_of (self->bounds);

  gtk_snapshot_append_color (self->snapshot, &background, &bounds);
  if (self->layout == NULL)
    return;
  append_backgrounds (self);
  for (int lane = 0; lane < FAINT_LANE_N; lane++)
    if (self->layout->visible[lane])
      {
        graphene_rect_t clip = bounds_of (self->layout->view[lane].place);

        gtk_snapshot_push_clip (self->snapshot, &clip);
        append_lane (self, lane);
        append_other (self, lane);
        gtk_snapshot_pop (self->snapshot);
      }
  for (int lane = 0; lane < FAINT_LANE_N; lane++)
    if (self->layout->visible[lane])
      {
        append_frame (self, lane);
        append_corner (self, lane);
      }
  append_distribution (self);
}
