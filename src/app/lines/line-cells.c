/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/lines/line-cells.h"

#include "app/lines/line-cell.h"
#include "app/parts/text-column.h"

#define ITEM_KEY "faint-item" /* GtkListItem of a cell */

#define N_SAMPLES 60 /* rows, for the width of the columns */

typedef struct
{
  FaintCellColumn shared;
  FaintLineCells *cells;
  FaintLineColumn column;
  GtkSorter *sorter;
  glong n_longest; /* characters of the longest text that was measured */
} Column;

struct _FaintLineCells
{
  GObject parent;

  FaintLineModel *model;
  Column columns[FAINT_N_LINE_COLUMNS];
  /* while the heads are asked */
  FaintLineSort *asked;
  guint n_asked, unequal;
};

G_DEFINE_FINAL_TYPE (FaintLineCells, faint_line_cells, G_TYPE_OBJECT)

/* A column view does not tell its order, but asks the sorter of each column in turn while they find
 * the two the same: so each notes that it was asked, and one of them says what it is told to. */
static int
answer (gconstpointer a, gconstpointer b, gpointer data)
{
  const Column *column = data;
  FaintLineCells *self = column->cells;

  if (self->asked == NULL || self->n_asked >= FAINT_N_LINE_COLUMNS)
    return 0;
  self->asked[self->n_asked].column = column->column;
  return self->n_asked++ == self->unequal ? -1 : 0;
}

guint
faint_line_cells_get_order (FaintLineCells *self, GtkSorter *sorter, FaintLineSort *sorts)
{
  FaintLineSort ignored[FAINT_N_LINE_COLUMNS];
  guint n;

  g_return_val_if_fail (FAINT_IS_LINE_CELLS (self), 0);
  self->asked = sorts;
  self->n_asked = 0;
  self->unequal = G_MAXUINT;
  gtk_sorter_compare (sorter, self, self->model);
  n = self->n_asked;
  self->asked = ignored;
  for (self->unequal = 0; self->unequal < n; self->unequal++)
    {
      self->n_asked = 0;
      sorts[self->unequal].descending
          = gtk_sorter_compare (sorter, self, self->model) == GTK_ORDERING_LARGER;
    }
  self->asked = NULL;
  return n;
}

static void
on_setup (GtkSignalListItemFactory *factory, GtkListItem *item, Column *column)
{
  GtkWidget *cell = faint_line_cell_new (&column->shared, G_OBJECT (column->cells));

  g_object_set_data (G_OBJECT (cell), ITEM_KEY, item);
  gtk_list_item_set_child (item, cell);
}

static void
fill (Column *column, FaintLineCell *cell, FaintLineItem *item)
{
  g_autofree char *text = faint_line_item_text (item, column->column);
  g_autofree char *words = faint_line_item_explain (item, column->column);

  faint_line_cell_set_text (cell, text);
  faint_line_cell_set_description (cell, words);
}

static void
on_bind (GtkSignalListItemFactory *factory, GtkListItem *item, Column *column)
{
  fill (column, FAINT_LINE_CELL (gtk_list_item_get_child (item)), gtk_list_item_get_item (item));
}

/* Items have other lines, or these other contents. */
static void
refresh (FaintLineCells *self)
{
  for (guint i = 0; i < FAINT_N_LINE_COLUMNS; i++)
    for (guint k = 0; k < self->columns[i].shared.cells->len; k++)
      {
        FaintLineCell *cell = g_ptr_array_index (self->columns[i].shared.cells, k);
        GtkListItem *item = g_object_get_data (G_OBJECT (cell), ITEM_KEY);

        if (gtk_list_item_get_item (item))
          fill (&self->columns[i], cell, gtk_list_item_get_item (item));
      }
}

GtkColumnViewColumn *
faint_line_cells_column_new (FaintLineCells *self, FaintLineColumn column)
{
  GtkListItemFactory *factory = gtk_signal_list_item_factory_new ();
  GtkColumnViewColumn *view_column
      = gtk_column_view_column_new (faint_line_column_title (column), factory);

  g_object_set_data_full (G_OBJECT (factory), "faint-cells", g_object_ref (self), g_object_unref);
  g_signal_connect (factory, "setup", G_CALLBACK (on_setup), &self->columns[column]);
  g_signal_connect (factory, "bind", G_CALLBACK (on_bind), &self->columns[column]);
  gtk_column_view_column_set_sorter (view_column, self->columns[column].sorter);
  gtk_column_view_column_set_resizable (view_column, TRUE);
  gtk_column_view_column_set_expand (view_column, column == FAINT_LINE_COLUMN_FLAGS);
  return view_column;
}

void
faint_line_cells_align_titles (FaintLineCells *self, GtkColumnView *view,
                               GtkColumnViewColumn *const *columns)
{
  g_return_if_fail (FAINT_IS_LINE_CELLS (self));
  for (guint i = 0; i < FAINT_N_LINE_COLUMNS; i++)
    if (!self->columns[i].shared.leading)
      faint_text_column_title_to_right (view, columns[i]);
}

/* Texts are measured only where they have more characters than those before. */
static void
sample (FaintLineCells *self, FaintLineItem *item, PangoLayout *layout)
{
  for (guint i = 0; i < FAINT_N_LINE_COLUMNS; i++)
    {
      Column *column = &self->columns[i];
      g_autofree char *text = faint_line_item_text (item, i);
      glong n = g_utf8_strlen (text, -1);
      int width;

      if (n <= column->n_longest)
        continue;
      column->n_longest = n;
      pango_layout_set_text (layout, text, -1);
      pango_layout_get_pixel_size (layout, &width, NULL);
      faint_cell_column_widen (&column->shared, width);
    }
}

void
faint_line_cells_fit (FaintLineCells *self, GtkWidget *widget)
{
  g_autoptr (PangoLayout) layout = faint_cell_column_layout_new (widget);
  guint n;

  g_return_if_fail (FAINT_IS_LINE_CELLS (self));
  n = faint_line_model_get_n_rows (self->model);
  for (guint i = 0; i < FAINT_N_LINE_COLUMNS; i++)
    faint_cell_column_set_font (&self->columns[i].shared, pango_layout_get_context (layout));
  for (guint i = 0; i < N_SAMPLES && i < n; i++)
    {
      guint row = n <= N_SAMPLES ? i : (guint)((guint64)i * (n - 1) / (N_SAMPLES - 1));
      g_autoptr (FaintLineItem) item = faint_line_model_get_row_item (self->model, row);

      sample (self, item, layout);
    }
}

void
faint_line_cells_narrow (FaintLineCells *self)
{
  g_return_if_fail (FAINT_IS_LINE_CELLS (self));
  for (guint i = 0; i < FAINT_N_LINE_COLUMNS; i++)
    self->columns[i].shared.width = self->columns[i].n_longest = 0;
}

static void
faint_line_cells_finalize (GObject *object)
{
  FaintLineCells *self = FAINT_LINE_CELLS (object);

  for (guint i = 0; i < FAINT_N_LINE_COLUMNS; i++)
    {
      g_ptr_array_unref (self->columns[i].shared.cells);
      g_clear_pointer (&self->columns[i].shared.font, pango_font_description_free);
      g_object_unref (self->columns[i].sorter);
    }
  g_object_unref (self->model);
  G_OBJECT_CLASS (faint_line_cells_parent_class)->finalize (object);
}

static void
faint_line_cells_class_init (FaintLineCellsClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = faint_line_cells_finalize;
}

static void
faint_line_cells_init (FaintLineCells *self)
{
  for (guint i = 0; i < FAINT_N_LINE_COLUMNS; i++)
    {
      Column *column = &self->columns[i];

      column->cells = self;
      column->column = i;
      column->shared.cells = g_ptr_array_new ();
      column->shared.leading = i >= FAINT_LINE_COLUMN_UPPER && i != FAINT_LINE_COLUMN_DIFFERENCE;
      column->shared.shrinks = i == FAINT_LINE_COLUMN_FLAGS;
      column->sorter = GTK_SORTER (gtk_custom_sorter_new (answer, column, NULL));
    }
}

FaintLineCells *
faint_line_cells_new (FaintLineModel *model)
{
  FaintLineCells *self = g_object_new (FAINT_TYPE_LINE_CELLS, NULL);

  self->model = g_object_ref (model);
  g_signal_connect_object (model, "window-changed", G_CALLBACK (refresh), self, G_CONNECT_SWAPPED);
  return self;
}

GtkListItem *
faint_line_cell_below (GtkWidget *widget)
{
  GtkListItem *item = g_object_get_data (G_OBJECT (widget), ITEM_KEY);

  for (GtkWidget *child = gtk_widget_get_first_child (widget); child && item == NULL;
       child = gtk_widget_get_next_sibling (child))
    item = faint_line_cell_below (child);
  return item;
}

char *
faint_line_cells_explain_at (GtkWidget *widget, double x, double y)
{
  GtkWidget *cell = gtk_widget_pick (widget, x, y, GTK_PICK_DEFAULT);

  /* the cell's text, or the frame that holds it */
  if (cell && !FAINT_IS_LINE_CELL (cell))
    cell = gtk_widget_get_first_child (cell);
  if (cell == NULL || !FAINT_IS_LINE_CELL (cell))
    return NULL;
  if (faint_line_cell_get_description (FAINT_LINE_CELL (cell)))
    return g_strdup (faint_line_cell_get_description (FAINT_LINE_CELL (cell)));
  return faint_line_cell_is_cut_off (FAINT_LINE_CELL (cell))
             ? g_strdup (faint_line_cell_get_text (FAINT_LINE_CELL (cell)))
             : NULL;
}
