/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Links of model, selection and view with the session.
 */
#include "app/lines/line-table.h"

#include <glib/gi18n.h>
#include <math.h>

#include "app/lines/line-cells.h"
#include "app/lines/line-filter.h"
#include "app/lines/line-model.h"
#include "app/lines/line-selection.h"
#include "app/lines/line-view.h"

struct _FaintLineTable
{
  GtkWidget parent;

  FaintSession *session;
  FaintLineModel *lines;
  FaintLineSelection *selection;
  FaintLineCells *cells;
  FaintLineView *view;
  GtkWidget *scrolled;
  GtkWidget *menu; /* GtkPopoverMenu, or NULL */
  GtkColumnViewColumn *columns[FAINT_N_LINE_COLUMNS];
  FaintLineColumns *choice;
  gboolean labelled[2]; /* some line has a label of the upper, the lower level */
  gboolean calculated;  /* some line has a difference from its calculated position */
  gboolean following;   /* the selection is being set from the session */
  gboolean only_in_view;
};

enum
{
  ACTIVATE_LINE,
  ROWS_SELECTED,
  ROWS_CHANGED,
  AXIS_CHANGED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintLineTable, faint_line_table, GTK_TYPE_WIDGET)

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
  guint id = faint_session_get_selected (self->session);
  guint row = faint_line_model_get_row (self->lines, id);

  self->following = TRUE;
  if (row == FAINT_NO_ROW)
    gtk_selection_model_unselect_all (GTK_SELECTION_MODEL (self->selection));
  else if (!faint_line_selection_contains (self->selection, id))
    {
      faint_line_selection_select_row (self->selection, row);
      faint_line_view_scroll_to (self->view, row);
      faint_line_view_set_cursor (self->view, id);
    }
  self->following = FALSE;
  tell_several (self);
}

static void
on_session_selection (FaintSession *session, FaintLineTable *self)
{
  if (!self->following)
    follow_session (self);
}

/* The first of the selected rows, 0: none. */
static guint
first_selected (FaintLineTable *self)
{
  g_autoptr (GArray) ids = faint_line_table_get_selected (self);

  return ids->len > 0 ? g_array_index (ids, guint, 0) : 0;
}

static void
on_selection (FaintLineSelection *selection, FaintLineTable *self)
{
  guint selected = faint_session_get_selected (self->session);

  if (self->following)
    return;
  /* one of several keeps its place as the line of the panes */
  if (faint_line_selection_get_n (self->selection) < 2
      || !faint_line_selection_contains (self->selection, selected))
    {
      self->following = TRUE;
      faint_session_set_selected (self->session, first_selected (self));
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

/* A row outside of the selection is selected alone. */
static void
select_at (FaintLineTable *self, double x, double y)
{
  guint row;

  gtk_widget_translate_coordinates (GTK_WIDGET (self), GTK_WIDGET (self->view), x, y, &x, &y);
  row = faint_line_view_get_row_at (self->view, x, y);
  if (row != FAINT_NO_ROW
      && !faint_line_selection_contains (self->selection,
                                         faint_line_model_get_id (self->lines, row)))
    faint_line_selection_select_row (self->selection, row);
}

static void
on_right_click (GtkGestureClick *gesture, int n_press, double x, double y, FaintLineTable *self)
{
  gtk_gesture_set_state (GTK_GESTURE (gesture), GTK_EVENT_SEQUENCE_CLAIMED);
  select_at (self, x, y);
  pop_up (self, x, y);
}

/* At the row with the focus. */
static gboolean
on_menu_key (GtkWidget *widget, GVariant *arguments, gpointer data)
{
  FaintLineTable *self = FAINT_LINE_TABLE (widget);
  double x = 0, y = 0;

  if (faint_line_view_get_menu_place (self->view, &x, &y))
    gtk_widget_translate_coordinates (GTK_WIDGET (self->view), widget, x, y, &x, &y);
  pop_up (self, x, y);
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
on_activate (FaintLineView *view, guint row, FaintLineTable *self)
{
  g_signal_emit (self, signals[ACTIVATE_LINE], 0, faint_line_model_get_id (self->lines, row));
}

/* The selected line stays where it is if it is in sight, else the first rows of the new order are
 * shown. */
static void
on_order (GtkSorter *sorter, GtkSorterChange change, FaintLineTable *self)
{
  FaintLineSort sorts[FAINT_N_LINE_COLUMNS];
  guint n = faint_line_cells_get_order (self->cells, sorter, sorts);
  guint id = faint_session_get_selected (self->session);
  gboolean stays
      = faint_line_view_is_in_sight (self->view, faint_line_model_get_row (self->lines, id));

  faint_line_view_hold (self->view, stays ? id : 0);
  faint_line_model_set_order (self->lines, sorts, n);
  if (!stays)
    faint_line_view_scroll_to (self->view, 0);
}

static gboolean
faint_line_table_grab_focus (GtkWidget *widget)
{
  return gtk_widget_grab_focus (GTK_WIDGET (FAINT_LINE_TABLE (widget)->view));
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
  faint_line_cells_align_titles (self->cells, faint_line_view_get_column_view (self->view),
                                 self->columns);
}

/* The table itself is no stop of Tab. */
static gboolean
faint_line_table_focus (GtkWidget *widget, GtkDirectionType direction)
{
  return gtk_widget_child_focus (FAINT_LINE_TABLE (widget)->scrolled, direction);
}

static void
append_cell (GString *row, const char *text)
{
  g_string_append_printf (row, "%s%s", row->len > 0 ? "\t" : "", text);
}

static void
append_row (FaintLineTable *self, GString *text, guint row)
{
  g_autoptr (FaintLineItem) item = faint_line_model_get_row_item (self->lines, row);
  g_autoptr (GString) cells = g_string_new (NULL);

  for (guint column = 0; column < FAINT_N_LINE_COLUMNS; column++)
    if (is_shown (self, column))
      {
        g_autofree char *cell = faint_line_item_text (item, column);
        g_autofree char *plain = faint_line_text_for_programs (cell);

        append_cell (cells, plain);
      }
  g_string_append_printf (text, "%s\n", cells->str);
}

static void
faint_line_table_dispose (GObject *object)
{
  FaintLineTable *self = FAINT_LINE_TABLE (object);

  g_clear_pointer (&self->menu, gtk_widget_unparent);
  g_clear_pointer (&self->scrolled, gtk_widget_unparent);
  if (self->selection)
    g_signal_handlers_disconnect_by_data (self->selection, self);
  g_clear_object (&self->selection);
  g_clear_object (&self->lines);
  g_clear_object (&self->cells);
  g_clear_object (&self->choice);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (faint_line_table_parent_class)->dispose (object);
}

static void
faint_line_table_class_init (FaintLineTableClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = faint_line_table_dispose;
  widget_class->grab_focus = faint_line_table_grab_focus;
  widget_class->focus = faint_line_table_focus;

  signals[ACTIVATE_LINE]
      = g_signal_new ("activate-line", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                      NULL, G_TYPE_NONE, 1, G_TYPE_UINT);
  signals[ROWS_SELECTED] = g_signal_new ("rows-selected", G_TYPE_FROM_CLASS (klass),
                                         G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);

  signals[ROWS_CHANGED] = g_signal_new ("rows-changed", G_TYPE_FROM_CLASS (klass),
                                        G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[AXIS_CHANGED] = g_signal_new ("axis-changed", G_TYPE_FROM_CLASS (klass),
                                        G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);

  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "linetable");
  gtk_widget_class_add_binding (widget_class, GDK_KEY_c, GDK_CONTROL_MASK, on_copy, NULL);
  gtk_widget_class_add_binding (widget_class, GDK_KEY_Menu, 0, on_menu_key, NULL);
  gtk_widget_class_add_binding (widget_class, GDK_KEY_F10, GDK_SHIFT_MASK, on_menu_key, NULL);
}

static void
add_columns (FaintLineTable *self, GtkColumnView *view)
{
  self->cells = faint_line_cells_new (self->lines);
  self->choice = faint_line_columns_new ();
  gtk_widget_insert_action_group (GTK_WIDGET (self), "columns",
                                  faint_line_columns_get_actions (self->choice));
  for (guint column = 0; column < FAINT_N_LINE_COLUMNS; column++)
    {
      g_autoptr (GtkColumnViewColumn) view_column
          = faint_line_cells_column_new (self->cells, column);

      gtk_column_view_column_set_header_menu (view_column,
                                              faint_line_columns_get_menu (self->choice));
      gtk_column_view_append_column (view, view_column);
      self->columns[column] = view_column;
    }
  show_columns (self);
  g_signal_connect_object (self->choice, "changed", G_CALLBACK (show_columns), self,
                           G_CONNECT_SWAPPED);
  g_signal_connect_object (gtk_column_view_get_sorter (view), "changed", G_CALLBACK (on_order),
                           self, 0);
}

static void
faint_line_table_init (FaintLineTable *self)
{
  GtkColumnView *view;

  self->lines = faint_line_model_new ();
  self->selection = faint_line_selection_new (self->lines);
  self->view = FAINT_LINE_VIEW (faint_line_view_new (self->lines, self->selection));
  view = faint_line_view_get_column_view (self->view);
  add_columns (self, view);
  gtk_widget_add_css_class (GTK_WIDGET (view), "data-table");
  gtk_accessible_update_property (GTK_ACCESSIBLE (view), GTK_ACCESSIBLE_PROPERTY_LABEL, _ ("Lines"),
                                  -1);
  g_signal_connect (self->selection, "changed", G_CALLBACK (on_selection), self);
  g_signal_connect (self->view, "activate-row", G_CALLBACK (on_activate), self);
  gtk_widget_set_has_tooltip (GTK_WIDGET (view), TRUE);
  g_signal_connect (view, "query-tooltip", G_CALLBACK (on_query_tooltip), NULL);

  self->scrolled = gtk_scrolled_window_new ();
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scrolled), GTK_WIDGET (self->view));
  gtk_widget_set_vexpand (GTK_WIDGET (self), TRUE);
  gtk_widget_set_parent (self->scrolled, GTK_WIDGET (self));
}

/* A selected line that comes into view is selected in the table again. */
static void
follow_view (FaintLineTable *self)
{
  FaintRange view = { NAN, NAN };

  if (self->only_in_view)
    faint_session_get_view (self->session, &view.lower, &view.upper);
  self->following = TRUE;
  faint_line_model_set_view (self->lines, view);
  self->following = FALSE;
  follow_session (self);
  g_signal_emit (self, signals[ROWS_CHANGED], 0);
}

static void
on_view_changed (FaintSession *session, FaintLineTable *self)
{
  if (self->only_in_view)
    follow_view (self);
}

GtkWidget *
faint_line_table_new (FaintSession *session)
{
  FaintLineTable *self = g_object_new (FAINT_TYPE_LINE_TABLE, NULL);

  self->session = g_object_ref (session);
  g_signal_connect_object (session, "selection-changed", G_CALLBACK (on_session_selection), self,
                           0);
  g_signal_connect_object (session, "view-changed", G_CALLBACK (on_view_changed), self, 0);
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

/* The selection is kept by the lines' ids, where they are still there. */
static void
show_anew (FaintLineTable *self)
{
  faint_line_cells_fit (self->cells, GTK_WIDGET (faint_line_view_get_column_view (self->view)));
  follow_session (self);
}

void
faint_line_table_set_list (FaintLineTable *self, FaintLineList *list)
{
  g_return_if_fail (FAINT_IS_LINE_TABLE (self));
  if (list == faint_line_model_get_list (self->lines))
    return;
  find_labels (self, list);
  show_columns (self);
  faint_line_model_set_list (self->lines, list);
  if (list == NULL)
    faint_line_cells_narrow (self->cells);
  show_anew (self);
}

void
faint_line_table_set_differences (FaintLineTable *self, GHashTable *differences)
{
  g_return_if_fail (FAINT_IS_LINE_TABLE (self));
  self->calculated = differences && g_hash_table_size (differences) > 0;
  show_columns (self);
  faint_line_model_set_differences (self->lines, differences);
  show_anew (self);
}

void
faint_line_table_set_axis (FaintLineTable *self, const FaintAxisUnit *axis)
{
  g_return_if_fail (FAINT_IS_LINE_TABLE (self));
  if (faint_axis_unit_same (axis, faint_line_model_get_axis (self->lines)))
    return;
  for (guint column = 0; column < FAINT_N_LINE_COLUMNS; column++)
    {
      g_autofree char *head = faint_line_column_head (column, axis);

      gtk_column_view_column_set_title (self->columns[column], head);
    }
  faint_line_cells_align_titles (self->cells, faint_line_view_get_column_view (self->view),
                                 self->columns);
  faint_line_cells_narrow (self->cells);
  faint_line_model_set_axis (self->lines, axis);
  show_anew (self);
  g_signal_emit (self, signals[AXIS_CHANGED], 0);
}

const FaintAxisUnit *
faint_line_table_get_axis (FaintLineTable *self)
{
  g_return_val_if_fail (FAINT_IS_LINE_TABLE (self), NULL);
  return faint_line_model_get_axis (self->lines);
}

void
faint_line_table_set_only_in_view (FaintLineTable *self, gboolean only)
{
  g_return_if_fail (FAINT_IS_LINE_TABLE (self));
  if (only == self->only_in_view)
    return;
  self->only_in_view = only;
  follow_view (self);
}

gboolean
faint_line_table_get_only_in_view (FaintLineTable *self)
{
  g_return_val_if_fail (FAINT_IS_LINE_TABLE (self), FALSE);
  return self->only_in_view;
}

GArray *
faint_line_table_get_selected (FaintLineTable *self)
{
  g_return_val_if_fail (FAINT_IS_LINE_TABLE (self), NULL);
  return faint_line_selection_get_ids (self->selection);
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
  faint_line_selection_set_ids (self->selection, ids, n);
}

void
faint_line_table_toggle (FaintLineTable *self, guint id)
{
  g_return_if_fail (FAINT_IS_LINE_TABLE (self));
  faint_line_selection_toggle (self->selection, id);
}

guint
faint_line_table_get_n_shown (FaintLineTable *self)
{
  g_return_val_if_fail (FAINT_IS_LINE_TABLE (self), 0);
  return faint_line_model_get_n_rows (self->lines);
}

guint
faint_line_table_get_id (FaintLineTable *self, guint row)
{
  g_return_val_if_fail (FAINT_IS_LINE_TABLE (self), 0);
  return faint_line_model_get_id (self->lines, row);
}

void
faint_line_table_select_row (FaintLineTable *self, guint row)
{
  g_return_if_fail (FAINT_IS_LINE_TABLE (self));
  faint_line_selection_select_row (self->selection, row);
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
  conditions = faint_line_filter_new (text, faint_line_model_get_axis (self->lines), error);
  faint_line_model_set_filter (self->lines, conditions);
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
  gtk_column_view_sort_by_column (faint_line_view_get_column_view (self->view),
                                  self->columns[column], order);
}

char *
faint_line_table_to_text (FaintLineTable *self)
{
  GString *text = g_string_new (NULL);
  guint n;

  g_return_val_if_fail (FAINT_IS_LINE_TABLE (self), NULL);
  for (guint column = 0; column < FAINT_N_LINE_COLUMNS; column++)
    if (is_shown (self, column))
      {
        g_autofree char *head
            = faint_line_column_head (column, faint_line_model_get_axis (self->lines));

        append_cell (text, head);
      }
  g_string_append_c (text, '\n');

  n = faint_line_selection_get_n (self->selection);
  for (guint row = 0; row < faint_line_table_get_n_shown (self); row++)
    if (n == 0
        || faint_line_selection_contains (self->selection,
                                          faint_line_model_get_id (self->lines, row)))
      append_row (self, text, row);
  return g_string_free (text, FALSE);
}
