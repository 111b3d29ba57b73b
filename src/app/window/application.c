/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Start-up, opening by argument, About, quit.
 */
#include "app/window/application.h"

#include <glib/gi18n.h>
#include <locale.h>

#include "app/document/recovery.h"
#include "app/window/window-private.h"

struct _FaintApplication
{
  GtkApplication parent;

  FaintSettings *settings;
};

G_DEFINE_FINAL_TYPE (FaintApplication, faint_application, GTK_TYPE_APPLICATION)

static void
on_new_window (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  FaintApplication *self = data;

  gtk_window_present (GTK_WINDOW (faint_window_new (GTK_APPLICATION (self), self->settings)));
}

static void
on_about (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  GtkWindow *parent = gtk_application_get_active_window (GTK_APPLICATION (data));
  GtkWidget *dialog = g_object_new (
      GTK_TYPE_ABOUT_DIALOG, "program-name", _ ("Faintline"), "version", FAINT_VERSION,
      "logo-icon-name", "org.faintline.Faintline", "license-type", GTK_LICENSE_GPL_3_0, "comments",
      _ ("Line lists with honest uncertainties from cavity-enhanced comb spectra.\n"
         "It only computes: the hazards of laser light, gases, vacuum and high voltage "
         "stay with the measurement (see the manual)."),
      "transient-for", parent, "destroy-with-parent", TRUE, "modal", parent != NULL, NULL);

  gtk_window_present (GTK_WINDOW (dialog));
  /* Else its first label has the focus, with all of it selected. */
  gtk_window_set_focus (GTK_WINDOW (dialog), NULL);
}

/* Each window asks for itself; one that stays open keeps the application. */
static void
on_quit (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  g_autoptr (GList) windows = g_list_copy (gtk_application_get_windows (GTK_APPLICATION (data)));

  for (GList *l = windows; l; l = l->next)
    gtk_window_close (l->data);
}

static void
load_style (void)
{
  g_autoptr (GtkCssProvider) provider = gtk_css_provider_new ();

  gtk_css_provider_load_from_resource (provider, "/org/faintline/Faintline/style.css");
  gtk_style_context_add_provider_for_display (gdk_display_get_default (),
                                              GTK_STYLE_PROVIDER (provider),
                                              GTK_STYLE_PROVIDER_PRIORITY_APPLICATION);
}

static void
faint_application_startup (GApplication *application)
{
  static const GActionEntry entries[] = {
    { "new-window", on_new_window, NULL, NULL, NULL },
    { "about", on_about, NULL, NULL, NULL },
    { "quit", on_quit, NULL, NULL, NULL },
  };

  G_APPLICATION_CLASS (faint_application_parent_class)->startup (application);
  g_action_map_add_action_entries (G_ACTION_MAP (application), entries, G_N_ELEMENTS (entries),
                                   application);
  _faint_window_set_accels (GTK_APPLICATION (application));
  load_style ();
  gtk_window_set_default_icon_name ("org.faintline.Faintline");
}

static void
faint_application_activate (GApplication *application)
{
  FaintApplication *self = FAINT_APPLICATION (application);
  GtkWindow *window = gtk_application_get_active_window (GTK_APPLICATION (application));

  if (window == NULL)
    window = GTK_WINDOW (faint_window_new (GTK_APPLICATION (application), self->settings));
  gtk_window_present (window);
}

/* The start page offers them, and does not show where a file is opened at once. */
static void
tell_of_leftovers (FaintWindow *window)
{
  g_autoptr (GPtrArray) leftovers = faint_recovery_find ();

  if (leftovers->len > 0)
    faint_window_say (window, _ ("Unsaved work of an earlier run is kept"),
                      _ ("A new window (menu, New Window) offers it."));
}

/* All files of one call are records of one measurement, or one analysis. */
static void
faint_application_open (GApplication *application, GFile **files, int n, const char *hint)
{
  FaintApplication *self = FAINT_APPLICATION (application);
  GtkWidget *window = faint_window_new (GTK_APPLICATION (application), self->settings);
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();
  g_auto (GStrv) paths = NULL;

  gtk_window_present (GTK_WINDOW (window));
  for (int i = 0; i < n; i++)
    {
      g_autofree char *path = g_file_get_path (files[i]);

      if (path)
        g_strv_builder_add (builder, path);
    }
  paths = g_strv_builder_end (builder);
  if (g_strv_length (paths) == (guint)n)
    {
      faint_window_open (FAINT_WINDOW (window), (const char *const *)paths);
      tell_of_leftovers (FAINT_WINDOW (window));
    }
  else
    faint_window_say (FAINT_WINDOW (window), _ ("This could not be opened"),
                      _ ("One of the files has no path on this computer."));
}

static void
faint_application_finalize (GObject *object)
{
  FaintApplication *self = FAINT_APPLICATION (object);

  g_clear_pointer (&self->settings, faint_settings_free);
  G_OBJECT_CLASS (faint_application_parent_class)->finalize (object);
}

static void
faint_application_class_init (FaintApplicationClass *klass)
{
  GApplicationClass *application_class = G_APPLICATION_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = faint_application_finalize;
  application_class->startup = faint_application_startup;
  application_class->activate = faint_application_activate;
  application_class->open = faint_application_open;
}

static void
faint_application_init (FaintApplication *self)
{
  self->settings = faint_settings_new ();
}

void
faint_application_set_locale (void)
{
  const char *folder = g_getenv ("FAINTLINE_LOCALE");

  setlocale (LC_ALL, "");
  setlocale (LC_NUMERIC, "C");
  bindtextdomain (GETTEXT_PACKAGE, folder ? folder : FAINT_LOCALE_DIR);
  bind_textdomain_codeset (GETTEXT_PACKAGE, "UTF-8");
  textdomain (GETTEXT_PACKAGE);
}

FaintApplication *
faint_application_new (GApplicationFlags flags)
{
  return g_object_new (FAINT_TYPE_APPLICATION, "application-id", "org.faintline.Faintline", "flags",
                       flags | G_APPLICATION_HANDLES_OPEN, "resource-base-path",
                       "/org/faintline/Faintline", NULL);
}

FaintSettings *
faint_application_get_settings (FaintApplication *self)
{
  g_return_val_if_fail (FAINT_IS_APPLICATION (self), NULL);
  return self->settings;
}
