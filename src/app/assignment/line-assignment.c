/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/assignment/line-assignment.h"

#include <glib/gi18n.h>
#include <math.h>

#include "app/assignment/assignment-figures.h"
#include "faint/base/quantity.h"
#include "app/assignment/line-evidence.h"
#include "app/parts/pane.h"
#include "app/parts/quantity-text.h"

#define MOST_PARTNERS 5

struct _FaintLineAssignment
{
  GtkBox parent;

  FaintDocument *document;
  FaintSession *session;
  FaintAssigner *assigner;
  GtkWidget *empty, *controls, *position, *energy, *upper, *lower, *assign, *remove;
  GtkWidget *partners_words, *partners; /* GtkBox of buttons */
  FaintLineEvidence evidence;
  GArray *found;    /* FaintPartner, or NULL */
  gboolean waiting; /* partners are looked for in the next idle moment */
};

G_DEFINE_FINAL_TYPE (FaintLineAssignment, faint_line_assignment, GTK_TYPE_BOX)

static const FaintLine *
line_of (FaintLineAssignment *self)
{
  return faint_document_get_line (self->document, faint_session_get_selected (self->session));
}

static void
on_partner (GtkButton *button, FaintLineAssignment *self)
{
  guint index = GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "faint-index"));

  faint_line_assignment_take_partner (self, index);
}

static char *
partner_in_words (FaintLineAssignment *self, const FaintPartner *it)
{
  const FaintLine *line = faint_document_get_line (self->document, it->id);
  g_autofree char *one = faint_transition_in_words (self->assigner, it->ladder, it->branch, it->j);
  g_autofree char *other = faint_transition_in_words (self->assigner, it->ladder, it->other, it->j);
  g_autofree char *misfit = faint_true_minus (faint_format_concise (1e3 * it->misfit, 1e3 * it->u));
  char position[G_ASCII_DTOSTR_BUF_SIZE], chance[G_ASCII_DTOSTR_BUF_SIZE],
      ratio[G_ASCII_DTOSTR_BUF_SIZE] = "–";

  g_ascii_formatd (position, sizeof position, "%.3f", line ? line->position.value : NAN);
  g_ascii_formatd (chance, sizeof chance, "%.2g", 100 * it->chance);
  if (isfinite (it->ratio))
    g_ascii_formatd (ratio, sizeof ratio, "%.2f", it->ratio);
  /* Translators: as in "R(12), with P(14) at 7790.123: misfit 0.12(30)·10⁻³ cm⁻¹, by chance 4 %,
   * strength ratio 1.02" */
  return g_strdup_printf (_ ("%s, with %s at %s\nmisfit %s·10⁻³ cm⁻¹, by chance %s %%\nstrength "
                             "ratio over expected %s"),
                          one, other, position, misfit, chance, ratio);
}

static void
append_partner (FaintLineAssignment *self, guint index)
{
  const FaintPartner *it = &g_array_index (self->found, FaintPartner, index);
  g_autofree char *text = partner_in_words (self, it);
  GtkWidget *button = gtk_button_new_with_label (text);
  GtkWidget *label = gtk_button_get_child (GTK_BUTTON (button));

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 36);
  gtk_widget_add_css_class (button, "flat");
  gtk_widget_add_css_class (button, "numeric");
  gtk_widget_set_tooltip_text (button, _ ("Assign both lines so"));
  g_object_set_data (G_OBJECT (button), "faint-index", GUINT_TO_POINTER (index));
  g_signal_connect (button, "clicked", G_CALLBACK (on_partner), self);
  gtk_box_append (GTK_BOX (self->partners), button);
}

static void
update_partners (FaintLineAssignment *self)
{
  const FaintLine *line = line_of (self);

  g_clear_pointer (&self->found, g_array_unref);
  faint_pane_empty (self->partners);
  if (line)
    self->found = faint_assigner_partners (self->assigner, line->id);
  for (guint i = 0; self->found && i < MIN (self->found->len, MOST_PARTNERS); i++)
    append_partner (self, i);
  if (faint_assigner_get_levels (self->assigner) == NULL)
    gtk_label_set_text (GTK_LABEL (self->partners_words),
                        _ ("Lines that may share its upper level are listed here once the levels "
                           "of the lower state are read."));
  else if (self->found && self->found->len > 0)
    gtk_label_set_text (GTK_LABEL (self->partners_words),
                        _ ("Lines that may share its upper level, by combination differences; the "
                           "least misfit first. A click assigns both."));
  else
    gtk_label_set_text (GTK_LABEL (self->partners_words),
                        _ ("No line shares an upper level with this one."));
}

static gboolean
on_idle (gpointer data)
{
  FaintLineAssignment *self = data;

  self->waiting = FALSE;
  if (self->document)
    update_partners (self);
  return G_SOURCE_REMOVE;
}

/* Partners wait until the pane is looked at, and until the rest is shown. */
static void
want_partners (FaintLineAssignment *self)
{
  if (self->waiting || !gtk_widget_get_mapped (GTK_WIDGET (self)))
    return;
  self->waiting = TRUE;
  g_idle_add_full (G_PRIORITY_DEFAULT_IDLE, on_idle, g_object_ref (self), g_object_unref);
}

static void
set_text (GtkWidget *entry, const char *text)
{
  if (!g_str_equal (gtk_editable_get_text (GTK_EDITABLE (entry)), text))
    gtk_editable_set_text (GTK_EDITABLE (entry), text);
  faint_pane_forget_typing (entry);
}

static void
update_buttons (FaintLineAssignment *self)
{
  const FaintLine *line = line_of (self);
  const char *upper = gtk_editable_get_text (GTK_EDITABLE (self->upper));
  const char *lower = gtk_editable_get_text (GTK_EDITABLE (self->lower));

  gtk_widget_set_sensitive (
      self->assign,
      line && (!g_str_equal (upper, line->upper) || !g_str_equal (lower, line->lower)));
  gtk_widget_set_sensitive (self->remove, line && (*line->upper || *line->lower));
}

static void
update (FaintLineAssignment *self)
{
  const FaintLine *line = line_of (self);

  gtk_widget_set_visible (self->empty, line == NULL);
  gtk_widget_set_visible (self->controls, line != NULL);
  if (line)
    {
      faint_pane_set_measured (self->position, line->position.value, line->position.u, "cm⁻¹");
      faint_pane_set_measured (self->energy, line->lower_energy, line->u_lower_energy, "cm⁻¹");
      set_text (self->upper, line->upper);
      set_text (self->lower, line->lower);
    }
  faint_line_evidence_show (&self->evidence, self->assigner, line);
  update_buttons (self);
  want_partners (self);
}

static void
on_judged (FaintLineAssignment *self)
{
  faint_line_evidence_show (&self->evidence, self->assigner, line_of (self));
}

static void
on_changed (FaintDocument *document, guint change, FaintLineAssignment *self)
{
  if (change & (FAINT_CHANGE_LINES | FAINT_CHANGE_OPENED))
    update (self);
}

/* Text without blanks around it; free with g_free. */
static char *
entered (GtkWidget *entry)
{
  return g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (entry))));
}

static void
on_assign (FaintLineAssignment *self)
{
  const FaintLine *line = line_of (self);
  g_autofree char *upper = entered (self->upper), *lower = entered (self->lower);

  if (line)
    faint_assigner_set_labels (self->assigner, line->id, upper, lower);
}

void
faint_line_assignment_enter (FaintLineAssignment *self, const char *upper, const char *lower)
{
  g_return_if_fail (FAINT_IS_LINE_ASSIGNMENT (self));
  set_text (self->upper, upper);
  set_text (self->lower, lower);
  on_assign (self);
}

void
faint_line_assignment_remove (FaintLineAssignment *self)
{
  const FaintLine *line;

  g_return_if_fail (FAINT_IS_LINE_ASSIGNMENT (self));
  line = line_of (self);
  if (line)
    faint_assigner_set_labels (self->assigner, line->id, "", "");
}

gboolean
faint_line_assignment_take_partner (FaintLineAssignment *self, guint index)
{
  const FaintLine *line;
  const FaintPartner *it;
  g_autoptr (GError) error = NULL;

  g_return_val_if_fail (FAINT_IS_LINE_ASSIGNMENT (self), FALSE);
  line = line_of (self);
  if (line == NULL || self->found == NULL || index >= self->found->len)
    return FALSE;
  it = &g_array_index (self->found, FaintPartner, index);
  FaintTransition both[] = { { line->id, it->ladder, it->branch, it->j, NULL },
                             { it->id, it->ladder, it->other, it->j, NULL } };
  if (faint_assigner_label (self->assigner, both, G_N_ELEMENTS (both), &error))
    return TRUE;
  gtk_label_set_text (GTK_LABEL (self->partners_words), error->message);
  return FALSE;
}

guint
faint_line_assignment_get_n_partners (FaintLineAssignment *self)
{
  return self->found ? self->found->len : 0;
}

static void
faint_line_assignment_dispose (GObject *object)
{
  FaintLineAssignment *self = FAINT_LINE_ASSIGNMENT (object);

  g_clear_pointer (&self->found, g_array_unref);
  g_clear_object (&self->assigner);
  g_clear_object (&self->document);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (faint_line_assignment_parent_class)->dispose (object);
}

static void
faint_line_assignment_map (GtkWidget *widget)
{
  GTK_WIDGET_CLASS (faint_line_assignment_parent_class)->map (widget);
  want_partners (FAINT_LINE_ASSIGNMENT (widget));
}

static void
faint_line_assignment_class_init (FaintLineAssignmentClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_line_assignment_dispose;
  GTK_WIDGET_CLASS (klass)->map = faint_line_assignment_map;
}

static void
faint_line_assignment_init (FaintLineAssignment *self)
{
  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
}

static GtkWidget *
entry_new (FaintLineAssignment *self, const char *name)
{
  GtkWidget *entry = gtk_entry_new ();

  gtk_editable_set_width_chars (GTK_EDITABLE (entry), 12);
  gtk_accessible_update_property (GTK_ACCESSIBLE (entry), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
  g_signal_connect_swapped (entry, "changed", G_CALLBACK (update_buttons), self);
  g_signal_connect_swapped (entry, "activate", G_CALLBACK (on_assign), self);
  faint_pane_escape_takes_back (entry, NULL, NULL);
  return entry;
}

static void
build (FaintLineAssignment *self)
{
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("Selected line"));
  GtkWidget *buttons = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);

  self->empty = faint_pane_note (grid, _ ("Click a line in a plot or in the table."));
  self->controls = gtk_grid_new ();
  gtk_grid_set_row_spacing (GTK_GRID (self->controls), 6);
  gtk_grid_set_column_spacing (GTK_GRID (self->controls), 12);
  self->position = faint_pane_value (self->controls, _ ("Position"));
  self->energy = faint_pane_value (self->controls, _ ("Lower-state energy"));
  self->upper = entry_new (self, _ ("Upper level"));
  self->lower = entry_new (self, _ ("Lower level"));
  self->assign = faint_pane_button (_ ("A_ssign"), NULL);
  self->remove = faint_pane_button (_ ("_Unassign"), NULL);
  faint_pane_row (self->controls, _ ("Upper level"), self->upper);
  faint_pane_row (self->controls, _ ("Lower level"), self->lower);
  g_signal_connect_swapped (self->assign, "clicked", G_CALLBACK (on_assign), self);
  g_signal_connect_swapped (self->remove, "clicked", G_CALLBACK (faint_line_assignment_remove),
                            self);
  gtk_box_append (GTK_BOX (buttons), self->assign);
  gtk_box_append (GTK_BOX (buttons), self->remove);
  gtk_box_set_homogeneous (GTK_BOX (buttons), TRUE);
  faint_pane_wide (self->controls, buttons);
  faint_line_evidence_add (&self->evidence, self->controls);
  self->partners_words = faint_pane_note (self->controls, "");
  self->partners = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  faint_pane_wide (self->controls, self->partners);
  faint_pane_wide (grid, self->controls);
}

GtkWidget *
faint_line_assignment_new (FaintDocument *document, FaintSession *session)
{
  FaintLineAssignment *self = g_object_new (FAINT_TYPE_LINE_ASSIGNMENT, NULL);

  self->document = g_object_ref (document);
  self->session = g_object_ref (session);
  self->assigner = g_object_ref (faint_assigner_of (document));
  build (self);
  g_signal_connect_object (document, "changed", G_CALLBACK (on_changed), self, 0);
  g_signal_connect_object (self->assigner, "levels-changed", G_CALLBACK (update), self,
                           G_CONNECT_SWAPPED);
  g_signal_connect_object (self->assigner, "changed", G_CALLBACK (on_judged), self,
                           G_CONNECT_SWAPPED);
  g_signal_connect_object (session, "selection-changed", G_CALLBACK (update), self,
                           G_CONNECT_SWAPPED);
  update (self);
  return GTK_WIDGET (self);
}
