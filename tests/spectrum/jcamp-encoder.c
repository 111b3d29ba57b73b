/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "jcamp-encoder.h"

#include <math.h>

#include "faint-test.h"

const JcampAbscissae jcamp_exact = { 1.0, 6, 6, FALSE, FALSE };
const char *const jcamp_form_names[] = { "affn", "pac", "sqz", "dif", "difdup" };

double
jcamp_written (const JcampAbscissae *how, double x)
{
  double power = pow (10.0, how->decimals);

  return how->cut ? floor (x / how->factor * power + 1e-6) / power : x / how->factor;
}

void
jcamp_fill_ordinates (gint64 *y)
{
  for (int i = 0; i < JCAMP_N; i++)
    y[i] = i % 17 < 5 ? 990000
                      : (gint64)(1e6 * (1.0 - 0.7 / (1.0 + (i - 50) * (i - 50))))
                            - (i == 30 ? 1500000 : 0);
}

static void
append_pseudo (GString *line, gint64 value, char zero, char positive, char negative)
{
  g_autofree char *digits = g_strdup_printf ("%" G_GINT64_FORMAT, value < 0 ? -value : value);

  g_string_append_c (line, value == 0  ? zero
                           : value > 0 ? (char)(positive + digits[0] - '1')
                                       : (char)(negative + digits[0] - '1'));
  g_string_append (line, digits + 1);
}

static void
append_count (GString *line, int count)
{
  g_autofree char *digits = g_strdup_printf ("%d", count);

  g_string_append_c (line, digits[0] == '9' ? 's' : (char)('S' + digits[0] - '1'));
  g_string_append (line, digits + 1);
}

/* Ordinates [from, to) as one line; in difference form the line before has been repeated. */
static void
append_line (GString *text, const gint64 *y, int from, int to, JcampForm form,
             const JcampAbscissae *how)
{
  GString *line = g_string_new (NULL);
  int start = form >= JCAMP_DIF && from > 0 ? from - 1 : from;
  double x = JCAMP_FIRST_X + (how->next ? from : start) * JCAMP_STEP;

  g_string_append_printf (line, "%.*f", how->decimals, jcamp_written (how, x));
  for (int i = start; i < to; i++)
    if (form == JCAMP_AFFN)
      g_string_append_printf (line, " %" G_GINT64_FORMAT, y[i]);
    else if (form == JCAMP_PAC)
      g_string_append_printf (line, "%+" G_GINT64_FORMAT, y[i]);
    else if (form == JCAMP_SQZ || i == start)
      append_pseudo (line, y[i], '@', 'A', 'a');
    else
      {
        int count = 1;

        append_pseudo (line, y[i] - y[i - 1], '%', 'J', 'j');
        while (form == JCAMP_DIFDUP && i + 1 < to && y[i + 1] - y[i] == y[i] - y[i - 1])
          {
            count++;
            i++;
          }
        if (count > 1)
          append_count (line, count);
      }
  g_string_append_printf (text, "%s  $$ remark\r\n", line->str);
  g_string_free (line, TRUE);
}

void
jcamp_append_head (GString *text, const char *title, const JcampAbscissae *how, const char *more)
{
  g_string_append_printf (
      text,
      "##TITLE= %s\r\n##JCAMP-DX= 4.24 $$ a remark\r\n##DATA TYPE= INFRARED SPECTRUM\r\n"
      "##XUNITS= 1/CM\r\n##YUNITS= TRANSMITTANCE\r\n##XFACTOR= %g\r\n##Y-FACTOR= 1E-06\r\n"
      "##FIRSTX= %.*f\r\n##LASTX= %.*f\r\n##NPOINTS= %d\r\n##temperature= 23.0 C\r\n%s",
      title, how->factor, how->frame, JCAMP_FIRST_X, how->frame,
      JCAMP_FIRST_X + (JCAMP_N - 1) * JCAMP_STEP, JCAMP_N, more);
}

char *
jcamp_encode_as (JcampForm form, const gint64 *y, const JcampAbscissae *how)
{
  GString *text = g_string_new (NULL);

  jcamp_append_head (text, "invented", how, "##FIRSTY= 0.99\r\n");
  g_string_append (text, "##XYDATA= (X++(Y..Y))\r\n");
  for (int from = 0; from < JCAMP_N; from += 10)
    append_line (text, y, from, MIN (from + 10, JCAMP_N), form, how);
  /* The last ordinate is repeated too. */
  if (form >= JCAMP_DIF)
    append_line (text, y, JCAMP_N, JCAMP_N, form, how);
  g_string_append (text, "##END= $$\r\n");
  return g_string_free (text, FALSE);
}

char *
jcamp_encode (JcampForm form, const gint64 *y)
{
  return jcamp_encode_as (form, y, &jcamp_exact);
}

FaintSpectrum *
jcamp_read (const char *bytes, const char *map, GError **error)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *path = faint_test_file (folder, "file.dx", bytes);
  FaintReadOptions options = { .columns = map };
  FaintSpectrum *spectrum = faint_spectrum_read (path, &options, NULL, error);

  faint_test_folder_remove (folder);
  return spectrum;
}
