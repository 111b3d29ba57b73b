/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a record of 160 columns states and a line list does not: which molecule and isotopologue,
 * its abundance, partition sum and statistical weights, what the foreign gas is.
 */
#pragma once

#include "faint/lines/line-list.h"

typedef struct
{
  int molecule, isotopologue; /* 0: not known */
  double abundance;           /* natural, of the isotopologue; NAN: not known */
  double partition_sum;       /* Q(296 K); NAN: not known */
  double degeneracy_factor;   /* statistical weight of a level over 2J+1, in the convention of the
                                 partition sum; NAN: not known */
  gboolean foreign_is_air;    /* broadening_foreign and shift_foreign are those by air */
  gboolean pure;              /* strengths are those of the pure isotopologue */
  double temperature;         /* of the strengths, K; NAN: not known */
} FaintRecordOptions;

/* Nothing known. */
void faint_record_options_init (FaintRecordOptions *self);

/* The keys, NULL-terminated: "molecule_number", "isotopologue_number", "natural_abundance",
 * "partition_sum_296K", "degeneracy_factor", "foreign_gas". */
const char *const *faint_record_option_keys (void);
const char *faint_record_option_meaning (const char *key);
/* FAINT_LINES_ERROR_COLUMN for an unknown key, FAINT_LINES_ERROR_VALUE for a wrong value. */
gboolean faint_record_options_set (FaintRecordOptions *self, const char *key, const char *value,
                                   GError **error);
/* Takes from what a list says of itself: the keys above where their values are right, temperature,
 * and whether an isotopic_abundance was divided out. */
void faint_record_options_take_notes (FaintRecordOptions *self, const GPtrArray *notes);

/* Einstein coefficient A, s-1, of a line at @wavenumber (cm-1) of strength @strength at 296 K
 * (cm/molecule) in a gas of @abundance, with @partition_sum at 296 K and upper weight @weight
 * (Simeckova et al., J. Quant. Spectrosc. Radiat. Transfer 98, 130 (2006), eq. 20):
 * A = 8 pi c nu^2 Q S / (I g' exp(-c2 E''/T) (1 - exp(-c2 nu/T))). */
double faint_einstein_a (double wavenumber, double strength, double lower_energy,
                         double partition_sum, double abundance, double weight);
