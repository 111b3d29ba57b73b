/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "common.h"

#include "faint/base/files.h"
#include "faint/simulate/scene.h"

#include <stdio.h>
#include <string.h>

typedef struct
{
  char *out, *seed_text, *truth;
  char **inputs, **settings;
  guint64 seed;
} Choices;

static void
choices_clear (Choices *self)
{
  g_free (self->out);
  g_free (self->seed_text);
  g_free (self->truth);
  g_strfreev (self->inputs);
  g_strfreev (self->settings);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Choices, choices_clear)

static gboolean
choices_parse (Choices *self, char **arguments)
{
  const GOptionEntry entries[] = {
    { "out", 'o', 0, G_OPTION_ARG_FILENAME, &self->out, "Write the comb table to FILE", "FILE" },
    { "seed", 's', 0, G_OPTION_ARG_FILENAME, &self->seed_text,
      "Begin the noise with N (default 1); the same N gives the same file", "N" },
    { "set", 0, 0, G_OPTION_ARG_FILENAME_ARRAY, &self->settings,
      "State or replace what the scene says, --set pressure='1.3 hPa'; repeatable", "KEY=VALUE" },
    { "truth", 't', 0, G_OPTION_ARG_FILENAME, &self->truth,
      "Write the lines as they were put in to FILE, as a CSV line list", "FILE" },
    G_OPTION_ENTRY_NULL,
  };
  const char *verb = faint_verb_simulate.name;

  self->seed = 1;
  if (!faint_parse_arguments (&faint_verb_simulate, "SCENE",
                              "The scene's format is described in docs/formats.md.", entries,
                              arguments, &self->inputs)
      || !faint_parse_count (verb, "--seed", self->seed_text, 0, G_MAXUINT64, &self->seed))
    return FALSE;
  if (self->inputs == NULL || self->inputs[1] != NULL)
    faint_wrong_use (verb, "One scene is needed, found %u.",
                     self->inputs != NULL ? g_strv_length (self->inputs) : 0);
  else if (self->out == NULL)
    faint_wrong_use (verb, "--out FILE is needed: where the comb table is written.");
  else
    return TRUE;
  return FALSE;
}

/* The truth goes first: the comb table, when it is there, is complete. */
static gboolean
write_results (const Choices *choices, const FaintScene *scene, const FaintSpectrum *spectrum,
               GError **error)
{
  if (choices->truth != NULL)
    {
      g_autoptr (FaintLineList) lines = faint_scene_truth (scene);
      FaintLineListAbout about
          = { .title = spectrum->setup->title, .setup = spectrum->setup, .chi2_reduced = NAN };
      g_autofree char *text = faint_line_list_to_csv (lines, &about);

      if (!faint_files_write (choices->truth, text, strlen (text), error))
        return FALSE;
    }
  return faint_scene_write (scene, spectrum, choices->out, error);
}

static int
simulate (char **arguments)
{
  g_auto (Choices) choices = { 0 };
  g_autoptr (FaintScene) scene = NULL;
  g_autoptr (FaintSpectrum) spectrum = NULL;
  GError *error = NULL;

  if (!choices_parse (&choices, arguments))
    return FAINT_EXIT_WRONG_USE;
  scene = faint_scene_read_with (choices.inputs[0], (const char *const *)choices.settings, &error);
  if (g_error_matches (error, FAINT_SCENE_ERROR, FAINT_SCENE_ERROR_SETTING))
    {
      faint_wrong_use (faint_verb_simulate.name, "--set: %s", error->message);
      g_error_free (error);
      return FAINT_EXIT_WRONG_USE;
    }
  if (scene != NULL)
    spectrum = faint_scene_simulate (scene, choices.seed, faint_terminal_progress (), &error);
  if (spectrum == NULL || !write_results (&choices, scene, spectrum, &error))
    return faint_fail (error);
  faint_progress_stage (1.0, 1.0);
  printf ("%s: %" G_GSIZE_FORMAT " teeth, seed %" G_GUINT64_FORMAT "\n", choices.out, spectrum->n,
          choices.seed);
  return FAINT_EXIT_DONE;
}

const FaintVerb faint_verb_simulate = {
  .name = "simulate",
  .purpose = "Make a comb table with noise from a scene of conditions, cavity and lines",
  .run = simulate,
};
