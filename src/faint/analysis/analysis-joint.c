/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A series in the file: its groups' names, and its last result as a whole.
 */
#include <stddef.h>
#include <string.h>

#include "faint/analysis/analysis-file.h"

#define GROUP "joint"

static const struct
{
  const char *key;
  gsize offset;
} numbers[] = {
  { "distance", offsetof (FaintAnalysisResult, distance) },
  { "chi2", offsetof (FaintAnalysisResult, chi2) },
  { "dof", offsetof (FaintAnalysisResult, dof) },
  { "chi2_reduced", offsetof (FaintAnalysisResult, chi2_reduced) },
};

#define ENERGY "lower_energy"
#define NUMBER(result, i) ((double *)(void *)((char *)(result) + numbers[i].offset))

char *
faint_analysis_file_prefix (gsize part)
{
  return part == 0 ? g_strdup ("") : g_strdup_printf ("spectrum %" G_GSIZE_FORMAT " ", part + 1);
}

gsize
faint_analysis_file_prefix_of (const char *group)
{
  static const char word[] = "spectrum ";
  gsize length = strlen (word), digits;

  if (!g_str_has_prefix (group, word))
    return 0;
  digits = strspn (group + length, "0123456789");
  return digits > 0 && group[length + digits] == ' ' ? length + digits + 1 : 0;
}

gboolean
faint_analysis_is_joint_key (const char *key)
{
  for (gsize i = 0; i < G_N_ELEMENTS (numbers); i++)
    if (strcmp (numbers[i].key, key) == 0)
      return TRUE;
  return strcmp (key, "verdict") == 0 || strcmp (key, "iterations") == 0
         || strcmp (key, "determined") == 0 || g_str_has_prefix (key, "warning ");
}

void
faint_analysis_file_set_joint (FaintAnalysisFile *file, const FaintAnalysisResult *result,
                               const GPtrArray *warnings)
{
  FaintAnalysisResult copy = *result;
  g_autoptr (GString) determined = g_string_new (NULL);

  g_key_file_set_string (file->keys, GROUP, "verdict", faint_verdict_name (result->verdict));
  faint_analysis_file_set_count (file, GROUP, "iterations", result->iterations);
  for (gsize i = 0; i < G_N_ELEMENTS (numbers); i++)
    faint_analysis_file_set_number (file, GROUP, numbers[i].key, *NUMBER (&copy, i));
  for (guint k = 0; k < FAINT_COEFFICIENT_N; k++)
    if (result->determined[k])
      g_string_append_printf (determined, "%s ", faint_coefficient_name ((FaintCoefficient)k));
  g_string_append (determined, result->energies ? ENERGY : "");
  g_key_file_set_string (file->keys, GROUP, "determined", g_strchomp (determined->str));
  faint_analysis_file_set_warnings (file, GROUP, warnings);
}

/* Words that this version does not know are of a newer one. */
static void
take_determined (const char *text, FaintAnalysisResult *result)
{
  g_auto (GStrv) words = g_strsplit (text, " ", -1);

  for (guint k = 0; k < FAINT_COEFFICIENT_N; k++)
    result->determined[k] = g_strv_contains ((const char *const *)words,
                                             faint_coefficient_name ((FaintCoefficient)k));
  result->energies = g_strv_contains ((const char *const *)words, ENERGY);
}

gboolean
faint_analysis_file_joint (const FaintAnalysisFile *file, FaintAnalysisResult *result,
                           GPtrArray *warnings, gboolean *found, GError **error)
{
  g_autofree char *determined = NULL;
  guint64 iterations;

  *found = g_key_file_has_key (file->keys, GROUP, "verdict", NULL);
  if (!*found)
    return TRUE;
  determined = faint_analysis_file_text (file, GROUP, "determined", error);
  if (determined == NULL || !faint_analysis_file_verdict (file, GROUP, &result->verdict, error)
      || !faint_analysis_file_count (file, GROUP, "iterations", &iterations, error))
    return FALSE;
  result->iterations = (guint)MIN (iterations, G_MAXUINT);
  for (gsize i = 0; i < G_N_ELEMENTS (numbers); i++)
    if (!faint_analysis_file_number (file, GROUP, numbers[i].key, NUMBER (result, i), error))
      return FALSE;
  take_determined (determined, result);
  return faint_analysis_file_warnings (file, GROUP, warnings, error);
}
