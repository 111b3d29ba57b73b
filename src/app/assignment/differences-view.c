/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/assignment/differences-view.h"

#include <glib/gi18n.h>
#include <math.h>

#include "app/plot/theme.h"

#define REACH 14.0 /* units, from the pointer to a line */

struct _FaintDifferencesView
{
  GtkWidget parent;

  GArray *items; /* FaintDifference */
  guint selected;
};

enum
{
  LINE_CHOSEN,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintDifferencesView, faint_differences_view, GTK_TYPE_WIDGET)

static FaintDifferences
differences_of (FaintDifferencesView *self)
{
  return (FaintDifferences){ (const FaintDifference *)(gpointer)self->items->data, self->items->len,
                             "m" };
}

static FaintRect
all_of (FaintDifferencesView *self)
{
  return (FaintRect){ 0, 0, MAX (gtk_widget_get_width (GTK_WIDGET (self)), 1),
                      MAX (gtk_widget_get_height (GTK_WIDGET (self)), 1) };
}

/* A canvas in the theme's colours. Free the font. */
static void
faint_differences_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  FaintDifferencesView *self = FAINT_DIFFERENCES_VIEW (widget);
  FaintRect all = all_of (self);
  FaintDifferences differences = differences_of (self);
  cairo_t *cr = gtk_snapshot_append_cairo (
      snapshot, &GRAPHENE_RECT_INIT (0, 0, (float)all.width, (float)all.height));
  PangoFontDescription *font;
  FaintCanvas canvas = faint_plot_theme_canvas (GTK_WIDGET (self), cr, &font);

  faint_canvas_fill (&canvas, FAINT_PART_BACKGROUND, all);
  if (self->items->len > 0)
    {
      faint_differences_draw (&differences, &canvas, all);
      faint_differences_mark (&differences, &canvas, all, self->selected);
    }
  else
    faint_canvas_text (&canvas, FAINT_PART_TEXT_DIM, _ ("No assigned lines"), all.width / 2,
                       all.height / 2, 0.5, 0.5);
  pango_font_description_free (font);
  cairo_destroy (cr);
}

static void
describe (FaintDifferencesView *self)
{
  double sum = 0, most = 0;
  guint kept = 0;
  char rms[G_ASCII_DTOSTR_BUF_SIZE], largest[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *text = NULL;

  for (guint i = 0; i < self->items->len; i++)
    {
      const FaintDifference *item = &g_array_index (self->items, FaintDifference, i);

      if (!item->kept)
        continue;
      kept++;
      sum += item->difference * item->difference;
      most = MAX (most, fabs (item->difference));
    }
  g_ascii_formatd (rms, sizeof rms, "%.2g", sqrt (sum / MAX (kept, 1)));
  g_ascii_formatd (largest, sizeof largest, "%.2g", most);
  if (self->items->len == 0)
    text = g_strdup (_ ("No assigned lines"));
  else
    /* Translators: numbers of lines, then wavenumbers */
    text = g_strdup_printf (_ ("%u lines fitted, %u left out; root mean square %s cm⁻¹, largest %s "
                               "cm⁻¹"),
                            kept, self->items->len - kept, rms, largest);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, text,
                                  -1);
}

static void
choose (FaintDifferencesView *self, guint id)
{
  faint_differences_view_set_selected (self, id);
  g_signal_emit (self, signals[LINE_CHOSEN], 0, id);
}

static void
on_click (FaintDifferencesView *self, int n_press, double x, double y)
{
  cairo_surface_t *surface = cairo_recording_surface_create (CAIRO_CONTENT_ALPHA, NULL);
  cairo_t *cr = cairo_create (surface);
  PangoFontDescription *font;
  FaintCanvas canvas = faint_plot_theme_canvas (GTK_WIDGET (self), cr, &font);
  FaintDifferences differences = differences_of (self);
  FaintView view = faint_differences_layout (&differences, &canvas, all_of (self));
  guint id = faint_differences_at (&differences, &view, x, y, REACH);

  gtk_widget_grab_focus (GTK_WIDGET (self));
  pango_font_description_free (font);
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
  if (id)
    choose (self, id);
}

/* The neighbour of the selected line by its number. */
static gboolean
on_move (GtkWidget *widget, GVariant *arguments, gpointer data)
{
  FaintDifferencesView *self = FAINT_DIFFERENCES_VIEW (widget);
  const FaintDifference *from = NULL, *best = NULL;
  int by;

  g_variant_get (arguments, "(i)", &by);
  for (guint i = 0; i < self->items->len; i++)
    if (g_array_index (self->items, FaintDifference, i).id == self->selected)
      from = &g_array_index (self->items, FaintDifference, i);
  for (guint i = 0; i < self->items->len; i++)
    {
      const FaintDifference *item = &g_array_index (self->items, FaintDifference, i);

      if (from && !((item->number - from->number) * by > 0))
        continue;
      if (best == NULL || (item->number - best->number) * by < 0)
        best = item;
    }
  if (best)
    choose (self, best->id);
  return GDK_EVENT_STOP;
}

static void
faint_differences_view_dispose (GObject *object)
{
  FaintDifferencesView *self = FAINT_DIFFERENCES_VIEW (object);

  g_clear_pointer (&self->items, g_array_unref);
  G_OBJECT_CLASS (faint_differences_view_parent_class)->dispose (object);
}

static void
faint_differences_view_class_init (FaintDifferencesViewClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = faint_differences_view_dispose;
  widget_class->snapshot = faint_differences_view_snapshot;
  signals[LINE_CHOSEN] = g_signal_new ("line-chosen", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST,
                                       0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_UINT);
  gtk_widget_class_set_css_name (widget_class, "differences");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
  gtk_widget_class_add_binding (widget_class, GDK_KEY_Left, 0, on_move, "(i)", -1);
  gtk_widget_class_add_binding (widget_class, GDK_KEY_Right, 0, on_move, "(i)", 1);
}

static void
faint_differences_view_init (FaintDifferencesView *self)
{
  GtkGesture *click = gtk_gesture_click_new ();

  self->items = g_array_new (FALSE, FALSE, sizeof (FaintDifference));
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Observed minus calculated positions"), -1);
  g_signal_connect_swapped (click, "pressed", G_CALLBACK (on_click), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (click));
  describe (self);
}

GtkWidget *
faint_differences_view_new (void)
{
  return g_object_new (FAINT_TYPE_DIFFERENCES_VIEW, NULL);
}

void
faint_differences_view_set (FaintDifferencesView *self, GArray *items)
{
  g_return_if_fail (FAINT_IS_DIFFERENCES_VIEW (self));
  g_array_unref (self->items);
  self->items = items;
  gtk_widget_queue_draw (GTK_WIDGET (self));
  describe (self);
}

const GArray *
faint_differences_view_get (FaintDifferencesView *self)
{
  g_return_val_if_fail (FAINT_IS_DIFFERENCES_VIEW (self), NULL);
  return self->items;
}

void
faint_differences_view_set_selected (FaintDifferencesView *self, guint id)
{
  g_return_if_fail (FAINT_IS_DIFFERENCES_VIEW (self));
  if (id == self->selected)
    return;
  self->selected = id;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}
