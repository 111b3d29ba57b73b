/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A set of ids as GtkSelectionModel.
 */
#include "app/lines/line-selection.h"

struct _FaintLineSelection
{
  GObject parent;

  FaintLineModel *model;
  GtkBitset *ids;
  guint start; /* id of the row from which a range goes, 0: none */
};

static void list_model_init (GListModelInterface *interface);
static void selection_model_init (GtkSelectionModelInterface *interface);
G_DEFINE_FINAL_TYPE_WITH_CODE (FaintLineSelection, faint_line_selection, G_TYPE_OBJECT,
                               G_IMPLEMENT_INTERFACE (G_TYPE_LIST_MODEL, list_model_init)
                                   G_IMPLEMENT_INTERFACE (GTK_TYPE_SELECTION_MODEL,
                                                          selection_model_init))

static guint changed;

/* The window has other rows, which are selected or not; or so are those it has. */
static void
tell_view (FaintLineSelection *self)
{
  guint n = g_list_model_get_n_items (G_LIST_MODEL (self));

  if (n > 0)
    gtk_selection_model_selection_changed (GTK_SELECTION_MODEL (self), 0, n);
}

static void
tell (FaintLineSelection *self)
{
  tell_view (self);
  g_signal_emit (self, changed, 0);
}

static guint
id_of_position (FaintLineSelection *self, guint position)
{
  return faint_line_model_get_id (self->model, faint_line_model_get_first (self->model) + position);
}

static GType
get_item_type (GListModel *model)
{
  return FAINT_TYPE_LINE_ITEM;
}

static guint
get_n_items (GListModel *model)
{
  return g_list_model_get_n_items (G_LIST_MODEL (FAINT_LINE_SELECTION (model)->model));
}

static gpointer
get_item (GListModel *model, guint position)
{
  return g_list_model_get_item (G_LIST_MODEL (FAINT_LINE_SELECTION (model)->model), position);
}

static void
list_model_init (GListModelInterface *interface)
{
  interface->get_item_type = get_item_type;
  interface->get_n_items = get_n_items;
  interface->get_item = get_item;
}

static gboolean
is_selected (GtkSelectionModel *model, guint position)
{
  FaintLineSelection *self = FAINT_LINE_SELECTION (model);
  guint id = id_of_position (self, position);

  return id > 0 && gtk_bitset_contains (self->ids, id);
}

static GtkBitset *
get_selection_in_range (GtkSelectionModel *model, guint position, guint n_items)
{
  GtkBitset *positions = gtk_bitset_new_empty ();

  for (guint i = 0; i < n_items; i++)
    if (is_selected (model, position + i))
      gtk_bitset_add (positions, position + i);
  return positions;
}

static gboolean
select_item (GtkSelectionModel *model, guint position, gboolean unselect_rest)
{
  FaintLineSelection *self = FAINT_LINE_SELECTION (model);
  guint id = id_of_position (self, position);

  if (unselect_rest)
    gtk_bitset_remove_all (self->ids);
  if (id > 0)
    gtk_bitset_add (self->ids, id);
  self->start = id;
  tell (self);
  return TRUE;
}

static gboolean
unselect_item (GtkSelectionModel *model, guint position)
{
  FaintLineSelection *self = FAINT_LINE_SELECTION (model);

  gtk_bitset_remove (self->ids, id_of_position (self, position));
  tell (self);
  return TRUE;
}

/* Of the window's rows. */
static gboolean
set_selection (GtkSelectionModel *model, GtkBitset *selected, GtkBitset *mask)
{
  FaintLineSelection *self = FAINT_LINE_SELECTION (model);
  GtkBitsetIter iter;
  guint position;

  for (gboolean more = gtk_bitset_iter_init_first (&iter, mask, &position); more;
       more = gtk_bitset_iter_next (&iter, &position))
    {
      guint id = id_of_position (self, position);

      if (id > 0 && gtk_bitset_contains (selected, position))
        gtk_bitset_add (self->ids, id);
      else
        gtk_bitset_remove (self->ids, id);
    }
  tell (self);
  return TRUE;
}

/* Of all rows. */
static gboolean
select_all (GtkSelectionModel *model)
{
  FaintLineSelection *self = FAINT_LINE_SELECTION (model);
  guint n = faint_line_model_get_n_rows (self->model);

  for (guint row = 0; row < n; row++)
    gtk_bitset_add (self->ids, faint_line_model_get_id (self->model, row));
  tell (self);
  return TRUE;
}

static gboolean
unselect_all (GtkSelectionModel *model)
{
  FaintLineSelection *self = FAINT_LINE_SELECTION (model);

  gtk_bitset_remove_all (self->ids);
  tell (self);
  return TRUE;
}

static void
selection_model_init (GtkSelectionModelInterface *interface)
{
  interface->is_selected = is_selected;
  interface->get_selection_in_range = get_selection_in_range;
  interface->select_item = select_item;
  interface->unselect_item = unselect_item;
  interface->set_selection = set_selection;
  interface->select_all = select_all;
  interface->unselect_all = unselect_all;
}

/* No edit is to reach a line that is not shown. */
static void
forget_hidden (FaintLineSelection *self)
{
  g_autoptr (GtkBitset) selected = gtk_bitset_copy (self->ids);
  GtkBitsetIter iter;
  guint id;

  for (gboolean more = gtk_bitset_iter_init_first (&iter, selected, &id); more;
       more = gtk_bitset_iter_next (&iter, &id))
    if (faint_line_model_get_row (self->model, id) == FAINT_NO_ROW)
      gtk_bitset_remove (self->ids, id);
}

static void
on_items_changed (GListModel *model, guint position, guint removed, guint added,
                  FaintLineSelection *self)
{
  g_list_model_items_changed (G_LIST_MODEL (self), position, removed, added);
}

static void
faint_line_selection_finalize (GObject *object)
{
  FaintLineSelection *self = FAINT_LINE_SELECTION (object);

  g_signal_handlers_disconnect_by_data (self->model, self);
  g_clear_object (&self->model);
  g_clear_pointer (&self->ids, gtk_bitset_unref);
  G_OBJECT_CLASS (faint_line_selection_parent_class)->finalize (object);
}

static void
faint_line_selection_class_init (FaintLineSelectionClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = faint_line_selection_finalize;
  changed = g_signal_new ("changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                          NULL, G_TYPE_NONE, 0);
}

static void
faint_line_selection_init (FaintLineSelection *self)
{
  self->ids = gtk_bitset_new_empty ();
}

FaintLineSelection *
faint_line_selection_new (FaintLineModel *model)
{
  FaintLineSelection *self = g_object_new (FAINT_TYPE_LINE_SELECTION, NULL);

  self->model = g_object_ref (model);
  g_signal_connect (model, "items-changed", G_CALLBACK (on_items_changed), self);
  g_signal_connect_swapped (model, "window-changed", G_CALLBACK (tell_view), self);
  g_signal_connect_swapped (model, "rows-changed", G_CALLBACK (forget_hidden), self);
  return self;
}

gboolean
faint_line_selection_contains (FaintLineSelection *self, guint id)
{
  g_return_val_if_fail (FAINT_IS_LINE_SELECTION (self), FALSE);
  return gtk_bitset_contains (self->ids, id);
}

GArray *
faint_line_selection_get_ids (FaintLineSelection *self)
{
  GArray *ids = g_array_new (FALSE, FALSE, sizeof (guint));
  gsize n_left = gtk_bitset_get_size (self->ids);

  for (guint row = 0; n_left > 0 && row < faint_line_model_get_n_rows (self->model); row++)
    {
      guint id = faint_line_model_get_id (self->model, row);

      if (!gtk_bitset_contains (self->ids, id))
        continue;
      g_array_append_val (ids, id);
      n_left--;
    }
  return ids;
}

guint
faint_line_selection_get_n (FaintLineSelection *self)
{
  g_return_val_if_fail (FAINT_IS_LINE_SELECTION (self), 0);
  return (guint)gtk_bitset_get_size (self->ids);
}

void
faint_line_selection_set_ids (FaintLineSelection *self, const guint *ids, gsize n)
{
  g_return_if_fail (FAINT_IS_LINE_SELECTION (self));
  gtk_bitset_remove_all (self->ids);
  for (gsize i = 0; i < n; i++)
    if (faint_line_model_get_row (self->model, ids[i]) != FAINT_NO_ROW)
      gtk_bitset_add (self->ids, ids[i]);
  tell (self);
}

void
faint_line_selection_toggle (FaintLineSelection *self, guint id)
{
  g_return_if_fail (FAINT_IS_LINE_SELECTION (self));
  if (faint_line_model_get_row (self->model, id) == FAINT_NO_ROW)
    return;
  if (!gtk_bitset_remove (self->ids, id))
    gtk_bitset_add (self->ids, id);
  self->start = id;
  tell (self);
}

void
faint_line_selection_select_row (FaintLineSelection *self, guint row)
{
  guint id;

  g_return_if_fail (FAINT_IS_LINE_SELECTION (self));
  id = faint_line_model_get_id (self->model, row);
  if (id == 0)
    return;
  gtk_bitset_remove_all (self->ids);
  gtk_bitset_add (self->ids, id);
  self->start = id;
  tell (self);
}

void
faint_line_selection_extend_to (FaintLineSelection *self, guint row, gboolean modify)
{
  guint start, select;

  g_return_if_fail (FAINT_IS_LINE_SELECTION (self));
  start = faint_line_model_get_row (self->model, self->start);
  if (start == FAINT_NO_ROW || row >= faint_line_model_get_n_rows (self->model))
    {
      faint_line_selection_select_row (self, row);
      return;
    }
  select = !modify || gtk_bitset_contains (self->ids, self->start);
  if (!modify)
    gtk_bitset_remove_all (self->ids);
  for (guint i = MIN (start, row); i <= MAX (start, row); i++)
    if (select)
      gtk_bitset_add (self->ids, faint_line_model_get_id (self->model, i));
    else
      gtk_bitset_remove (self->ids, faint_line_model_get_id (self->model, i));
  tell (self);
}
