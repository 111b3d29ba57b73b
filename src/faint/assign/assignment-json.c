/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * summary.json (RFC 8259).
 */
#include "faint/assign/assignment-tables.h"

#include "faint/base/json.h"
#include "faint/base/quantity.h"

#include <math.h>

static void
append_key (GString *out, const char *key)
{
  faint_json_append_string (out, key);
  g_string_append (out, ": ");
}

/* JSON knows no NaN: what is not known is null. */
static void
append_number (GString *out, const char *key, double value)
{
  g_autofree char *text = isfinite (value) ? faint_format_double (value) : g_strdup ("null");

  append_key (out, key);
  g_string_append (out, text);
}

static void
append_count (GString *out, const char *key, guint64 count)
{
  append_key (out, key);
  g_string_append_printf (out, "%" G_GUINT64_FORMAT, count);
}

static void
append_constants (GString *out, const char *key, const FaintBand *band)
{
  append_key (out, key);
  g_string_append (out, "[");
  for (guint i = 0; band != NULL && i < band->constants->len; i++)
    {
      const FaintBandConstant *it = &g_array_index (band->constants, FaintBandConstant, i);

      g_string_append (out, i > 0 ? ", {" : "{");
      append_key (out, "name");
      faint_json_append_string (out, it->name);
      g_string_append (out, ", ");
      append_number (out, "value/cm-1", it->value);
      g_string_append (out, ", ");
      append_number (out, "u(value)/cm-1", it->u);
      g_string_append (out, "}");
    }
  g_string_append (out, "]");
}

static guint
count_verdict (const FaintAssignment *self, guint band, FaintBandVerdict verdict)
{
  guint n = 0;

  for (guint i = 0; i < self->lines->len; i++)
    {
      const FaintAssigned *it = &g_array_index (self->lines, FaintAssigned, i);

      n += it->band == band && it->verdict == verdict;
    }
  return n;
}

static void
append_band (GString *out, const FaintAssignment *self, guint index)
{
  const FaintAssignedBand *it = &g_array_index (self->bands, FaintAssignedBand, index);

  g_string_append (out, "{");
  append_key (out, "name");
  faint_json_append_string (out, *it->name != '\0' ? it->name : "1");
  g_string_append (out, ", ");
  append_count (out, "lines", it->n_lines);
  g_string_append (out, ", ");
  append_count (out, "fitted", it->band->fit->n_kept);
  for (guint verdict = FAINT_BAND_PERTURBED; verdict <= FAINT_BAND_ALONE; verdict++)
    {
      g_string_append (out, ", ");
      append_count (out, faint_band_verdict_name (verdict), count_verdict (self, index, verdict));
    }
  g_string_append (out, ", ");
  append_number (out, "ln_odds", it->odds);
  g_string_append (out, ", ");
  append_number (out, "chi2_reduced", it->band->fit->chi2_reduced);
  g_string_append (out, ", ");
  append_constants (out, "constants", it->band);
  g_string_append (out, ", ");
  append_constants (out, "lower_constants_from_differences", it->lower);
  g_string_append (out, ", ");
  append_number (out, "band_strength/(cm/molecule)", it->intensities.band_strength);
  g_string_append (out, ", ");
  append_number (out, "u(band_strength)/(cm/molecule)", it->intensities.u_band_strength);
  g_string_append (out, "}");
}

static void
append_warnings (GString *out, const GPtrArray *warnings)
{
  append_key (out, "warnings");
  g_string_append (out, "[");
  for (guint i = 0; i < warnings->len; i++)
    {
      const FaintWarning *it = g_ptr_array_index (warnings, i);

      g_string_append (out, i > 0 ? ", {" : "{");
      append_key (out, "code");
      faint_json_append_string (out, it->code);
      g_string_append (out, ", ");
      append_key (out, "text");
      faint_json_append_string (out, it->text);
      g_string_append (out, "}");
    }
  g_string_append (out, "]");
}

char *
faint_assignment_summary_json (const FaintAssignment *self, double seconds)
{
  GString *out = g_string_new ("{\n  ");
  guint undecided = 0;

  for (guint i = 0; i < self->undecided->len; i++)
    undecided += g_array_index (self->undecided, FaintUndecided, i).n_lines;
  append_count (out, "lines", self->n_observed);
  g_string_append (out, ",\n  ");
  append_count (out, "assigned", self->lines->len);
  g_string_append (out, ",\n  ");
  append_count (out, "undecided", undecided);
  g_string_append (out, ",\n  ");
  append_count (out, "predicted", self->predicted->len);
  g_string_append (out, ",\n  ");
  append_count (out, "combination_differences", self->n_candidates);
  g_string_append (out, ",\n  ");
  append_number (out, "combination_differences_by_chance", self->chance);
  g_string_append (out, ",\n  ");
  append_number (out, "temperature/K", self->options.search.temperature);
  g_string_append (out, ",\n  ");
  append_key (out, "bands");
  g_string_append (out, "[");
  for (guint i = 0; i < self->bands->len; i++)
    {
      g_string_append (out, i > 0 ? ",\n    " : "\n    ");
      append_band (out, self, i);
    }
  g_string_append (out, "],\n  ");
  append_number (out, "seconds", seconds);
  g_string_append (out, ",\n  ");
  append_warnings (out, self->warnings);
  g_string_append (out, "\n}\n");
  return g_string_free (out, FALSE);
}
