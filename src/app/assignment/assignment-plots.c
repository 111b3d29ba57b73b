/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/assignment/assignment-plots.h"

#include <glib/gi18n.h>
#include <math.h>

#include "app/parts/chosen-path.h"
#include "app/assignment/differences-view.h"
#include "figure/surface.h"
#include "app/parts/pane.h"

/* A figure of one column and a half: width and height, mm; pixels of a PNG for a point. */
#define FIGURE_WIDTH 150.0
#define FIGURE_HEIGHT 120.0
#define FIGURE_SCALE 3.0

struct _FaintAssignmentPlots
{
  GtkBox parent;

  FaintDocument *document;
  FaintSession *session;
  FaintAssigner *assigner;
  GtkFileChooserNative *dialog; /* the one that is open, or NULL */
  GPtrArray *choices;           /* FaintPlotRows */
  double width;                 /* NAN: the default */
  GtkWidget *rows, *width_entry, *by_click, *view, *differences, *read_out, *export;
  gboolean shown, updating, chose; /* the user chose rows */
};

G_DEFINE_FINAL_TYPE (FaintAssignmentPlots, faint_assignment_plots, GTK_TYPE_BOX)

static FaintPlotRows *
chosen (FaintAssignmentPlots *self)
{
  guint index = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->rows));

  return g_ptr_array_index (self->choices, index < self->choices->len ? index : 0);
}

/* Of a line, in the row @row where it is not the selected one; NULL: it is in none. */
static char *
words_of (FaintAssignmentPlots *self, guint id, int row)
{
  FaintLoomisWoodView *view = FAINT_LOOMIS_WOOD_VIEW (self->view);
  FaintLoomisWood *plot = faint_loomis_wood_view_get (view);
  const FaintLine *line = faint_document_get_line (self->document, id);
  double offset;
  int nearest;

  if (plot == NULL || line == NULL || !faint_loomis_wood_place (plot, id, &nearest, &offset))
    return NULL;
  if (id == faint_session_get_selected (self->session)
      && !faint_loomis_wood_view_get_row (view, &row))
    row = nearest;
  /* a row that does not hold the line is not its row */
  if (!faint_loomis_wood_place_in (plot, id, row, &offset))
    row = nearest;
  return faint_plot_line_in_words (self->assigner, chosen (self), line, row, offset);
}

static void
say (FaintAssignmentPlots *self, const char *text)
{
  gtk_label_set_text (GTK_LABEL (self->read_out), text);
}

/* Of the line under the pointer, else of the selected one. */
static void
update_read_out (FaintAssignmentPlots *self)
{
  FaintLoomisWoodView *view = FAINT_LOOMIS_WOOD_VIEW (self->view);
  FaintLoomisWood *plot = faint_loomis_wood_view_get (view);
  FaintLoomisWoodPick hover = faint_loomis_wood_view_get_hover (view);
  guint selected = faint_session_get_selected (self->session);
  g_autofree char *of_selected = words_of (self, selected, 0);
  g_autofree char *of_hover = hover.id ? words_of (self, hover.id, hover.number) : NULL;

  faint_loomis_wood_view_set_words (view, of_selected);
  if (plot == NULL)
    say (self, _ ("No rows: is the width too small?"));
  else if (of_hover)
    say (self, of_hover);
  else if (of_selected)
    say (self, of_selected);
  else
    say (self, _ ("Click a line, or drag along a trace."));
}

static void
show_width (FaintAssignmentPlots *self, double width)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE];

  g_ascii_formatd (text, sizeof text, "%.7g", width);
  gtk_editable_set_text (GTK_EDITABLE (self->width_entry), text);
  gtk_widget_remove_css_class (self->width_entry, "error");
  faint_pane_forget_typing (self->width_entry);
}

static void
update_plot (FaintAssignmentPlots *self, gboolean keep)
{
  FaintLineList *lines = faint_document_get_lines (self->document);
  FaintPlotRows rows = *chosen (self);

  rows.width
      = isnan (self->width) ? faint_plot_rows_default_width (self->assigner, lines) : self->width;
  faint_loomis_wood_view_set (FAINT_LOOMIS_WOOD_VIEW (self->view),
                              faint_loomis_wood_of (self->assigner, lines, &rows), keep);
  faint_loomis_wood_view_set_selected (FAINT_LOOMIS_WOOD_VIEW (self->view),
                                       faint_session_get_selected (self->session));
  if (!gtk_widget_has_focus (self->width_entry) || !keep)
    show_width (self, rows.width);
  gtk_widget_set_sensitive (self->by_click, !rows.periodic);
  gtk_widget_set_sensitive (
      self->export, faint_loomis_wood_view_get (FAINT_LOOMIS_WOOD_VIEW (self->view)) != NULL);
  update_read_out (self);
}

/* The same choice as before, by its name; else the period. */
static gboolean
update_choices (FaintAssignmentPlots *self)
{
  g_autofree char *before = g_strdup (chosen (self)->name);
  g_autoptr (GtkStringList) names = gtk_string_list_new (NULL);
  guint choice = 0;

  g_ptr_array_unref (self->choices);
  self->choices = faint_plot_rows_choices (self->assigner);
  for (guint i = 0; i < self->choices->len; i++)
    {
      const FaintPlotRows *rows = g_ptr_array_index (self->choices, i);

      gtk_string_list_append (names, rows->name);
      if (g_strcmp0 (rows->name, before) == 0)
        choice = i;
    }
  /* a first band makes better rows than a period */
  if (!self->chose && self->choices->len > 1)
    choice = 1;
  self->updating = TRUE;
  gtk_drop_down_set_model (GTK_DROP_DOWN (self->rows), G_LIST_MODEL (names));
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->rows), choice);
  self->updating = FALSE;
  return g_strcmp0 (chosen (self)->name, before) == 0;
}

static void
update (FaintAssignmentPlots *self, gboolean keep)
{
  if (!self->shown)
    return;
  keep = update_choices (self) && keep;
  update_plot (self, keep);
  faint_differences_view_set (FAINT_DIFFERENCES_VIEW (self->differences),
                              faint_differences_of (self->assigner));
  faint_differences_view_set_selected (FAINT_DIFFERENCES_VIEW (self->differences),
                                       faint_session_get_selected (self->session));
}

static void
on_rows (GtkDropDown *drop_down, GParamSpec *pspec, FaintAssignmentPlots *self)
{
  if (self->updating)
    return;
  self->chose = TRUE;
  update_plot (self, FALSE);
}

gboolean
faint_assignment_plots_set_width (FaintAssignmentPlots *self, const char *text)
{
  char *end;
  double width = g_ascii_strtod (text, &end);
  gboolean known = end != text && *end == '\0' && width > 0 && isfinite (width);

  if (*text == '\0')
    self->width = NAN;
  else if (!known)
    {
      gtk_widget_add_css_class (self->width_entry, "error");
      say (self, _ ("The width of a row is a number above 0, in cm⁻¹."));
      return FALSE;
    }
  else
    self->width = width;
  update_plot (self, FALSE);
  return TRUE;
}

static void
on_width (GtkEntry *entry, FaintAssignmentPlots *self)
{
  faint_assignment_plots_set_width (self, gtk_editable_get_text (GTK_EDITABLE (entry)));
}

static void
on_width_taken_back (gpointer data)
{
  FaintAssignmentPlots *self = data;

  gtk_widget_remove_css_class (self->width_entry, "error");
  update_read_out (self);
}

static void
on_all (GtkButton *button, FaintAssignmentPlots *self)
{
  faint_loomis_wood_view_show_all (FAINT_LOOMIS_WOOD_VIEW (self->view));
}

static void
on_changed (FaintDocument *document, guint change, FaintAssignmentPlots *self)
{
  if (change & FAINT_CHANGE_OPENED)
    self->width = NAN;
  if (change & (FAINT_CHANGE_LINES | FAINT_CHANGE_OPENED))
    update (self, !(change & FAINT_CHANGE_OPENED));
}

static void
on_assigner (FaintAssigner *assigner, FaintAssignmentPlots *self)
{
  update (self, TRUE);
}

static void
on_levels (FaintAssigner *assigner, FaintAssignmentPlots *self)
{
  self->width = NAN;
  update (self, FALSE);
}

static void
on_selection (FaintSession *session, FaintAssignmentPlots *self)
{
  guint id = faint_session_get_selected (session);

  faint_loomis_wood_view_set_selected (FAINT_LOOMIS_WOOD_VIEW (self->view), id);
  faint_differences_view_set_selected (FAINT_DIFFERENCES_VIEW (self->differences), id);
  update_read_out (self);
}

static void
on_line_chosen (GtkWidget *view, guint id, FaintAssignmentPlots *self)
{
  faint_session_set_selected (self->session, id);
}

static const char *
state_of (FaintAssignmentPlots *self, const FaintPlotRows *rows)
{
  FaintTransition it;

  return faint_plot_row_transition (self->assigner, rows, 0, 0, &it) ? g_intern_string (it.state)
                                                                     : NULL;
}

static void
on_trace (FaintLoomisWoodView *view, FaintAssignmentPlots *self)
{
  const GArray *picks = faint_loomis_wood_view_get_trace (view);
  const FaintPlotRows *rows = chosen (self);
  g_autofree FaintTraceLine *lines = g_new (FaintTraceLine, picks->len + 1);

  for (guint i = 0; i < picks->len; i++)
    {
      const FaintLoomisWoodPick *pick = &g_array_index (picks, FaintLoomisWoodPick, i);

      lines[i] = (FaintTraceLine){ pick->id, pick->number };
    }
  faint_assigner_set_trace (
      self->assigner, lines, picks->len,
      (FaintTraceRows){ !rows->periodic, rows->q, rows->ladder, state_of (self, rows) });
}

/* A line becomes what its row says. */
static void
assign_to_row (FaintAssignmentPlots *self, const FaintTransition *it)
{
  g_autoptr (GError) error = NULL;

  if (!faint_assigner_label (self->assigner, it, 1, &error))
    say (self, error->message);
}

/* A click gives labels to a line that has none; it takes none from another line. */
static void
on_line_clicked (FaintLoomisWoodView *view, guint id, int row, FaintAssignmentPlots *self)
{
  const FaintLine *line = faint_document_get_line (self->document, id), *holder;
  FaintTransition it;
  char position[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *words = NULL, *text = NULL;

  if (line == NULL || *line->upper || *line->lower
      || !gtk_check_button_get_active (GTK_CHECK_BUTTON (self->by_click))
      || !faint_plot_row_transition (self->assigner, chosen (self), id, row, &it))
    return;
  holder = faint_assigner_line_of (self->assigner, &it);
  if (holder == NULL)
    {
      assign_to_row (self, &it);
      return;
    }
  words = faint_transition_in_words (self->assigner, it.ladder, it.branch, it.j);
  g_ascii_formatd (position, sizeof position, "%.4f", holder->position.value);
  /* Translators: a transition such as "P(12)", a wavenumber */
  text = g_strdup_printf (_ ("%s is the line at %s cm⁻¹. Enter makes it this one."), words,
                          position);
  say (self, text);
}

static void
on_trace_done (FaintLoomisWoodView *view, FaintAssignmentPlots *self)
{
  if (gtk_check_button_get_active (GTK_CHECK_BUTTON (self->by_click)) && !chosen (self)->periodic)
    faint_assigner_want_trace (self->assigner);
}

/* Enter: the trace, else the selected line. Rows of a period do not say what a line is: it becomes
 * a trace of one, for which the pane asks. */
static void
on_assign (FaintLoomisWoodView *view, FaintAssignmentPlots *self)
{
  FaintLoomisWoodPick pick = { 0, faint_session_get_selected (self->session) };
  FaintTransition it;

  if (faint_loomis_wood_view_get_trace (view)->len > 0)
    faint_assigner_want_trace (self->assigner);
  else if (!faint_loomis_wood_view_get_row (view, &pick.number))
    say (self, _ ("No line is selected in this plot."));
  else if (faint_plot_row_transition (self->assigner, chosen (self), pick.id, pick.number, &it))
    assign_to_row (self, &it);
  else
    {
      faint_loomis_wood_view_set_trace (view, &pick, 1);
      say (self, _ ("Choose branch and J in the pane; Enter assigns."));
    }
}

/* Delete: the labels of the trace, else of the selected line. */
static void
on_clear (FaintLoomisWoodView *view, FaintAssignmentPlots *self)
{
  const GArray *picks = faint_loomis_wood_view_get_trace (view);
  guint selected = faint_session_get_selected (self->session);
  g_autofree guint *ids = g_new (guint, picks->len + 1);

  for (guint i = 0; i < picks->len; i++)
    ids[i] = g_array_index (picks, FaintLoomisWoodPick, i).id;
  if (picks->len > 0)
    faint_assigner_remove (self->assigner, ids, picks->len);
  else
    faint_assigner_remove (self->assigner, &selected, 1);
}

typedef struct
{
  const FaintLoomisWood *plot;
  FaintView view;
} Figure;

static void
draw (cairo_t *cr, guint page, gpointer data)
{
  Figure *figure = data;
  FaintCanvas canvas = faint_canvas_for_paper (cr, NULL);
  FaintRect place
      = { 0, 0, faint_surface_points (FIGURE_WIDTH), faint_surface_points (FIGURE_HEIGHT) };

  faint_canvas_fill (&canvas, FAINT_PART_BACKGROUND, place);
  figure->view.place = faint_loomis_wood_inside (&canvas, place);
  faint_loomis_wood_draw (figure->plot, &canvas, &figure->view);
}

gboolean
faint_assignment_plots_write (FaintAssignmentPlots *self, const char *path, GError **error)
{
  FaintLoomisWoodView *view = FAINT_LOOMIS_WOOD_VIEW (self->view);
  Figure figure = { faint_loomis_wood_view_get (view), faint_loomis_wood_view_get_view (view) };
  FaintSurfaceJob job = { .width = faint_surface_points (FIGURE_WIDTH),
                          .height = faint_surface_points (FIGURE_HEIGHT),
                          .pages = 1,
                          .title = _ ("Loomis–Wood plot"),
                          .creator = "Faintline " FAINT_VERSION,
                          .draw = draw,
                          .data = &figure };

  g_return_val_if_fail (figure.plot != NULL, FALSE);
  if (!faint_surface_format_of (path, &job.format, error))
    return FALSE;
  job.scale = job.format == FAINT_SURFACE_PNG ? FIGURE_SCALE : 1.0;
  return faint_surface_write (&job, path, error);
}

static void
on_response (GtkNativeDialog *dialog, int response, FaintAssignmentPlots *self)
{
  g_autoptr (GError) error = NULL;
  const char *said;
  g_autofree char *path = faint_chosen_path (dialog, response, &said);

  g_clear_object (&self->dialog);
  if (path != NULL)
    said = faint_assignment_plots_write (self, path, &error) ? _ ("Exported") : error->message;
  if (said != NULL)
    gtk_label_set_text (GTK_LABEL (self->read_out), said);
}

static void
on_export (GtkButton *button, FaintAssignmentPlots *self)
{
  static const char *const kinds[] = { "png", "svg", "pdf" };
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();

  g_clear_object (&self->dialog);
  self->dialog = gtk_file_chooser_native_new (_ ("Export Figure"),
                                              GTK_WINDOW (gtk_widget_get_root (GTK_WIDGET (self))),
                                              GTK_FILE_CHOOSER_ACTION_SAVE, NULL, NULL);
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->dialog), TRUE);
  gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (self->dialog), "loomis-wood.svg");
  gtk_file_filter_set_name (filter, _ ("PNG, SVG or PDF, by the name's ending"));
  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    gtk_file_filter_add_suffix (filter, kinds[i]);
  gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (self->dialog), filter);
  g_signal_connect (self->dialog, "response", G_CALLBACK (on_response), self);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->dialog));
}

static void
faint_assignment_plots_dispose (GObject *object)
{
  FaintAssignmentPlots *self = FAINT_ASSIGNMENT_PLOTS (object);

  g_clear_object (&self->dialog);
  g_clear_pointer (&self->choices, g_ptr_array_unref);
  g_clear_object (&self->assigner);
  g_clear_object (&self->document);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (faint_assignment_plots_parent_class)->dispose (object);
}

static void
faint_assignment_plots_class_init (FaintAssignmentPlotsClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_assignment_plots_dispose;
}

static void
faint_assignment_plots_init (FaintAssignmentPlots *self)
{
  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
  self->width = NAN;
}

static void
name (GtkWidget *widget, const char *label)
{
  gtk_accessible_update_property (GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_PROPERTY_LABEL, label,
                                  -1);
}

static GtkWidget *
bar_new (FaintAssignmentPlots *self)
{
  GtkWidget *bar = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  GtkWidget *rows_label = gtk_label_new (_ ("Rows")), *width_label = gtk_label_new (_ ("Width"));
  GtkWidget *all = faint_pane_button (_ ("Show All"), NULL);

  self->rows = gtk_drop_down_new (NULL, NULL);
  name (self->rows, _ ("Rows of the plot"));
  gtk_label_set_mnemonic_widget (GTK_LABEL (rows_label), self->rows);
  self->width_entry = gtk_entry_new ();
  gtk_editable_set_width_chars (GTK_EDITABLE (self->width_entry), 10);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (self->width_entry), 10);
  gtk_widget_set_tooltip_text (self->width_entry,
                               _ ("The period, or how much a row shows, in cm⁻¹; empty: 2B″, or "
                                  "the distance of neighbouring lines"));
  name (self->width_entry, _ ("Width of a row, cm⁻¹"));
  self->export = faint_pane_button (_ ("E_xport…"), NULL);
  g_signal_connect (self->rows, "notify::selected", G_CALLBACK (on_rows), self);
  g_signal_connect (self->width_entry, "activate", G_CALLBACK (on_width), self);
  faint_pane_escape_takes_back (self->width_entry, on_width_taken_back, self);
  g_signal_connect (all, "clicked", G_CALLBACK (on_all), self);
  g_signal_connect (self->export, "clicked", G_CALLBACK (on_export), self);
  gtk_widget_add_css_class (bar, "table-row");
  gtk_box_append (GTK_BOX (bar), rows_label);
  gtk_box_append (GTK_BOX (bar), self->rows);
  gtk_box_append (GTK_BOX (bar), width_label);
  gtk_box_append (GTK_BOX (bar), self->width_entry);
  gtk_box_append (GTK_BOX (bar), gtk_label_new ("cm⁻¹"));
  gtk_widget_set_halign (all, GTK_ALIGN_END);
  gtk_widget_set_hexpand (all, TRUE);
  gtk_box_append (GTK_BOX (bar), all);
  gtk_box_append (GTK_BOX (bar), self->export);
  return bar;
}

/* What is under the pointer or selected, and what a click does. */
static GtkWidget *
read_out_bar_new (FaintAssignmentPlots *self)
{
  GtkWidget *bar = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);

  self->read_out = gtk_label_new (NULL);
  gtk_label_set_xalign (GTK_LABEL (self->read_out), 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->read_out), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (self->read_out, TRUE);
  gtk_widget_add_css_class (self->read_out, "numeric");
  self->by_click = gtk_check_button_new_with_mnemonic (_ ("Assign by _click"));
  gtk_check_button_set_active (GTK_CHECK_BUTTON (self->by_click), TRUE);
  name (self->by_click, _ ("Assign by click"));
  gtk_widget_set_tooltip_text (
      self->by_click, _ ("Where rows are those of a band: a click on a line without labels, or a "
                         "drag along a trace, gives the labels of the rows"));
  gtk_widget_add_css_class (bar, "read-out");
  gtk_box_append (GTK_BOX (bar), self->read_out);
  gtk_box_append (GTK_BOX (bar), self->by_click);
  return bar;
}

static void
build (FaintAssignmentPlots *self)
{
  GtkWidget *paned = gtk_paned_new (GTK_ORIENTATION_HORIZONTAL);

  self->view = faint_loomis_wood_view_new ();
  gtk_widget_set_size_request (self->view, 300, 115);
  gtk_widget_set_hexpand (self->view, TRUE);
  gtk_widget_set_vexpand (self->view, TRUE);
  self->differences = faint_differences_view_new ();
  gtk_widget_set_size_request (self->differences, 220, 100);
  gtk_paned_set_start_child (GTK_PANED (paned), self->view);
  gtk_paned_set_end_child (GTK_PANED (paned), self->differences);
  gtk_paned_set_shrink_start_child (GTK_PANED (paned), FALSE);
  gtk_paned_set_shrink_end_child (GTK_PANED (paned), FALSE);
  name (paned, _ ("Border between the plots"));
  g_signal_connect (self->view, "line-chosen", G_CALLBACK (on_line_chosen), self);
  g_signal_connect (self->view, "trace-changed", G_CALLBACK (on_trace), self);
  g_signal_connect (self->view, "assign", G_CALLBACK (on_assign), self);
  g_signal_connect (self->view, "clear", G_CALLBACK (on_clear), self);
  g_signal_connect (self->view, "line-clicked", G_CALLBACK (on_line_clicked), self);
  g_signal_connect (self->view, "trace-done", G_CALLBACK (on_trace_done), self);
  g_signal_connect_swapped (self->view, "hover-changed", G_CALLBACK (update_read_out), self);
  g_signal_connect (self->differences, "line-chosen", G_CALLBACK (on_line_chosen), self);
  gtk_box_append (GTK_BOX (self), bar_new (self));
  gtk_box_append (GTK_BOX (self), read_out_bar_new (self));
  gtk_box_append (GTK_BOX (self), paned);
}

GtkWidget *
faint_assignment_plots_new (FaintDocument *document, FaintSession *session)
{
  FaintAssignmentPlots *self = g_object_new (FAINT_TYPE_ASSIGNMENT_PLOTS, NULL);

  self->document = g_object_ref (document);
  self->session = g_object_ref (session);
  self->assigner = g_object_ref (faint_assigner_of (document));
  self->choices = faint_plot_rows_choices (self->assigner);
  build (self);
  g_signal_connect_object (document, "changed", G_CALLBACK (on_changed), self, 0);
  g_signal_connect_object (self->assigner, "changed", G_CALLBACK (on_assigner), self, 0);
  g_signal_connect_object (self->assigner, "levels-changed", G_CALLBACK (on_levels), self, 0);
  g_signal_connect_object (session, "selection-changed", G_CALLBACK (on_selection), self, 0);
  return GTK_WIDGET (self);
}

void
faint_assignment_plots_set_shown (FaintAssignmentPlots *self, gboolean shown)
{
  g_return_if_fail (FAINT_IS_ASSIGNMENT_PLOTS (self));
  if (shown == self->shown)
    return;
  self->shown = shown;
  update (self, TRUE);
}

FaintLoomisWoodView *
faint_assignment_plots_get_view (FaintAssignmentPlots *self)
{
  return FAINT_LOOMIS_WOOD_VIEW (self->view);
}

void
faint_assignment_plots_choose_rows (FaintAssignmentPlots *self, guint choice)
{
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->rows), choice);
}
