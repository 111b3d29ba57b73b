/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The whole fit on spectra whose truth is known: a forward model of the tests'
 * own (synthetic.h), without noise, so that the fit must give the truth back.
 */
#include "known-lines.h"

static const char *const exact
    = "the fit ends within 1e-3 of uncertainties that are 1e-3 of the faintest "
      "strength and less";
static void
compare_exactly (const FaintLine *got, const FaintLine *want)
{
  double hwhm = want->doppler.value + want->lorentz.value;

  faint_assert_close (got->strength.value, want->strength.value, 1e-6, exact);
  faint_assert_near (got->position.value, want->position.value, 1e-6 * hwhm, exact);
  faint_assert_near (got->lorentz.value, want->lorentz.value, 3e-6 * hwhm, exact);
}

static void
compare_fit (const FaintFit *fit, const FaintLine *truth)
{
  g_assert_cmpint (fit->verdict, ==, FAINT_VERDICT_CONVERGED);
  g_assert_cmpfloat (fit->distance, <=, 1e-3);
  g_assert_cmpuint (faint_line_list_get_n (fit->lines), ==, N_LINES);
  for (int i = 0; i < N_LINES; i++)
    {
      const FaintLine *line = faint_line_list_get (fit->lines, i);

      compare_line (line, &truth[i]);
      faint_assert_close (line->peak, placed[i].peak, 1e-4,
                          "the strength to 1e-3 of its uncertainty, at most 5 %");
      faint_assert_close (line->snr, line->strength.value / line->strength.u_noise, 1e-12,
                          "rounding");
      g_assert_cmpint ((line->flags & FAINT_LINE_SATURATED) != 0, ==, placed[i].peak > 0.5);
      g_assert_cmpint ((line->flags & FAINT_LINE_BLENDED) != 0, ==, i == 3 || i == 4);
    }
}

/* @windowed: also with the narrow windows of the default; wide ones otherwise.
 * @given_only: not for finding. */
typedef struct
{
  const char *name;
  const char *pairs[10];
  gboolean polar, windowed, given_only;
} Case;

static const Case cases[] = {
  { "power", { NULL }, FALSE, TRUE },
  { "amplitude", { "observable", "amplitude", NULL }, FALSE, TRUE },
  { "field", { "observable", "field", NULL }, FALSE, TRUE },
  { "field-polar", { "observable", "field", NULL }, TRUE, TRUE },
  { "field-detuned",
    { "observable", "field", "tooth_detuning", "3 kHz", NULL },
    FALSE,
    TRUE,
    TRUE },
  { "swept", { "coupling", "swept", NULL }, FALSE, TRUE },
  { "detuned", { "tooth_detuning", "4 kHz", NULL }, FALSE, TRUE },
  { "ring",
    { "cavity", "ring", "cavity_length", "90 cm", "output_share", "0.8", NULL },
    FALSE,
    TRUE },
};

#define WIDE 2.0

/* Lines of which nothing but the position is known, within a quarter of a
 * Doppler width. */
static void
check_given (const Case *what, double window_width)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (what->pairs);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) fit = NULL;
  FaintFitOptions options = options_without_finding ();
  SyntheticRecord record = quiet;
  FaintLine truth[N_LINES], start[N_LINES];

  options.window_width = window_width;
  record.polar = what->polar;
  make_lines (setup, truth);
  memcpy (start, truth, sizeof start);
  synthetic_forget (start, N_LINES);
  for (int i = 0; i < N_LINES; i++)
    start[i].position.value += (i % 2 == 0 ? 0.0018 : -0.0018);
  spectrum = synthetic_record (setup, truth, N_LINES, &record);
  fit = run (spectrum, start, N_LINES, &options);
  compare_fit (fit, truth);
  for (gsize i = 0; i < N_LINES; i++)
    compare_exactly (faint_line_list_get (fit->lines, i), &truth[i]);
  g_assert_nonnull (fit->start);
  g_assert_cmpint (fit->n_windows > 2, ==, window_width == 0.0);
}

static void
test_given (gconstpointer data)
{
  check_given (data, WIDE);
}

static void
test_windows (gconstpointer data)
{
  check_given (data, 0.0);
}

/* Nothing given at all. */
static void
test_found (gconstpointer data)
{
  const Case *what = data;
  g_autoptr (FaintSetup) setup = synthetic_setup (what->pairs);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) fit = NULL;
  FaintFitOptions options = options_without_finding ();
  SyntheticRecord record = quiet;
  FaintLine truth[N_LINES];

  record.polar = what->polar;
  record.u = 1e-4;
  options.window_width = WIDE;
  options.find_rounds = 6;
  make_lines (setup, truth);
  spectrum = synthetic_record (setup, truth, N_LINES, &record);
  fit = run (spectrum, NULL, 0, &options);
  compare_fit (fit, truth);
  g_assert_null (fit->start);
}

/* Free Doppler widths come out of the shape alone. */
static void
test_doppler_free (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) fit = NULL;
  FaintFitOptions options = options_without_finding ();
  FaintLine truth[2], start[2];

  options.doppler_free = TRUE;
  truth[0] = synthetic_line (setup, synthetic_wavenumber (150.4), 0.4, 0.002);
  truth[1] = synthetic_line (setup, synthetic_wavenumber (450.4), 0.6, 0.003);
  /* Not the width of the stated temperature. */
  truth[1].doppler.value *= 1.1;
  memcpy (start, truth, sizeof start);
  synthetic_forget (start, 2);
  spectrum = synthetic_record (setup, truth, 2, &(SyntheticRecord){ .n = 600, .u = 1e-7 });
  fit = run (spectrum, start, 2, &options);
  g_assert_cmpint (fit->verdict, ==, FAINT_VERDICT_CONVERGED);
  for (int i = 0; i < 2; i++)
    {
      const FaintLine *line = faint_line_list_get (fit->lines, (gsize)i);

      g_assert_cmpint (line->doppler.state, ==, FAINT_STATE_FREE);
      g_assert_cmpfloat (line->doppler.u, >, 0.0);
      faint_assert_close (line->doppler.value, truth[i].doppler.value, 1e-6, exact);
      faint_assert_close (line->lorentz.value, truth[i].lorentz.value, 1e-5, exact);
      faint_assert_close (line->strength.value, truth[i].strength.value, 1e-6, exact);
    }
}
/* Two like lines one Doppler width apart: a single hump with a flat top. */
static void
test_pair (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) fit = NULL;
  FaintFitOptions options;
  FaintLine truth[2];
  double centre = synthetic_wavenumber (300.0), apart = synthetic_doppler (setup, centre);

  faint_fit_options_init (&options);
  truth[0] = synthetic_line (setup, centre - 0.5 * apart, 0.2, 0.001);
  truth[1] = synthetic_line (setup, centre + 0.5 * apart, 0.15, 0.001);
  spectrum = synthetic_record (setup, truth, 2,
                               &(SyntheticRecord){ .n = 600, .u = 1e-4, .noise = 1e-4, .seed = 5 });
  fit = run (spectrum, NULL, 0, &options);
  g_assert_cmpuint (faint_line_list_get_n (fit->lines), ==, 2);
  for (gsize i = 0; i < 2; i++)
    {
      const FaintLine *line = faint_line_list_get (fit->lines, i);

      faint_assert_near (line->position.value, truth[i].position.value, 4.0 * line->position.u,
                         "four standard uncertainties, one case in 16 000");
      faint_assert_near (line->strength.value, truth[i].strength.value, 4.0 * line->strength.u,
                         "four standard uncertainties, one case in 16 000");
      g_assert_cmpint (line->flags & FAINT_LINE_BLENDED, !=, 0);
    }
}
int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *given = g_strdup_printf ("/fit/fit/given/%s", cases[i].name);
      g_autofree char *windows = g_strdup_printf ("/fit/fit/windows/%s", cases[i].name);
      g_autofree char *found = g_strdup_printf ("/fit/fit/found/%s", cases[i].name);

      g_test_add_data_func (given, &cases[i], test_given);
      if (!cases[i].given_only)
        g_test_add_data_func (found, &cases[i], test_found);
      if (cases[i].windowed)
        g_test_add_data_func (windows, &cases[i], test_windows);
    }
  g_test_add_func ("/fit/fit/doppler-free", test_doppler_free);
  g_test_add_func ("/fit/fit/pair", test_pair);
  return g_test_run ();
}
