/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a measured surface shows. A trace is taken across the lay and drawn out along
 * it, as wide as the receptors need. */
#include "app_look.h"

#include "app_backend.h"

#include <math.h>

#include "app_backend.h"
#include "mem.h"

enum { TRACE_ROWS = 256, TRACE_MIN = 16 };

static const double trace_row_um = 2.0; /* reaches as far out as the widest receptor */

static lev_status look_trace(const lev_look_ask *ask, const lev_trace *trace,
                             lev_look_answer *out, lev_error *err)
{
    lev_status st;
    void *p = NULL;
    if (trace->n < TRACE_MIN)
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "a trace of %td points; at least %d",
                         trace->n, TRACE_MIN));
    LEV_TRY(lev_mem_new((size_t)trace->n * TRACE_ROWS, sizeof(float), &p, err));
    float *const z = p;
    for (ptrdiff_t j = 0; j < TRACE_ROWS; j++)
        for (ptrdiff_t i = 0; i < trace->n; i++)
            z[j * trace->n + i] = (float)trace->z_um[i];
    const lev_height_view map = {z, trace->n, TRACE_ROWS, trace->dx_um, trace_row_um};
    LEV_TRY(lev_app_look_maps(ask, &map, 1, out, err));
out:
    lev_mem_free(p);
    return st;
}

lev_status lev_app_look_file(const lev_look_ask *ask, const char *path,
                             lev_look_answer *out, lev_error *err)
{
    lev_status st;
    const lev_format_api *formats = NULL;
    lev_surface s = {0};
    const lev_surface_hint hint = {
        .dx_um = ask->dx_um, .dy_um = ask->dy_um, .z_unit_um = ask->z_unit_um};
    LEV_TRY(lev_backend_formats(&formats, err));
    LEV_TRY(formats->read(path, &hint, &s, err));
    if (lev_surface_is_map(&s)) {
        const lev_height_view map = {s.map.z_um, s.map.nx, s.map.ny, s.map.dx_um,
                                     s.map.dy_um};
        LEV_TRY(lev_app_look_maps(ask, &map, 1, out, err));
    } else {
        LEV_TRY(look_trace(ask, &s.trace, out, err));
    }
out:
    (void)lev_fail_at(err, st, path);
    lev_surface_release(&s);
    return st;
}
