/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An assignment in one entry of a record.
 */
#include "faint/assign/assignment.h"

#include <string.h>

#include "faint/base/quantity.h"

static void
append_option (GString *text, const char *key, const char *value, const char *usually)
{
  if (g_strcmp0 (value, usually) != 0)
    g_string_append_printf (text, "%s%s = %s instead of %s", text->len > 0 ? ", " : "", key, value,
                            usually);
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
        g_autofree char *name
            = g_strdup_printf ("%s%s", lower ? "lower " : "", faint_constant_name (i));
        gboolean is_free = (lower ? options->band.lower : options->band.upper)[i];
        gboolean was_free = (lower ? usual.band.lower : usual.band.upper)[i];

        append_option (text, name, is_free ? "free" : "held", was_free ? "free" : "held");
      }
  append_option (text, "lower_constants", options->lower_constants ? "yes" : "no",
                 usual.lower_constants ? "yes" : "no");
  append_option (text, "unlabelled", options->unlabelled ? "yes" : "no",
                 usual.unlabelled ? "yes" : "no");
  return g_string_free (text, FALSE);
}

char *
faint_assignment_describe (const FaintAssignment *self, const char *levels_path,
                           const char *levels_sha256)
{
  g_autofree char *name
      = levels_path != NULL ? g_path_get_basename (levels_path) : g_strdup ("no file");
  g_autofree char *options = options_in_words (&self->options, self->levels);
  char chance[G_ASCII_DTOSTR_BUF_SIZE];

  g_ascii_formatd (chance, sizeof chance, "%.3g", self->chance);
  return g_strdup_printf (
      "%u of %" G_GSIZE_FORMAT
      " lines assigned automatically, %u band%s, with the levels of %s%s%s; "
      "%u combination differences, %s expected by chance; %u chain%s left undecided; options: %s",
      self->lines->len, self->n_observed, self->bands->len, self->bands->len == 1 ? "" : "s", name,
      levels_sha256 != NULL && *levels_sha256 != '\0' ? ", SHA-256 " : "",
      levels_sha256 != NULL ? levels_sha256 : "", self->n_candidates, chance, self->undecided->len,
      self->undecided->len == 1 ? "" : "s", *options != '\0' ? options : "the usual");
}
