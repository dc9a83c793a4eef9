/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The drawer: read by GET, changed by POST; its labels to print. */
#include "http_shop.h"

#include <string.h>

#include "app_drawer.h"
#include "app_labels.h"
#include "http_drawing.h"

static lev_status do_drawer(const lev_http_ask *ask, const lev_drawer_ask *what,
                            lev_http_reply *reply, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_shop shop = {0};
    lev_drawer_answer a = {0};
    int failed = 0;
    const bool writes = lev_drawer_act_writes(what->act);
    LEV_TRY(lev_http_shop_open(ask, writes, &shop, err));
    LEV_TRY(lev_app_drawer(&shop, what, &a, err));
    reply->news = writes ? "drawer" : NULL;
    json_t *json = lev_app_drawer_json(&a, &failed);
    LEV_TRY(lev_http_json(reply, json, failed, err));
out:
    lev_drawer_answer_release(&a);
    lev_http_shop_close(&shop);
    return st;
}

lev_status lev_http_drawer(const lev_http_ask *ask, lev_http_reply *reply,
                           lev_error *err)
{
    lev_drawer_ask what;
    const char *act = lev_http_param(ask, "act");
    lev_drawer_ask_init(&what);
    const lev_status st =
        lev_drawer_act_read(act != NULL ? act : "list", &what.act, err);
    if (st < 0)
        return st;
    if (lev_drawer_act_writes(what.act))
        return lev_fail(err, LEV_E_USAGE, "a change is sent, not asked for");
    what.what = lev_http_param(ask, "what");
    what.system = lev_http_param(ask, "system");
    return do_drawer(ask, &what, reply, err);
}

lev_status lev_http_drawer_change(const lev_http_ask *ask, lev_http_reply *reply,
                                  lev_error *err)
{
    lev_status st = LEV_OK;
    lev_shop_body b = {0};
    lev_drawer_ask w;
    const char *act = NULL;
    lev_drawer_ask_init(&w);
    const lev_shop_key keys[] = {
        {"act", &act, NULL, NULL},
        {"what", &w.what, NULL, NULL},
        {"pieces", NULL, &w.pieces, NULL},
        {"system", &w.system, NULL, NULL},
        {"method", &w.method, NULL, NULL},
        {"mineral", &w.mineral, NULL, NULL},
        {"carrier", &w.carrier, NULL, NULL},
        {"size", &w.size, NULL, NULL},
        {"price", &w.price, NULL, NULL},
        {"state", &w.state, NULL, NULL},
        {"holes", &w.holes, NULL, NULL},
        {"lot", &w.lot, NULL, NULL},
        {"bought", &w.bought, NULL, NULL},
        {"reason", &w.reason, NULL, NULL},
        {"reorder_at", NULL, &w.reorder_at, NULL},
        {"waterproof", NULL, NULL, &w.waterproof},
        {"open_coat", NULL, NULL, &w.open_coat},
        {"anti_clog", NULL, NULL, &w.anti_clog},
    };
    LEV_TRY(lev_shop_body_open(&b, ask,
                               "act;what;pieces;system;method;mineral;carrier;size;"
                               "price;state;holes;lot;bought;reason;reorder_at;"
                               "waterproof;open_coat;anti_clog",
                               err));
    LEV_TRY(lev_shop_body_take(&b, keys, sizeof keys / sizeof *keys));
    LEV_TRY(lev_drawer_act_read(act != NULL ? act : "", &w.act, err));
    LEV_TRY(do_drawer(ask, &w, reply, err));
out:
    lev_shop_body_release(&b);
    return st;
}

typedef struct labels {
    const lev_shop *shop;
    const char *paper;
} labels;

static lev_status draw_labels(const void *what, const char *path, lev_error *err)
{
    const labels *l = what;
    ptrdiff_t n = 0;
    return lev_app_labels(l->shop, 0, path, l->paper, LEV_UNITS_METRIC, &n, err);
}

lev_status lev_http_labels(const lev_http_ask *ask, lev_http_reply *reply,
                           lev_error *err)
{
    lev_status st = LEV_OK;
    lev_shop shop = {0};
    const char *ending = NULL, *paper = lev_http_param(ask, "paper");
    const labels l = {&shop, paper != NULL ? paper : "A4"};
    if (strcmp(l.paper, "A4") != 0 && strcmp(l.paper, "Letter") != 0)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "paper \"%.20s\" should be A4 or Letter",
                         l.paper));
    LEV_TRY(lev_http_ending(ask, "pdf", &ending, err));
    LEV_TRY(lev_http_shop_open(ask, false, &shop, err));
    LEV_TRY(lev_http_draw(reply, NULL, ending, draw_labels, &l, err));
out:
    lev_http_shop_close(&shop);
    return st;
}
