/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The transforms of this folder, from any thread. Plans are ESTIMATE: the same plan,
 * hence the same bits, on every run. */
#ifndef OPTICS_FFT_H
#define OPTICS_FFT_H

#include <complex.h>
#include <fftw3.h>
#include <stddef.h>

#include "levigate/optics.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Forward transform of ny rows of nx, in place, sign -1. */
lev_status lev_fft_complex(fftw_complex *a, ptrdiff_t nx, ptrdiff_t ny, lev_error *err);

/** Real rows (nx even, padded to nx + 2) to nx / 2 + 1 half-complex ones, in place. */
lev_status lev_fft_forward(double *a, ptrdiff_t nx, ptrdiff_t ny, lev_error *err);
/** And back; not divided by nx ny. */
lev_status lev_fft_back(double *a, ptrdiff_t nx, ptrdiff_t ny, lev_error *err);

#ifdef __cplusplus
}
#endif
#endif
