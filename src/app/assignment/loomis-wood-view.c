/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The drawing is kept as a node; marks are drawn over it.
 */
#include <glib/gi18n.h>
#include <math.h>

#include "app/assignment/loomis-wood-view-private.h"
#include "app/parts/quantity-text.h"
#include "app/plot/theme.h"

#define LEAST_ROWS 2.0
#define LEAST_SHARE 1e-4 /* of the width of a row, that a zoom may show */

guint _faint_loomis_wood_signals[FAINT_LOOMIS_WOOD_N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintLoomisWoodView, faint_loomis_wood_view, GTK_TYPE_WIDGET)

static void
forget (FaintLoomisWoodView *self)
{
  g_clear_pointer (&self->node, gsk_render_node_unref);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static FaintRect
all_of (FaintLoomisWoodView *self)
{
  return (FaintRect){ 0, 0, MAX (gtk_widget_get_width (GTK_WIDGET (self)), 1),
                      MAX (gtk_widget_get_height (GTK_WIDGET (self)), 1) };
}

/* A canvas in the theme's colours. Free the font. */
FaintView
_faint_loomis_wood_view_place (FaintLoomisWoodView *self)
{
  cairo_surface_t *surface = cairo_recording_surface_create (CAIRO_CONTENT_ALPHA, NULL);
  cairo_t *cr = cairo_create (surface);
  PangoFontDescription *font;
  FaintCanvas canvas = faint_plot_theme_canvas (GTK_WIDGET (self), cr, &font);
  FaintView view = { .across = self->across, .up = self->up };

  view.place = faint_loomis_wood_inside (&canvas, all_of (self));
  pango_font_description_free (font);
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
  return view;
}

static cairo_t *
append_cairo (FaintLoomisWoodView *self, GtkSnapshot *snapshot)
{
  FaintRect all = all_of (self);

  return gtk_snapshot_append_cairo (
      snapshot, &GRAPHENE_RECT_INIT (0, 0, (float)all.width, (float)all.height));
}

static GskRenderNode *
draw (FaintLoomisWoodView *self)
{
  GtkSnapshot *snapshot = gtk_snapshot_new ();
  cairo_t *cr = append_cairo (self, snapshot);
  PangoFontDescription *font;
  FaintCanvas canvas = faint_plot_theme_canvas (GTK_WIDGET (self), cr, &font);
  FaintView view = { .across = self->across, .up = self->up };

  faint_canvas_fill (&canvas, FAINT_PART_BACKGROUND, all_of (self));
  view.place = faint_loomis_wood_inside (&canvas, all_of (self));
  if (self->plot)
    faint_loomis_wood_draw (self->plot, &canvas, &view);
  pango_font_description_free (font);
  cairo_destroy (cr);
  self->drawn++;
  return gtk_snapshot_free_to_node (snapshot);
}

static void
faint_loomis_wood_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  FaintLoomisWoodView *self = FAINT_LOOMIS_WOOD_VIEW (widget);

  if (self->node == NULL)
    self->node = draw (self);
  if (self->node)
    gtk_snapshot_append_node (snapshot, self->node);
  if (self->plot && (self->selected || self->trace->len > 0))
    {
      cairo_t *cr = append_cairo (self, snapshot);
      PangoFontDescription *font;
      FaintCanvas canvas = faint_plot_theme_canvas (GTK_WIDGET (self), cr, &font);
      FaintView view = { .across = self->across, .up = self->up };

      view.place = faint_loomis_wood_inside (&canvas, all_of (self));
      faint_loomis_wood_mark (self->plot, &canvas, &view, self->selected, self->trace);
      pango_font_description_free (font);
      cairo_destroy (cr);
    }
}

static void
faint_loomis_wood_view_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  forget (FAINT_LOOMIS_WOOD_VIEW (widget));
}

static void
faint_loomis_wood_view_css_changed (GtkWidget *widget, GtkCssStyleChange *change)
{
  GTK_WIDGET_CLASS (faint_loomis_wood_view_parent_class)->css_changed (widget, change);
  forget (FAINT_LOOMIS_WOOD_VIEW (widget));
}

static void
describe (FaintLoomisWoodView *self)
{
  char a[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *text = NULL;

  if (self->plot == NULL)
    text = g_strdup (_ ("No rows"));
  else
    {
      g_autofree char *first = faint_signed ((int)ceil (self->up.lower));
      g_autofree char *last = faint_signed ((int)floor (self->up.upper));
      g_autofree char *from
          = faint_true_minus (g_strdup (g_ascii_formatd (a, sizeof a, "%.4f", self->across.lower)));
      g_autofree char *to
          = faint_true_minus (g_strdup (g_ascii_formatd (a, sizeof a, "%.4f", self->across.upper)));

      /* Translators: what is selected, in words and with a blank behind, or nothing; then numbers
       * of rows, offsets, a number of lines */
      text = g_strdup_printf (
          _ ("%s%sRows %s to %s, offsets %s to %s cm⁻¹, %u lines in the trace."),
          self->selected && self->words ? self->words : "",
          self->selected && self->words ? ". " : "", first, last, from, to, self->trace->len);
    }
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, text,
                                  -1);
}

static void
faint_loomis_wood_view_dispose (GObject *object)
{
  FaintLoomisWoodView *self = FAINT_LOOMIS_WOOD_VIEW (object);

  g_clear_pointer (&self->node, gsk_render_node_unref);
  g_clear_pointer (&self->plot, faint_loomis_wood_free);
  g_clear_pointer (&self->trace, g_array_unref);
  g_clear_pointer (&self->path, g_array_unref);
  g_clear_pointer (&self->words, g_free);
  G_OBJECT_CLASS (faint_loomis_wood_view_parent_class)->dispose (object);
}

static void
faint_loomis_wood_view_class_init (FaintLoomisWoodViewClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);
  GType type = G_TYPE_FROM_CLASS (klass);
  static const struct
  {
    guint signal;
    const char *name;
  } plain[] = { { FAINT_LOOMIS_WOOD_TRACE_CHANGED, "trace-changed" },
                { FAINT_LOOMIS_WOOD_TRACE_DONE, "trace-done" },
                { FAINT_LOOMIS_WOOD_HOVER_CHANGED, "hover-changed" },
                { FAINT_LOOMIS_WOOD_ASSIGN, "assign" },
                { FAINT_LOOMIS_WOOD_CLEAR, "clear" } };

  G_OBJECT_CLASS (klass)->dispose = faint_loomis_wood_view_dispose;
  widget_class->snapshot = faint_loomis_wood_view_snapshot;
  widget_class->size_allocate = faint_loomis_wood_view_size_allocate;
  widget_class->css_changed = faint_loomis_wood_view_css_changed;

  _faint_loomis_wood_signals[FAINT_LOOMIS_WOOD_LINE_CHOSEN] = g_signal_new (
      "line-chosen", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_UINT);
  _faint_loomis_wood_signals[FAINT_LOOMIS_WOOD_LINE_CLICKED]
      = g_signal_new ("line-clicked", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 2,
                      G_TYPE_UINT, G_TYPE_INT);
  for (guint i = 0; i < G_N_ELEMENTS (plain); i++)
    _faint_loomis_wood_signals[plain[i].signal] = g_signal_new (
        plain[i].name, type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);

  gtk_widget_class_set_css_name (widget_class, "loomiswood");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
  _faint_loomis_wood_view_add_keys (widget_class);
}

static void
faint_loomis_wood_view_init (FaintLoomisWoodView *self)
{
  self->trace = g_array_new (FALSE, FALSE, sizeof (FaintLoomisWoodPick));
  self->path = g_array_new (FALSE, FALSE, 2 * sizeof (double));
  self->across = self->up = (FaintRange){ 0, 1 };
  self->pointer_x = self->pointer_y = NAN;
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Loomis–Wood plot"), -1);
  _faint_loomis_wood_view_add_input (self);
  describe (self);
}

GtkWidget *
faint_loomis_wood_view_new (void)
{
  return g_object_new (FAINT_TYPE_LOOMIS_WOOD_VIEW, NULL);
}

/* Picks that the plot has no more leave the trace. */
static void
keep_trace (FaintLoomisWoodView *self)
{
  guint before = self->trace->len;

  for (guint i = self->trace->len; i > 0; i--)
    {
      FaintLoomisWoodPick pick = g_array_index (self->trace, FaintLoomisWoodPick, i - 1);
      double offset;
      int row;

      if (self->plot == NULL || faint_loomis_wood_row (self->plot, pick.number) < 0
          || !faint_loomis_wood_place (self->plot, pick.id, &row, &offset))
        g_array_remove_index (self->trace, i - 1);
    }
  if (self->trace->len != before)
    g_signal_emit (self, _faint_loomis_wood_signals[FAINT_LOOMIS_WOOD_TRACE_CHANGED], 0);
}

void
faint_loomis_wood_view_set (FaintLoomisWoodView *self, FaintLoomisWood *plot, gboolean keep)
{
  gboolean had = self->plot != NULL;
  double offset;

  g_return_if_fail (FAINT_IS_LOOMIS_WOOD_VIEW (self));
  g_clear_pointer (&self->plot, faint_loomis_wood_free);
  self->plot = plot;
  self->hover = (FaintLoomisWoodPick){ 0, 0 };
  if (plot && self->selected
      && (!keep || !faint_loomis_wood_place_in (plot, self->selected, self->row, &offset)))
    faint_loomis_wood_place (plot, self->selected, &self->row, &offset);
  if (!keep)
    g_array_set_size (self->trace, 0);
  keep_trace (self);
  if (plot && (!keep || !had))
    faint_loomis_wood_view_show_all (self);
  else if (plot)
    faint_loomis_wood_view_set_view (self, self->across, self->up);
  if (!keep)
    g_signal_emit (self, _faint_loomis_wood_signals[FAINT_LOOMIS_WOOD_TRACE_CHANGED], 0);
  forget (self);
  describe (self);
}

FaintLoomisWood *
faint_loomis_wood_view_get (FaintLoomisWoodView *self)
{
  g_return_val_if_fail (FAINT_IS_LOOMIS_WOOD_VIEW (self), NULL);
  return self->plot;
}

FaintView
faint_loomis_wood_view_get_view (FaintLoomisWoodView *self)
{
  return _faint_loomis_wood_view_place (self);
}

void
faint_loomis_wood_view_set_view (FaintLoomisWoodView *self, FaintRange across, FaintRange up)
{
  FaintView all;

  g_return_if_fail (FAINT_IS_LOOMIS_WOOD_VIEW (self));
  if (self->plot == NULL)
    return;
  all = faint_loomis_wood_all (self->plot);
  self->across
      = faint_range_clamp (across, all.across, LEAST_SHARE * faint_range_width (all.across));
  self->up = faint_range_clamp (up, all.up, MIN (LEAST_ROWS, faint_range_width (all.up)));
  forget (self);
  describe (self);
}

void
faint_loomis_wood_view_show_all (FaintLoomisWoodView *self)
{
  FaintView all;

  g_return_if_fail (FAINT_IS_LOOMIS_WOOD_VIEW (self));
  if (self->plot == NULL)
    return;
  all = faint_loomis_wood_all (self->plot);
  faint_loomis_wood_view_set_view (self, all.across, all.up);
}

static FaintRange
moved_to_hold (FaintRange range, double at)
{
  return faint_range_contains (range, at) ? range : faint_range_hold (range, at, 0.5);
}

static void
reveal (FaintLoomisWoodView *self, int row, double offset)
{
  FaintRange across = moved_to_hold (self->across, offset), up = moved_to_hold (self->up, row);

  if (across.lower != self->across.lower || up.lower != self->up.lower)
    faint_loomis_wood_view_set_view (self, across, up);
}

void
faint_loomis_wood_view_set_selected (FaintLoomisWoodView *self, guint id)
{
  double offset;
  int row;

  g_return_if_fail (FAINT_IS_LOOMIS_WOOD_VIEW (self));
  if (id == self->selected)
    return;
  self->selected = id;
  if (self->plot && id && faint_loomis_wood_place (self->plot, id, &row, &offset))
    {
      self->row = row;
      reveal (self, row, offset);
    }
  gtk_widget_queue_draw (GTK_WIDGET (self));
  describe (self);
}

void
_faint_loomis_wood_view_choose (FaintLoomisWoodView *self, FaintLoomisWoodPick pick)
{
  faint_loomis_wood_view_set_selected (self, pick.id);
  self->row = pick.number;
  g_signal_emit (self, _faint_loomis_wood_signals[FAINT_LOOMIS_WOOD_LINE_CHOSEN], 0, pick.id);
}

const GArray *
faint_loomis_wood_view_get_trace (FaintLoomisWoodView *self)
{
  g_return_val_if_fail (FAINT_IS_LOOMIS_WOOD_VIEW (self), NULL);
  return self->trace;
}

void
faint_loomis_wood_view_set_trace (FaintLoomisWoodView *self, const FaintLoomisWoodPick *picks,
                                  gsize n)
{
  g_return_if_fail (FAINT_IS_LOOMIS_WOOD_VIEW (self));
  g_array_set_size (self->trace, 0);
  g_array_append_vals (self->trace, picks, (guint)n);
  gtk_widget_queue_draw (GTK_WIDGET (self));
  describe (self);
  g_signal_emit (self, _faint_loomis_wood_signals[FAINT_LOOMIS_WOOD_TRACE_CHANGED], 0);
}

gboolean
faint_loomis_wood_view_get_row (FaintLoomisWoodView *self, int *row)
{
  double offset;
  int nearest;

  g_return_val_if_fail (FAINT_IS_LOOMIS_WOOD_VIEW (self), FALSE);
  if (self->plot == NULL || self->selected == 0
      || !faint_loomis_wood_place (self->plot, self->selected, &nearest, &offset))
    return FALSE;
  *row = faint_loomis_wood_place_in (self->plot, self->selected, self->row, &offset) ? self->row
                                                                                     : nearest;
  return TRUE;
}

FaintLoomisWoodPick
faint_loomis_wood_view_get_hover (FaintLoomisWoodView *self)
{
  return self->hover;
}

void
faint_loomis_wood_view_set_words (FaintLoomisWoodView *self, const char *words)
{
  g_return_if_fail (FAINT_IS_LOOMIS_WOOD_VIEW (self));
  if (g_strcmp0 (words, self->words) == 0)
    return;
  g_free (self->words);
  self->words = g_strdup (words);
  describe (self);
}

guint
faint_loomis_wood_view_get_drawn (FaintLoomisWoodView *self)
{
  return self->drawn;
}
