/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "faint/lines/csv-private.h"
#include "faint/lines/list-notes.h"
#include "faint/lines/ties.h"

static void
append_preamble (GString *out, const FaintLineListAbout *about)
{
  g_autoptr (GPtrArray) notes = faint_list_notes_new (about);

  g_string_append (out, "# line list: positions in vacuum, strengths at the temperature of the "
                        "measurement unless the head says otherwise\n");
  for (guint i = 0; i < notes->len; i++)
    g_string_append_printf (out, "# %s\n", (const char *)g_ptr_array_index (notes, i));
}

static void
append_head (GString *out, const GPtrArray *columns)
{
  for (guint i = 0; i < columns->len; i++)
    {
      const FaintCsvColumn *column = g_ptr_array_index (columns, i);
      const char *unit = faint_csv_unit_text (column->unit);
      g_string_append_printf (out, "%s%s%s%s", i > 0 ? "," : "", column->name,
                              unit != NULL ? "/" : "", unit != NULL ? unit : "");
    }
  g_string_append_c (out, '\n');
}

gboolean
faint_csv_has_something (const FaintCsvColumn *column, const FaintLine *line)
{
  switch (column->kind)
    {
    case FAINT_CSV_PROFILE:
      return line->profile != FAINT_PROFILE_VOIGT;
    case FAINT_CSV_TIES:
      return faint_ties_count (line, 1) > 0;
    default:
      return isfinite (*(const double *)(const void *)((const char *)line + column->offset));
    }
}

GPtrArray *
faint_csv_columns_of (const FaintLineList *list)
{
  GPtrArray *chosen = g_ptr_array_new ();
  gsize n, n_lines = faint_line_list_get_n (list);
  const FaintCsvColumn *columns = faint_csv_columns (&n);

  for (gsize k = 0; k < n; k++)
    {
      gsize i = 0;
      while (columns[k].optional && i < n_lines
             && !faint_csv_has_something (&columns[k], faint_line_list_get (list, i)))
        i++;
      if (!columns[k].optional || i < n_lines)
        g_ptr_array_add (chosen, (gpointer)&columns[k]);
    }
  return chosen;
}

gboolean
faint_csv_is_control (char letter)
{
  return letter > 0 && letter < 0x20 && !g_ascii_isspace (letter);
}

/* RFC 4180, section 2: quoted where it holds a comma, a quote or an end of line. A field with a
 * leading '#' is quoted too, so that it never looks like a preamble line. */
static void
append_text (GString *out, const char *text)
{
  gboolean quoted = strpbrk (text, ",\"\r\n") != NULL || text[0] == '#';

  if (quoted)
    g_string_append_c (out, '"');
  for (const char *c = text; *c != '\0'; c++)
    {
      if (*c == '"')
        g_string_append_c (out, '"');
      if (faint_csv_is_control (*c))
        g_string_append_unichar (out, 0xfffd);
      else
        g_string_append_c (out, *c);
    }
  if (quoted)
    g_string_append_c (out, '"');
}

static void
append_number (GString *out, double value)
{
  g_autofree char *text = isfinite (value) ? faint_format_double (value) : NULL;

  if (text != NULL)
    g_string_append (out, text);
}

static void
append_flags (GString *out, const FaintLine *line)
{
  g_autofree char *words = faint_line_flags_to_text (line->flags);
  g_autoptr (GString) all = g_string_new (words);

  faint_csv_states_append (all, line);
  g_string_append_len (out, all->str, (gssize)all->len);
}

static void
append_ties (GString *out, const FaintLine *line)
{
  g_autoptr (GString) ties = g_string_new (NULL);

  faint_csv_ties_append (ties, line);
  g_string_append_len (out, ties->str, (gssize)ties->len);
}

/* Root sum of squares of what all inputs but noise contribute; where no input is known, what the
 * combined uncertainty holds beside the noise. NAN where neither is known. */
static double
common_part (const FaintParameter *parameter, const double *from)
{
  double sum = NAN, ratio = parameter->u_noise / parameter->u;

  if (isnan (parameter->u))
    return NAN;
  for (guint i = 0; i < FAINT_SOURCE_N; i++)
    if (i != FAINT_SOURCE_NOISE && !isnan (from[i]))
      sum = hypot (isnan (sum) ? 0.0 : sum, from[i]);
  if (isnan (sum) && ratio < 1.0)
    sum = parameter->u * sqrt ((1.0 - ratio) * (1.0 + ratio));
  return sum;
}

void
faint_csv_cell_append (GString *out, const FaintCsvColumn *column, const FaintLine *line,
                       double coverage)
{
  const char *member = (const char *)line + column->offset;

  switch (column->kind)
    {
    case FAINT_CSV_ID:
      g_string_append_printf (out, "%u", line->id);
      return;
    case FAINT_CSV_NUMBER:
      append_number (out, *(const double *)member);
      return;
    case FAINT_CSV_FREQUENCY:
      append_number (out, faint_line_frequency_mhz (line->position.value));
      return;
    case FAINT_CSV_FREQUENCY_U:
      append_number (out, faint_line_frequency_mhz (line->position.u));
      return;
    case FAINT_CSV_WINDOW:
      if (line->window > 0)
        g_string_append_printf (out, "%d", line->window);
      return;
    case FAINT_CSV_FLAGS:
      append_flags (out, line);
      return;
    case FAINT_CSV_PROFILE:
      g_string_append (out, faint_profile_name (line->profile));
      return;
    case FAINT_CSV_TIES:
      append_ties (out, line);
      return;
    case FAINT_CSV_COMMON:
      append_number (
          out, common_part ((const FaintParameter *)(const void *)member,
                            (const double *)(const void *)((const char *)line + column->from)));
      return;
    case FAINT_CSV_EXPANDED:
      append_number (out, coverage * ((const FaintParameter *)(const void *)member)->u);
      return;
    case FAINT_CSV_TEXT:
    default:
      g_string_append (out, *(const char *const *)member);
      return;
    }
}

static void
append_cell (GString *out, const FaintCsvColumn *column, const FaintLine *line, double coverage)
{
  if (column->kind == FAINT_CSV_TEXT)
    append_text (out, *(const char *const *)(const void *)((const char *)line + column->offset));
  else
    faint_csv_cell_append (out, column, line, coverage);
}

char *
faint_line_list_to_csv (const FaintLineList *self, const FaintLineListAbout *about)
{
  GString *out = g_string_sized_new (1024 + 400 * faint_line_list_get_n (self));
  g_autoptr (GPtrArray) columns = faint_csv_columns_of (self);
  double coverage = faint_list_coverage_factor (about);

  append_preamble (out, about);
  append_head (out, columns);
  for (gsize i = 0; i < faint_line_list_get_n (self); i++)
    {
      for (guint k = 0; k < columns->len; k++)
        {
          if (k > 0)
            g_string_append_c (out, ',');
          append_cell (out, g_ptr_array_index (columns, k), faint_line_list_get (self, i),
                       coverage);
        }
      g_string_append_c (out, '\n');
    }
  return g_string_free (out, FALSE);
}
