/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Partners of one line: those that published line centres of 12C2H2 and 13C2H2 have (the sets of
 * tests/reference/metrology_lines.csv, whose branches and J are the sources' own), and how probable
 * chance is.
 */
#include "faint/assign/partners.h"

#include "faint-test.h"
#include "published-lines.h"

#include <math.h>

typedef struct
{
  PublishedLines lines;
  FaintLineList *list;
  FaintLevels *levels;
  GPtrArray *ladders;
  FaintAssignOptions options;
  FaintObserved *observed;
} Fixture;

static Fixture
fixture (const char *set, FaintConstants *constants)
{
  Fixture it = { .lines = published_lines (set, 40, NAN) };

  it.list = published_list (&it.lines);
  it.levels = faint_levels_new (constants, NULL);
  it.ladders = faint_ladders_new (it.levels);
  faint_assign_options_init (&it.options);
  it.observed = faint_observed_new (it.list, &it.options);
  faint_constants_free (constants);
  return it;
}

static void
fixture_free (Fixture *it)
{
  faint_observed_free (it->observed);
  g_ptr_array_unref (it->ladders);
  faint_levels_unref (it->levels);
  faint_line_list_unref (it->list);
}

static GArray *
partners_of (const Fixture *it, guint id)
{
  return faint_partners_find (it->observed, it->levels, it->ladders, &it->options, id);
}

/* The published partner is in the list, with the published J and branches of both. */
static gboolean
has_published (const Fixture *it, const FaintBandLine *line, const FaintBandLine *partner)
{
  g_autoptr (GArray) partners = partners_of (it, line->id);

  for (guint i = 0; i < partners->len; i++)
    {
      const FaintPartner *found = &g_array_index (partners, FaintPartner, i);

      if (found->id == partner->id && found->j == line->j && found->branch == line->branch
          && found->other == partner->branch)
        {
          /* coverage of 4 combined uncertainties, by the options */
          g_assert_cmpfloat (fabs (found->misfit), <=, 4.0 * found->u);
          g_assert_true (found->chance >= 0.0 && found->chance <= 1.0);
          return TRUE;
        }
    }
  return FALSE;
}

static void
assert_published (const char *set, FaintConstants *constants)
{
  Fixture it = fixture (set, constants);
  guint pairs = 0, found = 0;

  for (gsize i = 0; i < it.lines.n; i++)
    for (gsize k = 0; k < it.lines.n; k++)
      if (i != k && it.lines.line[i].j == it.lines.line[k].j)
        {
          pairs++;
          found += has_published (&it, &it.lines.line[i], &it.lines.line[k]);
        }
  g_assert_cmpuint (pairs, >=, 10);
  /* all but those that four standard uncertainties of a normal error leave out, which is none of
   * so few; one pair, both ways, is granted to the uncertainty of the lower constants */
  g_assert_cmpuint (found + 2, >=, pairs);
  fixture_free (&it);
}

static void
test_published (void)
{
  assert_published ("BIPM-T1", published_acetylene_13 ());
  assert_published ("BIPM-T3", published_acetylene_12 ());
}

static void
test_order (void)
{
  Fixture it = fixture ("BIPM-T3", published_acetylene_12 ());

  for (gsize i = 0; i < it.lines.n; i++)
    {
      g_autoptr (GArray) partners = partners_of (&it, it.lines.line[i].id);

      for (guint k = 1; k < partners->len; k++)
        {
          const FaintPartner *a = &g_array_index (partners, FaintPartner, k - 1);
          const FaintPartner *b = &g_array_index (partners, FaintPartner, k);

          g_assert_cmpfloat (fabs (a->misfit) / a->u, <=, fabs (b->misfit) / b->u);
          g_assert_cmpuint (b->id, !=, it.lines.line[i].id);
        }
    }
  fixture_free (&it);
}

static void
test_none (void)
{
  Fixture it = fixture ("BIPM-T3", published_acetylene_12 ());
  g_autoptr (GArray) partners = partners_of (&it, 100000);

  g_assert_cmpuint (partners->len, ==, 0);
  fixture_free (&it);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/assign/partners/published", test_published);
  g_test_add_func ("/assign/partners/order", test_order);
  g_test_add_func ("/assign/partners/none", test_none);
  return g_test_run ();
}
