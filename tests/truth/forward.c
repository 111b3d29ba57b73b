/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "forward.h"

#include <cerf.h>
#include <complex.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* Invented conditions: a weak overtone band of nitrous oxide in a 60 cm cavity. */
#define TEETH 36000
#define FIRST_TOOTH 3718000
#define REPETITION_RATE 62.5e6
#define OFFSET_FREQUENCY 20.0e6
#define TEMPERATURE 296.0
#define PRESSURE 130.0
#define MOLAR_MASS 44.0011
#define LENGTH 60.0
#define FINESSE 12000.0

/* Exact SI values (SI Brochure, 9th edition, 2019). */
#define LIGHT 29979245800.0
#define BOLTZMANN 1.380649e-23
#define AVOGADRO 6.02214076e23

/* splitmix64 (Steele, Lea, Flood, OOPSLA 2014). */
static guint64
next (guint64 *state)
{
  guint64 z = (*state += G_GUINT64_CONSTANT (0x9e3779b97f4a7c15));

  z = (z ^ (z >> 30)) * G_GUINT64_CONSTANT (0xbf58476d1ce4e5b9);
  z = (z ^ (z >> 27)) * G_GUINT64_CONSTANT (0x94d049bb133111eb);
  return z ^ (z >> 31);
}

double
truth_uniform (guint64 *state)
{
  return ((double)(next (state) >> 11) + 0.5) * 0x1p-53;
}

/* Box and Muller, one of the two. */
double
truth_normal (guint64 *state)
{
  double r = sqrt (-2.0 * log (truth_uniform (state)));

  return r * cos (2.0 * M_PI * truth_uniform (state));
}

static double
tooth_wavenumber (int k)
{
  return ((FIRST_TOOTH + (double)k) * REPETITION_RATE + OFFSET_FREQUENCY) / LIGHT;
}

static double
doppler_width (double wavenumber)
{
  double mass = 1e-3 * MOLAR_MASS / AVOGADRO;

  return wavenumber * sqrt (2.0 * M_LN2 * BOLTZMANN * TEMPERATURE / mass) / (1e-2 * LIGHT);
}

/* Complex profile, cm: the convolution of a Gaussian and a complex Lorentzian (DLMF 7.19). */
static double complex
profile (const TruthLine *line, double wavenumber)
{
  double scale = sqrt (M_LN2) / line->doppler;

  return scale / sqrt (M_PI) * w_of_z (scale * ((wavenumber - line->position) + I * line->lorentz));
}

/* N l_rt / 2, molecules/cm2, of the standing wave. */
static double
column_density (void)
{
  return PRESSURE / (BOLTZMANN * TEMPERATURE) * 1e-6 * LENGTH;
}

/* s from F = pi sqrt(s)/(1-s): a quadratic in sqrt(s). */
static double
survival (void)
{
  double q = M_PI / FINESSE;
  double root = 0.5 * (-q + sqrt (q * q + 4.0));

  return root * root;
}

/* E/E0 of a locked tooth, or sqrt(I/I0) of a swept one, for the exponent @kappa of a round trip. */
static double complex
cavity (const TruthCase *what, double complex kappa)
{
  double s = survival ();
  /* Detuning in mode widths FSR/F is a phase 2 pi/F. */
  double complex empty = s * cexp (I * 2.0 * M_PI * what->detuning / FINESSE);

  if (what->kind == TRUTH_SWEPT)
    return sqrt (exp (-creal (kappa)) * (1.0 - s * s) / (1.0 - s * s * exp (-2.0 * creal (kappa))));
  return cexp (-0.5 * kappa) * (1.0 - empty) / (1.0 - empty * cexp (-kappa));
}

static double
peak_of (const TruthCase *what, double kappa)
{
  double amplitude = cabs (cavity (what, kappa));
  gboolean power = what->kind == TRUTH_POWER || what->kind == TRUTH_SWEPT;

  return 1.0 - (power ? amplitude * amplitude : amplitude);
}

/* The exponent at a line's centre that gives @peak: by bisection. */
static double
kappa_for_peak (const TruthCase *what, double peak)
{
  double low = 0.0, high = 1.0;

  for (int i = 0; i < 200; i++)
    {
      double middle = 0.5 * (low + high);
      if (peak_of (what, middle) < peak)
        low = middle;
      else
        high = middle;
    }
  return 0.5 * (low + high);
}

static int
by_position (const void *a, const void *b)
{
  double one = ((const TruthLine *)a)->position, other = ((const TruthLine *)b)->position;

  return (one > other) - (one < other);
}

static void
draw_line (const TruthCase *what, guint64 *state, TruthLine *line)
{
  double first = tooth_wavenumber (0), last = tooth_wavenumber (TEETH - 1);
  double margin = 0.05; /* seven Doppler widths: no line runs out of the span */

  line->position = first + margin + (last - first - 2.0 * margin) * truth_uniform (state);
  line->doppler = doppler_width (line->position);
  line->lorentz
      = line->doppler
        * (what->lorentz_from + (what->lorentz_to - what->lorentz_from) * truth_uniform (state));
  /* 0.1 % to 70 %, log-uniform */
  line->peak = 1e-3 * pow (700.0, truth_uniform (state));
  line->strength = kappa_for_peak (what, line->peak)
                   / (column_density () * creal (profile (line, line->position)));
}

Truth *
truth_new (const TruthCase *what)
{
  Truth *self = g_new0 (Truth, 1);
  guint64 state = what->seed;

  self->what = what;
  self->n = what->n_lines;
  self->lines = g_new0 (TruthLine, MAX (self->n, 1));
  for (int i = 0; i < self->n; i++)
    draw_line (what, &state, &self->lines[i]);
  qsort (self->lines, (size_t)self->n, sizeof *self->lines, by_position);
  for (int i = 0; i < self->n; i++)
    {
      double here = self->lines[i].position, apart = 4.0 * self->lines[i].doppler;
      self->lines[i].isolated = (i == 0 || here - self->lines[i - 1].position > apart)
                                && (i == self->n - 1 || self->lines[i + 1].position - here > apart);
    }
  return self;
}

void
truth_free (Truth *self)
{
  g_free (self->lines);
  g_free (self);
}

static void
write_header (const TruthCase *what, FILE *file)
{
  static const char *const observables[] = { "power", "amplitude", "field", "power" };
  double mode_width = LIGHT / (2.0 * LENGTH) / FINESSE;

  fprintf (file, "# comb-table 1\n# title = invented lines, case %s\n", what->name);
  fprintf (file, "# repetition_rate = %.6f MHz\n# offset_frequency = %.6f MHz\n",
           1e-6 * REPETITION_RATE, 1e-6 * OFFSET_FREQUENCY);
  fprintf (file, "# observable = %s\n# temperature = %.2f K\n# pressure = %.2f Pa\n",
           observables[what->kind], TEMPERATURE, PRESSURE);
  fprintf (file, "# mole_fraction = 1\n# molar_mass = %.4f g/mol\n# cavity = standing-wave\n",
           MOLAR_MASS);
  fprintf (file, "# coupling = %s\n# cavity_length = %.2f cm\n# finesse = %.1f\n",
           what->kind == TRUTH_SWEPT ? "swept" : "locked", LENGTH, FINESSE);
  if (what->detuning != 0.0)
    fprintf (file, "# tooth_detuning = %.17g Hz\n", what->detuning * mode_width);
  fputs ("# columns = tooth ", file);
  if (what->kind == TRUTH_FIELD)
    fputs (what->columns == TRUTH_COLUMNS_TRANSMISSION ? "real imag\n"
                                                       : "real imag u(real) u(imag)\n",
           file);
  else if (what->columns == TRUTH_COLUMNS_SIGNAL)
    fputs ("signal reference u(signal)\n", file);
  else
    fputs (what->columns == TRUTH_COLUMNS_TRANSMISSION ? "transmission\n"
                                                       : "transmission u(transmission)\n",
           file);
}

/* The empty cavity seen by a detector that is not quite flat; @t from -1 to 1 over the span. */
static double complex
baseline (const TruthCase *what, double t)
{
  double complex level = 1.0 + 0.004 * t - 0.003 * t * t;

  return what->kind == TRUTH_FIELD ? level * cexp (I * (0.01 + 0.005 * t)) : level;
}

/* Nine decimals: the rounding stays far below the least noise. */
static void
write_sample (const TruthCase *what, FILE *file, double complex value, double level)
{
  gboolean stated = what->columns != TRUTH_COLUMNS_TRANSMISSION;

  if (what->kind == TRUTH_FIELD)
    {
      fprintf (file, "%.9f %.9f", creal (value), cimag (value));
      if (stated)
        fprintf (file, " %.9f %.9f", what->noise, what->noise);
    }
  else if (what->columns == TRUTH_COLUMNS_SIGNAL)
    fprintf (file, "%.9f %.9f %.9f", level * creal (value), level, level * what->noise);
  else
    {
      fprintf (file, "%.9f", creal (value));
      if (stated)
        fprintf (file, " %.9f", what->noise);
    }
  fputc ('\n', file);
}

void
truth_write_comb (const Truth *self, const char *path)
{
  const TruthCase *what = self->what;
  FILE *file = fopen (path, "w");
  guint64 state = what->seed ^ G_GUINT64_CONSTANT (0x5eed);

  if (file == NULL)
    g_error ("%s cannot be written", path);
  write_header (what, file);
  for (int k = 0; k < TEETH; k++)
    {
      double wavenumber = tooth_wavenumber (k), t = 2.0 * k / (TEETH - 1.0) - 1.0;
      double complex kappa = 0.0, value;

      for (int i = 0; i < self->n; i++)
        kappa += self->lines[i].strength * profile (&self->lines[i], wavenumber);
      value = cavity (what, column_density () * kappa);
      if (what->kind == TRUTH_POWER || what->kind == TRUTH_SWEPT)
        value = creal (value) * creal (value) + cimag (value) * cimag (value);
      else if (what->kind == TRUTH_AMPLITUDE)
        value = cabs (value);
      value = value * baseline (what, t) + what->noise * truth_normal (&state);
      if (what->kind == TRUTH_FIELD)
        value += I * what->noise * truth_normal (&state);
      fprintf (file, "%d ", FIRST_TOOTH + k);
      write_sample (what, file, value, 1.0 + 0.1 * t);
    }
  if (fclose (file) != 0)
    g_error ("%s cannot be written", path);
}

void
truth_write_lines (const Truth *self, const char *path)
{
  FILE *file = fopen (path, "w");

  if (file == NULL)
    g_error ("%s cannot be written", path);
  fputs ("position/cm-1,strength/(cm/molecule),lorentz_hwhm/cm-1,doppler_hwhm/cm-1,peak,isolated\n",
         file);
  for (int i = 0; i < self->n; i++)
    {
      const TruthLine *line = &self->lines[i];
      fprintf (file, "%.10f,%.10g,%.8g,%.8g,%.6f,%d\n", line->position, line->strength,
               line->lorentz, line->doppler, line->peak, line->isolated);
    }
  if (fclose (file) != 0)
    g_error ("%s cannot be written", path);
}
