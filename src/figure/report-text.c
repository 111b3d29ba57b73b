/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Numbers and units as they are typeset: true minus sign, powers of ten, superscripts.
 */
#include "figure/report-private.h"
#include "figure/ticks.h"

#include <math.h>
#include <string.h>

/* "-1.2(3)e-26" becomes "−1.2(3)×10⁻²⁶". */
static char *
typeset (const char *number)
{
  const char *exponent = strpbrk (number, "eE");
  gsize length = exponent != NULL ? (gsize)(exponent - number) : strlen (number);
  GString *text = g_string_new (NULL);

  for (gsize i = 0; i < length; i++)
    if (number[i] == '-')
      g_string_append (text, "−");
    else
      g_string_append_c (text, number[i]);
  if (exponent != NULL)
    {
      double power = pow (10.0, (double)g_ascii_strtoll (exponent + 1, NULL, 10));
      g_autofree char *ten = faint_ticks_label_power (power);
      g_string_append_printf (text, "×%s", ten);
    }
  return g_string_free (text, FALSE);
}

char *
faint_report_plain (double value, int digits)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE], format[12];

  if (!isfinite (value))
    return g_strdup ("–");
  /* "#" keeps the zeros at the end, which say how well a number is known; and a lone point. */
  g_snprintf (format, sizeof format, "%%#.%dg", CLAMP (digits, 1, 17));
  g_ascii_formatd (text, sizeof text, format, value);
  char *point = strchr (text, '.');
  if (point != NULL && !g_ascii_isdigit (point[1]))
    memmove (point, point + 1, strlen (point));
  return typeset (text);
}

char *
faint_report_number (double value, double u)
{
  if (!isfinite (value))
    return g_strdup ("–");
  if (!(u > 0.0) || !isfinite (u))
    {
      /* A position without uncertainty keeps its digits. */
      char digits[G_ASCII_DTOSTR_BUF_SIZE];
      return typeset (g_ascii_formatd (digits, sizeof digits, "%.9g", value));
    }
  g_autofree char *number = faint_format_concise (value, u);
  return typeset (number);
}

/* A long word, of a file say, may be broken all the same: it would leave the page. */
#define WORD_MOST 60

char *
faint_report_command (const char *const *words)
{
  GString *text = g_string_new ("<span font_family=\"monospace\">"
                                "<span allow_breaks=\"false\">faintline-batch</span>");

  for (; *words != NULL; words++)
    {
      gboolean plain = **words != '\0'
                       && strspn (*words, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
                                          "0123456789-_./:,+=%@")
                              == strlen (*words);
      g_autofree char *quoted = plain ? g_strdup (*words) : g_shell_quote (*words);
      g_autofree char *escaped = faint_paper_escape (quoted);

      g_string_append_printf (text, " <span allow_breaks=\"%s\">%s</span>",
                              g_utf8_strlen (quoted, -1) > WORD_MOST ? "true" : "false", escaped);
    }
  g_string_append (text, "</span>");
  return g_string_free (text, FALSE);
}

const char *
faint_report_unit (const FaintUnit *unit)
{
  static const struct
  {
    const char *written, *typeset;
  } names[] = { { "cm-1", "cm⁻¹" }, { "degC", "°C" }, { "us", "µs" }, { "1", "" } };

  if (unit == NULL)
    return "";
  for (guint i = 0; i < G_N_ELEMENTS (names); i++)
    if (g_str_equal (unit->name, names[i].written))
      return names[i].typeset;
  return unit->name;
}

char *
faint_report_quantity (FaintQuantity quantity, const char *missing)
{
  if (!faint_quantity_is_known (quantity))
    return g_strdup (missing);
  const FaintUnit *unit = quantity.unit;
  double scale = unit != NULL ? unit->scale : 1.0, offset = unit != NULL ? unit->offset : 0.0;
  gboolean has_u = isfinite (quantity.u);
  g_autofree char *number
      = faint_report_number ((quantity.value - offset) / scale, quantity.u / scale);
  const char *symbol = faint_report_unit (unit);

  return g_strconcat (number, symbol[0] != '\0' ? " " : "", symbol,
                      has_u ? "" : "   (no uncertainty stated)", NULL);
}
