/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/what-if/what-if-words.h"

#include <glib/gi18n.h>

static void
add_sentence (GString *text, gsize n, const char *format)
{
  if (n == 0)
    return;
  if (text->len > 0)
    g_string_append_c (text, '\n');
  g_string_append_printf (text, format, (guint)n);
}

char *
faint_what_if_kept_in_words (const FaintWhatIfKept *kept, gboolean exact)
{
  GString *text = g_string_new (NULL);

  if (kept->sums_range)
    g_string_append (text, _ ("The partition sums do not reach to this temperature."));
  add_sentence (
      text, kept->strength,
      ngettext (
          "The strength of %u line stays: its lower-state energy or the partition sums are not "
          "known.",
          "The strengths of %u lines stay: their lower-state energy or the partition sums are not "
          "known.",
          kept->strength));
  add_sentence (
      text, kept->width_temperature,
      ngettext (
          "The Lorentz width of %u line does not follow the temperature: its exponent is not "
          "known.",
          "The Lorentz widths of %u lines do not follow the temperature: their exponent is not "
          "known.",
          kept->width_temperature));
  add_sentence (
      text, kept->width_composition,
      ngettext (
          "The Lorentz width of %u line does not follow the mole fraction: its broadening by "
          "itself "
          "and by others is not known.",
          "The Lorentz widths of %u lines do not follow the mole fraction: their broadening by "
          "themselves and by others is not known.",
          kept->width_composition));
  add_sentence (text, kept->position,
                ngettext ("%u line is not shifted: its shift coefficient is not known.",
                          "%u lines are not shifted: their shift coefficients are not known.",
                          kept->position));
  if (!exact)
    {
      if (text->len > 0)
        g_string_append_c (text, '\n');
      g_string_append (text, _ ("A finesse over the span comes from its file and cannot be taken "
                                "over; edit the file."));
    }
  return g_string_free (text, FALSE);
}
