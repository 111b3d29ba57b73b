/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Gradient and normal matrix of the model against differences of its own
 * chi-square and residuals, and its values against a forward model of the
 * test's own.
 */
#include "faint-test.h"
#include "faint/fit/band.h"
#include "faint/fit/least-squares.h"
#include "faint/fit/model.h"
#include "synthetic.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_errno.h>

#define N_TEETH 1500
#define N_LINES 9

typedef struct
{
  const char *name;
  const char *pairs[12]; /* of the setup */
  gboolean polar, doppler_free, known_widths, detuning_free, fringes, tied, beyond_voigt, common,
      speed_dependent;
} Case;

static const Case cases[] = {
  { "power", { NULL } },
  { "power-detuned", { "tooth_detuning", "4 kHz", "tooth_detuning_slope", "3e-8", NULL } },
  { "amplitude", { "observable", "amplitude", NULL } },
  { "field", { "observable", "field", "tooth_detuning", "-3 kHz", NULL } },
  { "field-polar", { "observable", "field", "tooth_detuning", "5 kHz", NULL }, TRUE },
  { "swept-power", { "coupling", "swept", NULL } },
  { "swept-amplitude", { "coupling", "swept", "observable", "amplitude", NULL } },
  { "ring",
    { "cavity", "ring", "cavity_length", "90 cm", "output_share", "0.7", "tooth_detuning", "2 kHz",
      NULL } },
  { "ring-field", { "cavity", "ring", "observable", "field", "tooth_detuning", "2 kHz", NULL } },
  { "single-pass", { "cavity", "none", "cavity_length", "3000 m", "finesse", "", NULL } },
  { "doppler-free", { "tooth_detuning", "4 kHz", NULL }, FALSE, TRUE },
  { "field-doppler-free", { "observable", "field", NULL }, TRUE, TRUE },
  { "known-widths", { NULL }, FALSE, FALSE, TRUE },
  { "detuning-free", { "tooth_detuning", "4 kHz", NULL }, .detuning_free = TRUE },
  { "field-detuning-free",
    { "observable", "field", "tooth_detuning", "-3 kHz", NULL },
    .polar = TRUE,
    .detuning_free = TRUE },
  { "fringes", { NULL }, .fringes = TRUE },
  { "field-fringes", { "observable", "field", NULL }, .fringes = TRUE },
  { "tied", { NULL }, .tied = TRUE },
  { "beyond-voigt", { "tooth_detuning", "4 kHz", NULL }, .beyond_voigt = TRUE },
  { "field-beyond-voigt", { "observable", "field", NULL }, .beyond_voigt = TRUE },
  { "speed-dependent", { NULL }, .speed_dependent = TRUE },
  { "common-widths", { NULL }, .doppler_free = TRUE, .common = TRUE },
};

/* A span of several windows: blends, a wide strong line whose wings reach the
 * others, a fixed width, an excluded line, one at the edge and one outside.
 * Teeth from the first. */
static const struct
{
  double tooth, peak, lorentz;
} placed[N_LINES] = {
  { -3.0, 0.3, 0.002 },   { 140.0, 0.02, 0.001 },  { 146.0, 0.3, 0.0005 },
  { 400.0, 0.9, 0.004 },  { 690.0, 0.1, 0.001 },   { 696.0, 0.5, 0.001 },
  { 1000.0, 0.2, 0.003 }, { 1180.0, 0.05, 0.001 }, { 1490.0, 0.6, 0.0015 },
};

static void
tie (FaintLine *lines, int line, FaintPlace place, int to, double factor)
{
  FaintParameter *parameter = faint_line_parameter (&lines[line], place);

  parameter->state = FAINT_STATE_TIED;
  parameter->tied_to = lines[to].id;
  parameter->tie_factor = factor;
  parameter->tie_offset
      = parameter->value - factor * faint_line_parameter (&lines[to], place)->value;
}

/* A pair with fixed distance and ratio, and widths that follow from afar. */
static void
tie_lines (FaintLine *lines)
{
  for (int i = 0; i < N_LINES; i++)
    lines[i].id = (guint)(i + 1);
  tie (lines, 5, FAINT_PLACE_POSITION, 4, 1.0);
  tie (lines, 5, FAINT_PLACE_STRENGTH, 4, 3.0);
  tie (lines, 2, FAINT_PLACE_LORENTZ, 3, 0.5);
  tie (lines, 8, FAINT_PLACE_LORENTZ, 3, 0.25);
}

static void
widen_profiles (FaintLine *lines)
{
  lines[2].profile = lines[5].profile = FAINT_PROFILE_HARTMANN_TRAN;
  lines[3].profile = FAINT_PROFILE_SPEED_DEPENDENT_VOIGT;
  for (int i = 2; i < 6; i++)
    {
      lines[i].speed_width.value = 0.1 * lines[i].lorentz.value;
      lines[i].speed_shift.value = 1e-5;
      lines[i].velocity_changing.value = 5e-4;
      lines[i].correlation.value = 0.3;
    }
}

static void
make_lines (const FaintSetup *setup, const Case *what, FaintLine *lines)
{
  for (int i = 0; i < N_LINES; i++)
    {
      lines[i] = synthetic_line (setup, synthetic_wavenumber (placed[i].tooth), placed[i].peak,
                                 placed[i].lorentz);
      if (what->doppler_free)
        lines[i].doppler.state = FAINT_STATE_FREE;
    }
  lines[6].lorentz.state = FAINT_STATE_FIXED;
  lines[7].position.state = FAINT_STATE_FIXED;
  if (what->tied)
    tie_lines (lines);
  if (what->beyond_voigt)
    widen_profiles (lines);
  for (int i = 2; what->speed_dependent && i < 6; i++)
    {
      lines[i].profile = FAINT_PROFILE_SPEED_DEPENDENT_VOIGT;
      lines[i].speed_width.value = 0.1 * lines[i].lorentz.value;
      lines[i].speed_shift.value = -0.03 * lines[i].lorentz.value;
    }
}

static void
choose_options (const Case *what, FaintFitOptions *options)
{
  faint_fit_options_init (options);
  options->window_width = 0.4;
  options->detuning_free = options->detuning_slope_free = what->detuning_free;
  options->fringes = what->fringes ? 2 : 0;
  options->lorentz_common = options->doppler_common = what->common;
}

typedef struct
{
  FaintModel *model;
  gsize n;
  double *theta, *chi2, *gradient, *sigma; /* sigma: 1/sqrt of the normal matrix's diagonal */
  FaintNormal *normal;
} Bench;

static const FaintFitInstrument test_fringes
    = { .detuning = NAN,
        .detuning_slope = NAN,
        .n_fringes = 2,
        .fringe = { { .period = 0.31, .cosine = 0.02, .sine = -0.01 },
                    { .period = 0.093, .cosine = -0.003, .sine = 0.005 } } };

/* Lines that are not quite those of the record, baselines that are not either,
 * and noise. */
static void
bench_init (Bench *self, const Case *what)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (what->pairs);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (GError) error = NULL;
  FaintLine lines[N_LINES];
  FaintFitOptions options;
  FaintLayout *layout;

  make_lines (setup, what, lines);
  spectrum = synthetic_record (setup, lines, N_LINES,
                               &(SyntheticRecord){ .n = N_TEETH,
                                                   .u = 1e-5,
                                                   .noise = 1e-5,
                                                   .seed = 7,
                                                   .polar = what->polar,
                                                   .baseline = { 0.9, 0.02, -0.01 },
                                                   .baseline_im = { 0.3, -0.02, 0.01 } });
  choose_options (what, &options);
  layout = faint_layout_new (spectrum, lines, N_LINES, &options, 0.0075);
  g_assert_cmpuint (layout->n_windows, >=, 4);
  self->n = layout->n_parameters;
  self->model = faint_model_new (spectrum, layout, lines, 2, &error);
  g_assert_no_error (error);
  if (what->known_widths)
    {
      self->model->width_mean = 0.0012;
      self->model->width_spread = 1e-6;
    }
  if (what->fringes)
    faint_model_set_instrument (self->model, &test_fringes);
  self->theta = g_memdup2 (self->model->theta, self->n * sizeof (double));
  self->chi2 = g_new0 (double, layout->n_groups);
  self->gradient = g_new (double, self->n);
  self->sigma = g_new (double, self->n);
  self->normal = faint_model_normal_new (self->model);
}

static void
bench_clear (Bench *self)
{
  faint_model_free (self->model);
  g_free (self->theta);
  g_free (self->chi2);
  g_free (self->gradient);
  g_free (self->sigma);
  faint_normal_free (self->normal);
}

static double
chi2_at (Bench *self, const double *theta)
{
  double sum = 0.0;
  g_autofree double *gradient = g_new (double, self->n);
  FaintNormal *normal = faint_normal_duplicate (self->normal);

  g_assert_true (faint_model_evaluate_rows (theta, self->chi2, gradient, normal, self->model));
  faint_normal_free (normal);
  for (gsize k = 0; k < self->model->layout->n_windows; k++)
    sum += self->chi2[k];
  return sum;
}

/* Evaluates where the baselines are right but every line is a few uncertainties
 * off. */
static void
evaluate (Bench *self)
{
  g_assert_true (faint_model_evaluate_rows (self->theta, self->chi2, self->gradient, self->normal,
                                            self->model));
  for (gsize j = 0; j < self->n; j++)
    self->sigma[j] = 1.0 / sqrt (faint_normal_get (self->normal, j, j));
}

static void
leave_optimum (Bench *self)
{
  const FaintLayout *layout = self->model->layout;

  for (gsize k = 0; k < layout->n_windows; k++)
    {
      self->theta[layout->windows[k].coefficient] = 0.9;
      if (layout->channels == 2)
        self->theta[layout->windows[k].coefficient + layout->windows[k].degree + 1] = 0.3;
    }
  evaluate (self);
  for (gsize j = 0; j < self->n; j++)
    self->theta[j] += self->sigma[j] * (3.0 + (double)(j % 4)) * (j % 2 == 0 ? 1.0 : -1.0);
  evaluate (self);
}

/* The gradient of a line holds what its far wings do beside a baseline at its
 * optimum (window-sums.c): one Newton step of the baselines, on which the model
 * depends linearly. */
static void
optimise_baselines (Bench *self)
{
  const FaintLayout *layout = self->model->layout;
  g_autofree gboolean *held = g_new (gboolean, self->n);
  g_autoptr (FaintNormalFactor) factor = faint_normal_factor_new (self->normal);

  for (gsize j = 0; j < self->n; j++)
    held[j] = TRUE;
  for (gsize k = 0; k < layout->n_windows; k++)
    for (gsize d = 0; d < faint_layout_coefficients (layout, &layout->windows[k]); d++)
      held[layout->windows[k].coefficient + d] = FALSE;
  faint_normal_hold (self->normal, self->gradient, held);
  g_assert_true (faint_normal_factor (factor, self->normal));
  faint_normal_solve (factor, self->gradient);
  for (gsize j = 0; j < self->n; j++)
    self->theta[j] += self->gradient[j];
  evaluate (self);
}

static gboolean
is_doppler (const FaintLayout *layout, gsize parameter)
{
  for (gsize i = 0; i < layout->n_lines; i++)
    if (layout->place[i][FAINT_PLACE_DOPPLER] == (gssize)parameter)
      return TRUE;
  return FALSE;
}

/* -1/2 dchi2/dtheta in units of 1/sigma, error of the second order taken out.
 */
static double
slope_of_chi2 (Bench *self, gsize j)
{
  double kept = self->theta[j], slope[2];

  for (int i = 0; i < 2; i++)
    {
      double up = kept + 2.0 / (1 << i) * self->sigma[j], down = 2.0 * kept - up;

      self->theta[j] = up;
      slope[i] = chi2_at (self, self->theta);
      self->theta[j] = down;
      /* The step as it is, rounded to the digits of a position. */
      slope[i] = -0.5 * (slope[i] - chi2_at (self, self->theta)) * self->sigma[j] / (up - down);
    }
  self->theta[j] = kept;
  return (4.0 * slope[1] - slope[0]) / 3.0;
}

static void
test_gradient (gconstpointer data)
{
  Bench self;
  double scale;

  bench_init (&self, data);
  leave_optimum (&self);
  optimise_baselines (&self);
  scale = sqrt (chi2_at (&self, self.theta));
  for (gsize j = 0; j < self.n; j++)
    {
      /* |g sigma| is at most sqrt(chi2). A position moves the derived Doppler
       * width by 1e-6 of itself, which the gradient leaves out; so it does what a
       * Doppler width does to windows far away (far.c). */
      double tolerance = is_doppler (self.model->layout, j) ? 1e-4 : 2e-6;

      faint_assert_near (self.gradient[j] * self.sigma[j], slope_of_chi2 (&self, j),
                         tolerance * scale,
                         "what is left out: Doppler widths by positions 1e-6, far away 1e-4");
    }
  bench_clear (&self);
}

/* Residual rows of the whole record. */
static double *
rows_at (Bench *self, const double *theta)
{
  double *rows = g_new0 (double, 2 * N_TEETH);

  faint_model_set_theta (self->model, theta);
  g_assert_true (faint_model_fill (
      self->model, &(FaintModelArrays){ .residual = rows, .residual_im = rows + N_TEETH }));
  return rows;
}

/* - d rows/d theta times sigma. */
static double *
column_by_differences (Bench *self, gsize j)
{
  double *column = g_new0 (double, 2 * N_TEETH), kept = self->theta[j];

  for (int i = 0; i < 2; i++)
    {
      double up = kept + 2.0 / (1 << i) * self->sigma[j], down = 2.0 * kept - up;
      double part = (i == 0 ? -1.0 / 3.0 : 4.0 / 3.0) * self->sigma[j] / (up - down);
      g_autofree double *rows_up = NULL, *rows_down = NULL;

      self->theta[j] = up;
      rows_up = rows_at (self, self->theta);
      self->theta[j] = down;
      rows_down = rows_at (self, self->theta);
      for (int t = 0; t < 2 * N_TEETH; t++)
        column[t] -= part * (rows_up[t] - rows_down[t]);
    }
  self->theta[j] = kept;
  return column;
}

/* Does the window compute the parameter directly: its own baseline, or a line
 * near it? */
static gboolean
knows (const FaintLayout *layout, const FaintLayoutWindow *window, gsize j)
{
  if (j >= window->coefficient
      && j < window->coefficient + faint_layout_coefficients (layout, window))
    return TRUE;
  if ((gssize)j == layout->detuning || (gssize)j == layout->detuning_slope
      || (layout->n_fringes > 0 && j >= (gsize)layout->fringe))
    return TRUE;
  for (gsize i = window->near_first; i < window->near_first + window->n_near; i++)
    for (int p = 0; p < FAINT_PLACE_N; p++)
      if (layout->place[i][p] == (gssize)j)
        return TRUE;
  return FALSE;
}

static double
product (const FaintLayout *layout, const double *a, gsize i, const double *b, gsize j)
{
  double sum = 0.0;

  for (gsize k = 0; k < layout->n_windows; k++)
    if (knows (layout, &layout->windows[k], i) && knows (layout, &layout->windows[k], j))
      for (gsize t = layout->windows[k].first; t < layout->windows[k].first + layout->windows[k].n;
           t++)
        sum += a[t] * b[t] + a[N_TEETH + t] * b[N_TEETH + t];
  return sum;
}

/* J^T J, in units of the diagonal, over the windows that compute both
 * parameters directly. */
static void
test_normal_matrix (gconstpointer data)
{
  const Case *what = data;
  Bench self;
  g_autofree double **columns = NULL;
  guint coupled = 0;

  bench_init (&self, what);
  leave_optimum (&self);
  columns = g_new (double *, self.n);
  for (gsize j = 0; j < self.n; j++)
    columns[j] = column_by_differences (&self, j);
  for (gsize j = 0; j < self.n; j++)
    for (gsize i = j; i < self.n; i++)
      {
        double want = product (self.model->layout, columns[j], j, columns[i], i), got = 0.0;

        got = faint_normal_get (self.normal, i, j) * self.sigma[i] * self.sigma[j];
        if (what->known_widths && i == j)
          continue;
        /* A window that sees one of two tied lines directly leaves out the other's far wing. */
        faint_assert_near (got, want, what->tied || what->common ? 5e-3 : 2e-6,
                           "a position moves the derived Doppler width by 1e-6 of itself");
        coupled += i != j && fabs (want) > 1e-3;
      }
  g_assert_cmpuint (coupled, >, 50);
  for (gsize j = 0; j < self.n; j++)
    g_free (columns[j]);
  bench_clear (&self);
}

/* With the truth in it the model is the record. */
static void
test_value (gconstpointer data)
{
  const Case *what = data;
  g_autoptr (FaintSetup) setup = synthetic_setup (what->pairs);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintModel) model = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree double *value = g_new0 (double, 2 * N_TEETH);
  FaintLine lines[N_LINES];
  FaintFitOptions options;

  make_lines (setup, what, lines);
  spectrum = synthetic_record (setup, lines, N_LINES,
                               &(SyntheticRecord){ .n = N_TEETH, .u = 1e-5, .polar = what->polar });
  choose_options (what, &options);
  model = faint_model_new (spectrum, faint_layout_new (spectrum, lines, N_LINES, &options, 0.0075),
                           lines, 1, &error);
  g_assert_no_error (error);
  faint_model_fill (model, &(FaintModelArrays){ .model = value, .model_im = value + N_TEETH });
  for (gsize t = 0; t < N_TEETH; t++)
    {
      /* Far away lines beyond Voigt count as Voigt's: the same but for (Gamma_2/distance)^2. */
      faint_assert_near (value[t], spectrum->value[t], what->speed_dependent ? 2e-8 : 2e-10,
                         "far wings to 1e-9 of at most 0.1 of absorption");
      if (spectrum->value_im != NULL)
        faint_assert_near (value[N_TEETH + t], spectrum->value_im[t], 2e-10, "the same");
    }
}

/* An excluded line is not in the model, and has no parameters. */
static void
test_excluded (void)
{
  const Case *what = &cases[0];
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintModel) model = NULL;
  g_autoptr (GError) error = NULL;
  double value[N_TEETH];
  FaintLine lines[N_LINES], others[N_LINES - 1];
  FaintFitOptions options;

  make_lines (setup, what, lines);
  memcpy (others, lines, 3 * sizeof *lines);
  memcpy (others + 3, lines + 4, (N_LINES - 4) * sizeof *lines);
  lines[3].flags |= FAINT_LINE_EXCLUDED;
  spectrum = synthetic_record (setup, others, N_LINES - 1,
                               &(SyntheticRecord){ .n = N_TEETH, .u = 1e-5 });
  choose_options (what, &options);
  model = faint_model_new (spectrum, faint_layout_new (spectrum, lines, N_LINES, &options, 0.0075),
                           lines, 1, &error);
  g_assert_no_error (error);
  for (int p = 0; p < FAINT_PLACE_N; p++)
    g_assert_cmpint (model->layout->place[3][p], ==, -1);
  faint_model_fill (model, &(FaintModelArrays){ .model = value });
  for (gsize t = 0; t < N_TEETH; t++)
    faint_assert_near (value[t], spectrum->value[t], 2e-10,
                       "far wings to 1e-9 of at most 0.1 of absorption");
}

/* What is known of a width counts as one observation: (mean - width)/spread. */
static void
test_known_widths (void)
{
  Bench with, without;
  const FaintLayout *layout;
  double more = 0.0;

  bench_init (&with, &cases[0]);
  bench_init (&without, &cases[0]);
  with.model->width_mean = 0.002;
  with.model->width_spread = 1e-4;
  evaluate (&with);
  evaluate (&without);
  layout = with.model->layout;
  for (gsize i = 0; i < N_LINES; i++)
    {
      gssize at = layout->place[i][FAINT_PLACE_LORENTZ];
      double distance = (0.002 - placed[i].lorentz) / 1e-4;

      if (at < 0)
        continue;
      more += distance * distance;
      faint_assert_close (with.gradient[at] - without.gradient[at], distance / 1e-4, 1e-6,
                          "a difference of two of up to 1e5 times as much");
      faint_assert_close (faint_normal_get (with.normal, (gsize)at, (gsize)at)
                              - faint_normal_get (without.normal, (gsize)at, (gsize)at),
                          1e8, 1e-3, "a difference of two of up to 1e5 times as much");
    }
  g_assert_cmpfloat (more, >, 100.0);
  faint_assert_close (chi2_at (&with, with.theta) - chi2_at (&without, without.theta), more, 1e-9,
                      "a difference of two of up to 1e5 times as much");
  bench_clear (&with);
  bench_clear (&without);
}

/* The forward model of these tests itself, against w(z) to 80 digits and more.
 */
static void
test_synthetic (void)
{
  FaintTestTable *table = faint_test_table_read ("faddeeva.csv");
  guint compared = 0;

  for (guint i = 0; i < table->rows->len; i++)
    {
      double x = faint_test_table_number (table, i, "x"),
             y = faint_test_table_number (table, i, "y");
      double re = faint_test_table_number (table, i, "re"),
             im = faint_test_table_number (table, i, "im");
      double complex w;

      if (y < 0.0)
        continue;
      w = synthetic_w (x + I * y);
      faint_assert_near (cabs (w - (re + I * im)), 0.0, 1e-12 * hypot (re, im),
                         "Weideman's series with 48 terms, and rounding");
      compared++;
    }
  g_assert_cmpuint (compared, >, 50);
  faint_test_table_free (table);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  g_test_add_func ("/fit/model/synthetic", test_synthetic);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *gradient = g_strdup_printf ("/fit/model/gradient/%s", cases[i].name);
      g_autofree char *matrix = g_strdup_printf ("/fit/model/normal-matrix/%s", cases[i].name);
      g_autofree char *value = g_strdup_printf ("/fit/model/value/%s", cases[i].name);

      /* The records of these tests know Voigt profiles of widths that differ. */
      if (!cases[i].beyond_voigt && !cases[i].common)
        g_test_add_data_func (value, &cases[i], test_value);
      g_test_add_data_func (gradient, &cases[i], test_gradient);
      g_test_add_data_func (matrix, &cases[i], test_normal_matrix);
    }
  g_test_add_func ("/fit/model/excluded", test_excluded);
  g_test_add_func ("/fit/model/known-widths", test_known_widths);
  return g_test_run ();
}
