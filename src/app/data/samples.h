/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The sample spectra and levels that come with the program.
 */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

typedef struct
{
  char *path;
  char *title; /* of the comb table's header, or its file name */
} FaintSample;

/* All comb tables in the folders "samples" and "demo" of the data folder: that of the environment's
 * FAINTLINE_DATA, else the installed one, else the source tree's. FaintSample, by name; empty where
 * there are none. */
GPtrArray *faint_samples_find (void);

/* The same of line lists to review, in the folder "review". */
GPtrArray *faint_samples_find_claimed (void);

/* Levels of lower states in the folder "levels" there, likewise, by title. */
GPtrArray *faint_samples_find_levels (void);

/* A flat button that opens a sample: @words on it, wrapped; @name for a screen reader, @tooltip;
 * NULL: the words. The handler of its "clicked" asks for the path. */
GtkWidget *faint_sample_button_new (const FaintSample *sample, const char *words, const char *name,
                                    const char *tooltip);
const char *faint_sample_button_get_path (GtkButton *button); /* borrowed */

/* The header's "title = …" of a comb table or of levels, or NULL. Reads the first lines only. */
char *faint_sample_title (const char *path);

G_END_DECLS
