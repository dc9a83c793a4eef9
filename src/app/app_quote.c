/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Working out a quote. See app_quote.h. */
#include "app_quote.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "units.h"

static const lev_row_quote_item *item_row(const char *id)
{
    int i = 0;
    while (i + 1 < LEV_TAB_QUOTE_ITEM_N && strcmp(lev_tab_quote_item[i].id, id) != 0)
        i++;
    return &lev_tab_quote_item[i];
}

static lev_spread rule(const char *id)
{
    int i = 0;
    while (i + 1 < LEV_TAB_QUOTE_RULE_N && strcmp(lev_tab_quote_rule[i].id, id) != 0)
        i++;
    const lev_row_quote_rule *r = &lev_tab_quote_rule[i];
    return (lev_spread){r->low, r->likely, r->high};
}

static lev_spread times(lev_spread a, double k)
{
    return (lev_spread){a.p10 * k, a.p50 * k, a.p90 * k};
}

static lev_spread plus(lev_spread a, lev_spread b)
{
    return (lev_spread){a.p10 + b.p10, a.p50 + b.p50, a.p90 + b.p90};
}

/* One price in the making. */
typedef struct quoting {
    const lev_quote_ask *ask;
    double rate_per_s;
    int count;
    lev_quote_line *line;
    int lines;
} quoting;

static lev_quote_line *new_line(quoting *q)
{
    lev_quote_line *l =
        &q->line[q->lines < LEV_QUOTE_LINES - 1 ? q->lines++ : q->lines];
    *l = (lev_quote_line){0};
    return l;
}

/* So many of a row's work; nothing when there are none. */
static void add_item(quoting *q, const char *id, double amount)
{
    const lev_row_quote_item *r = item_row(id);
    if (!(amount > 0.0))
        return;
    lev_quote_line *l = new_line(q);
    const bool once = strcmp(r->per, "once") == 0;
    if (once)
        (void)snprintf(l->words, sizeof l->words, "%s", r->words);
    else
        (void)snprintf(l->words, sizeof l->words, "%s: %g%s", r->words, amount,
                       strcmp(r->per, "100-mm") == 0 ? " times 100 mm"
                       : strcmp(r->per, "m") == 0    ? " m"
                                                     : "");
    l->time_s = times((lev_spread){r->low_s, r->likely_s, r->high_s}, amount);
    l->cost_minor = times(l->time_s, q->rate_per_s);
}

/* Setting up and cleaning down of a ladder: what a batch costs once. New paper is no
 * part of it, for it is worn piece by piece. */
static double once_s(const lev_face_ladder *ladder)
{
    double s = ladder->time_s.p50;
    for (int i = 0; i < ladder->steps; i++) {
        const lev_face_step *step = &ladder->step[i];
        s -= step->time_s.p50;
        for (int k = 0; k < LEV_TAB_DRIVE_N; k++)
            if (step->drive != NULL && strcmp(lev_tab_drive[k].id, step->drive) == 0)
                s -= lev_tab_drive[k].change_s * (double)step->media_changes;
    }
    return fmax(0.0, fmin(s, ladder->time_s.p10));
}

static double each_paper(double cost_minor, double time_s, double rate_per_s)
{
    return fmax(0.0, cost_minor - rate_per_s * time_s);
}

/* The ladder was planned for one piece: its setting up is done once, the rest n times.
 */
static void add_face(quoting *q, const lev_plan_face_answer *f)
{
    const lev_face_ladder *ladder = lev_plan_chosen(f);
    const double once = once_s(ladder), n = q->count, rate = q->rate_per_s;
    const lev_spread t = ladder->time_s, c = ladder->cost_minor;
    lev_quote_line *l = new_line(q);
    lev_text area = {0};
    lev_words_area(&area, f->face.area_mm2, (double)NAN, (double)NAN, LEV_UNITS_METRIC);
    (void)snprintf(l->words, sizeof l->words, "face %s: %s, %s, %d steps",
                   f->asked->name, f->asked->shape, lev_text_get(&area), ladder->steps);
    lev_text_release(&area);
    l->is_face = true;
    l->time_s = (lev_spread){once + n * (t.p10 - once), once + n * (t.p50 - once),
                             once + n * (t.p90 - once)};
    l->cost_minor =
        (lev_spread){rate * l->time_s.p10 + n * each_paper(c.p10, t.p10, rate),
                     rate * l->time_s.p50 + n * each_paper(c.p50, t.p50, rate),
                     rate * l->time_s.p90 + n * each_paper(c.p90, t.p90, rate)};
}

static void add_faces(quoting *q, const lev_plan_answer *plan)
{
    for (ptrdiff_t i = 0; i < plan->faces; i++)
        if (plan->face[i].leave == NULL && plan->face[i].result.ladders > 0)
            add_face(q, &plan->face[i]);
}

static int readings_of(const lev_quote_ask *ask)
{
    int n = 0;
    if (ask->readings >= 0)
        return ask->readings;
    for (ptrdiff_t i = 0; i < ask->job->faces_n; i++)
        if (ask->job->faces[i].target.kind == LEV_TARGET_LIMIT)
            n += ask->job->faces[i].target.readings > 0
                     ? ask->job->faces[i].target.readings
                     : 1;
    return n;
}

static void add_rework(quoting *q)
{
    lev_spread time = {0}, cost = {0};
    const lev_spread share = rule("rework");
    for (int i = 0; i < q->lines; i++) {
        time = plus(time, q->line[i].time_s);
        cost = plus(cost, q->line[i].cost_minor);
    }
    lev_quote_line *l = new_line(q);
    (void)snprintf(l->words, sizeof l->words, "rework: %.0f %% of the work",
                   100.0 * share.p50);
    l->time_s =
        (lev_spread){time.p10 * share.p10, time.p50 * share.p50, time.p90 * share.p90};
    l->cost_minor =
        (lev_spread){cost.p10 * share.p10, cost.p50 * share.p50, cost.p90 * share.p90};
}

static void add_lines(quoting *q, const lev_plan_answer *plan)
{
    const lev_quote_ask *ask = q->ask;
    const double n = q->count;
    add_item(q, "setup", 1.0);
    add_item(q, "first-article", ask->first_article ? 1.0 : 0.0);
    add_item(q, "masking", n * ask->masked);
    add_item(q, "weld", n * ask->weld_mm / 100.0);
    add_faces(q, plan);
    add_item(q, "corner", n * ask->corners);
    add_item(q, "edge", n * ask->edge_m);
    add_item(q, "hole", n * ask->holes);
    add_item(q, "reading", n * readings_of(ask));
    add_item(q, "cleaning", n);
    add_item(q, "disposal", 1.0);
    add_rework(q);
    if (ask->subcontract_minor > 0.0) {
        lev_quote_line *l = new_line(q);
        const double cost = n * ask->subcontract_minor;
        (void)snprintf(l->words, sizeof l->words, "work given out");
        l->cost_minor = (lev_spread){cost, cost, cost};
    }
}

/* To so many digits, upwards: a price is not rounded down. */
static int64_t round_up(double minor, int digits)
{
    const double unit =
        minor > 1.0 ? fmax(1.0, pow(10.0, floor(log10(minor)) + 1.0 - digits)) : 1.0;
    return (int64_t)(ceil(minor / unit - 1e-9) * unit);
}

static lev_quote_price price_of(const quoting *q, double minimum_minor)
{
    lev_quote_price p = {.count = q->count};
    for (int i = 0; i < q->lines; i++)
        p.cost_minor = plus(p.cost_minor, q->line[i].cost_minor);
    p.cost_minor = times(p.cost_minor, 1.0 + q->ask->margin_pct / 100.0);
    p.is_minimum = p.cost_minor.p50 < minimum_minor;
    const double all = fmax(p.cost_minor.p50, minimum_minor);
    p.each_minor = isfinite(q->ask->given_minor)
                       ? (int64_t)q->ask->given_minor
                       : round_up(all / q->count, (int)rule("digits").p50);
    return p;
}

static void add_breaks(const lev_quote_ask *ask, lev_quote_answer *a)
{
    static const char *const ids[] = {"break-1", "break-10", "break-50"};
    lev_quote_line line[LEV_QUOTE_LINES];
    for (size_t i = 0; i < sizeof ids / sizeof *ids; i++) {
        quoting q = {.ask = ask,
                     .rate_per_s = a->rate_minor_per_h / LEV_S_PER_H,
                     .count = (int)rule(ids[i]).p50,
                     .line = line};
        if (q.count == a->count)
            continue;
        add_lines(&q, &a->plan);
        a->breaks[a->breaks_n++] = price_of(&q, a->minimum_minor);
    }
}

static lev_status settle(const lev_quote_ask *ask, lev_quote_answer *a, lev_error *err)
{
    a->job = ask->job;
    a->count = ask->count > 0 ? ask->count : ask->job->count > 0 ? ask->job->count : 1;
    a->rate_minor_per_h = ask->rate_minor_per_h > 0.0
                              ? ask->rate_minor_per_h
                              : (double)ask->job->labour_minor_per_h;
    if (!(a->rate_minor_per_h > 0.0))
        return lev_fail(err, LEV_E_USAGE,
                        "no price of an hour is known; give --rate, or "
                        "labour_minor_per_h in the job");
    a->minimum_minor = isfinite(ask->minimum_minor)
                           ? ask->minimum_minor
                           : a->rate_minor_per_h * rule("minimum").p50;
    a->readings = readings_of(ask);
    return LEV_OK;
}

lev_status lev_app_quote(const lev_quote_ask *ask, lev_quote_answer *out,
                         lev_error *err)
{
    lev_status st = LEV_OK;
    lev_quote_answer a = {0};
    lev_job job;
    LEV_TRY(settle(ask, &a, err));
    job = *ask->job;
    job.count = 1;
    job.labour_minor_per_h = (int64_t)a.rate_minor_per_h;
    LEV_TRY(lev_app_plan_from(&job, &ask->from, &a.plan, err));
    a.plan.job = ask->job; /* the copy ends here; they differ in count and rate */
    quoting q = {.ask = ask,
                 .rate_per_s = a.rate_minor_per_h / LEV_S_PER_H,
                 .count = a.count,
                 .line = a.line};
    add_lines(&q, &a.plan);
    a.lines = q.lines;
    for (int i = 0; i < a.lines; i++)
        a.time_s = plus(a.time_s, a.line[i].time_s);
    a.price = price_of(&q, a.minimum_minor);
    if (!isfinite(ask->given_minor))
        add_breaks(ask, &a);
    *out = a;
    a.plan = (lev_plan_answer){0};
out:
    lev_plan_answer_release(&a.plan);
    return st;
}

void lev_quote_answer_release(lev_quote_answer *a)
{
    if (a != NULL)
        lev_plan_answer_release(&a->plan);
}

/* ---- the store ---- */

static int newest_quote(void *to, const lev_store_quote *q)
{
    lev_quote_past *past = to;
    past->last = *q;
    (void)snprintf(past->currency, sizeof past->currency, "%s", q->currency);
    past->last.currency = past->currency;
    return 1;
}

lev_status lev_quote_look_back(const lev_shop *shop, lev_quote_answer *a,
                               lev_error *err)
{
    int64_t id = 0;
    char state[8];
    lev_status st = lev_store_job_find(shop->store, a->job->name, &id, state, NULL);
    a->now_s = shop->now_s;
    if (st == LEV_E_UNKNOWN)
        return LEV_OK; /* never put into the store: nothing to compare with */
    LEV_TRY(lev_store_job_find(shop->store, a->job->name, &id, state, err));
    LEV_TRY(lev_store_quotes(shop->store, id, newest_quote, &a->past, err));
    a->past.last.currency = a->past.currency;
    LEV_TRY(lev_store_actual(shop->store, id, &a->past.work_s, &a->past.sheets,
                             &a->past.entries, err));
    a->past.known = true;
out:
    return st;
}

lev_status lev_quote_keep(const lev_shop *shop, const lev_quote_answer *a,
                          lev_error *err)
{
    int64_t id = 0;
    char state[8];
    const lev_quote_price *p = &a->price;
    const lev_status st =
        lev_store_job_find(shop->store, a->job->name, &id, state, err);
    if (st < 0)
        return st;
    const lev_store_quote q = {.at_s = shop->now_s,
                               .count = a->count,
                               .low_minor = llround(p->cost_minor.p10),
                               .likely_minor = llround(p->cost_minor.p50),
                               .high_minor = llround(p->cost_minor.p90),
                               .given_minor = p->each_minor * a->count,
                               .currency = a->job->currency,
                               .predicted_s = a->time_s.p50};
    return lev_store_quote_add(shop->store, id, &q, err);
}
