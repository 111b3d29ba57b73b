/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/far.h"

#include <math.h>
#include <string.h>

#include "faint/base/parallel.h"
#include "faint/base/units.h"
#include "faint/fit/kernel-private.h"

#define N FAINT_FAR_NODES
/* Lines that one thread serves at a time; fewer pairs of line and stretch than this many are not
 * worth a second thread. */
#define PIECE 64
#define PAIRS_FOR_THREADS 20000
/* The tree falls into about this many branches, which different threads may walk. */
#define BRANCHES 32

/* A stretch of neighbouring windows; a window itself where it has no children. */
typedef struct
{
  gsize parent; /* of itself for the root */
  gsize window; /* the first one, a leaf's only one */
  gsize n_windows;
  gsize behind;        /* the next node that is not below this one */
  double centre, half; /* cm-1 */
  gsize near_first, near_end;
} Node;

struct _FaintFar
{
  const FaintLayout *layout;
  const FaintFitKernel *kernel;
  guint threads;
  gsize n_nodes; /* parents before children */
  Node *nodes;
  gsize *leaf; /* node of each window */
  gsize n_trunk, n_branches;
  gsize *trunk;  /* nodes above the branches, parents before children */
  gsize *branch; /* topmost node of each branch */
  gsize pairs;   /* of lines and the nodes where they count */
  FaintFarTable table;
  double (*re)[N], (*im)[N]; /* far sums at the places of each node */
  double (*a)[N], (*b)[N];   /* gathered weights there */
  FaintFarLine *lines;       /* of the last sums */
  FaintFarWorth *worth;      /* of each line */
};

/* Lines that may count at @node: those not far from its parent; of them, those outside its own near
 * range do. */
static void
candidates (const FaintFar *self, gsize index, gsize *first, gsize *end)
{
  const Node *parent = &self->nodes[self->nodes[index].parent];

  *first = index == 0 ? 0 : parent->near_first;
  *end = index == 0 ? self->layout->n_lines : parent->near_end;
}

/* Adds the stretch of windows [first, end) and all below it. */
static void
add_stretch (FaintFar *self, gsize parent, gsize first, gsize end)
{
  const FaintLayoutWindow *low = &self->layout->windows[first];
  const FaintLayoutWindow *high = &self->layout->windows[end - 1];
  gsize index = self->n_nodes++, middle = (first + end) / 2;
  Node *node = &self->nodes[index];
  double lower = low->centre - low->half, upper = high->centre + high->half;

  node->parent = index == 0 ? 0 : parent;
  node->window = first;
  node->centre = 0.5 * (lower + upper);
  node->half = 0.5 * (upper - lower);
  node->n_windows = end - first;
  if (end - first == 1)
    {
      self->leaf[first] = index;
      node->near_first = low->near_first;
      node->near_end = low->near_first + low->n_near;
      node->behind = self->n_nodes;
      return;
    }
  faint_layout_near (self->layout, node->centre, node->half, &node->near_first, &node->near_end);
  add_stretch (self, index, first, middle);
  add_stretch (self, index, middle, end);
  node->behind = self->n_nodes;
}

static void
divide_tree (FaintFar *self)
{
  gsize most = self->layout->n_windows / BRANCHES + 1;

  for (gsize k = 0; k < self->n_nodes; k++)
    if (self->nodes[k].n_windows > most)
      self->trunk[self->n_trunk++] = k;
    else if (k == 0 || self->nodes[self->nodes[k].parent].n_windows > most)
      self->branch[self->n_branches++] = k;
}

static void
fill_table (FaintFarTable *table)
{
  for (int j = 0; j < N; j++)
    {
      table->place[j] = cos (G_PI * (j + 0.5) / N);
      for (int m = 0; m < N; m++)
        {
          table->to_coefficient[m][j] = cos (m * G_PI * (j + 0.5) / N) * (m == 0 ? 1.0 : 2.0) / N;
          table->transposed[j][m] = table->to_coefficient[m][j];
        }
    }
}

static void
count_pairs (FaintFar *self)
{
  for (gsize k = 0; k < self->n_nodes; k++)
    {
      gsize first, end;

      candidates (self, k, &first, &end);
      self->pairs += (end - first) - (self->nodes[k].near_end - self->nodes[k].near_first);
    }
}

FaintFar *
faint_far_new (const FaintLayout *layout)
{
  FaintFar *self = g_new0 (FaintFar, 1);
  gsize most = 2 * MAX (layout->n_windows, 1);

  self->layout = layout;
  self->nodes = g_new0 (Node, most);
  self->leaf = g_new0 (gsize, most);
  self->trunk = g_new0 (gsize, most);
  self->branch = g_new0 (gsize, most);
  self->re = g_malloc0_n (most, sizeof *self->re);
  self->im = g_malloc0_n (most, sizeof *self->im);
  self->a = g_malloc0_n (most, sizeof *self->a);
  self->b = g_malloc0_n (most, sizeof *self->b);
  self->kernel = faint_fit_kernel ();
  self->threads = 1;
  self->lines = g_new0 (FaintFarLine, MAX (layout->n_lines, 1));
  self->worth = g_new (FaintFarWorth, MAX (layout->n_lines, 1));
  if (layout->n_windows > 0)
    add_stretch (self, 0, 0, layout->n_windows);
  divide_tree (self);
  count_pairs (self);
  /* With one line and one window nothing is interpolated. */
  if (self->pairs > 0 || layout->n_lines > 1)
    fill_table (&self->table);
  return self;
}

void
faint_far_use_threads (FaintFar *self, guint threads)
{
  self->threads = threads;
}

const FaintFarTable *
faint_far_get_table (const FaintFar *self)
{
  return &self->table;
}

void
faint_far_free (FaintFar *self)
{
  if (self == NULL)
    return;
  g_free (self->nodes);
  g_free (self->leaf);
  g_free (self->trunk);
  g_free (self->branch);
  g_free (self->re);
  g_free (self->im);
  g_free (self->a);
  g_free (self->b);
  g_free (self->lines);
  g_free (self->worth);
  g_free (self);
}

static guint
threads_for (const FaintFar *self)
{
  return self->pairs < PAIRS_FOR_THREADS ? 1 : self->threads;
}

/* Where a node's places stand from its centre, cm-1. */
static void
offsets_of (const FaintFar *self, const Node *node, double offset[N])
{
  for (int j = 0; j < N; j++)
    offset[j] = node->half * self->table.place[j];
}

/* Places of a node in its parent. */
static void
places_in_parent (const FaintFar *self, const Node *node, double x[N])
{
  const Node *parent = &self->nodes[node->parent];

  for (int j = 0; j < N; j++)
    x[j] = (node->centre + node->half * self->table.place[j] - parent->centre) / parent->half;
}

/* Strength 0 takes out a line whatever else it holds. */
static void
take_lines (FaintFar *self, const FaintLine *lines)
{
  for (gsize i = 0; i < self->layout->n_lines; i++)
    {
      double doppler = lines[i].doppler.value;

      self->lines[i]
          = (FaintFarLine){ lines[i].position.value, lines[i].strength.value,
                            lines[i].lorentz.value, doppler * doppler / (2.0 * FAINT_LN2) };
      if ((lines[i].flags & FAINT_LINE_EXCLUDED) != 0)
        self->lines[i] = (FaintFarLine){ self->layout->position[i], 0.0, 0.0, 0.0 };
    }
}

static void
sum_node (gsize k, guint thread, gpointer data)
{
  FaintFar *self = data;
  const Node *node = &self->nodes[k];
  double offset[N];
  gsize first, end;

  for (int j = 0; j < N; j++)
    self->re[k][j] = self->im[k][j] = 0.0;
  candidates (self, k, &first, &end);
  offsets_of (self, node, offset);
  self->kernel->far_sum (self->lines + first, node->near_first - first, node->centre, offset,
                         self->re[k], self->im[k]);
  self->kernel->far_sum (self->lines + node->near_end, end - node->near_end, node->centre, offset,
                         self->re[k], self->im[k]);
}

/* What its parent's sums are at the places of node @k. */
static void
inherit (FaintFar *self, gsize k)
{
  gsize parent = self->nodes[k].parent;
  double x[N];

  if (k == 0)
    return;
  places_in_parent (self, &self->nodes[k], x);
  self->kernel->far_interpolate (&self->table, self->re[parent], self->im[parent], x, N, 1.0,
                                 self->re[k], self->im[k]);
}

static void
inherit_branch (gsize branch, guint thread, gpointer data)
{
  FaintFar *self = data;
  gsize top = self->branch[branch];

  for (gsize k = top; k < self->nodes[top].behind; k++)
    inherit (self, k);
}

void
faint_far_compute (FaintFar *self, const FaintLine *lines)
{
  if (self->pairs == 0)
    return;
  take_lines (self, lines);
  faint_parallel_for (self->n_nodes, threads_for (self), sum_node, self);
  for (gsize i = 0; i < self->n_trunk; i++)
    inherit (self, self->trunk[i]);
  faint_parallel_for (self->n_branches, threads_for (self), inherit_branch, self);
}

/* Has the window no far lines at all? */
static gboolean
stands_alone (const FaintFar *self, gsize window)
{
  return self->layout->windows[window].n_near == self->layout->n_lines;
}

void
faint_far_peek (const FaintFar *self, gsize window, double re[N], double im[N])
{
  gsize leaf = self->leaf[window];

  memcpy (re, self->re[leaf], N * sizeof (double));
  memcpy (im, self->im[leaf], N * sizeof (double));
}

void
faint_far_add (const FaintFar *self, gsize window, const double *x, gsize n, double factor,
               double *sum_re, double *sum_im)
{
  gsize leaf = self->leaf[window];

  if (!stands_alone (self, window))
    self->kernel->far_interpolate (&self->table, self->re[leaf], self->im[leaf], x, n, factor,
                                   sum_re, sum_im);
}

void
faint_far_gather (FaintFar *self, gsize window, const double *x, gsize n, const double *a,
                  const double *b)
{
  gsize leaf = self->leaf[window];

  for (int j = 0; j < N; j++)
    self->a[leaf][j] = self->b[leaf][j] = 0.0;
  if (!stands_alone (self, window))
    self->kernel->far_gather (&self->table, x, n, a, b, self->a[leaf], self->b[leaf]);
}

static void
clear_weights (FaintFar *self, gsize k)
{
  if (self->leaf[self->nodes[k].window] != k)
    for (int j = 0; j < N; j++)
      self->a[k][j] = self->b[k][j] = 0.0;
}

/* The places of node @k's parent carry what its own are worth. */
static void
bequeath (FaintFar *self, gsize k)
{
  gsize parent = self->nodes[k].parent;
  double x[N];

  if (k == 0)
    return;
  places_in_parent (self, &self->nodes[k], x);
  self->kernel->far_gather (&self->table, x, N, self->a[k], self->b[k], self->a[parent],
                            self->b[parent]);
}

/* Up to the top of the branch, whose parent is not this thread's alone. */
static void
bequeath_branch (gsize branch, guint thread, gpointer data)
{
  FaintFar *self = data;
  gsize top = self->branch[branch], behind = self->nodes[top].behind;

  for (gsize k = top; k < behind; k++)
    clear_weights (self, k);
  for (gsize k = behind; k-- > top + 1;)
    bequeath (self, k);
}

static void
bequeath_all (FaintFar *self)
{
  faint_parallel_for (self->n_branches, threads_for (self), bequeath_branch, self);
  for (gsize i = 0; i < self->n_trunk; i++)
    clear_weights (self, self->trunk[i]);
  for (gsize i = 0; i < self->n_branches; i++)
    bequeath (self, self->branch[i]);
  for (gsize i = self->n_trunk; i-- > 0;)
    bequeath (self, self->trunk[i]);
}

/* Adds what node @k says to the lines of [first, end). */
static void
project (FaintFar *self, gsize k, gsize first, gsize end)
{
  const Node *node = &self->nodes[k];
  double offset[N];

  if (first >= end)
    return;
  offsets_of (self, node, offset);
  self->kernel->far_project (self->lines + first, end - first, node->centre, offset, self->a[k],
                             self->b[k], self->worth + first);
}

/* All nodes for the lines of one piece, in their order whoever does it. */
static void
project_piece (gsize piece, guint thread, gpointer data)
{
  FaintFar *self = data;
  gsize from = piece * PIECE, to = MIN (from + PIECE, self->layout->n_lines);

  for (gsize i = from; i < to; i++)
    self->worth[i] = (FaintFarWorth){ 0.0, 0.0, 0.0 };
  for (gsize k = 0; k < self->n_nodes;)
    {
      const Node *node = &self->nodes[k];
      gsize first, end;

      candidates (self, k, &first, &end);
      if (end <= from || first >= to)
        {
          k = node->behind;
          continue;
        }
      project (self, k, MAX (first, from), MIN (node->near_first, to));
      project (self, k, MAX (node->near_end, from), MIN (end, to));
      k++;
    }
}

/* The Doppler width enters the wings in second order (h) only; its gradient there is left out: at
 * 25 Doppler widths it is 1e-3 of a wing that is itself 1e-3 of the peak. */
static void
add_worth (const FaintFarWorth *worth, double strength, const gssize *at, const double *tie,
           double column, double *gradient)
{
  if (at[FAINT_PLACE_STRENGTH] >= 0)
    gradient[at[FAINT_PLACE_STRENGTH]] += tie[FAINT_PLACE_STRENGTH] * column * worth->strength;
  if (at[FAINT_PLACE_POSITION] >= 0)
    gradient[at[FAINT_PLACE_POSITION]]
        += tie[FAINT_PLACE_POSITION] * column * strength * worth->position;
  if (at[FAINT_PLACE_LORENTZ] >= 0)
    gradient[at[FAINT_PLACE_LORENTZ]]
        += tie[FAINT_PLACE_LORENTZ] * column * strength * worth->lorentz;
}

void
faint_far_scatter (FaintFar *self, const FaintLine *lines, double column, double *gradient)
{
  gsize n = self->layout->n_lines;

  if (self->pairs == 0)
    return;
  take_lines (self, lines);
  bequeath_all (self);
  faint_parallel_for ((n + PIECE - 1) / PIECE, threads_for (self), project_piece, self);
  for (gsize i = 0; i < n; i++)
    if ((lines[i].flags & FAINT_LINE_EXCLUDED) == 0)
      add_worth (&self->worth[i], lines[i].strength.value, self->layout->place[i],
                 self->layout->factor[i], column, gradient);
}
