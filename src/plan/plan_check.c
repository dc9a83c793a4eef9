/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two checks of the search. lev_plan_table_check follows one ladder with the table as
 * written, in floating point, and shares nothing with the search. The exhaustive one
 * tries every ladder of a small table; it shares the reading of the table (the problem
 * is the same to the last bit) but no bound, no dominance and no pruning. */
#include <math.h>
#include <string.h>

#include "mem.h"
#include "num.h"
#include "plan_search.h"

/* What is left of an amplitude, by bisection on r(A). */
static double mark_left(double a0, double rho, double tail, double r)
{
    double low = 0.0, high = a0;
    for (int i = 0; i < 200; i++) {
        const double a = 0.5 * (low + high);
        if (a > 0.0 && rho * log(a0 / a) + tail * (a0 - a) <= r)
            high = a;
        else
            low = a;
    }
    return high;
}

static lev_status check_moves(const lev_plan_table *t, const lev_plan_ladder *x,
                              lev_error *err)
{
    for (int k = 0; k < x->n; k++) {
        const int j = x->move[k].option, m = x->move[k].level;
        if (j < 0 || j >= t->n || m < 1 || m > t->levels || m < t->option[j].min_level)
            return lev_fail(err, LEV_E_RANGE, "step %d: no such option or level",
                            k + 1);
        if (t->barred != NULL && t->barred[j])
            return lev_fail(err, LEV_E_RANGE, "step %d uses a barred option", k + 1);
        const int before = k > 0 ? x->move[k - 1].option : -1;
        if (k > 0 && !(t->option[j].order < t->option[before].order))
            return lev_fail(err, LEV_E_RANGE, "step %d does not go finer", k + 1);
        const int least =
            t->arc != NULL ? t->arc[(ptrdiff_t)(before + 1) * t->n + j] : 1;
        if (least == LEV_PLAN_ARC_BARRED || m < least)
            return lev_fail(err, LEV_E_RANGE, "step %d may not follow so", k + 1);
    }
    return LEV_OK;
}

static lev_status check_textures(const lev_plan_table *t, const lev_plan_ladder *x,
                                 lev_error *err)
{
    const int l = x->move[x->n - 1].option;
    double short_after = 0.0, long_after = 0.0;
    if (!t->last[l].allowed)
        return lev_fail(err, LEV_E_RANGE, "the last step misses the target");
    for (int k = x->n - 1; k >= -1; k--) {
        const bool is_start = k < 0;
        double ns = 0.0, nl = 0.0;
        if (is_start) {
            ns = t->last[l].start_short;
            nl = t->last[l].start_long;
        } else if (k < x->n - 1) {
            ns = t->need_short[(ptrdiff_t)l * t->n + x->move[k].option];
            nl = t->need_long[(ptrdiff_t)l * t->n + x->move[k].option];
        }
        if (short_after < ns - 1e-9 || long_after < nl - 1e-9)
            return lev_fail(err, LEV_E_RANGE, "the texture of step %d stays", k + 1);
        if (!is_start) {
            const lev_plan_option *o = t->option + x->move[k].option;
            short_after += o->short_per_level * x->move[k].level;
            long_after += o->long_per_level * x->move[k].level;
        }
    }
    return LEV_OK;
}

static lev_status check_marks(const lev_plan_table *t, const lev_plan_ladder *x,
                              lev_error *err)
{
    const int l = x->move[x->n - 1].option;
    for (int q = 0; q < t->marks; q++) {
        double a = t->mark[q].amplitude_um;
        for (int k = 0; k < x->n; k++)
            a = mark_left(a, t->mark[q].share * t->option[x->move[k].option].rho_um,
                          t->mark[q].tail, x->move[k].level * t->unit_um);
        if (a > t->last[l].mark_end_um * (1.0 + 1e-9))
            return lev_fail(err, LEV_E_RANGE, "start mark %d is left at %g um", q + 1,
                            a);
    }
    return LEV_OK;
}

static lev_status check_figures(const lev_plan_table *t, const lev_plan_ladder *x,
                                lev_error *err)
{
    double time = 0.0, money = 0.0, depth = 0.0, used = 0.0;
    for (int k = 0; k < x->n; k++) {
        const int j = x->move[k].option, m = x->move[k].level;
        const double edge = t->option[j].edge > 1.0 ? t->option[j].edge : 1.0;
        time += t->time_s[(ptrdiff_t)j * t->levels + m - 1];
        money += t->money[(ptrdiff_t)j * t->levels + m - 1];
        depth += m * t->unit_um;
        used += m * t->unit_um * edge;
    }
    if (used > t->budget_um * (1.0 + 1e-9))
        return lev_fail(err, LEV_E_RANGE, "%g um are taken of %g um", used,
                        t->budget_um);
    if (!lev_near(time, x->time_s, 0.0, 1.1e-3 * x->n) ||
        !lev_near(money, x->money, 0.0, 1.1e-2 * x->n) ||
        !lev_near(depth, x->remove_um, 1e-9, 0.0))
        return lev_fail(err, LEV_E_RANGE, "the figures of the ladder do not add up");
    return LEV_OK;
}

lev_status lev_plan_table_check(const lev_plan_table *t, const lev_plan_ladder *ladder,
                                lev_error *err)
{
    lev_status st = LEV_OK;
    if (ladder->n < 1 || ladder->n > LEV_PLAN_STEPS)
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "a ladder of %d steps", ladder->n));
    LEV_TRY(check_moves(t, ladder, err));
    LEV_TRY(check_textures(t, ladder, err));
    LEV_TRY(check_marks(t, ladder, err));
    LEV_TRY(check_figures(t, ladder, err));
out:
    return st;
}

typedef struct brute {
    const plan_problem *p;
    int goal; /* PLAN_FRONT: all */
    int last;
    lev_plan_ladder now, best;
    bool found;
    int32_t cost[LEV_PLAN_GOALS];
    plan_vectors front;
} brute;

static lev_status brute_accept(brute *b, const plan_state *x, lev_error *err)
{
    if (x->used > b->p->budget || !plan_is_clear(b->p, b->last, x))
        return LEV_OK;
    lev_plan_ladder ladder = b->now;
    plan_ladder_figures(b->p, x->cost, &ladder);
    if (b->goal == PLAN_FRONT)
        return plan_vectors_add(&b->front, x->cost, &ladder, err);
    if (b->found && plan_compare((lev_plan_goal)b->goal, x->cost, b->cost) >= 0)
        return LEV_OK;
    b->found = true;
    b->best = ladder;
    memcpy(b->cost, x->cost, sizeof b->cost);
    return LEV_OK;
}

static lev_status brute_from(brute *b, int i, const plan_state *s, lev_error *err)
{
    lev_status st = LEV_OK;
    const plan_problem *p = b->p;
    for (int j = 0; j < p->n; j++) {
        const int least = plan_arc(p, i, j);
        if (!p->usable[j] || least == LEV_PLAN_ARC_BARRED ||
            (i >= 0 && p->size_class[j] <= p->size_class[i]) ||
            (j != b->last && p->size_class[j] >= p->size_class[b->last]))
            continue;
        for (int m = least; m <= p->levels; m++) {
            plan_state x;
            if (!plan_advance(p, b->last, j, m, s, &x))
                break;
            b->now.move[b->now.n++] = (lev_plan_move){j, m};
            if (j == b->last)
                LEV_TRY(brute_accept(b, &x, err));
            else
                LEV_TRY(brute_from(b, j, &x, err));
            b->now.n--;
        }
    }
out:
    return st;
}

static lev_status brute_all(brute *b, const lev_plan_table *t, lev_error *err)
{
    lev_status st = LEV_OK;
    plan_problem p = {0};
    LEV_TRY(plan_problem_init(&p, t, err));
    b->p = &p;
    for (b->last = 0; b->last < p.n; b->last++) {
        if (!t->last[b->last].allowed || !p.usable[b->last])
            continue;
        const plan_state s = plan_begin(&p, b->last);
        LEV_TRY(brute_from(b, -1, &s, err));
    }
out:
    b->p = NULL;
    plan_problem_release(&p);
    return st;
}

lev_status lev_plan_check_brute(const lev_plan_table *t, lev_plan_goal goal,
                                lev_plan_ladder *out, lev_error *err)
{
    brute b = {.goal = (int)goal};
    const lev_status st = brute_all(&b, t, err);
    if (st >= 0)
        *out = b.best;
    return st;
}

lev_status lev_plan_check_brute_pareto(const lev_plan_table *t, lev_plan_front *out,
                                       lev_error *err)
{
    brute b = {.goal = PLAN_FRONT};
    const lev_status st = brute_all(&b, t, err);
    if (st >= 0) {
        *out = (lev_plan_front){0};
        plan_vectors_take(&b.front, out);
    }
    plan_vectors_release(&b.front);
    return st;
}
