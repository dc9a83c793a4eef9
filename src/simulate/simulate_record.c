/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is measured on the face while a step runs. The old texture is followed by its
 * projection: the face now times the face found, over the face found times itself.
 * Its long part is what a box mean of one grain size, taken twice, leaves. */
#include <math.h>

#include "mem.h"
#include "state.h"
#include "stats.h"

/* Circular box mean of 2 half + 1 elements over n heights `stride` apart; half < n. */
static void box(float *h, ptrdiff_t n, ptrdiff_t stride, ptrdiff_t half, double *spare)
{
    double sum = 0.0;
    ptrdiff_t enters = half + 1 < n ? half + 1 : half + 1 - n, leaves = n - half;
    leaves = leaves < n ? leaves : leaves - n;
    for (ptrdiff_t i = 0; i < n; i++)
        spare[i] = (double)h[i * stride];
    for (ptrdiff_t i = -half; i <= half; i++)
        sum += spare[i < 0 ? i + n : i];
    for (ptrdiff_t i = 0; i < n; i++) {
        h[i * stride] = (float)(sum / (double)(2 * half + 1));
        sum += spare[enters] - spare[leaves];
        enters = enters + 1 < n ? enters + 1 : 0;
        leaves = leaves + 1 < n ? leaves + 1 : 0;
    }
}

/* One smoothing, shared out like the tiles of rows. */
typedef struct boxes {
    const sim_run *r;
    float *h_um;
    ptrdiff_t half_x, half_y;
} boxes;

static double *spare_of(const sim_run *r, ptrdiff_t tile)
{
    const lev_sim_grid *g = &r->sim->grid;
    return r->spare_um + tile * (g->nx > g->ny ? g->nx : g->ny);
}

static void box_rows(void *payload, ptrdiff_t tile)
{
    const boxes *const b = payload;
    const lev_sim_grid *g = &b->r->sim->grid;
    const ptrdiff_t tiles = b->r->row_tiles;
    for (ptrdiff_t j = tile * g->ny / tiles; j < (tile + 1) * g->ny / tiles; j++)
        box(b->h_um + j * g->nx, g->nx, 1, b->half_x, spare_of(b->r, tile));
}

static void box_cols(void *payload, ptrdiff_t tile)
{
    const boxes *const b = payload;
    const lev_sim_grid *g = &b->r->sim->grid;
    const ptrdiff_t tiles = b->r->row_tiles;
    for (ptrdiff_t i = tile * g->nx / tiles; i < (tile + 1) * g->nx / tiles; i++)
        box(b->h_um + i, g->ny, g->nx, b->half_y, spare_of(b->r, tile));
}

void sim_smooth(const sim_run *r, float *h_um, double size_um, bool both)
{
    const lev_sim_grid *g = &r->sim->grid;
    const double size = size_um / g->pitch_um;
    boxes b = {.r = r,
               .h_um = h_um,
               .half_x = (ptrdiff_t)fmin(0.5 * size, 0.25 * (double)g->nx),
               .half_y = (ptrdiff_t)fmin(0.5 * size, 0.25 * (double)g->ny)};
    for (int pass = 0; pass < 2; pass++) {
        sim_pool_run(r->pool, r->row_tiles, box_rows, &b);
        if (both)
            sim_pool_run(r->pool, r->row_tiles, box_cols, &b);
    }
}

void sim_sharpen(const sim_run *r, float *h_um, float *work, double size_um, bool both)
{
    const ptrdiff_t n = sim_points(r->sim);
    for (ptrdiff_t i = 0; i < n; i++)
        work[i] = h_um[i];
    sim_smooth(r, work, size_um, both);
    for (ptrdiff_t i = 0; i < n; i++)
        h_um[i] -= work[i];
}

/* The smoothing S, once; both ways unless rows are sections. */
static void smooth(float *h, const sim_run *r)
{
    sim_smooth(r, h, r->step.grains.d50_um, r->lay.lay != LEV_LAY_SECTION);
}

/* f becomes f - S f. */
static void sharpen(float *f, float *spare, const sim_run *r)
{
    sim_sharpen(r, f, spare, r->step.grains.d50_um, r->lay.lay != LEV_LAY_SECTION);
}

double sim_mean_um(const sim_run *r)
{
    const ptrdiff_t n = sim_points(r->sim);
    return lev_stats_sum(r->h_um, n) / (double)n;
}

lev_status sim_old_init(sim_old *o, const sim_run *r, lev_error *err)
{
    lev_status st;
    sim_old t = {0};
    float *spare = NULL;
    const ptrdiff_t n = sim_points(r->sim);
    const double mean_um = sim_mean_um(r);

    LEV_TRY(lev_mem_new((size_t)n, sizeof *t.all, (void **)&t.all, err));
    LEV_TRY(lev_mem_new((size_t)n, sizeof *t.wide, (void **)&t.wide, err));
    LEV_TRY(lev_mem_new((size_t)n, sizeof *t.narrow, (void **)&t.narrow, err));
    LEV_TRY(lev_mem_new((size_t)n, sizeof *spare, (void **)&spare, err));
    for (ptrdiff_t i = 0; i < n; i++)
        t.all[i] = t.wide[i] = t.narrow[i] = (float)(r->h_um[i] - mean_um);
    smooth(t.wide, r);
    sharpen(t.narrow, spare, r);
    t.all_square = lev_stats_sum_square_f(t.all, n);
    t.wide_square = lev_stats_sum_square_f(t.wide, n);
    t.narrow_square = lev_stats_sum_square_f(t.narrow, n);
    /* <S h, S old> = <h, S S old>: keep the second smoothing, measure with plain h. */
    smooth(t.wide, r);
    sharpen(t.narrow, spare, r);
    *o = t;
    t = (sim_old){0};
out:
    lev_mem_free(spare);
    sim_old_release(&t);
    return st;
}

void sim_old_release(sim_old *o)
{
    lev_mem_free(o->all);
    lev_mem_free(o->wide);
    lev_mem_free(o->narrow);
    *o = (sim_old){0};
}

static double left_of(const sim_run *r, const float *old, double square, double mean_um)
{
    if (!(square > 0.0))
        return 0.0;
    return lev_stats_sum_product(r->h_um, mean_um, old, sim_points(r->sim)) / square;
}

lev_sim_record sim_record_of(const sim_run *r)
{
    const ptrdiff_t n = sim_points(r->sim);
    const double mean_um = sim_mean_um(r);
    ptrdiff_t older = 0;
    const double low_um = lev_stats_min_older(r->h_um, r->age, n, r->stamp, &older);
    return (lev_sim_record){
        .removed_um = r->start_mean_um - mean_um,
        .sheet_um = r->sheet_um - mean_um,
        .bulge_um = sim_pad_rms_um(&r->pad),
        .Ra_um = lev_stats_sum_abs(r->h_um, n, mean_um) / (double)n,
        .Rq_um = sqrt(lev_stats_sum_square(r->h_um, n, mean_um) / (double)n),
        .deepest_um = mean_um - lev_stats_min(r->h_um, n),
        .old_share = (double)older / (double)n,
        .old_deepest_um = older > 0 ? mean_um - low_um : 0.0,
        .old_amplitude = left_of(r, r->old.all, r->old.all_square, mean_um),
        .old_long = left_of(r, r->old.wide, r->old.wide_square, mean_um),
        .old_short = left_of(r, r->old.narrow, r->old.narrow_square, mean_um),
    };
}
