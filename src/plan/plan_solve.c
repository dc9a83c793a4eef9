/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The driver: a greedy first ladder for every last option, then the full search; the
 * budget as a rule only where it binds. */
#include "plan_search.h"

#include <string.h>

#include "levigate/note.h"
#include "mem.h"

static bool has_last(const plan_problem *p, int size_class)
{
    for (int l = 0; l < p->n; l++)
        if (p->size_class[l] == size_class && p->usable[l] && p->t->last[l].allowed)
            return true;
    return false;
}

/* Labels after which finer bounds cost less than going on. */
enum { PATIENCE = 3000 };

lev_status plan_groups_init(plan_groups *g, const plan_problem *p, int cells,
                            lev_error *err)
{
    lev_status st = LEV_OK;
    *g = (plan_groups){0};
    LEV_TRY(lev_mem_new((size_t)p->classes, sizeof *g->bound, (void **)&g->bound, err));
    for (int c = 0; c < p->classes; c++)
        if (has_last(p, c)) {
            g->n++; /* counted first: released also when half built */
            LEV_TRY(plan_bound_init(g->bound + g->n - 1, p, c, cells, err));
        }
out:
    return st;
}

void plan_groups_release(plan_groups *g)
{
    if (g == NULL)
        return;
    for (int i = 0; i < g->n; i++)
        plan_bound_release(g->bound + i);
    lev_mem_free(g->bound);
    *g = (plan_groups){0};
}

static bool keeps_budget(const plan_search *s)
{
    int64_t used = 0;
    for (int k = 0; k < s->ladder.n; k++)
        used += (int64_t)s->p->edge[s->ladder.move[k].option] * s->ladder.move[k].level;
    return used <= s->p->budget;
}

/* The levels that the budget allows where every depth is charged alike; -1: not so. */
static int32_t levels_of_budget(const plan_problem *p)
{
    for (int j = 1; j < p->n; j++)
        if (p->edge[j] != p->edge[0])
            return -1;
    const int64_t levels = p->budget / p->edge[0];
    return levels < PLAN_INF ? (int32_t)levels : PLAN_INF;
}

/* A ladder known from an earlier question is a figure to beat when it keeps the caps.
 */
static void recall(plan_solver *v, int goal)
{
    plan_search *s = &v->s;
    for (int i = 0; i < v->known; i++) {
        const int32_t *cost = v->cost[i];
        if (cost[LEV_PLAN_REMOVAL] > s->ceiling[LEV_PLAN_REMOVAL] ||
            cost[LEV_PLAN_FEWEST] > s->ceiling[LEV_PLAN_FEWEST] ||
            (s->found && plan_compare((lev_plan_goal)goal, cost, s->best) >= 0))
            continue;
        s->found = true;
        s->ladder = v->ladder[i];
        memcpy(s->best, cost, sizeof s->best);
    }
}

static void remember(plan_solver *v)
{
    const plan_search *s = &v->s;
    if (!s->found || v->known > LEV_PLAN_GOALS)
        return;
    v->ladder[v->known] = s->ladder;
    memcpy(v->cost[v->known], s->best, sizeof s->best);
    v->known++;
}

/* A figure to beat from every last option, then the whole search; where that grows
 * long, once more with finer bounds, which stay for later questions. */
static lev_status dive_then_search(plan_solver *v, lev_error *err)
{
    lev_status st = LEV_OK;
    plan_search *s = &v->s;
    for (int i = 0; i < v->g.n; i++)
        for (int l = 0; l < v->g.bound[i].end; l++)
            if (plan_is_last_of(v->g.bound + i, l))
                LEV_TRY(plan_dive(s, v->g.bound + i, l, err));
    s->pause = v->fine ? 0 : PATIENCE;
    st = plan_search_all(s, &v->g, err);
    s->pause = 0; /* for this question only */
    LEV_TRY(st);
    if (s->paused) {
        plan_groups_release(&v->g);
        LEV_TRY(plan_groups_init(&v->g, &v->p, PLAN_FINE_CELLS, err));
        v->fine = true;
        LEV_TRY(plan_search_all(s, &v->g, err));
    }
out:
    return st;
}

/* The budget is a rule of the search only where it binds: without it the optimum is no
 * dearer, so if that one keeps it, it is the answer. */
static lev_status search_goal(plan_solver *v, int goal, lev_error *err)
{
    lev_status st = LEV_OK;
    plan_search *s = &v->s;
    s->goal = goal;
    s->found = false;
    s->with_budget = false;
    recall(v, goal);
    LEV_TRY(dive_then_search(v, err));
    if (s->found && !keeps_budget(s)) {
        s->found = false;
        s->with_budget = true;
        recall(v, goal);
        LEV_TRY(dive_then_search(v, err));
    }
out:
    return st;
}

/* Removal and steps tie too often for one search: first the least figure alone, then
 * the least time with that figure as a cap, which ends in the same vector. */
static lev_status search_figure_then_time(plan_solver *v, int goal, lev_error *err)
{
    lev_status st = LEV_OK;
    plan_search *s = &v->s;
    s->figure_only = true;
    LEV_TRY(search_goal(v, goal, err));
    s->figure_only = false;
    if (!s->found)
        goto out;
    remember(v);
    s->ceiling[goal] = s->best[goal];
    LEV_TRY(search_goal(v, LEV_PLAN_TIME, err));
    v->known--;
out:
    s->figure_only = false;
    return st;
}

lev_status plan_solver_solve(plan_solver *v, int goal, int32_t levels, int32_t steps,
                             lev_plan_ladder *out, lev_error *err)
{
    lev_status st = LEV_OK;
    plan_search *s = &v->s;
    const int32_t most = levels_of_budget(&v->p);
    s->cut = false;
    s->ceiling[LEV_PLAN_REMOVAL] = most >= 0 && most < levels ? most : levels;
    s->ceiling[LEV_PLAN_FEWEST] = steps;
    if (goal == LEV_PLAN_REMOVAL || goal == LEV_PLAN_FEWEST)
        LEV_TRY(search_figure_then_time(v, goal, err));
    else
        LEV_TRY(search_goal(v, goal, err));
    if (v->known < LEV_PLAN_GOALS)
        remember(v);
    *out = s->found ? s->ladder : (lev_plan_ladder){0};
    out->notes = s->cut ? LEV_NOTE_NOT_EXACT : 0;
out:
    s->ceiling[LEV_PLAN_REMOVAL] = s->ceiling[LEV_PLAN_FEWEST] = PLAN_INF;
    return st;
}

lev_status plan_solver_init(plan_solver *v, const lev_plan_table *t,
                            const lev_plan_limits *limits, lev_error *err)
{
    lev_status st = LEV_OK;
    *v = (plan_solver){0};
    LEV_TRY(plan_problem_init(&v->p, t, err));
    plan_problem_prune(&v->p);
    LEV_TRY(lev_mem_new((size_t)t->n, 1, (void **)&v->usable, err));
    memcpy(v->usable, v->p.usable, (size_t)t->n);
    v->barred = -1;
    LEV_TRY(plan_groups_init(&v->g, &v->p, PLAN_CELLS, err));
    LEV_TRY(plan_search_init(&v->s, &v->p, limits, err));
out:
    return st;
}

void plan_solver_release(plan_solver *v)
{
    if (v == NULL)
        return;
    plan_search_release(&v->s);
    plan_groups_release(&v->g);
    lev_mem_free(v->usable);
    plan_problem_release(&v->p);
    *v = (plan_solver){0};
}

/* The bounds would stay true without these options, but too loose to be of use. */
lev_status plan_solver_bar(plan_solver *v, int size_class, lev_error *err)
{
    memcpy(v->p.usable, v->usable, (size_t)v->p.n);
    const bool is_end = has_last(&v->p, size_class);
    v->known = 0;
    for (int j = 0; j < v->p.n; j++)
        if (v->p.size_class[j] == size_class)
            v->p.usable[j] = 0;
    if (v->fine || size_class <= v->barred) { /* too slow, or spoilt by the last one */
        plan_groups_release(&v->g);
        v->fine = false;
        /* the group of its own last options is gone: these serve no other class */
        v->barred = is_end ? v->p.classes : size_class;
        return plan_groups_init(&v->g, &v->p, PLAN_CELLS, err);
    }
    v->barred = size_class;
    for (int i = 0; i < v->g.n; i++)
        plan_bound_bar(v->g.bound + i, size_class);
    return LEV_OK;
}

static lev_status solve_goals(const lev_plan_table *t, const lev_plan_limits *limits,
                              int first, int end, lev_plan_ladder *out, lev_error *err)
{
    lev_status st = LEV_OK;
    plan_solver v = {0};
    LEV_TRY(plan_solver_init(&v, t, limits, err));
    for (int goal = first; goal < end; goal++)
        LEV_TRY(
            plan_solver_solve(&v, goal, PLAN_INF, PLAN_INF, out + goal - first, err));
out:
    plan_solver_release(&v);
    return st;
}

lev_status lev_plan_solve(const lev_plan_table *t, lev_plan_goal goal,
                          const lev_plan_limits *limits, lev_plan_ladder *out,
                          lev_error *err)
{
    lev_plan_ladder ladder = {0};
    const lev_status st =
        solve_goals(t, limits, (int)goal, (int)goal + 1, &ladder, err);
    if (st >= 0)
        *out = ladder;
    return st;
}

lev_status lev_plan_solve_all(const lev_plan_table *t, const lev_plan_limits *limits,
                              lev_plan_ladder out[LEV_PLAN_GOALS], lev_error *err)
{
    lev_plan_ladder ladder[LEV_PLAN_GOALS] = {{0}};
    const lev_status st = solve_goals(t, limits, 0, LEV_PLAN_GOALS, ladder, err);
    if (st >= 0)
        memcpy(out, ladder, sizeof ladder);
    return st;
}
