/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the page asks and what it gets, free of any server: the answers are made here,
 * in the program; the network is the business of a module loaded on first use
 * (http_module.h). So every answer can be tested and fuzzed without a socket. */
#ifndef HTTP_HTTP_H
#define HTTP_HTTP_H

#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>

#include "levigate/status.h"
#include "text.h"

enum {
    LEV_HTTP_PARAMS = 64,             /* most parameters of one address */
    LEV_HTTP_BODY_BYTES = 1 << 20,    /* a job, as LEV_LIMIT_JOB_BYTES */
    LEV_HTTP_UPLOAD_BYTES = 64 << 20, /* a measured surface */
    LEV_HTTP_PHOTO_BYTES = 40 << 20,  /* as LEV_LIMIT_PHOTO_BYTES */
    LEV_HTTP_ASKS_BACK = 422,         /* it can be, but is odd: the page asks again */
};

/* Long work tells how far it is and asks whether it is still wanted. */
typedef struct lev_http_watch {
    /* done of all; a non-zero return cancels. NULL: nobody watches. */
    int (*step)(void *to, int done, int all, const char *what);
    /* asked often in between, with how many ladders a search has begun, 0 where none
     * searches; a non-zero return cancels. NULL: always wanted */
    int (*unwanted)(void *to, ptrdiff_t begun);
    void *to;
} lev_http_watch;

/* One request. Texts are UTF-8 without control characters, already unescaped. */
typedef struct lev_http_ask {
    const char *method, *path;
    const char *name[LEV_HTTP_PARAMS], *value[LEV_HTTP_PARAMS];
    int params;
    const char *body; /* of a POST, zero-terminated behind body_n; else NULL */
    size_t body_n;
    int file; /* of an upload: a file nobody else sees, open for reading; else -1 */
    const char *shop; /* path of the shop's store; NULL: none is served */
    bool kept_only;   /* answer at once from what is kept; a status of 0: it is not */
    lev_http_watch watch;
} lev_http_ask;

/* One reply; the body is freed with lev_http_reply_release. */
typedef struct lev_http_reply {
    int status;
    const char *type; /* media type */
    const char *file; /* name under which to save it, NULL: to be shown */
    bool keep;        /* the same question has the same answer for an hour */
    const char *news; /* what of the shop it changed, for the other pages; NULL */
    char *body;
    size_t n;
} lev_http_reply;

/** Answer one request; never fails: a mistake is a reply too. */
void lev_http_answer(const lev_http_ask *ask, lev_http_reply *reply);
void lev_http_reply_release(lev_http_reply *reply);

/** The word that a mistake carries beside its sentence, for pages in another language:
 * one for every status that is a mistake. They stand in doc/http.md and stay. */
const char *lev_http_code(int status);

/* ---- for the files that make answers ---- */

typedef lev_status lev_http_handler(const lev_http_ask *ask, lev_http_reply *reply,
                                    lev_error *err);

/** The last value of a parameter, NULL when absent or empty. */
const char *lev_http_param(const lev_http_ask *ask, const char *name);
/** The n-th value, from 0. */
const char *lev_http_param_nth(const lev_http_ask *ask, const char *name, int n);
/** A number; `otherwise` when absent. LEV_E_RANGE outside low to high. */
lev_status lev_http_number(const lev_http_ask *ask, const char *name, double low,
                           double high, double otherwise, double *out, lev_error *err);

/** Take a JSON reply over. */
lev_status lev_http_json(lev_http_reply *reply, json_t *json, int failed,
                         lev_error *err);
/** Take a text over as the body. */
lev_status lev_http_text(lev_http_reply *reply, lev_text *t, const char *type,
                         lev_error *err);
/** Add s with the five characters of HTML escaped. */
void lev_html_add(lev_text *t, const char *s);
/** Head and top of a page that needs no scripting, and its end. */
void lev_html_open(lev_text *t, const char *title);
void lev_html_close(lev_text *t);

extern lev_http_handler lev_http_home, lev_http_manifest, lev_http_plain_grit,
    lev_http_plain_plan, lev_http_plain_card, lev_http_plain_drawer, lev_http_plain_log,
    lev_http_plain_safety;
extern lev_http_handler lev_http_plan, lev_http_card, lev_http_recover, lev_http_step,
    lev_http_looks, lev_http_trace, lev_http_relief;
extern lev_http_handler lev_http_drawer, lev_http_drawer_change, lev_http_labels,
    lev_http_log, lev_http_log_change, lev_http_exercise, lev_http_exercise_change,
    lev_http_worksheet, lev_http_photo, lev_http_photo_keep, lev_http_quote,
    lev_http_factor, lev_http_jobs, lev_http_job_change;
extern lev_http_handler lev_http_about, lev_http_words, lev_http_grit,
    lev_http_grit_list, lev_http_identify, lev_http_material, lev_http_chart,
    lev_http_safety;

#endif
