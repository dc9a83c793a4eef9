/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Jobs of the store as JSON and for a terminal. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "app_shop_job.h"
#include "json.h"
#include "num.h"

static bool recipe(const lev_shop_job_answer *a)
{
    return a->act == LEV_SHOP_JOB_RECIPE;
}

/* ---- JSON ---- */

static json_t *job_json(const lev_store_job *j, int *failed)
{
    json_t *o = json_object();
    int bad = lev_json_put_text(o, "name", j->name);
    bad |= lev_json_put_text(o, "state", j->state);
    bad |= lev_json_put_int(o, "made_s", j->made_s);
    bad |= lev_json_put_int(o, "versions", j->versions);
    bad |= lev_json_put_int(o, "entries", j->entries);
    *failed |= bad;
    return o;
}

static json_t *version_json(const lev_shop_version *v, bool body, int *failed)
{
    json_t *o = json_object();
    int bad = lev_json_put_int(o, "number", v->number);
    bad |= lev_json_put_int(o, "at_s", v->at_s);
    bad |= lev_json_put_text(o, "why", v->why);
    if (body) {
        json_t *job = json_loads(v->body, JSON_REJECT_DUPLICATES, NULL);
        bad |= job != NULL ? lev_json_put(o, "job", job) : -1;
    }
    *failed |= bad;
    return o;
}

/* A photo taken with an entry of the log begins "entry 12". */
static int put_entry(json_t *o, const char *words)
{
    static const char head[] = "entry ";
    double id = 0.0;
    char number[24];
    if (words == NULL || strncmp(words, head, sizeof head - 1) != 0)
        return 0;
    const char *digits = words + sizeof head - 1;
    (void)snprintf(number, sizeof number, "%.*s", (int)strspn(digits, "0123456789"),
                   digits);
    return lev_num_parse(number, false, &id) && id < 1e15
               ? lev_json_put_int(o, "entry", (int64_t)id)
               : 0;
}

static json_t *file_json(const lev_store_file *f, int *failed)
{
    json_t *o = json_object();
    int bad = lev_json_put_text(o, "name", f->name);
    bad |= lev_json_put_text(o, "face", f->face);
    bad |= lev_json_put_text(o, "sha256", f->sha256);
    bad |= lev_json_put_int(o, "bytes", f->bytes);
    bad |= lev_json_put_int(o, "at_s", f->at_s);
    bad |= lev_json_put_text(o, "words", f->words);
    bad |= put_entry(o, f->words);
    *failed |= bad;
    return o;
}

static int put_one(json_t *r, const lev_shop_job_answer *a, int *failed)
{
    json_t *versions = json_array(), *steps = json_array(), *files = json_array();
    int bad = 0;
    for (ptrdiff_t i = 0; i < a->versions; i++)
        bad |=
            lev_json_add(versions, version_json(&a->version[i],
                                                a->act == LEV_SHOP_JOB_FILE, failed));
    bad |= lev_json_put(r, "versions", versions);
    for (ptrdiff_t i = 0; i < a->steps.n; i++)
        if (!recipe(a) || a->steps.step[i].entries > 0)
            bad |= lev_json_add(steps, lev_shop_step_json(&a->steps.step[i], failed));
    bad |= lev_json_put(r, "steps", steps);
    for (ptrdiff_t i = 0; i < a->files; i++)
        bad |= lev_json_add(files, file_json(&a->file[i], failed));
    bad |= lev_json_put(r, "files", files);
    bad |= lev_json_put_number(r, "planned_s", a->planned_s);
    bad |= lev_json_put_number(r, "done_s", a->done_s);
    bad |= lev_json_put_number(r, "done_sheets", a->done_sheets);
    bad |= lev_json_put_int(r, "steps_done", a->steps_done);
    if (a->act == LEV_SHOP_JOB_START) {
        bad |= lev_json_put_flag(r, "feasible", a->not_feasible == 0);
        bad |= lev_json_put_text(r, "why_not", a->why_not);
        bad |= lev_json_put_number(r, "from_log_pct", 100.0 * a->from_log);
    }
    return bad;
}

json_t *lev_app_shop_job_json(const lev_shop_job_answer *a, int *failed)
{
    json_t *r = lev_json_reply(), *jobs = json_array();
    lev_text first = {0}, second = {0};
    int bad = lev_json_put_text(r, "did", lev_shop_job_act_word(a->act));
    lev_shop_job_first_line(&first, a);
    lev_shop_job_second_line(&second, a);
    bad |= lev_json_put_lines(r, &first, &second);
    for (ptrdiff_t i = 0; i < a->jobs; i++)
        bad |= lev_json_add(jobs, job_json(&a->job[i], failed));
    bad |= lev_json_put(r, "jobs", jobs);
    if (a->act != LEV_SHOP_JOB_SHOW_ALL)
        bad |= put_one(r, a, failed);
    *failed |= bad;
    return r;
}

/* ---- text ---- */

static const lev_store_step *next_step(const lev_shop_job_answer *a)
{
    for (ptrdiff_t i = 0; i < a->steps.n; i++)
        if (strcmp(a->steps.step[i].verdict, "next-grit") != 0)
            return &a->steps.step[i];
    return NULL;
}

static void first_of_job(lev_text *t, const lev_shop_job_answer *a)
{
    const char *name = a->job[0].name;
    switch (a->act) {
    case LEV_SHOP_JOB_ADD:
        lev_text_print(t, "%.40s IS IN THE STORE", name);
        return;
    case LEV_SHOP_JOB_CHANGE:
        lev_text_print(t, "%.34s IS NOW VERSION %td", name, a->versions);
        return;
    case LEV_SHOP_JOB_START:
    case LEV_SHOP_JOB_REPEAT:
        lev_text_print(t, "%.28s: PLAN OF %td STEP%s FROZEN", name, a->steps.n,
                       a->steps.n > 1 ? "S" : "");
        return;
    case LEV_SHOP_JOB_DONE:
        lev_text_print(t, "%.40s IS DONE", name);
        return;
    case LEV_SHOP_JOB_ATTACH:
        lev_text_print(t, "KEPT: %.44s", a->file[a->files - 1].name);
        return;
    case LEV_SHOP_JOB_RECIPE:
        lev_text_print(t, "%.30s TOOK ", name);
        lev_words_time(t, isnan(a->done_s) ? 0.0 : a->done_s);
        return;
    case LEV_SHOP_JOB_VERSIONS:
        lev_text_print(t, "%.36s: %td VERSION%s", name, a->versions,
                       a->versions > 1 ? "S" : "");
        return;
    case LEV_SHOP_JOB_SHOW:
    case LEV_SHOP_JOB_FILE:
    case LEV_SHOP_JOB_SHOW_ALL:
    case LEV_SHOP_JOB_ACTS:
        break;
    }
    if (a->steps.n == 0)
        lev_text_print(t, "%.34s HAS NOT STARTED", name);
    else
        lev_text_print(t, "%.30s: %td STEP%s TO GO", name, a->steps.n - a->steps_done,
                       a->steps.n - a->steps_done == 1 ? "" : "S");
}

void lev_shop_job_first_line(lev_text *t, const lev_shop_job_answer *a)
{
    if (a->act != LEV_SHOP_JOB_SHOW_ALL)
        first_of_job(t, a);
    else if (a->jobs == 0)
        lev_text_add(t, "NO JOBS IN THE STORE");
    else
        lev_text_print(t, "%td JOB%s IN THE STORE", a->jobs, a->jobs > 1 ? "S" : "");
}

void lev_shop_job_second_line(lev_text *t, const lev_shop_job_answer *a)
{
    const lev_store_step *next = next_step(a);
    if (a->act == LEV_SHOP_JOB_SHOW_ALL)
        lev_text_add(t, a->jobs == 0 ? "next: levigate job add FILE"
                                     : "next: levigate job show NAME");
    else if (a->act == LEV_SHOP_JOB_ATTACH)
        lev_text_add(t, "check: `levigate verify` says whether it is still as kept");
    else if (a->act == LEV_SHOP_JOB_DONE && next != NULL)
        lev_text_print(t, "check: %td of its steps were never logged as cleared",
                       a->steps.n - a->steps_done);
    else if (recipe(a))
        lev_text_print(t,
                       "next: levigate job repeat \"%s\" --as NAME for another piece",
                       a->job[0].name);
    else if (a->steps.n == 0)
        lev_text_print(t, "next: levigate job start \"%s\" freezes the plan",
                       a->job[0].name);
    else if (next != NULL)
        lev_text_print(t, "next: %s step %d, %s; log it when it is done", next->face,
                       next->number, next->words);
    else
        lev_text_add(t, "check: all steps are cleared; full check with the lens");
}

static void one_step(lev_text *t, const lev_store_step *s)
{
    lev_text_print(t, "  %2d  %s", s->number, s->words);
    if (s->push[0] != '\0')
        lev_text_print(t, ", %s push", s->push);
    lev_text_print(t, ", %s", s->fluid);
    if (s->predicted_s > 0.0) {
        lev_text_add(t, ": planned ");
        lev_words_time(t, s->predicted_s);
    }
    if (s->done_s > 0.0) {
        lev_text_add(t, ", done ");
        lev_words_time(t, s->done_s);
    }
    if (s->done_sheets > 0.0) {
        lev_text_add(t, ", ");
        lev_words_sheets(t, s->done_sheets, "sheet");
    }
    if (s->verdict[0] != '\0')
        lev_text_print(t, ", %s", s->verdict);
    if (s->said[0] != '\0')
        lev_text_print(t, "; %s", s->said);
    lev_text_add(t, "\n");
}

static void steps(lev_text *t, const lev_shop_job_answer *a)
{
    const char *face = "";
    for (ptrdiff_t i = 0; i < a->steps.n; i++) {
        const lev_store_step *s = &a->steps.step[i];
        if (recipe(a) && s->entries == 0)
            continue;
        if (strcmp(face, s->face) != 0)
            lev_text_print(t, " %s, %s\n", s->face, s->material);
        face = s->face;
        one_step(t, s);
    }
}

static void jobs(lev_text *t, const lev_shop_job_answer *a)
{
    for (ptrdiff_t i = 0; i < a->jobs; i++) {
        const lev_store_job *j = &a->job[i];
        lev_text_print(t, "  %s: %s, %lld version%s, %lld entr%s, ", j->name, j->state,
                       (long long)j->versions, j->versions > 1 ? "s" : "",
                       (long long)j->entries, j->entries == 1 ? "y" : "ies");
        lev_words_day(t, j->made_s, false);
        lev_text_add(t, "\n");
    }
}

static void versions(lev_text *t, const lev_shop_job_answer *a)
{
    for (ptrdiff_t i = 0; i < a->versions; i++) {
        const lev_shop_version *v = &a->version[i];
        lev_text_print(t, "  %lld  ", (long long)v->number);
        lev_words_day(t, v->at_s, true);
        lev_text_print(t, "%s%s\n", v->why[0] != '\0' ? "  " : "", v->why);
    }
}

static void files(lev_text *t, const lev_shop_job_answer *a)
{
    for (ptrdiff_t i = 0; i < a->files; i++) {
        const lev_store_file *f = &a->file[i];
        lev_text_print(t, "  file %s%s%s, %lld bytes, %.12s", f->name,
                       f->face[0] != '\0' ? " of " : "", f->face, (long long)f->bytes,
                       f->sha256);
        lev_text_print(t, "%s%s\n", f->words[0] != '\0' ? "; " : "", f->words);
    }
}

void lev_app_shop_job_text(lev_text *t, const lev_shop_job_answer *a, lev_units units)
{
    (void)units;
    if (a->act == LEV_SHOP_JOB_FILE && a->versions == 1) {
        lev_text_add(t, a->version[0].body); /* the job itself, to be used again */
        if (t->n > 0 && t->s[t->n - 1] != '\n')
            lev_text_add(t, "\n");
        return;
    }
    lev_shop_job_first_line(t, a);
    lev_text_add(t, "\n");
    lev_shop_job_second_line(t, a);
    lev_text_add(t, "\n");
    if (a->not_feasible > 0)
        lev_text_print(t, "  %td faces without a ladder; %s\n", a->not_feasible,
                       a->why_not);
    if (a->act == LEV_SHOP_JOB_SHOW_ALL)
        jobs(t, a);
    else if (a->act == LEV_SHOP_JOB_VERSIONS)
        versions(t, a);
    else if (a->act != LEV_SHOP_JOB_DONE && a->act != LEV_SHOP_JOB_ATTACH)
        steps(t, a);
    if (a->act == LEV_SHOP_JOB_START)
        lev_text_print(t, "  from the log: %.0f %%\n", 100.0 * a->from_log);
    if (a->act != LEV_SHOP_JOB_SHOW_ALL)
        files(t, a);
}
