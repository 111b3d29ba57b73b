/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Files of levels: constants, or a table.
 */
#include "faint/assign/levels-private.h"

#include "faint/base/quantity.h"
#include "faint/base/text.h"

#include <math.h>
#include <string.h>

typedef enum
{
  COLUMN_ENERGY,
  COLUMN_U,
  COLUMN_J,
  COLUMN_K,
  COLUMN_WEIGHT,
  COLUMN_STACK,
  COLUMN_LABEL,
  COLUMN_N
} Column;

static const char *const column_names[COLUMN_N]
    = { "energy/cm-1", "u(energy)/cm-1", "J", "K", "weight", "stack", "label" };

typedef struct
{
  const char *path;
  guint64 line;
  FaintConstants *constants;
  gboolean has_molecule, has_band_l;
  gboolean given[FAINT_CONSTANT_N]; /* of component a */
  GHashTable *seen;
  guint place[COLUMN_N]; /* from 1; 0: not there */
  guint n_columns;
  FaintLevels *levels; /* of a table, once its columns are known */
} Reading;

static gboolean
refuse (const Reading *reading, GError **error, const char *format, ...) G_GNUC_PRINTF (3, 4);

static gboolean
refuse (const Reading *reading, GError **error, const char *format, ...)
{
  g_autofree char *words = NULL;
  va_list arguments;

  va_start (arguments, format);
  words = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  if (reading->line > 0)
    g_set_error (error, FAINT_LEVELS_ERROR, FAINT_LEVELS_ERROR_FILE,
                 "%s, line %" G_GUINT64_FORMAT ": %s", reading->path, reading->line, words);
  else
    g_set_error (error, FAINT_LEVELS_ERROR, FAINT_LEVELS_ERROR_FILE, "%s: %s", reading->path,
                 words);
  return FALSE;
}

static gboolean
read_count (const Reading *reading, const char *key, const char *text, guint *value, GError **error)
{
  guint64 number;

  if (!g_ascii_string_to_unsigned (text, 10, 0, 500, &number, NULL))
    return refuse (reading, error, "%s is '%s'; expected a whole number from 0 to 500.", key, text);
  *value = (guint)number;
  return TRUE;
}

static gboolean
read_yes (const Reading *reading, const char *key, const char *text, gboolean *value,
          GError **error)
{
  *value = g_str_equal (text, "yes");
  return *value || g_str_equal (text, "no")
         || refuse (reading, error, "%s is '%s'; expected 'yes' or 'no'.", key, text);
}

static gboolean
read_weight (const Reading *reading, const char *key, const char *text, double *weight,
             GError **error)
{
  const char *end = text + strlen (text), *after;

  if (faint_text_number (text, end, weight, &after) && after == end && isfinite (*weight)
      && *weight >= 0.0)
    return TRUE;
  return refuse (reading, error, "%s is '%s'; expected a number, 0 or above, without unit.", key,
                 text);
}

/* "B", "u(B)", "B_a": sets *constant and the rest. */
static gboolean
is_constant (const char *key, FaintConstant *constant, gboolean *uncertainty, guint *set)
{
  g_autofree char *name = g_strdup (key);
  char *start = name;

  *uncertainty = g_str_has_prefix (name, "u(") && g_str_has_suffix (name, ")");
  if (*uncertainty)
    {
      start += 2;
      start[strlen (start) - 1] = '\0';
    }
  *set = g_str_has_suffix (start, "_a");
  if (*set)
    start[strlen (start) - 2] = '\0';
  for (guint i = 0; i < FAINT_CONSTANT_N; i++)
    if (g_str_equal (start, faint_constant_name (i))
        || (i == FAINT_CONSTANT_D && g_str_equal (start, "D_J"))
        || (i == FAINT_CONSTANT_AXIS && (g_str_equal (start, "A") || g_str_equal (start, "C"))))
      {
        *constant = i;
        return TRUE;
      }
  return FALSE;
}

/* Standard uncertainty of a number that was rounded to its last digit and states none: half a unit
 * of that digit over the root of three (JCGM 100:2008, 4.3.7), in units of the number's own. */
static double
rounding_of (const char *text)
{
  int decimals = 0, exponent = 0;
  gboolean point = FALSE;
  const char *c = text;

  while (*c == '+' || *c == '-')
    c++;
  for (; g_ascii_isdigit (*c) || *c == '.'; c++)
    {
      decimals += point && *c != '.';
      point = point || *c == '.';
    }
  if (*c == 'e' || *c == 'E')
    exponent = (int)g_ascii_strtoll (c + 1, NULL, 10);
  return point ? 0.5 / sqrt (3.0) * pow (10.0, exponent - decimals) : 0.0;
}

static gboolean
read_constant (Reading *reading, const char *key, const char *text, GError **error)
{
  g_autoptr (GError) why = NULL;
  FaintConstants *constants = reading->constants;
  FaintConstant constant;
  FaintQuantity quantity;
  gboolean uncertainty;
  guint set;

  if (!is_constant (key, &constant, &uncertainty, &set))
    return refuse (reading, error,
                   "'%s' is not known; docs/formats.md lists the keys of constants and tables of "
                   "levels.",
                   key);
  if (!faint_quantity_parse (text, FAINT_DIMENSION_WAVENUMBER, &quantity, &why))
    return refuse (reading, error, "%s: %s", key, why->message);
  if (uncertainty && quantity.value < 0.0)
    return refuse (reading, error, "%s is '%s'; expected 0 or above.", key, text);
  if (uncertainty)
    constants->u[set][constant] = quantity.value;
  else
    {
      double number = g_ascii_strtod (text, NULL);

      constants->value[set][constant] = quantity.value;
      if (faint_quantity_u_or_zero (quantity) > 0.0)
        constants->u[set][constant] = quantity.u;
      else if (constant != FAINT_CONSTANT_ORIGIN && !(constants->u[set][constant] > 0.0)
               && number != 0.0)
        constants->u[set][constant] = rounding_of (text) * fabs (quantity.value / number);
    }
  if (set == 1)
    reading->given[constant] = constants->inverting = TRUE;
  return TRUE;
}

static gboolean
read_molecule (Reading *reading, const char *text, GError **error)
{
  FaintConstants *constants = reading->constants;

  reading->has_molecule = TRUE;
  if (g_str_equal (text, "linear"))
    constants->molecule = FAINT_MOLECULE_LINEAR;
  else if (g_str_equal (text, "symmetric-top"))
    constants->molecule = FAINT_MOLECULE_SYMMETRIC_TOP;
  else
    return refuse (reading, error,
                   "The molecule is '%s'; expected 'linear' or 'symmetric-top'. Levels of another "
                   "one are given as a table, with '# columns = energy/cm-1 J label'.",
                   text);
  return TRUE;
}

static gboolean
read_columns (Reading *reading, const char *text, GError **error)
{
  g_auto (GStrv) heads = g_regex_split_simple ("[ \t]+", text, 0, 0);

  reading->n_columns = g_strv_length (heads);
  for (guint i = 0; heads[i] != NULL; i++)
    {
      guint column = 0;

      while (column < COLUMN_N && !g_str_equal (heads[i], column_names[column]))
        column++;
      if (column == COLUMN_N || reading->place[column] > 0)
        return refuse (reading, error,
                       "The column '%s' %s; expected some of energy/cm-1, u(energy)/cm-1, J, K, "
                       "weight, stack, label, each once.",
                       heads[i], column == COLUMN_N ? "is not known" : "stands twice");
      reading->place[column] = i + 1;
    }
  if (reading->place[COLUMN_ENERGY] == 0 || reading->place[COLUMN_J] == 0
      || reading->place[COLUMN_LABEL] == 0)
    return refuse (reading, error,
                   "The columns are '%s'; a table of levels needs energy/cm-1, J and label.", text);
  reading->constants->molecule = FAINT_MOLECULE_TABLE;
  reading->levels = faint_levels_new_empty (reading->constants);
  return TRUE;
}

static gboolean
read_band (Reading *reading, const char *text, GError **error)
{
  reading->constants->perpendicular = g_str_equal (text, "perpendicular");
  return reading->constants->perpendicular || g_str_equal (text, "parallel")
         || refuse (reading, error, "The band is '%s'; expected 'parallel' or 'perpendicular'.",
                    text);
}

/* Keys with a weight for value; NULL when @key is none of them. */
static double *
weight_of (FaintConstants *constants, const char *key)
{
  const struct
  {
    const char *key;
    double *weight;
  } weights[] = {
    { "spin_weight_even", &constants->spin_even },
    { "spin_weight_odd", &constants->spin_odd },
    { "spin_weight_K0_even", &constants->spin_k0_even },
    { "spin_weight_K0_odd", &constants->spin_k0_odd },
    { "spin_weight_K3n", &constants->spin_k3n },
    { "spin_weight_other", &constants->spin_other },
  };

  for (guint i = 0; i < G_N_ELEMENTS (weights); i++)
    if (g_str_equal (key, weights[i].key))
      return weights[i].weight;
  return NULL;
}

static gboolean
read_key (Reading *reading, const char *key, const char *text, GError **error)
{
  FaintConstants *constants = reading->constants;
  double *weight = weight_of (constants, key);

  if (g_str_equal (key, "title") || g_str_equal (key, "source") || g_str_equal (key, "vibration"))
    return TRUE;
  if (!g_hash_table_add (reading->seen, g_strdup (key)))
    return refuse (reading, error, "%s is stated a second time; leave one of the two.", key);
  if (weight != NULL)
    return read_weight (reading, key, text, weight, error);
  if (g_str_equal (key, "molecule"))
    return read_molecule (reading, text, error);
  if (g_str_equal (key, "columns"))
    return read_columns (reading, text, error);
  if (g_str_equal (key, "band"))
    return read_band (reading, text, error);
  if (g_str_equal (key, "l"))
    return read_count (reading, key, text, &constants->l, error);
  if (g_str_equal (key, "upper_l"))
    return reading->has_band_l = TRUE, read_count (reading, key, text, &constants->upper_l, error);
  if (g_str_equal (key, "J_max"))
    return read_count (reading, key, text, &constants->j_max, error);
  if (g_str_equal (key, "K_max"))
    return read_count (reading, key, text, &constants->k_max, error);
  if (g_str_equal (key, "subtract_l"))
    return read_yes (reading, key, text, &constants->subtract_l, error);
  if (g_str_equal (key, "state") || g_str_equal (key, "upper_state"))
    {
      char **name = g_str_equal (key, "state") ? &constants->state : &constants->upper_state;

      g_free (*name);
      *name = g_strdup (text);
      return TRUE;
    }
  return read_constant (reading, key, text, error);
}

/* "# key = value"; a line whose first word has no '=' after it is a remark. */
static gboolean
read_head (Reading *reading, char *text, GError **error)
{
  char *equals = strchr (text, '=');

  if (equals == NULL)
    return TRUE;
  *equals = '\0';
  g_strstrip (text);
  if (*text == '\0' || strpbrk (text, " \t") != NULL)
    return TRUE;
  return read_key (reading, text, g_strstrip (equals + 1), error);
}

static gboolean
cell_number (const Reading *reading, char **cells, Column column, double *value, GError **error)
{
  const char *text, *end, *after;

  if (reading->place[column] == 0)
    return TRUE;
  text = cells[reading->place[column] - 1];
  end = text + strlen (text);
  if (faint_text_number (text, end, value, &after) && after == end && isfinite (*value))
    return TRUE;
  return refuse (reading, error, "Column %s: found '%s'; expected a number.", column_names[column],
                 text);
}

static gboolean
add_row (Reading *reading, char **cells, GError **error)
{
  double energy = 0.0, u = 0.0, j = 0.0, k = 0.0, weight = 1.0;
  g_autofree char *stack = NULL;
  FaintLevel level = { 0 };

  if (!cell_number (reading, cells, COLUMN_ENERGY, &energy, error)
      || !cell_number (reading, cells, COLUMN_U, &u, error)
      || !cell_number (reading, cells, COLUMN_J, &j, error)
      || !cell_number (reading, cells, COLUMN_K, &k, error)
      || !cell_number (reading, cells, COLUMN_WEIGHT, &weight, error))
    return FALSE;
  if (j != floor (j) || j < 0.0 || j > 500.0 || k != floor (k) || k < 0.0 || k > 500.0 || u < 0.0
      || weight < 0.0)
    return refuse (reading, error,
                   "Found J %g, K %g, u %g, weight %g; expected whole J and K from 0 to 500, u and "
                   "weight not below 0.",
                   j, k, u, weight);
  if (reading->place[COLUMN_STACK] > 0)
    stack = g_strdup (cells[reading->place[COLUMN_STACK] - 1]);
  else
    stack = reading->place[COLUMN_K] > 0 ? g_strdup_printf ("K %g", k) : g_strdup ("");
  level.numbers.j = (guint)j;
  level.numbers.k = (guint)k;
  level.energy = energy;
  level.u = u;
  level.weight = weight;
  level.stack = faint_levels_stack (reading->levels, stack, (guint)k, FAINT_COMPONENT_NONE);
  for (guint i = 0; i < reading->levels->levels->len; i++)
    {
      const FaintLevel *other = &g_array_index (reading->levels->levels, FaintLevel, i);

      if (other->stack == level.stack && other->numbers.j == level.numbers.j)
        return refuse (reading, error,
                       "A second level with J %u%s%s; expected one in each stack. A column 'stack' "
                       "tells ladders of levels apart.",
                       level.numbers.j, *stack ? " in stack " : "", stack);
    }
  level.label = g_strdup (cells[reading->place[COLUMN_LABEL] - 1]);
  faint_levels_add (reading->levels, level);
  return TRUE;
}

static gboolean
read_row (Reading *reading, const char *text, GError **error)
{
  g_auto (GStrv) cells = g_regex_split_simple ("[ \t]+", text, 0, 0);

  if (reading->levels == NULL)
    return refuse (reading, error,
                   "Found '%s' before a line '# columns = energy/cm-1 J label'; a table of levels "
                   "begins with its columns.",
                   text);
  if (g_strv_length (cells) != reading->n_columns)
    return refuse (reading, error, "Found %u fields; expected %u, one for each column.",
                   g_strv_length (cells), reading->n_columns);
  return add_row (reading, cells, error);
}

static gboolean
read_lines (Reading *reading, const FaintText *text, GError **error)
{
  FaintLines lines = { .text = text };

  while (faint_text_next_line (&lines))
    {
      g_autofree char *line = g_strstrip (g_strndup (lines.line, lines.length));
      gboolean good = TRUE;

      reading->line = lines.number;
      if (*line == '#')
        good = read_head (reading, line + 1, error);
      else if (*line != '\0')
        good = read_row (reading, line, error);
      if (!good)
        return FALSE;
    }
  reading->line = 0;
  return TRUE;
}

/* What was not stated of component a is as in s. */
static void
complete (Reading *reading)
{
  FaintConstants *constants = reading->constants;

  for (guint i = 0; i < FAINT_CONSTANT_N; i++)
    if (!reading->given[i])
      {
        constants->value[1][i] = constants->value[0][i];
        constants->u[1][i] = constants->u[0][i];
      }
  if (!reading->has_band_l)
    constants->upper_l = constants->perpendicular ? constants->l + 1 : constants->l;
  if (constants->k_max == 0)
    constants->k_max = constants->j_max;
}

static FaintLevels *
finish (Reading *reading, GError **error)
{
  g_autoptr (GError) why = NULL;
  FaintLevels *levels;

  complete (reading);
  if (reading->levels != NULL && reading->has_molecule)
    return refuse (reading, error, "It holds a table and constants; expected one of the two."),
           NULL;
  if (reading->levels != NULL && reading->levels->levels->len < 3)
    return refuse (reading, error, "The table has %u levels; expected three or more.",
                   reading->levels->levels->len),
           NULL;
  if (reading->levels != NULL)
    {
      faint_constants_free (reading->levels->constants);
      reading->levels->constants = faint_constants_copy (reading->constants);
      faint_levels_settle (reading->levels);
      return faint_levels_ref (reading->levels);
    }
  if (!reading->has_molecule)
    return refuse (reading, error,
                   "Neither constants nor a table of levels; expected '# molecule = linear' or "
                   "'symmetric-top' with constants, or '# columns = energy/cm-1 J label' with "
                   "rows."),
           NULL;
  levels = faint_levels_new (reading->constants, &why);
  if (levels == NULL)
    refuse (reading, error, "%s", why->message);
  return levels;
}

FaintLevels *
faint_levels_read (const char *path, GError **error)
{
  g_autoptr (GError) why = NULL;
  g_autoptr (FaintText) text = faint_text_read (path, &why);
  g_autoptr (FaintConstants) constants = faint_constants_new ();
  g_autoptr (GHashTable) seen = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  Reading reading = { .path = path, .constants = constants, .seen = seen };
  FaintLevels *levels = NULL;

  if (text == NULL)
    {
      g_set_error_literal (error, FAINT_LEVELS_ERROR, FAINT_LEVELS_ERROR_FILE, why->message);
      return NULL;
    }
  if (read_lines (&reading, text, error))
    levels = finish (&reading, error);
  faint_levels_unref (reading.levels);
  return levels;
}
