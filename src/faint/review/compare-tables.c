/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A comparison as a table and in words.
 */
#include "faint/review/compare.h"

#include "faint/lines/parameters.h"
#include "faint/review/common-rows.h"
#include "faint/review/csv-cells-private.h"

static void
add_line_cells (GString *out, const FaintComparedLine *line)
{
  for (guint side = 0; side < 2; side++)
    {
      faint_cell_id (out, line->id[side]);
      faint_cell_id (out, line->second[side]);
    }
  faint_cell_number (out, line->position);
}

static void
add_value_row (GString *out, const FaintComparedLine *line, const FaintComparedValue *value)
{
  gboolean scale = faint_common_is_scale (value->parameter);

  add_line_cells (out, line);
  g_string_append_printf (out, "%s,%s,", faint_parameter_name (value->parameter),
                          faint_common_unit (value->parameter));
  faint_cell_number (out, value->value[0]);
  faint_cell_number (out, value->u[0]);
  faint_cell_number (out, value->value[1]);
  faint_cell_number (out, value->u[1]);
  faint_cell_number (out, value->difference);
  faint_cell_number (out, value->u_difference);
  faint_cell_number (out, scale ? value->value[1] / value->value[0] : (double)NAN);
  faint_cell_number (out, value->en);
  faint_cell_end (out);
}

char *
faint_comparison_to_csv (const FaintComparison *self)
{
  GString *out = g_string_new (NULL);

  g_string_append_printf (
      out,
      "# faintline comparison, program %s\n# coverage_factor = %g\n# strengths = %s\n"
      "# differences are second less first\n"
      "id_first,second_of_blend_first,id_second,second_of_blend_second,position/cm-1,parameter,"
      "unit,first,u(first),second,u(second),difference,u(difference),ratio,E_n\n",
      FAINT_VERSION, self->options.coverage, self->at_296 ? "at 296 K" : "as they stand");
  for (guint i = 0; i < self->lines->len; i++)
    {
      const FaintComparedLine *line = g_ptr_array_index (self->lines, i);

      for (guint k = 0; k < line->values->len; k++)
        add_value_row (out, line, &g_array_index (line->values, FaintComparedValue, k));
      if (line->values->len > 0)
        continue;
      add_line_cells (out, line);
      g_string_append (out, ",,,,,,,,,\n");
    }
  return g_string_free (out, FALSE);
}

static char *
describe (const FaintComparison *self, const FaintComparedSummary *it)
{
  gboolean scale = faint_common_is_scale (it->parameter);
  g_autoptr (GString) text = g_string_new (NULL);

  g_string_append_printf (text, "%-22s %6" G_GSIZE_FORMAT " pairs, median %s %.6g%s, scatter %.3g",
                          faint_parameter_name (it->parameter), it->n,
                          scale ? "ratio" : "difference", it->median, scale ? "" : " cm-1",
                          it->scatter);
  if (it->n_en > 0)
    g_string_append_printf (
        text, ", |E_n| > 1 in %" G_GSIZE_FORMAT " of %" G_GSIZE_FORMAT " (%.1f expected)",
        it->n_beyond, it->n_en, (double)it->n_en * erfc (self->options.coverage / G_SQRT2));
  return g_string_free (g_steal_pointer (&text), FALSE);
}

#define NAMED_MOST 20

/* A pair whose values differ beside what the lists have in common. */
typedef struct
{
  const FaintComparedLine *line;
  const FaintComparedValue *value;
  double difference, u; /* second less what the first lets expect */
} Odd;

static int
largest_first (gconstpointer a, gconstpointer b)
{
  double x = fabs (((const Odd *)a)->difference / ((const Odd *)a)->u);
  double y = fabs (((const Odd *)b)->difference / ((const Odd *)b)->u);

  return x > y ? -1 : x < y ? 1 : 0;
}

static Odd
compare (const FaintComparison *self, const FaintComparedLine *line,
         const FaintComparedValue *value)
{
  gboolean scale = faint_common_is_scale (value->parameter);
  double shift = 0.0, factor;

  for (guint i = 0; i < self->systematic->len; i++)
    {
      const FaintSystematic *it = g_ptr_array_index (self->systematic, i);

      /* Along the depth or the energy, which a pair here does not have, the mean is taken. */
      if (it->parameter == value->parameter)
        shift = faint_systematic_at (
            it, it->form == FAINT_SYSTEMATIC_POSITION ? line->position : it->x_mean, NULL);
    }
  factor = scale ? exp (shift) : 1.0;
  return (Odd){ .line = line,
                .value = value,
                .difference = value->value[1] - factor * value->value[0] - (scale ? 0.0 : shift),
                .u = hypot (value->u[1], factor * value->u[0]) };
}

static char *
describe_pair (const FaintComparison *self, const Odd *it)
{
  g_autofree char *difference = faint_format_concise (it->difference, it->u);

  return g_strdup_printf (
      "%12.5f  %s differs by %s %s%s (E_n %.2f)", it->line->position,
      faint_parameter_name (it->value->parameter), difference,
      faint_common_unit (it->value->parameter),
      it->difference != it->value->difference ? " beside what the lists have in common" : "",
      it->difference / (self->options.coverage * it->u));
}

/* Pairs that differ at the confidence over all of them (Bonferroni), the farthest off first. */
static void
describe_pairs (const FaintComparison *self, GPtrArray *out)
{
  g_autoptr (GArray) odd = g_array_new (FALSE, FALSE, sizeof (Odd));
  double level = 1.0 - self->options.confidence;
  gsize n = 0;

  for (guint i = 0; i < self->summaries->len; i++)
    n += g_array_index (self->summaries, FaintComparedSummary, i).n_en;
  for (guint i = 0; i < self->lines->len; i++)
    {
      const FaintComparedLine *line = g_ptr_array_index (self->lines, i);

      for (guint k = 0; k < line->values->len; k++)
        {
          const FaintComparedValue *value = &g_array_index (line->values, FaintComparedValue, k);
          Odd it = compare (self, line, value);

          if (isfinite (value->en)
              && erfc (fabs (it.difference / it.u) / G_SQRT2) * (double)n < level)
            g_array_append_val (odd, it);
        }
    }
  g_array_sort (odd, largest_first);
  for (guint i = 0; i < MIN (odd->len, NAMED_MOST); i++)
    g_ptr_array_add (out, describe_pair (self, &g_array_index (odd, Odd, i)));
  if (odd->len > NAMED_MOST)
    g_ptr_array_add (out, g_strdup_printf ("and %u more that differ", odd->len - NAMED_MOST));
}

char **
faint_comparison_describe (const FaintComparison *self)
{
  GPtrArray *out = g_ptr_array_new ();

  g_ptr_array_add (
      out, g_strdup_printf (
               "%" G_GSIZE_FORMAT " and %" G_GSIZE_FORMAT " lines: %" G_GSIZE_FORMAT
               " in both (%" G_GSIZE_FORMAT " of them one line against two), "
               "%" G_GSIZE_FORMAT " in the first alone, %" G_GSIZE_FORMAT " in the second alone.",
               faint_line_list_get_n (self->list[0]), faint_line_list_get_n (self->list[1]),
               self->n_pairs, self->n_blends, self->n_alone[0], self->n_alone[1]));
  for (guint i = 0; i < self->summaries->len; i++)
    g_ptr_array_add (out,
                     describe (self, &g_array_index (self->summaries, FaintComparedSummary, i)));
  for (guint i = 0; i < self->systematic->len; i++)
    g_ptr_array_add (
        out, g_strdup (((FaintSystematic *)g_ptr_array_index (self->systematic, i))->words));
  describe_pairs (self, out);
  g_ptr_array_add (out, NULL);
  return (char **)g_ptr_array_free (out, FALSE);
}
