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
  g_ptr_array_add (out, NULL);
  return (char **)g_ptr_array_free (out, FALSE);
}
