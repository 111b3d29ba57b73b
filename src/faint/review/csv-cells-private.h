/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Cells of a table after RFC 4180, each with the comma that follows it.
 */
#pragma once

#include <math.h>

#include "faint/base/quantity.h"

/* Empty where it is not known. */
static inline void
faint_cell_number (GString *out, double value)
{
  char buffer[FAINT_DOUBLE_TEXT_SIZE];

  g_string_append (out, isfinite (value) ? faint_format_double_to (value, buffer) : "");
  g_string_append_c (out, ',');
}

/* Empty for 0. */
static inline void
faint_cell_id (GString *out, guint id)
{
  if (id != 0)
    g_string_append_printf (out, "%u", id);
  g_string_append_c (out, ',');
}

static inline void
faint_cell_text (GString *out, const char *text)
{
  g_auto (GStrv) parts = g_strsplit (text, "\"", -1);
  g_autofree char *doubled = g_strjoinv ("\"\"", parts);

  g_string_append_printf (out, "\"%s\",", doubled);
}

/* The last comma becomes the end of the row. */
static inline void
faint_cell_end (GString *out)
{
  g_string_truncate (out, out->len - 1);
  g_string_append_c (out, '\n');
}
