/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Weighted sums in plain C: the specification. See smooth.h. */
#include "smooth.h"

#include "cpu.h"

void lev_smooth_row_c(const double *in, const double *w, ptrdiff_t taps, double *out,
                      ptrdiff_t n)
{
    for (ptrdiff_t i = 0; i < n; i++) {
        double sum = 0.0;
        for (ptrdiff_t k = 0; k < taps; k++)
            sum += w[k] * in[i + k];
        out[i] = sum;
    }
}

void lev_smooth_cols_c(const double *in, ptrdiff_t width, const double *w,
                       ptrdiff_t taps, double *out, ptrdiff_t rows)
{
    for (ptrdiff_t j = 0; j < rows; j++) {
        for (ptrdiff_t i = 0; i < width; i++) {
            double sum = 0.0;
            for (ptrdiff_t k = 0; k < taps; k++)
                sum += w[k] * in[(j + k) * width + i];
            out[j * width + i] = sum;
        }
    }
}

void lev_smooth_kern_init(lev_smooth_kern *k, unsigned cpu)
{
    k->row = lev_smooth_row_c;
    k->cols = lev_smooth_cols_c;
    if (cpu & LEV_CPU_AVX2)
        lev_smooth_kern_avx2(k);
}
