/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Exercises for learners: guess, do, measure, why. Coupons carry hidden codes made from
 * a seed, so that the key can be printed again; pupils are numbered sheets of paper,
 * and no name is kept anywhere. A guess is scored as a factor, guess over truth: 2
 * means twice or half. */
#ifndef APP_EXERCISE_H
#define APP_EXERCISE_H

#include <jansson.h>

#include "app_shop.h"
#include "levigate/spread.h"
#include "lev_tables.h"

enum { LEV_EXERCISE_COUPONS = 12, LEV_EXERCISE_CODE = 8, LEV_EXERCISE_ROUNDS = 2 };

typedef struct lev_exercise_coupon {
    char code[LEV_EXERCISE_CODE]; /* hidden: two letters and a digit */
    double truth;                 /* in the exercise's unit */
    char words[120];              /* what it really is */
} lev_exercise_coupon;

/* One exercise with its coupons in order of their codes. */
typedef struct lev_exercise {
    const lev_row_exercise *row;
    int64_t id; /* in the store; 0 not kept */
    int64_t seed;
    lev_exercise_coupon coupon[LEV_EXERCISE_COUPONS];
    int coupons;
} lev_exercise;

/**
 * Make an exercise: the same kind and seed give the same codes.
 * @return LEV_E_UNKNOWN for no such kind, with the nearest
 */
lev_status lev_exercise_make(const char *kind, int64_t seed, lev_exercise *out,
                             lev_error *err);
/** Make it and keep it; out->id is its number. */
lev_status lev_exercise_keep(const lev_shop *shop, lev_exercise *x, lev_error *err);
/** One that was kept, made again from its seed; its coupons are those of the store.
 * LEV_E_UNKNOWN. */
lev_status lev_exercise_open(const lev_shop *shop, int64_t id, lev_exercise *out,
                             lev_error *err);

/**
 * Take in the guesses of one sheet.
 * @param words  CODE=VALUE each, CODE=? for "unsure"
 * @param round  1 before measuring, 2 after
 * @return LEV_E_USAGE for a word that is none; LEV_E_UNKNOWN for a code; all or nothing
 */
lev_status lev_exercise_guess(const lev_shop *shop, int64_t id, int sheet, int round,
                              const char *const *words, int words_n, lev_error *err);

/* How a class guessed in one round. */
typedef struct lev_exercise_round {
    int guesses, unsure, sheets;
    double factor;    /* typical (median) factor off, >= 1; NaN without guesses */
    double low, high; /* 8 of 10 sheets lie between, by their own typical factor */
    double bias;      /* typical guess over truth; over 1: guessed too large */
} lev_exercise_round;

typedef struct lev_exercise_score {
    lev_exercise x;
    lev_exercise_round round[LEV_EXERCISE_ROUNDS];
    bool halved; /* the typical error of round 2 is half that of round 1, or less */
    double coupon_factor[LEV_EXERCISE_ROUNDS][LEV_EXERCISE_COUPONS];
    /* guess over truth of one coupon: what 8 of 10 guesses lie between, and the middle
     */
    lev_spread coupon_ratio[LEV_EXERCISE_ROUNDS][LEV_EXERCISE_COUPONS];
} lev_exercise_score;

lev_status lev_exercise_mark(const lev_shop *shop, int64_t id, lev_exercise_score *out,
                             lev_error *err);

/** The kinds, in words; with a shop also those that were made there, newest first. */
json_t *lev_exercise_list_json(const lev_shop *shop, int *failed);

/** Worksheets (copies >= 1) or the answer key (copies = 0) on paper. */
lev_status lev_exercise_print(const lev_exercise *x, int copies, const char *path,
                              const char *paper, lev_error *err);

json_t *lev_exercise_json(const lev_exercise *x, bool key, int *failed);
json_t *lev_exercise_score_json(const lev_exercise_score *s, int *failed);
void lev_exercise_kinds_text(lev_text *t);
void lev_exercise_text(lev_text *t, const lev_exercise *x, bool key);
void lev_exercise_score_text(lev_text *t, const lev_exercise_score *s);

#endif
