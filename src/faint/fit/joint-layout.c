/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Models of all spectra cut at the same places, and where the joint parameters stand.
 */
#include <math.h>
#include <string.h>

#include "faint/base/units.h"
#include "faint/fit/baseline.h"
#include "faint/fit/fringe.h"
#include "faint/fit/joint-private.h"
#include "faint/shape/voigt.h"
#include "faint/spectrum/rank.h"

#define LEAST_TEETH 24
/* A line this many others away is far. */
#define FAR_LINES 8

static int
lower_first (gconstpointer a, gconstpointer b)
{
  double x = ((const FaintJointLine *)a)->value[FAINT_JOINT_POSITION];
  double y = ((const FaintJointLine *)b)->value[FAINT_JOINT_POSITION];

  return x < y ? -1 : x > y ? 1 : 0;
}

FaintJointValue
faint_joint_follow (const FaintJoint *self, gsize spectrum, gsize line, FaintPlace place,
                    gsize *owner)
{
  const FaintJointLine *at = faint_joint_line (self, line);
  FaintJointValue value;

  *owner = at->root[place];
  value = faint_conditions_value (self->conditions, spectrum,
                                  faint_joint_line (self, *owner)->value, place);
  if (*owner == line)
    return value;
  value.value = at->factor[place] * value.value + at->offset[place];
  for (guint k = 0; k < value.n; k++)
    value.slope[k] *= at->factor[place];
  return value;
}

/* Lines as they are in spectrum @s, every parameter of theirs one of the model. */
static FaintLine *
local_lines (const FaintJoint *self, gsize s)
{
  FaintLine *lines = g_new (FaintLine, MAX (self->lines->len, 1));
  const FaintSetup *setup = self->spectra[s]->setup;
  double doppler = faint_doppler_hwhm (1.0, setup->temperature.value, setup->molar_mass.value);

  for (gsize i = 0; i < self->lines->len; i++)
    {
      const FaintJointLine *line = faint_joint_line (self, i);

      lines[i] = line->line;
      for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
        {
          FaintParameter *parameter = faint_line_parameter (&lines[i], p);
          gsize owner;

          if (!faint_profile_has (lines[i].profile, p))
            continue;
          if (p == FAINT_PLACE_DOPPLER && parameter->state == FAINT_STATE_DERIVED)
            {
              parameter->value = doppler * lines[i].position.value;
              continue;
            }
          parameter->value = faint_joint_follow (self, s, i, p, &owner).value;
          parameter->state = FAINT_STATE_FREE;
        }
    }
  return lines;
}

static double
typical_half_width (const FaintLine *lines, gsize n, double otherwise)
{
  g_autofree double *widths = g_new (double, MAX (n, 1));

  if (n == 0)
    return otherwise;
  for (gsize i = 0; i < n; i++)
    widths[i] = faint_voigt_hwhm (lines[i].doppler.value, lines[i].lorentz.value);
  return faint_rank_select (widths, n, n / 2);
}

/* Borders between the windows that spectrum @s would have by itself, outside [@lower, @upper]. */
static void
add_cuts (const FaintJoint *self, gsize s, double hwhm, double lower, double upper, GArray *cuts)
{
  g_autofree FaintLine *lines = local_lines (self, s);
  g_autoptr (FaintLayout) layout
      = faint_layout_new (self->spectra[s], lines, self->lines->len, &self->options, hwhm);
  const double *wavenumber = self->spectra[s]->wavenumber;

  for (gsize k = 0; k <= layout->n_windows && layout->n_windows > 0; k++)
    {
      gboolean last = k == layout->n_windows;
      const FaintLayoutWindow *window = &layout->windows[last ? k - 1 : k];
      gsize at = last ? window->first + window->n - 1 : window->first;
      double cut = k == 0 ? wavenumber[at]
                   : last ? nextafter (wavenumber[at], INFINITY)
                          : 0.5 * (wavenumber[at - 1] + wavenumber[at]);

      if (cut < lower || cut > upper)
        g_array_append_val (cuts, cut);
    }
}

static int
rising (gconstpointer a, gconstpointer b)
{
  double x = *(const double *)a, y = *(const double *)b;

  return x < y ? -1 : x > y ? 1 : 0;
}

/* Cuts for all: those of the spectrum with the widest lines, and of others where they reach
 * further. */
static GArray *
common_cuts (const FaintJoint *self)
{
  GArray *cuts = g_array_new (FALSE, FALSE, sizeof (double));
  g_autofree double *hwhm = g_new (double, self->n);
  gsize widest = 0;

  for (gsize s = 0; s < self->n; s++)
    {
      g_autofree FaintLine *lines = local_lines (self, s);

      hwhm[s] = typical_half_width (lines, self->lines->len,
                                    3.0 * faint_spectrum_spacing (self->spectra[s]));
      widest = hwhm[s] > hwhm[widest] ? s : widest;
    }
  add_cuts (self, widest, hwhm[widest], INFINITY, -INFINITY, cuts);
  for (gsize s = 0; s < self->n; s++)
    if (s != widest && cuts->len > 0)
      {
        double lower = g_array_index (cuts, double, 0);
        double upper = g_array_index (cuts, double, cuts->len - 1);

        /* Ends that differ by less than a window belong to the window there. */
        add_cuts (self, s, hwhm[widest], lower - 60.0 * hwhm[widest], upper + 60.0 * hwhm[widest],
                  cuts);
        g_array_sort (cuts, rising);
      }
  return cuts;
}

static gsize
least_teeth (const FaintJoint *self)
{
  return MAX (LEAST_TEETH, 6 * (self->options.baseline_degree + 1));
}

/* Windows of spectrum @s between the cuts; one with too few teeth joins the one before. */
static GArray *
windows_between (FaintJoint *self, gsize s, const GArray *cuts)
{
  const FaintSpectrum *spectrum = self->spectra[s];
  const FaintFitOptions *options = &self->options;
  GArray *windows = g_array_new (FALSE, FALSE, sizeof (FaintFitWindow));
  gsize from = 0, end = spectrum->n;

  if (isfinite (options->lower))
    from = faint_spectrum_index (spectrum, options->lower);
  if (isfinite (options->upper))
    end = faint_spectrum_index (spectrum, nextafter (options->upper, INFINITY));
  while (from < end)
    {
      FaintFitWindow window = { .first = from, .degree = options->baseline_degree };
      gsize to = end;

      for (guint i = 0; i + 1 < cuts->len; i++)
        {
          gsize at = faint_spectrum_index (spectrum, g_array_index (cuts, double, i));
          if (at > from && at < end
              && faint_spectrum_count_used (spectrum, from, at - from) >= least_teeth (self)
              && faint_spectrum_count_used (spectrum, at, end - at) >= least_teeth (self))
            {
              to = at;
              break;
            }
        }
      window.n = to - from;
      from = to;
      g_array_append_val (windows, window);
    }
  return windows;
}

/* Baselines and instrument of the model that was, or from nothing. */
static void
begin_model (const FaintJoint *self, const FaintModel *old, FaintModel *model)
{
  gsize n = model->spectrum->n;
  g_autofree double *baseline = g_new0 (double, n);
  g_autofree double *baseline_im = g_new0 (double, n);
  FaintFitInstrument instrument;

  if (old == NULL)
    {
      faint_fringes_start (model, self->options.fringe_period);
      faint_baseline_start (model);
      return;
    }
  faint_model_fill ((FaintModel *)old,
                    &(FaintModelArrays){ .baseline = baseline, .baseline_im = baseline_im });
  instrument = faint_model_get_instrument (old);
  for (gsize t = 0; t < n && instrument.n_fringes > 0; t++)
    {
      double factor = faint_model_fringe_factor (old, model->spectrum->wavenumber[t]);
      baseline[t] /= factor;
      baseline_im[t] /= factor;
    }
  faint_model_set_instrument (model, &instrument);
  faint_baseline_take (model, baseline, baseline_im);
}

static gboolean
make_model (FaintJoint *self, gsize s, const GArray *cuts, GError **error)
{
  g_autofree FaintLine *lines = local_lines (self, s);
  g_autoptr (GArray) windows = windows_between (self, s, cuts);
  FaintFitOptions options = self->options;
  FaintLayout *layout;
  FaintModel *model;

  options.lorentz_common = options.doppler_common = FALSE;
  layout = faint_layout_new_for (self->spectra[s], lines, self->lines->len,
                                 (const FaintFitWindow *)(void *)windows->data, windows->len,
                                 &options);
  model = faint_model_new (self->spectra[s], layout, lines, self->options.threads, error);
  if (model == NULL)
    return FALSE;
  begin_model (self, self->models[s], model);
  faint_model_free (self->models[s]);
  self->models[s] = model;
  g_free (self->terms[s]);
  self->terms[s] = g_new0 (FaintTerms, MAX (layout->n_parameters, 1));
  g_free (self->stretch[s]);
  self->stretch[s] = g_new0 (gsize, MAX (layout->n_windows, 1));
  for (gsize k = 0; k < layout->n_windows; k++)
    {
      while (self->stretch[s][k] + 2 < cuts->len
             && g_array_index (cuts, double, self->stretch[s][k] + 1) <= layout->windows[k].centre)
        self->stretch[s][k]++;
    }
  return TRUE;
}

/* Joint parameters that a place of a line consists of. */
static gboolean
belongs_to (FaintJointPlace joint, FaintPlace place)
{
  switch (place)
    {
    case FAINT_PLACE_POSITION:
      return joint <= FAINT_JOINT_SHIFT_B;
    case FAINT_PLACE_STRENGTH:
      return joint == FAINT_JOINT_STRENGTH || joint == FAINT_JOINT_ENERGY;
    case FAINT_PLACE_LORENTZ:
      return joint >= FAINT_JOINT_BROADENING_A && joint <= FAINT_JOINT_EXPONENT;
    case FAINT_PLACE_DOPPLER:
      return joint == FAINT_JOINT_DOPPLER;
    default:
      return joint == FAINT_JOINT_FURTHER + place - FAINT_PLACE_SPEED_WIDTH;
    }
}

/* Index of the line with @id, or of none. */
static gsize
line_with_id (const FaintJoint *self, guint id)
{
  for (gsize i = 0; i < self->lines->len; i++)
    if (id > 0 && faint_joint_line (self, i)->line.id == id)
      return i;
  return self->lines->len;
}

static gboolean
is_common (const FaintJoint *self, const FaintJointLine *line, FaintPlace p)
{
  return faint_line_peek_parameter (&line->line, p)->state == FAINT_STATE_FREE
         && (line->line.flags & FAINT_LINE_EXCLUDED) == 0
         && ((p == FAINT_PLACE_LORENTZ && self->options.lorentz_common)
             || (p == FAINT_PLACE_DOPPLER && self->options.doppler_common));
}

static void
follow_line (FaintJoint *self, gsize i, FaintPlace p, gsize root, double factor, double offset)
{
  FaintJointLine *line = faint_joint_line (self, i);

  line->root[p] = root;
  line->factor[p] = factor;
  line->offset[p] = offset;
  if (root == i)
    return;
  for (FaintJointPlace joint = 0; joint < FAINT_JOINT_N; joint++)
    if (belongs_to (joint, p))
      line->free[joint] = FALSE;
  faint_joint_line (self, root)->shared |= MAX (i, root) - MIN (i, root) > FAR_LINES;
}

/* What the states leave free of what the conditions can tell. */
static void
set_free (const FaintJoint *self, FaintJointLine *line)
{
  const FaintConditions *c = self->conditions;
  gboolean free[FAINT_PLACE_N];

  for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
    {
      FaintParameterState state = faint_line_peek_parameter (&line->line, p)->state;

      free[p] = (line->line.flags & FAINT_LINE_EXCLUDED) == 0
                && faint_profile_has (line->line.profile, p)
                && (state == FAINT_STATE_FREE || state == FAINT_STATE_TIED);
    }
  for (FaintJointPlace joint = 0; joint < FAINT_JOINT_N; joint++)
    {
      line->free[joint] = FALSE;
      for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
        line->free[joint] |= free[p] && belongs_to (joint, p);
    }
  line->free[FAINT_JOINT_SHIFT_A] &= c->n_shift > 0;
  line->free[FAINT_JOINT_SHIFT_B] &= c->n_shift > 1;
  line->free[FAINT_JOINT_BROADENING_B] &= c->n_broadening > 1;
  line->free[FAINT_JOINT_ENERGY] &= c->energies;
  line->free[FAINT_JOINT_EXPONENT] &= c->energies;
}

/* Who follows whom. A line that is not there leaves its followers as they are. */
static void
resolve_ties (FaintJoint *self)
{
  gsize first[FAINT_PLACE_N];

  for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
    first[p] = self->lines->len;
  for (gsize i = 0; i < self->lines->len; i++)
    {
      faint_joint_line (self, i)->shared = FALSE;
      set_free (self, faint_joint_line (self, i));
    }
  for (gsize i = 0; i < self->lines->len; i++)
    for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
      {
        FaintJointLine *line = faint_joint_line (self, i);
        const FaintParameter *parameter = faint_line_peek_parameter (&line->line, p);
        gsize root
            = line_with_id (self, parameter->state == FAINT_STATE_TIED ? parameter->tied_to : 0);

        if (is_common (self, line, p) && first[p] == self->lines->len)
          first[p] = i;
        if (is_common (self, line, p))
          follow_line (self, i, p, first[p],
                       p == FAINT_PLACE_DOPPLER
                           ? line->value[FAINT_JOINT_POSITION]
                                 / faint_joint_line (self, first[p])->value[FAINT_JOINT_POSITION]
                           : 1.0,
                       0.0);
        else if (root < self->lines->len && root != i)
          follow_line (self, i, p, root, parameter->tie_factor, parameter->tie_offset);
        else
          follow_line (self, i, p, i, 1.0, 0.0);
      }
}

/* Is the line within the fitted range of any spectrum? */
static gboolean
is_seen (const FaintJoint *self, gsize i)
{
  for (gsize s = 0; s < self->n; s++)
    if (self->models[s]->layout->place[i][FAINT_PLACE_POSITION] >= 0)
      return TRUE;
  return FALSE;
}

static void
place_stretch (FaintJoint *self, gsize stretch, double upper, gsize *line, gsize *next,
               GArray *group)
{
  for (gsize s = 0; s < self->n; s++)
    for (gsize k = 0; k < self->models[s]->layout->n_windows; k++)
      if (self->stretch[s][k] == stretch)
        {
          const FaintLayout *layout = self->models[s]->layout;
          gsize terms = faint_layout_coefficients (layout, &layout->windows[k]);

          for (gsize d = 0; d < terms; d++)
            self->terms[s][layout->windows[k].coefficient + d]
                = (FaintTerms){ 1, { (*next)++ }, { 1.0 } };
        }
  for (; *line < self->lines->len; (*line)++)
    {
      FaintJointLine *at = faint_joint_line (self, *line);

      if (at->value[FAINT_JOINT_POSITION] >= upper)
        break;
      for (FaintJointPlace p = 0; p < FAINT_JOINT_N; p++)
        at->place[p] = at->free[p] && !at->shared && is_seen (self, *line) ? (gssize)(*next)++ : -1;
    }
  while (group->len < *next)
    {
      guint g = (guint)stretch;
      g_array_append_val (group, g);
    }
}

/* What lines far away follow, and what each instrument has, behind the band. */
static void
place_border (FaintJoint *self, gsize next, GArray *group)
{
  guint border = (guint)self->n_stretches;

  self->n_band = next;
  for (gsize i = 0; i < self->lines->len; i++)
    for (FaintJointPlace p = 0; p < FAINT_JOINT_N; p++)
      if (faint_joint_line (self, i)->shared && faint_joint_line (self, i)->free[p])
        faint_joint_line (self, i)->place[p] = (gssize)next++;
  for (gsize s = 0; s < self->n; s++)
    for (gsize j = self->models[s]->layout->n_band; j < self->models[s]->layout->n_parameters; j++)
      self->terms[s][j] = (FaintTerms){ 1, { next++ }, { 1.0 } };
  self->n_parameters = next;
  self->n_border = next - self->n_band;
  self->n_groups = border + (self->n_border > 0 ? 1 : 0);
  while (group->len < next)
    g_array_append_val (group, border);
}

static void
reach_of_line (const FaintJoint *self, gsize i, gsize *least, gsize *most)
{
  for (FaintJointPlace p = 0; p < FAINT_JOINT_N; p++)
    {
      gssize at = faint_joint_line (self, i)->place[p];

      if (at < 0 || at >= (gssize)self->n_band)
        continue;
      *least = MIN (*least, (gsize)at);
      *most = MAX (*most, (gsize)at);
    }
}

/* Furthest apart that two parameters of one window stand. */
static void
measure_bandwidth (FaintJoint *self)
{
  self->bandwidth = 0;
  for (gsize s = 0; s < self->n; s++)
    for (gsize k = 0; k < self->models[s]->layout->n_windows; k++)
      {
        const FaintLayout *layout = self->models[s]->layout;
        const FaintLayoutWindow *window = &layout->windows[k];
        gsize least = self->terms[s][window->coefficient].index[0];
        gsize most = least + faint_layout_coefficients (layout, window) - 1;

        for (gsize i = window->near_first; i < window->near_first + window->n_near; i++)
          for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
            reach_of_line (self, faint_joint_line (self, i)->root[p], &least, &most);
        self->bandwidth = MAX (self->bandwidth, most - least);
      }
}

static void
place_parameters (FaintJoint *self, const GArray *cuts)
{
  GArray *group = g_array_new (FALSE, FALSE, sizeof (guint));
  gsize next = 0, line = 0;

  self->n_stretches = cuts->len > 1 ? cuts->len - 1 : 1;
  for (gsize k = 0; k < self->n_stretches; k++)
    place_stretch (self, k,
                   k + 1 < self->n_stretches ? g_array_index (cuts, double, k + 1) : INFINITY,
                   &line, &next, group);
  place_border (self, next, group);
  measure_bandwidth (self);
  g_free (self->group);
  self->group = (guint *)(gpointer)g_array_free (group, FALSE);
}

/* theta from the lines' values and what the models begin with. */
static void
collect_theta (FaintJoint *self)
{
  g_free (self->theta);
  self->theta = g_new0 (double, MAX (self->n_parameters, 1));
  for (gsize i = 0; i < self->lines->len; i++)
    for (FaintJointPlace p = 0; p < FAINT_JOINT_N; p++)
      if (faint_joint_line (self, i)->place[p] >= 0)
        self->theta[faint_joint_line (self, i)->place[p]] = faint_joint_line (self, i)->value[p];
  for (gsize s = 0; s < self->n; s++)
    for (gsize j = 0; j < self->models[s]->layout->n_parameters; j++)
      if (self->terms[s][j].n == 1)
        self->theta[self->terms[s][j].index[0]] = self->models[s]->theta[j];
}

gboolean
faint_joint_rebuild (FaintJoint *self, GError **error)
{
  g_autoptr (GArray) cuts = NULL;

  g_array_sort (self->lines, lower_first);
  resolve_ties (self);
  cuts = common_cuts (self);
  for (gsize s = 0; s < self->n; s++)
    if (!make_model (self, s, cuts, error))
      return FALSE;
  place_parameters (self, cuts);
  collect_theta (self);
  faint_joint_set_theta (self, self->theta);
  return TRUE;
}

/* One parameter of a line in one spectrum: its value there and how it follows theta. */
static void
follow (FaintJoint *self, gsize s, gsize i, FaintPlace p, double *local)
{
  const FaintJointLine *line = faint_joint_line (self, i);
  gssize at = self->models[s]->layout->place[i][p];
  FaintParameter *parameter = faint_line_parameter (&self->models[s]->lines[i], p);
  FaintJointValue value;
  FaintTerms *terms;
  gsize owner;

  if (!faint_profile_has (line->line.profile, p) || parameter->state == FAINT_STATE_DERIVED)
    return;
  value = faint_joint_follow (self, s, i, p, &owner);
  if (at < 0)
    {
      parameter->value = value.value;
      return;
    }
  terms = &self->terms[s][at];
  local[at] = value.value;
  terms->n = 0;
  for (guint k = 0; k < value.n; k++)
    if (faint_joint_line (self, owner)->place[value.place[k]] >= 0)
      {
        terms->index[terms->n] = (gsize)faint_joint_line (self, owner)->place[value.place[k]];
        terms->factor[terms->n++] = value.slope[k];
      }
}

void
faint_joint_set_theta (FaintJoint *self, const double *theta)
{
  if (theta != self->theta)
    memcpy (self->theta, theta, self->n_parameters * sizeof (double));
  for (gsize i = 0; i < self->lines->len; i++)
    for (FaintJointPlace p = 0; p < FAINT_JOINT_N; p++)
      if (faint_joint_line (self, i)->place[p] >= 0)
        faint_joint_line (self, i)->value[p] = theta[faint_joint_line (self, i)->place[p]];
  for (gsize s = 0; s < self->n; s++)
    {
      const FaintLayout *layout = self->models[s]->layout;
      g_autofree double *local = g_new0 (double, MAX (layout->n_parameters, 1));

      for (gsize j = 0; j < layout->n_parameters; j++)
        if (self->terms[s][j].n == 1)
          local[j] = theta[self->terms[s][j].index[0]];
      for (gsize i = 0; i < self->lines->len; i++)
        for (FaintPlace p = 0; p < FAINT_PLACE_N; p++)
          follow (self, s, i, p, local);
      faint_model_set_theta (self->models[s], local);
    }
}
