/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/lines/record-options.h"

#include <string.h>

#include "faint/base/text.h"
#include "faint/base/words.h"
#include "faint/lines/list-notes.h"

static const struct
{
  const char *key, *meaning;
} keys[] = {
  { "molecule_number", "number of the molecule in records, 1 to 99" },
  { "isotopologue_number", "number of the isotopologue in records, 1 to 9" },
  { "natural_abundance", "of the isotopologue, above 0, at most 1" },
  { "partition_sum_296K", "Q(296 K), for Einstein coefficients; or partition_sums = FILE" },
  { "degeneracy_factor", "weight of a level over 2J+1, as the partition sum counts it" },
  { "foreign_gas", "air: foreign broadening and shift are those by air; other" },
};

void
faint_record_options_init (FaintRecordOptions *self)
{
  *self = (FaintRecordOptions){
    .abundance = NAN, .partition_sum = NAN, .degeneracy_factor = NAN, .temperature = NAN
  };
}

const char *const *
faint_record_option_keys (void)
{
  static const char *const names[] = { "molecule_number",
                                       "isotopologue_number",
                                       "natural_abundance",
                                       "partition_sum_296K",
                                       "degeneracy_factor",
                                       "foreign_gas",
                                       NULL };

  return names;
}

const char *
faint_record_option_meaning (const char *key)
{
  for (gsize i = 0; i < G_N_ELEMENTS (keys); i++)
    if (strcmp (keys[i].key, key) == 0)
      return keys[i].meaning;
  return "";
}

static gboolean
refuse (const char *key, const char *value, const char *format, GError **error)
{
  g_autofree char *sentence = g_strdup_printf (format, key, value);

  g_set_error_literal (error, FAINT_LINES_ERROR, FAINT_LINES_ERROR_VALUE, sentence);
  return FALSE;
}

static gboolean
set_count (int *count, const char *key, const char *text, guint most, GError **error)
{
  guint64 value;

  if (!g_ascii_string_to_unsigned (text, 10, 1, most, &value, NULL))
    return refuse (key, text,
                   most > 9 ? _ ("%s is '%s'; expected a whole number from 1 to 99.")
                            : _ ("%s is '%s'; expected a whole number from 1 to 9."),
                   error);
  *count = (int)value;
  return TRUE;
}

static gboolean
set_number (double *number, const char *key, const char *text, double most, GError **error)
{
  const char *end = text + strlen (text), *after;
  double value;

  if (!faint_text_number (text, end, &value, &after) || after != end || !(value > 0.0)
      || !isfinite (value) || value > most)
    return refuse (key, text,
                   isfinite (most) ? _ ("%s is '%s'; expected a number above 0, at most 1.")
                                   : _ ("%s is '%s'; expected a number above 0."),
                   error);
  *number = value;
  return TRUE;
}

gboolean
faint_record_options_set (FaintRecordOptions *self, const char *key, const char *value,
                          GError **error)
{
  if (strcmp (key, "molecule_number") == 0)
    return set_count (&self->molecule, key, value, 99, error);
  if (strcmp (key, "isotopologue_number") == 0)
    return set_count (&self->isotopologue, key, value, 9, error);
  if (strcmp (key, "natural_abundance") == 0)
    return set_number (&self->abundance, key, value, 1.0, error);
  if (strcmp (key, "partition_sum_296K") == 0)
    return set_number (&self->partition_sum, key, value, INFINITY, error);
  if (strcmp (key, "degeneracy_factor") == 0)
    return set_number (&self->degeneracy_factor, key, value, INFINITY, error);
  if (strcmp (key, "foreign_gas") == 0)
    {
      self->foreign_is_air = strcmp (value, "air") == 0;
      return self->foreign_is_air || strcmp (value, "other") == 0
             || refuse (key, value, _ ("%s is '%s'; expected air or other."), error);
    }
  g_set_error (error, FAINT_LINES_ERROR, FAINT_LINES_ERROR_COLUMN,
               _ ("A record has no key '%s'; it has molecule_number, isotopologue_number, "
                  "natural_abundance, partition_sum_296K, degeneracy_factor and foreign_gas."),
               key);
  return FALSE;
}

void
faint_record_options_take_notes (FaintRecordOptions *self, const GPtrArray *notes)
{
  g_autofree char *temperature = faint_list_notes_get (notes, "temperature");
  g_autofree char *abundance = faint_list_notes_get (notes, "isotopic_abundance");
  FaintQuantity quantity;

  for (gsize i = 0; i < G_N_ELEMENTS (keys); i++)
    {
      g_autofree char *value = faint_list_notes_get (notes, keys[i].key);

      if (value != NULL)
        faint_record_options_set (self, keys[i].key, value, NULL);
    }
  if (temperature != NULL
      && faint_quantity_parse (temperature, FAINT_DIMENSION_TEMPERATURE, &quantity, NULL))
    self->temperature = quantity.value;
  self->pure = abundance != NULL;
}

double
faint_einstein_a (double wavenumber, double strength, double lower_energy, double partition_sum,
                  double abundance, double weight)
{
  const double t = FAINT_REFERENCE_TEMPERATURE_K;
  double absorbing
      = exp (-FAINT_C2_CM_K * lower_energy / t) * -expm1 (-FAINT_C2_CM_K * wavenumber / t);

  return 8.0 * G_PI * FAINT_SPEED_OF_LIGHT_CM_S * wavenumber * wavenumber * partition_sum * strength
         / (abundance * weight * absorbing);
}
