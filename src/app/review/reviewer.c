/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/review/reviewer.h"

#include <glib/gi18n.h>
#include <string.h>

#include "app/document/document-private.h"
#include "faint/lines/list-notes.h"

#define KEY "faint-reviewer"

struct _FaintReviewer
{
  GObject parent;

  FaintDocument *document; /* weak: it owns this, but threads keep this longer */
  FaintListFile *claimed;  /* NULL: none read */
  char *path;              /* of it, absolute */
  char *problem;           /* with the list that the analysis names, or NULL */
  gboolean resume;         /* the list of an analysis just opened, as it was */
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

/* @claimed is taken, and may be NULL. */
static void
take_list (FaintReviewer *self, FaintListFile *claimed)
{
  g_clear_pointer (&self->claimed, faint_list_file_free);
  g_clear_pointer (&self->path, g_free);
  g_clear_pointer (&self->problem, g_free);
  self->claimed = claimed;
  self->path = claimed ? g_canonicalize_filename (claimed->path, NULL) : NULL;
}

/* The list that the analysis names, from its file. */
static void
read_named (FaintReviewer *self, const FaintAnalysisClaims *claims)
{
  g_autoptr (GError) error = NULL;
  FaintListFile *claimed = faint_list_file_read (claims->path, &error);
  g_autofree char *name = g_path_get_basename (claims->path);

  take_list (self, claimed);
  if (claimed == NULL)
    self->problem = g_strdup_printf (_ ("The claimed list cannot be read: %s"), error->message);
  else if (strcmp (claimed->sha256, claims->sha256) != 0)
    self->problem = g_strdup_printf (_ ("%s has changed since it was reviewed. A review now is one "
                                        "of another list."),
                                     name);
}

/* The list and options that the document has now. */
static void
take_claims (FaintReviewer *self, gboolean opened)
{
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);
  const FaintAnalysisClaims *claims = analysis ? faint_analysis_get_claims (analysis) : NULL;

  self->resume = FALSE;
  if (claims && claims->path)
    {
      self->options = (FaintReviewOptions){ .confidence = claims->confidence,
                                            .coverage = claims->coverage,
                                            .partial = claims->partial,
                                            .temperature = claims->temperature,
                                            .pressure = claims->pressure };
      if (self->claimed == NULL || g_strcmp0 (self->path, claims->path) != 0
          || strcmp (self->claimed->sha256, claims->sha256) != 0)
        read_named (self, claims);
      self->resume = opened && self->problem == NULL;
    }
  else if (!opened)
    take_list (self, NULL);
  take_result (self, NULL, NULL);
}

/* Makes list and options a step of the document, which then has them; without a document they are
 * kept until one is opened. */
static void
put_claims (FaintReviewer *self, const char *label, const char *merge_key)
{
  g_auto (FaintAnalysisClaims) claims = { .path = g_strdup (self->path),
                                          .confidence = self->options.confidence,
                                          .coverage = self->options.coverage,
                                          .partial = self->options.partial,
                                          .temperature = self->options.temperature,
                                          .pressure = self->options.pressure };

  if (self->claimed == NULL || faint_document_get_analysis (self->document) == NULL)
    {
      take_result (self, NULL, NULL);
      return;
    }
  g_strlcpy (claims.sha256, self->claimed->sha256, sizeof claims.sha256);
  faint_document_set_claims (self->document, &claims, label, merge_key);
}

static void
on_document_changed (FaintDocument *document, guint change, FaintReviewer *self)
{
  if (change & (FAINT_CHANGE_OPENED | FAINT_CHANGE_CLAIMS))
    take_claims (self, (change & FAINT_CHANGE_OPENED) != 0);
  else if (self->result
           && (change & (FAINT_CHANGE_SPECTRUM | FAINT_CHANGE_SETUP | FAINT_CHANGE_OPTIONS)))
    g_signal_emit (self, signals[CHANGED], 0);
}

static void
faint_reviewer_dispose (GObject *object)
{
  FaintReviewer *self = FAINT_REVIEWER (object);

  g_clear_weak_pointer (&self->document);
  take_list (self, NULL);
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
      take_claims (self, TRUE);
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
  take_list (self, claimed);
  self->options.temperature = condition_of (claimed, "temperature", FAINT_DIMENSION_TEMPERATURE);
  self->options.pressure = condition_of (claimed, "pressure", FAINT_DIMENSION_PRESSURE);
  put_claims (self, _ ("Open Claimed List"), NULL);
  /* The same list once more changes nothing of the document, but may have been repaired. */
  g_signal_emit (self, signals[CHANGED], 0);
  return TRUE;
}

const FaintListFile *
faint_reviewer_get_claimed (FaintReviewer *self)
{
  g_return_val_if_fail (FAINT_IS_REVIEWER (self), NULL);
  return self->claimed;
}

const char *
faint_reviewer_get_problem (FaintReviewer *self)
{
  g_return_val_if_fail (FAINT_IS_REVIEWER (self), NULL);
  return self->problem;
}

gboolean
faint_reviewer_take_resume (FaintReviewer *self)
{
  gboolean resume = self->resume;

  self->resume = FALSE;
  return resume;
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
  put_claims (self, _ ("Change Review"), "review");
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
  else
    faint_job_return_error (task, error);
}

void
faint_reviewer_run_async (FaintReviewer *self, GAsyncReadyCallback done, gpointer data)
{
  Work *work;
  g_autoptr (GTask) task = NULL;

  g_return_if_fail (FAINT_IS_REVIEWER (self));
  g_return_if_fail (self->claimed != NULL && faint_document_get_analysis (self->document) != NULL);
  /* A list that was read before there was a document belongs to this one now. */
  if (faint_analysis_get_claims (faint_document_get_analysis (self->document))->path == NULL)
    put_claims (self, _ ("Open Claimed List"), NULL);
  work = g_new0 (Work, 1);
  work->analysis = faint_analysis_ref (faint_document_get_analysis (self->document));
  work->claimed = faint_line_list_ref (self->claimed->lines);
  work->sources = faint_list_file_sources (self->claimed);
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

const char *
faint_reviewer_get_stored (FaintReviewer *self)
{
  g_return_val_if_fail (FAINT_IS_REVIEWER (self), NULL);
  return self->document ? faint_document_get_path (self->document) : NULL;
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
