/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which sub-band of a top is which. Lower levels of neighbouring K have nearly the same differences
 * in J, so that a chain alone may be given to the wrong K. The constants of the whole band know
 * better: a sub-band most of whose lines they do not explain, and all but explain under the labels
 * of another K, gets those.
 */
#include "faint/assign/assignment-private.h"

#include <math.h>

#define ASTRAY 0.5    /* share of unexplained lines above which a sub-band is in the wrong place */
#define EXPLAINED 0.7 /* share of explained lines above which another place is the right one */
#define ROUNDS 3

/* The lines of one ladder in one band. */
typedef struct
{
  guint band, ladder, n;
  int to; /* ladder of the first band; -1: stays */
} SubBand;

static gboolean
is_explained (const FaintAssignment *self, const FaintAssigned *it, guint band, guint ladder)
{
  double u, place = faint_band_position (g_array_index (self->bands, FaintAssignedBand, band).band,
                                         ladder, it->line.j, it->line.branch, &u);

  return isfinite (place)
         && fabs (it->line.nu - place) <= self->options.band.limit * hypot (u, it->line.u);
}

/* Share of a sub-band's lines that @band's constants explain as lines of @ladder. */
static double
share_explained (const FaintAssignment *self, const SubBand *from, guint band, guint ladder)
{
  guint n = 0;

  for (guint i = 0; i < self->lines->len; i++)
    {
      const FaintAssigned *it = &g_array_index (self->lines, FaintAssigned, i);

      if (it->band == from->band && it->line.ladder == from->ladder)
        n += is_explained (self, it, band, ladder);
    }
  return from->n > 0 ? (double)n / from->n : 0.0;
}

static GArray *
find_sub_bands (const FaintAssignment *self)
{
  GArray *found = g_array_new (FALSE, FALSE, sizeof (SubBand));

  for (guint i = 0; i < self->lines->len; i++)
    {
      const FaintAssigned *it = &g_array_index (self->lines, FaintAssigned, i);
      SubBand here = { .band = it->band, .ladder = it->line.ladder, .n = 1, .to = -1 };
      guint k = 0;

      while (k < found->len
             && (g_array_index (found, SubBand, k).band != here.band
                 || g_array_index (found, SubBand, k).ladder != here.ladder))
        k++;
      if (k < found->len)
        g_array_index (found, SubBand, k).n++;
      else
        g_array_append_val (found, here);
    }
  return found;
}

/* Where a sub-band that is astray belongs; stays where no place explains it. */
static void
find_place (const FaintAssignment *self, SubBand *it)
{
  double best = EXPLAINED;

  it->to = -1;
  if (it->band == 0 && share_explained (self, it, 0, it->ladder) >= 1.0 - ASTRAY)
    return;
  for (guint l = 0; l < self->ladders->len; l++)
    {
      double share = it->band == 0 && l == it->ladder ? 0.0 : share_explained (self, it, 0, l);

      if (share > best)
        {
          best = share;
          it->to = (int)l;
        }
    }
}

/* Is the place free, or does the sub-band that has it move too? Of two that go there the larger. */
static gboolean
may_go (const GArray *all, guint index)
{
  const SubBand *it = &g_array_index (all, SubBand, index);

  for (guint i = 0; i < all->len; i++)
    {
      const SubBand *other = &g_array_index (all, SubBand, i);

      if (i == index)
        continue;
      if (other->to < 0 && other->band == 0 && (int)other->ladder == it->to)
        return FALSE;
      if (other->to == it->to && (other->n > it->n || (other->n == it->n && i < index)))
        return FALSE;
    }
  return TRUE;
}

static void
relabel (FaintAssignment *self, FaintAssigned *it, guint ladder)
{
  const FaintLevel *lower = faint_ladder_lower (g_ptr_array_index (self->ladders, ladder),
                                                self->levels, it->line.branch, it->line.j);

  it->band = 0;
  it->line.ladder = ladder;
  g_free (it->upper);
  g_free (it->lower);
  it->upper = faint_assignment_upper_label (self, 0, ladder, it->line.j);
  it->lower = g_strdup (lower->label);
}

/* Moves the lines of all sub-bands at once; those whose transition does not exist there lose their
 * label. */
static void
move (FaintAssignment *self, const GArray *all)
{
  for (guint i = self->lines->len; i-- > 0;)
    {
      FaintAssigned *it = &g_array_index (self->lines, FaintAssigned, i);
      int to = -1;

      for (guint k = 0; k < all->len; k++)
        if (g_array_index (all, SubBand, k).band == it->band
            && g_array_index (all, SubBand, k).ladder == it->line.ladder)
          to = g_array_index (all, SubBand, k).to;
      if (to < 0)
        continue;
      if (faint_ladder_lower (g_ptr_array_index (self->ladders, (guint)to), self->levels,
                              it->line.branch, it->line.j)
          == NULL)
        g_array_remove_index (self->lines, i);
      else
        relabel (self, it, (guint)to);
    }
}

/* Bands that lost all their lines go, and the marks of the used ladders are made again. */
static void
tidy (FaintAssignment *self)
{
  for (guint band = self->bands->len; band-- > 0;)
    {
      FaintAssignedBand *it = &g_array_index (self->bands, FaintAssignedBand, band);
      guint n = 0;

      for (guint l = 0; l < self->ladders->len; l++)
        it->uses_ladder[l] = 0;
      for (guint i = 0; i < self->lines->len; i++)
        {
          const FaintAssigned *line = &g_array_index (self->lines, FaintAssigned, i);

          if (line->band != band)
            continue;
          it->uses_ladder[line->line.ladder] = 1;
          n++;
        }
      if (n > 0)
        continue;
      g_array_remove_index (self->bands, band);
      for (guint i = 0; i < self->lines->len; i++)
        if (g_array_index (self->lines, FaintAssigned, i).band > band)
          g_array_index (self->lines, FaintAssigned, i).band--;
    }
}

static gboolean
move_once (FaintAssignment *self)
{
  g_autoptr (GArray) all = find_sub_bands (self);
  g_autofree gboolean *go = g_new0 (gboolean, all->len + 1);
  gboolean any = FALSE, changed = TRUE;

  for (guint i = 0; i < all->len; i++)
    find_place (self, &g_array_index (all, SubBand, i));
  /* A sub-band that has to stay may be in the way of another. */
  while (changed)
    {
      changed = FALSE;
      for (guint i = 0; i < all->len; i++)
        go[i] = g_array_index (all, SubBand, i).to >= 0 && may_go (all, i);
      for (guint i = 0; i < all->len; i++)
        if (g_array_index (all, SubBand, i).to >= 0 && !go[i])
          {
            g_array_index (all, SubBand, i).to = -1;
            changed = TRUE;
          }
    }
  for (guint i = 0; i < all->len; i++)
    any = any || g_array_index (all, SubBand, i).to >= 0;
  if (any)
    {
      move (self, all);
      tidy (self);
    }
  return any;
}

/* Would the first band's constants have the line in another ladder, and not where it is? */
static gboolean
is_stray (const FaintAssignment *self, const FaintAssigned *it)
{
  if (it->band == 0 && is_explained (self, it, 0, it->line.ladder))
    return FALSE;
  for (guint l = 0; l < self->ladders->len; l++)
    if ((it->band != 0 || l != it->line.ladder) && is_explained (self, it, 0, l))
      return TRUE;
  return FALSE;
}

/* Single lines that a chain took from another one lose their labels; the constants foretell them
 * again where they belong. */
static gboolean
release_strays (FaintAssignment *self)
{
  guint before = self->lines->len;

  for (guint i = before; i-- > 0;)
    if (is_stray (self, &g_array_index (self->lines, FaintAssigned, i)))
      g_array_remove_index (self->lines, i);
  if (self->lines->len < before)
    tidy (self);
  return self->lines->len < before;
}

gboolean
faint_assigning_settle_ladders (FaintAssigning *self, GError **error)
{
  FaintAssignment *result = self->result;

  if (faint_levels_get_constants (result->levels)->molecule != FAINT_MOLECULE_SYMMETRIC_TOP)
    return TRUE;
  for (guint i = 0; i < ROUNDS && result->bands->len > 0 && move_once (result); i++)
    if (!faint_assigning_fit (self, error))
      return FALSE;
  return result->bands->len == 0 || !release_strays (result) || faint_assigning_fit (self, error);
}
