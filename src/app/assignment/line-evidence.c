/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/assignment/line-evidence.h"

#include <glib/gi18n.h>
#include <math.h>

#include "app/assignment/assignment-figures.h"
#include "faint/base/quantity.h"
#include "app/parts/pane.h"
#include "app/parts/quantity-text.h"

void
faint_line_evidence_add (FaintLineEvidence *self, GtkWidget *grid)
{
  self->transition = faint_pane_value (grid, _ ("Transition"));
  self->difference = faint_pane_value (grid, _ ("Obs − calc"));
  self->verdict = faint_pane_value (grid, _ ("Verdict"));
  self->found = faint_pane_value (grid, _ ("Found by"));
  self->odds = faint_pane_value (grid, _ ("Odds over chance"));
  self->margin = faint_pane_value (grid, _ ("Odds over next choice"));
  self->partners = faint_pane_value (grid, _ ("Misfit of partners"));
}

const char *
faint_band_verdict_in_words (FaintBandVerdict verdict)
{
  switch (verdict)
    {
    case FAINT_BAND_FITTED:
      return _ ("fitted");
    case FAINT_BAND_PERTURBED:
      return _ ("upper level perturbed");
    case FAINT_BAND_CONTRADICTED:
      return _ ("another line of its upper level disagrees");
    default:
      return _ ("outlier, no other line of its upper level");
    }
}

static const char *
found_in_words (FaintAssignedBy by)
{
  switch (by)
    {
    case FAINT_ASSIGNED_BY_DIFFERENCE:
      return _ ("combination difference");
    case FAINT_ASSIGNED_BY_CHAIN:
      return _ ("its place among the upper levels");
    case FAINT_ASSIGNED_BY_CONSTANTS:
      return _ ("the band constants");
    default:
      return _ ("hand, or given with the list");
    }
}

static void
show_text (GtkWidget *value, const char *text)
{
  faint_pane_set_value (value, text);
  faint_pane_show_row (value, text != NULL && *text != '\0');
}

/* Natural logarithm of 1e300, near the largest number of a double. */
#define LARGEST_ODDS 690.8

/* From a natural logarithm: "2e+12 : 1". */
static void
show_odds (GtkWidget *value, double odds)
{
  char number[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *text = NULL;

  if (isfinite (odds))
    {
      g_ascii_formatd (number, sizeof number, "%.2g", exp (odds));
      text = g_strdup_printf ("%s : 1", odds < LARGEST_ODDS ? number : "> 1e+300");
    }
  show_text (value, text);
}

static void
show_assigned (FaintLineEvidence *self, const FaintAssigned *it)
{
  g_autofree char *difference = NULL, *with_unit = NULL, *partners = NULL;
  g_autofree char *misfit = NULL;
  char number[G_ASCII_DTOSTR_BUF_SIZE];

  if (isfinite (it->calculated))
    {
      difference
          = faint_true_minus (faint_format_concise (it->line.nu - it->calculated, it->line.u));
      with_unit = g_strdup_printf ("%s cm⁻¹", difference);
    }
  if (it->partners > 0)
    {
      misfit = faint_true_minus (
          g_strdup (g_ascii_formatd (number, sizeof number, "%.2g", it->misfit)));
      /* Translators: a number of lines, and how far off they are, in standard uncertainties */
      partners = g_strdup_printf (
          ngettext ("%u line, %s σ off", "%u lines, %s σ off", it->partners), it->partners, misfit);
    }
  show_text (self->difference, with_unit);
  show_text (self->verdict, it->fitted && it->verdict == FAINT_BAND_FITTED
                                ? NULL
                                : faint_band_verdict_in_words (it->verdict));
  show_text (self->found, found_in_words (it->by));
  show_odds (self->odds, it->odds);
  show_odds (self->margin, it->margin);
  show_text (self->partners, partners);
}

void
faint_line_evidence_show (FaintLineEvidence *self, FaintAssigner *assigner, const FaintLine *line)
{
  const FaintAssignment *result = faint_assigner_get_result (assigner);
  const FaintAssigned *it = result && line ? faint_assignment_find (result, line->id) : NULL;
  GtkWidget *const of_result[]
      = { self->difference, self->verdict, self->found, self->odds, self->margin, self->partners };
  FaintTransition transition;
  g_autofree char *words = NULL;

  if (line && faint_assigner_transition_of (assigner, line, &transition))
    words
        = faint_transition_in_words (assigner, transition.ladder, transition.branch, transition.j);
  show_text (self->transition, words);
  if (it)
    show_assigned (self, it);
  else
    for (guint i = 0; i < G_N_ELEMENTS (of_result); i++)
      show_text (of_result[i], NULL);
}
