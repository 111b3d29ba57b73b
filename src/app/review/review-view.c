/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/review/review-view.h"

#include <math.h>

/* The line that a row is drawn by: as seen, else as claimed. What is not seen has no strength worth
 * a stick in the refit, even where it was fitted. */
static const FaintLine *
line_of (const FaintReview *review, const FaintReviewLine *row)
{
  FaintLineList *seen = faint_analysis_get_lines (review->refit);
  const FaintLine *line = row->refitted_id > 0 && row->verdict != FAINT_REVIEW_NOT_SEEN
                              ? faint_line_list_find (seen, row->refitted_id)
                              : NULL;

  if (line == NULL && row->claimed_id > 0)
    line = faint_line_list_find (review->compared, row->claimed_id);
  return line;
}

static FaintParameter
plain (const FaintParameter *from)
{
  return (FaintParameter){ from->value, from->u, from->u_noise, FAINT_STATE_FREE, 0, 1.0, 0.0 };
}

/* A line without anything but what a plot needs: ties and ids of the other list mean nothing here.
 */
static FaintLine
plain_line (const FaintLine *from, double position, guint id)
{
  FaintLine line = faint_line_unknown ();

  line.id = id;
  line.position.value = position;
  if (from == NULL)
    return line;
  line.position.u = from->position.u;
  line.strength = plain (&from->strength);
  line.lorentz = plain (&from->lorentz);
  line.doppler = plain (&from->doppler);
  line.peak = from->peak;
  return line;
}

static FaintLineList *
rows_new (const FaintReview *review)
{
  gsize n = review->lines->len;
  g_autofree FaintLine *lines = g_new (FaintLine, MAX (n, 1));

  for (gsize i = 0; i < n; i++)
    {
      const FaintReviewLine *row = g_ptr_array_index (review->lines, i);

      lines[i] = plain_line (line_of (review, row), row->position, (guint)i + 1);
      if (row->refitted_id == 0 || row->verdict == FAINT_REVIEW_NOT_SEEN)
        lines[i].strength.value = NAN;
    }
  return faint_line_list_new (lines, n);
}

/* Rows of one verdict as they are marked. */
static FaintLineList *
marked_new (const FaintReview *review, FaintReviewVerdict verdict)
{
  g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (FaintLine));

  for (guint i = 0; i < review->lines->len; i++)
    {
      const FaintReviewLine *row = g_ptr_array_index (review->lines, i);
      FaintLine line = plain_line (line_of (review, row), row->position, i + 1);

      if (row->verdict == verdict)
        g_array_append_val (lines, line);
    }
  return faint_line_list_new ((const FaintLine *)(gpointer)lines->data, lines->len);
}

FaintReviewView *
faint_review_view_new (FaintReview *review, gsize shown)
{
  FaintReviewView *self = g_new0 (FaintReviewView, 1);
  g_autoptr (FaintLineList) rows = rows_new (review);
  FaintFit *refit = faint_analysis_get_fit_at (review->refit, shown);
  FaintFit *claims = faint_analysis_get_fit_at (review->model, shown);

  self->data
      = faint_figure_data_new (faint_analysis_get_spectrum_at (review->refit, shown), refit, rows);
  if (claims)
    self->other = faint_other_trace_new_for_fit (self->data, claims);
  self->claimed = faint_line_list_ref (review->compared);
  self->not_seen = marked_new (review, FAINT_REVIEW_NOT_SEEN);
  self->not_claimed = marked_new (review, FAINT_REVIEW_NOT_CLAIMED);
  return self;
}

void
faint_review_view_free (FaintReviewView *self)
{
  if (self == NULL)
    return;
  faint_figure_data_unref (self->data);
  faint_other_trace_unref (self->other);
  faint_line_list_unref (self->claimed);
  faint_line_list_unref (self->not_seen);
  faint_line_list_unref (self->not_claimed);
  g_free (self);
}
