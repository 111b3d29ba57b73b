/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/lines/line-filter-private.h"

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "faint/base/units.h"

#define MAX_NAMES 4

typedef enum
{
  UNIT_NONE,
  UNIT_WAVENUMBER,
  UNIT_STRENGTH,
  UNIT_MHZ,
  NO_NUMBER, /* the column holds text */
} Unit;

/* The first name is the one that the program writes. */
static const struct
{
  const char *names[MAX_NAMES];
  Unit unit;
} columns[FAINT_N_LINE_COLUMNS] = {
  [FAINT_LINE_COLUMN_NUMBER] = { { "number", "#" }, UNIT_NONE },
  [FAINT_LINE_COLUMN_POSITION] = { { "position", "wavenumber", "nu", "ν" }, UNIT_WAVENUMBER },
  [FAINT_LINE_COLUMN_STRENGTH] = { { "S", "strength" }, UNIT_STRENGTH },
  [FAINT_LINE_COLUMN_LORENTZ] = { { "width", "lorentz", "gamma", "γ" }, UNIT_WAVENUMBER },
  [FAINT_LINE_COLUMN_DOPPLER] = { { "doppler" }, UNIT_WAVENUMBER },
  [FAINT_LINE_COLUMN_SNR] = { { "S/N", "snr" }, UNIT_NONE },
  [FAINT_LINE_COLUMN_CHI2] = { { "chi2", "χ²", "χ²/ν" }, UNIT_NONE },
  [FAINT_LINE_COLUMN_FREQUENCY] = { { "frequency" }, UNIT_MHZ },
  [FAINT_LINE_COLUMN_STRENGTH_296] = { { "S296", "S(296K)", "strength_296" }, UNIT_STRENGTH },
  [FAINT_LINE_COLUMN_LOWER_ENERGY] = { { "E", "E''", "energy", "lower_energy" }, UNIT_WAVENUMBER },
  [FAINT_LINE_COLUMN_WINDOW] = { { "window" }, UNIT_NONE },
  [FAINT_LINE_COLUMN_UPPER] = { { "upper" }, NO_NUMBER },
  [FAINT_LINE_COLUMN_LOWER] = { { "lower" }, NO_NUMBER },
  [FAINT_LINE_COLUMN_DIFFERENCE] = { { "difference", "obs-calc", "o-c" }, UNIT_WAVENUMBER },
  [FAINT_LINE_COLUMN_FLAGS] = { { "flag", "flags" }, NO_NUMBER },
  [FAINT_LINE_COLUMN_REMARK] = { { "note", "remark" }, NO_NUMBER },
};

/* Whether a condition is of some form. */
typedef enum
{
  OTHER,
  TAKEN,
  WRONG, /* it is, but cannot be read */
} Outcome;

/* The longer ones first. */
static const struct
{
  const char *sign;
  gboolean below, equal, above, differs;
} signs[] = {
  { "<=", TRUE, TRUE, FALSE, FALSE },  { ">=", FALSE, TRUE, TRUE, FALSE },
  { "!=", FALSE, FALSE, FALSE, TRUE }, { "==", FALSE, TRUE, FALSE, FALSE },
  { "≤", TRUE, TRUE, FALSE, FALSE },   { "≥", FALSE, TRUE, TRUE, FALSE },
  { "≠", FALSE, FALSE, FALSE, TRUE },  { "<", TRUE, FALSE, FALSE, FALSE },
  { ">", FALSE, FALSE, TRUE, FALSE },  { "=", FALSE, TRUE, FALSE, FALSE },
};

const char *
faint_line_filter_name (FaintLineColumn column)
{
  g_return_val_if_fail (column < FAINT_N_LINE_COLUMNS, "");
  return columns[column].names[0];
}

gboolean
faint_line_filter_is_text (FaintLineColumn column)
{
  g_return_val_if_fail (column < FAINT_N_LINE_COLUMNS, FALSE);
  return columns[column].unit == NO_NUMBER;
}

/* Without blanks, in one case. */
static char *
folded (const char *text)
{
  g_autoptr (GString) dense = g_string_new (NULL);

  for (const char *p = text; *p; p++)
    if (!g_ascii_isspace (*p))
      g_string_append_c (dense, *p);
  return g_utf8_casefold (dense->str, -1);
}

static gboolean
is_same (const char *known, const char *wanted)
{
  g_autofree char *dense = folded (known);

  return strcmp (dense, wanted) == 0;
}

/* As the head of the column says in the user's language, with its unit or without. */
static gboolean
is_head (FaintLineColumn column, const char *wanted)
{
  const char *title = faint_line_column_title (column), *unit = strchr (title, '/');
  g_autofree char *quantity = unit ? g_strndup (title, (gsize)(unit - title)) : NULL;

  return is_same (title, wanted) || (quantity && is_same (quantity, wanted));
}

static gboolean
find_column (const char *name, FaintLineColumn *column)
{
  g_autofree char *wanted = folded (name);

  for (guint i = 0; i < FAINT_N_LINE_COLUMNS; i++)
    for (guint k = 0; k < MAX_NAMES && columns[i].names[k]; k++)
      if (is_same (columns[i].names[k], wanted))
        {
          *column = i;
          return TRUE;
        }
  for (guint i = 0; i < FAINT_N_LINE_COLUMNS; i++)
    if (is_head (i, wanted))
      {
        *column = i;
        return TRUE;
      }
  return FALSE;
}

/* "S", "u(S)", "ur(S)" */
static gboolean
find_face (const char *name, FaintFilterClause *clause)
{
  static const struct
  {
    const char *begin;
    FaintFilterFace face;
  } faces[] = { { "u(", FAINT_FILTER_U },
                { "ur(", FAINT_FILTER_RELATIVE_U },
                { "u_r(", FAINT_FILTER_RELATIVE_U } };
  g_autofree char *dense = folded (name);

  for (guint i = 0; i < G_N_ELEMENTS (faces); i++)
    if (g_str_has_prefix (dense, faces[i].begin) && g_str_has_suffix (dense, ")"))
      {
        gsize skip = strlen (faces[i].begin);
        g_autofree char *inner = g_strndup (dense + skip, strlen (dense) - skip - 1);

        clause->face = faces[i].face;
        return find_column (inner, &clause->column) && !faint_line_filter_is_text (clause->column);
      }
  clause->face = FAINT_FILTER_VALUE;
  return find_column (name, &clause->column);
}

static gboolean
refuse_column (const char *name, GError **error)
{
  g_set_error (error, FAINT_LINE_FILTER_ERROR, FAINT_LINE_FILTER_ERROR_COLUMN,
               /* Translators: what was typed as the name of a column of the table */
               _ ("“%s” is no column; such as S, width, S/N, E, u(S) were expected"), name);
  return FALSE;
}

/* "cm⁻¹" as "cm-1". */
static char *
plain_unit (const char *unit)
{
  g_auto (GStrv) parts = g_strsplit (unit, "⁻¹", -1);

  return g_strstrip (g_strjoinv ("-1", parts));
}

/* A unit that only a position has, or that means something else of one. */
static gboolean
axis_of (const FaintFilterClause *clause, const char *name, FaintAxisUnit *axis)
{
  *axis = clause->axis;
  if (*name == '\0' || strcmp (name, faint_axis_unit_symbol (axis->kind)) == 0)
    return TRUE;
  *axis = FAINT_AXIS_UNIT_DEFAULT;
  if (strcmp (name, "nm") == 0)
    axis->kind = FAINT_AXIS_UNIT_WAVELENGTH;
  return strcmp (name, "cm-1") == 0 || axis->kind == FAINT_AXIS_UNIT_WAVELENGTH;
}

/* Widths and differences without a unit are in that of the head. */
static double
scale_of_head (const FaintFilterClause *clause)
{
  double scale = 1;

  if (clause->column == FAINT_LINE_COLUMN_LORENTZ || clause->column == FAINT_LINE_COLUMN_DOPPLER
      || clause->column == FAINT_LINE_COLUMN_DIFFERENCE)
    faint_axis_unit_of_differences (clause->axis.kind, &scale);
  return 1 / scale;
}

static gboolean
refuse_unit (const FaintFilterClause *clause, const char *written, GError **error)
{
  static const char *const expected[] = { "", "cm⁻¹", "cm/molecule", "MHz" };
  Unit unit = columns[clause->column].unit;

  if (unit == UNIT_NONE || clause->face == FAINT_FILTER_RELATIVE_U)
    g_set_error (error, FAINT_LINE_FILTER_ERROR, FAINT_LINE_FILTER_ERROR_NUMBER,
                 _ ("“%s” after the number: no unit was expected"), written);
  else
    g_set_error (error, FAINT_LINE_FILTER_ERROR, FAINT_LINE_FILTER_ERROR_NUMBER,
                 /* Translators: a unit as typed, and the one of the column */
                 _ ("“%s” is no unit of this column; %s was expected"), written, expected[unit]);
  return FALSE;
}

/* @value as it was written with the unit @written, in that of the clause. */
static gboolean
convert (FaintFilterClause *clause, const char *written, double *value, GError **error)
{
  Unit unit = columns[clause->column].unit;
  g_autofree char *name = plain_unit (written);
  const FaintUnit *known = NULL;
  FaintAxisUnit axis;

  if (strcmp (name, "%") == 0 && clause->face != FAINT_FILTER_VALUE)
    {
      clause->face = FAINT_FILTER_RELATIVE_U;
      *value *= 0.01;
      return TRUE;
    }
  if (clause->face == FAINT_FILTER_RELATIVE_U)
    return *name == '\0' || refuse_unit (clause, written, error);
  if (clause->column == FAINT_LINE_COLUMN_POSITION && axis_of (clause, name, &axis))
    {
      if (clause->face == FAINT_FILTER_U)
        clause->axis = axis;
      else
        *value = faint_axis_unit_wavenumber (&axis, *value);
      clause->falls |= clause->face == FAINT_FILTER_VALUE && faint_axis_unit_falls (axis.kind);
      return isfinite (*value) || refuse_unit (clause, written, error);
    }
  if (*name == '\0')
    {
      *value *= scale_of_head (clause);
      return TRUE;
    }
  if (unit == UNIT_WAVENUMBER)
    known = faint_unit_find (FAINT_DIMENSION_WAVENUMBER, name);
  if (unit == UNIT_MHZ)
    known = faint_unit_find (FAINT_DIMENSION_FREQUENCY, name);
  if (unit == UNIT_STRENGTH && strcmp (name, "cm/molecule") == 0)
    return TRUE;
  if (known == NULL)
    return refuse_unit (clause, written, error);
  if (clause->column == FAINT_LINE_COLUMN_POSITION && clause->face == FAINT_FILTER_U)
    clause->axis = FAINT_AXIS_UNIT_DEFAULT; /* its uncertainty in cm-1 */
  *value *= unit == UNIT_MHZ ? known->scale / 1e6 : known->scale;
  return TRUE;
}

/* Of what was written in a unit that falls, the ends change places. */
static void
turn_round (FaintFilterClause *clause)
{
  double lower = clause->lower;
  gboolean open_lower = clause->open_lower;

  if (!clause->falls)
    return;
  clause->lower = isinf (clause->upper) ? -INFINITY : clause->upper;
  clause->upper = isinf (lower) ? INFINITY : lower;
  clause->open_lower = clause->open_upper;
  clause->open_upper = open_lower;
}

/* A number, perhaps with a unit. */
static gboolean
parse_number (FaintFilterClause *clause, const char *text, double *value, GError **error)
{
  char *end;

  *value = g_ascii_strtod (text, &end);
  if (end == text || !isfinite (*value))
    {
      g_set_error (error, FAINT_LINE_FILTER_ERROR, FAINT_LINE_FILTER_ERROR_NUMBER,
                   *text ? _ ("“%s” is no number") : _ ("A number is missing"), text);
      return FALSE;
    }
  if (*end == ',')
    {
      g_set_error (error, FAINT_LINE_FILTER_ERROR, FAINT_LINE_FILTER_ERROR_NUMBER,
                   _ ("“%s”: numbers are written with a decimal point"), text);
      return FALSE;
    }
  return convert (clause, end, value, error);
}

/* Text without its quotation marks, in one case. */
static char *
needle_of (const char *text)
{
  gsize length = strlen (text);

  if (length >= 2 && text[0] == '"' && text[length - 1] == '"')
    return g_utf8_casefold (text + 1, (gssize)length - 2);
  return g_utf8_casefold (text, -1);
}

/* Flags whose words, or names in files, hold @needle. */
static guint
flags_with (const char *needle)
{
  guint flags = 0;

  for (guint bit = 0; bit < 32; bit++)
    {
      g_autofree char *words = faint_line_flags_in_words (1u << bit);
      g_autofree char *name = faint_line_flags_to_text (1u << bit);
      g_autofree char *words_folded = g_utf8_casefold (words, -1);

      if (strstr (words_folded, needle) || strstr (name, needle))
        flags |= 1u << bit;
    }
  return flags;
}

/* What a column of text is asked for. */
static gboolean
parse_text (FaintFilterClause *clause, const char *text, gboolean exact, GError **error)
{
  clause->text = needle_of (text);
  if (*clause->text == '\0')
    {
      clause->kind = FAINT_FILTER_KNOWN;
      /* = "" asks for none */
      clause->negated ^= exact;
      return TRUE;
    }
  if (clause->column != FAINT_LINE_COLUMN_FLAGS)
    {
      clause->kind = exact ? FAINT_FILTER_IS : FAINT_FILTER_CONTAINS;
      return TRUE;
    }
  clause->kind = FAINT_FILTER_FLAG;
  clause->flags = flags_with (clause->text);
  if (clause->flags)
    return TRUE;
  g_set_error (error, FAINT_LINE_FILTER_ERROR, FAINT_LINE_FILTER_ERROR_FLAG,
               /* Translators: what was typed as a remark of the fit, such as "blended" */
               _ ("No remark is called “%s”; such as blended, at the edge were expected"), text);
  return FALSE;
}

static gboolean
parse_comparison (FaintFilterClause *clause, const char *text, const char *at, guint which,
                  GError **error)
{
  g_autofree char *left = g_strstrip (g_strndup (text, (gsize)(at - text)));
  g_autofree char *right = g_strstrip (g_strdup (at + strlen (signs[which].sign)));
  double value;

  if (!find_face (left, clause))
    return refuse_column (left, error);
  if (faint_line_filter_is_text (clause->column))
    {
      if (signs[which].below || signs[which].above)
        {
          g_set_error (error, FAINT_LINE_FILTER_ERROR, FAINT_LINE_FILTER_ERROR_COLUMN,
                       _ ("“%s” holds text: = or != was expected"), left);
          return FALSE;
        }
      clause->negated ^= signs[which].differs;
      return parse_text (clause, right, TRUE, error);
    }
  if (!parse_number (clause, right, &value, error))
    return FALSE;
  clause->kind = FAINT_FILTER_RANGE;
  clause->negated ^= signs[which].differs;
  clause->lower = signs[which].below ? -INFINITY : value;
  clause->upper = signs[which].above ? INFINITY : value;
  clause->open_lower = signs[which].above && !signs[which].equal;
  clause->open_upper = signs[which].below && !signs[which].equal;
  turn_round (clause);
  return TRUE;
}

/* Where the number before ".." begins; @dots: where there is none. */
static const char *
number_before (const char *text, const char *dots)
{
  const char *end = dots, *p;

  while (end > text && g_ascii_isspace (end[-1]))
    end--;
  for (p = end; p > text && !g_ascii_isspace (p[-1]) && p[-1] != ')'; p--)
    ;
  return p < end && (g_ascii_isdigit (*p) || strchr ("+-.", *p)) ? p : dots;
}

/* Both ends; the unit at the end holds for both. */
static gboolean
parse_ends (FaintFilterClause *clause, const char *lower, const char *upper, GError **error)
{
  char *unit, *after;

  if (*upper && !parse_number (clause, upper, &clause->upper, error))
    return FALSE;
  if (*lower == '\0')
    return TRUE;
  g_ascii_strtod (upper, &unit);
  g_ascii_strtod (lower, &after);
  if (*after == '\0')
    {
      g_autofree char *with_unit = g_strconcat (lower, unit, NULL);

      return parse_number (clause, with_unit, &clause->lower, error);
    }
  return parse_number (clause, lower, &clause->lower, error);
}

static Outcome
parse_range (FaintFilterClause *clause, const char *text, GError **error)
{
  const char *dots = strstr (text, ".."), *begin;
  g_autofree char *left = NULL, *lower = NULL, *upper = NULL;

  if (dots == NULL || memchr (text, '"', (gsize)(dots - text)))
    return OTHER;
  /* "7790...7791": the first point is the number's */
  if (dots[2] == '.')
    dots++;
  begin = number_before (text, dots);
  left = g_strstrip (g_strndup (text, (gsize)(begin - text)));
  lower = g_strstrip (g_strndup (begin, (gsize)(dots - begin)));
  upper = g_strstrip (g_strdup (dots + 2));
  if (*lower == '\0' && !g_ascii_isdigit (*upper) && !strchr ("+-.", *upper))
    return OTHER;
  if (*lower == '\0' && *upper == '\0')
    return OTHER;
  clause->kind = FAINT_FILTER_RANGE;
  clause->column = FAINT_LINE_COLUMN_POSITION;
  clause->lower = -INFINITY;
  clause->upper = INFINITY;
  if (*left && (!find_face (left, clause) || faint_line_filter_is_text (clause->column)))
    {
      refuse_column (left, error);
      return WRONG;
    }
  if (!parse_ends (clause, lower, upper, error))
    return WRONG;
  turn_round (clause);
  if (clause->lower <= clause->upper)
    return TAKEN;
  g_set_error (error, FAINT_LINE_FILTER_ERROR, FAINT_LINE_FILTER_ERROR_NUMBER,
               _ ("The range “%s” ends before it begins"), text);
  return WRONG;
}

/* "upper J9e", "note", "known E": a word that says what follows. */
static Outcome
parse_word (FaintFilterClause *clause, const char *text, GError **error)
{
  gsize length = strcspn (text, " \t");
  g_autofree char *word = g_strndup (text, length);
  g_autofree char *rest = g_strstrip (g_strdup (text + length));

  if (g_ascii_strcasecmp (word, "known") == 0 && *rest)
    {
      clause->kind = FAINT_FILTER_KNOWN;
      return find_face (rest, clause) || refuse_column (rest, error) ? TAKEN : WRONG;
    }
  if (!find_column (word, &clause->column) || !faint_line_filter_is_text (clause->column))
    return OTHER;
  return parse_text (clause, rest, FALSE, error) ? TAKEN : WRONG;
}

/* The first sign outside of quotation marks, or NULL. */
static const char *
find_sign (const char *text, guint *which)
{
  for (const char *p = text; *p && *p != '"'; p++)
    for (*which = 0; *which < G_N_ELEMENTS (signs); (*which)++)
      if (g_str_has_prefix (p, signs[*which].sign))
        return p;
  return NULL;
}

/* Whether these are the very words of a remark of the fit, of which some begin with "not". */
static gboolean
is_remark (const char *text)
{
  g_autofree char *wanted = folded (text);

  for (guint bit = 0; bit < 32; bit++)
    {
      g_autofree char *words = faint_line_flags_in_words (1u << bit);
      g_autofree char *known = folded (words);

      if (*known && strcmp (known, wanted) == 0)
        return TRUE;
    }
  return FALSE;
}

gboolean
_faint_filter_clause_parse (FaintFilterClause *clause, const char *text, GError **error)
{
  Outcome outcome;
  const char *sign;
  guint which;

  if (g_ascii_strncasecmp (text, "not ", 4) == 0 && !is_remark (text))
    {
      clause->negated = TRUE;
      for (text += 4; g_ascii_isspace (*text); text++)
        ;
    }
  sign = find_sign (text, &which);
  if (sign)
    return parse_comparison (clause, text, sign, which, error);
  outcome = parse_range (clause, text, error);
  if (outcome == OTHER)
    outcome = parse_word (clause, text, error);
  if (outcome != OTHER)
    return outcome == TAKEN;
  clause->kind = FAINT_FILTER_ANYWHERE;
  clause->text = needle_of (text);
  clause->flags = *clause->text ? flags_with (clause->text) : 0;
  clause->digits = *clause->text && strspn (clause->text, "0123456789.()") == strlen (clause->text);
  return TRUE;
}
