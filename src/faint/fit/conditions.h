/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the conditions of several spectra can tell of a line: which coefficients are asked, and how
 * position, strength and width follow from them in each spectrum.
 */
#pragma once

#include "faint/fit/fit.h"

/* Parameters of a line in a joint fit. */
typedef enum
{
  FAINT_JOINT_POSITION, /* at zero pressure, or at the one pressure there is */
  FAINT_JOINT_SHIFT_A,
  FAINT_JOINT_SHIFT_B,
  FAINT_JOINT_STRENGTH, /* at the reference temperature */
  FAINT_JOINT_ENERGY,
  FAINT_JOINT_BROADENING_A,
  FAINT_JOINT_BROADENING_B,
  FAINT_JOINT_EXPONENT,
  FAINT_JOINT_DOPPLER, /* at the reference temperature, where it is free */
  FAINT_JOINT_FURTHER, /* beyond Voigt, from FAINT_PLACE_SPEED_WIDTH on: at the reference pressure
                        */
  FAINT_JOINT_N = FAINT_JOINT_FURTHER + FAINT_PLACE_N - FAINT_PLACE_SPEED_WIDTH
} FaintJointPlace;

typedef struct
{
  gsize n;
  double *temperature, *pressure, *q; /* of each spectrum: K, atm, Q(T) (1 where not needed) */
  double *part[2];                    /* pressure that the coefficients A and B count */
  guint n_broadening, n_shift;        /* 0 to 2 of A, B are asked */
  FaintCoefficient broadening[2], shift[2];
  guint shifting[2]; /* which of the parts each shift counts; one that never changes is in the
                        position */
  gboolean energies; /* strength at 296 K, energy and width exponent are asked */
  double reference_temperature, reference_pressure, reference_q;
} FaintConditions;

/* Decides from the setups. @partition_sums: n + 1 values or NULL. NULL with an error if the spectra
 * cannot belong together or Q(T) is missing. */
FaintConditions *faint_conditions_new (FaintSpectrum *const *spectra, gsize n,
                                       const double *partition_sums, GError **error);
FaintConditions *faint_conditions_copy (const FaintConditions *self);
void faint_conditions_free (FaintConditions *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintConditions, faint_conditions_free)

#define FAINT_JOINT_SLOPES 4

/* A value in one spectrum and its derivatives with respect to the joint parameters @place. */
typedef struct
{
  double value;
  guint n;
  FaintJointPlace place[FAINT_JOINT_SLOPES];
  double slope[FAINT_JOINT_SLOPES];
} FaintJointValue;

/* Parameter @place of a line under the conditions of spectrum @spectrum; @joint: the line's joint
 * parameters (FAINT_JOINT_N), NAN where not asked. */
FaintJointValue faint_conditions_value (const FaintConditions *self, gsize spectrum,
                                        const double *joint, FaintPlace place);
