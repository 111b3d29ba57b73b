/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The claimed line list that an analysis holds its spectra against, and how: so that a review can
 * be done again. The list itself stays in its file. One that is gone or has changed is no reason
 * not to open the analysis: a warning says so, "claims-missing" or "claims-changed", and where the
 * file was stays known.
 *
 * In the .faintline file, [review]: claimed (path relative to the file), sha256, confidence,
 * coverage, partial, temperature/K, pressure/Pa.
 */
#pragma once

#include "faint/analysis/analysis.h"

typedef struct
{
  char *path;                   /* absolute; NULL: no list was chosen, and nothing else holds */
  char sha256[65];              /* of the file as it was reviewed */
  double confidence, coverage;  /* as in review/review.h */
  double temperature, pressure; /* K, Pa, of the claims; NAN: those of the input */
  gboolean partial;
  gboolean changed; /* when the analysis was opened the file was another, or gone */
} FaintAnalysisClaims;
void faint_analysis_claims_clear (FaintAnalysisClaims *self);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (FaintAnalysisClaims, faint_analysis_claims_clear)
void faint_analysis_claims_copy (FaintAnalysisClaims *self, const FaintAnalysisClaims *from);

/* Borrowed, never NULL. */
const FaintAnalysisClaims *faint_analysis_get_claims (const FaintAnalysis *self);
/* A new snapshot with a copy of @claims; a fit that is current stays so. */
FaintAnalysis *
faint_analysis_with_claims (const FaintAnalysis *self, const FaintAnalysisClaims *claims);
