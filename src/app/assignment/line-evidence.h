/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What speaks for the assignment of a line: rows of a pane.
 */
#pragma once

#include "app/assignment/assigner.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

typedef struct
{
  GtkWidget *transition, *difference, *found, *odds, *margin, *partners, *verdict;
} FaintLineEvidence;

/* Adds the rows to @grid. */
void faint_line_evidence_add (FaintLineEvidence *self, GtkWidget *grid);
/* Shows what is known of @line; what is not, and of a line without labels all, is left out. */
void
faint_line_evidence_show (FaintLineEvidence *self, FaintAssigner *assigner, const FaintLine *line);
/* Why a line is not fitted: "upper level perturbed". */
const char *faint_band_verdict_in_words (FaintBandVerdict verdict);

G_END_DECLS
