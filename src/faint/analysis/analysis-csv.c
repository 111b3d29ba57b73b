/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * lines.csv: what its preamble says of inputs, conditions and instrument.
 */
#include "faint/analysis/analysis-private.h"

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

/* "PREFIXkey = value unit", where the value is known. */
static void
add_number (GPtrArray *notes, const char *prefix, const char *key, double value, const char *unit)
{
  g_autofree char *number = isfinite (value) ? faint_format_double (value) : NULL;

  if (number != NULL)
    g_ptr_array_add (notes, g_strdup_printf ("%s%s = %s%s%s", prefix, key, number,
                                             unit != NULL ? " " : "", unit != NULL ? unit : ""));
}

static void
add_fringe (GPtrArray *notes, const char *prefix, guint k, const FaintFitFringe *fringe)
{
  const struct
  {
    const char *name, *unit;
    double value;
  } rows[] = {
    { "fringe_%u_period", "cm-1", fringe->period },
    { "u(fringe_%u_period)", "cm-1", fringe->u_period },
    { "fringe_%u_amplitude", NULL, faint_fit_fringe_amplitude (fringe) },
    { "u(fringe_%u_amplitude)", NULL, faint_analysis_fringe_u (fringe) },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_auto (GStrv) around = g_strsplit (rows[i].name, "%u", 2);
      g_autofree char *key = g_strdup_printf ("%s%u%s", around[0], k, around[1]);
      add_number (notes, prefix, key, rows[i].value, rows[i].unit);
    }
}

/* What the fit found of the instrument. */
static void
add_instrument (GPtrArray *notes, const char *prefix, const FaintFitInstrument *instrument)
{
  add_number (notes, prefix, "tooth_detuning_found", instrument->detuning, "Hz");
  add_number (notes, prefix, "u(tooth_detuning_found)", instrument->u_detuning, "Hz");
  add_number (notes, prefix, "tooth_detuning_slope_found", instrument->detuning_slope, NULL);
  add_number (notes, prefix, "u(tooth_detuning_slope_found)", instrument->u_detuning_slope, NULL);
  for (guint k = 0; k < instrument->n_fringes; k++)
    add_fringe (notes, prefix, k + 1, &instrument->fringe[k]);
}

/* Conditions and cavity of spectrum @i, key by key as a comb table states them. */
static void
add_setup (GPtrArray *notes, const char *prefix, const FaintSetup *setup)
{
  gsize n;
  const FaintSetupKey *keys = faint_setup_keys (&n);

  for (gsize k = 0; k < n; k++)
    {
      g_autofree char *value = faint_setup_get (setup, keys[k].key);
      g_autofree char *u_key = g_strdup_printf ("u(%s)", keys[k].key);
      g_autofree char *name = NULL, *u = NULL;

      if (value == NULL)
        continue;
      if (keys[k].kind == FAINT_SETUP_KIND_FILE)
        name = g_path_get_basename (value);
      if (keys[k].kind == FAINT_SETUP_KIND_QUANTITY)
        u = faint_setup_get (setup, u_key);
      g_ptr_array_add (
          notes, g_strdup_printf ("%s%s = %s", prefix, keys[k].key, name != NULL ? name : value));
      if (u != NULL)
        g_ptr_array_add (notes, g_strdup_printf ("%s%s = %s", prefix, u_key, u));
    }
}

static void
add_spectrum (GPtrArray *notes, const FaintAnalysis *self, gsize i, gboolean current)
{
  const FaintAnalysisPart *part = &self->parts[i];
  g_autofree char *prefix = g_strdup_printf ("spectrum %" G_GSIZE_FORMAT ": ", i + 1);

  for (gsize k = 0; k < self->n_inputs; k++)
    if (self->inputs[k].spectrum == i)
      {
        g_autofree char *name = g_path_get_basename (self->inputs[k].path);
        g_ptr_array_add (notes, g_strdup_printf ("%sinput = %s", prefix, name));
      }
  if (i > 0) /* that of the first stands above */
    add_setup (notes, prefix, part->spectrum->setup);
  if (!current)
    return;
  add_number (notes, prefix, "chi2_reduced", part->fit->chi2_reduced, NULL);
  add_instrument (notes, prefix, &part->fit->instrument);
}

static char **
other_notes (const FaintAnalysis *self)
{
  GPtrArray *notes = g_ptr_array_new ();
  gboolean current = faint_analysis_fit_is_current (self);

  if (self->n_parts == 1 && current)
    add_instrument (notes, "", &self->parts[0].fit->instrument);
  if (self->n_parts > 1)
    {
      g_ptr_array_add (notes, g_strdup_printf ("spectra = %" G_GSIZE_FORMAT, self->n_parts));
      g_ptr_array_add (notes, g_strdup ("values_hold_under = conditions of spectrum 1"));
      for (gsize i = 0; i < self->n_parts; i++)
        add_spectrum (notes, self, i, current);
    }
  g_ptr_array_add (notes, NULL);
  return (char **)g_ptr_array_free (notes, FALSE);
}

char *
faint_analysis_lines_text (const FaintAnalysis *self, const char *date, FaintListFormat format,
                           const FaintRecordOptions *options, GPtrArray *losses)
{
  g_auto (GStrv) inputs = input_notes (self);
  g_auto (GStrv) notes = other_notes (self);
  FaintAnalysisResult result;
  gboolean known = faint_analysis_get_result (self, &result);
  FaintLineListAbout about = {
    .title = self->title,
    .setup = self->parts[0].spectrum->setup,
    .inputs = (const char *const *)inputs,
    .chi2_reduced
    = known && faint_analysis_fit_is_current (self) ? result.chi2_reduced : (double)NAN,
    .date = date,
    .notes = (const char *const *)notes,
  };

  return faint_line_list_to_text (self->lines, &about, format, options, losses);
}

char *
faint_analysis_lines_csv (const FaintAnalysis *self, const char *date)
{
  return faint_analysis_lines_text (self, date, FAINT_LIST_CSV, NULL, NULL);
}
