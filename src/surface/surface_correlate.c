/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Weighted sums along one line: directly by the kernel of kern/smooth, or, when the
 * weights are many, in overlapping blocks by FFT (overlap-save; Press et al., Numerical
 * Recipes, 3rd ed., section 13.1.5). The two agree to about 1e-15 of the largest value
 * times the sum of |w|. */
#include "surface_inner.h"

#include <complex.h>
#include <string.h>

#include <fftw3.h>

#include "cpu.h"
#include "mem.h"
#include "smooth.h"

/* Below this many weights the direct sum is faster (measured with bench_surface). */
enum { DIRECT_TAPS = 160, BLOCK_FACTOR = 4 };

typedef struct fft_block {
    ptrdiff_t size; /* a power of two, several times the taps */
    double *x;
    fftw_complex *f, *w;
    fftw_plan forward, backward;
} fft_block;

static void block_release(fft_block *b)
{
    if (b->forward != NULL)
        fftw_destroy_plan(b->forward);
    if (b->backward != NULL)
        fftw_destroy_plan(b->backward);
    lev_mem_free(b->x);
    lev_mem_free(b->f);
    lev_mem_free(b->w);
}

/* Transform of the weights, reversed so that the product correlates. */
static void block_weights(fft_block *b, const double *w, ptrdiff_t taps)
{
    memset(b->x, 0, (size_t)b->size * sizeof *b->x);
    for (ptrdiff_t k = 0; k < taps; k++)
        b->x[(b->size - k) % b->size] = w[k] / (double)b->size;
    fftw_execute(b->forward);
    memcpy(b->w, b->f, (size_t)(b->size / 2 + 1) * sizeof *b->w);
}

static lev_status block_init(fft_block *b, const double *w, ptrdiff_t taps,
                             lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    b->size = 1024;
    while (b->size < BLOCK_FACTOR * taps)
        b->size *= 2;
    const size_t half = (size_t)b->size / 2 + 1;
    LEV_TRY(lev_mem_new((size_t)b->size, sizeof *b->x, &p, err));
    b->x = p;
    LEV_TRY(lev_mem_new(half, sizeof *b->f, &p, err));
    b->f = p;
    LEV_TRY(lev_mem_new(half, sizeof *b->w, &p, err));
    b->w = p;
    b->forward = fftw_plan_dft_r2c_1d((int)b->size, b->x, b->f, FFTW_ESTIMATE);
    b->backward = fftw_plan_dft_c2r_1d((int)b->size, b->f, b->x, FFTW_ESTIMATE);
    if (b->forward == NULL || b->backward == NULL)
        LEV_TRY(lev_fail(err, LEV_E_SYSTEM, "no plan for a transform of %td", b->size));
    block_weights(b, w, taps);
out:
    return st;
}

/* Correlate one block, `given` numbers of it in x already, into `wanted` results. */
static void block_run(fft_block *b, ptrdiff_t given, double *out, ptrdiff_t wanted)
{
    memset(b->x + given, 0, (size_t)(b->size - given) * sizeof *b->x);
    fftw_execute(b->forward);
    for (ptrdiff_t k = 0; k <= b->size / 2; k++)
        b->f[k] *= b->w[k];
    fftw_execute(b->backward);
    memcpy(out, b->x, (size_t)wanted * sizeof *out);
}

static void correlate_directly(const double *in, const double *w, ptrdiff_t taps,
                               double *out, ptrdiff_t n)
{
    lev_smooth_kern k;
    lev_smooth_kern_init(&k, lev_cpu_flags());
    k.row(in, w, taps, out, n);
}

static bool direct_is_faster(ptrdiff_t taps, ptrdiff_t n)
{
    return taps < DIRECT_TAPS || n < taps / 8;
}

lev_status lev_correlate(const double *in, const double *w, ptrdiff_t taps, double *out,
                         ptrdiff_t n, lev_error *err)
{
    fft_block b = {0};
    if (direct_is_faster(taps, n)) {
        correlate_directly(in, w, taps, out, n);
        return LEV_OK;
    }
    const lev_status st = block_init(&b, w, taps, err);
    if (st == LEV_OK) {
        const ptrdiff_t step = b.size - taps + 1, all = n + taps - 1;
        for (ptrdiff_t i = 0; i < n; i += step) {
            const ptrdiff_t given = all - i < b.size ? all - i : b.size;
            memcpy(b.x, in + i, (size_t)given * sizeof *in);
            block_run(&b, given, out + i, n - i < step ? n - i : step);
        }
    }
    block_release(&b);
    return st;
}

/* Heights first .. first + many - 1 and what stands beyond the ends. */
static void copy_run(const double *z, ptrdiff_t n, lev_ends ends, ptrdiff_t first,
                     ptrdiff_t many, double *to)
{
    const ptrdiff_t low = first < 0 ? -first : 0;
    const ptrdiff_t high = first + many > n ? n - first : many;
    for (ptrdiff_t i = 0; i < low; i++)
        to[i] = ends == LEV_ENDS_MIRROR ? z[lev_mirror_index(first + i, n)] : 0.0;
    memcpy(to + low, z + first + low, (size_t)(high - low) * sizeof *z);
    for (ptrdiff_t i = high; i < many; i++)
        to[i] = ends == LEV_ENDS_MIRROR ? z[lev_mirror_index(first + i, n)] : 0.0;
}

lev_status lev_correlate_ends(const double *z, ptrdiff_t n, lev_ends ends,
                              const double *w, ptrdiff_t half, double *out,
                              lev_error *err)
{
    lev_status st = LEV_OK;
    const ptrdiff_t taps = 2 * half + 1, all = n + 2 * half;
    fft_block b = {0};
    void *p = NULL;
    if (direct_is_faster(taps, n)) {
        LEV_TRY(lev_mem_raw((size_t)all, sizeof *z, &p, err));
        copy_run(z, n, ends, -half, all, p);
        correlate_directly(p, w, taps, out, n);
        goto out;
    }
    LEV_TRY(block_init(&b, w, taps, err));
    const ptrdiff_t step = b.size - 2 * half;
    for (ptrdiff_t i = 0; i < n; i += step) {
        const ptrdiff_t given = all - i < b.size ? all - i : b.size;
        copy_run(z, n, ends, i - half, given, b.x);
        block_run(&b, given, out + i, n - i < step ? n - i : step);
    }
out:
    block_release(&b);
    lev_mem_free(p);
    return st;
}
