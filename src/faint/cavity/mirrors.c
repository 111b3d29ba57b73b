/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The loss of a stated cavity at every tooth: one number for the whole span, or a table of
 * finesse.
 */
#include "faint/cavity/finesse.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_spline.h>
#include <math.h>

#include "faint/base/words.h"

/* |d loss/d F| from F = pi sqrt(s)/loss. */
static double
loss_by_finesse (double loss)
{
  return 2.0 * loss * (1.0 - loss) / (faint_cavity_finesse_from_loss (loss) * (2.0 - loss));
}

/* Loss and its standard uncertainty from the one number stated. The uncertainty of the cavity's
 * length is not in it: the length enters elsewhere too, so whoever states a budget varies it. */
static double
loss_of_number (const FaintSetup *setup, double *u_loss)
{
  double value = setup->mirror.value, u = faint_quantity_u_or_zero (setup->mirror);
  double range = faint_cavity_free_spectral_range (setup->geometry, setup->cavity_length.value);
  double loss;

  switch (setup->mirror_kind)
    {
    case FAINT_MIRROR_FINESSE:
      loss = faint_cavity_loss_from_finesse (value);
      *u_loss = loss_by_finesse (loss) * u;
      return loss;
    case FAINT_MIRROR_REFLECTIVITY:
      loss = faint_cavity_loss_from_reflectivity (setup->geometry, value);
      *u_loss = setup->geometry == FAINT_GEOMETRY_RING ? 0.5 * u / (1.0 - loss) : u;
      return loss;
    case FAINT_MIRROR_RING_DOWN_TIME:
      loss = faint_cavity_loss_from_ring_down (value, range);
      *u_loss = (1.0 - loss) * 0.5 / (range * value) * u / value;
      return loss;
    case FAINT_MIRROR_LINEWIDTH:
      loss = faint_cavity_loss_from_linewidth (value, range);
      *u_loss = loss_by_finesse (loss) * range / value * u / value;
      return loss;
    case FAINT_MIRROR_UNKNOWN:
    case FAINT_MIRROR_TABLE:
    default:
      *u_loss = NAN;
      return NAN;
    }
}

static gboolean
check_number (const FaintSetup *setup, GError **error)
{
  gboolean needs_length = setup->mirror_kind == FAINT_MIRROR_RING_DOWN_TIME
                          || setup->mirror_kind == FAINT_MIRROR_LINEWIDTH;
  g_autofree char *stated = NULL;
  double u_loss, loss;

  if (setup->mirror_kind == FAINT_MIRROR_UNKNOWN || !faint_quantity_is_known (setup->mirror))
    {
      g_set_error_literal (
          error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_MISSING,
          _ ("The mirrors of the cavity are not described: state one of finesse, "
             "mirror_reflectivity, ring_down_time, cavity_linewidth or finesse_table."));
      return FALSE;
    }
  if (needs_length && !faint_quantity_is_known (setup->cavity_length))
    {
      g_set_error_literal (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_MISSING,
                           _ ("A ring-down time or a mode width gives the finesse only with the "
                              "free spectral range: state cavity_length too."));
      return FALSE;
    }
  loss = loss_of_number (setup, &u_loss);
  if (loss > 0.0 && loss < 1.0)
    return TRUE;
  stated = faint_quantity_to_text (setup->mirror);
  g_set_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_VALUE,
               _ ("The mirrors are stated as %s, with which a round trip in the cavity would lose "
                  "nothing or everything: state a finesse above 0, a reflectivity between 0 and 1, "
                  "or a ring-down time or mode width above 0."),
               stated);
  return FALSE;
}

static gboolean
check_table (const FaintSetup *setup, GError **error)
{
  gsize n = setup->table_wavenumber != NULL ? setup->table_wavenumber->len : 0;

  if (n == 0 || setup->table_finesse == NULL || setup->table_finesse->len != n)
    {
      g_set_error_literal (
          error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_MISSING,
          _ ("The finesse table holds no rows: state at least one wavenumber and its finesse."));
      return FALSE;
    }
  for (gsize i = 0; i < n; i++)
    {
      double x = g_array_index (setup->table_wavenumber, double, i);
      double before = i > 0 ? g_array_index (setup->table_wavenumber, double, i - 1) : -INFINITY;
      double finesse = g_array_index (setup->table_finesse, double, i);

      if (isfinite (x) && x > before && isfinite (finesse) && finesse > 0.0)
        continue;
      g_set_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_VALUE,
                   _ ("Row %zu of the finesse table is %s cm-1 with finesse %s: wavenumbers must "
                      "rise from row to row and a finesse must be above 0."),
                   i + 1, FAINT_NUMBER ("%g", x), FAINT_NUMBER ("%g", finesse));
      return FALSE;
    }
  return TRUE;
}

/* The spline follows Steffen (Astron. Astrophys. 239, 443 (1990)): a cubic that never leaves the
 * interval of its two rows. Measured finesse scatters from row to row, and a natural cubic would
 * swing beyond the rows and make a finesse that nobody measured. */
static gsl_spline *
table_spline (const FaintSetup *setup, GError **error)
{
  gsize n = setup->table_wavenumber->len;
  gsl_spline *spline = gsl_spline_alloc (n > 2 ? gsl_interp_steffen : gsl_interp_linear, n);
  int status = spline == NULL ? GSL_ENOMEM
                              : gsl_spline_init (spline, (double *)setup->table_wavenumber->data,
                                                 (double *)setup->table_finesse->data, n);

  if (status == GSL_SUCCESS)
    return spline;
  if (spline != NULL)
    gsl_spline_free (spline);
  g_set_error (error, FAINT_SETUP_ERROR, FAINT_SETUP_ERROR_VALUE,
               _ ("The finesse table cannot be interpolated: %s."), gsl_strerror (status));
  return NULL;
}

/* Standard uncertainty of the finesse at @x, linear between rows: rows share most of it, so it
 * does not shrink between them. */
static double
table_u (const FaintSetup *setup, double x)
{
  const double *at = (const double *)setup->table_wavenumber->data;
  gsize n = setup->table_wavenumber->len, row = 0;
  double left, right;

  if (setup->table_u == NULL || setup->table_u->len != n)
    return 0.0;
  if (n > 1)
    row = gsl_interp_bsearch (at, x, 0, n - 1);
  left = g_array_index (setup->table_u, double, row);
  right = n > 1 ? g_array_index (setup->table_u, double, row + 1) : left;
  left = isnan (left) ? 0.0 : left;
  right = isnan (right) ? 0.0 : right;
  return n > 1 ? left + (right - left) * (x - at[row]) / (at[row + 1] - at[row]) : left;
}

static gboolean
fill_table (const FaintSetup *setup, const double *wavenumber, gsize n, double *loss,
            double *u_loss, gsize *outside, GError **error)
{
  gsize rows, beyond = 0;
  double low, high;
  gsl_spline *spline = NULL;

  if (!check_table (setup, error))
    return FALSE;
  rows = setup->table_wavenumber->len;
  low = g_array_index (setup->table_wavenumber, double, 0);
  high = g_array_index (setup->table_wavenumber, double, rows - 1);
  if (rows > 1 && (spline = table_spline (setup, error)) == NULL)
    return FALSE;
  for (gsize i = 0; i < n; i++)
    {
      double x = CLAMP (wavenumber[i], low, high);
      double finesse = spline != NULL ? gsl_spline_eval (spline, x, NULL)
                                      : g_array_index (setup->table_finesse, double, 0);

      loss[i] = faint_cavity_loss_from_finesse (finesse);
      if (u_loss != NULL)
        u_loss[i] = loss_by_finesse (loss[i]) * table_u (setup, x);
      beyond += x != wavenumber[i];
    }
  if (spline != NULL)
    gsl_spline_free (spline);
  if (outside != NULL)
    *outside = beyond;
  return TRUE;
}

gboolean
faint_cavity_loss_fill (const FaintSetup *setup, const double *wavenumber, gsize n, double *loss,
                        double *u_loss, gsize *outside, GError **error)
{
  double one = 1.0, u_one = 0.0;

  if (outside != NULL)
    *outside = 0;
  if (setup->geometry != FAINT_GEOMETRY_NONE)
    {
      if (setup->mirror_kind == FAINT_MIRROR_TABLE)
        return fill_table (setup, wavenumber, n, loss, u_loss, outside, error);
      if (!check_number (setup, error))
        return FALSE;
      one = loss_of_number (setup, &u_one);
    }
  for (gsize i = 0; i < n; i++)
    {
      loss[i] = one;
      if (u_loss != NULL)
        u_loss[i] = u_one;
    }
  return TRUE;
}
