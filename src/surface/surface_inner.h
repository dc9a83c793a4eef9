/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files of this folder share. */
#ifndef SURFACE_INNER_H
#define SURFACE_INNER_H

#include <stddef.h>

#include "levigate/surface.h"

/** A number of data/surface/texture.csv; the id must exist. */
double lev_texture(const char *id);

/** A trace whose heights are still to be written. */
lev_status lev_trace_raw(lev_trace *t, ptrdiff_t n, double dx_um, lev_error *err);

/** lev_ratio_of_trace without a copy: takes the heights over and empties the trace. */
lev_status lev_ratio_take(lev_trace *t, lev_ratio *out, lev_error *err);

/** out[i] = sum of w[k] in[i + k] for 0 <= i < n; in has n + taps - 1 numbers. Direct,
 * or by FFT in overlapping blocks when the kernel is long. */
lev_status lev_correlate(const double *in, const double *w, ptrdiff_t taps, double *out,
                         ptrdiff_t n, lev_error *err);

/** The same around each of n > 2 half heights, with 2 half + 1 weights; beyond the ends
 * there is 0, or the heights mirrored. */
lev_status lev_correlate_ends(const double *z, ptrdiff_t n, lev_ends ends,
                              const double *w, ptrdiff_t half, double *out,
                              lev_error *err);

/** Sort n numbers into falling order; no NaN among them. The radix sort is the slower
 * reference for doubles. */
lev_status lev_sort_falling(double *x, ptrdiff_t n, lev_error *err);
lev_status lev_sort_radix(double *x, ptrdiff_t n, lev_error *err);
lev_status lev_sort_falling_f(float *x, ptrdiff_t n, lev_error *err);
/** Indices of x in falling order of x, ties by index; n < 2^31. */
lev_status lev_sort_index_f(const float *x, ptrdiff_t n, int *index, lev_error *err);

/** Median of n >= 1 numbers, the mean of the middle two when n is even; reorders x. */
double lev_median(double *x, ptrdiff_t n);

/** w of the spline filter: (M + beta^4 D'D) w = M z, M = 1 where measured. */
lev_status lev_spline_filter(const lev_trace *t, double cutoff_um, lev_trace *mean,
                             lev_error *err);

/** LEV_E_RANGE unless the short-wave limit lies below the cut-off. */
lev_status lev_check_band(double ls_um, double lc_um, lev_error *err);

/** Position of i mirrored into 0 .. n - 1, the end samples standing twice. */
ptrdiff_t lev_mirror_index(ptrdiff_t i, ptrdiff_t n);

/** Normalised Gaussian weights; *half taps on either side. Owned by the caller. */
lev_status lev_gauss_kernel(double cutoff_um, double dx_um, double reach, double **w,
                            ptrdiff_t *half, lev_error *err);

/* Mean width and height of the profile elements. */
typedef struct lev_elements {
    double width_um, height_um; /* NaN when there are none */
    ptrdiff_t count;
} lev_elements;

/** Elements of a profile about 0. Hills lower than hill_um, dales shallower than
 * dale_um and lobes narrower than narrow_um do not count. */
void lev_elements_of(const double *z_um, ptrdiff_t n, double dx_um, double hill_um,
                     double dale_um, double narrow_um, lev_elements *out);

/** Sal, Str and Std of a map less its mean. */
lev_status lev_autocorrelation(const lev_map *m, lev_areal *out, lev_error *err);
/** Spd, Spc, S10z, S5p, S5v of a map less its mean; reads out->h. */
lev_status lev_features(const lev_map *m, lev_areal *out, lev_error *err);

#endif
