/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A plan as JSON. Figures whole, keys as the contract has them. */
#include "app_plan.h"

#include <math.h>
#include <string.h>

#include "json.h"

static const char *stroke_id(lev_face_stroke stroke)
{
    switch (stroke) {
    case LEV_STROKE_TO_AND_FRO:
        return "to-and-fro";
    case LEV_STROKE_ONE_WAY:
        return "one-way";
    case LEV_STROKE_CIRCLES:
        return "circles";
    case LEV_STROKE_MACHINE:
        break;
    }
    return "machine";
}

const char *lev_cut_kind_word(lev_cut_kind kind)
{
    static const char *const words[LEV_CUT_KINDS] = {"grit",    "file",  "draw-file",
                                                     "scraper", "plane", "lathe-cut",
                                                     "burnish", "buff",  "grain"};
    return words[kind];
}

static int put_what(json_t *o, const lev_face_step *s)
{
    int bad = lev_json_put_text(o, "kind", lev_cut_kind_word(s->kind));
    if (s->medium != NULL) {
        bad |= lev_json_put_text(o, "system", s->medium->system);
        bad |= lev_json_put_text(o, "label", s->medium->label);
        bad |= lev_json_put_number(o, "d50_um", s->medium->d50_um);
        bad |= lev_json_put_text(o, "mineral", s->medium->mineral);
        bad |= lev_json_put_text(o, "carrier", s->medium->carrier);
    } else {
        bad |= lev_json_put_text(o, "label", s->label);
        bad |= lev_json_put_text(o, "form", s->form);
    }
    return bad;
}

static int put_how(json_t *o, const lev_face_step *s)
{
    int bad = lev_json_put_text(o, "drive", s->drive);
    bad |= lev_json_put_text(o, "backing", s->backing);
    bad |= lev_json_put_text(o, "push", s->push);
    bad |= lev_json_put_number(o, "push_n", s->push_n);
    bad |= lev_json_put_number(o, "pressure_kpa", s->pressure_kpa);
    bad |= lev_json_put_number(o, "direction", s->direction_deg);
    bad |= lev_json_put_text(o, "stroke", stroke_id(s->stroke));
    bad |= lev_json_put_number(o, "strokes", s->strokes);
    bad |= lev_json_put_number(o, "strokes_per_lane", s->strokes_per_lane);
    bad |= lev_json_put_text(o, "fluid", lev_fluid_word(s->fluid));
    return bad;
}

static int put_text_of(json_t *o, const char *key, lev_text *t)
{
    const int bad = t->st < 0 ? -1 : lev_json_put_text(o, key, lev_text_get(t));
    lev_text_release(t);
    return bad;
}

static json_t *step_json(const lev_face_step *s, int *failed)
{
    json_t *o = json_object();
    lev_text check = {0}, stop = {0};
    int bad = put_what(o, s) | put_how(o, s);
    bad |= lev_json_put_number(o, "remove_um", s->remove_um);
    bad |= lev_json_put_spread(o, "time_s", s->time_s);
    bad |= lev_json_put_number(o, "look_s", s->look_s);
    bad |= lev_json_put_number(o, "sheets", s->sheets.p50);
    bad |= lev_json_put_spread(o, "sheets_spread", s->sheets);
    bad |= lev_json_put_int(o, "media_changes", s->media_changes);
    bad |= lev_json_put_number(o, "cost_minor", s->cost_minor);
    bad |= lev_json_put_spread(o, "Ra_after_um", s->ra_after_um);
    bad |= lev_json_put_number(o, "deepest_after_um", fmax(s->pass.deepest_um, 0.0));
    if (!lev_step_has_lay(s))
        bad |= lev_json_put_flag(o, "no_lay", true);
    bad |= lev_json_put_number(o, "residue", s->residue_um);
    lev_step_check(&check, s);
    bad |= put_text_of(o, "check", &check);
    bad |= lev_json_put_flag(o, "gate", s->gate);
    bad |= lev_json_put_flag(o, "clean_down", s->clean_down);
    lev_step_stop_if(&stop, s);
    bad |= put_text_of(o, "stop_if", &stop);
    bad |= lev_json_put_text(o, "why", s->why);
    bad |= lev_json_put_text(o, "if_skipped", s->if_skipped);
    bad |= lev_json_put_notes(o, s->notes);
    *failed |= bad;
    return o;
}

json_t *lev_plan_ladder_json(const lev_face *face, const lev_face_ladder *ladder,
                             int *failed)
{
    json_t *o = json_object(), *steps = json_array();
    (void)face;
    int bad = lev_json_put_text(o, "goal", ladder->goal);
    for (int i = 0; i < ladder->steps; i++)
        bad |= lev_json_add(steps, step_json(&ladder->step[i], failed));
    bad |= lev_json_put(o, "steps", steps);
    bad |= lev_json_put_spread(o, "time_s", ladder->time_s);
    bad |= lev_json_put_spread(o, "elapsed_s", ladder->elapsed_s);
    bad |= lev_json_put_spread(o, "cost_minor", ladder->cost_minor);
    bad |= lev_json_put_spread(o, "remove_um", ladder->remove_um);
    bad |= lev_json_put_text(o, "mark", lev_mark_name(ladder->mark));
    bad |= lev_json_put_notes(o, ladder->notes);
    *failed |= bad;
    return o;
}

static json_t *pareto_json(const lev_face_result *r, int *failed)
{
    json_t *list = json_array();
    for (int i = 0; i < r->points; i++) {
        const lev_face_point *p = &r->pareto[i];
        json_t *o = json_object();
        int bad = lev_json_put_number(o, "time_s", p->time_s);
        bad |= lev_json_put_number(o, "cost_minor", p->cost_minor);
        bad |= lev_json_put_number(o, "remove_um", p->remove_um);
        bad |= lev_json_put_int(o, "steps", p->steps);
        bad |= lev_json_put_text(o, "ladder", p->labels);
        bad |= lev_json_put_text(o, "goal", r->ladder[p->ladder].goal);
        *failed |= bad | lev_json_add(list, o);
    }
    return list;
}

static json_t *cautions_json(const lev_plan_face_answer *f, int *failed)
{
    json_t *list = json_array();
    for (int i = 0; i < f->cautions; i++) {
        const lev_row_safety *row = f->caution[i];
        json_t *o = json_object();
        int bad = lev_json_put_text(o, "id", row->id);
        bad |= lev_json_put_text(o, "severity", row->severity);
        bad |= lev_json_put_text(o, "text", row->caution);
        bad |= lev_json_put_text(o, "when", row->condition);
        bad |= lev_json_put_text(o, "source", lev_tab_source[row->source].citation);
        bad |= lev_json_put_text(o, "mark", lev_mark_name(row->mark));
        *failed |= bad | lev_json_add(list, o);
    }
    return list;
}

static int put_why_not(json_t *o, const lev_plan_face_answer *f)
{
    if (f->leave == NULL)
        return lev_json_put_text(o, "why_not", f->result.why_not) |
               lev_json_put_text(o, "would_help", f->result.would_help);
    lev_text t = {0};
    lev_text_print(&t, "leave it alone: %s", f->leave->reason);
    int bad = put_text_of(o, "why_not", &t);
    bad |= lev_json_put_text(o, "would_help", f->leave->instead);
    return bad | lev_json_put_flag(o, "leave_alone", true);
}

static json_t *face_json(const lev_plan_face_answer *f, int *failed)
{
    json_t *o = json_object(), *ladders = json_array(), *choices = json_array();
    lev_text first = {0}, second = {0};
    const bool feasible = f->leave == NULL && f->result.feasible;
    int bad = lev_json_put_text(o, "name", f->asked->name);
    bad |= lev_json_put_flag(o, "feasible", feasible);
    lev_plan_first_line(&first, f);
    lev_plan_second_line(&second, f);
    bad |= put_text_of(o, "answer", &first);
    bad |= put_text_of(o, "proof", &second);
    if (!feasible)
        bad |= put_why_not(o, f);
    bad |= lev_json_put_number(o, "from_log_pct", 100.0 * f->from_log);
    bad |= lev_json_put_int(o, "log_entries", f->log_entries);
    bad |= lev_json_put_text(o, "short_of", f->short_of);
    for (int i = 0; i < f->result.ladders; i++)
        bad |=
            lev_json_add(i < LEV_FACE_LADDERS ? ladders : choices,
                         lev_plan_ladder_json(&f->face, &f->result.ladder[i], failed));
    if (f->result.ladders > 0)
        bad |= lev_json_put_text(o, "chosen", lev_plan_chosen(f)->goal);
    bad |= lev_json_put(o, "ladders", ladders);
    bad |= lev_json_put(o, "choices", choices);
    bad |= lev_json_put(o, "pareto", pareto_json(&f->result, failed));
    bad |= lev_json_put(o, "cautions", cautions_json(f, failed));
    bad |= lev_json_put_text(o, "mark", lev_mark_name(f->mark));
    bad |= lev_json_put_notes(o, f->notes);
    *failed |= bad;
    return o;
}

json_t *lev_app_plan_json(const lev_plan_answer *a, int *failed)
{
    json_t *r = lev_json_reply(), *faces = json_array();
    int bad = lev_json_put_text(r, "name", a->job->name);
    bad |= lev_json_put_flag(r, "feasible", a->all_feasible);
    for (ptrdiff_t i = 0; i < a->faces; i++)
        bad |= lev_json_add(faces, face_json(&a->face[i], failed));
    bad |= lev_json_put(r, "faces", faces);
    bad |= lev_json_put_int(r, "log_entries", a->log_all);
    bad |= lev_json_put_text(r, "currency", a->job->currency);
    bad |=
        lev_json_put_text(r, "prices", a->catalogue ? "usual ones, assumed" : "drawer");
    bad |= lev_json_put_text(r, "deference", lev_deference());
    *failed |= bad;
    return r;
}
