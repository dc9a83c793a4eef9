/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A quote of a job: by POST of the job, with what no ladder counts in the address. */
#include "http_shop.h"

#include <math.h>
#include <string.h>

#include "app_quote.h"
#include "job_io.h"
#include "mem.h"

static const double MOST = 1e5;

typedef struct quote {
    lev_job job;
    lev_shop shop;
    lev_shop_factors *factors;
    lev_quote_ask ask;
} quote;

static void release(quote *q)
{
    lev_shop_factors_free(q->factors);
    lev_job_release(&q->job);
}

static lev_status read_money(const lev_http_ask *ask, const char *name,
                             const char *currency, double *out, lev_error *err)
{
    const char *text = lev_http_param(ask, name);
    char told[4];
    int64_t minor = 0;
    if (text == NULL)
        return LEV_OK;
    const lev_status st = lev_read_price(text, currency, true, &minor, told, err);
    if (st >= 0)
        *out = (double)minor;
    return st;
}

static lev_status read_counts(const lev_http_ask *ask, lev_quote_ask *q, lev_error *err)
{
    const struct {
        const char *name;
        int *out;
        double usual;
    } whole[] = {
        {"count", &q->count, 0},        {"corners", &q->corners, 0},
        {"holes", &q->holes, 0},        {"mask", &q->masked, 0},
        {"readings", &q->readings, -1},
    };
    for (size_t i = 0; i < sizeof whole / sizeof *whole; i++) {
        double x = 0.0;
        const lev_status st =
            lev_http_number(ask, whole[i].name, 0, MOST, whole[i].usual, &x, err);
        if (st < 0)
            return st;
        *whole[i].out = (int)x;
    }
    return LEV_OK;
}

static lev_status read_ask(const lev_http_ask *ask, quote *q, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_bytes body = {.n = ask->body_n};
    lev_quote_ask *a = &q->ask;
    LEV_TRY(lev_mem_text(ask->body, ask->body_n, &body.data, err));
    LEV_TRY(lev_job_read("job", &body, &q->job, err));
    *a = (lev_quote_ask){.job = &q->job,
                         .from = {.step = ask->watch.step,
                                  .unwanted = ask->watch.unwanted,
                                  .to = ask->watch.to,
                                  .goal = lev_http_param(ask, "goal")},
                         .minimum_minor = (double)NAN,
                         .given_minor = (double)NAN,
                         .first_article = lev_http_param(ask, "first_article") != NULL};
    LEV_TRY(read_counts(ask, a, err));
    LEV_TRY(lev_http_number(ask, "edge_m", 0, MOST, 0, &a->edge_m, err));
    LEV_TRY(lev_http_number(ask, "weld_mm", 0, MOST, 0, &a->weld_mm, err));
    LEV_TRY(lev_http_number(ask, "margin_pct", 0, 500, 0, &a->margin_pct, err));
    LEV_TRY(read_money(ask, "minimum", q->job.currency, &a->minimum_minor, err));
    LEV_TRY(read_money(ask, "given", q->job.currency, &a->given_minor, err));
    LEV_TRY(
        read_money(ask, "subcontract", q->job.currency, &a->subcontract_minor, err));
out:
    return st;
}

static lev_status read_factors(const lev_http_ask *ask, quote *q, lev_error *err)
{
    if (lev_http_param(ask, "log") == NULL)
        return LEV_OK;
    lev_status st = lev_http_shop_open(ask, false, &q->shop, err);
    if (st >= 0)
        st = lev_shop_factors_read(&q->shop, &q->factors, err);
    lev_http_shop_close(&q->shop); /* planning is long, and needs it no more */
    q->ask.from.factors = q->factors;
    return st;
}

/* What was quoted and done before, and this quote with it when it is kept. */
static lev_status look_back(const lev_http_ask *ask, quote *q, bool keep,
                            lev_quote_answer *a, lev_error *err)
{
    lev_status st = LEV_OK;
    if (ask->shop == NULL)
        return LEV_OK;
    LEV_TRY(lev_http_shop_open(ask, keep, &q->shop, err));
    LEV_TRY(lev_quote_look_back(&q->shop, a, err));
    if (keep)
        LEV_TRY(lev_quote_keep(&q->shop, a, err));
out:
    lev_http_shop_close(&q->shop);
    return st;
}

lev_status lev_http_quote(const lev_http_ask *ask, lev_http_reply *reply,
                          lev_error *err)
{
    lev_status st = LEV_OK;
    quote q = {0};
    void *p = NULL;
    int failed = 0;
    const bool keep = lev_http_param(ask, "keep") != NULL;
    LEV_TRY(read_ask(ask, &q, err));
    LEV_TRY(read_factors(ask, &q, err));
    LEV_TRY(lev_mem_new(1, sizeof(lev_quote_answer), &p, err));
    lev_quote_answer *a = p;
    LEV_TRY(lev_app_quote(&q.ask, a, err));
    LEV_TRY(look_back(ask, &q, keep, a, err));
    reply->news = keep ? "job" : NULL;
    json_t *json = lev_app_quote_json(a, &failed);
    LEV_TRY(lev_http_json(reply, json, failed, err));
out:
    if (p != NULL)
        lev_quote_answer_release(p);
    lev_mem_free(p);
    release(&q);
    return st;
}
