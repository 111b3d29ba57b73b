/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A real pointer and keyboard over the window, by xdotool.
 */
#pragma once

#include <gtk/gtk.h>

/* FALSE where xdotool is not installed; the test is then skipped. */
gboolean hand_is_there (void);
/* Runs xdotool with the words of @command, the main loop turning; then lets what was sent arrive.
 */
void hand (const char *command);
/* Where @x, @y of @widget are on the screen. Without a window manager the window stands at its
 * corner. */
void hand_place_of (GtkWidget *widget, double x, double y, int *screen_x, int *screen_y);
