/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The drawer as JSON. Keys of a line are those of a job's medium, and more. */
#include "app_drawer.h"

#include <math.h>

#include "json.h"

static int put_flag_known(json_t *o, const char *key, int flag)
{
    return flag >= 0 ? lev_json_put_flag(o, key, flag != 0) : 0;
}

static int put_size(json_t *o, const lev_store_medium *m)
{
    if (isnan(m->width_mm))
        return 0;
    json_t *size = json_array();
    int bad = lev_json_add(size, json_real(m->width_mm));
    bad |= lev_json_add(size, json_real(m->height_mm));
    return bad | lev_json_put(o, "size_mm", size);
}

static int put_medium(json_t *o, const lev_store_medium *m)
{
    int bad = lev_json_put_int(o, "line", m->id);
    bad |= lev_json_put_text(o, "marking", m->marking);
    bad |= lev_json_put_text(o, "system", m->system);
    bad |= lev_json_put_text(o, "label", m->label);
    bad |= lev_json_put_text(o, "method", m->method);
    bad |= lev_json_put_number(o, "d50_um", m->d50_um);
    bad |= lev_json_put_text(o, "mineral", m->mineral);
    bad |= lev_json_put_text(o, "carrier", m->carrier);
    bad |= put_size(o, m);
    bad |= lev_json_put_number(o, "count", m->count);
    bad |= lev_json_put_int(o, "price_minor", m->price_minor);
    bad |= lev_json_put_text(o, "state", m->state);
    bad |= put_flag_known(o, "waterproof", m->waterproof);
    bad |= lev_json_put_flag(o, "open_coat", m->open_coat);
    bad |= lev_json_put_flag(o, "anti_clog", m->anti_clog);
    bad |= lev_json_put_text(o, "holes", m->holes);
    bad |= lev_json_put_text(o, "lot", m->lot);
    return bad | lev_json_put_text(o, "bought", m->bought);
}

static json_t *line_json(const lev_drawer_line *l, int *failed)
{
    json_t *o = json_object();
    int bad = put_medium(o, &l->m);
    bad |= lev_json_put_number(o, "age_days", l->age_days);
    bad |= lev_json_put_number(o, "used", l->used > 0.0 ? l->used : (double)NAN);
    bad |= lev_json_put_number(o, "per_day", l->per_day);
    bad |= lev_json_put_number(o, "days_left", l->days_left);
    bad |= lev_json_put_number(o, "order_at", l->order_at);
    bad |= lev_json_put_flag(o, "order", l->order);
    bad |= lev_json_put_number(o, "overlap", l->overlap);
    bad |= lev_json_put_number(o, "larger_pct", l->larger_pct);
    if (!isnan(l->overlap))
        bad |= lev_json_put_flag(o, "same_method", l->same_method);
    *failed |= bad;
    return o;
}

static json_t *event_json(const lev_store_event *e, int *failed)
{
    json_t *o = json_object();
    int bad = lev_json_put_int(o, "at_s", e->at_s);
    bad |= lev_json_put_text(o, "kind", e->kind);
    bad |= lev_json_put_number(o, "change", e->change);
    bad |= lev_json_put_number(o, "left", e->left);
    bad |= lev_json_put_text(o, "reason", e->reason);
    *failed |= bad;
    return o;
}

static int put_asked(json_t *o, const lev_drawer_answer *a)
{
    if (a->act != LEV_DRAWER_LIKE)
        return 0;
    int bad = lev_json_put_text(o, "system", a->asked.system);
    bad |= lev_json_put_text(o, "label", a->asked.label);
    return bad | lev_json_put_number(o, "d50_um", a->asked_grit_um);
}

json_t *lev_app_drawer_json(const lev_drawer_answer *a, int *failed)
{
    json_t *r = lev_json_reply(), *lines = json_array();
    lev_text first = {0}, second = {0};
    lev_drawer_first_line(&first, a);
    lev_drawer_second_line(&second, a);
    int bad = lev_json_put_text(r, "did", lev_drawer_act_word(a->act));
    bad |= lev_json_put_lines(r, &first, &second);
    bad |= put_asked(r, a);
    for (ptrdiff_t i = 0; i < a->n; i++)
        if (a->act != LEV_DRAWER_ORDER || a->line[i].order)
            bad |= lev_json_add(lines, line_json(&a->line[i], failed));
    bad |= lev_json_put(r, "lines", lines);
    if (a->act == LEV_DRAWER_ADD)
        bad |= lev_json_put_flag(r, "joined", a->joined);
    if (a->act == LEV_DRAWER_HISTORY) {
        json_t *events = json_array();
        for (ptrdiff_t i = 0; i < a->events; i++)
            bad |= lev_json_add(events, event_json(&a->event[i].e, failed));
        bad |= lev_json_put(r, "events", events);
    }
    bad |= lev_json_put_int(r, "worth_minor", a->worth_minor);
    bad |= lev_json_put_text(r, "currency", a->currency);
    bad |= lev_json_put_notes(r, a->notes);
    *failed |= bad;
    return r;
}
