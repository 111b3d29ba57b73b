/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The record of changes: what was done by hand, told from the states before and after.
 */
#include <string.h>

#include "faint/analysis/analysis-private.h"
#include "faint/base/words.h"

/* More than these are counted, not told one by one. */
#define MOST_TOLD 6

/* What is being told. */
typedef struct
{
  GString *text;
  guint told, left;
} Words;

static void
change_free (gpointer data)
{
  FaintAnalysisChange *change = data;

  g_free (change->time);
  g_free (change->text);
  g_free (change);
}

GPtrArray *
faint_analysis_changes_new (void)
{
  return g_ptr_array_new_with_free_func (change_free);
}

void
faint_analysis_changes_add (GPtrArray *changes, const char *time, const char *text)
{
  FaintAnalysisChange *change = g_new (FaintAnalysisChange, 1);

  change->time = g_strdup (time != NULL ? time : "");
  change->text = g_strdup (text);
  g_ptr_array_add (changes, change);
}

guint
faint_analysis_count_changes (const FaintAnalysis *self)
{
  return self->changes->len;
}

const FaintAnalysisChange *
faint_analysis_get_change (const FaintAnalysis *self, guint i)
{
  g_return_val_if_fail (i < self->changes->len, NULL);
  return g_ptr_array_index (self->changes, i);
}

FaintAnalysis *
faint_analysis_with_change (const FaintAnalysis *self, const FaintAnalysis *before,
                            const char *time, const char *text)
{
  FaintAnalysis *copy = faint_analysis_copy (self);
  GPtrArray *changes = faint_analysis_changes_new ();

  for (guint i = 0; i < before->changes->len; i++)
    {
      const FaintAnalysisChange *change = g_ptr_array_index (before->changes, i);
      faint_analysis_changes_add (changes, change->time, change->text);
    }
  if (text != NULL && text[0] != '\0')
    faint_analysis_changes_add (changes, time, text);
  g_ptr_array_unref (copy->changes);
  copy->changes = changes;
  return copy;
}

static void G_GNUC_PRINTF (2, 3) tell (Words *words, const char *format, ...)
{
  va_list arguments;

  if (words->told == MOST_TOLD)
    {
      words->left++;
      return;
    }
  if (words->told++ > 0)
    g_string_append (words->text, "; ");
  va_start (arguments, format);
  g_string_append_vprintf (words->text, format, arguments);
  va_end (arguments);
}

static char *
number (double value)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE];

  return isfinite (value) ? g_strdup (g_ascii_formatd (text, sizeof text, "%.9g", value))
                          : g_strdup (N_ ("unknown"));
}

static char *
name_of (const FaintLine *line)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE];

  g_ascii_formatd (text, sizeof text, "%.4f", line->position.value);
  return g_strdup_printf (N_ ("line %u at %s cm-1"), line->id, text);
}

static const char *
words_of_place (FaintPlace place)
{
  static const char *const words[FAINT_PLACE_N]
      = { [FAINT_PLACE_POSITION] = N_ ("position"),
          [FAINT_PLACE_STRENGTH] = N_ ("strength"),
          [FAINT_PLACE_LORENTZ] = N_ ("Lorentz width"),
          [FAINT_PLACE_DOPPLER] = N_ ("Doppler width"),
          [FAINT_PLACE_SPEED_WIDTH] = N_ ("speed dependence of the width"),
          [FAINT_PLACE_SPEED_SHIFT] = N_ ("speed dependence of the shift"),
          [FAINT_PLACE_VELOCITY_CHANGING] = N_ ("rate of velocity-changing collisions"),
          [FAINT_PLACE_CORRELATION] = N_ ("correlation of collisions") };
  return words[place];
}

static const char *
unit_of_place (FaintPlace place)
{
  return place == FAINT_PLACE_STRENGTH      ? " cm/molecule"
         : place == FAINT_PLACE_CORRELATION ? ""
                                            : " cm-1";
}

static gboolean
same_number (double a, double b)
{
  return a == b || (isnan (a) && isnan (b));
}

static void
tell_parameter (Words *words, const char *name, FaintPlace place, const FaintParameter *origin,
                const FaintParameter *before, const FaintParameter *after)
{
  const char *what = words_of_place (place), *unit = unit_of_place (place);
  g_autofree char *from = number (origin->value), *to = number (after->value);
  gboolean moved = !same_number (before->value, after->value);

  if (before->state != after->state && after->state == FAINT_STATE_FIXED)
    tell (words, N_ ("%s of %s fixed at %s%s"), what, name, to, unit);
  else if (after->state == FAINT_STATE_TIED
           && (before->state != FAINT_STATE_TIED || before->tied_to != after->tied_to
               || before->tie_factor != after->tie_factor
               || before->tie_offset != after->tie_offset))
    {
      g_autofree char *factor = number (after->tie_factor), *offset = number (after->tie_offset);
      tell (words, N_ ("%s of %s tied to line %u: %s times its own plus %s%s"), what, name,
            after->tied_to, factor, offset, unit);
    }
  else if (before->state != after->state)
    tell (words,
          after->state == FAINT_STATE_DERIVED ? N_ ("%s of %s taken from temperature and mass")
                                              : N_ ("%s of %s set free"),
          what, name);
  else if (moved && place == FAINT_PLACE_POSITION)
    tell (words, N_ ("%s moved from %s to %s cm-1"), name, from, to);
  else if (moved)
    tell (words, N_ ("%s of %s set from %s to %s%s"), what, name, from, to, unit);
}

static void
tell_labels (Words *words, const char *name, const FaintLine *before, const FaintLine *after)
{
  gboolean labelled = after->upper[0] != '\0' || after->lower[0] != '\0';

  if (strcmp (before->remark, after->remark) != 0)
    tell (words, N_ ("remark of %s set to '%s'"), name, after->remark);
  if (strcmp (before->upper, after->upper) == 0 && strcmp (before->lower, after->lower) == 0)
    return;
  if (labelled)
    tell (words, N_ ("%s assigned as '%s' from '%s'"), name, after->upper, after->lower);
  else
    tell (words, N_ ("assignment of %s removed, it was '%s' from '%s'"), name, before->upper,
          before->lower);
}

/* @before and @after of the same id; @origin where it began, with @before's id too. */
static void
tell_line (Words *words, const FaintLine *origin, const FaintLine *before, const FaintLine *after)
{
  g_autofree char *name = name_of (origin);
  gboolean excluded = (after->flags & FAINT_LINE_EXCLUDED) != 0;

  for (FaintPlace place = 0; place < FAINT_PLACE_N; place++)
    tell_parameter (words, name, place, faint_line_peek_parameter (origin, place),
                    faint_line_peek_parameter (before, place),
                    faint_line_peek_parameter (after, place));
  if (before->profile != after->profile)
    tell (words, N_ ("profile of %s set from %s to %s"), name, faint_profile_name (before->profile),
          faint_profile_name (after->profile));
  if (((before->flags & FAINT_LINE_EXCLUDED) != 0) != excluded)
    tell (words, excluded ? N_ ("%s excluded from the model") : N_ ("%s taken back into the model"),
          name);
  if (!same_number (before->lower_energy, after->lower_energy))
    {
      g_autofree char *from = number (before->lower_energy), *to = number (after->lower_energy);
      tell (words, N_ ("lower-state energy of %s set from %s to %s cm-1"), name, from, to);
    }
  tell_labels (words, name, before, after);
}

static void
tell_lines (Words *words, const FaintLineList *origin, const FaintLineList *before,
            const FaintLineList *after)
{
  for (gsize i = 0; before != after && i < faint_line_list_get_n (before); i++)
    {
      const FaintLine *line = faint_line_list_get (before, i);
      if (faint_line_list_find (after, line->id) == NULL)
        {
          g_autofree char *name = name_of (line);
          tell (words, N_ ("%s removed"), name);
        }
    }
  for (gsize i = 0; before != after && i < faint_line_list_get_n (after); i++)
    {
      const FaintLine *line = faint_line_list_get (after, i);
      const FaintLine *former = faint_line_list_find (before, line->id);
      const FaintLine *first = faint_line_list_find (origin, line->id);

      if (former == NULL)
        {
          g_autofree char *name = name_of (line);
          tell (words, N_ ("%s added"), name);
        }
      else
        tell_line (words, first != NULL ? first : former, former, line);
    }
}

static void
tell_value (Words *words, const char *key, const char *from, const char *to)
{
  if (g_strcmp0 (from, to) == 0)
    return;
  tell (words, N_ ("%s set from %s to %s"), key,
        from != NULL && from[0] != '\0' ? from : N_ ("nothing"),
        to != NULL && to[0] != '\0' ? to : N_ ("nothing"));
}

static char *
name_of_key (const char *key, gsize part)
{
  return part > 0 ? g_strdup_printf (N_ ("%s of spectrum %zu"), key, part) : g_strdup (key);
}

/* @part from 1; 0: of one spectrum. */
static void
tell_setup (Words *words, const FaintSetup *before, const FaintSetup *after, gsize part)
{
  gsize n;
  const FaintSetupKey *keys = faint_setup_keys (&n);

  for (gsize i = 0; before != after && i < n; i++)
    {
      g_autofree char *u_key = g_strdup_printf ("u(%s)", keys[i].key);
      g_autofree char *name = name_of_key (keys[i].key, part);
      g_autofree char *u_name = name_of_key (u_key, part);
      g_autofree char *from = faint_setup_get (before, keys[i].key);
      g_autofree char *to = faint_setup_get (after, keys[i].key);
      gboolean has_u = keys[i].kind == FAINT_SETUP_KIND_QUANTITY;
      g_autofree char *u_from = has_u ? faint_setup_get (before, u_key) : NULL;
      g_autofree char *u_to = has_u ? faint_setup_get (after, u_key) : NULL;

      tell_value (words, name, from, to);
      tell_value (words, u_name, u_from, u_to);
    }
}

static void
tell_options (Words *words, const FaintFitOptions *before, const FaintFitOptions *after)
{
  for (const char *const *key = faint_fit_option_keys (); *key != NULL; key++)
    {
      g_autofree char *from = faint_fit_options_get (before, *key);
      g_autofree char *to = faint_fit_options_get (after, *key);

      tell_value (words, *key, from, to);
    }
}

/* A file by its name and the beginning of its checksum. */
static char *
name_of_file (const char *path, const char *sha256)
{
  g_autofree char *name = path != NULL ? g_path_get_basename (path) : NULL;

  return name != NULL ? g_strdup_printf ("%s (sha256 %.12s)", name, sha256) : NULL;
}

static void
tell_levels (Words *words, const FaintAnalysisLevels *before, const FaintAnalysisLevels *after)
{
  g_autofree char *from = name_of_file (before->path, before->sha256);
  g_autofree char *to = name_of_file (after->path, after->sha256);

  tell_value (words, N_ ("levels of the lower state"), from, to);
  tell_value (words, N_ ("free constants of the bands"),
              before->free_constants != NULL ? before->free_constants : N_ ("the usual"),
              after->free_constants != NULL ? after->free_constants : N_ ("the usual"));
}

static void
tell_claims (Words *words, const FaintAnalysisClaims *before, const FaintAnalysisClaims *after)
{
  g_autofree char *from = name_of_file (before->path, before->sha256);
  g_autofree char *to = name_of_file (after->path, after->sha256);
  const double numbers[][2]
      = { { before->confidence, after->confidence }, { before->coverage, after->coverage } };
  static const char *const names[]
      = { N_ ("confidence of the review"), N_ ("coverage factor of the review") };

  tell_value (words, N_ ("claimed list"), from, to);
  if (before->path == NULL || after->path == NULL)
    return;
  for (gsize i = 0; i < G_N_ELEMENTS (numbers); i++)
    {
      g_autofree char *a = faint_format_double (numbers[i][0]);
      g_autofree char *b = faint_format_double (numbers[i][1]);

      tell_value (words, names[i], a, b);
    }
  tell_value (words, N_ ("list under review"),
              before->partial ? N_ ("claims some lines only") : N_ ("complete"),
              after->partial ? N_ ("claims some lines only") : N_ ("complete"));
}

char *
faint_analysis_describe_change (const FaintAnalysis *origin, const FaintAnalysis *before,
                                const FaintAnalysis *after)
{
  Words words = { g_string_new (NULL), 0, 0 };

  for (gsize i = 0; i < MIN (origin->n_parts, after->n_parts); i++)
    {
      const FaintSetup *from = origin->parts[i].spectrum->setup;

      tell_setup (&words, from, after->parts[i].spectrum->setup, after->n_parts > 1 ? i + 1 : 0);
    }
  tell_options (&words, &origin->options, &after->options);
  tell_levels (&words, &origin->levels, &after->levels);
  tell_claims (&words, &origin->claims, &after->claims);
  tell_lines (&words, origin->lines, before->lines, after->lines);
  if (words.left > 0)
    {
      g_autofree char *told = g_strdup (words.text->str);
      g_string_printf (words.text, N_ ("%s; and %u more"), told, words.left);
    }
  return g_string_free (words.text, FALSE);
}
