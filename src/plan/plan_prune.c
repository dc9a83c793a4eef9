/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Options that need not be tried: another of the same size does the same or more for
 * the same or less, whatever stands before and after. Replacing the one by the other at
 * the same level keeps every rule, so no optimum and no vector of the front is lost. */
#include "plan_table.h"

/* b is at least as good as a for every level. */
static bool costs_no_more(const plan_problem *p, int b, int a)
{
    for (int k = 0; k < 2; k++) {
        const int32_t *ra = p->cost[k] + (ptrdiff_t)a * p->levels;
        const int32_t *rb = p->cost[k] + (ptrdiff_t)b * p->levels;
        for (int m = 0; m < p->levels; m++)
            if (rb[m] > ra[m])
                return false;
    }
    return true;
}

static bool cuts_no_less(const plan_problem *p, int b, int a)
{
    return p->gather[0][b] >= p->gather[0][a] && p->gather[1][b] >= p->gather[1][a] &&
           p->edge[b] <= p->edge[a] && p->min_level[b] <= p->min_level[a] &&
           (p->marks == 0 || p->t->option[b].rho_um <= p->t->option[a].rho_um);
}

static bool arc_no_tighter(int b, int a)
{
    return a == LEV_PLAN_ARC_BARRED || (b != LEV_PLAN_ARC_BARRED && b <= a);
}

static bool follows_as_freely(const plan_problem *p, int b, int a)
{
    if (p->t->arc == NULL)
        return true;
    for (int i = -1; i < p->n; i++)
        if (!arc_no_tighter(plan_arc(p, i, b), plan_arc(p, i, a)))
            return false;
    for (int j = 0; j < p->n; j++)
        if (!arc_no_tighter(plan_arc(p, b, j), plan_arc(p, a, j)))
            return false;
    return true;
}

static bool ends_no_worse(const plan_problem *p, int b, int a)
{
    if (!p->t->last[a].allowed)
        return true;
    if (!p->t->last[b].allowed || p->mark_end[b] < p->mark_end[a])
        return false;
    for (int k = 0; k < 2; k++) {
        const int32_t *na = p->need[k] + (ptrdiff_t)a * p->n;
        const int32_t *nb = p->need[k] + (ptrdiff_t)b * p->n;
        if (p->start[k][b] > p->start[k][a])
            return false;
        for (int i = 0; i < p->n && p->size_class[i] < p->size_class[a]; i++)
            if (nb[i] > na[i])
                return false;
    }
    return true;
}

static bool leaves_no_more(const plan_problem *p, int b, int a)
{
    for (int l = 0; l < p->n; l++) {
        if (!p->t->last[l].allowed || p->size_class[l] <= p->size_class[a])
            continue;
        const ptrdiff_t row = (ptrdiff_t)l * p->n;
        if (p->need[0][row + b] > p->need[0][row + a] ||
            p->need[1][row + b] > p->need[1][row + a])
            return false;
    }
    return true;
}

static bool beats(const plan_problem *p, int b, int a)
{
    return cuts_no_less(p, b, a) && costs_no_more(p, b, a) && ends_no_worse(p, b, a) &&
           leaves_no_more(p, b, a) && follows_as_freely(p, b, a);
}

void plan_problem_prune(plan_problem *p)
{
    for (int c = 0, from = 0; c < p->classes; from = p->class_end[c++])
        for (int a = from; a < p->class_end[c]; a++)
            for (int b = from; b < p->class_end[c] && p->usable[a]; b++)
                if (b != a && p->usable[b] && beats(p, b, a))
                    p->usable[a] = 0;
}
