/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The document's state and its edits. Every edit makes a new snapshot.
 */
#include "app/document/document-private.h"

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "faint/base/date.h"

enum
{
  PROP_PATH = 1,
  PROP_MODIFIED,
  PROP_JOB,
  PROP_UNDO_LABEL,
  PROP_REDO_LABEL,
  N_PROPS
};
static GParamSpec *properties[N_PROPS];

enum
{
  CHANGED,
  FAILED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintDocument, faint_document, G_TYPE_OBJECT)

/* What differs of spectrum @i. */
static guint
difference_at (const FaintAnalysis *before, const FaintAnalysis *after, gsize i)
{
  const FaintSpectrum *a = faint_analysis_get_spectrum_at (before, i);
  const FaintSpectrum *b = faint_analysis_get_spectrum_at (after, i);
  guint change = 0;

  if (a != b)
    change |= FAINT_CHANGE_SPECTRUM;
  if (a->setup != b->setup)
    change |= FAINT_CHANGE_SETUP;
  if (faint_analysis_get_fit_at (before, i) != faint_analysis_get_fit_at (after, i))
    change |= FAINT_CHANGE_FIT;
  return change;
}

static gboolean
other_levels (const FaintAnalysisLevels *a, const FaintAnalysisLevels *b)
{
  return a->levels != b->levels || g_strcmp0 (a->path, b->path) != 0
         || g_strcmp0 (a->free_constants, b->free_constants) != 0;
}

static gboolean
other_number (double a, double b)
{
  return a != b && !(isnan (a) && isnan (b));
}

static gboolean
other_claims (const FaintAnalysisClaims *a, const FaintAnalysisClaims *b)
{
  return g_strcmp0 (a->path, b->path) != 0 || strcmp (a->sha256, b->sha256) != 0
         || a->partial != b->partial || other_number (a->confidence, b->confidence)
         || other_number (a->coverage, b->coverage) || other_number (a->temperature, b->temperature)
         || other_number (a->pressure, b->pressure);
}

static guint
difference (const FaintAnalysis *before, const FaintAnalysis *after)
{
  guint change = 0;

  if (before == NULL || after == NULL)
    return FAINT_CHANGE_SPECTRUM | FAINT_CHANGE_SETUP | FAINT_CHANGE_LINES | FAINT_CHANGE_FIT
           | FAINT_CHANGE_OPTIONS | FAINT_CHANGE_LEVELS | FAINT_CHANGE_CLAIMS;
  if (faint_analysis_get_n_spectra (before) != faint_analysis_get_n_spectra (after))
    change |= FAINT_CHANGE_SPECTRUM | FAINT_CHANGE_SETUP | FAINT_CHANGE_FIT;
  else
    for (gsize i = 0; i < faint_analysis_get_n_spectra (after); i++)
      change |= difference_at (before, after, i);
  if (faint_analysis_get_lines (before) != faint_analysis_get_lines (after))
    change |= FAINT_CHANGE_LINES;
  if (faint_analysis_fit_is_current (before) != faint_analysis_fit_is_current (after))
    change |= FAINT_CHANGE_FIT;
  if (faint_analysis_get_options (before) != faint_analysis_get_options (after))
    change |= FAINT_CHANGE_OPTIONS;
  if (other_levels (faint_analysis_get_levels (before), faint_analysis_get_levels (after)))
    change |= FAINT_CHANGE_LEVELS;
  if (other_claims (faint_analysis_get_claims (before), faint_analysis_get_claims (after)))
    change |= FAINT_CHANGE_CLAIMS;
  return change;
}

static void
replace_snapshot (FaintAnalysis **place, FaintAnalysis *analysis)
{
  if (analysis)
    faint_analysis_ref (analysis);
  g_clear_pointer (place, faint_analysis_unref);
  *place = analysis;
}

/* One step of the history; what it changed goes into the record, or @told in its place, and @remark
 * around it, a format of one string; either may be NULL. */
static void
push (FaintDocument *self, FaintAnalysis *analysis, const char *label, const char *merge_key,
      const char *told, const char *remark)
{
  FaintAnalysis *origin = faint_history_origin (self->history, merge_key);
  g_autofree char *date = faint_date_now ();
  g_autofree char *change
      = told ? g_strdup (told) : faint_analysis_describe_change (origin, self->analysis, analysis);
  g_autofree char *text
      = remark != NULL && *change ? g_strdup_printf (remark, change) : g_strdup (change);
  g_autoptr (FaintAnalysis) recorded = faint_analysis_with_change (analysis, origin, date, text);

  _faint_document_stop (self);
  faint_history_push (self->history, label, merge_key, recorded);
  _faint_document_take (self, recorded, 0);
}

void
_faint_document_push (FaintDocument *self, FaintAnalysis *analysis, const char *label,
                      const char *merge_key)
{
  push (self, analysis, label, merge_key, NULL, NULL);
}

/* The same, and the fit that follows it. */
static void
edit (FaintDocument *self, FaintAnalysis *analysis, const char *label, const char *merge_key)
{
  _faint_document_push (self, analysis, label, merge_key);
  _faint_document_follow (self);
}

void
_faint_document_edit_lines (FaintDocument *self, FaintLineList *lines, const char *label,
                            const char *merge_key)
{
  g_autoptr (FaintAnalysis) analysis = faint_analysis_with_lines (self->analysis, lines);

  edit (self, analysis, label, merge_key);
}

char *
_faint_document_label_of_line (const char *format, double wavenumber)
{
  char number[G_ASCII_DTOSTR_BUF_SIZE];

  g_ascii_formatd (number, sizeof number, "%.3f", wavenumber);
  return g_strdup_printf (format, number);
}

static void
step (FaintDocument *self, FaintAnalysis *(*go) (FaintHistory *))
{
  FaintAnalysis *state;

  if (self->analysis == NULL)
    return;
  _faint_document_stop (self);
  state = go (self->history);
  if (state == NULL)
    return;
  _faint_document_take (self, state, 0);
  _faint_document_follow (self);
}

static void
faint_document_finalize (GObject *object)
{
  FaintDocument *self = FAINT_DOCUMENT (object);

  g_clear_handle_id (&self->follow_source, g_source_remove);
  _faint_document_forget (self);
  g_clear_pointer (&self->analysis, faint_analysis_unref);
  g_clear_pointer (&self->saved, faint_analysis_unref);
  g_clear_pointer (&self->history, faint_history_free);
  g_clear_object (&self->job);
  g_clear_pointer (&self->bands, g_ptr_array_unref);
  g_clear_pointer (&self->record, g_free);
  g_free (self->path);
  G_OBJECT_CLASS (faint_document_parent_class)->finalize (object);
}

static void
faint_document_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  FaintDocument *self = FAINT_DOCUMENT (object);

  switch (id)
    {
    case PROP_PATH:
      g_value_set_string (value, self->path);
      break;
    case PROP_MODIFIED:
      g_value_set_boolean (value, faint_document_get_modified (self));
      break;
    case PROP_JOB:
      g_value_set_object (value, self->job);
      break;
    case PROP_UNDO_LABEL:
      g_value_set_string (value, faint_document_get_undo_label (self));
      break;
    case PROP_REDO_LABEL:
      g_value_set_string (value, faint_document_get_redo_label (self));
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static GParamSpec *
text_property (const char *name)
{
  return g_param_spec_string (name, NULL, NULL, NULL, G_PARAM_READABLE | G_PARAM_STATIC_STRINGS);
}

static void
faint_document_class_init (FaintDocumentClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);

  object_class->finalize = faint_document_finalize;
  object_class->get_property = faint_document_get_property;

  properties[PROP_PATH] = text_property ("path");
  properties[PROP_MODIFIED] = g_param_spec_boolean ("modified", NULL, NULL, FALSE,
                                                    G_PARAM_READABLE | G_PARAM_STATIC_STRINGS);
  properties[PROP_JOB] = g_param_spec_object ("job", NULL, NULL, FAINT_TYPE_JOB,
                                              G_PARAM_READABLE | G_PARAM_STATIC_STRINGS);
  properties[PROP_UNDO_LABEL] = text_property ("undo-label");
  properties[PROP_REDO_LABEL] = text_property ("redo-label");
  g_object_class_install_properties (object_class, N_PROPS, properties);

  signals[CHANGED] = g_signal_new ("changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                   NULL, NULL, G_TYPE_NONE, 1, G_TYPE_UINT);
  signals[FAILED] = g_signal_new ("failed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                  NULL, NULL, G_TYPE_NONE, 2, G_TYPE_STRING, G_TYPE_STRING);
}

static void
faint_document_init (FaintDocument *self)
{
  self->history = faint_history_new ();
  self->copy_delay = 10;
}

void
_faint_document_take (FaintDocument *self, FaintAnalysis *analysis, guint extra)
{
  guint change = difference (self->analysis, analysis) | extra;
  gboolean was_modified = faint_document_get_modified (self);

  replace_snapshot (&self->analysis, analysis);
  if (change & FAINT_CHANGE_OPENED)
    self->shown = 0;
  _faint_document_notify_history (self);
  _faint_document_tell (self, change);
  _faint_document_keep (self);
  if (was_modified != faint_document_get_modified (self))
    g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_MODIFIED]);
}

void
_faint_document_tell (FaintDocument *self, guint change)
{
  g_signal_emit (self, signals[CHANGED], 0, change);
}

void
_faint_document_set_path (FaintDocument *self, const char *path)
{
  if (g_strcmp0 (path, self->path) == 0)
    return;
  g_free (self->path);
  self->path = g_strdup (path);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_PATH]);
}

void
_faint_document_set_saved (FaintDocument *self, FaintAnalysis *analysis)
{
  gboolean was_modified = faint_document_get_modified (self);

  replace_snapshot (&self->saved, analysis);
  _faint_document_keep (self);
  if (was_modified != faint_document_get_modified (self))
    g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_MODIFIED]);
}

void
_faint_document_set_job (FaintDocument *self, FaintJob *job)
{
  if (g_set_object (&self->job, job))
    g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_JOB]);
}

void
_faint_document_notify_history (FaintDocument *self)
{
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_UNDO_LABEL]);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_REDO_LABEL]);
}

void
_faint_document_fail (FaintDocument *self, const char *heading, const char *text)
{
  g_signal_emit (self, signals[FAILED], 0, heading, text);
}

FaintDocument *
faint_document_new (void)
{
  return g_object_new (FAINT_TYPE_DOCUMENT, NULL);
}

FaintAnalysis *
faint_document_get_analysis (FaintDocument *self)
{
  g_return_val_if_fail (FAINT_IS_DOCUMENT (self), NULL);
  return self->analysis;
}

FaintLineList *
faint_document_get_lines (FaintDocument *self)
{
  g_return_val_if_fail (FAINT_IS_DOCUMENT (self), NULL);
  return self->analysis ? faint_analysis_get_lines (self->analysis) : NULL;
}

const FaintLine *
faint_document_get_line (FaintDocument *self, guint id)
{
  FaintLineList *lines = faint_document_get_lines (self);

  return lines && id > 0 ? faint_line_list_find (lines, id) : NULL;
}

const char *
faint_document_get_path (FaintDocument *self)
{
  g_return_val_if_fail (FAINT_IS_DOCUMENT (self), NULL);
  return self->path;
}

char *
faint_document_get_title (FaintDocument *self)
{
  const char *title = self->analysis ? faint_analysis_get_title (self->analysis) : NULL;

  if (title && *title)
    return g_strdup (title);
  if (self->path)
    return g_path_get_basename (self->path);
  return g_strdup (_ ("Faintline"));
}

gboolean
faint_document_get_modified (FaintDocument *self)
{
  g_return_val_if_fail (FAINT_IS_DOCUMENT (self), FALSE);
  return self->analysis != NULL && self->analysis != self->saved;
}

const char *
faint_document_get_changed_input (FaintDocument *self)
{
  gsize n = 0;
  const FaintAnalysisInput *inputs;

  g_return_val_if_fail (FAINT_IS_DOCUMENT (self), NULL);
  inputs = self->analysis ? faint_analysis_get_inputs (self->analysis, &n) : NULL;
  for (gsize i = 0; i < n; i++)
    if (inputs[i].changed)
      return inputs[i].path;
  return NULL;
}

FaintJob *
faint_document_get_job (FaintDocument *self)
{
  g_return_val_if_fail (FAINT_IS_DOCUMENT (self), NULL);
  return self->job;
}

static gboolean
edit_setup (FaintDocument *self, FaintSetup *setup, const char *label, const char *remark,
            GError **error)
{
  g_autoptr (FaintAnalysis) analysis = NULL;

  g_return_val_if_fail (self->analysis != NULL, FALSE);
  analysis = faint_analysis_with_setup_at (self->analysis, faint_document_get_shown (self), setup,
                                           error);
  if (analysis == NULL)
    return FALSE;
  push (self, analysis, label, NULL, NULL, remark);
  _faint_document_follow (self);
  return TRUE;
}

gboolean
faint_document_edit_setup (FaintDocument *self, FaintSetup *setup, const char *label,
                           GError **error)
{
  return edit_setup (self, setup, label, NULL, error);
}

gboolean
faint_document_suppose_setup (FaintDocument *self, FaintSetup *setup, const char *label,
                              GError **error)
{
  return edit_setup (self, setup, label,
                     N_ ("%s (supposed, not measured; stated uncertainties are kept)"), error);
}

gboolean
faint_document_set_option (FaintDocument *self, const char *key, const char *text,
                           const char *label, GError **error)
{
  FaintFitOptions options;
  g_autoptr (FaintAnalysis) analysis = NULL;
  g_autofree char *merge_key = g_strdup_printf ("option %s", label);
  gboolean known = FALSE;

  g_return_val_if_fail (self->analysis != NULL, FALSE);
  options = *faint_analysis_get_options (self->analysis);
  if (!faint_fit_options_set (&options, key, text, &known, error))
    return FALSE;
  analysis = faint_analysis_with_options (self->analysis, &options);
  _faint_document_push (self, analysis, label, merge_key);
  return TRUE;
}

guint
faint_document_add_line (FaintDocument *self, double wavenumber)
{
  FaintLine line = faint_line_unknown ();
  g_autoptr (FaintLineList) lines = NULL;
  g_autofree char *label = NULL;
  guint id = 0;

  g_return_val_if_fail (FAINT_IS_DOCUMENT (self), 0);
  if (self->analysis == NULL || !isfinite (wavenumber))
    return 0;
  line.position.value = wavenumber;
  lines = faint_line_list_with_added (faint_analysis_get_lines (self->analysis), &line, &id);
  label = _faint_document_label_of_line (_ ("Add Line %s"), wavenumber);
  _faint_document_edit_lines (self, lines, label, NULL);
  return id;
}

void
faint_document_remove_lines (FaintDocument *self, const guint *ids, gsize n)
{
  const FaintLine *first;
  g_autoptr (FaintLineList) lines = NULL;
  g_autofree char *label = NULL;

  g_return_if_fail (FAINT_IS_DOCUMENT (self));
  if (self->analysis == NULL || n == 0)
    return;
  first = faint_document_get_line (self, ids[0]);
  if (first == NULL)
    return;
  lines = faint_line_list_with_removed (faint_analysis_get_lines (self->analysis), ids, n);
  if (n == 1)
    label = _faint_document_label_of_line (_ ("Remove Line %s"), first->position.value);
  else
    label = g_strdup_printf (ngettext ("Remove %u Line", "Remove %u Lines", n), (guint)n);
  _faint_document_edit_lines (self, lines, label, NULL);
}

void
faint_document_edit_line (FaintDocument *self, const FaintLine *line, const char *label)
{
  g_autoptr (FaintLineList) lines = NULL;

  g_return_if_fail (FAINT_IS_DOCUMENT (self));
  if (faint_document_get_line (self, line->id) == NULL)
    return;
  lines = faint_line_list_with_replaced (faint_analysis_get_lines (self->analysis), line);
  _faint_document_edit_lines (self, lines, label, NULL);
}

void
faint_document_replace_lines (FaintDocument *self, FaintLineList *lines, const char *label)
{
  g_return_if_fail (FAINT_IS_DOCUMENT (self));
  g_return_if_fail (self->analysis != NULL);
  _faint_document_edit_lines (self, lines, label, NULL);
}

void
faint_document_label_lines (FaintDocument *self, FaintLineList *lines, const char *label,
                            const char *told)
{
  g_autoptr (FaintAnalysis) analysis = NULL;
  g_autoptr (GError) missing = NULL;

  g_return_if_fail (FAINT_IS_DOCUMENT (self));
  g_return_if_fail (self->analysis != NULL);
  analysis = faint_analysis_with_labels (self->analysis, lines, &missing);
  push (self, analysis, label, NULL, told, NULL);
  _faint_document_follow (self);
  if (missing != NULL)
    _faint_document_fail (self, _ ("No strengths at 296 K"), missing->message);
}

void
faint_document_set_record_options (FaintDocument *self, const FaintRecordOptions *options)
{
  g_return_if_fail (FAINT_IS_DOCUMENT (self));
  g_free (self->record);
  self->record = options ? g_memdup2 (options, sizeof *options) : NULL;
}

void
faint_document_set_bands (FaintDocument *self, GPtrArray *bands)
{
  g_return_if_fail (FAINT_IS_DOCUMENT (self));
  if (bands)
    g_ptr_array_ref (bands);
  g_clear_pointer (&self->bands, g_ptr_array_unref);
  self->bands = bands;
}

void
faint_document_set_levels (FaintDocument *self, const FaintAnalysisLevels *levels,
                           const char *label, const char *merge_key)
{
  g_autoptr (FaintAnalysis) analysis = NULL;

  g_return_if_fail (FAINT_IS_DOCUMENT (self));
  g_return_if_fail (self->analysis != NULL);
  analysis = faint_analysis_with_levels (self->analysis, levels);
  edit (self, analysis, label, merge_key);
}

void
faint_document_set_claims (FaintDocument *self, const FaintAnalysisClaims *claims,
                           const char *label, const char *merge_key)
{
  g_autoptr (FaintAnalysis) analysis = NULL;

  g_return_if_fail (FAINT_IS_DOCUMENT (self));
  g_return_if_fail (self->analysis != NULL);
  analysis = faint_analysis_with_claims (self->analysis, claims);
  edit (self, analysis, label, merge_key);
}

void
faint_document_undo (FaintDocument *self)
{
  g_return_if_fail (FAINT_IS_DOCUMENT (self));
  step (self, faint_history_undo);
}

void
faint_document_redo (FaintDocument *self)
{
  g_return_if_fail (FAINT_IS_DOCUMENT (self));
  step (self, faint_history_redo);
}

const char *
faint_document_get_undo_label (FaintDocument *self)
{
  g_return_val_if_fail (FAINT_IS_DOCUMENT (self), NULL);
  return faint_history_undo_label (self->history);
}

const char *
faint_document_get_redo_label (FaintDocument *self)
{
  g_return_val_if_fail (FAINT_IS_DOCUMENT (self), NULL);
  return faint_history_redo_label (self->history);
}
