/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assignment-demo.h"

#include <string.h>

#include "app/assignment/assignment-pane.h"
#include "faint-test.h"

const char *demo_truth[N_LINES][2];

/* Rows of the scene as a list without labels; positions are known to 1e-4 cm-1, strengths to 2 %,
 * invented. */
char *
demo_make_list (void)
{
  g_autofree char *path
      = g_build_filename (g_getenv ("FAINT_TEST_DATA"), "scenes", "demo.scene", NULL);
  char *list = window_test_path ("demo.csv");
  g_autofree char *text = NULL;
  g_auto (GStrv) rows = NULL;
  g_autoptr (GString) csv = g_string_new (
      "position/cm-1,u(position)/cm-1,strength/(cm/molecule),u(strength)/(cm/molecule)\n");
  guint n = 0;

  g_assert_true (g_file_get_contents (path, &text, NULL, NULL));
  rows = g_strsplit (text, "\n", -1);
  for (guint i = 0; rows[i]; i++)
    {
      g_auto (GStrv) cells = g_strsplit (rows[i], " ", -1);

      if (*rows[i] == '#' || g_strv_length (cells) != 6)
        continue;
      g_assert_cmpuint (n, <, N_LINES);
      demo_truth[n][0] = g_intern_string (g_str_equal (cells[4], "-") ? "" : cells[4]);
      demo_truth[n++][1] = g_intern_string (g_str_equal (cells[5], "-") ? "" : cells[5]);
      g_string_append_printf (csv, "%s,1e-4,%s,%.3e\n", cells[0], cells[1],
                              0.02 * g_ascii_strtod (cells[1], NULL));
    }
  g_assert_cmpuint (n, ==, N_LINES);
  g_assert_true (g_file_set_contents (list, csv->str, -1, NULL));
  return list;
}

char *
demo_levels_path (void)
{
  return g_build_filename (g_getenv ("FAINT_TEST_DATA"), "levels", "nitrous-oxide-ground.constants",
                           NULL);
}

gboolean
demo_has_lines (FaintWindow *window)
{
  return faint_document_get_lines (window->document) && window_test_n_lines (window) == N_LINES;
}

static void
on_lines (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (GError) error = NULL;

  faint_document_read_lines_finish (FAINT_DOCUMENT (source), result, &error);
  g_assert_no_error (error);
}

static gboolean
is_a (GtkWidget *widget, gconstpointer type)
{
  return G_OBJECT_TYPE (widget) == GPOINTER_TO_SIZE (type);
}

gpointer
demo_part (FaintWindow *window, GType type)
{
  GtkWidget *widget = window_test_find (GTK_WIDGET (window), is_a, GSIZE_TO_POINTER (type));

  g_assert_nonnull (widget);
  return widget;
}

FaintAssigner *
demo_assigner (FaintWindow *window)
{
  return faint_assigner_of (window->document);
}

/* The demo spectrum with the list, in the stage. */
FaintWindow *
demo_open (gboolean levels)
{
  g_autofree char *spectrum
      = g_build_filename (g_getenv ("FAINT_TEST_DATA"), "demo", "nitrous-oxide.comb", NULL);
  g_autofree char *list = demo_make_list ();
  const char *const paths[] = { spectrum, NULL };
  FaintWindow *window = window_test_new ();

  faint_window_open (window, paths);
  window_test_wait (window, window_test_work_is_shown, "the demo opens");
  faint_document_read_lines_async (window->document, list, on_lines, NULL);
  window_test_wait (window, demo_has_lines, "the lines are read");
  faint_session_set_stage (window->session, FAINT_STAGE_ASSIGNMENT);
  if (levels)
    {
      g_autofree char *path = demo_levels_path ();

      g_assert_true (
          faint_assignment_pane_read_levels (demo_part (window, FAINT_TYPE_ASSIGNMENT_PANE), path));
    }
  return window;
}

guint
demo_n_labelled (FaintWindow *window)
{
  guint n = 0;

  for (gsize i = 0; i < window_test_n_lines (window); i++)
    n += *window_test_line (window, i)->upper && *window_test_line (window, i)->lower;
  return n;
}

void
demo_assert_truth (FaintWindow *window, gsize i)
{
  g_assert_cmpstr (window_test_line (window, i)->upper, ==, demo_truth[i][0]);
  g_assert_cmpstr (window_test_line (window, i)->lower, ==, demo_truth[i][1]);
}

gboolean
demo_has_result (FaintWindow *window)
{
  return faint_assigner_get_result (demo_assigner (window)) != NULL
         && !faint_assigner_is_busy (demo_assigner (window));
}

void
demo_search (FaintWindow *window)
{
  window_test_act (window, "assign");
  g_assert_nonnull (faint_document_get_job (window->document));
  window_test_wait (window, window_test_is_idle, "the lines are assigned");
  window_test_wait (window, demo_has_result, "the result is there");
}

gboolean
demo_is_saved (FaintWindow *window)
{
  return !faint_document_get_modified (window->document);
}

static void
on_saved (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (GError) error = NULL;

  faint_document_save_finish (FAINT_DOCUMENT (source), result, &error);
  g_assert_no_error (error);
}

void
demo_save (FaintWindow *window, const char *path)
{
  faint_document_save_async (window->document, path, on_saved, NULL);
  window_test_wait (window, demo_is_saved, "the analysis is saved");
}
