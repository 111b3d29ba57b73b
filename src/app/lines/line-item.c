/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A line as texts and numbers of columns.
 */
#include "app/lines/line-item.h"

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "faint/base/quantity.h"
#include "app/lines/line-words.h"
#include "app/parts/quantity-text.h"

struct _FaintLineItem
{
  GObject parent;

  FaintLineList *list;
  GHashTable *differences; /* or NULL */
  guint index;
  FaintLineNotation notation;
};

G_DEFINE_FINAL_TYPE (FaintLineItem, faint_line_item, G_TYPE_OBJECT)

static const struct
{
  guint flag;
  const char *words;
} flag_words[] = {
  { FAINT_LINE_EXCLUDED, N_ ("excluded") },
  { FAINT_LINE_POSITION_FIXED, N_ ("position fixed") },
  { FAINT_LINE_STRENGTH_FIXED, N_ ("strength fixed") },
  { FAINT_LINE_LORENTZ_FIXED, N_ ("Lorentz width fixed") },
  { FAINT_LINE_DOPPLER_FIXED, N_ ("Doppler width fixed") },
  { FAINT_LINE_POSITION_TIED, N_ ("position tied") },
  { FAINT_LINE_STRENGTH_TIED, N_ ("strength tied") },
  { FAINT_LINE_LORENTZ_TIED, N_ ("Lorentz width tied") },
  { FAINT_LINE_DOPPLER_TIED, N_ ("Doppler width tied") },
  { FAINT_LINE_LORENTZ_AT_LIMIT, N_ ("Lorentz width at 0") },
  { FAINT_LINE_WIDTH_SHARED, N_ ("width shared") },
  { FAINT_LINE_BLENDED, N_ ("blended") },
  { FAINT_LINE_WIDTH_UNUSUAL, N_ ("unusually wide") },
  { FAINT_LINE_ENERGY_FITTED, N_ ("energy from temperatures") },
  { FAINT_LINE_SATURATED, N_ ("strong absorption") },
  { FAINT_LINE_AT_EDGE, N_ ("at the edge") },
  { FAINT_LINE_NOT_DETERMINED, N_ ("not determined") },
  { FAINT_LINE_NOT_CONVERGED, N_ ("not converged") },
};

/* The sign before a value that is not fitted by itself. */
static const char *
sign_of (const FaintParameter *parameter)
{
  switch (parameter->state)
    {
    case FAINT_STATE_FIXED:
      return "= ";
    case FAINT_STATE_TIED:
      return "⇢ ";
    default:
      return "";
    }
}

static char *
plain_number (double value, const char *format)
{
  char buffer[G_ASCII_DTOSTR_BUF_SIZE];

  if (isnan (value))
    return g_strdup ("");
  return g_strdup (g_ascii_formatd (buffer, sizeof buffer, format, value));
}

/* Value and uncertainty, short; what has none shows the digits of @format. */
static char *
short_text (double value, double u, const char *format)
{
  return isfinite (u) && u > 0 ? faint_format_concise (value, u) : plain_number (value, format);
}

/* What somebody fixed shows the digits that were stated, what is computed or not fitted yet those
 * that it is good for, and what the data do not determine few of them, after a sign. */
static char *
parameter_text (const FaintLine *line, const FaintParameter *parameter, double scale)
{
  gboolean is_position = parameter == &line->position;
  g_autofree char *text = NULL;

  if (faint_line_is_lost (line, parameter))
    {
      text = plain_number (scale * parameter->value, is_position ? "%.3f" : "%.2g");
      return g_strconcat ("≈ ", text, NULL);
    }
  text = short_text (scale * parameter->value, scale * parameter->u,
                     parameter->state == FAINT_STATE_FIXED ? (is_position ? "%.12g" : "%.9g")
                                                           : (is_position ? "%.10g" : "%.5g"));
  return *text ? g_strconcat (sign_of (parameter), text, NULL) : g_strdup ("");
}

/* A position on an axis in other units has the digits that the one in cm-1 has. */
static char *
position_text (FaintLineItem *self, const FaintLine *line)
{
  const FaintAxisUnit *axis = &self->notation.axis;
  const FaintParameter *position = &line->position;
  g_autofree char *text = NULL;

  if (axis->kind == FAINT_AXIS_UNIT_WAVENUMBER || isnan (position->value))
    return parameter_text (line, position, 1);
  if (faint_line_is_lost (line, position))
    {
      text = faint_axis_unit_concise (axis, position->value, NAN, 1e-3);
      return g_strconcat ("≈ ", text, NULL);
    }
  if (position->state == FAINT_STATE_FIXED)
    text = faint_true_minus (plain_number (faint_axis_unit_value (axis, position->value), "%.12g"));
  else
    text = faint_axis_unit_concise (axis, position->value, position->u, 1e-6);
  return g_strconcat (sign_of (position), text, NULL);
}

static char *
width_text (FaintLineItem *self, const FaintLine *line, const FaintParameter *width)
{
  double scale;

  faint_axis_unit_of_differences (self->notation.axis.kind, &scale);
  return parameter_text (line, width, scale);
}

/* In MHz; a wavenumber is proportional to it. */
static char *
frequency_text (const FaintLine *line)
{
  const FaintParameter *position = &line->position;
  double frequency = faint_line_frequency_mhz (position->value);

  if (faint_line_is_lost (line, position))
    {
      g_autofree char *text = plain_number (frequency, "%.5g");

      return g_strconcat ("≈ ", text, NULL);
    }
  return short_text (frequency, frequency / position->value * position->u, "%.11g");
}

const FaintLineDifference *
faint_line_item_get_difference (FaintLineItem *self)
{
  guint id = faint_line_item_get_line (self)->id;

  return self->differences ? g_hash_table_lookup (self->differences, GUINT_TO_POINTER (id)) : NULL;
}

guint
faint_line_difference_decimals (const FaintLineDifference *difference, const FaintAxisUnit *axis)
{
  double scale, u;

  faint_axis_unit_of_differences (axis->kind, &scale);
  u = difference->u * scale;
  if (!(u > 0) || !isfinite (u))
    return 0;
  /* 0.0995 has two digits as 0.10 */
  return (guint)CLAMP (ceil (-log10 (u / 0.995) - 1e-9) + 1, 0, 9);
}

/* Digits of @u in the last of @decimals places: "12" of 0.0012 in four. */
static char *
last_digits (double u, guint decimals)
{
  char digits[G_ASCII_DTOSTR_BUF_SIZE];
  double places = rint (u * pow (10, decimals));

  return g_strdup (g_ascii_formatd (digits, sizeof digits, "%.0f", places));
}

/* Value and uncertainty in one notation, without a power of ten, and behind them room for the
 * decimals that others have more. One that the fit left out is marked. */
static char *
difference_text (FaintLineItem *self)
{
  const FaintLineDifference *it = faint_line_item_get_difference (self);
  guint decimals, most = self->notation.decimals;
  g_autofree char *u = NULL;
  char format[16], digits[G_ASCII_DTOSTR_BUF_SIZE];
  double scale;
  GString *text;

  if (it == NULL)
    return g_strdup ("");
  faint_axis_unit_of_differences (self->notation.axis.kind, &scale);
  decimals = it->u > 0 && isfinite (it->u)
                 ? faint_line_difference_decimals (it, &self->notation.axis)
                 : most;
  g_snprintf (format, sizeof format, "%%.%uf", decimals);
  g_ascii_formatd (digits, sizeof digits, format, fabs (scale * it->value));
  text = g_string_new (it->words ? "† " : "");
  if (it->value < 0 && strspn (digits, "0.") != strlen (digits))
    g_string_append (text, "−");
  g_string_append (text, digits);
  if (it->u > 0 && isfinite (it->u))
    {
      u = last_digits (scale * it->u, decimals);
      g_string_append_printf (text, "(%s)", u);
    }
  if (decimals == 0 && most > 0)
    g_string_append (text, "\u2008"); /* as wide as a point */
  for (guint i = decimals; i < most; i++)
    g_string_append (text, "\u2007"); /* as wide as a digit */
  return g_string_free (text, FALSE);
}

static void
faint_line_item_finalize (GObject *object)
{
  FaintLineItem *self = FAINT_LINE_ITEM (object);

  g_clear_pointer (&self->list, faint_line_list_unref);
  g_clear_pointer (&self->differences, g_hash_table_unref);
  G_OBJECT_CLASS (faint_line_item_parent_class)->finalize (object);
}

static void
faint_line_item_class_init (FaintLineItemClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = faint_line_item_finalize;
}

static void
faint_line_item_init (FaintLineItem *self)
{
  self->notation.axis = FAINT_AXIS_UNIT_DEFAULT;
}

FaintLineItem *
faint_line_item_new (FaintLineList *list, GHashTable *differences, guint index)
{
  FaintLineItem *self = g_object_new (FAINT_TYPE_LINE_ITEM, NULL);

  faint_line_item_set (self, list, differences, index);
  return self;
}

void
faint_line_item_set (FaintLineItem *self, FaintLineList *list, GHashTable *differences, guint index)
{
  g_return_if_fail (FAINT_IS_LINE_ITEM (self));
  if (list != self->list)
    {
      faint_line_list_ref (list);
      g_clear_pointer (&self->list, faint_line_list_unref);
      self->list = list;
    }
  if (differences != self->differences)
    {
      g_clear_pointer (&self->differences, g_hash_table_unref);
      self->differences = differences ? g_hash_table_ref (differences) : NULL;
    }
  self->index = index;
}

void
faint_line_item_set_notation (FaintLineItem *self, const FaintLineNotation *notation)
{
  g_return_if_fail (FAINT_IS_LINE_ITEM (self));
  self->notation = *notation;
}

const FaintLine *
faint_line_item_get_line (FaintLineItem *self)
{
  g_return_val_if_fail (FAINT_IS_LINE_ITEM (self), NULL);
  return faint_line_list_get (self->list, self->index);
}

guint
faint_line_item_get_number (FaintLineItem *self)
{
  g_return_val_if_fail (FAINT_IS_LINE_ITEM (self), 0);
  return self->index + 1;
}

char *
faint_line_item_text (FaintLineItem *self, FaintLineColumn column)
{
  const FaintLine *line = faint_line_item_get_line (self);

  switch (column)
    {
    case FAINT_LINE_COLUMN_NUMBER:
      return g_strdup_printf ("%u", self->index + 1);
    case FAINT_LINE_COLUMN_POSITION:
      return position_text (self, line);
    case FAINT_LINE_COLUMN_STRENGTH:
      return faint_true_minus (parameter_text (line, &line->strength, 1));
    case FAINT_LINE_COLUMN_LORENTZ:
      return width_text (self, line, &line->lorentz);
    case FAINT_LINE_COLUMN_DOPPLER:
      return width_text (self, line, &line->doppler);
    case FAINT_LINE_COLUMN_SNR:
      return plain_number (line->snr, line->snr < 9.95 ? "%.1f" : "%.0f");
    case FAINT_LINE_COLUMN_CHI2:
      return plain_number (line->chi2_reduced, "%.2f");
    case FAINT_LINE_COLUMN_FREQUENCY:
      return frequency_text (line);
    case FAINT_LINE_COLUMN_STRENGTH_296:
      return short_text (line->strength_296, line->u_strength_296, "%.5g");
    case FAINT_LINE_COLUMN_LOWER_ENERGY:
      return short_text (line->lower_energy, line->u_lower_energy, "%.10g");
    case FAINT_LINE_COLUMN_WINDOW:
      return line->window > 0 ? g_strdup_printf ("%d", line->window) : g_strdup ("");
    case FAINT_LINE_COLUMN_REMARK:
      return g_strdup (line->remark);
    case FAINT_LINE_COLUMN_UPPER:
      return g_strdup (line->upper);
    case FAINT_LINE_COLUMN_LOWER:
      return g_strdup (line->lower);
    case FAINT_LINE_COLUMN_DIFFERENCE:
      return difference_text (self);
    case FAINT_LINE_COLUMN_FLAGS:
      return faint_line_flags_in_words (line->flags);
    default:
      return g_strdup ("");
    }
}

char *
faint_line_text_for_programs (const char *cell)
{
  static const char *const from[] = { "\u2007", "\u2008", "−" }, *const to[] = { "", "", "-" };
  char *text = g_strdup (cell);

  for (guint i = 0; i < G_N_ELEMENTS (from); i++)
    {
      g_auto (GStrv) parts = g_strsplit (text, from[i], -1);

      g_free (text);
      text = g_strjoinv (to[i], parts);
    }
  return text;
}

char *
faint_line_item_explain (FaintLineItem *self, FaintLineColumn column)
{
  static const FaintPlace places[FAINT_N_LINE_COLUMNS] = {
    [FAINT_LINE_COLUMN_POSITION] = FAINT_PLACE_POSITION,
    [FAINT_LINE_COLUMN_STRENGTH] = FAINT_PLACE_STRENGTH,
    [FAINT_LINE_COLUMN_LORENTZ] = FAINT_PLACE_LORENTZ,
    [FAINT_LINE_COLUMN_DOPPLER] = FAINT_PLACE_DOPPLER,
  };
  const FaintLine *line = faint_line_item_get_line (self);
  const FaintLineDifference *difference = faint_line_item_get_difference (self);
  g_autofree char *tie = NULL;

  if (column == FAINT_LINE_COLUMN_DIFFERENCE)
    return difference && difference->words
               /* Translators: why a line is left out of the fit of the band */
               ? g_strdup_printf (_ ("Left out: %s"), difference->words)
               : NULL;
  if (column == FAINT_LINE_COLUMN_FLAGS)
    return line->flags ? faint_line_flags_in_words (line->flags) : NULL;
  if (column < FAINT_LINE_COLUMN_POSITION || column > FAINT_LINE_COLUMN_DOPPLER)
    return NULL;
  if (faint_line_peek_parameter (line, places[column])->state == FAINT_STATE_FIXED)
    return g_strdup (_ ("Fixed"));
  if (faint_line_is_lost (line, faint_line_peek_parameter (line, places[column])))
    return g_strdup (_ ("Not determined by the data"));
  tie = faint_tie_in_words (self->list, line, places[column]);
  /* Translators: such as "Tied: 0.5 × strength of line 12 (7790.220)" */
  return tie ? g_strdup_printf (_ ("Tied: %s"), tie) : NULL;
}

static double
number_of_label (const char *label)
{
  const char *digits = strpbrk (label, "0123456789");

  return digits ? g_ascii_strtod (digits, NULL) : NAN;
}

double
faint_line_column_value (const FaintLine *line, guint number, const FaintLineDifference *difference,
                         FaintLineColumn column)
{
  switch (column)
    {
    case FAINT_LINE_COLUMN_NUMBER:
      return number;
    case FAINT_LINE_COLUMN_POSITION:
      return line->position.value;
    case FAINT_LINE_COLUMN_STRENGTH:
      return line->strength.value;
    case FAINT_LINE_COLUMN_LORENTZ:
      return line->lorentz.value;
    case FAINT_LINE_COLUMN_DOPPLER:
      return line->doppler.value;
    case FAINT_LINE_COLUMN_SNR:
      return line->snr;
    case FAINT_LINE_COLUMN_CHI2:
      return line->chi2_reduced;
    case FAINT_LINE_COLUMN_FREQUENCY:
      return line->position.value;
    case FAINT_LINE_COLUMN_STRENGTH_296:
      return line->strength_296;
    case FAINT_LINE_COLUMN_LOWER_ENERGY:
      return line->lower_energy;
    case FAINT_LINE_COLUMN_WINDOW:
      return line->window > 0 ? line->window : NAN;
    case FAINT_LINE_COLUMN_REMARK:
      return *line->remark ? 0 : NAN; /* those with one first */
    case FAINT_LINE_COLUMN_UPPER:
      return number_of_label (line->upper);
    case FAINT_LINE_COLUMN_LOWER:
      return number_of_label (line->lower);
    case FAINT_LINE_COLUMN_DIFFERENCE:
      return difference ? difference->value : NAN;
    case FAINT_LINE_COLUMN_FLAGS:
      return line->flags;
    default:
      return NAN;
    }
}

const char *
faint_line_column_name (FaintLineColumn column)
{
  static const char *const names[FAINT_N_LINE_COLUMNS] = {
    [FAINT_LINE_COLUMN_NUMBER] = "number",
    [FAINT_LINE_COLUMN_POSITION] = "position",
    [FAINT_LINE_COLUMN_STRENGTH] = "strength",
    [FAINT_LINE_COLUMN_LORENTZ] = "lorentz",
    [FAINT_LINE_COLUMN_DOPPLER] = "doppler",
    [FAINT_LINE_COLUMN_SNR] = "snr",
    [FAINT_LINE_COLUMN_CHI2] = "chi2",
    [FAINT_LINE_COLUMN_FREQUENCY] = "frequency",
    [FAINT_LINE_COLUMN_STRENGTH_296] = "strength_296",
    [FAINT_LINE_COLUMN_LOWER_ENERGY] = "lower_energy",
    [FAINT_LINE_COLUMN_WINDOW] = "window",
    [FAINT_LINE_COLUMN_UPPER] = "upper",
    [FAINT_LINE_COLUMN_LOWER] = "lower",
    [FAINT_LINE_COLUMN_DIFFERENCE] = "difference",
    [FAINT_LINE_COLUMN_FLAGS] = "flags",
    [FAINT_LINE_COLUMN_REMARK] = "remark",
  };

  g_return_val_if_fail (column < FAINT_N_LINE_COLUMNS, "");
  return names[column];
}

const char *
faint_line_column_title (FaintLineColumn column)
{
  /* of the levels one word, so that all up to the difference are in sight */
  static const char *const titles[FAINT_N_LINE_COLUMNS] = {
    [FAINT_LINE_COLUMN_NUMBER] = N_ ("#"),
    [FAINT_LINE_COLUMN_POSITION] = N_ ("Position/cm⁻¹"),
    [FAINT_LINE_COLUMN_STRENGTH] = N_ ("Strength/(cm/molecule)"),
    [FAINT_LINE_COLUMN_LORENTZ] = N_ ("Lorentz HWHM/cm⁻¹"),
    [FAINT_LINE_COLUMN_DOPPLER] = N_ ("Doppler HWHM/cm⁻¹"),
    [FAINT_LINE_COLUMN_SNR] = N_ ("S/N"),
    [FAINT_LINE_COLUMN_CHI2] = N_ ("χ²/ν"),
    [FAINT_LINE_COLUMN_FREQUENCY] = N_ ("Frequency/MHz"),
    [FAINT_LINE_COLUMN_STRENGTH_296] = N_ ("S(296 K)/(cm/molecule)"),
    [FAINT_LINE_COLUMN_LOWER_ENERGY] = N_ ("Lower energy/cm⁻¹"),
    [FAINT_LINE_COLUMN_WINDOW] = N_ ("Window"),
    [FAINT_LINE_COLUMN_REMARK] = N_ ("Note"),
    [FAINT_LINE_COLUMN_UPPER] = N_ ("Upper"),
    [FAINT_LINE_COLUMN_LOWER] = N_ ("Lower"),
    [FAINT_LINE_COLUMN_DIFFERENCE] = N_ ("Obs − calc/cm⁻¹"),
    [FAINT_LINE_COLUMN_FLAGS] = N_ ("Remarks"),
  };

  g_return_val_if_fail (column < FAINT_N_LINE_COLUMNS, "");
  return _ (titles[column]);
}

char *
faint_line_column_head (FaintLineColumn column, const FaintAxisUnit *axis)
{
  const char *title = faint_line_column_title (column), *symbol;
  g_auto (GStrv) parts = NULL;
  double scale;

  switch (column)
    {
    case FAINT_LINE_COLUMN_POSITION:
      if (axis->kind == FAINT_AXIS_UNIT_TOOTH)
        return g_strdup (_ ("Tooth number"));
      return faint_axis_unit_label (axis, _ ("Position"));
    case FAINT_LINE_COLUMN_LORENTZ:
    case FAINT_LINE_COLUMN_DOPPLER:
    case FAINT_LINE_COLUMN_DIFFERENCE:
      symbol = faint_axis_unit_of_differences (axis->kind, &scale);
      parts = g_strsplit (title, "cm⁻¹", -1);
      return g_strjoinv (symbol, parts);
    default:
      return g_strdup (title);
    }
}

char *
faint_line_flags_in_words (guint flags)
{
  GString *words = g_string_new (NULL);

  for (guint i = 0; i < G_N_ELEMENTS (flag_words); i++)
    if (flags & flag_words[i].flag)
      g_string_append_printf (words, "%s%s", words->len > 0 ? ", " : "", _ (flag_words[i].words));
  return g_string_free (words, FALSE);
}
