/* SPDX-License-Identifier: GPL-3.0-or-later */
/* See http_shop.h. */
#include "http_shop.h"

#include <pthread.h>
#include <time.h>

#include "mem.h"

enum { TEXT_BYTES = 400 };

static const double number_most = 1e9;

/* The last to close a store folds its log in, and whoever opens it just then is sent
 * away as if it were locked. */
static pthread_mutex_t turn = PTHREAD_MUTEX_INITIALIZER;

lev_status lev_http_shop_open(const lev_http_ask *ask, bool write, lev_shop *out,
                              lev_error *err)
{
    if (ask->shop == NULL)
        return lev_fail(err, LEV_E_SYSTEM,
                        "no shop is kept here; start with --db FILE");
    (void)pthread_mutex_lock(&turn);
    const lev_status st =
        lev_shop_open(ask->shop, write, (int64_t)time(NULL), out, err);
    if (st < 0)
        (void)pthread_mutex_unlock(&turn);
    out->comma_ok = true;
    return st;
}

void lev_http_shop_close(lev_shop *shop)
{
    if (shop->store == NULL)
        return;
    lev_shop_close(shop);
    (void)pthread_mutex_unlock(&turn);
}

lev_status lev_shop_body_open(lev_shop_body *b, const lev_http_ask *ask,
                              const char *keys, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_bytes text = {.n = ask->body_n};
    *b = (lev_shop_body){0};
    LEV_TRY(lev_mem_text(ask->body, ask->body_n, &text.data, err));
    LEV_TRY(lev_json_in_open(&b->in, "request", &text, &b->arena, err));
    LEV_TRY(lev_json_keys(&b->in, b->in.root, "", keys));
out:
    return st;
}

void lev_shop_body_release(lev_shop_body *b)
{
    lev_json_in_release(&b->in);
    lev_arena_release(&b->arena);
}

static lev_status take(const lev_json_in *in, const lev_shop_key *k)
{
    lev_status st = LEV_OK;
    bool flag = false;
    if (k->text != NULL)
        st = lev_json_get_text(in, in->root, "", k->key, false, TEXT_BYTES, k->text);
    else if (k->number != NULL)
        st = lev_json_get_number(in, in->root, "", k->key, false, -number_most,
                                 number_most, k->number);
    else if (json_object_get(in->root, k->key) != NULL)
        st = lev_json_get_flag(in, in->root, "", k->key, &flag);
    if (st >= 0 && k->flag != NULL && json_object_get(in->root, k->key) != NULL)
        *k->flag = flag ? 1 : 0;
    return st;
}

lev_status lev_shop_body_take(const lev_shop_body *b, const lev_shop_key *keys,
                              size_t n)
{
    for (size_t i = 0; i < n; i++) {
        const lev_status st = take(&b->in, &keys[i]);
        if (st < 0)
            return st;
    }
    return LEV_OK;
}
