/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A branch without any levels: lines numbered by m that lie on a polynomial, followed from a few
 * that were chosen by hand.
 *
 * The next line is looked for where the cubic through the twelve nearest lines puts it, within
 * @coverage prediction uncertainties; the scatter about the cubic is measured as it goes. A branch
 * ends where longest_gap places in a row have no line, or where chance alone would put a line in
 * the interval more often than not. Where two lines lie in the interval and neither is ten times as
 * probable, the place stays open. What comes out is numbered as the chosen lines were: a shift of
 * all m is for the lower-state differences to tell.
 */
#pragma once

#include "faint/assign/evidence.h"
#include "faint/assign/linear-fit.h"

typedef struct
{
  guint id; /* of the line */
  int m;
} FaintBranchPoint;

typedef struct
{
  guint degree;        /* of the polynomial over all lines; 1 to 6; 4 */
  double coverage;     /* 4 */
  guint longest_gap;   /* 6 */
  double curvature;    /* prior: second coefficient as a share of the spacing; 0.05 */
  double roughness;    /* prior: scatter as a share of the spacing; 5e-4 */
  double limit;        /* of the rule for outliers; 4 */
  int m_first, m_last; /* do not follow beyond; -200, 200 */
} FaintBranchOptions;
void faint_branch_options_init (FaintBranchOptions *options);

typedef struct
{
  int m;
  gsize line;                  /* index among the observed lines; G_MAXSIZE: none */
  double expected, u_expected; /* cm-1, from the other lines of the branch */
  gboolean open;               /* two lines could be it */
  gboolean perturbed;          /* off the polynomial by the rule for outliers */
  double residual;             /* from the polynomial, cm-1; NAN without line */
} FaintBranchPlace;

typedef struct
{
  GArray *places;      /* FaintBranchPlace, m rising, from the first to the last line */
  FaintLinearFit *fit; /* coefficients of 1, m - middle, (m - middle)^2, ... */
  double middle;
  guint degree;
} FaintBranchTrace;

/* @points: two or more lines of the list with their numbers, each id and m once. NULL with
 * FAINT_FIT_CONSTANTS_ERROR when they are too few or not in the list. */
FaintBranchTrace *
faint_branch_follow (const FaintObserved *observed, const FaintBranchPoint *points, gsize n,
                     const FaintBranchOptions *options, GError **error);
void faint_branch_trace_free (FaintBranchTrace *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintBranchTrace, faint_branch_trace_free)

/* The polynomial at @m and its standard uncertainty. */
double faint_branch_trace_at (const FaintBranchTrace *self, double m, double *u);
