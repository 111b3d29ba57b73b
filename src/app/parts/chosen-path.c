/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/parts/chosen-path.h"

#include <glib/gi18n.h>

char *
faint_chosen_path (GtkNativeDialog *dialog, int response, const char **said)
{
  g_autoptr (GFile) file = NULL;
  char *path;

  *said = NULL;
  if (response == GTK_RESPONSE_ACCEPT)
    file = gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog));
  if (file == NULL)
    return NULL;
  path = g_file_get_path (file);
  if (path == NULL)
    *said = _ ("This place has no path on this computer");
  return path;
}
