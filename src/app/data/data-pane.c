/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Read-outs of the spectrum and fields of the setup.
 */
#include "app/data/data-pane.h"

#include <glib/gi18n.h>
#include <math.h>

#include "app/data/excluded-list.h"
#include "app/document/needed-conditions.h"
#include "app/parts/pane.h"
#include "app/parts/kept-words.h"
#include "app/data/setup-field.h"

/* cm-1 to MHz: c in cm/s over 1e6 Hz. */
#define MHZ_OF_WAVENUMBER (FAINT_SPEED_OF_LIGHT_CM_S / 1e6)

struct _FaintDataPane
{
  GtkBox parent;

  FaintDocument *document;
  GtkWidget *missing_section, *missing;
  GtkWidget *observable, *teeth, *span, *spacing, *uncertainty, *axis;
  GtkWidget *series_section, *n_spectra;
  GtkWidget *shown;    /* GtkDropDown of the spectra */
  GtkWidget *inputs;   /* GtkBox of labels */
  GtkWidget *warnings; /* GtkBox of labels */
  GtkWidget *warnings_section;
};

G_DEFINE_FINAL_TYPE (FaintDataPane, faint_data_pane, GTK_TYPE_BOX)

static const char *
observable_in_words (FaintObservable observable)
{
  switch (observable)
    {
    case FAINT_OBSERVABLE_POWER:
      return _ ("Power transmission");
    case FAINT_OBSERVABLE_AMPLITUDE:
      return _ ("Field amplitude");
    case FAINT_OBSERVABLE_FIELD:
      return _ ("Complex field");
    default:
      return "";
    }
}

static const char *
axis_in_words (FaintAxis axis)
{
  switch (axis)
    {
    case FAINT_AXIS_TOOTH:
      return _ ("Tooth number");
    case FAINT_AXIS_FREQUENCY:
      return _ ("Frequency");
    case FAINT_AXIS_WAVENUMBER:
      return _ ("Wavenumber");
    case FAINT_AXIS_WAVELENGTH:
      return _ ("Vacuum wavelength");
    default:
      return "";
    }
}

static GtkWidget *
append_text (GtkWidget *box, const char *text)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 36);
  gtk_box_append (GTK_BOX (box), label);
  return label;
}

/* Teeth nearer than the repetition rate come from records that were shifted against each other. */
static void
show_spacing (FaintDataPane *self, const FaintSetup *setup, double spacing)
{
  double ratio = faint_quantity_is_known (setup->repetition_rate)
                     ? setup->repetition_rate.value / (spacing * 1e6)
                     : NAN;
  char number[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *text = NULL;

  if (!(round (ratio) > 1 && fabs (ratio - round (ratio)) < 0.01 * ratio))
    {
      faint_pane_set_number (self->spacing, "%.6g", spacing, "MHz");
      return;
    }
  g_ascii_formatd (number, sizeof number, "%.6g", spacing);
  /* Translators: a frequency in MHz; a number above 1 */
  text = g_strdup_printf (_ ("%s MHz, %u interleaved records"), number, (guint)round (ratio));
  faint_pane_set_value (self->spacing, text);
}

static void
update_spectrum (FaintDataPane *self, const FaintSpectrum *spectrum)
{
  double spacing = faint_spectrum_spacing (spectrum);
  double lower = spectrum->wavenumber[0], upper = spectrum->wavenumber[spectrum->n - 1];
  char a[G_ASCII_DTOSTR_BUF_SIZE], b[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *span = NULL, *teeth = NULL;

  faint_pane_set_value (self->observable, observable_in_words (spectrum->setup->observable));
  teeth = g_strdup_printf ("%" G_GSIZE_FORMAT, spectrum->n);
  faint_pane_set_value (self->teeth, teeth);
  g_ascii_formatd (a, sizeof a, "%.4f", lower);
  g_ascii_formatd (b, sizeof b, "%.4f", upper);
  span = g_strdup_printf ("%s – %s cm⁻¹", a, b);
  faint_pane_set_value (self->span, span);
  show_spacing (self, spectrum->setup, spacing * MHZ_OF_WAVENUMBER);
  faint_pane_set_value (self->axis, axis_in_words (spectrum->axis));
  faint_pane_set_value (self->uncertainty, spectrum->u_estimated ? _ ("Estimated from the scatter")
                                                                 : _ ("As stated in the file"));
}

/* "Spectrum 1 of 3: 1.30 hPa, 296.0 K", one a spectrum. */
static char **
spectra_in_words (const FaintAnalysis *analysis)
{
  gsize n = faint_analysis_get_n_spectra (analysis);
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();

  for (gsize i = 0; i < n; i++)
    {
      g_autofree char *conditions = faint_analysis_describe_spectrum (analysis, i);
      /* Translators: which of how many spectra, and its conditions */
      g_autofree char *words
          = g_strdup_printf (_ ("Spectrum %u of %u: %s"), (guint)i + 1, (guint)n, conditions);

      g_strv_builder_add (builder, words);
    }
  return g_strv_builder_end (builder);
}

static void
on_shown_selected (GtkDropDown *drop_down, GParamSpec *pspec, FaintDataPane *self)
{
  guint selected = gtk_drop_down_get_selected (drop_down);

  if (selected != GTK_INVALID_LIST_POSITION)
    faint_document_set_shown (self->document, selected);
}

static gboolean
shows_words (GtkDropDown *drop_down, const char *const *words)
{
  GListModel *model = gtk_drop_down_get_model (drop_down);
  guint n = model ? g_list_model_get_n_items (model) : 0;

  if (n != g_strv_length ((char **)words))
    return FALSE;
  for (guint i = 0; i < n; i++)
    if (g_strcmp0 (gtk_string_list_get_string (GTK_STRING_LIST (model), i), words[i]) != 0)
      return FALSE;
  return TRUE;
}

static void
update_series (FaintDataPane *self, const FaintAnalysis *analysis)
{
  gsize n = faint_analysis_get_n_spectra (analysis);
  g_auto (GStrv) words = spectra_in_words (analysis);
  g_autofree char *count = g_strdup_printf ("%" G_GSIZE_FORMAT, n);

  gtk_widget_set_visible (self->series_section, n > 1);
  faint_pane_set_value (self->n_spectra, count);
  /* a new model selects its first row, which is nobody's choice */
  g_signal_handlers_block_by_func (self->shown, on_shown_selected, self);
  if (!shows_words (GTK_DROP_DOWN (self->shown), (const char *const *)words))
    {
      g_autoptr (GtkStringList) list = gtk_string_list_new ((const char *const *)words);
      gtk_drop_down_set_model (GTK_DROP_DOWN (self->shown), G_LIST_MODEL (list));
    }
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->shown),
                              (guint)faint_document_get_shown (self->document));
  g_signal_handlers_unblock_by_func (self->shown, on_shown_selected, self);
}

/* Of a series, an input's number is that of its spectrum. */
static void
update_inputs (FaintDataPane *self, const FaintAnalysis *analysis)
{
  gsize n = 0;
  const FaintAnalysisInput *inputs = faint_analysis_get_inputs (analysis, &n);

  faint_pane_empty (self->inputs);
  for (gsize i = 0; i < n; i++)
    {
      g_autofree char *name = g_path_get_basename (inputs[i].path);
      g_autofree char *base
          = faint_analysis_get_n_spectra (analysis) > 1
                ? g_strdup_printf ("%" G_GSIZE_FORMAT ": %s", inputs[i].spectrum + 1, name)
                : g_strdup (name);
      g_autofree char *text = inputs[i].changed
                                  ? g_strdup_printf (_ ("%s (changed since it was fitted)"), base)
                                  : g_strdup (base);
      g_autofree char *tip = g_strdup_printf ("%s\nSHA-256 %s", inputs[i].path, inputs[i].sha256);

      gtk_widget_set_tooltip_text (append_text (self->inputs, text), tip);
    }
  if (n == 0)
    append_text (self->inputs, _ ("Not from a file"));
}

static void
update_warnings (FaintDataPane *self, const FaintAnalysis *analysis)
{
  const GPtrArray *warnings = faint_analysis_get_warnings (analysis);
  const GPtrArray *read = faint_document_get_spectrum (self->document)->warnings;
  const GPtrArray *both[] = { read, warnings };
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);

  faint_pane_empty (self->warnings);
  for (guint k = 0; k < G_N_ELEMENTS (both); k++)
    for (guint i = 0; both[k] && i < both[k]->len; i++)
      {
        const FaintWarning *warning = g_ptr_array_index (both[k], i);
        g_autofree char *words = faint_shown_words (warning->text);

        /* the analysis may repeat what its spectrum says */
        if (g_hash_table_add (seen, warning->text))
          append_text (self->warnings, words);
      }
  gtk_widget_set_visible (self->warnings_section, g_hash_table_size (seen) > 0);
}

/* What a fit waits for, and where it is entered. */
static void
update_missing (FaintDataPane *self, const FaintAnalysis *analysis)
{
  g_autofree char *missing = faint_needed_in_words (analysis);

  gtk_label_set_text (GTK_LABEL (self->missing), missing ? missing : "");
  gtk_widget_set_visible (self->missing_section, missing != NULL);
}

static void
update (FaintDataPane *self)
{
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);

  if (analysis == NULL)
    return;
  update_missing (self, analysis);
  update_series (self, analysis);
  update_spectrum (self, faint_document_get_spectrum (self->document));
  update_inputs (self, analysis);
  update_warnings (self, analysis);
}

static void
on_changed (FaintDocument *document, guint change, FaintDataPane *self)
{
  if (change & (FAINT_CHANGE_SPECTRUM | FAINT_CHANGE_SETUP | FAINT_CHANGE_OPENED))
    update (self);
}

static void
add_field (FaintDataPane *self, GtkWidget *grid, const char *key, const char *name)
{
  faint_pane_row (grid, name, faint_setup_field_new (self->document, key, name));
}

static void
build_missing (FaintDataPane *self)
{
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("Not stated yet"));

  self->missing_section = gtk_widget_get_parent (grid);
  self->missing = faint_pane_note (grid, "");
  faint_pane_wide (grid, faint_pane_button (_ ("_State Conditions…"), "win.state-conditions"));
}

static void
build_series (FaintDataPane *self)
{
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("Series"));

  self->series_section = gtk_widget_get_parent (grid);
  self->n_spectra = faint_pane_value (grid, _ ("Spectra"));
  self->shown = gtk_drop_down_new (NULL, NULL);
  gtk_widget_set_tooltip_text (self->shown,
                               _ ("The spectrum that plot and panes show; all are fitted to one "
                                  "list of lines"));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->shown), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Shown spectrum"), -1);
  faint_pane_wide (grid, self->shown);
  g_signal_connect (self->shown, "notify::selected", G_CALLBACK (on_shown_selected), self);
}

static void
build_spectrum (FaintDataPane *self)
{
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("Spectrum"));

  faint_pane_wide (grid, faint_setup_field_new (self->document, "title", _ ("Title")));
  self->observable = faint_pane_value (grid, _ ("Observable"));
  self->teeth = faint_pane_value (grid, _ ("Teeth"));
  self->span = faint_pane_value (grid, _ ("Span"));
  self->spacing = faint_pane_value (grid, _ ("Sampling step"));
  self->axis = faint_pane_value (grid, _ ("Axis of the record"));
  self->uncertainty = faint_pane_value (grid, _ ("Noise"));
  add_field (self, grid, "recording_time", _ ("Recording time"));
}

static void
build_conditions (FaintDataPane *self, FaintSession *session)
{
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("Gas"));

  add_field (self, grid, "temperature", _ ("Temperature"));
  add_field (self, grid, "pressure", _ ("Pressure"));
  add_field (self, grid, "mole_fraction", _ ("Mole fraction"));
  add_field (self, grid, "isotopic_abundance", _ ("Isotopic abundance"));
  add_field (self, grid, "molar_mass", _ ("Molar mass"));
  add_field (self, grid, "partition_sums", _ ("Partition sums"));

  grid = faint_pane_section (GTK_WIDGET (self), _ ("Comb"));
  add_field (self, grid, "repetition_rate", _ ("Repetition rate"));
  add_field (self, grid, "offset_frequency", _ ("Offset frequency"));

  grid = faint_pane_section (GTK_WIDGET (self), _ ("Excluded teeth"));
  faint_pane_wide (grid, faint_excluded_list_new (self->document, session));
}

static void
build_lists (FaintDataPane *self)
{
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("Warnings"));

  self->warnings_section = gtk_widget_get_parent (grid);
  self->warnings = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  gtk_widget_add_css_class (self->warnings, "warnings");
  faint_pane_wide (grid, self->warnings);

  grid = faint_pane_section (GTK_WIDGET (self), _ ("Records"));
  self->inputs = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  faint_pane_wide (grid, self->inputs);
}

static void
faint_data_pane_dispose (GObject *object)
{
  FaintDataPane *self = FAINT_DATA_PANE (object);

  g_clear_object (&self->document);
  G_OBJECT_CLASS (faint_data_pane_parent_class)->dispose (object);
}

static void
faint_data_pane_class_init (FaintDataPaneClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_data_pane_dispose;
}

static void
faint_data_pane_init (FaintDataPane *self)
{
  faint_pane_prepare (GTK_BOX (self));
}

GtkWidget *
faint_data_pane_new (FaintDocument *document, FaintSession *session)
{
  FaintDataPane *self = g_object_new (FAINT_TYPE_DATA_PANE, NULL);

  self->document = g_object_ref (document);
  build_missing (self);
  build_series (self);
  build_spectrum (self);
  build_conditions (self, session);
  build_lists (self);
  g_signal_connect_object (document, "changed", G_CALLBACK (on_changed), self, 0);
  update (self);
  return GTK_WIDGET (self);
}
