/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/lines/line-cell.h"

#include <string.h>

struct _FaintLineCell
{
  GtkWidget parent;

  FaintCellColumn *column;
  GObject *owner;
  char *text;
  PangoLayout *layout;
  PangoFontDescription *font; /* for which the sizes hold, or NULL */
  int text_width;
  char *description; /* or NULL */
};

G_DEFINE_FINAL_TYPE (FaintLineCell, faint_line_cell, GTK_TYPE_WIDGET)

PangoLayout *
faint_cell_column_layout_new (GtkWidget *widget)
{
  PangoLayout *layout = gtk_widget_create_pango_layout (widget, NULL);
  g_autoptr (PangoAttrList) attributes = pango_attr_list_new ();

  pango_attr_list_insert (attributes, pango_attr_font_features_new ("tnum"));
  pango_layout_set_attributes (layout, attributes);
  pango_layout_set_single_paragraph_mode (layout, TRUE);
  pango_layout_set_ellipsize (layout, PANGO_ELLIPSIZE_END);
  return layout;
}

void
faint_cell_column_set_font (FaintCellColumn *self, PangoContext *context)
{
  const PangoFontDescription *font = pango_context_get_font_description (context);
  PangoFontMetrics *metrics;

  if (self->font && pango_font_description_equal (self->font, font))
    return;
  g_clear_pointer (&self->font, pango_font_description_free);
  self->font = pango_font_description_copy (font);
  metrics = pango_context_get_metrics (context, NULL, NULL);
  self->width = 0;
  self->ascent = PANGO_PIXELS (pango_font_metrics_get_ascent (metrics));
  self->height = PANGO_PIXELS_CEIL (pango_font_metrics_get_ascent (metrics)
                                    + pango_font_metrics_get_descent (metrics));
  pango_font_metrics_unref (metrics);
}

void
faint_cell_column_widen (FaintCellColumn *self, int width)
{
  if (width <= self->width)
    return;
  self->width = width;
  for (guint i = 0; i < self->cells->len; i++)
    gtk_widget_queue_resize (g_ptr_array_index (self->cells, i));
}

static void
find_width (FaintLineCell *self)
{
  pango_layout_set_width (self->layout, -1);
  pango_layout_get_pixel_size (self->layout, &self->text_width, NULL);
  faint_cell_column_widen (self->column, self->text_width);
}

static void
faint_line_cell_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum,
                         int *natural, int *minimum_baseline, int *natural_baseline)
{
  FaintLineCell *self = FAINT_LINE_CELL (widget);

  if (orientation == GTK_ORIENTATION_VERTICAL)
    *minimum = *natural = self->column->height;
  else
    {
      *natural = self->column->width;
      *minimum
          = self->column->shrinks ? MIN (self->column->width, 3 * self->column->height) : *natural;
    }
}

static void
faint_line_cell_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  FaintLineCell *self = FAINT_LINE_CELL (widget);
  int width = gtk_widget_get_width (widget), baseline;
  gboolean cut_off = self->text_width > width;
  double x = self->column->leading || cut_off ? 0 : width - self->text_width, y;

  if (*self->text == '\0')
    return;
  pango_layout_set_width (self->layout, cut_off ? width * PANGO_SCALE : -1);
  /* fonts that stand in for signs may be taller; all stand on one line */
  baseline = PANGO_PIXELS (pango_layout_get_baseline (self->layout));
  y = (gtk_widget_get_height (widget) - self->column->height) / 2 + self->column->ascent - baseline;
  gtk_snapshot_render_layout (snapshot, gtk_widget_get_style_context (widget), x, y, self->layout);
}

/* Selecting a row comes here too: what depends on the font is found anew only for another font. */
static void
faint_line_cell_css_changed (GtkWidget *widget, GtkCssStyleChange *change)
{
  FaintLineCell *self = FAINT_LINE_CELL (widget);
  const PangoFontDescription *font;

  GTK_WIDGET_CLASS (faint_line_cell_parent_class)->css_changed (widget, change);
  font = pango_context_get_font_description (pango_layout_get_context (self->layout));
  if (self->font && pango_font_description_equal (self->font, font))
    return;
  g_clear_pointer (&self->font, pango_font_description_free);
  self->font = pango_font_description_copy (font);
  faint_cell_column_set_font (self->column, pango_layout_get_context (self->layout));
  find_width (self);
  gtk_widget_queue_resize (widget);
}

static void
faint_line_cell_dispose (GObject *object)
{
  FaintLineCell *self = FAINT_LINE_CELL (object);

  if (self->column)
    g_ptr_array_remove_fast (self->column->cells, self);
  self->column = NULL;
  g_clear_object (&self->owner);
  g_clear_object (&self->layout);
  g_clear_pointer (&self->font, pango_font_description_free);
  g_clear_pointer (&self->text, g_free);
  g_clear_pointer (&self->description, g_free);
  G_OBJECT_CLASS (faint_line_cell_parent_class)->dispose (object);
}

static void
faint_line_cell_class_init (FaintLineCellClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = faint_line_cell_dispose;
  widget_class->measure = faint_line_cell_measure;
  widget_class->snapshot = faint_line_cell_snapshot;
  widget_class->css_changed = faint_line_cell_css_changed;
  gtk_widget_class_set_css_name (widget_class, "linecell");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_LABEL);
}

static void
faint_line_cell_init (FaintLineCell *self)
{
  gtk_widget_set_direction (GTK_WIDGET (self), GTK_TEXT_DIR_LTR);
  self->text = g_strdup ("");
  self->layout = faint_cell_column_layout_new (GTK_WIDGET (self));
}

GtkWidget *
faint_line_cell_new (FaintCellColumn *column, GObject *owner)
{
  FaintLineCell *self = g_object_new (FAINT_TYPE_LINE_CELL, NULL);

  self->column = column;
  self->owner = g_object_ref (owner);
  g_ptr_array_add (column->cells, self);
  return GTK_WIDGET (self);
}

void
faint_line_cell_set_text (FaintLineCell *self, const char *text)
{
  g_return_if_fail (FAINT_IS_LINE_CELL (self));
  if (strcmp (text, self->text) == 0)
    return;
  g_free (self->text);
  self->text = g_strdup (text);
  pango_layout_set_text (self->layout, text, -1);
  find_width (self);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, text, -1);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

const char *
faint_line_cell_get_text (FaintLineCell *self)
{
  g_return_val_if_fail (FAINT_IS_LINE_CELL (self), NULL);
  return self->text;
}

void
faint_line_cell_set_description (FaintLineCell *self, const char *words)
{
  g_return_if_fail (FAINT_IS_LINE_CELL (self));
  /* most have none, and saying so to each takes longer than drawing all */
  if (g_strcmp0 (words, self->description) == 0)
    return;
  g_free (self->description);
  self->description = g_strdup (words);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
                                  words ? words : "", -1);
}

const char *
faint_line_cell_get_description (FaintLineCell *self)
{
  g_return_val_if_fail (FAINT_IS_LINE_CELL (self), NULL);
  return self->description;
}

gboolean
faint_line_cell_is_cut_off (FaintLineCell *self)
{
  g_return_val_if_fail (FAINT_IS_LINE_CELL (self), FALSE);
  return self->text_width > gtk_widget_get_width (GTK_WIDGET (self));
}
