/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Files of partition sums.
 */
#include "faint/base/quantity.h"
#include "faint/base/text.h"
#include "faint/strength/partition-private.h"

#include <math.h>
#include <string.h>

typedef struct
{
  const char *path;
  guint64 line;
  FaintPartition *partition;
  GArray *temperature, *q; /* double */
  gboolean is_linear, has_columns;
  GHashTable *seen; /* keys */
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
    g_set_error (error, FAINT_PARTITION_ERROR, FAINT_PARTITION_ERROR_FILE,
                 "%s, line %" G_GUINT64_FORMAT ": %s", reading->path, reading->line, words);
  else
    g_set_error (error, FAINT_PARTITION_ERROR, FAINT_PARTITION_ERROR_FILE, "%s: %s", reading->path,
                 words);
  return FALSE;
}

static gboolean
read_wavenumber (const Reading *reading, const char *key, const char *text, double *value,
                 GError **error)
{
  g_autoptr (GError) why = NULL;
  FaintQuantity quantity;

  if (!faint_quantity_parse (text, FAINT_DIMENSION_WAVENUMBER, &quantity, &why))
    return refuse (reading, error, "%s: %s", key, why->message);
  *value = quantity.value;
  return TRUE;
}

static gboolean
read_b (Reading *reading, const char *text, GError **error)
{
  const double least = 1e-4, most = 100.0; /* cm-1; 60 for the lightest molecule there is */

  if (!read_wavenumber (reading, "B", text, &reading->partition->b, error))
    return FALSE;
  if (reading->partition->b >= least && reading->partition->b <= most)
    return TRUE;
  return refuse (reading, error, "B is %g cm-1; expected between %g and %g cm-1.",
                 reading->partition->b, least, most);
}

static gboolean
read_weight (Reading *reading, const char *key, const char *text, double *weight, GError **error)
{
  const char *end = text + strlen (text), *after;

  if (faint_text_number (text, end, weight, &after) && after == end && isfinite (*weight)
      && *weight >= 0.0)
    return TRUE;
  return refuse (reading, error, "%s is '%s'; expected a number, 0 or above, without unit.", key,
                 text);
}

/* "588.8 cm-1 x 2"; without the x it is one. */
static gboolean
read_vibration (Reading *reading, char *text, GError **error)
{
  char *times = strstr (text, " x ");
  g_autofree char *quantity = times != NULL ? g_strndup (text, times - text) : g_strdup (text);
  guint64 degeneracy = 1;
  FaintVibration vibration;

  if (times != NULL
      && !g_ascii_string_to_unsigned (g_strchug (times + 3), 10, 1, 100, &degeneracy, NULL))
    return refuse (reading, error,
                   "The degeneracy of the vibration is '%s'; expected a whole number from 1 to "
                   "100, as in '588.8 cm-1 x 2'.",
                   times + 3);
  if (!read_wavenumber (reading, "vibration", g_strstrip (quantity), &vibration.wavenumber, error))
    return FALSE;
  if (!(vibration.wavenumber > 0.0))
    return refuse (reading, error, "A vibration is %g cm-1; expected above 0.",
                   vibration.wavenumber);
  vibration.degeneracy = (guint)degeneracy;
  g_array_append_val (reading->partition->vibrations, vibration);
  return TRUE;
}

static gboolean
read_columns (Reading *reading, const char *text, GError **error)
{
  g_auto (GStrv) heads = g_regex_split_simple ("[ \t]+", text, 0, 0);

  reading->has_columns = TRUE;
  if (g_strv_length (heads) == 2 && g_str_equal (heads[0], "temperature/K")
      && g_str_equal (heads[1], "Q"))
    return TRUE;
  return refuse (reading, error, "The columns are '%s'; expected 'temperature/K Q'.", text);
}

static gboolean
read_key (Reading *reading, const char *key, char *text, GError **error)
{
  FaintPartition *partition = reading->partition;

  if (g_str_equal (key, "vibration"))
    return read_vibration (reading, text, error);
  if (g_str_equal (key, "source") || g_str_equal (key, "title"))
    return TRUE;
  if (!g_hash_table_add (reading->seen, g_strdup (key)))
    return refuse (reading, error, "%s is stated a second time; leave one of the two.", key);
  if (g_str_equal (key, "columns"))
    return read_columns (reading, text, error);
  if (g_str_equal (key, "B"))
    return read_b (reading, text, error);
  if (g_str_equal (key, "D"))
    return read_wavenumber (reading, key, text, &partition->d, error);
  if (g_str_equal (key, "spin_weight_even"))
    return read_weight (reading, key, text, &partition->weight_even, error);
  if (g_str_equal (key, "spin_weight_odd"))
    return read_weight (reading, key, text, &partition->weight_odd, error);
  if (!g_str_equal (key, "molecule"))
    return refuse (reading, error,
                   "'%s' is not known; expected columns for a table, or molecule, B, D, "
                   "spin_weight_even, spin_weight_odd, vibration, title or source.",
                   key);
  reading->is_linear = g_str_equal (text, "linear");
  return reading->is_linear
         || refuse (reading, error,
                    "The molecule is '%s'; constants are understood of a 'linear' one, for others "
                    "give a table.",
                    text);
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
read_row (Reading *reading, const char *text, GError **error)
{
  const char *end = text + strlen (text), *after = text;
  double number[2], before;

  for (guint i = 0; i < 2; i++)
    {
      const char *start = after + strspn (after, " \t");

      if (!faint_text_number (start, end, &number[i], &after) || !(number[i] > 0.0)
          || !isfinite (number[i]))
        return refuse (reading, error,
                       "Found '%s'; expected a temperature in K and a partition sum, both above 0.",
                       text);
    }
  if (after != end)
    return refuse (reading, error,
                   "Found '%s' after the partition sum; expected two numbers alone.", after);
  before = reading->q->len > 0
               ? g_array_index (reading->temperature, double, reading->temperature->len - 1)
               : 0.0;
  if (!(number[0] > before))
    return refuse (reading, error, "%g K follows %g K; temperatures must rise from row to row.",
                   number[0], before);
  g_array_append_val (reading->temperature, number[0]);
  g_array_append_val (reading->q, number[1]);
  return TRUE;
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

/* Is it a whole table, or a whole set of constants? */
static gboolean
finish (Reading *reading, GError **error)
{
  FaintPartition *partition = reading->partition;

  if (reading->is_linear && (reading->has_columns || reading->q->len > 0))
    return refuse (reading, error, "It holds a table and constants; expected one of the two.");
  if (reading->is_linear && partition->b == 0.0)
    return refuse (reading, error,
                   "B is missing; a linear molecule needs at least a line '# B = ... cm-1'.");
  if (reading->is_linear && partition->weight_even + partition->weight_odd <= 0.0)
    return refuse (reading, error, "Both spin weights are 0; expected one of them above 0.");
  if (reading->is_linear)
    return TRUE;
  if (!reading->has_columns)
    return refuse (reading, error,
                   "Neither a table nor constants; expected a line '# columns = temperature/K Q' "
                   "with rows after it, or '# molecule = linear' with its constants.");
  if (reading->q->len < 2)
    return refuse (reading, error, "The table has %u rows; expected two or more.", reading->q->len);
  return faint_partition_set_table (partition, (const double *)reading->temperature->data,
                                    (const double *)reading->q->data, reading->q->len)
         || refuse (reading, error, "Neighbouring temperatures are too close to interpolate.");
}

FaintPartition *
faint_partition_read (const char *path, GError **error)
{
  g_autoptr (GError) why = NULL;
  g_autoptr (FaintText) text = faint_text_read (path, &why);
  g_autoptr (FaintPartition) partition = NULL;
  g_autoptr (GArray) temperature = g_array_new (FALSE, FALSE, sizeof (double));
  g_autoptr (GArray) q = g_array_new (FALSE, FALSE, sizeof (double));
  g_autoptr (GHashTable) seen = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  Reading reading = { .path = path, .temperature = temperature, .q = q, .seen = seen };

  if (text == NULL)
    {
      g_set_error_literal (error, FAINT_PARTITION_ERROR, FAINT_PARTITION_ERROR_FILE, why->message);
      return NULL;
    }
  reading.partition = partition = faint_partition_new_empty (path);
  if (!read_lines (&reading, text, error) || !finish (&reading, error))
    return NULL;
  return g_steal_pointer (&partition);
}
