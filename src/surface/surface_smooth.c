/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The areal Gaussian of ISO 16610-61: the product of two profile kernels.
 *
 * Strip by strip of columns, in double, so that nothing is rounded between the two
 * passes; the map is read once and written once as float. Both passes are sums down
 * columns eight wide, which is what kern/smooth does best: eight rows are laid side by
 * side for the pass along x, and the result is laid out in slats of eight columns for
 * the pass along y. Where points are missing, a second set of slats carries the
 * weights. */
#include "surface_inner.h"

#include <math.h>
#include <string.h>

#include "cpu.h"
#include "mem.h"
#include "smooth.h"

enum { WIDE = 8, STRIP = 144, SLATS = STRIP / WIDE, CHUNK_ROWS = 96 };

typedef struct smoother {
    const lev_map *m;
    lev_map *out;
    lev_ends ends;
    bool gaps;
    lev_smooth_kern kern;
    double *wx, *wy;       /* kernels */
    ptrdiff_t hx, hy;      /* taps on either side */
    double *side;          /* STRIP + 2 hx lines of WIDE rows; twice that with gaps */
    double *strip, *share; /* SLATS of ny + 2 hy lines of WIDE: heights, weights */
    double *chunk;         /* results: 2 x STRIP or 2 x CHUNK_ROWS lines of WIDE */
    double *fx, *fy;       /* sum of the kernel that lies inside, per column and row */
} smoother;

static void smoother_release(smoother *s)
{
    lev_mem_free(s->wx);
    lev_mem_free(s->wy);
    lev_mem_free(s->side);
    lev_mem_free(s->strip);
    lev_mem_free(s->share);
    lev_mem_free(s->chunk);
    lev_mem_free(s->fx);
    lev_mem_free(s->fy);
}

static ptrdiff_t side_lines(const smoother *s)
{
    return STRIP + 2 * s->hx;
}

static ptrdiff_t slat_lines(const smoother *s)
{
    return s->m->ny + 2 * s->hy;
}

static lev_status new_doubles(double **out, ptrdiff_t n, lev_error *err)
{
    void *p = NULL;
    const lev_status st = lev_mem_new((size_t)n, sizeof(double), &p, err);
    if (st == LEV_OK)
        *out = p;
    return st;
}

/* Sum of the weights that fall on 0 .. n - 1 around each i; 1 with mirrored ends. */
static lev_status inside_sums(const double *w, ptrdiff_t half, ptrdiff_t n,
                              lev_ends ends, double **out, lev_error *err)
{
    const lev_status st = new_doubles(out, n, err);
    if (st < 0)
        return st;
    for (ptrdiff_t i = 0; i < n; i++) {
        const ptrdiff_t low = i < half ? half - i : 0;
        const ptrdiff_t high = n - 1 - i < half ? half + n - 1 - i : 2 * half;
        double sum = 0.0;
        for (ptrdiff_t k = low; k <= high; k++)
            sum += w[k];
        (*out)[i] = ends == LEV_ENDS_MIRROR || high - low == 2 * half ? 1.0 : sum;
    }
    return LEV_OK;
}

static lev_status smoother_init(smoother *s, const lev_filter *f, lev_error *err)
{
    lev_status st = LEV_OK;
    const double reach = f->reach > 0.0 ? f->reach : lev_texture("gauss_reach");
    lev_smooth_kern_init(&s->kern, lev_cpu_flags());
    LEV_TRY(lev_gauss_kernel(f->cutoff_um, s->m->dx_um, reach, &s->wx, &s->hx, err));
    LEV_TRY(lev_gauss_kernel(f->cutoff_um, s->m->dy_um, reach, &s->wy, &s->hy, err));
    LEV_TRY(new_doubles(&s->side, 2 * side_lines(s) * WIDE, err));
    LEV_TRY(new_doubles(&s->strip, SLATS * slat_lines(s) * WIDE, err));
    if (s->gaps)
        LEV_TRY(new_doubles(&s->share, SLATS * slat_lines(s) * WIDE, err));
    LEV_TRY(new_doubles(&s->chunk, (ptrdiff_t)2 * STRIP * WIDE, err));
    LEV_TRY(inside_sums(s->wx, s->hx, s->m->nx, s->ends, &s->fx, err));
    LEV_TRY(inside_sums(s->wy, s->hy, s->m->ny, s->ends, &s->fy, err));
out:
    return st;
}

/* One number of a row, or what stands beyond its ends. */
static void fill_one(const smoother *s, const float *row, ptrdiff_t x, double *height,
                     double *weight)
{
    double z = 0.0, w = 1.0;
    if (x >= 0 && x < s->m->nx)
        z = (double)row[x];
    else if (s->ends == LEV_ENDS_MIRROR)
        z = (double)row[lev_mirror_index(x, s->m->nx)];
    else
        w = 0.0;
    if (s->gaps) {
        *weight = isnan(z) ? 0.0 : w;
        z = isnan(z) ? 0.0 : z;
    }
    *height = z;
}

/* Row y from column x0 - hx on, into lane `lane` of the lines: heights (0 where
 * missing) and weights. */
static void fill_lane(const smoother *s, ptrdiff_t y, ptrdiff_t x0, int lane)
{
    const float *row = s->m->z_um + y * s->m->nx;
    const ptrdiff_t n = side_lines(s), first = x0 - s->hx;
    double *height = s->side + lane, *weight = s->side + n * WIDE + lane;
    /* Lines low .. high - 1 lie inside the map. */
    const ptrdiff_t low = first < 0 ? -first : 0;
    const ptrdiff_t high = s->m->nx - first < n ? s->m->nx - first : n;
    ptrdiff_t i = 0;
    for (; i < low && i < n; i++)
        fill_one(s, row, first + i, height + i * WIDE, weight + i * WIDE);
    if (!s->gaps)
        for (; i < high; i++)
            height[i * WIDE] = (double)row[first + i];
    for (; i < n; i++)
        fill_one(s, row, first + i, height + i * WIDE, weight + i * WIDE);
}

/* STRIP lines of eight rows into the slats of eight columns. */
static void turn_block(const smoother *s, double *slats, ptrdiff_t y0, ptrdiff_t rows)
{
    for (ptrdiff_t slat = 0; slat < SLATS; slat++) {
        double *to = slats + (slat * slat_lines(s) + s->hy + y0) * WIDE;
        const double *from = s->chunk + slat * WIDE * WIDE;
        for (ptrdiff_t r = 0; r < rows; r++)
            for (ptrdiff_t c = 0; c < WIDE; c++)
                to[r * WIDE + c] = from[c * WIDE + r];
    }
}

/* The lines above and below the map in one slat: nothing, or mirrored lines. */
static void fill_slat_ends(const smoother *s, double *slat)
{
    const size_t bytes = WIDE * sizeof *slat;
    for (ptrdiff_t k = -s->hy; k < s->hy; k++) {
        const ptrdiff_t y = k < 0 ? k : s->m->ny + k;
        double *to = slat + (y + s->hy) * WIDE;
        if (s->ends == LEV_ENDS_MIRROR)
            memcpy(to, slat + (lev_mirror_index(y, s->m->ny) + s->hy) * WIDE, bytes);
        else
            memset(to, 0, bytes);
    }
}

static void fill_ends(const smoother *s, double *slats)
{
    for (ptrdiff_t slat = 0; slat < SLATS; slat++)
        fill_slat_ends(s, slats + slat * slat_lines(s) * WIDE);
}

static void smooth_rows(const smoother *s, ptrdiff_t x0)
{
    for (ptrdiff_t y = 0; y < s->m->ny; y += WIDE) {
        const ptrdiff_t rows = s->m->ny - y < WIDE ? s->m->ny - y : WIDE;
        for (int lane = 0; lane < rows; lane++)
            fill_lane(s, y + lane, x0, lane);
        s->kern.cols(s->side, WIDE, s->wx, 2 * s->hx + 1, s->chunk, STRIP);
        turn_block(s, s->strip, y, rows);
        if (!s->gaps)
            continue;
        s->kern.cols(s->side + side_lines(s) * WIDE, WIDE, s->wx, 2 * s->hx + 1,
                     s->chunk, STRIP);
        turn_block(s, s->share, y, rows);
    }
    fill_ends(s, s->strip);
    if (s->gaps)
        fill_ends(s, s->share);
}

/* Results over the share of the kernel that lay on measured points. */
static void store_rows(const smoother *s, ptrdiff_t x0, ptrdiff_t y0, ptrdiff_t rows)
{
    const ptrdiff_t width = s->m->nx - x0 < WIDE ? s->m->nx - x0 : WIDE;
    const double *part = s->chunk + (ptrdiff_t)CHUNK_ROWS * WIDE;
    for (ptrdiff_t y = 0; y < rows; y++) {
        const ptrdiff_t at = (y0 + y) * s->m->nx + x0;
        const float *in = s->m->z_um + at;
        float *to = s->out->z_um + at;
        const double *sum = s->chunk + y * WIDE, fy = s->fy[y0 + y];
        if (!s->gaps)
            for (ptrdiff_t x = 0; x < width; x++)
                to[x] = (float)(sum[x] / (s->fx[x0 + x] * fy));
        else
            for (ptrdiff_t x = 0; x < width; x++)
                to[x] = isnan(in[x]) ? NAN : (float)(sum[x] / part[y * WIDE + x]);
    }
}

/* One slat down its columns; x0 is its first column. */
static void smooth_columns(const smoother *s, ptrdiff_t slat, ptrdiff_t x0)
{
    const ptrdiff_t from = slat * slat_lines(s) * WIDE;
    for (ptrdiff_t y = 0; y < s->m->ny; y += CHUNK_ROWS) {
        const ptrdiff_t rows = s->m->ny - y < CHUNK_ROWS ? s->m->ny - y : CHUNK_ROWS;
        s->kern.cols(s->strip + from + y * WIDE, WIDE, s->wy, 2 * s->hy + 1, s->chunk,
                     rows);
        if (s->gaps)
            s->kern.cols(s->share + from + y * WIDE, WIDE, s->wy, 2 * s->hy + 1,
                         s->chunk + (ptrdiff_t)CHUNK_ROWS * WIDE, rows);
        store_rows(s, x0, y, rows);
    }
}

lev_status lev_map_filter(const lev_map *m, const lev_filter *f, lev_map *mean,
                          lev_error *err)
{
    lev_status st = LEV_OK;
    lev_map out = {0};
    smoother s = {.m = m, .out = &out, .ends = f->ends};

    if (f->kind != LEV_FILTER_GAUSS)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "maps are filtered by the Gaussian only"));
    if (!(f->cutoff_um >= 2.0 * fmax(m->dx_um, m->dy_um)) || !isfinite(f->cutoff_um))
        LEV_TRY(lev_fail(err, LEV_E_RANGE,
                         "cut-off %g um on points %g um apart; at least two points",
                         f->cutoff_um, fmax(m->dx_um, m->dy_um)));
    if (f->cutoff_um > 10.0 * fmax((double)m->nx * m->dx_um, (double)m->ny * m->dy_um))
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "cut-off %g um is far longer than the map",
                         f->cutoff_um));
    s.gaps = lev_map_missing(m) > 0;
    LEV_TRY(lev_map_init(&out, m->nx, m->ny, m->dx_um, m->dy_um, err));
    LEV_TRY(smoother_init(&s, f, err));
    for (ptrdiff_t x0 = 0; x0 < m->nx; x0 += STRIP) {
        smooth_rows(&s, x0);
        for (ptrdiff_t slat = 0; slat < SLATS && x0 + slat * WIDE < m->nx; slat++)
            smooth_columns(&s, slat, x0 + slat * WIDE);
    }
    *mean = out;
    out = (lev_map){0};
out:
    smoother_release(&s);
    lev_map_release(&out);
    return st;
}
