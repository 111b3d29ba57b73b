/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/assignment/assignment-result.h"

#include <glib/gi18n.h>
#include <math.h>

#include "app/assignment/assignment-figures.h"
#include "app/assignment/band-correlation.h"
#include "app/assignment/line-evidence.h"
#include "app/parts/pane.h"
#include "app/parts/kept-words.h"

#define MOST_LISTED 12

struct _FaintAssignmentResult
{
  GtkBox parent;

  FaintDocument *document;
  FaintSession *session;
  FaintAssigner *assigner;
  GtkWidget *lists; /* GtkBox, owned */
  GtkWidget *assigned, *undecided, *chance, *warnings;
  GtkWidget *bands;                     /* GtkBox, a grid a band */
  GtkWidget *misfits_section, *misfits; /* GtkBox of buttons */
  GtkWidget *missing_section, *missing;
};

G_DEFINE_FINAL_TYPE (FaintAssignmentResult, faint_assignment_result, GTK_TYPE_BOX)

static guint
n_assigned (const FaintLineList *lines)
{
  guint n = 0;

  for (gsize i = 0; lines && i < faint_line_list_get_n (lines); i++)
    {
      const FaintLine *line = faint_line_list_get (lines, i);

      n += *line->upper || *line->lower;
    }
  return n;
}

static void
update_counts (FaintAssignmentResult *self, const FaintAssignment *result)
{
  FaintLineList *lines = faint_document_get_lines (self->document);
  guint n = lines ? (guint)faint_line_list_get_n (lines) : 0, undecided = 0;
  /* Translators: numbers of lines, "84 of 90" */
  g_autofree char *assigned = g_strdup_printf (_ ("%u of %u lines"), n_assigned (lines), n);
  g_autoptr (GString) words = g_string_new (NULL);

  for (guint i = 0; result && i < result->undecided->len; i++)
    undecided += g_array_index (result->undecided, FaintUndecided, i).n_lines;
  g_string_printf (words, ngettext ("%u line", "%u lines", undecided), undecided);
  for (guint i = 0; result && i < result->undecided->len; i++)
    {
      g_autofree char *told
          = faint_shown_words (g_array_index (result->undecided, FaintUndecided, i).text);

      g_string_append_printf (words, "\n%s", told);
    }
  faint_pane_set_value (self->assigned, n > 0 ? assigned : NULL);
  faint_pane_set_value (self->undecided, result ? words->str : NULL);
  faint_pane_show_row (self->undecided, result && undecided > 0);
  faint_pane_set_number (self->chance, "%.2g", result ? result->chance : NAN, "");
  faint_pane_show_row (self->chance, result && isfinite (result->chance) && result->n_candidates);
}

static void
update_warnings (FaintAssignmentResult *self, const FaintAssignment *result)
{
  g_autofree char *text = faint_kept_warnings (result ? result->warnings : NULL);

  gtk_label_set_text (GTK_LABEL (self->warnings), text);
  gtk_widget_set_visible (self->warnings, *text != '\0');
}

static void
append_band (FaintAssignmentResult *self, const FaintAssignedBand *band)
{
  g_autofree char *heading = band->name && *band->name
                                 /* Translators: the name of a vibrational state */
                                 ? g_strdup_printf (_ ("Band to %s"), band->name)
                                 : g_strdup (_ ("Band constants"));
  GtkWidget *grid = faint_pane_section (self->bands, heading), *correlations;

  for (guint i = 0; band->band && i < band->band->constants->len; i++)
    {
      const FaintBandConstant *it = &g_array_index (band->band->constants, FaintBandConstant, i);
      g_autofree char *words = faint_constant_in_words (it->name);

      faint_pane_set_measured (faint_pane_value (grid, words), it->value, it->u, "cm⁻¹");
    }
  if (band->band && band->band->fit)
    {
      const FaintLinearFit *fit = band->band->fit;
      g_autofree char *kept
          = g_strdup_printf (_ ("%u of %u lines"), (guint)fit->n_kept, (guint)fit->n);

      faint_pane_set_value (faint_pane_value (grid, _ ("Fitted")), kept);
      faint_pane_set_number (faint_pane_value (grid, _ ("Reduced χ²")), "%.3f", fit->chi2_reduced,
                             "");
    }
  if (isfinite (band->intensities.band_strength))
    faint_pane_set_measured (faint_pane_value (grid, _ ("Band strength")),
                             band->intensities.band_strength, band->intensities.u_band_strength,
                             _ ("cm/molecule"));
  correlations = faint_band_correlation_button (band->band);
  if (correlations)
    faint_pane_wide (grid, correlations);
}

static void
on_line (GtkButton *button, FaintAssignmentResult *self)
{
  guint id = GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "faint-id"));

  faint_session_set_selected (self->session, id);
}

/* A row of a list: of a line that can be shown (@id), or of a place where none is (@at). */
static GtkWidget *
append_row (GtkWidget *box, const char *text)
{
  GtkWidget *button = gtk_button_new_with_label (text);
  GtkWidget *label = gtk_button_get_child (GTK_BUTTON (button));

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 36);
  gtk_widget_add_css_class (button, "flat");
  gtk_widget_add_css_class (button, "numeric");
  gtk_box_append (GTK_BOX (box), button);
  return button;
}

static void
append_misfit (FaintAssignmentResult *self, const FaintAssigned *it)
{
  g_autofree char *transition
      = faint_transition_in_words (self->assigner, it->line.ladder, it->line.branch, it->line.j);
  char position[G_ASCII_DTOSTR_BUF_SIZE], difference[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *text = NULL;
  GtkWidget *button;

  g_ascii_formatd (position, sizeof position, "%.3f", it->line.nu);
  g_ascii_formatd (difference, sizeof difference, "%+.4f", it->line.nu - it->calculated);
  /* Translators: a transition, its position, observed minus calculated, and why it is left out */
  text = g_strdup_printf (_ ("%s at %s, obs − calc %s cm⁻¹: %s"), transition, position, difference,
                          faint_band_verdict_in_words (it->verdict));
  button = append_row (self->misfits, text);
  gtk_widget_set_tooltip_text (button, _ ("Show this line"));
  g_object_set_data (G_OBJECT (button), "faint-id", GUINT_TO_POINTER (it->id));
  g_signal_connect (button, "clicked", G_CALLBACK (on_line), self);
}

static void
append_more (GtkWidget *box, guint n)
{
  g_autofree char *text = g_strdup_printf (ngettext ("and %u more", "and %u more", n), n);
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_widget_add_css_class (label, "note");
  gtk_box_append (GTK_BOX (box), label);
}

static void
update_misfits (FaintAssignmentResult *self, const FaintAssignment *result)
{
  guint n = 0;

  faint_pane_empty (self->misfits);
  for (guint i = 0; result && i < result->lines->len; i++)
    {
      const FaintAssigned *it = &g_array_index (result->lines, FaintAssigned, i);

      if (it->verdict != FAINT_BAND_FITTED && n++ < MOST_LISTED)
        append_misfit (self, it);
    }
  if (n > MOST_LISTED)
    append_more (self->misfits, n - MOST_LISTED);
  gtk_widget_set_visible (self->misfits_section, n > 0);
}

static void
on_place (GtkButton *button, FaintAssignmentResult *self)
{
  const double *at = g_object_get_data (G_OBJECT (button), "faint-at");

  faint_session_reveal (self->session, *at);
}

static void
append_missing (FaintAssignmentResult *self, const FaintPredicted *it)
{
  g_autofree char *transition
      = faint_transition_in_words (self->assigner, it->ladder, it->branch, it->j);
  g_autofree char *text = NULL;
  char position[G_ASCII_DTOSTR_BUF_SIZE], over[G_ASCII_DTOSTR_BUF_SIZE];
  GtkWidget *button;

  g_ascii_formatd (position, sizeof position, "%.4f", it->position);
  g_ascii_formatd (over, sizeof over, "%.2g", it->over_limit);
  /* Translators: a transition, its position, its strength over that of the weakest lines */
  text = g_strdup_printf (_ ("%s at %s, %s times the weakest lines"), transition, position, over);
  button = append_row (self->missing, text);
  gtk_widget_set_tooltip_text (button, _ ("Show this place"));
  g_object_set_data_full (G_OBJECT (button), "faint-at",
                          g_memdup2 (&it->position, sizeof it->position), g_free);
  g_signal_connect (button, "clicked", G_CALLBACK (on_place), self);
}

/* Lines that should have been seen, within what was recorded. */
static void
update_missing (FaintAssignmentResult *self, const FaintAssignment *result)
{
  double lower, upper;
  guint n = 0;

  faint_pane_empty (self->missing);
  faint_session_get_limits (self->session, &lower, &upper);
  for (guint i = 0; result && i < result->predicted->len; i++)
    {
      const FaintPredicted *it = &g_array_index (result->predicted, FaintPredicted, i);

      if (it->over_limit > 1 && it->position >= lower && it->position <= upper && n++ < MOST_LISTED)
        append_missing (self, it);
    }
  if (n > MOST_LISTED)
    append_more (self->missing, n - MOST_LISTED);
  gtk_widget_set_visible (self->missing_section, n > 0);
}

static void
update (FaintAssignmentResult *self)
{
  const FaintAssignment *result = faint_assigner_get_result (self->assigner);

  update_counts (self, result);
  update_warnings (self, result);
  faint_pane_empty (self->bands);
  for (guint i = 0; result && i < result->bands->len; i++)
    append_band (self, &g_array_index (result->bands, FaintAssignedBand, i));
  gtk_widget_set_visible (self->bands, result && result->bands->len > 0);
  update_misfits (self, result);
  update_missing (self, result);
}

static void
on_changed (FaintDocument *document, guint change, FaintAssignmentResult *self)
{
  if (change & (FAINT_CHANGE_LINES | FAINT_CHANGE_OPENED))
    update_counts (self, faint_assigner_get_result (self->assigner));
}

static void
faint_assignment_result_dispose (GObject *object)
{
  FaintAssignmentResult *self = FAINT_ASSIGNMENT_RESULT (object);

  g_clear_object (&self->lists);
  g_clear_object (&self->assigner);
  g_clear_object (&self->document);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (faint_assignment_result_parent_class)->dispose (object);
}

static void
faint_assignment_result_class_init (FaintAssignmentResultClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_assignment_result_dispose;
}

static void
faint_assignment_result_init (FaintAssignmentResult *self)
{
  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
  gtk_box_set_spacing (GTK_BOX (self), 18);
}

static GtkWidget *
list_section (FaintAssignmentResult *self, const char *heading, GtkWidget **box)
{
  GtkWidget *grid = faint_pane_section (self->lists, heading);

  *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  faint_pane_wide (grid, *box);
  return gtk_widget_get_parent (grid);
}

static void
build (FaintAssignmentResult *self)
{
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("Result"));

  self->assigned = faint_pane_value (grid, _ ("Assigned"));
  self->undecided = faint_pane_value (grid, _ ("Undecided"));
  self->chance = faint_pane_value (grid, _ ("Coincidences by chance"));
  self->warnings = faint_pane_note (grid, "");
  self->bands = gtk_box_new (GTK_ORIENTATION_VERTICAL, 18);
  gtk_box_append (GTK_BOX (self), self->bands);
  self->lists = g_object_ref_sink (gtk_box_new (GTK_ORIENTATION_VERTICAL, 18));
  self->misfits_section = list_section (self, _ ("Left out of the fit"), &self->misfits);
  self->missing_section = list_section (self, _ ("Expected and not found"), &self->missing);
}

GtkWidget *
faint_assignment_result_new (FaintDocument *document, FaintSession *session)
{
  FaintAssignmentResult *self = g_object_new (FAINT_TYPE_ASSIGNMENT_RESULT, NULL);

  self->document = g_object_ref (document);
  self->session = g_object_ref (session);
  self->assigner = g_object_ref (faint_assigner_of (document));
  build (self);
  g_signal_connect_object (document, "changed", G_CALLBACK (on_changed), self, 0);
  g_signal_connect_object (self->assigner, "changed", G_CALLBACK (update), self, G_CONNECT_SWAPPED);
  update (self);
  return GTK_WIDGET (self);
}

GtkWidget *
faint_assignment_result_get_lists (FaintAssignmentResult *self)
{
  g_return_val_if_fail (FAINT_IS_ASSIGNMENT_RESULT (self), NULL);
  return self->lists;
}
