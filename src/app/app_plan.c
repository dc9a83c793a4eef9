/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Ladders for every face of a job: leave-alone rules first, then the plan, then the
 * cautions of what the plan does. */
#include "app_plan.h"

#include <string.h>

#include "levigate/note.h"
#include "mem.h"

static bool is_wet(const lev_face_step *s)
{
    return s->fluid == LEV_CUT_WATER;
}

/* What the ladders of a face amount to in materials, processes and tools. */
static void collect_cautions(const lev_job *job, lev_plan_face_answer *f)
{
    lev_work_words w = {0};
    const lev_material *m = &f->sources.work.material;
    lev_work_material_id(&w, m->id, m->family);
    if (strcmp(f->asked->start.process, "coat") == 0) {
        lev_work_material(&w, "c_lead"); /* an old coat is lead until tested */
        lev_work_process(&w, "strip");
    }
    if (strcmp(f->asked->shape, "edge") == 0)
        lev_work_material(&w, "thin");
    lev_work_next(&w, f->asked->next);
    lev_work_said(&w, job->name);
    lev_work_said(&w, f->asked->name);
    lev_work_said(&w, f->asked->state);
    for (int i = 0; i < f->result.ladders; i++)
        for (int k = 0; k < f->result.ladder[i].steps; k++) {
            const lev_face_step *s = &f->result.ladder[i].step[k];
            if (s->drive != NULL)
                lev_work_drive(&w, s->drive, is_wet(s));
            if (s->medium != NULL)
                lev_work_said(&w, s->medium->carrier);
            if (s->kind == LEV_CUT_FILE || s->kind == LEV_CUT_DRAW_FILE) {
                lev_work_process(&w, "file");
                lev_work_tool(&w, "file");
            }
            if (s->kind == LEV_CUT_SCRAPER)
                lev_work_process(&w, "scrape");
        }
    for (ptrdiff_t i = 0; f->result.ladders == 0 && i < f->asked->drives_n; i++)
        lev_work_drive(&w, f->asked->drives[i], strcmp(f->asked->fluid, "wet") == 0);
    if (f->result.ladders == 0 && f->asked->drives_n == 0)
        lev_work_drive(&w, "hand-wood", false);
    f->cautions = lev_cautions(&w, f->caution);
}

static lev_status media_for(const lev_job *job, const char *family, lev_arena *arena,
                            lev_media *out, lev_error *err)
{
    if (job->has_drawer)
        return lev_media_drawer(job->drawer, job->drawer_n, arena, out, err);
    return lev_media_catalogue(family, arena, out, err);
}

static lev_status plan_face(lev_plan_answer *a, lev_plan_face_answer *f, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_media media = {0};
    LEV_TRY(lev_face_resolve(a->job, f->asked, &a->arena, &f->face, &f->sources, err));
    const lev_material *m = &f->sources.work.material;
    f->notes = f->sources.notes;
    f->mark = m->hardness_gpa.mark;
    f->leave = lev_leave_alone(m->id, f->asked->state);
    if (f->leave == NULL) {
        LEV_TRY(media_for(a->job, m->family, &a->arena, &media, err));
        a->catalogue = a->catalogue || media.catalogue;
        f->face.media = media.medium;
        f->face.media_n = media.n;
        LEV_TRY(lev_face_plan(&f->face, NULL, &f->result, err));
        f->notes |= f->result.notes;
        if (f->result.ladders > 0)
            f->mark = lev_mark_weaker(f->mark, f->result.mark);
    }
    if (f->leave != NULL || !f->result.feasible)
        a->all_feasible = false;
    collect_cautions(a->job, f);
out:
    return st;
}

lev_status lev_app_plan_watched(const lev_job *job,
                                int (*step)(void *to, int done, int all,
                                            const char *face),
                                void *to, lev_plan_answer *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_plan_answer a = {.job = job, .all_feasible = true};
    void *p = NULL;
    LEV_TRY(lev_mem_new((size_t)job->faces_n, sizeof *a.face, &p, err));
    a.face = p;
    for (; a.faces < job->faces_n; a.faces++) {
        lev_plan_face_answer *f = &a.face[a.faces];
        f->asked = &job->faces[a.faces];
        if (step != NULL &&
            step(to, (int)a.faces, (int)job->faces_n, f->asked->name) != 0)
            LEV_TRY(lev_fail(err, LEV_E_CANCEL, "cancelled"));
        LEV_TRY(plan_face(&a, f, err));
    }
    *out = a;
    a = (lev_plan_answer){0};
out:
    lev_plan_answer_release(&a);
    return st;
}

lev_status lev_app_plan(const lev_job *job, lev_plan_answer *out, lev_error *err)
{
    return lev_app_plan_watched(job, NULL, NULL, out, err);
}

void lev_plan_answer_release(lev_plan_answer *a)
{
    if (a == NULL)
        return;
    for (ptrdiff_t i = 0; i < a->faces; i++)
        lev_face_result_release(&a->face[i].result);
    lev_mem_free(a->face);
    lev_arena_release(&a->arena);
    *a = (lev_plan_answer){0};
}
