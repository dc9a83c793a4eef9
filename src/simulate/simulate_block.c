/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One block: the sheet moves on a little at a fixed height. Grains that could touch are
 * drawn at random from the sheet; where each goes depends on (seed, step, block, path)
 * alone. Row crossings are done first, in tiles of rows, then column crossings in tiles
 * of columns: no tile ever touches another's heights, so any number of threads gives
 * the same bits. */
#include <math.h>

#include "num.h"
#include "state.h"
#include "stats.h"
#include "units.h"

enum { DRAW_COUNT = 1, DRAW_GRAIN, DRAW_PLACE, DRAWS };

/* One grain on its way through one tile. */
typedef struct sim_way {
    ptrdiff_t grain, tile;
    double worn_um;
} sim_way;

/* Where it crosses a line of the map. */
typedef struct sim_place {
    double x_um;    /* along the line */
    ptrdiff_t line; /* row, or column */
    bool column;
} sim_place;

static uint64_t stream_of(const sim_run *r, uint64_t draw, ptrdiff_t row)
{
    return (r->block * DRAWS + draw) << 24 | (uint64_t)row;
}

/* The same in shares of the map. */
static void shares_of(const sim_run *r, const sim_place *at, double *x, double *y)
{
    const lev_sim_grid *g = &r->sim->grid;
    const double along =
        at->x_um / ((double)(at->column ? g->ny : g->nx) * g->pitch_um);
    const double across =
        ((double)at->line + 0.5) / (double)(at->column ? g->nx : g->ny);
    *x = at->column ? across : along;
    *y = at->column ? along : across;
}

static double sheet_at(const sim_run *r, const sim_place *at)
{
    double x, y;
    if (r->pad.n == 0)
        return r->sheet_um;
    shares_of(r, at, &x, &y);
    return r->sheet_um + sim_pad_at(&r->pad, x, y);
}

static void note_load(const sim_run *r, const sim_place *at, ptrdiff_t tile,
                      double force_path)
{
    double x, y;
    if (r->pad.n == 0)
        return;
    shares_of(r, at, &x, &y);
    r->tile_load[tile * r->pad.n + sim_pad_cell(&r->pad, x, y)] += force_path;
}

static void cross(const sim_run *r, const sim_row *row, const sim_place *at,
                  double cosine, sim_way *way, sim_total *total)
{
    const lev_sim_step *step = &r->step;
    sim_grain g = r->sheet.grain[way->grain];
    const double path_um = row->pitch_um / cosine;
    const double area_um2 = row->pitch_um * row->pitch_um * (double)sim_points(r->sim);
    g.height_um -= way->worn_um;
    const sim_pass pass = {.grain = &g,
                           .x_um = at->x_um,
                           .free_um = sheet_at(r, at) - g.height_um,
                           .cosine = cosine};
    sim_touch touch;
    total->path_um += path_um;
    const bool touches = sim_press(row, &pass, step->hardness_mpa, &touch);
    if (touches) {
        sim_cut(row, &pass, step, r->stamp, &touch);
        total->force_path += touch.force_un * path_um;
        note_load(r, at, way->tile, touch.force_un * path_um);
        total->cover_um2 += touch.width_um * path_um;
        total->removed_um += touch.removed_um;
        total->touch_um += path_um;
        /* Each path of ours stands for all that this grain slides meanwhile. */
        const double give_um = touch.force_un / g.spring;
        const double share = (double)r->sheet.n / (r->sheet.per_um2 * area_um2);
        way->worn_um +=
            fmin(step->wear * give_um / g.size_um * path_um * share, give_um);
    }
    total->pixels += touch.pixels;
}

static sim_row row_of(const sim_run *r, ptrdiff_t i, ptrdiff_t tile, bool column)
{
    const lev_sim_grid *g = &r->sim->grid;
    const ptrdiff_t longest = g->nx > g->ny ? g->nx : g->ny;
    return (sim_row){
        .h_um = r->h_um + (column ? i : i * g->nx),
        .age = r->age + (column ? i : i * g->nx),
        .top_um = column ? &r->top_col_um[i] : &r->top_row_um[i],
        .nx = column ? g->ny : g->nx,
        .stride = column ? g->nx : 1,
        .pitch_um = g->pitch_um,
        .spare_um = r->spare_um + tile * longest,
        .spare_age = r->spare_age + tile * longest,
        .kern = &r->sim->kern,
    };
}

static void note_wear(const sim_run *r, ptrdiff_t tile, ptrdiff_t path, double worn_um)
{
    if (r->step.wear > 0.0)
        r->worn_um[tile * r->worn_cap + path] += worn_um;
}

/* A whole number that has the right mean. */
static ptrdiff_t paths_of(const sim_run *r, ptrdiff_t row)
{
    return (ptrdiff_t)(r->paths +
                       lev_rng_uniform(r->rng, 0, stream_of(r, DRAW_COUNT, row)));
}

static void section_tile(void *payload, ptrdiff_t tile)
{
    sim_run *const r = payload;
    const ptrdiff_t n = paths_of(r, tile);
    const sim_row row = row_of(r, tile, tile, false);
    for (ptrdiff_t i = 0; i < n; i++) {
        double u[2];
        lev_rng_uniform2(r->rng, (uint64_t)i, stream_of(r, DRAW_GRAIN, tile), u);
        sim_way way = {(ptrdiff_t)(u[0] * (double)r->standing), tile, 0.0};
        const sim_place at = {u[1] * (double)row.nx * row.pitch_um, tile, false};
        cross(r, &row, &at, 1.0, &way, &r->total[tile]);
        note_wear(r, tile, i, way.worn_um);
    }
}

/* The crossings of one piece with lines first .. last - 1 of the map. */
static void cross_lines(const sim_run *r, const sim_piece *p, ptrdiff_t tile,
                        ptrdiff_t first, ptrdiff_t last, sim_way *way, sim_total *total)
{
    const lev_sim_grid *g = &r->sim->grid;
    const double lines = (double)(p->by_rows ? g->ny : g->nx);
    const double across = (double)(p->by_rows ? g->nx : g->ny);
    const bool wraps = r->lay.lay != LEV_LAY_CIRCULAR;
    const double image = wraps ? floor(p->from / lines) : 0.0;
    for (double k = image; wraps ? k * lines < p->to : k < 1.0; k += 1.0) {
        const double from = fmax(ceil(p->from), k * lines + (double)first);
        const double to = fmin(p->to, k * lines + (double)last);
        for (double u = from; u < to; u += 1.0) {
            double cosine;
            double x = sim_piece_at(p, u, &cosine);
            if (!wraps && !(x >= 0.0 && x < across))
                continue;
            x -= floor(x / across) * across;
            const sim_place at = {x * g->pitch_um, (ptrdiff_t)(u - k * lines),
                                  !p->by_rows};
            const sim_row row = row_of(r, at.line, tile, at.column);
            cross(r, &row, &at, cosine, way, total);
        }
    }
}

static void band(sim_run *r, ptrdiff_t tile, ptrdiff_t first, ptrdiff_t last,
                 bool by_rows)
{
    const ptrdiff_t n = paths_of(r, 0);
    for (ptrdiff_t i = 0; i < n; i++) {
        double pick[2], u[4];
        lev_rng_uniform2(r->rng, (uint64_t)i, stream_of(r, DRAW_GRAIN, 0), pick);
        lev_rng_uniform2(r->rng, (uint64_t)i, stream_of(r, DRAW_PLACE, 0), u);
        u[2] = pick[1];
        u[3] = 0.0;
        const sim_path path = sim_path_of(&r->lay, u, r->block);
        sim_way way = {(ptrdiff_t)(pick[0] * (double)r->standing), tile, 0.0};
        for (int j = 0; j < path.n; j++) {
            if (path.piece[j].by_rows == by_rows)
                cross_lines(r, &path.piece[j], tile, first, last, &way,
                            &r->total[tile]);
        }
        note_wear(r, tile, i, way.worn_um);
    }
}

static ptrdiff_t smaller(ptrdiff_t a, ptrdiff_t b)
{
    return a < b ? a : b;
}

static void row_tile(void *payload, ptrdiff_t tile)
{
    sim_run *const r = payload;
    band(r, tile, tile * SIM_TILE, smaller((tile + 1) * SIM_TILE, r->sim->grid.ny),
         true);
}

static void col_tile(void *payload, ptrdiff_t i)
{
    sim_run *const r = payload;
    band(r, r->row_tiles + i, i * SIM_TILE,
         smaller((i + 1) * SIM_TILE, r->sim->grid.nx), false);
}

static void top_of_row(void *payload, ptrdiff_t i)
{
    sim_run *const r = payload;
    const ptrdiff_t nx = r->sim->grid.nx;
    const double *const h_um = r->h_um + i * nx;
    const sim_pad *const pad = &r->pad;
    r->top_row_um[i] = lev_stats_max(h_um, nx);
    if (pad->n == 0)
        return;
    const ptrdiff_t iy = i * pad->ny / r->sim->grid.ny;
    r->over_row_um[i] = -INFINITY;
    for (ptrdiff_t c = 0; c < pad->nx; c++) {
        const ptrdiff_t from = c * nx / pad->nx, to = (c + 1) * nx / pad->nx;
        r->over_row_um[i] =
            fmax(r->over_row_um[i],
                 lev_stats_max(h_um + from, to - from) - sim_pad_low(pad, c, iy));
    }
}

/* Columns of one tile, row by row, so that memory is read in order. */
static void top_of_cols(void *payload, ptrdiff_t tile)
{
    sim_run *const r = payload;
    const ptrdiff_t nx = r->sim->grid.nx, last = smaller((tile + 1) * SIM_TILE, nx);
    for (ptrdiff_t i = tile * SIM_TILE; i < last; i++)
        r->top_col_um[i] = -INFINITY;
    for (ptrdiff_t j = 0; j < r->sim->grid.ny; j++) {
        for (ptrdiff_t i = tile * SIM_TILE; i < last; i++)
            r->top_col_um[i] = fmax(r->top_col_um[i], r->h_um[j * nx + i]);
    }
}

double sim_find_tops(sim_run *r)
{
    sim_pool_run(r->pool, r->sim->grid.ny, top_of_row, r);
    return lev_stats_max(r->pad.n > 0 ? r->over_row_um : r->top_row_um,
                         r->sim->grid.ny);
}

static void add(sim_total *a, const sim_total *b)
{
    a->force_path += b->force_path;
    a->cover_um2 += b->cover_um2;
    a->removed_um += b->removed_um;
    a->path_um += b->path_um;
    a->touch_um += b->touch_um;
    a->pixels += b->pixels;
}

/* What the grains lost, tile after tile, path after path. */
static void wear_sheet(sim_run *r, ptrdiff_t tiles)
{
    for (ptrdiff_t tile = 0; tile < tiles; tile++) {
        const bool sections = r->lay.lay == LEV_LAY_SECTION;
        const ptrdiff_t row = sections ? tile : 0, n = paths_of(r, row);
        for (ptrdiff_t i = 0; i < n; i++) {
            double u[2];
            lev_rng_uniform2(r->rng, (uint64_t)i, stream_of(r, DRAW_GRAIN, row), u);
            sim_grain *const g =
                &r->sheet.grain[(ptrdiff_t)(u[0] * (double)r->standing)];
            g->height_um -= r->worn_um[tile * r->worn_cap + i];
            r->worn_um[tile * r->worn_cap + i] = 0.0;
        }
    }
}

/* What each cell of the pad's net carried, tile after tile. */
static void gather_loads(sim_run *r, ptrdiff_t tiles)
{
    sim_pad *const pad = &r->pad;
    for (ptrdiff_t tile = 0; tile < tiles && pad->n > 0; tile++) {
        double *const load = r->tile_load + tile * pad->n;
        for (ptrdiff_t i = 0; i < pad->n; i++) {
            pad->load[i] += load[i];
            load[i] = 0.0;
        }
    }
}

sim_total sim_block(sim_run *r)
{
    const ptrdiff_t tiles = r->row_tiles + r->col_tiles;
    sim_total sum = {0};
    for (ptrdiff_t i = 0; i < tiles; i++)
        r->total[i] = (sim_total){0};
    if (r->lay.lay == LEV_LAY_SECTION) {
        sim_pool_run(r->pool, r->row_tiles, section_tile, r);
    } else {
        sim_pool_run(r->pool, r->row_tiles, row_tile, r);
        if (r->col_tiles > 0) {
            sim_pool_run(r->pool, r->col_tiles, top_of_cols, r);
            sim_pool_run(r->pool, r->col_tiles, col_tile, r);
        }
    }
    if (r->step.wear > 0.0)
        wear_sheet(r, tiles);
    gather_loads(r, tiles);
    for (ptrdiff_t i = 0; i < tiles; i++)
        add(&sum, &r->total[i]);
    return sum;
}
