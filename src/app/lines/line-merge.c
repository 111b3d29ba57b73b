/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/lines/line-merge.h"

#include <glib/gi18n.h>
#include <string.h>

#include "app/lines/line-ties.h"

typedef struct
{
  double strength, position, lorentz; /* sums, the latter two weighted */
  const FaintLine *strongest;
  const char *upper, *lower; /* labels; NULL: they differ */
  gsize n;
} Sums;

/* A label that is there wins over none; two that differ leave none. */
static const char *
agreed (const char *so_far, const char *label)
{
  if (so_far == NULL || *label == '\0')
    return so_far;
  return *so_far == '\0' || strcmp (so_far, label) == 0 ? label : NULL;
}

static void
add (Sums *sums, const FaintLine *line)
{
  double strength = line->strength.value;

  sums->strength += strength;
  sums->position += strength * line->position.value;
  sums->lorentz += strength * line->lorentz.value;
  sums->upper = agreed (sums->upper, line->upper);
  sums->lower = agreed (sums->lower, line->lower);
  if (sums->strongest == NULL || strength > sums->strongest->strength.value)
    sums->strongest = line;
  sums->n++;
}

static void
forget_noise (FaintLine *line)
{
  for (FaintPlace place = 0; place < FAINT_PLACE_N; place++)
    {
      FaintParameter *parameter = faint_line_parameter (line, place);

      parameter->u = parameter->u_noise = NAN;
      if (parameter->state != FAINT_STATE_TIED)
        continue;
      parameter->state = FAINT_STATE_FREE;
      parameter->tied_to = 0;
      parameter->tie_factor = 1.0;
      parameter->tie_offset = 0.0;
    }
  for (guint i = 0; i < FAINT_SOURCE_N; i++)
    line->position_from[i] = line->strength_from[i] = line->lorentz_from[i] = NAN;
  line->strength_296 = line->u_strength_296 = line->snr = line->peak = NAN;
}

static FaintLine
line_of (const Sums *sums)
{
  FaintLine line = *sums->strongest;

  forget_noise (&line);
  line.position.value = sums->position / sums->strength;
  line.strength.value = sums->strength;
  if (isfinite (sums->lorentz))
    line.lorentz.value = sums->lorentz / sums->strength;
  line.upper = sums->upper != NULL ? sums->upper : "";
  line.lower = sums->lower != NULL ? sums->lower : "";
  return line;
}

FaintLineList *
faint_lines_merge (FaintLineList *lines, const guint *ids, gsize n, guint *merged, GError **error)
{
  Sums sums = { .upper = "", .lower = "" };
  g_autoptr (FaintLineList) fewer = NULL;
  g_autoptr (GArray) gone = g_array_new (FALSE, FALSE, sizeof (guint));
  FaintLine line;

  for (gsize i = 0; i < n; i++)
    {
      const FaintLine *found = faint_line_list_find (lines, ids[i]);

      if (found)
        add (&sums, found);
    }
  g_return_val_if_fail (sums.n >= 2, NULL);
  if (!(sums.strength > 0))
    {
      g_set_error_literal (error, FAINT_LINE_TIES_ERROR, FAINT_LINE_TIES_ERROR_VALUE,
                           _ ("The strengths of the lines are not known, or do not add up to more "
                              "than 0. Fit them first."));
      return NULL;
    }
  line = line_of (&sums);
  *merged = line.id;
  for (gsize i = 0; i < n; i++)
    if (ids[i] != line.id)
      g_array_append_val (gone, ids[i]);
  fewer = faint_line_list_with_removed (lines, (const guint *)(void *)gone->data, gone->len);
  return faint_line_list_with_replaced (fewer, &line);
}
