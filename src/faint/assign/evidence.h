/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is observed, made ready for a search, and how much a line speaks for an assignment.
 *
 * Evidence is a natural logarithm of odds: how much more probable what is seen is when the line
 * belongs there than when it stands there by chance. A line at distance r from where it is
 * expected, with combined standard uncertainty s, among lines of local density d per cm-1, gives
 * -r^2/(2 s^2) - ln(d s sqrt(2 pi)); strengths and lower-state energies add theirs.
 */
#pragma once

#include "faint/assign/transitions.h"
#include "faint/lines/line-list.h"

typedef struct
{
  double coverage;     /* lines match within that many combined standard uncertainties; 4 */
  double change_b;     /* B' lies within this share of B''; 0.05 */
  double roughness;    /* how smooth upper levels are from J to J+1, as a share of B''; 5e-4 */
  double displacement; /* how far a perturbed level may stand off, as a share of B''; 0.1 */
  double temperature;  /* of the strengths, K; 296 */
  double least_odds;   /* ln of the odds that a chain needs; 8 */
  double margin;       /* ln of the odds over its rival that an assignment needs; 4 */
  double u_position;   /* standard uncertainty where a line states none, cm-1; 1e-3 */
  guint longest_gap;   /* a chain ends after so many levels without a line; 5 */
  guint attempts;      /* most seeds tried in a ladder; 4000 */
} FaintAssignOptions;
void faint_assign_options_init (FaintAssignOptions *options);

/* The lines of a list that are not excluded, in rising order of position. */
typedef struct
{
  gsize n;
  guint *id;
  double *nu, *u;               /* cm-1; u from noise alone where that is known */
  double *log_strength, *u_log; /* natural logarithm; NAN where not known */
  double *energy, *u_energy;    /* lower-state energy from several temperatures; NAN */
  double *density;              /* of lines about this one, per cm-1 */
  double u_most;                /* largest u */
  double mean_log, spread_log;  /* of log_strength; NAN where no strengths are known */
  double limit_log;             /* weakest strengths found: their twentieth part lies below */
  gsize n_without_u;            /* lines that stated no uncertainty */
} FaintObserved;
FaintObserved *faint_observed_new (const FaintLineList *list, const FaintAssignOptions *options);
void faint_observed_free (FaintObserved *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintObserved, faint_observed_free)

/* Index of the first line at or above @nu; n where there is none. */
gsize faint_observed_from (const FaintObserved *self, double nu);

/* Evidence of line @i at distance @r from its expected place, combined variance @variance. */
double faint_evidence_position (const FaintObserved *self, gsize i, double r, double variance);
/* Of its strength, when ln of the strength is expected at @expected: 0 where either is not known.
 * Strengths are trusted to 15 % and one in twenty not at all. */
double faint_evidence_strength (const FaintObserved *self, gsize i, double expected);
/* Of two strengths whose ln should differ by @difference (of @i above @k). */
double faint_evidence_ratio (const FaintObserved *self, gsize i, gsize k, double difference);
/* Of a lower-state energy from several temperatures against that of the level. */
double faint_evidence_energy (const FaintObserved *self, gsize i, double energy);
