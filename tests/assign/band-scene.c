/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "band-scene.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

void
band_scene_init (BandScene *self)
{
  *self = (BandScene){ .seed = 1,
                       .origin = 7808.35,
                       .j_max = 50,
                       .missing = 0.3,
                       .spurious = 0.2,
                       .noise = 1e-4,
                       .strengths = TRUE };
}

FaintConstants *
band_nitrous_oxide (void)
{
  FaintConstants *constants = faint_constants_new ();

  /* As in data/partition/nitrous-oxide.constants. */
  constants->value[0][FAINT_CONSTANT_B] = 0.419011035;
  constants->value[0][FAINT_CONSTANT_D] = 1.761485e-7;
  constants->j_max = 90;
  return constants;
}

FaintConstants *
band_invented_top (void)
{
  FaintConstants *constants = faint_constants_new ();

  constants->molecule = FAINT_MOLECULE_SYMMETRIC_TOP;
  constants->value[0][FAINT_CONSTANT_B] = 0.8518;
  constants->value[0][FAINT_CONSTANT_AXIS] = 5.182;
  constants->value[0][FAINT_CONSTANT_D] = 2.0e-6;
  constants->value[0][FAINT_CONSTANT_D_JK] = 1.5e-5;
  constants->value[0][FAINT_CONSTANT_D_K] = 7.0e-5;
  constants->spin_k0_even = constants->spin_k0_odd = constants->spin_other = 4.0;
  constants->spin_k3n = 8.0;
  constants->j_max = 45;
  constants->k_max = 12;
  return constants;
}

static double
normal (GRand *random)
{
  return sqrt (-2.0 * log (g_rand_double_range (random, 1e-300, 1.0)))
         * cos (2.0 * G_PI * g_rand_double (random));
}

static double
upper_term (const BandScene *self, const FaintLevels *levels, const FaintLadder *ladder, guint l,
            int j)
{
  g_autoptr (FaintConstants) upper = faint_constants_copy (faint_levels_get_constants (levels));
  FaintQuantumNumbers numbers = ladder->upper;
  double term;

  for (guint i = 0; i < FAINT_CONSTANT_N; i++)
    for (guint set = 0; set < 2; set++)
      upper->value[set][i] += self->shift[i];
  upper->l = upper->upper_l;
  numbers.j = (guint)j;
  term = self->origin + faint_constants_term (upper, &numbers);
  return term + (self->displace != NULL ? self->displace (l, j, self->data) : 0.0);
}

static void
add_line (const BandScene *self, GRand *random, GArray *lines, double nu, double strength,
          const char *truth)
{
  FaintLine line = faint_line_unknown ();

  line.id = lines->len + 1;
  line.position.value = nu + self->noise * normal (random);
  line.position.u = line.position.u_noise = self->noise;
  if (self->strengths)
    {
      line.strength.value = strength * exp (0.03 * normal (random));
      line.strength.u = 0.03 * line.strength.value;
    }
  line.remark = g_intern_string (truth);
  g_array_append_val (lines, line);
}

static double
strongest (const FaintLevels *levels, const GPtrArray *ladders, const BandScene *self)
{
  double most = 0.0;

  for (guint l = 0; l < ladders->len; l++)
    for (int j = 0; j <= (int)self->j_max; j++)
      for (int b = 0; b < FAINT_BRANCH_N; b++)
        most = fmax (most, faint_ladder_strength (g_ptr_array_index (ladders, l), levels, b, j,
                                                  self->origin, 296.0));
  return most;
}

static void
add_level (const BandScene *self, const FaintLevels *levels, const GPtrArray *ladders, guint l,
           int j, double most, GRand *random, GArray *lines)
{
  const FaintLadder *ladder = g_ptr_array_index (ladders, l);

  for (int b = 0; b < FAINT_BRANCH_N; b++)
    {
      const FaintLevel *lower = faint_ladder_lower (ladder, levels, b, j);
      double strength = faint_ladder_strength (ladder, levels, b, j, self->origin, 296.0) / most;
      char truth[40];

      if (lower == NULL || lower->numbers.j > self->j_max || !(strength > self->weakest)
          || g_rand_double (random) < self->missing)
        continue;
      snprintf (truth, sizeof truth, "%u %d %d", l, j, b);
      add_line (self, random, lines, upper_term (self, levels, ladder, l, j) - lower->energy,
                1e-24 * strength, truth);
    }
}

FaintLineList *
band_scene_lines (const BandScene *self, const FaintLevels *levels)
{
  g_autoptr (GPtrArray) ladders = faint_ladders_new (levels);
  g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (FaintLine));
  GRand *random = g_rand_new_with_seed (self->seed);
  double most = strongest (levels, ladders, self), low = G_MAXDOUBLE, high = 0.0;
  FaintLineList *list;
  guint n;

  for (guint l = 0; l < ladders->len; l++)
    for (int j = 0; j <= (int)self->j_max + 1; j++)
      add_level (self, levels, ladders, l, j, most, random, lines);
  n = lines->len;
  for (guint i = 0; i < n; i++)
    {
      low = fmin (low, g_array_index (lines, FaintLine, i).position.value);
      high = fmax (high, g_array_index (lines, FaintLine, i).position.value);
    }
  for (guint i = 0; i < (guint)lround (self->spurious * n); i++)
    add_line (self, random, lines, g_rand_double_range (random, low, high),
              1e-24 * pow (10.0, g_rand_double_range (random, -3.0, 0.0)), "");
  g_rand_free (random);
  list = faint_line_list_new ((const FaintLine *)lines->data, lines->len);
  return list;
}

BandScore
band_score (const FaintLineList *list, const FaintAssignment *assignment)
{
  BandScore score = { 0 };
  g_autoptr (GHashTable) said = g_hash_table_new_full (NULL, NULL, NULL, g_free);

  for (guint i = 0; i < assignment->lines->len; i++)
    {
      const FaintAssigned *it = &g_array_index (assignment->lines, FaintAssigned, i);

      g_hash_table_insert (
          said, GUINT_TO_POINTER (it->id),
          g_strdup_printf ("%u %d %d", it->line.ladder, it->line.j, (int)it->line.branch));
    }
  for (gsize i = 0; i < faint_line_list_get_n (list); i++)
    {
      const FaintLine *line = faint_line_list_get (list, i);
      const char *label = g_hash_table_lookup (said, GUINT_TO_POINTER (line->id));
      gboolean real = *line->remark != '\0';

      score.present += real;
      score.spurious += !real;
      score.right += real && label != NULL && strcmp (label, line->remark) == 0;
      score.wrong += label != NULL && strcmp (label, line->remark) != 0;
      score.spurious_taken += label != NULL && !real;
      score.open += real && label == NULL;
    }
  return score;
}
