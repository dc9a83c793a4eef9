/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Jobs of the shop. The address says what to do with which job, the body is a job where
 * one is wanted. A change names the version it was made from: when another device was
 * quicker nothing is kept, and the page is told. */
#include "http_shop.h"

#include <pthread.h>
#include <string.h>

#include "app_shop_job.h"

enum { VERSIONS = 1000000, CONFLICT = 409 };

/* Looking at the newest version and adding one must not be parted by another's. */
static pthread_mutex_t one_change = PTHREAD_MUTEX_INITIALIZER;

static lev_status do_job(const lev_http_ask *ask, const lev_shop_job_ask *what,
                         lev_http_reply *reply, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_shop shop = {0};
    lev_shop_job_answer a = {0};
    int failed = 0;
    const bool writes = lev_shop_job_act_writes(what->act);
    LEV_TRY(lev_http_shop_open(ask, writes, &shop, err));
    LEV_TRY(lev_app_shop_job(&shop, what, &a, err));
    reply->news = writes ? "job" : NULL;
    json_t *json = lev_app_shop_job_json(&a, &failed);
    LEV_TRY(lev_http_json(reply, json, failed, err));
out:
    lev_shop_job_answer_release(&a);
    lev_http_shop_close(&shop);
    return st;
}

static lev_status read_ask(const lev_http_ask *ask, const char *usual,
                           lev_shop_job_ask *w, lev_error *err)
{
    double version = 0.0;
    const char *act = lev_http_param(ask, "act");
    *w = (lev_shop_job_ask){.name = lev_http_param(ask, "name"),
                            .as = lev_http_param(ask, "as"),
                            .why = lev_http_param(ask, "why"),
                            .goal = lev_http_param(ask, "goal"),
                            .who = lev_http_param(ask, "who"),
                            .from_drawer = lev_http_param(ask, "drawer") != NULL,
                            .no_log = lev_http_param(ask, "no_log") != NULL,
                            .unwanted = ask->watch.unwanted,
                            .to = ask->watch.to};
    lev_status st = lev_shop_job_act_read(act != NULL ? act : usual, &w->act, err);
    if (st >= 0 && w->act == LEV_SHOP_JOB_ATTACH)
        st = lev_fail(err, LEV_E_USAGE, "files are attached by levigate job attach");
    if (st >= 0)
        st = lev_http_number(ask, "version", 1, VERSIONS, 0, &version, err);
    w->version = (int)version;
    return st;
}

lev_status lev_http_jobs(const lev_http_ask *ask, lev_http_reply *reply, lev_error *err)
{
    lev_shop_job_ask w;
    const lev_status st = read_ask(ask, "list", &w, err);
    if (st < 0)
        return st;
    if (lev_shop_job_act_writes(w.act))
        return lev_fail(err, LEV_E_USAGE, "a change is sent, not asked for");
    return do_job(ask, &w, reply, err);
}

/* Is `base` still the newest version? */
static lev_status is_newest(const lev_http_ask *ask, const char *name, int base,
                            lev_http_reply *reply, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_shop shop = {0};
    lev_shop_job_answer a = {0};
    const lev_shop_job_ask w = {.act = LEV_SHOP_JOB_SHOW, .name = name};
    LEV_TRY(lev_http_shop_open(ask, false, &shop, err));
    LEV_TRY(lev_app_shop_job(&shop, &w, &a, err));
    if (a.job[0].versions != base) {
        reply->status = CONFLICT;
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "version %d was changed on another device; %d is the newest",
                         base, (int)a.job[0].versions));
    }
out:
    lev_shop_job_answer_release(&a);
    lev_http_shop_close(&shop);
    return st;
}

static lev_status change(const lev_http_ask *ask, const lev_shop_job_ask *w,
                         lev_http_reply *reply, lev_error *err)
{
    double base = 0.0;
    lev_status st = lev_http_number(ask, "base", 1, VERSIONS, 0, &base, err);
    if (st < 0)
        return st;
    if (!(base > 0.0))
        return lev_fail(err, LEV_E_USAGE, "say from which version: base");
    (void)pthread_mutex_lock(&one_change);
    st = is_newest(ask, w->name, (int)base, reply, err);
    if (st >= 0)
        st = do_job(ask, w, reply, err);
    (void)pthread_mutex_unlock(&one_change);
    return st;
}

lev_status lev_http_job_change(const lev_http_ask *ask, lev_http_reply *reply,
                               lev_error *err)
{
    lev_shop_job_ask w;
    const lev_status st = read_ask(ask, "", &w, err);
    if (st < 0)
        return st;
    if (lev_shop_job_act_body(w.act) && strcmp(ask->body, "{}") != 0) {
        w.body = ask->body;
        w.body_n = ask->body_n;
        w.body_name = "job";
    }
    return w.act == LEV_SHOP_JOB_CHANGE ? change(ask, &w, reply, err)
                                        : do_job(ask, &w, reply, err);
}
