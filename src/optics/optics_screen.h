/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Kernel: one row of heights to one row of the phase screen. */
#ifndef OPTICS_SCREEN_H
#define OPTICS_SCREEN_H

#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

/* out[i] = w exp(i k (z[i] - z0 - tilt i)), w = taper[i] scale (taper NULL: 1), as
 * pairs of real and imaginary part. n may be 0; z and out do not overlap; any
 * alignment; |phase| up to 1e6. Finite z only. Accuracy: 4 units in the last place of
 * the sine and cosine of the rounded phase. */
typedef void (*lev_screen_row)(const float *z, ptrdiff_t n, double z0, double tilt,
                               double k, const double *taper, double scale,
                               double *out);

/** The scalar truth. */
void lev_screen_row_c(const float *z, ptrdiff_t n, double z0, double tilt, double k,
                      const double *taper, double scale, double *out);
#ifdef HAVE_SLEEF_AVX2
void lev_screen_row_avx2(const float *z, ptrdiff_t n, double z0, double tilt, double k,
                         const double *taper, double scale, double *out);
#endif

/** The fastest that this processor runs. */
lev_screen_row lev_screen_row_best(void);

/* sum[i] += scale |u[i]|^2 for pairs u; n may be 0. */
typedef void (*lev_power_row)(const double *u, ptrdiff_t n, double scale, float *sum);

void lev_power_row_c(const double *u, ptrdiff_t n, double scale, float *sum);

#ifdef __cplusplus
}
#endif
#endif
