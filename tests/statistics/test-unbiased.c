/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Records without noise give strengths back exactly, whatever is observed, however the teeth are
 * coupled and however far they stand from their modes: the full expressions leave no bias. What
 * tests/fit/test-fit.c shows on the mode is not repeated here.
 */
#include "faint/base/program.h"
#include "faint/fit/fit.h"
#include "synthetic.h"
#include "faint-test.h"

#include <math.h>


#define N_LINES 6
#define N_TEETH 1500

static const struct
{
  double tooth, peak, lorentz;
} placed[N_LINES] = {
  { 120.3, 0.001, 0.0022 }, { 370.1, 0.95, 0.003 },  { 620.6, 0.01, 0.0011 },
  { 870.0, 0.5, 0.0015 },   { 1120.2, 0.8, 0.0022 }, { 1380.8, 0.1, 0.005 },
};

typedef struct
{
  const char *name;
  const char *pairs[10];
} Case;

/* Detunings in parts of the mode's full width FSR/F: 20.82 kHz in the standing wave of 60 cm, 27.76
 * kHz in the ring of 90 cm. */
static const Case cases[] = {
  { "power/tenth", { "tooth_detuning", "2.082 kHz" } },
  { "power/quarter", { "tooth_detuning", "5.205 kHz" } },
  { "power/half", { "tooth_detuning", "10.41 kHz" } },
  { "power/half-below", { "tooth_detuning", "-10.41 kHz" } },
  { "amplitude/tenth", { "observable", "amplitude", "tooth_detuning", "2.082 kHz" } },
  { "amplitude/quarter", { "observable", "amplitude", "tooth_detuning", "5.205 kHz" } },
  { "amplitude/half", { "observable", "amplitude", "tooth_detuning", "10.41 kHz" } },
  { "field/tenth", { "observable", "field", "tooth_detuning", "2.082 kHz" } },
  { "field/quarter", { "observable", "field", "tooth_detuning", "-5.205 kHz" } },
  { "field/half", { "observable", "field", "tooth_detuning", "10.41 kHz" } },
  { "ring/power-half",
    { "cavity", "ring", "cavity_length", "90 cm", "tooth_detuning", "13.88 kHz" } },
  { "ring/field-half",
    { "cavity", "ring", "cavity_length", "90 cm", "observable", "field", "tooth_detuning",
      "13.88 kHz" } },
  { "ring/amplitude", { "cavity", "ring", "cavity_length", "90 cm", "observable", "amplitude" } },
  { "ring/swept", { "cavity", "ring", "cavity_length", "90 cm", "coupling", "swept" } },
  { "swept/amplitude", { "coupling", "swept", "observable", "amplitude" } },
  { "single-pass/power", { "cavity", "none", "finesse", "", "cavity_length", "50 m" } },
  { "single-pass/amplitude",
    { "cavity", "none", "finesse", "", "cavity_length", "50 m", "observable", "amplitude" } },
  { "single-pass/field",
    { "cavity", "none", "finesse", "", "cavity_length", "50 m", "observable", "field" } },
};

static const char *const why = "it ends within 1e-3 of an uncertainty that is 1e-4 of the faintest "
                               "strength or less, and the "
                               "model and the test's own agree to 1e-12";

static void
compare (const FaintLine *got, const FaintLine *want)
{
  double width = want->doppler.value + want->lorentz.value;

  faint_assert_close (got->strength.value, want->strength.value, 1e-6, why);
  faint_assert_near (got->position.value, want->position.value, 1e-6 * width, why);
  faint_assert_near (got->lorentz.value, want->lorentz.value, 3e-6 * width, why);
}

static void
test_case (gconstpointer data)
{
  const Case *what = data;
  g_autoptr (FaintSetup) setup = synthetic_setup (what->pairs);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintLineList) list = NULL;
  g_autoptr (FaintFit) fit = NULL;
  g_autoptr (GError) error = NULL;
  SyntheticRecord record = {
    .n = N_TEETH, .u = 1e-7, .baseline = { 0.9, 0.02, -0.01 }, .baseline_im = { 0.2, -0.03, 0.01 }
  };
  FaintFitOptions options;
  FaintLine truth[N_LINES], start[N_LINES];

  for (int i = 0; i < N_LINES; i++)
    {
      start[i] = truth[i] = synthetic_line (setup, synthetic_wavenumber (placed[i].tooth),
                                            placed[i].peak, placed[i].lorentz);
      start[i].strength.value *= 1.05;
      start[i].lorentz.value *= 1.1;
      start[i].position.value += 0.05 * start[i].doppler.value;
    }
  spectrum = synthetic_record (setup, truth, N_LINES, &record);
  list = faint_line_list_new (start, N_LINES);
  faint_fit_options_init (&options);
  options.find_rounds = 0;
  options.width_shared = FALSE;
  /* One baseline over the record, as in the truth. */
  options.window_width = 4.0;
  fit = faint_fit_run (spectrum, list, &options, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpint (fit->verdict, ==, FAINT_VERDICT_CONVERGED);
  for (gsize i = 0; i < N_LINES; i++)
    compare (faint_line_list_get (fit->lines, i), &truth[i]);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  faint_program_begin ();
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *path = g_strdup_printf ("/statistics/unbiased/%s", cases[i].name);

      g_test_add_data_func (path, &cases[i], test_case);
    }
  return g_test_run ();
}
