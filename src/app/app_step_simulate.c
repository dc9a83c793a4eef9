/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One step by the groove kernel, and how far the response surface lies from it. */
#include <math.h>

#include "app_relief.h"
#include "app_step.h"
#include "units.h"

enum { RECORDS = 80 };
static const double FINER = 0.9;   /* than the coarsest pitch that will do */
static const double SETTLED = 0.3; /* of the grain size: what is taken off at least */
static const double NOISE = 0.1; /* share of an old texture below which chance rules */

double lev_step_differs_pct(double kernel, double surface)
{
    return surface > 0.0 ? 100.0 * (kernel / surface - 1.0) : (double)NAN;
}

static lev_status make_face(const lev_step_request *req, const lev_sim_step *step,
                            const lev_sim_step *old, lev_sim **out, lev_error *err)
{
    lev_status st;
    double pitch_um, old_um = INFINITY;
    const double widest_um = fmax(step->grains.d50_um, old->grains.d50_um);
    LEV_TRY(lev_sim_pitch_um(step, &pitch_um, err));
    if (old->grains.d50_um > 0.0)
        LEV_TRY(lev_sim_pitch_um(old, &old_um, err));
    pitch_um = FINER * fmin(pitch_um, old_um);
    const lev_sim_grid grid = {.nx =
                                   (ptrdiff_t)(LEV_STEP_GRAINS * widest_um / pitch_um),
                               .ny = LEV_STEP_SECTIONS,
                               .pitch_um = pitch_um,
                               .threads = req->threads};
    LEV_TRY(lev_sim_new(&grid, out, err));
out:
    return st;
}

/* Depth at which this share of the old texture is left, between records in logarithms;
 * below what chance can tell, on along the long part's law. */
static double clear_um(const lev_sim_result *r, double left, double rho_long_um)
{
    const double seen = fmax(left, NOISE);
    for (ptrdiff_t i = 1; i < r->n; i++) {
        const lev_sim_record *const a = &r->record[i - 1], *const b = &r->record[i];
        if (b->old_amplitude > seen)
            continue;
        const double f = log(a->old_amplitude / seen) /
                         log(a->old_amplitude / fmax(b->old_amplitude, 1e-3 * seen));
        return a->removed_um + f * (b->removed_um - a->removed_um) +
               rho_long_um * log(seen / left);
    }
    return NAN;
}

/* The figures of the later half of the step, where the texture is its own. */
static void take_figures(const lev_sim_result *r, const lev_cut_pass *section,
                         lev_step_answer *a)
{
    double ra_um = 0.0, deepest_um = 0.0;
    const ptrdiff_t from = r->n / 2;
    for (ptrdiff_t i = from; i < r->n; i++) {
        ra_um += r->record[i].Ra_um / (double)(r->n - from);
        deepest_um += r->record[i].deepest_um / (double)(r->n - from);
    }
    const lev_sim_record *const end = &r->record[r->n - 1];
    const double ra = ra_um / a->pass.ra_own_um;
    const double deepest = deepest_um / section->deepest_um;
    const double rate = end->removed_um / end->distance_m * a->pass.grains.rate /
                        a->pass.patch_um_per_m;
    a->pass.ra_um = hypot(
        a->pass.ra_own_um * ra,
        sqrt(fmax(a->pass.ra_um * a->pass.ra_um - a->pass.ra_own_um * a->pass.ra_own_um,
                  0.0)));
    a->pass.ra_own_um *= ra;
    a->pass.rz_um *= ra;
    a->pass.deepest_um *= deepest;
    a->pass.patch_um_per_m *= rate;
    a->pass.face_um_per_min *= rate;
    a->ra_um = lev_cut_ra_spread(&a->pass);
    a->deepest_um =
        (lev_spread){a->deepest_um.p10 * deepest, a->deepest_um.p50 * deepest,
                     a->deepest_um.p90 * deepest};
}

lev_status lev_step_simulate(const lev_step_request *req, const lev_cut_pass *section,
                             double left, lev_step_answer *a, lev_error *err)
{
    lev_status st;
    lev_sim *sim = NULL;
    lev_sim_step step, old = {0};
    lev_sim_result r = {0};
    const double depth_um =
        fmax(SETTLED * a->pass.d50_um, isfinite(a->clear_um) ? 2.0 * a->clear_um : 0.0);
    LEV_TRY(lev_sim_step_of_pass(&a->pass, depth_um, &step, err));
    step.records = RECORDS;
    step.seed = req->seed;
    if (a->has_after) {
        LEV_TRY(lev_sim_step_of_pass(
            &a->after_pass, lev_relief_rule("own-depth") * a->after_pass.d50_um, &old,
            err));
        old.seed = req->seed;
    }
    LEV_TRY(make_face(req, &step, &old, &sim, err));
    if (a->has_after)
        LEV_TRY(lev_sim_run(sim, &old, req->progress, req->payload, &r, err));
    lev_sim_result_release(&r);
    LEV_TRY(lev_sim_run(sim, &step, req->progress, req->payload, &r, err));
    a->surface = (lev_step_surface){a->pass.ra_um, a->pass.deepest_um,
                                    a->pass.patch_um_per_m, a->clear_um};
    take_figures(&r, section, a);
    if (a->has_after && isfinite(a->clear_um)) {
        const double fades_um = clear_um(&r, left, a->pass.rho_long_um);
        const double sunk_um =
            lev_cut_sunk_um(&a->after_pass, &a->pass, lev_resolve_miss("crossed-lamp"));
        a->clear_um = fades_um < sunk_um ? sunk_um : fades_um; /* NaN stays */
    }
    a->simulated = true;
    a->seed = req->seed;
out:
    lev_sim_result_release(&r);
    lev_sim_free(sim);
    return st;
}
