/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An assignment in one entry of a record.
 */
#include "faint/assign/assignment.h"

#include <string.h>

#include "faint/base/quantity.h"
#include "faint/base/words.h"

static void
append_option (GString *text, const char *key, const char *value, const char *usually)
{
  if (g_strcmp0 (value, usually) == 0)
    return;
  if (text->len > 0)
    g_string_append (text, ", ");
  g_string_append_printf (text, N_ ("%s = %s instead of %s"), key, value, usually);
}

/* Those that are not the usual ones; "" where all are. Free with g_free. */
static char *
options_in_words (const FaintAssignmentOptions *options, const FaintLevels *levels)
{
  GString *text = g_string_new (NULL);
  FaintAssignmentOptions usual;

  faint_assignment_options_init (&usual, levels);
  for (const char *const *key = faint_assignment_option_keys (); *key != NULL; key++)
    {
      g_autofree char *value = faint_assignment_options_get (options, *key);
      g_autofree char *usually = faint_assignment_options_get (&usual, *key);

      append_option (text, *key, value, usually);
    }
  for (guint lower = 0; lower < 2; lower++)
    for (FaintConstant i = 0; i < FAINT_CONSTANT_N; i++)
      {
        g_autofree char *name = lower ? g_strdup_printf (N_ ("lower %s"), faint_constant_name (i))
                                      : g_strdup (faint_constant_name (i));
        gboolean is_free = (lower ? options->band.lower : options->band.upper)[i];
        gboolean was_free = (lower ? usual.band.lower : usual.band.upper)[i];

        append_option (text, name, is_free ? N_ ("free") : N_ ("held"),
                       was_free ? N_ ("free") : N_ ("held"));
      }
  append_option (text, "lower_constants", options->lower_constants ? N_ ("yes") : N_ ("no"),
                 usual.lower_constants ? N_ ("yes") : N_ ("no"));
  append_option (text, "unlabelled", options->unlabelled ? N_ ("yes") : N_ ("no"),
                 usual.unlabelled ? N_ ("yes") : N_ ("no"));
  return g_string_free (text, FALSE);
}

char *
faint_assignment_describe (const FaintAssignment *self, const char *levels_path,
                           const char *levels_sha256)
{
  guint n_bands = self->bands->len, n_chains = self->undecided->len;
  gboolean sealed = levels_sha256 != NULL && *levels_sha256 != '\0';
  g_autofree char *name
      = levels_path != NULL ? g_path_get_basename (levels_path) : g_strdup (N_ ("no file"));
  g_autofree char *levels
      = sealed ? g_strdup_printf (N_ ("%s, SHA-256 %s"), name, levels_sha256) : g_strdup (name);
  g_autofree char *bands
      = g_strdup_printf (n_bands == 1 ? N_ ("%u band") : N_ ("%u bands"), n_bands);
  g_autofree char *chains = g_strdup_printf (
      n_chains == 1 ? N_ ("%u chain left undecided") : N_ ("%u chains left undecided"), n_chains);
  g_autofree char *options = options_in_words (&self->options, self->levels);
  char chance[G_ASCII_DTOSTR_BUF_SIZE];

  g_ascii_formatd (chance, sizeof chance, "%.3g", self->chance);
  return g_strdup_printf (
      N_ ("%u of %zu lines assigned automatically, %s, with the levels of %s; %u combination "
          "differences, %s expected by chance; %s; options: %s"),
      self->lines->len, self->n_observed, bands, levels, self->n_candidates, chance, chains,
      *options != '\0' ? options : N_ ("the usual"));
}
