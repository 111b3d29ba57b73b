/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Paths as they are written into files, so that a folder can be moved with all that is in it.
 */
#pragma once

#include <glib.h>

/* @path as seen from @folder: "../runs/a.comb". Both absolute; free with g_free. */
char *faint_path_relative (const char *path, const char *folder);
