/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Independent pieces of work on several threads.
 */
#pragma once

#include <glib.h>

/* Threads to use for a request of @wanted: 0 means one for each processor. At least 1, at most 256.
 */
guint faint_parallel_threads (guint wanted);

/* Calls @work once for each of the @n pieces, on @threads threads of which the caller's is one.
 * @thread, below @threads, tells which workspace to use. The order is not defined: a piece may
 * write only what is its own, and then the outcome does not depend on the number of threads. */
void faint_parallel_for (gsize n, guint threads,
                         void (*work) (gsize piece, guint thread, gpointer data), gpointer data);
