/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Moments of rows of heights, summed in a fixed order: eight lanes, as in groove.h, so
 * that a compiler may vectorise the plain loops and no result depends on it. */
#ifndef KERN_STATS_H
#define KERN_STATS_H

#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

/** Sum of h[0..n). */
double lev_stats_sum(const double *h, ptrdiff_t n);

/** Sum of |h - middle|. */
double lev_stats_sum_abs(const double *h, ptrdiff_t n, double middle);

/** Sum of (h - middle)^2. */
double lev_stats_sum_square(const double *h, ptrdiff_t n, double middle);

/** Sum of (a - a_middle) b. */
double lev_stats_sum_product(const double *a, double a_middle, const float *b,
                             ptrdiff_t n);

/** Sum of b^2 in double. */
double lev_stats_sum_square_f(const float *b, ptrdiff_t n);

/** Greatest and least element; -infinity and +infinity when n is 0. */
double lev_stats_max(const double *h, ptrdiff_t n);
double lev_stats_min(const double *h, ptrdiff_t n);

/** Least element among those whose mark is below stamp; +infinity when there is none.
 * *count gets their number. */
double lev_stats_min_older(const double *h, const uint8_t *mark, ptrdiff_t n,
                           uint8_t stamp, ptrdiff_t *count);

#ifdef __cplusplus
}
#endif
#endif
