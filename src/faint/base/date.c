/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/base/date.h"

static char *
in_words (GDateTime *time)
{
  return g_date_time_format (time, "%Y-%m-%dT%H:%M:%SZ");
}

char *
faint_date_stated (void)
{
  const char *text = g_getenv ("SOURCE_DATE_EPOCH");
  guint64 seconds;
  g_autoptr (GDateTime) time = NULL;

  if (text == NULL || !g_ascii_string_to_unsigned (text, 10, 0, G_MAXINT64, &seconds, NULL))
    return NULL;
  time = g_date_time_new_from_unix_utc ((gint64)seconds);
  return time != NULL ? in_words (time) : NULL;
}

char *
faint_date_now (void)
{
  char *stated = faint_date_stated ();
  g_autoptr (GDateTime) now = NULL;

  if (stated != NULL)
    return stated;
  now = g_date_time_new_now_utc ();
  return in_words (now);
}
