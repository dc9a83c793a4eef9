/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A face simulated through its steps. See app_relief.h. */
#include "app_relief.h"

#include <math.h>
#include <string.h>

#include "levigate/note.h"
#include "mem.h"
#include "units.h"

typedef struct walk {
    const lev_relief_request *req;
    lev_relief_answer *a;
    lev_sim *sim;
    lev_sim_grid grid;
    float *h_um;    /* the map under way; owned */
    int at;         /* step under way */
    int base;       /* step the simulation takes for the start; -1 */
    int base_first; /* index of the simulation's step 1 */
} walk;

static bool simulated(const lev_relief_step *s)
{
    return s->pass.grains.removed_share > 0.0;
}

/* Directions count from the rows of the map; the kernel's from its columns. */
static double kernel_angle(double direction_deg)
{
    double deg = fmod(90.0 - direction_deg, 180.0);
    if (deg > 90.0)
        deg -= 180.0;
    if (deg < -90.0)
        deg += 180.0;
    return deg * LEV_PI / 180.0;
}

static lev_status step_of(const walk *w, const lev_relief_step *s, lev_sim_step *out,
                          lev_error *err)
{
    lev_status st;
    LEV_TRY(lev_sim_step_of_pass(&s->pass, s->remove_um, out, err));
    out->lay = s->lay;
    out->seed = w->req->seed;
    out->angle_rad = s->lay == LEV_LAY_CROSS
                         ? LEV_PI / 2.0 - s->spread_deg * LEV_PI / 180.0
                         : kernel_angle(s->direction_deg);
    out->radius_um =
        fmin(s->radius_mm * LEV_UM_PER_MM, (double)w->grid.nx * w->grid.pitch_um);
out:
    return st;
}

/* Whole waves across the map nearest to this spacing and direction of the lines, added
 * to the heights. */
static void add_waves(walk *w, double half_um, double spacing_um, double lines_deg)
{
    const lev_sim_grid *const g = &w->grid;
    const double side_um = (double)g->nx * g->pitch_um;
    const double across = (lines_deg + 90.0) * LEV_PI / 180.0;
    const double n = fmax(side_um / spacing_um, 1.0);
    double kx = rint(n * cos(across)), ky = rint(n * sin(across));
    if (fabs(kx) + fabs(ky) < 0.5)
        ky = 1.0;
    for (ptrdiff_t j = 0; j < g->ny; j++)
        for (ptrdiff_t i = 0; i < g->nx; i++)
            w->h_um[j * g->nx + i] +=
                (float)(half_um * cos(2.0 * LEV_PI *
                                      (kx * (double)i / (double)g->nx +
                                       ky * (double)j / (double)g->ny)));
}

static void draw_start(walk *w)
{
    lev_relief_answer *const a = w->a;
    const double side_um = (double)w->grid.nx * w->grid.pitch_um;
    if (!(a->mark_um > 0.0) || a->first > 0) {
        a->mark_um = NAN;
        return;
    }
    if (!(a->spacing_um > 0.0) || a->spacing_um > side_um)
        a->spacing_um = side_um / lev_relief_rule("relief-scratch");
    add_waves(w, a->mark_um, a->spacing_um, 90.0);
}

/* A tool without grains: its own marks, over what its law leaves of older ones. */
static lev_status draw_step(walk *w, lev_relief_step *s, lev_error *err)
{
    lev_status st;
    const ptrdiff_t n = w->grid.nx * w->grid.ny;
    const double side_um = (double)w->grid.nx * w->grid.pitch_um;
    const bool presses = s->pass.ra_keep > 0.0;
    double keep = s->pass.ra_keep;
    lev_sim_heights(w->sim, w->h_um);
    if (!presses) {
        float high_um = 0.0F;
        for (ptrdiff_t i = 0; i < n; i++)
            high_um = fmaxf(high_um, fabsf(w->h_um[i]));
        keep = high_um > 0.0F
                   ? lev_cut_mark_left_um(&s->pass, (double)high_um, s->remove_um) /
                         (double)high_um
                   : 0.0;
    }
    for (ptrdiff_t i = 0; i < n; i++)
        w->h_um[i] *= (float)keep;
    if (!presses)
        add_waves(w, 0.5 * s->pass.rz_um, side_um / lev_relief_rule("relief-scratch"),
                  s->direction_deg);
    LEV_TRY(lev_sim_set_heights(w->sim, w->h_um, err));
    w->base = w->at;
    w->base_first = w->at + 1;
    w->a->notes |= LEV_NOTE_OUTSIDE;
out:
    return st;
}

static int report(void *payload, double done)
{
    const walk *const w = payload;
    return w->req->progress != NULL
               ? w->req->progress(w->req->payload,
                                  ((double)w->at + done) / (double)w->a->steps)
               : 0;
}

static lev_status run_step(walk *w, lev_relief_step *s, lev_error *err)
{
    lev_status st;
    lev_sim_step step;
    lev_sim_result r = {0};
    LEV_TRY(step_of(w, s, &step, err));
    LEV_TRY(lev_sim_run(w->sim, &step, report, w, &r, err));
    s->end = r.record[r.n - 1];
    s->distance_m = s->end.distance_m;
    w->a->pixels += r.pixels;
out:
    lev_sim_result_release(&r);
    return st;
}

/* What stands after a step, by the names of our steps. */
static void note_textures(const walk *w, lev_relief_step *s)
{
    ptrdiff_t n;
    const lev_sim_texture *const t = lev_sim_textures(w->sim, &n);
    s->lefts = n < LEV_RELIEF_STEPS ? n : LEV_RELIEF_STEPS;
    for (ptrdiff_t i = 0; i < s->lefts; i++) {
        s->left[i] = t[i];
        s->made_by[i] = t[i].step == 0 ? w->base : w->base_first + t[i].step - 1;
    }
}

/* Steps up to before `end`, on one map. */
static lev_status walk_steps(walk *w, int end, lev_error *err)
{
    lev_status st = LEV_OK;
    for (; w->at < end; w->at++) {
        lev_relief_step *const s = &w->a->step[w->at];
        const bool cancelled = report(w, 0.0) != 0;
        if (cancelled)
            LEV_TRY(lev_fail(err, LEV_E_CANCEL, "cancelled before %s", s->label));
        s->pitch_um = w->grid.pitch_um;
        s->points = w->grid.nx;
        LEV_TRY(simulated(s) ? run_step(w, s, err) : draw_step(w, s, err));
        note_textures(w, s);
    }
out:
    return st;
}

/* A map of its own for the steps from `stage->first` on; what stood on the one before
 * is a single texture from now on, named after the last step of it. */
static lev_status next_map(walk *w, const lev_relief_stage *stage, lev_error *err)
{
    lev_status st;
    float *h_um = NULL;
    const size_t points = (size_t)stage->grid.nx * (size_t)stage->grid.ny;
    LEV_TRY(lev_mem_new(points, sizeof *h_um, (void **)&h_um, err));
    if (w->sim != NULL) {
        lev_sim_heights(w->sim, w->h_um);
        lev_relief_zoom(w->h_um, &w->grid, &stage->grid, h_um);
        lev_sim_free(w->sim);
        w->sim = NULL;
    }
    lev_mem_free(w->h_um);
    w->h_um = h_um;
    h_um = NULL;
    w->base = w->at > w->a->first ? w->at - 1 : -1;
    w->base_first = w->at;
    w->grid = stage->grid;
    LEV_TRY(lev_sim_new(&w->grid, &w->sim, err));
    if (w->at == w->a->first)
        draw_start(w);
    LEV_TRY(lev_sim_set_heights(w->sim, w->h_um, err));
out:
    lev_mem_free(h_um);
    return st;
}

static lev_status walk_all(walk *w, lev_error *err)
{
    lev_status st;
    lev_relief_answer *const a = w->a;
    lev_relief_stage stage[LEV_RELIEF_STEPS];
    int stages = 0;
    LEV_TRY(lev_relief_stages(w->req, a, stage, &stages, err));
    w->at = a->first;
    for (int i = 0; i < stages; i++) {
        LEV_TRY(next_map(w, &stage[i], err));
        LEV_TRY(walk_steps(w, i + 1 < stages ? stage[i + 1].first : a->steps, err));
    }
    LEV_TRY(lev_map_init(&a->map, w->grid.nx, w->grid.ny, w->grid.pitch_um,
                         w->grid.pitch_um, err));
    lev_sim_heights(w->sim, a->map.z_um);
    LEV_TRY(lev_map_areal(&a->map, &a->areal, err));
out:
    return st;
}

lev_status lev_app_relief(const lev_relief_request *req, lev_relief_answer *out,
                          lev_error *err)
{
    lev_status st;
    lev_relief_answer a = {
        .mark_um = NAN, .spacing_um = NAN, .seed = req->seed, .mark = LEV_MARK_READ};
    walk w = {.req = req, .a = &a};
    LEV_TRY(lev_relief_plan_steps(req, &a, err));
    LEV_TRY(walk_all(&w, err));
    *out = a;
    a = (lev_relief_answer){0};
out:
    lev_sim_free(w.sim);
    lev_mem_free(w.h_um);
    lev_relief_answer_release(&a);
    return st;
}

void lev_relief_answer_release(lev_relief_answer *a)
{
    if (a == NULL)
        return;
    lev_mem_free(a->step);
    lev_map_release(&a->map);
    *a = (lev_relief_answer){0};
}
