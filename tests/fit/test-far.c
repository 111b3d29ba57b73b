/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Far wings through Chebyshev nodes against the sum of whole profiles, and their transpose.
 */
#include "faint/fit/far.h"
#include "faint/shape/voigt.h"
#include "synthetic.h"
#include "faint-test.h"

#include <math.h>
#include <string.h>

#define N_LINES 60
#define N_TEETH 4000

typedef struct
{
  FaintSpectrum *spectrum;
  FaintLine lines[N_LINES];
  FaintLayout *layout;
  FaintFar *far;
} Crowd;

/* Lines of all strengths and widths over a span of many windows, some excluded and some fixed. */
static void
crowd_init (Crowd *self, guint32 seed)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  GRand *random = g_rand_new_with_seed (seed);
  FaintFitOptions options;

  for (int i = 0; i < N_LINES; i++)
    {
      double at = N_TEETH * (i + g_rand_double (random)) / N_LINES;
      FaintLine *line = &self->lines[i];

      *line = faint_line_unknown ();
      line->position.value = synthetic_wavenumber (at);
      line->doppler.value = synthetic_doppler (setup, line->position.value);
      line->doppler.state = FAINT_STATE_DERIVED;
      line->lorentz.value = line->doppler.value * g_rand_double_range (random, 0.0, 1.5);
      line->strength.value = 1e-25 * pow (10.0, g_rand_double_range (random, -2.0, 2.0));
      line->flags = i % 10 == 9 ? FAINT_LINE_EXCLUDED : 0;
      line->lorentz.state = i % 10 == 4 ? FAINT_STATE_FIXED : FAINT_STATE_FREE;
    }
  g_rand_free (random);
  faint_fit_options_init (&options);
  options.window_width = 0.4;
  self->spectrum = synthetic_record (setup, NULL, 0, &(SyntheticRecord){ N_TEETH, 1e-3 });
  self->layout = faint_layout_new (self->spectrum, self->lines, N_LINES, &options, 0.0075);
  self->far = faint_far_new (self->layout);
  g_assert_cmpuint (self->layout->n_windows, >, 10);
}

static void
crowd_clear (Crowd *self)
{
  faint_far_free (self->far);
  faint_layout_free (self->layout);
  faint_spectrum_unref (self->spectrum);
}

static gboolean
counts (const Crowd *self, const FaintLayoutWindow *window, gsize i)
{
  return (i < window->near_first || i >= window->near_first + window->n_near)
         && (self->lines[i].flags & FAINT_LINE_EXCLUDED) == 0;
}

/* Sum of strength times profile of the far lines, by whole profiles. */
static void
direct_sum (const Crowd *self, const FaintLayoutWindow *window, double *re, double *im)
{
  const double *wavenumber = self->spectrum->wavenumber + window->first;

  memset (re, 0, window->n * sizeof *re);
  memset (im, 0, window->n * sizeof *im);
  for (gsize i = 0; i < N_LINES; i++)
    for (gsize t = 0; t < window->n && counts (self, window, i); t++)
      {
        const FaintLine *line = &self->lines[i];
        FaintComplex p = faint_voigt (
            (FaintVoigt){ line->position.value, line->doppler.value, line->lorentz.value },
            wavenumber[t]);
        re[t] += line->strength.value * p.re;
        im[t] += line->strength.value * p.im;
      }
}

/* Sum of |strength times profile|, what "of the far sum" refers to. */
static double
size_of_sum (const Crowd *self, const FaintLayoutWindow *window, gsize t)
{
  double sum = 0.0;

  for (gsize i = 0; i < N_LINES; i++)
    if (counts (self, window, i))
      sum += self->lines[i].strength.value
             / (G_PI
                * fabs (self->spectrum->wavenumber[window->first + t]
                        - self->lines[i].position.value));
  return sum;
}

static double *
places (const Crowd *self, const FaintLayoutWindow *window)
{
  double *x = g_new (double, window->n);

  for (gsize t = 0; t < window->n; t++)
    x[t] = (self->spectrum->wavenumber[window->first + t] - window->centre) / window->half;
  return x;
}

static void
test_sum (void)
{
  Crowd crowd;
  double most = 0.0;

  crowd_init (&crowd, 1);
  faint_far_compute (crowd.far, crowd.lines);
  for (gsize k = 0; k < crowd.layout->n_windows; k++)
    {
      const FaintLayoutWindow *window = &crowd.layout->windows[k];
      g_autofree double *x = places (&crowd, window);
      g_autofree double *want = g_new (double, 2 * window->n);
      g_autofree double *got = g_new (double, 2 * window->n);

      g_assert_cmpuint (window->n_near, <, N_LINES);
      direct_sum (&crowd, window, want, want + window->n);
      for (gsize t = 0; t < 2 * window->n; t++)
        got[t] = 1.0;
      faint_far_add (crowd.far, k, x, window->n, 2e25, got, got + window->n);
      for (gsize t = 0; t < window->n; t++)
        {
          double size = size_of_sum (&crowd, window, t);
          const char *why = "7e-10 of interpolation (far.h), of the sum of all that is summed";

          /* What was there stays: the 1. */
          faint_assert_near (got[t] - 1.0, 2e25 * want[t], 2e25 * 1e-9 * size + 1e-15, why);
          faint_assert_near (got[window->n + t] - 1.0, 2e25 * want[window->n + t],
                             2e25 * 1e-9 * size + 1e-15, why);
          most = MAX (most, fabs (want[t]) / size);
        }
    }
  /* The real part is not lost in the tolerance. */
  g_assert_cmpfloat (most, >, 1e-3);
  crowd_clear (&crowd);
}

/* Compares where the line is far; returns its least distance then, in Doppler widths. */
static double
check_wing (const FaintSpectrum *spectrum, const FaintLayout *layout, FaintFar *far, gsize k,
            const FaintLine *line)
{
  const FaintLayoutWindow *window = &layout->windows[k];
  g_autofree double *re = g_new0 (double, 2 * window->n);
  g_autofree double *x = g_new (double, window->n);
  double *im = re + window->n, nearest = INFINITY;
  const char *pole = "7e-10 of interpolation (far.h), for a single pole times a factor of up to 2";

  if (window->n_near > 0)
    return nearest;
  for (gsize t = 0; t < window->n; t++)
    x[t] = (spectrum->wavenumber[window->first + t] - window->centre) / window->half;
  faint_far_add (far, k, x, window->n, 1.0 / line->strength.value, re, im);
  for (gsize t = 0; t < window->n; t++)
    {
      double nu = spectrum->wavenumber[window->first + t];
      FaintComplex p = faint_voigt (
          (FaintVoigt){ line->position.value, line->doppler.value, line->lorentz.value }, nu);

      faint_assert_near (re[t], p.re, 2e-9 * hypot (p.re, p.im), pole);
      faint_assert_near (im[t], p.im, 2e-9 * hypot (p.re, p.im), pole);
      nearest = MIN (nearest, fabs (nu - line->position.value) / line->doppler.value);
    }
  return nearest;
}

/* One line, moved along: the border of a window comes as near to it as it ever does, about 25
 * Doppler widths, where the series of the wing is least good. */
static void
test_nearest (void)
{
  g_autoptr (FaintSetup) setup = synthetic_setup (NULL);
  g_autoptr (FaintSpectrum) spectrum
      = synthetic_record (setup, NULL, 0, &(SyntheticRecord){ .n = 1500, .u = 1e-3 });
  double nearest = INFINITY;

  for (int step = 0; step < 60; step++)
    {
      FaintLine line
          = synthetic_line (setup, synthetic_wavenumber (700.0 + 4.0 * step), 0.3, 0.002);
      FaintLayout *layout;
      FaintFar *far;
      FaintFitOptions options;

      faint_fit_options_init (&options);
      options.window_width = 0.25;
      layout = faint_layout_new (spectrum, &line, 1, &options, 0.0075);
      far = faint_far_new (layout);
      faint_far_compute (far, &line);
      for (gsize k = 0; k < layout->n_windows; k++)
        nearest = MIN (nearest, check_wing (spectrum, layout, far, k, &line));
      faint_far_free (far);
      faint_layout_free (layout);
    }
  g_assert_cmpfloat (nearest, <, 26.0);
}

/* Inner product of weights @a, @b with the far sum. */
static double
product (const Crowd *self, const FaintLayoutWindow *window, const double *x, const double *a,
         const double *b, double column)
{
  double sum = 0.0;
  g_autofree double *re = g_new0 (double, 2 * window->n);
  double *im = re + window->n;

  faint_far_compute (self->far, self->lines);
  faint_far_add (self->far, (gsize)(window - self->layout->windows), x, window->n, column, re, im);
  for (gsize t = 0; t < window->n; t++)
    sum += a[t] * re[t] + b[t] * im[t];
  return sum;
}

static double *
value_of (FaintLine *line, int place)
{
  return place == FAINT_PLACE_POSITION   ? &line->position.value
         : place == FAINT_PLACE_STRENGTH ? &line->strength.value
                                         : &line->lorentz.value;
}

/* Change of the inner product with one parameter, by two central differences of which the error of
 * second order is taken out (Richardson). */
static double
by_differences (Crowd *self, const FaintLayoutWindow *window, const double *x, const double *a,
                const double *b, double column, double *value, double step)
{
  double kept = *value, change[2];

  for (int i = 0; i < 2; i++)
    {
      double h = step / (1 << i);

      *value = kept + h;
      change[i] = product (self, window, x, a, b, column);
      *value = kept - h;
      change[i] = (change[i] - product (self, window, x, a, b, column)) / (2.0 * h);
    }
  *value = kept;
  return (4.0 * change[1] - change[0]) / 3.0;
}

static void
check_transpose (Crowd *self, const FaintLayoutWindow *window, GRand *random)
{
  const double column = 1e25;
  g_autofree double *x = places (self, window);
  g_autofree double *a = g_new (double, window->n), *b = g_new (double, window->n);
  g_autofree double *gradient = g_new (double, self->layout->n_parameters);
  double size = 0.0;

  for (gsize t = 0; t < window->n; t++)
    {
      a[t] = g_rand_double_range (random, -1.0, 1.0);
      b[t] = g_rand_double_range (random, -1.0, 1.0);
      size += fabs (a[t]) + fabs (b[t]);
    }
  for (gsize j = 0; j < self->layout->n_parameters; j++)
    gradient[j] = 3.0;
  /* The weights of this window alone. */
  for (gsize k = 0; k < self->layout->n_windows; k++)
    faint_far_gather (self->far, k, x, &self->layout->windows[k] == window ? window->n : 0, a, b);
  faint_far_scatter (self->far, self->lines, column, gradient);
  for (gsize i = 0; i < N_LINES; i++)
    for (int p = 0; p < FAINT_PLACE_DOPPLER; p++)
      {
        gssize at = self->layout->place[i][p];
        FaintLine *line = &self->lines[i];
        double *value = value_of (line, p);
        /* A part of the distance, which is the scale on which a wing changes. */
        double distance = fabs (line->position.value - window->centre) - window->half;
        double step = p == FAINT_PLACE_STRENGTH ? line->strength.value : 1e-3 * distance;
        double scale = column * line->strength.value / (G_PI * distance) * size;

        if (at < 0)
          continue;
        if (!counts (self, window, i))
          {
            g_assert_cmpfloat (gradient[at], ==, 3.0);
            continue;
          }
        faint_assert_near (
            (gradient[at] - 3.0) * step,
            by_differences (self, window, x, a, b, column, value, step) * step,
            1e-11 * scale + 1e-14,
            "rounding of the differences: 1e-16 of a sum over 60 lines of 1e4 range");
      }
}

/* <w, A s> = <A^T w, s> for the strengths, on which the sum depends linearly, and the slope of
 * <w, A(position, width)> for the others. */
static void
test_transpose (void)
{
  Crowd crowd;
  GRand *random = g_rand_new_with_seed (3);

  crowd_init (&crowd, 2);
  for (gsize k = 0; k < crowd.layout->n_windows; k += 3)
    check_transpose (&crowd, &crowd.layout->windows[k], random);
  crowd_clear (&crowd);
  g_rand_free (random);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/fit/far/sum", test_sum);
  g_test_add_func ("/fit/far/nearest", test_nearest);
  g_test_add_func ("/fit/far/transpose", test_transpose);
  return g_test_run ();
}
