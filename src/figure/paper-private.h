/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Between paper.c (pages, texts, drawings) and paper-table.c.
 */
#pragma once

#include "figure/formula.h"
#include "figure/paper.h"

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
#define SIZE_EQUATION 10.0
#define SIZE_NOTE 7.2
#define SIZE_TABLE 6.8
#define SIZE_DRAWING 7.0
#define ROW_HEIGHT 10.2

/* Of the numbers of a column: how wide they are left and right of the decimal point, and their
 * powers of ten. */
typedef struct
{
  double left, right, tail;
  glong longest[3];
} FaintPaperNumbers;

/* What the rows of a table share. */
typedef struct
{
  const FaintPaperColumn *columns; /* borrowed from the caller */
  guint n;
  double total;               /* of the shares */
  FaintPaperNumbers *numbers; /* one a column */
  gatomicrefcount refs;
} FaintPaperTable;
void faint_paper_table_unref (FaintPaperTable *self);

typedef enum
{
  ITEM_TEXT,
  ITEM_FORMULA,
  ITEM_DRAWING,
  ITEM_HEAD,
  ITEM_ROW,
  ITEM_RULE,
  ITEM_CONTENTS,
} FaintPaperItemKind;

/* One thing on a page. Rows hold their cells as text; a layout for each would fill the memory. */
typedef struct
{
  FaintPaperItemKind kind;
  FaintRect place;
  FaintPart part;
  const char *tag; /* of a tagged PDF where it is not that of the kind */
  PangoLayout *layout;
  FaintFormula *formula;
  FaintPaperTable *table;
  char **cells;
  FaintPaperDraw draw;
  gpointer data;
  GDestroyNotify release;
} FaintPaperItem;

struct _FaintPaper
{
  char *left, *right, *foot;
  PangoContext *context;
  GPtrArray *pages; /* of GPtrArray of FaintPaperItem */
  GArray *marks;    /* of FaintSurfaceMark */
  double y;         /* where the next thing goes, on the last page */
  guint n_equations;
  FaintPaperTable *table; /* the one being filled, or NULL */
  /* Of the tagged document being drawn: what is open from page to page. */
  gboolean tagged, in_section;
  const FaintPaperTable *in_table; /* or NULL */
};

/* A thing on the last page. */
FaintPaperItem *_faint_paper_add (FaintPaper *self, FaintPaperItemKind kind, FaintRect place);
/* Tabular figures; wrapped at @width. */
PangoLayout *_faint_paper_layout (PangoContext *context, const char *markup, double size,
                                  PangoWeight weight, double width);
double _faint_paper_layout_height (PangoLayout *layout);
void _faint_paper_show (cairo_t *cr, PangoLayout *layout, FaintPart part, double x, double y);
void _faint_paper_draw_rule (cairo_t *cr, double x, double y, double width);
/* The cells of a head or a row. */
void _faint_paper_draw_cells (cairo_t *cr, const FaintPaper *self, const FaintPaperItem *item);
void _faint_paper_draw_item (cairo_t *cr, const FaintPaper *self, const FaintPaperItem *item);
/* paper-tags.c: what goes around a thing of a tagged document, and nothing else. */
void
_faint_paper_begin (cairo_t *cr, const FaintPaper *self, const char *tag, const char *attributes);
void _faint_paper_end (cairo_t *cr, const FaintPaper *self, const char *tag);
void _faint_paper_draw_contents (cairo_t *cr, const FaintPaper *self, const FaintPaperItem *item);
