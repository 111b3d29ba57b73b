/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * assign --branch: a branch followed without levels, and its polynomial.
 */
#include "assign-results.h"

#include "faint/assign/branch.h"
#include "faint/base/files.h"
#include "faint/base/quantity.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* "12:-3,14:-4": ids of lines and their m. NULL with @word where it is something else. */
static GArray *
parse_points (const char *text, char **word)
{
  g_autoptr (GArray) points = g_array_new (FALSE, FALSE, sizeof (FaintBranchPoint));
  g_auto (GStrv) words = g_strsplit (text, ",", -1);

  for (guint i = 0; words[i] != NULL; i++)
    {
      g_auto (GStrv) parts = g_strsplit (g_strstrip (words[i]), ":", 2);
      guint64 id;
      gint64 m;
      FaintBranchPoint point;

      if (parts[0] == NULL || parts[1] == NULL
          || !g_ascii_string_to_unsigned (parts[0], 10, 0, G_MAXUINT, &id, NULL)
          || !g_ascii_string_to_signed (parts[1], 10, -500, 500, &m, NULL))
        {
          *word = g_strdup (words[i]);
          return NULL;
        }
      point = (FaintBranchPoint){ (guint)id, (int)m };
      g_array_append_val (points, point);
    }
  return g_steal_pointer (&points);
}

static void
append (GString *out, double value)
{
  g_autofree char *text = isfinite (value) ? faint_format_double (value) : NULL;

  g_string_append_printf (out, ",%s", text != NULL ? text : "");
}

static const char *
state_of (const FaintBranchPlace *place)
{
  if (place->open)
    return "open";
  if (place->line == G_MAXSIZE)
    return "missing";
  return place->perturbed ? "perturbed" : "fitted";
}

static char *
places_csv (const FaintBranchTrace *trace, const FaintObserved *observed)
{
  GString *out = g_string_new ("# lines of a branch by m, followed without levels; polynomial is "
                               "its value at m with the standard uncertainty\n"
                               "m,id,position/cm-1,u_noise(position)/cm-1,polynomial/cm-1,"
                               "u(polynomial)/cm-1,residual/cm-1,expected/cm-1,u(expected)/cm-1,"
                               "state\n");

  for (guint i = 0; i < trace->places->len; i++)
    {
      const FaintBranchPlace *place = &g_array_index (trace->places, FaintBranchPlace, i);
      gboolean line = place->line != G_MAXSIZE;
      double u, value = faint_branch_trace_at (trace, place->m, &u);

      g_string_append_printf (out, "%d,", place->m);
      if (line)
        g_string_append_printf (out, "%u", observed->id[place->line]);
      append (out, line ? observed->nu[place->line] : NAN);
      append (out, line ? observed->u[place->line] : NAN);
      append (out, value);
      append (out, u);
      append (out, place->residual);
      append (out, place->expected);
      append (out, place->u_expected);
      g_string_append_printf (out, ",%s\n", state_of (place));
    }
  return g_string_free (out, FALSE);
}

static char *
polynomial_csv (const FaintBranchTrace *trace)
{
  g_autofree char *middle = faint_format_double (trace->middle);
  GString *out = g_string_new ("# position = sum of coefficient times (m - middle)^power\n");

  g_string_append_printf (out, "# middle = %s\npower,coefficient/cm-1,u(coefficient)/cm-1\n",
                          middle);
  for (guint i = 0; i <= trace->degree; i++)
    {
      g_string_append_printf (out, "%u", i);
      append (out, trace->fit->value[i]);
      append (out, sqrt (trace->fit->covariance[i * trace->fit->p + i]));
      g_string_append_c (out, '\n');
    }
  return g_string_free (out, FALSE);
}

static gboolean
write_results (const FaintBranchTrace *trace, const FaintObserved *observed, const char *folder,
               GError **error)
{
  g_autoptr (FaintFilesFolder) files = faint_files_folder_begin (folder, error);
  g_autofree char *places = places_csv (trace, observed);
  g_autofree char *polynomial = polynomial_csv (trace);
  g_autofree char *places_path = NULL;
  g_autofree char *polynomial_path = NULL;

  if (files == NULL)
    return FALSE;
  places_path = faint_files_folder_path (files, "branch.csv");
  polynomial_path = faint_files_folder_path (files, "polynomial.csv");
  return faint_files_write (places_path, places, strlen (places), error)
         && faint_files_write (polynomial_path, polynomial, strlen (polynomial), error)
         && faint_files_folder_commit (files, error);
}

/* How many of its places are @state. */
static guint
count (const FaintBranchTrace *trace, const char *state)
{
  guint n = 0;

  for (guint i = 0; i < trace->places->len; i++)
    n += g_str_equal (state_of (&g_array_index (trace->places, FaintBranchPlace, i)), state);
  return n;
}

static int
print_results (const FaintBranchTrace *trace, const char *folder)
{
  guint perturbed = count (trace, "perturbed"), open = count (trace, "open");

  printf ("m %d to %d: %u lines on a polynomial of degree %u, %u off it, %u missing, %u open "
          "between two lines; reduced chi-square %.3g.\n\nResults in %s\n",
          g_array_index (trace->places, FaintBranchPlace, 0).m,
          g_array_index (trace->places, FaintBranchPlace, trace->places->len - 1).m,
          count (trace, "fitted"), trace->degree, perturbed, count (trace, "missing"), open,
          trace->fit->chi2_reduced, folder);
  return perturbed + open > 0 ? FAINT_EXIT_NOT_CONVERGED : FAINT_EXIT_DONE;
}

int
faint_assign_branch (const FaintListFile *file, const char *points,
                     const FaintAssignOptions *search, const char *folder)
{
  g_autofree char *word = NULL;
  g_autoptr (GArray) chosen = parse_points (points, &word);
  g_autoptr (FaintObserved) observed = NULL;
  g_autoptr (FaintBranchTrace) trace = NULL;
  FaintBranchOptions options;
  GError *error = NULL;

  if (chosen == NULL)
    return faint_wrong_use (faint_verb_assign.name,
                            "--branch: '%s' is no line with its m; expected ID:M, as in "
                            "12:-3,14:-4.",
                            word);
  faint_branch_options_init (&options);
  options.coverage = search->coverage;
  observed = faint_observed_new (file->lines, search);
  trace = faint_branch_follow (observed, (const FaintBranchPoint *)chosen->data, chosen->len,
                               &options, &error);
  if (trace == NULL || !write_results (trace, observed, folder, &error))
    return faint_fail (error);
  return print_results (trace, folder);
}
