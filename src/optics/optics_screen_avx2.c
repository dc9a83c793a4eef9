/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Four points at a time, sine and cosine by the SLEEF library (3.5 units in the last
 * place). Tails go to the scalar function. */
#include "optics_screen.h"

#include <immintrin.h>
#include <sleef.h>

/* The four phases from i on. */
static __m256d phases(const float *z, ptrdiff_t i, double z0, double tilt, double k)
{
    const __m256d at =
        _mm256_add_pd(_mm256_set1_pd((double)i), _mm256_setr_pd(0.0, 1.0, 2.0, 3.0));
    const __m256d h = _mm256_cvtps_pd(_mm_loadu_ps(z + i));
    const __m256d plane = _mm256_mul_pd(_mm256_set1_pd(tilt), at);
    const __m256d rise = _mm256_sub_pd(_mm256_sub_pd(h, _mm256_set1_pd(z0)), plane);
    return _mm256_mul_pd(_mm256_set1_pd(k), rise);
}

void lev_screen_row_avx2(const float *z, ptrdiff_t n, double z0, double tilt, double k,
                         const double *taper, double scale, double *out)
{
    const ptrdiff_t whole = n - n % 4;
    for (ptrdiff_t i = 0; i < whole; i += 4) {
        const Sleef___m256d_2 sc = Sleef_sincosd4_u35avx2(phases(z, i, z0, tilt, k));
        __m256d w = _mm256_set1_pd(scale);
        if (taper != NULL)
            w = _mm256_mul_pd(w, _mm256_loadu_pd(taper + i));
        const __m256d re = _mm256_mul_pd(w, sc.y);
        const __m256d im = _mm256_mul_pd(w, sc.x);
        const __m256d low = _mm256_unpacklo_pd(re, im);
        const __m256d high = _mm256_unpackhi_pd(re, im);
        _mm256_storeu_pd(out + 2 * i, _mm256_permute2f128_pd(low, high, 0x20));
        _mm256_storeu_pd(out + 2 * i + 4, _mm256_permute2f128_pd(low, high, 0x31));
    }
    lev_screen_row_c(z + whole, n - whole, z0 + tilt * (double)whole, tilt, k,
                     taper != NULL ? taper + whole : NULL, scale, out + 2 * whole);
}
