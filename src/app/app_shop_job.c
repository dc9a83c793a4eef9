/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Jobs in the store: the verb itself. See app_shop_job.h. */
#include "app_shop_job.h"

#include <math.h>
#include <string.h>

#include "job_io.h"
#include "mem.h"

static const char *const WORDS[LEV_SHOP_JOB_ACTS] = {
#define LEV_SHOP_JOB_WORD(name, word) word,
    LEV_SHOP_JOB_LIST(LEV_SHOP_JOB_WORD)
#undef LEV_SHOP_JOB_WORD
};

lev_status lev_shop_job_act_read(const char *word, lev_shop_job_act *out,
                                 lev_error *err)
{
    int best = 0;
    for (int i = 0; i < LEV_SHOP_JOB_ACTS; i++) {
        if (lev_text_same(word, WORDS[i])) {
            *out = (lev_shop_job_act)i;
            return LEV_OK;
        }
        if (lev_text_distance(word, WORDS[i]) < lev_text_distance(word, WORDS[best]))
            best = i;
    }
    return lev_fail(err, LEV_E_USAGE,
                    "\"%.40s\" is nothing done with a job; did you mean %s (known: "
                    "list, show, add, change, versions, file, start, done, recipe, "
                    "repeat, attach)",
                    word, WORDS[best]);
}

const char *lev_shop_job_act_word(lev_shop_job_act act)
{
    return WORDS[act];
}

bool lev_shop_job_act_writes(lev_shop_job_act act)
{
    return act == LEV_SHOP_JOB_ADD || act == LEV_SHOP_JOB_CHANGE ||
           act == LEV_SHOP_JOB_START || act == LEV_SHOP_JOB_DONE ||
           act == LEV_SHOP_JOB_REPEAT || act == LEV_SHOP_JOB_ATTACH;
}

bool lev_shop_job_act_body(lev_shop_job_act act)
{
    return act == LEV_SHOP_JOB_ADD || act == LEV_SHOP_JOB_CHANGE ||
           act == LEV_SHOP_JOB_REPEAT;
}

static bool told(const char *s)
{
    return s != NULL && s[0] != '\0';
}

lev_status lev_shop_read_job(const char *name, const char *body, size_t n, lev_job *out,
                             lev_error *err)
{
    lev_bytes b = {.n = n};
    const lev_status st = lev_mem_text(body, n, &b.data, err);
    return st < 0 ? st : lev_job_read(name, &b, out, err);
}

/* ---- lists out of the store ---- */

typedef struct keep_list {
    lev_shop_job_answer *a;
    int64_t only; /* job, 0 all */
    ptrdiff_t room;
    lev_status st;
    lev_error *err;
} keep_list;

static bool make_room(keep_list *k, void **list, ptrdiff_t n, size_t size)
{
    if (n == k->room) {
        const ptrdiff_t wanted = k->room > 0 ? 2 * k->room : 16;
        k->st = lev_mem_grow(list, (size_t)k->room, (size_t)wanted, size, k->err);
        if (k->st >= 0)
            k->room = wanted;
    }
    return k->st >= 0;
}

static int keep_job(void *to, const lev_store_job *j)
{
    keep_list *k = to;
    lev_shop_job_answer *a = k->a;
    if (k->only != 0 && j->id != k->only)
        return 0;
    void *list = a->job;
    if (!make_room(k, &list, a->jobs, sizeof *a->job))
        return 1;
    a->job = list;
    a->job[a->jobs] = *j;
    a->job[a->jobs].name = lev_shop_copy(&a->arena, j->name, &k->st, k->err);
    a->job[a->jobs].state = lev_shop_copy(&a->arena, j->state, &k->st, k->err);
    a->jobs++;
    return k->st < 0;
}

static int keep_version(void *to, const lev_store_version *v)
{
    keep_list *k = to;
    lev_shop_job_answer *a = k->a;
    void *list = a->version;
    if (!make_room(k, &list, a->versions, sizeof *a->version))
        return 1;
    a->version = list;
    a->version[a->versions] =
        (lev_shop_version){.number = v->number,
                           .at_s = v->at_s,
                           .body = lev_shop_copy(&a->arena, v->body, &k->st, k->err),
                           .why = lev_shop_copy(&a->arena, v->why, &k->st, k->err)};
    a->versions++;
    return k->st < 0;
}

static int keep_file(void *to, const lev_store_file *f)
{
    keep_list *k = to;
    lev_shop_job_answer *a = k->a;
    void *list = a->file;
    if (!make_room(k, &list, a->files, sizeof *a->file))
        return 1;
    a->file = list;
    lev_store_file *x = &a->file[a->files++];
    *x = *f;
    x->face = lev_shop_copy(&a->arena, f->face, &k->st, k->err);
    x->name = lev_shop_copy(&a->arena, f->name, &k->st, k->err);
    x->sha256 = lev_shop_copy(&a->arena, f->sha256, &k->st, k->err);
    x->words = lev_shop_copy(&a->arena, f->words, &k->st, k->err);
    return k->st < 0;
}

static lev_status read_jobs(const lev_shop *shop, lev_shop_job_answer *a, int64_t only,
                            lev_error *err)
{
    keep_list k = {.a = a, .only = only, .err = err};
    const lev_status st = lev_store_jobs(shop->store, keep_job, &k, err);
    return st < 0 ? st : k.st;
}

static lev_status read_versions(const lev_shop *shop, lev_shop_job_answer *a,
                                int64_t id, lev_error *err)
{
    keep_list k = {.a = a, .err = err};
    const lev_status st =
        lev_store_versions(shop->store, id, false, keep_version, &k, err);
    return st < 0 ? st : k.st;
}

typedef struct keep_body {
    lev_arena *arena;
    const char *body;
    lev_status st;
    lev_error *err;
} keep_body;

static int take_body(void *to, const lev_store_version *v)
{
    keep_body *k = to;
    k->body = lev_shop_copy(k->arena, v->body, &k->st, k->err);
    return 1;
}

lev_status lev_shop_job_body(const lev_shop *shop, int64_t id, lev_arena *arena,
                             const char **out, lev_error *err)
{
    keep_body k = {.arena = arena, .body = "", .err = err};
    const lev_status st = lev_store_versions(shop->store, id, true, take_body, &k, err);
    *out = k.body;
    return st < 0 ? st : k.st;
}

/* ---- changes ---- */

/* The body is read whole before it is kept: nothing that cannot be planned is. */
static lev_status add_job(const lev_shop *shop, const lev_shop_job_ask *ask,
                          int64_t *id, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_job job = {0};
    if (ask->body == NULL)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "add wants a job file"));
    LEV_TRY(lev_shop_read_job(ask->body_name, ask->body, ask->body_n, &job, err));
    LEV_TRY(lev_store_job_add(shop->store, told(ask->name) ? ask->name : job.name,
                              ask->body, ask->why, shop->now_s, id, err));
out:
    lev_job_release(&job);
    return st;
}

static lev_status change_job(const lev_shop *shop, const lev_shop_job_ask *ask,
                             int64_t id, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_job job = {0};
    if (ask->body == NULL)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "change wants the new job file"));
    LEV_TRY(lev_shop_read_job(ask->body_name, ask->body, ask->body_n, &job, err));
    LEV_TRY(
        lev_store_job_change(shop->store, id, ask->body, ask->why, shop->now_s, err));
out:
    lev_job_release(&job);
    return st;
}

static bool has_face(const lev_job *job, const char *face)
{
    for (ptrdiff_t i = 0; i < job->faces_n; i++)
        if (lev_text_same(job->faces[i].name, face))
            return true;
    return false;
}

static lev_status attach(const lev_shop *shop, const lev_shop_job_ask *ask, int64_t id,
                         lev_shop_job_answer *a, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_job job = {0};
    const char *body = "";
    char hash[LEV_SHA256_TEXT];
    lev_store_file f;
    if (!told(ask->file))
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "attach wants the file to keep"));
    if (told(ask->face)) {
        LEV_TRY(lev_shop_job_body(shop, id, &a->arena, &body, err));
        LEV_TRY(lev_shop_read_job(ask->name, body, strlen(body), &job, err));
        if (!has_face(&job, ask->face))
            LEV_TRY(lev_fail(err, LEV_E_UNKNOWN, "the job has no face \"%.40s\"",
                             ask->face));
    }
    LEV_TRY(lev_shop_keep_file(shop, ask->file, &f, hash, err));
    f.face = ask->face;
    if (told(ask->file_name))
        f.name = ask->file_name;
    f.words = ask->why;
    LEV_TRY(lev_store_attach(shop->store, id, &f, err));
out:
    lev_job_release(&job);
    return st;
}

static lev_status do_change(const lev_shop *shop, const lev_shop_job_ask *ask,
                            lev_shop_job_answer *a, int64_t *id, const char *state,
                            lev_error *err)
{
    switch (ask->act) {
    case LEV_SHOP_JOB_CHANGE:
        return change_job(shop, ask, *id, err);
    case LEV_SHOP_JOB_START:
        if (strcmp(state, "open") != 0)
            return lev_fail(err, LEV_E_USAGE,
                            "the plan of this job is frozen, work has started; "
                            "`levigate job show` has it, `levigate job repeat` makes "
                            "another piece");
        return lev_shop_job_freeze(shop, ask, *id, a, err);
    case LEV_SHOP_JOB_DONE:
        if (strcmp(state, "open") == 0)
            return lev_fail(err, LEV_E_USAGE,
                            "work on this job has not started; `levigate job start` "
                            "freezes its plan");
        return lev_store_job_state(shop->store, *id, "done", err);
    case LEV_SHOP_JOB_REPEAT:
        return lev_shop_job_again(shop, ask, *id, a, id, err);
    case LEV_SHOP_JOB_ATTACH:
        return attach(shop, ask, *id, a, err);
    case LEV_SHOP_JOB_SHOW_ALL:
    case LEV_SHOP_JOB_SHOW:
    case LEV_SHOP_JOB_ADD:
    case LEV_SHOP_JOB_VERSIONS:
    case LEV_SHOP_JOB_FILE:
    case LEV_SHOP_JOB_RECIPE:
    case LEV_SHOP_JOB_ACTS:
        break;
    }
    return LEV_OK;
}

/* ---- the answer ---- */

static void add_up(lev_shop_job_answer *a)
{
    a->planned_s = 0.0;
    for (ptrdiff_t i = 0; i < a->steps.n; i++) {
        const lev_store_step *s = &a->steps.step[i];
        a->planned_s += isnan(s->predicted_s) ? 0.0 : s->predicted_s;
        a->steps_done += strcmp(s->verdict, "next-grit") == 0;
    }
}

static lev_status read_one(const lev_shop *shop, int64_t id, lev_shop_job_answer *a,
                           lev_error *err)
{
    lev_status st = LEV_OK;
    int64_t entries = 0;
    keep_list files = {.a = a, .err = err};
    LEV_TRY(read_jobs(shop, a, id, err));
    LEV_TRY(read_versions(shop, a, id, err));
    if (a->jobs == 1 && strcmp(a->job[0].state, "open") != 0)
        LEV_TRY(lev_shop_read_steps(shop, id, &a->steps, err));
    LEV_TRY(
        lev_store_actual(shop->store, id, &a->done_s, &a->done_sheets, &entries, err));
    LEV_TRY(lev_store_files(shop->store, id, keep_file, &files, err));
    LEV_TRY(files.st);
    add_up(a);
out:
    return st;
}

static lev_status check_read(const lev_shop_job_ask *ask, const lev_shop_job_answer *a,
                             lev_error *err)
{
    if (ask->act == LEV_SHOP_JOB_RECIPE && a->jobs == 1 && a->job[0].entries == 0)
        return lev_fail(err, LEV_E_USAGE,
                        "nothing was logged for this job yet, so there is no recipe");
    if (ask->act == LEV_SHOP_JOB_FILE && ask->version > a->versions)
        return lev_fail(err, LEV_E_UNKNOWN, "no version %d; the job has %td",
                        ask->version, a->versions);
    return LEV_OK;
}

static lev_status answer(const lev_shop *shop, const lev_shop_job_ask *ask,
                         lev_shop_job_answer *a, lev_error *err)
{
    lev_status st = LEV_OK;
    int64_t id = 0;
    char state[8] = "";
    if (ask->act == LEV_SHOP_JOB_SHOW_ALL)
        return read_jobs(shop, a, 0, err);
    if (ask->act == LEV_SHOP_JOB_ADD) {
        LEV_TRY(add_job(shop, ask, &id, err));
    } else {
        if (!told(ask->name))
            LEV_TRY(lev_fail(err, LEV_E_USAGE,
                             "%s wants the name of a job; `levigate job` lists them",
                             WORDS[ask->act]));
        LEV_TRY(lev_store_job_find(shop->store, ask->name, &id, state, err));
        LEV_TRY(do_change(shop, ask, a, &id, state, err));
    }
    LEV_TRY(read_one(shop, id, a, err));
    LEV_TRY(check_read(ask, a, err));
    if (ask->act == LEV_SHOP_JOB_FILE && a->versions > 0) { /* the one that is meant */
        const ptrdiff_t at = (ask->version > 0 ? ask->version : a->versions) - 1;
        a->version[0] = a->version[at];
        a->versions = 1;
    }
out:
    return st;
}

lev_status lev_app_shop_job(const lev_shop *shop, const lev_shop_job_ask *ask,
                            lev_shop_job_answer *out, lev_error *err)
{
    lev_shop_job_answer a = {
        .act = ask->act, .why_not = "", .done_s = NAN, .done_sheets = NAN};
    const lev_status st = answer(shop, ask, &a, err);
    if (st >= 0) {
        *out = a;
        a = (lev_shop_job_answer){0};
    }
    lev_shop_job_answer_release(&a);
    return st;
}

void lev_shop_job_answer_release(lev_shop_job_answer *a)
{
    if (a == NULL)
        return;
    lev_mem_free(a->job);
    lev_mem_free(a->version);
    lev_mem_free(a->file);
    lev_shop_steps_release(&a->steps);
    lev_arena_release(&a->arena);
    *a = (lev_shop_job_answer){0};
}
