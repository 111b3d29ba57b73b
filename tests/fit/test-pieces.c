/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A window computed in pieces, where most lines are known from a few places, against the same
 * window computed tooth by tooth.
 */
#include "faint-test.h"
#include "faint/fit/model.h"
#include "faint/fit/window-rows.h"
#include "synthetic.h"

#include <math.h>

#define N_TEETH 2400
#define N_LINES 40

typedef struct
{
  const char *name;
  const char *pairs[8]; /* of the setup */
  double window_width;  /* cm-1 */
  gboolean polar, instrument, beyond_voigt;
} Case;

static const Case cases[] = {
  { "power", { "tooth_detuning", "4 kHz", NULL }, 1e6, FALSE, FALSE, FALSE },
  { "field", { "observable", "field", "tooth_detuning", "-3 kHz", NULL }, 1e6, TRUE, FALSE, FALSE },
  { "several-windows", { NULL }, 4.0, FALSE, FALSE, FALSE },
  { "instrument", { "tooth_detuning", "2 kHz", NULL }, 1e6, FALSE, TRUE, FALSE },
  { "beyond-voigt", { "observable", "field", NULL }, 1e6, FALSE, FALSE, TRUE },
};

static void
make_lines (const FaintSetup *setup, const Case *what, FaintLine *lines)
{
  GRand *random = g_rand_new_with_seed (11);

  for (int i = 0; i < N_LINES; i++)
    {
      double tooth = (i + g_rand_double_range (random, 0.1, 0.9)) * N_TEETH / N_LINES;

      lines[i] = synthetic_line (setup, synthetic_wavenumber (tooth),
                                 g_rand_double_range (random, 0.01, 0.8),
                                 g_rand_double_range (random, 0.0005, 0.003));
      lines[i].doppler.state = FAINT_STATE_FREE;
      if (!what->beyond_voigt || i % 3 != 0)
        continue;
      lines[i].profile = FAINT_PROFILE_HARTMANN_TRAN;
      lines[i].speed_width.value = 0.1 * lines[i].lorentz.value;
      lines[i].velocity_changing.value = 5e-4;
      lines[i].correlation.value = 0.2;
    }
  lines[5].flags |= FAINT_LINE_EXCLUDED;
  g_rand_free (random);
}

static FaintModel *
model_of (const Case *what)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (what->pairs);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (GError) error = NULL;
  FaintLine lines[N_LINES];
  FaintFitOptions options;
  FaintModel *model;

  make_lines (setup, what, lines);
  spectrum = synthetic_record (setup, lines, N_LINES,
                               &(SyntheticRecord){ .n = N_TEETH,
                                                   .u = 1e-4,
                                                   .noise = 1e-4,
                                                   .seed = 3,
                                                   .polar = what->polar,
                                                   .baseline = { 0.9, 0.02, -0.01 },
                                                   .baseline_im = { 0.3, -0.02, 0.01 } });
  faint_fit_options_init (&options);
  options.window_width = what->window_width;
  options.detuning_free = options.detuning_slope_free = what->instrument;
  options.fringes = what->instrument ? 1 : 0;
  for (int i = 0; i < N_LINES; i++)
    lines[i].strength.value *= i % 2 == 0 ? 1.01 : 0.98;
  model = faint_model_new (spectrum, faint_layout_new (spectrum, lines, N_LINES, &options, 0.0075),
                           lines, 2, &error);
  g_assert_no_error (error);
  if (what->instrument)
    faint_model_set_instrument (
        model,
        &(FaintFitInstrument){ .detuning = NAN,
                               .detuning_slope = NAN,
                               .n_fringes = 1,
                               .fringe = { { .period = 0.31, .cosine = 0.02, .sine = -0.01 } } });
  return model;
}

typedef struct
{
  double *chi2, *gradient;
  FaintNormal *normal;
} Outcome;

static Outcome
evaluate (FaintModel *model)
{
  Outcome self = { g_new0 (double, model->layout->n_groups),
                   g_new0 (double, model->layout->n_parameters), faint_model_normal_new (model) };
  g_autofree double *theta
      = g_memdup2 (model->theta, model->layout->n_parameters * sizeof (double));

  g_assert_true (faint_model_evaluate_rows (theta, self.chi2, self.gradient, self.normal, model));
  return self;
}

static void
outcome_clear (Outcome *self)
{
  g_free (self->chi2);
  g_free (self->gradient);
  faint_normal_free (self->normal);
}

static void
compare (const FaintLayout *layout, const Outcome *pieces, const Outcome *whole)
{
  double total = 0.0;

  for (gsize k = 0; k < layout->n_windows; k++)
    {
      faint_assert_near (pieces->chi2[k], whole->chi2[k], 1e-7 * whole->chi2[k],
                         "7e-10 of kappa by interpolation");
      total += whole->chi2[k];
    }
  for (gsize a = 0; a < layout->n_parameters; a++)
    {
      double scale = sqrt (faint_normal_get (whole->normal, a, a));

      faint_assert_near (pieces->gradient[a], whole->gradient[a], 1e-7 * scale * sqrt (total),
                         "of the longest that the gradient can be");
      for (gsize b = 0; b <= a; b++)
        faint_assert_near (faint_normal_get (pieces->normal, a, b),
                           faint_normal_get (whole->normal, a, b),
                           1e-6 * scale * sqrt (faint_normal_get (whole->normal, b, b)),
                           "1e-7 of interpolation with fewer places");
    }
}

static void
test_pieces (gconstpointer data)
{
  FaintModel *model = model_of (data);
  Outcome pieces = evaluate (model), whole;
  gsize most = 0;

  for (gsize k = 0; k < model->layout->n_windows; k++)
    {
      most = MAX (most, model->sums[k].n_pieces);
      model->sums[k].n_pieces = 1;
    }
  g_assert_cmpuint (most, >=, 2);
  whole = evaluate (model);
  compare (model->layout, &pieces, &whole);
  outcome_clear (&pieces);
  outcome_clear (&whole);
  faint_model_free (model);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *path = g_strdup_printf ("/fit/pieces/%s", cases[i].name);

      g_test_add_data_func (path, &cases[i], test_pieces);
    }
  return g_test_run ();
}
