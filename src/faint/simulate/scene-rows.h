/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The lines of a scene: rows under its columns, or a file of lines. Errors say what is wrong; the
 * caller says where.
 */
#pragma once

#include "faint/simulate/scene.h"

typedef struct
{
  GArray *columns; /* guint: what each column of a row holds; empty before "# columns" */
  GArray *lines;   /* FaintLine */
  GStringChunk *texts;
} FaintSceneRows;

void faint_scene_rows_init (FaintSceneRows *self);
void faint_scene_rows_clear (FaintSceneRows *self);

/* The heads of "# columns = ". */
gboolean faint_scene_rows_columns (FaintSceneRows *self, const char *heads, GError **error);
gboolean faint_scene_rows_add (FaintSceneRows *self, const char *row, GError **error);
gboolean faint_scene_rows_file (FaintSceneRows *self, const char *path, GError **error);

/* TRUE if @text is one finite number and nothing else. */
gboolean faint_scene_number (const char *text, double *value);
