/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/layout.h"

#include <math.h>

/* Least width of a window in typical half widths: wide enough that the baseline's coefficients cost
 * the lines little of their information, narrow enough that a low polynomial follows the baseline.
 */
#define WINDOW_HALF_WIDTHS 60.0
#define WINDOW_LEAST_TEETH 24
/* A window reaches at most this many least widths. */
#define WINDOW_MOST 2.0
/* Lines within this many half widths of the centre of a window are computed directly, and never
 * fewer than this many Doppler widths beyond its border, where the wing's series (far.h) holds. */
#define NEAR_HALF_WIDTHS 2.0
#define NEAR_DOPPLER_WIDTHS 25.0

static double
distance_to_nearest (const FaintLine *lines, gsize n_lines, double wavenumber)
{
  gsize low = 0, high = n_lines;
  double nearest = INFINITY;

  while (low < high)
    {
      gsize middle = (low + high) / 2;
      if (lines[middle].position.value < wavenumber)
        low = middle + 1;
      else
        high = middle;
    }
  if (low < n_lines)
    nearest = lines[low].position.value - wavenumber;
  if (low > 0)
    nearest = MIN (nearest, wavenumber - lines[low - 1].position.value);
  return nearest;
}

/* The tooth in [from, to] that is farthest from any line, in the middle of equals. */
static gsize
best_cut (const FaintSpectrum *spectrum, const FaintLine *lines, gsize n_lines, gsize from,
          gsize to)
{
  gsize best = (from + to) / 2;
  double best_distance = -1.0;

  for (gsize i = from; i <= to; i++)
    {
      double distance = distance_to_nearest (lines, n_lines, spectrum->wavenumber[i]);
      if (distance > best_distance && isfinite (distance))
        {
          best = i;
          best_distance = distance;
        }
    }
  return best;
}

/* First tooth that lies @width above tooth @from and at least @least teeth from it. */
static gsize
tooth_after (const FaintSpectrum *spectrum, gsize from, double width, gsize least)
{
  gsize at = faint_spectrum_index (spectrum, spectrum->wavenumber[from] + width);

  return MAX (at, from + least);
}

static void
cut_windows (GArray *cuts, const FaintSpectrum *spectrum, const FaintLine *lines, gsize n_lines,
             gsize first, gsize end, double width, gsize least)
{
  gsize from = first;

  g_array_append_val (cuts, from);
  while (TRUE)
    {
      gsize earliest = tooth_after (spectrum, from, width, least);
      gsize latest = tooth_after (spectrum, from, WINDOW_MOST * width, 2 * least);

      /* What is left must make a whole window of its own. */
      if (latest >= end || tooth_after (spectrum, latest, 0.5 * width, least) >= end)
        break;
      from = best_cut (spectrum, lines, n_lines, earliest, latest);
      g_array_append_val (cuts, from);
    }
  g_array_append_val (cuts, end);
}

/* A baseline needs teeth: a window that has lost too many of them joins its neighbour. */
static void
join_starved (GArray *cuts, const FaintSpectrum *spectrum, gsize least)
{
  guint k = 0;

  while (spectrum->excluded != NULL && k + 1 < cuts->len && cuts->len > 2)
    {
      gsize first = g_array_index (cuts, gsize, k), end = g_array_index (cuts, gsize, k + 1);

      if (faint_spectrum_count_used (spectrum, first, end - first) >= least)
        k++;
      else if (k + 2 < cuts->len)
        g_array_remove_index (cuts, k + 1);
      else
        g_array_remove_index (cuts, k--);
    }
}

static gsize
positions_below (const double *position, gsize n_lines, double wavenumber)
{
  gsize low = 0, high = n_lines;

  while (low < high)
    {
      gsize middle = (low + high) / 2;
      if (position[middle] < wavenumber)
        low = middle + 1;
      else
        high = middle;
    }
  return low;
}

void
faint_layout_near (const FaintLayout *self, double centre, double half, gsize *first, gsize *end)
{
  double reach = MAX (NEAR_HALF_WIDTHS * half, half + NEAR_DOPPLER_WIDTHS * self->widest);

  *first = positions_below (self->position, self->n_lines, centre - reach);
  *end = positions_below (self->position, self->n_lines, centre + reach);
}

static void
place_window (FaintLayout *self, FaintLayoutWindow *window, const FaintSpectrum *spectrum)
{
  double lower = spectrum->wavenumber[window->first];
  double upper = spectrum->wavenumber[window->first + window->n - 1];
  gsize end;

  window->centre = 0.5 * (lower + upper);
  window->half = MAX (0.5 * (upper - lower), 1e-9);
  faint_layout_near (self, window->centre, window->half, &window->near_first, &end);
  window->n_near = end - window->near_first;
}

/* A line stands in the window whose teeth surround it; border teeth divide the gap between. */
static void
assign_lines (FaintLayout *self, const FaintSpectrum *spectrum)
{
  gsize line = positions_below (self->position, self->n_lines, spectrum->wavenumber[self->first]);
  gsize stop = positions_below (
      self->position, self->n_lines,
      nextafter (spectrum->wavenumber[self->first + self->n_teeth - 1], INFINITY));

  for (gsize k = 0; k < self->n_windows; k++)
    {
      FaintLayoutWindow *window = &self->windows[k];
      gsize end = stop;

      if (k + 1 < self->n_windows)
        end = positions_below (self->position, self->n_lines,
                               spectrum->wavenumber[self->windows[k + 1].first]);
      window->line_first = line;
      window->n_lines = end > line ? end - line : 0;
      line = MAX (line, end);
    }
}

/* Window of every line, or n_windows where it stands in none. */
static gsize *
windows_of_lines (const FaintLayout *self)
{
  gsize *window = g_new (gsize, MAX (self->n_lines, 1));

  for (gsize i = 0; i < self->n_lines; i++)
    window[i] = self->n_windows;
  for (gsize k = 0; k < self->n_windows; k++)
    for (gsize i = 0; i < self->windows[k].n_lines; i++)
      window[self->windows[k].line_first + i] = k;
  return window;
}

/* What placing the parameters needs to know of the lines. */
typedef struct
{
  FaintLayout *layout;
  const FaintLine *lines;
  const FaintFitOptions *options;
  gsize *window;
  gsize (*root)[FAINT_PLACE_N];      /* line whose parameter it follows; itself if none */
  gboolean (*shared)[FAINT_PLACE_N]; /* followed from far away: belongs into the border */
} Placing;

static gboolean
is_fitted (const FaintLine *line, FaintPlace p, FaintParameterState state)
{
  return (line->flags & FAINT_LINE_EXCLUDED) == 0 && faint_profile_has (line->profile, p)
         && faint_line_peek_parameter (line, p)->state == state;
}

/* Ties to their lines; a line that is not there leaves the parameter as it is. */
static void
resolve_ties (Placing *placing)
{
  FaintLayout *self = placing->layout;
  g_autoptr (GHashTable) by_id = g_hash_table_new (NULL, NULL);

  for (gsize i = 0; i < self->n_lines; i++)
    if (placing->lines[i].id > 0)
      g_hash_table_insert (by_id, GUINT_TO_POINTER (placing->lines[i].id),
                           GSIZE_TO_POINTER (i + 1));
  for (gsize i = 0; i < self->n_lines; i++)
    for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
      {
        const FaintParameter *parameter = faint_line_peek_parameter (&placing->lines[i], p);
        gsize at
            = GPOINTER_TO_SIZE (g_hash_table_lookup (by_id, GUINT_TO_POINTER (parameter->tied_to)));

        placing->root[i][p] = i;
        if (!is_fitted (&placing->lines[i], p, FAINT_STATE_TIED) || at == 0
            || !is_fitted (&placing->lines[at - 1], p, FAINT_STATE_FREE))
          continue;
        placing->root[i][p] = at - 1;
        self->factor[i][p] = parameter->tie_factor;
        self->offset[i][p] = parameter->tie_offset;
        if (placing->window[at - 1] == self->n_windows || placing->window[i] == self->n_windows
            || placing->window[i] + 1 < placing->window[at - 1]
            || placing->window[at - 1] + 1 < placing->window[i])
          placing->shared[at - 1][p] |= placing->window[i] < self->n_windows;
      }
}

/* What follows a follower follows its root. */
static void
flatten_ties (Placing *placing)
{
  FaintLayout *self = placing->layout;

  for (gsize i = 0; i < self->n_lines; i++)
    for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
      {
        gsize r = placing->root[i][p];

        if (placing->root[r][p] == r)
          continue;
        self->offset[i][p] += self->factor[i][p] * self->offset[r][p];
        self->factor[i][p] *= self->factor[r][p];
        placing->root[i][p] = placing->root[r][p];
      }
}

/* Options that make all free widths of a kind one. */
static void
share_common_widths (Placing *placing, FaintPlace p)
{
  FaintLayout *self = placing->layout;
  gsize first = self->n_lines;

  for (gsize i = 0; i < self->n_lines; i++)
    {
      if (!is_fitted (&placing->lines[i], p, FAINT_STATE_FREE)
          || placing->window[i] == self->n_windows)
        continue;
      if (first == self->n_lines)
        {
          first = i;
          placing->shared[i][p] = TRUE;
          continue;
        }
      placing->root[i][p] = first;
      if (p == FAINT_PLACE_DOPPLER)
        self->factor[i][p] = self->position[i] / self->position[first];
    }
}

static void
place_band (Placing *placing, GArray *group)
{
  FaintLayout *self = placing->layout;
  gsize next = 0;

  for (guint k = 0; k < self->n_windows; k++)
    {
      FaintLayoutWindow *window = &self->windows[k];

      window->coefficient = next;
      next += faint_layout_coefficients (self, window);
      for (gsize i = window->line_first; i < window->line_first + window->n_lines; i++)
        for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
          if (is_fitted (&placing->lines[i], p, FAINT_STATE_FREE) && placing->root[i][p] == i
              && !placing->shared[i][p])
            self->place[i][p] = (gssize)next++;
      while (group->len < next)
        g_array_append_val (group, k);
    }
  self->n_band = next;
}

/* Behind the band: what is shared from far away, and the instrument's. */
static void
place_border (Placing *placing)
{
  FaintLayout *self = placing->layout;
  gsize next = self->n_band;

  for (gsize i = 0; i < self->n_lines; i++)
    for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
      if (placing->shared[i][p])
        self->place[i][p] = (gssize)next++;
  self->detuning = placing->options->detuning_free ? (gssize)next++ : -1;
  self->detuning_slope = placing->options->detuning_slope_free ? (gssize)next++ : -1;
  self->n_fringes = placing->options->fringes;
  self->fringe = self->n_fringes > 0 ? (gssize)next : -1;
  next += (gsize)self->n_fringes * FAINT_FRINGE_PARAMETERS;
  self->n_parameters = next;
  self->n_border = next - self->n_band;
}

static void
place_parameters (FaintLayout *self, const FaintLine *lines, const FaintFitOptions *options)
{
  GArray *group = g_array_new (FALSE, FALSE, sizeof (guint));
  gsize most = MAX (self->n_lines, 1);
  guint border = (guint)self->n_windows;
  Placing placing = { self, lines, options, windows_of_lines (self), NULL, NULL };

  self->place = g_malloc0_n (most, sizeof *self->place);
  self->factor = g_malloc0_n (most, sizeof *self->factor);
  self->offset = g_malloc0_n (most, sizeof *self->offset);
  placing.root = g_malloc0_n (most, sizeof *placing.root);
  placing.shared = g_malloc0_n (most, sizeof *placing.shared);
  for (gsize i = 0; i < self->n_lines; i++)
    for (int p = 0; p < FAINT_PLACE_N; p++)
      {
        self->place[i][p] = -1;
        self->factor[i][p] = 1.0;
      }
  resolve_ties (&placing);
  if (options->lorentz_common)
    share_common_widths (&placing, FAINT_PLACE_LORENTZ);
  if (options->doppler_common)
    share_common_widths (&placing, FAINT_PLACE_DOPPLER);
  flatten_ties (&placing);
  place_band (&placing, group);
  place_border (&placing);
  for (gsize i = 0; i < self->n_lines; i++)
    for (int p = 0; p < FAINT_PLACE_N; p++)
      if (placing.root[i][p] != i)
        self->place[i][p] = self->place[placing.root[i][p]][p];
  while (group->len < self->n_parameters)
    g_array_append_val (group, border);
  self->group = (guint *)(gpointer)g_array_free (group, FALSE);
  self->n_groups = border + (self->n_border > 0 ? 1 : 0);
  g_free (placing.window);
  g_free (placing.root);
  g_free (placing.shared);
}

/* First and last parameter that the teeth of a window know. */
static void
window_reach (const FaintLayout *self, const FaintLayoutWindow *window, gsize *least, gsize *most)
{
  *least = window->coefficient;
  *most = window->coefficient + faint_layout_coefficients (self, window) - 1;
  for (gsize i = window->near_first; i < window->near_first + window->n_near; i++)
    for (int p = 0; p < FAINT_PLACE_N; p++)
      if (self->place[i][p] >= 0 && self->place[i][p] < (gssize)self->n_band)
        {
          *least = MIN (*least, (gsize)self->place[i][p]);
          *most = MAX (*most, (gsize)self->place[i][p]);
        }
}

static FaintLayout *
finish (FaintLayout *self, const FaintSpectrum *spectrum, const FaintLine *lines,
        const FaintFitOptions *options)
{
  self->position = g_new (double, MAX (self->n_lines, 1));
  for (gsize i = 0; i < self->n_lines; i++)
    {
      self->position[i] = lines[i].position.value;
      self->widest = MAX (self->widest, lines[i].doppler.value);
    }
  for (gsize k = 0; k < self->n_windows; k++)
    place_window (self, &self->windows[k], spectrum);
  assign_lines (self, spectrum);
  place_parameters (self, lines, options);
  for (gsize k = 0; k < self->n_windows; k++)
    {
      gsize least, most;
      window_reach (self, &self->windows[k], &least, &most);
      self->bandwidth = MAX (self->bandwidth, most - least);
    }
  return self;
}

FaintLayout *
faint_layout_new (const FaintSpectrum *spectrum, const FaintLine *lines, gsize n_lines,
                  const FaintFitOptions *options, double hwhm)
{
  FaintLayout *self = g_new0 (FaintLayout, 1);
  double width = options->window_width > 0.0 ? options->window_width : WINDOW_HALF_WIDTHS * hwhm;
  gsize least = MAX (WINDOW_LEAST_TEETH, 6 * (options->baseline_degree + 1));
  gsize end = spectrum->n;
  g_autoptr (GArray) cuts = g_array_new (FALSE, FALSE, sizeof (gsize));

  if (isfinite (options->lower))
    self->first = faint_spectrum_index (spectrum, options->lower);
  if (isfinite (options->upper))
    end = faint_spectrum_index (spectrum, nextafter (options->upper, INFINITY));
  self->n_teeth = end > self->first ? end - self->first : 0;
  self->channels = spectrum->value_im != NULL ? 2 : 1;
  self->n_lines = n_lines;
  if (self->n_teeth > 0)
    {
      cut_windows (cuts, spectrum, lines, n_lines, self->first, end, width, least);
      join_starved (cuts, spectrum, least / 2);
    }
  self->n_windows = cuts->len > 0 ? cuts->len - 1 : 0;
  self->windows = g_new0 (FaintLayoutWindow, MAX (self->n_windows, 1));
  for (gsize k = 0; k < self->n_windows; k++)
    {
      self->windows[k].first = g_array_index (cuts, gsize, k);
      self->windows[k].n = g_array_index (cuts, gsize, k + 1) - self->windows[k].first;
      self->windows[k].degree = options->baseline_degree;
    }
  return finish (self, spectrum, lines, options);
}

FaintLayout *
faint_layout_new_for (const FaintSpectrum *spectrum, const FaintLine *lines, gsize n_lines,
                      const FaintFitWindow *windows, gsize n_windows,
                      const FaintFitOptions *options)
{
  FaintLayout *self = g_new0 (FaintLayout, 1);

  self->channels = spectrum->value_im != NULL ? 2 : 1;
  self->n_lines = n_lines;
  self->n_windows = n_windows;
  self->windows = g_new0 (FaintLayoutWindow, MAX (n_windows, 1));
  for (gsize k = 0; k < n_windows; k++)
    {
      self->windows[k].first = windows[k].first;
      self->windows[k].n = windows[k].n;
      self->windows[k].degree = windows[k].degree;
    }
  if (n_windows > 0)
    {
      self->first = windows[0].first;
      self->n_teeth = windows[n_windows - 1].first + windows[n_windows - 1].n - self->first;
    }
  return finish (self, spectrum, lines, options);
}

void
faint_layout_free (FaintLayout *self)
{
  if (self == NULL)
    return;
  g_free (self->windows);
  g_free (self->position);
  g_free (self->place);
  g_free (self->factor);
  g_free (self->offset);
  g_free (self->group);
  g_free (self);
}
