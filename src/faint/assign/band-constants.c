/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/assign/band-private.h"

#include "faint/base/warnings.h"
#include "faint/base/words.h"

#include <math.h>
#include <string.h>

const char *
faint_band_verdict_name (FaintBandVerdict verdict)
{
  static const char *const names[] = { "fitted", "perturbed", "contradicted", "alone" };

  return names[verdict];
}

void
faint_band_options_init (FaintBandOptions *options, const FaintConstants *constants)
{
  gboolean top = constants->molecule == FAINT_MOLECULE_SYMMETRIC_TOP;

  *options = (FaintBandOptions){ .limit = 4.0 };
  options->upper[FAINT_CONSTANT_ORIGIN] = TRUE;
  options->upper[FAINT_CONSTANT_B] = TRUE;
  options->upper[FAINT_CONSTANT_D] = TRUE;
  options->upper[FAINT_CONSTANT_AXIS] = top;
  options->upper[FAINT_CONSTANT_D_JK] = top;
  options->upper[FAINT_CONSTANT_D_K] = top;
  options->upper[FAINT_CONSTANT_AXIS_ZETA] = top && constants->perpendicular;
  options->upper[FAINT_CONSTANT_Q]
      = constants->molecule == FAINT_MOLECULE_LINEAR && constants->upper_l > 0;
}

gboolean
faint_band_options_parse (FaintBandOptions *options, const char *text, char **word)
{
  g_auto (GStrv) words = g_strsplit (text, ",", -1);

  memset (options->upper, 0, sizeof options->upper);
  memset (options->lower, 0, sizeof options->lower);
  for (guint i = 0; words[i] != NULL; i++)
    {
      const char *name = g_strstrip (words[i]);
      gboolean lower = g_str_has_prefix (name, "lower ");
      guint constant = 0;

      name += lower ? strlen ("lower ") : 0;
      while (constant < FAINT_CONSTANT_N && !g_str_equal (name, faint_constant_name (constant)))
        constant++;
      if (constant == FAINT_CONSTANT_N || (lower && constant == FAINT_CONSTANT_ORIGIN))
        {
          *word = g_strdup (words[i]);
          return FALSE;
        }
      (lower ? options->lower : options->upper)[constant] = TRUE;
    }
  return TRUE;
}

/* How a constant enters a level of the upper or lower state. */
static double
coefficient (const FaintBand *self, const FaintBandConstant *it, const FaintQuantumNumbers *numbers)
{
  const FaintConstants *constants = faint_levels_get_constants (self->levels);

  if (it->set != (numbers->component == FAINT_COMPONENT_A))
    return 0.0;
  return faint_constants_coefficient (constants, it->constant, numbers,
                                      it->lower ? constants->l : constants->upper_l);
}

void
faint_band_row (const FaintBand *self, guint ladder, int j, FaintBranch branch, double *row)
{
  const FaintLadder *it = g_ptr_array_index (self->ladders, ladder);
  const FaintLevel *lower = faint_ladder_lower (it, self->levels, branch, j);
  FaintQuantumNumbers upper = it->upper;

  upper.j = (guint)j;
  for (guint i = 0; i < self->constants->len; i++)
    {
      const FaintBandConstant *constant = &g_array_index (self->constants, FaintBandConstant, i);

      if (constant->ladder >= 0 && constant->ladder != (int)ladder)
        row[i] = 0.0;
      else if (constant->lower)
        row[i] = -coefficient (self, constant, &lower->numbers);
      else
        row[i] = coefficient (self, constant, &upper);
    }
}

/* What of F'' + T' is not fitted: the position is the row times the constants plus this. */
double
faint_band_fixed_part (const FaintBand *self, guint ladder, int j, FaintBranch branch)
{
  const FaintLadder *it = g_ptr_array_index (self->ladders, ladder);
  const FaintLevel *lower = faint_ladder_lower (it, self->levels, branch, j);
  const FaintConstants *constants = faint_levels_get_constants (self->levels);
  double part = -lower->energy;

  for (guint i = 0; i < self->constants->len; i++)
    {
      const FaintBandConstant *constant = &g_array_index (self->constants, FaintBandConstant, i);

      if (constant->lower)
        part += constants->value[constant->set][constant->constant]
                * coefficient (self, constant, &lower->numbers);
    }
  return part;
}

static void
clear_constant (gpointer data)
{
  g_free (((FaintBandConstant *)data)->name);
}

FaintBand *
faint_band_new (const FaintLevels *levels, const GPtrArray *ladders, gsize n)
{
  FaintBand *self = g_new0 (FaintBand, 1);

  self->levels = levels;
  self->ladders = ladders;
  self->constants = g_array_new (FALSE, FALSE, sizeof (FaintBandConstant));
  g_array_set_clear_func (self->constants, clear_constant);
  self->verdict = g_new0 (FaintBandVerdict, n + 1);
  self->shift = g_new (double, n + 1);
  for (gsize i = 0; i <= n; i++)
    self->shift[i] = NAN;
  self->warnings = faint_warnings_new ();
  return self;
}

void
faint_band_free (FaintBand *self)
{
  if (self == NULL)
    return;
  g_array_unref (self->constants);
  faint_linear_fit_free (self->fit);
  g_free (self->verdict);
  g_free (self->shift);
  g_ptr_array_unref (self->warnings);
  g_free (self);
}

void
faint_band_add_constant (FaintBand *self, FaintConstant constant, gboolean lower, int set,
                         int ladder)
{
  const FaintConstants *constants = faint_levels_get_constants (self->levels);
  FaintBandConstant it = {
    .constant = constant, .lower = lower, .set = set, .ladder = ladder, .value = NAN, .u = NAN
  };
  const char *stack = ladder >= 0 && self->ladders->len > 1
                          ? ((FaintLadder *)g_ptr_array_index (self->ladders, ladder))->name
                          : "";

  it.name = g_strdup_printf ("%s%s%s%s%s%s", faint_constant_name (constant), lower ? "''" : "'",
                             constants->inverting ? (set ? " a" : " s") : "", *stack ? " " : "",
                             stack, "");
  g_array_append_val (self->constants, it);
}

void
faint_band_give_up (FaintBand *self, guint index)
{
  faint_warnings_add (self->warnings, "constant-not-determined",
                      N_ ("The lines do not determine %s; it was not fitted and counts as 0."),
                      g_array_index (self->constants, FaintBandConstant, index).name);
  g_array_remove_index (self->constants, index);
}

void
faint_band_take_values (FaintBand *self)
{
  for (guint i = 0; i < self->constants->len; i++)
    {
      FaintBandConstant *it = &g_array_index (self->constants, FaintBandConstant, i);

      it->value = self->fit->value[i];
      it->u = sqrt (self->fit->covariance[i * self->fit->p + i]);
    }
}

double
faint_band_position (const FaintBand *self, guint ladder, int j, FaintBranch branch, double *u)
{
  const FaintLadder *it = g_ptr_array_index (self->ladders, ladder);
  g_autofree double *row = NULL;
  double sum;
  gboolean known = FALSE;

  *u = NAN;
  if (faint_ladder_lower (it, self->levels, branch, j) == NULL)
    return NAN;
  row = g_new (double, self->constants->len + 1);
  faint_band_row (self, ladder, j, branch, row);
  sum = faint_band_fixed_part (self, ladder, j, branch);
  for (guint i = 0; i < self->constants->len; i++)
    {
      const FaintBandConstant *constant = &g_array_index (self->constants, FaintBandConstant, i);

      sum += row[i] * constant->value;
      known = known || (constant->constant == FAINT_CONSTANT_ORIGIN && row[i] != 0.0);
    }
  if (!known)
    return NAN;
  *u = faint_linear_fit_u (self->fit, row);
  return sum;
}

const FaintBandConstant *
faint_band_constant (const FaintBand *self, const char *name)
{
  for (guint i = 0; i < self->constants->len; i++)
    if (g_str_equal (g_array_index (self->constants, FaintBandConstant, i).name, name))
      return &g_array_index (self->constants, FaintBandConstant, i);
  return NULL;
}
