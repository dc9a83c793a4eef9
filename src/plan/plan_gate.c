/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the full check stands.
 *
 * A step leaves a line that its own check misses with a chance of data/plan/rule.csv.
 * The line is found at the next gate (or at the end, where the full check always
 * stands) and costs all the work from its step up to there again. Gates are placed so
 * that looks and expected work together are least: an exact recursion from the end. */
#include <math.h>

#include "plan_steps.h"

/* Work of steps first .. last done again for a line of each of them, with its chance.
 */
static double late_s(const lev_face_ladder *x, int first, int last, double chance)
{
    double sum = 0.0, again = 0.0;
    for (int k = last; k >= first; k--) {
        again += x->step[k].time_s.p50;
        sum += chance * again;
    }
    return sum;
}

void gates_place(const space *s, lev_face_ladder *x)
{
    const double look_s = s->face->full_look_s * s->face->count;
    const double chance = space_rule("missed");
    double best[LEV_FACE_STEPS + 1] = {0.0};
    int next[LEV_FACE_STEPS + 1] = {0};
    for (int k = x->steps - 1; k >= 0; k--) {
        best[k] = INFINITY;
        for (int g = k; g < x->steps; g++) {
            const double all = look_s + late_s(x, k, g, chance) + best[g + 1];
            if (all < best[k]) {
                best[k] = all;
                next[k] = g;
            }
        }
    }
    for (int k = 0; k < x->steps; k = next[k] + 1)
        x->step[next[k]].gate = next[k] < x->steps - 1; /* the last has its own check */
}
