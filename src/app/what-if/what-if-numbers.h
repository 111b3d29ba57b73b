/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Numbers of the fitted model and of the one under other conditions, side by side.
 */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

typedef enum
{
  FAINT_WHAT_IF_NUMBER_VIEW, /* reduced chi-square in view */
  FAINT_WHAT_IF_NUMBER_ALL,
  FAINT_WHAT_IF_NUMBER_DEEPEST, /* %, in view */
  FAINT_WHAT_IF_NUMBER_ENHANCEMENT,
  FAINT_WHAT_IF_NUMBER_N
} FaintWhatIfNumber;

GtkWidget *faint_what_if_numbers_new (void);
/* NAN shows a dash. */
void
faint_what_if_numbers_set (GtkWidget *numbers, FaintWhatIfNumber which, double fitted, double now);
/* As shown. Borrowed. */
const char *faint_what_if_numbers_get (GtkWidget *numbers, FaintWhatIfNumber which, gboolean now);

G_END_DECLS
