/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An assignment as text: the files of docs/formats.md. Free each with g_free.
 */
#pragma once

#include "faint/assign/assignment.h"

/* Each assigned line with its evidence, observed minus calculated. */
char *faint_assignment_lines_csv (const FaintAssignment *self);
/* Constants with uncertainties and correlations, band by band. */
char *faint_assignment_constants_csv (const FaintAssignment *self);
/* Lines that should be there and are not. */
char *faint_assignment_predictions_csv (const FaintAssignment *self);
/* Counts, bands, warnings. @seconds: what the run took, NAN for none. */
char *faint_assignment_summary_json (const FaintAssignment *self, double seconds);
