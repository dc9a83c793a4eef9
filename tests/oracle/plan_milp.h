/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The planner's table as a mixed integer linear program for GLPK, used by the oracle
 * and by the bench; never by the library.
 *
 * For one last option: a path through nodes (option, amplitude of the start mark on the
 * grid), one binary variable for each way of taking a level from one node to the next.
 * Amplitudes are followed exactly, because the grid is part of the table (plan.h). The
 * textures are side rows: what the finer options gather is at least what an option
 * needs, where it is used. One kind of mark at most. Nothing is shared with the library
 * but the table. */
#ifndef PLAN_MILP_H
#define PLAN_MILP_H

#include <glpk.h>
#include <math.h>
#include <stdlib.h>
#include <time.h>

#include "levigate/plan.h"

enum { MILP_GRID = 64 };

typedef struct milp_arc {
    int from, to, from_mark, to_mark, level; /* from -1: the start; marks on the grid */
} milp_arc;

typedef struct milp {
    const lev_plan_table *t;
    int last, goal, grid, mark_start, mark_end;
    double amplitude[MILP_GRID];
    milp_arc *arc;
    int n, cap;
    glp_prob *lp;
    int *index; /* scratch for one row */
    double *value;
} milp;

static inline int milp_after(const milp *p, int j, int mark, int level)
{
    const double rho = p->t->mark[0].share * p->t->option[j].rho_um;
    const double tail = p->t->mark[0].tail;
    const double a0 = p->amplitude[mark], r = level * p->t->unit_um;
    for (int k = 0; k < mark; k++) {
        const double a = p->amplitude[k];
        if (rho * log(a0 / a) + tail * (a0 - a) <= r * (1.0 + 1e-12))
            return k;
    }
    return mark;
}

static inline void milp_grid(milp *p)
{
    const lev_plan_table *t = p->t;
    p->grid = 1;
    p->mark_start = p->mark_end = 0;
    if (t->marks == 0)
        return;
    double low = t->mark[0].amplitude_um;
    const double high = low;
    for (int l = 0; l < t->n; l++)
        if (t->last[l].allowed)
            low = fmin(low, t->last[l].mark_end_um);
    p->grid = t->mark_grid;
    for (int k = 0; k < p->grid; k++)
        p->amplitude[k] = low * pow(high / low, (double)k / (p->grid - 1));
    p->mark_start = low < high ? p->grid - 1 : 0;
    while (p->mark_end + 1 < p->grid &&
           p->amplitude[p->mark_end + 1] <=
               t->last[p->last].mark_end_um * (1.0 + 1e-12))
        p->mark_end++;
}

static inline void milp_arcs(milp *p)
{
    const lev_plan_table *t = p->t;
    const double order = t->option[p->last].order;
    for (int i = -1; i < t->n; i++)
        for (int j = 0; j < t->n; j++) {
            const int least = t->arc[(i + 1) * t->n + j];
            if (least == 0 || (t->barred != NULL && t->barred[j]) || i == p->last ||
                (i >= 0 && t->option[i].order <= t->option[j].order) ||
                (i >= 0 && t->option[i].order <= order) ||
                (j != p->last && t->option[j].order <= order))
                continue;
            for (int a = 0; a < p->grid; a++) {
                if (i < 0 && a != p->mark_start)
                    continue;
                for (int m = 1; m <= t->levels; m++) {
                    if (m < least || m < t->option[j].min_level ||
                        isinf(t->time_s[j * t->levels + m - 1]) ||
                        isinf(t->money[j * t->levels + m - 1]))
                        continue;
                    const int to = p->grid > 1 ? milp_after(p, j, a, m) : 0;
                    if (j == p->last && to > p->mark_end)
                        continue;
                    if (p->n == p->cap) {
                        p->cap = p->cap > 0 ? 2 * p->cap : 1024;
                        p->arc = realloc(p->arc, (size_t)p->cap * sizeof *p->arc);
                    }
                    p->arc[p->n++] = (milp_arc){i, j, a, j == p->last ? 0 : to, m};
                }
            }
        }
}

static inline double milp_cost(const milp *p, const milp_arc *a)
{
    const ptrdiff_t at = (ptrdiff_t)a->to * p->t->levels + a->level - 1;
    switch (p->goal) {
    case LEV_PLAN_TIME:
        return p->t->time_s[at];
    case LEV_PLAN_MONEY:
        return p->t->money[at];
    case LEV_PLAN_REMOVAL:
        return a->level * p->t->unit_um;
    default:
        return 1.0;
    }
}

/* Add the row kept in p->index, p->value; type as in GLPK. */
static inline void milp_row(milp *p, int n, int type, double bound)
{
    const int row = glp_add_rows(p->lp, 1);
    glp_set_row_bnds(p->lp, row, type, bound, bound);
    glp_set_mat_row(p->lp, row, n, p->index, p->value);
}

static inline void milp_path_rows(milp *p)
{
    const lev_plan_table *t = p->t;
    for (int i = -1; i < t->n; i++)
        for (int a = 0; a < p->grid; a++) {
            int n = 0;
            if (i < 0 && a != p->mark_start)
                continue;
            for (int k = 0; k < p->n; k++) {
                const milp_arc *x = p->arc + k;
                const bool out = x->from == i && x->from_mark == a;
                const bool in = x->to == i && x->to_mark == a;
                if (!out && !in)
                    continue;
                p->index[++n] = k + 1;
                p->value[n] = in ? 1.0 : -1.0;
            }
            const double sink = i < 0 ? -1.0 : i == p->last && a == 0 ? 1.0 : 0.0;
            if (n > 0 || i < 0 || sink > 0.0)
                milp_row(p, n, GLP_FX, sink);
        }
}

static inline void milp_texture_rows(milp *p)
{
    const lev_plan_table *t = p->t;
    for (int which = 0; which < 2; which++)
        for (int i = -1; i < t->n; i++) {
            const lev_plan_last *l = t->last + p->last;
            const double *needs = which == 0 ? t->need_short : t->need_long;
            const double start = which == 0 ? l->start_short : l->start_long;
            int n = 0;
            if (i == p->last)
                continue;
            const double need = i < 0 ? start : needs[p->last * t->n + i];
            for (int k = 0; k < p->n; k++) {
                const lev_plan_option *o = t->option + p->arc[k].to;
                double v = 0.0;
                if (i < 0 || o->order < t->option[i].order)
                    v = (which == 0 ? o->short_per_level : o->long_per_level) *
                        p->arc[k].level;
                if (p->arc[k].to == i)
                    v -= need;
                if (v <= 0.0 && v >= 0.0)
                    continue;
                p->index[++n] = k + 1;
                p->value[n] = v;
            }
            if (n > 0)
                milp_row(p, n, GLP_LO, i < 0 ? need : 0.0);
        }
}

static inline void milp_budget_row(milp *p)
{
    if (isinf(p->t->budget_um))
        return;
    for (int k = 0; k < p->n; k++) {
        p->index[k + 1] = k + 1;
        p->value[k + 1] =
            p->arc[k].level * p->t->unit_um * p->t->option[p->arc[k].to].edge;
    }
    milp_row(p, p->n, GLP_UP, p->t->budget_um);
}

/* The optimum with this last option, infinity when there is none, NaN when the time ran
 * out before it was proved. */
static inline double milp_last(const lev_plan_table *t, int goal, int last,
                               int limit_ms)
{
    milp p = {.t = t, .last = last, .goal = goal};
    glp_iocp how;
    double best = INFINITY;
    milp_grid(&p);
    milp_arcs(&p);
    if (p.n > 0) {
        p.lp = glp_create_prob();
        p.index = calloc((size_t)p.n + 1, sizeof *p.index);
        p.value = calloc((size_t)p.n + 1, sizeof *p.value);
        glp_add_cols(p.lp, p.n);
        for (int k = 0; k < p.n; k++) {
            glp_set_col_kind(p.lp, k + 1, GLP_BV);
            glp_set_obj_coef(p.lp, k + 1, milp_cost(&p, p.arc + k));
        }
        milp_path_rows(&p);
        milp_texture_rows(&p);
        milp_budget_row(&p);
        glp_term_out(GLP_OFF);
        glp_init_iocp(&how);
        how.presolve = GLP_ON;
        how.tm_lim = limit_ms;
        const int rc = glp_intopt(p.lp, &how);
        if (rc == GLP_ETMLIM)
            best = NAN;
        else if (rc == 0 && glp_mip_status(p.lp) == GLP_OPT)
            best = glp_mip_obj_val(p.lp);
        glp_delete_prob(p.lp);
    }
    free(p.arc);
    free(p.index);
    free(p.value);
    return best;
}

/* Over all allowed last options; the limit counts for all of them together. */
static inline double milp_solve(const lev_plan_table *t, int goal, int limit_ms)
{
    double best = INFINITY;
    const clock_t begin = clock();
    for (int l = 0; l < t->n; l++) {
        if (!t->last[l].allowed || (t->barred != NULL && t->barred[l]))
            continue;
        const double used = (double)(clock() - begin) / CLOCKS_PER_SEC * 1e3;
        const double x =
            used < limit_ms ? milp_last(t, goal, l, limit_ms - (int)used) : (double)NAN;
        if (isnan(x))
            return NAN;
        best = fmin(best, x);
    }
    return best;
}

#endif
