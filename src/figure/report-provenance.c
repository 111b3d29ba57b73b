/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where the numbers come from: inputs, settings, and what was done by hand.
 */
#include "figure/report-private.h"

#include "faint/analysis/analysis-levels.h"
#include "faint/base/text.h"

static void
add_input (FaintReport *self, const char *path, const char *sha256, gboolean changed)
{
  g_autofree char *base = g_path_get_basename (path);
  g_autofree char *name = faint_paper_escape (base);
  g_autofree char *value = g_strdup_printf (
      "%s%s\n<span font_family=\"monospace\" size=\"82%%\">SHA-256 %s</span>", name,
      changed ? "   (not the file that the analysis was made of: its content has changed)" : "",
      sha256);
  faint_paper_pair (self->paper, "input", value);
}

/* Every option of the fit; those that are not the default stand out. */
static void
add_settings (FaintReport *self)
{
  const FaintFitOptions *options
      = self->fit != NULL ? &self->fit->options : faint_analysis_get_options (self->analysis);
  FaintFitOptions usual;
  GString *text = g_string_new (NULL), *changed = g_string_new (NULL);

  faint_fit_options_init (&usual);
  for (const char *const *key = faint_fit_option_keys (); *key != NULL; key++)
    {
      g_autofree char *value = faint_fit_options_get (options, *key);
      g_autofree char *usually = faint_fit_options_get (&usual, *key);
      gboolean empty = value == NULL || value[0] == '\0';

      if (!empty)
        g_string_append_printf (text, "%s%s = %s", text->len > 0 ? "; " : "", *key, value);
      if (g_strcmp0 (value, usually) != 0)
        g_string_append_printf (changed, "%s%s = %s instead of %s", changed->len > 0 ? ";  " : "",
                                *key, empty ? "nothing" : value,
                                usually == NULL || usually[0] == '\0' ? "nothing" : usually);
    }
  g_autofree char *settings = faint_paper_escape (text->str);
  g_autofree char *by_hand = faint_paper_escape (changed->len > 0 ? changed->str : "none");
  faint_paper_pair (self->paper, "settings", settings);
  faint_paper_pair (self->paper, "changed from default", by_hand);
  g_string_free (text, TRUE);
  g_string_free (changed, TRUE);
}

void
faint_report_header (FaintReport *self)
{
  gsize n;
  const FaintSetupKey *keys = faint_setup_keys (&n);
  GString *text = g_string_new (NULL);

  for (gsize i = 0; i < n; i++)
    {
      g_autofree char *value = faint_setup_get (self->setup, keys[i].key);
      g_autofree char *u_key = g_strdup_printf ("u(%s)", keys[i].key);
      g_autofree char *u
          = keys[i].kind == FAINT_SETUP_KIND_QUANTITY ? faint_setup_get (self->setup, u_key) : NULL;
      gboolean is_words
          = keys[i].kind == FAINT_SETUP_KIND_FILE || keys[i].kind == FAINT_SETUP_KIND_TEXT;
      if (value == NULL || value[0] == '\0' || is_words)
        continue;
      g_string_append_printf (text, "%s%s = %s", text->len > 0 ? "; " : "", keys[i].key, value);
      if (u != NULL && u[0] != '\0')
        g_string_append_printf (text, "; %s = %s", u_key, u);
    }
  g_autofree char *header = g_string_free (text, FALSE);
  g_autofree char *markup = faint_paper_escape (header);
  faint_paper_pair (self->paper, "conditions as entered", markup);
}

/* Of the first spectrum that states them; a series has one file for all. */
static void
add_partition_sums (FaintReport *self)
{
  const char *path = self->setup->partition_sums;
  g_autoptr (FaintText) text = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *base = NULL, *name = NULL, *value = NULL;

  if (path == NULL || path[0] == '\0')
    return;
  text = faint_text_read (path, &error);
  base = g_path_get_basename (path);
  name = faint_paper_escape (base);
  value = text != NULL ? g_strdup_printf (
              "%s\n<span font_family=\"monospace\" size=\"82%%\">SHA-256 %s</span>", name,
              text->sha256)
                       : g_strdup_printf ("%s   (cannot be read now)", name);
  faint_paper_pair (self->paper, "partition sums", value);
}

/* What lines were assigned with. */
static void
add_levels (FaintReport *self)
{
  const FaintAnalysisLevels *levels = faint_analysis_get_levels (self->analysis);
  g_autofree char *base = levels->path != NULL ? g_path_get_basename (levels->path) : NULL;
  g_autofree char *name = base != NULL ? faint_paper_escape (base) : NULL;
  g_autofree char *value = g_strdup_printf (
      "%s%s\n<span font_family=\"monospace\" size=\"82%%\">SHA-256 %s</span>", name,
      levels->levels == NULL ? "   (cannot be read now)" : "", levels->sha256);

  if (name != NULL)
    faint_paper_pair (self->paper, "levels of the lower state", value);
}

static void
add_start (FaintReport *self)
{
  const char *stored = self->stored != NULL ? self->stored : "analysis.faintline";
  const char *const words[] = { "fit", stored, "--out", "FOLDER", NULL };
  g_autofree char *command
      = self->repeat != NULL ? g_strdup (self->repeat) : faint_report_command (words);
  g_autofree char *repeat = g_strconcat (
      command, " with the inputs named here; on one machine the numbers are the same bit for bit",
      NULL);
  FaintAnalysisResult result;

  if (!faint_analysis_get_result (self->analysis, &result))
    return;
  faint_paper_pair (self->paper, "lines to begin with",
                    self->start != NULL ? self->start
                    : faint_analysis_get_found (self->analysis)
                        ? "found in the spectrum, by the threshold among the settings"
                        : "given, as the analysis file holds them");
  faint_paper_pair (self->paper, "to repeat it", repeat);
}

void
faint_report_provenance (FaintReport *self)
{
  gsize n;
  const FaintAnalysisInput *inputs = faint_analysis_get_inputs (self->analysis, &n);

  faint_paper_heading (self->paper, "Provenance");
  faint_paper_pair (self->paper, "program", "Faintline " FAINT_VERSION);
  for (gsize i = 0; i < n; i++)
    add_input (self, inputs[i].path, inputs[i].sha256, inputs[i].changed);
  if (n == 0)
    faint_paper_pair (self->paper, "input", "a spectrum in memory, from no file");
  add_partition_sums (self);
  add_levels (self);
  add_start (self);
  add_settings (self);
  faint_report_header (self);
}

static const FaintPaperColumn record_columns[]
    = { { "time (UTC)", 1.0, FAINT_PAPER_LEFT }, { "what was done", 4.4, FAINT_PAPER_LEFT } };

void
faint_report_record (FaintReport *self)
{
  guint n = faint_analysis_count_changes (self->analysis);

  if (n == 0)
    {
      faint_paper_pair (self->paper, "record of changes", "nothing was changed by hand");
      return;
    }
  faint_paper_heading (self->paper, "Record of changes");
  faint_paper_table (self->paper, record_columns, G_N_ELEMENTS (record_columns));
  for (guint i = 0; i < n; i++)
    {
      const FaintAnalysisChange *change = faint_analysis_get_change (self->analysis, i);
      char **cells = g_new0 (char *, G_N_ELEMENTS (record_columns));
      cells[0] = g_strdup (change->time[0] != '\0' ? change->time : "–");
      cells[1] = g_strdup (change->text);
      faint_paper_row (self->paper, cells);
    }
  faint_paper_table_end (self->paper);
}
