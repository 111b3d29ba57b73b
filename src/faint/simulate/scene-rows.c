/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/simulate/scene-rows.h"

#include <stddef.h>
#include <string.h>

#include "faint/base/text.h"
#include "faint/base/units.h"
#include "faint/simulate/scene-private.h"

static const struct
{
  const char *head;
  gboolean needed, is_text;
  double least; /* of a number */
  gsize offset; /* in a FaintLine */
} columns[] = {
  { "position/cm-1", TRUE, FALSE, 1e-3, offsetof (FaintLine, position.value) },
  { "strength/(cm/molecule)", TRUE, FALSE, 0.0, offsetof (FaintLine, strength.value) },
  { "lorentz_hwhm/cm-1", TRUE, FALSE, 0.0, offsetof (FaintLine, lorentz.value) },
  { "doppler_hwhm/cm-1", FALSE, FALSE, 0.0, offsetof (FaintLine, doppler.value) },
  { "lower_energy/cm-1", FALSE, FALSE, 0.0, offsetof (FaintLine, lower_energy) },
  { "upper", FALSE, TRUE, 0.0, offsetof (FaintLine, upper) },
  { "lower", FALSE, TRUE, 0.0, offsetof (FaintLine, lower) },
};

void
faint_scene_rows_init (FaintSceneRows *self)
{
  self->columns = g_array_new (FALSE, FALSE, sizeof (guint));
  self->lines = g_array_new (FALSE, FALSE, sizeof (FaintLine));
  self->texts = g_string_chunk_new (1024);
}

void
faint_scene_rows_clear (FaintSceneRows *self)
{
  g_array_unref (self->columns);
  g_array_unref (self->lines);
  g_string_chunk_free (self->texts);
}

gboolean
faint_scene_number (const char *text, double *value)
{
  const char *end = text + strlen (text), *after;
  return faint_text_number (text, end, value, &after) && after == end && isfinite (*value);
}

/* Words of @text without the empty ones. */
static GPtrArray *
words_of (const char *text)
{
  GPtrArray *words = g_ptr_array_new_with_free_func (g_free);
  g_auto (GStrv) parts = g_strsplit_set (text, " \t", -1);

  for (char **part = parts; *part != NULL; part++)
    if (**part != '\0')
      g_ptr_array_add (words, g_strdup (*part));
  return words;
}

static gboolean
has_column (const FaintSceneRows *self, guint column)
{
  for (guint i = 0; i < self->columns->len; i++)
    if (g_array_index (self->columns, guint, i) == column)
      return TRUE;
  return FALSE;
}

gboolean
faint_scene_rows_columns (FaintSceneRows *self, const char *heads, GError **error)
{
  g_autoptr (GPtrArray) words = words_of (heads);

  for (guint i = 0; i < words->len; i++)
    {
      const char *word = g_ptr_array_index (words, i);
      guint column = 0;
      while (column < G_N_ELEMENTS (columns) && strcmp (columns[column].head, word) != 0)
        column++;
      if (column == G_N_ELEMENTS (columns))
        return faint_scene_refuse (error, FAINT_SCENE_ERROR_SYNTAX,
                                   "columns: '%s' is not known; expected position/cm-1, "
                                   "strength/(cm/molecule), lorentz_hwhm/cm-1 and, where wanted, "
                                   "doppler_hwhm/cm-1, lower_energy/cm-1, upper, lower",
                                   word);
      if (has_column (self, column))
        return faint_scene_refuse (error, FAINT_SCENE_ERROR_SYNTAX,
                                   "columns: '%s' stands there twice", word);
      g_array_append_val (self->columns, column);
    }
  for (guint column = 0; column < G_N_ELEMENTS (columns); column++)
    if (columns[column].needed && !has_column (self, column))
      return faint_scene_refuse (error, FAINT_SCENE_ERROR_SYNTAX, "columns: '%s' is missing",
                                 columns[column].head);
  return TRUE;
}

/* "-" stands for what is not known. */
static gboolean
read_field (FaintSceneRows *self, const char *word, guint column, FaintLine *line, GError **error)
{
  char *member = (char *)line + columns[column].offset;

  if (strcmp (word, "-") == 0 && !columns[column].needed)
    return TRUE;
  if (columns[column].is_text)
    {
      *(const char **)member = g_string_chunk_insert_const (self->texts, word);
      return TRUE;
    }
  if (faint_scene_number (word, (double *)member) && *(double *)member >= columns[column].least)
    return TRUE;
  return faint_scene_refuse (error, FAINT_SCENE_ERROR_VALUE,
                             "found '%s' under '%s', expected a number of at "
                             "least %g",
                             word, columns[column].head, columns[column].least);
}

gboolean
faint_scene_rows_add (FaintSceneRows *self, const char *row, GError **error)
{
  g_autoptr (GPtrArray) words = words_of (row);
  FaintLine line = faint_line_unknown ();

  if (self->columns->len == 0)
    return faint_scene_refuse (
        error, FAINT_SCENE_ERROR_SYNTAX,
        "a row of a line stands before '# columns = position/cm-1 ...' says what its "
        "fields are");
  if (words->len != self->columns->len)
    return faint_scene_refuse (
        error, FAINT_SCENE_ERROR_SYNTAX,
        "found %u fields, expected %u as in '# columns' ('-' for one that is not known)",
        words->len, self->columns->len);
  for (guint i = 0; i < words->len; i++)
    if (!read_field (self, g_ptr_array_index (words, i), g_array_index (self->columns, guint, i),
                     &line, error))
      return FALSE;
  g_array_append_val (self->lines, line);
  return TRUE;
}

gboolean
faint_scene_rows_file (FaintSceneRows *self, const char *path, GError **error)
{
  g_autoptr (FaintLineList) list = faint_line_list_read_csv (path, NULL, error);

  if (list == NULL)
    return FALSE;
  for (gsize i = 0; i < faint_line_list_get_n (list); i++)
    {
      FaintLine line = *faint_line_list_get (list, i);
      if (!isfinite (line.strength.value) || !isfinite (line.lorentz.value))
        return faint_scene_refuse (error, FAINT_SCENE_ERROR_VALUE,
                                   "%s: the line at %.6f cm-1 has no strength or no lorentz_hwhm",
                                   path, line.position.value);
      line.upper = g_string_chunk_insert_const (self->texts, line.upper);
      line.lower = g_string_chunk_insert_const (self->texts, line.lower);
      line.remark = g_string_chunk_insert_const (self->texts, line.remark);
      g_array_append_val (self->lines, line);
    }
  return TRUE;
}

/* The truth is free and exact: nothing of a fit is left. */
static FaintLine
exact_line (const FaintLine *given)
{
  FaintLine line = faint_line_unknown ();

  line.id = given->id;
  line.position.value = given->position.value;
  line.strength.value = given->strength.value;
  line.lorentz.value = given->lorentz.value;
  line.doppler.value = given->doppler.value;
  line.lower_energy = given->lower_energy;
  line.upper = given->upper;
  line.lower = given->lower;
  line.remark = given->remark;
  line.flags = given->flags & FAINT_LINE_EXCLUDED;
  return line;
}

gboolean
faint_scene_rows_finish (FaintSceneRows *self, double temperature, double molar_mass,
                         GError **error)
{
  for (guint i = 0; i < self->lines->len; i++)
    {
      FaintLine *line = &g_array_index (self->lines, FaintLine, i);
      *line = exact_line (line);
      if (isnan (line->doppler.value))
        {
          line->doppler.value = faint_doppler_hwhm (line->position.value, temperature, molar_mass);
          line->doppler.state = FAINT_STATE_DERIVED;
        }
      if (!(line->doppler.value > 0.0) && !(line->lorentz.value > 0.0))
        return faint_scene_refuse (
            error, FAINT_SCENE_ERROR_VALUE,
            "the line at %.6f cm-1 has neither a Doppler nor a Lorentz width",
            line->position.value);
    }
  return TRUE;
}
