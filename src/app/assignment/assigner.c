/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/assignment/assigner-private.h"

#include <glib/gi18n.h>
#include <math.h>

#include "app/document/document-private.h"

#define KEY "faint-assigner"

enum
{
  CHANGED,
  LEVELS_CHANGED,
  FREE_CHANGED,
  TRACE_CHANGED,
  ASSIGN_TRACE,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintAssigner, faint_assigner, G_TYPE_OBJECT)

/* What a thread works on. */
typedef struct
{
  FaintLineList *lines;
  FaintAnalysisLevels levels;
  FaintAnalysis *analysis; /* of a search */
  FaintJob *job;           /* of a search */
  double temperature;
} Work;

static void
work_free (gpointer data)
{
  Work *work = data;

  faint_line_list_unref (work->lines);
  faint_analysis_levels_clear (&work->levels);
  g_clear_pointer (&work->analysis, faint_analysis_unref);
  g_clear_object (&work->job);
  g_free (work);
}

static Work *
work_new (FaintAssigner *self, FaintLineList *lines)
{
  Work *work = g_new0 (Work, 1);
  FaintSetup *setup = faint_document_get_setup (self->document);

  work->lines = faint_line_list_ref (lines);
  faint_analysis_levels_copy (&work->levels, &self->chosen);
  work->temperature = setup ? setup->temperature.value : NAN;
  return work;
}

static FaintAssignment *
assign (const Work *work, gboolean given, const FaintProgress *progress, GError **error)
{
  FaintAssignmentOptions options;
  g_autofree char *word = NULL;

  faint_assignment_options_init (&options, work->levels.levels);
  options.given = given;
  if (work->levels.free_constants)
    faint_band_options_parse (&options.band, work->levels.free_constants, &word);
  if (work->temperature > 0)
    options.search.temperature = work->temperature;
  return faint_assignment_run (work->lines, work->levels.levels, &options, progress, error);
}

static void
take_result (FaintAssigner *self, FaintAssignment *result, FaintLineList *lines)
{
  g_clear_pointer (&self->result, faint_assignment_free);
  g_clear_pointer (&self->result_of, faint_line_list_unref);
  self->result = result;
  self->result_of = result ? faint_line_list_ref (lines) : NULL;
  g_signal_emit (self, signals[CHANGED], 0);
}

static gboolean
has_labels (const FaintLineList *lines)
{
  for (gsize i = 0; lines && i < faint_line_list_get_n (lines); i++)
    if (faint_line_list_get (lines, i)->lower[0] != '\0')
      return TRUE;
  return FALSE;
}

static void
judge_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  FaintProgress progress = faint_progress_until (cancellable);
  GError *error = NULL;
  FaintAssignment *result = assign (data, TRUE, &progress, &error);

  if (result)
    g_task_return_pointer (task, result, (GDestroyNotify)faint_assignment_free);
  else
    g_task_return_error (task, error);
}

static void
on_judged (GObject *source, GAsyncResult *result, gpointer data)
{
  FaintAssigner *self = FAINT_ASSIGNER (source);
  GTask *task = G_TASK (result);
  Work *work = g_task_get_task_data (task);
  FaintAssignment *assignment;

  /* another is on its way, or the document is gone */
  if (self->work != g_task_get_cancellable (task))
    return;
  g_clear_object (&self->work);
  assignment = g_task_propagate_pointer (task, NULL);
  if (assignment)
    _faint_assigner_recall (self, assignment);
  take_result (self, assignment, work->lines);
}

static void
stop (FaintAssigner *self)
{
  if (self->work)
    g_cancellable_cancel (self->work);
  g_clear_object (&self->work);
}

/* What the labels of the present lines say. */
static void
judge (FaintAssigner *self)
{
  FaintLineList *lines = faint_document_get_lines (self->document);
  g_autoptr (GTask) task = NULL;

  if (self->result && lines == self->result_of)
    return;
  stop (self);
  if (self->chosen.levels == NULL || !has_labels (lines))
    {
      take_result (self, NULL, NULL);
      return;
    }
  self->work = g_cancellable_new ();
  task = g_task_new (self, self->work, on_judged, NULL);
  g_task_set_task_data (task, work_new (self, lines), work_free);
  g_task_run_in_thread (task, judge_in_thread);
}

static void
forget_result (FaintAssigner *self)
{
  stop (self);
  g_clear_pointer (&self->result, faint_assignment_free);
  g_clear_pointer (&self->result_of, faint_line_list_unref);
}

/* The levels and free constants that the document has now. With the same levels the result stays
 * until there is another. */
static void
take_levels (FaintAssigner *self)
{
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);
  FaintAnalysisLevels before = self->chosen;
  gboolean same;

  self->chosen = (FaintAnalysisLevels){ NULL };
  if (analysis)
    faint_analysis_levels_copy (&self->chosen, faint_analysis_get_levels (analysis));
  same = self->chosen.levels == before.levels && g_strcmp0 (self->chosen.path, before.path) == 0;
  stop (self);
  g_clear_pointer (&self->result_of, faint_line_list_unref);
  if (!same)
    {
      g_clear_pointer (&self->result, faint_assignment_free);
      g_clear_pointer (&self->ladders, g_ptr_array_unref);
      if (self->chosen.levels)
        self->ladders = faint_ladders_new (self->chosen.levels);
      g_hash_table_remove_all (self->evidence);
      g_signal_emit (self, signals[LEVELS_CHANGED], 0);
    }
  faint_analysis_levels_clear (&before);
  g_signal_emit (self, signals[FREE_CHANGED], 0);
}

static void
on_document_changed (FaintDocument *document, guint change, FaintAssigner *self)
{
  if (change & (FAINT_CHANGE_LEVELS | FAINT_CHANGE_OPENED))
    take_levels (self);
  if (change & (FAINT_CHANGE_LINES | FAINT_CHANGE_LEVELS | FAINT_CHANGE_OPENED))
    judge (self);
}

static void
faint_assigner_dispose (GObject *object)
{
  FaintAssigner *self = FAINT_ASSIGNER (object);

  forget_result (self);
  g_clear_weak_pointer (&self->document);
  g_clear_pointer (&self->ladders, g_ptr_array_unref);
  faint_analysis_levels_clear (&self->chosen);
  g_clear_pointer (&self->evidence, g_hash_table_unref);
  g_clear_pointer (&self->trace, g_array_unref);
  G_OBJECT_CLASS (faint_assigner_parent_class)->dispose (object);
}

static void
faint_assigner_class_init (FaintAssignerClass *klass)
{
  GType type = G_TYPE_FROM_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = faint_assigner_dispose;
  signals[CHANGED]
      = g_signal_new ("changed", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[LEVELS_CHANGED] = g_signal_new ("levels-changed", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                          NULL, G_TYPE_NONE, 0);
  signals[FREE_CHANGED]
      = g_signal_new ("free-changed", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[TRACE_CHANGED] = g_signal_new ("trace-changed", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                         NULL, G_TYPE_NONE, 0);
  signals[ASSIGN_TRACE]
      = g_signal_new ("assign-trace", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
faint_assigner_init (FaintAssigner *self)
{
  self->trace = g_array_new (FALSE, FALSE, sizeof (FaintTraceLine));
  self->evidence = _faint_assigner_evidence_new ();
}

FaintAssigner *
faint_assigner_of (FaintDocument *document)
{
  FaintAssigner *self;

  g_return_val_if_fail (FAINT_IS_DOCUMENT (document), NULL);
  self = g_object_get_data (G_OBJECT (document), KEY);
  if (self == NULL)
    {
      self = g_object_new (FAINT_TYPE_ASSIGNER, NULL);
      g_set_weak_pointer (&self->document, document);
      g_object_set_data_full (G_OBJECT (document), KEY, self, g_object_unref);
      g_signal_connect_object (document, "changed", G_CALLBACK (on_document_changed), self, 0);
      take_levels (self);
    }
  return self;
}

gboolean
faint_assigner_read_levels (FaintAssigner *self, const char *path, GError **error)
{
  g_auto (FaintAnalysisLevels) levels = { NULL };
  g_autofree char *name = g_path_get_basename (path), *label = NULL;

  g_return_val_if_fail (FAINT_IS_ASSIGNER (self), FALSE);
  if (faint_document_get_analysis (self->document) == NULL)
    {
      g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_NOT_INITIALIZED,
                           _ ("Levels belong to an analysis: open a spectrum first."));
      return FALSE;
    }
  if (!faint_analysis_levels_read (&levels, path, error))
    return FALSE;
  /* Translators: a step of the history; the name of a file */
  label = g_strdup_printf (_ ("Open Levels %s"), name);
  faint_document_set_levels (self->document, &levels, label, NULL);
  return TRUE;
}

FaintLevels *
faint_assigner_get_levels (FaintAssigner *self)
{
  g_return_val_if_fail (FAINT_IS_ASSIGNER (self), NULL);
  return self->chosen.levels;
}

const char *
faint_assigner_get_path (FaintAssigner *self)
{
  return self->chosen.path;
}

gboolean
faint_assigner_get_free (FaintAssigner *self, FaintBandOptions *options)
{
  g_autofree char *word = NULL;

  g_return_val_if_fail (FAINT_IS_ASSIGNER (self), FALSE);
  if (self->chosen.levels == NULL)
    return FALSE;
  faint_band_options_init (options, faint_levels_get_constants (self->chosen.levels));
  if (self->chosen.free_constants)
    faint_band_options_parse (options, self->chosen.free_constants, &word);
  return TRUE;
}

void
faint_assigner_set_free (FaintAssigner *self, const FaintBandOptions *options)
{
  g_auto (FaintAnalysisLevels) levels = { NULL };
  GString *text = g_string_new (NULL);

  g_return_if_fail (FAINT_IS_ASSIGNER (self));
  g_return_if_fail (self->chosen.levels != NULL);
  for (guint lower = 0; lower < 2; lower++)
    for (FaintConstant i = 0; i < FAINT_CONSTANT_N; i++)
      if ((lower ? options->lower : options->upper)[i])
        g_string_append_printf (text, "%s%s%s", text->len > 0 ? "," : "", lower ? "lower " : "",
                                faint_constant_name (i));
  faint_analysis_levels_copy (&levels, &self->chosen);
  g_free (levels.free_constants);
  levels.free_constants = g_string_free (text, FALSE);
  faint_document_set_levels (self->document, &levels, _ ("Choose Free Constants"), NULL);
}

const GPtrArray *
faint_assigner_get_ladders (FaintAssigner *self)
{
  return self->ladders;
}

const FaintAssignment *
faint_assigner_get_result (FaintAssigner *self)
{
  g_return_val_if_fail (FAINT_IS_ASSIGNER (self), NULL);
  return self->result;
}

gboolean
faint_assigner_is_busy (FaintAssigner *self)
{
  return self->work != NULL;
}

void
faint_assigner_set_trace (FaintAssigner *self, const FaintTraceLine *lines, gsize n,
                          FaintTraceRows rows)
{
  g_return_if_fail (FAINT_IS_ASSIGNER (self));
  g_array_set_size (self->trace, 0);
  g_array_append_vals (self->trace, lines, (guint)n);
  self->trace_rows = rows;
  g_signal_emit (self, signals[TRACE_CHANGED], 0);
}

const GArray *
faint_assigner_get_trace (FaintAssigner *self, FaintTraceRows *rows)
{
  g_return_val_if_fail (FAINT_IS_ASSIGNER (self), NULL);
  *rows = self->trace_rows;
  return self->trace;
}

void
faint_assigner_want_trace (FaintAssigner *self)
{
  g_signal_emit (self, signals[ASSIGN_TRACE], 0);
}

GArray *
faint_assigner_partners (FaintAssigner *self, guint id)
{
  FaintLineList *lines = faint_document_get_lines (self->document);
  FaintSetup *setup = faint_document_get_setup (self->document);
  g_autoptr (FaintObserved) observed = NULL;
  FaintAssignOptions options;

  g_return_val_if_fail (FAINT_IS_ASSIGNER (self), NULL);
  if (self->chosen.levels == NULL || lines == NULL)
    return NULL;
  faint_assign_options_init (&options);
  if (setup && setup->temperature.value > 0)
    options.temperature = setup->temperature.value;
  observed = faint_observed_new (lines, &options);
  return faint_partners_find (observed, self->chosen.levels, self->ladders, &options, id);
}

static const char *
molecule_in_words (FaintMolecule molecule)
{
  switch (molecule)
    {
    case FAINT_MOLECULE_LINEAR:
      return _ ("linear molecule");
    case FAINT_MOLECULE_SYMMETRIC_TOP:
      return _ ("symmetric top");
    default:
      return _ ("table of levels");
    }
}

char *
faint_assigner_levels_in_words (FaintAssigner *self)
{
  const FaintConstants *constants;
  g_autofree char *name = NULL, *levels = NULL;
  double highest = 0;
  guint n;

  if (self->chosen.path)
    name = g_path_get_basename (self->chosen.path);
  if (self->chosen.levels == NULL)
    /* Translators: a file that was there when the analysis was saved */
    return name ? g_strdup_printf (_ ("%s is not where it was. Open it again."), name)
                : g_strdup (_ ("No levels of the lower state yet."));
  constants = faint_levels_get_constants (self->chosen.levels);
  n = faint_levels_get_n (self->chosen.levels);
  for (guint i = 0; i < n; i++)
    highest = MAX (highest, faint_levels_get (self->chosen.levels, i)->energy);
  levels = g_strdup_printf (ngettext ("%u level", "%u levels", n), n);
  /* Translators: a file, a kind of molecule, "91 levels", an energy in cm-1 */
  return g_strdup_printf (_ ("%s: %s, %s up to %.0f cm⁻¹."), name,
                          molecule_in_words (constants->molecule), levels, highest);
}

static void
search_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Work *work = data;
  FaintProgress progress = faint_job_progress (work->job);
  GError *error = NULL;
  FaintAssignment *result = assign (work, FALSE, &progress, &error);

  if (result)
    g_task_return_pointer (task, result, (GDestroyNotify)faint_assignment_free);
  else
    faint_job_return_error (task, error);
}

void
faint_assigner_search_async (FaintAssigner *self, GAsyncReadyCallback done, gpointer data)
{
  FaintLineList *lines = faint_document_get_lines (self->document);
  Work *work;
  g_autoptr (GTask) task = NULL;

  g_return_if_fail (FAINT_IS_ASSIGNER (self));
  g_return_if_fail (self->chosen.levels != NULL && lines != NULL);
  work = work_new (self, lines);
  work->analysis = faint_analysis_ref (faint_document_get_analysis (self->document));
  work->job = faint_job_new (_ ("Assigning lines"));
  task = g_task_new (self, faint_job_get_cancellable (work->job), done, data);
  g_task_set_task_data (task, work, work_free);
  _faint_document_stop (self->document);
  _faint_document_set_job (self->document, work->job);
  g_task_run_in_thread (task, search_in_thread);
}

gboolean
faint_assigner_search_finish (FaintAssigner *self, GAsyncResult *result, GError **error)
{
  Work *work = g_task_get_task_data (G_TASK (result));
  FaintAssignment *assignment = g_task_propagate_pointer (G_TASK (result), error);
  g_autoptr (FaintLineList) lines = NULL;
  g_autofree char *told = NULL;

  if (self->document && faint_document_get_job (self->document) == work->job)
    _faint_document_set_job (self->document, NULL);
  if (assignment == NULL)
    return FALSE;
  if (self->document == NULL || work->analysis != faint_document_get_analysis (self->document)
      || work->levels.levels != self->chosen.levels)
    {
      faint_assignment_free (assignment);
      g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_CANCELLED, "the document has moved on");
      return FALSE;
    }
  lines = faint_assignment_label (assignment, work->lines);
  forget_result (self);
  _faint_assigner_keep (self, assignment);
  /* what the search says of these lines is more than their labels would tell */
  self->result = assignment;
  self->result_of = faint_line_list_ref (lines);
  told = faint_assignment_describe (assignment, work->levels.path, work->levels.sha256);
  faint_document_label_lines (self->document, lines, _ ("Assign Lines"), told);
  g_signal_emit (self, signals[CHANGED], 0);
  return TRUE;
}
