/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>
#include <string.h>

#include "faint/base/quantity.h"
#include "faint/base/text.h"
#include "faint/lines/csv-private.h"
#include "faint/lines/parameters.h"

#define FIXED "-fixed"
#define DERIVED "-derived"

static void
append_word (GString *out, const char *name, const char *state)
{
  g_string_append_printf (out, "%s%s%s", out->len > 0 ? " " : "", name, state);
}

void
faint_csv_states_append (GString *out, const FaintLine *line)
{
  for (guint k = 0; k < FAINT_PARAMETER_N; k++)
    {
      FaintParameterState state = faint_line_peek_nth_parameter (line, k)->state;
      gboolean has_flag = k < FAINT_PLACE_SPEED_WIDTH;

      if (state == FAINT_STATE_DERIVED)
        append_word (out, faint_parameter_name (k), DERIVED);
      else if (state == FAINT_STATE_FIXED && !has_flag)
        append_word (out, faint_parameter_name (k), FIXED);
    }
}

static void
read_state (const char *word, const char *suffix, FaintParameterState state, FaintLine *line)
{
  gsize length = strlen (word) - MIN (strlen (word), strlen (suffix));
  guint k = faint_parameter_find (word, length);
  FaintParameter *parameter;

  if (k == FAINT_PARAMETER_N || strcmp (word + length, suffix) != 0)
    return;
  parameter = faint_line_nth_parameter (line, k);
  if (parameter->state != FAINT_STATE_FIXED)
    parameter->state = state;
}

void
faint_csv_states_read (const char *text, FaintLine *line)
{
  g_auto (GStrv) words = g_strsplit_set (text, " \t", -1);

  for (char **word = words; *word != NULL; word++)
    {
      read_state (*word, FIXED, FAINT_STATE_FIXED, line);
      read_state (*word, DERIVED, FAINT_STATE_DERIVED, line);
    }
}

void
faint_csv_ties_append (GString *out, const FaintLine *line)
{
  for (guint k = 0; k < FAINT_PARAMETER_N; k++)
    {
      const FaintParameter *parameter = faint_line_peek_nth_parameter (line, k);
      g_autofree char *factor = NULL;
      g_autofree char *offset = NULL;

      if (parameter->state != FAINT_STATE_TIED)
        continue;
      factor = faint_format_double (parameter->tie_factor);
      offset = faint_format_double (parameter->tie_offset);
      g_string_append_printf (out, "%s%s=%u*%s", out->len > 0 ? " " : "", faint_parameter_name (k),
                              parameter->tied_to, factor);
      if (parameter->tie_offset != 0.0)
        g_string_append_printf (out, "%s%s", parameter->tie_offset > 0.0 ? "+" : "", offset);
    }
}

/* An id of digits alone, from 1. */
static gboolean
read_id (const char **at, guint *id)
{
  char *end;
  guint64 value;

  if (!g_ascii_isdigit (**at))
    return FALSE;
  value = g_ascii_strtoull (*at, &end, 10);
  *at = end;
  *id = (guint)value;
  return value >= 1 && value <= G_MAXINT;
}

static gboolean
read_number (const char **at, double *value)
{
  return faint_text_number (*at, *at + strlen (*at), value, at) && isfinite (*value);
}

/* "name=id*factor[+offset]" */
static gboolean
read_tie (const char *word, FaintLine *line)
{
  const char *equals = strchr (word, '='), *at = equals != NULL ? equals + 1 : word;
  guint k
      = equals != NULL ? faint_parameter_find (word, (gsize)(equals - word)) : FAINT_PARAMETER_N;
  FaintParameter *parameter;

  if (k == FAINT_PARAMETER_N)
    return FALSE;
  parameter = faint_line_nth_parameter (line, k);
  if (!read_id (&at, &parameter->tied_to) || *at++ != '*'
      || !read_number (&at, &parameter->tie_factor))
    return FALSE;
  if (*at == '+' && at[1] != '-' && at[1] != '+')
    at++;
  else if (*at != '-' && *at != '\0')
    return FALSE;
  if (*at != '\0' || at[-1] == '+')
    if (!read_number (&at, &parameter->tie_offset))
      return FALSE;
  parameter->state = FAINT_STATE_TIED;
  return *at == '\0';
}

char *
faint_csv_ties_read (const char *text, FaintLine *line)
{
  g_auto (GStrv) words = g_strsplit_set (text, " \t", -1);

  for (char **word = words; *word != NULL; word++)
    if (**word != '\0' && !read_tie (*word, line))
      return g_strdup (*word);
  return NULL;
}
