/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How the numbers came about: equations in use, warnings, inputs and settings.
 */
#include "figure/report-private.h"

#include <math.h>
#include <string.h>

static void
add_profile (FaintReport *self)
{
  faint_paper_paragraph (
      self->paper, "Each line <i>i</i> has a complex Voigt profile of unit area, w the Faddeeva "
                   "function (DLMF 7.2.3), γ<sub>D</sub> and γ<sub>L</sub> the Doppler and Lorentz "
                   "half widths:");
  faint_paper_equation (
      self->paper, "p<sub>i</sub>(ν̃) = √(ln 2/π)/γ<sub>D</sub> · w(z),   z = √(ln 2)/γ<sub>D</sub>"
                   " · (ν̃ − ν̃<sub>i</sub> + i γ<sub>L</sub>)");
  faint_paper_paragraph (self->paper,
                         "The exponent of the field over one round trip, <i>N</i> absorbers per "
                         "volume over the length <i>l</i> in the round trip, strengths "
                         "<i>S</i><sub>i</sub> at the temperature of the measurement:");
  faint_paper_equation (self->paper, "κ(ν̃) = (N l/2) Σ S<sub>i</sub> p<sub>i</sub>(ν̃)");
}

static void
add_response (FaintReport *self)
{
  const FaintSetup *setup = self->setup;

  if (setup->geometry == FAINT_GEOMETRY_NONE)
    {
      faint_paper_paragraph (self->paper, "A single pass weakens the field to");
      faint_paper_equation (self->paper, "E/E₀ = exp(−κ)");
    }
  else if (setup->coupling == FAINT_COUPLING_LOCKED)
    {
      faint_paper_paragraph (
          self->paper,
          "Teeth locked on their modes, <i>s</i> the amplitude survival of a round trip, Φ the "
          "round-trip phase of the tooth away from its mode, <i>f</i> the share of the absorber "
          "between the couplers (Foltynowicz et al., Appl. Phys. B 110, 163 (2013)):");
      faint_paper_equation (self->paper, "E/E₀ = exp(−f κ) (1 − s e<sup>iΦ</sup>) / (1 − s "
                                         "e<sup>iΦ</sup> e<sup>−κ</sup>)");
    }
  else
    {
      faint_paper_paragraph (
          self->paper,
          "Teeth swept across their modes, power integrated over the sweep, <i>s</i> "
          "the amplitude survival of a round trip, <i>f</i> the share of the absorber "
          "between the couplers (Adler et al., Annu. Rev. Anal. Chem. 3, 175 (2010)):");
      faint_paper_equation (self->paper, "I/I₀ = exp(−2f Re κ) (1 − s²) / (1 − s² exp(−2 Re κ))");
    }
}

static void
add_fit (FaintReport *self)
{
  const FaintFit *fit = self->fit;

  if (fit == NULL)
    return;
  g_autofree char *text = g_strdup_printf (
      "The observed ratio is this response times a baseline, a Legendre polynomial of degree %u in "
      "each of %zu windows. All lines and baselines were found together by weighted nonlinear "
      "least squares with an analytic Jacobian. Uncertainties from noise come from the covariance "
      "(JᵀWJ)⁻¹; those of the inputs are propagated through the whole fit (JCGM 100:2008) and are "
      "common to all lines.%s",
      fit->options.baseline_degree, fit->n_windows,
      isfinite (fit->width_mean) ? " The spread of the Lorentz widths of well-determined lines "
                                   "informs those of faint ones."
                                 : "");
  faint_paper_paragraph (self->paper, text);
  if (!isfinite (fit->width_mean))
    return;
  g_autofree char *mean = faint_report_plain (fit->width_mean, 4);
  g_autofree char *spread = faint_report_plain (fit->width_spread, 2);
  g_autofree char *widths = g_strdup_printf (
      "Lorentz half width of well-determined lines: mean %s cm⁻¹, standard deviation %s cm⁻¹.",
      mean, spread);
  faint_paper_paragraph (self->paper, widths);
}

/* How a line's parameters follow the conditions. */
static void
add_series (FaintReport *self)
{
  if (faint_analysis_get_n_spectra (self->analysis) == 1)
    return;
  faint_paper_paragraph (
      self->paper,
      "All spectra have one list of lines; each has its own baselines and instrument. With the "
      "pressures <i>p</i> of the absorber (self) and of all else (foreign), or of the mixture, in "
      "a spectrum at the temperature <i>T</i>:");
  faint_paper_equation (self->paper, "ν̃<sub>i</sub> = ν̃<sub>i</sub>(0) + Σ δ<sub>i</sub> p,   "
                                     "γ<sub>L,i</sub> = (296 K/T)<sup>n</sup> Σ γ<sub>i</sub> p,   "
                                     "γ<sub>D,i</sub> from T and the molar mass");
  faint_paper_paragraph (
      self->paper,
      "and strengths go over to other temperatures with the partition sums Q(T) and the "
      "lower-state "
      "energies (Rothman et al., JQSRT 60, 665 (1998)). What the conditions do not tell apart is "
      "not asked. Uncertainties of inputs of one kind are common to all spectra.");
}

void
faint_report_method (FaintReport *self)
{
  faint_paper_heading (self->paper, "Method");
  add_profile (self);
  add_response (self);
  add_series (self);
  add_fit (self);
}

static void
add_warnings_of (FaintReport *self, const GPtrArray *warnings, GHashTable *said)
{
  for (guint i = 0; warnings != NULL && i < warnings->len; i++)
    {
      const FaintWarning *warning = g_ptr_array_index (warnings, i);
      if (!g_hash_table_add (said, warning->text))
        continue;
      g_autofree char *text = faint_paper_escape (warning->text);
      g_autofree char *markup = g_strdup_printf ("•  %s", text);
      faint_paper_paragraph (self->paper, markup);
    }
}

void
faint_report_warnings (FaintReport *self)
{
  g_autoptr (GHashTable) said = g_hash_table_new (g_str_hash, g_str_equal);

  faint_paper_heading (self->paper, "Warnings");
  add_warnings_of (self, faint_analysis_get_warnings (self->analysis), said);
  for (gsize i = 0; i < faint_analysis_get_n_spectra (self->analysis); i++)
    add_warnings_of (self, faint_analysis_get_spectrum_at (self->analysis, i)->warnings, said);
  add_warnings_of (self, faint_analysis_get_fit_warnings (self->analysis), said);
  if (g_hash_table_size (said) == 0)
    faint_paper_paragraph (self->paper, "None.");
}

static void
add_input (FaintReport *self, const char *path, const char *sha256, gboolean changed)
{
  g_autofree char *base = g_path_get_basename (path);
  g_autofree char *name = faint_paper_escape (base);
  g_autofree char *value = g_strdup_printf (
      "%s%s\n<span font_family=\"monospace\" size=\"82%%\">SHA-256 %s</span>", name,
      changed ? "   (the file on disk is another one by now)" : "", sha256);
  faint_paper_pair (self->paper, "input", value);
}

static void
add_settings (FaintReport *self)
{
  const FaintFitOptions *options
      = self->fit != NULL ? &self->fit->options : faint_analysis_get_options (self->analysis);
  GString *text = g_string_new (NULL);

  for (const char *const *key = faint_fit_option_keys (); *key != NULL; key++)
    {
      g_autofree char *value = faint_fit_options_get (options, *key);
      if (value != NULL && value[0] != '\0')
        g_string_append_printf (text, "%s%s = %s", text->len > 0 ? ";  " : "", *key, value);
    }
  g_autofree char *settings = g_string_free (text, FALSE);
  g_autofree char *markup = faint_paper_escape (settings);
  faint_paper_pair (self->paper, "settings", markup);
}

void
faint_report_header (FaintReport *self)
{
  gsize n;
  const FaintSetupKey *keys = faint_setup_keys (&n);
  GString *text = g_string_new (NULL);

  for (gsize i = 0; i < n; i++)
    {
      g_autofree char *value = faint_setup_get (self->setup, keys[i].key);
      g_autofree char *u_key = g_strdup_printf ("u(%s)", keys[i].key);
      g_autofree char *u
          = keys[i].kind == FAINT_SETUP_KIND_QUANTITY ? faint_setup_get (self->setup, u_key) : NULL;
      gboolean is_words
          = keys[i].kind == FAINT_SETUP_KIND_FILE || keys[i].kind == FAINT_SETUP_KIND_TEXT;
      if (value == NULL || value[0] == '\0' || is_words)
        continue;
      g_string_append_printf (text, "%s%s = %s", text->len > 0 ? ";  " : "", keys[i].key, value);
      if (u != NULL && u[0] != '\0')
        g_string_append_printf (text, ";  %s = %s", u_key, u);
    }
  g_autofree char *header = g_string_free (text, FALSE);
  g_autofree char *markup = faint_paper_escape (header);
  faint_paper_pair (self->paper, "conditions as entered", markup);
}

void
faint_report_provenance (FaintReport *self)
{
  gsize n;
  const FaintAnalysisInput *inputs = faint_analysis_get_inputs (self->analysis, &n);

  faint_paper_heading (self->paper, "Provenance");
  faint_paper_pair (self->paper, "program", "Faintline " FAINT_VERSION);
  for (gsize i = 0; i < n; i++)
    add_input (self, inputs[i].path, inputs[i].sha256, inputs[i].changed);
  if (n == 0)
    faint_paper_pair (self->paper, "input", "a spectrum in memory, from no file");
  add_settings (self);
  faint_report_header (self);
}
