/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Autocorrelation and angular spectrum by FFT.
 *
 * f(tx, ty) = mean of z z' over the pairs that were measured, over the mean of z z.
 * Pairs are counted, so neither ends nor missing points bias it. A map larger than
 * TILE is done tile by tile and the sums added: lags then reach half a tile. The
 * spectrum uses a Hann window, without which the ends of the map would look like lay
 * along its axes. */
#include "surface_inner.h"

#include <complex.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <fftw3.h>

#include "mem.h"
#include "units.h"

enum { TILE = 1024, HALF_TURN = 180 };

typedef struct acf {
    const lev_map *m;
    ptrdiff_t tx, ty; /* tile */
    ptrdiff_t px, py; /* with room for lags of half a tile */
    double *x;        /* py rows of px */
    fftw_complex *f;  /* py rows of px/2 + 1 */
    fftw_plan forward, backward;
    double *sum, *pairs; /* lags: (ty + 1) rows -ty/2 .. ty/2 of tx/2 + 1 */
    double angular[HALF_TURN];
} acf;

static ptrdiff_t power_of_two(ptrdiff_t n)
{
    ptrdiff_t p = 1;
    while (p < n)
        p *= 2;
    return p;
}

static ptrdiff_t lag_rows(const acf *a)
{
    return 2 * (a->ty / 2) + 1;
}

static ptrdiff_t lag_cols(const acf *a)
{
    return a->tx / 2 + 1;
}

static lev_status acf_init(acf *a, lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    a->tx = a->m->nx < TILE ? a->m->nx : TILE;
    a->ty = a->m->ny < TILE ? a->m->ny : TILE;
    a->px = power_of_two(a->tx + a->tx / 2);
    a->py = power_of_two(a->ty + a->ty / 2);
    LEV_TRY(lev_mem_new((size_t)(a->px * a->py), sizeof(double), &p, err));
    a->x = p;
    LEV_TRY(lev_mem_new((size_t)((a->px / 2 + 1) * a->py), sizeof *a->f, &p, err));
    a->f = p;
    LEV_TRY(
        lev_mem_new(2 * (size_t)(lag_rows(a) * lag_cols(a)), sizeof(double), &p, err));
    a->sum = p;
    a->pairs = a->sum + lag_rows(a) * lag_cols(a);
    a->forward =
        fftw_plan_dft_r2c_2d((int)a->py, (int)a->px, a->x, a->f, FFTW_ESTIMATE);
    a->backward =
        fftw_plan_dft_c2r_2d((int)a->py, (int)a->px, a->f, a->x, FFTW_ESTIMATE);
    if (a->forward == NULL || a->backward == NULL)
        LEV_TRY(lev_fail(err, LEV_E_SYSTEM, "no plan for a transform"));
out:
    return st;
}

static void acf_release(acf *a)
{
    if (a->forward != NULL)
        fftw_destroy_plan(a->forward);
    if (a->backward != NULL)
        fftw_destroy_plan(a->backward);
    lev_mem_free(a->x);
    lev_mem_free(a->f);
    lev_mem_free(a->sum);
}

/* Put a tile into x: heights, or 1 where measured; optionally under a Hann window. */
static void load_tile(acf *a, ptrdiff_t x0, ptrdiff_t y0, bool heights, bool window)
{
    memset(a->x, 0, (size_t)(a->px * a->py) * sizeof *a->x);
    for (ptrdiff_t y = 0; y < a->ty; y++) {
        const double wy = sin(LEV_PI * ((double)y + 0.5) / (double)a->ty);
        for (ptrdiff_t x = 0; x < a->tx; x++) {
            const float z = a->m->z_um[(y0 + y) * a->m->nx + x0 + x];
            if (isnan(z))
                continue;
            const double wx = sin(LEV_PI * ((double)x + 0.5) / (double)a->tx);
            const double w = window ? wx * wx * wy * wy : 1.0;
            a->x[y * a->px + x] = (heights ? (double)z : 1.0) * w;
        }
    }
}

/* Correlate x with itself and add the lags to `to`. */
static void add_lags(acf *a, double *to)
{
    const double scale = 1.0 / (double)(a->px * a->py);
    fftw_execute(a->forward);
    for (ptrdiff_t i = 0; i < (a->px / 2 + 1) * a->py; i++) {
        const double re = creal(a->f[i]), im = cimag(a->f[i]);
        a->f[i] = scale * (re * re + im * im);
    }
    fftw_execute(a->backward);
    for (ptrdiff_t j = 0; j < lag_rows(a); j++) {
        const ptrdiff_t y = (j - a->ty / 2 + a->py) % a->py;
        for (ptrdiff_t i = 0; i < lag_cols(a); i++)
            to[j * lag_cols(a) + i] += a->x[y * a->px + i];
    }
}

/* Share the power of each frequency out to its direction, in whole degrees. */
static void add_angular(acf *a)
{
    fftw_execute(a->forward);
    for (ptrdiff_t j = 0; j < a->py; j++) {
        const double fy =
            (double)(j <= a->py / 2 ? j : j - a->py) / ((double)a->py * a->m->dy_um);
        for (ptrdiff_t i = 0; i <= a->px / 2; i++) {
            const double fx = (double)i / ((double)a->px * a->m->dx_um);
            if (i == 0 && j == 0)
                continue;
            const double re = creal(a->f[j * (a->px / 2 + 1) + i]),
                         im = cimag(a->f[j * (a->px / 2 + 1) + i]);
            const double turn = atan2(fy, fx) * 180.0 / LEV_PI;
            const int bin = (int)floor(turn + 180.5) % HALF_TURN;
            a->angular[bin] += (i > 0 ? 2.0 : 1.0) * (re * re + im * im);
        }
    }
}

static void acf_run(acf *a)
{
    for (ptrdiff_t y0 = 0; y0 + a->ty <= a->m->ny; y0 += a->ty) {
        for (ptrdiff_t x0 = 0; x0 + a->tx <= a->m->nx; x0 += a->tx) {
            load_tile(a, x0, y0, true, false);
            add_lags(a, a->sum);
            load_tile(a, x0, y0, false, false);
            add_lags(a, a->pairs);
            load_tile(a, x0, y0, true, true);
            add_angular(a);
        }
    }
}

/* f at a lag in samples, x >= 0, by bilinear interpolation; NaN outside. */
static double lag_value(const acf *a, double x, double y)
{
    const ptrdiff_t half = a->ty / 2;
    const double row = y + (double)half;
    const ptrdiff_t i = (ptrdiff_t)floor(x), j = (ptrdiff_t)floor(row);
    if (i < 0 || j < 0 || i + 1 >= lag_cols(a) || j + 1 >= lag_rows(a))
        return (double)NAN;
    const ptrdiff_t zero = half * lag_cols(a);
    const double unit = a->sum[zero] / a->pairs[zero];
    double v[4];
    for (int k = 0; k < 4; k++) {
        const ptrdiff_t at = (j + k / 2) * lag_cols(a) + i + k % 2;
        v[k] = a->pairs[at] > 0.5 ? a->sum[at] / a->pairs[at] / unit : (double)NAN;
    }
    const double u = x - (double)i, w = row - (double)j;
    return (1.0 - w) * ((1.0 - u) * v[0] + u * v[1]) +
           w * ((1.0 - u) * v[2] + u * v[3]);
}

/* Lag in um along a direction where f first falls to `level`; *reached false when it
 * does not within the lags there are, and the lag is then their end. */
static double first_fall(const acf *a, double turn, double level, bool *reached)
{
    const double step = 0.25 * fmin(a->m->dx_um, a->m->dy_um);
    const double ux = cos(turn) / a->m->dx_um, uy = sin(turn) / a->m->dy_um;
    double before = 1.0, r = 0.0;
    for (;;) {
        r += step;
        const double v = lag_value(a, r * ux, r * uy);
        if (isnan(v)) {
            *reached = false;
            return r;
        }
        if (v <= level) {
            *reached = true;
            return r - step * (level - v) / (before - v);
        }
        before = v;
    }
}

static void read_lengths(const acf *a, lev_areal *out)
{
    const double level = lev_texture("acf_level");
    double shortest = (double)INFINITY, longest = 0.0;
    for (int k = 0; k < 2 * HALF_TURN; k++) {
        bool reached = false;
        /* -90 .. 90 degrees: the other half is the same by symmetry */
        const double turn = (0.5 * (double)k - 90.0) * LEV_PI / 180.0;
        const double r = first_fall(a, turn, level, &reached);
        if (reached)
            shortest = fmin(shortest, r);
        else if (r >= longest)
            out->Str_bound = true;
        longest = fmax(longest, r);
    }
    out->Sal_um = isfinite(shortest) ? shortest : (double)NAN;
    out->Str = shortest / longest;
}

static double angular_at(const double *angular, int k)
{
    return angular[(k % HALF_TURN + HALF_TURN) % HALF_TURN];
}

/* Direction of the largest share of the spectrum: the best sum over NEAR degrees either
 * way, and the mean direction within it. */
static double strongest_deg(const double *angular)
{
    enum { NEAR = 8 };
    int best = 0;
    double most = -1.0, turn = 0.0;
    for (int k = 0; k < HALF_TURN; k++) {
        double sum = 0.0, mean = 0.0;
        for (int d = -NEAR; d <= NEAR; d++) {
            const double w = angular_at(angular, k + d) * (NEAR + 1 - abs(d));
            sum += w;
            mean += w * d;
        }
        if (sum > most) {
            most = sum;
            turn = sum > 0.0 ? mean / sum : 0.0;
            best = k;
        }
    }
    return fmod((double)best + turn + HALF_TURN, HALF_TURN);
}

lev_status lev_autocorrelation(const lev_map *m, lev_areal *out, lev_error *err)
{
    acf a = {.m = m};
    out->Sal_um = out->Str = out->Std_deg = (double)NAN;
    if (m->nx < 4 || m->ny < 4 || !(out->h.Sq_um > 0.0))
        return LEV_OK; /* nothing to correlate */
    const lev_status st = acf_init(&a, err);
    if (st == LEV_OK) {
        acf_run(&a);
        read_lengths(&a, out);
        out->Std_deg = strongest_deg(a.angular);
    }
    acf_release(&a);
    return st;
}
