/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Mean lines of traces.
 *
 * Gaussian, ISO 16610-21: s(x) = exp(-pi (x/(alpha lc))^2), alpha = sqrt(ln 2/pi), cut
 * at `reach` cut-offs and normalised. Regression, second order: weights with the
 * constant gamma that gives half the amplitude at lc, and a local parabola at each
 * point; all its sums are weighted moments, so eight correlations serve every point.
 * Robust, ISO 16610-31: the same with Tukey weights from the residuals, repeated. A
 * missing point has weight 0 and stays missing. */
#include "surface_inner.h"

#include <math.h>
#include <string.h>

#include "mem.h"
#include "num.h"
#include "units.h"

enum { MOMENTS = 5, SUMS = 8, ROBUST_ROUNDS = 200 };

/* gamma = sqrt((-1 - W(-1/(2e)))/pi), W the lower branch of Lambert's function: where
 * (1 + pi g^2) exp(-pi g^2) is one half. Newton on u = pi g^2. */
static double regression_gamma(void)
{
    double u = 1.7;
    for (int i = 0; i < 20; i++)
        u += (1.0 + u - 0.5 * exp(u)) / (0.5 * exp(u) - 1.0);
    return sqrt(u / LEV_PI);
}

static double gauss_alpha(void)
{
    return sqrt(log(2.0) / LEV_PI);
}

ptrdiff_t lev_mirror_index(ptrdiff_t i, ptrdiff_t n)
{
    const ptrdiff_t m = ((i % (2 * n)) + 2 * n) % (2 * n);
    return m < n ? m : 2 * n - 1 - m;
}

lev_status lev_gauss_kernel(double cutoff_um, double dx_um, double reach, double **w,
                            ptrdiff_t *half, lev_error *err)
{
    void *p = NULL;
    const ptrdiff_t h = (ptrdiff_t)floor(reach * cutoff_um / dx_um + 1e-9);
    const lev_status st = lev_mem_new((size_t)(2 * h + 1), sizeof(double), &p, err);
    if (st < 0)
        return st;
    double *k = p, sum = 0.0;
    for (ptrdiff_t i = -h; i <= h; i++) {
        const double x = (double)i * dx_um / (gauss_alpha() * cutoff_um);
        k[i + h] = exp(-LEV_PI * x * x);
        sum += k[i + h];
    }
    for (ptrdiff_t i = 0; i <= 2 * h; i++)
        k[i] /= sum;
    *w = k;
    *half = h;
    return LEV_OK;
}

/* A trace laid out for correlation: weights and weighted heights with `half` samples
 * more on either side. */
typedef struct padded {
    double *d, *dz; /* weight; weight times height */
    double *out;    /* n results */
    ptrdiff_t n, half;
} padded;

static lev_status padded_init(padded *p, ptrdiff_t n, ptrdiff_t half, lev_error *err)
{
    lev_status st = LEV_OK;
    void *q = NULL;
    LEV_TRY(
        lev_mem_new(2 * (size_t)(n + 2 * half) + (size_t)n, sizeof(double), &q, err));
    p->d = q;
    p->dz = p->d + n + 2 * half;
    p->out = p->dz + n + 2 * half;
    p->n = n;
    p->half = half;
out:
    return st;
}

static void padded_release(padded *p)
{
    lev_mem_free(p->d);
}

static void padded_fill(padded *p, const lev_trace *t, const double *weight,
                        lev_ends ends)
{
    for (ptrdiff_t i = -p->half; i < p->n + p->half; i++) {
        const bool inside = i >= 0 && i < p->n;
        const ptrdiff_t j = inside ? i : lev_mirror_index(i, p->n);
        const double z = t->z_um[j];
        double w = inside || ends == LEV_ENDS_MIRROR ? 1.0 : 0.0;
        if (isnan(z))
            w = 0.0;
        else if (weight != NULL)
            w *= weight[j];
        p->d[i + p->half] = w;
        p->dz[i + p->half] = w > 0.0 ? w * z : 0.0;
    }
}

/* Without gaps, and longer than the kernel, the share of the kernel that finds a height
 * is 1 but near cut ends. */
static void divide_ends(const double *w, ptrdiff_t half, double *mean, ptrdiff_t n)
{
    double sum = 0.0; /* of the weights within, k samples from an end */
    for (ptrdiff_t j = half + 1; j <= 2 * half; j++)
        sum += w[j];
    for (ptrdiff_t k = 0; k < half; k++) {
        sum += w[half - k];
        mean[k] /= sum;
        mean[n - 1 - k] /= sum;
    }
}

static lev_status gauss_line(const lev_trace *t, const lev_filter *f, double *mean,
                             lev_error *err)
{
    lev_status st = LEV_OK;
    padded p = {0};
    double *w = NULL;
    ptrdiff_t half = 0;
    const double reach = f->reach > 0.0 ? f->reach : lev_texture("gauss_reach");

    LEV_TRY(lev_gauss_kernel(f->cutoff_um, t->dx_um, reach, &w, &half, err));
    if (t->n > 2 * half && lev_trace_missing(t) == 0) {
        LEV_TRY(lev_correlate_ends(t->z_um, t->n, f->ends, w, half, mean, err));
        if (f->ends == LEV_ENDS_CUT)
            divide_ends(w, half, mean, t->n);
        goto out;
    }
    LEV_TRY(padded_init(&p, t->n, half, err));
    padded_fill(&p, t, NULL, f->ends);
    LEV_TRY(lev_correlate(p.dz, w, 2 * half + 1, mean, t->n, err));
    LEV_TRY(lev_correlate(p.d, w, 2 * half + 1, p.out, t->n, err));
    for (ptrdiff_t i = 0; i < t->n; i++)
        mean[i] = isnan(t->z_um[i]) ? (double)NAN : mean[i] / p.out[i];
out:
    padded_release(&p);
    lev_mem_free(w);
    return st;
}

/* Weights exp(-pi (x/(gamma lc))^2) x^j for j = 0 .. 4, x in units of the cut-off. */
typedef struct moment_kernel {
    double *w; /* MOMENTS kernels one after the other */
    ptrdiff_t half;
} moment_kernel;

static lev_status moment_init(moment_kernel *k, const lev_filter *f, double dx_um,
                              lev_error *err)
{
    void *p = NULL;
    const double gamma = regression_gamma();
    const double reach = f->reach > 0.0 ? f->reach : 2.6;
    k->half = (ptrdiff_t)floor(reach * f->cutoff_um / dx_um + 1e-9);
    const ptrdiff_t taps = 2 * k->half + 1;
    const lev_status st = lev_mem_new((size_t)taps * MOMENTS, sizeof(double), &p, err);
    if (st < 0)
        return st;
    k->w = p;
    for (ptrdiff_t i = 0; i < taps; i++) {
        const double x = (double)(i - k->half) * dx_um / f->cutoff_um;
        double w = exp(-LEV_PI * x * x / (gamma * gamma));
        for (int j = 0; j < MOMENTS; j++, w *= x)
            k->w[j * taps + i] = w;
    }
    return LEV_OK;
}

/* Value at 0 of the parabola with moments m (weights) and v (weighted heights): the
 * first unknown of a symmetric 3 x 3 system, by cofactors. */
static double parabola_at_0(const double m[MOMENTS], const double v[3])
{
    const double a = m[2] * m[4] - m[3] * m[3], b = m[2] * m[3] - m[1] * m[4],
                 c = m[1] * m[3] - m[2] * m[2];
    const double det = m[0] * a + m[1] * b + m[2] * c;
    if (!(fabs(det) > 1e-14 * m[0] * m[2] * m[4]))
        return m[0] > 0.0 ? v[0] / m[0] : (double)NAN;
    return (a * v[0] + b * v[1] + c * v[2]) / det;
}

/* One regression mean line with given weights; sums has SUMS rows of t->n. */
static lev_status regression_line(const lev_trace *t, const moment_kernel *k, padded *p,
                                  const double *weight, double *sums, double *mean,
                                  lev_error *err)
{
    const ptrdiff_t taps = 2 * k->half + 1;
    padded_fill(p, t, weight, LEV_ENDS_CUT);
    for (int j = 0; j < SUMS; j++) {
        const bool heights = j >= MOMENTS;
        const lev_status st = lev_correlate(heights ? p->dz : p->d,
                                            k->w + (heights ? j - MOMENTS : j) * taps,
                                            taps, sums + j * t->n, t->n, err);
        if (st < 0)
            return st;
    }
    for (ptrdiff_t i = 0; i < t->n; i++) {
        double m[MOMENTS], v[3];
        for (int j = 0; j < MOMENTS; j++)
            m[j] = sums[j * t->n + i];
        for (int j = 0; j < 3; j++)
            v[j] = sums[(MOMENTS + j) * t->n + i];
        mean[i] = isnan(t->z_um[i]) ? (double)NAN : parabola_at_0(m, v);
    }
    return LEV_OK;
}

/* c = factor / (sqrt 2 erfinv 0.5) times the median of |r|: the factor counts robust
 * standard deviations, and sqrt 2 erfinv 0.5 is the normal quantile at 3/4. */
static double tukey_width(const lev_trace *t, const double *mean, double *scratch)
{
    ptrdiff_t n = 0;
    for (ptrdiff_t i = 0; i < t->n; i++)
        if (!isnan(t->z_um[i]))
            scratch[n++] = fabs(t->z_um[i] - mean[i]);
    if (n == 0)
        return 0.0;
    return lev_texture("robust_factor") / lev_norm_quantile(0.75) *
           lev_median(scratch, n);
}

static void tukey_weights(const lev_trace *t, const double *mean, double c,
                          double *weight)
{
    for (ptrdiff_t i = 0; i < t->n; i++) {
        const double u = (t->z_um[i] - mean[i]) / c;
        weight[i] = fabs(u) <= 1.0 ? (1.0 - u * u) * (1.0 - u * u) : 0.0;
    }
}

static lev_status robust_line(const lev_trace *t, const moment_kernel *k, padded *p,
                              double *weight, double *sums, double *mean,
                              lev_error *err)
{
    const double tolerance = lev_texture("robust_tolerance");
    double before = -1.0;
    for (int round = 0; round < ROBUST_ROUNDS; round++) {
        const lev_status st =
            regression_line(t, k, p, round > 0 ? weight : NULL, sums, mean, err);
        if (st < 0)
            return st;
        const double c = tukey_width(t, mean, sums);
        if (!(c > 0.0) || fabs(c - before) <= tolerance * before)
            return LEV_OK;
        tukey_weights(t, mean, c, weight);
        before = c;
    }
    return lev_fail(err, LEV_E_RANGE, "the robust filter does not settle in %d rounds",
                    ROBUST_ROUNDS);
}

static lev_status regression_filter(const lev_trace *t, const lev_filter *f,
                                    double *mean, lev_error *err)
{
    lev_status st = LEV_OK;
    moment_kernel k = {0};
    padded p = {0};
    void *q = NULL;

    LEV_TRY(moment_init(&k, f, t->dx_um, err));
    LEV_TRY(padded_init(&p, t->n, k.half, err));
    LEV_TRY(lev_mem_new((size_t)t->n * (SUMS + 1), sizeof(double), &q, err));
    double *sums = q, *weight = sums + SUMS * t->n;
    if (f->kind == LEV_FILTER_ROBUST)
        LEV_TRY(robust_line(t, &k, &p, weight, sums, mean, err));
    else
        LEV_TRY(regression_line(t, &k, &p, NULL, sums, mean, err));
out:
    padded_release(&p);
    lev_mem_free(k.w);
    lev_mem_free(q);
    return st;
}

lev_status lev_check_band(double ls_um, double lc_um, lev_error *err)
{
    if (ls_um >= lc_um)
        return lev_fail(err, LEV_E_RANGE,
                        "short-wave limit of %g um, not below the cut-off of %g um",
                        ls_um, lc_um);
    return LEV_OK;
}

lev_status lev_trace_filter(const lev_trace *t, const lev_filter *f, lev_trace *mean,
                            lev_error *err)
{
    lev_status st = LEV_OK;
    lev_trace m = {0};

    if (!(f->cutoff_um >= 2.0 * t->dx_um) || !isfinite(f->cutoff_um))
        LEV_TRY(lev_fail(err, LEV_E_RANGE,
                         "cut-off %g um on points %g um apart; at least two points",
                         f->cutoff_um, t->dx_um));
    if (f->cutoff_um > 1e3 * (double)t->n * t->dx_um)
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "cut-off %g um on a trace of %g um",
                         f->cutoff_um, (double)t->n * t->dx_um));
    LEV_TRY(lev_trace_raw(&m, t->n, t->dx_um, err));
    if (f->kind == LEV_FILTER_GAUSS)
        LEV_TRY(gauss_line(t, f, m.z_um, err));
    else if (f->kind == LEV_FILTER_SPLINE)
        LEV_TRY(lev_spline_filter(t, f->cutoff_um, &m, err));
    else
        LEV_TRY(regression_filter(t, f, m.z_um, err));
    *mean = m;
    m = (lev_trace){0};
out:
    lev_trace_release(&m);
    return st;
}
