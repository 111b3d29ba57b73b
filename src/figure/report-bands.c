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

typedef struct
{
  char *name;
  guint n_lines;
  gsize n_kept, n;
  double chi2_reduced, scale;
  GArray *constants; /* Constant */
} Band;

static void
constant_clear (gpointer data)
{
  g_free (((Constant *)data)->name);
}

static void
band_free (gpointer data)
{
  Band *band = data;

  g_array_unref (band->constants);
  g_free (band->name);
  g_free (band);
}

static void
add_band (GPtrArray *bands, const char *name, guint n_lines, const FaintBand *found)
{
  Band *band = g_new0 (Band, 1);

  band->name = g_strdup (name);
  band->n_lines = n_lines;
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
        add_band (bands, band->name, band->n_lines, band->band);
      if (band->lower != NULL)
        add_band (bands, lower, band->n_lines, band->lower);
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
