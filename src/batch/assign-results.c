/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assign-results.h"

#include "faint/base/files.h"
#include "faint/base/quantity.h"
#include "faint/base/text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static char *
input_note (const char *key, const char *path, const char *sha256)
{
  g_autofree char *name = g_path_get_basename (path);

  return g_strdup_printf ("%s = %s  %s", key, name, sha256);
}

/* The list as it was read, with labels. */
static char *
labelled_csv (const FaintAssignment *assignment, const FaintListFile *file, const char *levels,
              GError **error)
{
  g_autoptr (FaintText) text = faint_text_read (levels, error);
  g_autoptr (FaintLineList) labelled = NULL;
  g_autoptr (GPtrArray) all = g_ptr_array_new_with_free_func (g_free);
  FaintLineListAbout about = { .chi2_reduced = NAN };

  if (text == NULL)
    return NULL;
  labelled = faint_assignment_label (assignment, file->lines);
  for (guint i = 0; i < file->notes->len; i++)
    g_ptr_array_add (all, g_strdup (g_ptr_array_index (file->notes, i)));
  g_ptr_array_add (all, input_note ("assigned_list", file->path, file->sha256));
  g_ptr_array_add (all, input_note ("assigned_from", levels, text->sha256));
  g_ptr_array_add (all, NULL);
  about.notes = (const char *const *)all->pdata;
  return faint_line_list_to_csv (labelled, &about);
}

/* Takes @text. */
static gboolean
write_text (FaintFilesFolder *folder, const char *name, char *text, GError **error)
{
  g_autofree char *path = faint_files_folder_path (folder, name);
  g_autofree char *owned = text;

  return owned != NULL && faint_files_write (path, owned, strlen (owned), error);
}

gboolean
faint_assign_results_write (const FaintAssignment *assignment, const FaintListFile *file,
                            const char *levels, const char *folder, gint64 began, GError **error)
{
  g_autoptr (FaintFilesFolder) files = faint_files_folder_begin (folder, error);
  double seconds;

  if (files == NULL)
    return FALSE;
  seconds = (double)(g_get_monotonic_time () - began) / G_USEC_PER_SEC;
  return write_text (files, "lines.csv", labelled_csv (assignment, file, levels, error), error)
         && write_text (files, "assignment.csv", faint_assignment_lines_csv (assignment), error)
         && write_text (files, "constants.csv", faint_assignment_constants_csv (assignment), error)
         && write_text (files, "predictions.csv", faint_assignment_predictions_csv (assignment),
                        error)
         && write_text (files, "summary.json", faint_assignment_summary_json (assignment, seconds),
                        error)
         && faint_progress_step (faint_terminal_progress (), 1.0, "writing", error)
         && faint_files_folder_commit (files, error);
}

static void
print_constants (const FaintBand *band)
{
  for (guint i = 0; i < band->constants->len; i++)
    {
      const FaintBandConstant *it = &g_array_index (band->constants, FaintBandConstant, i);
      g_autofree char *text = faint_format_concise (it->value, it->u);

      printf ("  %-12s %s cm-1\n", it->name, text);
    }
}

static void
print_band (const FaintAssignment *assignment, guint index)
{
  const FaintAssignedBand *it = &g_array_index (assignment->bands, FaintAssignedBand, index);
  const FaintIntensities *strengths = &it->intensities;

  printf ("\nBand %u%s%s: %u lines, %" G_GSIZE_FORMAT " fitted, reduced chi-square %.3g.\n",
          index + 1, *it->name ? " to " : "", it->name, it->n_lines, it->band->fit->n_kept,
          it->band->fit->chi2_reduced);
  print_constants (it->band);
  if (it->lower != NULL)
    {
      printf ("  from combination differences alone:\n");
      print_constants (it->lower);
    }
  if (isfinite (strengths->band_strength))
    {
      g_autofree char *text
          = faint_format_concise (strengths->band_strength, strengths->u_band_strength);

      printf ("  sum of strengths at %g K: %s cm/molecule\n",
              assignment->options.search.temperature, text);
    }
}

int
faint_assign_results_print (const FaintAssignment *assignment, const char *folder)
{
  gboolean doubtful = faint_warnings_has (assignment->warnings, "nothing-assigned")
                      || faint_warnings_has (assignment->warnings, "undecided")
                      || faint_warnings_has (assignment->warnings, "contradicted");

  printf ("%u of %" G_GSIZE_FORMAT " lines assigned in %u bands", assignment->lines->len,
          assignment->n_observed, assignment->bands->len);
  if (isfinite (assignment->chance))
    printf ("; %u combination differences, %.3g expected by chance", assignment->n_candidates,
            assignment->chance);
  printf (".\n");
  for (guint i = 0; i < assignment->bands->len; i++)
    print_band (assignment, i);
  printf ("\nResults in %s\n", folder);
  faint_say_warnings (assignment->warnings);
  return doubtful ? FAINT_EXIT_NOT_CONVERGED : FAINT_EXIT_DONE;
}
