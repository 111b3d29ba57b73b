/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/plot/area.h"
#include "app/plot/draw.h"
#include "app/plot/theme.h"

#include <math.h>

/* A range of values is chosen anew when what is in view fills less than this share of it. */
#define FILLED 0.55

struct _FaintPlotArea
{
  GtkWidget parent;

  FaintFigureData *data;
  FaintRange across;
  FaintSpectrumFigure figure; /* as set; owns given, predicted and other */
  FaintRange held[FAINT_LANE_N];

  FaintPaletteKind palette;
  PangoFontDescription *font;
  cairo_t *measure; /* for the sizes of texts */

  gboolean laid_out; /* layout is that of all the above */
  FaintFigureLayout layout;
  GskRenderNode *node; /* the drawing, or NULL */
  guint drawn;
};

enum
{
  LAID_OUT,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintPlotArea, faint_plot_area, GTK_TYPE_WIDGET)

static void
forget (FaintPlotArea *self)
{
  self->laid_out = FALSE;
  g_clear_pointer (&self->node, gsk_render_node_unref);
  gtk_widget_queue_draw (GTK_WIDGET (self));
  g_signal_emit (self, signals[LAID_OUT], 0);
}

static void
forget_ranges (FaintPlotArea *self)
{
  for (int i = 0; i < FAINT_LANE_N; i++)
    self->held[i] = (FaintRange){ NAN, NAN };
}

FaintRange
faint_plot_area_steady (FaintRange held, FaintRange wanted)
{
  if (!faint_range_is_valid (held) || !faint_range_is_valid (wanted))
    return wanted;
  if (wanted.lower < held.lower || wanted.upper > held.upper)
    return wanted;
  return faint_range_width (wanted) < FILLED * faint_range_width (held) ? wanted : held;
}

static FaintCanvas
canvas_on (FaintPlotArea *self, cairo_t *cr)
{
  return faint_canvas_for_screen (cr, faint_palette_get (self->palette), self->font,
                                  gtk_widget_get_scale_factor (GTK_WIDGET (self)));
}

/* Room for the frame that shows the focus. */
#define INSET 3

static FaintRect
bounds_of (FaintPlotArea *self)
{
  return (FaintRect){ 0, 0, gtk_widget_get_width (GTK_WIDGET (self)),
                      gtk_widget_get_height (GTK_WIDGET (self)) };
}

static FaintRect
place_of (FaintPlotArea *self)
{
  FaintRect bounds = bounds_of (self);

  return (FaintRect){ INSET, INSET, MAX (bounds.width - 2 * INSET, 1),
                      MAX (bounds.height - 2 * INSET, 1) };
}

/* Lanes for the present size and view, with steady ranges of values. */
static void
lay_out (FaintPlotArea *self)
{
  FaintCanvas canvas = canvas_on (self, self->measure);
  FaintSpectrumFigure figure = self->figure;

  faint_spectrum_figure_layout (&figure, &canvas, place_of (self), self->data, self->across,
                                &self->layout);
  for (int i = 0; i < FAINT_LANE_N; i++)
    if (self->layout.visible[i] && !faint_range_is_valid (self->figure.up[i]))
      {
        self->held[i] = faint_plot_area_steady (self->held[i], self->layout.view[i].up);
        self->layout.view[i].up = self->held[i];
      }
  self->laid_out = TRUE;
}

const FaintFigureLayout *
faint_plot_area_get_layout (FaintPlotArea *self)
{
  g_return_val_if_fail (FAINT_IS_PLOT_AREA (self), NULL);
  if (self->data == NULL || !faint_range_is_valid (self->across)
      || gtk_widget_get_width (GTK_WIDGET (self)) < 1)
    return NULL;
  if (!self->laid_out)
    lay_out (self);
  return &self->layout;
}

static GskRenderNode *
draw (FaintPlotArea *self)
{
  GtkSnapshot *snapshot = gtk_snapshot_new ();
  FaintDrawing drawing = {
    .snapshot = snapshot,
    .canvas = canvas_on (self, NULL),
    .measure = canvas_on (self, self->measure),
    .device = gtk_widget_get_scale_factor (GTK_WIDGET (self)),
    .data = self->data,
    .figure = &self->figure,
    .layout = faint_plot_area_get_layout (self),
    .place = place_of (self),
    .bounds = bounds_of (self),
  };

  faint_drawing_append (&drawing);
  self->drawn++;
  return gtk_snapshot_free_to_node (snapshot);
}

static void
faint_plot_area_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  FaintPlotArea *self = FAINT_PLOT_AREA (widget);

  if (self->node == NULL)
    self->node = draw (self);
  if (self->node != NULL)
    gtk_snapshot_append_node (snapshot, self->node);
}

static void
faint_plot_area_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  forget (FAINT_PLOT_AREA (widget));
}

static void
take_theme (FaintPlotArea *self)
{
  self->palette = faint_plot_theme_palette (GTK_WIDGET (self));
  g_clear_pointer (&self->font, pango_font_description_free);
  self->font = faint_plot_theme_font (GTK_WIDGET (self));
  forget (self);
}

static void
faint_plot_area_css_changed (GtkWidget *widget, GtkCssStyleChange *change)
{
  GTK_WIDGET_CLASS (faint_plot_area_parent_class)->css_changed (widget, change);
  take_theme (FAINT_PLOT_AREA (widget));
}

static void
faint_plot_area_dispose (GObject *object)
{
  FaintPlotArea *self = FAINT_PLOT_AREA (object);

  g_clear_pointer (&self->node, gsk_render_node_unref);
  g_clear_pointer (&self->data, faint_figure_data_unref);
  g_clear_pointer (&self->figure.given, faint_line_list_unref);
  g_clear_pointer (&self->figure.predicted, faint_line_list_unref);
  g_clear_pointer (&self->figure.not_seen, faint_line_list_unref);
  g_clear_pointer (&self->figure.not_claimed, faint_line_list_unref);
  g_clear_pointer (&self->figure.other, faint_other_trace_unref);
  g_clear_pointer (&self->font, pango_font_description_free);
  g_clear_pointer (&self->measure, cairo_destroy);
  G_OBJECT_CLASS (faint_plot_area_parent_class)->dispose (object);
}

static void
faint_plot_area_class_init (FaintPlotAreaClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->dispose = faint_plot_area_dispose;
  widget_class->snapshot = faint_plot_area_snapshot;
  widget_class->size_allocate = faint_plot_area_size_allocate;
  widget_class->css_changed = faint_plot_area_css_changed;
  gtk_widget_class_set_css_name (widget_class, "plotarea");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_PRESENTATION);
  signals[LAID_OUT] = g_signal_new ("laid-out", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0,
                                    NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
faint_plot_area_init (FaintPlotArea *self)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_A8, 1, 1);

  self->measure = cairo_create (surface);
  cairo_surface_destroy (surface);
  self->across = (FaintRange){ NAN, NAN };
  faint_spectrum_figure_init (&self->figure);
  forget_ranges (self);
  take_theme (self);
  gtk_widget_set_hexpand (GTK_WIDGET (self), TRUE);
  gtk_widget_set_vexpand (GTK_WIDGET (self), TRUE);
  g_signal_connect (self, "notify::scale-factor", G_CALLBACK (take_theme), NULL);
}

GtkWidget *
faint_plot_area_new (void)
{
  return g_object_new (FAINT_TYPE_PLOT_AREA, NULL);
}

void
faint_plot_area_set_data (FaintPlotArea *self, FaintFigureData *data)
{
  g_return_if_fail (FAINT_IS_PLOT_AREA (self));
  if (data != NULL)
    faint_figure_data_ref (data);
  if (data == NULL || self->data == NULL || self->data->spectrum != data->spectrum)
    forget_ranges (self);
  g_clear_pointer (&self->data, faint_figure_data_unref);
  self->data = data;
  forget (self);
}

void
faint_plot_area_set_across (FaintPlotArea *self, FaintRange across)
{
  g_return_if_fail (FAINT_IS_PLOT_AREA (self));
  if (across.lower == self->across.lower && across.upper == self->across.upper)
    return;
  self->across = across;
  forget (self);
}

void
faint_plot_area_set_figure (FaintPlotArea *self, const FaintSpectrumFigure *figure)
{
  FaintSpectrumFigure old;

  g_return_if_fail (FAINT_IS_PLOT_AREA (self));
  old = self->figure;
  self->figure = *figure;
  /* With another model goes what made room for it. */
  if (old.other != NULL && figure->other == NULL)
    forget_ranges (self);
  if (figure->given != NULL)
    faint_line_list_ref (figure->given);
  if (figure->predicted != NULL)
    faint_line_list_ref (figure->predicted);
  if (figure->not_seen != NULL)
    faint_line_list_ref (figure->not_seen);
  if (figure->not_claimed != NULL)
    faint_line_list_ref (figure->not_claimed);
  if (figure->other != NULL)
    faint_other_trace_ref (figure->other);
  faint_line_list_unref (old.given);
  faint_line_list_unref (old.predicted);
  faint_line_list_unref (old.not_seen);
  faint_line_list_unref (old.not_claimed);
  faint_other_trace_unref (old.other);
  forget (self);
}

const FaintSpectrumFigure *
faint_plot_area_get_figure (FaintPlotArea *self)
{
  return &self->figure;
}

FaintRange
faint_plot_area_get_across (FaintPlotArea *self)
{
  return self->across;
}

const FaintPalette *
faint_plot_area_get_palette (FaintPlotArea *self)
{
  return faint_palette_get (self->palette);
}

guint
faint_plot_area_get_drawn (FaintPlotArea *self)
{
  return self->drawn;
}
