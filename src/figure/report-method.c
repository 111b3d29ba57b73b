/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How the numbers came about: the equations in use, and what warns.
 */
#include "figure/report-private.h"

#include <math.h>

static void
add_axis (FaintReport *self)
{
  if (self->spectrum->tooth == NULL || !faint_quantity_is_known (self->setup->repetition_rate))
    return;
  faint_paper_paragraph (self->paper,
                         "Tooth <i>n</i> of the comb lies at the frequency, and at the vacuum "
                         "wavenumber (Cundiff and Ye, Rev. Mod. Phys. 75, 325 (2003)),");
  faint_paper_equation (
      self->paper,
      "f_n = n f_{\\mathrm{rep}} + f_{0} ,\\quad ν̃_n = \\frac{f_n}{c} ,\\quad u^{2}(f_n) = n^{2} "
      "u^{2}(f_{\\mathrm{rep}}) + u^{2}(f_{0})");
}

static gboolean
has_profile_beyond_voigt (const FaintReport *self)
{
  for (gsize i = 0; i < faint_line_list_get_n (self->lines); i++)
    if (faint_line_list_get (self->lines, i)->profile != FAINT_PROFILE_VOIGT)
      return TRUE;
  return FALSE;
}

static void
add_abundance (FaintReport *self)
{
  g_autofree char *value = faint_report_quantity (self->setup->abundance, "1");
  g_autofree char *stated = g_strdup_printf (
      "Here <i>a</i> = %s, as stated: strengths are those of the pure isotopologue.", value);

  faint_paper_paragraph (
      self->paper,
      faint_quantity_is_known (self->setup->abundance)
          ? stated
          : "Here <i>a</i> = 1, as no isotopic abundance is stated: strengths are those "
            "of the gas as it is, whose isotopologues all count as absorbers.");
}

static void
add_profile (FaintReport *self)
{
  faint_paper_paragraph (
      self->paper, "Each line <i>i</i> has a complex Voigt profile of unit area, <i>w</i> the "
                   "complex error function (DLMF 7.2.3), γ<sub>D</sub> and γ<sub>L</sub> the "
                   "Doppler and Lorentz half widths:");
  faint_paper_equation (
      self->paper, "p_i(ν̃) = \\sqrt{\\frac{ln 2}{π}} \\frac{w(z_i)}{γ_{\\mathrm{D},i}} ,\\quad z_i "
                   "= \\sqrt{ln 2} \\, \\frac{ν̃ − ν̃_i + \\mathrm{i} "
                   "γ_{\\mathrm{L},i}}{γ_{\\mathrm{D},i}} ,\\quad γ_{\\mathrm{D},i} = ν̃_i "
                   "\\sqrt{\\frac{2 ln 2 \\, k T}{m c^{2}}}");
  if (has_profile_beyond_voigt (self))
    faint_paper_paragraph (
        self->paper, "Lines marked <b>V</b> or <b>H</b> have the speed-dependent Voigt or the "
                     "Hartmann–Tran profile instead, whose limit the Voigt profile is (Tennyson et "
                     "al., Pure Appl. Chem. 86, 1931 (2014)).");
  faint_paper_paragraph (
      self->paper,
      "The exponent of the field over one round trip, with <i>N</i> absorbers per volume over the "
      "length <i>l</i> in the round trip, the mole fraction <i>x</i> and abundance <i>a</i>, and "
      "strengths <i>S</i><sub>i</sub> at the temperature of the measurement:");
  faint_paper_equation (self->paper, "κ(ν̃) = \\frac{N l}{2} \\, \\sum_{i} S_i \\, p_i(ν̃) ,\\quad N "
                                     "= \\frac{x a P}{k T}");
  add_abundance (self);
}

static void
add_finesse (FaintReport *self)
{
  faint_paper_paragraph (self->paper,
                         "The amplitude survival <i>s</i> of a round trip, of optical length "
                         "<i>l</i><sub>opt</sub>, follows from the quantity that was measured:");
  faint_paper_equation (
      self->paper,
      "F = \\frac{π \\sqrt{s}}{1 − s} ,\\quad Δf_{\\mathrm{FSR}} = \\frac{c}{l_{\\mathrm{opt}}} "
      ",\\quad δf = \\frac{Δf_{\\mathrm{FSR}}}{F} ,\\quad τ = \\frac{1}{−2 ln s \\, "
      "Δf_{\\mathrm{FSR}}}");
}

static void
add_response (FaintReport *self)
{
  const FaintSetup *setup = self->setup;

  if (setup->geometry == FAINT_GEOMETRY_NONE)
    {
      faint_paper_paragraph (self->paper, "A single pass weakens the field to");
      faint_paper_equation (self->paper, "\\frac{E}{E_{0}} = exp(−κ)");
    }
  else if (setup->coupling == FAINT_COUPLING_LOCKED)
    {
      faint_paper_paragraph (
          self->paper,
          "Teeth locked on their modes, <i>s</i> the amplitude survival of a round trip, Φ the "
          "round-trip phase of the tooth away from its mode, <i>f</i> the share of the absorber "
          "between the couplers (Foltynowicz et al., Appl. Phys. B 110, 163 (2013)):");
      faint_paper_equation (
          self->paper,
          "\\frac{E}{E_{0}} = e^{−f κ} \\, \\frac{1 − s \\, e^{\\mathrm{i}Φ}}{1 − s \\, "
          "e^{\\mathrm{i}Φ} e^{−κ}} ,\\quad Φ = 2 π \\, \\frac{f_n − "
          "f_{\\mathrm{mode}}}{Δf_{\\mathrm{FSR}}}");
      add_finesse (self);
    }
  else
    {
      faint_paper_paragraph (
          self->paper,
          "Teeth swept across their modes, power integrated over the sweep, <i>s</i> "
          "the amplitude survival of a round trip, <i>f</i> the share of the absorber "
          "between the couplers (Adler et al., Annu. Rev. Anal. Chem. 3, 175 (2010)):");
      faint_paper_equation (self->paper,
                            "\\frac{I}{I_{0}} = e^{−2 f Re κ} \\, \\frac{1 − s^{2}}{1 − "
                            "s^{2} e^{−2 Re κ}}");
      add_finesse (self);
    }
}

static const char *
observable_formula (const FaintSetup *setup)
{
  gboolean swept
      = setup->geometry != FAINT_GEOMETRY_NONE && setup->coupling != FAINT_COUPLING_LOCKED;

  if (setup->observable == FAINT_OBSERVABLE_FIELD)
    return "y(ν̃) = b(ν̃) \\, \\frac{E}{E_{0}} ,\\quad b(ν̃) = \\sum_{k} a_k \\, P_k(ν̃)";
  if (setup->observable == FAINT_OBSERVABLE_AMPLITUDE)
    return "y(ν̃) = b(ν̃) \\, \\abs{\\frac{E}{E_{0}}} ,\\quad b(ν̃) = \\sum_{k} a_k \\, P_k(ν̃)";
  return swept ? "y(ν̃) = b(ν̃) \\, \\frac{I}{I_{0}} ,\\quad b(ν̃) = \\sum_{k} a_k \\, P_k(ν̃)"
               : "y(ν̃) = b(ν̃) \\, \\abs{\\frac{E}{E_{0}}}^{2} ,\\quad b(ν̃) = \\sum_{k} a_k \\, "
                 "P_k(ν̃)";
}

static void
add_uncertainty (FaintReport *self)
{
  faint_paper_paragraph (
      self->paper,
      "Uncertainties from noise come from the covariance at the solution. An input <i>q</i> that "
      "was held, with the uncertainty <i>u</i>(<i>q</i>), moves the parameters θ through the whole "
      "fit; what it adds is common to all lines (JCGM 100:2008, 5.1 and 5.2):");
  faint_paper_equation (
      self->paper,
      "\\mathrm{cov}(θ) = {\\big{J^{\\mathrm{T}} W J}}^{−1} ,\\quad "
      "\\frac{\\mathrm{d}θ}{\\mathrm{d}q} "
      "= −{\\big{J^{\\mathrm{T}} W J}}^{−1} J^{\\mathrm{T}} W \\, "
      "\\frac{\\mathrm{∂}y}{\\mathrm{∂}q} ,\\quad u^{2}(θ) = u_{\\mathrm{noise}}^{2} + \\sum_{q} "
      "{\\big{\\frac{\\mathrm{d}θ}{\\mathrm{d}q} u(q)}}^{2}");
}

static void
add_widths (FaintReport *self)
{
  const FaintFit *fit = self->fit;

  if (!isfinite (fit->width_mean))
    return;
  g_autofree char *mean = faint_report_plain (fit->width_mean, 4);
  g_autofree char *spread = faint_report_plain (fit->width_spread, 2);
  g_autofree char *widths = g_strdup_printf (
      "The spread of the Lorentz widths of well-determined lines informs those of faint ones: mean "
      "%s cm⁻¹, standard deviation %s cm⁻¹.",
      mean, spread);
  faint_paper_paragraph (self->paper, widths);
}

static void
add_fit (FaintReport *self)
{
  const FaintFit *fit = self->fit;

  if (fit == NULL)
    return;
  g_autofree char *text = g_strdup_printf (
      "What is observed is this response times a baseline, in each of %zu windows a Legendre "
      "polynomial of degree %u%s:",
      fit->n_windows, fit->options.baseline_degree,
      fit->instrument.n_fringes > 0 ? ", and over all of them the fringes stated above" : "");
  faint_paper_paragraph (self->paper, text);
  faint_paper_equation (self->paper, observable_formula (self->setup));
  faint_paper_paragraph (self->paper,
                         "All lines and baselines were found together by weighted nonlinear least "
                         "squares with an analytic Jacobian <i>J</i>, weights <i>W</i> = "
                         "diag(1/<i>u</i>²), at the minimum of");
  faint_paper_equation (self->paper,
                        "χ^{2}(θ) = \\sum_{n} {\\big{\\frac{y_n − y(ν̃_n; θ)}{u_n}}}^{2}");
  add_uncertainty (self);
  add_widths (self);
}

static void
add_temperature (FaintReport *self)
{
  gboolean any = faint_analysis_get_n_spectra (self->analysis) > 1;

  for (gsize i = 0; i < faint_line_list_get_n (self->lines); i++)
    any = any || isfinite (faint_line_list_get (self->lines, i)->strength_296);
  if (!any)
    return;
  faint_paper_paragraph (
      self->paper,
      "Strengths go over to another temperature, such as 296 K, with the partition sums "
      "<i>Q</i>(<i>T</i>), the lower-state energies <i>E</i>″ and <i>c</i><sub>2</sub> = "
      "<i>hc</i>/<i>k</i> (Rothman et al., JQSRT 60, 665 (1998)):");
  faint_paper_equation (self->paper,
                        "S(T_{0}) = S(T) \\, \\frac{Q(T)}{Q(T_{0})} \\, \\frac{exp(−c_{2} "
                        "E″/T_{0})}{exp(−c_{2} E″/T)} "
                        "\\, \\frac{1 − exp(−c_{2} ν̃_i/T_{0})}{1 − exp(−c_{2} ν̃_i/T)}");
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
  faint_paper_equation (self->paper,
                        "ν̃_i = ν̃_i(0) + \\sum_{k} δ_{i,k} \\, p_k ,\\quad γ_{\\mathrm{L},i} = "
                        "{\\big{\\frac{296 \\, \\mathrm{K}}{T}}}^{n_i} \\sum_{k} γ_{i,k} \\, p_k");
  faint_paper_paragraph (self->paper,
                         "What the conditions do not tell apart is not asked. Uncertainties of "
                         "inputs of one kind are common to all spectra.");
}

void
faint_report_method (FaintReport *self)
{
  faint_paper_heading (self->paper, "Method");
  add_axis (self);
  add_profile (self);
  add_response (self);
  add_series (self);
  add_fit (self);
  add_temperature (self);
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
