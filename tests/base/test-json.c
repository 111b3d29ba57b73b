/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * JSON against the grammar of RFC 8259: what it allows is read, what it does not is refused. Cases
 * are made after its sections 2 to 8; errors with their places are in tests/broken/line-list.
 */
#include "faint/base/json.h"
#include "faint-test.h"

#include <string.h>

static void
test_allowed (void)
{
  static const struct
  {
    const char *text;
    FaintJsonKind kind;
    const char *content;
  } cases[] = {
    { "null", FAINT_JSON_NULL, "" },
    { " \t\r\n true\n", FAINT_JSON_TRUE, "" },
    { "false", FAINT_JSON_FALSE, "" },
    { "0", FAINT_JSON_NUMBER, "0" },
    { "-0", FAINT_JSON_NUMBER, "-0" },
    { "-12.50e+07", FAINT_JSON_NUMBER, "-12.50e+07" },
    { "1E400", FAINT_JSON_NUMBER, "1E400" }, /* the grammar has no largest number */
    { "\"\"", FAINT_JSON_STRING, "" },
    { "\"\\\"\\\\\\/\\b\\f\\n\\r\\t\"", FAINT_JSON_STRING, "\"\\/\b\f\n\r\t" },
    { "\"\\u00E9\\u20ac\"", FAINT_JSON_STRING, "é€" },
    { "\"\\ud834\\udd1e\"", FAINT_JSON_STRING, "𝄞" }, /* the example of section 7, U+1D11E */
    { "\"\x7fü\"", FAINT_JSON_STRING, "\x7fü" },
    { "[]", FAINT_JSON_ARRAY, "" },
    { "{ }", FAINT_JSON_OBJECT, "" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (FaintJson) root
          = faint_json_parse (cases[i].text, strlen (cases[i].text), "file", &error);

      g_assert_no_error (error);
      g_assert_cmpint (root->kind, ==, cases[i].kind);
      g_assert_cmpstr (root->text, ==, cases[i].content);
    }
}

static void
test_refused (void)
{
  static const char *const texts[] = {
    "",
    "nul",
    "True",
    "+1",
    ".5",
    "1.",
    "1.e5",
    "01",
    "-",
    "1e",
    "0x10",
    "Infinity",
    "[1,]",
    "[,1]",
    "[1 2]",
    "{\"a\"}",
    "{a:1}",
    "{1:2}",
    "{\"a\":}",
    "{\"a\":1,}",
    "\"",
    "\"\\x\"",
    "'a'",
    "1 2",
    "[1]]",
    "// a\n1",
    "\"\t\"",
    "\xc2\xa0"
    "1",
    "\"\\u12\"",
    "[\"\\ud834\"]",
    "\v1",
    "{,}",
  };

  for (gsize i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      g_autoptr (GError) error = NULL;
      FaintJson *root = faint_json_parse (texts[i], strlen (texts[i]), "file", &error);

      if (root != NULL)
        g_error ("'%s' was read", texts[i]);
      faint_assert_error_says (error, FAINT_JSON_ERROR, "file, line ");
    }
}

static void
test_places (void)
{
  static const char text[] = "{\"a\": [1, \"ü\",\r\n  {\"b\": null}],\r\"c\": true}";
  g_autoptr (FaintJson) root = faint_json_parse (text, strlen (text), "file", NULL);
  const FaintJson *a = faint_json_member (root, "a"), *b, *c = faint_json_member (root, "c");

  g_assert_cmpuint (a->items->len, ==, 3);
  b = faint_json_member (&g_array_index (a->items, FaintJson, 2), "b");
  g_assert_cmpuint (b->line, ==, 2);
  g_assert_cmpuint (b->column, ==, 9);
  g_assert_cmpuint (c->line, ==, 3);
  g_assert_cmpuint (c->column, ==, 6);
  g_assert_null (faint_json_member (root, "b"));
  g_assert_null (faint_json_member (c, "b"));
}

static void
test_string (void)
{
  g_autoptr (GString) out = g_string_new (NULL);
  g_autoptr (FaintJson) back = NULL;
  static const char text[] = "a\"b\\c\x01\x1f\n\tü😀";

  faint_json_append_string (out, text);
  back = faint_json_parse (out->str, out->len, "file", NULL);
  g_assert_cmpstr (back->text, ==, text);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/base/json/allowed", test_allowed);
  g_test_add_func ("/base/json/refused", test_refused);
  g_test_add_func ("/base/json/places", test_places);
  g_test_add_func ("/base/json/string", test_string);
  return g_test_run ();
}
