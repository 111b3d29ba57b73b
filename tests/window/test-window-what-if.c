/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What if, in the window: sliders redraw the model and leave the analysis alone; Take Over makes
 * one step of the history. Numbers are held against the library called directly.
 */
#include <gsl/gsl_errno.h>
#include <math.h>

#include "app/parts/quantity-entry.h"
#include "app/what-if/what-if-box.h"
#include "app/what-if/what-if-row.h"
#include "faint-test.h"
#include "window-test.h"

static FaintWhatIfBox *
box_of (FaintWindow *window)
{
  return FAINT_WHAT_IF_BOX (window->what_if);
}

static FaintWhatIfRow *
row_of (FaintWindow *window, FaintWhatIfQuantity quantity)
{
  return FAINT_WHAT_IF_ROW (faint_what_if_box_get_row (box_of (window), quantity));
}

static gboolean
is_computed (FaintWindow *window)
{
  return !faint_what_if_box_is_busy (box_of (window));
}

static FaintOtherTrace *
drawn (FaintWindow *window)
{
  FaintSpectrumFigure figure;

  faint_plot_get_figure (FAINT_PLOT (window->plot), &figure);
  return figure.other;
}

static FaintWindow *
window_playing (void)
{
  FaintWindow *window = window_test_fitted ();

  window_test_act (window, "what-if");
  g_assert_cmpint (faint_session_get_stage (window->session), ==, FAINT_STAGE_CAVITY);
  g_assert_true (faint_what_if_box_get_open (box_of (window)));
  window_test_wait (window, is_computed, "the model as stated");
  return window;
}

/* Moves the slider, as keys and pointer do, to @share of its reach above the stated value. */
static void
slide (FaintWindow *window, FaintWhatIfQuantity quantity, double share)
{
  GtkRange *range = GTK_RANGE (faint_what_if_row_get_slider (row_of (window, quantity)));
  GtkAdjustment *adjustment = gtk_range_get_adjustment (range);
  double place = gtk_range_get_value (range);

  gtk_range_set_value (range, place + share * (gtk_adjustment_get_upper (adjustment) - place));
}

/* The same question to the library; values of all rows. */
static FaintWhatIfModel *
expected (FaintWindow *window, double lower, double upper)
{
  g_autoptr (GError) error = NULL;
  FaintFit *fit = faint_document_get_fit (window->document);
  g_autoptr (FaintWhatIf) what = faint_what_if_new (faint_document_get_spectrum (window->document),
                                                    fit, fit->lines, NULL, &error);
  FaintWhatIfValues values = faint_what_if_stated (what);
  FaintWhatIfModel *model;

  g_assert_no_error (error);
  for (guint i = 0; i < FAINT_WHAT_IF_N; i++)
    if (!isnan (values.value[i]))
      values.value[i] = faint_what_if_row_get_value (row_of (window, i));
  model = faint_what_if_model (what, &values, lower, upper, 1, NULL, &error);
  g_assert_no_error (error);
  return model;
}

static void
assert_shown (FaintWindow *window, FaintWhatIfNumber row, const FaintWhatIfModel *want)
{
  const char *fitted = faint_what_if_box_get_number (box_of (window), row, FALSE);
  const char *now = faint_what_if_box_get_number (box_of (window), row, TRUE);

  faint_assert_close (g_ascii_strtod (fitted, NULL), want->chi2_fitted / want->dof, 1e-3,
                      "four digits are shown");
  faint_assert_close (g_ascii_strtod (now, NULL), want->chi2 / want->dof, 1e-3,
                      "four digits are shown");
}

static void
test_as_stated (void)
{
  FaintWindow *window = window_playing ();
  FaintWhatIfBox *box = box_of (window);
  const FaintSetup *setup = faint_document_get_setup (window->document);
  g_autoptr (FaintWhatIfModel) want = expected (window, NAN, NAN);

  assert_shown (window, FAINT_WHAT_IF_NUMBER_ALL, want);
  g_assert_cmpstr (faint_what_if_box_get_number (box, FAINT_WHAT_IF_NUMBER_ALL, FALSE), ==,
                   faint_what_if_box_get_number (box, FAINT_WHAT_IF_NUMBER_ALL, TRUE));
  g_assert_true (faint_what_if_row_get_value (row_of (window, FAINT_WHAT_IF_PRESSURE))
                 == setup->pressure.value);
  /* it would hide the fitted one, which it is */
  g_assert_null (drawn (window));
  window_test_assert_named (window->what_if);
  window_test_close (window);
}

static void
test_slide (void)
{
  FaintWindow *window = window_playing ();
  FaintAnalysis *before = faint_document_get_analysis (window->document);
  g_autofree char *undo = g_strdup (faint_document_get_undo_label (window->document));
  g_autoptr (FaintWhatIfModel) want = NULL;
  const double *y;
  gsize n;

  /* a drag: many values, none waited for; the last one wins */
  for (guint k = 1; k <= 40; k++)
    {
      slide (window, FAINT_WHAT_IF_PRESSURE, 0.01);
      window_test_linger (5);
    }
  slide (window, FAINT_WHAT_IF_FINESSE, 0.1);
  window_test_wait (window, is_computed, "the model under other conditions");
  want = expected (window, NAN, NAN);
  assert_shown (window, FAINT_WHAT_IF_NUMBER_ALL, want);
  g_assert_cmpfloat (want->chi2, >, 1.5 * want->chi2_fitted);
  g_assert_nonnull (drawn (window));
  y = faint_pyramid_get_y (drawn (window)->model, &n);
  g_assert_cmpuint (n, ==, want->n);
  for (gsize t = 0; t < n; t++)
    faint_assert_near (y[t], want->model[t], 0.0, "same inputs, same bits");
  g_assert_true (faint_document_get_analysis (window->document) == before);
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, undo);
  window_test_close (window);
}

static void
test_view (void)
{
  FaintWindow *window = window_playing ();
  const FaintLine *line = window_test_line (window, 1);
  double lower = line->position.value - 0.05, upper = line->position.value + 0.05;
  g_autoptr (FaintWhatIfModel) want = NULL;
  FaintOtherTrace *whole;

  slide (window, FAINT_WHAT_IF_TEMPERATURE, 0.2);
  window_test_wait (window, is_computed, "another temperature");
  whole = drawn (window);
  faint_session_set_view (window->session, lower, upper);
  window_test_linger (300);
  want = expected (window, lower, upper);
  assert_shown (window, FAINT_WHAT_IF_NUMBER_VIEW, want);
  /* the whole is there already: a view of it is no reason to lose it */
  g_assert_true (drawn (window) == whole);
  window_test_close (window);
}

static void
enter (FaintWindow *window, FaintWhatIfQuantity quantity, const char *text)
{
  FaintQuantityEntry *entry
      = FAINT_QUANTITY_ENTRY (faint_what_if_row_get_entry (row_of (window, quantity)));

  gtk_editable_set_text (GTK_EDITABLE (faint_quantity_entry_get_entry (entry)), text);
  faint_quantity_entry_commit (entry);
}

static const char *
error_of (FaintWindow *window, FaintWhatIfQuantity quantity)
{
  return faint_quantity_entry_get_error (
      FAINT_QUANTITY_ENTRY (faint_what_if_row_get_entry (row_of (window, quantity))));
}

static gboolean
is_button (GtkWidget *widget, gconstpointer words)
{
  return GTK_IS_BUTTON (widget)
         && g_strcmp0 (gtk_button_get_label (GTK_BUTTON (widget)), words) == 0;
}

static GtkWidget *
button (FaintWindow *window, const char *words)
{
  GtkWidget *found = window_test_find (window->what_if, is_button, words);

  g_assert_nonnull (found);
  return found;
}

static void
test_take_over (void)
{
  FaintWindow *window = window_playing ();
  double before = faint_document_get_setup (window->document)->pressure.value;
  double mirror = faint_document_get_setup (window->document)->mirror.value;

  g_assert_false (gtk_widget_get_sensitive (button (window, "Take Over")));
  enter (window, FAINT_WHAT_IF_PRESSURE, "-3 hPa");
  g_assert_nonnull (error_of (window, FAINT_WHAT_IF_PRESSURE));
  g_assert_false (gtk_widget_get_sensitive (button (window, "Take Over")));
  enter (window, FAINT_WHAT_IF_PRESSURE, "2.75 hPa");
  g_assert_null (error_of (window, FAINT_WHAT_IF_PRESSURE));
  g_signal_emit_by_name (button (window, "Take Over"), "clicked");
  g_assert_cmpfloat (faint_document_get_setup (window->document)->pressure.value, ==, 275.0);
  g_assert_cmpfloat (faint_document_get_setup (window->document)->mirror.value, ==, mirror);
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Take Over What If");
  g_assert_false (faint_what_if_box_get_open (box_of (window)));
  g_assert_null (drawn (window));
  /* the fit that follows belongs to the step */
  window_test_wait (window, window_test_is_current, "a fit with the new setup");
  window_test_act (window, "undo");
  g_assert_cmpfloat (faint_document_get_setup (window->document)->pressure.value, ==, before);
  window_test_close (window);
}

/* A value off a slider gets the digits that its uncertainty deserves, and the record says that it
 * is supposed. */
static void
test_take_over_digits (void)
{
  FaintWindow *window = window_playing ();
  FaintQuantity before = faint_document_get_setup (window->document)->mirror, after;
  FaintAnalysis *analysis;
  const char *record;

  enter (window, FAINT_WHAT_IF_FINESSE, "11499.5");
  g_signal_emit_by_name (button (window, "Take Over"), "clicked");
  after = faint_document_get_setup (window->document)->mirror;
  /* tau = 1/(FSR (-2 ln s)), F = pi sqrt(s)/(1-s): 7.321 us with a ring of 119.92 cm */
  g_assert_cmpfloat_with_epsilon (after.value, 7.321e-6, 1e-18);
  g_assert_cmpfloat (after.u, ==, before.u);
  analysis = faint_document_get_analysis (window->document);
  record = faint_analysis_get_change (analysis, faint_analysis_count_changes (analysis) - 1)->text;
  g_assert_nonnull (strstr (record, "ring_down_time set from 9.2 us to 7.321 us"));
  g_assert_nonnull (strstr (record, "supposed, not measured; stated uncertainties are kept"));
  window_test_wait (window, window_test_is_current, "a fit with the new setup");
  window_test_close (window);
}

static void
test_leave (void)
{
  FaintWindow *window = window_playing ();

  slide (window, FAINT_WHAT_IF_PRESSURE, 0.3);
  window_test_wait (window, is_computed, "another pressure");
  g_assert_nonnull (drawn (window));
  faint_session_set_stage (window->session, FAINT_STAGE_LINES);
  g_assert_null (drawn (window));
  faint_session_set_stage (window->session, FAINT_STAGE_CAVITY);
  g_assert_nonnull (drawn (window));
  g_signal_emit_by_name (button (window, "Reset to Stated"), "clicked");
  window_test_wait (window, is_computed, "as stated again");
  g_assert_null (drawn (window));
  slide (window, FAINT_WHAT_IF_PRESSURE, 0.3);
  g_signal_emit_by_name (button (window, "Leave"), "clicked");
  window_test_linger (300);
  g_assert_false (faint_what_if_box_get_open (box_of (window)));
  g_assert_null (drawn (window));
  g_assert_null (faint_what_if_box_get_trace (box_of (window)));
  window_test_close (window);
}

/* Without lines there is no model: said in words, and nothing runs. */
static void
test_without_lines (void)
{
  FaintWindow *window = window_test_open ();

  window_test_act (window, "what-if");
  window_test_linger (100);
  g_assert_true (is_computed (window));
  g_assert_false (gtk_widget_get_mapped (GTK_WIDGET (row_of (window, FAINT_WHAT_IF_PRESSURE))));
  g_assert_null (drawn (window));
  window_test_close (window);
}

int
main (int argc, char **argv)
{
  int failed;

  gtk_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  window_test_begin ();
  g_test_add_func ("/window/what-if/as-stated", test_as_stated);
  g_test_add_func ("/window/what-if/slide", test_slide);
  g_test_add_func ("/window/what-if/view", test_view);
  g_test_add_func ("/window/what-if/take-over", test_take_over);
  g_test_add_func ("/window/what-if/take-over-digits", test_take_over_digits);
  g_test_add_func ("/window/what-if/leave", test_leave);
  g_test_add_func ("/window/what-if/without-lines", test_without_lines);
  failed = g_test_run ();
  window_test_end ();
  return failed;
}
