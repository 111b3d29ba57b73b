/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "window-test.h"

#include "faint-test.h"
#include "faint/simulate/scene.h"

#define PATIENCE 30 /* s */

static FaintApplication *application;
static char *folder;
static char *sample;

static void
make_sample (void)
{
  g_autofree char *path
      = g_build_filename (g_getenv ("FAINT_TEST_DATA"), "scenes", "ring.scene", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintScene) scene = faint_scene_read (path, &error);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autofree char *samples = NULL;

  g_assert_no_error (error);
  spectrum = faint_scene_simulate (scene, 1, NULL, &error);
  g_assert_no_error (error);
  samples = g_build_filename (folder, "samples", NULL);
  g_mkdir_with_parents (samples, 0700);
  sample = g_build_filename (samples, "ring.comb", NULL);
  faint_comb_table_write (spectrum, sample, &error);
  g_assert_no_error (error);
  g_setenv ("FAINTLINE_DATA", folder, TRUE);
}

void
window_test_begin (void)
{
  g_autoptr (GError) error = NULL;

  g_autofree char *state = NULL;

  folder = faint_test_folder_new ();
  state = g_build_filename (folder, "state", NULL);
  g_setenv ("XDG_STATE_HOME", state, TRUE);
  make_sample ();
  application = faint_application_new (G_APPLICATION_NON_UNIQUE);
  g_application_register (G_APPLICATION (application), NULL, &error);
  g_assert_no_error (error);
}

void
window_test_end (void)
{
  g_clear_object (&application);
  g_free (sample);
  faint_test_folder_remove (folder);
}

const char *
window_test_sample (void)
{
  return sample;
}

char *
window_test_path (const char *name)
{
  return g_build_filename (folder, name, NULL);
}

static gboolean
on_timeout (gpointer data)
{
  *(gboolean *)data = TRUE;
  return G_SOURCE_REMOVE;
}

void
window_test_wait (FaintWindow *window, WindowCondition condition, const char *what)
{
  gboolean over = FALSE;
  guint source = g_timeout_add_seconds (PATIENCE, on_timeout, &over);

  while (!condition (window) && !over)
    g_main_context_iteration (NULL, TRUE);
  if (over)
    g_error ("waited in vain: %s", what);
  g_source_remove (source);
}

void
window_test_linger (guint milliseconds)
{
  gboolean over = FALSE;

  g_timeout_add (milliseconds, on_timeout, &over);
  while (!over)
    g_main_context_iteration (NULL, TRUE);
}

gboolean
window_test_is_idle (FaintWindow *window)
{
  return faint_document_get_job (window->document) == NULL;
}

gboolean
window_test_is_current (FaintWindow *window)
{
  FaintAnalysis *analysis = faint_document_get_analysis (window->document);

  return window_test_is_idle (window) && faint_analysis_get_fit (analysis)
         && faint_analysis_fit_is_current (analysis);
}

static gboolean
is_drawn (FaintWindow *window)
{
  return faint_document_get_analysis (window->document) && window_test_is_idle (window)
         && faint_plot_get_data (FAINT_PLOT (window->plot)) && window->figure_work == NULL;
}

FaintWindow *
window_test_new (void)
{
  GtkWidget *window = faint_window_new (GTK_APPLICATION (application),
                                        faint_application_get_settings (application));

  gtk_window_present (GTK_WINDOW (window));
  return FAINT_WINDOW (window);
}

FaintWindow *
window_test_open (void)
{
  FaintWindow *window = window_test_new ();
  const char *const paths[] = { sample, NULL };

  faint_window_open (window, paths);
  window_test_wait (window, is_drawn, "the sample is open and drawn");
  return window;
}

FaintWindow *
window_test_fitted (void)
{
  FaintWindow *window = window_test_open ();

  window_test_act (window, "find-and-fit");
  window_test_wait (window, window_test_is_current, "lines are found and fitted");
  window_test_wait (window, is_drawn, "the fit is drawn");
  return window;
}

void
window_test_close (FaintWindow *window)
{
  gpointer weak = window;

  g_object_add_weak_pointer (G_OBJECT (window), &weak);
  gtk_window_destroy (GTK_WINDOW (window));
  /* threads may hold it until they end */
  for (guint i = 0; weak && i < 100; i++)
    window_test_linger (50);
  g_assert_null (weak);
}

void
window_test_act (FaintWindow *window, const char *action)
{
  GAction *found = g_action_map_lookup_action (G_ACTION_MAP (window), action);

  g_assert_nonnull (found);
  g_assert_true (g_action_get_enabled (found));
  g_action_activate (found, NULL);
}

GtkWidget *
window_test_find (GtkWidget *widget, WidgetMatch match, gconstpointer data)
{
  if (match (widget, data))
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = window_test_find (child, match, data);

      if (found)
        return found;
    }
  return NULL;
}

static gboolean
is_row (GtkWidget *widget, gconstpointer place)
{
  return FAINT_IS_PARAMETER_ROW (widget)
         && faint_parameter_row_get_place (FAINT_PARAMETER_ROW (widget))
                == GPOINTER_TO_UINT (place);
}

FaintParameterRow *
window_test_row (FaintWindow *window, FaintPlace place)
{
  GtkWidget *found = window_test_find (window->panes, is_row, GUINT_TO_POINTER (place));

  g_assert_nonnull (found);
  return FAINT_PARAMETER_ROW (found);
}

FaintDocument *
window_test_document (FaintWindow *window)
{
  return window->document;
}

gsize
window_test_n_lines (FaintWindow *window)
{
  return faint_line_list_get_n (faint_document_get_lines (window->document));
}

const FaintLine *
window_test_line (FaintWindow *window, gsize index)
{
  return faint_line_list_get (faint_document_get_lines (window->document), index);
}

const char *
window_test_page (FaintWindow *window)
{
  return gtk_stack_get_visible_child_name (GTK_STACK (window->content));
}

gboolean
window_test_message_is_shown (FaintWindow *window)
{
  return faint_message_bar_get_heading (FAINT_MESSAGE_BAR (window->message)) != NULL;
}

gboolean
window_test_work_is_shown (FaintWindow *window)
{
  return strcmp (window_test_page (window), "work") == 0;
}

/* Kinds of widgets that a person acts on; their insides are GTK's. */
static gboolean
is_control (GtkWidget *widget)
{
  return GTK_IS_BUTTON (widget) || GTK_IS_ENTRY (widget) || GTK_IS_DROP_DOWN (widget)
         || GTK_IS_SPIN_BUTTON (widget) || GTK_IS_CHECK_BUTTON (widget)
         || GTK_IS_MENU_BUTTON (widget) || GTK_IS_SEARCH_ENTRY (widget)
         || GTK_IS_COLUMN_VIEW (widget) || FAINT_IS_PLOT (widget) || FAINT_IS_OVERVIEW (widget);
}

void
window_test_assert_named (GtkWidget *widget)
{
  if (is_control (widget))
    {
      GtkAccessible *accessible = GTK_ACCESSIBLE (widget);

      if (!gtk_test_accessible_has_property (accessible, GTK_ACCESSIBLE_PROPERTY_LABEL)
          && !gtk_test_accessible_has_relation (accessible, GTK_ACCESSIBLE_RELATION_LABELLED_BY))
        {
          g_test_message ("%s (%s) has no name", G_OBJECT_TYPE_NAME (widget),
                          gtk_widget_get_tooltip_text (widget));
          g_test_fail ();
        }
      return;
    }
  if (GTK_IS_WINDOW_CONTROLS (widget))
    return;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child;
       child = gtk_widget_get_next_sibling (child))
    window_test_assert_named (child);
}
