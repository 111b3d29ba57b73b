/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Names of lines from their labels (docs/formats.md), and where they are drawn. P, Q and R by
 * J' - J'' of -1, 0 and 1 with J'' in parentheses: Herzberg, Molecular Spectra and Molecular
 * Structure II, 1945, chapter IV; K'' behind it is common practice, no source.
 */
#include <math.h>

#include "faint-test.h"
#include "figure/lane.h"
#include "figure/transition-name.h"

static void
test_names (void)
{
  static const struct
  {
    const char *upper, *lower, *name;
  } cases[] = { { "J20e", "J21e", "P(21)" },
                { "J22e", "J21e", "R(21)" },
                { "b:J21f", "b:J21e", "Q(21)" },
                { "band2:J1 K0", "J0 K0", "R(0,0)" },
                { "v4:J13 K4 s", "J12 K3 a", "R(12,3)" },
                { "J5", "J9", "J9" },
                { "J1:J3", "J2", "R(2)" }, /* a state that looks like a J */
                { "up", "down", "down" },
                { "up", "", "up" },
                { "", "", NULL } };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      FaintLine line = faint_line_unknown ();
      g_autofree char *name = NULL;

      line.upper = cases[i].upper;
      line.lower = cases[i].lower;
      name = faint_transition_name (&line);
      g_assert_cmpstr (name, ==, cases[i].name);
    }
}

/* Pixels that are not white, in columns from @from to @to. */
static guint
inked (cairo_surface_t *surface, int from, int to)
{
  const guint8 *data = cairo_image_surface_get_data (surface);
  int stride = cairo_image_surface_get_stride (surface);
  guint n = 0;

  for (int y = 0; y < cairo_image_surface_get_height (surface); y++)
    for (int x = from; x < to; x++)
      n += (*(const guint32 *)(gconstpointer)(data + y * stride + 4 * x) & 0xffffff) != 0xffffff;
  return n;
}

/* Of three lines the first has room at its right, the second would hide the third, the third has
 * none before the border. */
static void
test_room (void)
{
  FaintLine lines[3] = { faint_line_unknown (), faint_line_unknown (), faint_line_unknown () };
  g_autoptr (FaintLineList) list = NULL;
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, 400, 60);
  cairo_t *cr = cairo_create (surface);
  FaintCanvas canvas
      = faint_canvas_for_screen (cr, faint_palette_get (FAINT_PALETTE_LIGHT), NULL, 1);
  FaintView view = { .across = { 0, 400 }, .up = { -26, -23 }, .place = { 0, 0, 400, 60 } };
  static const double at[] = { 100, 370, 384 };

  for (guint i = 0; i < 3; i++)
    {
      lines[i].id = i + 1;
      lines[i].position.value = at[i];
      lines[i].strength.value = 1e-24;
      lines[i].upper = "J20e";
      lines[i].lower = "J21e";
    }
  list = faint_line_list_new (lines, 3);
  cairo_set_source_rgb (cr, 1, 1, 1);
  cairo_paint (cr);
  faint_lane_stick_labels (&canvas, &view, list);
  cairo_surface_flush (surface);
  g_assert_cmpuint (inked (surface, 0, 101), ==, 0);
  g_assert_cmpuint (inked (surface, 101, 160), >, 30);
  g_assert_cmpuint (inked (surface, 160, 400), ==, 0);
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/transition-name/names", test_names);
  g_test_add_func ("/transition-name/room", test_room);
  return g_test_run ();
}
