/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A heading, the picture, the read-out, and the strongest pairs beside it.
 */
#include "app/lines/correlation-window.h"

#include <glib/gi18n.h>

#include "app/parts/chosen-path.h"
#include "figure/surface.h"
#include "app/parts/pane.h"

/* A figure of one column and a half: width and height, mm; pixels of a PNG for a point. */
#define FIGURE_WIDTH 150.0
#define FIGURE_HEIGHT 130.0
#define FIGURE_SCALE 3.0
#define MOST_LISTED 8

struct _FaintCorrelationWindow
{
  GtkWindow parent;

  FaintDocument *document;
  FaintSession *session;
  GtkFileChooserNative *dialog; /* the one that is open, or NULL */
  GtkWidget *view, *heading, *read_out, *strongest, *stale, *export;
  gsize shown;         /* window of the fit, from 0; G_MAXSIZE: none */
  FaintFit *shown_fit; /* its fit, kept, or NULL */
};

G_DEFINE_FINAL_TYPE (FaintCorrelationWindow, faint_correlation_window, GTK_TYPE_WINDOW)

static FaintFit *
fit_of (FaintCorrelationWindow *self)
{
  return faint_document_get_fit (self->document);
}

/* Where to look: at the selected line, else in the middle of the view. */
static double
place_of_interest (FaintCorrelationWindow *self)
{
  const FaintLine *line
      = faint_document_get_line (self->document, faint_session_get_selected (self->session));
  double lower, upper;

  if (line)
    return line->position.value;
  faint_session_get_view (self->session, &lower, &upper);
  return (lower + upper) / 2;
}

/* The window of the fit that holds @at or is nearest to it. */
static gsize
window_at (const FaintFit *fit, double at)
{
  gsize best = G_MAXSIZE;
  double least = INFINITY;

  for (gsize i = 0; fit && i < fit->n_windows; i++)
    {
      double distance = MAX (fit->windows[i].lower - at, at - fit->windows[i].upper);

      if (distance < least)
        {
          best = i;
          least = distance;
        }
    }
  return best;
}

static void
update_read_out (FaintCorrelationWindow *self)
{
  FaintCorrelationView *view = FAINT_CORRELATION_VIEW (self->view);
  g_autofree char *text = faint_correlation_view_read_out (view);

  if (text)
    gtk_label_set_text (GTK_LABEL (self->read_out), text);
  else if (faint_correlation_view_get (view))
    gtk_label_set_text (GTK_LABEL (self->read_out),
                        _ ("Point at a cell, or move with the arrow keys."));
  else if (self->shown == G_MAXSIZE)
    gtk_label_set_text (GTK_LABEL (self->read_out), _ ("Fit lines to see how their parameters go "
                                                       "together."));
  else
    gtk_label_set_text (GTK_LABEL (self->read_out),
                        _ ("No parameter of a line is free in this window of the fit."));
}

static void
update_heading (FaintCorrelationWindow *self, const FaintFitWindow *window)
{
  char a[G_ASCII_DTOSTR_BUF_SIZE], b[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *text = NULL;

  if (window == NULL)
    {
      gtk_label_set_text (GTK_LABEL (self->heading), "");
      return;
    }
  g_ascii_formatd (a, sizeof a, "%.3f", window->lower);
  g_ascii_formatd (b, sizeof b, "%.3f", window->upper);
  /* Translators: two wavenumbers and a number of lines */
  text = g_strdup_printf (
      ngettext ("%s – %s cm⁻¹, %u line", "%s – %s cm⁻¹, %u lines", window->n_lines), a, b,
      (guint)window->n_lines);
  gtk_label_set_text (GTK_LABEL (self->heading), text);
}

static void
show_window (FaintCorrelationWindow *self, FaintFit *fit, gsize window)
{
  double *matrix = NULL;
  char **names = NULL;
  gsize n = 0;
  g_autofree char *strongest = NULL;
  g_auto (GStrv) pairs = NULL;
  g_autofree char *apart = NULL;

  self->shown = window;
  if (fit)
    faint_fit_ref (fit);
  g_clear_pointer (&self->shown_fit, faint_fit_unref);
  self->shown_fit = fit;
  if (window != G_MAXSIZE)
    matrix = faint_fit_correlation (fit, window, &names, &n);
  update_heading (self, window != G_MAXSIZE ? &fit->windows[window] : NULL);
  faint_correlation_view_set (FAINT_CORRELATION_VIEW (self->view),
                              matrix ? faint_correlation_new (matrix, names, n) : NULL);
  strongest = faint_correlation_view_strongest (FAINT_CORRELATION_VIEW (self->view), MOST_LISTED);
  pairs = g_strsplit (strongest, "\n", -1);
  apart = g_strjoinv ("\n\n", pairs);
  faint_pane_set_value (self->strongest, *apart != '\0' ? apart : "–");
  gtk_widget_set_sensitive (self->export, matrix != NULL);
  update_read_out (self);
}

static void
update (FaintCorrelationWindow *self)
{
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);
  FaintFit *fit = fit_of (self);
  gsize window = window_at (fit, place_of_interest (self));

  gtk_widget_set_visible (self->stale, fit && !faint_analysis_fit_is_current (analysis));
  if (fit != self->shown_fit || window != self->shown)
    show_window (self, fit, window);
}

static void
on_changed (FaintDocument *document, guint change, FaintCorrelationWindow *self)
{
  update (self);
}

static void
on_selection (FaintSession *session, FaintCorrelationWindow *self)
{
  update (self);
}

static void
say (FaintCorrelationWindow *self, const char *text)
{
  gtk_label_set_text (GTK_LABEL (self->read_out), text);
}

static void
on_response (GtkNativeDialog *dialog, int response, FaintCorrelationWindow *self)
{
  g_autoptr (GError) error = NULL;
  const char *said;
  g_autofree char *path = faint_chosen_path (dialog, response, &said);

  g_clear_object (&self->dialog);
  if (path != NULL)
    said = faint_correlation_window_write (self, path, &error) ? _ ("Exported") : error->message;
  if (said != NULL)
    say (self, said);
}

static void
on_export (GtkButton *button, FaintCorrelationWindow *self)
{
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();
  static const char *const kinds[] = { "png", "svg", "pdf" };

  g_clear_object (&self->dialog);
  self->dialog = gtk_file_chooser_native_new (_ ("Export Figure"), GTK_WINDOW (self),
                                              GTK_FILE_CHOOSER_ACTION_SAVE, NULL, NULL);
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->dialog), TRUE);
  gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (self->dialog), "correlation.svg");
  gtk_file_filter_set_name (filter, _ ("PNG, SVG or PDF, by the name's ending"));
  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    gtk_file_filter_add_suffix (filter, kinds[i]);
  gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (self->dialog), filter);
  g_signal_connect (self->dialog, "response", G_CALLBACK (on_response), self);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->dialog));
}

static gboolean
on_key (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state,
        FaintCorrelationWindow *self)
{
  if (keyval != GDK_KEY_Escape)
    return GDK_EVENT_PROPAGATE;
  gtk_window_close (GTK_WINDOW (self));
  return GDK_EVENT_STOP;
}

static void
faint_correlation_window_dispose (GObject *object)
{
  FaintCorrelationWindow *self = FAINT_CORRELATION_WINDOW (object);

  g_clear_object (&self->dialog);
  g_clear_pointer (&self->shown_fit, faint_fit_unref);
  g_clear_object (&self->document);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (faint_correlation_window_parent_class)->dispose (object);
}

static void
faint_correlation_window_class_init (FaintCorrelationWindowClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_correlation_window_dispose;
}

static GtkWidget *
label_new (const char *css_class)
{
  GtkWidget *label = gtk_label_new (NULL);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_widget_add_css_class (label, css_class);
  return label;
}

static GtkWidget *
build_side (FaintCorrelationWindow *self)
{
  GtkWidget *side = faint_pane_box_new ();
  GtkWidget *grid = faint_pane_section (side, _ ("Strongest"));

  self->strongest = label_new ("numeric");
  gtk_label_set_selectable (GTK_LABEL (self->strongest), TRUE);
  gtk_widget_set_can_focus (self->strongest, FALSE);
  gtk_label_set_max_width_chars (GTK_LABEL (self->strongest), 30);
  faint_pane_wide (grid, self->strongest);
  self->stale
      = faint_pane_note (grid, _ ("Lines, conditions or options were changed after this fit."));
  gtk_widget_set_size_request (side, 250, -1);
  gtk_widget_set_hexpand (side, FALSE);
  return side;
}

static void
build (FaintCorrelationWindow *self)
{
  GtkWidget *header = gtk_header_bar_new ();
  GtkWidget *across = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);

  self->export = faint_pane_button (_ ("_Export…"), NULL);
  g_signal_connect (self->export, "clicked", G_CALLBACK (on_export), self);
  gtk_header_bar_pack_start (GTK_HEADER_BAR (header), self->export);
  gtk_window_set_titlebar (GTK_WINDOW (self), header);
  self->heading = label_new ("title-row");
  self->view = faint_correlation_view_new ();
  gtk_widget_set_vexpand (self->view, TRUE);
  gtk_widget_set_hexpand (self->view, TRUE);
  gtk_widget_set_size_request (self->view, 280, 240);
  self->read_out = label_new ("status");
  gtk_widget_add_css_class (self->read_out, "numeric");
  g_signal_connect_swapped (self->view, "cell-changed", G_CALLBACK (update_read_out), self);
  gtk_box_append (GTK_BOX (box), self->heading);
  gtk_box_append (GTK_BOX (box), self->view);
  gtk_box_append (GTK_BOX (box), self->read_out);
  gtk_box_append (GTK_BOX (across), box);
  gtk_box_append (GTK_BOX (across), gtk_separator_new (GTK_ORIENTATION_VERTICAL));
  gtk_box_append (GTK_BOX (across), build_side (self));
  gtk_window_set_child (GTK_WINDOW (self), across);
  gtk_window_set_focus (GTK_WINDOW (self), self->view);
}

static void
faint_correlation_window_init (FaintCorrelationWindow *self)
{
  GtkEventController *key = gtk_event_controller_key_new ();

  self->shown = G_MAXSIZE;
  gtk_window_set_title (GTK_WINDOW (self), _ ("Correlation of Parameters"));
  gtk_window_set_default_size (GTK_WINDOW (self), 940, 720);
  build (self);
  g_signal_connect (key, "key-pressed", G_CALLBACK (on_key), self);
  gtk_widget_add_controller (GTK_WIDGET (self), key);
}

GtkWidget *
faint_correlation_window_new (GtkWindow *parent, FaintDocument *document, FaintSession *session)
{
  FaintCorrelationWindow *self = g_object_new (FAINT_TYPE_CORRELATION_WINDOW, "transient-for",
                                               parent, "destroy-with-parent", TRUE, NULL);

  self->document = g_object_ref (document);
  self->session = g_object_ref (session);
  g_signal_connect_object (document, "changed", G_CALLBACK (on_changed), self, 0);
  g_signal_connect_object (session, "selection-changed", G_CALLBACK (on_selection), self, 0);
  show_window (self, NULL, G_MAXSIZE);
  update (self);
  return GTK_WIDGET (self);
}

FaintCorrelationView *
faint_correlation_window_get_view (FaintCorrelationWindow *self)
{
  g_return_val_if_fail (FAINT_IS_CORRELATION_WINDOW (self), NULL);
  return FAINT_CORRELATION_VIEW (self->view);
}

const char *
faint_correlation_window_get_text (FaintCorrelationWindow *self)
{
  g_return_val_if_fail (FAINT_IS_CORRELATION_WINDOW (self), NULL);
  return gtk_label_get_text (GTK_LABEL (self->read_out));
}

static void
draw (cairo_t *cr, guint page, gpointer matrix)
{
  FaintCanvas canvas = faint_canvas_for_paper (cr, NULL);
  FaintRect place
      = { 0, 0, faint_surface_points (FIGURE_WIDTH), faint_surface_points (FIGURE_HEIGHT) };

  faint_canvas_fill (&canvas, FAINT_PART_BACKGROUND, place);
  faint_correlation_draw (matrix, &canvas, place);
}

gboolean
faint_correlation_window_write (FaintCorrelationWindow *self, const char *path, GError **error)
{
  FaintSurfaceJob job = { .width = faint_surface_points (FIGURE_WIDTH),
                          .height = faint_surface_points (FIGURE_HEIGHT),
                          .pages = 1,
                          .title = gtk_label_get_text (GTK_LABEL (self->heading)),
                          .creator = "Faintline " FAINT_VERSION,
                          .draw = draw };

  g_return_val_if_fail (FAINT_IS_CORRELATION_WINDOW (self), FALSE);
  job.data = faint_correlation_view_get (FAINT_CORRELATION_VIEW (self->view));
  g_return_val_if_fail (job.data != NULL, FALSE);
  if (!faint_surface_format_of (path, &job.format, error))
    return FALSE;
  job.scale = job.format == FAINT_SURFACE_PNG ? FIGURE_SCALE : 1.0;
  return faint_surface_write (&job, path, error);
}
