/* SPDX-License-Identifier: GPL-3.0-or-later */
/* AVX2 variant of groove.h, two vectors of four doubles a turn. Rows are short (tens of
 * elements), so the last turn is masked here instead of going back to the scalar code:
 * idle lanes add +0, which changes no bit of a sum that began at +0. */
#include "groove.h"

#include <immintrin.h>
#include <math.h>
#include <string.h>

enum { WIDE = 4, LANES = 2 * WIDE };

typedef struct vec_groove {
    __m256d dx_um, x0_um, bottom_um, slope, round_um, curve;
} vec_groove;

static inline vec_groove spread(const lev_groove *g, double dx_um)
{
    return (vec_groove){_mm256_set1_pd(dx_um),        _mm256_set1_pd(g->x0_um),
                        _mm256_set1_pd(g->bottom_um), _mm256_set1_pd(g->slope),
                        _mm256_set1_pd(g->round_um),  _mm256_set1_pd(g->curve)};
}

static inline __m256d wall_at(const vec_groove *v, __m256d i)
{
    const __m256d sign = _mm256_set1_pd(-0.0);
    const __m256d x =
        _mm256_andnot_pd(sign, _mm256_sub_pd(_mm256_mul_pd(i, v->dx_um), v->x0_um));
    const __m256d u = _mm256_min_pd(x, v->round_um);
    const __m256d low = _mm256_mul_pd(_mm256_mul_pd(u, u), v->curve);
    const __m256d high = _mm256_mul_pd(_mm256_sub_pd(x, u), v->slope);
    return _mm256_add_pd(v->bottom_um, _mm256_add_pd(low, high));
}

static inline double add_lanes(__m256d low, __m256d high)
{
    const __m256d s = _mm256_add_pd(low, high); /* s0+s4, s1+s5, s2+s6, s3+s7 */
    const __m128d t =
        _mm_add_pd(_mm256_castpd256_pd128(s), _mm256_extractf128_pd(s, 1));
    return _mm_cvtsd_f64(t) + _mm_cvtsd_f64(_mm_unpackhi_pd(t, t));
}

/* Lanes 0..left-1 set. */
static inline __m256i first_lanes(ptrdiff_t left)
{
    const __m256i lane = _mm256_set_epi64x(3, 2, 1, 0);
    return _mm256_cmpgt_epi64(_mm256_set1_epi64x(left), lane);
}

static inline __m256d load_some(const double *p, ptrdiff_t left)
{
    return left >= WIDE ? _mm256_loadu_pd(p) : _mm256_maskload_pd(p, first_lanes(left));
}

static inline __m256d numbers_from(ptrdiff_t i)
{
    return _mm256_add_pd(_mm256_set1_pd((double)i), _mm256_set_pd(3.0, 2.0, 1.0, 0.0));
}

/* Heights above the wall where there are any, all bits set in *is. */
static inline __m256d above(__m256d h, __m256d wall, ptrdiff_t left, __m256d *is)
{
    const __m256d zero = _mm256_setzero_pd();
    const __m256d d = _mm256_sub_pd(h, wall);
    *is = _mm256_cmp_pd(d, zero, _CMP_GT_OQ);
    if (left < WIDE)
        *is = _mm256_and_pd(*is, _mm256_castsi256_pd(first_lanes(left)));
    return _mm256_and_pd(d, *is);
}

/* Lanes of one vector: what stands above the wall, and how many of it. */
typedef struct lanes {
    __m256d over_um;
    __m256i count;
} lanes;

static inline void take(lanes *s, __m256d h, __m256d wall)
{
    const __m256d d = _mm256_sub_pd(h, wall);
    const __m256d is = _mm256_cmp_pd(d, _mm256_setzero_pd(), _CMP_GT_OQ);
    s->over_um = _mm256_add_pd(s->over_um, _mm256_and_pd(d, is));
    s->count = _mm256_sub_epi64(s->count, _mm256_castpd_si256(is)); /* minus -1 */
}

static inline void take_some(lanes *s, const double *h_um, ptrdiff_t left, __m256d wall)
{
    /* Where the row has ended stands nothing. */
    const __m256d h = _mm256_blendv_pd(_mm256_set1_pd(-INFINITY),
                                       _mm256_maskload_pd(h_um, first_lanes(left)),
                                       _mm256_castsi256_pd(first_lanes(left)));
    take(s, h, wall);
}

static inline double add_counts(const lanes *a, const lanes *b)
{
    int64_t n[WIDE];
    const __m256i sum = _mm256_add_epi64(a->count, b->count);
    memcpy(n, &sum, sizeof n);
    return (double)(n[0] + n[1] + n[2] + n[3]);
}

static lev_groove_sum engage_avx2(const double *restrict h_um, ptrdiff_t n,
                                  double dx_um, const lev_groove *g)
{
    const vec_groove v = spread(g, dx_um);
    const __m256d eight = _mm256_set1_pd(LANES);
    __m256d i0 = numbers_from(0), i1 = numbers_from(WIDE);
    lanes a = {_mm256_setzero_pd(), _mm256_setzero_si256()}, b = a;
    ptrdiff_t i = 0;
    for (; i + LANES <= n; i += LANES) {
        take(&a, _mm256_loadu_pd(h_um + i), wall_at(&v, i0));
        take(&b, _mm256_loadu_pd(h_um + i + WIDE), wall_at(&v, i1));
        i0 = _mm256_add_pd(i0, eight);
        i1 = _mm256_add_pd(i1, eight);
    }
    if (i < n)
        take_some(&a, h_um + i, n - i, wall_at(&v, i0));
    if (i + WIDE < n)
        take_some(&b, h_um + i + WIDE, n - i - WIDE, wall_at(&v, i1));
    return (lev_groove_sum){.over_um = add_lanes(a.over_um, b.over_um),
                            .count = add_counts(&a, &b)};
}

/* Bytes of a lane whose bit is set. */
static const uint32_t BYTES[1 << WIDE] = {
    0x00000000U, 0x000000FFU, 0x0000FF00U, 0x0000FFFFU, 0x00FF0000U, 0x00FF00FFU,
    0x00FFFF00U, 0x00FFFFFFU, 0xFF000000U, 0xFF0000FFU, 0xFF00FF00U, 0xFF00FFFFU,
    0xFFFF0000U, 0xFFFF00FFU, 0xFFFFFF00U, 0xFFFFFFFFU};

/* Write stamp over the bytes of mark whose bit is set; touches none past the row. */
static inline void stamp_bits(uint8_t *mark, int bits, ptrdiff_t left, uint8_t stamp)
{
    if (left >= WIDE) {
        uint32_t four;
        memcpy(&four, mark, sizeof four);
        four = (four & ~BYTES[bits]) | (stamp * 0x01010101U & BYTES[bits]);
        memcpy(mark, &four, sizeof four);
        return;
    }
    for (int j = 0; j < WIDE; j++) {
        if (bits >> j & 1)
            mark[j] = stamp;
    }
}

/* Four elements: cut, mark, note the first and the last; returns what was above. */
static inline __m256d cut_four(double *h_um, uint8_t *mark, ptrdiff_t i, ptrdiff_t left,
                               __m256d wall, uint8_t stamp, lev_groove_sum *sum,
                               __m256d *is)
{
    const __m256d h = load_some(h_um + i, left);
    const __m256d d = above(h, wall, left, is);
    const int bits = _mm256_movemask_pd(*is);
    if (bits == 0)
        return d;
    _mm256_maskstore_pd(h_um + i, _mm256_castpd_si256(*is), wall);
    stamp_bits(mark + i, bits, left, stamp);
    if (sum->last < 0)
        sum->first = i + __builtin_ctz((unsigned)bits);
    sum->last = i + 31 - __builtin_clz((unsigned)bits);
    return d;
}

static lev_groove_sum cut_avx2(double *restrict h_um, uint8_t *restrict mark,
                               ptrdiff_t n, double dx_um, const lev_groove *g,
                               uint8_t stamp)
{
    const vec_groove v = spread(g, dx_um);
    const __m256d one = _mm256_set1_pd(1.0);
    lev_groove_sum sum = {.first = n, .last = -1};
    __m256d s0 = _mm256_setzero_pd(), s1 = s0, c0 = s0, c1 = s0, is;
    for (ptrdiff_t i = 0; i < n; i += LANES) {
        const ptrdiff_t left = n - i;
        s0 =
            _mm256_add_pd(s0, cut_four(h_um, mark, i, left,
                                       wall_at(&v, numbers_from(i)), stamp, &sum, &is));
        c0 = _mm256_add_pd(c0, _mm256_and_pd(is, one));
        if (left <= WIDE)
            continue;
        s1 = _mm256_add_pd(s1, cut_four(h_um, mark, i + WIDE, left - WIDE,
                                        wall_at(&v, numbers_from(i + WIDE)), stamp,
                                        &sum, &is));
        c1 = _mm256_add_pd(c1, _mm256_and_pd(is, one));
    }
    sum.over_um = add_lanes(s0, s1);
    sum.count = add_lanes(c0, c1);
    return sum;
}

static double raise_avx2(double *restrict h_um, ptrdiff_t n, double start_um,
                         double step_um)
{
    const __m256d start = _mm256_set1_pd(start_um), step = _mm256_set1_pd(step_um);
    __m256d top = _mm256_set1_pd(-INFINITY);
    for (ptrdiff_t i = 0; i < n; i += WIDE) {
        const ptrdiff_t left = n - i;
        const __m256d add = _mm256_add_pd(start, _mm256_mul_pd(numbers_from(i), step));
        const __m256d h = _mm256_add_pd(load_some(h_um + i, left), add);
        if (left >= WIDE) {
            _mm256_storeu_pd(h_um + i, h);
            top = _mm256_max_pd(h, top); /* a NaN in h gives top */
            continue;
        }
        const __m256i some = first_lanes(left);
        _mm256_maskstore_pd(h_um + i, some, h);
        const __m256d low = _mm256_set1_pd(-INFINITY);
        top = _mm256_max_pd(_mm256_blendv_pd(low, h, _mm256_castsi256_pd(some)), top);
    }
    double t[WIDE];
    memcpy(t, &top, sizeof t);
    return fmax(fmax(t[0], t[1]), fmax(t[2], t[3]));
}

void lev_groove_kern_avx2(lev_groove_kern *k)
{
    k->engage = engage_avx2;
    k->cut = cut_avx2;
    k->raise = raise_avx2;
}
