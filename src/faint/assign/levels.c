/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/assign/levels-private.h"

#include "faint/base/units.h"
#include "faint/base/words.h"

#include <math.h>

G_DEFINE_QUARK (faint - levels - error - quark, faint_levels_error)

static void
clear_level (gpointer data)
{
  g_free (((FaintLevel *)data)->label);
}

static void
clear_stack (gpointer data)
{
  FaintStack *stack = data;

  g_free (stack->name);
  g_free (stack->at);
}

FaintLevels *
faint_levels_new_empty (const FaintConstants *constants)
{
  FaintLevels *self = g_atomic_rc_box_new0 (FaintLevels);

  self->constants = faint_constants_copy (constants);
  self->levels = g_array_new (FALSE, FALSE, sizeof (FaintLevel));
  g_array_set_clear_func (self->levels, clear_level);
  self->stacks = g_array_new (FALSE, FALSE, sizeof (FaintStack));
  g_array_set_clear_func (self->stacks, clear_stack);
  self->by_label = g_hash_table_new (g_str_hash, g_str_equal);
  return self;
}

static void
clear (gpointer data)
{
  FaintLevels *self = data;

  g_hash_table_unref (self->by_label);
  g_array_unref (self->levels);
  g_array_unref (self->stacks);
  faint_constants_free (self->constants);
}

FaintLevels *
faint_levels_ref (FaintLevels *self)
{
  return g_atomic_rc_box_acquire (self);
}

void
faint_levels_unref (FaintLevels *self)
{
  if (self != NULL)
    g_atomic_rc_box_release_full (self, clear);
}

void
faint_levels_add (FaintLevels *self, FaintLevel level)
{
  FaintStack *stack = &g_array_index (self->stacks, FaintStack, level.stack);

  stack->j_max = MAX (stack->j_max, level.numbers.j);
  g_array_append_val (self->levels, level);
}

guint
faint_levels_stack (FaintLevels *self, const char *name, guint k, FaintComponent component)
{
  FaintStack stack = { .k = k, .component = component };

  for (guint i = 0; i < self->stacks->len; i++)
    if (g_str_equal (g_array_index (self->stacks, FaintStack, i).name, name))
      return i;
  stack.name = g_strdup (name);
  g_array_append_val (self->stacks, stack);
  return self->stacks->len - 1;
}

/* Origin, B and D of the parabola in x through the stack's levels at the ends and the middle. */
static void
smooth_stack (FaintLevels *self, FaintStack *stack)
{
  double x[3], f[3], d01, d12;
  guint n = 0, first = 0, chosen[3];

  while (first <= stack->j_max && stack->at[first] < 0)
    first++;
  stack->origin = stack->b = stack->d = 0.0;
  if (first > stack->j_max)
    return; /* no level: K or l is above J_max */
  chosen[0] = first;
  chosen[2] = stack->j_max;
  chosen[1] = (guint)lround (first + 0.6 * (stack->j_max - first));
  while (chosen[1] < stack->j_max && stack->at[chosen[1]] < 0)
    chosen[1]++;
  for (guint i = 0; i < 3; i++)
    if (n == 0 || chosen[i] > chosen[n - 1])
      {
        chosen[n] = chosen[i];
        x[n] = (double)chosen[i] * (chosen[i] + 1.0);
        f[n++] = g_array_index (self->levels, FaintLevel, stack->at[chosen[i]]).energy;
      }
  stack->origin = f[0];
  if (n < 2)
    return;
  d01 = (f[1] - f[0]) / (x[1] - x[0]);
  if (n == 3)
    {
      d12 = (f[2] - f[1]) / (x[2] - x[1]);
      stack->d = -(d12 - d01) / (x[2] - x[0]);
    }
  stack->b = d01 + stack->d * (x[0] + x[1]);
  stack->origin = f[0] - stack->b * x[0] + stack->d * x[0] * x[0];
}

void
faint_levels_settle (FaintLevels *self)
{
  for (guint i = 0; i < self->stacks->len; i++)
    {
      FaintStack *stack = &g_array_index (self->stacks, FaintStack, i);

      stack->at = g_new (int, stack->j_max + 1);
      for (guint j = 0; j <= stack->j_max; j++)
        stack->at[j] = -1;
    }
  for (guint i = 0; i < self->levels->len; i++)
    {
      const FaintLevel *level = &g_array_index (self->levels, FaintLevel, i);

      g_array_index (self->stacks, FaintStack, level->stack).at[level->numbers.j] = (int)i;
      g_hash_table_insert (self->by_label, level->label, GUINT_TO_POINTER (i + 1));
    }
  for (guint i = 0; i < self->stacks->len; i++)
    smooth_stack (self, &g_array_index (self->stacks, FaintStack, i));
}

char *
faint_level_label (const char *state, FaintMolecule molecule, const FaintQuantumNumbers *numbers)
{
  GString *text = g_string_new (state);
  const char *component = faint_component_name (numbers->component);

  if (*state != '\0')
    g_string_append_c (text, ':');
  g_string_append_printf (text, "J%u", numbers->j);
  if (molecule == FAINT_MOLECULE_SYMMETRIC_TOP)
    {
      g_string_append_printf (text, " K%u", numbers->k);
      if (numbers->kl != 0)
        g_string_append (text, numbers->kl > 0 ? " +l" : " -l");
      if (*component != '\0')
        g_string_append_c (text, ' ');
    }
  g_string_append (text, component);
  return g_string_free (text, FALSE);
}

/* Nuclear spin. The levels f of a linear molecule and a of an inverting one have the weights the
 * other way round (Herzberg, 1945, pages 16 and 28). */
static double
spin_weight (const FaintConstants *constants, const FaintQuantumNumbers *numbers)
{
  gboolean odd = numbers->j % 2 == 1;

  if (numbers->component == FAINT_COMPONENT_F || numbers->component == FAINT_COMPONENT_A)
    odd = !odd;
  if (constants->molecule == FAINT_MOLECULE_LINEAR)
    return odd ? constants->spin_odd : constants->spin_even;
  if (numbers->k == 0)
    return odd ? constants->spin_k0_odd : constants->spin_k0_even;
  return numbers->k % 3 == 0 ? constants->spin_k3n : constants->spin_other;
}

static double
level_u (const FaintConstants *constants, const FaintQuantumNumbers *one,
         const FaintQuantumNumbers *other)
{
  double sum = 0.0;

  for (guint i = 0; i < FAINT_CONSTANT_N; i++)
    {
      guint set = one->component == FAINT_COMPONENT_A;
      double c = faint_constants_coefficient (constants, i, one, constants->l);

      if (other != NULL)
        c -= faint_constants_coefficient (constants, i, other, constants->l);
      sum += c * c * constants->u[set][i] * constants->u[set][i];
    }
  return sqrt (sum);
}

/* Levels up to where they stop rising. */
static void
add_stack (FaintLevels *self, guint k, FaintComponent component)
{
  const FaintConstants *constants = self->constants;
  g_autofree char *name = NULL;
  double before = -G_MAXDOUBLE;
  guint stack;

  if (constants->molecule == FAINT_MOLECULE_LINEAR)
    name = g_strdup (faint_component_name (component));
  else
    name = g_strdup_printf ("K %u%s%s", k, component != FAINT_COMPONENT_NONE ? " " : "",
                            faint_component_name (component));
  stack = faint_levels_stack (self, name, k, component);
  for (guint j = MAX (k, constants->l); j <= constants->j_max; j++)
    {
      FaintLevel level = { .numbers = { .j = j, .k = k, .component = component }, .stack = stack };

      level.energy = faint_constants_term (constants, &level.numbers);
      level.weight = spin_weight (constants, &level.numbers);
      if (!(level.energy > before))
        break;
      before = level.energy;
      level.u = level_u (constants, &level.numbers, NULL);
      level.label = faint_level_label (constants->state, constants->molecule, &level.numbers);
      faint_levels_add (self, level);
    }
}

FaintLevels *
faint_levels_new (const FaintConstants *constants, GError **error)
{
  g_autoptr (FaintLevels) self = faint_levels_new_empty (constants);
  gboolean top = constants->molecule == FAINT_MOLECULE_SYMMETRIC_TOP;

  if (!(constants->value[0][FAINT_CONSTANT_B] > 0.0)
      || (top && !(constants->value[0][FAINT_CONSTANT_AXIS] > 0.0)))
    {
      g_set_error_literal (
          error, FAINT_LEVELS_ERROR, FAINT_LEVELS_ERROR_VALUE,
          top ? _ ("B or the axis constant (A or C) is not above 0; expected the rotational "
                   "constants of the lower state, cm-1.")
              : _ ("B is not above 0; expected the rotational constant of the lower state, cm-1."));
      return NULL;
    }
  for (guint k = 0; k <= (top ? MIN (constants->k_max, constants->j_max) : 0); k++)
    {
      if (top && constants->inverting)
        {
          add_stack (self, k, FAINT_COMPONENT_S);
          add_stack (self, k, FAINT_COMPONENT_A);
        }
      else
        add_stack (self, k, top ? FAINT_COMPONENT_NONE : FAINT_COMPONENT_E);
      if (!top && constants->l > 0)
        add_stack (self, k, FAINT_COMPONENT_F);
    }
  if (self->levels->len == 0)
    {
      g_set_error (error, FAINT_LEVELS_ERROR, FAINT_LEVELS_ERROR_VALUE,
                   _ ("The constants give no level: J_max is %u, and J begins at l = %u."),
                   constants->j_max, constants->l);
      return NULL;
    }
  faint_levels_settle (self);
  return g_steal_pointer (&self);
}

const FaintConstants *
faint_levels_get_constants (const FaintLevels *self)
{
  return self->constants;
}

guint
faint_levels_get_n (const FaintLevels *self)
{
  return self->levels->len;
}

const FaintLevel *
faint_levels_get (const FaintLevels *self, guint index)
{
  return &g_array_index (self->levels, FaintLevel, index);
}

guint
faint_levels_get_n_stacks (const FaintLevels *self)
{
  return self->stacks->len;
}

const FaintStack *
faint_levels_get_stack (const FaintLevels *self, guint index)
{
  return &g_array_index (self->stacks, FaintStack, index);
}

const FaintLevel *
faint_levels_at (const FaintLevels *self, int stack, int j)
{
  const FaintStack *it;

  if (stack < 0 || j < 0)
    return NULL;
  it = &g_array_index (self->stacks, FaintStack, stack);
  return (guint)j <= it->j_max && it->at[j] >= 0 ? faint_levels_get (self, (guint)it->at[j]) : NULL;
}

const FaintLevel *
faint_levels_find (const FaintLevels *self, const char *label)
{
  guint index = GPOINTER_TO_UINT (g_hash_table_lookup (self->by_label, label));

  return index > 0 ? faint_levels_get (self, index - 1) : NULL;
}

double
faint_levels_u_difference (const FaintLevels *self, const FaintLevel *one, const FaintLevel *other)
{
  if (self->constants->molecule == FAINT_MOLECULE_TABLE
      || one->numbers.component != other->numbers.component)
    return hypot (one->u, other->u);
  return level_u (self->constants, &one->numbers, &other->numbers);
}

double
faint_levels_sum (const FaintLevels *self, double temperature)
{
  double sum = 0.0;

  for (guint i = 0; i < self->levels->len; i++)
    {
      const FaintLevel *level = faint_levels_get (self, i);

      sum += level->weight * (2.0 * level->numbers.j + 1.0)
             * exp (-FAINT_C2_CM_K * level->energy / temperature);
    }
  return sum;
}
