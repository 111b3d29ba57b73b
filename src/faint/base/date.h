/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The date that is written into a file, ISO 8601 in UTC: "2026-05-17T09:30:00Z".
 */
#pragma once

#include <glib.h>

/* The one that the environment variable SOURCE_DATE_EPOCH states in seconds since 1970 (as agreed
 * for reproducible builds); NULL when it is not set, or no such number. Free with g_free. */
char *faint_date_stated (void);
/* That one, or else now. Free with g_free. */
char *faint_date_now (void);
