/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The face between steps. See simulate.h. */
#include <math.h>
#include <string.h>

#include "cpu.h"
#include "mem.h"
#include "state.h"
#include "stats.h"

/* A point of the map: heights and ages, those of a step under way, the texture found
 * and its parts, and one map to make the parts with. */
enum { POINT_BYTES = 2 * (sizeof(double) + 1) + 4 * sizeof(float) };

size_t lev_sim_bytes(const lev_sim_grid *grid)
{
    size_t points, bytes;
    if (grid->nx < 0 || grid->ny < 0 ||
        lev_mul_size((size_t)grid->nx, (size_t)grid->ny, &points, NULL) < 0 ||
        grid->textures < 0 || grid->textures > LEV_SIM_TEXTURES ||
        lev_mul_size(points, POINT_BYTES + (size_t)grid->textures * sizeof(float),
                     &bytes, NULL) < 0)
        return SIZE_MAX;
    return bytes;
}

lev_status lev_sim_new(const lev_sim_grid *grid, lev_sim **out, lev_error *err)
{
    lev_status st;
    lev_sim_grid g;
    lev_sim *s = NULL;

    LEV_TRY(sim_grid_check(grid, &g, err));
    LEV_TRY(lev_mem_new(1, sizeof *s, (void **)&s, err));
    s->grid = g;
    LEV_TRY(
        lev_mem_new((size_t)sim_points(s), sizeof *s->h_um, (void **)&s->h_um, err));
    LEV_TRY(lev_mem_new((size_t)sim_points(s), sizeof *s->age, (void **)&s->age, err));
    LEV_TRY(sim_follow_init(&s->follow, s, err));
    lev_groove_kern_init(&s->kern, g.plain ? 0U : lev_cpu_flags());
    *out = s;
    s = NULL;
out:
    lev_sim_free(s);
    return st;
}

void lev_sim_free(lev_sim *sim)
{
    if (!sim)
        return;
    sim_follow_release(&sim->follow, sim);
    lev_mem_free(sim->h_um);
    lev_mem_free(sim->age);
    lev_mem_free(sim);
}

lev_status lev_sim_set_heights(lev_sim *sim, const float *h_um, lev_error *err)
{
    const ptrdiff_t n = sim_points(sim);
    for (ptrdiff_t i = 0; i < n; i++) {
        if (!isfinite(h_um[i]))
            return lev_fail(err, LEV_E_RANGE,
                            "row %td, column %td has no height: fill gaps first",
                            i / sim->grid.nx + 1, i % sim->grid.nx + 1);
    }
    const lev_status st = sim_follow_found(&sim->follow, sim, h_um, err);
    if (st < 0)
        return st;
    for (ptrdiff_t i = 0; i < n; i++)
        sim->h_um[i] = (double)h_um[i];
    memset(sim->age, 0, (size_t)n);
    sim->steps = 0;
    return LEV_OK;
}

void lev_sim_heights(const lev_sim *sim, float *h_um)
{
    const ptrdiff_t n = sim_points(sim);
    const double mean_um = lev_stats_sum(sim->h_um, n) / (double)n;
    for (ptrdiff_t i = 0; i < n; i++)
        h_um[i] = (float)(sim->h_um[i] - mean_um);
}

const uint8_t *lev_sim_age(const lev_sim *sim)
{
    return sim->age;
}
