/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "fit-table.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* More rows than this push the summary off a terminal. */
#define ROWS 40

/* Head and cells from a line; the last one flows. */
typedef struct
{
  const char *head;
  char *(*cell) (const FaintLine *line, guint which);
  guint which; /* FaintCoefficient */
} Column;

static char *
id_cell (const FaintLine *line, guint which)
{
  return g_strdup_printf ("%u", line->id);
}

static char *
position_cell (const FaintLine *line, guint which)
{
  return faint_format_concise (line->position.value, line->position.u);
}

static char *
strength_cell (const FaintLine *line, guint which)
{
  return faint_format_concise (line->strength.value, line->strength.u);
}

static char *
lorentz_cell (const FaintLine *line, guint which)
{
  return faint_format_concise (line->lorentz.value, line->lorentz.u);
}

static char *
coefficient_cell (const FaintLine *line, guint which)
{
  const FaintParameter *coefficient = &line->coefficient[which];

  return isfinite (coefficient->value) ? faint_format_concise (coefficient->value, coefficient->u)
                                       : g_strdup ("");
}

static char *
energy_cell (const FaintLine *line, guint which)
{
  return line->flags & FAINT_LINE_ENERGY_FITTED
             ? faint_format_concise (line->lower_energy, line->u_lower_energy)
             : g_strdup ("");
}

static char *
snr_cell (const FaintLine *line, guint which)
{
  return line->snr == line->snr ? g_strdup_printf ("%.0f", line->snr) : g_strdup ("");
}

static char *
flags_cell (const FaintLine *line, guint which)
{
  return faint_line_flags_to_text (line->flags);
}

static const Column always[] = {
  { "id", id_cell, 0 },
  { "position/cm-1", position_cell, 0 },
  { "strength/(cm/molecule)", strength_cell, 0 },
  { "lorentz_hwhm/cm-1", lorentz_cell, 0 },
  { "S/N", snr_cell, 0 },
};

/* Those that a line need not have; the position at zero pressure is left to the file. */
static const Column where_known[] = {
  { "broadening_self/(cm-1/atm)", coefficient_cell, FAINT_COEFFICIENT_BROADENING_SELF },
  { "broadening_foreign/(cm-1/atm)", coefficient_cell, FAINT_COEFFICIENT_BROADENING_FOREIGN },
  { "broadening_mixture/(cm-1/atm)", coefficient_cell, FAINT_COEFFICIENT_BROADENING_MIXTURE },
  { "shift_self/(cm-1/atm)", coefficient_cell, FAINT_COEFFICIENT_SHIFT_SELF },
  { "shift_foreign/(cm-1/atm)", coefficient_cell, FAINT_COEFFICIENT_SHIFT_FOREIGN },
  { "shift_mixture/(cm-1/atm)", coefficient_cell, FAINT_COEFFICIENT_SHIFT_MIXTURE },
  { "width_exponent", coefficient_cell, FAINT_COEFFICIENT_WIDTH_EXPONENT },
  { "lower_energy/cm-1", energy_cell, 0 },
};

static const Column last = { "flags", flags_cell, 0 };

#define COLUMNS_MOST (G_N_ELEMENTS (always) + G_N_ELEMENTS (where_known) + 1)

typedef struct
{
  const Column *column[COLUMNS_MOST];
  int width[COLUMNS_MOST];
  gsize n;
} Table;

static gboolean
has_something (const Column *column, const FaintLineList *list)
{
  for (gsize i = 0; i < faint_line_list_get_n (list); i++)
    {
      g_autofree char *cell = column->cell (faint_line_list_get (list, i), column->which);
      if (cell[0] != '\0')
        return TRUE;
    }
  return FALSE;
}

static Table
choose_columns (const FaintLineList *list)
{
  Table table = { .n = 0 };

  for (gsize k = 0; k < G_N_ELEMENTS (always); k++)
    table.column[table.n++] = &always[k];
  for (gsize k = 0; k < G_N_ELEMENTS (where_known); k++)
    if (has_something (&where_known[k], list))
      table.column[table.n++] = &where_known[k];
  table.column[table.n++] = &last;
  for (gsize c = 0; c < table.n; c++)
    table.width[c] = (int)strlen (table.column[c]->head);
  return table;
}

static char **
new_row (Table *table, const FaintLine *line)
{
  char **cells = g_new0 (char *, table->n + 1);

  for (gsize c = 0; c < table->n; c++)
    {
      cells[c] = table->column[c]->cell (line, table->column[c]->which);
      table->width[c] = MAX (table->width[c], (int)strlen (cells[c]));
    }
  return cells;
}

static void
print_cell (const Table *table, gsize c, const char *text)
{
  if (c < table->n - 1)
    printf ("%s%*s", c > 0 ? "  " : "", table->width[c], text);
  else
    printf ("%s%s\n", *text != '\0' ? "  " : "", text);
}

static int
compare_strength (const void *a, const void *b)
{
  double one = ((const FaintLine *)a)->strength.value;
  double other = ((const FaintLine *)b)->strength.value;

  return (other > one) - (other < one);
}

/* The strength above which a line is among the ROWS strongest. */
static double
strength_shown (const FaintLineList *list)
{
  gsize n = faint_line_list_get_n (list);
  g_autofree FaintLine *lines = g_new (FaintLine, n);

  for (gsize i = 0; i < n; i++)
    lines[i] = *faint_line_list_get (list, i);
  qsort (lines, n, sizeof *lines, compare_strength);
  return lines[ROWS - 1].strength.value;
}

void
faint_fit_table_print (const FaintLineList *list, const char *folder)
{
  gsize n = faint_line_list_get_n (list);
  double least = n > ROWS ? strength_shown (list) : -INFINITY;
  Table table = choose_columns (list);
  g_autoptr (GPtrArray) rows = g_ptr_array_new_with_free_func ((GDestroyNotify)g_strfreev);

  for (gsize i = 0; i < n && rows->len < ROWS; i++)
    if (!(faint_line_list_get (list, i)->strength.value < least))
      g_ptr_array_add (rows, new_row (&table, faint_line_list_get (list, i)));
  for (gsize c = 0; c < table.n; c++)
    print_cell (&table, c, table.column[c]->head);
  for (guint i = 0; i < rows->len; i++)
    for (gsize c = 0; c < table.n; c++)
      print_cell (&table, c, ((char **)g_ptr_array_index (rows, i))[c]);
  if (n > rows->len)
    printf ("These are the %u strongest of %" G_GSIZE_FORMAT " lines; all are in %s/lines.csv.\n",
            rows->len, n, folder);
}
