/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How the window writes a quantity and reads one back. Needs no display.
 */
#pragma once

#include "faint/base/quantity.h"

G_BEGIN_DECLS

/* "1.30(2) hPa" where that loses nothing, else with every digit, "1.3004 ± 0.0213 hPa"; without a
 * stated uncertainty "1.3 hPa"; "" when unknown. Free with g_free. */
char *faint_quantity_in_words (FaintQuantity quantity);

/* The short notation always, whose digits are those that the uncertainty deserves. */
char *faint_quantity_in_short (FaintQuantity quantity);

/* The value alone: as it is where it has no more than @most significant digits, else with @shown of
 * them. "" when unknown. */
char *faint_quantity_in_digits (FaintQuantity quantity, guint most, guint shown);

/* @quantity to the digits that it deserves in its unit: those of an uncertainty of two digits, four
 * significant ones at least, and nine where no uncertainty is stated. */
FaintQuantity faint_quantity_rounded (FaintQuantity quantity);

/* Reads what faint_quantity_parse() reads and, besides, a number without unit, which is taken in
 * @unit (may be NULL: then the unit is needed). Empty text gives FAINT_QUANTITY_UNKNOWN. */
gboolean faint_quantity_from_words (const char *text, FaintDimension dimension,
                                    const FaintUnit *unit, FaintQuantity *quantity, GError **error);

/* Two significant digits, zeros at the end too, as for every uncertainty: "0.10", "0.00012",
 * "1.2e-09". @value above 0. Free with g_free. */
char *faint_two_digits (double value);

/* Takes a number and gives it back with the true minus sign before it, U+2212, where it had a
 * hyphen: for words to be read, not for files. That of an exponent stays. Free with g_free. */
char *faint_true_minus (char *number);
/* "12", "−8". Free with g_free. */
char *faint_signed (int number);

/* Equal value, uncertainty and unit; unknown equals unknown. */
gboolean faint_quantity_same (FaintQuantity a, FaintQuantity b);

G_END_DECLS
