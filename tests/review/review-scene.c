/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review-scene.h"

#include <gsl/gsl_randist.h>
#include <math.h>

#include "faint-test.h"
#include "faint/simulate/scene.h"

/* Voigt half width of 0.0072 cm-1 of Doppler and about 0.001 cm-1 of Lorentz width. */
#define HALF_WIDTH 0.0078

static const char head[]
    = "# scene 1\n# repetition_rate = 250 MHz\n# offset_frequency = 20 MHz\n"
      "# observable = power\n# temperature = 296.15 K\n# pressure = 10 hPa\n# mole_fraction = 1\n"
      "# molar_mass = 44.0011 g/mol\n# cavity = standing-wave\n# coupling = locked\n"
      "# cavity_length = 59.958 cm\n# finesse = 12000\n# first_tooth = 929317\n"
      "# interleave = 4\n# noise = 3e-4\n# baseline = 1 0.004 -0.002\n";
static const char uncertainties[]
    = "# u(repetition_rate) = 0.5 Hz\n# u(offset_frequency) = 100 Hz\n# u(temperature) = 0.1 K\n"
      "# u(pressure) = 0.03 hPa\n# u(mole_fraction) = 0.002\n# u(cavity_length) = 0.006 cm\n"
      "# u(finesse) = 60\n";

ReviewScene
review_scene_new (guint n, guint seed, gboolean inputs)
{
  g_autoptr (GString) text = g_string_new (head);
  g_autoptr (GRand) random = g_rand_new_with_seed (seed);
  g_autofree char *folder = faint_test_folder_new ();
  double position = 7750.4, spacing = 250e6 / 29979245800.0, span = 0.0;
  g_autofree double *gaps = g_new (double, n);
  g_autoptr (FaintScene) scene = NULL;
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autofree char *path = NULL;
  g_autoptr (GError) error = NULL;
  ReviewScene self;

  for (guint i = 0; i < n; i++)
    {
      gaps[i] = 0.25 + (g_rand_double (random) - 0.5) * (0.5 - 10.0 * HALF_WIDTH);
      span += gaps[i];
    }
  g_string_append_printf (text,
                          "%s# teeth = %d\n# columns = position/cm-1 strength/(cm/molecule) "
                          "lorentz_hwhm/cm-1\n",
                          inputs ? uncertainties : "", (int)((span + 1.0) / spacing));
  for (guint i = 0; i < n; i++)
    {
      g_string_append_printf (text, "%.6f %.5e %.4e\n", position,
                              pow (10.0, -27.0 + 2.0 * g_rand_double (random)),
                              0.8e-3 + 0.4e-3 * g_rand_double (random));
      position += gaps[i];
    }
  path = faint_test_file (folder, "many.scene", text->str);
  scene = faint_scene_read (path, &error);
  g_assert_no_error (error);
  spectrum = faint_scene_simulate (scene, seed, NULL, &error);
  g_assert_no_error (error);
  self.analysis = faint_analysis_new_for_spectrum (spectrum);
  self.truth = faint_scene_truth (scene);
  faint_test_folder_remove (g_steal_pointer (&folder));
  return self;
}

void
review_scene_clear (ReviewScene *self)
{
  faint_analysis_unref (self->analysis);
  faint_line_list_unref (self->truth);
}

static FaintParameter
drawn (double truth, double u, gsl_rng *random)
{
  FaintParameter it = FAINT_PARAMETER_UNKNOWN;

  it.value = truth + gsl_ran_gaussian (random, u);
  it.u = u;
  return it;
}

GArray *
review_scene_claims (const ReviewScene *self, gsl_rng *random)
{
  GArray *claims = g_array_new (FALSE, FALSE, sizeof (FaintLine));

  for (gsize i = 0; i < faint_line_list_get_n (self->truth); i++)
    {
      const FaintLine *truth = faint_line_list_get (self->truth, i);
      FaintLine claim = faint_line_unknown ();

      claim.id = truth->id;
      claim.position = drawn (truth->position.value, 5e-5, random);
      claim.strength = drawn (truth->strength.value, 0.01 * truth->strength.value, random);
      claim.lorentz = drawn (truth->lorentz.value, 0.03 * truth->lorentz.value, random);
      g_array_append_val (claims, claim);
    }
  return claims;
}

FaintLineList *
review_scene_list (const GArray *claims)
{
  return faint_line_list_new ((const FaintLine *)(const void *)claims->data, claims->len);
}

FaintReview *
review_scene_review (const ReviewScene *self, const GArray *claims)
{
  g_autoptr (FaintLineList) list = review_scene_list (claims);
  g_autoptr (GError) error = NULL;
  FaintReviewOptions options;
  FaintReview *review;

  faint_review_options_init (&options);
  review = faint_review_run (self->analysis, list, NULL, &options, NULL, &error);
  g_assert_no_error (error);
  return review;
}
