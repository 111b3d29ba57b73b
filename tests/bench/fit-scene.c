/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fit-scene.h"

#include "faint/fit/least-squares.h"
#include "faint/fit/model.h"

#include <math.h>
#include <string.h>

#define REPETITION_RATE 62.5e6
#define OFFSET_FREQUENCY 20e6
#define FIRST_TOOTH 3237753 /* 6750 cm-1 */
#define LIGHT 29979245800.0 /* cm/s */
#define HALF_WIDTH 0.0075   /* cm-1, typical */

static double
wavenumber_of (double tooth)
{
  return ((FIRST_TOOTH + tooth) * REPETITION_RATE + OFFSET_FREQUENCY) / LIGHT;
}

void
fit_scene_write (const char *path, gsize n_lines)
{
  GString *text = g_string_new ("# scene 1\n# title = long\n# observable = power\n"
                                "# repetition_rate = 62.5 MHz\n# offset_frequency = 20 MHz\n"
                                "# temperature = 296.15 K\n# pressure = 1.30 hPa\n"
                                "# mole_fraction = 1\n# molar_mass = 44.0011 g/mol\n"
                                "# cavity = standing-wave\n# coupling = locked\n"
                                "# cavity_length = 59.958 cm\n# finesse = 12000\n"
                                "# noise = 3e-4\n");
  gsize teeth = n_lines * FIT_SCENE_TEETH_PER_LINE;
  GRand *random = g_rand_new_with_seed (5);
  g_autoptr (GError) error = NULL;

  g_string_append_printf (text, "# first_tooth = %d\n# teeth = %" G_GSIZE_FORMAT "\n", FIRST_TOOTH,
                          teeth);
  g_string_append (text, "# columns = position/cm-1 strength/(cm/molecule) lorentz_hwhm/cm-1\n");
  for (gsize i = 0; i < n_lines; i++)
    {
      double at = wavenumber_of (g_rand_double_range (random, 0.0, (double)teeth));
      double strength = pow (10.0, g_rand_double_range (random, -27.5, -24.2));

      g_string_append_printf (text, "%.6f %.6g %.6g\n", at, strength,
                              g_rand_double_range (random, 0.0007, 0.0028));
    }
  g_rand_free (random);
  if (!g_file_set_contents (path, text->str, (gssize)text->len, &error))
    g_error ("%s", error->message);
  g_string_free (text, TRUE);
}

static FaintSpectrum *
first_teeth (const FaintSpectrum *whole, gsize n)
{
  FaintSpectrum *spectrum = faint_spectrum_new (n, whole->setup);
  g_autoptr (GError) error = NULL;

  spectrum->axis = FAINT_AXIS_TOOTH;
  memcpy (spectrum->frequency, whole->frequency, n * sizeof (double));
  memcpy (spectrum->tooth, whole->tooth, n * sizeof (gint64));
  memcpy (spectrum->value, whole->value, n * sizeof (double));
  memcpy (spectrum->u, whole->u, n * sizeof (double));
  if (!faint_spectrum_finish (spectrum, &error))
    g_error ("%s", error->message);
  return spectrum;
}

static int
lower_first (const void *a, const void *b)
{
  double x = ((const FaintLine *)a)->position.value, y = ((const FaintLine *)b)->position.value;

  return (x > y) - (x < y);
}

void
fit_scene_piece_init (FitScenePiece *self, const FaintSpectrum *whole, const FaintLineList *truth,
                      gsize n_lines)
{
  gsize n = n_lines * FIT_SCENE_TEETH_PER_LINE;
  GRand *random = g_rand_new_with_seed (3);

  *self = (FitScenePiece){ .spectrum = first_teeth (whole, n) };
  self->lines = g_new (FaintLine, faint_line_list_get_n (truth));
  for (gsize i = 0; i < faint_line_list_get_n (truth); i++)
    {
      FaintLine line = *faint_line_list_get (truth, i);

      if (line.position.value > self->spectrum->wavenumber[n - 1])
        continue;
      line.position.state = line.strength.state = line.lorentz.state = FAINT_STATE_FREE;
      line.doppler.state = FAINT_STATE_DERIVED;
      line.position.value += 0.1 * HALF_WIDTH * g_rand_double_range (random, -1.0, 1.0);
      line.strength.value *= g_rand_double_range (random, 0.9, 1.1);
      self->lines[self->n_lines++] = line;
    }
  qsort (self->lines, self->n_lines, sizeof *self->lines, lower_first);
  g_rand_free (random);
}

void
fit_scene_piece_clear (FitScenePiece *self)
{
  faint_spectrum_unref (self->spectrum);
  g_free (self->lines);
}

guint
fit_scene_piece_solve (const FitScenePiece *self, guint threads, guint evaluations)
{
  g_autoptr (GError) error = NULL;
  FaintFitOptions options;
  FaintLayout *layout;
  g_autoptr (FaintModel) model = NULL;
  g_autofree double *lower = NULL;
  g_autofree double *upper = NULL;
  g_autofree double *most = NULL;
  g_autofree double *theta = NULL;
  FaintLeastSquares problem;
  FaintLeastSquaresResult result;

  faint_fit_options_init (&options);
  layout = faint_layout_new (self->spectrum, self->lines, self->n_lines, &options, HALF_WIDTH);
  model = faint_model_new (self->spectrum, layout, self->lines, threads, &error);
  if (model == NULL)
    g_error ("%s", error->message);
  /* As in a whole fit, so that lines in the noise have a width. */
  model->width_mean = 0.00175;
  model->width_spread = 0.0012;
  lower = faint_model_lower_bounds (model);
  upper = faint_model_upper_bounds (model);
  most = faint_model_step_limits (model);
  theta = g_memdup2 (model->theta, layout->n_parameters * sizeof (double));
  problem = (FaintLeastSquares){ .n = layout->n_parameters,
                                 .bandwidth = layout->bandwidth,
                                 .n_border = layout->n_border,
                                 .n_groups = layout->n_groups,
                                 .group = layout->group,
                                 .lower = lower,
                                 .upper = upper,
                                 .max_step = most,
                                 .evaluate = faint_model_evaluate_rows,
                                 .data = model };
  if (!faint_least_squares_solve (&problem, theta, &(FaintLeastSquaresOptions){ evaluations, 1e-3 },
                                  &result, NULL, &error))
    g_error ("%s", error->message);
  faint_least_squares_result_clear (&result);
  return result.iterations;
}
