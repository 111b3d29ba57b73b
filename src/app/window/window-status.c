/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The right end of the status bar: how the fit stands, and what was done just now; and failures
 * that fields left empty explain.
 */
#include "app/window/window-private.h"

#include <glib/gi18n.h>

#include "app/document/needed-conditions.h"

/* A reduced chi-square above this is no matter of chance with the many teeth of a spectrum: the
 * same limit as for windows that fit poorly. */
#define POOR 2.0

/* The fit is current. */
static char *
fit_in_words (const FaintAnalysis *analysis, const FaintAnalysisResult *result, gboolean again)
{
  gsize n = faint_line_list_get_n (faint_analysis_get_lines (analysis));
  char chi2[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *text = NULL;

  g_ascii_formatd (chi2, sizeof chi2, result->chi2_reduced < 100 ? "%.3f" : "%.4g",
                   result->chi2_reduced);
  if (again)
    /* Translators: the number of lines and the reduced chi-square of the fit */
    text = g_strdup_printf (ngettext ("%u line fitted again after the edit, χ²/ν %s",
                                      "%u lines fitted again after the edit, χ²/ν %s", n),
                            (guint)n, chi2);
  else
    /* Translators: the number of lines and the reduced chi-square of the fit */
    text = g_strdup_printf (ngettext ("%u line fitted, χ²/ν %s", "%u lines fitted, χ²/ν %s", n),
                            (guint)n, chi2);
  if (result->verdict == FAINT_VERDICT_CONVERGED && result->chi2_reduced > POOR)
    /* Translators: the number of lines and the reduced chi-square, as above */
    return g_strdup_printf (_ ("%s: the model does not describe the data"), text);
  if (result->verdict == FAINT_VERDICT_CONVERGED)
    return g_steal_pointer (&text);
  /* Translators: the number of lines and the reduced chi-square, as above */
  return g_strdup_printf (_ ("%s, but not converged"), text);
}

static char *
state_in_words (FaintWindow *self, guint change)
{
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);
  FaintAnalysisResult result;
  char *review = analysis != NULL ? _faint_window_review_state (self) : NULL;

  if (review != NULL)
    return review;
  if (analysis == NULL)
    return g_strdup (_ ("Nothing is open"));
  if (!faint_analysis_get_result (analysis, &result))
    return g_strdup (faint_document_get_changed_input (self->document)
                         ? _ ("Changed since the last fit")
                         : _ ("Not fitted yet"));
  if (!faint_analysis_fit_is_current (analysis))
    return g_strdup (_ ("Changed since the last fit"));
  return fit_in_words (analysis, &result, (change & FAINT_CHANGE_REFITTED) != 0);
}

/* A message about empty fields goes with them, or tells what is left. */
static void
update_missing (FaintWindow *self)
{
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);
  FaintMessageBar *bar = FAINT_MESSAGE_BAR (self->message);
  g_autofree char *missing = NULL;

  if (self->missing == NULL)
    return;
  if (g_strcmp0 (faint_message_bar_get_text (bar), self->missing) != 0)
    {
      g_clear_pointer (&self->missing, g_free); /* put away, or another one took its place */
      return;
    }
  missing = analysis ? faint_needed_in_words (analysis) : NULL;
  if (missing == NULL)
    faint_message_bar_hide (bar);
  else if (g_strcmp0 (missing, self->missing) != 0)
    faint_message_bar_show (bar, faint_message_bar_get_heading (bar), missing);
  g_free (self->missing);
  self->missing = g_steal_pointer (&missing);
}

/* NULL where a click and a drag mean what they usually do. */
static const char *
mode_in_words (FaintWindow *self)
{
  switch (faint_session_get_mode (self->session))
    {
    case FAINT_MODE_ADD:
      return _ ("Add by Click is on: a click in the plot adds a line. Escape leaves it.");
    case FAINT_MODE_MARK:
      return _ ("Mark a Range is on: a drag in the plot marks teeth. Escape leaves it.");
    case FAINT_MODE_INSPECT:
      break;
    }
  return NULL;
}

void
_faint_window_tell_mode (FaintWindow *self)
{
  if (mode_in_words (self) != NULL)
    _faint_window_tell (self, mode_in_words (self));
  else
    _faint_window_update_status (self, 0);
}

void
_faint_window_update_status (FaintWindow *self, guint change)
{
  g_autofree char *text = state_in_words (self, change);

  /* a mode that stays on says so as long as it does */
  _faint_window_tell (self, mode_in_words (self) != NULL ? mode_in_words (self) : text);
  update_missing (self);
}

void
_faint_window_tell (FaintWindow *self, const char *text)
{
  gtk_label_set_text (GTK_LABEL (self->status_label), text);
  gtk_widget_set_tooltip_text (self->status_label, NULL);
}

static void
tell_of_file (FaintWindow *self, const char *text, const char *path)
{
  _faint_window_tell (self, text);
  gtk_widget_set_tooltip_text (self->status_label, path);
}

void
_faint_window_tell_saved (FaintWindow *self)
{
  const char *path = faint_document_get_path (self->document);
  g_autofree char *name = g_path_get_basename (path);
  /* Translators: the name of a file */
  g_autofree char *text = g_strdup_printf (_ ("Saved to %s"), name);

  tell_of_file (self, text, path);
}

void
_faint_window_tell_exported (FaintWindow *self, FaintExport what, const char *path)
{
  g_autofree char *name = g_path_get_basename (path);
  g_autofree char *text = NULL;
  gsize n;

  switch (what)
    {
    case FAINT_EXPORT_LINES:
      n = faint_line_list_get_n (faint_document_get_lines (self->document));
      /* Translators: a number of lines and the name of a file */
      text = g_strdup_printf (ngettext ("%u line written to %s", "%u lines written to %s", n),
                              (guint)n, name);
      break;
    case FAINT_EXPORT_COMB_TABLE:
      n = faint_document_get_spectrum (self->document)->n;
      /* Translators: a number of teeth and the name of a file */
      text = g_strdup_printf (ngettext ("Comb table of %u tooth written to %s",
                                        "Comb table of %u teeth written to %s", n),
                              (guint)n, name);
      break;
    case FAINT_EXPORT_REPORT:
    case FAINT_EXPORT_REPORT_SHORT:
      /* Translators: the name of a file */
      text = g_strdup_printf (_ ("Report written to %s"), name);
      break;
    }
  tell_of_file (self, text, path);
}

void
_faint_window_tell_figure (FaintWindow *self, const char *path)
{
  g_autofree char *name = g_path_get_basename (path);
  /* Translators: the name of a file */
  g_autofree char *text = g_strdup_printf (_ ("Figure written to %s"), name);

  tell_of_file (self, text, path);
}

void
_faint_window_tell_assigned (FaintWindow *self)
{
  FaintLineList *lines = faint_document_get_lines (self->document);
  gsize n = faint_line_list_get_n (lines);
  guint n_assigned = 0;
  g_autofree char *text = NULL;

  for (gsize i = 0; i < n; i++)
    {
      const FaintLine *line = faint_line_list_get (lines, i);

      if (*line->upper && *line->lower)
        n_assigned++;
    }
  text = g_strdup_printf (ngettext ("%u of %u line assigned", "%u of %u lines assigned", n),
                          n_assigned, (guint)n);
  _faint_window_tell (self, text);
}

void
_faint_window_say_poor_fit (FaintWindow *self)
{
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);
  FaintAnalysisResult result;
  char chi2[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *text = NULL;

  if (analysis == NULL || !faint_analysis_get_result (analysis, &result)
      || !(result.chi2_reduced > POOR))
    return;
  g_ascii_formatd (chi2, sizeof chi2, result.chi2_reduced < 100 ? "%.1f" : "%.3g",
                   result.chi2_reduced);
  /* Translators: the reduced chi-square of a fit */
  text = g_strdup_printf (_ ("χ²/ν is %s where 1 is expected, so neither the lines nor their "
                             "uncertainties can be trusted yet. Look at the residuals and at the "
                             "windows that fit poorly: lines may be missing, or detuning, "
                             "pressure, temperature, the profile or the stated noise may be "
                             "others."),
                          chi2);
  faint_window_say (self, _ ("The model does not describe the data"), text);
}

void
_faint_window_say_failure (FaintWindow *self, const char *heading, const GError *error)
{
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);

  g_clear_pointer (&self->missing, g_free);
  if (analysis && g_error_matches (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_MISSING))
    self->missing = faint_needed_in_words (analysis);
  if (self->missing)
    faint_window_say (self, _ ("A fit needs conditions that are not stated yet"), self->missing);
  else
    faint_window_say (self, heading, error->message);
}
