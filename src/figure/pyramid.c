/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Level 0 holds least and greatest values of blocks of 16 samples, every further level those of 16
 * blocks below it. A query takes whole blocks as high up as they fit and the rest from
 * below.
 */
#include "figure/pyramid.h"

#include <math.h>

#define BLOCK 16
#define LEVELS 16 /* 16^16 samples: never reached */

typedef struct
{
  double min, max; /* +inf, -inf in a block without a finite sample */
} Block;

struct _FaintPyramid
{
  gsize n;
  const double *x, *y; /* borrowed from owner */
  gpointer owner;
  GDestroyNotify release;
  Block *level[LEVELS]; /* owned */
  gsize n_blocks[LEVELS];
  guint n_levels;
  gatomicrefcount refs;
};

static const Block nothing = { .min = INFINITY, .max = -INFINITY };

/* The comparisons are false for a NAN, which so never enters. */
static inline Block
with_sample (Block block, double value)
{
  block.min = value < block.min ? value : block.min;
  block.max = value > block.max ? value : block.max;
  return block;
}

static inline Block
with_block (Block block, Block other)
{
  block.min = other.min < block.min ? other.min : block.min;
  block.max = other.max > block.max ? other.max : block.max;
  return block;
}

static void
build_first_level (FaintPyramid *self)
{
  gsize n_blocks = (self->n + BLOCK - 1) / BLOCK;
  self->level[0] = g_new (Block, MAX (n_blocks, 1));
  for (gsize b = 0; b < n_blocks; b++)
    {
      Block block = nothing;
      gsize end = MIN ((b + 1) * BLOCK, self->n);
      for (gsize i = b * BLOCK; i < end; i++)
        block = with_sample (block, self->y[i]);
      self->level[0][b] = block;
    }
  self->n_blocks[0] = n_blocks;
  self->n_levels = 1;
}

static void
build_next_level (FaintPyramid *self)
{
  const Block *below = self->level[self->n_levels - 1];
  gsize n_below = self->n_blocks[self->n_levels - 1];
  gsize n_blocks = (n_below + BLOCK - 1) / BLOCK;
  Block *level = g_new (Block, n_blocks);

  for (gsize b = 0; b < n_blocks; b++)
    {
      level[b] = nothing;
      for (gsize i = b * BLOCK; i < MIN ((b + 1) * BLOCK, n_below); i++)
        level[b] = with_block (level[b], below[i]);
    }
  self->level[self->n_levels] = level;
  self->n_blocks[self->n_levels++] = n_blocks;
}

FaintPyramid *
faint_pyramid_new (const double *x, const double *y, gsize n, gpointer owner,
                   GDestroyNotify release)
{
  FaintPyramid *self = g_new0 (FaintPyramid, 1);
  self->n = n;
  self->x = x;
  self->y = y;
  self->owner = owner;
  self->release = release;
  g_atomic_ref_count_init (&self->refs);
  build_first_level (self);
  while (self->n_blocks[self->n_levels - 1] > BLOCK)
    build_next_level (self);
  return self;
}

FaintPyramid *
faint_pyramid_ref (FaintPyramid *self)
{
  g_atomic_ref_count_inc (&self->refs);
  return self;
}

void
faint_pyramid_unref (FaintPyramid *self)
{
  if (self == NULL || !g_atomic_ref_count_dec (&self->refs))
    return;
  for (guint i = 0; i < self->n_levels; i++)
    g_free (self->level[i]);
  if (self->release != NULL)
    self->release (self->owner);
  g_free (self);
}

const double *
faint_pyramid_get_x (const FaintPyramid *self, gsize *n)
{
  if (n != NULL)
    *n = self->n;
  return self->x;
}

const double *
faint_pyramid_get_y (const FaintPyramid *self, gsize *n)
{
  if (n != NULL)
    *n = self->n;
  return self->y;
}

/* First sample of [first, end) at or above @x; @end if none. */
static gsize
lower_bound (const double *array, gsize first, gsize end, double x)
{
  while (first < end)
    {
      gsize middle = first + (end - first) / 2;
      if (array[middle] < x)
        first = middle + 1;
      else
        end = middle;
    }
  return first;
}

gsize
faint_pyramid_index (const FaintPyramid *self, double wavenumber)
{
  return lower_bound (self->x, 0, self->n, wavenumber);
}

/* First sample strictly above @x. */
static gsize
upper_bound (const FaintPyramid *self, double x)
{
  return lower_bound (self->x, 0, self->n, nextafter (x, INFINITY));
}

gsize
faint_pyramid_nearest (const FaintPyramid *self, double wavenumber)
{
  if (self->n == 0)
    return G_MAXSIZE;
  gsize above = faint_pyramid_index (self, wavenumber);
  if (above == 0)
    return 0;
  if (above == self->n)
    return self->n - 1;
  return wavenumber - self->x[above - 1] < self->x[above] - wavenumber ? above - 1 : above;
}

/* Blocks [first, end) of @level, climbing while whole blocks above fit. */
static Block
gather_blocks (const FaintPyramid *self, guint level, gsize first, gsize end)
{
  Block block = nothing;
  for (; first < end; level++)
    {
      const Block *blocks = self->level[level];
      gboolean is_top = level + 1 == self->n_levels;
      while (first < end && (is_top || first % BLOCK != 0))
        block = with_block (block, blocks[first++]);
      while (first < end && end % BLOCK != 0)
        block = with_block (block, blocks[--end]);
      first /= BLOCK;
      end /= BLOCK;
    }
  return block;
}

static Block
gather (const FaintPyramid *self, gsize first, gsize end)
{
  Block block = nothing;
  while (first < end && first % BLOCK != 0)
    block = with_sample (block, self->y[first++]);
  while (first < end && end % BLOCK != 0)
    block = with_sample (block, self->y[--end]);
  if (first < end)
    block = with_block (block, gather_blocks (self, 0, first / BLOCK, end / BLOCK));
  return block;
}

gboolean
faint_pyramid_extent (const FaintPyramid *self, gsize first, gsize end, FaintRange *range)
{
  Block block = gather (self, first, MIN (end, self->n));
  if (!isfinite (block.min) || !isfinite (block.max))
    return FALSE;
  *range = (FaintRange){ .lower = block.min, .upper = block.max };
  return TRUE;
}

gboolean
faint_pyramid_extent_across (const FaintPyramid *self, FaintRange across, FaintRange *range)
{
  return faint_pyramid_extent (self, faint_pyramid_index (self, across.lower),
                               upper_bound (self, across.upper), range);
}

void
faint_pyramid_columns (const FaintPyramid *self, FaintRange across, gsize n, FaintColumn *columns)
{
  gsize first = faint_pyramid_index (self, across.lower);
  gsize last = upper_bound (self, across.upper);

  for (gsize i = 0; i < n; i++)
    {
      double border = across.lower + faint_range_width (across) * (double)(i + 1) / (double)n;
      gsize end = i + 1 == n ? last : lower_bound (self->x, first, last, border);
      Block block = gather (self, first, end);
      gboolean is_empty = !(block.min <= block.max);

      columns[i] = (FaintColumn){
        .first = first,
        .end = end,
        .min = is_empty ? NAN : block.min,
        .max = is_empty ? NAN : block.max,
        .left = first < end ? self->y[first] : NAN,
        .right = first < end ? self->y[end - 1] : NAN,
      };
      first = end;
    }
}

double
faint_pyramid_density (const FaintPyramid *self, FaintRange across, gsize n)
{
  gsize samples = upper_bound (self, across.upper) - faint_pyramid_index (self, across.lower);
  return n > 0 ? (double)samples / (double)n : 0.0;
}
