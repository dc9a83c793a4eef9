/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drawer, log and cautions without scripting: what the command line says, as pages. */
#include "http_shop.h"

#include "app_caution.h"
#include "app_drawer.h"
#include "app_log.h"

static lev_status say(lev_http_reply *reply, const char *title, const lev_text *words,
                      lev_error *err)
{
    lev_text t = {0};
    if (words->st < 0)
        return lev_fail(err, LEV_E_MEMORY, "out of memory");
    lev_html_open(&t, title);
    lev_text_print(&t, "<h1>%s</h1><pre tabindex=0>", title);
    lev_html_add(&t, lev_text_get(words));
    lev_text_add(&t, "</pre>");
    lev_html_close(&t);
    return lev_http_text(reply, &t, "text/html; charset=utf-8", err);
}

lev_status lev_http_plain_drawer(const lev_http_ask *ask, lev_http_reply *reply,
                                 lev_error *err)
{
    lev_status st = LEV_OK;
    lev_shop shop = {0};
    lev_drawer_answer a = {0};
    lev_drawer_ask what;
    lev_text words = {0};
    lev_drawer_ask_init(&what);
    LEV_TRY(lev_http_shop_open(ask, false, &shop, err));
    LEV_TRY(lev_app_drawer(&shop, &what, &a, err));
    lev_app_drawer_text(&words, &a, LEV_UNITS_METRIC);
    LEV_TRY(say(reply, "The drawer", &words, err));
out:
    lev_text_release(&words);
    lev_drawer_answer_release(&a);
    lev_http_shop_close(&shop);
    return st;
}

lev_status lev_http_plain_log(const lev_http_ask *ask, lev_http_reply *reply,
                              lev_error *err)
{
    lev_status st = LEV_OK;
    lev_shop shop = {0};
    lev_log_answer a = {0};
    const lev_log_ask what = {.act = LEV_LOG_SHOW};
    lev_text words = {0};
    LEV_TRY(lev_http_shop_open(ask, false, &shop, err));
    LEV_TRY(lev_app_log(&shop, &what, NULL, &a, err));
    lev_app_log_text(&words, &a, LEV_UNITS_METRIC);
    LEV_TRY(say(reply, "The log", &words, err));
out:
    lev_text_release(&words);
    lev_log_answer_release(&a);
    lev_http_shop_close(&shop);
    return st;
}

lev_status lev_http_plain_safety(const lev_http_ask *ask, lev_http_reply *reply,
                                 lev_error *err)
{
    const lev_row_safety *rows[LEV_CAUTIONS_MAX];
    const lev_work_words all = {0};
    lev_text t = {0};
    (void)ask;
    const int n = lev_cautions(&all, rows);
    lev_html_open(&t, "Safety");
    lev_text_add(&t, "<h1>Safety: danger first</h1><ul>");
    for (int i = 0; i < n; i++) {
        lev_text_print(&t, "<li><strong>%s</strong>, ", rows[i]->severity);
        lev_html_add(&t, rows[i]->condition);
        lev_text_add(&t, ": ");
        lev_html_add(&t, rows[i]->caution);
        lev_text_add(&t, "</li>");
    }
    lev_text_add(&t, "</ul><p>");
    lev_html_add(&t, lev_deference());
    lev_text_add(&t, "</p>");
    lev_html_close(&t);
    return lev_http_text(reply, &t, "text/html; charset=utf-8", err);
}
