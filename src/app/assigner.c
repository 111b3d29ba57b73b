/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assigner.h"

#include <glib/gi18n.h>
#include <math.h>

#include "document-private.h"

#define KEY "faint-assigner"

struct _FaintAssigner
{
  GObject parent;

  FaintDocument *document; /* weak: it owns this, but threads keep this longer */
  FaintLevels *levels;     /* NULL: none read */
  char *path;
  GPtrArray *ladders;
  FaintAssignment *result;  /* NULL: none */
  FaintLineList *result_of; /* the lines it belongs to */
  GCancellable *work;       /* of the one being made */
  GArray *trace;            /* FaintTraceLine */
  FaintTraceRows trace_rows;
};

enum
{
  CHANGED,
  LEVELS_CHANGED,
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
  FaintLevels *levels;
  FaintAnalysis *analysis; /* of a search */
  FaintJob *job;           /* of a search */
  double temperature;
} Work;

static void
work_free (gpointer data)
{
  Work *work = data;

  faint_line_list_unref (work->lines);
  faint_levels_unref (work->levels);
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
  work->levels = faint_levels_ref (self->levels);
  work->temperature = setup ? setup->temperature.value : NAN;
  return work;
}

static FaintAssignment *
assign (const Work *work, gboolean given, const FaintProgress *progress, GError **error)
{
  FaintAssignmentOptions options;

  faint_assignment_options_init (&options, work->levels);
  options.given = given;
  if (work->temperature > 0)
    options.search.temperature = work->temperature;
  return faint_assignment_run (work->lines, work->levels, &options, progress, error);
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

static gboolean
is_cancelled (gpointer data)
{
  return g_cancellable_is_cancelled (data);
}

static void
judge_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  FaintProgress progress = { .is_cancelled = is_cancelled, .data = cancellable };
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
  if (self->levels == NULL || !has_labels (lines))
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
on_document_changed (FaintDocument *document, guint change, FaintAssigner *self)
{
  if (change & (FAINT_CHANGE_LINES | FAINT_CHANGE_OPENED))
    judge (self);
}

static void
faint_assigner_dispose (GObject *object)
{
  FaintAssigner *self = FAINT_ASSIGNER (object);

  stop (self);
  g_clear_weak_pointer (&self->document);
  g_clear_pointer (&self->result, faint_assignment_free);
  g_clear_pointer (&self->result_of, faint_line_list_unref);
  g_clear_pointer (&self->ladders, g_ptr_array_unref);
  g_clear_pointer (&self->levels, faint_levels_unref);
  g_clear_pointer (&self->path, g_free);
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
  signals[TRACE_CHANGED] = g_signal_new ("trace-changed", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                         NULL, G_TYPE_NONE, 0);
  signals[ASSIGN_TRACE]
      = g_signal_new ("assign-trace", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
faint_assigner_init (FaintAssigner *self)
{
  self->trace = g_array_new (FALSE, FALSE, sizeof (FaintTraceLine));
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
    }
  return self;
}

gboolean
faint_assigner_read_levels (FaintAssigner *self, const char *path, GError **error)
{
  FaintLevels *levels;

  g_return_val_if_fail (FAINT_IS_ASSIGNER (self), FALSE);
  levels = faint_levels_read (path, error);
  if (levels == NULL)
    return FALSE;
  stop (self);
  g_clear_pointer (&self->levels, faint_levels_unref);
  g_clear_pointer (&self->ladders, g_ptr_array_unref);
  g_free (self->path);
  self->levels = levels;
  self->ladders = faint_ladders_new (levels);
  self->path = g_strdup (path);
  g_clear_pointer (&self->result, faint_assignment_free);
  g_clear_pointer (&self->result_of, faint_line_list_unref);
  g_signal_emit (self, signals[LEVELS_CHANGED], 0);
  judge (self);
  return TRUE;
}

FaintLevels *
faint_assigner_get_levels (FaintAssigner *self)
{
  g_return_val_if_fail (FAINT_IS_ASSIGNER (self), NULL);
  return self->levels;
}

const char *
faint_assigner_get_path (FaintAssigner *self)
{
  return self->path;
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
  if (self->levels == NULL || lines == NULL)
    return NULL;
  faint_assign_options_init (&options);
  if (setup && setup->temperature.value > 0)
    options.temperature = setup->temperature.value;
  observed = faint_observed_new (lines, &options);
  return faint_partners_find (observed, self->levels, self->ladders, &options, id);
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

  if (self->levels == NULL)
    return g_strdup (_ ("No levels of the lower state yet."));
  constants = faint_levels_get_constants (self->levels);
  name = g_path_get_basename (self->path);
  n = faint_levels_get_n (self->levels);
  for (guint i = 0; i < n; i++)
    highest = MAX (highest, faint_levels_get (self->levels, i)->energy);
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
  else if (g_error_matches (error, FAINT_PROGRESS_ERROR, FAINT_PROGRESS_ERROR_CANCELLED))
    {
      g_task_return_new_error (task, G_IO_ERROR, G_IO_ERROR_CANCELLED, "%s", error->message);
      g_error_free (error);
    }
  else
    g_task_return_error (task, error);
}

void
faint_assigner_search_async (FaintAssigner *self, GAsyncReadyCallback done, gpointer data)
{
  FaintLineList *lines = faint_document_get_lines (self->document);
  Work *work;
  g_autoptr (GTask) task = NULL;

  g_return_if_fail (FAINT_IS_ASSIGNER (self));
  g_return_if_fail (self->levels != NULL && lines != NULL);
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

  if (self->document && faint_document_get_job (self->document) == work->job)
    _faint_document_set_job (self->document, NULL);
  if (assignment == NULL)
    return FALSE;
  if (self->document == NULL || work->analysis != faint_document_get_analysis (self->document)
      || work->levels != self->levels)
    {
      faint_assignment_free (assignment);
      g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_CANCELLED, "the document has moved on");
      return FALSE;
    }
  lines = faint_assignment_label (assignment, work->lines);
  stop (self);
  g_clear_pointer (&self->result, faint_assignment_free);
  g_clear_pointer (&self->result_of, faint_line_list_unref);
  /* what the search says of these lines is more than their labels would tell */
  self->result = assignment;
  self->result_of = faint_line_list_ref (lines);
  faint_document_label_lines (self->document, lines, _ ("Assign Lines"));
  g_signal_emit (self, signals[CHANGED], 0);
  return TRUE;
}

/* A copy of the lines to change; their texts belong to the list. */
static FaintLine *
copy_lines (const FaintLineList *list, gsize *n)
{
  FaintLine *lines;

  *n = faint_line_list_get_n (list);
  lines = g_new (FaintLine, MAX (*n, 1));
  for (gsize i = 0; i < *n; i++)
    lines[i] = *faint_line_list_get (list, i);
  return lines;
}

gboolean
faint_assigner_label (FaintAssigner *self, const FaintTransition *transitions, gsize n,
                      const char *label, GError **error)
{
  FaintLineList *list = faint_document_get_lines (self->document);
  g_autoptr (GPtrArray) texts = g_ptr_array_new_with_free_func (g_free);
  g_autofree FaintLine *lines = NULL;
  g_autoptr (FaintLineList) labelled = NULL;
  gsize n_lines;

  g_return_val_if_fail (self->levels != NULL && list != NULL, FALSE);
  lines = copy_lines (list, &n_lines);
  for (gsize i = 0; i < n; i++)
    {
      const FaintTransition *it = &transitions[i];
      const FaintLadder *ladder = g_ptr_array_index (self->ladders, it->ladder);
      const FaintLevel *lower = faint_ladder_lower (ladder, self->levels, it->branch, it->j);
      gsize index = faint_line_list_index_of (list, it->id);

      if (lower == NULL || index == G_MAXSIZE || it->j < (int)ladder->j_min
          || it->j > (int)ladder->j_max)
        {
          g_set_error (error, G_IO_ERROR, G_IO_ERROR_NOT_FOUND,
                       _ ("There is no line %c(%d) with the levels that were read."),
                       faint_branch_letter (it->branch), faint_branch_lower_j (it->branch, it->j));
          return FALSE;
        }
      g_ptr_array_add (texts, faint_ladder_label (ladder, self->levels, it->j));
      lines[index].upper = g_ptr_array_index (texts, texts->len - 1);
      lines[index].lower = lower->label;
    }
  labelled = faint_line_list_new (lines, n_lines);
  faint_document_label_lines (self->document, labelled, label);
  return TRUE;
}

void
faint_assigner_set_labels (FaintAssigner *self, guint id, const char *upper, const char *lower)
{
  FaintLineList *list = faint_document_get_lines (self->document);
  gsize index = list ? faint_line_list_index_of (list, id) : G_MAXSIZE, n;
  g_autofree FaintLine *lines = NULL;
  g_autoptr (FaintLineList) labelled = NULL;
  char number[G_ASCII_DTOSTR_BUF_SIZE];
  g_autofree char *label = NULL;

  if (index == G_MAXSIZE)
    return;
  lines = copy_lines (list, &n);
  if (g_str_equal (lines[index].upper, upper) && g_str_equal (lines[index].lower, lower))
    return;
  lines[index].upper = upper;
  lines[index].lower = lower;
  g_ascii_formatd (number, sizeof number, "%.3f", lines[index].position.value);
  label
      = g_strdup_printf (*upper || *lower ? _ ("Assign Line %s") : _ ("Unassign Line %s"), number);
  labelled = faint_line_list_new (lines, n);
  faint_document_label_lines (self->document, labelled, label);
}

void
faint_assigner_remove_all (FaintAssigner *self)
{
  FaintLineList *list = faint_document_get_lines (self->document);
  g_autofree FaintLine *lines = NULL;
  g_autoptr (FaintLineList) labelled = NULL;
  gsize n;

  if (!has_labels (list))
    return;
  lines = copy_lines (list, &n);
  for (gsize i = 0; i < n; i++)
    lines[i].upper = lines[i].lower = "";
  labelled = faint_line_list_new (lines, n);
  faint_document_label_lines (self->document, labelled, _ ("Unassign All Lines"));
}
