/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The planner: a whole catalogue of invented options, and small tables against GLPK on
 * the same problem. A run of GLPK that its limit stopped counts as the limit and is
 * labelled so. Usage: bench_plan [limit of GLPK in seconds, 60] */
#include <stdio.h>

#include "levigate/note.h"
#include "plan_milp.h"
#include "plan_random.h"

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void catalogue(uint64_t seed, int ends, double deep_um)
{
    static const char *const words[] = {"time", "money", "removal", "steps"};
    plan_random r;
    lev_error err = {0};
    plan_random_catalogue(&r, seed, 30, ends, deep_um);
    printf("catalogue seed %d: %d options, 256 levels, %d last ones, best of 3:",
           (int)seed, r.t.n, 9 * ends);
    for (int goal = 0; goal < LEV_PLAN_GOALS; goal++) {
        lev_plan_ladder x = {0};
        double best = INFINITY;
        for (int turn = 0; turn < 3; turn++) {
            const double begin = now_s();
            if (lev_plan_solve(&r.t, (lev_plan_goal)goal, NULL, &x, &err) < 0)
                printf("%s\n", err.text);
            best = fmin(best, now_s() - begin);
        }
        printf(" %s %.1f ms (%d steps)", words[goal], 1e3 * best, x.n);
    }
    printf(", each with reading the table and its bounds\n");
    plan_random_release(&r);
}

static void front(uint64_t seed, int grits)
{
    plan_random r;
    lev_error err = {0};
    lev_plan_front f = {0};
    plan_random_catalogue(&r, seed, grits, 3, 20.0);
    const lev_plan_limits limits = {.labels = 200000};
    const double begin = now_s();
    if (lev_plan_pareto(&r.t, &limits, &f, &err) < 0)
        printf("%s\n", err.text);
    printf("front seed %d: %d options: %td vectors in %.0f ms%s\n", (int)seed, r.t.n,
           f.n, 1e3 * (now_s() - begin),
           f.notes & LEV_NOTE_NOT_EXACT ? " (stopped at 200000 labels)" : "");
    lev_plan_front_release(&f);
    plan_random_release(&r);
}

static void against_glpk(uint64_t seed, int n, int levels, int limit_s)
{
    plan_random r;
    lev_error err = {0};
    lev_plan_ladder x;
    plan_random_small(&r, seed, n, levels, (int)(seed % 2), 16);
    r.t.budget_um = INFINITY;
    double begin = now_s();
    int turns = 0;
    do {
        if (lev_plan_solve(&r.t, LEV_PLAN_TIME, NULL, &x, &err) < 0)
            printf("%s\n", err.text);
        turns++;
    } while (now_s() - begin < 0.05);
    const double ours = (now_s() - begin) / turns;
    begin = now_s();
    const double theirs = milp_solve(&r.t, LEV_PLAN_TIME, limit_s * 1000);
    const double took = isnan(theirs) ? limit_s : now_s() - begin;
    printf("seed %d, %d options, %d levels: ours %.3f ms, GLPK %.1f ms%s, ratio %.0f, "
           "optimum %g and %g\n",
           (int)seed, n, levels, 1e3 * ours, 1e3 * took,
           isnan(theirs) ? " (stopped, counted as the limit)" : "", took / ours,
           x.n > 0 ? x.time_s : (double)INFINITY, theirs);
    plan_random_release(&r);
}

int main(int argc, char **argv)
{
    const int limit_s = argc > 1 ? atoi(argv[1]) : 60;
    setvbuf(stdout, NULL, _IOLBF, 0);
    for (uint64_t seed = 0; seed < 4; seed++)
        catalogue(seed, seed % 2 == 0 ? 3 : 6, 20.0);
    for (uint64_t seed = 0; seed < 2; seed++)
        front(seed, 8);
    for (uint64_t seed = 0; seed < 4; seed++)
        against_glpk(seed, 8, 6, limit_s);
    for (uint64_t seed = 4; seed < 7; seed++)
        against_glpk(seed, 14, 10, limit_s);
    return 0;
}
