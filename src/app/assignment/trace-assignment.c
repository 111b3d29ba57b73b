/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/assignment/trace-assignment.h"

#include <glib/gi18n.h>

#include "app/assignment/assignment-figures.h"
#include "app/parts/number-spin.h"
#include "app/parts/pane.h"
#include "app/parts/quantity-text.h"

#define MOST_J 500.0

struct _FaintTraceAssignment
{
  GtkBox parent;

  FaintAssigner *assigner;
  GtkWidget *words, *controls, *ladder, *branch, *j, *assign, *error;
};

G_DEFINE_FINAL_TYPE (FaintTraceAssignment, faint_trace_assignment, GTK_TYPE_BOX)

static void
say (FaintTraceAssignment *self, const char *text)
{
  gtk_label_set_text (GTK_LABEL (self->error), text ? text : "");
  gtk_widget_set_visible (self->error, text != NULL);
}

/* Towards higher wavenumber J rises in an R branch, towards lower in a P branch. */
static void
guess (FaintTraceAssignment *self, const GArray *trace, const FaintTraceRows *rows)
{
  const FaintTraceLine *first = &g_array_index (trace, FaintTraceLine, 0);
  const FaintTraceLine *last = &g_array_index (trace, FaintTraceLine, trace->len - 1);
  FaintBranch branch = last->row >= first->row ? FAINT_BRANCH_R : FAINT_BRANCH_P;
  int j;

  if (!rows->known)
    {
      if (gtk_drop_down_get_selected (GTK_DROP_DOWN (self->branch)) != FAINT_BRANCH_Q)
        gtk_drop_down_set_selected (GTK_DROP_DOWN (self->branch), branch);
      return;
    }
  faint_plot_row_meaning (rows->q, first->row, &branch, &j);
  faint_trace_assignment_set (self, branch, j);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->ladder), rows->ladder);
}

static void
update (FaintTraceAssignment *self)
{
  FaintTraceRows rows;
  const GArray *trace = faint_assigner_get_trace (self->assigner, &rows);
  gboolean levels = faint_assigner_get_levels (self->assigner) != NULL;
  g_autofree char *words = NULL;

  say (self, NULL);
  if (trace->len == 0)
    words = g_strdup (_ ("Drag along a trace in the Loomis–Wood plot, from low J, or go along it "
                         "with Shift and the arrow keys."));
  else
    {
      const FaintTraceLine *last = &g_array_index (trace, FaintTraceLine, trace->len - 1);
      g_autofree char *from = faint_signed (g_array_index (trace, FaintTraceLine, 0).row);
      g_autofree char *to = faint_signed (last->row);

      /* Translators: a number of lines, and numbers of rows */
      words = g_strdup_printf (
          ngettext ("%u line, rows %s to %s", "%u lines, rows %s to %s", trace->len), trace->len,
          from, to);
      guess (self, trace, &rows);
    }
  gtk_label_set_text (GTK_LABEL (self->words), words);
  gtk_widget_set_visible (self->controls, trace->len > 0 && levels);
}

static void
update_ladders (FaintTraceAssignment *self)
{
  const GPtrArray *ladders = faint_assigner_get_ladders (self->assigner);
  g_autoptr (GtkStringList) names = gtk_string_list_new (NULL);

  for (guint i = 0; ladders && i < ladders->len; i++)
    {
      const FaintLadder *ladder = g_ptr_array_index (ladders, i);

      gtk_string_list_append (names, *ladder->name ? ladder->name : _ ("The only one"));
    }
  gtk_drop_down_set_model (GTK_DROP_DOWN (self->ladder), G_LIST_MODEL (names));
  update (self);
}

void
faint_trace_assignment_set (FaintTraceAssignment *self, FaintBranch branch, int j)
{
  g_return_if_fail (FAINT_IS_TRACE_ASSIGNMENT (self));
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->branch), branch);
  gtk_spin_button_set_value (GTK_SPIN_BUTTON (self->j), j);
}

/* Of a trace in rows of a branch J follows from each row, shifted as the first one was. */
static FaintTransition
transition_of (FaintTraceAssignment *self, const GArray *trace, const FaintTraceRows *rows, guint i)
{
  const FaintTraceLine *first = &g_array_index (trace, FaintTraceLine, 0);
  const FaintTraceLine *line = &g_array_index (trace, FaintTraceLine, i);
  FaintTransition it = { .id = line->id,
                         .ladder = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->ladder)),
                         .branch = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->branch)) };
  int j = gtk_spin_button_get_value_as_int (GTK_SPIN_BUTTON (self->j));
  FaintBranch meant, first_meant;
  int meant_j, first_j;

  faint_plot_row_meaning (rows->q, first->row, &first_meant, &first_j);
  faint_plot_row_meaning (rows->q, line->row, &meant, &meant_j);
  if (rows->known && first_meant == it.branch)
    {
      it.branch = meant;
      j += meant_j - first_j;
    }
  else
    j += ABS (line->row - first->row);
  it.state = rows->known && it.ladder == rows->ladder ? rows->state : NULL;
  /* lower J to J' */
  it.j = it.branch == FAINT_BRANCH_P ? j - 1 : it.branch == FAINT_BRANCH_R ? j + 1 : j;
  return it;
}

gboolean
faint_trace_assignment_assign (FaintTraceAssignment *self)
{
  FaintTraceRows rows;
  const GArray *trace;
  g_autofree FaintTransition *transitions = NULL;
  g_autoptr (GError) error = NULL;

  g_return_val_if_fail (FAINT_IS_TRACE_ASSIGNMENT (self), FALSE);
  trace = faint_assigner_get_trace (self->assigner, &rows);
  if (trace->len == 0 || faint_assigner_get_levels (self->assigner) == NULL)
    {
      say (self, trace->len == 0 ? _ ("No trace is chosen.")
                                 : _ ("Open the levels of the lower state first."));
      return FALSE;
    }
  transitions = g_new (FaintTransition, trace->len);
  for (guint i = 0; i < trace->len; i++)
    transitions[i] = transition_of (self, trace, &rows, i);
  if (!faint_assigner_label (self->assigner, transitions, trace->len, &error))
    {
      say (self, error->message);
      return FALSE;
    }
  say (self, NULL);
  return TRUE;
}

static void
faint_trace_assignment_dispose (GObject *object)
{
  g_clear_object (&FAINT_TRACE_ASSIGNMENT (object)->assigner);
  G_OBJECT_CLASS (faint_trace_assignment_parent_class)->dispose (object);
}

static void
faint_trace_assignment_class_init (FaintTraceAssignmentClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_trace_assignment_dispose;
}

static void
faint_trace_assignment_init (FaintTraceAssignment *self)
{
  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
}

static void
name (GtkWidget *widget, const char *label)
{
  gtk_accessible_update_property (GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_PROPERTY_LABEL, label,
                                  -1);
}

static void
build (FaintTraceAssignment *self)
{
  static const char *const branches[] = { "P", "Q", "R", NULL };
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("Trace"));

  self->words = faint_pane_note (grid, "");
  self->controls = gtk_grid_new ();
  gtk_grid_set_row_spacing (GTK_GRID (self->controls), 6);
  gtk_grid_set_column_spacing (GTK_GRID (self->controls), 12);
  self->ladder = gtk_drop_down_new (NULL, NULL);
  name (self->ladder, _ ("Levels of the trace"));
  faint_pane_row (self->controls, _ ("Levels"), self->ladder);
  self->branch = gtk_drop_down_new_from_strings (branches);
  name (self->branch, _ ("Branch of the trace"));
  faint_pane_row (self->controls, _ ("Branch"), self->branch);
  self->j = faint_number_spin_new (_ ("J of the first line"), 0, MOST_J, 1, 0);
  faint_pane_row (self->controls, _ ("J″ of the first line"),
                  faint_number_spin_with_words (self->j));
  self->assign = faint_pane_button (_ ("Assign _Trace"), NULL);
  g_signal_connect_swapped (self->assign, "clicked", G_CALLBACK (faint_trace_assignment_assign),
                            self);
  faint_pane_wide (self->controls, self->assign);
  faint_pane_wide (grid, self->controls);
  self->error = faint_pane_note (grid, "");
  gtk_widget_add_css_class (self->error, "error");
}

GtkWidget *
faint_trace_assignment_new (FaintDocument *document)
{
  FaintTraceAssignment *self = g_object_new (FAINT_TYPE_TRACE_ASSIGNMENT, NULL);

  self->assigner = g_object_ref (faint_assigner_of (document));
  build (self);
  g_signal_connect_object (self->assigner, "trace-changed", G_CALLBACK (update), self,
                           G_CONNECT_SWAPPED);
  g_signal_connect_object (self->assigner, "levels-changed", G_CALLBACK (update_ladders), self,
                           G_CONNECT_SWAPPED);
  g_signal_connect_object (self->assigner, "assign-trace",
                           G_CALLBACK (faint_trace_assignment_assign), self, G_CONNECT_SWAPPED);
  update_ladders (self);
  return GTK_WIDGET (self);
}
