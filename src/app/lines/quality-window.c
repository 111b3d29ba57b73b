/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A column view over copies of the fit's windows.
 */
#include "app/lines/quality-window.h"

#include <glib/gi18n.h>
#include <gsl/gsl_cdf.h>

#include "app/parts/text-column.h"

#define SIGNIFICANT 3.0  /* standard deviations */
#define RARE_WINDOW 1e-3 /* chance of a chi-square as large */
#define RARE 0.01        /* expected number of residuals as large as the largest */

/* One row. */
#define FAINT_TYPE_QUALITY_ITEM (faint_quality_item_get_type ())
G_DECLARE_FINAL_TYPE (FaintQualityItem, faint_quality_item, FAINT, QUALITY_ITEM, GObject)

struct _FaintQualityItem
{
  GObject parent;

  FaintFitWindow window;
};

G_DEFINE_FINAL_TYPE (FaintQualityItem, faint_quality_item, G_TYPE_OBJECT)

struct _FaintQualityWindow
{
  GtkWindow parent;

  FaintDocument *document;
  FaintSession *session;
  FaintFit *shown; /* kept, or NULL */
  GListStore *windows;
  GtkSingleSelection *selection; /* owned by the view */
  GtkColumnView *view;
  GtkWidget *stack, *stale, *summary;
};

G_DEFINE_FINAL_TYPE (FaintQualityWindow, faint_quality_window, GTK_TYPE_WINDOW)

typedef enum
{
  COLUMN_RANGE,
  COLUMN_LINES,
  COLUMN_CHI2,
  COLUMN_LARGER,
  COLUMN_RUNS,
  COLUMN_LAG1,
  COLUMN_LARGEST,
  COLUMN_REMARKS,
  N_COLUMNS
} Column;

static const struct
{
  const char *title, *format;
} columns[N_COLUMNS] = {
  [COLUMN_RANGE] = { N_ ("Window/cm⁻¹"), NULL },
  [COLUMN_LINES] = { N_ ("Lines"), "%.0f" },
  [COLUMN_CHI2] = { N_ ("χ²/ν"), "%.3f" },
  [COLUMN_LARGER] = { N_ ("Chance of larger"), "%.2g" },
  [COLUMN_RUNS] = { N_ ("Runs"), "%.2f" },
  [COLUMN_LAG1] = { N_ ("Lag 1"), "%.3f" },
  [COLUMN_LARGEST] = { N_ ("Largest"), "%.1f" },
  [COLUMN_REMARKS] = { N_ ("Remarks"), NULL },
};

static void
faint_quality_item_class_init (FaintQualityItemClass *klass)
{
}

static void
faint_quality_item_init (FaintQualityItem *self)
{
}

/* Reduced chi-square less 1, in standard deviations of chi-square: sqrt (2 dof). */
static double
excess (const FaintFitWindow *window)
{
  return (window->chi2 - window->dof) / sqrt (2 * window->dof);
}

double
faint_quality_chance (const FaintFitWindow *window)
{
  return window->dof > 0 && window->chi2 >= 0 ? gsl_cdf_chisq_Q (window->chi2, window->dof) : NAN;
}

char *
faint_quality_of_all_in_words (const FaintFitWindow *windows, gsize n)
{
  guint n_worse = 0, n_better = 0;
  char expected[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *worse = NULL;

  for (gsize i = 0; i < n; i++)
    {
      double chance = faint_quality_chance (&windows[i]);

      n_worse += chance < RARE_WINDOW;
      n_better += chance > 1 - RARE_WINDOW;
    }
  g_ascii_formatd (expected, sizeof expected, "%.2g", RARE_WINDOW * (double)n);
  if (n_worse + n_better == 0)
    return g_strdup_printf (ngettext ("%u window, as expected from the noise.",
                                      "All %u windows are as expected from the noise.", n),
                            (guint)n);
  /* Translators: two numbers of windows, and how many of them chance makes so */
  worse = g_strdup_printf (ngettext ("%u of %u window is worse than 1 in 1000; %s expected.",
                                     "%u of %u windows are worse than 1 in 1000; %s expected.", n),
                           n_worse, (guint)n, expected);
  if (n_better == 0)
    return g_steal_pointer (&worse);
  /* Translators: the sentence above, and a number of windows */
  return g_strdup_printf (
      ngettext ("%s %u is better than 1 in 1000: stated uncertainties too large?",
                "%s %u are better than 1 in 1000: stated uncertainties too large?", n_better),
      worse, n_better);
}

char *
faint_quality_in_words (const FaintFitWindow *window)
{
  GString *words = g_string_new (NULL);
  const struct
  {
    gboolean holds;
    const char *word;
  } remarks[] = {
    { excess (window) > SIGNIFICANT, N_ ("χ² too large") },
    { excess (window) < -SIGNIFICANT, N_ ("χ² too small") },
    { fabs (window->runs_z) > SIGNIFICANT
          || fabs (window->lag1) * sqrt ((double)window->n_used) > SIGNIFICANT,
      N_ ("residuals not random") },
    { 2 * (double)window->n_used * gsl_cdf_ugaussian_Q (window->largest) < RARE, N_ ("outlier") },
  };

  for (guint i = 0; i < G_N_ELEMENTS (remarks); i++)
    if (remarks[i].holds)
      g_string_append_printf (words, "%s%s", words->len > 0 ? ", " : "", _ (remarks[i].word));
  return g_string_free (words, FALSE);
}

static double
number_of (const FaintFitWindow *window, Column column)
{
  switch (column)
    {
    case COLUMN_RANGE:
      return window->lower;
    case COLUMN_LINES:
      return (double)window->n_lines;
    case COLUMN_CHI2:
      return window->chi2_reduced;
    case COLUMN_LARGER:
      return faint_quality_chance (window);
    case COLUMN_RUNS:
      return window->runs_z;
    case COLUMN_LAG1:
      return window->lag1;
    case COLUMN_LARGEST:
      return window->largest;
    default:
      return excess (window);
    }
}

static char *
text_of (const FaintFitWindow *window, Column column)
{
  char number[G_ASCII_DTOSTR_BUF_SIZE], second[G_ASCII_DTOSTR_BUF_SIZE];
  double value = number_of (window, column);

  if (column == COLUMN_REMARKS)
    return faint_quality_in_words (window);
  if (column == COLUMN_RANGE)
    return g_strdup_printf ("%s – %s", g_ascii_formatd (number, sizeof number, "%.3f", value),
                            g_ascii_formatd (second, sizeof second, "%.3f", window->upper));
  if (!isfinite (value))
    return g_strdup ("–");
  g_ascii_formatd (number, sizeof number, columns[column].format, fabs (value));
  return g_strconcat (value < 0 ? "−" : "", number, NULL);
}

/* Not known comes last. */
static int
compare (gconstpointer a, gconstpointer b, gpointer data)
{
  Column column = GPOINTER_TO_UINT (data);
  double x = number_of (&((FaintQualityItem *)a)->window, column);
  double y = number_of (&((FaintQualityItem *)b)->window, column);

  if (isnan (x) || isnan (y))
    return isnan (x) - isnan (y);
  return (x > y) - (x < y);
}

static void
fill_cell (GtkLabel *label, gpointer item, guint column)
{
  g_autofree char *text = text_of (&FAINT_QUALITY_ITEM (item)->window, column);

  gtk_label_set_text (label, text);
}

static void
fill (FaintQualityWindow *self, FaintFit *fit)
{
  gsize n = fit ? fit->n_windows : 0;
  g_autoptr (GPtrArray) items = g_ptr_array_new_with_free_func (g_object_unref);
  g_autofree char *summary = NULL;

  for (gsize i = 0; i < n; i++)
    {
      FaintQualityItem *item = g_object_new (FAINT_TYPE_QUALITY_ITEM, NULL);

      item->window = fit->windows[i];
      g_ptr_array_add (items, item);
    }
  g_list_store_splice (self->windows, 0, g_list_model_get_n_items (G_LIST_MODEL (self->windows)),
                       items->pdata, items->len);
  gtk_stack_set_visible_child_name (GTK_STACK (self->stack), n > 0 ? "table" : "empty");
  summary = fit ? faint_quality_of_all_in_words (fit->windows, n) : NULL;
  gtk_label_set_text (GTK_LABEL (self->summary), summary ? summary : "");
  gtk_widget_set_visible (self->summary, n > 0);
}

static void
update (FaintQualityWindow *self)
{
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);
  FaintFit *fit = faint_document_get_fit (self->document);

  gtk_widget_set_visible (self->stale, fit && !faint_analysis_fit_is_current (analysis));
  if (fit == self->shown)
    return;
  if (fit)
    faint_fit_ref (fit);
  g_clear_pointer (&self->shown, faint_fit_unref);
  self->shown = fit;
  fill (self, fit);
}

static void
on_changed (FaintDocument *document, guint change, FaintQualityWindow *self)
{
  update (self);
}

static void
on_activate (GtkColumnView *view, guint position, FaintQualityWindow *self)
{
  faint_quality_window_activate (self, position);
}

static gboolean
on_key (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state,
        FaintQualityWindow *self)
{
  if (keyval != GDK_KEY_Escape)
    return GDK_EVENT_PROPAGATE;
  gtk_window_close (GTK_WINDOW (self));
  return GDK_EVENT_STOP;
}

static void
faint_quality_window_dispose (GObject *object)
{
  FaintQualityWindow *self = FAINT_QUALITY_WINDOW (object);

  g_clear_pointer (&self->shown, faint_fit_unref);
  g_clear_object (&self->windows);
  g_clear_object (&self->document);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (faint_quality_window_parent_class)->dispose (object);
}

static void
faint_quality_window_class_init (FaintQualityWindowClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_quality_window_dispose;
}

static GtkWidget *
build_table (FaintQualityWindow *self)
{
  GtkWidget *scrolled = gtk_scrolled_window_new ();
  GtkSortListModel *sorted;

  self->view = GTK_COLUMN_VIEW (gtk_column_view_new (NULL));
  self->windows = g_list_store_new (FAINT_TYPE_QUALITY_ITEM);
  sorted = gtk_sort_list_model_new (g_object_ref (G_LIST_MODEL (self->windows)),
                                    g_object_ref (gtk_column_view_get_sorter (self->view)));
  self->selection = gtk_single_selection_new (G_LIST_MODEL (sorted));
  gtk_column_view_set_model (self->view, GTK_SELECTION_MODEL (self->selection));
  g_object_unref (self->selection);
  for (guint column = 0; column < N_COLUMNS; column++)
    {
      FaintTextColumnKind kind
          = column == COLUMN_REMARKS ? FAINT_TEXT_COLUMN_LAST_WORDS : FAINT_TEXT_COLUMN_NUMBERS;
      g_autoptr (GtkColumnViewColumn) view_column
          = faint_text_column_new (_ (columns[column].title), column, kind, fill_cell, compare);

      gtk_column_view_append_column (self->view, view_column);
      if (kind == FAINT_TEXT_COLUMN_NUMBERS)
        faint_text_column_title_to_right (self->view, view_column);
      if (column == COLUMN_CHI2)
        gtk_column_view_sort_by_column (self->view, view_column, GTK_SORT_DESCENDING);
    }
  gtk_widget_add_css_class (GTK_WIDGET (self->view), "data-table");
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->view), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Windows of the fit"), -1);
  g_signal_connect (self->view, "activate", G_CALLBACK (on_activate), self);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scrolled), GTK_WIDGET (self->view));
  gtk_widget_set_vexpand (scrolled, TRUE);
  return scrolled;
}

static GtkWidget *
note_new (const char *text)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_widget_add_css_class (label, "status");
  return label;
}

static void
faint_quality_window_init (FaintQualityWindow *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  GtkEventController *key = gtk_event_controller_key_new ();

  self->stack = gtk_stack_new ();
  gtk_stack_add_named (GTK_STACK (self->stack), build_table (self), "table");
  gtk_stack_add_named (GTK_STACK (self->stack),
                       gtk_label_new (_ ("Fit lines to see how good the fit is.")), "empty");
  self->summary = note_new (NULL);
  gtk_box_append (GTK_BOX (box), self->summary);
  self->stale = note_new (_ ("Lines, conditions or options were changed after this fit."));
  gtk_box_append (GTK_BOX (box), self->stack);
  gtk_box_append (GTK_BOX (box), self->stale);
  gtk_box_append (GTK_BOX (box),
                  note_new (_ ("Chance of a larger χ²/ν from noise alone. Runs test on the signs "
                               "of the residuals, in standard deviations: "
                               "negative where they stay on one side. Lag 1: correlation of "
                               "neighbours. Largest residual in standard uncertainties. A double "
                               "click or Enter shows the window in the plots.")));
  gtk_window_set_child (GTK_WINDOW (self), box);
  gtk_window_set_titlebar (GTK_WINDOW (self), gtk_header_bar_new ());
  gtk_window_set_title (GTK_WINDOW (self), _ ("Quality by Window"));
  gtk_window_set_default_size (GTK_WINDOW (self), 860, 560);
  g_signal_connect (key, "key-pressed", G_CALLBACK (on_key), self);
  gtk_widget_add_controller (GTK_WIDGET (self), key);
}

GtkWidget *
faint_quality_window_new (GtkWindow *parent, FaintDocument *document, FaintSession *session)
{
  FaintQualityWindow *self = g_object_new (FAINT_TYPE_QUALITY_WINDOW, "transient-for", parent,
                                           "destroy-with-parent", TRUE, NULL);

  self->document = g_object_ref (document);
  self->session = g_object_ref (session);
  g_signal_connect_object (document, "changed", G_CALLBACK (on_changed), self, 0);
  fill (self, NULL);
  update (self);
  return GTK_WIDGET (self);
}

guint
faint_quality_window_get_n (FaintQualityWindow *self)
{
  g_return_val_if_fail (FAINT_IS_QUALITY_WINDOW (self), 0);
  return g_list_model_get_n_items (G_LIST_MODEL (self->windows));
}

const FaintFitWindow *
faint_quality_window_get (FaintQualityWindow *self, guint row)
{
  g_autoptr (FaintQualityItem) item = NULL;

  g_return_val_if_fail (FAINT_IS_QUALITY_WINDOW (self), NULL);
  item = g_list_model_get_item (G_LIST_MODEL (self->selection), row);
  /* the store keeps it */
  return item ? &item->window : NULL;
}

void
faint_quality_window_activate (FaintQualityWindow *self, guint row)
{
  const FaintFitWindow *window = faint_quality_window_get (self, row);

  if (window)
    faint_session_set_view (self->session, window->lower, window->upper);
}
