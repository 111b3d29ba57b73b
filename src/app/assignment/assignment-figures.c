/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/assignment/assignment-figures.h"

#include <glib/gi18n.h>
#include <math.h>
#include <stdlib.h>

#include "app/parts/quantity-text.h"
#include "faint/base/quantity.h"

#define DECADES 3.0         /* of strength, that the size of a symbol tells */
#define UNKNOWN_WEIGHT 0.35 /* of a line whose strength is not known */
#define MOST_ROWS 150       /* of a span whose lower state is not known */

void
faint_plot_rows_free (FaintPlotRows *self)
{
  if (self)
    g_free (self->name);
  g_free (self);
}

FaintSymbol
faint_branch_symbol (FaintBranch branch)
{
  switch (branch)
    {
    case FAINT_BRANCH_P:
      return FAINT_SYMBOL_LEFT;
    case FAINT_BRANCH_Q:
      return FAINT_SYMBOL_DIAMOND;
    default:
      return FAINT_SYMBOL_RIGHT;
    }
}

void
faint_plot_row_meaning (gboolean q, int row, FaintBranch *branch, int *j_lower)
{
  if (q)
    {
      *branch = FAINT_BRANCH_Q;
      *j_lower = row;
    }
  else
    {
      *branch = row < 0 ? FAINT_BRANCH_P : FAINT_BRANCH_R;
      *j_lower = row < 0 ? -row : row - 1;
    }
}

char *
faint_transition_in_words (FaintAssigner *self, guint ladder, FaintBranch branch, int j)
{
  const GPtrArray *ladders = faint_assigner_get_ladders (self);
  const FaintLadder *it = g_ptr_array_index (ladders, ladder);
  const char *name = ladders->len > 1 ? it->name : "";

  return g_strdup_printf ("%c(%d)%s%s", faint_branch_letter (branch),
                          faint_branch_lower_j (branch, j), *name ? " " : "", name);
}

gboolean
faint_plot_row_transition (FaintAssigner *self, const FaintPlotRows *rows, guint id, int row,
                           FaintTransition *it)
{
  const FaintAssignment *result = faint_assigner_get_result (self);
  int j;

  if (rows->periodic || result == NULL || rows->band >= result->bands->len)
    return FALSE;
  *it = (FaintTransition){ .id = id, .ladder = rows->ladder };
  faint_plot_row_meaning (rows->q, row, &it->branch, &j);
  it->j = j + (it->branch == FAINT_BRANCH_P ? -1 : it->branch == FAINT_BRANCH_R ? 1 : 0);
  it->state = g_array_index (result->bands, FaintAssignedBand, rows->band).name;
  return TRUE;
}

/* What its labels say, else what its row would make of it. */
static char *
identity_in_words (FaintAssigner *self, const FaintPlotRows *rows, const FaintLine *line, int row)
{
  FaintTransition it;
  g_autofree char *words = NULL;

  if (faint_assigner_transition_of (self, line, &it))
    words = faint_transition_in_words (self, it.ladder, it.branch, it.j);
  if (*line->upper || *line->lower)
    return g_strdup_printf ("%s%s%s%s%s", words ? words : "", words ? ": " : "", line->upper,
                            *line->upper && *line->lower ? " ← " : "", line->lower);
  if (!faint_plot_row_transition (self, rows, line->id, row, &it))
    return g_strdup (_ ("not assigned"));
  words = faint_transition_in_words (self, it.ladder, it.branch, it.j);
  /* Translators: the row of a plot means a transition such as "P(12)" */
  return g_strdup_printf (_ ("not assigned, in the row of %s"), words);
}

char *
faint_plot_line_in_words (FaintAssigner *self, const FaintPlotRows *rows, const FaintLine *line,
                          int row, double offset)
{
  g_autofree char *identity = identity_in_words (self, rows, line, row);
  g_autofree char *position = faint_format_concise (line->position.value, line->position.u);
  g_autofree char *number = faint_signed (row);
  const char *sign = fabs (offset) < 0.5e-4 ? "" : offset < 0 ? "−" : "+"; /* no zero has one */
  char shift[G_ASCII_DTOSTR_BUF_SIZE];

  g_ascii_formatd (shift, sizeof shift, "%.4f", fabs (offset));
  /* Translators: of a line: position, what it is, number of its row, sign and size of the offset */
  return g_strdup_printf (_ ("%s cm⁻¹, %s; row %s, offset %s%s cm⁻¹"), position, identity, number,
                          sign, shift);
}

static FaintPlotRows *
rows_new (const FaintAssignment *result, guint band, guint ladder, gboolean q)
{
  const FaintAssignedBand *it = &g_array_index (result->bands, FaintAssignedBand, band);
  const FaintLadder *rungs = g_ptr_array_index (result->ladders, ladder);
  FaintPlotRows *rows = g_new0 (FaintPlotRows, 1);
  const char *state = it->name ? it->name : "";
  const char *name = result->ladders->len > 1 ? rungs->name : "";

  rows->band = band;
  rows->ladder = ladder;
  rows->q = q;
  rows->name = g_strdup_printf (q ? _ ("J of Q%s%s%s%s") : _ ("m of P and R%s%s%s%s"),
                                *state ? " " : "", state, *name ? " " : "", name);
  return rows;
}

static gboolean
has_branch (const FaintAssignment *result, guint ladder, FaintBranch branch)
{
  return ((const FaintLadder *)g_ptr_array_index (result->ladders, ladder))->stack[branch] >= 0;
}

GPtrArray *
faint_plot_rows_choices (FaintAssigner *self)
{
  const FaintAssignment *result = faint_assigner_get_result (self);
  GPtrArray *choices = g_ptr_array_new_with_free_func ((GDestroyNotify)faint_plot_rows_free);
  FaintPlotRows *period = g_new0 (FaintPlotRows, 1);

  period->periodic = TRUE;
  period->name = g_strdup (_ ("Period"));
  g_ptr_array_add (choices, period);
  for (guint b = 0; result && b < result->bands->len; b++)
    {
      const FaintAssignedBand *band = &g_array_index (result->bands, FaintAssignedBand, b);

      for (guint l = 0; band->band && l < result->ladders->len; l++)
        {
          if (!band->uses_ladder[l])
            continue;
          if (has_branch (result, l, FAINT_BRANCH_P) || has_branch (result, l, FAINT_BRANCH_R))
            g_ptr_array_add (choices, rows_new (result, b, l, FALSE));
          if (has_branch (result, l, FAINT_BRANCH_Q))
            g_ptr_array_add (choices, rows_new (result, b, l, TRUE));
        }
    }
  return choices;
}

static int
by_size (gconstpointer a, gconstpointer b)
{
  double x = *(const double *)a, y = *(const double *)b;

  return (x > y) - (x < y);
}

/* Median distance of neighbours, which stand one above the other with it; but no more rows than
 * can be told apart. */
static double
spacing (const FaintLineList *lines, gsize n)
{
  g_autofree double *apart = g_new (double, n - 1);
  double span = faint_line_list_get (lines, n - 1)->position.value
                - faint_line_list_get (lines, 0)->position.value;
  double width;

  for (gsize i = 0; i + 1 < n; i++)
    apart[i] = faint_line_list_get (lines, i + 1)->position.value
               - faint_line_list_get (lines, i)->position.value;
  qsort (apart, n - 1, sizeof *apart, by_size);
  width = fmax (apart[(n - 1) / 2], span / MOST_ROWS);
  return width > 0 ? width : 1.0;
}

double
faint_plot_rows_default_width (FaintAssigner *self, const FaintLineList *lines)
{
  FaintLevels *levels = faint_assigner_get_levels (self);
  gsize n = lines ? faint_line_list_get_n (lines) : 0;

  if (levels && faint_levels_get_n_stacks (levels) > 0)
    {
      double b = faint_levels_get_stack (levels, 0)->b;

      if (b > 0)
        return 2 * b;
    }
  return n < 2 ? 1.0 : spacing (lines, n);
}

/* Sizes by the logarithm of the strength, the strongest the largest. */
static GArray *
lines_of (const FaintLineList *list, const FaintAssignment *result)
{
  gsize n = faint_line_list_get_n (list);
  GArray *lines = g_array_sized_new (FALSE, TRUE, sizeof (FaintLoomisWoodLine), (guint)n);
  double strongest = 0;

  for (gsize i = 0; i < n; i++)
    strongest = fmax (strongest, faint_line_list_get (list, i)->strength.value);
  for (gsize i = 0; i < n; i++)
    {
      const FaintLine *line = faint_line_list_get (list, i);
      const FaintAssigned *assigned = result ? faint_assignment_find (result, line->id) : NULL;
      FaintLoomisWoodLine it = { .id = line->id,
                                 .position = line->position.value,
                                 .weight = UNKNOWN_WEIGHT,
                                 .symbol = FAINT_SYMBOL_DISC,
                                 .assigned = *line->upper || *line->lower };

      if (line->flags & FAINT_LINE_EXCLUDED)
        continue;
      if (line->strength.value > 0)
        it.weight = CLAMP (1 + log10 (line->strength.value / strongest) / DECADES, 0.0, 1.0);
      if (assigned)
        it.symbol = faint_branch_symbol (assigned->line.branch);
      g_array_append_val (lines, it);
    }
  return lines;
}

/* J' of the rows of a branch: m or J of the lower level is the number of a row. Rows are those
 * where there are lines. */
static FaintLoomisWood *
by_running_number (const FaintAssignment *result, const FaintPlotRows *rows, FaintRange span)
{
  const FaintAssignedBand *band = &g_array_index (result->bands, FaintAssignedBand, rows->band);
  const FaintLadder *ladder = g_ptr_array_index (result->ladders, rows->ladder);
  g_autoptr (GArray) centres = g_array_new (FALSE, FALSE, sizeof (FaintLoomisWoodRow));

  for (int side = 0; side < 2; side++)
    {
      FaintBranch branch = rows->q ? FAINT_BRANCH_Q : side == 0 ? FAINT_BRANCH_P : FAINT_BRANCH_R;
      int n = (int)(ladder->j_max - ladder->j_min) + 1;

      for (int i = 0; i < n && !(rows->q && side == 1); i++)
        {
          /* P from its highest J down, so that m rises */
          int j = branch == FAINT_BRANCH_P ? (int)ladder->j_max - i : (int)ladder->j_min + i;
          double u, centre = faint_band_position (band->band, rows->ladder, j, branch, &u);
          FaintLoomisWoodRow row
              = { faint_branch_m (branch, faint_branch_lower_j (branch, j)), centre };

          if (isfinite (centre) && faint_range_contains (span, centre))
            g_array_append_val (centres, row);
        }
    }
  return faint_loomis_wood_new ((const FaintLoomisWoodRow *)(gpointer)centres->data, centres->len,
                                rows->width / 2, rows->q ? "J″" : "m");
}

static void
add_branches (FaintLoomisWood *plot, const FaintAssignment *result)
{
  for (guint b = 0; b < result->bands->len; b++)
    {
      const FaintAssignedBand *band = &g_array_index (result->bands, FaintAssignedBand, b);

      for (guint l = 0; band->band && l < result->ladders->len; l++)
        for (FaintBranch branch = 0; band->uses_ladder[l] && branch < FAINT_BRANCH_N; branch++)
          {
            const FaintLadder *ladder = g_ptr_array_index (result->ladders, l);
            guint n = ladder->j_max - ladder->j_min + 1;
            g_autofree double *positions = g_new (double, n);

            for (guint i = 0; i < n; i++)
              {
                double u;

                positions[i]
                    = faint_band_position (band->band, l, (int)(ladder->j_min + i), branch, &u);
              }
            if (has_branch (result, l, branch))
              faint_loomis_wood_add_branch (plot, positions, n);
          }
    }
}

/* Rows of a period count from the band's origin where that is known. */
static double
origin_of (const FaintAssignment *result, double lowest)
{
  const FaintBandConstant *origin = NULL;

  if (result && result->bands->len > 0)
    {
      const FaintAssignedBand *band = &g_array_index (result->bands, FaintAssignedBand, 0);

      if (band->band)
        origin = faint_band_constant (band->band, "origin'");
    }
  return origin ? origin->value : lowest;
}

FaintLoomisWood *
faint_loomis_wood_of (FaintAssigner *self, const FaintLineList *lines, const FaintPlotRows *rows)
{
  const FaintAssignment *result = faint_assigner_get_result (self);
  gsize n = lines ? faint_line_list_get_n (lines) : 0;
  FaintLoomisWood *plot = NULL;
  g_autoptr (GArray) drawn = NULL;
  FaintRange span;

  if (n == 0)
    return NULL;
  span = (FaintRange){ faint_line_list_get (lines, 0)->position.value,
                       faint_line_list_get (lines, n - 1)->position.value };
  if (rows->periodic)
    plot = faint_loomis_wood_new_periodic (origin_of (result, span.lower), rows->width, span);
  else if (result && rows->band < result->bands->len && rows->ladder < result->ladders->len)
    plot = by_running_number (
        result, rows, (FaintRange){ span.lower - rows->width / 2, span.upper + rows->width / 2 });
  if (plot == NULL)
    return NULL;
  drawn = lines_of (lines, result);
  faint_loomis_wood_set_lines (plot, (const FaintLoomisWoodLine *)(gpointer)drawn->data,
                               drawn->len);
  if (result)
    add_branches (plot, result);
  return plot;
}

GArray *
faint_differences_of (FaintAssigner *self)
{
  const FaintAssignment *result = faint_assigner_get_result (self);
  GArray *items = g_array_new (FALSE, TRUE, sizeof (FaintDifference));

  for (guint i = 0; result && i < result->lines->len; i++)
    {
      const FaintAssigned *it = &g_array_index (result->lines, FaintAssigned, i);
      FaintDifference item = { .id = it->id,
                               .difference = it->line.nu - it->calculated,
                               .u = it->line.u,
                               .symbol = faint_branch_symbol (it->line.branch),
                               .kept = it->verdict == FAINT_BAND_FITTED };

      item.number
          = faint_branch_m (it->line.branch, faint_branch_lower_j (it->line.branch, it->line.j));
      if (isfinite (item.difference))
        g_array_append_val (items, item);
    }
  return items;
}
