/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A head is taken apart into the word for a quantity and a unit. A unit that is missing follows
 * from the range of the numbers where one unit alone puts them into the optical range.
 */
#include "faint/spectrum/delimited-private.h"

#include <math.h>
#include <string.h>

/* Widens the ranges where the head states the unit. */
#define STATED_UNIT 50.0

/* Units of an axis and the numbers that it has in them between 0.3 um and 20 um, where cavities
 * with mirrors of high reflectivity and combs are in use (common practice, no source). */
static const struct
{
  const char *meaning, *unit;
  double lower, upper;
} axes[] = {
  { "wavenumber/cm-1", "cm-1", 500, 33333 }, { "frequency/THz", "thz", 15, 1000 },
  { "frequency/GHz", "ghz", 15e3, 1e6 },     { "frequency/MHz", "mhz", 15e6, 1e9 },
  { "frequency/Hz", "hz", 15e12, 1e15 },     { "wavelength/nm", "nm", 300, 20e3 },
  { "wavelength/um", "um", 0.3, 20 },
};
#define N_AXES G_N_ELEMENTS (axes)
/* Bits of the table above. */
#define WAVENUMBER 0x01
#define FREQUENCY 0x1e
#define WAVELENGTH 0x60
#define ANY_AXIS 0x7f

#define PERCENT "percent"

/* Spellings of the units, of which the longer stand before those that they end in. */
static const struct
{
  const char *spelling, *unit;
} units[] = {
  { "cm^-1", "cm-1" }, { "cm^{-1}", "cm-1" },  { "cm**-1", "cm-1" },    { "cm⁻¹", "cm-1" },
  { "1/cm", "cm-1" },  { "cm-1", "cm-1" },     { "thz", "thz" },        { "ghz", "ghz" },
  { "mhz", "mhz" },    { "hz", "hz" },         { "nm", "nm" },          { "µm", "um" },
  { "μm", "um" },      { "um", "um" },         { "micron", "um" },      { "rad", "rad" },
  { "%", PERCENT },    { "percent", PERCENT }, { "per cent", PERCENT },
};

/* Words for an axis, in lower case, in the languages of the window. "Frequency" and its symbol are
 * also said of wavenumbers. */
static const struct
{
  const char *word;
  guint axes;
} axis_words[] = {
  { "wavenumber", WAVENUMBER },
  { "wavenumbers", WAVENUMBER },
  { "wave number", WAVENUMBER },
  { "wellenzahl", WAVENUMBER },
  { "nombre d'onde", WAVENUMBER },
  { "número de onda", WAVENUMBER },
  { "波数", WAVENUMBER },
  { "frequency", FREQUENCY | WAVENUMBER },
  { "freq", FREQUENCY | WAVENUMBER },
  { "nu", FREQUENCY | WAVENUMBER },
  { "ν", FREQUENCY | WAVENUMBER },
  { "frequenz", FREQUENCY | WAVENUMBER },
  { "fréquence", FREQUENCY },
  { "frecuencia", FREQUENCY },
  { "频率", FREQUENCY },
  { "wavelength", WAVELENGTH },
  { "lambda", WAVELENGTH },
  { "λ", WAVELENGTH },
  { "wellenlänge", WAVELENGTH },
  { "longueur d'onde", WAVELENGTH },
  { "longitud de onda", WAVELENGTH },
  { "波长", WAVELENGTH },
};

#define DECADIC "decadic_absorbance"
#define NAPIERIAN "napierian_absorbance"
#define IN_PERCENT "transmission/percent"
#define U_IN_PERCENT "u(transmission)/percent"
#define UNCERTAINTY "u()" /* of what is measured, which another column is */

/* Words for what was measured, and the range that its numbers are in. A transmission far above 1 is
 * in per cent, or something else. */
static const struct
{
  const char *word, *meaning;
  double lower, upper;
} sample_words[] = {
  { "transmission", "transmission", -0.5, 2 },
  { "transmittance", "transmission", -0.5, 2 },
  { "t", "transmission", -0.5, 2 },
  { "transmissionsgrad", "transmission", -0.5, 2 },
  { "transmitancia", "transmission", -0.5, 2 },
  { "transmisión", "transmission", -0.5, 2 },
  { "透过率", "transmission", -0.5, 2 },
  { "透射率", "transmission", -0.5, 2 },
  { "signal", "signal", -HUGE_VAL, HUGE_VAL },
  { "sample", "signal", -HUGE_VAL, HUGE_VAL },
  /* an absorbance is decadic unless it is called otherwise (IUPAC Green Book, 3rd ed., 2.7) */
  { "absorbance", DECADIC, -0.5, 20 },
  { "decadic absorbance", DECADIC, -0.5, 20 },
  { "absorbance (base 10)", DECADIC, -0.5, 20 },
  { "-log10(t)", DECADIC, -0.5, 20 },
  { "-lg(t)", DECADIC, -0.5, 20 },
  { "absorbanz", DECADIC, -0.5, 20 },
  { "extinktion", DECADIC, -0.5, 20 },
  { "absorbancia", DECADIC, -0.5, 20 },
  { "吸光度", DECADIC, -0.5, 20 },
  { "napierian absorbance", NAPIERIAN, -0.5, 50 },
  { "absorbance (base e)", NAPIERIAN, -0.5, 50 },
  { "optical depth", NAPIERIAN, -0.5, 50 },
  { "-ln(t)", NAPIERIAN, -0.5, 50 },
  { "-ln(i/i0)", NAPIERIAN, -0.5, 50 },
  { "i", "signal", -HUGE_VAL, HUGE_VAL },
  { "reference", "reference", 0, HUGE_VAL },
  { "ref", "reference", 0, HUGE_VAL },
  { "background", "reference", 0, HUGE_VAL },
  { "i0", "reference", 0, HUGE_VAL },
  { "i 0", "reference", 0, HUGE_VAL },
  { "real part", "real", -HUGE_VAL, HUGE_VAL },
  { "real", "real", -HUGE_VAL, HUGE_VAL },
  { "re", "real", -HUGE_VAL, HUGE_VAL },
  { "imaginary part", "imag", -HUGE_VAL, HUGE_VAL },
  { "imaginary", "imag", -HUGE_VAL, HUGE_VAL },
  { "imag", "imag", -HUGE_VAL, HUGE_VAL },
  { "im", "imag", -HUGE_VAL, HUGE_VAL },
  { "u", UNCERTAINTY, 0, HUGE_VAL },
  { "u(t)", UNCERTAINTY, 0, HUGE_VAL },
  { "u(transmittance)", UNCERTAINTY, 0, HUGE_VAL },
  { "uncertainty", UNCERTAINTY, 0, HUGE_VAL },
  { "standard uncertainty", UNCERTAINTY, 0, HUGE_VAL },
  { "standard deviation", UNCERTAINTY, 0, HUGE_VAL },
  { "std", UNCERTAINTY, 0, HUGE_VAL },
};

/* Cuts the unit and what sets it apart off the end of @head, which is in lower case; what is left
 * is the word. The unit, or NULL: none that is known stands there. */
static const char *
take_unit (char *head)
{
  gsize length = strlen (head);
  const char *unit = NULL;

  if (*head == '%' && length > 1) /* "%T" */
    {
      gsize skip = strspn (head, "% ");

      memmove (head, head + skip, length - skip + 1);
      return PERCENT;
    }
  while (length > 0 && strchr (")] ", head[length - 1]))
    length--;
  for (gsize i = 0; i < G_N_ELEMENTS (units) && unit == NULL; i++)
    {
      gsize before = strlen (units[i].spelling);

      if (length < before || strncmp (head + length - before, units[i].spelling, before) != 0)
        continue;
      before = length - before;
      if (before > 0 && !strchr ("([/, _", head[before - 1]))
        continue;
      unit = units[i].unit;
      length = before;
    }
  if (unit == NULL)
    return NULL;
  while (length > 0 && strchr ("([/, _", head[length - 1]))
    length--;
  head[length] = '\0';
  if (g_str_has_suffix (head, " in"))
    head[length - strlen (" in")] = '\0';
  return unit;
}

static const char *
suggest_axis (const char *word, const char *unit, double lowest, double highest)
{
  guint allowed = *word == '\0' ? ANY_AXIS : 0;
  const char *found = NULL;

  for (gsize i = 0; i < G_N_ELEMENTS (axis_words); i++)
    if (g_str_equal (axis_words[i].word, word))
      allowed = axis_words[i].axes;
  for (gsize i = 0; i < N_AXES; i++)
    {
      double wider = unit != NULL ? STATED_UNIT : 1.0;

      if (!(allowed & 1u << i) || (unit != NULL && !g_str_equal (unit, axes[i].unit))
          || lowest < axes[i].lower / wider || highest > axes[i].upper * wider)
        continue;
      if (found != NULL) /* two units fit */
        return NULL;
      found = axes[i].meaning;
    }
  return found;
}

static const char *
suggest_sample (const char *word, double lowest, double highest)
{
  for (gsize i = 0; i < G_N_ELEMENTS (sample_words); i++)
    if (g_str_equal (sample_words[i].word, word))
      return lowest > sample_words[i].lower && highest < sample_words[i].upper
                 ? sample_words[i].meaning
                 : NULL;
  return NULL;
}

/* In per cent it reaches beyond what it would as a fraction. */
static const char *
suggest_percent (const char *word, double lowest, double highest)
{
  const char *meaning = suggest_sample (word, lowest / 100, highest / 100);

  if (g_strcmp0 (meaning, "transmission") == 0)
    return highest > 2 ? IN_PERCENT : NULL;
  return g_strcmp0 (meaning, UNCERTAINTY) == 0 ? U_IN_PERCENT : NULL;
}

/* What a head and its numbers suggest, apart from the other columns. */
static const char *
suggest_one (const FaintDelimitedPreview *self, guint column)
{
  const char *head = g_ptr_array_index (self->heads, column), *unit;
  double lowest = self->lowest[column], highest = self->highest[column];
  g_autofree char *word = NULL;

  if (!g_utf8_validate (head, -1, NULL) || isnan (lowest))
    return NULL;
  word = g_utf8_strdown (head, -1);
  g_strstrip (word);
  unit = take_unit (word);
  for (char *p = word; *p != '\0'; p++)
    if (*p == '_')
      *p = ' ';
  if (unit == NULL && *word == '\0')
    return NULL;
  if (unit != NULL && g_str_equal (unit, "rad"))
    return g_str_equal (word, "phase") ? "phase/rad" : NULL;
  if (unit != NULL && g_str_equal (unit, PERCENT))
    return suggest_percent (word, lowest, highest);
  if (unit == NULL && suggest_sample (word, lowest, highest) != NULL)
    return suggest_sample (word, lowest, highest);
  if (unit == NULL && *word != '\0' && g_str_equal (word, "tooth"))
    return "tooth";
  return suggest_axis (word, unit, lowest, highest);
}

/* The word in the list of meanings that @head is, or NULL. */
static const char *
stated_meaning (const char *head)
{
  for (const char *const *meaning = faint_column_meanings (); *meaning != NULL; meaning++)
    if (g_str_equal (*meaning, head))
      return *meaning;
  return NULL;
}

static gboolean
is_axis (const char *meaning)
{
  if (meaning == NULL)
    return FALSE;
  for (gsize i = 0; i < N_AXES; i++)
    if (g_str_equal (axes[i].meaning, meaning))
      return TRUE;
  return g_str_equal (meaning, "tooth");
}

static guint
count (const char **meanings, guint n, const char *meaning)
{
  guint found = 0;

  for (guint i = 0; i < n; i++)
    found += g_strcmp0 (meanings[i], meaning) == 0;
  return found;
}

static void
drop (const char **meanings, const gboolean *stated, guint n, const char *meaning)
{
  for (guint i = 0; i < n; i++)
    if (!stated[i] && g_strcmp0 (meanings[i], meaning) == 0)
      meanings[i] = NULL;
}

/* One axis is enough: the one that is stated, else the first. */
static void
keep_one_axis (const char **meanings, const gboolean *stated, guint n)
{
  gboolean taken = FALSE;

  for (guint i = 0; i < n; i++)
    taken |= stated[i] && is_axis (meanings[i]);
  for (guint i = 0; i < n; i++)
    if (!stated[i] && is_axis (meanings[i]))
      {
        if (taken)
          meanings[i] = NULL;
        taken = TRUE;
      }
}

/* The ways to a ratio that is already taken, the first before the others, and their uncertainty. */
static const struct
{
  const char *meaning, *u;
} ratios[] = { { "transmission", "u(transmission)" },
               { IN_PERCENT, U_IN_PERCENT },
               { DECADIC, "u(decadic_absorbance)" },
               { NAPIERIAN, "u(napierian_absorbance)" } };

/* An uncertainty that does not say of what is that of the ratio; of one in per cent it says so. */
static void
settle_uncertainties (const char **meanings, const gboolean *stated, guint n, gsize which)
{
  const char *u = which < G_N_ELEMENTS (ratios) ? ratios[which].u : NULL;

  if (u != NULL && g_str_equal (u, U_IN_PERCENT))
    drop (meanings, stated, n, UNCERTAINTY);
  else
    drop (meanings, stated, n, U_IN_PERCENT);
  for (guint i = 0; i < n; i++)
    if (g_strcmp0 (meanings[i], UNCERTAINTY) == 0)
      meanings[i] = u != NULL && count (meanings, n, u) == 0 ? u : NULL;
}

/* What is suggested twice is not known, a pair needs both, and a ratio needs no parts. */
static void
settle_samples (const char **meanings, const gboolean *stated, guint n)
{
  static const char *const samples[]
      = { "transmission", "signal",  "reference", "real",     "imag",      "phase/rad",
          DECADIC,        NAPIERIAN, UNCERTAINTY, IN_PERCENT, U_IN_PERCENT };
  static const char *const pairs[][2] = { { "signal", "reference" }, { "real", "imag" } };
  gsize which = G_N_ELEMENTS (ratios);
  gboolean ratio;

  for (gsize i = 0; i < G_N_ELEMENTS (samples); i++)
    if (count (meanings, n, samples[i]) > 1)
      drop (meanings, stated, n, samples[i]);
  for (gsize i = 0; i < G_N_ELEMENTS (ratios); i++)
    if (which < G_N_ELEMENTS (ratios))
      drop (meanings, stated, n, ratios[i].meaning);
    else if (count (meanings, n, ratios[i].meaning) > 0)
      which = i;
  ratio = which < G_N_ELEMENTS (ratios);
  for (gsize i = 0; i < G_N_ELEMENTS (pairs); i++)
    for (gsize k = 0; k < 2; k++)
      if (ratio || count (meanings, n, pairs[i][1 - k]) == 0)
        drop (meanings, stated, n, pairs[i][k]);
  settle_uncertainties (meanings, stated, n, which);
}

const char **
faint_delimited_suggest (const FaintDelimitedPreview *self)
{
  guint n = (guint)self->n_columns;
  const char **meanings = g_new0 (const char *, n + 1);
  g_autofree gboolean *stated = g_new0 (gboolean, n);

  for (guint i = 0; i < MIN (n, self->heads->len); i++)
    {
      meanings[i] = stated_meaning (g_ptr_array_index (self->heads, i));
      stated[i] = meanings[i] != NULL;
      if (!stated[i])
        meanings[i] = suggest_one (self, i);
    }
  keep_one_axis (meanings, stated, n);
  settle_samples (meanings, stated, n);
  return meanings;
}

char *
faint_delimited_suggest_map (const FaintDelimitedPreview *self, FaintObservable *observable)
{
  g_autofree const char **meanings = faint_delimited_suggest (self);
  guint n = (guint)self->n_columns;
  g_autoptr (FaintColumns) columns = NULL;

  if (count (meanings, n, "real") > 0)
    *observable = FAINT_OBSERVABLE_FIELD;
  for (guint i = 0; i < n; i++)
    if (meanings[i] == NULL)
      meanings[i] = "-";
  columns = faint_columns_new ((const char *const *)meanings, FALSE, NULL);
  if (columns == NULL || !faint_columns_check (columns, *observable, NULL))
    return NULL;
  return g_strjoinv (",", (char **)meanings);
}
