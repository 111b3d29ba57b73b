/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "line-cells.h"

#include <math.h>

#define ITEM_KEY "faint-item"           /* GtkListItem of a cell */
#define COLUMN_KEY "faint-column"       /* FaintLineColumn of a cell */
#define EXPLAINED_KEY "faint-explained" /* not NULL: the cell has a description */

/* Not known comes last, however it is sorted the first time. */
static int
compare (gconstpointer a, gconstpointer b, gpointer data)
{
  FaintLineColumn column = GPOINTER_TO_UINT (data);
  double x = faint_line_item_number ((FaintLineItem *)a, column);
  double y = faint_line_item_number ((FaintLineItem *)b, column);

  if (isnan (x) || isnan (y))
    return isnan (x) - isnan (y);
  return (x > y) - (x < y);
}

static void
on_setup (GtkSignalListItemFactory *factory, GtkListItem *item, gpointer data)
{
  FaintLineColumn column = GPOINTER_TO_UINT (data);
  GtkWidget *label = gtk_label_new (NULL);

  if (column >= FAINT_LINE_COLUMN_UPPER && column != FAINT_LINE_COLUMN_DIFFERENCE)
    {
      gtk_label_set_xalign (GTK_LABEL (label), 0);
      if (column == FAINT_LINE_COLUMN_FLAGS)
        gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
    }
  else
    gtk_label_set_xalign (GTK_LABEL (label), 1);
  gtk_widget_add_css_class (label, "numeric");
  gtk_widget_set_direction (label, GTK_TEXT_DIR_LTR); /* digits, wherever words go */
  g_object_set_data (G_OBJECT (label), ITEM_KEY, item);
  g_object_set_data (G_OBJECT (label), COLUMN_KEY, GUINT_TO_POINTER (column));
  gtk_list_item_set_child (item, label);
}

/* What a reader of the screen hears besides; the tooltip is made when it is asked for, since
 * setting one asks the display where the pointer is. Most cells have nothing to explain, and saying
 * so to each of them takes longer than drawing all. */
static void
explain (GtkWidget *label, const char *words)
{
  if (words == NULL && g_object_get_data (G_OBJECT (label), EXPLAINED_KEY) == NULL)
    return;
  g_object_set_data (G_OBJECT (label), EXPLAINED_KEY, GINT_TO_POINTER (words != NULL));
  gtk_accessible_update_property (GTK_ACCESSIBLE (label), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
                                  words ? words : "", -1);
}

static void
on_bind (GtkSignalListItemFactory *factory, GtkListItem *item, gpointer data)
{
  FaintLineColumn column = GPOINTER_TO_UINT (data);
  g_autofree char *text = faint_line_item_text (gtk_list_item_get_item (item), column);
  g_autofree char *words = faint_line_item_explain (gtk_list_item_get_item (item), column);
  GtkWidget *label = gtk_list_item_get_child (item);

  gtk_label_set_text (GTK_LABEL (label), text);
  explain (label, words);
}

GtkColumnViewColumn *
faint_line_cells_column_new (FaintLineColumn column)
{
  GtkListItemFactory *factory = gtk_signal_list_item_factory_new ();
  GtkColumnViewColumn *view_column
      = gtk_column_view_column_new (faint_line_column_title (column), factory);
  g_autoptr (GtkSorter) sorter
      = GTK_SORTER (gtk_custom_sorter_new (compare, GUINT_TO_POINTER (column), NULL));

  g_signal_connect (factory, "setup", G_CALLBACK (on_setup), GUINT_TO_POINTER (column));
  g_signal_connect (factory, "bind", G_CALLBACK (on_bind), GUINT_TO_POINTER (column));
  gtk_column_view_column_set_sorter (view_column, sorter);
  gtk_column_view_column_set_resizable (view_column, TRUE);
  gtk_column_view_column_set_expand (view_column, column == FAINT_LINE_COLUMN_FLAGS);
  return view_column;
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
  GtkListItem *item = NULL;

  /* the label, or the frame that holds it */
  if (cell && g_object_get_data (G_OBJECT (cell), ITEM_KEY) == NULL)
    cell = gtk_widget_get_first_child (cell);
  if (cell)
    item = g_object_get_data (G_OBJECT (cell), ITEM_KEY);
  if (item == NULL || gtk_list_item_get_item (item) == NULL)
    return NULL;
  return faint_line_item_explain (
      gtk_list_item_get_item (item),
      GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (cell), COLUMN_KEY)));
}
