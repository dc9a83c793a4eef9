/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the log has taught: factors on the model by who, drive, mineral and material. */
#ifndef APP_FACTOR_H
#define APP_FACTOR_H

#include "app_face.h"
#include "app_shop.h"
#include "levigate/learn.h"

/* Everything the log has taught, fitted once. */
typedef struct lev_shop_factors lev_shop_factors;

/** Read the log and fit all four quantities. LEV_E_LIMIT for more names than fit. */
lev_status lev_shop_factors_read(const lev_shop *shop, lev_shop_factors **out,
                                 lev_error *err);
void lev_shop_factors_free(lev_shop_factors *f);

/** Entries that speak about a quantity. */
ptrdiff_t lev_shop_factors_entries(const lev_shop_factors *f, lev_quantity q);

/** The factor of a combination, also of one never logged; names are compared without
 * case, "" is a name like any other. */
lev_status lev_shop_factor(const lev_shop_factors *f, lev_quantity q,
                           const lev_store_cell *cell, lev_factor *out, lev_error *err);

/* What goes into a plan: one row for each drive and mineral the shop has logged or
 * could plan with. */
typedef struct lev_learned {
    lev_face_factor *row; /* [n], in the arena */
    double *share;        /* [n]: 0 nothing of the removal factor from the log, 1 all */
    ptrdiff_t *entries;   /* [n]: entries of this very combination */
    ptrdiff_t n, all;     /* all: entries in all */
} lev_learned;

/** Rows for every drive with every mineral of the media, and every step without grit.
 * @param who  "" for anybody of the shop */
lev_status lev_learned_for(const lev_shop_factors *f, const char *family,
                           const char *material, const char *who,
                           const lev_face_medium *media, ptrdiff_t media_n,
                           lev_arena *arena, lev_learned *out, lev_error *err);

/** Index of the row for a drive (or kind) and mineral; -1 when there is none. */
ptrdiff_t lev_learned_find(const lev_learned *l, const char *drive,
                           const char *mineral);

/* ---- the verb ---- */

/* Texts that are NULL or "" mean all. */
typedef struct lev_factor_ask {
    const char *quantity; /* removal, life, texture, gloss; "" removal */
    const char *material, *drive, *mineral, *who;
} lev_factor_ask;

/* One combination. */
typedef struct lev_factor_row {
    lev_store_cell cell; /* texts in the answer's arena */
    lev_factor f;
} lev_factor_row;

/* One month: what was planned against what was, without and with what the log had
 * taught by the end of the month before. */
typedef struct lev_factor_month {
    int year, month;
    ptrdiff_t entries;
    double model_times; /* typical miss as a ratio, >= 1, of the bare model */
    double log_times;   /* and with the factors known before that month */
    ptrdiff_t inside;   /* entries inside the band 8 of 10 should fall in */
} lev_factor_month;

/* An entry the fit does not trust. */
typedef struct lev_factor_odd {
    int64_t log_id, at_s;
    double actual_over_model, weight; /* weight 0..1 */
} lev_factor_odd;

typedef struct lev_factor_answer {
    lev_quantity quantity;
    lev_factor before; /* of any combination, before anything was logged */
    lev_factor shop;   /* of a combination never met, from what was logged of others */
    lev_factor_row *row; /* [rows] */
    ptrdiff_t rows;
    lev_factor_month *month; /* [months], oldest first */
    ptrdiff_t months;
    lev_factor_odd *odd; /* [odds] */
    ptrdiff_t odds;
    ptrdiff_t entries;
    lev_arena arena;
} lev_factor_answer;

/** What the log has taught of one quantity. LEV_E_USAGE for no such quantity. */
lev_status lev_app_factor(const lev_shop *shop, const lev_factor_ask *ask,
                          lev_factor_answer *out, lev_error *err);
void lev_factor_answer_release(lev_factor_answer *a);

json_t *lev_app_factor_json(const lev_factor_answer *a, int *failed);
void lev_app_factor_text(lev_text *t, const lev_factor_answer *a);
void lev_factor_first_line(lev_text *t, const lev_factor_answer *a);
void lev_factor_second_line(lev_text *t, const lev_factor_answer *a);

/* ---- shared by the files of this verb ---- */

enum { LEV_NAMES_MAX = LEV_NIG_MAX };

/* Names of one kind, in the order they were first met. */
typedef struct lev_names {
    const char *name[LEV_NAMES_MAX];
    int n;
} lev_names;

typedef struct lev_fact_log {
    lev_pool_fact *fact; /* [n] */
    int64_t *at_s, *log_id;
    ptrdiff_t n;
} lev_fact_log;

struct lev_shop_factors {
    lev_names by[LEV_POOL_BY_N];
    lev_store_cell *cell; /* [cells]; texts in the arena */
    int64_t *cell_id;
    lev_pool_cell *level; /* [cells] */
    ptrdiff_t cells;
    lev_fact_log log[LEV_QUANTITY_N];
    lev_pool *pool[LEV_QUANTITY_N];
    lev_arena arena;
};

lev_pool_prior lev_factor_prior(lev_quantity q);
/** Levels of a combination; -1 for names not met. */
lev_pool_cell lev_factor_level(const lev_shop_factors *f, const lev_store_cell *cell);

#endif
