/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shop's memory as addresses. A change is a JSON object whose "act" says what to
 * do; its other keys are the options of the verb. */
#ifndef HTTP_SHOP_H
#define HTTP_SHOP_H

#include "app_shop.h"
#include "http.h"
#include "json.h"

/** Open the shop for one request, at this instant; the requests of this server take
 * turns, so be short. LEV_E_SYSTEM when none is served. */
lev_status lev_http_shop_open(const lev_http_ask *ask, bool write, lev_shop *out,
                              lev_error *err);
/** Close what was opened; zeroed allowed. */
void lev_http_shop_close(lev_shop *shop);

/* The object of a change while it is read. */
typedef struct lev_shop_body {
    lev_arena arena;
    lev_json_in in;
} lev_shop_body;

/** Read it; keys outside the list (parted by ";") are refused with line:column. */
lev_status lev_shop_body_open(lev_shop_body *b, const lev_http_ask *ask,
                              const char *keys, lev_error *err);
void lev_shop_body_release(lev_shop_body *b);

/* One key a row: a text, a number or a flag; absent ones are left alone. */
typedef struct lev_shop_key {
    const char *key;
    const char **text; /* at most 400 bytes */
    double *number;    /* any finite one */
    int *flag;         /* 0 or 1 */
} lev_shop_key;
lev_status lev_shop_body_take(const lev_shop_body *b, const lev_shop_key *keys,
                              size_t n);

#endif
