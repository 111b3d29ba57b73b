/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Rows as indexes into an immutable list, and a window of them as GListModel.
 */
#include "app/lines/line-model.h"

#include <math.h>
#include <string.h>

struct _FaintLineModel
{
  GObject parent;

  FaintLineList *list;     /* may be NULL */
  GHashTable *differences; /* FaintLineDifference by id, or NULL */
  FaintLineNotation notation;
  FaintRange view;         /* whose lines alone are rows, or not valid */
  FaintLineFilter *filter; /* or NULL */
  FaintLineSort sorts[FAINT_N_LINE_COLUMNS];
  guint n_sorts;

  GArray *rows;   /* guint, index in the list */
  GArray *places; /* guint, row of an index, or FAINT_NO_ROW */

  guint first, n_window;
  guint anchor;     /* id */
  GPtrArray *items; /* FaintLineItem of the window */
};

static void list_model_init (GListModelInterface *interface);
G_DEFINE_FINAL_TYPE_WITH_CODE (FaintLineModel, faint_line_model, G_TYPE_OBJECT,
                               G_IMPLEMENT_INTERFACE (G_TYPE_LIST_MODEL, list_model_init))

static guint window_changing, window_changed, rows_changed;

static const FaintLineDifference *
difference_of (FaintLineModel *self, const FaintLine *line)
{
  return self->differences ? g_hash_table_lookup (self->differences, GUINT_TO_POINTER (line->id))
                           : NULL;
}

/* The rows in the order of the list. */
static void
choose_rows (FaintLineModel *self)
{
  guint n = self->list ? (guint)faint_line_list_get_n (self->list) : 0;

  g_array_set_size (self->rows, 0);
  for (guint index = 0; index < n; index++)
    {
      const FaintLine *line = faint_line_list_get (self->list, index);

      if (faint_range_is_valid (self->view)
          && !faint_range_contains (self->view, line->position.value))
        continue;
      if (self->filter == NULL
          || faint_line_filter_matches (self->filter, line, index + 1, difference_of (self, line)))
        g_array_append_val (self->rows, index);
    }
}

typedef struct
{
  const double *keys; /* by column of the order, then by index */
  gsize n;            /* lines */
  const FaintLineSort *sorts;
  guint n_sorts;
} Order;

static int
compare (gconstpointer a, gconstpointer b, gpointer data)
{
  const Order *order = data;
  guint i = *(const guint *)a, k = *(const guint *)b;

  for (guint s = 0; s < order->n_sorts; s++)
    {
      double x = order->keys[s * order->n + i], y = order->keys[s * order->n + k];

      if (isnan (x) != isnan (y))
        return isnan (x) ? 1 : -1;
      if (x != y && !isnan (x))
        return (x < y) == order->sorts[s].descending ? 1 : -1;
    }
  return (i > k) - (i < k);
}

static void
sort_rows (FaintLineModel *self)
{
  gsize n = self->list ? faint_line_list_get_n (self->list) : 0;
  g_autofree double *keys = NULL;
  Order order = { .n = n, .sorts = self->sorts, .n_sorts = self->n_sorts };

  if (self->n_sorts == 0 || self->rows->len < 2)
    return;
  order.keys = keys = g_new (double, self->n_sorts *n);
  for (guint s = 0; s < self->n_sorts; s++)
    for (guint row = 0; row < self->rows->len; row++)
      {
        guint index = g_array_index (self->rows, guint, row);
        const FaintLine *line = faint_line_list_get (self->list, index);

        keys[s * n + index] = faint_line_column_value (line, index + 1, difference_of (self, line),
                                                       self->sorts[s].column);
        if (self->sorts[s].column == FAINT_LINE_COLUMN_POSITION
            && faint_axis_unit_falls (self->notation.axis.kind))
          keys[s * n + index] = -keys[s * n + index];
      }
  g_qsort_with_data (self->rows->data, (int)self->rows->len, sizeof (guint), compare, &order);
}

static void
find_places (FaintLineModel *self)
{
  guint n = self->list ? (guint)faint_line_list_get_n (self->list) : 0;

  g_array_set_size (self->places, n);
  for (guint index = 0; index < n; index++)
    g_array_index (self->places, guint, index) = FAINT_NO_ROW;
  for (guint row = 0; row < self->rows->len; row++)
    g_array_index (self->places, guint, g_array_index (self->rows, guint, row)) = row;
}

/* Items stay in their places and get other lines, so that a view has nothing to make anew. */
static void
fill_window (FaintLineModel *self)
{
  guint n = MIN (self->n_window, self->rows->len - self->first), n_before = self->items->len;

  for (guint i = 0; i < n; i++)
    {
      guint index = g_array_index (self->rows, guint, self->first + i);

      if (i < n_before)
        faint_line_item_set (self->items->pdata[i], self->list, self->differences, index);
      else
        g_ptr_array_add (self->items, faint_line_item_new (self->list, self->differences, index));
      faint_line_item_set_notation (self->items->pdata[i], &self->notation);
    }
  if (n < n_before)
    g_ptr_array_remove_range (self->items, n, n_before - n);
  if (n != n_before)
    g_list_model_items_changed (G_LIST_MODEL (self), MIN (n, n_before),
                                n_before - MIN (n, n_before), n - MIN (n, n_before));
}

static void
move_window (FaintLineModel *self, guint first)
{
  guint n_most = self->rows->len > self->n_window ? self->rows->len - self->n_window : 0;

  self->first = MIN (first, n_most);
  g_signal_emit (self, window_changing, 0);
  fill_window (self);
  g_signal_emit (self, window_changed, 0);
}

/* Where the anchor is in the window, 0 where it is above. */
static guint
slot_of_anchor (FaintLineModel *self)
{
  guint row = faint_line_model_get_row (self, self->anchor);

  return row == FAINT_NO_ROW || row < self->first ? 0 : row - self->first;
}

/* Filters and sorts anew; the anchor is to be at @slot as before. */
static void
renew (FaintLineModel *self, guint slot)
{
  guint row;

  choose_rows (self);
  sort_rows (self);
  find_places (self);
  row = faint_line_model_get_row (self, self->anchor);
  move_window (self, row == FAINT_NO_ROW || row < slot ? 0 : row - slot);
  g_signal_emit (self, rows_changed, 0);
}

/* An anchor that is not in @list hands over to the next row that is. */
static void
hand_over_anchor (FaintLineModel *self, FaintLineList *list)
{
  guint row = faint_line_model_get_row (self, self->anchor);

  for (guint id; row != FAINT_NO_ROW && (id = faint_line_model_get_id (self, row)) > 0; row++)
    if (faint_line_list_find (list, id))
      {
        self->anchor = id;
        return;
      }
}

static GType
get_item_type (GListModel *model)
{
  return FAINT_TYPE_LINE_ITEM;
}

static guint
get_n_items (GListModel *model)
{
  return FAINT_LINE_MODEL (model)->items->len;
}

static gpointer
get_item (GListModel *model, guint position)
{
  FaintLineModel *self = FAINT_LINE_MODEL (model);

  return position < self->items->len ? g_object_ref (g_ptr_array_index (self->items, position))
                                     : NULL;
}

static void
list_model_init (GListModelInterface *interface)
{
  interface->get_item_type = get_item_type;
  interface->get_n_items = get_n_items;
  interface->get_item = get_item;
}

static void
faint_line_model_finalize (GObject *object)
{
  FaintLineModel *self = FAINT_LINE_MODEL (object);

  g_ptr_array_unref (self->items);
  g_array_unref (self->rows);
  g_array_unref (self->places);
  g_clear_pointer (&self->list, faint_line_list_unref);
  g_clear_pointer (&self->differences, g_hash_table_unref);
  g_clear_pointer (&self->filter, faint_line_filter_free);
  G_OBJECT_CLASS (faint_line_model_parent_class)->finalize (object);
}

static void
faint_line_model_class_init (FaintLineModelClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = faint_line_model_finalize;
  window_changing = g_signal_new ("window-changing", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST,
                                  0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  window_changed = g_signal_new ("window-changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0,
                                 NULL, NULL, NULL, G_TYPE_NONE, 0);
  rows_changed = g_signal_new ("rows-changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0,
                               NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
faint_line_model_init (FaintLineModel *self)
{
  self->rows = g_array_new (FALSE, FALSE, sizeof (guint));
  self->places = g_array_new (FALSE, FALSE, sizeof (guint));
  self->items = g_ptr_array_new_with_free_func (g_object_unref);
  self->n_window = G_MAXUINT;
  self->notation.axis = FAINT_AXIS_UNIT_DEFAULT;
  self->view = (FaintRange){ NAN, NAN };
}

FaintLineModel *
faint_line_model_new (void)
{
  return g_object_new (FAINT_TYPE_LINE_MODEL, NULL);
}

void
faint_line_model_set_list (FaintLineModel *self, FaintLineList *list)
{
  guint slot;

  g_return_if_fail (FAINT_IS_LINE_MODEL (self));
  if (list == self->list)
    return;
  if (list)
    hand_over_anchor (self, list);
  slot = slot_of_anchor (self);
  if (list)
    faint_line_list_ref (list);
  g_clear_pointer (&self->list, faint_line_list_unref);
  self->list = list;
  renew (self, slot);
}

FaintLineList *
faint_line_model_get_list (FaintLineModel *self)
{
  g_return_val_if_fail (FAINT_IS_LINE_MODEL (self), NULL);
  return self->list;
}

/* The most that a difference has in the unit shown. */
static void
find_decimals (FaintLineModel *self)
{
  GHashTableIter iter;
  gpointer difference;

  self->notation.decimals = 0;
  if (self->differences == NULL)
    return;
  g_hash_table_iter_init (&iter, self->differences);
  while (g_hash_table_iter_next (&iter, NULL, &difference))
    self->notation.decimals = MAX (
        self->notation.decimals, faint_line_difference_decimals (difference, &self->notation.axis));
}

void
faint_line_model_set_axis (FaintLineModel *self, const FaintAxisUnit *axis)
{
  g_return_if_fail (FAINT_IS_LINE_MODEL (self));
  self->notation.axis = *axis;
  find_decimals (self);
  renew (self, slot_of_anchor (self));
}

const FaintAxisUnit *
faint_line_model_get_axis (FaintLineModel *self)
{
  g_return_val_if_fail (FAINT_IS_LINE_MODEL (self), NULL);
  return &self->notation.axis;
}

void
faint_line_model_set_view (FaintLineModel *self, FaintRange view)
{
  g_return_if_fail (FAINT_IS_LINE_MODEL (self));
  self->view = view;
  renew (self, slot_of_anchor (self));
}

void
faint_line_model_set_differences (FaintLineModel *self, GHashTable *differences)
{
  g_return_if_fail (FAINT_IS_LINE_MODEL (self));
  if (differences == self->differences)
    return;
  g_clear_pointer (&self->differences, g_hash_table_unref);
  self->differences = differences ? g_hash_table_ref (differences) : NULL;
  find_decimals (self);
  renew (self, slot_of_anchor (self));
}

void
faint_line_model_set_filter (FaintLineModel *self, FaintLineFilter *filter)
{
  g_return_if_fail (FAINT_IS_LINE_MODEL (self));
  g_clear_pointer (&self->filter, faint_line_filter_free);
  self->filter = filter;
  renew (self, slot_of_anchor (self));
}

void
faint_line_model_set_order (FaintLineModel *self, const FaintLineSort *sorts, guint n)
{
  g_return_if_fail (FAINT_IS_LINE_MODEL (self));
  g_return_if_fail (n <= FAINT_N_LINE_COLUMNS);
  if (n > 0)
    memcpy (self->sorts, sorts, n * sizeof *sorts);
  self->n_sorts = n;
  renew (self, slot_of_anchor (self));
}

guint
faint_line_model_get_n_rows (FaintLineModel *self)
{
  g_return_val_if_fail (FAINT_IS_LINE_MODEL (self), 0);
  return self->rows->len;
}

guint
faint_line_model_get_id (FaintLineModel *self, guint row)
{
  g_return_val_if_fail (FAINT_IS_LINE_MODEL (self), 0);
  return row < self->rows->len
             ? faint_line_list_get (self->list, g_array_index (self->rows, guint, row))->id
             : 0;
}

guint
faint_line_model_get_row (FaintLineModel *self, guint id)
{
  gsize index;

  g_return_val_if_fail (FAINT_IS_LINE_MODEL (self), FAINT_NO_ROW);
  index = self->list && id > 0 ? faint_line_list_index_of (self->list, id) : G_MAXSIZE;
  return index < self->places->len ? g_array_index (self->places, guint, index) : FAINT_NO_ROW;
}

FaintLineItem *
faint_line_model_get_row_item (FaintLineModel *self, guint row)
{
  FaintLineItem *item;

  g_return_val_if_fail (FAINT_IS_LINE_MODEL (self), NULL);
  if (row >= self->rows->len)
    return NULL;
  item
      = faint_line_item_new (self->list, self->differences, g_array_index (self->rows, guint, row));
  faint_line_item_set_notation (item, &self->notation);
  return item;
}

void
faint_line_model_set_window (FaintLineModel *self, guint first, guint n)
{
  g_return_if_fail (FAINT_IS_LINE_MODEL (self));
  if (first == self->first && n == self->n_window)
    return;
  self->n_window = n;
  move_window (self, first);
}

guint
faint_line_model_get_first (FaintLineModel *self)
{
  g_return_val_if_fail (FAINT_IS_LINE_MODEL (self), 0);
  return self->first;
}

guint
faint_line_model_get_anchor (FaintLineModel *self)
{
  g_return_val_if_fail (FAINT_IS_LINE_MODEL (self), 0);
  return self->anchor;
}

void
faint_line_model_set_anchor (FaintLineModel *self, guint id)
{
  g_return_if_fail (FAINT_IS_LINE_MODEL (self));
  self->anchor = id;
}
