/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Tables: rows that share their columns. Numbers stand with the decimal point under the decimal
 * point, and their powers of ten under each other.
 */
#include "figure/paper-private.h"

#include <string.h>

/* Between columns. */
#define GUTTER 5.0
#define TIMES "×"

/* A number in its parts. */
typedef struct
{
  char *left, *right, *tail; /* "7790", ".22034(12)", "×10⁻²⁵"; may be "" */
} Parts;

static void
parts_clear (Parts *self)
{
  g_free (self->left);
  g_free (self->right);
  g_free (self->tail);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Parts, parts_clear)

/* Without a decimal point what is in parentheses stands right of where it would be. */
static Parts
parts_of (const char *cell)
{
  const char *times = strstr (cell, TIMES);
  gsize length = times != NULL ? (gsize)(times - cell) : strlen (cell);
  gsize point = strcspn (cell, ".(");

  if (point > length)
    point = length;
  return (Parts){ g_strndup (cell, point), g_strndup (cell + point, length - point),
                  g_strdup (times != NULL ? times : "") };
}

static FaintPaperTable *
table_new (const FaintPaperColumn *columns, guint n)
{
  FaintPaperTable *self = g_new0 (FaintPaperTable, 1);

  self->columns = columns;
  self->n = n;
  self->numbers = g_new0 (FaintPaperNumbers, n);
  for (guint i = 0; i < n; i++)
    self->total += columns[i].share;
  g_atomic_ref_count_init (&self->refs);
  return self;
}

static FaintPaperTable *
table_ref (FaintPaperTable *self)
{
  g_atomic_ref_count_inc (&self->refs);
  return self;
}

void
faint_paper_table_unref (FaintPaperTable *self)
{
  if (!g_atomic_ref_count_dec (&self->refs))
    return;
  g_free (self->numbers);
  g_free (self);
}

static double
column_width (const FaintPaperTable *self, guint i)
{
  return MEASURE * self->columns[i].share / self->total;
}

static PangoLayout *
text_layout (const FaintPaper *self, const char *text, double width)
{
  g_autofree char *markup = faint_paper_escape (text);
  return _faint_paper_layout (self->context, markup, SIZE_TABLE, PANGO_WEIGHT_NORMAL, width);
}

static double
text_width (const FaintPaper *self, const char *text)
{
  PangoLayout *layout;
  int width;

  if (text[0] == '\0')
    return 0.0;
  layout = text_layout (self, text, PAGE_WIDTH);
  pango_layout_get_size (layout, &width, NULL);
  g_object_unref (layout);
  return width / (double)PANGO_SCALE;
}

/* Digits are equally wide, so a part of fewer letters than the longest is not wider. */
static void
measure_part (const FaintPaper *self, const char *part, glong *longest, double *widest)
{
  glong length = g_utf8_strlen (part, -1);

  if (length < *longest)
    return;
  *longest = length;
  *widest = MAX (*widest, text_width (self, part));
}

static void
measure_cell (const FaintPaper *self, guint i, const char *cell)
{
  g_auto (Parts) parts = parts_of (cell);
  FaintPaperNumbers *numbers = &self->table->numbers[i];

  measure_part (self, parts.left, &numbers->longest[0], &numbers->left);
  measure_part (self, parts.right, &numbers->longest[1], &numbers->right);
  measure_part (self, parts.tail, &numbers->longest[2], &numbers->tail);
}

/* Of the tallest cell: those that stand left are wrapped. */
static double
row_height (FaintPaper *self, char **cells)
{
  double height = ROW_HEIGHT;

  for (guint i = 0; i < self->table->n; i++)
    {
      double width = column_width (self->table, i) - GUTTER;

      if (self->table->columns[i].align == FAINT_PAPER_POINT)
        measure_cell (self, i, cells[i]);
      /* a letter is about half as wide as high */
      if (self->table->columns[i].align != FAINT_PAPER_LEFT
          || 0.5 * SIZE_TABLE * (double)strlen (cells[i]) < width)
        continue;
      PangoLayout *layout = text_layout (self, cells[i], width);
      height = MAX (height, _faint_paper_layout_height (layout) + 1.5);
      g_object_unref (layout);
    }
  return height;
}

static void
add_head (FaintPaper *self)
{
  FaintPaperItem *item = _faint_paper_add (
      self, ITEM_HEAD, (FaintRect){ MARGIN_SIDE, self->y, MEASURE, ROW_HEIGHT + 4.0 });

  item->table = table_ref (self->table);
  self->y += item->place.height;
}

void
faint_paper_table (FaintPaper *self, const FaintPaperColumn *columns, guint n)
{
  g_clear_pointer (&self->table, faint_paper_table_unref);
  self->table = table_new (columns, n);
  faint_paper_need (self, 4.0 * ROW_HEIGHT);
  add_head (self);
}

void
faint_paper_row (FaintPaper *self, char **cells)
{
  double height = row_height (self, cells);

  if (faint_paper_left (self) < height)
    {
      faint_paper_break (self);
      add_head (self);
    }
  FaintPaperItem *item
      = _faint_paper_add (self, ITEM_ROW, (FaintRect){ MARGIN_SIDE, self->y, MEASURE, height });
  item->table = table_ref (self->table);
  item->cells = cells;
  self->y += height;
}

void
faint_paper_rows_together (FaintPaper *self, guint n)
{
  if (faint_paper_left (self) >= n * ROW_HEIGHT)
    return;
  faint_paper_break (self);
  add_head (self);
}

void
faint_paper_table_end (FaintPaper *self)
{
  _faint_paper_add (self, ITEM_RULE, (FaintRect){ MARGIN_SIDE, self->y + 1.0, MEASURE, 0.0 });
  self->y += 6.0;
  g_clear_pointer (&self->table, faint_paper_table_unref);
}

static void
show_at (cairo_t *cr, const FaintPaper *self, const char *text, double x, double y)
{
  PangoLayout *layout;

  if (text[0] == '\0')
    return;
  layout = text_layout (self, text, PAGE_WIDTH);
  _faint_paper_show (cr, layout, FAINT_PART_TEXT, x, y);
  g_object_unref (layout);
}

/* FALSE where the parts have no room beside each other. */
static gboolean
draw_number (cairo_t *cr, const FaintPaper *self, const FaintPaperItem *item, guint i,
             FaintRect place)
{
  const FaintPaperNumbers *numbers = &item->table->numbers[i];
  double left = numbers->left, right = numbers->right, tail = numbers->tail;
  double point = place.x + place.width - tail - right;

  if (left + right + tail > place.width)
    return FALSE;
  g_auto (Parts) parts = parts_of (item->cells[i]);
  show_at (cr, self, parts.left, point - text_width (self, parts.left), place.y);
  show_at (cr, self, parts.right, point, place.y);
  show_at (cr, self, parts.tail, place.x + place.width - text_width (self, parts.tail), place.y);
  return TRUE;
}

/* Cells of a head are markup, those of a row plain text. */
static void
draw_cell (cairo_t *cr, const FaintPaper *self, const char *markup, gboolean is_head,
           FaintRect place, double align)
{
  PangoLayout *layout
      = _faint_paper_layout (self->context, markup, SIZE_TABLE,
                             is_head ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL, place.width);

  if (align > FAINT_PAPER_LEFT || is_head)
    pango_layout_set_ellipsize (layout, PANGO_ELLIPSIZE_END);
  pango_layout_set_alignment (layout, align > 0.5 ? PANGO_ALIGN_RIGHT : PANGO_ALIGN_LEFT);
  _faint_paper_show (cr, layout, FAINT_PART_TEXT, place.x, place.y);
  g_object_unref (layout);
}

void
_faint_paper_draw_cells (cairo_t *cr, const FaintPaper *self, const FaintPaperItem *item)
{
  gboolean is_head = item->kind == ITEM_HEAD;
  double x = item->place.x;

  for (guint i = 0; i < item->table->n; i++)
    {
      const FaintPaperColumn *column = &item->table->columns[i];
      double width = column_width (item->table, i);
      FaintRect place = { x, item->place.y, width - GUTTER, item->place.height };
      g_autofree char *markup
          = is_head ? g_strdup (column->head) : faint_paper_escape (item->cells[i]);

      _faint_paper_begin (cr, self, is_head ? "TH" : "TD", NULL);
      if (is_head || column->align != FAINT_PAPER_POINT || !draw_number (cr, self, item, i, place))
        draw_cell (cr, self, markup, is_head, place, column->align);
      _faint_paper_end (cr, self, is_head ? "TH" : "TD");
      x += width;
    }
  if (is_head)
    _faint_paper_draw_rule (cr, item->place.x, item->place.y + ROW_HEIGHT + 1.0, item->place.width);
}
