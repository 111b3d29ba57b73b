/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "faint/simulate/scene-private.h"
#include "faint/base/files.h"
#include "faint/base/paths.h"
#include "faint/spectrum/comb-table.h"

#define COLUMNS "# columns = "

static void
append_number (GString *out, double value)
{
  g_autofree char *text = faint_format_double (value);

  g_string_append_printf (out, " %s", text);
}

static void
append_sample (GString *out, const FaintScene *self, const FaintSpectrum *spectrum, gsize k)
{
  double level = self->reference_level;
  gboolean field = self->write == FAINT_SCENE_WRITE_POLAR;
  double amplitude = field ? hypot (spectrum->value[k], spectrum->value_im[k]) : spectrum->value[k];

  append_number (out, amplitude * level);
  append_number (out, level);
  if (field)
    append_number (out, atan2 (spectrum->value_im[k], spectrum->value[k]));
  if (self->noise > 0.0)
    append_number (out, spectrum->u[k] * level);
  if (field && self->noise > 0.0)
    append_number (out, spectrum->u_im[k] / amplitude);
}

/* A line of the plain table's header for a table in @folder: files as seen from there. */
static void
append_header_line (GString *out, const FaintSetup *setup, const char *line, const char *folder)
{
  const struct
  {
    const char *start, *path;
  } files[] = { { "# partition_sums = ", setup->partition_sums },
                { "# finesse_table = ", setup->finesse_table } };

  for (gsize i = 0; i < G_N_ELEMENTS (files); i++)
    if (files[i].path != NULL && g_str_has_prefix (line, files[i].start))
      {
        g_autofree char *relative = faint_path_relative (files[i].path, folder);
        g_string_append_printf (out, "%s%s\n", files[i].start, relative);
        return;
      }
  g_string_append_printf (out, "%s\n", line);
}

/* "# columns = " with the axis of @line and the columns that the scene asks for. */
static void
append_columns (GString *out, const FaintScene *self, const char *line)
{
  gboolean polar = self->write == FAINT_SCENE_WRITE_POLAR, noise = self->noise > 0.0;
  const char *axis = line + strlen (COLUMNS);

  if (self->write != FAINT_SCENE_WRITE_REFERENCE && !polar)
    {
      g_string_append_printf (out, "%s\n", line);
      return;
    }
  g_string_append_len (out, line, (gssize)(strlen (COLUMNS) + strcspn (axis, " ")));
  g_string_append_printf (out, " signal reference%s%s%s\n", polar ? " phase/rad" : "",
                          noise ? " u(signal)" : "", polar && noise ? " u(phase)/rad" : "");
}

static void
append_row (GString *out, const FaintScene *self, const FaintSpectrum *spectrum, const char *line,
            gsize k)
{
  if (self->write != FAINT_SCENE_WRITE_REFERENCE && self->write != FAINT_SCENE_WRITE_POLAR)
    g_string_append (out, line);
  else
    {
      g_string_append_len (out, line, (gssize)strcspn (line, " \t"));
      append_sample (out, self, spectrum, k);
    }
  g_string_append_c (out, '\n');
}

/* The library's table has one way to write samples; header and axis are taken from it. */
char *
faint_scene_comb_table (const FaintScene *self, const FaintSpectrum *spectrum, const char *folder,
                        gsize *length)
{
  g_autofree char *plain = faint_comb_table_to_text (spectrum, NULL);
  g_autofree char *whole_folder = g_canonicalize_filename (folder != NULL ? folder : ".", NULL);
  g_auto (GStrv) lines = g_strsplit (plain, "\n", -1);
  GString *out = g_string_sized_new (strlen (plain) * 2);
  gsize k = 0;

  for (char **line = lines; *line != NULL; line++)
    if (g_str_has_prefix (*line, COLUMNS))
      append_columns (out, self, *line);
    else if (**line == '#')
      append_header_line (out, spectrum->setup, *line, whole_folder);
    else if (**line != '\0')
      append_row (out, self, spectrum, *line, k++);
  if (length != NULL)
    *length = out->len;
  return g_string_free (out, FALSE);
}

gboolean
faint_scene_write (const FaintScene *self, const FaintSpectrum *spectrum, const char *path,
                   GError **error)
{
  g_autofree char *folder = g_path_get_dirname (path);
  gsize length;
  g_autofree char *text = faint_scene_comb_table (self, spectrum, folder, &length);

  return faint_files_write (path, text, length, error);
}
