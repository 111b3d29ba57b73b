/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A4 pages filled from top to bottom: headings, paragraphs, pairs, tables, drawings. What is added
 * is placed at once, so that the number of pages is known before anything is drawn. Lengths in
 * points.
 */
#pragma once

#include "figure/canvas.h"
#include "figure/surface.h"

typedef struct _FaintPaper FaintPaper;

/* @left and @right stand in the head of every page; the foot holds @foot and the page's number. */
FaintPaper *faint_paper_new (const char *left, const char *right, const char *foot);
void faint_paper_free (FaintPaper *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintPaper, faint_paper_free)

double faint_paper_width (const FaintPaper *self);   /* of a page */
double faint_paper_height (const FaintPaper *self);  /* of a page */
double faint_paper_measure (const FaintPaper *self); /* width between the margins */
/* Height that is left on the page. */
double faint_paper_left (const FaintPaper *self);
guint faint_paper_count_pages (const FaintPaper *self);

/* Goes to a new page, unless this one is empty. */
void faint_paper_break (FaintPaper *self);
/* Goes to a new page unless @height is left. */
void faint_paper_need (FaintPaper *self, double height);
void faint_paper_space (FaintPaper *self, double height);

/* All texts are Pango markup: escape what comes from a user (faint_paper_escape). */
void faint_paper_title (FaintPaper *self, const char *markup);
void faint_paper_heading (FaintPaper *self, const char *markup);
void faint_paper_paragraph (FaintPaper *self, const char *markup);
/* Small and dim: captions, remarks. */
void faint_paper_note (FaintPaper *self, const char *markup);
/* An equation in the notation of formula.h, set apart and numbered: (1), (2), ... */
void faint_paper_equation (FaintPaper *self, const char *formula);
/* A name and what it is. @value of several lines is wrapped. */
void faint_paper_pair (FaintPaper *self, const char *name, const char *value);

/* How the cells of a column stand. */
#define FAINT_PAPER_LEFT 0.0
#define FAINT_PAPER_RIGHT 1.0
#define FAINT_PAPER_POINT                                                                          \
  2.0 /* decimal point under decimal point, powers of ten under each other */
typedef struct
{
  const char *head; /* markup */
  double share;     /* of the width */
  double align;
} FaintPaperColumn;
/* A table; rows follow by faint_paper_row() with nothing else between them. Its head is repeated on
 * every page. @columns must stay as long as the paper. */
void faint_paper_table (FaintPaper *self, const FaintPaperColumn *columns, guint n);
/* Takes @cells (g_new'd array of as many new strings of plain text as the table has columns). Text
 * too long for a column that stands left is wrapped, a number too long for its column shortened. */
void faint_paper_row (FaintPaper *self, char **cells);
/* The @n rows that follow stay on one page, if each is one line high. */
void faint_paper_rows_together (FaintPaper *self, guint n);
void faint_paper_table_end (FaintPaper *self);

/* Keeps @height free over the whole measure and has it drawn by @draw later; @data is freed with
 * @release. */
typedef void (*FaintPaperDraw) (const FaintCanvas *canvas, FaintRect place, gpointer data);
void faint_paper_drawing (FaintPaper *self, double height, FaintPaperDraw draw, gpointer data,
                          GDestroyNotify release);

/* The headings and where they stand: the outline of the PDF. They last as long as the paper. */
const FaintSurfaceMark *faint_paper_marks (const FaintPaper *self, guint *n);

/* A list of @n headings with their pages in two columns; those that come before it and after it, as
 * they stand when the pages are drawn. In a tagged document each leads to its heading. */
void faint_paper_contents (FaintPaper *self, guint n);

/* Draws page @page (from 0): a FaintSurfaceDraw. @paper: a FaintPaper. */
void faint_paper_draw (cairo_t *cr, guint page, gpointer paper);
/* The same of a PDF all of whose pages are drawn once, in their order: with the structure of the
 * document for who has it read aloud or copies from it (ISO 32000-1, 14.8): sections by their
 * headings, tables that go on over pages, links. */
void faint_paper_draw_tagged (cairo_t *cr, guint page, gpointer paper);

char *faint_paper_escape (const char *text);
