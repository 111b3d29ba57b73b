/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "synthetic.h"

#include <math.h>

#define FIRST_TOOTH 3718000
#define REPETITION_RATE 62.5e6
#define OFFSET_FREQUENCY 20.0e6

/* Exact SI values (SI Brochure, 9th edition, 2019). */
#define LIGHT 29979245800.0
#define BOLTZMANN 1.380649e-23
#define AVOGADRO 6.02214076e23

/* Terms of Weideman's series: 48 give 13 digits where w is not tiny. */
#define TERMS 48

typedef struct
{
  double scale, term[TERMS];
} Weideman;

static gpointer
weideman_new (gpointer nothing)
{
  Weideman *self = g_new (Weideman, 1);
  int m = 2 * TERMS;

  self->scale = sqrt (TERMS / M_SQRT2);
  for (int n = 1; n <= TERMS; n++)
    {
      double sum = 0.0;

      for (int k = 1 - m; k < m; k++)
        {
          double theta = k * M_PI / m, t = self->scale * tan (0.5 * theta);
          sum += exp (-t * t) * (self->scale * self->scale + t * t) * cos (n * theta);
        }
      self->term[n - 1] = sum / (2.0 * m);
    }
  return self;
}

double complex
synthetic_w (double complex z)
{
  static GOnce once = G_ONCE_INIT;
  const Weideman *self = g_once (&once, weideman_new, NULL);
  double complex below = self->scale - I * z;
  double complex place = (self->scale + I * z) / below, sum = 0.0;

  for (int n = TERMS; n-- > 0;)
    sum = sum * place + self->term[n];
  return 2.0 * sum / (below * below) + 1.0 / (sqrt (M_PI) * below);
}

static void
set_pairs (FaintSetup *setup, const char *const *pairs)
{
  g_autoptr (GError) error = NULL;

  for (gsize i = 0; pairs != NULL && pairs[i] != NULL; i += 2)
    if (!faint_setup_set (setup, pairs[i], pairs[i + 1], NULL, &error))
      g_error ("%s", error->message);
}

FaintSetup *
synthetic_setup (const char *const *pairs)
{
  static const char *const usual[] = { "observable",
                                       "power",
                                       "temperature",
                                       "296 K",
                                       "pressure",
                                       "130 Pa",
                                       "mole_fraction",
                                       "1",
                                       "molar_mass",
                                       "44.0011 g/mol",
                                       "repetition_rate",
                                       "62.5 MHz",
                                       "offset_frequency",
                                       "20 MHz",
                                       "cavity",
                                       "standing-wave",
                                       "coupling",
                                       "locked",
                                       "cavity_length",
                                       "60 cm",
                                       "finesse",
                                       "12000",
                                       NULL };
  FaintSetup *setup = faint_setup_new ();

  set_pairs (setup, usual);
  set_pairs (setup, pairs);
  return setup;
}

double
synthetic_wavenumber (double k)
{
  return ((FIRST_TOOTH + k) * REPETITION_RATE + OFFSET_FREQUENCY) / LIGHT;
}

double
synthetic_doppler (const FaintSetup *setup, double wavenumber)
{
  double mass = 1e-3 * setup->molar_mass.value / AVOGADRO;

  return wavenumber * sqrt (2.0 * M_LN2 * BOLTZMANN * setup->temperature.value / mass)
         / (1e-2 * LIGHT);
}

/* Complex profile, cm. */
/* Speed by speed: a molecule of speed t (in units of the most probable) has its own width and
 * centre and flies in every direction alike,
 *   p = int 4/sqrt(pi) t^2 exp(-t^2) (i/(2 pi t D)) ln((zeta + t D)/(zeta - t D)) dt,
 * zeta = nu - nu0 - Delta_2 (t^2 - 3/2) + i (Gamma_0 + Gamma_2 (t^2 - 3/2)), D the Doppler width at
 * 1/e (Berman, JQSRT 12, 1331 (1972), written with the field's phase). Simpson's rule. */
static double complex
speed_dependent_profile (const FaintLine *line, double wavenumber)
{
  const int steps = 1200;
  const double h = 6.0 / steps, d = line->doppler.value / sqrt (M_LN2);
  double complex sum = 0.0;

  for (int i = 1; i < steps; i++)
    {
      double t = i * h, excess = t * t - 1.5;
      double complex zeta = wavenumber - line->position.value - line->speed_shift.value * excess
                            + I * (line->lorentz.value + line->speed_width.value * excess);

      sum += (i % 2 == 1 ? 4.0 : 2.0) * t * exp (-t * t)
             * (clog (zeta + t * d) - clog (zeta - t * d));
    }
  return I * sum * h / 3.0 * 2.0 / (sqrt (M_PI) * M_PI * d);
}

double complex
synthetic_profile (const FaintLine *line, double wavenumber)
{
  double scale = sqrt (M_LN2) / line->doppler.value;

  if (line->profile == FAINT_PROFILE_SPEED_DEPENDENT_VOIGT)
    return speed_dependent_profile (line, wavenumber);
  return scale / sqrt (M_PI)
         * synthetic_w (scale * ((wavenumber - line->position.value) + I * line->lorentz.value));
}

/* N l/2, molecules/cm2, l the absorber in one round trip. */
double
synthetic_column_density (const FaintSetup *setup)
{
  double density = 1e-6 * setup->mole_fraction.value * setup->pressure.value
                   / (BOLTZMANN * setup->temperature.value);
  double length = faint_quantity_is_known (setup->absorber_length) ? setup->absorber_length.value
                                                                   : setup->cavity_length.value;

  if (faint_quantity_is_known (setup->abundance))
    density *= setup->abundance.value;
  return density * (setup->geometry == FAINT_GEOMETRY_STANDING_WAVE ? length : 0.5 * length);
}

static double
free_spectral_range (const FaintSetup *setup)
{
  return LIGHT
         / (setup->geometry == FAINT_GEOMETRY_STANDING_WAVE ? 2.0 * setup->cavity_length.value
                                                            : setup->cavity_length.value);
}

/* Amplitude survival of one round trip. */
static double
survival (const FaintSetup *setup)
{
  double finesse = setup->mirror.value, q, root;

  if (setup->mirror_kind == FAINT_MIRROR_REFLECTIVITY)
    return setup->geometry == FAINT_GEOMETRY_RING ? sqrt (setup->mirror.value)
                                                  : setup->mirror.value;
  if (setup->mirror_kind == FAINT_MIRROR_RING_DOWN_TIME)
    return exp (-0.5 / (free_spectral_range (setup) * setup->mirror.value));
  if (setup->mirror_kind == FAINT_MIRROR_LINEWIDTH)
    finesse = free_spectral_range (setup) / setup->mirror.value;
  /* F = pi sqrt(s)/(1-s): a quadratic in sqrt(s). */
  q = M_PI / finesse;
  root = 0.5 * (sqrt (q * q + 4.0) - q);
  return root * root;
}

/* E/E0 at round-trip phase @phase; with swept coupling sqrt(I/I0). */
double complex
synthetic_cavity (const FaintSetup *setup, double phase, double complex kappa)
{
  double s = survival (setup), re = creal (kappa);
  double share = faint_quantity_is_known (setup->output_share) ? setup->output_share.value : 0.5;
  double complex empty = s * cexp (I * phase);

  if (setup->geometry == FAINT_GEOMETRY_NONE)
    return cexp (-kappa);
  if (setup->coupling == FAINT_COUPLING_SWEPT)
    return sqrt (exp (-2.0 * share * re) * (1.0 - s * s) / (1.0 - s * s * exp (-2.0 * re)));
  return cexp (-share * kappa) * (1.0 - empty) / (1.0 - empty * cexp (-kappa));
}

static double complex
observed (const FaintSetup *setup, double complex field)
{
  double size = cabs (field);

  if (setup->observable == FAINT_OBSERVABLE_FIELD)
    return field;
  return setup->observable == FAINT_OBSERVABLE_POWER ? size * size : size;
}

/* @from_centre: frequency from the middle of the span, Hz. */
static double
phase_of (const FaintSetup *setup, double from_centre)
{
  double detuning = 0.0;

  if (faint_quantity_is_known (setup->tooth_detuning))
    detuning += setup->tooth_detuning.value;
  if (faint_quantity_is_known (setup->tooth_detuning_slope))
    detuning += setup->tooth_detuning_slope.value * from_centre;
  return 2.0 * M_PI * detuning / free_spectral_range (setup);
}

static double
polynomial (const double coefficient[3], double t)
{
  return coefficient[0] + t * (coefficient[1] + t * coefficient[2]);
}

static double complex
baseline (const SyntheticRecord *record, double t)
{
  double re = polynomial (record->baseline, t), im = polynomial (record->baseline_im, t);
  gboolean given = record->baseline[0] != 0.0 || record->baseline_im[0] != 0.0;

  return given ? re + I * im : 1.0;
}

/* Box and Muller, one of the two. */
double
synthetic_normal (GRand *random)
{
  double r = sqrt (-2.0 * log (1.0 - g_rand_double (random)));

  return r * cos (2.0 * M_PI * g_rand_double (random));
}

static void
fill_sample (FaintSpectrum *spectrum, gsize k, double complex value, const SyntheticRecord *record,
             GRand *random)
{
  spectrum->value[k] = creal (value) + record->noise * synthetic_normal (random);
  spectrum->u[k] = record->u;
  if (spectrum->value_im == NULL)
    return;
  spectrum->value_im[k] = cimag (value) + record->noise * synthetic_normal (random);
  spectrum->u_im[k] = record->u;
}

FaintSpectrum *
synthetic_record (FaintSetup *setup, const FaintLine *lines, gsize n_lines,
                  const SyntheticRecord *record)
{
  FaintSpectrum *spectrum = faint_spectrum_new (record->n, setup);
  g_autoptr (GError) error = NULL;
  GRand *random = g_rand_new_with_seed (record->seed);
  double column = synthetic_column_density (setup), last = (double)record->n - 1.0;

  spectrum->axis = FAINT_AXIS_TOOTH;
  spectrum->polar = record->polar;
  for (gsize k = 0; k < record->n; k++)
    {
      double wavenumber = synthetic_wavenumber ((double)k), t = 2.0 * (double)k / last - 1.0;
      double complex kappa = 0.0, field;

      for (gsize i = 0; i < n_lines; i++)
        kappa += lines[i].strength.value * synthetic_profile (&lines[i], wavenumber);
      field = synthetic_cavity (setup, phase_of (setup, ((double)k - 0.5 * last) * REPETITION_RATE),
                                column * kappa);
      spectrum->frequency[k] = (FIRST_TOOTH + (double)k) * REPETITION_RATE + OFFSET_FREQUENCY;
      if (spectrum->tooth != NULL)
        spectrum->tooth[k] = FIRST_TOOTH + (gint64)k;
      fill_sample (spectrum, k, baseline (record, t) * observed (setup, field), record, random);
    }
  g_rand_free (random);
  if (!faint_spectrum_finish (spectrum, &error))
    g_error ("%s", error->message);
  return spectrum;
}

FaintLine
synthetic_line (const FaintSetup *setup, double position, double peak, double lorentz)
{
  FaintLine line = faint_line_unknown ();
  double low = 0.0, high = 10.0;

  line.position.value = position;
  line.lorentz.value = lorentz;
  line.doppler.value = synthetic_doppler (setup, position);
  line.doppler.state = FAINT_STATE_DERIVED;
  for (int i = 0; i < 200; i++)
    {
      double middle = 0.5 * (low + high);
      double value
          = cabs (observed (setup, synthetic_cavity (setup, phase_of (setup, 0.0), middle)));

      if (1.0 - value < peak)
        low = middle;
      else
        high = middle;
    }
  line.strength.value
      = low / (synthetic_column_density (setup) * creal (synthetic_profile (&line, position)));
  return line;
}

void
synthetic_forget (FaintLine *lines, gsize n)
{
  for (gsize i = 0; i < n; i++)
    {
      double position = lines[i].position.value;

      lines[i] = faint_line_unknown ();
      lines[i].position.value = position;
    }
}
