/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The ordinates of one line of a JCAMP-DX table, in any of the standard's number forms (McDonald &
 * Wilks, Appl. Spectrosc. 42, 151 (1988), from memory):
 *   AFFN  free format, separated by blanks, commas or semicolons, with or without an exponent;
 *   PAC   with its sign as separator: +10-12 13;
 *   SQZ   the first digit and the sign in one letter: @ A..I 0..9, a..i -1..-9;
 *   DIF   the difference to the ordinate before: % J..R 0..9, j..r -1..-9;
 *   DUP   how often the ordinate, or the difference, before it stands: S..Z 1..8, s 9;
 *   ?     an ordinate that is missing (NAN).
 * Forms may change within a line.
 */
#pragma once

#include <glib.h>

/* Between lines: in difference form a line ends with an ordinate that the next line repeats. */
typedef struct
{
  double last;       /* ordinate */
  double difference; /* that led to it */
  gboolean by_difference;
} FaintJcampState;

/* Why a line could not be read: where, and what stands there. */
typedef struct
{
  const char *at;
  const char *reason; /* static: "is not a number of any form" and so on */
} FaintJcampFault;

/* The abscissa at the beginning of a line; *@after is behind it. An exponent must have a sign,
 * since E by itself may begin an ordinate. */
gboolean faint_jcamp_abscissa (const char *start, const char *end, double *x, const char **after);

/* What one unit of the last digit is worth in the number that stands from @start to @end: 0.01 of
 * 7750.25, 10 of 4.5E+02, 1 of 450. */
double faint_jcamp_last_digit (const char *start, const char *end);

/* Appends the ordinates from @start to @end to @ordinates (GArray of double), in units of YFACTOR,
 * with @state as the line before left it. One that repeats the last ordinate of the line before is
 * not appended: *@repeated says so, and *@repetition is it. FALSE with @fault where something else
 * stands; nothing is defined then. */
gboolean faint_jcamp_ordinates (const char *start, const char *end, FaintJcampState *state,
                                GArray *ordinates, gboolean *repeated, double *repetition,
                                FaintJcampFault *fault);
