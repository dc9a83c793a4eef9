/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Freezing a plan when work starts, and freezing what was done as the plan of the next
 * piece. Predictions carry the factors that are in them, so that what is logged later
 * is held against the bare model. See app_shop_job.h. */
#include <math.h>
#include <string.h>

#include "app_drawer.h"
#include "app_look.h"
#include "app_shop_job.h"
#include "json.h"
#include "mem.h"

static bool told(const char *s)
{
    return s != NULL && s[0] != '\0';
}

static double or_none(double x)
{
    return x > 0.0 && isfinite(x) ? x : (double)NAN;
}

/* Gloss at 60 degrees across the lay, as it is read without further words; NaN where
 * the material's light is not known or the face is too rough to shine. */
static double gloss_60(const lev_face_step *s, const lev_store_step *to)
{
    lev_look_answer look = {0};
    const lev_look_ask ask = {.material = to->material,
                              .ra_um = &to->predicted_ra_um,
                              .ra_n = 1,
                              .no_lay = s->stroke == LEV_STROKE_CIRCLES ||
                                        s->stroke == LEV_STROKE_MACHINE};
    double gu = NAN;
    if (to->predicted_ra_um > 0.0 && lev_app_look_ra(&ask, &look, NULL) >= 0)
        gu = or_none(look.state[0].light.gu[LEV_GLOSS_60][LEV_LAY_ACROSS].p50);
    lev_look_answer_release(&look);
    return gu;
}

/* The factors a plan of this step went through. */
static void put_factors(const lev_face *face, const lev_face_step *s,
                        lev_store_step *out)
{
    const char *drive = s->medium != NULL ? s->drive : lev_cut_kind_word(s->kind);
    const char *mineral = s->medium != NULL ? s->medium->mineral : "";
    for (ptrdiff_t i = 0; i < face->learned_n; i++) {
        const lev_face_factor *f = &face->learned[i];
        if (strcmp(f->drive, drive) != 0 || strcmp(f->mineral, mineral) != 0)
            continue;
        out->removal_factor = f->factor[LEV_CUT_F_REMOVAL];
        out->life_factor = f->factor[LEV_CUT_F_LIFE];
        out->texture_factor = f->factor[LEV_CUT_F_TEXTURE];
        return;
    }
}

static lev_status fill_step(const lev_plan_face_answer *f, const lev_face_step *s,
                            int number, int count, lev_arena *arena,
                            lev_store_step *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_text words = {0};
    const lev_face_medium *m = s->medium;
    *out = lev_shop_step_none();
    lev_step_use(&words, s);
    LEV_TRY(words.st);
    out->words = lev_shop_copy(arena, lev_text_get(&words), &st, err);
    LEV_TRY(st);
    out->face = f->asked->name;
    out->number = number;
    out->kind = lev_cut_kind_word(s->kind);
    out->label = m != NULL ? m->label : s->label;
    if (m != NULL) {
        out->system = m->system;
        out->mineral = m->mineral;
        out->carrier = m->carrier;
    }
    out->drive = s->drive;
    out->push = s->push;
    out->fluid = lev_fluid_word(s->fluid);
    out->material = f->sources.work.material.id;
    out->family = f->sources.work.material.family;
    out->area_mm2 = f->face.area_mm2 * count;
    out->budget_um = f->face.budget_um;
    out->predicted_s = or_none(s->time_s.p50);
    out->predicted_sheets = or_none(s->sheets.p50);
    out->predicted_um = or_none(s->remove_um);
    out->predicted_ra_um = or_none(s->ra_after_um.p50);
    out->predicted_gu = gloss_60(s, out);
    put_factors(&f->face, s, out);
out:
    lev_text_release(&words);
    return st;
}

typedef struct frozen {
    lev_store_step *step;
    ptrdiff_t n;
} frozen;

static lev_status fill_steps(const lev_plan_answer *plan, lev_shop_job_answer *a,
                             frozen *out, lev_error *err)
{
    lev_status st = LEV_OK;
    double time_s = 0.0, from_log_s = 0.0;
    LEV_TRY(lev_mem_new((size_t)plan->faces * LEV_FACE_STEPS, sizeof *out->step,
                        (void **)&out->step, err));
    for (ptrdiff_t i = 0; i < plan->faces; i++) {
        const lev_plan_face_answer *f = &plan->face[i];
        const lev_face_ladder *l = lev_plan_chosen(f);
        if (l == NULL) {
            if (a->not_feasible++ == 0)
                LEV_TRY(lev_arena_print(
                    &a->arena, &a->why_not, err, "%s: %s", f->asked->name,
                    f->leave != NULL ? f->leave->reason : f->result.why_not));
            continue;
        }
        time_s += l->time_s.p50;
        from_log_s += l->time_s.p50 * f->from_log;
        for (int k = 0; k < l->steps; k++)
            LEV_TRY(fill_step(f, &l->step[k], k + 1, plan->job->count, &a->arena,
                              &out->step[out->n++], err));
    }
    a->from_log = time_s > 0.0 ? from_log_s / time_s : 0.0;
    if (out->n == 0)
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "no face of the job can be done; %s",
                         a->why_not));
out:
    return st;
}

/* The plan as text, to be read again as it was. */
static lev_status plan_text(const lev_plan_answer *plan, char **out, lev_error *err)
{
    int failed = 0;
    json_t *json = lev_app_plan_json(plan, &failed);
    const lev_status st = lev_json_write(json, failed, out, err);
    json_decref(json);
    return st;
}

/* What the plan is made from: the shop's drawer and factors, where they are wanted. */
static lev_status plan_with(const lev_shop *shop, const lev_shop_job_ask *ask,
                            const lev_job *job, lev_shop_factors **factors,
                            lev_arena *arena, lev_plan_answer *plan, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_job_medium *media = NULL;
    lev_plan_from from = {.who = ask->who,
                          .goal = ask->goal,
                          .unwanted = ask->unwanted,
                          .to = ask->to,
                          .has_drawer = ask->from_drawer && !job->has_drawer};
    if (from.has_drawer) {
        LEV_TRY(lev_drawer_for_job(shop, job, arena, &media, &from.drawer_n, err));
        from.drawer = media;
    }
    if (!ask->no_log) {
        LEV_TRY(lev_shop_factors_read(shop, factors, err));
        from.factors = *factors;
    }
    LEV_TRY(lev_app_plan_from(job, &from, plan, err));
out:
    return st;
}

lev_status lev_shop_job_freeze(const lev_shop *shop, const lev_shop_job_ask *ask,
                               int64_t id, lev_shop_job_answer *a, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_job job = {0};
    lev_plan_answer plan = {0};
    lev_shop_factors *factors = NULL;
    frozen f = {0};
    char *text = NULL;
    const char *body = "", *goal = told(ask->goal) ? ask->goal : "usual";
    LEV_TRY(lev_shop_job_body(shop, id, &a->arena, &body, err));
    LEV_TRY(lev_shop_read_job(ask->name, body, strlen(body), &job, err));
    LEV_TRY(plan_with(shop, ask, &job, &factors, &a->arena, &plan, err));
    LEV_TRY(fill_steps(&plan, a, &f, err));
    LEV_TRY(plan_text(&plan, &text, err));
    LEV_TRY(lev_store_plan_freeze(shop->store, id, goal, text, f.step, f.n, shop->now_s,
                                  err));
out:
    lev_mem_free(text);
    lev_mem_free(f.step);
    lev_plan_answer_release(&plan);
    lev_shop_factors_free(factors);
    lev_job_release(&job);
    return st;
}

/* ---- the same again ---- */

static const lev_job_face *face_named(const lev_job *job, const char *name)
{
    for (ptrdiff_t i = 0; i < job->faces_n; i++)
        if (lev_text_same(job->faces[i].name, name))
            return &job->faces[i];
    return NULL;
}

static double face_area_mm2(const lev_job *job, const lev_job_face *f)
{
    const double one = isfinite(f->area_mm2) ? f->area_mm2 : f->length_mm * f->width_mm;
    return one * job->count;
}

/* A step really done, as it is to be done on a face of another size: the depth is the
 * same, time and paper go with the area. The factor says how what was done stands to
 * the bare model, so that the next piece teaches no more than it should. */
static bool again_step(const lev_store_step *was, double area_mm2, int number,
                       lev_store_step *out)
{
    const double by =
        was->area_mm2 > 0.0 && area_mm2 > 0.0 ? area_mm2 / was->area_mm2 : 1.0;
    if (was->entries == 0)
        return false;
    *out = *was;
    out->number = number;
    out->area_mm2 = area_mm2;
    if (was->done_s > 0.0) {
        if (was->predicted_s > 0.0)
            out->removal_factor *= was->predicted_s / was->done_s;
        out->predicted_s = was->done_s * by;
    } else {
        out->predicted_s = was->predicted_s * by;
    }
    if (was->done_sheets > 0.0) {
        if (was->predicted_sheets > 0.0)
            out->life_factor *= was->predicted_sheets / was->done_sheets;
        out->predicted_sheets = was->done_sheets * by;
    } else {
        out->predicted_sheets = was->predicted_sheets * by;
    }
    if (was->done_um > 0.0)
        out->predicted_um = was->done_um;
    return true;
}

static lev_status again_steps(const lev_job *job, const lev_shop_steps *was,
                              frozen *out, lev_error *err)
{
    lev_status st = LEV_OK;
    int number = 0;
    LEV_TRY(
        lev_mem_new((size_t)was->n + 1, sizeof *out->step, (void **)&out->step, err));
    for (ptrdiff_t i = 0; i < was->n; i++) {
        const lev_job_face *f = face_named(job, was->step[i].face);
        if (i == 0 || !lev_text_same(was->step[i].face, was->step[i - 1].face))
            number = 0;
        if (f == NULL) {
            st = lev_fail(err, LEV_E_USAGE,
                          "the recipe has a face \"%.40s\" and the new job has none of "
                          "that name",
                          was->step[i].face);
            goto out;
        }
        if (again_step(&was->step[i], face_area_mm2(job, f), number + 1,
                       &out->step[out->n])) {
            out->step[out->n].budget_um = f->budget_um;
            number++;
            out->n++;
        }
    }
    if (out->n == 0)
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "nothing was logged for this job, so there is no recipe to "
                         "repeat"));
out:
    return st;
}

lev_status lev_shop_job_again(const lev_shop *shop, const lev_shop_job_ask *ask,
                              int64_t from, lev_shop_job_answer *a, int64_t *id,
                              lev_error *err)
{
    lev_status st = LEV_OK;
    lev_job job = {0};
    lev_shop_steps was = {0};
    frozen f = {0};
    const char *body = ask->body, *why = "";
    size_t n = ask->body_n;
    if (!told(ask->as))
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "repeat wants --as with the name of the new job"));
    if (body == NULL) {
        LEV_TRY(lev_shop_job_body(shop, from, &a->arena, &body, err));
        n = strlen(body);
    }
    LEV_TRY(lev_shop_read_job(told(ask->body_name) ? ask->body_name : ask->name, body,
                              n, &job, err));
    LEV_TRY(lev_shop_read_steps(shop, from, &was, err));
    LEV_TRY(again_steps(&job, &was, &f, err));
    LEV_TRY(lev_arena_print(&a->arena, &why, err, "the recipe of %.200s", ask->name));
    LEV_TRY(lev_store_job_add(shop->store, ask->as, body, why, shop->now_s, id, err));
    LEV_TRY(lev_store_plan_freeze(shop->store, *id, "recipe", why, f.step, f.n,
                                  shop->now_s, err));
out:
    lev_mem_free(f.step);
    lev_shop_steps_release(&was);
    lev_job_release(&job);
    return st;
}
