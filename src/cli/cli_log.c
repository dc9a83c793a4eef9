/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate log */
#include <string.h>

#include "app_log.h"
#include "cli_out.h"
#include "cli_shop.h"
#include "json.h"

/* The words of the line, with single blanks between. */
static void join_words(const lev_args *args, int from, lev_text *t)
{
    for (int i = from; lev_args_nth(args, "line", i) != NULL; i++) {
        lev_text_add(t, i > from ? " " : "");
        lev_text_add(t, lev_args_nth(args, "line", i));
    }
}

static lev_status read_ask(const lev_args *args, lev_text *line, lev_log_ask *ask,
                           lev_error *err)
{
    const char *first = lev_args_nth(args, "line", 0);
    const char *second = lev_args_nth(args, "line", 1);
    *ask = (lev_log_ask){.act = LEV_LOG_ADD,
                         .job = lev_args_text(args, "job"),
                         .who = lev_args_text(args, "who"),
                         .sure = lev_args_has(args, "sure"),
                         .most = (int)lev_args_number(args, "last", 0.0)};
    if (first == NULL || strcmp(first, "list") == 0) {
        ask->act = LEV_LOG_SHOW;
        ask->face = first != NULL ? second : NULL;
        return LEV_OK;
    }
    if (strcmp(first, "undo") == 0) {
        ask->act = LEV_LOG_UNDO;
        if (second != NULL)
            ask->who = second;
        return LEV_OK;
    }
    join_words(args, 0, line);
    ask->line = lev_text_get(line);
    return line->st < 0 ? lev_fail(err, line->st, "out of memory") : LEV_OK;
}

static lev_status print_answer(const lev_args *args, const lev_log_answer *a,
                               lev_error *err)
{
    if (lev_args_has(args, "json")) {
        int failed = 0;
        json_t *reply = lev_app_log_json(a, &failed);
        return lev_out_json(reply, failed, err);
    }
    lev_text t = {0};
    lev_app_log_text(&t, a, lev_out_units(args));
    return lev_out_text(&t, err);
}

int lev_cmd_log(const lev_args *args)
{
    char path[LEV_CLI_PATH];
    lev_error err = {0};
    lev_log_ask ask;
    lev_log_answer a = {0};
    lev_shop shop = {0};
    lev_text line = {0};
    lev_status st = read_ask(args, &line, &ask, &err);
    if (st >= 0)
        st = lev_cli_shop(args, ask.act != LEV_LOG_SHOW, path, &shop, &err);
    if (st >= 0)
        st = lev_app_log(&shop, &ask, NULL, &a, &err);
    if (st >= 0)
        st = print_answer(args, &a, &err);
    lev_log_answer_release(&a);
    lev_shop_close(&shop);
    lev_text_release(&line);
    (void)lev_fail_at(&err, st, "log");
    return st < 0 ? lev_out_error(st, &err) : LEV_EXIT_DONE;
}
