/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * When a stated detuning is questioned, and in which words.
 */
#include "faint/fit/score.h"

#include <math.h>

#include "faint/base/quantity.h"
#include "faint/fit/fit-private.h"
#include "faint/base/words.h"

/* Standard uncertainties: a stated value is contradicted by this many of both together, the data
 * tell their own by this many of theirs. */
#define CONTRADICTED 3.0
#define TOLD 5.0
/* The data know a parameter better than it was stated if by this factor. */
#define BETTER 3.0
/* A value that is not settled is not told with a chi-square above this: it may be far from its end.
 */
#define POOR 2.0

/* Is it time to let the fit find it? */
static gboolean
is_told (FaintScore score, FaintQuantity stated)
{
  double held = faint_quantity_is_known (stated) ? stated.value : 0.0;
  double u = faint_quantity_u_or_zero (stated), shift = fabs (score.value - held);

  if (!isfinite (score.value) || !isfinite (score.u))
    return FALSE;
  if (u > 0.0 && shift > CONTRADICTED * hypot (score.u, u))
    return TRUE;
  return shift > TOLD * score.u && (!(u > 0.0) || BETTER * score.u < u);
}

/* One step, and where that tells, a few more. */
static gboolean
is_told_in_the_end (const FaintFit *fit, gboolean slope, FaintQuantity stated, FaintScore *score)
{
  if (!is_told (*score, stated))
    return FALSE;
  if (((const FaintFitWork *)fit->work)->joint == NULL)
    *score = faint_score_refine_detuning (fit, slope);
  return is_told (*score, stated);
}

/* What is known of a parameter, in words. */
typedef struct
{
  const char *whose; /* whose data say so */
  const char *what, *unit, *option;
  double in_unit;
} Wording;

static void
warn (const FaintFit *fit, const Wording *w, FaintQuantity stated, FaintScore score,
      GPtrArray *warnings)
{
  gboolean joint = ((const FaintFitWork *)fit->work)->joint != NULL;
  g_autofree char *found = faint_format_concise (score.value / w->in_unit, score.u / w->in_unit);
  g_autofree char *value = faint_format_concise (stated.value / w->in_unit, stated.u / w->in_unit);
  g_autofree char *had = faint_quantity_is_known (stated)
                             ? g_strdup_printf (N_ ("%s %s is stated"), value, w->unit)
                             : g_strdup (N_ ("none is stated, so 0 was taken"));
  /* What freeing it in one of several spectra does to chi-square is not known by one step. */
  g_autofree char *chi2
      = joint
            ? NULL
            : g_strdup_printf (N_ ("With it free the reduced chi-square is %.3g instead of %.3g."),
                               score.chi2_reduced, fit->chi2_reduced);
  g_autofree char *advice = g_strdup_printf (N_ ("Let the fit find it (%s)."), w->option);
  g_autofree char *verdict
      = !joint && !score.settled && score.chi2_reduced > POOR
            ? g_strdup_printf (N_ ("%s contradicts %s as it was taken: %s."), w->whose, w->what,
                               had)
            : g_strdup_printf (score.settled ? N_ ("%s puts %s at %s %s; %s.")
                                             : N_ ("%s puts %s at about %s %s; %s."),
                               w->whose, w->what, found, w->unit, had);
  g_autofree char *text
      = g_strjoin (" ", verdict, chi2 != NULL ? chi2 : advice, chi2 != NULL ? advice : NULL, NULL);

  faint_warnings_add (warnings, "detuning-not-as-stated", "%s", text);
}

static void
warn_of (const FaintFit *fit, const char *whose, FaintScore detuning, FaintScore slope,
         GPtrArray *warnings)
{
  const FaintSetup *setup = fit->spectrum->setup;

  if (is_told_in_the_end (fit, FALSE, setup->tooth_detuning, &detuning))
    warn (fit,
          &(Wording){ whose, N_ ("the detuning of the teeth from their modes"), "kHz",
                      "detuning_free", 1e3 },
          setup->tooth_detuning, detuning, warnings);
  else if (is_told_in_the_end (fit, TRUE, setup->tooth_detuning_slope, &slope))
    warn (fit,
          &(Wording){ whose, N_ ("the change of the teeth's detuning over the span"), "Hz/Hz",
                      "detuning_slope_free", 1.0 },
          setup->tooth_detuning_slope, slope, warnings);
}

void
faint_score_warn (FaintFit *const *parts, gsize n, GPtrArray *warnings)
{
  g_autofree FaintScore *detuning = g_new (FaintScore, n);
  g_autofree FaintScore *slope = g_new (FaintScore, n);

  if (!faint_score_detuning (parts, n, detuning, slope))
    return;
  for (gsize s = 0; s < n; s++)
    {
      g_autofree char *whose
          = n > 1 ? g_strdup_printf (N_ ("Spectrum %zu"), s + 1) : g_strdup (N_ ("The spectrum"));

      warn_of (parts[s], whose, detuning[s], slope[s], warnings);
    }
}
