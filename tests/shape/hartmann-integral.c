/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "hartmann-integral.h"

#include <math.h>

#define SPEED_END 7.5L /* exp(-t^2) = 4e-25 */

/* In units of delta = Gamma_D/sqrt(ln2): d = a + c t^2 + i t mu. */
typedef struct
{
  long double complex a, c;
  long double complex first, second; /* sums for A and B */
} Average;

/* The weights of the speed, with 1/d averaged over mu: (1/t) atan(t/a'), a' = a + c t^2, through
 * logarithms where a' + i t may come near 0. */
static void
add (Average *average, long double t, long double weight)
{
  long double complex a = average->a + average->c * t * t;
  long double complex mean;

  if (a + I * t == 0 || a - I * t == 0)
    return; /* the end of a panel, where the weight is below 1e-19 */
  if (cabsl (a) > 3.0L * t)
    {
      long double complex r2 = -(t / a) * (t / a);
      mean = 0.0L;
      for (int k = 20; k >= 0; k--) /* atan(r)/r to 3^-42 */
        mean = mean * r2 + 1.0L / (2 * k + 1);
      mean /= a;
    }
  else
    mean = (clogl (a + I * t) - clogl (a - I * t)) / (2.0L * I * t);
  long double complex value = weight * 4.0L / sqrtl (acosl (-1.0L)) * t * t * expl (-t * t) * mean;
  average->first += value;
  average->second += value * t * t;
}

/* tanh-sinh over [low, high], step 1/24 out to where the weights end: error far below 1e-16 for
 * what is analytic inside, with logarithms at the ends. */
static void
panel (Average *average, long double low, long double high)
{
  const long double step = 1.0L / 24, quarter = acosl (-1.0L) / 2;
  long double length = high - low;

  for (int k = -80; k <= 80; k++)
    {
      long double u = quarter * sinhl (k * step);
      long double near = 1.0L / (1.0L + expl (2.0L * fabsl (u))); /* from the nearer end */
      long double weight = step * quarter * coshl (k * step) / (coshl (u) * coshl (u)) * length / 2;
      long double t = u < 0 ? low + near * length : high - near * length;
      if (t > 0 && weight > 0)
        add (average, t, weight);
    }
}

/* Speeds where Im a + Im c t^2 = +-t, or comes nearest to it. */
static int
resonances (const Average *average, long double at[4])
{
  long double a = cimagl (average->a), c = cimagl (average->c);
  int n = 0;

  for (int sign = -1; sign <= 1; sign += 2)
    {
      long double inside = 1.0L - 4 * a * c;
      if (inside < 0)
        {
          long double nearest = sign / (2 * c);
          if (nearest > 0 && nearest < SPEED_END)
            at[n++] = nearest;
          continue;
        }
      /* c t^2 - sign t + a = 0, without the cancellation at small c */
      long double q = (1.0L + sqrtl (inside)) / 2;
      long double roots[2] = { sign * a / q, c != 0 ? sign * q / c : -1.0L };
      for (int i = 0; i < 2; i++)
        if (roots[i] > 0 && roots[i] < SPEED_END)
          at[n++] = roots[i];
    }
  return n;
}

/* Ends of panels: the resonances, and a unit of speed at most between two. */
static int
ends_of (const Average *average, long double ends[16])
{
  int n = resonances (average, ends);

  for (int i = 0; i <= 8; i++)
    ends[n++] = i * SPEED_END / 8;
  for (int i = 1; i < n; i++)
    for (int j = i; j > 0 && ends[j] < ends[j - 1]; j--)
      {
        long double swap = ends[j];
        ends[j] = ends[j - 1];
        ends[j - 1] = swap;
      }
  return n;
}

long double complex
hartmann_integral (FaintHartmannTran line, double wavenumber)
{
  long double delta = line.doppler / sqrtl (logl (2.0L)), eta = line.correlation;
  long double complex c2 = (line.lorentz_2 + I * (long double)line.shift_2) / delta;
  long double complex e0 = (line.lorentz + I * (long double)line.shift) / delta - 1.5L * c2;
  long double nu_vc = line.velocity_changing / delta;
  long double x = ((long double)wavenumber - line.position) / delta;
  Average average = { .a = (1 - eta) * e0 + nu_vc - I * x, .c = (1 - eta) * c2 };
  long double ends[16];
  int n = ends_of (&average, ends);

  for (int i = 0; i + 1 < n; i++)
    if (ends[i + 1] > ends[i])
      panel (&average, ends[i], ends[i + 1]);
  long double complex d = 1.0L - (nu_vc - eta * e0) * average.first + eta * c2 * average.second;
  return average.first / d / (acosl (-1.0L) * delta);
}
