/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A quote as JSON, for the shop and for the customer. */
#include <math.h>
#include <string.h>

#include "app_quote.h"
#include "json.h"

static bool has_ladder(const lev_plan_face_answer *f)
{
    return f->leave == NULL && f->result.ladders > 0;
}

/* The line that costs most, and its share of all. */
static const lev_quote_line *dearest(const lev_quote_answer *a, double *share)
{
    const lev_quote_line *most = &a->line[0];
    double all = 0.0;
    for (int i = 0; i < a->lines; i++) {
        all += a->line[i].cost_minor.p50;
        if (a->line[i].cost_minor.p50 > most->cost_minor.p50)
            most = &a->line[i];
    }
    *share = all > 0.0 ? most->cost_minor.p50 / all : 0.0;
    return most;
}

static void first_line(lev_text *t, const lev_quote_answer *a)
{
    const char *currency = a->job->currency;
    lev_words_money(t, (double)a->price.each_minor, currency);
    lev_text_add(t, a->count > 1 ? " EACH AT " : "");
    if (a->count > 1)
        lev_text_print(t, "%d", a->count);
    lev_text_add(t, a->price.is_minimum ? ", THE LEAST CHARGE" : "");
}

static void second_line(lev_text *t, const lev_quote_answer *a)
{
    double share = 0.0;
    const lev_quote_line *most = dearest(a, &share);
    lev_text_print(t, "%.0f tenths of it is %s; time the first piece: ",
                   fmax(1.0, round(10.0 * share)), most->words);
    lev_words_time(t, a->time_s.p50 / a->count);
}

/* ---- what is not in it ---- */

static void not_included(lev_text *t, const lev_quote_answer *a, lev_units units,
                         const char *lead)
{
    double deepest = 0.0, loss = 0.0;
    for (ptrdiff_t i = 0; i < a->plan.faces; i++) {
        const lev_plan_face_answer *f = &a->plan.face[i];
        if (!has_ladder(f)) {
            lev_text_print(t, "%sface %s: %s\n", lead, f->asked->name,
                           f->leave != NULL ? f->leave->reason : f->result.why_not);
            continue;
        }
        deepest = fmax(deepest, fmax(f->face.start.mark_hi_um, 0.0));
        loss = fmax(loss, lev_plan_chosen(f)->remove_um.p90);
    }
    lev_text_print(t, "%spits or pores that open in the work\n", lead);
    if (deepest > 0.0) {
        lev_text_print(t, "%smarks deeper than ", lead);
        lev_words_depth(t, deepest, units);
        lev_text_add(t, "\n");
    }
    if (loss > 0.0) {
        lev_text_print(t, "%sloss of size beyond ", lead);
        lev_words_depth(t, loss, units);
        lev_text_add(t, " a face\n");
    }
    lev_text_print(t, "%searlier plating or coating that was not shown to us\n", lead);
}

/* ---- for the shop ---- */

static void money_band(lev_text *t, lev_spread minor, const char *currency)
{
    lev_words_money(t, minor.p50, currency);
    lev_text_add(t, ", low ");
    lev_words_money(t, minor.p10, currency);
    lev_text_add(t, ", high ");
    lev_words_money(t, minor.p90, currency);
}

static void breaks_text(lev_text *t, const lev_quote_answer *a, const char *lead,
                        bool band)
{
    for (int i = 0; i < a->breaks_n; i++) {
        const lev_quote_price *p = &a->breaks[i];
        lev_text_print(t, "%s%d off: ", lead, p->count);
        lev_words_money(t, (double)p->each_minor, a->job->currency);
        lev_text_add(t, p->count > 1 ? " each" : "");
        if (band) {
            lev_text_add(t, p->is_minimum ? ", the least charge; all: " : "; all: ");
            money_band(t, p->cost_minor, a->job->currency);
        }
        lev_text_add(t, "\n");
    }
}

static void past_text(lev_text *t, const lev_quote_answer *a)
{
    const lev_quote_past *p = &a->past;
    if (!p->known || (p->last.count == 0 && p->entries == 0))
        return;
    lev_text_add(t, "in the store\n");
    if (p->last.count > 0) {
        lev_text_print(t, "  quoted %lld off for ", (long long)p->last.count);
        lev_words_money(t, (double)p->last.given_minor, p->currency);
        lev_text_add(t, " in all, ");
        lev_words_time(t, p->last.predicted_s);
        lev_text_add(t, " of work\n");
    }
    if (p->entries > 0) {
        lev_text_print(t, "  really done: %lld entries", (long long)p->entries);
        if (isfinite(p->work_s)) {
            lev_text_add(t, ", ");
            lev_words_time(t, p->work_s);
        }
        if (p->last.count > 0 && p->last.predicted_s > 0.0 && isfinite(p->work_s))
            lev_text_print(t, ", %.2f of the time quoted",
                           p->work_s / p->last.predicted_s);
        lev_text_add(t, "\n");
    }
}

void lev_app_quote_text(lev_text *t, const lev_quote_answer *a, lev_units units)
{
    first_line(t, a);
    lev_text_add(t, "\n");
    second_line(t, a);
    lev_text_add(t, "\n");
    for (int i = 0; i < a->lines; i++) {
        lev_text_print(t, "  %s\n     ", a->line[i].words);
        if (a->line[i].time_s.p50 > 0.0) {
            lev_words_time_spread(t, a->line[i].time_s);
            lev_text_add(t, "; ");
        }
        money_band(t, a->line[i].cost_minor, a->job->currency);
        lev_text_add(t, "\n");
    }
    lev_text_print(t, "all %d: ", a->count);
    money_band(t, a->price.cost_minor, a->job->currency);
    lev_text_add(t, "\n       ");
    lev_words_time_spread(t, a->time_s);
    lev_text_add(t, "\nleast charge: ");
    lev_words_money(t, a->minimum_minor, a->job->currency);
    lev_text_add(t, "\n");
    breaks_text(t, a, "  ", true);
    lev_text_add(t, "not included\n");
    not_included(t, a, units, "  ");
    past_text(t, a);
}

/* ---- for the customer ---- */

static void inspection_text(lev_text *t, const lev_quote_answer *a)
{
    for (ptrdiff_t i = 0; i < a->job->faces_n; i++) {
        const lev_job_face *f = &a->job->faces[i];
        if (f->target.kind != LEV_TARGET_LIMIT)
            continue;
        lev_text_print(t, "- %s: %s at most %g um by the rule \"%s\"", f->name,
                       f->target.symbol, f->target.max_um, f->target.rule);
        lev_text_print(t, ", %d %s across the lay\n",
                       f->target.readings > 0 ? f->target.readings : 1,
                       f->target.readings > 1 ? "readings" : "reading");
    }
}

void lev_quote_customer(lev_text *t, const lev_quote_answer *a, lev_units units)
{
    lev_text_print(t, "Quote: %s, %d off\n\nPrice: ",
                   a->job->name[0] != '\0' ? a->job->name : "as shown to us", a->count);
    lev_words_money(t, (double)a->price.each_minor, a->job->currency);
    lev_text_add(t, a->count > 1 ? " each, " : "");
    if (a->count > 1) {
        lev_words_money(t, (double)(a->price.each_minor * a->count), a->job->currency);
        lev_text_add(t, " in all");
    }
    lev_text_add(t, "\n");
    breaks_text(t, a, "- ", false);
    lev_text_add(t, "\nIncluded:\n");
    for (ptrdiff_t i = 0; i < a->plan.faces; i++)
        if (has_ladder(&a->plan.face[i]))
            lev_text_print(t, "- %s: %s\n", a->plan.face[i].asked->name,
                           a->plan.face[i].face.target.words);
    for (int i = 0; i < a->lines; i++)
        if (!a->line[i].is_face && strncmp(a->line[i].words, "rework", 6) != 0)
            lev_text_print(t, "- %s\n", a->line[i].words);
    lev_text_add(t, "\nNot included:\n");
    not_included(t, a, units, "- ");
    lev_text_add(t,
                 "\nHow it is judged:\n- by a sample that both sides have signed, and "
                 "a drawing of faces and lay\n");
    inspection_text(t, a);
    int days = 0;
    for (int i = 0; i < LEV_TAB_QUOTE_RULE_N; i++)
        if (strcmp(lev_tab_quote_rule[i].id, "valid") == 0)
            days = (int)lev_tab_quote_rule[i].likely;
    lev_text_print(t, "\nThis price stands for %d days.\n", days);
}

/* ---- JSON ---- */

static json_t *price_json(const lev_quote_price *p, int *failed)
{
    json_t *o = json_object();
    int bad = lev_json_put_int(o, "count", p->count);
    bad |= lev_json_put_int(o, "each_minor", p->each_minor);
    bad |= lev_json_put_spread(o, "cost_minor", p->cost_minor);
    bad |= lev_json_put_flag(o, "is_minimum", p->is_minimum);
    *failed |= bad;
    return o;
}

static json_t *lines_json(const lev_quote_answer *a, int *failed)
{
    json_t *list = json_array();
    for (int i = 0; i < a->lines; i++) {
        json_t *o = json_object();
        int bad = lev_json_put_text(o, "words", a->line[i].words);
        bad |= lev_json_put_spread(o, "time_s", a->line[i].time_s);
        bad |= lev_json_put_spread(o, "cost_minor", a->line[i].cost_minor);
        *failed |= bad | lev_json_add(list, o);
    }
    return list;
}

static int put_taken(json_t *o, const char *key, lev_text *t)
{
    int bad = t->st < 0 ? -1 : 0;
    bad |= lev_json_put_text(o, key, lev_text_get(t));
    lev_text_release(t);
    return bad;
}

static json_t *past_json(const lev_quote_past *p, int *failed)
{
    json_t *o = json_object();
    int bad = lev_json_put_int(o, "entries", p->entries);
    bad |= lev_json_put_number(o, "work_s", p->work_s);
    bad |= lev_json_put_number(o, "sheets", p->sheets);
    if (p->last.count > 0) {
        bad |= lev_json_put_int(o, "quoted_count", p->last.count);
        bad |= lev_json_put_int(o, "quoted_minor", p->last.given_minor);
        bad |= lev_json_put_number(o, "quoted_s", p->last.predicted_s);
        bad |= lev_json_put_text(o, "currency", p->currency);
    }
    *failed |= bad;
    return o;
}

json_t *lev_app_quote_json(const lev_quote_answer *a, int *failed)
{
    json_t *o = lev_json_reply(), *breaks = json_array();
    lev_text first = {0}, second = {0}, out = {0}, customer = {0};
    first_line(&first, a);
    second_line(&second, a);
    not_included(&out, a, LEV_UNITS_METRIC, "");
    lev_quote_customer(&customer, a, LEV_UNITS_METRIC);
    int bad = lev_json_put_lines(o, &first, &second);
    bad |= lev_json_put_text(o, "name", a->job->name);
    bad |= lev_json_put_text(o, "currency", a->job->currency);
    bad |= lev_json_put_int(o, "count", a->count);
    bad |= lev_json_put_flag(o, "feasible", a->plan.all_feasible);
    bad |= lev_json_put(o, "price", price_json(&a->price, failed));
    bad |= lev_json_put_spread(o, "time_s", a->time_s);
    bad |= lev_json_put_number(o, "rate_minor_per_h", a->rate_minor_per_h);
    bad |= lev_json_put_number(o, "minimum_minor", a->minimum_minor);
    bad |= lev_json_put(o, "lines", lines_json(a, failed));
    for (int i = 0; i < a->breaks_n; i++)
        bad |= lev_json_add(breaks, price_json(&a->breaks[i], failed));
    bad |= lev_json_put(o, "breaks", breaks);
    bad |= put_taken(o, "not_included", &out);
    bad |= put_taken(o, "customer", &customer);
    if (a->past.known)
        bad |= lev_json_put(o, "past", past_json(&a->past, failed));
    bad |= lev_json_put_text(o, "mark", "practice");
    *failed |= bad;
    return o;
}
