/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A column view over: rows, filter, sorter, selection.
 */
#include "app/review/review-table.h"

#include <glib/gi18n.h>
#include <math.h>

#include "app/parts/text-column.h"
#include "app/review/review-words.h"
#include "app/parts/kept-words.h"

/* One row. */
#define FAINT_TYPE_REVIEW_ITEM (faint_review_item_get_type ())
G_DECLARE_FINAL_TYPE (FaintReviewItem, faint_review_item, FAINT, REVIEW_ITEM, GObject)

struct _FaintReviewItem
{
  GObject parent;

  FaintReview *review; /* keeps the line */
  const FaintReviewLine *line;
  guint number;
};

G_DEFINE_FINAL_TYPE (FaintReviewItem, faint_review_item, G_TYPE_OBJECT)

struct _FaintReviewTable
{
  GtkWidget parent;

  GListStore *rows;
  GtkFilter *filter;
  GtkSingleSelection *selection; /* owned by the view */
  GtkColumnView *view;
  GtkWidget *scrolled;
  gboolean only_different, following;
};

enum
{
  LINE_CHOSEN,
  LINE_ACTIVATED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintReviewTable, faint_review_table, GTK_TYPE_WIDGET)

typedef enum
{
  COLUMN_POSITION,
  COLUMN_VERDICT,
  COLUMN_EN_POSITION,
  COLUMN_EN_STRENGTH,
  COLUMN_EN_LORENTZ,
  COLUMN_SNR,
  COLUMN_WORDS,
  N_COLUMNS
} Column;

static const struct
{
  const char *title, *format;
} columns[N_COLUMNS] = {
  [COLUMN_POSITION] = { N_ ("Position/cm⁻¹"), "%.5f" },
  [COLUMN_VERDICT] = { N_ ("Verdict"), NULL },
  [COLUMN_EN_POSITION] = { N_ ("Eₙ position"), "%.2f" },
  [COLUMN_EN_STRENGTH] = { N_ ("Eₙ strength"), "%.2f" },
  [COLUMN_EN_LORENTZ] = { N_ ("Eₙ Lorentz"), "%.2f" },
  [COLUMN_SNR] = { N_ ("S/N"), "%.0f" },
  [COLUMN_WORDS] = { N_ ("Reason"), NULL },
};

static void
faint_review_item_finalize (GObject *object)
{
  faint_review_unref (FAINT_REVIEW_ITEM (object)->review);
  G_OBJECT_CLASS (faint_review_item_parent_class)->finalize (object);
}

static void
faint_review_item_class_init (FaintReviewItemClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = faint_review_item_finalize;
}

static void
faint_review_item_init (FaintReviewItem *self)
{
}

static double
number_of (const FaintReviewItem *item, Column column)
{
  switch (column)
    {
    case COLUMN_POSITION:
      return item->line->position;
    case COLUMN_VERDICT:
      return item->line->verdict;
    case COLUMN_EN_POSITION:
      return faint_review_line_en (item->line, FAINT_PLACE_POSITION);
    case COLUMN_EN_STRENGTH:
      return faint_review_line_en (item->line, FAINT_PLACE_STRENGTH);
    case COLUMN_EN_LORENTZ:
      return faint_review_line_en (item->line, FAINT_PLACE_LORENTZ);
    case COLUMN_SNR:
      return item->line->snr;
    default:
      return item->number;
    }
}

static char *
text_of (const FaintReviewItem *item, Column column)
{
  double value = number_of (item, column);
  char number[G_ASCII_DTOSTR_BUF_SIZE];

  if (column == COLUMN_WORDS)
    return faint_shown_words (item->line->words);
  if (column == COLUMN_VERDICT)
    return g_strdup_printf ("%s %s", faint_review_verdict_sign (item->line->verdict),
                            faint_review_verdict_in_words (item->line->verdict));
  if (!isfinite (value))
    return g_strdup ("–");
  g_ascii_formatd (number, sizeof number, columns[column].format, fabs (value));
  return g_strconcat (value < 0.0 ? "−" : "", number, NULL);
}

/* Normalised errors by their size; what is not known comes last. */
static int
compare (gconstpointer a, gconstpointer b, gpointer data)
{
  Column column = GPOINTER_TO_UINT (data);
  double x = number_of (a, column), y = number_of (b, column);

  if (isnan (x) || isnan (y))
    return isnan (x) - isnan (y);
  if (column >= COLUMN_EN_POSITION && column <= COLUMN_EN_LORENTZ)
    x = fabs (x), y = fabs (y);
  return (x > y) - (x < y);
}

static void
fill_cell (GtkLabel *label, gpointer item, guint column)
{
  FaintReviewItem *row = item;
  g_autofree char *text = text_of (row, column);

  gtk_label_set_text (label, text);
  if (column == COLUMN_VERDICT && faint_review_verdict_stands_out (row->line->verdict))
    gtk_widget_add_css_class (GTK_WIDGET (label), "heading");
  else
    gtk_widget_remove_css_class (GTK_WIDGET (label), "heading");
  if (column == COLUMN_WORDS)
    gtk_widget_set_tooltip_text (GTK_WIDGET (label), text);
}

static gboolean
is_wanted (gpointer item, gpointer data)
{
  FaintReviewTable *self = data;

  return !self->only_different
         || faint_review_verdict_stands_out (FAINT_REVIEW_ITEM (item)->line->verdict);
}

static void
on_selected (GtkSingleSelection *selection, GParamSpec *pspec, FaintReviewTable *self)
{
  FaintReviewItem *item = gtk_single_selection_get_selected_item (selection);

  if (item && !self->following)
    g_signal_emit (self, signals[LINE_CHOSEN], 0, item->number);
}

static void
on_activate (GtkColumnView *view, guint position, FaintReviewTable *self)
{
  g_signal_emit (self, signals[LINE_ACTIVATED], 0, faint_review_table_get_number (self, position));
}

static void
faint_review_table_dispose (GObject *object)
{
  FaintReviewTable *self = FAINT_REVIEW_TABLE (object);

  g_clear_pointer (&self->scrolled, gtk_widget_unparent);
  g_clear_object (&self->rows);
  g_clear_object (&self->filter);
  G_OBJECT_CLASS (faint_review_table_parent_class)->dispose (object);
}

static void
faint_review_table_class_init (FaintReviewTableClass *klass)
{
  GType type = G_TYPE_FROM_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = faint_review_table_dispose;
  signals[LINE_CHOSEN] = g_signal_new ("line-chosen", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                       G_TYPE_NONE, 1, G_TYPE_UINT);
  signals[LINE_ACTIVATED] = g_signal_new ("line-activated", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                          NULL, G_TYPE_NONE, 1, G_TYPE_UINT);
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (GTK_WIDGET_CLASS (klass), "reviewtable");
}

static void
faint_review_table_init (FaintReviewTable *self)
{
  GtkFilterListModel *filtered;
  GtkSortListModel *sorted;

  self->view = GTK_COLUMN_VIEW (gtk_column_view_new (NULL));
  self->rows = g_list_store_new (FAINT_TYPE_REVIEW_ITEM);
  self->filter = GTK_FILTER (gtk_custom_filter_new (is_wanted, self, NULL));
  filtered = gtk_filter_list_model_new (g_object_ref (G_LIST_MODEL (self->rows)),
                                        g_object_ref (self->filter));
  sorted = gtk_sort_list_model_new (G_LIST_MODEL (filtered),
                                    g_object_ref (gtk_column_view_get_sorter (self->view)));
  self->selection = gtk_single_selection_new (G_LIST_MODEL (sorted));
  gtk_single_selection_set_autoselect (self->selection, FALSE);
  gtk_single_selection_set_can_unselect (self->selection, TRUE);
  gtk_column_view_set_model (self->view, GTK_SELECTION_MODEL (self->selection));
  g_object_unref (self->selection);
  for (guint column = 0; column < N_COLUMNS; column++)
    {
      FaintTextColumnKind kind = column == COLUMN_WORDS   ? FAINT_TEXT_COLUMN_LAST_WORDS
                                 : columns[column].format ? FAINT_TEXT_COLUMN_NUMBERS
                                                          : FAINT_TEXT_COLUMN_WORDS;
      g_autoptr (GtkColumnViewColumn) view_column
          = faint_text_column_new (_ (columns[column].title), column, kind, fill_cell, compare);

      gtk_column_view_append_column (self->view, view_column);
      if (kind == FAINT_TEXT_COLUMN_NUMBERS)
        faint_text_column_title_to_right (self->view, view_column);
    }
  gtk_widget_add_css_class (GTK_WIDGET (self->view), "data-table");
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->view), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Verdicts of the review"), -1);
  g_signal_connect (self->view, "activate", G_CALLBACK (on_activate), self);
  g_signal_connect (self->selection, "notify::selected-item", G_CALLBACK (on_selected), self);
  self->scrolled = gtk_scrolled_window_new ();
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scrolled), GTK_WIDGET (self->view));
  gtk_widget_set_vexpand (self->scrolled, TRUE);
  gtk_widget_set_size_request (self->scrolled, -1, 120);
  gtk_widget_set_parent (self->scrolled, GTK_WIDGET (self));
}

GtkWidget *
faint_review_table_new (void)
{
  return g_object_new (FAINT_TYPE_REVIEW_TABLE, NULL);
}

void
faint_review_table_set (FaintReviewTable *self, FaintReview *review)
{
  g_autoptr (GPtrArray) items = g_ptr_array_new_with_free_func (g_object_unref);

  g_return_if_fail (FAINT_IS_REVIEW_TABLE (self));
  for (guint i = 0; review && i < review->lines->len; i++)
    {
      FaintReviewItem *item = g_object_new (FAINT_TYPE_REVIEW_ITEM, NULL);

      item->review = faint_review_ref (review);
      item->line = g_ptr_array_index (review->lines, i);
      item->number = i + 1;
      g_ptr_array_add (items, item);
    }
  self->following = TRUE;
  g_list_store_splice (self->rows, 0, g_list_model_get_n_items (G_LIST_MODEL (self->rows)),
                       items->pdata, items->len);
  self->following = FALSE;
}

guint
faint_review_table_get_n_shown (FaintReviewTable *self)
{
  g_return_val_if_fail (FAINT_IS_REVIEW_TABLE (self), 0);
  return g_list_model_get_n_items (G_LIST_MODEL (self->selection));
}

guint
faint_review_table_get_number (FaintReviewTable *self, guint place)
{
  g_autoptr (FaintReviewItem) item = g_list_model_get_item (G_LIST_MODEL (self->selection), place);

  return item ? item->number : 0;
}

void
faint_review_table_select (FaintReviewTable *self, guint number)
{
  guint n, place = GTK_INVALID_LIST_POSITION;

  g_return_if_fail (FAINT_IS_REVIEW_TABLE (self));
  n = faint_review_table_get_n_shown (self);
  for (guint i = 0; number > 0 && i < n; i++)
    if (faint_review_table_get_number (self, i) == number)
      place = i;
  if (place == gtk_single_selection_get_selected (self->selection))
    return;
  self->following = TRUE;
  gtk_single_selection_set_selected (self->selection, place);
  self->following = FALSE;
  if (place != GTK_INVALID_LIST_POSITION)
    gtk_widget_activate_action (gtk_widget_get_last_child (GTK_WIDGET (self->view)),
                                "list.scroll-to-item", "u", place);
}

void
faint_review_table_set_only_different (FaintReviewTable *self, gboolean only)
{
  g_return_if_fail (FAINT_IS_REVIEW_TABLE (self));
  if (only == self->only_different)
    return;
  self->only_different = only;
  self->following = TRUE;
  gtk_filter_changed (self->filter,
                      only ? GTK_FILTER_CHANGE_MORE_STRICT : GTK_FILTER_CHANGE_LESS_STRICT);
  self->following = FALSE;
}
