/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/canvas.h"

#include <math.h>

FaintCanvas
faint_canvas_for_screen (cairo_t *cr, const FaintPalette *palette, const PangoFontDescription *font,
                         double device_scale)
{
  return (FaintCanvas){
    .cr = cr,
    .palette = palette,
    .font = font,
    .scale = 1.0,
    .column = 1.0 / MAX (device_scale, 1.0),
    .snap = TRUE,
  };
}

FaintCanvas
faint_canvas_for_paper (cairo_t *cr, const PangoFontDescription *font)
{
  return (FaintCanvas){
    .cr = cr,
    .palette = faint_palette_get (FAINT_PALETTE_PRINT),
    .font = font,
    .scale = 0.5,
    .column = 0.35,
    .snap = FALSE,
  };
}

void
faint_canvas_pen (const FaintCanvas *self, FaintPart part)
{
  const FaintPen *pen = &self->palette->pen[part];
  double dash[G_N_ELEMENTS (pen->dash)];

  for (int i = 0; i < pen->n_dash; i++)
    dash[i] = pen->dash[i] * self->scale;
  faint_colour_set (self->cr, pen->colour);
  cairo_set_line_width (self->cr, pen->width * self->scale);
  cairo_set_dash (self->cr, dash, pen->n_dash, 0.0);
}

void
faint_canvas_fill (const FaintCanvas *self, FaintPart part, FaintRect rect)
{
  faint_colour_set (self->cr, self->palette->pen[part].colour);
  cairo_rectangle (self->cr, rect.x, rect.y, rect.width, rect.height);
  cairo_fill (self->cr);
}

void
faint_canvas_clip (const FaintCanvas *self, FaintRect rect)
{
  cairo_save (self->cr);
  cairo_rectangle (self->cr, rect.x, rect.y, rect.width, rect.height);
  cairo_clip (self->cr);
}

double
faint_canvas_snap (const FaintCanvas *self, double at)
{
  return self->snap ? (floor (at / self->column) + 0.5) * self->column : at;
}

/* On paper glyphs stand where the outlines say; hinting belongs to pixels. */
static void
set_paper_fonts (PangoLayout *layout)
{
  cairo_font_options_t *options = cairo_font_options_create ();
  cairo_font_options_set_hint_style (options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics (options, CAIRO_HINT_METRICS_OFF);
  pango_cairo_context_set_font_options (pango_layout_get_context (layout), options);
  cairo_font_options_destroy (options);
  pango_context_set_round_glyph_positions (pango_layout_get_context (layout), FALSE);
}

const char *
faint_canvas_words (const FaintCanvas *self, const char *words)
{
  return words != NULL && *words != '\0' && self->translate != NULL ? self->translate (words)
                                                                    : words;
}

PangoLayout *
faint_canvas_layout (const FaintCanvas *self, const char *text)
{
  PangoLayout *layout = pango_cairo_create_layout (self->cr);
  PangoAttrList *attributes = pango_attr_list_new ();

  if (!self->snap)
    set_paper_fonts (layout);
  if (self->font != NULL)
    pango_layout_set_font_description (layout, self->font);
  else
    {
      PangoFontDescription *font = pango_font_description_from_string ("Sans 9");
      pango_layout_set_font_description (layout, font);
      pango_font_description_free (font);
    }
  pango_attr_list_insert (attributes, pango_attr_font_features_new ("tnum=1"));
  pango_layout_set_attributes (layout, attributes);
  pango_attr_list_unref (attributes);
  pango_layout_set_text (layout, text, -1);
  return layout;
}

double
faint_canvas_text_height (const FaintCanvas *self)
{
  PangoLayout *layout = faint_canvas_layout (self, "0");
  int height;
  pango_layout_get_size (layout, NULL, &height);
  g_object_unref (layout);
  return height / (double)PANGO_SCALE;
}

double
faint_canvas_text_width (const FaintCanvas *self, const char *text)
{
  PangoLayout *layout = faint_canvas_layout (self, text);
  int width;
  pango_layout_get_size (layout, &width, NULL);
  g_object_unref (layout);
  return width / (double)PANGO_SCALE;
}

void
faint_canvas_text (const FaintCanvas *self, FaintPart part, const char *text, double x, double y,
                   double align_x, double align_y)
{
  PangoLayout *layout = faint_canvas_layout (self, text);
  int width, height;

  pango_layout_get_size (layout, &width, &height);
  faint_colour_set (self->cr, self->palette->pen[part].colour);
  cairo_move_to (self->cr, x - align_x * width / PANGO_SCALE, y - align_y * height / PANGO_SCALE);
  pango_cairo_show_layout (self->cr, layout);
  cairo_new_path (self->cr);
  g_object_unref (layout);
}

void
faint_canvas_text_upwards (const FaintCanvas *self, FaintPart part, const char *text, double x,
                           double y)
{
  cairo_save (self->cr);
  cairo_translate (self->cr, x, y);
  cairo_rotate (self->cr, -G_PI_2);
  faint_canvas_text (self, part, text, 0.0, 0.0, 0.5, 0.5);
  cairo_restore (self->cr);
}
