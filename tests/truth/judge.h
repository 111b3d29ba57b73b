/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Holds a fitted line list against the truth.
 */
#pragma once

#include "forward.h"

typedef struct
{
  double position, u_position, strength, u_strength, lorentz;
} FittedLine;

/* Positions, strengths and their uncertainties from noise, of a lines.csv. Ends the program if the
 * file is not one. */
GArray *fitted_read (const char *path); /* FittedLine */

/* Sums of normalised errors, to be pooled over cases. */
typedef struct
{
  int n;
  double sum, sum2;
} Pulls;
double pulls_mean (const Pulls *self);
double pulls_width (const Pulls *self);
void pulls_add (Pulls *self, const Pulls *other);

typedef struct
{
  int sought; /* isolated, peak above 12 standard deviations */
  int found;  /* of these, within a third of the Doppler width */
  int fitted;
  int false_lines;    /* fitted, no true line within one Doppler width */
  int split;          /* isolated true lines with more than one fitted within one Doppler width */
  int strong;         /* isolated, found, peak above 20 % */
  int strong_off;     /* of these, strength beyond 0.3 % and four of its uncertainties */
  double strong_bias; /* mean relative error of their strengths */
  Pulls position, strength;
} Judgement;

Judgement judge (const Truth *truth, const GArray *fitted);

/* NULL if all holds, else what does not; free with g_free. */
char *judgement_complaint (const Judgement *self);
