/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Runs the headless fit over spectra made by the independent forward model and holds the line lists
 * against the truth. Usage: truth PROGRAM quick|long|self [FOLDER]; with FOLDER the files stay.
 */
#include "judge.h"

#include "faint-test.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

static const TruthCase quick_cases[] = {
  { "power", TRUTH_POWER, TRUTH_COLUMNS_SIGNAL, 80, 3e-4, 0.0, 0.1, 0.4, 11 },
  { "field", TRUTH_FIELD, TRUTH_COLUMNS_TRANSMISSION_U, 80, 5e-4, 0.0, 0.1, 0.4, 12 },
  { "swept", TRUTH_SWEPT, TRUTH_COLUMNS_TRANSMISSION, 80, 5e-4, 0.0, 0.1, 0.4, 13 },
  { "detuned", TRUTH_POWER, TRUTH_COLUMNS_TRANSMISSION_U, 80, 5e-4, 0.25, 0.1, 0.4, 14 },
  { "blank", TRUTH_POWER, TRUTH_COLUMNS_TRANSMISSION, 0, 5e-4, 0.0, 0.1, 0.4, 15 },
};

static const TruthCase long_cases[] = {
  { "power-80", TRUTH_POWER, TRUTH_COLUMNS_SIGNAL, 80, 3e-4, 0.0, 0.1, 0.4, 101 },
  { "power-200", TRUTH_POWER, TRUTH_COLUMNS_TRANSMISSION, 200, 3e-4, 0.0, 0.1, 0.4, 102 },
  { "power-400", TRUTH_POWER, TRUTH_COLUMNS_TRANSMISSION_U, 400, 3e-4, 0.0, 0.1, 0.4, 103 },
  { "power-400-noisy", TRUTH_POWER, TRUTH_COLUMNS_TRANSMISSION_U, 400, 1e-3, 0.0, 0.1, 0.4, 104 },
  { "power-narrow", TRUTH_POWER, TRUTH_COLUMNS_TRANSMISSION_U, 200, 5e-4, 0.0, 0.0, 0.1, 105 },
  { "amplitude-200", TRUTH_AMPLITUDE, TRUTH_COLUMNS_TRANSMISSION_U, 200, 3e-4, 0.0, 0.1, 0.4, 106 },
  { "field-200", TRUTH_FIELD, TRUTH_COLUMNS_TRANSMISSION_U, 200, 3e-4, 0.0, 0.1, 0.4, 107 },
  { "field-400-bare", TRUTH_FIELD, TRUTH_COLUMNS_TRANSMISSION, 400, 1e-3, 0.0, 0.1, 0.4, 108 },
  { "field-detuned", TRUTH_FIELD, TRUTH_COLUMNS_TRANSMISSION_U, 200, 5e-4, -0.25, 0.1, 0.4, 109 },
  { "swept-200", TRUTH_SWEPT, TRUTH_COLUMNS_TRANSMISSION_U, 200, 3e-4, 0.0, 0.1, 0.4, 110 },
  { "swept-400", TRUTH_SWEPT, TRUTH_COLUMNS_TRANSMISSION, 400, 1e-3, 0.0, 0.1, 0.4, 111 },
  { "detuned-200", TRUTH_POWER, TRUTH_COLUMNS_TRANSMISSION_U, 200, 3e-4, 0.25, 0.1, 0.4, 112 },
  { "detuned-400", TRUTH_POWER, TRUTH_COLUMNS_TRANSMISSION_U, 400, 1e-3, -0.25, 0.1, 0.4, 113 },
  { "blank-1", TRUTH_POWER, TRUTH_COLUMNS_TRANSMISSION, 0, 1e-3, 0.0, 0.1, 0.4, 114 },
  { "blank-2", TRUTH_FIELD, TRUTH_COLUMNS_TRANSMISSION_U, 0, 3e-4, 0.0, 0.1, 0.4, 115 },
  { "blank-3", TRUTH_SWEPT, TRUTH_COLUMNS_TRANSMISSION_U, 0, 5e-4, 0.0, 0.1, 0.4, 116 },
};

static int n_tests;

static gboolean
tap (const char *name, const char *complaint)
{
  printf ("%s %d - %s\n", complaint == NULL ? "ok" : "not ok", ++n_tests, name);
  if (complaint != NULL)
    printf ("# %s\n", complaint);
  fflush (stdout);
  return complaint == NULL;
}

static void
print_head (void)
{
  printf ("# %-16s %5s %5s %6s %5s %5s %6s %8s %14s %14s %7s\n", "case", "found", "of", "fitted",
          "false", "split", "strong", "bias", "position", "strength", "seconds");
}

static void
print_row (const char *name, const Judgement *self, double seconds)
{
  printf ("# %-16s %5d %5d %6d %5d %5d %6d %8.1e %6.2f %7.2f %6.2f %7.2f %7.1f\n", name,
          self->found, self->sought, self->fitted, self->false_lines, self->split, self->strong,
          self->strong_bias, pulls_mean (&self->position), pulls_width (&self->position),
          pulls_mean (&self->strength), pulls_width (&self->strength), seconds);
}

/* NULL, or what went wrong. */
static char *
run_program (const char *program, const char *comb, const char *out)
{
  const char *arguments[] = { program, "fit", comb, "--out", out, NULL };
  g_autofree char *said = NULL;
  g_autoptr (GError) error = NULL;
  int status;

  if (!g_spawn_sync (NULL, (char **)arguments, NULL, G_SPAWN_STDOUT_TO_DEV_NULL, NULL, NULL, NULL,
                     &said, &status, &error))
    return g_strdup (error->message);
  if (!g_spawn_check_wait_status (status, &error))
    return g_strdup_printf ("the fit ended with: %s. It said: %s", error->message,
                            g_strdelimit (said, "\n", ' '));
  return NULL;
}

static void
run_case (const TruthCase *what, const char *program, const char *folder, Judgement *pool)
{
  g_autoptr (Truth) truth = truth_new (what);
  g_autofree char *comb = g_strdup_printf ("%s/%s.comb", folder, what->name);
  g_autofree char *lines = g_strdup_printf ("%s/%s-truth.csv", folder, what->name);
  g_autofree char *out = g_strdup_printf ("%s/%s", folder, what->name);
  g_autofree char *list = g_strdup_printf ("%s/lines.csv", out);
  g_autofree char *complaint = NULL;
  g_autoptr (GArray) fitted = NULL;
  gint64 began;
  Judgement judgement;

  truth_write_comb (truth, comb);
  truth_write_lines (truth, lines);
  began = g_get_monotonic_time ();
  complaint = run_program (program, comb, out);
  /* A fit that did not converge fails, but its list is worth a look. */
  if (g_file_test (list, G_FILE_TEST_EXISTS))
    {
      fitted = fitted_read (list);
      judgement = judge (truth, fitted);
      print_row (what->name, &judgement,
                 (double)(g_get_monotonic_time () - began) / G_USEC_PER_SEC);
      pulls_add (&pool->position, &judgement.position);
      pulls_add (&pool->strength, &judgement.strength);
      if (complaint == NULL)
        complaint = judgement_complaint (&judgement);
    }
  tap (what->name, complaint);
}

static void
run_cases (const TruthCase *cases, gsize n, const char *program, const char *folder)
{
  Judgement pool = { 0 };
  g_autofree char *complaint = NULL;

  print_head ();
  for (gsize i = 0; i < n; i++)
    run_case (&cases[i], program, folder, &pool);
  printf ("# all pulls: position %.3f +- %.3f, strength %.3f +- %.3f (n = %d)\n",
          pulls_mean (&pool.position), pulls_width (&pool.position), pulls_mean (&pool.strength),
          pulls_width (&pool.strength), pool.position.n);
  complaint = judgement_complaint (&pool);
  tap ("pulls of all cases together", complaint);
}

/* What a perfect fit would say: truth plus normal errors of the stated uncertainty. */
static GArray *
perfect (const Truth *truth, double bias, double scatter)
{
  GArray *fitted = g_array_new (FALSE, FALSE, sizeof (FittedLine));
  guint64 state = 77;

  for (int i = 0; i < truth->n; i++)
    {
      const TruthLine *line = &truth->lines[i];
      FittedLine fit = { .u_position = 1e-3 * line->doppler, .u_strength = 5e-4 * line->strength };

      fit.position = line->position + scatter * fit.u_position * truth_normal (&state);
      fit.strength
          = (1.0 + bias) * line->strength + scatter * fit.u_strength * truth_normal (&state);
      g_array_append_val (fitted, fit);
    }
  return fitted;
}

/* Fails unless the judge complains with @words (NULL: does not complain). */
static void
expect (const char *name, const Truth *truth, const GArray *fitted, const char *words)
{
  Judgement judgement = judge (truth, fitted);
  g_autofree char *complaint = judgement_complaint (&judgement);
  gboolean right
      = words == NULL ? complaint == NULL : complaint != NULL && strstr (complaint, words) != NULL;

  tap (name, right ? NULL : complaint != NULL ? complaint : "no complaint");
}

/* The judge itself: content with the truth, and only with the truth. */
static void
run_self (void)
{
  g_autoptr (Truth) truth = truth_new (&long_cases[1]);
  g_autoptr (GArray) good = perfect (truth, 0.0, 1.0);
  g_autoptr (GArray) biased = perfect (truth, 0.004, 1.0);
  g_autoptr (GArray) modest = perfect (truth, 0.0, 0.5);
  g_autoptr (GArray) proud = perfect (truth, 0.0, 2.0);
  g_autoptr (GArray) few = perfect (truth, 0.0, 1.0);
  g_autoptr (GArray) many = perfect (truth, 0.0, 1.0);

  g_array_set_size (few, few->len - few->len / 20);
  for (int i = 0; i < 2; i++)
    {
      FittedLine extra = g_array_index (many, FittedLine, 0);
      extra.position -= 0.01 * (i + 1);
      g_array_append_val (many, extra);
    }
  expect ("the truth passes", truth, good, NULL);
  expect ("a bias of 0.4 % is found", truth, biased, "strong lines off");
  expect ("uncertainties twice too large are found", truth, modest, "width");
  expect ("uncertainties twice too small are found", truth, proud, "width");
  expect ("missing lines are found", truth, few, "isolated lines found");
  expect ("two false lines are found", truth, many, "2 false lines");
}

int
main (int argc, char **argv)
{
  char *folder = NULL;

  if (argc < 3)
    g_error ("usage: truth PROGRAM quick|long|self [FOLDER]");
  folder = argc > 3 ? argv[3] : faint_test_folder_new ();
  if (strcmp (argv[2], "self") == 0)
    run_self ();
  else if (strcmp (argv[2], "quick") == 0)
    run_cases (quick_cases, G_N_ELEMENTS (quick_cases), argv[1], folder);
  else
    run_cases (long_cases, G_N_ELEMENTS (long_cases), argv[1], folder);
  printf ("1..%d\n", n_tests);
  if (argc <= 3)
    faint_test_folder_remove (folder);
  return 0;
}
