/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The drawing is kept as a node; the mark is drawn over it.
 */
#include "app/lines/correlation-view.h"

#include <glib/gi18n.h>

#include "app/lines/line-words.h"
#include "app/plot/theme.h"

#define MARGIN 12
#define MOST_DESCRIBED 5 /* pairs that a screen reader is told of */

struct _FaintCorrelationView
{
  GtkWidget parent;

  FaintCorrelation *matrix; /* may be NULL */
  gsize row, column;        /* chosen; G_MAXSIZE: none */
  GskRenderNode *node;      /* NULL: to be drawn anew */
};

enum
{
  CELL_CHANGED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintCorrelationView, faint_correlation_view, GTK_TYPE_WIDGET)

static void
forget (FaintCorrelationView *self)
{
  g_clear_pointer (&self->node, gsk_render_node_unref);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static FaintRect
place_of (FaintCorrelationView *self)
{
  return (FaintRect){ MARGIN, MARGIN,
                      MAX (gtk_widget_get_width (GTK_WIDGET (self)) - 2 * MARGIN, 1),
                      MAX (gtk_widget_get_height (GTK_WIDGET (self)) - 2 * MARGIN, 1) };
}

/* A canvas in the theme's colours. Free the font. */
static cairo_t *
append_cairo (FaintCorrelationView *self, GtkSnapshot *snapshot)
{
  return gtk_snapshot_append_cairo (
      snapshot, &GRAPHENE_RECT_INIT (0, 0, gtk_widget_get_width (GTK_WIDGET (self)),
                                     gtk_widget_get_height (GTK_WIDGET (self))));
}

static GskRenderNode *
draw (FaintCorrelationView *self)
{
  GtkSnapshot *snapshot = gtk_snapshot_new ();
  cairo_t *cr = append_cairo (self, snapshot);
  PangoFontDescription *font;
  FaintCanvas canvas = faint_plot_theme_canvas (GTK_WIDGET (self), cr, &font);
  FaintRect all = { 0, 0, gtk_widget_get_width (GTK_WIDGET (self)),
                    gtk_widget_get_height (GTK_WIDGET (self)) };

  faint_canvas_fill (&canvas, FAINT_PART_BACKGROUND, all);
  if (self->matrix)
    faint_correlation_draw (self->matrix, &canvas, place_of (self));
  pango_font_description_free (font);
  cairo_destroy (cr);
  return gtk_snapshot_free_to_node (snapshot);
}

static void
faint_correlation_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  FaintCorrelationView *self = FAINT_CORRELATION_VIEW (widget);
  gsize row, column;

  if (self->node == NULL)
    self->node = draw (self);
  if (self->node)
    gtk_snapshot_append_node (snapshot, self->node);
  if (faint_correlation_view_get_cell (self, &row, &column))
    {
      cairo_t *cr = append_cairo (self, snapshot);
      PangoFontDescription *font;
      FaintCanvas canvas = faint_plot_theme_canvas (GTK_WIDGET (self), cr, &font);

      faint_correlation_mark (self->matrix, &canvas, place_of (self), row, column);
      pango_font_description_free (font);
      cairo_destroy (cr);
    }
}

static void
faint_correlation_view_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  forget (FAINT_CORRELATION_VIEW (widget));
}

static void
faint_correlation_view_css_changed (GtkWidget *widget, GtkCssStyleChange *change)
{
  GTK_WIDGET_CLASS (faint_correlation_view_parent_class)->css_changed (widget, change);
  forget (FAINT_CORRELATION_VIEW (widget));
}

static void
describe (FaintCorrelationView *self)
{
  g_autofree char *cell = faint_correlation_view_read_out (self);
  g_autofree char *strongest = faint_correlation_view_strongest (self, MOST_DESCRIBED);
  g_autofree char *text
      = cell ? g_strdup (cell)
             /* Translators: pairs of parameters with their correlation follow */
             : g_strdup_printf (_ ("Strongest correlations: %s"), *strongest ? strongest : "–");

  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, text,
                                  -1);
}

static void
on_motion (FaintCorrelationView *self, double x, double y)
{
  cairo_surface_t *surface = cairo_recording_surface_create (CAIRO_CONTENT_ALPHA, NULL);
  cairo_t *cr = cairo_create (surface);
  FaintCorrelationLayout layout;
  PangoFontDescription *font;
  FaintCanvas canvas = faint_plot_theme_canvas (GTK_WIDGET (self), cr, &font);
  gsize row, column;

  if (self->matrix)
    {
      faint_correlation_layout (self->matrix, &canvas, place_of (self), &layout);
      if (faint_correlation_cell_at (self->matrix, &layout, x, y, &row, &column))
        faint_correlation_view_choose (self, row, column);
    }
  pango_font_description_free (font);
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
}

static void
on_pressed (FaintCorrelationView *self, int n_press, double x, double y)
{
  gtk_widget_grab_focus (GTK_WIDGET (self));
  on_motion (self, x, y);
}

static gsize
moved (gsize index, int by, gsize n)
{
  if (by < 0)
    return index > 0 ? index - 1 : 0;
  return by > 0 ? MIN (index + 1, n - 1) : index;
}

/* The first key chooses the cell at the upper left. */
static gboolean
on_move (GtkWidget *widget, GVariant *arguments, gpointer data)
{
  FaintCorrelationView *self = FAINT_CORRELATION_VIEW (widget);
  gsize n = self->matrix ? faint_correlation_get_n (self->matrix) : 0, row, column;
  int down, right;

  g_variant_get (arguments, "(ii)", &down, &right);
  if (n == 0)
    return GDK_EVENT_PROPAGATE;
  if (faint_correlation_view_get_cell (self, &row, &column))
    faint_correlation_view_choose (self, moved (row, down, n), moved (column, right, n));
  else
    faint_correlation_view_choose (self, 0, MIN (1, n - 1));
  return GDK_EVENT_STOP;
}

static gboolean
on_end (GtkWidget *widget, GVariant *arguments, gpointer data)
{
  FaintCorrelationView *self = FAINT_CORRELATION_VIEW (widget);
  gsize n = self->matrix ? faint_correlation_get_n (self->matrix) : 0, row, column;
  gboolean last;

  g_variant_get (arguments, "(b)", &last);
  if (n == 0)
    return GDK_EVENT_PROPAGATE;
  if (!faint_correlation_view_get_cell (self, &row, &column))
    row = 0;
  faint_correlation_view_choose (self, row, last ? n - 1 : 0);
  return GDK_EVENT_STOP;
}

static void
faint_correlation_view_dispose (GObject *object)
{
  FaintCorrelationView *self = FAINT_CORRELATION_VIEW (object);

  g_clear_pointer (&self->node, gsk_render_node_unref);
  g_clear_pointer (&self->matrix, faint_correlation_free);
  G_OBJECT_CLASS (faint_correlation_view_parent_class)->dispose (object);
}

static void
add_keys (GtkWidgetClass *widget_class)
{
  static const struct
  {
    guint key;
    int down, right;
  } keys[] = { { GDK_KEY_Up, -1, 0 },      { GDK_KEY_Down, 1, 0 },    { GDK_KEY_Left, 0, -1 },
               { GDK_KEY_Right, 0, 1 },    { GDK_KEY_KP_Up, -1, 0 },  { GDK_KEY_KP_Down, 1, 0 },
               { GDK_KEY_KP_Left, 0, -1 }, { GDK_KEY_KP_Right, 0, 1 } };

  for (guint i = 0; i < G_N_ELEMENTS (keys); i++)
    gtk_widget_class_add_binding (widget_class, keys[i].key, 0, on_move, "(ii)", keys[i].down,
                                  keys[i].right);
  gtk_widget_class_add_binding (widget_class, GDK_KEY_Home, 0, on_end, "(b)", FALSE);
  gtk_widget_class_add_binding (widget_class, GDK_KEY_End, 0, on_end, "(b)", TRUE);
}

static void
faint_correlation_view_class_init (FaintCorrelationViewClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = faint_correlation_view_dispose;
  widget_class->snapshot = faint_correlation_view_snapshot;
  widget_class->size_allocate = faint_correlation_view_size_allocate;
  widget_class->css_changed = faint_correlation_view_css_changed;

  signals[CELL_CHANGED] = g_signal_new ("cell-changed", G_TYPE_FROM_CLASS (klass),
                                        G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);

  gtk_widget_class_set_css_name (widget_class, "correlation");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
  add_keys (widget_class);
}

static void
faint_correlation_view_init (FaintCorrelationView *self)
{
  GtkEventController *motion = gtk_event_controller_motion_new ();
  GtkGesture *click = gtk_gesture_click_new ();

  self->row = self->column = G_MAXSIZE;
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Correlation matrix"), -1);
  g_signal_connect_swapped (motion, "motion", G_CALLBACK (on_motion), self);
  g_signal_connect_swapped (click, "pressed", G_CALLBACK (on_pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), motion);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (click));
}

GtkWidget *
faint_correlation_view_new (void)
{
  return g_object_new (FAINT_TYPE_CORRELATION_VIEW, NULL);
}

void
faint_correlation_view_set (FaintCorrelationView *self, FaintCorrelation *matrix)
{
  g_return_if_fail (FAINT_IS_CORRELATION_VIEW (self));
  g_clear_pointer (&self->matrix, faint_correlation_free);
  self->matrix = matrix;
  self->row = self->column = G_MAXSIZE;
  forget (self);
  describe (self);
  g_signal_emit (self, signals[CELL_CHANGED], 0);
}

FaintCorrelation *
faint_correlation_view_get (FaintCorrelationView *self)
{
  g_return_val_if_fail (FAINT_IS_CORRELATION_VIEW (self), NULL);
  return self->matrix;
}

gboolean
faint_correlation_view_get_cell (FaintCorrelationView *self, gsize *row, gsize *column)
{
  g_return_val_if_fail (FAINT_IS_CORRELATION_VIEW (self), FALSE);
  *row = self->row;
  *column = self->column;
  return self->matrix && self->row != G_MAXSIZE;
}

void
faint_correlation_view_choose (FaintCorrelationView *self, gsize row, gsize column)
{
  gsize n;

  g_return_if_fail (FAINT_IS_CORRELATION_VIEW (self));
  n = self->matrix ? faint_correlation_get_n (self->matrix) : 0;
  if (row >= n || column >= n)
    row = column = G_MAXSIZE;
  if (row == self->row && column == self->column)
    return;
  self->row = row;
  self->column = column;
  gtk_widget_queue_draw (GTK_WIDGET (self));
  describe (self);
  g_signal_emit (self, signals[CELL_CHANGED], 0);
}

static char *
pair_in_words (FaintCorrelationView *self, gsize row, gsize column)
{
  g_autofree char *one
      = faint_fit_parameter_in_words (faint_correlation_get_name (self->matrix, row));
  g_autofree char *other
      = faint_fit_parameter_in_words (faint_correlation_get_name (self->matrix, column));
  double value = faint_correlation_get (self->matrix, row, column);
  char number[G_ASCII_DTOSTR_BUF_SIZE];

  if (row == column)
    return g_strdup (one);
  g_ascii_formatd (number, sizeof number, "%.3f", fabs (value));
  /* no sign before a zero */
  return g_strdup_printf ("%s, %s: %s%s", one, other, value <= -0.0005 ? "−" : "",
                          isfinite (value) ? number : "–");
}

char *
faint_correlation_view_read_out (FaintCorrelationView *self)
{
  gsize row, column;

  return faint_correlation_view_get_cell (self, &row, &column) ? pair_in_words (self, row, column)
                                                               : NULL;
}

char *
faint_correlation_view_strongest (FaintCorrelationView *self, guint most)
{
  g_autofree FaintCorrelationPair *pairs = g_new (FaintCorrelationPair, most + 1);
  GString *text = g_string_new (NULL);
  gsize n;

  g_return_val_if_fail (FAINT_IS_CORRELATION_VIEW (self), NULL);
  n = self->matrix ? faint_correlation_strongest (self->matrix, pairs, most) : 0;
  for (gsize i = 0; i < n; i++)
    {
      g_autofree char *words = pair_in_words (self, pairs[i].row, pairs[i].column);

      g_string_append_printf (text, "%s%s", i > 0 ? "\n" : "", words);
    }
  return g_string_free (text, FALSE);
}
