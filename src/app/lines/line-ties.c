/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Every operation copies the lines, changes the copy and makes a list of it.
 */
#include "app/lines/line-ties.h"

#include <glib/gi18n.h>
#include <string.h>

G_DEFINE_QUARK (faint_line_ties_error_quark, faint_line_ties_error)

static FaintLine *
copy_lines (FaintLineList *lines, gsize extra)
{
  gsize n = faint_line_list_get_n (lines);
  FaintLine *copy = g_new (FaintLine, n + extra);

  for (gsize i = 0; i < n; i++)
    copy[i] = *faint_line_list_get (lines, i);
  return copy;
}

static void
release (FaintParameter *parameter, FaintParameterState state)
{
  parameter->state = state;
  parameter->tied_to = 0;
  parameter->tie_factor = 1.0;
  parameter->tie_offset = 0.0;
}

/* The tie that keeps the value: distance, ratio; or gives it: the same. */
static void
tie_parameter (FaintParameter *parameter, const FaintParameter *to, guint id, FaintPlace place)
{
  parameter->state = FAINT_STATE_TIED;
  parameter->tied_to = id;
  parameter->tie_factor = 1.0;
  parameter->tie_offset = 0.0;
  if (place == FAINT_PLACE_POSITION)
    parameter->tie_offset = parameter->value - to->value;
  else if (place == FAINT_PLACE_STRENGTH)
    parameter->tie_factor = parameter->value / to->value;
  parameter->value = parameter->tie_factor * to->value + parameter->tie_offset;
  parameter->u = parameter->u_noise = NAN;
}

static gboolean
can_be_followed (const FaintLine *line, FaintPlace place)
{
  double value = faint_line_peek_parameter (line, place)->value;

  return faint_profile_has (line->profile, place) && isfinite (value)
         && (place != FAINT_PLACE_STRENGTH || value != 0);
}

gboolean
faint_line_ties_tie_to (FaintLineList *lines, FaintLine *line, FaintPlace place, guint id)
{
  const FaintLine *other = faint_line_list_find (lines, id);
  FaintParameter *parameter = faint_line_parameter (line, place);

  if (id == line->id)
    return FALSE;
  /* in a list what is followed is not tied itself */
  if (other && faint_line_peek_parameter (other, place)->state == FAINT_STATE_TIED)
    other = faint_line_list_find (lines, faint_line_peek_parameter (other, place)->tied_to);
  if (other == NULL || other->id == line->id || !can_be_followed (other, place)
      || (isnan (parameter->value) && place <= FAINT_PLACE_STRENGTH))
    return FALSE;
  tie_parameter (parameter, faint_line_peek_parameter (other, place), other->id, place);
  return TRUE;
}

const FaintLine *
faint_line_ties_suggest (FaintLineList *lines, const FaintLine *line, FaintPlace place)
{
  const FaintLine *best = NULL;
  double least = INFINITY;

  for (gsize i = 0; i < faint_line_list_get_n (lines); i++)
    {
      const FaintLine *other = faint_line_list_get (lines, i);
      double distance = fabs (other->position.value - line->position.value);
      FaintLine copy = *line;

      if (!(distance < least) || (other->flags & FAINT_LINE_EXCLUDED)
          || !faint_line_ties_tie_to (lines, &copy, place, other->id))
        continue;
      best = faint_line_list_find (lines, faint_line_peek_parameter (&copy, place)->tied_to);
      least = distance;
    }
  return best;
}

static const FaintLine *
strongest_of (FaintLineList *lines, const guint *ids, gsize n, FaintPlace place)
{
  const FaintLine *best = NULL;

  for (gsize i = 0; i < n; i++)
    {
      const FaintLine *line = faint_line_list_find (lines, ids[i]);

      if (line && can_be_followed (line, place)
          && (best == NULL || !(best->strength.value >= line->strength.value)))
        best = line;
    }
  return best;
}

FaintLineList *
faint_line_ties_tie (FaintLineList *lines, const guint *ids, gsize n, FaintPlace place,
                     GError **error)
{
  g_autofree FaintLine *copy = copy_lines (lines, 0);
  const FaintLine *strongest = strongest_of (lines, ids, n, place);
  FaintParameter *reference;

  g_return_val_if_fail (n >= 2, NULL);
  if (strongest == NULL)
    {
      g_set_error_literal (error, FAINT_LINE_TIES_ERROR, FAINT_LINE_TIES_ERROR_VALUE,
                           _ ("None of the selected lines has a value to follow yet. Fit them, or "
                              "enter one."));
      return NULL;
    }
  reference = faint_line_parameter (&copy[faint_line_list_index_of (lines, strongest->id)], place);
  if (reference->state == FAINT_STATE_TIED)
    release (reference, FAINT_STATE_FREE);
  for (gsize i = 0; i < n; i++)
    {
      gsize at = faint_line_list_index_of (lines, ids[i]);
      FaintParameter *parameter;

      if (at == G_MAXSIZE || ids[i] == strongest->id
          || !faint_profile_has (copy[at].profile, place))
        continue;
      parameter = faint_line_parameter (&copy[at], place);
      if (isnan (parameter->value) && place <= FAINT_PLACE_STRENGTH)
        {
          g_set_error (error, FAINT_LINE_TIES_ERROR, FAINT_LINE_TIES_ERROR_VALUE,
                       _ ("Line %u has no value that could be kept. Fit it, or enter one."),
                       (guint)at + 1);
          return NULL;
        }
      tie_parameter (parameter, reference, strongest->id, place);
    }
  return faint_line_list_new (copy, faint_line_list_get_n (lines));
}

FaintLineList *
faint_line_ties_release (FaintLineList *lines, const guint *ids, gsize n, guint *n_released)
{
  g_autofree FaintLine *copy = copy_lines (lines, 0);

  *n_released = 0;
  for (gsize i = 0; i < n; i++)
    for (FaintPlace place = 0; place < FAINT_PLACE_N; place++)
      {
        gsize at = faint_line_list_index_of (lines, ids[i]);
        FaintParameter *parameter;

        if (at == G_MAXSIZE)
          continue;
        parameter = faint_line_parameter (&copy[at], place);
        if (parameter->state != FAINT_STATE_TIED)
          continue;
        release (parameter, FAINT_STATE_FREE);
        (*n_released)++;
      }
  return faint_line_list_new (copy, faint_line_list_get_n (lines));
}

/* Half width of a Voigt profile to 2e-4 of itself (Olivero and Longbothum, J. Quant. Spectrosc.
 * Radiat. Transfer 17, 233 (1977)); a start for a fit needs no more. */
static double
half_width (const FaintLine *line)
{
  double lorentz = isnan (line->lorentz.value) ? 0 : line->lorentz.value;
  double doppler = isnan (line->doppler.value) ? 0 : line->doppler.value;

  return 0.5346 * lorentz + sqrt (0.2166 * lorentz * lorentz + doppler * doppler);
}

static void
make_half (FaintLine *line, double shift)
{
  release (&line->position, FAINT_STATE_FREE);
  release (&line->strength, FAINT_STATE_FREE);
  line->position.value += shift;
  line->strength.value /= 2;
  for (FaintPlace place = 0; place < FAINT_PLACE_N; place++)
    {
      FaintParameter *parameter = faint_line_parameter (line, place);

      parameter->u = parameter->u_noise = NAN;
    }
  for (guint i = 0; i < FAINT_SOURCE_N; i++)
    line->position_from[i] = line->strength_from[i] = line->lorentz_from[i] = NAN;
  line->strength_296 = line->u_strength_296 = line->snr = line->peak = NAN;
}

FaintLineList *
faint_line_ties_split (FaintLineList *lines, guint id, guint *second, GError **error)
{
  g_autofree FaintLine *copy = copy_lines (lines, 0);
  gsize at = faint_line_list_index_of (lines, id);
  g_autoptr (FaintLineList) lower = NULL;
  FaintLine upper;
  double width;

  g_return_val_if_fail (at != G_MAXSIZE, NULL);
  width = half_width (&copy[at]);
  if (!(width > 0) || isnan (copy[at].strength.value))
    {
      g_set_error_literal (error, FAINT_LINE_TIES_ERROR, FAINT_LINE_TIES_ERROR_VALUE,
                           _ ("The line has no width or no strength yet. Fit it first."));
      return NULL;
    }
  upper = copy[at];
  make_half (&copy[at], -width / 2);
  make_half (&upper, width / 2);
  lower = faint_line_list_new (copy, faint_line_list_get_n (lines));
  return faint_line_list_with_added (lower, &upper, second);
}
