/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One table of keys, their stage and their names.
 */
#include "app/document/needed-conditions.h"

#include <glib/gi18n.h>

static const struct
{
  const char *key;
  gboolean of_cavity; /* entered in the stage Cavity, else in Data */
  const char *name;   /* NULL: it depends */
} conditions[] = {
  { "temperature", FALSE, N_ ("Temperature") },
  { "pressure", FALSE, N_ ("Pressure") },
  { "mole_fraction", FALSE, N_ ("Mole fraction") },
  { "molar_mass", FALSE, N_ ("Molar mass") },
  { "cavity", TRUE, N_ ("Geometry") },
  { "cavity_length", TRUE, NULL },
  { "finesse", TRUE, N_ ("Mirrors (finesse, reflectivity, ring-down time or mode width)") },
};

static const char *const mirror_keys[]
    = { "finesse",          "mirror_reflectivity", "ring_down_time",
        "cavity_linewidth", "finesse_table",       NULL };

const char *
faint_cavity_length_in_words (FaintGeometry geometry)
{
  switch (geometry)
    {
    case FAINT_GEOMETRY_RING:
      return _ ("Round-trip length");
    case FAINT_GEOMETRY_NONE:
      return _ ("Path length");
    default:
      return _ ("Mirror spacing");
    }
}

static gboolean
is_mirror_missing (const FaintSetup *setup)
{
  if (setup->geometry_stated && setup->geometry == FAINT_GEOMETRY_NONE)
    return FALSE;
  return setup->mirror_kind != FAINT_MIRROR_TABLE
         && (setup->mirror_kind == FAINT_MIRROR_UNKNOWN
             || !faint_quantity_is_known (setup->mirror));
}

gboolean
faint_condition_is_missing (const FaintSetup *setup, const char *key)
{
  if (g_strv_contains (mirror_keys, key))
    return is_mirror_missing (setup);
  for (guint i = 0; i < G_N_ELEMENTS (conditions); i++)
    if (g_str_equal (conditions[i].key, key))
      {
        g_autofree char *text = faint_setup_get (setup, key);

        return text == NULL;
      }
  return FALSE;
}

/* Those of one stage, after its name; nothing where none is missing. */
static void
append_stage (GString *words, const FaintSetup *setup, gboolean of_cavity)
{
  g_autoptr (GString) names = g_string_new (NULL);

  for (guint i = 0; i < G_N_ELEMENTS (conditions); i++)
    if (conditions[i].of_cavity == of_cavity
        && faint_condition_is_missing (setup, conditions[i].key))
      g_string_append_printf (names, "%s%s", names->len > 0 ? ", " : "",
                              conditions[i].name ? _ (conditions[i].name)
                                                 : faint_cavity_length_in_words (setup->geometry));
  if (names->len == 0)
    return;
  g_string_append (words, words->len > 0 ? "\n" : "");
  /* Translators: names of quantities that are entered in a stage */
  g_string_append_printf (
      words, of_cavity ? _ ("Enter in stage Cavity: %s.") : _ ("Enter in stage Data: %s."),
      names->str);
}

char *
faint_needed_in_words (const FaintAnalysis *analysis)
{
  gsize n = faint_analysis_get_n_spectra (analysis);

  for (gsize i = 0; i < n; i++)
    {
      const FaintSetup *setup = faint_analysis_get_spectrum_at (analysis, i)->setup;
      g_autoptr (GString) words = g_string_new (NULL);
      g_autofree char *of = NULL;

      append_stage (words, setup, FALSE);
      append_stage (words, setup, TRUE);
      if (words->len == 0)
        continue;
      if (n == 1)
        return g_string_free (g_steal_pointer (&words), FALSE);
      /* Translators: which of how many spectra, and what is to be entered for it */
      return g_strdup_printf (_ ("Spectrum %u of %u: %s"), (guint)i + 1, (guint)n, words->str);
    }
  return NULL;
}

gboolean
faint_needed_find (const FaintAnalysis *analysis, gsize *spectrum)
{
  for (gsize n = faint_analysis_get_n_spectra (analysis); *spectrum < n; (*spectrum)++)
    for (guint i = 0; i < G_N_ELEMENTS (conditions); i++)
      if (faint_condition_is_missing (faint_analysis_get_spectrum_at (analysis, *spectrum)->setup,
                                      conditions[i].key))
        return TRUE;
  return FALSE;
}
