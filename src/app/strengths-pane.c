/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Numbers of the gas and of the selected line.
 */
#include "strengths-pane.h"

#include <glib/gi18n.h>

#include "budget-bars.h"
#include "faint/strength/budget.h"
#include "pane.h"
#include "quantity-entry.h"

/* Level of the expanded uncertainty: k = 2 for many degrees of freedom (JCGM 100:2008, 6.3.3). */
#define COVERAGE_LEVEL 0.9545

typedef enum
{
  SHOW_STRENGTH,
  SHOW_POSITION,
  SHOW_LORENTZ,
} Shown;

struct _FaintStrengthsPane
{
  GtkBox parent;

  FaintDocument *document;
  FaintSession *session;
  GtkWidget *temperature, *density;
  GtkWidget *empty, *line_section, *budget_section;
  GtkWidget *position, *strength, *strength_296, *lower_energy, *expanded, *upper, *lower;
  GtkWidget *why_not; /* no strength at 296 K */
  GtkWidget *which;   /* GtkDropDown: Shown */
  GtkWidget *bars;
};

G_DEFINE_FINAL_TYPE (FaintStrengthsPane, faint_strengths_pane, GTK_TYPE_BOX)

static double
relative_u (FaintQuantity quantity)
{
  return faint_quantity_is_known (quantity) ? faint_quantity_u_or_zero (quantity) / quantity.value
                                            : 0.0;
}

/* x P/(k T): relative uncertainties of a product add in squares (JCGM 100:2008, 5.1.6). */
static void
update_gas (FaintStrengthsPane *self, const FaintSetup *setup)
{
  double abundance = faint_quantity_is_known (setup->abundance) ? setup->abundance.value : 1.0;
  double density = faint_number_density (setup->pressure.value, setup->temperature.value)
                   * setup->mole_fraction.value * abundance;
  double relative
      = hypot (hypot (relative_u (setup->pressure), relative_u (setup->temperature)),
               hypot (relative_u (setup->mole_fraction), relative_u (setup->abundance)));

  faint_pane_set_measured (self->temperature, setup->temperature.value, setup->temperature.u, "K");
  faint_pane_set_measured (self->density, density, density * relative, "cm⁻³");
}

static void
update_budget (FaintStrengthsPane *self, const FaintLine *line)
{
  FaintBudgetBars *bars = FAINT_BUDGET_BARS (self->bars);

  switch ((Shown)gtk_drop_down_get_selected (GTK_DROP_DOWN (self->which)))
    {
    case SHOW_POSITION:
      faint_budget_bars_show (bars, line->position_from, line->position.value, FALSE, "cm⁻¹");
      break;
    case SHOW_LORENTZ:
      faint_budget_bars_show (bars, line->lorentz_from, line->lorentz.value, TRUE, "");
      break;
    default:
      faint_budget_bars_show (bars, line->strength_from, line->strength.value, TRUE, "");
      break;
    }
}

static void
update_expanded (FaintStrengthsPane *self, const FaintLine *line)
{
  const FaintFit *fit = faint_analysis_get_fit (faint_document_get_analysis (self->document));
  double k = fit ? faint_coverage_factor (COVERAGE_LEVEL, fit->dof) : NAN;
  double share = k * line->strength.u / fabs (line->strength.value);
  char percent[G_ASCII_DTOSTR_BUF_SIZE], factor[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *text = NULL;

  if (isfinite (share))
    {
      g_ascii_formatd (percent, sizeof percent, "%.2g", 100 * share);
      g_ascii_formatd (factor, sizeof factor, "%.2f", k);
      /* Translators: an uncertainty in per cent and its coverage factor */
      text = g_strdup_printf (_ ("± %s %% (k = %s)"), percent, factor);
    }
  faint_pane_set_value (self->expanded, text);
}

static void
update_line (FaintStrengthsPane *self, const FaintLine *line)
{
  gtk_widget_set_visible (self->empty, line == NULL);
  gtk_widget_set_visible (self->line_section, line != NULL);
  gtk_widget_set_visible (self->budget_section, line != NULL);
  if (line == NULL)
    return;
  faint_pane_set_measured (self->position, line->position.value, line->position.u, "cm⁻¹");
  faint_pane_set_measured (self->strength, line->strength.value, line->strength.u, "cm/molecule");
  faint_pane_set_measured (self->strength_296, line->strength_296, line->u_strength_296,
                           "cm/molecule");
  gtk_widget_set_visible (self->why_not, isnan (line->strength_296));
  faint_quantity_entry_set (
      FAINT_QUANTITY_ENTRY (self->lower_energy),
      faint_quantity (FAINT_DIMENSION_WAVENUMBER, line->lower_energy, line->u_lower_energy));
  faint_pane_set_value (self->upper, line->upper);
  faint_pane_set_value (self->lower, line->lower);
  update_expanded (self, line);
  update_budget (self, line);
}

static void
update (FaintStrengthsPane *self)
{
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);

  if (analysis == NULL)
    return;
  update_gas (self, faint_analysis_get_setup (analysis));
  update_line (
      self, faint_document_get_line (self->document, faint_session_get_selected (self->session)));
}

static void
on_changed (FaintDocument *document, guint change, FaintStrengthsPane *self)
{
  update (self);
}

static void
on_selection (FaintSession *session, FaintStrengthsPane *self)
{
  update (self);
}

static void
on_lower_energy (FaintQuantityEntry *entry, FaintStrengthsPane *self)
{
  const FaintLine *found
      = faint_document_get_line (self->document, faint_session_get_selected (self->session));
  FaintQuantity energy = faint_quantity_entry_get (entry);
  char position[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *label = NULL;
  FaintLine line;

  if (found == NULL)
    return;
  if (energy.value < 0)
    {
      faint_quantity_entry_set_error (entry, _ ("An energy above the lowest level is 0 or more."));
      return;
    }
  line = *found;
  line.lower_energy = energy.value;
  line.u_lower_energy = energy.u;
  g_ascii_formatd (position, sizeof position, "%.3f", line.position.value);
  label = g_strdup_printf (_ ("Edit Lower-State Energy of Line %s"), position);
  faint_document_edit_line (self->document, &line, label);
}

static void
on_which (GtkDropDown *drop_down, GParamSpec *pspec, FaintStrengthsPane *self)
{
  update (self);
}

static void
build_gas (FaintStrengthsPane *self)
{
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("Gas"));

  self->temperature = faint_pane_value (grid, _ ("Temperature"));
  self->density = faint_pane_value (grid, _ ("Number density"));
  gtk_widget_set_tooltip_text (self->density, _ ("Of the absorbing molecules, x P/(k T)"));
}

static void
build_line (FaintStrengthsPane *self)
{
  GtkWidget *section = faint_pane_section (GTK_WIDGET (self), _ ("Selected line"));
  GtkWidget *grid = gtk_grid_new ();

  self->empty = faint_pane_note (section, _ ("Click a line in the plot or in the table."));
  gtk_grid_set_row_spacing (GTK_GRID (grid), 6);
  gtk_grid_set_column_spacing (GTK_GRID (grid), 12);
  self->line_section = grid;
  self->position = faint_pane_value (grid, _ ("Position"));
  self->strength = faint_pane_value (grid, _ ("Strength"));
  self->expanded = faint_pane_value (grid, _ ("Expanded uncertainty"));
  self->strength_296 = faint_pane_value (grid, _ ("Strength at 296 K"));
  self->why_not = faint_pane_note (
      grid, _ ("Needs the lower-state energy, and the partition sums of stage Data."));
  self->lower_energy
      = faint_quantity_entry_new (_ ("Lower-state energy"), FAINT_DIMENSION_WAVENUMBER);
  g_signal_connect (self->lower_energy, "committed", G_CALLBACK (on_lower_energy), self);
  faint_pane_row (grid, _ ("Lower-state energy"), self->lower_energy);
  self->upper = faint_pane_value (grid, _ ("Upper level"));
  self->lower = faint_pane_value (grid, _ ("Lower level"));
  gtk_box_append (GTK_BOX (gtk_widget_get_parent (section)), grid);
}

static void
build_budget (FaintStrengthsPane *self)
{
  const char *names[] = { _ ("Strength"), _ ("Position"), _ ("Lorentz half width"), NULL };
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("Uncertainty budget"));

  self->budget_section = gtk_widget_get_parent (grid);
  self->which = gtk_drop_down_new_from_strings (names);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->which), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Parameter of the budget"), -1);
  g_signal_connect (self->which, "notify::selected", G_CALLBACK (on_which), self);
  faint_pane_row (grid, _ ("Of"), self->which);
  self->bars = faint_budget_bars_new ();
  faint_pane_wide (grid, self->bars);
  faint_pane_note (grid, _ ("Standard uncertainties. All but noise are common to the lines."));
}

static void
faint_strengths_pane_dispose (GObject *object)
{
  FaintStrengthsPane *self = FAINT_STRENGTHS_PANE (object);

  g_clear_object (&self->document);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (faint_strengths_pane_parent_class)->dispose (object);
}

static void
faint_strengths_pane_class_init (FaintStrengthsPaneClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_strengths_pane_dispose;
}

static void
faint_strengths_pane_init (FaintStrengthsPane *self)
{
  faint_pane_prepare (GTK_BOX (self));
}

GtkWidget *
faint_strengths_pane_new (FaintDocument *document, FaintSession *session)
{
  FaintStrengthsPane *self = g_object_new (FAINT_TYPE_STRENGTHS_PANE, NULL);

  self->document = g_object_ref (document);
  self->session = g_object_ref (session);
  build_gas (self);
  build_line (self);
  build_budget (self);
  g_signal_connect_object (document, "changed", G_CALLBACK (on_changed), self, 0);
  g_signal_connect_object (session, "selection-changed", G_CALLBACK (on_selection), self, 0);
  update (self);
  return GTK_WIDGET (self);
}
