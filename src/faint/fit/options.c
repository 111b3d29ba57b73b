/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "faint/base/quantity.h"
#include "faint/base/words.h"
#include "faint/fit/fit.h"

typedef enum
{
  KIND_NUMBER,
  KIND_COUNT,
  KIND_SWITCH,
} Kind;

/* One row an option: where it stands and what it may be. */
typedef struct
{
  const char *key;
  Kind kind;
  gsize offset;
  double least, most;
  const char *refusal; /* places for key and text; to be translated */
} Option;

#define AT(field) G_STRUCT_OFFSET (FaintFitOptions, field)
static const Option options_table[] = {
  { "threshold", KIND_NUMBER, AT (threshold), 3.0, 100.0,
    N_ ("%s: '%s' was given, expected 3 to 100 standard deviations") },
  { "find_rounds", KIND_COUNT, AT (find_rounds), 0.0, 100.0,
    N_ ("%s: '%s' was given, expected a whole number from 0 to 100") },
  { "baseline_degree", KIND_COUNT, AT (baseline_degree), 0.0, 8.0,
    N_ ("%s: '%s' was given, expected a whole number from 0 to 8") },
  { "window_width", KIND_NUMBER, AT (window_width), 0.0, 1e4,
    N_ ("%s: '%s' was given, expected 0 (chosen from the lines) or a width in cm-1") },
  { "max_iterations", KIND_COUNT, AT (max_iterations), 1.0, 1000.0,
    N_ ("%s: '%s' was given, expected a whole number from 1 to 1000") },
  { "doppler_free", KIND_SWITCH, AT (doppler_free), 0.0, 1.0,
    N_ ("%s: '%s' was given, expected yes or no") },
  { "width_shared", KIND_SWITCH, AT (width_shared), 0.0, 1.0,
    N_ ("%s: '%s' was given, expected yes or no") },
  { "lorentz_common", KIND_SWITCH, AT (lorentz_common), 0.0, 1.0,
    N_ ("%s: '%s' was given, expected yes or no") },
  { "doppler_common", KIND_SWITCH, AT (doppler_common), 0.0, 1.0,
    N_ ("%s: '%s' was given, expected yes or no") },
  { "detuning_free", KIND_SWITCH, AT (detuning_free), 0.0, 1.0,
    N_ ("%s: '%s' was given, expected yes or no") },
  { "detuning_slope_free", KIND_SWITCH, AT (detuning_slope_free), 0.0, 1.0,
    N_ ("%s: '%s' was given, expected yes or no") },
  { "fringes", KIND_COUNT, AT (fringes), 0.0, FAINT_FRINGES_MOST,
    N_ ("%s: '%s' was given, expected a whole number from 0 to 3") },
  { "fringe_period_1", KIND_NUMBER, AT (fringe_period[0]), 0.0, 1e4,
    N_ ("%s: '%s' was given, expected 0 (looked for) or a period in cm-1") },
  { "fringe_period_2", KIND_NUMBER, AT (fringe_period[1]), 0.0, 1e4,
    N_ ("%s: '%s' was given, expected 0 (looked for) or a period in cm-1") },
  { "fringe_period_3", KIND_NUMBER, AT (fringe_period[2]), 0.0, 1e4,
    N_ ("%s: '%s' was given, expected 0 (looked for) or a period in cm-1") },
  { "range_lower", KIND_NUMBER, AT (lower), 0.0, 1e6,
    N_ ("%s: '%s' was given, expected a wavenumber in cm-1, or nothing for all") },
  { "range_upper", KIND_NUMBER, AT (upper), 0.0, 1e6,
    N_ ("%s: '%s' was given, expected a wavenumber in cm-1, or nothing for all") },
};
#undef AT

void
faint_fit_options_init (FaintFitOptions *options)
{
  *options = (FaintFitOptions){
    .threshold = 5.0,
    .find_rounds = 6,
    .baseline_degree = 2,
    .max_iterations = 60,
    .width_shared = TRUE,
    .lower = NAN,
    .upper = NAN,
  };
}

const char *const *
faint_fit_option_keys (void)
{
  static const char *const keys[] = { "threshold",       "find_rounds",         "baseline_degree",
                                      "window_width",    "max_iterations",      "doppler_free",
                                      "width_shared",    "lorentz_common",      "doppler_common",
                                      "detuning_free",   "detuning_slope_free", "fringes",
                                      "fringe_period_1", "fringe_period_2",     "fringe_period_3",
                                      "range_lower",     "range_upper",         NULL };
  return keys;
}

static const Option *
find_option (const char *key)
{
  for (gsize i = 0; i < G_N_ELEMENTS (options_table); i++)
    if (g_str_equal (options_table[i].key, key))
      return &options_table[i];
  return NULL;
}

static gboolean
read_switch (const char *text, gboolean *value)
{
  if (g_str_equal (text, "yes") || g_str_equal (text, "true") || g_str_equal (text, "1"))
    *value = TRUE;
  else if (g_str_equal (text, "no") || g_str_equal (text, "false") || g_str_equal (text, "0"))
    *value = FALSE;
  else
    return FALSE;
  return TRUE;
}

static gboolean
read_number (const Option *option, const char *text, double *value)
{
  char *end;

  *value = g_ascii_strtod (text, &end);
  return end != text && *end == '\0' && *value >= option->least && *value <= option->most
         && (option->kind != KIND_COUNT || *value == floor (*value));
}

gboolean
faint_fit_options_set (FaintFitOptions *options, const char *key, const char *text, gboolean *known,
                       GError **error)
{
  const Option *option = find_option (key);
  gpointer place;
  double value = NAN;
  gboolean right;

  *known = option != NULL;
  if (option == NULL)
    {
      g_set_error (error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_OPTION,
                   _ ("there is no fit option '%s'"), key);
      return FALSE;
    }
  place = G_STRUCT_MEMBER_P (options, option->offset);
  if (option->kind == KIND_SWITCH)
    right = read_switch (text, place);
  else if (*text == '\0' && g_str_has_prefix (key, "range_"))
    {
      *(double *)place = NAN;
      right = TRUE;
    }
  else
    {
      right = read_number (option, text, &value);
      if (right && option->kind == KIND_COUNT)
        *(guint *)place = (guint)value;
      else if (right)
        *(double *)place = value;
    }
  if (!right)
    g_set_error (error, FAINT_FIT_ERROR, FAINT_FIT_ERROR_OPTION, _ (option->refusal), key, text);
  return right;
}

char *
faint_fit_options_get (const FaintFitOptions *options, const char *key)
{
  const Option *option = find_option (key);
  gconstpointer place;

  if (option == NULL)
    return NULL;
  place = (const char *)options + option->offset;
  if (option->kind == KIND_SWITCH)
    return g_strdup (*(const gboolean *)place ? "yes" : "no");
  if (option->kind == KIND_COUNT)
    return g_strdup_printf ("%u", *(const guint *)place);
  return faint_format_double (*(const double *)place);
}
