/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Contrast against frequency from a slanted edge, ISO 12233:2014 clause 6.2: per row
 * the centroid of the derivative, a straight line through them, all points projected
 * along the edge into quarter-point bins, derivative [-1/2 0 1/2], Hamming window
 * around the peak, transform, division by the derivative's own response (capped at
 * ten). */
#include "levigate/optics.h"

#include <math.h>

#include "mem.h"
#include "units.h"

enum { FINE = 4 };

typedef struct line {
    double at, lean; /* x = at + lean * row */
} line;

/* Where the edge crosses one row; false when the row holds none. */
static bool row_edge(const float *row, ptrdiff_t nx, double *x)
{
    double sum = 0.0;
    double moment = 0.0;
    double size = 0.0;
    for (ptrdiff_t i = 0; i + 1 < nx; i++) {
        const double d = (double)row[i + 1] - (double)row[i];
        sum += d;
        moment += d * ((double)i + 1.0);
        size = fmax(size, fabs((double)row[i]));
    }
    if (!(fabs(sum) > 0.05 * fmax(size, 1e-6)))
        return false;
    *x = moment / sum;
    return *x > 0.0 && *x < (double)nx;
}

static lev_status fit_edge(const float *grey, ptrdiff_t nx, ptrdiff_t ny, line *out,
                           lev_error *err)
{
    double s = 0.0;
    double sx = 0.0;
    double sy = 0.0;
    double sxy = 0.0;
    double sxx = 0.0;
    for (ptrdiff_t j = 0; j < ny; j++) {
        double x;
        const double y = (double)j;
        if (!row_edge(grey + j * nx, nx, &x))
            return lev_fail(
                err, LEV_E_FORMAT,
                "no edge crosses row %td; a picture cut to one slanted edge", j + 1);
        s += 1.0;
        sx += y;
        sy += x;
        sxy += x * y;
        sxx += y * y;
    }
    out->lean = (s * sxy - sx * sy) / (s * sxx - sx * sx);
    out->at = (sy - out->lean * sx) / s;
    return LEV_OK;
}

/* Mean of all points at each quarter-point distance from the edge; empty bins take
 * their neighbour's value. */
static void edge_spread(const float *grey, ptrdiff_t nx, ptrdiff_t ny, line e,
                        double *sum, double *count, ptrdiff_t n)
{
    const double middle = (double)n / 2.0;
    const double square = cos(atan(e.lean)); /* distance square to the edge */
    for (ptrdiff_t j = 0; j < ny; j++)
        for (ptrdiff_t i = 0; i < nx; i++) {
            const double x = (double)i + 0.5 - e.at - e.lean * (double)j;
            const double b = floor(x * square * FINE + middle);
            if (b < 0.0 || b >= (double)n)
                continue;
            sum[(ptrdiff_t)b] += (double)grey[j * nx + i];
            count[(ptrdiff_t)b] += 1.0;
        }
    double last = 0.0;
    for (ptrdiff_t i = 0; i < n; i++)
        if (count[i] > 0.0) {
            last = sum[i] / count[i];
            break;
        }
    for (ptrdiff_t i = 0; i < n; i++)
        last = sum[i] = count[i] > 0.0 ? sum[i] / count[i] : last;
}

/* Derivative and window, in place; w is working space of n. */
static void line_spread(double *a, double *w, ptrdiff_t n)
{
    double best = -1.0;
    ptrdiff_t peak = n / 2;
    for (ptrdiff_t i = 1; i + 1 < n; i++) {
        w[i] = (a[i + 1] - a[i - 1]) / 2.0;
        if (fabs(w[i]) > best) {
            best = fabs(w[i]);
            peak = i;
        }
    }
    w[0] = w[n - 1] = 0.0;
    const double half = (double)n / 2.0;
    for (ptrdiff_t i = 0; i < n; i++) {
        const double t = ((double)i - (double)peak) / half;
        a[i] = fabs(t) < 1.0 ? w[i] * (0.54 + 0.46 * cos(LEV_PI * t)) : 0.0;
    }
}

static double response(const double *a, ptrdiff_t n, double cycles)
{
    double re = 0.0;
    double im = 0.0;
    for (ptrdiff_t i = 0; i < n; i++) {
        const double turn = 2.0 * LEV_PI * cycles * (double)i / FINE;
        re += a[i] * cos(turn);
        im += a[i] * sin(turn);
    }
    return hypot(re, im);
}

lev_status lev_optics_edge_mtf(const float *grey, ptrdiff_t nx, ptrdiff_t ny,
                               double *mtf, ptrdiff_t n_mtf, lev_error *err)
{
    lev_status st;
    void *p = NULL;
    line e = {0};
    if (nx < 16 || ny < 16 || nx > 16384 || ny > 16384)
        LEV_TRY(lev_fail(err, LEV_E_RANGE,
                         "an edge picture of %td x %td points; 16 to 16384", nx, ny));
    LEV_TRY(fit_edge(grey, nx, ny, &e, err));
    const ptrdiff_t n = FINE * nx;
    LEV_TRY(lev_mem_new((size_t)n, 2 * sizeof(double), &p, err));
    double *const a = p;
    edge_spread(grey, nx, ny, e, a, a + n, n);
    line_spread(a, a + n, n);
    const double zero = response(a, n, 0.0);
    for (ptrdiff_t i = 0; i < n_mtf; i++) {
        const double f = (double)i / (double)n_mtf;
        const double x = 2.0 * LEV_PI * f / FINE; /* the derivative's own response */
        const double own = x > 0.0 ? sin(x) / x : 1.0;
        mtf[i] = response(a, n, f) / zero / fmax(own, 0.1);
    }
out:
    lev_mem_free(p);
    return st;
}
