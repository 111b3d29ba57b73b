/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/what-if/what-if-box.h"

#include <glib/gi18n.h>
#include <math.h>

#include "faint/cavity/finesse.h"
#include "faint/cavity/response.h"
#include "app/parts/pane.h"
#include "app/parts/quantity-text.h"
#include "app/what-if/what-if-numbers.h"
#include "app/what-if/what-if-row.h"
#include "app/what-if/what-if-words.h"
#include "app/what-if/what-if-work.h"

static const struct
{
  const char *name;
  FaintDimension dimension;
} quantities[FAINT_WHAT_IF_N] = {
  [FAINT_WHAT_IF_FINESSE] = { N_ ("Finesse"), FAINT_DIMENSION_NUMBER },
  [FAINT_WHAT_IF_DETUNING] = { N_ ("Detuning"), FAINT_DIMENSION_FREQUENCY },
  [FAINT_WHAT_IF_PRESSURE] = { N_ ("Pressure"), FAINT_DIMENSION_PRESSURE },
  [FAINT_WHAT_IF_TEMPERATURE] = { N_ ("Temperature"), FAINT_DIMENSION_TEMPERATURE },
  [FAINT_WHAT_IF_MOLE_FRACTION] = { N_ ("Mole fraction"), FAINT_DIMENSION_NUMBER },
};

struct _FaintWhatIfBox
{
  GtkWidget parent;

  FaintDocument *document;
  FaintSession *session;
  FaintFigureData *data;
  FaintWhatIf *what; /* while open and possible */
  FaintWhatIfWork *work;
  FaintOtherTrace *trace;
  GtkWidget *expander, *rows[FAINT_WHAT_IF_N], *content, *reason, *kept;
  GtkWidget *numbers;
  GtkWidget *stated_button, *take_button;
};

enum
{
  TRACE_CHANGED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintWhatIfBox, faint_what_if_box, GTK_TYPE_WIDGET)

static FaintWhatIfRow *
row_of (FaintWhatIfBox *self, guint quantity)
{
  return FAINT_WHAT_IF_ROW (self->rows[quantity]);
}

static void
set_trace (FaintWhatIfBox *self, FaintOtherTrace *trace)
{
  if (trace == self->trace)
    return;
  if (trace != NULL)
    faint_other_trace_ref (trace);
  g_clear_pointer (&self->trace, faint_other_trace_unref);
  self->trace = trace;
  g_signal_emit (self, signals[TRACE_CHANGED], 0);
}

static FaintWhatIfValues
chosen_values (FaintWhatIfBox *self)
{
  FaintWhatIfValues values = faint_what_if_stated (self->what);

  for (guint i = 0; i < FAINT_WHAT_IF_N; i++)
    if (!isnan (values.value[i]))
      values.value[i] = faint_what_if_row_get_value (row_of (self, i));
  return values;
}

static gboolean
any_changed (FaintWhatIfBox *self, const FaintWhatIfValues *values)
{
  FaintWhatIfValues stated = faint_what_if_stated (self->what);

  for (guint i = 0; i < FAINT_WHAT_IF_N; i++)
    if (!isnan (stated.value[i]) && stated.value[i] != values->value[i])
      return TRUE;
  return FALSE;
}

static double
enhancement (const FaintSetup *setup, double finesse)
{
  return faint_cavity_enhancement (setup->coupling, faint_cavity_loss_from_finesse (finesse),
                                   faint_response_of (setup).output_share);
}

static void
tell_kept (FaintWhatIfBox *self, const FaintWhatIfValues *values)
{
  g_autoptr (FaintLineList) lines = NULL;
  g_autoptr (FaintSetup) setup = NULL;
  g_autofree char *text = NULL;
  FaintWhatIfKept kept;
  gboolean exact;

  lines = faint_what_if_lines (self->what, values, &kept);
  setup = faint_what_if_setup (self->what, values, &exact);
  text = faint_what_if_kept_in_words (&kept, exact);
  gtk_label_set_text (GTK_LABEL (self->kept), text);
  gtk_widget_set_visible (self->kept, *text != '\0');
  gtk_widget_set_sensitive (self->take_button, exact && any_changed (self, values));
}

static gboolean
check (FaintWhatIfBox *self, const FaintWhatIfValues *values)
{
  for (guint i = 0; i < FAINT_WHAT_IF_N; i++)
    {
      FaintWhatIfValues one = faint_what_if_stated (self->what);
      g_autoptr (GError) error = NULL;

      one.value[i] = values->value[i];
      if (faint_what_if_check (self->what, &one, &error))
        continue;
      faint_what_if_row_set_error (row_of (self, i), error->message);
      gtk_widget_set_sensitive (self->take_button, FALSE);
      return FALSE;
    }
  return TRUE;
}

static void
ask (FaintWhatIfBox *self)
{
  FaintWhatIfValues values, stated;
  const FaintSetup *setup;
  double lower, upper;

  if (self->what == NULL)
    return;
  values = chosen_values (self);
  stated = faint_what_if_stated (self->what);
  setup = faint_what_if_get_spectrum (self->what)->setup;
  gtk_widget_set_sensitive (self->stated_button, any_changed (self, &values));
  if (!check (self, &values))
    return;
  tell_kept (self, &values);
  if (!isnan (stated.value[FAINT_WHAT_IF_FINESSE]))
    faint_what_if_numbers_set (self->numbers, FAINT_WHAT_IF_NUMBER_ENHANCEMENT,
                               enhancement (setup, stated.value[FAINT_WHAT_IF_FINESSE]),
                               enhancement (setup, values.value[FAINT_WHAT_IF_FINESSE]));
  faint_session_get_view (self->session, &lower, &upper);
  faint_what_if_work_ask (self->work, &values, lower, upper);
}

static void
on_outcome (FaintWhatIfWork *work, const FaintWhatIfOutcome *outcome, FaintWhatIfBox *self)
{
  FaintWhatIfValues values;
  double lower, upper, from, to;

  faint_session_get_view (self->session, &lower, &upper);
  faint_session_get_limits (self->session, &from, &to);
  if (outcome->whole)
    faint_what_if_numbers_set (self->numbers, FAINT_WHAT_IF_NUMBER_ALL, outcome->fitted,
                               outcome->now);
  if (!outcome->whole || (lower <= from && upper >= to))
    {
      faint_what_if_numbers_set (self->numbers, FAINT_WHAT_IF_NUMBER_VIEW, outcome->fitted,
                                 outcome->now);
      faint_what_if_numbers_set (self->numbers, FAINT_WHAT_IF_NUMBER_DEEPEST,
                                 100.0 * outcome->deepest_fitted, 100.0 * outcome->deepest);
    }
  /* As stated it would hide the fitted one, which it is. */
  values = chosen_values (self);
  if (!any_changed (self, &values))
    set_trace (self, NULL);
  else if (!outcome->repeats)
    set_trace (self, outcome->trace);
}

static void
on_failed (FaintWhatIfWork *work, const char *message, FaintWhatIfBox *self)
{
  gtk_label_set_text (GTK_LABEL (self->kept), message);
  gtk_widget_set_visible (self->kept, TRUE);
}

static FaintQuantity
stated_quantity (FaintWhatIfBox *self, FaintWhatIfQuantity which, double value)
{
  const FaintSetup *setup = faint_what_if_get_spectrum (self->what)->setup;
  const FaintQuantity as_stated[FAINT_WHAT_IF_N] = {
    [FAINT_WHAT_IF_FINESSE] = FAINT_QUANTITY_UNKNOWN,
    [FAINT_WHAT_IF_DETUNING] = setup->tooth_detuning,
    [FAINT_WHAT_IF_PRESSURE] = setup->pressure,
    [FAINT_WHAT_IF_TEMPERATURE] = setup->temperature,
    [FAINT_WHAT_IF_MOLE_FRACTION] = setup->mole_fraction,
  };
  FaintQuantity quantity = faint_quantity (quantities[which].dimension, value, NAN);

  if (faint_quantity_is_known (as_stated[which]))
    quantity.unit = as_stated[which].unit;
  else if (which == FAINT_WHAT_IF_DETUNING)
    quantity.unit = faint_unit_find (FAINT_DIMENSION_FREQUENCY, "kHz");
  return quantity;
}

/* Sliders reach to where something is to be seen: a few times either way, a width of the mode, 150
 * K (common practice, no source). */
static FaintWhatIfReach
reach_of (FaintWhatIfBox *self, FaintWhatIfQuantity which, const FaintWhatIfValues *stated)
{
  const FaintSetup *setup = faint_what_if_get_spectrum (self->what)->setup;
  double value = stated->value[which];
  double range = faint_cavity_free_spectral_range (setup->geometry, setup->cavity_length.value);
  double mode = range / stated->value[FAINT_WHAT_IF_FINESSE];

  switch (which)
    {
    case FAINT_WHAT_IF_DETUNING:
      mode = MIN (MAX (mode, 2.0 * fabs (value)), 0.5 * range);
      return (FaintWhatIfReach){ -mode, mode, FALSE };
    case FAINT_WHAT_IF_TEMPERATURE:
      return (FaintWhatIfReach){ MAX (value - 150.0, 0.2 * value), value + 150.0, FALSE };
    case FAINT_WHAT_IF_MOLE_FRACTION:
      return (FaintWhatIfReach){ value / 4.0, MIN (4.0 * value, 1.0), TRUE };
    default:
      return (FaintWhatIfReach){ value > 4.0 ? value / 4.0 : 0.5 * (1.0 + value), 4.0 * value,
                                 TRUE };
    }
}

/* Rows for a new source; what the user had moved stays where it is. */
static void
fill_rows (FaintWhatIfBox *self, const FaintWhatIfValues *before, const FaintWhatIfValues *chosen)
{
  FaintWhatIfValues stated = faint_what_if_stated (self->what);

  for (guint i = 0; i < FAINT_WHAT_IF_N; i++)
    {
      gboolean there = !isnan (stated.value[i]);

      gtk_widget_set_visible (self->rows[i], there);
      if (!there)
        continue;
      faint_what_if_row_set_stated (row_of (self, i), stated_quantity (self, i, stated.value[i]),
                                    reach_of (self, i, &stated));
      if (before != NULL && !isnan (before->value[i]) && before->value[i] != chosen->value[i])
        faint_what_if_row_set_value (row_of (self, i), chosen->value[i]);
    }
}

static void
close_source (FaintWhatIfBox *self)
{
  faint_what_if_work_set_source (self->work, NULL, NULL);
  g_clear_pointer (&self->what, faint_what_if_unref);
  set_trace (self, NULL);
}

static FaintWhatIf *
open_source (FaintWhatIfBox *self, char **warning, char **reason)
{
  FaintFigureData *data = self->data;
  FaintLineList *lines = data == NULL ? NULL : (data->fit != NULL ? data->fit->lines : data->lines);
  g_autoptr (GError) error = NULL;
  FaintWhatIf *what;

  if (lines == NULL || faint_line_list_get_n (lines) == 0)
    {
      *reason
          = g_strdup (_ ("Find lines first (stage Lines): they are what the model is made of."));
      return NULL;
    }
  what = faint_what_if_new (data->spectrum, data->fit, lines, warning, &error);
  if (what == NULL)
    *reason = g_strdup (error->message);
  return what;
}

/* Begins with the present data, keeping what was chosen. */
static void
renew (FaintWhatIfBox *self)
{
  FaintWhatIfValues before, chosen;
  gboolean had = self->what != NULL;
  g_autofree char *warning = NULL;
  g_autofree char *reason = NULL;

  if (had)
    {
      before = faint_what_if_stated (self->what);
      chosen = chosen_values (self);
    }
  close_source (self);
  if (!faint_what_if_box_get_open (self))
    return;
  self->what = open_source (self, &warning, &reason);
  gtk_widget_set_visible (self->content, self->what != NULL);
  gtk_label_set_text (GTK_LABEL (self->reason), reason ? reason : warning ? warning : "");
  gtk_widget_set_visible (self->reason, reason || warning);
  if (self->what == NULL)
    return;
  fill_rows (self, had ? &before : NULL, &chosen);
  faint_what_if_work_set_source (self->work, self->what, self->data);
  ask (self);
}

static void
on_expanded (GtkExpander *expander, GParamSpec *pspec, FaintWhatIfBox *self)
{
  if (gtk_expander_get_expanded (expander))
    renew (self);
  else
    close_source (self);
}

static void
on_stated (GtkButton *button, FaintWhatIfBox *self)
{
  FaintWhatIfValues stated;

  if (self->what == NULL)
    return;
  stated = faint_what_if_stated (self->what);
  for (guint i = 0; i < FAINT_WHAT_IF_N; i++)
    if (!isnan (stated.value[i]))
      faint_what_if_row_set_value (row_of (self, i), stated.value[i]);
  ask (self);
}

/* The digits of a slider are nobody's: a value that was changed gets those that its uncertainty,
 * which stays, deserves. */
static void
round_changed (FaintSetup *setup, const FaintSetup *before)
{
  FaintQuantity *now[] = { &setup->mirror, &setup->tooth_detuning, &setup->pressure,
                           &setup->temperature, &setup->mole_fraction };
  const FaintQuantity *then[] = { &before->mirror, &before->tooth_detuning, &before->pressure,
                                  &before->temperature, &before->mole_fraction };

  for (guint i = 0; i < G_N_ELEMENTS (now); i++)
    if (faint_quantity_is_known (*now[i]) && now[i]->value != then[i]->value)
      now[i]->value = faint_quantity_rounded (*now[i]).value;
}

static void
on_take_over (GtkButton *button, FaintWhatIfBox *self)
{
  FaintWhatIfValues values;
  g_autoptr (FaintSetup) setup = NULL;
  g_autoptr (GError) error = NULL;

  if (self->what == NULL)
    return;
  values = chosen_values (self);
  setup = faint_what_if_setup (self->what, &values, NULL);
  round_changed (setup, faint_document_get_setup (self->document));
  if (faint_document_suppose_setup (self->document, setup, _ ("Take Over What If"), &error))
    faint_what_if_box_set_open (self, FALSE);
  else
    on_failed (NULL, error->message, self);
}

static void
on_back (GtkButton *button, FaintWhatIfBox *self)
{
  faint_what_if_box_set_open (self, FALSE);
}

static gboolean
on_key (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state,
        FaintWhatIfBox *self)
{
  if (keyval != GDK_KEY_Escape || !faint_what_if_box_get_open (self))
    return GDK_EVENT_PROPAGATE;
  faint_what_if_box_set_open (self, FALSE);
  return GDK_EVENT_STOP;
}

static GtkWidget *
add_button (GtkWidget *box, const char *words, const char *tooltip, GCallback clicked,
            FaintWhatIfBox *self)
{
  GtkWidget *button = gtk_button_new_with_label (words);

  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL, words,
                                  -1);
  gtk_widget_set_tooltip_text (button, tooltip);
  g_signal_connect (button, "clicked", clicked, self);
  gtk_box_append (GTK_BOX (box), button);
  return button;
}

static GtkWidget *
note_new (void)
{
  GtkWidget *label = gtk_label_new (NULL);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 36);
  gtk_widget_add_css_class (label, "note");
  gtk_widget_set_visible (label, FALSE);
  return label;
}

static void
build_content (FaintWhatIfBox *self)
{
  GtkWidget *buttons = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6), *held;

  self->content = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8);
  for (guint i = 0; i < FAINT_WHAT_IF_N; i++)
    {
      self->rows[i] = faint_what_if_row_new (_ (quantities[i].name), quantities[i].dimension);
      g_signal_connect_swapped (self->rows[i], "changed", G_CALLBACK (ask), self);
      gtk_box_append (GTK_BOX (self->content), self->rows[i]);
    }
  self->numbers = faint_what_if_numbers_new ();
  gtk_box_append (GTK_BOX (self->content), self->numbers);
  held = note_new ();
  gtk_label_set_text (GTK_LABEL (held),
                      _ ("With all lines and the baseline held as they are: a fit "
                         "under these values could come closer."));
  gtk_widget_set_visible (held, TRUE);
  gtk_box_append (GTK_BOX (self->content), held);
  self->kept = note_new ();
  gtk_box_append (GTK_BOX (self->content), self->kept);
  gtk_box_append (GTK_BOX (self->content), buttons);
  self->stated_button
      = add_button (buttons, _ ("Reset to Stated"), _ ("Sliders to the stated values"),
                    G_CALLBACK (on_stated), self);
  self->take_button
      = add_button (buttons, _ ("Take Over"), _ ("Make these values the setup; can be undone"),
                    G_CALLBACK (on_take_over), self);
  add_button (buttons, _ ("Leave"), _ ("Leave without a change"), G_CALLBACK (on_back), self);
}

static void
faint_what_if_box_dispose (GObject *object)
{
  FaintWhatIfBox *self = FAINT_WHAT_IF_BOX (object);
  GtkWidget *child;

  if (self->work)
    {
      g_signal_handlers_disconnect_by_data (self->work, self);
      faint_what_if_work_set_source (self->work, NULL, NULL);
    }
  g_clear_object (&self->work);
  g_clear_pointer (&self->what, faint_what_if_unref);
  g_clear_pointer (&self->data, faint_figure_data_unref);
  g_clear_pointer (&self->trace, faint_other_trace_unref);
  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self))))
    gtk_widget_unparent (child);
  g_clear_object (&self->document);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (faint_what_if_box_parent_class)->dispose (object);
}

static void
faint_what_if_box_class_init (FaintWhatIfBoxClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = faint_what_if_box_dispose;
  signals[TRACE_CHANGED] = g_signal_new ("trace-changed", G_TYPE_FROM_CLASS (klass),
                                         G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BOX_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "whatif");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
faint_what_if_box_init (FaintWhatIfBox *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8),
            *label = gtk_label_new (_ ("What If"));
  GtkEventController *key = gtk_event_controller_key_new ();

  self->work = faint_what_if_work_new ();
  g_signal_connect (self->work, "outcome", G_CALLBACK (on_outcome), self);
  g_signal_connect (self->work, "failed", G_CALLBACK (on_failed), self);
  self->expander = gtk_expander_new (NULL);
  gtk_orientable_set_orientation (
      GTK_ORIENTABLE (gtk_widget_get_layout_manager (GTK_WIDGET (self))), GTK_ORIENTATION_VERTICAL);
  gtk_widget_add_css_class (label, "section");
  gtk_widget_set_margin_start (label, 6);
  gtk_expander_set_label_widget (GTK_EXPANDER (self->expander), label);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->expander), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("What If"), -1);
  gtk_widget_set_margin_top (box, 8);
  self->reason = note_new ();
  gtk_box_append (GTK_BOX (box), self->reason);
  build_content (self);
  gtk_box_append (GTK_BOX (box), self->content);
  faint_pane_unfolds (self->expander, box);
  gtk_widget_set_parent (self->expander, GTK_WIDGET (self));
  gtk_widget_set_parent (box, GTK_WIDGET (self));
  g_signal_connect (self->expander, "notify::expanded", G_CALLBACK (on_expanded), self);
  g_signal_connect (key, "key-pressed", G_CALLBACK (on_key), self);
  gtk_widget_add_controller (GTK_WIDGET (self), key);
}

GtkWidget *
faint_what_if_box_new (FaintDocument *document, FaintSession *session)
{
  FaintWhatIfBox *self = g_object_new (FAINT_TYPE_WHAT_IF_BOX, NULL);

  self->document = g_object_ref (document);
  self->session = g_object_ref (session);
  g_signal_connect_object (session, "view-changed", G_CALLBACK (ask), self, G_CONNECT_SWAPPED);
  return GTK_WIDGET (self);
}

void
faint_what_if_box_set_data (FaintWhatIfBox *self, FaintFigureData *data)
{
  gboolean same;

  g_return_if_fail (FAINT_IS_WHAT_IF_BOX (self));
  same = data != NULL && self->data != NULL && data->spectrum == self->data->spectrum
         && data->fit == self->data->fit && (data->fit != NULL || data->lines == self->data->lines);
  if (data != NULL)
    faint_figure_data_ref (data);
  g_clear_pointer (&self->data, faint_figure_data_unref);
  self->data = data;
  if (!same)
    renew (self);
}

FaintOtherTrace *
faint_what_if_box_get_trace (FaintWhatIfBox *self)
{
  g_return_val_if_fail (FAINT_IS_WHAT_IF_BOX (self), NULL);
  return self->trace;
}

void
faint_what_if_box_set_open (FaintWhatIfBox *self, gboolean open)
{
  g_return_if_fail (FAINT_IS_WHAT_IF_BOX (self));
  gtk_expander_set_expanded (GTK_EXPANDER (self->expander), open);
  if (!open)
    return;
  for (guint i = 0; self->what != NULL && i < FAINT_WHAT_IF_N; i++)
    if (gtk_widget_get_visible (self->rows[i]))
      {
        gtk_widget_grab_focus (faint_what_if_row_get_slider (row_of (self, i)));
        return;
      }
}

gboolean
faint_what_if_box_get_open (FaintWhatIfBox *self)
{
  g_return_val_if_fail (FAINT_IS_WHAT_IF_BOX (self), FALSE);
  return gtk_expander_get_expanded (GTK_EXPANDER (self->expander));
}

GtkWidget *
faint_what_if_box_get_row (FaintWhatIfBox *self, FaintWhatIfQuantity quantity)
{
  return self->rows[quantity];
}

const char *
faint_what_if_box_get_number (FaintWhatIfBox *self, FaintWhatIfNumber row, gboolean now)
{
  return faint_what_if_numbers_get (self->numbers, row, now);
}

gboolean
faint_what_if_box_is_busy (FaintWhatIfBox *self)
{
  return faint_what_if_work_is_busy (self->work);
}
