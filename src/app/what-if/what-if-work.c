/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/what-if/what-if-work.h"

#include <gio/gio.h>
#include <math.h>
#include <string.h>

#include "app/document/job.h"

/* The whole span follows when nothing was asked for this long. */
#define REST_MS 150
/* A view of more than this share is computed as the whole at once. */
#define NEARLY_ALL 0.7

/* What is asked for. */
typedef struct
{
  FaintWhatIf *what;
  FaintFigureData *data;
  FaintWhatIfValues values;
  double lower, upper; /* NAN: everything */
  guint generation, view;
} Question;

typedef struct
{
  FaintWhatIfOutcome outcome;
  guint generation, view;
} Answer;

struct _FaintWhatIfWork
{
  GObject parent;

  FaintWhatIf *what;
  FaintFigureData *data;
  FaintWhatIfValues values;
  double lower, upper;
  guint generation, done; /* of the values asked for, and of those whose whole is there; 0: none */
  guint view, viewed;     /* the same of what is in view of them */
  guint rest;             /* source: then the whole */
  gboolean running, running_whole;
  GCancellable *cancellable; /* of the whole that runs */
};

enum
{
  OUTCOME,
  FAILED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintWhatIfWork, faint_what_if_work, G_TYPE_OBJECT)

static void on_computed (GObject *source, GAsyncResult *result, gpointer data);

static void
question_free (gpointer data)
{
  Question *question = data;

  faint_what_if_unref (question->what);
  faint_figure_data_unref (question->data);
  g_free (question);
}

static void
answer_free (gpointer data)
{
  Answer *answer = data;

  faint_other_trace_unref (answer->outcome.trace);
  g_free (answer);
}

/* 1 - |model over baseline| where it is largest, of teeth [first, first + n). */
static double
deepest (const FaintFit *fit, const double *model, const double *model_im, gsize first, gsize n)
{
  double least = INFINITY;

  for (gsize t = first; t < first + n; t++)
    {
      double value = model_im != NULL ? hypot (model[t], model_im[t]) : fabs (model[t]);
      double base = fit == NULL        ? 1.0
                    : model_im != NULL ? hypot (fit->baseline[t], fit->baseline_im[t])
                                       : fabs (fit->baseline[t]);

      if (value / base < least)
        least = value / base;
    }
  return 1.0 - least;
}

static void
compute (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  const Question *question = data;
  const FaintFit *fit = faint_what_if_get_fit (question->what);
  FaintProgress progress = faint_progress_until (cancellable);
  GError *error = NULL;
  g_autoptr (FaintWhatIfModel) model = faint_what_if_model (
      question->what, &question->values, question->lower, question->upper,
      MAX (g_get_num_processors (), 2) - 1, &progress, &error); /* one processor is the window's */
  Answer *answer;

  if (model == NULL)
    {
      g_task_return_error (task, error);
      return;
    }
  answer = g_new0 (Answer, 1);
  answer->generation = question->generation;
  answer->view = question->view;
  answer->outcome = (FaintWhatIfOutcome){
    .trace = faint_other_trace_new (question->data, model),
    .whole = isnan (question->lower),
    .fitted = model->chi2_fitted / model->dof,
    .now = model->chi2 / model->dof,
    .deepest = deepest (fit, model->model, model->model_im, model->first, model->n),
    .deepest_fitted
    = fit != NULL ? deepest (fit, fit->model, fit->model_im, model->first, model->n) : NAN,
  };
  g_task_return_pointer (task, answer, answer_free);
}

static void
start (FaintWhatIfWork *self, gboolean whole)
{
  Question *question = g_new0 (Question, 1);
  const FaintSpectrum *spectrum = faint_what_if_get_spectrum (self->what);
  double span = spectrum->wavenumber[spectrum->n - 1] - spectrum->wavenumber[0];
  g_autoptr (GTask) task = NULL;

  whole = whole || !(self->upper - self->lower < NEARLY_ALL * span);
  question->what = faint_what_if_ref (self->what);
  question->data = faint_figure_data_ref (self->data);
  question->values = self->values;
  question->lower = whole ? NAN : self->lower;
  question->upper = whole ? NAN : self->upper;
  question->generation = self->generation;
  question->view = self->view;
  self->running = TRUE;
  /* A view that is being computed is always shown; the whole gives way to a new value. */
  self->running_whole = whole && self->viewed == self->view;
  self->cancellable = g_cancellable_new ();
  task = g_task_new (self, self->cancellable, on_computed, NULL);
  g_task_set_check_cancellable (task, FALSE);
  g_task_set_task_data (task, question, question_free);
  g_task_run_in_thread (task, compute);
}

static gboolean
on_rest (gpointer data)
{
  FaintWhatIfWork *self = data;

  self->rest = 0;
  if (!self->running && self->done != self->generation)
    start (self, TRUE);
  return G_SOURCE_REMOVE;
}

/* What is to be done next. */
static void
go_on (FaintWhatIfWork *self)
{
  if (self->running || self->what == NULL || self->generation == 0)
    return;
  if (self->viewed != self->view)
    start (self, FALSE);
  else if (self->done != self->generation && self->rest == 0)
    self->rest = g_timeout_add (REST_MS, on_rest, self);
}

static void
tell (FaintWhatIfWork *self, Answer *answer)
{
  self->viewed = MAX (self->viewed, answer->view);
  answer->outcome.repeats = !answer->outcome.whole && self->done == answer->generation;
  if (answer->outcome.whole)
    self->done = MAX (self->done, answer->generation);
  g_signal_emit (self, signals[OUTCOME], 0, &answer->outcome);
}

static void
on_computed (GObject *source, GAsyncResult *result, gpointer data)
{
  FaintWhatIfWork *self = FAINT_WHAT_IF_WORK (source);
  const Question *question = g_task_get_task_data (G_TASK (result));
  g_autoptr (GError) error = NULL;
  Answer *answer = g_task_propagate_pointer (G_TASK (result), &error);

  self->running = FALSE;
  g_clear_object (&self->cancellable);
  if (question->what == self->what && answer != NULL)
    tell (self, answer);
  else if (question->what == self->what
           && !g_error_matches (error, FAINT_PROGRESS_ERROR, FAINT_PROGRESS_ERROR_CANCELLED)
           && !g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    {
      self->viewed = question->view;
      self->done = question->generation;
      g_signal_emit (self, signals[FAILED], 0, error->message);
    }
  g_clear_pointer (&answer, answer_free);
  go_on (self);
}

static void
faint_what_if_work_dispose (GObject *object)
{
  FaintWhatIfWork *self = FAINT_WHAT_IF_WORK (object);

  g_clear_handle_id (&self->rest, g_source_remove);
  g_clear_object (&self->cancellable);
  g_clear_pointer (&self->what, faint_what_if_unref);
  g_clear_pointer (&self->data, faint_figure_data_unref);
  G_OBJECT_CLASS (faint_what_if_work_parent_class)->dispose (object);
}

static void
faint_what_if_work_class_init (FaintWhatIfWorkClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_what_if_work_dispose;
  signals[OUTCOME] = g_signal_new ("outcome", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                   NULL, NULL, G_TYPE_NONE, 1, G_TYPE_POINTER);
  signals[FAILED] = g_signal_new ("failed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                  NULL, NULL, G_TYPE_NONE, 1, G_TYPE_STRING);
}

static void
faint_what_if_work_init (FaintWhatIfWork *self)
{
}

FaintWhatIfWork *
faint_what_if_work_new (void)
{
  return g_object_new (FAINT_TYPE_WHAT_IF_WORK, NULL);
}

void
faint_what_if_work_set_source (FaintWhatIfWork *self, FaintWhatIf *what, FaintFigureData *data)
{
  g_return_if_fail (FAINT_IS_WHAT_IF_WORK (self));
  if (what != NULL)
    faint_what_if_ref (what);
  if (data != NULL)
    faint_figure_data_ref (data);
  g_clear_pointer (&self->what, faint_what_if_unref);
  g_clear_pointer (&self->data, faint_figure_data_unref);
  self->what = what;
  self->data = data;
  self->generation = self->done = self->view = self->viewed = 0;
  g_clear_handle_id (&self->rest, g_source_remove);
  if (self->cancellable)
    g_cancellable_cancel (self->cancellable);
}

void
faint_what_if_work_ask (FaintWhatIfWork *self, const FaintWhatIfValues *values, double lower,
                        double upper)
{
  g_return_if_fail (FAINT_IS_WHAT_IF_WORK (self));
  g_return_if_fail (self->what != NULL);
  if (self->generation == 0 || memcmp (values, &self->values, sizeof *values) != 0)
    self->generation++;
  self->view++;
  self->values = *values;
  self->lower = lower;
  self->upper = upper;
  g_clear_handle_id (&self->rest, g_source_remove);
  if (self->running && self->running_whole)
    g_cancellable_cancel (self->cancellable);
  go_on (self);
}

gboolean
faint_what_if_work_is_busy (FaintWhatIfWork *self)
{
  g_return_val_if_fail (FAINT_IS_WHAT_IF_WORK (self), FALSE);
  return self->what != NULL && self->done != self->generation;
}
