/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "hand.h"

#include "window-test.h"

gboolean
hand_is_there (void)
{
  g_autofree char *path = g_find_program_in_path ("xdotool");

  if (path == NULL)
    g_test_skip ("xdotool is not installed");
  return path != NULL;
}

static void
on_end_of_hand (GPid pid, int status, gpointer over)
{
  *(gboolean *)over = TRUE;
  g_spawn_close_pid (pid);
}

void
hand (const char *command)
{
  g_auto (GStrv) words = g_strsplit (command, " ", -1);
  g_autoptr (GError) error = NULL;
  gboolean over = FALSE;
  GPid pid;

  g_spawn_async (NULL, words, NULL, G_SPAWN_SEARCH_PATH | G_SPAWN_DO_NOT_REAP_CHILD, NULL, NULL,
                 &pid, &error);
  g_assert_no_error (error);
  g_child_watch_add (pid, on_end_of_hand, &over);
  while (!over)
    g_main_context_iteration (NULL, TRUE);
  window_test_linger (250);
}

void
hand_place_of (GtkWidget *widget, double x, double y, int *screen_x, int *screen_y)
{
  GtkNative *native = gtk_widget_get_native (widget);
  double native_x = 0, native_y = 0, left = 0, top = 0;

  g_assert_true (
      gtk_widget_translate_coordinates (widget, GTK_WIDGET (native), x, y, &native_x, &native_y));
  gtk_native_get_surface_transform (native, &left, &top);
  *screen_x = (int)(native_x + left);
  *screen_y = (int)(native_y + top);
}
