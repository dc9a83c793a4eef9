/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A first ladder: always the next option whose bound is least, at the level whose price
 * and bound together are least. The bounds are close, so the ladder is good; the search
 * that follows owes it nothing but an upper limit. */
#include "plan_search.h"

/* A figure and what breaks its ties, as one number. */
static int64_t key(int32_t first, int32_t second)
{
    return first * ((int64_t)4 * PLAN_INF) + second;
}

/* The next option by its bound; -1 when none leads on. */
static int next_option(const plan_search *s, const plan_state *x, int i, int l)
{
    const plan_problem *p = s->p;
    const plan_cells at = plan_bound_cells(s->b, x);
    const int begin = i >= 0 ? p->class_end[p->size_class[i]] : 0;
    const int end = p->size_class[l] > 0 ? p->class_end[p->size_class[l] - 1] : 0;
    int best = -1;
    int64_t least = key(PLAN_INF, 0);
    for (int j = begin; j < end; j++) {
        if (!p->usable[j] || plan_arc(p, i, j) == LEV_PLAN_ARC_BARRED)
            continue;
        const int64_t rest = key(plan_bound_before(s->b, j, s->goal, at),
                                 plan_bound_before(s->b, j, plan_second(s->goal), at));
        if (rest < least) {
            least = rest;
            best = j;
        }
    }
    return best;
}

/* The state after the best level of option j; its level, 0 when none is possible. */
static int best_level(const plan_search *s, const plan_state *from, int i, int j, int l,
                      plan_state *out)
{
    const plan_problem *p = s->p;
    int best = 0;
    const int second = plan_second(s->goal);
    int64_t least = key(PLAN_INF, 0);
    for (int m = plan_arc(p, i, j); m <= p->levels; m++) {
        plan_state x;
        if (!plan_advance(p, l, j, m, from, &x) || key(x.cost[s->goal], 0) >= least)
            break;
        const plan_cells at = plan_bound_cells(s->b, &x);
        const int64_t all =
            key(x.cost[s->goal] + plan_bound_after(s->b, j, s->goal, at),
                x.cost[second] + plan_bound_after(s->b, j, second, at));
        if (all < least) {
            least = all;
            best = m;
            *out = x;
        }
    }
    return best;
}

static lev_status try_to_close(plan_search *s, const plan_state *x, int i, int l,
                               const lev_plan_ladder *so_far, lev_error *err)
{
    plan_state end;
    const int least = plan_arc(s->p, i, l);
    if (least == LEV_PLAN_ARC_BARRED)
        return LEV_OK;
    const int level = plan_closing_level(s->p, l, least, x);
    if (level == 0 || !plan_advance(s->p, l, l, level, x, &end) ||
        !plan_search_wants(s, &end))
        return LEV_OK;
    lev_plan_ladder ladder = *so_far;
    ladder.move[ladder.n++] = (lev_plan_move){l, level};
    return plan_search_offer(s, &end, &ladder, err);
}

lev_status plan_dive(plan_search *s, const plan_bound *b, int l, lev_error *err)
{
    lev_status st = LEV_OK;
    plan_state x = plan_begin(s->p, l);
    lev_plan_ladder ladder = {0};
    int i = -1;
    s->b = b;
    for (;;) {
        LEV_TRY(try_to_close(s, &x, i, l, &ladder, err));
        const int j = next_option(s, &x, i, l);
        if (j < 0)
            break;
        const plan_state from = x;
        const int level = best_level(s, &from, i, j, l, &x);
        if (level == 0 || (s->found && x.cost[s->goal] >= s->best[s->goal]))
            break;
        ladder.move[ladder.n++] = (lev_plan_move){j, level};
        i = j;
    }
out:
    return st;
}
