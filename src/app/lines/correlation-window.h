/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Correlations of the parameters in that window of the fit where the selected line stands; follows
 * the selection and the fit.
 */
#pragma once

#include "app/lines/correlation-view.h"
#include "app/document/document.h"
#include "app/document/session.h"

G_BEGIN_DECLS

#define FAINT_TYPE_CORRELATION_WINDOW (faint_correlation_window_get_type ())
G_DECLARE_FINAL_TYPE (FaintCorrelationWindow, faint_correlation_window, FAINT, CORRELATION_WINDOW,
                      GtkWindow)

GtkWidget *
faint_correlation_window_new (GtkWindow *parent, FaintDocument *document, FaintSession *session);
FaintCorrelationView *faint_correlation_window_get_view (FaintCorrelationWindow *self);
/* The read-out, or what to do to have something to read. */
const char *faint_correlation_window_get_text (FaintCorrelationWindow *self);
/* The picture as PNG, SVG or PDF, by the ending of @path. */
gboolean
faint_correlation_window_write (FaintCorrelationWindow *self, const char *path, GError **error);

G_END_DECLS
