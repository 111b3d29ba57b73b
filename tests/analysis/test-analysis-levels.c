/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Levels of the lower state in an analysis and its file: kept, told of when they changed or are
 * gone, refused where the file does not say what it must.
 */
#include "faint/analysis/analysis-levels.h"
#include "scene.h"

#include <glib/gstdio.h>
#include <string.h>

#define LEVELS "# molecule = linear\n# B = 0.4 cm-1\n# J_max = 5\n"

typedef struct
{
  char *folder, *table, *levels, *path;
} Fixture;

static void
set_up (Fixture *self, gconstpointer data)
{
  g_autofree char *text = table_text (TABLE_HEAD, 0, 1, 1e-3, 1);

  self->folder = faint_test_folder_new ();
  self->table = faint_test_file (self->folder, "run.comb", text);
  self->levels = faint_test_file (self->folder, "lower.constants", LEVELS);
  self->path = g_build_filename (self->folder, "run.faintline", NULL);
}

static void
tear_down (Fixture *self, gconstpointer data)
{
  faint_test_folder_remove (self->folder);
  g_free (self->table);
  g_free (self->levels);
  g_free (self->path);
}

/* The analysis of the fixture's spectrum with its levels, saved. */
static void
save (const Fixture *self, const char *free_constants)
{
  g_autoptr (GError) error = NULL;
  const char *paths[] = { self->table };
  g_autoptr (FaintAnalysis) analysis = faint_analysis_new (paths, 1, NULL, NULL, &error);
  g_auto (FaintAnalysisLevels) levels = { NULL };
  g_autoptr (FaintAnalysis) with = NULL;

  g_assert_no_error (error);
  g_assert_null (faint_analysis_get_levels (analysis)->levels);
  faint_analysis_levels_read (&levels, self->levels, &error);
  g_assert_no_error (error);
  levels.free_constants = g_strdup (free_constants);
  with = faint_analysis_with_levels (analysis, &levels);
  g_assert_null (faint_analysis_get_levels (analysis)->levels); /* a snapshot is constant */
  faint_analysis_save (with, self->path, &error);
  g_assert_no_error (error);
}

static FaintAnalysis *
load (const Fixture *self)
{
  g_autoptr (GError) error = NULL;
  FaintAnalysis *analysis = faint_analysis_load (self->path, NULL, &error);

  g_assert_no_error (error);
  return analysis;
}

static void
test_kept (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) analysis = NULL;
  const FaintAnalysisLevels *levels;
  g_autofree char *text = NULL;

  save (self, "origin,B,lower B");
  g_assert_true (g_file_get_contents (self->path, &text, NULL, NULL));
  g_assert_nonnull (strstr (text, "levels=lower.constants\n"));
  analysis = load (self);
  levels = faint_analysis_get_levels (analysis);
  g_assert_cmpstr (levels->path, ==, self->levels);
  g_assert_cmpstr (levels->free_constants, ==, "origin,B,lower B");
  g_assert_cmpuint (faint_levels_get_n (levels->levels), ==, 6); /* J = 0 to 5 */
  g_assert_cmpuint (faint_analysis_get_warnings (analysis)->len, ==, 0);
}

/* A file that is gone leaves a warning, and its place is saved again. */
static void
test_gone (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) analysis = NULL, again = NULL;
  g_autoptr (GError) error = NULL;

  save (self, NULL);
  g_remove (self->levels);
  analysis = load (self);
  g_assert_null (faint_analysis_get_levels (analysis)->levels);
  g_assert_cmpstr (faint_analysis_get_levels (analysis)->path, ==, self->levels);
  g_assert_true (faint_warnings_has (faint_analysis_get_warnings (analysis), "levels-missing"));
  faint_analysis_save (analysis, self->path, &error);
  g_assert_no_error (error);
  g_free (faint_test_file (self->folder, "lower.constants", LEVELS));
  again = load (self);
  g_assert_nonnull (faint_analysis_get_levels (again)->levels);
  g_assert_cmpuint (faint_analysis_get_warnings (again)->len, ==, 0);
}

static void
test_changed (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) analysis = NULL;

  save (self, NULL);
  g_free (faint_test_file (self->folder, "lower.constants",
                           "# molecule = linear\n# B = 0.5 cm-1\n# J_max = 7\n"));
  analysis = load (self);
  g_assert_true (faint_warnings_has (faint_analysis_get_warnings (analysis), "levels-changed"));
  g_assert_cmpuint (faint_levels_get_n (faint_analysis_get_levels (analysis)->levels), ==, 8);
}

/* The record of changes names the file and its checksum. */
static void
test_told (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) with = NULL, without = NULL;
  g_auto (FaintAnalysisLevels) none = { NULL };
  const FaintAnalysisLevels *levels;
  g_autofree char *text = NULL, *expected = NULL;

  save (self, "origin,B");
  with = load (self);
  levels = faint_analysis_get_levels (with);
  without = faint_analysis_with_levels (with, &none);
  text = faint_analysis_describe_change (without, without, with);
  expected = g_strdup_printf ("levels of the lower state set from nothing to lower.constants "
                              "(sha256 %.12s); free constants of the bands set from the usual to "
                              "origin,B",
                              levels->sha256);
  g_assert_cmpstr (text, ==, expected);
}

static void
test_refused (Fixture *self, gconstpointer data)
{
  g_autofree char *text = NULL, *wrong = NULL;
  g_auto (GStrv) parts = NULL;
  g_autoptr (GError) error = NULL;
  g_auto (FaintAnalysisLevels) levels = { NULL };
  g_autofree char *none = g_build_filename (self->folder, "none.constants", NULL);

  save (self, "origin,B");
  g_assert_true (g_file_get_contents (self->path, &text, NULL, NULL));
  parts = g_strsplit (text, "free=origin,B", 2);
  wrong = g_strjoinv ("free=origin,Z", parts);
  g_assert_true (g_file_set_contents (self->path, wrong, -1, NULL));
  g_assert_null (faint_analysis_load (self->path, NULL, &error));
  g_assert_error (error, FAINT_ANALYSIS_ERROR, FAINT_ANALYSIS_ERROR_SYNTAX);
  g_assert_nonnull (strstr (error->message, "[assignment] free: 'Z'"));
  g_clear_error (&error);
  g_assert_false (faint_analysis_levels_read (&levels, none, &error));
  g_assert_nonnull (error);
  g_assert_null (levels.levels);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/analysis/levels/kept", Fixture, NULL, set_up, test_kept, tear_down);
  g_test_add ("/analysis/levels/gone", Fixture, NULL, set_up, test_gone, tear_down);
  g_test_add ("/analysis/levels/changed", Fixture, NULL, set_up, test_changed, tear_down);
  g_test_add ("/analysis/levels/told", Fixture, NULL, set_up, test_told, tear_down);
  g_test_add ("/analysis/levels/refused", Fixture, NULL, set_up, test_refused, tear_down);
  return g_test_run ();
}
