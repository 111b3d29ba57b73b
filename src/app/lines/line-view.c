/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The window of rows follows the scroll bar.
 */
#include "app/lines/line-view-private.h"

#include <math.h>
#include <string.h>

#include "app/lines/line-cells.h"

#define SPARE 4 /* rows held beyond those in sight, so that a small step changes none */

enum
{
  PROP_0,
  PROP_HADJUSTMENT,
  PROP_VADJUSTMENT,
  PROP_HSCROLL_POLICY,
  PROP_VSCROLL_POLICY,
};

static guint activate_row;

static void scrollable_init (GtkScrollableInterface *interface);
G_DEFINE_FINAL_TYPE_WITH_CODE (FaintLineView, faint_line_view, GTK_TYPE_WIDGET,
                               G_IMPLEMENT_INTERFACE (GTK_TYPE_SCROLLABLE, scrollable_init))

/* Where the rows of the window stand. The toolkit keeps a row in its place when rows change, which
 * is undone by telling it another place and then the right one. */
static void
place_window (FaintLineView *self)
{
  double value = floor (gtk_adjustment_get_value (self->vertical)
                        - faint_line_model_get_first (self->model) * self->row_height);
  guint n = g_list_model_get_n_items (G_LIST_MODEL (self->model));

  if (n == 0 || n != self->n_allocated)
    return; /* once the toolkit has given the rows their sizes */
  gtk_adjustment_set_upper (self->inner,
                            MAX (n * self->row_height, gtk_adjustment_get_page_size (self->inner)));
  gtk_adjustment_set_value (self->inner, value + (value > 1 ? -1 : 1));
  gtk_adjustment_set_value (self->inner, value);
}

void
faint_line_view_hold (FaintLineView *self, guint id)
{
  guint row;

  g_return_if_fail (FAINT_IS_LINE_VIEW (self));
  row = faint_line_model_get_row (self->model, id);
  faint_line_model_set_anchor (self->model, row == FAINT_NO_ROW ? 0 : id);
  if (row != FAINT_NO_ROW)
    self->anchor_top = row * self->row_height - gtk_adjustment_get_value (self->vertical);
}

/* What is to stay where it is when rows change: the selected line if it is in sight, else the
 * first, but the beginning of the list remains the beginning. */
static void
choose_anchor (FaintLineView *self)
{
  guint row = _faint_line_view_cursor_row (self), first;

  if (row != FAINT_NO_ROW && faint_line_selection_contains (self->selection, self->cursor)
      && faint_line_view_is_in_sight (self, row))
    {
      faint_line_view_hold (self, self->cursor);
      return;
    }
  first = self->row_height > 0
              ? (guint)(gtk_adjustment_get_value (self->vertical) / self->row_height)
              : 0;
  faint_line_view_hold (self, first > 0 ? faint_line_model_get_id (self->model, first) : 0);
}

/* Moves the window where a row in sight is not in it. */
void
_faint_line_view_show_rows (FaintLineView *self)
{
  double value = gtk_adjustment_get_value (self->vertical);
  double page = gtk_adjustment_get_page_size (self->vertical);
  guint first = faint_line_model_get_first (self->model);
  guint in_sight, spare;

  if (self->row_height <= 0)
    return;
  self->moving = TRUE;
  in_sight = (guint)ceil (page / self->row_height) + 1;
  spare = self->n_window > in_sight ? self->n_window - in_sight : 0;
  if (value < first * self->row_height
      || value + page > (first + self->n_window) * self->row_height)
    {
      first = (guint)(value / self->row_height);
      first -= MIN (first, spare / 2);
      faint_line_model_set_window (self->model, first, self->n_window);
    }
  place_window (self);
  choose_anchor (self);
  self->moving = FALSE;
}

static double
height_of_all (FaintLineView *self)
{
  return faint_line_model_get_n_rows (self->model) * self->row_height;
}

static void
set_vertical (FaintLineView *self, double value)
{
  double page = gtk_adjustment_get_page_size (self->inner);

  gtk_adjustment_configure (self->vertical, value, 0, MAX (height_of_all (self), page),
                            self->row_height, MAX (page - self->row_height, self->row_height),
                            page);
}

/* A scroll bar that comes or goes changes the sizes around. */
static gboolean
bar_changes (FaintLineView *self)
{
  return (height_of_all (self) > gtk_adjustment_get_page_size (self->inner))
         != (gtk_adjustment_get_upper (self->vertical)
             > gtk_adjustment_get_page_size (self->vertical));
}

/* Rows that came have no size before the toolkit gives them one, though there were as many before.
 */
static void
on_items_changed (GListModel *model, guint position, guint removed, guint added,
                  FaintLineView *self)
{
  self->n_allocated = 0;
}

static void
on_rows_changed (FaintLineModel *model, FaintLineView *self)
{
  double value = gtk_adjustment_get_value (self->vertical);
  guint anchor = faint_line_model_get_anchor (model);
  guint row = faint_line_model_get_row (model, anchor);

  if (anchor > 0)
    value = row == FAINT_NO_ROW ? 0 : row * self->row_height - self->anchor_top;
  self->moving = TRUE;
  set_vertical (self, MAX (value, 0));
  self->moving = FALSE;
  gtk_widget_queue_resize (GTK_WIDGET (self));
  _faint_line_view_show_rows (self);
  if (gtk_widget_is_focus (GTK_WIDGET (self))
      && faint_line_model_get_row (model, self->cursor) == FAINT_NO_ROW)
    gtk_widget_grab_focus (GTK_WIDGET (self));
}

static void
on_vertical (GtkAdjustment *adjustment, FaintLineView *self)
{
  if (!self->moving)
    _faint_line_view_show_rows (self);
}

/* The toolkit has scrolled, to a row that got the focus. */
static void
on_inner (GtkAdjustment *adjustment, FaintLineView *self)
{
  if (!self->moving && self->row_height > 0)
    gtk_adjustment_set_value (self->vertical,
                              faint_line_model_get_first (self->model) * self->row_height
                                  + gtk_adjustment_get_value (adjustment));
}

/* What sizes tell comes when they are being given out, which is no time to change any. */
static gboolean
on_settle (gpointer data)
{
  FaintLineView *self = data;
  double page = gtk_adjustment_get_page_size (self->inner);
  guint n, wanted;

  self->settling = 0;
  if (self->row_height <= 0)
    return G_SOURCE_REMOVE;
  if (bar_changes (self))
    gtk_widget_queue_resize (GTK_WIDGET (self));
  self->moving = TRUE;
  set_vertical (self, gtk_adjustment_get_value (self->vertical));
  self->moving = FALSE;
  n = (guint)ceil (page / self->row_height) + 1 + SPARE;
  if (n > self->n_window || n + 2 * SPARE < self->n_window)
    {
      self->moving = TRUE;
      self->n_window = n;
      faint_line_model_set_window (self->model, faint_line_model_get_first (self->model), n);
      self->moving = FALSE;
    }
  _faint_line_view_show_rows (self);
  wanted = faint_line_model_get_row (self->model, self->wanted);
  self->wanted = 0;
  if (wanted != FAINT_NO_ROW)
    faint_line_view_scroll_to (self, wanted);
  return G_SOURCE_REMOVE;
}

/* All rows are as high as the first. */
static void
find_row_height (FaintLineView *self)
{
  for (GtkWidget *row = gtk_widget_get_first_child (self->list); row;
       row = gtk_widget_get_next_sibling (row))
    if (gtk_widget_get_allocated_height (row) > 1)
      {
        self->row_height = gtk_widget_get_allocated_height (row);
        return;
      }
}

static gboolean
is_settled (FaintLineView *self, double height_before)
{
  guint in_sight
      = self->row_height > 0
            ? (guint)ceil (gtk_adjustment_get_page_size (self->inner) / self->row_height) + 1
            : 0;
  double place = gtk_adjustment_get_value (self->vertical)
                 - faint_line_model_get_first (self->model) * self->row_height;

  return self->row_height == height_before && in_sight <= self->n_window
         && in_sight + 3 * SPARE >= self->n_window && self->wanted == 0
         && fabs (place - gtk_adjustment_get_value (self->inner)) < 2; /* it rounds to pixels */
}

static void
faint_line_view_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  FaintLineView *self = FAINT_LINE_VIEW (widget);
  double height_before = self->row_height;
  double value = gtk_adjustment_get_value (self->vertical);
  gboolean bar_waits;

  self->moving = TRUE;
  gtk_widget_allocate (GTK_WIDGET (self->view), width, height, baseline, NULL);
  find_row_height (self);
  self->n_allocated = g_list_model_get_n_items (G_LIST_MODEL (self->model));
  if (height_before > 0)
    value *= self->row_height / height_before;
  bar_waits = bar_changes (self);
  if (!bar_waits)
    set_vertical (self, value);
  self->moving = FALSE;
  if ((bar_waits || !is_settled (self, height_before)) && self->settling == 0)
    self->settling = g_idle_add_full (G_PRIORITY_HIGH_IDLE, on_settle, self, NULL);
}

/* The rows that no widget is held for count too: the scrolled window asks whether all would fit. */
static void
faint_line_view_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum,
                         int *natural, int *minimum_baseline, int *natural_baseline)
{
  FaintLineView *self = FAINT_LINE_VIEW (widget);
  guint n_held = g_list_model_get_n_items (G_LIST_MODEL (self->model));
  int others;

  gtk_widget_measure (GTK_WIDGET (self->view), orientation, for_size, minimum, natural,
                      minimum_baseline, natural_baseline);
  if (orientation == GTK_ORIENTATION_HORIZONTAL)
    return;
  others = (int)((faint_line_model_get_n_rows (self->model) - n_held) * self->row_height);
  *minimum += others;
  *natural += others;
}

static gboolean
faint_line_view_grab_focus (GtkWidget *widget)
{
  FaintLineView *self = FAINT_LINE_VIEW (widget);
  guint row = _faint_line_view_cursor_row (self);

  if (row == FAINT_NO_ROW && self->row_height > 0)
    row = (guint)ceil (gtk_adjustment_get_value (self->vertical) / self->row_height);
  if (row == FAINT_NO_ROW || row >= faint_line_model_get_n_rows (self->model))
    row = 0;
  if (faint_line_model_get_n_rows (self->model) == 0)
    return FALSE;
  _faint_line_view_go_to (self, row);
  return _faint_line_view_has_focus (self);
}

/* Tab comes in at the row where the keys were last, and leaves from there: it would take thousands
 * to go through all. */
static gboolean
faint_line_view_focus (GtkWidget *widget, GtkDirectionType direction)
{
  FaintLineView *self = FAINT_LINE_VIEW (widget);
  gboolean tab = direction == GTK_DIR_TAB_FORWARD || direction == GTK_DIR_TAB_BACKWARD;
  guint row;

  if (gtk_widget_is_focus (widget) || (tab && _faint_line_view_focused_row (self)))
    return FALSE;
  if (!gtk_widget_child_focus (GTK_WIDGET (self->view), direction))
    return FALSE;
  row = faint_line_model_get_row (self->model, self->cursor);
  if (tab && _faint_line_view_focused_row (self) && row != FAINT_NO_ROW)
    _faint_line_view_go_to (self, row);
  return TRUE;
}

static void
set_adjustment (FaintLineView *self, GtkAdjustment **field, GtkAdjustment *adjustment)
{
  if (*field)
    g_signal_handlers_disconnect_by_data (*field, self);
  g_clear_object (field);
  *field = g_object_ref_sink (adjustment ? adjustment : gtk_adjustment_new (0, 0, 0, 0, 0, 0));
  if (field == &self->vertical)
    g_signal_connect (*field, "value-changed", G_CALLBACK (on_vertical), self);
  else
    gtk_scrollable_set_hadjustment (GTK_SCROLLABLE (self->view), *field);
  gtk_widget_queue_resize (GTK_WIDGET (self));
}

static void
faint_line_view_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  FaintLineView *self = FAINT_LINE_VIEW (object);

  switch (id)
    {
    case PROP_HADJUSTMENT:
      set_adjustment (self, &self->horizontal, g_value_get_object (value));
      break;
    case PROP_VADJUSTMENT:
      set_adjustment (self, &self->vertical, g_value_get_object (value));
      break;
    case PROP_HSCROLL_POLICY:
      self->horizontal_policy = (guint)g_value_get_enum (value);
      gtk_scrollable_set_hscroll_policy (GTK_SCROLLABLE (self->view), self->horizontal_policy);
      break;
    case PROP_VSCROLL_POLICY:
      self->vertical_policy = (guint)g_value_get_enum (value);
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static void
faint_line_view_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  FaintLineView *self = FAINT_LINE_VIEW (object);

  switch (id)
    {
    case PROP_HADJUSTMENT:
      g_value_set_object (value, self->horizontal);
      break;
    case PROP_VADJUSTMENT:
      g_value_set_object (value, self->vertical);
      break;
    case PROP_HSCROLL_POLICY:
      g_value_set_enum (value, (int)self->horizontal_policy);
      break;
    case PROP_VSCROLL_POLICY:
      g_value_set_enum (value, (int)self->vertical_policy);
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

/* The heads are above what is scrolled. */
static gboolean
get_border (GtkScrollable *scrollable, GtkBorder *border)
{
  return gtk_scrollable_get_border (GTK_SCROLLABLE (FAINT_LINE_VIEW (scrollable)->view), border);
}

static void
scrollable_init (GtkScrollableInterface *interface)
{
  interface->get_border = get_border;
}

static void
faint_line_view_dispose (GObject *object)
{
  FaintLineView *self = FAINT_LINE_VIEW (object);

  g_clear_handle_id (&self->settling, g_source_remove);
  if (self->model)
    g_signal_handlers_disconnect_by_data (self->model, self);
  if (self->vertical)
    g_signal_handlers_disconnect_by_data (self->vertical, self);
  if (self->inner)
    g_signal_handlers_disconnect_by_data (self->inner, self);
  if (self->view)
    gtk_widget_unparent (GTK_WIDGET (self->view));
  self->view = NULL;
  g_clear_object (&self->inner);
  g_clear_object (&self->horizontal);
  g_clear_object (&self->vertical);
  g_clear_object (&self->selection);
  g_clear_object (&self->model);
  G_OBJECT_CLASS (faint_line_view_parent_class)->dispose (object);
}

static void
faint_line_view_class_init (FaintLineViewClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->dispose = faint_line_view_dispose;
  object_class->set_property = faint_line_view_set_property;
  object_class->get_property = faint_line_view_get_property;
  widget_class->measure = faint_line_view_measure;
  widget_class->size_allocate = faint_line_view_size_allocate;
  widget_class->grab_focus = faint_line_view_grab_focus;
  widget_class->focus = faint_line_view_focus;
  g_object_class_override_property (object_class, PROP_HADJUSTMENT, "hadjustment");
  g_object_class_override_property (object_class, PROP_VADJUSTMENT, "vadjustment");
  g_object_class_override_property (object_class, PROP_HSCROLL_POLICY, "hscroll-policy");
  g_object_class_override_property (object_class, PROP_VSCROLL_POLICY, "vscroll-policy");
  activate_row = g_signal_new ("activate-row", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0,
                               NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_UINT);
  gtk_widget_class_set_css_name (widget_class, "lineview");
}

static void
on_activate (GtkColumnView *view, guint position, FaintLineView *self)
{
  _faint_line_view_activate (self, faint_line_model_get_first (self->model) + position);
}

static void
faint_line_view_init (FaintLineView *self)
{
  self->n_window = 30;
  self->view = GTK_COLUMN_VIEW (gtk_column_view_new (NULL));
  gtk_widget_set_parent (GTK_WIDGET (self->view), GTK_WIDGET (self));
  for (self->list = gtk_widget_get_first_child (GTK_WIDGET (self->view));
       self->list && strcmp (gtk_widget_get_css_name (self->list), "listview") != 0;)
    self->list = gtk_widget_get_next_sibling (self->list);
  self->inner = g_object_ref_sink (gtk_adjustment_new (0, 0, 0, 0, 0, 0));
  g_signal_connect (self->inner, "value-changed", G_CALLBACK (on_inner), self);
  gtk_scrollable_set_vadjustment (GTK_SCROLLABLE (self->view), self->inner);
  set_adjustment (self, &self->horizontal, NULL);
  set_adjustment (self, &self->vertical, NULL);
  g_signal_connect (self->view, "activate", G_CALLBACK (on_activate), self);
  _faint_line_view_add_input (self);
}

GtkWidget *
faint_line_view_new (FaintLineModel *model, FaintLineSelection *selection)
{
  FaintLineView *self = g_object_new (FAINT_TYPE_LINE_VIEW, NULL);

  self->model = g_object_ref (model);
  self->selection = g_object_ref (selection);
  faint_line_model_set_window (model, 0, self->n_window);
  g_signal_connect_swapped (model, "window-changing", G_CALLBACK (_faint_line_view_note_cursor),
                            self);
  g_signal_connect_swapped (model, "window-changed", G_CALLBACK (_faint_line_view_return_focus),
                            self);
  g_signal_connect (model, "items-changed", G_CALLBACK (on_items_changed), self);
  g_signal_connect (model, "rows-changed", G_CALLBACK (on_rows_changed), self);
  gtk_column_view_set_model (self->view, GTK_SELECTION_MODEL (selection));
  return GTK_WIDGET (self);
}

GtkColumnView *
faint_line_view_get_column_view (FaintLineView *self)
{
  g_return_val_if_fail (FAINT_IS_LINE_VIEW (self), NULL);
  return self->view;
}

void
faint_line_view_scroll_to (FaintLineView *self, guint row)
{
  double value, page, top;

  g_return_if_fail (FAINT_IS_LINE_VIEW (self));
  page = gtk_adjustment_get_page_size (self->vertical);
  if (self->row_height <= 0 || page <= 0)
    {
      self->wanted = faint_line_model_get_id (self->model, row);
      return;
    }
  value = gtk_adjustment_get_value (self->vertical);
  top = row * self->row_height;
  if (value < top + self->row_height - page)
    value = top + self->row_height - page;
  gtk_adjustment_set_value (self->vertical, MIN (value, top));
}

gboolean
faint_line_view_is_in_sight (FaintLineView *self, guint row)
{
  double value, page;

  g_return_val_if_fail (FAINT_IS_LINE_VIEW (self), FALSE);
  value = gtk_adjustment_get_value (self->vertical);
  page = gtk_adjustment_get_page_size (self->vertical);
  return row != FAINT_NO_ROW && (row + 1) * self->row_height > value
         && row * self->row_height < value + page;
}

guint
_faint_line_view_page (FaintLineView *self)
{
  double page = gtk_adjustment_get_page_size (self->vertical);

  return self->row_height > 0 ? MAX (1, (guint)(page / self->row_height)) : 1;
}

void
_faint_line_view_activate (FaintLineView *self, guint row)
{
  g_signal_emit (self, activate_row, 0, row);
}

guint
faint_line_view_get_row_at (FaintLineView *self, double x, double y)
{
  GtkWidget *widget = gtk_widget_pick (GTK_WIDGET (self), x, y, GTK_PICK_DEFAULT);
  GtkListItem *item;

  while (widget && gtk_widget_get_parent (widget) != self->list)
    widget = gtk_widget_get_parent (widget);
  item = widget ? faint_line_cell_below (widget) : NULL;
  return item ? faint_line_model_get_first (self->model) + gtk_list_item_get_position (item)
              : FAINT_NO_ROW;
}
