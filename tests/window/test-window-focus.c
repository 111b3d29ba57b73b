/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Keys of the window after menus, dialogs and modes, pressed on the real keyboard of the display
 * where there is a program for that (xdotool).
 */
#include <gsl/gsl_errno.h>
#include <string.h>

#include "app/window/help-window.h"
#include "faint-test.h"
#include "window-test.h"

/* FALSE where no key can be pressed. */
static gboolean
press (const char *key)
{
  g_autofree char *program = g_find_program_in_path ("xdotool");
  const char *const command[] = { program, "key", "--clearmodifiers", key, NULL };

  if (program == NULL)
    return FALSE;
  g_assert_true (g_spawn_sync (NULL, (char **)command, NULL, G_SPAWN_DEFAULT, NULL, NULL, NULL,
                               NULL, NULL, NULL));
  window_test_linger (300);
  return TRUE;
}

static gboolean
has_text (GtkWidget *widget, gconstpointer text)
{
  char *own = NULL;
  gboolean same;

  if (strcmp (G_OBJECT_TYPE_NAME (widget), "GtkModelButton") != 0)
    return FALSE;
  g_object_get (widget, "text", &own, NULL);
  same = g_strcmp0 (own, text) == 0;
  g_free (own);
  return same;
}

/* As a click on an item of the menu. */
static void
choose (FaintWindow *window, const char *text)
{
  GtkPopover *popover = gtk_menu_button_get_popover (GTK_MENU_BUTTON (window->menu_button));
  GtkWidget *item = window_test_find (GTK_WIDGET (popover), has_text, text);

  g_assert_nonnull (item);
  gtk_widget_grab_focus (item);
  gtk_widget_activate (item);
  window_test_linger (300);
}

static gboolean
dialog_is_open (FaintWindow *window)
{
  return window->dialog != NULL
         && gtk_native_dialog_get_visible (GTK_NATIVE_DIALOG (window->dialog));
}

static void
close_dialog (FaintWindow *window)
{
  window_test_wait (window, dialog_is_open, "the dialog is open");
  window_test_linger (300);
  if (!press ("Escape"))
    gtk_native_dialog_destroy (GTK_NATIVE_DIALOG (window->dialog));
  window_test_linger (300);
}

static void
assert_keys_arrive (FaintWindow *window)
{
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (window));

  g_assert_nonnull (focus);
  g_assert_true (gtk_widget_get_mapped (focus));
  if (press ("ctrl+3"))
    g_assert_cmpuint (faint_session_get_stage (window->session), ==, FAINT_STAGE_LINES);
  if (press ("ctrl+2"))
    g_assert_cmpuint (faint_session_get_stage (window->session), ==, FAINT_STAGE_CAVITY);
}

/* An item of a submenu, and one of the menu itself; what had the focus before has it again. */
static void
test_after_menu (void)
{
  FaintWindow *window = window_test_open ();

  window_test_linger (300);
  gtk_widget_grab_focus (window->plot);
  assert_keys_arrive (window);
  for (guint i = 0; i < 2; i++)
    {
      gtk_widget_grab_focus (window->plot);
      gtk_menu_button_popup (GTK_MENU_BUTTON (window->menu_button));
      window_test_linger (300);
      if (i == 0)
        choose (window, "Export");
      choose (window, i == 0 ? "Comb Table…" : "Save As…");
      close_dialog (window);
      assert_keys_arrive (window);
      g_assert_true (gtk_window_get_focus (GTK_WINDOW (window)) == window->plot);
    }
  window_test_close (window);
}

static FaintMode
mode_of (FaintWindow *window)
{
  return faint_session_get_mode (window->session);
}

static const char *
status_of (FaintWindow *window)
{
  return gtk_label_get_text (GTK_LABEL (window->status_label));
}

static const char *
cursor_of (FaintWindow *window)
{
  GtkWidget *overlay = gtk_widget_get_first_child (window->plot);
  GdkCursor *cursor = gtk_widget_get_cursor (overlay);

  return cursor ? gdk_cursor_get_name (cursor) : NULL;
}

static void
escape (FaintWindow *window)
{
  if (!press ("Escape"))
    window_test_act (window, "escape");
}

/* A mode says that it is on as long as it is, and how to leave it; Escape does, from anywhere. */
static void
test_modes (void)
{
  static const struct
  {
    const char *action, *words;
    FaintMode mode;
  } modes[] = { { "add-mode", "Add by Click is on", FAINT_MODE_ADD },
                { "mark-mode", "Mark a Range is on", FAINT_MODE_MARK } };
  FaintWindow *window = window_test_open ();
  g_autofree char *before = g_strdup (status_of (window));

  for (guint i = 0; i < G_N_ELEMENTS (modes); i++)
    for (guint k = 0; k < 2; k++)
      {
        gtk_widget_grab_focus (k == 0 ? window->plot : window->table);
        g_assert_null (cursor_of (window));
        window_test_act (window, modes[i].action);
        g_assert_cmpuint (mode_of (window), ==, modes[i].mode);
        g_assert_nonnull (strstr (status_of (window), modes[i].words));
        g_assert_nonnull (strstr (status_of (window), "Escape leaves it"));
        g_assert_cmpstr (cursor_of (window), ==, "crosshair");
        escape (window);
        g_assert_cmpuint (mode_of (window), ==, FAINT_MODE_INSPECT);
        g_assert_cmpstr (status_of (window), ==, before);
        g_assert_null (cursor_of (window));
      }
  window_test_act (window, "add-mode");
  faint_document_add_line (window->document, 7790.2);
  g_assert_nonnull (strstr (status_of (window), "Add by Click is on"));
  escape (window);
  g_assert_false (
      g_action_get_enabled (g_action_map_lookup_action (G_ACTION_MAP (window), "escape")));
  window_test_close (window);
}

static gboolean
is_text (GtkWidget *widget, gconstpointer data)
{
  return GTK_IS_TEXT_VIEW (widget);
}

/* The first line that is seen. Free with g_free. */
static char *
first_line (GtkTextView *view)
{
  GdkRectangle seen;
  GtkTextIter start, end;

  gtk_text_view_get_visible_rect (view, &seen);
  gtk_text_view_get_line_at_y (view, &start, seen.y + 1, NULL);
  end = start;
  gtk_text_iter_forward_to_line_end (&end);
  return gtk_text_iter_get_text (&start, &end);
}

/* Waits until @heading is the first line that is seen; a machine may be slow. */
static void
assert_shows (GtkTextView *view, const char *heading)
{
  g_autofree char *line = NULL;

  for (guint i = 0; i < 100 && g_strcmp0 (line, heading) != 0; i++)
    {
      window_test_linger (100);
      g_free (line);
      line = first_line (view);
    }
  g_assert_cmpstr (line, ==, heading);
}

/* The manual opens at the stage of the work, of which the heading is the first line seen. */
static void
test_manual (void)
{
  static const char *const headings[FAINT_N_STAGES]
      = { "Data", "Cavity", "Lines", "Strengths", "Assignment", "Review" };
  FaintWindow *window = window_test_open ();

  for (guint i = 0; i < FAINT_N_STAGES; i++)
    {
      GtkWidget *manual = faint_help_window_new (GTK_WINDOW (window), i);
      GtkWidget *view = window_test_find (manual, is_text, NULL);

      gtk_window_present (GTK_WINDOW (manual));
      assert_shows (GTK_TEXT_VIEW (view), headings[i]);
      faint_help_window_show_section (FAINT_HELP_WINDOW (manual), "What is needed");
      assert_shows (GTK_TEXT_VIEW (view), "What is needed");
      gtk_window_destroy (GTK_WINDOW (manual));
    }
  window_test_close (window);
}

int
main (int argc, char **argv)
{
  int status;

  gsl_set_error_handler_off ();
  gtk_test_init (&argc, &argv, NULL);
  window_test_begin ();

  g_test_add_func ("/window/focus/after-menu", test_after_menu);
  g_test_add_func ("/window/focus/modes", test_modes);
  g_test_add_func ("/window/focus/manual", test_manual);
  status = g_test_run ();
  window_test_end ();
  return status;
}
