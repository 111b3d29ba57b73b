/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the tests of the stage Assignment share: the line list of the demo scene, whose own labels
 * are the truth (data/scenes/demo.scene: invented values of one band, and four lines of none), in
 * the real window.
 */
#pragma once

#include "app/assignment/assigner.h"
#include "window-test.h"

#define N_LINES 80
#define N_LABELLED 76

/* Upper and lower labels of the scene, by position; "" where there is none. Known once the demo was
 * opened. */
extern const char *demo_truth[N_LINES][2];

/* Rows of the scene as a list without labels; its path. Free with g_free. */
char *demo_make_list (void);
char *demo_levels_path (void);
/* The demo spectrum with the list, in the stage; with the levels of the ground state if @levels. */
FaintWindow *demo_open (gboolean levels);
/* The first widget of @type in the window, which must be there. */
gpointer demo_part (FaintWindow *window, GType type);
FaintAssigner *demo_assigner (FaintWindow *window);
/* Looks for labels, until the result is there. */
void demo_search (FaintWindow *window);
void demo_save (FaintWindow *window, const char *path);

gboolean demo_has_lines (FaintWindow *window);
gboolean demo_has_result (FaintWindow *window);
gboolean demo_is_saved (FaintWindow *window);
guint demo_n_labelled (FaintWindow *window);
/* The labels of line @i are those of the scene. */
void demo_assert_truth (FaintWindow *window, gsize i);
