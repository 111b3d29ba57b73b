/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * faintline [FILE...]: the window.
 */
#include "application.h"

#include "faint/base/program.h"

#include <glib/gi18n.h>
#include <locale.h>

int
main (int argc, char **argv)
{
  const char *locale_dir = g_getenv ("FAINTLINE_LOCALE");
  g_autoptr (FaintApplication) application = NULL;

  setlocale (LC_ALL, "");
  bindtextdomain (GETTEXT_PACKAGE, locale_dir ? locale_dir : FAINT_LOCALE_DIR);
  bind_textdomain_codeset (GETTEXT_PACKAGE, "UTF-8");
  textdomain (GETTEXT_PACKAGE);

  faint_program_begin ();
  g_set_application_name (_ ("Faintline"));

  application = faint_application_new (G_APPLICATION_DEFAULT_FLAGS);
  return g_application_run (G_APPLICATION (application), argc, argv);
}
