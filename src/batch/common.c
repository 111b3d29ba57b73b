/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "common.h"

#include "faint/base/text.h"
#include "faint/spectrum/jcamp.h"
#include "faint/spectrum/setup.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static volatile sig_atomic_t stopped_by; /* number of the signal, 0 while none came */

static struct
{
  double from, to;     /* share of the whole of the current stage */
  gint64 began, shown; /* microseconds, monotonic */
  gboolean on_screen;
} terminal = { .to = 1.0 };

static void
clear_progress (void)
{
  if (!terminal.on_screen)
    return;
  fputs ("\r\033[K", stderr);
  fflush (stderr);
  terminal.on_screen = FALSE;
}

static void
say_list (const char *format, va_list list)
{
  g_autofree char *text = g_strdup_vprintf (format, list);

  clear_progress ();
  fprintf (stderr, "faintline-batch: %s\n", text);
}

void
faint_say (const char *format, ...)
{
  va_list list;

  va_start (list, format);
  say_list (format, list);
  va_end (list);
}

void
faint_say_warnings (const GPtrArray *warnings)
{
  for (guint i = 0; warnings != NULL && i < warnings->len; i++)
    {
      const FaintWarning *warning = g_ptr_array_index (warnings, i);
      faint_say ("warning: %s", warning->text);
    }
}

/* The library does not know of the options of this command. */
static const char *
hint_of (const GError *error)
{
  if (g_error_matches (error, FAINT_JCAMP_ERROR, FAINT_JCAMP_ERROR_UNTOLD))
    return " See --columns.";
  if (g_error_matches (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_MISSING))
    return " See --set and --with.";
  return "";
}

int
faint_fail (GError *error)
{
  gboolean cancelled
      = g_error_matches (error, FAINT_PROGRESS_ERROR, FAINT_PROGRESS_ERROR_CANCELLED);

  if (cancelled)
    faint_say ("Stopped by a signal; nothing was written.");
  else
    faint_say ("%s%s", error->message, hint_of (error));
  g_error_free (error);
  return cancelled ? FAINT_EXIT_SIGNAL + stopped_by : FAINT_EXIT_BAD_INPUT;
}

int
faint_wrong_use (const char *verb, const char *format, ...)
{
  va_list list;

  va_start (list, format);
  say_list (format, list);
  va_end (list);
  faint_say ("'faintline-batch %s%s--help' shows how it is used.", verb, *verb ? " " : "");
  return FAINT_EXIT_WRONG_USE;
}

gboolean
faint_parse_arguments (const FaintVerb *verb, const char *parameters, const char *description,
                       const GOptionEntry *entries, char **arguments, char ***rest)
{
  g_autoptr (GOptionContext) context = g_option_context_new (NULL);
  g_autoptr (GError) error = NULL;
  g_autofree char *name = g_strdup_printf ("faintline-batch %s", verb->name);
  g_auto (GStrv) copy = NULL;
  g_autoptr (GStrvBuilder) all = g_strv_builder_new ();
  GOptionEntry others[] = {
    { G_OPTION_REMAINING, 0, 0, G_OPTION_ARG_FILENAME_ARRAY, rest, NULL, parameters },
    G_OPTION_ENTRY_NULL,
  };

  *rest = NULL;
  g_strv_builder_add (all, name);
  g_strv_builder_addv (all, (const char **)arguments);
  copy = g_strv_builder_end (all);
  g_set_prgname (name);
  g_option_context_set_summary (context, verb->purpose);
  g_option_context_set_description (context, description);
  g_option_context_add_main_entries (context, entries, NULL);
  g_option_context_add_main_entries (context, others, NULL);
  if (g_option_context_parse_strv (context, &copy, &error))
    return TRUE;
  faint_wrong_use (verb->name, "%s.", error->message);
  return FALSE;
}

gboolean
faint_parse_count (const char *verb, const char *option, const char *text, guint64 lowest,
                   guint64 highest, guint64 *value)
{
  g_autoptr (GError) error = NULL;

  if (text == NULL || g_ascii_string_to_unsigned (text, 10, lowest, highest, value, &error))
    return TRUE;
  faint_wrong_use (
      verb, "%s '%s': expected a whole number from %" G_GUINT64_FORMAT " to %" G_GUINT64_FORMAT ".",
      option, text, lowest, highest);
  return FALSE;
}

gboolean
faint_parse_number (const char *verb, const char *option, const char *text, double lowest,
                    double highest, double *value)
{
  const char *after;
  double number;

  if (text == NULL)
    return TRUE;
  if (faint_text_number (text, text + strlen (text), &number, &after) && *after == '\0'
      && number >= lowest && number <= highest)
    {
      *value = number;
      return TRUE;
    }
  faint_wrong_use (verb, "%s '%s': expected a number from %g to %g.", option, text, lowest,
                   highest);
  return FALSE;
}

static void
on_signal (int number)
{
  stopped_by = number;
}

void
faint_catch_signals (void)
{
  struct sigaction action = { .sa_handler = on_signal, .sa_flags = SA_RESETHAND | SA_RESTART };

  sigemptyset (&action.sa_mask);
  sigaction (SIGINT, &action, NULL);
  sigaction (SIGTERM, &action, NULL);
}

gboolean
faint_is_stopped (void)
{
  return stopped_by != 0;
}

static gboolean
is_cancelled (gpointer data)
{
  return faint_is_stopped ();
}

/* "12 s", "3 min": what is left if the rest goes as fast as what is done. */
static char *
time_left (double done, double seconds)
{
  double left;

  if (done < 0.02 || seconds < 1.0)
    return g_strdup ("");
  left = seconds * (1.0 - done) / done;
  return left < 90.0 ? g_strdup_printf (", %.0f s left", left)
                     : g_strdup_printf (", %.0f min left", left / 60.0);
}

static void
report (double fraction, const char *step, gpointer data)
{
  gint64 now = g_get_monotonic_time ();
  double done = terminal.from + (terminal.to - terminal.from) * CLAMP (fraction, 0.0, 1.0);
  g_autofree char *left = NULL;

  if (terminal.began == 0)
    terminal.began = now;
  if (now - terminal.shown < G_USEC_PER_SEC / 10)
    return;
  terminal.shown = now;
  terminal.on_screen = TRUE;
  left = time_left (done, (double)(now - terminal.began) / G_USEC_PER_SEC);
  fprintf (stderr, "\r\033[K%3.0f %%%s: %s", 100.0 * done, left, step != NULL ? step : "");
  fflush (stderr);
}

const FaintProgress *
faint_terminal_progress (void)
{
  static const FaintProgress quiet = { .is_cancelled = is_cancelled };
  static const FaintProgress shown = { .report = report, .is_cancelled = is_cancelled };

  return isatty (STDERR_FILENO) ? &shown : &quiet;
}

void
faint_progress_stage (double from, double to)
{
  terminal.from = from;
  terminal.to = to;
  if (to >= 1.0 && from >= 1.0)
    clear_progress ();
}
