/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Weighted sums along rows and down columns: the inner loops of every linear filter.
 *
 * Contract of both: inputs are finite (the caller puts 0 where nothing was measured),
 * nothing overlaps, no alignment is asked for, n and rows may be 0. Sums start at 0 and
 * run over k upwards in double without fused multiply-add, so every variant gives the
 * same bits as the C one: tolerance 0 ULP. */
#ifndef KERN_SMOOTH_H
#define KERN_SMOOTH_H

#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

/* out[i] = sum of w[k] in[i + k], 0 <= k < taps, for 0 <= i < n. */
typedef void lev_smooth_row_fn(const double *in, const double *w, ptrdiff_t taps,
                               double *out, ptrdiff_t n);

/* The same down the columns of rows of `width` numbers:
 * out[j width + i] = sum of w[k] in[(j + k) width + i], 0 <= j < rows. */
typedef void lev_smooth_cols_fn(const double *in, ptrdiff_t width, const double *w,
                                ptrdiff_t taps, double *out, ptrdiff_t rows);

typedef struct lev_smooth_kern {
    lev_smooth_row_fn *row;
    lev_smooth_cols_fn *cols;
} lev_smooth_kern;

/** Fill in the fastest variants that the features in cpu (cpu.h) allow; 0 = plain C. */
void lev_smooth_kern_init(lev_smooth_kern *k, unsigned cpu);

/* Overwrites what the named instruction set does better; nothing where it was not
 * built. Only lev_smooth_kern_init calls it. */
void lev_smooth_kern_avx2(lev_smooth_kern *k);

/* The plain versions, for the tails of the fast ones. */
lev_smooth_row_fn lev_smooth_row_c;
lev_smooth_cols_fn lev_smooth_cols_c;

#ifdef __cplusplus
}
#endif
#endif
