/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Constants of a band from assigned lines: those of the upper state, on request of the lower one
 * too, by weighted least squares on positions (linear-fit.h states the rule for outliers; none is
 * ever dropped silently). And of the lower state alone, from combination differences, in which the
 * upper levels do not appear, so that a perturbed upper state cannot hurt.
 */
#pragma once

#include "faint/assign/linear-fit.h"
#include "faint/assign/transitions.h"

/* An assigned line. */
typedef struct
{
  guint id;     /* of the line in its list */
  guint ladder; /* index */
  int j;        /* J' */
  FaintBranch branch;
  double nu, u; /* cm-1 */
} FaintBandLine;

typedef enum
{
  FAINT_BAND_FITTED,
  FAINT_BAND_PERTURBED,    /* lines of its upper level agree with each other that this does not lie
                              where the constants put it; left out or not, as the fit's kept says */
  FAINT_BAND_CONTRADICTED, /* a line of the same upper level that fits better says otherwise: the
                              position or the assignment is wrong */
  FAINT_BAND_ALONE, /* left out; no other line of its upper level tells which of both it is */
} FaintBandVerdict;
/* "fitted", "perturbed", "contradicted", "alone". */
const char *faint_band_verdict_name (FaintBandVerdict verdict);

typedef struct
{
  gboolean upper[FAINT_CONSTANT_N], lower[FAINT_CONSTANT_N]; /* which are free */
  double limit;                                              /* of the rule for outliers; 4 */
} FaintBandOptions;
/* Free: origin, B, D; of tops the axis, D_JK, D_K; q where there is l-doubling, axis_zeta in a
 * perpendicular band; those that the lines cannot tell are given up when fitting. Lower ones fixed.
 */
void faint_band_options_init (FaintBandOptions *options, const FaintConstants *constants);
/* "origin,B,D,lower B": FALSE with the first word that is no constant in *word (free it). */
gboolean faint_band_options_parse (FaintBandOptions *options, const char *text, char **word);

typedef struct
{
  char *name; /* "B'", "B''", "origin' a", of a table with several ladders "B' K 3" */
  FaintConstant constant;
  gboolean lower;
  int set;         /* component a: 1 */
  int ladder;      /* of a table: the one it belongs to; else -1 */
  double value, u; /* cm-1; u scaled by the scatter of the lines, and with u_lower */
  double u_lower;  /* part of it: what the stated uncertainties of fixed lower constants leave */
} FaintBandConstant;

typedef struct
{
  const FaintLevels *levels; /* both borrowed: to be kept alive by the owner */
  const GPtrArray *ladders;
  GArray *constants; /* FaintBandConstant, in the order of the fit */
  FaintLinearFit *fit;
  FaintBandVerdict *verdict; /* by line */
  double *shift;             /* by line: of its perturbed upper level against the fit; else NAN */
  GPtrArray *warnings;       /* FaintWarning */
} FaintBand;

/* Constants that @lines cannot tell are given up, highest first, with a warning; NULL when nothing
 * is left. */
FaintBand *
faint_band_fit (const FaintLevels *levels, const GPtrArray *ladders, const FaintBandLine *lines,
                gsize n, const FaintBandOptions *options, GError **error);
void faint_band_free (FaintBand *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintBand, faint_band_free)

/* Expected position of a line, with the uncertainty of the constants in *u; NAN where there is no
 * such line or the constants of its ladder are not known. */
double
faint_band_position (const FaintBand *self, guint ladder, int j, FaintBranch branch, double *u);
/* The constant with this name, or NULL. */
const FaintBandConstant *faint_band_constant (const FaintBand *self, const char *name);

/* Constants of the lower state from the differences of lines that share an upper level; B, D and
 * what @options frees of the lower state. The band has no upper constants. */
FaintBand *faint_band_fit_differences (const FaintLevels *levels, const GPtrArray *ladders,
                                       const FaintBandLine *lines, gsize n,
                                       const FaintBandOptions *options, GError **error);
