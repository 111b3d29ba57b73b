/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The record of changes: what differs, in words; what goes into the file and comes back.
 */
#include "faint/analysis/analysis.h"

#include "scene.h"

typedef struct
{
  char *folder, *path;
  FaintAnalysis *analysis; /* two lines, ids 1 and 2 */
} Fixture;

static void
set_up (Fixture *self, gconstpointer data)
{
  g_autofree char *text = table_text (TABLE_HEAD, 0, 1, 1e-3, 1);
  g_autofree char *table = NULL;
  g_autoptr (FaintAnalysis) empty = NULL;
  g_autoptr (FaintLineList) lines = NULL;
  FaintLine line[2] = { faint_line_unknown (), faint_line_unknown () };

  self->folder = faint_test_folder_new ();
  table = faint_test_file (self->folder, "run.comb", text);
  self->path = g_build_filename (self->folder, "run.faintline", NULL);
  empty = faint_analysis_new ((const char *const[]){ table }, 1, NULL, NULL, NULL);
  g_assert_nonnull (empty);
  for (guint i = 0; i < 2; i++)
    {
      line[i].id = i + 1;
      line[i].position.value = 7790.25 + 0.5 * i;
      line[i].strength.value = 1e-25;
      line[i].lorentz.value = 0.002;
    }
  lines = faint_line_list_new (line, 2);
  self->analysis = faint_analysis_with_lines (empty, lines);
}

static void
tear_down (Fixture *self, gconstpointer data)
{
  faint_analysis_unref (self->analysis);
  faint_test_folder_remove (self->folder);
  g_free (self->path);
}

static FaintAnalysis *
with_line (const FaintAnalysis *analysis, const FaintLine *line)
{
  g_autoptr (FaintLineList) lines
      = faint_line_list_with_replaced (faint_analysis_get_lines (analysis), line);

  return faint_analysis_with_lines (analysis, lines);
}

static void
assert_change (const FaintAnalysis *origin, const FaintAnalysis *before, const FaintAnalysis *after,
               const char *want)
{
  g_autofree char *text = faint_analysis_describe_change (origin, before, after);
  g_assert_cmpstr (text, ==, want);
}

static FaintLine
line_of (const FaintAnalysis *analysis, guint id)
{
  return *faint_line_list_find (faint_analysis_get_lines (analysis), id);
}

static void
test_words (Fixture *self, gconstpointer data)
{
  FaintLine line = line_of (self->analysis, 1);
  g_autoptr (FaintAnalysis) moved = NULL, further = NULL, fixed = NULL, assigned = NULL;
  guint gone = 2;
  g_autoptr (FaintLineList) fewer
      = faint_line_list_with_removed (faint_analysis_get_lines (self->analysis), &gone, 1);
  g_autoptr (FaintAnalysis) removed = faint_analysis_with_lines (self->analysis, fewer);

  assert_change (self->analysis, self->analysis, self->analysis, "");
  line.position.value = 7790.26;
  moved = with_line (self->analysis, &line);
  assert_change (self->analysis, self->analysis, moved,
                 "line 1 at 7790.2500 cm-1 moved from 7790.25 to 7790.26 cm-1");
  /* two small steps that count as one tell where it began */
  line.position.value = 7790.27;
  further = with_line (moved, &line);
  assert_change (self->analysis, moved, further,
                 "line 1 at 7790.2500 cm-1 moved from 7790.25 to 7790.27 cm-1");
  line = line_of (self->analysis, 1);
  line.lorentz.value = 0.003;
  line.lorentz.state = FAINT_STATE_FIXED;
  fixed = with_line (self->analysis, &line);
  assert_change (self->analysis, self->analysis, fixed,
                 "Lorentz width of line 1 at 7790.2500 cm-1 fixed at 0.003 cm-1");
  assert_change (fixed, fixed, self->analysis,
                 "Lorentz width of line 1 at 7790.2500 cm-1 set free");
  line = line_of (self->analysis, 1);
  line.upper = "v3 J=11";
  line.lower = "J=12";
  assigned = with_line (self->analysis, &line);
  assert_change (self->analysis, self->analysis, assigned,
                 "line 1 at 7790.2500 cm-1 assigned as 'v3 J=11' from 'J=12'");
  assert_change (self->analysis, self->analysis, removed, "line 2 at 7790.7500 cm-1 removed");
  assert_change (removed, removed, self->analysis, "line 2 at 7790.7500 cm-1 added");
}

static void
test_conditions (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintSetup) setup = faint_setup_copy (faint_analysis_get_setup (self->analysis));
  g_autoptr (FaintAnalysis) changed = NULL, other = NULL;
  FaintFitOptions options = *faint_analysis_get_options (self->analysis);

  g_assert_true (faint_setup_set (setup, "pressure", "2.6 hPa", NULL, NULL));
  changed = faint_analysis_with_setup (self->analysis, setup, NULL);
  g_assert_nonnull (changed);
  options.threshold = 7.0;
  other = faint_analysis_with_options (changed, &options);
  assert_change (self->analysis, self->analysis, other,
                 "pressure set from 2.5 hPa to 2.6 hPa; threshold set from 5 to 7");
}

/* What a list in the place of another changes is counted. */
static void
test_many (Fixture *self, gconstpointer data)
{
  FaintLine line[20];
  g_autoptr (FaintLineList) lines = NULL;
  g_autoptr (FaintAnalysis) after = NULL;
  g_autofree char *text = NULL;

  for (guint i = 0; i < 20; i++)
    {
      line[i] = faint_line_unknown ();
      line[i].id = 100 + i;
      line[i].position.value = 7790.0 + 0.05 * i;
    }
  lines = faint_line_list_new (line, 20);
  after = faint_analysis_with_lines (self->analysis, lines);
  text = faint_analysis_describe_change (self->analysis, self->analysis, after);
  g_assert_true (g_str_has_suffix (text, "; and 16 more")); /* 2 removed, 20 added, 6 told */
}

static void
test_file (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) one = faint_analysis_with_change (
      self->analysis, self->analysis, "2026-05-17T09:30:00Z", "first; with a \"sign\"\nand a line");
  g_autoptr (FaintAnalysis) two = faint_analysis_with_change (one, one, NULL, "second");
  g_autoptr (FaintAnalysis) instead = faint_analysis_with_change (two, self->analysis, "", "other");
  g_autoptr (FaintAnalysis) none = faint_analysis_with_change (two, two, "", "");
  g_autoptr (FaintAnalysis) back = NULL;

  g_assert_cmpuint (faint_analysis_count_changes (self->analysis), ==, 0);
  g_assert_cmpuint (faint_analysis_count_changes (two), ==, 2);
  g_assert_cmpuint (faint_analysis_count_changes (instead), ==, 1);
  g_assert_cmpuint (faint_analysis_count_changes (none), ==, 2);
  g_assert_true (faint_analysis_save (two, self->path, NULL));
  back = faint_analysis_load (self->path, NULL, NULL);
  g_assert_nonnull (back);
  g_assert_cmpuint (faint_analysis_count_changes (back), ==, 2);
  for (guint i = 0; i < 2; i++)
    {
      g_assert_cmpstr (faint_analysis_get_change (back, i)->time, ==,
                       faint_analysis_get_change (two, i)->time);
      g_assert_cmpstr (faint_analysis_get_change (back, i)->text, ==,
                       faint_analysis_get_change (two, i)->text);
    }
}

#define ADD(name, function)                                                                        \
  g_test_add ("/analysis/change/" name, Fixture, NULL, set_up, function, tear_down)

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  ADD ("words", test_words);
  ADD ("conditions", test_conditions);
  ADD ("many", test_many);
  ADD ("file", test_file);
  return g_test_run ();
}
