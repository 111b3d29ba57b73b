/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A profile, a row for each of its parameters, and what is said of the line.
 */
#include "app/lines/line-editor.h"

#include <glib/gi18n.h>

#include "app/lines/blend-sum.h"
#include "app/lines/line-model.h"
#include "app/lines/line-shape.h"
#include "app/lines/line-words.h"
#include "app/parts/pane.h"
#include "app/lines/parameter-row.h"

struct _FaintLineEditor
{
  GtkBox parent;

  FaintDocument *document;
  FaintSession *session;
  GtkWidget *empty;    /* says that nothing is selected */
  GtkWidget *controls; /* all the rest */
  GtkWidget *profile;  /* GtkDropDown: FaintProfile */
  GtkWidget *several;  /* says that edits hold for all selected lines */
  GtkWidget *flags;
  GtkWidget *blend; /* sum of the strengths of a blend */
  GtkWidget *rows[FAINT_PLACE_N];
  GtkWidget *excluded;
  gboolean filling;
};

G_DEFINE_FINAL_TYPE (FaintLineEditor, faint_line_editor, GTK_TYPE_BOX)

static const FaintLine *
selected_line (FaintLineEditor *self)
{
  return faint_document_get_line (self->document, faint_session_get_selected (self->session));
}

static void
submit (FaintLineEditor *self, const FaintLine *line, const char *format)
{
  char position[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *label = NULL;

  g_ascii_formatd (position, sizeof position, "%.3f", line->position.value);
  label = g_strdup_printf (_ (format), position);
  faint_document_edit_line (self->document, line, label);
}

static void
update_flags (FaintLineEditor *self, const FaintLine *line)
{
  g_autofree char *flags = faint_line_flags_in_words (line->flags);

  faint_pane_set_value (self->flags, flags);
}

/* Where the fit shares a strength out among neighbours only poorly, it knows their sum. */
static void
update_blend (FaintLineEditor *self, const FaintLine *line)
{
  FaintFit *fit = faint_document_get_fit (self->document);
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);
  FaintBlendSum sum;
  g_autofree char *number = NULL, *text = NULL;
  gboolean known = fit && faint_analysis_fit_is_current (analysis)
                   && faint_analysis_get_n_spectra (analysis) == 1
                   && faint_blend_sum (fit, line, &sum);

  faint_pane_show_row (self->blend, known);
  if (!known)
    return;
  number = faint_format_concise (sum.value, sum.u);
  /* Translators: a strength in cm/molecule; a number of lines, 2 or more */
  text = g_strdup_printf (_ ("%s cm/molecule for %u lines together"), number, sum.n);
  faint_pane_set_value (self->blend, text);
}

static void
update_several (FaintLineEditor *self)
{
  gsize n;
  g_autofree char *text = NULL;

  faint_session_get_several (self->session, &n);
  text = g_strdup_printf (
      _ ("What is changed here holds for all %u selected lines; a position for this one alone."),
      (guint)n);
  gtk_label_set_text (GTK_LABEL (self->several), text);
  gtk_widget_set_visible (self->several, n > 1);
}

static void
update (FaintLineEditor *self)
{
  const FaintLine *found = selected_line (self);

  gtk_label_set_text (GTK_LABEL (self->empty),
                      faint_no_line_in_words (faint_document_get_lines (self->document)));
  gtk_widget_set_visible (self->empty, found == NULL);
  gtk_widget_set_visible (self->controls, found != NULL);
  if (found == NULL)
    return;

  self->filling = TRUE;
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->profile), found->profile);
  for (FaintPlace place = 0; place < FAINT_PLACE_N; place++)
    faint_parameter_row_update (FAINT_PARAMETER_ROW (self->rows[place]), found);
  gtk_check_button_set_active (GTK_CHECK_BUTTON (self->excluded),
                               (found->flags & FAINT_LINE_EXCLUDED) != 0);
  update_flags (self, found);
  update_blend (self, found);
  self->filling = FALSE;
}

static void
on_changed (FaintDocument *document, guint change, FaintLineEditor *self)
{
  if (change & (FAINT_CHANGE_LINES | FAINT_CHANGE_FIT | FAINT_CHANGE_OPTIONS | FAINT_CHANGE_OPENED))
    update (self);
}

static void
on_selection (FaintSession *session, FaintLineEditor *self)
{
  update (self);
}

/* What is in the hand is shown as it would be; let go, the line is as the document has it. */
static void
on_dragged (FaintSession *session, const FaintLine *line, FaintLineEditor *self)
{
  const FaintPlace moving[] = { FAINT_PLACE_POSITION, FAINT_PLACE_LORENTZ };

  if (line == NULL)
    update (self);
  else if (line->id == faint_session_get_selected (session))
    for (guint i = 0; i < G_N_ELEMENTS (moving); i++)
      faint_parameter_row_update (FAINT_PARAMETER_ROW (self->rows[moving[i]]), line);
}

static void
on_profile (GtkDropDown *drop_down, GParamSpec *pspec, FaintLineEditor *self)
{
  const FaintLine *found = selected_line (self);
  FaintProfile profile = gtk_drop_down_get_selected (drop_down);
  FaintLine line;

  if (self->filling || found == NULL || profile >= FAINT_PROFILE_N || profile == found->profile)
    return;
  line = *found;
  faint_line_set_profile (&line, profile);
  submit (self, &line, N_ ("Change Profile of Line %s"));
}

static void
on_excluded (GtkCheckButton *check, FaintLineEditor *self)
{
  const FaintLine *found = selected_line (self);
  FaintLine line;

  if (self->filling || found == NULL)
    return;
  line = *found;
  line.flags ^= FAINT_LINE_EXCLUDED;
  submit (self, &line,
          (line.flags & FAINT_LINE_EXCLUDED) ? N_ ("Exclude Line %s") : N_ ("Include Line %s"));
}

static void
on_axis (FaintSession *session, GParamSpec *pspec, FaintLineEditor *self)
{
  update (self);
}

static void
faint_line_editor_dispose (GObject *object)
{
  FaintLineEditor *self = FAINT_LINE_EDITOR (object);

  g_clear_object (&self->document);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (faint_line_editor_parent_class)->dispose (object);
}

static void
faint_line_editor_class_init (FaintLineEditorClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_line_editor_dispose;
}

static void
faint_line_editor_init (FaintLineEditor *self)
{
  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
  self->several = gtk_label_new (NULL);
  gtk_label_set_xalign (GTK_LABEL (self->several), 0);
  gtk_label_set_wrap (GTK_LABEL (self->several), TRUE);
  gtk_widget_add_css_class (self->several, "note");
  gtk_widget_set_visible (self->several, FALSE);
  gtk_box_append (GTK_BOX (self), self->several);
  self->empty = gtk_label_new (NULL);
  gtk_label_set_xalign (GTK_LABEL (self->empty), 0);
  gtk_label_set_wrap (GTK_LABEL (self->empty), TRUE);
  gtk_widget_add_css_class (self->empty, "note");
  gtk_box_append (GTK_BOX (self), self->empty);
  self->controls = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8);
  gtk_box_append (GTK_BOX (self), self->controls);
}

static void
build_profile (FaintLineEditor *self, GtkWidget *grid)
{
  GtkStringList *names = gtk_string_list_new (NULL);

  for (FaintProfile profile = 0; profile < FAINT_PROFILE_N; profile++)
    gtk_string_list_append (names, faint_profile_in_words (profile));
  self->profile = gtk_drop_down_new (G_LIST_MODEL (names), NULL);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->profile), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Profile"), -1);
  g_signal_connect (self->profile, "notify::selected", G_CALLBACK (on_profile), self);
  faint_pane_row (grid, _ ("Profile"), self->profile);
}

static void
build (FaintLineEditor *self)
{
  GtkWidget *grid = gtk_grid_new ();

  for (FaintPlace place = 0; place < FAINT_PLACE_N; place++)
    {
      self->rows[place] = faint_parameter_row_new (self->document, self->session, place);
      gtk_box_append (GTK_BOX (self->controls), self->rows[place]);
    }
  gtk_grid_set_row_spacing (GTK_GRID (grid), 6);
  gtk_grid_set_column_spacing (GTK_GRID (grid), 12);
  gtk_box_append (GTK_BOX (self->controls), grid);
  build_profile (self, grid);
  self->excluded = gtk_check_button_new_with_mnemonic (_ ("_Exclude from the model"));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->excluded), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Exclude from the model"), -1);
  g_signal_connect (self->excluded, "toggled", G_CALLBACK (on_excluded), self);
  faint_pane_wide (grid, self->excluded);
  self->flags = faint_pane_value (grid, _ ("Remarks"));
  self->blend = faint_pane_value (grid, _ ("Strength of the blend"));
  gtk_widget_set_tooltip_text (self->blend,
                               _ ("The sum of the strengths of lines that the data do not tell "
                                  "apart, with the covariances of the fit"));
}

GtkWidget *
faint_line_editor_new (FaintDocument *document, FaintSession *session)
{
  FaintLineEditor *self = g_object_new (FAINT_TYPE_LINE_EDITOR, NULL);

  self->document = g_object_ref (document);
  self->session = g_object_ref (session);
  build (self);
  g_signal_connect_object (document, "changed", G_CALLBACK (on_changed), self, 0);
  g_signal_connect_object (session, "selection-changed", G_CALLBACK (on_selection), self, 0);
  g_signal_connect_object (session, "notify::axis-unit", G_CALLBACK (on_axis), self, 0);
  g_signal_connect_object (session, "notify::origin", G_CALLBACK (on_axis), self, 0);
  g_signal_connect_object (session, "line-dragged", G_CALLBACK (on_dragged), self, 0);
  g_signal_connect_object (session, "several-changed", G_CALLBACK (update_several), self,
                           G_CONNECT_SWAPPED);
  update (self);
  return GTK_WIDGET (self);
}
