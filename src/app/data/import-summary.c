/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/data/import-summary.h"

#include <glib/gi18n.h>
#include <math.h>

#include "app/data/import-conditions.h"
#include "app/parts/pane.h"
#include "app/parts/kept-words.h"
#include "app/plot/plot.h"
#include "app/document/session.h"

/* cm-1 to MHz: c in cm/s over 1e6 Hz. */
#define MHZ_OF_WAVENUMBER (FAINT_SPEED_OF_LIGHT_CM_S / 1e6)
/* Rows shown of either end. */
#define N_ENDS 3

enum
{
  FACT_TEETH,
  FACT_SPAN,
  FACT_SPACING,
  FACT_REPETITION,
  FACT_NOISE,
  FACT_FIRST,
  FACT_LAST,
  N_FACTS
};
static const char *const fact_names[N_FACTS]
    = { N_ ("Teeth"), N_ ("Span"),       N_ ("Spacing found"), N_ ("Spacing over repetition rate"),
        N_ ("Noise"), N_ ("First rows"), N_ ("Last rows") };

struct _FaintImportSummary
{
  GtkBox parent;

  FaintSession *session;
  double spacing; /* of what was read, cm-1 */
  GtkWidget *error, *understood, *plot, *facts[N_FACTS], *missing, *warnings;
};

G_DEFINE_FINAL_TYPE (FaintImportSummary, faint_import_summary, GTK_TYPE_BOX)

/* Place @i of the axis in the unit of its column. */
static char *
place_of (const FaintSpectrum *spectrum, gsize i, gboolean with_unit)
{
  char number[G_ASCII_DTOSTR_BUF_SIZE];

  switch (spectrum->axis)
    {
    case FAINT_AXIS_TOOTH:
      if (spectrum->tooth)
        return g_strdup_printf ("%" G_GINT64_FORMAT, spectrum->tooth[i]);
      break;
    case FAINT_AXIS_FREQUENCY:
      g_ascii_formatd (number, sizeof number, "%.7f", spectrum->frequency[i] / 1e12);
      return g_strconcat (number, with_unit ? " THz" : "", NULL);
    case FAINT_AXIS_WAVELENGTH:
      g_ascii_formatd (number, sizeof number, "%.6f", 1e7 / spectrum->wavenumber[i]);
      return g_strconcat (number, with_unit ? " nm" : "", NULL);
    case FAINT_AXIS_WAVENUMBER:
      break;
    }
  g_ascii_formatd (number, sizeof number, "%.5f", spectrum->wavenumber[i]);
  return g_strconcat (number, with_unit ? " cm⁻¹" : "", NULL);
}

static char *
span_of (const FaintSpectrum *spectrum)
{
  g_autofree char *first = place_of (spectrum, 0, FALSE);
  g_autofree char *last = place_of (spectrum, spectrum->n - 1, TRUE);
  char a[G_ASCII_DTOSTR_BUF_SIZE], b[G_ASCII_DTOSTR_BUF_SIZE];

  if (spectrum->axis == FAINT_AXIS_WAVENUMBER)
    return g_strdup_printf ("%s – %s", first, last);
  g_ascii_formatd (a, sizeof a, "%.4f", spectrum->wavenumber[0]);
  g_ascii_formatd (b, sizeof b, "%.4f", spectrum->wavenumber[spectrum->n - 1]);
  return g_strdup_printf ("%s – %s (%s – %s cm⁻¹)", first, last, a, b);
}

/* Row @i: its place, the ratio of sample and reference, its uncertainty where one was stated. */
static void
append_row (GString *text, const FaintSpectrum *spectrum, gsize i)
{
  g_autofree char *place = place_of (spectrum, i, TRUE);
  char value[G_ASCII_DTOSTR_BUF_SIZE], other[G_ASCII_DTOSTR_BUF_SIZE];

  g_ascii_formatd (value, sizeof value, "%.6g", spectrum->value[i]);
  g_string_append_printf (text, "%s%s: %s", text->len > 0 ? "\n" : "", place, value);
  if (spectrum->value_im)
    {
      g_ascii_formatd (other, sizeof other, "%+.6g", spectrum->value_im[i]);
      g_string_append_printf (text, " %s i", other);
    }
  if (!spectrum->u_estimated)
    {
      g_ascii_formatd (other, sizeof other, "%.2g", spectrum->u[i]);
      g_string_append_printf (text, " ± %s", other);
    }
}

static char *
rows_of (const FaintSpectrum *spectrum, gsize first)
{
  GString *text = g_string_new (NULL);

  for (gsize i = first; i < MIN (first + N_ENDS, spectrum->n); i++)
    append_row (text, spectrum, i);
  return g_string_free (text, FALSE);
}

static void
show_warnings (FaintImportSummary *self, const GPtrArray *warnings)
{
  faint_pane_empty (self->warnings);
  for (guint i = 0; i < warnings->len; i++)
    {
      const FaintWarning *warning = g_ptr_array_index (warnings, i);
      g_autofree char *words = faint_shown_words (warning->text);
      GtkWidget *label = gtk_label_new (words);

      gtk_label_set_xalign (GTK_LABEL (label), 0);
      gtk_label_set_wrap (GTK_LABEL (label), TRUE);
      gtk_label_set_max_width_chars (GTK_LABEL (label), 60);
      gtk_box_append (GTK_BOX (self->warnings), label);
    }
}

static void
show_facts (FaintImportSummary *self, const FaintImportReading *reading)
{
  const FaintSpectrum *spectrum = reading->spectrum;
  gsize last = spectrum->n > N_ENDS ? spectrum->n - N_ENDS : 0;
  g_autofree char *teeth = g_strdup_printf ("%" G_GSIZE_FORMAT, spectrum->n);
  g_autofree char *span = span_of (spectrum);
  g_autofree char *first_rows = rows_of (spectrum, 0), *last_rows = rows_of (spectrum, last);

  faint_pane_set_value (self->facts[FACT_TEETH], teeth);
  faint_pane_set_value (self->facts[FACT_SPAN], span);
  faint_pane_set_number (self->facts[FACT_SPACING], "%.6g", reading->spacing * MHZ_OF_WAVENUMBER,
                         "MHz");
  faint_pane_set_value (self->facts[FACT_NOISE], spectrum->u_estimated
                                                     ? _ ("Estimated from the scatter")
                                                     : _ ("As stated in the file"));
  faint_pane_set_value (self->facts[FACT_FIRST], first_rows);
  faint_pane_set_value (self->facts[FACT_LAST], last_rows);
  show_warnings (self, spectrum->warnings);
}

static void
faint_import_summary_dispose (GObject *object)
{
  g_clear_object (&FAINT_IMPORT_SUMMARY (object)->session);
  G_OBJECT_CLASS (faint_import_summary_parent_class)->dispose (object);
}

static void
faint_import_summary_class_init (FaintImportSummaryClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_import_summary_dispose;
}

static GtkWidget *
plot_new (FaintSession *session)
{
  GtkWidget *plot = faint_plot_new (session);

  g_object_set (plot, "show-absorption", FALSE, "show-residual", FALSE, "show-sticks", FALSE, NULL);
  faint_plot_set_fixed (FAINT_PLOT (plot), TRUE);
  gtk_widget_set_size_request (plot, 320, 170);
  return plot;
}

static void
faint_import_summary_init (FaintImportSummary *self)
{
  GtkWidget *grid;

  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
  gtk_box_set_spacing (GTK_BOX (self), 12);
  self->error = gtk_label_new (NULL);
  gtk_label_set_xalign (GTK_LABEL (self->error), 0);
  gtk_label_set_wrap (GTK_LABEL (self->error), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (self->error), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_max_width_chars (GTK_LABEL (self->error), 80);
  gtk_widget_add_css_class (self->error, "error");
  gtk_widget_set_visible (self->error, FALSE);
  gtk_box_append (GTK_BOX (self), self->error);

  self->session = faint_session_new ();
  self->understood = gtk_box_new (GTK_ORIENTATION_VERTICAL, 12);
  self->plot = plot_new (self->session);
  gtk_box_append (GTK_BOX (self->understood), self->plot);
  self->warnings = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  gtk_widget_add_css_class (self->warnings, "warnings");
  gtk_box_append (GTK_BOX (self->understood), self->warnings);
  grid = faint_pane_section (self->understood, _ ("What was understood"));
  for (guint i = 0; i < N_FACTS; i++)
    {
      self->facts[i] = faint_pane_value (grid, _ (fact_names[i]));
      gtk_label_set_max_width_chars (GTK_LABEL (self->facts[i]), 60);
    }
  self->missing = faint_pane_note (grid, "");
  gtk_label_set_max_width_chars (GTK_LABEL (self->missing), 70);
  gtk_widget_set_visible (self->understood, FALSE);
  gtk_box_append (GTK_BOX (self), self->understood);
}

GtkWidget *
faint_import_summary_new (void)
{
  return g_object_new (FAINT_TYPE_IMPORT_SUMMARY, NULL);
}

void
faint_import_summary_set_busy (FaintImportSummary *self)
{
  g_return_if_fail (FAINT_IS_IMPORT_SUMMARY (self));
  gtk_widget_set_opacity (self->understood, 0.5);
}

void
faint_import_summary_set_setup (FaintImportSummary *self, const FaintSetup *setup)
{
  g_autofree char *missing = faint_import_conditions_missing (setup);
  gboolean comb = faint_quantity_is_known (setup->repetition_rate);

  g_return_if_fail (FAINT_IS_IMPORT_SUMMARY (self));
  faint_pane_show_row (self->facts[FACT_REPETITION], comb);
  if (comb)
    faint_pane_set_number (self->facts[FACT_REPETITION], "%.4f",
                           self->spacing * FAINT_SPEED_OF_LIGHT_CM_S / setup->repetition_rate.value,
                           "");
  gtk_label_set_text (GTK_LABEL (self->missing), missing ? missing : "");
  gtk_widget_set_visible (self->missing, missing != NULL);
}

void
faint_import_summary_set_reading (FaintImportSummary *self, const FaintImportReading *reading)
{
  g_return_if_fail (FAINT_IS_IMPORT_SUMMARY (self));
  gtk_widget_set_opacity (self->understood, 1);
  gtk_widget_set_visible (self->error, FALSE);
  gtk_widget_set_visible (self->understood, TRUE);
  faint_plot_set_data (FAINT_PLOT (self->plot), reading->figure);
  show_facts (self, reading);
  self->spacing = reading->spacing;
  faint_import_summary_set_setup (self, reading->spectrum->setup);
}

void
faint_import_summary_set_error (FaintImportSummary *self, const char *message)
{
  g_return_if_fail (FAINT_IS_IMPORT_SUMMARY (self));
  gtk_widget_set_opacity (self->understood, 1);
  gtk_widget_remove_css_class (self->error, "note");
  gtk_widget_add_css_class (self->error, "error");
  gtk_label_set_text (GTK_LABEL (self->error), message);
  gtk_widget_set_visible (self->error, TRUE);
  gtk_widget_set_visible (self->understood, FALSE);
}

void
faint_import_summary_set_waiting (FaintImportSummary *self, const char *message)
{
  /* Translators: what was expected of the columns */
  g_autofree char *text
      = g_strdup_printf (_ ("What is suggested above is not all yet: %s"), message);

  faint_import_summary_set_error (self, text);
  gtk_widget_remove_css_class (self->error, "error");
  gtk_widget_add_css_class (self->error, "note");
}

static void
append_line (GString *text, GtkWidget *label)
{
  if (gtk_widget_get_visible (label))
    g_string_append_printf (text, "%s\n", gtk_label_get_text (GTK_LABEL (label)));
}

char *
faint_import_summary_get_text (FaintImportSummary *self)
{
  GString *text = g_string_new (NULL);

  g_return_val_if_fail (FAINT_IS_IMPORT_SUMMARY (self), NULL);
  append_line (text, self->error);
  for (guint i = 0; gtk_widget_get_visible (self->understood) && i < N_FACTS; i++)
    append_line (text, self->facts[i]);
  if (gtk_widget_get_visible (self->understood))
    append_line (text, self->missing);
  for (GtkWidget *child = gtk_widget_get_first_child (self->warnings);
       gtk_widget_get_visible (self->understood) && child;
       child = gtk_widget_get_next_sibling (child))
    append_line (text, child);
  return g_string_free (text, FALSE);
}
