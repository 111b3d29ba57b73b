/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A column view over: model, filter, sorter, selection.
 */
#include "line-table.h"

#include <glib/gi18n.h>

#include "line-cells.h"
#include "line-filter.h"

#define COLUMN_KEY "faint-column"

struct _FaintLineTable
{
  GtkWidget parent;

  FaintSession *session;
  FaintLineFilter *conditions; /* or NULL: all rows */
  FaintLineModel *lines;
  GtkCustomFilter *filter;
  GtkFilterListModel *filtered;
  GtkMultiSelection *selection;
  GtkWidget *scrolled;
  GtkWidget *menu; /* GtkPopoverMenu, or NULL */
  GtkColumnView *view;
  GtkColumnViewColumn *columns[FAINT_N_LINE_COLUMNS];
  FaintLineColumns *choice;
  gboolean labelled[2]; /* some line has a label of the upper, the lower level */
  gboolean calculated;  /* some line has a difference from its calculated position */
  gboolean following;   /* the selection is being set from the session */
};

enum
{
  ACTIVATE_LINE,
  ROWS_SELECTED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintLineTable, faint_line_table, GTK_TYPE_WIDGET)

static guint
id_at (FaintLineTable *self, guint row)
{
  g_autoptr (FaintLineItem) item = g_list_model_get_item (G_LIST_MODEL (self->selection), row);

  return item ? faint_line_item_get_line (item)->id : 0;
}

static guint
row_of (FaintLineTable *self, guint id)
{
  guint n = g_list_model_get_n_items (G_LIST_MODEL (self->selection));

  for (guint row = 0; id > 0 && row < n; row++)
    if (id_at (self, row) == id)
      return row;
  return GTK_INVALID_LIST_POSITION;
}

/* The list inside the column view knows how to scroll to a row. */
static void
scroll_to (FaintLineTable *self, guint row)
{
  GtkWidget *child = gtk_widget_get_first_child (GTK_WIDGET (self->view));

  while (child && strcmp (gtk_widget_get_css_name (child), "listview") != 0)
    child = gtk_widget_get_next_sibling (child);
  if (child)
    gtk_widget_activate_action (child, "list.scroll-to-item", "u", row);
}

/* The panes change all selected rows. */
static void
tell_several (FaintLineTable *self)
{
  g_autoptr (GArray) ids = faint_line_table_get_selected (self);

  faint_session_set_several (self->session, (const guint *)(void *)ids->data, ids->len);
}

/* Selects the session's line alone, unless it is among those selected. */
static void
follow_session (FaintLineTable *self)
{
  guint row = row_of (self, faint_session_get_selected (self->session));
  GtkSelectionModel *model = GTK_SELECTION_MODEL (self->selection);

  self->following = TRUE;
  if (row == GTK_INVALID_LIST_POSITION)
    gtk_selection_model_unselect_all (model);
  else if (!gtk_selection_model_is_selected (model, row))
    {
      gtk_selection_model_select_item (model, row, TRUE);
      scroll_to (self, row);
    }
  self->following = FALSE;
  tell_several (self);
}

/* In one pass, for a list of thousands that are all selected. */
static void
select_rows_of (FaintLineTable *self, const guint *ids, gsize n_ids)
{
  g_autoptr (GHashTable) wanted = g_hash_table_new (NULL, NULL);
  g_autoptr (GtkBitset) rows = gtk_bitset_new_empty ();
  guint n = g_list_model_get_n_items (G_LIST_MODEL (self->selection));
  g_autoptr (GtkBitset) all = gtk_bitset_new_range (0, n);

  for (gsize i = 0; i < n_ids; i++)
    g_hash_table_add (wanted, GUINT_TO_POINTER (ids[i]));
  for (guint row = 0; row < n; row++)
    if (g_hash_table_contains (wanted, GUINT_TO_POINTER (id_at (self, row))))
      gtk_bitset_add (rows, row);
  gtk_selection_model_set_selection (GTK_SELECTION_MODEL (self->selection), rows, all);
}

static void
on_session_selection (FaintSession *session, FaintLineTable *self)
{
  if (!self->following)
    follow_session (self);
}

static void
on_selection (GtkSelectionModel *model, guint position, guint n_items, FaintLineTable *self)
{
  g_autoptr (GtkBitset) selected = NULL;
  guint row, n;

  if (self->following)
    return;
  selected = gtk_selection_model_get_selection (model);
  n = gtk_bitset_get_size (selected);
  row = row_of (self, faint_session_get_selected (self->session));
  /* one of several keeps its place as the line of the panes */
  if (!(n > 1 && row != GTK_INVALID_LIST_POSITION && gtk_bitset_contains (selected, row)))
    {
      self->following = TRUE;
      faint_session_set_selected (self->session,
                                  n > 0 ? id_at (self, gtk_bitset_get_nth (selected, 0)) : 0);
      self->following = FALSE;
    }
  tell_several (self);
  g_signal_emit (self, signals[ROWS_SELECTED], 0);
}

static void
pop_up (FaintLineTable *self, double x, double y)
{
  const GdkRectangle at = { (int)x, (int)y, 1, 1 };

  if (self->menu == NULL)
    return;
  gtk_popover_set_pointing_to (GTK_POPOVER (self->menu), &at);
  gtk_popover_popup (GTK_POPOVER (self->menu));
}

/* The widget of the row there, or NULL, and its number. */
static GtkWidget *
row_at (FaintLineTable *self, double x, double y, guint *row)
{
  GtkWidget *widget = gtk_widget_pick (GTK_WIDGET (self), x, y, GTK_PICK_DEFAULT);
  GtkListItem *item;

  while (widget && widget != GTK_WIDGET (self)
         && strcmp (gtk_widget_get_css_name (widget), "row") != 0)
    widget = gtk_widget_get_parent (widget);
  item = widget && widget != GTK_WIDGET (self) ? faint_line_cell_below (widget) : NULL;
  *row = item ? gtk_list_item_get_position (item) : GTK_INVALID_LIST_POSITION;
  return item ? widget : NULL;
}

/* A row outside of the selection is selected alone. */
static void
select_at (FaintLineTable *self, double x, double y)
{
  guint row;

  row_at (self, x, y, &row);
  if (row != GTK_INVALID_LIST_POSITION
      && !gtk_selection_model_is_selected (GTK_SELECTION_MODEL (self->selection), row))
    gtk_selection_model_select_item (GTK_SELECTION_MODEL (self->selection), row, TRUE);
}

static void
on_right_click (GtkGestureClick *gesture, int n_press, double x, double y, FaintLineTable *self)
{
  gtk_gesture_set_state (GTK_GESTURE (gesture), GTK_EVENT_SEQUENCE_CLAIMED);
  select_at (self, x, y);
  pop_up (self, x, y);
}

/* Ctrl and a click take a row into the selection, or out of it. Left to the toolkit, the cell and
 * the row both do so, one after the other, and nothing changes (GTK 4.8). */
static void
on_click (GtkGestureClick *gesture, int n_press, double x, double y, FaintLineTable *self)
{
  GdkModifierType state
      = gtk_event_controller_get_current_event_state (GTK_EVENT_CONTROLLER (gesture));
  guint row;
  GtkWidget *widget = row_at (self, x, y, &row);

  if (!(state & GDK_CONTROL_MASK) || (state & GDK_SHIFT_MASK) || widget == NULL)
    {
      gtk_gesture_set_state (GTK_GESTURE (gesture), GTK_EVENT_SEQUENCE_DENIED);
      return;
    }
  gtk_gesture_set_state (GTK_GESTURE (gesture), GTK_EVENT_SEQUENCE_CLAIMED);
  gtk_widget_grab_focus (widget);
  /* of the list in the view: position, toggles, extends */
  gtk_widget_activate_action (widget, "list.select-item", "(ubb)", row, TRUE, FALSE);
}

/* At the row with the focus. */
static gboolean
on_menu_key (GtkWidget *widget, GVariant *arguments, gpointer data)
{
  GtkWidget *row = gtk_root_get_focus (gtk_widget_get_root (widget));
  double x = 0, y = 0;

  if (row && gtk_widget_is_ancestor (row, widget))
    gtk_widget_translate_coordinates (row, widget, gtk_widget_get_width (row) / 4,
                                      gtk_widget_get_height (row), &x, &y);
  pop_up (FAINT_LINE_TABLE (widget), x, y);
  return GDK_EVENT_STOP;
}

static gboolean
on_query_tooltip (GtkWidget *widget, int x, int y, gboolean by_keyboard, GtkTooltip *tooltip,
                  gpointer data)
{
  g_autofree char *words = by_keyboard ? NULL : faint_line_cells_explain_at (widget, x, y);

  if (words)
    gtk_tooltip_set_text (tooltip, words);
  return words != NULL;
}

static void
on_activate (GtkColumnView *view, guint position, FaintLineTable *self)
{
  g_signal_emit (self, signals[ACTIVATE_LINE], 0, id_at (self, position));
}

static gboolean
match (gpointer item, gpointer data)
{
  FaintLineTable *self = data;

  return self->conditions == NULL
         || faint_line_filter_matches (self->conditions, faint_line_item_get_line (item),
                                       faint_line_item_get_number (item),
                                       faint_line_item_get_difference (item));
}

static gboolean
on_copy (GtkWidget *widget, GVariant *arguments, gpointer data)
{
  g_autofree char *text = faint_line_table_to_text (FAINT_LINE_TABLE (widget));

  gdk_clipboard_set_text (gtk_widget_get_clipboard (widget), text);
  return GDK_EVENT_STOP;
}

static gboolean
is_shown (FaintLineTable *self, FaintLineColumn column)
{
  if (column == FAINT_LINE_COLUMN_UPPER && !self->labelled[0])
    return FALSE;
  if (column == FAINT_LINE_COLUMN_LOWER && !self->labelled[1])
    return FALSE;
  if (column == FAINT_LINE_COLUMN_DIFFERENCE && !self->calculated)
    return FALSE;
  return faint_line_columns_is_chosen (self->choice, column);
}

static void
show_columns (FaintLineTable *self)
{
  for (guint column = 0; column < FAINT_N_LINE_COLUMNS; column++)
    gtk_column_view_column_set_visible (self->columns[column], is_shown (self, column));
}

static void
append_cell (GString *row, const char *text)
{
  g_string_append_printf (row, "%s%s", row->len > 0 ? "\t" : "", text);
}

static void
append_row (FaintLineTable *self, GString *text, guint row)
{
  g_autoptr (FaintLineItem) item = g_list_model_get_item (G_LIST_MODEL (self->selection), row);

  g_autoptr (GString) cells = g_string_new (NULL);

  for (guint column = 0; column < FAINT_N_LINE_COLUMNS; column++)
    if (is_shown (self, column))
      {
        g_autofree char *cell = faint_line_item_text (item, column);

        append_cell (cells, cell);
      }
  g_string_append_printf (text, "%s\n", cells->str);
}

static void
faint_line_table_dispose (GObject *object)
{
  FaintLineTable *self = FAINT_LINE_TABLE (object);

  g_clear_pointer (&self->menu, gtk_widget_unparent);
  g_clear_pointer (&self->scrolled, gtk_widget_unparent);
  g_clear_object (&self->selection);
  g_clear_object (&self->choice);
  g_clear_object (&self->session);
  g_clear_pointer (&self->conditions, faint_line_filter_free);
  G_OBJECT_CLASS (faint_line_table_parent_class)->dispose (object);
}

static void
faint_line_table_class_init (FaintLineTableClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = faint_line_table_dispose;

  signals[ACTIVATE_LINE]
      = g_signal_new ("activate-line", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                      NULL, G_TYPE_NONE, 1, G_TYPE_UINT);
  signals[ROWS_SELECTED] = g_signal_new ("rows-selected", G_TYPE_FROM_CLASS (klass),
                                         G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);

  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "linetable");
  gtk_widget_class_add_binding (widget_class, GDK_KEY_c, GDK_CONTROL_MASK, on_copy, NULL);
  gtk_widget_class_add_binding (widget_class, GDK_KEY_Menu, 0, on_menu_key, NULL);
  gtk_widget_class_add_binding (widget_class, GDK_KEY_F10, GDK_SHIFT_MASK, on_menu_key, NULL);
}

static void
faint_line_table_init (FaintLineTable *self)
{
  GtkSortListModel *sorted;
  GtkGesture *click = gtk_gesture_click_new ();

  self->view = GTK_COLUMN_VIEW (gtk_column_view_new (NULL));
  self->lines = faint_line_model_new ();
  self->filter = gtk_custom_filter_new (match, self, NULL);
  self->filtered
      = gtk_filter_list_model_new (G_LIST_MODEL (self->lines), GTK_FILTER (self->filter));
  sorted = gtk_sort_list_model_new (G_LIST_MODEL (self->filtered),
                                    g_object_ref (gtk_column_view_get_sorter (self->view)));
  self->selection = gtk_multi_selection_new (G_LIST_MODEL (sorted));
  gtk_column_view_set_model (self->view, GTK_SELECTION_MODEL (self->selection));
  for (guint column = 0; column < FAINT_N_LINE_COLUMNS; column++)
    {
      g_autoptr (GtkColumnViewColumn) view_column = faint_line_cells_column_new (column);

      gtk_column_view_append_column (self->view, view_column);
      self->columns[column] = view_column;
    }
  self->choice = faint_line_columns_new ();
  gtk_widget_insert_action_group (GTK_WIDGET (self), "columns",
                                  faint_line_columns_get_actions (self->choice));
  for (guint column = 0; column < FAINT_N_LINE_COLUMNS; column++)
    gtk_column_view_column_set_header_menu (self->columns[column],
                                            faint_line_columns_get_menu (self->choice));
  g_signal_connect_object (self->choice, "changed", G_CALLBACK (show_columns), self,
                           G_CONNECT_SWAPPED);
  gtk_widget_add_css_class (GTK_WIDGET (self->view), "data-table");
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->view), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Lines"), -1);
  g_signal_connect (self->selection, "selection-changed", G_CALLBACK (on_selection), self);
  g_signal_connect (self->view, "activate", G_CALLBACK (on_activate), self);
  gtk_widget_set_has_tooltip (GTK_WIDGET (self->view), TRUE);
  g_signal_connect (self->view, "query-tooltip", G_CALLBACK (on_query_tooltip), NULL);

  gtk_event_controller_set_propagation_phase (GTK_EVENT_CONTROLLER (click), GTK_PHASE_CAPTURE);
  g_signal_connect (click, "pressed", G_CALLBACK (on_click), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (click));
  self->scrolled = gtk_scrolled_window_new ();
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scrolled), GTK_WIDGET (self->view));
  gtk_widget_set_vexpand (GTK_WIDGET (self), TRUE);
  gtk_widget_set_parent (self->scrolled, GTK_WIDGET (self));
}

GtkWidget *
faint_line_table_new (FaintSession *session)
{
  FaintLineTable *self = g_object_new (FAINT_TYPE_LINE_TABLE, NULL);

  self->session = g_object_ref (session);
  g_signal_connect_object (session, "selection-changed", G_CALLBACK (on_session_selection), self,
                           0);
  return GTK_WIDGET (self);
}

void
faint_line_table_set_menu (FaintLineTable *self, GMenuModel *menu)
{
  GtkGesture *click = gtk_gesture_click_new ();

  g_return_if_fail (FAINT_IS_LINE_TABLE (self));
  g_return_if_fail (self->menu == NULL);
  self->menu = gtk_popover_menu_new_from_model (menu);
  gtk_popover_set_has_arrow (GTK_POPOVER (self->menu), FALSE);
  gtk_widget_set_halign (self->menu, GTK_ALIGN_START);
  gtk_widget_set_parent (self->menu, GTK_WIDGET (self));
  gtk_gesture_single_set_button (GTK_GESTURE_SINGLE (click), GDK_BUTTON_SECONDARY);
  g_signal_connect (click, "pressed", G_CALLBACK (on_right_click), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (click));
}

/* Columns of labels are there once a line has one. */
static void
find_labels (FaintLineTable *self, const FaintLineList *list)
{
  self->labelled[0] = self->labelled[1] = FALSE;
  for (gsize i = 0; list && i < faint_line_list_get_n (list); i++)
    {
      const FaintLine *line = faint_line_list_get (list, i);

      self->labelled[0] = self->labelled[0] || *line->upper;
      self->labelled[1] = self->labelled[1] || *line->lower;
    }
}

void
faint_line_table_set_list (FaintLineTable *self, FaintLineList *list)
{
  g_autoptr (GArray) ids = NULL;

  g_return_if_fail (FAINT_IS_LINE_TABLE (self));
  if (list == faint_line_model_get_list (self->lines))
    return;
  ids = faint_line_table_get_selected (self);
  self->following = TRUE;
  find_labels (self, list);
  show_columns (self);
  faint_line_model_set_list (self->lines, list);
  if (ids->len > 1)
    select_rows_of (self, (const guint *)(void *)ids->data, ids->len);
  self->following = FALSE;
  follow_session (self);
}

void
faint_line_table_set_differences (FaintLineTable *self, GHashTable *differences)
{
  g_autoptr (GArray) ids = NULL;

  g_return_if_fail (FAINT_IS_LINE_TABLE (self));
  ids = faint_line_table_get_selected (self);
  self->following = TRUE;
  self->calculated = differences && g_hash_table_size (differences) > 0;
  show_columns (self);
  faint_line_model_set_differences (self->lines, differences);
  if (ids->len > 1)
    select_rows_of (self, (const guint *)(void *)ids->data, ids->len);
  self->following = FALSE;
  follow_session (self);
}

GArray *
faint_line_table_get_selected (FaintLineTable *self)
{
  GArray *ids = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (GtkBitset) selected
      = gtk_selection_model_get_selection (GTK_SELECTION_MODEL (self->selection));
  GtkBitsetIter iter;
  guint row;

  for (gboolean more = gtk_bitset_iter_init_first (&iter, selected, &row); more;
       more = gtk_bitset_iter_next (&iter, &row))
    {
      guint id = id_at (self, row);

      g_array_append_val (ids, id);
    }
  return ids;
}

void
faint_line_table_select_all (FaintLineTable *self)
{
  g_return_if_fail (FAINT_IS_LINE_TABLE (self));
  gtk_selection_model_select_all (GTK_SELECTION_MODEL (self->selection));
}

void
faint_line_table_select_ids (FaintLineTable *self, const guint *ids, gsize n)
{
  g_return_if_fail (FAINT_IS_LINE_TABLE (self));
  select_rows_of (self, ids, n);
}

void
faint_line_table_toggle (FaintLineTable *self, guint id)
{
  GtkSelectionModel *model = GTK_SELECTION_MODEL (self->selection);
  guint row = row_of (self, id);

  g_return_if_fail (FAINT_IS_LINE_TABLE (self));
  if (row == GTK_INVALID_LIST_POSITION)
    return;
  if (gtk_selection_model_is_selected (model, row))
    gtk_selection_model_unselect_item (model, row);
  else
    gtk_selection_model_select_item (model, row, FALSE);
}

guint
faint_line_table_get_n_shown (FaintLineTable *self)
{
  g_return_val_if_fail (FAINT_IS_LINE_TABLE (self), 0);
  return g_list_model_get_n_items (G_LIST_MODEL (self->selection));
}

guint
faint_line_table_get_id (FaintLineTable *self, guint row)
{
  g_return_val_if_fail (FAINT_IS_LINE_TABLE (self), 0);
  return id_at (self, row);
}

void
faint_line_table_select_row (FaintLineTable *self, guint row)
{
  g_return_if_fail (FAINT_IS_LINE_TABLE (self));
  gtk_selection_model_select_item (GTK_SELECTION_MODEL (self->selection), row, TRUE);
}

FaintLineColumns *
faint_line_table_get_columns (FaintLineTable *self)
{
  g_return_val_if_fail (FAINT_IS_LINE_TABLE (self), NULL);
  return self->choice;
}

gboolean
faint_line_table_set_filter (FaintLineTable *self, const char *text, GError **error)
{
  FaintLineFilter *conditions;

  g_return_val_if_fail (FAINT_IS_LINE_TABLE (self), FALSE);
  conditions = faint_line_filter_new (text, error);
  g_clear_pointer (&self->conditions, faint_line_filter_free);
  self->conditions = conditions;
  gtk_filter_changed (GTK_FILTER (self->filter), GTK_FILTER_CHANGE_DIFFERENT);
  /* rows that are hidden now are not selected any more: no edit may reach them */
  tell_several (self);
  g_signal_emit (self, signals[ROWS_SELECTED], 0);
  return conditions != NULL;
}

gboolean
faint_line_table_shows (FaintLineTable *self, FaintLineColumn column)
{
  g_return_val_if_fail (FAINT_IS_LINE_TABLE (self), FALSE);
  return is_shown (self, column);
}

void
faint_line_table_sort_by (FaintLineTable *self, FaintLineColumn column, GtkSortType order)
{
  g_return_if_fail (FAINT_IS_LINE_TABLE (self));
  g_return_if_fail (column < FAINT_N_LINE_COLUMNS);
  gtk_column_view_sort_by_column (self->view, self->columns[column], order);
}

char *
faint_line_table_to_text (FaintLineTable *self)
{
  GString *text = g_string_new (NULL);
  g_autoptr (GtkBitset) selected = NULL;
  guint n;

  g_return_val_if_fail (FAINT_IS_LINE_TABLE (self), NULL);
  for (guint column = 0; column < FAINT_N_LINE_COLUMNS; column++)
    if (is_shown (self, column))
      append_cell (text, faint_line_column_title (column));
  g_string_append_c (text, '\n');

  selected = gtk_selection_model_get_selection (GTK_SELECTION_MODEL (self->selection));
  n = gtk_bitset_get_size (selected);
  for (guint i = 0; i < n; i++)
    append_row (self, text, gtk_bitset_get_nth (selected, i));
  for (guint row = 0; n == 0 && row < faint_line_table_get_n_shown (self); row++)
    append_row (self, text, row);
  return g_string_free (text, FALSE);
}
