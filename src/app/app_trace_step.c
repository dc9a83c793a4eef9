/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a step of a job should leave: its texture and the two directions as the plan has
 * them, and the target of the face as limits. See app_trace_set.h. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "app_trace_set.h"

static lev_status find_step(const lev_plan_face_answer *f, int step,
                            const lev_face_step **out, lev_error *err)
{
    if (f->result.ladders == 0)
        return lev_fail(err, LEV_E_RANGE,
                        "face %s has no ladder to judge a step of: %s", f->face.name,
                        f->leave != NULL ? f->leave->reason : f->result.why_not);
    const lev_face_ladder *l = lev_plan_chosen(f);
    if (step < 1 || step > l->steps)
        return lev_fail(err, LEV_E_USAGE, "--step %d: the ladder of %s has %d step%s",
                        step, f->face.name, l->steps, l->steps == 1 ? "" : "s");
    *out = &l->step[step - 1];
    return LEV_OK;
}

/* The lines to be taken out run in a direction of their own. */
static bool old_has_lay(const lev_face_ladder *l, int step)
{
    if (!isfinite(l->step[step - 1].old_direction_deg))
        return false;
    return step == 1 || lev_step_has_lay(&l->step[step - 2]);
}

static void expect(const lev_face_ladder *l, int step, lev_expected *out)
{
    const lev_face_step *s = &l->step[step - 1];
    *out = (lev_expected){.Ra_um = s->ra_after_um,
                          .deepest_um = fmax(s->pass.deepest_um, 0.0),
                          .old_deg = s->old_direction_deg,
                          .new_deg = s->direction_deg,
                          .no_lay = !lev_step_has_lay(s)};
    out->has_direction =
        !out->no_lay && old_has_lay(l, step) && isfinite(s->direction_deg);
}

static lev_accept_rule rule_of(lev_face_rule rule)
{
    if (rule == LEV_RULE_MAX)
        return LEV_ACCEPT_MAX;
    return rule == LEV_RULE_16PCT ? LEV_ACCEPT_16PCT : LEV_ACCEPT_MEAN;
}

static void add_limit(lev_trace_request *req, const char *symbol, double um, bool below,
                      lev_accept_rule rule)
{
    if (isfinite(um) && req->limits < LEV_TRACE_LIMITS)
        req->limit[req->limits++] =
            (lev_trace_limit){.symbol = symbol, .um = um, .below = below, .rule = rule};
}

/* The target in figures: Ra or Rz of traces, Sa of maps. */
static void target_limits(const lev_plan_face_answer *f, const lev_accept_rule *accept,
                          lev_trace_request *req)
{
    const lev_face_target *t = &f->face.target;
    const lev_accept_rule rule = accept != NULL ? *accept : rule_of(t->rule);
    const bool own = f->asked->target.kind == LEV_TARGET_LIMIT;
    const bool areal = own && strcmp(f->asked->target.symbol, "Sa") == 0;
    const char *symbol = areal ? "Sa" : "Ra";
    if (isfinite(t->rz_max_um)) {
        add_limit(req, "Rz", t->rz_max_um, false, rule);
        return;
    }
    add_limit(req, symbol, t->ra_max_um, false, rule);
    add_limit(req, symbol, t->ra_min_um, true, rule);
}

lev_status lev_app_trace_step(const lev_trace_step *step, const lev_accept_rule *accept,
                              lev_trace_request *req, lev_trace_set *set,
                              lev_error *err)
{
    lev_status st = LEV_OK;
    lev_plan_answer plan = {0};
    const lev_plan_from from = {.goal = step->goal};
    const lev_face_step *s = NULL;
    LEV_TRY(lev_plan_one_face(step->job, step->face, &from, &plan, err));
    const lev_plan_face_answer *f = &plan.face[0];
    LEV_TRY(find_step(f, step->step, &s, err));
    if (s == NULL) /* never so after success; said for the analyser */
        goto out;
    const lev_face_ladder *l = lev_plan_chosen(f);
    expect(l, step->step, &req->expected);
    req->has_expected = true;
    req->to_length = true;
    req->length_deg = step->length_deg;
    set->due = req->limits > 0 || step->step == l->steps;
    if (req->limits == 0)
        target_limits(f, accept, req);
    if (req->limits == 0)
        (void)snprintf(set->not_held, sizeof set->not_held, "it is no roughness: %.90s",
                       f->face.target.check);
    (void)snprintf(set->step_words, sizeof set->step_words,
                   "%.30s, step %d of %d of %.40s", s->label, step->step, l->steps,
                   f->face.name);
out:
    lev_plan_answer_release(&plan);
    return st;
}
