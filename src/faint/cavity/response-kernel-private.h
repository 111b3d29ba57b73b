/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Power or amplitude of a locked cavity with weak absorption, four teeth at once, in the
 * instruction set of the file that includes this: the formulas and the series of kernel-private.h.
 */
#pragma once

#include "faint/cavity/response-private.h"
#include "faint/shape/complex-vector-private.h"

/* kernel-private.h's absorbed(), |x| <= 2^-6. */
C4_INLINE V4
v4_absorbed (V4 x)
{
  V4 tail = 1.0 - x * (1.0 / 5.0) * (1.0 - x * (1.0 / 6.0) * (1.0 - x * (1.0 / 7.0)));

  return x * (1.0 - x * (1.0 / 2.0) * (1.0 - x * (1.0 / 3.0) * (1.0 - x * (1.0 / 4.0) * tail)));
}

/* turn(), |x| <= 2^-5. */
C4_INLINE void
v4_turn (V4 x, V4 *one_minus_cosine, V4 *sine)
{
  V4 y = x * x;

  *one_minus_cosine
      = 0.5 * y * (1.0 - y * (1.0 / 12.0) * (1.0 - y * (1.0 / 30.0) * (1.0 - y * (1.0 / 56.0))));
  *sine = x * (1.0 - y * (1.0 / 6.0) * (1.0 - y * (1.0 / 20.0) * (1.0 - y * (1.0 / 42.0))));
}

C4_INLINE void
weak_four (const FaintResponseTeeth *teeth, gboolean amplitude, gsize i,
           const FaintResponseValues *out)
{
  V4 loss = v4_load (teeth->loss + i), survival = 1.0 - loss;
  V4 lost = v4_absorbed (v4_load (teeth->kappa_re + i)), left = 1.0 - lost;
  V4 phase = v4_load (teeth->phase + i), one_minus_cosine, sine, inverse, power, scale;
  C4 empty = { loss, v4_of (0.0) }, filled;

  v4_turn (v4_load (teeth->kappa_im + i), &one_minus_cosine, &sine);
  filled = (C4){ lost + left * one_minus_cosine, left * sine };
  if (v4_any (phase != 0.0))
    {
      v4_turn (phase, &one_minus_cosine, &sine);
      filled = c4_mul (filled, (C4){ 1.0 - one_minus_cosine, sine });
      empty = (C4){ loss + survival * one_minus_cosine, -survival * sine };
    }
  filled = (C4){ empty.re + survival * filled.re, empty.im + survival * filled.im };
  inverse = 1.0 / c4_square_size (filled);
  power = left * c4_square_size (empty) * inverse;
  scale = 2.0 * power;
  if (amplitude)
    scale = power = v4_sqrt (power);
  v4_store (out->value + i, power);
  v4_store (out->slope_re + i, scale * (0.5 - filled.re * inverse));
  v4_store (out->slope_im + i, -scale * filled.im * inverse);
}

static gsize
weak_real (const FaintResponseTeeth *teeth, gboolean amplitude, gsize from, gsize n,
           const FaintResponseValues *out)
{
  gsize i = from;

  for (; i + 4 <= n; i += 4)
    {
      V4i weak = (v4_abs (v4_load (teeth->kappa_re + i)) <= 0x1p-6)
                 & (v4_abs (v4_load (teeth->kappa_im + i)) <= 0x1p-5)
                 & (v4_abs (v4_load (teeth->phase + i)) <= 0x1p-5);

      if (v4_any (~weak))
        break;
      weak_four (teeth, amplitude, i, out);
    }
  return i;
}
