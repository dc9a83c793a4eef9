/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The five dynamic programs behind the lower bounds. See plan_bound.h.
 *
 * A cell stands for its lower edge: a state is never behind the cell it is counted in.
 * A step that lowers a measure by d cells is charged the least level that can reach the
 * upper edge of the cell d below, so for the plain measures the price of d is the same
 * everywhere and a step is one (min, +) convolution. Marks fall at a pace that depends
 * on where they are; their prices are looked up pair by pair. */
#include "plan_bound.h"

#include <math.h>
#include <string.h>

#include "mem.h"

/* Rounding of the cell arithmetic itself, in cells. */
#define CELL_SLACK 1e-7

enum { BLOCK_MOST = LEV_PLAN_GOALS * PLAN_MEASURES * PLAN_FINE_CELLS };

static int32_t *after_row(const plan_bound *b, int size_class, int k, int measure)
{
    const ptrdiff_t row = (ptrdiff_t)(size_class + 1) * LEV_PLAN_GOALS + k;
    return b->after + (row * PLAN_MEASURES + measure) * b->cells;
}

static int cell_of(const plan_bound *b, int measure, int32_t short_need,
                   int32_t long_need)
{
    const double x =
        (b->weight[measure][0] * short_need + b->weight[measure][1] * long_need) *
        b->per_cell[measure];
    const int c = (int)(x - CELL_SLACK);
    return c < b->cells ? c : b->cells - 1;
}

/* Levels that must go because tail A falls by one level a level at most. */
static double thickness(const plan_bound *b, const uint16_t *mark)
{
    const plan_problem *p = b->p;
    double most = 0.0;
    for (int q = 0; q < p->marks; q++)
        if (mark[q] > b->mark_end)
            most = fmax(most, p->t->mark[q].tail *
                                  (p->grid_um[mark[q]] - p->grid_um[b->mark_end]));
    return most / p->t->unit_um;
}

plan_cells plan_bound_cells(const plan_bound *b, const plan_state *s)
{
    plan_cells at = {.mark = {0}};
    for (int i = 0; i < PLAN_MARK; i++)
        at.at[i] = (short)cell_of(b, i, s->need[0], s->need[1]);
    for (int q = 0; q < b->p->marks; q++)
        at.mark[q] = (short)s->mark[q];
    at.at[PLAN_MARK] = (short)(at.mark[0] / b->mark_step);
    if (b->p->marks > 0)
        at.at[PLAN_THICK] = (short)(thickness(b, s->mark) * b->per_level - CELL_SLACK);
    at.need[0] = s->need[0];
    at.need[1] = s->need[1];
    return at;
}

/* Levels still to remove, measure by measure at the best pace. */
static int32_t least_levels(const plan_bound *b, int size_class, plan_cells at)
{
    const plan_problem *p = b->p;
    const plan_pace *pace = b->pace + size_class + 1;
    double most = fmax(at.need[0] * pace->levels_per_need[0],
                       at.need[1] * pace->levels_per_need[1]);
    for (int q = 0; q < p->marks; q++) {
        if (at.mark[q] <= b->mark_end)
            continue;
        const lev_plan_mark *mark = p->t->mark + q;
        const double ln = p->grid_ln[at.mark[q]] - p->grid_ln[b->mark_end];
        const double um = p->grid_um[at.mark[q]] - p->grid_um[b->mark_end];
        most = fmax(most, mark->share * ln * pace->rho_levels +
                              mark->tail * um / p->t->unit_um);
    }
    return most < PLAN_INF ? (int32_t)ceil(most * (1.0 - 1e-9) - 1e-9) : PLAN_INF;
}

/* The first level from now on at which a total that is `over` may keep its limit: each
 * level adds one and takes at most `gain` off what the steps after it must remove. */
static double level_within(int now, double gain, double over)
{
    if (over <= 0.0)
        return now;
    return gain > 1.0 + 1e-9 ? now + over / (gain - 1.0) : (double)PLAN_INF;
}

int plan_bound_depth(const plan_bound *b, int j, int level, const plan_state *before,
                     const plan_state *s, int64_t most)
{
    const plan_problem *p = b->p;
    const plan_pace *pace = b->pace + p->size_class[j] + 1;
    double next = level;
    for (int k = 0; k < 2; k++) {
        const double rest = s->need[k] * pace->levels_per_need[k];
        const double over = (double)s->cost[LEV_PLAN_REMOVAL] + rest - (double)most;
        next =
            fmax(next, level_within(level, p->gather[k][j] * pace->levels_per_need[k],
                                    over - 1e-6));
    }
    for (int q = 0; q < p->marks; q++) {
        if (s->mark[q] <= b->mark_end)
            continue;
        const lev_plan_mark *mark = p->t->mark + q;
        const double *row = p->pace + ((ptrdiff_t)q * p->n + j) * p->grid;
        const double ln = p->grid_ln[s->mark[q]] - p->grid_ln[b->mark_end];
        const double um = p->grid_um[s->mark[q]] - p->grid_um[b->mark_end];
        const double rest =
            mark->share * ln * pace->rho_levels + mark->tail * um / p->t->unit_um;
        const double gain =
            mark->share > 0.0
                ? fmax(1.0, pace->rho_levels * p->t->unit_um / p->t->option[j].rho_um)
                : 1.0;
        /* the grid rounded the amplitude up: that much may fall at once */
        const double rounded = row[s->mark[q]] - (row[before->mark[q]] - level);
        const double over = (double)s->cost[LEV_PLAN_REMOVAL] + rest - (double)most -
                            gain * fmax(rounded, 0.0) - 1e-6;
        next = fmax(next, level_within(level, gain, over));
    }
    return next <= p->levels ? (int)ceil(next - 1e-9) : p->levels + 1;
}

int32_t plan_bound_after(const plan_bound *b, int j, int k, plan_cells at)
{
    const int size_class = j >= 0 ? b->p->size_class[j] : -1;
    int32_t most = j >= 0 ? b->chain[(ptrdiff_t)k * b->p->n + j] : 0;
    if (k == LEV_PLAN_REMOVAL) {
        const int32_t x = least_levels(b, size_class, at);
        most = x > most ? x : most;
    }
    for (int i = 0; i < PLAN_MEASURES; i++) {
        const int32_t x = after_row(b, size_class, k, i)[at.at[i]];
        most = x > most ? x : most;
    }
    return most;
}

bool plan_is_last_of(const plan_bound *b, int l)
{
    return b->p->t->last[l].allowed && b->p->usable[l] &&
           b->p->size_class[l] == b->size_class;
}

/* The least need of option j over the last options of the group. */
static int32_t least_need(const plan_bound *b, int k, int j)
{
    const plan_problem *p = b->p;
    int32_t least = PLAN_NEED_MAX;
    if (p->size_class[j] == b->size_class)
        return 0;
    for (int l = 0; l < b->end; l++)
        if (plan_is_last_of(b, l)) {
            const int32_t x = p->need[k][(ptrdiff_t)l * p->n + j];
            least = x < least ? x : least;
        }
    return least;
}

static int32_t cost_of(const plan_bound *b, int j, int k, int level)
{
    const plan_problem *p = b->p;
    if (level > p->levels)
        return PLAN_INF;
    if (k < 2)
        return p->cost[k][(ptrdiff_t)j * p->levels + level - 1];
    return k == LEV_PLAN_REMOVAL ? level : 1;
}

static void choose_mark_cells(plan_bound *b)
{
    const plan_problem *p = b->p;
    b->mark_step = (p->grid + b->cells - 1) / b->cells;
    b->mark_end = 0;
    for (int l = 0; l < b->end; l++)
        if (plan_is_last_of(b, l) && p->mark_end[l] > b->mark_end)
            b->mark_end = p->mark_end[l];
    const double most = thickness(b, p->mark_start);
    b->per_level = most > 0.0 ? (b->cells - 1) / most : 0.0;
}

/* Weights and cells: the largest need of any texture or start must fit. */
static void choose_cells(plan_bound *b)
{
    const plan_problem *p = b->p;
    choose_mark_cells(b);
    int32_t most[2] = {1, 1};
    for (int l = 0; l < b->end; l++) {
        if (!plan_is_last_of(b, l))
            continue;
        for (int k = 0; k < 2; k++) {
            const int32_t *row = p->need[k] + (ptrdiff_t)l * p->n;
            most[k] = p->start[k][l] > most[k] ? p->start[k][l] : most[k];
            for (int i = 0; i < l && p->size_class[i] < b->size_class; i++)
                if (p->usable[i] && row[i] < PLAN_NEED_MAX && row[i] > most[k])
                    most[k] = row[i];
        }
    }
    const double share[3][2] = {{1.0, 0.0}, {0.0, 1.0}, {0.5, 0.5}};
    for (int i = 0; i < 3; i++) {
        for (int k = 0; k < 2; k++)
            b->weight[i][k] = share[i][k] / most[k];
        b->per_cell[i] = b->cells - 1;
    }
}

static int level_for(double levels, int least)
{
    const double m = levels < 1e6 ? ceil(levels - CELL_SLACK) : 1e6;
    return m > least ? (int)m : least;
}

/* Levels of option j that lower a plain measure by 0, 1, ... cells. */
static void plain_levels(const plan_bound *b, int measure, int j, int *level)
{
    const plan_problem *p = b->p;
    const double gain = measure == PLAN_THICK
                            ? b->per_level
                            : (b->weight[measure][0] * p->gather[0][j] +
                               b->weight[measure][1] * p->gather[1][j]) *
                                  b->per_cell[measure];
    level[0] = p->min_level[j];
    for (int d = 1; d < b->cells; d++) {
        /* One need is cut off at its floor before the other: nothing falls faster. */
        const double cells = d - 1 > 0 ? (d - 1) * (1.0 - CELL_SLACK) : 0.0;
        level[d] = gain > 0.0 ? level_for(cells / gain, p->min_level[j]) : 1 << 20;
    }
}

/* out[c] = min(out[c], price + rest[c]), plain enough to be
 * vectorised. */
static void lower(int cells, int32_t *restrict out, const int32_t *restrict rest,
                  int32_t price)
{
    for (int c = 0; c < cells; c++) {
        const int32_t x = price + rest[c];
        out[c] = x < out[c] ? x : out[c];
    }
}

static void plain_step(const plan_bound *b, int k, int j, const int *level,
                       const int32_t *rest, int32_t *out)
{
    int32_t padded[2 * PLAN_FINE_CELLS];
    for (int c = 0; c < b->cells; c++) {
        padded[c] = rest[0]; /* nothing lies below the first cell */
        padded[b->cells + c] = rest[c];
        out[c] = PLAN_INF;
    }
    for (int d = 0; d < b->cells; d++) {
        const int32_t price = cost_of(b, j, k, level[d]);
        const bool same_level = d + 1 < b->cells && level[d + 1] == level[d];
        if (price >= PLAN_INF)
            break;
        if (!same_level) /* the rest falls with d: the last of equal levels is best */
            lower(b->cells, out, padded + b->cells - d, price);
    }
}

/* Levels of option j that bring a mark from cell c down to cell d at [c][d]. */
static void mark_levels(const plan_bound *b, int j,
                        int level[PLAN_FINE_CELLS][PLAN_FINE_CELLS])
{
    const plan_problem *p = b->p;
    const double rho = p->t->mark[0].share * p->t->option[j].rho_um;
    const double tail = p->t->mark[0].tail, unit = p->t->unit_um;
    for (int c = 0; c < b->cells; c++) {
        level[c][c] = p->min_level[j];
        const int from = c * b->mark_step < p->grid ? c * b->mark_step : p->grid - 1;
        for (int d = 0; d < c; d++) {
            const int edge = (d + 1) * b->mark_step - 1;
            const int to = edge < p->grid ? edge : p->grid - 1;
            const double depth = rho * (p->grid_ln[from] - p->grid_ln[to]) +
                                 tail * (p->grid_um[from] - p->grid_um[to]);
            level[c][d] = level_for(depth / unit * (1.0 - 1e-9), p->min_level[j]);
        }
    }
}

static void mark_step(const plan_bound *b, int k, int j,
                      int level[PLAN_FINE_CELLS][PLAN_FINE_CELLS], const int32_t *rest,
                      int32_t *out)
{
    for (int c = 0; c < b->cells; c++) {
        out[c] = PLAN_INF;
        for (int d = c; d >= 0; d--) {
            const int32_t price = cost_of(b, j, k, level[c][d]);
            if (price >= out[c])
                break;
            const int32_t x = price + rest[d];
            out[c] = x < out[c] ? x : out[c];
        }
    }
}

/* The cells of what option j leaves by itself. */
static plan_cells own_cells(const plan_bound *b, int j)
{
    plan_cells at = {.mark = {0}};
    const int32_t short_need = least_need(b, 0, j), long_need = least_need(b, 1, j);
    for (int i = 0; i < PLAN_MARK; i++)
        at.at[i] = (short)cell_of(b, i, short_need, long_need);
    at.need[0] = short_need;
    at.need[1] = long_need;
    return at;
}

/* What is left to pay after option j, by cell. Its own texture lifts the need, in this
 * measure and in the others: whatever the cell, no less is left than that costs. */
static void rest_after(const plan_bound *b, int k, int measure, int j, plan_cells own,
                       int32_t *rest)
{
    const int32_t *row = after_row(b, b->p->size_class[j], k, measure);
    if (plan_is_last_of(b, j)) {
        const int clear = measure == PLAN_MARK ? b->mark_end / b->mark_step : 0;
        for (int c = 0; c < b->cells; c++)
            rest[c] = c <= clear ? 0 : PLAN_INF;
        return;
    }
    const int32_t least = plan_bound_after(b, j, k, own);
    for (int c = 0; c < b->cells; c++)
        rest[c] = row[c] > least ? row[c] : least;
}

static void keep_rests(plan_bound *b, int k, int measure, int j, const int32_t *out,
                       int32_t *best)
{
    const ptrdiff_t row = ((ptrdiff_t)k * PLAN_MEASURES + measure) * b->cells;
    for (int c = 0; c < b->cells; c++) {
        const int32_t x = out[c] < PLAN_INF ? out[c] : PLAN_INF;
        b->before[(row + c) * b->p->n + j] = x;
        best[row + c] = x < best[row + c] ? x : best[row + c];
    }
}

/* The cheapest way on from option j by what must at least be removed right after each
 * option, everything else allowed. */
static void chain_from(plan_bound *b, int j)
{
    const plan_problem *p = b->p;
    const bool is_end = p->size_class[j] == b->size_class;
    for (int k = 0; k < LEV_PLAN_GOALS; k++) {
        int32_t *chain = b->chain + (ptrdiff_t)k * p->n;
        chain[j] = is_end ? 0 : PLAN_INF;
        for (int i = p->class_end[p->size_class[j]]; !is_end && i < b->end; i++) {
            const int least = plan_arc(p, j, i);
            if (!p->usable[i] || least == LEV_PLAN_ARC_BARRED ||
                (p->size_class[i] == b->size_class && !plan_is_last_of(b, i)))
                continue;
            const int32_t price =
                cost_of(b, i, k, least > p->min_level[i] ? least : p->min_level[i]);
            if (price < PLAN_INF && price + chain[i] < chain[j])
                chain[j] = price + chain[i];
        }
    }
}

static void take_option(plan_bound *b, int j, int32_t *best)
{
    int plain[PLAN_FINE_CELLS], mark[PLAN_FINE_CELLS][PLAN_FINE_CELLS];
    int32_t rest[PLAN_FINE_CELLS], out[PLAN_FINE_CELLS];
    const plan_cells own = own_cells(b, j);
    chain_from(b, j);
    for (int i = 0; i < PLAN_MEASURES; i++) {
        const bool is_mark = i == PLAN_MARK;
        if (i >= PLAN_MARK && b->p->marks == 0)
            continue;
        if (is_mark)
            mark_levels(b, j, mark);
        else
            plain_levels(b, i, j, plain);
        for (int k = 0; k < LEV_PLAN_GOALS; k++) {
            rest_after(b, k, i, j, own, rest);
            if (is_mark)
                mark_step(b, k, j, mark, rest, out);
            else
                plain_step(b, k, j, plain, rest, out);
            keep_rests(b, k, i, j, out, best);
        }
    }
}

/* From the last options up: what may follow each class. */
static void find_paces(plan_bound *b)
{
    const plan_problem *p = b->p;
    const double never = 1e12; /* levels: no option gains anything */
    plan_pace pace = {{never, never}, never};
    for (int c = b->size_class; c >= -1; c--) {
        b->pace[c + 1] = pace;
        const int from = c > 0 ? p->class_end[c - 1] : 0;
        for (int j = from; c >= 0 && j < p->class_end[c]; j++) {
            if (!p->usable[j] || (c == b->size_class && !plan_is_last_of(b, j)))
                continue;
            for (int k = 0; k < 2; k++)
                if (p->gather[k][j] > 0)
                    pace.levels_per_need[k] =
                        fmin(pace.levels_per_need[k], 1.0 / p->gather[k][j]);
            pace.rho_levels =
                fmin(pace.rho_levels, p->t->option[j].rho_um / p->t->unit_um);
        }
    }
}

/* From class `from` up to the first step; `best` is the rest after that class. */
static void fill_from(plan_bound *b, int from, int32_t *best)
{
    const plan_problem *p = b->p;
    const int block = LEV_PLAN_GOALS * PLAN_MEASURES * b->cells;
    for (int c = from; c >= -1; c--) {
        memcpy(after_row(b, c, 0, 0), best, (size_t)block * sizeof *best);
        const int first = c > 0 ? p->class_end[c - 1] : 0;
        for (int j = first; c >= 0 && j < p->class_end[c]; j++)
            if (p->usable[j] && (c < b->size_class || plan_is_last_of(b, j)))
                take_option(b, j, best);
    }
}

static void fill(plan_bound *b)
{
    int32_t best[BLOCK_MOST];
    const int block = LEV_PLAN_GOALS * PLAN_MEASURES * b->cells;
    for (int i = 0; i < block; i++)
        best[i] = i / b->cells % PLAN_MEASURES >= PLAN_MARK && b->p->marks == 0
                      ? 0
                      : PLAN_INF;
    fill_from(b, b->size_class, best);
}

void plan_bound_bar(plan_bound *b, int size_class)
{
    int32_t best[BLOCK_MOST];
    const int block = LEV_PLAN_GOALS * PLAN_MEASURES * b->cells;
    /* also where the class is no step of these ladders: one barred before is back */
    const int from = size_class < b->size_class ? size_class : b->size_class;
    memcpy(best, after_row(b, from, 0, 0), (size_t)block * sizeof *best);
    find_paces(b);
    fill_from(b, from, best);
}

lev_status plan_bound_init(plan_bound *b, const plan_problem *p, int size_class,
                           int cells, lev_error *err)
{
    lev_status st = LEV_OK;
    *b = (plan_bound){.p = p,
                      .size_class = size_class,
                      .end = p->class_end[size_class],
                      .cells = cells};
    const size_t block = (size_t)LEV_PLAN_GOALS * PLAN_MEASURES * (size_t)cells;
    LEV_TRY(lev_mem_new((size_t)(size_class + 2) * block, sizeof(int32_t),
                        (void **)&b->after, err));
    LEV_TRY(
        lev_mem_new(block * (size_t)p->n, sizeof(int32_t), (void **)&b->before, err));
    LEV_TRY(
        lev_mem_new((size_t)size_class + 2, sizeof *b->pace, (void **)&b->pace, err));
    LEV_TRY(lev_mem_new((size_t)LEV_PLAN_GOALS * (size_t)p->n, sizeof(int32_t),
                        (void **)&b->chain, err));
    choose_cells(b);
    find_paces(b);
    fill(b);
out:
    return st;
}

void plan_bound_release(plan_bound *b)
{
    if (b == NULL)
        return;
    lev_mem_free(b->after);
    lev_mem_free(b->before);
    lev_mem_free(b->pace);
    lev_mem_free(b->chain);
    *b = (plan_bound){0};
}
