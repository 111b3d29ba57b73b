/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/what-if/what-if-numbers.h"

#include <glib/gi18n.h>

#include "app/parts/pane.h"

static const struct
{
  const char *name, *tooltip;
} numbers[FAINT_WHAT_IF_NUMBER_N] = {
  [FAINT_WHAT_IF_NUMBER_VIEW]
  = { N_ ("χ²/ν in view"), N_ ("Of the windows of the fit that reach into view") },
  [FAINT_WHAT_IF_NUMBER_ALL] = { N_ ("χ²/ν of all"), NULL },
  [FAINT_WHAT_IF_NUMBER_DEEPEST]
  = { N_ ("Deepest tooth in view/%"), N_ ("Share of the light that the deepest line takes") },
  [FAINT_WHAT_IF_NUMBER_ENHANCEMENT]
  = { N_ ("Enhancement of a round trip"),
      N_ ("Path over the absorber of one round trip, for faint absorption: finesse/π with a locked "
          "comb, half of that with a swept one") },
};

/* Four digits, without a power of ten. */
static const char *
format_of (double value)
{
  return value >= 1e4 && value < 1e15 ? "%.0f" : "%.4g";
}

static GtkWidget *
cell (GtkWidget *grid, const char *text, int column, int row)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), column == 0 ? 0 : 1);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_widget_add_css_class (label, row == 0 || column == 0 ? "row-name" : "numeric");
  gtk_widget_set_direction (label, GTK_TEXT_DIR_LTR); /* digits, wherever words go */
  gtk_grid_attach (GTK_GRID (grid), label, column, row, 1, 1);
  return label;
}

GtkWidget *
faint_what_if_numbers_new (void)
{
  GtkWidget *grid = gtk_grid_new ();

  gtk_grid_set_column_spacing (GTK_GRID (grid), 12);
  gtk_grid_set_row_spacing (GTK_GRID (grid), 3);
  cell (grid, NULL, 0, 0);
  cell (grid, _ ("fitted"), 1, 0);
  cell (grid, _ ("what if"), 2, 0);
  for (int i = 0; i < FAINT_WHAT_IF_NUMBER_N; i++)
    {
      GtkWidget *name = cell (grid, _ (numbers[i].name), 0, i + 1);

      if (numbers[i].tooltip)
        gtk_widget_set_tooltip_text (name, _ (numbers[i].tooltip));
      cell (grid, "–", 1, i + 1);
      cell (grid, "–", 2, i + 1);
    }
  gtk_accessible_update_property (GTK_ACCESSIBLE (grid), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Fitted and what if, compared"), -1);
  return grid;
}

void
faint_what_if_numbers_set (GtkWidget *self, FaintWhatIfNumber which, double fitted, double now)
{
  GtkGrid *grid = GTK_GRID (self);

  faint_pane_set_number (gtk_grid_get_child_at (grid, 1, (int)which + 1), format_of (fitted),
                         fitted, "");
  faint_pane_set_number (gtk_grid_get_child_at (grid, 2, (int)which + 1), format_of (now), now, "");
}

const char *
faint_what_if_numbers_get (GtkWidget *self, FaintWhatIfNumber which, gboolean now)
{
  return gtk_label_get_text (
      GTK_LABEL (gtk_grid_get_child_at (GTK_GRID (self), now ? 2 : 1, (int)which + 1)));
}
