/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which constants of a band are fitted: a tick box for each that the molecule has, of the upper
 * state and of the lower one. Those of the lower state that are not ticked stay as the levels have
 * them. A tick is one step of the history.
 */
#pragma once

#include "app/assignment/assigner.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define FAINT_TYPE_FREE_CONSTANTS (faint_free_constants_get_type ())
G_DECLARE_FINAL_TYPE (FaintFreeConstants, faint_free_constants, FAINT, FREE_CONSTANTS, GtkBox)

GtkWidget *faint_free_constants_new (FaintAssigner *assigner);
/* The box of a constant; NULL: the molecule has none such. */
GtkCheckButton *
faint_free_constants_find (FaintFreeConstants *self, FaintConstant constant, gboolean lower);

G_END_DECLS
