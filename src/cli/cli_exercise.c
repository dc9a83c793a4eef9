/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate exercise */
#include <string.h>
#include <time.h>

#include "app_exercise.h"
#include "cli_out.h"
#include "cli_shop.h"
#include "json.h"
#include "num.h"

static lev_status read_number(const lev_args *args, int at, const char *what,
                              int64_t *out, lev_error *err)
{
    const char *word = lev_args_nth(args, "action", at);
    double x = 0.0;
    if (word == NULL || !lev_num_parse(word, false, &x) || !(x >= 1.0 && x <= 1e9) ||
        x > floor(x))
        return lev_fail(err, LEV_E_USAGE, "number of the %s is missing or none", what);
    *out = (int64_t)x;
    return LEV_OK;
}

static lev_status say(const lev_args *args, json_t *reply, int failed, lev_text *t,
                      lev_error *err)
{
    if (lev_args_has(args, "json")) {
        lev_text_release(t);
        return lev_out_json(reply, failed, err);
    }
    json_decref(reply);
    return lev_out_text(t, err);
}

static lev_status print_paper(const lev_args *args, const lev_exercise *x, bool key,
                              lev_error *err)
{
    const char *path = lev_args_text(args, "output");
    const char *paper = lev_args_text(args, "paper");
    const int copies = key ? 0 : (int)lev_args_number(args, "copies", 1.0);
    return path == NULL
               ? LEV_OK
               : lev_exercise_print(x, copies, path, paper != NULL ? paper : "A4", err);
}

static lev_status make(const lev_args *args, const lev_shop *shop, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_exercise x = {0};
    lev_text t = {0};
    int failed = 0;
    const char *kind = lev_args_nth(args, "action", 1);
    if (kind == NULL)
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "which exercise is missing; `levigate "
                         "exercise` lists them"));
    LEV_TRY(lev_exercise_make(
        kind, (int64_t)lev_args_number(args, "seed", (double)(shop->now_s % 1000000)),
        &x, err));
    LEV_TRY(lev_exercise_keep(shop, &x, err));
    LEV_TRY(print_paper(args, &x, false, err));
    lev_exercise_text(&t, &x, false);
    json_t *reply = lev_exercise_json(&x, false, &failed);
    LEV_TRY(say(args, reply, failed, &t, err));
out:
    return st;
}

static lev_status key(const lev_args *args, const lev_shop *shop, lev_error *err)
{
    lev_status st = LEV_OK;
    int64_t id = 0;
    lev_exercise x = {0};
    lev_text t = {0};
    int failed = 0;
    LEV_TRY(read_number(args, 1, "exercise", &id, err));
    LEV_TRY(lev_exercise_open(shop, id, &x, err));
    LEV_TRY(print_paper(args, &x, true, err));
    lev_exercise_text(&t, &x, true);
    json_t *reply = lev_exercise_json(&x, true, &failed);
    LEV_TRY(say(args, reply, failed, &t, err));
out:
    return st;
}

static lev_status score(const lev_args *args, const lev_shop *shop, lev_error *err)
{
    lev_status st = LEV_OK;
    int64_t id = 0;
    lev_exercise_score s = {0};
    lev_text t = {0};
    int failed = 0;
    LEV_TRY(read_number(args, 1, "exercise", &id, err));
    LEV_TRY(lev_exercise_mark(shop, id, &s, err));
    lev_exercise_score_text(&t, &s);
    json_t *reply = lev_exercise_score_json(&s, &failed);
    LEV_TRY(say(args, reply, failed, &t, err));
out:
    return st;
}

static lev_status guess(const lev_args *args, const lev_shop *shop, lev_error *err)
{
    lev_status st = LEV_OK;
    int64_t id = 0, sheet = 0;
    const char *words[LEV_EXERCISE_COUPONS + 1];
    int n = 0;
    LEV_TRY(read_number(args, 1, "exercise", &id, err));
    LEV_TRY(read_number(args, 2, "sheet", &sheet, err));
    while (n <= LEV_EXERCISE_COUPONS && lev_args_nth(args, "action", 3 + n) != NULL) {
        words[n] = lev_args_nth(args, "action", 3 + n);
        n++;
    }
    LEV_TRY(lev_exercise_guess(
        shop, id, (int)sheet, (int)lev_args_number(args, "round", 1.0), words, n, err));
    LEV_TRY(score(args, shop, err));
out:
    return st;
}

static lev_status list(const lev_args *args, const lev_shop *shop, lev_error *err)
{
    lev_text t = {0};
    int failed = 0;
    lev_exercise_kinds_text(&t);
    json_t *reply = lev_exercise_list_json(shop->store != NULL ? shop : NULL, &failed);
    return say(args, reply, failed, &t, err);
}

static const struct {
    const char *word;
    bool store, write;
    lev_status (*run)(const lev_args *args, const lev_shop *shop, lev_error *err);
} ACTIONS[] = {{"list", false, false, list},
               {"make", true, true, make},
               {"key", true, false, key},
               {"guess", true, true, guess},
               {"score", true, false, score}};

static lev_status act(const lev_args *args, lev_error *err)
{
    char path[LEV_CLI_PATH];
    const char *word = lev_args_nth(args, "action", 0);
    for (size_t i = 0; i < sizeof ACTIONS / sizeof *ACTIONS; i++) {
        lev_shop shop = {0};
        lev_status st = LEV_OK;
        if (strcmp(word != NULL ? word : "list", ACTIONS[i].word) != 0)
            continue;
        if (ACTIONS[i].store || lev_args_has(args, "db"))
            st = lev_cli_shop(args, ACTIONS[i].write, path, &shop, err);
        if (st >= 0)
            st = ACTIONS[i].run(args, &shop, err);
        lev_shop_close(&shop);
        return st;
    }
    return lev_fail(
        err, LEV_E_USAGE,
        "\"%.40s\" is nothing an exercise does; known: list, make KIND, key "
        "NUMBER, guess NUMBER SHEET CODE=VALUE ..., score NUMBER",
        word);
}

int lev_cmd_exercise(const lev_args *args)
{
    lev_error err = {0};
    const lev_status st = act(args, &err);
    (void)lev_fail_at(&err, st, "exercise");
    return st < 0 ? lev_out_error(st, &err) : LEV_EXIT_DONE;
}
