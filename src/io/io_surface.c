/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A surface in memory, whatever file it came from: what the program and the module of
 * formats both need. */
#include <math.h>

#include "bounds.h"
#include "format.h"

bool lev_surface_is_map(const lev_surface *s)
{
    return s->map.z_um != NULL;
}

void lev_surface_release(lev_surface *s)
{
    if (s == NULL)
        return;
    lev_trace_release(&s->trace);
    lev_map_release(&s->map);
    *s = (lev_surface){0};
}

lev_status lev_format_size(double nx, double ny, lev_error *err)
{
    if (!(nx >= 1.0) || !(ny >= 1.0) || !isfinite(nx) || !isfinite(ny))
        return lev_fail(err, LEV_E_FORMAT, "a surface of %.15g x %.15g points", nx, ny);
    if (nx * ny > LEV_LIMIT_SURFACE_POINTS)
        return lev_fail(err, LEV_E_LIMIT,
                        "%.15g x %.15g points; at most %d in all are read", nx, ny,
                        LEV_LIMIT_SURFACE_POINTS);
    return LEV_OK;
}

lev_status lev_format_spacing(double dx_um, const char *axis, lev_error *err)
{
    if (!(dx_um > 0.0) || !isfinite(dx_um))
        return lev_fail(err, LEV_E_FORMAT,
                        "spacing of %g um along %s; a number above 0", dx_um, axis);
    return LEV_OK;
}

lev_status lev_format_room(lev_surface *s, ptrdiff_t nx, ptrdiff_t ny, double dx_um,
                           double dy_um, lev_error *err)
{
    lev_status st = LEV_OK;
    LEV_TRY(lev_format_size((double)nx, (double)ny, err));
    LEV_TRY(lev_format_spacing(dx_um, "x", err));
    if (ny == 1)
        return lev_trace_init(&s->trace, nx, dx_um, err);
    LEV_TRY(lev_format_spacing(dy_um, "y", err));
    LEV_TRY(lev_map_init(&s->map, nx, ny, dx_um, dy_um, err));
out:
    return st;
}

void lev_format_put(lev_surface *s, ptrdiff_t i, double z_um)
{
    const bool there = isfinite(z_um) && fabs(z_um) < 1e30;
    if (lev_surface_is_map(s))
        s->map.z_um[i] = there ? (float)z_um : NAN;
    else
        s->trace.z_um[i] = there ? z_um : (double)NAN;
}

double lev_format_get(const lev_surface *s, ptrdiff_t i)
{
    return lev_surface_is_map(s) ? (double)s->map.z_um[i] : s->trace.z_um[i];
}

ptrdiff_t lev_format_nx(const lev_surface *s)
{
    return lev_surface_is_map(s) ? s->map.nx : s->trace.n;
}

ptrdiff_t lev_format_ny(const lev_surface *s)
{
    return lev_surface_is_map(s) ? s->map.ny : 1;
}
