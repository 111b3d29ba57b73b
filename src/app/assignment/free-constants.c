/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/assignment/free-constants.h"

#include <glib/gi18n.h>

#include "app/parts/pane.h"

#define ACROSS 4 /* boxes in a row */

struct _FaintFreeConstants
{
  GtkBox parent;

  FaintAssigner *assigner;
  GtkWidget *grid, *note;
  GtkCheckButton *boxes[2][FAINT_CONSTANT_N];
  FaintLevels *levels; /* that the boxes were made for; NULL: none */
  gboolean updating;
};

G_DEFINE_FINAL_TYPE (FaintFreeConstants, faint_free_constants, GTK_TYPE_BOX)

/* Does a band from these levels have such a constant? */
static gboolean
applies (const FaintConstants *constants, FaintConstant constant, gboolean lower)
{
  gboolean top = constants->molecule == FAINT_MOLECULE_SYMMETRIC_TOP;

  if (lower && constants->molecule == FAINT_MOLECULE_TABLE)
    return FALSE;
  switch (constant)
    {
    case FAINT_CONSTANT_ORIGIN:
      return !lower;
    case FAINT_CONSTANT_B:
    case FAINT_CONSTANT_D:
    case FAINT_CONSTANT_H:
      return TRUE;
    case FAINT_CONSTANT_Q:
    case FAINT_CONSTANT_Q_D:
      return constants->molecule == FAINT_MOLECULE_LINEAR
             && (lower ? constants->l : constants->upper_l) > 0;
    case FAINT_CONSTANT_AXIS_ZETA:
      return top && constants->perpendicular;
    default:
      return top;
    }
}

/* As the trade writes them. */
static const char *
symbol_of (FaintConstant constant)
{
  static const char *const symbols[FAINT_CONSTANT_N] = {
    [FAINT_CONSTANT_ORIGIN] = N_ ("Origin"),
    [FAINT_CONSTANT_B] = "B",
    [FAINT_CONSTANT_D] = "D",
    [FAINT_CONSTANT_H] = "H",
    [FAINT_CONSTANT_AXIS] = N_ ("A or C"),
    [FAINT_CONSTANT_D_JK] = "D_JK",
    [FAINT_CONSTANT_D_K] = "D_K",
    [FAINT_CONSTANT_AXIS_ZETA] = N_ ("axis ζ"),
    [FAINT_CONSTANT_Q] = "q",
    [FAINT_CONSTANT_Q_D] = "q_D",
  };

  return constant == FAINT_CONSTANT_ORIGIN || constant == FAINT_CONSTANT_AXIS
                 || constant == FAINT_CONSTANT_AXIS_ZETA
             ? _ (symbols[constant])
             : symbols[constant];
}

static void
show (FaintFreeConstants *self, const FaintBandOptions *options)
{
  self->updating = TRUE;
  for (guint lower = 0; lower < 2; lower++)
    for (FaintConstant i = 0; i < FAINT_CONSTANT_N; i++)
      if (self->boxes[lower][i])
        gtk_check_button_set_active (self->boxes[lower][i],
                                     (lower ? options->lower : options->upper)[i]);
  self->updating = FALSE;
}

static void
on_toggled (GtkCheckButton *button, FaintFreeConstants *self)
{
  FaintBandOptions options;
  gboolean any = FALSE;

  if (self->updating || !faint_assigner_get_free (self->assigner, &options))
    return;
  for (guint lower = 0; lower < 2; lower++)
    for (FaintConstant i = 0; i < FAINT_CONSTANT_N; i++)
      if (self->boxes[lower][i])
        {
          gboolean active = gtk_check_button_get_active (self->boxes[lower][i]);

          (lower ? options.lower : options.upper)[i] = active;
          any = any || active;
        }
  gtk_widget_set_visible (self->note, !any);
  if (any)
    {
      faint_assigner_set_free (self->assigner, &options);
      return;
    }
  /* a fit without unknowns is none */
  faint_assigner_get_free (self->assigner, &options);
  show (self, &options);
}

static void
add_box (FaintFreeConstants *self, FaintConstant constant, gboolean lower, guint place)
{
  const char *symbol = symbol_of (constant);
  g_autofree char *label = constant == FAINT_CONSTANT_ORIGIN
                               ? g_strdup (symbol)
                               : g_strdup_printf ("%s%s", symbol, lower ? "″" : "′");
  /* Translators: a constant of a band, such as B; of the upper or lower state */
  g_autofree char *name = g_strdup_printf (
      lower ? _ ("Fit %s of the lower state") : _ ("Fit %s of the upper state"), symbol);
  GtkWidget *box = gtk_check_button_new_with_label (label);

  gtk_accessible_update_property (GTK_ACCESSIBLE (box), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
  gtk_widget_set_tooltip_text (box, name);
  g_signal_connect (box, "toggled", G_CALLBACK (on_toggled), self);
  gtk_grid_attach (GTK_GRID (self->grid), box, (int)(place % ACROSS), (int)(place / ACROSS), 1, 1);
  self->boxes[lower][constant] = GTK_CHECK_BUTTON (box);
}

/* Those of the lower state begin in a row of their own; the place of the origin stays empty. */
static void
make_boxes (FaintFreeConstants *self, FaintLevels *levels)
{
  GtkWidget *child;
  guint place = 0;

  while ((child = gtk_widget_get_first_child (self->grid)))
    gtk_grid_remove (GTK_GRID (self->grid), child);
  for (guint lower = 0; lower < 2; lower++)
    {
      if (lower)
        place = (place + ACROSS - 1) / ACROSS * ACROSS + 1;
      for (FaintConstant i = 0; i < FAINT_CONSTANT_N; i++)
        {
          self->boxes[lower][i] = NULL;
          if (levels && applies (faint_levels_get_constants (levels), i, lower))
            add_box (self, i, lower, place++);
        }
    }
}

static void
update (FaintFreeConstants *self)
{
  FaintLevels *levels = faint_assigner_get_levels (self->assigner);
  FaintBandOptions options;

  if (levels != self->levels)
    {
      g_clear_pointer (&self->levels, faint_levels_unref);
      self->levels = levels ? faint_levels_ref (levels) : NULL;
      make_boxes (self, levels);
    }
  gtk_widget_set_visible (GTK_WIDGET (self), levels != NULL);
  if (faint_assigner_get_free (self->assigner, &options))
    show (self, &options);
}

static void
faint_free_constants_dispose (GObject *object)
{
  FaintFreeConstants *self = FAINT_FREE_CONSTANTS (object);

  g_clear_pointer (&self->levels, faint_levels_unref);
  g_clear_object (&self->assigner);
  G_OBJECT_CLASS (faint_free_constants_parent_class)->dispose (object);
}

static void
faint_free_constants_class_init (FaintFreeConstantsClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_free_constants_dispose;
}

static void
faint_free_constants_init (FaintFreeConstants *self)
{
  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
}

GtkWidget *
faint_free_constants_new (FaintAssigner *assigner)
{
  FaintFreeConstants *self = g_object_new (FAINT_TYPE_FREE_CONSTANTS, NULL);
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("Constants to fit"));

  self->assigner = g_object_ref (assigner);
  self->grid = gtk_grid_new ();
  gtk_grid_set_column_spacing (GTK_GRID (self->grid), 12);
  gtk_grid_set_row_spacing (GTK_GRID (self->grid), 3);
  gtk_grid_set_column_homogeneous (GTK_GRID (self->grid), TRUE);
  faint_pane_wide (grid, self->grid);
  self->note = faint_pane_note (grid, _ ("One constant at least is fitted."));
  gtk_widget_set_visible (self->note, FALSE);
  g_signal_connect_object (assigner, "free-changed", G_CALLBACK (update), self, G_CONNECT_SWAPPED);
  update (self);
  return GTK_WIDGET (self);
}

GtkCheckButton *
faint_free_constants_find (FaintFreeConstants *self, FaintConstant constant, gboolean lower)
{
  g_return_val_if_fail (FAINT_IS_FREE_CONSTANTS (self) && constant < FAINT_CONSTANT_N, NULL);
  return self->boxes[lower ? 1 : 0][constant];
}
