/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/spectrum/jcamp.h"

#include <math.h>
#include <string.h>

#include "faint/base/words.h"
#include "faint/spectrum/jcamp-private.h"

G_DEFINE_QUARK (faint_jcamp_error_quark, faint_jcamp_error)

gboolean
faint_jcamp_untold (GError **error)
{
  if (error != NULL && *error != NULL)
    {
      (*error)->domain = FAINT_JCAMP_ERROR;
      (*error)->code = FAINT_JCAMP_ERROR_UNTOLD;
    }
  return FALSE;
}

gboolean
faint_jcamp_is (const FaintText *text)
{
  FaintLines lines = { .text = text };

  while (faint_text_next_line (&lines))
    {
      gsize length = faint_jcamp_line_length (lines.line, lines.length);

      if (length > 0)
        return length > 2 && memcmp (lines.line, "##", 2) == 0
               && memchr (lines.line, '=', length) != NULL;
    }
  return FALSE;
}

static gboolean
take_word (FaintJcamp *self, const char *word, GError **error)
{
  guint64 block;

  if (strcmp (word, "transmission") == 0)
    self->ordinate = FAINT_JCAMP_TRANSMISSION;
  else if (strcmp (word, "absorbance") == 0)
    self->ordinate = FAINT_JCAMP_ABSORBANCE;
  else if (strcmp (word, "unchecked") == 0)
    self->unchecked = TRUE;
  else if (g_str_has_prefix (word, "block=")
           && g_ascii_string_to_unsigned (word + strlen ("block="), 10, 1, G_MAXUINT, &block, NULL))
    self->wanted = (guint)block;
  else
    {
      g_set_error (
          error, FAINT_TEXT_ERROR, FAINT_TEXT_ERROR_SYNTAX,
          _ ("%s is a JCAMP-DX file, whose columns are described by 'block=N', 'transmission' or "
             "'absorbance', and 'unchecked', separated by commas; '%s' is none of them."),
          self->text->path, word);
      return FALSE;
    }
  return TRUE;
}

static gboolean
take_map (FaintJcamp *self, const char *map, GError **error)
{
  g_auto (GStrv) words = g_strsplit (map != NULL ? map : "", ",", -1);

  for (char **word = words; *word != NULL; word++)
    if (*g_strstrip (*word) != '\0' && !take_word (self, *word, error))
      return FALSE;
  return TRUE;
}

static const FaintJcampRecord *
table_of (const FaintJcampBlock *block)
{
  const FaintJcampRecord *table = faint_jcamp_find (block, "XYDATA");

  return table != NULL ? table : faint_jcamp_find (block, "XYPOINTS");
}

static const char *
title_of (const FaintJcampBlock *block)
{
  const FaintJcampRecord *title = faint_jcamp_find (block, "TITLE");

  return title != NULL && *title->value != '\0' ? title->value : "without a title";
}

/* The file holds no table that is read here: which else, and what can be done? */
static gboolean
refuse_no_table (const FaintJcamp *self, GError **error)
{
  static const struct
  {
    const char *label, *sentence;
  } others[] = {
    { "NTUPLES", N_ ("'##NTUPLES=' begins a table of several variables (as of real and imaginary "
                     "parts, or of pages) and no plain spectrum. Have the spectrum written as "
                     "'##XYDATA=' by the program that made the file, or as text with columns.") },
    { "PEAKTABLE",
      N_ ("'##PEAK TABLE=' begins a table of peaks, picked from a spectrum by another program, and "
          "not the spectrum itself. Read the file of the spectrum ('##XYDATA=' or '##XYPOINTS='); "
          "to use the peaks as lines, write them as a line list.") },
    { "PEAKASSIGNMENTS",
      N_ ("'##PEAK ASSIGNMENTS=' begins a table of peaks with their assignments and not a "
          "spectrum. Read the file of the spectrum ('##XYDATA=' or '##XYPOINTS='); to use the "
          "peaks as lines, write them as a line list.") },
    { "RADATA", N_ ("'##RADATA=' begins an interferogram and not yet a spectrum. Have it "
                    "transformed and written as '##XYDATA=' by the program that made the file.") },
  };

  for (guint i = 0; i < self->blocks->len; i++)
    for (gsize k = 0; k < G_N_ELEMENTS (others); k++)
      {
        const FaintJcampRecord *record
            = faint_jcamp_find (g_ptr_array_index (self->blocks, i), others[k].label);

        if (record == NULL)
          continue;
        faint_text_error (error, FAINT_TEXT_ERROR_SYNTAX, self->text->path, record->line, 0, "%s",
                          _ (others[k].sentence));
        return FALSE;
      }
  g_set_error (error, FAINT_TEXT_ERROR, FAINT_TEXT_ERROR_SYNTAX,
               _ ("%s holds no table of a spectrum: '##XYDATA=' or '##XYPOINTS=' was expected."),
               self->text->path);
  return FALSE;
}

static void
summary_free (gpointer data)
{
  FaintJcampSummary *self = data;

  g_free (self->title);
  g_free (self->x_unit);
  g_free (self->y_unit);
  g_free (self);
}

static char *
value_of (const FaintJcampBlock *block, const char *label)
{
  const FaintJcampRecord *record = faint_jcamp_find (block, label);

  return g_strdup (record != NULL ? record->value : "");
}

/* Of the blocks with a table. */
static GPtrArray *
summaries_of (const FaintJcamp *self)
{
  GPtrArray *summaries = g_ptr_array_new_with_free_func (summary_free);

  for (guint i = 0; i < self->blocks->len; i++)
    {
      const FaintJcampBlock *block = g_ptr_array_index (self->blocks, i);
      FaintJcamp file = { .text = self->text,
                          .blocks = self->blocks,
                          .block = block,
                          .table = table_of (block),
                          .ordinate = FAINT_JCAMP_TRANSMISSION,
                          .unchecked = TRUE };
      FaintJcampSummary *summary;

      if (file.table == NULL)
        continue;
      summary = g_new0 (FaintJcampSummary, 1);
      summary->number = summaries->len + 1;
      summary->line = block->line;
      summary->title = g_strdup (title_of (block));
      summary->x_unit = value_of (block, "XUNITS");
      summary->y_unit = value_of (block, "YUNITS");
      faint_jcamp_find_span (&file, &summary->first_x, &summary->last_x, &summary->n_points);
      g_ptr_array_add (summaries, summary);
    }
  return summaries;
}

/* "block=1 (run 14, 103 points, 7750.25 to 7751.0966 1/CM, line 5)" */
static void
append_summary (GString *list, const FaintJcampSummary *summary)
{
  g_autofree char *title = faint_text_quote (summary->title, -1, 40);
  g_autofree char *unit = faint_text_quote (summary->x_unit, -1, 20);

  g_string_append_printf (list, "%sblock=%u (%s", list->len > 0 ? ", " : "", summary->number,
                          title);
  if (!isnan (summary->n_points))
    g_string_append_printf (list, _ (", %s points"), FAINT_NUMBER ("%.0f", summary->n_points));
  if (!isnan (summary->first_x + summary->last_x))
    g_string_append_printf (list, _ (", %s to %s %s"), FAINT_NUMBER ("%.10g", summary->first_x),
                            FAINT_NUMBER ("%.10g", summary->last_x), unit);
  g_string_append_printf (list, _ (", line %zu)"), (gsize)summary->line);
}

static gboolean
refuse_choice (const FaintJcamp *self, GError **error)
{
  g_autoptr (GPtrArray) summaries = summaries_of (self);
  g_autoptr (GString) list = g_string_new (NULL);

  for (guint i = 0; i < summaries->len; i++)
    append_summary (list, g_ptr_array_index (summaries, i));
  if (summaries->len == 1)
    g_set_error (
        error, FAINT_JCAMP_ERROR, FAINT_JCAMP_ERROR_UNTOLD,
        _ ("%s holds 1 spectrum, and which one is meant must be told, like 'block=1': %s."),
        self->text->path, list->str);
  else
    g_set_error (
        error, FAINT_JCAMP_ERROR, FAINT_JCAMP_ERROR_UNTOLD,
        _ ("%s holds %u spectra, and which one is meant must be told, like 'block=1': %s."),
        self->text->path, summaries->len, list->str);
  return FALSE;
}

static gboolean
choose_block (FaintJcamp *self, GError **error)
{
  g_autoptr (GPtrArray) tables = g_ptr_array_new ();

  for (guint i = 0; i < self->blocks->len; i++)
    if (table_of (g_ptr_array_index (self->blocks, i)) != NULL)
      g_ptr_array_add (tables, g_ptr_array_index (self->blocks, i));
  if (tables->len == 0)
    return refuse_no_table (self, error);
  if (self->wanted > tables->len || (self->wanted == 0 && tables->len > 1))
    return refuse_choice (self, error);
  self->block = g_ptr_array_index (tables, MAX (self->wanted, 1) - 1);
  self->table = table_of (self->block);
  return TRUE;
}

GPtrArray *
faint_jcamp_summaries (const char *path, GError **error)
{
  g_autoptr (FaintText) text = faint_text_read_old (path, faint_jcamp_is, error);
  g_autoptr (FaintJcamp) file = g_new0 (FaintJcamp, 1);
  g_autoptr (GPtrArray) summaries = NULL;

  if (text == NULL)
    return NULL;
  if (!faint_jcamp_is (text))
    {
      g_set_error (error, FAINT_TEXT_ERROR, FAINT_TEXT_ERROR_SYNTAX,
                   _ ("%s does not begin with a labelled record like '##TITLE='."), path);
      return NULL;
    }
  file->text = text;
  file->blocks = faint_jcamp_blocks (text, error);
  if (file->blocks == NULL)
    return NULL;
  summaries = summaries_of (file);
  return summaries->len > 0 || refuse_no_table (file, error) ? g_steal_pointer (&summaries) : NULL;
}

FaintJcamp *
faint_jcamp_new (const FaintText *text, const char *map, GError **error)
{
  g_autoptr (FaintJcamp) self = g_new0 (FaintJcamp, 1);

  self->text = text;
  if (!take_map (self, map, error))
    return NULL;
  self->blocks = faint_jcamp_blocks (text, error);
  if (self->blocks == NULL || !choose_block (self, error))
    return NULL;
  return g_steal_pointer (&self);
}

void
faint_jcamp_free (FaintJcamp *self)
{
  if (self == NULL)
    return;
  g_clear_pointer (&self->blocks, g_ptr_array_unref);
  g_free (self);
}

/* "23.5 C" as the setup wants it: "23.5 degC". NULL where no unit stands behind a number. */
static char *
quantity_text (const char *value)
{
  const char *after;
  double number;

  if (!faint_text_number (value, value + strlen (value), &number, &after))
    return NULL;
  g_autofree char *digits = g_strndup (value, (gsize)(after - value));
  g_autofree char *unit = g_strstrip (g_strdup (after));
  g_autofree char *plain = g_ascii_strdown (unit, -1);

  if (*unit == '\0')
    return NULL;
  if (strcmp (plain, "c") == 0 || strcmp (plain, "deg c") == 0 || strcmp (plain, "\u00b0c") == 0)
    return g_strdup_printf ("%s degC", digits);
  return g_strdup_printf ("%s %s", digits, unit);
}

/* Records that say who made the file and how: they have no use here. */
static void
warn_left_aside (const FaintJcamp *self, GPtrArray *warnings)
{
  static const char *const used[]
      = { "TITLE",    "JCAMPDX",     "DATATYPE", "DATACLASS", "XUNITS",  "YUNITS",
          "XFACTOR",  "YFACTOR",     "FIRSTX",   "LASTX",     "NPOINTS", "FIRSTY",
          "DELTAX",   "MAXX",        "MINX",     "MAXY",      "MINY",    "XYDATA",
          "XYPOINTS", "TEMPERATURE", "PRESSURE", "BLOCKID",   "",        NULL };
  g_autoptr (GString) names = g_string_new (NULL);

  for (guint i = 0; i < self->block->records->len; i++)
    {
      const FaintJcampRecord *record = g_ptr_array_index (self->block->records, i);
      g_autofree char *label = faint_text_quote (record->label, -1, 40);

      if (!g_strv_contains (used, record->label))
        g_string_append_printf (names, "%s%s", names->len > 0 ? ", " : "", label);
    }
  if (names->len > 0)
    faint_warnings_add (warnings, "records-left-aside",
                        N_ ("These records of the file have no use here and were left aside: %s."),
                        names->str);
}

void
faint_jcamp_fill_setup (const FaintJcamp *self, FaintSetup *setup, GPtrArray *warnings)
{
  static const struct
  {
    const char *label, *key;
  } known[] = { { "TEMPERATURE", "temperature" }, { "PRESSURE", "pressure" } };

  warn_left_aside (self, warnings);
  faint_setup_set (setup, "title", title_of (self->block), NULL, NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (known); i++)
    {
      const FaintJcampRecord *record = faint_jcamp_find (self->block, known[i].label);

      if (record == NULL || *record->value == '\0')
        continue;
      g_autofree char *text = quantity_text (record->value);
      g_autofree char *value = faint_text_quote (record->value, -1, 40);
      if (text == NULL || !faint_setup_set (setup, known[i].key, text, NULL, NULL))
        faint_warnings_add (warnings, "record-not-taken",
                            N_ ("'##%s= %s' (line %zu) is not a number with a unit known here and "
                                "was not taken; state %s "
                                "yourself."),
                            known[i].label, value, (gsize)record->line, known[i].key);
    }
}
