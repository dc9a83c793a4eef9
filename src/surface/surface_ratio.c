/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The material ratio curve z(m): heights in falling order at m = (i + 1/2)/n, straight
 * in between, level from the first to m = 0 and from the last to m = 1. Everything else
 * (Rk family, volumes, Sxp) is read off this one curve, so they agree with each other.
 */
#include "surface_inner.h"

#include <math.h>

#include "mem.h"

static double ratio_at(const lev_ratio *r, ptrdiff_t i)
{
    return r->z_um != NULL ? r->z_um[i] : (double)r->zf_um[i];
}

static double ratio_m(const lev_ratio *r, ptrdiff_t i)
{
    return ((double)i + 0.5) / (double)r->n;
}

lev_status lev_ratio_take(lev_trace *t, lev_ratio *out, lev_error *err)
{
    ptrdiff_t n = 0;
    for (ptrdiff_t i = 0; i < t->n; i++)
        if (!isnan(t->z_um[i]))
            t->z_um[n++] = t->z_um[i];
    if (n == 0)
        return lev_fail(err, LEV_E_RANGE, "no measured height");
    const lev_status st = lev_sort_falling(t->z_um, n, err);
    if (st < 0)
        return st;
    *out = (lev_ratio){.z_um = t->z_um, .n = n};
    *t = (lev_trace){0};
    return LEV_OK;
}

lev_status lev_ratio_of_trace(const lev_trace *t, lev_ratio *out, lev_error *err)
{
    lev_trace copy = {0};
    lev_status st = lev_trace_part(t, 0, t->n, &copy, err);
    if (st == LEV_OK)
        st = lev_ratio_take(&copy, out, err);
    lev_trace_release(&copy);
    return st;
}

lev_status lev_ratio_of_map(const lev_map *m, lev_ratio *out, lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    lev_ratio r = {0};
    LEV_TRY(lev_mem_new((size_t)(m->nx * m->ny), sizeof *r.zf_um, &p, err));
    r.zf_um = p;
    for (ptrdiff_t i = 0; i < m->nx * m->ny; i++)
        if (!isnan(m->z_um[i]))
            r.zf_um[r.n++] = m->z_um[i];
    if (r.n == 0)
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "no measured height"));
    LEV_TRY(lev_sort_falling_f(r.zf_um, r.n, err));
    *out = r;
    p = NULL;
out:
    lev_mem_free(p);
    return st;
}

void lev_ratio_release(lev_ratio *r)
{
    if (r == NULL)
        return;
    lev_mem_free(r->z_um);
    lev_mem_free(r->zf_um);
    *r = (lev_ratio){0};
}

double lev_ratio_height(const lev_ratio *r, double m)
{
    const double at = m * (double)r->n - 0.5;
    if (!(at > 0.0))
        return ratio_at(r, 0);
    if (at >= (double)(r->n - 1))
        return ratio_at(r, r->n - 1);
    const ptrdiff_t i = (ptrdiff_t)at;
    const double f = at - (double)i;
    return ratio_at(r, i) + f * (ratio_at(r, i + 1) - ratio_at(r, i));
}

/* First position whose height is at or below z (n when none). */
static ptrdiff_t first_not_above(const lev_ratio *r, double z)
{
    ptrdiff_t low = 0, high = r->n;
    while (low < high) {
        const ptrdiff_t mid = low + (high - low) / 2;
        if (ratio_at(r, mid) <= z)
            high = mid;
        else
            low = mid + 1;
    }
    return low;
}

double lev_ratio_share(const lev_ratio *r, double height_um)
{
    ptrdiff_t low = 0, high = r->n; /* first position below height */
    while (low < high) {
        const ptrdiff_t mid = low + (high - low) / 2;
        if (ratio_at(r, mid) < height_um)
            high = mid;
        else
            low = mid + 1;
    }
    return (double)low / (double)r->n;
}

/* Where the curve comes down to y; 0 above it, 1 below it. */
static double ratio_crossing(const lev_ratio *r, double y)
{
    if (y >= ratio_at(r, 0))
        return 0.0;
    if (y <= ratio_at(r, r->n - 1))
        return 1.0;
    const ptrdiff_t j = first_not_above(r, y);
    const double above = ratio_at(r, j - 1), here = ratio_at(r, j);
    if (!(above > here) || !(y > here))
        return ratio_m(r, j);
    return ratio_m(r, j - 1) + (above - y) / (above - here) / (double)r->n;
}

/* Area between the curve and y from m = 0 to `to` (height above y counted). */
static double area_above(const lev_ratio *r, double y, double to)
{
    double sum = 0.0, m0 = 0.0, h0 = ratio_at(r, 0) - y;
    for (ptrdiff_t i = 0; i < r->n && ratio_m(r, i) < to; i++) {
        const double m1 = ratio_m(r, i), h1 = ratio_at(r, i) - y;
        sum += 0.5 * (h0 + h1) * (m1 - m0);
        m0 = m1;
        h0 = h1;
    }
    return sum + 0.5 * (h0 + lev_ratio_height(r, to) - y) * (to - m0);
}

static double area_below(const lev_ratio *r, double y, double from)
{
    double sum = 0.0, m0 = 1.0, h0 = y - ratio_at(r, r->n - 1);
    for (ptrdiff_t i = r->n - 1; i >= 0 && ratio_m(r, i) > from; i--) {
        const double m1 = ratio_m(r, i), h1 = y - ratio_at(r, i);
        sum += 0.5 * (h0 + h1) * (m0 - m1);
        m0 = m1;
        h0 = h1;
    }
    return sum + 0.5 * (h0 + y - lev_ratio_height(r, from)) * (m0 - from);
}

double lev_ratio_material(const lev_ratio *r, double m)
{
    return area_above(r, lev_ratio_height(r, m), m);
}

double lev_ratio_void(const lev_ratio *r, double m)
{
    return area_below(r, lev_ratio_height(r, m), m);
}

/* First window of k steps with the smallest fall, equal within 1e-9 of the range. */
static ptrdiff_t flattest_window(const lev_ratio *r, ptrdiff_t k)
{
    double least = (double)INFINITY;
    const double tie = 1e-9 * (ratio_at(r, 0) - ratio_at(r, r->n - 1));
    for (ptrdiff_t i = 0; i + k < r->n; i++) {
        const double fall = ratio_at(r, i) - ratio_at(r, i + k);
        least = fall < least ? fall : least;
    }
    for (ptrdiff_t i = 0; i + k < r->n; i++)
        if (ratio_at(r, i) - ratio_at(r, i + k) <= least + tie)
            return i;
    return 0;
}

/* Least-squares line in z over positions i0 .. i0 + k: heights at m = 0 and m = 1. */
static void window_line(const lev_ratio *r, ptrdiff_t i0, ptrdiff_t k, double *y0,
                        double *y1)
{
    double zm = 0.0, szz = 0.0, smm = 0.0;
    const double mm = ratio_m(r, i0) + 0.5 * (double)k / (double)r->n;
    for (ptrdiff_t i = i0; i <= i0 + k; i++)
        zm += ratio_at(r, i);
    zm /= (double)(k + 1);
    for (ptrdiff_t i = i0; i <= i0 + k; i++) {
        const double dm = ratio_m(r, i) - mm;
        szz += dm * (ratio_at(r, i) - zm);
        smm += dm * dm;
    }
    const double slope = smm > 0.0 ? szz / smm : 0.0;
    *y0 = zm - slope * mm;
    *y1 = *y0 + slope;
}

void lev_ratio_core(const lev_ratio *r, lev_core *out)
{
    *out = (lev_core){.mr2_pct = 100.0};
    const ptrdiff_t k = (ptrdiff_t)nearbyint(lev_texture("rk_window") * (double)r->n);
    if (k < 1 || k >= r->n || !(ratio_at(r, 0) > ratio_at(r, r->n - 1)))
        return;
    double y0 = 0.0, y1 = 0.0;
    const ptrdiff_t i0 = flattest_window(r, k);
    window_line(r, i0, k, &y0, &y1);
    const double m1 = ratio_crossing(r, y0), m2 = ratio_crossing(r, y1);
    out->k_um = y0 - y1;
    out->pk_um = m1 > 0.0 ? 2.0 * area_above(r, y0, m1) / m1 : 0.0;
    out->vk_um = m2 < 1.0 ? 2.0 * area_below(r, y1, m2) / (1.0 - m2) : 0.0;
    out->mr1_pct = 100.0 * m1;
    out->mr2_pct = 100.0 * m2;
    out->window_pct = 100.0 * ratio_m(r, i0);
}
