/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/fit/doubt.h"

#include <math.h>
#include <string.h>

#include "faint/fit/split.h"
#include "faint/base/words.h"

/* Two strengths that know each other this closely are told apart only by ... */
#define CORRELATED 0.98
/* ... being this many times their uncertainties; the sum of a blend is determined if it is. */
#define DETERMINED 3.0
/* A strength known to this part is its line's own, whatever stands beside it. */
#define KNOWN 0.1
/* Lines within this many half widths, and this many in the list, are one blend; two within the
 * second distance hide each other. */
#define BLEND 4.0
#define BLEND_LINES 4
#define HIDDEN 1.5
/* Positions that a warning names. */
#define NAMED 4

typedef enum
{
  CASE_NONE,
  CASE_BLEND,
  CASE_NOT_SEEN,  /* a given line that the noise hides */
  CASE_NO_FINITE, /* no data for a parameter */
  CASE_WIDTH,
  CASE_SPLIT,
} Case;

static gssize
strength_place (const FaintSearch *self, gsize line)
{
  return self->model->layout->place[line][FAINT_PLACE_STRENGTH];
}

/* Do the data know the sum of two strengths, but not that of @i? Beside a strong line, which they
 * know well, a faint one alone may be in doubt. */
static gboolean
are_confused (const FaintSearch *self, gsize i, gsize j)
{
  const FaintModel *model = self->model;
  double factor = model->layout->factor[i][FAINT_PLACE_STRENGTH]
                  * model->layout->factor[j][FAINT_PLACE_STRENGTH];
  double a = model->lines[i].strength.value, b = model->lines[j].strength.value;
  double va = faint_fit_work_line_variance (self->work, i, FAINT_PLACE_STRENGTH);
  double vb = faint_fit_work_line_variance (self->work, j, FAINT_PLACE_STRENGTH);
  double both = factor
                * faint_normal_get (self->work->inverse, (gsize)strength_place (self, i),
                                    (gsize)strength_place (self, j));
  double own = sqrt (va) / fabs (a);
  double worse = MAX (own, sqrt (vb) / fabs (b));
  double better = MIN (sqrt (va) / fabs (a), sqrt (vb) / fabs (b));
  double sum = sqrt (MAX (va + vb + 2.0 * both, 0.0));

  if (!(DETERMINED * sum < fabs (a + b)))
    return FALSE;
  return better > 1.0
         || (both < -CORRELATED * sqrt (va * vb) && own > KNOWN && worse > 1.0 / DETERMINED);
}

static gboolean
is_lost_in_blend (const FaintSearch *self, gsize i)
{
  const FaintModel *model = self->model;
  double half = faint_search_half_width (&model->lines[i]);
  gboolean held = g_array_index (self->lines, FaintSearchLine, i).held;

  if (strength_place (self, i) < 0)
    return FALSE;
  for (gsize j = i > BLEND_LINES ? i - BLEND_LINES : 0;
       j <= i + BLEND_LINES && j < model->layout->n_lines; j++)
    {
      double apart = fabs (model->lines[j].position.value - model->lines[i].position.value);

      if (j == i || strength_place (self, j) < 0
          || strength_place (self, j) == strength_place (self, i))
        continue;
      if ((held && apart < HIDDEN * half) || (apart < BLEND * half && are_confused (self, i, j)))
        return TRUE;
    }
  return FALSE;
}

static gboolean
lacks_data (const FaintSearch *self, gsize i)
{
  for (int p = 0; p < FAINT_PLACE_N; p++)
    if (self->model->layout->place[i][p] >= 0
        && !isfinite (faint_fit_work_variance (self->work, self->model->layout->place[i][p])))
      return TRUE;
  return FALSE;
}

static Case
undetermined_case (const FaintSearch *self, gsize i)
{
  if (is_lost_in_blend (self, i))
    return CASE_BLEND;
  if (g_array_index (self->lines, FaintSearchLine, i).held)
    return CASE_NOT_SEEN;
  return lacks_data (self, i) ? CASE_NO_FINITE : CASE_NONE;
}

guint
faint_doubt_flags (const FaintSearch *search, gsize line)
{
  guint flags = faint_split_is_unusual (search, line) ? FAINT_LINE_WIDTH_UNUSUAL : 0;

  return flags | (undetermined_case (search, line) != CASE_NONE ? FAINT_LINE_NOT_DETERMINED : 0);
}

static gboolean
is_case (const FaintSearch *self, gsize i, Case which)
{
  if (which == CASE_WIDTH)
    return faint_split_is_unusual (self, i);
  if (which == CASE_SPLIT)
    return g_array_index (self->lines, FaintSearchLine, i).split;
  return undetermined_case (self, i) == which;
}

/* "7790.2201, 7790.2250, 7801.1000, 7804.2031 cm-1 and 5 more", or NULL where none is. */
static char *
name_lines (const FaintSearch *self, Case which, gsize *count)
{
  GString *text = g_string_new (NULL);
  g_autofree char *named = NULL;

  *count = 0;
  for (gsize i = 0; i < self->lines->len; i++)
    if (is_case (self, i, which) && (*count)++ < NAMED)
      g_string_append_printf (text, "%s%.4f", text->len > 0 ? ", " : "",
                              self->model->lines[i].position.value);
  g_string_append (text, " cm-1");
  if (*count > NAMED)
    g_string_printf (text, N_ ("%s and %zu more"), (named = g_strdup (text->str)), *count - NAMED);
  return g_string_free (text, *count == 0);
}

typedef struct
{
  Case which;
  const char *code;
  const char *one, *many;      /* with how many and which */
  const char *remark, *advice; /* sentences after it: for everybody, for who fits; NULL: none */
} Wording;

static const Wording wordings[] = {
  { CASE_BLEND, "not-determined",
    N_ ("%zu line stands in a blend that the data do not tell apart; its strength is not "
        "determined, only "
        "the sum with its neighbour's: %s."),
    N_ ("%zu lines stand in blends that the data do not tell apart; their strengths are not "
        "determined, "
        "only sums of them: %s."),
    NULL, N_ ("Tie their widths or strengths, fix a parameter, or remove a line.") },
  { CASE_NOT_SEEN, "not-determined",
    N_ ("%zu given line does not stand three uncertainties above nothing; position and width stay "
        "as given: %s."),
    N_ ("%zu given lines do not stand three uncertainties above nothing; positions and widths stay "
        "as "
        "given: %s."),
    NULL, N_ ("Remove what is not there, or fix what is known.") },
  { CASE_NO_FINITE, "not-determined",
    N_ ("%zu line has a parameter of which the data say nothing: %s."),
    N_ ("%zu lines have a parameter of which the data say nothing: %s."), NULL,
    N_ ("Fix or tie that parameter, or remove the line.") },
  { CASE_WIDTH, "widths-unusual", N_ ("%zu line is far wider than the others: %s."),
    N_ ("%zu lines are far wider than the others: %s."),
    N_ ("Each may be a blend that the data do not resolve."),
    N_ ("Look at the residuals there, add a line or tie the widths.") },
  { CASE_SPLIT, "lines-split", N_ ("%zu line was taken for a pair with another: %s."),
    N_ ("%zu lines come from pairs that looked like one line and that two fit better: %s."),
    N_ ("If most strong lines are among them, the model is at fault rather: look at detuning, "
        "temperature and profile."),
    NULL },
};

void
faint_doubt_warn (const FaintSearch *search, GPtrArray *warnings)
{
  if (search->profile_doubtful)
    faint_warnings_add (
        warnings, "profile-doubtful",
        N_ ("The residuals of most strong lines have a pattern in common, so the model "
            "does not suit them, and lines found beside strong ones may not be there. "
            "Look at detuning, temperature and profile. Close pairs were not sought."));
  for (gsize k = 0; k < G_N_ELEMENTS (wordings); k++)
    {
      const Wording *w = &wordings[k];
      gsize count;
      g_autofree char *names = name_lines (search, w->which, &count);
      g_autofree char *sentence = NULL, *text = NULL;

      if (names == NULL)
        continue;
      sentence = g_strdup_printf (count == 1 ? w->one : w->many, count, names);
      text = g_strjoin (" ", sentence, w->remark != NULL ? w->remark : w->advice,
                        w->remark != NULL ? w->advice : NULL, NULL);
      faint_warnings_add (warnings, w->code, "%s", text);
    }
}

char *
faint_doubt_without_advice (const FaintWarning *warning)
{
  for (gsize k = 0; k < G_N_ELEMENTS (wordings); k++)
    if (wordings[k].advice != NULL && g_str_equal (wordings[k].code, warning->code)
        && g_str_has_suffix (warning->text, wordings[k].advice))
      return g_strchomp (
          g_strndup (warning->text, strlen (warning->text) - strlen (wordings[k].advice)));
  return g_strdup (warning->text);
}
