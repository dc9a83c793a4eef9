/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The spline filter of ISO 16610-22 with natural ends: minimise
 *   sum over measured points (z - w)^2 + beta^4 sum (second difference of w)^2,
 * beta = 1/(2 sin(pi dx/lc)). The matrix has five diagonals and is positive definite:
 * L D L' without pivoting. Missing points carry no weight; the curve bridges them, and
 * the caller's answer there is still "missing". */
#include "surface_inner.h"

#include <math.h>

#include "mem.h"
#include "units.h"

/* Diagonals of M + b D'D: d[i], first and second upper neighbours. */
static void fill_bands(const lev_trace *t, double b, double *d, double *e, double *g,
                       double *x)
{
    const ptrdiff_t n = t->n;
    for (ptrdiff_t i = 0; i < n; i++) {
        const bool there = !isnan(t->z_um[i]);
        d[i] = there ? 1.0 : 0.0;
        e[i] = g[i] = 0.0;
        x[i] = there ? t->z_um[i] : 0.0;
    }
    for (ptrdiff_t i = 0; i + 2 < n; i++) { /* each row (1, -2, 1) of D */
        d[i] += b;
        d[i + 1] += 4.0 * b;
        d[i + 2] += b;
        e[i] -= 2.0 * b;
        e[i + 1] -= 2.0 * b;
        g[i] += b;
    }
}

/* In place: d = D, e and g = the two lower diagonals of L, then x = the solution. */
static bool solve_bands(double *d, double *e, double *g, double *x, ptrdiff_t n)
{
    for (ptrdiff_t i = 0; i < n; i++) {
        if (!(d[i] > 0.0))
            return false;
        const double e1 = i + 1 < n ? e[i] : 0.0, g1 = i + 2 < n ? g[i] : 0.0;
        const double l1 = e1 / d[i], l2 = g1 / d[i];
        if (i + 1 < n) {
            d[i + 1] -= l1 * e1;
            e[i + 1] -= l1 * g1;
            x[i + 1] -= l1 * x[i];
        }
        if (i + 2 < n) {
            d[i + 2] -= l2 * g1;
            x[i + 2] -= l2 * x[i];
        }
        e[i] = l1;
        g[i] = l2;
    }
    for (ptrdiff_t i = n - 1; i >= 0; i--) {
        x[i] /= d[i];
        if (i + 1 < n)
            x[i] -= e[i] * x[i + 1];
        if (i + 2 < n)
            x[i] -= g[i] * x[i + 2];
    }
    return true;
}

lev_status lev_spline_filter(const lev_trace *t, double cutoff_um, lev_trace *mean,
                             lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    const double beta = 0.5 / sin(LEV_PI * t->dx_um / cutoff_um);

    LEV_TRY(lev_mem_new((size_t)t->n * 3, sizeof(double), &p, err));
    double *d = p, *e = d + t->n, *g = e + t->n;
    fill_bands(t, beta * beta * beta * beta, d, e, g, mean->z_um);
    if (!solve_bands(d, e, g, mean->z_um, t->n))
        LEV_TRY(lev_fail(err, LEV_E_RANGE,
                         "%td measured points are too few for the spline filter",
                         t->n - lev_trace_missing(t)));
    for (ptrdiff_t i = 0; i < t->n; i++)
        if (isnan(t->z_um[i]))
            mean->z_um[i] = (double)NAN;
out:
    lev_mem_free(p);
    return st;
}
