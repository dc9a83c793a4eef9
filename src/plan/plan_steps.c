/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Figures of each step. See plan_steps.h. */
#include "plan_steps.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "levigate/note.h"
#include "mem.h"
#include "num.h"
#include "units.h"

const char *step_label(const space_option *o)
{
    if (o->medium != NULL)
        return o->medium->label;
    /* NOLINTNEXTLINE: no medium means a form */
    const lev_row_form_word *word = space_form_word(o->form->id);
    return word != NULL ? word->words : o->form->id;
}

/* The last step runs along the lay; each one before is turned against the next. */
static double direction_deg(const space *s, int k, int n)
{
    const int from_end = n - 1 - k;
    if (from_end == 0)
        return 0.0;
    if (s->face->work.family == LEV_CUT_WOOD)
        return from_end % 2 != 0 ? space_rule("turn-wood") : 0.0;
    return from_end % 2 != 0 ? space_rule("turn") : -space_rule("turn");
}

static lev_face_stroke stroke_of(const space *s, const space_option *o, bool last)
{
    if (!space_by_hand(o))
        return LEV_STROKE_MACHINE;
    if (last && s->face->target.lay == LEV_LAY_NONE)
        return LEV_STROKE_CIRCLES;
    return LEV_STROKE_TO_AND_FRO;
}

/* The sign of data/plan/stop_sign.csv that matters most. */
static const char *stop_sign(const lev_face *f, const space_option *o)
{
    if (lev_known(f->budget_um))
        return f->work.family == LEV_CUT_WOOD ? "through" : "rounding";
    if (!space_by_hand(o))
        return f->work.family == LEV_CUT_METAL ? "heat" : "scorch";
    if (strcmp(f->shape, "flat") == 0)
        return "rounding";
    return o->medium != NULL ? "clog" : "hollow";
}

static lev_spread times(lev_spread x, double by)
{
    return (lev_spread){x.p10 * by, x.p50 * by, x.p90 * by};
}

/* What steps 0 .. last but `skip` leave of the start marks, by the law of the table
 * that was searched; and no mark goes faster than the face around it. */
static double start_left_um(const space *s, const lev_plan_ladder *x, int last,
                            int skip)
{
    const lev_plan_mark *mark = s->table.mark;
    double a = mark->share > 0.0 ? mark->amplitude_um : 0.0, sunk = mark->amplitude_um;
    for (int i = 0; i <= last; i++) {
        const double um = x->move[i].level * s->table.unit_um;
        const lev_cut_pass law = {.rho_long_um =
                                      mark->share * s->row[x->move[i].option].rho_um,
                                  .mark_c = mark->tail};
        if (i == skip)
            continue;
        a = lev_cut_mark_left_um(&law, a, um);
        sunk -= um;
    }
    return fmax(a, sunk);
}

/* Deepest old line left after step k of what came before it. */
static double residue_um(const space *s, const lev_plan_ladder *x, int k)
{
    double most = 0.0;
    for (int i = 0; i < k; i++) {
        const space_option *old = s->option + x->move[i].option;
        lev_cut_measures m = {0};
        for (int after = i + 1; after <= k; after++)
            m = lev_cut_measures_add(m, &s->option[x->move[after].option].pass,
                                     x->move[after].level * s->table.unit_um);
        most = fmax(most, old->pass.deepest_um * lev_cut_left(old->grain_um, m));
    }
    if (s->table.marks > 0 && lev_known(s->face->start.mark_um))
        most = fmax(most, start_left_um(s, x, k, -1));
    return most;
}

typedef struct total {
    lev_cut_term term[LEV_FACE_STEPS];
    double aside_s; /* set-up, changes and looks: taken as certain */
} total;

/* Labour and abrasive of the final strokes, all pieces. */
static double lay_minor(const space *s, const space_option *o)
{
    const lev_face *f = s->face;
    if (!(o->lay_s > 0.0))
        return 0.0;
    return f->count * (o->lay_s * f->shape_time * f->labour_minor_per_s +
                       space_lay_sheets(o) * o->medium->price_minor);
}

/* The final one-way strokes, behind the clearing step with the same medium. */
static void fill_lay(const space *s, const space_option *o, const lev_face_step *before,
                     total *sum, lev_face_step *out)
{
    const lev_face *f = s->face;
    const double time_s = o->lay_s * f->shape_time * f->count;
    const double sheets = space_lay_sheets(o) * f->count;
    *out = *before;
    out->kind = LEV_CUT_GRAIN;
    out->direction_deg = out->old_direction_deg = 0.0;
    out->stroke = LEV_STROKE_ONE_WAY;
    out->strokes = NAN;
    out->strokes_per_lane = space_rule("lane-strokes");
    if (f->work.family == LEV_CUT_METAL && strcmp(f->fluid, "any") == 0)
        out->fluid = LEV_CUT_OIL;
    out->remove_um = o->lay_um;
    out->time_s = (lev_spread){time_s, time_s, time_s};
    out->look_s = time_s;
    out->sheets = (lev_spread){sheets, sheets, sheets};
    out->media_changes = 0;
    out->cost_minor = lay_minor(s, o);
    out->ra_after_um = lev_cut_ra_spread(&o->lay);
    out->pass = o->lay;
    out->notes |= o->lay.notes;
    snprintf(out->why, sizeof out->why, "It lays all lines one way, edge to edge");
    snprintf(out->if_skipped, sizeof out->if_skipped,
             "the turns of the strokes show in the grain");
    sum->aside_s += time_s;
}

/* The model clears it, but no shop would take it on trust. */
static unsigned jump_note(const space *s, const lev_plan_ladder *x, int k)
{
    const space_option *o = s->option + x->move[k].option;
    const space_option *before = k > 0 ? s->option + x->move[k - 1].option : NULL;
    if (before == NULL || before->medium == NULL || o->medium == NULL)
        return 0U;
    return before->medium->d50_um > space_rule("jump") * o->medium->d50_um
               ? LEV_NOTE_JUMP
               : 0U;
}

static lev_status fill_step(const space *s, const lev_plan_ladder *x, int k, total *sum,
                            lev_face_step *out, lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_face *f = s->face;
    const space_option *o = s->option + x->move[k].option;
    const double depth = x->move[k].level * s->table.unit_um;
    const double by = f->count * f->shape_time;
    lev_cut_cost c;
    LEV_TRY(space_cost(s, o, depth, &c, err));
    *out = (lev_face_step){
        .kind = o->tool.kind,
        .medium = o->medium,
        .form = o->form != NULL ? o->form->id : NULL,
        .label = step_label(o),
        .drive = o->drive != NULL ? o->drive->id : "",
        .backing = o->drive != NULL ? o->drive->backing : "",
        .push = o->push != NULL ? o->push->id : "",
        .push_n = o->form == NULL ? o->tool.push_n : o->form->push_n,
        .pressure_kpa = o->pass.pressure_kpa,
        .direction_deg = direction_deg(s, k, x->n),
        .old_direction_deg = k > 0 ? direction_deg(s, k - 1, x->n) : f->start.lay_deg,
        .stroke = stroke_of(s, o, k == x->n - 1),
        .strokes = NAN,
        .strokes_per_lane = NAN,
        .fluid = o->tool.fluid,
        .remove_um = depth,
        .time_s = times(c.time_spread_s, by),
        .sheets = times(c.sheets_spread, by),
        .media_changes = c.media_changes * f->count,
        .ra_after_um = lev_cut_ra_spread(&o->pass),
        .residue_um = residue_um(s, x, k),
        .check = f->check,
        .clean_down = o->drive != NULL,
        .stop_if = stop_sign(f, o),
        .pass = o->pass,
        .notes = o->pass.notes | (o->medium != NULL ? o->medium->notes : 0U) |
                 jump_note(s, x, k),
    };
    const ptrdiff_t at =
        (ptrdiff_t)x->move[k].option * SPACE_LEVELS + x->move[k].level - 1;
    out->cost_minor = s->money[at] * f->count - lay_minor(s, o);
    out->look_s =
        out->time_s.p10 + space_rule("early") * (out->time_s.p50 - out->time_s.p10);
    if (space_by_hand(o) && o->drive != NULL)
        out->strokes =
            out->time_s.p50 / f->count / LEV_S_PER_MIN * o->drive->strokes_per_min;
    sum->term[k] = lev_cut_time_term(&o->pass, &c, true);
    sum->term[k].median *= by;
    sum->aside_s += (space_aside_s(s, o) + c.change_s) * f->count;
out:
    return st;
}

/* Labour follows the time; abrasive goes with it, since slow cutting wears more. */
static lev_spread cost_spread(const space *s, const lev_face_ladder *x, double cost)
{
    const double rate = s->face->labour_minor_per_s;
    lev_spread c = {cost + rate * (x->time_s.p10 - x->time_s.p50), cost,
                    cost + rate * (x->time_s.p90 - x->time_s.p50)};
    for (int k = 0; k < x->steps; k++) {
        const lev_face_step *step = x->step + k;
        const double price = step->medium != NULL ? step->medium->price_minor : 0.0;
        c.p10 += price * (step->sheets.p10 - step->sheets.p50);
        c.p90 += price * (step->sheets.p90 - step->sheets.p50);
    }
    return c;
}

lev_status steps_fill(const space *s, const lev_plan_ladder *x, lev_face_ladder *out,
                      lev_error *err)
{
    lev_status st = LEV_OK;
    total sum = {.aside_s = 0.0};
    double cost = 0.0;
    const space_option *last = s->option + x->move[x->n - 1].option;
    const int steps = x->n + (last->lay_s > 0.0 ? 1 : 0);
    if (steps > LEV_FACE_STEPS)
        LEV_TRY(lev_fail(err, LEV_E_LIMIT, "a ladder of %d steps; at most %d", steps,
                         (int)LEV_FACE_STEPS));
    out->steps = steps;
    out->notes = x->notes;
    for (int k = 0; k < x->n; k++) {
        LEV_TRY(fill_step(s, x, k, &sum, out->step + k, err));
        cost += out->step[k].cost_minor;
        out->notes |= out->step[k].notes;
        out->mark = lev_mark_weaker(out->mark, out->step[k].pass.mark);
    }
    if (steps > x->n) {
        fill_lay(s, last, out->step + x->n - 1, &sum, out->step + x->n);
        cost += out->step[x->n].cost_minor;
    }
    const lev_spread work = lev_cut_total(sum.term, x->n);
    out->time_s = (lev_spread){work.p10 + sum.aside_s, work.p50 + sum.aside_s,
                               work.p90 + sum.aside_s};
    out->elapsed_s = out->time_s;
    out->cost_minor = cost_spread(s, out, cost);
    out->remove_um =
        lev_spread_lognormal(x->remove_um + last->lay_um,
                             x->n > 0 ? out->step[0].pass.lnsd[LEV_CUT_F_RELAX] : 0.0);
    gates_place(s, out);
out:
    return st;
}

/* What stays if step k is left out and the others keep their depth: the start mark, or
 * the first texture before it that is not cleared. */
static void say_why(const space *s, const lev_plan_ladder *x, int k, lev_face_step *out)
{
    const int l = x->move[x->n - 1].option;
    double worst = 0.0;
    int who = -2;
    for (int i = -1; i < k; i++) {
        lev_cut_measures m = {0};
        for (int after = i + 1; after < x->n; after++)
            if (after != k)
                m = lev_cut_measures_add(m, &s->option[x->move[after].option].pass,
                                         x->move[after].level * s->table.unit_um);
        const ptrdiff_t at = i >= 0 ? (ptrdiff_t)l * s->n + x->move[i].option : 0;
        const double ns = i < 0 ? s->last[l].start_short : s->need_short[at];
        const double nl = i < 0 ? s->last[l].start_long : s->need_long[at];
        const double short_of = fmax(ns > 0.0 ? 1.0 - m.w_short / ns : 0.0,
                                     nl > 0.0 ? 1.0 - m.w_long / nl : 0.0);
        if (short_of > worst) {
            worst = short_of;
            who = i;
        }
    }
    const double a = s->table.marks > 0 ? start_left_um(s, x, x->n - 1, k) : 0.0;
    if (k == x->n - 1 && !(s->option[l].lay_s > 0.0))
        snprintf(out->why, sizeof out->why, "It leaves the surface that was asked for");
    else if (s->table.marks > 0 && a > s->last[l].mark_end_um)
        snprintf(out->why, sizeof out->why,
                 "With the other steps as they are, marks of the start would stay "
                 "%.2g um deep",
                 a);
    else if (who >= 0)
        snprintf(out->why, sizeof out->why,
                 "With the other steps as they are, lines of %s would stay",
                 step_label(s->option + x->move[who].option));
    else if (who == -1)
        snprintf(out->why, sizeof out->why,
                 "With the other steps as they are, lines of the start would stay");
    else
        snprintf(out->why, sizeof out->why, "It shortens the steps around it");
}

void steps_explain(const space *s, const lev_plan_ladder *x, lev_face_ladder *out)
{
    for (int k = 0; k < x->n; k++)
        say_why(s, x, k, out->step + k);
}

/* What leaving a size out costs, in the one figure that says most. */
static void say_without(const space *s, const lev_plan_ladder *x,
                        const lev_plan_ladder *other, lev_face_step *step)
{
    const double min = (other->time_s - x->time_s) * s->face->count / LEV_S_PER_MIN;
    const double more_um = other->remove_um - x->remove_um;
    char *to = step->if_skipped;
    const size_t size = sizeof step->if_skipped;
    if (other->n == 0)
        snprintf(to, size, "there is no safe ladder");
    else if (min >= 0.5)
        snprintf(to, size, "the rest then takes %.0f min longer", ceil(min - 0.25));
    else if (other->money > x->money * 1.01)
        snprintf(to, size, "the rest then costs %.0f %% more",
                 100.0 * (other->money / x->money - 1.0));
    else if (more_um >= 1.0)
        snprintf(to, size, "the rest then takes %.0f um more off the face", more_um);
    else if (other->n < x->n)
        snprintf(to, size, "about the same: leave it out if you lack it");
    else
        snprintf(to, size, "about the same with another in its place");
}

lev_status steps_try_without(const space *s, plan_solver *v, const lev_plan_ladder *x,
                             lev_plan_goal goal, lev_face_ladder *out, lev_error *err)
{
    lev_status st = LEV_OK;
    for (int k = 0; k < x->n; k++) {
        lev_plan_ladder other = {0};
        LEV_TRY(plan_solver_bar(v, v->p.size_class[x->move[k].option], err));
        LEV_TRY(plan_solver_solve(v, (int)goal, PLAN_INF, PLAN_INF, &other, err));
        say_without(s, x, &other, out->step + k);
    }
out:
    return st;
}
