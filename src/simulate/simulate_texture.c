/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Several steps in a row: every texture followed as itself. A texture is the map a step
 * made, less what then was left of the earlier ones, so each map is orthogonal to those
 * before it and plain projections are the joint least squares of all of them. Long
 * waves and short lines are told apart as in simulate_record.c, with a cut that stays
 * the texture's own. What chance alone would make of it is told by projecting the
 * newest texture on the older map moved to places where it has no business. */
#include <math.h>
#include <string.h>

#include "mem.h"
#include "state.h"
#include "stats.h"

enum { PLACES = 16, AGES = 256 };

static void texture_release(sim_texture *t)
{
    lev_mem_free(t->map_um);
    *t = (sim_texture){0};
}

static lev_status texture_init(sim_texture *t, ptrdiff_t n, lev_error *err)
{
    return lev_mem_new((size_t)n, sizeof *t->map_um, (void **)&t->map_um, err);
}

static void texture_close(sim_texture *t, int step, ptrdiff_t n)
{
    t->square = lev_stats_sum_square_f(t->map_um, n);
    t->seen = (lev_sim_texture){.step = step,
                                .Rq_um = sqrt(t->square / (double)n),
                                .left = 1.0,
                                .left_long = 1.0,
                                .left_short = 1.0};
}

lev_status sim_follow_init(sim_follow *f, const lev_sim *s, lev_error *err)
{
    lev_status st;
    const size_t room = (size_t)s->grid.textures + 1;
    sim_follow t = {0};

    LEV_TRY(lev_mem_new(room, sizeof *t.texture, (void **)&t.texture, err));
    LEV_TRY(lev_mem_new(room, sizeof *t.seen, (void **)&t.seen, err));
    *f = t;
    t = (sim_follow){0};
out:
    sim_follow_release(&t, s);
    return st;
}

lev_status sim_follow_found(sim_follow *f, const lev_sim *s, const float *h_um,
                            lev_error *err)
{
    const ptrdiff_t n = sim_points(s);
    sim_texture t = {.both = true};
    double sum_um = 0.0, low_um = INFINITY, high_um = -INFINITY;
    for (ptrdiff_t i = 0; i < n; i++) {
        sum_um += (double)h_um[i];
        low_um = fmin(low_um, (double)h_um[i]);
        high_um = fmax(high_um, (double)h_um[i]);
    }
    if (s->grid.textures > 0 && high_um > low_um) {
        const lev_status st = texture_init(&t, n, err);
        if (st < 0)
            return st;
        for (ptrdiff_t i = 0; i < n; i++)
            t.map_um[i] = (float)((double)h_um[i] - sum_um / (double)n);
        texture_close(&t, 0, n);
        t.seen.share = 1.0;
        t.seen.deepest_um = sum_um / (double)n - low_um;
    }
    for (int k = 0; k < f->n; k++)
        texture_release(&f->texture[k]);
    f->texture[0] = t;
    f->seen[0] = t.seen;
    f->n = t.map_um ? 1 : 0;
    return LEV_OK;
}

void sim_follow_release(sim_follow *f, const lev_sim *s)
{
    for (int i = 0; f->texture && i <= s->grid.textures; i++)
        texture_release(&f->texture[i]);
    lev_mem_free(f->texture);
    lev_mem_free(f->seen);
    *f = (sim_follow){0};
}

const lev_sim_texture *lev_sim_textures(const lev_sim *sim, ptrdiff_t *n)
{
    *n = sim->follow.n;
    return sim->follow.seen;
}

/* <h, old> over a square. */
static double left_of(const sim_run *r, const float *old, double square)
{
    if (!(square > 0.0))
        return 0.0;
    return lev_stats_sum_product(r->h_um, sim_mean_um(r), old, sim_points(r->sim)) /
           square;
}

/* The two parts of a texture: part = S map (or map - S map), left = <S h, part> over
 * <part, part> = <h, S part> over the same. work: 2 maps. */
static void see_parts(const sim_run *r, const sim_texture *t, float *work,
                      lev_sim_texture *seen)
{
    const ptrdiff_t n = sim_points(r->sim);
    float *const part = work, *const spare = work + n;
    memcpy(part, t->map_um, (size_t)n * sizeof *part);
    sim_smooth(r, part, seen->cut_um, t->both);
    double square = lev_stats_sum_square_f(part, n);
    sim_smooth(r, part, seen->cut_um, t->both);
    seen->left_long = left_of(r, part, square);
    memcpy(part, t->map_um, (size_t)n * sizeof *part);
    sim_sharpen(r, part, spare, seen->cut_um, t->both);
    square = lev_stats_sum_square_f(part, n);
    sim_sharpen(r, part, spare, seen->cut_um, t->both);
    seen->left_short = left_of(r, part, square);
}

/* Sum of the products of a map and another moved by (di, dj), wrapped round. */
static double moved_product(const lev_sim_grid *g, const float *a, const float *b,
                            ptrdiff_t di, ptrdiff_t dj)
{
    double sum = 0.0;
    for (ptrdiff_t j = 0; j < g->ny; j++) {
        const float *const row = a + j * g->nx;
        const float *const other = b + (j + dj) % g->ny * g->nx;
        for (ptrdiff_t i = 0; i < g->nx - di; i++)
            sum += (double)row[i] * (double)other[i + di];
        for (ptrdiff_t i = g->nx - di; i < g->nx; i++)
            sum += (double)row[i] * (double)other[i + di - g->nx];
    }
    return sum;
}

/* sd of what the newest texture gives at places spread over the map (a Weyl sequence,
 * kept a tenth of the map away from the true place). */
static double chance_of(const lev_sim_grid *g, const sim_texture *made,
                        const sim_texture *old)
{
    double square = 0.0;
    if (!(old->square > 0.0))
        return 0.0;
    for (int k = 1; k <= PLACES; k++) {
        const double u = 0.1 + 0.8 * fmod(k * 0.6180339887498949, 1.0);
        const double v = 0.1 + 0.8 * fmod(k * 0.7548776662466927, 1.0);
        const double left =
            moved_product(g, made->map_um, old->map_um, (ptrdiff_t)(u * (double)g->nx),
                          (ptrdiff_t)(v * (double)g->ny)) /
            old->square;
        square += left * left / PLACES;
    }
    return sqrt(square);
}

/* Lines of each step's own that nothing has cut since. */
static void see_lines(const sim_run *r, lev_sim_texture *seen, int n)
{
    ptrdiff_t count[AGES] = {0};
    double low_um[AGES];
    const ptrdiff_t points = sim_points(r->sim);
    const double mean_um = sim_mean_um(r);
    for (int a = 0; a < AGES; a++)
        low_um[a] = mean_um;
    for (ptrdiff_t i = 0; i < points; i++) {
        const uint8_t a = r->age[i];
        count[a]++;
        low_um[a] = fmin(low_um[a], r->h_um[i]);
    }
    for (int k = 0; k < n; k++) {
        seen[k].share = (double)count[seen[k].step] / (double)points;
        seen[k].deepest_um = mean_um - low_um[seen[k].step];
    }
}

lev_status sim_follow_step(sim_news *news, const sim_run *r, lev_error *err)
{
    lev_status st;
    const sim_follow *const f = &r->sim->follow;
    const ptrdiff_t n = sim_points(r->sim);
    float *work = NULL;
    sim_news t = {0};
    lev_sim_texture seen[LEV_SIM_TEXTURES + 1];

    LEV_TRY(lev_mem_new(2 * (size_t)n, sizeof *work, (void **)&work, err));
    LEV_TRY(texture_init(&t.made, n, err));
    const double mean_um = sim_mean_um(r);
    for (ptrdiff_t i = 0; i < n; i++)
        t.made.map_um[i] = (float)(r->h_um[i] - mean_um);
    t.made.both = r->lay.lay != LEV_LAY_SECTION;
    for (int k = 0; k < f->n; k++) {
        const sim_texture *const old = &f->texture[k];
        seen[k] = old->seen;
        if (!(seen[k].cut_um > 0.0))
            seen[k].cut_um = r->step.grains.d50_um;
        seen[k].left = left_of(r, old->map_um, old->square);
        see_parts(r, old, work, &seen[k]);
        for (ptrdiff_t i = 0; i < n; i++)
            t.made.map_um[i] -= (float)(seen[k].left * (double)old->map_um[i]);
    }
    texture_close(&t.made, r->stamp, n);
    for (int k = 0; k < f->n; k++)
        seen[k].chance = chance_of(&r->sim->grid, &t.made, &f->texture[k]);
    seen[f->n] = t.made.seen;
    see_lines(r, seen, f->n + 1);
    memcpy(t.seen, seen, (size_t)f->n * sizeof *seen);
    t.made.seen = seen[f->n];
    *news = t;
    t = (sim_news){0};
out:
    sim_news_release(&t);
    lev_mem_free(work);
    return st;
}

void sim_news_release(sim_news *news)
{
    texture_release(&news->made);
}

void sim_follow_take(sim_follow *f, sim_news *news, const lev_sim *s)
{
    if (s->grid.textures == 0)
        return;
    for (int k = 0; k < f->n; k++)
        f->texture[k].seen = news->seen[k];
    f->texture[f->n++] = news->made;
    news->made = (sim_texture){0};
    if (f->n > s->grid.textures) {
        int least = 0;
        for (int k = 1; k < f->n - 1; k++) {
            if (fabs(f->texture[k].seen.left) < fabs(f->texture[least].seen.left))
                least = k;
        }
        texture_release(&f->texture[least]);
        memmove(f->texture + least, f->texture + least + 1,
                (size_t)(f->n - 1 - least) * sizeof *f->texture);
        f->n--;
        f->texture[f->n] = (sim_texture){0};
    }
    for (int k = 0; k < f->n; k++)
        f->seen[k] = f->texture[k].seen;
}
