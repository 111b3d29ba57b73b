/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "errors-view.h"

#include <glib/gi18n.h>

#include "figure/report-review.h"
#include "plot/theme.h"

#define LEAST_HEIGHT 420

struct _FaintErrorsView
{
  GtkWidget parent;

  FaintReview *review;
};

G_DEFINE_FINAL_TYPE (FaintErrorsView, faint_errors_view, GTK_TYPE_WIDGET)

static void
faint_errors_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  FaintErrorsView *self = FAINT_ERRORS_VIEW (widget);
  FaintRect all
      = { 0, 0, MAX (gtk_widget_get_width (widget), 1), MAX (gtk_widget_get_height (widget), 1) };
  cairo_t *cr = gtk_snapshot_append_cairo (
      snapshot, &GRAPHENE_RECT_INIT (0, 0, (float)all.width, (float)all.height));
  PangoFontDescription *font = faint_plot_theme_font (widget);
  FaintCanvas canvas
      = faint_canvas_for_screen (cr, faint_palette_get (faint_plot_theme_palette (widget)), font,
                                 gtk_widget_get_scale_factor (widget));

  faint_canvas_fill (&canvas, FAINT_PART_BACKGROUND, all);
  if (self->review)
    faint_review_errors_draw (self->review, &canvas, all);
  pango_font_description_free (font);
  cairo_destroy (cr);
}

static void
faint_errors_view_dispose (GObject *object)
{
  g_clear_pointer (&FAINT_ERRORS_VIEW (object)->review, faint_review_unref);
  G_OBJECT_CLASS (faint_errors_view_parent_class)->dispose (object);
}

static void
faint_errors_view_class_init (FaintErrorsViewClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_errors_view_dispose;
  GTK_WIDGET_CLASS (klass)->snapshot = faint_errors_view_snapshot;
  gtk_widget_class_set_css_name (GTK_WIDGET_CLASS (klass), "errors");
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (klass), GTK_ACCESSIBLE_ROLE_IMG);
}

static void
faint_errors_view_init (FaintErrorsView *self)
{
  gtk_widget_set_size_request (GTK_WIDGET (self), -1, LEAST_HEIGHT);
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
  g_autofree char *text = NULL;

  g_return_if_fail (FAINT_IS_ERRORS_VIEW (self));
  if (review)
    faint_review_ref (review);
  g_clear_pointer (&self->review, faint_review_unref);
  self->review = review;
  text = review ? g_strdup_printf (_ ("%zu values, %zu beyond the guides at ±1"), review->n_values,
                                   review->n_beyond)
                : g_strdup ("");
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, text,
                                  -1);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}
