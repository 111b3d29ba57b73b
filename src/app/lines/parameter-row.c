/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A name and a choice, an entry below, and a line about the tie where there is one.
 */
#include "app/lines/parameter-row.h"

#include <glib/gi18n.h>

#include "app/document/session-axis.h"
#include "app/lines/line-axis.h"
#include "app/lines/line-shape.h"
#include "app/lines/line-ties.h"
#include "app/lines/line-words.h"
#include "app/parts/number-spin.h"
#include "app/parts/quantity-entry.h"

static const struct
{
  const char *name; /* over the entry */
  const char *edit; /* in the history */
  FaintDimension dimension;
  double least, most;
  const char *rule; /* where the value is out of these */
} places[FAINT_PLACE_N] = {
  [FAINT_PLACE_POSITION] = { N_ ("Position"), N_ ("Position"), FAINT_DIMENSION_WAVENUMBER, 1e-300,
                             INFINITY, N_ ("A line needs a position above 0.") },
  [FAINT_PLACE_STRENGTH] = { N_ ("Strength/(cm/molecule)"), N_ ("Strength"), FAINT_DIMENSION_NUMBER,
                             -INFINITY, INFINITY, NULL },
  [FAINT_PLACE_LORENTZ] = { N_ ("Lorentz half width"), N_ ("Lorentz Width"),
                            FAINT_DIMENSION_WAVENUMBER, 0, INFINITY, N_ ("A width is 0 or more.") },
  [FAINT_PLACE_DOPPLER] = { N_ ("Doppler half width"), N_ ("Doppler Width"),
                            FAINT_DIMENSION_WAVENUMBER, 0, INFINITY, N_ ("A width is 0 or more.") },
  [FAINT_PLACE_SPEED_WIDTH]
  = { N_ ("Speed dependence of the width"), N_ ("Speed Dependence of the Width"),
      FAINT_DIMENSION_WAVENUMBER, -INFINITY, INFINITY, NULL },
  [FAINT_PLACE_SPEED_SHIFT]
  = { N_ ("Speed dependence of the shift"), N_ ("Speed Dependence of the Shift"),
      FAINT_DIMENSION_WAVENUMBER, -INFINITY, INFINITY, NULL },
  [FAINT_PLACE_VELOCITY_CHANGING]
  = { N_ ("Rate of velocity changes"), N_ ("Rate of Velocity Changes"), FAINT_DIMENSION_WAVENUMBER,
      0, INFINITY, N_ ("A rate is 0 or more.") },
  [FAINT_PLACE_CORRELATION]
  = { N_ ("Correlation of the collisions"), N_ ("Correlation of the Collisions"),
      FAINT_DIMENSION_NUMBER, 0, 1, N_ ("A correlation of collisions lies between 0 and 1.") },
};

typedef enum
{
  CHOICE_FREE,
  CHOICE_FIXED,
  CHOICE_TIED,
} Choice;

struct _FaintParameterRow
{
  GtkBox parent;

  FaintDocument *document;
  FaintSession *session;
  FaintPlace place;
  GtkWidget *name;
  GtkWidget *state; /* GtkDropDown: Choice */
  GtkWidget *entry;
  GtkWidget *doubt;          /* says that the data do not determine it */
  GtkWidget *tie;            /* the box of the three below */
  GtkWidget *target, *where; /* number and position of the line that is followed */
  GtkWidget *amount;         /* ratio or distance */
  gboolean filling;
};

G_DEFINE_FINAL_TYPE (FaintParameterRow, faint_parameter_row, GTK_TYPE_BOX)

static const FaintLine *
selected_line (FaintParameterRow *self)
{
  return faint_document_get_line (self->document, faint_session_get_selected (self->session));
}

static FaintAxisUnit
axis_of (FaintParameterRow *self)
{
  FaintSpectrum *spectrum = faint_document_get_spectrum (self->document);

  return faint_session_axis (self->session, spectrum != NULL ? spectrum->setup : NULL);
}

static gboolean
is_computed (FaintParameterRow *self)
{
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);

  return self->place == FAINT_PLACE_DOPPLER && analysis
         && !faint_analysis_get_options (analysis)->doppler_free;
}

/* @format holds the parameter's name, then the line's position. */
static void
submit (FaintParameterRow *self, const FaintLine *line, const char *format)
{
  char position[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *label = NULL;

  g_ascii_formatd (position, sizeof position, "%.3f", line->position.value);
  label = g_strdup_printf (format, _ (places[self->place].edit), position);
  faint_document_edit_line (self->document, line, label);
}

/* Of several selected lines all are changed, but for a position, which is one line's own. @format
 * holds the parameter's name and their number. FALSE: there is only one. */
static gboolean
submit_several (FaintParameterRow *self, FaintParameterState state, double value,
                const char *format)
{
  gsize n;
  const guint *ids = faint_session_get_several (self->session, &n);
  g_autoptr (FaintLineList) changed = NULL;
  g_autofree char *label = NULL;

  if (n < 2)
    return FALSE;
  changed = faint_lines_with_parameter (faint_document_get_lines (self->document), ids, n,
                                        self->place, state, value);
  label = g_strdup_printf (format, _ (places[self->place].edit), (guint)n);
  faint_document_replace_lines (self->document, changed, label);
  return TRUE;
}

static void
say (FaintParameterRow *self, const char *message)
{
  faint_quantity_entry_set_error (FAINT_QUANTITY_ENTRY (self->entry), message);
}

static Choice
choice_of (const FaintParameter *parameter)
{
  switch (parameter->state)
    {
    case FAINT_STATE_FIXED:
      return CHOICE_FIXED;
    case FAINT_STATE_TIED:
      return CHOICE_TIED;
    default:
      return CHOICE_FREE;
    }
}

static void
update_tie (FaintParameterRow *self, const FaintLine *line, const FaintParameter *parameter)
{
  FaintLineList *lines = faint_document_get_lines (self->document);
  gsize at = faint_line_list_index_of (lines, parameter->tied_to);
  gboolean tied = parameter->state == FAINT_STATE_TIED && at != G_MAXSIZE;
  gboolean is_distance = self->place == FAINT_PLACE_POSITION;
  FaintAxisUnit axis = axis_of (self);
  g_autofree char *words = faint_tie_in_words (lines, line, self->place);
  char position[G_ASCII_DTOSTR_BUF_SIZE];

  gtk_widget_set_visible (self->tie, tied);
  gtk_widget_set_tooltip_text (self->tie, words);
  gtk_widget_set_sensitive (self->entry, !tied);
  if (!tied)
    return;
  g_ascii_formatd (position, sizeof position, "%.3f",
                   faint_line_list_get (lines, at)->position.value);
  gtk_label_set_text (GTK_LABEL (self->where), position);
  gtk_spin_button_set_range (GTK_SPIN_BUTTON (self->target), 1,
                             (double)faint_line_list_get_n (lines));
  gtk_spin_button_set_value (GTK_SPIN_BUTTON (self->target), (double)at + 1);
  faint_quantity_entry_set (
      FAINT_QUANTITY_ENTRY (self->amount),
      is_distance ? faint_line_axis_distance (&axis, parameter->tie_offset)
                  : faint_quantity (FAINT_DIMENSION_NUMBER, parameter->tie_factor, NAN));
}

/* A Doppler width that is not fitted is computed, and its choice says so. */
static void
update_words (FaintParameterRow *self)
{
  GtkStringList *words = GTK_STRING_LIST (gtk_drop_down_get_model (GTK_DROP_DOWN (self->state)));
  const char *word = is_computed (self) ? _ ("From temperature") : _ ("Free");
  const char *const first[] = { word, NULL };

  if (g_strcmp0 (gtk_string_list_get_string (words, 0), word) != 0)
    gtk_string_list_splice (words, 0, 1, first);
}

/* What the fit was to find and could not is no number to read digits from. Others of unknown
 * uncertainty, computed ones, show what they are good for. */
static void
update_doubt (FaintParameterRow *self, const FaintLine *line, const FaintParameter *parameter)
{
  gboolean lost = faint_line_is_lost (line, parameter);
  gboolean is_position = self->place == FAINT_PLACE_POSITION;
  FaintQuantityEntry *entry = FAINT_QUANTITY_ENTRY (self->entry);

  gtk_widget_set_visible (self->doubt, lost);
  if (lost)
    gtk_widget_add_css_class (self->entry, "dim");
  else
    gtk_widget_remove_css_class (self->entry, "dim");
  if (lost)
    faint_quantity_entry_set_digits (entry, is_position ? 7 : 2, is_position ? 7 : 2);
  else
    faint_quantity_entry_set_digits (entry, is_position ? 12 : 9, is_position ? 11 : 6);
}

/* In the unit of the axis. */
static void
show_value (FaintParameterRow *self, const FaintParameter *parameter)
{
  FaintDimension dimension = places[self->place].dimension;
  FaintAxisUnit axis = axis_of (self);
  g_autofree char *name = self->place == FAINT_PLACE_POSITION
                              ? faint_line_axis_name (&axis)
                              : g_strdup (_ (places[self->place].name));

  gtk_label_set_text (GTK_LABEL (self->name), name);
  faint_quantity_entry_set_dimension (FAINT_QUANTITY_ENTRY (self->entry),
                                      faint_line_axis_dimension (&axis, self->place, dimension));
  faint_quantity_entry_set (FAINT_QUANTITY_ENTRY (self->entry),
                            faint_line_axis_quantity (&axis, self->place, parameter, dimension));
}

void
faint_parameter_row_update (FaintParameterRow *self, const FaintLine *line)
{
  const FaintParameter *parameter = faint_line_peek_parameter (line, self->place);

  g_return_if_fail (FAINT_IS_PARAMETER_ROW (self));
  self->filling = TRUE;
  gtk_widget_set_visible (GTK_WIDGET (self), faint_profile_has (line->profile, self->place));
  update_doubt (self, line, parameter);
  show_value (self, parameter);
  update_words (self);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->state), choice_of (parameter));
  update_tie (self, line, parameter);
  self->filling = FALSE;
}

static void
on_committed (FaintQuantityEntry *entry, FaintParameterRow *self)
{
  const FaintLine *found = selected_line (self);
  FaintAxisUnit axis = axis_of (self);
  double value = faint_line_axis_value (&axis, self->place, faint_quantity_entry_get (entry));
  FaintLine line;
  FaintParameter *parameter;

  if (found == NULL)
    return;
  if (places[self->place].rule
      && !(value >= places[self->place].least && value <= places[self->place].most
           && (self->place != FAINT_PLACE_POSITION || isfinite (value))))
    {
      say (self, _ (places[self->place].rule));
      return;
    }
  if (self->place != FAINT_PLACE_POSITION && !isnan (value)
      && submit_several (self, FAINT_STATE_TIED, value, _ ("Edit %s of %u Lines")))
    return;
  line = *found;
  parameter = faint_line_parameter (&line, self->place);
  parameter->value = value;
  parameter->u = parameter->u_noise = NAN;
  /* Translators: a parameter, and the position of its line */
  submit (self, &line, _ ("Edit %s of Line %s"));
}

static void
choose (FaintParameterRow *self, const FaintLine *found, Choice choice)
{
  FaintLine line = *found;
  FaintParameter *parameter = faint_line_parameter (&line, self->place);
  FaintParameterState state = FAINT_STATE_FIXED;

  if (choice != CHOICE_FIXED)
    state = is_computed (self) ? FAINT_STATE_DERIVED : FAINT_STATE_FREE;
  if (submit_several (self, state, NAN,
                      choice == CHOICE_FIXED ? _ ("Fix %s of %u Lines")
                                             : _ ("Release %s of %u Lines")))
    return;
  parameter->tied_to = 0;
  parameter->tie_factor = 1.0;
  parameter->tie_offset = 0.0;
  parameter->u = parameter->u_noise = NAN;
  parameter->state = state;
  submit (self, &line,
          choice == CHOICE_FIXED ? _ ("Fix %s of Line %s") : _ ("Release %s of Line %s"));
}

static void
tie_to (FaintParameterRow *self, const FaintLine *found, const FaintLine *other)
{
  FaintLine line = *found;

  if (other
      && faint_line_ties_tie_to (faint_document_get_lines (self->document), &line, self->place,
                                 other->id))
    {
      submit (self, &line, _ ("Tie %s of Line %s"));
      return;
    }
  faint_parameter_row_update (self, found);
  say (self, other ? _ ("That line has nothing that this one could follow.")
                   : _ ("There is no other line to follow."));
}

static void
on_state (GtkDropDown *drop_down, GParamSpec *pspec, FaintParameterRow *self)
{
  const FaintLine *found = selected_line (self);
  Choice choice = gtk_drop_down_get_selected (drop_down);

  if (self->filling || found == NULL
      || choice == choice_of (faint_line_peek_parameter (found, self->place)))
    return;
  if (choice == CHOICE_TIED)
    tie_to (
        self, found,
        faint_line_ties_suggest (faint_document_get_lines (self->document), found, self->place));
  else
    choose (self, found, choice);
}

static void
on_target (GtkSpinButton *spin, FaintParameterRow *self)
{
  const FaintLine *found = selected_line (self), *other;

  if (self->filling || found == NULL)
    return;
  other = faint_line_list_get (faint_document_get_lines (self->document),
                               (gsize)gtk_spin_button_get_value_as_int (spin) - 1);
  /* an adjustment that is set back while it tells of a change tells of it again */
  if (other->id != faint_line_peek_parameter (found, self->place)->tied_to)
    tie_to (self, found, other);
}

static void
on_amount (FaintQuantityEntry *entry, FaintParameterRow *self)
{
  const FaintLine *found = selected_line (self);
  double value = faint_quantity_entry_get (entry).value;
  FaintLine line;
  FaintParameter *parameter;

  if (found == NULL)
    return;
  if (isnan (value) || (self->place != FAINT_PLACE_POSITION && value == 0))
    {
      faint_quantity_entry_set_error (entry, _ ("A tie needs a number other than 0."));
      return;
    }
  line = *found;
  parameter = faint_line_parameter (&line, self->place);
  if (self->place == FAINT_PLACE_POSITION)
    parameter->tie_offset = value;
  else
    parameter->tie_factor = value;
  submit (self, &line, _ ("Tie %s of Line %s"));
}

static void
faint_parameter_row_dispose (GObject *object)
{
  FaintParameterRow *self = FAINT_PARAMETER_ROW (object);

  g_clear_object (&self->document);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (faint_parameter_row_parent_class)->dispose (object);
}

static void
faint_parameter_row_class_init (FaintParameterRowClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_parameter_row_dispose;
}

static void
faint_parameter_row_init (FaintParameterRow *self)
{
  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
  gtk_box_set_spacing (GTK_BOX (self), 3);
}

static void
name_widget (GtkWidget *widget, const char *format, const char *name)
{
  g_autofree char *text = g_strdup_printf (format, name);

  gtk_accessible_update_property (GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_PROPERTY_LABEL, text, -1);
}

static void
build_top (FaintParameterRow *self, const char *name)
{
  const char *const choices[] = { _ ("Free"), _ ("Fixed"), _ ("Tied"), NULL };
  GtkWidget *top = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  GtkWidget *label = gtk_label_new (name);

  self->name = label;
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_widget_add_css_class (label, "row-name");
  self->state = gtk_drop_down_new_from_strings (choices);
  gtk_widget_add_css_class (self->state, "state");
  gtk_widget_set_valign (self->state, GTK_ALIGN_CENTER);
  /* Translators: a parameter; whether it is fitted */
  name_widget (self->state, _ ("%s: free, fixed or tied"), name);
  g_signal_connect (self->state, "notify::selected", G_CALLBACK (on_state), self);
  gtk_box_append (GTK_BOX (top), label);
  gtk_box_append (GTK_BOX (top), self->state);
  gtk_box_append (GTK_BOX (self), top);
}

static void
append_word (GtkWidget *box, const char *word)
{
  GtkWidget *label = gtk_label_new (word);

  gtk_widget_add_css_class (label, "row-name");
  gtk_box_append (GTK_BOX (box), label);
}

static void
build_tie (FaintParameterRow *self, const char *name)
{
  gboolean is_distance = self->place == FAINT_PLACE_POSITION;
  GtkWidget *first = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  GtkWidget *second = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  g_autofree char *target_name = g_strdup_printf (_ ("%s: number of the line it follows"), name);

  self->tie = gtk_box_new (GTK_ORIENTATION_VERTICAL, 3);
  gtk_widget_add_css_class (self->tie, "tie");
  self->target = faint_number_spin_new (target_name, 1, 2, 1, 0);
  self->where = gtk_label_new (NULL);
  gtk_widget_add_css_class (self->where, "numeric");
  gtk_widget_set_direction (self->where, GTK_TEXT_DIR_LTR);
  self->amount = faint_quantity_entry_new (
      is_distance ? _ ("Distance from the line it follows") : _ ("Ratio to the line it follows"),
      is_distance ? FAINT_DIMENSION_WAVENUMBER : FAINT_DIMENSION_NUMBER);
  append_word (first, _ ("to line"));
  gtk_box_append (GTK_BOX (first), self->target);
  gtk_box_append (GTK_BOX (first), self->where);
  faint_quantity_entry_set_short (FAINT_QUANTITY_ENTRY (self->amount), TRUE);
  gtk_widget_set_hexpand (self->amount, TRUE);
  append_word (second, is_distance ? _ ("at a distance of") : _ ("at a ratio of"));
  gtk_box_append (GTK_BOX (second), self->amount);
  gtk_box_append (GTK_BOX (self->tie), first);
  gtk_box_append (GTK_BOX (self->tie), faint_number_spin_get_words (self->target));
  gtk_box_append (GTK_BOX (self->tie), second);
  gtk_box_append (GTK_BOX (self), self->tie);
  g_signal_connect (self->target, "value-changed", G_CALLBACK (on_target), self);
  g_signal_connect (self->amount, "committed", G_CALLBACK (on_amount), self);
}

GtkWidget *
faint_parameter_row_new (FaintDocument *document, FaintSession *session, FaintPlace place)
{
  FaintParameterRow *self = g_object_new (FAINT_TYPE_PARAMETER_ROW, NULL);
  const char *name = _ (places[place].name);

  self->document = g_object_ref (document);
  self->session = g_object_ref (session);
  self->place = place;
  build_top (self, name);
  self->entry = faint_quantity_entry_new (name, places[place].dimension);
  faint_quantity_entry_set_short (FAINT_QUANTITY_ENTRY (self->entry), TRUE);
  g_signal_connect (self->entry, "committed", G_CALLBACK (on_committed), self);
  gtk_box_append (GTK_BOX (self), self->entry);
  self->doubt = gtk_label_new (_ ("Not determined by the data"));
  gtk_label_set_xalign (GTK_LABEL (self->doubt), 0);
  gtk_widget_add_css_class (self->doubt, "note");
  gtk_widget_set_visible (self->doubt, FALSE);
  gtk_box_append (GTK_BOX (self), self->doubt);
  build_tie (self, name);
  return GTK_WIDGET (self);
}

FaintPlace
faint_parameter_row_get_place (FaintParameterRow *self)
{
  g_return_val_if_fail (FAINT_IS_PARAMETER_ROW (self), FAINT_PLACE_POSITION);
  return self->place;
}

void
faint_parameter_row_choose (FaintParameterRow *self, FaintParameterState state)
{
  const FaintParameter parameter = { .state = state };

  g_return_if_fail (FAINT_IS_PARAMETER_ROW (self));
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->state), choice_of (&parameter));
}

void
faint_parameter_row_choose_line (FaintParameterRow *self, guint number)
{
  g_return_if_fail (FAINT_IS_PARAMETER_ROW (self));
  gtk_spin_button_set_value (GTK_SPIN_BUTTON (self->target), number);
}

FaintParameterState
faint_parameter_row_get_state (FaintParameterRow *self)
{
  g_return_val_if_fail (FAINT_IS_PARAMETER_ROW (self), FAINT_STATE_FREE);
  switch ((Choice)gtk_drop_down_get_selected (GTK_DROP_DOWN (self->state)))
    {
    case CHOICE_FIXED:
      return FAINT_STATE_FIXED;
    case CHOICE_TIED:
      return FAINT_STATE_TIED;
    default:
      return is_computed (self) ? FAINT_STATE_DERIVED : FAINT_STATE_FREE;
    }
}

const char *
faint_parameter_row_get_error (FaintParameterRow *self)
{
  g_return_val_if_fail (FAINT_IS_PARAMETER_ROW (self), NULL);
  return faint_quantity_entry_get_error (FAINT_QUANTITY_ENTRY (self->entry));
}
