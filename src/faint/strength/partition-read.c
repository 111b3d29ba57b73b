/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Files of partition sums.
 */
#include "faint/base/keyed-file.h"
#include "faint/base/quantity.h"
#include "faint/base/words.h"
#include "faint/strength/partition-private.h"

#include <math.h>
#include <string.h>

typedef struct
{
  FaintPartition *partition;
  GArray *temperature, *q; /* double */
  gboolean is_linear, has_columns;
} Reading;

static gboolean
read_wavenumber (const FaintKeyedFile *file, const char *key, const char *text, double *value,
                 GError **error)
{
  g_autoptr (GError) why = NULL;
  FaintQuantity quantity;

  if (!faint_quantity_parse (text, FAINT_DIMENSION_WAVENUMBER, &quantity, &why))
    return faint_keyed_file_refuse (file, error, "%s: %s", key, why->message);
  *value = quantity.value;
  return TRUE;
}

static gboolean
read_b (FaintKeyedFile *file, const char *text, GError **error)
{
  Reading *reading = file->data;
  const double least = 1e-4, most = 100.0; /* cm-1; 60 for the lightest molecule there is */

  if (!read_wavenumber (file, "B", text, &reading->partition->b, error))
    return FALSE;
  if (reading->partition->b >= least && reading->partition->b <= most)
    return TRUE;
  return faint_keyed_file_refuse (file, error, _ ("B is %s cm-1; expected between %s and %s cm-1."),
                                  FAINT_NUMBER ("%g", reading->partition->b),
                                  FAINT_NUMBER ("%g", least), FAINT_NUMBER ("%g", most));
}

/* "588.8 cm-1 x 2"; without the x it is one. */
static gboolean
read_vibration (FaintKeyedFile *file, char *text, GError **error)
{
  Reading *reading = file->data;
  char *times = strstr (text, " x ");
  g_autofree char *quantity = times != NULL ? g_strndup (text, times - text) : g_strdup (text);
  guint64 degeneracy = 1;
  FaintVibration vibration;

  if (times != NULL
      && !g_ascii_string_to_unsigned (g_strchug (times + 3), 10, 1, 100, &degeneracy, NULL))
    return faint_keyed_file_refuse (file, error,
                                    _ ("The degeneracy of the vibration is '%s'; expected a whole "
                                       "number from 1 to 100, as in '588.8 cm-1 x 2'."),
                                    times + 3);
  if (!read_wavenumber (file, "vibration", g_strstrip (quantity), &vibration.wavenumber, error))
    return FALSE;
  if (!(vibration.wavenumber > 0.0))
    return faint_keyed_file_refuse (file, error, _ ("A vibration is %s cm-1; expected above 0."),
                                    FAINT_NUMBER ("%g", vibration.wavenumber));
  vibration.degeneracy = (guint)degeneracy;
  g_array_append_val (reading->partition->vibrations, vibration);
  return TRUE;
}

static gboolean
read_columns (FaintKeyedFile *file, const char *text, GError **error)
{
  Reading *reading = file->data;
  g_auto (GStrv) heads = g_regex_split_simple ("[ \t]+", text, 0, 0);

  reading->has_columns = TRUE;
  if (g_strv_length (heads) == 2 && g_str_equal (heads[0], "temperature/K")
      && g_str_equal (heads[1], "Q"))
    return TRUE;
  return faint_keyed_file_refuse (file, error,
                                  _ ("The columns are '%s'; expected 'temperature/K Q'."), text);
}

static gboolean
read_key (FaintKeyedFile *file, const char *key, char *text, GError **error)
{
  Reading *reading = file->data;
  FaintPartition *partition = reading->partition;

  if (g_str_equal (key, "vibration"))
    return read_vibration (file, text, error);
  if (g_str_equal (key, "source") || g_str_equal (key, "title"))
    return TRUE;
  if (!faint_keyed_file_once (file, key, error))
    return FALSE;
  if (g_str_equal (key, "columns"))
    return read_columns (file, text, error);
  if (g_str_equal (key, "B"))
    return read_b (file, text, error);
  if (g_str_equal (key, "D"))
    return read_wavenumber (file, key, text, &partition->d, error);
  if (g_str_equal (key, "spin_weight_even"))
    return faint_keyed_file_weight (file, key, text, &partition->weight_even, error);
  if (g_str_equal (key, "spin_weight_odd"))
    return faint_keyed_file_weight (file, key, text, &partition->weight_odd, error);
  if (!g_str_equal (key, "molecule"))
    return faint_keyed_file_refuse (
        file, error,
        _ ("'%s' is not known; expected columns for a table, or molecule, B, D, spin_weight_even, "
           "spin_weight_odd, vibration, title or source."),
        key);
  reading->is_linear = g_str_equal (text, "linear");
  return reading->is_linear
         || faint_keyed_file_refuse (file, error,
                                     _ ("The molecule is '%s'; constants are understood of a "
                                        "'linear' one, for others give a table."),
                                     text);
}

static gboolean
read_row (FaintKeyedFile *file, const char *text, GError **error)
{
  Reading *reading = file->data;
  const char *end = text + strlen (text), *after = text;
  double number[2], before;

  for (guint i = 0; i < 2; i++)
    {
      const char *start = after + strspn (after, " \t");

      if (!faint_text_number (start, end, &number[i], &after) || !(number[i] > 0.0)
          || !isfinite (number[i]))
        return faint_keyed_file_refuse (
            file, error,
            _ ("Found '%s'; expected a temperature in K and a partition sum, both above 0."), text);
    }
  if (after != end)
    return faint_keyed_file_refuse (
        file, error, _ ("Found '%s' after the partition sum; expected two numbers alone."), after);
  before = reading->q->len > 0
               ? g_array_index (reading->temperature, double, reading->temperature->len - 1)
               : 0.0;
  if (!(number[0] > before))
    return faint_keyed_file_refuse (
        file, error, _ ("%s K follows %s K; temperatures must rise from row to row."),
        FAINT_NUMBER ("%g", number[0]), FAINT_NUMBER ("%g", before));
  g_array_append_val (reading->temperature, number[0]);
  g_array_append_val (reading->q, number[1]);
  return TRUE;
}

/* Is it a whole table, or a whole set of constants? */
static gboolean
finish (FaintKeyedFile *file, GError **error)
{
  Reading *reading = file->data;
  FaintPartition *partition = reading->partition;

  if (reading->is_linear && (reading->has_columns || reading->q->len > 0))
    return faint_keyed_file_refuse (file, error,
                                    _ ("It holds a table and constants; expected one of the two."));
  if (reading->is_linear && partition->b == 0.0)
    return faint_keyed_file_refuse (
        file, error, _ ("B is missing; a linear molecule needs at least a line '# B = ... cm-1'."));
  if (reading->is_linear && partition->weight_even + partition->weight_odd <= 0.0)
    return faint_keyed_file_refuse (file, error,
                                    _ ("Both spin weights are 0; expected one of them above 0."));
  if (reading->is_linear)
    return TRUE;
  if (!reading->has_columns)
    return faint_keyed_file_refuse (
        file, error,
        _ ("Neither a table nor constants; expected a line '# columns = temperature/K Q' with rows "
           "after it, or '# molecule = linear' with its constants."));
  if (reading->q->len < 2)
    return faint_keyed_file_refuse (file, error, _ ("The table has %u rows; expected two or more."),
                                    reading->q->len);
  return faint_partition_set_table (partition, (const double *)reading->temperature->data,
                                    (const double *)reading->q->data, reading->q->len)
         || faint_keyed_file_refuse (file, error,
                                     _ ("Neighbouring temperatures are too close to interpolate."));
}

FaintPartition *
faint_partition_read (const char *path, GError **error)
{
  const FaintKeyedFileKind kind = { .key = read_key,
                                    .row = read_row,
                                    .domain = FAINT_PARTITION_ERROR,
                                    .code = FAINT_PARTITION_ERROR_FILE };
  g_autoptr (FaintPartition) partition = faint_partition_new_empty (path);
  g_autoptr (GArray) temperature = g_array_new (FALSE, FALSE, sizeof (double));
  g_autoptr (GArray) q = g_array_new (FALSE, FALSE, sizeof (double));
  Reading reading = { .partition = partition, .temperature = temperature, .q = q };

  if (!faint_keyed_file_read (path, &kind, &reading, finish, error))
    return NULL;
  return g_steal_pointer (&partition);
}
