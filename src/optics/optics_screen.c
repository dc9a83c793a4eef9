/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The phase screen in plain C, and the choice of a faster one. */
#include "optics_screen.h"

#include <math.h>

void lev_screen_row_c(const float *z, ptrdiff_t n, double z0, double tilt, double k,
                      const double *taper, double scale, double *out)
{
    for (ptrdiff_t i = 0; i < n; i++) {
        const double phase = k * ((double)z[i] - z0 - tilt * (double)i);
        const double w = taper != NULL ? taper[i] * scale : scale;
        out[2 * i] = w * cos(phase);
        out[2 * i + 1] = w * sin(phase);
    }
}

void lev_power_row_c(const double *u, ptrdiff_t n, double scale, float *sum)
{
    for (ptrdiff_t i = 0; i < n; i++)
        sum[i] += (float)(scale * (u[2 * i] * u[2 * i] + u[2 * i + 1] * u[2 * i + 1]));
}

lev_screen_row lev_screen_row_best(void)
{
#ifdef HAVE_SLEEF_AVX2
    if (__builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma"))
        return lev_screen_row_avx2;
#endif
    return lev_screen_row_c;
}
