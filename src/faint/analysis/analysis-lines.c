/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stddef.h>
#include <string.h>

#include "faint/analysis/analysis-file.h"
#include "faint/base/words.h"
#include "faint/lines/parameters.h"

static const struct
{
  const char *key;
  gsize offset;
} contributions[] = {
  { "position_from", offsetof (FaintLine, position_from) },
  { "strength_from", offsetof (FaintLine, strength_from) },
  { "lorentz_from", offsetof (FaintLine, lorentz_from) },
};

static const struct
{
  const char *key;
  gsize offset;
} numbers[] = {
  { "strength_296", offsetof (FaintLine, strength_296) },
  { "u_strength_296", offsetof (FaintLine, u_strength_296) },
  { "lower_energy", offsetof (FaintLine, lower_energy) },
  { "u_lower_energy", offsetof (FaintLine, u_lower_energy) },
  { "snr", offsetof (FaintLine, snr) },
  { "peak", offsetof (FaintLine, peak) },
  { "chi2_reduced", offsetof (FaintLine, chi2_reduced) },
};

static const struct
{
  const char *key;
  gsize offset;
} texts[] = {
  { "upper", offsetof (FaintLine, upper) },
  { "lower", offsetof (FaintLine, lower) },
  { "remark", offsetof (FaintLine, remark) },
};

/* Every parameter's key is its name; that of a tie has more words. */
static const char *const states[] = { "free", "fixed", "derived", "tied" };

#define MEMBER(type, line, offset) (*(type *)(void *)((char *)(line) + (offset)))

gboolean
faint_analysis_is_line_key (const char *key)
{
  if (faint_parameter_find (key, strlen (key)) < FAINT_PARAMETER_N)
    return TRUE;
  for (gsize i = 0; i < G_N_ELEMENTS (contributions); i++)
    if (strcmp (contributions[i].key, key) == 0)
      return TRUE;
  for (gsize i = 0; i < G_N_ELEMENTS (numbers); i++)
    if (strcmp (numbers[i].key, key) == 0)
      return TRUE;
  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    if (strcmp (texts[i].key, key) == 0)
      return TRUE;
  return strcmp (key, "window") == 0 || strcmp (key, "flags") == 0 || strcmp (key, "profile") == 0;
}

static char *
number_text (double value)
{
  if (isnan (value))
    return g_strdup ("-");
  return isinf (value) ? g_strdup (value > 0.0 ? "inf" : "-inf") : faint_format_double (value);
}

/* "value u u_noise state", of a tied one "value u u_noise tied id factor offset" */
static void
set_parameter (FaintAnalysisFile *file, const char *group, const char *key,
               const FaintParameter *parameter)
{
  g_autofree char *value = number_text (parameter->value);
  g_autofree char *u = number_text (parameter->u);
  g_autofree char *u_noise = number_text (parameter->u_noise);
  g_autoptr (GString) text = g_string_new (NULL);

  g_string_printf (text, "%s %s %s %s", value, u, u_noise, states[parameter->state]);
  if (parameter->state == FAINT_STATE_TIED)
    {
      g_autofree char *factor = number_text (parameter->tie_factor);
      g_autofree char *offset = number_text (parameter->tie_offset);
      g_string_append_printf (text, " %u %s %s", parameter->tied_to, factor, offset);
    }
  g_key_file_set_value (file->keys, group, key, text->str);
}

/* The four of a Voigt profile always, all others where there is something to tell. */
static void
set_parameters (FaintAnalysisFile *file, const char *group, const FaintLine *line)
{
  for (guint k = 0; k < FAINT_PARAMETER_N; k++)
    {
      const FaintParameter *parameter = faint_line_peek_nth_parameter (line, k);

      if (k < FAINT_PLACE_SPEED_WIDTH || !isnan (parameter->value) || !isnan (parameter->u)
          || !isnan (parameter->u_noise) || parameter->state != FAINT_STATE_FREE)
        set_parameter (file, group, faint_parameter_name (k), parameter);
    }
  if (line->profile != FAINT_PROFILE_VOIGT)
    g_key_file_set_value (file->keys, group, "profile", faint_profile_name (line->profile));
}

/* "noise 1e-6 temperature -2e-9 ...", those that are known */
static void
set_contributions (FaintAnalysisFile *file, const char *group, const char *key, const double *from)
{
  g_autoptr (GString) text = g_string_new (NULL);

  for (guint i = 0; i < FAINT_SOURCE_N; i++)
    {
      g_autofree char *number = number_text (from[i]);
      if (!isnan (from[i]))
        g_string_append_printf (text, "%s%s %s", text->len > 0 ? " " : "",
                                faint_uncertainty_source_name ((FaintUncertaintySource)i), number);
    }
  if (text->len > 0)
    g_key_file_set_value (file->keys, group, key, text->str);
}

void
faint_analysis_file_set_lines (FaintAnalysisFile *file, const char *name,
                               const FaintLineList *lines)
{
  for (gsize k = 0; k < faint_line_list_get_n (lines); k++)
    {
      FaintLine line = *faint_line_list_get (lines, k);
      g_autofree char *group = g_strdup_printf ("%s %u", name, line.id);
      g_autofree char *flags = faint_line_flags_to_text (line.flags);

      set_parameters (file, group, &line);
      for (gsize i = 0; i < G_N_ELEMENTS (contributions); i++)
        set_contributions (file, group, contributions[i].key,
                           &MEMBER (double, &line, contributions[i].offset));
      for (gsize i = 0; i < G_N_ELEMENTS (numbers); i++)
        faint_analysis_file_set_number (file, group, numbers[i].key,
                                        MEMBER (double, &line, numbers[i].offset));
      for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
        faint_analysis_file_set_text (file, group, texts[i].key,
                                      MEMBER (const char *, &line, texts[i].offset));
      if (line.window > 0)
        faint_analysis_file_set_count (file, group, "window", (guint64)line.window);
      faint_analysis_file_set_text (file, group, "flags", flags);
    }
}

static gboolean
parse_tie (char **words, FaintParameter *parameter)
{
  guint64 id;

  if (!g_ascii_string_to_unsigned (words[0], 10, 1, G_MAXINT32, &id, NULL)
      || !faint_analysis_parse_number (words[1], &parameter->tie_factor)
      || !faint_analysis_parse_number (words[2], &parameter->tie_offset))
    return FALSE;
  parameter->tied_to = (guint)id;
  return TRUE;
}

static gboolean
parse_parameter (char **words, FaintParameter *parameter)
{
  guint n = g_strv_length (words), state = 0;

  if (n < 4 || !faint_analysis_parse_number (words[0], &parameter->value)
      || !faint_analysis_parse_number (words[1], &parameter->u)
      || !faint_analysis_parse_number (words[2], &parameter->u_noise))
    return FALSE;
  while (state < G_N_ELEMENTS (states) && strcmp (states[state], words[3]) != 0)
    state++;
  parameter->state = (FaintParameterState)state;
  if (state == FAINT_STATE_TIED)
    return n == 7 && parse_tie (words + 4, parameter);
  return n == 4 && state < G_N_ELEMENTS (states);
}

static gboolean
read_parameter (const FaintAnalysisFile *file, const char *group, const char *key,
                FaintParameter *parameter, GError **error)
{
  g_autofree char *text = g_key_file_get_value (file->keys, group, key, NULL);
  g_auto (GStrv) words = g_strsplit (text != NULL ? text : "", " ", -1);

  if (text == NULL || parse_parameter (words, parameter))
    return TRUE;
  return faint_analysis_file_refuse (
      file, group, key, error,
      _ ("found '%s', expected value, uncertainty, its part from noise, and free, fixed, derived, "
         "or tied with a line's id, factor and offset"),
      text);
}

static gboolean
read_parameters (const FaintAnalysisFile *file, const char *group, FaintLine *line, GError **error)
{
  g_autofree char *profile = g_key_file_get_value (file->keys, group, "profile", NULL);

  for (guint k = 0; k < FAINT_PARAMETER_N; k++)
    if (!read_parameter (file, group, faint_parameter_name (k), faint_line_nth_parameter (line, k),
                         error))
      return FALSE;
  if (profile == NULL || faint_profile_from_name (profile, &line->profile))
    return TRUE;
  return faint_analysis_file_refuse (
      file, group, "profile", error,
      _ ("found '%s', expected voigt, speed-dependent-voigt or hartmann-tran"), profile);
}

static void
set_contribution (double *from, const char *source, double value)
{
  for (guint i = 0; i < FAINT_SOURCE_N; i++)
    if (strcmp (faint_uncertainty_source_name ((FaintUncertaintySource)i), source) == 0)
      from[i] = value;
}

static gboolean
read_contributions (const FaintAnalysisFile *file, const char *group, const char *key, double *from,
                    GError **error)
{
  g_autofree char *text = g_key_file_get_value (file->keys, group, key, NULL);
  g_auto (GStrv) words = g_strsplit (text != NULL ? text : "", " ", -1);
  double value;

  for (guint i = 0; words[i] != NULL; i += 2)
    {
      if (words[i + 1] == NULL || !faint_analysis_parse_number (words[i + 1], &value))
        return faint_analysis_file_refuse (
            file, group, key, error, _ ("found '%s', expected pairs of a source and a number"),
            text);
      set_contribution (from, words[i], value);
    }
  return TRUE;
}

/* Texts of @line are new; the caller puts them into @owned. */
static gboolean
read_line (const FaintAnalysisFile *file, const char *group, FaintLine *line, GPtrArray *owned,
           GError **error)
{
  g_autofree char *flags = faint_analysis_file_text (file, group, "flags", error);
  guint64 window;

  if (flags == NULL || !faint_analysis_file_count (file, group, "window", &window, error))
    return FALSE;
  line->flags = faint_line_flags_from_text (flags);
  line->window = (int)MIN (window, G_MAXINT);
  if (!read_parameters (file, group, line, error))
    return FALSE;
  for (gsize i = 0; i < G_N_ELEMENTS (contributions); i++)
    if (!read_contributions (file, group, contributions[i].key,
                             &MEMBER (double, line, contributions[i].offset), error))
      return FALSE;
  for (gsize i = 0; i < G_N_ELEMENTS (numbers); i++)
    if (!faint_analysis_file_number (file, group, numbers[i].key,
                                     &MEMBER (double, line, numbers[i].offset), error))
      return FALSE;
  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      char *text = faint_analysis_file_text (file, group, texts[i].key, error);
      if (text == NULL)
        return FALSE;
      g_ptr_array_add (owned, text);
      MEMBER (const char *, line, texts[i].offset) = text;
    }
  if (isfinite (line->position.value) && line->position.value > 0.0)
    return TRUE;
  return faint_analysis_file_refuse (file, group, "position", error,
                                     _ ("the line has no position"));
}

FaintLineList *
faint_analysis_file_lines (const FaintAnalysisFile *file, const char *name, GError **error)
{
  g_auto (GStrv) groups = g_key_file_get_groups (file->keys, NULL);
  g_autofree char *prefix = g_strdup_printf ("%s ", name);
  g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (FaintLine));
  g_autoptr (GPtrArray) owned = g_ptr_array_new_with_free_func (g_free);

  for (char **group = groups; *group != NULL; group++)
    {
      FaintLine line = faint_line_unknown ();
      guint64 id;
      if (!g_str_has_prefix (*group, prefix))
        continue;
      if (!g_ascii_string_to_unsigned (*group + strlen (prefix), 10, 1, G_MAXINT32, &id, NULL))
        {
          faint_analysis_file_refuse (file, *group, NULL, error,
                                      _ ("a line's group is named '%s' and its id, from 1"), name);
          return NULL;
        }
      line.id = (guint)id;
      if (!read_line (file, *group, &line, owned, error))
        return NULL;
      g_array_append_val (lines, line);
    }
  return faint_line_list_new ((const FaintLine *)(void *)lines->data, lines->len);
}
