/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An equation is a tree of boxes, each with its width and its extents above and below the line.
 */
#include "figure/formula.h"

#include <string.h>

typedef enum
{
  BOX_TEXT,
  BOX_SPACE,
  BOX_ROW,
  BOX_SCRIPTS, /* base, superscript or NULL, subscript or NULL */
  BOX_BELOW,   /* base and what stands below it, centred */
  BOX_FRACTION,
  BOX_ROOT,
  BOX_BRACKETS,
  BOX_MODULUS,
} BoxKind;

typedef struct _FaintFormula Box;
struct _FaintFormula
{
  BoxKind kind;
  double width, ascent, descent, size;
  double up; /* of a superscript */
  PangoLayout *layout;
  GPtrArray *row;
  Box *part[3];
};

/* Shares of the size of the letters. Those of scripts and of the line of a fraction are usual in
 * mathematical typesetting (common practice, no source). */
#define SCRIPT_SIZE 0.72
#define SCRIPT_UP 0.42
#define SCRIPT_DOWN 0.22
#define AXIS 0.30
#define RULE 0.05
#define GAP 0.14
#define THIN 0.17
#define MEDIUM 0.25

typedef struct
{
  PangoContext *context;
  const char *at;
} Parser;

static Box *
box_new (BoxKind kind, double size)
{
  Box *box = g_new0 (Box, 1);

  box->kind = kind;
  box->size = size;
  return box;
}

void
faint_formula_free (FaintFormula *self)
{
  if (self == NULL)
    return;
  g_clear_object (&self->layout);
  g_clear_pointer (&self->row, g_ptr_array_unref);
  for (guint i = 0; i < G_N_ELEMENTS (self->part); i++)
    faint_formula_free (self->part[i]);
  g_free (self);
}

static Box *
space_new (double width, double size)
{
  Box *box = box_new (BOX_SPACE, size);

  box->width = width;
  return box;
}

/* The ink counts above and below the line, so that what stands there keeps its distance. */
static Box *
text_new (const Parser *parser, const char *text, gsize length, double size, gboolean italic)
{
  Box *box = box_new (BOX_TEXT, size);
  PangoFontDescription *font = pango_font_description_from_string ("Serif");
  PangoRectangle ink, logical;

  pango_font_description_set_absolute_size (font, size * PANGO_SCALE);
  pango_font_description_set_style (font, italic ? PANGO_STYLE_ITALIC : PANGO_STYLE_NORMAL);
  box->layout = pango_layout_new (parser->context);
  pango_layout_set_font_description (box->layout, font);
  pango_font_description_free (font);
  pango_layout_set_text (box->layout, text, (int)length);
  pango_layout_get_extents (box->layout, &ink, &logical);
  double baseline = pango_layout_get_baseline (box->layout);
  box->width = logical.width / (double)PANGO_SCALE;
  box->ascent = (baseline - ink.y) / PANGO_SCALE;
  box->descent = (ink.y + ink.height - baseline) / PANGO_SCALE;
  return box;
}

static Box *
row_close (Box *row)
{
  for (guint i = 0; i < row->row->len; i++)
    {
      const Box *box = g_ptr_array_index (row->row, i);
      row->width += box->width;
      row->ascent = MAX (row->ascent, box->ascent);
      row->descent = MAX (row->descent, box->descent);
    }
  return row;
}

static Box *
scripts_new (Box *base, Box *above, Box *below, double size)
{
  Box *box = box_new (BOX_SCRIPTS, size);

  box->part[0] = base;
  box->part[1] = above;
  box->part[2] = below;
  box->up = MAX (SCRIPT_UP * size, base->kind == BOX_TEXT ? 0.0 : base->ascent - 0.5 * size);
  box->ascent = MAX (base->ascent, above != NULL ? box->up + above->ascent : 0.0);
  box->descent = MAX (base->descent, below != NULL ? SCRIPT_DOWN * size + below->descent : 0.0);
  box->width = base->width + 0.04 * size
               + MAX (above != NULL ? above->width : 0.0, below != NULL ? below->width : 0.0);
  return box;
}

static Box *
below_new (Box *base, Box *below, double size)
{
  Box *box = box_new (BOX_BELOW, size);

  box->part[0] = base;
  box->part[1] = below;
  box->width = MAX (base->width, below->width);
  box->ascent = base->ascent;
  box->descent = base->descent + GAP * size + below->ascent + below->descent;
  return box;
}

static Box *
fraction_new (Box *above, Box *below, double size)
{
  Box *box = box_new (BOX_FRACTION, size);

  box->part[0] = above;
  box->part[1] = below;
  box->width = MAX (above->width, below->width) + 2.0 * GAP * size;
  box->ascent = (AXIS + GAP) * size + above->ascent + above->descent;
  box->descent = (GAP - AXIS) * size + below->ascent + below->descent;
  return box;
}

static Box *
wrap_new (BoxKind kind, Box *inner, double before, double after, double size)
{
  Box *box = box_new (kind, size);

  box->part[0] = inner;
  box->width = before + inner->width + after;
  box->ascent = inner->ascent + GAP * size;
  box->descent = inner->descent + (kind == BOX_ROOT ? 0.0 : GAP * size);
  return box;
}

static Box *parse_row (Parser *parser, double size, gboolean upright);

static Box *
parse_group (Parser *parser, double size, gboolean upright)
{
  if (*parser->at == '{')
    parser->at++;
  Box *box = parse_row (parser, size, upright);
  if (*parser->at == '}')
    parser->at++;
  return box;
}

static gboolean
takes (Parser *parser, const char *word)
{
  if (!g_str_has_prefix (parser->at, word))
    return FALSE;
  parser->at += strlen (word);
  return TRUE;
}

static Box *
parse_command (Parser *parser, double size)
{
  if (takes (parser, "\\frac"))
    {
      Box *above = parse_group (parser, size, FALSE);
      return fraction_new (above, parse_group (parser, size, FALSE), size);
    }
  if (takes (parser, "\\sqrt"))
    return wrap_new (BOX_ROOT, parse_group (parser, size, FALSE), 0.62 * size, 0.1 * size, size);
  if (takes (parser, "\\big"))
    return wrap_new (BOX_BRACKETS, parse_group (parser, size, FALSE), 0.36 * size, 0.36 * size,
                     size);
  if (takes (parser, "\\abs"))
    return wrap_new (BOX_MODULUS, parse_group (parser, size, FALSE), 0.2 * size, 0.2 * size, size);
  if (takes (parser, "\\mathrm"))
    return parse_group (parser, size, TRUE);
  if (takes (parser, "\\sum"))
    {
      Box *sum = text_new (parser, "∑", strlen ("∑"), 1.35 * size, FALSE);
      return takes (parser, "_")
                 ? below_new (sum, parse_group (parser, SCRIPT_SIZE * size, FALSE), size)
                 : sum;
    }
  if (takes (parser, "\\quad"))
    return space_new (1.6 * size, size);
  if (takes (parser, "\\;"))
    return space_new (MEDIUM * size, size);
  if (!takes (parser, "\\,"))
    parser->at++;
  return space_new (THIN * size, size);
}

static gboolean
is_mark (const char *at)
{
  return *at != '\0' && g_unichar_ismark (g_utf8_get_char (at));
}

/* Letters and digits that belong together: words upright, or one italic letter with its marks. */
static Box *
parse_text (Parser *parser, double size, gboolean upright)
{
  static const char *const functions[] = { "exp", "cos", "sin", "ln", "Re", "Im" };
  const char *begin = parser->at;
  gunichar first = g_utf8_get_char (begin);
  gboolean italic = !upright && g_unichar_isalpha (first);

  for (guint i = 0; !upright && i < G_N_ELEMENTS (functions); i++)
    if (takes (parser, functions[i]))
      {
        Box *name = text_new (parser, begin, strlen (functions[i]), size, FALSE);
        name->width += *parser->at == ' ' ? THIN * size : 0.0;
        return name;
      }
  do
    parser->at = g_utf8_next_char (parser->at);
  while (is_mark (parser->at) || (g_ascii_isdigit (*begin) && g_ascii_isdigit (*parser->at))
         || (upright && *parser->at != '\0' && strchr ("{}\\^_", *parser->at) == NULL));
  /* the imaginary unit and Euler's number are upright by ISO 80000-2; upper-case Greek stays so */
  if (first == 0x3A6 || first == 0x393 || first == 0x394)
    italic = FALSE;
  return text_new (parser, begin, (gsize)(parser->at - begin), size, italic);
}

static gboolean
is_spaced (const char *at)
{
  static const char *const signs[] = { "=", "≈", "+", "−", "≤", "·" };

  for (guint i = 0; i < G_N_ELEMENTS (signs); i++)
    if (g_str_has_prefix (at, signs[i]))
      return TRUE;
  return FALSE;
}

/* A base with its superscript and subscript, in either order. */
static Box *
parse_item (Parser *parser, double size, gboolean upright)
{
  Box *above = NULL, *below = NULL;
  Box *base = *parser->at == '\\'  ? parse_command (parser, size)
              : *parser->at == '{' ? parse_group (parser, size, upright)
                                   : parse_text (parser, size, upright);

  while ((*parser->at == '^' && above == NULL) || (*parser->at == '_' && below == NULL))
    {
      Box **script = *parser->at == '^' ? &above : &below;
      parser->at++;
      *script = *parser->at == '{' ? parse_group (parser, SCRIPT_SIZE * size, FALSE)
                                   : parse_text (parser, SCRIPT_SIZE * size, FALSE);
    }
  return above != NULL || below != NULL ? scripts_new (base, above, below, size) : base;
}

/* Up to the end of the group. A sign at its beginning belongs to what follows. */
static Box *
parse_row (Parser *parser, double size, gboolean upright)
{
  Box *row = box_new (BOX_ROW, size);

  row->row = g_ptr_array_new_with_free_func ((GDestroyNotify)faint_formula_free);
  while (*parser->at != '\0' && *parser->at != '}')
    {
      gboolean spaced = !upright && row->row->len > 0 && is_spaced (parser->at);

      if (*parser->at == ' ' && !upright)
        {
          parser->at++;
          continue;
        }
      if (spaced)
        g_ptr_array_add (row->row, space_new (MEDIUM * size, size));
      g_ptr_array_add (row->row, parse_item (parser, size, upright));
      if (spaced)
        g_ptr_array_add (row->row, space_new (MEDIUM * size, size));
    }
  return row_close (row);
}

FaintFormula *
faint_formula_new (PangoContext *context, const char *text, double size)
{
  Parser parser = { context, text };
  return parse_row (&parser, size, FALSE);
}

double
faint_formula_width (const FaintFormula *self)
{
  return self->width;
}

double
faint_formula_ascent (const FaintFormula *self)
{
  return self->ascent;
}

double
faint_formula_descent (const FaintFormula *self)
{
  return self->descent;
}

static void
draw_fraction (const Box *self, cairo_t *cr, double x, double y)
{
  const Box *above = self->part[0], *below = self->part[1];
  double axis = y - AXIS * self->size;

  faint_formula_draw (above, cr, x + 0.5 * (self->width - above->width),
                      axis - GAP * self->size - above->descent);
  faint_formula_draw (below, cr, x + 0.5 * (self->width - below->width),
                      axis + GAP * self->size + below->ascent);
  cairo_set_line_width (cr, RULE * self->size);
  cairo_move_to (cr, x + 0.04 * self->size, axis);
  cairo_rel_line_to (cr, self->width - 0.08 * self->size, 0.0);
  cairo_stroke (cr);
}

static void
draw_root (const Box *self, cairo_t *cr, double x, double y)
{
  double size = self->size, top = y - self->ascent + RULE * size, foot = y + self->descent;

  cairo_set_line_width (cr, RULE * size);
  cairo_move_to (cr, x + 0.06 * size, y - 0.32 * size);
  cairo_line_to (cr, x + 0.18 * size, y - 0.40 * size);
  cairo_line_to (cr, x + 0.36 * size, foot);
  cairo_line_to (cr, x + 0.56 * size, top);
  cairo_line_to (cr, x + self->width, top);
  cairo_stroke (cr);
  faint_formula_draw (self->part[0], cr, x + 0.62 * size, y);
}

static void
draw_brackets (const Box *self, cairo_t *cr, double x, double y)
{
  double size = self->size, top = y - self->ascent + 0.06 * size;
  double foot = y + self->descent - 0.06 * size, bend = 0.26 * size;
  double quarter = 0.25 * (foot - top), left = x + 0.08 * size;
  double right = x + self->width - 0.08 * size;

  cairo_set_line_width (cr, 1.2 * RULE * size);
  cairo_move_to (cr, left + bend, top);
  cairo_curve_to (cr, left, top + quarter, left, foot - quarter, left + bend, foot);
  cairo_stroke (cr);
  cairo_move_to (cr, right - bend, top);
  cairo_curve_to (cr, right, top + quarter, right, foot - quarter, right - bend, foot);
  cairo_stroke (cr);
  faint_formula_draw (self->part[0], cr, x + 0.36 * size, y);
}

static void
draw_modulus (const Box *self, cairo_t *cr, double x, double y)
{
  double height = self->ascent + self->descent;

  cairo_set_line_width (cr, RULE * self->size);
  for (int side = 0; side < 2; side++)
    {
      cairo_move_to (cr, x + (side == 0 ? 0.1 * self->size : self->width - 0.1 * self->size),
                     y - self->ascent);
      cairo_rel_line_to (cr, 0.0, height);
    }
  cairo_stroke (cr);
  faint_formula_draw (self->part[0], cr, x + 0.2 * self->size, y);
}

static void
draw_text (const Box *self, cairo_t *cr, double x, double y)
{
  cairo_move_to (cr, x, y - pango_layout_get_baseline (self->layout) / (double)PANGO_SCALE);
  pango_cairo_show_layout (cr, self->layout);
  cairo_new_path (cr);
}

static void
draw_scripts (const Box *self, cairo_t *cr, double x, double y)
{
  const Box *base = self->part[0];
  double right = x + base->width + 0.04 * self->size;

  faint_formula_draw (base, cr, x, y);
  if (self->part[1] != NULL)
    faint_formula_draw (self->part[1], cr, right, y - self->up);
  if (self->part[2] != NULL)
    faint_formula_draw (self->part[2], cr, right, y + SCRIPT_DOWN * self->size);
}

void
faint_formula_draw (const FaintFormula *self, cairo_t *cr, double x, double y)
{
  const Box *base = self->part[0];

  switch (self->kind)
    {
    case BOX_TEXT:
      draw_text (self, cr, x, y);
      break;
    case BOX_SPACE:
      break;
    case BOX_ROW:
      for (guint i = 0; i < self->row->len; i++)
        {
          const Box *box = g_ptr_array_index (self->row, i);
          faint_formula_draw (box, cr, x, y);
          x += box->width;
        }
      break;
    case BOX_SCRIPTS:
      draw_scripts (self, cr, x, y);
      break;
    case BOX_BELOW:
      faint_formula_draw (base, cr, x + 0.5 * (self->width - base->width), y);
      faint_formula_draw (self->part[1], cr, x + 0.5 * (self->width - self->part[1]->width),
                          y + base->descent + GAP * self->size + self->part[1]->ascent);
      break;
    case BOX_FRACTION:
      draw_fraction (self, cr, x, y);
      break;
    case BOX_ROOT:
      draw_root (self, cr, x, y);
      break;
    case BOX_BRACKETS:
      draw_brackets (self, cr, x, y);
      break;
    case BOX_MODULUS:
      draw_modulus (self, cr, x, y);
      break;
    }
}
