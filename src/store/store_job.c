/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Jobs, their versions, the plans frozen when work started, files kept with them. */
#include "store_own.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "store_step.h"
#include "text.h"

typedef struct see_job {
    lev_store_job_fn *fn;
    void *to;
} see_job;

static int each_job(void *to, store_row *r)
{
    const see_job *see = to;
    lev_store_job j = {0};
    j.id = lev_store_int(r);
    j.name = lev_store_text(r);
    j.state = lev_store_text(r);
    j.made_s = lev_store_int(r);
    j.versions = lev_store_int(r);
    j.entries = lev_store_int(r);
    return see->fn(see->to, &j);
}

lev_status lev_store_jobs(lev_store *s, lev_store_job_fn *see, void *to, lev_error *err)
{
    see_job all = {see, to};
    return lev_store_each(s, LEV_SQL_JOB_LIST, NULL, 0, each_job, &all, NULL, err);
}

typedef struct found_job {
    int64_t id;
    char state[8];
} found_job;

static int take_job(void *to, store_row *r)
{
    found_job *f = to;
    f->id = lev_store_int(r);
    (void)lev_store_text(r);
    (void)snprintf(f->state, sizeof f->state, "%s", lev_store_text(r));
    return 0;
}

lev_status lev_store_job_find(lev_store *s, const char *name, int64_t *id,
                              char state[8], lev_error *err)
{
    found_job f = {0};
    int seen = 0;
    const lev_status st = lev_store_each(
        s, LEV_SQL_JOB_FIND, BINDS(BIND_TEXT("name", name)), take_job, &f, &seen, err);
    if (st < 0)
        return st;
    if (seen == 0)
        return lev_fail(err, LEV_E_UNKNOWN,
                        "no job \"%.100s\" in the store; `levigate job` lists them",
                        name);
    *id = f.id;
    memcpy(state, f.state, sizeof f.state);
    return LEV_OK;
}

static lev_status add_version(lev_store *s, int64_t id, const char *body,
                              const char *why, int64_t at_s, lev_error *err)
{
    return lev_store_run(s, LEV_SQL_JOB_VERSION_INSERT,
                         BINDS(BIND_INT("id", id), BIND_TEXT("body", body),
                               BIND_TEXT("why", why), BIND_INT("at_s", at_s)),
                         NULL, err);
}

lev_status lev_store_job_add(lev_store *s, const char *name, const char *body,
                             const char *why, int64_t at_s, int64_t *id, lev_error *err)
{
    found_job f = {0};
    int seen = 0;
    lev_status st = lev_store_begin(s, err);
    if (st < 0)
        return st;
    LEV_TRY(lev_store_each(s, LEV_SQL_JOB_FIND, BINDS(BIND_TEXT("name", name)),
                           take_job, &f, &seen, err));
    if (seen > 0)
        LEV_TRY(
            lev_fail(err, LEV_E_USAGE,
                     "a job \"%.100s\" is in the store already; give this one another "
                     "name with --as, or change that one with `levigate job change`",
                     name));
    LEV_TRY(lev_store_run(s, LEV_SQL_JOB_INSERT,
                          BINDS(BIND_TEXT("name", name), BIND_INT("at_s", at_s)), NULL,
                          err));
    *id = sqlite3_last_insert_rowid(s->db);
    LEV_TRY(add_version(s, *id, body, why, at_s, err));
out:
    return lev_store_end(s, st, err);
}

lev_status lev_store_job_change(lev_store *s, int64_t id, const char *body,
                                const char *why, int64_t at_s, lev_error *err)
{
    const lev_status st = lev_store_begin(s, err);
    return st < 0 ? st
                  : lev_store_end(s, add_version(s, id, body, why, at_s, err), err);
}

static lev_status set_state(lev_store *s, int64_t id, const char *state, lev_error *err)
{
    return lev_store_run(s, LEV_SQL_JOB_STATE,
                         BINDS(BIND_INT("id", id), BIND_TEXT("state", state)), NULL,
                         err);
}

lev_status lev_store_job_state(lev_store *s, int64_t id, const char *state,
                               lev_error *err)
{
    const lev_status st = lev_store_begin(s, err);
    return st < 0 ? st : lev_store_end(s, set_state(s, id, state, err), err);
}

typedef struct see_version {
    lev_store_version_fn *fn;
    void *to;
} see_version;

static int each_version(void *to, store_row *r)
{
    const see_version *see = to;
    lev_store_version v = {0};
    v.id = lev_store_int(r);
    v.number = lev_store_int(r);
    v.body = lev_store_text(r);
    v.why = lev_store_text(r);
    v.at_s = lev_store_int(r);
    return see->fn(see->to, &v);
}

lev_status lev_store_versions(lev_store *s, int64_t job_id, bool last_only,
                              lev_store_version_fn *see, void *to, lev_error *err)
{
    see_version all = {see, to};
    return lev_store_each(s,
                          last_only ? LEV_SQL_JOB_VERSION_LAST : LEV_SQL_JOB_VERSIONS,
                          BINDS(BIND_INT("id", job_id)), each_version, &all, NULL, err);
}

/* ---- plan and steps ---- */

static int take_id(void *to, store_row *r)
{
    *(int64_t *)to = lev_store_int(r);
    return 0;
}

static lev_status insert_step(lev_store *s, int64_t plan, const lev_store_step *t,
                              lev_error *err)
{
    return lev_store_run(
        s, LEV_SQL_STEP_INSERT,
        BINDS(BIND_INT("plan_id", plan), BIND_TEXT("face", t->face),
              BIND_INT("number", t->number), BIND_TEXT("words", t->words),
              BIND_TEXT("kind", t->kind), BIND_TEXT("system", t->system),
              BIND_TEXT("label", t->label), BIND_TEXT("mineral", t->mineral),
              BIND_TEXT("carrier", t->carrier), BIND_TEXT("drive", t->drive),
              BIND_TEXT("push", t->push), BIND_TEXT("fluid", t->fluid),
              BIND_TEXT("material", t->material), BIND_TEXT("family", t->family),
              BIND_REAL("area_mm2", t->area_mm2), BIND_REAL("budget_um", t->budget_um),
              BIND_REAL("predicted_s", t->predicted_s),
              BIND_REAL("predicted_sheets", t->predicted_sheets),
              BIND_REAL("predicted_um", t->predicted_um),
              BIND_REAL("predicted_ra_um", t->predicted_ra_um),
              BIND_REAL("predicted_gu", t->predicted_gu),
              BIND_REAL("removal_factor", t->removal_factor),
              BIND_REAL("life_factor", t->life_factor),
              BIND_REAL("texture_factor", t->texture_factor),
              BIND_REAL("gloss_factor", t->gloss_factor)),
        NULL, err);
}

lev_status lev_store_plan_freeze(lev_store *s, int64_t job_id, const char *goal,
                                 const char *body, const lev_store_step *steps,
                                 ptrdiff_t steps_n, int64_t at_s, lev_error *err)
{
    int64_t version = 0, plan = 0;
    lev_status st = lev_store_begin(s, err);
    if (st < 0)
        return st;
    LEV_TRY(lev_store_each(s, LEV_SQL_JOB_VERSION_LAST, BINDS(BIND_INT("id", job_id)),
                           take_id, &version, NULL, err));
    LEV_TRY(
        lev_store_run(s, LEV_SQL_PLAN_INSERT,
                      BINDS(BIND_INT("version_id", version), BIND_TEXT("goal", goal),
                            BIND_TEXT("body", body), BIND_INT("at_s", at_s)),
                      NULL, err));
    plan = sqlite3_last_insert_rowid(s->db);
    for (ptrdiff_t i = 0; i < steps_n; i++)
        LEV_TRY(insert_step(s, plan, &steps[i], err));
    LEV_TRY(set_state(s, job_id, "started", err));
out:
    return lev_store_end(s, st, err);
}

int lev_store_each_step(void *to, store_row *r)
{
    const store_see_step *see = to;
    lev_store_step t = {0};
    t.id = lev_store_int(r);
    t.face = lev_store_text(r);
    t.number = (int)lev_store_int(r);
    const char **const texts[] = {&t.words,   &t.kind,     &t.system, &t.label,
                                  &t.mineral, &t.carrier,  &t.drive,  &t.push,
                                  &t.fluid,   &t.material, &t.family};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        *texts[i] = lev_store_text(r);
    double *const numbers[] = {
        &t.area_mm2,     &t.budget_um,       &t.predicted_s,  &t.predicted_sheets,
        &t.predicted_um, &t.predicted_ra_um, &t.predicted_gu, &t.removal_factor,
        &t.life_factor,  &t.texture_factor,  &t.gloss_factor};
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
        *numbers[i] = lev_store_real(r);
    t.entries = lev_store_int(r);
    t.done_s = lev_store_real(r);
    t.done_sheets = lev_store_real(r);
    t.done_um = lev_store_real(r);
    t.verdict = lev_store_text(r);
    t.said = lev_store_text(r);
    return see->fn(see->to, &t);
}

lev_status lev_store_steps(lev_store *s, int64_t job_id, lev_store_step_fn *see,
                           void *to, lev_error *err)
{
    lev_status st = LEV_OK;
    int64_t plan = 0;
    store_see_step all = {see, to};
    LEV_TRY(lev_store_each(s, LEV_SQL_PLAN_LAST, BINDS(BIND_INT("id", job_id)), take_id,
                           &plan, NULL, err));
    if (plan == 0)
        LEV_TRY(
            lev_fail(err, LEV_E_UNKNOWN,
                     "no plan was frozen for this job; `levigate job start` does it"));
    LEV_TRY(lev_store_each(s, LEV_SQL_STEP_LIST, BINDS(BIND_INT("plan_id", plan)),
                           lev_store_each_step, &all, NULL, err));
out:
    return st;
}

typedef struct found_face {
    int64_t steps, jobs;
} found_face;

static int take_face(void *to, store_row *r)
{
    found_face *f = to;
    f->steps = lev_store_int(r);
    f->jobs = lev_store_int(r);
    return 0;
}

typedef struct near_face {
    const char *face;
    char best[64];
    int least;
} near_face;

static int take_near(void *to, store_row *r)
{
    near_face *n = to;
    const char *name = lev_store_text(r);
    const int d = lev_text_distance(name, n->face);
    if (d < n->least) {
        n->least = d;
        (void)snprintf(n->best, sizeof n->best, "%s", name);
    }
    return 0;
}

static lev_status no_face(lev_store *s, const char *face, lev_error *err)
{
    near_face near = {.face = face, .least = 1000};
    const lev_status st =
        lev_store_each(s, LEV_SQL_FACE_NAMES, NULL, 0, take_near, &near, NULL, err);
    if (st < 0)
        return st;
    if (near.best[0] != '\0')
        return lev_fail(err, LEV_E_UNKNOWN,
                        "no job under way has a face \"%.60s\"; nearest: %s", face,
                        near.best);
    return lev_fail(
        err, LEV_E_UNKNOWN,
        "no job is under way, so none has a face \"%.60s\"; `levigate job start` puts "
        "one under way",
        face);
}

static lev_status no_step(lev_store *s, const char *face, int number, lev_error *err)
{
    found_face f = {0};
    const lev_status st = lev_store_each(
        s, LEV_SQL_FACE_FIND, BINDS(BIND_TEXT("face", face)), take_face, &f, NULL, err);
    if (st < 0)
        return st;
    if (f.steps > 0)
        return lev_fail(err, LEV_E_UNKNOWN,
                        "face \"%.60s\" has no step %d; `levigate job` shows its steps",
                        face, number);
    return no_face(s, face, err);
}

lev_status lev_store_step_find(lev_store *s, const char *job, const char *face,
                               int number, int64_t *id, lev_error *err)
{
    int seen = 0;
    const lev_status st =
        lev_store_each(s, LEV_SQL_STEP_FIND,
                       BINDS(BIND_TEXT("job", job), BIND_TEXT("face", face),
                             BIND_INT("number", number)),
                       take_id, id, &seen, err);
    if (st < 0 || seen == 1)
        return st;
    if (seen == 0)
        return no_step(s, face, number, err);
    return lev_fail(err, LEV_E_USAGE,
                    "%d jobs under way have a face \"%.60s\"; say which with --job",
                    seen, face);
}

lev_status lev_store_step_get(lev_store *s, int64_t id, lev_store_step_fn *see,
                              void *to, lev_error *err)
{
    int seen = 0;
    store_see_step one = {see, to};
    const lev_status st = lev_store_each(s, LEV_SQL_LOG_STEP, BINDS(BIND_INT("id", id)),
                                         lev_store_each_step, &one, &seen, err);
    return st >= 0 && seen == 0
               ? lev_fail(err, LEV_E_UNKNOWN, "no step number %lld", (long long)id)
               : st;
}

static int take_of_job(void *to, store_row *r)
{
    lev_store_of_job *j = to;
    j->id = lev_store_int(r);
    (void)snprintf(j->name, sizeof j->name, "%s", lev_store_text(r));
    return 0;
}

lev_status lev_store_step_job(lev_store *s, int64_t step_id, lev_store_of_job *out,
                              lev_error *err)
{
    *out = (lev_store_of_job){0};
    return lev_store_each(s, LEV_SQL_STEP_JOB, BINDS(BIND_INT("id", step_id)),
                          take_of_job, out, NULL, err);
}

/* ---- files ---- */

lev_status lev_store_attach(lev_store *s, int64_t job_id, const lev_store_file *f,
                            lev_error *err)
{
    lev_status st = lev_store_begin(s, err);
    if (st < 0)
        return st;
    st = lev_store_run(s, LEV_SQL_ATTACHMENT_INSERT,
                       BINDS(BIND_INT("id", job_id), BIND_TEXT("face", f->face),
                             BIND_INT("at_s", f->at_s), BIND_TEXT("name", f->name),
                             BIND_TEXT("sha256", f->sha256),
                             BIND_INT("bytes", f->bytes), BIND_TEXT("words", f->words)),
                       NULL, err);
    return lev_store_end(s, st, err);
}

typedef struct see_file {
    lev_store_file_fn *fn;
    void *to;
} see_file;

static int each_file(void *to, store_row *r)
{
    const see_file *see = to;
    lev_store_file f = {0};
    f.face = lev_store_text(r);
    f.at_s = lev_store_int(r);
    f.name = lev_store_text(r);
    f.sha256 = lev_store_text(r);
    f.bytes = lev_store_int(r);
    f.words = lev_store_text(r);
    return see->fn(see->to, &f);
}

lev_status lev_store_files(lev_store *s, int64_t job_id, lev_store_file_fn *see,
                           void *to, lev_error *err)
{
    see_file all = {see, to};
    return lev_store_each(s, LEV_SQL_ATTACHMENT_LIST, BINDS(BIND_INT("id", job_id)),
                          each_file, &all, NULL, err);
}

static int each_hash(void *to, store_row *r)
{
    const see_file *see = to;
    lev_store_file f = {.sha256 = lev_store_text(r), .face = "", .words = ""};
    f.name = lev_store_text(r);
    return see->fn(see->to, &f);
}

lev_status lev_store_all_files(lev_store *s, lev_store_file_fn *see, void *to,
                               lev_error *err)
{
    see_file all = {see, to};
    return lev_store_each(s, LEV_SQL_ATTACHMENT_HASHES, NULL, 0, each_hash, &all, NULL,
                          err);
}
