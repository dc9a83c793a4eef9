/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which steps a relief goes through: those of the ladder chosen for a
 * face of a job, or those told. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "app_relief.h"
#include "bounds.h"
#include "mem.h"
#include "num.h"

double lev_relief_rule(const char *id)
{
    for (int i = 0; i < LEV_TAB_PLAN_RULE_N; i++)
        if (strcmp(lev_tab_plan_rule[i].id, id) == 0)
            return lev_tab_plan_rule[i].value;
    return NAN;
}

static const lev_row_lay *lay_row(const char *id)
{
    for (int i = 0; i < LEV_TAB_LAY_N; i++)
        if (strcmp(lev_tab_lay[i].id, id) == 0)
            return &lev_tab_lay[i];
    return NULL;
}

static void set_lay(const lev_row_lay *row, lev_relief_step *s)
{
    static const struct {
        const char *word;
        lev_lay lay;
    } lays[] = {{"straight", LEV_LAY_STRAIGHT},
                {"cross", LEV_LAY_CROSS},
                {"orbital", LEV_LAY_ORBITAL},
                {"circular", LEV_LAY_CIRCULAR},
                {"arcs", LEV_LAY_ARCS}};
    s->lay = LEV_LAY_STRAIGHT;
    for (size_t i = 0; row != NULL && i < sizeof lays / sizeof *lays; i++)
        if (strcmp(row->lay, lays[i].word) == 0)
            s->lay = lays[i].lay;
    s->radius_mm = row != NULL && lev_known(row->radius_mm) ? row->radius_mm : 0.0;
    s->spread_deg = row != NULL && lev_known(row->spread_deg) ? row->spread_deg : 0.0;
}

static lev_status new_steps(lev_relief_answer *a, int n, lev_error *err)
{
    void *p = NULL;
    const lev_status st = lev_mem_new((size_t)n, sizeof *a->step, &p, err);
    a->step = p;
    return st;
}

/* ---- a ladder ---- */

static const char *lay_id(const lev_relief_request *req, const lev_face_step *f)
{
    if (req->lay != NULL)
        return req->lay;
    if (f->stroke == LEV_STROKE_CIRCLES)
        return "circles";
    if (f->stroke == LEV_STROKE_ONE_WAY)
        return "straight";
    return f->drive;
}

static void take_step(const lev_relief_request *req, const lev_face_step *f,
                      lev_relief_step *s)
{
    *s = (lev_relief_step){
        .pass = f->pass, .direction_deg = f->direction_deg, .remove_um = f->remove_um};
    (void)snprintf(s->label, sizeof s->label, "%s%s", f->label,
                   f->kind == LEV_CUT_GRAIN ? " one way" : "");
    (void)snprintf(s->drive, sizeof s->drive, "%s", f->drive);
    set_lay(lay_row(lay_id(req, f)), s);
}

/* The texture found becomes a step of its own, made by the ladder's first grains. */
static void add_found(const lev_relief_request *req, const lev_face *face,
                      const lev_face_ladder *ladder, lev_relief_answer *a)
{
    const double d_um = face->start.texture_d50_um;
    for (int k = 0; k < ladder->steps && d_um > 0.0; k++) {
        const lev_face_step *const f = &ladder->step[k];
        if (!(f->pass.grains.removed_share > 0.0))
            continue;
        lev_relief_step *const s = &a->step[a->steps++];
        take_step(req, f, s);
        s->pass.grains.top_um *= d_um / s->pass.d50_um;
        s->pass.d50_um = d_um;
        s->remove_um = lev_relief_rule("own-depth") * d_um;
        s->direction_deg = lev_known(face->start.lay_deg) ? face->start.lay_deg : 0.0;
        (void)snprintf(s->label, sizeof s->label, "start, %s",
                       face->start.texture_label);
        return;
    }
}

static lev_status from_job(const lev_relief_request *req, lev_relief_answer *a,
                           lev_error *err)
{
    lev_status st;
    lev_plan_answer plan = {0};
    LEV_TRY(lev_plan_one_face(req->job, req->face, &req->from, &plan, err));
    const lev_plan_face_answer *const f = &plan.face[0];
    if (f->leave != NULL)
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "face %s: is better left alone: no ladder",
                         f->face.name));
    if (!f->result.feasible || f->result.ladders == 0)
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "face %s: no ladder: %s", f->face.name,
                         f->result.why_not));
    const lev_face_ladder *const ladder = lev_plan_chosen(f);
    LEV_TRY(new_steps(a, ladder->steps + 1, err));
    add_found(req, &f->face, ladder, a);
    for (int k = 0; k < ladder->steps; k++)
        take_step(req, &ladder->step[k], &a->step[a->steps++]);
    a->mark_um = f->face.start.mark_um;
    a->spacing_um = f->face.start.spacing_um;
    a->material = f->sources.work.material.name;
    (void)snprintf(a->face, sizeof a->face, "%s", f->face.name);
    a->notes = f->notes;
    a->mark = f->mark;
out:
    lev_plan_answer_release(&plan);
    return st;
}

/* ---- steps told ---- */

/* What all steps told have in common. */
typedef struct told {
    lev_resolved_work work;
    const lev_row_drive *drive;
    double push_n;
    lev_cut_fluid fluid;
} told;

static lev_status read_told(const lev_relief_request *req, told *t, lev_error *err)
{
    lev_status st;
    const lev_row_push *push;
    if (req->material == NULL || req->drive == NULL)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "--steps wants --material and --drive"));
    LEV_TRY(lev_resolve_work(req->material, req->state, &t->work, err));
    LEV_TRY(lev_resolve_drive(req->drive, &t->drive, err));
    LEV_TRY(lev_resolve_push(req->push, t->drive, &t->push_n, &push, err));
    if (req->fluid != NULL)
        LEV_TRY(lev_resolve_fluid(req->fluid, &t->fluid, err));
out:
    return st;
}

/* One "MARKING[:DEPTH]" of n bytes. */
static lev_status tell_step(const lev_relief_request *req, const told *t,
                            const char *text, size_t n, lev_relief_answer *a,
                            lev_error *err)
{
    lev_status st;
    char marking[LEV_LIMIT_MARKING_BYTES + 1];
    lev_grit grit;
    const lev_row_mineral *mineral = NULL;
    lev_cut_tool tool = {.kind = LEV_CUT_GRIT,
                         .drive = t->drive->id,
                         .push_n = t->push_n,
                         .fluid = t->fluid};
    lev_relief_step *const s = &a->step[a->steps];
    if (n >= sizeof marking)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "a marking of %zu letters in --steps", n));
    memcpy(marking, text, n);
    marking[n] = '\0';
    char *const colon = strchr(marking, ':');
    double depth_um = 0.0;
    if (colon != NULL) {
        *colon = '\0';
        if (!lev_num_parse(colon + 1, false, &depth_um) || !(depth_um > 0.0))
            LEV_TRY(lev_fail(err, LEV_E_USAGE,
                             "--steps: \"%s\" is no depth in um above 0", colon + 1));
    }
    LEV_TRY(lev_resolve_marking(marking, req->system, &grit, &a->notes, err));
    LEV_TRY(lev_resolve_grain(&grit, &tool.grain, &a->notes, err));
    LEV_TRY(lev_resolve_mineral(req->mineral, &grit, t->work.material.family, &mineral,
                                err));
    tool.mineral = mineral->id;
    tool.mineral_hardness_gpa =
        lev_known(mineral->knoop_gpa) ? mineral->knoop_gpa : 0.0;
    LEV_TRY(
        lev_cut_pass_init(&t->work.work, &tool, t->drive->contact_mm2, &s->pass, err));
    s->remove_um = depth_um;
    (void)snprintf(s->label, sizeof s->label, "%s", grit.label);
    (void)snprintf(s->drive, sizeof s->drive, "%s", t->drive->id);
    set_lay(lay_row(req->lay != NULL ? req->lay : t->drive->id), s);
    a->notes |= s->pass.notes;
    a->mark = lev_mark_weaker(a->mark, s->pass.mark);
    a->steps++;
out:
    return st;
}

/* Depths not told: a texture of its own first, then what clears the one before. The
 * last step runs along the face, each before is turned against the next. */
static void fill_told(const told *t, lev_relief_answer *a)
{
    const bool wood = t->work.work.family == LEV_CUT_WOOD;
    const double turn = lev_relief_rule(wood ? "turn-wood" : "turn");
    const double miss = lev_resolve_miss("crossed-lamp");
    for (int k = 0; k < a->steps; k++) {
        lev_relief_step *const s = &a->step[k];
        const lev_relief_step *const old = k > 0 ? s - 1 : NULL;
        const double own_um = lev_relief_rule("own-depth") * s->pass.d50_um;
        const int from_end = a->steps - 1 - k;
        if (from_end > 0)
            s->direction_deg = from_end % 2 != 0 ? turn : wood ? 0.0 : -turn;
        if (s->remove_um > 0.0)
            continue;
        const double clear_um =
            old == NULL ? own_um : lev_cut_clear_after_um(&old->pass, &s->pass, miss);
        s->remove_um = isfinite(clear_um) ? fmax(clear_um, own_um) : own_um;
    }
}

static lev_status from_told(const lev_relief_request *req, lev_relief_answer *a,
                            lev_error *err)
{
    lev_status st;
    told t = {0};
    LEV_TRY(read_told(req, &t, err));
    LEV_TRY(new_steps(a, LEV_RELIEF_STEPS, err));
    for (const char *p = req->steps; *p != '\0';) {
        const size_t n = strcspn(p, ",");
        if (a->steps == LEV_RELIEF_STEPS - 1)
            LEV_TRY(
                lev_fail(err, LEV_E_LIMIT, "more than %d steps", LEV_RELIEF_STEPS - 1));
        LEV_TRY(tell_step(req, &t, p + strspn(p, " "), n - strspn(p, " "), a, err));
        p += n;
        p += *p == ',';
    }
    if (a->steps == 0)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "--steps names no grit"));
    fill_told(&t, a);
    a->material = t.work.material.name;
    a->notes |= t.work.notes;
    a->mark = lev_mark_weaker(a->mark, t.work.work.mark);
out:
    return st;
}

lev_status lev_relief_plan_steps(const lev_relief_request *req, lev_relief_answer *a,
                                 lev_error *err)
{
    if (req->lay != NULL && lay_row(req->lay) == NULL)
        return lev_fail(err, LEV_E_UNKNOWN, "no lay is called \"%.40s\"", req->lay);
    if ((req->job != NULL) == (req->steps != NULL))
        return lev_fail(err, LEV_E_USAGE, "no job; a JOB, or --steps");
    if (req->job == NULL && req->from.goal != NULL)
        return lev_fail(err, LEV_E_USAGE, "--goal goes with a JOB");
    return req->job != NULL ? from_job(req, a, err) : from_told(req, a, err);
}
