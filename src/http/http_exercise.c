/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Exercises for learners: made, guessed, scored, printed. Sheets are numbered; no name
 * is asked for or kept. */
#include "http_shop.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "app_exercise.h"
#include "http_drawing.h"

enum { SHEETS = 10000, COPIES = 200, WORDS_BYTES = 400 };

static const double numbers = 1e9;

static lev_status read_id(const lev_http_ask *ask, int64_t *id, lev_error *err)
{
    double x = 0.0;
    const lev_status st = lev_http_number(ask, "number", 1, numbers, 0, &x, err);
    *id = (int64_t)x;
    return st < 0 || *id > 0 ? st
                             : lev_fail(err, LEV_E_USAGE, "say which exercise: number");
}

static lev_status say_list(const lev_http_ask *ask, lev_http_reply *reply,
                           lev_error *err)
{
    lev_shop shop = {0};
    int failed = 0;
    const bool kept = ask->shop != NULL; /* without a shop there are the kinds */
    const lev_status st = kept ? lev_http_shop_open(ask, false, &shop, err) : LEV_OK;
    if (st < 0)
        return st;
    json_t *json = lev_exercise_list_json(kept ? &shop : NULL, &failed);
    lev_http_shop_close(&shop);
    return lev_http_json(reply, json, failed, err);
}

static lev_status say_score(const lev_shop *shop, int64_t id, lev_http_reply *reply,
                            lev_error *err)
{
    lev_exercise_score s = {0};
    int failed = 0;
    const lev_status st = lev_exercise_mark(shop, id, &s, err);
    if (st < 0)
        return st;
    json_t *json = lev_exercise_score_json(&s, &failed);
    return lev_http_json(reply, json, failed, err);
}

static lev_status say_exercise(const lev_shop *shop, int64_t id, bool key,
                               lev_http_reply *reply, lev_error *err)
{
    lev_exercise x = {0};
    int failed = 0;
    const lev_status st = lev_exercise_open(shop, id, &x, err);
    if (st < 0)
        return st;
    json_t *json = lev_exercise_json(&x, key, &failed);
    return lev_http_json(reply, json, failed, err);
}

lev_status lev_http_exercise(const lev_http_ask *ask, lev_http_reply *reply,
                             lev_error *err)
{
    lev_status st = LEV_OK;
    lev_shop shop = {0};
    int64_t id = 0;
    const char *act = lev_http_param(ask, "act");
    const bool show = act != NULL && strcmp(act, "show") == 0;
    const bool key = act != NULL && strcmp(act, "key") == 0;
    const bool score = act != NULL && strcmp(act, "score") == 0;
    if (act == NULL || strcmp(act, "list") == 0)
        return say_list(ask, reply, err);
    if (!show && !key && !score)
        LEV_TRY(lev_fail(
            err, LEV_E_USAGE,
            "\"%.40s\" is not asked for here; known: list, show, key, score", act));
    LEV_TRY(read_id(ask, &id, err));
    LEV_TRY(lev_http_shop_open(ask, false, &shop, err));
    st = score ? say_score(&shop, id, reply, err)
               : say_exercise(&shop, id, key, reply, err);
out:
    lev_http_shop_close(&shop);
    return st;
}

/* ---- changes ---- */

static lev_status make(const lev_http_ask *ask, const char *kind, double seed,
                       lev_http_reply *reply, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_shop shop = {0};
    lev_exercise x = {0};
    int failed = 0;
    if (kind == NULL)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "say which exercise: kind"));
    if (!isnan(seed) && !(seed >= 0.0 && seed <= numbers))
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "seed should be from 0 to %g", numbers));
    LEV_TRY(lev_http_shop_open(ask, true, &shop, err));
    LEV_TRY(lev_exercise_make(kind, isnan(seed) ? shop.now_s % 1000000 : (int64_t)seed,
                              &x, err));
    LEV_TRY(lev_exercise_keep(&shop, &x, err));
    reply->news = "exercise";
    json_t *json = lev_exercise_json(&x, false, &failed);
    LEV_TRY(lev_http_json(reply, json, failed, err));
out:
    lev_http_shop_close(&shop);
    return st;
}

typedef struct guesses {
    double number, sheet, round;
    const char *text; /* CODE=VALUE parted by blanks */
} guesses;

static lev_status guess(const lev_http_ask *ask, const guesses *g,
                        lev_http_reply *reply, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_shop shop = {0};
    char words[WORDS_BYTES + 1], *rest = NULL;
    const char *word[LEV_EXERCISE_COUPONS + 1];
    int n = 0;
    if (!(g->number >= 1.0 && g->number <= numbers))
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "say which exercise: number"));
    if (!(g->sheet >= 1.0 && g->sheet <= SHEETS))
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "sheet should be from 1 to %d", SHEETS));
    if (!(g->round >= 1.0 && g->round <= LEV_EXERCISE_ROUNDS))
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "round should be 1 or 2"));
    (void)snprintf(words, sizeof words, "%s", g->text != NULL ? g->text : "");
    for (char *w = strtok_r(words, " ", &rest); w != NULL && n <= LEV_EXERCISE_COUPONS;
         w = strtok_r(NULL, " ", &rest))
        word[n++] = w;
    LEV_TRY(lev_http_shop_open(ask, true, &shop, err));
    LEV_TRY(lev_exercise_guess(&shop, (int64_t)g->number, (int)g->sheet, (int)g->round,
                               word, n, err));
    reply->news = "exercise";
    LEV_TRY(say_score(&shop, (int64_t)g->number, reply, err));
out:
    lev_http_shop_close(&shop);
    return st;
}

lev_status lev_http_exercise_change(const lev_http_ask *ask, lev_http_reply *reply,
                                    lev_error *err)
{
    lev_status st = LEV_OK;
    lev_shop_body b = {0};
    guesses g = {.round = 1.0};
    const char *act = NULL, *kind = NULL;
    double seed = (double)NAN;
    const lev_shop_key keys[] = {
        {"act", &act, NULL, NULL},        {"kind", &kind, NULL, NULL},
        {"guesses", &g.text, NULL, NULL}, {"number", NULL, &g.number, NULL},
        {"sheet", NULL, &g.sheet, NULL},  {"round", NULL, &g.round, NULL},
        {"seed", NULL, &seed, NULL},
    };
    LEV_TRY(
        lev_shop_body_open(&b, ask, "act;kind;seed;number;sheet;round;guesses", err));
    LEV_TRY(lev_shop_body_take(&b, keys, sizeof keys / sizeof *keys));
    if (act != NULL && strcmp(act, "make") == 0)
        LEV_TRY(make(ask, kind, seed, reply, err));
    else if (act != NULL && strcmp(act, "guess") == 0)
        LEV_TRY(guess(ask, &g, reply, err));
    else
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "act should be make or guess"));
out:
    lev_shop_body_release(&b);
    return st;
}

/* ---- on paper ---- */

typedef struct worksheet {
    const lev_exercise *x;
    int copies; /* 0: the answer key */
    const char *paper;
} worksheet;

static lev_status draw(const void *what, const char *path, lev_error *err)
{
    const worksheet *w = what;
    return lev_exercise_print(w->x, w->copies, path, w->paper, err);
}

lev_status lev_http_worksheet(const lev_http_ask *ask, lev_http_reply *reply,
                              lev_error *err)
{
    lev_status st = LEV_OK;
    lev_shop shop = {0};
    lev_exercise x = {0};
    int64_t id = 0;
    double copies = 0.0;
    const char *ending = NULL, *paper = lev_http_param(ask, "paper");
    if (paper == NULL)
        paper = "A4";
    if (strcmp(paper, "A4") != 0 && strcmp(paper, "Letter") != 0)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "paper \"%.20s\" should be A4 or Letter",
                         paper));
    LEV_TRY(lev_http_number(ask, "copies", 1, COPIES, 1, &copies, err));
    LEV_TRY(lev_http_ending(ask, "pdf", &ending, err));
    LEV_TRY(read_id(ask, &id, err));
    LEV_TRY(lev_http_shop_open(ask, false, &shop, err));
    LEV_TRY(lev_exercise_open(&shop, id, &x, err));
    lev_http_shop_close(&shop);
    const bool key = lev_http_param(ask, "key") != NULL;
    const worksheet w = {&x, key ? 0 : (int)copies, paper};
    LEV_TRY(lev_http_draw(reply, NULL, ending, draw, &w, err));
out:
    lev_http_shop_close(&shop);
    return st;
}
