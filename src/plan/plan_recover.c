/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A line found late: its likely cause by the rows of data/plan/recover.csv, the step
 * that takes it out and climbs again for least time, and whether a spot will do. */
#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "num.h"
#include "plan_space.h"
#include "units.h"

/* Angle between two undirected lines, 0 to 90. */
static double apart_deg(double a, double b)
{
    const double d = fmod(fabs(a - b), 180.0);
    return d > 90.0 ? 180.0 - d : d;
}

/* The latest step before the present one that cut in this direction; 0 none. */
static int step_of_direction(const lev_recover_request *q)
{
    if (!lev_known(q->direction_deg))
        return 0;
    for (int k = q->found_after - 1; k >= 1; k--)
        if (apart_deg(q->direction_deg, q->ladder->step[k - 1].direction_deg) <=
            space_rule("turn-tolerance"))
            return k;
    return 0;
}

static bool fits(int wanted, bool is)
{
    return wanted == INT_MIN || (wanted != 0) == is;
}

static void find_cause(const lev_recover_request *q, lev_recover_answer *out)
{
    const double own =
        q->found_after > 0 ? q->ladder->step[q->found_after - 1].pass.deepest_um : 0.0;
    const double start = q->face->start.mark_um;
    const bool deep = q->depth_um > own * space_rule("stray-ratio");
    const bool as_start =
        lev_known(start) && q->depth_um >= start * space_rule("start-ratio");
    const bool same = step_of_direction(q) > 0;
    for (int i = 0; i < LEV_TAB_RECOVER_N; i++) {
        const lev_row_recover *row = &lev_tab_recover[i];
        if (!fits(row->lone, q->lone) || !fits(row->same_direction, same) ||
            !fits(row->deep, deep) || !fits(row->as_start, as_start))
            continue;
        out->cause = row->cause;
        snprintf(out->because, sizeof out->because, "%s", row->words);
        return;
    }
}

/* Depth the step must take to leave of the line no more than the full check misses. */
static double depth_at(const lev_recover_request *q, int k)
{
    const lev_cut_pass *p = &q->ladder->step[k - 1].pass;
    return lev_cut_mark_depth_um(p, q->depth_um, p->deepest_um * q->face->full_miss);
}

static double rate_um_s(const lev_recover_request *q, int k)
{
    return q->ladder->step[k - 1].pass.face_um_per_min /
           (LEV_S_PER_MIN * q->face->shape_time * q->face->count);
}

/* Time of going back to step k and climbing to where the line was found. */
static double back_s(const lev_recover_request *q, int k)
{
    double s = depth_at(q, k) / rate_um_s(q, k);
    for (int i = k + 1; i <= q->found_after; i++)
        s += q->ladder->step[i - 1].time_s.p50;
    return s;
}

static int cheapest_step(const lev_recover_request *q)
{
    const int last = q->found_after > 0 ? q->found_after : 1;
    int best = 0;
    double least = INFINITY;
    for (int k = 1; k <= last; k++) {
        if (q->ladder->step[k - 1].kind == LEV_CUT_GRAIN && k > 1)
            continue; /* final strokes clear nothing */
        const double s = back_s(q, k);
        if (s < least) {
            least = s;
            best = k;
        }
    }
    return best;
}

/* The followed ladder from step k on, its first step as deep as the line asks. */
static void rest_of_ladder(const lev_recover_request *q, int k, lev_face_ladder *out)
{
    const lev_face_ladder *x = q->ladder;
    *out = (lev_face_ladder){.notes = x->notes, .mark = x->mark};
    memcpy(out->goal, x->goal, sizeof out->goal);
    double cost = 0.0, p10 = 0.0, p50 = 0.0, p90 = 0.0, removed = 0.0;
    for (int i = k; i <= x->steps; i++) {
        lev_face_step *step = out->step + out->steps++;
        *step = x->step[i - 1];
        if (i == k) {
            const double by =
                step->remove_um > 0.0 ? depth_at(q, k) / step->remove_um : 1.0;
            step->remove_um = depth_at(q, k);
            step->time_s.p10 *= by;
            step->time_s.p50 *= by;
            step->time_s.p90 *= by;
            step->look_s *= by;
            step->strokes *= by;
            step->cost_minor *= by;
            step->if_skipped[0] = '\0';
            snprintf(step->why, sizeof step->why,
                     "The cheapest grit that takes a line of %.2g um out", q->depth_um);
        }
        p10 += step->time_s.p10;
        p50 += step->time_s.p50;
        p90 += step->time_s.p90;
        removed += step->remove_um;
        cost += step->cost_minor;
    }
    out->time_s =
        (lev_spread){p10, p50, p90}; /* one shop's factors move all together */
    out->elapsed_s = out->time_s;
    if (p50 > 0.0) /* as the time: labour is most of it */
        out->cost_minor = (lev_spread){cost * p10 / p50, cost, cost * p90 / p50};
    out->remove_um =
        lev_spread_lognormal(removed, x->step[k - 1].pass.lnsd[LEV_CUT_F_RELAX]);
}

/* A spot makes a hollow as deep as all that is taken there: allowed for one line, and
 * while the hollow is a small part of what the face may lose. */
static void choose_spot(const lev_recover_request *q, int k, lev_recover_answer *out)
{
    const double may_lose =
        lev_known(q->face->budget_um) ? q->face->budget_um : q->ladder->remove_um.p50;
    const double told_mm =
        lev_known(q->length_mm) && q->length_mm > 0.0 ? q->length_mm : 0.0;
    const double patch_mm =
        fmin(sqrt(q->ladder->step[k - 1].pass.contact_mm2), sqrt(q->face->area_mm2));
    const double line_mm = told_mm > 0.0 ? told_mm : patch_mm;
    out->dish_um = depth_at(q, k);
    for (int i = k + 1; i <= q->found_after; i++)
        out->dish_um += q->ladder->step[i - 1].remove_um;
    out->spot = q->lone && out->dish_um <= may_lose * space_rule("spot-share");
    out->spot_mm = out->spot ? line_mm * space_rule("blend") : (double)NAN;
    out->feather_mm = out->spot ? line_mm * space_rule("feather") : (double)NAN;
    if (!out->spot)
        out->dish_um = 0.0;
}

lev_status lev_face_recover(const lev_recover_request *q, lev_recover_answer *out,
                            lev_error *err)
{
    lev_recover_answer a = {.cause = "", .spot_mm = NAN, .feather_mm = NAN};
    if (q->found_after < 0 || q->found_after > q->ladder->steps || q->ladder->steps < 1)
        return lev_fail(err, LEV_E_RANGE, "step %d; the ladder has steps 1 to %d",
                        q->found_after, q->ladder->steps);
    if (!(q->depth_um > 0.0) || !isfinite(q->depth_um))
        return lev_fail(err, LEV_E_RANGE, "a line of %g um; a depth above 0 is wanted",
                        q->depth_um);
    find_cause(q, &a);
    a.back_to_step = cheapest_step(q);
    if (a.back_to_step == 0)
        return lev_fail(err, LEV_E_RANGE,
                        "no step of the ladder takes out a line of %g um", q->depth_um);
    choose_spot(q, a.back_to_step, &a);
    rest_of_ladder(q, a.back_to_step, &a.ladder);
    *out = a;
    return LEV_OK;
}
