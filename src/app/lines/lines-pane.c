/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Options of finding and fitting, the line editor, and the fit's goodness.
 */
#include "app/lines/lines-pane.h"

#include <glib/gi18n.h>
#include <stdlib.h>

#include "app/lines/line-editor.h"
#include "app/lines/options-box.h"
#include "app/parts/pane.h"
#include "app/parts/kept-words.h"

/* Windows of the fit that are offered for a look. */
#define MAX_POOR 5
/* A window is poor above this reduced chi-square, as the strip above the plots marks it. */
#define POOR 2.0

/* What a fit may find of the instrument. */
enum
{
  INSTRUMENT_DETUNING,
  INSTRUMENT_SLOPE,
  INSTRUMENT_FRINGE, /* FAINT_FRINGES_MOST of them */
  N_INSTRUMENT = INSTRUMENT_FRINGE + FAINT_FRINGES_MOST
};
static const char *const instrument_names[N_INSTRUMENT]
    = { N_ ("Detuning"), N_ ("Slope of the detuning"), N_ ("Fringe 1"), N_ ("Fringe 2"),
        N_ ("Fringe 3") };

struct _FaintLinesPane
{
  GtkBox parent;

  FaintDocument *document;
  FaintSession *session;
  GtkWidget *range;
  GtkWidget *stale;
  GtkWidget *verdict, *count, *chi2, *absorption, *chance;
  GtkWidget *poor_section, *poor; /* GtkBox of buttons */
  GtkWidget *warnings;
  GtkWidget *instrument[N_INSTRUMENT]; /* read-outs of what the fit was asked for */
};

G_DEFINE_FINAL_TYPE (FaintLinesPane, faint_lines_pane, GTK_TYPE_BOX)

static const FaintFit *
fit_of (FaintLinesPane *self)
{
  return faint_document_get_fit (self->document);
}

static const char *
verdict_in_words (FaintVerdict verdict)
{
  switch (verdict)
    {
    case FAINT_VERDICT_CONVERGED:
      return _ ("Converged");
    case FAINT_VERDICT_STALLED:
      return _ ("Stalled before the optimum");
    case FAINT_VERDICT_LIMIT:
      return _ ("Stopped at the iteration limit");
    default:
      return "";
    }
}

static int
poorer (const void *a, const void *b)
{
  const FaintFitWindow *x = *(const FaintFitWindow *const *)a;
  const FaintFitWindow *y = *(const FaintFitWindow *const *)b;

  return (x->chi2_reduced < y->chi2_reduced) - (x->chi2_reduced > y->chi2_reduced);
}

static void
on_poor_clicked (GtkButton *button, FaintLinesPane *self)
{
  const double *range = g_object_get_data (G_OBJECT (button), "faint-range");

  faint_session_set_view (self->session, range[0], range[1]);
}

static void
append_poor (FaintLinesPane *self, const FaintFitWindow *window)
{
  char a[G_ASCII_DTOSTR_BUF_SIZE], b[G_ASCII_DTOSTR_BUF_SIZE], c[G_ASCII_DTOSTR_BUF_SIZE];
  double *range = g_new (double, 2);
  g_autofree char *text = NULL;
  GtkWidget *button;

  g_ascii_formatd (a, sizeof a, "%.3f", window->lower);
  g_ascii_formatd (b, sizeof b, "%.3f", window->upper);
  g_ascii_formatd (c, sizeof c, "%.2f", window->chi2_reduced);
  /* Translators: a range of wavenumbers, and the reduced chi-square of the fit there */
  text = g_strdup_printf (_ ("%s – %s: χ²/ν %s"), a, b, c);
  button = gtk_button_new_with_label (text);
  gtk_label_set_xalign (GTK_LABEL (gtk_button_get_child (GTK_BUTTON (button))), 0);
  gtk_widget_add_css_class (button, "flat");
  gtk_widget_add_css_class (button, "numeric");
  gtk_widget_set_tooltip_text (button, _ ("Show this window of the fit"));
  range[0] = window->lower;
  range[1] = window->upper;
  g_object_set_data_full (G_OBJECT (button), "faint-range", range, g_free);
  g_signal_connect (button, "clicked", G_CALLBACK (on_poor_clicked), self);
  gtk_box_append (GTK_BOX (self->poor), button);
}

static void
update_poor (FaintLinesPane *self, const FaintFit *fit)
{
  g_autofree const FaintFitWindow **windows = NULL;
  gsize n = 0;

  faint_pane_empty (self->poor);
  if (fit)
    {
      windows = g_new (const FaintFitWindow *, fit->n_windows + 1);
      for (gsize i = 0; i < fit->n_windows; i++)
        if (fit->windows[i].chi2_reduced > POOR)
          windows[n++] = &fit->windows[i];
      qsort (windows, n, sizeof *windows, poorer);
      for (gsize i = 0; i < MIN (n, MAX_POOR); i++)
        append_poor (self, windows[i]);
    }
  gtk_widget_set_visible (self->poor_section, n > 0);
}

static void
update_warnings (FaintLinesPane *self, const FaintAnalysis *analysis)
{
  const GPtrArray *warnings = analysis ? faint_analysis_get_fit_warnings (analysis) : NULL;
  g_autofree char *text = faint_kept_warnings (warnings);

  gtk_label_set_text (GTK_LABEL (self->warnings), text);
  gtk_widget_set_visible (self->warnings, *text != '\0');
}

static void
show_fringe (GtkWidget *label, const FaintFitFringe *fringe)
{
  g_autofree char *period = faint_format_concise (fringe->period, fringe->u_period);
  char amplitude[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *text = NULL;

  g_ascii_formatd (amplitude, sizeof amplitude, "%.2e", faint_fit_fringe_amplitude (fringe));
  /* Translators: period and relative amplitude of a ripple of the baseline */
  text = g_strdup_printf (_ ("%s cm⁻¹, amplitude %s"), period, amplitude);
  faint_pane_set_value (label, text);
}

static void
update_instrument (FaintLinesPane *self, const FaintFit *fit)
{
  FaintFitInstrument found = FAINT_FIT_INSTRUMENT_NONE;
  gboolean shown[N_INSTRUMENT] = { FALSE };

  if (fit)
    found = fit->instrument;
  faint_pane_set_measured (self->instrument[INSTRUMENT_DETUNING], found.detuning, found.u_detuning,
                           "Hz");
  faint_pane_set_measured (self->instrument[INSTRUMENT_SLOPE], found.detuning_slope,
                           found.u_detuning_slope, "Hz/Hz");
  shown[INSTRUMENT_DETUNING] = isfinite (found.detuning);
  shown[INSTRUMENT_SLOPE] = isfinite (found.detuning_slope);
  for (guint i = 0; i < MIN (found.n_fringes, FAINT_FRINGES_MOST); i++)
    {
      show_fringe (self->instrument[INSTRUMENT_FRINGE + i], &found.fringe[i]);
      shown[INSTRUMENT_FRINGE + i] = TRUE;
    }
  for (guint i = 0; i < N_INSTRUMENT; i++)
    faint_pane_show_row (self->instrument[i], shown[i]);
}

static void
update_fit (FaintLinesPane *self)
{
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);
  const FaintFit *fit = fit_of (self);
  g_autofree char *count = NULL;

  gtk_widget_set_visible (self->stale, fit && !faint_analysis_fit_is_current (analysis));
  update_poor (self, fit);
  update_warnings (self, analysis);
  update_instrument (self, fit);
  if (analysis)
    count = g_strdup_printf ("%" G_GSIZE_FORMAT,
                             faint_line_list_get_n (faint_analysis_get_lines (analysis)));
  faint_pane_set_value (self->count, count);
  faint_pane_set_value (self->verdict,
                        fit ? verdict_in_words (fit->verdict) : _ ("Not fitted yet"));
  faint_pane_set_number (self->chi2, "%.4f", fit ? fit->chi2_reduced : NAN, "");
  faint_pane_set_number (self->absorption, "%.3g", fit ? fit->noise_equivalent_absorption : NAN,
                         "cm⁻¹");
  faint_pane_set_number (self->chance, "%.2g", fit ? fit->false_finds_expected : NAN, "");
}

static void
update_range (FaintLinesPane *self)
{
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);
  const FaintFitOptions *options;
  char a[G_ASCII_DTOSTR_BUF_SIZE], b[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *text = NULL;

  if (analysis == NULL)
    return;
  options = faint_analysis_get_options (analysis);
  if (isnan (options->lower) && isnan (options->upper))
    {
      faint_pane_set_value (self->range, _ ("The whole span"));
      return;
    }
  g_ascii_formatd (a, sizeof a, "%.3f", options->lower);
  g_ascii_formatd (b, sizeof b, "%.3f", options->upper);
  text = g_strdup_printf ("%s – %s cm⁻¹", a, b);
  faint_pane_set_value (self->range, text);
}

static void
on_changed (FaintDocument *document, guint change, FaintLinesPane *self)
{
  if (change & (FAINT_CHANGE_OPTIONS | FAINT_CHANGE_OPENED))
    update_range (self);
  if (change & (FAINT_CHANGE_FIT | FAINT_CHANGE_LINES | FAINT_CHANGE_SETUP | FAINT_CHANGE_OPENED))
    update_fit (self);
}

static void
build_find (FaintLinesPane *self)
{
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("Find and fit"));
  GtkWidget *buttons = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  GtkWidget *ranges = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  GtkWidget *find = faint_pane_button (_ ("Find _and Fit"), "win.find-and-fit");

  faint_pane_wide (grid, faint_options_box_new (self->document));
  self->range = faint_pane_value (grid, _ ("Range"));
  gtk_box_append (GTK_BOX (ranges), faint_pane_button (_ ("_Visible Range"), "win.range-view"));
  gtk_box_append (GTK_BOX (ranges), faint_pane_button (_ ("_Whole Span"), "win.range-all"));
  faint_pane_wide (grid, ranges);

  gtk_widget_add_css_class (find, "suggested-action");
  gtk_box_append (GTK_BOX (buttons), find);
  gtk_box_append (GTK_BOX (buttons), faint_pane_button (_ ("_Fit These Lines"), "win.fit"));
  gtk_box_set_homogeneous (GTK_BOX (buttons), TRUE);
  gtk_box_set_homogeneous (GTK_BOX (ranges), TRUE);
  faint_pane_wide (grid, buttons);
}

static void
build_selected (FaintLinesPane *self)
{
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("Selected line"));
  GtkWidget *buttons = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  GtkWidget *add = gtk_toggle_button_new_with_mnemonic (_ ("A_dd by Click"));
  GtkWidget *mark = gtk_toggle_button_new_with_mnemonic (_ ("_Mark a Range"));
  GtkWidget *modes = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);

  gtk_actionable_set_action_name (GTK_ACTIONABLE (add), "win.add-mode");
  gtk_accessible_update_property (GTK_ACCESSIBLE (add), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Add by Click"), -1);
  gtk_widget_set_tooltip_text (add, _ ("A click in the plot adds a line there"));
  gtk_actionable_set_action_name (GTK_ACTIONABLE (mark), "win.mark-mode");
  gtk_accessible_update_property (GTK_ACCESSIBLE (mark), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Mark a Range"), -1);
  gtk_widget_set_tooltip_text (
      mark, _ ("A drag in the plot marks a range: to fit it alone, or to exclude its teeth"));
  faint_pane_wide (grid, faint_line_editor_new (self->document, self->session));
  gtk_box_append (GTK_BOX (modes), add);
  gtk_box_append (GTK_BOX (modes), mark);
  gtk_box_set_homogeneous (GTK_BOX (modes), TRUE);
  faint_pane_wide (grid, modes);
  gtk_box_append (GTK_BOX (buttons), faint_pane_button (_ ("Sp_lit"), "win.split-line"));
  gtk_box_append (GTK_BOX (buttons), faint_pane_button (_ ("Mer_ge"), "win.merge-lines"));
  gtk_box_append (GTK_BOX (buttons), faint_pane_button (_ ("_Remove"), "win.remove-lines"));
  gtk_box_set_homogeneous (GTK_BOX (buttons), TRUE);
  faint_pane_wide (grid, buttons);
}

static void
build_fit (FaintLinesPane *self)
{
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("Fit"));
  GtkWidget *buttons = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);

  self->stale
      = faint_pane_note (grid, _ ("Lines, conditions or options were changed after this fit."));
  self->verdict = faint_pane_value (grid, _ ("Verdict"));
  self->count = faint_pane_value (grid, _ ("Lines"));
  self->chi2 = faint_pane_value (grid, _ ("Reduced χ²"));
  self->absorption = faint_pane_value (grid, _ ("Noise-equivalent absorption"));
  self->chance = faint_pane_value (grid, _ ("False detections expected"));
  for (guint i = 0; i < N_INSTRUMENT; i++)
    self->instrument[i] = faint_pane_value (grid, _ (instrument_names[i]));
  self->warnings = faint_pane_note (grid, "");
  gtk_box_append (GTK_BOX (buttons), faint_pane_button (_ ("_Correlation…"), "win.correlation"));
  gtk_box_append (GTK_BOX (buttons), faint_pane_button (_ ("_Quality…"), "win.quality"));
  gtk_box_set_homogeneous (GTK_BOX (buttons), TRUE);
  faint_pane_wide (grid, buttons);

  grid = faint_pane_section (GTK_WIDGET (self), _ ("Windows that fit poorly"));
  self->poor_section = gtk_widget_get_parent (grid);
  self->poor = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  faint_pane_wide (grid, self->poor);
}

static void
faint_lines_pane_dispose (GObject *object)
{
  FaintLinesPane *self = FAINT_LINES_PANE (object);

  g_clear_object (&self->document);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (faint_lines_pane_parent_class)->dispose (object);
}

static void
faint_lines_pane_class_init (FaintLinesPaneClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_lines_pane_dispose;
}

static void
faint_lines_pane_init (FaintLinesPane *self)
{
  faint_pane_prepare (GTK_BOX (self));
}

GtkWidget *
faint_lines_pane_new (FaintDocument *document, FaintSession *session)
{
  FaintLinesPane *self = g_object_new (FAINT_TYPE_LINES_PANE, NULL);

  self->document = g_object_ref (document);
  self->session = g_object_ref (session);
  build_find (self);
  build_selected (self);
  build_fit (self);
  g_signal_connect_object (document, "changed", G_CALLBACK (on_changed), self, 0);
  update_range (self);
  update_fit (self);
  return GTK_WIDGET (self);
}
