/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/review/review-pane.h"

#include <glib/gi18n.h>
#include <math.h>

#include "app/parts/chosen-path.h"
#include "app/parts/kept-words.h"
#include "app/review/errors-view.h"
#include "app/parts/number-spin.h"
#include "app/parts/pane.h"
#include "app/parts/quantity-text.h"
#include "app/review/review-words.h"
#include "faint/review/compared.h"
#include "app/data/samples.h"

struct _FaintReviewPane
{
  GtkBox parent;

  FaintDocument *document;
  FaintReviewer *reviewer;
  FaintSession *session;
  GtkFileChooserNative *dialog; /* the one that is open, or NULL */
  GtkWidget *claimed, *error, *samples;
  GtkWidget *partial, *confidence, *coverage;
  GtkWidget *result, *outcome, *counts, *findings, *stale, *errors;
  GtkWidget *line_section, *line_words, *values;
  gboolean filling; /* controls are being set */
};

enum
{
  ONLY_DIFFERENT,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintReviewPane, faint_review_pane, GTK_TYPE_BOX)

static void
say (FaintReviewPane *self, const char *text)
{
  gtk_label_set_text (GTK_LABEL (self->error), text ? text : "");
  gtk_widget_set_visible (self->error, text != NULL);
}

static char *
claimed_in_words (const FaintListFile *claimed)
{
  g_autofree char *name = NULL, *lines = NULL;
  guint n;

  if (claimed == NULL)
    return g_strdup (_ ("Open a line list to hold it against the spectrum."));
  name = g_path_get_basename (claimed->path);
  n = (guint)faint_line_list_get_n (claimed->lines);
  lines = g_strdup_printf (ngettext ("%u line", "%u lines", n), n);
  return g_strdup_printf ("%s: %s", name, lines);
}

static void
clear_box (GtkWidget *box)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (box)) != NULL)
    gtk_box_remove (GTK_BOX (box), child);
}

static GtkWidget *
add_paragraph (GtkWidget *box, const char *text, const char *style)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 36);
  gtk_label_set_selectable (GTK_LABEL (label), TRUE);
  gtk_widget_set_can_focus (label, FALSE);
  if (style)
    gtk_widget_add_css_class (label, style);
  gtk_box_append (GTK_BOX (box), label);
  return label;
}

/* What the review says, which is English. */
static void
add_kept (GtkWidget *box, const char *english, const char *style)
{
  g_autofree char *words = faint_shown_words (english), *begin = NULL;
  char letter[7] = "";

  /* a sentence of its own here */
  g_unichar_to_utf8 (g_unichar_toupper (g_utf8_get_char (words)), letter);
  begin = *words != '\0' ? g_strconcat (letter, g_utf8_next_char (words), NULL) : g_strdup ("");
  add_paragraph (box, begin, style);
}

/* Such a fault is told already, with its causes. */
static gboolean
is_systematic (const FaintReview *review, const char *fault)
{
  for (guint i = 0; i < review->systematic->len; i++)
    if (g_str_equal (((FaintSystematic *)g_ptr_array_index (review->systematic, i))->words, fault))
      return TRUE;
  return FALSE;
}

/* What the whole list has in common comes first, with what would explain it. */
static void
fill_findings (FaintReviewPane *self, const FaintReview *review)
{
  clear_box (self->findings);
  for (guint i = 0; i < review->systematic->len; i++)
    {
      const FaintSystematic *it = g_ptr_array_index (review->systematic, i);

      add_kept (self->findings, it->words, "finding");
      for (guint k = 0; k < it->causes->len; k++)
        add_kept (self->findings,
                  ((const FaintSystematicCause *)g_ptr_array_index (it->causes, k))->words, "note");
    }
  for (guint i = 0; i < review->faults->len; i++)
    if (!is_systematic (review, g_ptr_array_index (review->faults, i)))
      add_kept (self->findings, g_ptr_array_index (review->faults, i), NULL);
  for (guint i = 0; i < review->warnings->len; i++)
    add_kept (self->findings, ((const FaintWarning *)g_ptr_array_index (review->warnings, i))->text,
              "note");
}

static void
fill_result (FaintReviewPane *self, FaintReview *review)
{
  g_autofree char *counts = NULL, *beyond = NULL;
  char expected[G_ASCII_DTOSTR_BUF_SIZE], claims[G_ASCII_DTOSTR_BUF_SIZE];
  char refit[G_ASCII_DTOSTR_BUF_SIZE];

  gtk_widget_set_visible (self->result, review != NULL);
  gtk_widget_set_visible (self->errors, review != NULL);
  faint_errors_view_set (FAINT_ERRORS_VIEW (self->errors), review);
  if (review == NULL)
    return;
  counts = faint_review_counts_in_words (review);
  g_ascii_formatd (expected, sizeof expected, "%.1f", review->beyond_expected);
  g_ascii_formatd (claims, sizeof claims, "%.4g", review->chi2_claimed / review->dof_claimed);
  g_ascii_formatd (refit, sizeof refit, "%.4g", review->chi2_refitted / review->dof_refitted);
  beyond = g_strdup_printf (
      /* Translators: counts by verdict; numbers of values, the last what honest claims would have
         on average; reduced chi-square of both models */
      _ ("%s. Of %zu values %zu have |Eₙ| above 1; honest claims would have about %s. χ²/ν is %s "
         "with the claims, %s refitted."),
      counts, review->n_values, review->n_beyond, expected, claims, refit);
  gtk_label_set_text (GTK_LABEL (self->outcome),
                      review->passed ? _ ("✓ The list passes") : _ ("✗ The list fails"));
  gtk_label_set_text (GTK_LABEL (self->counts), beyond);
  gtk_widget_set_visible (self->stale, !faint_reviewer_is_current (self->reviewer));
  fill_findings (self, review);
}

static void
add_cell (GtkWidget *grid, const char *text, int column, int row)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), column == 0 ? 0 : 1);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_widget_add_css_class (label, row == 0 || column == 0 ? "row-name" : "numeric");
  if (row > 0 && column > 0)
    gtk_widget_set_direction (label, GTK_TEXT_DIR_LTR); /* digits, wherever words go */
  gtk_grid_attach (GTK_GRID (grid), label, column, row, 1, 1);
}

static char *
measured (double value, double u)
{
  return isfinite (value) ? faint_true_minus (faint_format_concise (value, u)) : g_strdup ("–");
}

static char *
normalised (double en)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE];

  return isfinite (en)
             ? faint_true_minus (g_strdup (g_ascii_formatd (text, sizeof text, "%.2f", en)))
             : g_strdup ("–");
}

/* With its unit; what a coefficient is called has it already. */
static char *
name_of (guint parameter)
{
  const char *name = faint_review_parameter_in_words (parameter);

  switch (parameter)
    {
    case FAINT_PLACE_STRENGTH:
    case FAINT_COMPARED_STRENGTH_296:
      return g_strdup_printf ("%s/(%s)", name, _ ("cm/molecule"));
    case FAINT_PLACE_POSITION:
    case FAINT_PLACE_LORENTZ:
    case FAINT_PLACE_DOPPLER:
    case FAINT_COMPARED_LOWER_ENERGY:
      return g_strdup_printf ("%s/cm⁻¹", name);
    default:
      return g_strdup (name);
    }
}

/* Claimed over refitted, and the normalised error. */
static void
fill_values (FaintReviewPane *self, const FaintReviewLine *line)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (self->values)) != NULL)
    gtk_grid_remove (GTK_GRID (self->values), child);
  add_cell (self->values, "", 0, 0);
  add_cell (self->values, _ ("Claimed, refitted"), 1, 0);
  add_cell (self->values, "Eₙ", 2, 0);
  for (guint i = 0; i < line->values->len; i++)
    {
      const FaintReviewValue *value = &g_array_index (line->values, FaintReviewValue, i);
      g_autofree char *claimed = measured (value->claimed, value->u_claimed);
      g_autofree char *refitted = measured (value->refitted, value->u_refitted);
      g_autofree char *both = g_strdup_printf ("%s\n%s", claimed, refitted);
      g_autofree char *name = name_of (value->parameter);
      g_autofree char *en = normalised (value->stated.en);

      add_cell (self->values, name, 0, (int)i + 1);
      add_cell (self->values, both, 1, (int)i + 1);
      add_cell (self->values, en, 2, (int)i + 1);
    }
}

static void
update_line (FaintReviewPane *self)
{
  FaintReview *review = faint_reviewer_get_result (self->reviewer);
  guint number = faint_session_get_stage (self->session) == FAINT_STAGE_REVIEW
                     ? faint_session_get_selected (self->session)
                     : 0;
  const FaintReviewLine *line = review && number > 0 && number <= review->lines->len
                                    ? g_ptr_array_index (review->lines, number - 1)
                                    : NULL;
  g_autofree char *words = NULL;

  gtk_widget_set_visible (self->line_section, line != NULL);
  faint_errors_view_set_selected (FAINT_ERRORS_VIEW (self->errors), line ? number : 0);
  if (line == NULL)
    return;
  words = faint_shown_words (line->words);
  gtk_label_set_text (GTK_LABEL (self->line_words), words);
  fill_values (self, line);
}

static void
on_point_chosen (FaintErrorsView *view, guint number, FaintReviewPane *self)
{
  faint_session_set_selected (self->session, number);
}

static void
update (FaintReviewPane *self)
{
  const FaintListFile *claimed = faint_reviewer_get_claimed (self->reviewer);
  FaintReviewOptions options = faint_reviewer_get_options (self->reviewer);
  g_autofree char *words = claimed_in_words (claimed);

  self->filling = TRUE;
  gtk_label_set_text (GTK_LABEL (self->claimed), words);
  gtk_check_button_set_active (GTK_CHECK_BUTTON (self->partial), options.partial);
  gtk_spin_button_set_value (GTK_SPIN_BUTTON (self->confidence), options.confidence);
  gtk_spin_button_set_value (GTK_SPIN_BUTTON (self->coverage), options.coverage);
  self->filling = FALSE;
  say (self, faint_reviewer_get_problem (self->reviewer));
  fill_result (self, faint_reviewer_get_result (self->reviewer));
  update_line (self);
}

static void
on_option (FaintReviewPane *self)
{
  FaintReviewOptions options = faint_reviewer_get_options (self->reviewer);

  if (self->filling)
    return;
  options.partial = gtk_check_button_get_active (GTK_CHECK_BUTTON (self->partial));
  options.confidence = gtk_spin_button_get_value (GTK_SPIN_BUTTON (self->confidence));
  options.coverage = gtk_spin_button_get_value (GTK_SPIN_BUTTON (self->coverage));
  faint_reviewer_set_options (self->reviewer, &options);
}

static void
on_only (GtkCheckButton *button, FaintReviewPane *self)
{
  g_signal_emit (self, signals[ONLY_DIFFERENT], 0, gtk_check_button_get_active (button));
}

gboolean
faint_review_pane_read_claimed (FaintReviewPane *self, const char *path)
{
  g_autoptr (GError) error = NULL;
  gboolean known;

  g_return_val_if_fail (FAINT_IS_REVIEW_PANE (self), FALSE);
  known = faint_reviewer_read (self->reviewer, path, &error);
  if (!known)
    say (self, error->message);
  return known;
}

static void
on_response (GtkNativeDialog *dialog, int response, FaintReviewPane *self)
{
  const char *said;
  g_autofree char *path = faint_chosen_path (dialog, response, &said);

  g_clear_object (&self->dialog);
  if (path != NULL)
    faint_review_pane_read_claimed (self, path);
  else if (said != NULL)
    say (self, said);
}

static void
add_filter (FaintReviewPane *self, const char *name, const char *const *patterns)
{
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();

  gtk_file_filter_set_name (filter, name);
  for (; *patterns; patterns++)
    gtk_file_filter_add_pattern (filter, *patterns);
  gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (self->dialog), filter);
}

static void
on_open (GtkButton *button, FaintReviewPane *self)
{
  static const char *const lists[]
      = { "*.csv", "*.record", "*.vot", "*.json", "*.csv.gz", "*.vot.gz", NULL };
  static const char *const all[] = { "*", NULL };
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));

  g_clear_object (&self->dialog);
  self->dialog = gtk_file_chooser_native_new (_ ("Open Claimed List"), GTK_WINDOW (root),
                                              GTK_FILE_CHOOSER_ACTION_OPEN, NULL, NULL);
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->dialog), TRUE);
  add_filter (self, _ ("Line lists"), lists);
  add_filter (self, _ ("All files"), all);
  g_signal_connect (self->dialog, "response", G_CALLBACK (on_response), self);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->dialog));
}

static void
on_sample (GtkButton *button, FaintReviewPane *self)
{
  faint_review_pane_read_claimed (self, faint_sample_button_get_path (button));
}

static void
add_samples (FaintReviewPane *self, GtkWidget *grid)
{
  g_autoptr (GPtrArray) samples = faint_samples_find_claimed ();

  self->samples = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  for (guint i = 0; i < samples->len; i++)
    {
      const FaintSample *sample = g_ptr_array_index (samples, i);
      GtkWidget *button = faint_sample_button_new (sample, sample->title, NULL,
                                                   _ ("A sample list, with invented faults"));

      g_signal_connect (button, "clicked", G_CALLBACK (on_sample), self);
      gtk_box_append (GTK_BOX (self->samples), button);
    }
  if (samples->len > 0)
    faint_pane_row (grid, _ ("Samples"), self->samples);
  else
    g_object_unref (g_object_ref_sink (self->samples));
}

static void
build_claimed (FaintReviewPane *self)
{
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("Claimed list"));
  GtkWidget *open = gtk_button_new_with_label (_ ("Open Claimed List…")), *review;

  self->claimed = faint_pane_note (grid, "");
  g_signal_connect (open, "clicked", G_CALLBACK (on_open), self);
  gtk_accessible_update_property (GTK_ACCESSIBLE (open), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Open Claimed List…"), -1);
  faint_pane_wide (grid, open);
  self->error = faint_pane_note (grid, "");
  gtk_widget_add_css_class (self->error, "error");
  gtk_widget_set_visible (self->error, FALSE);
  add_samples (self, grid);
  self->partial = gtk_check_button_new_with_label (_ ("Claims some lines only"));
  gtk_widget_set_tooltip_text (self->partial,
                               _ ("What the list lacks is told, but is no fault of it"));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->partial), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Claims some lines only"), -1);
  faint_pane_wide (grid, self->partial);
  self->confidence = faint_number_spin_new (_ ("Confidence"), 0.5, 0.999999, 0.01, 3);
  gtk_widget_set_tooltip_text (self->confidence, _ ("Of all verdicts together"));
  faint_pane_row (grid, _ ("Confidence"), faint_number_spin_with_words (self->confidence));
  self->coverage = faint_number_spin_new (_ ("Coverage factor k"), 1.0, 4.0, 0.1, 2);
  gtk_widget_set_tooltip_text (self->coverage,
                               _ ("Of the expanded uncertainties in the normalised errors"));
  faint_pane_row (grid, _ ("Coverage factor k"), faint_number_spin_with_words (self->coverage));
  g_signal_connect_swapped (self->partial, "toggled", G_CALLBACK (on_option), self);
  g_signal_connect_swapped (self->confidence, "value-changed", G_CALLBACK (on_option), self);
  g_signal_connect_swapped (self->coverage, "value-changed", G_CALLBACK (on_option), self);
  review = faint_pane_button (_ ("_Review"), "win.review");
  gtk_widget_add_css_class (review, "suggested-action");
  faint_pane_wide (grid, review);
}

static void
build_result (FaintReviewPane *self)
{
  GtkWidget *only = gtk_check_button_new_with_label (_ ("Only what differs"));

  self->result = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8);
  self->outcome = add_paragraph (self->result, "", "section");
  self->stale = add_paragraph (
      self->result, _ ("Spectrum, setup or options were changed after this review."), "note");
  self->counts = add_paragraph (self->result, "", NULL);
  self->findings = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  gtk_box_append (GTK_BOX (self->result), self->findings);
  gtk_accessible_update_property (GTK_ACCESSIBLE (only), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Only what differs"), -1);
  g_signal_connect (only, "toggled", G_CALLBACK (on_only), self);
  gtk_box_append (GTK_BOX (self->result), only);
  gtk_box_append (GTK_BOX (self->result), faint_pane_button (_ ("_Sign Off…"), "win.sign-off"));
  self->errors = faint_errors_view_new ();
  g_signal_connect (self->errors, "line-chosen", G_CALLBACK (on_point_chosen), self);
  gtk_box_append (GTK_BOX (self), self->result);
}

static void
build_line (FaintReviewPane *self)
{
  GtkWidget *grid = faint_pane_section (GTK_WIDGET (self), _ ("Selected line"));

  self->line_section = gtk_widget_get_parent (grid);
  self->line_words = faint_pane_note (grid, "");
  self->values = gtk_grid_new ();
  gtk_grid_set_column_spacing (GTK_GRID (self->values), 12);
  gtk_grid_set_row_spacing (GTK_GRID (self->values), 4);
  faint_pane_wide (grid, self->values);
}

static void
faint_review_pane_dispose (GObject *object)
{
  FaintReviewPane *self = FAINT_REVIEW_PANE (object);

  g_clear_object (&self->dialog);
  g_clear_object (&self->document);
  g_clear_object (&self->reviewer);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (faint_review_pane_parent_class)->dispose (object);
}

static void
faint_review_pane_class_init (FaintReviewPaneClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_review_pane_dispose;
  signals[ONLY_DIFFERENT]
      = g_signal_new ("only-different", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                      NULL, G_TYPE_NONE, 1, G_TYPE_BOOLEAN);
}

static void
faint_review_pane_init (FaintReviewPane *self)
{
  faint_pane_prepare (GTK_BOX (self));
}

GtkWidget *
faint_review_pane_new (FaintDocument *document, FaintSession *session)
{
  FaintReviewPane *self = g_object_new (FAINT_TYPE_REVIEW_PANE, NULL);

  self->document = g_object_ref (document);
  self->session = g_object_ref (session);
  self->reviewer = g_object_ref (faint_reviewer_of (document));
  build_claimed (self);
  build_result (self);
  build_line (self);
  gtk_box_append (GTK_BOX (self), self->errors);
  g_signal_connect_object (self->reviewer, "changed", G_CALLBACK (update), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (session, "selection-changed", G_CALLBACK (update_line), self,
                           G_CONNECT_SWAPPED);
  update (self);
  return GTK_WIDGET (self);
}

char *
faint_review_pane_get_findings (FaintReviewPane *self)
{
  GString *text = g_string_new (NULL);

  g_return_val_if_fail (FAINT_IS_REVIEW_PANE (self), NULL);
  for (GtkWidget *child = gtk_widget_get_first_child (self->findings); child;
       child = gtk_widget_get_next_sibling (child))
    g_string_append_printf (text, "%s\n", gtk_label_get_text (GTK_LABEL (child)));
  return g_string_free (text, FALSE);
}
