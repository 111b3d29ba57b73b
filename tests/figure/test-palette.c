/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Contrast after WCAG 2.1 (W3C Recommendation, 2018): 4.5 for text (criterion 1.4.3), 3 for
 * graphics (1.4.11), 7 for text at high contrast (1.4.6).
 */
#include "figure/palette.h"

#include "faint-test.h"

static const FaintPalette *
palette_of (int kind)
{
  return faint_palette_get ((FaintPaletteKind)kind);
}

static double
contrast (const FaintPalette *palette, FaintPart a, FaintPart b)
{
  return faint_colour_contrast (palette->pen[a].colour, palette->pen[b].colour);
}

static void
test_contrast_formula (void)
{
  FaintColour white = { 1.0, 1.0, 1.0, 1.0 }, black = { 0.0, 0.0, 0.0, 1.0 };
  /* WCAG 2.1: "contrast ratios can range from 1 to 21" */
  faint_assert_close (faint_colour_contrast (white, black), 21.0, 1e-12, "exact sums");
  faint_assert_close (faint_colour_contrast (white, white), 1.0, 1e-15, "the same colour");
  /* #777777 on white, 4.48, the well-known grey that just fails 4.5 (from memory) */
  FaintColour grey = { 0x77 / 255.0, 0x77 / 255.0, 0x77 / 255.0, 1.0 };
  faint_assert_near (faint_colour_contrast (white, grey), 4.48, 0.005, "two decimals given");
}

static void
test_text (void)
{
  for (int kind = 0; kind < FAINT_PALETTE_N; kind++)
    {
      gboolean is_high
          = kind == FAINT_PALETTE_HIGH_CONTRAST || kind == FAINT_PALETTE_HIGH_CONTRAST_DARK;
      g_assert_cmpfloat (contrast (palette_of (kind), FAINT_PART_TEXT, FAINT_PART_BACKGROUND), >=,
                         is_high ? 7.0 : 4.5);
      g_assert_cmpfloat (contrast (palette_of (kind), FAINT_PART_TEXT_DIM, FAINT_PART_BACKGROUND),
                         >=, 4.5);
    }
}

static void
test_graphics (void)
{
  static const FaintPart parts[]
      = { FAINT_PART_AXIS,     FAINT_PART_OBSERVED,  FAINT_PART_MODEL,
          FAINT_PART_BASELINE, FAINT_PART_RESIDUAL,  FAINT_PART_FITTED,
          FAINT_PART_GIVEN,    FAINT_PART_PREDICTED, FAINT_PART_OTHER_MODEL };
  for (int kind = 0; kind < FAINT_PALETTE_N; kind++)
    for (guint i = 0; i < G_N_ELEMENTS (parts); i++)
      {
        g_test_message ("%s, part %d", faint_palette_name (kind), parts[i]);
        g_assert_cmpfloat (contrast (palette_of (kind), parts[i], FAINT_PART_BACKGROUND), >=, 3.0);
      }
}

/* Observed and model lie on each other: told apart without hue. */
static void
test_lightness (void)
{
  for (int kind = 0; kind < FAINT_PALETTE_N; kind++)
    {
      double ratio = contrast (palette_of (kind), FAINT_PART_OBSERVED, FAINT_PART_MODEL);
      gboolean is_high_dark = kind == FAINT_PALETTE_HIGH_CONTRAST_DARK;
      g_test_message ("%s: %g", faint_palette_name (kind), ratio);
      g_assert_cmpfloat (ratio, >=, is_high_dark ? 1.25 : 1.9);
    }
}

static gboolean
same_cue (const FaintPen *a, const FaintPen *b)
{
  return a->n_dash == b->n_dash && a->marker == b->marker;
}

static void
test_second_cue (void)
{
  for (int kind = 0; kind < FAINT_PALETTE_N; kind++)
    {
      const FaintPen *pen = palette_of (kind)->pen;
      g_assert_false (same_cue (&pen[FAINT_PART_MODEL], &pen[FAINT_PART_BASELINE]));
      g_assert_false (same_cue (&pen[FAINT_PART_MODEL], &pen[FAINT_PART_OBSERVED]));
      g_assert_false (same_cue (&pen[FAINT_PART_MODEL], &pen[FAINT_PART_OTHER_MODEL]));
      g_assert_false (same_cue (&pen[FAINT_PART_RESIDUAL], &pen[FAINT_PART_OTHER_MODEL]));
      g_assert_false (same_cue (&pen[FAINT_PART_FITTED], &pen[FAINT_PART_GIVEN]));
      g_assert_false (same_cue (&pen[FAINT_PART_FITTED], &pen[FAINT_PART_PREDICTED]));
      g_assert_false (same_cue (&pen[FAINT_PART_GIVEN], &pen[FAINT_PART_PREDICTED]));
    }
}

static void
test_names (void)
{
  for (int kind = 0; kind < FAINT_PALETTE_N; kind++)
    g_assert_cmpint (faint_palette_from_name (faint_palette_name (kind)), ==, kind);
  g_assert_cmpint (faint_palette_from_name ("mauve"), ==, FAINT_PALETTE_LIGHT);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/palette/contrast-formula", test_contrast_formula);
  g_test_add_func ("/palette/text", test_text);
  g_test_add_func ("/palette/graphics", test_graphics);
  g_test_add_func ("/palette/lightness", test_lightness);
  g_test_add_func ("/palette/second-cue", test_second_cue);
  g_test_add_func ("/palette/names", test_names);
  return g_test_run ();
}
