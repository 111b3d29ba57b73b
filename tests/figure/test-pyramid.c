/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The pyramid against a plain scan of the same samples.
 */
#include "figure/pyramid.h"

#include "faint-test.h"

#include <math.h>
#include <string.h>

typedef struct
{
  gsize n;
  double *x, *y;
} Samples;

static Samples
samples_new (GRand *random, gsize n, double share_nan)
{
  Samples samples = { n, g_new (double, n + 1), g_new (double, n + 1) };
  double x = 7000.0;
  for (gsize i = 0; i < n; i++)
    {
      x += g_rand_double_range (random, 1e-4, 1e-2);
      samples.x[i] = x;
      samples.y[i] = g_rand_double (random) < share_nan ? NAN : g_rand_double (random) - 0.5;
    }
  return samples;
}

static void
samples_free (Samples samples)
{
  g_free (samples.x);
  g_free (samples.y);
}

static void
scan (const Samples *samples, gsize first, gsize end, double *min, double *max)
{
  *min = *max = NAN;
  for (gsize i = first; i < end; i++)
    {
      *min = fmin (*min, samples->y[i]);
      *max = fmax (*max, samples->y[i]);
    }
}

static void
assert_same (double a, double b)
{
  g_assert_true (a == b || (isnan (a) && isnan (b)));
}

static void
check_extents (GRand *random, const Samples *samples, const FaintPyramid *pyramid)
{
  for (guint round = 0; round < 300; round++)
    {
      gsize first = (gsize)g_rand_int_range (random, 0, (int)samples->n + 1);
      gsize end = (gsize)g_rand_int_range (random, (int)first, (int)samples->n + 1);
      double min, max;
      FaintRange range = { -99.0, -99.0 };
      scan (samples, first, end, &min, &max);
      g_assert_cmpint (faint_pyramid_extent (pyramid, first, end, &range), ==, !isnan (min));
      assert_same (range.lower, isnan (min) ? -99.0 : min);
      assert_same (range.upper, isnan (max) ? -99.0 : max);
    }
}

/* Each column by the definition in the header, from all samples. */
static void
check_columns (const Samples *samples, const FaintPyramid *pyramid, FaintRange across, gsize n)
{
  g_autofree FaintColumn *columns = g_new (FaintColumn, n);
  double width = faint_range_width (across);

  faint_pyramid_columns (pyramid, across, n, columns);
  for (gsize c = 0; c < n; c++)
    {
      double lower = across.lower + width * (double)c / (double)n;
      double upper = across.lower + width * (double)(c + 1) / (double)n;
      double min = NAN, max = NAN, left = NAN, right = NAN;
      gsize count = 0;
      for (gsize i = 0; i < samples->n; i++)
        {
          double x = samples->x[i];
          gboolean is_last_end = c + 1 == n && x <= across.upper;
          if (x < lower || !(x < upper || is_last_end))
            continue;
          left = count++ == 0 ? samples->y[i] : left;
          right = samples->y[i];
          min = fmin (min, right);
          max = fmax (max, right);
        }
      g_assert_cmpuint (columns[c].end - columns[c].first, ==, count);
      assert_same (columns[c].min, min);
      assert_same (columns[c].max, max);
      assert_same (columns[c].left, left);
      assert_same (columns[c].right, right);
    }
}

static void
test_brute_force (void)
{
  static const gsize sizes[] = { 1, 2, 15, 16, 17, 255, 256, 257, 4097, 5000 };
  static const double shares[] = { 0.0, 0.1, 0.9, 1.0 };
  GRand *random = g_rand_new_with_seed (20260101);

  for (guint s = 0; s < G_N_ELEMENTS (sizes); s++)
    for (guint share = 0; share < G_N_ELEMENTS (shares); share++)
      {
        Samples samples = samples_new (random, sizes[s], shares[share]);
        g_autoptr (FaintPyramid) pyramid
            = faint_pyramid_new (samples.x, samples.y, samples.n, NULL, NULL);
        double last = samples.x[samples.n - 1];
        check_extents (random, &samples, pyramid);
        check_columns (&samples, pyramid, (FaintRange){ samples.x[0], last + 1e-9 }, 13);
        check_columns (&samples, pyramid, (FaintRange){ samples.x[0] - 1.0, last }, 97);
        check_columns (&samples, pyramid, (FaintRange){ 7001.0, 7001.7 }, 40);
        check_columns (&samples, pyramid, (FaintRange){ 6000.0, 6001.0 }, 3);
        check_columns (&samples, pyramid, (FaintRange){ 9000.0, 9001.0 }, 3);
        samples_free (samples);
      }
  g_rand_free (random);
}

static void
test_peak_of_a_million (void)
{
  gsize n = 1000000, peak = 623457, hits = 0;
  Samples samples = { n, g_new (double, n), g_new (double, n) };
  for (gsize i = 0; i < n; i++)
    {
      samples.x[i] = (double)i;
      samples.y[i] = i == peak ? 1.0 : 0.0;
    }
  g_autoptr (FaintPyramid) pyramid = faint_pyramid_new (samples.x, samples.y, n, NULL, NULL);
  FaintColumn columns[1201];
  faint_pyramid_columns (pyramid, (FaintRange){ 0.0, (double)(n - 1) }, 1201, columns);
  for (guint c = 0; c < 1201; c++)
    if (columns[c].max == 1.0)
      {
        g_assert_cmpuint (columns[c].first, <=, peak);
        g_assert_cmpuint (columns[c].end, >, peak);
        hits++;
      }
  g_assert_cmpuint (hits, ==, 1);
  faint_assert_close (faint_pyramid_density (pyramid, (FaintRange){ 0.0, 99999.0 }, 1000), 100.0,
                      1e-15, "1e5 samples in 1000 columns");
  samples_free (samples);
}

static void
test_places (void)
{
  static const double x[] = { 1.0, 2.0, 4.0 }, y[] = { 5.0, NAN, 7.0 };
  g_autoptr (FaintPyramid) pyramid = faint_pyramid_new (x, y, 3, NULL, NULL);
  FaintRange range = { 0.0, 0.0 };

  g_assert_cmpuint (faint_pyramid_index (pyramid, 0.0), ==, 0);
  g_assert_cmpuint (faint_pyramid_index (pyramid, 2.0), ==, 1);
  g_assert_cmpuint (faint_pyramid_index (pyramid, 4.1), ==, 3);
  g_assert_cmpuint (faint_pyramid_nearest (pyramid, -10.0), ==, 0);
  g_assert_cmpuint (faint_pyramid_nearest (pyramid, 2.9), ==, 1);
  g_assert_cmpuint (faint_pyramid_nearest (pyramid, 3.1), ==, 2);
  g_assert_cmpuint (faint_pyramid_nearest (pyramid, 99.0), ==, 2);
  g_assert_true (faint_pyramid_extent_across (pyramid, (FaintRange){ 1.0, 4.0 }, &range));
  g_assert_cmpfloat (range.upper, ==, 7.0);
  g_assert_false (faint_pyramid_extent_across (pyramid, (FaintRange){ 1.5, 3.0 }, &range));
}

static void
test_empty (void)
{
  g_autoptr (FaintPyramid) pyramid = faint_pyramid_new (NULL, NULL, 0, NULL, NULL);
  FaintColumn columns[4];
  faint_pyramid_columns (pyramid, (FaintRange){ 0.0, 1.0 }, 4, columns);
  g_assert_true (isnan (columns[3].min));
  g_assert_cmpuint (faint_pyramid_nearest (pyramid, 1.0), ==, G_MAXSIZE);
  g_assert_cmpfloat (faint_pyramid_density (pyramid, (FaintRange){ 0.0, 1.0 }, 4), ==, 0.0);
}

static void
count_release (gpointer data)
{
  ++*(int *)data;
}

static void
test_owner (void)
{
  static const double x[] = { 1.0 }, y[] = { 1.0 };
  int released = 0;
  FaintPyramid *pyramid = faint_pyramid_new (x, y, 1, &released, count_release);
  faint_pyramid_unref (faint_pyramid_ref (pyramid));
  g_assert_cmpint (released, ==, 0);
  faint_pyramid_unref (pyramid);
  g_assert_cmpint (released, ==, 1);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/pyramid/brute-force", test_brute_force);
  g_test_add_func ("/pyramid/peak-of-a-million", test_peak_of_a_million);
  g_test_add_func ("/pyramid/places", test_places);
  g_test_add_func ("/pyramid/empty", test_empty);
  g_test_add_func ("/pyramid/owner", test_owner);
  return g_test_run ();
}
