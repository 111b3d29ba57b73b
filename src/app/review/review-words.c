/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/review/review-words.h"

#include <glib/gi18n.h>
#include <math.h>

#include "faint/review/compared.h"

static const struct
{
  const char *words, *sign;
} verdicts[FAINT_REVIEW_VERDICT_N] = {
  [FAINT_REVIEW_AGREES] = { N_ ("agrees"), "✓" },
  [FAINT_REVIEW_DIFFERS] = { N_ ("differs"), "≠" },
  [FAINT_REVIEW_NOT_SEEN] = { N_ ("not seen"), "✗" },
  [FAINT_REVIEW_NOT_CLAIMED] = { N_ ("not claimed"), "+" },
  [FAINT_REVIEW_UNDECIDED] = { N_ ("undecided"), "?" },
  [FAINT_REVIEW_NOT_EXAMINED] = { N_ ("not examined"), "·" },
};

const char *
faint_review_verdict_in_words (FaintReviewVerdict verdict)
{
  return _ (verdicts[verdict].words);
}

const char *
faint_review_verdict_sign (FaintReviewVerdict verdict)
{
  return verdicts[verdict].sign;
}

gboolean
faint_review_verdict_stands_out (FaintReviewVerdict verdict)
{
  return verdict == FAINT_REVIEW_DIFFERS || verdict == FAINT_REVIEW_NOT_SEEN
         || verdict == FAINT_REVIEW_NOT_CLAIMED;
}

static char *
count_in_words (FaintReviewVerdict verdict, gsize n)
{
  switch (verdict)
    {
    case FAINT_REVIEW_AGREES:
      /* Translators: of lines, as the five that follow */
      return g_strdup_printf (ngettext ("%zu agrees", "%zu agree", n), n);
    case FAINT_REVIEW_DIFFERS:
      return g_strdup_printf (ngettext ("%zu differs", "%zu differ", n), n);
    case FAINT_REVIEW_NOT_SEEN:
      return g_strdup_printf (ngettext ("%zu not seen", "%zu not seen", n), n);
    case FAINT_REVIEW_NOT_CLAIMED:
      return g_strdup_printf (ngettext ("%zu not claimed", "%zu not claimed", n), n);
    case FAINT_REVIEW_UNDECIDED:
      return g_strdup_printf (ngettext ("%zu undecided", "%zu undecided", n), n);
    default:
      return g_strdup_printf (ngettext ("%zu not examined", "%zu not examined", n), n);
    }
}

char *
faint_review_counts_in_words (const FaintReview *review)
{
  GString *text = g_string_new (NULL);

  for (guint v = 0; v < FAINT_REVIEW_VERDICT_N; v++)
    if (review->counts[v] > 0)
      {
        g_autofree char *count = count_in_words (v, review->counts[v]);

        g_string_append_printf (text, "%s%s", text->len > 0 ? ", " : "", count);
      }
  return g_string_free (text, FALSE);
}

double
faint_review_line_en (const FaintReviewLine *line, guint parameter)
{
  for (guint i = 0; i < line->values->len; i++)
    {
      const FaintReviewValue *value = &g_array_index (line->values, FaintReviewValue, i);

      if (value->parameter == parameter)
        return value->stated.en;
    }
  return NAN;
}

static const char *
coefficient_in_words (guint parameter)
{
  switch (parameter - FAINT_PLACE_N)
    {
    case FAINT_COEFFICIENT_BROADENING_SELF:
      return _ ("Self broadening");
    case FAINT_COEFFICIENT_BROADENING_FOREIGN:
      return _ ("Foreign broadening");
    case FAINT_COEFFICIENT_BROADENING_MIXTURE:
      return _ ("Broadening");
    case FAINT_COEFFICIENT_SHIFT_SELF:
      return _ ("Self shift");
    case FAINT_COEFFICIENT_SHIFT_FOREIGN:
      return _ ("Foreign shift");
    case FAINT_COEFFICIENT_SHIFT_MIXTURE:
      return _ ("Shift");
    case FAINT_COEFFICIENT_WIDTH_EXPONENT:
      return _ ("Temperature exponent of the width");
    case FAINT_COEFFICIENT_POSITION_ZERO:
      return _ ("Position at zero pressure");
    default:
      return faint_compared_name (parameter);
    }
}

const char *
faint_review_parameter_in_words (guint parameter)
{
  switch (parameter)
    {
    case FAINT_PLACE_POSITION:
      return _ ("Position");
    case FAINT_PLACE_STRENGTH:
      return _ ("Strength");
    case FAINT_PLACE_LORENTZ:
      return _ ("Lorentz width");
    case FAINT_PLACE_DOPPLER:
      return _ ("Doppler width");
    case FAINT_COMPARED_STRENGTH_296:
      return _ ("Strength at 296 K");
    case FAINT_COMPARED_LOWER_ENERGY:
      return _ ("Lower-state energy");
    default:
      return coefficient_in_words (parameter);
    }
}
