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
enum { GOAL_LABELS = 40000 };

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

/* What is shown of a face while it is filled: each ladder of the result with the moves
 * it was made from and the goal it serves. */
typedef struct shown {
    const lev_plan_ladder *from[LEV_FACE_LADDERS + LEV_FACE_PARETO];
    lev_plan_goal goal[LEV_FACE_LADDERS + LEV_FACE_PARETO];
} shown;

static bool same_moves(const lev_plan_ladder *a, const lev_plan_ladder *b)
{
    if (a->n != b->n)
        return false;
    for (int k = 0; k < a->n; k++)
        if (a->move[k].option != b->move[k].option ||
            a->move[k].level != b->move[k].level)
            return false;
    return true;
}

static lev_status fill_ladder(const space *s, shown *w, const lev_plan_ladder *x,
                              lev_plan_goal goal, const char *word, lev_face_result *r,
                              lev_error *err)
{
    lev_status st = LEV_OK;
    lev_face_ladder *out = r->ladder + r->ladders;
    (void)snprintf(out->goal, sizeof out->goal, "%s", word);
    LEV_TRY(steps_fill(s, x, out, err));
    steps_explain(s, x, out);
    w->from[r->ladders] = x;
    w->goal[r->ladders] = goal;
    if (r->ladders < LEV_FACE_LADDERS) { /* of the answer; a choice has its own */
        r->notes |= out->notes & ~(unsigned)LEV_NOTE_JUMP;
        r->mark = lev_mark_weaker(r->mark, out->mark);
    }
    r->ladders++;
out:
    return st;
}

/* The ladder of a point: that of a goal, or one more behind them. A choice takes least
 * time among those that take no more off or have no more steps. */
static lev_status ladder_of(const space *s, shown *w, const lev_plan_ladder *x,
                            lev_face_result *r, int *at, lev_error *err)
{
    char word[LEV_FACE_GOAL];
    for (*at = 1; *at < r->ladders; ++*at)
        if (same_moves(w->from[*at], x))
            return LEV_OK;
    if (same_moves(w->from[0], x)) {
        *at = 0;
        return LEV_OK;
    }
    (void)snprintf(word, sizeof word, "choice-%d", *at - LEV_FACE_LADDERS + 1);
    return fill_ladder(s, w, x, LEV_PLAN_TIME, word, r, err);
}

static lev_status fill_points(const space *s, const lev_plan_front *front, shown *w,
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
        lev_face_point *p = r->pareto + i;
        *p = (lev_face_point){.time_s = x->time_s * s->face->count,
                              .cost_minor = x->money * s->face->count,
                              .remove_um = x->remove_um + last->lay_um,
                              .steps = x->n + (last->lay_s > 0.0 ? 1 : 0)};
        LEV_TRY(ladder_of(s, w, x, r, &p->ladder, err));
        write_labels(s, x, p->labels, sizeof p->labels);
    }
    r->points = (int)n;
    r->pareto_whole = (front->notes & LEV_NOTE_NOT_EXACT) == 0 && n == front->n;
out:
    return st;
}

static lev_status choose(const space *s, plan_solver *v, const shown *w,
                         lev_face_result *r, lev_error *err)
{
    const char *goal = s->face->goal != NULL ? s->face->goal : "usual";
    while (r->chosen < r->ladders && strcmp(r->ladder[r->chosen].goal, goal) != 0)
        r->chosen++;
    if (r->chosen == r->ladders)
        return lev_fail(
            err, LEV_E_UNKNOWN,
            "face %.40s has no ladder \"%.20s\"; it has usual, time, money, "
            "removal, steps%s%s",
            s->face->name, goal,
            r->ladders > LEV_FACE_LADDERS + 1 ? ", choice-1 to "
            : r->ladders > LEV_FACE_LADDERS   ? ", "
                                              : "",
            r->ladders > LEV_FACE_LADDERS ? r->ladder[r->ladders - 1].goal : "");
    r->notes |= r->ladder[r->chosen].notes; /* a jump counts where it is made */
    return steps_try_without(s, v, w->from[r->chosen], w->goal[r->chosen],
                             r->ladder + r->chosen, err);
}

/* Paid work goes by money, which holds the labour; unpaid work by time. */
static lev_plan_goal usual_goal(const lev_face *f)
{
    return f->labour_minor_per_s > 0.0 ? LEV_PLAN_MONEY : LEV_PLAN_TIME;
}

static double worth(const lev_plan_ladder *x, lev_plan_goal goal)
{
    return goal == LEV_PLAN_MONEY ? x->money : x->time_s;
}

/* The shortest ladder of those as good as the best: nobody could tell the rest apart,
 * and every change of grit is one more to fetch, clean up after and get wrong. */
static const lev_plan_ladder *usual_ladder(const lev_plan_ladder goal[LEV_PLAN_GOALS],
                                           const lev_plan_front *front,
                                           lev_plan_goal by)
{
    const double enough = worth(goal + by, by) * (1.0 + space_rule("near"));
    const lev_plan_ladder *best = goal + by;
    for (ptrdiff_t i = 0; i < LEV_PLAN_GOALS + front->n; i++) {
        const lev_plan_ladder *const x =
            i < LEV_PLAN_GOALS ? goal + i : front->ladder + (i - LEV_PLAN_GOALS);
        const double more = worth(x, by) - worth(best, by);
        if (worth(x, by) <= enough &&
            (x->n < best->n || (x->n == best->n && more < 0.0)))
            best = x;
    }
    return best;
}

static lev_status fill_result(const space *s, plan_solver *v,
                              const lev_plan_ladder goal[LEV_PLAN_GOALS],
                              lev_face_result *r, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_plan_front front = {0};
    shown w = {{NULL}, {LEV_PLAN_TIME}};
    const lev_plan_goal usual = usual_goal(s->face);
    LEV_TRY(plan_solver_sample(v, &front, err));
    const ptrdiff_t more = front.n < LEV_FACE_PARETO ? front.n : LEV_FACE_PARETO;
    LEV_TRY(lev_mem_new((size_t)(LEV_FACE_LADDERS + more), sizeof *r->ladder,
                        (void **)&r->ladder, err));
    LEV_TRY(
        fill_ladder(s, &w, usual_ladder(goal, &front, usual), usual, "usual", r, err));
    for (int k = 0; k < LEV_PLAN_GOALS; k++)
        LEV_TRY(fill_ladder(s, &w, goal + k, (lev_plan_goal)k, GOAL_WORDS[k], r, err));
    LEV_TRY(fill_points(s, &front, &w, r, err));
    LEV_TRY(choose(s, v, &w, r, err));
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
