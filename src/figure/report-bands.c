/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Constants of bands: how many lines they come from, and their values.
 */
#include "figure/report-private.h"

#include <math.h>

typedef struct
{
  char *name;
  double value, u, u_lower;
} Constant;

/* More are counted. */
#define MOST_ABSENT 60

/* Expected and not found. */
typedef struct
{
  char *name, *upper, *lower;
  double position, u, strength, u_strength, over_limit;
} Absent;

typedef struct
{
  char *name;
  guint n_lines;
  gsize n_kept, n;
  double chi2_reduced, scale;
  GArray *constants; /* Constant */
  GArray *absent;    /* Absent, all above the weakest strengths of the list, by position */
} Band;

static void
constant_clear (gpointer data)
{
  g_free (((Constant *)data)->name);
}

static void
absent_clear (gpointer data)
{
  Absent *absent = data;

  g_free (absent->name);
  g_free (absent->upper);
  g_free (absent->lower);
}

static void
band_free (gpointer data)
{
  Band *band = data;

  g_array_unref (band->constants);
  g_array_unref (band->absent);
  g_free (band->name);
  g_free (band);
}

static GArray *
absent_new (const FaintAssignment *assignment, guint band)
{
  GArray *all = g_array_new (FALSE, FALSE, sizeof (Absent));

  g_array_set_clear_func (all, absent_clear);
  for (guint i = 0; assignment != NULL && i < assignment->predicted->len; i++)
    {
      const FaintPredicted *it = &g_array_index (assignment->predicted, FaintPredicted, i);
      const FaintLadder *ladder = g_ptr_array_index (assignment->ladders, it->ladder);
      Absent absent = { .position = it->position,
                        .u = it->u,
                        .strength = it->strength,
                        .u_strength = it->u_strength,
                        .over_limit = it->over_limit };

      if (it->band != band || !(it->over_limit > 1.0))
        continue;
      absent.name = g_strdup_printf ("%c(%d)", faint_branch_letter (it->branch),
                                     faint_branch_lower_j (it->branch, it->j));
      absent.upper = faint_assignment_upper_label (assignment, band, it->ladder, it->j);
      absent.lower
          = g_strdup (faint_ladder_lower (ladder, assignment->levels, it->branch, it->j)->label);
      g_array_append_val (all, absent);
    }
  return all;
}

static void
add_band (GPtrArray *bands, const char *name, guint n_lines, const FaintBand *found, GArray *absent)
{
  Band *band = g_new0 (Band, 1);

  band->name = g_strdup (name);
  band->n_lines = n_lines;
  band->absent = absent;
  band->n = found->fit->n;
  band->n_kept = found->fit->n_kept;
  band->chi2_reduced = found->fit->chi2_reduced;
  band->scale = found->fit->scale;
  band->constants = g_array_new (FALSE, FALSE, sizeof (Constant));
  g_array_set_clear_func (band->constants, constant_clear);
  for (guint i = 0; i < found->constants->len; i++)
    {
      const FaintBandConstant *from = &g_array_index (found->constants, FaintBandConstant, i);
      Constant constant = { g_strdup (from->name), from->value, from->u, from->u_lower };
      g_array_append_val (band->constants, constant);
    }
  g_ptr_array_add (bands, band);
}

GPtrArray *
faint_report_bands_new (const FaintAssignment *assignment)
{
  GPtrArray *bands = g_ptr_array_new_with_free_func (band_free);

  for (guint i = 0; assignment != NULL && i < assignment->bands->len; i++)
    {
      const FaintAssignedBand *band = &g_array_index (assignment->bands, FaintAssignedBand, i);
      g_autofree char *lower = g_strdup_printf ("%s, lower state from differences", band->name);

      if (band->band != NULL)
        add_band (bands, band->name, band->n_lines, band->band, absent_new (assignment, i));
      if (band->lower != NULL)
        add_band (bands, lower, band->n_lines, band->lower, absent_new (NULL, i));
    }
  return bands;
}

static const FaintPaperColumn columns[] = {
  { "constant", 1.0, FAINT_PAPER_LEFT },
  { "value/cm⁻¹", 1.6, FAINT_PAPER_POINT },
  { "u/cm⁻¹", 1.0, FAINT_PAPER_POINT },
  { "u from the lower state/cm⁻¹", 1.4, FAINT_PAPER_POINT },
};

static void
add_constant (FaintReport *self, const Constant *constant)
{
  char **cells = g_new0 (char *, G_N_ELEMENTS (columns));

  cells[0] = g_strdup (constant->name);
  cells[1] = faint_report_number (constant->value, constant->u);
  cells[2] = faint_report_plain (constant->u, 2);
  cells[3] = constant->u_lower > 0.0 ? faint_report_plain (constant->u_lower, 2) : g_strdup ("–");
  faint_paper_row (self->paper, cells);
}

static const FaintPaperColumn absent_columns[] = {
  { "expected, not found", 1.1, FAINT_PAPER_LEFT }, { "upper level", 1.0, FAINT_PAPER_LEFT },
  { "lower level", 1.0, FAINT_PAPER_LEFT },         { "position/cm⁻¹", 1.5, FAINT_PAPER_POINT },
  { "S/(cm/molecule)", 1.5, FAINT_PAPER_POINT },    { "over the weakest", 1.0, FAINT_PAPER_POINT },
};

static gboolean
was_recorded (const FaintReport *self, double position)
{
  for (gsize k = 0; k < faint_analysis_get_n_spectra (self->analysis); k++)
    {
      const FaintSpectrum *spectrum = faint_analysis_get_spectrum_at (self->analysis, k);

      if (spectrum->n > 0 && position >= spectrum->wavenumber[0]
          && position <= spectrum->wavenumber[spectrum->n - 1])
        return TRUE;
    }
  return FALSE;
}

static void
add_absent_row (FaintReport *self, const Absent *absent)
{
  char **cells = g_new0 (char *, G_N_ELEMENTS (absent_columns));

  cells[0] = g_strdup (absent->name);
  cells[1] = g_strdup (absent->upper);
  cells[2] = g_strdup (absent->lower);
  cells[3] = faint_report_number (absent->position, absent->u);
  cells[4] = faint_report_number (absent->strength, absent->u_strength);
  cells[5] = faint_report_plain (absent->over_limit, 2);
  faint_paper_row (self->paper, cells);
}

/* Lines that the band should have within what was recorded, and that no line is. */
static void
add_absent (FaintReport *self, const Band *band)
{
  guint n = 0;

  for (guint k = 0; k < band->absent->len; k++)
    n += was_recorded (self, g_array_index (band->absent, Absent, k).position);
  if (n == 0)
    return;
  faint_paper_table (self->paper, absent_columns, G_N_ELEMENTS (absent_columns));
  n = 0;
  for (guint k = 0; k < band->absent->len; k++)
    if (was_recorded (self, g_array_index (band->absent, Absent, k).position) && n++ < MOST_ABSENT)
      add_absent_row (self, &g_array_index (band->absent, Absent, k));
  faint_paper_table_end (self->paper);
  if (n > MOST_ABSENT)
    {
      g_autofree char *more = g_strdup_printf ("And %u more.", n - MOST_ABSENT);

      faint_paper_note (self->paper, more);
    }
  faint_paper_note (self->paper,
                    "Lines that the constants foretell within what was recorded, stronger than the "
                    "weakest of the list (their twentieth part lies below), and that no line is.");
}

void
faint_report_bands (FaintReport *self)
{
  for (guint i = 0; self->bands != NULL && i < self->bands->len; i++)
    {
      const Band *band = g_ptr_array_index (self->bands, i);
      g_autofree char *name = faint_paper_escape (band->name);
      g_autofree char *heading = g_strdup_printf ("Constants of the band %s", name);
      g_autofree char *chi2 = faint_report_plain (band->chi2_reduced, 3);
      g_autofree char *scale = faint_report_plain (band->scale, 3);
      g_autofree char *words = g_strdup_printf (
          "Weighted linear least squares on %zu of %zu positions, %u lines assigned; reduced "
          "chi-square %s. Uncertainties are scaled by %s, the scatter of the lines.",
          band->n_kept, band->n, band->n_lines, chi2, scale);

      faint_paper_heading (self->paper, heading);
      faint_paper_note (self->paper, words);
      if (band->n > band->n_kept)
        faint_paper_note (self->paper,
                          "Lines were left out that lie further off the fit than their scatter "
                          "allows: obs. − calc. of the assignment shows them.");
      faint_paper_table (self->paper, columns, G_N_ELEMENTS (columns));
      for (guint k = 0; k < band->constants->len; k++)
        add_constant (self, &g_array_index (band->constants, Constant, k));
      faint_paper_table_end (self->paper);
      add_absent (self, band);
    }
}

/* In one paragraph for the short form; at most two bands. */
void
faint_report_constants (FaintReport *self)
{
  for (guint i = 0; self->bands != NULL && i < MIN (self->bands->len, 2); i++)
    {
      const Band *band = g_ptr_array_index (self->bands, i);
      GString *text = g_string_new (NULL);

      for (guint k = 0; k < MIN (band->constants->len, 6); k++)
        {
          const Constant *constant = &g_array_index (band->constants, Constant, k);
          g_autofree char *value = faint_report_number (constant->value, constant->u);
          g_string_append_printf (text, "%s%s = %s cm⁻¹", k > 0 ? ";  " : "", constant->name,
                                  value);
        }
      faint_report_pair (self, "constants", "%s: %s", band->name, text->str);
      g_string_free (text, TRUE);
    }
}
