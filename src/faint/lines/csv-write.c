/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "faint/base/units.h"
#include "faint/lines/csv-private.h"

/* A preamble line; what could end it early becomes a blank. */
static void
append_note (GString *out, const char *key, const char *value)
{
  g_autofree char *flat = g_strdup (value);

  g_strdelimit (flat, "\r\n", ' ');
  g_string_append_printf (out, "# %s = %s\n", key, flat);
}

static void
append_setup (GString *out, const FaintSetup *setup)
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
          append_note (out, keys[i].key, name);
          continue;
        }
      append_note (out, keys[i].key, value);
      if (keys[i].kind == FAINT_SETUP_KIND_QUANTITY)
        u = faint_setup_get (setup, u_key);
      if (u != NULL)
        append_note (out, u_key, u);
    }
}

static void
append_preamble (GString *out, const FaintLineListAbout *about)
{
  g_string_append (out, "# line list: positions in vacuum, strengths at the temperature of the "
                        "measurement unless the head says otherwise\n");
  append_note (out, "program", "Faintline " FAINT_VERSION);
  append_note (out, "reference_temperature", "296 K");
  if (about == NULL)
    return;
  if (about->date != NULL)
    append_note (out, "date", about->date);
  if (about->title != NULL && about->title[0] != '\0')
    append_note (out, "title", about->title);
  for (gsize i = 0; about->inputs != NULL && about->inputs[i] != NULL; i++)
    append_note (out, "input", about->inputs[i]);
  if (about->setup != NULL)
    append_setup (out, about->setup);
  if (isfinite (about->chi2_reduced))
    {
      g_autofree char *chi2 = faint_format_double (about->chi2_reduced);
      append_note (out, "chi2_reduced", chi2);
    }
}

static void
append_head (GString *out)
{
  gsize n;
  const FaintCsvColumn *columns = faint_csv_columns (&n);

  for (gsize i = 0; i < n; i++)
    {
      const char *unit = faint_csv_unit_text (columns[i].unit);
      g_string_append_printf (out, "%s%s%s%s", i > 0 ? "," : "", columns[i].name,
                              unit != NULL ? "/" : "", unit != NULL ? unit : "");
    }
  g_string_append_c (out, '\n');
}

/* RFC 4180, section 2: quoted where it holds a comma, a quote or an end of line. A field with a
 * leading '#' is quoted too, so that it never looks like a preamble line. */
static void
append_text (GString *out, const char *text)
{
  if (strpbrk (text, ",\"\r\n") == NULL && text[0] != '#')
    {
      g_string_append (out, text);
      return;
    }
  g_string_append_c (out, '"');
  for (const char *c = text; *c != '\0'; c++)
    {
      if (*c == '"')
        g_string_append_c (out, '"');
      g_string_append_c (out, *c);
    }
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
  gboolean empty = words[0] == '\0';
  FaintLine copy = *line;
  gsize n;
  const FaintCsvState *states = faint_csv_states (&n);

  g_string_append (out, words);
  for (gsize i = 0; i < n; i++)
    if (faint_csv_state_parameter (&states[i], &copy)->state == FAINT_STATE_DERIVED)
      {
        g_string_append_printf (out, "%s%s", empty ? "" : " ", states[i].derived_word);
        empty = FALSE;
      }
}

static void
append_cell (GString *out, const FaintCsvColumn *column, const FaintLine *line)
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
    case FAINT_CSV_TEXT:
    default:
      append_text (out, *(const char *const *)member);
      return;
    }
}

char *
faint_line_list_to_csv (const FaintLineList *self, const FaintLineListAbout *about)
{
  GString *out = g_string_sized_new (1024 + 400 * faint_line_list_get_n (self));
  gsize n;
  const FaintCsvColumn *columns = faint_csv_columns (&n);

  append_preamble (out, about);
  append_head (out);
  for (gsize i = 0; i < faint_line_list_get_n (self); i++)
    {
      for (gsize k = 0; k < n; k++)
        {
          if (k > 0)
            g_string_append_c (out, ',');
          append_cell (out, &columns[k], faint_line_list_get (self, i));
        }
      g_string_append_c (out, '\n');
    }
  return g_string_free (out, FALSE);
}
