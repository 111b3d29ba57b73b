/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the plot asks for: lines added, moved and widened, teeth excluded, a range fitted. Nothing
 * of it while the plot shows a review: its rows are no lines of the document.
 */
#include "app/window/window-private.h"

#include <glib/gi18n.h>

#include "app/window/go-to.h"

static void
on_add_line (FaintPlot *plot, double wavenumber, FaintWindow *self)
{
  if (!_faint_window_shows_review (self))
    faint_session_set_selected (self->session,
                                faint_document_add_line (self->document, wavenumber));
}

static void
on_line_moved (FaintPlot *plot, guint id, double wavenumber, FaintWindow *self)
{
  if (!_faint_window_shows_review (self))
    faint_document_move_line (self->document, id, wavenumber);
}

static void
on_line_widened (FaintPlot *plot, guint id, double lorentz, FaintWindow *self)
{
  if (!_faint_window_shows_review (self))
    faint_document_set_width (self->document, id, lorentz);
}

static void
on_line_toggled (FaintPlot *plot, guint id, FaintWindow *self)
{
  if (!_faint_window_shows_review (self))
    faint_line_table_toggle (FAINT_LINE_TABLE (self->table), id);
}

static void
exclude (FaintWindow *self, double lower, double upper, gboolean exclude)
{
  if (faint_document_exclude_teeth (self->document, lower, upper, exclude) == 0)
    faint_window_say (self, _ ("No tooth was changed"),
                      exclude ? _ ("All teeth there are excluded already.")
                              : _ ("No tooth there is excluded."));
}

static void
select_lines (FaintWindow *self, double lower, double upper)
{
  FaintLineList *lines = faint_document_get_lines (self->document);
  g_autoptr (GArray) ids = g_array_new (FALSE, FALSE, sizeof (guint));

  for (gsize i = 0; lines && i < faint_line_list_get_n (lines); i++)
    {
      const FaintLine *line = faint_line_list_get (lines, i);

      if (line->position.value >= lower && line->position.value <= upper)
        g_array_append_val (ids, line->id);
    }
  faint_line_table_select_ids (FAINT_LINE_TABLE (self->table), (const guint *)(void *)ids->data,
                               ids->len);
}

static void
on_range_chosen (FaintPlot *plot, guint use, double lower, double upper, FaintWindow *self)
{
  if (_faint_window_shows_review (self))
    return;
  switch ((FaintRangeUse)use)
    {
    case FAINT_RANGE_EXCLUDE:
      exclude (self, lower, upper, TRUE);
      break;
    case FAINT_RANGE_TAKE_BACK:
      exclude (self, lower, upper, FALSE);
      break;
    case FAINT_RANGE_FIT:
      faint_document_set_range (self->document, lower, upper);
      break;
    case FAINT_RANGE_SELECT:
      select_lines (self, lower, upper);
      break;
    }
}

static gboolean
go_to (double wavenumber, gpointer window)
{
  FaintWindow *self = window;

  if (!faint_plot_go_to (FAINT_PLOT (self->plot), wavenumber))
    return FALSE;
  gtk_widget_grab_focus (self->plot);
  return TRUE;
}

void
_faint_window_go_to (FaintWindow *self)
{
  FaintFigureData *data = faint_plot_get_data (FAINT_PLOT (self->plot));
  FaintAxisUnit unit = faint_plot_axis_unit (self->session, data);
  g_autofree char *lower = NULL, *upper = NULL, *limits = NULL;
  double distance;

  if (data == NULL)
    return;
  distance = faint_range_width (data->across) / 1e4;
  lower = faint_axis_unit_format (&unit, data->across.lower, distance);
  upper = faint_axis_unit_format (&unit, data->across.upper, distance);
  limits = g_strdup_printf ("%s … %s", lower, upper);
  faint_go_to_ask (self->axis_unit, &unit, limits, go_to, self);
}

void
_faint_window_follow_plot (FaintWindow *self)
{
  g_autoptr (GMenuModel) menu = _faint_window_line_menu ();

  faint_plot_set_line_menu (FAINT_PLOT (self->plot), menu);
  g_signal_connect (self->plot, "add-line", G_CALLBACK (on_add_line), self);
  g_signal_connect (self->plot, "line-moved", G_CALLBACK (on_line_moved), self);
  g_signal_connect (self->plot, "line-widened", G_CALLBACK (on_line_widened), self);
  g_signal_connect (self->plot, "line-toggled", G_CALLBACK (on_line_toggled), self);
  g_signal_connect (self->plot, "range-chosen", G_CALLBACK (on_range_chosen), self);
}
