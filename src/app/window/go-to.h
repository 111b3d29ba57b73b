/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A typed position in the unit of the axis.
 */
#pragma once

#include "figure/axis-unit.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* The wavenumber that @text means on an axis of @unit: a number alone is in that unit; "cm-1",
 * "cm⁻¹", "THz" and "nm" may follow it and then count. A comma is a decimal point, and the minus
 * sign may be the true one. FALSE: not understood. */
gboolean faint_go_to_parse (const char *text, const FaintAxisUnit *unit, double *wavenumber);

/* Asks for a position over @parent. @unit as it is now. @go is called with the wavenumber typed and
 * says whether it lies in the data; where it does not @limits ("7749.67 … 7824.72 cm⁻¹") is told.
 */
typedef gboolean (*FaintGoTo) (double wavenumber, gpointer data);
void faint_go_to_ask (GtkWidget *parent, const FaintAxisUnit *unit, const char *limits,
                      FaintGoTo go, gpointer data);

G_END_DECLS
