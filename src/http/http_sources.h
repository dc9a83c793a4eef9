/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a ladder is planned from: the job of the body, and the shop's drawer and log
 * when they are asked for. */
#ifndef HTTP_SOURCES_H
#define HTTP_SOURCES_H

#include "app_plan.h"
#include "http.h"
#include "http_shop.h"

typedef struct lev_http_sources {
    lev_job job;
    lev_shop shop;
    lev_shop_factors *factors;
    lev_arena arena;
    lev_plan_from from;
} lev_http_sources;

/** The job in the body. LEV_E_FORMAT and others with line:column. */
lev_status lev_http_read_job(const lev_http_ask *ask, lev_job *job, lev_error *err);
/** Read the job, and of the shop what `drawer` and `log` ask for; zeroed before. */
lev_status lev_http_sources_open(const lev_http_ask *ask, lev_http_sources *s,
                                 lev_error *err);
void lev_http_sources_release(lev_http_sources *s);

#endif
