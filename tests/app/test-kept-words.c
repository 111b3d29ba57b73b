/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What results and files say in English, as the window says it in other languages.
 */
#include <libintl.h>
#include <locale.h>
#include <string.h>

#include "app/parts/kept-words.h"
#include "faint-test.h"
#include "faint/base/warnings.h"
#include "faint/base/words.h"

static const char *const languages[] = { "de", "fr", "es", "zh_CN" };

static void
choose (const char *language)
{
  g_setenv ("LANGUAGE", language, TRUE);
  setlocale (LC_ALL, "C"); /* gettext looks anew when the locale changes */
  if (setlocale (LC_ALL, "C.UTF-8") == NULL && setlocale (LC_ALL, "en_US.UTF-8") == NULL)
    g_error ("no UTF-8 locale on this computer");
  bindtextdomain (FAINT_WORDS_DOMAIN, g_getenv ("FAINTLINE_LOCALE"));
  bind_textdomain_codeset (FAINT_WORDS_DOMAIN, "UTF-8");
  textdomain (FAINT_WORDS_DOMAIN);
}

/* Conversions of printf as the program and the catalogues use them. */
static GRegex *
conversions (void)
{
  return g_regex_new ("%(?:(\\d+)\\$)?[-+0-9.]*(?:z|l)?([a-zA-Z%])", 0, 0, NULL);
}

/* @format with samples at its conversions: a number of its own or a word that stands nowhere else.
 */
static char *
fill (const char *format)
{
  g_autoptr (GRegex) regex = conversions ();
  g_autoptr (GMatchInfo) match = NULL;
  GString *text = g_string_new (NULL);
  int end = 0;
  guint next = 1;

  for (g_regex_match (regex, format, 0, &match); g_match_info_matches (match);
       g_match_info_next (match, NULL))
    {
      g_autofree char *given = g_match_info_fetch (match, 1), *kind = g_match_info_fetch (match, 2);
      int from, to;

      g_match_info_fetch_pos (match, 0, &from, &to);
      g_string_append_len (text, format + end, from - end);
      end = to;
      if (*kind == '%')
        g_string_append_c (text, '%');
      else
        {
          guint n = *given != '\0' ? (guint)g_ascii_strtoull (given, NULL, 10) : next++;

          g_string_append_printf (text, *kind == 's' ? "Xq%uz" : "-%u.5e-24", n);
        }
    }
  g_string_append (text, format + end);
  return g_string_free (text, FALSE);
}

/* Each template, with samples, becomes its translation with the same samples; in English what it
 * was, byte for byte. */
static void
test_round_trip (void)
{
  const char *const *templates = faint_kept_words_templates ();
  guint n = 0;

  for (gsize l = 0; l <= G_N_ELEMENTS (languages); l++)
    {
      choose (l == 0 ? "en" : languages[l - 1]);
      for (gsize i = 0; templates[i] != NULL; i++)
        {
          const char *translated = dgettext (FAINT_WORDS_DOMAIN, templates[i]);
          g_autofree char *english = fill (templates[i]), *expected = fill (translated);
          g_autofree char *said = faint_kept_words (english);

          if (strspn (templates[i], "%s,;: ") == strlen (templates[i]))
            continue; /* what joins others says nothing by itself */
          g_assert_cmpstr (said, ==, expected);
          if (l == 0)
            g_assert_cmpstr (said, ==, english);
          else if (strlen (templates[i]) > 25 && strstr (templates[i], "SHA") == NULL)
            g_assert_cmpstr (said, !=, english);
          n++;
        }
    }
  g_test_message ("%u sentences", n);
  g_assert_cmpuint (n, >, 1000);
}

static void
assert_said (const char *english, const char *expected)
{
  g_autofree char *said = faint_kept_words (english);

  g_assert_cmpstr (said, ==, expected);
}

/* Sentences one behind the other, lists, names of files before them, terms in them. */
static void
test_nested (void)
{
  choose ("de");
  assert_said (
      "2 lines are far wider than the others: 7790.2201, 7790.2250 cm-1. Each may be a blend "
      "that the data do not resolve. Look at the residuals there, add a line or tie the "
      "widths.",
      "2 Linien sind weit breiter als die anderen: 7790.2201, 7790.2250 cm-1. Jede kann eine "
      "Überlagerung sein, die die Daten nicht auflösen. Sehen Sie sich dort die Residuen an, "
      "fügen Sie eine Linie hinzu oder binden Sie die Breiten.");
  assert_said ("b.comb: The file states no uncertainties. They were estimated from the scatter of "
               "neighbouring teeth.",
               "b.comb: Die Datei gibt keine Unsicherheiten an. Sie wurden aus der Streuung "
               "benachbarter Zähne geschätzt.");
  assert_said (
      "Differs (claimed as two, seen as one): centre shifted by 0.00102(8) cm-1 (E_n 6.37); "
      "sum of strengths 1.200(14) times the refitted one beside what all lines share (E_n "
      "7.10).",
      "Weicht ab (als zwei behauptet, als eine gesehen): Mitte um 0.00102(8) cm-1 verschoben "
      "(E_n 6.37); Summe der Stärken: das 1.200(14)-fache des neu angepassten Werts, neben "
      "dem, was allen Linien gemeinsam ist (E_n 7.10).");
  assert_said (
      "speed dependence of the width of line 3 at 7790.1234 cm-1 set from 0.01 to 0.02 cm-1; "
      "line 3 at 7790.1234 cm-1 removed; and 4 more",
      "Geschwindigkeitsabhängigkeit der Breite, Linie 3 bei 7790.1234 cm-1: von 0.01 auf 0.02 "
      "cm-1 gesetzt; Linie 3 bei 7790.1234 cm-1 entfernt; und 4 weitere");
  assert_said ("The ring-down time would have to be 12.5(3) us; stated is 11.7(1) us, which is 2.5 "
               "combined standard uncertainties away, beyond 2.",
               "Abklingzeit: nötig wäre 12.5(3) us; angegeben ist 11.7(1) us, das liegt 2.5 "
               "kombinierte Standardunsicherheiten entfernt, außerhalb von 2.");
  choose ("zh_CN");
  assert_said ("All strengths as claimed are 1.0714(11) times those of the refit: 65 standard "
               "uncertainties, over 84 lines; more than the stated uncertainties leave room for.",
               "全部线强的申报值为重新拟合值的 1.0714(11) 倍：65 倍标准不确定度，84 "
               "条谱线；超出了所给不确定度的余地。");
  assert_said ("line 3 at 7790.1234 cm-1 excluded from the model",
               "位于 7790.1234 cm-1 的谱线 3已从模型中剔除");
}

/* What somebody wrote, and what no template made. */
static void
test_left_alone (void)
{
  choose ("de");
  assert_said ("", "");
  assert_said ("something else; and more", "something else; and more");
  assert_said ("a.comb: something else", "a.comb: something else");
  assert_said ("list.csv: the column 'pressure' is not known and was ignored.",
               "list.csv: Die Spalte „pressure“ ist nicht bekannt und wurde nicht beachtet.");
  assert_said ("The spectrum has many gaps.", "The spectrum has many gaps.");
}

static void
test_warnings (void)
{
  g_autoptr (GPtrArray) warnings = faint_warnings_new ();
  g_autofree char *none = NULL, *both = NULL;

  choose ("fr");
  none = faint_kept_warnings (NULL);
  g_assert_cmpstr (none, ==, "");
  faint_warnings_add (warnings, "no-lines", "No line stands above %.3g standard deviations.", 5.0);
  faint_warnings_add (warnings, "own", "Something else.");
  both = faint_kept_warnings (warnings);
  g_assert_cmpstr (both, ==, "Aucune raie ne dépasse 5 écarts-types.\nSomething else.");
}

/* A text that may be read in very many ways does not hold the window up. */
static void
test_ends (void)
{
  g_autoptr (GString) text = g_string_new ("pressure");
  gint64 begun = g_get_monotonic_time ();
  g_autofree char *said = NULL;

  choose ("de");
  for (guint i = 0; i < 400; i++)
    g_string_append (text, " of line set from 1 to 2, at; pressure: 1 = 2 instead of 3");
  said = faint_kept_words (text->str);
  g_test_message ("%.3f s", (double)(g_get_monotonic_time () - begun) * 1e-6);
  g_assert_nonnull (strstr (said, "3"));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/kept-words/round-trip", test_round_trip);
  g_test_add_func ("/kept-words/nested", test_nested);
  g_test_add_func ("/kept-words/left-alone", test_left_alone);
  g_test_add_func ("/kept-words/warnings", test_warnings);
  g_test_add_func ("/kept-words/ends", test_ends);
  return g_test_run ();
}
