/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The log, and what it has taught. */
#include "http_shop.h"

#include "app_factor.h"
#include "app_log.h"

enum { ENTRIES = 100000, NUMBER = 64 };

static lev_status do_log(const lev_http_ask *ask, const lev_log_ask *what,
                         lev_http_reply *reply, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_shop shop = {0};
    lev_log_answer a = {0};
    bool question = false;
    int failed = 0;
    const bool writes = what->act != LEV_LOG_SHOW;
    LEV_TRY(lev_http_shop_open(ask, writes, &shop, err));
    st = lev_app_log(&shop, what, &question, &a, err);
    if (st < 0 && question)
        reply->status = LEV_HTTP_ASKS_BACK;
    LEV_TRY(st);
    reply->news = writes ? "log" : NULL;
    json_t *json = lev_app_log_json(&a, &failed);
    LEV_TRY(lev_http_json(reply, json, failed, err));
out:
    lev_log_answer_release(&a);
    lev_http_shop_close(&shop);
    return st;
}

lev_status lev_http_log(const lev_http_ask *ask, lev_http_reply *reply, lev_error *err)
{
    double most = 0.0;
    const lev_status st = lev_http_number(ask, "last", 1, ENTRIES, 20, &most, err);
    if (st < 0)
        return st;
    const lev_log_ask what = {
        .act = LEV_LOG_SHOW, .face = lev_http_param(ask, "face"), .most = (int)most};
    return do_log(ask, &what, reply, err);
}

lev_status lev_http_log_change(const lev_http_ask *ask, lev_http_reply *reply,
                               lev_error *err)
{
    lev_status st = LEV_OK;
    lev_shop_body b = {0};
    lev_log_ask w = {.act = LEV_LOG_ADD};
    int undo = 0, sure = 0;
    double number = 0.0;
    const lev_shop_key keys[] = {
        {"line", &w.line, NULL, NULL},   {"job", &w.job, NULL, NULL},
        {"who", &w.who, NULL, NULL},     {"face", &w.face, NULL, NULL},
        {"number", NULL, &number, NULL}, {"sure", NULL, NULL, &sure},
        {"undo", NULL, NULL, &undo},
    };
    LEV_TRY(lev_shop_body_open(&b, ask, "line;job;who;face;number;sure;undo", err));
    LEV_TRY(lev_shop_body_take(&b, keys, sizeof keys / sizeof *keys));
    if (!(number >= 0.0 && number <= NUMBER))
        LEV_TRY(
            lev_fail(err, LEV_E_RANGE, "number should be a step from 1 to %d", NUMBER));
    w.number = (int)number;
    w.sure = sure == 1;
    if (undo == 1)
        w.act = LEV_LOG_UNDO;
    LEV_TRY(do_log(ask, &w, reply, err));
out:
    lev_shop_body_release(&b);
    return st;
}

lev_status lev_http_factor(const lev_http_ask *ask, lev_http_reply *reply,
                           lev_error *err)
{
    lev_status st = LEV_OK;
    lev_shop shop = {0};
    lev_factor_answer a = {0};
    int failed = 0;
    const lev_factor_ask what = {.quantity = lev_http_param(ask, "quantity"),
                                 .material = lev_http_param(ask, "material"),
                                 .drive = lev_http_param(ask, "drive"),
                                 .mineral = lev_http_param(ask, "mineral"),
                                 .who = lev_http_param(ask, "who")};
    LEV_TRY(lev_http_shop_open(ask, false, &shop, err));
    LEV_TRY(lev_app_factor(&shop, &what, &a, err));
    json_t *json = lev_app_factor_json(&a, &failed);
    LEV_TRY(lev_http_json(reply, json, failed, err));
out:
    lev_factor_answer_release(&a);
    lev_http_shop_close(&shop);
    return st;
}
