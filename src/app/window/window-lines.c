/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Commands on the selected lines: ties, a line made two; and what the fit tells of them.
 */
#include "app/window/window-private.h"

#include <glib/gi18n.h>

#include "app/lines/correlation-window.h"
#include "app/lines/line-merge.h"
#include "app/lines/line-shape.h"
#include "app/lines/line-ties.h"
#include "app/lines/line-words.h"
#include "app/lines/quality-window.h"

GArray *
_faint_window_selected_ids (FaintWindow *self)
{
  GArray *ids = faint_line_table_get_selected (FAINT_LINE_TABLE (self->table));
  guint selected = faint_session_get_selected (self->session);

  /* the table may have filtered the plot's line out */
  if (ids->len == 0 && selected > 0)
    g_array_append_val (ids, selected);
  return ids;
}

gboolean
_faint_window_has_ties (FaintWindow *self)
{
  g_autoptr (GArray) ids = _faint_window_selected_ids (self);

  for (guint i = 0; i < ids->len; i++)
    {
      const FaintLine *line
          = faint_document_get_line (self->document, g_array_index (ids, guint, i));

      for (FaintPlace place = 0; line && place < FAINT_PLACE_N; place++)
        if (faint_line_peek_parameter (line, place)->state == FAINT_STATE_TIED)
          return TRUE;
    }
  return FALSE;
}

static void
tie (FaintWindow *self, FaintPlace place, const char *label)
{
  FaintLineList *lines = faint_document_get_lines (self->document);
  g_autoptr (GArray) ids = _faint_window_selected_ids (self);
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintLineList) tied = NULL;

  if (lines == NULL || ids->len < 2)
    return;
  tied = faint_line_ties_tie (lines, (const guint *)ids->data, ids->len, place, &error);
  if (tied)
    faint_document_replace_lines (self->document, tied, label);
  else
    faint_window_say (self, _ ("The lines were not tied"), error->message);
}

void
_faint_window_tie_widths (FaintWindow *self)
{
  tie (self, FAINT_PLACE_LORENTZ, _ ("Tie Lorentz Widths"));
}

void
_faint_window_tie_strengths (FaintWindow *self)
{
  tie (self, FAINT_PLACE_STRENGTH, _ ("Tie Strengths"));
}

void
_faint_window_tie_positions (FaintWindow *self)
{
  tie (self, FAINT_PLACE_POSITION, _ ("Tie Positions"));
}

void
_faint_window_release_ties (FaintWindow *self)
{
  FaintLineList *lines = faint_document_get_lines (self->document);
  g_autoptr (GArray) ids = _faint_window_selected_ids (self);
  g_autoptr (FaintLineList) released = NULL;
  guint n = 0;

  if (lines == NULL)
    return;
  released = faint_line_ties_release (lines, (const guint *)ids->data, ids->len, &n);
  if (n > 0)
    faint_document_replace_lines (self->document, released, _ ("Release Ties"));
}

void
_faint_window_split_line (FaintWindow *self)
{
  const FaintLine *line
      = faint_document_get_line (self->document, faint_session_get_selected (self->session));
  char position[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *label = NULL;
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintLineList) split = NULL;
  guint second = 0;

  if (line == NULL)
    return;
  g_ascii_formatd (position, sizeof position, "%.3f", line->position.value);
  label = g_strdup_printf (_ ("Split Line %s"), position);
  split = faint_line_ties_split (faint_document_get_lines (self->document), line->id, &second,
                                 &error);
  if (split)
    faint_document_replace_lines (self->document, split, label);
  else
    faint_window_say (self, _ ("The line was not split"), error->message);
}

void
_faint_window_merge_lines (FaintWindow *self)
{
  FaintLineList *lines = faint_document_get_lines (self->document);
  g_autoptr (GArray) ids = _faint_window_selected_ids (self);
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintLineList) merged = NULL;
  char position[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *label = NULL;
  guint id = 0;

  if (lines == NULL || ids->len < 2)
    return;
  merged = faint_lines_merge (lines, (const guint *)(void *)ids->data, ids->len, &id, &error);
  if (merged == NULL)
    {
      faint_window_say (self, _ ("The lines were not merged"), error->message);
      return;
    }
  g_ascii_formatd (position, sizeof position, "%.3f",
                   faint_line_list_find (merged, id)->position.value);
  /* Translators: a number of lines, and the position of the one that they become */
  label = g_strdup_printf (_ ("Merge %u Lines at %s"), ids->len, position);
  faint_session_set_selected (self->session, id);
  faint_document_replace_lines (self->document, merged, label);
}

/* "Fix Lorentz Width of Line 7790.220", "Fix Lorentz Width of 12 Lines" */
static char *
label_of_state (FaintLineList *lines, const GArray *ids, FaintPlace place, gboolean fix)
{
  const char *name = faint_place_in_edits (place);
  char position[G_ASCII_DTOSTR_BUF_SIZE];

  if (ids->len > 1)
    return g_strdup_printf (fix ? _ ("Fix %s of %u Lines") : _ ("Release %s of %u Lines"), name,
                            ids->len);
  g_ascii_formatd (position, sizeof position, "%.3f",
                   faint_line_list_find (lines, g_array_index (ids, guint, 0))->position.value);
  return g_strdup_printf (fix ? _ ("Fix %s of Line %s") : _ ("Release %s of Line %s"), name,
                          position);
}

void
_faint_window_set_state (FaintWindow *self, FaintPlace place, FaintParameterState state)
{
  FaintLineList *lines = faint_document_get_lines (self->document);
  g_autoptr (GArray) ids = _faint_window_selected_ids (self);
  g_autoptr (FaintLineList) changed = NULL;
  g_autofree char *label = NULL;
  gboolean derived;

  if (lines == NULL || ids->len == 0)
    return;
  derived
      = place == FAINT_PLACE_DOPPLER
        && !faint_analysis_get_options (faint_document_get_analysis (self->document))->doppler_free;
  if (state == FAINT_STATE_FREE && derived)
    state = FAINT_STATE_DERIVED;
  changed = faint_lines_with_parameter (lines, (const guint *)(void *)ids->data, ids->len, place,
                                        state, NAN);
  label = label_of_state (lines, ids, place, state == FAINT_STATE_FIXED);
  faint_document_replace_lines (self->document, changed, label);
}

void
_faint_window_set_profile (FaintWindow *self, FaintProfile profile)
{
  FaintLineList *lines = faint_document_get_lines (self->document);
  g_autoptr (GArray) ids = _faint_window_selected_ids (self);
  g_autoptr (FaintLineList) changed = NULL;
  g_autofree char *label = NULL;

  if (lines == NULL || ids->len == 0)
    return;
  changed = faint_lines_with_profile (lines, (const guint *)ids->data, ids->len, profile);
  label = g_strdup_printf (
      ngettext ("Change Profile of %u Line", "Change Profile of %u Lines", ids->len), ids->len);
  faint_document_replace_lines (self->document, changed, label);
}

/* A window of its own for each window of the application: made once, then brought to the front. */
static void
show_companion (FaintWindow *self, GType type,
                GtkWidget *(*make) (GtkWindow *parent, FaintDocument *document,
                                    FaintSession *session))
{
  g_autoptr (GListModel) windows = G_LIST_MODEL (g_object_ref (gtk_window_get_toplevels ()));

  for (guint i = 0; i < g_list_model_get_n_items (windows); i++)
    {
      g_autoptr (GtkWindow) window = g_list_model_get_item (windows, i);

      if (G_OBJECT_TYPE (window) == type
          && gtk_window_get_transient_for (window) == GTK_WINDOW (self))
        {
          gtk_window_present (window);
          return;
        }
    }
  gtk_window_present (GTK_WINDOW (make (GTK_WINDOW (self), self->document, self->session)));
}

void
_faint_window_show_correlation (FaintWindow *self)
{
  show_companion (self, FAINT_TYPE_CORRELATION_WINDOW, faint_correlation_window_new);
}

void
_faint_window_show_quality (FaintWindow *self)
{
  show_companion (self, FAINT_TYPE_QUALITY_WINDOW, faint_quality_window_new);
}
