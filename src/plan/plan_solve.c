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

lev_status plan_groups_init(plan_groups *g, const plan_problem *p, lev_error *err)
{
    lev_status st = LEV_OK;
    *g = (plan_groups){0};
    LEV_TRY(lev_mem_new((size_t)p->classes, sizeof *g->bound, (void **)&g->bound, err));
    for (int c = 0; c < p->classes; c++)
        if (has_last(p, c)) {
            g->n++; /* counted first: released also when half built */
            LEV_TRY(plan_bound_init(g->bound + g->n - 1, p, c, err));
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

/* A figure to beat from every last option, then the whole search. */
static lev_status dive_then_search(plan_search *s, const plan_groups *g, lev_error *err)
{
    lev_status st = LEV_OK;
    for (int i = 0; i < g->n; i++)
        for (int l = 0; l < g->bound[i].end; l++)
            if (plan_is_last_of(g->bound + i, l))
                LEV_TRY(plan_dive(s, g->bound + i, l, err));
    LEV_TRY(plan_search_all(s, g, err));
out:
    return st;
}

static bool keeps_budget(const plan_search *s)
{
    int64_t used = 0;
    for (int k = 0; k < s->ladder.n; k++)
        used += (int64_t)s->p->edge[s->ladder.move[k].option] * s->ladder.move[k].level;
    return used <= s->p->budget;
}

static bool edges_are_equal(const plan_problem *p)
{
    for (int j = 1; j < p->n; j++)
        if (p->edge[j] != p->edge[0])
            return false;
    return true;
}

static lev_status search_freely(plan_search *s, const plan_groups *g, int goal,
                                lev_error *err)
{
    s->goal = goal;
    s->found = false;
    s->with_budget = false;
    return dive_then_search(s, g, err);
}

/* The optimum without the budget breaks it. Where every depth is charged alike, the
 * ladder of least removal says whether any ladder keeps it, and is a figure to beat. */
static lev_status search_within_budget(plan_search *s, const plan_groups *g, int goal,
                                       lev_error *err)
{
    lev_status st = LEV_OK;
    s->found = false;
    if (edges_are_equal(s->p)) {
        LEV_TRY(search_freely(s, g, LEV_PLAN_REMOVAL, err));
        s->found = s->found && keeps_budget(s);
        if (!s->found || goal == LEV_PLAN_REMOVAL)
            goto out;
    }
    s->goal = goal;
    s->with_budget = true;
    LEV_TRY(dive_then_search(s, g, err));
out:
    return st;
}

lev_status plan_solve_groups(plan_search *s, const plan_groups *g, int goal,
                             lev_plan_ladder *out, lev_error *err)
{
    lev_status st = LEV_OK;
    s->cut = false;
    LEV_TRY(search_freely(s, g, goal, err));
    /* Without the rule the optimum is no dearer: if it keeps the rule it is the answer.
     */
    if (s->found && !keeps_budget(s))
        LEV_TRY(search_within_budget(s, g, goal, err));
    *out = s->found ? s->ladder : (lev_plan_ladder){0};
    out->notes = s->cut ? LEV_NOTE_NOT_EXACT : 0;
out:
    return st;
}

static lev_status solve_goals(const lev_plan_table *t, const lev_plan_limits *limits,
                              int first, int end, lev_plan_ladder *out, lev_error *err)
{
    lev_status st = LEV_OK;
    plan_problem p = {0};
    plan_groups g = {0};
    plan_search s = {0};
    LEV_TRY(plan_problem_init(&p, t, err));
    plan_problem_prune(&p);
    LEV_TRY(plan_groups_init(&g, &p, err));
    LEV_TRY(plan_search_init(&s, &p, limits, err));
    for (int goal = first; goal < end; goal++)
        LEV_TRY(plan_solve_groups(&s, &g, goal, out + goal - first, err));
out:
    plan_search_release(&s);
    plan_groups_release(&g);
    plan_problem_release(&p);
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
