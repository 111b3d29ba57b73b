/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/transition-name.h"

#include <string.h>

/* The whole number behind @letter that begins the label or a word of it; FALSE: none. */
static gboolean
number_behind (const char *label, char letter, int *number)
{
  const char *colon = strrchr (label, ':');
  const char *text = colon != NULL ? colon + 1 : label;

  for (const char *at = text; *at != '\0'; at++)
    if (*at == letter && (at == text || at[-1] == ' ') && g_ascii_isdigit (at[1]))
      {
        *number = (int)g_ascii_strtoll (at + 1, NULL, 10);
        return TRUE;
      }
  return FALSE;
}

char *
faint_transition_name (const FaintLine *line)
{
  static const char branches[] = { 'P', 'Q', 'R' };
  int upper, lower, k;

  if (*line->lower == '\0')
    return *line->upper != '\0' ? g_strdup (line->upper) : NULL;
  if (!number_behind (line->upper, 'J', &upper) || !number_behind (line->lower, 'J', &lower)
      || ABS (upper - lower) > 1)
    return g_strdup (line->lower);
  if (number_behind (line->lower, 'K', &k))
    return g_strdup_printf ("%c(%d,%d)", branches[upper - lower + 1], lower, k);
  return g_strdup_printf ("%c(%d)", branches[upper - lower + 1], lower);
}
