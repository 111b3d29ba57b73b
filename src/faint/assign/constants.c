/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Constants of a state, and the energies that follow from them.
 */
#include "faint/assign/levels.h"

const char *
faint_constant_name (FaintConstant constant)
{
  static const char *const names[FAINT_CONSTANT_N]
      = { "origin", "B", "D", "H", "axis", "D_JK", "D_K", "axis_zeta", "q", "q_D" };

  return names[constant];
}

const char *
faint_component_name (FaintComponent component)
{
  static const char *const names[] = { "", "e", "f", "s", "a" };

  return names[component];
}

FaintConstants *
faint_constants_new (void)
{
  FaintConstants *self = g_new0 (FaintConstants, 1);

  self->state = g_strdup ("");
  self->upper_state = g_strdup ("");
  self->spin_even = self->spin_odd = 1.0;
  self->spin_k0_even = self->spin_k0_odd = self->spin_k3n = self->spin_other = 1.0;
  self->j_max = 100;
  return self;
}

FaintConstants *
faint_constants_copy (const FaintConstants *self)
{
  FaintConstants *copy = g_memdup2 (self, sizeof *self);

  copy->state = g_strdup (self->state);
  copy->upper_state = g_strdup (self->upper_state);
  return copy;
}

void
faint_constants_free (FaintConstants *self)
{
  if (self == NULL)
    return;
  g_free (self->state);
  g_free (self->upper_state);
  g_free (self);
}

/* -1 for e, +1 for f, 0 where there is no doubling. */
static double
doubling_sign (const FaintQuantumNumbers *numbers, guint l)
{
  if (l == 0)
    return 0.0;
  return numbers->component == FAINT_COMPONENT_E   ? -1.0
         : numbers->component == FAINT_COMPONENT_F ? 1.0
                                                   : 0.0;
}

static double
top_coefficient (FaintConstant constant, const FaintQuantumNumbers *numbers)
{
  double x = (double)numbers->j * (numbers->j + 1.0), k2 = (double)numbers->k * numbers->k;

  switch (constant)
    {
    case FAINT_CONSTANT_ORIGIN:
      return 1.0;
    case FAINT_CONSTANT_B:
      return x - k2;
    case FAINT_CONSTANT_D:
      return -x * x;
    case FAINT_CONSTANT_H:
      return x * x * x;
    case FAINT_CONSTANT_AXIS:
      return k2;
    case FAINT_CONSTANT_D_JK:
      return -x * k2;
    case FAINT_CONSTANT_D_K:
      return -k2 * k2;
    case FAINT_CONSTANT_AXIS_ZETA:
      return -2.0 * numbers->kl;
    default:
      return 0.0;
    }
}

static double
linear_coefficient (FaintConstant constant, double x, double sign)
{
  switch (constant)
    {
    case FAINT_CONSTANT_ORIGIN:
      return 1.0;
    case FAINT_CONSTANT_B:
      return x;
    case FAINT_CONSTANT_D:
      return -x * x;
    case FAINT_CONSTANT_H:
      return x * x * x;
    case FAINT_CONSTANT_Q:
      return 0.5 * sign * x;
    case FAINT_CONSTANT_Q_D:
      return 0.5 * sign * x * x;
    default:
      return 0.0;
    }
}

double
faint_constants_coefficient (const FaintConstants *self, FaintConstant constant,
                             const FaintQuantumNumbers *numbers, guint l)
{
  double x = (double)numbers->j * (numbers->j + 1.0);

  if (self->molecule == FAINT_MOLECULE_SYMMETRIC_TOP)
    return top_coefficient (constant, numbers);
  if (self->subtract_l)
    x -= (double)l * l;
  return linear_coefficient (constant, x, doubling_sign (numbers, l));
}

double
faint_constants_term (const FaintConstants *self, const FaintQuantumNumbers *numbers)
{
  const double *value = self->value[numbers->component == FAINT_COMPONENT_A];
  double term = 0.0;

  for (guint i = 0; i < FAINT_CONSTANT_N; i++)
    if (value[i] != 0.0)
      term += value[i] * faint_constants_coefficient (self, i, numbers, self->l);
  return term;
}
