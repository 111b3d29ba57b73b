/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "faint/simulate/scene-private.h"
#include "faint/spectrum/comb-table.h"

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

/* The head of the plain table and its axis column, with other columns behind it. */
static char *
with_reference (const FaintScene *self, const FaintSpectrum *spectrum, const char *plain)
{
  static const char head[] = "# columns = ";
  GString *out = g_string_sized_new (strlen (plain) * 2);
  g_auto (GStrv) lines = g_strsplit (plain, "\n", -1);
  gsize k = 0;

  for (char **line = lines; *line != NULL; line++)
    if (g_str_has_prefix (*line, head))
      {
        gsize axis = strlen (head) + strcspn (*line + strlen (head), " ");
        gboolean field = self->write == FAINT_SCENE_WRITE_POLAR, noise = self->noise > 0.0;
        g_string_append_len (out, *line, (gssize)axis);
        g_string_append_printf (out, " signal reference%s%s%s\n", field ? " phase/rad" : "",
                                noise ? " u(signal)" : "", field && noise ? " u(phase)/rad" : "");
      }
    else if (**line == '#')
      g_string_append_printf (out, "%s\n", *line);
    else if (**line != '\0' && k < spectrum->n)
      {
        g_string_append_len (out, *line, (gssize)strcspn (*line, " \t"));
        append_sample (out, self, spectrum, k++);
        g_string_append_c (out, '\n');
      }
  return g_string_free (out, FALSE);
}

char *
faint_scene_comb_table (const FaintScene *self, const FaintSpectrum *spectrum, gsize *length)
{
  g_autofree char *plain = faint_comb_table_to_text (spectrum, NULL);
  char *text = self->write == FAINT_SCENE_WRITE_REFERENCE || self->write == FAINT_SCENE_WRITE_POLAR
                   ? with_reference (self, spectrum, plain)
                   : g_steal_pointer (&plain);

  if (length != NULL)
    *length = strlen (text);
  return text;
}
