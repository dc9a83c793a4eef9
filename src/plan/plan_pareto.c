/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The exact front of time, money, removal and steps. It is seeded with the optimum of
 * each goal; after that a label survives only while no vector found covers the bound of
 * all ladders through it, so what is left at the end is the whole front. */
#include <stdlib.h>
#include <string.h>

#include "levigate/note.h"
#include "mem.h"
#include "plan_search.h"

enum {
    SAMPLE_PARTS = 3,    /* of the way from least removal to least time */
    SAMPLE_LABELS = 2500 /* a point that takes longer to prove is left out */
};

bool plan_vectors_cover(const plan_vectors *v, const int32_t *cost)
{
    for (ptrdiff_t i = 0; i < v->n; i++)
        if (plan_covers(v->cost[i], cost))
            return true;
    return false;
}

static lev_status make_room(plan_vectors *v, lev_error *err)
{
    lev_status st = LEV_OK;
    if (v->n < v->cap)
        return LEV_OK;
    const ptrdiff_t cap = v->cap > 0 ? 2 * v->cap : 32;
    LEV_TRY(lev_mem_grow((void **)&v->cost, (size_t)v->cap, (size_t)cap,
                         sizeof *v->cost, err));
    LEV_TRY(lev_mem_grow((void **)&v->ladder, (size_t)v->cap, (size_t)cap,
                         sizeof *v->ladder, err));
    v->cap = cap;
out:
    return st;
}

lev_status plan_vectors_add(plan_vectors *v, const int32_t *cost,
                            const lev_plan_ladder *ladder, lev_error *err)
{
    lev_status st = LEV_OK;
    if (plan_vectors_cover(v, cost))
        return LEV_OK;
    LEV_TRY(make_room(v, err));
    ptrdiff_t kept = 0;
    for (ptrdiff_t i = 0; i < v->n; i++) {
        if (plan_covers(cost, v->cost[i]))
            continue;
        if (kept != i) {
            memcpy(v->cost[kept], v->cost[i], sizeof *v->cost);
            v->ladder[kept] = v->ladder[i];
        }
        kept++;
    }
    memcpy(v->cost[kept], cost, sizeof *v->cost);
    v->ladder[kept] = *ladder;
    v->n = kept + 1;
out:
    return st;
}

void plan_vectors_release(plan_vectors *v)
{
    lev_mem_free(v->cost);
    lev_mem_free(v->ladder);
    *v = (plan_vectors){0};
}

static int by_figures(const void *a, const void *b)
{
    const lev_plan_ladder *x = a, *y = b;
    const double fx[] = {x->time_s, x->money, x->remove_um, x->n};
    const double fy[] = {y->time_s, y->money, y->remove_um, y->n};
    for (int k = 0; k < 4; k++)
        if (fx[k] < fy[k] || fx[k] > fy[k])
            return fx[k] < fy[k] ? -1 : 1;
    return 0;
}

void plan_vectors_take(plan_vectors *v, lev_plan_front *out)
{
    if (v->n > 0)
        qsort(v->ladder, (size_t)v->n, sizeof *v->ladder, by_figures);
    out->n = v->n;
    out->ladder = v->ladder;
    v->ladder = NULL;
    plan_vectors_release(v);
}

static lev_status add_known(const plan_solver *v, plan_vectors *found, lev_error *err)
{
    lev_status st = LEV_OK;
    for (int i = 0; i < v->known; i++)
        LEV_TRY(plan_vectors_add(found, v->cost[i], v->ladder + i, err));
out:
    return st;
}

lev_status plan_solver_front(plan_solver *v, lev_plan_front *out, lev_error *err)
{
    lev_status st = LEV_OK;
    plan_vectors found = {0};
    plan_search *s = &v->s;
    LEV_TRY(add_known(v, &found, err));
    s->goal = PLAN_FRONT;
    s->front = &found;
    s->with_budget = v->p.budget < INT64_MAX;
    s->cut = false;
    LEV_TRY(plan_search_all(s, &v->g, err));
    *out = (lev_plan_front){.notes = s->cut ? LEV_NOTE_NOT_EXACT : 0};
    plan_vectors_take(&found, out);
out:
    s->front = NULL;
    plan_vectors_release(&found);
    return st;
}

/* The least time under caps: a ladder that beat it in every figure would keep the caps
 * too, so it is on the front. */
static lev_status add_capped(plan_solver *v, int32_t levels, int32_t steps,
                             plan_vectors *found, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_plan_ladder ladder;
    const ptrdiff_t most = v->s.most;
    v->s.most = most < SAMPLE_LABELS ? most : SAMPLE_LABELS;
    const lev_status solved =
        plan_solver_solve(v, LEV_PLAN_TIME, levels, steps, &ladder, err);
    v->s.most = most;
    LEV_TRY(solved);
    if (ladder.n > 0 && (ladder.notes & LEV_NOTE_NOT_EXACT) == 0)
        LEV_TRY(plan_vectors_add(found, v->s.best, &ladder, err));
out:
    return st;
}

static void widest(const plan_solver *v, int k, int32_t *least, int32_t *most)
{
    *least = PLAN_INF;
    *most = 0;
    for (int i = 0; i < v->known; i++) {
        *least = v->cost[i][k] < *least ? v->cost[i][k] : *least;
        *most = v->cost[i][k] > *most ? v->cost[i][k] : *most;
    }
}

lev_status plan_solver_sample(plan_solver *v, lev_plan_front *out, lev_error *err)
{
    lev_status st = LEV_OK;
    plan_vectors found = {0};
    int32_t low = 0, high = 0;
    LEV_TRY(add_known(v, &found, err));
    widest(v, LEV_PLAN_FEWEST, &low, &high);
    for (int32_t steps = low + 1; steps < high; steps++)
        LEV_TRY(add_capped(v, PLAN_INF, steps, &found, err));
    widest(v, LEV_PLAN_REMOVAL, &low, &high);
    for (int part = 1; part < SAMPLE_PARTS && high - low >= SAMPLE_PARTS; part++)
        LEV_TRY(add_capped(v, low + (high - low) * part / SAMPLE_PARTS, PLAN_INF,
                           &found, err));
    *out = (lev_plan_front){.notes = LEV_NOTE_NOT_EXACT};
    plan_vectors_take(&found, out);
out:
    plan_vectors_release(&found);
    return st;
}

lev_status lev_plan_pareto(const lev_plan_table *t, const lev_plan_limits *limits,
                           lev_plan_front *out, lev_error *err)
{
    lev_status st = LEV_OK;
    plan_solver v = {0};
    LEV_TRY(plan_solver_init(&v, t, limits, err));
    for (int goal = 0; goal < LEV_PLAN_GOALS; goal++) {
        lev_plan_ladder ladder;
        LEV_TRY(plan_solver_solve(&v, goal, PLAN_INF, PLAN_INF, &ladder, err));
    }
    /* a goal cut short only seeds worse: a front searched whole is whole */
    LEV_TRY(plan_solver_front(&v, out, err));
out:
    plan_solver_release(&v);
    return st;
}

void lev_plan_front_release(lev_plan_front *front)
{
    if (front == NULL)
        return;
    lev_mem_free(front->ladder);
    *front = (lev_plan_front){0};
}
