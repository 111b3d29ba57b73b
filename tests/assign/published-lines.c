/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "published-lines.h"

#include "faint/base/units.h"
#include "faint-test.h"

#include <math.h>

static double
position (const FaintTestTable *table, guint row)
{
  if (*faint_test_table_text (table, row, "frequency_kHz") != '\0')
    return faint_test_table_number (table, row, "frequency_kHz") * 1e3 / FAINT_SPEED_OF_LIGHT_CM_S;
  if (*faint_test_table_text (table, row, "vacuum_wavelength_nm") != '\0')
    return 1e7 / faint_test_table_number (table, row, "vacuum_wavelength_nm");
  return faint_test_table_number (table, row, "wavenumber_cm-1");
}

static double
position_u (const FaintTestTable *table, guint row, double nu, double u_cm)
{
  if (*faint_test_table_text (table, row, "u_kHz_k1") != '\0')
    return faint_test_table_number (table, row, "u_kHz_k1") * 1e3 / FAINT_SPEED_OF_LIGHT_CM_S;
  if (*faint_test_table_text (table, row, "U_nm_k2") != '\0')
    return 0.5 * faint_test_table_number (table, row, "U_nm_k2") * 1e-7 * nu * nu;
  return u_cm;
}

PublishedLines
published_lines (const char *set, guint j_most, double u_cm)
{
  FaintTestTable *table = faint_test_table_read ("metrology_lines.csv");
  PublishedLines lines = { .n = 0 };

  for (guint row = 0; row < table->rows->len; row++)
    {
      FaintBandLine *line = &lines.line[lines.n];
      const char *branch = faint_test_table_text (table, row, "branch");
      guint j = (guint)faint_test_table_number (table, row, "J_lower");

      if (!g_str_equal (faint_test_table_text (table, row, "set"), set) || j > j_most)
        continue;
      g_assert_cmpuint (lines.n, <, PUBLISHED_MOST);
      *line = (FaintBandLine){ .id = (guint)++lines.n };
      line->branch = *branch == 'P' ? FAINT_BRANCH_P : FAINT_BRANCH_R;
      line->j = *branch == 'P' ? (int)j - 1 : (int)j + 1;
      line->nu = position (table, row);
      line->u = position_u (table, row, line->nu, u_cm);
    }
  faint_test_table_free (table);
  g_assert_cmpuint (lines.n, >, 0);
  return lines;
}

gsize
published_find (const PublishedLines *self, FaintBranch branch, int j_lower)
{
  for (gsize i = 0; i < self->n; i++)
    if (self->line[i].branch == branch && faint_branch_lower_j (branch, self->line[i].j) == j_lower)
      return i;
  g_assert_not_reached ();
}

FaintLineList *
published_list (const PublishedLines *self)
{
  g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (FaintLine));

  for (gsize i = 0; i < self->n; i++)
    {
      FaintLine line = faint_line_unknown ();
      g_autofree char *remark
          = g_strdup_printf ("%c %d", faint_branch_letter (self->line[i].branch),
                             faint_branch_lower_j (self->line[i].branch, self->line[i].j));

      line.id = self->line[i].id;
      line.position.value = self->line[i].nu;
      line.position.u = self->line[i].u;
      line.remark = g_intern_string (remark);
      g_array_append_val (lines, line);
    }
  return faint_line_list_new ((const FaintLine *)lines->data, lines->len);
}

static FaintConstants *
acetylene (double b_mhz, double d_khz, double h_millihertz)
{
  FaintConstants *constants = faint_constants_new ();

  constants->value[0][FAINT_CONSTANT_B] = b_mhz * 1e6 / FAINT_SPEED_OF_LIGHT_CM_S;
  constants->value[0][FAINT_CONSTANT_D] = d_khz * 1e3 / FAINT_SPEED_OF_LIGHT_CM_S;
  constants->value[0][FAINT_CONSTANT_H] = h_millihertz * 1e-3 / FAINT_SPEED_OF_LIGHT_CM_S;
  constants->j_max = 45;
  return constants;
}

/* Kabbadj et al., J. Mol. Spectrosc. 150, 535 (1991), from memory: B0 = 1.1766464,
 * D0 = 1.627e-6 cm-1; more digits, and H0, from the standard frequencies' own differences. */
FaintConstants *
published_acetylene_12 (void)
{
  FaintConstants *constants = acetylene (35274.97424, 48.775, 45.23);

  constants->spin_even = 1.0;
  constants->spin_odd = 3.0;
  return constants;
}

FaintConstants *
published_acetylene_13 (void)
{
  FaintConstants *constants = acetylene (33563.9949, 44.586, 37.06);

  constants->spin_even = 10.0;
  constants->spin_odd = 6.0;
  return constants;
}
