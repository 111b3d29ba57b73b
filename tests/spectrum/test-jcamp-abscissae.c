/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * JCAMP-DX: the abscissae of the lines of a table, as honest files round them and as damaged ones
 * have them.
 */
#include <math.h>
#include <string.h>

#include "faint-test.h"
#include "jcamp-encoder.h"

/* Honest files: abscissae of few digits, rounded or cut off, as multiples of a factor, within a
 * frame that is itself rounded, and of either habit where an ordinate is repeated. */
static void
test_rounded_abscissae (void)
{
  static const JcampAbscissae ways[] = {
    { 1.0, 4, 6, FALSE, FALSE },       { 1.0, 3, 6, FALSE, FALSE },
    { 1.0, 2, 6, FALSE, FALSE },       { 1.0, 1, 6, FALSE, FALSE },
    { 1.0, 0, 6, FALSE, FALSE },       { 1.0, 4, 6, TRUE, FALSE },
    { 1.0, 3, 6, TRUE, FALSE },        { 1.0, 6, 6, FALSE, TRUE },
    { 1.0, 2, 6, FALSE, TRUE },        { JCAMP_STEP, 0, 6, FALSE, FALSE },
    { JCAMP_STEP, 2, 6, FALSE, TRUE }, { 0.001, 0, 6, FALSE, FALSE },
    { 0.0312, 1, 6, FALSE, FALSE },    { 1.0, 6, 3, FALSE, FALSE },
    { 1.0, 3, 2, FALSE, FALSE },
  };
  gint64 y[JCAMP_N];

  jcamp_fill_ordinates (y);
  for (gsize i = 0; i < G_N_ELEMENTS (ways); i++)
    for (JcampForm form = JCAMP_AFFN; form < JCAMP_N_FORMS; form++)
      {
        g_autofree char *text = jcamp_encode_as (form, y, &ways[i]);
        g_autoptr (GError) error = NULL;
        g_autoptr (FaintSpectrum) spectrum = jcamp_read (text, NULL, &error);

        g_test_message ("way %" G_GSIZE_FORMAT ", %s", i, jcamp_form_names[form]);
        g_assert_no_error (error);
        g_assert_cmpuint (spectrum->n, ==, JCAMP_N);
        for (int k = 0; k < JCAMP_N; k++)
          faint_assert_near (spectrum->wavenumber[k], JCAMP_FIRST_X + k * JCAMP_STEP,
                             0.5 * pow (10.0, -ways[i].frame) + 1e-9, "rounding of the frame");
      }
}

/* A line that begins a step or less beside its place is told with its number, whatever its digits,
 * as long as they can tell. */
static void
test_wrong_abscissae (void)
{
  static const struct
  {
    JcampAbscissae how;
    double off; /* steps */
  } cases[] = {
    { { 1.0, 6, 6, FALSE, FALSE }, 1.0 },        { { 1.0, 6, 6, FALSE, FALSE }, -1.0 },
    { { 1.0, 6, 6, FALSE, FALSE }, 0.01 },       { { 1.0, 4, 6, FALSE, FALSE }, 0.02 },
    { { 1.0, 3, 6, FALSE, FALSE }, 0.5 },        { { 1.0, 3, 6, TRUE, FALSE }, -1.0 },
    { { JCAMP_STEP, 0, 6, FALSE, FALSE }, 1.0 }, { { JCAMP_STEP, 0, 6, FALSE, FALSE }, -1.0 },
    { { 0.001, 0, 6, FALSE, FALSE }, 1.0 },      { { 1.0, 6, 0, FALSE, FALSE }, 1.0 },
  };
  gint64 y[JCAMP_N];

  jcamp_fill_ordinates (y);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    for (JcampForm form = JCAMP_AFFN; form < JCAMP_N_FORMS; form++)
      {
        const JcampAbscissae *how = &cases[i].how;
        /* the first point of the fourth line */
        double x = JCAMP_FIRST_X + (form >= JCAMP_DIF ? 29 : 30) * JCAMP_STEP;
        g_autofree char *text = jcamp_encode_as (form, y, how);
        g_autofree char *right = g_strdup_printf ("\n%.*f", how->decimals, jcamp_written (how, x));
        g_autofree char *wrong = g_strdup_printf (
            "\n%.*f", how->decimals, jcamp_written (how, x + cases[i].off * JCAMP_STEP));
        g_auto (GStrv) parts = g_strsplit (text, right, 2);
        g_autofree char *bad = g_strjoinv (wrong, parts);
        g_autofree char *where = NULL;
        g_autoptr (GError) error = NULL;
        g_autoptr (FaintSpectrum) spectrum = NULL, all_the_same = NULL;
        guint line = 2;

        g_test_message ("case %" G_GSIZE_FORMAT ", %s: %s", i, jcamp_form_names[form], wrong + 1);
        g_assert_cmpuint (g_strv_length (parts), ==, 2);
        g_assert_cmpstr (right, !=, wrong);
        for (const char *p = parts[0]; *p != '\0'; p++)
          line += *p == '\n';
        where = g_strdup_printf ("line %u:", line);
        spectrum = jcamp_read (bad, NULL, &error);
        g_assert_null (spectrum);
        g_test_message ("%s", error->message);
        if (how->frame > 0) /* else the first line is the wrong one */
          g_assert_nonnull (strstr (error->message, where));
        g_assert_nonnull (strstr (error->message, "points are missing or surplus"));
        g_assert_nonnull (strstr (error->message, "have it read unchecked"));
        g_clear_error (&error);
        all_the_same = jcamp_read (bad, "unchecked", &error);
        g_assert_no_error (error);
        g_assert_true (faint_warnings_has (all_the_same->warnings, "check-failed"));
      }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/spectrum/jcamp-abscissae/rounded", test_rounded_abscissae);
  g_test_add_func ("/spectrum/jcamp-abscissae/wrong", test_wrong_abscissae);
  return g_test_run ();
}
