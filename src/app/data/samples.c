/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Looks into folders; reads no more of a file than its header.
 */
#include "app/data/samples.h"

#include <gio/gio.h>
#include <glib/gi18n.h>
#include <string.h>

/* A header has some twenty keys. */
#define HEADER_LINES 60

/* The titles of the files that come with the program, which are shown in the user's language. */
G_GNUC_UNUSED static const char *const titles[] = {
  N_ ("nitrous oxide, invented band at 1.3 hPa"),
  N_ ("nitrous oxide, three invented bands at 10 hPa"),
  N_ ("nitrous oxide, invented band as a complex field"),
  N_ ("nitrous oxide, strong invented lines, teeth beside their modes"),
  N_ ("nitrous oxide, a claimed list with faults"),
  N_ ("nitrous oxide, a claimed list made with a finesse of 11200"),
  N_ ("14N2 16O, ground state 00 0 0"),
  N_ ("14N2 16O, bend 01 1 0"),
};

static void
sample_free (gpointer data)
{
  FaintSample *sample = data;

  g_free (sample->path);
  g_free (sample->title);
  g_free (sample);
}

char *
faint_sample_title (const char *path)
{
  g_autoptr (GFile) file = g_file_new_for_path (path);
  g_autoptr (GFileInputStream) stream = g_file_read (file, NULL, NULL);
  g_autoptr (GDataInputStream) lines = NULL;

  if (stream == NULL)
    return NULL;
  lines = g_data_input_stream_new (G_INPUT_STREAM (stream));
  for (guint i = 0; i < HEADER_LINES; i++)
    {
      g_autofree char *line = g_data_input_stream_read_line_utf8 (lines, NULL, NULL, NULL);
      const char *equals = line ? strchr (line, '=') : NULL;

      if (line == NULL || *line != '#')
        break;
      if (equals && g_str_has_prefix (g_strchug (line + 1), "title"))
        return g_strstrip (g_strdup (equals + 1));
    }
  return NULL;
}

static gboolean
is_list (const char *name)
{
  static const char *const suffixes[] = { ".csv", ".record", ".vot", ".json" };

  for (guint i = 0; i < G_N_ELEMENTS (suffixes); i++)
    if (g_str_has_suffix (name, suffixes[i]))
      return TRUE;
  return FALSE;
}

/* Files that end in @suffix; NULL: line lists. */
static void
add_folder (GPtrArray *samples, const char *data, const char *name, const char *suffix)
{
  g_autofree char *folder = g_build_filename (data, name, NULL);
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  const char *entry;

  while (dir && (entry = g_dir_read_name (dir)))
    {
      FaintSample *sample;
      g_autofree char *title = NULL;

      if (suffix ? !g_str_has_suffix (entry, suffix) : !is_list (entry))
        continue;
      sample = g_new0 (FaintSample, 1);
      sample->path = g_build_filename (folder, entry, NULL);
      title = faint_sample_title (sample->path);
      sample->title = g_strdup (title != NULL && *title != '\0' ? _ (title) : entry);
      g_ptr_array_add (samples, sample);
    }
}

static int
by_path (gconstpointer a, gconstpointer b)
{
  const FaintSample *x = *(FaintSample *const *)a;
  const FaintSample *y = *(FaintSample *const *)b;

  return strcmp (x->path, y->path);
}

/* The first data folder that has any. */
static GPtrArray *
find (const char *const *names, const char *suffix)
{
  GPtrArray *samples = g_ptr_array_new_with_free_func (sample_free);
  const char *chosen = g_getenv ("FAINTLINE_DATA");
  const char *const folders[] = { chosen ? chosen : FAINT_DATA_DIR, FAINT_SOURCE_DATA };
  guint n = chosen ? 1 : G_N_ELEMENTS (folders);

  for (guint i = 0; samples->len == 0 && i < n; i++)
    for (guint k = 0; names[k]; k++)
      add_folder (samples, folders[i], names[k], suffix);
  g_ptr_array_sort (samples, by_path);
  return samples;
}

GPtrArray *
faint_samples_find (void)
{
  static const char *const names[] = { "demo", "samples", NULL };

  return find (names, ".comb");
}

GPtrArray *
faint_samples_find_claimed (void)
{
  static const char *const names[] = { "review", NULL };

  return find (names, NULL);
}

static int
by_title (gconstpointer a, gconstpointer b)
{
  const FaintSample *x = *(FaintSample *const *)a;
  const FaintSample *y = *(FaintSample *const *)b;

  return strcmp (x->title, y->title);
}

GPtrArray *
faint_samples_find_levels (void)
{
  static const char *const names[] = { "levels", NULL };
  GPtrArray *levels = find (names, ".constants");

  g_ptr_array_sort (levels, by_title);
  return levels;
}

#define PATH "faint-path"

GtkWidget *
faint_sample_button_new (const FaintSample *sample, const char *words, const char *name,
                         const char *tooltip)
{
  GtkWidget *button = gtk_button_new (), *label = gtk_label_new (words);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_width_chars (GTK_LABEL (label), 16);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 20);
  gtk_button_set_child (GTK_BUTTON (button), label);
  gtk_widget_add_css_class (button, "sample");
  gtk_widget_set_tooltip_text (button, tooltip ? tooltip : words);
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  name ? name : words, -1);
  g_object_set_data_full (G_OBJECT (button), PATH, g_strdup (sample->path), g_free);
  return button;
}

const char *
faint_sample_button_get_path (GtkButton *button)
{
  return g_object_get_data (G_OBJECT (button), PATH);
}
