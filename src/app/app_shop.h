/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shop's store as the verbs use it: which file, at what instant, and the small
 * things that drawer, job, log and factor share. Path and instant come from the caller:
 * nothing here reads the environment or the clock. */
#ifndef APP_SHOP_H
#define APP_SHOP_H

#include <jansson.h>

#include "app_words.h"
#include "arena.h"
#include "levigate/store.h"

typedef struct lev_shop {
    lev_store *store;
    const char *path; /* borrowed */
    int64_t now_s;    /* when what is told happened: seconds UTC */
    bool comma_ok;    /* a comma may stand for the decimal point (the page) */
} lev_shop;

/** Open; write = false makes nothing and reads an absent file as empty. Errors of
 * lev_store_open. */
lev_status lev_shop_open(const char *path, bool write, int64_t now_s, lev_shop *out,
                         lev_error *err);
void lev_shop_close(lev_shop *shop);

/** A figure of data/learn/entry.csv. */
double lev_entry_figure(const char *id);

/** A copy of s (NULL counts as "") that lives in the arena; the status is kept in *st,
 * and once that is negative nothing more is done. */
const char *lev_shop_copy(lev_arena *arena, const char *s, lev_status *st,
                          lev_error *err);

/** "2026-01-31" or, with the hour, "2026-01-31 14:05"; local time. */
void lev_words_day(lev_text *t, int64_t at_s, bool hour);

/** Days between a day YYYY-MM-DD and an instant; NaN when it is none. */
double lev_days_since(const char *day, int64_t now_s);

/** "230x280", "230 x 280" or "125" (round) to millimetres. LEV_E_USAGE. */
lev_status lev_read_size(const char *text, bool comma_ok, double *width_mm,
                         double *height_mm, lev_error *err);

/** "1.10" or "1.10 EUR" to minor units; *currency ("" when none was told) has room for
 * four bytes. LEV_E_USAGE. */
lev_status lev_read_price(const char *text, const char *usual, bool comma_ok,
                          int64_t *minor, char currency[4], lev_error *err);

/** The store's currency; "" when nothing was priced yet. */
lev_status lev_shop_currency(const lev_shop *shop, char out[4], lev_error *err);

/** Keep the currency as the store's when it has none; LEV_E_USAGE when it has another.
 */
lev_status lev_shop_settle_currency(const lev_shop *shop, const char *currency,
                                    lev_error *err);

/** "answer" and "proof": the first and the second line, taken over and released. */
int lev_json_put_lines(json_t *o, lev_text *first, lev_text *second);

#endif
