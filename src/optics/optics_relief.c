/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A look at the maps: are they whole, how rough and steep, which way do they run. The
 * direction is the structure tensor's (Bigun & Granlund, 1987): the lay lies square to
 * the mean gradient; coherence = (l1 - l2) / (l1 + l2). */
#include "optics_relief.h"

#include <float.h>
#include <math.h>

#include "optics_figure.h"

enum { MAP_MIN = 16, MAP_MAX = 16384 };

static lev_status check_shape(const lev_height_view *m, lev_error *err)
{
    if (m->z_um == NULL || m->nx < MAP_MIN || m->ny < MAP_MIN || m->nx > MAP_MAX ||
        m->ny > MAP_MAX)
        return lev_fail(err, LEV_E_RANGE,
                        "a map of %td x %td points; %d to %d points each way", m->nx,
                        m->ny, MAP_MIN, MAP_MAX);
    if (!(m->dx_um > 0.0) || !(m->dy_um > 0.0) || !isfinite(m->dx_um) ||
        !isfinite(m->dy_um))
        return lev_fail(err, LEV_E_RANGE,
                        "the map has no pitch (%g x %g um); the distance between its "
                        "points in um",
                        m->dx_um, m->dy_um);
    return LEV_OK;
}

static int count_gaps(const float *row, ptrdiff_t n)
{
    int gaps = 0;
    for (ptrdiff_t i = 0; i < n; i++)
        gaps += !(fabsf(row[i]) <= FLT_MAX);
    return gaps;
}

static lev_status check_whole(const lev_height_view *m, lev_error *err)
{
    for (ptrdiff_t j = 0; j < m->ny; j++) {
        const float *const row = m->z_um + j * m->nx;
        if (count_gaps(row, m->nx) == 0)
            continue;
        ptrdiff_t i = 0;
        while (isfinite(row[i]))
            i++;
        return lev_fail(err, LEV_E_FORMAT,
                        "point %td of row %td was not measured; a map without gaps "
                        "(fill or cut them first)",
                        i + 1, j + 1);
    }
    return LEV_OK;
}

static bool same_shape(const lev_height_view *a, const lev_height_view *b)
{
    return a->nx == b->nx && a->ny == b->ny && !(fabs(a->dx_um - b->dx_um) > 0.0) &&
           !(fabs(a->dy_um - b->dy_um) > 0.0);
}

lev_status lev_relief_check(const lev_height_view *maps, ptrdiff_t n, lev_error *err)
{
    lev_status st = LEV_OK;
    if (maps == NULL || n < 1)
        return lev_fail(err, LEV_E_RANGE, "no map; at least one");
    for (ptrdiff_t k = 0; k < n; k++) {
        LEV_TRY(check_shape(&maps[k], err));
        if (!same_shape(&maps[0], &maps[k]))
            LEV_TRY(lev_fail(err, LEV_E_RANGE,
                             "map %td differs from the first in size or pitch; maps of "
                             "one size to average",
                             k + 1));
        LEV_TRY(check_whole(&maps[k], err));
    }
out:
    return st;
}

/* Sums of a row in lanes, so that one addition need not wait for the one before. */
enum { LANES = 8 };

static double row_sum(const float *row, ptrdiff_t n)
{
    double lane[LANES] = {0.0};
    double sum = 0.0;
    const ptrdiff_t whole = n - n % LANES;
    for (ptrdiff_t i = 0; i < whole; i += LANES)
        for (ptrdiff_t k = 0; k < LANES; k++)
            lane[k] += (double)row[i + k];
    for (ptrdiff_t i = whole; i < n; i++)
        sum += (double)row[i];
    for (int k = 0; k < LANES; k++)
        sum += lane[k];
    return sum;
}

/* Sum of (i - (n - 1) / 2) row[i]. */
static double row_moment(const float *row, ptrdiff_t n)
{
    double lane[LANES] = {0.0};
    double sum = 0.0;
    const double c = (double)(n - 1) / 2.0;
    const ptrdiff_t whole = n - n % LANES;
    for (ptrdiff_t i = 0; i < whole; i += LANES)
        for (ptrdiff_t k = 0; k < LANES; k++)
            lane[k] += ((double)(i + k) - c) * (double)row[i + k];
    for (ptrdiff_t i = whole; i < n; i++)
        sum += ((double)i - c) * (double)row[i];
    for (int k = 0; k < LANES; k++)
        sum += lane[k];
    return sum;
}

lev_plane lev_relief_plane(const lev_height_view *m, bool repeats)
{
    double sum = 0.0;
    double sum_i = 0.0;
    double sum_j = 0.0;
    const double cj = (double)(m->ny - 1) / 2.0;
    const double nx = (double)m->nx;
    const double ny = (double)m->ny;
    for (ptrdiff_t j = 0; j < m->ny; j++) {
        const float *const row = m->z_um + j * m->nx;
        const double s = row_sum(row, m->nx);
        sum += s;
        sum_j += ((double)j - cj) * s;
        if (!repeats)
            sum_i += row_moment(row, m->nx);
    }
    lev_plane p = {.mean_um = sum / (nx * ny)};
    if (!repeats) { /* sum of (i - ci)^2 = n (n^2 - 1) / 12 */
        p.slope_i = sum_i / (ny * nx * (nx * nx - 1.0) / 12.0);
        p.slope_j = sum_j / (nx * ny * (ny * ny - 1.0) / 12.0);
    }
    return p;
}

static ptrdiff_t row_steps(const float *a, const float *b, ptrdiff_t n, float limit_um)
{
    int count = 0;
    for (ptrdiff_t i = 0; i < n; i++)
        count += fabsf(a[i] - b[i]) > limit_um;
    return count;
}

double lev_relief_step_share(const lev_height_view *m, double limit_um)
{
    const float limit = (float)limit_um;
    ptrdiff_t count = 0;
    for (ptrdiff_t j = 0; j < m->ny; j++) {
        const float *const row = m->z_um + j * m->nx;
        count += row_steps(row, row + 1, m->nx - 1, limit);
        if (j + 1 < m->ny)
            count += row_steps(row, row + m->nx, m->nx, limit);
    }
    return (double)count / (2.0 * (double)m->nx * (double)m->ny);
}

/* ---- figures of an ensemble ---- */

typedef struct moments {
    double zz, xx, yy, xy, step, n;
} moments;

static void add_row(moments *a, const float *row, const float *next, ptrdiff_t nx,
                    double dx, double dy, double z0, double tilt)
{
    for (ptrdiff_t i = 0; i + 1 < nx; i++) {
        const double z = (double)row[i] - z0 - tilt * (double)i;
        const double rise_x = (double)row[i + 1] - (double)row[i];
        const double rise_y = (double)next[i] - (double)row[i];
        a->zz += z * z;
        a->xx += rise_x * rise_x / (dx * dx);
        a->yy += rise_y * rise_y / (dy * dy);
        a->xy += rise_x * rise_y / (dx * dy);
        a->step = fmax(a->step, fmax(fabs(rise_x), fabs(rise_y)));
        a->n += 1.0;
    }
}

static void add_map(moments *a, const lev_height_view *m)
{
    const lev_plane p = lev_relief_plane(m, false);
    const double ci = (double)(m->nx - 1) / 2.0;
    const double cj = (double)(m->ny - 1) / 2.0;
    for (ptrdiff_t j = 0; j + 1 < m->ny; j++) {
        const float *const row = m->z_um + j * m->nx;
        const double z0 = p.mean_um + p.slope_j * ((double)j - cj) - p.slope_i * ci;
        add_row(a, row, row + m->nx, m->nx, m->dx_um, m->dy_um, z0, p.slope_i);
    }
}

lev_status lev_optics_relief_stats(const lev_height_view *maps, ptrdiff_t n,
                                   lev_relief_stats *out, lev_error *err)
{
    lev_status st;
    moments a = {0};
    LEV_TRY(lev_relief_check(maps, n, err));
    for (ptrdiff_t k = 0; k < n; k++)
        add_map(&a, &maps[k]);
    const double split = hypot(a.xx - a.yy, 2.0 * a.xy);
    const double across = 0.5 * atan2(2.0 * a.xy, a.xx - a.yy);
    *out = (lev_relief_stats){
        .sq_um = sqrt(a.zz / a.n),
        .slope_x = sqrt(a.xx / a.n),
        .slope_y = sqrt(a.yy / a.n),
        .step_um = a.step,
        .lay_rad = fmod(across + 1.5 * LEV_PI, LEV_PI),
        .coherence = a.xx + a.yy > 0.0 ? split / (a.xx + a.yy) : 0.0,
    };
out:
    return st;
}
