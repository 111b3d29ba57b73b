/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The window's patience while foreign text of a million rows is imported: the longest time between
 * two turns of the main loop from the request to the picture, and while a column's meaning changes,
 * by the clock on the wall and by that of the thread, which leaves out what else this machine does.
 * bench-import [rows]
 */
#include "app/data/import-window.h"

#include <glib/gstdio.h>
#include <gsl/gsl_errno.h>
#include <stdlib.h>
#include <time.h>

typedef struct
{
  FaintImportLook *look;
  double last, last_cpu;       /* ms */
  double longest, longest_cpu; /* ms between two turns */
} Bench;

static double
cpu_ms (void)
{
  struct timespec now;

  clock_gettime (CLOCK_THREAD_CPUTIME_ID, &now);
  return 1e3 * now.tv_sec + 1e-6 * now.tv_nsec;
}

static char *
write_rows (const char *folder, gsize n)
{
  char *path = g_build_filename (folder, "large.csv", NULL);
  GString *text = g_string_new ("where;how much\n");

  for (gsize i = 0; i < n; i++)
    g_string_append_printf (text, "%.5f;0.9%05u\n", 7000 + 1e-4 * (double)i,
                            (guint)(i * 2654435761u % 100000));
  if (!g_file_set_contents (path, text->str, (gssize)text->len, NULL))
    g_error ("%s cannot be written", path);
  g_string_free (text, TRUE);
  return path;
}

static gboolean
on_turn (gpointer data)
{
  Bench *self = data;
  double now = 1e-3 * (double)g_get_monotonic_time (), now_cpu = cpu_ms ();

  if (self->last > 0)
    {
      self->longest = MAX (self->longest, now - self->last);
      self->longest_cpu = MAX (self->longest_cpu, now_cpu - self->last_cpu);
    }
  self->last = now;
  self->last_cpu = now_cpu;
  return G_SOURCE_CONTINUE;
}

static void
on_looked (GObject *source, GAsyncResult *result, gpointer data)
{
  Bench *self = data;
  g_autoptr (GError) error = NULL;

  self->look = faint_import_look_finish (result, &error);
  if (self->look == NULL)
    g_error ("%s", error->message);
}

static void
report (Bench *self, const char *what, gint64 begun)
{
  g_print ("%-16s longest turn %7.1f ms of the thread, %7.1f ms wall   whole %8.1f ms\n", what,
           self->longest_cpu, self->longest, 1e-3 * (double)(g_get_monotonic_time () - begun));
  self->longest = self->longest_cpu = 0;
}

static void
wait_for_reading (FaintImportWindow *import)
{
  for (;;)
    {
      g_autofree char *summary = faint_import_window_get_summary (import);

      if (summary)
        return;
      g_main_context_iteration (NULL, TRUE);
    }
}

int
main (int argc, char **argv)
{
  gsize n = argc > 1 ? strtoul (argv[1], NULL, 10) : 1000000;
  g_autofree char *folder = g_dir_make_tmp ("faint-bench-XXXXXX", NULL);
  g_autofree char *path = write_rows (folder, MAX (n, 100));
  Bench bench = { 0 };
  FaintImportWindow *import;
  gint64 begun;

  gsl_set_error_handler_off ();
  gtk_init ();
  g_timeout_add (2, on_turn, &bench);
  begun = g_get_monotonic_time ();
  faint_import_look_async (path, FAINT_IMPORT_ROWS, NULL, on_looked, &bench);
  while (bench.look == NULL)
    g_main_context_iteration (NULL, TRUE);
  report (&bench, "layout", begun);

  begun = g_get_monotonic_time ();
  import = FAINT_IMPORT_WINDOW (faint_import_window_new (NULL, path, bench.look, NULL, NULL, NULL));
  gtk_window_present (GTK_WINDOW (import));
  faint_import_window_set_meaning (import, 0, "wavenumber/cm-1");
  faint_import_window_set_meaning (import, 1, "transmission");
  wait_for_reading (import);
  report (&bench, "first reading", begun);

  begun = g_get_monotonic_time ();
  faint_import_window_set_meaning (import, 0, "wavelength/nm");
  wait_for_reading (import);
  report (&bench, "another meaning", begun);

  gtk_window_destroy (GTK_WINDOW (import));
  g_remove (path);
  g_rmdir (folder);
  return 0;
}
