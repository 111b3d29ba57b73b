/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A long invented record: lines at random places over a comb, 250 teeth to a line, and pieces of it
 * that begin at its first tooth, so that size is all that differs between them.
 */
#pragma once

#include "faint/fit/fit.h"
#include "faint/lines/line-list.h"

#define FIT_SCENE_TEETH_PER_LINE 250

/* Writes the scene of @n_lines (simulate/scene.h) to @path. */
void fit_scene_write (const char *path, gsize n_lines);

typedef struct
{
  FaintSpectrum *spectrum;
  FaintLine *lines; /* true ones, a little off */
  gsize n_lines;
} FitScenePiece;

/* The first @n_lines * FIT_SCENE_TEETH_PER_LINE teeth of @whole. */
void fit_scene_piece_init (FitScenePiece *self, const FaintSpectrum *whole,
                           const FaintLineList *truth, gsize n_lines);
void fit_scene_piece_clear (FitScenePiece *self);

/* The joint solution from those lines, no search around it, @evaluations at most; returns how many
 * it took. */
guint fit_scene_piece_solve (const FitScenePiece *self, guint threads, guint evaluations);
