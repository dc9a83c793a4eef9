/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate quote */
#include <string.h>

#include "app_quote.h"
#include "cli_out.h"
#include "cli_shop.h"
#include "job_io.h"

/* What the quote is made from. */
typedef struct quote_sources {
    lev_job job;
    lev_shop shop;
    lev_shop_factors *factors;
    char path[LEV_CLI_PATH];
} quote_sources;

static lev_status read_money(const lev_args *args, const char *name,
                             const char *currency, double *out, lev_error *err)
{
    const char *text = lev_args_text(args, name);
    char told[4];
    int64_t minor = 0;
    if (text == NULL)
        return LEV_OK;
    const lev_status st = lev_read_price(text, currency, false, &minor, told, err);
    if (st >= 0 && told[0] != '\0' && strcmp(told, currency) != 0)
        return lev_fail(err, LEV_E_USAGE, "--%s is in %s; the job counts in %s", name,
                        told, currency);
    *out = (double)minor;
    return st;
}

/* --db, --log and --keep open the store; nothing else does. */
static lev_status open_store(const lev_args *args, quote_sources *s, lev_error *err)
{
    lev_status st = LEV_OK;
    const bool keep = lev_args_has(args, "keep");
    const bool log = lev_args_has(args, "log");
    if (!keep && !log && !lev_args_has(args, "db"))
        goto out;
    LEV_TRY(lev_cli_shop(args, keep, s->path, &s->shop, err));
    if (log)
        LEV_TRY(lev_shop_factors_read(&s->shop, &s->factors, err));
out:
    return st;
}

static lev_status read_ask(const lev_args *args, quote_sources *s, lev_quote_ask *ask,
                           lev_error *err)
{
    lev_status st = LEV_OK;
    const char *path = lev_args_text(args, "job");
    const double nan = (double)NAN;
    if (path == NULL)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "JOB is missing; quote wants a job file"));
    LEV_TRY(lev_job_load(path, &s->job, err));
    LEV_TRY(open_store(args, s, err));
    *ask = (lev_quote_ask){
        .job = &s->job,
        .from = {.factors = s->factors, .goal = lev_args_text(args, "goal")},
        .count = (int)lev_args_number(args, "count", 0.0),
        .margin_pct = lev_args_number(args, "margin-pct", 0.0),
        .minimum_minor = nan,
        .given_minor = nan,
        .corners = (int)lev_args_number(args, "corners", 0.0),
        .holes = (int)lev_args_number(args, "holes", 0.0),
        .masked = (int)lev_args_number(args, "mask", 0.0),
        .edge_m = lev_args_number(args, "edge-m", 0.0),
        .weld_mm = lev_args_number(args, "weld-mm", 0.0),
        .readings = (int)lev_args_number(args, "readings", -1.0),
        .first_article = lev_args_has(args, "first-article")};
    const char *currency = s->job.currency;
    LEV_TRY(read_money(args, "rate", currency, &ask->rate_minor_per_h, err));
    LEV_TRY(read_money(args, "minimum", currency, &ask->minimum_minor, err));
    LEV_TRY(read_money(args, "subcontract", currency, &ask->subcontract_minor, err));
    LEV_TRY(read_money(args, "given", currency, &ask->given_minor, err));
out:
    return st;
}

static lev_status print_quote(const lev_args *args, const lev_quote_answer *a,
                              lev_error *err)
{
    if (lev_args_has(args, "json")) {
        int failed = 0;
        json_t *reply = lev_app_quote_json(a, &failed);
        return lev_out_json(reply, failed, err);
    }
    lev_text t = {0};
    if (lev_args_has(args, "customer"))
        lev_quote_customer(&t, a, lev_out_units(args));
    else
        lev_app_quote_text(&t, a, lev_out_units(args));
    return lev_out_text(&t, err);
}

static lev_status quote(const lev_args *args, quote_sources *s, lev_quote_answer *a,
                        lev_error *err)
{
    lev_status st = LEV_OK;
    lev_quote_ask ask;
    LEV_TRY(read_ask(args, s, &ask, err));
    LEV_TRY(lev_app_quote(&ask, a, err));
    if (s->shop.store != NULL)
        LEV_TRY(lev_quote_look_back(&s->shop, a, err));
    if (lev_args_has(args, "keep"))
        LEV_TRY(lev_quote_keep(&s->shop, a, err));
    LEV_TRY(print_quote(args, a, err));
out:
    return st;
}

int lev_cmd_quote(const lev_args *args)
{
    static lev_quote_answer a;
    lev_error err = {0};
    quote_sources s = {0};
    const lev_status st = quote(args, &s, &a, &err);
    const bool feasible = a.plan.all_feasible;
    lev_quote_answer_release(&a);
    lev_shop_factors_free(s.factors);
    lev_shop_close(&s.shop);
    lev_job_release(&s.job);
    (void)lev_fail_at(&err, st, "quote");
    return st < 0     ? lev_out_error(st, &err)
           : feasible ? LEV_EXIT_DONE
                      : LEV_EXIT_ANSWER_NO;
}
