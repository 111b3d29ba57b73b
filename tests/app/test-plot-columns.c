/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Dense traces as they are painted, pixel by pixel. Shows no window, but the toolkit makes render
 * nodes only once it has a display.
 */
#include "app/plot/columns.h"
#include "faint-test.h"

#include <math.h>

#define WIDTH 1000
#define HEIGHT 100

/* Draws the columns of @y, @n samples over a picture of WIDTH x HEIGHT that shows 0 to 10. */
static cairo_surface_t *
picture_with (const double *y, gsize n, const FaintPen *pen, gboolean join)
{
  g_autofree double *x = g_new (double, n);
  g_autoptr (FaintPyramid) pyramid = NULL;
  FaintView shown = { { 0, n }, { 0, 10 }, { 0, 0, WIDTH, HEIGHT } };
  GtkSnapshot *snapshot = gtk_snapshot_new ();
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_A8, WIDTH, HEIGHT);
  cairo_t *cr = cairo_create (surface);
  GskRenderNode *node;

  for (gsize i = 0; i < n; i++)
    x[i] = i + 0.5;
  pyramid = faint_pyramid_new (x, y, n, NULL, NULL);
  g_assert_true (faint_columns_suit (&shown, pyramid, 1));
  faint_columns_append (snapshot, &shown, pyramid, pen, 1, join);
  node = gtk_snapshot_free_to_node (snapshot);
  gsk_render_node_draw (node, cr);
  gsk_render_node_unref (node);
  cairo_destroy (cr);
  cairo_surface_flush (surface);
  return surface;
}

static cairo_surface_t *
picture_of (const double *y, gsize n, gboolean join)
{
  return picture_with (y, n, &(FaintPen){ .colour = { 0, 0, 0, 1 }, .width = 1 }, join);
}

/* Painted pixels of one column; *top: the first from above. */
static int
painted (cairo_surface_t *surface, int column, int *top)
{
  const guchar *data = cairo_image_surface_get_data (surface);
  int stride = cairo_image_surface_get_stride (surface), count = 0;

  *top = HEIGHT;
  for (int row = HEIGHT - 1; row >= 0; row--)
    if (data[row * stride + column] != 0)
      {
        count++;
        *top = row;
      }
  return count;
}

static void
test_peak_survives (void)
{
  const gsize n = 1000000;
  g_autofree double *y = g_new0 (double, n);
  cairo_surface_t *surface;
  int top;

  for (gsize i = 0; i < n; i++)
    y[i] = 1;
  y[123456] = 9; /* in column 123, from 10 to 90 rows below the top */
  surface = picture_of (y, n, FALSE);
  for (int column = 0; column < WIDTH; column++)
    {
      int count = painted (surface, column, &top);

      g_assert_cmpint (count, ==, column == 123 ? 81 : 1);
      g_assert_cmpint (ABS (top - (column == 123 ? 10 : 90)), <=, 1);
    }
  cairo_surface_destroy (surface);
}

static void
test_columns_join (void)
{
  const gsize n = 10000;
  g_autofree double *y = g_new (double, n);
  cairo_surface_t *apart, *joined;
  int top;

  for (gsize i = 0; i < n; i++)
    y[i] = i < n / 2 ? 2 : 8;
  for (gsize i = 2000; i < 2100; i++)
    y[i] = NAN; /* columns 200 to 209 */
  apart = picture_of (y, n, FALSE);
  joined = picture_of (y, n, TRUE);
  /* The step lies between two columns: a curve bridges its 60 rows, samples do not. */
  g_assert_cmpint (painted (apart, 499, &top) + painted (apart, 500, &top), ==, 2);
  g_assert_cmpint (painted (joined, 499, &top) + painted (joined, 500, &top), >=, 60);
  g_assert_cmpint (painted (joined, 205, &top), ==, 0);
  g_assert_cmpint (painted (joined, 199, &top), ==, 1);
  g_assert_cmpint (painted (joined, 210, &top), ==, 1);
  cairo_surface_destroy (apart);
  cairo_surface_destroy (joined);
}

/* A level run shows gaps, a line of one column in a gap does not vanish. */
static void
test_dashes (void)
{
  const gsize n = 10000;
  const FaintPen pen = { .colour = { 0, 0, 0, 1 }, .width = 1, .dash = { 4, 4 }, .n_dash = 2 };
  g_autofree double *y = g_new (double, n);
  cairo_surface_t *surface;
  int top, gaps = 0;

  for (gsize i = 0; i < n; i++)
    y[i] = i % 500 == 255 ? 2 : 8; /* columns 25, 75, 125, ... in gaps and out of them */
  surface = picture_with (y, n, &pen, TRUE);
  for (int column = 0; column < WIDTH; column++)
    if (column % 50 == 25)
      g_assert_cmpint (painted (surface, column, &top), >=, 60);
    else
      gaps += painted (surface, column, &top) == 0;
  g_assert_cmpint (gaps, >, WIDTH / 3);
  cairo_surface_destroy (surface);
}

int
main (int argc, char **argv)
{
  gtk_test_init (&argc, &argv);
  g_test_add_func ("/plot/columns/peak-survives", test_peak_survives);
  g_test_add_func ("/plot/columns/join", test_columns_join);
  g_test_add_func ("/plot/columns/dashes", test_dashes);
  return g_test_run ();
}
