/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Unsaved work survives a crash: a changed analysis is also kept in a file of the user's state
 * folder, and goes from there when it is saved or given up. What lies there at the next start was
 * left by a program that ended without either.
 */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

typedef struct
{
  char *path;
  char *when;  /* date and time of the last change, in words */
  char *input; /* name of the first file that it analyses, or "" */
} FaintLeftover;

/* The folder; it may not be there. Static. */
const char *faint_recovery_folder (void);
/* A fresh path in it that names this run of the program; the folder is made. Free with g_free. */
char *faint_recovery_new_path (void);
/* Makes a file that was left over one of this run, so that it is offered to nobody else; its path
 * from now on. Free with g_free. */
char *faint_recovery_adopt (const char *path);
gboolean faint_recovery_is_path (const char *path);
/* FaintLeftover, of runs that are over; newest first. */
GPtrArray *faint_recovery_find (void);

G_END_DECLS
