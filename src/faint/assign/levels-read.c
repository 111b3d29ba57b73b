/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Files of levels: constants, or a table.
 */
#include "faint/assign/levels-private.h"

#include "faint/base/keyed-file.h"
#include "faint/base/quantity.h"
#include "faint/base/words.h"

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
  FaintConstants *constants;
  gboolean has_molecule, has_band_l;
  gboolean given[FAINT_CONSTANT_N]; /* of component a */
  guint place[COLUMN_N];            /* from 1; 0: not there */
  guint n_columns;
  FaintLevels *levels; /* of a table once its columns are known, at last the result */
} Reading;

static gboolean
read_count (const FaintKeyedFile *file, const char *key, const char *text, guint *value,
            GError **error)
{
  guint64 number;

  if (!g_ascii_string_to_unsigned (text, 10, 0, 500, &number, NULL))
    return faint_keyed_file_refuse (
        file, error, _ ("%s is '%s'; expected a whole number from 0 to 500."), key, text);
  *value = (guint)number;
  return TRUE;
}

static gboolean
read_yes (const FaintKeyedFile *file, const char *key, const char *text, gboolean *value,
          GError **error)
{
  *value = g_str_equal (text, "yes");
  return *value || g_str_equal (text, "no")
         || faint_keyed_file_refuse (file, error, _ ("%s is '%s'; expected 'yes' or 'no'."), key,
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
read_constant (FaintKeyedFile *file, const char *key, const char *text, GError **error)
{
  Reading *reading = file->data;
  g_autoptr (GError) why = NULL;
  FaintConstants *constants = reading->constants;
  FaintConstant constant;
  FaintQuantity quantity;
  gboolean uncertainty;
  guint set;

  if (!is_constant (key, &constant, &uncertainty, &set))
    return faint_keyed_file_refuse (
        file, error,
        _ ("'%s' is not known; docs/formats.md lists the keys of constants and tables of levels."),
        key);
  if (!faint_quantity_parse (text, FAINT_DIMENSION_WAVENUMBER, &quantity, &why))
    return faint_keyed_file_refuse (file, error, "%s: %s", key, why->message);
  if (uncertainty && quantity.value < 0.0)
    return faint_keyed_file_refuse (file, error, _ ("%s is '%s'; expected 0 or above."), key, text);
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
read_molecule (FaintKeyedFile *file, const char *text, GError **error)
{
  Reading *reading = file->data;
  FaintConstants *constants = reading->constants;

  reading->has_molecule = TRUE;
  if (g_str_equal (text, "linear"))
    constants->molecule = FAINT_MOLECULE_LINEAR;
  else if (g_str_equal (text, "symmetric-top"))
    constants->molecule = FAINT_MOLECULE_SYMMETRIC_TOP;
  else
    return faint_keyed_file_refuse (
        file, error,
        _ ("The molecule is '%s'; expected 'linear' or 'symmetric-top'. Levels of another one are "
           "given as a table, with '# columns = energy/cm-1 J label'."),
        text);
  return TRUE;
}

static gboolean
read_columns (FaintKeyedFile *file, const char *text, GError **error)
{
  Reading *reading = file->data;
  g_auto (GStrv) heads = g_regex_split_simple ("[ \t]+", text, 0, 0);

  reading->n_columns = g_strv_length (heads);
  for (guint i = 0; heads[i] != NULL; i++)
    {
      guint column = 0;

      while (column < COLUMN_N && !g_str_equal (heads[i], column_names[column]))
        column++;
      if (column == COLUMN_N || reading->place[column] > 0)
        return faint_keyed_file_refuse (
            file, error,
            column == COLUMN_N ? _ ("The column '%s' is not known; expected some of energy/cm-1, "
                                    "u(energy)/cm-1, J, K, weight, stack, label, each once.")
                               : _ ("The column '%s' stands twice; expected some of energy/cm-1, "
                                    "u(energy)/cm-1, J, K, weight, stack, label, each once."),
            heads[i]);
      reading->place[column] = i + 1;
    }
  if (reading->place[COLUMN_ENERGY] == 0 || reading->place[COLUMN_J] == 0
      || reading->place[COLUMN_LABEL] == 0)
    return faint_keyed_file_refuse (
        file, error, _ ("The columns are '%s'; a table of levels needs energy/cm-1, J and label."),
        text);
  reading->constants->molecule = FAINT_MOLECULE_TABLE;
  reading->levels = faint_levels_new_empty (reading->constants);
  return TRUE;
}

static gboolean
read_band (FaintKeyedFile *file, const char *text, GError **error)
{
  Reading *reading = file->data;
  reading->constants->perpendicular = g_str_equal (text, "perpendicular");
  return reading->constants->perpendicular || g_str_equal (text, "parallel")
         || faint_keyed_file_refuse (
             file, error, _ ("The band is '%s'; expected 'parallel' or 'perpendicular'."), text);
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
read_key (FaintKeyedFile *file, const char *key, char *text, GError **error)
{
  Reading *reading = file->data;
  FaintConstants *constants = reading->constants;
  double *weight = weight_of (constants, key);

  if (g_str_equal (key, "title") || g_str_equal (key, "source") || g_str_equal (key, "vibration"))
    return TRUE;
  if (!faint_keyed_file_once (file, key, error))
    return FALSE;
  if (weight != NULL)
    return faint_keyed_file_weight (file, key, text, weight, error);
  if (g_str_equal (key, "molecule"))
    return read_molecule (file, text, error);
  if (g_str_equal (key, "columns"))
    return read_columns (file, text, error);
  if (g_str_equal (key, "band"))
    return read_band (file, text, error);
  if (g_str_equal (key, "l"))
    return read_count (file, key, text, &constants->l, error);
  if (g_str_equal (key, "upper_l"))
    return reading->has_band_l = TRUE, read_count (file, key, text, &constants->upper_l, error);
  if (g_str_equal (key, "J_max"))
    return read_count (file, key, text, &constants->j_max, error);
  if (g_str_equal (key, "K_max"))
    return read_count (file, key, text, &constants->k_max, error);
  if (g_str_equal (key, "subtract_l"))
    return read_yes (file, key, text, &constants->subtract_l, error);
  if (g_str_equal (key, "state") || g_str_equal (key, "upper_state"))
    {
      char **name = g_str_equal (key, "state") ? &constants->state : &constants->upper_state;

      g_free (*name);
      *name = g_strdup (text);
      return TRUE;
    }
  return read_constant (file, key, text, error);
}

static gboolean
cell_number (const FaintKeyedFile *file, char **cells, Column column, double *value, GError **error)
{
  const Reading *reading = file->data;
  const char *text, *end, *after;

  if (reading->place[column] == 0)
    return TRUE;
  text = cells[reading->place[column] - 1];
  end = text + strlen (text);
  if (faint_text_number (text, end, value, &after) && after == end && isfinite (*value))
    return TRUE;
  return faint_keyed_file_refuse (file, error, _ ("Column %s: found '%s'; expected a number."),
                                  column_names[column], text);
}

static gboolean
add_row (FaintKeyedFile *file, char **cells, GError **error)
{
  Reading *reading = file->data;
  double energy = 0.0, u = 0.0, j = 0.0, k = 0.0, weight = 1.0;
  g_autofree char *stack = NULL;
  FaintLevel level = { 0 };

  if (!cell_number (file, cells, COLUMN_ENERGY, &energy, error)
      || !cell_number (file, cells, COLUMN_U, &u, error)
      || !cell_number (file, cells, COLUMN_J, &j, error)
      || !cell_number (file, cells, COLUMN_K, &k, error)
      || !cell_number (file, cells, COLUMN_WEIGHT, &weight, error))
    return FALSE;
  if (j != floor (j) || j < 0.0 || j > 500.0 || k != floor (k) || k < 0.0 || k > 500.0 || u < 0.0
      || weight < 0.0)
    return faint_keyed_file_refuse (file, error,
                                    _ ("Found J %s, K %s, u %s, weight %s; expected whole J and K "
                                       "from 0 to 500, u and weight not below 0."),
                                    FAINT_NUMBER ("%g", j), FAINT_NUMBER ("%g", k),
                                    FAINT_NUMBER ("%g", u), FAINT_NUMBER ("%g", weight));
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
        return *stack != '\0' ? faint_keyed_file_refuse (
                   file, error,
                   _ ("A second level with J %u in stack %s; expected one in each stack. A column "
                      "'stack' tells ladders of levels apart."),
                   level.numbers.j, stack)
                              : faint_keyed_file_refuse (
                                  file, error,
                                  _ ("A second level with J %u; expected one in each stack. A "
                                     "column 'stack' tells ladders of levels apart."),
                                  level.numbers.j);
    }
  level.label = g_strdup (cells[reading->place[COLUMN_LABEL] - 1]);
  faint_levels_add (reading->levels, level);
  return TRUE;
}

static gboolean
read_row (FaintKeyedFile *file, const char *text, GError **error)
{
  Reading *reading = file->data;
  g_auto (GStrv) cells = g_regex_split_simple ("[ \t]+", text, 0, 0);

  if (reading->levels == NULL)
    return faint_keyed_file_refuse (file, error,
                                    _ ("Found '%s' before a line '# columns = energy/cm-1 J "
                                       "label'; a table of levels begins with its columns."),
                                    text);
  if (g_strv_length (cells) != reading->n_columns)
    return faint_keyed_file_refuse (file, error,
                                    _ ("Found %u fields; expected %u, one for each column."),
                                    g_strv_length (cells), reading->n_columns);
  return add_row (file, cells, error);
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

static gboolean
finish (FaintKeyedFile *file, GError **error)
{
  Reading *reading = file->data;
  g_autoptr (GError) why = NULL;

  complete (reading);
  if (reading->levels != NULL && reading->has_molecule)
    return faint_keyed_file_refuse (file, error,
                                    _ ("It holds a table and constants; expected one of the two."));
  if (reading->levels != NULL && reading->levels->levels->len < 3)
    return faint_keyed_file_refuse (file, error,
                                    _ ("The table has %u levels; expected three or more."),
                                    reading->levels->levels->len);
  if (reading->levels != NULL)
    {
      faint_constants_free (reading->levels->constants);
      reading->levels->constants = faint_constants_copy (reading->constants);
      faint_levels_settle (reading->levels);
      return TRUE;
    }
  if (!reading->has_molecule)
    return faint_keyed_file_refuse (
        file, error,
        _ ("Neither constants nor a table of levels; expected '# molecule = linear' or "
           "'symmetric-top' with constants, or '# columns = energy/cm-1 J label' with rows."));
  reading->levels = faint_levels_new (reading->constants, &why);
  return reading->levels != NULL || faint_keyed_file_refuse (file, error, "%s", why->message);
}

FaintLevels *
faint_levels_read (const char *path, GError **error)
{
  const FaintKeyedFileKind kind = {
    .key = read_key, .row = read_row, .domain = FAINT_LEVELS_ERROR, .code = FAINT_LEVELS_ERROR_FILE
  };
  g_autoptr (FaintConstants) constants = faint_constants_new ();
  Reading reading = { .constants = constants };

  if (!faint_keyed_file_read (path, &kind, &reading, finish, error))
    g_clear_pointer (&reading.levels, faint_levels_unref);
  return reading.levels;
}
