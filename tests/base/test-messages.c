/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Progress and warnings: what work says while it runs and when it is done.
 */
#include "faint/base/progress.h"
#include "faint/base/warnings.h"
#include "faint-test.h"

typedef struct
{
  double fraction;
  const char *step;
  gboolean stop;
} Seen;

static void
report (double fraction, const char *step, gpointer data)
{
  Seen *seen = data;

  seen->fraction = fraction;
  seen->step = step;
}

static gboolean
is_cancelled (gpointer data)
{
  return ((Seen *)data)->stop;
}

static void
test_progress (void)
{
  Seen seen = { 0 };
  FaintProgress progress = { report, is_cancelled, &seen };
  FaintProgress silent = { NULL, NULL, NULL };
  g_autoptr (GError) error = NULL;

  g_assert_true (faint_progress_step (NULL, 0.5, "read", &error));
  g_assert_true (faint_progress_step (&silent, 0.5, "read", &error));
  g_assert_true (faint_progress_step (&progress, 0.25, "read", &error));
  g_assert_cmpfloat (seen.fraction, ==, 0.25);
  g_assert_cmpstr (seen.step, ==, "read");
  seen.stop = TRUE;
  g_assert_false (faint_progress_step (&progress, 0.75, "fit", &error));
  g_assert_error (error, FAINT_PROGRESS_ERROR, FAINT_PROGRESS_ERROR_CANCELLED);
  g_assert_cmpfloat (seen.fraction, ==, 0.75);
}

static void
test_warnings (void)
{
  g_autoptr (GPtrArray) warnings = faint_warnings_new ();
  g_autoptr (GPtrArray) copy = NULL, empty = faint_warnings_copy (NULL);
  const FaintWarning *warning;

  faint_warnings_add (warnings, "gap", "%d teeth are missing.", 3);
  copy = faint_warnings_copy (warnings);
  faint_warnings_add (warnings, "extra-column", "A column is ignored.");
  faint_warnings_extend (copy, warnings);
  faint_warnings_extend (copy, NULL);
  g_assert_cmpuint (empty->len, ==, 0);
  g_assert_cmpuint (copy->len, ==, 3);
  warning = g_ptr_array_index (copy, 0);
  g_assert_cmpstr (warning->code, ==, "gap");
  g_assert_cmpstr (warning->text, ==, "3 teeth are missing.");
  g_assert_true (faint_warnings_has (copy, "extra-column"));
  g_assert_false (faint_warnings_has (copy, "gaps"));
  g_assert_false (faint_warnings_has (NULL, "gap"));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/messages/progress", test_progress);
  g_test_add_func ("/messages/warnings", test_warnings);
  return g_test_run ();
}
