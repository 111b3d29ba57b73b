/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * summary.json of a review (RFC 8259).
 */
#include "faint/review/review-private.h"

#include "faint/base/json.h"
#include "faint/review/common-rows.h"
#include "faint/review/compared.h"

static void
append_string (GString *out, const char *text)
{
  if (text != NULL)
    faint_json_append_string (out, text);
  else
    g_string_append (out, "null");
}

/* The members of an object; each begins with a comma but the first. */
static void
append_key (GString *out, const char *key)
{
  char last = out->str[out->len - 1];

  g_string_append (out, last == '{' ? "" : ", ");
  append_string (out, key);
  g_string_append (out, ": ");
}

static void
append_text (GString *out, const char *key, const char *text)
{
  append_key (out, key);
  append_string (out, text);
}

static void
append_number (GString *out, const char *key, double value)
{
  g_autofree char *text = isfinite (value) ? faint_format_double (value) : g_strdup ("null");

  append_key (out, key);
  g_string_append (out, text);
}

static void
append_flag (GString *out, const char *key, gboolean value)
{
  append_key (out, key);
  g_string_append (out, value ? "true" : "false");
}

static void
append_cause (GString *out, const FaintSystematicCause *it)
{
  g_string_append_c (out, '{');
  append_text (out, "input", it->key);
  append_number (out, "stated", it->stated);
  append_number (out, "u(stated)", it->u);
  append_number (out, "needed", it->needed);
  append_number (out, "u(needed)", it->u_needed);
  append_flag (out, "within", it->within);
  append_text (out, "words", it->words);
  g_string_append_c (out, '}');
}

static void
append_finding (GString *out, const FaintSystematic *it)
{
  gboolean scale = faint_common_is_scale (it->parameter);
  double factor = exp (it->constant);
  const char *unit = faint_common_unit (it->parameter);
  g_autofree char *shift = g_strdup_printf ("shift/%s", unit);
  g_autofree char *u_shift = g_strdup_printf ("u(shift)/%s", unit);

  g_string_append_c (out, '{');
  append_text (out, "parameter", faint_compared_name (it->parameter));
  append_text (out, "along", faint_systematic_form_name (it->form));
  append_number (out, scale ? "scale" : shift, scale ? factor : it->constant);
  append_number (out, scale ? "u(scale)" : u_shift,
                 scale ? factor * it->u_constant : it->u_constant);
  if (it->form != FAINT_SYSTEMATIC_CONSTANT)
    {
      append_number (out, "slope", it->slope);
      append_number (out, "u(slope)", it->u_slope);
      append_number (out, "at", it->x_mean);
    }
  append_number (out, "u_common", it->u_common_constant);
  append_number (out, "lines", (double)it->n);
  append_number (out, "left_out", (double)it->n_left_out);
  append_number (out, "birge_ratio", it->birge);
  append_number (out, "probability", it->probability);
  append_number (out, "probability_as_stated", it->probability_stated);
  append_flag (out, "beyond", it->beyond);
  append_text (out, "words", it->words);
  append_key (out, "causes");
  g_string_append_c (out, '[');
  for (guint i = 0; i < it->causes->len; i++)
    {
      g_string_append (out, i > 0 ? ",\n      " : "\n      ");
      append_cause (out, g_ptr_array_index (it->causes, i));
    }
  g_string_append (out, "]}");
}

static void
append_settings (GString *out, const FaintReview *self)
{
  g_string_append_c (out, '{');
  append_number (out, "confidence", self->options.confidence);
  append_number (out, "coverage", self->options.coverage);
  append_flag (out, "partial", self->options.partial);
  append_number (out, "claims_temperature/K", self->options.temperature);
  append_number (out, "claims_pressure/Pa", self->options.pressure);
  for (const char *const *key = faint_fit_option_keys (); *key != NULL; key++)
    {
      g_autofree char *value
          = faint_fit_options_get (faint_analysis_get_options (self->refit), *key);
      append_text (out, *key, value);
    }
  g_string_append_c (out, '}');
}

static void
append_inputs (GString *out, const FaintReview *self)
{
  gsize n;
  const FaintAnalysisInput *inputs = faint_analysis_get_inputs (self->refit, &n);

  g_string_append_c (out, '[');
  for (gsize i = 0; i < n; i++)
    {
      g_autofree char *name = g_path_get_basename (inputs[i].path);

      g_string_append (out, i > 0 ? ", {" : "{");
      append_text (out, "name", name);
      append_text (out, "sha256", inputs[i].sha256);
      g_string_append_c (out, '}');
    }
  g_string_append_c (out, ']');
}

static void
append_counts (GString *out, const FaintReview *self)
{
  g_string_append_c (out, '{');
  for (guint k = 0; k < FAINT_REVIEW_VERDICT_N; k++)
    append_number (out, faint_review_verdict_name ((FaintReviewVerdict)k), (double)self->counts[k]);
  g_string_append_c (out, '}');
}

static void
append_models (GString *out, const FaintReview *self)
{
  append_number (out, "chi2_claims", self->chi2_claimed);
  append_number (out, "chi2_reduced_claims", self->chi2_claimed / self->dof_claimed);
  append_number (out, "chi2_refit", self->chi2_refitted);
  append_number (out, "chi2_reduced_refit", self->chi2_refitted / self->dof_refitted);
  append_number (out, "values", (double)self->n_values);
  append_number (out, "values_beyond_1", (double)self->n_beyond);
  append_number (out, "values_beyond_1_expected", self->beyond_expected);
}

static void
append_list (GString *out, const char *key, const GPtrArray *texts, gboolean warnings)
{
  append_key (out, key);
  g_string_append_c (out, '[');
  for (guint i = 0; i < texts->len; i++)
    {
      g_string_append (out, i > 0 ? ",\n    " : "\n    ");
      append_string (out, warnings ? ((FaintWarning *)g_ptr_array_index (texts, i))->text
                                   : g_ptr_array_index (texts, i));
    }
  g_string_append_c (out, ']');
}

char *
faint_review_summary_json (const FaintReview *self, const char *claimed_path,
                           const char *claimed_sha256, double seconds)
{
  GString *out = g_string_new ("{");
  g_autofree char *name = claimed_path != NULL ? g_path_get_basename (claimed_path) : NULL;

  append_text (out, "program", "faintline " FAINT_VERSION);
  append_flag (out, "passed", self->passed);
  append_key (out, "claimed");
  g_string_append_c (out, '{');
  append_text (out, "name", name);
  append_text (out, "sha256", claimed_sha256);
  append_number (out, "lines", (double)faint_line_list_get_n (self->claimed));
  append_flag (out, "same_spectrum", self->same_spectrum);
  g_string_append_c (out, '}');
  append_key (out, "inputs");
  append_inputs (out, self);
  append_key (out, "counts");
  append_counts (out, self);
  append_models (out, self);
  append_key (out, "systematic");
  g_string_append_c (out, '[');
  for (guint i = 0; i < self->systematic->len; i++)
    {
      g_string_append (out, i > 0 ? ",\n    " : "\n    ");
      append_finding (out, g_ptr_array_index (self->systematic, i));
    }
  g_string_append_c (out, ']');
  append_list (out, "faults", self->faults, FALSE);
  append_list (out, "warnings", self->warnings, TRUE);
  append_key (out, "settings");
  append_settings (out, self);
  append_number (out, "seconds", seconds);
  g_string_append (out, "}\n");
  return g_string_free (out, FALSE);
}
