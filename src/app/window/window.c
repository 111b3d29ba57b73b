/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The window's layout and what it shows of document and session.
 */
#include "app/window/window-private.h"

#include <glib/gi18n.h>

#include "app/assignment/assignment-pane.h"
#include "app/cavity/cavity-pane.h"
#include "app/data/data-pane.h"
#include "figure/axis-unit.h"
#include "app/lines/lines-pane.h"
#include "app/document/needed-conditions.h"
#include "app/document/session-axis.h"
#include "app/review/review-pane.h"
#include "app/strengths/strengths-pane.h"

G_DEFINE_FINAL_TYPE (FaintWindow, faint_window, GTK_TYPE_APPLICATION_WINDOW)

static const struct
{
  const char *name, *label, *tooltip;
  GtkWidget *(*pane_new) (FaintDocument *document, FaintSession *session);
} stages[FAINT_N_STAGES] = {
  { "data", N_ ("Data"), N_ ("What was read, gas and comb"), faint_data_pane_new },
  { "cavity", N_ ("Cavity"), N_ ("Mirrors, coupling, enhancement"), faint_cavity_pane_new },
  { "lines", N_ ("Lines"), N_ ("Find, fit and edit lines"), faint_lines_pane_new },
  { "strengths", N_ ("Strengths"), N_ ("Strengths and their uncertainty"),
    faint_strengths_pane_new },
  { "assignment", N_ ("Assignment"), N_ ("Which line is which"), faint_assignment_pane_new },
  { "review", N_ ("Review"), N_ ("A claimed line list held against the spectrum"),
    faint_review_pane_new },
};

static const char *const axis_units[FAINT_AXIS_UNIT_N] = {
  [FAINT_AXIS_UNIT_WAVENUMBER] = "cm⁻¹", [FAINT_AXIS_UNIT_THZ] = "THz",
  [FAINT_AXIS_UNIT_GHZ] = "GHz",         [FAINT_AXIS_UNIT_MHZ] = "MHz",
  [FAINT_AXIS_UNIT_WAVELENGTH] = "nm",   [FAINT_AXIS_UNIT_TOOTH] = N_ ("Tooth number"),
};

static void
update_title (FaintWindow *self)
{
  g_autofree char *title = faint_document_get_title (self->document);
  gboolean modified = faint_document_get_modified (self->document);
  g_autofree char *shown = modified ? g_strdup_printf ("%s •", title) : g_strdup (title);

  gtk_window_set_title (GTK_WINDOW (self), shown);
  gtk_label_set_text (GTK_LABEL (self->title_label), shown);
  gtk_widget_set_tooltip_text (self->title_label, faint_document_get_path (self->document));
}

void
_faint_window_update_count (FaintWindow *self)
{
  FaintLineList *lines = faint_document_get_lines (self->document);
  gsize n = lines ? faint_line_list_get_n (lines) : 0;
  guint shown = faint_line_table_get_n_shown (FAINT_LINE_TABLE (self->table));
  g_autofree char *text = NULL;

  if (_faint_window_shows_review (self))
    text = _faint_window_review_count (self);
  else if (n == 0)
    text = g_strdup (_ ("No lines yet: find them, or add them by click (stage Lines)"));
  else if (faint_line_table_get_only_in_view (FAINT_LINE_TABLE (self->table)))
    /* Translators: rows of the table, which follow the visible range; all lines */
    text = g_strdup_printf (_ ("%u of %u lines shown: in view"), shown, (guint)n);
  else if (shown < n)
    text = g_strdup_printf (_ ("%u of %u lines shown"), shown, (guint)n);
  else
    text = g_strdup_printf (ngettext ("%u line", "%u lines", n), (guint)n);
  gtk_label_set_text (GTK_LABEL (self->count_label), text);
}

/* A selected line that is gone is followed by the nearest to its place. */
static void
keep_selection (FaintWindow *self)
{
  FaintLineList *lines = faint_document_get_lines (self->document);
  guint id = faint_session_get_selected (self->session);
  gsize nearest;

  if (id == 0 || lines == NULL || _faint_window_shows_review (self)
      || faint_line_list_find (lines, id))
    return;
  nearest = isnan (self->selected_position)
                ? G_MAXSIZE
                : faint_line_list_nearest (lines, self->selected_position);
  faint_session_set_selected (self->session,
                              nearest == G_MAXSIZE ? 0 : faint_line_list_get (lines, nearest)->id);
}

static void
remember_selection (FaintWindow *self)
{
  const FaintLine *line
      = _faint_window_shows_review (self)
            ? NULL
            : faint_document_get_line (self->document, faint_session_get_selected (self->session));

  self->selected_position = line ? line->position.value : NAN;
}

static void
update_lines (FaintWindow *self)
{
  keep_selection (self);
  faint_line_table_set_list (FAINT_LINE_TABLE (self->table),
                             faint_document_get_lines (self->document));
  remember_selection (self);
  _faint_window_update_count (self);
}

/* An axis in MHz or GHz counts from a round number near the middle of the span. */
static double
round_origin (const FaintSpectrum *spectrum)
{
  double lower = spectrum->wavenumber[0], upper = spectrum->wavenumber[spectrum->n - 1];
  double step = pow (10, floor (log10 (upper - lower)));

  return round ((lower + upper) / 2 / step) * step;
}

static void
begin_anew (FaintWindow *self)
{
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);

  faint_session_clear (self->session);
  faint_session_set_origin (self->session, round_origin (faint_analysis_get_spectrum (analysis)));
  faint_session_set_mode (self->session, FAINT_MODE_INSPECT);
  gtk_stack_set_visible_child_name (GTK_STACK (self->content), "work");
  gtk_widget_set_visible (self->stages, TRUE);
  gtk_widget_grab_focus (self->plot);
}

/* Table and conditions follow the axis. */
static void
follow_axis (FaintWindow *self)
{
  FaintSpectrum *spectrum = faint_document_get_spectrum (self->document);
  FaintAxisUnit axis = faint_session_axis (self->session, spectrum ? spectrum->setup : NULL);

  faint_line_table_set_axis (FAINT_LINE_TABLE (self->table), &axis);
}

static void
on_changed (FaintDocument *document, guint change, FaintWindow *self)
{
  if (change & FAINT_CHANGE_OPENED)
    begin_anew (self);
  if (change & (FAINT_CHANGE_SPECTRUM | FAINT_CHANGE_SETUP | FAINT_CHANGE_OPENED))
    follow_axis (self);
  if (change & (FAINT_CHANGE_LINES | FAINT_CHANGE_OPENED))
    update_lines (self);
  _faint_window_update_assignment (self);
  _faint_window_update_figure (self, change);
  update_title (self);
  _faint_window_update_status (self, change);
  _faint_window_update_actions (self);
}

static void
on_failed (FaintDocument *document, const char *heading, const char *text, FaintWindow *self)
{
  FaintAnalysis *analysis = faint_document_get_analysis (document);
  g_autofree char *missing = analysis ? faint_needed_in_words (analysis) : NULL;

  faint_window_say (self, heading, text);
  g_free (self->missing);
  self->missing = g_strcmp0 (missing, text) == 0 ? g_steal_pointer (&missing) : NULL;
}

static void
on_history (FaintDocument *document, GParamSpec *pspec, FaintWindow *self)
{
  _faint_window_update_history_menu (self);
  _faint_window_update_actions (self);
}

static void
on_title (FaintDocument *document, GParamSpec *pspec, FaintWindow *self)
{
  update_title (self);
}

static void
on_selection (FaintSession *session, FaintWindow *self)
{
  const FaintLine *line = _faint_window_find_line (self, faint_session_get_selected (session));

  remember_selection (self);
  if (_faint_window_shows_review (self))
    _faint_window_select_review (self);
  else if (line)
    faint_session_reveal (session, line->position.value);
  _faint_window_update_actions (self);
}

/* Keys that were meant for the window must not go into the first entry of the next pane. */
static void
take_focus_from_panes (FaintWindow *self)
{
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (self));

  if (focus && gtk_widget_is_ancestor (focus, self->panes))
    gtk_widget_grab_focus (self->plot);
}

static void
on_stage (FaintSession *session, GParamSpec *pspec, FaintWindow *self)
{
  take_focus_from_panes (self);
  gtk_stack_set_visible_child_name (GTK_STACK (self->panes),
                                    stages[faint_session_get_stage (session)].name);
  _faint_window_update_assignment (self);
  _faint_window_update_what_if (self);
  _faint_window_update_review (self);
  _faint_window_update_actions (self);
}

static void
on_mode (FaintSession *session, GParamSpec *pspec, FaintWindow *self)
{
  _faint_window_update_actions (self);
  _faint_window_tell_mode (self);
}

static void
on_axis_unit (GtkDropDown *drop_down, GParamSpec *pspec, FaintWindow *self)
{
  guint unit = gtk_drop_down_get_selected (drop_down);

  faint_session_set_axis_unit (self->session, unit);
  faint_settings_set_string (self->settings, "axis-unit", faint_axis_unit_name (unit));
}

/* The plot then tells that the line was activated, as it does for a double click of its own. */
static void
on_activate_line (FaintLineTable *table, guint id, FaintWindow *self)
{
  faint_session_set_selected (self->session, id);
  gtk_widget_activate_action (self->plot, "plot.fit-line", NULL);
}

static void
on_rows_selected (FaintLineTable *table, FaintWindow *self)
{
  _faint_window_update_actions (self);
}

static void
on_leave_filter (FaintFilterBox *box, FaintWindow *self)
{
  gtk_widget_grab_focus (self->table);
}

static void
on_open_path (FaintStartPage *page, const char *path, FaintWindow *self)
{
  const char *const paths[] = { path, NULL };

  faint_window_open (self, paths);
}

static gboolean
on_drop (GtkDropTarget *target, const GValue *value, double x, double y, FaintWindow *self)
{
  GSList *files = gdk_file_list_get_files (g_value_get_boxed (value));
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();
  g_auto (GStrv) paths = NULL;

  for (GSList *l = files; l; l = l->next)
    {
      g_autofree char *path = g_file_get_path (l->data);

      if (path)
        g_strv_builder_add (builder, path);
    }
  g_slist_free (files);
  paths = g_strv_builder_end (builder);
  if (paths[0])
    faint_window_open (self, (const char *const *)paths);
  else
    faint_window_say (self, _ ("This could not be opened"),
                      _ ("What was dropped has no path on this computer."));
  return TRUE;
}

static gboolean
faint_window_close_request (GtkWindow *window)
{
  FaintWindow *self = FAINT_WINDOW (window);

  if (!_faint_window_may_close (self))
    return GDK_EVENT_STOP;
  _faint_window_keep_sizes (self);
  return GTK_WINDOW_CLASS (faint_window_parent_class)->close_request (window);
}

static void
faint_window_dispose (GObject *object)
{
  FaintWindow *self = FAINT_WINDOW (object);

  if (self->document)
    faint_document_cancel (self->document);
  if (self->figure_work)
    g_cancellable_cancel (self->figure_work);
  g_clear_handle_id (&self->job_source, g_source_remove);
  g_clear_handle_id (&self->pulse_source, g_source_remove);
  self->plot = NULL;
  g_clear_weak_pointer (&self->focus_outside);
  _faint_window_drop_review (self);
  g_clear_object (&self->figure_work);
  g_clear_object (&self->dialog);
  g_clear_pointer (&self->chosen_format, g_free);
  g_clear_pointer (&self->missing, g_free);
  g_clear_object (&self->history_menu);
  gtk_widget_dispose_template (GTK_WIDGET (self), FAINT_TYPE_WINDOW);
  g_clear_object (&self->document);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (faint_window_parent_class)->dispose (object);
}

static void
bind_children (GtkWidgetClass *widget_class)
{
#define BIND(name) gtk_widget_class_bind_template_child (widget_class, FaintWindow, name)
  BIND (recent_button);
  BIND (undo_button);
  BIND (redo_button);
  BIND (stages);
  BIND (menu_button);
  BIND (message);
  BIND (content);
  BIND (start_page);
  BIND (outer);
  BIND (inner);
  BIND (plots);
  BIND (table_box);
  BIND (panes);
  BIND (title_label);
  BIND (axis_unit);
  BIND (count_label);
  BIND (filter_box);
  BIND (fold_button);
  BIND (status_label);
  BIND (job_box);
  BIND (job_label);
  BIND (job_bar);
#undef BIND
}

static void
faint_window_class_init (FaintWindowClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = faint_window_dispose;
  GTK_WINDOW_CLASS (klass)->close_request = faint_window_close_request;

  g_type_ensure (FAINT_TYPE_FILTER_BOX);
  g_type_ensure (FAINT_TYPE_MESSAGE_BAR);
  g_type_ensure (FAINT_TYPE_START_PAGE);
  gtk_widget_class_set_template_from_resource (widget_class, "/org/faintline/Faintline/window.ui");
  bind_children (widget_class);
  gtk_widget_class_bind_template_callback (widget_class, on_axis_unit);
  gtk_widget_class_bind_template_callback (widget_class, _faint_window_on_max_position);
}

static void
faint_window_init (FaintWindow *self)
{
  self->selected_position = NAN;
  self->document = faint_document_new ();
  self->session = faint_session_new ();
  gtk_widget_init_template (GTK_WIDGET (self));
}

static void
add_stage (FaintWindow *self, guint stage)
{
  GtkWidget *button = gtk_toggle_button_new_with_label (_ (stages[stage].label));
  GtkWidget *scrolled = gtk_scrolled_window_new ();
  GtkWidget *pane = stages[stage].pane_new (self->document, self->session);

  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), "win.stage");
  gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "s", stages[stage].name);
  gtk_widget_set_tooltip_text (button, _ (stages[stage].tooltip));
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ (stages[stage].label), -1);
  gtk_box_append (GTK_BOX (self->stages), button);
  if (stage == FAINT_STAGE_ASSIGNMENT)
    self->assignment_button = button;

  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scrolled), GTK_POLICY_NEVER,
                                  GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scrolled), pane);
  if (stage == FAINT_STAGE_REVIEW)
    _faint_window_add_review (self, pane);
  if (stage == FAINT_STAGE_CAVITY)
    _faint_window_add_what_if (self, pane);
  gtk_stack_add_named (GTK_STACK (self->panes), scrolled, stages[stage].name);
}

static void
add_plots (FaintWindow *self)
{
  g_autoptr (GMenuModel) menu = _faint_window_line_menu ();

  self->overview = faint_overview_new (self->session);
  self->plot = faint_plot_new (self->session);
  self->table = faint_line_table_new (self->session);
  gtk_widget_set_vexpand (self->plot, TRUE);
  gtk_widget_set_size_request (self->plot, 320, 220);
  gtk_box_append (GTK_BOX (self->plots), self->overview);
  _faint_window_add_assignment (self);
  self->tables = gtk_stack_new ();
  gtk_stack_set_vhomogeneous (GTK_STACK (self->tables), FALSE);
  gtk_stack_add_named (GTK_STACK (self->tables), self->table, "lines");
  gtk_box_append (GTK_BOX (self->table_box), self->tables);
  _faint_window_follow_plot (self);
  g_signal_connect (self->table, "activate-line", G_CALLBACK (on_activate_line), self);
  g_signal_connect (self->table, "rows-selected", G_CALLBACK (on_rows_selected), self);
  faint_line_table_set_menu (FAINT_LINE_TABLE (self->table), menu);
  faint_filter_box_set_table (FAINT_FILTER_BOX (self->filter_box), FAINT_LINE_TABLE (self->table));
  g_signal_connect_object (self->filter_box, "changed", G_CALLBACK (_faint_window_update_count),
                           self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->filter_box, "leave", G_CALLBACK (on_leave_filter), self, 0);
}

static void
on_columns (FaintLineColumns *columns, FaintWindow *self)
{
  g_autofree char *text = faint_line_columns_get_text (columns);

  faint_settings_set_string (self->settings, "table-columns", text);
}

/* A button beside the filter; the heads of the table have the same menu. */
static void
add_columns (FaintWindow *self)
{
  FaintLineColumns *columns = faint_line_table_get_columns (FAINT_LINE_TABLE (self->table));
  GtkWidget *box = gtk_widget_get_parent (self->filter_box);
  GtkWidget *button = gtk_menu_button_new ();
  g_autofree char *text = faint_settings_get_string (self->settings, "table-columns");

  self->columns_button = button;
  gtk_menu_button_set_label (GTK_MENU_BUTTON (button), _ ("Columns"));
  gtk_menu_button_set_menu_model (GTK_MENU_BUTTON (button), faint_line_columns_get_menu (columns));
  gtk_widget_insert_action_group (button, "columns", faint_line_columns_get_actions (columns));
  gtk_widget_set_tooltip_text (button, _ ("Choose the columns of the table"));
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Columns"), -1);
  gtk_widget_add_css_class (button, "flat");
  gtk_box_append (GTK_BOX (box), button);
  faint_line_columns_set_text (columns, text);
  g_signal_connect_object (columns, "changed", G_CALLBACK (on_columns), self, 0);
}

static void
add_axis_units (FaintWindow *self)
{
  GtkStringList *names = gtk_string_list_new (NULL);
  g_autofree char *name = faint_settings_get_string (self->settings, "axis-unit");
  FaintAxisUnitKind unit = faint_axis_unit_from_name (name);

  for (guint i = 0; i < FAINT_AXIS_UNIT_N; i++)
    gtk_string_list_append (names, _ (axis_units[i]));
  gtk_drop_down_set_model (GTK_DROP_DOWN (self->axis_unit), G_LIST_MODEL (names));
  g_object_unref (names);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->axis_unit), unit < FAINT_AXIS_UNIT_N ? unit : 0);
}

static void
add_drop_target (FaintWindow *self)
{
  GtkDropTarget *target = gtk_drop_target_new (GDK_TYPE_FILE_LIST, GDK_ACTION_COPY);

  g_signal_connect (target, "drop", G_CALLBACK (on_drop), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (target));
}

static void
follow (FaintWindow *self)
{
  g_signal_connect_object (self->start_page, "open-path", G_CALLBACK (on_open_path), self, 0);
  g_signal_connect_object (self->document, "changed", G_CALLBACK (on_changed), self, 0);
  g_signal_connect_object (self->document, "failed", G_CALLBACK (on_failed), self, 0);
  g_signal_connect_object (self->document, "notify::job", G_CALLBACK (_faint_window_on_job), self,
                           0);
  g_signal_connect_object (self->document, "notify::undo-label", G_CALLBACK (on_history), self, 0);
  g_signal_connect_object (self->document, "notify::redo-label", G_CALLBACK (on_history), self, 0);
  g_signal_connect_object (self->document, "notify::modified", G_CALLBACK (on_title), self, 0);
  g_signal_connect_object (self->document, "notify::path", G_CALLBACK (on_title), self, 0);
  g_signal_connect_object (self->session, "selection-changed", G_CALLBACK (on_selection), self, 0);
  g_signal_connect_object (self->session, "notify::stage", G_CALLBACK (on_stage), self, 0);
  g_signal_connect_object (self->session, "notify::mode", G_CALLBACK (on_mode), self, 0);
  g_signal_connect_object (self->session, "notify::axis-unit", G_CALLBACK (follow_axis), self,
                           G_CONNECT_SWAPPED);
  g_signal_connect_object (self->session, "notify::origin", G_CALLBACK (follow_axis), self,
                           G_CONNECT_SWAPPED);
  g_signal_connect_object (gtk_recent_manager_get_default (), "changed",
                           G_CALLBACK (_faint_window_fill_recent), self, G_CONNECT_SWAPPED);
}

GtkWidget *
faint_window_new (GtkApplication *application, FaintSettings *settings)
{
  FaintWindow *self = g_object_new (FAINT_TYPE_WINDOW, "application", application, NULL);

  self->settings = settings;
  faint_document_set_copy_delay (self->document,
                                 (guint)faint_settings_get_int (settings, "copy-delay"));
  gtk_window_set_default_size (GTK_WINDOW (self), faint_settings_get_int (settings, "window-width"),
                               faint_settings_get_int (settings, "window-height"));
  if (faint_settings_get_boolean (settings, "window-maximized"))
    gtk_window_maximize (GTK_WINDOW (self));
  _faint_window_add_actions (self);
  add_plots (self);
  for (guint i = 0; i < FAINT_N_STAGES; i++)
    add_stage (self, i);
  add_axis_units (self);
  add_columns (self);
  add_drop_target (self);
  follow (self);
  _faint_window_follow_focus (self);
  _faint_window_fill_recent (self);
  _faint_window_fold_table (self, faint_settings_get_boolean (settings, "table-shown"));
  gtk_widget_set_visible (self->stages, FALSE);
  on_stage (self->session, NULL, self);
  update_title (self);
  _faint_window_update_status (self, 0);
  _faint_window_update_count (self);
  _faint_window_update_history_menu (self);
  faint_start_page_begin (FAINT_START_PAGE (self->start_page));
  return GTK_WIDGET (self);
}

FaintDocument *
faint_window_get_document (FaintWindow *self)
{
  g_return_val_if_fail (FAINT_IS_WINDOW (self), NULL);
  return self->document;
}

FaintSession *
faint_window_get_session (FaintWindow *self)
{
  g_return_val_if_fail (FAINT_IS_WINDOW (self), NULL);
  return self->session;
}

void
faint_window_say (FaintWindow *self, const char *heading, const char *text)
{
  g_return_if_fail (FAINT_IS_WINDOW (self));
  faint_message_bar_show (FAINT_MESSAGE_BAR (self->message), heading, text);
}
