/* SPDX-License-Identifier: GPL-3.0-or-later */
/* See http_sources.h. */
#include "http_sources.h"

#include "app_drawer.h"
#include "job_io.h"
#include "mem.h"

lev_status lev_http_read_job(const lev_http_ask *ask, lev_job *job, lev_error *err)
{
    lev_bytes b = {.n = ask->body_n};
    const lev_status st = lev_mem_text(ask->body, ask->body_n, &b.data, err);
    return st < 0 ? st : lev_job_read("job", &b, job, err);
}

void lev_http_sources_release(lev_http_sources *s)
{
    lev_shop_factors_free(s->factors);
    lev_arena_release(&s->arena);
    lev_job_release(&s->job);
}

lev_status lev_http_sources_open(const lev_http_ask *ask, lev_http_sources *s,
                                 lev_error *err)
{
    lev_status st = LEV_OK;
    lev_job_medium *media = NULL;
    const bool log = lev_http_param(ask, "log") != NULL;
    const bool drawer = lev_http_param(ask, "drawer") != NULL;
    LEV_TRY(lev_http_read_job(ask, &s->job, err));
    s->from = (lev_plan_from){.step = ask->watch.step,
                              .unwanted = ask->watch.unwanted,
                              .to = ask->watch.to,
                              .goal = lev_http_param(ask, "goal"),
                              .who = lev_http_param(ask, "who")};
    if (!log && !drawer)
        goto out;
    LEV_TRY(lev_http_shop_open(ask, false, &s->shop, err));
    if (log) {
        LEV_TRY(lev_shop_factors_read(&s->shop, &s->factors, err));
        s->from.factors = s->factors;
    }
    if (drawer && !s->job.has_drawer) {
        LEV_TRY(lev_drawer_for_job(&s->shop, &s->job, &s->arena, &media,
                                   &s->from.drawer_n, err));
        s->from.drawer = media;
        s->from.has_drawer = true;
    }
out:
    lev_http_shop_close(&s->shop); /* planning is long, and needs it no more */
    return st;
}
