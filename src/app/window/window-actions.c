/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What can be done in the window: one table of actions, keys and words. Menus, buttons, shortcuts
 * and tests name the actions.
 */
#include "app/window/window-private.h"

#include <glib/gi18n.h>

#include "app/assignment/assigner.h"
#include "app/window/help-window.h"

/* What must be there for an action to make sense. */
typedef enum
{
  NEEDS_NOTHING = 0,
  NEEDS_ANALYSIS = 1 << 0,
  NEEDS_LINES = 1 << 1,
  NEEDS_SELECTION = 1 << 2,
  NEEDS_JOB = 1 << 3,
  NEEDS_UNDO = 1 << 4,
  NEEDS_REDO = 1 << 5,
  NEEDS_SEVERAL = 1 << 6, /* two lines or more selected */
  NEEDS_TIES = 1 << 7,    /* among those selected */
  NEEDS_LEVELS = 1 << 8,  /* of the lower state */
  NEEDS_CLAIMED = 1 << 9, /* a claimed list */
  NEEDS_REVIEW = 1 << 10, /* a result that is current */
  NEEDS_ESCAPE = 1 << 11, /* a mode to leave, or a job */
} Needs;

static void
act_undo (FaintWindow *self)
{
  faint_document_undo (self->document);
}

static void
act_redo (FaintWindow *self)
{
  faint_document_redo (self->document);
}

static void
on_run (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (FaintWindow) self = data;
  g_autoptr (GError) error = NULL;
  gboolean done = faint_document_run_finish (FAINT_DOCUMENT (source), result, &error);

  if (self->document == NULL)
    return;
  if (done)
    _faint_window_say_poor_fit (self);
  else if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    _faint_window_say_failure (self, _ ("The fit did not succeed"), error);
}

static void
run (FaintWindow *self, gboolean find)
{
  faint_message_bar_hide (FAINT_MESSAGE_BAR (self->message));
  faint_document_run_async (self->document, find, on_run, g_object_ref (self));
}

static void
act_find_and_fit (FaintWindow *self)
{
  run (self, TRUE);
}

static void
act_fit (FaintWindow *self)
{
  run (self, FALSE);
}

static void
act_cancel (FaintWindow *self)
{
  faint_document_cancel (self->document);
}

static void
act_remove_lines (FaintWindow *self)
{
  g_autoptr (GArray) ids = _faint_window_selected_ids (self);

  faint_document_remove_lines (self->document, (const guint *)ids->data, ids->len);
}

/* A mode is left before a job is given up: the status bar says so. */
static void
act_escape (FaintWindow *self)
{
  if (faint_session_get_mode (self->session) != FAINT_MODE_INSPECT)
    faint_session_set_mode (self->session, FAINT_MODE_INSPECT);
  else
    faint_document_cancel (self->document);
}

/* The neighbour of the selected line, or the first one in view. */
static void
step_line (FaintWindow *self, int by)
{
  FaintLineList *lines = _faint_window_shown_lines (self);
  gsize n = lines ? faint_line_list_get_n (lines) : 0;
  gsize index;
  double lower, upper;
  const FaintLine *line;

  if (n == 0)
    return;
  index = faint_line_list_index_of (lines, faint_session_get_selected (self->session));
  if (index == G_MAXSIZE)
    {
      faint_session_get_view (self->session, &lower, &upper);
      index = faint_line_list_nearest (lines, by > 0 ? lower : upper);
    }
  else if (by > 0)
    index = MIN (index + 1, n - 1);
  else if (index > 0)
    index--;
  line = faint_line_list_get (lines, index);
  faint_session_set_selected (self->session, line->id);
  faint_session_reveal (self->session, line->position.value);
}

static void
act_next_line (FaintWindow *self)
{
  step_line (self, 1);
}

static void
act_previous_line (FaintWindow *self)
{
  step_line (self, -1);
}

static void
act_show_all (FaintWindow *self)
{
  faint_session_show_all (self->session);
}

static void
zoom (FaintWindow *self, double factor)
{
  double lower, upper;

  faint_session_get_view (self->session, &lower, &upper);
  faint_session_zoom_at (self->session, (lower + upper) / 2, factor);
}

static void
act_zoom_in (FaintWindow *self)
{
  zoom (self, 1.5);
}

static void
act_zoom_out (FaintWindow *self)
{
  zoom (self, 1 / 1.5);
}

static void
act_range_view (FaintWindow *self)
{
  double lower, upper;

  faint_session_get_view (self->session, &lower, &upper);
  faint_document_set_range (self->document, lower, upper);
}

static void
act_range_all (FaintWindow *self)
{
  faint_document_set_range (self->document, NAN, NAN);
}

static void
act_filter (FaintWindow *self)
{
  _faint_window_fold_table (self, TRUE);
  gtk_widget_grab_focus (faint_filter_box_get_entry (FAINT_FILTER_BOX (self->filter_box)));
}

static void
act_export_lines (FaintWindow *self)
{
  _faint_window_choose_export (self, FAINT_EXPORT_LINES);
}

static void
act_export_comb_table (FaintWindow *self)
{
  _faint_window_choose_export (self, FAINT_EXPORT_COMB_TABLE);
}

static void
act_export_report (FaintWindow *self)
{
  _faint_window_choose_export (self, FAINT_EXPORT_REPORT);
}

static void
act_export_report_short (FaintWindow *self)
{
  _faint_window_choose_export (self, FAINT_EXPORT_REPORT_SHORT);
}

static void
act_export_figure (FaintWindow *self)
{
  _faint_window_choose_figure (self);
}

static void
act_shortcuts (FaintWindow *self)
{
  g_autofree char *ui = _faint_window_shortcuts_ui ();
  g_autoptr (GtkBuilder) builder = gtk_builder_new_from_string (ui, -1);
  GtkWidget *window = GTK_WIDGET (gtk_builder_get_object (builder, "shortcuts"));

  gtk_window_set_transient_for (GTK_WINDOW (window), GTK_WINDOW (self));
  gtk_window_present (GTK_WINDOW (window));
}

static void
act_help (FaintWindow *self)
{
  gtk_window_present (GTK_WINDOW (
      faint_help_window_new (GTK_WINDOW (self), faint_session_get_stage (self->session))));
}

static void
act_close (FaintWindow *self)
{
  gtk_window_close (GTK_WINDOW (self));
}

static void
act_state_conditions (FaintWindow *self)
{
  _faint_window_state_conditions (self);
}

/* clang-format off */
static const FaintWindowAction actions[] = {
  { NULL, NULL, 0, NULL, FALSE, N_ ("Files") },
  { "open", _faint_window_choose_open, NEEDS_NOTHING, "<Control>o", FALSE, N_ ("Open") },
  { "save", _faint_window_save, NEEDS_ANALYSIS, "<Control>s", FALSE, N_ ("Save") },
  { "save-as", _faint_window_save_as, NEEDS_ANALYSIS, "<Control><Shift>s", FALSE, N_ ("Save as") },
  { "read-lines", _faint_window_choose_lines, NEEDS_ANALYSIS, NULL, FALSE, NULL },
  { "state-conditions", act_state_conditions, NEEDS_ANALYSIS, NULL, FALSE, NULL },
  { "export-lines", act_export_lines, NEEDS_ANALYSIS, "<Control>e", FALSE, N_ ("Export the line list") },
  { "export-comb-table", act_export_comb_table, NEEDS_ANALYSIS, NULL, FALSE, NULL },
  { "export-report", act_export_report, NEEDS_ANALYSIS, NULL, FALSE, NULL },
  { "export-report-short", act_export_report_short, NEEDS_ANALYSIS, NULL, FALSE, NULL },
  { "export-figure", act_export_figure, NEEDS_ANALYSIS, NULL, FALSE, NULL },
  { "print-report", _faint_window_print_report, NEEDS_ANALYSIS, "<Control>p", FALSE, N_ ("Print the report") },
  { "print-figure", _faint_window_print_figure, NEEDS_ANALYSIS, "<Control><Shift>p", FALSE, N_ ("Print the figure") },
  { "copy-figure", _faint_window_copy_figure, NEEDS_ANALYSIS, "<Control><Shift>c", FALSE, N_ ("Copy the figure") },
  { "record", _faint_window_show_record, NEEDS_ANALYSIS, NULL, FALSE, NULL },
  { "close", act_close, NEEDS_NOTHING, "<Control>w", FALSE, N_ ("Close the window") },
  { NULL, NULL, 0, NULL, FALSE, N_ ("View") },
  { "filter", act_filter, NEEDS_ANALYSIS, "<Control>f", FALSE, N_ ("Filter the table") },
  { "show-all", act_show_all, NEEDS_ANALYSIS, "<Control>0", FALSE, N_ ("Show the whole span") },
  { "go-to", _faint_window_go_to, NEEDS_ANALYSIS, "<Control>g", FALSE, N_ ("Go to a position") },
  { "zoom-in", act_zoom_in, NEEDS_ANALYSIS, "<Control>plus", FALSE, N_ ("Zoom in") },
  { "zoom-out", act_zoom_out, NEEDS_ANALYSIS, "<Control>minus", FALSE, N_ ("Zoom out") },
  { "next-area", _faint_window_next_area, NEEDS_NOTHING, "F6", FALSE, N_ ("Next area of the window") },
  { "previous-area", _faint_window_previous_area, NEEDS_NOTHING, "<Shift>F6", FALSE, N_ ("Previous area of the window") },
  { "range-view", act_range_view, NEEDS_ANALYSIS, NULL, FALSE, NULL },
  { "range-all", act_range_all, NEEDS_ANALYSIS, NULL, FALSE, NULL },
  { "shortcuts", act_shortcuts, NEEDS_NOTHING, "<Control>question", FALSE, N_ ("Keyboard shortcuts") },
  { "help", act_help, NEEDS_NOTHING, "F1", FALSE, N_ ("Manual, at the stage of the work") },
  { NULL, NULL, 0, NULL, FALSE, N_ ("Lines") },
  { "undo", act_undo, NEEDS_UNDO, "<Control>z", TRUE, N_ ("Undo") },
  { "redo", act_redo, NEEDS_REDO, "<Control><Shift>z", TRUE, N_ ("Redo") },
  { "find-and-fit", act_find_and_fit, NEEDS_ANALYSIS, "<Control><Shift>Return", FALSE, N_ ("Find and fit") },
  { "fit", act_fit, NEEDS_LINES, "<Control>Return", FALSE, N_ ("Fit these lines") },
  { "cancel", act_cancel, NEEDS_JOB, NULL, FALSE, NULL },
  { "escape", act_escape, NEEDS_ESCAPE, "Escape", TRUE, N_ ("Leave a mode, or cancel what runs") },
  { "next-line", act_next_line, NEEDS_LINES, "n", TRUE, N_ ("Next line") },
  { "previous-line", act_previous_line, NEEDS_LINES, "<Shift>n", TRUE, N_ ("Previous line") },
  { "remove-lines", act_remove_lines, NEEDS_SELECTION, "Delete", TRUE, N_ ("Remove the selected lines") },
  { "split-line", _faint_window_split_line, NEEDS_SELECTION, "<Control>d", FALSE, N_ ("Split the selected line") },
  { "merge-lines", _faint_window_merge_lines, NEEDS_SEVERAL, "<Control><Shift>d", FALSE, N_ ("Merge the selected lines") },
  { "tie-widths", _faint_window_tie_widths, NEEDS_SEVERAL, "<Control>t", FALSE, N_ ("Tie Lorentz widths") },
  { "tie-strengths", _faint_window_tie_strengths, NEEDS_SEVERAL, NULL, FALSE, NULL },
  { "tie-positions", _faint_window_tie_positions, NEEDS_SEVERAL, NULL, FALSE, NULL },
  { "release-ties", _faint_window_release_ties, NEEDS_TIES, "<Control><Shift>t", FALSE, N_ ("Release ties") },
  { "assign", _faint_window_assign, NEEDS_LINES | NEEDS_LEVELS, "<Control>m", FALSE, N_ ("Assign lines") },
  { "unassign-all", _faint_window_unassign_all, NEEDS_LINES, NULL, FALSE, NULL },
  { "what-if", _faint_window_what_if, NEEDS_ANALYSIS, "<Control>i", FALSE, N_ ("What if: play with the conditions") },
  { "review", _faint_window_review, NEEDS_ANALYSIS | NEEDS_CLAIMED, "<Control><Shift>r", FALSE, N_ ("Review the claimed list") },
  { "sign-off", _faint_window_sign_off, NEEDS_REVIEW, NULL, FALSE, NULL },
  { "correlation", _faint_window_show_correlation, NEEDS_ANALYSIS, "<Control>k", FALSE, N_ ("Correlation of Parameters") },
  { "quality", _faint_window_show_quality, NEEDS_ANALYSIS, "<Control>j", FALSE, N_ ("Quality by Window") },
};

/* clang-format on */

static const char *const stage_names[FAINT_N_STAGES]
    = { "data", "cavity", "lines", "strengths", "assignment", "review" };

static void
on_action (GSimpleAction *simple, GVariant *parameter, gpointer data)
{
  FaintWindow *self = data;
  const char *name = g_action_get_name (G_ACTION (simple));

  for (guint i = 0; i < G_N_ELEMENTS (actions); i++)
    if (g_strcmp0 (actions[i].name, name) == 0)
      actions[i].act (self);
}

static void
on_open_path (GSimpleAction *simple, GVariant *parameter, gpointer data)
{
  const char *const paths[] = { g_variant_get_string (parameter, NULL), NULL };

  faint_window_open (data, paths);
}

static void
on_profile (GSimpleAction *simple, GVariant *parameter, gpointer data)
{
  FaintProfile profile;

  if (faint_profile_from_name (g_variant_get_string (parameter, NULL), &profile))
    _faint_window_set_profile (data, profile);
}

/* "position", "lorentz": a parameter of the selected lines. */
static void
on_state (GSimpleAction *simple, GVariant *parameter, gpointer data)
{
  gboolean fix = g_str_equal (g_action_get_name (G_ACTION (simple)), "fix");

  for (FaintPlace place = 0; place < FAINT_PLACE_N; place++)
    if (g_str_equal (faint_place_name (place), g_variant_get_string (parameter, NULL)))
      _faint_window_set_state (data, place, fix ? FAINT_STATE_FIXED : FAINT_STATE_FREE);
}

static void
on_change_stage (GSimpleAction *simple, GVariant *state, gpointer data)
{
  FaintWindow *self = data;

  for (guint i = 0; i < FAINT_N_STAGES; i++)
    if (strcmp (stage_names[i], g_variant_get_string (state, NULL)) == 0)
      faint_session_set_stage (self->session, i);
}

static void
on_change_add_mode (GSimpleAction *simple, GVariant *state, gpointer data)
{
  FaintWindow *self = data;

  faint_session_set_mode (self->session,
                          g_variant_get_boolean (state) ? FAINT_MODE_ADD : FAINT_MODE_INSPECT);
}

static void
on_change_mark_mode (GSimpleAction *simple, GVariant *state, gpointer data)
{
  FaintWindow *self = data;

  faint_session_set_mode (self->session,
                          g_variant_get_boolean (state) ? FAINT_MODE_MARK : FAINT_MODE_INSPECT);
}

static void
on_change_table_shown (GSimpleAction *simple, GVariant *state, gpointer data)
{
  _faint_window_fold_table (data, g_variant_get_boolean (state));
}

static GSimpleAction *
action_of (FaintWindow *self, const char *name)
{
  return G_SIMPLE_ACTION (g_action_map_lookup_action (G_ACTION_MAP (self), name));
}

static guint
what_is_selected (FaintWindow *self)
{
  g_autoptr (GArray) ids = _faint_window_selected_ids (self);
  guint there = 0;

  /* rows of a review are no lines of the document */
  if (_faint_window_shows_review (self))
    return 0;
  if (faint_document_get_line (self->document, faint_session_get_selected (self->session)))
    there |= NEEDS_SELECTION;
  if (ids->len > 1)
    there |= NEEDS_SEVERAL;
  if (_faint_window_has_ties (self))
    there |= NEEDS_TIES;
  return there;
}

static guint
what_is_there (FaintWindow *self)
{
  FaintLineList *lines = faint_document_get_lines (self->document);
  guint there = what_is_selected (self);

  if (lines)
    there |= NEEDS_ANALYSIS;
  if (lines && faint_line_list_get_n (lines) > 0)
    there |= NEEDS_LINES;
  if (faint_assigner_get_levels (faint_assigner_of (self->document)))
    there |= NEEDS_LEVELS;
  if (_faint_window_can_review (self))
    there |= NEEDS_CLAIMED;
  if (_faint_window_can_sign_off (self))
    there |= NEEDS_REVIEW;
  if (faint_document_get_job (self->document))
    there |= NEEDS_JOB | NEEDS_ESCAPE;
  if (faint_session_get_mode (self->session) != FAINT_MODE_INSPECT)
    there |= NEEDS_ESCAPE;
  if (faint_document_get_undo_label (self->document))
    there |= NEEDS_UNDO;
  if (faint_document_get_redo_label (self->document))
    there |= NEEDS_REDO;
  return there;
}

void
_faint_window_update_actions (FaintWindow *self)
{
  guint there = what_is_there (self);

  for (guint i = 0; i < G_N_ELEMENTS (actions); i++)
    if (actions[i].name)
      g_simple_action_set_enabled (action_of (self, actions[i].name),
                                   (actions[i].needs & ~there) == 0);
  g_simple_action_set_enabled (action_of (self, "profile"), (there & NEEDS_SELECTION) != 0);
  g_simple_action_set_enabled (action_of (self, "fix"), (there & NEEDS_SELECTION) != 0);
  g_simple_action_set_enabled (action_of (self, "release"), (there & NEEDS_SELECTION) != 0);
  g_simple_action_set_enabled (action_of (self, "add-mode"),
                               (there & NEEDS_ANALYSIS) && !_faint_window_shows_review (self));
  g_simple_action_set_enabled (action_of (self, "mark-mode"),
                               (there & NEEDS_ANALYSIS) && !_faint_window_shows_review (self));
  g_simple_action_set_state (
      action_of (self, "stage"),
      g_variant_new_string (stage_names[faint_session_get_stage (self->session)]));
  g_simple_action_set_state (
      action_of (self, "add-mode"),
      g_variant_new_boolean (faint_session_get_mode (self->session) == FAINT_MODE_ADD));
  g_simple_action_set_state (
      action_of (self, "mark-mode"),
      g_variant_new_boolean (faint_session_get_mode (self->session) == FAINT_MODE_MARK));
}

char *
_faint_window_why_not (FaintWindow *self, const char *action)
{
  static const struct
  {
    guint need;
    const char *words;
  } reasons[] = {
    { NEEDS_ANALYSIS, N_ ("open a spectrum first") },
    { NEEDS_LINES, N_ ("there are no lines yet") },
    { NEEDS_SELECTION, N_ ("no line is selected") },
    { NEEDS_SEVERAL, N_ ("select two lines or more first, by Ctrl and click in table or plot") },
    { NEEDS_TIES, N_ ("none of the selected lines is tied") },
    { NEEDS_LEVELS, N_ ("open levels of the lower state first (stage Assignment)") },
    { NEEDS_CLAIMED, N_ ("open a claimed list first (stage Review)") },
    { NEEDS_REVIEW, N_ ("review the claimed list first") },
    { NEEDS_UNDO, N_ ("there is nothing to undo") },
    { NEEDS_REDO, N_ ("there is nothing to redo") },
  };
  const guint of_lines = NEEDS_SELECTION | NEEDS_SEVERAL | NEEDS_TIES;
  guint missing = 0;
  const char *name = NULL, *reason = NULL;

  for (guint i = 0; i < G_N_ELEMENTS (actions); i++)
    if (g_strcmp0 (actions[i].name, action) == 0 && actions[i].words)
      {
        missing = actions[i].needs & ~what_is_there (self);
        name = _ (actions[i].words);
      }
  for (guint i = 0; i < G_N_ELEMENTS (reasons) && reason == NULL; i++)
    if (missing & reasons[i].need)
      reason = (missing & of_lines) && _faint_window_shows_review (self)
                   ? _ ("not while a review is shown")
                   : _ (reasons[i].words);
  /* Translators: a command, and what it waits for */
  return reason ? g_strdup_printf (_ ("%s: %s"), name, reason) : NULL;
}

/* A key whose action is not possible says why. */
static gboolean
on_impossible (GtkWidget *widget, GVariant *arguments, gpointer action)
{
  g_autofree char *text = _faint_window_why_not (FAINT_WINDOW (widget), action);

  if (text == NULL)
    return GDK_EVENT_PROPAGATE;
  _faint_window_tell (FAINT_WINDOW (widget), text);
  return GDK_EVENT_STOP;
}

static void
add_impossible_keys (FaintWindow *self)
{
  GtkEventController *controller = gtk_shortcut_controller_new ();

  for (guint i = 0; i < G_N_ELEMENTS (actions); i++)
    if (actions[i].keys && actions[i].needs)
      gtk_shortcut_controller_add_shortcut (
          GTK_SHORTCUT_CONTROLLER (controller),
          gtk_shortcut_new (
              gtk_shortcut_trigger_parse_string (actions[i].keys),
              gtk_callback_action_new (on_impossible, (gpointer)actions[i].name, NULL)));
  gtk_widget_add_controller (GTK_WIDGET (self), controller);
}

/* Keys that an entry with the focus may want first. */
static void
add_local_keys (FaintWindow *self)
{
  GtkEventController *controller = gtk_shortcut_controller_new ();

  for (guint i = 0; i < G_N_ELEMENTS (actions); i++)
    {
      g_autofree char *action = NULL;

      if (!actions[i].local)
        continue;
      action = g_strdup_printf ("action(win.%s)", actions[i].name);
      gtk_shortcut_controller_add_shortcut (
          GTK_SHORTCUT_CONTROLLER (controller),
          gtk_shortcut_new (gtk_shortcut_trigger_parse_string (actions[i].keys),
                            gtk_shortcut_action_parse_string (action)));
    }
  gtk_widget_add_controller (GTK_WIDGET (self), controller);
}

void
_faint_window_add_actions (FaintWindow *self)
{
  static const GActionEntry stateful[] = {
    { "open-path", on_open_path, "s", NULL, NULL },
    { "profile", on_profile, "s", NULL, NULL },
    { "fix", on_state, "s", NULL, NULL },
    { "release", on_state, "s", NULL, NULL },
    { "stage", NULL, "s", "'data'", on_change_stage },
    { "add-mode", NULL, NULL, "false", on_change_add_mode },
    { "mark-mode", NULL, NULL, "false", on_change_mark_mode },
    { "table-shown", NULL, NULL, "true", on_change_table_shown },
  };

  for (guint i = 0; i < G_N_ELEMENTS (actions); i++)
    {
      g_autoptr (GSimpleAction) action = NULL;

      if (actions[i].name == NULL)
        continue;
      action = g_simple_action_new (actions[i].name, NULL);
      g_signal_connect (action, "activate", G_CALLBACK (on_action), self);
      g_action_map_add_action (G_ACTION_MAP (self), G_ACTION (action));
    }
  g_action_map_add_action_entries (G_ACTION_MAP (self), stateful, G_N_ELEMENTS (stateful), self);
  add_impossible_keys (self); /* what is added later comes first */
  add_local_keys (self);
  _faint_window_build_menu (self);
}

const FaintWindowAction *
_faint_window_actions (guint *n)
{
  *n = G_N_ELEMENTS (actions);
  return actions;
}
