/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/parts/text-column.h"

typedef struct
{
  guint column;
  FaintTextColumnKind kind;
  FaintTextColumnFill fill;
} Cells;

static void
on_setup (GtkSignalListItemFactory *factory, GtkListItem *item, const Cells *cells)
{
  GtkWidget *label = gtk_label_new (NULL);

  gtk_label_set_xalign (GTK_LABEL (label), cells->kind == FAINT_TEXT_COLUMN_NUMBERS ? 1 : 0);
  gtk_widget_add_css_class (label, "numeric");
  if (cells->kind == FAINT_TEXT_COLUMN_NUMBERS)
    gtk_widget_set_direction (label, GTK_TEXT_DIR_LTR);
  if (cells->kind == FAINT_TEXT_COLUMN_LAST_WORDS)
    gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_list_item_set_child (item, label);
}

static void
on_bind (GtkSignalListItemFactory *factory, GtkListItem *item, const Cells *cells)
{
  cells->fill (GTK_LABEL (gtk_list_item_get_child (item)), gtk_list_item_get_item (item),
               cells->column);
}

GtkColumnViewColumn *
faint_text_column_new (const char *title, guint column, FaintTextColumnKind kind,
                       FaintTextColumnFill fill, GCompareDataFunc compare)
{
  GtkListItemFactory *factory = gtk_signal_list_item_factory_new ();
  GtkColumnViewColumn *view_column = gtk_column_view_column_new (title, factory);
  g_autoptr (GtkSorter) sorter
      = GTK_SORTER (gtk_custom_sorter_new (compare, GUINT_TO_POINTER (column), NULL));
  Cells *cells = g_new (Cells, 1);

  *cells = (Cells){ column, kind, fill };
  g_object_set_data_full (G_OBJECT (factory), "faint-cells", cells, g_free);
  g_signal_connect (factory, "setup", G_CALLBACK (on_setup), cells);
  g_signal_connect (factory, "bind", G_CALLBACK (on_bind), cells);
  gtk_column_view_column_set_sorter (view_column, sorter);
  gtk_column_view_column_set_resizable (view_column, TRUE);
  gtk_column_view_column_set_expand (view_column, kind == FAINT_TEXT_COLUMN_LAST_WORDS);
  return view_column;
}

static GtkWidget *
find_label (GtkWidget *widget)
{
  GtkWidget *found = GTK_IS_LABEL (widget) ? widget : NULL;

  for (GtkWidget *child = gtk_widget_get_first_child (widget); child && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = find_label (child);
  return found;
}

/* GTK 4.8 offers no way to place a title: the view's first child holds one widget a column, whose
 * box has the label. */
void
faint_text_column_title_to_right (GtkColumnView *view, GtkColumnViewColumn *column)
{
  GtkWidget *header = gtk_widget_get_first_child (GTK_WIDGET (view));
  const char *title = gtk_column_view_column_get_title (column);

  for (GtkWidget *head = header ? gtk_widget_get_first_child (header) : NULL; head;
       head = gtk_widget_get_next_sibling (head))
    {
      GtkWidget *label = find_label (head);

      if (label && g_strcmp0 (gtk_label_get_label (GTK_LABEL (label)), title) == 0)
        {
          gboolean mirrored = gtk_widget_get_direction (head) == GTK_TEXT_DIR_RTL;

          gtk_widget_set_halign (gtk_widget_get_first_child (head),
                                 mirrored ? GTK_ALIGN_START : GTK_ALIGN_END);
        }
    }
}
