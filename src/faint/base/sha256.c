/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "faint/base/sha256.h"

#include <string.h>

#define BLOCK 64

#if defined(__x86_64__)
#include <cpuid.h>
#include <immintrin.h>

/* Constants and start values: FIPS 180-4, 4.2.2 and 5.3.3. */
static const guint32 constants[64] = {
  0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
  0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
  0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
  0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
  0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
  0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
  0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
  0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2,
};
static const guint32 start[8] = { 0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a,
                                  0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19 };

static gboolean
has_instructions (void)
{
  unsigned a, b, c, d;

  return __builtin_cpu_supports ("sse4.1") && __get_cpuid_count (7, 0, &a, &b, &c, &d)
         && (b & bit_SHA) != 0;
}

/* The instructions want the eight words of the state as ABEF and CDGH; @words ring holds the last
 * sixteen words of the message, four a register. */
__attribute__ ((target ("sha,sse4.1,ssse3"))) static void
add_blocks (__m128i state[2], const char *bytes, gsize n)
{
  const __m128i swap = _mm_set_epi64x (0x0c0d0e0f08090a0b, 0x0405060700010203);

  for (; n > 0; n--, bytes += BLOCK)
    {
      __m128i abef = state[0], cdgh = state[1], words[4];

      for (int i = 0; i < 4; i++)
        words[i] = _mm_shuffle_epi8 (_mm_loadu_si128 ((const __m128i *)(bytes + 16 * i)), swap);
#pragma GCC unroll 16
      for (int i = 0; i < 16; i++)
        {
          __m128i sum = _mm_add_epi32 (words[i & 3],
                                       _mm_loadu_si128 ((const __m128i *)(constants + 4 * i)));
          __m128i seven_back = _mm_alignr_epi8 (words[(i + 3) & 3], words[(i + 2) & 3], 4);

          cdgh = _mm_sha256rnds2_epu32 (cdgh, abef, sum);
          abef = _mm_sha256rnds2_epu32 (abef, cdgh, _mm_shuffle_epi32 (sum, 0x0e));
          words[i & 3] = _mm_sha256msg2_epu32 (
              _mm_add_epi32 (_mm_sha256msg1_epu32 (words[i & 3], words[(i + 1) & 3]), seven_back),
              words[(i + 3) & 3]);
        }
      state[0] = _mm_add_epi32 (state[0], abef);
      state[1] = _mm_add_epi32 (state[1], cdgh);
    }
}

__attribute__ ((target ("sha,sse4.1,ssse3"))) static void
sum_by_instructions (const char *bytes, gsize length, guint8 digest[32])
{
  __m128i state[2] = { _mm_set_epi32 ((int)start[0], (int)start[1], (int)start[4], (int)start[5]),
                       _mm_set_epi32 ((int)start[2], (int)start[3], (int)start[6], (int)start[7]) };
  gsize whole = length / BLOCK, rest = length % BLOCK, n_last = rest < BLOCK - 8 ? 1 : 2;
  guint64 bits = GUINT64_TO_BE ((guint64)length * 8);
  char last[2 * BLOCK] = { 0 };
  guint32 words[8];

  add_blocks (state, bytes, whole);
  memcpy (last, bytes + whole * BLOCK, rest);
  last[rest] = (char)0x80;
  memcpy (last + n_last * BLOCK - 8, &bits, 8);
  add_blocks (state, last, n_last);
  _mm_storeu_si128 ((__m128i *)words, state[0]);
  _mm_storeu_si128 ((__m128i *)(words + 4), state[1]);
  /* F E B A H G D C, from the lowest word up. */
  static const int place[8] = { 5, 4, 1, 0, 7, 6, 3, 2 };
  for (int i = 0; i < 8; i++)
    {
      guint32 word = GUINT32_TO_BE (words[i]);

      memcpy (digest + 4 * place[i], &word, 4);
    }
}
#else
static gboolean
has_instructions (void)
{
  return FALSE;
}

static void
sum_by_instructions (const char *bytes, gsize length, guint8 digest[32])
{
  g_assert_not_reached ();
}
#endif

static void
sum_by_glib (const char *bytes, gsize length, guint8 digest[32])
{
  g_autoptr (GChecksum) checksum = g_checksum_new (G_CHECKSUM_SHA256);
  gsize n = 32, piece = (gsize)1 << 30; /* lengths are signed there */

  for (; length > 0; bytes += MIN (length, piece), length -= MIN (length, piece))
    g_checksum_update (checksum, (const guchar *)bytes, (gssize)MIN (length, piece));
  g_checksum_get_digest (checksum, digest, &n);
}

void
faint_sha256 (const char *bytes, gsize length, char sum[65])
{
  guint8 digest[32];

  if (has_instructions ())
    sum_by_instructions (bytes, length, digest);
  else
    sum_by_glib (bytes, length, digest);
  for (int i = 0; i < 32; i++)
    g_snprintf (sum + 2 * i, 3, "%02x", digest[i]);
}
