/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A table read once into whole numbers, so that sums, ties and dominance are exact and
 * the same for every order of adding. Shared by the search and the exhaustive check. */
#ifndef PLAN_TABLE_H
#define PLAN_TABLE_H

#include <stdint.h>

#include "levigate/plan.h"

enum {
    PLAN_INF = 1 << 29, /* a cost no ladder may reach; two of them still add up */
    PLAN_NEED_ONE = 1 << 20,
    PLAN_NEED_MAX = 1 << 30,
    PLAN_EDGE_ONE = 1 << 6,
    PLAN_MONEY_ONE = 100
};

typedef struct plan_problem {
    const lev_plan_table *t;
    int n, levels, marks, grid, classes;
    int32_t *cost[2];      /* time in ms, money in 1/100 minor: [n][levels] */
    int32_t *gather[2];    /* short, long: [n] */
    int32_t *need[2];      /* [n][n] at [l][i] */
    int32_t *start[2];     /* [n] by last option */
    int32_t *edge;         /* [n] */
    int32_t *min_level;    /* [n] */
    int32_t *size_class;   /* [n]: options of one order have one class, coarse = 0 */
    int32_t *class_end;    /* [classes]: first option after the class */
    int32_t *mark_end;     /* [n]: amplitude that may be left, by last option */
    unsigned char *usable; /* [n] */
    int64_t budget;        /* in PLAN_EDGE_ONE of a level */
    uint16_t mark_start[LEV_PLAN_MARKS];
    double *grid_ln, *grid_um; /* [grid] amplitudes, rising */
    double *pace;              /* [marks][n][grid]: (rho ln A + tail A) / unit */
} plan_problem;

/* Where a face stands after some steps. */
typedef struct plan_state {
    int32_t cost[LEV_PLAN_GOALS]; /* time, money, levels, steps */
    int32_t need[2];              /* what later steps must still gather */
    int32_t used;                 /* budget */
    uint16_t mark[LEV_PLAN_MARKS];
} plan_state;

/** Check and read the table; release with plan_problem_release also after a failure. */
lev_status plan_problem_init(plan_problem *p, const lev_plan_table *t, lev_error *err);
void plan_problem_release(plan_problem *p);

/** Drop options that another one of their class matches or beats in every respect. */
void plan_problem_prune(plan_problem *p);

/** Least level of option j right after option i (-1: the start); 0 = barred. */
int plan_arc(const plan_problem *p, int i, int j);

/** The state found, under last option l. */
plan_state plan_begin(const plan_problem *p, int l);

/** Grid index of a mark of kind q after `level` levels of option j. */
int plan_mark_after(const plan_problem *p, int q, int j, int mark, int level);

/** The state after a step; false when it costs too much to be counted. Budget is not
 * looked at. */
bool plan_advance(const plan_problem *p, int l, int j, int level, const plan_state *s,
                  plan_state *out);

/** Nothing is left to clear under last option l. */
bool plan_is_clear(const plan_problem *p, int l, const plan_state *s);

/** Compare two cost vectors in the order of a goal: <0, 0, >0. */
int plan_compare(lev_plan_goal goal, const int32_t *a, const int32_t *b);

/** The figure that breaks ties of a goal first. */
static inline int plan_second(int goal)
{
    return goal == LEV_PLAN_TIME ? LEV_PLAN_MONEY : LEV_PLAN_TIME;
}

/** a is nowhere above b. */
static inline bool plan_covers(const int32_t *a, const int32_t *b)
{
    return a[0] <= b[0] && a[1] <= b[1] && a[2] <= b[2] && a[3] <= b[3];
}

/** Write the figures of a finished ladder. */
void plan_ladder_figures(const plan_problem *p, const int32_t *cost,
                         lev_plan_ladder *out);

#endif
