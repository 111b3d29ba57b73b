/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Pages as they are drawn: head and foot, what stands on them, and of a tagged PDF the structure of
 * the document around it (ISO 32000-1, 14.8.4): one Document of sections, each with its heading.
 */
#include "figure/paper-private.h"

#include <math.h>
#include <string.h>

#define CONTENTS_ROW 10.5
#define CONTENTS_GAP 14.0 /* between the columns */

void
_faint_paper_begin (cairo_t *cr, const FaintPaper *self, const char *tag, const char *attributes)
{
  if (self->tagged)
    cairo_tag_begin (cr, tag, attributes);
}

void
_faint_paper_end (cairo_t *cr, const FaintPaper *self, const char *tag)
{
  if (self->tagged)
    cairo_tag_end (cr, tag);
}

void
faint_paper_contents (FaintPaper *self, guint n)
{
  double height = CONTENTS_ROW * ((n + 1) / 2);

  if (n == 0)
    return;
  faint_paper_space (self, 8.0);
  faint_paper_need (self, height);
  _faint_paper_add (self, ITEM_CONTENTS, (FaintRect){ MARGIN_SIDE, self->y, MEASURE, height });
  self->y += height + 2.0;
}

/* The title of a heading, dots as a guide for the eye, its page. */
static void
draw_entry (cairo_t *cr, const FaintPaper *self, const FaintSurfaceMark *mark, FaintRect place)
{
  g_autofree char *title = faint_paper_escape (mark->title);
  g_autofree char *page = g_strdup_printf (" %u", mark->page + 1);
  g_autofree char *y
      = g_strdup_printf ("page=%u pos=[0 %d]", mark->page + 1, MAX ((int)lround (mark->y) - 8, 0));
  PangoLayout *left = _faint_paper_layout (self->context, title, SIZE_TEXT, PANGO_WEIGHT_NORMAL,
                                           place.width - 26.0);
  PangoLayout *right
      = _faint_paper_layout (self->context, page, SIZE_TEXT, PANGO_WEIGHT_NORMAL, 22.0);
  int width;

  pango_layout_set_ellipsize (left, PANGO_ELLIPSIZE_END);
  pango_layout_set_alignment (right, PANGO_ALIGN_RIGHT);
  pango_layout_get_size (left, &width, NULL);
  _faint_paper_begin (cr, self, "TOCI", NULL);
  _faint_paper_begin (cr, self, CAIRO_TAG_LINK, y);
  _faint_paper_show (cr, left, FAINT_PART_TEXT, place.x, place.y);
  _faint_paper_show (cr, right, FAINT_PART_TEXT, place.x + place.width - 22.0, place.y);
  _faint_paper_end (cr, self, CAIRO_TAG_LINK);
  _faint_paper_end (cr, self, "TOCI");
  faint_colour_set (cr, faint_palette_get (FAINT_PALETTE_PRINT)->pen[FAINT_PART_GRID].colour);
  cairo_set_line_width (cr, 0.5);
  cairo_set_dash (cr, (const double[]){ 0.5, 2.5 }, 2, 0.0);
  cairo_move_to (cr, place.x + width / (double)PANGO_SCALE + 4.0, place.y + 0.85 * SIZE_TEXT);
  cairo_line_to (cr, place.x + place.width - 16.0, place.y + 0.85 * SIZE_TEXT);
  cairo_stroke (cr);
  cairo_set_dash (cr, NULL, 0, 0.0);
  g_object_unref (left);
  g_object_unref (right);
}

void
_faint_paper_draw_contents (cairo_t *cr, const FaintPaper *self, const FaintPaperItem *item)
{
  guint n = self->marks->len, rows = (guint)lround (item->place.height / CONTENTS_ROW);
  double width = 0.5 * (MEASURE - CONTENTS_GAP);

  for (guint i = 0; i < MIN (n, 2 * rows); i++)
    draw_entry (cr, self, &g_array_index (self->marks, FaintSurfaceMark, i),
                (FaintRect){ item->place.x + (i / rows) * (width + CONTENTS_GAP),
                             item->place.y + (i % rows) * CONTENTS_ROW, width, CONTENTS_ROW });
}

static void
draw_edge_text (cairo_t *cr, const FaintPaper *self, const char *text, double y,
                PangoAlignment alignment)
{
  g_autofree char *markup = faint_paper_escape (text != NULL ? text : "");
  gboolean is_right = alignment == PANGO_ALIGN_RIGHT;
  double width = (is_right ? 0.34 : 0.64) * MEASURE;
  double x = is_right ? MARGIN_SIDE + MEASURE - width : MARGIN_SIDE;
  PangoLayout *layout
      = _faint_paper_layout (self->context, markup, SIZE_NOTE, PANGO_WEIGHT_NORMAL, width);

  pango_layout_set_alignment (layout, alignment);
  pango_layout_set_ellipsize (layout, PANGO_ELLIPSIZE_END);
  _faint_paper_show (cr, layout, FAINT_PART_TEXT_DIM, x, y);
  g_object_unref (layout);
}

static void
draw_edges (cairo_t *cr, const FaintPaper *self, guint page)
{
  double head = MARGIN_TOP - 11.0 * MM, foot = PAGE_HEIGHT - MARGIN_BOTTOM + 5.0 * MM;
  g_autofree char *number = g_strdup_printf ("page %u of %u", page + 1, self->pages->len);

  draw_edge_text (cr, self, self->left, head, PANGO_ALIGN_LEFT);
  draw_edge_text (cr, self, self->right, head, PANGO_ALIGN_RIGHT);
  _faint_paper_draw_rule (cr, MARGIN_SIDE, head + 1.5 * SIZE_NOTE, MEASURE);
  draw_edge_text (cr, self, self->foot, foot, PANGO_ALIGN_LEFT);
  draw_edge_text (cr, self, number, foot, PANGO_ALIGN_RIGHT);
}

/* What a thing is to who has the pages read aloud. Rules are nothing. */
static const char *const tags[] = {
  [ITEM_TEXT] = "P",          [ITEM_DRAWING] = "Figure", [ITEM_HEAD] = "TR", [ITEM_ROW] = "TR",
  [ITEM_FORMULA] = "Formula", [ITEM_CONTENTS] = "TOC",   [ITEM_RULE] = NULL
};

static void
end_table (cairo_t *cr, FaintPaper *self)
{
  if (self->in_table != NULL)
    _faint_paper_end (cr, self, "Table");
  self->in_table = NULL;
}

static void
end_section (cairo_t *cr, FaintPaper *self)
{
  end_table (cr, self);
  if (self->in_section)
    _faint_paper_end (cr, self, "Sect");
  self->in_section = FALSE;
}

/* A heading begins a section, a row its table if that has not begun. */
static void
open_around (cairo_t *cr, FaintPaper *self, const FaintPaperItem *item)
{
  gboolean is_row = item->kind == ITEM_ROW || item->kind == ITEM_HEAD;

  if (g_strcmp0 (item->tag, "H2") == 0)
    {
      end_section (cr, self);
      _faint_paper_begin (cr, self, "Sect", NULL);
      self->in_section = TRUE;
    }
  if (!is_row || item->table != self->in_table)
    end_table (cr, self);
  if (is_row && self->in_table == NULL)
    {
      _faint_paper_begin (cr, self, "Table", NULL);
      self->in_table = item->table;
    }
}

static void
draw_page (cairo_t *cr, FaintPaper *self, guint page)
{
  GPtrArray *items = g_ptr_array_index (self->pages, page);

  for (guint i = 0; i < items->len; i++)
    {
      const FaintPaperItem *item = g_ptr_array_index (items, i);
      const char *tag = item->tag != NULL ? item->tag : tags[item->kind];

      open_around (cr, self, item);
      if (tag != NULL)
        _faint_paper_begin (cr, self, tag, NULL);
      _faint_paper_draw_item (cr, self, item);
      if (tag != NULL)
        _faint_paper_end (cr, self, tag);
    }
}

void
faint_paper_draw (cairo_t *cr, guint page, gpointer paper)
{
  FaintPaper *self = paper;

  self->tagged = self->in_section = FALSE;
  self->in_table = NULL;
  draw_edges (cr, self, page);
  draw_page (cr, self, page);
}

void
faint_paper_draw_tagged (cairo_t *cr, guint page, gpointer paper)
{
  FaintPaper *self = paper;

  if (page == 0)
    {
      self->in_section = FALSE;
      self->in_table = NULL;
    }
  self->tagged = TRUE;
  draw_edges (cr, self, page);
  if (page == 0)
    _faint_paper_begin (cr, self, "Document", NULL);
  draw_page (cr, self, page);
  if (page + 1 < self->pages->len)
    return;
  end_section (cr, self);
  _faint_paper_end (cr, self, "Document");
}
