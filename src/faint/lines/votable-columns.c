/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the columns of a list mean in the words of the Virtual Observatory.
 */
#include <string.h>

#include "faint/lines/votable-private.h"

#define PRESSURE_LAW ", half width at half maximum at 296 K per pressure"

static const FaintVotableColumn columns[] = {
  { "id", "meta.id;meta.main", "Number of the line, unique in this list" },
  { "position", "em.wavenumber;spect.line",
    "Vacuum wavenumber of the line at the pressure of the measurement" },
  { "u(position)", "stat.error;em.wavenumber", "Combined standard uncertainty of position" },
  { "frequency", "em.freq;spect.line", "The position as a frequency" },
  { "u(frequency)", "stat.error;em.freq", "Combined standard uncertainty of frequency" },
  { "strength", "spect.line.strength",
    "Line strength per molecule at the temperature of the measurement" },
  { "u(strength)", "stat.error;spect.line.strength", "Combined standard uncertainty of strength" },
  { "u_noise(strength)", "stat.error;spect.line.strength",
    "Part of u(strength) from noise, independent from line to line" },
  { "strength_296K", "spect.line.strength", "Line strength per molecule at 296 K" },
  { "lorentz_hwhm", "spect.line.width", "Lorentz half width at half maximum" },
  { "u(lorentz_hwhm)", "stat.error;spect.line.width",
    "Combined standard uncertainty of lorentz_hwhm" },
  { "doppler_hwhm", "spect.line.width", "Doppler half width at half maximum" },
  { "u(doppler_hwhm)", "stat.error;spect.line.width",
    "Combined standard uncertainty of doppler_hwhm" },
  { "lower_energy", "phys.energy;phys.atmol.initial;phys.atmol.level",
    "Energy of the lower state as a wavenumber" },
  { "u(lower_energy)", "stat.error;phys.energy", "Combined standard uncertainty of lower_energy" },
  { "upper", "meta.id;phys.atmol.final", "Label of the upper state" },
  { "lower", "meta.id;phys.atmol.initial", "Label of the lower state" },
  { "snr", "stat.snr", "Strength over its uncertainty from noise" },
  { "window", "meta.id.part", "Number of the window of the fit; empty for none" },
  { "chi2_reduced", "stat.fit.chi2", "Reduced chi-square of that window" },
  { "flags", "meta.code", "Words joined by blanks that say how the line was fitted" },
  { "remark", "meta.note", "Free text" },
  { "u(strength_296K)", "stat.error;spect.line.strength",
    "Combined standard uncertainty of strength_296K" },
  { "u_noise(position)", "stat.error;em.wavenumber",
    "Part of u(position) from noise, independent from line to line" },
  { "u_noise(lorentz_hwhm)", "stat.error;spect.line.width",
    "Part of u(lorentz_hwhm) from noise, independent from line to line" },
  { "peak_absorption", "phys.absorption;stat.max", "1 minus the value at the centre of the line" },
  { "u_common(position)", "stat.error;em.wavenumber",
    "Part of u(position) that the lines have in common" },
  { "u_common(strength)", "stat.error;spect.line.strength",
    "Part of u(strength) that the lines have in common" },
  { "u_common(lorentz_hwhm)", "stat.error;spect.line.width",
    "Part of u(lorentz_hwhm) that the lines have in common" },
  { "U(position)", "stat.error;em.wavenumber", "Expanded uncertainty of position" },
  { "U(strength)", "stat.error;spect.line.strength", "Expanded uncertainty of strength" },
  { "profile", "meta.code", "Profile of the line; voigt when empty" },
  { "speed_width", "spect.line.width", "Quadratic dependence of the width on the speed" },
  { "speed_shift", "phys.atmol.lineShift", "Quadratic dependence of the shift on the speed" },
  { "velocity_changing", "spect.line.width", "Rate of velocity-changing collisions" },
  { "correlation", "stat.correlation",
    "Correlation of velocity-changing and dephasing collisions, 0 to 1" },
  { "broadening_self", "spect.line.width", "Self broadening" PRESSURE_LAW },
  { "broadening_foreign", "spect.line.width", "Broadening by all else" PRESSURE_LAW },
  { "broadening_mixture", "spect.line.width", "Broadening by the mixture measured" PRESSURE_LAW },
  { "shift_self", "phys.atmol.lineShift", "Shift of the position per pressure of the absorber" },
  { "shift_foreign", "phys.atmol.lineShift", "Shift of the position per pressure of all else" },
  { "shift_mixture", "phys.atmol.lineShift", "Shift of the position per total pressure" },
  { "width_exponent", "arith.factor", "n: at constant pressure the width goes as (296 K/T)^n" },
  { "position_zero", "em.wavenumber", "Vacuum wavenumber at zero pressure" },
  { "ties", "meta.code", "Parameters that follow those of another line" },
};

/* Of an uncertainty that has no row of its own: that of what it belongs to. */
static const FaintVotableColumn uncertainty
    = { NULL, "stat.error", "Combined standard uncertainty of the quantity in parentheses" };

const FaintVotableColumn *
faint_votable_column (const char *name)
{
  for (gsize i = 0; i < G_N_ELEMENTS (columns); i++)
    if (strcmp (columns[i].column, name) == 0)
      return &columns[i];
  return &uncertainty;
}

const char *
faint_votable_unit (FaintCsvUnit unit, double *scale)
{
  *scale = 1.0;
  switch (unit)
    {
    case FAINT_CSV_UNIT_WAVENUMBER:
      return "cm**-1";
    case FAINT_CSV_UNIT_FREQUENCY:
      return "MHz";
    case FAINT_CSV_UNIT_STRENGTH:
      return "cm";
    case FAINT_CSV_UNIT_COEFFICIENT:
      *scale = 101325.0; /* Pa in an atmosphere, exact (SI Brochure, 8th edition, table 8) */
      return "cm**-1.Pa**-1";
    case FAINT_CSV_UNIT_NONE:
    default:
      return NULL;
    }
}

static gboolean
has_words (const char *ucd, const char *const *words)
{
  g_auto (GStrv) parts = g_strsplit (ucd, ";", -1);

  for (; *words != NULL; words++)
    {
      gboolean found = FALSE;
      for (char **part = parts; *part != NULL && !found; part++)
        found = g_ascii_strcasecmp (g_strstrip (*part), *words) == 0;
      if (!found)
        return FALSE;
    }
  return TRUE;
}

const FaintCsvColumn *
faint_votable_column_of_ucd (const char *ucd)
{
  static const struct
  {
    const char *column, *words[3];
  } rules[] = {
    { "u(position)", { "stat.error", "em.wavenumber" } },
    { "u(frequency)", { "stat.error", "em.freq" } },
    { "u(strength)", { "stat.error", "spect.line.strength" } },
    { "lower_energy", { "phys.energy", "phys.atmol.initial" } },
    { "position", { "em.wavenumber" } },
    { "frequency", { "em.freq" } },
    { "position", { "em.wl" } },
    { "strength", { "spect.line.strength" } },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rules); i++)
    if (has_words (ucd, rules[i].words))
      return has_words (ucd, (const char *const[]){ "stat.error", NULL })
                     && strchr (rules[i].column, '(') == NULL
                 ? NULL
                 : faint_csv_column_find (rules[i].column);
  return NULL;
}
