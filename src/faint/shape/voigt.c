/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/shape/voigt.h"

#include "faint/base/units.h"
#include "faint/shape/faddeeva-private.h"

#include <math.h>

/* From here on in gamma_L/gamma_D the Lorentzian with two corrections is exact: the third is below
 * 15/8 (ln2 gamma_L^2/gamma_D^2)^-3 = 6e-24. */
#define WIDE_RATIO 1e4

typedef struct
{
  double position, lorentz;
  double spread; /* gamma_D^2/ln2 */
  double doppler;
} Wide;

static FaintComplex
times (FaintComplex a, FaintComplex b)
{
  return (FaintComplex){ a.re * b.re - a.im * b.im, a.re * b.im + a.im * b.re };
}

static gboolean
is_wide (FaintVoigt line)
{
  return !(line.lorentz < WIDE_RATIO * line.doppler) && line.lorentz > 0.0;
}

/* gamma_D far below gamma_L: p = i/(pi Z) (1 + v/2 + 3 v^2/4), Z = nu - nu0 + i gamma_L,
 * v = gamma_D^2/(ln2 Z^2), the series of w(z) for large z in units that stay finite. */
static void
wide_point (const FaintVoigt *line, double wavenumber, FaintComplex *p, FaintComplex *slope,
            FaintComplex *doppler)
{
  double delta = wavenumber - line->position;
  double size = hypot (delta, line->lorentz);
  FaintComplex inverse = { delta / size / size, -line->lorentz / size / size };
  FaintComplex over_pi = { -inverse.im / G_PI, inverse.re / G_PI }; /* i/(pi Z) */
  FaintComplex ratio = { inverse.re * line->doppler / FAINT_SQRT_LN2,
                         inverse.im * line->doppler / FAINT_SQRT_LN2 };
  FaintComplex v = times (ratio, ratio);
  FaintComplex v2 = times (v, v);

  *p = times (over_pi, (FaintComplex){ 1.0 + v.re / 2 + v2.re * 3 / 4, v.im / 2 + v2.im * 3 / 4 });
  if (slope == NULL)
    return;
  *slope = times (times (over_pi, inverse), (FaintComplex){ 1.0 + v.re * 3 / 2 + v2.re * 15 / 4,
                                                            v.im * 3 / 2 + v2.im * 15 / 4 });
  FaintComplex first = times (ratio, inverse); /* v/gamma_D */
  first.re /= FAINT_SQRT_LN2;
  first.im /= FAINT_SQRT_LN2;
  *doppler = times (times (over_pi, first), (FaintComplex){ 1.0 + 3 * v.re, 3 * v.im });
}

static FaintFaddeevaPoints
points_of (FaintVoigt line, const double *wavenumber, gsize n)
{
  return (FaintFaddeevaPoints){ .at = wavenumber,
                                .n = n,
                                .origin = line.position,
                                .scale = FAINT_SQRT_LN2 / line.doppler,
                                .y = FAINT_SQRT_LN2 * line.lorentz / line.doppler };
}

/* sqrt(ln2/pi)/gamma_D */
static double
height_of (FaintVoigt line)
{
  return FAINT_SQRT_LN2 / (FAINT_SQRT_PI * line.doppler);
}

void
faint_voigt_fill (FaintVoigt line, const double *wavenumber, gsize n, double *re, double *im)
{
  if (is_wide (line))
    {
      for (gsize i = 0; i < n; i++)
        {
          FaintComplex p;
          wide_point (&line, wavenumber[i], &p, NULL, NULL);
          re[i] = p.re;
          im[i] = p.im;
        }
      return;
    }

  FaintFaddeevaPoints points = points_of (line, wavenumber, n);
  FaintFaddeevaOut out = { .w_re = re, .w_im = im, .w_factor = height_of (line) };
  faint_faddeeva_kernel ()->value (&points, &out);
}

FaintComplex
faint_voigt (FaintVoigt line, double wavenumber)
{
  FaintComplex p;

  faint_voigt_fill (line, &wavenumber, 1, &p.re, &p.im);
  return p;
}

static void
wide_gradient (const FaintVoigt *line, const double *wavenumber, gsize n,
               const FaintVoigtGradient *out)
{
  for (gsize i = 0; i < n; i++)
    {
      FaintComplex p, slope, doppler;
      wide_point (line, wavenumber[i], &p, &slope, &doppler);
      out->re[i] = p.re;
      out->im[i] = p.im;
      out->position_re[i] = slope.re;
      out->position_im[i] = slope.im;
      if (out->lorentz_re != NULL)
        {
          out->lorentz_re[i] = slope.im;
          out->lorentz_im[i] = -slope.re;
        }
      if (out->doppler_re != NULL)
        {
          out->doppler_re[i] = doppler.re;
          out->doppler_im[i] = doppler.im;
        }
    }
}

/* With K the height and s the scale of z: dp/dnu0 = -K s w', dp/dgamma_L = i K s w',
 * dp/dgamma_D = -(K/gamma_D) (w + z w'). */
void
faint_voigt_gradient (FaintVoigt line, const double *wavenumber, gsize n,
                      const FaintVoigtGradient *out)
{
  if (is_wide (line))
    {
      wide_gradient (&line, wavenumber, n, out);
      return;
    }

  FaintFaddeevaPoints points = points_of (line, wavenumber, n);
  double height = height_of (line);
  FaintFaddeevaOut rows = { .w_re = out->re,
                            .w_im = out->im,
                            .d_re = out->position_re,
                            .d_im = out->position_im,
                            .turned_re = out->lorentz_re,
                            .turned_im = out->lorentz_im,
                            .s_re = out->doppler_re,
                            .s_im = out->doppler_im,
                            .w_factor = height,
                            .d_factor = -height * points.scale,
                            .turned_factor = height * points.scale,
                            .s_factor = -height / line.doppler };
  const FaintFaddeevaKernel *kernel = faint_faddeeva_kernel ();

  if (out->doppler_re != NULL)
    kernel->gradient (&points, &rows);
  else if (out->lorentz_re != NULL)
    kernel->turned (&points, &rows);
  else
    kernel->derivative (&points, &rows);
}

double
faint_voigt_peak (double doppler, double lorentz)
{
  return faint_voigt ((FaintVoigt){ 0.0, doppler, lorentz }, 0.0).re;
}

/* Re p at @offset from the centre, and its slope. */
static void
height_and_slope (FaintVoigt line, double offset, double *height, double *slope)
{
  double im, position_im, lorentz_re, lorentz_im;
  FaintVoigtGradient out = { .re = height,
                             .im = &im,
                             .position_re = slope,
                             .position_im = &position_im,
                             .lorentz_re = &lorentz_re,
                             .lorentz_im = &lorentz_im };

  faint_voigt_gradient (line, &offset, 1, &out);
  *slope = -*slope;
}

/* Newton's method from the formula of Olivero and Longbothum (JQSRT 17, 233 (1977)), kept between
 * the larger of the two widths and their sum, which enclose the width. */
double
faint_voigt_hwhm (double doppler, double lorentz)
{
  double unit = MAX (doppler, lorentz);

  if (!(doppler > 0.0) || !(lorentz > 0.0) || !isfinite (unit))
    return doppler + lorentz;

  FaintVoigt line = { 0.0, doppler / unit, lorentz / unit };
  double low = 1.0, high = line.doppler + line.lorentz;
  double half = 0.5 * faint_voigt_peak (line.doppler, line.lorentz);
  double width = 0.5346 * line.lorentz
                 + sqrt (0.2166 * line.lorentz * line.lorentz + line.doppler * line.doppler);

  width = CLAMP (width, low, high);
  for (int i = 0; i < 100 && high - low > 4e-16; i++)
    {
      double height, slope, next;

      height_and_slope (line, width, &height, &slope);
      if (height > half)
        low = width;
      else
        high = width;
      next = width + (half - height) / slope;
      if (!(next > low && next < high))
        next = 0.5 * (low + high);
      if (fabs (next - width) <= 2e-16 * width)
        break;
      width = next;
    }
  return width * unit;
}
