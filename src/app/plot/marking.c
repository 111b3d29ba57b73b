/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A range marked on the axis, and what is done with it: teeth are excluded or taken back, the fit
 * is kept to it, its lines are selected, it is shown.
 */
#include "app/plot/plot-private.h"

#include <glib/gi18n.h>
#include <math.h>

gboolean
faint_plot_is_marked (FaintPlot *self)
{
  return self->data != NULL && faint_range_is_valid (self->marked);
}

void
faint_plot_set_marked (FaintPlot *self, FaintRange range)
{
  self->marked = range;
  if (!faint_range_is_valid (range))
    self->mark_from = NAN;
  faint_plot_refresh_marks (self);
  faint_plot_update_actions (self);
}

void
faint_plot_unmark (FaintPlot *self)
{
  if (faint_range_is_valid (self->marked) || !isnan (self->mark_from))
    faint_plot_set_marked (self, (FaintRange){ NAN, NAN });
}

/* The marked range, else the tooth at hand. */
static gboolean
range_at_hand (FaintPlot *self, FaintRange *range)
{
  double at = isnan (self->menu_at) ? faint_plot_focus_wavenumber (self) : self->menu_at;
  gsize tooth;

  if (self->data == NULL)
    return FALSE;
  if (faint_plot_is_marked (self))
    {
      *range = self->marked;
      return TRUE;
    }
  tooth = faint_pyramid_nearest (self->data->observed, at);
  if (tooth == G_MAXSIZE)
    return FALSE;
  range->lower = range->upper = self->data->spectrum->wavenumber[tooth];
  return TRUE;
}

gboolean
faint_plot_has_excluded (FaintPlot *self)
{
  const FaintSpectrum *spectrum = self->data != NULL ? self->data->spectrum : NULL;
  gsize first, end;

  if (spectrum == NULL || spectrum->n_excluded == 0 || !faint_plot_is_marked (self))
    return spectrum != NULL && spectrum->n_excluded > 0;
  first = faint_spectrum_index (spectrum, self->marked.lower);
  end = faint_spectrum_index (spectrum, nextafter (self->marked.upper, INFINITY));
  return faint_spectrum_count_used (spectrum, first, end - first) < end - first;
}

static void
tell (FaintPlot *self, FaintRangeUse use)
{
  FaintRange range;

  if (!range_at_hand (self, &range))
    return;
  faint_plot_unmark (self);
  g_signal_emit (self, faint_plot_signals[FAINT_PLOT_RANGE_CHOSEN], 0, use, range.lower,
                 range.upper);
}

void
faint_plot_act_exclude (GtkWidget *widget, const char *name, GVariant *none)
{
  tell (FAINT_PLOT (widget), FAINT_RANGE_EXCLUDE);
}

void
faint_plot_act_take_back (GtkWidget *widget, const char *name, GVariant *none)
{
  tell (FAINT_PLOT (widget), FAINT_RANGE_TAKE_BACK);
}

void
faint_plot_act_fit_range (GtkWidget *widget, const char *name, GVariant *none)
{
  tell (FAINT_PLOT (widget), FAINT_RANGE_FIT);
}

void
faint_plot_act_select_lines (GtkWidget *widget, const char *name, GVariant *none)
{
  tell (FAINT_PLOT (widget), FAINT_RANGE_SELECT);
}

void
faint_plot_act_zoom_range (GtkWidget *widget, const char *name, GVariant *none)
{
  FaintPlot *self = FAINT_PLOT (widget);
  FaintRange range = self->marked;

  if (!faint_plot_is_marked (self))
    return;
  faint_plot_unmark (self);
  faint_plot_jump (self, range);
}

static GMenuModel *
range_menu (FaintPlot *self)
{
  GMenu *menu = g_menu_new (), *acts = g_menu_new ();
  double pixel = faint_plot_pixel (self);
  g_autofree char *lower = faint_axis_unit_format (&self->figure.unit, self->marked.lower, pixel);
  g_autofree char *upper = faint_axis_unit_format (&self->figure.unit, self->marked.upper, pixel);
  gsize first = faint_spectrum_index (self->data->spectrum, self->marked.lower);
  gsize end = faint_spectrum_index (self->data->spectrum, self->marked.upper);
  guint n = (guint)(end - first);
  /* Translators: number of teeth, and the ends of the range they lie in */
  g_autofree char *title
      = g_strdup_printf (ngettext ("%u tooth, %s – %s", "%u teeth, %s – %s", n), n, lower, upper);

  g_menu_append (acts, _ ("E_xclude Teeth"), "plot.exclude-teeth");
  g_menu_append (acts, _ ("_Include Teeth"), "plot.take-teeth-back");
  g_menu_append (acts, _ ("_Fit This Range Only"), "plot.fit-range");
  g_menu_append (acts, _ ("Select _Lines Here"), "plot.select-lines");
  g_menu_append (acts, _ ("_Zoom to Range"), "plot.zoom-range");
  g_menu_append_section (menu, title, G_MENU_MODEL (acts));
  g_object_unref (acts);
  return G_MENU_MODEL (menu);
}

/* A new one each time, for its heading tells of the range. */
void
faint_plot_popup_range_menu (FaintPlot *self, double x, double y)
{
  GMenuModel *model;

  if (!faint_plot_is_marked (self))
    return;
  model = range_menu (self);
  if (self->range_menu == NULL)
    {
      self->range_menu = gtk_popover_menu_new_from_model (model);
      gtk_popover_set_has_arrow (GTK_POPOVER (self->range_menu), FALSE);
      gtk_widget_set_halign (self->range_menu, GTK_ALIGN_START);
      gtk_widget_set_parent (self->range_menu, GTK_WIDGET (self));
    }
  else
    gtk_popover_menu_set_menu_model (GTK_POPOVER_MENU (self->range_menu), model);
  g_object_unref (model);
  gtk_popover_set_pointing_to (GTK_POPOVER (self->range_menu),
                               &(GdkRectangle){ (int)x, (int)y, 1, 1 });
  gtk_popover_popup (GTK_POPOVER (self->range_menu));
}

/* The first time a range begins at the cursor, the second time it ends there. */
void
faint_plot_act_mark (GtkWidget *widget, const char *name, GVariant *none)
{
  FaintPlot *self = FAINT_PLOT (widget);
  double at = faint_plot_focus_wavenumber (self);
  FaintView view;

  if (self->data == NULL || !faint_plot_shared_view (self, &view))
    return;
  if (isnan (self->mark_from))
    {
      faint_plot_unmark (self);
      self->mark_from = at;
      faint_session_set_pointer (self->session, at);
      return;
    }
  faint_plot_follow_mark (self);
  self->mark_from = NAN;
  faint_plot_popup_range_menu (self, faint_view_x (&view, at),
                               view.place.y + view.place.height / 2);
}

void
faint_plot_follow_mark (FaintPlot *self)
{
  double at = faint_session_get_pointer (self->session);

  if (isnan (self->mark_from) || isnan (at))
    return;
  self->marked = (FaintRange){ MIN (self->mark_from, at), MAX (self->mark_from, at) };
  faint_plot_update_actions (self);
}
