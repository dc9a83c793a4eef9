/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Points of an X3P file: real = offset + increment x stored number, in metres, one
 * number per absolute axis. x and y may be absolute too; then their positions must turn
 * out to be an even grid, since that is what a map is. */
#include <math.h>

#include "mem.h"
#include "units.h"
#include "x3p.h"

static lev_status check_head(const x3p_head *h, lev_error *err)
{
    if (!h->is_matrix)
        return lev_fail(err, LEV_E_FORMAT,
                        "a list of points (%.7s); only points on a grid are read",
                        h->feature);
    if (h->size[2] < 1.0 || h->size[2] > 1.0)
        return lev_fail(err, LEV_E_FORMAT, "%g layers; one is read", h->size[2]);
    if (h->turned)
        return lev_fail(err, LEV_E_FORMAT,
                        "the axes are turned; only upright surfaces are read");
    if (!h->axis[2].seen || !h->axis[2].absolute || h->axis[2].type < 0)
        return lev_fail(err, LEV_E_FORMAT,
                        "axis CZ must be absolute with data type I, L, F or D");
    for (int i = 0; i < 2; i++)
        if (h->axis[i].absolute && h->axis[i].type < 0)
            return lev_fail(err, LEV_E_FORMAT, "axis C%c is absolute without data type",
                            'X' + i);
    for (int i = 0; i < 2; i++)
        if (h->size[i] < 1.0 || h->size[i] != floor(h->size[i]))
            return lev_fail(err, LEV_E_FORMAT, "%.15g points along %c", h->size[i],
                            'x' + i);
    return lev_format_size(h->size[0], h->size[1], err);
}

/* Spacing of an incremental axis; 1 for now where positions come with the points. */
static double spacing_um(const x3p_head *h, int axis)
{
    return h->axis[axis].absolute ? 1.0 : fabs(h->axis[axis].increment) * LEV_UM_PER_M;
}

lev_status x3p_open_points(x3p_points *p, size_t bytes_there, lev_error *err)
{
    lev_status st = LEV_OK;
    const x3p_head *h = p->head;
    size_t bytes = 0;
    LEV_TRY(check_head(h, err));
    for (int i = 0; i < X3P_AXES; i++)
        bytes += h->axis[i].absolute ? lev_cell_bytes(h->axis[i].type) : 0;
    p->n = (ptrdiff_t)(h->size[0] * h->size[1]);
    if (bytes_there != SIZE_MAX && bytes_there != (size_t)p->n * bytes)
        LEV_TRY(lev_fail(err, LEV_E_FORMAT,
                         "%zu bytes of points where the sizes ask for %zu", bytes_there,
                         (size_t)p->n * bytes));
    for (int i = 0; i < 2; i++) {
        void *q = NULL;
        if (!h->axis[i].absolute)
            continue;
        LEV_TRY(lev_mem_new((size_t)h->size[i], sizeof(double), &q, err));
        p->cross[i] = q;
        for (ptrdiff_t k = 0; k < (ptrdiff_t)h->size[i]; k++)
            p->cross[i][k] = (double)NAN;
    }
    /* A profile along y is a profile. */
    const bool along_y = h->size[0] < 1.5 && h->size[1] > 1.5;
    LEV_TRY(lev_format_room(p->out, along_y ? p->n : (ptrdiff_t)h->size[0],
                            along_y ? 1 : (ptrdiff_t)h->size[1],
                            spacing_um(h, along_y ? 1 : 0), spacing_um(h, 1), err));
out:
    return st;
}

/* Note the position of a row or column, or check it against the one known. */
static bool note_position(double *known, double v)
{
    if (isnan(*known))
        *known = v;
    return fabs(*known - v) <= 1e-9 * (fabs(v) + fabs(*known)) + 1e-12;
}

lev_status x3p_put_point(x3p_points *p, const double *v, lev_error *err)
{
    const x3p_head *h = p->head;
    const ptrdiff_t i = p->filled;
    if (i >= p->n)
        return lev_fail(err, LEV_E_FORMAT, "more than the %td points announced", p->n);
    p->filled++;
    if (v == NULL) {
        lev_format_put(p->out, i, (double)NAN);
        return LEV_OK;
    }
    const ptrdiff_t at[2] = {i % (ptrdiff_t)h->size[0], i / (ptrdiff_t)h->size[0]};
    for (int k = 0; k < 2; k++) {
        if (!h->axis[k].absolute)
            continue;
        const double pos = h->axis[k].offset + h->axis[k].increment * *v++;
        if (isfinite(pos) && !note_position(&p->cross[k][at[k]], pos))
            return lev_fail(err, LEV_E_FORMAT,
                            "point %td does not stand on the grid of its %s", i + 1,
                            k == 0 ? "column" : "row");
    }
    lev_format_put(p->out, i,
                   h->axis[2].offset * LEV_UM_PER_M +
                       h->axis[2].increment * LEV_UM_PER_M * *v);
    return LEV_OK;
}

/* Even spacing of positions some of which may not be known. */
static lev_status even_spacing(const double *pos, ptrdiff_t n, char axis,
                               double *out_um, lev_error *err)
{
    ptrdiff_t first = 0, last = n - 1;
    if (n == 1)
        return LEV_OK;
    while (first < n && isnan(pos[first]))
        first++;
    while (last > first && isnan(pos[last]))
        last--;
    if (last <= first)
        return lev_fail(err, LEV_E_FORMAT, "no positions along %c", axis);
    const double step = (pos[last] - pos[first]) / (double)(last - first);
    for (ptrdiff_t i = first; i <= last; i++) {
        const double want = pos[first] + step * (double)(i - first);
        if (!isnan(pos[i]) && fabs(pos[i] - want) > 0.01 * fabs(step))
            return lev_fail(err, LEV_E_FORMAT,
                            "points are not evenly spaced along %c at point %td", axis,
                            i + 1);
    }
    *out_um = fabs(step) * LEV_UM_PER_M;
    return lev_format_spacing(*out_um, axis == 'x' ? "x" : "y", err);
}

lev_status x3p_close_points(x3p_points *p, lev_error *err)
{
    lev_surface *s = p->out;
    if (p->filled != p->n)
        return lev_fail(err, LEV_E_FORMAT, "%td points where the sizes ask for %td",
                        p->filled, p->n);
    for (int i = 0; i < 2; i++) {
        const ptrdiff_t n = (ptrdiff_t)p->head->size[i];
        if (p->cross[i] == NULL || n == 1)
            continue;
        double *to = &s->trace.dx_um;
        if (lev_surface_is_map(s))
            to = i == 0 ? &s->map.dx_um : &s->map.dy_um;
        const lev_status st = even_spacing(p->cross[i], n, (char)('x' + i), to, err);
        if (st < 0)
            return st;
    }
    return LEV_OK;
}

void x3p_points_release(x3p_points *p)
{
    lev_mem_free(p->cross[0]);
    lev_mem_free(p->cross[1]);
    p->cross[0] = p->cross[1] = NULL;
}
