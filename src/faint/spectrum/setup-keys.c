/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The one table of keys.
 */
#include "faint/spectrum/setup-private.h"

#include <string.h>

#include "faint/base/words.h"

/* clang-format off */
#define QUANTITY(key, dimension, meaning) \
  { key, FAINT_SETUP_KIND_QUANTITY, FAINT_DIMENSION_ ## dimension, NULL, meaning }
#define CHOICE(key, choices, meaning) \
  { key, FAINT_SETUP_KIND_CHOICE, FAINT_DIMENSION_NUMBER, choices, meaning }
#define OTHER(key, kind, meaning) \
  { key, FAINT_SETUP_KIND_ ## kind, FAINT_DIMENSION_NUMBER, NULL, meaning }

static const FaintSetupKey keys[] = {
  OTHER ("title", TEXT, "what the record is, in one line"),
  CHOICE ("observable", "power|amplitude|field", "what a tooth's sample is"),
  QUANTITY ("temperature", TEMPERATURE, "of the gas"),
  QUANTITY ("pressure", PRESSURE, "of the gas, total"),
  QUANTITY ("mole_fraction", NUMBER, "of the absorbing species"),
  QUANTITY ("isotopic_abundance", NUMBER,
            "of the isotopologue, where strengths are to refer to the pure one"),
  QUANTITY ("molar_mass", MOLAR_MASS, "of the absorbing isotopologue"),
  QUANTITY ("recording_time", TIME, "of the whole record"),
  OTHER ("partition_sums", FILE, "file with a table of Q(T)"),
  QUANTITY ("repetition_rate", FREQUENCY, "of the comb"),
  QUANTITY ("offset_frequency", FREQUENCY, "carrier-envelope offset frequency of the comb"),
  CHOICE ("cavity", "standing-wave|ring|none", "geometry; none is a single pass"),
  CHOICE ("coupling", "locked|swept", "teeth locked on modes, or swept across them"),
  QUANTITY ("cavity_length", LENGTH, "mirror spacing, or a ring's round trip, or a single pass"),
  QUANTITY ("absorber_length", LENGTH, "gas-filled part of the cavity length, all of it by default"),
  QUANTITY ("finesse", NUMBER, "of the empty cavity"),
  QUANTITY ("mirror_reflectivity", NUMBER, "power reflectivity, sqrt(R1 R2)"),
  QUANTITY ("ring_down_time", TIME, "of the empty cavity, 1/e of the power"),
  QUANTITY ("cavity_linewidth", FREQUENCY, "of a mode, full width at half maximum"),
  OTHER ("finesse_table", FILE, "file with the finesse over the span"),
  QUANTITY ("output_share", NUMBER,
            "of the round trip's absorber, the part between input and output coupler; 1/2 by default"),
  QUANTITY ("tooth_detuning", FREQUENCY, "tooth minus mode at the centre of the span"),
  QUANTITY ("tooth_detuning_slope", NUMBER, "change of tooth_detuning with frequency, Hz/Hz"),
  OTHER ("excluded", RANGES, "teeth that no fit uses"),
};

#define FIELD(name) offsetof (FaintSetup, name)

/* In the order of the keys. Ranges in library units; an open end is not allowed itself. */
static const FaintSetupDetail details[G_N_ELEMENTS (keys)] = {
  { FIELD (title) },
  { FIELD (observable) },
  { FIELD (temperature), 0, TRUE, INFINITY, TRUE,
    N_ ("%s: '%s' is not possible; a value above 0 K was expected.") },
  { FIELD (pressure), 0, TRUE, INFINITY, TRUE,
    N_ ("%s: '%s' is not possible; a value above 0 Pa was expected.") },
  { FIELD (mole_fraction), 0, TRUE, 1, FALSE,
    N_ ("%s: '%s' is not possible; a value above 0 and at most 1 was expected.") },
  { FIELD (abundance), 0, TRUE, 1, FALSE,
    N_ ("%s: '%s' is not possible; a value above 0 and at most 1 was expected.") },
  { FIELD (molar_mass), 0, TRUE, INFINITY, TRUE,
    N_ ("%s: '%s' is not possible; a value above 0 g/mol was expected.") },
  { FIELD (recording_time), 0, TRUE, INFINITY, TRUE,
    N_ ("%s: '%s' is not possible; a value above 0 s was expected.") },
  { FIELD (partition_sums) },
  { FIELD (repetition_rate), 0, TRUE, INFINITY, TRUE,
    N_ ("%s: '%s' is not possible; a value above 0 Hz was expected.") },
  { FIELD (offset_frequency), -INFINITY, TRUE, INFINITY, TRUE,
    N_ ("%s: '%s' is not possible; a finite value was expected.") },
  { FIELD (geometry) },
  { FIELD (coupling) },
  { FIELD (cavity_length), 0, TRUE, INFINITY, TRUE,
    N_ ("%s: '%s' is not possible; a value above 0 cm was expected.") },
  { FIELD (absorber_length), 0, TRUE, INFINITY, TRUE,
    N_ ("%s: '%s' is not possible; a value above 0 cm was expected.") },
  { FIELD (mirror), 1, TRUE, FAINT_SETUP_MAX_FINESSE, FALSE,
    N_ ("%s: '%s' is not possible; a value above 1 and at most 1e9 was expected."), FAINT_MIRROR_FINESSE },
  { FIELD (mirror), 0, TRUE, 1, TRUE,
    N_ ("%s: '%s' is not possible; a value above 0 and below 1 was expected."), FAINT_MIRROR_REFLECTIVITY },
  { FIELD (mirror), 0, TRUE, INFINITY, TRUE,
    N_ ("%s: '%s' is not possible; a value above 0 s was expected."), FAINT_MIRROR_RING_DOWN_TIME },
  { FIELD (mirror), 0, TRUE, INFINITY, TRUE,
    N_ ("%s: '%s' is not possible; a value above 0 Hz was expected."), FAINT_MIRROR_LINEWIDTH },
  { FIELD (finesse_table), .mirror_kind = FAINT_MIRROR_TABLE },
  { FIELD (output_share), 0, FALSE, 1, FALSE,
    N_ ("%s: '%s' is not possible; a value from 0 to 1 was expected.") },
  { FIELD (tooth_detuning), -INFINITY, TRUE, INFINITY, TRUE,
    N_ ("%s: '%s' is not possible; a finite value was expected.") },
  { FIELD (tooth_detuning_slope), -INFINITY, TRUE, INFINITY, TRUE,
    N_ ("%s: '%s' is not possible; a finite value was expected.") },
  { FIELD (excluded) },
};
/* clang-format on */

const FaintSetupKey *
faint_setup_keys (gsize *n)
{
  if (n != NULL)
    *n = G_N_ELEMENTS (keys);
  return keys;
}

const FaintSetupKey *
faint_setup_key_find (const char *key)
{
  for (gsize i = 0; i < G_N_ELEMENTS (keys); i++)
    if (g_str_equal (keys[i].key, key))
      return &keys[i];
  return NULL;
}

const FaintSetupDetail *
faint_setup_detail (const FaintSetupKey *key)
{
  return &details[key - keys];
}

const FaintSetupKey *
faint_setup_key_parse (const char *text, gboolean *is_u)
{
  gsize length = strlen (text);

  *is_u = g_str_has_prefix (text, "u(") && text[length - 1] == ')';
  if (*is_u)
    {
      g_autofree char *inner = g_strndup (text + 2, length - 3);
      const FaintSetupKey *key = faint_setup_key_find (inner);

      return key != NULL && key->kind == FAINT_SETUP_KIND_QUANTITY ? key : NULL;
    }
  return faint_setup_key_find (text);
}
