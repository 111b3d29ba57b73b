/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a screen reader says of the plot.
 */
#include "app/plot/hit.h"
#include "app/plot/plot-private.h"

#include <glib/gi18n.h>
#include <math.h>

void
faint_plot_describe (FaintPlot *self)
{
  double lower, upper;
  gsize n;
  g_autofree char *label = NULL, *from = NULL, *to = NULL, *description = NULL;
  const FaintLine *line = faint_plot_selected_line (self);

  faint_session_get_view (self->session, &lower, &upper);
  if (self->data == NULL || isnan (lower))
    {
      gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                      _ ("Spectrum, nothing open"),
                                      GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, "", -1);
      return;
    }

  /* A hundredth of the view is digits enough to listen to. */
  from = faint_axis_unit_format (&self->figure.unit, lower, (upper - lower) / 100);
  to = faint_axis_unit_format (&self->figure.unit, upper, (upper - lower) / 100);
  n = self->data->lines != NULL ? faint_hit_count (self->data->lines, (FaintRange){ lower, upper })
                                : 0;
  label = g_strdup_printf (
      ngettext ("Spectrum, %s to %s, %u line", "Spectrum, %s to %s, %u lines", n), from, to,
      (guint)n);
  if (line != NULL)
    {
      g_autofree char *at = faint_axis_unit_format (&self->figure.unit, line->position.value,
                                                    (upper - lower) / 1000);

      description = g_strdup_printf (_ ("Selected line at %s"), at);
    }
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, label,
                                  GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
                                  description != NULL ? description : _ ("No line selected"), -1);
}
