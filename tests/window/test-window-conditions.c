/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Conditions that a fit needs and a file does not state are asked for once it is open, beside what
 * was read: stated in one step that can be undone, or later.
 */
#include <gsl/gsl_errno.h>
#include <string.h>

#include "app/data/conditions-window.h"
#include "window-test.h"

static FaintConditionsWindow *
asked (void)
{
  GListModel *toplevels = gtk_window_get_toplevels ();

  for (guint i = 0; i < g_list_model_get_n_items (toplevels); i++)
    {
      g_autoptr (GtkWidget) toplevel = g_list_model_get_item (toplevels, i);

      if (FAINT_IS_CONDITIONS_WINDOW (toplevel))
        return FAINT_CONDITIONS_WINDOW (toplevel);
    }
  return NULL;
}

static gboolean
is_asked (FaintWindow *window)
{
  return asked () != NULL;
}

static gboolean
is_drawn (FaintWindow *window)
{
  g_autofree char *summary = faint_conditions_window_get_summary (asked ());

  return summary != NULL;
}

static void
assert_says (const char *text, const char *words)
{
  if (text == NULL || strstr (text, words) == NULL)
    g_error ("'%s' does not say '%s'", text, words);
}

/* What the summary says, once what was read is drawn. */
static void
assert_summary (FaintWindow *window, const char *words)
{
  g_autofree char *summary = NULL;

  window_test_wait (window, is_drawn, "what was read is drawn");
  summary = faint_conditions_window_get_summary (asked ());
  assert_says (summary, words);
}

static void
assert_setup (FaintWindow *window, const char *key, const char *want)
{
  g_autofree char *value = faint_setup_get (faint_document_get_setup (window->document), key);

  g_assert_cmpstr (value, ==, want);
}

static void
state (const char *key, const char *text)
{
  g_assert_true (
      faint_import_conditions_enter (faint_conditions_window_get_conditions (asked ()), key, text));
}

/* Where the stage Data says what is missing; NULL: it says nothing. */
static gboolean
begins_with (GtkWidget *widget, gconstpointer words)
{
  return GTK_IS_LABEL (widget) && g_str_has_prefix (gtk_label_get_text (GTK_LABEL (widget)), words);
}

static const char *
data_says (FaintWindow *window)
{
  GtkWidget *label = window_test_find (window->panes, begins_with, "Enter in stage ");

  return label && gtk_widget_get_visible (gtk_widget_get_parent (gtk_widget_get_parent (label)))
             ? gtk_label_get_text (GTK_LABEL (label))
             : NULL;
}

/* A JCAMP-DX file that states no more than the temperature. */
static FaintWindow *
open_jcamp (void)
{
  g_autofree char *path = window_test_path ("bare.dx");
  const char *const paths[] = { path, NULL };
  GString *text = g_string_new ("##TITLE= nitrous oxide, invented\n##JCAMP-DX= 4.24\n"
                                "##XUNITS= 1/CM\n##YUNITS= TRANSMITTANCE\n##TEMPERATURE= 23 C\n"
                                "##FIRSTX= 7790\n##LASTX= 7790.099\n##NPOINTS= 100\n"
                                "##XYDATA= (X++(Y..Y))\n");
  FaintWindow *window = window_test_new ();

  for (guint i = 0; i < 100; i++)
    g_string_append_printf (text, "%.3f 0.%u\n", 7790 + 0.001 * i, 990 + i % 7);
  g_string_append (text, "##END=\n");
  g_assert_true (g_file_set_contents (path, text->str, -1, NULL));
  g_string_free (text, TRUE);
  faint_window_open (window, paths);
  window_test_wait (window, is_asked, "the conditions are asked for");
  return window;
}

static void
leave (FaintWindow *window)
{
  window_test_wait (window, window_test_is_idle, "idle");
  window_test_linger (200);
  window_test_close (window);
}

static void
test_stated (void)
{
  FaintWindow *window = open_jcamp ();
  FaintImportConditions *conditions = faint_conditions_window_get_conditions (asked ());

  window_test_assert_named (GTK_WIDGET (asked ()));
  assert_setup (window, "temperature", "23 degC");
  assert_summary (window, "7790.00000 – 7790.09900 cm⁻¹");
  assert_summary (window, "Not stated yet: Pressure, Mole fraction, Molar mass, Geometry, Mirror "
                          "spacing, Mirrors.");
  assert_says (data_says (window), "Enter in stage Data: Pressure, Mole fraction, Molar mass.\n");
  state ("pressure", "1.30(2) hPa");
  state ("mole_fraction", "1");
  state ("molar_mass", "44.0011 g/mol");
  state ("cavity", "standing-wave");
  state ("cavity_length", "60 cm");
  assert_summary (window, "Not stated yet: Mirrors.");
  state ("finesse", "12000(60)");
  /* nothing reaches the document before it is taken, and nothing that cannot be read */
  assert_setup (window, "pressure", NULL);
  g_assert_false (faint_import_conditions_enter (conditions, "pressure", "-3 hPa"));
  faint_conditions_window_accept (asked ());
  g_assert_nonnull (asked ());
  state ("pressure", "1.30(2) hPa");
  faint_conditions_window_accept (asked ());
  g_assert_null (asked ());
  assert_setup (window, "pressure", "1.3 hPa");
  assert_setup (window, "u(pressure)", "0.02 hPa");
  assert_setup (window, "temperature", "23 degC");
  g_assert_true (faint_setup_check (faint_document_get_setup (window->document), NULL));
  g_assert_null (data_says (window));
  /* one step */
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "State Conditions");
  faint_document_undo (window->document);
  assert_setup (window, "pressure", NULL);
  assert_setup (window, "finesse", NULL);
  g_assert_null (faint_document_get_undo_label (window->document));
  assert_says (data_says (window), "Enter in stage Cavity: Geometry");
  faint_document_redo (window->document);
  assert_setup (window, "finesse", "12000");
  leave (window);
}

static void
on_saved (GObject *source, GAsyncResult *result, gpointer done)
{
  g_assert_true (faint_document_save_finish (FAINT_DOCUMENT (source), result, NULL));
  *(gboolean *)done = TRUE;
}

/* Left for later, the stage Data says what is missing and asks again when told to; a saved analysis
 * was asked about already. */
static void
test_later (void)
{
  FaintWindow *window = open_jcamp (), *again;
  g_autofree char *saved = window_test_path ("later.faintline");
  const char *const paths[] = { saved, NULL };
  gboolean done = FALSE;

  gtk_window_close (GTK_WINDOW (asked ()));
  window_test_linger (100);
  g_assert_null (asked ());
  g_assert_null (faint_document_get_undo_label (window->document));
  assert_says (data_says (window), "Enter in stage Data: Pressure, Mole fraction, Molar mass.\n");
  window_test_act (window, "state-conditions");
  g_assert_nonnull (asked ());
  state ("pressure", "2 hPa");
  faint_conditions_window_accept (asked ());
  assert_setup (window, "pressure", "2 hPa");
  assert_says (data_says (window), "Enter in stage Data: Mole fraction, Molar mass.\n");
  faint_document_save_async (window->document, saved, on_saved, &done);
  while (!done)
    g_main_context_iteration (NULL, TRUE);
  again = window_test_new ();
  faint_window_open (again, paths);
  window_test_wait (again, window_test_work_is_shown, "the analysis opens");
  window_test_linger (200);
  g_assert_null (asked ());
  assert_says (data_says (again), "Enter in stage Data: Mole fraction, Molar mass.\n");
  leave (again);
  leave (window);
}

/* A comb table that states all but the molar mass. */
static char *
comb_table (const char *name, const char *pressure)
{
  char *path = window_test_path (name);
  GString *text = g_string_new ("# comb-table 1\n# temperature = 296 K\n# mole_fraction = 1\n"
                                "# cavity = standing-wave\n# cavity_length = 60 cm\n"
                                "# finesse = 12000\n");

  g_string_append_printf (text, "# pressure = %s\n# columns = wavenumber/cm-1 transmission\n",
                          pressure);
  for (guint i = 0; i < 100; i++)
    g_string_append_printf (text, "%.3f 0.%u\n", 7790 + 0.001 * i, 990 + i % 7);
  g_assert_true (g_file_set_contents (path, text->str, -1, NULL));
  g_string_free (text, TRUE);
  return path;
}

/* Of a series each spectrum that lacks something is asked about. */
static void
test_series (void)
{
  g_autofree char *low = comb_table ("low.comb", "1 hPa");
  g_autofree char *high = comb_table ("high.comb", "2 hPa");
  const char *const paths[] = { low, high, NULL };
  FaintWindow *window = window_test_new ();

  faint_window_open (window, paths);
  window_test_wait (window, is_asked, "the first spectrum is asked about");
  assert_says (gtk_window_get_title (GTK_WINDOW (asked ())), "Spectrum 1 of 2: ");
  assert_summary (window, "Not stated yet: Molar mass.");
  state ("molar_mass", "44.0011 g/mol");
  faint_conditions_window_accept (asked ());
  g_assert_nonnull (asked ());
  assert_says (gtk_window_get_title (GTK_WINDOW (asked ())), "Spectrum 2 of 2: ");
  g_assert_cmpuint (faint_document_get_shown (window->document), ==, 1);
  state ("molar_mass", "44.0011 g/mol");
  faint_conditions_window_accept (asked ());
  window_test_linger (100);
  g_assert_null (asked ());
  g_assert_null (data_says (window));
  leave (window);
}

static void
test_complete (void)
{
  FaintWindow *window = window_test_open ();

  window_test_linger (200);
  g_assert_null (asked ());
  g_assert_null (data_says (window));
  leave (window);
}

static gboolean
is_face (GtkWidget *widget, gconstpointer data)
{
  g_autofree char *other = gtk_test_accessible_check_property (
      GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_PROPERTY_LABEL, "Measured quantity of the mirrors");

  return GTK_IS_DROP_DOWN (widget) && other == NULL;
}

static gboolean
is_label_with (GtkWidget *widget, gconstpointer words)
{
  return GTK_IS_LABEL (widget) && gtk_widget_get_visible (widget)
         && strstr (gtk_label_get_text (GTK_LABEL (widget)), words) != NULL;
}

/* Another measured quantity of the mirrors: what is stated is converted, one step back; what cannot
 * be converted says what the cavity has until then; and what is missing is told in the window's
 * words. */
static void
test_mirrors (void)
{
  FaintWindow *window = window_test_open ();
  GtkWidget *face = window_test_find (window->panes, is_face, NULL);
  g_autoptr (FaintSetup) setup = NULL;

  g_assert_nonnull (face);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (face), 0);
  /* 9.20(5) us in a ring of 119.92 cm: F = pi sqrt(s)/(1-s), s = exp(-1/(2 tau FSR)), is 14451.0
   * with u = 78.5, computed from these relations apart from this program */
  assert_setup (window, "finesse", "14451");
  assert_setup (window, "u(finesse)", "79");
  assert_setup (window, "ring_down_time", NULL);
  g_assert_cmpstr (faint_document_get_undo_label (window->document), ==, "Convert to Finesse");
  gtk_drop_down_set_selected (GTK_DROP_DOWN (face), 4);
  assert_setup (window, "finesse", "14451");
  g_assert_nonnull (
      window_test_find (window->panes, is_label_with,
                        "Until a value is given here the cavity has Finesse 14451(79)."));
  window_test_act (window, "undo");
  assert_setup (window, "ring_down_time", "9.2 us");
  g_assert_cmpuint (gtk_drop_down_get_selected (GTK_DROP_DOWN (face)), ==, 2);
  g_assert_null (window_test_find (window->panes, is_label_with, "Until a value is given here"));
  setup = faint_document_copy_setup (window->document);
  g_assert_true (faint_setup_set (setup, "ring_down_time", "", NULL, NULL));
  g_assert_true (faint_document_edit_setup (window->document, setup, "Edit", NULL));
  g_assert_nonnull (window_test_find (window->panes, is_label_with, "not described yet"));
  g_assert_null (window_test_find (window->panes, is_label_with, "mirror_reflectivity"));
  window_test_close (window);
}

int
main (int argc, char **argv)
{
  int status;

  gsl_set_error_handler_off ();
  gtk_test_init (&argc, &argv, NULL);
  window_test_begin ();
  g_test_add_func ("/window/conditions/stated", test_stated);
  g_test_add_func ("/window/conditions/later", test_later);
  g_test_add_func ("/window/conditions/series", test_series);
  g_test_add_func ("/window/conditions/complete", test_complete);
  g_test_add_func ("/window/conditions/mirrors", test_mirrors);
  status = g_test_run ();
  window_test_end ();
  return status;
}
