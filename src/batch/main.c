/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * faintline-batch: chooses the verb.
 */
#include "common.h"

#include "faint/base/program.h"

#include <stdio.h>
#include <string.h>

static const FaintVerb *const verbs[]
    = { &faint_verb_simulate, &faint_verb_fit,     &faint_verb_assign,
        &faint_verb_review,   &faint_verb_compare, &faint_verb_convert };

/* "simulate, fit, assign": all verbs. */
static char *
list_verbs (void)
{
  g_autoptr (GString) words = g_string_new (NULL);

  for (gsize i = 0; i < G_N_ELEMENTS (verbs); i++)
    g_string_append_printf (words, "%s%s", i > 0 ? ", " : "", verbs[i]->name);
  return g_string_free (g_steal_pointer (&words), FALSE);
}

static void
print_help (void)
{
  printf ("Usage: faintline-batch VERB [OPTION...] ARGUMENT...\n\n"
          "Cavity-enhanced comb spectra to line lists, without a window.\n\nVerbs:\n");
  for (gsize i = 0; i < G_N_ELEMENTS (verbs); i++)
    printf ("  %-10s  %s\n", verbs[i]->name, verbs[i]->purpose);
  printf ("\n'faintline-batch VERB --help' shows how a verb is used; --version, the version.\n\n"
          "Exit status: 0 done; 1 done, but something did not converge or a review fails; 2 wrong\n"
          "use; 3 bad input, nothing written; 130 or 143 stopped by SIGINT or SIGTERM, nothing\n"
          "written.\n");
}

int
main (int argc, char **argv)
{
  const char *name = argc > 1 ? argv[1] : "";
  g_autofree char *words = list_verbs ();

  faint_program_begin ();
  if (strcmp (name, "--help") == 0 || strcmp (name, "-h") == 0)
    {
      print_help ();
      return FAINT_EXIT_DONE;
    }
  if (strcmp (name, "--version") == 0)
    {
      printf ("faintline-batch %s\n", FAINT_VERSION);
      return FAINT_EXIT_DONE;
    }
  for (gsize i = 0; i < G_N_ELEMENTS (verbs); i++)
    if (strcmp (name, verbs[i]->name) == 0)
      {
        faint_catch_signals ();
        return verbs[i]->run (argv + 2);
      }
  if (*name == '\0')
    return faint_wrong_use ("", "A verb is needed: %s.", words);
  return faint_wrong_use ("", "'%s' is no verb of this program; it has %s.", name, words);
}
