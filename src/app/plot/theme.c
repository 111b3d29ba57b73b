/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/plot/theme.h"

#include <glib/gi18n.h>

#define SMALLER 0.9 /* of the font of the window */

/* The variable GTK_THEME overrides the setting without changing it. */
static gboolean
is_high_contrast (GtkWidget *widget)
{
  const char *forced = g_getenv ("GTK_THEME");
  g_autofree char *name = NULL;
  g_autofree char *lower = NULL;

  if (forced != NULL && *forced != '\0')
    name = g_strdup (forced);
  else
    g_object_get (gtk_widget_get_settings (widget), "gtk-theme-name", &name, NULL);
  if (name == NULL)
    return FALSE;

  lower = g_ascii_strdown (name, -1);
  return strstr (lower, "highcontrast") != NULL || g_str_has_suffix (lower, ":hc")
         || g_str_has_suffix (lower, "-hc") || strstr (lower, "hc-dark") != NULL;
}

static gboolean
is_dark (GtkWidget *widget)
{
  GdkRGBA text;

  gtk_style_context_get_color (gtk_widget_get_style_context (widget), &text);
  return faint_colour_luminance ((FaintColour){ text.red, text.green, text.blue, 1 }) > 0.4;
}

FaintPaletteKind
faint_plot_theme_palette (GtkWidget *widget)
{
  gboolean dark = is_dark (widget);

  if (is_high_contrast (widget))
    return dark ? FAINT_PALETTE_HIGH_CONTRAST_DARK : FAINT_PALETTE_HIGH_CONTRAST;
  return dark ? FAINT_PALETTE_DARK : FAINT_PALETTE_LIGHT;
}

PangoFontDescription *
faint_plot_theme_font (GtkWidget *widget)
{
  PangoContext *context = gtk_widget_get_pango_context (widget);
  PangoFontDescription *font
      = pango_font_description_copy (pango_context_get_font_description (context));
  double size = pango_font_description_get_size (font);

  /* An absolute size needs no resolution, so the figure's own reckoning cannot differ. */
  if (!pango_font_description_get_size_is_absolute (font))
    {
      double dpi = pango_cairo_context_get_resolution (context);
      size *= (dpi > 0 ? dpi : 96.0) / 72.0;
    }
  pango_font_description_set_absolute_size (font, SMALLER * size);
  return font;
}

/* What the figures that the window shows say, for the catalogues. */
static G_GNUC_UNUSED const char *const words[]
    = { N_ ("offset"), N_ ("observed − calculated"),
        N_ ("o − c"), /* observed minus calculated, where there is no room for words */
        /* Translators: the normalised error of a quantity, as in "Eₙ of position" */
        N_ ("Eₙ of %s"), N_ ("position"), N_ ("strength"), N_ ("Lorentz width"),
        N_ ("Doppler width"), N_ ("strength at 296 K"), N_ ("lower-state energy"),
        N_ ("self broadening"), N_ ("foreign broadening"), N_ ("broadening of the mixture"),
        N_ ("self shift"), N_ ("foreign shift"), N_ ("shift of the mixture"), N_ ("width exponent"),
        N_ ("position at zero pressure") };

static const char *
translate (const char *text)
{
  return gettext (text);
}

FaintCanvas
faint_plot_theme_canvas (GtkWidget *widget, cairo_t *cr, PangoFontDescription **font)
{
  FaintCanvas canvas;

  *font = faint_plot_theme_font (widget);
  canvas = faint_canvas_for_screen (cr, faint_palette_get (faint_plot_theme_palette (widget)),
                                    *font, gtk_widget_get_scale_factor (widget));
  canvas.translate = translate;
  return canvas;
}

GdkRGBA
faint_plot_rgba (const FaintPalette *palette, FaintPart part)
{
  FaintColour colour = palette->pen[part].colour;

  return (GdkRGBA){ colour.red, colour.green, colour.blue, colour.alpha };
}
