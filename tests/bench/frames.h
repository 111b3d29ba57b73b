/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Times of a window's frames while something moves, one step a frame: from before-paint to
 * after-paint of the frame clock, as processor time of the thread and by the clock. The X server's
 * time is not included.
 */
#pragma once

#include <gtk/gtk.h>

/* Sixty frames a second. */
#define FRAME_TARGET_MS 16.7

typedef struct FrameTimes FrameTimes;

/* Does step @frame, counted from 1 and below that while frames do not count yet. */
typedef void (*FrameStep) (int frame, gpointer data);

/* Of @frames frames of @window, which is on the screen. */
FrameTimes *frame_times_new (GtkWidget *window, guint frames);
void frame_times_free (FrameTimes *self);
guint frame_times_get_frames (const FrameTimes *self);

/* Lets @settle frames pass with their steps and times the ones that follow. */
void frame_times_run (FrameTimes *self, guint settle, FrameStep step, gpointer data);

/* Prints median, 95th percentile and worst of the last run under @name; whether 95 % of the frames
 * met the target in processor time, which a loaded machine does not change. */
gboolean frame_times_report (FrameTimes *self, const char *name);
