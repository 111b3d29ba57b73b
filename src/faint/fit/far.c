/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/far.h"

#include <math.h>

#include "faint/base/units.h"

#define N FAINT_FAR_NODES

/* A stretch of neighbouring windows; a window itself where it has no children. */
typedef struct
{
  gsize parent;        /* of itself for the root */
  gsize window;        /* of a leaf */
  double centre, half; /* cm-1 */
  gsize near_first, near_end;
} Node;

struct _FaintFar
{
  const FaintLayout *layout;
  gsize n_nodes; /* parents before children */
  Node *nodes;
  gsize *leaf; /* node of each window */
  double place[N];
  double to_coefficient[N][N]; /* [m][j]: values at the places to Chebyshev coefficients */
  double (*re)[N], (*im)[N];   /* far sums at the places of each node */
  double (*a)[N], (*b)[N];     /* gathered weights there */
};

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

/* Clenshaw's sum of a Chebyshev series at @n places, times @factor, added. */
static void
add_series (const double re[N], const double im[N], const double *x, gsize n, double factor,
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

static inline double
h0_of (const FaintLine *line)
{
  return line->doppler.value * line->doppler.value / (2.0 * FAINT_LN2);
}

/* Adds the stretch of windows [first, end) and all below it. */
static void
add_stretch (FaintFar *self, gsize parent, gsize first, gsize end)
{
  const FaintLayoutWindow *low = &self->layout->windows[first];
  const FaintLayoutWindow *high = &self->layout->windows[end - 1];
  gsize index = self->n_nodes++, middle = (first + end) / 2;
  Node *node = &self->nodes[index];
  double lower = low->centre - low->half, upper = high->centre + high->half;

  node->parent = index == 0 ? 0 : parent;
  node->window = first;
  node->centre = 0.5 * (lower + upper);
  node->half = 0.5 * (upper - lower);
  if (end - first == 1)
    {
      self->leaf[first] = index;
      node->near_first = low->near_first;
      node->near_end = low->near_first + low->n_near;
      return;
    }
  faint_layout_near (self->layout, node->centre, node->half, &node->near_first, &node->near_end);
  add_stretch (self, index, first, middle);
  add_stretch (self, index, middle, end);
}

FaintFar *
faint_far_new (const FaintLayout *layout)
{
  FaintFar *self = g_new0 (FaintFar, 1);
  gsize most = 2 * MAX (layout->n_windows, 1);

  self->layout = layout;
  self->nodes = g_new0 (Node, most);
  self->leaf = g_new0 (gsize, most);
  self->re = g_malloc0_n (most, sizeof *self->re);
  self->im = g_malloc0_n (most, sizeof *self->im);
  self->a = g_malloc0_n (most, sizeof *self->a);
  self->b = g_malloc0_n (most, sizeof *self->b);
  for (int j = 0; j < N; j++)
    {
      self->place[j] = cos (G_PI * (j + 0.5) / N);
      for (int m = 0; m < N; m++)
        self->to_coefficient[m][j] = cos (m * G_PI * (j + 0.5) / N) * (m == 0 ? 1.0 : 2.0) / N;
    }
  if (layout->n_windows > 0)
    add_stretch (self, 0, 0, layout->n_windows);
  return self;
}

void
faint_far_free (FaintFar *self)
{
  if (self == NULL)
    return;
  g_free (self->nodes);
  g_free (self->leaf);
  g_free (self->re);
  g_free (self->im);
  g_free (self->a);
  g_free (self->b);
  g_free (self);
}

/* Lines that count at @node: far from it, but not from its parent. */
static inline gboolean
counts_here (const Node *node, gsize line)
{
  return line < node->near_first || line >= node->near_end;
}

static void
candidates (const FaintFar *self, gsize index, gsize *first, gsize *end)
{
  const Node *parent = &self->nodes[self->nodes[index].parent];

  *first = index == 0 ? 0 : parent->near_first;
  *end = index == 0 ? self->layout->n_lines : parent->near_end;
}

/* What the parent's sums are at the places of its child. */
static void
inherit (FaintFar *self, gsize index)
{
  const Node *node = &self->nodes[index], *parent = &self->nodes[node->parent];
  double x[N], re[N], im[N];

  if (index == 0)
    return;
  for (int m = 0; m < N; m++)
    {
      re[m] = im[m] = 0.0;
      for (int j = 0; j < N; j++)
        {
          re[m] += self->to_coefficient[m][j] * self->re[node->parent][j];
          im[m] += self->to_coefficient[m][j] * self->im[node->parent][j];
        }
    }
  for (int j = 0; j < N; j++)
    x[j] = (node->centre + node->half * self->place[j] - parent->centre) / parent->half;
  add_series (re, im, x, N, 1.0, self->re[index], self->im[index]);
}

void
faint_far_compute (FaintFar *self, const FaintLine *lines)
{
  for (gsize k = 0; k < self->n_nodes; k++)
    {
      const Node *node = &self->nodes[k];
      double *re = self->re[k], *im = self->im[k];
      gsize first, end;

      for (int j = 0; j < N; j++)
        re[j] = im[j] = 0.0;
      inherit (self, k);
      candidates (self, k, &first, &end);
      for (gsize i = first; i < end; i++)
        {
          const FaintLine *line = &lines[i];
          double strength = line->strength.value, lorentz = line->lorentz.value, h0 = h0_of (line);
          double distance = node->centre - line->position.value;

          if (!counts_here (node, i) || (line->flags & FAINT_LINE_EXCLUDED) != 0)
            continue;
          for (int j = 0; j < N; j++)
            {
              double p_re, p_im, d_re, d_im;
              far_profile (distance + node->half * self->place[j], lorentz, h0, &p_re, &p_im, &d_re,
                           &d_im);
              re[j] += strength * p_re;
              im[j] += strength * p_im;
            }
        }
    }
}

void
faint_far_add (const FaintFar *self, gsize window, const double *x, gsize n, double factor,
               double *sum_re, double *sum_im)
{
  gsize leaf = self->leaf[window];
  double re[N], im[N];

  for (int m = 0; m < N; m++)
    {
      re[m] = im[m] = 0.0;
      for (int j = 0; j < N; j++)
        {
          re[m] += self->to_coefficient[m][j] * self->re[leaf][j];
          im[m] += self->to_coefficient[m][j] * self->im[leaf][j];
        }
    }
  add_series (re, im, x, n, factor, sum_re, sum_im);
}

/* Weights at places x become weights at the Chebyshev places, added to @at_a, @at_b. */
static void
gather (const FaintFar *self, const double *x, gsize n, const double *a, const double *b,
        double at_a[N], double at_b[N])
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
  for (int m = 0; m < N; m++)
    for (int j = 0; j < N; j++)
      {
        at_a[j] += self->to_coefficient[m][j] * hat_a[m];
        at_b[j] += self->to_coefficient[m][j] * hat_b[m];
      }
}

void
faint_far_gather (FaintFar *self, gsize window, const double *x, gsize n, const double *a,
                  const double *b)
{
  gsize leaf = self->leaf[window];

  for (int j = 0; j < N; j++)
    self->a[leaf][j] = self->b[leaf][j] = 0.0;
  gather (self, x, n, a, b, self->a[leaf], self->b[leaf]);
}

/* From the children up: a parent's places carry what its children's places are worth. */
static void
bequeath (FaintFar *self)
{
  for (gsize k = 0; k < self->n_nodes; k++)
    if (self->leaf[self->nodes[k].window] != k)
      for (int j = 0; j < N; j++)
        self->a[k][j] = self->b[k][j] = 0.0;
  for (gsize k = self->n_nodes; k-- > 1;)
    {
      const Node *node = &self->nodes[k], *parent = &self->nodes[node->parent];
      double x[N];

      for (int j = 0; j < N; j++)
        x[j] = (node->centre + node->half * self->place[j] - parent->centre) / parent->half;
      gather (self, x, N, self->a[k], self->b[k], self->a[node->parent], self->b[node->parent]);
    }
}

static void
scatter_line (const FaintFar *self, gsize k, const FaintLine *line, const gssize *at,
              const double *tie, double column, double *gradient)
{
  const Node *node = &self->nodes[k];
  double distance = node->centre - line->position.value, h0 = h0_of (line);
  double by_strength = 0.0, by_position = 0.0, by_lorentz = 0.0;

  for (int j = 0; j < N; j++)
    {
      double a = self->a[k][j], b = self->b[k][j], re, im, d_re, d_im;
      far_profile (distance + node->half * self->place[j], line->lorentz.value, h0, &re, &im, &d_re,
                   &d_im);
      by_strength += a * re + b * im;
      by_position += a * d_re + b * d_im;
      by_lorentz += a * d_im - b * d_re;
    }
  if (at[FAINT_PLACE_STRENGTH] >= 0)
    gradient[at[FAINT_PLACE_STRENGTH]] += tie[FAINT_PLACE_STRENGTH] * column * by_strength;
  if (at[FAINT_PLACE_POSITION] >= 0)
    gradient[at[FAINT_PLACE_POSITION]]
        += tie[FAINT_PLACE_POSITION] * column * line->strength.value * by_position;
  if (at[FAINT_PLACE_LORENTZ] >= 0)
    gradient[at[FAINT_PLACE_LORENTZ]]
        += tie[FAINT_PLACE_LORENTZ] * column * line->strength.value * by_lorentz;
  /* The Doppler width enters the wings in second order (h) only; its gradient there is left out: at
   * 25 Doppler widths it is 1e-3 of a wing that is itself 1e-3 of the peak. */
}

void
faint_far_scatter (FaintFar *self, const FaintLine *lines, double column, double *gradient)
{
  bequeath (self);
  for (gsize k = 0; k < self->n_nodes; k++)
    {
      gsize first, end;

      candidates (self, k, &first, &end);
      for (gsize i = first; i < end; i++)
        if (counts_here (&self->nodes[k], i) && (lines[i].flags & FAINT_LINE_EXCLUDED) == 0)
          scatter_line (self, k, &lines[i], self->layout->place[i], self->layout->factor[i], column,
                        gradient);
    }
}
