/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Fields of the setup, and the other faces of the finesse as the library computes them.
 */
#include "app/cavity/cavity-pane.h"

#include <glib/gi18n.h>

#include "faint/cavity/finesse.h"
#include "faint/cavity/response.h"
#include "app/document/needed-conditions.h"
#include "app/parts/pane.h"
#include "app/parts/quantity-text.h"
#include "app/data/setup-field.h"
#include "app/what-if/what-if-box.h"

/* The faces of the finesse, in the order of the list. */
static const struct
{
  FaintMirrorKind kind;
  const char *key, *name;
} faces[] = {
  { FAINT_MIRROR_FINESSE, "finesse", N_ ("Finesse") },
  { FAINT_MIRROR_REFLECTIVITY, "mirror_reflectivity", N_ ("Mirror reflectivity") },
  { FAINT_MIRROR_RING_DOWN_TIME, "ring_down_time", N_ ("Ring-down time") },
  { FAINT_MIRROR_LINEWIDTH, "cavity_linewidth", N_ ("Mode width (FWHM)") },
  { FAINT_MIRROR_TABLE, "finesse_table", N_ ("Finesse over the span") },
};

/* What follows from the setup, in the units shown. */
typedef enum
{
  NUMBER_FINESSE,
  NUMBER_REFLECTIVITY,
  NUMBER_RING_DOWN,
  NUMBER_LINEWIDTH,
  NUMBER_SPECTRAL_RANGE,
  NUMBER_ENHANCEMENT,
  NUMBER_PATH,
  N_NUMBERS
} Number;

struct _FaintCavityPane
{
  GtkBox parent;

  FaintDocument *document;
  GtkWidget *what_if;
  GtkWidget *face;       /* GtkDropDown */
  GtkWidget *face_stack; /* GtkStack of setup fields, named by key */
  GtkWidget *length_name, *mirrors_section, *detuning_section;
  GtkWidget *coupling, *coupling_name;
  GtkWidget *numbers[N_NUMBERS], *strongest;
  GtkWidget *single; /* says that a single pass has none of them */
  GtkWidget *reason; /* why nothing follows */
  GtkWidget *former; /* says that another measured quantity is in use still */
  gboolean filling;  /* the list is being set from the document */
};

G_DEFINE_FINAL_TYPE (FaintCavityPane, faint_cavity_pane, GTK_TYPE_BOX)

static void
numbers_from_loss (const FaintSetup *setup, double loss, double numbers[N_NUMBERS])
{
  FaintResponse response = faint_response_of (setup);
  double range = faint_cavity_free_spectral_range (setup->geometry, setup->cavity_length.value);
  double gain = faint_cavity_enhancement (setup->coupling, loss, response.output_share);

  numbers[NUMBER_FINESSE] = faint_cavity_finesse_from_loss (loss);
  numbers[NUMBER_REFLECTIVITY] = faint_cavity_reflectivity_from_loss (setup->geometry, loss);
  numbers[NUMBER_RING_DOWN] = faint_cavity_ring_down_from_loss (loss, range) * 1e6;
  numbers[NUMBER_LINEWIDTH] = faint_cavity_linewidth_from_loss (loss, range) / 1e3;
  numbers[NUMBER_SPECTRAL_RANGE] = range / 1e6;
  numbers[NUMBER_ENHANCEMENT] = gain;
  numbers[NUMBER_PATH] = gain * faint_response_absorber_round_trip (setup) / 1e5;
}

/* Adds in squares what the numbers move when @setup, and with it the loss at @at, moves by one
 * standard uncertainty of a length. */
static void
add_moved (const FaintSetup *setup, double at, const double numbers[N_NUMBERS],
           double variance[N_NUMBERS])
{
  double loss, moved[N_NUMBERS];

  if (!faint_cavity_loss_fill (setup, &at, 1, &loss, NULL, NULL, NULL))
    return;
  numbers_from_loss (setup, loss, moved);
  for (guint i = 0; i < N_NUMBERS; i++)
    variance[i] += (moved[i] - numbers[i]) * (moved[i] - numbers[i]);
}

/* The numbers in the middle of the span and their standard uncertainties (JCGM 100:2008, 5.1.2,
 * with differences for derivatives); FALSE with the reason where they are not known. */
static gboolean
numbers_at_centre (const FaintSpectrum *spectrum, double numbers[N_NUMBERS], double u[N_NUMBERS],
                   GError **error)
{
  const FaintSetup *setup = spectrum->setup;
  double centre = (spectrum->wavenumber[0] + spectrum->wavenumber[spectrum->n - 1]) / 2;
  double loss, u_loss, moved[N_NUMBERS];
  g_autoptr (FaintSetup) longer = faint_setup_copy (setup);
  g_autoptr (FaintSetup) fuller = faint_setup_copy (setup);

  if (!faint_cavity_loss_fill (setup, &centre, 1, &loss, &u_loss, NULL, error))
    return FALSE;
  numbers_from_loss (setup, loss, numbers);
  numbers_from_loss (setup, loss + u_loss, moved);
  for (guint i = 0; i < N_NUMBERS; i++)
    u[i] = (moved[i] - numbers[i]) * (moved[i] - numbers[i]);
  longer->cavity_length.value += faint_quantity_u_or_zero (setup->cavity_length);
  add_moved (longer, centre, numbers, u);
  if (faint_quantity_is_known (setup->absorber_length))
    {
      fuller->absorber_length.value += faint_quantity_u_or_zero (setup->absorber_length);
      add_moved (fuller, centre, numbers, u);
    }
  for (guint i = 0; i < N_NUMBERS; i++)
    u[i] = sqrt (u[i]);
  return TRUE;
}

/* @numbers may be NULL: not known. */
static void
show_numbers (FaintCavityPane *self, const double *numbers, const double *u)
{
  static const char *const units[N_NUMBERS] = {
    [NUMBER_FINESSE] = "",      [NUMBER_REFLECTIVITY] = "",      [NUMBER_RING_DOWN] = "µs",
    [NUMBER_LINEWIDTH] = "kHz", [NUMBER_SPECTRAL_RANGE] = "MHz", [NUMBER_ENHANCEMENT] = "",
    [NUMBER_PATH] = "km",
  };

  for (guint i = 0; i < N_NUMBERS; i++)
    if (numbers)
      faint_pane_set_measured (self->numbers[i], numbers[i], u[i], units[i]);
    else
      faint_pane_set_value (self->numbers[i], NULL);
}

static void
update_strongest (FaintCavityPane *self, FaintAnalysis *analysis)
{
  const FaintLineList *lines = faint_analysis_get_lines (analysis);
  double peak = NAN, position = NAN;
  g_autofree char *text = NULL;
  char a[G_ASCII_DTOSTR_BUF_SIZE], b[G_ASCII_DTOSTR_BUF_SIZE];

  for (gsize i = 0; i < faint_line_list_get_n (lines); i++)
    {
      const FaintLine *line = faint_line_list_get (lines, i);

      if (line->peak > peak || (isnan (peak) && !isnan (line->peak)))
        peak = line->peak, position = line->position.value;
    }
  if (!isnan (peak))
    {
      g_ascii_formatd (a, sizeof a, "%.3g", peak * 100);
      g_ascii_formatd (b, sizeof b, "%.3f", position);
      /* Translators: a share in per cent, then the position of the line in cm-1 */
      text = g_strdup_printf (_ ("%s %% at %s cm⁻¹"), a, b);
    }
  faint_pane_set_value (self->strongest, text);
}

static void
update_face (FaintCavityPane *self, const FaintSetup *setup)
{
  self->filling = TRUE;
  for (guint i = 0; i < G_N_ELEMENTS (faces); i++)
    if (faces[i].kind == setup->mirror_kind)
      gtk_drop_down_set_selected (GTK_DROP_DOWN (self->face), i);
  self->filling = FALSE;
}

/* A measured quantity that is shown and empty does not describe the mirrors: the one before does.
 */
static void
update_former (FaintCavityPane *self, const FaintSetup *setup)
{
  guint shown = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->face));
  const char *name = NULL;
  g_autofree char *value = NULL, *text = NULL;

  for (guint i = 0; i < G_N_ELEMENTS (faces); i++)
    if (faces[i].kind == setup->mirror_kind && i != shown)
      name = _ (faces[i].name);
  if (name != NULL)
    {
      value = setup->mirror_kind == FAINT_MIRROR_TABLE
                  ? g_path_get_basename (setup->finesse_table ? setup->finesse_table : "")
                  : faint_quantity_in_words (setup->mirror);
      /* Translators: name and value of what describes the mirrors */
      text = g_strdup_printf (_ ("Until a value is given here the cavity has %s %s."), name, value);
    }
  gtk_label_set_text (GTK_LABEL (self->former), text ? text : "");
  gtk_widget_set_visible (self->former, text != NULL);
}

/* In the words of the fields above. */
static char *
reason_in_words (const FaintSetup *setup, const GError *error)
{
  if (!g_error_matches (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_MISSING))
    return g_strdup (error->message);
  if (setup->mirror_kind == FAINT_MIRROR_UNKNOWN)
    return g_strdup (_ ("The mirrors are not described yet: choose what was measured of them above "
                        "and enter its value."));
  if (!faint_quantity_is_known (setup->cavity_length))
    /* Translators: the name of a length */
    return g_strdup_printf (_ ("%s is not stated yet; without it nothing follows here."),
                            faint_cavity_length_in_words (setup->geometry));
  return g_strdup (error->message);
}

static void
update (FaintCavityPane *self)
{
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);
  const FaintSetup *setup;
  g_autoptr (GError) error = NULL;
  g_autofree char *reason = NULL;
  gboolean has_cavity;
  double numbers[N_NUMBERS], u[N_NUMBERS];

  if (analysis == NULL)
    return;
  setup = faint_document_get_setup (self->document);
  has_cavity = setup->geometry != FAINT_GEOMETRY_NONE;
  gtk_label_set_text (GTK_LABEL (self->length_name),
                      faint_cavity_length_in_words (setup->geometry));
  gtk_widget_set_visible (self->mirrors_section, has_cavity);
  gtk_widget_set_visible (self->detuning_section,
                          has_cavity && setup->coupling == FAINT_COUPLING_LOCKED);
  /* one that contradicts the single pass stays where it can be changed */
  gtk_widget_set_visible (self->coupling, has_cavity || setup->coupling != FAINT_COUPLING_LOCKED);
  gtk_widget_set_visible (self->coupling_name, gtk_widget_get_visible (self->coupling));
  gtk_widget_set_visible (self->single, !has_cavity);
  for (guint i = 0; i < N_NUMBERS; i++)
    faint_pane_show_row (self->numbers[i], has_cavity);
  update_strongest (self, analysis);
  update_former (self, setup);
  show_numbers (self, NULL, NULL);
  if (!has_cavity)
    gtk_label_set_text (GTK_LABEL (self->reason), "");
  else if (numbers_at_centre (faint_document_get_spectrum (self->document), numbers, u, &error))
    show_numbers (self, numbers, u);
  else
    {
      reason = reason_in_words (setup, error);
      gtk_label_set_text (GTK_LABEL (self->reason), reason);
    }
  gtk_widget_set_visible (self->reason, error != NULL);
}

static void
on_changed (FaintDocument *document, guint change, FaintCavityPane *self)
{
  FaintAnalysis *analysis = faint_document_get_analysis (document);

  if (analysis && (change & (FAINT_CHANGE_SETUP | FAINT_CHANGE_OPENED)))
    update_face (self, faint_document_get_setup (document));
  update (self);
}

/* What describes the mirrors now, as the quantity that was chosen: nothing is lost, and it is one
 * step back. Nothing is done where that cannot be computed. */
static void
convert (FaintCavityPane *self, guint position)
{
  FaintQuantity mirror
      = faint_cavity_mirror_as (faint_document_get_setup (self->document), faces[position].kind);
  g_autoptr (FaintSetup) setup = faint_document_copy_setup (self->document);
  g_autofree char *u_key = g_strdup_printf ("u(%s)", faces[position].key);
  g_autofree char *text = NULL, *u_text = NULL, *label = NULL;

  if (!faint_quantity_is_known (mirror))
    return;
  mirror = faint_quantity_rounded (mirror);
  text = faint_quantity_to_text (mirror);
  u_text = faint_quantity_u_to_text (mirror);
  /* Translators: a step that can be undone; %s is a quantity: "Convert to Ring-down time" */
  label = g_strdup_printf (_ ("Convert to %s"), _ (faces[position].name));
  /* a value that follows from a good one is good */
  if (!faint_setup_set (setup, faces[position].key, text, NULL, NULL)
      || (*u_text && !faint_setup_set (setup, u_key, u_text, NULL, NULL))
      || !faint_document_edit_setup (self->document, setup, label, NULL))
    g_warn_if_reached ();
}

static void
on_face_selected (GtkDropDown *drop_down, GParamSpec *pspec, FaintCavityPane *self)
{
  guint position = gtk_drop_down_get_selected (drop_down);
  const FaintSetup *setup = faint_document_get_setup (self->document);

  if (position >= G_N_ELEMENTS (faces))
    return;
  gtk_stack_set_visible_child_name (GTK_STACK (self->face_stack), faces[position].key);
  if (self->filling || setup == NULL)
    return;
  if (faces[position].kind != setup->mirror_kind)
    convert (self, position);
  update_former (self, faint_document_get_setup (self->document));
}

static void
add_field (FaintCavityPane *self, GtkWidget *grid, const char *key, const char *name)
{
  faint_pane_row (grid, name, faint_setup_field_new (self->document, key, name));
}

static void
build_cavity (FaintCavityPane *self)
{
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("Cavity"));

  add_field (self, grid, "cavity", _ ("Geometry"));
  self->coupling = faint_setup_field_new (self->document, "coupling", _ ("Coupling"));
  self->coupling_name = faint_pane_row (grid, _ ("Coupling"), self->coupling);
  self->length_name = faint_pane_row (
      grid, _ ("Mirror spacing"),
      faint_setup_field_new (self->document, "cavity_length", _ ("Cavity length")));
  add_field (self, grid, "absorber_length", _ ("Absorber length"));
}

static void
build_mirrors (FaintCavityPane *self)
{
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("Mirrors"));
  GtkStringList *names = gtk_string_list_new (NULL);

  self->mirrors_section = gtk_widget_get_parent (grid);
  self->face_stack = gtk_stack_new ();
  for (guint i = 0; i < G_N_ELEMENTS (faces); i++)
    {
      const char *name = _ (faces[i].name);

      gtk_string_list_append (names, name);
      gtk_stack_add_named (GTK_STACK (self->face_stack),
                           faint_setup_field_new (self->document, faces[i].key, name),
                           faces[i].key);
    }
  gtk_stack_set_vhomogeneous (GTK_STACK (self->face_stack), FALSE);
  self->face = gtk_drop_down_new (G_LIST_MODEL (names), NULL);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->face), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Measured quantity of the mirrors"), -1);
  g_signal_connect (self->face, "notify::selected", G_CALLBACK (on_face_selected), self);
  faint_pane_row (grid, _ ("Measured"), self->face);
  faint_pane_row (grid, _ ("Value"), self->face_stack);
  self->former = faint_pane_note (grid, "");
  gtk_widget_set_visible (self->former, FALSE);
}

static void
build_detuning (FaintCavityPane *self)
{
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("Teeth on their modes"));

  self->detuning_section = gtk_widget_get_parent (grid);
  add_field (self, grid, "tooth_detuning", _ ("Detuning"));
  add_field (self, grid, "tooth_detuning_slope", _ ("Slope, Hz/Hz"));
}

static void
build_numbers (FaintCavityPane *self)
{
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("In the middle of the span"));

  self->single = faint_pane_note (
      grid, _ ("A single pass has neither finesse nor enhancement; its path is the path length."));
  self->reason = faint_pane_note (grid, "");
  gtk_widget_add_css_class (self->reason, "error");
  self->numbers[NUMBER_FINESSE] = faint_pane_value (grid, _ ("Finesse"));
  self->numbers[NUMBER_REFLECTIVITY] = faint_pane_value (grid, _ ("Reflectivity"));
  self->numbers[NUMBER_RING_DOWN] = faint_pane_value (grid, _ ("Ring-down time"));
  self->numbers[NUMBER_LINEWIDTH] = faint_pane_value (grid, _ ("Mode width"));
  self->numbers[NUMBER_SPECTRAL_RANGE] = faint_pane_value (grid, _ ("Free spectral range"));
  self->numbers[NUMBER_ENHANCEMENT] = faint_pane_value (grid, _ ("Enhancement of a round trip"));
  self->numbers[NUMBER_PATH] = faint_pane_value (grid, _ ("Effective path"));
  self->strongest = faint_pane_value (grid, _ ("Largest absorption"));
  gtk_widget_set_tooltip_text (self->numbers[NUMBER_ENHANCEMENT],
                               _ ("Path over the absorber of one round trip, for faint absorption: "
                                  "finesse/π with a locked comb, half of that with a swept one"));
  gtk_widget_set_tooltip_text (self->numbers[NUMBER_PATH],
                               _ ("Enhancement times the absorber of one round trip, which between "
                                  "two mirrors is passed twice"));
}

static void
faint_cavity_pane_dispose (GObject *object)
{
  FaintCavityPane *self = FAINT_CAVITY_PANE (object);

  g_clear_object (&self->document);
  G_OBJECT_CLASS (faint_cavity_pane_parent_class)->dispose (object);
}

static void
faint_cavity_pane_class_init (FaintCavityPaneClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_cavity_pane_dispose;
}

static void
faint_cavity_pane_init (FaintCavityPane *self)
{
  faint_pane_prepare (GTK_BOX (self));
}

GtkWidget *
faint_cavity_pane_new (FaintDocument *document, FaintSession *session)
{
  FaintCavityPane *self = g_object_new (FAINT_TYPE_CAVITY_PANE, NULL);

  self->document = g_object_ref (document);
  self->what_if = faint_what_if_box_new (document, session);
  gtk_box_append (GTK_BOX (self), self->what_if);
  build_cavity (self);
  build_mirrors (self);
  build_detuning (self);
  build_numbers (self);
  g_signal_connect_object (document, "changed", G_CALLBACK (on_changed), self, 0);
  update (self);
  return GTK_WIDGET (self);
}

GtkWidget *
faint_cavity_pane_get_what_if (FaintCavityPane *self)
{
  g_return_val_if_fail (FAINT_IS_CAVITY_PANE (self), NULL);
  return self->what_if;
}
