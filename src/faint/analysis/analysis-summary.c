/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * summary.json (RFC 8259).
 */
#include "faint/analysis/analysis-private.h"

#include "faint/base/json.h"

/* Members of the whole stand on lines of their own, those within on one. */
typedef struct
{
  GString *out;
  guint depth;
  gboolean filled; /* the innermost array or object is not empty */
} Json;

static void
separate (Json *json)
{
  g_string_append (json->out, json->filled ? "," : "");
  g_string_append (json->out, json->depth == 1 ? "\n  " : json->filled ? " " : "");
  json->filled = TRUE;
}

static void
begin (Json *json, char bracket)
{
  g_string_append_c (json->out, bracket);
  json->depth++;
  json->filled = FALSE;
}

static void
end (Json *json, char bracket)
{
  json->depth--;
  json->filled = TRUE;
  g_string_append_c (json->out, bracket);
}

static void
append_key (Json *json, const char *key)
{
  separate (json);
  faint_json_append_string (json->out, key);
  g_string_append (json->out, ": ");
}

/* JSON knows no NaN: what is not known is null. */
static void
append_number (Json *json, const char *key, double value)
{
  g_autofree char *text = isfinite (value) ? faint_format_double (value) : g_strdup ("null");

  append_key (json, key);
  g_string_append (json->out, text);
}

static void
append_text (Json *json, const char *key, const char *text)
{
  append_key (json, key);
  if (text != NULL)
    faint_json_append_string (json->out, text);
  else
    g_string_append (json->out, "null");
}

/* The member for @key and that for its uncertainty. */
static void
append_measured (Json *json, const char *key, const char *unit, double value, double u)
{
  g_autofree char *name = g_strconcat (key, unit, NULL);
  g_autofree char *u_name = g_strconcat ("u(", key, ")", unit, NULL);

  append_number (json, name, value);
  append_number (json, u_name, u);
}

/* The inputs of spectrum @part, of all for G_MAXSIZE. */
static void
append_inputs (Json *json, const FaintAnalysis *self, gsize part)
{
  append_key (json, "inputs");
  begin (json, '[');
  for (gsize i = 0; i < self->n_inputs; i++)
    {
      if (part != G_MAXSIZE && self->inputs[i].spectrum != part)
        continue;
      separate (json);
      begin (json, '{');
      append_text (json, "path", self->inputs[i].path);
      append_text (json, "sha256", self->inputs[i].sha256);
      end (json, '}');
    }
  end (json, ']');
}

/* All of the lists, each warning once. */
static void
append_warnings (Json *json, const GPtrArray *const *lists, gsize n)
{
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);

  append_key (json, "warnings");
  begin (json, '[');
  for (gsize k = 0; k < n; k++)
    for (guint i = 0; lists[k] != NULL && i < lists[k]->len; i++)
      {
        const FaintWarning *warning = g_ptr_array_index (lists[k], i);
        if (!g_hash_table_add (seen, warning->text))
          continue;
        separate (json);
        begin (json, '{');
        append_text (json, "code", warning->code);
        append_text (json, "text", warning->text);
        end (json, '}');
      }
  end (json, ']');
}

static void
append_instrument (Json *json, const FaintFitInstrument *found)
{
  append_measured (json, "detuning", "/Hz", found->detuning, found->u_detuning);
  append_measured (json, "detuning_slope", "", found->detuning_slope, found->u_detuning_slope);
  append_key (json, "fringes");
  begin (json, '[');
  for (guint k = 0; k < found->n_fringes; k++)
    {
      const FaintFitFringe *fringe = &found->fringe[k];

      separate (json);
      begin (json, '{');
      append_measured (json, "period", "/cm-1", fringe->period, fringe->u_period);
      append_measured (json, "amplitude", "", faint_fit_fringe_amplitude (fringe),
                       faint_analysis_fringe_u (fringe));
      append_measured (json, "cosine", "", fringe->cosine, fringe->u_cosine);
      append_measured (json, "sine", "", fringe->sine, fringe->u_sine);
      end (json, '}');
    }
  end (json, ']');
}

static void
append_noise (Json *json, const FaintFit *fit)
{
  append_number (json, "noise_equivalent_absorption/cm-1",
                 fit != NULL ? fit->noise_equivalent_absorption : NAN);
  append_number (json, "noise_equivalent_absorption_per_root_hertz/(cm-1 Hz-1/2)",
                 fit != NULL ? fit->noise_equivalent_absorption_root : NAN);
}

static void
append_spectrum (Json *json, const FaintAnalysis *self, gsize i)
{
  const FaintSpectrum *spectrum = self->parts[i].spectrum;
  const FaintSetup *setup = spectrum->setup;
  const FaintFit *fit = self->parts[i].fit;
  const GPtrArray *lists[] = { spectrum->warnings, fit != NULL ? fit->warnings : NULL };
  const FaintFitInstrument none = FAINT_FIT_INSTRUMENT_NONE;

  separate (json);
  begin (json, '{');
  append_inputs (json, self, i);
  append_measured (json, "temperature", "/K", setup->temperature.value, setup->temperature.u);
  append_measured (json, "pressure", "/Pa", setup->pressure.value, setup->pressure.u);
  append_measured (json, "mole_fraction", "", setup->mole_fraction.value, setup->mole_fraction.u);
  append_number (json, "teeth", (double)spectrum->n);
  append_number (json, "windows", fit != NULL ? (double)fit->n_windows : 0.0);
  append_number (json, "chi2", fit != NULL ? fit->chi2 : NAN);
  append_number (json, "degrees_of_freedom", fit != NULL ? fit->dof : NAN);
  append_number (json, "chi2_reduced", fit != NULL ? fit->chi2_reduced : NAN);
  append_noise (json, fit);
  append_instrument (json, fit != NULL ? &fit->instrument : &none);
  append_warnings (json, lists, G_N_ELEMENTS (lists));
  end (json, '}');
}

static void
append_spectra (Json *json, const FaintAnalysis *self)
{
  append_key (json, "spectra");
  begin (json, '[');
  for (gsize i = 0; i < self->n_parts; i++)
    append_spectrum (json, self, i);
  end (json, ']');
}

/* What the conditions of a series allowed to ask. */
static void
append_determined (Json *json, const FaintAnalysisResult *result)
{
  append_key (json, "determined");
  begin (json, '[');
  for (guint k = 0; k < FAINT_COEFFICIENT_N; k++)
    if (result->determined[k])
      {
        separate (json);
        faint_json_append_string (json->out, faint_coefficient_name ((FaintCoefficient)k));
      }
  if (result->energies)
    {
      separate (json);
      faint_json_append_string (json->out, "lower_energy");
    }
  end (json, ']');
}

static void
append_all_warnings (Json *json, const FaintAnalysis *self)
{
  g_autoptr (GPtrArray) lists = g_ptr_array_new ();

  for (gsize i = 0; i < self->n_parts; i++)
    g_ptr_array_add (lists, self->parts[i].spectrum->warnings);
  g_ptr_array_add (lists, self->warnings);
  g_ptr_array_add (lists, (gpointer)faint_analysis_get_fit_warnings (self));
  append_warnings (json, (const GPtrArray *const *)lists->pdata, lists->len);
}

/* Of all spectra. */
static void
append_counts (Json *json, const FaintAnalysis *self)
{
  gsize teeth = 0, windows = 0;

  for (gsize i = 0; i < self->n_parts; i++)
    {
      teeth += self->parts[i].spectrum->n;
      windows += self->parts[i].fit != NULL ? self->parts[i].fit->n_windows : 0;
    }
  append_number (json, "teeth", (double)teeth);
  append_number (json, "lines", (double)faint_line_list_get_n (self->lines));
  append_number (json, "windows", (double)windows);
}

/* In all spectra together; NAN where none was searched. */
static double
false_finds (const FaintAnalysis *self)
{
  double sum = NAN;

  for (gsize k = 0; k < faint_analysis_get_n_spectra (self); k++)
    {
      const FaintFit *fit = self->parts[k].fit;

      if (fit != NULL && isfinite (fit->false_finds_expected))
        sum = isnan (sum) ? fit->false_finds_expected : sum + fit->false_finds_expected;
    }
  return sum;
}

char *
faint_analysis_summary_json (const FaintAnalysis *self, double seconds)
{
  const FaintFit *fit = self->parts[0].fit;
  Json json = { g_string_new (NULL), 0, FALSE };
  FaintAnalysisResult result;
  gboolean known = faint_analysis_get_result (self, &result);

  begin (&json, '{');
  append_text (&json, "program", "Faintline");
  append_text (&json, "version", FAINT_VERSION);
  append_inputs (&json, self, G_MAXSIZE);
  append_counts (&json, self);
  append_text (&json, "verdict", known ? faint_verdict_name (result.verdict) : NULL);
  append_number (&json, "iterations", known ? result.iterations : NAN);
  append_number (&json, "chi2", result.chi2);
  append_number (&json, "degrees_of_freedom", result.dof);
  append_number (&json, "chi2_reduced", result.chi2_reduced);
  append_noise (&json, fit);
  append_number (&json, "false_finds_expected", false_finds (self));
  append_number (&json, "seconds", seconds);
  append_all_warnings (&json, self);
  append_spectra (&json, self);
  append_determined (&json, &result);
  end (&json, '\n');
  g_string_append (json.out, "}\n");
  return g_string_free (json.out, FALSE);
}
