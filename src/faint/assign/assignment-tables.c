/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/assign/assignment-tables.h"

#include "faint/base/quantity.h"

#include <math.h>
#include <string.h>

/* RFC 4180, section 2. */
static void
append_text (GString *out, const char *text)
{
  if (strpbrk (text, ",\"\r\n") == NULL)
    {
      g_string_append (out, text);
      return;
    }
  g_string_append_c (out, '"');
  for (const char *c = text; *c != '\0'; c++)
    {
      if (*c == '"')
        g_string_append_c (out, '"');
      g_string_append_c (out, *c);
    }
  g_string_append_c (out, '"');
}

/* A comma, then the number; nothing where it is not known. */
static void
append_number (GString *out, double value)
{
  g_autofree char *text = isfinite (value) ? faint_format_double (value) : NULL;

  g_string_append_c (out, ',');
  if (text != NULL)
    g_string_append (out, text);
}

/* The same with few digits. */
static void
append_short (GString *out, const char *format, double value)
{
  char text[40];

  g_string_append_c (out, ',');
  if (isfinite (value))
    g_string_append (out, g_ascii_formatd (text, sizeof text, format, value));
}

static const char *
band_name (const FaintAssignment *self, guint band)
{
  const char *name = g_array_index (self->bands, FaintAssignedBand, band).name;

  return *name != '\0' ? name : "1";
}

static void
append_transition (GString *out, const FaintAssignment *self, guint band, FaintBranch branch,
                   int j_lower)
{
  g_string_append_c (out, ',');
  append_text (out, band_name (self, band));
  g_string_append_printf (out, ",%c,%d,%d", faint_branch_letter (branch), j_lower,
                          faint_branch_m (branch, j_lower));
}

static void
append_line (GString *out, const FaintAssignment *self, const FaintAssigned *it)
{
  g_string_append_printf (out, "%u", it->id);
  append_number (out, it->line.nu);
  append_number (out, it->line.u);
  g_string_append_c (out, ',');
  append_text (out, it->upper);
  g_string_append_c (out, ',');
  append_text (out, it->lower);
  append_transition (out, self, it->band, it->line.branch,
                     faint_branch_lower_j (it->line.branch, it->line.j));
  append_number (out, it->calculated);
  append_short (out, "%.3e", it->line.nu - it->calculated);
  g_string_append_printf (out, ",%s,%s", it->fitted ? "yes" : "no",
                          faint_band_verdict_name (it->verdict));
  append_short (out, "%.3e", it->shift);
  g_string_append_printf (out, ",%s,%u", faint_assigned_by_name (it->by), it->partners);
  append_short (out, "%.2f", it->misfit);
  append_number (out, it->expected);
  append_short (out, "%.2e", it->u_expected);
  append_short (out, "%.1f", it->odds);
  append_short (out, "%.1f", it->margin);
  append_short (out, "%.3f", it->strength_ratio);
  append_short (out, "%.2f", it->energy_misfit);
  g_string_append_c (out, '\n');
}

char *
faint_assignment_lines_csv (const FaintAssignment *self)
{
  GString *out = g_string_new (
      "# assignment of lines with its evidence; the columns are described in docs/formats.md\n");

  g_string_append_printf (out, "# combination_differences = %u\n", self->n_candidates);
  g_string_append (out, "# combination_differences_by_chance = ");
  {
    char text[40];

    g_string_append (out, isfinite (self->chance)
                              ? g_ascii_formatd (text, sizeof text, "%.1f", self->chance)
                              : "");
  }
  g_string_append (out, "\nid,position/cm-1,u_noise(position)/cm-1,upper,lower,band,branch,J_lower,"
                        "m,calculated/cm-1,observed_minus_calculated/cm-1,fitted,verdict,"
                        "shift/cm-1,by,partners,partner_misfit,expected/cm-1,u(expected)/cm-1,"
                        "ln_odds,ln_margin,strength_ratio,lower_energy_misfit\n");
  for (guint i = 0; i < self->lines->len; i++)
    append_line (out, self, &g_array_index (self->lines, FaintAssigned, i));
  return g_string_free (out, FALSE);
}

/* "B':-0.971 D':0.893": with the constants before it. */
static void
append_correlations (GString *out, const FaintBand *band, guint index)
{
  for (guint k = 0; k < index; k++)
    {
      char text[40];

      g_string_append_printf (out, "%s%s:%s", k > 0 ? "; " : "",
                              g_array_index (band->constants, FaintBandConstant, k).name,
                              g_ascii_formatd (text, sizeof text, "%.4f",
                                               faint_linear_fit_correlation (band->fit, index, k)));
    }
}

static void
append_constants (GString *out, const char *name, const FaintBand *band, const char *source)
{
  for (guint i = 0; i < band->constants->len; i++)
    {
      const FaintBandConstant *it = &g_array_index (band->constants, FaintBandConstant, i);
      g_autofree char *concise = faint_format_concise (it->value, it->u);

      append_text (out, name);
      g_string_append_c (out, ',');
      append_text (out, it->name);
      append_number (out, it->value);
      append_number (out, it->u);
      g_string_append_printf (out, ",cm-1,%s,%s,", concise, source);
      append_correlations (out, band, i);
      g_string_append_c (out, '\n');
    }
}

static void
append_value (GString *out, const char *name, const char *quantity, double value, double u,
              const char *unit)
{
  g_autofree char *concise = faint_format_concise (value, u);

  if (!isfinite (value))
    return;
  append_text (out, name);
  g_string_append_printf (out, ",%s", quantity);
  append_number (out, value);
  append_number (out, u);
  g_string_append_printf (out, ",%s,%s,strengths,\n", unit, concise);
}

char *
faint_assignment_constants_csv (const FaintAssignment *self)
{
  GString *out
      = g_string_new ("# constants of bands; u is scaled by the scatter of the lines where "
                      "that is above what their uncertainties say\n"
                      "band,constant,value,u(value),unit,concise,from,correlations\n");

  for (guint i = 0; i < self->bands->len; i++)
    {
      const FaintAssignedBand *it = &g_array_index (self->bands, FaintAssignedBand, i);
      const FaintIntensities *strengths = &it->intensities;
      const char *name = band_name (self, i);

      append_constants (out, name, it->band, "positions");
      if (it->lower != NULL)
        append_constants (out, name, it->lower, "differences");
      append_value (out, name, "band_strength", strengths->band_strength,
                    strengths->u_band_strength, "cm/molecule");
      if (isfinite (strengths->u_a1))
        append_value (out, name, "herman_wallis_a1", strengths->a1, strengths->u_a1, "1");
      if (isfinite (strengths->u_a2))
        append_value (out, name, "herman_wallis_a2", strengths->a2, strengths->u_a2, "1");
    }
  return g_string_free (out, FALSE);
}

char *
faint_assignment_predictions_csv (const FaintAssignment *self)
{
  GString *out = g_string_new (
      "# lines that the constants foretell and the list does not have\n"
      "upper,lower,band,branch,J_lower,m,position/cm-1,u(position)/cm-1,strength/(cm/molecule),"
      "u(strength)/(cm/molecule),over_weakest,inside\n");

  for (guint i = 0; i < self->predicted->len; i++)
    {
      const FaintPredicted *it = &g_array_index (self->predicted, FaintPredicted, i);
      const FaintLadder *ladder = g_ptr_array_index (self->ladders, it->ladder);
      g_autofree char *upper = faint_assignment_upper_label (self, it->band, it->ladder, it->j);

      append_text (out, upper);
      g_string_append_c (out, ',');
      append_text (out, faint_ladder_lower (ladder, self->levels, it->branch, it->j)->label);
      append_transition (out, self, it->band, it->branch, faint_branch_lower_j (it->branch, it->j));
      append_number (out, it->position);
      append_short (out, "%.2e", it->u);
      append_short (out, "%.4e", it->strength);
      append_short (out, "%.1e", it->u_strength);
      append_short (out, "%.2f", it->over_limit);
      g_string_append_printf (out, ",%s\n", it->inside ? "yes" : "no");
    }
  return g_string_free (out, FALSE);
}
