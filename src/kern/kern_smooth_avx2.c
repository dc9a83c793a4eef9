/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Weighted sums with AVX2. See smooth.h.
 *
 * Rows: eight vectors of results stay in registers, so a tap costs eight loads and
 * eight multiply-adds. Columns: six rows by two vectors stay in registers and every
 * loaded vector serves six rows; fastest when rows are eight numbers wide, for then the
 * lines under the kernel lie together in the first-level cache. */
#include "smooth.h"

#include <immintrin.h>

enum { LANES = 4, ROW_VECTORS = 8, COL_ROWS = 6, COL_VECTORS = 2 };

static inline __m256d mul_add(__m256d a, __m256d b, __m256d sum)
{
    return _mm256_add_pd(sum, _mm256_mul_pd(a, b));
}

static void smooth_row_avx2(const double *in, const double *w, ptrdiff_t taps,
                            double *out, ptrdiff_t n)
{
    const ptrdiff_t step = (ptrdiff_t)LANES * ROW_VECTORS;
    ptrdiff_t i = 0;
    for (; i + step <= n; i += step) {
        __m256d sum[ROW_VECTORS];
        for (int v = 0; v < ROW_VECTORS; v++)
            sum[v] = _mm256_setzero_pd();
        for (ptrdiff_t k = 0; k < taps; k++) {
            const __m256d wk = _mm256_broadcast_sd(w + k);
#pragma GCC unroll 8
            for (int v = 0; v < ROW_VECTORS; v++)
                sum[v] = mul_add(wk, _mm256_loadu_pd(in + i + k + (ptrdiff_t)v * LANES),
                                 sum[v]);
        }
        for (int v = 0; v < ROW_VECTORS; v++)
            _mm256_storeu_pd(out + i + (ptrdiff_t)v * LANES, sum[v]);
    }
    lev_smooth_row_c(in + i, w, taps, out + i, n - i);
}

/* One line of input into all six rows: row r sees it under weight w[-r]. */
static inline __attribute__((always_inline)) void
add_line(__m256d sum[COL_ROWS][COL_VECTORS], const double *line, const double *w)
{
    const __m256d a = _mm256_loadu_pd(line), b = _mm256_loadu_pd(line + LANES);
#pragma GCC unroll 6
    for (int r = 0; r < COL_ROWS; r++) {
        const __m256d wr = _mm256_broadcast_sd(w - r);
        sum[r][0] = mul_add(wr, a, sum[r][0]);
        sum[r][1] = mul_add(wr, b, sum[r][1]);
    }
}

/* The same where only some rows have the line under their kernel. */
static void add_line_at_end(__m256d sum[COL_ROWS][COL_VECTORS], const double *line,
                            const double *w, ptrdiff_t taps, ptrdiff_t k)
{
    const __m256d a = _mm256_loadu_pd(line), b = _mm256_loadu_pd(line + LANES);
    for (int r = 0; r < COL_ROWS; r++) {
        if (k - r < 0 || k - r >= taps)
            continue;
        const __m256d wr = _mm256_set1_pd(w[k - r]);
        sum[r][0] = mul_add(wr, a, sum[r][0]);
        sum[r][1] = mul_add(wr, b, sum[r][1]);
    }
}

/* Six rows by eight columns of results at `out`. */
static void cols_block(const double *in, ptrdiff_t width, const double *w,
                       ptrdiff_t taps, double *out)
{
    __m256d sum[COL_ROWS][COL_VECTORS];
    const ptrdiff_t most = taps + COL_ROWS - 1;
    ptrdiff_t k = 0;
    for (int r = 0; r < COL_ROWS; r++)
        sum[r][0] = sum[r][1] = _mm256_setzero_pd();
    for (; k < COL_ROWS - 1 && k < most; k++)
        add_line_at_end(sum, in + k * width, w, taps, k);
    for (; k < taps; k++)
        add_line(sum, in + k * width, w + k);
    for (; k < most; k++)
        add_line_at_end(sum, in + k * width, w, taps, k);
    for (int r = 0; r < COL_ROWS; r++) {
        _mm256_storeu_pd(out + r * width, sum[r][0]);
        _mm256_storeu_pd(out + r * width + LANES, sum[r][1]);
    }
}

static void smooth_cols_avx2(const double *in, ptrdiff_t width, const double *w,
                             ptrdiff_t taps, double *out, ptrdiff_t rows)
{
    const ptrdiff_t step = (ptrdiff_t)LANES * COL_VECTORS;
    const ptrdiff_t whole = width / step * step;
    ptrdiff_t j = 0;
    for (; j + COL_ROWS <= rows; j += COL_ROWS) {
        const double *from = in + j * width;
        double *to = out + j * width;
        for (ptrdiff_t i = 0; i < whole; i += step)
            cols_block(from + i, width, w, taps, to + i);
        for (ptrdiff_t r = 0; r < COL_ROWS; r++) {
            for (ptrdiff_t i = whole; i < width; i++) {
                double sum = 0.0;
                for (ptrdiff_t k = 0; k < taps; k++)
                    sum += w[k] * from[(r + k) * width + i];
                to[r * width + i] = sum;
            }
        }
    }
    lev_smooth_cols_c(in + j * width, width, w, taps, out + j * width, rows - j);
}

void lev_smooth_kern_avx2(lev_smooth_kern *k)
{
    k->row = smooth_row_avx2;
    k->cols = smooth_cols_avx2;
}
