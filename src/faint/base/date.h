/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The date that is written into files: ISO 8601 in UTC, such as "2026-05-17T09:30:00Z". It can be
 * stated from outside, so that the same input gives the same bytes at any time.
 */
#pragma once

#include <glib.h>

/* The one that the environment variable SOURCE_DATE_EPOCH states in seconds since 1970 (as agreed
 * for reproducible builds); NULL when it is not set, or no such number. Free with g_free. */
char *faint_date_stated (void);
/* That one, or else now. Free with g_free. */
char *faint_date_now (void);
