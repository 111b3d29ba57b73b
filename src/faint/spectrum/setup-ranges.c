/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ranges of the axis as the text of a key: "7790.10..7790.12, 7791.5..7791.6 cm-1".
 */
#include "faint/spectrum/setup-private.h"

#include <string.h>

#include "faint/base/text.h"
#include "faint/base/words.h"

#define UNIT "cm-1"

static int
lower_first (gconstpointer a, gconstpointer b)
{
  double x = ((const FaintSetupRange *)a)->lower, y = ((const FaintSetupRange *)b)->lower;

  return x < y ? -1 : x > y ? 1 : 0;
}

/* Rising and apart. */
static GArray *
settle (GArray *ranges)
{
  GArray *apart = g_array_new (FALSE, FALSE, sizeof (FaintSetupRange));

  g_array_sort (ranges, lower_first);
  for (guint i = 0; i < ranges->len; i++)
    {
      FaintSetupRange range = g_array_index (ranges, FaintSetupRange, i);
      FaintSetupRange *last
          = apart->len > 0 ? &g_array_index (apart, FaintSetupRange, apart->len - 1) : NULL;

      if (last != NULL && range.lower <= last->upper)
        last->upper = MAX (last->upper, range.upper);
      else
        g_array_append_val (apart, range);
    }
  return apart;
}

static const char *
skip (const char *p, const char *end)
{
  while (p < end && (*p == ' ' || *p == '\t'))
    p++;
  return p;
}

/* "7790.10..7790.12" at *@place, which goes behind it. */
static gboolean
take_range (const char **place, const char *end, FaintSetupRange *range)
{
  const char *p = skip (*place, end), *dots = g_strstr_len (p, end - p, "..");

  /* the first of the two points ends no number */
  if (dots == NULL || !faint_text_number (p, dots, &range->lower, &p) || skip (p, dots) != dots)
    return FALSE;
  p = skip (dots + 2, end);
  if (!faint_text_number (p, end, &range->upper, &p))
    return FALSE;
  *place = skip (p, end);
  return isfinite (range->lower) && isfinite (range->upper) && range->lower > 0.0
         && range->lower < range->upper;
}

GArray *
faint_setup_ranges_parse (const char *text, GError **error)
{
  g_autoptr (GArray) ranges = g_array_new (FALSE, FALSE, sizeof (FaintSetupRange));
  g_autofree char *trimmed = g_strstrip (g_strdup (text));
  const char *p = trimmed, *end = trimmed + strlen (trimmed);
  FaintSetupRange range;

  if (*trimmed == '\0')
    return g_steal_pointer (&ranges);
  while (take_range (&p, end, &range))
    {
      g_array_append_val (ranges, range);
      if (p < end && *p == ',')
        {
          p++;
          continue;
        }
      if (strcmp (p, UNIT) == 0)
        return settle (ranges);
      break;
    }
  g_set_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_VALUE,
               _ ("'%s' is not a list of ranges; '7790.10..7790.12, 7791.5..7791.6 cm-1' was "
                  "expected, each with its lower end first and the unit at the end."),
               trimmed);
  return NULL;
}

char *
faint_setup_ranges_to_text (const GArray *ranges)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; ranges != NULL && i < ranges->len; i++)
    {
      const FaintSetupRange *range = &g_array_index (ranges, FaintSetupRange, i);
      g_autofree char *lower = faint_format_double (range->lower);
      g_autofree char *upper = faint_format_double (range->upper);

      g_string_append_printf (text, "%s%s..%s", i > 0 ? ", " : "", lower, upper);
    }
  if (text->len > 0)
    g_string_append (text, " " UNIT);
  return g_string_free (text, FALSE);
}
