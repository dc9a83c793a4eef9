/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Time of one step at the median, and of everything with its spreads: median of many
 * runs over different steps, so that no branch or table stays warm by luck alone. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "levigate/cut.h"

enum { RUNS = 4001 };

static double now_us(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec * 1e6 + (double)t.tv_nsec * 1e-3;
}

static int by_value(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double one_step(int i, int all, double *sum)
{
    static const char *const drives[] = {"hand-wood", "orbital", "hand-plate", "belt"};
    const lev_cut_work work = {.family = i % 3 == 0 ? LEV_CUT_WOOD : LEV_CUT_METAL,
                               .hardness_gpa = i % 3 == 0 ? 0.05 : 1.0 + i % 7};
    const lev_cut_tool tool = {
        .grain = {log(10.0 + i % 190), 0.15 + 0.02 * (i % 8), 0.0},
        .mineral = "silicon-carbide",
        .carrier = "paper",
        .drive = drives[i % 4]};
    const double from = now_us();
    lev_cut_pass p;
    if (lev_cut_pass_init(&work, &tool, 5000.0 + i, &p, NULL) < 0)
        exit(1);
    if (all) {
        const lev_cut_job job = {.area_mm2 = 5000.0 + i,
                                 .remove_um = 5.0,
                                 .sheet_mm2 = 16100.0,
                                 .price_minor = 20.0,
                                 .labour_minor_per_s = 1.0};
        lev_cut_cost c;
        if (lev_cut_cost_init(&p, &job, &c, NULL) < 0)
            exit(1);
        const lev_cut_term terms[2] = {lev_cut_time_term(&p, &c, true),
                                       lev_cut_sheet_term(&p, &c, true)};
        const lev_cut_pass u = lev_cut_unfavourable(&p, 0.95);
        *sum += lev_cut_ra_spread(&p).p90 + lev_cut_total(terms, 2).p90 +
                lev_cut_chance_below(&p, 0.5, 0.0) + lev_cut_clear_um(100.0, &u, 0.1);
    }
    const double took = now_us() - from;
    *sum += p.ra_um;
    return took;
}

static void report(const char *name, int all)
{
    static double us[RUNS];
    double sum = 0.0;
    for (int i = 0; i < RUNS; i++)
        us[i] = one_step(i, all, &sum);
    qsort(us, RUNS, sizeof *us, by_value);
    printf("%-28s median %6.1f us, 1 in 10 above %6.1f us (checksum %.6g)\n", name,
           us[RUNS / 2], us[RUNS * 9 / 10], sum);
}

int main(void)
{
    report("step, median only", 0);
    report("step, cost and all quantiles", 1);
    return 0;
}
