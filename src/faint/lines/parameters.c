/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/lines/parameters.h"

#include <string.h>

FaintParameter *
faint_line_nth_parameter (FaintLine *line, guint k)
{
  if (k < FAINT_PLACE_N)
    return faint_line_parameter (line, (FaintPlace)k);
  return &line->coefficient[k - FAINT_PLACE_N];
}

const FaintParameter *
faint_line_peek_nth_parameter (const FaintLine *line, guint k)
{
  if (k < FAINT_PLACE_N)
    return faint_line_peek_parameter (line, (FaintPlace)k);
  return &line->coefficient[k - FAINT_PLACE_N];
}

const char *
faint_parameter_name (guint k)
{
  if (k < FAINT_PLACE_N)
    return faint_place_name ((FaintPlace)k);
  return faint_coefficient_name ((FaintCoefficient)(k - FAINT_PLACE_N));
}

guint
faint_parameter_find (const char *name, gsize length)
{
  guint k = 0;

  while (k < FAINT_PARAMETER_N
         && (strlen (faint_parameter_name (k)) != length
             || strncmp (faint_parameter_name (k), name, length) != 0))
    k++;
  return k;
}
