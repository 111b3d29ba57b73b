/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a run of the fit keeps to besides finding the truth: what is held stays, what is excluded or
 * out of range has no say, the same bits come each time and on any number of threads, it can be
 * stopped, and noise alone is no line.
 */
#include "known-lines.h"

static void
test_fixed (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) fit = NULL;
  FaintFitOptions options = options_without_finding ();
  FaintLine truth[N_LINES], start[N_LINES];
  const FaintLine *line;

  make_lines (setup, truth);
  memcpy (start, truth, sizeof start);
  spectrum = synthetic_record (setup, truth, N_LINES, &quiet);
  start[1].position.state = FAINT_STATE_FIXED;
  start[2].strength.state = FAINT_STATE_FIXED;
  start[2].strength.value *= 1.01;
  start[3].lorentz.state = FAINT_STATE_FIXED;
  start[5].doppler.state = FAINT_STATE_FIXED;
  start[5].doppler.value *= 1.02;
  fit = run (spectrum, start, N_LINES, &options);
  line = faint_line_list_get (fit->lines, 1);
  g_assert_cmpfloat (line->position.value, ==, truth[1].position.value);
  g_assert_true (isnan (line->position.u) && isnan (line->position.u_noise));
  g_assert_cmpfloat (line->strength.u, >, 0.0);
  g_assert_cmpint (line->flags & FAINT_LINE_POSITION_FIXED, !=, 0);
  line = faint_line_list_get (fit->lines, 2);
  g_assert_cmpfloat (line->strength.value, ==, start[2].strength.value);
  g_assert_true (isnan (line->strength.u) && isnan (line->strength.u_noise));
  g_assert_cmpint (line->flags & FAINT_LINE_STRENGTH_FIXED, !=, 0);
  /* A strength too large is made up for by the width. */
  g_assert_cmpfloat (line->lorentz.value, >, truth[2].lorentz.value);
  line = faint_line_list_get (fit->lines, 3);
  g_assert_cmpfloat (line->lorentz.value, ==, truth[3].lorentz.value);
  g_assert_true (isnan (line->lorentz.u));
  g_assert_cmpint (line->flags & FAINT_LINE_LORENTZ_FIXED, !=, 0);
  line = faint_line_list_get (fit->lines, 5);
  g_assert_cmpfloat (line->doppler.value, ==, start[5].doppler.value);
  g_assert_true (isnan (line->doppler.u));
  g_assert_cmpint (line->flags & FAINT_LINE_DOPPLER_FIXED, !=, 0);
}

/* An excluded line stays in the list as it was and is not in the model. */
static void
test_excluded (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) fit = NULL;
  FaintFitOptions options = options_without_finding ();
  FaintLine truth[2], start[3];
  const FaintLine *line;

  truth[0] = synthetic_line (setup, synthetic_wavenumber (150.4), 0.4, 0.002);
  truth[1] = synthetic_line (setup, synthetic_wavenumber (300.4), 0.6, 0.003);
  start[0] = truth[0];
  start[1] = synthetic_line (setup, synthetic_wavenumber (220.0), 0.5, 0.002);
  start[1].flags |= FAINT_LINE_EXCLUDED;
  start[2] = truth[1];
  spectrum = synthetic_record (setup, truth, 2, &(SyntheticRecord){ .n = 450, .u = 1e-6 });
  fit = run (spectrum, start, 3, &options);
  compare_line (faint_line_list_get (fit->lines, 0), &truth[0]);
  compare_line (faint_line_list_get (fit->lines, 2), &truth[1]);
  line = faint_line_list_get (fit->lines, 1);
  g_assert_cmpint (line->flags & FAINT_LINE_EXCLUDED, !=, 0);
  g_assert_cmpfloat (line->strength.value, ==, start[1].strength.value);
  g_assert_cmpfloat (line->position.value, ==, start[1].position.value);
  g_assert_true (isnan (line->strength.u_noise));
  faint_assert_near (fit->chi2, 0.0, 1e-6, "no noise, so nothing but 3e-4 squared is left");
}

/* Teeth outside the range take no part; lines there are still in the model. */
static void
test_range (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) fit = NULL;
  FaintFitOptions options = options_without_finding ();
  FaintLine truth[N_LINES];
  double lower = synthetic_wavenumber (599.5), upper = synthetic_wavenumber (1500.5);

  make_lines (setup, truth);
  spectrum = synthetic_record (setup, truth, N_LINES, &quiet);
  options.lower = lower;
  options.upper = upper;
  fit = run (spectrum, truth, N_LINES, &options);
  g_assert_cmpint (fit->verdict, ==, FAINT_VERDICT_CONVERGED);
  g_assert_cmpuint (fit->windows[0].first, ==, 600);
  g_assert_cmpuint (fit->windows[fit->n_windows - 1].first + fit->windows[fit->n_windows - 1].n, ==,
                    1501);
  for (gsize t = 0; t < N_TEETH; t++)
    g_assert_cmpint (isnan (fit->model[t]), ==, t < 600 || t > 1500);
  for (gsize i = 0; i < N_LINES; i++)
    {
      const FaintLine *line = faint_line_list_get (fit->lines, i);
      gboolean inside = line->position.value > lower && line->position.value < upper;

      g_assert_cmpint (line->window > 0, ==, inside);
      if (inside)
        compare_line (line, &truth[i]);
      else
        g_assert_cmpfloat (line->strength.value, ==, truth[i].strength.value);
    }
}

static void
test_too_few_teeth (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  g_autoptr (FaintSpectrum) spectrum
      = synthetic_record (setup, NULL, 0, &(SyntheticRecord){ .n = 400, .u = 1e-3 });
  FaintFitOptions options = options_without_finding ();
  GError *error = NULL;

  options.lower = synthetic_wavenumber (99.5);
  options.upper = synthetic_wavenumber (104.5);
  g_assert_null (faint_fit_run (spectrum, NULL, &options, NULL, &error));
  g_assert_cmpint (error->code, ==, FAINT_FIT_ERROR_TOO_FEW_TEETH);
  faint_assert_error_says (error, FAINT_FIT_ERROR, "holds 5 teeth");
  /* The wrong way round is no range at all. */
  options.lower = synthetic_wavenumber (200.0);
  g_assert_null (faint_fit_run (spectrum, NULL, &options, NULL, &error));
  faint_assert_error_says (error, FAINT_FIT_ERROR, "holds 0 teeth");
}

static void
test_setup_missing (void)
{
  const char *const pairs[] = { "temperature", "", NULL };
  g_autoptr (FaintSetup) complete = synthetic_setup (NULL), setup = synthetic_setup (pairs);
  g_autoptr (FaintSpectrum) spectrum
      = synthetic_record (complete, NULL, 0, &(SyntheticRecord){ .n = 400, .u = 1e-3 });
  g_autoptr (FaintSpectrum) without = faint_spectrum_with_setup (spectrum, setup, NULL);
  FaintFitOptions options = options_without_finding ();
  GError *error = NULL;

  g_assert_null (faint_fit_run (without, NULL, &options, NULL, &error));
  faint_assert_error_says (error, FAINT_SETUP_ERROR, "temperature");
}

/* Noise of a fixed seed with all lines in it: what two runs must agree on to the last bit. */
static FaintSpectrum *
noisy_record (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  SyntheticRecord record = quiet;
  FaintLine truth[N_LINES];

  make_lines (setup, truth);
  record.u = record.noise = 1e-4;
  record.seed = 11;
  return synthetic_record (setup, truth, N_LINES, &record);
}

static FaintFit *
run_on (FaintSpectrum *spectrum, guint threads)
{
  FaintFitOptions options;

  faint_fit_options_init (&options);
  options.threads = threads;
  return run (spectrum, NULL, 0, &options);
}

static gpointer
run_in_thread (gpointer spectrum)
{
  return run_on (spectrum, 0);
}

static void
assert_same_bits (const FaintFit *a, const FaintFit *b)
{
  g_assert_cmpuint (faint_line_list_get_n (a->lines), ==, faint_line_list_get_n (b->lines));
  for (gsize i = 0; i < faint_line_list_get_n (a->lines); i++)
    {
      const FaintLine *x = faint_line_list_get (a->lines, i);
      const FaintLine *y = faint_line_list_get (b->lines, i);

      g_assert_cmpmem (&x->position, sizeof x->position, &y->position, sizeof y->position);
      g_assert_cmpmem (&x->strength, sizeof x->strength, &y->strength, sizeof y->strength);
      g_assert_cmpmem (&x->lorentz, sizeof x->lorentz, &y->lorentz, sizeof y->lorentz);
    }
  g_assert_cmpuint (a->n_windows, ==, b->n_windows);
  g_assert_cmpmem (a->baseline_coefficients, faint_fit_count_coefficients (a) * sizeof (double),
                   b->baseline_coefficients, faint_fit_count_coefficients (b) * sizeof (double));
  g_assert_cmpmem (a->model, N_TEETH * sizeof (double), b->model, N_TEETH * sizeof (double));
  g_assert_cmpuint (a->iterations, ==, b->iterations);
}

static void
test_same_bits (void)
{
  g_autoptr (FaintSpectrum) spectrum = noisy_record ();
  g_autoptr (FaintFit) first = run_in_thread (spectrum), second = run_in_thread (spectrum);
  GThread *threads[2];

  g_assert_cmpuint (faint_line_list_get_n (first->lines), >=, 7);
  assert_same_bits (first, second);
  for (guint n = 1; n <= 3; n++)
    {
      g_autoptr (FaintFit) fit = run_on (spectrum, n);
      assert_same_bits (first, fit);
    }
  for (int i = 0; i < 2; i++)
    threads[i] = g_thread_new ("fit", run_in_thread, spectrum);
  for (int i = 0; i < 2; i++)
    {
      g_autoptr (FaintFit) fit = g_thread_join (threads[i]);
      assert_same_bits (first, fit);
    }
}

/* A line given where there is none: the others are fitted as ever; of it the strength alone, which
 * is none within its uncertainty, and position and width are said not to be determined. */
static void
test_given_in_noise (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  g_autoptr (FaintSpectrum) spectrum = noisy_record ();
  g_autoptr (FaintFit) fit = NULL;
  FaintFitOptions options = options_without_finding ();
  FaintLine start[N_LINES + 1];
  const FaintLine *line;
  double gap = 0.0;

  make_lines (setup, start);
  start[N_LINES] = start[0];
  start[N_LINES].id = 77;
  for (int i = 1; i < N_LINES; i++)
    if (start[i].position.value - start[i - 1].position.value > gap)
      {
        gap = start[i].position.value - start[i - 1].position.value;
        start[N_LINES].position.value = start[i].position.value - 0.5 * gap;
      }
  fit = run (spectrum, start, N_LINES + 1, &options);
  g_assert_cmpint (fit->verdict, ==, FAINT_VERDICT_CONVERGED);
  line = faint_line_list_find (fit->lines, 77);
  g_assert_cmpfloat (line->position.value, ==, start[N_LINES].position.value);
  g_assert_true (isnan (line->position.u) && isnan (line->lorentz.u));
  g_assert_cmpint (line->position.state, ==, FAINT_STATE_FREE);
  g_assert_cmpint (line->flags & FAINT_LINE_NOT_DETERMINED, !=, 0);
  g_assert_cmpfloat (fabs (line->strength.value), <, 4.0 * line->strength.u);
  line = faint_line_list_get (fit->lines,
                              faint_line_list_nearest (fit->lines, start[5].position.value));
  g_assert_cmpfloat (fabs (line->strength.value - start[5].strength.value), <,
                     5.0 * line->strength.u);
  g_assert_cmpint (line->flags & (FAINT_LINE_NOT_DETERMINED | FAINT_LINE_NOT_CONVERGED), ==, 0);
}

/* One line given as two halves: each hides the other, but one of them is enough, and the record is
 * understood. */
static void
test_given_halves (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  g_autoptr (FaintSpectrum) spectrum = noisy_record ();
  g_autoptr (FaintFit) fit = NULL;
  FaintFitOptions options = options_without_finding ();
  FaintLine start[N_LINES + 1];
  double sum = 0.0, truth;

  make_lines (setup, start);
  truth = start[6].strength.value;
  start[6].strength.value *= 0.5;
  start[N_LINES] = start[6];
  start[6].position.value -= 0.5 * start[6].doppler.value;
  start[N_LINES].position.value += 0.5 * start[6].doppler.value;
  fit = run (spectrum, start, N_LINES + 1, &options);
  g_assert_cmpint (fit->verdict, ==, FAINT_VERDICT_CONVERGED);
  g_assert_cmpfloat (fabs (fit->chi2_reduced - 1.0), <, 5.0 * sqrt (2.0 / fit->dof));
  for (gsize i = 0; i <= N_LINES; i++)
    {
      const FaintLine *line = faint_line_list_get (fit->lines, i);
      if (fabs (line->position.value - synthetic_wavenumber (placed[6].tooth)) < 0.05)
        sum += line->strength.value;
    }
  faint_assert_close (sum, truth, 0.05, "the sum of both is what the record tells; S/N 100");
}

typedef struct
{
  gint asked; /* atomic: asked from several threads */
  guint stop_at;
} Stop;

static gboolean
stops (gpointer data)
{
  Stop *stop = data;

  return (guint)g_atomic_int_add (&stop->asked, 1) + 1 >= stop->stop_at;
}

/* Asked to stop at any point of the run it stops at once, with the error of being cancelled. A
 * search under way asks for each of its pieces, which are then left out: as many as there are
 * stretches of 512 teeth. */
static void
test_cancelled (void)
{
  g_autoptr (FaintSpectrum) spectrum = noisy_record ();
  Stop stop = { .stop_at = G_MAXUINT };
  FaintProgress progress = { .is_cancelled = stops, .data = &stop };
  FaintFitOptions options;
  guint all;

  faint_fit_options_init (&options);
  {
    g_autoptr (FaintFit) fit = faint_fit_run (spectrum, NULL, &options, &progress, NULL);
    g_assert_nonnull (fit);
  }
  all = (guint)stop.asked;
  g_assert_cmpuint (all, >, 20);
  for (guint at = 1; at <= all; at += 7)
    {
      GError *error = NULL;

      stop = (Stop){ .stop_at = at };
      g_assert_null (faint_fit_run (spectrum, NULL, &options, &progress, &error));
      g_assert_error (error, FAINT_PROGRESS_ERROR, FAINT_PROGRESS_ERROR_CANCELLED);
      g_assert_cmpuint ((guint)stop.asked, >=, at);
      g_assert_cmpuint ((guint)stop.asked, <=, at + spectrum->n / 512 + 8);
      g_error_free (error);
    }
}
/* Five standard deviations are passed by 3e-7 of all normal numbers; 36 000 teeth hold about
 * 10 000 places for a line, so all five records together would hold 0.015 false finds. */
static void
test_blank (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  gsize found = 0;

  for (guint32 seed = 1; seed <= 5; seed++)
    {
      g_autoptr (FaintSpectrum) spectrum = synthetic_record (
          setup, NULL, 0,
          &(SyntheticRecord){ .n = 36000, .u = 1e-3, .noise = 1e-3, .seed = 100 + seed });
      g_autoptr (FaintFit) fit = NULL;
      FaintFitOptions options;

      faint_fit_options_init (&options);
      fit = run (spectrum, NULL, 0, &options);
      found += faint_line_list_get_n (fit->lines);
      g_assert_cmpfloat (fit->false_finds_expected, >, 1e-4);
      g_assert_cmpfloat (fit->false_finds_expected, <, 0.02);
      faint_assert_near (fit->chi2_reduced, 1.0, 4.0 * sqrt (2.0 / 36000.0),
                         "four standard deviations of a chi-square of 36 000 degrees of freedom");
    }
  g_assert_cmpuint (found, <=, 1);
}

/* Noise-equivalent absorption: u over the slope of |E/E0|^2 by alpha, which for a cavity on its
 * mode is 2 F/pi L up to 1/F (weak limit, Adler et al. 2010). */
static void
test_noise_equivalent (void)
{
  const char *const pairs[] = { "recording_time", "100 s", NULL };
  g_autoptr (FaintSetup) setup = synthetic_setup (pairs);
  g_autoptr (FaintSpectrum) spectrum = synthetic_record (
      setup, NULL, 0, &(SyntheticRecord){ .n = 900, .u = 1e-3, .noise = 1e-3, .seed = 3 });
  FaintFitOptions options = options_without_finding ();
  g_autoptr (FaintFit) fit = run (spectrum, NULL, 0, &options);
  double want = 1e-3 / (2.0 * 12000.0 / G_PI * 60.0);

  faint_assert_close (fit->noise_equivalent_absorption, want, 5e-4,
                      "the baseline, known to 1e-3/sqrt(200), and 1/F");
  faint_assert_close (fit->noise_equivalent_absorption_root, want * sqrt (100.0 / 900.0), 5e-4,
                      "the same");
}
int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  g_test_add_func ("/fit/fit-run/fixed", test_fixed);
  g_test_add_func ("/fit/fit-run/excluded", test_excluded);
  g_test_add_func ("/fit/fit-run/range", test_range);
  g_test_add_func ("/fit/fit-run/too-few-teeth", test_too_few_teeth);
  g_test_add_func ("/fit/fit-run/setup-missing", test_setup_missing);
  g_test_add_func ("/fit/fit-run/same-bits", test_same_bits);
  g_test_add_func ("/fit/fit-run/given-in-noise", test_given_in_noise);
  g_test_add_func ("/fit/fit-run/given-halves", test_given_halves);
  g_test_add_func ("/fit/fit-run/cancelled", test_cancelled);
  g_test_add_func ("/fit/fit-run/blank", test_blank);
  g_test_add_func ("/fit/fit-run/noise-equivalent", test_noise_equivalent);
  return g_test_run ();
}
