/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Parameters come and go with the profile.
 */
#include "app/lines/line-shape.h"

#define START 0.1 /* of the Lorentz width */

static void
begin (FaintParameter *parameter, double value, FaintParameterState state)
{
  if (!isnan (parameter->value))
    return;
  *parameter = FAINT_PARAMETER_UNKNOWN;
  parameter->value = value;
  parameter->state = state;
}

void
faint_line_set_profile (FaintLine *line, FaintProfile profile)
{
  double start = START * line->lorentz.value;

  line->profile = profile;
  for (FaintPlace place = 0; place < FAINT_PLACE_N; place++)
    if (!faint_profile_has (profile, place))
      *faint_line_parameter (line, place) = FAINT_PARAMETER_UNKNOWN;
  if (faint_profile_has (profile, FAINT_PLACE_SPEED_WIDTH))
    {
      begin (&line->speed_width, start, FAINT_STATE_FREE);
      begin (&line->speed_shift, 0.0, FAINT_STATE_FIXED);
    }
  if (faint_profile_has (profile, FAINT_PLACE_VELOCITY_CHANGING))
    {
      begin (&line->velocity_changing, start, FAINT_STATE_FREE);
      begin (&line->correlation, 0.0, FAINT_STATE_FIXED);
    }
}

FaintLineList *
faint_lines_with_profile (FaintLineList *lines, const guint *ids, gsize n, FaintProfile profile)
{
  gsize n_lines = faint_line_list_get_n (lines);
  g_autofree FaintLine *copy = g_new (FaintLine, n_lines);

  for (gsize i = 0; i < n_lines; i++)
    copy[i] = *faint_line_list_get (lines, i);
  for (gsize i = 0; i < n; i++)
    {
      gsize at = faint_line_list_index_of (lines, ids[i]);

      if (at != G_MAXSIZE)
        faint_line_set_profile (&copy[at], profile);
    }
  return faint_line_list_new (copy, n_lines);
}

static void
set_parameter (FaintParameter *parameter, FaintParameterState state, double value)
{
  if (isnan (value) && isnan (parameter->value))
    return;
  if (!isnan (value))
    parameter->value = value;
  parameter->u = parameter->u_noise = NAN;
  if (state != FAINT_STATE_TIED)
    parameter->state = state;
  else if (parameter->state == FAINT_STATE_TIED)
    parameter->state = FAINT_STATE_FREE;
  parameter->tied_to = 0;
  parameter->tie_factor = 1.0;
  parameter->tie_offset = 0.0;
}

FaintLineList *
faint_lines_with_parameter (FaintLineList *lines, const guint *ids, gsize n, FaintPlace place,
                            FaintParameterState state, double value)
{
  gsize n_lines = faint_line_list_get_n (lines);
  g_autofree FaintLine *copy = g_new (FaintLine, n_lines);

  for (gsize i = 0; i < n_lines; i++)
    copy[i] = *faint_line_list_get (lines, i);
  for (gsize i = 0; i < n; i++)
    {
      gsize at = faint_line_list_index_of (lines, ids[i]);

      if (at != G_MAXSIZE && faint_profile_has (copy[at].profile, place))
        set_parameter (faint_line_parameter (&copy[at], place), state, value);
    }
  return faint_line_list_new (copy, n_lines);
}
