/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Options of an assignment by name.
 */
#include "faint/assign/assignment.h"

#include "faint/base/quantity.h"
#include "faint/base/text.h"
#include "faint/base/words.h"

#include <math.h>
#include <string.h>

typedef struct
{
  const char *key;
  gsize offset;
  gboolean whole; /* a guint */
  double least, most;
} Option;

#define SEARCH(field) G_STRUCT_OFFSET (FaintAssignmentOptions, search.field)

static const Option options_known[] = {
  { "coverage", SEARCH (coverage), FALSE, 1.0, 20.0 },
  { "change_b", SEARCH (change_b), FALSE, 1e-6, 0.5 },
  { "roughness", SEARCH (roughness), FALSE, 0.0, 1.0 },
  { "displacement", SEARCH (displacement), FALSE, 0.0, 10.0 },
  { "temperature", SEARCH (temperature), FALSE, 1.0, 10000.0 },
  { "least_odds", SEARCH (least_odds), FALSE, 0.0, 1000.0 },
  { "margin", SEARCH (margin), FALSE, 0.0, 1000.0 },
  { "u_position", SEARCH (u_position), FALSE, 1e-12, 10.0 },
  { "longest_gap", SEARCH (longest_gap), TRUE, 1.0, 100.0 },
  { "attempts", SEARCH (attempts), TRUE, 1.0, 1e6 },
  { "outlier_limit", G_STRUCT_OFFSET (FaintAssignmentOptions, band.limit), FALSE, 2.0, 100.0 },
};

const char *const *
faint_assignment_option_keys (void)
{
  static const char *const keys[]
      = { "coverage", "change_b",   "roughness",   "displacement", "temperature",   "least_odds",
          "margin",   "u_position", "longest_gap", "attempts",     "outlier_limit", NULL };

  G_STATIC_ASSERT (G_N_ELEMENTS (keys) == G_N_ELEMENTS (options_known) + 1);
  return keys;
}

static const Option *
find (const char *key)
{
  for (gsize i = 0; i < G_N_ELEMENTS (options_known); i++)
    if (strcmp (options_known[i].key, key) == 0)
      return &options_known[i];
  return NULL;
}

char *
faint_assignment_options_get (const FaintAssignmentOptions *options, const char *key)
{
  const Option *option = find (key);

  if (option == NULL)
    return NULL;
  if (option->whole)
    return g_strdup_printf ("%u", G_STRUCT_MEMBER (guint, options, option->offset));
  return faint_format_double (G_STRUCT_MEMBER (double, options, option->offset));
}

gboolean
faint_assignment_options_set (FaintAssignmentOptions *options, const char *key, const char *text,
                              GError **error)
{
  const Option *option = find (key);
  const char *end = text + strlen (text), *after;
  double value;

  if (option == NULL)
    {
      g_set_error (error, FAINT_FIT_CONSTANTS_ERROR, FAINT_FIT_CONSTANTS_ERROR_OPTION,
                   _ ("An assignment has no option '%s'."), key);
      return FALSE;
    }
  if (!faint_text_number (text, end, &value, &after) || after != end
      || !(value >= option->least && value <= option->most)
      || (option->whole && value != floor (value)))
    {
      g_set_error (error, FAINT_FIT_CONSTANTS_ERROR, FAINT_FIT_CONSTANTS_ERROR_OPTION,
                   option->whole ? _ ("%s is '%s'; expected a whole number from %s to %s.")
                                 : _ ("%s is '%s'; expected a number from %s to %s."),
                   key, text, FAINT_NUMBER ("%g", option->least),
                   FAINT_NUMBER ("%g", option->most));
      return FALSE;
    }
  if (option->whole)
    G_STRUCT_MEMBER (guint, options, option->offset) = (guint)value;
  else
    G_STRUCT_MEMBER (double, options, option->offset) = value;
  return TRUE;
}
