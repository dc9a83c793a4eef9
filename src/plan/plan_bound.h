/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lower bounds of what is still to pay.
 *
 * One bound serves a group of last options of equal size. Each of five measures (short,
 * long, both in equal shares, first kind of mark, depth that must go for any kind) is
 * followed alone through an exact dynamic program on cells, always rounded in favour of
 * the ladder; whatever the other measures and the arcs forbid is allowed there, so no
 * ladder costs less. */
#ifndef PLAN_BOUND_H
#define PLAN_BOUND_H

#include "plan_table.h"

enum {
    PLAN_CELLS = 32,      /* of a measure */
    PLAN_FINE_CELLS = 96, /* where 32 leave too much to search */
    PLAN_MEASURES = 5,
    PLAN_MARK = 3,
    PLAN_THICK = 4
};

/* Where a state stands: the cell of each measure, and the measures themselves. */
typedef struct plan_cells {
    short at[PLAN_MEASURES];
    short mark[LEV_PLAN_MARKS];
    int32_t need[2];
} plan_cells;

/* The best pace of the steps after one class: with no price for a step, the least depth
 * is all taken by the option that gains most from it. */
typedef struct plan_pace {
    double levels_per_need[2];
    double rho_levels; /* levels that take a mark down by the factor e, tail apart */
} plan_pace;

typedef struct plan_bound {
    const plan_problem *p;
    int size_class;      /* of the last options of this group */
    int end;             /* options 0 .. end - 1 come into play */
    double weight[3][2]; /* shares of short and long need in each measure */
    double per_cell[3];  /* cells for a need of 1 */
    double per_level;    /* cells for a level of depth that must go */
    int cells;           /* PLAN_CELLS or PLAN_FINE_CELLS */
    int mark_step;       /* grid amplitudes in one cell */
    int mark_end;        /* largest amplitude any of the group may leave */
    plan_pace *pace;     /* [classes + 1] */
    int32_t *after; /* [classes + 1][costs][measures][cells]: rest after a step of it */
    int32_t *chain; /* [costs][n]: rest after an option by what must be removed right
                       after each of those that follow */
    int32_t *before; /* [costs][measures][cells][n]: with option as the next step */
} plan_bound;

/** Build the bounds for the allowed last options of one class. */
lev_status plan_bound_init(plan_bound *b, const plan_problem *p, int size_class,
                           int cells, lev_error *err);
void plan_bound_release(plan_bound *b);

/**
 * Tighten the bounds for a problem in which no option of `size_class` is usable.
 * What follows that class stays, so it must be as plan_bound_init left it: classes may
 * be barred one after another from coarse to fine.
 */
void plan_bound_bar(plan_bound *b, int size_class);

/** Option l is one of the last options these bounds are for. */
bool plan_is_last_of(const plan_bound *b, int l);

/** The cells a state falls into. */
plan_cells plan_bound_cells(const plan_bound *b, const plan_state *s);

/** Least rest of cost k after a step of option j (-1: before the first). */
int32_t plan_bound_after(const plan_bound *b, int j, int k, plan_cells at);

/**
 * The first level from `level` on at which option j may keep a limit on all levels of
 * the ladder together; above p->levels when none does.
 * @param before  the state before the step
 * @param s       and after it at `level`
 * @param most    levels of the whole ladder
 */
int plan_bound_depth(const plan_bound *b, int j, int level, const plan_state *before,
                     const plan_state *s, int64_t most);

/** Least rest of cost k when option j is the next step. */
static inline int32_t plan_bound_before(const plan_bound *b, int j, int k,
                                        plan_cells at)
{
    int32_t most = 0;
    for (int i = 0; i < PLAN_MEASURES; i++) {
        const ptrdiff_t row = ((ptrdiff_t)k * PLAN_MEASURES + i) * b->cells + at.at[i];
        const int32_t x = b->before[row * b->p->n + j];
        most = x > most ? x : most;
    }
    return most;
}

#endif
