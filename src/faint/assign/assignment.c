/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/assign/assignment-private.h"

#include <math.h>
#include <string.h>

#include "faint/base/words.h"

const char *
faint_assigned_by_name (FaintAssignedBy by)
{
  static const char *const names[] = { "difference", "chain", "constants", "given" };

  return names[by];
}

void
faint_assignment_options_init (FaintAssignmentOptions *options, const FaintLevels *levels)
{
  *options = (FaintAssignmentOptions){ .given = FALSE };
  faint_assign_options_init (&options->search);
  faint_band_options_init (&options->band, faint_levels_get_constants (levels));
}

static void
clear_line (gpointer data)
{
  FaintAssigned *it = data;

  g_free (it->upper);
  g_free (it->lower);
}

static void
clear_band (gpointer data)
{
  FaintAssignedBand *it = data;

  g_free (it->name);
  g_free (it->uses_ladder);
  faint_band_free (it->band);
  faint_band_free (it->lower);
}

static void
clear_undecided (gpointer data)
{
  g_free (((FaintUndecided *)data)->text);
}

static GArray *
new_array (gsize size, GDestroyNotify clear)
{
  GArray *array = g_array_new (FALSE, TRUE, (guint)size);

  if (clear != NULL)
    g_array_set_clear_func (array, clear);
  return array;
}

static FaintAssignment *
new_assignment (FaintLevels *levels, const FaintAssignmentOptions *options)
{
  FaintAssignment *self = g_new0 (FaintAssignment, 1);

  self->levels = faint_levels_ref (levels);
  self->ladders = faint_ladders_new (levels);
  self->options = *options;
  self->lines = new_array (sizeof (FaintAssigned), clear_line);
  self->bands = new_array (sizeof (FaintAssignedBand), clear_band);
  self->predicted = new_array (sizeof (FaintPredicted), NULL);
  self->undecided = new_array (sizeof (FaintUndecided), clear_undecided);
  self->warnings = faint_warnings_new ();
  self->limit = self->chance = NAN;
  return self;
}

void
faint_assignment_free (FaintAssignment *self)
{
  if (self == NULL)
    return;
  g_array_unref (self->lines);
  g_array_unref (self->bands);
  g_array_unref (self->predicted);
  g_array_unref (self->undecided);
  g_ptr_array_unref (self->warnings);
  g_ptr_array_unref (self->ladders);
  faint_levels_unref (self->levels);
  g_free (self);
}

guint
faint_assigning_add_band (FaintAssigning *self, const char *name)
{
  FaintAssignedBand band = { .name = g_strdup (name), .odds = NAN };

  band.uses_ladder = g_new0 (guint8, self->result->ladders->len + 1);
  g_array_append_val (self->result->bands, band);
  return self->result->bands->len - 1;
}

char *
faint_assignment_upper_label (const FaintAssignment *self, guint band, guint ladder, int j)
{
  const FaintLadder *it = g_ptr_array_index (self->ladders, ladder);
  const FaintConstants *constants = faint_levels_get_constants (self->levels);
  g_autofree char *label = faint_ladder_label (it, self->levels, j);
  const char *bare = label;
  const char *name = g_array_index (self->bands, FaintAssignedBand, band).name;

  if (*constants->upper_state != '\0')
    bare += strlen (constants->upper_state) + 1;
  return *name != '\0' ? g_strdup_printf ("%s:%s", name, bare) : g_strdup (bare);
}

FaintAssigned *
faint_assigning_add (FaintAssigning *self, gsize i, guint band, guint ladder, int j,
                     FaintBranch branch)
{
  FaintAssignment *result = self->result;
  const FaintLevel *lower
      = faint_ladder_lower (g_ptr_array_index (result->ladders, ladder), result->levels, branch, j);
  FaintAssigned it = { .id = self->observed->id[i],
                       .band = band,
                       .odds = NAN,
                       .margin = NAN,
                       .misfit = NAN,
                       .expected = NAN,
                       .u_expected = NAN,
                       .calculated = NAN,
                       .strength_ratio = NAN,
                       .energy_misfit = NAN,
                       .shift = NAN };

  it.line = (FaintBandLine){ .id = it.id,
                             .ladder = ladder,
                             .j = j,
                             .branch = branch,
                             .nu = self->observed->nu[i],
                             .u = self->observed->u[i] };
  it.upper = faint_assignment_upper_label (result, band, ladder, j);
  it.lower = g_strdup (lower->label);
  it.energy_misfit = (self->observed->energy[i] - lower->energy) / self->observed->u_energy[i];
  g_array_append_val (result->lines, it);
  g_array_index (result->bands, FaintAssignedBand, band).uses_ladder[ladder] = 1;
  g_array_index (result->bands, FaintAssignedBand, band).n_lines++;
  return &g_array_index (result->lines, FaintAssigned, result->lines->len - 1);
}

static gboolean
search (FaintAssigning *self, const FaintProgress *progress, GError **error)
{
  FaintAssignment *result = self->result;
  const FaintAssignOptions *options = &result->options.search;
  FaintProgressPart part;
  g_autoptr (GPtrArray) chains = NULL;
  g_autoptr (GArray) candidates
      = faint_candidates_find (self->observed, result->levels, result->ladders, options,
                               faint_progress_part (&part, progress, 0.0, 0.3), error);

  if (candidates == NULL)
    return FALSE;
  result->n_candidates = candidates->len;
  result->chance
      = faint_candidates_by_chance (self->observed, result->levels, result->ladders, options);
  chains = faint_chains_find (self->observed, result->levels, result->ladders, options,
                              faint_progress_part (&part, progress, 0.3, 0.9), error);
  if (chains == NULL)
    return FALSE;
  faint_assigning_take_chains (self, chains);
  return TRUE;
}

static void
warn (FaintAssigning *self)
{
  FaintAssignment *result = self->result;

  if (self->observed->n_without_u > 0)
    faint_warnings_add (result->warnings, "uncertainty-missing",
                        N_ ("%zu lines state no uncertainty of their position; %g cm-1 "
                            "was taken."),
                        self->observed->n_without_u, result->options.search.u_position);
  if (result->lines->len == 0)
    faint_warnings_add (result->warnings, "nothing-assigned",
                        N_ ("No line was assigned: no chain of upper levels stands out from chance "
                            "with these lower levels."));
  for (guint i = 0; i < result->undecided->len; i++)
    faint_warnings_add (result->warnings, "undecided", "%s",
                        g_array_index (result->undecided, FaintUndecided, i).text);
  for (guint i = 0; i < result->bands->len; i++)
    {
      const FaintAssignedBand *band = &g_array_index (result->bands, FaintAssignedBand, i);

      faint_warnings_extend (result->warnings, band->band->warnings);
    }
}

/* The lines that options let be assigned. */
static FaintLineList *
choose_lines (const FaintLineList *list, const FaintAssignmentOptions *options)
{
  gsize n = faint_line_list_get_n (list), chosen = 0;
  g_autofree FaintLine *lines = g_new (FaintLine, n + 1);

  for (gsize i = 0; i < n; i++)
    {
      const FaintLine *line = faint_line_list_get (list, i);
      gboolean has_label = *line->upper != '\0' || *line->lower != '\0';

      if (!options->unlabelled || options->given || !has_label)
        lines[chosen++] = *line;
    }
  return faint_line_list_new (lines, chosen);
}

FaintAssignment *
faint_assignment_run (const FaintLineList *all, FaintLevels *levels,
                      const FaintAssignmentOptions *options, const FaintProgress *progress,
                      GError **error)
{
  g_autoptr (FaintAssignment) result = new_assignment (levels, options);
  g_autoptr (FaintLineList) list = choose_lines (all, options);
  g_autoptr (FaintObserved) observed = faint_observed_new (list, &options->search);
  FaintAssigning self = { result, list, observed };

  if (observed->n == 0)
    {
      g_set_error_literal (
          error, FAINT_FIT_CONSTANTS_ERROR, FAINT_FIT_CONSTANTS_ERROR_TOO_FEW,
          options->unlabelled
              ? _ ("The list has no lines to assign; lines marked as excluded do not count, nor "
                   "those with a label.")
              : _ ("The list has no lines to assign; lines marked as excluded do not count."));
      return NULL;
    }
  result->n_observed = observed->n;
  result->limit = exp (observed->limit_log);
  if (options->given)
    faint_assigning_take_given (&self);
  else if (!search (&self, progress, error))
    return NULL;
  if (!faint_assigning_fit (&self, error))
    return NULL;
  if (!options->given && !faint_assigning_settle_ladders (&self, error))
    return NULL;
  if (!options->given && faint_assigning_complete (&self) > 0
      && !faint_assigning_fit (&self, error))
    return NULL;
  faint_assigning_weigh_partners (&self);
  faint_assigning_finish (&self);
  warn (&self);
  if (!faint_progress_step (progress, 1.0, "assigned", error))
    return NULL;
  return g_steal_pointer (&result);
}

const FaintAssigned *
faint_assignment_find (const FaintAssignment *self, guint id)
{
  for (guint i = 0; i < self->lines->len; i++)
    if (g_array_index (self->lines, FaintAssigned, i).id == id)
      return &g_array_index (self->lines, FaintAssigned, i);
  return NULL;
}

FaintLineList *
faint_assignment_label (const FaintAssignment *self, const FaintLineList *list)
{
  gsize n = faint_line_list_get_n (list);
  g_autofree FaintLine *lines = g_new (FaintLine, n + 1);

  for (gsize i = 0; i < n; i++)
    {
      const FaintAssigned *it;

      lines[i] = *faint_line_list_get (list, i);
      it = faint_assignment_find (self, lines[i].id);
      if (it == NULL)
        continue;
      lines[i].upper = it->upper;
      lines[i].lower = it->lower;
      if (!isfinite (lines[i].lower_energy) && !(lines[i].flags & FAINT_LINE_ENERGY_FITTED))
        {
          const FaintLevel *level = faint_levels_find (self->levels, it->lower);

          lines[i].lower_energy = level != NULL ? level->energy : NAN;
        }
    }
  return faint_line_list_new (lines, n);
}
