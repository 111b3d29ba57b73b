/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The claimed list of a review in an analysis and its file: kept with how it was held, told of when
 * it changed or is gone, refused where the file does not say what it must.
 */
#include "faint/analysis/analysis-claims.h"
#include "faint/base/text.h"
#include "scene.h"

#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#define LIST "position/cm-1\n7790\n"

typedef struct
{
  char *folder, *table, *list, *path;
} Fixture;

static void
set_up (Fixture *self, gconstpointer data)
{
  g_autofree char *text = table_text (TABLE_HEAD, 0, 1, 1e-3, 1);

  self->folder = faint_test_folder_new ();
  self->table = faint_test_file (self->folder, "run.comb", text);
  self->list = faint_test_file (self->folder, "claims.csv", LIST);
  self->path = g_build_filename (self->folder, "run.faintline", NULL);
}

static void
tear_down (Fixture *self, gconstpointer data)
{
  faint_test_folder_remove (self->folder);
  g_free (self->table);
  g_free (self->list);
  g_free (self->path);
}

static void
save (const Fixture *self)
{
  g_autoptr (GError) error = NULL;
  const char *paths[] = { self->table };
  g_autoptr (FaintAnalysis) analysis = faint_analysis_new (paths, 1, NULL, NULL, &error);
  g_autoptr (FaintText) text = faint_text_read (self->list, &error);
  g_auto (FaintAnalysisClaims) claims = { .path = g_strdup (self->list),
                                          .confidence = 0.99,
                                          .coverage = 2.5,
                                          .partial = TRUE,
                                          .temperature = 296.0,
                                          .pressure = NAN };
  g_autoptr (FaintAnalysis) with = NULL;

  g_assert_no_error (error);
  g_strlcpy (claims.sha256, text->sha256, sizeof claims.sha256);
  with = faint_analysis_with_claims (analysis, &claims);
  g_assert_null (faint_analysis_get_claims (analysis)->path); /* a snapshot is constant */
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
  const FaintAnalysisClaims *claims;
  g_autofree char *text = NULL;

  save (self);
  g_assert_true (g_file_get_contents (self->path, &text, NULL, NULL));
  g_assert_nonnull (strstr (text, "claimed=claims.csv\n"));
  analysis = load (self);
  claims = faint_analysis_get_claims (analysis);
  g_assert_cmpstr (claims->path, ==, self->list);
  g_assert_cmpfloat (claims->confidence, ==, 0.99);
  g_assert_cmpfloat (claims->coverage, ==, 2.5);
  g_assert_cmpfloat (claims->temperature, ==, 296.0);
  g_assert_true (isnan (claims->pressure));
  g_assert_true (claims->partial);
  g_assert_false (claims->changed);
  g_assert_cmpuint (faint_analysis_get_warnings (analysis)->len, ==, 0);
}

static void
test_gone (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) analysis = NULL;

  save (self);
  g_remove (self->list);
  analysis = load (self);
  g_assert_cmpstr (faint_analysis_get_claims (analysis)->path, ==, self->list);
  g_assert_true (faint_analysis_get_claims (analysis)->changed);
  g_assert_true (faint_warnings_has (faint_analysis_get_warnings (analysis), "claims-missing"));
}

/* The hash stays that of what was reviewed, so that the next opening tells it again. */
static void
test_changed (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) analysis = NULL, again = NULL;
  g_autoptr (GError) error = NULL;

  save (self);
  g_free (faint_test_file (self->folder, "claims.csv", LIST "7791\n"));
  analysis = load (self);
  g_assert_true (faint_warnings_has (faint_analysis_get_warnings (analysis), "claims-changed"));
  faint_analysis_save (analysis, self->path, &error);
  g_assert_no_error (error);
  again = load (self);
  g_assert_true (faint_warnings_has (faint_analysis_get_warnings (again), "claims-changed"));
}

static void
test_told (Fixture *self, gconstpointer data)
{
  g_autoptr (FaintAnalysis) with = NULL, without = NULL;
  g_auto (FaintAnalysisClaims) none = { NULL };
  g_autofree char *text = NULL;

  save (self);
  with = load (self);
  without = faint_analysis_with_claims (with, &none);
  text = faint_analysis_describe_change (without, without, with);
  g_assert_true (g_str_has_prefix (text, "claimed list set from nothing to claims.csv (sha256 "));
}

static void
test_refused (Fixture *self, gconstpointer data)
{
  g_autofree char *text = NULL, *wrong = NULL;
  g_auto (GStrv) parts = NULL;
  g_autoptr (GError) error = NULL;

  save (self);
  g_assert_true (g_file_get_contents (self->path, &text, NULL, NULL));
  parts = g_strsplit (text, "confidence=0.99", 2);
  wrong = g_strjoinv ("confidence=7", parts);
  g_assert_true (g_file_set_contents (self->path, wrong, -1, NULL));
  g_assert_null (faint_analysis_load (self->path, NULL, &error));
  g_assert_error (error, FAINT_ANALYSIS_ERROR, FAINT_ANALYSIS_ERROR_SYNTAX);
  g_assert_nonnull (strstr (error->message, "[review] confidence: 7; expected 0.5 to 0.999999"));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, test) g_test_add (name, Fixture, NULL, set_up, test, tear_down)
  ADD ("/analysis-claims/kept", test_kept);
  ADD ("/analysis-claims/gone", test_gone);
  ADD ("/analysis-claims/changed", test_changed);
  ADD ("/analysis-claims/told", test_told);
  ADD ("/analysis-claims/refused", test_refused);
  return g_test_run ();
}
