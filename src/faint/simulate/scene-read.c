/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "faint/base/text.h"
#include "faint/simulate/scene-private.h"
#include "faint/simulate/scene-rows.h"

/* A key, where it stood and what it said. */
typedef struct
{
  guint64 line;
  char *text;
  gboolean setting; /* given besides the file */
} Seen;

typedef struct
{
  FaintScene *scene;
  FaintSceneRows rows;
  char *folder;
  GHashTable *seen; /* key to Seen */
  guint64 line;     /* being read */
  gboolean setting; /* what is being read was given besides the file */
} Reader;

G_DEFINE_QUARK (faint_scene_error_quark, faint_scene_error)

static void
seen_free (gpointer data)
{
  g_free (((Seen *)data)->text);
  g_free (data);
}

gboolean
faint_scene_refuse (GError **error, FaintSceneError code, const char *format, ...)
{
  va_list arguments;

  va_start (arguments, format);
  if (error != NULL)
    *error = g_error_new_valist (FAINT_SCENE_ERROR, code, format, arguments);
  va_end (arguments);
  return FALSE;
}

/* What @key said, or NULL; its line becomes the one that an error names. */
static const char *
look_up (Reader *self, const char *key)
{
  const Seen *seen = g_hash_table_lookup (self->seen, key);

  if (seen != NULL)
    {
      self->line = seen->line;
      self->setting = seen->setting;
    }
  return seen != NULL ? seen->text : NULL;
}

static gboolean
take_number (Reader *self, const char *key, double least, double *value, GError **error)
{
  const char *text = look_up (self, key);

  if (text == NULL || (faint_scene_number (text, value) && *value >= least))
    return TRUE;
  return faint_scene_refuse (error, FAINT_SCENE_ERROR_VALUE,
                             "%s: found '%s', expected a number of at least %g", key, text, least);
}

static gboolean
take_integer (Reader *self, const char *key, gint64 greatest, gint64 *value, GError **error)
{
  const char *text = look_up (self, key);

  if (text == NULL && *value > 0)
    return TRUE;
  self->line = text != NULL ? self->line : 0;
  self->setting = text != NULL && self->setting;
  if (text == NULL)
    return faint_scene_refuse (error, FAINT_SCENE_ERROR_VALUE,
                               "the key '%s' is missing; write '# %s = N'", key, key);
  if (g_ascii_string_to_signed (text, 10, 1, greatest, value, NULL))
    return TRUE;
  return faint_scene_refuse (error, FAINT_SCENE_ERROR_VALUE,
                             "%s: found '%s', expected a whole number from 1 to %" G_GINT64_FORMAT,
                             key, text, greatest);
}

/* Numbers separated by blanks, into @numbers (untouched when the key is not there). */
static gboolean
take_numbers (Reader *self, const char *key, GArray *numbers, GError **error)
{
  const char *text = look_up (self, key);
  g_auto (GStrv) words = g_strsplit_set (text != NULL ? text : "", " \t", -1);

  if (text == NULL)
    return TRUE;
  g_array_set_size (numbers, 0);
  for (char **word = words; *word != NULL; word++)
    {
      double value;
      if (**word == '\0')
        continue;
      if (!faint_scene_number (*word, &value))
        return faint_scene_refuse (error, FAINT_SCENE_ERROR_VALUE,
                                   "%s: found '%s', expected numbers separated by blanks", key,
                                   *word);
      g_array_append_val (numbers, value);
    }
  if (numbers->len > 0)
    return TRUE;
  return faint_scene_refuse (error, FAINT_SCENE_ERROR_VALUE, "%s: no number is given", key);
}

static gboolean
take_fringe (Reader *self, GError **error)
{
  g_autoptr (GArray) numbers = g_array_new (FALSE, FALSE, sizeof (double));
  FaintScene *scene = self->scene;

  if (!take_numbers (self, "fringe", numbers, error))
    return FALSE;
  if (numbers->len == 0)
    return TRUE;
  if (numbers->len != 3)
    return faint_scene_refuse (
        error, FAINT_SCENE_ERROR_VALUE,
        "fringe: found %u numbers, expected three: amplitude, period in cm-1, phase in "
        "rad",
        numbers->len);
  scene->fringe_amplitude = g_array_index (numbers, double, 0);
  scene->fringe_period = g_array_index (numbers, double, 1);
  scene->fringe_phase = g_array_index (numbers, double, 2);
  if (fabs (scene->fringe_amplitude) < 1.0 && scene->fringe_period > 0.0)
    return TRUE;
  return faint_scene_refuse (error, FAINT_SCENE_ERROR_VALUE,
                             "fringe: the amplitude must be below 1 and the period above 0");
}

/* Which of @words (NULL-terminated) the key says; *choice untouched when it is not there. */
static gboolean
take_choice (Reader *self, const char *key, const char *const *words, guint *choice, GError **error)
{
  const char *text = look_up (self, key);
  g_autofree char *all = g_strjoinv ("', '", (char **)words);

  if (text == NULL)
    return TRUE;
  for (*choice = 0; words[*choice] != NULL; (*choice)++)
    if (strcmp (words[*choice], text) == 0)
      return TRUE;
  return faint_scene_refuse (error, FAINT_SCENE_ERROR_VALUE, "%s: found '%s', expected one of '%s'",
                             key, text, all);
}

static gboolean
take_axis (Reader *self, GError **error)
{
  static const char *const words[] = { "tooth", "frequency/MHz", "wavenumber/cm-1", NULL };
  static const FaintAxis axes[] = { FAINT_AXIS_TOOTH, FAINT_AXIS_FREQUENCY, FAINT_AXIS_WAVENUMBER };
  guint choice = self->scene->interleave > 1 ? 1 : 0;

  if (!take_choice (self, "axis", words, &choice, error))
    return FALSE;
  self->scene->axis = axes[choice];
  if (self->scene->interleave == 1 || choice > 0)
    return TRUE;
  return faint_scene_refuse (
      error, FAINT_SCENE_ERROR_VALUE,
      "axis: interleaved records have no common tooth numbers; write frequency/MHz or "
      "wavenumber/cm-1");
}

static gboolean
take_write (Reader *self, GError **error)
{
  static const char *const words[]
      = { "signal reference", "transmission", "real imag", "signal reference phase/rad", NULL };
  gboolean field = self->scene->setup->observable == FAINT_OBSERVABLE_FIELD;
  guint choice = field ? FAINT_SCENE_WRITE_CARTESIAN : FAINT_SCENE_WRITE_REFERENCE;

  if (!take_choice (self, "write", words, &choice, error))
    return FALSE;
  self->scene->write = (FaintSceneWrite)choice;
  if (field == (choice >= FAINT_SCENE_WRITE_CARTESIAN))
    return TRUE;
  return faint_scene_refuse (
      error, FAINT_SCENE_ERROR_VALUE,
      "write: '%s' does not fit the observable; a field is written as 'real imag' or "
      "'signal reference phase/rad', power and amplitude as 'signal reference' or "
      "'transmission'",
      words[choice]);
}

static gboolean
take_noise (Reader *self, GError **error)
{
  static const char *const words[] = { "constant", "shot", NULL };
  FaintScene *scene = self->scene;
  guint choice = 0;

  if (!take_number (self, "noise", 0.0, &scene->noise, error)
      || !take_choice (self, "detected_noise", words, &choice, error))
    return FALSE;
  scene->shot = choice == 1;
  return TRUE;
}

static gboolean
take_span (Reader *self, GError **error)
{
  FaintScene *scene = self->scene;

  if (!take_integer (self, "first_tooth", G_MAXINT32, &scene->first_tooth, error)
      || !take_integer (self, "teeth", FAINT_SCENE_MAX_SAMPLES, &scene->teeth, error)
      || !take_integer (self, "interleave", 1000, &scene->interleave, error))
    return FALSE;
  if (scene->teeth * scene->interleave <= FAINT_SCENE_MAX_SAMPLES)
    return TRUE;
  return faint_scene_refuse (error, FAINT_SCENE_ERROR_VALUE,
                             "teeth times interleave is %" G_GINT64_FORMAT ", more than %d samples",
                             scene->teeth * scene->interleave, FAINT_SCENE_MAX_SAMPLES);
}

static gboolean
check_setup (Reader *self, GError **error)
{
  const FaintSetup *setup = self->scene->setup;

  self->line = 0;
  self->setting = FALSE;
  if (!faint_setup_check (setup, error))
    return FALSE;
  if (faint_quantity_is_known (setup->repetition_rate)
      && faint_quantity_is_known (setup->offset_frequency))
    return TRUE;
  return faint_scene_refuse (
      error, FAINT_SCENE_ERROR_VALUE,
      "repetition_rate and offset_frequency are needed; write '# repetition_rate = 250 "
      "MHz' and the like");
}

/* The list, built from all rows. */
static gboolean
take_lines (Reader *self, GError **error)
{
  const char *name = look_up (self, "lines");

  if (name != NULL)
    {
      g_autofree char *path = g_canonicalize_filename (name, self->folder);
      if (self->rows.lines->len > 0)
        return faint_scene_refuse (error, FAINT_SCENE_ERROR_SYNTAX,
                                   "lines: the scene has rows of lines too; give one or the other");
      if (!faint_scene_rows_file (&self->rows, path, error))
        return FALSE;
    }
  self->line = 0;
  self->setting = FALSE;
  if (!faint_scene_settle_lines (self->rows.lines, self->scene->setup, error))
    return FALSE;
  self->scene->lines = faint_line_list_new ((const FaintLine *)(const void *)self->rows.lines->data,
                                            self->rows.lines->len);
  return TRUE;
}

/* Keys of the scene; all others are the setup's. "columns" is taken when it is read. */
static const char *const own_keys[]
    = { "first_tooth",    "teeth",           "interleave", "noise", "detected_noise",
        "baseline",       "fringe",          "axis",       "write", "lines",
        "baseline_phase", "reference_level", "columns",    NULL };

/* A key of the setup. An unknown one is an error here: a misspelt word in a scene would otherwise
 * change the simulation without a sign. */
static gboolean
set_setup_key (Reader *self, const char *key, const char *text, const char *folder, GError **error)
{
  GError *inner = NULL;

  if (faint_setup_set (self->scene->setup, key, text, folder, &inner))
    return TRUE;
  if (g_error_matches (inner, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_KEY))
    {
      g_autofree char *own = g_strjoinv (", ", (char **)own_keys);
      g_clear_error (&inner);
      return faint_scene_refuse (
          error, FAINT_SCENE_ERROR_SYNTAX,
          "the key '%s' is not known; a scene has the keys of a comb table and %s", key, own);
    }
  g_propagate_error (error, inner);
  return FALSE;
}

static gboolean
set_key (Reader *self, const char *key, const char *text, GError **error)
{
  const Seen *before = g_hash_table_lookup (self->seen, key);
  Seen *seen;

  if (before != NULL && strcmp (before->text, text) == 0)
    return TRUE;
  if (before != NULL)
    return faint_scene_refuse (error, FAINT_SCENE_ERROR_SYNTAX,
                               "the key '%s' was given in line %" G_GUINT64_FORMAT
                               " with another value",
                               key, before->line);
  seen = g_new (Seen, 1);
  *seen = (Seen){ self->line, g_strdup (text), FALSE };
  g_hash_table_insert (self->seen, g_strdup (key), seen);
  if (strcmp (key, "columns") == 0)
    return faint_scene_rows_columns (&self->rows, text, error);
  if (g_strv_contains (own_keys, key))
    return TRUE;
  return set_setup_key (self, key, text, self->folder, error);
}

/* "# key = value" sets a key; a '#' line whose left side is no key is a remark. */
static gboolean
read_note (Reader *self, const char *note, GError **error)
{
  const char *equals = strchr (note, '=');
  g_autofree char *key = NULL;
  g_autofree char *text = NULL;

  if (equals == NULL)
    return TRUE;
  key = g_strstrip (g_strndup (note, equals - note));
  if (key[0] == '\0' || key[strspn (key, "abcdefghijklmnopqrstuvwxyz0123456789_()")] != '\0')
    return TRUE;
  text = g_strstrip (g_strdup (equals + 1));
  return set_key (self, key, text, error);
}

static gboolean
read_line (Reader *self, const char *line, GError **error)
{
  if (self->line == 1 && strcmp (line, "# scene 1") != 0)
    {
      g_autofree char *cut = faint_text_quote (line, -1, 40);

      return faint_scene_refuse (error, FAINT_SCENE_ERROR_SYNTAX,
                                 "found '%s', expected '# scene 1'; this is not a scene", cut);
    }
  if (line[0] == '#')
    return read_note (self, line + 1, error);
  if (line[0] == '\0')
    return TRUE;
  return faint_scene_rows_add (&self->rows, line, error);
}

/* One "key=value" over what the file says; names of files are seen from the current folder. */
static gboolean
apply_setting (Reader *self, const char *setting, GError **error)
{
  g_auto (GStrv) parts = g_strsplit (setting, "=", 2);
  const char *key, *text;
  Seen *seen;

  if (g_strv_length (parts) != 2)
    return faint_scene_refuse (error, FAINT_SCENE_ERROR_SETTING, "found '%s', expected KEY=VALUE",
                               setting);
  key = g_strstrip (parts[0]);
  text = g_strstrip (parts[1]);
  if (strcmp (key, "columns") == 0)
    return faint_scene_refuse (error, FAINT_SCENE_ERROR_SETTING,
                               "columns: the rows of the scene are under those that it names");
  if (!g_strv_contains (own_keys, key))
    return set_setup_key (self, key, text, NULL, error);
  seen = g_new (Seen, 1);
  *seen = (Seen){
    0, strcmp (key, "lines") == 0 ? g_canonicalize_filename (text, NULL) : g_strdup (text), TRUE
  };
  g_hash_table_insert (self->seen, g_strdup (key), seen);
  return TRUE;
}

static gboolean
apply_settings (Reader *self, const char *const *settings, GError **error)
{
  self->line = 0;
  self->setting = TRUE;
  for (; settings != NULL && *settings != NULL; settings++)
    if (!apply_setting (self, *settings, error))
      return FALSE;
  return TRUE;
}

static gboolean
read_all (Reader *self, const FaintText *text, const char *const *settings, GError **error)
{
  FaintLines lines = { .text = text };

  while (faint_text_next_line (&lines))
    {
      g_autofree char *line = g_strstrip (g_strndup (lines.line, lines.length));
      self->line = lines.number;
      if (!read_line (self, line, error))
        return FALSE;
    }
  return apply_settings (self, settings, error) && check_setup (self, error)
         && take_span (self, error) && take_axis (self, error) && take_write (self, error)
         && take_noise (self, error)
         && take_numbers (self, "baseline", self->scene->baseline, error)
         && take_numbers (self, "baseline_phase", self->scene->baseline_phase, error)
         && take_fringe (self, error)
         && take_number (self, "reference_level", G_MINDOUBLE, &self->scene->reference_level, error)
         && take_lines (self, error);
}

static FaintScene *
scene_new (const char *path)
{
  const double one = 1.0;
  FaintScene *self = g_new0 (FaintScene, 1);

  self->path = g_strdup (path);
  self->setup = faint_setup_new ();
  self->interleave = 1;
  self->reference_level = 1.0;
  self->baseline = g_array_new (FALSE, FALSE, sizeof (double));
  g_array_append_val (self->baseline, one);
  self->baseline_phase = g_array_new (FALSE, FALSE, sizeof (double));
  return self;
}

/* Says where: in the file, in the whole of it, or in a setting, whose key the message begins with.
 */
static void
propagate (const Reader *self, const char *path, GError *inner, GError **error)
{
  if (self->setting)
    {
      g_set_error_literal (error, FAINT_SCENE_ERROR, FAINT_SCENE_ERROR_SETTING, inner->message);
      g_error_free (inner);
      return;
    }
  if (self->line > 0)
    g_prefix_error (&inner, "%s, line %" G_GUINT64_FORMAT ": ", path, self->line);
  else
    g_prefix_error (&inner, "%s: ", path);
  g_propagate_error (error, inner);
}

FaintScene *
faint_scene_read_with (const char *path, const char *const *settings, GError **error)
{
  g_autoptr (FaintText) text = faint_text_read (path, error);
  g_autofree char *absolute = g_canonicalize_filename (path, NULL);
  Reader reader = { NULL };
  GError *inner = NULL;

  if (text == NULL)
    return NULL;
  reader.scene = scene_new (path);
  reader.folder = g_path_get_dirname (absolute);
  reader.seen = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, seen_free);
  faint_scene_rows_init (&reader.rows);
  if (!read_all (&reader, text, settings, &inner))
    {
      propagate (&reader, path, inner, error);
      g_clear_pointer (&reader.scene, faint_scene_free);
    }
  faint_scene_rows_clear (&reader.rows);
  g_hash_table_unref (reader.seen);
  g_free (reader.folder);
  return reader.scene;
}

FaintScene *
faint_scene_read (const char *path, GError **error)
{
  return faint_scene_read_with (path, NULL, error);
}

void
faint_scene_free (FaintScene *self)
{
  if (self == NULL)
    return;
  g_free (self->path);
  faint_setup_unref (self->setup);
  g_array_unref (self->baseline);
  g_array_unref (self->baseline_phase);
  faint_line_list_unref (self->lines);
  g_free (self);
}
