/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The log: from a line to an entry, its facts and its paper. See app_log.h. */
#include "app_log.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "levigate/material.h"
#include "mem.h"
#include "units.h"

static bool told(const char *s)
{
    return s != NULL && s[0] != '\0';
}

static lev_status read_line(const lev_shop *shop, const lev_log_ask *ask,
                            lev_log_line *line, lev_error *err)
{
    const bool headed = told(ask->face) && ask->number > 0;
    const lev_status st = lev_log_line_read(ask->line != NULL ? ask->line : "", headed,
                                            shop->comma_ok, line, err);
    if (st < 0)
        return st;
    if (headed) {
        (void)snprintf(line->face, sizeof line->face, "%s", ask->face);
        line->number = ask->number;
    }
    if (line->who[0] == '\0' && told(ask->who))
        (void)snprintf(line->who, sizeof line->who, "%s", ask->who);
    line->sure = line->sure || ask->sure;
    return LEV_OK;
}

/* 1 g off 1 mm2 of a density in kg/m3 is 1e9 / density um deep. */
static double depth_of_weight_um(const lev_store_step *s, double lost_g)
{
    lev_material m;
    if (!(lost_g >= 0.0) || !(s->area_mm2 > 0.0) ||
        lev_material_find(s->material, &m, NULL) < 0 || !(m.density_kg_m3.value > 0.0))
        return (double)NAN;
    return lost_g * 1e9 / (m.density_kg_m3.value * s->area_mm2);
}

static lev_store_entry entry_of(const lev_shop *shop, const lev_store_step *s,
                                const lev_log_line *l)
{
    return (lev_store_entry){
        .step_id = s->id,
        .at_s = shop->now_s,
        .who = l->who,
        .work_s = l->work_s,
        .pause_s = l->pause_s,
        .about = l->about,
        .sheets = l->sheets,
        .before_g = l->before_g,
        .after_g = l->after_g,
        .off_um = isnan(l->off_um) ? depth_of_weight_um(s, l->lost_g) : l->off_um,
        .ra_um = l->ra_um,
        .rq_um = l->rq_um,
        .rz_um = l->rz_um,
        .rt_um = l->rt_um,
        .gloss_gu = l->gloss_gu,
        .verdict = l->verdict,
        .words = l->words,
    };
}

/* A combination's names; steps without grit have their kind for a drive. */
static lev_store_cell cell_of(const lev_store_step *s, const lev_log_line *l)
{
    return (lev_store_cell){.family = s->family,
                            .material = s->material,
                            .drive = s->drive[0] != '\0' ? s->drive : s->kind,
                            .mineral = s->mineral,
                            .who = l->who};
}

static lev_status ask_about(const lev_store_step *s, const lev_store_entry *e,
                            bool *question, lev_error *err)
{
    char doubt[LEV_LOG_TEXT];
    lev_log_doubt(s, e, doubt);
    if (doubt[0] == '\0')
        return LEV_OK;
    if (question != NULL)
        *question = true;
    return lev_fail(err, LEV_E_RANGE,
                    "%s; nothing was logged: add the word sure if it is so", doubt);
}

static lev_status keep(const lev_shop *shop, lev_log_answer *a, bool *question,
                       lev_error *err)
{
    lev_status st = LEV_OK;
    int64_t guessed = 0, without = 0;
    const lev_store_step *s = &a->step.step[0];
    const lev_store_entry e = entry_of(shop, s, &a->line);
    const lev_store_cell cell = cell_of(s, &a->line);
    a->off_um = e.off_um;
    if (!a->line.sure)
        LEV_TRY(ask_about(s, &e, question, err));
    LEV_TRY(lev_store_step_times(shop->store, s->id, &guessed, &without, err));
    a->facts =
        lev_log_facts(s, &e, a->line.weight_step_g, a->line.lost_g,
                      e.about || guessed > 0, without == 0 && e.work_s > 0.0, a->fact);
    LEV_TRY(
        lev_store_log_add(shop->store, &e, &cell, a->fact, a->facts, &a->paper, err));
    a->id = a->paper.id;
out:
    return st;
}

/* The step as it stands now, and the one that follows it on the face. */
static lev_status look_around(const lev_shop *shop, int64_t step_id, int64_t job_id,
                              lev_log_answer *a, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_shop_steps_release(&a->step);
    LEV_TRY(lev_shop_read_step(shop, step_id, &a->step, err));
    LEV_TRY(lev_shop_read_steps(shop, job_id, &a->around, err));
    for (ptrdiff_t i = 0; i < a->around.n; i++) {
        const lev_store_step *s = &a->around.step[i];
        if (lev_text_same(s->face, a->step.step[0].face) &&
            s->number == a->line.number + 1)
            a->next = s;
    }
out:
    return st;
}

static lev_status add(const lev_shop *shop, const lev_log_ask *ask, bool *question,
                      lev_log_answer *a, lev_error *err)
{
    lev_status st = LEV_OK;
    int64_t id = 0;
    lev_store_of_job job;
    LEV_TRY(read_line(shop, ask, &a->line, err));
    LEV_TRY(lev_store_step_find(shop->store, ask->job, a->line.face, a->line.number,
                                &id, err));
    LEV_TRY(lev_shop_read_step(shop, id, &a->step, err));
    LEV_TRY(lev_store_step_job(shop->store, id, &job, err));
    (void)snprintf(a->job, sizeof a->job, "%.*s", LEV_LOG_NAME - 1, job.name);
    LEV_TRY(keep(shop, a, question, err));
    LEV_TRY(look_around(shop, id, job.id, a, err));
out:
    return st;
}

typedef struct keep_entries {
    lev_log_answer *a;
    ptrdiff_t room;
    lev_status st;
    lev_error *err;
} keep_entries;

static int keep_entry(void *to, const lev_store_entry *x)
{
    keep_entries *k = to;
    lev_log_answer *a = k->a;
    if (a->entries == k->room) {
        void *p = a->entry;
        const ptrdiff_t wanted = k->room > 0 ? 2 * k->room : 16;
        k->st =
            lev_mem_grow(&p, (size_t)k->room, (size_t)wanted, sizeof *a->entry, k->err);
        if (k->st < 0)
            return 1;
        a->entry = p;
        k->room = wanted;
    }
    lev_store_entry *e = &a->entry[a->entries++];
    *e = *x;
    const char **const texts[] = {&e->who,  &e->job,     &e->face,
                                  &e->step, &e->verdict, &e->words};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        *texts[i] = lev_shop_copy(&a->arena, *texts[i], &k->st, k->err);
    return k->st < 0;
}

static lev_status show(const lev_shop *shop, const lev_log_ask *ask, lev_log_answer *a,
                       lev_error *err)
{
    enum { USUAL = 20 };
    keep_entries k = {.a = a, .err = err};
    const int most = ask->most > 0 ? ask->most : USUAL;
    const lev_status st =
        lev_store_log(shop->store, ask->face, most, keep_entry, &k, err);
    return st < 0 ? st : k.st;
}

lev_status lev_app_log(const lev_shop *shop, const lev_log_ask *ask, bool *question,
                       lev_log_answer *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_log_answer a = {.act = ask->act, .at_s = shop->now_s};
    if (question != NULL)
        *question = false;
    if (ask->act == LEV_LOG_ADD)
        LEV_TRY(add(shop, ask, question, &a, err));
    else if (ask->act == LEV_LOG_UNDO)
        LEV_TRY(lev_store_log_undo(shop->store, ask->who, shop->now_s, &a.undone, err));
    else
        LEV_TRY(show(shop, ask, &a, err));
    *out = a;
    a = (lev_log_answer){0};
out:
    lev_log_answer_release(&a);
    return st;
}

void lev_log_answer_release(lev_log_answer *a)
{
    if (a == NULL)
        return;
    lev_shop_steps_release(&a->step);
    lev_shop_steps_release(&a->around);
    lev_mem_free(a->entry);
    lev_arena_release(&a->arena);
    *a = (lev_log_answer){0};
}
