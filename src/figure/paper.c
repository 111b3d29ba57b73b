/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/paper-private.h"

#include "figure/formula.h"

#include <math.h>

#define PAIR_NAME_SHARE 0.30

static void
item_free (gpointer data)
{
  FaintPaperItem *item = data;

  g_clear_object (&item->layout);
  g_clear_pointer (&item->formula, faint_formula_free);
  for (guint i = 0; item->cells != NULL && i < item->table->n; i++)
    g_free (item->cells[i]);
  g_free (item->cells);
  g_clear_pointer (&item->table, faint_paper_table_unref);
  if (item->release != NULL)
    item->release (item->data);
  g_free (item);
}

static void
page_add (FaintPaper *self)
{
  g_ptr_array_add (self->pages, g_ptr_array_new_with_free_func (item_free));
  self->y = MARGIN_TOP;
}

/* Sizes are in points, which are the user units; glyphs stand where the outlines say. */
static PangoContext *
context_new (void)
{
  PangoContext *context = pango_font_map_create_context (pango_cairo_font_map_get_default ());
  cairo_font_options_t *options = cairo_font_options_create ();

  cairo_font_options_set_hint_style (options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics (options, CAIRO_HINT_METRICS_OFF);
  pango_cairo_context_set_font_options (context, options);
  cairo_font_options_destroy (options);
  pango_cairo_context_set_resolution (context, 72.0);
  pango_context_set_round_glyph_positions (context, FALSE);
  pango_context_set_language (context, pango_language_from_string ("en"));
  return context;
}

FaintPaper *
faint_paper_new (const char *left, const char *right, const char *foot)
{
  FaintPaper *self = g_new0 (FaintPaper, 1);

  self->left = g_strdup (left);
  self->right = g_strdup (right);
  self->foot = g_strdup (foot);
  self->context = context_new ();
  self->pages = g_ptr_array_new_with_free_func ((GDestroyNotify)g_ptr_array_unref);
  self->marks = g_array_new (FALSE, FALSE, sizeof (FaintSurfaceMark));
  page_add (self);
  return self;
}

void
faint_paper_free (FaintPaper *self)
{
  if (self == NULL)
    return;
  g_ptr_array_unref (self->pages);
  g_clear_pointer (&self->table, faint_paper_table_unref);
  for (guint i = 0; i < self->marks->len; i++)
    g_free (g_array_index (self->marks, FaintSurfaceMark, i).title);
  g_array_unref (self->marks);
  g_object_unref (self->context);
  g_free (self->left);
  g_free (self->right);
  g_free (self->foot);
  g_free (self);
}

double
faint_paper_width (const FaintPaper *self)
{
  return PAGE_WIDTH;
}

double
faint_paper_height (const FaintPaper *self)
{
  return PAGE_HEIGHT;
}

double
faint_paper_measure (const FaintPaper *self)
{
  return MEASURE;
}

double
faint_paper_left (const FaintPaper *self)
{
  return PAGE_HEIGHT - MARGIN_BOTTOM - self->y;
}

guint
faint_paper_count_pages (const FaintPaper *self)
{
  return self->pages->len;
}

static GPtrArray *
page_last (const FaintPaper *self)
{
  return g_ptr_array_index (self->pages, self->pages->len - 1);
}

void
faint_paper_break (FaintPaper *self)
{
  if (page_last (self)->len > 0)
    page_add (self);
}

void
faint_paper_need (FaintPaper *self, double height)
{
  if (faint_paper_left (self) < height)
    faint_paper_break (self);
}

void
faint_paper_space (FaintPaper *self, double height)
{
  if (self->y > MARGIN_TOP)
    self->y += height;
}

FaintPaperItem *
_faint_paper_add (FaintPaper *self, FaintPaperItemKind kind, FaintRect place)
{
  FaintPaperItem *item = g_new0 (FaintPaperItem, 1);
  item->kind = kind;
  item->place = place;
  item->part = FAINT_PART_TEXT;
  g_ptr_array_add (page_last (self), item);
  return item;
}

/* Tabular figures: digits stand under digits. No ligatures: what is read aloud or searched for is
 * the letters. */
PangoLayout *
_faint_paper_layout (PangoContext *context, const char *markup, double size, PangoWeight weight,
                     double width)
{
  PangoLayout *layout = pango_layout_new (context);
  PangoFontDescription *font = pango_font_description_from_string ("Sans");
  PangoAttrList *attributes = pango_attr_list_new ();

  pango_font_description_set_absolute_size (font, size * PANGO_SCALE);
  pango_font_description_set_weight (font, weight);
  pango_layout_set_font_description (layout, font);
  pango_font_description_free (font);
  pango_layout_set_markup (layout, markup, -1);
  if (pango_layout_get_attributes (layout) != NULL)
    {
      pango_attr_list_unref (attributes);
      attributes = pango_attr_list_copy (pango_layout_get_attributes (layout));
    }
  pango_attr_list_insert (attributes, pango_attr_font_features_new ("tnum=1, liga=0, clig=0"));
  pango_layout_set_attributes (layout, attributes);
  pango_attr_list_unref (attributes);
  pango_layout_set_width (layout, (int)lround (width * PANGO_SCALE));
  pango_layout_set_wrap (layout, PANGO_WRAP_WORD_CHAR);
  pango_layout_set_line_spacing (layout, 1.12f);
  return layout;
}

double
_faint_paper_layout_height (PangoLayout *layout)
{
  int height;
  pango_layout_get_size (layout, NULL, &height);
  return height / (double)PANGO_SCALE;
}

/* Places a text over the whole measure, from @indent, on this page or the next. */
static void
add_text (FaintPaper *self, const char *markup, double size, PangoWeight weight, FaintPart part,
          double indent)
{
  PangoLayout *layout = _faint_paper_layout (self->context, markup, size, weight, MEASURE - indent);
  double height = _faint_paper_layout_height (layout);

  faint_paper_need (self, height);
  FaintPaperItem *item = _faint_paper_add (
      self, ITEM_TEXT, (FaintRect){ MARGIN_SIDE + indent, self->y, MEASURE - indent, height });
  item->layout = layout;
  item->part = part;
  item->tag = size == SIZE_TITLE ? "H1" : size == SIZE_HEADING ? "H2" : NULL;
  self->y += height;
}

void
faint_paper_title (FaintPaper *self, const char *markup)
{
  add_text (self, markup, SIZE_TITLE, PANGO_WEIGHT_BOLD, FAINT_PART_TEXT, 0.0);
  faint_paper_space (self, 2.0);
}

/* The place of a heading, for the outline. */
static void
add_mark (FaintPaper *self, const char *markup)
{
  FaintSurfaceMark mark = { NULL, self->pages->len - 1, self->y };

  if (!pango_parse_markup (markup, -1, 0, NULL, &mark.title, NULL, NULL))
    mark.title = g_strdup (markup);
  g_array_append_val (self->marks, mark);
}

const FaintSurfaceMark *
faint_paper_marks (const FaintPaper *self, guint *n)
{
  *n = self->marks->len;
  return (const FaintSurfaceMark *)(const void *)self->marks->data;
}

void
faint_paper_heading (FaintPaper *self, const char *markup)
{
  /* A heading never stands alone at the foot of a page. */
  faint_paper_space (self, 11.0);
  faint_paper_need (self, 60.0);
  add_mark (self, markup);
  add_text (self, markup, SIZE_HEADING, PANGO_WEIGHT_BOLD, FAINT_PART_TEXT, 0.0);
  self->y += 1.5;
  _faint_paper_add (self, ITEM_RULE, (FaintRect){ MARGIN_SIDE, self->y, MEASURE, 0.0 });
  self->y += 4.0;
}

void
faint_paper_paragraph (FaintPaper *self, const char *markup)
{
  add_text (self, markup, SIZE_TEXT, PANGO_WEIGHT_NORMAL, FAINT_PART_TEXT, 0.0);
  self->y += 4.0;
}

void
faint_paper_note (FaintPaper *self, const char *markup)
{
  add_text (self, markup, SIZE_NOTE, PANGO_WEIGHT_NORMAL, FAINT_PART_TEXT_DIM, 0.0);
  self->y += 3.0;
}

/* The number stands at the right, on the line of the equation. */
void
faint_paper_equation (FaintPaper *self, const char *formula)
{
  FaintFormula *set = faint_formula_new (self->context, formula, SIZE_EQUATION);
  g_autofree char *number = g_strdup_printf ("(%u)", ++self->n_equations);
  double ascent = faint_formula_ascent (set), descent = faint_formula_descent (set);
  double height = MAX (ascent + descent, SIZE_TEXT);
  PangoLayout *layout
      = _faint_paper_layout (self->context, number, SIZE_TEXT, PANGO_WEIGHT_NORMAL, 40.0);
  double baseline = pango_layout_get_baseline (layout) / (double)PANGO_SCALE;

  self->y += 2.0;
  faint_paper_need (self, height + 4.0);
  FaintPaperItem *item = _faint_paper_add (
      self, ITEM_FORMULA, (FaintRect){ MARGIN_SIDE + 24.0, self->y, MEASURE - 64.0, ascent });
  item->formula = set;
  pango_layout_set_alignment (layout, PANGO_ALIGN_RIGHT);
  item = _faint_paper_add (
      self, ITEM_TEXT,
      (FaintRect){ MARGIN_SIDE + MEASURE - 40.0, self->y + ascent - baseline, 40.0, height });
  item->layout = layout;
  self->y += height + 6.0;
}

void
faint_paper_pair (FaintPaper *self, const char *name, const char *value)
{
  double indent = PAIR_NAME_SHARE * MEASURE;
  PangoLayout *left
      = _faint_paper_layout (self->context, name, SIZE_TEXT, PANGO_WEIGHT_NORMAL, indent - 6.0);
  PangoLayout *right = _faint_paper_layout (self->context, value, SIZE_TEXT, PANGO_WEIGHT_NORMAL,
                                            MEASURE - indent);
  double height = MAX (_faint_paper_layout_height (left), _faint_paper_layout_height (right));

  faint_paper_need (self, height);
  FaintPaperItem *item
      = _faint_paper_add (self, ITEM_TEXT, (FaintRect){ MARGIN_SIDE, self->y, indent, height });
  item->layout = left;
  item->part = FAINT_PART_TEXT_DIM;
  item = _faint_paper_add (self, ITEM_TEXT,
                           (FaintRect){ MARGIN_SIDE + indent, self->y, MEASURE - indent, height });
  item->layout = right;
  self->y += height + 1.5;
}

void
faint_paper_drawing (FaintPaper *self, double height, FaintPaperDraw draw, gpointer data,
                     GDestroyNotify release)
{
  faint_paper_need (self, height);
  FaintPaperItem *item
      = _faint_paper_add (self, ITEM_DRAWING, (FaintRect){ MARGIN_SIDE, self->y, MEASURE, height });
  item->draw = draw;
  item->data = data;
  item->release = release;
  self->y += height;
}

void
_faint_paper_show (cairo_t *cr, PangoLayout *layout, FaintPart part, double x, double y)
{
  faint_colour_set (cr, faint_palette_get (FAINT_PALETTE_PRINT)->pen[part].colour);
  cairo_move_to (cr, x, y);
  pango_cairo_show_layout (cr, layout);
  cairo_new_path (cr);
}

void
_faint_paper_draw_rule (cairo_t *cr, double x, double y, double width)
{
  faint_colour_set (cr, faint_palette_get (FAINT_PALETTE_PRINT)->pen[FAINT_PART_AXIS].colour);
  cairo_set_dash (cr, NULL, 0, 0.0);
  cairo_set_line_width (cr, 0.4);
  cairo_move_to (cr, x, y);
  cairo_rel_line_to (cr, width, 0.0);
  cairo_stroke (cr);
}

void
_faint_paper_draw_item (cairo_t *cr, const FaintPaper *self, const FaintPaperItem *item)
{
  switch (item->kind)
    {
    case ITEM_TEXT:
      _faint_paper_show (cr, item->layout, item->part, item->place.x, item->place.y);
      break;
    case ITEM_FORMULA:
      faint_colour_set (cr, faint_palette_get (FAINT_PALETTE_PRINT)->pen[FAINT_PART_TEXT].colour);
      cairo_set_dash (cr, NULL, 0, 0.0);
      faint_formula_draw (item->formula, cr, item->place.x, item->place.y + item->place.height);
      break;
    case ITEM_DRAWING:
      {
        PangoFontDescription *font = pango_font_description_from_string ("Sans");
        pango_font_description_set_absolute_size (font, SIZE_DRAWING * PANGO_SCALE);
        FaintCanvas canvas = faint_canvas_for_paper (cr, font);
        cairo_save (cr);
        item->draw (&canvas, item->place, item->data);
        cairo_restore (cr);
        pango_font_description_free (font);
        break;
      }
    case ITEM_HEAD:
    case ITEM_ROW:
      _faint_paper_draw_cells (cr, self, item);
      break;
    case ITEM_RULE:
      _faint_paper_draw_rule (cr, item->place.x, item->place.y, item->place.width);
      break;
    case ITEM_CONTENTS:
      _faint_paper_draw_contents (cr, self, item);
      break;
    }
}

char *
faint_paper_escape (const char *text)
{
  return g_markup_escape_text (text, -1);
}
