/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shortest safe ladder of steps over a table of options.
 *
 * An option is one way to work (a medium on a drive with a push, a file, a plane); a
 * step is an option and a level, the depth it takes off in units of unit_um. The table
 * says what every level costs and what it does to the textures below; "exact" means the
 * optimum over that table. Nothing here knows what an abrasive is: plan_space.h fills
 * the table from a face. */
#ifndef LEVIGATE_PLAN_H
#define LEVIGATE_PLAN_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "levigate/status.h"

#ifdef __cplusplus
extern "C" {
#endif

enum {
    LEV_PLAN_MARKS = 4,       /* kinds of deep start marks in one table */
    LEV_PLAN_STEPS = 64,      /* steps of a ladder: one for each order of size */
    LEV_PLAN_OPTIONS = 4096,  /* options of a table */
    LEV_PLAN_LEVELS = 1024,   /* depths of an option */
    LEV_PLAN_MARK_GRID = 512, /* usual number of amplitudes told apart */
    LEV_PLAN_ARC_BARRED = 0   /* this option may not follow that one */
};

/* What a ladder is chosen for. Ties are broken by the other figures in the order
 * written behind each goal, so the optimum is one vector. */
typedef enum lev_plan_goal {
    LEV_PLAN_TIME,    /* time, money, removal, steps */
    LEV_PLAN_MONEY,   /* money, time, removal, steps */
    LEV_PLAN_REMOVAL, /* removal, time, money, steps */
    LEV_PLAN_FEWEST,  /* steps, time, money, removal */
    LEV_PLAN_GOALS
} lev_plan_goal;

/* One way to work. A texture is followed by two measures, short and long: it is clear
 * once the steps after it have gathered its need in both. */
typedef struct lev_plan_option {
    double order;           /* size of what cuts: a step is followed by smaller ones */
    double short_per_level; /* short measure one level gathers, >= 0 */
    double long_per_level;  /* long measure one level gathers, >= 0 */
    double rho_um;          /* how slowly deep marks die under it, um, > 0 */
    double edge;            /* budget taken by a depth of 1, >= 1; 0 = 1 */
    int min_level;          /* least level, >= 1; 0 = 1 */
} lev_plan_option;

/* What holds when this option is the last step. */
typedef struct lev_plan_last {
    bool allowed;       /* it meets the target */
    double start_short; /* measures that clear the texture found at the start */
    double start_long;
    double mark_end_um; /* largest amplitude of a start mark that may be left, > 0 */
} lev_plan_last;

/* A kind of deep mark found at the start. Under an option its amplitude A falls with
 * the depth r removed by dA/dr = -A / (share rho + tail A), that is
 * r = share rho ln(A0 / A) + tail (A0 - A). With share 0 and tail 1 it is a thickness
 * that must go. The first kind of a table is the one the bounds follow. */
typedef struct lev_plan_mark {
    double amplitude_um; /* A0: half the peak to valley, > 0 */
    double tail;         /* >= 0 */
    double share;        /* of the option's rho, >= 0; share + tail > 0 */
} lev_plan_mark;

/* The whole problem; everything is borrowed. Rows of n x levels are one option each,
 * column m - 1 is level m. Costs include setting up and changing over, never fall with
 * the level, and are +infinity where a level is impossible. They are taken to the
 * millisecond and the hundredth of a minor unit; measures to 2^-20, needs rounded up;
 * amplitudes to a grid of mark_grid values, rounded up: equal ratios from the least
 * mark_end_um of an allowed last option to the largest amplitude found. */
typedef struct lev_plan_table {
    int n, levels;
    double unit_um;                /* depth of a level, um, > 0 */
    double budget_um;              /* depth that may go, edge included; INFINITY: any */
    const lev_plan_option *option; /* [n], order never rising */
    const double *time_s;          /* [n][levels] */
    const double *money;           /* [n][levels], minor units */
    const unsigned short *arc;     /* [n + 1][n]: least level of option j right after
                                      option i, at [i + 1][j]; after the start at [0][j];
                                      LEV_PLAN_ARC_BARRED. NULL: no rule */
    const lev_plan_last *last;     /* [n] */
    const double *need_short;      /* [n][n]: need of option i under last option l at
                                      [l][i] */
    const double *need_long;       /* [n][n] */
    const unsigned char *barred;   /* [n]: not to be used at all; NULL: none */
    int marks;                     /* 0 .. LEV_PLAN_MARKS */
    lev_plan_mark mark[LEV_PLAN_MARKS];
    int mark_grid; /* 2 .. LEV_PLAN_MARK_GRID; 0 = LEV_PLAN_MARK_GRID */
} lev_plan_table;

typedef struct lev_plan_move {
    int option;
    int level;
} lev_plan_move;

/* A ladder; n = 0 says that no ladder keeps the rules of the table. */
typedef struct lev_plan_ladder {
    int n;
    lev_plan_move move[LEV_PLAN_STEPS];
    double time_s;
    double money; /* minor units */
    double remove_um;
    unsigned notes; /* LEV_NOTE_NOT_EXACT when a limit cut the search */
} lev_plan_ladder;

/* Ladders none of which is beaten in all of time, money, removal and steps; rising by
 * time. */
typedef struct lev_plan_front {
    ptrdiff_t n;
    lev_plan_ladder *ladder; /* [n], owned */
    unsigned notes;
} lev_plan_front;

/* Where a search stops. Zero-initialised: the usual limits, no call-back. */
typedef struct lev_plan_limits {
    ptrdiff_t labels; /* partial ladders kept; 0 = 2 million */
    int (*progress)(void *payload, ptrdiff_t labels); /* non-zero cancels */
    void *payload;
} lev_plan_limits;

/**
 * The best ladder for one goal, over all allowed last options.
 * @return LEV_OK, also when there is none (out->n = 0); LEV_E_RANGE for a table that
 *         breaks its rules; LEV_E_MEMORY; LEV_E_CANCEL
 * Method: labels with dominance, ordered by cost so far plus a lower bound of the rest
 * (Hart, Nilsson, Raphael, IEEE Trans. SSC 4 (1968) 100), the bound from exact dynamic
 * programs over one measure at a time.
 */
lev_status lev_plan_solve(const lev_plan_table *t, lev_plan_goal goal,
                          const lev_plan_limits *limits, lev_plan_ladder *out,
                          lev_error *err);

/** The best ladder for every goal; one reading of the table serves all. */
lev_status lev_plan_solve_all(const lev_plan_table *t, const lev_plan_limits *limits,
                              lev_plan_ladder out[LEV_PLAN_GOALS], lev_error *err);

/**
 * Every vector (time, money, removal, steps) that no other ladder matches or beats,
 * each once with one ladder that reaches it.
 */
lev_status lev_plan_pareto(const lev_plan_table *t, const lev_plan_limits *limits,
                           lev_plan_front *out, lev_error *err);

void lev_plan_front_release(lev_plan_front *front);

/**
 * Follow a ladder step by step with plain arithmetic, sharing no code with the search.
 * @return LEV_OK if it keeps every rule of the table and its figures add up;
 *         LEV_E_RANGE with the rule it breaks
 */
lev_status lev_plan_table_check(const lev_plan_table *t, const lev_plan_ladder *ladder,
                                lev_error *err);

/** As lev_plan_solve, by trying every ladder: for tests, small tables only. */
lev_status lev_plan_check_brute(const lev_plan_table *t, lev_plan_goal goal,
                                lev_plan_ladder *out, lev_error *err);

/** As lev_plan_pareto, by trying every ladder: for tests, small tables only. */
lev_status lev_plan_check_brute_pareto(const lev_plan_table *t, lev_plan_front *out,
                                       lev_error *err);

#ifdef __cplusplus
}
#endif
#endif
