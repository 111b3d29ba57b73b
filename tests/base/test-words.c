/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the library says in an error: English until the program sets a locale, then the language of
 * the catalogue, always with decimal points.
 */
#include <libintl.h>
#include <locale.h>
#include <string.h>

#include "faint-test.h"
#include "faint/base/quantity.h"
#include "faint/base/text.h"
#include "faint/base/warnings.h"
#include "faint/base/words.h"

/* What reading a file says that is not there. */
static char *
said_of_missing (void)
{
  g_autoptr (GError) error = NULL;

  g_assert_null (faint_text_read ("/nowhere/at-all.comb", &error));
  g_assert_error (error, FAINT_TEXT_ERROR, FAINT_TEXT_ERROR_OPEN);
  return g_strdup (error->message);
}

/* What is said of a unit that stands behind a pure number: two places, which Chinese turns. */
static char *
said_of_unit (void)
{
  g_autoptr (GError) error = NULL;
  FaintQuantity quantity;

  g_assert_false (faint_quantity_parse ("3 K", FAINT_DIMENSION_NUMBER, &quantity, &error));
  return g_strdup (error->message);
}

static void
choose (const char *language)
{
  g_setenv ("LANGUAGE", language, TRUE);
  setlocale (LC_ALL, "C"); /* gettext looks anew when the locale changes */
  if (setlocale (LC_ALL, "C.UTF-8") == NULL && setlocale (LC_ALL, "en_US.UTF-8") == NULL)
    g_error ("no UTF-8 locale on this computer");
  bindtextdomain (FAINT_WORDS_DOMAIN, g_getenv ("FAINTLINE_LOCALE"));
  bind_textdomain_codeset (FAINT_WORDS_DOMAIN, "UTF-8");
}

/* The program has set no locale: whatever language is asked for does not matter. */
static void
test_without_locale (void)
{
  g_autofree char *unit = NULL;

  setlocale (LC_ALL, "C");
  bindtextdomain (FAINT_WORDS_DOMAIN, g_getenv ("FAINTLINE_LOCALE"));
  g_setenv ("LANGUAGE", "de", TRUE);
  g_assert_cmpstr (_ ("%s is empty."), ==, "%s is empty.");
  unit = said_of_unit ();
  g_assert_cmpstr (unit, ==,
                   "'K' stands behind the number in '3 K'; a number without unit was expected.");
}

static void
test_languages (void)
{
  static const struct
  {
    const char *language, *missing, *unit;
  } known[] = {
    { "de", "kann nicht gelesen werden", "„K“ steht hinter der Zahl in „3 K“" },
    { "fr", "ne peut pas être lu",
      "«\u00a0K\u00a0» se trouve derrière le nombre dans «\u00a03 K\u00a0»" },
    { "es", "No se puede leer", "«K» aparece detrás del número en «3 K»" },
    { "zh_CN", "无法读取", "“3 K”的数字之后有“K”" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (known); i++)
    {
      g_autofree char *missing = NULL, *unit = NULL;

      choose (known[i].language);
      missing = said_of_missing ();
      unit = said_of_unit ();
      g_test_message ("%s: %s %s", known[i].language, missing, unit);
      g_assert_nonnull (strstr (missing, known[i].missing));
      g_assert_nonnull (strstr (missing, "/nowhere/at-all.comb"));
      g_assert_nonnull (strstr (unit, known[i].unit));
    }
}

/* A locale with a decimal comma, made here where the computer has none. */
static gboolean
choose_comma (const char *folder)
{
  g_autofree char *place = g_build_filename (folder, "de_DE.UTF-8", NULL);
  const char *const command[] = { "localedef", "-i", "de_DE", "-f", "UTF-8", place, NULL };

  if (setlocale (LC_ALL, "de_DE.UTF-8") != NULL)
    return TRUE;
  if (!g_spawn_sync (NULL, (char **)command, NULL,
                     G_SPAWN_SEARCH_PATH | G_SPAWN_STDOUT_TO_DEV_NULL | G_SPAWN_STDERR_TO_DEV_NULL,
                     NULL, NULL, NULL, NULL, NULL, NULL))
    return FALSE;
  g_setenv ("LOCPATH", folder, TRUE);
  return setlocale (LC_ALL, "de_DE.UTF-8") != NULL;
}

/* Neither what is said nor what is kept has a decimal comma. */
static void
test_numbers (void)
{
  char *folder = faint_test_folder_new ();
  gboolean chosen = choose_comma (folder);
  g_autoptr (GPtrArray) warnings = faint_warnings_new ();
  char said[16];

  faint_test_folder_remove (folder);
  if (!chosen)
    {
      g_test_skip ("no locale with a decimal comma on this computer");
      return;
    }
  g_snprintf (said, sizeof said, "%.2f", 7790.25);
  g_assert_cmpstr (said, ==, "7790,25");
  g_assert_cmpstr (FAINT_NUMBER ("%.2f", 7790.25), ==, "7790.25");
  g_assert_cmpstr (FAINT_NUMBER ("%g", 1.5e-24), ==, "1.5e-24");
  faint_warnings_add (warnings, "gap", "The gap begins at %.2f cm-1.", 7790.25);
  g_assert_cmpstr (((const FaintWarning *)g_ptr_array_index (warnings, 0))->text, ==,
                   "The gap begins at 7790.25 cm-1.");
  g_snprintf (said, sizeof said, "%.2f", 7790.25); /* the program's locale is as it was */
  g_assert_cmpstr (said, ==, "7790,25");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/words/without-locale", test_without_locale);
  g_test_add_func ("/words/languages", test_languages);
  g_test_add_func ("/words/numbers", test_numbers);
  return g_test_run ();
}
