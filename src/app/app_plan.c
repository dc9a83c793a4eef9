/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Ladders for every face of a job: leave-alone rules first, then the plan, then the
 * cautions of what the plan does. */
#include "app_plan.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "app_plan_team.h"
#include "levigate/note.h"
#include "mem.h"
#include "text.h"

static bool is_wet(const lev_face_step *s)
{
    return s->fluid == LEV_CUT_WATER;
}

static void add_ladder(lev_work_words *w, const lev_face_ladder *ladder)
{
    for (int k = 0; k < ladder->steps; k++) {
        const lev_face_step *s = &ladder->step[k];
        if (s->drive != NULL)
            lev_work_drive(w, s->drive, is_wet(s));
        if (s->medium != NULL)
            lev_work_said(w, s->medium->carrier);
        if (s->kind == LEV_CUT_FILE || s->kind == LEV_CUT_DRAW_FILE) {
            lev_work_process(w, "file");
            lev_work_tool(w, "file");
        }
        if (s->kind == LEV_CUT_SCRAPER)
            lev_work_process(w, "scrape");
    }
}

/* What a face amounts to in materials, processes and tools before any ladder. */
static lev_work_words words_of(const lev_job *job, const lev_plan_face_answer *f)
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
    if (f->result.ladders > 0)
        return w;
    for (ptrdiff_t i = 0; i < f->asked->drives_n; i++)
        lev_work_drive(&w, f->asked->drives[i], strcmp(f->asked->fluid, "wet") == 0);
    if (f->asked->drives_n == 0)
        lev_work_drive(&w, "hand-wood", false);
    return w;
}

/* Of all ladders, for whoever may still choose; of the chosen one, for whoever works.
 */
static void collect_cautions(const lev_job *job, lev_plan_face_answer *f)
{
    lev_work_words all = words_of(job, f), own = all;
    for (int i = 0; i < f->result.ladders; i++)
        add_ladder(&all, &f->result.ladder[i]);
    if (f->result.ladders > 0)
        add_ladder(&own, lev_plan_chosen(f));
    f->cautions = lev_cautions(&all, f->caution);
    f->own_cautions = lev_cautions(&own, f->own_caution);
}

lev_status lev_job_one_face(const lev_job *job, const char *name, lev_job *one,
                            lev_error *err)
{
    const char *best = job->faces[0].name;
    for (ptrdiff_t i = 0; i < job->faces_n; i++) {
        const char *other = job->faces[i].name;
        if (strcmp(other, name) == 0) {
            *one = *job;
            one->faces = &job->faces[i];
            one->faces_n = 1;
            return LEV_OK;
        }
        if (lev_text_distance(other, name) < lev_text_distance(best, name))
            best = other;
    }
    return lev_fail(err, LEV_E_USAGE, "no face \"%.50s\" in the job; nearest: %s", name,
                    best);
}

/* The media of a face: a copy, for counts fall from face to face. */
static lev_status media_for(lev_plan_answer *a, const char *family, lev_media *out,
                            lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    if (a->drawer.n == 0)
        return lev_media_catalogue(family, &a->arena, out, err);
    *out = a->drawer;
    LEV_TRY(lev_arena_new(&a->arena, (size_t)out->n, sizeof *out->medium, &p, err));
    out->medium = memcpy(p, a->drawer.medium, (size_t)out->n * sizeof *out->medium);
out:
    return st;
}

static lev_status learn_for(lev_plan_answer *a, lev_plan_face_answer *f,
                            lev_learned *learned, lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_material *m = &f->sources.work.material;
    const char *who = a->from.who != NULL ? a->from.who : "";
    if (a->from.factors == NULL)
        goto out;
    LEV_TRY(lev_learned_for(a->from.factors, m->family, m->id, who, f->face.media,
                            f->face.media_n, &a->arena, learned, err));
    a->log_all = learned->all;
    if (learned->all == 0)
        goto out;
    f->face.learned = learned->row;
    f->face.learned_n = learned->n;
out:
    return st;
}

/* How much of the chosen ladder's figures the log gave. */
static void weigh_log(lev_plan_face_answer *f, const lev_learned *l)
{
    double time_s = 0.0, from_log_s = 0.0;
    const lev_face_ladder *ladder = lev_plan_chosen(f);
    for (int k = 0; ladder != NULL && k < ladder->steps; k++) {
        const lev_face_step *s = &ladder->step[k];
        const bool grit = s->medium != NULL;
        const ptrdiff_t i =
            lev_learned_find(l, grit ? s->drive : lev_cut_kind_word(s->kind),
                             grit ? s->medium->mineral : "");
        time_s += s->time_s.p50;
        if (i < 0 || l->share == NULL)
            continue;
        from_log_s += s->time_s.p50 * l->share[i];
        bool seen = false;
        for (int j = 0; j < k; j++)
            seen = seen ||
                   (ladder->step[j].medium != NULL && grit &&
                    strcmp(ladder->step[j].drive, s->drive) == 0 &&
                    strcmp(ladder->step[j].medium->mineral, s->medium->mineral) == 0);
        f->log_entries += seen ? 0 : l->entries[i];
    }
    f->from_log = time_s > 0.0 ? from_log_s / time_s : 0.0;
}

/* ---- the drawer goes from face to face ---- */

static double quarters(double sheets)
{
    return ceil(4.0 * sheets - 1e-9) / 4.0;
}

/* Pieces of one medium that a ladder takes, at the middle and in one case of ten. */
static lev_spread pieces_of(const lev_face_ladder *l, const lev_face_medium *m)
{
    lev_spread sum = {0};
    for (int k = 0; k < l->steps; k++)
        if (l->step[k].medium == m) {
            sum.p50 += l->step[k].sheets.p50;
            sum.p90 += l->step[k].sheets.p90;
        }
    return sum;
}

/* The chosen ladder's paper is set aside; say where it may not last. */
static void set_aside(lev_plan_answer *a, lev_plan_face_answer *f)
{
    for (ptrdiff_t i = 0; i < a->drawer.n && f->result.ladders > 0; i++) {
        const lev_face_medium *m = &f->face.media[i];
        const lev_spread need = pieces_of(lev_plan_chosen(f), m);
        if (need.p90 > m->count && f->short_of[0] == '\0') {
            (void)snprintf(f->short_of, sizeof f->short_of,
                           "%.40s may run out: %.3g there, 1 in 10 takes over %.2g",
                           m->label, m->count, need.p90);
            f->notes |= LEV_NOTE_SHORT;
        }
        a->drawer.medium[i].count = fmax(0.0, m->count - quarters(need.p50));
    }
}

/* What a ladder takes beyond what is there: "0.5 more of P400 and 1 more of P120". */
static void say_missing(const lev_media *media, const lev_face_medium *there,
                        const lev_face_ladder *l, char out[LEV_FACE_TEXT])
{
    lev_text t = {0};
    for (ptrdiff_t i = 0; i < media->n; i++) {
        const double more =
            quarters(pieces_of(l, &media->medium[i]).p50) - there[i].count;
        if (more > 0.0)
            lev_text_print(&t, "%s%.3g more of %.40s", t.n > 0 ? " and " : "With ",
                           more, media->medium[i].label);
    }
    if (t.n > 0)
        (void)snprintf(out, LEV_FACE_TEXT, "%.*s", LEV_FACE_TEXT - 1, lev_text_get(&t));
    lev_text_release(&t);
}

/* A search asks now and then whether its answer is still wanted. */
static int is_unwanted(void *payload, ptrdiff_t labels)
{
    lev_plan_answer *a = payload;
    a->begun += lev_plan_rise(&a->begun_last, labels);
    return a->from.unwanted(a->from.to, a->begun);
}

static lev_plan_limits limits_of(lev_plan_answer *a)
{
    return a->from.unwanted == NULL
               ? (lev_plan_limits){0}
               : (lev_plan_limits){.progress = is_unwanted, .payload = a};
}

/* Could it be done with more paper? Then say how much of which, and whether the faces
 * before it took it. */
static lev_status say_short(lev_plan_answer *a, lev_plan_face_answer *f,
                            const lev_media *whole, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_face_result r = {0};
    lev_face alone = f->face;
    const lev_plan_limits limits = limits_of(a);
    lev_media media = {0};
    if (f->result.feasible || whole->n == 0 || whole->medium == NULL)
        goto out;
    LEV_TRY(media_for(a, f->sources.work.material.family, &media, err));
    alone.media = media.medium;
    alone.goal = NULL;
    memcpy(media.medium, whole->medium, (size_t)media.n * sizeof *media.medium);
    if (f > a->face)
        LEV_TRY(lev_face_plan(&alone, &limits, &r, err));
    if (r.feasible)
        (void)snprintf(f->result.why_not, sizeof f->result.why_not,
                       "The faces before it use up the paper it needs");
    for (ptrdiff_t i = 0; !r.feasible && i < media.n; i++)
        media.medium[i].count = INFINITY;
    if (!r.feasible) {
        lev_face_result_release(&r);
        LEV_TRY(lev_face_plan(&alone, &limits, &r, err));
    }
    if (r.feasible)
        say_missing(&media, f->face.media, r.ladder, f->result.would_help);
out:
    lev_face_result_release(&r);
    return st;
}

/* The drawer that is planned from, and a copy of it that stays whole. */
static lev_status open_drawer(lev_plan_answer *a, lev_media *whole, lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_job *job = a->job;
    const bool own = job->has_drawer;
    if (!own && !a->from.has_drawer)
        goto out;
    LEV_TRY(lev_media_drawer(own ? job->drawer : a->from.drawer,
                             own ? job->drawer_n : a->from.drawer_n, &a->arena, whole,
                             err));
    LEV_TRY(lev_media_drawer(own ? job->drawer : a->from.drawer,
                             own ? job->drawer_n : a->from.drawer_n, &a->arena,
                             &a->drawer, err));
out:
    return st;
}

/* Everything a face is planned from. */
static lev_status prepare(lev_plan_answer *a, lev_plan_face_answer *f,
                          lev_learned *learned, lev_media *whole, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_media media = {0};
    LEV_TRY(lev_face_resolve(a->job, f->asked, &a->arena, &f->face, &f->sources, err));
    const lev_material *m = &f->sources.work.material;
    f->notes = f->sources.notes;
    f->mark = m->hardness_gpa.mark;
    f->leave = lev_leave_alone(m->id, f->asked->state);
    if (f->leave != NULL)
        goto out;
    if (whole->n == 0) /* a job of faces to be left alone needs no drawer */
        LEV_TRY(open_drawer(a, whole, err));
    LEV_TRY(media_for(a, m->family, &media, err));
    a->catalogue = a->catalogue || media.catalogue;
    f->face.media = media.medium;
    f->face.media_n = media.n;
    LEV_TRY(learn_for(a, f, learned, err));
    LEV_TRY(lev_plan_goal_for(a->from.goal, a->job, f->asked->name, &a->arena,
                              &f->face.goal, err));
out:
    return st;
}

/* What the plan of a face means for the others and for the person. */
static lev_status finish(lev_plan_answer *a, lev_plan_face_answer *f,
                         const lev_learned *learned, const lev_media *whole,
                         lev_error *err)
{
    lev_status st = LEV_OK;
    if (f->leave == NULL) {
        LEV_TRY(say_short(a, f, whole, err));
        weigh_log(f, learned);
        set_aside(a, f);
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

/* One face after the other: each takes paper that the next then lacks. */
static lev_status plan_in_turn(lev_plan_answer *a, lev_learned *learned, lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_plan_from *from = &a->from;
    const lev_plan_limits limits = limits_of(a);
    lev_media whole = {0};
    for (ptrdiff_t i = 0; i < a->faces; i++) {
        lev_plan_face_answer *f = &a->face[i];
        if (from->step != NULL &&
            from->step(from->to, (int)i, (int)a->faces, f->asked->name) != 0)
            LEV_TRY(lev_fail(err, LEV_E_CANCEL, "cancelled"));
        LEV_TRY(prepare(a, f, learned + i, &whole, err));
        if (f->leave == NULL)
            LEV_TRY(lev_face_plan(&f->face, &limits, &f->result, err));
        LEV_TRY(finish(a, f, learned + i, &whole, err));
    }
out:
    return st;
}

static lev_status plan_together(lev_plan_answer *a, lev_learned *learned,
                                lev_error *err)
{
    lev_status st = LEV_OK;
    lev_media none = {0};
    for (ptrdiff_t i = 0; i < a->faces; i++)
        LEV_TRY(prepare(a, &a->face[i], learned + i, &none, err));
    LEV_TRY(lev_plan_team(a, err));
    for (ptrdiff_t i = 0; i < a->faces; i++)
        LEV_TRY(finish(a, &a->face[i], learned + i, &none, err));
out:
    return st;
}

lev_status lev_app_plan_from(const lev_job *job, const lev_plan_from *from,
                             lev_plan_answer *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_plan_answer a = {.job = job,
                         .all_feasible = true,
                         .from = *from,
                         .asked_log = from->factors != NULL};
    void *p = NULL;
    lev_learned *learned = NULL;
    LEV_TRY(lev_mem_new((size_t)job->faces_n, sizeof *a.face, &p, err));
    a.face = p;
    LEV_TRY(lev_mem_new((size_t)job->faces_n, sizeof *learned, &p, err));
    learned = p;
    for (; a.faces < job->faces_n; a.faces++)
        a.face[a.faces].asked = &job->faces[a.faces];
    LEV_TRY(job->has_drawer || from->has_drawer ? plan_in_turn(&a, learned, err)
                                                : plan_together(&a, learned, err));
    *out = a;
    a = (lev_plan_answer){0};
out:
    lev_mem_free(learned);
    lev_plan_answer_release(&a);
    return st;
}

lev_status lev_app_plan_watched(const lev_job *job,
                                int (*step)(void *to, int done, int all,
                                            const char *face),
                                void *to, lev_plan_answer *out, lev_error *err)
{
    return lev_app_plan_from(job, &(lev_plan_from){.step = step, .to = to}, out, err);
}

lev_status lev_app_plan(const lev_job *job, lev_plan_answer *out, lev_error *err)
{
    return lev_app_plan_from(job, &(lev_plan_from){0}, out, err);
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
