/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The table of lines with thousands of rows: it holds few widgets, shows the rows that the scroll
 * bar says, and keeps focus, selection and place while rows come and go. What is expected follows
 * from the list and the scroll bar by counting.
 */
#include "app/lines/line-cell.h"
#include "app/lines/line-table.h"
#include "app/lines/line-view.h"

#include <math.h>
#include <stdlib.h>

#define N 4000

typedef struct
{
  GtkWidget *window;
  FaintSession *session;
  FaintLineTable *table;
  FaintLineView *view;
  GtkAdjustment *adjustment;
  guint activated;
} Fixture;

/* Every seventh Lorentz width is not known; ids are not numbers in the list. */
static FaintLineList *
lines_new (double factor)
{
  g_autofree FaintLine *lines = g_new (FaintLine, N);

  for (guint i = 0; i < N; i++)
    {
      lines[i] = faint_line_unknown ();
      lines[i].id = N - i;
      lines[i].position.value = 7000 + 0.1 * i;
      lines[i].position.u = 1e-5;
      lines[i].strength.value = factor * 1e-24 * (1 + i * 7 % 1000);
      lines[i].strength.u = 1e-27;
      if (i % 7)
        lines[i].lorentz.value = 0.001 * (1 + i * 13 % 101);
      lines[i].flags = i % 2 ? FAINT_LINE_BLENDED : 0;
    }
  return faint_line_list_new (lines, N);
}

static GtkWidget *
find (GtkWidget *widget, GType type)
{
  GtkWidget *found = G_TYPE_CHECK_INSTANCE_TYPE (widget, type) ? widget : NULL;

  for (GtkWidget *child = gtk_widget_get_first_child (widget); child && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = find (child, type);
  return found;
}

static gboolean
on_tick (GtkWidget *widget, GdkFrameClock *clock, gpointer n)
{
  return --*(guint *)n > 0 ? G_SOURCE_CONTINUE : G_SOURCE_REMOVE;
}

/* Until what was asked for is on the screen. */
static void
draw (Fixture *self)
{
  guint n = 4;

  gtk_widget_add_tick_callback (self->window, on_tick, &n, NULL);
  while (n > 0)
    g_main_context_iteration (NULL, TRUE);
}

static void
on_activate (FaintLineTable *table, guint id, guint *activated)
{
  *activated = id;
}

static void
set_up (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintLineList) lines = lines_new (1);
  GtkWidget *scrolled;

  self->session = faint_session_new ();
  self->table = FAINT_LINE_TABLE (faint_line_table_new (self->session));
  self->window = gtk_window_new ();
  gtk_window_set_default_size (GTK_WINDOW (self->window), 900, 300);
  gtk_window_set_child (GTK_WINDOW (self->window), GTK_WIDGET (self->table));
  self->view = FAINT_LINE_VIEW (find (self->window, FAINT_TYPE_LINE_VIEW));
  scrolled = find (self->window, GTK_TYPE_SCROLLED_WINDOW);
  self->adjustment = gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (scrolled));
  g_signal_connect (self->table, "activate-line", G_CALLBACK (on_activate), &self->activated);
  gtk_window_present (GTK_WINDOW (self->window));
  faint_line_table_set_list (self->table, lines);
  draw (self);
}

static void
tear_down (Fixture *self, gconstpointer data)
{
  gtk_window_destroy (GTK_WINDOW (self->window));
  g_object_unref (self->session);
}

/* The text of the first column, which is the number in the list. */
static guint
number_of (GtkWidget *row)
{
  FaintLineCell *cell = FAINT_LINE_CELL (find (row, FAINT_TYPE_LINE_CELL));

  return (guint)atoi (faint_line_cell_get_text (cell));
}

/* The list of rows in the column view. */
static GtkWidget *
list_of (Fixture *self)
{
  GtkWidget *cell = find (self->window, FAINT_TYPE_LINE_CELL);

  while (g_strcmp0 (gtk_widget_get_css_name (cell), "listview") != 0)
    cell = gtk_widget_get_parent (cell);
  return cell;
}

static double
row_height (Fixture *self)
{
  return gtk_adjustment_get_upper (self->adjustment) / faint_line_table_get_n_shown (self->table);
}

/* Where a row's top is in the list, pixels. */
static double
top_of (Fixture *self, GtkWidget *row)
{
  double x, y;

  g_assert_true (gtk_widget_translate_coordinates (row, list_of (self), 0, 0, &x, &y));
  return y;
}

/* The widget of the line with that number where it is in sight, else NULL. */
static GtkWidget *
row_in_sight (Fixture *self, guint number)
{
  double height = gtk_widget_get_height (list_of (self));

  for (GtkWidget *row = gtk_widget_get_first_child (list_of (self)); row;
       row = gtk_widget_get_next_sibling (row))
    if (number_of (row) == number && top_of (self, row) > -1
        && top_of (self, row) + gtk_widget_get_allocated_height (row) < height + 2)
      return row;
  return NULL;
}

/* Each row in the list's order stands where the scroll bar says. */
static void
assert_rows_in_place (Fixture *self)
{
  double value = gtk_adjustment_get_value (self->adjustment), height = row_height (self);
  guint first = (guint)ceil (value / height);
  guint n = (guint)(gtk_adjustment_get_page_size (self->adjustment) / height) - 1;

  g_assert_cmpuint (n, >=, 5);
  for (guint row = first; row < MIN (first + n, faint_line_table_get_n_shown (self->table)); row++)
    {
      GtkWidget *widget = row_in_sight (self, row + 1);

      g_assert_nonnull (widget);
      g_assert_cmpfloat_with_epsilon (top_of (self, widget), row * height - value, 2.0);
    }
}

static void
scroll (Fixture *self, double value)
{
  gtk_adjustment_set_value (self->adjustment, value);
  draw (self);
}

static void
test_scroll (Fixture *self, gconstpointer data)
{
  double most = gtk_adjustment_get_upper (self->adjustment)
                - gtk_adjustment_get_page_size (self->adjustment);
  guint n = 0;

  for (GtkWidget *row = gtk_widget_get_first_child (list_of (self)); row;
       row = gtk_widget_get_next_sibling (row))
    n++;
  /* a window of 300 pixels has room for less than twenty */
  g_assert_cmpuint (n, >, 5);
  g_assert_cmpuint (n, <, 40);
  assert_rows_in_place (self);
  for (guint i = 1; i <= 12; i++)
    {
      scroll (self, 7.5 * i);
      assert_rows_in_place (self);
    }
  scroll (self, 0.37 * most);
  assert_rows_in_place (self);
  scroll (self, most);
  assert_rows_in_place (self);
  g_assert_nonnull (row_in_sight (self, N));
  for (guint i = 1; i <= 12; i++)
    {
      scroll (self, most - 7.5 * i);
      assert_rows_in_place (self);
    }
  scroll (self, 0);
  assert_rows_in_place (self);
  /* a taller window at the end of the list */
  scroll (self, most);
  gtk_window_set_default_size (GTK_WINDOW (self->window), 900, 700);
  draw (self);
  draw (self);
  assert_rows_in_place (self);
  g_assert_nonnull (row_in_sight (self, N));
}

static void
key (Fixture *self, guint keyval, GdkModifierType state)
{
  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (GTK_WIDGET (self->view));

  for (guint i = 0; i < g_list_model_get_n_items (controllers); i++)
    {
      g_autoptr (GtkEventController) controller = g_list_model_get_item (controllers, i);
      gboolean handled = FALSE;

      if (!GTK_IS_EVENT_CONTROLLER_KEY (controller))
        continue;
      g_signal_emit_by_name (controller, "key-pressed", keyval, 0, state, &handled);
      g_assert_true (handled);
    }
  draw (self);
}

static guint
n_selected (Fixture *self)
{
  g_autoptr (GArray) ids = faint_line_table_get_selected (self->table);

  return ids->len;
}

/* The number of the line with the focus, 0: none. */
static guint
focused (Fixture *self)
{
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (self->window));

  return focus && gtk_widget_get_parent (focus) == list_of (self) ? number_of (focus) : 0;
}

/* Id of a number in the list. */
static guint
id_of (guint number)
{
  return N + 1 - number;
}

static void
test_keys (Fixture *self, gconstpointer data)
{
  guint page, n;

  g_assert_true (gtk_widget_grab_focus (GTK_WIDGET (self->table)));
  g_assert_cmpuint (focused (self), ==, 1);
  key (self, GDK_KEY_Down, 0);
  g_assert_cmpuint (focused (self), ==, 2);
  g_assert_cmpuint (faint_session_get_selected (self->session), ==, id_of (2));
  key (self, GDK_KEY_End, 0);
  g_assert_cmpuint (focused (self), ==, N);
  g_assert_cmpuint (faint_session_get_selected (self->session), ==, id_of (N));
  g_assert_nonnull (row_in_sight (self, N));
  /* a range reaches over rows that no widget shows */
  key (self, GDK_KEY_Home, GDK_SHIFT_MASK);
  g_assert_cmpuint (focused (self), ==, 1);
  g_assert_cmpuint (n_selected (self), ==, N);
  key (self, GDK_KEY_Page_Down, 0);
  page = focused (self) - 1;
  g_assert_cmpuint (page, ==,
                    (guint)(gtk_adjustment_get_page_size (self->adjustment) / row_height (self)));
  for (guint i = 0; i < 3 * page; i++)
    {
      key (self, GDK_KEY_Down, 0);
      g_assert_cmpuint (focused (self), ==, 2 + page + i);
      g_assert_nonnull (row_in_sight (self, 2 + page + i));
    }
  /* Ctrl moves alone, space selects besides */
  n = focused (self);
  key (self, GDK_KEY_Down, GDK_CONTROL_MASK);
  g_assert_cmpuint (focused (self), ==, n + 1);
  g_assert_cmpuint (n_selected (self), ==, 1);
  key (self, GDK_KEY_space, GDK_CONTROL_MASK);
  g_assert_cmpuint (n_selected (self), ==, 2);
  key (self, GDK_KEY_a, GDK_CONTROL_MASK);
  g_assert_cmpuint (n_selected (self), ==, N);
  key (self, GDK_KEY_a, GDK_CONTROL_MASK | GDK_SHIFT_MASK);
  g_assert_cmpuint (n_selected (self), ==, 0);
  key (self, GDK_KEY_Return, 0);
  g_assert_cmpuint (self->activated, ==, id_of (n + 1));
}

/* The focus belongs to the line: out of sight no other row has it. */
static void
test_focus (Fixture *self, gconstpointer data)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (gtk_widget_grab_focus (GTK_WIDGET (self->table)));
  key (self, GDK_KEY_Down, 0);
  key (self, GDK_KEY_Down, 0);
  g_assert_cmpuint (focused (self), ==, 3);
  scroll (self, 1000 * row_height (self));
  g_assert_cmpuint (focused (self), ==, 0);
  scroll (self, 0);
  g_assert_cmpuint (focused (self), ==, 3);
  scroll (self, 1000 * row_height (self));
  key (self, GDK_KEY_Down, 0);
  g_assert_cmpuint (focused (self), ==, 4);
  g_assert_nonnull (row_in_sight (self, 4));
  /* another order takes it along, as the selected row in sight */
  faint_line_table_sort_by (self->table, FAINT_LINE_COLUMN_NUMBER, GTK_SORT_DESCENDING);
  draw (self);
  g_assert_cmpuint (focused (self), ==, 4);
  g_assert_nonnull (row_in_sight (self, 4));
  /* a filter that hides it leaves the keys with a row that is there */
  g_assert_true (faint_line_table_set_filter (self->table, "number 100..200", &error));
  draw (self);
  g_assert_cmpuint (focused (self), >=, 100);
  g_assert_cmpuint (focused (self), <=, 200);
}

static void
test_link (Fixture *self, gconstpointer data)
{
  GtkWidget *row;

  faint_session_set_selected (self->session, id_of (2500));
  draw (self);
  row = row_in_sight (self, 2500);
  g_assert_nonnull (row);
  g_assert_true (gtk_widget_get_state_flags (row) & GTK_STATE_FLAG_SELECTED);
  for (GtkWidget *other = gtk_widget_get_first_child (list_of (self)); other;
       other = gtk_widget_get_next_sibling (other))
    g_assert_true (other == row || !(gtk_widget_get_state_flags (other) & GTK_STATE_FLAG_SELECTED));
  /* the widgets of other lines are not selected in its place */
  scroll (self, 0);
  for (GtkWidget *other = gtk_widget_get_first_child (list_of (self)); other;
       other = gtk_widget_get_next_sibling (other))
    g_assert_false (gtk_widget_get_state_flags (other) & GTK_STATE_FLAG_SELECTED);
}

/* @sign 1: rising. What is not known comes last both ways. */
static void
assert_sorted (Fixture *self, FaintLineList *lines, int sign)
{
  guint n = faint_line_table_get_n_shown (self->table);

  g_assert_cmpuint (n, ==, N);
  for (guint row = 1; row < n; row++)
    {
      const FaintLine *before
          = faint_line_list_find (lines, faint_line_table_get_id (self->table, row - 1));
      const FaintLine *line
          = faint_line_list_find (lines, faint_line_table_get_id (self->table, row));
      double step = sign * (line->lorentz.value - before->lorentz.value);

      if (isnan (before->lorentz.value))
        g_assert_true (isnan (line->lorentz.value));
      else
        g_assert_true (isnan (line->lorentz.value) || step >= 0);
      /* equal ones as in the list */
      if (step == 0)
        g_assert_cmpfloat (line->position.value, >, before->position.value);
    }
}

static void
test_order (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintLineList) lines = lines_new (1);

  scroll (self, 1000 * row_height (self));
  faint_line_table_sort_by (self->table, FAINT_LINE_COLUMN_LORENTZ, GTK_SORT_ASCENDING);
  assert_sorted (self, lines, 1);
  /* with no selected row in sight the first of the new order are shown */
  g_assert_cmpfloat (gtk_adjustment_get_value (self->adjustment), ==, 0);
  faint_line_table_sort_by (self->table, FAINT_LINE_COLUMN_LORENTZ, GTK_SORT_DESCENDING);
  assert_sorted (self, lines, -1);
}

/* Another list with the same ids: selection and place stay, cells say what is new. */
static void
test_lists (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintLineList) fitted = lines_new (1.25), fewer = NULL;
  const guint ids[] = { id_of (1001), id_of (1003), id_of (3000) }, gone[] = { id_of (5), 1 };
  GtkWidget *row;
  double top;

  faint_line_table_select_ids (self->table, ids, G_N_ELEMENTS (ids));
  scroll (self, 1000 * row_height (self));
  row = row_in_sight (self, 1002);
  g_assert_nonnull (row);
  top = top_of (self, row);
  faint_line_table_set_list (self->table, fitted);
  draw (self);
  g_assert_cmpuint (n_selected (self), ==, 3);
  row = row_in_sight (self, 1002);
  g_assert_nonnull (row);
  g_assert_cmpfloat_with_epsilon (top_of (self, row), top, 2.0);
  assert_rows_in_place (self);
  /* one line above is gone, so the numbers are less by one, and the last */
  fewer = faint_line_list_with_removed (fitted, gone, G_N_ELEMENTS (gone));
  faint_line_table_set_list (self->table, fewer);
  draw (self);
  g_assert_cmpuint (n_selected (self), ==, 3);
  row = row_in_sight (self, 1001);
  g_assert_nonnull (row);
  g_assert_cmpfloat_with_epsilon (top_of (self, row), top, 2.0);
  g_assert_cmpuint (faint_line_table_get_id (self->table, 1000), ==, id_of (1002));
}

/* Heads, cells, order and what is copied follow the axis: 7000 cm-1 is 1e7/7000 = 1428.571428...
 * nm, u = 1e-5 cm-1 there 2.04e-6 nm. */
static void
test_axis (Fixture *self, gconstpointer data)
{
  FaintAxisUnit nm = { .kind = FAINT_AXIS_UNIT_WAVELENGTH };
  FaintAxisUnit mhz = { .kind = FAINT_AXIS_UNIT_MHZ, .origin = 7100 };
  g_autofree char *text = NULL, *offsets = NULL;

  faint_line_table_set_axis (self->table, &nm);
  g_assert_cmpuint (faint_line_table_get_id (self->table, 0), ==, N);
  faint_line_table_sort_by (self->table, FAINT_LINE_COLUMN_POSITION, GTK_SORT_ASCENDING);
  g_assert_cmpuint (faint_line_table_get_id (self->table, 0), ==, 1);
  faint_line_table_sort_by (self->table, FAINT_LINE_COLUMN_POSITION, GTK_SORT_DESCENDING);
  text = faint_line_table_to_text (self->table);
  g_assert_true (g_str_has_prefix (text, "#\tPosition/nm\tStrength/(cm/molecule)\tLorentz HWHM/cm⁻¹\t"));
  g_assert_nonnull (strstr (text, "\n1\t1428.5714286(20)\t"));
  faint_line_table_set_axis (self->table, &mhz);
  faint_line_table_sort_by (self->table, FAINT_LINE_COLUMN_POSITION, GTK_SORT_ASCENDING);
  offsets = faint_line_table_to_text (self->table);
  /* -100 cm-1 is -2997924.58 MHz, u 0.30; a Lorentz width of 0.014 cm-1 419.71 MHz */
  g_assert_nonnull (strstr (offsets, "\t(Position − c·7100 cm⁻¹)/MHz\t"));
  g_assert_nonnull (strstr (offsets, "\tLorentz HWHM/MHz\t"));
  g_assert_nonnull (strstr (offsets, "\n1\t-2997924.58(30)\t"));
  g_assert_nonnull (strstr (offsets, "\t419.71\t"));
}

/* Rows follow the visible range while it is asked for; a line that is selected is so again when it
 * comes into view. */
static void
test_only_in_view (Fixture *self, gconstpointer data)
{
  faint_session_set_limits (self->session, 7000, 7400);
  g_assert_cmpuint (faint_line_table_get_n_shown (self->table), ==, N);
  faint_session_set_view (self->session, 7000.05, 7001.05);
  g_assert_cmpuint (faint_line_table_get_n_shown (self->table), ==, N);
  faint_session_set_selected (self->session, N - 5); /* 7000.5 */
  faint_line_table_set_only_in_view (self->table, TRUE);
  g_assert_cmpuint (faint_line_table_get_n_shown (self->table), ==, 10);
  faint_session_set_view (self->session, 7000.55, 7000.75);
  g_assert_cmpuint (faint_line_table_get_n_shown (self->table), ==, 2);
  g_assert_cmpuint (faint_session_get_selected (self->session), ==, N - 5);
  faint_session_set_view (self->session, 7000.45, 7000.75);
  g_assert_cmpuint (faint_line_table_get_n_shown (self->table), ==, 3);
  {
    g_autoptr (GArray) ids = faint_line_table_get_selected (self->table);

    g_assert_cmpuint (ids->len, ==, 1);
    g_assert_cmpuint (g_array_index (ids, guint, 0), ==, N - 5);
  }
  faint_line_table_set_only_in_view (self->table, FALSE);
  g_assert_cmpuint (faint_line_table_get_n_shown (self->table), ==, N);
}

/* Observed minus calculated in one notation, points below one another. Uncertainties by hand: two
 * digits of each. */
static void
test_differences (Fixture *self, gconstpointer data)
{
  static const struct
  {
    double value, u;
    const char *words, *text, *plain;
  } cases[] = {
    { 1.234e-5, 1.2e-4, NULL, "0.00001(12)\u2007", "0.00001(12)" },
    { -0.0123456, 2.0e-3, NULL, "−0.0123(20)\u2007\u2007", "-0.0123(20)" },
    { 2e-6, 9.96e-6, NULL, "0.000002(10)", "0.000002(10)" },
    { -2e-8, 1.2e-4, "outlier", "† 0.00000(12)\u2007", "† 0.00000(12)" },
    { 0.0001, NAN, NULL, "0.000100", "0.000100" },
  };
  g_autoptr (GHashTable) differences = g_hash_table_new_full (NULL, NULL, NULL, g_free);
  g_autofree char *copied = NULL;

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      FaintLineDifference *difference = g_new (FaintLineDifference, 1);

      *difference = (FaintLineDifference){ cases[i].value, cases[i].u, cases[i].words };
      g_hash_table_insert (differences, GUINT_TO_POINTER (N - i), difference);
    }
  faint_line_table_set_differences (self->table, differences);
  copied = faint_line_table_to_text (self->table);
  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      FaintLineNotation notation = { FAINT_AXIS_UNIT_DEFAULT, 6 };
      g_autoptr (FaintLineList) lines = lines_new (1);
      g_autoptr (FaintLineItem) item = faint_line_item_new (lines, differences, i);
      g_autofree char *text = NULL, *in_row = g_strdup_printf ("\t%s\t", cases[i].plain);

      faint_line_item_set_notation (item, &notation);
      text = faint_line_item_text (item, FAINT_LINE_COLUMN_DIFFERENCE);
      g_assert_cmpstr (text, ==, cases[i].text);
      g_assert_nonnull (strstr (copied, in_row));
    }
}

int
main (int argc, char **argv)
{
  gtk_test_init (&argc, &argv);
  g_test_add ("/app/line-table/scroll", Fixture, NULL, set_up, test_scroll, tear_down);
  g_test_add ("/app/line-table/keys", Fixture, NULL, set_up, test_keys, tear_down);
  g_test_add ("/app/line-table/focus", Fixture, NULL, set_up, test_focus, tear_down);
  g_test_add ("/app/line-table/link", Fixture, NULL, set_up, test_link, tear_down);
  g_test_add ("/app/line-table/order", Fixture, NULL, set_up, test_order, tear_down);
  g_test_add ("/app/line-table/lists", Fixture, NULL, set_up, test_lists, tear_down);
  g_test_add ("/app/line-table/axis", Fixture, NULL, set_up, test_axis, tear_down);
  g_test_add ("/app/line-table/only-in-view", Fixture, NULL, set_up, test_only_in_view, tear_down);
  g_test_add ("/app/line-table/differences", Fixture, NULL, set_up, test_differences, tear_down);
  return g_test_run ();
}
