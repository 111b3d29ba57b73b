/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/cavity/response.h"

#include "faint/cavity/kernel-private.h"
#include "faint/cavity/response-private.h"

/* One tooth's answer before it is spread over the arrays: value and logarithmic derivatives. */
typedef struct
{
  double scale; /* d value = scale * Re (d ln E) */
  Complex value;
  Complex by_kappa; /* d ln E/d kappa */
} Tooth;

static inline void
put_real (const FaintResponseValues *out, gsize i, const Tooth *tooth)
{
  out->value[i] = tooth->value.re;
  if (out->slope_re != NULL)
    out->slope_re[i] = tooth->scale * tooth->by_kappa.re;
  if (out->slope_im != NULL)
    out->slope_im[i] = -tooth->scale * tooth->by_kappa.im;
}

/* @by_loss = d ln E/d loss; d ln E/d Phi = -i s times it. */
static inline void
put_cavity_real (const FaintResponseValues *out, gsize i, double scale, Complex by_loss, double s)
{
  if (out->by_loss != NULL)
    out->by_loss[i] = scale * by_loss.re;
  if (out->by_phase != NULL)
    out->by_phase[i] = scale * s * by_loss.im;
}

static inline void
put_complex (double *re, double *im, gsize i, Complex value)
{
  if (re != NULL)
    re[i] = value.re;
  if (im != NULL)
    im[i] = value.im;
}

static void
fill_locked_real (const FaintResponse *response, const FaintResponseTeeth *teeth, gsize from,
                  gsize n, const FaintResponseValues *out)
{
  gboolean amplitude = response->observable == FAINT_OBSERVABLE_AMPLITUDE;
  gboolean cavity = out->by_loss != NULL || out->by_phase != NULL;
  double share = response->output_share;

  for (gsize i = from; i < n; i++)
    {
      EmptyCavity empty = empty_cavity (teeth->loss[i], teeth->phase[i]);
      double left;
      Complex um
          = times (empty.turned, absorbed_field (teeth->kappa_re[i], teeth->kappa_im[i], &left));
      Complex filled = filled_cavity (&empty, um);
      double inverse = 1.0 / square (filled);
      double passed = share == 0.5 ? left : exp (-2.0 * share * teeth->kappa_re[i]);
      double power = passed * square (empty.left) * inverse;
      Tooth tooth = { .scale = 2.0 * power, .value = { power, 0.0 } };

      if (amplitude)
        tooth.scale = tooth.value.re = sqrt (power);
      tooth.by_kappa = (Complex){ 1.0 - share - filled.re * inverse, filled.im * inverse };
      put_real (out, i, &tooth);
      if (cavity)
        put_cavity_real (out, i, tooth.scale, over (um, times (empty.left, filled)),
                         empty.survival);
    }
}

/* Weak absorption with nothing but values and slopes wanted, the case of a fit, is served four
 * teeth at once; what stands out is done one by one. */
static void
fill_locked_real_fast (const FaintResponse *response, const FaintResponseTeeth *teeth, gsize n,
                       const FaintResponseValues *out)
{
  gboolean amplitude = response->observable == FAINT_OBSERVABLE_AMPLITUDE;
  FaintResponseWeak weak = faint_response_weak_baseline;
  gsize i = 0;

#ifdef FAINT_RESPONSE_X86
  if (__builtin_cpu_supports ("avx2") && __builtin_cpu_supports ("fma"))
    weak = faint_response_weak_avx2;
#endif
  while (i < n)
    {
      gsize done = weak (teeth, amplitude, i, n, out);

      i = MIN (done + 4, n);
      fill_locked_real (response, teeth, done, i, out);
    }
}

static void
fill_locked_field (const FaintResponse *response, const double *loss, const double *phase, gsize n,
                   const double *kappa_re, const double *kappa_im, const FaintResponseValues *out)
{
  double share = response->output_share;

  for (gsize i = 0; i < n; i++)
    {
      EmptyCavity empty = empty_cavity (loss[i], phase[i]);
      double left;
      Complex um = times (empty.turned, absorbed_field (kappa_re[i], kappa_im[i], &left));
      Complex filled = filled_cavity (&empty, um);
      double inverse = 1.0 / square (filled);
      Complex ratio = times_conjugate (empty.left, filled);
      Complex passed = passed_field (share, kappa_re[i], kappa_im[i], left);
      Complex by_kappa = { 1.0 - share - filled.re * inverse, filled.im * inverse };
      Complex value = times (passed, (Complex){ ratio.re * inverse, ratio.im * inverse });

      put_complex (out->value, out->value_im, i, value);
      put_complex (out->slope_re, out->slope_im, i, times (value, by_kappa));
      if (out->by_loss != NULL || out->by_phase != NULL)
        {
          Complex by_loss = times (value, over (um, times (empty.left, filled)));

          put_complex (out->by_loss, out->by_loss_im, i, by_loss);
          put_complex (out->by_phase, out->by_phase_im, i,
                       (Complex){ empty.survival * by_loss.im, -empty.survival * by_loss.re });
        }
    }
}

/* I/I0 = exp(-2 f Re kappa) c/D with c = 1 - s^2 and D = c + s^2 m, m = 1 - exp(-2 Re kappa).
 * Written as half of it, ln E = ln sqrt(I), so that power and amplitude share their last step. */
static void
fill_swept (const FaintResponse *response, const double *loss, gsize n, const double *kappa_re,
            const FaintResponseValues *out)
{
  gboolean amplitude = response->observable == FAINT_OBSERVABLE_AMPLITUDE;
  double share = response->output_share;

  for (gsize i = 0; i < n; i++)
    {
      double s = 1.0 - loss[i], lost = loss[i] * (2.0 - loss[i]);
      double left, once = absorbed (kappa_re[i], &left), m = once * (1.0 + left);
      double inverse = 1.0 / (lost + s * s * m);
      double passed = share == 0.5 ? left : exp (-2.0 * share * kappa_re[i]);
      double power = passed * lost * inverse;
      Tooth tooth = { .scale = 2.0 * power, .value = { power, 0.0 } };

      if (amplitude)
        tooth.scale = tooth.value.re = sqrt (power);
      tooth.by_kappa = (Complex){ 1.0 - share - inverse, 0.0 };
      put_real (out, i, &tooth);
      put_cavity_real (out, i, tooth.scale, (Complex){ s * m * inverse / lost, 0.0 }, s);
    }
}

static void
fill_single_real (const FaintResponse *response, gsize n, const double *kappa_re,
                  const FaintResponseValues *out)
{
  gboolean amplitude = response->observable == FAINT_OBSERVABLE_AMPLITUDE;

  for (gsize i = 0; i < n; i++)
    {
      double factor = amplitude ? 1.0 : 2.0, value;
      Tooth tooth = { .by_kappa = { -1.0, 0.0 } };

      absorbed (factor * kappa_re[i], &value);
      tooth.value.re = value;
      tooth.scale = factor * value;
      put_real (out, i, &tooth);
      put_cavity_real (out, i, 0.0, (Complex){ 0.0, 0.0 }, 0.0);
    }
}

static void
fill_single_field (gsize n, const double *kappa_re, const double *kappa_im,
                   const FaintResponseValues *out)
{
  const Complex none = { 0.0, 0.0 };

  for (gsize i = 0; i < n; i++)
    {
      double left, one_minus_cosine, sine;
      Complex value;

      absorbed (kappa_re[i], &left);
      turn (kappa_im[i], &one_minus_cosine, &sine);
      value = (Complex){ left * (1.0 - one_minus_cosine), -left * sine };
      put_complex (out->value, out->value_im, i, value);
      put_complex (out->slope_re, out->slope_im, i, (Complex){ -value.re, -value.im });
      put_complex (out->by_loss, out->by_loss_im, i, none);
      put_complex (out->by_phase, out->by_phase_im, i, none);
    }
}

void
faint_response_fill (const FaintResponse *response, const FaintCavityTeeth *teeth, gsize first,
                     gsize n, const double *kappa_re, const double *kappa_im,
                     const FaintResponseValues *out)
{
  gboolean field = response->observable == FAINT_OBSERVABLE_FIELD;
  const double *loss = teeth->loss + first, *phase = teeth->phase + first;

  g_return_if_fail (first <= teeth->n && n <= teeth->n - first);
  g_return_if_fail (out->value != NULL);
  if (response->geometry == FAINT_GEOMETRY_NONE)
    {
      if (field)
        fill_single_field (n, kappa_re, kappa_im, out);
      else
        fill_single_real (response, n, kappa_re, out);
    }
  else if (response->coupling == FAINT_COUPLING_SWEPT)
    {
      /* A sweep records power; faint_setup_check() refuses a field. */
      g_return_if_fail (!field);
      fill_swept (response, loss, n, kappa_re, out);
    }
  else if (field)
    fill_locked_field (response, loss, phase, n, kappa_re, kappa_im, out);
  else if (response->output_share == 0.5 && out->slope_re != NULL && out->slope_im != NULL
           && out->by_loss == NULL && out->by_phase == NULL)
    fill_locked_real_fast (response, &(FaintResponseTeeth){ loss, phase, kappa_re, kappa_im }, n,
                           out);
  else
    fill_locked_real (response, &(FaintResponseTeeth){ loss, phase, kappa_re, kappa_im }, 0, n,
                      out);
}
