/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Partial ladders (labels), kept best first, each dropped as soon as another label or
 * the bound shows that it cannot matter. One engine serves a single goal and the front:
 * they differ in what "cannot matter" means. */
#ifndef PLAN_SEARCH_H
#define PLAN_SEARCH_H

#include "plan_bound.h"

enum { PLAN_FRONT = LEV_PLAN_GOALS }; /* as a goal: all four figures at once */

typedef struct plan_label {
    plan_state s;
    int32_t parent; /* label before, -1: the start */
    int32_t next;   /* next label that stands at the same last and option, -1: none */
    int16_t option; /* -1: the start */
    int16_t level;
    int16_t last;
    bool dead; /* another label covers it */
} plan_label;

typedef struct plan_entry {
    int64_t key;
    int32_t label;
} plan_entry;

/* The vectors found so far, none covering another. */
typedef struct plan_vectors {
    int32_t (*cost)[LEV_PLAN_GOALS];
    lev_plan_ladder *ladder;
    ptrdiff_t n, cap;
} plan_vectors;

typedef struct plan_search {
    const plan_problem *p;
    const lev_plan_limits *limits;
    const plan_bound *b;
    int goal;         /* lev_plan_goal or PLAN_FRONT */
    bool figure_only; /* the goal's own figure is all that is asked for: no ties */
    bool with_budget; /* the budget is a rule and counts in dominance */
    int32_t ceiling[LEV_PLAN_GOALS]; /* no ladder above these; PLAN_INF: any. A cap on
                                    levels or steps counts in dominance */
    ptrdiff_t pause; /* labels after which better bounds pay; 0: none are to be had */
    bool paused;     /* stopped there */
    ptrdiff_t most;  /* labels after which to stop */
    bool cut;        /* stopped there */
    plan_label *label;
    ptrdiff_t n, cap, told;
    plan_entry *heap;
    ptrdiff_t heap_n, heap_cap;
    int32_t rows;  /* last options */
    int32_t *row;  /* [n] row of a last option */
    int32_t *head; /* [rows][n] first label at an option on the way to a last one */
    bool found;
    int32_t best[LEV_PLAN_GOALS]; /* figures of the best ladder, when found */
    lev_plan_ladder ladder;
    plan_vectors *front; /* for PLAN_FRONT */
} plan_search;

/** Room for a search over p; release with plan_search_release also after a failure. */
lev_status plan_search_init(plan_search *s, const plan_problem *p,
                            const lev_plan_limits *limits, lev_error *err);
void plan_search_release(plan_search *s);

/* The bounds of every group of last options. */
typedef struct plan_groups {
    int n;
    plan_bound *bound; /* [n] */
} plan_groups;

/** Search all ladders that no bound and no other ladder makes idle. */
lev_status plan_search_all(plan_search *s, const plan_groups *g, lev_error *err);

/** One ladder for last option l that follows the bounds greedily: a first figure to
 * beat, nothing proved. */
lev_status plan_dive(plan_search *s, const plan_bound *b, int l, lev_error *err);

/** A clear state beats what was found and keeps the caps, and the budget where that is
 * a rule. */
bool plan_search_wants(const plan_search *s, const plan_state *x);

/** Keep a ladder that plan_search_wants. */
lev_status plan_search_offer(plan_search *s, const plan_state *x,
                             const lev_plan_ladder *ladder, lev_error *err);

/** The least level of last option l that clears everything; 0 when none does. All
 * figures rise with the level, so no higher one is wanted. */
int plan_closing_level(const plan_problem *p, int l, int least, const plan_state *x);

/** Offer a vector to the front; no-op when it is covered. */
lev_status plan_vectors_add(plan_vectors *v, const int32_t *cost,
                            const lev_plan_ladder *ladder, lev_error *err);
bool plan_vectors_cover(const plan_vectors *v, const int32_t *cost);
/** Hand the ladders over, sorted by their figures; v is empty afterwards. */
void plan_vectors_take(plan_vectors *v, lev_plan_front *out);
void plan_vectors_release(plan_vectors *v);

lev_status plan_groups_init(plan_groups *g, const plan_problem *p, int cells,
                            lev_error *err);
void plan_groups_release(plan_groups *g);

/* A table read once, for any number of questions. */
typedef struct plan_solver {
    plan_problem p;
    plan_groups g;
    plan_search s;
    bool fine;             /* g has PLAN_FINE_CELLS */
    int barred;            /* class whose leaving out the bounds know of; -1: none */
    unsigned char *usable; /* [n] as read and pruned */
    int known;             /* answers kept as figures to beat */
    lev_plan_ladder ladder[LEV_PLAN_GOALS + 1];
    int32_t cost[LEV_PLAN_GOALS + 1][LEV_PLAN_GOALS];
} plan_solver;

/** Read the table; release with plan_solver_release also after a failure. */
lev_status plan_solver_init(plan_solver *v, const lev_plan_table *t,
                            const lev_plan_limits *limits, lev_error *err);
void plan_solver_release(plan_solver *v);

/** The best ladder for a goal with at most so many levels and steps (PLAN_INF: any);
 * out->n = 0 when there is none. */
lev_status plan_solver_solve(plan_solver *v, int goal, int32_t levels, int32_t steps,
                             lev_plan_ladder *out, lev_error *err);

/** The front of all four figures; seeded with the answers v knows. */
lev_status plan_solver_front(plan_solver *v, lev_plan_front *out, lev_error *err);

/**
 * A few ladders of the front, well apart: the answers v knows, and the least times
 * under caps on steps and levels between them. Each is proved to be on the front;
 * others are not looked for.
 */
lev_status plan_solver_sample(plan_solver *v, lev_plan_front *out, lev_error *err);

/** From now on leave out all options of this size class, and none else. */
lev_status plan_solver_bar(plan_solver *v, int size_class, lev_error *err);

#endif
