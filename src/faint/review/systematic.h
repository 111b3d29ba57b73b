/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a whole list has in common where it differs: a scale of strengths or widths, a shift of
 * positions, and whether they run with the position, the depth of the line or its lower-state
 * energy.
 *
 * A difference d_i (of positions, or of logarithms for what is above 0) is fitted by c_0 + c_1 x_i,
 * weights 1/u_i^2 of what is independent from line to line, begun at the median and repeated
 * without what lies beyond four standard uncertainties. If those that stay scatter more than their
 * uncertainties say, the uncertainty is raised by the root of reduced chi-square (R. T. Birge,
 * Phys. Rev. 40, 207 (1932)). Inputs that are common to all lines go through the same weights.
 */
#pragma once

#include <glib.h>

typedef enum
{
  FAINT_SYSTEMATIC_CONSTANT, /* the same for all lines */
  FAINT_SYSTEMATIC_POSITION, /* x: position, cm-1 */
  FAINT_SYSTEMATIC_DEPTH,    /* x: peak absorption */
  FAINT_SYSTEMATIC_ENERGY,   /* x: lower-state energy, cm-1 */
  FAINT_SYSTEMATIC_N
} FaintSystematicForm;
/* "constant", "position", "depth", "lower-energy". */
const char *faint_systematic_form_name (FaintSystematicForm form);

/* An input of the measurement that would explain a finding. */
typedef struct
{
  char *key;               /* of the setup, "finesse", or "tooth", "saturation", "baseline" */
  double stated, u;        /* in the unit of the words; NAN: not stated */
  double needed, u_needed; /* the value with which claims and spectrum would agree */
  gboolean within;         /* |needed - stated| <= k times their combined uncertainty */
  char *words;             /* one sentence */
} FaintSystematicCause;

typedef struct
{
  guint parameter; /* of review/compared.h */
  FaintSystematicForm form;
  gsize n, n_left_out; /* lines it rests on; those beyond four standard uncertainties */
  /* Claimed less refitted = constant + slope (x - x_mean): of the natural logarithm of strengths,
   * widths and broadening, else in the unit of the parameter. */
  double constant, u_constant;
  double slope, u_slope; /* per unit of x; 0 where the form is constant */
  double x_mean;         /* of the lines by weight, so that the two are not correlated */
  double birge;          /* root of reduced chi-square, at least 1 */
  /* What inputs common to all lines, as stated on either side, may do to the two. */
  double u_common_constant, u_common_slope;
  double *effects;           /* on the constant, of each common input given, with its sign */
  double z, probability;     /* number tested (slope, else constant) over its own uncertainty;
                                two-sided */
  double probability_stated; /* of constant or slope, with what is common too; of two the less
                                probable, twice */
  gboolean beyond;   /* more than stated uncertainties leave room for, at the confidence asked */
  GPtrArray *causes; /* FaintSystematicCause */
  char *words;
} FaintSystematic;

FaintSystematic *faint_systematic_new (void);
void faint_systematic_free (FaintSystematic *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintSystematic, faint_systematic_free)

/* "positions", "strengths", "Lorentz widths", ... of review/compared.h. Static. */
const char *faint_systematic_name (guint parameter);
/* A sentence: "All strengths as claimed are 1.0583(13) times those of the refit". */
char *
faint_systematic_describe (const FaintSystematic *self, const char *first, const char *second);

/* A difference to be taken off at @x, and its standard uncertainty (may be NULL). */
double faint_systematic_at (const FaintSystematic *self, double x, double *u);

/* The differences of @n lines. */
typedef struct
{
  gsize n;
  const double *d, *u; /* difference and the uncertainty that is the line's own, above 0 */
  const double *x[FAINT_SYSTEMATIC_N]; /* NULL: not known; a line with NAN takes no part in that
                                          form */
  const double *const
      *common; /* effect of each common input on each difference, fully correlated */
  gsize n_common;
  const double *bound; /* uncertainty of each difference of which nobody says whether it is common;
                          NULL: none */
} FaintSystematicInput;

/* Fits the form; at least 5 lines, 8 for a slope. FALSE when there are fewer or x does not vary. */
gboolean faint_systematic_fit (const FaintSystematicInput *input, FaintSystematicForm form,
                               FaintSystematic *result);

/* The form that stands out most and has a probability below @level over all forms tried; NULL:
 * none. parameter, causes and words are left to the caller. @n_tests counts what was tried. */
FaintSystematic *
faint_systematic_find (const FaintSystematicInput *input, double level, gsize *n_tests);
