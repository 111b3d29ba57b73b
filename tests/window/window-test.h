/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the window's tests share: a window on a simulated sample, waiting, finding widgets.
 */
#pragma once

#include "app/window/application.h"
#include "app/lines/parameter-row.h"
#include "app/window/window-private.h"

/* Starts the application and makes the sample; ends both. */
void window_test_begin (void);
void window_test_end (void);

/* Path of the sample; of a fresh file in the tests' folder (free with g_free). */
const char *window_test_sample (void);
char *window_test_path (const char *name);

/* An empty window; one with the sample open; one with its lines found and fitted. */
FaintWindow *window_test_new (void);
FaintWindow *window_test_open (void);
FaintWindow *window_test_fitted (void);
/* Destroys it and fails unless it is really gone. */
void window_test_close (FaintWindow *window);

/* Turns the main loop until @condition holds; fails after half a minute. */
typedef gboolean (*WindowCondition) (FaintWindow *window);
void window_test_wait (FaintWindow *window, WindowCondition condition, const char *what);
gboolean window_test_is_idle (FaintWindow *window);    /* no job, nothing waiting */
gboolean window_test_is_current (FaintWindow *window); /* the fit belongs to the lines */
/* Turns the main loop for a while. */
void window_test_linger (guint milliseconds);

void window_test_act (FaintWindow *window, const char *action);

/* The first widget below @widget that @match accepts, or NULL. */
typedef gboolean (*WidgetMatch) (GtkWidget *widget, gconstpointer data);
GtkWidget *window_test_find (GtkWidget *widget, WidgetMatch match, gconstpointer data);
/* The editor's row of a parameter. */
FaintParameterRow *window_test_row (FaintWindow *window, FaintPlace place);
FaintDocument *window_test_document (FaintWindow *window);
const FaintLine *window_test_line (FaintWindow *window, gsize index);
gsize window_test_n_lines (FaintWindow *window);

/* "empty" or "work". */
const char *window_test_page (FaintWindow *window);
gboolean window_test_work_is_shown (FaintWindow *window);
gboolean window_test_message_is_shown (FaintWindow *window);

/* Fails the test for each control below @widget that a screen reader has no name for. */
void window_test_assert_named (GtkWidget *widget);
