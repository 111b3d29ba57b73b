/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The library's words for lines as a person reads them. All translated.
 */
#pragma once

#include "faint/lines/line-list.h"

G_BEGIN_DECLS

/* What to do where no line is selected; @lines: or NULL. Static. */
const char *faint_no_line_in_words (const FaintLineList *lines);
/* "position", "Lorentz half width"; static. */
const char *faint_place_in_words (FaintPlace place);
/* "Position", "Lorentz Width": in the label of an edit; static. */
const char *faint_place_in_edits (FaintPlace place);
/* "Voigt", "Speed-dependent Voigt"; static. */
const char *faint_profile_in_words (FaintProfile profile);
/* "Self-broadening/(cm⁻¹/atm)"; static. */
const char *faint_coefficient_in_words (FaintCoefficient coefficient);
/* What a tied parameter follows, "0.5 × strength of line 12 (7790.220)"; NULL where it is not
 * tied. Free with g_free. */
char *faint_tie_in_words (const FaintLineList *lines, const FaintLine *line, FaintPlace place);
/* Whether the fit was to find a parameter and the data do not determine it: no number to read
 * digits from. */
gboolean faint_line_is_lost (const FaintLine *line, const FaintParameter *parameter);
/* Name of a parameter of a fit in the library's words, "7790.220 Lorentz width", translated. Free
 * with g_free. */
char *faint_fit_parameter_in_words (const char *name);

G_END_DECLS
