/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A mutex, a cancellable and one idle.
 */
#include "app/document/job.h"

struct _FaintJob
{
  GObject parent;

  char *title;
  GCancellable *cancellable;
  /* main thread */
  char *message;
  double fraction;
  /* any thread, under the mutex */
  GMutex mutex;
  char *next_message;
  double next_fraction;
  gboolean idle_pending;
};

enum
{
  PROP_MESSAGE = 1,
  PROP_FRACTION,
  N_PROPS
};
static GParamSpec *properties[N_PROPS];

G_DEFINE_FINAL_TYPE (FaintJob, faint_job, G_TYPE_OBJECT)

static gboolean
deliver (gpointer data)
{
  FaintJob *self = data;
  g_autofree char *message = NULL;
  double fraction;

  g_mutex_lock (&self->mutex);
  message = g_steal_pointer (&self->next_message);
  fraction = self->next_fraction;
  self->idle_pending = FALSE;
  g_mutex_unlock (&self->mutex);

  if (message && g_strcmp0 (message, self->message) != 0)
    {
      g_free (self->message);
      self->message = g_steal_pointer (&message);
      g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_MESSAGE]);
    }
  if (fraction != self->fraction)
    {
      self->fraction = fraction;
      g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_FRACTION]);
    }
  return G_SOURCE_REMOVE;
}

static void
report_from_library (double fraction, const char *step, gpointer data)
{
  faint_job_report (data, fraction, step);
}

static gboolean
is_cancelled_for_library (gpointer data)
{
  return faint_job_is_cancelled (data);
}

static void
faint_job_finalize (GObject *object)
{
  FaintJob *self = FAINT_JOB (object);

  g_free (self->title);
  g_free (self->message);
  g_free (self->next_message);
  g_object_unref (self->cancellable);
  g_mutex_clear (&self->mutex);
  G_OBJECT_CLASS (faint_job_parent_class)->finalize (object);
}

static void
faint_job_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  FaintJob *self = FAINT_JOB (object);

  switch (id)
    {
    case PROP_MESSAGE:
      g_value_set_string (value, self->message);
      break;
    case PROP_FRACTION:
      g_value_set_double (value, self->fraction);
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static void
faint_job_class_init (FaintJobClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);

  object_class->finalize = faint_job_finalize;
  object_class->get_property = faint_job_get_property;

  properties[PROP_MESSAGE] = g_param_spec_string ("message", NULL, NULL, NULL,
                                                  G_PARAM_READABLE | G_PARAM_STATIC_STRINGS);
  properties[PROP_FRACTION] = g_param_spec_double ("fraction", NULL, NULL, -1.0, 1.0, -1.0,
                                                   G_PARAM_READABLE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, properties);
}

static void
faint_job_init (FaintJob *self)
{
  g_mutex_init (&self->mutex);
  self->cancellable = g_cancellable_new ();
  self->fraction = self->next_fraction = -1.0;
}

FaintJob *
faint_job_new (const char *title)
{
  FaintJob *self = g_object_new (FAINT_TYPE_JOB, NULL);

  self->title = g_strdup (title);
  return self;
}

const char *
faint_job_get_title (FaintJob *self)
{
  g_return_val_if_fail (FAINT_IS_JOB (self), NULL);
  return self->title;
}

const char *
faint_job_get_message (FaintJob *self)
{
  g_return_val_if_fail (FAINT_IS_JOB (self), NULL);
  return self->message;
}

double
faint_job_get_fraction (FaintJob *self)
{
  g_return_val_if_fail (FAINT_IS_JOB (self), -1.0);
  return self->fraction;
}

void
faint_job_report (FaintJob *self, double fraction, const char *message)
{
  g_return_if_fail (FAINT_IS_JOB (self));

  g_mutex_lock (&self->mutex);
  self->next_fraction = fraction >= 0 ? MIN (fraction, 1.0) : -1.0;
  if (message)
    {
      g_free (self->next_message);
      self->next_message = g_strdup (message);
    }
  if (!self->idle_pending)
    {
      self->idle_pending = TRUE;
      g_idle_add_full (G_PRIORITY_LOW, deliver, g_object_ref (self), g_object_unref);
    }
  g_mutex_unlock (&self->mutex);
}

void
faint_job_cancel (FaintJob *self)
{
  g_return_if_fail (FAINT_IS_JOB (self));
  g_cancellable_cancel (self->cancellable);
}

gboolean
faint_job_is_cancelled (FaintJob *self)
{
  return g_cancellable_is_cancelled (self->cancellable);
}

GCancellable *
faint_job_get_cancellable (FaintJob *self)
{
  g_return_val_if_fail (FAINT_IS_JOB (self), NULL);
  return self->cancellable;
}

FaintProgress
faint_job_progress (FaintJob *self)
{
  return (FaintProgress){ .report = report_from_library,
                          .is_cancelled = is_cancelled_for_library,
                          .data = self };
}

static gboolean
is_cancelled (gpointer cancellable)
{
  return cancellable && g_cancellable_is_cancelled (cancellable);
}

FaintProgress
faint_progress_until (GCancellable *cancellable)
{
  return (FaintProgress){ .is_cancelled = is_cancelled, .data = cancellable };
}

void
faint_job_return_error (GTask *task, GError *error)
{
  if (g_error_matches (error, FAINT_PROGRESS_ERROR, FAINT_PROGRESS_ERROR_CANCELLED))
    {
      g_task_return_new_error (task, G_IO_ERROR, G_IO_ERROR_CANCELLED, "%s", error->message);
      g_error_free (error);
    }
  else
    g_task_return_error (task, error);
}
