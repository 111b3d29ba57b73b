/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The sum over nodes and the coefficients of the asymptotic series of w(z), from which the kernels
 * for a common y and for any z are made; faddeeva-kernel-private.h tells the method.
 */
#pragma once

#include <glib.h>

#include "faint/shape/vector-math-private.h"

#define KERNEL_INLINE static inline __attribute__ ((always_inline))
#define KERNEL_FAR 45.0
#define KERNEL_TOO_FAR 1e290
#define KERNEL_INV_SQRT_PI 0.56418958354775628695
#define KERNEL_2_SQRT_PI 1.12837916709551257390

/* exp(-t^2)/pi at t = k/2 (half of it at 0), and what is to be added to have it at k/2 + 1/4. */
#define KERNEL_NODES 13
static const double kernel_weight[KERNEL_NODES][2] = {
  { 0x1.45f306dc9c883p-3, 0x1.1e73e975fbcfcp-3 },
  { 0x1.fbb2fd3e63b83p-3, -0x1.10845d4963d0ep-4 },
  { 0x1.dfa3e572aa123p-4, -0x1.9cb2ec7d86f5fp-5 },
  { 0x1.12d6a47eec4e7p-5, -0x1.31c25e4d5d01ep-6 },
  { 0x1.7e13fd7d199b4p-8, -0x1.f412244b991f4p-9 },
  { 0x1.422a769e2e126p-11, -0x1.d6e9867d92157p-12 },
  { 0x1.4986a82011d6dp-15, -0x1.04741f268d519p-15 },
  { 0x1.98de153524230p-20, -0x1.561f295a0705ep-20 },
  { 0x1.33b3574d5dd08p-25, -0x1.0c94b0586a4a5p-25 },
  { 0x1.18e738aad23efp-31, -0x1.fa2e17ab832b0p-32 },
  { 0x1.3713b5406adeap-38, -0x1.1f16dc91b5059p-38 },
  { 0x1.a1e3ccc0d34dfp-46, -0x1.88cb29d905bb2p-46 },
  { 0x1.547e45cb47c08p-54, -0x1.449173a9e4cc8p-54 },
};

/* sum c/D in @s0 and sum c a/D in @s1, a + ib = z^2 - t^2; @shifted is 1 for the nodes k/2 + 1/4,
 * else 0; @u = Re z^2, @b2 = (Im z^2)^2. Two nodes share a division. */
KERNEL_INLINE void
kernel_sum (V4 u, V4 b2, V4 shifted, V4 *s0, V4 *s1)
{
  V4 v = u - 0.0625 * shifted;
  V4 sum0, sum1;

  {
    V4 a = v;
    V4 q = (kernel_weight[0][0] + shifted * kernel_weight[0][1]) / (a * a + b2);
    sum0 = q;
    sum1 = q * a;
  }
#pragma GCC unroll 6
  for (int k = 1; k < KERNEL_NODES; k += 2)
    {
      double t1 = 0.5 * k, t2 = 0.5 * k + 0.5;
      V4 a1 = (v - t1 * t1) - shifted * (0.5 * t1);
      V4 a2 = (v - t2 * t2) - shifted * (0.5 * t2);
      V4 d1 = a1 * a1 + b2;
      V4 d2 = a2 * a2 + b2;
      V4 q = 1.0 / (d1 * d2);
      V4 p1 = (kernel_weight[k][0] + shifted * kernel_weight[k][1]) * d2;
      V4 p2 = (kernel_weight[k + 1][0] + shifted * kernel_weight[k + 1][1]) * d1;
      sum0 += (p1 + p2) * q;
      sum1 += (p1 * a1 + p2 * a2) * q;
    }
  *s0 = sum0;
  *s1 = sum1;
}

/* c_k = (2k-1)!!/2^k. */
#define KERNEL_TERMS 28
static const double kernel_series[KERNEL_TERMS + 1] = {
  1.0,
  0.5,
  0.75,
  1.875,
  6.5625,
  29.53125,
  162.421875,
  1055.7421875,
  7918.06640625,
  67303.564453125,
  639383.8623046875,
  6713530.554199219,
  77205601.37329102,
  965070017.1661377,
  13028445231.742859,
  188912455860.27145,
  2928143065834.2075,
  48314360586264.42,
  845501310259627.4,
  1.5641774239803108e+16,
  3.050145976761606e+17,
  6.252799252361292e+18,
  1.3443518392576778e+20,
  3.024791638329775e+21,
  7.108260350074972e+22,
  1.741523785768368e+24,
  4.440885653709338e+25,
  1.1768346982329746e+27,
  3.2362954201406804e+28,
};
