/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Teeth that no fit uses: the ranges as text, which teeth they mean, and how they change.
 */
#include "faint/spectrum/merge.h"

#include <math.h>

#include "faint-test.h"

#define N 50
#define FIRST 934000

/* Every tooth is this far from the next, cm-1, by the definition of c. */
static const double spacing = 250e6 / 29979245800.0;

static double
wavenumber (double k)
{
  return (250e6 * (FIRST + k) + 20e6) / 29979245800.0;
}

static FaintSpectrum *
spectrum_new (const char *excluded, FaintObservable observable)
{
  g_autoptr (FaintSetup) setup = faint_setup_new ();
  g_autoptr (GError) error = NULL;
  FaintSpectrum *self;

  setup->observable = observable;
  faint_setup_set (setup, "repetition_rate", "250 MHz", NULL, NULL);
  faint_setup_set (setup, "offset_frequency", "20 MHz", NULL, NULL);
  faint_setup_set (setup, "excluded", excluded, NULL, &error);
  g_assert_no_error (error);
  self = faint_spectrum_new (N, setup);
  self->axis = FAINT_AXIS_TOOTH;
  for (int i = 0; i < N; i++)
    {
      self->tooth[i] = FIRST + i;
      self->value[i] = 0.9;
      self->u[i] = 0.01;
      if (self->u_im != NULL)
        self->u_im[i] = 0.02;
    }
  faint_spectrum_finish (self, &error);
  g_assert_no_error (error);
  return self;
}

static char *
text_of (double from, double to)
{
  return g_strdup_printf ("%.6f..%.6f cm-1", wavenumber (from), wavenumber (to));
}

static void
test_text (void)
{
  static const struct
  {
    const char *given, *kept; /* NULL: refused */
  } cases[] = {
    { "7790.1..7790.2 cm-1", "7790.1..7790.2 cm-1" },
    { " 7790.1 .. 7790.2 ,7789..7789.5 cm-1 ", "7789..7789.5, 7790.1..7790.2 cm-1" },
    { "7790.1..7790.3, 7790.2..7790.4 cm-1", "7790.1..7790.4 cm-1" }, /* one */
    { "", NULL },
  };
  static const char *const bad[] = {
    "7790.1..7790.2",        "7790.1 cm-1",         "7790.2..7790.1 cm-1", "7790.1..7790.2 nm",
    "7790.1..7790.2, cm-1",  "7790.1..inf cm-1",    "-1..2 cm-1",          "..2 cm-1",
    "7790.1..7790.2 cm-1 x", "7790.1..7790.1 cm-1",
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (FaintSetup) setup = faint_setup_new ();
      g_autofree char *kept = NULL;
      g_autoptr (GError) error = NULL;

      g_assert_true (faint_setup_set (setup, "excluded", cases[i].given, NULL, &error));
      kept = faint_setup_get (setup, "excluded");
      g_assert_cmpstr (kept, ==, cases[i].kept);
    }
  for (gsize i = 0; i < G_N_ELEMENTS (bad); i++)
    {
      g_autoptr (FaintSetup) setup = faint_setup_new ();
      g_autoptr (GError) error = NULL;

      if (faint_setup_set (setup, "excluded", bad[i], NULL, &error))
        g_error ("'%s' was taken", bad[i]);
      faint_assert_error_says (error, FAINT_SETUP_ERROR, "was expected");
      g_assert_null (setup->excluded);
    }
}

/* Both ends belong to a range; the weight of what is excluded is that of an infinite
 * uncertainty, and what was stated stays. */
static void
test_teeth (void)
{
  for (int field = 0; field < 2; field++)
    {
      g_autofree char *text = text_of (9.5, 12.5);
      g_autoptr (FaintSpectrum) spectrum
          = spectrum_new (text, field ? FAINT_OBSERVABLE_FIELD : FAINT_OBSERVABLE_POWER);

      g_assert_cmpuint (spectrum->n_excluded, ==, 3);
      for (gsize i = 0; i < N; i++)
        {
          gboolean out = i >= 10 && i <= 12;

          g_assert_cmpint (spectrum->excluded[i], ==, out);
          g_assert_cmpfloat (spectrum->u[i], ==, 0.01);
          g_assert_cmpfloat (spectrum->fit_u[i], ==, out ? INFINITY : 0.01);
          if (field)
            g_assert_cmpfloat (spectrum->fit_u_im[i], ==, out ? INFINITY : 0.02);
        }
      g_assert_cmpuint (faint_spectrum_count_used (spectrum, 0, N), ==, N - 3);
      g_assert_cmpuint (faint_spectrum_count_used (spectrum, 11, 5), ==, 3);
    }
}

/* A range without teeth costs nothing. */
static void
test_none (void)
{
  g_autoptr (FaintSpectrum) spectrum = spectrum_new ("100..200 cm-1", FAINT_OBSERVABLE_POWER);

  g_assert_null (spectrum->excluded);
  g_assert_true (spectrum->fit_u == spectrum->u);
  g_assert_cmpuint (faint_spectrum_count_used (spectrum, 3, 7), ==, 7);
}

static void
assert_excluded (const GArray *ranges, const char *pattern)
{
  g_autofree char *text = faint_setup_ranges_to_text (ranges);
  g_autoptr (FaintSpectrum) spectrum = spectrum_new (text, FAINT_OBSERVABLE_POWER);

  for (gsize i = 0; pattern[i] != '\0'; i++)
    g_assert_cmpint (spectrum->excluded != NULL && spectrum->excluded[i], ==, pattern[i] == 'x');
}

/* What is left out and taken back, from the first tooth to the last; borders lie midway, so that a
 * comb that is a little off leaves the same teeth out. */
static void
test_edit (void)
{
  g_autoptr (FaintSpectrum) whole = spectrum_new ("", FAINT_OBSERVABLE_POWER), some = NULL;
  g_autoptr (GArray) out = NULL, back = NULL, first = NULL;
  g_autofree char *text = NULL;
  const FaintSetupRange *range;
  gsize n;

  out = faint_spectrum_excluding (whole, wavenumber (2.9), wavenumber (7), TRUE, &n);
  g_assert_cmpuint (n, ==, 5);
  assert_excluded (out, "...xxxxx...");
  range = &g_array_index (out, FaintSetupRange, 0);
  faint_assert_near (range->lower, wavenumber (2.5), 0.02 * spacing, "rounded to 1/100 of a gap");
  faint_assert_near (range->upper, wavenumber (7.5), 0.02 * spacing, "rounded to 1/100 of a gap");

  text = faint_setup_ranges_to_text (out);
  some = spectrum_new (text, FAINT_OBSERVABLE_POWER);
  back = faint_spectrum_excluding (some, wavenumber (4), wavenumber (5.2), FALSE, &n);
  g_assert_cmpuint (n, ==, 2);
  assert_excluded (back, "...x..xx...");
  g_array_unref (g_steal_pointer (&back));
  back = faint_spectrum_excluding (some, wavenumber (-3), wavenumber (N + 3), FALSE, &n);
  g_assert_cmpuint (n, ==, 5);
  g_assert_cmpuint (back->len, ==, 0);

  first = faint_spectrum_excluding (some, wavenumber (-3), wavenumber (0.1), TRUE, &n);
  g_assert_cmpuint (n, ==, 1);
  assert_excluded (first, "x..xxxxx...");
  g_array_unref (g_steal_pointer (&first));
  first = faint_spectrum_excluding (whole, wavenumber (N - 1.1), 9e9, TRUE, &n);
  g_assert_cmpuint (n, ==, 1);
  assert_excluded (first, "..........");
  /* once more changes nothing */
  g_array_unref (g_steal_pointer (&first));
  first = faint_spectrum_excluding (some, wavenumber (3), wavenumber (7), TRUE, &n);
  g_assert_cmpuint (n, ==, 0);
  assert_excluded (first, "...xxxxx...");
}

/* Conditions edited by hand leave the same teeth out. */
static void
test_other_setup (void)
{
  g_autofree char *text = text_of (3.5, 5.5);
  g_autoptr (FaintSpectrum) spectrum = spectrum_new (text, FAINT_OBSERVABLE_POWER), moved = NULL;
  g_autoptr (FaintSetup) setup = faint_setup_copy (spectrum->setup);
  g_autoptr (GError) error = NULL;

  faint_setup_set (setup, "offset_frequency", "60 MHz", NULL, &error);
  moved = faint_spectrum_with_setup (spectrum, setup, &error);
  g_assert_no_error (error);
  g_assert_cmpmem (moved->excluded, N, spectrum->excluded, N);
}

/* What one of several records leaves out is left out of all. */
static void
test_merge (void)
{
  g_autofree char *one = text_of (2.5, 3.5), *other = text_of (20.5, 21.5);
  FaintSpectrum *spectra[2] = { spectrum_new (one, FAINT_OBSERVABLE_POWER), NULL };
  g_autoptr (FaintSetup) setup = faint_setup_copy (spectra[0]->setup);
  g_autoptr (FaintSpectrum) merged = NULL;
  g_autoptr (GError) error = NULL;

  faint_setup_set (setup, "excluded", other, NULL, NULL);
  spectra[1] = faint_spectrum_with_setup (spectra[0], setup, &error);
  g_assert_no_error (error);
  merged = faint_spectrum_merge (spectra, 2, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (merged->n_excluded, ==, 2);
  g_assert_true (merged->excluded[3] && merged->excluded[21]);
  faint_spectrum_unref (spectra[0]);
  faint_spectrum_unref (spectra[1]);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/excluded/text", test_text);
  g_test_add_func ("/excluded/teeth", test_teeth);
  g_test_add_func ("/excluded/none", test_none);
  g_test_add_func ("/excluded/edit", test_edit);
  g_test_add_func ("/excluded/other-setup", test_other_setup);
  g_test_add_func ("/excluded/merge", test_merge);
  return g_test_run ();
}
