/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading a table into whole numbers. Every rounding goes against the ladder (needs,
 * costs and amplitudes up, gathered measures down), so what holds here holds in the
 * table as written. */
#include "plan_table.h"

#include <math.h>
#include <string.h>

#include "mem.h"
#include "num.h"
#include "units.h"

static const unsigned char COMPARE_ORDER[LEV_PLAN_GOALS][LEV_PLAN_GOALS] = {
    {0, 1, 2, 3},
    {1, 0, 2, 3},
    {2, 0, 1, 3},
    {3, 0, 1, 2},
};

int plan_compare(lev_plan_goal goal, const int32_t *a, const int32_t *b)
{
    for (int k = 0; k < LEV_PLAN_GOALS; k++) {
        const int i = COMPARE_ORDER[goal][k];
        if (a[i] != b[i])
            return a[i] < b[i] ? -1 : 1;
    }
    return 0;
}

static int32_t up(double x, double one, int32_t most)
{
    const double y = ceil(x * one - 1e-9);
    return y < (double)most ? (y > 0.0 ? (int32_t)y : 0) : most;
}

static int32_t down(double x, double one, int32_t most)
{
    const double y = floor(x * one + 1e-9);
    return y < (double)most ? (int32_t)y : most;
}

static lev_status check_option(const lev_plan_table *t, int j, lev_error *err)
{
    const lev_plan_option *o = t->option + j;
    if (!(o->short_per_level >= 0.0) || !(o->long_per_level >= 0.0))
        return lev_fail(err, LEV_E_RANGE, "option %d gathers less than nothing", j);
    if (!(o->rho_um > 0.0))
        return lev_fail(err, LEV_E_RANGE, "rho of option %d is %g um, not positive", j,
                        o->rho_um);
    if (!(o->edge >= 1.0) && !(o->edge >= 0.0 && o->edge <= 0.0))
        return lev_fail(err, LEV_E_RANGE, "edge factor of option %d is below 1", j);
    if (o->min_level < 0 || o->min_level > t->levels)
        return lev_fail(err, LEV_E_RANGE, "least level of option %d is not 1 to %d", j,
                        t->levels);
    if (isnan(o->order) || (j > 0 && o->order > o[-1].order))
        return lev_fail(err, LEV_E_RANGE, "order rises at option %d", j);
    return LEV_OK;
}

static lev_status check_costs(const lev_plan_table *t, int j, lev_error *err)
{
    const double *rows[2] = {t->time_s + (ptrdiff_t)j * t->levels,
                             t->money + (ptrdiff_t)j * t->levels};
    for (int k = 0; k < 2; k++) {
        double before = 0.0;
        for (int m = 0; m < t->levels; m++) {
            if (!(rows[k][m] >= before))
                return lev_fail(err, LEV_E_RANGE, "%s of option %d falls at level %d",
                                k == 0 ? "time" : "money", j, m + 1);
            before = rows[k][m];
        }
    }
    return LEV_OK;
}

static lev_status check_table(const lev_plan_table *t, lev_error *err)
{
    lev_status st = LEV_OK;
    if (t->n < 1 || t->n > LEV_PLAN_OPTIONS)
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "%d options; 1 to %d are allowed", t->n,
                         LEV_PLAN_OPTIONS));
    if (t->levels < 1 || t->levels > LEV_PLAN_LEVELS)
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "%d levels; 1 to %d are allowed", t->levels,
                         LEV_PLAN_LEVELS));
    if (!(t->unit_um > 0.0) || !(t->budget_um >= 0.0))
        LEV_TRY(lev_fail(err, LEV_E_RANGE,
                         "unit %g um or budget %g um is not a positive depth",
                         t->unit_um, t->budget_um));
    if (t->marks < 0 || t->marks > LEV_PLAN_MARKS || t->mark_grid < 0 ||
        t->mark_grid == 1 || t->mark_grid > LEV_PLAN_MARK_GRID)
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "%d kinds of mark on a grid of %d", t->marks,
                         t->mark_grid));
    for (int q = 0; q < t->marks; q++)
        if (!(t->mark[q].amplitude_um > 0.0) || !(t->mark[q].tail >= 0.0) ||
            !(t->mark[q].share >= 0.0) || !(t->mark[q].share + t->mark[q].tail > 0.0))
            LEV_TRY(lev_fail(err, LEV_E_RANGE,
                             "mark %d does not fall from a positive amplitude", q));
    for (int j = 0; j < t->n; j++) {
        LEV_TRY(check_option(t, j, err));
        LEV_TRY(check_costs(t, j, err));
        if (t->last[j].allowed && !(t->last[j].mark_end_um > 0.0))
            LEV_TRY(lev_fail(err, LEV_E_RANGE,
                             "amplitude left under last option %d is not positive", j));
    }
out:
    return st;
}

static lev_status new_ints(int32_t **p, size_t rows, size_t columns, lev_error *err)
{
    size_t n = 0;
    lev_status st = LEV_OK;
    LEV_TRY(lev_mul_size(rows, columns, &n, err));
    LEV_TRY(lev_mem_new(n, sizeof(int32_t), (void **)p, err));
out:
    return st;
}

static lev_status allocate(plan_problem *p, lev_error *err)
{
    lev_status st = LEV_OK;
    const size_t n = (size_t)p->n;
    for (int k = 0; k < 2; k++) {
        LEV_TRY(new_ints(&p->cost[k], n, (size_t)p->levels, err));
        LEV_TRY(new_ints(&p->gather[k], n, 1, err));
        LEV_TRY(new_ints(&p->need[k], n, n, err));
        LEV_TRY(new_ints(&p->start[k], n, 1, err));
    }
    LEV_TRY(new_ints(&p->edge, n, 1, err));
    LEV_TRY(new_ints(&p->min_level, n, 1, err));
    LEV_TRY(new_ints(&p->size_class, n, 1, err));
    LEV_TRY(new_ints(&p->class_end, n, 1, err));
    LEV_TRY(new_ints(&p->mark_end, n, 1, err));
    LEV_TRY(lev_mem_new(n, 1, (void **)&p->usable, err));
    LEV_TRY(lev_mem_new((size_t)p->grid, sizeof(double), (void **)&p->grid_ln, err));
    LEV_TRY(lev_mem_new((size_t)p->grid, sizeof(double), (void **)&p->grid_um, err));
    LEV_TRY(lev_mem_new((size_t)p->marks * n * (size_t)p->grid, sizeof(double),
                        (void **)&p->pace, err));
out:
    return st;
}

static void read_options(plan_problem *p)
{
    const lev_plan_table *t = p->t;
    for (int j = 0; j < p->n; j++) {
        const lev_plan_option *o = t->option + j;
        p->gather[0][j] = down(o->short_per_level, PLAN_NEED_ONE, PLAN_NEED_MAX);
        p->gather[1][j] = down(o->long_per_level, PLAN_NEED_ONE, PLAN_NEED_MAX);
        p->edge[j] = up(o->edge > 1.0 ? o->edge : 1.0, PLAN_EDGE_ONE, 1 << 18);
        p->min_level[j] = o->min_level > 1 ? o->min_level : 1;
        p->usable[j] = t->barred == NULL || t->barred[j] == 0;
        if (j > 0 && o->order < o[-1].order)
            p->class_end[p->classes++] = j;
        p->size_class[j] = p->classes;
        const ptrdiff_t row = (ptrdiff_t)j * p->levels;
        for (int m = 0; m < p->levels; m++) {
            p->cost[0][row + m] = up(t->time_s[row + m], 1e3, PLAN_INF);
            p->cost[1][row + m] = up(t->money[row + m], PLAN_MONEY_ONE, PLAN_INF);
        }
    }
    p->class_end[p->classes++] = p->n;
}

static void read_lasts(plan_problem *p)
{
    const lev_plan_table *t = p->t;
    for (int l = 0; l < p->n; l++) {
        if (!t->last[l].allowed)
            continue;
        p->start[0][l] = up(t->last[l].start_short, PLAN_NEED_ONE, PLAN_NEED_MAX);
        p->start[1][l] = up(t->last[l].start_long, PLAN_NEED_ONE, PLAN_NEED_MAX);
        const ptrdiff_t row = (ptrdiff_t)l * p->n;
        for (int i = 0; i < l; i++) {
            p->need[0][row + i] =
                up(t->need_short[row + i], PLAN_NEED_ONE, PLAN_NEED_MAX);
            p->need[1][row + i] =
                up(t->need_long[row + i], PLAN_NEED_ONE, PLAN_NEED_MAX);
        }
    }
}

/* Amplitudes in equal ratios from the least that may be left to the largest found. */
static void read_marks(plan_problem *p)
{
    const lev_plan_table *t = p->t;
    double low = INFINITY, high = 0.0;
    for (int q = 0; q < p->marks; q++)
        high = fmax(high, t->mark[q].amplitude_um);
    for (int l = 0; l < p->n; l++)
        if (t->last[l].allowed)
            low = fmin(low, t->last[l].mark_end_um);
    low = fmin(low, high);
    for (int k = 0; k < p->grid; k++) {
        const double x = (double)k / (double)(p->grid - 1);
        p->grid_ln[k] = log(low) + x * (log(high) - log(low));
        p->grid_um[k] = exp(p->grid_ln[k]);
    }
    for (int q = 0; q < p->marks; q++) {
        for (int j = 0; j < p->n; j++)
            for (int k = 0; k < p->grid; k++)
                p->pace[((ptrdiff_t)q * p->n + j) * p->grid + k] =
                    (t->mark[q].share * t->option[j].rho_um * p->grid_ln[k] +
                     t->mark[q].tail * p->grid_um[k]) /
                    t->unit_um;
        int k = 0;
        while (k < p->grid - 1 &&
               p->grid_um[k] < t->mark[q].amplitude_um * (1.0 - 1e-12))
            k++;
        p->mark_start[q] = (uint16_t)k;
    }
    for (int l = 0; l < p->n; l++) {
        int k = 0;
        while (k + 1 < p->grid &&
               p->grid_um[k + 1] <= t->last[l].mark_end_um * (1.0 + 1e-12))
            k++;
        p->mark_end[l] = k;
    }
}

lev_status plan_problem_init(plan_problem *p, const lev_plan_table *t, lev_error *err)
{
    lev_status st = LEV_OK;
    *p = (plan_problem){.t = t, .n = t->n, .levels = t->levels, .marks = t->marks};
    LEV_TRY(check_table(t, err));
    p->grid = t->mark_grid > 0 ? t->mark_grid : LEV_PLAN_MARK_GRID;
    LEV_TRY(allocate(p, err));
    read_options(p);
    if (p->classes > LEV_PLAN_STEPS)
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "%d sizes of option; at most %d", p->classes,
                         LEV_PLAN_STEPS));
    read_lasts(p);
    if (p->marks > 0)
        read_marks(p);
    const double budget = t->budget_um / t->unit_um * PLAN_EDGE_ONE;
    p->budget = budget < 1e15 ? (int64_t)floor(budget + 1e-9) : INT64_MAX;
out:
    return st;
}

void plan_problem_release(plan_problem *p)
{
    if (p == NULL)
        return;
    for (int k = 0; k < 2; k++) {
        lev_mem_free(p->cost[k]);
        lev_mem_free(p->gather[k]);
        lev_mem_free(p->need[k]);
        lev_mem_free(p->start[k]);
    }
    lev_mem_free(p->edge);
    lev_mem_free(p->min_level);
    lev_mem_free(p->size_class);
    lev_mem_free(p->class_end);
    lev_mem_free(p->mark_end);
    lev_mem_free(p->usable);
    lev_mem_free(p->grid_ln);
    lev_mem_free(p->grid_um);
    lev_mem_free(p->pace);
    *p = (plan_problem){0};
}

int plan_arc(const plan_problem *p, int i, int j)
{
    if (p->t->arc == NULL)
        return p->min_level[j];
    const int least = p->t->arc[(ptrdiff_t)(i + 1) * p->n + j];
    return least == LEV_PLAN_ARC_BARRED || least > p->min_level[j] ? least
                                                                   : p->min_level[j];
}

plan_state plan_begin(const plan_problem *p, int l)
{
    plan_state s = {.need = {p->start[0][l], p->start[1][l]}};
    memcpy(s.mark, p->mark_start, sizeof s.mark);
    return s;
}

int plan_mark_after(const plan_problem *p, int q, int j, int mark, int level)
{
    const double *pace = p->pace + ((ptrdiff_t)q * p->n + j) * p->grid;
    const double least = pace[mark] - level * (1.0 + 1e-12);
    int low = 0, high = mark; /* the answer is in low .. high */
    while (low < high) {
        const int k = (low + high) / 2;
        if (pace[k] >= least)
            high = k;
        else
            low = k + 1;
    }
    return high;
}

static int32_t pending(int32_t need, int32_t gather, int level, int32_t own)
{
    const int64_t left = (int64_t)need - (int64_t)gather * level;
    return left > own ? (int32_t)left : own;
}

bool plan_advance(const plan_problem *p, int l, int j, int level, const plan_state *s,
                  plan_state *out)
{
    const ptrdiff_t at = (ptrdiff_t)j * p->levels + level - 1;
    const ptrdiff_t texture = (ptrdiff_t)l * p->n + j;
    *out = *s;
    out->cost[0] += p->cost[0][at];
    out->cost[1] += p->cost[1][at];
    out->cost[2] += level;
    out->cost[3] += 1;
    out->used += p->edge[j] * level;
    if (out->cost[0] >= PLAN_INF || out->cost[1] >= PLAN_INF || out->used >= PLAN_INF)
        return false;
    for (int k = 0; k < 2; k++)
        out->need[k] = pending(s->need[k], p->gather[k][j], level,
                               j == l ? 0 : p->need[k][texture]);
    for (int q = 0; q < p->marks; q++)
        out->mark[q] = (uint16_t)plan_mark_after(p, q, j, s->mark[q], level);
    return true;
}

bool plan_is_clear(const plan_problem *p, int l, const plan_state *s)
{
    for (int q = 0; q < p->marks; q++)
        if (s->mark[q] > p->mark_end[l])
            return false;
    return s->need[0] == 0 && s->need[1] == 0;
}

void plan_ladder_figures(const plan_problem *p, const int32_t *cost,
                         lev_plan_ladder *out)
{
    out->time_s = cost[0] / 1e3;
    out->money = (double)cost[1] / PLAN_MONEY_ONE;
    out->remove_um = cost[2] * p->t->unit_um;
}
