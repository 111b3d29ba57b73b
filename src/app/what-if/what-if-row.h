/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One quantity to play with: its name, an entry with unit, and a slider with a mark at the stated
 * value. The slider reaches as far as makes sense; the entry takes what the quantity allows.
 */
#pragma once

#include <gtk/gtk.h>

#include "faint/base/quantity.h"

G_BEGIN_DECLS

#define FAINT_TYPE_WHAT_IF_ROW (faint_what_if_row_get_type ())
G_DECLARE_FINAL_TYPE (FaintWhatIfRow, faint_what_if_row, FAINT, WHAT_IF_ROW, GtkWidget)

/* Signal "changed": another value was chosen. */
GtkWidget *faint_what_if_row_new (const char *name, FaintDimension dimension);

/* The slider's reach; @logarithmic only with bounds above 0. */
typedef struct
{
  double lower, upper; /* library unit */
  gboolean logarithmic;
} FaintWhatIfReach;

/* What the setup states, and its unit; the value becomes it. Emits nothing. */
void
faint_what_if_row_set_stated (FaintWhatIfRow *self, FaintQuantity stated, FaintWhatIfReach reach);
/* Library unit. set emits nothing. */
void faint_what_if_row_set_value (FaintWhatIfRow *self, double value);
double faint_what_if_row_get_value (FaintWhatIfRow *self);
/* Words under the entry; NULL: none. */
void faint_what_if_row_set_error (FaintWhatIfRow *self, const char *message);

/* For the focus and for tests. */
GtkWidget *faint_what_if_row_get_slider (FaintWhatIfRow *self);
GtkWidget *faint_what_if_row_get_entry (FaintWhatIfRow *self);

G_END_DECLS
