/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Seeded random tables for the planner: small ones that every ladder of can be tried,
 * and one that looks like a whole catalogue. Shared by tests, oracle and bench; the
 * figures are invented. Costs, needs and measures are multiples of 1/64, so that
 * nothing is rounded when they are read. */
#ifndef PLAN_RANDOM_H
#define PLAN_RANDOM_H

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "levigate/plan.h"
#include "rng.h"

typedef struct plan_random {
    lev_plan_table t;
    lev_plan_option *option;
    double *time_s, *money, *need_short, *need_long;
    unsigned short *arc;
    lev_plan_last *last;
    uint64_t draws;
    lev_rng rng;
} plan_random;

static inline double pr_uniform(plan_random *r, double low, double high)
{
    return low + (high - low) * lev_rng_uniform(r->rng, r->draws++, 0);
}

static inline double pr_coarse(double x)
{
    return floor(x * 64.0 + 0.5) / 64.0;
}

static inline void plan_random_release(plan_random *r)
{
    free(r->option);
    free(r->time_s);
    free(r->money);
    free(r->need_short);
    free(r->need_long);
    free(r->arc);
    free(r->last);
    memset(r, 0, sizeof *r);
}

static inline void pr_allocate(plan_random *r, int n, int levels)
{
    const size_t k = (size_t)n, m = (size_t)levels;
    r->option = calloc(k, sizeof *r->option);
    r->time_s = calloc(k * m, sizeof(double));
    r->money = calloc(k * m, sizeof(double));
    r->need_short = calloc(k * k, sizeof(double));
    r->need_long = calloc(k * k, sizeof(double));
    r->arc = calloc((k + 1) * k, sizeof *r->arc);
    r->last = calloc(k, sizeof *r->last);
    r->t = (lev_plan_table){.n = n,
                            .levels = levels,
                            .unit_um = 1.0,
                            .budget_um = INFINITY,
                            .option = r->option,
                            .time_s = r->time_s,
                            .money = r->money,
                            .arc = r->arc,
                            .last = r->last,
                            .need_short = r->need_short,
                            .need_long = r->need_long};
}

static inline void pr_small_option(plan_random *r, int j, double order, int levels)
{
    lev_plan_option *o = r->option + j;
    *o = (lev_plan_option){
        .order = order,
        .short_per_level = pr_coarse(pr_uniform(r, 0.1, 1.5)),
        .long_per_level = pr_coarse(pr_uniform(r, 0.1, 1.5)),
        .rho_um = pr_coarse(pr_uniform(r, 0.5, 3.0)),
        .edge = pr_coarse(pr_uniform(r, 1.0, 2.0)),
        .min_level = pr_uniform(r, 0.0, 1.0) < 0.2 ? 2 : 1,
    };
    double time = floor(pr_uniform(r, 0.0, 6.0)),
           money = floor(pr_uniform(r, 0.0, 6.0));
    for (int m = 0; m < levels; m++) {
        time += floor(pr_uniform(r, 0.0, 5.0));
        money += pr_uniform(r, 0.0, 1.0) < 0.4 ? floor(pr_uniform(r, 0.0, 8.0)) : 0.0;
        const bool impossible = m == levels - 1 && pr_uniform(r, 0.0, 1.0) < 0.2;
        r->time_s[j * levels + m] = impossible ? (double)INFINITY : time;
        r->money[j * levels + m] = money;
    }
}

static inline void pr_small_rules(plan_random *r)
{
    lev_plan_table *t = &r->t;
    const int n = t->n;
    for (int i = 0; i <= n; i++)
        for (int j = 0; j < n; j++) {
            const double u = pr_uniform(r, 0.0, 1.0);
            r->arc[i * n + j] = (unsigned short)(u < 0.12 ? 0 : u < 0.25 ? 2 : 1);
        }
    for (int l = 0; l < n; l++) {
        const bool allowed = l == n - 1 || pr_uniform(r, 0.0, 1.0) < 0.3;
        r->last[l] = (lev_plan_last){
            .allowed = allowed,
            .start_short = pr_coarse(pr_uniform(r, 0.0, 4.0)),
            .start_long = pr_coarse(pr_uniform(r, 0.0, 4.0)),
            .mark_end_um = pr_uniform(r, 0.3, 1.5),
        };
        for (int i = 0; i < l; i++) {
            r->need_short[l * n + i] = pr_coarse(pr_uniform(r, 0.0, 3.0));
            r->need_long[l * n + i] = pr_coarse(pr_uniform(r, 0.0, 3.0));
        }
    }
    if (pr_uniform(r, 0.0, 1.0) < 0.4)
        t->budget_um = pr_coarse(pr_uniform(r, 3.0, 20.0));
}

/* A small table; marks kinds of deep start marks on a grid of mark_grid. */
static inline void plan_random_small(plan_random *r, uint64_t seed, int n, int levels,
                                     int marks, int mark_grid)
{
    memset(r, 0, sizeof *r);
    r->rng.seed = seed;
    pr_allocate(r, n, levels);
    double order = 100.0;
    for (int j = 0; j < n; j++) {
        if (pr_uniform(r, 0.0, 1.0) < 0.75)
            order -= 1.0;
        pr_small_option(r, j, order, levels);
    }
    pr_small_rules(r);
    r->t.marks = marks;
    r->t.mark_grid = mark_grid;
    for (int q = 0; q < marks; q++)
        r->t.mark[q] =
            (lev_plan_mark){pr_uniform(r, 1.0, 8.0), pr_uniform(r, 0.01, 0.5),
                            pr_uniform(r, 0.0, 1.0) < 0.3 ? 0.0 : 1.0};
}

/* A whole catalogue: `grits` sizes in equal ratios, three drives and three pushes each,
 * with the shape of the cutting model (removal falls below a size, texture and both
 * relaxations grow with size, sheets run out), a target met by the finest `ends` sizes.
 */
static inline void plan_random_catalogue(plan_random *r, uint64_t seed, int grits,
                                         int ends, double deep_um)
{
    const int levels = 256, n = grits * 9;
    memset(r, 0, sizeof *r);
    r->rng.seed = seed;
    pr_allocate(r, n, levels);
    const double ratio = pow(3.0 / 250.0, 1.0 / (grits - 1));
    r->t.unit_um = 3.0 * deep_um / levels;
    r->t.marks = 2;
    r->t.mark[0] = (lev_plan_mark){0.5 * deep_um, 0.28, 1.0};
    r->t.mark[1] = (lev_plan_mark){0.5 * deep_um, 1.0, 0.0};
    for (int j = 0; j < n; j++) {
        const int g = j / 9, drive = j / 3 % 3, push = j % 3;
        const double d = 250.0 * pow(ratio, g), p = (push + 1.0) / 2.0;
        const double unit = r->t.unit_um;
        r->option[j] = (lev_plan_option){
            .order = d,
            .short_per_level = unit / (0.02 * pow(d, 0.43) * pow(p, 0.1)),
            .long_per_level = unit / (0.12 * d),
            .rho_um = 0.12 * d,
            .min_level = 1,
        };
        const double jitter = pr_uniform(r, 0.9, 1.1);
        const double rate =
            0.12 * jitter * p * (1.0 + 2.5 * drive) * fmin(1.0, d / 90.0);
        const double life = 0.08 * d * (1.0 + drive), setup = 20.0 + 40.0 * drive;
        const double sheet = pr_uniform(r, 20.0, 60.0) * (1.0 + 2.0 * drive);
        for (int m = 0; m < levels; m++) {
            const double depth = (m + 1) * unit, sheets = ceil(depth / life);
            const double used = depth - (sheets - 1.0) * life;
            const double work = -life / 0.8 * log(1.0 - 0.8 * used / life) +
                                (sheets - 1.0) * life / 0.8 * log(5.0);
            r->time_s[j * levels + m] = setup + work / rate + (sheets - 1.0) * 15.0;
            r->money[j * levels + m] = r->time_s[j * levels + m] * 1.0 + sheets * sheet;
        }
        for (int i = 0; i <= n; i++)
            r->arc[i * n + j] = 1;
    }
    for (int l = 0; l < n; l++) {
        const double dl = r->option[l].order, tl = dl * pow((l % 3 + 1.0) / 2.0, 0.08);
        r->last[l] =
            (lev_plan_last){.allowed = l / 9 >= grits - ends, .mark_end_um = 0.01 * dl};
        for (int i = 0; i < l; i++) {
            const double ti = r->option[i].order * pow((i % 3 + 1.0) / 2.0, 0.08);
            r->need_short[l * n + i] =
                fmax(0.0, log(0.8 * ti * pow(ti, 0.0) / tl / 0.2)) *
                pow(r->option[i].order, 0.57) * 1.0;
            r->need_long[l * n + i] = fmax(0.0, log(0.2 * ti / tl / 0.1));
        }
    }
}

#endif
