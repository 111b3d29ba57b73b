/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * First page: what was measured, under which conditions, and what came out.
 */
#include "figure/report-private.h"

#include "faint/cavity/finesse.h"
#include "faint/cavity/response.h"
#include "faint/spectrum/comb.h"

#include <math.h>

void
faint_report_pair (FaintReport *self, const char *name, const char *format, ...)
{
  va_list arguments;
  va_start (arguments, format);
  g_autofree char *text = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_autofree char *markup = faint_paper_escape (text);
  faint_paper_pair (self->paper, name, markup);
}

static void
add_quantity (FaintReport *self, const char *name, FaintQuantity quantity)
{
  g_autofree char *text = faint_report_quantity (quantity, NULL);
  if (text != NULL)
    faint_report_pair (self, name, "%s", text);
}

static void
add_title (FaintReport *self)
{
  g_autofree char *title = faint_paper_escape (faint_analysis_get_title (self->analysis));
  gsize n = faint_analysis_get_n_spectra (self->analysis);
  g_autofree char *what = n > 1 ? g_strdup_printf ("%zu cavity-enhanced spectra", n)
                                : g_strdup ("a cavity-enhanced spectrum");
  g_autofree char *subtitle
      = g_strdup_printf ("Report of a line analysis of %s%s%s", what,
                         self->date != NULL ? ", " : "", self->date != NULL ? self->date : "");
  faint_paper_title (self->paper, title);
  faint_paper_paragraph (self->paper, subtitle);
}

static const char *
observable_words (FaintObservable observable)
{
  switch (observable)
    {
    case FAINT_OBSERVABLE_POWER:
      return "power transmission |E/E₀|²";
    case FAINT_OBSERVABLE_AMPLITUDE:
      return "field amplitude |E/E₀|";
    case FAINT_OBSERVABLE_FIELD:
      break;
    }
  return "complex field E/E₀, amplitude and phase";
}

static void
add_measurement (FaintReport *self)
{
  const FaintSpectrum *spectrum = self->spectrum;
  double first = spectrum->wavenumber[0], last = spectrum->wavenumber[spectrum->n - 1];
  double spacing = faint_spectrum_spacing (spectrum);

  faint_paper_heading (self->paper, "Measurement");
  faint_report_pair (self, "observed", "%s, relative to the empty cavity",
                     observable_words (self->setup->observable));
  faint_report_pair (self, "samples", "%zu, one a tooth; median spacing %.6f cm⁻¹ = %.3f MHz",
                     spectrum->n, spacing, faint_comb_frequency_from_wavenumber (spacing) / 1e6);
  faint_report_pair (self, "span", "%.5f cm⁻¹ to %.5f cm⁻¹ (%.6f THz to %.6f THz)", first, last,
                     spectrum->frequency[0] / 1e12, spectrum->frequency[spectrum->n - 1] / 1e12);
  faint_report_pair (self, "uncertainty of a sample",
                     spectrum->u_estimated ? "estimated from the scatter of neighbouring samples"
                                           : "as recorded in the input");
  add_quantity (self, "recording time", self->setup->recording_time);
}

static void
add_conditions (FaintReport *self)
{
  const FaintSetup *setup = self->setup;

  faint_paper_heading (self->paper, "Conditions");
  add_quantity (self, "temperature", setup->temperature);
  add_quantity (self, "pressure", setup->pressure);
  add_quantity (self, "mole fraction", setup->mole_fraction);
  if (faint_quantity_is_known (setup->abundance))
    add_quantity (self, "isotopic abundance", setup->abundance);
  else
    faint_report_pair (self, "isotopic abundance",
                       "taken as 1, none is stated: strengths are those of the gas as it is, "
                       "isotopologues together");
  add_quantity (self, "molar mass", setup->molar_mass);
  if (!faint_quantity_is_known (setup->temperature) && !faint_quantity_is_known (setup->pressure)
      && !faint_quantity_is_known (setup->mole_fraction))
    faint_paper_paragraph (self->paper, "None stated.");
  if (!faint_quantity_is_known (setup->temperature) || !faint_quantity_is_known (setup->pressure))
    return;
  double absorbers
      = faint_number_density (setup->pressure.value, setup->temperature.value)
        * (faint_quantity_is_known (setup->mole_fraction) ? setup->mole_fraction.value : 1.0)
        * (faint_quantity_is_known (setup->abundance) ? setup->abundance.value : 1.0);
  g_autofree char *density = faint_report_plain (absorbers, 6);
  faint_report_pair (self, "absorbers", "N = %s molecules/cm³", density);
}

static void
add_comb (FaintReport *self)
{
  const FaintSetup *setup = self->setup;
  gsize n = self->spectrum->n;

  if (!faint_quantity_is_known (setup->repetition_rate))
    return;
  faint_paper_heading (self->paper, "Comb");
  add_quantity (self, "repetition rate", setup->repetition_rate);
  add_quantity (self, "offset frequency", setup->offset_frequency);
  if (self->spectrum->tooth != NULL && n > 0)
    faint_report_pair (self, "teeth", "%" G_GINT64_FORMAT " to %" G_GINT64_FORMAT,
                       self->spectrum->tooth[0], self->spectrum->tooth[n - 1]);
}

static const char *
mirror_words (FaintMirrorKind kind)
{
  static const char *const words[] = {
    [FAINT_MIRROR_UNKNOWN] = NULL,
    [FAINT_MIRROR_FINESSE] = "finesse, as stated",
    [FAINT_MIRROR_REFLECTIVITY] = "mirror reflectivity, as stated",
    [FAINT_MIRROR_RING_DOWN_TIME] = "ring-down time, as stated",
    [FAINT_MIRROR_LINEWIDTH] = "mode width (FWHM), as stated",
    [FAINT_MIRROR_TABLE] = NULL,
  };
  return words[kind];
}

/* What follows from the mirrors in the middle of the span. */
static void
add_derived (FaintReport *self)
{
  const FaintSetup *setup = self->setup;
  double middle = 0.5 * (self->data->across.lower + self->data->across.upper), loss, u_loss;

  if (!faint_cavity_loss_fill (setup, &middle, 1, &loss, &u_loss, NULL, NULL)
      || !faint_quantity_is_known (setup->cavity_length))
    return;
  double fsr = faint_cavity_free_spectral_range (setup->geometry, setup->cavity_length.value);
  double finesse = faint_cavity_finesse_from_loss (loss);
  /* dF/d(loss) = -F (1/loss + 1/(2 s)), s = 1 - loss, from F = pi sqrt(s)/(1 - s). */
  double u_finesse = finesse * (1.0 / loss + 0.5 / (1.0 - loss)) * u_loss;
  FaintResponse response = faint_response_of (setup);
  double length = faint_response_absorber_round_trip (setup);
  g_autofree char *number = faint_report_number (finesse, u_finesse);
  g_autofree char *path = faint_report_plain (
      length * faint_cavity_enhancement (setup->coupling, loss, response.output_share) / 1e5, 5);

  faint_report_pair (self, "finesse at the span's centre", "%s", number);
  faint_report_pair (self, "free spectral range",
                     "%.6f MHz; mode width (FWHM) %.3f kHz; ring-down time "
                     "%.3f µs",
                     fsr / 1e6, faint_cavity_airy_linewidth (loss, fsr) / 1e3,
                     faint_cavity_ring_down_from_loss (loss, fsr) * 1e6);
  faint_report_pair (self, "effective path", "%s km in the limit of weak absorption", path);
}

static void
add_cavity (FaintReport *self)
{
  static const char *const geometry[] = { "standing wave", "ring", "none: single pass" };
  const FaintSetup *setup = self->setup;
  const char *mirror = mirror_words (setup->mirror_kind);

  faint_paper_heading (self->paper, "Cavity");
  if (setup->geometry == FAINT_GEOMETRY_NONE)
    faint_report_pair (self, "geometry", "%s", geometry[setup->geometry]);
  else
    faint_report_pair (self, "geometry", "%s, teeth %s", geometry[setup->geometry],
                       setup->coupling == FAINT_COUPLING_LOCKED ? "locked on the modes"
                                                                : "swept across the modes");
  add_quantity (self, setup->geometry == FAINT_GEOMETRY_NONE ? "path" : "length",
                setup->cavity_length);
  add_quantity (self, "absorber's length", setup->absorber_length);
  if (setup->mirror_kind == FAINT_MIRROR_TABLE)
    {
      g_autofree char *name = g_path_get_basename (setup->finesse_table);
      faint_report_pair (self, "finesse over the span", "%u rows, %s", setup->table_wavenumber->len,
                         name);
    }
  else if (mirror != NULL)
    add_quantity (self, mirror, setup->mirror);
  add_quantity (self, "tooth minus mode", setup->tooth_detuning);
  add_quantity (self, "its slope", setup->tooth_detuning_slope);
  if (setup->geometry != FAINT_GEOMETRY_NONE)
    add_derived (self);
}

static void
count_lines (const FaintLineList *lines, gsize *in_model, gsize *doubtful)
{
  *in_model = *doubtful = 0;
  for (gsize i = 0; i < faint_line_list_get_n (lines); i++)
    {
      guint flags = faint_line_list_get (lines, i)->flags;
      *in_model += !(flags & FAINT_LINE_EXCLUDED);
      *doubtful += (flags & (FAINT_LINE_NOT_DETERMINED | FAINT_LINE_NOT_CONVERGED)) != 0;
    }
}

void
faint_report_noise (FaintReport *self)
{
  const FaintFit *fit = self->fit;
  g_autofree char *tooth = faint_report_plain (fit->noise_equivalent_absorption, 3);

  if (!isfinite (fit->noise_equivalent_absorption))
    return;
  if (isfinite (fit->noise_equivalent_absorption_root))
    {
      g_autofree char *root = faint_report_plain (fit->noise_equivalent_absorption_root, 3);
      faint_report_pair (
          self, "noise-equivalent absorption",
          "%s cm⁻¹ (one standard deviation, a tooth); %s cm⁻¹ Hz⁻¹ᐟ² per spectral element", tooth,
          root);
    }
  else
    faint_report_pair (self, "noise-equivalent absorption",
                       "%s cm⁻¹ (one standard deviation, a tooth)", tooth);
}

/* Windows of all spectra. */
static gsize
count_windows (const FaintAnalysis *analysis)
{
  gsize n = 0;

  for (gsize i = 0; i < faint_analysis_get_n_spectra (analysis); i++)
    n += faint_analysis_get_fit_at (analysis, i)->n_windows;
  return n;
}

static void
add_search (FaintReport *self)
{
  const FaintFit *fit = self->fit;
  g_autofree char *count = faint_report_plain (fit->false_finds_expected, 2);
  g_autofree char *false_finds
      = isfinite (fit->false_finds_expected)
            ? g_strdup_printf ("; false finds expected in pure noise over this span: %s", count)
            : g_strdup ("");

  if (faint_analysis_get_found (self->analysis))
    faint_report_pair (self, "search", "threshold %g standard deviations%s", fit->options.threshold,
                       false_finds);
  else
    faint_report_pair (self, "search",
                       "none in this fit: it began with lines that were there already");
}

static void
add_numbers (FaintReport *self)
{
  FaintAnalysisResult result;
  gsize in_model, doubtful;

  faint_analysis_get_result (self->analysis, &result);
  count_lines (self->lines, &in_model, &doubtful);
  g_autofree char *distance = faint_report_plain (result.distance, 2);
  g_autofree char *chi2 = faint_report_plain (result.chi2_reduced, 5);
  faint_report_pair (self, "verdict",
                     "%s after %u iterations; remaining distance to the optimum %s of a "
                     "standard uncertainty",
                     faint_verdict_name (result.verdict), result.iterations, distance);
  if (!faint_analysis_fit_is_current (self->analysis))
    faint_report_pair (self, "",
                       "Lines, conditions or settings were changed after this fit: the numbers "
                       "below do not belong together.");
  faint_report_pair (self, "lines", "%zu in the model, %zu of them not determined or not converged",
                     in_model, doubtful);
  faint_report_pair (self, "reduced chi-square", "%s with %.0f degrees of freedom, %zu windows",
                     chi2, result.dof, count_windows (self->analysis));
}

static void
add_result (FaintReport *self)
{
  faint_paper_heading (self->paper, "Result");
  if (self->fit == NULL)
    {
      faint_paper_paragraph (self->paper,
                             "Nothing was fitted. The report holds what was measured.");
      return;
    }
  add_numbers (self);
  if (faint_analysis_get_n_spectra (self->analysis) == 1)
    faint_report_noise (self);
  add_search (self);
}

void
faint_report_spectrum (FaintReport *self)
{
  if (self->spectrum->n > 0)
    add_measurement (self);
  add_conditions (self);
  add_comb (self);
  add_cavity (self);
  faint_report_instrument (self);
}

void
faint_report_front (FaintReport *self)
{
  gsize n = faint_analysis_get_n_spectra (self->analysis);

  add_title (self);
  add_result (self);
  faint_paper_contents (self->paper, self->contents);
  if (n > 1)
    faint_report_spectrum_head (self);
  faint_report_spectrum (self);
  faint_paper_space (self->paper, 8.0);
  faint_paper_note (self->paper,
                    "A number in parentheses is the standard uncertainty in units of the last "
                    "digits shown (JCGM 100:2008, 7.2.2). Wavenumbers are vacuum wavenumbers; "
                    "widths are half widths at half maximum.");
}
