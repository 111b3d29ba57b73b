/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/assign/transitions.h"

#include "faint/base/units.h"

#include <math.h>
#include <stdlib.h>

char
faint_branch_letter (FaintBranch branch)
{
  return "PQR"[branch];
}

int
faint_branch_lower_j (FaintBranch branch, int j)
{
  return j + 1 - (int)branch;
}

int
faint_branch_m (FaintBranch branch, int j_lower)
{
  return branch == FAINT_BRANCH_P ? -j_lower : branch == FAINT_BRANCH_R ? j_lower + 1 : j_lower;
}

static void
free_ladder (gpointer data)
{
  FaintLadder *ladder = data;

  g_free (ladder->name);
  g_free (ladder);
}

/* Least and largest J' that some branch reaches. */
static void
set_range (FaintLadder *ladder, const FaintLevels *levels, guint least)
{
  int most = -1, first = -1;

  for (int branch = 0; branch < FAINT_BRANCH_N; branch++)
    if (ladder->stack[branch] >= 0)
      most = MAX (most, (int)faint_levels_get_stack (levels, ladder->stack[branch])->j_max + 1);
  for (int j = (int)least; j <= most && first < 0; j++)
    for (int branch = 0; branch < FAINT_BRANCH_N; branch++)
      if (faint_ladder_lower (ladder, levels, branch, j) != NULL)
        first = j;
  ladder->j_min = (guint)MAX (first, (int)least);
  ladder->j_max = (guint)MAX (most, (int)ladder->j_min);
}

static void
add_ladder (GPtrArray *ladders, const FaintLevels *levels, const FaintLadder *model, guint least)
{
  FaintLadder *ladder = g_memdup2 (model, sizeof *model);

  set_range (ladder, levels, least);
  g_ptr_array_add (ladders, ladder);
}

static int
find_stack (const FaintLevels *levels, guint k, FaintComponent component)
{
  for (guint i = 0; i < faint_levels_get_n_stacks (levels); i++)
    {
      const FaintStack *stack = faint_levels_get_stack (levels, i);

      if (stack->k == k && stack->component == component)
        return (int)i;
    }
  return -1;
}

/* Upper levels e and f. Q lines have l' - l or l as their K; a band between states without
 * vibrational angular momentum has none. */
static void
add_linear (GPtrArray *ladders, const FaintLevels *levels)
{
  const FaintConstants *constants = faint_levels_get_constants (levels);
  int e = find_stack (levels, 0, FAINT_COMPONENT_E), f = find_stack (levels, 0, FAINT_COMPONENT_F);
  gboolean q = constants->l > 0 || constants->upper_l > 0;
  int delta = (int)constants->upper_l - (int)constants->l;

  for (int i = 0; i < (constants->upper_l > 0 ? 2 : 1); i++)
    {
      int same = i == 0 ? e : f, other = i == 0 ? f : e;
      FaintLadder ladder = { .upper.component = i == 0 ? FAINT_COMPONENT_E : FAINT_COMPONENT_F,
                             .delta_k = CLAMP (delta, -1, 1),
                             .stack = { same, q ? other : -1, same } };

      if (same < 0 && ladder.stack[FAINT_BRANCH_Q] < 0)
        continue;
      ladder.name = g_strdup (faint_component_name (ladder.upper.component));
      add_ladder (ladders, levels, &ladder, constants->upper_l);
    }
}

static void
add_top_ladder (GPtrArray *ladders, const FaintLevels *levels, guint lower, int delta)
{
  const FaintConstants *constants = faint_levels_get_constants (levels);
  const FaintStack *stack = faint_levels_get_stack (levels, lower);
  int k = (int)stack->k + delta;
  FaintComponent component = stack->component;
  FaintLadder ladder = { .delta_k = delta, .stack = { (int)lower, (int)lower, (int)lower } };

  if (k < 0)
    return;
  if (constants->inverting && !constants->perpendicular)
    component = component == FAINT_COMPONENT_S ? FAINT_COMPONENT_A : FAINT_COMPONENT_S;
  if (k == 0 && stack->k == 0)
    ladder.stack[FAINT_BRANCH_Q] = -1;
  ladder.upper.k = (guint)k;
  ladder.upper.kl = delta > 0 ? k : delta < 0 ? -k : 0;
  ladder.upper.component = component;
  ladder.name = g_strdup_printf ("K %d%s%s%s", k,
                                 delta > 0   ? " +l"
                                 : delta < 0 ? " -l"
                                             : "",
                                 component != FAINT_COMPONENT_NONE ? " " : "",
                                 faint_component_name (component));
  add_ladder (ladders, levels, &ladder, (guint)k);
}

static void
add_top (GPtrArray *ladders, const FaintLevels *levels)
{
  gboolean perpendicular = faint_levels_get_constants (levels)->perpendicular;

  for (guint i = 0; i < faint_levels_get_n_stacks (levels); i++)
    if (perpendicular)
      {
        add_top_ladder (ladders, levels, i, -1);
        add_top_ladder (ladders, levels, i, 1);
      }
    else
      add_top_ladder (ladders, levels, i, 0);
}

GPtrArray *
faint_ladders_new (const FaintLevels *levels)
{
  GPtrArray *ladders = g_ptr_array_new_with_free_func (free_ladder);
  FaintMolecule molecule = faint_levels_get_constants (levels)->molecule;

  if (molecule == FAINT_MOLECULE_LINEAR)
    add_linear (ladders, levels);
  else if (molecule == FAINT_MOLECULE_SYMMETRIC_TOP)
    add_top (ladders, levels);
  else
    for (guint i = 0; i < faint_levels_get_n_stacks (levels); i++)
      {
        FaintLadder ladder = { .stack = { (int)i, (int)i, (int)i } };

        ladder.upper.k = faint_levels_get_stack (levels, i)->k;
        ladder.name = g_strdup (faint_levels_get_stack (levels, i)->name);
        add_ladder (ladders, levels, &ladder, 0);
      }
  return ladders;
}

const FaintLevel *
faint_ladder_lower (const FaintLadder *self, const FaintLevels *levels, FaintBranch branch, int j)
{
  int lower = faint_branch_lower_j (branch, j);
  const FaintLevel *level;

  if (lower < 0 || (branch == FAINT_BRANCH_Q && j == 0))
    return NULL;
  level = faint_levels_at (levels, self->stack[branch], lower);
  return level != NULL && level->weight > 0.0 ? level : NULL;
}

char *
faint_ladder_label (const FaintLadder *self, const FaintLevels *levels, int j)
{
  const FaintConstants *constants = faint_levels_get_constants (levels);
  FaintQuantumNumbers numbers = self->upper;

  numbers.j = (guint)j;
  if (constants->molecule == FAINT_MOLECULE_TABLE)
    return g_strdup_printf ("%s%sJ%d%s%s", constants->upper_state,
                            *constants->upper_state ? ":" : "", j, *self->name ? " " : "",
                            self->name);
  return faint_level_label (constants->upper_state, constants->molecule, &numbers);
}

double
faint_hoenl_london (FaintBranch branch, int j_lower, int k_lower, int delta_k)
{
  double j = j_lower, k = delta_k < 0 ? -k_lower : k_lower, j2 = 2.0 * j + 1.0;

  if (j_lower < abs (k_lower) || (j_lower == 0 && branch != FAINT_BRANCH_R))
    return 0.0;
  if (delta_k == 0)
    switch (branch)
      {
      case FAINT_BRANCH_P:
        return (j * j - k * k) / (j * j2);
      case FAINT_BRANCH_Q:
        return k * k / (j * (j + 1.0));
      default:
        return ((j + 1.0) * (j + 1.0) - k * k) / ((j + 1.0) * j2);
      }
  switch (branch)
    {
    case FAINT_BRANCH_P:
      return (j - 1.0 - k) * (j - k) / (2.0 * j * j2);
    case FAINT_BRANCH_Q:
      return (j + 1.0 + k) * (j - k) / (2.0 * j * (j + 1.0));
    default:
      return (j + 2.0 + k) * (j + 1.0 + k) / (2.0 * (j + 1.0) * j2);
    }
}

double
faint_ladder_strength (const FaintLadder *self, const FaintLevels *levels, FaintBranch branch,
                       int j, double wavenumber, double temperature)
{
  const FaintConstants *constants = faint_levels_get_constants (levels);
  const FaintLevel *level = faint_ladder_lower (self, levels, branch, j);
  int k, delta = self->delta_k;
  double factor = 1.0;

  if (level == NULL)
    return 0.0;
  k = (int)level->numbers.k;
  if (constants->molecule == FAINT_MOLECULE_LINEAR)
    k = (int)constants->l;
  /* The rules of a table are not known; each branch counts as a third. */
  if (constants->molecule == FAINT_MOLECULE_TABLE)
    factor = 1.0 / 3.0;
  else
    factor = faint_hoenl_london (branch, (int)level->numbers.j, k, delta);
  return factor * level->weight * (2.0 * level->numbers.j + 1.0) * wavenumber
         * exp (-FAINT_C2_CM_K * level->energy / temperature)
         * -expm1 (-FAINT_C2_CM_K * wavenumber / temperature);
}
