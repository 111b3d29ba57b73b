/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The window under a real pointer and keyboard, by xdotool; skipped where that is not installed.
 * Without a window manager the window stands at the corner of the screen.
 */
#include <gsl/gsl_errno.h>
#include <string.h>

#include "app/lines/line-cells.h"
#include "app/parts/quantity-entry.h"
#include "app/data/setup-field.h"
#include "faint-test.h"
#include "hand.h"
#include "window-test.h"

static void
click (GtkWidget *widget, const char *modifier)
{
  g_autofree char *command = NULL;
  int x, y;

  hand_place_of (widget, 20, gtk_widget_get_height (widget) / 2.0, &x, &y);
  command = modifier ? g_strdup_printf ("xdotool mousemove %d %d keydown %s click 1 keyup %s", x, y,
                                        modifier, modifier)
                     : g_strdup_printf ("xdotool mousemove %d %d click 1", x, y);
  hand (command);
}

static gboolean
is_row (GtkWidget *widget, gconstpointer row)
{
  GtkListItem *item;

  if (strcmp (gtk_widget_get_css_name (widget), "row") != 0 || !gtk_widget_get_mapped (widget))
    return FALSE;
  item = faint_line_cell_below (widget);
  return item && gtk_list_item_get_position (item) == GPOINTER_TO_UINT (row);
}

static GtkWidget *
table_row (FaintWindow *window, guint row)
{
  GtkWidget *found = window_test_find (window->table, is_row, GUINT_TO_POINTER (row));

  g_assert_nonnull (found);
  return found;
}

static guint
n_selected (FaintWindow *window)
{
  g_autoptr (GArray) ids = faint_line_table_get_selected (FAINT_LINE_TABLE (window->table));

  return ids->len;
}

static const char *
status (FaintWindow *window)
{
  return gtk_label_get_text (GTK_LABEL (window->status_label));
}

/* Ctrl and a click take a row in, and out again; with one row alone, Ctrl+T says what it waits for.
 */
static void
test_ctrl_click (void)
{
  FaintWindow *window;

  if (!hand_is_there ())
    return;
  window = window_test_fitted ();
  window_test_linger (300);
  click (table_row (window, 0), NULL);
  g_assert_cmpuint (n_selected (window), ==, 1);
  hand ("xdotool key ctrl+t");
  g_assert_nonnull (strstr (status (window), "select two lines or more"));
  click (table_row (window, 2), "ctrl");
  g_assert_cmpuint (n_selected (window), ==, 2);
  click (table_row (window, 1), "ctrl");
  g_assert_cmpuint (n_selected (window), ==, 3);
  click (table_row (window, 1), "ctrl");
  g_assert_cmpuint (n_selected (window), ==, 2);
  hand ("xdotool key ctrl+t");
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Tie Lorentz Widths");
  window_test_wait (window, window_test_is_current, "the fit follows");
  g_assert_nonnull (strstr (status (window), "fitted again after the edit"));
  window_test_linger (500);
  /* Shift goes on from there, and a plain click ends it */
  click (table_row (window, 0), NULL);
  click (table_row (window, 2), "shift");
  g_assert_cmpuint (n_selected (window), ==, 3);
  click (table_row (window, 1), NULL);
  g_assert_cmpuint (n_selected (window), ==, 1);
  window_test_close (window);
}

static gboolean
is_field (GtkWidget *widget, gconstpointer key)
{
  return FAINT_IS_SETUP_FIELD (widget)
         && g_str_equal (faint_setup_field_get_key (FAINT_SETUP_FIELD (widget)), key);
}

static gboolean
is_quantity (GtkWidget *widget, gconstpointer data)
{
  return FAINT_IS_QUANTITY_ENTRY (widget);
}

static GtkWidget *
entry_of (FaintWindow *window, const char *key)
{
  GtkWidget *field = window_test_find (window->panes, is_field, key);

  g_assert_nonnull (field);
  return faint_quantity_entry_get_entry (
      FAINT_QUANTITY_ENTRY (window_test_find (field, is_quantity, NULL)));
}

static double
pressure (FaintWindow *window)
{
  return faint_document_get_setup (window->document)->pressure.value;
}

/* While text is not committed Ctrl+Z is the entry's; after Enter it is the window's, and nothing of
 * the entry's own comes back. */
static void
test_undo_in_entry (void)
{
  FaintWindow *window;
  GtkWidget *entry;
  g_autofree char *text = NULL;
  double before;

  if (!hand_is_there ())
    return;
  window = window_test_open ();
  before = pressure (window);
  window_test_linger (300);
  entry = entry_of (window, "pressure");
  text = g_strdup (gtk_editable_get_text (GTK_EDITABLE (entry)));
  gtk_widget_grab_focus (entry);
  window_test_linger (100);
  hand ("xdotool key ctrl+a");
  hand ("xdotool type --delay 30 2.5");
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (entry)), ==, "2.5");
  hand ("xdotool key ctrl+z");
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (entry)), !=, "2.5");
  g_assert_null (faint_document_get_undo_label (window->document));

  gtk_editable_set_text (GTK_EDITABLE (entry), text);
  hand ("xdotool key ctrl+a");
  hand ("xdotool type --delay 30 250Pa");
  hand ("xdotool key Return");
  g_assert_cmpfloat (pressure (window), ==, 250);
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Edit Pressure");
  hand ("xdotool key ctrl+z");
  g_assert_cmpfloat (pressure (window), ==, before);
  g_assert_null (faint_document_get_undo_label (window->document));
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (entry)), ==, text);
  /* leaving it is no edit */
  gtk_widget_grab_focus (window->plot);
  window_test_linger (200);
  g_assert_null (faint_document_get_undo_label (window->document));
  g_assert_cmpfloat (pressure (window), ==, before);
  window_test_close (window);
}

/* In the filter Ctrl+Z never reaches a step of the analysis. */
static void
test_undo_in_filter (void)
{
  FaintWindow *window;
  GtkWidget *entry;
  g_autofree char *label = NULL;

  if (!hand_is_there ())
    return;
  window = window_test_fitted ();
  label = g_strdup (faint_document_get_undo_label (window->document));
  entry = faint_filter_box_get_entry (FAINT_FILTER_BOX (window->filter_box));
  window_test_linger (300);
  gtk_widget_grab_focus (entry);
  hand ("xdotool type --delay 30 xyz");
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (entry)), ==, "xyz");
  for (guint i = 0; i < 6; i++)
    hand ("xdotool key ctrl+z");
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (entry)), ==, "");
  g_assert_nonnull (label);
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, label);
  window_test_close (window);
}

int
main (int argc, char **argv)
{
  int status;

  gtk_test_init (&argc, &argv);
  gsl_set_error_handler_off ();
  window_test_begin ();
  g_test_add_func ("/window-hand/ctrl-click", test_ctrl_click);
  g_test_add_func ("/window-hand/undo-in-entry", test_undo_in_entry);
  g_test_add_func ("/window-hand/undo-in-filter", test_undo_in_filter);
  status = g_test_run ();
  window_test_end ();
  return status;
}
