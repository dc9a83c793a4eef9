/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One step from first touch to last record. The sheet's height is found by pressing it
 * on the face as it is, then follows the face down and is corrected by the load carried
 * in each block; corrections die out over one full cover of the face, so that the noise
 * of single grains does not shake the sheet. */
#include <math.h>
#include <string.h>

#include "mem.h"
#include "num.h"
#include "state.h"
#include "units.h"

static const double BLOCK_COVER = 0.05; /* of the face, by grooves, in one block */
static const double QUIET_GROWTH = 2.0; /* a block that touched less gets longer by */
static const double PAD_SHARE = 0.1;  /* of the way to balance, each turn of the pad */
static const double TAIL_STEP = 0.01; /* of the grain size, to find the tail by */

enum {
    MOST_STEPS = 250,
    PRESSED = 4096,
    PRESSED_CELLS = 16384,
    TOPS_EVERY = 8,
    DRAW_PRESS = 0
};
enum { PAD_EVERY = 4, PAD_SETTLES = 60 }; /* blocks a turn; turns before sliding */

/* Load the sheet would carry at this height, and the cover it makes per distance. */
typedef struct carried {
    double pressure, cover_per_um;
} carried;

/* load (may be NULL): the same for each cell of the pad's net, adding up to the whole.
 */
static carried carried_at(const sim_run *r, double sheet_um, double top_um,
                          double *load)
{
    const lev_sim_grid *g = &r->sim->grid;
    const ptrdiff_t n = sim_sheet_above(&r->sheet, sheet_um - top_um);
    const ptrdiff_t skip = 1 + n / (load ? PRESSED_CELLS : PRESSED);
    const double scale = (double)skip * r->sheet.per_um2 / (double)r->sheet.n;
    carried c = {0};
    for (ptrdiff_t i = 0; i < n; i += skip) {
        double u[2];
        lev_rng_uniform2(r->rng, (uint64_t)i, (uint64_t)DRAW_PRESS << 24, u);
        const ptrdiff_t j = (ptrdiff_t)(u[0] * (double)g->ny);
        double top = r->top_row_um[j];
        const sim_row row = {.h_um = r->h_um + j * g->nx,
                             .top_um = &top,
                             .nx = g->nx,
                             .stride = 1,
                             .pitch_um = g->pitch_um,
                             .spare_um = r->spare_um,
                             .kern = &r->sim->kern};
        const double y = ((double)j + 0.5) / (double)g->ny;
        const double here_um = sheet_um + sim_pad_at(&r->pad, u[1], y);
        const sim_pass pass = {.grain = &r->sheet.grain[i],
                               .x_um = u[1] * (double)g->nx * g->pitch_um,
                               .free_um = here_um - r->sheet.grain[i].height_um,
                               .cosine = 1.0};
        sim_touch touch;
        if (!sim_press(&row, &pass, r->step.hardness_mpa, &touch))
            continue;
        c.pressure += touch.force_un;
        c.cover_per_um += touch.width_um;
        if (load)
            load[sim_pad_cell(&r->pad, u[1], y)] += touch.force_un * scale;
    }
    return (carried){c.pressure * scale, c.cover_per_um * scale};
}

static double wanted_mpa(const sim_run *r)
{
    return r->step.pressure_kpa * LEV_PA_PER_KPA / LEV_PA_PER_MPA;
}

/* Lower the sheet, of the shape it has, on the face as it is. */
static void lower(sim_run *r)
{
    const double top_um = sim_find_tops(r), size_um = r->step.grains.d50_um;
    const double touch_um = top_um + r->sheet.new_um[0];
    double high_um = touch_um, low_um = touch_um, step_um = 0.01 * size_um;
    while (carried_at(r, low_um, top_um, NULL).pressure < wanted_mpa(r)) {
        high_um = low_um;
        low_um -= step_um;
        step_um *= 1.5;
    }
    while (high_um - low_um > 1e-5 * size_um) {
        const double middle_um = 0.5 * (low_um + high_um);
        if (carried_at(r, middle_um, top_um, NULL).pressure < wanted_mpa(r))
            high_um = middle_um;
        else
            low_um = middle_um;
    }
    r->sheet_um = low_um;
}

/* How fast the load falls when the sheet rises, and how far a block slides. */
static void find_tail(sim_run *r, double top_um, double *cover_per_um)
{
    const double less_um = TAIL_STEP * r->step.grains.d50_um;
    const carried here = carried_at(r, r->sheet_um, top_um, NULL);
    const double there = carried_at(r, r->sheet_um - less_um, top_um, NULL).pressure;
    r->tail_um = less_um / fmax(log(there / here.pressure), 1e-3);
    *cover_per_um = here.cover_per_um;
}

/* The pad at rest: its shape and the loads it makes agree before anything slides. */
static void settle(sim_run *r)
{
    sim_pad *const pad = &r->pad;
    double cover;
    for (int i = 0; i < PAD_SETTLES && pad->n > 0; i++) {
        const double top_um = sim_find_tops(r);
        const carried c = carried_at(r, r->sheet_um, top_um, pad->load);
        const double off = c.pressure / wanted_mpa(r) - 1.0;
        if (i % 8 == 0)
            find_tail(r, top_um, &cover);
        for (ptrdiff_t k = 0; k < pad->n; k++) /* MPa of the cell's own area */
            pad->load[k] *= (double)pad->n * pad->cell_um2;
        pad->slid_um = 1.0;
        sim_pad_turn(pad, PAD_SHARE, wanted_mpa(r), r->tail_um);
        r->sheet_um += PAD_SHARE * r->tail_um * fmin(off, 3.0);
    }
    if (pad->n > 0)
        lower(r);
}

/* Press the sheet on the face as it is. */
static void press(sim_run *r)
{
    double cover_per_um;
    lower(r);
    settle(r);
    find_tail(r, sim_find_tops(r), &cover_per_um);
    r->block_um = BLOCK_COVER / cover_per_um;
}

static lev_status grow_wear(sim_run *r, lev_error *err)
{
    const ptrdiff_t n = (ptrdiff_t)r->paths + 2;
    if (!(r->step.wear > 0.0) || n <= r->worn_cap)
        return LEV_OK;
    lev_mem_free(r->worn_um);
    r->worn_um = NULL;
    r->worn_cap = 0;
    size_t cells;
    lev_status st =
        lev_mul_size((size_t)(r->row_tiles + r->col_tiles), 2 * (size_t)n, &cells, err);
    if (st >= 0)
        st = lev_mem_new(cells, sizeof *r->worn_um, (void **)&r->worn_um, err);
    if (st >= 0)
        r->worn_cap = 2 * n;
    return st;
}

static double top_now(sim_run *r)
{
    if (r->block % TOPS_EVERY == 0 || r->col_tiles > 0 || r->pad.n > 0)
        return sim_find_tops(r);
    double top_um = -INFINITY;
    for (ptrdiff_t i = 0; i < r->sim->grid.ny; i++)
        top_um = fmax(top_um, r->top_row_um[i]);
    return top_um;
}

/* The pad gives way to what the last blocks carried. */
static void move_pad(sim_run *r, double ds_um)
{
    sim_pad *const pad = &r->pad;
    pad->slid_um += ds_um;
    pad->blocks++;
    if (pad->n > 0 && pad->blocks >= PAD_EVERY)
        sim_pad_turn(pad, PAD_SHARE, wanted_mpa(r), r->tail_um);
}

/* Slide on by at most limit_um; adds to sum. */
static lev_status slide(sim_run *r, double limit_um, sim_total *sum, double *slid_um,
                        lev_error *err)
{
    const lev_sim_grid *g = &r->sim->grid;
    const double points = (double)sim_points(r->sim);
    const double area_um2 = points * g->pitch_um * g->pitch_um;
    const double ds_um = fmin(r->block_um, limit_um);
    r->standing = sim_sheet_above(&r->sheet, r->sheet_um - top_now(r));
    r->paths = r->sheet.per_um2 * (double)r->standing / (double)r->sheet.n * ds_um *
               sim_path_rate(&r->lay) * g->pitch_um;
    const lev_status st = grow_wear(r, err);
    if (st < 0)
        return st;
    const sim_total t = sim_block(r);
    const double cover = t.cover_um2 / area_um2;
    const double load = t.force_path / (area_um2 * ds_um) / wanted_mpa(r);
    r->sheet_um -= t.removed_um / points;
    r->sheet_um +=
        fmin(BLOCK_COVER, 1.0) * (ds_um / r->block_um) * r->tail_um * (load - 1.0);
    if (ds_um >= r->block_um)
        r->block_um *= fmin(fmax(BLOCK_COVER / fmax(cover, 1e-9), 0.5), QUIET_GROWTH);
    r->block++;
    move_pad(r, ds_um);
    sum->force_path += t.force_path;
    sum->removed_um += t.removed_um;
    sum->path_um += t.path_um;
    sum->touch_um += t.touch_um;
    sum->pixels += t.pixels;
    *slid_um += ds_um;
    return LEV_OK;
}

static void count_in(lev_sim_result *out, const sim_total *t, double pitch_um)
{
    out->removed_um3 += t->removed_um * pitch_um * pitch_um;
    out->grain_metres += t->path_um / LEV_UM_PER_M;
    out->cut_metres += t->touch_um / LEV_UM_PER_M;
    out->pixels += t->pixels;
}

/* One stretch between two records. */
static lev_status stretch(sim_run *r, double from_um, double to_um,
                          lev_sim_progress progress, void *payload, lev_sim_result *out,
                          lev_error *err)
{
    const double pitch_um = r->sim->grid.pitch_um;
    const double all_um = r->step.distance_m * LEV_UM_PER_M;
    const double area_um2 = pitch_um * pitch_um * (double)sim_points(r->sim);
    sim_total sum = {0};
    double at_um = from_um;
    while (at_um < to_um) {
        const lev_status st = slide(r, to_um - at_um, &sum, &at_um, err);
        if (st < 0)
            return st;
        if (progress && progress(payload, fmin(at_um / all_um, 1.0)) != 0)
            return lev_fail(err, LEV_E_CANCEL, "cancelled after %.3g m of %.3g m",
                            at_um / LEV_UM_PER_M, r->step.distance_m);
    }
    count_in(out, &sum, pitch_um);
    if (r->pad.n > 0 && r->step.pad.side_um > 0.0) {
        double cover;
        find_tail(r, sim_find_tops(r), &cover);
    }
    const double sweep = area_um2 * (to_um - from_um);
    lev_sim_record *const rec = &out->record[out->n++];
    *rec = sim_record_of(r);
    rec->distance_m = to_um / LEV_UM_PER_M;
    rec->pressure_kpa = sum.force_path / sweep * (LEV_PA_PER_MPA / LEV_PA_PER_KPA);
    rec->contacts_per_mm2 = sum.touch_um / sweep * LEV_UM_PER_MM * LEV_UM_PER_MM;
    return LEV_OK;
}

static lev_status run_all(sim_run *r, lev_sim_progress progress, void *payload,
                          lev_sim_result *out, lev_error *err)
{
    const double all_um = r->step.distance_m * LEV_UM_PER_M;
    const double pitch_um = r->sim->grid.pitch_um;
    const ptrdiff_t n = r->step.records;
    lev_status st = LEV_OK;
    r->start_mean_um = sim_mean_um(r);
    press(r);
    out->record[out->n++] = sim_record_of(r);
    for (ptrdiff_t i = 0; i < n && st >= 0; i++) {
        st = stretch(r, all_um * (double)i / (double)n,
                     all_um * (double)(i + 1) / (double)n, progress, payload, out, err);
        if (r->step.depth_um > 0.0 &&
            out->record[out->n - 1].removed_um >= r->step.depth_um)
            break;
    }
    out->lost_um3 = (r->start_mean_um - sim_mean_um(r)) * (double)sim_points(r->sim) *
                    pitch_um * pitch_um;
    return st;
}

static lev_status make_room(sim_run *r, lev_error *err)
{
    lev_status st;
    const lev_sim_grid *g = &r->sim->grid;
    const size_t points = (size_t)sim_points(r->sim);
    const size_t longest = (size_t)(g->nx > g->ny ? g->nx : g->ny);
    const size_t tiles = (size_t)(r->row_tiles + r->col_tiles);
    size_t spare;

    LEV_TRY(lev_mul_size(tiles, longest, &spare, err));
    LEV_TRY(lev_mem_new(points, sizeof *r->h_um, (void **)&r->h_um, err));
    LEV_TRY(lev_mem_new(points, sizeof *r->age, (void **)&r->age, err));
    LEV_TRY(lev_mem_new((size_t)g->ny, sizeof(double), (void **)&r->top_row_um, err));
    LEV_TRY(lev_mem_new((size_t)g->nx, sizeof(double), (void **)&r->top_col_um, err));
    LEV_TRY(lev_mem_new(spare, sizeof *r->spare_um, (void **)&r->spare_um, err));
    LEV_TRY(lev_mem_new(spare, sizeof *r->spare_age, (void **)&r->spare_age, err));
    LEV_TRY(lev_mem_new(tiles, sizeof *r->total, (void **)&r->total, err));
    LEV_TRY(sim_pad_init(&r->pad, g, &r->step, err));
    if (r->pad.n > 0) {
        LEV_TRY(lev_mul_size(tiles, (size_t)r->pad.n, &spare, err));
        LEV_TRY(lev_mem_new(spare, sizeof(double), (void **)&r->tile_load, err));
        LEV_TRY(
            lev_mem_new((size_t)g->ny, sizeof(double), (void **)&r->over_row_um, err));
    }
    memcpy(r->h_um, r->sim->h_um, points * sizeof *r->h_um);
    memcpy(r->age, r->sim->age, points);
out:
    return st;
}

static lev_status check_pitch(const sim_run *r, lev_error *err)
{
    const double needed_um = sim_pitch_of(&r->sheet, &r->step);
    if (r->sim->grid.pitch_um > needed_um)
        return lev_fail(err, LEV_E_RANGE,
                        "pitch %.3g um is too coarse for grooves of %.3g um grains: "
                        "%.3g um or less is needed",
                        r->sim->grid.pitch_um, r->step.grains.d50_um, needed_um);
    return LEV_OK;
}

static lev_status run_init(sim_run *r, lev_error *err)
{
    lev_status st;
    const lev_sim_grid *g = &r->sim->grid;
    const bool sections = r->step.lay == LEV_LAY_SECTION;
    r->stamp = (uint8_t)(r->sim->steps + 1);
    r->step.seed += (uint64_t)r->stamp * 0x9E3779B97F4A7C15U; /* another sheet a step */
    r->rng.seed = r->step.seed;
    r->lay = (sim_lay){r->step.lay, r->step.angle_rad, r->step.radius_um / g->pitch_um,
                       g->nx, g->ny};
    r->row_tiles = sections ? g->ny : (g->ny + SIM_TILE - 1) / SIM_TILE;
    r->col_tiles = sections ? 0 : (g->nx + SIM_TILE - 1) / SIM_TILE;
    if ((r->step.lay == LEV_LAY_STRAIGHT || r->step.lay == LEV_LAY_CROSS) &&
        fabs(tan(r->step.angle_rad)) <= 1.0)
        r->col_tiles = 0;
    LEV_TRY(sim_sheet_init(&r->sheet, &r->step, err));
    LEV_TRY(check_pitch(r, err));
    LEV_TRY(make_room(r, err));
    LEV_TRY(sim_pool_new(g->threads, &r->pool, err));
    LEV_TRY(sim_old_init(&r->old, r, err));
out:
    return st;
}

static void run_release(sim_run *r)
{
    sim_pool_free(r->pool);
    sim_old_release(&r->old);
    sim_sheet_release(&r->sheet);
    lev_mem_free(r->h_um);
    lev_mem_free(r->age);
    lev_mem_free(r->top_row_um);
    lev_mem_free(r->top_col_um);
    lev_mem_free(r->spare_um);
    lev_mem_free(r->spare_age);
    lev_mem_free(r->total);
    lev_mem_free(r->worn_um);
    lev_mem_free(r->over_row_um);
    lev_mem_free(r->tile_load);
    sim_pad_release(&r->pad);
}

lev_status lev_sim_run(lev_sim *sim, const lev_sim_step *step,
                       lev_sim_progress progress, void *payload, lev_sim_result *out,
                       lev_error *err)
{
    lev_status st;
    sim_run r = {.sim = sim};
    sim_news news = {0};
    lev_sim_result res = {.model = LEV_SIM_MODEL, .seed = step->seed};

    if (sim->steps >= MOST_STEPS)
        return lev_fail(err, LEV_E_LIMIT, "more than %d steps on one face", MOST_STEPS);
    LEV_TRY(sim_step_check(step, &r.step, err));
    LEV_TRY(run_init(&r, err));
    LEV_TRY(lev_mem_new((size_t)r.step.records + 1, sizeof *res.record,
                        (void **)&res.record, err));
    LEV_TRY(run_all(&r, progress, payload, &res, err));
    sim_old_release(&r.old); /* makes room for what follows */
    if (sim->grid.textures > 0)
        LEV_TRY(sim_follow_step(&news, &r, err));
    memcpy(sim->h_um, r.h_um, (size_t)sim_points(sim) * sizeof *r.h_um);
    memcpy(sim->age, r.age, (size_t)sim_points(sim));
    sim->steps++;
    sim_follow_take(&sim->follow, &news, sim);
    *out = res;
    res = (lev_sim_result){0};
out:
    lev_sim_result_release(&res);
    sim_news_release(&news);
    run_release(&r);
    return st;
}

void lev_sim_result_release(lev_sim_result *r)
{
    if (!r)
        return;
    lev_mem_free(r->record);
    *r = (lev_sim_result){0};
}
