/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Quotes that were given, and exercises for learners. */
#include "store_own.h"

#include <math.h>

lev_status lev_store_quote_add(lev_store *s, int64_t job_id, const lev_store_quote *q,
                               lev_error *err)
{
    lev_status st = lev_store_begin(s, err);
    if (st < 0)
        return st;
    st = lev_store_run(s, LEV_SQL_QUOTE_INSERT,
                       BINDS(BIND_INT("id", job_id), BIND_INT("at_s", q->at_s),
                             BIND_INT("count", q->count),
                             BIND_TEXT("currency", q->currency),
                             BIND_INT("low_minor", q->low_minor),
                             BIND_INT("likely_minor", q->likely_minor),
                             BIND_INT("high_minor", q->high_minor),
                             BIND_INT("given_minor", q->given_minor),
                             BIND_REAL("predicted_s", q->predicted_s)),
                       NULL, err);
    return lev_store_end(s, st, err);
}

typedef struct see_quote {
    lev_store_quote_fn *fn;
    void *to;
} see_quote;

static int each_quote(void *to, store_row *r)
{
    const see_quote *see = to;
    lev_store_quote q = {0};
    q.at_s = lev_store_int(r);
    q.count = lev_store_int(r);
    q.currency = lev_store_text(r);
    q.low_minor = lev_store_int(r);
    q.likely_minor = lev_store_int(r);
    q.high_minor = lev_store_int(r);
    q.given_minor = lev_store_int(r);
    q.predicted_s = lev_store_real(r);
    return see->fn(see->to, &q);
}

lev_status lev_store_quotes(lev_store *s, int64_t job_id, lev_store_quote_fn *see,
                            void *to, lev_error *err)
{
    see_quote all = {see, to};
    return lev_store_each(s, LEV_SQL_QUOTE_LIST, BINDS(BIND_INT("id", job_id)),
                          each_quote, &all, NULL, err);
}

lev_status lev_store_exercise_add(lev_store *s, const lev_store_exercise *e,
                                  const lev_store_coupon *c, ptrdiff_t n, int64_t *id,
                                  lev_error *err)
{
    lev_status st = lev_store_begin(s, err);
    if (st < 0)
        return st;
    LEV_TRY(lev_store_run(s, LEV_SQL_EXERCISE_INSERT,
                          BINDS(BIND_TEXT("kind", e->kind), BIND_INT("at_s", e->at_s),
                                BIND_INT("seed", e->seed), BIND_TEXT("unit", e->unit)),
                          NULL, err));
    *id = sqlite3_last_insert_rowid(s->db);
    for (ptrdiff_t i = 0; i < n; i++)
        LEV_TRY(lev_store_run(s, LEV_SQL_COUPON_INSERT,
                              BINDS(BIND_INT("id", *id), BIND_TEXT("code", c[i].code),
                                    BIND_REAL("truth", c[i].truth),
                                    BIND_TEXT("words", c[i].words)),
                              NULL, err));
out:
    return lev_store_end(s, st, err);
}

typedef struct see_exercise {
    lev_store_exercise_fn *fn;
    void *to;
} see_exercise;

static int each_exercise(void *to, store_row *r)
{
    const see_exercise *see = to;
    lev_store_exercise e = {0};
    e.id = lev_store_int(r);
    e.kind = lev_store_text(r);
    e.at_s = lev_store_int(r);
    e.seed = lev_store_int(r);
    e.unit = lev_store_text(r);
    if (sqlite3_column_count(r->q) > r->at) {
        e.coupons = lev_store_int(r);
        e.guesses = lev_store_int(r);
    }
    return see->fn(see->to, &e);
}

lev_status lev_store_exercises(lev_store *s, lev_store_exercise_fn *see, void *to,
                               lev_error *err)
{
    see_exercise all = {see, to};
    return lev_store_each(s, LEV_SQL_EXERCISE_LIST, NULL, 0, each_exercise, &all, NULL,
                          err);
}

lev_status lev_store_exercise_get(lev_store *s, int64_t id, lev_store_exercise_fn *see,
                                  void *to, lev_error *err)
{
    int seen = 0;
    see_exercise one = {see, to};
    const lev_status st =
        lev_store_each(s, LEV_SQL_EXERCISE_GET, BINDS(BIND_INT("id", id)),
                       each_exercise, &one, &seen, err);
    return st >= 0 && seen == 0
               ? lev_fail(err, LEV_E_UNKNOWN,
                          "no exercise %lld; `levigate exercise` lists them",
                          (long long)id)
               : st;
}

typedef struct see_coupon {
    lev_store_coupon_fn *fn;
    void *to;
} see_coupon;

static int each_coupon(void *to, store_row *r)
{
    const see_coupon *see = to;
    lev_store_coupon c = {0};
    c.code = lev_store_text(r);
    c.truth = lev_store_real(r);
    c.words = lev_store_text(r);
    return see->fn(see->to, &c);
}

lev_status lev_store_coupons(lev_store *s, int64_t id, lev_store_coupon_fn *see,
                             void *to, lev_error *err)
{
    see_coupon all = {see, to};
    return lev_store_each(s, LEV_SQL_COUPON_LIST, BINDS(BIND_INT("id", id)),
                          each_coupon, &all, NULL, err);
}

static lev_status insert_guess(lev_store *s, int64_t id, const lev_store_guess *g,
                               int64_t at_s, lev_error *err)
{
    const lev_status st =
        lev_store_run(s, LEV_SQL_GUESS_INSERT,
                      BINDS(BIND_INT("id", id), BIND_TEXT("code", g->code),
                            BIND_INT("sheet", g->sheet), BIND_INT("round", g->round),
                            BIND_REAL("value", g->value), BIND_INT("at_s", at_s)),
                      NULL, err);
    if (st == LEV_E_RANGE)
        return lev_fail(err, LEV_E_UNKNOWN,
                        "exercise %lld has no coupon \"%.20s\", or the guess is no "
                        "positive number; `levigate exercise key %lld` lists the codes",
                        (long long)id, g->code, (long long)id);
    return st;
}

lev_status lev_store_guess_add(lev_store *s, int64_t id, const lev_store_guess *g,
                               ptrdiff_t n, int64_t at_s, lev_error *err)
{
    lev_status st = lev_store_begin(s, err);
    if (st < 0)
        return st;
    for (ptrdiff_t i = 0; i < n; i++)
        LEV_TRY(insert_guess(s, id, &g[i], at_s, err));
out:
    return lev_store_end(s, st, err);
}

typedef struct see_guess {
    lev_store_guess_fn *fn;
    void *to;
} see_guess;

static int each_guess(void *to, store_row *r)
{
    const see_guess *see = to;
    lev_store_guess g = {0};
    g.code = lev_store_text(r);
    g.sheet = (int)lev_store_int(r);
    g.round = (int)lev_store_int(r);
    g.value = lev_store_real(r);
    g.truth = lev_store_real(r);
    return see->fn(see->to, &g);
}

lev_status lev_store_guesses(lev_store *s, int64_t id, lev_store_guess_fn *see,
                             void *to, lev_error *err)
{
    see_guess all = {see, to};
    return lev_store_each(s, LEV_SQL_GUESS_LIST, BINDS(BIND_INT("id", id)), each_guess,
                          &all, NULL, err);
}
