/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/simulate/scene-rows.h"

#include <stddef.h>
#include <string.h>

#include "faint/base/text.h"
#include "faint/lines/list-file.h"
#include "faint/simulate/scene-private.h"

typedef enum
{
  NUMBER,
  TEXT,
  PROFILE,
} Kind;

#define ANY (-G_MAXDOUBLE)
#define PARAMETER(head, least, most, member)                                                       \
  {                                                                                                \
    head, NUMBER, least, most, offsetof (FaintLine, member.value)                                  \
  }
#define COEFFICIENT(head, least, which)                                                            \
  {                                                                                                \
    head, NUMBER, least, G_MAXDOUBLE,                                                              \
        offsetof (FaintLine, coefficient[FAINT_COEFFICIENT_##which].value)                         \
  }

/* Heads as in a line list. */
static const struct
{
  const char *head;
  Kind kind;
  double least, most; /* of a number */
  gsize offset;       /* in a FaintLine */
} columns[] = {
  PARAMETER ("position/cm-1", 1e-3, G_MAXDOUBLE, position),
  PARAMETER ("strength/(cm/molecule)", 0.0, G_MAXDOUBLE, strength),
  PARAMETER ("lorentz_hwhm/cm-1", 0.0, G_MAXDOUBLE, lorentz),
  PARAMETER ("doppler_hwhm/cm-1", 0.0, G_MAXDOUBLE, doppler),
  { "strength_296K/(cm/molecule)", NUMBER, 0.0, G_MAXDOUBLE, offsetof (FaintLine, strength_296) },
  { "lower_energy/cm-1", NUMBER, 0.0, G_MAXDOUBLE, offsetof (FaintLine, lower_energy) },
  { "upper", TEXT, 0.0, 0.0, offsetof (FaintLine, upper) },
  { "lower", TEXT, 0.0, 0.0, offsetof (FaintLine, lower) },
  { "profile", PROFILE, 0.0, 0.0, 0 },
  PARAMETER ("speed_width/cm-1", 0.0, G_MAXDOUBLE, speed_width),
  PARAMETER ("speed_shift/cm-1", ANY, G_MAXDOUBLE, speed_shift),
  PARAMETER ("velocity_changing/cm-1", 0.0, G_MAXDOUBLE, velocity_changing),
  PARAMETER ("correlation", 0.0, 1.0, correlation),
  COEFFICIENT ("broadening_self/(cm-1/atm)", 0.0, BROADENING_SELF),
  COEFFICIENT ("broadening_foreign/(cm-1/atm)", 0.0, BROADENING_FOREIGN),
  COEFFICIENT ("broadening_mixture/(cm-1/atm)", 0.0, BROADENING_MIXTURE),
  COEFFICIENT ("shift_self/(cm-1/atm)", ANY, SHIFT_SELF),
  COEFFICIENT ("shift_foreign/(cm-1/atm)", ANY, SHIFT_FOREIGN),
  COEFFICIENT ("shift_mixture/(cm-1/atm)", ANY, SHIFT_MIXTURE),
  COEFFICIENT ("width_exponent", ANY, WIDTH_EXPONENT),
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

/* Is there a column whose head is @head, or begins so? */
static gboolean
has_column (const FaintSceneRows *self, const char *head, gboolean begins)
{
  for (guint i = 0; i < self->columns->len; i++)
    {
      const char *there = columns[g_array_index (self->columns, guint, i)].head;
      if (begins ? g_str_has_prefix (there, head) : strcmp (there, head) == 0)
        return TRUE;
    }
  return FALSE;
}

static gboolean
add_column (FaintSceneRows *self, const char *head, GError **error)
{
  g_autoptr (GString) known = g_string_new (columns[0].head);
  guint column = 0;

  while (column < G_N_ELEMENTS (columns) && strcmp (columns[column].head, head) != 0)
    column++;
  if (column == G_N_ELEMENTS (columns))
    {
      for (guint i = 1; i < G_N_ELEMENTS (columns); i++)
        g_string_append_printf (known, ", %s", columns[i].head);
      return faint_scene_refuse (error, FAINT_SCENE_ERROR_SYNTAX,
                                 "columns: '%s' is not known; expected some of %s", head,
                                 known->str);
    }
  if (has_column (self, head, FALSE))
    return faint_scene_refuse (error, FAINT_SCENE_ERROR_SYNTAX, "columns: '%s' stands there twice",
                               head);
  g_array_append_val (self->columns, column);
  return TRUE;
}

gboolean
faint_scene_rows_columns (FaintSceneRows *self, const char *heads, GError **error)
{
  /* Each of these, or what begins as its alternative does. */
  static const struct
  {
    const char *head, *other, *other_words;
  } needed[] = { { "position/cm-1", NULL, "" },
                 { "strength/(cm/molecule)", "strength_296K", " (or strength_296K/(cm/molecule))" },
                 { "lorentz_hwhm/cm-1", "broadening_", " (or broadening_self/(cm-1/atm))" } };
  g_autoptr (GPtrArray) words = words_of (heads);

  for (guint i = 0; i < words->len; i++)
    if (!add_column (self, g_ptr_array_index (words, i), error))
      return FALSE;
  for (gsize i = 0; i < G_N_ELEMENTS (needed); i++)
    if (!has_column (self, needed[i].head, FALSE)
        && (needed[i].other == NULL || !has_column (self, needed[i].other, TRUE)))
      return faint_scene_refuse (error, FAINT_SCENE_ERROR_SYNTAX, "columns: '%s' is missing%s",
                                 needed[i].head, needed[i].other_words);
  return TRUE;
}

static gboolean
read_value (const char *word, guint column, double *value, GError **error)
{
  double least = columns[column].least, most = columns[column].most;

  if (faint_scene_number (word, value) && *value >= least && *value <= most)
    return TRUE;
  if (least == ANY)
    return faint_scene_refuse (error, FAINT_SCENE_ERROR_VALUE,
                               "found '%s' under '%s', expected a number", word,
                               columns[column].head);
  if (most == G_MAXDOUBLE)
    return faint_scene_refuse (error, FAINT_SCENE_ERROR_VALUE,
                               "found '%s' under '%s', expected a number of at least %g", word,
                               columns[column].head, least);
  return faint_scene_refuse (error, FAINT_SCENE_ERROR_VALUE,
                             "found '%s' under '%s', expected a number from %g to %g", word,
                             columns[column].head, least, most);
}

/* "-" stands for what is not known. */
static gboolean
read_field (FaintSceneRows *self, const char *word, guint column, FaintLine *line, GError **error)
{
  char *member = (char *)line + columns[column].offset;

  if (strcmp (word, "-") == 0)
    return TRUE;
  switch (columns[column].kind)
    {
    case TEXT:
      *(const char **)(void *)member = g_string_chunk_insert_const (self->texts, word);
      return TRUE;
    case PROFILE:
      return faint_profile_from_name (word, &line->profile)
             || faint_scene_refuse (error, FAINT_SCENE_ERROR_VALUE,
                                    "found '%s' under 'profile', expected voigt, "
                                    "speed-dependent-voigt or hartmann-tran",
                                    word);
    case NUMBER:
    default:
      return read_value (word, column, (double *)(void *)member, error);
    }
}

/* Is any coefficient from @first to @last known? */
static gboolean
has_coefficient (const FaintLine *line, FaintCoefficient first, FaintCoefficient last)
{
  for (guint k = first; k <= last; k++)
    if (!isnan (line->coefficient[k].value))
      return TRUE;
  return FALSE;
}

/* What a row states must be enough and must not contradict itself. */
static gboolean
check_row (const FaintLine *line, GError **error)
{
  gboolean lorentz = !isnan (line->lorentz.value);
  gboolean broadening = has_coefficient (line, FAINT_COEFFICIENT_BROADENING_SELF,
                                         FAINT_COEFFICIENT_BROADENING_MIXTURE);
  const char *problem = NULL;

  if (isnan (line->position.value))
    problem = "has no position";
  else if (isnan (line->strength.value) == isnan (line->strength_296))
    problem = "needs a strength at the scene's temperature or one at 296 K, not both";
  else if (!lorentz && !broadening)
    problem = "has neither lorentz_hwhm nor a broadening coefficient";
  else if (lorentz
           && has_coefficient (line, FAINT_COEFFICIENT_BROADENING_SELF,
                               FAINT_COEFFICIENT_WIDTH_EXPONENT))
    problem = "has lorentz_hwhm, which with the position is that at the scene's pressure, and "
              "coefficients that would make them; give one or the other";
  if (problem != NULL)
    return faint_scene_refuse (error, FAINT_SCENE_ERROR_VALUE, "the line %s", problem);
  for (guint place = FAINT_PLACE_SPEED_WIDTH; place < FAINT_PLACE_N; place++)
    if (!isnan (faint_line_peek_parameter (line, (FaintPlace)place)->value)
        && !faint_profile_has (line->profile, (FaintPlace)place))
      return faint_scene_refuse (error, FAINT_SCENE_ERROR_VALUE,
                                 "the line has a %s, which its profile '%s' does not have; name "
                                 "another under 'profile'",
                                 faint_place_name ((FaintPlace)place),
                                 faint_profile_name (line->profile));
  return TRUE;
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
  if (!check_row (&line, error))
    return FALSE;
  g_array_append_val (self->lines, line);
  return TRUE;
}

gboolean
faint_scene_rows_file (FaintSceneRows *self, const char *path, GError **error)
{
  g_autoptr (FaintListFile) file = faint_list_file_read (path, error);
  const FaintLineList *list = file != NULL ? file->lines : NULL;

  if (list == NULL)
    return FALSE;
  for (gsize i = 0; i < faint_line_list_get_n (list); i++)
    {
      FaintLine line = *faint_line_list_get (list, i);
      if ((isnan (line.strength.value) && isnan (line.strength_296))
          || (isnan (line.lorentz.value)
              && !has_coefficient (&line, FAINT_COEFFICIENT_BROADENING_SELF,
                                   FAINT_COEFFICIENT_BROADENING_MIXTURE)))
        return faint_scene_refuse (error, FAINT_SCENE_ERROR_VALUE,
                                   "%s: the line at %.6f cm-1 has no strength, or neither "
                                   "lorentz_hwhm nor a broadening coefficient",
                                   path, line.position.value);
      line.upper = g_string_chunk_insert_const (self->texts, line.upper);
      line.lower = g_string_chunk_insert_const (self->texts, line.lower);
      line.remark = g_string_chunk_insert_const (self->texts, line.remark);
      g_array_append_val (self->lines, line);
    }
  return TRUE;
}
