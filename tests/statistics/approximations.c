/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the usual approximations cost. A record of one line without noise, made by the full
 * expressions, is fitted with each approximate model in its place: position, strength, Lorentz
 * width and a baseline of degree 2, the Doppler width known, all teeth of equal weight. What
 * differs from the truth is the approximation's own error. Prints the tables of docs/methods.md;
 * fails where the full expressions themselves do not give the truth back.
 */
#include "synthetic.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_multifit_nlinear.h>

#define TEETH 401
#define CENTRE 200.3
#define FINESSE 12000.0 /* of synthetic_setup() */
#define LORENTZ_OVER_DOPPLER 0.3
#define N_PARAMETERS 6
#define MHZ_PER_WAVENUMBER 29979.2458

typedef enum
{
  MODEL_FULL,
  MODEL_LINEAR,        /* 1 - enhancement * absorbance */
  MODEL_EXPONENTIAL,   /* exp(-enhancement * absorbance) */
  MODEL_NO_DISPERSION, /* full expression, Im kappa = 0, detuning known */
  MODEL_NEITHER,       /* Im kappa = 0 and no detuning */
  MODEL_NO_DETUNING,   /* full expression as if the tooth were on its mode */
} Model;

typedef struct
{
  FaintSetup *setup;
  double phase; /* of the round trip, rad */
  FaintLine truth;
  Model model;
  double value[TEETH];
} Record;

static double
power (const Record *self, Model model, const FaintLine *line, double wavenumber)
{
  double complex kappa = synthetic_column_density (self->setup) * line->strength.value
                         * synthetic_profile (line, wavenumber);
  gboolean swept = self->setup->coupling == FAINT_COUPLING_SWEPT;
  /* Of one pass, times 2F/pi or F/pi. */
  double absorbance = (swept ? 1.0 : 2.0) * FINESSE / M_PI * creal (kappa), size;
  double phase = model == MODEL_NEITHER || model == MODEL_NO_DETUNING ? 0.0 : self->phase;

  if (model == MODEL_LINEAR)
    return 1.0 - absorbance;
  if (model == MODEL_EXPONENTIAL)
    return exp (-absorbance);
  if (model == MODEL_NO_DISPERSION || model == MODEL_NEITHER)
    kappa = creal (kappa);
  size = cabs (synthetic_cavity (self->setup, phase, kappa));
  return size * size;
}

static double
half_width (const FaintLine *line)
{
  /* Olivero and Longbothum, JQSRT 17, 233 (1977). */
  double lorentz = line->lorentz.value, doppler = line->doppler.value;

  return 0.5346 * lorentz + sqrt (0.2166 * lorentz * lorentz + doppler * doppler);
}

/* Position in half widths off the truth, logarithms of strength and Lorentz width over theirs; each
 * plus 1, as are the baseline's coefficients but the constant, because the solver's criterion is
 * relative. */
static FaintLine
line_at (const Record *self, const gsl_vector *x)
{
  FaintLine line = self->truth;

  line.position.value += (gsl_vector_get (x, 0) - 1.0) * half_width (&self->truth);
  line.strength.value *= exp (gsl_vector_get (x, 1) - 1.0);
  line.lorentz.value *= exp (gsl_vector_get (x, 2) - 1.0);
  return line;
}

static int
residuals (const gsl_vector *x, void *data, gsl_vector *out)
{
  const Record *self = data;
  FaintLine line = line_at (self, x);

  for (int k = 0; k < TEETH; k++)
    {
      double t = 2.0 * k / (TEETH - 1.0) - 1.0;
      double slope = gsl_vector_get (x, 4) - 1.0, bend = gsl_vector_get (x, 5) - 1.0;
      double baseline = gsl_vector_get (x, 3) + t * (slope + t * bend);

      gsl_vector_set (out, (size_t)k,
                      baseline * power (self, self->model, &line, synthetic_wavenumber (k))
                          - self->value[k]);
    }
  return GSL_SUCCESS;
}

typedef struct
{
  double strength, position, lorentz; /* relative; half widths; relative */
} Cost;

static Cost
fit (Record *self, Model model)
{
  gsl_multifit_nlinear_parameters parameters = gsl_multifit_nlinear_default_parameters ();
  gsl_multifit_nlinear_fdf fdf = { .f = residuals, .n = TEETH, .p = N_PARAMETERS, .params = self };
  gsl_multifit_nlinear_workspace *work;
  double start[N_PARAMETERS] = { 1.03, 1.03, 1.03, 0.99, 1.0, 1.0 };
  gsl_vector_view x = gsl_vector_view_array (start, N_PARAMETERS);
  const gsl_vector *end;
  int info = 0, status;
  Cost cost;

  self->model = model;
  parameters.fdtype = GSL_MULTIFIT_NLINEAR_CTRDIFF;
  parameters.h_df = 1e-5;
  work = gsl_multifit_nlinear_alloc (gsl_multifit_nlinear_trust, &parameters, TEETH, N_PARAMETERS);
  gsl_multifit_nlinear_init (&x.vector, &fdf, work);
  status = gsl_multifit_nlinear_driver (500, 1e-10, 1e-14, 0.0, NULL, NULL, &info, work);
  if (status != GSL_SUCCESS)
    {
      fprintf (stderr, "a fit does not end: %s\n", gsl_strerror (status));
      exit (1);
    }
  end = gsl_multifit_nlinear_position (work);
  cost.position = gsl_vector_get (end, 0) - 1.0;
  cost.strength = expm1 (gsl_vector_get (end, 1) - 1.0);
  cost.lorentz = expm1 (gsl_vector_get (end, 2) - 1.0);
  gsl_multifit_nlinear_free (work);
  return cost;
}

/* @detuning: tooth minus mode, in full widths FSR/F of the mode. */
static void
record_init (Record *self, const char *coupling, double detuning, double peak)
{
  double mode_width = 29979245800.0 / 120.0 / FINESSE; /* a 60 cm standing wave */
  g_autofree char *text = g_strdup_printf ("%.12g Hz", detuning * mode_width);
  const char *const pairs[] = { "coupling", coupling, "tooth_detuning", text, NULL };
  double position = synthetic_wavenumber (CENTRE);

  self->setup = synthetic_setup (pairs);
  self->phase = 2.0 * M_PI * detuning / FINESSE;
  self->truth = synthetic_line (self->setup, position, peak,
                                LORENTZ_OVER_DOPPLER * synthetic_doppler (self->setup, position));
  for (int k = 0; k < TEETH; k++)
    self->value[k] = power (self, MODEL_FULL, &self->truth, synthetic_wavenumber (k));
}

static void
check_full (Record *self)
{
  Cost cost = fit (self, MODEL_FULL);

  /* No noise and the right model: only the rounding of the differences is left. */
  if (fabs (cost.strength) < 1e-6 && fabs (cost.position) < 1e-6 && fabs (cost.lorentz) < 1e-5)
    return;
  fprintf (stderr, "the full expressions miss the truth by %g, %g, %g\n", cost.strength,
           cost.position, cost.lorentz);
  exit (1);
}

static void
print_weak (void)
{
  static const double peaks[] = { 0.001, 0.01, 0.05, 0.1, 0.2, 0.5, 0.8, 0.95 };

  puts ("| peak | locked: linear | exponential | no dispersion | swept: linear | exponential |\n"
        "|---|---|---|---|---|---|");
  for (gsize i = 0; i < G_N_ELEMENTS (peaks); i++)
    {
      static const char *const couplings[] = { "locked", "swept" };

      printf ("| %g %%", 100.0 * peaks[i]);
      for (int c = 0; c < 2; c++)
        {
          Record record;

          record_init (&record, couplings[c], 0.0, peaks[i]);
          check_full (&record);
          printf (" | %+.2f", 100.0 * fit (&record, MODEL_LINEAR).strength);
          printf (" | %+.2f", 100.0 * fit (&record, MODEL_EXPONENTIAL).strength);
          if (c == 0)
            printf (" | %+.2f", 100.0 * fit (&record, MODEL_NO_DISPERSION).strength);
          faint_setup_unref (record.setup);
        }
      puts (" |");
    }
}

static void
print_detuned (void)
{
  static const double detunings[] = { 0.0, 0.02, 0.05, 0.1, 0.25, 0.5 };
  static const double peaks[] = { 0.01, 0.2, 0.8 };
  static const Model models[] = { MODEL_NO_DISPERSION, MODEL_NEITHER, MODEL_NO_DETUNING };

  puts ("\n| detuning / mode width | peak | dispersion left out | both left out | detuning left out"
        " |\n|---|---|---|---|---|");
  for (gsize d = 0; d < G_N_ELEMENTS (detunings); d++)
    for (gsize i = 0; i < G_N_ELEMENTS (peaks); i++)
      {
        Record record;
        double mhz;

        record_init (&record, "locked", detunings[d], peaks[i]);
        check_full (&record);
        mhz = MHZ_PER_WAVENUMBER * half_width (&record.truth);
        printf ("| %g | %g %%", detunings[d], 100.0 * peaks[i]);
        for (gsize m = 0; m < G_N_ELEMENTS (models); m++)
          {
            Cost cost = fit (&record, models[m]);
            printf (" | %+.2f %%, %+.2f MHz", 100.0 * cost.strength, mhz * cost.position);
          }
        puts (" |");
        faint_setup_unref (record.setup);
      }
}

int
main (void)
{
  gsl_set_error_handler_off ();
  print_weak ();
  print_detuned ();
  return 0;
}
