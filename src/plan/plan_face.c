/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plan of one face: the ladder of each goal, the usual one among them, the Pareto
 * set, or why there is none. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "levigate/note.h"
#include "mem.h"
#include "num.h"
#include "plan_help.h"
#include "plan_steps.h"

/* Labels after which a search stops and says so: a person waits, and the ladders found
 * by then are rarely beaten. */
enum { GOAL_LABELS = 200000 };

static const char *const GOAL_WORDS[LEV_PLAN_GOALS] = {"time", "money", "removal",
                                                       "steps"};

static lev_plan_limits at_most(const lev_plan_limits *limits, ptrdiff_t labels)
{
    lev_plan_limits x = limits != NULL ? *limits : (lev_plan_limits){0};
    if (x.labels == 0 || x.labels > labels)
        x.labels = labels;
    return x;
}

static void write_labels(const space *s, const lev_plan_ladder *x, char *out,
                         size_t size)
{
    size_t used = 0;
    out[0] = '\0';
    for (int k = 0; k < x->n; k++) {
        const int n = snprintf(out + used, size - used, "%s%s", k > 0 ? " " : "",
                               step_label(s->option + x->move[k].option));
        if (n < 0 || (size_t)n >= size - used)
            return; /* the rest does not fit */
        used += (size_t)n;
    }
}

static lev_status fill_points(const space *s, const lev_plan_front *front,
                              lev_face_result *r, lev_error *err)
{
    lev_status st = LEV_OK;
    const ptrdiff_t n = front->n < LEV_FACE_PARETO ? front->n : LEV_FACE_PARETO;
    LEV_TRY(lev_mem_new((size_t)(n > 0 ? n : 1), sizeof *r->pareto, (void **)&r->pareto,
                        err));
    for (ptrdiff_t i = 0; i < n; i++) {
        /* more vectors than fit: evenly spaced ones, first and last among them */
        const ptrdiff_t at = n > 1 ? i * (front->n - 1) / (n - 1) : 0;
        const lev_plan_ladder *x = front->ladder + at;
        const space_option *last = s->option + x->move[x->n - 1].option;
        r->pareto[i] = (lev_face_point){
            x->time_s * s->face->count, x->money * s->face->count,
            x->remove_um + last->lay_um, x->n + (last->lay_s > 0.0 ? 1 : 0), ""};
        write_labels(s, x, r->pareto[i].labels, sizeof r->pareto[i].labels);
    }
    r->points = (int)n;
    r->pareto_whole = (front->notes & LEV_NOTE_NOT_EXACT) == 0 && n == front->n;
out:
    return st;
}

static lev_status fill_ladder(const space *s, plan_solver *v, const lev_plan_ladder *x,
                              lev_plan_goal goal, const char *word, lev_face_result *r,
                              lev_error *err)
{
    lev_status st = LEV_OK;
    lev_face_ladder *out = r->ladder + r->ladders;
    out->goal = word;
    LEV_TRY(steps_fill(s, x, out, err));
    steps_explain(s, x, out);
    if (r->ladders == 0) /* the one that is shown first */
        LEV_TRY(steps_try_without(s, v, x, goal, out, err));
    r->notes |= out->notes;
    r->mark = lev_mark_weaker(r->mark, out->mark);
    r->ladders++;
out:
    return st;
}

/* Paid work goes by money, which holds the labour; unpaid work by time. */
static lev_plan_goal usual_goal(const lev_face *f)
{
    return f->labour_minor_per_s > 0.0 ? LEV_PLAN_MONEY : LEV_PLAN_TIME;
}

static lev_status fill_result(const space *s, plan_solver *v,
                              const lev_plan_ladder goal[LEV_PLAN_GOALS],
                              lev_face_result *r, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_plan_front front = {0};
    const lev_plan_goal usual = usual_goal(s->face);
    LEV_TRY(plan_solver_sample(v, &front, err));
    LEV_TRY(fill_points(s, &front, r, err));
    LEV_TRY(lev_mem_new(LEV_FACE_LADDERS, sizeof *r->ladder, (void **)&r->ladder, err));
    LEV_TRY(fill_ladder(s, v, goal + usual, usual, "usual", r, err));
    for (int k = 0; k < LEV_PLAN_GOALS; k++)
        LEV_TRY(fill_ladder(s, v, goal + k, (lev_plan_goal)k, GOAL_WORDS[k], r, err));
    r->feasible = true;
out:
    lev_plan_front_release(&front);
    return st;
}

static lev_status solve_all(plan_solver *v, lev_plan_ladder goal[LEV_PLAN_GOALS],
                            lev_error *err)
{
    lev_status st = LEV_OK;
    for (int k = 0; k < LEV_PLAN_GOALS; k++) {
        LEV_TRY(plan_solver_solve(v, k, PLAN_INF, PLAN_INF, goal + k, err));
        if (goal[k].n == 0 && (goal[k].notes & LEV_NOTE_NOT_EXACT) != 0)
            LEV_TRY(lev_fail(err, LEV_E_LIMIT,
                             "more than %d partial ladders and none whole; name the "
                             "drives or fewer media",
                             (int)v->s.most));
        if (goal[k].n == 0) /* then there is none for any goal */
            break;
    }
out:
    return st;
}

lev_status lev_face_plan(const lev_face *face, const lev_plan_limits *limits,
                         lev_face_result *out, lev_error *err)
{
    lev_status st = LEV_OK;
    space s = {0};
    plan_solver v = {0};
    lev_face_result r = {0};
    lev_plan_ladder goal[LEV_PLAN_GOALS] = {{0}};
    const lev_plan_limits few = at_most(limits, GOAL_LABELS);
    LEV_TRY(space_init(&s, face, err));
    if (s.n > 0) {
        LEV_TRY(plan_solver_init(&v, &s.table, &few, err));
        LEV_TRY(solve_all(&v, goal, err));
    }
    if (goal[LEV_PLAN_TIME].n > 0)
        LEV_TRY(fill_result(&s, &v, goal, &r, err));
    else
        LEV_TRY(help_find(&s, &few, &r, err));
    *out = r;
    r = (lev_face_result){0};
out:
    lev_face_result_release(&r);
    plan_solver_release(&v);
    space_release(&s);
    return st;
}

void lev_face_result_release(lev_face_result *r)
{
    if (r == NULL)
        return;
    lev_mem_free(r->ladder);
    lev_mem_free(r->pareto);
    *r = (lev_face_result){0};
}
