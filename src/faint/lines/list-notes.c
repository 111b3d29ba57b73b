/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/lines/list-notes.h"

#include <string.h>

/* What could end a line of a preamble early, or make it no text, becomes a blank. Takes @text. */
static char *
flat (char *text)
{
  for (char *c = text; *c != '\0'; c++)
    if (*c > 0 && *c < 0x20)
      *c = ' ';
  return text;
}

static void
add (GPtrArray *notes, const char *key, const char *value)
{
  g_ptr_array_add (notes, flat (g_strdup_printf ("%s = %s", key, value)));
}

static void
add_setup (GPtrArray *notes, const FaintSetup *setup)
{
  gsize n;
  const FaintSetupKey *keys = faint_setup_keys (&n);

  for (gsize i = 0; i < n; i++)
    {
      g_autofree char *value = faint_setup_get (setup, keys[i].key);
      g_autofree char *u_key = g_strdup_printf ("u(%s)", keys[i].key);
      g_autofree char *u = NULL;

      if (value == NULL || strcmp (keys[i].key, "title") == 0)
        continue;
      if (keys[i].kind == FAINT_SETUP_KIND_FILE)
        {
          g_autofree char *name = g_path_get_basename (value);
          add (notes, keys[i].key, name);
          continue;
        }
      add (notes, keys[i].key, value);
      if (keys[i].kind == FAINT_SETUP_KIND_QUANTITY)
        u = faint_setup_get (setup, u_key);
      if (u != NULL)
        add (notes, u_key, u);
    }
}

static void
add_about (GPtrArray *notes, const FaintLineListAbout *about)
{
  if (about->date != NULL)
    add (notes, "date", about->date);
  if (about->title != NULL && about->title[0] != '\0')
    add (notes, "title", about->title);
  for (gsize i = 0; about->inputs != NULL && about->inputs[i] != NULL; i++)
    add (notes, "input", about->inputs[i]);
  if (about->setup != NULL)
    add_setup (notes, about->setup);
  if (isfinite (about->chi2_reduced))
    {
      g_autofree char *chi2 = faint_format_double (about->chi2_reduced);
      add (notes, "chi2_reduced", chi2);
    }
  for (gsize i = 0; about->notes != NULL && about->notes[i] != NULL; i++)
    g_ptr_array_add (notes, flat (g_strdup (about->notes[i])));
}

/* What the columns U(...) hold: expanded uncertainties after JCGM 100:2008, 6.2. */
double
faint_list_coverage_factor (const FaintLineListAbout *about)
{
  return about != NULL && isfinite (about->coverage_factor) && about->coverage_factor > 0.0
             ? about->coverage_factor
             : 2.0;
}

static void
add_coverage (GPtrArray *notes, double coverage)
{
  g_autofree char *factor = faint_format_double (coverage);
  double level = 100.0 * erf (coverage / sqrt (2.0));
  char digits[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *words = NULL;

  g_ascii_formatd (digits, sizeof digits, level < 99.95 ? "%.4g" : "%.10g", level);
  words = g_strdup_printf ("%s %% for a normal distribution (JCGM 100:2008, 6.2)", digits);
  add (notes, "coverage_factor", factor);
  add (notes, "level_of_confidence", words);
}

GPtrArray *
faint_list_notes_new (const FaintLineListAbout *about)
{
  GPtrArray *notes = g_ptr_array_new_with_free_func (g_free);

  add (notes, "program", "Faintline " FAINT_VERSION);
  add (notes, "reference_temperature", "296 K");
  if (about != NULL)
    add_about (notes, about);
  add_coverage (notes, faint_list_coverage_factor (about));
  return notes;
}

gboolean
faint_list_note_split (const char *note, char **key, char **value)
{
  const char *equals = strchr (note, '=');

  *key = equals != NULL ? g_strstrip (g_strndup (note, (gsize)(equals - note)))
                        : g_strdup ("remark");
  *value = g_strstrip (g_strdup (equals != NULL ? equals + 1 : note));
  return equals != NULL;
}

char *
faint_list_notes_get (const GPtrArray *notes, const char *key)
{
  for (guint i = 0; notes != NULL && i < notes->len; i++)
    {
      g_autofree char *name = NULL, *value = NULL;

      if (faint_list_note_split (g_ptr_array_index (notes, i), &name, &value)
          && strcmp (name, key) == 0)
        return g_steal_pointer (&value);
    }
  return NULL;
}

void
faint_list_notes_take (GPtrArray *notes, const char *key, const char *value)
{
  static const char *const own[]
      = { "program", "reference_temperature", "coverage_factor", "level_of_confidence" };

  for (gsize i = 0; i < G_N_ELEMENTS (own); i++)
    if (strcmp (own[i], key) == 0)
      return;
  add (notes, key, value);
}
