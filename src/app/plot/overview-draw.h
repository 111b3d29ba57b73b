/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The drawing of the overview, without the frame of the visible range.
 */
#pragma once

#include "figure/figure-data.h"
#include <gtk/gtk.h>

/* The mapping of wavenumbers that all of @place shares. */
FaintView faint_overview_view (const FaintFigureData *data, FaintRect place);
void faint_overview_append (GtkSnapshot *snapshot, const FaintFigureData *data, FaintRect place,
                            const FaintPalette *palette, double device, double poor);
