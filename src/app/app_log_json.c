/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The log as JSON. */
#include "app_log_words.h"

#include <math.h>
#include <string.h>

#include "json.h"

static int put_entry(json_t *o, const lev_store_entry *e)
{
    int bad = lev_json_put_int(o, "id", e->id);
    bad |= lev_json_put_int(o, "at_s", e->at_s);
    bad |= lev_json_put_text(o, "who", e->who);
    bad |= lev_json_put_text(o, "job", e->job);
    bad |= lev_json_put_text(o, "face", e->face);
    bad |= lev_json_put_int(o, "number", e->number);
    bad |= lev_json_put_text(o, "step", e->step);
    bad |= lev_json_put_number(o, "work_s", e->work_s);
    bad |=
        lev_json_put_number(o, "pause_s", e->pause_s > 0.0 ? e->pause_s : (double)NAN);
    if (e->work_s > 0.0)
        bad |= lev_json_put_flag(o, "about", e->about);
    bad |= lev_json_put_number(o, "sheets", e->sheets);
    bad |= lev_json_put_number(o, "off_um", e->off_um);
    bad |= lev_json_put_number(o, "Ra_um", e->ra_um);
    bad |= lev_json_put_number(o, "Rq_um", e->rq_um);
    bad |= lev_json_put_number(o, "Rz_um", e->rz_um);
    bad |= lev_json_put_number(o, "Rt_um", e->rt_um);
    bad |= lev_json_put_number(o, "gloss_gu", e->gloss_gu);
    bad |= lev_json_put_text(o, "verdict", e->verdict);
    bad |= lev_json_put_text(o, "words", e->words);
    return bad | lev_json_put_flag(o, "undone", e->undone);
}

static json_t *fact_json(const lev_store_fact *f, int *failed)
{
    json_t *o = json_object();
    int bad = lev_json_put_text(o, "quantity", lev_quantity_name(f->quantity));
    bad |= lev_json_put_number(o, "actual_over_model", exp(f->ln_ratio));
    bad |= lev_json_put_number(o, "reading_lnsd", sqrt(f->variance));
    *failed |= bad;
    return o;
}

static int put_added(json_t *r, const lev_log_answer *a, int *failed)
{
    json_t *entry = json_object(), *facts = json_array();
    const lev_log_line *l = &a->line;
    const lev_store_entry e = {.id = a->id,
                               .at_s = a->at_s,
                               .who = l->who,
                               .job = a->job,
                               .face = a->step.step[0].face,
                               .number = l->number,
                               .step = a->step.step[0].words,
                               .work_s = l->work_s,
                               .pause_s = l->pause_s,
                               .about = l->about,
                               .sheets = l->sheets,
                               .off_um = a->off_um,
                               .ra_um = l->ra_um,
                               .rq_um = l->rq_um,
                               .rz_um = l->rz_um,
                               .rt_um = l->rt_um,
                               .gloss_gu = l->gloss_gu,
                               .verdict = l->verdict,
                               .words = l->words};
    int bad = put_entry(entry, &e);
    bad |= lev_json_put(r, "entry", entry);
    bad |= lev_json_put(r, "step", lev_shop_step_json(&a->step.step[0], failed));
    if (a->next != NULL)
        bad |= lev_json_put(r, "next", lev_shop_step_json(a->next, failed));
    for (ptrdiff_t i = 0; i < a->facts; i++)
        bad |= lev_json_add(facts, fact_json(&a->fact[i], failed));
    bad |= lev_json_put(r, "learned", facts);
    if (a->paper.medium_id != 0) {
        bad |= lev_json_put_int(r, "drawer_line", a->paper.medium_id);
        bad |= lev_json_put_number(r, "drawer_left", a->paper.left);
    }
    return bad;
}

static int put_undone(json_t *r, const lev_store_undone *u)
{
    json_t *o = json_object();
    int bad = lev_json_put_int(o, "id", u->id);
    bad |= lev_json_put_int(o, "at_s", u->at_s);
    bad |= lev_json_put_text(o, "who", u->who);
    bad |= lev_json_put_text(o, "face", u->face);
    bad |= lev_json_put_int(o, "number", u->number);
    return bad | lev_json_put(r, "undone", o);
}

json_t *lev_app_log_json(const lev_log_answer *a, int *failed)
{
    static const char *const did[] = {"add", "undo", "list"};
    json_t *r = lev_json_reply();
    lev_text first = {0}, second = {0};
    int bad = lev_json_put_text(r, "did", did[a->act]);
    lev_log_first_line(&first, a);
    lev_log_second_line(&second, a);
    bad |= lev_json_put_lines(r, &first, &second);
    if (a->act == LEV_LOG_ADD)
        bad |= put_added(r, a, failed);
    if (a->act == LEV_LOG_UNDO)
        bad |= put_undone(r, &a->undone);
    if (a->act == LEV_LOG_SHOW) {
        json_t *list = json_array();
        for (ptrdiff_t i = 0; i < a->entries; i++) {
            json_t *o = json_object();
            bad |= put_entry(o, &a->entry[i]);
            bad |= lev_json_add(list, o);
        }
        bad |= lev_json_put(r, "entries", list);
    }
    *failed |= bad;
    return r;
}
