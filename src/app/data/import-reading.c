/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/data/import-reading.h"

#include "faint/spectrum/header.h"
#include "app/document/job.h"

typedef struct
{
  char *path, *columns;
  char **settings;
  gsize n_rows;
  FaintSpectrum *spectrum; /* read already, or NULL */
} Work;

static void
work_free (gpointer data)
{
  Work *work = data;

  g_free (work->path);
  g_free (work->columns);
  g_strfreev (work->settings);
  g_clear_pointer (&work->spectrum, faint_spectrum_unref);
  g_free (work);
}

void
faint_import_look_free (FaintImportLook *self)
{
  if (self == NULL)
    return;
  faint_delimited_preview_free (self->preview);
  g_clear_pointer (&self->setup, faint_setup_unref);
  g_free (self);
}

void
faint_import_reading_free (FaintImportReading *self)
{
  if (self == NULL)
    return;
  g_clear_pointer (&self->figure, faint_figure_data_unref);
  g_clear_pointer (&self->spectrum, faint_spectrum_unref);
  g_free (self);
}

/* Somebody else's text may hold anything: what cannot be read as a known key says nothing. */
static FaintSetup *
stated_above (const char *path, gsize header_lines)
{
  FaintSetup *setup = faint_setup_new ();
  g_autoptr (FaintText) text = faint_text_read (path, NULL);
  g_autoptr (FaintHeader) header = faint_header_new (setup, path);
  FaintLines lines = { .text = text };

  for (gsize i = 0; text && i < header_lines && faint_text_next_line (&lines); i++)
    faint_header_take_line (header, &lines, NULL);
  g_ptr_array_set_size (setup->other_keys, 0);
  return setup;
}

static void
look_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Work *work = data;
  GError *error = NULL;
  FaintImportLook *look = g_new0 (FaintImportLook, 1);

  look->preview = faint_delimited_preview (work->path, work->n_rows, &error);
  if (look->preview == NULL)
    {
      faint_import_look_free (look);
      g_task_return_error (task, error);
      return;
    }
  look->setup = stated_above (work->path, look->preview->header_lines);
  g_task_return_pointer (task, look, (GDestroyNotify)faint_import_look_free);
}

void
faint_import_look_async (const char *path, gsize n_rows, GCancellable *cancellable,
                         GAsyncReadyCallback done, gpointer data)
{
  g_autoptr (GTask) task = g_task_new (NULL, cancellable, done, data);
  Work *work = g_new0 (Work, 1);

  g_return_if_fail (path != NULL);
  work->path = g_strdup (path);
  work->n_rows = n_rows;
  g_task_set_task_data (task, work, work_free);
  g_task_run_in_thread (task, look_in_thread);
}

FaintImportLook *
faint_import_look_finish (GAsyncResult *result, GError **error)
{
  return g_task_propagate_pointer (G_TASK (result), error);
}

static void
read_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Work *work = data;
  FaintReadOptions options
      = { .columns = work->columns, .settings = (const char *const *)work->settings };
  FaintProgress progress = faint_progress_until (cancellable);
  GError *error = NULL;
  FaintSpectrum *spectrum = work->spectrum
                                ? faint_spectrum_ref (work->spectrum)
                                : faint_spectrum_read (work->path, &options, &progress, &error);
  FaintImportReading *reading;

  if (spectrum == NULL)
    {
      g_task_return_error (task, error);
      return;
    }
  reading = g_new0 (FaintImportReading, 1);
  reading->spectrum = spectrum;
  reading->spacing = faint_spectrum_spacing (spectrum);
  reading->figure = faint_figure_data_new (spectrum, NULL, NULL);
  g_task_return_pointer (task, reading, (GDestroyNotify)faint_import_reading_free);
}

void
faint_import_read_async (const char *path, const char *columns, const char *const *settings,
                         GCancellable *cancellable, GAsyncReadyCallback done, gpointer data)
{
  g_autoptr (GTask) task = g_task_new (NULL, cancellable, done, data);
  Work *work = g_new0 (Work, 1);

  g_return_if_fail (path != NULL);
  work->path = g_strdup (path);
  work->columns = g_strdup (columns);
  work->settings = g_strdupv ((char **)settings);
  g_task_set_task_data (task, work, work_free);
  g_task_run_in_thread (task, read_in_thread);
}

void
faint_import_draw_async (FaintSpectrum *spectrum, GCancellable *cancellable,
                         GAsyncReadyCallback done, gpointer data)
{
  g_autoptr (GTask) task = g_task_new (NULL, cancellable, done, data);
  Work *work = g_new0 (Work, 1);

  work->spectrum = faint_spectrum_ref (spectrum);
  g_task_set_task_data (task, work, work_free);
  g_task_run_in_thread (task, read_in_thread);
}

FaintImportReading *
faint_import_read_finish (GAsyncResult *result, GError **error)
{
  return g_task_propagate_pointer (G_TASK (result), error);
}

static void
add_setting (GStrvBuilder *builder, const FaintSetup *setup, const char *key)
{
  g_autofree char *value = faint_setup_get (setup, key);
  g_autofree char *setting = value && *value ? g_strconcat (key, "=", value, NULL) : NULL;

  if (setting)
    g_strv_builder_add (builder, setting);
}

char **
faint_import_settings_of (const FaintSetup *setup)
{
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();
  gsize n;
  const FaintSetupKey *keys = faint_setup_keys (&n);

  for (gsize i = 0; i < n; i++)
    {
      g_autofree char *u_key = g_strdup_printf ("u(%s)", keys[i].key);

      add_setting (builder, setup, keys[i].key);
      if (keys[i].kind == FAINT_SETUP_KIND_QUANTITY)
        add_setting (builder, setup, u_key);
    }
  return g_strv_builder_end (builder);
}
