/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Ladders that were worked out are kept for who asks the same again: a page that is
 * opened anew, a second device. What is asked is the whole request and, where the
 * shop's drawer or log go into it, the state of the store's files. */
#ifndef HTTP_KEPT_H
#define HTTP_KEPT_H

#include "http.h"

enum {
    LEV_KEPT_MAX = 64,            /* answers */
    LEV_KEPT_BYTES = 16 << 20,    /* of all of them */
    LEV_KEPT_ONE_BYTES = 4 << 20, /* of the largest that is kept */
    LEV_KEPT_KEY = 65,            /* SHA-256 in hexadecimal */
    LEV_KEPT_SETTLED_S = 2        /* a store changed since may change unseen */
};

/** The key of a request; false when its answer is not to be kept just now. Make it
 * before the answer is worked out. */
bool lev_http_kept_key(const lev_http_ask *ask, char key[LEV_KEPT_KEY]);
/** Copy the answer that is kept; false when there is none. */
bool lev_http_kept_find(const char *key, lev_http_reply *reply);
/** Keep a copy; what was not asked for longest makes room. */
void lev_http_kept_add(const char *key, const lev_http_reply *reply);
/** Forget all. */
void lev_http_kept_clear(void);

#endif
