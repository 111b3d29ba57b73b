/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/plot/readout.h"

#include "app/parts/quantity-text.h"
#include "figure/transition-name.h"

#include <glib/gi18n.h>
#include <math.h>

struct _FaintPlotReadout
{
  GtkWidget parent;
  GtkWidget *label[FAINT_READOUT_N];
};

G_DEFINE_FINAL_TYPE (FaintPlotReadout, faint_plot_readout, GTK_TYPE_WIDGET)

/* Widths in characters, so that nothing moves while numbers change. */
static const int width_chars[FAINT_READOUT_N] = { 32, 40, 16, 16, 24 };

static void
faint_plot_readout_dispose (GObject *object)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (GTK_WIDGET (object))) != NULL)
    gtk_widget_unparent (child);
  G_OBJECT_CLASS (faint_plot_readout_parent_class)->dispose (object);
}

static void
faint_plot_readout_class_init (FaintPlotReadoutClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = faint_plot_readout_dispose;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BOX_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "plotreadout");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
faint_plot_readout_init (FaintPlotReadout *self)
{
  GtkLayoutManager *layout = gtk_widget_get_layout_manager (GTK_WIDGET (self));

  gtk_box_layout_set_spacing (GTK_BOX_LAYOUT (layout), 12);
  for (int i = 0; i < FAINT_READOUT_N; i++)
    {
      GtkWidget *label = gtk_label_new (NULL);

      gtk_label_set_xalign (GTK_LABEL (label), 0);
      gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
      gtk_label_set_width_chars (GTK_LABEL (label), MIN (width_chars[i] / 2, 10));
      gtk_label_set_max_width_chars (GTK_LABEL (label), width_chars[i]);
      gtk_label_set_single_line_mode (GTK_LABEL (label), TRUE);
      gtk_widget_add_css_class (label, "numeric");
      gtk_widget_set_direction (label, GTK_TEXT_DIR_LTR); /* digits, wherever words go */
      gtk_widget_set_hexpand (label, i == FAINT_READOUT_LINE);
      gtk_widget_set_parent (label, GTK_WIDGET (self));
      self->label[i] = label;
    }
  gtk_widget_set_margin_start (GTK_WIDGET (self), 8);
  gtk_widget_set_margin_end (GTK_WIDGET (self), 8);
  gtk_widget_set_margin_top (GTK_WIDGET (self), 2);
  gtk_widget_set_margin_bottom (GTK_WIDGET (self), 2);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Values under the pointer"), -1);
}

GtkWidget *
faint_plot_readout_new (void)
{
  return g_object_new (FAINT_TYPE_PLOT_READOUT, NULL);
}

static void
show (FaintPlotReadout *self, FaintReadoutField field, const char *text)
{
  GtkLabel *label = GTK_LABEL (self->label[field]);

  if (g_strcmp0 (gtk_label_get_text (label), text) != 0)
    gtk_label_set_text (label, text);
}

/* Without values their places are the room of the others. */
static void
show_values (FaintPlotReadout *self, gboolean visible)
{
  for (int i = 0; i < FAINT_READOUT_N; i++)
    if (i != FAINT_READOUT_POSITION && i != FAINT_READOUT_LINE)
      {
        if (!visible)
          show (self, i, "");
        gtk_widget_set_visible (self->label[i], visible);
      }
}

static double
value_at (const FaintPyramid *trace, gsize sample)
{
  gsize n;
  const double *y = trace != NULL ? faint_pyramid_get_y (trace, &n) : NULL;

  return y != NULL && sample < n ? y[sample] : NAN;
}

/* "word 0.98123(12)"; "" without a value. */
static char *
text_of (const char *word, double value, double u)
{
  char plain[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *number = NULL;

  if (isnan (value))
    return g_strdup ("");
  if (u > 0)
    number = faint_true_minus (faint_format_concise (value, u));
  else
    number = g_strdup (g_ascii_formatd (plain, sizeof plain, "%.6g", value));
  return g_strdup_printf ("%s %s", word, number);
}

/* What was measured: a ratio, or amplitude and phase of a field. */
static char *
text_of_signal (const FaintReadout *what, double u)
{
  double phase = value_at (what->data->phase, what->sample);
  char number[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *signal
      = text_of (_ ("signal"), value_at (what->data->observed, what->sample), u);

  if (isnan (phase))
    return g_steal_pointer (&signal);
  g_ascii_formatd (number, sizeof number, "%.4f", fabs (phase));
  return g_strdup_printf (_ ("%s, phase %s%s rad"), signal, phase < 0 ? "−" : "", number);
}

/* The model has the digits of the signal it stands for. */
static char *
text_of_model (double value, double u)
{
  char number[G_ASCII_DTOSTR_BUF_SIZE];
  int decimals = u > 0 ? (int)ceil (-log10 (u)) + 1 : 6;
  g_autofree char *format = g_strdup_printf ("%%.%df", CLAMP (decimals, 0, 14));

  if (isnan (value))
    return g_strdup ("");
  g_ascii_formatd (number, sizeof number, format, value);
  return g_strdup_printf (_ ("model %s"), number);
}

static char *
text_of_residual (double residual)
{
  char number[G_ASCII_DTOSTR_BUF_SIZE];

  if (isnan (residual))
    return g_strdup ("");
  g_ascii_formatd (number, sizeof number, "%.2f", fabs (residual));
  return g_strdup_printf (_ ("residual %s%s σ"), residual < 0 ? "−" : "+", number);
}

/* The digits of a line are those of its uncertainty, "7790.22034(12) cm⁻¹"; those of a pixel where
 * none is known. */
static char *
text_of_position (const FaintLine *line, const FaintReadout *what)
{
  const char *symbol = faint_axis_unit_symbol (what->unit.kind);
  g_autofree char *number
      = faint_axis_unit_concise (&what->unit, line->position.value, line->position.u, what->pixel);

  return g_strconcat (number, *symbol ? " " : "", symbol, NULL);
}

static char *
text_of_line (const FaintLine *line, const FaintReadout *what)
{
  g_autofree char *position = NULL;
  g_autofree char *strength = NULL;
  GString *text;

  if (line == NULL)
    return g_strdup ("");
  position = text_of_position (line, what);
  text = g_string_new (NULL);
  g_string_append_printf (text, _ ("line at %s"), position);
  if (!isnan (line->strength.value))
    {
      strength = faint_format_concise (line->strength.value, line->strength.u);
      g_string_append (text, ", ");
      g_string_append_printf (text, _ ("S = %s cm/molecule"), strength);
    }
  if (line->upper[0] != '\0' || line->lower[0] != '\0')
    g_string_append_printf (text, ", %s ← %s", line->upper, line->lower);
  return g_string_free (text, FALSE);
}

/* "P(12) expected at 7790.2204(12) cm⁻¹, S = 1.2e-26 cm/molecule, not found" */
static char *
text_of_predicted (const FaintReadout *what)
{
  const FaintLine *line = what->predicted;
  g_autofree char *name = faint_transition_name (line);
  g_autofree char *position = text_of_position (line, what);
  char strength[G_ASCII_DTOSTR_BUF_SIZE];
  GString *text = g_string_new (NULL);

  /* Translators: name of a transition, and where it should be */
  g_string_append_printf (text, _ ("%s expected at %s, not found"), name ? name : _ ("line"),
                          position);
  if (!isnan (line->strength.value))
    {
      g_ascii_formatd (strength, sizeof strength, "%.2g", line->strength.value);
      g_string_append (text, ", ");
      g_string_append_printf (text, _ ("S = %s cm/molecule"), strength);
    }
  if (line->upper[0] != '\0' || line->lower[0] != '\0')
    g_string_append_printf (text, ", %s ← %s", line->upper, line->lower);
  return g_string_free (text, FALSE);
}

/* The pointer is elsewhere. */
static void
show_rest (FaintPlotReadout *self, const FaintReadout *what)
{
  g_autofree char *line = NULL, *lower = NULL, *upper = NULL, *range = NULL;

  show_values (self, FALSE);
  if (what->data != NULL && faint_range_is_valid (what->view))
    {
      /* by the view alone: a pixel is not known before the window has its size */
      double distance = faint_range_width (what->view) / 1e3;

      lower = faint_axis_unit_format (&what->unit, what->view.lower, distance);
      upper = faint_axis_unit_format (&what->unit, what->view.upper, distance);
      range = g_strdup_printf ("%s … %s", lower, upper);
    }
  line = text_of_line (what->data != NULL ? what->selected : NULL, what);
  show (self, FAINT_READOUT_POSITION, range ? range : "");
  show (self, FAINT_READOUT_LINE, line);
}

void
faint_plot_readout_show (FaintPlotReadout *self, const FaintReadout *what)
{
  g_autofree char *position = NULL, *signal = NULL, *model = NULL, *residual = NULL, *line = NULL;
  double u = NAN;

  g_return_if_fail (FAINT_IS_PLOT_READOUT (self));
  if (what->data == NULL || isnan (what->wavenumber) || what->sample == G_MAXSIZE)
    {
      show_rest (self, what);
      return;
    }

  if (what->data->spectrum->u != NULL && what->sample < what->data->spectrum->n)
    u = what->data->spectrum->u[what->sample];
  position = faint_axis_unit_format (&what->unit, what->wavenumber, what->pixel);
  signal = text_of_signal (what, u);
  model = text_of_model (value_at (what->data->model, what->sample), u);
  if (what->data->spectrum->excluded != NULL && what->data->spectrum->excluded[what->sample])
    residual = g_strdup (_ ("excluded"));
  else
    residual = text_of_residual (value_at (what->data->residual, what->sample));
  line = what->predicted != NULL ? text_of_predicted (what) : text_of_line (what->line, what);
  show_values (self, TRUE);
  show (self, FAINT_READOUT_POSITION, position);
  show (self, FAINT_READOUT_SIGNAL, signal);
  show (self, FAINT_READOUT_MODEL, model);
  show (self, FAINT_READOUT_RESIDUAL, residual);
  show (self, FAINT_READOUT_LINE, line);
}

const char *
faint_plot_readout_get (FaintPlotReadout *self, FaintReadoutField field)
{
  return gtk_label_get_text (GTK_LABEL (self->label[field]));
}
