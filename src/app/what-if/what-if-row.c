/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/what-if/what-if-row.h"

#include <math.h>

#include "app/parts/quantity-entry.h"
#include "app/parts/quantity-text.h"

/* Steps of the slider by key, and by Page Up and Page Down. */
#define NAME_CHARS 14 /* of the names, so that all entries begin at one place */
#define STEPS 100.0
#define PAGES 10.0
/* Digits of a value that a slider chooses, and of a stated one as it is shown: a finesse that
 * follows from another quantity has no end of them. */
#define DIGITS 4
#define DIGITS_STATED 8

struct _FaintWhatIfRow
{
  GtkWidget parent;

  FaintQuantity stated;
  FaintWhatIfReach reach;
  double value; /* library unit */
  GtkWidget *label, *entry, *scale;
  gboolean filling; /* the controls are being set */
};

enum
{
  CHANGED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintWhatIfRow, faint_what_if_row, GTK_TYPE_WIDGET)

static double
to_slider (FaintWhatIfRow *self, double value)
{
  return self->reach.logarithmic ? log (value) : value;
}

static double
from_slider (FaintWhatIfRow *self, double place)
{
  return self->reach.logarithmic ? exp (place) : place;
}

/* A round number in the unit shown. */
static double
rounded_to (FaintWhatIfRow *self, double value, int digits)
{
  const FaintUnit *unit = self->stated.unit;
  double written = (value - unit->offset) / unit->scale;
  double power = written != 0.0 ? pow (10.0, digits - 1 - floor (log10 (fabs (written)))) : 1.0;

  return round (written * power) / power * unit->scale + unit->offset;
}

/* Of a slider that crosses zero, no finer than a tenth of its step. */
static double
rounded (FaintWhatIfRow *self, double value)
{
  double scale = self->stated.unit->scale;
  double step = (self->reach.upper - self->reach.lower) / scale / STEPS / 10.0;
  double fine = pow (10.0, floor (log10 (step))) * scale;

  if (!self->reach.logarithmic && self->reach.lower < 0.0)
    value = round (value / fine) * fine;
  return rounded_to (self, value, DIGITS);
}

static void
show (FaintWhatIfRow *self)
{
  double value = self->value == self->stated.value ? rounded_to (self, self->value, DIGITS_STATED)
                                                   : self->value;
  FaintQuantity quantity = { value, NAN, self->stated.unit };
  g_autofree char *text = faint_quantity_in_words (quantity);

  self->filling = TRUE;
  faint_quantity_entry_set (FAINT_QUANTITY_ENTRY (self->entry), quantity);
  gtk_range_set_value (GTK_RANGE (self->scale), to_slider (self, self->value));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->scale), GTK_ACCESSIBLE_PROPERTY_VALUE_TEXT,
                                  text, -1);
  self->filling = FALSE;
}

static void
on_slider (GtkRange *range, FaintWhatIfRow *self)
{
  double place = gtk_range_get_value (range), stated = to_slider (self, self->stated.value);
  double step = gtk_adjustment_get_step_increment (gtk_range_get_adjustment (range));
  double value;

  if (self->filling)
    return;
  value = rounded (self, from_slider (self, place));
  if (fabs (place - stated) < 0.49 * step)
    value = self->stated.value;
  if (value == self->value)
    return;
  self->value = value;
  show (self);
  g_signal_emit (self, signals[CHANGED], 0);
}

static void
on_committed (FaintQuantityEntry *entry, FaintWhatIfRow *self)
{
  FaintQuantity quantity = faint_quantity_entry_get (entry);

  if (self->filling)
    return;
  if (faint_quantity_is_known (quantity))
    self->value = quantity.value;
  show (self);
  g_signal_emit (self, signals[CHANGED], 0);
}

static void
faint_what_if_row_dispose (GObject *object)
{
  FaintWhatIfRow *self = FAINT_WHAT_IF_ROW (object);

  g_clear_pointer (&self->label, gtk_widget_unparent);
  g_clear_pointer (&self->entry, gtk_widget_unparent);
  g_clear_pointer (&self->scale, gtk_widget_unparent);
  G_OBJECT_CLASS (faint_what_if_row_parent_class)->dispose (object);
}

static void
faint_what_if_row_class_init (FaintWhatIfRowClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = faint_what_if_row_dispose;
  signals[CHANGED] = g_signal_new ("changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                   NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_GRID_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "whatifrow");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
faint_what_if_row_init (FaintWhatIfRow *self)
{
  self->stated = FAINT_QUANTITY_UNKNOWN;
  self->value = NAN;
}

static void
place (FaintWhatIfRow *self, GtkWidget *child, int column, int row, int columns)
{
  GtkLayoutManager *layout = gtk_widget_get_layout_manager (GTK_WIDGET (self));
  GtkLayoutChild *cell;

  gtk_widget_set_parent (child, GTK_WIDGET (self));
  cell = gtk_layout_manager_get_layout_child (layout, child);
  g_object_set (cell, "column", column, "row", row, "column-span", columns, NULL);
}

GtkWidget *
faint_what_if_row_new (const char *name, FaintDimension dimension)
{
  FaintWhatIfRow *self = g_object_new (FAINT_TYPE_WHAT_IF_ROW, NULL);

  self->label = gtk_label_new (name);
  gtk_label_set_xalign (GTK_LABEL (self->label), 0);
  gtk_label_set_width_chars (GTK_LABEL (self->label), NAME_CHARS);
  gtk_label_set_max_width_chars (GTK_LABEL (self->label), NAME_CHARS);
  gtk_label_set_wrap (GTK_LABEL (self->label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (self->label), PANGO_WRAP_WORD_CHAR);
  gtk_widget_add_css_class (self->label, "row-name");
  self->entry = faint_quantity_entry_new (name, dimension);
  gtk_widget_set_hexpand (self->entry, TRUE);
  gtk_label_set_mnemonic_widget (GTK_LABEL (self->label), self->entry);
  self->scale = gtk_scale_new_with_range (GTK_ORIENTATION_HORIZONTAL, 0, 1, 0.01);
  gtk_scale_set_draw_value (GTK_SCALE (self->scale), FALSE);
  gtk_widget_set_hexpand (self->scale, TRUE);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->scale), GTK_ACCESSIBLE_PROPERTY_LABEL, name,
                                  -1);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
  gtk_grid_layout_set_column_spacing (
      GTK_GRID_LAYOUT (gtk_widget_get_layout_manager (GTK_WIDGET (self))), 12);
  place (self, self->label, 0, 0, 1);
  place (self, self->entry, 1, 0, 1);
  place (self, self->scale, 0, 1, 2);
  g_signal_connect (self->scale, "value-changed", G_CALLBACK (on_slider), self);
  g_signal_connect (self->entry, "committed", G_CALLBACK (on_committed), self);
  return GTK_WIDGET (self);
}

void
faint_what_if_row_set_stated (FaintWhatIfRow *self, FaintQuantity stated, FaintWhatIfReach reach)
{
  GtkAdjustment *adjustment;
  double lower, upper, mark;

  g_return_if_fail (FAINT_IS_WHAT_IF_ROW (self));
  self->stated = stated;
  self->reach = reach;
  self->value = stated.value;
  lower = to_slider (self, reach.lower);
  upper = to_slider (self, reach.upper);
  mark = to_slider (self, stated.value);
  self->filling = TRUE;
  adjustment = gtk_range_get_adjustment (GTK_RANGE (self->scale));
  gtk_adjustment_configure (adjustment, mark, lower, upper, (upper - lower) / STEPS,
                            (upper - lower) / PAGES, 0);
  gtk_scale_clear_marks (GTK_SCALE (self->scale));
  gtk_scale_add_mark (GTK_SCALE (self->scale), mark, GTK_POS_BOTTOM, NULL);
  self->filling = FALSE;
  show (self);
}

void
faint_what_if_row_set_value (FaintWhatIfRow *self, double value)
{
  g_return_if_fail (FAINT_IS_WHAT_IF_ROW (self));
  self->value = value;
  show (self);
}

double
faint_what_if_row_get_value (FaintWhatIfRow *self)
{
  g_return_val_if_fail (FAINT_IS_WHAT_IF_ROW (self), NAN);
  return self->value;
}

void
faint_what_if_row_set_error (FaintWhatIfRow *self, const char *message)
{
  g_return_if_fail (FAINT_IS_WHAT_IF_ROW (self));
  faint_quantity_entry_set_error (FAINT_QUANTITY_ENTRY (self->entry), message);
}

GtkWidget *
faint_what_if_row_get_slider (FaintWhatIfRow *self)
{
  return self->scale;
}

GtkWidget *
faint_what_if_row_get_entry (FaintWhatIfRow *self)
{
  return self->entry;
}
