/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "faint/spectrum/delimited.h"
#include "faint/spectrum/rows.h"

/* How the rows of a foreign file are laid out, under the column map @map, or under its own head row
 * when that names columns in the way of the comb table (@map NULL). The columns, which @layout
 * points to, are checked for @observable; NULL with an error that says how to give a map. */
FaintColumns *
faint_delimited_layout (const FaintText *text, const char *map, FaintObservable observable,
                        FaintRowsLayout *layout, GError **error);

/* The suggestions as a map that makes a spectrum, to be confirmed by a person; NULL: they lack an
 * axis or what was measured. @observable: in, what is stated; out, what the map needs. Free with
 * g_free. */
char *faint_delimited_suggest_map (const FaintDelimitedPreview *self, FaintObservable *observable);
