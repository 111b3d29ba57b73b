/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Text into clauses, once; then each line against the clauses.
 */
#include "app/lines/line-filter.h"

#include <glib/gi18n.h>
#include <string.h>

#include "faint/base/quantity.h"
#include "faint/base/units.h"
#include "app/lines/line-filter-private.h"

G_DEFINE_QUARK (faint - line - filter - error - quark, faint_line_filter_error)

struct _FaintLineFilter
{
  GPtrArray *clauses;
};

static void
clause_free (gpointer data)
{
  FaintFilterClause *clause = data;

  g_free (clause->text);
  g_free (clause);
}

void
faint_line_filter_free (FaintLineFilter *self)
{
  if (self == NULL)
    return;
  g_ptr_array_unref (self->clauses);
  g_free (self);
}

/* The length of a word that joins conditions at @p, 0: there is none. */
static gsize
joint_at (const char *text, const char *p)
{
  if (*p == ';' || *p == '&')
    return 1;
  if (p > text && g_ascii_isspace (p[-1]) && g_ascii_strncasecmp (p, "and", 3) == 0
      && g_ascii_isspace (p[3]))
    return 3;
  return 0;
}

static gboolean
add_clause (FaintLineFilter *self, const char *start, const char *end, const FaintAxisUnit *axis,
            GError **error)
{
  g_autofree char *text = g_strstrip (g_strndup (start, (gsize)(end - start)));
  FaintFilterClause *clause;

  if (*text == '\0')
    return TRUE;
  clause = g_new0 (FaintFilterClause, 1);
  clause->axis = *axis;
  g_ptr_array_add (self->clauses, clause);
  return _faint_filter_clause_parse (clause, text, error);
}

FaintLineFilter *
faint_line_filter_new (const char *text, const FaintAxisUnit *axis, GError **error)
{
  const FaintAxisUnit shown = axis != NULL ? *axis : FAINT_AXIS_UNIT_DEFAULT;
  g_autoptr (FaintLineFilter) self = g_new0 (FaintLineFilter, 1);
  const char *start = text ? text : "";
  gboolean quoted = FALSE;

  self->clauses = g_ptr_array_new_with_free_func (clause_free);
  for (const char *p = start; *p; p++)
    {
      gsize length = 0;

      quoted ^= *p == '"';
      if (!quoted)
        length = joint_at (text, p);
      if (length == 0)
        continue;
      if (!add_clause (self, start, p, &shown, error))
        return NULL;
      start = p + length;
      p += length - 1;
    }
  if (!add_clause (self, start, start + strlen (start), &shown, error))
    return NULL;
  return g_steal_pointer (&self);
}

/* The uncertainty of a column's value, in its unit; NAN where it has none. */
static double
uncertainty_of (const FaintLine *line, FaintLineColumn column,
                const FaintLineDifference *difference)
{
  switch (column)
    {
    case FAINT_LINE_COLUMN_POSITION:
      return line->position.u;
    case FAINT_LINE_COLUMN_FREQUENCY:
      return faint_line_frequency_mhz (line->position.value) / line->position.value
             * line->position.u;
    case FAINT_LINE_COLUMN_STRENGTH:
      return line->strength.u;
    case FAINT_LINE_COLUMN_LORENTZ:
      return line->lorentz.u;
    case FAINT_LINE_COLUMN_DOPPLER:
      return line->doppler.u;
    case FAINT_LINE_COLUMN_STRENGTH_296:
      return line->u_strength_296;
    case FAINT_LINE_COLUMN_LOWER_ENERGY:
      return line->u_lower_energy;
    case FAINT_LINE_COLUMN_DIFFERENCE:
      return difference ? difference->u : NAN;
    default:
      return NAN;
    }
}

static double
number_of (const FaintFilterClause *clause, const FaintLine *line, guint number,
           const FaintLineDifference *difference)
{
  double value = faint_line_column_value (line, number, difference, clause->column);
  double u;

  /* the column sorts by the position, which is proportional */
  if (clause->column == FAINT_LINE_COLUMN_FREQUENCY)
    value = faint_line_frequency_mhz (value);
  if (clause->face == FAINT_FILTER_VALUE)
    return value;
  u = uncertainty_of (line, clause->column, difference);
  if (clause->face == FAINT_FILTER_U && clause->column == FAINT_LINE_COLUMN_POSITION)
    return faint_axis_unit_uncertainty (&clause->axis, value, u);
  return clause->face == FAINT_FILTER_U ? u : u / fabs (value);
}

static const char *
text_of (const FaintLine *line, FaintLineColumn column)
{
  switch (column)
    {
    case FAINT_LINE_COLUMN_UPPER:
      return line->upper;
    case FAINT_LINE_COLUMN_LOWER:
      return line->lower;
    case FAINT_LINE_COLUMN_REMARK:
      return line->remark;
    default:
      return "";
    }
}

static gboolean
contains (const char *text, const char *folded_needle)
{
  g_autofree char *folded = NULL;

  if (*text == '\0')
    return FALSE;
  folded = g_utf8_casefold (text, -1);
  return strstr (folded, folded_needle) != NULL;
}

static gboolean
is_same (const char *text, const char *folded)
{
  g_autofree char *text_folded = g_utf8_casefold (text, -1);

  return strcmp (text_folded, folded) == 0;
}

/* Only what looks like a piece of a number is looked for in a position as the table writes it. */
static gboolean
found_anywhere (const FaintFilterClause *clause, const FaintLine *line)
{
  g_autofree char *position = NULL;

  if (line->flags & clause->flags)
    return TRUE;
  if (contains (line->upper, clause->text) || contains (line->lower, clause->text)
      || contains (line->remark, clause->text))
    return TRUE;
  if (!clause->digits)
    return FALSE;
  position
      = clause->axis.kind == FAINT_AXIS_UNIT_WAVENUMBER
            ? faint_format_concise (line->position.value, line->position.u)
            : faint_axis_unit_concise (&clause->axis, line->position.value, line->position.u, 1e-6);
  return strstr (position, clause->text) != NULL;
}

static gboolean
is_known (const FaintFilterClause *clause, const FaintLine *line, guint number,
          const FaintLineDifference *difference)
{
  if (clause->column == FAINT_LINE_COLUMN_FLAGS)
    return line->flags != 0;
  if (faint_line_filter_is_text (clause->column))
    return *text_of (line, clause->column) != '\0';
  return !isnan (number_of (clause, line, number, difference));
}

static gboolean
meets (const FaintFilterClause *clause, const FaintLine *line, guint number,
       const FaintLineDifference *difference)
{
  double value;

  switch (clause->kind)
    {
    case FAINT_FILTER_RANGE:
      value = number_of (clause, line, number, difference);
      return (clause->open_lower ? value > clause->lower : value >= clause->lower)
             && (clause->open_upper ? value < clause->upper : value <= clause->upper);
    case FAINT_FILTER_FLAG:
      return (line->flags & clause->flags) != 0;
    case FAINT_FILTER_CONTAINS:
      return contains (text_of (line, clause->column), clause->text);
    case FAINT_FILTER_IS:
      return is_same (text_of (line, clause->column), clause->text);
    case FAINT_FILTER_KNOWN:
      return is_known (clause, line, number, difference);
    case FAINT_FILTER_ANYWHERE:
      return found_anywhere (clause, line);
    default:
      return TRUE;
    }
}

gboolean
faint_line_filter_matches (const FaintLineFilter *self, const FaintLine *line, guint number,
                           const FaintLineDifference *difference)
{
  g_return_val_if_fail (self != NULL && line != NULL, FALSE);
  for (guint i = 0; i < self->clauses->len; i++)
    {
      const FaintFilterClause *clause = g_ptr_array_index (self->clauses, i);

      if (meets (clause, line, number, difference) == clause->negated)
        return FALSE;
    }
  return TRUE;
}
