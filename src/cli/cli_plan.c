/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate plan */
#include "app_backend.h"
#include "app_plan.h"
#include "cli_out.h"
#include "job_io.h"
#include "json.h"

static lev_status print_plan(const lev_args *args, const lev_plan_answer *a,
                             lev_error *err)
{
    if (lev_args_has(args, "json")) {
        int failed = 0;
        json_t *reply = lev_app_plan_json(a, &failed);
        return lev_out_json(reply, failed, err);
    }
    lev_text t = {0};
    lev_app_plan_text(&t, a, lev_out_units(args), lev_args_has(args, "all"));
    return lev_out_text(&t, err);
}

static lev_status plan(const lev_args *args, lev_job *job, lev_plan_answer *a,
                       lev_error *err)
{
    lev_status st = LEV_OK;
    lev_card_format format;
    const char *path = lev_args_text(args, "job");
    const char *card = lev_args_text(args, "output");
    const char *paper = lev_args_text(args, "paper");
    if (path == NULL)
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "JOB is missing; plan wants a job file, see "
                         "examples/clock.json"));
    if (card != NULL)
        LEV_TRY(lev_backend_format(card, &format, err));
    LEV_TRY(lev_job_load(path, job, err));
    if (lev_args_has(args, "drawer") && !job->has_drawer)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "the job has no drawer to plan from"));
    LEV_TRY(lev_app_plan(job, a, err));
    if (card != NULL)
        LEV_TRY(lev_app_plan_card(a, card, paper != NULL ? paper : "A4",
                                  lev_out_units(args), err));
    LEV_TRY(print_plan(args, a, err));
out:
    return st;
}

int lev_cmd_plan(const lev_args *args)
{
    lev_error err = {0};
    lev_job job = {0};
    lev_plan_answer a = {0};
    const lev_status st = plan(args, &job, &a, &err);
    const bool feasible = a.all_feasible;
    lev_plan_answer_release(&a);
    lev_job_release(&job);
    (void)lev_fail_at(&err, st, "plan");
    return st < 0     ? lev_out_error(st, &err)
           : feasible ? LEV_EXIT_DONE
                      : LEV_EXIT_ANSWER_NO;
}
