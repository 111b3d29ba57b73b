/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A grid of names, level bars and numbers; sources that contribute nothing are left out.
 */
#include "app/strengths/budget-bars.h"

#include <glib/gi18n.h>

#include "app/parts/quantity-text.h"
#include "app/parts/share-bar.h"

struct _FaintBudgetBars
{
  GtkBox parent;

  GtkWidget *grid; /* rebuilt with each line */
};

G_DEFINE_FINAL_TYPE (FaintBudgetBars, faint_budget_bars, GTK_TYPE_BOX)

const char *
faint_source_in_words (FaintUncertaintySource source)
{
  static const char *const words[FAINT_SOURCE_N] = {
    [FAINT_SOURCE_NOISE] = N_ ("Noise"),
    [FAINT_SOURCE_TEMPERATURE] = N_ ("Temperature"),
    [FAINT_SOURCE_PRESSURE] = N_ ("Pressure"),
    [FAINT_SOURCE_MOLE_FRACTION] = N_ ("Mole fraction"),
    [FAINT_SOURCE_LENGTH] = N_ ("Length"),
    [FAINT_SOURCE_CAVITY] = N_ ("Cavity"),
    [FAINT_SOURCE_DETUNING] = N_ ("Detuning"),
    [FAINT_SOURCE_MASS] = N_ ("Molar mass"),
    [FAINT_SOURCE_REPETITION_RATE] = N_ ("Repetition rate"),
    [FAINT_SOURCE_OFFSET_FREQUENCY] = N_ ("Offset frequency"),
  };

  return source < FAINT_SOURCE_N ? _ (words[source]) : "";
}

/* A share of less than a thousandth per cent is not worth its digits. */
static char *
percent (double share)
{
  g_autofree char *digits = faint_two_digits (100 * share);

  return 100 * share < 0.001 ? g_strdup ("< 0.001 %") : g_strconcat (digits, " %", NULL);
}

static char *
with_unit (double value, const char *unit)
{
  g_autofree char *digits = faint_two_digits (value);

  return g_strconcat (digits, " ", unit, NULL);
}

static double
largest (const double *from)
{
  double most = 0;

  for (guint i = 0; i < FAINT_SOURCE_N; i++)
    if (isfinite (from[i]))
      most = MAX (most, fabs (from[i]));
  return most;
}

static void
add_row (FaintBudgetBars *self, int row, FaintUncertaintySource source, const char *number,
         double share)
{
  GtkWidget *name = gtk_label_new (faint_source_in_words (source));
  GtkWidget *value = gtk_label_new (number);
  GtkWidget *bar = faint_share_bar_new (faint_source_in_words (source), share);

  gtk_widget_set_hexpand (bar, TRUE);
  gtk_label_set_xalign (GTK_LABEL (name), 0);
  gtk_label_set_xalign (GTK_LABEL (value), 1);
  gtk_widget_add_css_class (name, "row-name");
  gtk_widget_add_css_class (value, "numeric");
  gtk_widget_set_direction (value, GTK_TEXT_DIR_LTR); /* digits, wherever words go */
  gtk_grid_attach (GTK_GRID (self->grid), name, 0, row, 1, 1);
  gtk_grid_attach (GTK_GRID (self->grid), bar, 1, row, 1, 1);
  gtk_grid_attach (GTK_GRID (self->grid), value, 2, row, 1, 1);
}

static void
faint_budget_bars_class_init (FaintBudgetBarsClass *klass)
{
}

static void
faint_budget_bars_init (FaintBudgetBars *self)
{
}

GtkWidget *
faint_budget_bars_new (void)
{
  return g_object_new (FAINT_TYPE_BUDGET_BARS, NULL);
}

void
faint_budget_bars_show (FaintBudgetBars *self, const double *from, double value, gboolean relative,
                        const char *unit)
{
  double most = from ? largest (from) : 0;
  int row = 0;

  g_return_if_fail (FAINT_IS_BUDGET_BARS (self));
  if (self->grid)
    gtk_box_remove (GTK_BOX (self), self->grid);
  self->grid = gtk_grid_new ();
  gtk_grid_set_row_spacing (GTK_GRID (self->grid), 4);
  gtk_grid_set_column_spacing (GTK_GRID (self->grid), 12);
  gtk_widget_set_hexpand (self->grid, TRUE);
  gtk_box_append (GTK_BOX (self), self->grid);

  for (guint i = 0; most > 0 && i < FAINT_SOURCE_N; i++)
    {
      double part = fabs (from[i]);
      g_autofree char *text = NULL;

      if (!(part > 0) || !isfinite (part))
        continue;
      text = relative ? percent (part / fabs (value)) : with_unit (part, unit);
      add_row (self, row++, i, text, part / most);
    }
}
