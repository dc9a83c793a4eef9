/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Making exercises, taking in guesses, scoring. See app_exercise.h. */
#include "app_exercise.h"
#include "app_exercise_truth.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "mem.h"
#include "num.h"
#include "rng.h"

static const lev_row_exercise *find_kind(const char *kind, lev_error *err)
{
    int best = 0;
    for (int i = 0; i < LEV_TAB_EXERCISE_N; i++) {
        if (lev_text_same(lev_tab_exercise[i].id, kind))
            return &lev_tab_exercise[i];
        if (lev_text_distance(kind, lev_tab_exercise[i].id) <
            lev_text_distance(kind, lev_tab_exercise[best].id))
            best = i;
    }
    (void)lev_fail(err, LEV_E_UNKNOWN,
                   "no exercise \"%.40s\"; did you mean %s (`levigate exercise` lists "
                   "them)",
                   kind, lev_tab_exercise[best].id);
    return NULL;
}

/* Two letters that nobody confuses and a digit; a new draw when it stands already. */
static void draw_code(lev_exercise *x, lev_rng rng, uint64_t *draw)
{
    static const char letters[] = "ACDEFHJKLMNPRTUVWXY";
    char *code = x->coupon[x->coupons].code;
    bool taken = true;
    while (taken) {
        double u[2], v[2];
        lev_rng_uniform2(rng, (*draw)++, 1, u);
        lev_rng_uniform2(rng, (*draw)++, 2, v);
        code[0] = letters[(size_t)(u[0] * (sizeof letters - 1))];
        code[1] = letters[(size_t)(u[1] * (sizeof letters - 1))];
        code[2] = "23456789"[(size_t)(v[0] * 8.0)];
        code[3] = '\0';
        taken = false;
        for (int i = 0; i < x->coupons; i++)
            taken = taken || strcmp(x->coupon[i].code, code) == 0;
    }
}

static int by_code(const void *a, const void *b)
{
    const lev_exercise_coupon *x = a, *y = b;
    return strcmp(x->code, y->code);
}

lev_status lev_exercise_make(const char *kind, int64_t seed, lev_exercise *out,
                             lev_error *err)
{
    lev_status st = LEV_OK;
    lev_exercise x = {.row = find_kind(kind, err), .seed = seed};
    uint64_t draw = 0;
    if (x.row == NULL)
        return LEV_E_UNKNOWN;
    for (int i = 0; i < LEV_TAB_EXERCISE_COUPON_N; i++) {
        const lev_row_exercise_coupon *r = &lev_tab_exercise_coupon[i];
        if (strcmp(r->exercise, x.row->id) != 0 || x.coupons == LEV_EXERCISE_COUPONS)
            continue;
        LEV_TRY(exercise_truth(x.row, r, &x.coupon[x.coupons], err));
        draw_code(&x, (lev_rng){(uint64_t)seed}, &draw);
        x.coupons++;
    }
    qsort(x.coupon, (size_t)x.coupons, sizeof x.coupon[0], by_code);
    *out = x;
out:
    return st;
}

lev_status lev_exercise_keep(const lev_shop *shop, lev_exercise *x, lev_error *err)
{
    lev_store_coupon coupon[LEV_EXERCISE_COUPONS];
    for (int i = 0; i < x->coupons; i++)
        coupon[i] = (lev_store_coupon){x->coupon[i].code, x->coupon[i].words,
                                       x->coupon[i].truth};
    const lev_store_exercise e = {
        .at_s = shop->now_s, .seed = x->seed, .kind = x->row->id, .unit = x->row->unit};
    return lev_store_exercise_add(shop->store, &e, coupon, x->coupons, &x->id, err);
}

/* ---- from the store ---- */

typedef struct kept {
    lev_exercise *x;
    lev_status st;
    lev_error *err;
} kept;

static int see_exercise(void *to, const lev_store_exercise *e)
{
    kept *k = to;
    k->x->row = find_kind(e->kind, k->err);
    k->x->id = e->id;
    k->x->seed = e->seed;
    k->st = k->x->row != NULL ? LEV_OK : LEV_E_UNKNOWN;
    return 1;
}

static int see_coupon(void *to, const lev_store_coupon *c)
{
    lev_exercise *x = to;
    if (x->coupons == LEV_EXERCISE_COUPONS)
        return 1;
    lev_exercise_coupon *mine = &x->coupon[x->coupons++];
    mine->truth = c->truth;
    (void)snprintf(mine->code, sizeof mine->code, "%s", c->code);
    (void)snprintf(mine->words, sizeof mine->words, "%s", c->words);
    return 0;
}

lev_status lev_exercise_open(const lev_shop *shop, int64_t id, lev_exercise *out,
                             lev_error *err)
{
    lev_status st = LEV_OK;
    lev_exercise x = {0};
    kept k = {.x = &x, .err = err};
    LEV_TRY(lev_store_exercise_get(shop->store, id, see_exercise, &k, err));
    LEV_TRY(k.st);
    LEV_TRY(lev_store_coupons(shop->store, id, see_coupon, &x, err));
    *out = x;
out:
    return st;
}

/* ---- guesses ---- */

static lev_status read_guess(const char *word, char code[LEV_EXERCISE_CODE],
                             double *value, lev_error *err)
{
    const size_t n = strcspn(word, "=");
    *value = (double)NAN;
    if (n == 0 || n >= LEV_EXERCISE_CODE || word[n] != '=' ||
        (strcmp(word + n + 1, "?") != 0 &&
         (!lev_num_parse(word + n + 1, false, value) || !(*value > 0.0))))
        return lev_fail(
            err, LEV_E_USAGE,
            "\"%.40s\" should be CODE=VALUE with a value above 0, or CODE=? "
            "for unsure",
            word);
    memcpy(code, word, n);
    code[n] = '\0';
    return LEV_OK;
}

lev_status lev_exercise_guess(const lev_shop *shop, int64_t id, int sheet, int round,
                              const char *const *words, int words_n, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_store_guess guess[LEV_EXERCISE_COUPONS];
    char code[LEV_EXERCISE_COUPONS][LEV_EXERCISE_CODE];
    if (words_n < 1 || words_n > LEV_EXERCISE_COUPONS)
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "guesses are missing: CODE=VALUE ..., up to %d",
                         LEV_EXERCISE_COUPONS));
    for (int i = 0; i < words_n; i++) {
        guess[i] = (lev_store_guess){.code = code[i], .sheet = sheet, .round = round};
        LEV_TRY(read_guess(words[i], code[i], &guess[i].value, err));
    }
    LEV_TRY(lev_store_guess_add(shop->store, id, guess, words_n, shop->now_s, err));
out:
    return st;
}

/* ---- score ---- */

enum { GUESSES_MAX = 5000 };

typedef struct marked {
    int sheet, coupon, round;
    double ln; /* ln(guess / truth); NaN unsure */
} marked;

typedef struct marking {
    const lev_exercise *x;
    marked *guess;
    int n;
} marking;

static int see_guess(void *to, const lev_store_guess *g)
{
    marking *m = to;
    if (m->n == GUESSES_MAX || g->round < 1 || g->round > LEV_EXERCISE_ROUNDS)
        return m->n == GUESSES_MAX;
    int coupon = 0;
    while (coupon + 1 < m->x->coupons &&
           !lev_text_same(m->x->coupon[coupon].code, g->code))
        coupon++;
    m->guess[m->n++] =
        (marked){g->sheet, coupon, g->round - 1, log(g->value / g->truth)};
    return 0;
}

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y;
}

/* Linear between the ordered values (the median of two is their mean). */
static double quantile(double *value, int n, double p)
{
    if (n == 0)
        return (double)NAN;
    qsort(value, (size_t)n, sizeof *value, by_size);
    const double at = p * (n - 1);
    const int i = (int)at;
    return i + 1 < n ? value[i] + (at - i) * (value[i + 1] - value[i]) : value[n - 1];
}

/* Typical error of one sheet; NaN when it has no guess. Guesses come sheet by sheet. */
static double sheet_error(const marking *m, int from, int to, double *scratch)
{
    int n = 0;
    for (int i = from; i < to; i++)
        if (!isnan(m->guess[i].ln))
            scratch[n++] = fabs(m->guess[i].ln);
    return quantile(scratch, n, 0.5);
}

static void mark_round(const marking *m, int round, lev_exercise_round *out,
                       double *value, double *scratch)
{
    lev_exercise_round r = {0};
    int n = 0, sheets = 0, from = 0;
    for (int i = 0; i < m->n; i++) {
        const marked *g = &m->guess[i];
        if (g->round != round)
            continue;
        r.guesses++;
        r.unsure += isnan(g->ln);
        if (!isnan(g->ln))
            value[n++] = g->ln;
    }
    r.bias = exp(quantile(value, n, 0.5));
    for (int i = 0; i < n; i++)
        value[i] = fabs(value[i]);
    r.factor = exp(quantile(value, n, 0.5));
    for (int i = 0; i < m->n; i = from) {
        for (from = i; from < m->n && m->guess[from].round == m->guess[i].round &&
                       m->guess[from].sheet == m->guess[i].sheet;)
            from++;
        const double e = sheet_error(m, i, from, scratch);
        if (m->guess[i].round == round && !isnan(e))
            value[sheets++] = e;
    }
    r.sheets = sheets;
    r.low = exp(quantile(value, sheets, 0.1));
    r.high = exp(quantile(value, sheets, 0.9));
    *out = r;
}

static void mark_coupons(const marking *m, lev_exercise_score *s, double *value)
{
    for (int round = 0; round < LEV_EXERCISE_ROUNDS; round++)
        for (int c = 0; c < s->x.coupons; c++) {
            int n = 0;
            for (int i = 0; i < m->n; i++)
                if (m->guess[i].round == round && m->guess[i].coupon == c &&
                    !isnan(m->guess[i].ln))
                    value[n++] = m->guess[i].ln;
            s->coupon_ratio[round][c] =
                (lev_spread){exp(quantile(value, n, 0.1)), exp(quantile(value, n, 0.5)),
                             exp(quantile(value, n, 0.9))};
            for (int i = 0; i < n; i++)
                value[i] = fabs(value[i]);
            s->coupon_factor[round][c] = exp(quantile(value, n, 0.5));
        }
}

lev_status lev_exercise_mark(const lev_shop *shop, int64_t id, lev_exercise_score *out,
                             lev_error *err)
{
    lev_status st = LEV_OK;
    lev_exercise_score s = {0};
    marking m = {.x = &s.x};
    void *guesses = NULL, *values = NULL;
    LEV_TRY(lev_exercise_open(shop, id, &s.x, err));
    LEV_TRY(lev_mem_new(GUESSES_MAX, sizeof *m.guess, &guesses, err));
    LEV_TRY(lev_mem_new(2 * GUESSES_MAX, sizeof(double), &values, err));
    m.guess = guesses;
    double *value = values;
    LEV_TRY(lev_store_guesses(shop->store, id, see_guess, &m, err));
    for (int round = 0; round < LEV_EXERCISE_ROUNDS; round++)
        mark_round(&m, round, &s.round[round], value, value + GUESSES_MAX);
    mark_coupons(&m, &s, value);
    s.halved = s.round[1].guesses > 0 &&
               log(s.round[1].factor) <= 0.5 * log(s.round[0].factor);
    *out = s;
out:
    lev_mem_free(guesses);
    lev_mem_free(values);
    return st;
}
