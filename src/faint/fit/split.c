/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/split.h"

#include <math.h>
#include <string.h>

#include "faint/fit/split-signature.h"
#include "faint/fit/split-trial.h"
#include "faint/fit/widths.h"
#include "faint/shape/voigt.h"

/* A width is unusual this many standard deviations above the mean: 3 in 100 000 of a normal
 * population are. */
#define UNUSUAL 4.0
/* A line is tried when its residuals promise this part of the criterion: the promise is that of a
 * small split, and it takes no account of the neighbours. */
#define PROMISE 0.4
/* The misfit of one line, as part of the line itself, that an imperfect model may have (find.c). */
#define IMPERFECTION 0.004
/* Windows whose border is nearer to the line than this many half widths take part. */
#define REACH 6.0
/* Several lines are tried at once, each in windows of its own; those that share a window wait. */
#define BATCHES 4
/* A quarter of fewer lines than this says nothing of all. */
#define LEAST_STRONG 6

double
faint_split_criterion (double threshold)
{
  /* The tail of chi-square with three degrees of freedom beyond x, sqrt(2 x/pi) exp(-x/2), is to be
   * sqrt(ln2)/(2 pi) exp(-threshold^2/2) = 0.1325 exp(...). */
  double square = threshold * threshold, x = square;

  for (int i = 0; i < 20; i++)
    x = square + log (2.0 * x / G_PI) - 2.0 * log (0.1325);
  return x;
}

gboolean
faint_split_is_unusual (const FaintSearch *self, gsize line)
{
  double own, u;

  return self->width_known && faint_search_own_width (self, line, &own, &u)
         && own - self->width_mean > UNUSUAL * hypot (self->width_spread / FAINT_WIDTHS_CAUTION, u);
}

/* Only what we found ourselves, with a width of its own. */
static gboolean
may_be_split (const FaintSearch *self, gsize i)
{
  const FaintSearchLine *search = &g_array_index (self->lines, FaintSearchLine, i);
  const FaintLayout *layout = self->model->layout;
  gssize width = layout->place[i][FAINT_PLACE_LORENTZ];

  return search->found && width >= 0 && width < (gssize)layout->n_band
         && layout->place[i][FAINT_PLACE_STRENGTH] >= 0
         && layout->place[i][FAINT_PLACE_POSITION] >= 0 && search->line.strength.value > 0.0
         && search->line.profile == FAINT_PROFILE_VOIGT;
}

static double
worth_of (const FaintSearch *self, gsize line)
{
  return self->model->lines[line].strength.value
         / sqrt (faint_fit_work_line_variance (self->work, line, FAINT_PLACE_STRENGTH))
         / self->noise_scale;
}

/* What the fall of chi-square must reach for this line. */
static double
needed_fall (const FaintSearch *self, gsize line)
{
  double imperfect = IMPERFECTION * worth_of (self, line);

  return MAX (faint_split_criterion (self->options->threshold), imperfect * imperfect);
}

/* The windows that the line's profile reaches. */
static gboolean
choose_windows (const FaintSearch *self, FaintSplitCandidate *candidate)
{
  const FaintLayout *layout = self->model->layout;
  const FaintLine *line = &self->model->lines[candidate->line];
  double reach = REACH * faint_search_half_width (line), position = line->position.value;

  for (gsize k = 0; k < layout->n_windows; k++)
    if (position + reach > layout->windows[k].centre - layout->windows[k].half
        && position - reach < layout->windows[k].centre + layout->windows[k].half)
      {
        if (candidate->n_windows == 0)
          candidate->window = k;
        candidate->n_windows++;
      }
  return candidate->n_windows > 0;
}

static int
most_promising_first (gconstpointer a, gconstpointer b)
{
  const FaintSplitCandidate *x = a, *y = b;

  if (x->promise != y->promise)
    return x->promise > y->promise ? -1 : 1;
  return x->line < y->line ? -1 : x->line > y->line ? 1 : 0;
}

typedef struct
{
  double worth;
  gboolean promising;
} Strong;

static int
strongest_first (gconstpointer a, gconstpointer b)
{
  double x = ((const Strong *)a)->worth, y = ((const Strong *)b)->worth;

  return x > y ? -1 : x < y ? 1 : 0;
}

/* Pairs are few: what most of the strongest quarter of the lines show is the model's. */
static gboolean
is_common (GArray *lines)
{
  guint strongest = lines->len / 4, promising = 0;

  g_array_sort (lines, strongest_first);
  for (guint i = 0; i < strongest; i++)
    promising += g_array_index (lines, Strong, i).promising;
  return strongest >= LEAST_STRONG && 2 * promising > strongest;
}

/* Lines that may be two, most promising first. @common: most strong lines look like that. */
static GArray *
find_candidates (const FaintSearch *self, gboolean *common)
{
  GArray *candidates = g_array_new (FALSE, FALSE, sizeof (FaintSplitCandidate));
  g_autoptr (GArray) strong = g_array_new (FALSE, FALSE, sizeof (Strong));
  g_autoptr (FaintSplitRows) rows = faint_split_rows_new (self->model);
  double noise = self->noise_scale * self->noise_scale;

  for (gsize i = 0; i < self->lines->len; i++)
    {
      FaintSplitCandidate candidate = { .line = i };
      Strong line = { .worth = 0.0 };

      if (!may_be_split (self, i))
        continue;
      candidate.promise = faint_split_signature (rows, i) / noise;
      line.worth = worth_of (self, i);
      line.promising = candidate.promise >= PROMISE * needed_fall (self, i);
      g_array_append_val (strong, line);
      if ((line.promising || faint_split_is_unusual (self, i)) && choose_windows (self, &candidate))
        g_array_append_val (candidates, candidate);
    }
  g_array_sort (candidates, most_promising_first);
  *common = is_common (strong);
  return candidates;
}

static gboolean
windows_apart (const FaintSplitCandidate *a, const FaintSplitCandidate *b)
{
  return a->window + a->n_windows <= b->window || b->window + b->n_windows <= a->window;
}

static int
lower_first (gconstpointer a, gconstpointer b)
{
  const FaintSplitCandidate *x = *(const FaintSplitCandidate *const *)a,
                            *y = *(const FaintSplitCandidate *const *)b;

  return x->line < y->line ? -1 : x->line > y->line ? 1 : 0;
}

/* FaintSplitCandidates that do not touch each other, taken off @waiting. */
static GPtrArray *
choose_batch (GPtrArray *waiting)
{
  GPtrArray *chosen = g_ptr_array_new ();

  for (guint i = 0; i < waiting->len;)
    {
      FaintSplitCandidate *candidate = waiting->pdata[i];
      gboolean apart = TRUE;

      for (guint j = 0; j < chosen->len && apart; j++)
        apart = windows_apart (candidate, chosen->pdata[j]);
      if (apart)
        {
          g_ptr_array_add (chosen, candidate);
          g_ptr_array_remove_index (waiting, i);
        }
      else
        i++;
    }
  g_ptr_array_sort (chosen, lower_first);
  return chosen;
}

/* Puts the pair in the place of the line. It has shown that it is needed, so that its members need
 * not show it again one by one. */
static void
take_pair (FaintSearch *self, const FaintSplitCandidate *candidate)
{
  for (int m = 0; m < 2; m++)
    {
      FaintSearchLine *one = &g_array_index (self->lines, FaintSearchLine, candidate->line);
      FaintSearchLine other = *one;

      for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
        faint_line_parameter (&other.line, p)->value
            = faint_line_peek_parameter (&candidate->pair[m], p)->value;
      other.found_at = other.line.position.value;
      other.needed = other.split = TRUE;
      if (m == 0)
        *one = other;
      else
        g_array_append_val (self->lines, other);
    }
}

gboolean
faint_search_split (FaintSearch *self, guint *split, GError **error)
{
  g_autoptr (GArray) candidates = NULL;
  g_autoptr (GPtrArray) waiting = g_ptr_array_new ();

  *split = 0;
  if (!self->width_known || self->options->lorentz_common)
    return TRUE;
  candidates = find_candidates (self, &self->profile_doubtful);
  if (self->profile_doubtful)
    return TRUE;
  for (guint i = 0; i < candidates->len; i++)
    g_ptr_array_add (waiting, &g_array_index (candidates, FaintSplitCandidate, i));
  for (int batch = 0; batch < BATCHES && waiting->len > 0; batch++)
    if (!faint_split_try (self, choose_batch (waiting), error))
      return FALSE;
  for (guint i = 0; i < candidates->len; i++)
    {
      const FaintSplitCandidate *candidate = &g_array_index (candidates, FaintSplitCandidate, i);

      if (candidate->fall > needed_fall (self, candidate->line))
        {
          take_pair (self, candidate);
          (*split)++;
        }
    }
  return TRUE;
}
