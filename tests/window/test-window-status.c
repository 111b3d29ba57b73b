/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the window says of itself: conditions that are missing, what was saved, exported, assigned
 * and fitted again, the line in the hand.
 */
#include <gsl/gsl_errno.h>
#include <string.h>

#include "app/lines/blend-sum.h"
#include "app/document/needed-conditions.h"
#include "app/parts/quantity-entry.h"
#include "app/lines/quality-window.h"
#include "app/data/setup-field.h"
#include "assignment-demo.h"
#include "faint-test.h"
#include "window-test.h"

static const char *
status (FaintWindow *window)
{
  return gtk_label_get_text (GTK_LABEL (window->status_label));
}

static const char *
message (FaintWindow *window)
{
  return faint_message_bar_get_text (FAINT_MESSAGE_BAR (window->message));
}

static gboolean
is_field (GtkWidget *widget, gconstpointer key)
{
  return FAINT_IS_SETUP_FIELD (widget)
         && g_str_equal (faint_setup_field_get_key (FAINT_SETUP_FIELD (widget)), key);
}

static FaintSetupField *
field_of (FaintWindow *window, const char *key)
{
  GtkWidget *found = window_test_find (window->panes, is_field, key);

  g_assert_nonnull (found);
  return FAINT_SETUP_FIELD (found);
}

static gboolean
is_marked (FaintWindow *window, const char *key)
{
  return gtk_widget_has_css_class (GTK_WIDGET (field_of (window, key)), "needed");
}

static void
take_back (FaintWindow *window, const char *key)
{
  g_assert_true (faint_setup_field_enter (field_of (window, key), ""));
}

static gboolean
is_drop_down (GtkWidget *widget, gconstpointer data)
{
  return GTK_IS_DROP_DOWN (widget);
}

static const char *
chosen_words (FaintWindow *window, const char *key)
{
  GtkWidget *widget = window_test_find (GTK_WIDGET (field_of (window, key)), is_drop_down, NULL);
  GtkStringObject *item = gtk_drop_down_get_selected_item (GTK_DROP_DOWN (widget));

  return item ? gtk_string_object_get_string (item) : NULL;
}

/* The words name fields and stages, and go as the fields are filled. */
static void
test_missing_conditions (void)
{
  FaintWindow *window = window_test_open ();
  g_autofree char *pressure
      = faint_setup_get (faint_document_get_setup (window->document), "pressure");

  g_assert_false (is_marked (window, "pressure"));
  take_back (window, "pressure");
  take_back (window, "cavity");
  g_assert_true (is_marked (window, "pressure"));
  g_assert_true (is_marked (window, "cavity"));
  g_assert_false (is_marked (window, "temperature"));
  g_assert_cmpstr (chosen_words (window, "cavity"), ==, "Not stated");
  window_test_act (window, "find-and-fit");
  window_test_wait (window, window_test_message_is_shown, "the fit is refused in words");
  g_assert_cmpstr (message (window), ==,
                   "Enter in stage Data: Pressure.\nEnter in stage Cavity: Geometry.");
  g_assert_true (faint_setup_field_enter (field_of (window, "pressure"), pressure));
  g_assert_cmpstr (message (window), ==, "Enter in stage Cavity: Geometry.");
  g_assert_true (faint_setup_field_enter (field_of (window, "cavity"), "ring"));
  g_assert_null (message (window));
  g_assert_false (is_marked (window, "cavity"));
  window_test_act (window, "find-and-fit");
  window_test_wait (window, window_test_is_current, "with all conditions it fits");
  window_test_close (window);
}

/* What the window calls missing is what the library refuses, for each condition alone. */
static void
test_missing_as_library (void)
{
  static const char *const keys[]
      = { "temperature", "pressure", "mole_fraction", "molar_mass", "cavity", "cavity_length" };
  FaintWindow *window = window_test_open ();
  const FaintSetup *whole = faint_document_get_setup (window->document);
  g_autoptr (FaintSetup) bare = faint_setup_copy (whole);
  g_autoptr (GError) error = NULL;

  g_assert_true (faint_setup_check (whole, NULL));
  for (guint i = 0; i < G_N_ELEMENTS (keys); i++)
    {
      g_autoptr (FaintSetup) setup = faint_setup_copy (whole);

      g_assert_false (faint_condition_is_missing (setup, keys[i]));
      g_assert_true (faint_setup_set (setup, keys[i], "", NULL, NULL));
      g_assert_true (faint_condition_is_missing (setup, keys[i]));
      g_assert_false (faint_setup_check (setup, NULL));
    }
  g_assert_false (faint_condition_is_missing (bare, "ring_down_time"));
  bare->mirror_kind = FAINT_MIRROR_UNKNOWN;
  g_assert_true (faint_condition_is_missing (bare, "ring_down_time"));
  g_assert_false (faint_setup_check (bare, NULL));
  /* a single pass needs no mirrors, and neither asks for them */
  g_assert_true (faint_setup_set (bare, "cavity", "none", NULL, NULL));
  g_assert_true (faint_setup_set (bare, "coupling", "locked", NULL, NULL));
  g_assert_false (faint_condition_is_missing (bare, "ring_down_time"));
  faint_setup_check (bare, &error);
  g_assert_no_error (error);
  window_test_close (window);
}

static gboolean
is_written (FaintWindow *window)
{
  return strstr (status (window), "written to") != NULL;
}

static gboolean
is_saved (FaintWindow *window)
{
  return g_str_has_prefix (status (window), "Saved to");
}

static void
test_files (void)
{
  FaintWindow *window = window_test_fitted ();
  g_autofree char *list = window_test_path ("told.csv");
  g_autofree char *table = window_test_path ("told.comb");
  g_autofree char *analysis = window_test_path ("told.faintline");
  g_autofree char *of_lines = NULL, *of_teeth = NULL;

  of_lines = g_strdup_printf ("%u lines written to told.csv", (guint)window_test_n_lines (window));
  of_teeth = g_strdup_printf ("Comb table of %u teeth written to told.comb",
                              (guint)faint_document_get_spectrum (window->document)->n);
  _faint_window_export (window, FAINT_EXPORT_LINES, list);
  window_test_wait (window, is_written, "the list is written");
  g_assert_cmpstr (status (window), ==, of_lines);
  g_assert_cmpstr (gtk_widget_get_tooltip_text (window->status_label), ==, list);
  _faint_window_tell (window, "");
  _faint_window_export (window, FAINT_EXPORT_COMB_TABLE, table);
  window_test_wait (window, is_written, "the table is written");
  g_assert_cmpstr (status (window), ==, of_teeth);
  demo_save (window, analysis);
  window_test_act (window, "save");
  window_test_wait (window, window_test_is_idle, "idle");
  window_test_wait (window, is_saved, "the analysis is saved");
  g_assert_cmpstr (status (window), ==, "Saved to told.faintline");
  _faint_window_save_as (window);
  /* a warning of the toolkit would end this test: the dialog asks for no format */
  g_signal_emit_by_name (window->dialog, "response", GTK_RESPONSE_CANCEL);
  _faint_window_choose_export (window, FAINT_EXPORT_REPORT);
  g_signal_emit_by_name (window->dialog, "response", GTK_RESPONSE_CANCEL);
  _faint_window_choose_export (window, FAINT_EXPORT_LINES);
  g_signal_emit_by_name (window->dialog, "response", GTK_RESPONSE_CANCEL);
  g_assert_cmpstr (window->chosen_format, ==, "csv");
  window_test_close (window);
}

/* While a line is in the hand the editor shows where it is; let go without effect, where it was. */
static void
test_in_the_hand (void)
{
  FaintWindow *window = window_test_fitted ();
  FaintLine line = *window_test_line (window, 0);
  double before = line.position.value;
  GtkWidget *entry;
  g_autofree char *text = NULL;

  faint_session_set_selected (window->session, line.id);
  entry = faint_quantity_entry_get_entry (FAINT_QUANTITY_ENTRY (gtk_widget_get_next_sibling (
      gtk_widget_get_first_child (GTK_WIDGET (window_test_row (window, FAINT_PLACE_POSITION))))));
  text = g_strdup (gtk_editable_get_text (GTK_EDITABLE (entry)));
  line.position.value += 0.05;
  faint_session_set_dragged (window->session, &line);
  g_assert_cmpfloat_with_epsilon (
      g_ascii_strtod (gtk_editable_get_text (GTK_EDITABLE (entry)), NULL), before + 0.05, 1e-4);
  faint_session_set_dragged (window->session, NULL);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (entry)), ==, text);
  faint_document_move_line (window->document, line.id, before + 0.001);
  window_test_wait (window, window_test_is_current, "the fit follows");
  g_assert_nonnull (strstr (status (window), "fitted again after the edit"));
  window_test_close (window);
}

/* A line made two: neither strength is known well, their sum is what it was, about as well. */
static void
test_blend (void)
{
  FaintWindow *window = window_test_fitted ();
  FaintLine whole = *window_test_line (window, 3);
  const FaintLine *half;
  FaintBlendSum sum;

  g_assert_false (faint_blend_sum (faint_document_get_fit (window->document), &whole, &sum));
  faint_session_set_selected (window->session, whole.id);
  window_test_act (window, "split-line");
  window_test_wait (window, window_test_is_current, "the fit follows");
  half = faint_document_get_line (window->document, whole.id);
  g_assert_true (faint_blend_sum (faint_document_get_fit (window->document), half, &sum));
  g_assert_cmpuint (sum.n, ==, 2);
  g_assert_cmpfloat (fabs (sum.value - whole.strength.value), <, 5 * whole.strength.u);
  g_assert_cmpfloat (sum.u, <, 2 * whole.strength.u);
  g_assert_cmpfloat (sum.u, <, half->strength.u);
  window_test_close (window);
}

/* What the fit could not determine is marked, with few digits; all of them stay in the line. */
static void
test_not_determined (void)
{
  FaintWindow *window = window_test_fitted ();
  FaintLine line = *window_test_line (window, 0);
  FaintParameterRow *row = window_test_row (window, FAINT_PLACE_LORENTZ);
  GtkWidget *quantity = gtk_widget_get_next_sibling (gtk_widget_get_first_child (GTK_WIDGET (row)));
  GtkWidget *entry = faint_quantity_entry_get_entry (FAINT_QUANTITY_ENTRY (quantity));

  faint_session_set_selected (window->session, line.id);
  g_assert_false (gtk_widget_has_css_class (quantity, "dim"));
  line.flags |= FAINT_LINE_NOT_DETERMINED;
  line.lorentz.value = 0.00123456789012345;
  line.lorentz.u = line.lorentz.u_noise = NAN;
  line.lorentz.state = FAINT_STATE_FREE;
  faint_parameter_row_update (row, &line);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (entry)), ==, "0.0012 cm⁻¹");
  g_assert_true (gtk_widget_has_css_class (quantity, "dim"));
  faint_quantity_entry_commit (FAINT_QUANTITY_ENTRY (quantity));
  g_assert_cmpfloat (faint_quantity_entry_get (FAINT_QUANTITY_ENTRY (quantity)).value, ==,
                     0.00123456789012345);
  window_test_close (window);
}

/* The upper 0.1 % point of chi-square with 10 degrees of freedom is 29.588 (Abramowitz and Stegun,
 * table 26.8; from memory). */
static void
test_quality_words (void)
{
  FaintFitWindow windows[4] = { { .dof = 10, .chi2 = 29.588 },
                                { .dof = 10, .chi2 = 10 },
                                { .dof = 10, .chi2 = 9 },
                                { .dof = 0, .chi2 = 0 } };
  g_autofree char *good = faint_quality_of_all_in_words (windows + 1, 3);
  g_autofree char *bad = NULL;

  g_assert_cmpfloat_with_epsilon (faint_quality_chance (&windows[0]), 0.001, 1e-6);
  g_assert_true (isnan (faint_quality_chance (&windows[3])));
  g_assert_cmpstr (good, ==, "All 3 windows are as expected from the noise.");
  windows[0].chi2 = 40;
  bad = faint_quality_of_all_in_words (windows, 4);
  g_assert_cmpstr (bad, ==, "1 of 4 windows are worse than 1 in 1000; 0.004 expected.");
}

static gboolean
says_poor (FaintWindow *window)
{
  return message (window) != NULL && strstr (message (window), "where 1 is expected") != NULL;
}

/* Lines of twice the temperature are a third wider than they were measured: the window says at the
 * end of the fit that the model is another, and stops saying so once it is not. */
static void
test_poor_fit (void)
{
  FaintWindow *window = window_test_fitted ();
  g_autofree char *before = NULL;

  g_assert_null (message (window));
  g_assert_null (strstr (status (window), "the model does not describe the data"));
  before = faint_setup_get (faint_document_get_setup (window->document), "temperature");
  g_assert_true (faint_setup_field_enter (field_of (window, "temperature"), "600 K"));
  window_test_wait (window, window_test_is_current, "fitted again");
  g_assert_nonnull (strstr (status (window), "the model does not describe the data"));
  window_test_act (window, "fit");
  window_test_wait (window, says_poor, "the window says so");
  g_assert_true (faint_setup_field_enter (field_of (window, "temperature"), before));
  window_test_wait (window, window_test_is_current, "fitted again");
  window_test_act (window, "fit");
  window_test_wait (window, window_test_is_current, "fitted as it was");
  window_test_wait (window, window_test_is_idle, "idle");
  g_assert_null (message (window));
  window_test_close (window);
}

int
main (int argc, char **argv)
{
  int result;

  gtk_test_init (&argc, &argv);
  gsl_set_error_handler_off ();
  window_test_begin ();
  g_test_add_func ("/window-status/missing-conditions", test_missing_conditions);
  g_test_add_func ("/window-status/missing-as-library", test_missing_as_library);
  g_test_add_func ("/window-status/files", test_files);
  g_test_add_func ("/window-status/in-the-hand", test_in_the_hand);
  g_test_add_func ("/window-status/poor-fit", test_poor_fit);
  g_test_add_func ("/window-status/blend", test_blend);
  g_test_add_func ("/window-status/not-determined", test_not_determined);
  g_test_add_func ("/window-status/quality-words", test_quality_words);
  result = g_test_run ();
  window_test_end ();
  return result;
}
