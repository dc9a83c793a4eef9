/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Faces and steps of the simulation. Shared by its tests. */
#ifndef SIMULATE_SCENE_H
#define SIMULATE_SCENE_H

#include "unit.h"

#include "levigate/simulate.h"

/* A small face and step that every test bends to its own needs. */
static inline lev_sim_grid small_grid(void)
{
    return (lev_sim_grid){.nx = 600, .ny = 4, .pitch_um = 1.0};
}

static inline lev_sim_grid small_square(void)
{
    return (lev_sim_grid){.nx = 160, .ny = 144, .pitch_um = 1.0};
}

static inline lev_sim_step usual_step(void)
{
    return (lev_sim_step){
        .grains = {.d50_um = 100.0, .ln_sigma = 0.22, .count = 16384},
        .hardness_mpa = 2000.0,
        .backing_mpa = 10.0,
        .pressure_kpa = 10.0,
        .removed_share = 0.3,
        .distance_m = 0.5,
        .records = 4,
        .seed = 11,
    };
}

static inline lev_sim *face(lev_sim_grid grid)
{
    lev_sim *sim = NULL;
    lev_error err = {0};
    assert_ok(lev_sim_new(&grid, &sim, &err), &err);
    return sim;
}

static inline lev_sim_result run(lev_sim *sim, const lev_sim_step *step)
{
    lev_sim_result r = {0};
    lev_error err = {0};
    assert_ok(lev_sim_run(sim, step, NULL, NULL, &r, &err), &err);
    return r;
}

static inline const lev_sim_record *last(const lev_sim_result *r)
{
    return &r->record[r->n - 1];
}

/* Mean of Ra over the later half of the records. */
static inline double settled_Ra_um(const lev_sim_result *r)
{
    double sum = 0.0;
    for (ptrdiff_t i = r->n / 2; i < r->n; i++)
        sum += r->record[i].Ra_um;
    return sum / (double)(r->n - r->n / 2);
}

static inline float *heights(const lev_sim *sim, ptrdiff_t n)
{
    float *const h_um = test_malloc((size_t)n * sizeof *h_um);
    lev_sim_heights(sim, h_um);
    return h_um;
}

#endif
