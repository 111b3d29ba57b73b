/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Excluded teeth have no say in a fit, and the preview of an edit is the model.
 */
#include "known-lines.h"

#include "faint/fit/preview.h"

/* Teeth 380 to 409, over the strongest line, and a whole window of the baseline and more. */
static const struct
{
  int from, to;
} out[] = { { 392, 399 }, { 1400, 1560 } };

static char *
ranges_text (void)
{
  GString *text = g_string_new (NULL);

  for (gsize i = 0; i < G_N_ELEMENTS (out); i++)
    g_string_append_printf (text, "%s%.6f..%.6f", i > 0 ? ", " : "",
                            synthetic_wavenumber (out[i].from - 0.5),
                            synthetic_wavenumber (out[i].to + 0.5));
  g_string_append (text, " cm-1");
  return g_string_free (text, FALSE);
}

static gboolean
is_out (gsize t)
{
  for (gsize i = 0; i < G_N_ELEMENTS (out); i++)
    if ((int)t >= out[i].from && (int)t <= out[i].to)
      return TRUE;
  return FALSE;
}

static gsize
count_out (void)
{
  gsize n = 0;

  for (gsize i = 0; i < G_N_ELEMENTS (out); i++)
    n += (gsize)(out[i].to - out[i].from + 1);
  return n;
}

/* The record with teeth left out, which hold anything but the truth. */
static FaintSpectrum *
spoilt (gboolean field, const FaintLine *lines, const SyntheticRecord *record, double by)
{
  g_autofree char *text = ranges_text ();
  const char *pairs[] = { "excluded", text, field ? "observable" : NULL, "field", NULL };
  g_autoptr (FaintSetup) setup = synthetic_setup (pairs);
  g_autoptr (FaintSpectrum) good = synthetic_record (setup, lines, N_LINES, record);
  g_autoptr (GError) error = NULL;

  g_assert_cmpuint (good->n_excluded, ==, count_out ());
  for (gsize t = 0; t < good->n; t++)
    if (is_out (t))
      good->value[t] += by * (t % 3);
  return g_steal_pointer (&good);
}

/* The truth is found beside spoilt teeth, and to the last bit whatever they hold. */
static void
test_no_say (gconstpointer data)
{
  gboolean field = GPOINTER_TO_INT (data);
  g_autoptr (FaintSetup) setup = NULL;
  g_autoptr (FaintSpectrum) one = NULL, other = NULL;
  g_autoptr (FaintFit) a = NULL, b = NULL;
  FaintFitOptions options = options_without_finding ();
  FaintLine truth[N_LINES];

  setup = synthetic_setup (field ? (const char *const[]){ "observable", "field", NULL } : NULL);
  make_lines (setup, truth);
  one = spoilt (field, truth, &quiet, 0.4);
  other = spoilt (field, truth, &quiet, -0.1);
  a = run (one, truth, N_LINES, &options);
  b = run (other, truth, N_LINES, &options);
  for (gsize i = 0; i < N_LINES; i++)
    {
      const FaintLine *x = faint_line_list_get (a->lines, i),
                      *y = faint_line_list_get (b->lines, i);

      compare_line (x, &truth[i]);
      g_assert_cmpfloat (x->position.value, ==, y->position.value);
      g_assert_cmpfloat (x->strength.u, ==, y->strength.u);
    }
  faint_assert_near (a->chi2, 0.0, 2e-5,
                     "no noise, so nothing is left but 1e-3 squared and far wings to 1e-10 of u");
}

/* Statistics count the teeth that are used: each window and the whole. */
static void
test_statistics (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) fit = NULL;
  FaintFitOptions options = options_without_finding ();
  SyntheticRecord noisy = quiet;
  FaintLine truth[N_LINES];
  gsize used = 0, parameters = 0;

  make_lines (setup, truth);
  noisy.u = noisy.noise = 1e-4;
  noisy.seed = 5;
  spectrum = spoilt (FALSE, truth, &noisy, 0.4);
  fit = run (spectrum, truth, N_LINES, &options);
  for (gsize k = 0; k < fit->n_windows; k++)
    {
      g_assert_cmpuint (fit->windows[k].n_used, >=, 9);    /* 3 for each coefficient */
      g_assert_cmpfloat (fit->windows[k].largest, <, 5.5); /* of 2000 normal numbers: 4e-8 each */
      used += fit->windows[k].n_used;
      parameters += fit->windows[k].n_parameters;
    }
  g_assert_cmpuint (used, ==, N_TEETH - count_out ());
  faint_assert_near (fit->dof, (double)(used - parameters), 1e-9, "teeth less parameters");
  faint_assert_near (fit->chi2_reduced, 1.0, 4.0 * sqrt (2.0 / fit->dof), "four sigma, fixed seed");
  for (gsize t = 0; t < spectrum->n; t++)
    {
      g_assert_cmpint (isnan (fit->residual[t]), ==, is_out (t));
      g_assert_true (isfinite (fit->model[t])); /* the curve goes on */
    }
}

/* Finding does not see them either. */
static void
test_finding (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) fit = NULL;
  FaintFitOptions options;
  SyntheticRecord noisy = quiet;
  FaintLine truth[N_LINES];

  make_lines (setup, truth);
  noisy.u = noisy.noise = 1e-4;
  noisy.seed = 9;
  faint_fit_options_init (&options);
  spectrum = spoilt (FALSE, truth, &noisy, -0.3);
  fit = run (spectrum, NULL, 0, &options);
  for (gsize i = 0; i < faint_line_list_get_n (fit->lines); i++)
    {
      const FaintLine *line = faint_line_list_get (fit->lines, i);

      g_assert_false (line->position.value > synthetic_wavenumber (out[1].from)
                      && line->position.value < synthetic_wavenumber (out[1].to));
    }
  g_assert_cmpuint (faint_line_list_get_n (fit->lines), >=, 7); /* the faintest has S/N 10 */
}

/* All teeth excluded: said in words. */
static void
test_too_few (void)
{
  const char *pairs[] = { "excluded", "1..1e6 cm-1", NULL };
  g_autoptr (FaintSetup) setup = synthetic_setup (pairs);
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (GError) error = NULL;
  FaintFitOptions options = options_without_finding ();
  FaintLine truth[N_LINES];

  make_lines (setup, truth);
  spectrum = synthetic_record (setup, truth, N_LINES, &quiet);
  g_assert_null (faint_fit_run (spectrum, NULL, &options, NULL, &error));
  faint_assert_error_says (error, FAINT_FIT_ERROR, "holds 0 teeth that are not excluded");
}

/* A line in the hand: the preview is what the model over all teeth gives there, wherever the line
 * goes, with fringes and detuning, one way and back. */
static void
test_preview (gconstpointer data)
{
  gboolean field = GPOINTER_TO_INT (data);
  g_autoptr (FaintSetup) setup = NULL;
  g_autoptr (FaintSpectrum) spectrum = NULL;
  g_autoptr (FaintFit) fit = NULL;
  g_autoptr (FaintFitPreview) preview = NULL;
  FaintFitOptions options = options_without_finding ();
  FaintLine truth[N_LINES];
  static const double places[] = { 405.0, 900.5, 2199.0, 400.1 };

  setup = synthetic_setup (field ? (const char *const[]){ "observable", "field", NULL } : NULL);
  make_lines (setup, truth);
  spectrum = synthetic_record (setup, truth, N_LINES, &quiet);
  options.detuning_free = TRUE;
  fit = run (spectrum, truth, N_LINES, &options);
  preview = faint_fit_preview_new (fit, fit->lines);
  for (gsize k = 0; k < G_N_ELEMENTS (places); k++)
    {
      FaintLine line = *faint_line_list_get (fit->lines, 1);
      g_autoptr (FaintLineList) edited = NULL;
      g_autofree double *model = g_new (double, 2 * N_TEETH);
      double *model_im = field ? model + N_TEETH : NULL;
      g_autoptr (GError) error = NULL;
      FaintFitStretch stretch;

      line.position.value = synthetic_wavenumber (places[k]);
      line.lorentz.value *= 1.5;
      edited = faint_line_list_with_replaced (fit->lines, &line);
      g_assert_true (faint_model_evaluate (spectrum, edited, fit, model, model_im, &error));
      g_assert_true (faint_fit_preview_evaluate (preview, &line, line.position.value - 0.05,
                                                 line.position.value + 0.05, &stretch));
      g_assert_cmpuint (stretch.n, <, N_TEETH);
      g_assert_cmpfloat (spectrum->wavenumber[stretch.first], <=, line.position.value);
      for (gsize t = 0; t < stretch.n; t++)
        {
          faint_assert_near (stretch.model[t], model[stretch.first + t], 1e-9,
                             "far wings by series of different centres");
          if (field)
            faint_assert_near (stretch.model_im[t], model_im[stretch.first + t], 1e-9,
                               "far wings by series of different centres");
        }
    }
}

int
main (int argc, char **argv)
{
  gsl_set_error_handler_off ();
  g_test_init (&argc, &argv, NULL);
  g_test_add_data_func ("/excluded/no-say/power", GINT_TO_POINTER (FALSE), test_no_say);
  g_test_add_data_func ("/excluded/no-say/field", GINT_TO_POINTER (TRUE), test_no_say);
  g_test_add_func ("/excluded/statistics", test_statistics);
  g_test_add_func ("/excluded/finding", test_finding);
  g_test_add_func ("/excluded/too-few", test_too_few);
  g_test_add_data_func ("/preview/power", GINT_TO_POINTER (FALSE), test_preview);
  g_test_add_data_func ("/preview/field", GINT_TO_POINTER (TRUE), test_preview);
  return g_test_run ();
}
