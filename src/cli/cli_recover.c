/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate recover */
#include <math.h>

#include "app_recover.h"
#include "cli_out.h"
#include "job_io.h"
#include "json.h"

static lev_status read_ask(const lev_args *args, lev_job *job, lev_recover_ask *ask,
                           lev_error *err)
{
    lev_status st = LEV_OK;
    const char *path = lev_args_text(args, "job");
    const char *felt = lev_args_text(args, "felt");
    if (path == NULL || !lev_args_has(args, "face") ||
        !lev_args_has(args, "found-after"))
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "too little to go by; JOB --face NAME --found-after STEP"));
    if (lev_args_has(args, "lone") && lev_args_has(args, "many"))
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "--lone and --many exclude each other"));
    if (lev_args_has(args, "trace") + lev_args_has(args, "depth-um") +
            (felt != NULL || lev_args_has(args, "seen")) >
        1)
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "--trace, --depth-um and --felt or --seen: one of them"));
    LEV_TRY(lev_job_load(path, job, err));
    *ask = (lev_recover_ask){
        .job = job,
        .face = lev_args_text(args, "face"),
        .found_after = (int)lev_args_number(args, "found-after", 1.0),
        .depth_um = lev_args_number(args, "depth-um", (double)NAN),
        .felt = felt != NULL ? felt : lev_args_text(args, "seen"),
        .lone = !lev_args_has(args, "many"),
        .direction_deg = lev_args_number(args, "direction", (double)NAN),
        .trace = lev_args_text(args, "trace"),
        .length_deg = lev_args_number(args, "length-deg", 0.0),
        .from = {.goal = lev_args_text(args, "goal")}};
out:
    return st;
}

static lev_status print_reply(const lev_args *args, const lev_recover_reply *r,
                              lev_error *err)
{
    const char *card = lev_args_text(args, "output");
    const char *paper = lev_args_text(args, "paper");
    lev_status st = LEV_OK;
    if (card != NULL)
        LEV_TRY(lev_app_recover_card(r, card, paper != NULL ? paper : "A4",
                                     lev_out_units(args), err));
    if (lev_args_has(args, "json")) {
        int failed = 0;
        json_t *reply = lev_app_recover_json(r, &failed);
        LEV_TRY(lev_out_json(reply, failed, err));
    } else {
        lev_text t = {0};
        lev_app_recover_text(&t, r, lev_out_units(args));
        LEV_TRY(lev_out_text(&t, err));
    }
out:
    return st;
}

int lev_cmd_recover(const lev_args *args)
{
    lev_error err = {0};
    lev_job job = {0};
    lev_recover_ask ask;
    lev_recover_reply reply = {0};
    lev_status st = read_ask(args, &job, &ask, &err);
    if (st >= 0)
        st = lev_app_recover(&ask, &reply, &err);
    if (st >= 0)
        st = print_reply(args, &reply, &err);
    lev_recover_reply_release(&reply);
    lev_job_release(&job);
    (void)lev_fail_at(&err, st, "recover");
    return st < 0 ? lev_out_error(st, &err) : LEV_EXIT_DONE;
}
