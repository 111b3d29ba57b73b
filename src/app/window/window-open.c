/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Opening: by argument, drop, sample or recent file; and what to ask where a text does not say what
 * its columns are.
 */
#include "app/window/window-private.h"

#include <glib/gi18n.h>

#include "app/data/block-window.h"
#include "app/data/conditions-window.h"
#include "app/data/import-window.h"
#include "app/document/needed-conditions.h"
#include "app/document/recovery.h"

#define MAX_RECENT 8
#define PATHS_KEY "faint-paths"

static void open_here (FaintWindow *self, const char *const *paths, const char *columns,
                       const char *const *settings);

/* Dialogs put what they write among the recent files, too: a report, a figure. What was opened or
 * saved as an analysis belongs to a group of its own. */
#define RECENT_GROUP "faintline-documents"

static void
add_recent (char *uri, const char *path)
{
  char *groups[] = { (char *)RECENT_GROUP, NULL };
  g_autofree char *type = g_content_type_guess (path, NULL, 0, NULL);
  g_autofree char *command = g_strconcat (g_get_prgname (), " %f", NULL);
  GtkRecentData data = { .mime_type = type,
                         .app_name = (char *)g_get_application_name (),
                         .app_exec = command,
                         .groups = groups };

  gtk_recent_manager_add_full (gtk_recent_manager_get_default (), uri, &data);
}

void
_faint_window_remember (FaintWindow *self, const char *path)
{
  g_autofree char *uri = g_filename_to_uri (path, NULL, NULL);
  g_autofree char *folder = g_path_get_dirname (path);

  if (faint_recovery_is_path (path))
    return;
  faint_settings_set_string (self->settings, "last-folder", folder);
  if (uri)
    add_recent (uri, path);
}

/* The reader did not understand the text: a person may know what its columns are. */
static void
on_mapped (FaintImportWindow *import, const char *columns, char **settings, FaintWindow *self)
{
  const char *const *paths = g_object_get_data (G_OBJECT (import), PATHS_KEY);

  open_here (self, paths, columns, (const char *const *)settings);
}

static void
on_block_mapped (FaintBlockWindow *question, const char *columns, FaintWindow *self)
{
  open_here (self, g_object_get_data (G_OBJECT (question), PATHS_KEY), columns, NULL);
}

typedef struct
{
  FaintWindow *window;
  char **paths;
  char *columns;   /* the map that is tried, or NULL */
  char **settings; /* conditions given with it, or NULL */
  char *why;       /* why they did not do */
} Opening;

static void
opening_free (Opening *opening)
{
  g_object_unref (opening->window);
  g_strfreev (opening->paths);
  g_strfreev (opening->settings);
  g_free (opening->columns);
  g_free (opening->why);
  g_free (opening);
}

/* Of a text that has no columns the reader's own words stand. */
static void
on_looked (GObject *source, GAsyncResult *result, gpointer data)
{
  Opening *opening = data;
  FaintWindow *self = opening->window;
  FaintImportLook *look = faint_import_look_finish (result, NULL);
  GtkWidget *import;

  if (self->document == NULL)
    faint_import_look_free (look);
  else if (look == NULL)
    faint_window_say (self, _ ("This could not be opened"), opening->why);
  else
    {
      import = faint_import_window_new (GTK_WINDOW (self), opening->paths[0], look,
                                        opening->columns, (const char *const *)opening->settings,
                                        opening->columns ? opening->why : NULL);
      g_object_set_data_full (G_OBJECT (import), PATHS_KEY, g_strdupv (opening->paths),
                              (GDestroyNotify)g_strfreev);
      g_signal_connect_object (import, "mapped", G_CALLBACK (on_mapped), self, 0);
      gtk_window_present (GTK_WINDOW (import));
    }
  opening_free (opening);
}

static void ask_for_conditions (FaintWindow *self, gsize from);

/* Of a series the next one that lacks something is asked about. */
static void
on_stated (FaintConditionsWindow *asked, FaintWindow *self)
{
  if (self->document)
    ask_for_conditions (self, faint_document_get_shown (self->document) + 1);
}

static void
ask_for (FaintWindow *self, gsize spectrum)
{
  GtkWidget *asked;

  faint_document_set_shown (self->document, spectrum);
  asked = faint_conditions_window_new (GTK_WINDOW (self), self->document);
  g_signal_connect_object (asked, "stated", G_CALLBACK (on_stated), self, 0);
  gtk_window_present (GTK_WINDOW (asked));
}

/* About the first spectrum from @from on that lacks what a fit needs. */
static void
ask_for_conditions (FaintWindow *self, gsize from)
{
  if (faint_needed_find (faint_document_get_analysis (self->document), &from))
    ask_for (self, from);
}

void
_faint_window_state_conditions (FaintWindow *self)
{
  gsize lacking = 0;

  ask_for (self, faint_needed_find (faint_document_get_analysis (self->document), &lacking)
                     ? lacking
                     : faint_document_get_shown (self->document));
}

/* Asks about the first JCAMP-DX file, if that can mend the error. */
static gboolean
ask_for_block (Opening *opening, const GError *error)
{
  FaintWindow *self = opening->window;
  char **path = opening->paths;
  GtkWidget *question;

  while (*path != NULL && !faint_block_may_help (*path, error))
    path++;
  question = *path != NULL ? faint_block_window_new (GTK_WINDOW (self), *path, opening->columns,
                                                     error->message, NULL)
                           : NULL;
  if (question == NULL)
    return FALSE;
  g_object_set_data_full (G_OBJECT (question), PATHS_KEY, g_strdupv (opening->paths),
                          (GDestroyNotify)g_strfreev);
  g_signal_connect_object (question, "mapped", G_CALLBACK (on_block_mapped), self, 0);
  gtk_window_present (GTK_WINDOW (question));
  return TRUE;
}

/* The lines of a saved analysis are not those of what its file holds now. */
static void
say_changed (FaintWindow *self)
{
  const char *name = faint_document_get_changed_input (self->document);
  g_autofree char *base = name ? g_path_get_basename (name) : NULL;
  g_autofree char *text = NULL;

  if (name == NULL)
    return;
  /* Translators: name of a file */
  text = g_strdup_printf (_ ("%s has changed since this analysis was saved. The lines are still "
                             "those of its old content: fit again."),
                          base);
  faint_window_say (self, _ ("The data have changed"), text);
}

static void
on_opened (GObject *source, GAsyncResult *result, gpointer data)
{
  Opening *opening = data;
  FaintWindow *self = opening->window;
  g_autoptr (GError) error = NULL;

  if (faint_document_open_finish (FAINT_DOCUMENT (source), result, &error))
    {
      if (self->document)
        {
          _faint_window_remember (self, opening->paths[0]);
          say_changed (self);
        }
      /* those who stated some with the columns saw what is missing; an analysis was asked about */
      if (self->document && opening->settings == NULL
          && !faint_analysis_is_file (opening->paths[0]))
        ask_for_conditions (self, 0);
      opening_free (opening);
    }
  else if (g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED) || self->document == NULL
           || ask_for_block (opening, error))
    opening_free (opening);
  else if (faint_import_may_help (opening->paths[0]))
    {
      opening->why = g_strdup (error->message);
      faint_import_look_async (opening->paths[0], FAINT_IMPORT_ROWS, NULL, on_looked, opening);
    }
  else
    {
      faint_window_say (self, _ ("This could not be opened"), error->message);
      opening_free (opening);
    }
}

static void
open_here (FaintWindow *self, const char *const *paths, const char *columns,
           const char *const *settings)
{
  Opening *opening = g_new0 (Opening, 1);

  faint_message_bar_hide (FAINT_MESSAGE_BAR (self->message));
  opening->window = g_object_ref (self);
  opening->paths = g_strdupv ((char **)paths);
  opening->columns = g_strdup (columns);
  opening->settings = g_strdupv ((char **)settings);
  faint_document_open_stated_async (self->document, paths, columns, settings, on_opened, opening);
}

void
faint_window_open (FaintWindow *self, const char *const *paths)
{
  g_return_if_fail (FAINT_IS_WINDOW (self));
  g_return_if_fail (paths && paths[0]);

  if (faint_document_get_modified (self->document))
    {
      GtkWidget *other
          = faint_window_new (gtk_window_get_application (GTK_WINDOW (self)), self->settings);

      gtk_window_present (GTK_WINDOW (other));
      open_here (FAINT_WINDOW (other), paths, NULL, NULL);
    }
  else
    open_here (self, paths, NULL, NULL);
}

static gboolean
is_ours (GtkRecentInfo *info)
{
  const char *uri = gtk_recent_info_get_uri (info);

  return gtk_recent_info_is_local (info) && gtk_recent_info_exists (info)
         && (gtk_recent_info_has_group (info, RECENT_GROUP)
             || g_regex_match_simple ("\\.(comb|faintline)(\\.gz)?$", uri, 0, 0));
}

static int
newer (gconstpointer a, gconstpointer b)
{
  return g_date_time_compare (gtk_recent_info_get_modified ((GtkRecentInfo *)b),
                              gtk_recent_info_get_modified ((GtkRecentInfo *)a));
}

/* "run-14.comb  (~/spectra/may)": files of one name are told apart. */
static char *
name_and_folder (const char *path)
{
  g_autofree char *name = g_filename_display_basename (path);
  g_autofree char *folder = g_path_get_dirname (path);
  g_autofree char *shown = NULL;
  const char *home = g_get_home_dir ();

  if (g_str_has_prefix (folder, home) && (folder[strlen (home)] == '/' || !folder[strlen (home)]))
    shown = g_strconcat ("~", folder + strlen (home), NULL);
  else
    shown = g_strdup (folder);
  return g_strdup_printf ("%s  (%s)", name, shown);
}

void
_faint_window_fill_recent (FaintWindow *self)
{
  g_autoptr (GMenu) menu = g_menu_new ();
  GList *items
      = g_list_sort (gtk_recent_manager_get_items (gtk_recent_manager_get_default ()), newer);
  guint n = 0;

  for (GList *l = items; l && n < MAX_RECENT; l = l->next)
    {
      g_autofree char *path = NULL;
      g_autoptr (GMenuItem) item = NULL;
      g_autofree char *label = NULL;
      g_autofree char *shown = NULL;
      g_auto (GStrv) parts = NULL;

      if (!is_ours (l->data))
        continue;
      path = g_filename_from_uri (gtk_recent_info_get_uri (l->data), NULL, NULL);
      if (path == NULL)
        continue;
      /* an underscore in a name is no mnemonic */
      shown = name_and_folder (path);
      parts = g_strsplit (shown, "_", -1);
      label = g_strjoinv ("__", parts);
      item = g_menu_item_new (label, NULL);
      g_menu_item_set_action_and_target (item, "win.open-path", "s", path);
      g_menu_append_item (menu, item);
      n++;
    }
  g_list_free_full (items, (GDestroyNotify)gtk_recent_info_unref);
  if (n == 0)
    g_menu_append (menu, _ ("Nothing opened yet"), "win.nothing");
  gtk_menu_button_set_menu_model (GTK_MENU_BUTTON (self->recent_button), G_MENU_MODEL (menu));
}
