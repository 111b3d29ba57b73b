/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Numbers of the gas and of the selected line.
 */
#include "app/strengths/strengths-pane.h"

#include <glib/gi18n.h>

#include "app/strengths/budget-bars.h"
#include "faint/strength/budget.h"
#include "app/lines/line-words.h"
#include "app/parts/pane.h"
#include "app/parts/quantity-entry.h"
#include "app/parts/quantity-text.h"

/* Level of the expanded uncertainty: k = 2 for many degrees of freedom (JCGM 100:2008, 6.3.3). */
#define COVERAGE_LEVEL 0.9545

typedef enum
{
  SHOW_STRENGTH,
  SHOW_POSITION,
  SHOW_LORENTZ,
  N_SHOWN
} Shown;

/* Of an uncertainty. */
typedef enum
{
  PART_NOISE,
  PART_COMMON,
  PART_EXPANDED,
  N_PARTS
} Part;

static const char *const further_names[FAINT_PLACE_N] = {
  [FAINT_PLACE_SPEED_WIDTH] = N_ ("Speed dependence of the width"),
  [FAINT_PLACE_SPEED_SHIFT] = N_ ("Speed dependence of the shift"),
  [FAINT_PLACE_VELOCITY_CHANGING] = N_ ("Rate of velocity changes"),
  [FAINT_PLACE_CORRELATION] = N_ ("Correlation of the collisions"),
};

struct _FaintStrengthsPane
{
  GtkBox parent;

  FaintDocument *document;
  FaintSession *session;
  GtkWidget *temperature, *density;
  GtkWidget *empty, *line_section, *parts_section, *budget_section;
  GtkWidget *position, *strength, *lorentz, *strength_296, *lower_energy, *upper, *lower;
  GtkWidget *further[FAINT_PLACE_N];           /* beyond Voigt; NULL for the others */
  GtkWidget *coefficient[FAINT_COEFFICIENT_N]; /* shown where known */
  GtkWidget *parts[N_SHOWN][N_PARTS], *expanded_head;
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

/* What the other sources add to noise; NAN where it is not known. */
static double
common_part (const FaintParameter *parameter)
{
  double squared = parameter->u * parameter->u - parameter->u_noise * parameter->u_noise;

  /* both may be the same but for rounding */
  return isnan (squared) ? NAN : sqrt (MAX (squared, 0));
}

static void
show_part (GtkWidget *label, double u, double scale)
{
  g_autofree char *text = NULL;

  if (isfinite (u) && u * scale > 0)
    text = faint_two_digits (u * scale);
  else if (u == 0)
    text = g_strdup ("0");
  faint_pane_set_value (label, text);
}

static void
update_parts (FaintStrengthsPane *self, const FaintLine *line)
{
  const FaintFit *fit = faint_analysis_get_fit (faint_document_get_analysis (self->document));
  double k = fit ? faint_coverage_factor (COVERAGE_LEVEL, fit->dof) : NAN;
  const FaintParameter *parameters[N_SHOWN] = { [SHOW_STRENGTH] = &line->strength,
                                                [SHOW_POSITION] = &line->position,
                                                [SHOW_LORENTZ] = &line->lorentz };
  char factor[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *head = NULL;

  for (guint i = 0; i < N_SHOWN; i++)
    {
      double scale = i == SHOW_POSITION ? 1.0 : 100 / fabs (parameters[i]->value);

      show_part (self->parts[i][PART_NOISE], parameters[i]->u_noise, scale);
      show_part (self->parts[i][PART_COMMON], common_part (parameters[i]), scale);
      show_part (self->parts[i][PART_EXPANDED], k * parameters[i]->u, scale);
    }
  g_ascii_formatd (factor, sizeof factor, "%.2f", k);
  head = isfinite (k) ? g_strdup_printf ("U (k = %s)", factor) : g_strdup ("U");
  gtk_label_set_text (GTK_LABEL (self->expanded_head), head);
}

static void
update_further (FaintStrengthsPane *self, const FaintLine *line)
{
  for (FaintPlace place = FAINT_PLACE_SPEED_WIDTH; place < FAINT_PLACE_N; place++)
    {
      const FaintParameter *parameter = faint_line_peek_parameter (line, place);

      faint_pane_set_measured (self->further[place], parameter->value, parameter->u,
                               place == FAINT_PLACE_CORRELATION ? "" : "cm⁻¹");
      faint_pane_show_row (self->further[place],
                           faint_profile_has (line->profile, place) && isfinite (parameter->value));
    }
  for (guint i = 0; i < FAINT_COEFFICIENT_N; i++)
    {
      const FaintParameter *parameter = &line->coefficient[i];

      faint_pane_set_measured (self->coefficient[i], parameter->value, parameter->u, "");
      faint_pane_show_row (self->coefficient[i], isfinite (parameter->value));
    }
}

/* What is missing for a strength at 296 K. */
static void
show_why_not (FaintStrengthsPane *self, const FaintLine *line)
{
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);
  gboolean sums = faint_analysis_get_setup (analysis)->partition_sums != NULL;
  gboolean energy = isfinite (line->lower_energy);

  gtk_label_set_text (
      GTK_LABEL (self->why_not),
      !energy && !sums ? _ ("Needs the lower-state energy, and the partition sums of stage Data.")
      : !energy        ? _ ("Needs the lower-state energy, by hand or by an assignment.")
      : !sums          ? _ ("Needs the partition sums of stage Data.")
                       : _ ("Comes with the next fit."));
  gtk_widget_set_visible (self->why_not, isnan (line->strength_296));
}

static void
update_line (FaintStrengthsPane *self, const FaintLine *line)
{
  gtk_label_set_text (GTK_LABEL (self->empty),
                      faint_no_line_in_words (faint_document_get_lines (self->document)));
  gtk_widget_set_visible (self->empty, line == NULL);
  gtk_widget_set_visible (self->line_section, line != NULL);
  gtk_widget_set_visible (self->parts_section, line != NULL);
  gtk_widget_set_visible (self->budget_section, line != NULL);
  if (line == NULL)
    return;
  faint_pane_set_measured (self->position, line->position.value, line->position.u, "cm⁻¹");
  faint_pane_set_measured (self->strength, line->strength.value, line->strength.u,
                           _ ("cm/molecule"));
  faint_pane_set_measured (self->strength_296, line->strength_296, line->u_strength_296,
                           _ ("cm/molecule"));
  show_why_not (self, line);
  faint_quantity_entry_set (
      FAINT_QUANTITY_ENTRY (self->lower_energy),
      faint_quantity (FAINT_DIMENSION_WAVENUMBER, line->lower_energy, line->u_lower_energy));
  faint_pane_set_value (self->upper, line->upper);
  faint_pane_set_value (self->lower, line->lower);
  faint_pane_set_measured (self->lorentz, line->lorentz.value, line->lorentz.u, "cm⁻¹");
  update_further (self, line);
  update_parts (self, line);
  update_budget (self, line);
}

/* Of one spectrum a strength is that at its temperature; of a series the list says which. */
static void
name_strength (FaintStrengthsPane *self, const FaintAnalysis *analysis)
{
  double temperature = faint_analysis_get_setup (analysis)->temperature.value;
  char kelvin[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *name = NULL;

  if (faint_analysis_get_n_spectra (analysis) > 1 || isnan (temperature))
    name = g_strdup (_ ("Strength"));
  else
    {
      g_ascii_formatd (kelvin, sizeof kelvin, "%.6g", temperature);
      /* Translators: a temperature, in kelvin */
      name = g_strdup_printf (_ ("Strength at %s K"), kelvin);
    }
  faint_pane_set_name (self->strength, name);
}

static void
update (FaintStrengthsPane *self)
{
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);

  if (analysis == NULL)
    return;
  update_gas (self, faint_analysis_get_setup (analysis));
  name_strength (self, analysis);
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

  self->empty = faint_pane_note (section, "");
  gtk_grid_set_row_spacing (GTK_GRID (grid), 6);
  gtk_grid_set_column_spacing (GTK_GRID (grid), 12);
  self->line_section = grid;
  self->position = faint_pane_value (grid, _ ("Position"));
  self->strength = faint_pane_value (grid, _ ("Strength"));
  self->lorentz = faint_pane_value (grid, _ ("Lorentz half width"));
  for (FaintPlace place = FAINT_PLACE_SPEED_WIDTH; place < FAINT_PLACE_N; place++)
    self->further[place] = faint_pane_value (grid, _ (further_names[place]));
  self->strength_296 = faint_pane_value (grid, _ ("Strength at 296 K"));
  self->why_not = faint_pane_note (grid, "");
  self->lower_energy
      = faint_quantity_entry_new (_ ("Lower-state energy"), FAINT_DIMENSION_WAVENUMBER);
  faint_quantity_entry_set_needed (FAINT_QUANTITY_ENTRY (self->lower_energy), FALSE);
  faint_quantity_entry_set_digits (FAINT_QUANTITY_ENTRY (self->lower_energy), 10, 8);
  g_signal_connect (self->lower_energy, "committed", G_CALLBACK (on_lower_energy), self);
  faint_pane_row (grid, _ ("Lower-state energy"), self->lower_energy);
  for (guint i = 0; i < FAINT_COEFFICIENT_N; i++)
    self->coefficient[i] = faint_pane_value (grid, faint_coefficient_in_words (i));
  self->upper = faint_pane_value (grid, _ ("Upper level"));
  self->lower = faint_pane_value (grid, _ ("Lower level"));
  gtk_box_append (GTK_BOX (gtk_widget_get_parent (section)), grid);
}

static GtkWidget *
attach_label (GtkWidget *grid, const char *text, int column, int row)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), column == 0 ? 0 : 1);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_widget_add_css_class (label, column == 0 || row == 0 ? "row-name" : "numeric");
  gtk_grid_attach (GTK_GRID (grid), label, column, row, 1, 1);
  return label;
}

/* A table of its own: a row a parameter, a column a part. */
static void
build_parts (FaintStrengthsPane *self)
{
  static const char *const names[N_SHOWN] = { [SHOW_STRENGTH] = N_ ("Strength/%"),
                                              [SHOW_POSITION] = N_ ("Position/cm⁻¹"),
                                              [SHOW_LORENTZ] = N_ ("Lorentz width/%") };
  static const Shown order[N_SHOWN] = { SHOW_POSITION, SHOW_STRENGTH, SHOW_LORENTZ };
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("Uncertainty"));
  GtkWidget *table = gtk_grid_new ();

  self->parts_section = gtk_widget_get_parent (grid);
  gtk_grid_set_row_spacing (GTK_GRID (table), 4);
  gtk_grid_set_column_spacing (GTK_GRID (table), 12);
  attach_label (table, _ ("Noise"), 1, 0);
  attach_label (table, _ ("Common"), 2, 0);
  self->expanded_head = attach_label (table, "U", 3, 0);
  for (int row = 0; row < N_SHOWN; row++)
    {
      attach_label (table, _ (names[order[row]]), 0, row + 1);
      for (int part = 0; part < N_PARTS; part++)
        self->parts[order[row]][part] = attach_label (table, "–", part + 1, row + 1);
    }
  faint_pane_wide (grid, table);
  faint_pane_note (grid,
                   _ ("Standard uncertainties from noise, which differs from line to line, and "
                      "from all that the lines share; U = k u covers 95.45 %."));
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
  build_parts (self);
  build_budget (self);
  g_signal_connect_object (document, "changed", G_CALLBACK (on_changed), self, 0);
  g_signal_connect_object (session, "selection-changed", G_CALLBACK (on_selection), self, 0);
  update (self);
  return GTK_WIDGET (self);
}
