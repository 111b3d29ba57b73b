/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/review/errors-view.h"

#include <glib/gi18n.h>
#include <math.h>

#include "figure/report-review.h"
#include "app/plot/theme.h"
#include "app/review/review-words.h"

#define PANEL_HEIGHT 140
#define REACH 12.0 /* units, from the pointer to a point */
#define RING 6.0

struct _FaintErrorsView
{
  GtkWidget parent;

  FaintReview *review;
  GArray *spots;       /* FaintReviewSpot as drawn last; NULL: not drawn yet */
  FaintRect spots_for; /* the size they were made for */
  guint selected;      /* line, from 1; 0: none */
  guint parameter;     /* of the point that keys go on from */
};

enum
{
  LINE_CHOSEN,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintErrorsView, faint_errors_view, GTK_TYPE_WIDGET)

static const FaintReviewValue *
value_of (const FaintErrorsView *self, const FaintReviewSpot *spot)
{
  const FaintReviewLine *line = g_ptr_array_index (self->review->lines, spot->line);

  return &g_array_index (line->values, FaintReviewValue, spot->value);
}

static const FaintReviewSpot *
spot_at (const FaintErrorsView *self, guint i)
{
  return &g_array_index (self->spots, FaintReviewSpot, i);
}

static guint
count_spots (const FaintErrorsView *self)
{
  return self->review && self->spots ? self->spots->len : 0;
}

/* "Line 12 at 7763.59427 cm⁻¹: Position, Eₙ 8.19 (differs)". */
static char *
describe (const FaintErrorsView *self, const FaintReviewSpot *spot)
{
  const FaintReviewLine *line = g_ptr_array_index (self->review->lines, spot->line);
  const FaintReviewValue *value = value_of (self, spot);
  char position[G_ASCII_DTOSTR_BUF_SIZE], en[G_ASCII_DTOSTR_BUF_SIZE];

  g_ascii_formatd (position, sizeof position, "%.5f", line->position);
  g_ascii_formatd (en, sizeof en, "%.2f", value->stated.en);
  return g_strdup_printf (
      /* Translators: number of the claimed line, its position, a parameter, its normalised error,
         the verdict */
      _ ("Line %u at %s cm⁻¹: %s, Eₙ %s (%s)"), line->claimed_id, position,
      faint_review_parameter_in_words (value->parameter), en,
      faint_review_verdict_in_words (value->verdict));
}

/* What a screen reader says of the figure: the point that is chosen, else what there is. */
static void
tell (FaintErrorsView *self, const FaintReviewSpot *spot)
{
  g_autofree char *text = spot ? describe (self, spot)
                          : self->review
                              ? g_strdup_printf (_ ("%zu values, %zu beyond the guides at ±1"),
                                                 self->review->n_values, self->review->n_beyond)
                              : g_strdup ("");

  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, text,
                                  GTK_ACCESSIBLE_PROPERTY_VALUE_TEXT, text, -1);
}

/* The point of the selected line in the panel that keys are in, else in any. */
static const FaintReviewSpot *
current_spot (const FaintErrorsView *self)
{
  const FaintReviewSpot *any = NULL;

  for (guint i = 0; self->selected > 0 && i < count_spots (self); i++)
    if (spot_at (self, i)->line + 1 == self->selected)
      {
        if (value_of (self, spot_at (self, i))->parameter == self->parameter)
          return spot_at (self, i);
        any = any ? any : spot_at (self, i);
      }
  return any;
}

static const FaintReviewSpot *
nearest (const FaintErrorsView *self, double x, double y)
{
  const FaintReviewSpot *best = NULL;
  double least = REACH;

  for (guint i = 0; i < count_spots (self); i++)
    {
      const FaintReviewSpot *spot = spot_at (self, i);
      double apart = hypot (spot->x - x, spot->y - y);

      if (apart < least)
        {
          least = apart;
          best = spot;
        }
    }
  return best;
}

static void
choose (FaintErrorsView *self, const FaintReviewSpot *spot)
{
  self->parameter = value_of (self, spot)->parameter;
  tell (self, spot);
  gtk_widget_queue_draw (GTK_WIDGET (self));
  if (spot->line + 1 != self->selected)
    g_signal_emit (self, signals[LINE_CHOSEN], 0, spot->line + 1);
}

/* The next point of the same panel towards higher (@step 1) or lower wavenumbers. */
static const FaintReviewSpot *
beside (const FaintErrorsView *self, const FaintReviewSpot *from, int step)
{
  gssize i = from - spot_at (self, 0) + step;

  if (i < 0 || i >= (gssize)count_spots (self)
      || value_of (self, spot_at (self, (guint)i))->parameter != value_of (self, from)->parameter)
    return NULL;
  return spot_at (self, (guint)i);
}

/* The point of the same line in the next panel below (@step 1) or above that has one. */
static const FaintReviewSpot *
above_or_below (const FaintErrorsView *self, const FaintReviewSpot *from, int step)
{
  gssize n = count_spots (self);

  for (gssize i = from - spot_at (self, 0) + step; i >= 0 && i < n; i += step)
    if (spot_at (self, (guint)i)->line == from->line)
      return spot_at (self, (guint)i);
  return NULL;
}

static gboolean
on_key (FaintErrorsView *self, guint key, guint code, GdkModifierType state)
{
  const FaintReviewSpot *from = current_spot (self), *to = NULL;
  guint n = count_spots (self);

  if (n == 0 || (state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0)
    return GDK_EVENT_PROPAGATE;
  switch (key)
    {
    case GDK_KEY_Left:
    case GDK_KEY_Right:
      to = from ? beside (self, from, key == GDK_KEY_Right ? 1 : -1) : spot_at (self, 0);
      break;
    case GDK_KEY_Up:
    case GDK_KEY_Down:
      to = from ? above_or_below (self, from, key == GDK_KEY_Down ? 1 : -1) : spot_at (self, 0);
      break;
    case GDK_KEY_Home:
      to = spot_at (self, 0);
      break;
    case GDK_KEY_End:
      to = spot_at (self, n - 1);
      break;
    default:
      return GDK_EVENT_PROPAGATE;
    }
  if (to)
    choose (self, to);
  return GDK_EVENT_STOP;
}

static void
on_click (FaintErrorsView *self, int n_press, double x, double y)
{
  const FaintReviewSpot *spot = nearest (self, x, y);

  gtk_widget_grab_focus (GTK_WIDGET (self));
  if (spot)
    choose (self, spot);
}

static gboolean
on_tooltip (FaintErrorsView *self, int x, int y, gboolean keyboard, GtkTooltip *tooltip)
{
  const FaintReviewSpot *spot = keyboard ? current_spot (self) : nearest (self, x, y);
  g_autofree char *text = spot ? describe (self, spot) : NULL;

  gtk_tooltip_set_text (tooltip, text);
  return text != NULL;
}

/* A ring around every point of the selected line, a heavy one around that of the keys. */
static void
mark_selected (const FaintErrorsView *self, const FaintCanvas *canvas)
{
  const FaintReviewSpot *current = current_spot (self);

  faint_canvas_pen (canvas, FAINT_PART_SELECTION);
  for (guint i = 0; self->selected > 0 && i < count_spots (self); i++)
    {
      const FaintReviewSpot *spot = spot_at (self, i);

      if (spot->line + 1 != self->selected)
        continue;
      cairo_set_line_width (canvas->cr, spot == current ? 2.5 : 1.2);
      cairo_new_sub_path (canvas->cr);
      cairo_arc (canvas->cr, spot->x, spot->y, RING, 0.0, 2.0 * G_PI);
      cairo_stroke (canvas->cr);
    }
}

static void
place_spots (FaintErrorsView *self, const FaintCanvas *canvas, FaintRect all)
{
  if (self->spots && all.width == self->spots_for.width && all.height == self->spots_for.height)
    return;
  g_clear_pointer (&self->spots, g_array_unref);
  self->spots = faint_review_errors_spots (self->review, canvas, all);
  self->spots_for = all;
}

static void
faint_errors_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  FaintErrorsView *self = FAINT_ERRORS_VIEW (widget);
  FaintRect all
      = { 0, 0, MAX (gtk_widget_get_width (widget), 1), MAX (gtk_widget_get_height (widget), 1) };
  cairo_t *cr = gtk_snapshot_append_cairo (
      snapshot, &GRAPHENE_RECT_INIT (0, 0, (float)all.width, (float)all.height));
  PangoFontDescription *font;
  FaintCanvas canvas = faint_plot_theme_canvas (widget, cr, &font);

  faint_canvas_fill (&canvas, FAINT_PART_BACKGROUND, all);
  if (self->review)
    {
      faint_review_errors_draw (self->review, &canvas, all);
      place_spots (self, &canvas, all);
      mark_selected (self, &canvas);
    }
  if (gtk_widget_has_visible_focus (widget))
    {
      faint_canvas_pen (&canvas, FAINT_PART_SELECTION);
      cairo_rectangle (cr, 1.0, 1.0, all.width - 2.0, all.height - 2.0);
      cairo_stroke (cr);
    }
  pango_font_description_free (font);
  cairo_destroy (cr);
}

static void
faint_errors_view_dispose (GObject *object)
{
  FaintErrorsView *self = FAINT_ERRORS_VIEW (object);

  g_clear_pointer (&self->review, faint_review_unref);
  g_clear_pointer (&self->spots, g_array_unref);
  G_OBJECT_CLASS (faint_errors_view_parent_class)->dispose (object);
}

static void
faint_errors_view_class_init (FaintErrorsViewClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_errors_view_dispose;
  GTK_WIDGET_CLASS (klass)->snapshot = faint_errors_view_snapshot;
  gtk_widget_class_set_css_name (GTK_WIDGET_CLASS (klass), "errors");
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (klass), GTK_ACCESSIBLE_ROLE_IMG);
  signals[LINE_CHOSEN] = g_signal_new ("line-chosen", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST,
                                       0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_UINT);
}

static void
faint_errors_view_init (FaintErrorsView *self)
{
  GtkGesture *click = gtk_gesture_click_new ();
  GtkEventController *keys = gtk_event_controller_key_new ();

  g_signal_connect_swapped (click, "pressed", G_CALLBACK (on_click), self);
  g_signal_connect_swapped (keys, "key-pressed", G_CALLBACK (on_key), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (click));
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  gtk_widget_set_has_tooltip (GTK_WIDGET (self), TRUE);
  g_signal_connect (self, "query-tooltip", G_CALLBACK (on_tooltip), NULL);
  gtk_widget_set_size_request (GTK_WIDGET (self), -1, 3 * PANEL_HEIGHT);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Normalised errors against the wavenumber"), -1);
}

GtkWidget *
faint_errors_view_new (void)
{
  return g_object_new (FAINT_TYPE_ERRORS_VIEW, NULL);
}

void
faint_errors_view_set (FaintErrorsView *self, FaintReview *review)
{
  g_return_if_fail (FAINT_IS_ERRORS_VIEW (self));
  if (review)
    faint_review_ref (review);
  g_clear_pointer (&self->review, faint_review_unref);
  g_clear_pointer (&self->spots, g_array_unref);
  self->review = review;
  self->selected = 0;
  if (review)
    gtk_widget_set_size_request (GTK_WIDGET (self), -1,
                                 PANEL_HEIGHT * (int)faint_review_errors_panels (review, NULL));
  tell (self, NULL);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
faint_errors_view_set_selected (FaintErrorsView *self, guint number)
{
  g_return_if_fail (FAINT_IS_ERRORS_VIEW (self));
  if (number == self->selected)
    return;
  self->selected = number;
  tell (self, current_spot (self));
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

char *
faint_errors_view_describe_at (FaintErrorsView *self, double x, double y)
{
  const FaintReviewSpot *spot;

  g_return_val_if_fail (FAINT_IS_ERRORS_VIEW (self), NULL);
  spot = nearest (self, x, y);
  return spot ? describe (self, spot) : NULL;
}

gboolean
faint_errors_view_find (FaintErrorsView *self, guint number, guint k, double *x, double *y)
{
  g_return_val_if_fail (FAINT_IS_ERRORS_VIEW (self), FALSE);
  for (guint i = 0; i < count_spots (self); i++)
    if (spot_at (self, i)->line + 1 == number && k-- == 0)
      {
        *x = spot_at (self, i)->x;
        *y = spot_at (self, i)->y;
        return TRUE;
      }
  return FALSE;
}
