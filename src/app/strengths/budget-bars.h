/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The uncertainty budget of one parameter of a line: a bar and numbers for each source.
 */
#pragma once

#include <gtk/gtk.h>

#include "faint/lines/line.h"

G_BEGIN_DECLS

#define FAINT_TYPE_BUDGET_BARS (faint_budget_bars_get_type ())
G_DECLARE_FINAL_TYPE (FaintBudgetBars, faint_budget_bars, FAINT, BUDGET_BARS, GtkBox)

GtkWidget *faint_budget_bars_new (void);
/* @from: contributions of the FAINT_SOURCE_N sources, signed, NAN unknown; NULL empties the view.
 * @value: of the parameter. @relative: numbers are shares of the value in per cent, else they are
 * in @unit. */
void faint_budget_bars_show (FaintBudgetBars *self, const double *from, double value,
                             gboolean relative, const char *unit);

/* A source in words, translated: "Cavity". */
const char *faint_source_in_words (FaintUncertaintySource source);

G_END_DECLS
