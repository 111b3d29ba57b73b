/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The stage Assignment in the window: its plots under the spectrum, and the search.
 */
#include "app/window/window-private.h"

#include <glib/gi18n.h>
#include <math.h>

#include "app/assignment/assigner.h"
#include "app/assignment/assignment-plots.h"
#include "app/assignment/line-evidence.h"

/* Of the spectrum, while other plots stand under it. */
#define LEAST_HEIGHT 120
#define SPECTRUM_SHARE 0.36

/* Lanes that give way to the plots under the spectrum. */
static const char *const giving_way[] = { "show-absorption", "show-residual" };

static void
on_assigned (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (FaintWindow) self = data;
  g_autoptr (GError) error = NULL;

  if (faint_assigner_search_finish (FAINT_ASSIGNER (source), result, &error))
    {
      if (self->document)
        _faint_window_tell_assigned (self);
    }
  else if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED) && self->document)
    faint_window_say (self, _ ("No lines were assigned"), error->message);
}

void
_faint_window_assign (FaintWindow *self)
{
  faint_message_bar_hide (FAINT_MESSAGE_BAR (self->message));
  faint_session_set_stage (self->session, FAINT_STAGE_ASSIGNMENT);
  faint_assigner_search_async (faint_assigner_of (self->document), on_assigned,
                               g_object_ref (self));
}

void
_faint_window_unassign_all (FaintWindow *self)
{
  faint_assigner_remove_all (faint_assigner_of (self->document));
}

/* Of the result's lines, for the table. */
static GHashTable *
differences_of (const FaintAssignment *result)
{
  GHashTable *differences = g_hash_table_new_full (NULL, NULL, NULL, g_free);

  for (guint i = 0; result && i < result->lines->len; i++)
    {
      const FaintAssigned *it = &g_array_index (result->lines, FaintAssigned, i);
      FaintLineDifference *difference;

      if (!isfinite (it->calculated))
        continue;
      difference = g_new (FaintLineDifference, 1);
      difference->value = it->line.nu - it->calculated;
      difference->u = it->line.u;
      difference->words
          = it->verdict == FAINT_BAND_FITTED ? NULL : faint_band_verdict_in_words (it->verdict);
      g_hash_table_insert (differences, GUINT_TO_POINTER (it->id), difference);
    }
  return differences;
}

/* Lines that the bands should have and that would have been seen, as sticks with their names. */
static FaintLineList *
missing_of (FaintWindow *self, const FaintAssignment *result)
{
  g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (FaintLine));
  g_autoptr (GPtrArray) texts = g_ptr_array_new_with_free_func (g_free);
  double lower, upper;

  faint_session_get_limits (self->session, &lower, &upper);
  for (guint i = 0; result && i < result->predicted->len; i++)
    {
      const FaintPredicted *it = &g_array_index (result->predicted, FaintPredicted, i);
      const FaintLadder *ladder = g_ptr_array_index (result->ladders, it->ladder);
      FaintLine line = faint_line_unknown ();

      if (!(it->over_limit > 1) || it->position < lower || it->position > upper)
        continue;
      line.id = i + 1;
      line.position.value = it->position;
      line.position.u = it->u;
      line.strength.value = it->strength;
      g_ptr_array_add (texts, faint_assignment_upper_label (result, it->band, it->ladder, it->j));
      line.upper = g_ptr_array_index (texts, texts->len - 1);
      line.lower = faint_ladder_lower (ladder, result->levels, it->branch, it->j)->label;
      g_array_append_val (lines, line);
    }
  return lines->len > 0 ? faint_line_list_new ((const FaintLine *)(gpointer)lines->data, lines->len)
                        : NULL;
}

static void
on_judged (FaintAssigner *assigner, FaintWindow *self)
{
  const FaintAssignment *result = faint_assigner_get_result (assigner);
  g_autoptr (GHashTable) differences = differences_of (result);
  g_autoptr (FaintLineList) missing = missing_of (self, result);

  faint_line_table_set_differences (FAINT_LINE_TABLE (self->table), differences);
  faint_plot_set_predicted (FAINT_PLOT (self->plot), missing);
}

void
_faint_window_add_assignment (FaintWindow *self)
{
  GtkWidget *paned = gtk_paned_new (GTK_ORIENTATION_VERTICAL);

  gtk_widget_set_vexpand (paned, TRUE);

  self->assignment_plots = faint_assignment_plots_new (self->document, self->session);
  gtk_widget_set_visible (self->assignment_plots, FALSE);
  gtk_paned_set_start_child (GTK_PANED (paned), self->plot);
  gtk_paned_set_end_child (GTK_PANED (paned), self->assignment_plots);
  gtk_paned_set_shrink_start_child (GTK_PANED (paned), FALSE);
  gtk_paned_set_shrink_end_child (GTK_PANED (paned), FALSE);
  gtk_accessible_update_property (GTK_ACCESSIBLE (paned), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Border under the spectrum"), -1);
  gtk_box_append (GTK_BOX (self->plots), paned);
  g_signal_connect_object (faint_assigner_of (self->document), "changed", G_CALLBACK (on_judged),
                           self, 0);
  g_signal_connect_object (faint_assigner_of (self->document), "levels-changed",
                           G_CALLBACK (_faint_window_update_actions), self, G_CONNECT_SWAPPED);
}

/* They come back as they were. */
static void
swap_lanes (FaintWindow *self, gboolean hide)
{
  for (guint i = 0; i < G_N_ELEMENTS (giving_way); i++)
    if (hide)
      {
        g_object_get (self->plot, giving_way[i], &self->lanes[i], NULL);
        g_object_set (self->plot, giving_way[i], FALSE, NULL);
      }
    else
      g_object_set (self->plot, giving_way[i], self->lanes[i], NULL);
}

/* The spectrum leaves most of the height to the plots under it. */
static void
give_room (FaintWindow *self)
{
  GtkWidget *paned = gtk_widget_get_parent (self->plot);

  gtk_paned_set_position (GTK_PANED (paned), (int)(SPECTRUM_SHARE * gtk_widget_get_height (paned)));
}

void
_faint_window_update_assignment (FaintWindow *self)
{
  FaintLineList *lines = faint_document_get_lines (self->document);
  gboolean possible = lines && faint_line_list_get_n (lines) > 0;
  gboolean shown = faint_session_get_stage (self->session) == FAINT_STAGE_ASSIGNMENT;

  gtk_widget_set_sensitive (self->assignment_button, possible || shown);
  gtk_widget_set_tooltip_text (
      self->assignment_button,
      possible || shown ? _ ("Which line is which")
                        : _ ("Which line is which: possible once there are lines (stage Lines)"));
  if (shown != gtk_widget_get_visible (self->assignment_plots))
    {
      gtk_widget_set_size_request (self->plot, 320, shown ? LEAST_HEIGHT : 220);
      swap_lanes (self, shown);
      if (shown)
        give_room (self);
      gtk_widget_set_visible (self->assignment_plots, shown);
    }
  faint_assignment_plots_set_shown (FAINT_ASSIGNMENT_PLOTS (self->assignment_plots), shown);
}
