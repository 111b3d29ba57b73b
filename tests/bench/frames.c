/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "frames.h"

#include <gsl/gsl_sort.h>
#include <time.h>

struct FrameTimes
{
  GtkWidget *window;
  GMainLoop *loop;
  FrameStep step;
  gpointer data;
  int frame, frames;        /* below 1: not counted */
  double begun, begun_wall; /* ms */
  double *ms, *wall;
};

static double
cpu_ms (void)
{
  struct timespec now;

  clock_gettime (CLOCK_THREAD_CPUTIME_ID, &now);
  return 1e3 * now.tv_sec + 1e-6 * now.tv_nsec;
}

static void
on_before (GdkFrameClock *clock, FrameTimes *self)
{
  self->begun = cpu_ms ();
  self->begun_wall = g_get_monotonic_time () / 1e3;
}

static void
on_after (GdkFrameClock *clock, FrameTimes *self)
{
  if (self->frame < 1 || self->frame > self->frames)
    return;
  self->ms[self->frame - 1] = cpu_ms () - self->begun;
  self->wall[self->frame - 1] = g_get_monotonic_time () / 1e3 - self->begun_wall;
}

FrameTimes *
frame_times_new (GtkWidget *window, guint frames)
{
  FrameTimes *self = g_new0 (FrameTimes, 1);
  GdkFrameClock *clock = gtk_widget_get_frame_clock (window);

  self->window = g_object_ref (window);
  self->frames = MAX (frames, 20);
  self->loop = g_main_loop_new (NULL, FALSE);
  self->ms = g_new0 (double, self->frames);
  self->wall = g_new0 (double, self->frames);
  g_signal_connect (clock, "before-paint", G_CALLBACK (on_before), self);
  g_signal_connect_after (clock, "after-paint", G_CALLBACK (on_after), self);
  return self;
}

void
frame_times_free (FrameTimes *self)
{
  g_signal_handlers_disconnect_by_data (gtk_widget_get_frame_clock (self->window), self);
  g_object_unref (self->window);
  g_main_loop_unref (self->loop);
  g_free (self->ms);
  g_free (self->wall);
  g_free (self);
}

guint
frame_times_get_frames (const FrameTimes *self)
{
  return self->frames;
}

static gboolean
on_tick (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  FrameTimes *self = data;

  self->frame++;
  if (self->frame > self->frames + 1)
    {
      g_main_loop_quit (self->loop);
      return G_SOURCE_REMOVE;
    }
  self->step (self->frame, self->data);
  return G_SOURCE_CONTINUE;
}

void
frame_times_run (FrameTimes *self, guint settle, FrameStep step, gpointer data)
{
  self->frame = -(int)settle;
  self->step = step;
  self->data = data;
  gtk_widget_add_tick_callback (self->window, on_tick, self, NULL);
  g_main_loop_run (self->loop);
}

gboolean
frame_times_report (FrameTimes *self, const char *name)
{
  guint middle = self->frames / 2, high = self->frames * 95 / 100;

  gsl_sort (self->ms, 1, self->frames);
  gsl_sort (self->wall, 1, self->frames);
  g_print ("  %s %-28s median %6.2f ms   95 %% %6.2f ms   worst %6.2f ms   by the clock %6.2f, "
           "%6.2f ms\n",
           self->ms[high] <= FRAME_TARGET_MS ? "pass" : "FAIL", name, self->ms[middle],
           self->ms[high], self->ms[self->frames - 1], self->wall[middle], self->wall[high]);
  return self->ms[high] <= FRAME_TARGET_MS;
}
