/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/assignment/band-correlation.h"

#include <glib/gi18n.h>

#include "app/lines/correlation-view.h"

#define SIDE 300 /* of the picture */
#define MOST_LISTED 4

char *
faint_constant_in_words (const char *name)
{
  GString *words = g_string_new (name);

  g_string_replace (words, "''", "″", 0);
  g_string_replace (words, "'", "′", 0);
  g_string_replace (words, "origin′", _ ("Origin"), 0);
  return g_string_free (words, FALSE);
}

static FaintCorrelation *
correlation_of (const FaintBand *band)
{
  gsize n = band->constants->len;
  double *matrix = g_new (double, n *n);
  char **names = g_new0 (char *, n + 1);

  for (gsize i = 0; i < n; i++)
    {
      names[i]
          = faint_constant_in_words (g_array_index (band->constants, FaintBandConstant, i).name);
      for (gsize k = 0; k < n; k++)
        matrix[i * n + k] = faint_linear_fit_correlation (band->fit, i, k);
    }
  return faint_correlation_new (matrix, names, n);
}

/* The chosen cell, else the strongest. */
static void
on_cell (FaintCorrelationView *view, GtkLabel *read_out)
{
  g_autofree char *chosen = faint_correlation_view_read_out (view);
  g_autofree char *strongest = faint_correlation_view_strongest (view, MOST_LISTED);

  gtk_label_set_text (read_out, chosen ? chosen : strongest);
}

GtkWidget *
faint_band_correlation_button (const FaintBand *band)
{
  GtkWidget *button, *popover, *box, *view, *read_out;

  if (band == NULL || band->fit == NULL || band->constants->len < 2)
    return NULL;
  button = gtk_menu_button_new ();
  popover = gtk_popover_new ();
  box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  view = faint_correlation_view_new ();
  read_out = gtk_label_new (NULL);
  gtk_menu_button_set_label (GTK_MENU_BUTTON (button), _ ("Correlations"));
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Correlations of the constants"), -1);
  gtk_widget_set_size_request (view, SIDE, SIDE);
  gtk_label_set_xalign (GTK_LABEL (read_out), 0);
  gtk_widget_add_css_class (read_out, "numeric");
  g_signal_connect_object (view, "cell-changed", G_CALLBACK (on_cell), read_out, 0);
  faint_correlation_view_set (FAINT_CORRELATION_VIEW (view), correlation_of (band));
  on_cell (FAINT_CORRELATION_VIEW (view), GTK_LABEL (read_out));
  gtk_box_append (GTK_BOX (box), view);
  gtk_box_append (GTK_BOX (box), read_out);
  gtk_popover_set_child (GTK_POPOVER (popover), box);
  gtk_menu_button_set_popover (GTK_MENU_BUTTON (button), popover);
  return button;
}
