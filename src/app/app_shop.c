/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the verbs of the shop's memory share. See app_shop.h. */
#include "app_shop.h"

#include <math.h>
#include <string.h>
#include <time.h>

#include "json.h"
#include "lev_tables.h"
#include "num.h"

enum { DAY_S = 86400 };

lev_status lev_shop_open(const char *path, bool write, int64_t now_s, lev_shop *out,
                         lev_error *err)
{
    *out = (lev_shop){.path = path, .now_s = now_s};
    return lev_store_open(path, &(lev_store_options){.write = write}, &out->store, err);
}

void lev_shop_close(lev_shop *shop)
{
    lev_store_close(shop->store);
    shop->store = NULL;
}

double lev_entry_figure(const char *id)
{
    for (int i = 0; i < LEV_TAB_ENTRY_FIGURE_N; i++)
        if (strcmp(lev_tab_entry_figure[i].id, id) == 0)
            return lev_tab_entry_figure[i].value;
    return (double)NAN;
}

const char *lev_shop_copy(lev_arena *arena, const char *s, lev_status *st,
                          lev_error *err)
{
    const char *copy = "";
    if (*st >= 0 && s != NULL && s[0] != '\0')
        *st = lev_arena_text(arena, s, strlen(s), &copy, err);
    return *st >= 0 ? copy : "";
}

void lev_words_day(lev_text *t, int64_t at_s, bool hour)
{
    const time_t at = (time_t)at_s;
    struct tm day;
    char words[32] = "";
    if (localtime_r(&at, &day) != NULL)
        (void)strftime(words, sizeof words, hour ? "%Y-%m-%d %H:%M" : "%Y-%m-%d", &day);
    lev_text_add(t, words);
}

double lev_days_since(const char *day, int64_t now_s)
{
    struct tm t = {0};
    const char *end = day != NULL ? strptime(day, "%Y-%m-%d", &t) : NULL;
    if (end == NULL || *end != '\0')
        return (double)NAN;
    return (double)(now_s - (int64_t)timegm(&t)) / DAY_S;
}

/* ---- sizes and prices ---- */

static const char *skip(const char *s, const char *what)
{
    return s + strspn(s, what);
}

lev_status lev_read_size(const char *text, bool comma_ok, double *width_mm,
                         double *height_mm, lev_error *err)
{
    const char *p = skip(text, " "), *end = p;
    const double w = lev_num_read(p, comma_ok, &end);
    bool good = end != p;
    double h = w;
    p = skip(end, " ");
    if (*p == 'x' || *p == 'X') {
        p = skip(p + 1, " ");
        h = lev_num_read(p, comma_ok, &end);
        good = good && end != p;
        p = skip(end, " ");
    }
    if (strncmp(p, "mm", 2) == 0)
        p += 2;
    if (!good || *p != '\0' || !(w > 0.0 && h > 0.0 && w <= 1e5 && h <= 1e5))
        return lev_fail(err, LEV_E_USAGE,
                        "size \"%.40s\" should be WIDTHxHEIGHT in mm, such as 230x280, "
                        "or one number for a round piece",
                        text);
    *width_mm = w;
    *height_mm = h;
    return LEV_OK;
}

static int places_of(const char *currency)
{
    for (int i = 0; i < LEV_TAB_CURRENCY_N; i++)
        if (strcmp(lev_tab_currency[i].id, currency) == 0)
            return lev_tab_currency[i].exponent;
    return 2;
}

lev_status lev_read_price(const char *text, const char *usual, bool comma_ok,
                          int64_t *minor, char currency[4], lev_error *err)
{
    const char *p = skip(text, " "), *end = p;
    const double major = lev_num_read(p, comma_ok, &end);
    const bool number = end != p;
    p = skip(end, " ");
    const size_t letters = strspn(p, "ABCDEFGHIJKLMNOPQRSTUVWXYZ");
    if (!number || !(major >= 0.0 && major <= 1e6) || (letters != 0 && letters != 3) ||
        p[letters] != '\0')
        return lev_fail(err, LEV_E_USAGE,
                        "price \"%.40s\" should be a number from 0, with its currency "
                        "where that is not settled, such as 1.10 EUR",
                        text);
    memcpy(currency, p, letters);
    currency[letters] = '\0';
    const char *unit = letters > 0 ? currency : usual;
    *minor = (int64_t)llround(major * pow(10.0, places_of(unit)));
    return LEV_OK;
}

lev_status lev_shop_currency(const lev_shop *shop, char out[4], lev_error *err)
{
    char *value = NULL;
    const lev_status st = lev_store_get(shop->store, "currency", &value, err);
    out[0] = '\0';
    if (st >= 0 && strlen(value) == 3)
        memcpy(out, value, 4);
    lev_store_text_free(value);
    return st;
}

lev_status lev_shop_settle_currency(const lev_shop *shop, const char *currency,
                                    lev_error *err)
{
    char has[4];
    const lev_status st = lev_shop_currency(shop, has, err);
    if (st < 0 || currency == NULL || currency[0] == '\0' || strcmp(has, currency) == 0)
        return st;
    if (has[0] != '\0')
        return lev_fail(err, LEV_E_USAGE,
                        "currency %.8s: the store counts in %s, and one store has one "
                        "currency",
                        currency, has);
    return lev_store_set(shop->store, "currency", currency, err);
}

int lev_json_put_lines(json_t *o, lev_text *first, lev_text *second)
{
    int bad = first->st < 0 || second->st < 0 ? -1 : 0;
    bad |= lev_json_put_text(o, "answer", lev_text_get(first));
    bad |= lev_json_put_text(o, "proof", lev_text_get(second));
    lev_text_release(first);
    lev_text_release(second);
    return bad;
}
