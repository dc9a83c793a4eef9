/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate job */
#include "app_shop_job.h"
#include "bounds.h"
#include "cli_out.h"
#include "cli_shop.h"
#include "file.h"
#include "json.h"

/* The file of a job stands where the act has it: `add FILE`, `change NAME FILE`,
 * `repeat NAME [FILE]`. */
static lev_status read_body(const lev_args *args, lev_shop_job_ask *ask, lev_bytes *b,
                            lev_error *err)
{
    lev_status st = LEV_OK;
    const char *path =
        lev_args_nth(args, "action", ask->act == LEV_SHOP_JOB_ADD ? 1 : 2);
    if (path == NULL)
        goto out;
    LEV_TRY(lev_bytes_read(path, LEV_LIMIT_JOB_BYTES, b, err));
    ask->body = b->data;
    ask->body_n = b->n;
    ask->body_name = path;
out:
    return st;
}

static lev_status read_ask(const lev_args *args, lev_shop_job_ask *ask, lev_bytes *b,
                           lev_error *err)
{
    lev_status st = LEV_OK;
    const char *act = lev_args_nth(args, "action", 0);
    *ask = (lev_shop_job_ask){.name = lev_args_nth(args, "action", 1),
                              .as = lev_args_text(args, "as"),
                              .why = lev_args_text(args, "reason"),
                              .goal = lev_args_text(args, "goal"),
                              .who = lev_args_text(args, "who"),
                              .face = lev_args_text(args, "face"),
                              .from_drawer = lev_args_has(args, "drawer"),
                              .no_log = lev_args_has(args, "no-log"),
                              .version = (int)lev_args_number(args, "version", 0.0)};
    LEV_TRY(lev_shop_job_act_read(act != NULL ? act : "list", &ask->act, err));
    if (lev_args_nth(args, "action", 3) != NULL)
        LEV_TRY(
            lev_fail(err, LEV_E_USAGE,
                     "\"%.40s\" is one word too many; quote a name of several words",
                     lev_args_nth(args, "action", 3)));
    if (lev_shop_job_act_body(ask->act))
        LEV_TRY(read_body(args, ask, b, err));
    if (ask->act == LEV_SHOP_JOB_ADD)
        ask->name = ask->as;
    if (ask->act == LEV_SHOP_JOB_ATTACH)
        ask->file = lev_args_nth(args, "action", 2);
out:
    return st;
}

static lev_status print_answer(const lev_args *args, const lev_shop_job_answer *a,
                               lev_error *err)
{
    if (lev_args_has(args, "json")) {
        int failed = 0;
        json_t *reply = lev_app_shop_job_json(a, &failed);
        return lev_out_json(reply, failed, err);
    }
    lev_text t = {0};
    lev_app_shop_job_text(&t, a, lev_out_units(args));
    return lev_out_text(&t, err);
}

int lev_cmd_job(const lev_args *args)
{
    char path[LEV_CLI_PATH];
    lev_error err = {0};
    lev_bytes body = {0};
    lev_shop_job_ask ask;
    lev_shop_job_answer a = {0};
    lev_shop shop = {0};
    lev_status st = read_ask(args, &ask, &body, &err);
    if (st >= 0)
        st = lev_cli_shop(args, lev_shop_job_act_writes(ask.act), path, &shop, &err);
    if (st >= 0)
        st = lev_app_shop_job(&shop, &ask, &a, &err);
    if (st >= 0)
        st = print_answer(args, &a, &err);
    const bool whole = a.not_feasible == 0;
    lev_shop_job_answer_release(&a);
    lev_shop_close(&shop);
    lev_bytes_release(&body);
    (void)lev_fail_at(&err, st, "job");
    return st < 0  ? lev_out_error(st, &err)
           : whole ? LEV_EXIT_DONE
                   : LEV_EXIT_ANSWER_NO;
}
