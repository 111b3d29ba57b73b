/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/base/parallel.h"

#define MOST_THREADS 256

typedef struct
{
  void (*work) (gsize piece, guint thread, gpointer data);
  gpointer data;
  gsize n, share;
  gsize next; /* atomic: pieces are handed out in shares */
} Task;

typedef struct
{
  Task *task;
  guint thread;
} Worker;

guint
faint_parallel_threads (guint wanted)
{
  return CLAMP (wanted > 0 ? wanted : g_get_num_processors (), 1, MOST_THREADS);
}

static gpointer
run_worker (gpointer data)
{
  Worker *worker = data;
  Task *task = worker->task;
  gsize from;

  while ((from = (gsize)g_atomic_pointer_add (&task->next, (gssize)task->share)) < task->n)
    for (gsize i = from; i < MIN (from + task->share, task->n); i++)
      task->work (i, worker->thread, task->data);
  return NULL;
}

void
faint_parallel_for (gsize n, guint threads, void (*work) (gsize piece, guint thread, gpointer data),
                    gpointer data)
{
  Task task = { work, data, n, MAX (n / (8 * (gsize)MAX (threads, 1)), 1), 0 };
  Worker workers[MOST_THREADS];
  GThread *handles[MOST_THREADS];
  guint started = 0;

  threads = (guint)CLAMP (threads, 1, MIN (n, MOST_THREADS));
  for (guint i = 1; i < threads; i++)
    {
      workers[i] = (Worker){ &task, i };
      handles[started] = g_thread_try_new ("faint", run_worker, &workers[i], NULL);
      if (handles[started] != NULL)
        started++;
    }
  workers[0] = (Worker){ &task, 0 };
  run_worker (&workers[0]);
  for (guint i = 0; i < started; i++)
    g_thread_join (handles[i]);
}
