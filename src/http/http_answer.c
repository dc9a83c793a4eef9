/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From an address to the function that answers it; mistakes as JSON or as a page. */
#include "http.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "http_kept.h"
#include "json.h"
#include "mem.h"
#include "num.h"

static const struct {
    const char *method, *path;
    lev_http_handler *answer;
} ROUTES[] = {
    {"GET", "/", lev_http_home},
    {"GET", "/manifest.webmanifest", lev_http_manifest},
    {"GET", "/plain/grit", lev_http_plain_grit},
    {"GET", "/plain/drawer", lev_http_plain_drawer},
    {"GET", "/plain/log", lev_http_plain_log},
    {"GET", "/plain/safety", lev_http_plain_safety},
    {"GET", "/api/about", lev_http_about},
    {"GET", "/api/words", lev_http_words},
    {"GET", "/api/grit", lev_http_grit},
    {"GET", "/api/grit/list", lev_http_grit_list},
    {"GET", "/api/grit/identify", lev_http_identify},
    {"GET", "/api/material", lev_http_material},
    {"GET", "/api/chart", lev_http_chart},
    {"GET", "/api/safety", lev_http_safety},
    {"GET", "/api/step", lev_http_step},
    {"GET", "/api/look", lev_http_looks},
    {"GET", "/plain/plan", lev_http_plain_plan},
    {"GET", "/plain/card", lev_http_plain_card},
    {"GET", "/api/drawer", lev_http_drawer},
    {"POST", "/api/drawer", lev_http_drawer_change},
    {"GET", "/api/labels", lev_http_labels},
    {"GET", "/api/log", lev_http_log},
    {"POST", "/api/log", lev_http_log_change},
    {"GET", "/api/factor", lev_http_factor},
    {"GET", "/api/exercise", lev_http_exercise},
    {"POST", "/api/exercise", lev_http_exercise_change},
    {"GET", "/api/worksheet", lev_http_worksheet},
    {"GET", "/api/job", lev_http_jobs},
    {"POST", "/api/job", lev_http_job_change},
    {"POST", "/api/quote", lev_http_quote},
    {"POST", "/api/plan", lev_http_plan},
    {"POST", "/api/card", lev_http_card},
    {"POST", "/api/recover", lev_http_recover},
    {"POST", "/api/relief", lev_http_relief},
    {"POST", "/api/trace", lev_http_trace},
    {"GET", "/api/photo", lev_http_photo},
    {"POST", "/api/photo", lev_http_photo_keep},
};

lev_status lev_http_number(const lev_http_ask *ask, const char *name, double low,
                           double high, double otherwise, double *out, lev_error *err)
{
    const char *s = lev_http_param(ask, name);
    *out = otherwise;
    if (s == NULL)
        return LEV_OK;
    if (!lev_num_parse(s, true, out) || !(*out >= low && *out <= high))
        return lev_fail(err, LEV_E_RANGE,
                        "%s \"%.40s\" should be a number from %g to %g", name, s, low,
                        high);
    return LEV_OK;
}

lev_status lev_http_json(lev_http_reply *reply, json_t *json, int failed,
                         lev_error *err)
{
    char *body = NULL;
    const lev_status st = lev_json_write(json, failed, &body, err);
    json_decref(json);
    if (st < 0)
        return st;
    *reply = (lev_http_reply){.status = reply->status != 0 ? reply->status : 200,
                              .type = "application/json",
                              .news = reply->news,
                              .body = body,
                              .n = strlen(body)};
    return LEV_OK;
}

lev_status lev_http_text(lev_http_reply *reply, lev_text *t, const char *type,
                         lev_error *err)
{
    if (t->st < 0) {
        lev_text_release(t);
        return lev_fail(err, LEV_E_MEMORY, "out of memory");
    }
    *reply = (lev_http_reply){.status = reply->status != 0 ? reply->status : 200,
                              .type = type,
                              .body = t->s,
                              .n = t->n};
    *t = (lev_text){0};
    return LEV_OK;
}

static int status_of(lev_status st)
{
    switch (st) {
    case LEV_E_MEMORY:
    case LEV_E_IO:
    case LEV_E_SYSTEM:
        return 500;
    case LEV_E_LIMIT:
        return 413;
    case LEV_E_CANCEL:
        return 409;
    default:
        return 400;
    }
}

static bool wants_page(const lev_http_ask *ask)
{
    return strncmp(ask->path, "/api/", 5) != 0;
}

static lev_status say_page(lev_http_reply *reply, const lev_error *e)
{
    lev_text t = {0};
    lev_html_open(&t, "That did not work");
    lev_text_add(&t, "<h1>That did not work</h1><p class=warn>");
    lev_html_add(&t, e->text);
    lev_text_add(&t, "</p><p><a href=\"/\">Back to the questions</a></p>");
    lev_html_close(&t);
    return lev_http_text(reply, &t, "text/html; charset=utf-8", NULL);
}

static lev_status say_json(lev_http_reply *reply, const char *code, const lev_error *e)
{
    json_t *o = lev_json_reply(), *what = json_object();
    int bad = lev_json_put_text(what, "where", e->where);
    bad |= lev_json_put_text(what, "text", e->text);
    bad |= lev_json_put_text(o, "code", code);
    bad |= lev_json_put(o, "error", what);
    return lev_http_json(reply, o, bad, NULL);
}

/* Finer than the status where that stands for several kinds of mistake. */
static const char *code_of(int status, lev_status st)
{
    if (status == 409 && st == LEV_E_CANCEL)
        return "cancelled";
    if (status != 400)
        return lev_http_code(status);
    return st == LEV_E_UNKNOWN  ? "unknown"
           : st == LEV_E_FORMAT ? "not-readable"
           : st == LEV_E_RANGE  ? "out-of-range"
                                : lev_http_code(status);
}

static void say_mistake(const lev_http_ask *ask, lev_http_reply *reply, int status,
                        lev_status code, const lev_error *e)
{
    lev_http_reply_release(reply);
    reply->status = status;
    const lev_status st = wants_page(ask) ? say_page(reply, e)
                                          : say_json(reply, code_of(status, code), e);
    if (st < 0)
        *reply = (lev_http_reply){.status = 500, .type = "text/plain"};
}

static void find_kept(const lev_http_ask *ask, lev_http_reply *reply)
{
    char key[LEV_KEPT_KEY];
    if (strcmp(ask->path, "/api/plan") == 0 && lev_http_kept_key(ask, key))
        (void)lev_http_kept_find(key, reply);
}

void lev_http_answer(const lev_http_ask *ask, lev_http_reply *reply)
{
    lev_error err = {0};
    bool path_known = false;
    *reply = (lev_http_reply){0};
    if (ask->kept_only) {
        find_kept(ask, reply);
        return;
    }
    for (size_t i = 0; i < sizeof ROUTES / sizeof *ROUTES; i++) {
        if (strcmp(ROUTES[i].path, ask->path) != 0)
            continue;
        path_known = true;
        if (strcmp(ROUTES[i].method, ask->method) != 0)
            continue;
        const lev_status st = ROUTES[i].answer(ask, reply, &err);
        if (st < 0)
            say_mistake(ask, reply, reply->status > 200 ? reply->status : status_of(st),
                        st, &err);
        return;
    }
    (void)lev_fail(&err, LEV_E_UNKNOWN, "%s",
                   path_known ? "not done this way here" : "no such page");
    say_mistake(ask, reply, path_known ? 405 : 404, LEV_E_UNKNOWN, &err);
}
