/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Areal parameters of ISO 25178-2 that need no neighbourhood wider than a cell, and the
 * measurement of a map from form to parameters. */
#include "surface_inner.h"

#include <math.h>
#include <string.h>

#include "units.h"

lev_status lev_map_heights(const lev_map *m, lev_heights *out, lev_error *err)
{
    lev_heights h = {0};
    double sum = 0.0, m1 = 0.0, m2 = 0.0, m3 = 0.0, m4 = 0.0;
    float low = INFINITY, high = -INFINITY;
    const ptrdiff_t n = m->nx * m->ny;
    for (ptrdiff_t i = 0; i < n; i++) {
        const float z = m->z_um[i];
        if (isnan(z))
            continue;
        sum += (double)z;
        low = z < low ? z : low;
        high = z > high ? z : high;
        h.n++;
    }
    if (h.n == 0)
        return lev_fail(err, LEV_E_RANGE, "no measured height");
    h.mean_um = sum / (double)h.n;
    for (ptrdiff_t i = 0; i < n; i++) {
        const double z = (double)m->z_um[i] - h.mean_um, z2 = z * z;
        if (isnan(z))
            continue;
        m1 += fabs(z);
        m2 += z2;
        m3 += z2 * z;
        m4 += z2 * z2;
    }
    m2 /= (double)h.n;
    h.Sa_um = m1 / (double)h.n;
    h.Sq_um = sqrt(m2);
    h.Ssk = m3 / (double)h.n / (m2 * h.Sq_um);
    h.Sku = m4 / (double)h.n / (m2 * m2);
    h.Sp_um = (double)high - h.mean_um;
    h.Sv_um = h.mean_um - (double)low;
    h.Sz_um = (double)high - (double)low;
    *out = h;
    return LEV_OK;
}

/* Sums over the slopes in the middle of the map. */
typedef struct slope_sums {
    double xx, yy, xy;
    ptrdiff_t n;
} slope_sums;

/* Central differences; a missing neighbour leaves the point out. */
static slope_sums sum_slopes(const lev_map *m)
{
    slope_sums s = {0};
    for (ptrdiff_t y = 1; y + 1 < m->ny; y++) {
        const float *row = m->z_um + y * m->nx;
        for (ptrdiff_t x = 1; x + 1 < m->nx; x++) {
            const double zx =
                ((double)row[x + 1] - (double)row[x - 1]) / (2.0 * m->dx_um);
            const double zy =
                ((double)row[x + m->nx] - (double)row[x - m->nx]) / (2.0 * m->dy_um);
            if (isnan(zx) || isnan(zy) || isnan(row[x]))
                continue;
            s.xx += zx * zx;
            s.yy += zy * zy;
            s.xy += zx * zy;
            s.n++;
        }
    }
    return s;
}

/* Rms slope; direction of the marks at right angles to the mean slope; strength. */
static void slopes_of(const lev_map *m, lev_areal *out)
{
    const slope_sums s = sum_slopes(m);
    const double all = s.xx + s.yy;
    out->Sdq = s.n > 0 ? sqrt(all / (double)s.n) : (double)NAN;
    const double steepest = 0.5 * atan2(2.0 * s.xy, s.xx - s.yy);
    out->lay_deg = fmod(steepest * 180.0 / LEV_PI + 90.0 + 180.0, 180.0);
    out->lay_strength = all > 0.0 ? hypot(s.xx - s.yy, 2.0 * s.xy) / all : 0.0;
}

/* Area of the triangle with legs dx, dy at the corner p, over dx dy. */
static double triangle(double p, double q, double r, double dx, double dy)
{
    const double sx = (q - p) / dx, sy = (r - p) / dy;
    return 0.5 * sqrt(1.0 + sx * sx + sy * sy);
}

/* Developed area: each cell by two triangles, the mean of the two diagonals. */
static double developed_pct(const lev_map *m)
{
    double sum = 0.0;
    ptrdiff_t n = 0;
    for (ptrdiff_t y = 0; y + 1 < m->ny; y++) {
        const float *row = m->z_um + y * m->nx;
        for (ptrdiff_t x = 0; x + 1 < m->nx; x++) {
            const double a = (double)row[x], b = (double)row[x + 1],
                         c = (double)row[x + m->nx], d = (double)row[x + m->nx + 1];
            const double area = 0.5 * (triangle(a, b, c, m->dx_um, m->dy_um) +
                                       triangle(d, c, b, m->dx_um, m->dy_um) +
                                       triangle(b, a, d, m->dx_um, m->dy_um) +
                                       triangle(c, d, a, m->dx_um, m->dy_um));
            if (isnan(area))
                continue;
            sum += area - 1.0;
            n++;
        }
    }
    return n > 0 ? 100.0 * sum / (double)n : (double)NAN;
}

static void ratio_parameters(const lev_ratio *r, lev_areal *out)
{
    const double p = lev_texture("volume_peak"), q = lev_texture("volume_dale");
    lev_ratio_core(r, &out->core);
    lev_ratio_plateau(r, &out->plateau);
    out->Sxp_um = lev_ratio_height(r, lev_texture("sxp_peak")) -
                  lev_ratio_height(r, lev_texture("sxp_core"));
    out->Vmp = lev_ratio_material(r, p);
    out->Vmc = lev_ratio_material(r, q) - out->Vmp;
    out->Vvv = lev_ratio_void(r, q);
    out->Vvc = lev_ratio_void(r, p) - out->Vvv;
}

lev_status lev_map_areal(const lev_map *m, lev_areal *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_ratio ratio = {0};
    lev_map z = {0};
    lev_areal a = {0};

    LEV_TRY(lev_map_heights(m, &a.h, err));
    LEV_TRY(lev_map_init(&z, m->nx, m->ny, m->dx_um, m->dy_um, err));
    for (ptrdiff_t i = 0; i < m->nx * m->ny; i++)
        z.z_um[i] = (float)((double)m->z_um[i] - a.h.mean_um);
    slopes_of(&z, &a);
    a.Sdr_pct = developed_pct(&z);
    LEV_TRY(lev_ratio_of_map(&z, &ratio, err));
    ratio_parameters(&ratio, &a);
    LEV_TRY(lev_autocorrelation(&z, &a, err));
    LEV_TRY(lev_features(&z, &a, err));
    *out = a;
out:
    lev_ratio_release(&ratio);
    lev_map_release(&z);
    return st;
}

/* Replace *m by its filtered self; minus: keep what the filter takes away. */
static lev_status pass(lev_map *m, double cutoff_um, bool minus, lev_error *err)
{
    lev_map mean = {0};
    const lev_filter f = {.cutoff_um = cutoff_um};
    lev_status st = lev_map_filter(m, &f, &mean, err);
    if (st < 0)
        return st;
    if (minus) {
        st = lev_map_subtract(m, &mean, err);
        lev_map_release(&mean);
        return st;
    }
    lev_map_release(m);
    *m = mean;
    return st;
}

lev_status lev_areal_measure(const lev_map *m, const lev_areal_settings *set,
                             lev_areal_result *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_areal_result r = {.missing = lev_map_missing(m)};
    lev_map *s = &r.surface;

    LEV_TRY(lev_map_init(s, m->nx, m->ny, m->dx_um, m->dy_um, err));
    memcpy(s->z_um, m->z_um, (size_t)(m->nx * m->ny) * sizeof *m->z_um);
    if (!set->as_is) {
        if (set->lc_mm > 0.0)
            LEV_TRY(lev_check_band(set->ls_um, set->lc_mm * LEV_UM_PER_MM, err));
        LEV_TRY(lev_map_level(s, set->form == LEV_FORM_NONE ? LEV_FORM_LINE : set->form,
                              set->degree, NULL, err));
        if (set->ls_um > 0.0)
            LEV_TRY(pass(s, set->ls_um, false, err));
        if (set->lc_mm > 0.0)
            LEV_TRY(pass(s, set->lc_mm * LEV_UM_PER_MM, true, err));
    }
    LEV_TRY(lev_map_areal(s, &r.a, err));
    *out = r;
    r = (lev_areal_result){0};
out:
    lev_areal_result_release(&r);
    return st;
}

void lev_areal_result_release(lev_areal_result *r)
{
    if (r == NULL)
        return;
    lev_map_release(&r->surface);
    *r = (lev_areal_result){0};
}
