/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * faintline [FILE...]: the window.
 */
#include "app/window/application.h"

#include "faint/base/program.h"

#include <glib/gi18n.h>

int
main (int argc, char **argv)
{
  g_autoptr (FaintApplication) application = NULL;

  gtk_disable_setlocale ();
  faint_application_set_locale ();
  faint_program_begin ();
  g_set_application_name (_ ("Faintline"));

  application = faint_application_new (G_APPLICATION_DEFAULT_FLAGS);
  return g_application_run (G_APPLICATION (application), argc, argv);
}
