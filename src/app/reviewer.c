/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "reviewer.h"

#include <glib/gi18n.h>
#include <string.h>

#include "document-private.h"
#include "faint/lines/list-notes.h"

#define KEY "faint-reviewer"

struct _FaintReviewer
{
  GObject parent;

  FaintDocument *document; /* weak: it owns this, but threads keep this longer */
  FaintListFile *claimed;  /* NULL: none read */
  FaintReviewOptions options;
  FaintReview *result;      /* NULL: none */
  FaintAnalysis *result_of; /* the analysis it belongs to */
};

enum
{
  CHANGED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintReviewer, faint_reviewer, G_TYPE_OBJECT)

/* What a thread works on. */
typedef struct
{
  FaintAnalysis *analysis;
  FaintLineList *claimed;
  char **sources;
  FaintReviewOptions options;
  FaintJob *job;
} Work;

static void
work_free (gpointer data)
{
  Work *work = data;

  faint_analysis_unref (work->analysis);
  faint_line_list_unref (work->claimed);
  g_strfreev (work->sources);
  g_object_unref (work->job);
  g_free (work);
}

static void
take_result (FaintReviewer *self, FaintReview *result, FaintAnalysis *of)
{
  g_clear_pointer (&self->result, faint_review_unref);
  g_clear_pointer (&self->result_of, faint_analysis_unref);
  self->result = result;
  self->result_of = result ? faint_analysis_ref (of) : NULL;
  g_signal_emit (self, signals[CHANGED], 0);
}

/* Lines of the analysis are not used by a review; all else is. */
static gboolean
same_basis (FaintAnalysis *a, FaintAnalysis *b)
{
  gsize n = faint_analysis_get_n_spectra (a);

  if (a == b)
    return TRUE;
  if (b == NULL || n != faint_analysis_get_n_spectra (b)
      || memcmp (faint_analysis_get_options (a), faint_analysis_get_options (b),
                 sizeof (FaintFitOptions))
             != 0)
    return FALSE;
  for (gsize i = 0; i < n; i++)
    if (faint_analysis_get_spectrum_at (a, i) != faint_analysis_get_spectrum_at (b, i))
      return FALSE;
  return TRUE;
}

static void
on_document_changed (FaintDocument *document, guint change, FaintReviewer *self)
{
  if (change & FAINT_CHANGE_OPENED)
    take_result (self, NULL, NULL);
  else if (self->result
           && (change & (FAINT_CHANGE_SPECTRUM | FAINT_CHANGE_SETUP | FAINT_CHANGE_OPTIONS)))
    g_signal_emit (self, signals[CHANGED], 0);
}

static void
faint_reviewer_dispose (GObject *object)
{
  FaintReviewer *self = FAINT_REVIEWER (object);

  g_clear_weak_pointer (&self->document);
  g_clear_pointer (&self->claimed, faint_list_file_free);
  g_clear_pointer (&self->result, faint_review_unref);
  g_clear_pointer (&self->result_of, faint_analysis_unref);
  G_OBJECT_CLASS (faint_reviewer_parent_class)->dispose (object);
}

static void
faint_reviewer_class_init (FaintReviewerClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_reviewer_dispose;
  signals[CHANGED] = g_signal_new ("changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                   NULL, NULL, G_TYPE_NONE, 0);
}

static void
faint_reviewer_init (FaintReviewer *self)
{
  faint_review_options_init (&self->options);
}

FaintReviewer *
faint_reviewer_of (FaintDocument *document)
{
  FaintReviewer *self;

  g_return_val_if_fail (FAINT_IS_DOCUMENT (document), NULL);
  self = g_object_get_data (G_OBJECT (document), KEY);
  if (self == NULL)
    {
      self = g_object_new (FAINT_TYPE_REVIEWER, NULL);
      g_set_weak_pointer (&self->document, document);
      g_object_set_data_full (G_OBJECT (document), KEY, self, g_object_unref);
      g_signal_connect_object (document, "changed", G_CALLBACK (on_document_changed), self, 0);
    }
  return self;
}

/* A condition that the list states; NAN where it states none, or nothing that can be one. */
static double
condition_of (const FaintListFile *claimed, const char *key, FaintDimension dimension)
{
  g_autofree char *text = faint_list_notes_get (claimed->notes, key);
  FaintQuantity quantity;

  if (text == NULL || !faint_quantity_parse (text, dimension, &quantity, NULL)
      || !(quantity.value > 0.0))
    return NAN;
  return quantity.value;
}

gboolean
faint_reviewer_read (FaintReviewer *self, const char *path, GError **error)
{
  FaintListFile *claimed;

  g_return_val_if_fail (FAINT_IS_REVIEWER (self), FALSE);
  claimed = faint_list_file_read (path, error);
  if (claimed == NULL)
    return FALSE;
  g_clear_pointer (&self->claimed, faint_list_file_free);
  self->claimed = claimed;
  self->options.temperature = condition_of (claimed, "temperature", FAINT_DIMENSION_TEMPERATURE);
  self->options.pressure = condition_of (claimed, "pressure", FAINT_DIMENSION_PRESSURE);
  take_result (self, NULL, NULL);
  return TRUE;
}

const FaintListFile *
faint_reviewer_get_claimed (FaintReviewer *self)
{
  g_return_val_if_fail (FAINT_IS_REVIEWER (self), NULL);
  return self->claimed;
}

FaintReviewOptions
faint_reviewer_get_options (FaintReviewer *self)
{
  return self->options;
}

void
faint_reviewer_set_options (FaintReviewer *self, const FaintReviewOptions *options)
{
  g_return_if_fail (FAINT_IS_REVIEWER (self));
  self->options = *options;
  take_result (self, NULL, NULL);
}

/* Hashes, 64 hexadecimal digits at the end of a note, of the files that the list says it comes
 * from. */
static char **
sources_of (const FaintListFile *claimed)
{
  g_autoptr (GStrvBuilder) sources = g_strv_builder_new ();

  for (guint i = 0; i < claimed->notes->len; i++)
    {
      const char *note = g_ptr_array_index (claimed->notes, i), *word = strrchr (note, ' ');

      word = word ? word + 1 : note;
      if (strlen (word) == 64 && strspn (word, "0123456789abcdef") == 64)
        g_strv_builder_add (sources, word);
    }
  return g_strv_builder_end (sources);
}

static void
run_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Work *work = data;
  FaintProgress progress = faint_job_progress (work->job);
  GError *error = NULL;
  FaintReview *review
      = faint_review_run (work->analysis, work->claimed, (const char *const *)work->sources,
                          &work->options, &progress, &error);

  if (review)
    g_task_return_pointer (task, review, (GDestroyNotify)faint_review_unref);
  else if (g_error_matches (error, FAINT_PROGRESS_ERROR, FAINT_PROGRESS_ERROR_CANCELLED))
    {
      g_task_return_new_error (task, G_IO_ERROR, G_IO_ERROR_CANCELLED, "%s", error->message);
      g_error_free (error);
    }
  else
    g_task_return_error (task, error);
}

void
faint_reviewer_run_async (FaintReviewer *self, GAsyncReadyCallback done, gpointer data)
{
  Work *work;
  g_autoptr (GTask) task = NULL;

  g_return_if_fail (FAINT_IS_REVIEWER (self));
  g_return_if_fail (self->claimed != NULL && faint_document_get_analysis (self->document) != NULL);
  work = g_new0 (Work, 1);
  work->analysis = faint_analysis_ref (faint_document_get_analysis (self->document));
  work->claimed = faint_line_list_ref (self->claimed->lines);
  work->sources = sources_of (self->claimed);
  work->options = self->options;
  work->job = faint_job_new (_ ("Reviewing the claimed list"));
  task = g_task_new (self, faint_job_get_cancellable (work->job), done, data);
  g_task_set_task_data (task, work, work_free);
  _faint_document_stop (self->document);
  _faint_document_set_job (self->document, work->job);
  g_task_run_in_thread (task, run_in_thread);
}

gboolean
faint_reviewer_run_finish (FaintReviewer *self, GAsyncResult *result, GError **error)
{
  Work *work = g_task_get_task_data (G_TASK (result));
  FaintReview *review = g_task_propagate_pointer (G_TASK (result), error);

  if (self->document && faint_document_get_job (self->document) == work->job)
    _faint_document_set_job (self->document, NULL);
  if (review == NULL)
    return FALSE;
  if (self->document == NULL || self->claimed == NULL || work->claimed != self->claimed->lines
      || memcmp (&work->options, &self->options, sizeof work->options) != 0
      || !same_basis (work->analysis, faint_document_get_analysis (self->document)))
    {
      faint_review_unref (review);
      g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_CANCELLED, "the document has moved on");
      return FALSE;
    }
  take_result (self, review, work->analysis);
  return TRUE;
}

FaintReview *
faint_reviewer_get_result (FaintReviewer *self)
{
  g_return_val_if_fail (FAINT_IS_REVIEWER (self), NULL);
  return self->result;
}

gboolean
faint_reviewer_is_current (FaintReviewer *self)
{
  return self->result && same_basis (self->result_of, faint_document_get_analysis (self->document));
}
