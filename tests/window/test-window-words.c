/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The window in the language of the environment: in every stage no label is cut, no letter after
 * Alt does two things, and nothing that can be translated is left in English.
 */
#include <gsl/gsl_errno.h>
#include <libintl.h>
#include <locale.h>
#include <math.h>
#include <string.h>

#include "app/lines/line-cell.h"
#include "app/lines/line-filter.h"
#include "app/parts/kept-words.h"
#include "app/parts/message-bar.h"
#include "app/review/review-pane.h"
#include "app/review/reviewer.h"
#include "app/window/record-window.h"
#include "faint-test.h"
#include "faint/base/warnings.h"
#include "faint/lines/list-file.h"
#include "window-test.h"

/* All faults of a test are told, not the first alone. */
#define complain(...) (g_test_message (__VA_ARGS__), g_test_fail ())

static const char *const stages[]
    = { "data", "cavity", "lines", "strengths", "assignment", "review" };

static void
show_stage (FaintWindow *window, const char *stage)
{
  g_action_group_change_action_state (G_ACTION_GROUP (window), "stage",
                                      g_variant_new_string (stage));
  window_test_linger (200);
}

typedef void (*WithLabel) (GtkLabel *label, gpointer data);

static void
for_each_label (GtkWidget *widget, WithLabel act, gpointer data)
{
  if (!gtk_widget_get_mapped (widget) || GTK_IS_POPOVER (widget))
    return;
  if (GTK_IS_LABEL (widget))
    act (GTK_LABEL (widget), data);
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child;
       child = gtk_widget_get_next_sibling (child))
    for_each_label (child, act, data);
}

typedef void (*WithCell) (FaintLineCell *cell, gpointer data);

/* Of the table of lines. */
static void
for_each_cell (GtkWidget *widget, WithCell act, gpointer data)
{
  if (!gtk_widget_get_mapped (widget))
    return;
  if (FAINT_IS_LINE_CELL (widget))
    act (FAINT_LINE_CELL (widget), data);
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child;
       child = gtk_widget_get_next_sibling (child))
    for_each_cell (child, act, data);
}

/* The whole text of what may be cut, a path or what was typed, is in its tooltip. */
static gboolean
is_told_elsewhere (GtkWidget *label)
{
  for (guint i = 0; label && i < 3; i++, label = gtk_widget_get_parent (label))
    if (gtk_widget_get_tooltip_text (label))
      return TRUE;
  return FALSE;
}

static void
assert_whole (GtkLabel *label, gpointer stage)
{
  if (gtk_label_get_ellipsize (label) != PANGO_ELLIPSIZE_NONE
      && pango_layout_is_ellipsized (gtk_label_get_layout (label))
      && !is_told_elsewhere (GTK_WIDGET (label)))
    complain ("%s: “%s” is cut", (const char *)stage, gtk_label_get_text (label));
}

/* Remarks may be cut, which are said by a tooltip. */
static void
assert_cell_whole (FaintLineCell *cell, gpointer stage)
{
  if (faint_line_cell_is_cut_off (cell) && faint_line_cell_get_description (cell) == NULL)
    complain ("%s: “%s” is cut in the table", (const char *)stage, faint_line_cell_get_text (cell));
}

static void
test_nothing_is_cut (void)
{
  FaintWindow *window = window_test_fitted ();

  faint_session_set_selected (window->session, window_test_line (window, 0)->id);
  for (guint i = 0; i < G_N_ELEMENTS (stages); i++)
    {
      show_stage (window, stages[i]);
      for_each_label (GTK_WIDGET (window), assert_whole, (gpointer)stages[i]);
      for_each_cell (window->table, assert_cell_whole, (gpointer)stages[i]);
    }
  window_test_close (window);
}

static void
take_mnemonic (GtkLabel *label, gpointer data)
{
  GHashTable *taken = data;
  guint key = gtk_label_get_mnemonic_keyval (label);
  const char *other = g_hash_table_lookup (taken, GUINT_TO_POINTER (key));

  if (key == GDK_KEY_VoidSymbol)
    return;
  if (other)
    complain ("Alt+%s is of “%s” and of “%s”", gdk_keyval_name (key), other,
              gtk_label_get_text (label));
  g_hash_table_insert (taken, GUINT_TO_POINTER (key), (gpointer)gtk_label_get_text (label));
}

static void
test_mnemonics (void)
{
  FaintWindow *window = window_test_fitted ();

  faint_session_set_selected (window->session, window_test_line (window, 0)->id);
  for (guint i = 0; i < G_N_ELEMENTS (stages); i++)
    {
      g_autoptr (GHashTable) taken = g_hash_table_new (NULL, NULL);

      show_stage (window, stages[i]);
      for_each_label (GTK_WIDGET (window), take_mnemonic, taken);
      g_assert_cmpuint (g_hash_table_size (taken), >, 0);
    }
  window_test_close (window);
}

static gunichar
mnemonic_of (const char *label)
{
  for (const char *p = strchr (label, '_'); p; p = strchr (p + 2, '_'))
    if (p[1] != '_')
      return g_unichar_tolower (g_utf8_get_char (p + 1));
  return 0;
}

/* Sections belong to the menu that they stand in, a submenu is a menu of its own. */
static void
check_menu (GMenuModel *menu, GHashTable *taken)
{
  for (int i = 0; i < g_menu_model_get_n_items (menu); i++)
    {
      g_autoptr (GMenuModel) section = g_menu_model_get_item_link (menu, i, G_MENU_LINK_SECTION);
      g_autoptr (GMenuModel) submenu = g_menu_model_get_item_link (menu, i, G_MENU_LINK_SUBMENU);
      g_autofree char *label = NULL;
      const char *other;
      gunichar letter;

      if (section)
        check_menu (section, taken);
      if (submenu)
        {
          g_autoptr (GHashTable) own = g_hash_table_new_full (NULL, NULL, NULL, g_free);

          check_menu (submenu, own);
        }
      if (!g_menu_model_get_item_attribute (menu, i, G_MENU_ATTRIBUTE_LABEL, "s", &label))
        continue;
      letter = mnemonic_of (label);
      other = g_hash_table_lookup (taken, GUINT_TO_POINTER (letter));
      if (letter && other)
        complain ("one letter for “%s” and “%s”", other, label);
      if (letter)
        g_hash_table_insert (taken, GUINT_TO_POINTER (letter), g_strdup (label));
    }
}

static void
test_menus (void)
{
  FaintWindow *window = window_test_fitted ();
  g_autoptr (GHashTable) taken = g_hash_table_new_full (NULL, NULL, NULL, g_free);
  g_autoptr (GHashTable) of_lines = g_hash_table_new_full (NULL, NULL, NULL, g_free);
  g_autoptr (GMenuModel) lines = _faint_window_line_menu ();

  check_menu (gtk_menu_button_get_menu_model (GTK_MENU_BUTTON (window->menu_button)), taken);
  check_menu (lines, of_lines);
  g_assert_cmpuint (g_hash_table_size (taken), >, 8);
  window_test_close (window);
}

static void
assert_left_to_right (GtkLabel *label, gpointer n)
{
  const char *text = gtk_label_get_text (label);

  if (!g_ascii_isdigit (*text))
    return;
  /* a letter gives the text a direction of its own */
  for (const char *p = text; *p; p = g_utf8_next_char (p))
    if (g_unichar_isalpha (g_utf8_get_char (p)))
      return;
  (*(guint *)n)++;
  if (gtk_widget_get_direction (GTK_WIDGET (label)) != GTK_TEXT_DIR_LTR)
    complain ("“%s” turns round", gtk_label_get_text (label));
}

static void
assert_cell_left_to_right (FaintLineCell *cell, gpointer n)
{
  g_assert_cmpint (gtk_widget_get_direction (GTK_WIDGET (cell)), ==, GTK_TEXT_DIR_LTR);
  (*(guint *)n)++;
}

/* Where words run from right to left "12000(60)" would become "(60)12000". */
static void
test_mirrored (void)
{
  FaintWindow *window;
  guint n = 0;

  gtk_widget_set_default_direction (GTK_TEXT_DIR_RTL);
  window = window_test_fitted ();
  for (guint i = 0; i < G_N_ELEMENTS (stages); i++)
    {
      show_stage (window, stages[i]);
      for_each_label (GTK_WIDGET (window), assert_left_to_right, &n);
      for_each_cell (window->table, assert_cell_left_to_right, &n);
    }
  g_assert_cmpuint (n, >, 100);
  window_test_close (window);
  gtk_widget_set_default_direction (GTK_TEXT_DIR_LTR);
}

/* The catalogue in use is that of the language asked for. */
static void
test_language (void)
{
  const char *language = g_getenv ("LANGUAGE");
  FaintWindow *window = window_test_open ();
  GtkWidget *first = gtk_widget_get_first_child (window->stages);

  g_assert_cmpstr (gtk_button_get_label (GTK_BUTTON (first)), ==, gettext ("Data"));
  if (strcmp (language, "en") == 0)
    g_assert_cmpstr (gettext ("Data"), ==, "Data");
  else
    g_assert_cmpstr (gettext ("Data"), !=, "Data");
  window_test_close (window);
}

/* What the library says of a broken file, in the same language as the heading over it. */
static void
test_library (void)
{
  FaintWindow *window = window_test_new ();
  g_autofree char *path = window_test_path ("broken.comb"), *expected = NULL;
  const char *const paths[] = { path, NULL };
  const char *text;

  g_file_set_contents (path, "# comb-table 1\n# columns = tooth transmission\n1 one\n", -1, NULL);
  expected = g_strdup_printf (gettext ("'%s' in column '%s' is no number."), "one", "transmission");
  faint_window_open (window, paths);
  window_test_wait (window, window_test_message_is_shown, "an error in words");
  text = faint_message_bar_get_text (FAINT_MESSAGE_BAR (window->message));
  g_test_message ("%s", text);
  g_assert_nonnull (strstr (text, expected));
  if (strcmp (g_getenv ("LANGUAGE"), "de") == 0)
    g_assert_nonnull (
        strstr (text, ", Zeile 3, Spalte 3: „one“ in Spalte „transmission“ ist keine Zahl."));
  window_test_close (window);
}

static void
append_text (GtkLabel *label, gpointer text)
{
  g_string_append_printf (text, "%s\n", gtk_label_get_text (label));
}

/* All that is written in a stage. Free with g_free. */
static char *
written_in (FaintWindow *window, const char *stage)
{
  GString *text = g_string_new (NULL);

  show_stage (window, stage);
  for_each_label (GTK_WIDGET (window), append_text, text);
  return g_string_free (text, FALSE);
}

/* @english, which is kept so, is shown in the user's language, and not in English in another. */
static void
assert_shown (const char *written, const char *english)
{
  g_autofree char *words = faint_shown_words (english), *kept = faint_kept_words (english);

  g_test_message ("%s", words);
  /* a sentence of its own may begin with a capital there */
  if (strstr (written, g_utf8_next_char (words)) == NULL)
    complain ("“%s” is not shown", words);
  if (strcmp (g_getenv ("LANGUAGE"), "en") == 0)
    g_assert_cmpstr (kept, ==, english);
  else if (strcmp (kept, english) == 0 || strstr (written, english) != NULL)
    complain ("“%s” is left in English", english);
}

static void
assert_warnings_shown (const char *written, const GPtrArray *warnings)
{
  for (guint i = 0; i < warnings->len; i++)
    assert_shown (written, ((const FaintWarning *)g_ptr_array_index (warnings, i))->text);
}

/* The fitted lines with strengths that are too large together, and one line shifted. */
static char *
claimed_list (FaintWindow *window)
{
  char *path = window_test_path ("claimed.csv");
  g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (FaintLine));
  g_autoptr (FaintLineList) list = NULL;
  g_autoptr (GError) error = NULL;

  for (gsize i = 0; i < window_test_n_lines (window); i++)
    {
      FaintLine line = *window_test_line (window, i);

      line.strength.value *= 1.3;
      line.position.value += i == 1 ? 0.004 : 0.0;
      line.lorentz.u = line.lorentz.u_noise = NAN;
      g_array_append_val (lines, line);
    }
  list = faint_line_list_new ((const FaintLine *)(gpointer)lines->data, lines->len);
  faint_list_file_write (list, NULL, path, FAINT_LIST_CSV, NULL, NULL, &error);
  g_assert_no_error (error);
  return path;
}

static gboolean
is_reviewed (FaintWindow *window)
{
  return window_test_is_idle (window) && window->review_view != NULL;
}

static void
check_review (FaintWindow *window)
{
  g_autofree char *list = claimed_list (window), *written = NULL;
  const FaintReview *review;

  g_assert_true (faint_review_pane_read_claimed (FAINT_REVIEW_PANE (window->review_pane), list));
  window_test_act (window, "review");
  window_test_wait (window, is_reviewed, "the review is shown");
  review = faint_reviewer_get_result (faint_reviewer_of (window->document));
  faint_session_set_selected (window->session, 2);
  written = written_in (window, "review");
  g_assert_cmpuint (review->systematic->len, >, 0);
  g_assert_cmpuint (review->warnings->len, >, 0);
  for (guint i = 0; i < review->systematic->len; i++)
    {
      const FaintSystematic *it = g_ptr_array_index (review->systematic, i);

      assert_shown (written, it->words);
      for (guint k = 0; k < it->causes->len; k++)
        assert_shown (written,
                      ((const FaintSystematicCause *)g_ptr_array_index (it->causes, k))->words);
    }
  assert_warnings_shown (written, review->warnings);
  for (guint i = 0; i < 3; i++)
    assert_shown (written, ((const FaintReviewLine *)g_ptr_array_index (review->lines, i))->words);
}

static void
check_record (FaintWindow *window)
{
  const FaintAnalysis *analysis = faint_document_get_analysis (window->document);
  guint n = faint_analysis_count_changes (analysis);
  GtkWidget *record = faint_record_window_new (GTK_WINDOW (window), window->document);
  g_autofree char *written = faint_record_window_get_text (FAINT_RECORD_WINDOW (record));

  g_assert_cmpuint (n, >, 2);
  for (guint i = 0; i < n; i++)
    assert_shown (written, faint_analysis_get_change (analysis, i)->text);
  gtk_window_destroy (GTK_WINDOW (record));
}

/* Warnings of a file with a key that nobody knows, and of a fit with fringes that are not there. */
static void
test_kept_warnings (void)
{
  FaintWindow *window = window_test_new ();
  g_autofree char *path = window_test_path ("keyed.comb"), *sample = NULL, *keyed = NULL;
  g_autofree char *data = NULL, *lines = NULL;
  const char *const paths[] = { path, NULL };
  const GPtrArray *warnings;
  g_autoptr (GError) error = NULL;

  g_file_get_contents (window_test_sample (), &sample, NULL, &error);
  g_assert_no_error (error);
  keyed = g_strconcat ("# comb-table 1\n# colour = red\n", strchr (sample, '\n') + 1, NULL);
  g_file_set_contents (path, keyed, -1, NULL);
  faint_window_open (window, paths);
  window_test_wait (window, window_test_work_is_shown, "the sample is open");
  warnings = faint_document_get_spectrum (window->document)->warnings;
  g_assert_cmpuint (warnings->len, >, 0);
  data = written_in (window, "data");
  assert_warnings_shown (data, warnings);
  g_assert_true (faint_document_set_option (window->document, "fringes", "1", "Fringes", &error));
  window_test_act (window, "find-and-fit");
  window_test_wait (window, window_test_is_current, "lines are found and fitted");
  warnings = faint_analysis_get_fit_warnings (faint_document_get_analysis (window->document));
  g_assert_cmpuint (warnings->len, >, 0);
  lines = written_in (window, "lines");
  assert_warnings_shown (lines, warnings);
  window_test_close (window);
}

/* The reasons of a review and the record of changes. */
static void
test_kept (void)
{
  FaintWindow *window = window_test_fitted ();

  check_review (window);
  faint_document_remove_lines (window->document, &window_test_line (window, 0)->id, 1);
  window_test_wait (window, window_test_is_current, "the fit after the edit");
  check_record (window);
  window_test_close (window);
}

/* What a head says can be typed as the name of its column. */
static void
test_heads_in_filters (void)
{
  for (guint column = 0; column < FAINT_N_LINE_COLUMNS; column++)
    {
      const char *title = faint_line_column_title (column);
      g_autofree char *text
          = g_strdup_printf ("%s %s", title, faint_line_filter_is_text (column) ? "x" : "> 1");
      g_autoptr (GError) error = NULL;
      g_autoptr (FaintLineFilter) filter = faint_line_filter_new (text, NULL, &error);

      g_assert_no_error (error);
      g_assert_nonnull (filter);
    }
}

/* Where the user's locale has a decimal comma, what is printed has points all the same. */
static void
test_decimal_points (void)
{
  g_autofree char *before = g_strdup (g_getenv ("LC_ALL"));
  g_autofree char *place = window_test_path ("de_DE.UTF-8"), *folder = g_path_get_dirname (place);
  const char *const command[] = { "localedef", "-i", "de_DE", "-f", "UTF-8", place, NULL };
  char said[8];

  g_spawn_sync (NULL, (char **)command, NULL,
                G_SPAWN_SEARCH_PATH | G_SPAWN_STDOUT_TO_DEV_NULL | G_SPAWN_STDERR_TO_DEV_NULL, NULL,
                NULL, NULL, NULL, NULL, NULL);
  g_setenv ("LOCPATH", folder, TRUE);
  g_setenv ("LC_ALL", "de_DE.UTF-8", TRUE);
  if (setlocale (LC_ALL, "") == NULL)
    g_test_skip ("no locale with a decimal comma on this computer");
  else
    {
      g_snprintf (said, sizeof said, "%.2f", 0.25);
      g_assert_cmpstr (said, ==, "0,25");
      faint_application_set_locale ();
      g_snprintf (said, sizeof said, "%.2f", 0.25);
      g_assert_cmpstr (said, ==, "0.25");
      g_assert_cmpstr (setlocale (LC_MESSAGES, NULL), ==, "de_DE.UTF-8");
    }
  g_setenv ("LC_ALL", before ? before : "", TRUE);
  faint_application_set_locale ();
}

int
main (int argc, char **argv)
{
  int status;

  gtk_disable_setlocale ();
  faint_application_set_locale ();
  gsl_set_error_handler_off ();
  gtk_test_init (&argc, &argv, NULL);
  g_test_set_nonfatal_assertions ();
  window_test_begin ();

  g_test_add_func ("/window/words/language", test_language);
  g_test_add_func ("/window/words/decimal-points", test_decimal_points);
  g_test_add_func ("/window/words/library", test_library);
  g_test_add_func ("/window/words/heads-in-filters", test_heads_in_filters);
  g_test_add_func ("/window/words/kept-warnings", test_kept_warnings);
  g_test_add_func ("/window/words/kept", test_kept);
  g_test_add_func ("/window/words/nothing-is-cut", test_nothing_is_cut);
  g_test_add_func ("/window/words/mnemonics", test_mnemonics);
  g_test_add_func ("/window/words/menus", test_menus);
  g_test_add_func ("/window/words/mirrored", test_mirrored);
  status = g_test_run ();
  window_test_end ();
  return status;
}
