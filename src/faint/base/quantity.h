/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A quantity: a value with its standard uncertainty and the unit it is written in
 * (JCGM 100:2008, clause 7.2). Value and uncertainty are held in the library unit of the
 * dimension (units.h); the unit is kept so that what was read is written as it was.
 */
#pragma once

#include <math.h>

#include "faint/base/units.h"

#define FAINT_QUANTITY_ERROR (faint_quantity_error_quark ())
GQuark faint_quantity_error_quark (void);
typedef enum
{
  FAINT_QUANTITY_ERROR_NUMBER, /* no number where one was expected, or not finite */
  FAINT_QUANTITY_ERROR_UNIT,   /* unit missing, unknown or of another dimension */
} FaintQuantityError;

typedef struct
{
  double value;          /* library unit; NAN: not known */
  double u;              /* standard uncertainty, library unit; NAN: not stated */
  const FaintUnit *unit; /* the unit it is written in; NULL only when value is NAN */
} FaintQuantity;

/* A quantity that is not known. */
#define FAINT_QUANTITY_UNKNOWN ((FaintQuantity){ .value = NAN, .u = NAN, .unit = NULL })

/* A value in the library unit of @dimension, @u its standard uncertainty or NAN. */
FaintQuantity faint_quantity (FaintDimension dimension, double value, double u);

static inline gboolean
faint_quantity_is_known (FaintQuantity quantity)
{
  return quantity.value == quantity.value;
}

/* The uncertainty where one is stated, else 0: for sums of variances. */
static inline double
faint_quantity_u_or_zero (FaintQuantity quantity)
{
  return quantity.u == quantity.u ? quantity.u : 0.0;
}

/* Reads "1.30 hPa", "1.30(2) hPa", "1.30 +/- 0.02 hPa", "1.30 ± 0.02 hPa" or, for a number, "0.5".
 * The uncertainty in parentheses counts in the last digits, or, written with a decimal point of its
 * own, in the unit: "1.30(0.02) hPa" (GUM 7.2.2, notations 2 and 3); with exponent "1.30(2)e2 Pa".
 * Always the C locale. Every dimension but the number needs its unit.
 * Returns FALSE with FAINT_QUANTITY_ERROR and leaves @quantity alone if @text is nothing of the
 * kind; the message says what was found and which units are accepted. */
gboolean faint_quantity_parse (const char *text, FaintDimension dimension, FaintQuantity *quantity,
                               GError **error);

/* Reads "0.02 hPa" as the standard uncertainty of @quantity (no offset applied).
 * Same errors; a negative value is refused. */
gboolean faint_quantity_parse_u (const char *text, FaintDimension dimension,
                                 FaintQuantity *quantity, GError **error);

/* "1.3 hPa" with every digit that the double needs to be read back the same; "" when unknown. */
char *faint_quantity_to_text (FaintQuantity quantity);
/* The uncertainty alone, "0.02 hPa"; "" when not stated. */
char *faint_quantity_u_to_text (FaintQuantity quantity);

/* The trade's short notation, value and uncertainty of two digits in parentheses, without unit:
 * 7790.22034(12), 1.234(56)e-25. @value and @u in one unit of the caller's choice. An uncertainty
 * that is NAN or 0 leaves 12 significant digits without parentheses; value NAN gives "".
 * (GUM 7.2.2, notation 2.) */
char *faint_format_concise (double value, double u);

/* Shortest decimal that reads back as the same double, C locale. NAN gives "". */
char *faint_format_double (double value);
/* The same into a buffer of FAINT_DOUBLE_TEXT_SIZE bytes, which it returns: for long tables. */
#define FAINT_DOUBLE_TEXT_SIZE 40
char *faint_format_double_to (double value, char *buffer);
