/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/far.h"

#include <math.h>

#include "faint/base/units.h"

#define N FAINT_FAR_NODES

static void
node_places (double place[N])
{
  for (int j = 0; j < N; j++)
    place[j] = cos (G_PI * (j + 0.5) / N);
}

/* p and dp/dnu0 of a line at distance @d from its centre. */
static inline __attribute__ ((always_inline)) void
far_profile (double d, double lorentz, double h0, double *re, double *im, double *d_re,
             double *d_im)
{
  double norm = 1.0 / (d * d + lorentz * lorentz);
  double ir = d * norm, ii = -lorentz * norm;
  double qr = ir * ir - ii * ii, qi = 2.0 * ir * ii;
  double hr = h0 * qr, hi = h0 * qi;
  double sr = 1.0 + 7.0 * hr, si = 7.0 * hi;
  double tr = 1.0 + 9.0 * hr, ti = 9.0 * hi;
  double ur;

  /* 1 + h(1 + 3h(1 + 5h(1 + 7h))) */
  ur = 1.0 + 5.0 * (hr * sr - hi * si), si = 5.0 * (hr * si + hi * sr), sr = ur;
  ur = 1.0 + 3.0 * (hr * sr - hi * si), si = 3.0 * (hr * si + hi * sr), sr = ur;
  ur = 1.0 + (hr * sr - hi * si), si = hr * si + hi * sr, sr = ur;
  *re = -(ir * si + ii * sr) / G_PI;
  *im = (ir * sr - ii * si) / G_PI;
  /* 1 + 3h(1 + 5h(1 + 7h(1 + 9h))) */
  ur = 1.0 + 7.0 * (hr * tr - hi * ti), ti = 7.0 * (hr * ti + hi * tr), tr = ur;
  ur = 1.0 + 5.0 * (hr * tr - hi * ti), ti = 5.0 * (hr * ti + hi * tr), tr = ur;
  ur = 1.0 + 3.0 * (hr * tr - hi * ti), ti = 3.0 * (hr * ti + hi * tr), tr = ur;
  *d_re = -(qr * ti + qi * tr) / G_PI;
  *d_im = (qr * tr - qi * ti) / G_PI;
}

static inline gboolean
is_near (const FaintLayoutWindow *window, gsize line)
{
  return line >= window->near_first && line < window->near_first + window->n_near;
}

static inline double
h0_of (const FaintLine *line)
{
  return line->doppler.value * line->doppler.value / (2.0 * FAINT_LN2);
}

void
faint_far_sum (const FaintLayout *layout, const FaintLayoutWindow *window, const FaintLine *lines,
               double re[N], double im[N])
{
  double place[N], sum_re[N] = { 0 }, sum_im[N] = { 0 };

  node_places (place);
  for (gsize i = 0; i < layout->n_lines; i++)
    {
      const FaintLine *line = &lines[i];
      double strength = line->strength.value, lorentz = line->lorentz.value, h0 = h0_of (line);
      double distance = window->centre - line->position.value;

      if (is_near (window, i) || (line->flags & FAINT_LINE_EXCLUDED) != 0)
        continue;
      for (int j = 0; j < N; j++)
        {
          double p_re, p_im, d_re, d_im;
          far_profile (distance + window->half * place[j], lorentz, h0, &p_re, &p_im, &d_re, &d_im);
          sum_re[j] += strength * p_re;
          sum_im[j] += strength * p_im;
        }
    }
  for (int m = 0; m < N; m++)
    {
      re[m] = im[m] = 0.0;
      for (int j = 0; j < N; j++)
        {
          double t = cos (m * G_PI * (j + 0.5) / N) * (m == 0 ? 1.0 : 2.0) / N;
          re[m] += t * sum_re[j];
          im[m] += t * sum_im[j];
        }
    }
}

void
faint_far_add (const double re[N], const double im[N], const double *x, gsize n, double factor,
               double *sum_re, double *sum_im)
{
  for (gsize t = 0; t < n; t++)
    {
      double two = 2.0 * x[t];
      double b1r = 0.0, b2r = 0.0, b1i = 0.0, b2i = 0.0;

      for (int m = N - 1; m > 0; m--)
        {
          double br = two * b1r - b2r + re[m], bi = two * b1i - b2i + im[m];
          b2r = b1r, b1r = br;
          b2i = b1i, b1i = bi;
        }
      sum_re[t] += factor * (x[t] * b1r - b2r + re[0]);
      sum_im[t] += factor * (x[t] * b1i - b2i + im[0]);
    }
}

/* Weights at the teeth become weights at the nodes. */
static void
gather (const double *x, gsize n, const double *a, const double *b, double at_a[N], double at_b[N])
{
  double hat_a[N] = { 0 }, hat_b[N] = { 0 };

  for (gsize t = 0; t < n; t++)
    {
      double before = 1.0, now = x[t];

      hat_a[0] += a[t];
      hat_b[0] += b[t];
      for (int m = 1; m < N; m++)
        {
          double next = 2.0 * x[t] * now - before;
          hat_a[m] += a[t] * now;
          hat_b[m] += b[t] * now;
          before = now;
          now = next;
        }
    }
  for (int j = 0; j < N; j++)
    {
      at_a[j] = at_b[j] = 0.0;
      for (int m = 0; m < N; m++)
        {
          double weight = cos (m * G_PI * (j + 0.5) / N) * (m == 0 ? 1.0 : 2.0) / N;
          at_a[j] += weight * hat_a[m];
          at_b[j] += weight * hat_b[m];
        }
    }
}

void
faint_far_transpose (const FaintLayout *layout, const FaintLayoutWindow *window,
                     const FaintLine *lines, const double *x, const double *a, const double *b,
                     double column, double *gradient)
{
  double place[N], at_a[N], at_b[N];

  node_places (place);
  gather (x, window->n, a, b, at_a, at_b);
  for (gsize i = 0; i < layout->n_lines; i++)
    {
      const FaintLine *line = &lines[i];
      const gssize *at = layout->place[i];
      double distance = window->centre - line->position.value, h0 = h0_of (line);
      double by_strength = 0.0, by_position = 0.0, by_lorentz = 0.0;

      if (is_near (window, i) || (line->flags & FAINT_LINE_EXCLUDED) != 0)
        continue;
      for (int j = 0; j < N; j++)
        {
          double re, im, d_re, d_im;
          far_profile (distance + window->half * place[j], line->lorentz.value, h0, &re, &im, &d_re,
                       &d_im);
          by_strength += at_a[j] * re + at_b[j] * im;
          by_position += at_a[j] * d_re + at_b[j] * d_im;
          by_lorentz += at_a[j] * d_im - at_b[j] * d_re;
        }
      if (at[FAINT_PLACE_STRENGTH] >= 0)
        gradient[at[FAINT_PLACE_STRENGTH]] += column * by_strength;
      if (at[FAINT_PLACE_POSITION] >= 0)
        gradient[at[FAINT_PLACE_POSITION]] += column * line->strength.value * by_position;
      if (at[FAINT_PLACE_LORENTZ] >= 0)
        gradient[at[FAINT_PLACE_LORENTZ]] += column * line->strength.value * by_lorentz;
      /* The Doppler width enters the wings in second order (h) only; its gradient there is left
       * out: at 25 Doppler widths it is 1e-3 of a wing that is itself 1e-3 of the peak. */
    }
}
