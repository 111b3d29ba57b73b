/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The last result of one spectrum in the file. Its groups begin with a prefix, "" for the first.
 */
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "faint/analysis/analysis-file.h"

#include "faint/base/words.h"

static const struct
{
  const char *key;
  gsize offset;
} fit_numbers[] = {
  { "distance", offsetof (FaintFit, distance) },
  { "chi2", offsetof (FaintFit, chi2) },
  { "dof", offsetof (FaintFit, dof) },
  { "chi2_reduced", offsetof (FaintFit, chi2_reduced) },
  { "width_mean", offsetof (FaintFit, width_mean) },
  { "width_spread", offsetof (FaintFit, width_spread) },
  { "noise_equivalent_absorption", offsetof (FaintFit, noise_equivalent_absorption) },
  { "noise_equivalent_absorption_root", offsetof (FaintFit, noise_equivalent_absorption_root) },
  { "false_finds_expected", offsetof (FaintFit, false_finds_expected) },
};

/* What was found of the instrument, where it was asked. */
static const struct
{
  const char *key;
  gsize offset;
} instrument_numbers[] = {
  { "detuning", offsetof (FaintFitInstrument, detuning) },
  { "u(detuning)", offsetof (FaintFitInstrument, u_detuning) },
  { "detuning_slope", offsetof (FaintFitInstrument, detuning_slope) },
  { "u(detuning_slope)", offsetof (FaintFitInstrument, u_detuning_slope) },
};

static const struct
{
  const char *key;
  gsize offset;
} fringe_numbers[] = {
  { "period", offsetof (FaintFitFringe, period) },
  { "cosine", offsetof (FaintFitFringe, cosine) },
  { "sine", offsetof (FaintFitFringe, sine) },
  { "u(period)", offsetof (FaintFitFringe, u_period) },
  { "u(cosine)", offsetof (FaintFitFringe, u_cosine) },
  { "u(sine)", offsetof (FaintFitFringe, u_sine) },
};

static const struct
{
  const char *key;
  gsize offset;
} window_numbers[] = {
  { "lower", offsetof (FaintFitWindow, lower) },
  { "upper", offsetof (FaintFitWindow, upper) },
  { "chi2", offsetof (FaintFitWindow, chi2) },
  { "dof", offsetof (FaintFitWindow, dof) },
  { "chi2_reduced", offsetof (FaintFitWindow, chi2_reduced) },
  { "lag1", offsetof (FaintFitWindow, lag1) },
  { "runs_z", offsetof (FaintFitWindow, runs_z) },
  { "largest", offsetof (FaintFitWindow, largest) },
};

static const struct
{
  const char *key;
  gsize offset;
} window_sizes[] = {
  { "first", offsetof (FaintFitWindow, first) },
  { "teeth", offsetof (FaintFitWindow, n) },
  { "lines", offsetof (FaintFitWindow, n_lines) },
  { "parameters", offsetof (FaintFitWindow, n_parameters) },
};

static const FaintVerdict verdicts[]
    = { FAINT_VERDICT_CONVERGED, FAINT_VERDICT_STALLED, FAINT_VERDICT_LIMIT };

#define MEMBER(type, self, offset) (*(type *)(void *)((char *)(self) + (offset)))

gboolean
faint_analysis_is_fit_key (const char *key)
{
  static const char *const others[] = { "found",   "began_with_lines", "verdict",   "iterations",
                                        "windows", "result",           "own_setup", NULL };

  for (gsize i = 0; i < G_N_ELEMENTS (fit_numbers); i++)
    if (strcmp (fit_numbers[i].key, key) == 0)
      return TRUE;
  for (gsize i = 0; i < G_N_ELEMENTS (instrument_numbers); i++)
    if (strcmp (instrument_numbers[i].key, key) == 0)
      return TRUE;
  return g_strv_contains (others, key) || g_str_has_prefix (key, "warning ")
         || g_str_has_prefix (key, "fringe ");
}

gboolean
faint_analysis_is_window_key (const char *key)
{
  for (gsize i = 0; i < G_N_ELEMENTS (window_numbers); i++)
    if (strcmp (window_numbers[i].key, key) == 0)
      return TRUE;
  for (gsize i = 0; i < G_N_ELEMENTS (window_sizes); i++)
    if (strcmp (window_sizes[i].key, key) == 0)
      return TRUE;
  return strcmp (key, "degree") == 0 || strcmp (key, "baseline") == 0;
}

static gsize
coefficients_of (const FaintFitWindow *window, const FaintSpectrum *spectrum)
{
  return (window->degree + 1) * (spectrum->value_im != NULL ? 2u : 1u);
}

static void
set_window (FaintAnalysisFile *file, const char *prefix, const FaintFit *fit, gsize k)
{
  FaintFitWindow window = fit->windows[k];
  g_autofree char *group = g_strdup_printf ("%swindow %" G_GSIZE_FORMAT, prefix, k + 1);
  g_autoptr (GString) baseline = g_string_new (NULL);
  gsize n = coefficients_of (&window, fit->spectrum);

  for (gsize i = 0; i < G_N_ELEMENTS (window_sizes); i++)
    faint_analysis_file_set_count (file, group, window_sizes[i].key,
                                   MEMBER (gsize, &window, window_sizes[i].offset));
  faint_analysis_file_set_count (file, group, "degree", window.degree);
  for (gsize i = 0; i < G_N_ELEMENTS (window_numbers); i++)
    faint_analysis_file_set_number (file, group, window_numbers[i].key,
                                    MEMBER (double, &window, window_numbers[i].offset));
  for (gsize i = 0; i < n; i++)
    {
      g_autofree char *text
          = faint_format_double (fit->baseline_coefficients[window.first_coefficient + i]);
      g_string_append_printf (baseline, "%s%s", i > 0 ? " " : "", text);
    }
  g_key_file_set_value (file->keys, group, "baseline", baseline->str);
}

static void
set_instrument (FaintAnalysisFile *file, const char *group, const FaintFitInstrument *instrument)
{
  FaintFitInstrument copy = *instrument;

  for (gsize i = 0; i < G_N_ELEMENTS (instrument_numbers); i++)
    if (isfinite (MEMBER (double, &copy, instrument_numbers[i].offset)))
      faint_analysis_file_set_number (file, group, instrument_numbers[i].key,
                                      MEMBER (double, &copy, instrument_numbers[i].offset));
  for (guint k = 0; k < copy.n_fringes; k++)
    for (gsize i = 0; i < G_N_ELEMENTS (fringe_numbers); i++)
      {
        g_autofree char *key = g_strdup_printf ("fringe %u %s", k + 1, fringe_numbers[i].key);
        faint_analysis_file_set_number (file, group, key,
                                        MEMBER (double, &copy.fringe[k], fringe_numbers[i].offset));
      }
}

static gboolean
read_instrument (const FaintAnalysisFile *file, const char *group, guint n_fringes,
                 FaintFitInstrument *instrument, GError **error)
{
  *instrument = FAINT_FIT_INSTRUMENT_NONE;
  for (gsize i = 0; i < G_N_ELEMENTS (instrument_numbers); i++)
    if (g_key_file_has_key (file->keys, group, instrument_numbers[i].key, NULL)
        && !faint_analysis_file_number (file, group, instrument_numbers[i].key,
                                        &MEMBER (double, instrument, instrument_numbers[i].offset),
                                        error))
      return FALSE;
  instrument->n_fringes = n_fringes;
  for (guint k = 0; k < n_fringes; k++)
    for (gsize i = 0; i < G_N_ELEMENTS (fringe_numbers); i++)
      {
        g_autofree char *key = g_strdup_printf ("fringe %u %s", k + 1, fringe_numbers[i].key);
        if (!faint_analysis_file_number (
                file, group, key,
                &MEMBER (double, &instrument->fringe[k], fringe_numbers[i].offset), error))
          return FALSE;
      }
  return TRUE;
}

void
faint_analysis_file_set_warnings (FaintAnalysisFile *file, const char *group,
                                  const GPtrArray *warnings)
{
  for (guint i = 0; warnings != NULL && i < warnings->len; i++)
    {
      const FaintWarning *warning = g_ptr_array_index (warnings, i);
      g_autofree char *key = g_strdup_printf ("warning %u", i + 1);
      g_autofree char *text = g_strdup_printf ("%s: %s", warning->code, warning->text);
      g_key_file_set_string (file->keys, group, key, text);
    }
}

void
faint_analysis_file_set_fit (FaintAnalysisFile *file, const char *prefix, const FaintFit *fit)
{
  FaintFit copy = *fit;
  g_autofree char *group = g_strconcat (prefix, "fit", NULL);
  g_autofree char *options = g_strconcat (prefix, "fit options", NULL);

  g_key_file_set_string (file->keys, group, "verdict", faint_verdict_name (fit->verdict));
  faint_analysis_file_set_count (file, group, "iterations", fit->iterations);
  faint_analysis_file_set_count (file, group, "windows", fit->n_windows);
  for (gsize i = 0; i < G_N_ELEMENTS (fit_numbers); i++)
    faint_analysis_file_set_number (file, group, fit_numbers[i].key,
                                    MEMBER (double, &copy, fit_numbers[i].offset));
  set_instrument (file, group, &fit->instrument);
  faint_analysis_file_set_warnings (file, group, fit->warnings);
  faint_analysis_file_set_options (file, options, &fit->options);
  for (gsize k = 0; k < fit->n_windows; k++)
    set_window (file, prefix, fit, k);
}

static gboolean
read_baseline (const FaintAnalysisFile *file, const char *group, gsize n, GArray *coefficients,
               GError **error)
{
  g_autofree char *text = faint_analysis_file_text (file, group, "baseline", error);
  g_auto (GStrv) words = g_strsplit (text != NULL ? text : "", " ", -1);
  gboolean good = g_strv_length (words) == n;

  if (text == NULL)
    return FALSE;
  for (gsize i = 0; good && i < n; i++)
    {
      double value;
      good = faint_analysis_parse_number (words[i], &value) && isfinite (value);
      g_array_append_val (coefficients, value);
    }
  if (good)
    return TRUE;
  return faint_analysis_file_refuse (file, group, "baseline", error,
                                     _ ("found '%s', expected %zu numbers"), text, n);
}

static gboolean
read_window (const FaintAnalysisFile *file, const char *group, const FaintSpectrum *spectrum,
             FaintFitWindow *window, GArray *coefficients, GError **error)
{
  guint64 count;

  *window = (FaintFitWindow){ .first_coefficient = coefficients->len };
  if (!g_key_file_has_group (file->keys, group))
    return faint_analysis_file_refuse (file, group, NULL, error, _ ("the group is missing"));
  for (gsize i = 0; i < G_N_ELEMENTS (window_sizes); i++)
    {
      if (!faint_analysis_file_count (file, group, window_sizes[i].key, &count, error))
        return FALSE;
      MEMBER (gsize, window, window_sizes[i].offset) = count;
    }
  if (!faint_analysis_file_count (file, group, "degree", &count, error))
    return FALSE;
  window->degree = (guint)MIN (count, 100);
  for (gsize i = 0; i < G_N_ELEMENTS (window_numbers); i++)
    if (!faint_analysis_file_number (file, group, window_numbers[i].key,
                                     &MEMBER (double, window, window_numbers[i].offset), error))
      return FALSE;
  if (window->n == 0 || window->first >= spectrum->n || window->n > spectrum->n - window->first)
    return faint_analysis_file_refuse (file, group, "first", error,
                                       _ ("the window lies outside the %zu teeth"), spectrum->n);
  window->n_used = faint_spectrum_count_used (spectrum, window->first, window->n);
  return read_baseline (file, group, coefficients_of (window, spectrum), coefficients, error);
}

gboolean
faint_analysis_file_verdict (const FaintAnalysisFile *file, const char *group,
                             FaintVerdict *verdict, GError **error)
{
  g_autofree char *text = faint_analysis_file_text (file, group, "verdict", error);

  if (text == NULL)
    return FALSE;
  for (gsize i = 0; i < G_N_ELEMENTS (verdicts); i++)
    if (strcmp (text, faint_verdict_name (verdicts[i])) == 0)
      {
        *verdict = verdicts[i];
        return TRUE;
      }
  return faint_analysis_file_refuse (file, group, "verdict", error, _ ("'%s' is not known"), text);
}

gboolean
faint_analysis_file_warnings (const FaintAnalysisFile *file, const char *group, GPtrArray *warnings,
                              GError **error)
{
  for (guint i = 1;; i++)
    {
      g_autofree char *key = g_strdup_printf ("warning %u", i);
      g_autofree char *text = NULL;
      g_auto (GStrv) parts = NULL;

      if (!g_key_file_has_key (file->keys, group, key, NULL))
        return TRUE;
      text = faint_analysis_file_text (file, group, key, error);
      if (text == NULL)
        return FALSE;
      parts = g_strsplit (text, ": ", 2);
      if (parts[0] == NULL || parts[1] == NULL)
        return faint_analysis_file_refuse (file, group, key, error,
                                           _ ("expected 'code: sentence'"));
      faint_warnings_add (warnings, parts[0], "%s", parts[1]);
    }
}

/* What the restored result cannot know by itself, as it was written. */
static gboolean
read_rest (const FaintAnalysisFile *file, const char *group, const FaintFitWindow *windows,
           FaintFit *fit, GError **error)
{
  guint64 iterations;

  if (!faint_analysis_file_verdict (file, group, &fit->verdict, error)
      || !faint_analysis_file_count (file, group, "iterations", &iterations, error))
    return FALSE;
  fit->iterations = (guint)MIN (iterations, G_MAXUINT);
  for (gsize i = 0; i < G_N_ELEMENTS (fit_numbers); i++)
    if (!faint_analysis_file_number (file, group, fit_numbers[i].key,
                                     &MEMBER (double, fit, fit_numbers[i].offset), error))
      return FALSE;
  for (gsize k = 0; k < fit->n_windows; k++)
    {
      gsize used = fit->windows[k].n_used; /* follows from the spectrum, and is not written */

      fit->windows[k] = windows[k];
      fit->windows[k].n_used = used;
    }
  if (fit->warnings == NULL)
    fit->warnings = faint_warnings_new ();
  g_ptr_array_set_size (fit->warnings, 0);
  return faint_analysis_file_warnings (file, group, fit->warnings, error);
}

/* What was read of a result before it is restored. */
typedef struct
{
  FaintFitOptions options;
  FaintFitInstrument instrument;
  GArray *windows, *coefficients;
} Stored;

static void
stored_clear (Stored *self)
{
  g_clear_pointer (&self->windows, g_array_unref);
  g_clear_pointer (&self->coefficients, g_array_unref);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Stored, stored_clear)

static gboolean
read_stored (const FaintAnalysisFile *file, const char *prefix, const FaintSpectrum *spectrum,
             Stored *stored, GError **error)
{
  g_autofree char *group = g_strconcat (prefix, "fit", NULL);
  g_autofree char *options = g_strconcat (prefix, "fit options", NULL);
  guint64 n;

  stored->windows = g_array_new (FALSE, FALSE, sizeof (FaintFitWindow));
  stored->coefficients = g_array_new (FALSE, FALSE, sizeof (double));
  if (!faint_analysis_file_options (file, options, &stored->options, error)
      || !faint_analysis_file_count (file, group, "windows", &n, error)
      || !read_instrument (file, group, stored->options.fringes, &stored->instrument, error))
    return FALSE;
  for (guint64 k = 0; k < n; k++)
    {
      g_autofree char *name = g_strdup_printf ("%swindow %" G_GUINT64_FORMAT, prefix, k + 1);
      FaintFitWindow window;
      if (!read_window (file, name, spectrum, &window, stored->coefficients, error))
        return FALSE;
      g_array_append_val (stored->windows, window);
    }
  return TRUE;
}

FaintFit *
faint_analysis_file_fit (const FaintAnalysisFile *file, const char *prefix, FaintSpectrum *spectrum,
                         FaintLineList *start, FaintLineList *lines, GError **error)
{
  g_autofree char *group = g_strconcat (prefix, "fit", NULL);
  g_auto (Stored) stored = { .windows = NULL };
  g_autoptr (FaintFit) fit = NULL;
  const FaintFitWindow *windows;
  double width[2];

  if (!g_key_file_has_key (file->keys, group, "verdict", NULL)
      || !read_stored (file, prefix, spectrum, &stored, error)
      || !faint_analysis_file_number (file, group, "width_mean", &width[0], error)
      || !faint_analysis_file_number (file, group, "width_spread", &width[1], error))
    return NULL;
  windows = (const FaintFitWindow *)(const void *)stored.windows->data;
  fit = faint_fit_restore (spectrum, start, lines, &stored.options, windows, stored.windows->len,
                           (const double *)(const void *)stored.coefficients->data,
                           &stored.instrument, width[0], width[1], error);
  if (fit == NULL || !read_rest (file, group, windows, fit, error))
    return NULL;
  return g_steal_pointer (&fit);
}
