/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The window where numbers have a decimal comma and groups of thousands (de_DE.UTF-8, made here by
 * localedef): what it writes has the bytes that it has in the C locale, what is typed is understood
 * or refused in words, and every number that is shown has a decimal point.
 */
#include <gsl/gsl_errno.h>
#include <locale.h>
#include <string.h>

#include "app/window/go-to.h"
#include "app/data/excluded-list.h"
#include "app/lines/options-box.h"
#include "app/parts/number-spin.h"
#include "app/parts/quantity-entry.h"
#include "app/data/setup-field.h"
#include "faint-test.h"
#include "window-test.h"

#define LOCALE "de_DE.UTF-8"

static const char *self_path;
static char *locales; /* folder of the locale; NULL: there is none */
static const char *why_none;

static gboolean
is_field (GtkWidget *widget, gconstpointer key)
{
  return FAINT_IS_SETUP_FIELD (widget)
         && g_str_equal (faint_setup_field_get_key (FAINT_SETUP_FIELD (widget)), key);
}

static gboolean
is_options (GtkWidget *widget, gconstpointer data)
{
  return FAINT_IS_OPTIONS_BOX (widget);
}

static gboolean
is_excluded (GtkWidget *widget, gconstpointer data)
{
  return FAINT_IS_EXCLUDED_LIST (widget);
}

static FaintSetupField *
field (FaintWindow *window, const char *key)
{
  return FAINT_SETUP_FIELD (window_test_find (window->panes, is_field, key));
}

static GtkWidget *
option (FaintWindow *window, const char *key)
{
  return faint_options_box_find (
      FAINT_OPTIONS_BOX (window_test_find (window->panes, is_options, NULL)), key);
}

/* As a person types into a spin button and goes on. */
static void
type_into (GtkWidget *spin, const char *text)
{
  gtk_editable_set_text (GTK_EDITABLE (spin), text);
  gtk_spin_button_update (GTK_SPIN_BUTTON (spin));
}

static void
on_exported (GObject *source, GAsyncResult *result, gpointer done)
{
  g_autoptr (GError) error = NULL;

  faint_document_export_finish (FAINT_DOCUMENT (source), result, &error);
  g_assert_no_error (error);
  *(gboolean *)done = TRUE;
}

static void
on_saved (GObject *source, GAsyncResult *result, gpointer done)
{
  g_autoptr (GError) error = NULL;

  faint_document_save_finish (FAINT_DOCUMENT (source), result, &error);
  g_assert_no_error (error);
  *(gboolean *)done = TRUE;
}

static const struct
{
  const char *name;
  FaintExport what;
} exports[] = {
  { "lines.csv", FAINT_EXPORT_LINES },        { "lines.record", FAINT_EXPORT_LINES },
  { "lines.vot", FAINT_EXPORT_LINES },        { "lines.json", FAINT_EXPORT_LINES },
  { "copy.comb", FAINT_EXPORT_COMB_TABLE },   { "report.pdf", FAINT_EXPORT_REPORT },
  { "brief.pdf", FAINT_EXPORT_REPORT_SHORT },
};
static const char *const figures[] = { "figure.svg", "figure.pdf", "figure.png" };

static void
save (FaintWindow *window, const char *path)
{
  gboolean done = FALSE;

  faint_document_save_async (window->document, path, on_saved, &done);
  while (!done)
    g_main_context_iteration (NULL, TRUE);
}

static void
write_text (const char *folder, const char *name, const char *text)
{
  g_autofree char *path = g_build_filename (folder, name, NULL);
  g_autoptr (GError) error = NULL;

  g_file_set_contents (path, text, -1, &error);
  g_assert_no_error (error);
}

static void
copy_to (const char *folder, const char *path)
{
  g_autofree char *name = g_path_get_basename (path);
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;

  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);
  write_text (folder, name, text);
}

static void
write_files (FaintWindow *window, const char *folder)
{
  g_autoptr (GError) error = NULL;

  for (guint i = 0; i < G_N_ELEMENTS (exports); i++)
    {
      g_autofree char *path = g_build_filename (folder, exports[i].name, NULL);
      gboolean done = FALSE;

      faint_document_export_async (window->document, exports[i].what, path, on_exported, &done);
      while (!done)
        g_main_context_iteration (NULL, TRUE);
    }
  for (guint i = 0; i < G_N_ELEMENTS (figures); i++)
    {
      g_autofree char *path = g_build_filename (folder, figures[i], NULL);

      _faint_window_write_figure (window, path, &error);
      g_assert_no_error (error);
    }
}

/* What a session writes: conditions and options typed, lines found and fitted, one edited, all
 * exported, saved, opened again and saved once more. */
static void
write_all (const char *folder)
{
  FaintWindow *window = window_test_open (), *again = window_test_new ();
  /* beside the sample, whose path from there is in it */
  g_autofree char *saved = window_test_path ("run.faintline");
  g_autofree char *resaved = window_test_path ("again.faintline");
  g_autofree char *rows = NULL, *windows = NULL;
  const char *const paths[] = { saved, NULL };
  FaintLine line;

  g_assert_true (faint_setup_field_enter (field (window, "pressure"), "12.25(5) mbar"));
  g_assert_true (faint_setup_field_enter (field (window, "mole_fraction"), "0.25"));
  type_into (option (window, "threshold"), "5.5");
  window_test_act (window, "find-and-fit");
  window_test_wait (window, window_test_is_current, "lines are found and fitted");
  g_assert_cmpuint (window_test_n_lines (window), >, 5);
  line = *window_test_line (window, 0);
  line.lower_energy = 1234.5;
  faint_document_edit_line (window->document, &line, "Edit");
  faint_document_move_line (window->document, window_test_line (window, 1)->id,
                            window_test_line (window, 1)->position.value + 0.0005);
  window_test_wait (window, window_test_is_current, "the fit follows");
  window_test_linger (300);
  write_files (window, folder);
  faint_line_table_select_all (FAINT_LINE_TABLE (window->table));
  rows = faint_line_table_to_text (FAINT_LINE_TABLE (window->table));
  write_text (folder, "rows.tsv", rows);
  windows = faint_analysis_windows_csv (faint_document_get_analysis (window->document));
  write_text (folder, "windows.csv", windows);
  save (window, saved);
  faint_window_open (again, paths);
  window_test_wait (again, window_test_work_is_shown, "the analysis opens");
  save (again, resaved);
  copy_to (folder, saved);
  copy_to (folder, resaved);
  window_test_close (again);
  window_test_close (window);
}

/* Runs this program in @locale so that it writes into a new folder, which is returned. */
static char *
written_in (const char *locale, const char *name)
{
  char *folder = window_test_path (name);
  const char *command[] = { self_path, "--write", folder, NULL };
  g_auto (GStrv) environment = g_environ_setenv (g_get_environ (), "LC_ALL", locale, TRUE);
  g_autofree char *said = NULL;
  g_autoptr (GError) error = NULL;
  int status;

  g_mkdir_with_parents (folder, 0700);
  environment = g_environ_setenv (environment, "LOCPATH", locales, TRUE);
  environment = g_environ_setenv (environment, "SOURCE_DATE_EPOCH", "1800000000", TRUE);
  g_spawn_sync (NULL, (char **)command, environment, G_SPAWN_DEFAULT, NULL, NULL, NULL, &said,
                &status, &error);
  g_assert_no_error (error);
  if (!g_spawn_check_wait_status (status, &error))
    g_error ("%s in %s: %s", error->message, locale, said);
  return folder;
}

static void
assert_same_file (const char *want_folder, const char *got_folder, const char *name)
{
  g_autofree char *want_path = g_build_filename (want_folder, name, NULL);
  g_autofree char *got_path = g_build_filename (got_folder, name, NULL);
  g_autofree char *want = NULL, *got = NULL;
  gsize n_want, n_got, at = 0;
  g_autoptr (GError) error = NULL;

  g_file_get_contents (want_path, &want, &n_want, &error);
  g_assert_no_error (error);
  g_file_get_contents (got_path, &got, &n_got, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (n_want, >, 100);
  while (at < MIN (n_want, n_got) && want[at] == got[at])
    at++;
  if (at == n_want && at == n_got)
    return;
  g_test_message ("%s differs at byte %" G_GSIZE_FORMAT ": \"%.60s\", in the C locale \"%.60s\"",
                  name, at, got + at, want + at);
  g_test_fail ();
}

static gboolean
have_locale (void)
{
  if (locales == NULL)
    g_test_skip (why_none);
  return locales != NULL;
}

static void
test_files (void)
{
  static const char *const others[]
      = { "rows.tsv", "windows.csv", "run.faintline", "again.faintline" };
  g_autofree char *want = NULL, *got = NULL;

  if (!have_locale ())
    return;
  want = written_in ("C.UTF-8", "point");
  got = written_in (LOCALE, "comma");
  for (guint i = 0; i < G_N_ELEMENTS (exports); i++)
    assert_same_file (want, got, exports[i].name);
  for (guint i = 0; i < G_N_ELEMENTS (figures); i++)
    assert_same_file (want, got, figures[i]);
  for (guint i = 0; i < G_N_ELEMENTS (others); i++)
    assert_same_file (want, got, others[i]);
}

/* The locale is what it is taken for, and the window's numbers are not in it. */
static void
test_locale (void)
{
  char number[32];

  if (!have_locale ())
    return;
  g_assert_cmpstr (setlocale (LC_CTYPE, NULL), ==, LOCALE);
  g_snprintf (number, sizeof number, "%.1f", 0.5);
  g_assert_cmpstr (number, ==, "0.5");
  setlocale (LC_NUMERIC, LOCALE);
  g_snprintf (number, sizeof number, "%'.1f", 1234.5);
  setlocale (LC_NUMERIC, "C");
  g_assert_cmpstr (number, ==, "1.234,5");
}

/* A condition with a comma is refused beside its entry and changes nothing. */
static void
test_conditions (void)
{
  FaintWindow *window;
  FaintSetupField *fraction, *pressure;
  static const char *const wrong[] = { "0,5", "0,500", "1.000,5", "0.2(0,1)" };

  if (!have_locale ())
    return;
  window = window_test_open ();
  fraction = field (window, "mole_fraction");
  pressure = field (window, "pressure");
  for (guint i = 0; i < G_N_ELEMENTS (wrong); i++)
    {
      FaintAnalysis *before = faint_document_get_analysis (window->document);
      g_autofree char *with_unit = g_strconcat (wrong[i], " hPa", NULL);

      g_assert_false (faint_setup_field_enter (fraction, wrong[i]));
      g_assert_nonnull (faint_setup_field_get_error (fraction));
      g_assert_false (faint_setup_field_enter (pressure, with_unit));
      g_assert_nonnull (faint_setup_field_get_error (pressure));
      g_assert_true (faint_document_get_analysis (window->document) == before);
    }
  g_assert_true (faint_setup_field_enter (fraction, "0.5"));
  g_assert_cmpfloat (faint_document_get_setup (window->document)->mole_fraction.value, ==, 0.5);
  g_assert_true (faint_setup_field_enter (pressure, "1.5 hPa"));
  g_assert_cmpfloat (faint_document_get_setup (window->document)->pressure.value, ==, 150);
  window_test_close (window);
}

static const FaintFitOptions *
fit_options (FaintWindow *window)
{
  return faint_analysis_get_options (faint_document_get_analysis (window->document));
}

/* "3,5" is not 3, and "1,000" not 1: refused in words, and no step of the history. */
static void
test_spins (void)
{
  FaintWindow *window;
  GtkWidget *threshold, *most;
  static const char *const wrong[] = { "4,5", "many", "2.5", "1e9", "" };
  double before;

  if (!have_locale ())
    return;
  window = window_test_open ();
  threshold = option (window, "threshold");
  most = option (window, "max_iterations");
  before = fit_options (window)->threshold;
  for (guint i = 0; i < G_N_ELEMENTS (wrong); i++)
    {
      type_into (threshold, wrong[i]);
      g_test_message ("\"%s\": %s", wrong[i],
                      gtk_label_get_text (GTK_LABEL (faint_number_spin_get_words (threshold))));
      g_assert_cmpfloat (fit_options (window)->threshold, ==, before);
      g_assert_true (gtk_widget_get_visible (faint_number_spin_get_words (threshold)));
      g_assert_nonnull (strstr (
          gtk_label_get_text (GTK_LABEL (faint_number_spin_get_words (threshold))), wrong[i]));
      g_assert_cmpfloat (gtk_spin_button_get_value (GTK_SPIN_BUTTON (threshold)), ==, before);
      g_assert_null (faint_document_get_undo_label (window->document));
    }
  type_into (threshold, "4.5");
  g_assert_cmpfloat (fit_options (window)->threshold, ==, 4.5);
  g_assert_false (gtk_widget_get_visible (faint_number_spin_get_words (threshold)));
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (threshold)), ==, "4.5");
  before = fit_options (window)->max_iterations;
  type_into (most, "1,000");
  g_assert_cmpfloat (fit_options (window)->max_iterations, ==, before);
  type_into (most, "1.000"); /* neither one nor a thousand */
  g_assert_cmpfloat (fit_options (window)->max_iterations, ==, before);
  type_into (most, "12.5");
  g_assert_cmpfloat (fit_options (window)->max_iterations, ==, before);
  type_into (most, "120");
  g_assert_cmpfloat (fit_options (window)->max_iterations, ==, 120);
  /* one that has more digits than are shown keeps them when the entry is left */
  faint_document_set_option (window->document, "threshold", "4.26", "Edit", NULL);
  gtk_spin_button_update (GTK_SPIN_BUTTON (threshold));
  g_assert_cmpfloat (fit_options (window)->threshold, ==, 4.26);
  window_test_close (window);
}

static void
test_filter_and_places (void)
{
  FaintWindow *window;
  FaintFilterBox *filter;
  FaintExcludedList *excluded;
  FaintAnalysis *before;
  const FaintAxisUnit unit = { .kind = FAINT_AXIS_UNIT_WAVENUMBER };
  g_autofree char *condition = NULL;
  double at;
  guint n;

  if (!have_locale ())
    return;
  window = window_test_fitted ();
  filter = FAINT_FILTER_BOX (window->filter_box);
  n = faint_line_table_get_n_shown (FAINT_LINE_TABLE (window->table));
  condition = g_strdup_printf ("S > 1,5e-25");
  faint_filter_box_set_text (filter, condition);
  g_assert_nonnull (faint_filter_box_get_error (filter));
  g_assert_false (faint_filter_box_add (filter, FAINT_LINE_COLUMN_POSITION, 0, "7797,5", "7799,5"));
  faint_filter_box_set_text (filter, "");
  g_assert_true (faint_filter_box_add (filter, FAINT_LINE_COLUMN_POSITION, 0, "7797.5", "7799.5"));
  g_assert_null (faint_filter_box_get_error (filter));
  g_assert_cmpuint (faint_line_table_get_n_shown (FAINT_LINE_TABLE (window->table)), <, n);
  g_assert_cmpuint (faint_line_table_get_n_shown (FAINT_LINE_TABLE (window->table)), >, 0);

  /* of a place a comma is understood, for it can mean nothing else there */
  g_assert_true (faint_go_to_parse ("7798,25", &unit, &at));
  g_assert_cmpfloat (at, ==, 7798.25);
  g_assert_true (faint_go_to_parse ("7798.25", &unit, &at));
  g_assert_cmpfloat (at, ==, 7798.25);
  g_assert_false (faint_go_to_parse ("7.798,25", &unit, &at));

  excluded = FAINT_EXCLUDED_LIST (window_test_find (window->panes, is_excluded, NULL));
  before = faint_document_get_analysis (window->document);
  g_assert_false (faint_excluded_list_add (excluded, "7798,25"));
  g_assert_nonnull (faint_excluded_list_get_error (excluded));
  g_assert_false (faint_excluded_list_add (excluded, "7798,25..7798,35"));
  g_assert_nonnull (faint_excluded_list_get_error (excluded));
  g_assert_true (faint_document_get_analysis (window->document) == before);
  g_assert_true (faint_excluded_list_add (excluded, "7798.25..7798.35"));
  window_test_close (window);
}

/* The text of a widget, borrowed, or NULL. */
static const char *
text_of (GtkWidget *widget)
{
  if (GTK_IS_LABEL (widget))
    return gtk_label_get_text (GTK_LABEL (widget));
  if (GTK_IS_INSCRIPTION (widget))
    return gtk_inscription_get_text (GTK_INSCRIPTION (widget));
  if (GTK_IS_TEXT (widget))
    return gtk_editable_get_text (GTK_EDITABLE (widget));
  return NULL;
}

static guint
count_numbers (GtkWidget *widget)
{
  const char *text = text_of (widget);
  guint n = 0;

  if (text && g_regex_match_simple ("[0-9],[0-9]", text, 0, 0))
    {
      g_test_message ("shown: %s", text);
      g_test_fail ();
    }
  if (text && g_regex_match_simple ("[0-9]\\.[0-9]", text, 0, 0))
    n++;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child;
       child = gtk_widget_get_next_sibling (child))
    n += count_numbers (child);
  return n;
}

/* No number with a comma anywhere, of some hundred that have a point. */
static void
test_shown (void)
{
  FaintWindow *window;
  double lower, upper;
  static const char *const stages[]
      = { "data", "cavity", "lines", "strengths", "assignment", "review" };
  guint n = 0;

  if (!have_locale ())
    return;
  window = window_test_fitted ();
  faint_session_set_selected (window->session, window_test_line (window, 0)->id);
  faint_session_get_limits (window->session, &lower, &upper);
  for (guint i = 0; i < G_N_ELEMENTS (stages); i++)
    {
      g_action_group_change_action_state (G_ACTION_GROUP (window), "stage",
                                          g_variant_new_string (stages[i]));
      window_test_linger (150);
      faint_session_set_pointer (window->session, lower + (0.3 + 0.1 * i) * (upper - lower));
      window_test_linger (50);
      n += count_numbers (GTK_WIDGET (window));
    }
  g_test_message ("%u texts with a decimal point", n);
  g_assert_cmpuint (n, >, 100);
  window_test_close (window);
}

/* A locale of its own, where localedef and its sources are there. */
static void
make_locale (void)
{
  g_autofree char *program = g_find_program_in_path ("localedef");
  g_autofree char *folder = NULL, *path = NULL, *sources = NULL;
  int status;

  g_file_get_contents ("/usr/share/i18n/locales/de_DE", &sources, NULL, NULL);
  if (program == NULL || sources == NULL)
    {
      why_none = "localedef or its sources (/usr/share/i18n) are not installed";
      return;
    }
  folder = g_dir_make_tmp ("faint-locale-XXXXXX", NULL);
  path = g_build_filename (folder, LOCALE, NULL);
  const char *command[]
      = { program, "--no-archive", "-c", "-i", "de_DE", "-f", "UTF-8", path, NULL };
  if (!g_spawn_sync (NULL, (char **)command, NULL,
                     G_SPAWN_STDOUT_TO_DEV_NULL | G_SPAWN_STDERR_TO_DEV_NULL, NULL, NULL, NULL,
                     NULL, &status, NULL))
    why_none = "localedef does not run";
  else
    locales = g_steal_pointer (&folder);
}

static void
begin (int *argc, char ***argv)
{
  gtk_disable_setlocale ();
  faint_application_set_locale ();
  gsl_set_error_handler_off ();
  gtk_test_init (argc, argv, NULL);
  window_test_begin ();
}

int
main (int argc, char **argv)
{
  int status = 0;

  self_path = argv[0];
  if (argc == 3 && g_str_equal (argv[1], "--write"))
    {
      g_autofree char *folder = g_strdup (argv[2]);
      int one = 1;

      begin (&one, &argv);
      write_all (folder);
      window_test_end ();
      return 0;
    }
  make_locale ();
  if (locales)
    {
      g_setenv ("LOCPATH", locales, TRUE);
      g_setenv ("LC_ALL", LOCALE, TRUE);
    }
  begin (&argc, &argv);
  g_test_add_func ("/window/comma/locale", test_locale);
  g_test_add_func ("/window/comma/files", test_files);
  g_test_add_func ("/window/comma/conditions", test_conditions);
  g_test_add_func ("/window/comma/spins", test_spins);
  g_test_add_func ("/window/comma/filter-and-places", test_filter_and_places);
  g_test_add_func ("/window/comma/shown", test_shown);
  status = g_test_run ();
  window_test_end ();
  if (locales)
    faint_test_folder_remove (locales);
  return status;
}
