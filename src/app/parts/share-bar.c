/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Two rectangles in the theme's colours.
 */
#include "app/parts/share-bar.h"

#define HEIGHT 8
#define WIDTH 60

struct _FaintShareBar
{
  GtkWidget parent;

  double share;
};

G_DEFINE_FINAL_TYPE (FaintShareBar, faint_share_bar, GTK_TYPE_WIDGET)

static void
faint_share_bar_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum,
                         int *natural, int *minimum_baseline, int *natural_baseline)
{
  *minimum = *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? WIDTH : HEIGHT;
}

static void
faint_share_bar_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  FaintShareBar *self = FAINT_SHARE_BAR (widget);
  float width = (float)gtk_widget_get_width (widget);
  float height = (float)gtk_widget_get_height (widget);
  float part = width * (float)self->share;
  float start = gtk_widget_get_direction (widget) == GTK_TEXT_DIR_RTL ? width - part : 0;
  GtkStyleContext *context = gtk_widget_get_style_context (widget);
  GdkRGBA colour, ground;

  gtk_style_context_get_color (context, &colour);
  ground = colour;
  ground.alpha *= 0.15f;
  gtk_snapshot_append_color (snapshot, &ground, &GRAPHENE_RECT_INIT (0, 0, width, height));
  gtk_snapshot_append_color (snapshot, &colour, &GRAPHENE_RECT_INIT (start, 0, part, height));
}

static void
faint_share_bar_class_init (FaintShareBarClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  widget_class->measure = faint_share_bar_measure;
  widget_class->snapshot = faint_share_bar_snapshot;
  gtk_widget_class_set_css_name (widget_class, "sharebar");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_METER);
}

static void
faint_share_bar_init (FaintShareBar *self)
{
}

GtkWidget *
faint_share_bar_new (const char *name, double share)
{
  FaintShareBar *self = g_object_new (FAINT_TYPE_SHARE_BAR, "valign", GTK_ALIGN_CENTER, NULL);

  self->share = CLAMP (share, 0, 1);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, name,
                                  GTK_ACCESSIBLE_PROPERTY_VALUE_MIN, 0.0,
                                  GTK_ACCESSIBLE_PROPERTY_VALUE_MAX, 1.0,
                                  GTK_ACCESSIBLE_PROPERTY_VALUE_NOW, self->share, -1);
  return GTK_WIDGET (self);
}
