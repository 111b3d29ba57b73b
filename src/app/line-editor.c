/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Four entries with a check each.
 */
#include "line-editor.h"

#include <glib/gi18n.h>
#include <stddef.h>

#include "line-model.h"
#include "pane.h"
#include "quantity-entry.h"

#define N_PARAMETERS 4

static const struct
{
  const char *name;
  /* the step of the history; %s is the position */
  const char *edit, *fix, *release;
  FaintDimension dimension;
  size_t offset; /* of the FaintParameter in a FaintLine */
  guint flag;
} parameters[N_PARAMETERS] = {
  { N_ ("Position"), N_ ("Move Line %s"), N_ ("Fix Position of Line %s"),
    N_ ("Release Position of Line %s"), FAINT_DIMENSION_WAVENUMBER, offsetof (FaintLine, position),
    FAINT_LINE_POSITION_FIXED },
  { N_ ("Strength/(cm/molecule)"), N_ ("Edit Strength of Line %s"), N_ ("Fix Strength of Line %s"),
    N_ ("Release Strength of Line %s"), FAINT_DIMENSION_NUMBER, offsetof (FaintLine, strength),
    FAINT_LINE_STRENGTH_FIXED },
  { N_ ("Lorentz half width"), N_ ("Edit Lorentz Width of Line %s"),
    N_ ("Fix Lorentz Width of Line %s"), N_ ("Release Lorentz Width of Line %s"),
    FAINT_DIMENSION_WAVENUMBER, offsetof (FaintLine, lorentz), FAINT_LINE_LORENTZ_FIXED },
  { N_ ("Doppler half width"), N_ ("Edit Doppler Width of Line %s"),
    N_ ("Fix Doppler Width of Line %s"), N_ ("Release Doppler Width of Line %s"),
    FAINT_DIMENSION_WAVENUMBER, offsetof (FaintLine, doppler), FAINT_LINE_DOPPLER_FIXED },
};

struct _FaintLineEditor
{
  GtkBox parent;

  FaintDocument *document;
  FaintSession *session;
  GtkWidget *empty;    /* says that nothing is selected */
  GtkWidget *controls; /* all the rest */
  GtkWidget *flags;
  GtkWidget *entry[N_PARAMETERS];
  GtkWidget *fixed[N_PARAMETERS];
  GtkWidget *excluded;
  gboolean filling;
};

G_DEFINE_FINAL_TYPE (FaintLineEditor, faint_line_editor, GTK_TYPE_BOX)

static FaintParameter *
parameter_of (FaintLine *line, guint which)
{
  return (FaintParameter *)((char *)line + parameters[which].offset);
}

static const FaintLine *
selected_line (FaintLineEditor *self)
{
  return faint_document_get_line (self->document, faint_session_get_selected (self->session));
}

static guint
which_of (GtkWidget *const *widgets, gpointer widget)
{
  guint which = 0;

  while (which < N_PARAMETERS && (gpointer)widgets[which] != widget)
    which++;
  return which;
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

static void
update (FaintLineEditor *self)
{
  const FaintLine *found = selected_line (self);

  gtk_widget_set_visible (self->empty, found == NULL);
  gtk_widget_set_visible (self->controls, found != NULL);
  if (found == NULL)
    return;

  self->filling = TRUE;
  for (guint i = 0; i < N_PARAMETERS; i++)
    {
      FaintLine line = *found;
      const FaintParameter *parameter = parameter_of (&line, i);

      faint_quantity_entry_set (
          FAINT_QUANTITY_ENTRY (self->entry[i]),
          faint_quantity (parameters[i].dimension, parameter->value, parameter->u));
      gtk_check_button_set_active (GTK_CHECK_BUTTON (self->fixed[i]),
                                   parameter->state == FAINT_STATE_FIXED);
    }
  gtk_check_button_set_active (GTK_CHECK_BUTTON (self->excluded),
                               (found->flags & FAINT_LINE_EXCLUDED) != 0);
  update_flags (self, found);
  self->filling = FALSE;
}

static void
on_changed (FaintDocument *document, guint change, FaintLineEditor *self)
{
  if (change & (FAINT_CHANGE_LINES | FAINT_CHANGE_OPENED))
    update (self);
}

static void
on_selection (FaintSession *session, FaintLineEditor *self)
{
  update (self);
}

static void
on_committed (FaintQuantityEntry *entry, FaintLineEditor *self)
{
  const FaintLine *found = selected_line (self);
  guint which = which_of (self->entry, entry);
  FaintQuantity quantity = faint_quantity_entry_get (entry);
  FaintLine line;
  FaintParameter *parameter;

  if (found == NULL || which == N_PARAMETERS)
    return;
  if (which == 0 && !(quantity.value > 0))
    {
      faint_quantity_entry_set_error (entry, _ ("A line needs a position above 0."));
      return;
    }
  if (which > 1 && quantity.value < 0)
    {
      faint_quantity_entry_set_error (entry, _ ("A width is 0 or more."));
      return;
    }
  line = *found;
  parameter = parameter_of (&line, which);
  parameter->value = quantity.value;
  parameter->u = parameter->u_noise = NAN;
  submit (self, &line, parameters[which].edit);
}

static void
on_fixed (GtkCheckButton *check, FaintLineEditor *self)
{
  const FaintLine *found = selected_line (self);
  guint which = which_of (self->fixed, check);
  gboolean fix = gtk_check_button_get_active (check);
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);
  FaintLine line;
  FaintParameter *parameter;

  if (self->filling || found == NULL || which == N_PARAMETERS)
    return;
  line = *found;
  parameter = parameter_of (&line, which);
  if (fix)
    parameter->state = FAINT_STATE_FIXED;
  else if (parameters[which].flag == FAINT_LINE_DOPPLER_FIXED
           && !faint_analysis_get_options (analysis)->doppler_free)
    parameter->state = FAINT_STATE_DERIVED;
  else
    parameter->state = FAINT_STATE_FREE;
  parameter->u = parameter->u_noise = NAN;
  line.flags = fix ? line.flags | parameters[which].flag : line.flags & ~parameters[which].flag;
  submit (self, &line, fix ? parameters[which].fix : parameters[which].release);
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
          (line.flags & FAINT_LINE_EXCLUDED) ? N_ ("Leave Out Line %s") : N_ ("Take In Line %s"));
}

static void
add_parameter (FaintLineEditor *self, guint which)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_VERTICAL, 3);
  GtkWidget *top = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  GtkWidget *name = gtk_label_new (_ (parameters[which].name));
  g_autofree char *check_name = g_strdup_printf (_ ("%s fixed"), _ (parameters[which].name));

  gtk_label_set_xalign (GTK_LABEL (name), 0);
  gtk_widget_set_hexpand (name, TRUE);
  gtk_widget_add_css_class (name, "row-name");
  self->fixed[which] = gtk_check_button_new_with_label (_ ("Fixed"));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->fixed[which]),
                                  GTK_ACCESSIBLE_PROPERTY_LABEL, check_name, -1);
  g_signal_connect (self->fixed[which], "toggled", G_CALLBACK (on_fixed), self);
  self->entry[which]
      = faint_quantity_entry_new (_ (parameters[which].name), parameters[which].dimension);
  faint_quantity_entry_set_short (FAINT_QUANTITY_ENTRY (self->entry[which]), TRUE);
  g_signal_connect (self->entry[which], "committed", G_CALLBACK (on_committed), self);

  gtk_box_append (GTK_BOX (top), name);
  gtk_box_append (GTK_BOX (top), self->fixed[which]);
  gtk_box_append (GTK_BOX (row), top);
  gtk_box_append (GTK_BOX (row), self->entry[which]);
  gtk_box_append (GTK_BOX (self->controls), row);
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
  GtkWidget *grid;

  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
  self->empty = gtk_label_new (_ ("Click a line in the plot or in the table."));
  gtk_label_set_xalign (GTK_LABEL (self->empty), 0);
  gtk_label_set_wrap (GTK_LABEL (self->empty), TRUE);
  gtk_widget_add_css_class (self->empty, "note");
  gtk_box_append (GTK_BOX (self), self->empty);

  self->controls = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8);
  gtk_box_append (GTK_BOX (self), self->controls);
  for (guint i = 0; i < N_PARAMETERS; i++)
    add_parameter (self, i);
  self->excluded = gtk_check_button_new_with_mnemonic (_ ("_Leave out of the model"));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->excluded), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Leave out of the model"), -1);
  g_signal_connect (self->excluded, "toggled", G_CALLBACK (on_excluded), self);
  gtk_box_append (GTK_BOX (self->controls), self->excluded);
  grid = gtk_grid_new ();
  gtk_grid_set_column_spacing (GTK_GRID (grid), 12);
  self->flags = faint_pane_value (grid, _ ("Remarks"));
  gtk_box_append (GTK_BOX (self->controls), grid);
}

GtkWidget *
faint_line_editor_new (FaintDocument *document, FaintSession *session)
{
  FaintLineEditor *self = g_object_new (FAINT_TYPE_LINE_EDITOR, NULL);

  self->document = g_object_ref (document);
  self->session = g_object_ref (session);
  g_signal_connect_object (document, "changed", G_CALLBACK (on_changed), self, 0);
  g_signal_connect_object (session, "selection-changed", G_CALLBACK (on_selection), self, 0);
  update (self);
  return GTK_WIDGET (self);
}
