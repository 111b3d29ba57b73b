/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/base/warnings.h"

#include <locale.h>

static FaintWarning *
warning_new (const char *code, char *text)
{
  FaintWarning *self = g_new (FaintWarning, 1);

  self->code = g_strdup (code);
  self->text = text;
  return self;
}

static void
warning_free (gpointer data)
{
  FaintWarning *self = data;

  g_free (self->code);
  g_free (self->text);
  g_free (self);
}

GPtrArray *
faint_warnings_new (void)
{
  return g_ptr_array_new_with_free_func (warning_free);
}

GPtrArray *
faint_warnings_copy (const GPtrArray *warnings)
{
  GPtrArray *copy = faint_warnings_new ();

  faint_warnings_extend (copy, warnings);
  return copy;
}

/* With decimal points, whatever the program's locale: a warning is kept in files. */
static char *
format_plainly (const char *format, va_list arguments)
{
  locale_t plain = newlocale (LC_ALL_MASK, "C", (locale_t)0), before = uselocale (plain);
  char *text = g_strdup_vprintf (format, arguments);

  uselocale (before); /* of this thread alone */
  freelocale (plain);
  return text;
}

void
faint_warnings_add (GPtrArray *warnings, const char *code, const char *format, ...)
{
  va_list arguments;

  va_start (arguments, format);
  g_ptr_array_add (warnings, warning_new (code, format_plainly (format, arguments)));
  va_end (arguments);
}

void
faint_warnings_extend (GPtrArray *warnings, const GPtrArray *more)
{
  for (guint i = 0; more != NULL && i < more->len; i++)
    {
      const FaintWarning *warning = g_ptr_array_index (more, i);

      g_ptr_array_add (warnings, warning_new (warning->code, g_strdup (warning->text)));
    }
}

gboolean
faint_warnings_has (const GPtrArray *warnings, const char *code)
{
  for (guint i = 0; warnings != NULL && i < warnings->len; i++)
    {
      const FaintWarning *warning = g_ptr_array_index (warnings, i);

      if (g_str_equal (warning->code, code))
        return TRUE;
    }
  return FALSE;
}
