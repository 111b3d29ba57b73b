/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/paper.h"

#include <math.h>

#define MM (72.0 / 25.4)
/* ISO 216, A4. */
#define PAGE_WIDTH (210.0 * MM)
#define PAGE_HEIGHT (297.0 * MM)
#define MARGIN_SIDE (20.0 * MM)
#define MARGIN_TOP (24.0 * MM)
#define MARGIN_BOTTOM (20.0 * MM)
#define MEASURE (PAGE_WIDTH - 2.0 * MARGIN_SIDE)

#define SIZE_TITLE 17.0
#define SIZE_HEADING 11.0
#define SIZE_TEXT 8.5
#define SIZE_NOTE 7.2
#define SIZE_TABLE 6.8
#define SIZE_DRAWING 7.0
#define ROW_HEIGHT 10.2
#define PAIR_NAME_SHARE 0.30

typedef struct
{
  const FaintPaperColumn *columns; /* borrowed from the caller */
  guint n;
} Table;

typedef enum
{
  ITEM_TEXT,
  ITEM_DRAWING,
  ITEM_HEAD,
  ITEM_ROW,
  ITEM_RULE,
} ItemKind;

/* One thing on a page. Rows hold their cells as text; a layout for each would fill the memory. */
typedef struct
{
  ItemKind kind;
  FaintRect place;
  FaintPart part;
  PangoLayout *layout;
  Table table;
  char **cells;
  FaintPaperDraw draw;
  gpointer data;
  GDestroyNotify release;
} Item;

struct _FaintPaper
{
  char *left, *right, *foot;
  PangoContext *context;
  GPtrArray *pages; /* of GPtrArray of Item */
  double y;         /* where the next thing goes, on the last page */
  Table table;      /* the one being filled */
};

static void
item_free (gpointer data)
{
  Item *item = data;

  g_clear_object (&item->layout);
  for (guint i = 0; item->cells != NULL && i < item->table.n; i++)
    g_free (item->cells[i]);
  g_free (item->cells);
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
  page_add (self);
  return self;
}

void
faint_paper_free (FaintPaper *self)
{
  if (self == NULL)
    return;
  g_ptr_array_unref (self->pages);
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

static Item *
item_add (FaintPaper *self, ItemKind kind, FaintRect place)
{
  Item *item = g_new0 (Item, 1);
  item->kind = kind;
  item->place = place;
  item->part = FAINT_PART_TEXT;
  g_ptr_array_add (page_last (self), item);
  return item;
}

/* Tabular figures: digits stand under digits. */
static PangoLayout *
layout_new (PangoContext *context, const char *markup, double size, PangoWeight weight,
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
  pango_attr_list_insert (attributes, pango_attr_font_features_new ("tnum=1"));
  pango_layout_set_attributes (layout, attributes);
  pango_attr_list_unref (attributes);
  pango_layout_set_width (layout, (int)lround (width * PANGO_SCALE));
  pango_layout_set_wrap (layout, PANGO_WRAP_WORD_CHAR);
  pango_layout_set_line_spacing (layout, 1.12f);
  return layout;
}

static double
layout_height (PangoLayout *layout)
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
  PangoLayout *layout = layout_new (self->context, markup, size, weight, MEASURE - indent);
  double height = layout_height (layout);

  faint_paper_need (self, height);
  Item *item = item_add (self, ITEM_TEXT,
                         (FaintRect){ MARGIN_SIDE + indent, self->y, MEASURE - indent, height });
  item->layout = layout;
  item->part = part;
  self->y += height;
}

void
faint_paper_title (FaintPaper *self, const char *markup)
{
  add_text (self, markup, SIZE_TITLE, PANGO_WEIGHT_BOLD, FAINT_PART_TEXT, 0.0);
  faint_paper_space (self, 2.0);
}

void
faint_paper_heading (FaintPaper *self, const char *markup)
{
  /* A heading never stands alone at the foot of a page. */
  faint_paper_space (self, 11.0);
  faint_paper_need (self, 60.0);
  add_text (self, markup, SIZE_HEADING, PANGO_WEIGHT_BOLD, FAINT_PART_TEXT, 0.0);
  self->y += 1.5;
  item_add (self, ITEM_RULE, (FaintRect){ MARGIN_SIDE, self->y, MEASURE, 0.0 });
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

void
faint_paper_equation (FaintPaper *self, const char *markup)
{
  add_text (self, markup, SIZE_TEXT, PANGO_WEIGHT_NORMAL, FAINT_PART_TEXT, 24.0);
  self->y += 5.0;
}

void
faint_paper_pair (FaintPaper *self, const char *name, const char *value)
{
  double indent = PAIR_NAME_SHARE * MEASURE;
  PangoLayout *left
      = layout_new (self->context, name, SIZE_TEXT, PANGO_WEIGHT_NORMAL, indent - 6.0);
  PangoLayout *right
      = layout_new (self->context, value, SIZE_TEXT, PANGO_WEIGHT_NORMAL, MEASURE - indent);
  double height = MAX (layout_height (left), layout_height (right));

  faint_paper_need (self, height);
  Item *item = item_add (self, ITEM_TEXT, (FaintRect){ MARGIN_SIDE, self->y, indent, height });
  item->layout = left;
  item->part = FAINT_PART_TEXT_DIM;
  item = item_add (self, ITEM_TEXT,
                   (FaintRect){ MARGIN_SIDE + indent, self->y, MEASURE - indent, height });
  item->layout = right;
  self->y += height + 1.5;
}

static void
add_head (FaintPaper *self)
{
  Item *item
      = item_add (self, ITEM_HEAD, (FaintRect){ MARGIN_SIDE, self->y, MEASURE, ROW_HEIGHT + 4.0 });
  item->table = self->table;
  self->y += item->place.height;
}

void
faint_paper_table (FaintPaper *self, const FaintPaperColumn *columns, guint n)
{
  self->table = (Table){ columns, n };
  faint_paper_need (self, 4.0 * ROW_HEIGHT);
  add_head (self);
}

void
faint_paper_row (FaintPaper *self, char **cells)
{
  if (faint_paper_left (self) < ROW_HEIGHT)
    {
      faint_paper_break (self);
      add_head (self);
    }
  Item *item = item_add (self, ITEM_ROW, (FaintRect){ MARGIN_SIDE, self->y, MEASURE, ROW_HEIGHT });
  item->table = self->table;
  item->cells = cells;
  self->y += ROW_HEIGHT;
}

void
faint_paper_table_end (FaintPaper *self)
{
  item_add (self, ITEM_RULE, (FaintRect){ MARGIN_SIDE, self->y + 1.0, MEASURE, 0.0 });
  self->y += 6.0;
}

void
faint_paper_drawing (FaintPaper *self, double height, FaintPaperDraw draw, gpointer data,
                     GDestroyNotify release)
{
  faint_paper_need (self, height);
  Item *item = item_add (self, ITEM_DRAWING, (FaintRect){ MARGIN_SIDE, self->y, MEASURE, height });
  item->draw = draw;
  item->data = data;
  item->release = release;
  self->y += height;
}

static void
show_layout (cairo_t *cr, PangoLayout *layout, FaintPart part, double x, double y)
{
  faint_colour_set (cr, faint_palette_get (FAINT_PALETTE_PRINT)->pen[part].colour);
  cairo_move_to (cr, x, y);
  pango_cairo_show_layout (cr, layout);
  cairo_new_path (cr);
}

static void
draw_rule (cairo_t *cr, double x, double y, double width)
{
  faint_colour_set (cr, faint_palette_get (FAINT_PALETTE_PRINT)->pen[FAINT_PART_AXIS].colour);
  cairo_set_dash (cr, NULL, 0, 0.0);
  cairo_set_line_width (cr, 0.4);
  cairo_move_to (cr, x, y);
  cairo_rel_line_to (cr, width, 0.0);
  cairo_stroke (cr);
}

/* Cells of a head are markup, those of a row plain text. */
static void
draw_cell (cairo_t *cr, const FaintPaper *self, const char *markup, PangoWeight weight,
           FaintRect place, double align)
{
  PangoLayout *layout = layout_new (self->context, markup, SIZE_TABLE, weight, place.width);

  pango_layout_set_ellipsize (layout, PANGO_ELLIPSIZE_END);
  pango_layout_set_alignment (layout, align > 0.5 ? PANGO_ALIGN_RIGHT : PANGO_ALIGN_LEFT);
  show_layout (cr, layout, FAINT_PART_TEXT, place.x, place.y);
  g_object_unref (layout);
}

static void
draw_cells (cairo_t *cr, const FaintPaper *self, const Item *item)
{
  double total = 0.0, x = item->place.x;

  for (guint i = 0; i < item->table.n; i++)
    total += item->table.columns[i].share;
  for (guint i = 0; i < item->table.n; i++)
    {
      const FaintPaperColumn *column = &item->table.columns[i];
      double width = item->place.width * column->share / total;
      FaintRect place = { x, item->place.y, width - 5.0, item->place.height };
      if (item->kind == ITEM_HEAD)
        draw_cell (cr, self, column->head, PANGO_WEIGHT_BOLD, place, column->align);
      else
        {
          g_autofree char *markup = faint_paper_escape (item->cells[i]);
          draw_cell (cr, self, markup, PANGO_WEIGHT_NORMAL, place, column->align);
        }
      x += width;
    }
  if (item->kind == ITEM_HEAD)
    draw_rule (cr, item->place.x, item->place.y + ROW_HEIGHT + 1.0, item->place.width);
}

static void
draw_item (cairo_t *cr, const FaintPaper *self, const Item *item)
{
  switch (item->kind)
    {
    case ITEM_TEXT:
      show_layout (cr, item->layout, item->part, item->place.x, item->place.y);
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
      draw_cells (cr, self, item);
      break;
    case ITEM_RULE:
      draw_rule (cr, item->place.x, item->place.y, item->place.width);
      break;
    }
}

static void
draw_edge_text (cairo_t *cr, const FaintPaper *self, const char *text, double y,
                PangoAlignment alignment)
{
  g_autofree char *markup = faint_paper_escape (text != NULL ? text : "");
  gboolean is_right = alignment == PANGO_ALIGN_RIGHT;
  double width = (is_right ? 0.34 : 0.64) * MEASURE;
  double x = is_right ? MARGIN_SIDE + MEASURE - width : MARGIN_SIDE;
  PangoLayout *layout = layout_new (self->context, markup, SIZE_NOTE, PANGO_WEIGHT_NORMAL, width);

  pango_layout_set_alignment (layout, alignment);
  pango_layout_set_ellipsize (layout, PANGO_ELLIPSIZE_END);
  show_layout (cr, layout, FAINT_PART_TEXT_DIM, x, y);
  g_object_unref (layout);
}

void
faint_paper_draw (cairo_t *cr, guint page, gpointer paper)
{
  const FaintPaper *self = paper;
  GPtrArray *items = g_ptr_array_index (self->pages, page);
  double head = MARGIN_TOP - 11.0 * MM, foot = PAGE_HEIGHT - MARGIN_BOTTOM + 5.0 * MM;
  g_autofree char *number = g_strdup_printf ("page %u of %u", page + 1, self->pages->len);

  draw_edge_text (cr, self, self->left, head, PANGO_ALIGN_LEFT);
  draw_edge_text (cr, self, self->right, head, PANGO_ALIGN_RIGHT);
  draw_rule (cr, MARGIN_SIDE, head + 1.5 * SIZE_NOTE, MEASURE);
  draw_edge_text (cr, self, self->foot, foot, PANGO_ALIGN_LEFT);
  draw_edge_text (cr, self, number, foot, PANGO_ALIGN_RIGHT);
  for (guint i = 0; i < items->len; i++)
    draw_item (cr, self, g_ptr_array_index (items, i));
}

char *
faint_paper_escape (const char *text)
{
  return g_markup_escape_text (text, -1);
}
