/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Traces and maps: their life, their parts. */
#include "surface_inner.h"

#include <math.h>
#include <string.h>

#include "mem.h"

static lev_status check_spacing(double dx_um, lev_error *err)
{
    if (!(dx_um > 0.0) || !isfinite(dx_um))
        return lev_fail(err, LEV_E_RANGE, "point spacing %g um is not positive", dx_um);
    return LEV_OK;
}

lev_status lev_trace_raw(lev_trace *t, ptrdiff_t n, double dx_um, lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    LEV_TRY(check_spacing(dx_um, err));
    if (n < 1)
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "a trace of %td points; 1 or more", n));
    LEV_TRY(lev_mem_raw((size_t)n, sizeof *t->z_um, &p, err));
    *t = (lev_trace){.z_um = p, .n = n, .dx_um = dx_um};
out:
    return st;
}

lev_status lev_trace_init(lev_trace *t, ptrdiff_t n, double dx_um, lev_error *err)
{
    const lev_status st = lev_trace_raw(t, n, dx_um, err);
    for (ptrdiff_t i = 0; st == LEV_OK && i < n; i++)
        t->z_um[i] = 0.0;
    return st;
}

void lev_trace_release(lev_trace *t)
{
    if (t == NULL)
        return;
    lev_mem_free(t->z_um);
    *t = (lev_trace){0};
}

lev_status lev_trace_part(const lev_trace *t, ptrdiff_t first, ptrdiff_t n,
                          lev_trace *out, lev_error *err)
{
    lev_trace part = {0};
    if (first < 0 || n < 1 || first > t->n - n)
        return lev_fail(err, LEV_E_RANGE, "points %td to %td of a trace of %td", first,
                        first + n - 1, t->n);
    const lev_status st = lev_trace_raw(&part, n, t->dx_um, err);
    if (st < 0)
        return st;
    memcpy(part.z_um, t->z_um + first, (size_t)n * sizeof *part.z_um);
    *out = part;
    return LEV_OK;
}

lev_status lev_map_init(lev_map *m, ptrdiff_t nx, ptrdiff_t ny, double dx_um,
                        double dy_um, lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    size_t n = 0;
    LEV_TRY(check_spacing(dx_um, err));
    LEV_TRY(check_spacing(dy_um, err));
    if (nx < 1 || ny < 1)
        LEV_TRY(
            lev_fail(err, LEV_E_RANGE, "a map of %td x %td points; 1 or more", nx, ny));
    LEV_TRY(lev_mul_size((size_t)nx, (size_t)ny, &n, err));
    LEV_TRY(lev_mem_new(n, sizeof *m->z_um, &p, err));
    *m = (lev_map){.z_um = p, .nx = nx, .ny = ny, .dx_um = dx_um, .dy_um = dy_um};
out:
    return st;
}

void lev_map_release(lev_map *m)
{
    if (m == NULL)
        return;
    lev_mem_free(m->z_um);
    *m = (lev_map){0};
}

lev_status lev_map_row(const lev_map *m, ptrdiff_t row, lev_trace *out, lev_error *err)
{
    lev_trace t = {0};
    if (row < 0 || row >= m->ny)
        return lev_fail(err, LEV_E_RANGE, "row %td of a map of %td rows", row, m->ny);
    const lev_status st = lev_trace_init(&t, m->nx, m->dx_um, err);
    if (st < 0)
        return st;
    for (ptrdiff_t i = 0; i < m->nx; i++)
        t.z_um[i] = (double)m->z_um[row * m->nx + i];
    *out = t;
    return LEV_OK;
}

lev_status lev_map_column(const lev_map *m, ptrdiff_t column, lev_trace *out,
                          lev_error *err)
{
    lev_trace t = {0};
    if (column < 0 || column >= m->nx)
        return lev_fail(err, LEV_E_RANGE, "column %td of a map of %td columns", column,
                        m->nx);
    const lev_status st = lev_trace_init(&t, m->ny, m->dy_um, err);
    if (st < 0)
        return st;
    for (ptrdiff_t i = 0; i < m->ny; i++)
        t.z_um[i] = (double)m->z_um[i * m->nx + column];
    *out = t;
    return LEV_OK;
}

ptrdiff_t lev_trace_missing(const lev_trace *t)
{
    ptrdiff_t n = 0;
    for (ptrdiff_t i = 0; i < t->n; i++)
        n += isnan(t->z_um[i]) != 0;
    return n;
}

ptrdiff_t lev_map_missing(const lev_map *m)
{
    ptrdiff_t n = 0;
    for (ptrdiff_t i = 0; i < m->nx * m->ny; i++)
        n += isnan(m->z_um[i]) != 0;
    return n;
}

lev_status lev_trace_rest(const lev_trace *a, const lev_trace *b, lev_trace *out,
                          lev_error *err)
{
    lev_trace rest = {0};
    if (a->n != b->n)
        return lev_fail(err, LEV_E_RANGE, "traces of %td and %td points", a->n, b->n);
    const lev_status st = lev_trace_raw(&rest, a->n, a->dx_um, err);
    if (st < 0)
        return st;
    for (ptrdiff_t i = 0; i < a->n; i++)
        rest.z_um[i] = a->z_um[i] - b->z_um[i];
    *out = rest;
    return LEV_OK;
}

lev_status lev_trace_subtract(lev_trace *a, const lev_trace *b, lev_error *err)
{
    if (a->n != b->n)
        return lev_fail(err, LEV_E_RANGE, "traces of %td and %td points", a->n, b->n);
    for (ptrdiff_t i = 0; i < a->n; i++)
        a->z_um[i] -= b->z_um[i];
    return LEV_OK;
}

lev_status lev_map_subtract(lev_map *a, const lev_map *b, lev_error *err)
{
    if (a->nx != b->nx || a->ny != b->ny)
        return lev_fail(err, LEV_E_RANGE, "maps of %td x %td and %td x %td points",
                        a->nx, a->ny, b->nx, b->ny);
    for (ptrdiff_t i = 0; i < a->nx * a->ny; i++)
        a->z_um[i] -= b->z_um[i];
    return LEV_OK;
}
