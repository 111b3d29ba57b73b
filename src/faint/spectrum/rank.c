/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Hoare's selection with the median of three.
 */
#include "faint/spectrum/rank.h"

static void
swap (double *a, double *b)
{
  double kept = *a;

  *a = *b;
  *b = kept;
}

double
faint_rank_select (double *x, gsize n, gsize k)
{
  gsize low = 0, high = n - 1;

  while (low < high)
    {
      gsize middle = low + (high - low) / 2, i = low, j = high;
      double pivot;

      if (x[middle] < x[low])
        swap (&x[middle], &x[low]);
      if (x[high] < x[low])
        swap (&x[high], &x[low]);
      if (x[high] < x[middle])
        swap (&x[high], &x[middle]);
      pivot = x[middle];
      for (;;)
        {
          while (x[i] < pivot)
            i++;
          while (x[j] > pivot)
            j--;
          if (i >= j)
            break;
          swap (&x[i++], &x[j--]);
        }
      if (k <= j)
        high = j;
      else
        low = j + 1;
    }
  return x[k];
}
