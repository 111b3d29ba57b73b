/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Correlations of the constants of a band, as a picture behind a button.
 */
#pragma once

#include "faint/assign/band-constants.h"

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* "B′", "D″", "Origin": as a person writes the name of a constant. Free with g_free. */
char *faint_constant_in_words (const char *name);
/* A button that opens the picture, with a read-out of the chosen cell; all is copied from @band.
 * NULL where fewer than two constants were fitted. */
GtkWidget *faint_band_correlation_button (const FaintBand *band);

G_END_DECLS
