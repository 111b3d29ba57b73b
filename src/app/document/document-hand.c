/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is set by hand in the plot: positions, widths, teeth, the range.
 */
#include "app/document/document-private.h"

#include <glib/gi18n.h>
#include <string.h>

/* What a hand has set follows no other line. */
static void
set_by_hand (FaintParameter *parameter, double value)
{
  parameter->value = value;
  parameter->u = parameter->u_noise = NAN;
  if (parameter->state != FAINT_STATE_TIED)
    return;
  parameter->state = FAINT_STATE_FREE;
  parameter->tied_to = 0;
  parameter->tie_factor = 1.0;
  parameter->tie_offset = 0.0;
}

void
faint_document_set_width (FaintDocument *self, guint id, double lorentz)
{
  const FaintLine *found = faint_document_get_line (self, id);
  FaintLine line;
  g_autoptr (FaintLineList) lines = NULL;
  g_autofree char *label = NULL, *key = NULL;

  if (found == NULL || !(lorentz >= 0) || found->lorentz.value == lorentz)
    return;
  line = *found;
  set_by_hand (&line.lorentz, lorentz);
  lines = faint_line_list_with_replaced (faint_analysis_get_lines (self->analysis), &line);
  label = _faint_document_label_of_line (_ ("Change Width of Line %s"), line.position.value);
  key = g_strdup_printf ("width-%u", id);
  _faint_document_edit_lines (self, lines, label, key);
}

void
faint_document_move_line (FaintDocument *self, guint id, double wavenumber)
{
  const FaintLine *found = faint_document_get_line (self, id);
  FaintLine line;
  g_autoptr (FaintLineList) lines = NULL;
  g_autofree char *label = NULL, *key = NULL;

  if (found == NULL || !isfinite (wavenumber) || found->position.value == wavenumber)
    return;
  line = *found;
  set_by_hand (&line.position, wavenumber);
  lines = faint_line_list_with_replaced (faint_analysis_get_lines (self->analysis), &line);
  label = _faint_document_label_of_line (_ ("Move Line %s"), wavenumber);
  key = g_strdup_printf ("move-%u", id);
  _faint_document_edit_lines (self, lines, label, key);
}

/* "Exclude 14 Teeth at 7790.220" */
static char *
label_of_teeth (gboolean exclude, gsize n, double wavenumber)
{
  char number[G_ASCII_DTOSTR_BUF_SIZE];

  g_ascii_formatd (number, sizeof number, "%.3f", wavenumber);
  return g_strdup_printf (
      exclude ? ngettext ("Exclude %u Tooth at %s", "Exclude %u Teeth at %s", n)
              : ngettext ("Take Back %u Tooth at %s", "Take Back %u Teeth at %s", n),
      (guint)n, number);
}

gsize
faint_document_exclude_teeth (FaintDocument *self, double lower, double upper, gboolean exclude)
{
  FaintSpectrum *spectrum = faint_document_get_spectrum (self);
  g_autoptr (GArray) ranges = NULL;
  g_autoptr (FaintSetup) setup = NULL;
  g_autofree char *text = NULL, *label = NULL;
  gsize n = 0;

  if (spectrum == NULL)
    return 0;
  ranges = faint_spectrum_excluding (spectrum, lower, upper, exclude, &n);
  if (n == 0)
    return 0;
  setup = faint_document_copy_setup (self);
  text = faint_setup_ranges_to_text (ranges);
  label = label_of_teeth (
      exclude, n,
      (MAX (lower, spectrum->wavenumber[0]) + MIN (upper, spectrum->wavenumber[spectrum->n - 1]))
          / 2);
  /* ranges of this spectrum are ranges, and the samples were good before */
  if (!faint_setup_set (setup, "excluded", text, NULL, NULL)
      || !faint_document_edit_setup (self, setup, label, NULL))
    g_return_val_if_reached (0);
  return n;
}

void
faint_document_set_range (FaintDocument *self, double lower, double upper)
{
  FaintFitOptions options;
  g_autoptr (FaintAnalysis) analysis = NULL;

  g_return_if_fail (self->analysis != NULL);
  options = *faint_analysis_get_options (self->analysis);
  options.lower = lower;
  options.upper = upper;
  analysis = faint_analysis_with_options (self->analysis, &options);
  _faint_document_push (self, analysis, _ ("Edit Range of the Fit"), NULL);
}

gboolean
faint_document_reset_options (FaintDocument *self, const char *label)
{
  FaintFitOptions usual, options;
  g_autoptr (FaintAnalysis) analysis = NULL;
  gboolean differs = FALSE;

  g_return_val_if_fail (self->analysis != NULL, FALSE);
  faint_fit_options_init (&usual);
  options = *faint_analysis_get_options (self->analysis);
  for (const char *const *key = faint_fit_option_keys (); *key; key++)
    {
      g_autofree char *want = faint_fit_options_get (&usual, *key);
      g_autofree char *have = faint_fit_options_get (&options, *key);
      gboolean known;

      if (g_str_has_prefix (*key, "range_") || strcmp (want, have) == 0)
        continue;
      differs = faint_fit_options_set (&options, *key, want, &known, NULL) || differs;
    }
  if (!differs)
    return FALSE;
  analysis = faint_analysis_with_options (self->analysis, &options);
  _faint_document_push (self, analysis, label, NULL);
  return TRUE;
}
