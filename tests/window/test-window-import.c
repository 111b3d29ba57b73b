/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Foreign text through the import window: what its head states is filled in, what is missing is
 * asked for, what was understood is told before it is taken, and all of it reaches the analysis.
 */
#include <gsl/gsl_errno.h>
#include <string.h>

#include "app/data/import-window.h"
#include "app/parts/quantity-entry.h"
#include "faint-test.h"
#include "window-test.h"

#define N_ROWS 100
#define KEY "import"

/* A row a step of 0.01 cm-1 from 7790 cm-1 on, the fiftieth missing; two lines state conditions,
 * one a key of somebody else. */
static char *
foreign_text (gsize n)
{
  GString *text = g_string_new ("# temperature = 296.15(5) K\n# operator = nobody\n"
                                "# cavity_length = 60 cm\nwhere;how much\n");

  for (gsize i = 0; i < n; i++)
    if (i != 50)
      g_string_append_printf (text, "%.4f;0.%u\n", 7790 + 0.01 * (double)i, 990 + (guint)(i % 7));
  return g_string_free (text, FALSE);
}

static char *
foreign_file (const char *name, gsize n)
{
  char *path = window_test_path (name);
  g_autofree char *text = foreign_text (n);

  g_assert_true (g_file_set_contents (path, text, -1, NULL));
  return path;
}

static gboolean
find_import (FaintWindow *window)
{
  GListModel *toplevels = gtk_window_get_toplevels ();

  for (guint i = 0; i < g_list_model_get_n_items (toplevels); i++)
    {
      g_autoptr (GtkWidget) toplevel = g_list_model_get_item (toplevels, i);

      if (FAINT_IS_IMPORT_WINDOW (toplevel))
        {
          g_object_set_data (G_OBJECT (window), KEY, toplevel);
          return TRUE;
        }
    }
  return FALSE;
}

static FaintImportWindow *
import_of (FaintWindow *window)
{
  return g_object_get_data (G_OBJECT (window), KEY);
}

static gboolean
is_read (FaintWindow *window)
{
  g_autofree char *summary = faint_import_window_get_summary (import_of (window));

  return summary != NULL;
}

static char *
summary_of (FaintWindow *window)
{
  window_test_wait (window, is_read, "the text is read");
  return faint_import_window_get_summary (import_of (window));
}

static FaintWindow *
ask (const char *path)
{
  FaintWindow *window = window_test_new ();
  const char *const paths[] = { path, NULL };

  faint_window_open (window, paths);
  window_test_wait (window, find_import, "the columns are asked for");
  return window;
}

static void
assert_says (const char *text, const char *words)
{
  if (strstr (text, words) == NULL)
    g_error ("'%s' does not say '%s'", text, words);
}

static void
leave (FaintWindow *window)
{
  window_test_wait (window, window_test_is_idle, "idle");
  window_test_linger (200);
  window_test_close (window);
}

static void
test_summary (void)
{
  g_autofree char *path = foreign_file ("summary.csv", N_ROWS);
  FaintWindow *window = ask (path);
  FaintImportWindow *import = import_of (window);
  g_autofree char *before = NULL, *half = NULL, *whole = NULL;

  window_test_assert_named (GTK_WIDGET (import));
  faint_import_window_set_meaning (import, 0, "wavenumber/cm-1");
  half = summary_of (window);
  assert_says (half, "no column holds the samples");
  faint_import_window_set_meaning (import, 1, "transmission");
  whole = summary_of (window);
  assert_says (whole, "99\n");
  assert_says (whole, "7790.00000 – 7790.99000 cm⁻¹");
  /* 0.01 cm-1 times c */
  assert_says (whole, "299.792 MHz");
  assert_says (whole, "7790.00000 cm⁻¹: 0.99\n");
  assert_says (whole, "7790.99000 cm⁻¹: 0.991\n");
  assert_says (whole, "1 gap");
  assert_says (whole, "Not stated yet: Pressure, Mole fraction, Molar mass, Geometry, Mirrors.");
  gtk_window_destroy (GTK_WINDOW (import));
  leave (window);
}

static void
state (FaintImportConditions *conditions, const char *key, const char *text)
{
  if (!faint_import_conditions_enter (conditions, key, text))
    g_error ("%s = %s: %s", key, text, faint_import_conditions_get_error (conditions, key));
}

static void
assert_setup (const FaintSetup *setup, const char *key, const char *want)
{
  g_autofree char *got = faint_setup_get (setup, key);

  g_assert_cmpstr (got, ==, want);
}

static void
test_conditions (void)
{
  g_autofree char *path = foreign_file ("conditions.csv", N_ROWS);
  FaintWindow *window = ask (path);
  FaintImportWindow *import = import_of (window);
  FaintImportConditions *conditions = faint_import_window_get_conditions (import);
  const FaintSetup *setup;
  g_autofree char *summary = NULL;

  faint_import_window_set_meaning (import, 0, "wavenumber/cm-1");
  faint_import_window_set_meaning (import, 1, "transmission");
  /* what the head of the file says is there, what it does not say is not */
  assert_setup (faint_import_conditions_get_setup (conditions), "temperature", "296.15 K");
  assert_setup (faint_import_conditions_get_setup (conditions), "pressure", NULL);
  g_assert_false (faint_import_conditions_enter (conditions, "pressure", "-3 hPa"));
  assert_says (faint_import_conditions_get_error (conditions, "pressure"), "above 0");
  /* an entry that cannot be read keeps the window open */
  faint_import_window_accept (import);
  g_assert_true (find_import (window));
  state (conditions, "pressure", "1.30(2) hPa");
  state (conditions, "mole_fraction", "1");
  state (conditions, "molar_mass", "44.001 g/mol");
  state (conditions, "cavity", "standing-wave");
  state (conditions, "finesse", "10000");
  /* the mirrors are described once */
  state (conditions, "mirror_reflectivity", "0.9997(1)");
  assert_setup (faint_import_conditions_get_setup (conditions), "finesse", NULL);
  summary = summary_of (window);
  g_assert_null (strstr (summary, "Not stated yet"));
  faint_import_window_accept (import);
  window_test_wait (window, window_test_work_is_shown, "the text opens");

  setup = faint_document_get_setup (window->document);
  /* the map and the conditions are in no file yet */
  g_assert_true (faint_document_get_modified (window->document));
  g_assert_true (g_str_has_suffix (gtk_window_get_title (GTK_WINDOW (window)), "•"));
  assert_setup (setup, "temperature", "296.15 K");
  assert_setup (setup, "u(temperature)", "0.05 K");
  assert_setup (setup, "pressure", "1.3 hPa");
  assert_setup (setup, "u(pressure)", "0.02 hPa");
  assert_setup (setup, "mirror_reflectivity", "0.9997");
  assert_setup (setup, "offset_frequency", NULL);
  g_assert_true (faint_setup_check (setup, NULL));
  leave (window);
}

static void
on_saved (GObject *source, GAsyncResult *result, gpointer data)
{
  g_assert_true (faint_document_save_finish (FAINT_DOCUMENT (source), result, NULL));
  *(gboolean *)data = TRUE;
}

/* Open without a cavity: the analysis says so, can be completed, taken back, saved and opened. */
static void
test_open_conditions (void)
{
  g_autofree char *path = foreign_file ("open.csv", N_ROWS);
  g_autofree char *saved = window_test_path ("open.faintline");
  const char *const paths[] = { saved, NULL };
  FaintWindow *window = ask (path), *again;
  g_autoptr (FaintSetup) setup = NULL;
  gboolean done = FALSE;

  faint_import_window_set_meaning (import_of (window), 0, "wavenumber/cm-1");
  faint_import_window_set_meaning (import_of (window), 1, "transmission");
  state (faint_import_window_get_conditions (import_of (window)), "pressure", "1.3 hPa");
  faint_import_window_accept (import_of (window));
  window_test_wait (window, window_test_work_is_shown, "the text opens");
  g_assert_false (faint_setup_check (faint_document_get_setup (window->document), NULL));
  setup = faint_document_copy_setup (window->document);
  g_assert_true (faint_setup_set (setup, "pressure", "2 hPa", NULL, NULL));
  g_assert_true (faint_document_edit_setup (window->document, setup, "Edit Pressure", NULL));
  faint_document_undo (window->document);
  assert_setup (faint_document_get_setup (window->document), "pressure", "1.3 hPa");
  faint_document_save_async (window->document, saved, on_saved, &done);
  while (!done)
    g_main_context_iteration (NULL, TRUE);
  again = window_test_new ();
  faint_window_open (again, paths);
  window_test_wait (again, window_test_work_is_shown, "the analysis opens");
  assert_setup (faint_document_get_setup (again->document), "pressure", "1.3 hPa");
  assert_setup (faint_document_get_setup (again->document), "temperature", "296.15 K");
  leave (again);
  leave (window);
}

/* Teeth by number need the comb: asked for, not invented. */
static void
test_tooth_axis (void)
{
  g_autofree char *path = window_test_path ("teeth.txt");
  GString *text = g_string_new (NULL);
  FaintWindow *window;
  g_autofree char *without = NULL, *with = NULL;

  for (guint i = 0; i < 64; i++)
    g_string_append_printf (text, "%u 0.%u\n", 933000 + i, 990 + i % 7);
  g_assert_true (g_file_set_contents (path, text->str, -1, NULL));
  g_string_free (text, TRUE);
  window = ask (path);
  faint_import_window_set_meaning (import_of (window), 0, "tooth");
  faint_import_window_set_meaning (import_of (window), 1, "transmission");
  without = summary_of (window);
  assert_says (without, "repetition_rate");
  state (faint_import_window_get_conditions (import_of (window)), "repetition_rate", "250 MHz");
  state (faint_import_window_get_conditions (import_of (window)), "offset_frequency", "20 MHz");
  with = summary_of (window);
  assert_says (with, "933000 – 933063");
  assert_says (with, "250 MHz");
  assert_says (with, "1.0000");
  gtk_window_destroy (GTK_WINDOW (import_of (window)));
  leave (window);
}

static GtkDialog *
find_question (void)
{
  GListModel *toplevels = gtk_window_get_toplevels ();

  for (guint i = 0; i < g_list_model_get_n_items (toplevels); i++)
    {
      g_autoptr (GtkWidget) toplevel = g_list_model_get_item (toplevels, i);

      if (GTK_IS_MESSAGE_DIALOG (toplevel))
        return GTK_DIALOG (toplevel);
    }
  return NULL;
}

/* The entry of the conditions that is called @name. */
static gboolean
is_entry_of (GtkWidget *widget, gconstpointer name)
{
  GtkWidget *entry;
  g_autofree char *other = NULL;

  if (!FAINT_IS_QUANTITY_ENTRY (widget))
    return FALSE;
  entry = faint_quantity_entry_get_entry (FAINT_QUANTITY_ENTRY (widget));
  other = gtk_test_accessible_check_property (GTK_ACCESSIBLE (entry), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                              name);
  return other == NULL;
}

/* What was stated is not given up without a question; nothing stated, nothing asked. */
static void
test_give_up (void)
{
  g_autofree char *path = foreign_file ("give-up.csv", N_ROWS);
  FaintWindow *window = ask (path);
  gpointer import = import_of (window);
  GtkWidget *entry;

  g_object_add_weak_pointer (import, &import);
  gtk_window_close (GTK_WINDOW (import));
  g_assert_null (find_question ());
  g_assert_null (import);
  leave (window);

  window = ask (path);
  import = import_of (window);
  g_object_add_weak_pointer (import, &import);
  /* typed, not yet entered */
  entry = faint_quantity_entry_get_entry (
      FAINT_QUANTITY_ENTRY (window_test_find (GTK_WIDGET (import), is_entry_of, "Pressure")));
  gtk_editable_set_text (GTK_EDITABLE (entry), "1.3 hPa");
  gtk_window_close (GTK_WINDOW (import));
  g_assert_nonnull (find_question ());
  gtk_dialog_response (find_question (), GTK_RESPONSE_CANCEL);
  g_assert_nonnull (import);
  assert_setup (faint_import_conditions_get_setup (faint_import_window_get_conditions (import)),
                "pressure", "1.3 hPa");
  gtk_window_close (GTK_WINDOW (import));
  gtk_dialog_response (find_question (), GTK_RESPONSE_REJECT);
  window_test_linger (100);
  g_assert_null (import);
  leave (window);
}

static gboolean
is_label (GtkWidget *widget, gconstpointer text)
{
  return GTK_IS_LABEL (widget) && strcmp (gtk_label_get_text (GTK_LABEL (widget)), text) == 0;
}

/* Heads without units: meanings are suggested, marked in words, and opened only by a click. */
static void
test_suggestion (void)
{
  g_autofree char *path = window_test_path ("suggestion.csv");
  GString *text = g_string_new ("wavenumber,transmission,x\n");
  FaintWindow *window;
  FaintImportWindow *import;
  g_autofree char *columns = NULL, *other = NULL, *summary = NULL;
  GtkWidget *mark;

  for (guint i = 0; i < 64; i++)
    g_string_append_printf (text, "%.3f,0.%u,1\n", 6500 + 0.01 * i, 990 + i % 7);
  g_assert_true (g_file_set_contents (path, text->str, -1, NULL));
  g_string_free (text, TRUE);
  window = ask (path);
  import = import_of (window);
  columns = faint_import_window_get_columns (import);
  g_assert_cmpstr (columns, ==, "wavenumber/cm-1,transmission,-");
  mark = window_test_find (GTK_WIDGET (import), is_label, "Suggestion: please check");
  g_assert_true (mark != NULL && gtk_widget_is_visible (mark));
  g_assert_cmpstr (gtk_widget_get_tooltip_text (mark), ==,
                   "Suggested by the head “wavenumber” and numbers from 6500 to 6500.63");
  summary = summary_of (window);
  assert_says (summary, "6500.00000 – 6500.63000 cm⁻¹");
  /* looked at, not opened */
  g_assert_null (faint_document_get_setup (window->document));
  faint_import_window_set_meaning (import, 0, "frequency/THz");
  g_assert_false (gtk_widget_is_visible (mark));
  other = faint_import_window_get_columns (import);
  g_assert_cmpstr (other, ==, "frequency/THz,transmission,-");
  gtk_window_destroy (GTK_WINDOW (import));
  leave (window);
}

int
main (int argc, char **argv)
{
  int status;

  gsl_set_error_handler_off ();
  gtk_test_init (&argc, &argv, NULL);
  window_test_begin ();
  g_test_add_func ("/window/import/summary", test_summary);
  g_test_add_func ("/window/import/conditions", test_conditions);
  g_test_add_func ("/window/import/open-conditions", test_open_conditions);
  g_test_add_func ("/window/import/tooth-axis", test_tooth_axis);
  g_test_add_func ("/window/import/suggestion", test_suggestion);
  g_test_add_func ("/window/import/give-up", test_give_up);
  status = g_test_run ();
  window_test_end ();
  return status;
}
