/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The model under other conditions, held against spectra that are simulated under them, and against
 * what handbooks say of a line under pressure.
 */
#include "faint/analysis/what-if.h"
#include "faint-test.h"
#include "faint/cavity/finesse.h"
#include "faint/simulate/scene.h"

#include <gsl/gsl_errno.h>
#include <math.h>

/* Invented lines of nitrous oxide with every coefficient that a change asks
 * for. Q(T) = T/100, exact in a spline of ln Q over ln T. */
#define CONDITIONS                                                                                 \
  "# scene 1\n# temperature = 296 K\n# pressure = 20 hPa\n# mole_fraction = 0.6\n"                 \
  "# molar_mass = 44.0011 g/mol\n# partition_sums = q.txt\n# repetition_rate = 250 MHz\n"          \
  "# offset_frequency = 20 MHz\n# first_tooth = 934152\n# teeth = 700\n# noise = 0\n"
#define CAVITY "# cavity = standing-wave\n# cavity_length = 60 cm\n"
#define ROWS                                                                                       \
  "# columns = position/cm-1 strength_296K/(cm/molecule) lower_energy/cm-1 "                       \
  "broadening_self/(cm-1/atm) broadening_foreign/(cm-1/atm) shift_self/(cm-1/atm) "                \
  "shift_foreign/(cm-1/atm) width_exponent\n"                                                      \
  "7790.3 5e-25 150.5 0.11 0.08 -0.003 0.002 0.75\n"                                               \
  "7791.1 8e-25 12 0.12 0.07 -0.001 -0.002 0.7\n"                                                  \
  "7791.15 3e-25 612 0.10 0.075 0.004 0.001 0.8\n"                                                 \
  "7794.9 6e-25 305 0.105 0.08 -0.002 0.0015 0.65\n"

typedef struct
{
  FaintSpectrum *spectrum;
  FaintLineList *truth;
} Scene;

static Scene
scene_new (const char *text, const char *const *settings)
{
  g_autoptr (GError) error = NULL;
  char *folder = faint_test_folder_new ();
  G_GNUC_UNUSED g_autofree char *table = faint_test_file (
      folder, "q.txt", "# columns = temperature/K Q\n150 1.5\n296 2.96\n500 5\n");
  g_autofree char *path = faint_test_file (folder, "a.scene", text);
  g_autoptr (FaintScene) scene = faint_scene_read_with (path, settings, &error);
  Scene self;

  g_assert_no_error (error);
  self.spectrum = faint_scene_simulate (scene, 1, NULL, &error);
  g_assert_no_error (error);
  self.truth = faint_scene_truth (scene);
  faint_test_folder_remove (folder);
  return self;
}

static void
scene_clear (Scene *self)
{
  faint_spectrum_unref (self->spectrum);
  faint_line_list_unref (self->truth);
}

/* The sums stand in a file that is gone when the scene has been read. */
static FaintWhatIf *
what_if_new (const Scene *scene, FaintFit *fit)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *folder = faint_test_folder_new ();
  g_autofree char *warning = NULL;
  G_GNUC_UNUSED g_autofree char *table = faint_test_file (
      folder, "q.txt", "# columns = temperature/K Q\n150 1.5\n296 2.96\n500 5\n");
  g_autofree char *path = g_build_filename (folder, "q.txt", NULL);
  g_autoptr (FaintSetup) setup = faint_setup_copy (scene->spectrum->setup);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  FaintWhatIf *what;

  faint_setup_set (setup, "partition_sums", path, NULL, &error);
  g_assert_no_error (error);
  spectrum = faint_spectrum_with_setup (scene->spectrum, setup, &error);
  g_assert_no_error (error);
  what = faint_what_if_new (spectrum, fit, fit != NULL ? fit->lines : scene->truth, &warning,
                            &error);
  g_assert_no_error (error);
  g_assert_null (warning);
  faint_test_folder_remove (g_steal_pointer (&folder));
  return what;
}

static FaintWhatIfModel *
model_of (const FaintWhatIf *what, const FaintWhatIfValues *values, double lower, double upper)
{
  g_autoptr (GError) error = NULL;
  FaintWhatIfModel *model = faint_what_if_model (what, values, lower, upper, 0, NULL, &error);

  g_assert_no_error (error);
  return model;
}

typedef struct
{
  const char *name, *head;
  FaintWhatIfQuantity quantity;
  double value; /* library unit */
  const char *setting;
} Case;

#define LOCKED CAVITY "# finesse = 12000\n"
#define DETUNED                                                                                    \
  CAVITY "# finesse = 12000\n# observable = field\n# tooth_detuning = 3 kHz\n"                     \
         "# tooth_detuning_slope = 2e-8\n"
static const Case cases[] = {
  { "finesse", LOCKED, FAINT_WHAT_IF_FINESSE, 20000, "finesse=20000" },
  { "pressure", LOCKED, FAINT_WHAT_IF_PRESSURE, 4500, "pressure=45 hPa" },
  { "cold", LOCKED, FAINT_WHAT_IF_TEMPERATURE, 200, "temperature=200 K" },
  { "hot", LOCKED, FAINT_WHAT_IF_TEMPERATURE, 420, "temperature=420 K" },
  { "mole-fraction", LOCKED, FAINT_WHAT_IF_MOLE_FRACTION, 0.95, "mole_fraction=0.95" },
  { "detuning", LOCKED, FAINT_WHAT_IF_DETUNING, 9e3, "tooth_detuning=9 kHz" },
  { "detuning-field", DETUNED, FAINT_WHAT_IF_DETUNING, -5e3, "tooth_detuning=-5 kHz" },
  { "pressure-field", DETUNED, FAINT_WHAT_IF_PRESSURE, 700, "pressure=7 hPa" },
  { "ring-down", CAVITY "# ring_down_time = 7 us\n", FAINT_WHAT_IF_FINESSE, 15000,
    "finesse=15000" },
  { "reflectivity", CAVITY "# mirror_reflectivity = 0.9997\n", FAINT_WHAT_IF_FINESSE, 7000,
    "finesse=7000" },
  { "linewidth", CAVITY "# cavity_linewidth = 25 kHz\n", FAINT_WHAT_IF_FINESSE, 9000,
    "finesse=9000" },
  { "swept", CAVITY "# finesse = 12000\n# coupling = swept\n", FAINT_WHAT_IF_FINESSE, 3000,
    "finesse=3000" },
  { "single-pass", "# cavity = none\n# cavity_length = 60 m\n", FAINT_WHAT_IF_TEMPERATURE, 350,
    "temperature=350 K" },
};

static void
assert_same (const FaintWhatIfModel *model, const FaintSpectrum *want)
{
  g_assert_cmpuint (model->n, ==, want->n);
  for (gsize t = 0; t < want->n; t++)
    {
      /* far wings are interpolated: fit/far.h */
      faint_assert_near (model->model[t], want->value[t], 1e-8, "1e-8 of the empty cavity");
      if (want->value_im != NULL)
        faint_assert_near (model->model_im[t], want->value_im[t], 1e-8, "the same");
    }
}

static double
depth (const FaintSpectrum *spectrum)
{
  double depth = 0.0;

  for (gsize t = 0; t < spectrum->n; t++)
    depth = MAX (depth, 1.0 - spectrum->value[t]);
  return depth;
}

/* What the simulator makes of the scene under the conditions asked for. */
static void
test_simulated (gconstpointer data)
{
  const Case *given = data;
  const char *const settings[] = { given->setting, NULL };
  g_autofree char *text = g_strconcat (CONDITIONS, given->head, ROWS, NULL);
  Scene before = scene_new (text, NULL), after = scene_new (text, settings);
  g_autoptr (FaintWhatIf) what = what_if_new (&before, NULL);
  FaintWhatIfValues values = faint_what_if_stated (what);
  g_autoptr (FaintWhatIfModel) same = model_of (what, &values, NAN, NAN);
  g_autoptr (FaintWhatIfModel) changed = NULL;
  double moved = 0.0;

  assert_same (same, before.spectrum);
  values.value[given->quantity] = given->value;
  changed = model_of (what, &values, NAN, NAN);
  assert_same (changed, after.spectrum);
  for (gsize t = 0; t < before.spectrum->n; t++)
    moved = MAX (moved, fabs (after.spectrum->value[t] - before.spectrum->value[t]));
  g_test_message ("deepest %.3f, moved by up to %.4f", depth (after.spectrum), moved);
  g_assert_cmpfloat (moved, >, 1e-3);
  scene_clear (&before);
  scene_clear (&after);
}

/* In the limit of pressure broadening the absorption in the centre of a line no longer depends on
 * the pressure, and that in its wings goes as its square (for instance Demtroeder, Laser
 * Spectroscopy, ch. 3, from memory): N S L/(pi gamma), N S L gamma/(pi x^2). */
static void
test_pressure_limits (void)
{
  static const char text[] = "# scene 1\n# temperature = 296 K\n# pressure = 2000 hPa\n"
                             "# mole_fraction = 1\n# molar_mass = 44.0011 g/mol\n"
                             "# repetition_rate = 250 MHz\n# offset_frequency = 20 MHz\n"
                             "# first_tooth = 932953\n# teeth = 3600\n# noise = 0\n"
                             "# cavity = none\n# cavity_length = 1 m\n"
                             "# columns = position/cm-1 strength/(cm/molecule) lorentz_hwhm/cm-1\n"
                             "7795 2e-23 0.2\n";
  Scene scene = scene_new (text, NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintWhatIf) what
      = faint_what_if_new (scene.spectrum, NULL, scene.truth, NULL, &error);
  FaintWhatIfValues values = faint_what_if_stated (what);
  g_autoptr (FaintWhatIfModel) once = model_of (what, &values, NAN, NAN);
  g_autoptr (FaintWhatIfModel) twice = NULL;
  gsize centre = faint_spectrum_index (scene.spectrum, 7795.0), wing = 0;
  /* N S L/(pi gamma) with N = P/(kT) */
  double want = 2e5 / (1.380649e-23 * 296.0) * 1e-6 * 2e-23 * 100.0 / (G_PI * 0.2);

  g_assert_no_error (error);
  values.value[FAINT_WHAT_IF_PRESSURE] *= 2.0;
  twice = model_of (what, &values, NAN, NAN);
  faint_assert_close (-log (once->model[centre]), want, 3e-3,
                      "gamma_D^2/(2 ln2 gamma^2) = 9e-4 and a step of the teeth");
  faint_assert_close (-log (twice->model[centre]), -log (once->model[centre]), 1.5e-3,
                      "gamma_D^2/(2 ln2 gamma^2) = 9e-4");
  faint_assert_close (-log (twice->model[wing]) / -log (once->model[wing]), 4.0, 1e-2,
                      "(gamma/x)^2 of the wing: 2e-4 and 8e-4");
  scene_clear (&scene);
}

#define NOISY                                                                                      \
  "# scene 1\n# temperature = 296 K\n# pressure = 20 hPa\n# mole_fraction = 0.6\n"                 \
  "# molar_mass = 44.0011 g/mol\n# repetition_rate = 250 MHz\n# offset_frequency = 20 MHz\n"       \
  "# first_tooth = 934152\n# teeth = 2400\n# noise = 1e-3\n# baseline = 1 0.02 -0.01\n"            \
  "# fringe = 0.004 3.1 0.5\n# tooth_detuning = 2 kHz\n"

static FaintFit *
fit_new (const Scene *scene)
{
  g_autoptr (GError) error = NULL;
  FaintFitOptions options;
  FaintFit *fit;

  faint_fit_options_init (&options);
  options.find_rounds = 0;
  options.fringes = 1;
  options.fringe_period[0] = 3.1;
  options.detuning_free = TRUE;
  options.window_width = 1.0;
  fit = faint_fit_run (scene->spectrum, scene->truth, &options, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (fit->n_windows, >, 4);
  return fit;
}

/* As stated, the model is that of the fit, baseline, fringe and detuning included, and so is
 * chi-square; a part of the span gets what the whole gives there. */
static void
test_fitted (void)
{
  g_autofree char *text = g_strconcat (NOISY, LOCKED, ROWS, NULL);
  Scene scene = scene_new (text, NULL);
  g_autoptr (FaintFit) fit = fit_new (&scene);
  g_autoptr (FaintWhatIf) what = what_if_new (&scene, fit);
  FaintWhatIfValues values = faint_what_if_stated (what);
  g_autoptr (FaintWhatIfModel) all = model_of (what, &values, NAN, NAN);
  g_autoptr (FaintWhatIfModel) part = NULL;

  g_assert_true (values.value[FAINT_WHAT_IF_DETUNING] == fit->instrument.detuning);
  for (gsize t = 0; t < scene.spectrum->n; t++)
    {
      faint_assert_near (all->model[t], fit->model[t], 1e-11, "roundings of sums");
      faint_assert_near (all->residual[t], fit->residual[t], 1e-7, "1e-11 over u of 1e-3");
    }
  faint_assert_close (all->chi2, fit->chi2, 1e-6, "residuals as above");
  g_assert_true (all->dof == fit->dof);
  faint_assert_close (all->chi2_fitted, fit->chi2, 1e-12, "the same sum");
  values.value[FAINT_WHAT_IF_PRESSURE] *= 1.3;
  faint_what_if_model_unref (g_steal_pointer (&all));
  all = model_of (what, &values, NAN, NAN);
  part = model_of (what, &values, 7791.0, 7791.5);
  g_assert_cmpuint (part->n, <, scene.spectrum->n / 2);
  g_assert_cmpfloat (scene.spectrum->wavenumber[part->first], <=, 7791.0);
  g_assert_cmpfloat (scene.spectrum->wavenumber[part->first + part->n - 1], >=, 7791.5);
  for (gsize t = part->first; t < part->first + part->n; t++)
    faint_assert_near (part->model[t], all->model[t], 1e-8, "far wings: fit/far.h");
  g_assert_cmpfloat (all->chi2, >, 2.0 * all->chi2_fitted);
  scene_clear (&scene);
}

/* What is not known stays and is counted. */
static void
test_kept (void)
{
  static const char rows[] = "# columns = position/cm-1 strength/(cm/molecule) lorentz_hwhm/cm-1\n"
                             "7790.3 5e-25 0.002\n7791.1 3e-25 0\n";
  g_autofree char *text = g_strconcat (NOISY, LOCKED, rows, NULL);
  Scene scene = scene_new (text, NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintWhatIf) what
      = faint_what_if_new (scene.spectrum, NULL, scene.truth, NULL, &error);
  FaintWhatIfValues values = faint_what_if_stated (what);
  FaintWhatIfKept kept;
  g_autoptr (FaintLineList) lines = NULL;
  const FaintLine *line;

  g_assert_no_error (error);
  values.value[FAINT_WHAT_IF_TEMPERATURE] = 592.0;
  values.value[FAINT_WHAT_IF_PRESSURE] *= 3.0;
  values.value[FAINT_WHAT_IF_MOLE_FRACTION] = 0.5;
  lines = faint_what_if_lines (what, &values, &kept);
  line = faint_line_list_get (lines, 0);
  g_assert_cmpuint (kept.lines, ==, 2);
  g_assert_cmpuint (kept.strength, ==, 2);
  g_assert_cmpuint (kept.position, ==, 2);
  g_assert_cmpuint (kept.width_temperature, ==, 1); /* the other has no width to change */
  g_assert_cmpuint (kept.width_composition, ==, 1);
  g_assert_false (kept.sums_range);
  g_assert_true (line->strength.value == 5e-25);
  g_assert_true (line->position.value == 7790.3);
  faint_assert_close (line->lorentz.value, 0.006, 1e-15, "a rounding");
  faint_assert_close (line->doppler.value,
                      faint_line_list_get (scene.truth, 0)->doppler.value * sqrt (2.0), 1e-15,
                      "a rounding");
  scene_clear (&scene);
}

/* The setup to take over has the changed values alone, the finesse by the face that was measured.
 */
static void
test_setup (void)
{
  g_autofree char *text
      = g_strconcat (CONDITIONS, CAVITY "# ring_down_time = 7.00(2) us\n", ROWS, NULL);
  Scene scene = scene_new (text, NULL);
  g_autoptr (FaintWhatIf) what = what_if_new (&scene, NULL);
  FaintWhatIfValues values = faint_what_if_stated (what);
  gboolean exact;
  g_autoptr (FaintSetup) same = faint_what_if_setup (what, &values, &exact);
  g_autoptr (FaintSetup) changed = NULL;
  g_autofree char *before = faint_setup_get (scene.spectrum->setup, "ring_down_time");
  g_autofree char *unchanged = faint_setup_get (same, "ring_down_time");
  g_autofree char *pressure = NULL, *detuning = NULL;

  g_assert_true (exact);
  g_assert_cmpstr (before, ==, unchanged);
  g_assert_null (faint_setup_get (same, "tooth_detuning"));
  values.value[FAINT_WHAT_IF_FINESSE] *= 2.0;
  values.value[FAINT_WHAT_IF_PRESSURE] = 2500.0;
  values.value[FAINT_WHAT_IF_DETUNING] = 1500.0;
  changed = faint_what_if_setup (what, &values, &exact);
  g_assert_true (exact);
  g_assert_cmpint (changed->mirror_kind, ==, FAINT_MIRROR_RING_DOWN_TIME);
  /* tau = L/(c (1-R)), F = pi sqrt(R)/(1-R): for good mirrors in proportion */
  faint_assert_close (changed->mirror.value, 14e-6, 1e-6, "second order of the loss");
  pressure = faint_setup_get (changed, "pressure");
  detuning = faint_setup_get (changed, "tooth_detuning");
  g_assert_cmpstr (pressure, ==, "25 hPa");
  g_assert_cmpstr (detuning, ==, "1500 Hz");
  scene_clear (&scene);
}

static void
test_refused (void)
{
  g_autofree char *text = g_strconcat (CONDITIONS, LOCKED, ROWS, NULL);
  static const struct
  {
    FaintWhatIfQuantity quantity;
    double value;
    const char *words;
  } bad[] = {
    { FAINT_WHAT_IF_PRESSURE, -1.0, "*pressure*above 0*" },
    { FAINT_WHAT_IF_TEMPERATURE, 0.0, "*temperature*above 0 K*" },
    { FAINT_WHAT_IF_MOLE_FRACTION, 1.01, "*mole fraction*(0, 1]*" },
    { FAINT_WHAT_IF_FINESSE, 1.0, "*finesse*above 1*" },
    { FAINT_WHAT_IF_FINESSE, NAN, "*finesse*above 1*" },
    { FAINT_WHAT_IF_DETUNING, 130e6, "*half a free spectral range*" },
  };
  Scene scene = scene_new (text, NULL);
  g_autoptr (FaintWhatIf) what = what_if_new (&scene, NULL);

  for (guint i = 0; i < G_N_ELEMENTS (bad); i++)
    {
      g_autoptr (GError) error = NULL;
      FaintWhatIfValues values = faint_what_if_stated (what);

      values.value[bad[i].quantity] = bad[i].value;
      g_assert_null (faint_what_if_model (what, &values, NAN, NAN, 0, NULL, &error));
      g_assert_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_VALUE);
      g_assert_true (g_pattern_match_simple (bad[i].words, error->message));
    }
  scene_clear (&scene);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *path = g_strconcat ("/what-if/simulated/", cases[i].name, NULL);
      g_test_add_data_func (path, &cases[i], test_simulated);
    }
  g_test_add_func ("/what-if/pressure-limits", test_pressure_limits);
  g_test_add_func ("/what-if/fitted", test_fitted);
  g_test_add_func ("/what-if/kept", test_kept);
  g_test_add_func ("/what-if/setup", test_setup);
  g_test_add_func ("/what-if/refused", test_refused);
  return g_test_run ();
}
