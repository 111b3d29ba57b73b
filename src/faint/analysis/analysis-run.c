/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "faint/analysis/analysis-private.h"
#include "faint/strength/budget.h"

/* Lines to begin with. While nobody touched what the last fit gave, the same kind of fit begins
 * where that one began, so that it gives the same again. */
static FaintLineList *
start_of (const FaintAnalysis *self, gboolean find)
{
  if (self->fitted != NULL && self->lines == self->fitted && find == self->found)
    return self->start;
  return faint_line_list_get_n (self->lines) > 0 ? self->lines : NULL;
}

FaintFit *
faint_analysis_run (const FaintAnalysis *self, gboolean find, const FaintProgress *progress,
                    GError **error)
{
  const FaintSetup *setup = self->spectrum->setup;
  g_autoptr (FaintPartition) partition = NULL;
  g_autoptr (FaintFit) fit = NULL;
  FaintFitOptions options = self->options;

  if (!faint_setup_check (setup, error))
    return NULL;
  if (setup->partition_sums != NULL)
    {
      partition = faint_partition_read (setup->partition_sums, error);
      if (partition == NULL)
        return NULL;
    }
  if (!find)
    options.find_rounds = 0;
  fit = faint_fit_run (self->spectrum, start_of (self, find), &options, progress, error);
  if (fit == NULL)
    return NULL;
  return faint_budget_apply (fit, partition, error);
}

/* Inputs as a line list states them. */
static char **
input_notes (const FaintAnalysis *self)
{
  GPtrArray *notes = g_ptr_array_new ();

  for (gsize i = 0; i < self->n_inputs; i++)
    {
      g_autofree char *name = g_path_get_basename (self->inputs[i].path);
      g_ptr_array_add (notes, g_strdup_printf ("%s  %s", name, self->inputs[i].sha256));
    }
  g_ptr_array_add (notes, NULL);
  return (char **)g_ptr_array_free (notes, FALSE);
}

char *
faint_analysis_lines_csv (const FaintAnalysis *self, const char *date)
{
  g_auto (GStrv) inputs = input_notes (self);
  FaintLineListAbout about = {
    .title = self->title,
    .setup = self->spectrum->setup,
    .inputs = (const char *const *)inputs,
    .chi2_reduced = faint_analysis_fit_is_current (self) ? self->fit->chi2_reduced : NAN,
    .date = date,
  };

  return faint_line_list_to_csv (self->lines, &about);
}

/* A JSON string (RFC 8259, section 7). */
static void
append_string (GString *out, const char *text)
{
  g_autofree char *valid = g_utf8_make_valid (text, -1);

  g_string_append_c (out, '"');
  for (const char *c = valid; *c != '\0'; c++)
    if (*c == '"' || *c == '\\')
      g_string_append_printf (out, "\\%c", *c);
    else if ((guchar)*c < 0x20)
      g_string_append_printf (out, "\\u%04x", *c);
    else
      g_string_append_c (out, *c);
  g_string_append_c (out, '"');
}

static void
append_key (GString *out, const char *key)
{
  g_string_append (out, out->len > 1 ? ",\n  " : "\n  ");
  append_string (out, key);
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
append_text (GString *out, const char *key, const char *text)
{
  append_key (out, key);
  if (text != NULL)
    append_string (out, text);
  else
    g_string_append (out, "null");
}

static void
append_inputs (GString *out, const FaintAnalysis *self)
{
  append_key (out, "inputs");
  g_string_append_c (out, '[');
  for (gsize i = 0; i < self->n_inputs; i++)
    {
      g_string_append (out, i > 0 ? ", {\"path\": " : "{\"path\": ");
      append_string (out, self->inputs[i].path);
      g_string_append (out, ", \"sha256\": ");
      append_string (out, self->inputs[i].sha256);
      g_string_append_c (out, '}');
    }
  g_string_append_c (out, ']');
}

/* All warnings, each once. */
static void
append_warnings (GString *out, const FaintAnalysis *self)
{
  g_autoptr (GPtrArray) all = faint_warnings_copy (self->spectrum->warnings);
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);

  faint_warnings_extend (all, self->warnings);
  if (self->fit != NULL)
    faint_warnings_extend (all, self->fit->warnings);
  append_key (out, "warnings");
  g_string_append_c (out, '[');
  for (guint i = 0; i < all->len; i++)
    {
      const FaintWarning *warning = g_ptr_array_index (all, i);
      if (g_hash_table_contains (seen, warning->text))
        continue;
      g_string_append (out, g_hash_table_size (seen) > 0 ? ", {\"code\": " : "{\"code\": ");
      g_hash_table_add (seen, warning->text);
      append_string (out, warning->code);
      g_string_append (out, ", \"text\": ");
      append_string (out, warning->text);
      g_string_append_c (out, '}');
    }
  g_string_append_c (out, ']');
}

char *
faint_analysis_summary_json (const FaintAnalysis *self, double seconds)
{
  const FaintFit *fit = self->fit;
  GString *out = g_string_new ("{");

  append_text (out, "program", "Faintline");
  append_text (out, "version", FAINT_VERSION);
  append_inputs (out, self);
  append_number (out, "teeth", (double)self->spectrum->n);
  append_number (out, "lines", (double)faint_line_list_get_n (self->lines));
  append_number (out, "windows", fit != NULL ? (double)fit->n_windows : 0.0);
  append_text (out, "verdict", fit != NULL ? faint_verdict_name (fit->verdict) : NULL);
  append_number (out, "iterations", fit != NULL ? fit->iterations : NAN);
  append_number (out, "chi2", fit != NULL ? fit->chi2 : NAN);
  append_number (out, "degrees_of_freedom", fit != NULL ? fit->dof : NAN);
  append_number (out, "chi2_reduced", fit != NULL ? fit->chi2_reduced : NAN);
  append_number (out, "noise_equivalent_absorption/cm-1",
                 fit != NULL ? fit->noise_equivalent_absorption : NAN);
  append_number (out, "noise_equivalent_absorption_per_root_hertz/(cm-1 Hz-1/2)",
                 fit != NULL ? fit->noise_equivalent_absorption_root : NAN);
  append_number (out, "false_finds_expected", fit != NULL ? fit->false_finds_expected : NAN);
  append_number (out, "seconds", seconds);
  append_warnings (out, self);
  g_string_append (out, "\n}\n");
  return g_string_free (out, FALSE);
}
