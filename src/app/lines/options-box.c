/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A new option is one line of the table.
 */
#include "app/lines/options-box.h"

#include <glib/gi18n.h>
#include <string.h>

#include "app/parts/number-spin.h"
#include "app/parts/pane.h"
#include "app/parts/quantity-entry.h"

typedef enum
{
  KIND_NUMBER,
  KIND_SWITCH,
  KIND_LENGTH, /* cm-1; empty: 0, the program chooses */
} Kind;

static const struct
{
  const char *key, *name, *tooltip; /* may be NULL; of a length: what happens without one */
  Kind kind;
  gboolean further;         /* folded away */
  double least, most, step; /* of a number; halves are its finest steps */
} options[] = {
  { "threshold", N_ ("Threshold/σ"), NULL, KIND_NUMBER, FALSE, 3, 100, 0.5 },
  { "find_rounds", N_ ("Search rounds"), NULL, KIND_NUMBER, FALSE, 0, 20, 1 },
  { "baseline_degree", N_ ("Baseline degree"), NULL, KIND_NUMBER, FALSE, 0, 8, 1 },
  { "doppler_free", N_ ("Fit the Doppler widths"), NULL, KIND_SWITCH, FALSE, 0, 1, 1 },
  { "width_shared", N_ ("Weak lines share a width"),
    N_ ("Lorentz widths of weak lines are held to the mean and spread of the well-determined ones"),
    KIND_SWITCH, FALSE, 0, 1, 1 },
  { "lorentz_common", N_ ("Common Lorentz width"), N_ ("All free Lorentz widths are one parameter"),
    KIND_SWITCH, TRUE, 0, 1, 1 },
  { "doppler_common", N_ ("Common Doppler width"),
    N_ ("All free Doppler widths are one parameter, in proportion to the position"), KIND_SWITCH,
    TRUE, 0, 1, 1 },
  { "detuning_free", N_ ("Fit the detuning"),
    N_ ("The teeth's detuning from the modes of the cavity, from the asymmetry of the lines"),
    KIND_SWITCH, TRUE, 0, 1, 1 },
  { "detuning_slope_free", N_ ("Fit the slope of the detuning"), NULL, KIND_SWITCH, TRUE, 0, 1, 1 },
  { "fringes", N_ ("Etalon fringes"), N_ ("Periodic ripples that multiply the baseline"),
    KIND_NUMBER, TRUE, 0, 3, 1 },
  { "fringe_period_1", N_ ("Period of fringe 1"), N_ ("looked for"), KIND_LENGTH, TRUE, 0, 0, 0 },
  { "fringe_period_2", N_ ("Period of fringe 2"), N_ ("looked for"), KIND_LENGTH, TRUE, 0, 0, 0 },
  { "fringe_period_3", N_ ("Period of fringe 3"), N_ ("looked for"), KIND_LENGTH, TRUE, 0, 0, 0 },
  { "window_width", N_ ("Minimum window"), N_ ("chosen from the lines"), KIND_LENGTH, TRUE, 0, 0, 0 },
  { "max_iterations", N_ ("Maximum iterations"), NULL, KIND_NUMBER, TRUE, 1, 1000, 10 },
};
#define N_OPTIONS G_N_ELEMENTS (options)

struct _FaintOptionsBox
{
  GtkBox parent;

  FaintDocument *document;
  GtkWidget *control[N_OPTIONS]; /* NULL: the library has no such option */
  GtkWidget *label[N_OPTIONS];   /* of a row, or NULL */
  GtkWidget *reset;
  gboolean filling;
};

G_DEFINE_FINAL_TYPE (FaintOptionsBox, faint_options_box, GTK_TYPE_BOX)

static guint
which_of (FaintOptionsBox *self, gpointer control)
{
  guint which = 0;

  while (which < N_OPTIONS && (gpointer)self->control[which] != control)
    which++;
  return which;
}

/* FALSE with an error in words where the library refuses. */
static gboolean
set_option (FaintOptionsBox *self, guint which, const char *text, GError **error)
{
  g_autofree char *label = NULL;

  if (self->filling || which == N_OPTIONS || faint_document_get_analysis (self->document) == NULL)
    return TRUE;
  label = g_strdup_printf (_ ("Edit %s"), _ (options[which].name));
  return faint_document_set_option (self->document, options[which].key, text, label, error);
}

static void
on_spin (GtkSpinButton *spin, FaintOptionsBox *self)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE];
  g_autoptr (GError) error = NULL;

  g_ascii_formatd (text, sizeof text, "%.6g", gtk_spin_button_get_value (spin));
  /* the controls cannot leave the ranges of the library */
  if (!set_option (self, which_of (self, spin), text, &error))
    g_warning ("%s", error->message);
}

static void
on_check (GtkCheckButton *check, FaintOptionsBox *self)
{
  g_autoptr (GError) error = NULL;

  if (!set_option (self, which_of (self, check), gtk_check_button_get_active (check) ? "yes" : "no",
                   &error))
    g_warning ("%s", error->message);
}

static void
on_length (FaintQuantityEntry *entry, FaintOptionsBox *self)
{
  double value = faint_quantity_entry_get (entry).value;
  g_autofree char *text = isnan (value) ? g_strdup ("0") : faint_format_double (value);
  g_autoptr (GError) error = NULL;

  if (!set_option (self, which_of (self, entry), text, &error))
    faint_quantity_entry_set_error (entry, error->message);
}

static void
show_option (GtkWidget *control, Kind kind, const char *text)
{
  double value = g_ascii_strtod (text, NULL);

  switch (kind)
    {
    case KIND_NUMBER:
      gtk_spin_button_set_value (GTK_SPIN_BUTTON (control), value);
      break;
    case KIND_SWITCH:
      gtk_check_button_set_active (GTK_CHECK_BUTTON (control), strcmp (text, "yes") == 0);
      break;
    case KIND_LENGTH:
      faint_quantity_entry_set (FAINT_QUANTITY_ENTRY (control),
                                value > 0 ? faint_quantity (FAINT_DIMENSION_WAVENUMBER, value, NAN)
                                          : FAINT_QUANTITY_UNKNOWN);
      break;
    }
}

/* A period is asked for as often as there are fringes. */
static void
update_periods (FaintOptionsBox *self, guint n_fringes)
{
  for (guint i = 0; i < N_OPTIONS; i++)
    if (self->control[i] && g_str_has_prefix (options[i].key, "fringe_period_"))
      {
        gboolean shown
            = g_ascii_strtoull (options[i].key + strlen ("fringe_period_"), NULL, 10) <= n_fringes;

        gtk_widget_set_visible (self->control[i], shown);
        gtk_widget_set_visible (self->label[i], shown);
      }
}

static gboolean
is_usual (const FaintFitOptions *now)
{
  FaintFitOptions usual;

  faint_fit_options_init (&usual);
  for (guint i = 0; i < N_OPTIONS; i++)
    {
      g_autofree char *want = faint_fit_options_get (&usual, options[i].key);
      g_autofree char *have = faint_fit_options_get (now, options[i].key);

      if (g_strcmp0 (want, have) != 0)
        return FALSE;
    }
  return TRUE;
}

static void
on_reset (GtkButton *button, FaintOptionsBox *self)
{
  if (faint_document_get_analysis (self->document))
    faint_document_reset_options (self->document, _ ("Reset Options"));
}

static void
update (FaintOptionsBox *self)
{
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);
  const FaintFitOptions *now;

  if (analysis == NULL)
    return;
  now = faint_analysis_get_options (analysis);
  self->filling = TRUE;
  for (guint i = 0; i < N_OPTIONS; i++)
    {
      g_autofree char *text = faint_fit_options_get (now, options[i].key);

      if (self->control[i] && text)
        show_option (self->control[i], options[i].kind, text);
    }
  update_periods (self, now->fringes);
  gtk_widget_set_sensitive (self->reset, !is_usual (now));
  self->filling = FALSE;
}

static void
on_changed (FaintDocument *document, guint change, FaintOptionsBox *self)
{
  if (change & (FAINT_CHANGE_OPTIONS | FAINT_CHANGE_OPENED))
    update (self);
}

static void
add_spin (FaintOptionsBox *self, GtkWidget *grid, guint which)
{
  GtkWidget *spin
      = faint_number_spin_new (_ (options[which].name), options[which].least, options[which].most,
                               options[which].step, options[which].step < 1 ? 1 : 0);

  g_signal_connect (spin, "value-changed", G_CALLBACK (on_spin), self);
  self->control[which] = spin;
  self->label[which]
      = faint_pane_row (grid, _ (options[which].name), faint_number_spin_with_words (spin));
}

static void
add_check (FaintOptionsBox *self, GtkWidget *grid, guint which)
{
  GtkWidget *check = gtk_check_button_new_with_label (_ (options[which].name));

  g_signal_connect (check, "toggled", G_CALLBACK (on_check), self);
  self->control[which] = check;
  faint_pane_wide (grid, check);
}

static void
add_length (FaintOptionsBox *self, GtkWidget *grid, guint which)
{
  GtkWidget *entry = faint_quantity_entry_new (_ (options[which].name), FAINT_DIMENSION_WAVENUMBER);

  g_signal_connect (entry, "committed", G_CALLBACK (on_length), self);
  self->control[which] = entry;
  self->label[which] = faint_pane_row (grid, _ (options[which].name), entry);
}

static void
add_option (FaintOptionsBox *self, GtkWidget *grid, guint which)
{
  if (!g_strv_contains (faint_fit_option_keys (), options[which].key))
    return;
  if (options[which].kind == KIND_NUMBER)
    add_spin (self, grid, which);
  else if (options[which].kind == KIND_SWITCH)
    add_check (self, grid, which);
  else
    add_length (self, grid, which);
  if (options[which].kind == KIND_LENGTH)
    gtk_entry_set_placeholder_text (
        GTK_ENTRY (faint_quantity_entry_get_entry (FAINT_QUANTITY_ENTRY (self->control[which]))),
        _ (options[which].tooltip));
  else if (options[which].tooltip)
    gtk_widget_set_tooltip_text (self->control[which], _ (options[which].tooltip));
}

static GtkWidget *
grid_new (void)
{
  GtkWidget *grid = gtk_grid_new ();

  gtk_grid_set_row_spacing (GTK_GRID (grid), 6);
  gtk_grid_set_column_spacing (GTK_GRID (grid), 12);
  return grid;
}

static void
build (FaintOptionsBox *self)
{
  GtkWidget *usual = grid_new (), *further = grid_new ();
  GtkWidget *expander = gtk_expander_new (_ ("Further options"));

  for (guint i = 0; i < N_OPTIONS; i++)
    add_option (self, options[i].further ? further : usual, i);
  gtk_widget_set_margin_top (further, 6);
  faint_pane_unfolds (expander, further);
  gtk_accessible_update_property (GTK_ACCESSIBLE (expander), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Further options"), -1);
  gtk_box_append (GTK_BOX (self), usual);
  gtk_box_append (GTK_BOX (self), expander);
  gtk_box_append (GTK_BOX (self), further);
  self->reset = faint_pane_button (_ ("_Default Options"), NULL);
  gtk_widget_set_halign (self->reset, GTK_ALIGN_START);
  gtk_widget_set_tooltip_text (self->reset,
                               _ ("All options back to their defaults; the range stays"));
  g_signal_connect (self->reset, "clicked", G_CALLBACK (on_reset), self);
  gtk_box_append (GTK_BOX (self), self->reset);
}

static void
faint_options_box_dispose (GObject *object)
{
  FaintOptionsBox *self = FAINT_OPTIONS_BOX (object);

  g_clear_object (&self->document);
  G_OBJECT_CLASS (faint_options_box_parent_class)->dispose (object);
}

static void
faint_options_box_class_init (FaintOptionsBoxClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_options_box_dispose;
}

static void
faint_options_box_init (FaintOptionsBox *self)
{
  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
  gtk_box_set_spacing (GTK_BOX (self), 6);
}

GtkWidget *
faint_options_box_new (FaintDocument *document)
{
  FaintOptionsBox *self = g_object_new (FAINT_TYPE_OPTIONS_BOX, NULL);

  self->document = g_object_ref (document);
  self->filling = TRUE;
  build (self);
  self->filling = FALSE;
  g_signal_connect_object (document, "changed", G_CALLBACK (on_changed), self, 0);
  update (self);
  return GTK_WIDGET (self);
}

GtkWidget *
faint_options_box_find (FaintOptionsBox *self, const char *key)
{
  g_return_val_if_fail (FAINT_IS_OPTIONS_BOX (self), NULL);
  for (guint i = 0; i < N_OPTIONS; i++)
    if (strcmp (options[i].key, key) == 0)
      return self->control[i];
  return NULL;
}
